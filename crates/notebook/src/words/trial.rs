//! What a fit of the rig came to, in words.

use bevelbench_geometry::{math::Quantity, solve::FitRefusal};

use crate::{
    quantity::length_text::LengthText,
    words::{refusal_words, sentence::Words},
};

/// Why a rig was not fitted.
#[must_use]
pub fn fit_refusal_words(why: &FitRefusal, length: LengthText<'_>) -> Words {
    let list = |hidden: &[Quantity]| hidden.iter().map(|one| one.words()).collect::<Vec<_>>().join(", ");
    match why {
        FitRefusal::NothingToFit => {
            Words::new("There is nothing to fit.", "Name at least one dimension, each once.")
        }
        FitRefusal::TooFewTrials { trials, dimensions } => Words::new(
            format!(
                "{trials} trial{} cannot settle {dimensions} dimension{}.",
                if *trials == 1 { "" } else { "s" },
                if *dimensions == 1 { "" } else { "s" }
            ),
            format!("Grind at least {} more.", dimensions - trials.min(dimensions)),
        ),
        FitRefusal::Trial { index, refusal } => {
            let words = refusal_words(refusal, length);
            Words::new(format!("Trial {}: {}", index + 1, words.reason), words.remedy)
        }
        FitRefusal::NoUncertainty { index } => Words::new(
            format!("Trial {} has no ±.", index + 1),
            "Say how far the measured bevel may be off; a protractor is good to half a degree.",
        ),
        FitRefusal::NotUsed(hidden) => Words::new(
            format!("No trial rests on the {}.", hidden.words()),
            "Leave it out, or add a trial that does.",
        ),
        FitRefusal::CannotTellApart { hidden, unvaried, standard_mm } => {
            let known = if standard_mm.is_finite() && *standard_mm < 1000.0 {
                format!("known together to no better than {}", length(2.0 * standard_mm))
            } else {
                "not told at all".to_owned()
            };
            let alike: Vec<&str> = unvaried.iter().map(|free| free.words()).collect();
            let remedy = if alike.is_empty() {
                "Grind trials that lie further apart, or measure one of these another way.".to_owned()
            } else {
                format!(
                    "Every trial had the same {}: vary it, or measure one of these another way.",
                    alike.join(" and ")
                )
            };
            Words::new(format!("These trials cannot tell apart: {} ({known}).", list(hidden)), remedy)
        }
        FitRefusal::DidNotSettle => Words::new(
            "No dimensions near those put in explain the trials.",
            "Check the trials and the dimensions that were put in.",
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::words::sentence::number;

    #[test]
    fn trials_at_one_strut_angle_ask_to_vary_it() {
        let mm = |value: f64| format!("{} mm", number(value, 1));
        let why = FitRefusal::CannotTellApart {
            hidden: vec![Quantity::HingeSetback, Quantity::StrutLength],
            standard_mm: f64::INFINITY,
            unvaried: vec![Quantity::StrutAngle],
        };
        let words = fit_refusal_words(&why, &mm);
        assert_eq!(
            words.reason,
            "These trials cannot tell apart: hinge setback, strut length (not told at all)."
        );
        assert!(words.remedy.contains("the same strut angle"), "{words:?}");
    }
}
