//! Wear, drift, carrying over and polishing in words.

pub(super) mod sharing;

use bevelbench_geometry::{
    facet::Pattern,
    parts::Face,
    side::{LEAST_REST_GAP_MM, NotWorn},
};

use crate::{
    answer::{
        carry::{Held, NotCarried, NotKept},
        logbook::wear::NotLogged,
        polish::Polish,
        wear::{Drift, Left, NotFoundAgain},
    },
    quantity::length_text::LengthText,
    words::{
        refusal_words,
        sentence::{Words, degrees, number},
        unanswered::unanswered_words,
    },
};

/// "+1.3°", with a real minus sign.
#[must_use]
pub fn signed_degrees(degrees: f64) -> String {
    let text = number(degrees, 1);
    if degrees > 0.0 && text != "0" { format!("+{text}°") } else { format!("{text}°") }
}

/// How far a setting has drifted, from what, and what did it.
#[must_use]
pub fn drift_words(drift: &Drift) -> String {
    if drift.by().abs().degrees() < 0.05 {
        return format!("It grinds {}, as when it was last set true.", degrees(drift.now));
    }
    let word = if drift.by().degrees() > 0.0 { "blunter" } else { "keener" };
    let by = degrees(drift.by().abs());
    let mut words = format!(
        "It grinds {} now, {by} {word} than when it was last set true ({})",
        degrees(drift.now),
        degrees(drift.was)
    );
    let mut parts = Vec::new();
    for (part, name) in [(drift.by_wheel, "the wheel’s wear"), (drift.by_length, "the tool’s lost length")]
    {
        if part.abs().degrees() >= 0.05 {
            parts.push(format!("{} by {name}", signed_degrees(part.degrees())));
        }
    }
    if parts.is_empty() {
        words.push('.');
    } else {
        words = format!("{words}: {}.", parts.join(", "));
    }
    words
}

/// What is left of a wheel.
#[must_use]
pub fn left_words(left: &Left, length: LengthText<'_>) -> String {
    let fraction = number(left.fraction * 100.0, 0);
    let mut words = format!(
        "{} of diameter left to the least usable, {fraction} % of what the new wheel had.",
        length(left.diameter_mm)
    );
    if let (Some(pace), Some(years)) = (left.pace_mm_a_year, left.years) {
        let time = if years >= 2.0 {
            format!("about {} years", number(years, 0))
        } else {
            format!("about {} months", number(years * 12.0, 0))
        };
        words = format!("{words} The log says {} a year: {time} at that pace.", length(pace));
    }
    words
}

/// Why a worn wheel gives no answer.
#[must_use]
pub fn not_worn_words(why: &NotWorn, length: LengthText<'_>) -> String {
    match why {
        NotWorn::NoWheel => "A flat abrasive has no diameter to lose.".to_owned(),
        NotWorn::NoGauge => "A table has no gauge length.".to_owned(),
        NotWorn::NoPlace => "Nothing within the travel does it.".to_owned(),
        NotWorn::Refused(refusal) => refusal_words(refusal, length).reason,
    }
}

/// Why nothing was logged.
#[must_use]
pub fn not_logged_words(why: &NotLogged, length: LengthText<'_>) -> String {
    match why {
        NotLogged::Missing => "It is no longer on the bench.".to_owned(),
        NotLogged::NoNumber => "Put in what was measured: a length of more than nothing.".to_owned(),
        NotLogged::LargerThanNew { new_mm } => format!(
            "The wheel had {} when it was new: it cannot be larger now. If it was replaced, put the new one’s diameter in on the Rig page.",
            length(*new_mm)
        ),
        NotLogged::NoBladeLeft { handle_mm } => {
            format!("The handle alone is {}: with that length no blade would be left.", length(*handle_mm))
        }
    }
}

/// Why a bevel was not found again.
#[must_use]
pub fn not_found_again_words(why: &NotFoundAgain, length: LengthText<'_>) -> String {
    match why {
        NotFoundAgain::NothingToFind => {
            "It is not known which bevel it had: save the setting once as it should be.".to_owned()
        }
        NotFoundAgain::OffTravel => "The bevel lies off the travel of the arm or the table.".to_owned(),
        NotFoundAgain::Unanswered(unanswered) => unanswered_words(unanswered, length).together(),
    }
}

/// Why a setting was not carried over, and what would help.
#[must_use]
pub fn not_carried_words(why: &NotCarried, length: LengthText<'_>) -> Words {
    match why {
        NotCarried::Here(unanswered) => {
            let words = unanswered_words(unanswered, length);
            Words::new(format!("It has no answer where it is. {}", words.reason), words.remedy)
        }
        NotCarried::There(unanswered) => unanswered_words(unanswered, length),
        NotCarried::OffTravel { nearest, held: Held::OnTable } => Words::new(
            format!(
                "The same bevel would want a tilt of {}°, which the table does not reach.",
                number(*nearest, 1)
            ),
            "Choose another wheel, or another bevel.",
        ),
        NotCarried::OffTravel { nearest, held } => Words::new(
            format!(
                "The same bevel would want a reach of {}, which the arm does not have.",
                length(*nearest)
            ),
            match held {
                Held::InCup => "Hold the tool in a holder there instead.",
                Held::InHolder | Held::OnTable => "Try another projection or holder.",
            },
        ),
        NotCarried::TableTooClose { gap_mm } => Words::new(
            format!(
                "The table would stand {} from the wheel, where it rubs or is drawn in: {} is the least (this program's own limit).",
                length(*gap_mm),
                length(LEAST_REST_GAP_MM)
            ),
            "Choose another wheel, or another bevel.",
        ),
        NotCarried::SamePlace => {
            Words::new("It is there already.", "Choose another wheel, rig, holder or projection.")
        }
    }
}

/// What could not be kept, a few words each.
#[must_use]
pub fn not_kept_words(lost: &NotKept, length: LengthText<'_>, fine: LengthText<'_>) -> String {
    let turn = |by: bevelbench_geometry::math::Angle| {
        let word = if by.degrees() > 0.0 { "blunter" } else { "keener" };
        format!("{} {word}", degrees(by.abs()))
    };
    match *lost {
        NotKept::AtEdge { by } => format!("{} at the edge", turn(by)),
        NotKept::AcrossFacet { by } => format!("{} across the facet", turn(by)),
        NotKept::Hollow { by_mm } => {
            format!("hollow {} {}", fine(by_mm.abs()), if by_mm > 0.0 { "deeper" } else { "shallower" })
        }
        NotKept::WingSweep { by_mm } => format!(
            "wings {} {}",
            length(by_mm.abs()),
            if by_mm > 0.0 { "further back" } else { "less far back" }
        ),
        NotKept::EdgeShape { by_mm } => format!("edge off by up to {}", fine(by_mm)),
        NotKept::Wedge { by } => format!("wedge off by up to {}", degrees(by)),
        NotKept::FurtherSteps { count: 1 } => "its further step is to be set anew".to_owned(),
        NotKept::FurtherSteps { count } => format!("its {count} further steps are to be set anew"),
    }
}

/// How a keeping setting will meet the facet it is to polish, and what that means; whether it is a warning too.
#[must_use]
pub fn polish_words(polish: &Polish, face: Face, fine: LengthText<'_>) -> (bool, String) {
    let touch = &polish.touch;
    let wheel = if matches!(face, Face::Flat { .. }) { "flat" } else { "wheel" };
    match polish.pattern {
        Pattern::Whole => {
            (false, "It touches the whole facet: it only polishes what the first cut.".to_owned())
        }
        Pattern::BothEnds => (
            true,
            format!(
                "It touches edge and heel only; the middle stays {} clear, because this {wheel} is larger than the one that cut the facet. The edge is kept all the same, and the hollow comes out shallower.",
                fine(touch.middle_gap_mm)
            ),
        ),
        Pattern::Middle => (
            true,
            format!(
                "It touches the middle only; the edge stays {} clear, because this wheel is smaller than the one that cut the facet. The edge is reached after a few passes.",
                fine(touch.edge_gap_mm)
            ),
        ),
        Pattern::Edge => (
            true,
            format!(
                "It touches the edge only; the heel stays {} clear. It cuts a narrow edge bevel. Keep the bevel across the facet instead, or set the pivot in.",
                fine(touch.heel_gap_mm)
            ),
        ),
        Pattern::Heel => (
            true,
            format!(
                "It touches the heel only; the edge stays {} clear and is not sharpened. Keep the bevel across the facet instead, or set the pivot out.",
                fine(touch.edge_gap_mm)
            ),
        ),
    }
}
