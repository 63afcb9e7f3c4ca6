//! Units as they are typed.

use super::misread::{QuantityError, Wanted, quoted};
use super::token::{Part, Token};

/// A unit of the kind asked for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Unit {
    /// Millimetres or degrees in one of it.
    pub(super) size: f64,
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
pub(super) fn unit(token: &Token<'_>, wanted: Wanted) -> Option<Result<Unit, QuantityError>> {
    if !matches!(token.part, Part::Word | Part::DoubleMark | Part::SingleMark | Part::Ring) {
        return None;
    }
    let word = token.text.trim_end_matches('.').to_lowercase();
    let (length, angle) = (unit_of_length(token.part, &word), unit_of_angle(token.part, &word));
    let known = length.is_some() || angle.is_some();
    let found = match wanted {
        Wanted::Length => length,
        Wanted::Angle => angle,
        Wanted::Number | Wanted::Speed => None,
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
        (Part::DoubleMark, _) | (_, "in" | "inch" | "inches") => (super::MM_PER_INCH, Some(1)),
        (Part::SingleMark, _) | (_, "ft" | "foot" | "feet") => (12.0 * super::MM_PER_INCH, Some(0)),
        (_, "thou") => (super::MM_PER_INCH / 1000.0, None),
        // The micro sign and the Greek letter look alike; keyboards have either.
        (_, "\u{b5}m" | "\u{3bc}m" | "um") => (0.001, None),
        (_, "mm" | "millimetre" | "millimetres" | "millimeter" | "millimeters") => (1.0, None),
        (_, "cm" | "centimetre" | "centimetres" | "centimeter" | "centimeters") => (10.0, None),
        (_, "m" | "metre" | "metres" | "meter" | "meters") => (1000.0, None),
        _ => return None,
    };
    Some(Unit { size, step })
}

fn unit_of_angle(part: Part, word: &str) -> Option<Unit> {
    let (size, step) = match (part, word) {
        (Part::Ring, _) | (_, "d" | "deg" | "degree" | "degrees") => (1.0, Some(0)),
        (Part::SingleMark, _) | (_, "m" | "min" | "minute" | "minutes") => (1.0 / 60.0, Some(1)),
        (Part::DoubleMark, _) | (_, "s" | "sec" | "second" | "seconds") => (1.0 / 3600.0, Some(2)),
        (_, "rad" | "radian" | "radians") => (1.0_f64.to_degrees(), None),
        _ => return None,
    };
    Some(Unit { size, step })
}
