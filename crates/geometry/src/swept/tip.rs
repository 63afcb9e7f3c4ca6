//! The tip as a height field: over the bar's section minus the flute, the station at which steel begins.
//!
//! The section is the smooth patch of [`Steel`]; on it the field is smooth as long as one part of the
//! wheel's travel leaves all of it, so that Gauss' quadrature converges exponentially. Where the end of the
//! swing or the bar's own square end leaves a kink, the patch is divided until the asked accuracy is
//! reached.

use glam::DVec2;

use crate::swept::{
    ground::GroundSurface,
    hit::Hit,
    steel::{Ruling, Steel},
};

/// Most pieces the patch is divided into.
const MOST_PANELS: usize = 4000;
/// Deepest division.
const DEEPEST: u32 = 40;
/// Most pieces waiting at a time: one half is taken up before the other, so the depth bounds it.
const MOST_WAITING: usize = DEEPEST as usize + 3;

/// Nodes and weights on (0, 1) of Gauss–Legendre quadrature (computed to 30 digits).
const GAUSS_4: [(f64, f64); 4] = [
    (0.069_431_844_202_973_71, 0.173_927_422_568_726_92),
    (0.330_009_478_207_571_87, 0.326_072_577_431_273_05),
    (0.669_990_521_792_428_1, 0.326_072_577_431_273_05),
    (0.930_568_155_797_026_3, 0.173_927_422_568_726_92),
];
const GAUSS_5: [(f64, f64); 5] = [
    (0.046_910_077_030_668_004, 0.118_463_442_528_094_54),
    (0.230_765_344_947_158_45, 0.239_314_335_249_683_24),
    (0.5, 0.284_444_444_444_444_44),
    (0.769_234_655_052_841_5, 0.239_314_335_249_683_24),
    (0.953_089_922_969_332, 0.118_463_442_528_094_54),
];
const GAUSS_6: [(f64, f64); 6] = [
    (0.033_765_242_898_423_99, 0.085_662_246_189_585_16),
    (0.169_395_306_766_867_73, 0.180_380_786_524_069_3),
    (0.380_690_406_958_401_56, 0.233_956_967_286_345_52),
    (0.619_309_593_041_598_5, 0.233_956_967_286_345_52),
    (0.830_604_693_233_132_4, 0.180_380_786_524_069_3),
    (0.966_234_757_101_576, 0.085_662_246_189_585_16),
];
const GAUSS_8: [(f64, f64); 8] = [
    (0.019_855_071_751_231_884, 0.050_614_268_145_188_13),
    (0.101_666_761_293_186_64, 0.111_190_517_226_687_24),
    (0.237_233_795_041_835_5, 0.156_853_322_938_943_63),
    (0.408_282_678_752_175_1, 0.181_341_891_689_181),
    (0.591_717_321_247_825, 0.181_341_891_689_181),
    (0.762_766_204_958_164_5, 0.156_853_322_938_943_63),
    (0.898_333_238_706_813_4, 0.111_190_517_226_687_24),
    (0.980_144_928_248_768_1, 0.050_614_268_145_188_13),
];

/// Weights that give the highest Legendre coefficient the nodes of [`GAUSS_8`] and [`GAUSS_5`] can see: how
/// rough a function is along one direction.
const ROUGH_8: [f64; 8] = [
    -0.030_388_061_586_4,
    0.097_572_569_594_1,
    -0.163_123_488_186,
    0.202_662_001_811,
    -0.202_662_001_811,
    0.163_123_488_186,
    -0.097_572_569_594_1,
    0.030_388_061_586_4,
];
const ROUGH_5: [f64; 5] =
    [0.087_332_005_306_8, -0.247_332_005_307, 0.32, -0.247_332_005_307, 0.087_332_005_306_8];

/// A tip: steel with one ground face.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tip {
    surface: GroundSurface,
    steel: Steel,
}

/// A volume by quadrature.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Volume {
    /// In cubic millimetres.
    pub mm3: f64,
    /// Estimated from the difference of two orders, in cubic millimetres. The true error is usually far below; where faces
    /// meet in the patch, both orders can miss the same corner, and it has been seen 40 parts in a million of the volume
    /// above.
    pub error_mm3: f64,
    /// Rays cast.
    pub rays: usize,
    /// Whether the asked accuracy was reached.
    pub reached: bool,
}

impl Tip {
    /// Of `steel` ground by `surface`.
    #[must_use]
    pub fn new(surface: GroundSurface, steel: Steel) -> Self {
        Self { surface, steel }
    }

    /// The ground surface.
    #[must_use]
    pub fn surface(&self) -> &GroundSurface {
        &self.surface
    }

    /// The steel's section.
    #[must_use]
    pub fn steel(&self) -> &Steel {
        &self.steel
    }

    /// The place `(w, h)` of the patch at `t` from −1 to 1 along the upper face and `v` from 0 there to 1
    /// at the outside, and where steel begins on the ray through it.
    #[must_use]
    pub fn at(&self, t: f64, v: f64) -> (DVec2, Option<Hit>) {
        let place = self.steel.ruling(t).at(v);
        (place, self.surface.start_of_steel(place.x, place.y))
    }

    /// Steel removed from a bar whose square end stands at `end_mm`: `∬ max(0, s − end) dw dh`, to a
    /// relative `accuracy`. Rays the wheel never meets count as not ground.
    #[must_use]
    pub fn removed_from_square_end(&self, end_mm: f64, accuracy: f64) -> Volume {
        self.integrate(self.surface.is_symmetric(), accuracy, |place| {
            self.surface.start_of_steel(place.x, place.y).map_or(0.0, |hit| (hit.s_mm - end_mm).max(0.0))
        })
    }

    /// Steel removed in going from this grind to `deeper` on the same blank: `∬ max(0, s₁ − s₀) dw dh`, to
    /// a relative `accuracy`. `shift_mm` moves the deeper grind towards the handle. Rays that either wheel
    /// never meets count as not ground.
    #[must_use]
    pub fn removed_by(&self, deeper: &GroundSurface, shift_mm: f64, accuracy: f64) -> Volume {
        self.removed_between(&[], &[(*deeper, shift_mm)], accuracy)
    }

    /// As [`Tip::removed_by`], where other grinds have taken their steel already, and several are made; each with its
    /// shift towards the handle, in millimetres. Steel begins where the deepest of them leaves it.
    #[must_use]
    pub fn removed_between(
        &self,
        already: &[(GroundSurface, f64)],
        made: &[(GroundSurface, f64)],
        accuracy: f64,
    ) -> Volume {
        let symmetric = self.surface.is_symmetric()
            && already.iter().chain(made).all(|(surface, _)| surface.is_symmetric());
        self.integrate(symmetric, accuracy, |place| {
            let before = self.begins(already, place);
            let after = deepest(made, place);
            match (before, after) {
                (Some(before), Some(after)) => (after - before).max(0.0),
                _ => 0.0,
            }
        })
    }

    /// Where steel begins on the ray through a place, other grinds having taken theirs.
    fn begins(&self, already: &[(GroundSurface, f64)], place: DVec2) -> Option<f64> {
        let own = self.surface.start_of_steel(place.x, place.y)?.s_mm;
        Some(deepest(already, place).map_or(own, |other| own.max(other)))
    }

    /// How far the cutting edge must go back before `made` reaches all of it: the greatest distance, in millimetres, by
    /// which the edge left by this grind and those made `already` stands behind the new one along the flute's wall or the
    /// upper face, in `count` places to either side; nothing where it stands behind nowhere. Places that either wheel
    /// never meets do not count.
    #[must_use]
    pub fn edge_behind_mm(
        &self,
        already: &[(GroundSurface, f64)],
        made: &[(GroundSurface, f64)],
        count: u32,
    ) -> f64 {
        let places = -i64::from(count)..=i64::from(count);
        places
            .filter_map(|i| {
                let place = self.steel.ruling(i as f64 / f64::from(count.max(1))).at(0.0);
                Some(self.begins(already, place)? - deepest(made, place)?)
            })
            .fold(0.0, f64::max)
    }

    /// Area of the section, in square millimetres.
    #[must_use]
    pub fn section_area_mm2(&self, accuracy: f64) -> f64 {
        self.integrate(true, accuracy, |_| 1.0).mm3
    }

    /// Integral of `f(w, h)` over the section. A symmetric one is taken over the `+w` half and doubled; the
    /// halves are always taken apart, since a power-law wall has a kink in a higher derivative at its
    /// floor.
    fn integrate(&self, symmetric: bool, accuracy: f64, f: impl Fn(DVec2) -> f64) -> Volume {
        let mut volume = Volume { mm3: 0.0, error_mm3: 0.0, rays: 0, reached: true };
        let mut waiting = [Panel::default(); MOST_WAITING];
        let mut count = 0;
        let push = |count: &mut usize, waiting: &mut [Panel; MOST_WAITING], panel: Panel| {
            if *count < MOST_WAITING {
                waiting[*count] = panel;
                *count += 1;
                true
            } else {
                false
            }
        };
        let whole = Panel { t: 0.0, v: 0.0, wide: 1.0, high: 1.0, depth: 0 };
        push(&mut count, &mut waiting, whole);
        if !symmetric {
            push(&mut count, &mut waiting, Panel { t: -1.0, ..whole });
        }
        let accuracy = if accuracy.is_finite() { accuracy.abs().max(1e-13) } else { 1e-6 };
        // The first panels give the scale that the accuracy is relative to.
        let mut scale = 0.0_f64;
        let mut taken = 0;
        while count > 0 {
            count -= 1;
            let panel = waiting[count];
            taken += 1;
            let coarse = panel.coarse(&self.steel, &f);
            let (fine, along) = panel.fine(&self.steel, &f);
            volume.rays += Panel::RAYS;
            if panel.depth == 0 {
                scale = scale.max(fine.abs());
            }
            // Kinks lie along curves: the smaller the panels, the more of them a curve crosses, as one over
            // the root of their area.
            let allowed = 0.3 * accuracy * scale * (panel.wide * panel.high).sqrt();
            let error = (fine - coarse).abs();
            if error <= allowed || panel.depth >= DEEPEST || taken >= MOST_PANELS {
                volume.mm3 += fine;
                volume.error_mm3 += error;
            } else {
                for half in panel.halves(along) {
                    push(&mut count, &mut waiting, half);
                }
            }
        }
        volume.reached = volume.error_mm3 <= accuracy * scale.max(volume.mm3.abs());
        let times = if symmetric { 2.0 } else { 1.0 };
        Volume { mm3: volume.mm3 * times, error_mm3: volume.error_mm3 * times, ..volume }
    }
}

/// Where the deepest of several grinds leaves steel on the ray through a place.
fn deepest(grinds: &[(GroundSurface, f64)], place: DVec2) -> Option<f64> {
    let starts = grinds
        .iter()
        .filter_map(|(surface, shift)| Some(surface.start_of_steel(place.x, place.y)?.s_mm + shift));
    starts.reduce(f64::max)
}

/// A rectangle of the patch.
#[derive(Debug, Clone, Copy, Default)]
struct Panel {
    t: f64,
    v: f64,
    wide: f64,
    high: f64,
    depth: u32,
}

impl Panel {
    const RAYS: usize = GAUSS_6.len() * GAUSS_4.len() + GAUSS_8.len() * GAUSS_5.len();

    /// Estimate of the lower order.
    fn coarse(&self, steel: &Steel, f: &impl Fn(DVec2) -> f64) -> f64 {
        let mut sum = 0.0;
        for (x, weight) in GAUSS_6 {
            let ruling: Ruling = steel.ruling(self.t + x * self.wide);
            for (y, other) in GAUSS_4 {
                let v = self.v + y * self.high;
                sum += weight * other * ruling.area(v) * f(ruling.at(v));
            }
        }
        sum * self.wide * self.high
    }

    /// Estimate of the higher order, and whether the function is rougher along `t` than along `v`.
    fn fine(&self, steel: &Steel, f: &impl Fn(DVec2) -> f64) -> (f64, bool) {
        let mut sum = 0.0;
        let (mut rough_along, mut rough_across) = ([0.0; 5], 0.0);
        for ((x, weight), rough) in GAUSS_8.into_iter().zip(ROUGH_8) {
            let ruling: Ruling = steel.ruling(self.t + x * self.wide);
            let (mut column, mut rough_here) = (0.0, 0.0);
            for (j, (y, other)) in GAUSS_5.into_iter().enumerate() {
                let v = self.v + y * self.high;
                let value = ruling.area(v) * f(ruling.at(v));
                column += other * value;
                rough_here += ROUGH_5[j] * value;
                rough_along[j] += rough * value;
            }
            sum += weight * column;
            rough_across += weight * rough_here.abs();
        }
        let rough_along: f64 =
            GAUSS_5.iter().zip(rough_along).map(|((_, other), rough)| other * rough.abs()).sum();
        (sum * self.wide * self.high, rough_along >= rough_across)
    }

    fn halves(&self, along: bool) -> [Self; 2] {
        let (wide, high) = if along { (self.wide / 2.0, self.high) } else { (self.wide, self.high / 2.0) };
        let (t, v) = if along { (wide, 0.0) } else { (0.0, high) };
        let half = Self { wide, high, depth: self.depth + 1, ..*self };
        [half, Self { t: self.t + t, v: self.v + v, ..half }]
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]
mod tests {
    use super::*;
    use crate::{
        math::angle::Angle,
        parts::{blank::Bar, flute::FluteShape},
        swept::ground::{GrindingFace, Pushed},
    };
    use approx::assert_relative_eq;

    fn pushed_flat(bevel: f64) -> GroundSurface {
        GroundSurface::pushed(&Pushed {
            bevel: Angle::from_degrees(bevel),
            edge_height_mm: -12.0,
            abrasive: GrindingFace::Flat { width_mm: 40.0 },
            obliquity: Angle::QUARTER,
            presentation: crate::parts::oblique::Presentation::EdgeParallelToSpindle,
        })
        .unwrap()
    }

    /// Derived here: under a plane `s = −(h − h_E)/tan β` the volume of half a ring is area times the depth
    /// of its centroid, `4 (R³ − r³)/(3π (R² − r²))` below the middle.
    #[test]
    fn plane_takes_area_times_centroid() {
        let steel =
            Steel::of_bar(&Bar::cut_off(30.0, FluteShape::Circle { radius_mm: 12.0 }, -12.0, 0.0).unwrap());
        let tip = Tip::new(pushed_flat(45.0), steel);
        // Square end far enough forward that nothing is left standing.
        let volume = tip.removed_from_square_end(-20.0, 1e-10);
        let (outer, inner) = (15.0_f64, 12.0_f64);
        let area = std::f64::consts::PI * (outer.powi(2) - inner.powi(2)) / 2.0;
        let depth = 4.0 * (outer.powi(3) - inner.powi(3))
            / (3.0 * std::f64::consts::PI * (outer.powi(2) - inner.powi(2)));
        assert_relative_eq!(volume.mm3, area * (20.0 - 12.0 + depth), max_relative = 1e-10);
        assert!(volume.reached);
        assert_relative_eq!(tip.section_area_mm2(1e-10), area, max_relative = 1e-10);
    }

    /// A square end inside the tip leaves a kink; the division finds it, and the bound is honest.
    #[test]
    fn kinks_are_divided_until_the_accuracy_is_met() {
        let steel =
            Steel::of_bar(&Bar::cut_off(30.0, FluteShape::Circle { radius_mm: 12.0 }, -12.0, 0.0).unwrap());
        let tip = Tip::new(pushed_flat(45.0), steel);
        let rough = tip.removed_from_square_end(0.0, 1e-4);
        let good = tip.removed_from_square_end(0.0, 1e-6);
        assert!((rough.mm3 - good.mm3).abs() <= rough.error_mm3 + good.error_mm3);
        // The circular segment below h = −12: ∫ (−h − 12) 2√(225 − h²) dh from −15 to −12.
        let antiderivative = |h: f64| {
            let root = (225.0 - h * h).sqrt();
            2.0 / 3.0 * root.powi(3) - 12.0 * (h * root + 225.0 * (h / 15.0).asin())
        };
        let exact = antiderivative(-12.0) - antiderivative(-15.0);
        assert!(good.reached && !tip.removed_from_square_end(0.0, 1e-12).reached);
        assert_relative_eq!(good.mm3, exact, max_relative = 1e-6);
    }

    #[test]
    fn a_regrind_removes_the_difference() {
        let steel =
            Steel::of_bar(&Bar::cut_off(30.0, FluteShape::Circle { radius_mm: 12.0 }, -12.0, 0.0).unwrap());
        let tip = Tip::new(pushed_flat(45.0), steel);
        let moved = tip.removed_by(tip.surface(), 0.5, 1e-10);
        assert_relative_eq!(moved.mm3, 0.5 * tip.section_area_mm2(1e-10), max_relative = 1e-9);
    }
}
