//! Checked dimensions: which quantity it is, what it may be, and what was wrong with it.
//!
//! The parts of a bench are built from plain numbers by constructors that check each one once, here.
//! Afterwards the formulas may rely on finite, positive values.

use std::{error::Error, fmt};

use crate::math::angle::Angle;

/// Upper limit of every length, in millimetres: ten metres is beyond any bench, and keeps squares finite.
pub const LONGEST_MM: f64 = 10_000.0;
/// Least length that counts as one, in millimetres.
pub const SHORTEST_MM: f64 = 1e-6;

macro_rules! quantities {
    ($($(#[$doc:meta])* $name:ident => $words:literal),+ $(,)?) => {
        /// A named dimension or setting of the bench.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
        pub enum Quantity { $($(#[$doc])* $name),+ }

        impl Quantity {
            /// The name as a turner says it, in lower case: "strut length".
            #[must_use]
            pub const fn words(self) -> &'static str {
                match self { $(Self::$name => $words),+ }
            }
        }
    };
}

quantities! {
    /// Wheel diameter now.
    WheelDiameter => "wheel diameter",
    /// Wheel diameter when new.
    WheelDiameterNew => "wheel diameter when new",
    /// Least usable wheel diameter.
    WheelDiameterLeast => "least usable wheel diameter",
    /// Wheel width.
    WheelWidth => "wheel width",
    /// Marked speed of a wheel.
    MarkedSpeed => "marked wheel speed",
    /// Slope of a flat abrasive's face.
    FaceSlope => "slope of the flat face",
    /// Spindle speed.
    SpindleSpeed => "spindle speed",
    /// Height of the spindle above the bench.
    SpindleHeight => "spindle height above the bench",
    /// Front edge of the bench, from the spindle.
    BenchFront => "distance from the spindle to the bench's front edge",
    /// Horizontal place of the arm's zero.
    ArmZeroX => "arm zero in front of the spindle",
    /// Height of the arm's zero.
    ArmZeroZ => "arm zero above the spindle",
    /// Slope of the arm.
    ArmTilt => "arm tilt",
    /// Reach of the cup along the arm.
    Reach => "arm reach",
    /// Least reach.
    ReachLeast => "least arm reach",
    /// Greatest reach.
    ReachMost => "greatest arm reach",
    /// Hinge setback of a holder.
    HingeSetback => "hinge setback",
    /// Hinge drop of a holder.
    HingeDrop => "hinge drop",
    /// Strut length.
    StrutLength => "strut length",
    /// Strut angle.
    StrutAngle => "strut angle",
    /// Least strut angle.
    StrutAngleLeast => "least strut angle",
    /// Greatest strut angle.
    StrutAngleMost => "greatest strut angle",
    /// Length of a holder's body.
    HolderLength => "holder body length",
    /// Height of a holder's body.
    HolderHeight => "holder body height",
    /// Projection of the tool.
    Projection => "projection",
    /// Overall length of a tool.
    ToolLength => "tool length",
    /// Length of the blade outside the handle.
    BladeLength => "blade length",
    /// Horizontal place of the table's hinge.
    HingeX => "table hinge in front of the spindle",
    /// Height of the table's hinge.
    HingeZ => "table hinge above the spindle",
    /// Table surface above its hinge.
    SurfaceOffset => "table surface above its hinge",
    /// Front edge of the table, from the hinge.
    TableFront => "table's front edge in front of the hinge",
    /// Rear edge of the table, from the hinge.
    TableRear => "table's rear edge behind the hinge",
    /// Tilt of the table.
    TableTilt => "table tilt",
    /// Least tilt.
    TableTiltLeast => "least table tilt",
    /// Greatest tilt.
    TableTiltMost => "greatest table tilt",
    /// Diameter of a gouge's bar.
    BarDiameter => "bar diameter",
    /// Height of the flute's floor.
    FluteFloor => "flute floor above the bar's centreline",
    /// Flute power-law factor.
    FluteFactor => "flute factor",
    /// Flute power-law exponent.
    FluteExponent => "flute exponent",
    /// Wall slope of a V flute.
    FluteSlope => "flute wall slope",
    /// Floor radius of a V flute.
    FluteFloorRadius => "flute floor radius",
    /// Radius of a circular flute.
    FluteRadius => "flute radius",
    /// Width of flat stock.
    BladeWidth => "blade width",
    /// Thickness of flat stock.
    BladeThickness => "blade thickness",
    /// Angle between the edge and the long side.
    EdgeObliquity => "angle between edge and long side",
    /// Radius of a curved edge, in the blade's plane.
    EdgeRadius => "edge radius in plan",
    /// Height of the edge above the mid-plane.
    EdgeHeight => "edge above the blade's mid-plane",
    /// Drop of a negative-rake edge below the upper face.
    EdgeDrop => "edge drop below the upper face",
    /// Bevel of the other face.
    OtherBevel => "bevel of the other face",
    /// Bevel angle at the edge.
    Bevel => "bevel at the edge",
    /// Bevel angle across the facet.
    BevelAcross => "bevel across the facet",
    /// Width of the present facet.
    FacetWidth => "facet width",
    /// Radius of the present facet's hollow.
    FacetRadius => "facet radius",
    /// Height of the roll centre.
    RollCentre => "roll centre above the bar's centreline",
    /// Limit of the swing to either side.
    Swing => "swing to either side",
    /// Turn of the tool in its holder.
    TurnInHolder => "turn in the holder",
    /// Inner radius of a guard.
    GuardRadius => "guard's inner radius",
    /// Width of a guard.
    GuardWidth => "guard's width",
    /// Lower end of a guard's opening.
    GuardOpenFrom => "guard open from, above the horizontal",
    /// Upper end of a guard's opening.
    GuardOpenTo => "guard open to, above the horizontal",
    /// Gauge length, pivot to rim.
    GaugeLength => "gauge length",
}

impl fmt::Display for Quantity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.words())
    }
}

/// What a value was asked to be. Angles are in degrees, lengths in millimetres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Bound {
    /// A finite number.
    Finite,
    /// At least this.
    AtLeast(f64),
    /// At most this.
    AtMost(f64),
    /// Strictly more than this.
    MoreThan(f64),
    /// Strictly less than this.
    LessThan(f64),
}

/// A dimension that cannot be: which, how much, and what it was asked to be.
///
/// Values are in millimetres, degrees, metres a second or turns a minute, as the quantity is usually given.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DimensionError {
    /// The quantity.
    pub quantity: Quantity,
    /// The value that was refused.
    pub value: f64,
    /// What it was asked to be.
    pub bound: Bound,
}

impl fmt::Display for DimensionError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { quantity, value, bound } = self;
        write!(f, "{quantity} is {value} but must be ")?;
        match bound {
            Bound::Finite => f.write_str("a finite number"),
            Bound::AtLeast(x) => write!(f, "at least {x}"),
            Bound::AtMost(x) => write!(f, "at most {x}"),
            Bound::MoreThan(x) => write!(f, "more than {x}"),
            Bound::LessThan(x) => write!(f, "less than {x}"),
        }
    }
}

impl Error for DimensionError {}

/// A finite number.
pub(crate) fn finite(quantity: Quantity, value: f64) -> Result<f64, DimensionError> {
    if value.is_finite() { Ok(value) } else { Err(DimensionError { quantity, value, bound: Bound::Finite }) }
}

/// A number within two limits, both allowed.
pub(crate) fn within(quantity: Quantity, value: f64, least: f64, most: f64) -> Result<f64, DimensionError> {
    finite(quantity, value)?;
    if value < least {
        Err(DimensionError { quantity, value, bound: Bound::AtLeast(least) })
    } else if value > most {
        Err(DimensionError { quantity, value, bound: Bound::AtMost(most) })
    } else {
        Ok(value)
    }
}

/// A length above nothing and below [`LONGEST_MM`].
pub(crate) fn length(quantity: Quantity, value: f64) -> Result<f64, DimensionError> {
    within(quantity, value, SHORTEST_MM, LONGEST_MM)
}

/// A place on the bench: any sign, no further than [`LONGEST_MM`].
pub(crate) fn place(quantity: Quantity, value: f64) -> Result<f64, DimensionError> {
    within(quantity, value, -LONGEST_MM, LONGEST_MM)
}

/// A length that may be nothing.
pub(crate) fn length_or_none(quantity: Quantity, value: f64) -> Result<f64, DimensionError> {
    within(quantity, value, 0.0, LONGEST_MM)
}

/// An angle within two limits in degrees, both allowed.
pub(crate) fn angle(
    quantity: Quantity,
    value: Angle,
    least: f64,
    most: f64,
) -> Result<Angle, DimensionError> {
    // A tolerance for the rounding of degrees that are stored as radians.
    let degrees = value.degrees();
    within(quantity, degrees, least - 1e-9, most + 1e-9).map_err(|dimension_error| DimensionError {
        bound: match dimension_error.bound {
            Bound::AtLeast(_) => Bound::AtLeast(least),
            Bound::AtMost(_) => Bound::AtMost(most),
            other => other,
        },
        ..dimension_error
    })?;
    Ok(value)
}
