//! Words for the further steps of a setting: what to set for them, and why one grinds nothing.

use bevelbench_geometry::{
    facet::{FurtherFacet, Inside, Relief, ReliefRefusal},
    math::Quantity,
};

use crate::{
    quantity::length_text::LengthText,
    saved::step::FurtherStepSaved,
    words::{
        GrinderStep,
        finding::ways,
        refusal_words,
        sentence::{Words, degrees},
        value::value_text,
    },
};

/// What a step is called, by its place: the first further step grinds the second bevel.
#[must_use]
pub const fn bevel_name(step: usize) -> &'static str {
    match step {
        1 => "Second bevel",
        2 => "Third bevel",
        3 => "Fourth bevel",
        _ => "Next bevel",
    }
}

/// How far something is moved from where it stands, in words: "25.0 mm in".
#[must_use]
pub fn moved_words(free: Quantity, from: f64, to: f64, length: LengthText<'_>) -> String {
    let by = to - from;
    let (more, less) = ways(free);
    format!("{} {}", value_text(free, by.abs(), length), if by < 0.0 { less } else { more })
}

/// The numbers of the further steps in the order in which they are set at the bench, after those of the setting itself
/// ([`super::at_the_grinder_steps`]): one a step.
#[must_use]
pub fn further_steps_words(
    steps: &[FurtherStepSaved],
    relief: &Relief,
    length: LengthText<'_>,
) -> Vec<GrinderStep> {
    let facets = relief.facets().windows(2);
    steps
        .iter()
        .zip(facets)
        .enumerate()
        .map(|(index, (step, two))| {
            let (free, value) = (step.moved.quantity(), step.moved.value());
            let from = two[0].setting.value_of(free).unwrap_or(value);
            let value_text = value_text(free, value, length);
            let ground = if index == 0 { "at the edge" } else { "before it" };
            let stick = gauge_on_rig(&two[1])
                .map(|gauge| format!(" Gauge length {}.", length(gauge)))
                .unwrap_or_default();
            GrinderStep {
                quantity: step.moved.quantity(),
                value,
                name: format!("{}: {}", bevel_name(index + 1), free.words()),
                value_text,
                how: format!(
                    "{}; lock it.{stick} Grind the heel until the facet {ground} is {} wide.",
                    moved_words(free, from, value, length),
                    length(step.left_width_mm)
                ),
            }
        })
        .collect()
}

/// The gauge length that a step stands at, on a pivot.
fn gauge_on_rig(facet: &FurtherFacet) -> Option<f64> {
    // Pivot and wheel stand on the rig, whatever the tool is seen from.
    facet.view.gauge_length_mm()
}

/// What a step's refusal means, and its remedy.
#[must_use]
pub fn relief_refusal_words(why: &ReliefRefusal, length: LengthText<'_>) -> Words {
    let name = bevel_name(why.step());
    match why {
        ReliefRefusal::WidthOutOfRange { width_mm, most_mm, .. } => Words {
            reason: format!(
                "{name}: the facet before it cannot be left {} wide: it is {} wide when ground alone.",
                length(*width_mm),
                length(*most_mm)
            ),
            remedy: format!("Leave it more than nothing and less than {}.", length(*most_mm)),
        },
        ReliefRefusal::NotKeener { by, .. } => Words {
            reason: if by.degrees() < 0.05 {
                format!("{name}: this grinds where the facet before it is already.")
            } else {
                format!("{name}: this is blunter than the facet before it, by {}, and would not touch the heel.", degrees(*by))
            },
            remedy: "Move the arm further in, draw the tool out, flatten the strut or lower the operator’s side of the table."
                .to_owned(),
        },
        ReliefRefusal::NothingToMove { .. } => Words {
            reason: format!("{name}: what it moves is not there on this support."),
            remedy: "Take the step away and add it anew.".to_owned(),
        },
        ReliefRefusal::InsideOutOfRange { radius_mm, least_mm, .. } => Words {
            reason: format!(
                "{name}: no second bevel lets the tool into an inside curve of {} with this facet left.",
                length(*radius_mm)
            ),
            remedy: format!("Leave the facet narrower, or be content with more than {}.", length(*least_mm)),
        },
        ReliefRefusal::Refused { refusal, .. } => {
            let words = refusal_words(refusal, length);
            Words { reason: format!("{name}: {}", words.reason), remedy: words.remedy }
        }
    }
}

/// How tight an inside curve the facets follow, in a sentence.
#[must_use]
pub fn inside_words(inside: Inside, length: LengthText<'_>) -> String {
    match inside {
        Inside::NoLimit => {
            "A single facet has no tightest inside curve: edge and heel rest on any, and what grows is the lift of the edge."
                .to_owned()
        }
        Inside::Tightest { radius_mm, .. } => format!(
            "The facet at the edge can rub down to an inside curve of {} radius; on a tighter one the heel rests instead.",
            length(radius_mm)
        ),
        Inside::Hidden { corner_of: 1 } => {
            "The corner between the facets does not stand proud of the line from edge to heel: the heel rests as it would without a second bevel."
                .to_owned()
        }
        Inside::Hidden { .. } => {
            "A later corner stands proud of the first: it rests on the wood, and the facet at the edge never rubs along its width."
                .to_owned()
        }
    }
}
