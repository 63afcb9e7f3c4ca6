//! The hidden dimensions of a rig fitted to trial grinds, by least squares.
//!
//! A trial is a setting with the bevel that was measured on what it ground. Hidden dimensions (where the arm's zero
//! is, where the holder's hinge is, how long its strut) are moved until the residuals, each over its standard
//! uncertainty, have the least sum of squares: Levenberg–Marquardt on exact slopes. What was set for a trial was read
//! too: the ± of reach, projection and strut angle go into the uncertainty of its residual through the slopes, weighed
//! anew where the fit ends. What was read once for several trials (the wheel's diameter, a tool's length) is off by the
//! same in all of them, and moves with the dimensions, held by its own ±. The covariance is that of all stated ±; what was
//! set to the same value for several trials may have been set anew for each, or set once and left: the worse of the two
//! counts. The ± shown is `k = 2`.
//!
//! Before that the slopes are asked whether the trials can tell the dimensions apart at all: along the weakest
//! direction of `JᵀJ` a move of `1/√λ` millimetres changes the residuals by one standard uncertainty, and where that
//! is more than [`COARSEST_MM`] the fit is refused, with the dimensions that are mixed up and what the trials did not
//! vary.
//!
//! # Source
//! JCGM 100:2008 H.3 (least squares and covariance), 5.1.2 (input quantities through their slopes); MINPACK's
//! algorithm through the crate `rmpfit`.

mod problem;
#[cfg(test)]
mod tests;
mod trial;

pub use trial::Trial;

use std::fmt;

use rmpfit::MPFitter;

use crate::{
    math::{angle::Angle, quantity::Quantity},
    parts::support::{Arm, Holder, HolderSpec},
    side::{
        refusal::Refusal,
        setting::{Setting, Support},
        uncertainty::COVERAGE,
    },
    solve::calibrate::problem::{NO_ANSWER, Problem, Told},
};

/// A combination of dimensions that is known no better than this standard uncertainty counts as not distinguished, in
/// millimetres.
pub const COARSEST_MM: f64 = 10.0;
/// How far a fitted dimension may lie from the one that was put in, in millimetres.
const FARTHEST_MM: f64 = 80.0;
/// How often the trials are weighed anew: twice is enough where the fit moves little.
const MOST_WEIGHINGS: usize = 8;
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
    let mut problem = Problem::new(trials, hidden);
    let mut by = problem.start();
    problem.weigh(&by);
    distinguish(&problem, (trials, hidden), &by)?;
    let mut chi_squared = f64::INFINITY;
    for _ in 0..MOST_WEIGHINGS {
        let status = problem.mpfit(&mut by).map_err(|_| FitRefusal::DidNotSettle)?;
        chi_squared = status.best_norm;
        let at_limit = by.iter().take(hidden.len()).any(|delta| delta.abs() > FARTHEST_MM * (1.0 - 1e-9));
        if at_limit || !chi_squared.is_finite() || chi_squared >= NO_ANSWER * NO_ANSWER {
            return Err(FitRefusal::DidNotSettle);
        }
        // Where the fit ended the slopes are other ones, and so is the weight of each trial.
        if !problem.weigh(&by) {
            break;
        }
    }
    let variances = distinguish(&problem, (trials, hidden), &by)?;
    let residuals = (0..trials.len()).map(|k| Angle::from_radians(problem.left_over(k, &by))).collect();
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
    Ok(FittedRig { dimensions, residuals, chi_squared, degrees_of_freedom: trials.len() - hidden.len() })
}

/// Variances of the dimensions at a place, in mm², or what the trials cannot distinguish there.
fn distinguish(
    problem: &Problem<'_>,
    (trials, hidden): (&[Trial], &[Quantity]),
    by: &[f64],
) -> Result<Vec<f64>, FitRefusal> {
    let Told { values, vectors, variances } = problem.told(by);
    let weakest = (0..values.len()).min_by(|&a, &b| values[a].total_cmp(&values[b])).unwrap_or(0);
    let standard = |value: f64| if value > 0.0 { value.sqrt().recip() } else { f64::INFINITY };
    if standard(values[weakest]) > COARSEST_MM {
        // Every direction that is too weak counts.
        let named = |i: usize| {
            (0..values.len()).any(|k| standard(values[k]) > COARSEST_MM && vectors[i][k].abs() > NAMED_PART)
        };
        let hidden = hidden.iter().enumerate().filter(|(i, _)| named(*i)).map(|(_, one)| *one).collect();
        return Err(FitRefusal::CannotTellApart {
            hidden,
            standard_mm: standard(values[weakest]),
            unvaried: unvaried(trials),
        });
    }
    Ok(variances)
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
