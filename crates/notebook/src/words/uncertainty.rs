//! How sure a bevel is, in words.

use bevelbench_geometry::{
    math::{Angle, Quantity},
    side::uncertainty::CombinedUncertainty,
};

use crate::{quantity::length_text::LengthText, words::sentence::number};

/// A half-width with its unit; `length` writes small lengths.
#[must_use]
pub fn half_width_words(input: Quantity, value: f64, length: LengthText<'_>) -> String {
    if input.is_angle() { format!("±{}°", number(value, 1)) } else { format!("±{}", length(value)) }
}

/// Which reading to improve to hold a bevel to ± `wanted`, or that it is held.
#[must_use]
pub fn needs_words(uncertainty: &CombinedUncertainty, wanted: Angle, length: LengthText<'_>) -> String {
    let name = if (wanted.degrees() - 0.5).abs() < 1e-9 {
        "half a degree".to_owned()
    } else {
        format!("{}°", number(wanted.degrees(), 1))
    };
    let needs: Vec<String> = uncertainty
        .needs(wanted)
        .map(|need| {
            format!("the {} to {}", need.input.words(), half_width_words(need.input, need.wanted, length))
        })
        .collect();
    match needs.as_slice() {
        [] => {
            let first = name[..1].to_uppercase();
            format!("{first}{} is held with these readings.", &name[1..])
        }
        [one] => format!("To hold {name}, measure {one}."),
        [most @ .., last] => format!("To hold {name}, measure {} and {last}.", most.join(", ")),
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]
mod tests {
    use super::*;
    use crate::{answer::readings, saved::library::demo_bench};

    #[test]
    fn sentence_names_what_to_measure_and_how_well() {
        let bench = demo_bench().unwrap();
        let entry = bench.setting_named("Long grind, 85 mm").unwrap();
        let (job, view) = bench.answer(entry).unwrap();
        let uncertainty = readings::uncertainty(&readings::uncertainties(&bench, entry), &job, &view);
        let mm = |value: f64| format!("{} mm", number(value, 2));
        let held = needs_words(&uncertainty, Angle::from_degrees(30.0), &mm);
        assert_eq!(held, "30° is held with these readings.");
        let tight = needs_words(&uncertainty, uncertainty.expanded() * 0.6, &mm);
        assert!(tight.starts_with("To hold ") && tight.contains(", measure the "), "{tight}");
        let half = needs_words(&uncertainty, Angle::from_degrees(0.5), &mm);
        assert!(half.to_lowercase().contains("half a degree"), "{half}");
    }
}
