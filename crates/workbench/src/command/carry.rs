//! `carry`: settings on another rig, wheel, holder or projection. The names of the JSON are a contract, as in
//! [`super::record`].

use std::io::Write;

use bevelbench_geometry::math::Angle;
use bevelbench_notebook::{
    answer::{
        carry::{Carried, NotCarried, NotKept, Side, To, carry_all},
        target::included,
    },
    quantity::{LengthUnit, format_angle, format_length},
    saved::{Bench, BevelMeant, SettingEntry, SupportSaved},
    words::{not_carried_words, not_kept_words},
};
use serde::Serialize;

use super::{
    ANSWERED, BenchFile, ErrorRecord, Format, Opened, Stopped, UNANSWERED,
    quantities::{OneOf, millimetres_of},
    record::{CautionRecord, cautions_of, meant_key, millimetres, particular_lines, standing_lines},
    setting_named, write_records,
};

/// What `carry` is asked.
#[derive(Debug, Clone, PartialEq, clap::Args)]
pub struct Carry {
    /// The bench file.
    #[command(flatten)]
    pub file: BenchFile,
    /// The rig it is carried to.
    #[arg(long, value_name = "RIG", allow_hyphen_values = true)]
    pub to: String,
    /// Which of its wheels.
    #[arg(long, value_name = "NAME", allow_hyphen_values = true)]
    pub wheel: Option<String>,
    /// Which of its holders.
    #[arg(long, value_name = "NAME", allow_hyphen_values = true)]
    pub holder: Option<String>,
    /// How far the tool stands out.
    #[arg(long = "projection", value_name = "LENGTH", value_parser = millimetres_of, allow_hyphen_values = true)]
    pub projection_mm: Option<f64>,
    /// One setting.
    #[arg(long, value_name = "NAME", allow_hyphen_values = true, conflicts_with = "all")]
    pub setting: Option<String>,
    /// All settings that are not there already, as without --setting.
    #[arg(long)]
    pub all: bool,
    /// The bevel that is kept: at the edge, across the facet, or both together of a tool ground on both faces.
    #[arg(long, value_name = "WHICH", value_parser = OneOf(&KEPT), default_value = "edge")]
    pub keep: BevelMeant,
    /// How to write it.
    #[arg(long, default_value = "text")]
    pub format: Format,
}

/// The bevel that is kept, by the word that asks for it.
const KEPT: [(&str, BevelMeant); 3] =
    [("edge", BevelMeant::AtEdge), ("across", BevelMeant::AcrossFacet), ("included", BevelMeant::Included)];

/// What became of one setting.
#[derive(Debug, Clone, PartialEq, Serialize)]
struct CarryRecord {
    setting: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    rig: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    wheel: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    holder: Option<String>,
    /// `at_edge`, `across_facet` or `included`.
    kept: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    old: Option<SideRecord>,
    #[serde(skip_serializing_if = "Option::is_none")]
    new: Option<SideRecord>,
    #[serde(skip_serializing_if = "Option::is_none")]
    same_surface: Option<bool>,
    not_kept: Vec<NotKeptRecord>,
    cautions: Vec<CautionRecord>,
    #[serde(skip_serializing_if = "Option::is_none")]
    error: Option<ErrorRecord>,
}

#[derive(Debug, Clone, Copy, PartialEq, Serialize, Default)]
struct SideRecord {
    #[serde(skip_serializing_if = "Option::is_none")]
    wheel_diameter_mm: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    reach_mm: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    projection_mm: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    strut_angle_deg: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    table_tilt_deg: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    gauge_length_mm: Option<f64>,
    bevel_at_edge_deg: f64,
    bevel_across_facet_deg: f64,
    /// Both bevels together, of a tool ground on both faces.
    #[serde(skip_serializing_if = "Option::is_none")]
    included_deg: Option<f64>,
    facet_width_mm: f64,
    hollow_depth_mm: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    wing_sweep_mm: Option<f64>,
}

/// What could not be kept: millimetres or degrees, new less old; the greatest along the edge where it is one.
#[derive(Debug, Clone, PartialEq, Serialize)]
struct NotKeptRecord {
    what: &'static str,
    by: f64,
    text: String,
}

impl SideRecord {
    fn of(side: &Side) -> Self {
        let mut record = Self {
            wheel_diameter_mm: side.job.setting.face.radius_mm().map(|radius| 2.0 * radius),
            gauge_length_mm: side.view.gauge_length_mm(),
            bevel_at_edge_deg: side.view.bevel().degrees(),
            bevel_across_facet_deg: side.view.facet.across.degrees(),
            included_deg: included(&side.job, side.view.bevel()).map(Angle::degrees),
            facet_width_mm: side.view.facet.width_mm,
            hollow_depth_mm: side.view.facet.hollow_mm,
            wing_sweep_mm: side.wing_sweep_mm(),
            ..Self::default()
        };
        match side.entry.support {
            SupportSaved::Handle { reach_mm } => record.reach_mm = Some(reach_mm),
            SupportSaved::Holder { reach_mm, projection_mm, strut_angle_deg, .. } => {
                record.reach_mm = Some(reach_mm);
                record.projection_mm = Some(projection_mm);
                record.strut_angle_deg = Some(strut_angle_deg);
            }
            SupportSaved::Table { tilt_deg } => record.table_tilt_deg = Some(tilt_deg),
        }
        record
    }

    /// Name and value of what is set and what follows, for people.
    fn rows(&self) -> Vec<(&'static str, String)> {
        let degrees = |value: f64| format_angle(value, 2);
        let mut rows = Vec::new();
        let mut add = |name, value: Option<String>| rows.extend(value.map(|value| (name, value)));
        add("wheel", self.wheel_diameter_mm.map(millimetres));
        add("projection", self.projection_mm.map(millimetres));
        add("strut angle", self.strut_angle_deg.map(degrees));
        add("reach", self.reach_mm.map(millimetres));
        add("tilt", self.table_tilt_deg.map(degrees));
        add("gauge length", self.gauge_length_mm.map(millimetres));
        add("bevel at the edge", Some(degrees(self.bevel_at_edge_deg)));
        add("bevel across the facet", Some(degrees(self.bevel_across_facet_deg)));
        add("included", self.included_deg.map(degrees));
        add("hollow", Some(fine(self.hollow_depth_mm)));
        add("wing sweep", self.wing_sweep_mm.map(millimetres));
        rows
    }
}

fn fine(mm: f64) -> String {
    format_length(mm, LengthUnit::Millimetre, 2)
}

impl NotKeptRecord {
    fn of(lost: &NotKept) -> Self {
        let (what, by) = match *lost {
            NotKept::AtEdge { by } => ("bevel_at_edge_deg", by.degrees()),
            NotKept::AcrossFacet { by } => ("bevel_across_facet_deg", by.degrees()),
            NotKept::Hollow { by_mm } => ("hollow_depth_mm", by_mm),
            NotKept::WingSweep { by_mm } => ("wing_sweep_mm", by_mm),
            NotKept::EdgeShape { by_mm } => ("edge_setback_mm", by_mm),
            NotKept::Wedge { by } => ("wedge_deg", by.degrees()),
            NotKept::FurtherSteps { count } => ("further_steps", count as f64),
        };
        Self { what, by, text: not_kept_words(lost, &millimetres, &fine) }
    }
}

impl CarryRecord {
    fn of(
        bench: &Bench,
        entry: &SettingEntry,
        keep: BevelMeant,
        result: &Result<Carried, NotCarried>,
    ) -> Self {
        let kept = meant_key(keep);
        let bare = Self {
            setting: entry.name.clone(),
            rig: None,
            wheel: None,
            holder: None,
            kept,
            old: None,
            new: None,
            same_surface: None,
            not_kept: Vec::new(),
            cautions: Vec::new(),
            error: None,
        };
        match result {
            Ok(carried) => {
                let new = &carried.new.entry;
                let rig = bench.rig(new.rig);
                let holder = match new.support {
                    SupportSaved::Holder { holder, .. } => rig.and_then(|rig| rig.holder(holder)),
                    _ => None,
                };
                Self {
                    rig: rig.map(|rig| rig.name.clone()),
                    wheel: rig.and_then(|rig| rig.wheel(new.wheel)).map(|wheel| wheel.name.clone()),
                    holder: holder.map(|holder| holder.name.clone()),
                    old: Some(SideRecord::of(&carried.old)),
                    new: Some(SideRecord::of(&carried.new)),
                    same_surface: Some(carried.same_surface),
                    not_kept: carried.not_kept.iter().map(NotKeptRecord::of).collect(),
                    cautions: cautions_of(&carried.new.job, &carried.new.view),
                    ..bare
                }
            }
            Err(why) => {
                let words = not_carried_words(why, &millimetres);
                let error = match why {
                    NotCarried::Here(unanswered) | NotCarried::There(unanswered) => {
                        ErrorRecord::of(unanswered)
                    }
                    NotCarried::OffTravel { .. } => ErrorRecord::plain("off_travel", &words),
                    NotCarried::TableTooClose { .. } => ErrorRecord::plain("table_too_close", &words),
                    NotCarried::SamePlace => ErrorRecord::plain("same_place", &words),
                };
                Self { error: Some(ErrorRecord { message: words.together(), ..error }), ..bare }
            }
        }
    }
}

impl Carry {
    pub(super) fn run(&self, out: &mut dyn Write, stderr: &mut dyn Write) -> Result<u8, Stopped> {
        let Opened { bench, seal } = self.file.open(stderr)?;
        let to = self.to(&bench)?;
        let entries: Vec<&SettingEntry> = if let Some(name) = &self.setting {
            vec![setting_named(&bench, name)?]
        } else {
            let there = |entry: &&SettingEntry| {
                entry.rig == to.rig && to.wheel.is_none_or(|wheel| entry.wheel == wheel)
            };
            bench.settings.iter().filter(|entry| !there(entry)).collect()
        };
        let records: Vec<CarryRecord> = carry_all(&bench, entries, to)
            .iter()
            .map(|(entry, result)| CarryRecord::of(&bench, entry, self.keep, result))
            .collect();
        match self.format {
            Format::Json => write_records(out, &records, seal)?,
            Format::Text => {
                let mut text: Vec<String> = records.iter().map(text_of).collect();
                let standing = standing_lines(records.iter().flat_map(|record| &record.cautions));
                if !standing.is_empty() {
                    text.push(standing.join("\n") + "\n");
                }
                out.write_all(text.join("\n").as_bytes()).map_err(Stopped::Output)?;
            }
        }
        Ok(if records.iter().all(|record| record.error.is_none()) { ANSWERED } else { UNANSWERED })
    }

    /// Where to, by the names that were given.
    fn to(&self, bench: &Bench) -> Result<To, Stopped> {
        let no_such =
            |what, name: &str, at_hand: Vec<String>| Stopped::NoSuch { what, name: name.to_owned(), at_hand };
        let rig = bench.rigs.iter().find(|rig| rig.name == self.to).ok_or_else(|| {
            no_such("rig", &self.to, bench.rigs.iter().map(|rig| rig.name.clone()).collect())
        })?;
        let mut to = To { projection_mm: self.projection_mm, keep: self.keep, ..To::rig(rig.id) };
        if let Some(name) = &self.wheel {
            let wheel = rig.wheels.iter().find(|wheel| wheel.name == *name).ok_or_else(|| {
                no_such("wheel", name, rig.wheels.iter().map(|wheel| wheel.name.clone()).collect())
            })?;
            to.wheel = Some(wheel.id);
        }
        if let Some(name) = &self.holder {
            let holder = rig.holders.iter().find(|holder| holder.name == *name).ok_or_else(|| {
                no_such("holder", name, rig.holders.iter().map(|holder| holder.name.clone()).collect())
            })?;
            to.holder = Some(holder.id);
        }
        Ok(to)
    }
}

fn text_of(record: &CarryRecord) -> String {
    let mut lines = vec![record.setting.clone()];
    if let (Some(old), Some(new)) = (&record.old, &record.new) {
        let place: Vec<&str> =
            [&record.rig, &record.wheel, &record.holder].into_iter().flatten().map(String::as_str).collect();
        lines.push(format!("  to {}", place.join(", ")));
        lines.push(format!("  {:<24}{:>12}{:>12}", "", "old", "new"));
        let (before, after) = (old.rows(), new.rows());
        for (name, value) in &after {
            let was = before.iter().find(|(known, _)| known == name).map_or("–", |(_, was)| was.as_str());
            lines.push(format!("  {name:<24}{was:>12}{value:>12}"));
        }
        if record.same_surface == Some(true) {
            lines.push("  The same surface.".to_owned());
        } else if record.not_kept.is_empty() {
            lines.push("  Nothing is lost that could be measured.".to_owned());
        } else {
            let lost: Vec<&str> = record.not_kept.iter().map(|lost| lost.text.as_str()).collect();
            lines.push(format!("  Not kept: {}.", lost.join("; ")));
        }
        lines.extend(particular_lines(&record.cautions));
    }
    if let Some(error) = &record.error {
        lines.push(format!("  Not carried over: {}", error.message));
    }
    lines.push(String::new());
    lines.join("\n")
}
