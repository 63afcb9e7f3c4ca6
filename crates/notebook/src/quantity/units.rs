//! How numbers are shown and read in the window: the unit chosen, the decimals of each kind of quantity.

use crate::quantity::{self, LengthUnit, kind::Kind};

/// The unit of lengths, with the decimals that go with it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Units {
    /// The unit of lengths.
    pub length: LengthUnit,
}

impl Units {
    /// Whether lengths are metric.
    #[must_use]
    pub const fn is_metric(self) -> bool {
        matches!(self.length, LengthUnit::Millimetre)
    }

    /// The name of the unit that small lengths are written in.
    #[must_use]
    pub const fn length_name(self) -> &'static str {
        if self.is_metric() { "mm" } else { "inch" }
    }

    /// A length as it is set at the bench: to a tenth of a millimetre.
    #[must_use]
    pub fn length(self, mm: f64) -> String {
        quantity::length_text(mm, self.length)
    }

    /// A small length: hollows and gaps, to a hundredth of a millimetre. Fractions would hide them.
    #[must_use]
    pub fn fine(self, mm: f64) -> String {
        quantity::fine_text(mm, self.length)
    }

    /// The thickness of a film: to a thousandth of a millimetre.
    #[must_use]
    pub fn film(self, mm: f64) -> String {
        match self.length {
            LengthUnit::Millimetre => quantity::format_length(mm, LengthUnit::Millimetre, 3),
            LengthUnit::Inch | LengthUnit::InchFraction => quantity::format_length(mm, LengthUnit::Inch, 5),
        }
    }

    /// An angle in degrees, to a tenth.
    #[must_use]
    pub fn angle(self, degrees: f64) -> String {
        quantity::format_angle(degrees, 1)
    }

    /// A value of a kind.
    #[must_use]
    pub fn show(self, kind: Kind, value: f64) -> String {
        match kind {
            Kind::Length => self.length(value),
            Kind::Angle => self.angle(value),
        }
    }

    /// Reads what was typed for a kind, in millimetres or degrees.
    ///
    /// # Errors
    /// The words that say what was wrong and how to write it.
    pub fn read(self, kind: Kind, text: &str) -> Result<f64, String> {
        match kind {
            Kind::Length => quantity::parse_length(text, self.length),
            Kind::Angle => quantity::parse_angle(text),
        }
        .map_err(|error| error.to_string())
    }
}
