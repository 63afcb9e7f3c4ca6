//! `match`: what a tool is ground to, from what was measured. The names of the JSON are a contract.

use std::io::Write;

use bevelbench_notebook::{
    answer::{
        bench::Unanswered,
        matching::{Matched, Measured, Measures, MethodResult, Unmatched, wheels_by_fit},
    },
    words::{at_odds_words, bevel_method_name, matched_words, unmatched_words, wheel_fit_words},
};
use serde::Serialize;

use super::{
    ANSWERED, BenchFile, ErrorRecord, Format, Opened, Stopped, UNANSWERED,
    quantities::{degrees_of, millimetres_of},
    record::millimetres,
    write_record,
};

/// What `match` is asked. A reading may carry its own ±: 6mm+-0.1mm.
#[derive(Debug, Clone, PartialEq, clap::Args)]
pub struct Match {
    /// The bench file, for its wheels.
    #[command(flatten)]
    pub file: BenchFile,
    /// Width of the facet, edge to heel.
    #[arg(long, value_name = "LENGTH", value_parser = length(FACET_OFF_MM), allow_hyphen_values = true)]
    pub facet: Option<Measured>,
    /// Steel under the edge, square to the tool.
    #[arg(long, value_name = "LENGTH", value_parser = length(UNDER_OFF_MM), allow_hyphen_values = true)]
    pub under: Option<Measured>,
    /// What a protractor reads across the facet.
    #[arg(long, value_name = "ANGLE", value_parser = angle(PROTRACTOR_OFF_DEG), allow_hyphen_values = true)]
    pub protractor: Option<Measured>,
    /// A template laid on the facet.
    #[arg(long, value_name = "ANGLE", value_parser = angle(TEMPLATE_OFF_DEG), allow_hyphen_values = true)]
    pub template: Option<Measured>,
    /// The light under the template, at the heel or with --open-at-edge.
    #[arg(long, value_name = "LENGTH", value_parser = length(DAYLIGHT_OFF_MM), allow_hyphen_values = true)]
    pub daylight: Option<Measured>,
    /// The light under the template is at the edge.
    #[arg(long)]
    pub open_at_edge: bool,
    /// Depth of the hollow.
    #[arg(long, value_name = "LENGTH", value_parser = length(HOLLOW_OFF_MM), allow_hyphen_values = true)]
    pub hollow: Option<Measured>,
    /// Radius of the wheel that ground it.
    #[arg(long, value_name = "LENGTH", value_parser = length(RADIUS_OFF_MM), allow_hyphen_values = true)]
    pub wheel_radius: Option<Measured>,
    /// How to write it.
    #[arg(long, default_value = "text")]
    pub format: Format,
}

/// How far a reading may be off where nobody says: calipers, a protractor, a template, feeler gauges (common practice),
/// a wheel's radius.
const FACET_OFF_MM: f64 = 0.2;
const UNDER_OFF_MM: f64 = 0.1;
const PROTRACTOR_OFF_DEG: f64 = 0.5;
const TEMPLATE_OFF_DEG: f64 = 0.2;
const DAYLIGHT_OFF_MM: f64 = 0.05;
const HOLLOW_OFF_MM: f64 = 0.02;
const RADIUS_OFF_MM: f64 = 1.0;

/// A reading written as `6mm` or `6mm+-0.1mm`.
fn reading(text: &str, usual: f64, read: fn(&str) -> Result<f64, String>) -> Result<Measured, String> {
    let parts = text.split_once("+-").or_else(|| text.split_once('±'));
    let (value, uncertainty) = match parts {
        Some((value, uncertainty)) => (read(value)?, read(uncertainty)?.abs()),
        None => (read(text)?, usual),
    };
    Ok(Measured { value, uncertainty })
}

/// Reads a length with its ±.
fn length(usual: f64) -> impl Fn(&str) -> Result<Measured, String> + Clone + Send + Sync + 'static {
    move |text| reading(text, usual, millimetres_of)
}

/// Reads an angle with its ±.
fn angle(usual: f64) -> impl Fn(&str) -> Result<Measured, String> + Clone + Send + Sync + 'static {
    move |text| reading(text, usual, degrees_of)
}

/// One way of measuring.
#[derive(Debug, Clone, PartialEq, Serialize)]
struct BevelMethodRecord {
    by: &'static str,
    bevel_at_edge_deg: f64,
    bevel_at_edge_plus_minus_deg: f64,
    bevel_across_facet_deg: f64,
    bevel_across_facet_plus_minus_deg: f64,
}

impl BevelMethodRecord {
    fn of(found: &MethodResult) -> Self {
        let facet = found.grind.facet;
        Self {
            by: bevel_method_name(found.method),
            bevel_at_edge_deg: facet.at_edge().degrees(),
            bevel_at_edge_plus_minus_deg: found.uncertainty.at_edge.degrees(),
            bevel_across_facet_deg: facet.across().degrees(),
            bevel_across_facet_plus_minus_deg: found.uncertainty.across.degrees(),
        }
    }
}

/// A wheel of the bench.
#[derive(Debug, Clone, PartialEq, Serialize)]
struct WheelRecord {
    rig: String,
    wheel: String,
    diameter_mm: f64,
    larger_by_mm: f64,
    fits: bool,
}

/// What `match --format json` says.
#[derive(Debug, Clone, PartialEq, Serialize, Default)]
struct MatchRecord {
    /// The surest way first.
    #[serde(rename = "ways", skip_serializing_if = "Vec::is_empty")]
    methods: Vec<BevelMethodRecord>,
    #[serde(skip_serializing_if = "Option::is_none")]
    agree: Option<bool>,
    #[serde(skip_serializing_if = "Option::is_none")]
    hollow_radius_mm: Option<f64>,
    /// Absent where the hollow may as well be flat.
    #[serde(skip_serializing_if = "Option::is_none")]
    hollow_radius_plus_minus_mm: Option<f64>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    wheels: Vec<WheelRecord>,
    #[serde(skip_serializing_if = "Option::is_none")]
    message: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    error: Option<ErrorRecord>,
}

impl Match {
    fn measures(&self) -> Measures {
        let sign = if self.open_at_edge { -1.0 } else { 1.0 };
        Measures {
            width: self.facet,
            under: self.under,
            protractor: self.protractor,
            template: self.template,
            daylight: self.daylight.map(|daylight| Measured { value: sign * daylight.value, ..daylight }),
            hollow: self.hollow,
            wheel_radius: self.wheel_radius,
        }
    }

    pub(super) fn run(&self, out: &mut dyn Write, stderr: &mut dyn Write) -> Result<u8, Stopped> {
        let Opened { bench, seal } = self.file.open(stderr)?;
        let mut record = MatchRecord::default();
        let mut lines = Vec::new();
        match self.measures().matched() {
            Err(why) => record.error = Some(error_of(&why)),
            Ok(matched) => {
                let Matched { most_certain, others, hollow_measured } = &matched;
                lines.extend(std::iter::once(most_certain).chain(others).map(matched_words));
                record.methods =
                    std::iter::once(most_certain).chain(others).map(BevelMethodRecord::of).collect();
                if let Some((agree, words)) = at_odds_words(&matched) {
                    record.agree = Some(agree);
                    lines.push(words);
                }
                if *hollow_measured {
                    let uncertainty = most_certain.uncertainty.radius_mm;
                    let radius = most_certain.grind.radius_mm;
                    let fits = radius
                        .map(|radius| wheels_by_fit(&bench, radius, uncertainty.unwrap_or(0.0)))
                        .unwrap_or_default();
                    record.hollow_radius_mm = radius;
                    record.hollow_radius_plus_minus_mm =
                        uncertainty.filter(|uncertainty| uncertainty.is_finite());
                    lines.push(wheel_fit_words(&fits, radius, uncertainty, &millimetres).together());
                    record.wheels = fits
                        .iter()
                        .map(|fit| WheelRecord {
                            rig: fit.rig.to_owned(),
                            wheel: fit.name.to_owned(),
                            diameter_mm: fit.diameter_mm,
                            larger_by_mm: fit.larger_by_mm,
                            fits: fit.fits,
                        })
                        .collect();
                }
                record.message = Some(lines.join(" "));
            }
        }
        match self.format {
            Format::Json => write_record(out, &record, seal)?,
            Format::Text => {
                lines.extend(record.error.iter().map(|error| format!("No answer: {}", error.message)));
                lines.push(String::new());
                out.write_all(lines.join("\n").as_bytes()).map_err(Stopped::Output)?;
            }
        }
        Ok(if record.error.is_some() { UNANSWERED } else { ANSWERED })
    }
}

fn error_of(why: &Unmatched) -> ErrorRecord {
    let words = unmatched_words(why, &millimetres);
    match why {
        Unmatched::NoWidth => ErrorRecord::plain("facet_missing", &words),
        Unmatched::NoBevel => ErrorRecord::plain("bevel_missing", &words),
        Unmatched::NoTemplate => ErrorRecord::plain("template_missing", &words),
        Unmatched::NoHollow => ErrorRecord::plain("hollow_missing", &words),
        Unmatched::DimensionError { dimension_error, .. } => {
            ErrorRecord::of(&Unanswered::Refused((*dimension_error).into()))
        }
    }
}
