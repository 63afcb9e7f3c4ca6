//! One reach for many, in words.

use bevelbench_geometry::math::Angle;

use crate::{
    answer::one_reach::{Shared, WhyLeftOut},
    quantity::length_text::LengthText,
    words::{
        refusal_words,
        sentence::{degrees, number},
        unanswered::unanswered_words,
    },
};

/// Wings that differ by less look alike, in millimetres: half of what a rule shows.
const SHOWN_MM: f64 = 0.5;

/// How far a bevel is off, and which way.
#[must_use]
pub fn off_words(off: Angle) -> String {
    let text = number(off.degrees().abs(), 2);
    if text == "0" {
        return "as asked".to_owned();
    }
    format!("{text}° {}", if off.degrees() > 0.0 { "blunter" } else { "keener" })
}

/// How the wings change where projection and strut change and the bevel stays; nothing where they stay within what a
/// rule shows.
#[must_use]
pub fn wings_change_words(was_mm: f64, is_mm: f64, length: LengthText<'_>) -> Option<String> {
    let by = is_mm - was_mm;
    (by.abs() >= SHOWN_MM).then(|| {
        let way = if by > 0.0 { "further back" } else { "less far back" };
        format!("wings {} {way} ({} to {})", length(by.abs()), length(was_mm), length(is_mm))
    })
}

/// Where the arm is left, and how far that may vary.
#[must_use]
pub fn shared_words(shared: &Shared, length: LengthText<'_>) -> String {
    let Some(reach_mm) = shared.reach_mm.filter(|_| !shared.served.is_empty()) else {
        return "No reach serves any of these within the tolerance.".to_owned();
    };
    let strut =
        shared.strut_angle.map_or_else(String::new, |angle| format!(", strut angle {}", degrees(angle)));
    let (least, most) = shared.range_mm;
    format!(
        "Arm reach {}{strut}; anywhere from {} to {} serves as many.",
        length(reach_mm),
        length(least),
        length(most)
    )
}

/// Why a setting is left out.
#[must_use]
pub fn left_out_words(why: &WhyLeftOut, length: LengthText<'_>) -> String {
    match why {
        WhyLeftOut::NoProjection => "It is not held by a holder: it has no projection to set.".to_owned(),
        WhyLeftOut::Unanswered(why) => unanswered_words(why, length).reason,
        WhyLeftOut::OffRange { wanted_mm, least_mm, most_mm } => format!(
            "It would have to stand out {}; {} to {} is what it can.",
            length(*wanted_mm),
            length(*least_mm),
            length(*most_mm)
        ),
        WhyLeftOut::NoAnswer => "No projection grinds its bevel at this reach.".to_owned(),
        WhyLeftOut::StopOff { stop_mm, off } => {
            format!("On its nearest stop block, {}, it grinds {}.", length(*stop_mm), off_words(*off))
        }
        WhyLeftOut::InTheWay(refusal) => refusal_words(refusal, length).reason,
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]
mod tests {
    use super::*;
    use crate::{
        answer::one_reach::{Terms, groups, shared_reach},
        saved::library::demo_bench,
    };

    #[test]
    fn reach_its_range_and_who_is_left_out_are_reported_with_numbers() {
        let bench = demo_bench().unwrap();
        let mm = |value: f64| format!("{} mm", number(value, 1));
        let (rig, wheel, settings) = groups(&bench).into_iter().next().unwrap();
        let shared = shared_reach(&bench, rig, wheel, &settings, Terms::default()).unwrap();
        let words = shared_words(&shared, &mm);
        assert!(words.starts_with("Arm reach ") && words.contains(" to "), "{words}");
        let off = WhyLeftOut::OffRange { wanted_mm: 4.0, least_mm: 10.0, most_mm: 120.0 };
        assert_eq!(
            left_out_words(&off, &mm),
            "It would have to stand out 4 mm; 10 mm to 120 mm is what it can."
        );
        let stop = WhyLeftOut::StopOff { stop_mm: 60.0, off: Angle::from_degrees(-1.25) };
        assert_eq!(left_out_words(&stop, &mm), "On its nearest stop block, 60 mm, it grinds 1.25° keener.");
    }
}
