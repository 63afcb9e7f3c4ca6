//! Words for what a grind costs.

use bevelbench_geometry::facet::{Place, Regrind, ToolLife};

use crate::{
    answer::removal::gentlest::GrindOption,
    quantity::length_text::LengthText,
    saved::table,
    words::{sentence::number, value::value_text},
};

/// Steel in cubic millimetres, as it is read.
#[must_use]
pub fn volume_text(mm3: f64) -> String {
    format!("{} mm³", number(mm3, usize::from(mm3 < 9.95)))
}

/// Steel in the side plane in square millimetres, as it is read.
#[must_use]
pub fn area_text(mm2: f64) -> String {
    format!("{} mm²", number(mm2, if mm2 < 9.95 { 2 } else { 1 }))
}

/// Minutes, as they are read.
#[must_use]
pub fn minutes_text(minutes: f64) -> String {
    if minutes < 1.0 {
        format!("{} s", number(minutes * 60.0, 0))
    } else {
        format!("{} min", number(minutes, usize::from(minutes < 9.95)))
    }
}

/// Where the cut begins and ends, and what it costs in length.
#[must_use]
pub fn regrind_words(regrind: &Regrind, length: LengthText<'_>) -> String {
    let lost = regrind.length_lost_mm();
    let (begins, ends) = regrind.begins_and_ends();
    if lost < 5e-4 && regrind.removed_mm2(lost) < 5e-4 {
        return "The facet as it is is the one asked for: there is nothing to grind but the edge’s own wear."
            .to_owned();
    }
    let place = |place: Place| match place {
        Place::Edge => "at the edge",
        Place::Between => "in the hollow",
        Place::Heel => "at the heel",
    };
    if lost < 5e-4 {
        return format!(
            "Keener: the cut begins {} and comes to the edge last. No length is lost.",
            place(begins)
        );
    }
    format!(
        "The cut begins {} and comes last to the steel {}. A whole facet costs {} of length; an edge bevel costs less.",
        place(begins),
        place(ends),
        length(lost)
    )
}

/// How long a tool lasts, in a sentence.
#[must_use]
pub fn life_words(life: &ToolLife, length: LengthText<'_>) -> String {
    match (life.regrinds_left(), life.years_left()) {
        (Some(left), Some(years)) => format!(
            "{} regrinds are left at {} each: about {} years.",
            number(left, 0),
            length(life.lost_each_mm),
            number(years, usize::from(years < 9.95))
        ),
        (Some(left), None) => format!(
            "{} regrinds are left at {} each. Enter how many a year takes, and the years follow.",
            number(left, 0),
            length(life.lost_each_mm)
        ),
        (None, _) => "A regrind that takes nothing off the length uses nothing up.".to_owned(),
    }
}

/// The gentlest way told against the one that is set: what to move, and what that saves.
#[must_use]
pub fn option_words(option: &GrindOption, set: &GrindOption, length: LengthText<'_>) -> String {
    let alike = |a: f64, b: f64, by: f64| (a - b).abs() < by;
    let moves: Vec<String> = table::in_setting_order()
        .filter_map(|quantity| {
            let (to, from) = (option.setting.value_of(quantity)?, set.setting.value_of(quantity)?);
            (!alike(to, from, 0.05)).then(|| format!("{quantity} {}", value_text(quantity, to, length)))
        })
        .collect();
    let takes = |option: &GrindOption| {
        if option.length_lost_mm < 0.005 {
            format!("{} and no length", volume_text(option.removed_mm3))
        } else {
            format!("{} and {} of length", volume_text(option.removed_mm3), length(option.length_lost_mm))
        }
    };
    if moves.is_empty()
        || alike(option.removed_mm3, set.removed_mm3, 0.05)
            && alike(option.length_lost_mm, set.length_lost_mm, 0.005)
    {
        return format!("What is set is the gentlest way: it takes {}.", takes(set));
    }
    let off = (option.view.bevel() - set.view.bevel()).degrees();
    let bevel = if off.abs() < 0.005 {
        String::new()
    } else {
        format!(
            " The bevel comes out {}° {}.",
            number(off.abs(), 2),
            if off < 0.0 { "keener" } else { "blunter" }
        )
    };
    format!("Set {}: it takes {}, against {} as set.{bevel}", moves.join(", "), takes(option), takes(set))
}
