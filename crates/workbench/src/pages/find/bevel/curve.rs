//! The curve of answers where one quantity more is free than is needed: a dot to drag along it, or to step with the keys.

use bevelbench_geometry::{
    math::{Kind, Quantity},
    solve::{Family, Solution},
};
use bevelbench_notebook::{
    answer::edge_curve::{multiples, round_increment},
    quantity::{LengthUnit, Units},
    saved::table::{OnBench, settable},
    words::{capital, value_text},
};
use egui::{Align2, Id as WidgetId, Pos2, Rect, Shape, Stroke, Ui, pos2, vec2};

use crate::{
    model::appearance::Tone,
    pages::find::bevel::{BevelAction, BevelResult, BevelSearch},
    toolkit::{
        canvas::handle::{HandleEvent, handle},
        theme::{Surface, Theme},
    },
};

/// Where values lie on the screen.
struct Axes {
    frame: Rect,
    x: (f64, f64),
    y: (f64, f64),
}

impl Axes {
    fn at(&self, x: f64, y: f64) -> Pos2 {
        let fraction = |value: f64, (least, most): (f64, f64)| ((value - least) / (most - least)) as f32;
        pos2(
            self.frame.left() + fraction(x, self.x) * self.frame.width(),
            self.frame.bottom() - fraction(y, self.y) * self.frame.height(),
        )
    }
}

/// The curve over a rectangle; what was done along it.
pub(super) fn curve(
    ui: &mut Ui,
    rect: Rect,
    cached: &BevelSearch,
    units: Units,
    theme: &Theme,
) -> Option<BevelAction> {
    let result = cached.result.as_ref().ok()?;
    let family = result.found.family.as_ref()?;
    let (branch, offer) = result.member.as_ref()?;
    let walked = family.walked;
    let followed = *result.free.iter().find(|&&what| what != walked && moves(family, what))?;
    ui.painter().rect_filled(rect, 0.0, theme.surface(Surface::Panel));
    let frame = Rect::from_min_max(
        rect.min + vec2(56.0, theme.sizes.text.body * 2.2),
        rect.max - vec2(theme.sizes.gap.margin, theme.sizes.text.small * 3.4),
    );
    let axes = axes(result, family, walked, followed, frame)?;
    grid(ui, rect, &axes, walked, followed, units, theme);
    let stroke = Stroke::new(2.2 * theme.sizes.shaft, theme.palette.accent);
    let painter = ui.painter().with_clip_rect(frame.expand(4.0));
    for branch in &family.branches {
        let points: Vec<Pos2> = branch.iter().filter_map(|one| place(&axes, one, walked, followed)).collect();
        match points.as_slice() {
            [one] => {
                painter.circle_filled(*one, 3.0, theme.palette.accent);
            }
            _ => {
                painter.add(Shape::line(points, stroke));
            }
        }
    }
    if let (Some(x), Some(y)) = (result.query.present(walked), result.query.present(followed)) {
        // A ring where the setting stands, on the curve or off it.
        let ring = Stroke::new(1.6 * theme.sizes.shaft, theme.tone(Tone::Weak));
        painter.circle_stroke(axes.at(x, y), 5.0, ring);
    }
    let at = place(&axes, &offer.solution, walked, followed)?;
    let length = |mm: f64| units.length(mm);
    let accessible_text: Vec<String> = result
        .free
        .iter()
        .filter_map(|&what| {
            let value = offer.solution.value_of(what)?;
            Some(format!("{} {}", what.words(), value_text(what, value, &length)))
        })
        .collect();
    let event = handle(
        ui,
        WidgetId::unique("along the family"),
        at,
        "Along the curve of answers",
        &accessible_text.join(", "),
        theme,
    );
    match event {
        HandleEvent::Dragged { to } | HandleEvent::Ended { to } => {
            let (branch, value, near) = nearest(&axes, family, walked, followed, to)?;
            go_to(result, family, branch, value, &near)
        }
        HandleEvent::Nudged { right, up, stride } => {
            let step = walked.step() * stride.factor();
            let value = offer.solution.value_of(walked)? + f64::from(right + up) * step;
            go_to(result, family, *branch, value, &offer.solution)
        }
        HandleEvent::Begun => Some(BevelAction::Hold),
        HandleEvent::Cancelled => Some(BevelAction::PutBack),
        HandleEvent::None | HandleEvent::Hovered => None,
    }
}

/// The member at a value of what is walked, as near as its branch goes, if it is another one.
fn go_to(
    result: &BevelResult,
    family: &Family,
    branch: usize,
    value: f64,
    near: &Solution,
) -> Option<BevelAction> {
    let members = family.branches.get(branch)?;
    let (first, last) = (members.first()?, members.last()?);
    let (least, most) = (first.value_of(family.walked)?, last.value_of(family.walked)?);
    let value = settable(value);
    // The very end is no round number; it has been found already.
    let member = if value <= least {
        *first
    } else if value >= most {
        *last
    } else {
        let freedoms = result.query.degrees_of_freedom(&result.free, result.at_stops).ok()?;
        result.query.question.member(&freedoms, value, near)?
    };
    let now = result.member.as_ref().map(|(_, offer)| offer.solution.setting);
    let same_centre =
        result.member.as_ref().map(|(_, offer)| offer.solution.roll_centre_mm) == Some(member.roll_centre_mm);
    (now != Some(member.setting) || !same_centre).then(|| BevelAction::Along(branch, Box::new(member)))
}

fn place(axes: &Axes, one: &Solution, walked: Quantity, followed: Quantity) -> Option<Pos2> {
    Some(axes.at(one.value_of(walked)?, one.value_of(followed)?))
}

/// Whether something moves at all along the family: a strut at a rest does not.
fn moves(family: &Family, what: Quantity) -> bool {
    let mut values = family.branches.iter().flatten().filter_map(|one| one.value_of(what));
    let Some(first) = values.next() else { return false };
    values.any(|value| (value - first).abs() > 1e-6)
}

fn axes(
    result: &BevelResult,
    family: &Family,
    walked: Quantity,
    followed: Quantity,
    frame: Rect,
) -> Option<Axes> {
    let span = |what: Quantity| -> Option<(f64, f64)> {
        let of_family = family.branches.iter().flatten().filter_map(|one| one.value_of(what));
        let (least, most) = of_family
            .chain(result.query.present(what))
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), value| (a.min(value), b.max(value)));
        let room = ((most - least) * 0.07).max(0.5);
        (least.is_finite() && most.is_finite()).then_some((least - room, most + room))
    };
    (frame.width() > 20.0 && frame.height() > 20.0).then_some(Axes {
        frame,
        x: span(walked)?,
        y: span(followed)?,
    })
}

/// The place on the curves that is nearest to a point of the screen: branch, value of what is walked, the sample before.
fn nearest(
    axes: &Axes,
    family: &Family,
    walked: Quantity,
    followed: Quantity,
    to: Pos2,
) -> Option<(usize, f64, Solution)> {
    let mut best: Option<(f32, usize, f64, Solution)> = None;
    for (index, branch) in family.branches.iter().enumerate() {
        for i in 0..branch.len() {
            let (a, b) = (&branch[i], branch.get(i + 1).unwrap_or(&branch[i]));
            let (from, way) = (place(axes, a, walked, followed)?, place(axes, b, walked, followed)?);
            let along = way - from;
            let fraction = ((to - from).dot(along) / along.length_sq().max(1e-6)).clamp(0.0, 1.0);
            let off = (from + along * fraction - to).length();
            if best.as_ref().is_none_or(|(known, ..)| off < *known) {
                let (x, y) = (a.value_of(walked)?, b.value_of(walked)?);
                best = Some((off, index, x + (y - x) * f64::from(fraction), *a));
            }
        }
    }
    best.map(|(_, branch, value, near)| (branch, value, near))
}

/// Frame, round numbers and names.
fn grid(ui: &Ui, rect: Rect, axes: &Axes, walked: Quantity, followed: Quantity, units: Units, theme: &Theme) {
    let painter = ui.painter();
    let (frame, weak) = (axes.frame, theme.tone(Tone::Weak));
    painter.rect_filled(frame, 0.0, theme.surface(Surface::Canvas));
    let scale = |what: Quantity| {
        let inches = units.length != LengthUnit::Millimetre;
        if what.kind() == Kind::Length && inches { 25.4 } else { 1.0 }
    };
    let unit = |what: Quantity| match (what.kind(), units.length) {
        (Kind::Length, LengthUnit::Millimetre) => "mm",
        (Kind::Length, _) => "in",
        _ => "degrees",
    };
    let line = Stroke::new(theme.sizes.line, theme.palette.grid);
    let written = |value: f64, step: f64| {
        let decimals = (-step.log10().floor()).clamp(0.0, 4.0) as usize;
        format!("{value:.decimals$}").replace('-', "−")
    };
    let (by, count) = (scale(walked), f64::from(frame.width() / 64.0).max(1.0));
    let step = round_increment((axes.x.1 - axes.x.0) / by / count);
    for value in multiples(step, axes.x.0 / by, axes.x.1 / by) {
        let x = axes.at(value * by, axes.y.0).x;
        painter.vline(x, frame.y_range(), line);
        let at = pos2(x, frame.bottom() + 3.0);
        painter.text(at, Align2::CENTER_TOP, written(value, step), theme.small(), weak);
    }
    let (by, count) = (scale(followed), f64::from(frame.height() / 34.0).max(1.0));
    let step = round_increment((axes.y.1 - axes.y.0) / by / count);
    for value in multiples(step, axes.y.0 / by, axes.y.1 / by) {
        let y = axes.at(axes.x.0, value * by).y;
        painter.hline(frame.x_range(), y, line);
        let at = pos2(frame.left() - 5.0, y);
        painter.text(at, Align2::RIGHT_CENTER, written(value, step), theme.small(), weak);
    }
    painter.rect_stroke(frame, 0.0, theme.hairline(), egui::StrokeKind::Inside);
    let name = |what: Quantity| format!("{}, {}", capital(what.words()), unit(what));
    painter.text(
        pos2(rect.left() + theme.sizes.gap.wide, rect.top() + theme.sizes.gap.small + 2.0),
        Align2::LEFT_TOP,
        name(followed),
        theme.name(),
        theme.tone(Tone::Strong),
    );
    painter.text(
        pos2(frame.right(), rect.bottom() - theme.sizes.gap.small),
        Align2::RIGHT_BOTTOM,
        name(walked),
        theme.name(),
        theme.tone(Tone::Strong),
    );
    painter.text(
        pos2(frame.left(), rect.bottom() - theme.sizes.gap.small),
        Align2::LEFT_BOTTOM,
        "The ring is where it stands",
        theme.small(),
        weak,
    );
}
