//! The geometry's refusals, cautions and patterns as sentences for turners.
//!
//! Each sentence names the quantity, its value and its limit; each mend says what to move and by how much.
//! Lengths are written by the caller's own formatter, so that who works in inches reads inches. Where a
//! caution rests on a published rule the rule is named, and local codes stand before it; nothing here claims
//! that a set-up complies with anything.

pub mod safety;

mod caution;
mod clearance;
mod cost;
mod cross_check;
mod differences;
mod fault;
mod finding;
mod further;
mod keep;
mod matching;
mod refusal;
mod sharing;
mod steps;
mod swept;
mod trial;
mod uncertainty;

pub use caution::{caution_words, standing_cautions};
pub use clearance::{body_name, clearance_words, obstacle_name, rest_gap_words, swing_at_words};
pub use cost::{area_text, life_words, minutes_text, regrind_words, volume_text, way_words};
pub use cross_check::cross_verdict_words;
pub use differences::{Compared, difference_words};
pub use fault::{
    behind_words, centre_words, dip_words, flat_words, heat_words, peak_words, slip_words, turned_words,
    two_facets_words, wing_ink_words,
};
pub use finding::{
    movable_name, movable_value, move_words, near_words, not_findable_words, remedy_words, short_words,
};
pub use further::{bevel_name, further_steps_words, inside_words, moved_words, relief_refusal_words};
pub use keep::{
    drift_words, left_words, not_carried_words, not_found_again_words, not_kept_words, not_logged_words,
    not_worn_words, polish_words, signed_degrees,
};
pub use matching::{at_odds_words, matched_words, unmatched_words, way_name, wheel_fit_words};
pub use refusal::refusal_words;
pub use sharing::{left_out_words, off_words, shared_words};
pub use steps::{AtHand, HABIT, Step, at_the_grinder_steps};
pub use swept::{gap_words, not_swept_words, validity_words};
pub use trial::{fit_refusal_words, hidden_name, ink_reading_words, ink_why};
pub use uncertainty::{half_width_words, needs_words};

use bevelbench_geometry::{
    facet::Pattern,
    math::{Angle, Bound, Quantity, Unfit},
    side::Support,
};

use crate::answer::bench::{Missing, Unanswered};

/// Writes a length given in millimetres, with its unit.
pub type LengthText<'a> = &'a dyn Fn(f64) -> String;

/// Why something is so, and what to do about it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Words {
    /// The reason: a full sentence with its numbers.
    pub reason: String,
    /// The mend: a full sentence that says what to move or put in.
    pub mend: String,
}

impl Words {
    /// A reason and its mend.
    #[must_use]
    pub fn new(reason: impl Into<String>, mend: impl Into<String>) -> Self {
        Self { reason: reason.into(), mend: mend.into() }
    }

    /// Both sentences in one line.
    #[must_use]
    pub fn together(&self) -> String {
        format!("{} {}", self.reason, self.mend)
    }
}

/// What kind of number a quantity is.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Measure {
    Length,
    Degrees,
    MetresASecond,
    TurnsAMinute,
    Plain,
}

const fn measure_of(quantity: Quantity) -> Measure {
    use Quantity as Q;
    match quantity {
        Q::FaceSlope
        | Q::ArmTilt
        | Q::StrutAngle
        | Q::StrutAngleLeast
        | Q::StrutAngleMost
        | Q::TableTilt
        | Q::TableTiltLeast
        | Q::TableTiltMost
        | Q::EdgeObliquity
        | Q::OtherBevel
        | Q::Bevel
        | Q::BevelAcross
        | Q::Swing
        | Q::TurnInHolder
        | Q::GuardOpenFrom
        | Q::GuardOpenTo => Measure::Degrees,
        Q::MarkedSpeed => Measure::MetresASecond,
        Q::SpindleSpeed => Measure::TurnsAMinute,
        Q::FluteFactor | Q::FluteExponent | Q::FluteSlope => Measure::Plain,
        _ => Measure::Length,
    }
}

/// A number with at most this many decimals, no idle zeros, and a real minus sign.
fn number(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    let text = if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.') } else { &text };
    if text == "-0" { "0".to_owned() } else { text.replace('-', "−") }
}

/// An angle to a tenth of a degree.
fn degrees(angle: Angle) -> String {
    format!("{}°", number(angle.degrees(), 1))
}

/// A speed to a tenth of a metre a second.
fn metres_a_second(speed: f64) -> String {
    format!("{} m/s", number(speed, 1))
}

/// The same words, the first letter large.
#[must_use]
pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// The same words, the first letter small.
#[must_use]
pub fn lower_first(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_lowercase().chain(letters).collect())
}

/// A value of a quantity with its unit.
fn value_text(quantity: Quantity, value: f64, length: LengthText<'_>) -> String {
    if !value.is_finite() {
        return "no number".to_owned();
    }
    match measure_of(quantity) {
        Measure::Length => length(value),
        Measure::Degrees => format!("{}°", number(value, 1)),
        Measure::MetresASecond => metres_a_second(value),
        Measure::TurnsAMinute => format!("{} turns a minute", number(value, 0)),
        Measure::Plain => number(value, 3),
    }
}

/// A dimension that cannot be.
#[must_use]
pub fn unfit_words(unfit: &Unfit, length: LengthText<'_>) -> Words {
    let Unfit { quantity, value, bound } = *unfit;
    let name = quantity.words();
    let is = value_text(quantity, value, length);
    let limit = |x: f64| value_text(quantity, x, length);
    let (must, mend) = match bound {
        Bound::Finite => ("a number".to_owned(), format!("Put in the {name} as it was measured.")),
        // A length's least value is a hair above nothing: say what is meant.
        Bound::AtLeast(x) if measure_of(quantity) == Measure::Length && x > 0.0 && x < 1e-3 => {
            ("more than nothing".to_owned(), format!("Put in the {name} as it was measured."))
        }
        Bound::AtLeast(x) => {
            (format!("at least {}", limit(x)), format!("Make the {name} {} or more.", limit(x)))
        }
        Bound::AtMost(x) => {
            (format!("at most {}", limit(x)), format!("Make the {name} {} or less.", limit(x)))
        }
        Bound::MoreThan(x) => {
            (format!("more than {}", limit(x)), format!("Make the {name} more than {}.", limit(x)))
        }
        Bound::LessThan(x) => {
            (format!("less than {}", limit(x)), format!("Make the {name} less than {}.", limit(x)))
        }
    };
    Words::new(format!("{} is {is}, but it must be {must}.", capital(name)), mend)
}

/// Whatever stands between a setting and its answer.
#[must_use]
pub fn unanswered_words(unanswered: &Unanswered, length: LengthText<'_>) -> Words {
    match unanswered {
        Unanswered::Missing(missing) => missing_words(*missing),
        Unanswered::Part { name, unfit } => {
            let words = unfit_words(unfit, length);
            Words::new(format!("{name}: {}", words.reason), words.mend)
        }
        Unanswered::Refused(refusal) => refusal_words(refusal, length),
    }
}

pub(crate) fn missing_words(missing: Missing) -> Words {
    let (reason, mend) = match missing {
        Missing::Setting(_) => ("The setting is no longer on the bench.", "Choose another one in the rack."),
        Missing::Tool(_) => ("The tool of this setting is no longer on the bench.", "Choose another tool."),
        Missing::Rig(_) => ("The rig of this setting is no longer on the bench.", "Choose another rig."),
        Missing::Wheel(_) => ("The wheel of this setting is no longer on its rig.", "Choose another wheel."),
        Missing::Holder(_) => {
            ("The holder of this setting is no longer with its rig.", "Choose another holder.")
        }
        Missing::Arm => {
            ("There is no arm in front of this wheel.", "Add one to the wheel, or use the table.")
        }
        Missing::Table => {
            ("There is no table in front of this wheel.", "Add one to the wheel, or use the arm.")
        }
    };
    Words::new(reason, mend)
}

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

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]
mod tests {
    use super::*;
    use bevelbench_geometry::{
        DVec2,
        parts::{AngleTravel, Arm, Table, TableSpec, Travel},
        side::Refusal,
    };

    fn mm(value: f64) -> String {
        format!("{} mm", number(value, 1))
    }

    fn inches(value: f64) -> String {
        format!("{} in", number(value / 25.4, 2))
    }

    fn table() -> Support {
        let spec = TableSpec {
            hinge_in_bench: DVec2::new(100.0, 0.0),
            surface_offset_mm: 5.0,
            front_mm: 20.0,
            rear_mm: 50.0,
            tilt: AngleTravel { least: Angle::ZERO, most: Angle::QUARTER },
        };
        Support::Table { table: Table::new(spec).unwrap(), tilt: Angle::ZERO }
    }

    fn cup() -> Support {
        let travel = Travel { least_mm: 0.0, most_mm: 300.0 };
        let arm = Arm::new(DVec2::new(30.0, -150.0), Angle::ZERO, travel).unwrap();
        Support::Handle { arm, reach_mm: 100.0, tool_length_mm: 300.0 }
    }

    #[test]
    fn dimension_names_its_value_its_limit_and_the_mend() {
        let unfit = Unfit { quantity: Quantity::WheelDiameter, value: 201.0, bound: Bound::AtMost(200.0) };
        let words = unfit_words(&unfit, &mm);
        assert_eq!(words.reason, "Wheel diameter is 201 mm, but it must be at most 200 mm.");
        assert_eq!(words.mend, "Make the wheel diameter 200 mm or less.");
        let none = Unfit { quantity: Quantity::Reach, value: f64::NAN, bound: Bound::Finite };
        assert_eq!(unfit_words(&none, &mm).reason, "Arm reach is no number, but it must be a number.");
        let nothing = Unfit { quantity: Quantity::BladeWidth, value: 0.0, bound: Bound::AtLeast(1e-6) };
        assert_eq!(
            unfit_words(&nothing, &mm).reason,
            "Blade width is 0 mm, but it must be more than nothing."
        );
    }

    #[test]
    fn angles_are_not_written_as_lengths() {
        let unfit = Unfit { quantity: Quantity::ArmTilt, value: -92.5, bound: Bound::AtLeast(-80.0) };
        assert_eq!(
            unfit_words(&unfit, &inches).together(),
            "Arm tilt is −92.5°, but it must be at least −80°. Make the arm tilt −80° or more."
        );
    }

    #[test]
    fn inch_users_read_inches() {
        let refusal = Refusal::ReachOffArm { reach_mm: 330.2, least_mm: 0.0, most_mm: 254.0 };
        let words = refusal_words(&refusal, &inches);
        assert!(words.reason.contains("13 in") && words.mend.contains("10 in"), "{words:?}");
        assert!(!words.together().contains("mm"), "{words:?}");
    }

    #[test]
    fn heel_first_sends_the_pivot_out_and_edge_first_sends_it_in() {
        let mend = |pattern, support: Support, by| pattern_words(pattern, &support, by, &mm).mend;
        assert_eq!(mend(Pattern::Heel, cup(), Some(3.25)), "Move the pivot out by 3.2 mm.");
        assert_eq!(mend(Pattern::Edge, cup(), Some(-3.25)), "Move the pivot in by 3.2 mm.");
        assert_eq!(mend(Pattern::Edge, cup(), None), "Move the pivot in.");
        assert_eq!(mend(Pattern::Heel, table(), None), "Tilt the operator's side of the table up.");
        assert_eq!(mend(Pattern::Edge, table(), None), "Tilt the operator's side of the table down.");
    }

    #[test]
    fn correction_of_another_answer_is_not_told() {
        assert_eq!(pattern_words(Pattern::Heel, &cup(), Some(-90.0), &mm).mend, "Move the pivot out.");
    }

    #[test]
    fn part_is_named_before_its_dimension() {
        let unfit = Unfit { quantity: Quantity::StrutLength, value: -1.0, bound: Bound::AtLeast(0.0) };
        let words = unanswered_words(&Unanswered::Part { name: "Long holder".to_owned(), unfit }, &mm);
        assert_eq!(words.reason, "Long holder: Strut length is −1 mm, but it must be at least 0 mm.");
    }

    #[test]
    fn missing_parts_say_the_same_on_screen_and_in_a_log() {
        for missing in [Missing::Arm, Missing::Table, Missing::Tool(crate::saved::Id(1))] {
            assert_eq!(missing_words(missing).together(), missing.to_string());
        }
    }

    #[test]
    fn nothing_is_written_as_nothing() {
        assert_eq!(number(-0.04, 1), "0");
        assert_eq!(number(-12.25, 2), "−12.25");
        assert_eq!(number(100.0, 0), "100");
    }
}
