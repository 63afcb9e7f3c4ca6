//! How the tool was moved over the wheel, and why a setting leaves no shape.

use std::{error::Error, fmt};

use bevelbench_geometry::{
    DVec3,
    math::{Angle, DimensionError},
    swept::{GroundError, roll::RollLineError},
};

/// How the tool was moved over the wheel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Movement {
    /// Rolled from wing to wing about a line fixed in the tool.
    Rolled {
        /// Turn of the tool in its holder.
        turn: Angle,
        /// No pivot holds the line: the tool lies on the table and is rolled about its own axis.
        on_table: bool,
    },
    /// Turned flat on the table about the centre of its round nose.
    Turned,
    /// Pushed straight across.
    Pushed {
        /// Along the edge towards `+w`, `(s, h, w)`, unit.
        along: DVec3,
        /// Along the wheel's spindle, `(s, h, w)`, unit.
        spindle: DVec3,
    },
}

/// Why a setting leaves no shape that can be shown.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum NotSwept {
    /// The swing is none.
    SwingOutOfRange {
        /// To either side, in degrees.
        half_deg: f64,
    },
    /// The ground surface does not exist.
    Ground(GroundError),
    /// The wheel meets too little of the edge to speak of one.
    NothingGround,
    /// Two bevels so blunt that no steel is left between them.
    NoWedge {
        /// What both make together.
        together: Angle,
    },
    /// An oblique edge that is curved as well.
    CurvedObliqueEdge {
        /// Its radius in plan, in millimetres.
        radius_mm: f64,
    },
    /// A round nose that hangs on a pivot: it swings about the cup, not flat about its own centre.
    RoundNoseOffTable {
        /// Its radius in plan, in millimetres.
        radius_mm: f64,
    },
}

impl fmt::Display for NotSwept {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::SwingOutOfRange { half_deg } => write!(f, "swing of {half_deg}° to either side"),
            Self::Ground(error) => error.fmt(f),
            Self::NothingGround => f.write_str("nothing ground"),
            Self::NoWedge { together } => write!(f, "bevels of {}° together", together.degrees()),
            Self::CurvedObliqueEdge { radius_mm } => write!(f, "oblique edge curved to {radius_mm} mm"),
            Self::RoundNoseOffTable { radius_mm } => write!(f, "round nose of {radius_mm} mm off the table"),
        }
    }
}

impl Error for NotSwept {}

impl From<GroundError> for NotSwept {
    fn from(error: GroundError) -> Self {
        Self::Ground(error)
    }
}

impl From<DimensionError> for NotSwept {
    fn from(dimension_error: DimensionError) -> Self {
        Self::Ground(GroundError::DimensionError(dimension_error))
    }
}

impl From<RollLineError> for NotSwept {
    fn from(error: RollLineError) -> Self {
        Self::Ground(GroundError::RollLine(error))
    }
}
