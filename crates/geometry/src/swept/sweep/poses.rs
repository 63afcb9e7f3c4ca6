//! What a wheel of its real width takes over all the poses of a swing, exactly.
//!
//! Seen from the tool, the wheel turned by ψ about the roll line takes a place `(u, a, b)` of the roll frame if the
//! place lies no further than half the width beside the wheel's plane, `|b cos ψ − a sin ψ| ≤ W/2`, and within its rim,
//! `(u − u_C)² + (p − r_C)² ≤ R²` with `p = a cos ψ + b sin ψ` (for a flat face `n_u u + n_r p ≤ offset`). The pose enters
//! the second by `p` alone, so the pose that matters is the one that brings `p` nearest to `r_C`. While ψ goes through the
//! poses that are wide enough, `p` runs without a jump; its nearest is therefore one of: the place's **own plane** (`p = ±r`),
//! an **end** of the swing, the wheel's **corner** (`p = ±√(r² − W²/4)`), or **level** with the wheel's axis (`p = r_C`).
//!
//! Along a straight way everything that divides these cases, and every crossing, is a root of a polynomial of degree
//! four at most. Between two neighbours of them nothing changes: one look at the middle tells what holds there.

use glam::{DVec2, DVec3};

use super::{FAR_MM, Profile, Sweep};
use crate::{
    math::roots::roots_within,
    swept::hit::{GroundBy, Hit, PARALLEL},
};

/// Stretches of a way shorter than this, in millimetres, are rounding.
const ROUNDING_MM: f64 = 1e-10;
/// How far inside a stretch it is looked at which part of the wheel took it, in millimetres.
const INSIDE_MM: f64 = 1e-6;
/// Limits and crossings along a way, at most.
const MOST_MARKS: usize = 40;

/// A straight way in the roll frame.
#[derive(Debug, Clone, Copy)]
pub(super) struct Way {
    pub(super) start: DVec3,
    pub(super) run: DVec3,
}

impl Way {
    fn at(&self, t: f64) -> DVec3 {
        self.start + t * self.run
    }
}

/// The pose that comes nearest to a place.
#[derive(Debug, Clone, Copy)]
pub(super) struct Pose {
    /// Direction away from the line in its plane, `(a, b)`.
    pub(super) spoke: DVec2,
    /// Distance of the place from the line, seen along that.
    pub(super) p: f64,
    part: Part,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Part {
    OwnPlane,
    End { positive: bool },
    OffMiddle,
}

/// Limits and crossings, and the stretch that they lie in.
struct Marks {
    found: [f64; MOST_MARKS],
    count: usize,
    low: f64,
    high: f64,
}

impl Marks {
    fn new(low: f64, high: f64) -> Self {
        let mut marks = Self { found: [0.0; MOST_MARKS], count: 0, low, high };
        marks.push(low);
        marks.push(high);
        marks
    }

    fn push(&mut self, t: f64) {
        if t >= self.low && t <= self.high && self.count < MOST_MARKS {
            self.found[self.count] = t;
            self.count += 1;
        }
    }

    /// Where `start + t run = 0`.
    fn line(&mut self, start: f64, run: f64) {
        if run.abs() > PARALLEL {
            self.push(-start / run);
        }
    }

    /// Where `square t² + 2 cross t + rest = 0`.
    fn parabola(&mut self, Parabola { square, cross, rest }: Parabola) {
        if square.abs() < PARALLEL {
            self.line(rest, 2.0 * cross);
            return;
        }
        let under = cross * cross - square * rest;
        if under >= 0.0 {
            let far = -(cross + under.sqrt().copysign(cross));
            self.push(far / square);
            self.push(rest / far);
        }
    }

    fn sorted(&mut self) -> &[f64] {
        let found = &mut self.found[..self.count];
        found.sort_unstable_by(f64::total_cmp);
        found
    }
}

/// `square t² + 2 cross t + rest`.
#[derive(Debug, Clone, Copy)]
struct Parabola {
    square: f64,
    cross: f64,
    rest: f64,
}

impl Parabola {
    /// Of a squared length along a way.
    fn of(start: DVec2, run: DVec2) -> Self {
        Self { square: run.length_squared(), cross: start.dot(run), rest: start.length_squared() }
    }

    fn less(self, value: f64) -> Self {
        Self { rest: self.rest - value, ..self }
    }
}

impl Sweep {
    /// The first place from the handle that any pose takes, on the ray through `(w, h)`, no further towards the nose than
    /// `bottom`.
    #[cold]
    pub(super) fn first_of_all_poses(&self, way: &Way, bottom: f64) -> Option<Hit> {
        let (low, high) = self.reached(way)?;
        let mut marks = Marks::new(low.max(bottom), high);
        self.mark(way, &mut marks);
        let marks = marks.sorted();
        let (s, inside) = marks.windows(2).rev().find_map(|pair| {
            let (low, high) = (pair[0], pair[1]);
            let middle = f64::midpoint(low, high);
            (high - low > ROUNDING_MM && self.is_taken(way.at(middle)))
                .then(|| (high, high - (0.5 * (high - low)).min(INSIDE_MM)))
        })?;
        Some(Hit { s_mm: s, face: self.face_of(way.at(s), way.at(inside)) })
    }

    /// The first place of a way, from its start to `through`, that any pose takes.
    #[cold]
    pub(super) fn first_taken(&self, way: &Way, through: f64) -> Option<f64> {
        let (low, high) = self.reached(way)?;
        let (low, high) = (low.max(0.0), high.min(through));
        if low >= high {
            return None;
        }
        let mut marks = Marks::new(low, high);
        self.mark(way, &mut marks);
        marks.sorted().windows(2).find_map(|pair| {
            let middle = f64::midpoint(pair[0], pair[1]);
            (pair[1] - pair[0] > ROUNDING_MM && self.is_taken(way.at(middle))).then_some(pair[0])
        })
    }

    /// The stretch of a way outside which no pose takes anything.
    fn reached(&self, way: &Way) -> Option<(f64, f64)> {
        let Profile::Circle { centre, radius } = self.profile else { return Some((-FAR_MM, FAR_MM)) };
        let (mut low, mut high) = (-FAR_MM, FAR_MM);
        let from = way.start.x - centre.x;
        if way.run.x.abs() > PARALLEL {
            let (one, other) = ((-radius - from) / way.run.x, (radius - from) / way.run.x);
            (low, high) = (one.min(other), one.max(other));
        } else if from.abs() > radius {
            return None;
        }
        let across = Self::across(way);
        if across.square > PARALLEL {
            let most = (centre.y.abs() + radius).powi(2) + self.half_width * self.half_width;
            let under = across.cross * across.cross - across.square * (across.rest - most);
            if under < 0.0 {
                return None;
            }
            let root = under.sqrt();
            low = low.max((-across.cross - root) / across.square);
            high = high.min((root - across.cross) / across.square);
        }
        (low < high).then_some((low, high))
    }

    /// Squared distance from the line along a way.
    fn across(way: &Way) -> Parabola {
        Parabola::of(DVec2::new(way.start.y, way.start.z), DVec2::new(way.run.y, way.run.z))
    }

    fn mark(&self, way: &Way, marks: &mut Marks) {
        let across = Self::across(way);
        let wide = self.half_width * self.half_width;
        marks.parabola(across.less(wide));
        let off_line = [way.start, way.run].map(|v| DVec2::new(v.y, v.z));
        let ends = [self.half_sin, -self.half_sin].map(|sin| DVec2::new(self.half_cos, sin));
        if !self.full {
            for spoke in ends {
                let [beside, beside_run] = off_line.map(|v| spoke.perp_dot(v));
                marks.line(beside, beside_run);
                marks.line(beside - self.half_width, beside_run);
                marks.line(beside + self.half_width, beside_run);
            }
        }
        match self.profile {
            Profile::Circle { centre, radius } => {
                marks.line(way.start.x - centre.x - radius, way.run.x);
                marks.line(way.start.x - centre.x + radius, way.run.x);
                let level = centre.y * centre.y;
                marks.parabola(across.less(level));
                marks.parabola(across.less(level + wide));
                let along = way.start.x - centre.x;
                for square in [0.0, wide] {
                    // With r² (less the square on half the width) as r²: (u² + r² + r_C² − R²)² = 4 r_C² r².
                    let r2 = across.less(square);
                    let sum = Parabola {
                        square: r2.square + way.run.x * way.run.x,
                        cross: r2.cross + along * way.run.x,
                        rest: r2.rest + along * along + level - radius * radius,
                    };
                    let times = 4.0 * level;
                    let quartic = [
                        sum.rest * sum.rest - times * r2.rest,
                        4.0 * sum.cross * sum.rest - 2.0 * times * r2.cross,
                        4.0 * sum.cross * sum.cross + 2.0 * sum.square * sum.rest - times * r2.square,
                        4.0 * sum.square * sum.cross,
                        sum.square * sum.square,
                    ];
                    for root in &roots_within(&quartic, marks.low, marks.high) {
                        marks.push(root);
                    }
                }
                if !self.full {
                    for spoke in ends {
                        let [p, run] = off_line.map(|v| spoke.dot(v));
                        marks.line(p - centre.y, run);
                        marks.parabola(
                            Parabola::of(DVec2::new(along, p - centre.y), DVec2::new(way.run.x, run))
                                .less(radius * radius),
                        );
                    }
                }
            }
            Profile::Line { normal, offset } => {
                let (level, level_run) = (normal.x * way.start.x - offset, normal.x * way.run.x);
                let steep = normal.y * normal.y;
                for square in [0.0, wide] {
                    let r2 = across.less(square);
                    marks.parabola(Parabola {
                        square: level_run * level_run - steep * r2.square,
                        cross: level * level_run - steep * r2.cross,
                        rest: level * level - steep * r2.rest,
                    });
                }
                if !self.full {
                    for spoke in ends {
                        let [p, run] = off_line.map(|v| spoke.dot(v));
                        marks.line(level + normal.y * p, level_run + normal.y * run);
                    }
                }
            }
        }
    }

    /// The pose that comes nearest to a place, of those that are wide enough; wider by `slack` in millimetres.
    pub(super) fn nearest_pose(&self, place: DVec3, slack: f64) -> Option<Pose> {
        let off_line = DVec2::new(place.y, place.z);
        let half_width = self.half_width + slack;
        let cost = |p: f64| match self.profile {
            Profile::Circle { centre, .. } => (p - centre.y).abs(),
            Profile::Line { normal, .. } => normal.y * p,
        };
        let mut best: Option<(f64, Pose)> = None;
        let mut offer = |spoke: DVec2, part: Part| {
            let p = spoke.dot(off_line);
            let cost = cost(p);
            if best.is_none_or(|(least, _)| cost < least) {
                best = Some((cost, Pose { spoke, p, part }));
            }
        };
        let in_swing = |spoke: DVec2| self.full || spoke.x >= self.half_cos - 1e-3 * slack;
        let r = off_line.length();
        let own = if r > 0.0 { off_line / r } else { DVec2::X };
        if in_swing(own) {
            offer(own, Part::OwnPlane);
        }
        if !self.full {
            for positive in [true, false] {
                let spoke = DVec2::new(self.half_cos, if positive { self.half_sin } else { -self.half_sin });
                if spoke.perp_dot(off_line).abs() <= half_width {
                    offer(spoke, Part::End { positive });
                }
            }
        }
        let mut offer_turned = |cos: f64, sin: f64| {
            for turn in [DVec2::new(cos, sin), DVec2::new(cos, -sin)] {
                let spoke = own.rotate(turn);
                if in_swing(spoke) {
                    offer(spoke, Part::OffMiddle);
                }
            }
        };
        offer_turned(-1.0, 0.0);
        if r > self.half_width {
            let sin = self.half_width / r;
            let cos = (1.0 - sin * sin).max(0.0).sqrt();
            offer_turned(cos, sin);
            offer_turned(-cos, sin);
        }
        if let Profile::Circle { centre, .. } = self.profile
            && r >= centre.y.abs()
            && r > 0.0
        {
            let cos = centre.y / r;
            let sin = (1.0 - cos * cos).max(0.0).sqrt();
            if r * sin <= half_width {
                offer_turned(cos, sin);
            }
        }
        best.map(|(_, pose)| pose)
    }

    /// How far a place lies outside a wheel that is seen under such a `p`, in millimetres.
    fn outside(&self, u: f64, p: f64) -> f64 {
        match self.profile {
            Profile::Circle { centre, radius } => (u - centre.x).hypot(p - centre.y) - radius,
            Profile::Line { normal, offset } => normal.x * u + normal.y * p - offset,
        }
    }

    fn is_taken(&self, place: DVec3) -> bool {
        self.nearest_pose(place, 0.0).is_some_and(|pose| self.outside(place.x, pose.p) <= 0.0)
    }

    /// Which part of the travel left a place where taken stretches begin, from a place just inside.
    fn face_of(&self, place: DVec3, inside: DVec3) -> GroundBy {
        let Some(pose) = self.nearest_pose(inside, 0.0) else { return GroundBy::Sweep };
        let off_line = DVec2::new(place.y, place.z);
        let off_rim = self.outside(place.x, pose.spoke.dot(off_line)).abs();
        if off_rim > 1e-3 && !self.full {
            // Not by a rim: a side of the wheel at an end of the swing.
            let beside = |positive: bool| {
                DVec2::new(self.half_cos, if positive { self.half_sin } else { -self.half_sin })
                    .perp_dot(off_line)
            };
            let off_side = |positive: bool| (beside(positive).abs() - self.half_width).abs();
            let positive = off_side(true) <= off_side(false);
            if off_side(positive) < off_rim {
                return GroundBy::WheelSide { positive, outward: beside(positive) > 0.0 };
            }
        }
        match pose.part {
            Part::OwnPlane => GroundBy::Sweep,
            Part::End { positive } => GroundBy::SwingEnd { positive },
            Part::OffMiddle => GroundBy::OffMiddle,
        }
    }
}
