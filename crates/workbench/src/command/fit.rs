//! `fit`: a rig's hidden dimensions from trial grinds. The names of the JSON are a contract.

use std::{io::Write, path::PathBuf};

use bevelbench_geometry::{
    math::{Angle, Quantity},
    side::Target,
    solve::{FitRefusal, Trial, fit_rig},
};
use bevelbench_notebook::{quantity::format_angle, words::fit_refusal_words};
use lexopt::{Arg, Parser, ValueExt};
use serde::Serialize;

use super::{
    ANSWERED, Command, ErrorRecord, Format, Stopped, Subcommand, UNANSWERED, Usage,
    find::{degrees_of, format_of},
    open_bench,
    record::millimetres,
    setting_named,
};

/// What `fit` is asked.
#[derive(Debug, Clone, PartialEq)]
pub struct Fit {
    /// The bench file.
    pub file: PathBuf,
    /// Names of settings with the bevel that was measured on what each ground, in degrees.
    pub trials: Vec<(String, f64)>,
    /// Whether the bevels were measured at the edge rather than across the facet.
    pub at_edge: bool,
    /// How far a measured bevel may be off, in degrees.
    pub half_width_deg: f64,
    /// The dimensions to fit.
    pub hidden: Vec<Quantity>,
    /// How to write it.
    pub format: Format,
}

const HIDDEN: [(&str, &str, Quantity); 5] = [
    ("arm-zero-x", "arm_zero_x_mm", Quantity::ArmZeroX),
    ("arm-zero-z", "arm_zero_z_mm", Quantity::ArmZeroZ),
    ("hinge-setback", "hinge_setback_mm", Quantity::HingeSetback),
    ("hinge-drop", "hinge_drop_mm", Quantity::HingeDrop),
    ("strut-length", "strut_length_mm", Quantity::StrutLength),
];

fn key(hidden: Quantity) -> &'static str {
    HIDDEN.iter().find(|(_, _, known)| *known == hidden).map_or("", |(_, key, _)| key)
}

pub(super) fn parse(parser: &mut Parser) -> Result<Command, Usage> {
    let (mut file, mut trials, mut hidden) = (None, Vec::new(), vec![Quantity::ArmZeroX, Quantity::ArmZeroZ]);
    let (mut at_edge, mut half_width_deg, mut format) = (false, 0.5, Format::Text);
    while let Some(argument) = parser.next()? {
        match argument {
            Arg::Long("trial") => {
                let word = parser.value()?.string()?;
                let (name, bevel) = word.rsplit_once('=').ok_or_else(|| {
                    Usage::new(format!(
                        "A trial is NAME=BEVEL, as in --trial \"Long grind=45.5deg\", not {word}."
                    ))
                })?;
                trials.push((name.to_owned(), degrees_of("trial", bevel)?));
            }
            Arg::Long("at-edge") => at_edge = true,
            Arg::Long("plus-minus") => half_width_deg = degrees_of("plus-minus", &parser.value()?.string()?)?,
            Arg::Long("fit") => {
                let list = parser.value()?.string()?;
                hidden = list
                    .split(',')
                    .map(|word| {
                        let known = HIDDEN.iter().find(|(name, ..)| *name == word.trim());
                        known.map(|(.., hidden)| *hidden).ok_or_else(|| {
                            let names: Vec<&str> = HIDDEN.iter().map(|(name, ..)| *name).collect();
                            Usage::new(format!("{word} cannot be fitted. There are: {}.", names.join(", ")))
                        })
                    })
                    .collect::<Result<_, _>>()?;
            }
            Arg::Long("format") => format = format_of(&parser.value()?.string()?)?,
            Arg::Short('h') | Arg::Long("help") => return Ok(Command::Run(Subcommand::Help)),
            Arg::Value(value) if file.is_none() => file = Some(PathBuf::from(value)),
            other => return Err(other.unexpected().into()),
        }
    }
    let missing =
        |what: &str| Usage::new(format!("{what} Write: bevelbench fit FILE --trial NAME=45.5deg ..."));
    let file = file.ok_or_else(|| missing("Which bench file?"))?;
    if trials.is_empty() {
        return Err(missing("Which trials?"));
    }
    Ok(Command::Run(Subcommand::Fit(Fit { file, trials, at_edge, half_width_deg, hidden, format })))
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
    pub(super) fn run(&self, out: &mut dyn Write) -> Result<u8, Stopped> {
        let bench = open_bench(&self.file)?;
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
                }),
                Err(why) => record.error = Some(ErrorRecord::of(&why)),
            }
        }
        let mut lines =
            vec![format!("{} trials, each to ±{}", trials.len(), format_angle(self.half_width_deg, 2))];
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
            Format::Json => {
                serde_json::to_writer_pretty(&mut *out, &record)
                    .map_err(|error| Stopped::Output(error.into()))?;
                writeln!(out).map_err(Stopped::Output)?;
            }
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
