//! Every quantity of the bench by name, and what kind of number each is.
//!
//! One list for all: what is set, what may be found, what the bevel's uncertainty rests on, what is fitted and what a
//! constructor refuses are quantities of this list. Which of them a function knows is said there.

use std::fmt;

/// What kind of number a quantity is; its plain value is in this unit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Kind {
    /// Millimetres.
    Length,
    /// Degrees.
    Angle,
    /// Metres a second.
    Speed,
    /// Turns a minute.
    Turns,
    /// A number without a unit.
    Plain,
    /// A whole number without a unit.
    Whole,
}

macro_rules! quantities {
    ($($(#[$doc:meta])* $name:ident: $kind:ident => $words:literal),+ $(,)?) => {
        /// A named dimension or setting of the bench, those that are set first. Their order is that of rows and lists.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
        pub enum Quantity { $($(#[$doc])* $name),+ }

        impl Quantity {
            /// Every quantity, in order.
            pub const ALL: &'static [Self] = &[$(Self::$name),+];

            /// The name as a turner says it, in lower case: "strut length".
            #[must_use]
            pub const fn words(self) -> &'static str {
                match self { $(Self::$name => $words),+ }
            }

            /// What kind of number it is.
            #[must_use]
            pub const fn kind(self) -> Kind {
                match self { $(Self::$name => Kind::$kind),+ }
            }
        }
    };
}

quantities! {
    /// Reach of the cup along the arm.
    Reach: Length => "arm reach",
    /// Projection of the tool.
    Projection: Length => "projection",
    /// Strut angle.
    StrutAngle: Angle => "strut angle",
    /// Tilt of the table.
    TableTilt: Angle => "table tilt",
    /// Overall length of a tool.
    ToolLength: Length => "tool length",
    /// Wheel diameter now.
    WheelDiameter: Length => "wheel diameter",
    /// Height of the roll centre above the bar's centreline.
    RollCentre: Length => "roll centre",
    /// Limit of the swing to either side.
    Swing: Angle => "swing to either side",
    /// Turn of the tool in its holder.
    TurnInHolder: Angle => "turn in the holder",
    /// Horizontal place of the arm's zero.
    ArmZeroX: Length => "arm zero in front of the spindle",
    /// Height of the arm's zero.
    ArmZeroZ: Length => "arm zero above the spindle",
    /// Slope of the arm.
    ArmTilt: Angle => "arm tilt",
    /// Hinge setback of a holder.
    HingeSetback: Length => "hinge setback",
    /// Hinge drop of a holder.
    HingeDrop: Length => "hinge drop",
    /// Strut length.
    StrutLength: Length => "strut length",
    /// Horizontal place of the table's hinge.
    HingeX: Length => "table hinge in front of the spindle",
    /// Height of the table's hinge.
    HingeZ: Length => "table hinge above the spindle",
    /// Table surface above its hinge.
    SurfaceOffset: Length => "table surface above its hinge",
    /// Height of the edge above the centreline.
    EdgeHeight: Length => "edge above the centreline",
    /// Steel between edge and underside, square to the axis.
    UnderEdge: Length => "steel under the edge",
    /// Gauge length, pivot to rim.
    GaugeLength: Length => "gauge length",
    /// Wheel diameter when new.
    WheelDiameterNew: Length => "wheel diameter when new",
    /// Least usable wheel diameter.
    WheelDiameterLeast: Length => "least usable wheel diameter",
    /// Wheel width.
    WheelWidth: Length => "wheel width",
    /// Marked speed of a wheel.
    MarkedSpeed: Speed => "marked wheel speed",
    /// Grit number of an abrasive, as marked.
    Grit: Whole => "grit",
    /// Slope of a flat abrasive's face.
    FaceSlope: Angle => "slope of the flat face",
    /// Spindle speed.
    SpindleSpeed: Turns => "spindle speed",
    /// Height of the spindle above the bench.
    SpindleHeight: Length => "spindle height above the bench",
    /// Front edge of the bench, from the spindle.
    BenchFront: Length => "distance from the spindle to the bench's front edge",
    /// Least reach.
    ReachLeast: Length => "least arm reach",
    /// Greatest reach.
    ReachMost: Length => "greatest arm reach",
    /// Least strut angle.
    StrutAngleLeast: Angle => "least strut angle",
    /// Greatest strut angle.
    StrutAngleMost: Angle => "greatest strut angle",
    /// Length of a holder's body.
    HolderLength: Length => "holder body length",
    /// Height of a holder's body.
    HolderHeight: Length => "holder body height",
    /// Length of the blade outside the handle.
    BladeLength: Length => "blade length",
    /// Front edge of the table, from the hinge.
    TableFront: Length => "table's front edge in front of the hinge",
    /// Rear edge of the table, from the hinge.
    TableRear: Length => "table's rear edge behind the hinge",
    /// Least tilt.
    TableTiltLeast: Angle => "least table tilt",
    /// Greatest tilt.
    TableTiltMost: Angle => "greatest table tilt",
    /// Diameter of a gouge's bar.
    BarDiameter: Length => "bar diameter",
    /// Height of the flute's floor.
    FluteFloor: Length => "flute floor above the bar's centreline",
    /// Flute power-law factor.
    FluteFactor: Plain => "flute factor",
    /// Flute power-law exponent.
    FluteExponent: Plain => "flute exponent",
    /// Wall slope of a V flute.
    FluteSlope: Plain => "flute wall slope",
    /// Floor radius of a V flute.
    FluteFloorRadius: Length => "flute floor radius",
    /// Radius of a circular flute.
    FluteRadius: Length => "flute radius",
    /// Width of flat stock.
    BladeWidth: Length => "blade width",
    /// Thickness of flat stock.
    BladeThickness: Length => "blade thickness",
    /// Angle between the edge and the long side.
    EdgeObliquity: Angle => "angle between edge and long side",
    /// Radius of a curved edge, in the blade's plane.
    EdgeRadius: Length => "edge radius in plan",
    /// Drop of a negative-rake edge below the upper face.
    EdgeDrop: Length => "edge drop below the upper face",
    /// Bevel of the other face.
    OtherBevel: Angle => "bevel of the other face",
    /// Bevel angle at the edge.
    Bevel: Angle => "bevel at the edge",
    /// Bevel angle across the facet.
    BevelAcross: Angle => "bevel across the facet",
    /// Width of the present facet.
    FacetWidth: Length => "facet width",
    /// Radius of the present facet's hollow.
    FacetRadius: Length => "facet radius",
    /// Inner radius of a guard.
    GuardRadius: Length => "guard's inner radius",
    /// Width of a guard.
    GuardWidth: Length => "guard's width",
    /// Lower end of a guard's opening.
    GuardOpenFrom: Angle => "guard open from, above the horizontal",
    /// Upper end of a guard's opening.
    GuardOpenTo: Angle => "guard open to, above the horizontal",
}

impl Quantity {
    /// Whether its plain value is in degrees.
    #[must_use]
    pub const fn is_angle(self) -> bool {
        matches!(self.kind(), Kind::Angle)
    }
}

impl fmt::Display for Quantity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.words())
    }
}
