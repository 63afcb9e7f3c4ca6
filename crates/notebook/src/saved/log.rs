//! What is kept over time: diameters, lengths, sharpenings, guards and limits, all of it optional.
//!
//! Dates are text, `2026-03-14`: they sort as they stand, and an odd one is shown rather than refused.

use bevelbench_geometry::side::diameter_from_round_mm;
use serde::{Deserialize, Serialize};

use crate::saved::{
    id::Id,
    omit::is_default,
    upkeep::{LifeSaved, TimedGrindSaved},
};

/// How a wheel's diameter was measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, Default)]
pub enum MeasuredBy {
    /// A rule across the wheel.
    #[default]
    Rule,
    /// A tape laid round the rim: its length over π.
    Tape,
}

impl MeasuredBy {
    /// Every way.
    pub const ALL: [Self; 2] = [Self::Rule, Self::Tape];

    /// Its name.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Rule => "rule across",
            Self::Tape => "tape round the rim",
        }
    }

    /// The diameter in millimetres from what was read, in millimetres.
    #[must_use]
    pub fn diameter_mm(self, read_mm: f64) -> f64 {
        match self {
            Self::Rule => read_mm,
            Self::Tape => diameter_from_round_mm(read_mm),
        }
    }
}

/// A wheel's diameter on a day.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, Default)]
#[serde(deny_unknown_fields)]
pub struct DiameterNote {
    /// The day.
    pub date: String,
    /// The diameter, in millimetres.
    pub diameter_mm: f64,
    /// How it was measured.
    #[serde(default, skip_serializing_if = "is_default")]
    pub by: MeasuredBy,
    /// Whether the wheel was dressed just before.
    #[serde(default, skip_serializing_if = "is_default")]
    pub dressed: bool,
}

/// What a guard leaves open and how close its parts stand, as measured.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, Default)]
#[serde(deny_unknown_fields)]
pub struct GuardSaved {
    /// Where the opening begins, above the horizontal through the spindle.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub opening_top_deg: Option<f64>,
    /// How much of the rim is open.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub exposure_deg: Option<f64>,
    /// Its inner radius from the spindle, in millimetres.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub radius_mm: Option<f64>,
    /// Its width along the spindle, in millimetres.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub width_mm: Option<f64>,
    /// From the tongue to the wheel, in millimetres.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tongue_gap_mm: Option<f64>,
    /// From the work rest to the wheel, in millimetres.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rest_gap_mm: Option<f64>,
}

/// What is kept of a wheel beside its dimensions.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, Default)]
#[serde(deny_unknown_fields)]
pub struct WheelKeep {
    /// Its diameters, oldest first.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub diameters: Vec<DiameterNote>,
    /// Its guard as measured.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub guard: Option<GuardSaved>,
    /// One timed grind on it: how fast steel comes off.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub timed_grind: Option<TimedGrindSaved>,
}

/// A motor's mains, where its plate cannot be read.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct MainsSaved {
    /// Frequency, in hertz.
    pub hz: f64,
    /// Poles of the motor.
    pub poles: u32,
}

/// A tool's length on a day.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, Default)]
#[serde(deny_unknown_fields)]
pub struct LengthNote {
    /// The day.
    pub date: String,
    /// From edge to handle end, in millimetres.
    pub length_mm: f64,
}

/// A sharpening. Setting and wheel are kept by name, so that the log stays true when they are renamed or deleted.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, Default)]
#[serde(deny_unknown_fields)]
pub struct Sharpening {
    /// The day.
    pub date: String,
    /// The setting's name.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub setting: String,
    /// The wheel's name.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub wheel: String,
    /// A note.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub note: String,
}

/// What is kept of a tool beside its dimensions.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, Default)]
#[serde(deny_unknown_fields)]
pub struct ToolKeep {
    /// Its lengths, oldest first.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub lengths: Vec<LengthNote>,
    /// Its sharpenings, oldest first.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub sharpenings: Vec<Sharpening>,
    /// The turner's own interval between sharpenings, in days.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub interval_days: Option<u32>,
    /// What is left of it and how fast it goes.
    #[serde(default, skip_serializing_if = "LifeSaved::is_empty")]
    pub life: LifeSaved,
}

/// How a setting is brought back.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, Default)]
pub enum KeptBy {
    /// By the arm's scale, or the table's tilt.
    #[default]
    Place,
    /// By a gauge stick between rim and cup: the cup follows the wheel as it wears.
    GaugeStick,
}

impl KeptBy {
    /// Every way.
    pub const ALL: [Self; 2] = [Self::Place, Self::GaugeStick];
}

/// What a setting ground when it was last set true, and on what.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Trued {
    /// Bevel at the edge.
    pub bevel_deg: f64,
    /// Diameter of its wheel then, in millimetres.
    pub wheel_diameter_mm: f64,
    /// Length of its tool then, in millimetres.
    pub tool_length_mm: f64,
}

/// What is kept of a setting beside what is set.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, Default)]
#[serde(deny_unknown_fields)]
pub struct SettingKeep {
    /// How it is brought back.
    #[serde(default, skip_serializing_if = "is_default")]
    pub by: KeptBy,
    /// What it was when it was last set true.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub trued: Option<Trued>,
    /// The setting, of the same tool, whose facet this one only polishes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub polishes: Option<Id>,
}

/// Limits of gaps as the turner keeps to them.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LimitsSaved {
    /// The place or code they come from.
    pub place: String,
    /// Greatest gap between rest and wheel, in millimetres.
    pub rest_gap_mm: f64,
    /// Greatest gap between tongue and wheel, in millimetres.
    pub tongue_gap_mm: f64,
}

/// What is kept of the whole bench.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, Default)]
#[serde(deny_unknown_fields)]
pub struct BenchKeep {
    /// How far a bevel may drift before it is said.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tolerance_deg: Option<f64>,
    /// The gap limits kept to.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub limits: Option<LimitsSaved>,
}
