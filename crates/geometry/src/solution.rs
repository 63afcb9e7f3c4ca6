//! What came of a question: settings that meet it, a family of them, or how near one comes and what is short.

use crate::{Angle, Free, Movable, Refusal, Setting, Short, SideView};

/// A wing that is met: this far off, in millimetres or degrees.
pub(crate) const MET: f64 = 1e-8;

/// A setting that meets a question, or comes near.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Solution {
    /// The setting.
    pub setting: Setting,
    /// What follows from it.
    pub view: SideView,
    /// Height of the roll centre, in millimetres, where one was given.
    pub roll_centre_mm: Option<f64>,
    /// Bevel at the edge less the one that was meant.
    pub bevel_off: Angle,
    /// The wing less the one that was wanted, in millimetres, or degrees for a bevel at the top; nought without a
    /// wanted wing.
    pub wing_off: f64,
    /// What moving costs from the setting as it stood.
    pub cost: f64,
}

impl Solution {
    /// The value of something, in millimetres or degrees.
    #[must_use]
    pub fn value_of(&self, what: Movable) -> Option<f64> {
        match what {
            Movable::Input(free) => self.setting.value_of(free),
            Movable::RollCentre => self.roll_centre_mm,
        }
    }
}

/// Every answer to a question.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Solutions {
    /// Settings that meet every target within travel and stops, cheapest first.
    pub answers: Vec<Solution>,
    /// The one-parameter family of answers, in the order of the walk, where one thing more is free than is needed.
    pub family: Vec<Solution>,
    /// Where nothing meets every target: the nearest settings within travel and stops, nearest first.
    pub near: Vec<Solution>,
    /// Where nothing meets every target: what stops it, least short first.
    pub short: Vec<Short>,
}

/// Why a question cannot be put.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum SolveError {
    /// The setting or the target is refused.
    Refused(Refusal),
    /// A wing is wanted of a tool that is not rolled.
    NotRolled,
    /// More things are free than one family.
    TooLoose {
        /// Free things.
        free: usize,
        /// Targets.
        targets: usize,
    },
    /// The same thing is free twice, or its range is none.
    NotARange(Movable),
}

impl std::fmt::Display for SolveError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Refused(refusal) => refusal.fmt(f),
            Self::NotRolled => f.write_str("a wing is wanted of a tool that is not rolled"),
            Self::TooLoose { free, targets } => write!(f, "{free} things free for {targets} targets"),
            Self::NotARange(what) => write!(f, "no range for {what:?}"),
        }
    }
}

impl std::error::Error for SolveError {}

impl From<Refusal> for SolveError {
    fn from(refusal: Refusal) -> Self {
        Self::Refused(refusal)
    }
}

impl Solutions {
    /// Lists a setting under what meets every target, or under what comes near; twins are one.
    pub(crate) fn offer(&mut self, solution: &Solution) {
        if solution.bevel_off.abs().degrees() < MET && solution.wing_off.abs() < MET {
            let twin = |other: &Solution| {
                let same = |what: Free| match (other.setting.value_of(what), solution.setting.value_of(what))
                {
                    (Some(a), Some(b)) => (a - b).abs() < 1e-7 * (1.0 + a.abs()),
                    _ => true,
                };
                let centre = other.roll_centre_mm.zip(solution.roll_centre_mm);
                centre.is_none_or(|(a, b)| (a - b).abs() < 1e-7)
                    && [
                        Free::Reach,
                        Free::Projection,
                        Free::StrutAngle,
                        Free::TableTilt,
                        Free::ToolLength,
                        Free::WheelDiameter,
                    ]
                    .into_iter()
                    .all(same)
            };
            if !self.answers.iter().any(twin) {
                self.answers.push(*solution);
            }
        } else {
            self.near.push(*solution);
        }
    }
}
