//! The saved form: what a bench file holds, in plain numbers whose names carry their units.
//!
//! A bench file is RON: `V1((title: …, rigs: […], tools: […], settings: […]))`. The version stands in front
//! from the first day; comments are tolerated; unknown fields are refused, so that an older program never
//! drops what a newer one wrote. Numbers are checked when they are used ([`crate::answer::bench`]), so that a bench
//! with one odd number still opens; only numbers that are none at all are refused on reading.

pub mod file;
pub mod lesson;
pub mod library;
pub mod share;

mod reading;
mod target;

use serde::{Deserialize, Serialize};

pub use reading::{InputSaved, ReadWith, ReadingSaved};
pub use target::{BevelMeant, MovableSaved, TargetSaved, WingSaved};

use crate::answer::logbook::is_default;
pub use crate::{
    answer::{
        further::{MovedSaved, StepSaved},
        logbook::{
            BenchKeep, DiameterNote, GuardSaved, KeptBy, LengthNote, LimitsSaved, MainsSaved, MeasuredBy,
            SettingKeep, Sharpening, ToolKeep, Trued, WheelKeep,
        },
        trial::TrialSaved,
        upkeep::{LifeSaved, TimedGrindSaved},
    },
    saved::lesson::{Lesson, LessonStep, StepView},
};

/// Names a part of a bench for as long as it lives; never used again after it is deleted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize, Default)]
pub struct Id(pub u32);

/// A bench file of any version.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub enum BenchFile {
    /// The first version.
    V1(Bench),
}

/// Everything one workshop keeps.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, Default)]
#[serde(deny_unknown_fields)]
pub struct Bench {
    /// What the bench is called.
    pub title: String,
    /// Notes.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub notes: String,
    /// Grinders with their wheels and supports.
    #[serde(default)]
    pub rigs: Vec<Rig>,
    /// Tools.
    #[serde(default)]
    pub tools: Vec<ToolEntry>,
    /// Settings: each of a tool on a rig and a wheel of it.
    #[serde(default)]
    pub settings: Vec<SettingEntry>,
    /// The current setting: a working copy of the one whose id it has, with whatever was moved since and not
    /// yet saved to the tool.
    #[serde(rename = "in_hand", default, skip_serializing_if = "Option::is_none")]
    pub current: Option<SettingEntry>,
    /// The setting that is laid beside the one in hand: a working copy too, or a variant that is not saved at all.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub beside: Option<SettingEntry>,
    /// Lessons.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub lessons: Vec<Lesson>,
    /// What the turner keeps to.
    #[serde(default, skip_serializing_if = "is_default")]
    pub keep: BenchKeep,
    /// Trial grinds, for fitting rigs.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub trials: Vec<TrialSaved>,
}

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

/// The family a tool belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, PartialOrd, Ord)]
pub enum Family {
    /// Roughing gouge.
    RoughingGouge,
    /// Spindle gouge.
    SpindleGouge,
    /// Bowl gouge.
    BowlGouge,
    /// Detail gouge.
    DetailGouge,
    /// Skew chisel.
    Skew,
    /// Parting tool.
    PartingTool,
    /// Beading tool.
    BeadingTool,
    /// Scraper.
    Scraper,
    /// Negative-rake scraper.
    NegativeRakeScraper,
}

impl Family {
    /// Every family.
    pub const ALL: [Self; 9] = [
        Self::RoughingGouge,
        Self::SpindleGouge,
        Self::BowlGouge,
        Self::DetailGouge,
        Self::Skew,
        Self::PartingTool,
        Self::BeadingTool,
        Self::Scraper,
        Self::NegativeRakeScraper,
    ];

    /// Its name.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::RoughingGouge => "Roughing gouge",
            Self::SpindleGouge => "Spindle gouge",
            Self::BowlGouge => "Bowl gouge",
            Self::DetailGouge => "Detail gouge",
            Self::Skew => "Skew chisel",
            Self::PartingTool => "Parting tool",
            Self::BeadingTool => "Beading tool",
            Self::Scraper => "Scraper",
            Self::NegativeRakeScraper => "Negative-rake scraper",
        }
    }
}

/// What the steel is, as far as it changes what the program says.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, Default)]
pub enum Steel {
    /// High-speed steel.
    #[default]
    HighSpeed,
    /// Powder-metallurgy high-speed steel.
    PowderHighSpeed,
    /// Carbon steel.
    Carbon,
    /// Not known.
    Unknown,
}

/// A tool.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ToolEntry {
    /// Its id.
    pub id: Id,
    /// Its name.
    pub name: String,
    /// Its family.
    pub family: Family,
    /// Its steel.
    #[serde(default)]
    pub steel: Steel,
    /// Notes.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub notes: String,
    /// The blank.
    pub blank: BlankSaved,
    /// From edge to handle end, in millimetres.
    pub overall_length_mm: f64,
    /// Blade outside the handle, in millimetres.
    pub blade_length_mm: f64,
    /// The facet it carries today, if it is known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub present_facet: Option<FacetSaved>,
    /// How it was measured, where that was said.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub readings: Vec<ReadingSaved>,
    /// Further facets behind that one, towards the heel, where it carries several.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub further_facets: Vec<FacetSaved>,
    /// Its log.
    #[serde(default, skip_serializing_if = "is_default")]
    pub keep: ToolKeep,
}

/// A blank's numbers.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub enum BlankSaved {
    /// A round bar with a flute.
    Bar(BarSaved),
    /// Flat stock.
    Flat(FlatSaved),
}

/// A gouge's bar.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BarSaved {
    /// Diameter, in millimetres.
    pub diameter_mm: f64,
    /// Height above the centreline at which the section ends, if it is not the full bar.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub top_mm: Option<f64>,
    /// The flute's floor above the centreline, in millimetres; usually negative.
    pub flute_floor_mm: f64,
    /// The flute's wall.
    pub flute: FluteSaved,
}

/// A flute's wall.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum FluteSaved {
    /// `floor + k·|w|ⁿ`.
    Power {
        /// `k`.
        k: f64,
        /// `n`.
        n: f64,
    },
    /// A V with a rounded floor.
    Vee {
        /// Wall slope, rise over run.
        slope: f64,
        /// Floor radius, in millimetres.
        floor_radius_mm: f64,
    },
    /// A circle.
    Circle {
        /// Radius, in millimetres.
        radius_mm: f64,
    },
}

/// Flat stock.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FlatSaved {
    /// Width, in millimetres.
    pub width_mm: f64,
    /// Thickness, in millimetres.
    pub thickness_mm: f64,
    /// The outline seen from the end.
    #[serde(default)]
    pub section: SectionSaved,
    /// The edge.
    pub edge: EdgeSaved,
}

/// The outline of flat stock seen from its end.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, Default)]
pub enum SectionSaved {
    /// Square corners.
    #[default]
    Rectangular,
    /// Rolled narrow sides.
    Rolled,
    /// Oval.
    Oval,
}

/// Which faces are ground.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, Default)]
#[serde(deny_unknown_fields)]
pub enum BevelsSaved {
    /// One face.
    One,
    /// Both alike.
    #[default]
    Alike,
    /// Both, each its own.
    Unlike {
        /// Bevel of the other face, square to the edge.
        other_deg: f64,
        /// The edge above the mid-plane, in millimetres.
        edge_height_mm: f64,
    },
}

/// The edge of flat stock.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum EdgeSaved {
    /// A skew.
    Skew {
        /// Angle between edge and long side.
        obliquity_deg: f64,
        /// Radius of a curved edge in plan, in millimetres.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        edge_radius_mm: Option<f64>,
        /// The ground faces.
        bevels: BevelsSaved,
    },
    /// A parting tool.
    Parting {
        /// The ground faces.
        bevels: BevelsSaved,
    },
    /// A beading tool.
    Beading {
        /// The ground faces.
        bevels: BevelsSaved,
    },
    /// A scraper.
    Scraper {
        /// Radius of a round nose, in millimetres; straight across without one.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        nose_radius_mm: Option<f64>,
    },
    /// A negative-rake scraper.
    NegativeRake {
        /// Radius of a round nose, in millimetres; straight across without one.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        nose_radius_mm: Option<f64>,
        /// Angle of the upper bevel to the upper face.
        upper_deg: f64,
        /// The edge below the upper face, in millimetres.
        drop_mm: f64,
    },
}

/// A facet as it is.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FacetSaved {
    /// Radius of its hollow, in millimetres; flat without one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hollow_radius_mm: Option<f64>,
    /// Bevel at the edge.
    pub bevel_deg: f64,
    /// Width from edge to heel, in millimetres.
    pub width_mm: f64,
}

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
    pub further_steps: Vec<StepSaved>,
    /// What finding a setting may move; all else is pinned. Without it, what usually moves: the reach or the tilt.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub free: Option<Vec<MovableSaved>>,
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

#[allow(clippy::trivially_copy_pass_by_ref, reason = "serde hands fields over by reference")]
fn is_zero(value: &f64) -> bool {
    *value == 0.0
}
