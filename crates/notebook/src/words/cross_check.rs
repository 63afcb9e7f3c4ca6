//! What a checking length says of a rig's dimensions, in words.

use bevelbench_geometry::{
    math::Quantity,
    side::{CrossCheck, CrossVerdict},
};

use crate::{
    quantity::length_text::LengthText,
    words::{sentence::Words, value::value_text},
};

/// A change of a dimension with its sign and unit.
fn change(quantity: Quantity, by: f64, length: LengthText<'_>) -> String {
    let sign = if by < 0.0 { "−" } else { "+" };
    let size = value_text(quantity, by.abs(), length);
    format!("{} {sign}{size}", quantity.words())
}

/// How many dimensions are named that would explain a difference alone.
const NAMED: usize = 3;

/// Whether the dimensions can belong together, and which to measure again if not.
#[must_use]
pub fn cross_verdict_words(check: &CrossCheck, verdict: &CrossVerdict, length: LengthText<'_>) -> Words {
    let way = if verdict.difference_mm < 0.0 { "less" } else { "more" };
    let reason = format!(
        "{} {way} than the {} that follows from the dimensions; readings as sure as these explain up to {}.",
        length(verdict.difference_mm.abs()),
        length(check.expected_mm),
        length(verdict.explained_mm)
    );
    if verdict.belongs_together() {
        return Words::new(reason, "They belong together.");
    }
    let named: Vec<String> =
        verdict.alone.iter().take(NAMED).map(|(quantity, by)| change(*quantity, *by, length)).collect();
    Words::new(
        reason,
        format!("One of them is off. Alone it would be: {}. Measure these again.", named.join(", or ")),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_difference_that_readings_do_not_explain_names_what_to_measure_again() {
        let mm = |value: f64| format!("{value:.1} mm");
        let slopes = vec![(Quantity::ArmZeroX, 0.6), (Quantity::ArmZeroZ, -0.8), (Quantity::ArmTilt, 0.5)];
        let check = CrossCheck { expected_mm: 25.0, slopes };
        let off = cross_verdict_words(&check, &check.compare(31.0, 0.5, |_| 1.0), &mm);
        assert!(off.reason.starts_with("6.0 mm more than the 25.0 mm"), "{off:?}");
        assert!(off.remedy.contains("arm zero above the spindle −7.5 mm, or arm zero in front"), "{off:?}");
        assert!(off.remedy.contains("arm tilt +12°"), "{off:?}");
        let fine = cross_verdict_words(&check, &check.compare(24.8, 0.5, |_| 1.0), &mm);
        assert_eq!(fine.remedy, "They belong together.");
    }
}
