//! `match`: what a tool is ground to, from what was measured. The names of the JSON are a contract.

use std::{io::Write, path::PathBuf};

use bevelbench_notebook::{
    answer::{
        bench::Unanswered,
        matching::{Matched, Measured, Measures, MethodResult, Unmatched, wheels_by_fit},
    },
    words::{at_odds_words, bevel_method_name, matched_words, unmatched_words, wheel_fit_words},
};
use lexopt::{Arg, Parser, ValueExt};
use serde::Serialize;

use super::{
    ANSWERED, Command, ErrorRecord, Format, Stopped, Subcommand, UNANSWERED, Usage,
    find::{degrees_of, format_of, millimetres_of},
    open_bench,
    record::millimetres,
};

/// What `match` is asked.
#[derive(Debug, Clone, PartialEq)]
pub struct Match {
    /// The bench file, for its wheels.
    pub file: PathBuf,
    /// What was measured.
    pub measures: Measures,
    /// How to write it.
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
fn reading(
    option: &str,
    text: &str,
    usual: f64,
    read: fn(&str, &str) -> Result<f64, Usage>,
) -> Result<Measured, Usage> {
    let parts = text.split_once("+-").or_else(|| text.split_once('±'));
    let (value, uncertainty) = match parts {
        Some((value, uncertainty)) => (read(option, value)?, read(option, uncertainty)?.abs()),
        None => (read(option, text)?, usual),
    };
    Ok(Measured { value, uncertainty })
}

pub(super) fn parse(parser: &mut Parser) -> Result<Command, Usage> {
    let (mut file, mut format, mut at_edge) = (None, Format::Text, false);
    let mut measures = Measures::default();
    while let Some(argument) = parser.next()? {
        let (place, option, usual, read): (&mut Option<Measured>, _, _, fn(&str, &str) -> _) = match argument
        {
            Arg::Long("facet") => (&mut measures.width, "facet", FACET_OFF_MM, millimetres_of),
            Arg::Long("under") => (&mut measures.under, "under", UNDER_OFF_MM, millimetres_of),
            Arg::Long("protractor") => {
                (&mut measures.protractor, "protractor", PROTRACTOR_OFF_DEG, degrees_of)
            }
            Arg::Long("template") => (&mut measures.template, "template", TEMPLATE_OFF_DEG, degrees_of),
            Arg::Long("daylight") => (&mut measures.daylight, "daylight", DAYLIGHT_OFF_MM, millimetres_of),
            Arg::Long("hollow") => (&mut measures.hollow, "hollow", HOLLOW_OFF_MM, millimetres_of),
            Arg::Long("wheel-radius") => {
                (&mut measures.wheel_radius, "wheel-radius", RADIUS_OFF_MM, millimetres_of)
            }
            Arg::Long("open-at-edge") => {
                at_edge = true;
                continue;
            }
            Arg::Long("format") => {
                format = format_of(&parser.value()?.string()?)?;
                continue;
            }
            Arg::Short('h') | Arg::Long("help") => return Ok(Command::Run(Subcommand::Help)),
            Arg::Value(value) if file.is_none() => {
                file = Some(PathBuf::from(value));
                continue;
            }
            other => return Err(other.unexpected().into()),
        };
        *place = Some(reading(option, &parser.value()?.string()?, usual, read)?);
    }
    if let Some(daylight) = measures.daylight.as_mut().filter(|_| at_edge) {
        daylight.value = -daylight.value;
    }
    let file = file.ok_or_else(|| {
        Usage::new("Which bench file? Write: bevelbench match FILE --facet 6mm --protractor 45deg.")
    })?;
    Ok(Command::Run(Subcommand::Match(Match { file, measures, format })))
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
    #[serde(skip_serializing_if = "Vec::is_empty")]
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
    pub(super) fn run(&self, out: &mut dyn Write) -> Result<u8, Stopped> {
        let bench = open_bench(&self.file)?;
        let mut record = MatchRecord::default();
        let mut lines = Vec::new();
        match self.measures.matched() {
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
            Format::Json => {
                serde_json::to_writer_pretty(&mut *out, &record)
                    .map_err(|error| Stopped::Output(error.into()))?;
                writeln!(out).map_err(Stopped::Output)?;
            }
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
