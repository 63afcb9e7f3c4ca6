//! Why an entry was refused, in words a person can act on.

use std::fmt;

use super::unit::QuantityKind;

/// Most characters of the entry that a message repeats.
const MOST_QUOTED: usize = 24;

/// What was wrong with an entry, where (`at` counts bytes from its start), and, in its `Display`, the mend.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum QuantityError {
    /// Nothing was written.
    Empty,
    /// The entry stops where a number or a closing bracket must follow.
    Unfinished {
        /// The end of what was written.
        text: String,
        /// Where the missing part belongs.
        at: usize,
    },
    /// Something stands where a number is expected, or a number has two decimal marks.
    NotANumber {
        /// What stands there.
        text: String,
        /// Where it begins.
        at: usize,
    },
    /// A word or sign behind a number that is no unit.
    UnknownUnit {
        /// The word.
        text: String,
        /// Where it begins.
        at: usize,
        /// What the entry should be.
        asked: QuantityKind,
    },
    /// A unit of another sort of quantity, or a result of another sort.
    WrongKind {
        /// The unit, or the whole entry if it is the result.
        text: String,
        /// Where it begins.
        at: usize,
        /// What the entry should be.
        asked: QuantityKind,
        /// What it is.
        found: QuantityKind,
    },
    /// Something that does not fit behind a complete quantity.
    Unexpected {
        /// What does not fit.
        text: String,
        /// Where it begins.
        at: usize,
    },
    /// A calculation of quantities that has no meaning here, such as a length times a length.
    DoesNotCombine {
        /// The sign between them, as `+`, `−`, `×` or `÷`.
        operator: char,
        /// Where the sign stands.
        at: usize,
        /// What the entry should be.
        asked: QuantityKind,
    },
    /// A division by zero.
    DivisionByZero {
        /// Where the division sign, or the divisor of a fraction, stands.
        at: usize,
    },
    /// A result beyond the range of numbers.
    NotFinite {
        /// Where it was first beyond the range.
        at: usize,
    },
    /// More text than any sensible entry has.
    TooLong {
        /// Bytes written.
        bytes: usize,
        /// Bytes allowed.
        most: usize,
    },
    /// More brackets inside brackets than any sensible entry has.
    TooDeep {
        /// Where one bracket too many opens.
        at: usize,
        /// Brackets allowed.
        most: usize,
    },
}

/// The beginning of a text, short enough for a message.
pub(crate) fn quoted(text: &str) -> String {
    let mut characters = text.chars();
    let mut short: String = characters.by_ref().take(MOST_QUOTED).collect();
    if characters.next().is_some() {
        short.push('…');
    }
    short
}

/// The end of a text, short enough for a message.
pub(crate) fn quoted_end(text: &str) -> String {
    let length = text.chars().count();
    if length <= MOST_QUOTED {
        return text.to_owned();
    }
    let mut short = String::from("…");
    short.extend(text.chars().skip(length - MOST_QUOTED));
    short
}

impl fmt::Display for QuantityError {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Empty => {
                formatter.write_str("Nothing is written here: type a number, with or without its unit.")
            }
            Self::Unfinished { text, .. } => {
                write!(formatter, "“{text}” stops too soon: a number or a closing bracket must follow.")
            }
            Self::NotANumber { text, .. } => {
                write!(
                    formatter,
                    "“{text}” is not a number: write digits with one decimal point or comma, or a fraction such as 3/8."
                )
            }
            Self::UnknownUnit { text, asked: QuantityKind::Number, .. } => {
                write!(
                    formatter,
                    "“{text}” does not belong here: this is a plain number, write it without a unit."
                )
            }
            Self::UnknownUnit { text, asked, .. } => {
                write!(formatter, "“{text}” is not a unit known here: write {}.", asked.units_in_words())
            }
            Self::WrongKind { text, asked: QuantityKind::Number, found, .. } => {
                write!(
                    formatter,
                    "“{text}” makes this {found}, and a plain number is asked for: leave the unit away."
                )
            }
            Self::WrongKind { text, asked, found: QuantityKind::Number, .. } => {
                write!(
                    formatter,
                    "“{text}” is a plain number, since its units cancel, and {asked} is asked for: write {} behind it.",
                    asked.units_in_words()
                )
            }
            Self::WrongKind { text, asked, found, .. } => {
                write!(
                    formatter,
                    "“{text}” makes this {found}, and {asked} is asked for: write {}.",
                    asked.units_in_words()
                )
            }
            Self::Unexpected { text, .. } => {
                write!(
                    formatter,
                    "“{text}” does not fit where it stands: put +, −, * or / before it, or take it away."
                )
            }
            Self::DoesNotCombine { operator, asked, .. } => {
                write!(
                    formatter,
                    "What stands around “{operator}” does not give {asked}: add and subtract like with like, multiply and divide by plain numbers."
                )
            }
            Self::DivisionByZero { .. } => {
                formatter.write_str("This divides by zero: write another number behind the division sign.")
            }
            Self::NotFinite { .. } => formatter
                .write_str("This is larger than any number the program can hold: write a smaller one."),
            Self::TooLong { bytes, most } => {
                write!(
                    formatter,
                    "This entry has {bytes} characters and at most {most} are read: write it shorter."
                )
            }
            Self::TooDeep { most, .. } => {
                write!(
                    formatter,
                    "There are more than {most} brackets inside one another: write it with fewer."
                )
            }
        }
    }
}

impl std::error::Error for QuantityError {}
