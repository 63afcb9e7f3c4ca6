//! `one-reach`: where to leave the arm so that as many settings as possible are served by their projection alone. The
//! names of the JSON are a contract, as in [`super::record`].

use std::io::Write;

use bevelbench_geometry::{
    math::Angle,
    side::{Caution, Target},
};
use bevelbench_notebook::{
    answer::{
        bench::Unanswered,
        one_reach::{Shared, Terms, WhyLeftOut, groups, shared_reach},
    },
    quantity::format_angle,
    saved::{Bench, Id},
    words::{left_out_words, off_words, shared_words, wings_change_words},
};
use serde::Serialize;

use super::{
    ANSWERED, BenchFile, ErrorRecord, Format, Opened, Stopped, UNANSWERED, quantities::degrees_of,
    record::millimetres, setting_named, write_records,
};

/// What `one-reach` is asked.
#[derive(Debug, Clone, PartialEq, clap::Args)]
pub struct OneReach {
    /// The bench file.
    #[command(flatten)]
    pub file: BenchFile,
    /// Only these settings, said again for each; without it all that a holder holds.
    #[arg(long = "setting", value_name = "NAME", allow_hyphen_values = true)]
    pub settings: Vec<String>,
    /// How far a bevel may be off.
    #[arg(long = "tolerance", value_name = "ANGLE", value_parser = tolerance, default_value = "0.5deg")]
    pub tolerance_deg: f64,
    /// Share one strut angle as well.
    #[arg(long)]
    pub strut_angle: bool,
    /// Strut angle at its rests and projection at its stop blocks only.
    #[arg(long)]
    pub at_stops: bool,
    /// How to write the answer.
    #[arg(long, default_value = "text")]
    pub format: Format,
}

/// An angle that a tolerance can be.
fn tolerance(text: &str) -> Result<f64, String> {
    let degrees = degrees_of(text)?;
    if !(0.0..=45.0).contains(&degrees) {
        return Err("A tolerance lies between 0° and 45°.".to_owned());
    }
    Ok(degrees)
}

/// What `one-reach --format json` says of one arm; there is one of these for each.
#[derive(Debug, Clone, PartialEq, Serialize)]
struct ArmRecord {
    rig: String,
    wheel: String,
    tolerance_deg: f64,
    /// Where the arm is left; left out when that serves nobody.
    #[serde(skip_serializing_if = "Option::is_none")]
    reach_mm: Option<f64>,
    /// From where to where it may stand and serve as many.
    #[serde(skip_serializing_if = "Option::is_none")]
    reach_range_mm: Option<[f64; 2]>,
    #[serde(skip_serializing_if = "Option::is_none")]
    strut_angle_deg: Option<f64>,
    served: Vec<ServedRecord>,
    left_out: Vec<LeftOutRecord>,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
struct ServedRecord {
    setting: String,
    projection_mm: f64,
    bevel_deg: f64,
    /// `at_edge` or `across_facet`.
    meant: &'static str,
    bevel_off_deg: f64,
    /// How far back the wings went, and go then; of a swept gouge.
    #[serde(skip_serializing_if = "Option::is_none")]
    wing_sweep_was_mm: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    wing_sweep_mm: Option<f64>,
    cautions: Vec<&'static str>,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
struct LeftOutRecord {
    setting: String,
    why: &'static str,
    message: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    wanted_projection_mm: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    stop_mm: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    bevel_off_deg: Option<f64>,
}

fn name_of(bench: &Bench, id: Id) -> String {
    bench.setting(id).map(|entry| entry.name.clone()).unwrap_or_default()
}

impl ArmRecord {
    fn of(bench: &Bench, shared: &Shared, tolerance: Angle) -> Self {
        let rig = bench.rig(shared.rig);
        let wheel = rig.and_then(|rig| rig.wheel(shared.wheel));
        let serves = !shared.served.is_empty();
        let served = shared.served.iter().map(|served| ServedRecord {
            setting: served.entry.name.clone(),
            projection_mm: served.projection_mm,
            bevel_deg: served.bevel.degrees(),
            meant: match served.wanted {
                Target::AtEdge(_) => "at_edge",
                Target::AcrossFacet(_) => "across_facet",
            },
            bevel_off_deg: served.off.degrees(),
            wing_sweep_was_mm: served.wing_sweep_mm.map(|(was, _)| was),
            wing_sweep_mm: served.wing_sweep_mm.map(|(_, is)| is),
            cautions: served.cautions.iter().filter(|c| Caution::is_warning(c)).map(Caution::code).collect(),
        });
        let left_out = shared.left_out.iter().map(|left| {
            let (why, wanted, stop, off) = match &left.why {
                WhyLeftOut::NoProjection => ("no_projection", None, None, None),
                WhyLeftOut::Unanswered(_) => ("unanswered", None, None, None),
                WhyLeftOut::OffRange { wanted_mm, .. } => ("off_range", Some(*wanted_mm), None, None),
                WhyLeftOut::NoAnswer => ("no_answer", None, None, None),
                WhyLeftOut::StopOff { stop_mm, off } => {
                    ("stop_off", None, Some(*stop_mm), Some(off.degrees()))
                }
                WhyLeftOut::InTheWay(refusal) => {
                    (ErrorRecord::of(&Unanswered::Refused(*refusal)).kind, None, None, None)
                }
            };
            LeftOutRecord {
                setting: name_of(bench, left.setting),
                why,
                message: left_out_words(&left.why, &millimetres),
                wanted_projection_mm: wanted,
                stop_mm: stop,
                bevel_off_deg: off,
            }
        });
        Self {
            rig: rig.map(|rig| rig.name.clone()).unwrap_or_default(),
            wheel: wheel.map(|wheel| wheel.name.clone()).unwrap_or_default(),
            tolerance_deg: tolerance.degrees(),
            reach_mm: shared.reach_mm.filter(|_| serves),
            reach_range_mm: serves.then_some([shared.range_mm.0, shared.range_mm.1]),
            strut_angle_deg: shared.strut_angle.filter(|_| serves).map(Angle::degrees),
            served: served.collect(),
            left_out: left_out.collect(),
        }
    }

    fn text(&self, shared: &Shared) -> String {
        let mut lines = vec![
            format!("{}: {}", self.rig, self.wheel),
            format!("  {}", shared_words(shared, &millimetres)),
        ];
        for (served, found) in self.served.iter().zip(&shared.served) {
            let mut line = format!(
                "    {}: projection {}, bevel {}, {}",
                served.setting,
                millimetres(served.projection_mm),
                format_angle(served.bevel_deg, 2),
                off_words(found.off)
            );
            if let Some(wings) =
                found.wing_sweep_mm.and_then(|(was, is)| wings_change_words(was, is, &millimetres))
            {
                line = format!("{line}; but {wings}");
            }
            if !served.cautions.is_empty() {
                line = format!("{line}; mind {}", served.cautions.join(", ").replace('_', " "));
            }
            lines.push(line);
        }
        if !self.left_out.is_empty() {
            lines.push("  Left out:".to_owned());
            lines.extend(self.left_out.iter().map(|left| format!("    {}: {}", left.setting, left.message)));
        }
        lines.push(String::new());
        lines.join("\n")
    }
}

impl OneReach {
    /// The arms that are asked about, each with its settings.
    fn arms(&self, bench: &Bench) -> Result<Vec<(Id, Id, Vec<Id>)>, Stopped> {
        if self.settings.is_empty() {
            return Ok(groups(bench));
        }
        let mut arms: Vec<(Id, Id, Vec<Id>)> = Vec::new();
        for name in &self.settings {
            let entry = setting_named(bench, name)?;
            match arms.iter_mut().find(|(rig, wheel, _)| (*rig, *wheel) == (entry.rig, entry.wheel)) {
                Some((.., settings)) => settings.push(entry.id),
                None => arms.push((entry.rig, entry.wheel, vec![entry.id])),
            }
        }
        Ok(arms)
    }

    pub(super) fn run(&self, out: &mut dyn Write, stderr: &mut dyn Write) -> Result<u8, Stopped> {
        let Opened { bench, seal } = self.file.open(stderr)?;
        let terms = Terms {
            tolerance: Angle::from_degrees(self.tolerance_deg),
            strut_angle: self.strut_angle,
            at_stops: self.at_stops,
        };
        let (mut records, mut text) = (Vec::new(), String::new());
        for (rig, wheel, settings) in self.arms(&bench)? {
            // The tolerance has been looked at; every setting is looked at on its own.
            let Ok(shared) = shared_reach(&bench, rig, wheel, &settings, terms) else { continue };
            let record = ArmRecord::of(&bench, &shared, terms.tolerance);
            text.push_str(&record.text(&shared));
            records.push(record);
        }
        if records.is_empty() {
            text.push_str("No setting of this bench is held by a holder.\n");
        }
        match self.format {
            Format::Json => write_records(out, &records, seal)?,
            Format::Text => out.write_all(text.as_bytes()).map_err(Stopped::Output)?,
        }
        let all = !records.is_empty() && records.iter().all(|record| record.left_out.is_empty());
        Ok(if all { ANSWERED } else { UNANSWERED })
    }
}
