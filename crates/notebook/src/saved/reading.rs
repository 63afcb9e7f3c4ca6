//! How what is measured is read, as it is saved.

use serde::{Deserialize, Serialize};

/// A reading that the bevel rests on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
pub enum InputSaved {
    /// Reach of the cup along the arm.
    Reach,
    /// Projection through the holder.
    Projection,
    /// Strut angle to the tool's axis.
    StrutAngle,
    /// Tilt of the table.
    TableTilt,
    /// Overall length of a tool whose handle stands in the cup.
    ToolLength,
    /// Wheel diameter.
    WheelDiameter,
    /// The arm's zero in front of the spindle.
    ArmZeroX,
    /// The arm's zero above the spindle.
    ArmZeroZ,
    /// Slope of the arm.
    ArmTilt,
    /// From the holder's front face back to the hinge.
    HingeSetback,
    /// The hinge below the tool's centreline.
    HingeDrop,
    /// From the hinge to the pivot.
    StrutLength,
    /// The table's hinge in front of the spindle.
    TableHingeX,
    /// The table's hinge above the spindle.
    TableHingeZ,
    /// The table's surface above its hinge.
    SurfaceOffset,
    /// Height of the edge above the bar's centreline.
    EdgeHeight,
    /// Steel under the edge.
    UnderEdge,
}

/// What a length or an angle is read with.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum ReadWith {
    /// Calipers.
    Calipers,
    /// A rule, or a scale on the arm.
    Rule,
    /// A rule across a whole wheel, or along a whole tool.
    LongRule,
    /// A stop block.
    StopBlock,
    /// A protractor.
    Protractor,
    /// An angle gauge that shows tenths of a degree.
    AngleGauge,
    /// A rest, a notch that the strut clicks into.
    Rest,
    /// Nothing: it is not counted.
    NotCounted,
}

/// How a quantity is read, and how far that may be off.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ReadingSaved {
    /// What is read.
    pub input: InputSaved,
    /// With what.
    pub with: ReadWith,
    /// Half-width of the ±, in millimetres, or degrees for angles; what is usual for `with` without it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub plus_minus: Option<f64>,
}
