//! What an ink test says, and what a fit of the rig came to, in words.

use bevelbench_geometry::{
    facet::{InkReading, InkVerdict, Pattern},
    math::Quantity,
    solve::FitRefusal,
};

use crate::{
    quantity::length_text::LengthText,
    words::{
        refusal_words,
        sentence::{Words, number},
    },
};

/// What an ink test says and what to move; `free` is what was to be moved.
#[must_use]
pub fn ink_reading_words(reading: &InkReading, free: Quantity, length: LengthText<'_>) -> Words {
    let degrees = |angle: bevelbench_geometry::math::Angle| format!("{}°", number(angle.degrees(), 2));
    let remedy = || {
        let Some(remedy) = reading.remedy else {
            return "No place on this rig grinds the facet as it is.".to_owned();
        };
        let off = if remedy.answer.off_travel.is_some() { "; that is off its travel" } else { "" };
        match free {
            Quantity::TableTilt => {
                let way = if remedy.by > 0.0 { "up" } else { "down" };
                format!(
                    "Tilt the operator's side of the table {way} by {}°{off}.",
                    number(remedy.by.abs(), 2)
                )
            }
            Quantity::Reach => {
                let way = if remedy.by > 0.0 { "out" } else { "in" };
                format!("Move the pivot {way} by {}{off}.", length(remedy.by.abs()))
            }
            Quantity::Projection => {
                let way = if remedy.by > 0.0 { "further out of" } else { "back into" };
                format!("Move the tool {} {way} its holder{off}.", length(remedy.by.abs()))
            }
            Quantity::StrutAngle => {
                let way = if remedy.by > 0.0 { "Open" } else { "Close" };
                format!("{way} the strut by {}°{off}.", number(remedy.by.abs(), 2))
            }
            _ => {
                let way = if remedy.by > 0.0 { "longer" } else { "shorter" };
                format!("Make it {} {way}{off}.", length(remedy.by.abs()))
            }
        }
    };
    match reading.verdict {
        InkVerdict::CannotTell { resolves, needs_mm } => Words::new(
            format!(
                "The ink cannot tell: a facet so narrow is inked all over until it is {} off.",
                degrees(resolves)
            ),
            format!("A facet of {} would tell, or a thinner film.", length(needs_mm)),
        ),
        InkVerdict::Matches { within } => {
            Words::new(format!("Setting and facet agree to within {}.", degrees(within)), "Nothing to move.")
        }
        InkVerdict::SettingKeener { by } => {
            Words::new(format!("The setting is {} keener than the facet.", degrees(by)), remedy())
        }
        InkVerdict::SettingBlunter { by } => {
            Words::new(format!("The setting is {} blunter than the facet.", degrees(by)), remedy())
        }
        InkVerdict::WheelLarger { hollow_radius_mm } => Words::new(
            format!(
                "This wheel is larger than the one that made the hollow, whose radius was {}.",
                length(hollow_radius_mm)
            ),
            "Nothing to move: the hollow will come out shallower.",
        ),
        InkVerdict::WheelSmaller { hollow_radius_mm } => Words::new(
            hollow_radius_mm.map_or_else(
                || "The facet is flat, or as good as flat.".to_owned(),
                |radius| {
                    format!(
                        "This wheel is smaller than the one that made the hollow, whose radius was {}.",
                        length(radius)
                    )
                },
            ),
            "Nothing to move: a few passes make the hollow deeper and reach the edge.",
        ),
        InkVerdict::NotThisFacet => Words::new(
            "No facet of this width would be rubbed like that at this setting.",
            "Measure the facet and the rubbed width again, and mind the film's thickness.",
        ),
    }
}

/// Why ink is rubbed off just there.
#[must_use]
pub const fn ink_why(pattern: Pattern) -> &'static str {
    match pattern {
        Pattern::Heel => {
            "Why: the setting would grind a keener bevel than the tool has, so the tool lies down on its heel and the edge stays clear of the wheel."
        }
        Pattern::Edge => {
            "Why: the setting would grind a blunter bevel than the tool has, so the tool stands on its edge and the heel stays clear of the wheel."
        }
        Pattern::BothEnds => {
            "Why: the wheel is rounder over the facet than the hollow is deep: it bridges the hollow from edge to heel."
        }
        Pattern::Middle => {
            "Why: the wheel curves more than the hollow does, so it touches down in the middle of it."
        }
        Pattern::Whole => "Why: wheel and facet lie on each other to within the film of ink.",
    }
}

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
