//! What was found, what falls short and what would do instead, in words.

use bevelbench_geometry::{
    math::Quantity,
    solve::{Remedy, Short, Solution, WingTarget},
};

use crate::{
    answer::{
        bench::Unanswered,
        finding::{Move, NotFindable},
    },
    quantity::length_text::LengthText,
    saved::table,
    words::{
        refusal_words,
        sentence::{Words, capital, number},
        unanswered::unanswered_words,
        value::value_text,
    },
};

/// How far something moves and which way; `None` where it stays.
#[must_use]
pub fn move_words(one: &Move, length: LengthText<'_>) -> Option<String> {
    let by = value_text(one.what, one.by().abs(), length);
    // What reads as nothing stays.
    if !by.contains(|c: char| ('1'..='9').contains(&c)) {
        return None;
    }
    let (more, less) = ways(one.what);
    Some(format!("{by} {}", if one.by() > 0.0 { more } else { less }))
}

/// Which way more and less of a quantity is.
pub(super) fn ways(quantity: Quantity) -> (&'static str, &'static str) {
    let found = table::row(quantity).and_then(|row| row.found);
    found.map_or(("more", "less"), |found| (found.more, found.less))
}

/// What would do instead, as an order; what is short stays at its limit.
#[must_use]
pub fn remedy_words(remedy: &Remedy, length: LengthText<'_>) -> String {
    format!("Set the {} to {}", remedy.what.words(), value_text(remedy.what, remedy.value, length))
}

/// What stops a target, and what would do instead.
#[must_use]
pub fn short_words(short: &Short, remedies: &[Remedy], length: LengthText<'_>) -> Words {
    let by = value_text(short.what, short.by(), length);
    let wanted = value_text(short.what, short.wanted, length);
    let limit = value_text(short.what, short.limit, length);
    let name = short.what.words();
    let thing = match short.what {
        Quantity::Reach if short.wanted > short.limit => format!("The arm is {by} short"),
        Quantity::Reach => format!("The cup cannot come {by} further in"),
        _ if short.wanted > short.limit => format!("The {name} goes {by} too little"),
        _ => format!("The {name} cannot come down by the last {by}"),
    };
    let reason = format!("{thing}: {wanted} would be needed, and {limit} is the limit.");
    let remedy = match remedies.iter().find(|remedy| remedy.short.what == short.what) {
        Some(remedy) => {
            let to = value_text(remedy.what, remedy.value, length);
            format!("With the {name} at {limit}, {} {to} would do.", article(remedy.what.words()))
        }
        None => "Set something else free as well.".to_owned(),
    };
    Words { reason, remedy }
}

fn article(name: &str) -> String {
    format!("{} {name} of", if name.starts_with(['a', 'e', 'i', 'o', 'u']) { "an" } else { "a" })
}

/// How near the nearest comes where nothing meets the target.
#[must_use]
pub fn near_words(
    near: &Solution,
    free: &[Quantity],
    wing: Option<WingTarget>,
    length: LengthText<'_>,
) -> String {
    let at: Vec<String> = free
        .iter()
        .filter_map(|&what| {
            let value = near.value_of(what)?;
            Some(format!("{} {}", what.words(), value_text(what, value, length)))
        })
        .collect();
    let place = if at.is_empty() { "As it stands".to_owned() } else { format!("At {}", at.join(", ")) };
    let mut misses = Vec::new();
    let off = near.bevel_off.degrees();
    if off.abs() >= 0.005 {
        misses.push(format!(
            "the bevel is {}° too {}",
            number(off.abs(), 2),
            if off > 0.0 { "blunt" } else { "keen" }
        ));
    }
    if near.wing_off.abs() >= 0.005 {
        let (more, off) = (near.wing_off > 0.0, near.wing_off.abs());
        misses.push(match wing {
            Some(WingTarget::BevelAtTop { .. }) => {
                format!("the wing top is {}° too {}", number(off, 2), if more { "blunt" } else { "keen" })
            }
            Some(WingTarget::SameLine { .. }) => format!("the pivot misses the roll line by {}", length(off)),
            _ => {
                format!("the wing is swept back {} too {}", length(off), if more { "far" } else { "little" })
            }
        });
    }
    format!(
        "{place}, {}.",
        if misses.is_empty() { "nothing is missed".to_owned() } else { misses.join(" and ") }
    )
}

/// Why no question could be put.
#[must_use]
pub fn not_findable_words(why: &NotFindable, length: LengthText<'_>) -> Words {
    match why {
        NotFindable::Unanswered(Unanswered::Refused(refusal)) => refusal_words(refusal, length),
        NotFindable::Unanswered(unanswered) => unanswered_words(unanswered, length),
        NotFindable::NotRolled => Words::new(
            "This setting does not roll its tool, so there is no wing to ask for.",
            "Give a gouge a swing first, or ask for the bevel alone.",
        ),
        NotFindable::NotAlike { what } => Words::new(
            format!(
                "The two settings differ in their {what}, and then no place of the pivot makes their grinds the same."
            ),
            format!("Make the {what} of both alike first."),
        ),
        NotFindable::NothingToMove(what) => Words::new(
            format!("{} is nothing that this setting can move.", capital(what.words())),
            "Set free what it has, over a range that is one.",
        ),
        NotFindable::TooManyFreedoms { free, targets } => Words::new(
            format!(
                "{free} things are free for {targets} {}.",
                if *targets == 1 { "target" } else { "targets" }
            ),
            "Pin some of them.",
        ),
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]
mod tests {
    use super::*;
    use crate::{answer::finding::BevelQuery, saved::library::demo_bench};
    use bevelbench_geometry::{math::Angle, side::Target};

    fn mm(value: f64) -> String {
        format!("{} mm", number(value, 1))
    }

    #[test]
    fn a_short_arm_is_reported_with_its_remedies() {
        let mut bench = demo_bench().unwrap();
        let entry = bench.setting_named("Long grind, 85 mm").unwrap().clone();
        let (_, view) = bench.answer(&entry).unwrap();
        let reach = Quantity::Reach;
        // An arm that ends some millimetres before today's reach.
        let wheel =
            bench.rigs.iter_mut().flat_map(|rig| &mut rig.wheels).find(|w| w.id == entry.wheel).unwrap();
        let arm = wheel.arm.as_mut().unwrap();
        let crate::saved::setting::SupportSaved::Holder { reach_mm, .. } = entry.support else { panic!() };
        arm.reach_most_mm = reach_mm - 6.0;
        let query = BevelQuery::of(&bench, &entry, Target::AtEdge(view.bevel()), None).unwrap();
        let found = query.find(&[reach], false).unwrap();
        assert!(found.solutions.answers.is_empty());
        let words = short_words(&found.solutions.short[0], &found.remedies, &mm);
        assert!(words.reason.starts_with("The arm is 6 mm short: "), "{words:?}");
        assert!(words.remedy.contains(" would do."), "{words:?}");
        let near = near_words(&found.solutions.near[0], &[reach], None, &mm);
        assert!(near.contains("too keen"), "{near}");
    }

    #[test]
    fn every_refusal_has_a_remedy() {
        let refused = NotFindable::from(bevelbench_geometry::solve::SolveError::Refused(
            bevelbench_geometry::side::Refusal::BevelOutOfRange { bevel: Angle::ZERO },
        ));
        for why in [
            refused,
            NotFindable::NotRolled,
            NotFindable::NotAlike { what: "roll centre" },
            NotFindable::NothingToMove(Quantity::RollCentre),
            NotFindable::TooManyFreedoms { free: 4, targets: 1 },
        ] {
            let words = not_findable_words(&why, &mm);
            assert!(words.reason.ends_with('.') && words.remedy.ends_with('.'), "{words:?}");
        }
    }
}
