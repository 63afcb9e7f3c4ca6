//! `carry`: settings on another rig, wheel, holder or projection. The names of the JSON are a contract, as in
//! [`super::record`].

use std::{io::Write, path::PathBuf};

use bevelbench_notebook::{
    answer::carry::{Carried, NotCarried, NotKept, Side, To, carry_all},
    quantity::{LengthUnit, format_angle, format_length},
    saved::{Bench, BevelMeant, SettingEntry, SupportSaved},
    words::{not_carried_words, not_kept_words},
};
use lexopt::{Arg, Parser, ValueExt};
use serde::Serialize;

use super::{
    ANSWERED, Command, ErrorRecord, Format, Stopped, Subcommand, UNANSWERED, Usage,
    find::{format_of, millimetres_of},
    open_bench,
    record::{CautionRecord, cautions_of, millimetres},
    setting_named,
};

/// What `carry` is asked.
#[derive(Debug, Clone, PartialEq)]
pub struct CarryArgs {
    /// The bench file.
    pub file: PathBuf,
    /// The rig's name.
    pub to: String,
    /// The wheel's name.
    pub wheel: Option<String>,
    /// The holder's name.
    pub holder: Option<String>,
    /// The projection in millimetres.
    pub projection_mm: Option<f64>,
    /// Which settings.
    pub which: WhichSettings,
    /// The bevel that is kept.
    pub keep: BevelMeant,
    /// How to write it.
    pub format: Format,
}

/// Which settings are carried.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum WhichSettings {
    /// One, by name.
    Named(String),
    /// All that are not there already.
    All,
}

pub(super) fn parse(parser: &mut Parser) -> Result<Command, Usage> {
    let (mut file, mut to, mut wheel, mut holder, mut projection_mm) = (None, None, None, None, None);
    let (mut setting, mut all, mut keep, mut format) = (None, false, BevelMeant::AtEdge, Format::Text);
    while let Some(argument) = parser.next()? {
        match argument {
            Arg::Long("to") => to = Some(parser.value()?.string()?),
            Arg::Long("wheel") => wheel = Some(parser.value()?.string()?),
            Arg::Long("holder") => holder = Some(parser.value()?.string()?),
            Arg::Long("projection") => {
                projection_mm = Some(millimetres_of("projection", &parser.value()?.string()?)?);
            }
            Arg::Long("setting") => setting = Some(parser.value()?.string()?),
            Arg::Long("all") => all = true,
            Arg::Long("keep") => {
                let word = parser.value()?.string()?;
                keep = match word.as_str() {
                    "edge" => BevelMeant::AtEdge,
                    "across" => BevelMeant::AcrossFacet,
                    _ => {
                        return Err(Usage::new(format!(
                            "The bevel that is kept is edge or across, not {word}."
                        )));
                    }
                };
            }
            Arg::Long("format") => format = format_of(&parser.value()?.string()?)?,
            Arg::Short('h') | Arg::Long("help") => return Ok(Command::Run(Subcommand::Help)),
            Arg::Value(value) if file.is_none() => file = Some(PathBuf::from(value)),
            other => return Err(other.unexpected().into()),
        }
    }
    let missing = |what: &str| Usage::new(format!("{what} Write: bevelbench carry FILE --to RIG --all."));
    if all && setting.is_some() {
        return Err(missing("One setting or all of them?"));
    }
    Ok(Command::Run(Subcommand::Carry(CarryArgs {
        file: file.ok_or_else(|| missing("Which bench file?"))?,
        to: to.ok_or_else(|| missing("To which rig?"))?,
        wheel,
        holder,
        projection_mm,
        which: setting.map_or(WhichSettings::All, WhichSettings::Named),
        keep,
        format,
    })))
}

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
    /// `at_edge` or `across_facet`.
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
        let kept = match keep {
            BevelMeant::AtEdge => "at_edge",
            BevelMeant::AcrossFacet => "across_facet",
        };
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
                    NotCarried::SamePlace => ErrorRecord::plain("same_place", &words),
                };
                Self { error: Some(ErrorRecord { message: words.together(), ..error }), ..bare }
            }
        }
    }
}

impl CarryArgs {
    pub(super) fn run(&self, out: &mut dyn Write) -> Result<u8, Stopped> {
        let bench = open_bench(&self.file)?;
        let to = self.to(&bench)?;
        let entries: Vec<&SettingEntry> = match &self.which {
            WhichSettings::Named(name) => vec![setting_named(&bench, name)?],
            WhichSettings::All => {
                let there = |entry: &&SettingEntry| {
                    entry.rig == to.rig && to.wheel.is_none_or(|wheel| entry.wheel == wheel)
                };
                bench.settings.iter().filter(|entry| !there(entry)).collect()
            }
        };
        let records: Vec<CarryRecord> = carry_all(&bench, entries, to)
            .iter()
            .map(|(entry, result)| CarryRecord::of(&bench, entry, self.keep, result))
            .collect();
        match self.format {
            Format::Json => {
                serde_json::to_writer_pretty(&mut *out, &records)
                    .map_err(|error| Stopped::Output(error.into()))?;
                writeln!(out).map_err(Stopped::Output)?;
            }
            Format::Text => {
                let text: Vec<String> = records.iter().map(text_of).collect();
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
        lines.extend(record.cautions.iter().map(|caution| format!("  ! {}", caution.text)));
    }
    if let Some(error) = &record.error {
        lines.push(format!("  Not carried over: {}", error.message));
    }
    lines.push(String::new());
    lines.join("\n")
}
