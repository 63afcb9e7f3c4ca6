//! Units as they are typed.

use super::misread::{ExpectedKind, QuantityError, quoted};
use super::token::{Part, Token};

/// The size of a unit in the kept one (millimetres, degrees, metres a second), as a quotient.
///
/// 25.4 has no exact binary form and 127/5 has: multiplied first and divided last, `1-1/2"` is 38.1 mm and not
/// 38.099 999 999 999 994.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Size {
    over: f64,
    under: f64,
}

impl Size {
    pub(super) const ONE: Self = Self::of(1.0, 1.0);
    pub(super) const INCH: Self = Self::of(127.0, 5.0);

    pub(super) const fn of(over: f64, under: f64) -> Self {
        Self { over, under }
    }

    /// So many of the unit.
    pub(super) fn times(self, amount: f64) -> f64 {
        let product = amount * self.over;
        // Near the end of the numbers the product is beyond them where the outcome is not.
        if product.is_finite() { product / self.under } else { amount * (self.over / self.under) }
    }
}

/// A unit of the kind asked for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Unit {
    /// How much one of it is.
    pub(super) size: Size,
    /// Where it stands among the units that may follow each other, the greatest first.
    pub(super) step: Option<u8>,
}

impl Unit {
    /// Whether a number in this unit may be followed by one in `finer` with no sign between.
    pub(super) fn leads(self, finer: Self) -> bool {
        self.step.zip(finer.step).is_some_and(|(coarse, fine)| coarse < fine)
    }
}

/// The unit that a token is: `None` if it is no unit at all.
pub(super) fn unit(token: &Token<'_>, wanted: ExpectedKind) -> Option<Result<Unit, QuantityError>> {
    if !matches!(token.part, Part::Word | Part::DoubleMark | Part::SingleMark | Part::Ring) {
        return None;
    }
    let word = token.text.trim_end_matches('.').to_lowercase();
    let (length, angle) = (unit_of_length(token.part, &word), unit_of_angle(token.part, &word));
    let known = length.is_some() || angle.is_some();
    let found = match wanted {
        ExpectedKind::Length => length,
        ExpectedKind::Angle => angle,
        ExpectedKind::Number | ExpectedKind::Speed => None,
    };
    let text = || quoted(token.text);
    Some(match found {
        Some(unit) => Ok(unit),
        None if known => Err(QuantityError::WrongKind { text: text(), wanted }),
        None => Err(QuantityError::UnknownUnit { text: text(), wanted }),
    })
}

fn unit_of_length(part: Part, word: &str) -> Option<Unit> {
    let (size, step) = match (part, word) {
        (Part::DoubleMark, _) | (_, "in" | "inch" | "inches") => (Size::INCH, Some(1)),
        (Part::SingleMark, _) | (_, "ft" | "foot" | "feet") => (Size::of(1524.0, 5.0), Some(0)),
        (_, "thou") => (Size::of(127.0, 5000.0), None),
        // The micro sign and the Greek letter look alike; keyboards have either.
        (_, "\u{b5}m" | "\u{3bc}m" | "um") => (Size::of(1.0, 1000.0), None),
        (_, "mm" | "millimetre" | "millimetres" | "millimeter" | "millimeters") => (Size::ONE, None),
        (_, "cm" | "centimetre" | "centimetres" | "centimeter" | "centimeters") => {
            (Size::of(10.0, 1.0), None)
        }
        (_, "m" | "metre" | "metres" | "meter" | "meters") => (Size::of(1000.0, 1.0), None),
        _ => return None,
    };
    Some(Unit { size, step })
}

fn unit_of_angle(part: Part, word: &str) -> Option<Unit> {
    let (size, step) = match (part, word) {
        (Part::Ring, _) | (_, "d" | "deg" | "degree" | "degrees") => (Size::ONE, Some(0)),
        (Part::SingleMark, _) | (_, "m" | "min" | "minute" | "minutes") => (Size::of(1.0, 60.0), Some(1)),
        (Part::DoubleMark, _) | (_, "s" | "sec" | "second" | "seconds") => (Size::of(1.0, 3600.0), Some(2)),
        (_, "rad" | "radian" | "radians") => (Size::of(180.0, std::f64::consts::PI), None),
        _ => return None,
    };
    Some(Unit { size, step })
}
