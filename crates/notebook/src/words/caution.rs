//! Cautions in words: what the number is, which published rule it is held against, local codes first.

pub(crate) mod line;

use bevelbench_geometry::{
    parts::WIDEST_REST_GAP_MM,
    side::{Caution, LEAST_REST_GAP_MM},
};

use crate::{
    quantity::{format_angle, length_text::LengthText},
    words::{
        nose::{nose_gone_words, not_ground_words},
        sentence::{degrees, metres_a_second},
    },
};

/// A caution as one or two sentences.
///
/// # Source
/// The rules named in the sentences: 29 CFR 1910.215 (a)(4), (b)(3) and (d)(1); Mich. R 408.10114(1);
/// BGR 147 §5.4.3.4. They are read as published, for information; local codes come first.
#[must_use]
pub fn caution_words(caution: &Caution, length: LengthText<'_>) -> String {
    match *caution {
        Caution::NoseGone(gone) => nose_gone_words(&gone, length).together(),
        Caution::EdgeNotGround(missed) => not_ground_words(&missed, length),
        Caution::EyesAndLungs => {
            "Eyes and lungs: goggles or a face shield, a dust mask, guards closed, eye shields down.".to_owned()
        }
        Caution::RimSpeed { rim_speed_m_s, marked_m_s: Some(marked) } => format!(
            "Rim speed {}; the wheel is marked for {}. Check the marking itself before the wheel is fitted (as 29 CFR 1910.215(d)(1) asks).",
            metres_a_second(rim_speed_m_s),
            metres_a_second(marked)
        ),
        Caution::RimSpeed { rim_speed_m_s, marked_m_s: None } => format!(
            "Rim speed {}, and the wheel's marking has not been entered. Read it before switching on; a wheel without a marking is not to be run.",
            metres_a_second(rim_speed_m_s)
        ),
        Caution::RestGap { gap_mm, .. } if gap_mm < LEAST_REST_GAP_MM => format!(
            "The gap between table and wheel is {}: the wheel would rub on the table or drag it in. Open it to at least {} (this program's own limit) with the wheel at rest.",
            length(gap_mm),
            length(LEAST_REST_GAP_MM)
        ),
        Caution::RestGap { gap_mm, widest_mm } if (widest_mm - WIDEST_REST_GAP_MM).abs() > 1e-6 => format!(
            "The gap between table and wheel is {}. Local codes come first; the limit kept to on this bench is {}.{}",
            length(gap_mm),
            length(widest_mm),
            if gap_mm > widest_mm { " Close it with the wheel at rest." } else { " Set it only with the wheel at rest." }
        ),
        Caution::RestGap { gap_mm, widest_mm } if gap_mm > widest_mm => format!(
            "The gap between table and wheel is {}. Local codes come first; one published limit is {} (29 CFR 1910.215(a)(4)), another 3 mm (BGR 147). Close it with the wheel at rest.",
            length(gap_mm),
            length(widest_mm)
        ),
        Caution::RestGap { gap_mm, widest_mm } => format!(
            "The gap between table and wheel is {}. Local codes come first; one published limit is {} (29 CFR 1910.215(a)(4)). Set it only with the wheel at rest.",
            length(gap_mm),
            length(widest_mm)
        ),
        Caution::NoRest => {
            "The tool hangs on a pivot and no rest is in use: draw the table well clear or close it up, with the wheel at rest.".to_owned()
        }
        Caution::ContactLow { below_mm } => format!(
            "The edge meets the wheel {} below the spindle. Local codes come first; one published rule wants it level with the spindle unless a sign says otherwise (Mich. R 408.10114(1)). In a holder, a longer projection or a steeper strut raises it, the reach found again.",
            length(below_mm)
        ),
        Caution::ContactUnderGuard { above_horizontal, open_to } => format!(
            "The edge meets the wheel {} above the horizontal. Local codes come first; a guard set to one published rule opens only to {} (29 CFR 1910.215(b)(3)). Leave the guard as it is; in a holder, a shorter projection or a flatter strut lowers the contact, the reach found again.",
            degrees(above_horizontal),
            degrees(open_to)
        ),
        Caution::ContactBehindTop { behind } => format!(
            "The edge meets the wheel {} behind its top, where the handle no longer hangs against the pull of the rim. In a holder, a shorter projection or a flatter strut lowers it, the reach found again.",
            degrees(behind)
        ),
        Caution::HandleSteep { handle_angle, limit } => format!(
            "The handle hangs {} below the horizontal, which is hard to hold steady (this program's own limit is {}).",
            degrees(handle_angle),
            format_angle(limit.degrees(), 0)
        ),
        Caution::WheelNearlyWorn { left_mm } => format!(
            "The wheel has {} of diameter left before it must be replaced. Have a new one at hand.",
            length(left_mm.max(0.0))
        ),
        Caution::LocalRules => {
            "Local codes, the maker's markings and trained practice come before anything said here.".to_owned()
        }
    }
}

/// The reminders that stand on every screen and card, the most binding first.
#[must_use]
pub const fn permanent_cautions() -> [&'static str; 6] {
    [
        "Local codes, the maker's markings and trained practice come before anything said here.",
        "Eyes: goggles or a face shield, every time. Lungs: a dust mask; keep the dust out of the air.",
        "Wheel: no faster than it is marked for, guards closed, ring-tested before it is fitted, run up from the side.",
        "Table: as close as it goes without touching, set and locked only with the wheel at rest.",
        "Contact: on the front of the wheel, no higher than the guard leaves open.",
        "Stop if anything catches, knocks or runs out of true.",
    ]
}

#[cfg(test)]
mod tests {
    use super::*;
    use bevelbench_geometry::math::Angle;

    fn mm(value: f64) -> String {
        format!("{value:.1} mm")
    }

    fn every() -> [Caution; 13] {
        [
            Caution::EyesAndLungs,
            Caution::RimSpeed { rim_speed_m_s: 22.0, marked_m_s: Some(35.0) },
            Caution::RimSpeed { rim_speed_m_s: 22.0, marked_m_s: None },
            Caution::RestGap { gap_mm: 5.0, widest_mm: 3.175 },
            Caution::RestGap { gap_mm: 2.0, widest_mm: 3.175 },
            Caution::RestGap { gap_mm: 0.04, widest_mm: 3.175 },
            Caution::NoRest,
            Caution::ContactLow { below_mm: 20.0 },
            Caution::ContactUnderGuard {
                above_horizontal: Angle::from_degrees(70.0),
                open_to: Angle::from_degrees(65.0),
            },
            Caution::ContactBehindTop { behind: Angle::from_degrees(5.0) },
            Caution::HandleSteep {
                handle_angle: Angle::from_degrees(64.0),
                limit: Angle::from_degrees(60.0),
            },
            Caution::WheelNearlyWorn { left_mm: 3.0 },
            Caution::LocalRules,
        ]
    }

    #[test]
    fn published_rule_never_stands_without_local_codes_before_it() {
        for caution in every() {
            let text = caution_words(&caution, &mm);
            if let Some(rule) = ["one published", "another 3 mm"].iter().filter_map(|r| text.find(r)).min() {
                assert!(text.find("Local codes").is_some_and(|at| at < rule), "{text}");
            }
        }
    }

    #[test]
    fn a_steep_handle_is_told_with_the_limit_that_was_kept_to() {
        for (limit, told) in [(60.0, "limit is 60°"), (48.0, "limit is 48°")] {
            let limit = Angle::from_degrees(limit);
            let steep = Caution::HandleSteep { handle_angle: Angle::from_degrees(64.0), limit };
            let words = caution_words(&steep, &mm);
            assert!(words.contains("64") && words.contains(told), "{words}");
        }
    }

    #[test]
    fn no_caution_claims_that_anything_complies() {
        for text in
            every().iter().map(|c| caution_words(c, &mm)).chain(permanent_cautions().map(str::to_owned))
        {
            let lower = text.to_lowercase();
            assert!(
                !["compl", "is safe", "approved", "conform"].iter().any(|word| lower.contains(word)),
                "{text}"
            );
            assert!(text.ends_with('.'), "{text}");
        }
    }

    #[test]
    fn open_gap_is_reported_with_its_number_and_its_limit() {
        let text = caution_words(&Caution::RestGap { gap_mm: 5.0, widest_mm: 3.175 }, &mm);
        assert!(text.contains("5.0 mm") && text.contains("3.2 mm") && text.contains("Close it"), "{text}");
    }

    #[test]
    fn standing_cautions_begin_with_local_codes() {
        assert!(permanent_cautions()[0].starts_with("Local codes"));
    }
}
