//! Entries as people type them, and the promise that whatever is shown is read back.
#![allow(clippy::unwrap_used, reason = "a test that cannot go on should stop where it is")]
#![allow(clippy::float_cmp, reason = "these values are exact in binary or exact by definition")]

use approx::assert_relative_eq;
use proptest::prelude::*;

use super::*;
use crate::quantity::{format_angle, format_length, format_number, format_speed};

fn mm(text: &str) -> f64 {
    parse_length(text, LengthUnit::Millimetre).unwrap_or_else(|error| panic!("{text}: {error}"))
}

fn inch(text: &str) -> f64 {
    parse_length(text, LengthUnit::Inch).unwrap_or_else(|error| panic!("{text}: {error}")) / 25.4
}

fn degrees(text: &str) -> f64 {
    parse_angle(text).unwrap_or_else(|error| panic!("{text}: {error}"))
}

fn refusal(text: &str) -> QuantityError {
    parse_length(text, LengthUnit::Millimetre).unwrap_err()
}

// Expected values: 1 in = 25.4 mm by definition; the rest is arithmetic done by hand.
#[test]
fn lengths_read_as_people_write_them() {
    for text in [
        "75mm",
        "75 mm",
        "75",
        "75.0 mm",
        "75,0",
        "7.5 cm",
        "7,5cm",
        "0.075 m",
        " 75\u{2009}mm ",
        "75\u{a0}MM",
        "≈75 mm",
    ] {
        assert_relative_eq!(mm(text), 75.0, max_relative = 1e-15);
    }
    for text in [
        "3/8\"",
        "3/8″",
        "3/8 in",
        "⅜\"",
        "3⁄8\u{201d}",
        ".375in",
        "0,375 inch",
        "3/8''",
        "(3/8)\"",
        "~3/8\"",
        "375 thou",
    ] {
        assert_relative_eq!(mm(text), 9.525, max_relative = 1e-15);
    }
    for text in [
        "1 1/2 in",
        "1-1/2\"",
        "1-1/2″",
        "1\u{2010}1/2″",
        "1½\"",
        "1 ½ in",
        "1 1/2\"",
        "1.5\"",
        "3/2\"",
        "1  4/8 inches",
    ] {
        assert_relative_eq!(mm(text), 38.1, max_relative = 1e-15);
    }
    for (text, eighths) in
        [("⅛″", 1.0), ("¼″", 2.0), ("⅜″", 3.0), ("½″", 4.0), ("⅝″", 5.0), ("¾″", 6.0), ("⅞″", 7.0)]
    {
        assert_relative_eq!(mm(text), eighths * 3.175, max_relative = 1e-15);
    }
    for text in ["1' 6\"", "1′6″", "1 ft 6 in", "1.5'", "1ft 5 1/2in + 1/2in", "1' 12/2\"", "18\""] {
        assert_relative_eq!(mm(text), 457.2, max_relative = 1e-15);
    }
    assert_relative_eq!(mm("12 µm"), 0.012, max_relative = 1e-15);
    assert_eq!(mm("0,5"), 0.5);
    assert_eq!(mm(".5"), 0.5);
    assert_eq!(mm("5."), 5.0);
    assert_eq!(mm("1,000"), 1.0);
}

#[test]
fn a_number_without_a_unit_is_in_the_default_unit() {
    assert_eq!(mm("3/8"), 0.375);
    assert_relative_eq!(inch("3/8"), 0.375, max_relative = 1e-15);
    assert_relative_eq!(inch("1 1/2"), 1.5, max_relative = 1e-15);
    assert_eq!(parse_length("6", LengthUnit::InchFraction).unwrap(), 6.0 * 25.4);
    // Inside arithmetic too.
    assert_relative_eq!(mm("6in - 2"), 150.4, max_relative = 1e-15);
    assert_relative_eq!(inch("6 - 2mm"), 6.0 - 2.0 / 25.4, max_relative = 1e-15);
}

#[test]
fn arithmetic_is_done_with_units() {
    assert_eq!(mm("150-12.5"), 137.5);
    assert_eq!(mm("150 − 12,5"), 137.5);
    assert_eq!(mm("150–12.5"), 137.5);
    assert_eq!(mm("(85+60)/2"), 72.5);
    assert_eq!(mm("2*(10+5) mm"), 30.0);
    assert_eq!(mm("2×(10+5)÷3"), 10.0);
    assert_relative_eq!(mm("6in - 2mm"), 150.4, max_relative = 1e-15);
    assert_relative_eq!(mm("2 * 3/8\" + 1 mm"), 20.05, max_relative = 1e-15);
    assert_eq!(mm("75mm/25mm * 10 mm"), 30.0);
    assert_eq!(mm("2+3*4"), 14.0);
    assert_eq!(mm("12/3/2"), 2.0);
    assert_eq!(mm("10-3-2"), 5.0);
    assert_eq!(mm("-(5 - 8)"), 3.0);
    assert_eq!(mm("10--3"), 13.0);
    assert_eq!(mm("−5"), -5.0);
}

#[test]
fn a_hyphen_makes_a_mixed_number_only_before_the_inch_sign() {
    assert_relative_eq!(mm("1-1/2\""), 38.1, max_relative = 1e-15);
    assert_relative_eq!(mm("3 - 1-1/2\""), 3.0 - 38.1, max_relative = 1e-15);
    assert_eq!(mm("1-1/2"), 0.5);
    for subtraction in ["1-1/2 in", "1 - 1/2\"", "1−1/2\"", "1 -1/2\""] {
        assert_relative_eq!(mm(subtraction), 1.0 - 12.7, max_relative = 1e-15);
    }
    // An improper fraction is no part of a mixed number.
    assert_relative_eq!(inch("6-4/2\""), 4.0, max_relative = 1e-15);
    // Nor does a denominator swallow what follows it.
    assert_relative_eq!(inch("3/8-1/8\""), 0.25, max_relative = 1e-15);
}

#[test]
fn angles_read_as_people_write_them() {
    for text in
        ["45", "45°", "45.0°", "45 deg", "45 Degrees", "45d", "45º", "2700′", "45,0 °", "90/2°", "(30+15)°"]
    {
        assert_relative_eq!(degrees(text), 45.0, max_relative = 1e-15);
    }
    for text in [
        "45d30m",
        "45°30′",
        "45° 30'",
        "45 deg 30 min",
        "45°29′60″",
        "45 1/2°",
        "45½°",
        "45.5",
        "90 − 44°30′",
    ] {
        assert_relative_eq!(degrees(text), 45.5, max_relative = 1e-15);
    }
    assert_eq!(degrees("−45°30′"), -45.5);
    assert_relative_eq!(degrees("1°0′36″"), 1.01, max_relative = 1e-15);
    assert_relative_eq!(degrees("0.5 rad"), 28.647_889_756_541_16, max_relative = 1e-14);
}

#[test]
fn speeds_and_plain_numbers_read_back() {
    // 1 ft/min = 0.3048 m / 60 s by definition.
    assert_relative_eq!(
        parse_speed("6000 ft/min", SpeedUnit::MetrePerSecond).unwrap(),
        30.48,
        max_relative = 1e-15
    );
    assert_relative_eq!(
        parse_speed("6000 fpm", SpeedUnit::MetrePerSecond).unwrap(),
        30.48,
        max_relative = 1e-15
    );
    assert_relative_eq!(parse_speed("6000", SpeedUnit::FootPerMinute).unwrap(), 30.48, max_relative = 1e-15);
    assert_relative_eq!(
        parse_speed("60 m/s / 2", SpeedUnit::FootPerMinute).unwrap(),
        30.0,
        max_relative = 1e-15
    );
    assert_eq!(parse_number("2 * 1425").unwrap(), 2850.0);
    assert_eq!(parse_number("1 1/2").unwrap(), 1.5);
    assert!(matches!(
        parse_number("75 mm"),
        Err(QuantityError::WrongKind { asked: QuantityKind::Number, found: QuantityKind::Length, .. })
    ));
}

#[test]
fn refusals_say_what_and_where() {
    use QuantityKind::{Angle, Length, Number, Speed};
    let length =
        |text: &str, at, found| QuantityError::WrongKind { text: text.into(), at, asked: Length, found };
    assert_eq!(refusal(""), QuantityError::Empty);
    assert_eq!(refusal(" \u{2009}"), QuantityError::Empty);
    assert_eq!(refusal("≈"), QuantityError::Unfinished { text: "≈".into(), at: 3 });
    assert_eq!(refusal("150-"), QuantityError::Unfinished { text: "150-".into(), at: 4 });
    assert_eq!(refusal("(85+60"), QuantityError::Unfinished { text: "(85+60".into(), at: 6 });
    assert_eq!(
        refusal("7 furlong"),
        QuantityError::UnknownUnit { text: "furlong".into(), at: 2, asked: Length }
    );
    assert_eq!(refusal("45°"), length("°", 2, Angle));
    assert_eq!(refusal("5 m/s"), length("m/s", 2, Speed));
    assert_eq!(refusal("75mm/25mm"), length("75mm/25mm", 0, Number));
    assert_eq!(
        parse_angle("75mm").unwrap_err(),
        QuantityError::WrongKind { text: "mm".into(), at: 2, asked: Angle, found: Length }
    );
    assert_eq!(refusal("abc"), QuantityError::NotANumber { text: "abc".into(), at: 0 });
    assert_eq!(refusal("1.234,5"), QuantityError::NotANumber { text: "1.234,5".into(), at: 0 });
    assert_eq!(refusal("5 + ."), QuantityError::NotANumber { text: ".".into(), at: 4 });
    assert_eq!(refusal("nan"), QuantityError::NotANumber { text: "nan".into(), at: 0 });
    assert_eq!(refusal("3 4"), QuantityError::Unexpected { text: "4".into(), at: 2 });
    assert_eq!(refusal("1 3/2"), QuantityError::Unexpected { text: "3".into(), at: 2 });
    assert_eq!(refusal("75 mm mm"), QuantityError::Unexpected { text: "mm".into(), at: 6 });
    assert_eq!(refusal("5)"), QuantityError::Unexpected { text: ")".into(), at: 1 });
    assert_eq!(refusal("2(3)"), QuantityError::Unexpected { text: "(".into(), at: 1 });
    assert_eq!(refusal("5%"), QuantityError::Unexpected { text: "%".into(), at: 1 });
    assert_eq!(refusal("3mm*4mm"), QuantityError::DoesNotCombine { operator: '×', at: 3, asked: Length });
    assert_eq!(refusal("3/(4mm)"), QuantityError::DoesNotCombine { operator: '÷', at: 1, asked: Length });
    assert_eq!(refusal("5/0"), QuantityError::DivisionByZero { at: 1 });
    assert_eq!(refusal("1 1/0"), QuantityError::DivisionByZero { at: 4 });
    assert_eq!(refusal("5/(3-3)"), QuantityError::DivisionByZero { at: 1 });
    assert_eq!(refusal(&"9".repeat(400)), QuantityError::NotFinite { at: 0 });
    assert_eq!(refusal(&format!("{}*10", "9".repeat(308))), QuantityError::NotFinite { at: 308 });
    assert_eq!(refusal(&"1".repeat(513)), QuantityError::TooLong { bytes: 513, most: 512 });
    assert_eq!(refusal(&"(".repeat(400)), QuantityError::TooDeep { at: 32, most: 32 });
    assert_eq!(mm(&format!("{}7{}", "(".repeat(32), ")".repeat(32))), 7.0);
}

#[test]
fn messages_name_the_text_and_the_mend() {
    for (text, culprit, mend) in [
        ("7 furlong", "“furlong”", "write mm"),
        ("45°", "“°”", "write mm"),
        ("3 4", "“4”", "put +"),
        ("1.2.3", "“1.2.3”", "write digits"),
        ("150 -", "“150 -”", "must follow"),
        ("5/0", "zero", "write another number"),
        ("3mm*3mm", "“×”", "plain numbers"),
    ] {
        let message = refusal(text).to_string();
        assert!(message.contains(culprit) && message.contains(mend), "{text}: {message}");
    }
    // A long entry is not repeated at length.
    assert!(refusal(&format!("5{}", "z".repeat(500))).to_string().len() < 200);
}

fn any_kept_number() -> impl Strategy<Value = f64> {
    prop_oneof![
        4 => -2000.0..2000.0_f64,
        2 => -1.0..1.0_f64,
        1 => any::<f64>().prop_filter("shown as a dash", |value| value.is_finite()),
    ]
}

/// Half of the last decimal shown, and the rounding of the calculation.
fn precision(value: f64, unit: f64, decimals: usize) -> f64 {
    0.500_001 * unit * 10.0_f64.powi(-i32::try_from(decimals).unwrap()) + 1e-14 * value.abs()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(4000))]

    #[test]
    fn every_length_shown_is_read_back(value in any_kept_number(), decimals in 0_usize..13, which in 0_usize..3, default in 0_usize..3) {
        let unit = LengthUnit::ALL[which];
        let shown = format_length(value, unit, decimals);
        let within = match unit {
            LengthUnit::InchFraction => precision(value, 25.4 / 64.0, 0),
            _ => precision(value, unit.millimetres(), decimals),
        };
        // An inch bench read on a millimetre bench gives the same length: what is shown carries its unit.
        let read = parse_length(&shown, LengthUnit::ALL[default]);
        prop_assert!(read.is_ok(), "{shown}: {read:?}");
        prop_assert!((read.unwrap() - value).abs() <= within, "{value} shown as {shown}");
    }

    #[test]
    fn every_angle_speed_and_number_shown_is_read_back(value in any_kept_number(), decimals in 0_usize..13, which in 0_usize..2) {
        let angle = format_angle(value, decimals);
        prop_assert!((parse_angle(&angle).unwrap() - value).abs() <= precision(value, 1.0, decimals), "{angle}");
        let number = format_number(value, decimals);
        prop_assert!((parse_number(&number).unwrap() - value).abs() <= precision(value, 1.0, decimals), "{number}");
        let unit = SpeedUnit::ALL[which];
        let value = value / 1000.0;
        let speed = format_speed(value, unit, decimals);
        let read = parse_speed(&speed, SpeedUnit::MetrePerSecond).unwrap();
        prop_assert!((read - value).abs() <= precision(value, unit.metres_per_second(), decimals), "{speed}");
    }

    #[test]
    fn no_entry_panics_and_every_answer_is_finite(text in any::<String>()) {
        check_any(&text)?;
    }

    #[test]
    fn no_entry_of_likely_signs_panics(parts in proptest::collection::vec(
        prop_oneof![
            "[0-9]{1,4}", "[ .,()+*/×÷'\"°′″½⅞≈−-]", "mm|cm|m|in|ft|deg|d|s|rad|m/s|ft/min|thou|x|é",
        ], 0..24)) {
        check_any(&parts.concat())?;
    }

    #[test]
    fn a_shown_sum_is_the_sum(first in 0.0..500.0_f64, second in 0.0..500.0_f64) {
        let text = format!("{} + {} − {}", format_length(first, LengthUnit::Millimetre, 9),
            format_length(second, LengthUnit::Inch, 9), format_number(first, 9));
        prop_assert!((mm(&text) - second).abs() < 1e-7);
    }
}

fn check_any(text: &str) -> Result<(), TestCaseError> {
    let answers = [
        parse_length(text, LengthUnit::Millimetre),
        parse_length(text, LengthUnit::InchFraction),
        parse_angle(text),
        parse_speed(text, SpeedUnit::FootPerMinute),
        parse_number(text),
    ];
    for answer in answers {
        match answer {
            Ok(number) => prop_assert!(number.is_finite(), "{text}"),
            Err(error) => prop_assert!(!error.to_string().is_empty()),
        }
    }
    Ok(())
}
