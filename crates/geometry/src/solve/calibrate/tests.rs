//! Trials planted on a rig that is off, and fitted.

#![allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]

use super::*;
use crate::{
    parts::{
        edge_section::EdgeSection,
        oblique::Presentation,
        support::{AngleTravel, Travel},
        wheel::Face,
    },
    side::{inverse::Target, uncertainty::Reading},
};
use approx::assert_relative_eq;
use glam::dvec2;

struct Random(u64);

impl Random {
    fn either_side(&mut self) -> f64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 >> 11) as f64 / 2.0_f64.powi(53) * 2.0 - 1.0
    }
}

fn setting(reach_mm: f64, projection_mm: f64, strut: f64) -> Setting {
    let travel = Travel { least_mm: -100.0, most_mm: 500.0 };
    let wide = AngleTravel { least: Angle::from_degrees(0.0), most: Angle::from_degrees(120.0) };
    Setting {
        face: Face::Round { radius_mm: 90.0 },
        edge: EdgeSection { height_mm: -3.0, under_mm: 5.0 },
        obliquity: Angle::QUARTER,
        presentation: Presentation::AxisInSidePlane,
        support: Support::Holder {
            arm: Arm::new(dvec2(10.0, -130.0), Angle::from_degrees(3.0), travel).unwrap(),
            holder: Holder::new(HolderSpec {
                hinge_setback_mm: 15.0,
                hinge_drop_mm: 5.0,
                strut_length_mm: 70.0,
                strut_angle: wide,
                body_length_mm: 30.0,
                body_height_mm: 20.0,
            })
            .unwrap(),
            reach_mm,
            projection_mm,
            strut_angle: Angle::from_degrees(strut),
        },
    }
}

/// Trials of a rig whose hidden dimensions are off by so much, over settings that grind 25° to 75°.
fn trials(hidden: &[Quantity], off: &[f64], struts: &[f64], noise: f64, random: &mut Random) -> Vec<Trial> {
    let half_width = Angle::from_degrees(0.5);
    let mut list = Vec::new();
    for &strut in struts {
        for projection in [40.0, 70.0, 100.0] {
            for wanted in [30.0, 45.0, 60.0] {
                let start = setting(130.0, projection, strut);
                let target = Target::AtEdge(Angle::from_degrees(wanted));
                let Ok(answers) = start.find(target, Quantity::Reach) else { continue };
                let Some(answer) = answers.all().max_by(|a, b| a.value.total_cmp(&b.value)) else {
                    continue;
                };
                let real = moved(&answer.setting, hidden, off).unwrap();
                let Ok(view) = real.evaluate_off_travel() else { continue };
                let across = view.facet.across + half_width * (noise * random.either_side());
                list.push(Trial {
                    setting: answer.setting,
                    measured: Target::AcrossFacet(across),
                    half_width,
                    readings: Vec::new(),
                });
            }
        }
    }
    list
}

const SETS: [&[Quantity]; 3] = [
    &[Quantity::ArmZeroX, Quantity::ArmZeroZ],
    &[Quantity::HingeSetback, Quantity::HingeDrop, Quantity::StrutLength],
    &FITTED,
];

#[test]
fn dimensions_come_back_from_perfect_trials() {
    let mut random = Random(7);
    for hidden in SETS {
        let off = &[4.0, -6.0, 3.0, -2.0, 5.0][..hidden.len()];
        let trials = trials(hidden, off, &[10.0, 35.0, 60.0, 85.0, 110.0], 0.0, &mut random);
        let fit = fit_rig(&trials, hidden).unwrap();
        for (fitted, off) in fit.dimensions.iter().zip(off) {
            assert_relative_eq!(fitted.is_mm - fitted.was_mm, *off, epsilon = 1e-5);
        }
        assert!(fit.chi_squared < 1e-10 && fit.is_consistent());
    }
}

#[test]
fn stated_uncertainty_covers_the_truth_as_often_as_it_says() {
    // k = 2 covers 95.4 in a hundred of a normal spread.
    let mut random = Random(0x1357_9BDF_0246_8ACE);
    for hidden in SETS {
        let off = &[2.0, -3.0, 2.0, -1.0, 2.5][..hidden.len()];
        let (mut covered, mut asked) = (0, 0);
        for _ in 0..400 {
            let trials = trials(hidden, off, &[10.0, 35.0, 60.0, 85.0, 110.0], 1.0, &mut random);
            let fit = fit_rig(&trials, hidden).unwrap();
            for (fitted, off) in fit.dimensions.iter().zip(off) {
                asked += 1;
                covered += i32::from((fitted.is_mm - fitted.was_mm - off).abs() <= fitted.expanded_mm());
            }
        }
        let fraction = f64::from(covered) / f64::from(asked);
        assert!((0.90..=0.99).contains(&fraction), "{hidden:?}: {fraction}");
    }
}

/// How what was set for a trial came to be off.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum SetHow {
    /// Anew for each.
    Anew,
    /// Once for each value, and left.
    Left,
}

/// The readings of every trial: reach and projection by a rule, strut by a protractor, the wheel by a long rule.
const READ: [Reading; 4] = [
    Reading { input: Quantity::Reach, half_width: 0.5 },
    Reading { input: Quantity::Projection, half_width: 0.5 },
    Reading { input: Quantity::StrutAngle, half_width: 0.5 },
    Reading { input: Quantity::WheelDiameter, half_width: 1.0 },
];

/// The same trials as they were ground in truth: what was set and read is off within its ±, and so is the protractor.
fn misread(
    planted: &[Trial],
    hidden: &[Quantity],
    off: &[f64],
    how: SetHow,
    random: &mut Random,
) -> Vec<Trial> {
    let wheel_off = random.either_side();
    let mut left: Vec<(Quantity, f64, f64)> = Vec::new();
    let mut list = Vec::new();
    for trial in planted {
        let mut real = moved(&trial.setting, hidden, off).unwrap();
        for free in [Quantity::Reach, Quantity::Projection, Quantity::StrutAngle] {
            let value = trial.setting.value_of(free).unwrap();
            let known = left.iter().find(|(known, at, _)| *known == free && (at - value).abs() < 1e-9);
            let error = match known {
                Some((.., error)) if how == SetHow::Left => *error,
                _ => {
                    let error = 0.5 * random.either_side();
                    left.push((free, value, error));
                    error
                }
            };
            real = real.with(free, value + error).unwrap();
        }
        let wheel = real.value_of(Quantity::WheelDiameter).unwrap() + wheel_off;
        real = real.with(Quantity::WheelDiameter, wheel).unwrap();
        let Ok(view) = real.evaluate_off_travel() else { continue };
        let across = view.facet.across + trial.half_width * random.either_side();
        list.push(Trial { measured: Target::AcrossFacet(across), readings: READ.to_vec(), ..trial.clone() });
    }
    list
}

/// Independent method: 400 planted rigs each, everything that is read thrown within its ±.
#[test]
fn readings_that_are_off_are_covered_as_often_as_the_band_says() {
    let mut random = Random(0x0F1E_2D3C_4B5A_6978);
    for how in [SetHow::Anew, SetHow::Left] {
        for hidden in SETS {
            let off = &[2.0, -3.0, 2.0, -1.0, 2.5][..hidden.len()];
            let planted = trials(hidden, off, &[10.0, 35.0, 60.0, 85.0, 110.0], 0.0, &mut random);
            let (mut covered, mut asked, mut refused) = (0, 0, 0);
            for _ in 0..400 {
                let trials = misread(&planted, hidden, off, how, &mut random);
                let fit = match fit_rig(&trials, hidden) {
                    Ok(fit) => fit,
                    Err(FitRefusal::CannotTellApart { .. }) => {
                        refused += 1;
                        continue;
                    }
                    Err(other) => panic!("{other:?}"),
                };
                assert!(fit.is_consistent() || how == SetHow::Left, "{}", fit.chi_squared);
                for (fitted, off) in fit.dimensions.iter().zip(off) {
                    asked += 1;
                    covered += i32::from((fitted.is_mm - fitted.was_mm - off).abs() <= fitted.expanded_mm());
                }
            }
            let share = f64::from(covered) / f64::from(asked);
            assert!(share >= 0.93, "{how:?} {hidden:?}: {share}");
            assert!(refused < 40, "{how:?} {hidden:?}: {refused}");
        }
    }
}

/// A few trials as a turner makes them, at one projection and strut angle.
#[test]
fn a_handful_of_trials_is_covered_too() {
    let mut random = Random(0x2468_ACE0_1357_9BDF);
    for how in [SetHow::Anew, SetHow::Left] {
        for hidden in [&[Quantity::ArmZeroX][..], &[Quantity::ArmZeroZ], &[Quantity::StrutLength]] {
            let off = &[1.5][..];
            let planted: Vec<Trial> =
                trials(hidden, off, &[45.0], 0.0, &mut random).into_iter().skip(3).take(3).collect();
            let mut covered = 0;
            for _ in 0..400 {
                let trials = misread(&planted, hidden, off, how, &mut random);
                let fitted = fit_rig(&trials, hidden).unwrap().dimensions[0];
                covered += i32::from((fitted.is_mm - fitted.was_mm - 1.5).abs() <= fitted.expanded_mm());
            }
            assert!(covered >= 372, "{how:?} {hidden:?}: {covered} of 400");
        }
    }
}

#[test]
fn readings_that_are_not_counted_change_nothing() {
    let hidden = [Quantity::ArmZeroX, Quantity::ArmZeroZ];
    let plain = trials(&hidden, &[1.0, 2.0], &[45.0, 70.0], 1.0, &mut Random(5));
    let none =
        [0.0, f64::NAN, -1.0, f64::INFINITY].map(|half_width| Reading { input: Quantity::Reach, half_width });
    // Nor do those of the dimensions that are fitted.
    let fitted = [Reading { input: Quantity::ArmZeroX, half_width: 3.0 }];
    for readings in [&none[..], &fitted] {
        let odd: Vec<Trial> =
            plain.iter().map(|trial| Trial { readings: readings.to_vec(), ..trial.clone() }).collect();
        assert_eq!(fit_rig(&odd, &hidden), fit_rig(&plain, &hidden));
    }
}

#[test]
fn one_strut_angle_cannot_tell_the_holder_s_dimensions_apart() {
    let hidden = [Quantity::HingeSetback, Quantity::HingeDrop, Quantity::StrutLength];
    let trials = trials(&hidden, &[1.0, 1.0, 1.0], &[45.0], 1.0, &mut Random(3));
    let refused = fit_rig(&trials, &hidden).unwrap_err();
    let FitRefusal::CannotTellApart { hidden, unvaried, standard_mm } = refused else {
        panic!("{refused:?}")
    };
    // At one strut angle setback and strut, drop and strut move the pivot alike.
    assert!(hidden.contains(&Quantity::StrutLength) && hidden.len() >= 2, "{hidden:?}");
    assert_eq!(unvaried, [Quantity::StrutAngle]);
    assert!(standard_mm > 1e3, "{standard_mm}");
}

#[test]
fn trials_that_disagree_are_not_called_consistent() {
    let hidden = [Quantity::ArmZeroX, Quantity::ArmZeroZ];
    let mut list = trials(&hidden, &[1.0, 1.0], &[45.0, 70.0], 0.0, &mut Random(3));
    for (i, trial) in list.iter_mut().enumerate() {
        let Target::AcrossFacet(across) = trial.measured else { panic!() };
        let off = Angle::from_degrees(if i % 2 == 0 { 3.0 } else { -3.0 });
        trial.measured = Target::AcrossFacet(across + off);
    }
    assert!(!fit_rig(&list, &hidden).unwrap().is_consistent());
}

#[test]
fn what_cannot_be_fitted_is_refused() {
    let list = trials(&[Quantity::ArmZeroX], &[1.0], &[45.0], 0.0, &mut Random(3));
    assert_eq!(fit_rig(&list, &[]), Err(FitRefusal::NothingToFit));
    assert_eq!(fit_rig(&list, &[Quantity::ArmZeroX; 2]), Err(FitRefusal::NothingToFit));
    let too_few = FitRefusal::TooFewTrials { trials: 1, dimensions: 2 };
    assert_eq!(fit_rig(&list[..1], &[Quantity::ArmZeroX, Quantity::ArmZeroZ]), Err(too_few));
    let sure = Trial { half_width: Angle::ZERO, ..list[0].clone() };
    assert_eq!(fit_rig(&[sure], &[Quantity::ArmZeroX]), Err(FitRefusal::NoUncertainty { index: 0 }));
    let odd = Trial { measured: Target::AtEdge(Angle::from_radians(f64::NAN)), ..list[0].clone() };
    assert!(matches!(fit_rig(&[odd], &[Quantity::ArmZeroX]), Err(FitRefusal::Trial { index: 0, .. })));
}

#[test]
fn a_rig_that_is_off_by_more_than_anyone_would_mismeasure_does_not_settle() {
    for (hidden, near, far) in [
        (Quantity::ArmZeroX, -70.0, -85.0),
        (Quantity::ArmZeroZ, 70.0, 85.0),
        (Quantity::HingeDrop, 70.0, 85.0),
        (Quantity::HingeDrop, -70.0, -85.0),
    ] {
        let struts = [10.0, 35.0, 60.0];
        let mut random = Random(11);
        let found = fit_rig(&trials(&[hidden], &[near], &struts, 0.0, &mut random), &[hidden]).unwrap();
        assert_relative_eq!(found.dimensions[0].is_mm - found.dimensions[0].was_mm, near, epsilon = 1e-4);
        let beyond = trials(&[hidden], &[far], &struts, 0.0, &mut random);
        assert!(beyond.len() > 1, "{hidden:?} {}", beyond.len());
        assert_eq!(fit_rig(&beyond, &[hidden]).unwrap_err(), FitRefusal::DidNotSettle);
    }
}
