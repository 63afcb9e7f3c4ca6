//! The further steps of a setting: what is moved for a second bevel or a heel relief, and how wide the facet before it
//! is left.

use bevelbench_geometry::{
    facet::{Relief, ReliefRefusal},
    side::{Job, SideView},
};

use crate::{
    answer::bench::Unanswered,
    saved::{bench::Bench, setting::SettingEntry},
};

/// Why a setting's steps grind nothing.
#[derive(Debug, Clone, PartialEq)]
pub enum NoFacets {
    /// The setting itself has no answer.
    Unanswered(Unanswered),
    /// One of its steps is refused.
    Step(ReliefRefusal),
}

impl From<Unanswered> for NoFacets {
    fn from(unanswered: Unanswered) -> Self {
        Self::Unanswered(unanswered)
    }
}

impl From<ReliefRefusal> for NoFacets {
    fn from(refusal: ReliefRefusal) -> Self {
        Self::Step(refusal)
    }
}

impl SettingEntry {
    /// The facets its steps leave on a job that has an answer.
    ///
    /// # Errors
    /// [`ReliefRefusal`] of the first step that fails.
    pub fn relief(&self, job: &Job, view: &SideView) -> Result<Relief, ReliefRefusal> {
        let steps = self
            .further_steps
            .iter()
            .map(|step| (step.moved.quantity(), step.moved.value(), step.left_width_mm));
        Relief::of(job, view, steps)
    }

    /// The same, where it has any steps and they can be ground: for drawings.
    #[must_use]
    pub fn relief_if_any(&self, job: &Job, view: &SideView) -> Option<Relief> {
        if self.further_steps.is_empty() {
            return None;
        }
        self.relief(job, view).ok()
    }
}

impl Bench {
    /// The job of a setting, its answer and all its facets.
    ///
    /// # Errors
    /// [`NoFacets`], whatever stands in the way.
    pub fn facets(&self, entry: &SettingEntry) -> Result<(Job, SideView, Relief), NoFacets> {
        let (job, view) = self.answer(entry)?;
        let relief = entry.relief(&job, &view)?;
        Ok((job, view, relief))
    }
}
