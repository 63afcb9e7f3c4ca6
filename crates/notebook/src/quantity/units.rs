//! How numbers are shown and read in the window: the unit chosen, the decimals of each kind of quantity.

use bevelbench_geometry::math::Kind;

use crate::quantity::{self, LengthUnit};

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
            Kind::Speed => format!("{} m/s", quantity::format_number(value, 1)),
            Kind::Turns => format!("{} /min", quantity::format_number(value, 0)),
            Kind::Plain => plain(value),
            Kind::Whole => quantity::format_number(value, 0),
        }
    }

    /// Reads what was typed for a kind, in millimetres, degrees or the unit of the kind.
    ///
    /// # Errors
    /// The words that say what was wrong and how to write it.
    pub fn read(self, kind: Kind, text: &str) -> Result<f64, String> {
        match kind {
            Kind::Length => quantity::parse_length(text, self.length),
            Kind::Angle => quantity::parse_angle(text),
            Kind::Speed => quantity::parse_speed(text),
            Kind::Turns => {
                let number = ["/min", "rpm", "turns a minute"]
                    .iter()
                    .find_map(|unit| text.trim().strip_suffix(unit))
                    .unwrap_or(text);
                quantity::parse_number(number)
            }
            Kind::Plain | Kind::Whole => quantity::parse_number(text),
        }
        .map_err(|error| error.to_string())
    }
}

/// A plain number with as many decimals as it needs, at most four significant ones behind the point.
fn plain(value: f64) -> String {
    let decimals = if value != 0.0 && value.abs() < 0.1 { 5 } else { 3 };
    let text = quantity::format_number(value, decimals);
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn plain_numbers_carry_no_idle_zeros() {
        assert_eq!(plain(2.0), "2");
        assert_eq!(plain(0.0123), "0.0123");
        assert_eq!(plain(1.25), "1.25");
    }
}
