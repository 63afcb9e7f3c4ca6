//! The surface of a wheel turned about a roll line, formula (3) `(u − u_C)² + (r − r_C)² = R²`, within a
//! limited swing, met by a ray along the tool's axis.
//!
//! **First crossing.** Along a ray `s`, with `(u, a)` linear in `s` and `b` fixed, half the second
//! derivative of `g(s) = (u − u_C)² + (r − r_C)² − R²` is `1 − r_C b² n² / r³`, `n` being the share of the
//! axis square to the line. It changes sign only where `r³ = r_C b² n²`: at most two places, known in
//! closed form. Between them `g` is concave, outside convex; a convex or concave stretch has roots that
//! Newton's step reaches from one side without ever passing them. So the first crossing from the handle is
//! found with a proof, in a few steps, without the quartic (which the tests solve instead).
//!
//! **Limits of the swing.** Points whose roll angle lies beyond the swing meet only the wheel of the end
//! pose, a cylinder of its real width. A point nearer to the line than the wheel's centre is met best by
//! the pose at its own roll angle; that the point is so is assumed (steel is much thinner than a wheel). A
//! wheel so narrow that its side meets points further than half its width from the roll line, a quarter
//! turn away from some pose within the swing, is not modelled here either. The numeric envelope assumes
//! neither.

#![allow(clippy::neg_cmp_op_on_partial_ord, reason = "written so that a NaN takes the safe way")]

use glam::{DVec2, DVec3};

use crate::{
    Angle,
    ground::{GroundBy, Hit, Rim},
    roll::{Ray, RollFrame},
};

/// Steps of Newton's iteration before the last value is taken as it is.
const MOST_STEPS: usize = 60;
/// A share of the axis below which a ray counts as parallel to the roll line.
const PARALLEL: f64 = 1e-12;
/// Stand-in for infinity along a ray, in millimetres.
const FAR_MM: f64 = 1e5;

/// What is turned about the line, as a profile in `(u, r)`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Profile {
    /// A wheel.
    Circle { centre: DVec2, radius: f64 },
    /// A flat face: steel goes where `normal·(u, r) < offset`.
    Line { normal: DVec2, offset: f64 },
}

/// A profile turned within a swing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Sweep {
    pub(crate) frame: RollFrame,
    pub(crate) profile: Profile,
    half: f64,
    half_sin: f64,
    half_cos: f64,
    half_cot: f64,
    full: bool,
    half_width: f64,
}

impl Sweep {
    pub(crate) fn new(frame: RollFrame, profile: Profile, half: Angle, width: f64) -> Self {
        let half = half.radians();
        let full = half >= std::f64::consts::PI - 1e-9;
        let (half_sin, half_cos) = half.sin_cos();
        let half_cot = half_cos / half_sin.max(1e-9);
        Self { frame, profile, half, half_sin, half_cos, half_cot, full, half_width: width / 2.0 }
    }

    /// Where steel begins on the ray through `(w, h)`.
    #[inline]
    pub(crate) fn start(&self, w: f64, h: f64) -> Option<Hit> {
        let ray = self.frame.ray(w, h);
        let sweep = self.within_swing(&ray);
        if self.full {
            return sweep;
        }
        let mut best = sweep;
        for positive in [true, false] {
            if let Some(hit) = self.end_pose(&ray, positive)
                && best.is_none_or(|best| hit.s_mm > best.s_mm)
            {
                best = Some(hit);
            }
        }
        best
    }

    /// The stretch of a ray within the swing, from the nose's side to the handle's.
    #[inline]
    fn stretch(&self, ray: &Ray) -> Option<(f64, f64)> {
        let (mut bottom, mut top) = (-FAR_MM, FAR_MM);
        if self.full {
            return Some((bottom, top));
        }
        let limit = ray.b.abs() * self.half_cot;
        let n = self.frame.along.y;
        if n.abs() < PARALLEL {
            return (ray.start.y >= limit).then_some((bottom, top));
        }
        let s = (limit - ray.start.y) / n;
        if n < 0.0 {
            top = top.min(s);
        } else {
            bottom = bottom.max(s);
        }
        (bottom < top).then_some((bottom, top))
    }

    #[inline]
    fn within_swing(&self, ray: &Ray) -> Option<Hit> {
        let (bottom, top) = self.stretch(ray)?;
        let s = match self.profile {
            Profile::Circle { centre, radius } => Torus {
                along: self.frame.along,
                start: ray.start - DVec2::X * centre.x,
                b: ray.b,
                r_c: centre.y,
                radius,
            }
            .first(bottom, top),
            Profile::Line { normal, offset } => {
                cone_first(self.frame.along, ray, normal, offset, bottom, top)
            }
        }?;
        Some(Hit { s_mm: s, face: GroundBy::Sweep })
    }

    /// The wheel standing at an end of the swing, with its own width.
    #[inline]
    fn end_pose(&self, ray: &Ray, positive: bool) -> Option<Hit> {
        let (sin, cos) = (if positive { self.half_sin } else { -self.half_sin }, self.half_cos);
        let DVec2 { x: d, y: n } = self.frame.along;
        let (off_start, off_along) = (ray.b * cos - ray.start.y * sin, -n * sin);
        let (low_side, high_side) = if off_along.abs() < PARALLEL {
            if off_start.abs() > self.half_width {
                return None;
            }
            (-FAR_MM, FAR_MM)
        } else {
            let (one, other) =
                ((-self.half_width - off_start) / off_along, (self.half_width - off_start) / off_along);
            (one.min(other), one.max(other))
        };
        let (rim_start, rim_along) = (ray.start.y * cos + ray.b * sin, n * cos);
        let (low, high) = match self.profile {
            Profile::Circle { centre, radius } => {
                let (u, p) = (ray.start.x - centre.x, rim_start - centre.y);
                let (square, cross) = (d * d + rim_along * rim_along, u * d + p * rim_along);
                let rest = u * u + p * p - radius * radius;
                if square < PARALLEL {
                    if rest > 0.0 {
                        return None;
                    }
                    (-FAR_MM, FAR_MM)
                } else {
                    let under = cross * cross - square * rest;
                    if under < 0.0 {
                        return None;
                    }
                    let root = under.sqrt();
                    ((-cross - root) / square, (root - cross) / square)
                }
            }
            Profile::Line { normal, offset } => {
                let slope = normal.x * d + normal.y * rim_along;
                let gap = offset - normal.x * ray.start.x - normal.y * rim_start;
                if slope > PARALLEL {
                    (-FAR_MM, gap / slope)
                } else if slope < -PARALLEL {
                    (gap / slope, FAR_MM)
                } else if gap > 0.0 {
                    (-FAR_MM, FAR_MM)
                } else {
                    return None;
                }
            }
        };
        if low.max(low_side) > high.min(high_side) {
            return None;
        }
        if high <= high_side {
            Some(Hit { s_mm: high, face: GroundBy::SwingEnd { positive } })
        } else {
            let outward = off_start + off_along * high_side > 0.0;
            Some(Hit { s_mm: high_side, face: GroundBy::WheelSide { positive, outward } })
        }
    }

    /// In the section at `station`, from `wall` (in steel) along the unit direction `inward`: the way to
    /// the first place that is ground away, if that is nearer than `through`. `None` for a flat face, which
    /// is left to a search.
    pub(crate) fn first_gone(&self, station: f64, wall: DVec2, inward: DVec2, through: f64) -> Option<f64> {
        let Profile::Circle { centre, radius } = self.profile else { return None };
        let from = self.frame.ray(wall.x, wall.y);
        let to = self.frame.ray(wall.x + inward.x, wall.y + inward.y);
        let start = from.start + station * self.frame.along - DVec2::X * centre.x;
        let run = to.start - from.start;
        let run_b = to.b - from.b;
        let mut first = through;
        let at = |t: f64| {
            let (u, a, b) = (start.x + run.x * t, start.y + run.y * t, from.b + run_b * t);
            let r = (a * a + b * b).sqrt();
            let deep = r - centre.y;
            let half = u * run.x + deep * (a * run.y + b * run_b) / r.max(1e-300);
            (u * u + deep * deep - radius * radius, half)
        };
        let in_swing = |t: f64| {
            let (a, b) = (start.y + run.y * t, from.b + run_b * t);
            self.full || a >= b.abs() * self.half_cot - 1e-9
        };
        let (at_through, half) = at(through);
        // Beyond a swing of a quarter turn or more what lies outside it is convex: both ends out, all out.
        let possible = self.full || self.half_cot > 1e-12 || in_swing(0.0) || in_swing(through);
        if at_through < 0.0 && possible {
            // Newton's step from outside, kept within the bracket.
            let (mut low, mut high) = (0.0, through);
            let mut t = through - at_through / (2.0 * half);
            for _ in 0..MOST_STEPS {
                if !(t > low && t < high) {
                    t = f64::midpoint(low, high);
                }
                let (g, half) = at(t);
                if g > 0.0 {
                    low = t;
                } else {
                    high = t;
                }
                let step = g / (2.0 * half);
                t -= step;
                // What is left is below step²/(2 half).
                if step * step < 1e-9 * half.abs() || high - low < 1e-9 {
                    break;
                }
            }
            if in_swing(t) {
                first = first.min(t);
            }
        }
        if !self.full {
            for sin in [self.half_sin, -self.half_sin] {
                let cos = self.half_cos;
                let (p, p_run) = (start.y * cos + from.b * sin - centre.y, run.y * cos + run_b * sin);
                let square = run.x * run.x + p_run * p_run;
                let cross = start.x * run.x + p * p_run;
                let rest = start.x * start.x + p * p - radius * radius;
                let under = cross * cross - square * rest;
                if under < 0.0 || square < PARALLEL {
                    continue;
                }
                let root = under.sqrt();
                let (mut low, mut high) = ((-cross - root) / square, (root - cross) / square);
                let (off, off_run) = (from.b * cos - start.y * sin, run_b * cos - run.y * sin);
                if off_run.abs() < PARALLEL {
                    if off.abs() > self.half_width {
                        continue;
                    }
                } else {
                    let (one, other) =
                        ((-self.half_width - off) / off_run, (self.half_width - off) / off_run);
                    low = low.max(one.min(other));
                    high = high.min(one.max(other));
                }
                low = low.max(0.0);
                if low <= high {
                    first = first.min(low);
                }
            }
        }
        Some(first)
    }

    /// Left side of (3) less its right side, mm²; for a flat face the distance from it, mm. Negative where
    /// the full turn removes steel.
    pub(crate) fn value(&self, point: DVec3) -> f64 {
        let p = self.frame.point(point);
        let r = p.y.hypot(p.z);
        match self.profile {
            Profile::Circle { centre, radius } => {
                (p.x - centre.x).powi(2) + (r - centre.y).powi(2) - radius * radius
            }
            Profile::Line { normal, offset } => normal.x * p.x + normal.y * r - offset,
        }
    }

    /// Direction away from the line at a roll position, as `(a, b)`.
    #[inline]
    fn spoke(&self, p: DVec3, face: GroundBy) -> DVec2 {
        match face {
            GroundBy::Sweep => {
                let r = (p.y * p.y + p.z * p.z).sqrt();
                if r > 1e-12 { DVec2::new(p.y, p.z) / r } else { DVec2::X }
            }
            GroundBy::SwingEnd { positive } | GroundBy::WheelSide { positive, .. } => {
                DVec2::new(self.half_cos, if positive { self.half_sin } else { -self.half_sin })
            }
        }
    }

    /// The plane of the wheel that grinds a point: radial and rim direction there.
    #[inline]
    pub(crate) fn rim(&self, point: DVec3, face: GroundBy) -> Rim {
        let p = self.frame.point(point);
        let spoke = self.spoke(p, face);
        let r = p.y * spoke.x + p.z * spoke.y;
        let lift = |u: f64, r: f64| self.frame.direction_in_tool(DVec3::new(u, r * spoke.x, r * spoke.y));
        match self.profile {
            Profile::Circle { centre, radius } => {
                let (u, r) = ((p.x - centre.x) / radius, (r - centre.y) / radius);
                Rim { radial: lift(u, r), tangent: lift(-r, u), radius_mm: Some(radius) }
            }
            Profile::Line { normal, .. } => {
                Rim { radial: lift(normal.x, normal.y), tangent: lift(-normal.y, normal.x), radius_mm: None }
            }
        }
    }

    /// Unit normal out of the steel, towards the wheel.
    #[inline]
    pub(crate) fn normal(&self, point: DVec3, face: GroundBy) -> DVec3 {
        if let GroundBy::WheelSide { outward, .. } = face {
            let spoke = self.spoke(DVec3::ZERO, face);
            let side = DVec3::new(0.0, -spoke.y, spoke.x);
            return self.frame.direction_in_tool(if outward { -side } else { side });
        }
        let p = self.frame.point(point);
        let spoke = self.spoke(p, face);
        let r = p.y * spoke.x + p.z * spoke.y;
        let (u, r) = match self.profile {
            Profile::Circle { centre, radius } => ((p.x - centre.x) / radius, (r - centre.y) / radius),
            Profile::Line { normal, .. } => (normal.x, normal.y),
        };
        -self.frame.direction_in_tool(DVec3::new(u, r * spoke.x, r * spoke.y))
    }

    /// Roll angle at which a point is ground.
    #[inline]
    pub(crate) fn roll(&self, point: DVec3, face: GroundBy) -> Angle {
        match face {
            GroundBy::Sweep => {
                let p = self.frame.point(point);
                Angle::from_radians(p.z.atan2(p.y))
            }
            GroundBy::SwingEnd { positive } | GroundBy::WheelSide { positive, .. } => {
                Angle::from_radians(if positive { self.half } else { -self.half })
            }
        }
    }
}

/// `g` along one ray, `u` counted from the wheel's centre.
#[derive(Debug, Clone, Copy)]
struct Torus {
    along: DVec2,
    start: DVec2,
    b: f64,
    r_c: f64,
    radius: f64,
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

    /// Greatest `s` in `[bottom, top]` with `g ≤ 0`.
    #[inline]
    fn first(&self, bottom: f64, top: f64) -> Option<f64> {
        let n = self.along.y;
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
        let bend = self.r_c * self.b * self.b * n * n;
        // The quick way: from the crossing of the wheel in its middle pose, if `g` is convex from there
        // towards the nose and the part towards the handle holds no crossing either.
        let leg = DVec2::new(self.start.x, self.start.y - self.r_c);
        let cross = leg.dot(self.along);
        let under = cross * cross - leg.length_squared() + self.radius * self.radius;
        if under > 0.0 && n < 0.0 {
            let s = under.sqrt() - cross;
            let a = self.start.y + n * s;
            if a > 0.0 && a * a * a > bend && s < top && self.start.y + n * top >= -1e-12 {
                // The stretch up to `top` is convex, then concave at most (`a ≥ 0` there): `g` rises from
                // the crossing to the end of the convex part, and stays above its chord in the concave one.
                let (at_top, _) = self.value_half_slope(top);
                if at_top <= 0.0 {
                    return Some(top);
                }
                if let Some(s) = self.slide(s) {
                    let a = self.start.y + n * s;
                    let r2 = a * a + self.b * self.b;
                    if s < top && r2 * r2.sqrt() >= bend {
                        return (s >= bottom).then_some(s);
                    }
                }
            }
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

    #[cold]
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
        let (middle, half_span) = (-self.start.y / n, half_span.max(0.0).sqrt() / n.abs());
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
fn cone_first(along: DVec2, ray: &Ray, normal: DVec2, offset: f64, bottom: f64, top: f64) -> Option<f64> {
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
