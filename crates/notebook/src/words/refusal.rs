//! Why a setting has no answer, in words.

use bevelbench_geometry::{
    math::Angle,
    side::{NoHeel, Refusal},
};

use crate::{
    quantity::length_text::LengthText,
    words::{
        nose::nose_gone_words,
        sentence::{Words, degrees, metres_a_second},
        value::dimension_error_words,
    },
};

/// Why a setting has no answer, and what to move.
#[must_use]
#[allow(
    clippy::too_many_lines,
    reason = "one arm a refusal, each two sentences: splitting it would only hide one"
)]
pub fn refusal_words(refusal: &Refusal, length: LengthText<'_>) -> Words {
    match *refusal {
        Refusal::DimensionError(dimension_error) => dimension_error_words(&dimension_error, length),
        Refusal::PivotAtEdge { .. } => Words::new(
            "The pivot and the edge are at one point, so the tool has no direction.",
            "Check the projection, the strut and the tool's length against the real ones.",
        ),
        Refusal::PivotInWheel { by_mm } => Words::new(
            format!("The pivot would stand {} inside the wheel.", length(by_mm)),
            format!("Move the pivot out by more than {}.", length(by_mm)),
        ),
        Refusal::PivotTooNear { distance_mm, least_mm } => Words::new(
            format!(
                "The pivot is {} from the wheel's centre; this tool needs more than {} to come back to the rim.",
                length(distance_mm),
                length(least_mm)
            ),
            format!(
                "Move the pivot out by more than {}; in a holder, a shorter projection helps too.",
                length(least_mm - distance_mm)
            ),
        ),
        Refusal::PivotTooFar { distance_mm, most_mm } => Words::new(
            format!(
                "The pivot stands {} out; this tool reaches the abrasive only from less than {}.",
                length(distance_mm),
                length(most_mm)
            ),
            format!(
                "Move the pivot in by more than {}; in a holder, a longer projection helps too.",
                length(distance_mm - most_mm)
            ),
        ),
        Refusal::BevelOutOfRange { bevel } => Words::new(
            format!(
                "The bevel comes out at {}; a grind needs more than 0° and less than 180°.",
                degrees(bevel)
            ),
            if bevel < Angle::QUARTER {
                "Move the pivot out, draw the tool out less, or tilt the table's operator side up."
            } else {
                "Move the pivot in, draw the tool out further, or tilt the table's operator side down."
            },
        ),
        Refusal::TableOutOfReach { plane_from_centre_mm, least_mm, most_mm } => {
            if plane_from_centre_mm >= most_mm {
                Words::new(
                    format!(
                        "The table carries the tool {} over the wheel.",
                        length(plane_from_centre_mm - most_mm)
                    ),
                    "Lower the table, or tilt its operator side up.",
                )
            } else {
                Words::new(
                    format!(
                        "The table carries the tool {} under the wheel.",
                        length(least_mm - plane_from_centre_mm)
                    ),
                    "Raise the table, or tilt its operator side down.",
                )
            }
        }
        Refusal::TableCatchesWheel { by_mm } => Words::new(
            format!("The table would run {} into the wheel.", length(by_mm)),
            format!(
                "Draw the table back by a little more than {}, so that a small gap stays open.",
                length(by_mm)
            ),
        ),
        Refusal::ReachOffArm { reach_mm, least_mm, most_mm } => {
            let (limit, other) = if reach_mm < least_mm {
                (least_mm, "draw the tool out less")
            } else {
                (most_mm, "draw the tool out further")
            };
            Words::new(
                format!(
                    "The arm reach is {}; this arm goes from {} to {}.",
                    length(reach_mm),
                    length(least_mm),
                    length(most_mm)
                ),
                format!("Set the reach to {}; or {other} and find the reach again.", length(limit)),
            )
        }
        Refusal::StrutAngleOffTravel { angle, least, most } => Words::new(
            format!(
                "The strut angle is {}; this holder goes from {} to {}.",
                degrees(angle),
                degrees(least),
                degrees(most)
            ),
            format!(
                "Set the strut to {} and find the reach again, or use another holder.",
                degrees(angle.clamped(least, most))
            ),
        ),
        Refusal::TiltOffTravel { tilt, least, most } => Words::new(
            format!(
                "The table tilt is {}; this table goes from {} to {}.",
                degrees(tilt),
                degrees(least),
                degrees(most)
            ),
            format!("Set the tilt to {}, or move the table's hinge.", degrees(tilt.clamped(least, most))),
        ),
        Refusal::NoHeel(NoHeel { under_mm, most_mm }) => Words::new(
            format!(
                "There is {} of steel under the edge; at this bevel the wheel can grind across only {}.",
                length(under_mm),
                length(most_mm)
            ),
            "Use a larger wheel or a flat abrasive, or ask for a keener bevel.",
        ),
        Refusal::HolderInWheel { by_mm } => Words::new(
            format!("The holder's body would be {} inside the wheel.", length(by_mm)),
            "Draw the tool out further and find the reach again.",
        ),
        Refusal::StrutInWheel { by_mm } => Words::new(
            format!("The strut would pass {} inside the wheel.", length(by_mm)),
            "Draw the tool out further or lay the strut flatter, and find the reach again.",
        ),
        Refusal::HandleThroughBench { by_mm } => Words::new(
            format!("The tool's handle would go {} into the bench top.", length(by_mm)),
            format!(
                "Raise the grinder by more than {}, or bring it nearer to the bench's front edge.",
                length(by_mm)
            ),
        ),
        Refusal::ProjectionBeyondBlade { projection_mm, most_mm } if most_mm <= 0.0 => Words::new(
            format!(
                "The projection is {}, but the blade is shorter than the holder's body.",
                length(projection_mm)
            ),
            "Use a shorter holder, or stand the handle's end in the cup.",
        ),
        Refusal::ProjectionBeyondBlade { projection_mm, most_mm } => Words::new(
            format!(
                "The projection is {}; with this holder on it the blade leaves {}.",
                length(projection_mm),
                length(most_mm)
            ),
            format!("Draw the tool out {} or less, and find the reach again.", length(most_mm)),
        ),
        Refusal::WheelWornOut { diameter_mm, least_mm } => Words::new(
            format!(
                "The wheel is down to {}; it is not to be used below {}.",
                length(diameter_mm),
                length(least_mm)
            ),
            "Fit a new wheel. If this one is larger, measure it and correct its diameter.",
        ),
        Refusal::WheelTooFast { rim_speed_m_s, marked_m_s } => Words::new(
            format!(
                "The rim would run at {}; the wheel is marked for {}.",
                metres_a_second(rim_speed_m_s),
                metres_a_second(marked_m_s)
            ),
            format!(
                "Do not run it. Use a slower spindle, or a wheel marked for at least {}.",
                metres_a_second((rim_speed_m_s * 10.0).ceil() / 10.0)
            ),
        ),
        Refusal::NoseGone(gone) => nose_gone_words(&gone, length),
        Refusal::NotOnPivot => Words::new(
            "A tool on the table has no pivot.",
            "Choose the holder or the handle in the cup for this setting.",
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mm(value: f64) -> String {
        format!("{value:.1} mm")
    }

    #[test]
    fn pivot_too_near_says_by_how_much_to_move() {
        let words = refusal_words(&Refusal::PivotTooNear { distance_mm: 112.25, least_mm: 120.0 }, &mm);
        assert_eq!(
            words.remedy,
            "Move the pivot out by more than 7.8 mm; in a holder, a shorter projection helps too."
        );
        assert!(words.reason.contains("112.2 mm") && words.reason.contains("120.0 mm"), "{words:?}");
    }

    #[test]
    fn table_out_of_reach_tells_over_from_under() {
        let over = Refusal::TableOutOfReach { plane_from_centre_mm: 90.0, least_mm: -80.0, most_mm: 70.0 };
        let under = Refusal::TableOutOfReach { plane_from_centre_mm: -95.0, least_mm: -80.0, most_mm: 70.0 };
        assert_eq!(refusal_words(&over, &mm).reason, "The table carries the tool 20.0 mm over the wheel.");
        assert_eq!(refusal_words(&under, &mm).reason, "The table carries the tool 15.0 mm under the wheel.");
    }

    #[test]
    fn reach_remedy_is_the_nearer_end_of_the_arm() {
        let short = Refusal::ReachOffArm { reach_mm: -3.0, least_mm: 0.0, most_mm: 200.0 };
        let long = Refusal::ReachOffArm { reach_mm: 230.0, least_mm: 0.0, most_mm: 200.0 };
        assert!(
            refusal_words(&short, &mm)
                .remedy
                .starts_with("Set the reach to 0.0 mm; or draw the tool out less")
        );
        assert!(
            refusal_words(&long, &mm)
                .remedy
                .starts_with("Set the reach to 200.0 mm; or draw the tool out further")
        );
    }

    #[test]
    fn overrunning_wheel_is_not_to_be_run() {
        let words = refusal_words(&Refusal::WheelTooFast { rim_speed_m_s: 40.13, marked_m_s: 35.0 }, &mm);
        assert_eq!(words.reason, "The rim would run at 40.1 m/s; the wheel is marked for 35 m/s.");
        assert_eq!(
            words.remedy,
            "Do not run it. Use a slower spindle, or a wheel marked for at least 40.2 m/s."
        );
    }

    #[test]
    fn every_refusal_with_numbers_shows_one_of_them() {
        let refusals = [
            Refusal::PivotInWheel { by_mm: 4.0 },
            Refusal::TableCatchesWheel { by_mm: 4.0 },
            Refusal::HolderInWheel { by_mm: 4.0 },
            Refusal::StrutInWheel { by_mm: 4.0 },
            Refusal::HandleThroughBench { by_mm: 4.0 },
            Refusal::ProjectionBeyondBlade { projection_mm: 9.0, most_mm: 4.0 },
            Refusal::WheelWornOut { diameter_mm: 9.0, least_mm: 4.0 },
            Refusal::NoHeel(NoHeel { under_mm: 9.0, most_mm: 4.0 }),
            Refusal::PivotTooFar { distance_mm: 9.0, most_mm: 4.0 },
        ];
        for refusal in refusals {
            let words = refusal_words(&refusal, &mm);
            assert!(words.reason.contains(" mm"), "{words:?}");
            assert!(words.reason.ends_with('.') && words.remedy.ends_with('.'), "{words:?}");
        }
    }
}
