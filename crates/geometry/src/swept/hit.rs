//! Where a ray along the tool's axis meets what a wheel left: the terms that every kind of movement shares.

use glam::DVec3;

/// A fraction of the axis below which a ray counts as parallel to the roll line or to the wheel's side.
pub(crate) const PARALLEL: f64 = 1e-12;

/// Which part of the wheel's travel left a point.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum GroundBy {
    /// Ground at the middle of the wheel within the swing (or in a straight push).
    Sweep,
    /// By the rim of the wheel standing at an end of the swing.
    SwingEnd {
        /// At the end towards `+w`.
        positive: bool,
    },
    /// By the wheel's corner, or by its rim away from the plane of its middle, in a pose between the ends of the swing:
    /// what a narrow wheel leaves of steel on the far side of the roll line.
    OffMiddle,
    /// By the wheel's side at an end of the swing: a step no turner wants.
    WheelSide {
        /// At the end towards `+w`.
        positive: bool,
        /// The side facing away from the middle of the swing in the sense of growing roll angle.
        outward: bool,
    },
}

impl GroundBy {
    /// The same seen in a mirror on the tool's plane of symmetry.
    #[must_use]
    pub fn mirrored(self) -> Self {
        match self {
            Self::Sweep | Self::OffMiddle => self,
            Self::SwingEnd { positive } => Self::SwingEnd { positive: !positive },
            Self::WheelSide { positive, outward } => {
                Self::WheelSide { positive: !positive, outward: !outward }
            }
        }
    }
}

/// Where steel begins on a ray along the tool's axis.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hit {
    /// Station, in millimetres.
    pub s_mm: f64,
    /// What ground it.
    pub face: GroundBy,
}

/// The wheel's plane at a ground point.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Rim {
    /// From the wheel's centre to the point, unit.
    pub(crate) radial: DVec3,
    /// Along the rim, unit, of either sense.
    pub(crate) tangent: DVec3,
    /// `None`: straight.
    pub(crate) radius_mm: Option<f64>,
}

/// What a surface tells of a way into the steel, up to where the steel ends.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum FirstGone {
    /// Steel up to here, in millimetres along the way.
    At(f64),
    /// The whole way is steel.
    Nowhere,
    /// No closed form tells: it is left to a search.
    Unknown,
}

impl FirstGone {
    /// A place on a way that ends at `through`.
    pub(crate) fn before(through: f64, at: f64) -> Self {
        if at < through { Self::At(at) } else { Self::Nowhere }
    }

    /// How much steel there is on a way that ends at `through`; `None` where that is not known.
    pub(crate) const fn within(self, through: f64) -> Option<f64> {
        match self {
            Self::At(at) => Some(at),
            Self::Nowhere => Some(through),
            Self::Unknown => None,
        }
    }
}
