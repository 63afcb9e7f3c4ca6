//! The dimensions of a rig: what each is called, how it is measured, what it usually is.

use bevelbench_geometry::math::{Kind, Quantity as Q};
use bevelbench_notebook::saved::{ArmSaved, HolderSaved, Rig, TableSaved, WheelSaved};

use super::measure::Dimension;
use bevelbench_notebook::drawing::sketch::mark::Mark;

/// A wheel as the form holds it: the grit as a number that can be stepped.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct WheelDraft {
    /// The wheel.
    pub(super) wheel: WheelSaved,
    /// Its grit.
    pub(super) grit: Option<f64>,
}

const SPEED: Dimension = Dimension::length(
    "Spindle speed",
    Q::SpindleSpeed,
    10.0,
    "Turns a minute under no load, from the grinder’s plate.",
)
.measured(Kind::Turns);
const HEIGHT: Dimension = Dimension::length(
    "Spindle above bench",
    Q::SpindleHeight,
    1.0,
    "From the bench top up to the middle of the spindle, with a rule.",
);
const FRONT: Dimension = Dimension::length(
    "Bench front from spindle",
    Q::BenchFront,
    5.0,
    "Level, from under the spindle to the bench’s front edge, towards you.",
);
pub(super) const STOPS: Dimension = Dimension {
    name: "Projection stops",
    how: "Projections for which a stop block is at hand, with commas between them: 60, 85.",
    measure: Kind::Length,
    quantity: None,
    mark: Mark::Stops,
    step: 1.0,
};
const DIAMETER: Dimension = Dimension::length(
    "Diameter now",
    Q::WheelDiameter,
    1.0,
    "Across the wheel today, power off and plug out. A tape round the rim divided by 3.1416 gives it too.",
);
const DIAMETER_NEW: Dimension =
    Dimension::length("Diameter when new", Q::WheelDiameterNew, 1.0, "From the wheel’s label.");
const DIAMETER_LEAST: Dimension = Dimension::length(
    "Least usable diameter",
    Q::WheelDiameterLeast,
    1.0,
    "Below this the wheel is thrown away: its flanges or its maker’s paper say where.",
);
const FACE_WIDTH: Dimension =
    Dimension::length("Face width", Q::WheelWidth, 1.0, "Across the rim, with a rule.");
pub(super) const MARKED_SPEED: Dimension = Dimension::length(
    "Marked speed",
    Q::MarkedSpeed,
    1.0,
    "The greatest speed at the rim that is printed on the wheel. What is marked comes before anything written here.",
)
.measured(Kind::Speed);
pub(super) const GRIT: Dimension = Dimension {
    name: "Grit",
    how: "The grit number as it is marked.",
    measure: Kind::Whole,
    quantity: None,
    mark: Mark::Grit,
    step: 10.0,
};
const FACE_SLOPE: Dimension = Dimension::angle(
    "Slope of the face",
    Q::FaceSlope,
    0.5,
    "How far the abrasive looks up: 0° is an upright platen that faces you, 90° a stone lying on the bench.",
);
const ARM_X: Dimension = Dimension::length(
    "Zero in front",
    Q::ArmZeroX,
    1.0,
    "Level, from the middle of the spindle to the zero of the arm’s scale, towards you.",
);
const ARM_Z: Dimension = Dimension::length(
    "Zero above spindle",
    Q::ArmZeroZ,
    1.0,
    "From the middle of the spindle up (+) or down (−) to the zero of the arm’s scale.",
);
const ARM_TILT: Dimension = Dimension::angle(
    "Arm tilt",
    Q::ArmTilt,
    0.5,
    "How far the arm rises away from the wheel, with an angle gauge on it; 0° is level.",
);
const REACH_LEAST: Dimension = Dimension::length(
    "Least reach",
    Q::ReachLeast,
    1.0,
    "The smallest reading at which the cup can be locked.",
);
const REACH_MOST: Dimension = Dimension::length(
    "Greatest reach",
    Q::ReachMost,
    5.0,
    "The largest reading at which the cup can be locked.",
);
const HINGE_X: Dimension = Dimension::length(
    "Hinge in front",
    Q::HingeX,
    0.5,
    "Level, from the middle of the spindle to the table’s hinge, towards you.",
);
const HINGE_Z: Dimension = Dimension::length(
    "Hinge above spindle",
    Q::HingeZ,
    0.5,
    "From the middle of the spindle up (+) or down (−) to the table’s hinge.",
);
const SURFACE: Dimension = Dimension::length(
    "Surface above hinge",
    Q::SurfaceOffset,
    0.5,
    "From the hinge square up to the surface that carries the tool.",
);
const TABLE_FRONT: Dimension = Dimension::length(
    "Front edge from hinge",
    Q::TableFront,
    0.5,
    "Along the surface, from above the hinge to the edge near the wheel.",
);
const TABLE_REAR: Dimension = Dimension::length(
    "Rear edge from hinge",
    Q::TableRear,
    1.0,
    "Along the surface, from above the hinge to the edge near you.",
);
const TILT_LEAST: Dimension = Dimension::angle(
    "Least tilt",
    Q::TableTiltLeast,
    1.0,
    "As far as the table tips with your side low; below level is negative.",
);
const TILT_MOST: Dimension =
    Dimension::angle("Greatest tilt", Q::TableTiltMost, 1.0, "As far as the table tips with your side high.");
const SETBACK: Dimension = Dimension::length(
    "Hinge setback",
    Q::HingeSetback,
    0.5,
    "Along the tool, from the holder’s front face back to the hinge of the strut.",
);
const DROP: Dimension = Dimension::length(
    "Hinge drop",
    Q::HingeDrop,
    0.5,
    "From the tool’s centreline down to the hinge of the strut.",
);
const STRUT: Dimension = Dimension::length(
    "Strut length",
    Q::StrutLength,
    0.5,
    "From the middle of the hinge to the end that stands in the cup.",
);
const STRUT_LEAST: Dimension = Dimension::angle(
    "Least strut angle",
    Q::StrutAngleLeast,
    1.0,
    "The flattest the strut can be set, to the tool’s axis; 90° is square off the tool.",
);
const STRUT_MOST: Dimension = Dimension::angle(
    "Greatest strut angle",
    Q::StrutAngleMost,
    1.0,
    "The steepest the strut can be set, to the tool’s axis; 90° is square off the tool.",
);
pub(super) const RESTS: Dimension = Dimension {
    name: "Rests",
    how: "Angles at which the strut clicks in, with commas between them: 30, 45, 60. Empty if it is held by a screw alone.",
    measure: Kind::Angle,
    quantity: None,
    mark: Mark::Rests,
    step: 1.0,
};
const BODY_LENGTH: Dimension =
    Dimension::length("Body length", Q::HolderLength, 0.5, "Along the tool, from front face to back.");
const BODY_HEIGHT: Dimension =
    Dimension::length("Body height", Q::HolderHeight, 0.5, "Square to the tool, over the whole body.");

/// A dimension that a part has: how it is asked for, what it usually is, and where it is kept.
pub(super) struct DimensionField<P> {
    /// The dimension.
    pub(super) dimension: &'static Dimension,
    /// From where to where it usually lies, in its own unit: common practice, not a limit.
    pub(super) usual: (f64, f64),
    /// Its place in the part.
    pub(super) lens: fn(&mut P) -> Option<&mut f64>,
}

/// Shorthand for the tables below.
const fn dimension_field<P>(
    dimension: &'static Dimension,
    usual: (f64, f64),
    lens: fn(&mut P) -> Option<&mut f64>,
) -> DimensionField<P> {
    DimensionField { dimension, usual, lens }
}

/// The dimensions of a grinder.
pub(super) const GRINDER: [DimensionField<Rig>; 3] = [
    dimension_field(&SPEED, (1000.0, 3600.0), |rig| Some(&mut rig.grinder.spindle_speed_rpm)),
    dimension_field(&HEIGHT, (100.0, 300.0), |rig| Some(&mut rig.grinder.spindle_height_mm)),
    dimension_field(&FRONT, (0.0, 400.0), |rig| Some(&mut rig.grinder.bench_front_mm)),
];
/// The dimensions of a round wheel.
pub(super) const ROUND: [DimensionField<WheelDraft>; 3] = [
    dimension_field(&DIAMETER, (100.0, 250.0), |draft| Some(&mut draft.wheel.diameter_mm)),
    dimension_field(&DIAMETER_NEW, (125.0, 250.0), |draft| Some(&mut draft.wheel.diameter_new_mm)),
    dimension_field(&DIAMETER_LEAST, (80.0, 200.0), |draft| Some(&mut draft.wheel.diameter_least_mm)),
];
/// The dimensions of a flat abrasive.
pub(super) const FLAT: [DimensionField<WheelDraft>; 1] =
    [dimension_field(&FACE_SLOPE, (0.0, 90.0), |draft| Some(&mut draft.wheel.face_slope_deg))];
/// The width of any abrasive.
pub(super) const FACE: [DimensionField<WheelDraft>; 1] =
    [dimension_field(&FACE_WIDTH, (15.0, 60.0), |draft| Some(&mut draft.wheel.width_mm))];
/// The dimensions of an arm.
pub(super) const ARM: [DimensionField<ArmSaved>; 5] = [
    dimension_field(&ARM_X, (-50.0, 150.0), |arm| Some(&mut arm.zero_x_mm)),
    dimension_field(&ARM_Z, (-250.0, -40.0), |arm| Some(&mut arm.zero_z_mm)),
    dimension_field(&ARM_TILT, (-10.0, 20.0), |arm| Some(&mut arm.tilt_deg)),
    dimension_field(&REACH_LEAST, (0.0, 100.0), |arm| Some(&mut arm.reach_least_mm)),
    dimension_field(&REACH_MOST, (200.0, 800.0), |arm| Some(&mut arm.reach_most_mm)),
];
/// The dimensions of a table.
pub(super) const TABLE: [DimensionField<TableSaved>; 7] = [
    dimension_field(&HINGE_X, (60.0, 180.0), |table| Some(&mut table.hinge_x_mm)),
    dimension_field(&HINGE_Z, (-80.0, 80.0), |table| Some(&mut table.hinge_z_mm)),
    dimension_field(&SURFACE, (0.0, 40.0), |table| Some(&mut table.surface_offset_mm)),
    dimension_field(&TABLE_FRONT, (-10.0, 60.0), |table| Some(&mut table.front_mm)),
    dimension_field(&TABLE_REAR, (20.0, 150.0), |table| Some(&mut table.rear_mm)),
    dimension_field(&TILT_LEAST, (-60.0, 0.0), |table| Some(&mut table.tilt_least_deg)),
    dimension_field(&TILT_MOST, (20.0, 80.0), |table| Some(&mut table.tilt_most_deg)),
];
/// The dimensions of a holder: hinge, strut, body.
pub(super) const HOLDER: [DimensionField<HolderSaved>; 7] = [
    dimension_field(&SETBACK, (0.0, 60.0), |holder| Some(&mut holder.hinge_setback_mm)),
    dimension_field(&DROP, (-10.0, 40.0), |holder| Some(&mut holder.hinge_drop_mm)),
    dimension_field(&STRUT, (20.0, 200.0), |holder| Some(&mut holder.strut_length_mm)),
    dimension_field(&STRUT_LEAST, (0.0, 60.0), |holder| Some(&mut holder.strut_angle_least_deg)),
    dimension_field(&STRUT_MOST, (45.0, 130.0), |holder| Some(&mut holder.strut_angle_most_deg)),
    dimension_field(&BODY_LENGTH, (15.0, 80.0), |holder| Some(&mut holder.body_length_mm)),
    dimension_field(&BODY_HEIGHT, (12.0, 60.0), |holder| Some(&mut holder.body_height_mm)),
];

/// The dimensions of a part, one at a time.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Group {
    /// The grinder of a rig.
    Grinder,
    /// A round wheel.
    Round,
    /// A flat abrasive.
    Flat,
    /// The width of either.
    Face,
    /// The arm in front of a wheel.
    Arm,
    /// The table in front of a wheel.
    Table,
    /// A holder.
    Holder,
}

impl Group {
    /// How many dimensions it has.
    pub(super) const fn len(self) -> usize {
        match self {
            Self::Grinder => GRINDER.len(),
            Self::Round => ROUND.len(),
            Self::Flat => FLAT.len(),
            Self::Face => FACE.len(),
            Self::Arm => ARM.len(),
            Self::Table => TABLE.len(),
            Self::Holder => HOLDER.len(),
        }
    }

    /// A dimension of it with what it usually is.
    pub(super) fn dimension(self, index: usize) -> Option<(&'static Dimension, (f64, f64))> {
        fn of<P>(all: &[DimensionField<P>], index: usize) -> Option<(&'static Dimension, (f64, f64))> {
            all.get(index).map(|dimension_field| (dimension_field.dimension, dimension_field.usual))
        }
        match self {
            Self::Grinder => of(&GRINDER, index),
            Self::Round => of(&ROUND, index),
            Self::Flat => of(&FLAT, index),
            Self::Face => of(&FACE, index),
            Self::Arm => of(&ARM, index),
            Self::Table => of(&TABLE, index),
            Self::Holder => of(&HOLDER, index),
        }
    }
}
