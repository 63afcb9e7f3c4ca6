//! What measurements of a tool come to, and what stands in the way, in words.

use crate::{
    answer::matching::{BevelMethod, Matched, MethodResult, Unmatched, WheelFit},
    quantity::length_text::LengthText,
    words::{
        sentence::{Words, degrees},
        value::dimension_error_words,
    },
};

/// The name of a way to measure, in lower case.
#[must_use]
pub const fn bevel_method_name(method: BevelMethod) -> &'static str {
    match method {
        BevelMethod::Thickness => "steel under the edge",
        BevelMethod::Protractor => "protractor",
        BevelMethod::Template => "template",
    }
}

/// Why nothing can be said of a tool.
#[must_use]
pub fn unmatched_words(why: &Unmatched, length: LengthText<'_>) -> Words {
    match why {
        Unmatched::NoWidth => Words::new(
            "The width of the facet is missing.",
            "Measure it from the edge to the heel, along the facet.",
        ),
        Unmatched::NoBevel => Words::new(
            "Nothing measured so far tells the bevel.",
            "Measure the steel under the edge, lay a protractor across the facet, or hold a template to it.",
        ),
        Unmatched::NoTemplate => {
            Words::new("Daylight was measured, but not under what template.", "Put in the template’s angle.")
        }
        Unmatched::NoHollow => Words::new(
            "The depth of the hollow and the wheel that ground it are both unknown.",
            "Measure the hollow, or say which wheel ground it.",
        ),
        Unmatched::DimensionError { method, dimension_error } => {
            let words = dimension_error_words(dimension_error, length);
            Words::new(format!("By the {}: {}", bevel_method_name(*method), words.reason), words.remedy)
        }
    }
}

/// One way of measuring with its ±.
#[must_use]
pub fn matched_words(found: &MethodResult) -> String {
    let (at_edge, across) = (found.grind.facet.at_edge(), found.grind.facet.across());
    format!(
        "By the {}: {} ±{} at the edge, {} ±{} across the facet.",
        bevel_method_name(found.method),
        degrees(at_edge),
        degrees(found.uncertainty.at_edge),
        degrees(across),
        degrees(found.uncertainty.across),
    )
}

/// Whether the ways that were measured agree; `None` where there is only one.
#[must_use]
pub fn at_odds_words(matched: &Matched) -> Option<(bool, String)> {
    if matched.others.is_empty() {
        return None;
    }
    Some(match matched.at_odds() {
        None => (true, "The ways of measuring agree to within their ±.".to_owned()),
        Some((other, apart)) => {
            let most_certain = &matched.most_certain;
            let (more, less) = if apart.radians() > 0.0 {
                (other.method, most_certain.method)
            } else {
                (most_certain.method, other.method)
            };
            let blame = match (other.method, most_certain.method) {
                (BevelMethod::Thickness, _) | (_, BevelMethod::Thickness) => {
                    "The width of a facet with a rounded heel is the usual culprit: measure it again, and the steel just under the edge."
                }
                _ => "Hold both to edge and heel again, with nothing of the hollow under them.",
            };
            let words = format!(
                "They contradict each other: the {} says {} more than the {}, more than their ± explain. {blame}",
                bevel_method_name(more),
                degrees(apart.abs()),
                bevel_method_name(less),
            );
            (false, words)
        }
    })
}

/// Which wheel ground a hollow. `radius_mm` is `None` for a flat facet; the ± is infinite where the hollow may as well
/// be flat.
#[must_use]
pub fn wheel_fit_words(
    fits: &[WheelFit<'_>],
    radius_mm: Option<f64>,
    uncertainty_mm: Option<f64>,
    length: LengthText<'_>,
) -> Words {
    let Some(radius_mm) = radius_mm else {
        return Words::new(
            "The facet is flat: no wheel ground it, or one so large that the hollow cannot be seen.",
            "A belt, a platen or a stone leaves such a face.",
        );
    };
    let uncertainty = uncertainty_mm.unwrap_or(0.0);
    if !uncertainty.is_finite() || uncertainty > 0.5 * radius_mm {
        return Words::new(
            format!(
                "The hollow is too shallow to tell the wheel: about {} across, but it may be almost any.",
                length(2.0 * radius_mm)
            ),
            "Measure the hollow to a hundredth, or on a wider facet.",
        );
    }
    let reason = format!("Ground on a wheel of {} ±{}.", length(2.0 * radius_mm), length(2.0 * uncertainty));
    let fitting: Vec<String> = fits
        .iter()
        .filter(|fit| fit.fits)
        .map(|fit| format!("“{}” of {} ({})", fit.name, fit.rig, length(fit.diameter_mm)))
        .collect();
    let remedy = match (fitting.is_empty(), fits.first()) {
        (false, _) => format!("On this bench that fits {}.", fitting.join(" and ")),
        (true, Some(nearest)) => format!(
            "No wheel on this bench fits; “{}” of {} comes nearest, {} {}.",
            nearest.name,
            nearest.rig,
            length(nearest.larger_by_mm.abs()),
            if nearest.larger_by_mm > 0.0 { "larger" } else { "smaller" }
        ),
        (true, None) => "There is no wheel on this bench to compare.".to_owned(),
    };
    Words::new(reason, remedy)
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]
mod tests {
    use super::*;
    use crate::answer::matching::{Measured, Measures};
    use crate::words::sentence::number;

    fn mm(value: f64) -> String {
        format!("{} mm", number(value, 1))
    }

    fn read(value: f64, uncertainty: f64) -> Measured {
        Measured { value, uncertainty }
    }

    #[test]
    fn every_missing_part_has_a_remedy() {
        for why in [Unmatched::NoWidth, Unmatched::NoBevel, Unmatched::NoTemplate, Unmatched::NoHollow] {
            let words = unmatched_words(&why, &mm);
            assert!(words.reason.ends_with('.') && words.remedy.ends_with('.'), "{words:?}");
        }
    }

    #[test]
    fn contradiction_says_which_reads_more() {
        // 4 mm of steel under a 6 mm facet is 41.8° across: asin(4/6), by hand.
        let measures = Measures {
            width: Some(read(6.0, 0.1)),
            under: Some(read(4.0, 0.1)),
            protractor: Some(read(50.0, 0.5)),
            wheel_radius: Some(read(75.0, 1.0)),
            ..Measures::default()
        };
        let matched = measures.matched().unwrap();
        let (agree, words) = at_odds_words(&matched).unwrap();
        assert!(!agree);
        assert!(words.contains("the protractor says 8.2° more than the steel under the edge"), "{words}");
    }

    #[test]
    fn shallow_hollow_tells_no_wheel() {
        let words = wheel_fit_words(&[], Some(80.0), Some(f64::INFINITY), &mm);
        assert!(words.reason.contains("too shallow"), "{words:?}");
        let words = wheel_fit_words(&[], None, None, &mm);
        assert!(words.reason.contains("flat"), "{words:?}");
    }
}
