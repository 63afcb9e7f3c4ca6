//! From a bevel back to what must be set: every answer, in closed form.
//!
//! With `k(β) = s sin β − v cos β` and `v = h_E − h_P` the triangle reads `D² = L² + R² + 2 R k`. Each input
//! enters it by at most a quadratic or by one sine and cosine (the strut of a tool held askew: by a quartic in
//! the tangent of half its angle), so that all its answers can be listed; a candidate is kept only if
//! evaluating it gives the bevel back, which drops the mirror image (the lower contact).

use glam::dvec2;

use crate::{
    math::{angle::Angle, quantity::Quantity, roots::roots_within},
    parts::wheel::Face,
    side::{
        facet::Facet,
        refusal::Refusal,
        setting::{Setting, SideView, Support},
    },
};

/// An answer whose bevel is further off than this, in radians, is polished.
const POLISHED: f64 = 1e-12;
/// How much a candidate may miss the bevel and still be the answer, in radians, beside what rounding does where
/// the slope is steep: the mirror image misses it by far more.
const NEAR_ENOUGH: f64 = 1e-9;
/// Rounding where two answers meet in one must not lose both.
const TOUCHING: f64 = 1e-13;

/// The bevel that is asked for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Target {
    /// At the edge.
    AtEdge(Angle),
    /// Across the facet: what a protractor reads.
    AcrossFacet(Angle),
}

/// One setting that meets the target.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Answer {
    /// The setting, the free input moved.
    pub setting: Setting,
    /// What follows from it.
    pub view: SideView,
    /// The value of the free input: millimetres, or degrees for angles.
    pub value: f64,
    /// Why the rig cannot be set to it, if its travel stops short.
    pub off_travel: Option<Refusal>,
}

/// All answers to one question, at most four.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Answers {
    found: [Option<Answer>; 4],
}

impl Answers {
    /// Every answer, on the rig's travel or not.
    pub fn all(&self) -> impl Iterator<Item = &Answer> {
        self.found.iter().flatten()
    }

    /// The answers that the rig can be set to.
    pub fn settable(&self) -> impl Iterator<Item = &Answer> {
        self.all().filter(|answer| answer.off_travel.is_none())
    }

    /// The settable answer whose free value is nearest to a present one.
    #[must_use]
    pub fn nearest(&self, present: f64) -> Option<&Answer> {
        self.settable().min_by(|a, b| (a.value - present).abs().total_cmp(&(b.value - present).abs()))
    }
}

impl Setting {
    /// The bevel at the edge that a target means for this edge and wheel.
    ///
    /// # Errors
    /// [`Refusal::NoHeel`] when no facet reads that angle across; [`Refusal::BevelOutOfRange`] outside
    /// 0° to 180°.
    pub fn bevel_meant(&self, target: Target) -> Result<Angle, Refusal> {
        let (Target::AtEdge(bevel) | Target::AcrossFacet(bevel)) = target;
        if !bevel.is_finite() {
            return Err(Refusal::BevelOutOfRange { bevel });
        }
        let bevel = match target {
            Target::AtEdge(bevel) => bevel,
            Target::AcrossFacet(across) => {
                Facet::edge_bevel_for_across(self.face, across, self.edge.under_mm)
                    .map_err(Refusal::NoHeel)?
            }
        };
        let straight = Angle::HALF;
        if bevel > Angle::ZERO && bevel < straight {
            Ok(bevel)
        } else {
            Err(Refusal::BevelOutOfRange { bevel })
        }
    }

    /// Every value of one quantity that grinds the target, all else left alone: of a reach, a projection, a strut
    /// angle, a tool's length, a table's tilt or a wheel's diameter.
    ///
    /// What the support does not have, and any other quantity, gives no answers. Answers off the travel are listed too, each
    /// with what stops it.
    ///
    /// # Errors
    /// As [`Setting::bevel_meant`], and [`Refusal::DimensionError`] for inputs that are no numbers.
    ///
    /// # Accuracy
    /// Evaluating an answer gives the target back to 1e-10°, or to rounding times the slope where the slope
    /// is steeper than the workshop can use. A wheel that is free to meet an angle across the facet meets it
    /// on its own radius. The values are good to a few last bits of what target and inputs are worth: where two
    /// answers meet, half of the digits (`tests/reference/conditioning.md`).
    pub fn find(&self, target: Target, free: Quantity) -> Result<Answers, Refusal> {
        match self.question(target, free) {
            Ok((wanted, candidates)) => {
                let [first, second, third, fourth] = distinct(candidates);
                let at = |candidate| self.answer(wanted, free, candidate);
                Ok(Answers { found: [at(first), at(second), at(third), at(fourth)] })
            }
            Err(refusal) => Err(refusal),
        }
    }

    /// What an answer must give back, and the values that may be answers.
    fn question(&self, target: Target, free: Quantity) -> Result<(Target, [Option<f64>; 4]), Refusal> {
        self.check_numbers()?;
        match target {
            // On another wheel the same angle across the facet is another bevel at the edge.
            Target::AcrossFacet(across)
                if free == Quantity::WheelDiameter && self.face.radius_mm().is_some() =>
            {
                if !(across > Angle::ZERO && across < Angle::HALF) {
                    return Err(Refusal::BevelOutOfRange { bevel: across });
                }
                Ok((target, self.wheels_for_across(across)))
            }
            _ => {
                let bevel = self.bevel_meant(target)?;
                Ok((Target::AtEdge(bevel), self.candidates(bevel, free)))
            }
        }
    }

    /// The answer at a candidate, unless it is a mirror image. Not inlined, so that it is written where it will
    /// stay: copying answers about costs as much as finding them.
    #[inline(never)]
    fn answer(&self, wanted: Target, free: Quantity, candidate: Option<f64>) -> Option<Answer> {
        let mut value = candidate?;
        let mut setting = self.with(free, value)?;
        let mut view = setting.evaluate_off_travel().ok()?;
        let off = wanted.missed_by(&view);
        let slope = self.slope_by(free, &view).unwrap_or(0.0);
        if off.abs() > NEAR_ENOUGH + TOUCHING * slope.abs() * (1.0 + value.abs()) {
            return None;
        }
        if off.abs() > POLISHED {
            // One step of Newton's along the exact slope, kept if it helps.
            let step = if free.is_angle() { (off / slope).to_degrees() } else { off / slope };
            let better = self.with(free, value - step)?;
            if let Ok(seen) = better.evaluate_off_travel()
                && wanted.missed_by(&seen).abs() < off.abs()
            {
                (setting, view, value) = (better, seen, value - step);
            }
        }
        Some(Answer { setting, view, value, off_travel: setting.check_travel().err() })
    }

    /// Values that satisfy the triangle or the table's equation; the mirror images among them.
    fn candidates(&self, bevel: Angle, free: Quantity) -> [Option<f64>; 4] {
        if free == Quantity::StrutAngle {
            return self.strut_angles(bevel);
        }
        let [first, second] = self.one_or_two(bevel, free);
        [first, second, None, None]
    }

    /// As [`Setting::candidates`] for every input but the strut angle.
    fn one_or_two(&self, bevel: Angle, free: Quantity) -> [Option<f64>; 2] {
        let (sin, cos) = bevel.sin_cos();
        if let Support::Table { table, .. } = self.support {
            return match (free, self.face) {
                (Quantity::TableTilt, Face::Round { radius_mm }) => {
                    let q = radius_mm * cos - self.edge.under_mm;
                    pair(table.tilts_at_distance(q).map(Angle::degrees))
                }
                (Quantity::TableTilt, Face::Flat { normal }) => {
                    [Some((bevel - Angle::QUARTER + normal).wrapped().degrees()), None]
                }
                (Quantity::WheelDiameter, Face::Round { .. }) => {
                    let Support::Table { tilt, .. } = self.support else { return [None; 2] };
                    let radius = (table.plane_from_centre_mm(tilt) + self.edge.under_mm) / cos;
                    [(radius.is_finite() && radius > 0.0).then_some(2.0 * radius), None]
                }
                _ => [None; 2],
            };
        }
        let Some((in_bench, in_tool)) = self.pivot() else { return [None; 2] };
        let fraction = self.foreshortening();
        let v = self.edge.height_mm - in_tool.y;
        let k = in_tool.x * sin - v * cos;
        match free {
            Quantity::Reach => {
                let (Support::Handle { arm, .. } | Support::Holder { arm, .. }) = self.support else {
                    return [None; 2];
                };
                match self.face {
                    Face::Round { radius_mm: r } => {
                        let square = in_tool.x * in_tool.x + v * v + r * r + 2.0 * r * k;
                        if square < 0.0 { [None; 2] } else { pair(arm.reaches_at_distance(square.sqrt())) }
                    }
                    Face::Flat { normal } => {
                        // (zero + reach·along)·n = k
                        let n = normal.direction();
                        let reach = (k - arm.zero_in_bench().dot(n)) / arm.along().dot(n);
                        [reach.is_finite().then_some(reach), None]
                    }
                }
            }
            Quantity::Projection | Quantity::ToolLength => {
                // s² + v² + R² + 2R(s sin β − v cos β) = D², a quadratic in s.
                let roots = match self.face {
                    Face::Round { radius_mm: r } => {
                        let c = v * v + r * r - 2.0 * r * v * cos - in_bench.length_squared();
                        quadratic(r * sin, c)
                    }
                    Face::Flat { normal } => {
                        let gauge = in_bench.dot(normal.direction());
                        [Some((gauge + v * cos) / sin), None]
                    }
                };
                let before = match self.support {
                    Support::Holder { projection_mm, .. } => in_tool.x / fraction - projection_mm,
                    _ => 0.0,
                };
                roots.map(|root| root.map(|s| s / fraction - before))
            }
            Quantity::WheelDiameter => {
                let l_squared = in_tool.x * in_tool.x + v * v;
                match self.face {
                    Face::Round { .. } => quadratic(k, l_squared - in_bench.length_squared())
                        .map(|root| root.filter(|r| *r > 0.0).map(|r| 2.0 * r)),
                    Face::Flat { .. } => [None; 2],
                }
            }
            _ => [None; 2],
        }
    }

    /// Strut angles in degrees that satisfy the triangle.
    ///
    /// With `s = f(b + ℓ cos α)` and `v = v₁ + ℓ sin α`, `f` the foreshortening, the triangle reads
    /// `K + A cos α + B sin α + C cos² α = 0` with `C = ℓ²(f² − 1)`.
    fn strut_angles(&self, bevel: Angle) -> [Option<f64>; 4] {
        let (Support::Holder { holder, projection_mm, strut_angle, .. }, Some((in_bench, _))) =
            (self.support, self.pivot())
        else {
            return [None; 4];
        };
        let strut = holder.spec().strut_length_mm;
        if strut <= 0.0 {
            // Every angle is alike: the present one is as good as any.
            return [Some(strut_angle.degrees()), None, None, None];
        }
        let (sin, cos) = bevel.sin_cos();
        let fraction = self.foreshortening();
        let hinge = holder.hinge_in_tool(projection_mm);
        let (s1, v1) = (hinge.x * fraction, self.edge.height_mm - hinge.y);
        let k1 = s1 * sin - v1 * cos;
        match self.face {
            Face::Flat { normal } => {
                let gauge = in_bench.dot(normal.direction());
                let [first, second] = sine_and_cosine(strut * fraction * sin, -strut * cos, gauge - k1);
                [first, second, None, None]
            }
            Face::Round { radius_mm: r } => {
                let a = 2.0 * strut * fraction * (s1 + r * sin);
                let b = 2.0 * strut * (v1 - r * cos);
                let k = s1 * s1 + v1 * v1 + strut * strut + r * r + 2.0 * r * k1 - in_bench.length_squared();
                if fraction < 1.0 {
                    let c = -strut * strut * (1.0 - fraction) * (1.0 + fraction);
                    return sine_cosine_and_square(a, b, c, -k);
                }
                let [first, second] = sine_and_cosine(a, b, -k);
                [first, second, None, None]
            }
        }
    }

    /// Wheel diameters on which the facet reads `A` across, the mirror images among them.
    ///
    /// With the half chord `m = u / (2 sin A)`, the middle of the chord lies `X = √(R² − m²)` from the wheel's
    /// centre and the triangle reads `X² + 2 X (s sin A − v cos A) + m² + L² − D² − 2 m (s cos A + v sin A) = 0`;
    /// the table's equation `X cos A = q + u/2`.
    fn wheels_for_across(&self, across: Angle) -> [Option<f64>; 4] {
        let (sin, cos) = across.sin_cos();
        let under = self.edge.under_mm;
        let half_chord = under / (2.0 * sin);
        let from_chord = match self.support {
            Support::Table { table, tilt } => {
                [Some((table.plane_from_centre_mm(tilt) + under / 2.0) / cos), None]
            }
            Support::Handle { .. } | Support::Holder { .. } => {
                let Some((in_bench, in_tool)) = self.pivot() else { return [None; 4] };
                let (s, v) = (in_tool.x, self.edge.height_mm - in_tool.y);
                let rest = half_chord * half_chord + s * s + v * v
                    - in_bench.length_squared()
                    - 2.0 * half_chord * (s * cos + v * sin);
                quadratic(s * sin - v * cos, rest)
            }
        };
        let diameter = |x: f64| (x.is_finite() && x > 0.0).then(|| 2.0 * x.hypot(half_chord));
        let [first, second] = from_chord.map(|x| x.and_then(diameter));
        [first, second, None, None]
    }
}

impl Target {
    /// By how many radians a view misses it.
    fn missed_by(self, view: &SideView) -> f64 {
        match self {
            Self::AtEdge(bevel) => (view.facet.at_edge - bevel).radians(),
            Self::AcrossFacet(across) => (view.facet.across - across).radians(),
        }
    }
}

/// Candidates without those that repeat another to within rounding.
fn distinct(mut candidates: [Option<f64>; 4]) -> [Option<f64>; 4] {
    for i in 1..candidates.len() {
        let Some(value) = candidates[i] else { continue };
        let same = |other: &f64| (other - value).abs() < 1e-9 * (1.0 + value.abs());
        if candidates[..i].iter().flatten().any(same) {
            candidates[i] = None;
        }
    }
    candidates
}

/// The first two of an iterator.
fn pair(mut values: impl Iterator<Item = f64>) -> [Option<f64>; 2] {
    [values.next(), values.next()]
}

/// Roots of `x² + 2 b x + c`, without the cancellation.
fn quadratic(b: f64, c: f64) -> [Option<f64>; 2] {
    let mut square = b * b - c;
    if square < 0.0 && square > -TOUCHING * b * b {
        square = 0.0;
    }
    if square.is_nan() || square < 0.0 {
        return [None; 2];
    }
    let far = -(b + b.signum() * square.sqrt());
    if far == 0.0 { [Some(0.0), None] } else { [Some(far), Some(c / far)] }
}

/// Angles α in degrees with `a cos α + b sin α = k`.
fn sine_and_cosine(a: f64, b: f64, k: f64) -> [Option<f64>; 2] {
    let cosine = k / dvec2(a, b).length();
    if cosine.is_nan() || cosine.abs() > 1.0 + TOUCHING {
        return [None; 2];
    }
    let (middle, half) = (b.atan2(a), cosine.clamp(-1.0, 1.0).acos());
    [middle + half, middle - half].map(|alpha| Some(Angle::from_radians(alpha).wrapped().degrees()))
}

/// Angles α in degrees with `a cos α + b sin α + c cos² α = k`: at most four.
fn sine_cosine_and_square(a: f64, b: f64, c: f64, k: f64) -> [Option<f64>; 4] {
    // A quartic in t = tan(α/2), looked at within |t| ≤ 1, and in 1/t for the other half of the turn.
    let front = [a + c - k, 2.0 * b, -2.0 * (c + k), 2.0 * b, c - a - k];
    let [c0, c1, c2, c3, c4] = front;
    let mut found = [None; 4];
    let ahead = roots_within(&front, -1.0, 1.0);
    let behind = roots_within(&[c4, c3, c2, c1, c0], -1.0, 1.0);
    let all = ahead.iter().map(|t| t.atan2(1.0)).chain(behind.iter().map(|t| 1.0_f64.atan2(t)));
    for (place, half) in found.iter_mut().zip(all) {
        *place = Some(Angle::from_radians(2.0 * half).wrapped().degrees());
    }
    found
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]
mod tests {
    use super::*;
    use crate::parts::{
        edge_section::EdgeSection,
        oblique::Presentation,
        support::{Arm, Travel},
    };

    /// A cup that passes under the wheel: every distance is met before and behind the wheel.
    fn under_the_wheel() -> Setting {
        let travel = Travel { least_mm: 0.0, most_mm: 400.0 };
        Setting {
            face: Face::Round { radius_mm: 75.0 },
            edge: EdgeSection { height_mm: -3.0, under_mm: 4.0 },
            obliquity: Angle::QUARTER,
            presentation: Presentation::AxisInSidePlane,
            support: Support::Handle {
                arm: Arm::new(dvec2(-143.0, -215.0), Angle::ZERO, travel).unwrap(),
                reach_mm: 170.0,
                tool_length_mm: 180.0,
            },
        }
    }

    #[test]
    fn the_nearest_of_two_answers_is_the_one_less_far_away() {
        let setting = under_the_wheel();
        let bevel = setting.evaluate().unwrap().bevel();
        let answers = setting.find(Target::AtEdge(bevel), Quantity::Reach).unwrap();
        let mut values: Vec<f64> = answers.settable().map(|answer| answer.value).collect();
        values.sort_by(f64::total_cmp);
        let [a, b] = values[..] else { panic!("{values:?}") };
        // As far before the foot of the wheel's centre as behind it.
        assert!((a + b - 2.0 * 143.0).abs() < 1e-9 && (b - 170.0).abs() < 1e-9, "{a} {b}");
        for (present, nearest) in
            [(a, a), (b, b), (a + 0.4 * (b - a), a), (a + 0.6 * (b - a), b), (a - 90.0, a), (b + 90.0, b)]
        {
            assert!((answers.nearest(present).unwrap().value - nearest).abs() < 1e-12, "{present}");
        }
    }

    #[test]
    fn a_candidate_that_repeats_another_is_listed_once() {
        assert_eq!(
            distinct([Some(10.0), Some(10.0 + 1e-12), Some(20.0), Some(10.0)]),
            [Some(10.0), None, Some(20.0), None]
        );
        assert_eq!(
            distinct([Some(10.0), Some(10.0 + 1e-6), Some(-10.0), Some(1e-10)]),
            [Some(10.0), Some(10.0 + 1e-6), Some(-10.0), Some(1e-10)]
        );
        assert_eq!(distinct([None, Some(3.0), None, Some(3.0)]), [None, Some(3.0), None, None]);
        // The tolerance is relative to the length, and vanishes at zero.
        assert_eq!(
            distinct([Some(2000.0), Some(2000.0 + 1e-6), Some(1e-10), Some(0.0)]),
            [Some(2000.0), None, Some(1e-10), None]
        );
    }

    #[test]
    fn a_parabola_that_touches_to_within_rounding_has_one_place() {
        // x² + 2bx + b²(1 + tolerance): derived here.
        for b in [1e3, 1.0, 1e-3, -1e3, -1e-3] {
            let [Some(first), Some(second)] = quadratic(b, b * b * (1.0 + 0.4 * TOUCHING)) else {
                panic!("{b}")
            };
            assert!((first + b).abs() < 1e-9 * b.abs() && (second + b).abs() < 1e-9 * b.abs());
            assert_eq!(quadratic(b, b * b * (1.0 + 50.0 * TOUCHING)), [None; 2]);
        }
        assert_eq!(quadratic(f64::NAN, 1.0), [None; 2]);
        assert_eq!(quadratic(0.0, 1.0), [None; 2]);
        assert_eq!(quadratic(0.0, 0.0), [Some(0.0), None]);
    }

    #[test]
    fn both_places_of_a_parabola_keep_their_digits() {
        // (x - p)(x - q) = x² - (p + q) x + pq: derived here.
        for (p, q) in [(1e8, 1e-8), (-1e8, 1e-8), (3.0, -7.0), (2.0, 5.0), (-2.0, -5.0)] {
            let [Some(a), Some(b)] = quadratic(-(p + q) / 2.0, p * q) else { panic!("{p} {q}") };
            let (less, more) = (a.min(b), a.max(b));
            assert!((less - f64::min(p, q)).abs() <= 1e-15 * 8.0 * f64::min(p, q).abs(), "{less}");
            assert!((more - f64::max(p, q)).abs() <= 1e-15 * 8.0 * f64::max(p, q).abs(), "{more}");
        }
    }

    #[test]
    fn angles_beyond_the_longest_projection_are_none() {
        assert_eq!(sine_and_cosine(1.0, 0.0, 2.0), [None; 2]);
        assert_eq!(sine_and_cosine(3.0, -4.0, -5.1), [None; 2]);
        assert_eq!(sine_and_cosine(0.0, 0.0, 0.0), [None; 2]);
        assert_eq!(sine_and_cosine(0.0, 0.0, 1.0), [None; 2]);
        // The longest projection itself, and the rounding tolerance beyond it.
        for k in [5.0, 5.0 * (1.0 + 0.4 * TOUCHING)] {
            let [Some(one), Some(other)] = sine_and_cosine(3.0, 4.0, k) else { panic!("{k}") };
            assert!((one - other).abs() < 1e-9 && (one.to_radians().tan() - 4.0 / 3.0).abs() < 1e-9);
        }
        for (a, b, k) in [(3.0, -4.0, 2.0), (-3.0, 4.0, 4.9), (0.0, 2.0, -1.0), (5.0, 0.0, 0.0)] {
            let [Some(one), Some(other)] = sine_and_cosine(a, b, k) else { panic!("{a} {b} {k}") };
            assert!((one - other).abs() > 1.0);
            for alpha in [one, other] {
                let (sin, cos) = alpha.to_radians().sin_cos();
                assert!((a * cos + b * sin - k).abs() < 1e-12);
            }
        }
    }

    #[test]
    fn every_angle_of_a_sine_a_cosine_and_its_square_is_found() {
        // Independent method: signs of a scan of 3,600 steps.
        for (a, b, c, k) in [
            (1.0, 0.3, -4.0, -2.0),
            (0.2, 0.1, -3.0, -1.5),
            (2.0, -1.0, -0.5, 0.7),
            (-1.0, 2.0, -1.5, -3.4),
            (0.4, 0.3, -2.0, 5.0),
        ] {
            let f = |degrees: f64| {
                let (sin, cos) = degrees.to_radians().sin_cos();
                a * cos + b * sin + c * cos * cos - k
            };
            let crossings = (0..3600)
                .filter(|i| f(-180.05 + f64::from(*i) / 10.0) * f(-179.95 + f64::from(*i) / 10.0) < 0.0)
                .count();
            let found = sine_cosine_and_square(a, b, c, k);
            assert_eq!(distinct(found).iter().flatten().count(), crossings, "{a} {b} {c} {k}: {found:?}");
            assert!(found.iter().flatten().all(|alpha| f(*alpha).abs() < 1e-9), "{found:?}");
        }
    }
}
