//! What came of a question: settings that meet it, a family of them, or how near one comes and what is short.

use crate::{
    math::{angle::Angle, quantity::Quantity},
    side::{
        refusal::Refusal,
        setting::{Setting, SideView},
        value::SET,
    },
    solve::freedom::Short,
};

/// Samples of a family along the thing that is walked.
pub(crate) const FAMILY_SAMPLES: u32 = 60;

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
    /// The wing less the one that was wanted, in millimetres, or degrees for a bevel at the top; zero without a
    /// wanted wing.
    pub wing_off: f64,
    /// What moving costs from the setting as it stood.
    pub cost: f64,
}

impl Solution {
    /// The value of something, in millimetres or degrees.
    #[must_use]
    pub fn value_of(&self, what: Quantity) -> Option<f64> {
        match what {
            Quantity::RollCentre => self.roll_centre_mm,
            _ => self.setting.value_of(what),
        }
    }
}

/// Every answer to a question.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Solutions {
    /// Settings that meet every target within travel and stops, cheapest first.
    pub answers: Vec<Solution>,
    /// The one-parameter family of answers, in the order of the walk, where one quantity more is free than is needed.
    pub family: Vec<Solution>,
    /// Where nothing meets every target: the nearest settings within travel and stops, nearest first.
    pub near: Vec<Solution>,
    /// Where nothing meets every target: what stops it, least short first.
    pub short: Vec<Short>,
    /// Settings that meet every target in the side plane, but whose nose the rest of the swing cuts off: never answers.
    pub nose_gone: Vec<Solution>,
}

/// Why a question cannot be put.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum SolveError {
    /// The setting or the target is refused.
    Refused(Refusal),
    /// A wing is wanted of a tool that is not rolled.
    NotRolled,
    /// More things are free than one family.
    TooManyFreedoms {
        /// Free things.
        free: usize,
        /// Targets.
        targets: usize,
    },
    /// The same thing is free twice, or its range is none.
    NotARange(Quantity),
}

impl std::fmt::Display for SolveError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Refused(refusal) => refusal.fmt(f),
            Self::NotRolled => f.write_str("a wing is wanted of a tool that is not rolled"),
            Self::TooManyFreedoms { free, targets } => write!(f, "{free} things free for {targets} targets"),
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
                let same =
                    |what: Quantity| match (other.setting.value_of(what), solution.setting.value_of(what)) {
                        (Some(a), Some(b)) => (a - b).abs() < 1e-7 * (1.0 + a.abs()),
                        _ => true,
                    };
                let centre = other.roll_centre_mm.zip(solution.roll_centre_mm);
                centre.is_none_or(|(a, b)| (a - b).abs() < 1e-7) && SET.into_iter().all(same)
            };
            if !self.answers.iter().any(twin) {
                self.answers.push(*solution);
            }
        } else {
            self.near.push(*solution);
        }
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]
mod tests {
    use super::*;
    use crate::{
        parts::{
            edge_section::EdgeSection,
            oblique::Presentation,
            support::{AngleTravel, Arm, Holder, HolderSpec, Table, TableSpec, Travel},
            wheel::Face,
        },
        side::setting::Support,
    };
    use glam::dvec2;

    fn settings() -> [Setting; 3] {
        let wide = AngleTravel { least: Angle::from_degrees(-30.0), most: Angle::from_degrees(90.0) };
        let arm =
            Arm::new(dvec2(10.0, -130.0), Angle::ZERO, Travel { least_mm: 0.0, most_mm: 300.0 }).unwrap();
        let holder = Holder::new(HolderSpec {
            hinge_setback_mm: 15.0,
            hinge_drop_mm: 5.0,
            strut_length_mm: 70.0,
            strut_angle: wide,
            body_length_mm: 30.0,
            body_height_mm: 20.0,
        });
        let table = Table::new(TableSpec {
            hinge_in_bench: dvec2(130.0, -10.0),
            surface_offset_mm: 12.0,
            front_mm: 5.0,
            rear_mm: 60.0,
            tilt: wide,
        });
        [
            Support::Holder {
                arm,
                holder: holder.unwrap(),
                reach_mm: 120.0,
                projection_mm: 60.0,
                strut_angle: Angle::from_degrees(50.0),
            },
            Support::Handle { arm, reach_mm: 220.0, tool_length_mm: 210.0 },
            Support::Table { table: table.unwrap(), tilt: Angle::from_degrees(20.0) },
        ]
        .map(|support| Setting {
            face: Face::Round { radius_mm: 75.0 },
            edge: EdgeSection { height_mm: -2.0, under_mm: 4.0 },
            obliquity: Angle::QUARTER,
            presentation: Presentation::AxisInSidePlane,
            support,
        })
    }

    fn exact(setting: Setting, roll_centre_mm: Option<f64>) -> Solution {
        let view = setting.evaluate_off_travel().unwrap();
        Solution { setting, view, roll_centre_mm, bevel_off: Angle::ZERO, wing_off: 0.0, cost: 0.0 }
    }

    #[test]
    fn the_same_setting_is_listed_once() {
        for setting in settings() {
            let mut found = Solutions::default();
            found.offer(&exact(setting, Some(3.0)));
            found.offer(&exact(setting, Some(3.0)));
            for free in SET {
                // Another reading of the same place, to within rounding.
                if let Some(value) = setting.value_of(free) {
                    found
                        .offer(&exact(setting.with(free, value * (1.0 + 1e-11)).unwrap(), Some(3.0 + 1e-11)));
                }
            }
            assert_eq!((found.answers.len(), found.near.len()), (1, 0));
        }
    }

    #[test]
    fn settings_that_differ_in_one_thing_are_each_listed() {
        for setting in settings() {
            let mut found = Solutions::default();
            found.offer(&exact(setting, Some(3.0)));
            found.offer(&exact(setting, Some(3.001)));
            let mut expected = 2;
            for free in SET {
                if let Some(value) = setting.value_of(free) {
                    found.offer(&exact(setting.with(free, value + 0.001).unwrap(), Some(3.0)));
                    found.offer(&exact(setting.with(free, value - 0.001).unwrap(), Some(3.0)));
                    expected += 2;
                }
            }
            assert_eq!((found.answers.len(), found.near.len()), (expected, 0));
        }
    }

    #[test]
    fn an_answer_that_misses_one_target_is_listed_as_near() {
        let [setting, ..] = settings();
        let met = exact(setting, None);
        for missed in [
            Solution { bevel_off: Angle::from_degrees(2e-8), ..met },
            Solution { bevel_off: Angle::from_degrees(-2e-8), ..met },
            Solution { wing_off: 2e-8, ..met },
            Solution { wing_off: -2e-8, ..met },
        ] {
            let mut found = Solutions::default();
            found.offer(&missed);
            assert_eq!((found.answers.len(), found.near.len()), (0, 1));
        }
        let mut found = Solutions::default();
        found.offer(&Solution { bevel_off: Angle::from_degrees(-5e-9), wing_off: 5e-9, ..met });
        assert_eq!((found.answers.len(), found.near.len()), (1, 0));
    }
}
