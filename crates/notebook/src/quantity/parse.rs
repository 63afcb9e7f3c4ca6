//! Lengths, angles, speeds and plain numbers as people read and write them.
//!
//! What `format_*` writes, the `parse_*` of the same kind reads back to within what was displayed.
//!
//! # What is read
//!
//! * Numbers with a decimal point or a decimal comma: `7.5`, `0,5`, `.5`. There are no thousands marks: `1,500`
//!   is one and a half, and a number with both marks is refused.
//! * Fractions and mixed numbers: `3/8`, `1 1/2`, `½`, `1½`. `1-1/2"` is a mixed number **only** when it is
//!   written without spaces, its fraction is less than one, and an inch mark (`"`, `″`, `''`) follows directly;
//!   everywhere else the hyphen takes away: `1-1/2` is a half, and `1-1/2 in` takes half an inch from one. In the
//!   same way a hyphen directly between a foot mark and inches joins them: `1'-6"` is eighteen inches. A number
//!   under a slash is never mixed: `3/8-1/8"` is a quarter.
//! * Units of length: µm, mm, cm, m, thou, in, ft, an inch mark, a foot mark. Units of angle: deg, d, °; min, m, ′;
//!   sec, s, ″; rad. Either case; a foot with inches and degrees with minutes and seconds may follow each other
//!   (`1 ft 6 in`, `45°30′`).
//! * Sums: `+ − * / × ÷` and brackets. A unit behind a product of plain numbers goes with the whole product
//!   (`3/8 in`, `(85+60)/2 mm`); elsewhere it goes with the number in front of it (`6 in − 2 mm`). A number that
//!   has none takes the unit in use. Lengths are multiplied and divided by plain numbers only; a length over a
//!   length is a plain ratio, which may scale a length.
//! * A hyphen, a real minus or an en dash as a minus; `≈` or `~` in front, which changes nothing.

use crate::quantity::{
    length_unit::LengthUnit,
    misread::{ExpectedKind, QuantityError},
    reader,
    unit::Size,
};

/// A length in millimetres; a number without a unit is in `default_unit`.
///
/// # Errors
/// What keeps the text from being read as one finite length, as [`QuantityError`] tells.
pub fn parse_length(text: &str, default_unit: LengthUnit) -> Result<f64, QuantityError> {
    let size = match default_unit {
        LengthUnit::Millimetre => Size::ONE,
        LengthUnit::Inch | LengthUnit::InchFraction => Size::INCH,
    };
    reader::read(text, ExpectedKind::Length, size)
}

/// An angle in degrees; a number without a unit is in degrees.
///
/// # Errors
/// What keeps the text from being read as one finite angle, as [`QuantityError`] tells.
pub fn parse_angle(text: &str) -> Result<f64, QuantityError> {
    reader::read(text, ExpectedKind::Angle, Size::ONE)
}

/// A plain number, without any unit.
///
/// # Errors
/// What keeps the text from being read as one finite number, as [`QuantityError`] tells.
pub fn parse_number(text: &str) -> Result<f64, QuantityError> {
    reader::read(text, ExpectedKind::Number, Size::ONE)
}
