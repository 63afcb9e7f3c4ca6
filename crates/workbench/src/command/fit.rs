//! `fit`: a rig's hidden dimensions from trial grinds. The names of the JSON are a contract.

use std::io::Write;

use bevelbench_geometry::{
    math::{Angle, Quantity},
    side::Target,
    solve::{FitRefusal, Trial, fit_rig},
};
use bevelbench_notebook::{answer::readings::readings, quantity::format_angle, words::fit_refusal_words};
use serde::Serialize;

use super::{
    ANSWERED, BenchFile, ErrorRecord, Format, Opened, Stopped, UNANSWERED,
    quantities::{FITTED_WORDS, OneOf, degrees_of, key},
    record::millimetres,
    setting_named, write_record,
};

/// What `fit` is asked.
#[derive(Debug, Clone, PartialEq, clap::Args)]
pub struct Fit {
    /// The bench file.
    #[command(flatten)]
    pub file: BenchFile,
    /// A setting and the bevel measured across what it ground; once for each.
    #[arg(
        long = "trial",
        value_name = "NAME=ANGLE",
        value_parser = trial,
        required = true,
        allow_hyphen_values = true
    )]
    pub trials: Vec<(String, f64)>,
    /// The bevels are those at the edge rather than across the facet.
    #[arg(long)]
    pub at_edge: bool,
    /// How far a measured bevel may be off.
    #[arg(long = "plus-minus", value_name = "ANGLE", value_parser = degrees_of, default_value = "0.5deg")]
    pub half_width_deg: f64,
    /// The dimensions to fit.
    #[arg(
        long = "fit",
        value_name = "LIST",
        value_delimiter = ',',
        value_parser = OneOf(&FITTED_WORDS),
        default_value = "arm-zero-x,arm-zero-z"
    )]
    pub hidden: Vec<Quantity>,
    /// How to write it.
    #[arg(long, default_value = "text")]
    pub format: Format,
}

/// A setting's name and a bevel: `Long grind=45.5deg`.
fn trial(text: &str) -> Result<(String, f64), String> {
    let (name, bevel) =
        text.rsplit_once('=').ok_or("A trial is NAME=ANGLE, as in --trial \"Long grind=45.5deg\".")?;
    Ok((name.to_owned(), degrees_of(bevel)?))
}

/// What `fit --format json` says.
#[derive(Debug, Clone, PartialEq, Serialize, Default)]
struct FitRecord {
    dimensions: Vec<DimensionRecord>,
    residuals: Vec<ResidualRecord>,
    #[serde(skip_serializing_if = "Option::is_none")]
    chi_squared: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    degrees_of_freedom: Option<usize>,
    #[serde(skip_serializing_if = "Option::is_none")]
    is_consistent: Option<bool>,
    #[serde(skip_serializing_if = "Option::is_none")]
    error: Option<ErrorRecord>,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
struct DimensionRecord {
    dimension: &'static str,
    was_mm: f64,
    is_mm: f64,
    plus_minus_mm: f64,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
struct ResidualRecord {
    setting: String,
    measured_deg: f64,
    residual_deg: f64,
}

impl Fit {
    pub(super) fn run(&self, out: &mut dyn Write, stderr: &mut dyn Write) -> Result<u8, Stopped> {
        let Opened { bench, seal } = self.file.open(stderr)?;
        let mut record = FitRecord::default();
        let mut trials = Vec::with_capacity(self.trials.len());
        for (name, bevel_deg) in &self.trials {
            let entry = setting_named(&bench, name)?;
            let bevel = Angle::from_degrees(*bevel_deg);
            match bench.job_of(entry) {
                Ok(job) => trials.push(Trial {
                    setting: job.setting,
                    measured: if self.at_edge { Target::AtEdge(bevel) } else { Target::AcrossFacet(bevel) },
                    half_width: Angle::from_degrees(self.half_width_deg),
                    readings: readings(&bench, entry),
                }),
                Err(why) => record.error = Some(ErrorRecord::of(&why)),
            }
        }
        let noun = if trials.len() == 1 { "trial" } else { "trials" };
        let mut lines = vec![format!(
            "{} {noun}, each to ±{}; what was set and read for them counts with its own ±",
            trials.len(),
            format_angle(self.half_width_deg, 2)
        )];
        if record.error.is_none() {
            match fit_rig(&trials, &self.hidden) {
                Ok(fit) => {
                    for one in &fit.dimensions {
                        lines.push(format!(
                            "  {:<34}{} ± {} (was {})",
                            one.hidden.words(),
                            millimetres(one.is_mm),
                            millimetres(one.expanded_mm()),
                            millimetres(one.was_mm)
                        ));
                        record.dimensions.push(DimensionRecord {
                            dimension: key(one.hidden),
                            was_mm: one.was_mm,
                            is_mm: one.is_mm,
                            plus_minus_mm: one.expanded_mm(),
                        });
                    }
                    for ((setting, measured_deg), residual) in self.trials.iter().zip(&fit.residuals) {
                        lines.push(format!("  left over: {} {setting}", format_angle(residual.degrees(), 2)));
                        record.residuals.push(ResidualRecord {
                            setting: setting.clone(),
                            measured_deg: *measured_deg,
                            residual_deg: residual.degrees(),
                        });
                    }
                    if !fit.is_consistent() {
                        lines.push("  ! What is left over is more than the stated ± explains.".to_owned());
                    }
                    record.chi_squared = Some(fit.chi_squared);
                    record.degrees_of_freedom = Some(fit.degrees_of_freedom);
                    record.is_consistent = Some(fit.is_consistent());
                }
                Err(why) => {
                    record.error =
                        Some(ErrorRecord::plain(kind(&why), &fit_refusal_words(&why, &millimetres)));
                }
            }
        }
        lines.extend(record.error.iter().map(|error| format!("  No answer: {}", error.message)));
        lines.push(String::new());
        match self.format {
            Format::Json => write_record(out, &record, seal)?,
            Format::Text => out.write_all(lines.join("\n").as_bytes()).map_err(Stopped::Output)?,
        }
        Ok(if record.error.is_none() { ANSWERED } else { UNANSWERED })
    }
}

const fn kind(why: &FitRefusal) -> &'static str {
    match why {
        FitRefusal::NothingToFit => "nothing_to_fit",
        FitRefusal::TooFewTrials { .. } => "too_few_trials",
        FitRefusal::Trial { refusal, .. } => refusal.kind(),
        FitRefusal::NoUncertainty { .. } => "no_doubt",
        FitRefusal::NotUsed(_) => "not_used",
        FitRefusal::CannotTellApart { .. } => "cannot_tell_apart",
        FitRefusal::DidNotSettle => "did_not_settle",
    }
}
