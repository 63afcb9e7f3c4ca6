//! `check`: every caution of every setting, what has drifted, and what of a rig is beyond a limit. The names of the JSON
//! are a contract, as in [`super::record`].

use std::{io::Write, path::PathBuf};

use bevelbench_geometry::side::Caution;
use bevelbench_notebook::{
    answer::wear::drift,
    saved::{Bench, SettingEntry},
    words::safety::{Check, FIRST, Verdict, wheel_checks},
};
use lexopt::{Arg, Parser, ValueExt};
use serde::Serialize;

use super::{
    ANSWERED, Command, ErrorRecord, Format, Stopped, Subcommand, UNANSWERED, Usage,
    find::format_of,
    open_bench,
    record::{CautionRecord, cautions_of, millimetres},
    wear::DriftRecord,
};

/// What `check` is asked.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CheckArgs {
    /// The bench file.
    pub file: PathBuf,
    /// How to write it.
    pub format: Format,
}

pub(super) fn parse(parser: &mut Parser) -> Result<Command, Usage> {
    let (mut file, mut format) = (None, Format::Text);
    while let Some(argument) = parser.next()? {
        match argument {
            Arg::Long("format") => format = format_of(&parser.value()?.string()?)?,
            Arg::Short('h') | Arg::Long("help") => return Ok(Command::Run(Subcommand::Help)),
            Arg::Value(value) if file.is_none() => file = Some(PathBuf::from(value)),
            other => return Err(other.unexpected().into()),
        }
    }
    let file = file.ok_or_else(|| Usage::new("Which bench file? Write: bevelbench check FILE."))?;
    Ok(Command::Run(Subcommand::Check(CheckArgs { file, format })))
}

/// All that `check --format json` says.
#[derive(Debug, Clone, PartialEq, Serialize)]
struct Report {
    /// What comes before everything else.
    first: &'static str,
    tolerance_deg: f64,
    settings: Vec<SettingReport>,
    wheels: Vec<WheelReport>,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
struct SettingReport {
    setting: String,
    /// Whether it is not to be used as it stands.
    #[serde(rename = "unsafe")]
    is_unsafe: bool,
    cautions: Vec<CautionRecord>,
    #[serde(skip_serializing_if = "Option::is_none")]
    drift: Option<DriftRecord>,
    /// Whether it has drifted further than the tolerance.
    drifted: bool,
    #[serde(skip_serializing_if = "Option::is_none")]
    error: Option<ErrorRecord>,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
struct WheelReport {
    rig: String,
    wheel: String,
    checks: Vec<CheckRecord>,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
struct CheckRecord {
    code: &'static str,
    name: &'static str,
    found: String,
    limit: String,
    /// `within`, `beyond` or `unknown`.
    verdict: &'static str,
    source: String,
}

impl CheckRecord {
    fn of(check: Check) -> Self {
        Self {
            code: check.code,
            name: check.name,
            found: check.found,
            limit: check.limit,
            verdict: match check.verdict {
                Verdict::Within => "within",
                Verdict::Beyond => "beyond",
                Verdict::Unknown => "unknown",
            },
            source: check.source,
        }
    }

    fn is_beyond(&self) -> bool {
        self.verdict == "beyond"
    }
}

impl Report {
    fn of(bench: &Bench) -> Self {
        let tolerance = bench.keep.tolerance();
        let setting = |entry: &SettingEntry| {
            let answer = bench.answer(entry);
            let (cautions, is_unsafe, error) = match &answer {
                Ok((job, view)) => {
                    let is_unsafe = job.cautions(view).iter().any(Caution::is_unsafe);
                    (cautions_of(job, view), is_unsafe, None)
                }
                Err(unanswered) => (Vec::new(), false, Some(ErrorRecord::of(unanswered))),
            };
            SettingReport {
                setting: entry.name.clone(),
                is_unsafe,
                cautions,
                drift: DriftRecord::of(bench, entry),
                drifted: drift(bench, entry).is_some_and(|drift| drift.passes(tolerance)),
                error,
            }
        };
        let low = |rig, wheel| {
            let on_it = bench.settings.iter().filter(|entry| entry.rig == rig && entry.wheel == wheel);
            on_it.filter_map(|entry| bench.answer(entry).ok()).any(|(_, view)| view.contact_height_mm() < 0.0)
        };
        let wheels = bench.rigs.iter().flat_map(|rig| {
            rig.wheels.iter().map(move |wheel| WheelReport {
                rig: rig.name.clone(),
                wheel: wheel.name.clone(),
                checks: wheel_checks(bench, rig, wheel, low(rig.id, wheel.id), &millimetres)
                    .into_iter()
                    .map(CheckRecord::of)
                    .collect(),
            })
        });
        Self {
            first: FIRST,
            tolerance_deg: tolerance.degrees(),
            settings: bench.settings.iter().map(setting).collect(),
            wheels: wheels.collect(),
        }
    }

    /// Whether everything may be used as it stands, as far as the numbers tell.
    fn nothing_stands_out(&self) -> bool {
        let settings = self.settings.iter().all(|report| report.error.is_none() && !report.is_unsafe);
        settings && !self.wheels.iter().flat_map(|wheel| &wheel.checks).any(CheckRecord::is_beyond)
    }
}

impl CheckArgs {
    pub(super) fn run(&self, out: &mut dyn Write) -> Result<u8, Stopped> {
        let bench = open_bench(&self.file)?;
        let report = Report::of(&bench);
        match self.format {
            Format::Json => {
                serde_json::to_writer_pretty(&mut *out, &report)
                    .map_err(|error| Stopped::Output(error.into()))?;
                writeln!(out).map_err(Stopped::Output)?;
            }
            Format::Text => out.write_all(text_of(&report).as_bytes()).map_err(Stopped::Output)?,
        }
        Ok(if report.nothing_stands_out() { ANSWERED } else { UNANSWERED })
    }
}

fn text_of(report: &Report) -> String {
    let mut lines = vec![report.first.to_owned(), String::new()];
    for setting in &report.settings {
        let mark = match (&setting.error, setting.is_unsafe) {
            (Some(_), _) => " (impossible)",
            (None, true) => " (unsafe as it stands)",
            (None, false) => "",
        };
        lines.push(format!("{}{mark}", setting.setting));
        if let Some(error) = &setting.error {
            lines.push(format!("  No answer: {}", error.message));
        }
        if let Some(drift) = setting.drift.as_ref().filter(|_| setting.drifted) {
            lines.push(format!("  Drifted: {}", drift.text));
        }
        lines.extend(setting.cautions.iter().map(|caution| format!("  ! {}", caution.text)));
        lines.push(String::new());
    }
    for wheel in &report.wheels {
        lines.push(format!("{}: {}", wheel.rig, wheel.wheel));
        for check in &wheel.checks {
            lines.push(format!(
                "  {:<20}{}; {} ({}): {}",
                check.name, check.found, check.limit, check.source, check.verdict
            ));
        }
        lines.push(String::new());
    }
    lines.join("\n")
}
