//! From a setting of the bench to a question: what must be set for a bevel and a wing, what may move and how far.

mod offer;

pub use offer::{Move, Offer};

use bevelbench_geometry::{
    math::{Angle, DimensionError, Quantity},
    parts::{Blank, Face, Tool, Wheel, WheelSpec},
    side::{Job, NoseGone, Refusal, Setting, Target},
    solve::{
        DegreeOfFreedom, Family, Question, Remedy, Rolling, Solution, Solutions, SolveError, WingTarget,
    },
    swept::{RollLine, Steel, Swing},
};

use crate::{
    answer::{
        bench::{Missing, Unanswered},
        pins,
    },
    saved::{
        bench::Bench,
        setting::{SettingEntry, SupportSaved},
        table::{self, Stand},
        target::{TargetSaved, WingSaved},
    },
};

/// What is wanted at the wing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum WingWanted<'a> {
    /// A wing sweep, in millimetres.
    Sweep {
        /// The sweep.
        mm: f64,
    },
    /// A bevel to the axis at the wing top.
    BevelAtTop {
        /// The bevel.
        bevel: Angle,
    },
    /// The surface that another setting grinds.
    SameAs {
        /// That setting.
        entry: &'a SettingEntry,
    },
}

/// Why no question can be put.
#[derive(Debug, Clone, PartialEq)]
pub enum NotFindable {
    /// The setting itself, or the one to be matched, has no answer.
    Unanswered(Unanswered),
    /// A wing is wanted of a tool that is not rolled.
    NotRolled,
    /// The setting to be matched grinds on another wheel radius or rolls another way: no pivot makes the grinds the
    /// same.
    NotAlike {
        /// What differs.
        what: &'static str,
    },
    /// This setting has nothing of that kind to move.
    NothingToMove(Quantity),
    /// More is free than a family of answers can show.
    TooManyFreedoms {
        /// Free things.
        free: usize,
        /// Targets.
        targets: usize,
    },
}

impl From<Unanswered> for NotFindable {
    fn from(unanswered: Unanswered) -> Self {
        Self::Unanswered(unanswered)
    }
}

impl From<SolveError> for NotFindable {
    fn from(error: SolveError) -> Self {
        match error {
            SolveError::Refused(refusal) => Self::Unanswered(Unanswered::Refused(refusal)),
            SolveError::NotRolled => Self::NotRolled,
            SolveError::TooManyFreedoms { free, targets } => Self::TooManyFreedoms { free, targets },
            SolveError::NotARange(what) => Self::NothingToMove(what),
        }
    }
}

/// A question about a setting, with the job it was asked of.
#[derive(Debug, Clone, PartialEq)]
pub struct BevelQuery {
    /// The job as it stands.
    pub job: Job,
    /// The question.
    pub question: Question,
    /// What carries the tool.
    support: SupportSaved,
    /// How far what may be found goes, and the rests and stop blocks that it may stand at.
    travels: Vec<(Quantity, (f64, f64), Vec<f64>)>,
}

/// Answers with what stands in the way of the whole job, and what else would do.
#[derive(Debug, Clone, PartialEq)]
pub struct Found {
    /// What the geometry found.
    pub solutions: Solutions,
    /// Where nothing meets the target: what else would.
    pub remedies: Vec<Remedy>,
    /// Where one quantity more is free than is needed: the curves of answers.
    pub family: Option<Family>,
    /// What becomes of the nose of the nearest setting that meets the target in the side view alone: none is offered.
    pub nose_gone: Option<NoseGone>,
}

impl BevelQuery {
    /// What a setting is meant to be, asked of it.
    ///
    /// # Errors
    /// [`NotFindable`].
    pub fn for_target(
        bench: &Bench,
        entry: &SettingEntry,
        target: &TargetSaved,
    ) -> Result<Self, NotFindable> {
        let wing = match target.wing {
            None => None,
            Some(WingSaved::Sweep { sweep_mm }) => Some(WingWanted::Sweep { mm: sweep_mm }),
            Some(WingSaved::BevelAtTop { bevel_deg }) => {
                Some(WingWanted::BevelAtTop { bevel: Angle::from_degrees(bevel_deg) })
            }
            Some(WingSaved::SameAs { setting }) => Some(WingWanted::SameAs {
                entry: bench
                    .setting(setting)
                    .ok_or(NotFindable::Unanswered(Missing::Setting(setting).into()))?,
            }),
        };
        let bevel = target.bevel(&bench.job_of(entry)?).map_err(Unanswered::from)?;
        Self::of(bench, entry, bevel, wing)
    }

    /// A question about a setting of a bench.
    ///
    /// # Errors
    /// [`NotFindable`].
    pub fn of(
        bench: &Bench,
        entry: &SettingEntry,
        bevel: Target,
        wing: Option<WingWanted<'_>>,
    ) -> Result<Self, NotFindable> {
        let job = bench.job_of(entry)?;
        let rolling = rolling_of(&job, entry);
        let (mut bevel, mut target) = (bevel, None);
        match wing {
            None => {}
            Some(WingWanted::Sweep { mm }) => target = Some(WingTarget::Sweep { mm }),
            Some(WingWanted::BevelAtTop { bevel }) => target = Some(WingTarget::BevelAtTop { bevel }),
            Some(WingWanted::SameAs { entry: other }) => {
                let (other_job, view) = bench.answer(other)?;
                let line = same_line(&job, rolling.as_ref(), &other_job, other)?;
                bevel = Target::AtEdge(view.bevel());
                target = Some(WingTarget::SameLine { line });
            }
        }
        if target.is_some() && rolling.is_none() {
            return Err(NotFindable::NotRolled);
        }
        let stand = Stand::of(bench, entry);
        let travels = table::found()
            .filter_map(|what| {
                let stops = table::row(what)?.turned.map(|turned| (turned.stops)(&stand)).unwrap_or_default();
                let at_hand = stops.into_iter().filter(|stop| stop.kind.is_at_hand());
                Some((what, table::range_of(what, &stand)?, at_hand.map(|stop| stop.value).collect()))
            })
            .collect();
        Ok(Self {
            question: Question { setting: job.setting, bevel, wing: target, rolling },
            support: entry.support,
            travels,
            job,
        })
    }

    /// How far something may move, if this setting has it.
    #[must_use]
    pub fn degree_of_freedom(&self, what: Quantity) -> Option<DegreeOfFreedom<'static>> {
        self.question.value_of(what)?;
        let (_, (least, most), _) = self.travels.iter().find(|(known, ..)| *known == what)?;
        Some(DegreeOfFreedom::within(what, *least, *most))
    }

    /// The rests or stop blocks that something may stand at.
    #[must_use]
    pub fn stops_of(&self, what: Quantity) -> &[f64] {
        self.travels.iter().find(|(known, ..)| *known == what).map_or(&[], |(.., stops)| stops)
    }

    /// What is free when nobody says: the reach, or the table's tilt; for a wing the strut angle as well where
    /// there is one.
    #[must_use]
    pub fn usually_free(&self) -> Vec<Quantity> {
        pins::usually_free(&self.support, self.question.wing.is_some())
    }

    /// What is not pinned of a setting, of what it has.
    #[must_use]
    pub fn free_of(&self, entry: &SettingEntry) -> Vec<Quantity> {
        table::found().filter(|&what| entry.is_free(what) && self.degree_of_freedom(what).is_some()).collect()
    }

    /// How far these things may move, with the rests and stop blocks at which they do if they may stand nowhere else.
    ///
    /// # Errors
    /// [`NotFindable::NothingToMove`].
    pub fn degrees_of_freedom(
        &self,
        free: &[Quantity],
        at_stops: bool,
    ) -> Result<Vec<DegreeOfFreedom<'_>>, NotFindable> {
        free.iter()
            .map(|&what| {
                let one = self.degree_of_freedom(what).ok_or(NotFindable::NothingToMove(what))?;
                let stops = self.stops_of(what);
                Ok(if at_stops && !stops.is_empty() { one.at_stops(stops) } else { one })
            })
            .collect()
    }

    /// Every answer with these quantities free; with `at_stops` the strut only at its rests and the projection only at
    /// its stop blocks, where there are any.
    ///
    /// # Errors
    /// [`NotFindable`].
    pub fn find(&self, free: &[Quantity], at_stops: bool) -> Result<Found, NotFindable> {
        let freedoms = self.degrees_of_freedom(free, at_stops)?;
        let solutions = self.question.solve(&freedoms)?;
        let others: Vec<DegreeOfFreedom<'_>> = table::offered()
            .filter(|what| *what != Quantity::RollCentre)
            .filter_map(|free| self.degree_of_freedom(free))
            .collect();
        let remedies = self.question.remedies(&freedoms, &solutions, &others);
        let family = self.question.family(&freedoms, &solutions);
        let nose_gone = solutions
            .nose_gone
            .first()
            .and_then(|lost| self.job_of_solution(lost).ok()?.nose_gone(&lost.view));
        Ok(Found { solutions, remedies, family, nose_gone })
    }

    /// What stands in the way of an answer once wheel, holder, tool, bench and the whole swing are counted in.
    ///
    /// # Errors
    /// [`Refusal`].
    pub fn check(&self, setting: &Setting) -> Result<Job, Refusal> {
        let job = job_with(&self.job, setting)?;
        job.evaluate_to_offer().map(|_| job)
    }

    /// The same of a solution, which may roll about another centre.
    ///
    /// # Errors
    /// [`Refusal`].
    pub fn check_solution(&self, solution: &Solution) -> Result<Job, Refusal> {
        let job = self.job_of_solution(solution)?;
        job.evaluate_to_offer().map(|_| job)
    }

    fn job_of_solution(&self, solution: &Solution) -> Result<Job, Refusal> {
        let mut job = job_with(&self.job, &solution.setting)?;
        if let (Some(roll), Some(centre_mm)) = (job.roll.as_mut(), solution.roll_centre_mm) {
            roll.centre_mm = centre_mm;
        }
        Ok(job)
    }
}

/// The same job with its setting moved; wheel and tool follow.
fn job_with(job: &Job, setting: &Setting) -> Result<Job, DimensionError> {
    let mut moved = Job { setting: *setting, ..*job };
    if let Face::Round { radius_mm } = setting.face {
        moved.wheel = Wheel::new(WheelSpec { diameter_mm: 2.0 * radius_mm, ..*job.wheel.spec() })?;
    }
    if let Some(length_mm) = setting.value_of(Quantity::ToolLength) {
        let tool = &job.tool;
        moved.tool = Tool::new(*tool.blank(), length_mm, tool.blade_length_mm(), None)?;
        if let Some(profile) = tool.profile() {
            moved.tool = moved.tool.with_profile(*profile);
        }
    }
    Ok(moved)
}

/// How a gouge is rolled, if it is.
pub(crate) fn rolling_of(job: &Job, entry: &SettingEntry) -> Option<Rolling> {
    let (Blank::Bar(bar), Some(swing)) = (job.tool.blank(), entry.swing) else { return None };
    Some(Rolling {
        steel: Steel::of_bar(bar),
        wheel_width_mm: job.wheel.width_mm(),
        swing: Swing::to_either_side(Angle::from_degrees(swing.half_swing_deg))?,
        roll_centre_mm: swing.roll_centre_mm,
        turn: Angle::from_degrees(swing.turn_deg),
    })
}

/// The roll line of another setting, if the roll-line theorem applies to both.
fn same_line(
    job: &Job,
    rolling: Option<&Rolling>,
    other_job: &Job,
    other: &SettingEntry,
) -> Result<RollLine, NotFindable> {
    let (Some(rolling), Some(other_rolling)) = (rolling, rolling_of(other_job, other)) else {
        return Err(NotFindable::NotRolled);
    };
    let radius = |job: &Job| job.setting.face.radius_mm();
    let apart = |a: f64, b: f64| (a - b).abs() > 1e-6;
    match (radius(job), radius(other_job)) {
        (Some(a), Some(b)) if !apart(a, b) => {}
        _ => return Err(NotFindable::NotAlike { what: "wheel diameter" }),
    }
    if apart(rolling.roll_centre_mm, other_rolling.roll_centre_mm) {
        return Err(NotFindable::NotAlike { what: "roll centre" });
    }
    if apart(job.setting.edge.height_mm, other_job.setting.edge.height_mm) {
        return Err(NotFindable::NotAlike { what: "height of the edge" });
    }
    let (_, pivot) = other_job.setting.pivot().ok_or(NotFindable::NotAlike { what: "support" })?;
    RollLine::through(pivot, rolling.roll_centre_mm).map_err(|_| NotFindable::NotAlike { what: "roll line" })
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]
mod tests {
    use super::*;
    use crate::saved::library::demo_bench;

    #[test]
    fn every_demo_setting_can_be_found_again_from_its_own_bevel() {
        let bench = demo_bench().unwrap();
        for entry in &bench.settings {
            let (_, view) = bench.answer(entry).unwrap();
            for bevel in [Target::AtEdge(view.bevel()), Target::AcrossFacet(view.facet.across)] {
                let query = BevelQuery::of(&bench, entry, bevel, None).unwrap();
                let found = query.find(&query.usually_free(), false).unwrap();
                let own =
                    found.solutions.answers.first().unwrap_or_else(|| panic!("{}: {found:?}", entry.name));
                assert!(own.cost < 1e-6, "{}: {}", entry.name, own.cost);
                assert!(query.check(&own.setting).is_ok());
            }
        }
    }

    #[test]
    fn swung_demo_settings_are_found_again_from_their_own_wing() {
        let bench = demo_bench().unwrap();
        let mut swung = 0;
        for entry in bench.settings.iter().filter(|entry| entry.swing.is_some()) {
            let (job, view) = bench.answer(entry).unwrap();
            let Ok(shape) = crate::answer::swept::swept(&job, &view, entry.swing.as_ref(), 201) else {
                continue;
            };
            if !shape.is_gouge() || job.setting.pivot().is_none() {
                continue;
            }
            swung += 1;
            let wing = WingWanted::Sweep { mm: shape.summary().wing_sweep_mm() };
            let query = BevelQuery::of(&bench, entry, Target::AtEdge(view.bevel()), Some(wing)).unwrap();
            let found = query.find(&query.usually_free(), false).unwrap();
            // Settings whose wing does not depend on what is free have no answer of their own to find.
            let own = found.solutions.answers.first().unwrap_or_else(|| panic!("{}: {found:?}", entry.name));
            assert!(own.cost < 1e-4, "{}: {}", entry.name, own.cost);
        }
        assert!(swung > 1, "{swung}");
    }

    #[test]
    fn flat_tool_has_no_wing_to_ask_for() {
        let bench = demo_bench().unwrap();
        let entry = bench.settings.iter().find(|entry| entry.swing.is_none()).unwrap();
        let bevel = Target::AtEdge(Angle::from_degrees(40.0));
        let wing = WingWanted::Sweep { mm: 5.0 };
        assert_eq!(BevelQuery::of(&bench, entry, bevel, Some(wing)), Err(NotFindable::NotRolled));
    }
}
