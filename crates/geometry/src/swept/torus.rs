//! The first crossing of a ray with a turned profile: a torus or a cone.
//!
//! **First crossing.** Along a ray `s`, with `(u, a)` linear in `s` and `b` fixed, half the second
//! derivative of `g(s) = (u − u_C)² + (r − r_C)² − R²` is `1 − r_C b² n² / r³`, `n` being the fraction of the
//! axis square to the line. It changes sign only where `r³ = r_C b² n²`: at most two places, known in
//! closed form. Between them `g` is concave, outside convex; a convex or concave stretch has roots that
//! Newton's step reaches from one side without ever passing them. So the first crossing from the handle is
//! found with a proof, in a few steps, without the quartic (which the tests solve instead).

#![allow(clippy::neg_cmp_op_on_partial_ord, reason = "written so that a NaN takes the safe way")]

use glam::DVec2;

use crate::swept::{hit::PARALLEL, roll::Ray};

/// Steps of Newton's iteration before the last value is taken as it is.
pub(crate) const MOST_STEPS: usize = 60;

/// Half the least concave stretch that is looked at, in millimetres across the line: beyond rounding.
const KINK_MM: f64 = 1e-9;

/// `g` along one ray, `u` counted from the wheel's centre.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Torus {
    pub(crate) along: DVec2,
    pub(crate) start: DVec2,
    pub(crate) b: f64,
    pub(crate) r_c: f64,
    pub(crate) radius: f64,
}

impl Torus {
    /// `g` and half its slope.
    #[inline]
    fn value_half_slope(&self, s: f64) -> (f64, f64) {
        let u = self.start.x + self.along.x * s;
        let a = self.start.y + self.along.y * s;
        let r = (a * a + self.b * self.b).sqrt();
        let deep = r - self.r_c;
        let lean = if r > 0.0 { a / r } else { 1.0 };
        (u * u + deep * deep - self.radius * self.radius, u * self.along.x + deep * lean * self.along.y)
    }

    /// Greatest `s` in `[bottom, top]` with `g ≤ 0`. `near` is a guess where that might be: it costs or saves steps and
    /// changes nothing else.
    #[inline]
    pub(crate) fn first(&self, bottom: f64, top: f64, near: Option<f64>) -> Option<f64> {
        let n = self.along.y;
        let bend = self.r_c * self.b * self.b * n * n;
        let (at_top, _) = self.value_half_slope(top);
        if at_top <= 0.0 {
            return (bottom < top).then_some(top);
        }
        // The quick way: from a guess or the crossing of the wheel in its middle pose, if `g` is convex from there
        // towards the nose and the part towards the handle holds no crossing either.
        if n < 0.0 && self.start.y + n * top >= -1e-12 {
            let s = near.unwrap_or_else(|| {
                let leg = DVec2::new(self.start.x, self.start.y - self.r_c);
                let cross = leg.dot(self.along);
                (cross * cross - leg.length_squared() + self.radius * self.radius).sqrt() - cross
            });
            let a = self.start.y + n * s;
            // A root of a negative number is NaN and fails here.
            if a > 0.0 && a * a * a > bend && s < top {
                // The stretch up to `top` is convex, then concave at most (`a ≥ 0` there): `g` rises from
                // the crossing to the end of the convex part, and stays above its chord in the concave one.
                if let Some(s) = self.slide(s) {
                    let a = self.start.y + n * s;
                    let r2 = a * a + self.b * self.b;
                    if s < top && r2 * r2.sqrt() >= bend {
                        return (s >= bottom).then_some(s);
                    }
                }
            }
        }
        self.first_in_the_ball(bottom, top, bend)
    }

    #[cold]
    fn first_in_the_ball(&self, bottom: f64, top: f64, bend: f64) -> Option<f64> {
        // Everything lies within a ball about the middle of the torus.
        let ball = self.r_c.abs() + self.radius;
        let middle = -self.start.dot(self.along);
        let under = middle * middle - (self.start.length_squared() + self.b * self.b - ball * ball);
        if !(under >= 0.0) {
            return None;
        }
        let reach = under.sqrt() + 1e-9;
        let (bottom, top) = (bottom.max(middle - reach), top.min(middle + reach));
        if bottom >= top {
            return None;
        }
        self.first_by_stretches(bottom, top, bend)
    }

    /// Newton's iteration in a stretch where `g` is convex and rising: from the right it never passes the
    /// root, from the left its first step lands on the right.
    #[inline]
    fn slide(&self, mut s: f64) -> Option<f64> {
        for _ in 0..MOST_STEPS {
            let (g, half) = self.value_half_slope(s);
            if !(half > 0.0) {
                return None;
            }
            let step = g / (2.0 * half);
            s -= step;
            // The error left behind is below step² / (2 half), since half of g'' is at most 1.
            if step * step <= 1e-13 * half {
                return Some(s);
            }
        }
        Some(s)
    }

    fn first_by_stretches(&self, bottom: f64, top: f64, bend: f64) -> Option<f64> {
        let (at_top, _) = self.value_half_slope(top);
        if at_top <= 0.0 {
            return Some(top);
        }
        let n = self.along.y;
        let inflection = bend.max(0.0).cbrt();
        let half_span = inflection * inflection - self.b * self.b;
        // On a ray through the line itself r = |a|: the concave stretch shrinks to the kink at a = 0.
        if n.abs() < PARALLEL || (half_span <= 0.0 && self.b != 0.0) {
            return self.first_convex(bottom, top);
        }
        // No narrower than rounding: at the kink itself the sign of the slope would be chance.
        let (middle, half_span) = (-self.start.y / n, half_span.max(0.0).sqrt().max(KINK_MM) / n.abs());
        let (left, right) = (middle - half_span, middle + half_span);
        let mut high = top;
        if high > right {
            let low = right.max(bottom);
            if let Some(s) = self.first_convex(low, high) {
                return Some(s);
            }
            high = low;
        }
        if high > left && high > bottom {
            let low = left.max(bottom);
            if let Some(s) = self.first_concave(low) {
                return Some(s.min(high));
            }
            high = low;
        }
        if high > bottom { self.first_convex(bottom, high) } else { None }
    }

    /// In a convex stretch with `g > 0` at its right end.
    fn first_convex(&self, low: f64, high: f64) -> Option<f64> {
        let mut s = high;
        for _ in 0..200 {
            let (g, half) = self.value_half_slope(s);
            if g <= 0.0 {
                return Some(s);
            }
            if !(half > 0.0) {
                return None;
            }
            let step = g / (2.0 * half);
            s -= step;
            if s < low {
                return None;
            }
            if step * step <= 1e-13 * half {
                return Some(s);
            }
        }
        Some(s)
    }

    /// In a concave stretch with `g > 0` at its right end: a crossing exists if and only if `g < 0` at its
    /// left end.
    fn first_concave(&self, low: f64) -> Option<f64> {
        let mut s = low;
        let (mut g, mut half) = self.value_half_slope(s);
        if g >= 0.0 {
            return None;
        }
        for _ in 0..200 {
            if g >= 0.0 || !(half > 0.0) {
                break;
            }
            let step = -g / (2.0 * half);
            s += step;
            if step <= 1e-14 * (1.0 + s.abs()) {
                break;
            }
            (g, half) = self.value_half_slope(s);
        }
        Some(s)
    }
}

/// Greatest `s` in `[bottom, top]` at which a turned flat face has removed the steel.
pub(crate) fn cone_first(
    along: DVec2,
    ray: &Ray,
    normal: DVec2,
    offset: f64,
    bottom: f64,
    top: f64,
) -> Option<f64> {
    let value = |s: f64| {
        let p = ray.start + s * along;
        normal.x * p.x + normal.y * p.y.hypot(ray.b) - offset
    };
    if value(top) <= 0.0 {
        return Some(top);
    }
    // (normal.x u − offset)² = normal.y² r², of which half the solutions belong to the other sheet.
    let (flat_start, flat_along) = (normal.x * ray.start.x - offset, normal.x * along.x);
    let (r_start, r_along) = (normal.y * ray.start.y, normal.y * along.y);
    let a = flat_along * flat_along - r_along * r_along;
    let b = flat_start * flat_along - r_start * r_along;
    let c = flat_start * flat_start - r_start * r_start - (normal.y * ray.b).powi(2);
    let candidates = if a.abs() < 1e-15 {
        [-c / (2.0 * b), f64::NAN]
    } else {
        let under = b * b - a * c;
        if under < 0.0 {
            return None;
        }
        let q = -(b + under.sqrt().copysign(b));
        [q / a, c / q]
    };
    let mut best = None;
    for s in candidates {
        let own_sheet = (flat_start + flat_along * s) * normal.y <= 1e-12;
        if s.is_finite() && own_sheet && s >= bottom && s <= top && best.is_none_or(|best| s > best) {
            best = Some(s);
        }
    }
    best
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]
mod tests {
    use super::*;

    /// The fractional part of a multiple: numbers spread evenly, the same each time.
    fn spread(i: u32, step: f64, low: f64, high: f64) -> f64 {
        low + (high - low) * (f64::from(i) * step).fract()
    }

    /// Looked at in 401 places from a first crossing, or from the bottom where there is none, to the top.
    #[track_caller]
    fn nothing_is_taken_above(
        value: &dyn Fn(f64) -> f64,
        first: Option<f64>,
        start: f64,
        top: f64,
        stated: &str,
    ) {
        for k in 0..=400 {
            let s = start + (top - start) * f64::from(k) / 400.0;
            assert!(s < start + 1e-5 || value(s) > -1e-6, "{stated}: taken at {s}");
        }
        if let Some(s) = first {
            assert!(value(s) < 1e-6 && (s >= top || value(s) > -1e-6), "{stated}: {}", value(s));
        }
    }

    /// Derived here: nothing is taken at any of many places above what is found, and at it the value is zero (or less,
    /// at the top). All of it in a stretch anywhere, rays to and from the line, off it and through it, rims that stay
    /// clear of the line, reach over it, or roll within themselves.
    #[test]
    fn the_first_crossing_in_a_stretch_has_nothing_taken_above_it() {
        let (mut found, mut none) = (0, 0);
        for i in 0..6000 {
            let angle = spread(i, 0.618_034, -3.2, 3.2);
            let along = match i % 11 {
                0 => DVec2::X,
                1 => DVec2::NEG_Y,
                2 => DVec2::Y,
                _ => DVec2::from_angle(angle),
            };
            let torus = Torus {
                along,
                start: DVec2::new(spread(i, 0.414_214, -80.0, 80.0), spread(i, 0.732_051, -70.0, 70.0)),
                b: if i % 5 == 0 { 0.0 } else { spread(i, 0.236_068, -30.0, 30.0) },
                r_c: spread(i, 0.162_278, -20.0, 60.0),
                radius: spread(i, 0.872_983, 4.0, 60.0),
            };
            let bottom = spread(i, 0.316_625, -150.0, 40.0);
            let top = bottom + spread(i, 0.123_106, 1.0, 200.0);
            let value = |s: f64| torus.value_half_slope(s).0;
            for near in [None, Some(spread(i, 0.549_834, -120.0, 120.0))] {
                let first = torus.first(bottom, top, near);
                let stated = format!("{torus:?} {bottom} {top} {near:?} {first:?}");
                let start = first.unwrap_or(bottom);
                assert!(start >= bottom - 1e-9 && start <= top, "{stated}");
                nothing_is_taken_above(&value, first, start, top, &stated);
                found += u32::from(first.is_some());
                none += u32::from(first.is_none());
            }
        }
        assert!(found > 2000 && none > 2000, "{found} {none}");
    }

    /// Derived here: with `b = 0` and the line far away the profile is its circle alone, which a ray square to a radius
    /// leaves at half its chord beyond the foot, by Pythagoras.
    #[test]
    fn a_ray_that_all_but_misses_the_wheel_leaves_it_at_half_a_chord() {
        for i in 0..400 {
            let angle = spread(i, 0.618_034, -1.2, 1.2);
            let (r_c, radius) = (100.0, spread(i, 0.872_983, 20.0, 60.0));
            for along in [DVec2::from_angle(angle), DVec2::X] {
                let square = if i % 2 == 0 { along.perp() } else { -along.perp() };
                // However flat: half the square on the chord is known to the rounding of the squares on the radii.
                let deep = 10_f64.powf(spread(i, 0.732_051, -9.0, -2.0));
                let start = DVec2::new(0.0, r_c) + (radius - deep) * square;
                let half_chord = (deep * (2.0 * radius - deep)).sqrt();
                let torus = Torus { along, start, b: 0.0, r_c, radius };
                for near in [None, Some(spread(i, 0.549_834, 0.0, 9.0))] {
                    let s = torus.first(-70.0, 70.0, near).unwrap();
                    let rounding = 1e-11 / (2.0 * half_chord) + 1e-11;
                    assert!((s - half_chord).abs() < rounding, "{torus:?} {near:?} {s} {half_chord}");
                }
                // As far outside it is missed.
                let start = start + 2.0 * deep * square;
                assert_eq!(Torus { start, ..torus }.first(-70.0, 70.0, None), None);
            }
        }
    }

    /// Derived here: 3, 4, 5, ten times over, on the line itself, where there is no direction away from it; and the farthest
    /// point of all, square to the line, where the ball about everything ends.
    #[test]
    fn the_wheel_is_left_on_the_line_itself_and_at_its_farthest_point() {
        let torus = Torus { along: DVec2::X, start: DVec2::ZERO, b: 0.0, r_c: 30.0, radius: 50.0 };
        assert!((torus.first(-1e5, 1e5, None).unwrap() - 40.0).abs() < 1e-12);
        for along in [DVec2::Y, DVec2::NEG_Y] {
            let across = Torus { along, start: 7.0 * along, ..torus };
            assert!((across.first(-1e5, 1e5, None).unwrap() - 73.0).abs() < 1e-12);
        }
        // A crossing at the very bottom of the stretch is still one.
        let within = Torus { r_c: 0.0, radius: 40.0, ..torus };
        assert_eq!(within.first(40.0, 1e5, None), Some(40.0));
        assert_eq!(within.first(40.0 + 1e-10, 1e5, None), None);
    }

    /// The same for a flat face.
    #[test]
    fn a_turned_flat_face_has_taken_nothing_above_where_it_is_met() {
        let (mut found, mut none) = (0, 0);
        for i in 0..6000 {
            let along = match i % 11 {
                0 => DVec2::X,
                1 => DVec2::NEG_Y,
                2 => DVec2::Y,
                _ => DVec2::from_angle(spread(i, 0.618_034, -3.2, 3.2)),
            };
            let normal = match i % 7 {
                // As steep as the ray, or square to it: one crossing, or none.
                0 => along,
                1 => along.perp(),
                2 => DVec2::new(along.y, along.x),
                3 => {
                    DVec2::new(along.y, along.x).rotate(DVec2::from_angle(spread(i, 0.549_834, 1e-12, 1e-9)))
                }
                _ => DVec2::from_angle(spread(i, 0.732_051, -3.2, 3.2)),
            };
            let ray = Ray {
                start: DVec2::new(spread(i, 0.414_214, -80.0, 80.0), spread(i, 0.236_068, -70.0, 70.0)),
                b: if i % 5 == 0 { 0.0 } else { spread(i, 0.162_278, -30.0, 30.0) },
            };
            let offset = spread(i, 0.872_983, -60.0, 60.0);
            let bottom = spread(i, 0.316_625, -150.0, 40.0);
            let top = bottom + spread(i, 0.123_106, 1.0, 200.0);
            let value = |s: f64| {
                let p = ray.start + s * along;
                normal.dot(DVec2::new(p.x, p.y.hypot(ray.b))) - offset
            };
            let first = cone_first(along, &ray, normal, offset, bottom, top);
            let stated = format!("{along} {ray:?} {normal} {offset} {bottom} {top} {first:?}");
            let start = first.unwrap_or(bottom);
            assert!(start >= bottom && start <= top, "{stated}");
            nothing_is_taken_above(&value, first, start, top, &stated);
            found += u32::from(first.is_some());
            none += u32::from(first.is_none());
        }
        assert!(found > 2000 && none > 1000, "{found} {none}");
    }
}
