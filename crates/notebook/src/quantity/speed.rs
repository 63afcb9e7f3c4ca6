//! Speeds as they are marked on wheels.

use super::format::FT_MIN_PER_M_S;
use super::misread::{ExpectedKind, QuantityError};
use super::reader;
use super::unit::Size;

/// A speed in metres a second; a number without a unit is in metres a second.
///
/// Units are `m/s`, and `ft/min` or `fpm`. Before the latter, commas in front of three digits mark thousands, as
/// wheels are labelled. A second figure in brackets says the same in the other unit and is passed over:
/// `22.4 m/s (4,408 ft/min)`.
///
/// # Errors
/// What keeps the text from being read as one finite speed, as [`QuantityError`] tells.
pub fn parse_speed(text: &str) -> Result<f64, QuantityError> {
    let reported_once = match text.split_once('(') {
        Some((first, _)) if unit_of(first).is_some() => first,
        _ => text,
    };
    match unit_of(reported_once) {
        Some((number, true)) => {
            reader::read(&without_thousands_marks(number), ExpectedKind::Speed, Size::of(1.0, FT_MIN_PER_M_S))
        }
        Some((number, false)) => reader::read(number, ExpectedKind::Speed, Size::ONE),
        None => reader::read(reported_once, ExpectedKind::Speed, Size::ONE),
    }
}

/// What stands before the unit at the end, and whether that is feet a minute.
fn unit_of(text: &str) -> Option<(&str, bool)> {
    let text = text.trim_end();
    let units = [("m/s", false), ("ft/min", true), ("fpm", true)];
    units.iter().find_map(|&(unit, imperial)| {
        let split = text.len().checked_sub(unit.len())?;
        let (number, end) = text.split_at_checked(split)?;
        end.eq_ignore_ascii_case(unit).then_some((number, imperial))
    })
}

/// The text without the commas that have a digit before them and exactly three digits behind.
fn without_thousands_marks(text: &str) -> String {
    let bytes = text.as_bytes();
    let digit = |at: Option<usize>| at.and_then(|at| bytes.get(at)).is_some_and(u8::is_ascii_digit);
    let marks = |at: usize| {
        let behind = (1..=3).all(|step| digit(Some(at + step))) && !digit(Some(at + 4));
        digit(at.checked_sub(1)) && behind
    };
    text.char_indices().filter(|&(at, c)| c != ',' || !marks(at)).map(|(_, c)| c).collect()
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]
mod tests {
    use approx::assert_relative_eq;

    use super::*;

    // 1 ft/min = 0.3048 m ÷ 60 s = 0.00508 m/s: derived here from the definition of the foot.
    #[test]
    fn both_units_are_read() {
        assert_relative_eq!(parse_speed("35").unwrap(), 35.0);
        assert_relative_eq!(parse_speed("35 m/s").unwrap(), 35.0);
        assert_relative_eq!(parse_speed("4,408 ft/min").unwrap(), 22.392_64, max_relative = 1e-12);
        assert_relative_eq!(parse_speed("6900FPM").unwrap(), 35.052, max_relative = 1e-12);
        assert_relative_eq!(parse_speed("1,234,500 fpm").unwrap(), 6271.26, max_relative = 1e-12);
        assert_relative_eq!(parse_speed("22,4 m/s (4,408 ft/min)").unwrap(), 22.4);
        assert_relative_eq!(parse_speed("(30+5) m/s").unwrap(), 35.0);
    }

    #[test]
    fn other_units_are_refused() {
        assert!(matches!(parse_speed("35 mm"), Err(QuantityError::WrongKind { .. })));
        assert!(matches!(parse_speed("35 knots"), Err(QuantityError::UnknownUnit { .. })));
        assert!(matches!(parse_speed("m/s"), Err(QuantityError::Empty { wanted: ExpectedKind::Speed })));
    }
}
