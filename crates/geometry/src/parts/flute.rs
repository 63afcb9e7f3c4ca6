//! The flute of a gouge: the wall `h = f(w)` milled into a round bar, up to the wing tops.
//!
//! Section frame: `w` across the tool, `h` from the bar's centreline towards the open side, millimetres.
//! Every flute here is even in `w` and convex, its least height, the floor, at `w = 0`.

use glam::DVec2;

use crate::math::{
    dimension::{Bound, DimensionError, length, place, within},
    quantity::Quantity,
};

/// The law of a flute's wall.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum FluteShape {
    /// `floor + factor·|w|ⁿ`, n ≥ 2: a parabola at 2, ever more of a U above it.
    Power {
        /// `factor` in millimetres to the power 1 − n.
        factor: f64,
        /// `n`, from 2 to 24.
        exponent: f64,
    },
    /// A V with a rounded floor: `floor + m(√(w² + m²ρ²) − mρ)`; its wall slope tends to `m`, its floor
    /// has the radius ρ.
    Vee {
        /// Slope `m` of the wall, rise over run.
        slope: f64,
        /// Floor radius ρ in millimetres; may be nothing.
        floor_radius_mm: f64,
    },
    /// A circle: `floor + ρ − √(ρ² − w²)`.
    Circle {
        /// Radius ρ in millimetres.
        radius_mm: f64,
    },
}

/// A flute in its bar.
///
/// The **wing top** is where the wall first meets the bar's outline or the height at which the section is
/// cut off, whichever comes first.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Flute {
    shape: FluteShape,
    floor_mm: f64,
    wing_top: DVec2,
}

impl Flute {
    /// A flute of `shape` with its floor at `floor_mm` in a bar of `bar_diameter_mm` cut off at `top_mm`
    /// above the centreline (half the diameter or more: not cut off).
    ///
    /// # Errors
    /// [`DimensionError`] when a dimension is out of range, when the floor lies outside the bar, and when the wall
    /// never reaches the bar's outline or its top (a flute that does not open): the quantity named is then
    /// the one that shapes the wall.
    pub fn new(
        shape: FluteShape,
        floor_mm: f64,
        bar_diameter_mm: f64,
        top_mm: f64,
    ) -> Result<Self, DimensionError> {
        let radius = length(Quantity::BarDiameter, bar_diameter_mm)? / 2.0;
        place(Quantity::FluteFloor, floor_mm)?;
        let top = place(Quantity::FluteFloor, top_mm)?.min(radius);
        if floor_mm <= -radius {
            return Err(DimensionError {
                quantity: Quantity::FluteFloor,
                value: floor_mm,
                bound: Bound::MoreThan(-radius),
            });
        }
        if floor_mm >= top {
            return Err(DimensionError {
                quantity: Quantity::FluteFloor,
                value: floor_mm,
                bound: Bound::LessThan(top),
            });
        }
        let narrowest = match shape {
            FluteShape::Power { factor, exponent } => {
                within(Quantity::FluteFactor, factor, 1e-12, 1e6)?;
                within(Quantity::FluteExponent, exponent, 2.0, 24.0)?;
                DimensionError {
                    quantity: Quantity::FluteFactor,
                    value: factor,
                    bound: Bound::MoreThan(factor),
                }
            }
            FluteShape::Vee { slope, floor_radius_mm } => {
                within(Quantity::FluteSlope, slope, 1e-3, 1e3)?;
                within(Quantity::FluteFloorRadius, floor_radius_mm, 0.0, 1e3)?;
                DimensionError { quantity: Quantity::FluteSlope, value: slope, bound: Bound::MoreThan(slope) }
            }
            FluteShape::Circle { radius_mm } => {
                length(Quantity::FluteRadius, radius_mm)?;
                // Where it stands upright, (ρ, floor + ρ), a circle must be out of the bar or above its top.
                let out_of_bar =
                    f64::midpoint(-floor_mm, (2.0 * radius * radius - floor_mm * floor_mm).sqrt());
                DimensionError {
                    quantity: Quantity::FluteRadius,
                    value: radius_mm,
                    bound: Bound::AtLeast(out_of_bar.min(top - floor_mm)),
                }
            }
        };
        let mut flute = Self { shape, floor_mm, wing_top: DVec2::ZERO };
        flute.wing_top = flute.first_way_out(radius, top).ok_or(narrowest)?;
        Ok(flute)
    }

    /// The wall's law.
    #[must_use]
    pub fn shape(&self) -> FluteShape {
        self.shape
    }

    /// Height of the floor above the bar's centreline, in millimetres.
    #[must_use]
    pub fn floor_mm(&self) -> f64 {
        self.floor_mm
    }

    /// The wing top on the positive side, `(w, h)` in millimetres.
    #[must_use]
    pub fn wing_top(&self) -> DVec2 {
        self.wing_top
    }

    /// Height of the wall at `w`, in millimetres. Beyond the widest point of a circular flute its height
    /// there is returned.
    #[must_use]
    pub fn height_at(&self, w_mm: f64) -> f64 {
        match self.shape {
            FluteShape::Power { factor, exponent } => self.floor_mm + factor * power(w_mm.abs(), exponent),
            FluteShape::Vee { slope, floor_radius_mm } => {
                let blunt = slope * floor_radius_mm;
                self.floor_mm + slope * (w_mm.hypot(blunt) - blunt)
            }
            FluteShape::Circle { radius_mm } => {
                let w = w_mm.abs().min(radius_mm);
                // ρ − √(ρ² − w²) without the loss of digits near the floor.
                let root = ((radius_mm - w) * (radius_mm + w)).sqrt();
                self.floor_mm + w * w / (radius_mm + root)
            }
        }
    }

    /// Slope `f'(w)` of the wall, rise over run. At the widest point of a circular flute it is infinite;
    /// [`Flute::normal_at`] stays finite there.
    #[must_use]
    pub fn slope_at(&self, w_mm: f64) -> f64 {
        match self.shape {
            FluteShape::Power { factor, exponent } => {
                factor * exponent * power(w_mm.abs(), exponent - 1.0) * w_mm.signum()
            }
            FluteShape::Vee { slope, floor_radius_mm } => {
                let length = w_mm.hypot(slope * floor_radius_mm);
                if length > 0.0 { slope * w_mm / length } else { 0.0 }
            }
            FluteShape::Circle { radius_mm } => {
                let w = w_mm.clamp(-radius_mm, radius_mm);
                w / ((radius_mm - w) * (radius_mm + w)).sqrt()
            }
        }
    }

    /// The wall's unit normal at `w`, pointing into the open flute, `(w, h)`.
    #[must_use]
    pub fn normal_at(&self, w_mm: f64) -> DVec2 {
        if let FluteShape::Circle { radius_mm } = self.shape {
            let w = w_mm.clamp(-radius_mm, radius_mm);
            return DVec2::new(-w, ((radius_mm - w) * (radius_mm + w)).sqrt()) / radius_mm;
        }
        let slope = self.slope_at(w_mm);
        DVec2::new(-slope, 1.0) / slope.hypot(1.0)
    }

    /// Where the wall first leaves the section: it crosses the bar's outline or the height of the top.
    fn first_way_out(&self, radius: f64, top: f64) -> Option<DVec2> {
        let widest = match self.shape {
            FluteShape::Circle { radius_mm } => radius_mm.min(radius),
            _ => radius,
        };
        // Positive once outside. The wall may leave, and come back in: the first way out counts.
        let outside = |w: f64| {
            let h = self.height_at(w);
            (w.hypot(h) - radius).max(h - top)
        };
        let steps = 256;
        let mut inside = 0.0;
        for i in 1..=steps {
            let w = widest * f64::from(i) / f64::from(steps);
            if outside(w) >= 0.0 {
                let (mut low, mut high) = (inside, w);
                for _ in 0..100 {
                    let mid = f64::midpoint(low, high);
                    if mid <= low || mid >= high {
                        break;
                    }
                    if outside(mid) >= 0.0 {
                        high = mid;
                    } else {
                        low = mid;
                    }
                }
                return Some(DVec2::new(high, self.height_at(high)));
            }
            inside = w;
        }
        // A circle that just reaches the top at its widest point opens there.
        let h = self.height_at(widest);
        (h >= top - 1e-9 * radius).then(|| DVec2::new(widest, h))
    }
}

/// `base` to `exponent`, by squaring where the exponent is a small whole number: this is the hot path of
/// every edge curve.
fn power(base: f64, exponent: f64) -> f64 {
    // The exponents that flutes and their slopes have most often, exactly; others lose nothing by `powf`.
    match exponent {
        1.0 => base,
        2.0 => base * base,
        3.0 => base * base * base,
        _ => base.powf(exponent),
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    fn shapes() -> [FluteShape; 4] {
        [
            FluteShape::Power { factor: 0.25, exponent: 2.0 },
            FluteShape::Power { factor: 0.02, exponent: 3.5 },
            FluteShape::Vee { slope: 1.6, floor_radius_mm: 1.5 },
            FluteShape::Circle { radius_mm: 5.6 },
        ]
    }

    #[test]
    fn wing_top_lies_on_wall_and_outline() {
        for shape in shapes() {
            let flute = Flute::new(shape, -3.0, 12.0, 6.0).unwrap();
            let top = flute.wing_top();
            assert_relative_eq!(top.length(), 6.0, max_relative = 1e-12);
            assert_relative_eq!(flute.height_at(top.x), top.y, epsilon = 1e-12);
        }
    }

    #[test]
    fn slope_is_the_derivative_of_height() {
        for shape in shapes() {
            let flute = Flute::new(shape, -3.0, 12.0, 6.0).unwrap();
            for w in [-3.0, -1.0, 0.5, 2.0, 4.0] {
                let step = 1e-5;
                let rise = (flute.height_at(w + step) - flute.height_at(w - step)) / (2.0 * step);
                assert_relative_eq!(flute.slope_at(w), rise, epsilon = 1e-7, max_relative = 1e-7);
                let normal = flute.normal_at(w);
                assert_relative_eq!(normal.x + normal.y * flute.slope_at(w), 0.0, epsilon = 1e-12);
                assert_relative_eq!(normal.length(), 1.0, epsilon = 1e-12);
            }
        }
    }

    #[test]
    fn vee_floor_has_its_stated_radius() {
        // Curvature of a graph at its level point is the second derivative (any calculus text).
        let flute =
            Flute::new(FluteShape::Vee { slope: 1.6, floor_radius_mm: 1.5 }, -3.0, 12.0, 6.0).unwrap();
        let step = 1e-4;
        let bend =
            (flute.height_at(step) - 2.0 * flute.height_at(0.0) + flute.height_at(-step)) / step.powi(2);
        assert_relative_eq!(1.0 / bend, 1.5, max_relative = 1e-5);
    }

    #[test]
    fn concentric_flute_of_a_roughing_gouge_ends_at_its_cut_off_top() {
        // Bar 30, wall 3: a half ring. The bar's own outline is never met.
        let flute = Flute::new(FluteShape::Circle { radius_mm: 12.0 }, -12.0, 30.0, 0.0).unwrap();
        assert_relative_eq!(flute.wing_top().x, 12.0, max_relative = 1e-9);
        assert_relative_eq!(flute.wing_top().y, 0.0, epsilon = 1e-6);
    }

    #[test]
    fn closed_flute_is_refused_with_the_radius_it_needs() {
        let refused = Flute::new(FluteShape::Circle { radius_mm: 2.0 }, -3.0, 12.0, 6.0).unwrap_err();
        assert_eq!(refused.quantity, Quantity::FluteRadius);
        let Bound::AtLeast(needed) = refused.bound else { panic!("{refused:?}") };
        assert!(Flute::new(FluteShape::Circle { radius_mm: needed * 1.000_001 }, -3.0, 12.0, 6.0).is_ok());
        assert!(Flute::new(FluteShape::Circle { radius_mm: needed * 0.999 }, -3.0, 12.0, 6.0).is_err());
    }

    #[test]
    fn floor_outside_the_bar_is_refused() {
        let shape = FluteShape::Power { factor: 0.25, exponent: 2.0 };
        assert!(Flute::new(shape, -6.0, 12.0, 6.0).is_err());
        assert!(Flute::new(shape, 6.0, 12.0, 6.0).is_err());
        assert!(Flute::new(shape, f64::NAN, 12.0, 6.0).is_err());
    }
}
