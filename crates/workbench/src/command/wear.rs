//! `wear`: what a setting grinds as its wheel wears, kept in each of three ways. The names of JSON and CSV are a
//! contract, as in [`super::record`].

use std::io::Write;

use bevelbench_geometry::side::{NotWorn, Support, Target};
use bevelbench_notebook::{
    answer::wear::{self as wearing, HardlyWears, WearPoint, WearRow, WearStrategy, drift},
    paper::wear_table::{STEP_MM, wear_csv},
    quantity::format_angle,
    saved::{Bench, SettingEntry},
    words::{drift_words, left_words, not_worn_words},
};
use serde::Serialize;

use super::{
    ANSWERED, BenchFile, ErrorRecord, Opened, Stopped, UNANSWERED,
    quantities::millimetres_of,
    record::{CautionRecord, cautions_of, millimetres, particular_lines, standing_lines},
    setting_named, write_record,
};

/// What `wear` is asked.
#[derive(Debug, Clone, PartialEq, clap::Args)]
pub struct Wear {
    /// The bench file.
    #[command(flatten)]
    pub file: BenchFile,
    /// Which setting.
    #[arg(long, value_name = "NAME", allow_hyphen_values = true)]
    pub setting: String,
    /// Today's diameter and this one only; without it down to the least usable.
    #[arg(long = "to", value_name = "LENGTH", value_parser = millimetres_of, allow_hyphen_values = true)]
    pub to_mm: Option<f64>,
    /// How to write it.
    #[arg(long, default_value = "text")]
    pub format: WearFormat,
}

/// How a setting table is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, clap::ValueEnum)]
pub enum WearFormat {
    /// For people.
    #[default]
    Text,
    /// For scripts.
    Json,
    /// For spreadsheets.
    Csv,
}

/// All that `wear --format json` says.
#[derive(Debug, Clone, PartialEq, Serialize)]
struct WearRecord {
    setting: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    wheel_diameter_mm: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    diameter_least_mm: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    diameter_left_mm: Option<f64>,
    /// What makes wear nothing to speak of, in words.
    #[serde(skip_serializing_if = "Option::is_none")]
    hardly_wears: Option<&'static str>,
    /// The bevel that is found again.
    #[serde(skip_serializing_if = "Option::is_none")]
    bevel_deg: Option<f64>,
    /// `at_edge` or `across_facet`.
    #[serde(skip_serializing_if = "Option::is_none")]
    meant: Option<&'static str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    drift: Option<DriftRecord>,
    rows: Vec<RowRecord>,
    /// Handle in the cup only: the bevel after so much of the tool's length is lost.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    tool_shorter: Vec<ShorterRecord>,
    cautions: Vec<CautionRecord>,
    #[serde(skip_serializing_if = "Option::is_none")]
    error: Option<ErrorRecord>,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
pub(super) struct DriftRecord {
    was_deg: f64,
    now_deg: f64,
    by_deg: f64,
    by_wheel_deg: f64,
    by_tool_length_deg: f64,
    pub(super) text: String,
}

impl DriftRecord {
    /// How far a setting has drifted, where that is known.
    pub(super) fn of(bench: &Bench, entry: &SettingEntry) -> Option<Self> {
        let drift = drift(bench, entry)?;
        Some(Self {
            was_deg: drift.was.degrees(),
            now_deg: drift.now.degrees(),
            by_deg: drift.by().degrees(),
            by_wheel_deg: drift.by_wheel.degrees(),
            by_tool_length_deg: drift.by_length.degrees(),
            text: drift_words(&drift),
        })
    }
}

#[derive(Debug, Clone, PartialEq, Serialize)]
struct RowRecord {
    wheel_diameter_mm: f64,
    left_where_it_is: PointRecord,
    set_by_gauge_stick: PointRecord,
    found_again: PointRecord,
}

#[derive(Debug, Clone, PartialEq, Serialize, Default)]
struct PointRecord {
    #[serde(skip_serializing_if = "Option::is_none")]
    bevel_at_edge_deg: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    bevel_across_facet_deg: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    reach_mm: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    table_tilt_deg: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    gauge_length_mm: Option<f64>,
    /// Why there is no answer.
    #[serde(skip_serializing_if = "Option::is_none")]
    no_answer: Option<String>,
}

#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
struct ShorterRecord {
    lost_mm: f64,
    bevel_at_edge_deg: f64,
}

impl PointRecord {
    fn of(point: &Result<WearPoint, NotWorn>, on_table: bool) -> Self {
        match point {
            Ok(point) => Self {
                bevel_at_edge_deg: Some(point.bevel.degrees()),
                bevel_across_facet_deg: Some(point.across.degrees()),
                reach_mm: (!on_table).then_some(point.set),
                table_tilt_deg: on_table.then_some(point.set),
                gauge_length_mm: point.gauge_length_mm,
                no_answer: None,
            },
            Err(why) => Self { no_answer: Some(not_worn_words(why, &millimetres)), ..Self::default() },
        }
    }

    /// What is set, as text.
    fn set(&self) -> String {
        match (self.reach_mm, self.table_tilt_deg) {
            (Some(reach), _) => millimetres(reach),
            (_, Some(tilt)) => format_angle(tilt, 1),
            _ => "–".to_owned(),
        }
    }

    fn bevel(&self) -> String {
        self.bevel_at_edge_deg.map_or_else(|| "–".to_owned(), |bevel| format_angle(bevel, 2))
    }
}

impl WearRecord {
    fn bare(entry: &SettingEntry, error: Option<ErrorRecord>) -> Self {
        Self {
            setting: entry.name.clone(),
            wheel_diameter_mm: None,
            diameter_least_mm: None,
            diameter_left_mm: None,
            hardly_wears: None,
            bevel_deg: None,
            meant: None,
            drift: None,
            rows: Vec::new(),
            tool_shorter: Vec::new(),
            cautions: Vec::new(),
            error,
        }
    }

    fn of(bench: &Bench, entry: &SettingEntry, wear: &wearing::Wear, rows: &[WearRow]) -> Self {
        let on_table = matches!(wear.job().setting.support, Support::Table { .. });
        let (bevel, meant) = match wear.target() {
            Target::AtEdge(bevel) => (bevel, "at_edge"),
            Target::AcrossFacet(bevel) => (bevel, "across_facet"),
        };
        let shorter = [1.0, 2.0, 5.0, 10.0].into_iter().filter_map(|lost_mm| {
            let bevel = wear.with_tool_shorter(lost_mm)?;
            Some(ShorterRecord { lost_mm, bevel_at_edge_deg: bevel.degrees() })
        });
        Self {
            wheel_diameter_mm: Some(wear.diameter_mm()),
            diameter_least_mm: Some(wear.range_mm().0),
            diameter_left_mm: Some(wear.left().diameter_mm),
            hardly_wears: wear.hardly_wears().map(HardlyWears::words),
            bevel_deg: Some(bevel.degrees()),
            meant: Some(meant),
            drift: DriftRecord::of(bench, entry),
            rows: rows
                .iter()
                .map(|row| RowRecord {
                    wheel_diameter_mm: row.diameter_mm,
                    left_where_it_is: PointRecord::of(&row.place, on_table),
                    set_by_gauge_stick: PointRecord::of(&row.gauge_stick, on_table),
                    found_again: PointRecord::of(&row.found_again, on_table),
                })
                .collect(),
            tool_shorter: shorter.collect(),
            cautions: cautions_of(wear.job(), wear.view()),
            ..Self::bare(entry, None)
        }
    }
}

impl Wear {
    /// Today's diameter and the one that was asked for, or every line of the table.
    fn rows(&self, wear: &wearing::Wear) -> Vec<WearRow> {
        match self.to_mm {
            Some(to) => vec![wear.row(wear.diameter_mm()), wear.row(to)],
            None => wear.table(STEP_MM),
        }
    }

    pub(super) fn run(&self, out: &mut dyn Write, stderr: &mut dyn Write) -> Result<u8, Stopped> {
        let Opened { bench, seal } = self.file.open(stderr)?;
        let entry = setting_named(&bench, &self.setting)?;
        let wear = wearing::Wear::of(&bench, entry);
        let record = match &wear {
            Ok(wear) => WearRecord::of(&bench, entry, wear, &self.rows(wear)),
            Err(unanswered) => WearRecord::bare(entry, Some(ErrorRecord::of(unanswered))),
        };
        match self.format {
            WearFormat::Json => write_record(out, &record, seal)?,
            WearFormat::Csv => {
                let rows = wear.as_ref().map(|wear| self.rows(wear)).unwrap_or_default();
                let table = wear_csv(&rows).map_err(|error| Stopped::Output(std::io::Error::other(error)))?;
                out.write_all(table.as_bytes()).map_err(Stopped::Output)?;
            }
            WearFormat::Text => {
                let text = text_of(&record, wear.as_ref().ok(), self.to_mm.is_some());
                out.write_all(text.as_bytes()).map_err(Stopped::Output)?;
            }
        }
        // A flat abrasive has no rows to speak of; where one diameter was asked for it must have an answer.
        let last = record.rows.last();
        let met = record.error.is_none()
            && (record.hardly_wears.is_some()
                || last.is_some_and(|row| self.to_mm.is_none() || row.found_again.no_answer.is_none()));
        Ok(if met { ANSWERED } else { UNANSWERED })
    }
}

/// The record for people; of a wheel that hardly wears the rows are told where a diameter was asked for.
fn text_of(record: &WearRecord, wear: Option<&wearing::Wear>, asked: bool) -> String {
    let mut lines = vec![record.setting.clone()];
    if let Some(error) = &record.error {
        lines.push(format!("  No answer: {}", error.message));
    }
    if let Some(drift) = &record.drift {
        lines.push(format!("  {}", drift.text));
    }
    match (record.hardly_wears, wear) {
        (Some(why), _) => lines.push(format!("  {why}")),
        (None, Some(wear)) => lines.push(format!("  {}", left_words(&wear.left(), &millimetres))),
        (None, None) => {}
    }
    if !record.rows.is_empty() && (asked || record.hardly_wears.is_none()) {
        let set = if record.rows.iter().any(|row| row.found_again.table_tilt_deg.is_some()) {
            "tilt"
        } else {
            "reach"
        };
        lines.push(format!(
            "  {:>9}  {:>20}  {:>20}  {:>12}  {:>12}",
            "wheel",
            WearStrategy::Place.name(),
            WearStrategy::GaugeStick.name(),
            format!("{set} again"),
            "gauge length"
        ));
        for row in &record.rows {
            let gauge = row.found_again.gauge_length_mm.map_or_else(|| "–".to_owned(), millimetres);
            lines.push(format!(
                "  {:>9}  {:>20}  {:>20}  {:>12}  {gauge:>12}",
                millimetres(row.wheel_diameter_mm),
                row.left_where_it_is.bevel(),
                row.set_by_gauge_stick.bevel(),
                row.found_again.set(),
            ));
        }
    }
    for shorter in &record.tool_shorter {
        lines.push(format!(
            "  tool {} shorter: {}",
            millimetres(shorter.lost_mm),
            format_angle(shorter.bevel_at_edge_deg, 2)
        ));
    }
    lines.extend(particular_lines(&record.cautions));
    lines.extend(standing_lines(record.cautions.iter()));
    lines.push(String::new());
    lines.join("\n")
}
