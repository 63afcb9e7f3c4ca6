//! A setting: what carries the tool, where that stands, and how the tool is swung.

use bevelbench_geometry::math::Quantity;
use serde::{Deserialize, Serialize};

use crate::saved::{
    id::Id,
    log::SettingKeep,
    names,
    omit::{is_default, is_zero},
    reading::ReadingSaved,
    step::FurtherStepSaved,
    target::TargetSaved,
};

/// How an oblique edge is presented.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, Default)]
pub enum PresentationSaved {
    /// Edge parallel to the spindle.
    #[default]
    EdgeParallelToSpindle,
    /// Axis in the side plane.
    AxisInSidePlane,
}

/// What carries the tool in a setting, and where it stands.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum SupportSaved {
    /// Handle end in the cup.
    Handle {
        /// Reach, in millimetres.
        reach_mm: f64,
    },
    /// A holder's strut in the cup.
    Holder {
        /// Which holder of the rig.
        holder: Id,
        /// Reach, in millimetres.
        reach_mm: f64,
        /// Projection, in millimetres.
        projection_mm: f64,
        /// Strut angle.
        strut_angle_deg: f64,
    },
    /// On the table.
    Table {
        /// Tilt; positive when the operator's side is high.
        tilt_deg: f64,
    },
}

impl SupportSaved {
    /// What of it is set anew when wheel or tool have changed: the cup's reach along its arm, or the table's tilt.
    #[must_use]
    pub const fn follows_wheel(&self) -> Quantity {
        match self {
            Self::Handle { .. } | Self::Holder { .. } => Quantity::Reach,
            Self::Table { .. } => Quantity::TableTilt,
        }
    }
}

/// How the tool is rolled from wing to wing.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SwingSaved {
    /// Height of the roll centre above the bar's centreline, in millimetres.
    pub roll_centre_mm: f64,
    /// Swing to either side.
    pub half_swing_deg: f64,
    /// Turn of the tool in its holder.
    #[serde(default, skip_serializing_if = "is_zero")]
    pub turn_deg: f64,
}

impl Default for SwingSaved {
    /// An assumption, and said to be one wherever it is shown: rolled about the bar's centreline, 80° to
    /// either side.
    fn default() -> Self {
        Self { roll_centre_mm: 0.0, half_swing_deg: 80.0, turn_deg: 0.0 }
    }
}

/// A setting: a tool on a rig and one of its wheels.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SettingEntry {
    /// Its id.
    pub id: Id,
    /// Its name.
    pub name: String,
    /// The tool.
    pub tool: Id,
    /// The rig.
    pub rig: Id,
    /// The wheel of that rig.
    pub wheel: Id,
    /// What carries the tool.
    pub support: SupportSaved,
    /// How an oblique edge is presented.
    #[serde(default)]
    pub presentation: PresentationSaved,
    /// How a gouge is rolled; without it the tool is ground straight on.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub swing: Option<SwingSaved>,
    /// The bevel it is meant to grind, if one was asked for.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub target: Option<TargetSaved>,
    /// Further steps that grind the heel away: a second bevel, a heel relief, any number.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub further_steps: Vec<FurtherStepSaved>,
    /// What finding a setting may move; all else is pinned. Without it, what usually moves: the reach or the tilt.
    #[serde(default, skip_serializing_if = "Option::is_none", with = "names::list")]
    pub free: Option<Vec<Quantity>>,
    /// Notes.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub notes: String,
    /// How what is set is read, where that was said.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub readings: Vec<ReadingSaved>,
    /// How it is kept true.
    #[serde(default, skip_serializing_if = "is_default")]
    pub keep: SettingKeep,
}
