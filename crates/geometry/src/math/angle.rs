//! An angle, kept in radians, read and written in degrees.
//!
//! The only place where degrees and radians meet. Arithmetic is that of the number line: nothing is
//! wrapped unless [`Angle::wrapped`] is asked for.

use std::{
    f64::consts::{PI, TAU},
    iter::Sum,
    ops::{Add, AddAssign, Div, Mul, Neg, Sub, SubAssign},
};

/// An angle. Any value is representable, also non-finite ones: the types that carry an angle as a
/// dimension refuse those.
///
/// # Example
/// ```
/// use bevelbench_geometry::math::Angle;
/// let half_square = Angle::from_degrees(45.0);
/// assert!((half_square.tan() - 1.0).abs() < 1e-15);
/// assert_eq!((half_square + half_square).degrees(), 90.0);
/// ```
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
pub struct Angle {
    radians: f64,
}

impl Angle {
    /// No angle.
    pub const ZERO: Self = Self { radians: 0.0 };
    /// A quarter turn, 90°.
    pub const QUARTER: Self = Self { radians: PI / 2.0 };
    /// Half a turn, 180°.
    pub const HALF: Self = Self { radians: PI };
    /// A full turn, 360°.
    pub const FULL: Self = Self { radians: TAU };

    /// From radians.
    #[must_use]
    pub const fn from_radians(radians: f64) -> Self {
        Self { radians }
    }

    /// From degrees.
    #[must_use]
    pub const fn from_degrees(degrees: f64) -> Self {
        Self { radians: degrees.to_radians() }
    }

    /// The direction of a vector, counted from the first axis towards the second, in (−180°, 180°].
    #[must_use]
    pub fn of(vector: glam::DVec2) -> Self {
        Self { radians: vector.y.atan2(vector.x) }
    }

    /// In radians.
    #[must_use]
    pub const fn radians(self) -> f64 {
        self.radians
    }

    /// In degrees.
    #[must_use]
    pub const fn degrees(self) -> f64 {
        self.radians.to_degrees()
    }

    /// Sine.
    #[must_use]
    pub fn sin(self) -> f64 {
        self.radians.sin()
    }

    /// Cosine.
    #[must_use]
    pub fn cos(self) -> f64 {
        self.radians.cos()
    }

    /// Tangent.
    #[must_use]
    pub fn tan(self) -> f64 {
        self.radians.tan()
    }

    /// Sine and cosine.
    #[must_use]
    pub fn sin_cos(self) -> (f64, f64) {
        self.radians.sin_cos()
    }

    /// The unit vector in this direction, counted from the first axis towards the second.
    #[must_use]
    pub fn direction(self) -> glam::DVec2 {
        glam::DVec2::from_angle(self.radians)
    }

    /// The same direction in (−180°, 180°].
    #[must_use]
    pub fn wrapped(self) -> Self {
        if self.radians > -PI && self.radians <= PI {
            return self;
        }
        // The remainder is exact, however many turns there are.
        let radians = self.radians % TAU;
        let radians = if radians > PI { radians - TAU } else { radians };
        Self { radians: if radians <= -PI { radians + TAU } else { radians } }
    }

    /// Without its sign.
    #[must_use]
    pub fn abs(self) -> Self {
        Self { radians: self.radians.abs() }
    }

    /// Neither infinite nor not a number.
    #[must_use]
    pub fn is_finite(self) -> bool {
        self.radians.is_finite()
    }

    /// The nearest angle within two limits (`least` ≤ `most`; otherwise `least`).
    #[must_use]
    pub fn clamped(self, least: Self, most: Self) -> Self {
        if self.radians > most.radians && most.radians >= least.radians {
            most
        } else if self.radians < least.radians {
            least
        } else {
            self
        }
    }
}

impl Add for Angle {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self { radians: self.radians + other.radians }
    }
}

impl AddAssign for Angle {
    fn add_assign(&mut self, other: Self) {
        self.radians += other.radians;
    }
}

impl Sub for Angle {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self { radians: self.radians - other.radians }
    }
}

impl SubAssign for Angle {
    fn sub_assign(&mut self, other: Self) {
        self.radians -= other.radians;
    }
}

impl Neg for Angle {
    type Output = Self;
    fn neg(self) -> Self {
        Self { radians: -self.radians }
    }
}

impl Mul<f64> for Angle {
    type Output = Self;
    fn mul(self, factor: f64) -> Self {
        Self { radians: self.radians * factor }
    }
}

impl Div<f64> for Angle {
    type Output = Self;
    fn div(self, divisor: f64) -> Self {
        Self { radians: self.radians / divisor }
    }
}

impl Sum for Angle {
    fn sum<I: Iterator<Item = Self>>(angles: I) -> Self {
        angles.fold(Self::ZERO, Add::add)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn degrees_survive_the_round_trip() {
        for degrees in [-720.0, -90.0, 0.0, 0.1, 45.0, 359.0] {
            assert_relative_eq!(Angle::from_degrees(degrees).degrees(), degrees, max_relative = 1e-15);
        }
    }

    #[test]
    fn wrapping_keeps_the_direction() {
        for degrees in [-1e17, -1000.0, -180.0, -179.0, 0.0, 180.0, 181.0, 540.0, 725.0, 3e20] {
            let angle = Angle::from_degrees(degrees);
            let wrapped = angle.wrapped();
            assert!(wrapped.degrees() > -180.0 - 1e-9 && wrapped.degrees() <= 180.0 + 1e-9);
            if degrees.abs() < 1e6 {
                assert_relative_eq!(angle.cos(), wrapped.cos(), epsilon = 1e-12);
                assert_relative_eq!(angle.sin(), wrapped.sin(), epsilon = 1e-12);
            }
        }
    }

    #[test]
    fn clamping_survives_limits_in_the_wrong_order() {
        let [low, mid, high] = [10.0, 20.0, 30.0].map(Angle::from_degrees);
        assert_eq!(mid.clamped(low, high), mid);
        assert_eq!(Angle::ZERO.clamped(low, high), low);
        assert_eq!(Angle::HALF.clamped(low, high), high);
        assert_eq!(mid.clamped(high, low), high);
    }
}
