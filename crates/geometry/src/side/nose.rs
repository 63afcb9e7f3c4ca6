//! What a whole swing may do to an edge that its middle pose leaves as set: the numbers, found by `swept`.

use crate::math::angle::Angle;

/// How a tool is rolled or swung by hand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HandRoll {
    /// Height of the roll centre above the bar's centreline, in millimetres.
    pub centre_mm: f64,
    /// To either side.
    pub half_swing: Angle,
    /// Turn of the tool about its own axis in the holder, positive when the `+w` wing is raised.
    pub turn: Angle,
}

/// A nose that other poses of the swing cut off: the bevel is keener than the slope of the roll line, and rolled aside the
/// wheel passes through behind it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NoseGone {
    /// How far behind the nose station the edge lies at the middle, or beside the sliver that is left there, in millimetres.
    pub back_mm: f64,
    /// Width of that sliver, in millimetres; `None` where nothing is left.
    pub sliver_mm: Option<f64>,
    /// Roll angle of the pose that leaves it there, to either side.
    pub roll: Angle,
    /// Angle of the steel between flute and ground face there.
    pub wedge: Angle,
    /// What would save the nose, each with everything else as it is.
    pub remedies: NoseRemedies,
}

impl NoseGone {
    /// The numbers, each with a name that carries its unit; what saves the nose where it can be set.
    #[must_use]
    pub fn numbers(&self) -> Vec<(&'static str, f64)> {
        let mut numbers = vec![
            ("nose_back_mm", self.back_mm),
            ("at_roll_deg", self.roll.degrees()),
            ("wedge_deg", self.wedge.degrees()),
        ];
        numbers.extend(self.sliver_mm.map(|mm| ("sliver_mm", mm)));
        let NoseRemedies { half_swing, bevel, strut_angle, roll_centre_mm } = self.remedies;
        let degrees = |angle: Option<Angle>| angle.map(Angle::degrees);
        for (name, value) in [
            ("remedy_half_swing_deg", degrees(half_swing)),
            ("remedy_bevel_deg", degrees(bevel)),
            ("remedy_strut_angle_deg", degrees(strut_angle)),
            ("remedy_roll_centre_mm", roll_centre_mm),
        ] {
            numbers.extend(value.map(|value| (name, value)));
        }
        numbers
    }
}

/// The nearest values that leave the nose standing, each rounded to a tenth on the side that is well; `None` where the
/// travel, the bench or the tool allows none.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct NoseRemedies {
    /// Swing to either side.
    pub half_swing: Option<Angle>,
    /// Bevel at the edge, the reach found for it.
    pub bevel: Option<Angle>,
    /// Strut angle, the reach found again for the same bevel.
    pub strut_angle: Option<Angle>,
    /// Height of the roll centre, in millimetres.
    pub roll_centre_mm: Option<f64>,
}

/// Steel along the edge that the rim of the wheel reaches in no pose of the swing: left as it was, or stepped by the wheel's
/// side.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NotGround {
    /// Length along the upper face in the section, `−w` side, in millimetres.
    pub minus_mm: f64,
    /// The same on the `+w` side.
    pub plus_mm: f64,
    /// Part of the whole, from 0 to 1.
    pub fraction: f64,
}
