//! A tip in numbers, a line each.

use crate::{
    answer::swept::{Movement, Swept},
    quantity::Units,
};

/// A line of the list: what it is, its figure, what it means.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// What it is.
    pub name: &'static str,
    /// Its figure with unit, or a word.
    pub figure: String,
    /// What the quantity is.
    pub how: &'static str,
}

/// The tip in numbers.
#[must_use]
pub fn lines(swept: &Swept, units: Units) -> Vec<Line> {
    let summary = swept.summary();
    let line = |name, figure, how| Line { name, figure, how };
    let mut lines = Vec::with_capacity(11);
    let nose = swept.nose_word().to_owned();
    lines.push(line("Nose", nose, "Pointed: a radius under 0.3 mm. Bulged: the edge stands out ahead of the nose station somewhere. Ground away: other poses of the swing cut it off. Else rounded, or straight."));
    if let Some(radius) = summary.nose_radius_mm {
        lines.push(line(
            "Nose radius",
            units.length(radius),
            "Radius in plan of the middle tenth of the edge.",
        ));
    }
    if swept.is_gouge() {
        lines.push(line(
            "Wing sweep",
            units.length(summary.wing_sweep_mm()),
            "How far the wings’ ends lie behind the nose, the mean of both.",
        ));
    }
    lines.push(line(
        "Edge length",
        units.length(summary.edge_length_mm),
        "Along the edge from end to end, jumps left out.",
    ));
    let (least, most) = (summary.least_wedge.degrees(), summary.greatest_wedge.degrees());
    if (most - least).abs() < 0.05 {
        lines.push(line(
            "Wedge",
            units.angle(least),
            "The angle of the steel at the edge, between both faces: the same all along.",
        ));
    } else {
        lines.push(line(
            "Least wedge",
            units.angle(least),
            "The keenest place: the least angle of the steel between flute and ground face.",
        ));
        lines.push(line(
            "Greatest wedge",
            units.angle(most),
            "The bluntest place: the greatest angle of the steel between flute and ground face.",
        ));
    }
    if swept.is_gouge() {
        let cheek = summary.minus.cheek_mm.min(summary.plus.cheek_mm);
        lines.push(line("Cheek", units.length(cheek), "Steel between flute and outside, half-way up the thinner wing, 5 mm behind the edge. Thin cheeks heat up and bend."));
    }
    if let Movement::Rolled { turn, .. } = swept.movement()
        && turn.degrees().abs() > 1e-9
    {
        lines.push(line(
            "Left wing",
            units.length(summary.plus.sweep_mm),
            "Sweep of the wing on the left, seen from the handle.",
        ));
        lines.push(line(
            "Right wing",
            units.length(summary.minus.sweep_mm),
            "Sweep of the wing on the right, seen from the handle.",
        ));
        let difference = summary.wing_difference_mm();
        lines.push(line("Difference", units.length(difference.abs()), "How much further one wing is swept back than the other, because the tool sits turned in its holder."));
    }
    if !swept.breaks().is_empty() {
        lines.push(line(
            "Broken edge",
            format!("{} places", swept.breaks().len()),
            "Places where the edge jumps: the end of the swing, or a wheel too narrow.",
        ));
    }
    if let Some(missed) = swept.not_ground() {
        lines.push(line(
            "Not ground",
            format!("{:.0} %", 100.0 * missed.fraction),
            "Share of the edge that the wheel’s rim never reaches in this swing.",
        ));
    }
    lines
}
