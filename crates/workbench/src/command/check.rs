//! `check`: every caution of every setting, what has drifted, and what of a rig is beyond a limit. The names of the JSON
//! are a contract, as in [`super::record`].

use std::io::Write;

use bevelbench_geometry::side::Caution;
use bevelbench_notebook::{
    answer::wear::drift,
    saved::{Bench, SettingEntry},
    words::safety::{self, FIRST, Verdict, wheel_checks},
};
use serde::Serialize;

use super::{
    ANSWERED, BenchFile, ErrorRecord, Format, Opened, Stopped, UNANSWERED,
    record::{CautionRecord, cautions_of, millimetres, particular_lines, standing_lines},
    wear::DriftRecord,
    write_record,
};

/// What `check` is asked.
#[derive(Debug, Clone, PartialEq, Eq, clap::Args)]
pub struct Check {
    /// The bench file.
    #[command(flatten)]
    pub file: BenchFile,
    /// How to write it.
    #[arg(long, default_value = "text")]
    pub format: Format,
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
    fn of(check: safety::Check) -> Self {
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

impl Check {
    pub(super) fn run(&self, out: &mut dyn Write, stderr: &mut dyn Write) -> Result<u8, Stopped> {
        let Opened { bench, seal } = self.file.open(stderr)?;
        let report = Report::of(&bench);
        match self.format {
            Format::Json => write_record(out, &report, seal)?,
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
        lines.extend(particular_lines(&setting.cautions));
        lines.push(String::new());
    }
    let standing = standing_lines(report.settings.iter().flat_map(|setting| &setting.cautions));
    if !standing.is_empty() {
        lines.extend(standing);
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
