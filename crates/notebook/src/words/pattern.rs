//! What an ink pattern means and what to move.

use bevelbench_geometry::{facet::Pattern, side::Support};

use crate::{quantity::length_text::LengthText, words::sentence::Words};

/// What an ink pattern means and what to move. `reach_correction_mm` is the move of the cup along the arm
/// that makes the setting match the facet, positive away from the wheel, where it is known.
#[must_use]
pub fn pattern_words(
    pattern: Pattern,
    support: &Support,
    reach_correction_mm: Option<f64>,
    length: LengthText<'_>,
) -> Words {
    let on_table = matches!(support, Support::Table { .. });
    // A correction against the pattern's own direction is another answer of the arm's, not this one.
    let by = |outwards: bool| {
        reach_correction_mm
            .filter(|mm| mm.is_finite() && *mm != 0.0 && (*mm > 0.0) == outwards)
            .map_or_else(String::new, |mm| format!(" by {}", length(mm.abs())))
    };
    match pattern {
        Pattern::Whole => {
            Words::new("The whole facet touches: the setting matches the tool.", "Nothing to move.")
        }
        Pattern::Heel => Words::new(
            "The heel touches first: the setting is keener than the facet.",
            if on_table {
                "Tilt the operator's side of the table up.".to_owned()
            } else {
                format!("Move the pivot out{}.", by(true))
            },
        ),
        Pattern::Edge => Words::new(
            "The edge touches first: the setting is blunter than the facet.",
            if on_table {
                "Tilt the operator's side of the table down.".to_owned()
            } else {
                format!("Move the pivot in{}.", by(false))
            },
        ),
        Pattern::BothEnds => Words::new(
            "Edge and heel touch and the middle does not: this wheel is larger than the one that made the hollow.",
            "Nothing to move: the hollow will come out shallower.",
        ),
        Pattern::Middle => Words::new(
            "The middle touches first: this wheel is smaller than the one that made the hollow.",
            "Nothing to move: a few passes make the hollow deeper and reach the edge.",
        ),
    }
}
