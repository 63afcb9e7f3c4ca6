//! The roll line, the swing, and the frame that turns with them.
//!
//! A tool rolled from wing to wing turns about a line fixed in it, through the pivot `P` and the **roll
//! centre** `A = (0, h_A)` on the nose station. Beside the tool frame `(s, h, w)` this module uses the
//! *roll frame*: `u` along the line from `A` towards `P`, `a` square to it in the plane that holds `P` and
//! the tool's axis (positive on the wheel's side), `b` square to that plane. The distance from the line is
//! `r = √(a² + b²)`, the **roll angle** `ψ = atan2(b, a)`, positive towards `+w`. Millimetres throughout.

#![allow(clippy::neg_cmp_op_on_partial_ord, reason = "written so that a NaN takes the safe way")]

use std::{error::Error, fmt};

use glam::{DVec2, DVec3};

use crate::math::angle::Angle;

/// Why there is no roll line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum RollLineError {
    /// A coordinate is not a finite number.
    NotFinite,
    /// The pivot lies at the roll centre, so that no direction is left.
    PivotAtCentre {
        /// How far apart they are, in millimetres.
        apart_mm: f64,
    },
}

impl fmt::Display for RollLineError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotFinite => f.write_str("roll line from a number that is not finite"),
            Self::PivotAtCentre { apart_mm } => write!(f, "pivot {apart_mm} mm from the roll centre"),
        }
    }
}

impl Error for RollLineError {}

/// Least distance between pivot and roll centre that gives a direction, in millimetres.
const LEAST_ARM_MM: f64 = 1e-3;

/// The line about which a tool is rolled, in its own plane `(s, h)`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RollLine {
    centre: DVec2,
    along: DVec2,
    reach_mm: f64,
}

impl RollLine {
    /// Through the pivot at `pivot_in_tool = (s, h)` and the roll centre `centre_height_mm` above the bar's
    /// centreline on the nose station.
    ///
    /// # Errors
    /// [`RollLineError`].
    pub fn through(pivot_in_tool: DVec2, centre_height_mm: f64) -> Result<Self, RollLineError> {
        let centre = DVec2::new(0.0, centre_height_mm);
        if !pivot_in_tool.is_finite() || !centre_height_mm.is_finite() {
            return Err(RollLineError::NotFinite);
        }
        let arm = pivot_in_tool - centre;
        let reach_mm = arm.length();
        if !(reach_mm >= LEAST_ARM_MM) || !reach_mm.is_finite() {
            return Err(RollLineError::PivotAtCentre { apart_mm: reach_mm });
        }
        Ok(Self { centre, along: arm / reach_mm, reach_mm })
    }

    /// Square to a table on which a round-nosed scraper is swung: upright, `plan_radius_mm` behind the
    /// nose.
    ///
    /// # Errors
    /// [`RollLineError::NotFinite`].
    pub fn upright(plan_radius_mm: f64) -> Result<Self, RollLineError> {
        if plan_radius_mm.is_finite() {
            Ok(Self {
                centre: DVec2::new(plan_radius_mm, 0.0),
                along: DVec2::new(0.0, -1.0),
                reach_mm: LEAST_ARM_MM,
            })
        } else {
            Err(RollLineError::NotFinite)
        }
    }

    /// The roll centre `A` (for an upright line its foot in the mid-plane), `(s, h)`.
    #[must_use]
    pub fn centre_in_tool(&self) -> DVec2 {
        self.centre
    }

    /// Unit vector from the roll centre towards the pivot, `(s, h)`.
    #[must_use]
    pub fn along_in_tool(&self) -> DVec2 {
        self.along
    }

    /// Unit vector square to the line on the wheel's side: downwards, or towards the nose where the line is
    /// upright.
    #[must_use]
    pub fn square_in_tool(&self) -> DVec2 {
        let square = DVec2::new(self.along.y, -self.along.x);
        if square.y < 0.0 || (square.y == 0.0 && square.x < 0.0) { square } else { -square }
    }

    /// The pivot, `(s, h)`.
    #[must_use]
    pub fn pivot_in_tool(&self) -> DVec2 {
        self.centre + self.reach_mm * self.along
    }

    /// Distance from roll centre to pivot, in millimetres.
    #[must_use]
    pub fn reach_mm(&self) -> f64 {
        self.reach_mm
    }

    /// Slope of the line against the tool's axis: positive where the pivot lies below the roll centre.
    #[must_use]
    pub fn angle(&self) -> Angle {
        Angle::of(DVec2::new(self.along.x, -self.along.y))
    }

    /// Distance of a point of the plane from the line, in millimetres; negative on the side away from the
    /// wheel.
    #[must_use]
    pub fn distance_mm(&self, point_in_tool: DVec2) -> f64 {
        (point_in_tool - self.centre).dot(self.square_in_tool())
    }

    /// Whether `other` is the same line, to within `accuracy_mm` at both roll centres and one metre along.
    #[must_use]
    pub fn is_same_as(&self, other: &Self, accuracy_mm: f64) -> bool {
        let far = other.centre + 1000.0 * other.along;
        self.distance_mm(other.centre).abs() <= accuracy_mm && self.distance_mm(far).abs() <= accuracy_mm
    }
}

/// How far a tool is rolled to either side of its middle position.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Swing {
    half: Angle,
}

impl Swing {
    /// An assumed swing, 90° to either side: shown as an assumption wherever it is used.
    pub const ASSUMED: Self = Self { half: Angle::QUARTER };

    /// To `half` on either side. `None` unless 0 ≤ `half` ≤ 180°.
    #[must_use]
    pub fn to_either_side(half: Angle) -> Option<Self> {
        (half.radians() >= 0.0 && half.degrees() <= 180.0).then_some(Self { half })
    }

    /// The limit on either side.
    #[must_use]
    pub fn half(&self) -> Angle {
        self.half
    }
}

/// From the tool frame to the roll frame and back: a turn of the tool about its own axis in its holder,
/// then the plane of the roll line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct RollFrame {
    centre: DVec2,
    /// `(u, a)` of the tool's axis direction: how both change along a ray.
    pub(crate) along: DVec2,
    /// `(u, a)` of the holder's upward direction.
    up: DVec2,
    turn_sin: f64,
    turn_cos: f64,
}

/// A ray along the tool's axis in the roll frame: `(u, a) = start + s·along`, at a fixed `b`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Ray {
    pub(crate) start: DVec2,
    pub(crate) b: f64,
}

impl RollFrame {
    /// `turn` is that of the tool in its holder, positive when the `+w` wing is raised.
    pub(crate) fn new(line: &RollLine, turn: Angle) -> Self {
        let (d, n) = (line.along, line.square_in_tool());
        let (turn_sin, turn_cos) = turn.sin_cos();
        Self {
            centre: line.centre,
            along: DVec2::new(d.x, n.x),
            up: DVec2::new(d.y, n.y),
            turn_sin,
            turn_cos,
        }
    }

    /// The ray through `(w, h)`.
    pub(crate) fn ray(&self, w: f64, h: f64) -> Ray {
        let height = h * self.turn_cos + w * self.turn_sin - self.centre.y;
        Ray { start: height * self.up - self.centre.x * self.along, b: w * self.turn_cos - h * self.turn_sin }
    }

    /// A point `(s, h, w)` as `(u, a, b)`.
    pub(crate) fn point(&self, p: DVec3) -> DVec3 {
        let ray = self.ray(p.z, p.y);
        (ray.start + p.x * self.along).extend(ray.b)
    }

    /// A direction `(u, a, b)` as `(s, h, w)`.
    pub(crate) fn direction_in_tool(&self, v: DVec3) -> DVec3 {
        let plane = v.truncate();
        let (s, q, b) = (plane.dot(self.along), plane.dot(self.up), v.z);
        DVec3::new(s, q * self.turn_cos - b * self.turn_sin, q * self.turn_sin + b * self.turn_cos)
    }

    /// A point `(u, a, b)` as `(s, h, w)`.
    #[cfg(test)]
    pub(crate) fn point_in_tool(&self, p: DVec3) -> DVec3 {
        // The turn is about the tool's own axis, not about the roll centre: undo the shift in between.
        let plane = p.truncate();
        let s = plane.dot(self.along) + self.centre.x;
        let q = plane.dot(self.up) + self.centre.y;
        DVec3::new(s, q * self.turn_cos - p.z * self.turn_sin, q * self.turn_sin + p.z * self.turn_cos)
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn frame_transforms_are_inverse() {
        let line = RollLine::through(DVec2::new(140.0, -50.0), 1.5).unwrap();
        let frame = RollFrame::new(&line, Angle::from_degrees(7.0));
        for p in [DVec3::new(3.0, -4.0, 0.0), DVec3::new(-2.0, 5.0, 3.0)] {
            let back = frame.point_in_tool(frame.point(p));
            assert_relative_eq!((back - p).length(), 0.0, epsilon = 1e-12);
            let moved = frame.point(p + DVec3::Y) - frame.point(p);
            assert_relative_eq!((frame.direction_in_tool(moved) - DVec3::Y).length(), 0.0, epsilon = 1e-12);
        }
    }

    #[test]
    fn pivot_and_roll_centre_lie_on_the_line() {
        let pivot = DVec2::new(139.5, -49.5);
        let line = RollLine::through(pivot, 2.0).unwrap();
        assert_relative_eq!(line.distance_mm(pivot), 0.0, epsilon = 1e-12);
        assert_relative_eq!(line.distance_mm(DVec2::new(0.0, 2.0)), 0.0, epsilon = 1e-12);
        assert!(line.distance_mm(DVec2::new(0.0, -4.0)) > 0.0, "the wheel's side is below");
        assert_relative_eq!(line.angle().degrees(), (51.5_f64 / 139.5).atan().to_degrees(), epsilon = 1e-12);
    }

    #[test]
    fn a_pivot_at_the_roll_centre_is_refused() {
        assert!(matches!(
            RollLine::through(DVec2::new(0.0, 1.0), 1.0),
            Err(RollLineError::PivotAtCentre { .. })
        ));
        assert_eq!(RollLine::through(DVec2::new(f64::NAN, 1.0), 1.0), Err(RollLineError::NotFinite));
    }

    #[test]
    fn a_swing_is_no_more_than_half_a_turn() {
        assert!(Swing::to_either_side(Angle::from_degrees(181.0)).is_none());
        assert!(Swing::to_either_side(Angle::from_degrees(-1.0)).is_none());
        assert!(Swing::to_either_side(Angle::from_radians(f64::NAN)).is_none());
        assert!(Swing::to_either_side(Angle::HALF).is_some());
    }
}
