//! Sentences as they read.

#![allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]

use bevelbench_geometry::{
    math::{Bound, DimensionError, Quantity},
    side::Refusal,
};

use crate::{
    answer::bench::{Missing, Unanswered},
    words::{
        refusal::refusal_words,
        sentence::number,
        unanswered::{missing_words, unanswered_words},
        value::dimension_error_words,
    },
};

fn mm(value: f64) -> String {
    format!("{} mm", number(value, 1))
}

fn inches(value: f64) -> String {
    format!("{} in", number(value / 25.4, 2))
}

#[test]
fn dimension_names_its_value_its_limit_and_the_remedy() {
    let dimension_error =
        DimensionError { quantity: Quantity::WheelDiameter, value: 201.0, bound: Bound::AtMost(200.0) };
    let words = dimension_error_words(&dimension_error, &mm);
    assert_eq!(words.reason, "Wheel diameter is 201 mm, but it must be at most 200 mm.");
    assert_eq!(words.remedy, "Make the wheel diameter 200 mm or less.");
    let none = DimensionError { quantity: Quantity::Reach, value: f64::NAN, bound: Bound::Finite };
    assert_eq!(dimension_error_words(&none, &mm).reason, "Arm reach is no number, but it must be a number.");
    let nothing = DimensionError { quantity: Quantity::BladeWidth, value: 0.0, bound: Bound::AtLeast(1e-6) };
    assert_eq!(
        dimension_error_words(&nothing, &mm).reason,
        "Blade width is 0 mm, but it must be more than nothing."
    );
}

#[test]
fn angles_are_not_written_as_lengths() {
    let dimension_error =
        DimensionError { quantity: Quantity::ArmTilt, value: -92.5, bound: Bound::AtLeast(-80.0) };
    assert_eq!(
        dimension_error_words(&dimension_error, &inches).together(),
        "Arm tilt is −92.5°, but it must be at least −80°. Make the arm tilt −80° or more."
    );
}

#[test]
fn inch_users_read_inches() {
    let refusal = Refusal::ReachOffArm { reach_mm: 330.2, least_mm: 0.0, most_mm: 254.0 };
    let words = refusal_words(&refusal, &inches);
    assert!(words.reason.contains("13 in") && words.remedy.contains("10 in"), "{words:?}");
    assert!(!words.together().contains("mm"), "{words:?}");
}

#[test]
fn part_is_named_before_its_dimension() {
    let dimension_error =
        DimensionError { quantity: Quantity::StrutLength, value: -1.0, bound: Bound::AtLeast(0.0) };
    let words = unanswered_words(&Unanswered::Part { name: "Long holder".to_owned(), dimension_error }, &mm);
    assert_eq!(words.reason, "Long holder: Strut length is −1 mm, but it must be at least 0 mm.");
}

#[test]
fn missing_parts_say_the_same_on_screen_and_in_a_log() {
    for missing in [Missing::Arm, Missing::Table, Missing::Tool(crate::saved::Id(1))] {
        assert_eq!(missing_words(missing).together(), missing.to_string());
    }
}

#[test]
fn zero_is_written_as_zero() {
    assert_eq!(number(-0.04, 1), "0");
    assert_eq!(number(-12.25, 2), "−12.25");
    assert_eq!(number(100.0, 0), "100");
}
