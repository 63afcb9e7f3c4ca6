//! Why a text could not be read as a quantity, and how to write it.

use std::fmt;

use crate::quantity::bounds::{DEEPEST_NESTING, LONGEST_TEXT};

/// The kind of quantity that a field asks for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum ExpectedKind {
    /// A plain number without a unit.
    Number,
    /// A length.
    Length,
    /// An angle.
    Angle,
    /// A speed.
    Speed,
}

impl ExpectedKind {
    const fn name(self) -> &'static str {
        match self {
            Self::Number => "a plain number",
            Self::Length => "a length",
            Self::Angle => "an angle",
            Self::Speed => "a speed",
        }
    }

    const fn example(self) -> &'static str {
        match self {
            Self::Number => "12.5",
            Self::Length => "75 mm or 1 1/2 in",
            Self::Angle => "45° or 45°30′",
            Self::Speed => "35 m/s or 6900 ft/min",
        }
    }

    /// What to write where a unit is out of place.
    const fn unit_remedy(self) -> &'static str {
        match self {
            Self::Number => "Leave the unit out.",
            Self::Length => "Write mm, cm, m, in or ft.",
            Self::Angle => "Write °, deg, ′ or ″.",
            Self::Speed => "Write m/s or ft/min.",
        }
    }
}

/// What keeps a text from being read as a quantity. Each shows as a sentence on the text and a sentence on the remedy.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum QuantityError {
    /// There is nothing but spaces.
    Empty {
        /// The kind asked for.
        wanted: ExpectedKind,
    },
    /// The text is longer than [`LONGEST_TEXT`].
    TooLong,
    /// Brackets stand deeper in brackets than [`DEEPEST_NESTING`].
    TooDeep,
    /// The text stops where a number or a closing bracket should follow.
    Unfinished {
        /// The end of the text.
        text: String,
    },
    /// A part of the text is no number.
    NotANumber {
        /// That part.
        text: String,
    },
    /// A sign, a bracket or a unit stands where none can.
    Stray {
        /// What stands there.
        text: String,
    },
    /// A ± stands where one quantity is asked for, as one sign or as `+-`.
    PlusMinus {
        /// The text from there on.
        text: String,
    },
    /// A number or a bracket follows another with no sign between them.
    SideBySide {
        /// What follows.
        text: String,
    },
    /// A word behind a number is no unit that is known here.
    UnknownUnit {
        /// The word.
        text: String,
        /// The kind asked for.
        wanted: ExpectedKind,
    },
    /// A unit belongs to another kind of quantity.
    WrongKind {
        /// The unit.
        text: String,
        /// The kind asked for.
        wanted: ExpectedKind,
    },
    /// The sum does not come out as the kind asked for: a length times a length, one over a length, a bare ratio.
    WrongOutcome {
        /// The kind asked for.
        wanted: ExpectedKind,
    },
    /// Something is divided by nothing.
    DivisionByZero,
    /// The value is beyond all numbers.
    NotFinite,
}

/// The beginning of a part of the text, short enough to quote.
pub(super) fn quoted(text: &str) -> String {
    const LONGEST_QUOTE: usize = 24;
    let mut clean = text.trim().chars().filter(|c| !c.is_control());
    let mut quote: String = clean.by_ref().take(LONGEST_QUOTE).collect();
    if clean.next().is_some() {
        quote.push('…');
    }
    quote
}

impl fmt::Display for QuantityError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Empty { wanted } => {
                write!(f, "Nothing is written here. Write {}, such as {}.", wanted.name(), wanted.example())
            }
            Self::TooLong => {
                write!(
                    f,
                    "The text is longer than {LONGEST_TEXT} characters. Write one number or a short sum."
                )
            }
            Self::TooDeep => write!(
                f,
                "More than {DEEPEST_NESTING} brackets stand one inside the other. Write the sum with fewer."
            ),
            Self::Unfinished { text } => write!(
                f,
                "The text stops at “{text}”. Write the number that follows, or close the bracket that is open."
            ),
            Self::NotANumber { text } => write!(
                f,
                "“{text}” is not a number. Write it in digits with one decimal point or comma, such as 12.5."
            ),
            Self::Stray { text } => {
                write!(f, "“{text}” does not fit where it stands. Take it out, or put a number before it.")
            }
            Self::PlusMinus { text } => write!(
                f,
                "“{text}” says how far the value may be off, which is not asked for here. Write the value alone."
            ),
            Self::SideBySide { text } => write!(
                f,
                "“{text}” follows with no sign before it. Put +, −, × or ÷ there, or write one number only."
            ),
            Self::UnknownUnit { text, wanted } => {
                let unit = match wanted {
                    ExpectedKind::Number => "not part of a number",
                    ExpectedKind::Length => "not a unit of length",
                    ExpectedKind::Angle => "not a unit of angle",
                    ExpectedKind::Speed => "not a unit of speed",
                };
                write!(f, "“{text}” is {unit}. {}", wanted.unit_remedy())
            }
            Self::WrongKind { text, wanted } => {
                write!(f, "“{text}” does not go with {}. {}", wanted.name(), wanted.unit_remedy())
            }
            Self::WrongOutcome { wanted } => write!(
                f,
                "The sum does not come out as {}. Multiply and divide by plain numbers only.",
                wanted.name()
            ),
            Self::DivisionByZero => write!(f, "The sum divides by zero. Divide by another number."),
            Self::NotFinite => write!(f, "The value is too large to be kept. Write a smaller number."),
        }
    }
}

impl std::error::Error for QuantityError {}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_words_name_the_text_and_the_remedy() {
        let error = QuantityError::UnknownUnit { text: "ell".into(), wanted: ExpectedKind::Length };
        assert_eq!(error.to_string(), "“ell” is not a unit of length. Write mm, cm, m, in or ft.");
        let error = QuantityError::Empty { wanted: ExpectedKind::Angle };
        assert_eq!(error.to_string(), "Nothing is written here. Write an angle, such as 45° or 45°30′.");
    }

    #[test]
    fn a_long_text_is_quoted_in_short() {
        assert_eq!(quoted(&"k".repeat(30)), format!("{}…", "k".repeat(24)));
        assert_eq!(quoted(" two\nlines "), "twolines");
    }
}
