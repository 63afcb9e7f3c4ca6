//! A family of answers as curves: where one thing more is free than is needed, the settings that meet every target lie
//! on curves along which one may go.
//!
//! One of the free things is walked ([`Question::walked`]); for each of its values the others follow, in none, one or
//! several ways. Ways that go on from step to step make a branch; a branch ends where one of its things meets its limit,
//! or where two branches meet, and that end is narrowed.

use crate::{
    Loose, Movable, Question, Solution, Solutions,
    loose::{by_walk, rank},
};

/// Samples of a family.
pub(crate) const FAMILY: u32 = 60;
/// A branch is not followed over a greater jump than this share of a thing's range.
const LEAP: f64 = 0.35;
/// Halvings of the last step of a branch.
const HALVINGS: u32 = 14;

/// The curves of a family.
#[derive(Debug, Clone, PartialEq)]
pub struct Family {
    /// What is walked; the other free things follow from it.
    pub walked: Movable,
    /// The branches, each in rising order of what is walked, none empty.
    pub branches: Vec<Vec<Solution>>,
}

impl Question {
    /// What a family is walked by, where these things leave one: one more is free than there are targets, things with
    /// stops not counted.
    #[must_use]
    pub fn walked(&self, loose: &[Loose<'_>]) -> Option<Movable> {
        let free: Vec<&Loose<'_>> = loose.iter().filter(|one| one.stops.is_none()).collect();
        match (self.wing.is_some(), free.as_slice()) {
            (false, [a, b]) => Some(by_walk(a, b).0.what),
            // The dearest is stepped through; the other two meet the targets.
            (true, [..]) if free.len() == 3 => free
                .into_iter()
                .max_by(|a, b| a.weight.total_cmp(&b.weight).then(rank(b.what).cmp(&rank(a.what))))
                .map(|one| one.what),
            _ => None,
        }
    }

    /// The family that was found, as curves; `None` without one.
    #[must_use]
    pub fn family(&self, loose: &[Loose<'_>], found: &Solutions) -> Option<Family> {
        let walked = self.walked(loose)?;
        let one = loose.iter().find(|one| one.what == walked)?;
        let step = (one.most - one.least) / f64::from(FAMILY);
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
            live = go_on(&mut branches, &live, here, loose, walked);
        }
        for branch in &mut branches {
            for forwards in [false, true] {
                self.narrow_end(branch, loose, one, step, forwards);
            }
        }
        (!branches.is_empty()).then_some(Family { walked, branches })
    }

    /// The answer with what is walked at a value that is nearest to another answer.
    #[must_use]
    pub fn member(&self, loose: &[Loose<'_>], value: f64, near: &Solution) -> Option<Solution> {
        let walked = self.walked(loose)?;
        let mut pinned = self.with(walked, value)?;
        let mut free = Vec::with_capacity(loose.len());
        for one in loose.iter().filter(|one| one.what != walked) {
            if one.stops.is_some() {
                pinned = pinned.with(one.what, near.value_of(one.what)?)?;
            } else {
                free.push(*one);
            }
        }
        let found = pinned.solve(&free).ok()?;
        let apart = |solution: &Solution| distance(solution, near, loose, walked);
        let mut best = found.answers.into_iter().min_by(|a, b| apart(a).total_cmp(&apart(b)))?;
        best.cost = self.cost(&best, loose);
        Some(best)
    }

    /// Goes from the last sample of a branch on to where it ends, within one step.
    fn narrow_end(
        &self,
        branch: &mut Vec<Solution>,
        loose: &[Loose<'_>],
        one: &Loose<'_>,
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
            match self.member(loose, middle, near) {
                Some(member) if distance(&member, near, loose, one.what) < LEAP => {
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
    loose: &[Loose<'_>],
    walked: Movable,
) -> Vec<usize> {
    let mut pairs: Vec<(f64, usize, usize)> = Vec::with_capacity(live.len() * here.len());
    for &branch in live {
        let Some(end) = branches.get(branch).and_then(|b| b.last()) else { continue };
        pairs.extend(here.iter().enumerate().map(|(i, s)| (distance(end, s, loose, walked), branch, i)));
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

/// How far apart two answers are in all but what is walked, each thing measured by its range.
fn distance(a: &Solution, b: &Solution, loose: &[Loose<'_>], walked: Movable) -> f64 {
    loose
        .iter()
        .filter(|one| one.what != walked)
        .map(|one| {
            let apart = a.value_of(one.what).zip(b.value_of(one.what)).map_or(0.0, |(a, b)| (a - b).abs());
            apart / (one.most - one.least).max(1e-9)
        })
        .fold(0.0, f64::max)
}
