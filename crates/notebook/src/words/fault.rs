//! Slips at the grinder in words: how large they were, and what to do about them.

use bevelbench_geometry::{
    fault::{Behind, Slip, TwoFacetsUnlikely, WingInk, WingInkVerdict},
    math::{Angle, Quantity},
};

use crate::{
    quantity::length_text::LengthText,
    saved::tool::Steel,
    words::{
        finding::ways,
        refusal_words,
        sentence::{Words, degrees},
        value::value_text,
    },
};

/// A size that was looked for and not found.
#[must_use]
pub fn behind_words<T>(behind: &Behind<T>, slip: &str, length: LengthText<'_>) -> Option<Words> {
    match behind {
        Behind::Found(_) => None,
        Behind::OutOfReach { nearest_mm } => Some(Words::new(
            format!("{slip} does not explain that: it comes no nearer than {}.", length(*nearest_mm)),
            "Measure again, or look for another cause.",
        )),
        Behind::NotGround => Some(Words::new(
            "The wheel does not grind that place in this swing, or the measurement is no length.",
            "Measure where the setting grinds.",
        )),
    }
}

/// A gouge that sat turned in its holder, positive when its left wing, seen from the handle, stood too high.
#[must_use]
pub fn turned_words(by: Angle) -> Words {
    let (up, way) = if by.radians() > 0.0 { ("left", "anticlockwise") } else { ("right", "clockwise") };
    Words::new(
        format!("The gouge sat turned in its holder by {}, its {up} wing too high.", degrees(by.abs())),
        format!(
            "Turn it back {} {way}, seen from the handle, lay a straight-edge across both wing tops to see that they are level, and grind until both wings come out alike.",
            degrees(by.abs())
        ),
    )
}

/// A nose held too long on the wheel.
#[must_use]
pub fn flat_words(lost_mm: f64, length: LengthText<'_>) -> Words {
    Words::new(
        format!("Held at the nose until {} too much was gone there.", length(lost_mm)),
        format!(
            "Grind both wings, and the nose hardly at all, until the edge has followed by {}. Then pass the nose without a stop: it is the shortest part of the edge and needs the least time.",
            length(lost_mm)
        ),
    )
}

/// A gouge rolled about another centre than the setting's.
#[must_use]
pub fn centre_words(height_mm: f64, own_mm: f64, length: LengthText<'_>) -> Words {
    let off = height_mm - own_mm;
    let way = if off < 0.0 { "lower" } else { "higher" };
    Words::new(
        format!("Rolled about a centre {} {way} than the setting has it.", length(off.abs())),
        if off < 0.0 {
            "Roll the gouge about its own bar and not about the floor of its flute; a little more time at the very nose rounds it again."
        } else {
            "Roll the gouge about its own bar and not about a line above it; a little less time at the nose lets it come forward again."
        },
    )
}

/// A gouge held too long at one place of its swing.
#[must_use]
pub fn dip_words(at: Angle, depth_mm: f64, length: LengthText<'_>) -> Words {
    Words::new(
        format!(
            "Held still {} from the middle of the swing until the wheel had come {} too deep.",
            degrees(at.abs()),
            length(depth_mm)
        ),
        "Keep rolling while the tool touches, and let the rest of the edge follow with light passes until the dip is gone.",
    )
}

/// A part of the swing that was rolled past.
#[must_use]
pub fn peak_words(at: Angle, half: Angle) -> Words {
    Words::new(
        format!(
            "Rolled past {} of the swing, about {} from the middle, without grinding.",
            degrees(half * 2.0),
            degrees(at.abs())
        ),
        "Go over that place with light passes, on both sides of it alike, until the edge is fair. Where the peak sits at the wing top the swing stopped too early.",
    )
}

/// One thing that, moved so far, explains two facets.
#[must_use]
pub fn slip_words(slip: &Slip, length: LengthText<'_>) -> String {
    let more = slip.by > 0.0;
    let by = value_text(slip.free, slip.by.abs(), length);
    let value = value_text(slip.free, slip.value, length);
    match slip.free {
        Quantity::Reach => {
            format!("The arm stood {by} further {} ({value}).", if more { "out" } else { "in" })
        }
        Quantity::Projection => {
            format!(
                "The projection had slipped by {by}: it was {value}, {}.",
                if more { "longer" } else { "shorter" }
            )
        }
        Quantity::StrutAngle => {
            format!(
                "The strut stood {by} {} ({value}).",
                if more { "further open" } else { "further closed" }
            )
        }
        Quantity::TableTilt => {
            let way = if more { "higher" } else { "lower" };
            format!("The table’s operator side stood {by} {way} ({value}).")
        }
        Quantity::ToolLength => format!("The tool was {by} {}.", if more { "longer" } else { "shorter" }),
        Quantity::WheelDiameter => {
            let way = if more { "larger" } else { "smaller" };
            format!("The wheel was {by} {way}: {value} across. Was it another wheel?")
        }
        other => {
            let (more_words, less_words) = ways(other);
            format!("The {other} was {by} {}: {value}.", if more { more_words } else { less_words })
        }
    }
}

/// Why two facets are not what one slip leaves.
#[must_use]
pub fn two_facets_words(why: &TwoFacetsUnlikely, length: LengthText<'_>) -> Words {
    match why {
        TwoFacetsUnlikely::Refused(refusal) => refusal_words(refusal, length),
        TwoFacetsUnlikely::OlderTooNarrow { whole_mm } => Words::new(
            format!("The older facet alone, as this setting grinds it, is only {} wide.", length(*whole_mm)),
            "Measure both facets again, or take the setting in hand that ground the older one.",
        ),
        TwoFacetsUnlikely::NewerTooNarrow { least_mm } => Words::new(
            format!(
                "The newer facet would have to be more than {} wide to come to an end.",
                length(*least_mm)
            ),
            "Measure both facets again, or take the setting in hand that ground the older one.",
        ),
        TwoFacetsUnlikely::WrongWay { newer, older } => Words::new(
            format!(
                "Facets of these widths would mean {} for the newer one beside {} for the older one: it would have left nothing of it.",
                degrees(*newer),
                degrees(*older)
            ),
            "Is the other facet the newer one?",
        ),
    }
}

/// What ink along one wing says.
#[must_use]
pub fn wing_ink_words(read: &WingInk, length: LengthText<'_>) -> Words {
    match read.verdict {
        WingInkVerdict::CannotTell { resolves } => Words::new(
            format!(
                "The ink cannot tell: a wing whose facet is {} wide there is inked all over until the gouge is turned by {}.",
                length(read.facet_mm),
                degrees(resolves)
            ),
            "Use a thinner film, or measure how far the wings are swept back.",
        ),
        WingInkVerdict::Turned { by } => {
            // Seen from the handle the +w wing is the left one.
            let (up, way) =
                if by.radians() > 0.0 { ("left", "anticlockwise") } else { ("right", "clockwise") };
            Words::new(
                format!(
                    "The gouge sits turned in its holder by about {}: its {up} wing is too high.",
                    degrees(by.abs())
                ),
                format!(
                    "Turn it {} {way}, seen from the handle, until flute and holder are level with each other.",
                    degrees(by.abs())
                ),
            )
        }
        WingInkVerdict::NotATurn => Words::new(
            format!(
                "No turn in the holder rubs that wing like that; its facet is {} wide there.",
                length(read.facet_mm)
            ),
            "Look at the other wing, and at the reach: ink alike on both wings is no turn.",
        ),
    }
}

/// What blue or brown on the edge means for a steel. No temperatures: the colours come from a film whose thickness
/// depends on the steel and the time as well.
#[must_use]
pub fn heat_words(steel: Steel) -> Words {
    let remedy = "Grind with less pressure and short touches, on a wheel that is dressed and open; keep thin cheeks and corners moving.";
    match steel {
        Steel::Carbon => Words::new(
            "Carbon steel that has turned blue has lost hardness there, and does not get it back by cooling.",
            format!(
                "Grind the blued steel away, slowly. {remedy} Cool it in water often, before it colours."
            ),
        ),
        Steel::HighSpeed | Steel::PowderHighSpeed => Words::new(
            "High-speed steel keeps its hardness through a heat that colours it: blue is a warning of pressure and of a glazed wheel, not yet a lost edge.",
            format!("{remedy} Do not quench it hot in water: a thin edge may crack."),
        ),
        Steel::Unknown => Words::new(
            "The steel of this tool is not known: carbon steel that has turned blue is soft there, high-speed steel is not.",
            format!("Treat it as carbon steel until you know. {remedy}"),
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::words::sentence::number;

    fn mm(value: f64) -> String {
        format!("{} mm", number(value, 1))
    }

    #[test]
    fn slips_are_reported_with_size_and_way() {
        let words = |free, by: f64| slip_words(&Slip { free, value: 75.0 + by, by }, &mm);
        assert_eq!(
            words(Quantity::Projection, 1.8),
            "The projection had slipped by 1.8 mm: it was 76.8 mm, longer."
        );
        assert_eq!(words(Quantity::Reach, -3.0), "The arm stood 3 mm further in (72 mm).");
        assert!(words(Quantity::WheelDiameter, -12.0).starts_with("The wheel was 12 mm smaller"));
    }

    #[test]
    fn carbon_steel_is_distinguished_from_high_speed_steel() {
        assert!(heat_words(Steel::Carbon).reason.contains("lost hardness"));
        assert!(heat_words(Steel::HighSpeed).reason.contains("keeps its hardness"));
        assert!(heat_words(Steel::Unknown).remedy.contains("as carbon steel"));
        for steel in [Steel::Carbon, Steel::HighSpeed, Steel::PowderHighSpeed, Steel::Unknown] {
            let text = heat_words(steel).together();
            assert!(!text.contains('°') && !text.chars().any(|c| c.is_ascii_digit()), "{text}");
        }
    }

    #[test]
    fn the_reported_turn_corrects_the_gouge() {
        let read = |degrees: f64| WingInk {
            verdict: WingInkVerdict::Turned { by: Angle::from_degrees(degrees) },
            facet_mm: 5.0,
        };
        let words = wing_ink_words(&read(3.4), &mm);
        assert!(words.reason.contains("3.4°") && words.reason.contains("left wing"), "{words:?}");
        // What stands too high on the left goes down anticlockwise.
        assert!(words.remedy.contains("anticlockwise"), "{words:?}");
        assert!(wing_ink_words(&read(-2.0), &mm).remedy.contains("2° clockwise"));
    }
}
