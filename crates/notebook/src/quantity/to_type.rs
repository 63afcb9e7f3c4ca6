//! Lengths as they stand in a field.

use crate::quantity::{self, LengthUnit, Units};

/// A length with a tenth of a millimetre, or with a hundredth where it needs one: what is shown can be typed again.
#[must_use]
pub fn length_text(mm: f64, units: Units) -> String {
    let needs_more = (mm * 10.0 - (mm * 10.0).round()).abs() > 1e-6;
    match units.length {
        LengthUnit::Millimetre if needs_more => quantity::format_length(mm, LengthUnit::Millimetre, 2),
        _ => units.length(mm),
    }
}
