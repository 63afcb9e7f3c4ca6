//! Why a setting leaves no shape that can be shown, and what a shown shape rests on, in words.

pub(super) mod differences;

use bevelbench_geometry::swept::{GroundError, RollLineError};

use crate::{
    answer::{
        swept::{
            Swept,
            movement::{Movement, NotSwept},
        },
        tip_gap::{SAME_MM, TipGap},
    },
    quantity::length_text::LengthText,
    words::{
        sentence::{Words, degrees, number},
        value::dimension_error_words,
    },
};

/// Why no swept shape can be shown, and what to do about it.
#[must_use]
pub fn not_swept_words(not_swept: &NotSwept, length: LengthText<'_>) -> Words {
    match *not_swept {
        NotSwept::SwingOutOfRange { half_deg } => Words::new(
            format!("The swing is {}° to either side; it can be from 0° to 180°.", number(half_deg, 1)),
            "Put in how far the tool is rolled from upright to either wing, usually 60° to 90°.",
        ),
        NotSwept::Ground(GroundError::DimensionError(dimension_error)) => {
            dimension_error_words(&dimension_error, length)
        }
        NotSwept::Ground(GroundError::RollLine(RollLineError::NotFinite)) => Words::new(
            "The roll line is made from something that is no number.",
            "Put in the roll centre as a height above the bar's centreline.",
        ),
        NotSwept::Ground(GroundError::RollLine(RollLineError::PivotAtCentre { apart_mm })) => Words::new(
            format!(
                "Pivot and roll centre are only {} apart, so the roll line has no direction.",
                length(apart_mm)
            ),
            "Check the projection and the strut against the real ones.",
        ),
        NotSwept::Ground(GroundError::RollCentreBelowFloor { below_mm }) => Words::new(
            format!(
                "The roll line passes {} below the flute's floor: rolled about it, the tool's nose would leave the wheel.",
                length(below_mm)
            ),
            format!("Raise the roll centre by {} or more.", length(below_mm)),
        ),
        NotSwept::Ground(GroundError::TurnOutOfReach { short_by_mm }) => Words::new(
            format!("Turned so far in its holder, the nose misses the wheel by {}.", length(short_by_mm)),
            "Turn the tool back towards flute up, or move the pivot in.",
        ),
        NotSwept::NothingGround => Words::new(
            "The wheel meets too little of this tool to leave an edge.",
            "Roll the tool further to either side, or check the flute and the roll centre.",
        ),
        NotSwept::NoWedge { together } => Words::new(
            format!("Both bevels make {} together: no steel is left between them.", degrees(together)),
            "Grind each of them keener than 90°.",
        ),
        NotSwept::RoundNoseOffTable { radius_mm } => Words::new(
            format!(
                "This edge is round, to a radius of {}, and hangs on a pivot: it swings about the cup, and that shape is not modelled.",
                length(radius_mm)
            ),
            "The side view holds at the middle of the edge. Set the tool up on a table to see the tip.",
        ),
        NotSwept::CurvedObliqueEdge { radius_mm } => Words::new(
            format!(
                "This edge is oblique and curved to a radius of {}: the hand swings it freely, and that shape is not modelled.",
                length(radius_mm)
            ),
            "The side view holds at the middle of the edge. Take the radius off on the Tool page to see the tip with a straight edge.",
        ),
    }
}

/// What the shown shape rests on: to be read wherever it is shown.
#[must_use]
pub fn validity_words(swept: &Swept) -> &'static str {
    match swept.movement() {
        Movement::Rolled { on_table: false, .. } => {
            "A prediction: a hand does not roll exactly about one line. Roll centre and swing are assumptions until they are fitted to a tool that was measured."
        }
        Movement::Rolled { on_table: true, .. } => {
            "A prediction: on the table the bar is taken to roll about its own axis, bevel up against the middle of the wheel. The swing is an assumption."
        }
        Movement::Turned => {
            "A prediction: the tool is taken to swing flat on the table about the centre of its round nose, contact at the middle of the wheel."
        }
        Movement::Pushed { .. } if swept.is_gouge() => {
            "Pushed straight on, never rolled: only the nose is as set. Tick “Rolled from wing to wing” to see the wings of a rolled tool."
        }
        Movement::Pushed { .. } => {
            "A prediction: the tool is taken to slide flat across the wheel, its edge held as the setting says."
        }
    }
}

/// The largest gap between the ground faces of A and B and where it is; the gap is B seen from A. Places along the edge
/// are written by `length`, the gap itself by `fine`.
#[must_use]
pub fn gap_words(gap: &TipGap, length: LengthText<'_>, fine: LengthText<'_>) -> String {
    let Some(most) = gap.largest() else {
        return "No place is ground in both, so there is no gap to show.".to_owned();
    };
    if most.gap_mm.abs() < SAME_MM {
        return format!("Both ground faces are the same to within {}.", fine(SAME_MM * 2.0));
    }
    let sense =
        if most.gap_mm > 0.0 { "B stands proud of A there" } else { "B is ground deeper than A there" };
    let along = if most.along_mm.abs() < 0.5 {
        "behind the nose".to_owned()
    } else {
        let side = if most.along_mm > 0.0 { "right" } else { "left" };
        format!("{} along the edge to the {side}", length(most.along_mm.abs()))
    };
    let behind = if most.behind_mm < 0.05 {
        "at the edge itself".to_owned()
    } else {
        format!("{} from the edge", length(most.behind_mm))
    };
    format!("Largest gap {}, {along}, {behind}: {sense}.", fine(most.gap_mm.abs()))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mm(value: f64) -> String {
        format!("{value:.1} mm")
    }

    #[test]
    fn a_low_roll_centre_is_reported_with_the_rise_it_needs() {
        let words =
            not_swept_words(&NotSwept::Ground(GroundError::RollCentreBelowFloor { below_mm: 1.25 }), &mm);
        assert!(words.reason.contains("1.2 mm below the flute's floor"), "{words:?}");
        assert_eq!(words.remedy, "Raise the roll centre by 1.2 mm or more.");
    }

    #[test]
    fn an_invalid_swing_is_reported_with_its_number() {
        let words = not_swept_words(&NotSwept::SwingOutOfRange { half_deg: -12.5 }, &mm);
        assert!(words.reason.contains("−12.5°"), "{words:?}");
    }
}
