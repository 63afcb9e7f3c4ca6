//! A family of answers as curves: where one quantity more is free than is needed, the settings that meet every target lie
//! on curves along which one may go.
//!
//! One of the free quantities is walked ([`Question::walked`]); for each of its values the others follow, in none, one or
//! several ways. Ways that go on from step to step make a branch; a branch ends where one of its things meets its limit,
//! or where two branches meet, and that end is narrowed.

use crate::{
    math::quantity::Quantity,
    solve::{
        freedom::DegreeOfFreedom,
        question::Question,
        solution::{FAMILY_SAMPLES, Solution, Solutions},
    },
};

/// A branch is not followed over a greater jump than this fraction of a thing's range.
const LEAP: f64 = 0.35;
/// Halvings of the last step of a branch.
const HALVINGS: u32 = 14;

/// The curves of a family.
#[derive(Debug, Clone, PartialEq)]
pub struct Family {
    /// What is walked; the other free quantities follow from it.
    pub walked: Quantity,
    /// The branches, each in rising order of what is walked, none empty.
    pub branches: Vec<Vec<Solution>>,
}

impl Question {
    /// The family that was found, as curves; `None` without one.
    #[must_use]
    pub fn family(&self, freedoms: &[DegreeOfFreedom<'_>], found: &Solutions) -> Option<Family> {
        let walked = self.walked(freedoms)?;
        let one = freedoms.iter().find(|one| one.what == walked)?;
        let step = (one.most - one.least) / f64::from(FAMILY_SAMPLES);
        let at = |solution: &Solution| solution.value_of(walked).unwrap_or(f64::NAN);
        let mut branches: Vec<Vec<Solution>> = Vec::new();
        // Branches that reach the step before this one, by their places in `branches`.
        let mut live: Vec<usize> = Vec::new();
        let mut before = f64::INFINITY;
        let mut rest = found.family.as_slice();
        while let Some(first) = rest.first() {
            let x = at(first);
            let count = rest.iter().take_while(|solution| (at(solution) - x).abs() < step * 1e-6).count();
            let (here, others) = rest.split_at(count.max(1));
            rest = others;
            // A new turn of the walk (another stop), or a step left out.
            if x <= before || x > before + 1.5 * step {
                live.clear();
            }
            before = x;
            live = go_on(&mut branches, &live, here, freedoms, walked);
        }
        for branch in &mut branches {
            for forwards in [false, true] {
                self.narrow_end(branch, freedoms, one, step, forwards);
            }
        }
        (!branches.is_empty()).then_some(Family { walked, branches })
    }

    /// The answer with what is walked at a value that is nearest to another answer.
    #[must_use]
    pub fn member(&self, freedoms: &[DegreeOfFreedom<'_>], value: f64, near: &Solution) -> Option<Solution> {
        let walked = self.walked(freedoms)?;
        let mut pinned = self.with(walked, value)?;
        let mut free = Vec::with_capacity(freedoms.len());
        for one in freedoms.iter().filter(|one| one.what != walked) {
            if one.stops.is_some() {
                pinned = pinned.with(one.what, near.value_of(one.what)?)?;
            } else {
                free.push(*one);
            }
        }
        let found = pinned.solve(&free).ok()?;
        let apart = |solution: &Solution| distance(solution, near, freedoms, walked);
        let mut best = found.answers.into_iter().min_by(|a, b| apart(a).total_cmp(&apart(b)))?;
        best.cost = self.cost(&best, freedoms);
        Some(best)
    }

    /// Goes from the last sample of a branch on to where it ends, within one step.
    fn narrow_end(
        &self,
        branch: &mut Vec<Solution>,
        freedoms: &[DegreeOfFreedom<'_>],
        one: &DegreeOfFreedom<'_>,
        step: f64,
        forwards: bool,
    ) {
        let Some(&last) = (if forwards { branch.last() } else { branch.first() }) else { return };
        let Some(from) = last.value_of(one.what) else { return };
        let limit = if forwards { (from + step).min(one.most) } else { (from - step).max(one.least) };
        if (limit - from).abs() < step * 1e-6 {
            return;
        }
        let (mut inside, mut outside, mut end) = (from, limit, None);
        for _ in 0..HALVINGS {
            let middle = f64::midpoint(inside, outside);
            let near = end.as_ref().unwrap_or(&last);
            match self.member(freedoms, middle, near) {
                Some(member) if distance(&member, near, freedoms, one.what) < LEAP => {
                    inside = middle;
                    end = Some(member);
                }
                _ => outside = middle,
            }
        }
        match end {
            Some(end) if forwards => branch.push(end),
            Some(end) => branch.insert(0, end),
            None => {}
        }
    }
}

/// Takes the branches that are alive on to the solutions of the next step; returns those that are alive then.
fn go_on(
    branches: &mut Vec<Vec<Solution>>,
    live: &[usize],
    here: &[Solution],
    freedoms: &[DegreeOfFreedom<'_>],
    walked: Quantity,
) -> Vec<usize> {
    let mut pairs: Vec<(f64, usize, usize)> = Vec::with_capacity(live.len() * here.len());
    for &branch in live {
        let Some(end) = branches.get(branch).and_then(|b| b.last()) else { continue };
        pairs.extend(here.iter().enumerate().map(|(i, s)| (distance(end, s, freedoms, walked), branch, i)));
    }
    pairs.retain(|(apart, ..)| *apart < LEAP);
    pairs.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut taken: Vec<Option<usize>> = vec![None; here.len()];
    for (_, branch, i) in pairs {
        if taken[i].is_none() && !taken.contains(&Some(branch)) {
            taken[i] = Some(branch);
        }
    }
    let mut alive = Vec::with_capacity(here.len());
    for (solution, branch) in here.iter().zip(taken) {
        if let Some((branch, known)) = branch.and_then(|branch| Some((branch, branches.get_mut(branch)?))) {
            known.push(*solution);
            alive.push(branch);
        } else {
            alive.push(branches.len());
            branches.push(vec![*solution]);
        }
    }
    alive
}

/// How far apart two answers are in all but what is walked, each quantity measured by its range.
fn distance(a: &Solution, b: &Solution, freedoms: &[DegreeOfFreedom<'_>], walked: Quantity) -> f64 {
    freedoms
        .iter()
        .filter(|one| one.what != walked)
        .map(|one| {
            let apart = a.value_of(one.what).zip(b.value_of(one.what)).map_or(0.0, |(a, b)| (a - b).abs());
            apart / (one.most - one.least).max(1e-9)
        })
        .fold(0.0, f64::max)
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]
mod tests {
    use super::*;
    use crate::{
        math::{angle::Angle, quantity::Quantity},
        parts::{
            edge_section::EdgeSection,
            oblique::Presentation,
            support::{Arm, Travel},
            wheel::Face,
        },
        side::{
            inverse::Target,
            setting::{Setting, Support},
        },
        solve::wing_target::WingTarget,
    };
    use glam::dvec2;

    /// A cup that passes under the wheel: a tool's length leaves two reaches, as far before the wheel's middle as behind.
    fn under_the_wheel() -> Question {
        let travel = Travel { least_mm: 0.0, most_mm: 400.0 };
        let setting = Setting {
            face: Face::Round { radius_mm: 75.0 },
            edge: EdgeSection { height_mm: -3.0, under_mm: 4.0 },
            obliquity: Angle::QUARTER,
            presentation: Presentation::AxisInSidePlane,
            support: Support::Handle {
                arm: Arm::new(dvec2(-143.0, -215.0), Angle::ZERO, travel).unwrap(),
                reach_mm: 170.0,
                tool_length_mm: 180.0,
            },
        };
        let bevel = Target::AtEdge(setting.evaluate().unwrap().bevel());
        Question { setting, bevel, wing: None, rolling: None }
    }

    #[test]
    fn two_reaches_of_each_length_make_two_branches_that_meet() {
        let question = under_the_wheel();
        let free = [
            DegreeOfFreedom::on_travel(&question.setting, Quantity::Reach).unwrap(),
            DegreeOfFreedom::within(Quantity::ToolLength, 150.0, 230.0),
        ];
        let found = question.solve(&free).unwrap();
        let family = question.family(&free, &found).unwrap();
        assert_eq!(family.walked, Quantity::ToolLength);
        assert_eq!(family.branches.len(), 2);
        let mut ends = Vec::new();
        for branch in &family.branches {
            let place = |one: &Solution| {
                (one.value_of(family.walked).unwrap(), one.setting.value_of(Quantity::Reach).unwrap())
            };
            assert!(branch.iter().all(|one| one.bevel_off.degrees().abs() < 1e-8));
            // Lengths between those asked for, and a branch stays on its side of the wheel's middle.
            assert!(branch.iter().all(|one| (150.0 - 1e-9..=230.0 + 1e-9).contains(&place(one).0)));
            assert!(branch.windows(2).all(|pair| place(&pair[0]).0 < place(&pair[1]).0));
            assert!(branch.windows(2).all(|pair| {
                (place(&pair[0]).1 - 143.0).signum() == (place(&pair[1]).1 - 143.0).signum()
                    && distance(&pair[0], &pair[1], &free, family.walked) < LEAP
            }));
            ends.push(place(&branch[0]));
        }
        // The branches are mirror images, and begin where they meet: at the middle.
        assert!((ends[0].0 - ends[1].0).abs() < 1e-6, "{ends:?}");
        assert!((ends[0].1 + ends[1].1 - 286.0).abs() < 1e-6, "{ends:?}");
        assert!((ends[0].1 - 143.0).abs() < 3.0, "{ends:?}");
        let sampled = found.family.len();
        let kept: usize = family.branches.iter().map(Vec::len).sum();
        assert!(kept >= sampled && kept <= sampled + 4);
        // Before the middle a branch ends where the arm does, behind it where the walk does.
        for branch in &family.branches {
            let last = branch.last().unwrap();
            let (length, reach) =
                (last.value_of(family.walked).unwrap(), last.setting.value_of(Quantity::Reach).unwrap());
            if reach < 143.0 {
                assert!(reach.abs() < 1e-3 && length < 229.0, "{reach} {length}");
            } else {
                assert!((length - 230.0).abs() < 1e-9, "{reach} {length}");
            }
        }
    }

    #[test]
    fn the_distance_of_answers_is_the_largest_relative_difference() {
        let question = under_the_wheel();
        let exact = |reach: f64, length: f64, centre: f64| {
            let setting = question
                .setting
                .with(Quantity::Reach, reach)
                .unwrap()
                .with(Quantity::ToolLength, length)
                .unwrap();
            let view = question.setting.evaluate().unwrap();
            let none = Angle::ZERO;
            Solution {
                setting,
                view,
                roll_centre_mm: Some(centre),
                bevel_off: none,
                wing_off: 0.0,
                cost: 0.0,
            }
        };
        let free = [
            DegreeOfFreedom::within(Quantity::Reach, 100.0, 300.0),
            DegreeOfFreedom::within(Quantity::ToolLength, 150.0, 230.0),
            DegreeOfFreedom::within(Quantity::RollCentre, 5.0, 15.0),
        ];
        let (a, b) = (exact(150.0, 160.0, 6.0), exact(190.0, 200.0, 7.0));
        // Derived here: 40 of 200, 40 of 80, 1 of 10.
        for (walked, apart) in
            [(Quantity::RollCentre, 0.5), (Quantity::ToolLength, 0.2), (Quantity::Reach, 0.5)]
        {
            assert!((distance(&a, &b, &free, walked) - apart).abs() < 1e-12);
            assert!((distance(&b, &a, &free, walked) - apart).abs() < 1e-12);
            assert!(distance(&a, &a, &free, walked).abs() < 1e-12);
        }
    }

    #[test]
    fn only_one_surplus_quantity_is_walked() {
        let plain = under_the_wheel();
        let winged = Question { wing: Some(WingTarget::Sweep { mm: 8.0 }), ..plain };
        let [reach, length, wheel, centre] =
            [Quantity::Reach, Quantity::ToolLength, Quantity::WheelDiameter, Quantity::RollCentre]
                .map(|what| DegreeOfFreedom::within(what, 100.0, 200.0));
        assert_eq!(plain.walked(&[]), None);
        assert_eq!(plain.walked(&[reach]), None);
        assert_eq!(plain.walked(&[reach, length]), Some(length.what));
        assert_eq!(plain.walked(&[reach, length, wheel]), None);
        assert_eq!(winged.walked(&[reach]), None);
        assert_eq!(winged.walked(&[reach, length]), None);
        assert_eq!(winged.walked(&[reach, length, wheel, centre]), None);
        // The dearest; of two as dear the one that is solved for the readiest.
        assert_eq!(winged.walked(&[reach, centre, length]), Some(length.what));
        assert_eq!(winged.walked(&[reach, wheel, length]), Some(length.what));
        let cheap = DegreeOfFreedom { weight: 0.1, ..length };
        assert_eq!(winged.walked(&[reach, cheap, centre]), Some(centre.what));
        // What has stops is tried at each of them, and does not count.
        let stops = [160.0, 180.0];
        assert_eq!(plain.walked(&[reach, length.at_stops(&stops)]), None);
        assert_eq!(plain.walked(&[reach, wheel, length.at_stops(&stops)]), Some(wheel.what));
    }
}
