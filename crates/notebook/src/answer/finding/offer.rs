//! An answer as it is offered: how far each quantity moves, how much the bevel changes by it, how sure it is, and what
//! stands in the way or needs care once wheel, holder, tool and bench are counted in.

use bevelbench_geometry::{
    math::{Angle, Quantity},
    side::{Caution, Job, Refusal},
    solve::Solution,
};

use super::BevelQuery;
use crate::{
    answer::readings::{uncertainties, uncertainty},
    saved::{bench::Bench, setting::SettingEntry},
};

/// How far something moves, in millimetres or degrees.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Move {
    /// What.
    pub what: Quantity,
    /// From where.
    pub before: f64,
    /// To where.
    pub after: f64,
    /// Degrees of bevel for a millimetre or a degree of it, there; a roll centre moves no bevel.
    pub slope_deg: Option<f64>,
}

impl Move {
    /// How far, with its sign.
    #[must_use]
    pub fn by(&self) -> f64 {
        self.after - self.before
    }
}

/// An answer as it is offered.
#[derive(Debug, Clone, PartialEq)]
pub struct Offer {
    /// The answer.
    pub solution: Solution,
    /// The whole job with its setting.
    pub job: Job,
    /// What moves.
    pub moves: Vec<Move>,
    /// The cautions, or what stands in the way.
    pub standing: Result<Vec<Caution>, Refusal>,
    /// How sure its bevel is: the ± that is shown.
    pub plus_minus: Angle,
}

impl BevelQuery {
    /// The value of something as it stands, in millimetres or degrees.
    #[must_use]
    pub fn present(&self, what: Quantity) -> Option<f64> {
        self.question.value_of(what)
    }

    /// An answer as it is offered; `bench` and `entry` are those that were asked about.
    #[must_use]
    pub fn offer(
        &self,
        bench: &Bench,
        entry: &SettingEntry,
        free: &[Quantity],
        solution: &Solution,
    ) -> Offer {
        let moves = free
            .iter()
            .filter_map(|&what| {
                let slope = solution.setting.slope_by(what, &solution.view);
                let slope_deg = slope.map(|slope| if what.is_angle() { slope } else { slope.to_degrees() });
                Some(Move { what, before: self.present(what)?, after: solution.value_of(what)?, slope_deg })
            })
            .collect();
        let checked = self.check_solution(solution);
        let mut moved = entry.clone();
        for &what in free {
            if let Some(value) = solution.value_of(what) {
                moved.put(what, value);
            }
        }
        let job = Job { setting: solution.setting, ..*checked.as_ref().unwrap_or(&self.job) };
        Offer {
            solution: *solution,
            job,
            moves,
            plus_minus: uncertainty(&uncertainties(bench, &moved), &job, &solution.view).expanded(),
            standing: checked.map(|job| job.cautions(&solution.view)),
        }
    }
}
