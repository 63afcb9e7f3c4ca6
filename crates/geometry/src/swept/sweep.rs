//! The surface of a wheel turned about a roll line, formula (3) `(u − u_C)² + (r − r_C)² = R²`, within a
//! limited swing, met by a ray along the tool's axis.
//!
//! The first crossing itself is found in `torus`.
//!
//! **Limits of the swing.** Points whose roll angle lies beyond the swing meet the wheel of the end pose, a cylinder of its
//! real width, and on the far side of the roll line also the corner of a narrow wheel in the poses between. The quick
//! way takes the place's own plane and the end poses, and proves for each ray that no other pose takes more; where it
//! cannot, `poses` looks at all of them.

#![allow(clippy::neg_cmp_op_on_partial_ord, reason = "written so that a NaN takes the safe way")]

use glam::{DVec2, DVec3};

use crate::{
    math::angle::Angle,
    swept::{
        hit::{GroundBy, Hit, PARALLEL, Rim},
        roll::{Ray, RollFrame},
        sweep::poses::Way,
        torus::{MOST_STEPS, Torus, cone_first},
    },
};

/// How much wider the wheel is taken when a place that it left is looked at again, in millimetres.
const SLACK_MM: f64 = 1e-7;
/// Stand-in for infinity along a ray, in millimetres.
const FAR_MM: f64 = 1e5;

mod poses;

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
    pub(crate) half: f64,
    half_sin: f64,
    half_cos: f64,
    half_cot: f64,
    full: bool,
    pub(crate) half_width: f64,
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
        self.start_near(w, h, None)
    }

    /// The same with a guess of the station, which saves steps.
    #[inline]
    pub(crate) fn start_near(&self, w: f64, h: f64, near: Option<f64>) -> Option<Hit> {
        let ray = self.frame.ray(w, h);
        let mut best = self.within_swing(&ray, near);
        for positive in [true, false] {
            if self.full || best.is_some_and(|best| self.end_is_left_behind(&ray, positive, best.s_mm)) {
                continue;
            }
            if let Some(hit) = self.end_pose(&ray, positive)
                && best.is_none_or(|best| hit.s_mm > best.s_mm)
            {
                best = Some(hit);
            }
        }
        if best.is_some_and(|best| self.no_other_pose(&ray, best.s_mm)) {
            return best;
        }
        let along = self.frame.along;
        let way = Way { start: ray.start.extend(ray.b), run: along.extend(0.0) };
        let bottom = best.map_or(f64::NEG_INFINITY, |best| best.s_mm);
        self.first_of_all_poses(&way, bottom).or(best)
    }

    /// Whether beyond `s` a ray is met by its own plane and the end poses alone. Two things are enough: no pose brings a place
    /// there further out than the wheel's centre, so that the pose that lifts it highest is the best; and the line
    /// itself has left the wheel for good, so that no pose from its far side takes anything.
    #[inline]
    fn no_other_pose(&self, ray: &Ray, s: f64) -> bool {
        let DVec2 { x: d, y: n } = self.frame.along;
        let here = ray.start + s * self.frame.along;
        if d < 0.0 {
            return false;
        }
        let far = match self.profile {
            // Where the wheel ends; level with it all the way, a ray that comes nearer the line needs no end.
            Profile::Circle { centre, radius } if d > PARALLEL => {
                here.y + n / d * (centre.x + radius - here.x)
            }
            Profile::Circle { .. } if n <= 0.0 && self.half_cos >= 0.0 => here.y,
            Profile::Circle { .. } => return false,
            Profile::Line { .. } => here.y,
        };
        self.highest_is_best(here.x, [(here.y, ray.b), (far, ray.b)])
    }

    /// Whether of all poses the one that brings a place highest takes the most of a straight stretch with the ends `(a, b)`,
    /// on which `u` is `least_u` or more, and a pose that brings it past the line takes nothing.
    #[inline]
    fn highest_is_best(&self, least_u: f64, ends: [(f64, f64); 2]) -> bool {
        match self.profile {
            Profile::Circle { centre, radius } => {
                let u = least_u - centre.x;
                let level = centre.y * centre.y;
                let highest = |(a, b): (f64, f64)| {
                    let a = if self.half_cos >= 0.0 { a.max(0.0) } else { a };
                    a * a + b * b
                };
                u >= 0.0
                    && centre.y > 0.0
                    && u * u + level >= radius * radius
                    && highest(ends[0]).max(highest(ends[1])) <= level
            }
            Profile::Line { normal, offset } => {
                normal.y < 0.0 && normal.x >= 0.0 && normal.x * least_u >= offset
            }
        }
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

    /// Whether the wheel at an end of the swing takes nothing of a ray beyond `s`: its rim, a convex body, is left there.
    #[inline]
    fn end_is_left_behind(&self, ray: &Ray, positive: bool, s: f64) -> bool {
        let Profile::Circle { centre, radius } = self.profile else { return false };
        let DVec2 { x: d, y: n } = self.frame.along;
        let sin = if positive { self.half_sin } else { -self.half_sin };
        let rim_along = n * self.half_cos;
        let u = ray.start.x - centre.x + d * s;
        let p = ray.start.y * self.half_cos + ray.b * sin - centre.y + rim_along * s;
        u * u + p * p >= radius * radius && u * d + p * rim_along >= 0.0
    }

    #[inline]
    fn within_swing(&self, ray: &Ray, near: Option<f64>) -> Option<Hit> {
        let (bottom, top) = self.stretch(ray)?;
        let s = match self.profile {
            Profile::Circle { centre, radius } => Torus {
                along: self.frame.along,
                start: ray.start - DVec2::X * centre.x,
                b: ray.b,
                r_c: centre.y,
                radius,
            }
            .first(bottom, top, near),
            Profile::Line { normal, offset } => {
                cone_first(self.frame.along, ray, normal, offset, bottom, top)
            }
        }?;
        Some(Hit { s_mm: s, face: GroundBy::Sweep })
    }

    /// The wheel standing at an end of the swing, with its own width.
    #[inline]
    fn end_pose(&self, ray: &Ray, positive: bool) -> Option<Hit> {
        let turn = (if positive { self.half_sin } else { -self.half_sin }, self.half_cos);
        let (s_mm, side) = self.standing(ray, turn, self.profile)?;
        let face = match side {
            None => GroundBy::SwingEnd { positive },
            Some(outward) => GroundBy::WheelSide { positive, outward },
        };
        Some(Hit { s_mm, face })
    }

    /// Where steel begins on a ray for a wheel that stands still at one roll angle (its sine and cosine), with
    /// its own width; and, where its side does it, whether that is the side towards growing roll angles.
    #[inline]
    pub(crate) fn standing(
        &self,
        ray: &Ray,
        (sin, cos): (f64, f64),
        profile: Profile,
    ) -> Option<(f64, Option<bool>)> {
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
        let (low, high) = match profile {
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
        Some(if high <= high_side {
            (high, None)
        } else {
            (high_side, Some(off_start + off_along * high_side > 0.0))
        })
    }

    /// In the section at `station`, from `wall` (in steel) along the unit direction `inward`: the way to the first place
    /// that is ground away, if that is nearer than `through`.
    pub(crate) fn first_gone(&self, station: f64, wall: DVec2, inward: DVec2, through: f64) -> f64 {
        let from = self.frame.ray(wall.x, wall.y);
        let to = self.frame.ray(wall.x + inward.x, wall.y + inward.y);
        let run = to.start - from.start;
        let run_b = to.b - from.b;
        let start = from.start + station * self.frame.along;
        let end = start + through * run;
        let ends = [(start.y, from.b), (end.y, from.b + through * run_b)];
        let Profile::Circle { centre, radius } = self.profile else {
            let way = Way { start: start.extend(from.b), run: run.extend(run_b) };
            return self.first_taken(&way, through).unwrap_or(through);
        };
        if !self.highest_is_best(start.x.min(end.x), ends) {
            let way = Way { start: start.extend(from.b), run: run.extend(run_b) };
            return self.first_taken(&way, through).unwrap_or(through);
        }
        let start = start - DVec2::X * centre.x;
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
            // A way that begins within the full turn, but outside the swing, has no crossing: the last step leads anywhere.
            let t = t.max(low).min(high);
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
        first
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
            GroundBy::OffMiddle => self.nearest_pose(p, SLACK_MM).map_or(DVec2::X, |pose| pose.spoke),
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
        let (u, out) = match self.profile {
            Profile::Circle { centre, radius } => ((p.x - centre.x) / radius, (r - centre.y) / radius),
            Profile::Line { normal, .. } => (normal.x, normal.y),
        };
        if face == GroundBy::OffMiddle && r != 0.0 {
            // The corner's own surface: p is the root of r² less the square on half the width.
            let across = DVec2::new(p.y, p.z) * (out / r);
            return -self.frame.direction_in_tool(DVec3::new(u, across.x, across.y)).normalize_or(DVec3::X);
        }
        let r = out;
        -self.frame.direction_in_tool(DVec3::new(u, r * spoke.x, r * spoke.y))
    }

    /// Roll angle at which a point is ground.
    #[inline]
    pub(crate) fn roll(&self, point: DVec3, face: GroundBy) -> Angle {
        match face {
            GroundBy::Sweep | GroundBy::OffMiddle => {
                let spoke = self.spoke(self.frame.point(point), face);
                Angle::from_radians(spoke.y.atan2(spoke.x))
            }
            GroundBy::SwingEnd { positive } | GroundBy::WheelSide { positive, .. } => {
                Angle::from_radians(if positive { self.half } else { -self.half })
            }
        }
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]
mod tests;
