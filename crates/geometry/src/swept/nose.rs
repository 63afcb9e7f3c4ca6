//! Whether the nose of a rolled gouge survives the whole swing, what saves one that does not, and what of an edge no pose
//! reaches.
//!
//! The side view knows the middle pose alone. Where its bevel is keener than the slope of the roll line, other poses pass
//! behind the nose and cut it off; the surface of all poses tells by how much. The remedies are looked for on that surface.

use glam::{DVec2, DVec3};

use crate::{
    math::{angle::Angle, quantity::Quantity},
    parts::{
        blank::{Blank, FlatKind, Plan},
        wheel::Face,
    },
    side::{
        inverse::Target,
        job::{Caution, Job},
        nose::{HandRoll, NoseGone, NoseRemedies, NotGround},
        refusal::Refusal,
        setting::{Setting, SideView, Support},
    },
    swept::{
        edge::EdgePoint,
        ground::{GrindingFace, GroundSurface, Motion, Rolled, TurnedOnTable},
        hit::GroundBy,
        roll::{RollLine, Swing},
        steel::Steel,
    },
};

/// An edge at the middle no further back than this is where the side view has it, in millimetres.
pub const NOSE_STAYS_MM: f64 = 1e-3;
/// Beside the nose an edge that falls back so steeply, millimetres for one along the upper face, is broken off: on a flank
/// within 3° of the axis nothing stands.
const BROKEN_OFF: f64 = 20.0;
/// And so far at least, in millimetres.
const LEAST_FALL_MM: f64 = 1.0;
/// Places beside the nose are looked at no further apart than this, in millimetres.
const CLOSE_MM: f64 = 0.1;
/// Angles are looked at so many degrees apart before the limit is narrowed.
const STEP_DEG: f64 = 0.5;
/// Roll centres so many millimetres.
const STEP_MM: f64 = 0.25;
/// Places of the upper face at which it is asked whether the wheel comes.
const PLACES: u32 = 96;
/// Less than this of the edge left unground is not told, in millimetres.
const LEAST_TOLD_MM: f64 = 0.05;

/// The edge in the place of a nose that is cut off.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NoseLost {
    /// Parameter of the upper face there, nought at the middle.
    pub t: f64,
    /// How far behind the nose station, in millimetres.
    pub back_mm: f64,
    /// Width of what is left standing at the middle, in millimetres, if anything is.
    pub sliver_mm: Option<f64>,
}

impl GroundSurface {
    /// Where a rolled gouge's edge begins in the place of a nose that other poses cut off, or all but a sliver of it;
    /// `None` where the nose stays.
    #[must_use]
    pub fn nose_lost(&self, steel: &Steel) -> Option<NoseLost> {
        self.roll_line()?;
        let flute = steel.flute()?;
        let at = |t: f64| {
            let wall = steel.wall_at(t);
            self.start_of_steel(wall.x, wall.y).map(|hit| (wall, hit))
        };
        let (floor, middle) = at(0.0)?;
        if middle.s_mm > self.nose_in_its_own_pose_mm(floor.y)? + NOSE_STAYS_MM {
            return Some(NoseLost { t: 0.0, back_mm: middle.s_mm, sliver_mm: None });
        }
        // As far as half-way to the wing tops; beyond that a step breaks a wing.
        let half_way = 0.5 * flute.wing_top().x;
        let step = CLOSE_MM / (1.6 * flute.wing_top().x.max(CLOSE_MM));
        let sides: &[f64] = if self.is_symmetric() { &[1.0] } else { &[1.0, -1.0] };
        for side in sides {
            let (mut before, mut t) = ((floor, middle), 0.0);
            while before.0.x.abs() < half_way && t < 1.0 {
                t = (t + step).min(1.0);
                let Some(here) = at(side * t) else { break };
                let fall = here.1.s_mm - before.1.s_mm;
                if fall > LEAST_FALL_MM && fall > BROKEN_OFF * before.0.distance(here.0) {
                    let sliver_mm = Some(2.0 * before.0.x.abs());
                    return Some(NoseLost { t: side * t, back_mm: here.1.s_mm, sliver_mm });
                }
                before = here;
            }
        }
        None
    }

    /// Where the one pose that touches the nose leaves the edge at the middle, in millimetres: nought for a flute whose floor
    /// lies where the surface was made for.
    fn nose_in_its_own_pose_mm(&self, floor_mm: f64) -> Option<f64> {
        let Motion::Swept { sweep, .. } = self.motion() else { return None };
        let place = sweep.frame.point(DVec3::new(0.0, floor_mm, 0.0));
        let spoke = DVec2::new(place.y, place.z).normalize_or(DVec2::X);
        let ray = sweep.frame.ray(0.0, floor_mm);
        sweep.standing(&ray, (spoke.y, spoke.x), sweep.profile).map(|(s_mm, _)| s_mm)
    }

    /// What of the edge no pose reaches with its rim; `None` if all of it is ground.
    #[must_use]
    pub fn not_ground(&self, steel: &Steel) -> Option<NotGround> {
        let comes = |t: f64| {
            let wall = steel.wall_at(t);
            // Where the wheel's side stopped there is a step, and no bevel.
            self.start_of_steel(wall.x, wall.y)
                .is_some_and(|hit| !matches!(hit.face, GroundBy::WheelSide { .. }))
        };
        let (mut whole_mm, mut missed_mm) = (0.0, [0.0; 2]);
        for (side, sign) in [-1.0, 1.0].into_iter().enumerate() {
            let mut before = (0.0, comes(0.0));
            for i in 1..=PLACES {
                let here =
                    (sign * f64::from(i) / f64::from(PLACES), comes(sign * f64::from(i) / f64::from(PLACES)));
                let length = |from: f64, to: f64| steel.wall_at(from).distance(steel.wall_at(to));
                whole_mm += length(before.0, here.0);
                missed_mm[side] += match (before.1, here.1) {
                    (true, true) => 0.0,
                    (false, false) => length(before.0, here.0),
                    (was, _) => {
                        let (mut low, mut high) = (before.0, here.0);
                        for _ in 0..30 {
                            let middle = f64::midpoint(low, high);
                            if comes(middle) == was { low = middle } else { high = middle }
                        }
                        if was { length(high, here.0) } else { length(before.0, low) }
                    }
                };
                before = here;
            }
        }
        let [minus_mm, plus_mm] = missed_mm;
        (minus_mm + plus_mm > LEAST_TOLD_MM).then(|| NotGround {
            minus_mm,
            plus_mm,
            fraction: (minus_mm + plus_mm) / whole_mm,
        })
    }
}

/// What grinds, of a job.
fn abrasive_of(job: &Job) -> GrindingFace {
    let width_mm = job.wheel.width_mm();
    match job.setting.face {
        Face::Round { radius_mm } => GrindingFace::Wheel { radius_mm, width_mm },
        Face::Flat { .. } => GrindingFace::Flat { width_mm },
    }
}

/// The pivot in the tool, `(s, h)`; without one a bar rolls on its table about a line level with its axis.
pub(crate) fn pivot_or_level(setting: &Setting, roll_centre_mm: f64) -> DVec2 {
    setting.pivot().map_or(DVec2::new(1000.0, roll_centre_mm), |(_, in_tool)| in_tool)
}

/// How a bar of a setting is rolled with a bevel at the edge.
pub(crate) fn rolled(
    setting: &Setting,
    roll: &HandRoll,
    bevel: Angle,
    abrasive: GrindingFace,
) -> Option<Rolled> {
    Some(Rolled {
        line: RollLine::through(pivot_or_level(setting, roll.centre_mm), roll.centre_mm).ok()?,
        bevel,
        edge_height_mm: setting.edge.height_mm,
        abrasive,
        swing: Swing::to_either_side(roll.half_swing)?,
        turn: roll.turn,
    })
}

/// Whether the nose is still there after the whole swing; a grind that cannot be has none to lose.
pub(crate) fn nose_stays(grind: &Rolled, steel: &Steel) -> bool {
    GroundSurface::rolled(grind).map_or(true, |surface| surface.nose_lost(steel).is_none())
}

/// The nearest value from one that is not well towards a limit that is, rounded to a tenth on that side.
fn nearest_well(from: f64, to: f64, step: f64, is_well: impl Fn(f64) -> bool) -> Option<f64> {
    let sign = (to - from).signum();
    let count = ((to - from).abs() / step).ceil().min(2000.0);
    if count.is_nan() || count < 1.0 {
        return None;
    }
    let at = |i: f64| if i >= count { to } else { from + sign * step * i };
    let mut i = 1.0;
    while !is_well(at(i)) {
        i += 1.0;
        if i > count {
            return None;
        }
    }
    let (mut bad, mut well) = (at(i - 1.0), at(i));
    for _ in 0..40 {
        let middle = f64::midpoint(bad, well);
        if is_well(middle) { well = middle } else { bad = middle }
    }
    let tenth = if sign > 0.0 { (well * 10.0).ceil() / 10.0 } else { (well * 10.0).floor() / 10.0 };
    let beyond = (tenth - to) * sign > 0.0;
    Some(if !beyond && is_well(tenth) { tenth } else { well })
}

impl Job {
    /// How the tool is rolled, of a bar with a hand's roll.
    fn rolled_bar(&self, bevel: Angle) -> Option<(Rolled, HandRoll)> {
        let (Blank::Bar(_), Some(roll)) = (self.tool.blank(), self.roll) else { return None };
        Some((rolled(&self.setting, &roll, bevel, abrasive_of(self))?, roll))
    }

    /// The nose that the rest of the swing cuts off, with what would save it; `None` where it stays, and for a tool that
    /// is not rolled.
    #[must_use]
    pub fn nose_gone(&self, view: &SideView) -> Option<NoseGone> {
        let (grind, roll) = self.rolled_bar(view.bevel())?;
        let Blank::Bar(bar) = self.tool.blank() else { return None };
        let (surface, steel) = (GroundSurface::rolled(&grind).ok()?, Steel::of_bar(bar));
        let lost = surface.nose_lost(&steel)?;
        let point = EdgePoint::at(&surface, &steel, lost.t)?;
        Some(NoseGone {
            back_mm: lost.back_mm,
            sliver_mm: lost.sliver_mm,
            roll: point.roll.abs(),
            wedge: point.wedge,
            remedies: self.nose_remedies(&grind, &roll, bar.diameter_mm(), &steel),
        })
    }

    fn nose_remedies(&self, grind: &Rolled, roll: &HandRoll, bar_mm: f64, steel: &Steel) -> NoseRemedies {
        let swung = |half: f64| {
            Swing::to_either_side(Angle::from_degrees(half))
                .is_some_and(|swing| nose_stays(&Rolled { swing, ..*grind }, steel))
        };
        let ground = |degrees: f64| {
            let bevel = Angle::from_degrees(degrees);
            nose_stays(&Rolled { bevel, ..*grind }, steel) && self.can_be_set(&self.setting, bevel)
        };
        let strutted = |degrees: f64| {
            self.setting.with(Quantity::StrutAngle, degrees).is_some_and(|setting| {
                rolled(&setting, roll, grind.bevel, grind.abrasive)
                    .is_some_and(|grind| nose_stays(&grind, steel))
                    && self.can_be_set(&setting, grind.bevel)
            })
        };
        let centred = |centre_mm: f64| {
            let roll = HandRoll { centre_mm, ..*roll };
            rolled(&self.setting, &roll, grind.bevel, grind.abrasive)
                .is_some_and(|grind| nose_stays(&grind, steel))
        };
        let either_way = |from: f64, (low, high): (f64, f64), step: f64, is_well: &dyn Fn(f64) -> bool| {
            let found = [nearest_well(from, low, step, is_well), nearest_well(from, high, step, is_well)];
            found.into_iter().flatten().min_by(|a, b| (a - from).abs().total_cmp(&(b - from).abs()))
        };
        let strut_angle = match self.setting.support {
            Support::Holder { holder, strut_angle, .. } => {
                let travel = holder.spec().strut_angle;
                let range = (travel.least.degrees(), travel.most.degrees());
                either_way(strut_angle.degrees(), range, STEP_DEG, &strutted).map(Angle::from_degrees)
            }
            Support::Handle { .. } | Support::Table { .. } => None,
        };
        let floor = grind.edge_height_mm;
        NoseRemedies {
            half_swing: nearest_well(roll.half_swing.degrees(), 0.0, STEP_DEG, swung)
                .map(Angle::from_degrees),
            bevel: nearest_well(grind.bevel.degrees(), 100.0, STEP_DEG, ground).map(Angle::from_degrees),
            strut_angle,
            roll_centre_mm: either_way(roll.centre_mm, (floor, floor + bar_mm), STEP_MM, &centred),
        }
    }

    /// Whether a bevel can be set by reach or tilt alone, with nothing in the way.
    fn can_be_set(&self, setting: &Setting, bevel: Angle) -> bool {
        let free = match setting.support {
            Support::Handle { .. } | Support::Holder { .. } => Quantity::Reach,
            Support::Table { .. } => Quantity::TableTilt,
        };
        setting.find(Target::AtEdge(bevel), free).is_ok_and(|answers| {
            answers
                .all()
                .filter_map(|answer| setting.with(free, answer.value))
                .any(|setting| setting.check_travel().is_ok() && Self { setting, ..*self }.evaluate().is_ok())
        })
    }

    /// What of the edge no pose of the wheel reaches; `None` where all of it is ground.
    #[must_use]
    pub fn not_ground(&self, view: &SideView) -> Option<NotGround> {
        if let Some((grind, _)) = self.rolled_bar(view.bevel()) {
            let Blank::Bar(bar) = self.tool.blank() else { return None };
            return GroundSurface::rolled(&grind).ok()?.not_ground(&Steel::of_bar(bar));
        }
        let Blank::Flat(stock) = self.tool.blank() else { return None };
        let (FlatKind::Scraper { plan: Plan::Round { radius_mm } }
        | FlatKind::NegativeRake { plan: Plan::Round { radius_mm }, .. }) = stock.kind()
        else {
            return None;
        };
        let swing = match self.roll {
            Some(roll) => Swing::to_either_side(roll.half_swing)?,
            None => Swing::ASSUMED,
        };
        let turned = TurnedOnTable {
            plan_radius_mm: radius_mm,
            bevel: view.bevel(),
            edge_height_mm: self.setting.edge.height_mm,
            abrasive: abrasive_of(self),
            swing,
        };
        GroundSurface::turned_on_table(&turned).ok()?.not_ground(&Steel::of_flat(stock))
    }

    /// The answer as it may be offered: nothing stops it, and the nose survives the whole swing.
    ///
    /// # Errors
    /// As [`Job::evaluate`], and [`Refusal::NoseGone`].
    pub fn evaluate_to_offer(&self) -> Result<SideView, Refusal> {
        let view = self.evaluate()?;
        match self.nose_gone(&view) {
            Some(gone) => Err(Refusal::NoseGone(gone)),
            None => Ok(view),
        }
    }

    /// All that a turner should be told about an answer: a nose that is gone first, then warnings, reminders after.
    #[must_use]
    pub fn cautions(&self, view: &SideView) -> Vec<Caution> {
        let gone = self.nose_gone(view).map(Caution::NoseGone);
        let missed = self.not_ground(view).map(Caution::EdgeNotGround);
        gone.into_iter().chain(missed).chain(self.cautions_of_side_view(view)).collect()
    }
}
