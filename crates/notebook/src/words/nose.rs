//! A nose that the swing cuts off, and steel that the wheel never grinds, in words.

use bevelbench_geometry::side::{NoseGone, NotGround};

use crate::{
    answer::swept::Swept,
    quantity::length_text::LengthText,
    words::sentence::{Words, degrees, number},
};

/// That the nose goes: how far back, at which roll, and what keeps it.
#[must_use]
pub fn nose_gone_words(gone: &NoseGone, length: LengthText<'_>) -> Words {
    let (back, roll, wedge) = (length(gone.back_mm), degrees(gone.roll), degrees(gone.wedge));
    let reason = match gone.sliver_mm {
        None => format!(
            "The nose is ground away: rolled {roll} to the side, the wheel cuts through behind it. The edge at the middle lies {back} back, with a wedge of {wedge}; bevel and facet of the side view are lost."
        ),
        Some(sliver) => format!(
            "The nose is all but ground away: only a sliver {} wide is left. Beside it, rolled {roll} to the side, the edge falls {back} back, with a wedge of {wedge}.",
            length(sliver)
        ),
    };
    let remedies = gone.remedies;
    let mut ways: Vec<String> = Vec::with_capacity(4);
    ways.extend(remedies.half_swing.map(|a| format!("roll no more than {} to either side", degrees(a))));
    ways.extend(
        remedies.strut_angle.map(|a| format!("set the strut to {} and find the reach again", degrees(a))),
    );
    ways.extend(remedies.bevel.map(|a| format!("grind a bevel of {} or blunter", degrees(a))));
    ways.extend(
        remedies.roll_centre_mm.map(|mm| format!("roll about a centre {} above the centreline", length(mm))),
    );
    let remedy = match ways.as_slice() {
        [] => "No swing, strut, bevel or roll centre of this set-up keeps it.".to_owned(),
        [one] => format!("To keep it, {one}."),
        [most @ .., last] => format!("To keep it, {}, or {last}.", most.join(", ")),
    };
    Words::new(reason, remedy)
}

/// That part of the edge is not ground.
#[must_use]
pub fn not_ground_words(missed: &NotGround, length: LengthText<'_>) -> String {
    let where_to = if (missed.minus_mm - missed.plus_mm).abs() < 0.05 {
        format!("{} of each wing", length(missed.plus_mm))
    } else {
        format!("{} of the left wing and {} of the right", length(missed.plus_mm), length(missed.minus_mm))
    };
    format!(
        "The wheel's rim never comes to {} % of the edge: {where_to}, along the upper face, is not ground, or left with a step by the wheel's side. Roll further to either side, or use a wider wheel.",
        number(100.0 * missed.fraction, 0)
    )
}

/// What must be read before anything else about a swept shape.
#[must_use]
pub fn swept_warnings(swept: &Swept, length: LengthText<'_>) -> Vec<String> {
    let gone = swept.nose_gone().map(|gone| nose_gone_words(gone, length).together());
    let missed = swept.not_ground().map(|missed| not_ground_words(missed, length));
    gone.into_iter().chain(missed).collect()
}
