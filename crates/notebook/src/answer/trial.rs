//! Trial grinds kept on a bench: settings as they were set, with the bevel that was measured on what each ground; from them
//! the hidden dimensions of a rig, what to try next, and the rig as fitted.

use bevelbench_geometry::{
    math::{Angle, Quantity},
    side::{Support, Target},
    solve::{FitRefusal, FittedRig, Trial, fit_rig},
};

use crate::{
    answer::{bench::Unanswered, readings::readings},
    saved::{
        bench::Bench,
        id::Id,
        setting::SupportSaved,
        table::{self, Place},
    },
};

/// The trials of a wheel that count, with their places on the bench.
#[derive(Debug, Clone, PartialEq)]
pub struct Counted {
    /// Their places among the bench's trials.
    pub places: Vec<usize>,
    /// The trials.
    pub trials: Vec<Trial>,
}

/// The trials on a wheel whose bevel was measured.
///
/// # Errors
/// The place of the first trial that describes no job, and why.
pub fn counted(bench: &Bench, wheel: Id) -> Result<Counted, (usize, Unanswered)> {
    let mut found = Counted { places: Vec::new(), trials: Vec::new() };
    for (place, saved) in bench.trials.iter().enumerate() {
        let Some(bevel_deg) = saved.bevel_deg.filter(|_| saved.setting.wheel == wheel) else { continue };
        let job = bench.job_of(&saved.setting).map_err(|why| (place, why))?;
        let bevel = Angle::from_degrees(bevel_deg);
        found.places.push(place);
        found.trials.push(Trial {
            setting: job.setting,
            measured: saved.meant.target(bevel, &job).map_err(|why| (place, why.into()))?,
            half_width: Angle::from_degrees(saved.plus_minus_deg),
            readings: readings(bench, &saved.setting),
        });
    }
    Ok(found)
}

/// The holders of the trials on a wheel, each once.
#[must_use]
pub fn holders_of(bench: &Bench, wheel: Id) -> Vec<Id> {
    let mut all: Vec<Id> = bench
        .trials
        .iter()
        .filter(|trial| trial.setting.wheel == wheel && trial.bevel_deg.is_some())
        .filter_map(|trial| match trial.setting.support {
            SupportSaved::Holder { holder, .. } => Some(holder),
            _ => None,
        })
        .collect();
    all.sort_unstable();
    all.dedup();
    all
}

/// A trial that would make the dimensions surer.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Next {
    /// What is to be different from the last trial.
    pub free: Quantity,
    /// Its value, in millimetres or degrees.
    pub value: f64,
    /// The dimension that is least sure today.
    pub least_sure: Quantity,
    /// Its ± with that trial besides, in millimetres.
    pub then_mm: f64,
}

/// Of the trials that could be ground next with the last one's tool, the one that would make the least sure dimension
/// surest; `None` where none helps by a tenth. What it would come to is computed with the rig as it is thought to be.
#[must_use]
pub fn best_next(trials: &[Trial], hidden: &[Quantity], fit: &FittedRig) -> Option<Next> {
    let last = trials.last()?;
    let worst = fit.dimensions.iter().max_by(|a, b| a.standard_mm.total_cmp(&b.standard_mm))?;
    let mut best: Option<Next> = None;
    for (free, value) in candidates(&last.setting.support) {
        let Some(setting) = last.setting.with(free, value).filter(|s| s.evaluate().is_ok()) else { continue };
        let Ok(view) = setting.evaluate() else { continue };
        let mut all = trials.to_vec();
        all.push(Trial { setting, measured: Target::AtEdge(view.bevel()), ..last.clone() });
        let Ok(then) = fit_rig(&all, hidden) else { continue };
        let Some(same) = then.dimensions.iter().find(|one| one.hidden == worst.hidden) else { continue };
        let then_mm = same.expanded_mm();
        if then_mm < 0.9 * worst.expanded_mm() && best.is_none_or(|best| then_mm < best.then_mm) {
            best = Some(Next { free, value, least_sure: worst.hidden, then_mm });
        }
    }
    best
}

/// Values that a support could take instead of its own.
fn candidates(support: &Support) -> Vec<(Quantity, f64)> {
    let mut all = Vec::new();
    let (arm, reach_mm) = match support {
        Support::Handle { arm, reach_mm, .. } | Support::Holder { arm, reach_mm, .. } => (arm, *reach_mm),
        Support::Table { .. } => return all,
    };
    let travel = arm.travel();
    all.extend(
        [-40.0, -20.0, 20.0, 40.0]
            .map(|by| reach_mm + by)
            .into_iter()
            .filter(|reach| travel.holds(*reach))
            .map(|reach| (Quantity::Reach, reach)),
    );
    if let Support::Holder { holder, projection_mm, strut_angle, .. } = support {
        all.extend([-20.0, 20.0].map(|by| (Quantity::Projection, (projection_mm + by).max(10.0))));
        let travel = holder.spec().strut_angle;
        all.extend(
            [-20.0, -10.0, 10.0, 20.0]
                .map(|by| *strut_angle + Angle::from_degrees(by))
                .into_iter()
                .filter(|angle| travel.holds(*angle))
                .map(|angle| (Quantity::StrutAngle, angle.degrees())),
        );
    }
    all
}

/// Why a wheel's rig is not fitted.
#[derive(Debug, Clone, PartialEq)]
pub enum NoFit {
    /// A trial describes no job.
    Trial(usize, Unanswered),
    /// The holder's dimensions are asked for and the trials were ground in several.
    SeveralHolders,
    /// The mathematics refuses.
    Refused(FitRefusal),
}

/// A wheel's arm, and the holder of its trials, fitted to the trials on it.
///
/// # Errors
/// [`NoFit`].
pub fn fit_wheel(bench: &Bench, wheel: Id, hidden: &[Quantity]) -> Result<(Counted, FittedRig), NoFit> {
    let counted = counted(bench, wheel).map_err(|(place, why)| NoFit::Trial(place, why))?;
    let of_holder = |hidden: &Quantity| !matches!(hidden, Quantity::ArmZeroX | Quantity::ArmZeroZ);
    if hidden.iter().any(of_holder) && holders_of(bench, wheel).len() > 1 {
        return Err(NoFit::SeveralHolders);
    }
    let fit = fit_rig(&counted.trials, hidden).map_err(NoFit::Refused)?;
    Ok((counted, fit))
}

/// Puts what was fitted into the bench.
pub fn apply_fit(bench: &mut Bench, wheel: Id, fit: &FittedRig) {
    let holders = holders_of(bench, wheel);
    for one in &fit.dimensions {
        let value = (one.is_mm * 100.0).round() / 100.0;
        for rig in &mut bench.rigs {
            if !rig.wheels.iter().any(|each| each.id == wheel) {
                continue;
            }
            let put = |place: Option<&mut f64>| {
                if let Some(place) = place {
                    *place = value;
                }
            };
            match table::row(one.hidden).map(|row| row.place) {
                Some(Place::Wheel(lens)) => {
                    let wheels = rig.wheels.iter_mut().filter(|each| each.id == wheel);
                    wheels.for_each(|wheel| put((lens.place)(wheel)));
                }
                Some(Place::Holder(lens)) => {
                    let holders = rig.holders.iter_mut().filter(|each| holders.contains(&each.id));
                    holders.for_each(|holder| put((lens.place)(holder)));
                }
                _ => {}
            }
        }
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]
mod tests {
    use super::*;
    use crate::saved::library::demo_bench;
    use crate::saved::target::BevelMeant;
    use crate::saved::trial::TrialSaved;

    /// Trials ground on a rig whose arm stands elsewhere than the bench says.
    fn trials(bench: &Bench, off: [f64; 2], reaches: &[f64]) -> Vec<TrialSaved> {
        let entry = bench.setting_named("Long grind, 85 mm").unwrap();
        let mut truth = bench.clone();
        let wheel = truth.rigs.iter_mut().flat_map(|rig| &mut rig.wheels).find(|w| w.id == entry.wheel);
        let arm = wheel.unwrap().arm.as_mut().unwrap();
        arm.zero_x_mm += off[0];
        arm.zero_z_mm += off[1];
        let set = |reach: f64| {
            let mut setting = entry.clone();
            let SupportSaved::Holder { reach_mm, .. } = &mut setting.support else { panic!("a holder") };
            *reach_mm = reach;
            let (_, view) = truth.answer(&setting).unwrap();
            TrialSaved { bevel_deg: Some(view.facet.across.degrees()), ..TrialSaved::of(setting) }
        };
        reaches.iter().map(|reach| set(*reach)).collect()
    }

    // Planted: an arm 3 mm further out and 2 mm lower than it was thought to be is found from what it grinds.
    #[test]
    fn an_arm_that_stands_elsewhere_is_found_and_put_right() {
        let mut bench = demo_bench().unwrap();
        bench.trials = trials(&bench, [3.0, -2.0], &[165.0, 175.0, 185.0, 195.0, 205.0]);
        let wheel = bench.trials[0].setting.wheel;
        let hidden = [Quantity::ArmZeroX, Quantity::ArmZeroZ];
        for trial in &mut bench.trials {
            trial.plus_minus_deg = 0.02;
        }
        let (counted, fit) = fit_wheel(&bench, wheel, &hidden).unwrap();
        assert_eq!(counted.places, [0, 1, 2, 3, 4]);
        let arm = |bench: &Bench| {
            let wheels = bench.rigs.iter().flat_map(|rig| rig.wheels.clone());
            wheels.into_iter().find(|each| each.id == wheel).unwrap().arm.unwrap()
        };
        let before = arm(&bench);
        apply_fit(&mut bench, wheel, &fit);
        let after = arm(&bench);
        assert!((after.zero_x_mm - before.zero_x_mm - 3.0).abs() < 0.02, "{after:?}");
        assert!((after.zero_z_mm - before.zero_z_mm + 2.0).abs() < 0.02, "{after:?}");
        // Fitted again there is nothing left to move.
        let (_, again) = fit_wheel(&bench, wheel, &hidden).unwrap();
        assert!(again.dimensions.iter().all(|one| (one.is_mm - one.was_mm).abs() < 0.02), "{again:?}");
    }

    #[test]
    fn the_proposed_trial_reduces_the_largest_uncertainty() {
        let mut bench = demo_bench().unwrap();
        bench.trials = trials(&bench, [1.0, 1.0], &[170.0, 181.8, 195.0]);
        let wheel = bench.trials[0].setting.wheel;
        let hidden = [Quantity::ArmZeroX, Quantity::ArmZeroZ];
        for trial in &mut bench.trials {
            trial.plus_minus_deg = 0.05;
        }
        let (counted, fit) = fit_wheel(&bench, wheel, &hidden).unwrap();
        let next = best_next(&counted.trials, &hidden, &fit).unwrap();
        let today = fit.dimensions.iter().find(|one| one.hidden == next.least_sure).unwrap().expanded_mm();
        assert!(next.then_mm < today, "{next:?}");
        // Independent: with that trial added by hand the fit is as sure as was said.
        let mut more = bench.trials.last().unwrap().clone();
        match (&mut more.setting.support, next.free) {
            (SupportSaved::Holder { reach_mm, .. }, Quantity::Reach) => *reach_mm = next.value,
            (SupportSaved::Holder { projection_mm, .. }, Quantity::Projection) => *projection_mm = next.value,
            (SupportSaved::Holder { strut_angle_deg, .. }, Quantity::StrutAngle) => {
                *strut_angle_deg = next.value;
            }
            other => panic!("{other:?}"),
        }
        more.bevel_deg = Some(bench.answer(&more.setting).unwrap().1.bevel().degrees());
        more.meant = BevelMeant::AtEdge;
        bench.trials.push(more);
        let (_, then) = fit_wheel(&bench, wheel, &hidden).unwrap();
        let then = then.dimensions.iter().find(|one| one.hidden == next.least_sure).unwrap().expanded_mm();
        assert!((then - next.then_mm).abs() < 1e-6 * then, "{then} {next:?}");
    }

    #[test]
    fn trials_without_a_measured_bevel_and_on_other_wheels_do_not_count() {
        let mut bench = demo_bench().unwrap();
        let long = bench.setting_named("Long grind, 85 mm").unwrap().clone();
        let other = bench.setting_named("Long grind, shaping wheel").unwrap().clone();
        let measured = TrialSaved { bevel_deg: Some(41.0), ..TrialSaved::of(other) };
        bench.trials = vec![TrialSaved::of(long.clone()), measured];
        assert!(counted(&bench, long.wheel).unwrap().trials.is_empty());
        let refused = fit_wheel(&bench, long.wheel, &[Quantity::ArmZeroX]).unwrap_err();
        assert_eq!(refused, NoFit::Refused(FitRefusal::TooFewTrials { trials: 0, dimensions: 1 }));
    }
}
