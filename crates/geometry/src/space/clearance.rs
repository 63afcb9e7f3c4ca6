//! What comes how near to what over the whole swing: holder, strut, blade and handle against wheel, guard and bench, and
//! what stands still.
//!
//! In the bench the roll line stands still and the tool turns about it; a tool that is pushed moves along the spindle.
//! A gap changes no faster than the body's farthest point moves, so that a stretch of the swing whose ends are far enough
//! off holds nothing nearer: stretches are halved until what is left is certain to [`ACCURACY_MM`].
//!
//! # Assumed
//! The holder is as wide as it is high, the handle a rod of [`HANDLE_RADIUS_MM`], the arm a bar [`ARM_BELOW_MM`] below the
//! pivot that begins where its least reach is, the strut a line. The blade
//! touches the wheel at its facet, as it should, and is looked at against guard and bench only.

use glam::{DQuat, DVec2, DVec3};

use crate::{
    math::{
        angle::Angle,
        dimension::{DimensionError, angle, length},
        quantity::Quantity,
    },
    parts::{blank::Blank, wheel::Face},
    side::{
        job::Job,
        setting::{Seat, SideView, Support},
    },
    space::solid::{Gap, Solid},
    swept::roll::{RollLine, Swing},
};

/// How certain a least gap is, in millimetres.
pub const ACCURACY_MM: f64 = 0.05;
/// Radius of a handle, in millimetres (an assumption of this program).
pub const HANDLE_RADIUS_MM: f64 = 15.0;
/// How far below the pivot the middle of the arm's bar lies, and half its thickness, in millimetres (assumptions of this
/// program).
pub const ARM_BELOW_MM: f64 = 9.0;
const ARM_RADIUS_MM: f64 = 5.0;
/// Beyond this nothing of a bench is looked at, in millimetres.
const FAR_MM: f64 = 3_000.0;
/// Stretches the swing is first divided into.
const STRETCHES: u32 = 16;
/// Deepest halving of a stretch.
const DEEPEST: u32 = 18;

/// What moves or stands in front of the wheel.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Body {
    /// The holder's body.
    Holder,
    /// The strut.
    Strut,
    /// The blade behind its facet.
    Blade,
    /// The handle.
    Handle,
    /// The arm, which stands still.
    Arm,
    /// The table, which stands still.
    Table,
}

/// What it could run into.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Obstacle {
    /// The wheel, or the flat abrasive.
    Wheel,
    /// The guard.
    Guard,
    /// The bench top.
    Bench,
}

/// Where in the movement a gap is least.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum SwingAt {
    /// Rolled or turned by this much; positive towards `+w`.
    Rolled(Angle),
    /// Pushed this far along the spindle, in millimetres.
    Pushed(f64),
    /// Neither moves.
    Still,
}

/// How the tool is moved over the wheel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Moved {
    /// About a line fixed in the tool, to either side.
    Rolled {
        /// The line.
        line: RollLine,
        /// How far.
        swing: Swing,
    },
    /// Along the spindle, so far to either side, in millimetres.
    Pushed {
        /// Half the way.
        half_mm: f64,
    },
}

/// The least gap between two things.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Clearance {
    /// What comes near.
    pub body: Body,
    /// To what.
    pub obstacle: Obstacle,
    /// The gap in millimetres, certain to [`ACCURACY_MM`]; zero or less where they meet.
    pub gap_mm: f64,
    /// Where in the movement.
    pub at: SwingAt,
    /// The nearest point of the body then, `(x, y, z)` in the bench.
    pub on_body_in_bench: DVec3,
    /// The nearest point of the obstacle then.
    pub on_obstacle_in_bench: DVec3,
}

/// A guard: a hood around the wheel, open towards the operator.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Guard {
    radius_mm: f64,
    open_from: Angle,
    open_to: Angle,
    width_mm: f64,
}

impl Guard {
    /// A hood at a radius from the spindle, as wide as it is, open from one angle above the horizontal to another
    /// (negative is below).
    ///
    /// # Errors
    /// [`DimensionError`] for a number out of range, or an opening the wrong way round.
    pub fn new(
        radius_mm: f64,
        open_from: Angle,
        open_to: Angle,
        width_mm: f64,
    ) -> Result<Self, DimensionError> {
        length(Quantity::GuardRadius, radius_mm)?;
        length(Quantity::GuardWidth, width_mm)?;
        angle(Quantity::GuardOpenFrom, open_from, -180.0, 180.0)?;
        angle(Quantity::GuardOpenTo, open_to, open_from.degrees(), 180.0)?;
        Ok(Self { radius_mm, open_from, open_to, width_mm })
    }

    /// Its inner radius, in millimetres.
    #[must_use]
    pub fn radius_mm(&self) -> f64 {
        self.radius_mm
    }

    /// Between which angles above the horizontal it is open.
    #[must_use]
    pub fn open(&self) -> [Angle; 2] {
        [self.open_from, self.open_to]
    }

    /// The sheet as `count` flat pieces, from the upper lip over the back to the lower one.
    fn sheets(&self, count: u32) -> impl Iterator<Item = Solid> + use<> {
        let covered = Angle::HALF * 2.0 - (self.open_to - self.open_from);
        let (radius, start) = (self.radius_mm, self.open_to);
        let half_mm = DVec3::new(0.0, self.width_mm / 2.0, 0.0);
        let corner = move |i: u32| (start + covered * (f64::from(i) / f64::from(count))).direction() * radius;
        (0..count).map(move |i| {
            let (a, b) = (corner(i), corner(i + 1));
            let (along, middle) = ((b - a).normalize_or_zero(), a.midpoint(b));
            let square = along.perp();
            Solid::Block {
                centre: in_space(middle, 0.0),
                axes: [in_space(along, 0.0), DVec3::Y, in_space(square, 0.0)],
                half_mm: half_mm.with_x(a.distance(b) / 2.0),
            }
        })
    }
}

/// A point of the side plane in space.
fn in_space(point: DVec2, across: f64) -> DVec3 {
    DVec3::new(point.x, across, point.y)
}

/// Sheets a guard is made of.
const SHEETS: u32 = 48;

/// The tool's frame in the bench.
struct Frame {
    edge: DVec3,
    along: DVec3,
    up: DVec3,
    across: DVec3,
    edge_height: f64,
}

impl Frame {
    fn of(job: &Job, view: &SideView) -> Self {
        let axis = in_space(view.axis_in_bench(), 0.0);
        let up = in_space(view.axis_in_bench().perp(), 0.0);
        let fraction = job.setting.foreshortening();
        // An oblique edge held parallel to the spindle: the tool is yawed in its own plane.
        let aside = ((1.0 - fraction) * (1.0 + fraction)).max(0.0).sqrt();
        Self {
            edge: in_space(view.contact_in_bench, 0.0),
            along: axis * fraction + DVec3::Y * aside,
            up,
            across: DVec3::Y * fraction - axis * aside,
            edge_height: view.edge_height_mm,
        }
    }

    fn point(&self, s: f64, h: f64, w: f64) -> DVec3 {
        self.edge + self.along * s + self.up * (h - self.edge_height) + self.across * w
    }

    fn block(&self, s: [f64; 2], h: [f64; 2], w: f64) -> Solid {
        let middle = |[a, b]: [f64; 2]| f64::midpoint(a, b);
        Solid::Block {
            centre: self.point(middle(s), middle(h), 0.0),
            axes: [self.along, self.up, self.across],
            half_mm: DVec3::new((s[1] - s[0]) / 2.0, (h[1] - h[0]) / 2.0, w),
        }
    }
}

/// The solids of a job.
#[derive(Debug, Clone)]
pub struct Surroundings {
    moving: Vec<(Body, Solid)>,
    still: Vec<(Body, Solid)>,
    obstacles: Vec<(Obstacle, Vec<Solid>)>,
    about: DVec3,
    along: DVec3,
    reach: Reach,
}

/// How far the movement goes.
#[derive(Debug, Clone, Copy)]
enum Reach {
    Turn(f64),
    Push(f64),
}

impl Surroundings {
    /// Everything of a job that has an answer, moved in a way; with its guard if that was measured.
    #[must_use]
    pub fn of(job: &Job, view: &SideView, moved: Moved, guard: Option<&Guard>) -> Self {
        let frame = Frame::of(job, view);
        let (moving, still) = (moving_solids(job, view, &frame), still_solids(job, view));
        let mut obstacles =
            vec![(Obstacle::Wheel, vec![wheel_solid(job)]), (Obstacle::Bench, vec![bench_solid(job)])];
        if let Some(guard) = guard {
            obstacles.push((Obstacle::Guard, guard.sheets(SHEETS).collect()));
        }
        let (about, along, reach) = match moved {
            Moved::Rolled { line, swing } => {
                let centre = line.centre_in_tool();
                let along = line.along_in_tool();
                let direction = frame.along * along.x + frame.up * along.y;
                (frame.point(centre.x, centre.y, 0.0), direction, Reach::Turn(swing.half().radians()))
            }
            Moved::Pushed { half_mm } => (frame.edge, DVec3::Y, Reach::Push(half_mm.max(0.0))),
        };
        Self { moving, still, obstacles, about, along, reach }
    }

    /// The moving solids when the tool is rolled by so many radians, or pushed so many millimetres.
    pub fn moving_at(&self, at: f64) -> impl Iterator<Item = (Body, Solid)> + '_ {
        let (turn, shift) = self.movement(at);
        self.moving.iter().map(move |(body, solid)| (*body, solid.moved(turn, self.about, shift)))
    }

    /// What stands still: arm or table.
    #[must_use]
    pub fn still(&self) -> &[(Body, Solid)] {
        &self.still
    }

    /// What could be run into, each of one or more pieces.
    #[must_use]
    pub fn obstacles(&self) -> &[(Obstacle, Vec<Solid>)] {
        &self.obstacles
    }

    fn movement(&self, at: f64) -> (DQuat, DVec3) {
        match self.reach {
            // Towards +w is from the up side towards +y, about the line that runs towards the pivot.
            Reach::Turn(_) => (DQuat::from_axis_angle(self.along, at), DVec3::ZERO),
            Reach::Push(_) => (DQuat::IDENTITY, DVec3::Y * at),
        }
    }

    /// Every least gap, the nearest first.
    #[must_use]
    pub fn clearances(&self) -> Vec<Clearance> {
        let mut found = Vec::with_capacity(self.moving.len() * self.obstacles.len() + 4);
        for (obstacle, pieces) in &self.obstacles {
            for (body, solid) in &self.moving {
                if !(*body == Body::Blade && *obstacle == Obstacle::Wheel) {
                    found.push(self.least(*body, solid, *obstacle, pieces));
                }
            }
            for (body, solid) in &self.still {
                // A table's gap to the wheel is the rest gap, which has rules of its own.
                if (*body == Body::Table && *obstacle != Obstacle::Guard)
                    || (*body == Body::Arm && *obstacle == Obstacle::Bench)
                {
                    continue;
                }
                if let Some(gap) = nearest_piece(solid, pieces) {
                    found.push(clearance(*body, *obstacle, gap, SwingAt::Still));
                }
            }
        }
        found.sort_by(|a, b| a.gap_mm.total_cmp(&b.gap_mm));
        found
    }

    /// The least gap of a moving body over the whole movement.
    fn least(&self, body: Body, solid: &Solid, obstacle: Obstacle, pieces: &[Solid]) -> Clearance {
        let (reach, speed) = match self.reach {
            Reach::Turn(half) => (half, solid.farthest_from_line_mm(self.about, self.along)),
            Reach::Push(half) => (half, 1.0),
        };
        let gap_at = |at: f64| -> (f64, Option<Gap>) {
            let (turn, shift) = self.movement(at);
            let gap = nearest_piece(&solid.moved(turn, self.about, shift), pieces);
            (gap.map_or(f64::INFINITY, |gap| gap.mm), gap)
        };
        let mut best = (0.0, gap_at(0.0));
        let place = |i: u32| reach * (2.0 * f64::from(i) / f64::from(STRETCHES) - 1.0);
        let mut before = gap_at(place(0)).0;
        let mut waiting = [(0.0, 0.0, 0.0, 0.0, 0_u32); DEEPEST as usize + 2];
        let mut offer = |at: f64, seen: (f64, Option<Gap>)| {
            if seen.0 < best.1.0 {
                best = (at, seen);
            }
            best.1.0
        };
        offer(place(0), gap_at(place(0)));
        for i in 0..STRETCHES {
            let (from, to) = (place(i), place(i + 1));
            let seen = gap_at(to);
            offer(to, seen);
            waiting[0] = (from, before, to, seen.0, 0);
            let mut count = 1;
            while count > 0 {
                count -= 1;
                let (from, a, to, b, depth) = waiting[count];
                // Nothing between is nearer than this.
                let bound = f64::midpoint(a, b) - speed * (to - from) / 2.0;
                let middle = f64::midpoint(from, to);
                if bound >= offer(middle, (f64::INFINITY, None)) - ACCURACY_MM || depth >= DEEPEST {
                    continue;
                }
                let seen = gap_at(middle);
                let least = offer(middle, seen);
                // Once they meet nothing is to be narrowed any more.
                if least <= 0.0 && depth > 3 {
                    continue;
                }
                waiting[count] = (from, a, middle, seen.0, depth + 1);
                waiting[count + 1] = (middle, seen.0, to, b, depth + 1);
                count += 2;
            }
            before = seen.0;
        }
        let (at, (_, gap)) = best;
        let at = match self.reach {
            Reach::Turn(_) => SwingAt::Rolled(Angle::from_radians(at)),
            Reach::Push(_) => SwingAt::Pushed(at),
        };
        clearance(
            body,
            obstacle,
            gap.unwrap_or(Gap { mm: f64::MAX, on_first: DVec3::ZERO, on_second: DVec3::ZERO }),
            at,
        )
    }
}

fn clearance(body: Body, obstacle: Obstacle, gap: Gap, at: SwingAt) -> Clearance {
    Clearance {
        body,
        obstacle,
        gap_mm: gap.mm,
        at,
        on_body_in_bench: gap.on_first,
        on_obstacle_in_bench: gap.on_second,
    }
}

fn nearest_piece(solid: &Solid, pieces: &[Solid]) -> Option<Gap> {
    pieces.iter().map(|piece| solid.gap(piece)).min_by(|a, b| a.mm.total_cmp(&b.mm))
}

fn moving_solids(job: &Job, view: &SideView, frame: &Frame) -> Vec<(Body, Solid)> {
    let mut solids = Vec::with_capacity(4);
    if let Support::Holder { holder, projection_mm, .. } = job.setting.support {
        let spec = holder.spec();
        let half = spec.body_height_mm / 2.0;
        let s = [projection_mm, projection_mm + spec.body_length_mm];
        solids.push((Body::Holder, frame.block(s, [-half, half], half)));
        if let Seat::Pivot { in_bench, .. } = view.seat {
            let hinge = holder.hinge_in_tool(projection_mm);
            let hinge = frame.point(hinge.x, hinge.y, 0.0);
            let fraction = job.setting.foreshortening();
            let aside = ((1.0 - fraction) * (1.0 + fraction)).max(0.0).sqrt();
            let pivot_s = match view.seat {
                Seat::Pivot { in_tool, .. } => in_tool.x / fraction,
                Seat::Plane { .. } => 0.0,
            };
            let ends = [hinge, in_space(in_bench, pivot_s * aside)];
            solids.push((Body::Strut, Solid::Rod { ends, radius_mm: 0.0 }));
        }
    }
    let overall = match job.setting.support {
        Support::Handle { tool_length_mm, .. } => tool_length_mm,
        _ => job.tool.overall_length_mm(),
    };
    let blade_end = job.tool.blade_length_mm().min(overall);
    let blank = job.tool.blank();
    let (low, high) = blank.height_span_mm();
    let heel = view.facet.heel_from_edge.x.max(0.0) / job.setting.foreshortening();
    if blade_end > heel {
        let solid = match blank {
            Blank::Bar(bar) => Solid::Rod {
                ends: [frame.point(heel, 0.0, 0.0), frame.point(blade_end, 0.0, 0.0)],
                radius_mm: bar.radius_mm(),
            },
            Blank::Flat(flat) => frame.block([heel, blade_end], [low, high], flat.width_mm() / 2.0),
        };
        solids.push((Body::Blade, solid));
    }
    if overall > blade_end + 1.0 {
        // Its round ends do not reach beyond the handle's own.
        let round = HANDLE_RADIUS_MM.min((overall - blade_end) / 2.0);
        let ends = [frame.point(blade_end + round, 0.0, 0.0), frame.point(overall - round, 0.0, 0.0)];
        solids.push((Body::Handle, Solid::Rod { ends, radius_mm: HANDLE_RADIUS_MM }));
    }
    solids
}

fn still_solids(job: &Job, view: &SideView) -> Vec<(Body, Solid)> {
    match (job.setting.support, view.seat) {
        (Support::Handle { arm, reach_mm, .. } | Support::Holder { arm, reach_mm, .. }, _) => {
            // The bar carries the cup from below.
            let down = -arm.along().perp() * ARM_BELOW_MM;
            let from = arm.pivot_in_bench(arm.travel().least_mm.min(reach_mm)) + down;
            let ends = [in_space(from, 0.0), in_space(arm.pivot_in_bench(reach_mm) + down, 0.0)];
            vec![(Body::Arm, Solid::Rod { ends, radius_mm: ARM_RADIUS_MM })]
        }
        (Support::Table { table, tilt }, _) => {
            let ends = table.surface_in_bench(tilt).map(|end| in_space(end, 0.0));
            vec![(Body::Table, Solid::Rod { ends, radius_mm: 0.0 })]
        }
    }
}

fn wheel_solid(job: &Job) -> Solid {
    let half_width_mm = job.wheel.width_mm() / 2.0;
    match job.setting.face {
        Face::Round { radius_mm } => Solid::Disc { radius_mm, half_width_mm },
        Face::Flat { normal } => {
            let n = normal.direction();
            let half_length = job.wheel.diameter_mm() / 2.0;
            // A plate behind its face.
            let thick = 14.0;
            Solid::Block {
                centre: in_space(-n * (thick / 2.0), 0.0),
                axes: [in_space(n, 0.0), DVec3::Y, in_space(n.perp(), 0.0)],
                half_mm: DVec3::new(thick / 2.0, half_width_mm, half_length),
            }
        }
    }
}

fn bench_solid(job: &Job) -> Solid {
    let (top, front) = (-job.grinder.spindle_height_mm(), job.grinder.bench_front_mm());
    Solid::Block {
        centre: DVec3::new(front - FAR_MM, 0.0, top - FAR_MM),
        axes: [DVec3::X, DVec3::Y, DVec3::Z],
        half_mm: DVec3::splat(FAR_MM),
    }
}
