//! The further steps of a setting: what is moved for a second bevel or a heel relief, and how wide the facet before it
//! is left.

use bevelbench_geometry::{
    facet::{Relief, ReliefRefusal},
    math::Quantity,
    side::{Free, Job, SideView},
};
use serde::{Deserialize, Serialize};

use crate::{
    answer::bench::Unanswered,
    saved::{Bench, SettingEntry},
};

/// A further step of a setting.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct StepSaved {
    /// What is moved, and to where; everything else stays as the step before left it.
    pub moved: MovedSaved,
    /// How wide the facet before it is left, in millimetres.
    pub left_width_mm: f64,
}

/// What a further step moves, and to where.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum MovedSaved {
    /// The arm.
    Reach {
        /// Reach, in millimetres.
        reach_mm: f64,
    },
    /// The tool in its holder.
    Projection {
        /// Projection, in millimetres.
        projection_mm: f64,
    },
    /// The strut.
    StrutAngle {
        /// Strut angle.
        strut_angle_deg: f64,
    },
    /// The table.
    TableTilt {
        /// Tilt; positive when the operator's side is high.
        tilt_deg: f64,
    },
}

impl MovedSaved {
    /// Something moved to a value, in millimetres or degrees; `None` for what no step moves.
    #[must_use]
    pub const fn to(free: Free, value: f64) -> Option<Self> {
        Some(match free {
            Free::Reach => Self::Reach { reach_mm: value },
            Free::Projection => Self::Projection { projection_mm: value },
            Free::StrutAngle => Self::StrutAngle { strut_angle_deg: value },
            Free::TableTilt => Self::TableTilt { tilt_deg: value },
            Free::ToolLength | Free::WheelDiameter => return None,
        })
    }

    /// What is moved.
    #[must_use]
    pub const fn free(self) -> Free {
        match self {
            Self::Reach { .. } => Free::Reach,
            Self::Projection { .. } => Free::Projection,
            Self::StrutAngle { .. } => Free::StrutAngle,
            Self::TableTilt { .. } => Free::TableTilt,
        }
    }

    /// Which quantity that is.
    #[must_use]
    pub const fn quantity(self) -> Quantity {
        match self {
            Self::Reach { .. } => Quantity::Reach,
            Self::Projection { .. } => Quantity::Projection,
            Self::StrutAngle { .. } => Quantity::StrutAngle,
            Self::TableTilt { .. } => Quantity::TableTilt,
        }
    }

    /// To where, in millimetres or degrees.
    #[must_use]
    pub const fn value(self) -> f64 {
        match self {
            Self::Reach { reach_mm: value }
            | Self::Projection { projection_mm: value }
            | Self::StrutAngle { strut_angle_deg: value }
            | Self::TableTilt { tilt_deg: value } => value,
        }
    }

    /// The same thing moved elsewhere.
    #[must_use]
    pub const fn moved_to(self, value: f64) -> Self {
        match self {
            Self::Reach { .. } => Self::Reach { reach_mm: value },
            Self::Projection { .. } => Self::Projection { projection_mm: value },
            Self::StrutAngle { .. } => Self::StrutAngle { strut_angle_deg: value },
            Self::TableTilt { .. } => Self::TableTilt { tilt_deg: value },
        }
    }
}

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
        let steps =
            self.further_steps.iter().map(|step| (step.moved.free(), step.moved.value(), step.left_width_mm));
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
