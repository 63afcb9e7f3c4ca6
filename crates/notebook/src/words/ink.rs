//! What an ink test shows, forwards and backwards, and what to move for it.

use bevelbench_geometry::{
    facet::{InkReading, InkRemedy, InkVerdict, Pattern},
    math::{Angle, Quantity},
};

use crate::{
    quantity::length_text::LengthText,
    words::sentence::{Words, number},
};

const NOTHING: &str = "Nothing to move.";

/// What to move, which way and how far; `pattern` is where the ink went.
fn remedy_words(pattern: Pattern, remedy: &InkRemedy, free: Quantity, length: LengthText<'_>) -> String {
    let to_move = match remedy {
        InkRemedy::Clean => return NOTHING.to_owned(),
        InkRemedy::AsGoodAsItGets => return as_good_as_it_gets(pattern).to_owned(),
        InkRemedy::NoPlace => return "No place on this rig grinds the facet as it is.".to_owned(),
        InkRemedy::StandsOut => {
            return "Another facet stands out behind the edge and keeps this one off the wheel: grind that one back first.".to_owned();
        }
        InkRemedy::Move(to_move) => to_move,
    };
    let amount = match free {
        Quantity::TableTilt | Quantity::StrutAngle => format!("{}°", number(to_move.by.abs(), 2)),
        _ => length(to_move.by.abs()),
    };
    // In inches and fractions a move may be finer than what is written.
    if !free.is_angle() && amount == length(0.0) {
        return as_good_as_it_gets(pattern).to_owned();
    }
    let off = if to_move.off_travel.is_some() { "; that is off its travel" } else { "" };
    match free {
        Quantity::Projection => {
            let way = if to_move.by > 0.0 { "further out of" } else { "back into" };
            format!("Move the tool {amount} {way} its holder{off}.")
        }
        Quantity::StrutAngle => {
            let way = if to_move.by > 0.0 { "Open" } else { "Close" };
            format!("{way} the strut by {amount}{off}.")
        }
        Quantity::Reach | Quantity::TableTilt => {
            format!("{} by {amount}{off}.", way_to_move(free, to_move.by > 0.0))
        }
        _ => {
            let way = if to_move.by > 0.0 { "longer" } else { "shorter" };
            format!("Make it {amount} {way}{off}.")
        }
    }
}

/// The move of a pivot or a table, without its amount.
const fn way_to_move(free: Quantity, more: bool) -> &'static str {
    match (matches!(free, Quantity::TableTilt), more) {
        (true, true) => "Tilt the operator's side of the table up",
        (true, false) => "Tilt the operator's side of the table down",
        (false, true) => "Move the pivot out",
        (false, false) => "Move the pivot in",
    }
}

const fn as_good_as_it_gets(pattern: Pattern) -> &'static str {
    match pattern {
        Pattern::BothEnds => {
            "Nothing to move, this is as good as it gets on this wheel: the hollow will come out shallower."
        }
        Pattern::Middle => {
            "Nothing to move, this is as good as it gets on this wheel: a few passes make the hollow deeper and reach the edge."
        }
        Pattern::Whole | Pattern::Edge | Pattern::Heel => {
            "Nothing to move, this is as good as it gets: what is left is less than can be set by hand."
        }
    }
}

/// What an ink pattern means and what to move; `free` is what may be moved.
#[must_use]
pub fn ink_words(pattern: Pattern, remedy: &InkRemedy, free: Quantity, length: LengthText<'_>) -> Words {
    let reason = match pattern {
        Pattern::Whole => "The whole facet touches: the setting matches the tool.",
        Pattern::Heel => "The heel touches first: the setting is keener than the facet.",
        Pattern::Edge => "The edge touches first: the setting is blunter than the facet.",
        Pattern::BothEnds => {
            "Edge and heel touch and the middle does not: this wheel is larger than the one that made the hollow."
        }
        Pattern::Middle => {
            "The middle touches first: this wheel is smaller than the one that made the hollow."
        }
    };
    Words::new(reason, remedy_words(pattern, remedy, free, length))
}

/// Which way to move a pivot or a table that leaves ink bare at the heel, or at the edge, without knowing how far.
/// `slope` is that of the bevel by what is moved.
#[must_use]
pub fn ink_way(at_heel: bool, free: Quantity, slope: f64) -> String {
    // Bare at the heel is to become blunter.
    format!("{}.", way_to_move(free, at_heel == (slope >= 0.0)))
}

/// What an ink test read backwards says and what to move; `pattern` is what was seen, `free` what may be moved.
#[must_use]
pub fn ink_reading_words(
    pattern: Pattern,
    reading: &InkReading,
    free: Quantity,
    length: LengthText<'_>,
) -> Words {
    let degrees = |angle: Angle| format!("{}°", number(angle.degrees(), 2));
    let reason = match reading.verdict {
        InkVerdict::CannotTell { resolves, needs_mm } => {
            return Words::new(
                format!(
                    "The ink cannot tell: a facet so narrow is inked all over until it is {} off.",
                    degrees(resolves)
                ),
                format!("A facet of {} would tell, or a thinner film.", length(needs_mm)),
            );
        }
        InkVerdict::NotThisFacet => {
            return Words::new(
                "No facet of this width would be rubbed like that at this setting.",
                "Measure the facet and the rubbed width again, and mind the film's thickness.",
            );
        }
        InkVerdict::Matches { within } => format!("Setting and facet agree to within {}.", degrees(within)),
        InkVerdict::SettingKeener { by } => format!("The setting is {} keener than the facet.", degrees(by)),
        InkVerdict::SettingBlunter { by } => {
            format!("The setting is {} blunter than the facet.", degrees(by))
        }
        InkVerdict::WheelLarger { hollow_radius_mm } => format!(
            "This wheel is larger than the one that made the hollow, whose radius was {}.",
            length(hollow_radius_mm)
        ),
        InkVerdict::WheelSmaller { hollow_radius_mm: None } => {
            "The facet is flat, or as good as flat.".to_owned()
        }
        InkVerdict::WheelSmaller { hollow_radius_mm: Some(radius) } => format!(
            "This wheel is smaller than the one that made the hollow, whose radius was {}.",
            length(radius)
        ),
    };
    let remedy = reading
        .remedy
        .as_ref()
        .map_or(NOTHING.to_owned(), |remedy| remedy_words(pattern, remedy, free, length));
    Words::new(reason, remedy)
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

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]
mod tests {
    use super::*;
    use crate::saved::library::demo_bench;

    fn mm(value: f64) -> String {
        format!("{} mm", number(value, 1))
    }

    /// The remedy of a facet so many degrees off the setting of a demo.
    fn remedy(setting: &str, free: Quantity, off_deg: f64) -> (Pattern, InkRemedy) {
        let bench = demo_bench().unwrap();
        let (job, view) = bench.answer(bench.setting_named(setting).unwrap()).unwrap();
        let bevel = view.bevel() + Angle::from_degrees(off_deg);
        let own = job.setting.face.hollow();
        let facet = bevelbench_geometry::parts::PresentFacet::new(own, bevel, 6.0).unwrap();
        let map = job.setting.ink(&facet.into(), 0.001).unwrap();
        (map.pattern_at_edge(), job.setting.ink_remedy(&map, free))
    }

    #[test]
    fn heel_first_sends_the_pivot_out_and_edge_first_sends_it_in() {
        let words = |free, off| {
            let (pattern, remedy) = remedy("Long grind, 85 mm", free, off);
            ink_words(pattern, &remedy, free, &mm).remedy
        };
        assert!(words(Quantity::Reach, 2.0).starts_with("Move the pivot out by "));
        assert!(words(Quantity::Reach, -2.0).starts_with("Move the pivot in by "));
        assert!(words(Quantity::Projection, 2.0).ends_with(" mm back into its holder."));
        assert!(words(Quantity::Reach, 0.0).contains("Nothing to move."));
    }

    #[test]
    fn a_move_finer_than_what_is_written_is_as_good_as_it_gets() {
        let (pattern, remedy) = remedy("Long grind, 85 mm", Quantity::Reach, 0.3);
        let coarse = |_: f64| "0 inch".to_owned();
        let words = ink_words(pattern, &remedy, Quantity::Reach, &coarse).remedy;
        assert!(remedy.to_move().is_some() && words.contains("as good as it gets"), "{words}");
        let (pattern, remedy) = self::remedy("Long grind, 85 mm", Quantity::Reach, 0.03);
        let words = ink_words(pattern, &remedy, Quantity::Reach, &mm).remedy;
        assert!(pattern == Pattern::Heel && words.contains("less than can be set by hand"), "{words}");
    }

    #[test]
    fn a_way_without_an_amount_follows_the_slope() {
        assert_eq!(ink_way(true, Quantity::Reach, 0.01), "Move the pivot out.");
        assert_eq!(ink_way(true, Quantity::Reach, -0.01), "Move the pivot in.");
        assert_eq!(ink_way(false, Quantity::Reach, 0.01), "Move the pivot in.");
        assert_eq!(ink_way(true, Quantity::TableTilt, 1.0), "Tilt the operator's side of the table up.");
        assert_eq!(ink_way(false, Quantity::TableTilt, 1.0), "Tilt the operator's side of the table down.");
    }
}
