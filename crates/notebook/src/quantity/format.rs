//! Quantities as text.

use crate::quantity::length_unit::{LengthUnit, MM_PER_INCH};

/// The sign in front of what is less than nothing: a real minus, as wide as the plus.
const MINUS: char = '\u{2212}';

/// What stands for a value that is none (infinite, or not a number).
const NO_VALUE: &str = "—";

/// Decimals beyond these carry nothing that an `f64` of workshop size holds.
const MOST_DECIMALS: usize = 12;

/// How far a fraction may be from the length it stands for before `≈` says so, in millimetres.
const EXACT_WITHIN_MM: f64 = 0.005;

/// The finest part of an inch that is written as a fraction.
const INCH_PARTS: u32 = 64;

/// Feet a minute in a metre a second: exact, from 0.3048 m in a foot.
pub(super) const FT_MIN_PER_M_S: f64 = 60.0 / 0.3048;

/// A number with this many decimals (12 at most), a real minus sign, and no sign on zero; `—` for what is not finite.
#[must_use]
pub fn format_number(value: f64, decimals: usize) -> String {
    if !value.is_finite() {
        return NO_VALUE.to_owned();
    }
    let digits = format!("{:.*}", decimals.min(MOST_DECIMALS), value.abs());
    signed(value, digits)
}

/// A length given in millimetres, with its unit: `75.0 mm`, `2.953″`, `2 61/64″`.
///
/// Fractions go to the nearest sixty-fourth in lowest terms and leave `decimals` aside; one that is further than
/// 0.005 mm from the length has `≈` in front.
#[must_use]
pub fn format_length(mm: f64, unit: LengthUnit, decimals: usize) -> String {
    if !mm.is_finite() {
        return NO_VALUE.to_owned();
    }
    match unit {
        LengthUnit::Millimetre => format!("{} mm", format_number(mm, decimals)),
        LengthUnit::Inch => format!("{}″", format_number(mm / MM_PER_INCH, decimals)),
        LengthUnit::InchFraction => inch_fraction(mm),
    }
}

/// A length as it is set at the bench: to a tenth of a millimetre.
#[must_use]
pub fn length_text(mm: f64, unit: LengthUnit) -> String {
    format_length(mm, unit, if unit == LengthUnit::Millimetre { 1 } else { 3 })
}

/// A small length, a hollow or a gap: to a hundredth of a millimetre. Fractions would hide them.
#[must_use]
pub fn fine_text(mm: f64, unit: LengthUnit) -> String {
    match unit {
        LengthUnit::Millimetre => format_length(mm, unit, 2),
        LengthUnit::Inch | LengthUnit::InchFraction => format_length(mm, LengthUnit::Inch, 4),
    }
}

/// An angle given in degrees: `45.0°`.
#[must_use]
pub fn format_angle(degrees: f64, decimals: usize) -> String {
    if !degrees.is_finite() {
        return NO_VALUE.to_owned();
    }
    format!("{}°", format_number(degrees, decimals))
}

/// A speed given in metres a second, as wheels are marked: `22.4 m/s (4,408 ft/min)`.
#[must_use]
pub fn format_speed(m_s: f64) -> String {
    let ft_min = m_s * FT_MIN_PER_M_S;
    if !ft_min.is_finite() {
        return NO_VALUE.to_owned();
    }
    let thousands = signed(ft_min, in_thousands(&format!("{:.0}", ft_min.abs())));
    format!("{} m/s ({thousands} ft/min)", format_number(m_s, 1))
}

/// The digits of a size with the minus that its value asks for; none where every digit is a zero.
fn signed(value: f64, mut digits: String) -> String {
    if value < 0.0 && digits.bytes().any(|digit| matches!(digit, b'1'..=b'9')) {
        digits.insert(0, MINUS);
    }
    digits
}

/// Whole digits with a comma before every three from the right.
fn in_thousands(digits: &str) -> String {
    let mut text = String::with_capacity(digits.len() + digits.len() / 3);
    for (at, digit) in digits.chars().enumerate() {
        if at > 0 && (digits.len() - at).is_multiple_of(3) {
            text.push(',');
        }
        text.push(digit);
    }
    text
}

/// A finite length in inches and a fraction in lowest terms.
fn inch_fraction(mm: f64) -> String {
    let inches = mm.abs() / MM_PER_INCH;
    let parts_in_inch = f64::from(INCH_PARTS);
    // Split before scaling: the sixty-fourths of a very long length would not fit in any integer.
    let mut whole = inches.trunc();
    let mut parts = (inches.fract() * parts_in_inch).round();
    if parts >= parts_in_inch {
        whole += 1.0;
        parts = 0.0;
    }
    let shown_mm = (whole + parts / parts_in_inch) * MM_PER_INCH;
    let near = (shown_mm - mm.abs()).abs() <= EXACT_WITHIN_MM;

    let about = if near { "" } else { "≈" };
    let size = match (whole > 0.0, parts > 0.0) {
        (_, false) => format!("{whole:.0}"),
        (true, true) => format!("{whole:.0} {}", in_lowest_terms(parts as u32)),
        (false, true) => in_lowest_terms(parts as u32),
    };
    format!("{about}{}″", signed(mm, size))
}

/// So many sixty-fourths, of which there is at least one.
fn in_lowest_terms(parts: u32) -> String {
    // Sixty-four is a power of two, so halving is all that lowest terms ask for.
    let halvings = parts.trailing_zeros().min(INCH_PARTS.trailing_zeros());
    format!("{}/{}", parts >> halvings, INCH_PARTS >> halvings)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_have_a_real_minus_and_zero_has_none() {
        assert_eq!(format_number(-12.5, 1), "−12.5");
        assert_eq!(format_number(-0.04, 1), "0.0");
        assert_eq!(format_number(-0.0, 0), "0");
        assert_eq!(format_number(-0.05001, 1), "−0.1");
        assert_eq!(format_number(1725.0, 0), "1725");
    }

    #[test]
    fn a_non_finite_value_is_shown_as_a_dash() {
        for value in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
            assert_eq!(format_number(value, 2), "—");
            assert_eq!(format_angle(value, 2), "—");
            assert_eq!(format_speed(value), "—");
            for unit in [LengthUnit::Millimetre, LengthUnit::Inch, LengthUnit::InchFraction] {
                assert_eq!(format_length(value, unit, 2), "—");
            }
        }
    }

    #[test]
    fn a_length_is_written_in_each_unit() {
        assert_eq!(format_length(75.0, LengthUnit::Millimetre, 1), "75.0 mm");
        assert_eq!(format_length(75.0, LengthUnit::Inch, 3), "2.953″");
        // 2 61/64 in is 75.009375 mm, which is 75 mm to less than is asked of an exact fraction: derived here.
        assert_eq!(format_length(75.0, LengthUnit::InchFraction, 3), "≈2 61/64″");
        assert_eq!(format_length(75.01, LengthUnit::InchFraction, 3), "2 61/64″");
        assert_eq!(format_length(-75.01, LengthUnit::InchFraction, 3), "−2 61/64″");
    }

    #[test]
    fn fractions_are_in_lowest_terms() {
        for (mm, text) in [(0.0, "0″"), (12.7, "1/2″"), (9.525, "3/8″"), (25.4, "1″"), (38.1, "1 1/2″")]
        {
            assert_eq!(format_length(mm, LengthUnit::InchFraction, 0), text);
        }
    }

    // 1/64 in is 0.396875 mm, so 3/8 in ± 0.005 mm are the bounds of "exact" here: derived here.
    #[test]
    fn a_fraction_that_is_not_exact_says_so() {
        assert_eq!(format_length(9.525 + 0.0049, LengthUnit::InchFraction, 0), "3/8″");
        assert_eq!(format_length(9.525 + 0.0051, LengthUnit::InchFraction, 0), "≈3/8″");
        assert_eq!(format_length(-0.1, LengthUnit::InchFraction, 0), "≈0″");
        assert_eq!(format_length(-9.6, LengthUnit::InchFraction, 0), "≈−3/8″");
    }

    #[test]
    fn a_fraction_carries_into_the_next_inch() {
        assert_eq!(format_length(25.3, LengthUnit::InchFraction, 0), "≈1″");
        assert_eq!(format_length(50.799, LengthUnit::InchFraction, 0), "2″");
    }

    #[test]
    fn the_longest_lengths_are_written_whole() {
        for unit in [LengthUnit::Millimetre, LengthUnit::Inch, LengthUnit::InchFraction] {
            assert!(
                format_length(f64::MAX, unit, usize::MAX).chars().count()
                    <= crate::quantity::bounds::LONGEST_TEXT
            );
        }
    }

    #[test]
    fn angles_carry_the_ring() {
        assert_eq!(format_angle(45.0, 1), "45.0°");
        assert_eq!(format_angle(-0.001, 1), "0.0°");
    }

    // 4408 ft/min × 0.3048 m/ft ÷ 60 s/min = 22.3926 m/s: derived here from the definition of the foot.
    #[test]
    fn speeds_are_written_in_both_units() {
        assert_eq!(format_speed(22.3926), "22.4 m/s (4,408 ft/min)");
        assert_eq!(format_speed(-22.3926), "−22.4 m/s (−4,408 ft/min)");
        assert_eq!(format_speed(1.0), "1.0 m/s (197 ft/min)");
        assert_eq!(format_speed(6000.0), "6000.0 m/s (1,181,102 ft/min)");
    }
}
