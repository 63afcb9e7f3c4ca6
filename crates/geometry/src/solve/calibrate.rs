//! The hidden dimensions of a rig fitted to trial grinds, by least squares.
//!
//! A trial is a setting with the bevel that was measured on what it ground. Hidden dimensions (where the arm's zero
//! is, where the holder's hinge is, how long its strut) are moved until the residuals, each over its standard
//! uncertainty, have the least sum of squares: Levenberg–Marquardt on exact slopes. The covariance is that of the
//! stated ± of the measurements, `(JᵀJ)⁻¹`; the ± shown is `k = 2`.
//!
//! Before that the slopes are asked whether the trials can tell the dimensions apart at all: along the weakest
//! direction of `JᵀJ` a move of `1/√λ` millimetres changes the residuals by one standard uncertainty, and where that
//! is more than [`COARSEST_MM`] the fit is refused, with the dimensions that are mixed up and what the trials did not
//! vary.
//!
//! # Source
//! JCGM 100:2008 H.3 (least squares and covariance); MINPACK's algorithm through the crate `rmpfit`.

use std::fmt;

use rmpfit::{MPConfig, MPFitter, MPPar, MPResult, MPSide};

use crate::{
    math::{angle::Angle, eigen::eigen, quantity::Quantity},
    parts::{
        support::{Arm, Holder, HolderSpec},
        wheel::Face,
    },
    side::{
        inverse::Target,
        refusal::Refusal,
        setting::{Setting, SideView, Support},
        uncertainty::{COVERAGE, rectangular},
    },
};

/// A combination of dimensions that is known no better than this standard uncertainty counts as not distinguished, in
/// millimetres.
pub const COARSEST_MM: f64 = 10.0;
/// How far a fitted dimension may lie from the one that was put in, in millimetres.
const FARTHEST_MM: f64 = 80.0;
/// The part a dimension has in the weakest direction to be named.
const NAMED_PART: f64 = 0.3;

/// The dimensions that are hard to measure and can be fitted.
pub const FITTED: [Quantity; 5] = [
    Quantity::ArmZeroX,
    Quantity::ArmZeroZ,
    Quantity::HingeSetback,
    Quantity::HingeDrop,
    Quantity::StrutLength,
];

/// A dimension as it was thought to be, if the support has it.
fn value_of(dimension: Quantity, support: &Support) -> Option<f64> {
    let (arm, holder) = match support {
        Support::Handle { arm, .. } => (arm, None),
        Support::Holder { arm, holder, .. } => (arm, Some(holder.spec())),
        Support::Table { .. } => return None,
    };
    match dimension {
        Quantity::ArmZeroX => Some(arm.zero_in_bench().x),
        Quantity::ArmZeroZ => Some(arm.zero_in_bench().y),
        Quantity::HingeSetback => holder.map(|spec| spec.hinge_setback_mm),
        Quantity::HingeDrop => holder.map(|spec| spec.hinge_drop_mm),
        Quantity::StrutLength => holder.map(|spec| spec.strut_length_mm),
        _ => None,
    }
}

/// A trial grind: a setting as it was set on the rig as it was thought to be, and the bevel that was measured.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Trial {
    /// The setting.
    pub setting: Setting,
    /// The bevel that was measured.
    pub measured: Target,
    /// How far the measurement may be off: a half-width, rectangular.
    pub half_width: Angle,
}

/// A fitted dimension.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FittedDimension {
    /// Which.
    pub hidden: Quantity,
    /// What it was thought to be, in millimetres.
    pub was_mm: f64,
    /// What it is now, in millimetres.
    pub is_mm: f64,
    /// Its standard uncertainty, in millimetres.
    pub standard_mm: f64,
}

impl FittedDimension {
    /// The ± that is shown, in millimetres.
    #[must_use]
    pub fn expanded_mm(&self) -> f64 {
        COVERAGE * self.standard_mm
    }
}

/// A fit.
#[derive(Debug, Clone, PartialEq)]
pub struct FittedRig {
    /// The dimensions, in the order asked for.
    pub dimensions: Vec<FittedDimension>,
    /// For each trial what is still measured more than the fitted rig grinds.
    pub residuals: Vec<Angle>,
    /// Sum of squares of the residuals over their standard uncertainties.
    pub chi_squared: f64,
    /// Trials less dimensions.
    pub degrees_of_freedom: usize,
}

impl FittedRig {
    /// Whether the residuals are no larger than the stated ± lets expect: their mean square is under 4 (that of
    /// chance is 1), or there is nothing left to tell by.
    #[must_use]
    pub fn is_consistent(&self) -> bool {
        self.degrees_of_freedom == 0 || self.chi_squared < 4.0 * self.degrees_of_freedom as f64
    }
}

/// Why nothing was fitted.
#[derive(Debug, Clone, PartialEq)]
pub enum FitRefusal {
    /// Nothing was asked for, or the same twice.
    NothingToFit,
    /// Fewer trials than dimensions.
    TooFewTrials {
        /// Trials.
        trials: usize,
        /// Dimensions.
        dimensions: usize,
    },
    /// A trial has no answer on the rig as it was thought to be, or does not rest on a pivot.
    Trial {
        /// Which, counted from zero.
        index: usize,
        /// Why.
        refusal: Refusal,
    },
    /// A trial's ± is not above nothing.
    NoUncertainty {
        /// Which, counted from zero.
        index: usize,
    },
    /// No trial rests on that dimension.
    NotUsed(Quantity),
    /// The trials cannot tell these dimensions apart.
    CannotTellApart {
        /// The dimensions that are mixed up.
        hidden: Vec<Quantity>,
        /// Standard uncertainty of their worst combination, in millimetres; infinite when it is not told at all.
        standard_mm: f64,
        /// What every trial had alike: varying it is what more to try.
        unvaried: Vec<Quantity>,
    },
    /// The least squares did not settle, or only at the limit of what was allowed.
    DidNotSettle,
}

impl fmt::Display for FitRefusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NothingToFit => f.write_str("nothing to fit"),
            Self::TooFewTrials { trials, dimensions } => {
                write!(f, "{trials} trials for {dimensions} dimensions")
            }
            Self::Trial { index, refusal } => write!(f, "trial {index}: {refusal}"),
            Self::NoUncertainty { index } => write!(f, "trial {index} has no ±"),
            Self::NotUsed(hidden) => write!(f, "no trial rests on {hidden:?}"),
            Self::CannotTellApart { hidden, standard_mm, .. } => {
                write!(f, "{hidden:?} known to {standard_mm} mm only")
            }
            Self::DidNotSettle => f.write_str("least squares did not settle"),
        }
    }
}

impl std::error::Error for FitRefusal {}

/// The setting with hidden dimensions moved by so much, in millimetres.
fn moved(setting: &Setting, hidden: &[Quantity], by: &[f64]) -> Option<Setting> {
    let delta = |which: Quantity| {
        hidden.iter().zip(by).find(|(one, _)| **one == which).map_or(0.0, |(_, delta)| *delta)
    };
    let mut moved = *setting;
    match &mut moved.support {
        Support::Handle { arm, .. } => *arm = moved_arm(arm, &delta)?,
        Support::Holder { arm, holder, .. } => {
            *arm = moved_arm(arm, &delta)?;
            let spec = *holder.spec();
            *holder = Holder::new(HolderSpec {
                hinge_setback_mm: spec.hinge_setback_mm + delta(Quantity::HingeSetback),
                hinge_drop_mm: spec.hinge_drop_mm + delta(Quantity::HingeDrop),
                strut_length_mm: spec.strut_length_mm + delta(Quantity::StrutLength),
                ..spec
            })
            .ok()?;
        }
        Support::Table { .. } => return None,
    }
    Some(moved)
}

fn moved_arm(arm: &Arm, delta: &impl Fn(Quantity) -> f64) -> Option<Arm> {
    let by = glam::dvec2(delta(Quantity::ArmZeroX), delta(Quantity::ArmZeroZ));
    Arm::new(arm.zero_in_bench() + by, arm.tilt(), arm.travel()).ok()
}

impl Trial {
    fn standard(&self) -> f64 {
        rectangular(self.half_width.radians())
    }

    /// The bevel as it was measured, and its slope by the bevel at the edge.
    fn predicted(&self, setting: &Setting, view: &SideView) -> (f64, f64) {
        match self.measured {
            Target::AtEdge(_) => (view.facet.at_edge.radians(), 1.0),
            Target::AcrossFacet(_) => {
                let across = view.facet.across;
                let slope = match setting.face {
                    Face::Round { radius_mm } => {
                        // β = across − asin(h), h = under/(2R sin across)
                        let (sin, cos) = across.sin_cos();
                        let h = setting.edge.under_mm / (2.0 * radius_mm * sin);
                        1.0 / (1.0 + h * cos / (sin * (1.0 - h * h).max(1e-12).sqrt()))
                    }
                    Face::Flat { .. } => 1.0,
                };
                (across.radians(), slope)
            }
        }
    }

    fn measured(&self) -> f64 {
        match self.measured {
            Target::AtEdge(angle) | Target::AcrossFacet(angle) => angle.radians(),
        }
    }
}

/// The least-squares problem as `rmpfit` wants it.
struct Problem<'a> {
    trials: &'a [Trial],
    hidden: &'a [Quantity],
    limits: Vec<MPPar>,
    config: MPConfig,
}

/// A residual where the rig as tried has no answer: far worse than any that has one.
const NO_ANSWER: f64 = 1e4;

impl Problem<'_> {
    /// Residual and its slopes of one trial, over the trial's standard uncertainty.
    fn residual(&self, trial: &Trial, by: &[f64], slopes: &mut dyn FnMut(usize, f64)) -> f64 {
        let Some(setting) = moved(&trial.setting, self.hidden, by) else { return NO_ANSWER };
        let Ok(view) = setting.evaluate_off_travel() else { return NO_ANSWER };
        let (predicted, slope) = trial.predicted(&setting, &view);
        for (i, hidden) in self.hidden.iter().enumerate() {
            let by_edge = setting.slope_by(*hidden, &view).unwrap_or(0.0);
            slopes(i, by_edge * slope / trial.standard());
        }
        (predicted - trial.measured()) / trial.standard()
    }

    /// `JᵀJ` at a place, in 1/mm².
    fn normal_matrix(&self, by: &[f64]) -> Vec<Vec<f64>> {
        let n = self.hidden.len();
        let mut matrix = vec![vec![0.0; n]; n];
        for trial in self.trials {
            let mut row = vec![0.0; n];
            self.residual(trial, by, &mut |i, slope| row[i] = slope);
            for i in 0..n {
                for j in 0..n {
                    matrix[i][j] += row[i] * row[j];
                }
            }
        }
        matrix
    }
}

impl MPFitter for Problem<'_> {
    fn eval(&mut self, params: &[f64], deviates: &mut [f64]) -> MPResult<()> {
        for (deviate, trial) in deviates.iter_mut().zip(self.trials) {
            *deviate = self.residual(trial, params, &mut |_, _| {});
        }
        Ok(())
    }

    fn number_of_points(&self) -> usize {
        self.trials.len()
    }

    fn config(&self) -> &MPConfig {
        &self.config
    }

    fn parameters(&self) -> &[MPPar] {
        &self.limits
    }

    fn jacobian(
        &mut self,
        params: &[f64],
        deviates: &mut [f64],
        derivs: &mut [Option<Vec<f64>>],
    ) -> MPResult<()> {
        for (k, trial) in self.trials.iter().enumerate() {
            deviates[k] = self.residual(trial, params, &mut |i, slope| {
                if let Some(Some(column)) = derivs.get_mut(i) {
                    column[k] = slope;
                }
            });
        }
        Ok(())
    }
}

/// Fits hidden dimensions to trial grinds.
///
/// All trials are of one rig: the dimensions move by the same amount in each.
///
/// # Errors
/// [`FitRefusal`].
pub fn fit_rig(trials: &[Trial], hidden: &[Quantity]) -> Result<FittedRig, FitRefusal> {
    let twice = hidden.iter().enumerate().any(|(i, one)| hidden[..i].contains(one));
    if hidden.is_empty() || twice {
        return Err(FitRefusal::NothingToFit);
    }
    if trials.len() < hidden.len() {
        return Err(FitRefusal::TooFewTrials { trials: trials.len(), dimensions: hidden.len() });
    }
    for (index, trial) in trials.iter().enumerate() {
        let refused = |refusal| FitRefusal::Trial { index, refusal };
        trial.setting.bevel_meant(trial.measured).map_err(refused)?;
        trial.setting.evaluate_off_travel().map_err(refused)?;
        if trial.setting.pivot().is_none() {
            return Err(refused(Refusal::NotOnPivot));
        }
        if !(trial.half_width.is_finite() && trial.half_width.radians() > 0.0) {
            return Err(FitRefusal::NoUncertainty { index });
        }
    }
    let mut was = Vec::with_capacity(hidden.len());
    for &one in hidden {
        let value = trials.iter().find_map(|trial| value_of(one, &trial.setting.support));
        was.push(value.ok_or(FitRefusal::NotUsed(one))?);
    }
    let limit = || MPPar {
        side: MPSide::User,
        limited_low: true,
        limited_up: true,
        limit_low: -FARTHEST_MM,
        limit_up: FARTHEST_MM,
        ..MPPar::new()
    };
    let limits = hidden.iter().map(|_| limit()).collect();
    let config = MPConfig { xtol: 1e-13, ftol: 1e-13, ..MPConfig::new() };
    let mut problem = Problem { trials, hidden, limits, config };
    let mut by = vec![0.0; hidden.len()];
    distinguish(&problem, &by)?;
    let status = problem.mpfit(&mut by).map_err(|_| FitRefusal::DidNotSettle)?;
    let at_limit = by.iter().any(|delta| delta.abs() > FARTHEST_MM * (1.0 - 1e-9));
    if at_limit || !status.best_norm.is_finite() || status.best_norm >= NO_ANSWER * NO_ANSWER {
        return Err(FitRefusal::DidNotSettle);
    }
    // Where the fit ended the slopes are other ones.
    let variances = distinguish(&problem, &by)?;
    let residuals = trials
        .iter()
        .map(|trial| Angle::from_radians(-problem.residual(trial, &by, &mut |_, _| {}) * trial.standard()))
        .collect();
    let dimensions = hidden
        .iter()
        .zip(&was)
        .zip(by.iter().zip(variances))
        .map(|((&hidden, &was_mm), (delta, variance))| FittedDimension {
            hidden,
            was_mm,
            is_mm: was_mm + delta,
            standard_mm: variance.sqrt(),
        })
        .collect();
    Ok(FittedRig {
        dimensions,
        residuals,
        chi_squared: status.best_norm,
        degrees_of_freedom: trials.len() - hidden.len(),
    })
}

/// Variances of the dimensions at a place, in mm², or what the trials cannot distinguish there.
fn distinguish(problem: &Problem<'_>, by: &[f64]) -> Result<Vec<f64>, FitRefusal> {
    let (values, vectors) = eigen(problem.normal_matrix(by));
    let weakest = (0..values.len()).min_by(|&a, &b| values[a].total_cmp(&values[b])).unwrap_or(0);
    let standard = |value: f64| if value > 0.0 { value.sqrt().recip() } else { f64::INFINITY };
    if standard(values[weakest]) > COARSEST_MM {
        // Every direction that is too weak counts.
        let named = |i: usize| {
            (0..values.len()).any(|k| standard(values[k]) > COARSEST_MM && vectors[i][k].abs() > NAMED_PART)
        };
        let hidden =
            problem.hidden.iter().enumerate().filter(|(i, _)| named(*i)).map(|(_, one)| *one).collect();
        return Err(FitRefusal::CannotTellApart {
            hidden,
            standard_mm: standard(values[weakest]),
            unvaried: unvaried(problem.trials),
        });
    }
    // (JᵀJ)⁻¹ = V diag(1/λ) Vᵀ
    Ok(vectors
        .iter()
        .map(|row| row.iter().zip(&values).map(|(part, value)| part * part / value).sum())
        .collect())
}

/// What all trials have alike, to within a millimetre or a degree.
fn unvaried(trials: &[Trial]) -> Vec<Quantity> {
    [Quantity::Reach, Quantity::Projection, Quantity::StrutAngle, Quantity::ToolLength]
        .into_iter()
        .filter(|&free| {
            let values = || trials.iter().filter_map(|trial| trial.setting.value_of(free));
            let (least, most) =
                values().fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), x| (a.min(x), b.max(x)));
            most >= least && most - least < 1.0
        })
        .collect()
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]
mod tests {
    use super::*;
    use crate::parts::{
        edge_section::EdgeSection,
        oblique::Presentation,
        support::{AngleTravel, Travel},
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
    fn trials(
        hidden: &[Quantity],
        off: &[f64],
        struts: &[f64],
        noise: f64,
        random: &mut Random,
    ) -> Vec<Trial> {
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
        let sure = Trial { half_width: Angle::ZERO, ..list[0] };
        assert_eq!(fit_rig(&[sure], &[Quantity::ArmZeroX]), Err(FitRefusal::NoUncertainty { index: 0 }));
        let odd = Trial { measured: Target::AtEdge(Angle::from_radians(f64::NAN)), ..list[0] };
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
}
