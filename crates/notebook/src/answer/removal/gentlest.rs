//! The gentlest way to a bevel: which mix of moves loses the least length and the least steel.
//!
//! The solver lists the settings that grind the bevel with something moved; each is weighed by what it takes from the
//! tip as it is, and the best is narrowed down.

use bevelbench_geometry::{
    facet::Relief,
    math::{Angle, Quantity},
    side::{Job, Setting, SideView, Target},
    solve::{DegreeOfFreedom, Question},
};

use crate::{
    answer::{
        removal::{GroundTip, TipBefore},
        swept::movement::NotSwept,
    },
    saved::setting::SwingSaved,
};

/// Accuracy of the volumes that are weighed against each other.
const WEIGHED: f64 = 3e-3;
/// Strut angles that are tried between its stops.
const STRUTS: u32 = 9;
/// Every so many members of a family are weighed.
const EVERY: usize = 5;
/// Rounds of narrowing.
const ROUNDS: u32 = 10;
/// Lengths that differ by less are alike, in millimetres: a hundredth is below any rule.
const ALIKE_MM: f64 = 0.01;

/// What may be moved on the way.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct MayMove {
    /// The tool in its holder.
    pub projection: bool,
    /// The strut.
    pub strut_angle: bool,
    /// The bevel, by half a degree to either side.
    pub bevel: bool,
}

/// By how much the bevel may be off where it may be, in degrees: what a workshop holds.
pub const BEVEL_MAY_MOVE_DEG: f64 = 0.5;

/// A way to the bevel, and what it takes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GrindOption {
    /// The setting.
    pub setting: Setting,
    /// Its answer.
    pub view: SideView,
    /// Length lost along the tool before the facet at the nose is whole and all of the edge is reached, in millimetres.
    pub length_lost_mm: f64,
    /// Steel taken over the whole tip, in cubic millimetres.
    pub removed_mm3: f64,
}

/// What one way takes, further steps and all where they are given.
///
/// # Errors
/// [`NotSwept`] where the way leaves no shape.
pub fn grind_option(
    job: &Job,
    view: &SideView,
    swing: Option<&SwingSaved>,
    before: &TipBefore,
    relief: Option<&Relief>,
    accuracy: f64,
) -> Result<GrindOption, NotSwept> {
    let fraction = job.setting.foreshortening();
    let to = GroundTip::of(job, view, swing, relief)?;
    // The whole facet at the nose, and the whole of the edge.
    let at_nose = before.regrind(job, view, relief).length_lost_mm() / fraction;
    let length_lost_mm = at_nose.max(before.tip().edge_behind_mm(&to));
    let removed = before.tip().removed_by(&to, length_lost_mm, accuracy);
    Ok(GrindOption { setting: job.setting, view: *view, length_lost_mm, removed_mm3: removed.mm3 })
}

/// The gentlest way from a tool as it is to the bevel a job grinds, with these quantities free beside the arm (or the table):
/// least length lost, then least steel. Further steps are left out. `None` where no way is found.
#[must_use]
pub fn gentlest(
    job: &Job,
    view: &SideView,
    swing: Option<&SwingSaved>,
    before: &TipBefore,
    may: MayMove,
    rests_deg: &[f64],
) -> Option<GrindOption> {
    let arm = job.setting.follows_wheel();
    let mut best: Option<GrindOption> = None;
    let evaluate = |setting: Setting, accuracy: f64| -> Option<GrindOption> {
        let moved = Job { setting, ..*job };
        let view = moved.evaluate_to_offer().ok()?;
        grind_option(&moved, &view, swing, before, None, accuracy).ok()
    };
    let mut offer = |option: Option<GrindOption>| {
        if let Some(option) = option
            && best.as_ref().is_none_or(|best| gentler(&option, best))
        {
            best = Some(option);
        }
        best
    };
    offer(evaluate(job.setting, WEIGHED));
    let as_it_is = (before.bevel() - view.bevel()).degrees();
    let within = as_it_is.clamp(-BEVEL_MAY_MOVE_DEG, BEVEL_MAY_MOVE_DEG);
    let off: &[f64] =
        if may.bevel { &[0.0, within, -BEVEL_MAY_MOVE_DEG, BEVEL_MAY_MOVE_DEG] } else { &[0.0] };
    let struts = strut_stops(&job.setting, rests_deg);
    let blade = job.tool.blade_length_mm();
    for off in off {
        let bevel = Target::AtEdge(view.bevel() + Angle::from_degrees(*off));
        let question = Question { setting: job.setting, bevel, wing: None, rolling: None };
        let mut freedoms: Vec<DegreeOfFreedom<'_>> =
            DegreeOfFreedom::on_travel(&job.setting, arm).into_iter().collect();
        if may.projection && job.setting.value_of(Quantity::Projection).is_some() {
            freedoms.push(DegreeOfFreedom::within(Quantity::Projection, 10.0, blade.max(11.0)));
        }
        if may.strut_angle
            && let Some(strut) = DegreeOfFreedom::on_travel(&job.setting, Quantity::StrutAngle)
        {
            freedoms.push(strut.at_stops(&struts));
        }
        let Ok(found) = question.solve(&freedoms) else { continue };
        for solution in found.answers.iter().chain(found.family.iter().step_by(EVERY)) {
            offer(evaluate(solution.setting, WEIGHED));
        }
    }
    let start = best?;
    Some(narrowed(&start, arm, may, rests_deg.is_empty(), &evaluate))
}

/// Less length lost; where that is alike, less steel.
fn gentler(one: &GrindOption, other: &GrindOption) -> bool {
    let by = one.length_lost_mm - other.length_lost_mm;
    by < -ALIKE_MM || (by < ALIKE_MM && one.removed_mm3 < other.removed_mm3)
}

/// Strut angles to be tried: the holder's rests, or so many over its travel.
fn strut_stops(setting: &Setting, rests_deg: &[f64]) -> Vec<f64> {
    if !rests_deg.is_empty() {
        return rests_deg.to_vec();
    }
    let Some((least, most)) = setting.travel_of(Quantity::StrutAngle) else { return Vec::new() };
    (0..STRUTS).map(|i| least + (most - least) * f64::from(i) / f64::from(STRUTS - 1)).collect()
}

/// The neighbourhood of a way, searched in ever smaller steps, the arm (or the table) always moved to keep its bevel.
fn narrowed(
    start: &GrindOption,
    arm: Quantity,
    may: MayMove,
    strut_is_free: bool,
    evaluate: &impl Fn(Setting, f64) -> Option<GrindOption>,
) -> GrindOption {
    let mut best = evaluate(start.setting, WEIGHED / 3.0).unwrap_or(*start);
    let bevel = Target::AtEdge(best.view.bevel());
    let (mut by_projection, mut by_strut) = (6.0, 5.0);
    for _ in 0..ROUNDS {
        let mut moved = false;
        for (free, by, allowed) in [
            (Quantity::Projection, by_projection, may.projection),
            (Quantity::StrutAngle, by_strut, may.strut_angle && strut_is_free),
        ] {
            let Some(now) = best.setting.value_of(free).filter(|_| allowed) else { continue };
            for value in [now - by, now + by] {
                let better = best.setting.with(free, value).and_then(|setting| {
                    let present = setting.value_of(arm)?;
                    let answers = setting.find(bevel, arm).ok()?;
                    evaluate(answers.nearest(present)?.setting, WEIGHED / 3.0)
                });
                if let Some(option) = better.filter(|option| gentler(option, &best)) {
                    best = option;
                    moved = true;
                }
            }
        }
        if !moved {
            (by_projection, by_strut) = (by_projection / 2.5, by_strut / 2.5);
        }
    }
    best
}
