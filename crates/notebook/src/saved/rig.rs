//! A grinder, its wheels, what stands in front of them, and its holders.

use serde::{Deserialize, Serialize};

use crate::saved::{
    id::Id,
    log::{MainsSaved, WheelKeep},
    omit::{is_default, is_zero},
    reading::ReadingSaved,
};

/// A grinder with its wheels, what stands in front of them, and its holders.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Rig {
    /// Its id.
    pub id: Id,
    /// Its name.
    pub name: String,
    /// Notes.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub notes: String,
    /// The grinder.
    pub grinder: GrinderSaved,
    /// Its wheels, each with the arm and the table in front of it.
    #[serde(default)]
    pub wheels: Vec<WheelSaved>,
    /// The pivoting holders that go with it.
    #[serde(default)]
    pub holders: Vec<HolderSaved>,
    /// Projections for which a stop block is at hand, in millimetres.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub projection_stops_mm: Vec<f64>,
}

/// A grinder's numbers.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct GrinderSaved {
    /// Spindle speed in turns a minute.
    pub spindle_speed_rpm: f64,
    /// Spindle above the bench top, in millimetres.
    pub spindle_height_mm: f64,
    /// The bench's front edge in front of the spindle, in millimetres.
    pub bench_front_mm: f64,
    /// The mains, where the speed was worked out from them because the plate cannot be read.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub mains: Option<MainsSaved>,
}

/// What an abrasive is, as it is saved.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, Default)]
pub enum AbrasiveSaved {
    /// A bonded wheel that wears and is dressed: the shaping wheel.
    #[default]
    Friable,
    /// A superabrasive layer on a metal wheel: the keeping wheel.
    Superabrasive,
    /// A belt on a platen or a flat stone.
    Flat,
}

/// A wheel's numbers and what stands in front of it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct WheelSaved {
    /// Its id.
    pub id: Id,
    /// Its name.
    pub name: String,
    /// The abrasive.
    pub abrasive: AbrasiveSaved,
    /// Grit number as marked, if known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub grit: Option<u32>,
    /// Diameter now, in millimetres.
    pub diameter_mm: f64,
    /// Diameter when new, in millimetres.
    pub diameter_new_mm: f64,
    /// Least usable diameter, in millimetres.
    pub diameter_least_mm: f64,
    /// Width of the face, in millimetres.
    pub width_mm: f64,
    /// Greatest speed marked on the wheel, in metres a second, if it can be read.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub marked_speed_m_s: Option<f64>,
    /// For a flat abrasive: how far its outward normal stands above the horizontal.
    #[serde(default, skip_serializing_if = "is_zero")]
    pub face_slope_deg: f64,
    /// The arm in front of it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub arm: Option<ArmSaved>,
    /// The table in front of it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub table: Option<TableSaved>,
    /// How it was measured, where that was said.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub readings: Vec<ReadingSaved>,
    /// Its log and its guard.
    #[serde(default, skip_serializing_if = "is_default")]
    pub keep: WheelKeep,
}

/// A sliding arm's numbers; places are measured from the wheel's centre.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ArmSaved {
    /// The scale's zero in front of the spindle, in millimetres.
    pub zero_x_mm: f64,
    /// The scale's zero above the spindle, in millimetres; usually negative.
    pub zero_z_mm: f64,
    /// How far the arm rises away from the wheel.
    pub tilt_deg: f64,
    /// Least reach, in millimetres.
    pub reach_least_mm: f64,
    /// Greatest reach, in millimetres.
    pub reach_most_mm: f64,
}

/// A tilting table's numbers; places are measured from the wheel's centre.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TableSaved {
    /// The hinge in front of the spindle, in millimetres.
    pub hinge_x_mm: f64,
    /// The hinge above the spindle, in millimetres.
    pub hinge_z_mm: f64,
    /// The surface above the hinge, in millimetres.
    pub surface_offset_mm: f64,
    /// From the hinge to the front edge, towards the wheel, in millimetres.
    pub front_mm: f64,
    /// From the hinge to the rear edge, towards the operator, in millimetres.
    pub rear_mm: f64,
    /// Least tilt; positive when the operator's side is high.
    pub tilt_least_deg: f64,
    /// Greatest tilt.
    pub tilt_most_deg: f64,
}

/// A pivoting holder's numbers.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct HolderSaved {
    /// Its id.
    pub id: Id,
    /// Its name.
    pub name: String,
    /// From the front face back to the hinge, in millimetres.
    pub hinge_setback_mm: f64,
    /// The hinge below the tool's centreline, in millimetres.
    pub hinge_drop_mm: f64,
    /// From hinge to pivot, in millimetres.
    pub strut_length_mm: f64,
    /// Least strut angle.
    pub strut_angle_least_deg: f64,
    /// Greatest strut angle.
    pub strut_angle_most_deg: f64,
    /// Angles at which the strut clicks into a rest, if it has any.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub rests_deg: Vec<f64>,
    /// Length of the body along the tool, in millimetres.
    pub body_length_mm: f64,
    /// Height of the body, in millimetres.
    pub body_height_mm: f64,
    /// How it was measured, where that was said.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub readings: Vec<ReadingSaved>,
}

impl Rig {
    /// The wheel of an id.
    #[must_use]
    pub fn wheel(&self, id: Id) -> Option<&WheelSaved> {
        self.wheels.iter().find(|wheel| wheel.id == id)
    }

    /// The holder of an id.
    #[must_use]
    pub fn holder(&self, id: Id) -> Option<&HolderSaved> {
        self.holders.iter().find(|holder| holder.id == id)
    }
}
