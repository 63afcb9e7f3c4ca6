#![allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]
//! What is read, what is refused, and that what is written is read back.
//!
//! The expected values are derived here from the definitions of the units: 25.4 mm in an inch, 12 inches in a
//! foot, 60 minutes in a degree.

use approx::{assert_abs_diff_eq, assert_relative_eq};
use proptest::prelude::*;

use super::*;

const UNITS: [LengthUnit; 3] = [LengthUnit::Millimetre, LengthUnit::Inch, LengthUnit::InchFraction];

fn mm(text: &str) -> f64 {
    parse_length(text, LengthUnit::Millimetre).unwrap_or_else(|error| panic!("{text}: {error}"))
}

fn inches(text: &str) -> f64 {
    parse_length(text, LengthUnit::InchFraction).unwrap_or_else(|error| panic!("{text}: {error}")) / 25.4
}

fn degrees(text: &str) -> f64 {
    parse_angle(text).unwrap_or_else(|error| panic!("{text}: {error}"))
}

fn refused(text: &str) -> QuantityError {
    parse_length(text, LengthUnit::Millimetre).unwrap_err()
}

#[test]
fn a_length_takes_its_unit_or_the_one_in_use() {
    for (text, expected) in [
        ("75", 75.0),
        ("75mm", 75.0),
        ("75 mm", 75.0),
        ("75\u{a0}MM", 75.0),
        ("7.5 cm", 75.0),
        ("0.075 m", 75.0),
        ("0,5", 0.5),
        (",5 mm", 0.5),
        ("1,500", 1.5),
        ("12 µm", 0.012),
        ("12 \u{3bc}m", 0.012),
        ("2 in", 50.8),
        ("2 in.", 50.8),
        ("2.5\"", 63.5),
        ("2''", 50.8),
        ("2”", 50.8),
        ("4 thou", 0.1016),
        ("2 ft", 609.6),
        ("≈ 75 mm", 75.0),
        ("~75", 75.0),
    ] {
        assert_relative_eq!(mm(text), expected, max_relative = 1e-14);
    }
    assert_relative_eq!(inches("2"), 2.0);
    assert_relative_eq!(inches("50.8 mm"), 2.0);
}

#[test]
fn fractions_are_read_as_they_are_written() {
    for (text, expected) in [
        ("3/8\"", 0.375),
        ("3/8″", 0.375),
        ("3⁄8 in", 0.375),
        ("1 1/2 in", 1.5),
        ("1 1/2", 1.5),
        ("1-1/2\"", 1.5),
        ("1‑1/2″", 1.5),
        ("1-½''", 1.5),
        ("-1-1/2\"", -1.5),
        ("−2 61/64″", -(2.0 + 61.0 / 64.0)),
        ("½", 0.5),
        ("1½ in", 1.5),
        ("1 ½ in", 1.5),
        ("¼ + ¾", 1.0),
        ("⅛ + ⅜ + ⅝ + ⅞", 2.0),
        ("⅓ + ⅔", 1.0),
        ("6 1/2 * 2", 13.0),
    ] {
        assert_relative_eq!(inches(text), expected, max_relative = 1e-14);
    }
}

#[test]
fn a_hyphen_joins_only_before_an_inch_mark() {
    assert_relative_eq!(inches("1-1/2"), 0.5);
    assert_relative_eq!(inches("1-1/2 in"), 0.5);
    assert_relative_eq!(inches("1 - 1/2\""), 0.5);
    assert_relative_eq!(inches("1-1/2 \""), 0.5);
    assert_relative_eq!(inches("1−1/2\""), 0.5);
    assert_relative_eq!(inches("2-3/2\""), 0.5);
    assert_relative_eq!(inches("0-1/2\""), -0.5);
    assert_relative_eq!(degrees("1-1/2″"), 1.0 - 0.5 / 3600.0);
}

#[test]
fn a_number_under_a_slash_is_never_mixed() {
    assert_relative_eq!(inches("3/8-1/8\""), 0.25, max_relative = 1e-14);
    assert_relative_eq!(inches("3/4 - 3/8-1/8\""), 0.25, max_relative = 1e-14);
    assert_relative_eq!(inches("3*1-1/2\""), 4.5, max_relative = 1e-14);
    assert_eq!(refused("1/2 1/2\""), QuantityError::SideBySide { text: "1".into() });
    assert_eq!(refused("6/1½"), QuantityError::SideBySide { text: "½".into() });
}

#[test]
#[allow(clippy::float_cmp, reason = "the nearest number is the claim")]
fn inches_give_the_nearest_number_of_millimetres() {
    for (text, expected) in
        [("1-1/2\"", 38.1), ("3/8\"", 9.525), ("6 in", 152.4), ("1/64\"", 0.396_875), ("6in - 2mm", 150.4)]
    {
        assert_eq!(mm(text), expected, "{text}");
    }
}

#[test]
fn feet_and_inches_follow_each_other() {
    for text in ["1 ft 6 in", "1'6\"", "1′ 6″", "1'-6\"", "1 foot 6 inches", "18\""] {
        assert_relative_eq!(inches(text), 18.0, max_relative = 1e-14);
    }
    assert_relative_eq!(inches("1' 6-1/2\""), 18.5, max_relative = 1e-14);
    assert_relative_eq!(inches("-1' 6 1/2\" + 1"), -17.5, max_relative = 1e-14);
    assert_relative_eq!(inches("1' - 6\""), 6.0, max_relative = 1e-14);
}

#[test]
fn angles_are_read_in_degrees_minutes_and_seconds() {
    for (text, expected) in [
        ("45", 45.0),
        ("45°", 45.0),
        ("45º", 45.0),
        ("45 deg", 45.0),
        ("45d30m", 45.5),
        ("45°30′", 45.5),
        ("45° 30' 36\"", 45.51),
        ("-45°30′", -45.5),
        ("−45,5°", -45.5),
        ("2*45°30′", 91.0),
        ("22 1/2°", 22.5),
        ("90° - 45d30m", 44.5),
        ("180/7", 180.0 / 7.0),
        ("30 min", 0.5),
        ("1 rad", 180.0 / std::f64::consts::PI),
    ] {
        assert_relative_eq!(degrees(text), expected, max_relative = 1e-14);
    }
}

#[test]
fn sums_go_by_the_usual_precedence() {
    for (text, expected) in [
        ("150-12.5", 137.5),
        ("150 − 12,5", 137.5),
        ("150–12.5", 137.5),
        ("(85+60)/2", 72.5),
        ("[85+60]÷2", 72.5),
        ("2+3*4", 14.0),
        ("100/4/5", 5.0),
        ("10-2-3", 5.0),
        ("2x3×4·5", 120.0),
        ("-(2+3)*-2", 10.0),
        ("2--3", 5.0),
        ("+5", 5.0),
    ] {
        assert_relative_eq!(mm(text), expected, max_relative = 1e-14);
        assert_relative_eq!(parse_number(text).unwrap(), expected, max_relative = 1e-14);
    }
}

#[test]
fn units_mix_in_a_sum() {
    for (text, expected) in [
        ("6in - 2mm", 150.4),
        ("6in - 2", 150.4),
        ("(85+60)/2 mm", 72.5),
        ("(1+2) in", 76.2),
        ("1/2 * 3/4 in", 9.525),
        ("2 * 3/8\" + 1 cm", 29.05),
        ("6 in / 2", 76.2),
        ("100 mm * (3 in / 4 in)", 75.0),
        ("(1 - 1mm/4mm) * 100 mm", 75.0),
        ("30 * (1mm/2mm)", 15.0),
    ] {
        assert_relative_eq!(mm(text), expected, max_relative = 1e-14);
    }
    assert_relative_eq!(inches("6 - 25.4 mm"), 5.0, max_relative = 1e-14);
}

#[test]
fn a_sum_must_come_out_as_the_kind_asked_for() {
    for text in ["2 mm * 3 mm", "1/(2 mm)", "6 mm / 2 mm", "5 mm + 6mm/2mm"] {
        assert_eq!(refused(text), QuantityError::WrongOutcome { wanted: ExpectedKind::Length }, "{text}");
    }
}

#[test]
fn a_tolerance_is_never_taken_for_a_sum() {
    for text in ["45+-1", "45 +-1", "45+−1", "45±1", "45 ± 1", "45 +/- 1", "45+- 1", "(45+-1)"] {
        let told = parse_angle(text).unwrap_err();
        assert!(matches!(told, QuantityError::PlusMinus { .. }), "{text}: {told:?}");
        assert!(
            matches!(parse_length(text, LengthUnit::Millimetre), Err(QuantityError::PlusMinus { .. })),
            "{text}"
        );
    }
    // With a space between them, or the other way round, two signs are a sum.
    assert_relative_eq!(parse_angle("45 + -1").unwrap(), 44.0);
    assert_relative_eq!(parse_angle("45-+1").unwrap(), 44.0);
}

#[test]
fn each_mistake_is_named() {
    use QuantityError as E;
    let text = |text: &str| text.to_owned();
    let wanted = ExpectedKind::Length;
    for (written, error) in [
        ("", E::Empty { wanted }),
        (" ≈ ", E::Empty { wanted }),
        ("5 +", E::Unfinished { text: text("5 +") }),
        ("(5", E::Unfinished { text: text("(5") }),
        ("-", E::Unfinished { text: text("-") }),
        ("abc", E::NotANumber { text: text("abc") }),
        ("NaN", E::NotANumber { text: text("NaN") }),
        ("—", E::NotANumber { text: text("—") }),
        ("1.2.3", E::NotANumber { text: text("1.2.3") }),
        ("1,234.5", E::NotANumber { text: text("1,234.5") }),
        ("5)", E::Stray { text: text(")") }),
        ("*5", E::Stray { text: text("*") }),
        ("()", E::Stray { text: text(")") }),
        ("5 mm mm", E::Stray { text: text("mm") }),
        ("(5 mm) in", E::Stray { text: text("in") }),
        ("5 6", E::SideBySide { text: text("6") }),
        ("2(3)", E::SideBySide { text: text("(") }),
        ("85 60/2", E::SideBySide { text: text("60") }),
        ("5 mm 3 mm", E::SideBySide { text: text("3") }),
        ("6 in 1 ft", E::SideBySide { text: text("1") }),
        ("5 ells", E::UnknownUnit { text: text("ells"), wanted }),
        ("1e3", E::UnknownUnit { text: text("e"), wanted }),
        ("5°", E::WrongKind { text: text("°"), wanted }),
        ("5/0", E::DivisionByZero),
        ("1 1/0 in", E::DivisionByZero),
        ("1/(2-2)", E::DivisionByZero),
    ] {
        assert_eq!(refused(written), error, "{written}");
    }
    assert_eq!(parse_angle("5 mm"), Err(E::WrongKind { text: text("mm"), wanted: ExpectedKind::Angle }));
    assert_eq!(parse_number("5 mm"), Err(E::WrongKind { text: text("mm"), wanted: ExpectedKind::Number }));
}

#[test]
fn an_overflowing_number_is_refused() {
    let nines = "9".repeat(308);
    assert_eq!(refused(&format!("{nines} m")), QuantityError::NotFinite);
    assert_eq!(refused(&format!("{nines}*{}", "9".repeat(80))), QuantityError::NotFinite);
    assert_eq!(parse_length(&nines, LengthUnit::Inch), Err(QuantityError::NotFinite));
}

#[test]
fn length_and_nesting_are_bounded() {
    assert_eq!(refused(&"1".repeat(LONGEST_TEXT + 1)), QuantityError::TooLong);
    assert_eq!(refused(&"(".repeat(LONGEST_TEXT)), QuantityError::TooDeep);
    let nested = |depth| format!("{}5{}", "(".repeat(depth), ")".repeat(depth));
    assert_relative_eq!(mm(&nested(DEEPEST_NESTING)), 5.0);
    assert_eq!(refused(&nested(DEEPEST_NESTING + 1)), QuantityError::TooDeep);
    // Signs are no nesting, and brackets one after the other are none either.
    assert_relative_eq!(mm(&format!("{}5", "-".repeat(LONGEST_TEXT - 2))), 5.0);
    assert_relative_eq!(mm(&format!("{}(1)", "(1)+".repeat(40))), 41.0);
}

#[test]
fn zero_has_no_sign() {
    assert!(mm("-0").is_sign_positive());
    assert!(mm("0*-5 mm").is_sign_positive());
}

/// A sum of plain numbers with brackets around every part, and its value by other means than the reader's: none
/// where a part is divided by zero.
fn bracketed() -> impl Strategy<Value = (String, Option<f64>)> {
    let leaf = (-999_i32..=999).prop_map(|n| (n.to_string(), Some(f64::from(n))));
    leaf.prop_recursive(4, 24, 2, |inner| {
        (inner.clone(), prop::sample::select(vec!['+', '-', '*', '/']), inner).prop_map(|(a, sign, b)| {
            let value = a.1.zip(b.1).and_then(|(a, b)| match sign {
                '+' => Some(a + b),
                '-' => Some(a - b),
                '*' => Some(a * b),
                _ => (b != 0.0).then_some(a / b),
            });
            (format!("({}){sign}({})", a.0, b.0), value)
        })
    })
}

/// Texts of the parts that the reader knows, so that more of them get past the first letter.
fn likely() -> impl Strategy<Value = String> {
    let parts = [
        "1", "1", "2", "64", "0", "0.5", ",5", ".", "½", "⅞", " ", " ", "\"", "″", "'", "′", "°", "mm", "in",
        "ft", "d", "m", "s", "m/s", "ft/min", "+", "-", "−", "*", "×", "/", "÷", "(", ")", "≈", "x", "ß",
        "\u{301}", "9e9",
    ];
    prop::collection::vec(prop::sample::select(parts.to_vec()), 0..24).prop_map(|parts| parts.concat())
}

/// Checks that every reader comes back with a finite value or with a sentence of bounded length.
fn read_by_all(text: &str) -> Result<(), TestCaseError> {
    let lengths = UNITS.map(|unit| parse_length(text, unit));
    for outcome in lengths.into_iter().chain([parse_angle(text), parse_number(text), parse_speed(text)]) {
        match outcome {
            Ok(value) => prop_assert!(value.is_finite(), "{text}: {value}"),
            Err(error) => {
                let sentence = error.to_string();
                prop_assert!(sentence.ends_with('.') && sentence.chars().count() < 200, "{sentence}");
            }
        }
    }
    Ok(())
}

proptest! {
    #[test]
    fn any_text_is_read_or_refused(text in any::<String>()) {
        read_by_all(&text)?;
    }

    #[test]
    fn any_likely_text_is_read_or_refused(text in likely()) {
        read_by_all(&text)?;
    }

    #[test]
    fn any_value_is_written(value in any::<f64>(), decimals in any::<usize>()) {
        for unit in UNITS {
            prop_assert!(!format_length(value, unit, decimals).is_empty());
        }
        prop_assert!(!format_angle(value, decimals).contains('-'));
        prop_assert!(!format_speed(value).contains('-'));
    }

    #[test]
    fn a_length_is_read_back_within_its_display(mm in -1e6..1e6_f64, decimals in 0_usize..8) {
        for unit in [LengthUnit::Millimetre, LengthUnit::Inch] {
            let shown = format_length(mm, unit, decimals);
            let half_step = 0.5 * 0.1_f64.powf(decimals as f64) * unit.in_mm();
            for default in UNITS {
                let back = parse_length(&shown, default).unwrap();
                assert_abs_diff_eq!(back, mm, epsilon = half_step + 1e-9);
                prop_assert_eq!(format_length(back, unit, decimals), shown.clone());
            }
        }
    }

    #[test]
    fn a_fraction_is_read_back_within_its_display(mm in -1e4..1e4_f64) {
        let shown = format_length(mm, LengthUnit::InchFraction, 0);
        let back = parse_length(&shown, LengthUnit::Millimetre).unwrap();
        let near = if shown.starts_with('≈') { 25.4 / 128.0 } else { 0.005 };
        assert_abs_diff_eq!(back, mm, epsilon = near + 1e-9);
        let again = format_length(back, LengthUnit::InchFraction, 0);
        prop_assert_eq!(again, shown.trim_start_matches('≈'));
    }

    #[test]
    fn every_sixty_fourth_is_read_back_exactly(parts in -100_000_i32..100_000) {
        let inches = f64::from(parts) / 64.0;
        let shown = format_length(inches * 25.4, LengthUnit::InchFraction, 0);
        prop_assert!(!shown.contains('≈'), "{}", shown);
        assert_relative_eq!(parse_length(&shown, LengthUnit::Inch).unwrap(), inches * 25.4, max_relative = 1e-14);
    }

    #[test]
    fn numbers_and_angles_are_read_back_within_their_display(value in -1e6..1e6_f64, decimals in 0_usize..8) {
        let half_step = 0.5 * 0.1_f64.powf(decimals as f64) + 1e-9;
        assert_abs_diff_eq!(parse_number(&format_number(value, decimals)).unwrap(), value, epsilon = half_step);
        assert_abs_diff_eq!(parse_angle(&format_angle(value, decimals)).unwrap(), value, epsilon = half_step);
    }

    #[test]
    fn speeds_are_read_back_within_their_display(m_s in -1e4..1e4_f64) {
        let shown = format_speed(m_s);
        assert_abs_diff_eq!(parse_speed(&shown).unwrap(), m_s, epsilon = 0.05 + 1e-9);
        // The figure in brackets stands for the same speed, to half a foot a minute.
        let (_, imperial) = shown.split_once('(').unwrap();
        let imperial = parse_speed(imperial.trim_end_matches(')')).unwrap();
        assert_abs_diff_eq!(imperial, m_s, epsilon = 0.5 * 0.3048 / 60.0 + 1e-9);
    }

    #[test]
    fn a_sum_has_the_value_of_its_parts((text, value) in bracketed()) {
        match (parse_number(&text), value) {
            (Ok(read), Some(value)) => assert_relative_eq!(read, value, max_relative = 1e-12),
            (Err(QuantityError::DivisionByZero), None) => {}
            (read, value) => return Err(TestCaseError::fail(format!("{text}: {read:?}, not {value:?}"))),
        }
    }

    #[test]
    fn times_bind_closer_than_plus(a in 1..999_i32, b in 1..999_i32, c in 1..999_i32, d in 1..999_i32) {
        let read = parse_number(&format!("{a}-{b}*{c}/{d}+{a}")).unwrap();
        let [a, b, c, d] = [a, b, c, d].map(f64::from);
        assert_relative_eq!(read, a - b * c / d + a, max_relative = 1e-12, epsilon = 1e-9);
    }
}
