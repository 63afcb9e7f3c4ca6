//! Wheels and grinders: what turns, how large it is now, how fast its rim runs.
//!
//! Bench frame: origin at the wheel's centre, `x` horizontal towards the operator, `z` up, millimetres. The
//! top of the wheel runs towards the operator. A flat abrasive (belt on a platen) is its own case: a plane
//! through the origin.

use std::f64::consts::PI;

use glam::DVec2;

use crate::{
    math::{
        angle::Angle,
        dimension::{Bound, DimensionError, angle, length, place, within},
        quantity::Quantity,
    },
    parts::present_facet::Hollow,
};

/// What the abrasive is made of, as far as it changes what the program says.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Abrasive {
    /// A bonded wheel that sheds its grains: it wears and is dressed.
    #[default]
    Friable,
    /// A metal wheel with a superabrasive layer (CBN, diamond): it keeps its diameter.
    Superabrasive,
    /// A belt on a flat platen, or a flat stone.
    Flat,
}

/// The surface that steel meets, as the formulas see it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Face {
    /// A round wheel of this radius in millimetres, its centre at the bench frame's origin.
    Round {
        /// Radius in millimetres.
        radius_mm: f64,
    },
    /// A plane through the bench frame's origin; its outward normal stands this far above the horizontal
    /// (0°: an upright platen that faces the operator, 90°: a flat stone lying on the bench).
    Flat {
        /// Direction of the outward normal above the horizontal.
        normal: Angle,
    },
}

impl Face {
    /// Radius in millimetres; `None` for a flat face.
    #[must_use]
    pub fn radius_mm(self) -> Option<f64> {
        match self {
            Self::Round { radius_mm } => Some(radius_mm),
            Self::Flat { .. } => None,
        }
    }

    /// The hollow it leaves on a facet.
    #[must_use]
    pub fn hollow(self) -> Hollow {
        match self {
            Self::Round { radius_mm } => Hollow::Arc { radius_mm },
            Self::Flat { .. } => Hollow::Flat,
        }
    }

    /// Signed distance of a bench point from the surface, outside positive, in millimetres.
    #[must_use]
    pub fn distance_mm(self, point_in_bench: DVec2) -> f64 {
        match self {
            Self::Round { radius_mm } => point_in_bench.length() - radius_mm,
            Self::Flat { normal } => point_in_bench.dot(normal.direction()),
        }
    }
}

/// The plain numbers of a wheel, as measured and as marked.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WheelSpec {
    /// Diameter today in millimetres (a flat abrasive: the length of its platen).
    pub diameter_mm: f64,
    /// Diameter when new in millimetres.
    pub diameter_new_mm: f64,
    /// Diameter below which the wheel is not to be used, in millimetres.
    pub diameter_least_mm: f64,
    /// Width of the face in millimetres.
    pub width_mm: f64,
    /// The abrasive.
    pub abrasive: Abrasive,
    /// Greatest rim speed marked on the wheel in metres a second, if it can be read.
    pub marked_speed_m_s: Option<f64>,
    /// Slope of a flat abrasive's normal above the horizontal; a round wheel has none.
    pub face_slope: Angle,
}

/// A wheel with checked dimensions.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wheel {
    spec: WheelSpec,
}

impl Wheel {
    /// A wheel from its measured and marked numbers.
    ///
    /// # Errors
    /// [`DimensionError`] for a dimension out of range, and for a wheel that is larger than it was when new.
    /// A wheel below its least usable diameter is a wheel all the same: using it is what is refused, by
    /// [`Wheel::wear_refusal`].
    pub fn new(spec: WheelSpec) -> Result<Self, DimensionError> {
        length(Quantity::WheelDiameter, spec.diameter_mm)?;
        length(Quantity::WheelDiameterNew, spec.diameter_new_mm)?;
        within(Quantity::WheelDiameterLeast, spec.diameter_least_mm, 0.0, spec.diameter_new_mm)?;
        length(Quantity::WheelWidth, spec.width_mm)?;
        if let Some(speed) = spec.marked_speed_m_s {
            within(Quantity::MarkedSpeed, speed, 0.1, 500.0)?;
        }
        angle(Quantity::FaceSlope, spec.face_slope, -45.0, 100.0)?;
        if spec.diameter_mm > spec.diameter_new_mm {
            return Err(DimensionError {
                quantity: Quantity::WheelDiameter,
                value: spec.diameter_mm,
                bound: Bound::AtMost(spec.diameter_new_mm),
            });
        }
        Ok(Self { spec })
    }

    /// The numbers it was made from.
    #[must_use]
    pub fn spec(&self) -> &WheelSpec {
        &self.spec
    }

    /// Diameter today in millimetres.
    #[must_use]
    pub fn diameter_mm(&self) -> f64 {
        self.spec.diameter_mm
    }

    /// Width of the face in millimetres.
    #[must_use]
    pub fn width_mm(&self) -> f64 {
        self.spec.width_mm
    }

    /// The surface that steel meets.
    #[must_use]
    pub fn face(&self) -> Face {
        match self.spec.abrasive {
            Abrasive::Flat => Face::Flat { normal: self.spec.face_slope },
            Abrasive::Friable | Abrasive::Superabrasive => {
                Face::Round { radius_mm: self.spec.diameter_mm / 2.0 }
            }
        }
    }

    /// How far a round wheel is below its least usable diameter, in millimetres; `None` while it may be used.
    #[must_use]
    pub fn wear_refusal(&self) -> Option<f64> {
        let below = self.spec.diameter_least_mm - self.spec.diameter_mm;
        (self.spec.abrasive != Abrasive::Flat && below > 0.0).then_some(below)
    }

    /// Usable radius left, as a fraction of what the new wheel offered; 1 for a wheel that does not wear.
    #[must_use]
    pub fn fraction_left(&self) -> f64 {
        let usable = self.spec.diameter_new_mm - self.spec.diameter_least_mm;
        if self.spec.abrasive == Abrasive::Flat || usable <= 0.0 {
            1.0
        } else {
            ((self.spec.diameter_mm - self.spec.diameter_least_mm) / usable).clamp(0.0, 1.0)
        }
    }
}

/// A grinder: the spindle, its height over the bench and where the bench ends.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Grinder {
    spindle_speed_rpm: f64,
    spindle_height_mm: f64,
    bench_front_mm: f64,
}

impl Grinder {
    /// A grinder with its spindle speed in turns a minute, its spindle this high above the bench top, and the
    /// bench's front edge this far in front of the spindle.
    ///
    /// # Errors
    /// [`DimensionError`] for a number out of range.
    pub fn new(
        spindle_speed_rpm: f64,
        spindle_height_mm: f64,
        bench_front_mm: f64,
    ) -> Result<Self, DimensionError> {
        within(Quantity::SpindleSpeed, spindle_speed_rpm, 1.0, 100_000.0)?;
        length(Quantity::SpindleHeight, spindle_height_mm)?;
        place(Quantity::BenchFront, bench_front_mm)?;
        Ok(Self { spindle_speed_rpm, spindle_height_mm, bench_front_mm })
    }

    /// Spindle speed in turns a minute.
    #[must_use]
    pub fn spindle_speed_rpm(&self) -> f64 {
        self.spindle_speed_rpm
    }

    /// Height of the spindle above the bench top, in millimetres.
    #[must_use]
    pub fn spindle_height_mm(&self) -> f64 {
        self.spindle_height_mm
    }

    /// Distance of the bench's front edge in front of the spindle, in millimetres.
    #[must_use]
    pub fn bench_front_mm(&self) -> f64 {
        self.bench_front_mm
    }
}

/// Surface speed of a wheel's rim in metres a second.
///
/// # Source
/// `v = π d n`; F. D. Jones, *Turning and Boring*, 1914, prints it as `rpm = 12 C / (π d)`.
///
/// # Example
/// ```
/// use bevelbench_geometry::parts::rim_speed_m_s;
/// // 150 mm at 2,850 turns a minute
/// assert!((rim_speed_m_s(150.0, 2850.0) - 22.38).abs() < 0.01);
/// ```
#[must_use]
pub fn rim_speed_m_s(diameter_mm: f64, spindle_speed_rpm: f64) -> f64 {
    PI * diameter_mm * 1e-3 * spindle_speed_rpm / 60.0
}

/// Synchronous speed of an alternating-current motor in turns a minute, `120 f / p`, for a mains frequency in
/// hertz and a number of poles. A loaded induction motor runs a few per cent slower.
#[must_use]
pub fn synchronous_speed_rpm(mains_hz: f64, poles: u32) -> f64 {
    120.0 * mains_hz / f64::from(poles.max(1))
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    fn spec() -> WheelSpec {
        WheelSpec {
            diameter_mm: 190.0,
            diameter_new_mm: 200.0,
            diameter_least_mm: 150.0,
            width_mm: 40.0,
            abrasive: Abrasive::Friable,
            marked_speed_m_s: Some(35.0),
            face_slope: Angle::ZERO,
        }
    }

    #[test]
    fn worn_wheel_knows_what_is_left() {
        assert_relative_eq!(Wheel::new(spec()).unwrap().fraction_left(), 0.8);
        let worn = Wheel::new(WheelSpec { diameter_mm: 140.0, ..spec() }).unwrap();
        assert_eq!(worn.wear_refusal(), Some(10.0));
        assert_relative_eq!(worn.fraction_left(), 0.0);
    }

    #[test]
    fn wheel_does_not_grow() {
        let refused = Wheel::new(WheelSpec { diameter_mm: 201.0, ..spec() }).unwrap_err();
        assert_eq!(refused.bound, Bound::AtMost(200.0));
    }

    #[test]
    fn unreadable_numbers_are_refused() {
        for bad in [f64::NAN, f64::INFINITY, -1.0, 0.0, 1e300] {
            assert!(Wheel::new(WheelSpec { diameter_mm: bad, ..spec() }).is_err(), "{bad}");
            assert!(Wheel::new(WheelSpec { width_mm: bad, ..spec() }).is_err(), "{bad}");
            assert!(Grinder::new(bad, 200.0, 200.0).is_err(), "{bad}");
        }
    }

    #[test]
    fn synchronous_speeds_are_the_tabled_ones() {
        // V06: 120 f / p (engineeringtoolbox.com d_1448; electricalengineeringtoolbox.com 2016/02).
        let tabled = [
            (50.0, 2, 3000.0),
            (50.0, 4, 1500.0),
            (50.0, 6, 1000.0),
            (60.0, 2, 3600.0),
            (60.0, 4, 1800.0),
            (60.0, 6, 1200.0),
        ];
        for (hz, poles, rpm) in tabled {
            assert_relative_eq!(synchronous_speed_rpm(hz, poles), rpm);
        }
    }
}
