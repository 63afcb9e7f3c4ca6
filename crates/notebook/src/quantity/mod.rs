//! Lengths, angles, speeds and plain numbers as people read and write them.
//!
//! Uses no other wing. What `format_*` writes, the `parse_*` of the same kind reads back to within what was displayed;
//! what is read stands in `parse`.

mod bounds;
pub mod figure;
mod format;
pub(crate) mod length_text;
pub(crate) mod length_unit;
mod misread;
mod parse;
mod reader;
mod speed;
pub mod to_type;
mod token;
mod unit;
pub(crate) mod units;

pub use bounds::{DEEPEST_NESTING, LONGEST_TEXT};
pub use format::{fine_text, format_angle, format_length, format_number, format_speed, length_text};
pub use length_text::LengthText;
pub use length_unit::{LengthUnit, MM_PER_INCH};
pub use misread::{ExpectedKind, QuantityError};
pub use parse::{parse_angle, parse_length, parse_number};
pub use speed::parse_speed;
pub use units::Units;

#[cfg(test)]
mod tests;
