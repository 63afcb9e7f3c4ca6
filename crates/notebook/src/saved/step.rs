//! A further step of a setting: what it moves, and how wide it leaves the facet before it.

use bevelbench_geometry::math::Quantity;
use serde::{Deserialize, Serialize};

/// A further step of a setting.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FurtherStepSaved {
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
    pub const fn to(free: Quantity, value: f64) -> Option<Self> {
        Some(match free {
            Quantity::Reach => Self::Reach { reach_mm: value },
            Quantity::Projection => Self::Projection { projection_mm: value },
            Quantity::StrutAngle => Self::StrutAngle { strut_angle_deg: value },
            Quantity::TableTilt => Self::TableTilt { tilt_deg: value },
            _ => return None,
        })
    }

    /// What is moved.
    #[must_use]
    pub const fn free(self) -> Quantity {
        match self {
            Self::Reach { .. } => Quantity::Reach,
            Self::Projection { .. } => Quantity::Projection,
            Self::StrutAngle { .. } => Quantity::StrutAngle,
            Self::TableTilt { .. } => Quantity::TableTilt,
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
