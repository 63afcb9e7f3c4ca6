//! What must be set for a bevel and a wing: some things pinned, some free, every answer listed.
//!
//! A target bevel is always met in closed form by one of the free quantities ([`Setting::find`]). What is left is
//! nothing, one number, or a curve:
//!
//! * as many free quantities as targets: bevel alone in closed form; bevel and wing by walking the curve of settings that
//!   grind the bevel and finding every place where the wing is right;
//! * one more: the whole curve is the answer, sampled ([`Solutions::family`]);
//! * fewer: the nearest settings are listed with what they miss ([`Solutions::near`]).
//!
//! A thing with stops (a strut with rests, stop blocks for the projection) is no free number: each stop is tried.
//!
//! # Why no answer is missed
//! The curve is walked in one parameter, chosen so that the other follows without a fold: with the reach free, the
//! wing depends on the pivot's place in the tool and the bevel only (roll-line theorem), not on which of the arm's
//! two reaches gives the distance; a projection enters the triangle by a quadratic of which one root is positive.
//! Along the walk the difference to the wanted wing is smooth but for jumps of the edge. Between two samples it can
//! change sign (bracketed and narrowed), touch or dip through nothing (every least value is narrowed until its sign
//! changes or it is a least value indeed), or end (the end is narrowed and taken as a sample, and so are both sides of a
//! jump). What remains is two turning points inside one step; a test walks a hundred times more finely and finds none,
//! and of a million planted settings none is missed.

use crate::{
    math::{angle::Angle, quantity::Quantity, walk::each_root},
    side::{
        inverse::Target,
        refusal::Refusal,
        setting::{Setting, SideView},
    },
    solve::{
        freedom::{DegreeOfFreedom, by_walk, rank},
        solution::{FAMILY_SAMPLES, MET, Solution, Solutions, SolveError},
        wing_target::{Rolling, WingTarget},
    },
    swept::nose::nose_stays,
};

/// What is wanted of a setting.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Question {
    /// The setting as it stands; what is pinned stays as it is here.
    pub setting: Setting,
    /// The bevel.
    pub bevel: Target,
    /// The wing.
    pub wing: Option<WingTarget>,
    /// How the tool is rolled; needed for a wing.
    pub rolling: Option<Rolling>,
}

/// Steps of a walk along the curve of settings of one bevel.
const STEPS: u32 = 40;
/// The most settings listed as near.
const MOST_NEAR: usize = 8;

impl Question {
    /// By how much the wing is off with this bevel at the edge.
    fn wing_off(&self, bevel: Angle) -> Option<f64> {
        self.wing?.off(&self.setting, self.rolling.as_ref()?, bevel)
    }

    /// Every answer with these quantities free.
    ///
    /// # Errors
    /// [`SolveError`].
    pub fn solve(&self, freedoms: &[DegreeOfFreedom<'_>]) -> Result<Solutions, SolveError> {
        self.setting.check_numbers()?;
        self.possible(freedoms)?;
        if self.wing.is_some() && self.rolling.is_none() {
            return Err(SolveError::NotRolled);
        }
        for (i, one) in freedoms.iter().enumerate() {
            let twice = freedoms[..i].iter().any(|other| other.what == one.what);
            let missing = self.value_of(one.what).is_none();
            let range = one.least.is_finite() && one.most.is_finite() && one.least <= one.most;
            if twice || missing || !range || !one.weight.is_finite() {
                return Err(SolveError::NotARange(one.what));
            }
        }
        let targets = 1 + usize::from(self.wing.is_some());
        let free = freedoms.iter().filter(|one| one.stops.is_none()).count();
        if free > targets + 1 {
            return Err(SolveError::TooManyFreedoms { free, targets });
        }
        let mut found = Solutions::default();
        self.try_stops(freedoms, &mut found);
        self.set_aside_lost_noses(&mut found);
        let all = found.answers.iter_mut().chain(&mut found.family).chain(&mut found.near);
        for solution in all.chain(&mut found.nose_gone) {
            solution.cost = self.cost(solution, freedoms);
        }
        found.answers.sort_by(|a, b| a.cost.total_cmp(&b.cost));
        if found.answers.is_empty() && found.family.is_empty() {
            // Degrees of bevel and millimetres of wing count alike.
            let off = |s: &Solution| s.bevel_off.degrees().abs() + s.wing_off.abs();
            found.near.sort_by(|a, b| off(a).total_cmp(&off(b)).then(a.cost.total_cmp(&b.cost)));
            found.near.truncate(MOST_NEAR);
            found.short.sort_by(|a, b| a.by().total_cmp(&b.by()));
        } else {
            found.near.clear();
            found.short.clear();
        }
        found.nose_gone.sort_by(|a, b| a.cost.total_cmp(&b.cost));
        Ok(found)
    }

    /// Takes settings whose nose the swing cuts off out of what is offered.
    fn set_aside_lost_noses(&self, found: &mut Solutions) {
        let Some(rolling) = self.rolling else { return };
        let stays = |solution: &Solution| {
            let roll_centre_mm = solution.roll_centre_mm.unwrap_or(rolling.roll_centre_mm);
            let rolling = Rolling { roll_centre_mm, ..rolling };
            rolling
                .rolled(&solution.setting, solution.view.bevel())
                .is_none_or(|grind| nose_stays(&grind, &rolling.steel))
        };
        let lost = &mut found.nose_gone;
        found.answers.retain(|solution| {
            stays(solution) || {
                lost.push(*solution);
                false
            }
        });
        found.family.retain(|solution| {
            stays(solution) || {
                lost.push(*solution);
                false
            }
        });
        found.near.retain(stays);
    }

    /// What moving to a solution costs from the setting as it stands.
    pub(crate) fn cost(&self, solution: &Solution, freedoms: &[DegreeOfFreedom<'_>]) -> f64 {
        let moved = |one: &DegreeOfFreedom<'_>| {
            let before = self.value_of(one.what);
            before.zip(solution.value_of(one.what)).map_or(0.0, |(before, after)| (after - before).abs())
        };
        freedoms.iter().map(|one| one.weight * moved(one)).sum()
    }

    /// The value of something as it stands, in millimetres or degrees.
    #[must_use]
    pub fn value_of(&self, what: Quantity) -> Option<f64> {
        match what {
            Quantity::RollCentre => self.rolling.map(|rolling| rolling.roll_centre_mm),
            _ => self.setting.value_of(what),
        }
    }

    /// The question with something set to a value.
    pub(crate) fn with(&self, what: Quantity, value: f64) -> Option<Self> {
        let mut moved = *self;
        match what {
            Quantity::RollCentre => moved.rolling.as_mut()?.roll_centre_mm = value,
            _ => moved.setting = self.setting.with(what, value)?,
        }
        Some(moved)
    }

    /// Tries every stop of what has stops, then solves for what is left.
    fn try_stops(&self, freedoms: &[DegreeOfFreedom<'_>], found: &mut Solutions) {
        let Some(stepped) = freedoms.iter().position(|one| one.stops.is_some()) else {
            self.solve_free(freedoms, found);
            return;
        };
        let one = freedoms[stepped];
        let rest: Vec<DegreeOfFreedom<'_>> =
            freedoms.iter().enumerate().filter(|(i, _)| *i != stepped).map(|(_, one)| *one).collect();
        for &stop in one.stops.unwrap_or_default() {
            if one.holds(stop)
                && let Some(pinned) = self.with(one.what, stop)
            {
                pinned.try_stops(&rest, found);
            }
        }
    }

    /// What a family is walked by, where these things leave one: one more is free than there are targets, things with
    /// stops not counted.
    #[must_use]
    pub fn walked(&self, freedoms: &[DegreeOfFreedom<'_>]) -> Option<Quantity> {
        let free: Vec<&DegreeOfFreedom<'_>> = freedoms.iter().filter(|one| one.stops.is_none()).collect();
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

    fn solve_free(&self, freedoms: &[DegreeOfFreedom<'_>], found: &mut Solutions) {
        match (self.wing.is_some(), freedoms) {
            (_, []) => self.offer_as_it_is(found),
            (false, [one]) => self.solve_bevel(one, found, &mut |found, solution| {
                found.answers.push(solution);
            }),
            (true, [one]) => {
                self.solve_bevel(one, found, &mut |found, solution| found.offer(&solution));
            }
            (false, [a, b]) => {
                let (x, y) = by_walk(a, b);
                for i in 0..=FAMILY_SAMPLES {
                    let value = x.least + (x.most - x.least) * f64::from(i) / f64::from(FAMILY_SAMPLES);
                    if let Some(pinned) = self.with(x.what, value) {
                        pinned.solve_bevel(y, found, &mut |found, solution| found.family.push(solution));
                    }
                }
            }
            (true, [a, b]) => self.solve_both(a, b, found),
            (true, [_, _, _]) => {
                let Some(walked) = self.walked(freedoms) else { return };
                let mut others = freedoms.iter().filter(|one| one.what != walked);
                let Some(x) = freedoms.iter().find(|one| one.what == walked) else { return };
                let (Some(a), Some(b)) = (others.next(), others.next()) else { return };
                for i in 0..=FAMILY_SAMPLES {
                    let value = x.least + (x.most - x.least) * f64::from(i) / f64::from(FAMILY_SAMPLES);
                    let Some(pinned) = self.with(x.what, value) else { continue };
                    let mut here = Solutions::default();
                    pinned.solve_both(a, b, &mut here);
                    found.family.append(&mut here.answers);
                }
            }
            _ => {}
        }
    }

    fn solution(&self, view: &SideView) -> Option<Solution> {
        let meant = self.setting.bevel_meant(self.bevel).ok()?;
        let wing_off = if self.wing.is_some() { self.wing_off(meant)? } else { 0.0 };
        Some(Solution {
            setting: self.setting,
            view: *view,
            roll_centre_mm: self.rolling.map(|rolling| rolling.roll_centre_mm),
            bevel_off: view.bevel() - meant,
            wing_off,
            cost: 0.0,
        })
    }

    /// Nothing is free: the setting as it stands.
    fn offer_as_it_is(&self, found: &mut Solutions) {
        let Ok(view) = self.setting.evaluate() else { return };
        // The wing that this very bevel gets, not the wanted one.
        let real = Self { bevel: Target::AtEdge(view.bevel()), ..*self };
        let Some(mut solution) = real.solution(&view) else { return };
        let Ok(meant) = self.setting.bevel_meant(self.bevel) else { return };
        solution.bevel_off = view.bevel() - meant;
        found.offer(&solution);
    }

    /// One quantity free for the bevel.
    fn solve_bevel(
        &self,
        one: &DegreeOfFreedom<'_>,
        found: &mut Solutions,
        take: &mut dyn FnMut(&mut Solutions, Solution),
    ) {
        let free = one.what;
        if free == Quantity::RollCentre {
            // A roll centre does not move the bevel: with a wing it is fitted, if the bevel is right as it is.
            if let Ok(view) = self.setting.evaluate()
                && let Ok(meant) = self.setting.bevel_meant(self.bevel)
                && (view.bevel() - meant).abs().degrees() < 1e-9
                && self.wing.is_some()
            {
                self.walk(one, None, found);
            } else {
                self.offer_as_it_is(found);
            }
            return;
        }
        let mut any = false;
        for (value, solution) in self.bevel_answers(free) {
            if one.holds(value) && solution.setting.check_travel().is_ok() {
                any = true;
                take(found, solution);
            } else {
                found.short.push(one.short(value));
            }
        }
        if !any {
            self.closest(one, found);
        }
    }

    /// Every value of one input that grinds the bevel, on the travel or not, the smaller first.
    fn bevel_values(&self, free: Quantity) -> [Option<f64>; 2] {
        // The target across the facet means another bevel at the edge on each wheel.
        if free == Quantity::WheelDiameter && matches!(self.bevel, Target::AcrossFacet(_)) {
            return self.wheels_across();
        }
        let mut values = [None; 2];
        if let Ok(answers) = self.setting.find(self.bevel, free) {
            for (place, answer) in values.iter_mut().zip(answers.all()) {
                *place = Some(answer.value);
            }
        }
        if let [Some(a), Some(b)] = values
            && b < a
        {
            values = [Some(b), Some(a)];
        }
        values
    }

    /// The settings at those values.
    fn bevel_answers(&self, free: Quantity) -> impl Iterator<Item = (f64, Solution)> + use<> {
        let question = *self;
        self.bevel_values(free).into_iter().flatten().filter_map(move |value| {
            let moved = question.with(free, value)?;
            Some((value, moved.solution(&moved.setting.evaluate_off_travel().ok()?)?))
        })
    }

    /// Wheel diameters whose bevel across the facet is the wanted one, by a scan of 200 and halving.
    fn wheels_across(&self) -> [Option<f64>; 2] {
        let mut found = [None; 2];
        let Some(now) = self.setting.value_of(Quantity::WheelDiameter) else { return found };
        let off = |diameter: f64| {
            let setting = self.setting.with(Quantity::WheelDiameter, diameter)?;
            let meant = setting.bevel_meant(self.bevel).ok()?;
            Some((setting.evaluate_off_travel().ok()?.bevel() - meant).radians())
        };
        let mut count = 0;
        each_root(&off, now * 0.2, now * 2.2, 200, &mut |root| {
            if count < 2 {
                found[count] = Some(root);
                count += 1;
            }
        });
        found
    }

    /// The nearest that one free input comes to the bevel within its range.
    fn closest(&self, one: &DegreeOfFreedom<'_>, found: &mut Solutions) {
        let free = one.what;
        if free == Quantity::RollCentre {
            return;
        }
        let off = |value: f64| -> Option<f64> {
            let setting = self.setting.with(free, value)?;
            let meant = setting.bevel_meant(self.bevel).ok()?;
            Some((setting.evaluate().ok()?.bevel() - meant).abs().radians())
        };
        let step = (one.most - one.least) / f64::from(STEPS);
        let samples = (0..=STEPS).map(|i| one.least + step * f64::from(i));
        let best = samples.filter_map(|x| off(x).map(|off| (x, off))).min_by(|a, b| a.1.total_cmp(&b.1));
        let Some((mut at, mut least)) = best else { return };
        let (mut low, mut high) = ((at - step).max(one.least), (at + step).min(one.most));
        for _ in 0..60 {
            let third = (high - low) / 3.0;
            let (a, b) = (low + third, high - third);
            let (fa, fb) = (off(a).unwrap_or(f64::INFINITY), off(b).unwrap_or(f64::INFINITY));
            let (x, f) = if fa < fb { (a, fa) } else { (b, fb) };
            if fa < fb {
                high = b;
            } else {
                low = a;
            }
            if f < least {
                (at, least) = (x, f);
            }
        }
        // A best value at the very end is the end.
        for end in [one.least, one.most] {
            if off(end).is_some_and(|off| off <= least + 1e-12) {
                at = end;
            }
        }
        if let Some(moved) = self.with(one.what, at) {
            let mut here = Solutions::default();
            moved.offer_as_it_is(&mut here);
            found.near.append(&mut here.near);
            found.near.append(&mut here.answers);
        }
    }

    /// Two quantities free for bevel and wing.
    fn solve_both(&self, a: &DegreeOfFreedom<'_>, b: &DegreeOfFreedom<'_>, found: &mut Solutions) {
        let (x, y) = by_walk(a, b);
        self.walk(x, Some(y), found);
    }

    /// Walks `x` over its range, the bevel kept by `y`, and takes every place where the wing is right.
    fn walk(&self, x: &DegreeOfFreedom<'_>, y: Option<&DegreeOfFreedom<'_>>, found: &mut Solutions) {
        let kept = y.map(|y| y.what).filter(|what| *what != Quantity::RollCentre);
        // With the reach free the wing does not depend on it; nor with nothing moved along.
        let direct = kept.is_none_or(|free| free == Quantity::Reach);
        let branches = if direct { 1 } else { 2 };
        let before = found.answers.len();
        for branch in 0..branches {
            let here = |value: f64| -> Option<Self> {
                let moved = self.with(x.what, value)?;
                if direct {
                    return Some(moved);
                }
                let value = match (branch, moved.bevel_values(kept?)) {
                    (0, [Some(less), Some(_)]) => less,
                    // A single answer belongs to the greater branch: the smaller one has left through zero.
                    (1, [_, Some(more)] | [Some(more), None]) => more,
                    _ => return None,
                };
                moved.with(kept?, value)
            };
            let off = |value: f64| -> Option<f64> {
                let question = here(value)?;
                question.wing_off(question.setting.bevel_meant(question.bevel).ok()?)
            };
            let mut least: Option<(f64, f64)> = None;
            each_root(&off, x.least, x.most, STEPS, &mut |root| {
                if let Some(question) = here(root) {
                    question.take(y, kept, found);
                }
            });
            if found.answers.len() == before {
                for i in 0..=STEPS {
                    let value = x.least + (x.most - x.least) * f64::from(i) / f64::from(STEPS);
                    if let Some(off) = off(value).map(f64::abs)
                        && least.is_none_or(|(_, best)| off < best)
                    {
                        least = Some((value, off));
                    }
                }
                if let Some(question) = least.and_then(|(value, _)| here(value)) {
                    question.take(y, kept, found);
                }
            }
        }
    }

    /// Lists what meets both targets here: the bevel by the thing that is moved along.
    fn take(&self, y: Option<&DegreeOfFreedom<'_>>, kept: Option<Quantity>, found: &mut Solutions) {
        let (Some(y), Some(free)) = (y, kept) else {
            self.offer_as_it_is(found);
            return;
        };
        let list = |value: f64, solution: Solution, found: &mut Solutions| {
            if y.holds(value) && solution.setting.check_travel().is_ok() {
                found.offer(&solution);
            } else if solution.wing_off.abs() < MET {
                found.short.push(y.short(value));
            }
        };
        if free == Quantity::Reach {
            for (value, solution) in self.bevel_answers(free) {
                list(value, solution, found);
            }
        } else if let Ok(view) = self.setting.evaluate_off_travel()
            && let Some(solution) = self.solution(&view)
            && let Some(value) = self.setting.value_of(free)
        {
            list(value, solution, found);
        }
    }

    /// Refuses a bevel that no facet has. One across the facet that the present wheel cannot give is left to another
    /// wheel, where that is free.
    fn possible(&self, freedoms: &[DegreeOfFreedom<'_>]) -> Result<(), Refusal> {
        let other_wheel = freedoms.iter().any(|one| one.what == Quantity::WheelDiameter);
        match self.setting.bevel_meant(self.bevel) {
            Err(Refusal::NoHeel(_)) if other_wheel => Ok(()),
            meant => meant.map(|_| ()),
        }
    }
}
