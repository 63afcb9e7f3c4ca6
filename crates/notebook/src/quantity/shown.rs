//! Quantities as they are shown.

use super::unit::{LengthUnit, MM_PER_INCH, SpeedUnit};

/// The sign in front of a negative quantity: a real minus, as wide as the plus.
const MINUS: char = '\u{2212}';
/// What is shown for a quantity that is no finite number. No entry is read from it.
const NO_VALUE: &str = "—";
/// A fraction of an inch that is further from the length than this is marked as approximate, in millimetres.
const EXACT_WITHIN_MM: f64 = 0.005;
/// Parts of an inch shown in fractions.
const PARTS: u64 = 64;
/// Most decimals shown; more than this is noise of the number format.
const MOST_DECIMALS: usize = 12;
/// Inches above this are shown with decimals even where fractions are asked for: 64ths are no longer resolved.
const MOST_INCHES_IN_FRACTIONS: f64 = 1e9;

/// A plain number with `decimals` decimals (at most 12), a real minus sign, and no minus in front of a zero.
/// A number that is not finite is shown as a dash.
///
/// # Example
/// ```
/// use bevelbench_notebook::quantity::format_number;
/// assert_eq!(format_number(-12.5, 1), "−12.5");
/// assert_eq!(format_number(-0.04, 1), "0.0");
/// ```
#[must_use]
pub fn format_number(value: f64, decimals: usize) -> String {
    if !value.is_finite() {
        return NO_VALUE.to_owned();
    }
    let digits = format!("{:.*}", decimals.min(MOST_DECIMALS), value.abs());
    let is_zero = digits.bytes().all(|digit| matches!(digit, b'0' | b'.'));
    if value < 0.0 && !is_zero { format!("{MINUS}{digits}") } else { digits }
}

/// A length in the reader's unit, from millimetres: `75.0 mm`, `2.953″`, `2 61/64″`.
///
/// `decimals` (at most 12) holds for millimetres and decimal inches. Fractions go to the nearest 1/64 inch, reduced, and
/// carry a leading `≈` if the fraction shown is further than 0.005 mm from the length. A length that is not finite is shown
/// as a dash.
///
/// # Example
/// ```
/// use bevelbench_notebook::quantity::{LengthUnit, format_length};
/// assert_eq!(format_length(75.0, LengthUnit::Millimetre, 1), "75.0 mm");
/// assert_eq!(format_length(75.0, LengthUnit::Inch, 3), "2.953″");
/// assert_eq!(format_length(75.0, LengthUnit::InchFraction, 3), "≈2 61/64″");
/// assert_eq!(format_length(-9.525, LengthUnit::InchFraction, 3), "−3/8″");
/// ```
#[must_use]
pub fn format_length(millimetres: f64, unit: LengthUnit, decimals: usize) -> String {
    if !millimetres.is_finite() {
        return NO_VALUE.to_owned();
    }
    match unit {
        LengthUnit::Millimetre => format!("{} mm", format_number(millimetres, decimals)),
        LengthUnit::Inch => format!("{}″", format_number(millimetres / MM_PER_INCH, decimals)),
        LengthUnit::InchFraction => inch_fraction(millimetres),
    }
}

/// An angle in degrees: `45.0°`. An angle that is not finite is shown as a dash.
///
/// # Example
/// ```
/// use bevelbench_notebook::quantity::format_angle;
/// assert_eq!(format_angle(45.0, 1), "45.0°");
/// ```
#[must_use]
pub fn format_angle(degrees: f64, decimals: usize) -> String {
    if degrees.is_finite() { format!("{}°", format_number(degrees, decimals)) } else { NO_VALUE.to_owned() }
}

/// A speed in the reader's unit, from metres per second: `23.6 m/s`, `4646 ft/min`. A speed that is not finite is shown as a
/// dash.
///
/// # Example
/// ```
/// use bevelbench_notebook::quantity::{SpeedUnit, format_speed};
/// assert_eq!(format_speed(23.6, SpeedUnit::MetrePerSecond, 1), "23.6 m/s");
/// assert_eq!(format_speed(23.6, SpeedUnit::FootPerMinute, 0), "4646 ft/min");
/// ```
#[must_use]
pub fn format_speed(metres_per_second: f64, unit: SpeedUnit, decimals: usize) -> String {
    if metres_per_second.is_finite() {
        format!("{} {}", format_number(metres_per_second / unit.metres_per_second(), decimals), unit.symbol())
    } else {
        NO_VALUE.to_owned()
    }
}

/// The nearest 1/64 inch, as a reduced mixed number.
fn inch_fraction(millimetres: f64) -> String {
    let inches = millimetres.abs() / MM_PER_INCH;
    if inches > MOST_INCHES_IN_FRACTIONS {
        return format!("{}″", format_number(millimetres / MM_PER_INCH, 3));
    }
    let parts = (inches * PARTS as f64).round() as u64;
    let shown_mm = parts as f64 * MM_PER_INCH / PARTS as f64;
    let about = if (shown_mm - millimetres.abs()).abs() > EXACT_WITHIN_MM { "≈" } else { "" };
    let sign = if millimetres < 0.0 && parts > 0 { "−" } else { "" };
    let (whole, rest) = (parts / PARTS, parts % PARTS);
    if rest == 0 {
        return format!("{about}{sign}{whole}″");
    }
    // 64 is a power of two, so the common factors are the trailing zero bits.
    let shift = rest.trailing_zeros();
    let (numerator, denominator) = (rest >> shift, PARTS >> shift);
    if whole == 0 {
        format!("{about}{sign}{numerator}/{denominator}″")
    } else {
        format!("{about}{sign}{whole} {numerator}/{denominator}″")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn fractions_are_reduced_and_marked_when_approximate() {
        let shown = |inches: f64| format_length(inches * MM_PER_INCH, LengthUnit::InchFraction, 0);
        assert_eq!(shown(0.0), "0″");
        assert_eq!(shown(0.5), "1/2″");
        assert_eq!(shown(1.0 / 64.0), "1/64″");
        assert_eq!(shown(2.0 + 61.0 / 64.0), "2 61/64″");
        assert_eq!(shown(-1.5), "−1 1/2″");
        assert_eq!(shown(3.0), "3″");
        // 0.005 mm either side of the mark: derived here from the rule.
        assert_eq!(format_length(12.7 + 0.0049, LengthUnit::InchFraction, 0), "1/2″");
        assert_eq!(format_length(12.7 + 0.0051, LengthUnit::InchFraction, 0), "≈1/2″");
        assert_eq!(format_length(-0.1, LengthUnit::InchFraction, 0), "≈0″");
        // Rounding up to the next whole inch leaves no fraction.
        assert_eq!(format_length(25.39, LengthUnit::InchFraction, 0), "≈1″");
    }

    #[test]
    fn a_rounded_zero_has_no_minus_sign() {
        assert_eq!(format_length(-0.04, LengthUnit::Millimetre, 1), "0.0 mm");
        assert_eq!(format_angle(-0.0, 1), "0.0°");
        assert_eq!(format_angle(-0.05, 2), "−0.05°");
    }

    #[test]
    fn what_is_no_number_is_shown_as_a_dash() {
        for value in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
            assert_eq!(format_number(value, 1), "—");
            assert_eq!(format_angle(value, 1), "—");
            assert_eq!(format_speed(value, SpeedUnit::FootPerMinute, 1), "—");
            for unit in LengthUnit::ALL {
                assert_eq!(format_length(value, unit, 1), "—");
            }
        }
    }

    #[test]
    fn absurd_precision_and_size_are_bounded() {
        assert_eq!(format_number(1.0, usize::MAX), "1.000000000000");
        assert!(format_length(f64::MAX, LengthUnit::InchFraction, 3).len() < 400);
    }
}
