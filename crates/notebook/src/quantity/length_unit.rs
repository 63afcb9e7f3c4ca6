//! Units of length in use, and the inch.

use serde::{Deserialize, Serialize};

/// Millimetres in an inch: exact by definition (international yard and pound agreement, 1959).
pub const MM_PER_INCH: f64 = 25.4;

/// How lengths are written, and the unit of a number that is typed without one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, Serialize, Deserialize)]
pub enum LengthUnit {
    /// Millimetres.
    #[default]
    Millimetre,
    /// Inches with decimals.
    Inch,
    /// Inches with fractions, to the nearest sixty-fourth.
    InchFraction,
}

impl LengthUnit {
    /// Millimetres in one of this unit.
    #[must_use]
    pub const fn in_mm(self) -> f64 {
        match self {
            Self::Millimetre => 1.0,
            Self::Inch | Self::InchFraction => MM_PER_INCH,
        }
    }
}
