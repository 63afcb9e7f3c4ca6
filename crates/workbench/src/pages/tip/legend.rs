//! What stands beside the picture of the tip: the map of wedge angles with its figures, and a scale.

use bevelbench_notebook::quantity::Units;
use egui::{Align2, Color32, Mesh, Painter, Pos2, Rect, Stroke, StrokeKind, Vec2, pos2};

use crate::{model::appearance::Tone, toolkit::theme::Theme};

/// The colour map from `least` to `most` degrees, its lower left corner at a place.
pub fn wedge_map(painter: &Painter, corner: Pos2, (least, most): (f32, f32), theme: &Theme) {
    let shaft = theme.sizes.shaft;
    let size = Vec2::new(168.0, 9.0) * shaft;
    let font = theme.small();
    let figures = font.size * 1.25;
    let bar = Rect::from_min_size(corner - Vec2::new(0.0, figures + size.y + 3.0), size);
    let steps = 42_u32;
    let mut mesh = Mesh::default();
    for i in 0..=steps {
        let fraction = i as f32 / steps as f32;
        let x = bar.left() + fraction * bar.width();
        let colour = theme.solid.ramp_at(fraction);
        mesh.colored_vertex(pos2(x, bar.top()), colour);
        mesh.colored_vertex(pos2(x, bar.bottom()), colour);
        if i < steps {
            let a = 2 * i;
            mesh.add_triangle(a, a + 1, a + 2);
            mesh.add_triangle(a + 1, a + 3, a + 2);
        }
    }
    painter.add(mesh);
    painter.rect_stroke(bar, 0.0, Stroke::new(theme.sizes.line, theme.tone(Tone::Weak)), StrokeKind::Outside);
    let weak = theme.tone(Tone::Weak);
    painter.text(
        pos2(bar.left(), bar.top() - 5.0),
        Align2::LEFT_BOTTOM,
        "Wedge angle at the edge",
        font.clone(),
        theme.tone(Tone::Strong),
    );
    let span = most - least;
    let step = [5.0, 10.0, 20.0, 30.0].into_iter().find(|step| span / step <= 4.01).unwrap_or(45.0);
    let mut at = (least / step).ceil() * step;
    while at <= most + 1e-3 {
        let x = bar.left() + (at - least) / span * bar.width();
        painter.line_segment(
            [pos2(x, bar.bottom() + 1.0), pos2(x, bar.bottom() + 4.0)],
            Stroke::new(theme.sizes.line, weak),
        );
        painter.text(
            pos2(x, bar.bottom() + 4.0),
            Align2::CENTER_TOP,
            format!("{at:.0}°"),
            font.clone(),
            weak,
        );
        at += step;
    }
}

/// The map of gaps to `most_mm` either way, its lower left corner at a place. The half in which B is ground deeper is
/// hatched, as it is on the tip.
pub fn gap_map(painter: &Painter, corner: Pos2, most_mm: f32, units: Units, theme: &Theme) {
    let shaft = theme.sizes.shaft;
    let size = Vec2::new(228.0, 10.0) * shaft;
    let font = theme.small();
    let figures = font.size * 1.25;
    let bar = Rect::from_min_size(corner - Vec2::new(0.0, figures + size.y + 3.0), size);
    let (weak, strong) = (theme.tone(Tone::Weak), theme.tone(Tone::Strong));
    let back = Rect::from_min_max(
        pos2(bar.left() - 14.0, bar.top() - 8.0 - 2.0 * font.size * 1.25),
        pos2(bar.right() + 22.0, corner.y + 4.0),
    );
    painter.rect_filled(back, theme.corner(), theme.palette.pill);
    let steps = 48_u32;
    let mut mesh = Mesh::default();
    for i in 0..=steps {
        let fraction = i as f32 / steps as f32;
        let x = bar.left() + fraction * bar.width();
        let colour = theme.solid.gap_at(2.0 * fraction - 1.0);
        mesh.colored_vertex(pos2(x, bar.top()), colour);
        mesh.colored_vertex(pos2(x, bar.bottom()), colour);
        if i < steps {
            let a = 2 * i;
            mesh.add_triangle(a, a + 1, a + 2);
            mesh.add_triangle(a + 1, a + 3, a + 2);
        }
    }
    painter.add(mesh);
    let line = Stroke::new(theme.sizes.line, crate::toolkit::theme::colour::faded(theme.solid.casing, 0.5));
    let mut x = bar.left() + 6.0 * shaft;
    while x < bar.center().x - 2.0 {
        painter.line_segment([pos2(x, bar.top()), pos2(x, bar.bottom())], line);
        x += 7.0 * shaft;
    }
    painter.rect_stroke(bar, 0.0, Stroke::new(theme.sizes.line, weak), StrokeKind::Outside);
    let above = |x: f32, y: f32, align: Align2, words: &str, colour: Color32| {
        painter.text(pos2(x, y), align, words, font.clone(), colour);
    };
    let unit = units.length_name();
    let title = format!("Gap between the ground faces, {unit}");
    above(bar.left(), bar.top() - 5.0 - font.size * 1.25, Align2::LEFT_BOTTOM, &title, strong);
    above(bar.left(), bar.top() - 4.0, Align2::LEFT_BOTTOM, "− B ground deeper", weak);
    above(bar.right(), bar.top() - 4.0, Align2::RIGHT_BOTTOM, "B stands proud +", weak);
    for fraction in [-1.0_f32, -0.5, 0.0, 0.5, 1.0] {
        let x = bar.left() + f32::midpoint(fraction, 1.0) * bar.width();
        painter.line_segment(
            [pos2(x, bar.bottom() + 1.0), pos2(x, bar.bottom() + 4.0)],
            Stroke::new(theme.sizes.line, weak),
        );
        above(
            x,
            bar.bottom() + 4.0,
            Align2::CENTER_TOP,
            &gap_figure(f64::from(fraction * most_mm), units),
            weak,
        );
    }
}

/// A figure of the map of gaps, with its sign and without its unit.
pub(crate) fn gap_figure(gap_mm: f64, units: Units) -> String {
    let (value, decimals) =
        if units.is_metric() { (gap_mm, if gap_mm.abs() < 0.1 { 3 } else { 2 }) } else { (gap_mm / 25.4, 4) };
    if value == 0.0 {
        return "0".to_owned();
    }
    let text = format!("{:.decimals$}", value.abs());
    let text = text.trim_end_matches('0').trim_end_matches('.');
    format!("{}{text}", if value > 0.0 { '+' } else { '−' })
}

/// Words on a plate of paper, its lower left corner at a place but inside an area.
pub(crate) fn pill(painter: &Painter, corner: Pos2, within: Rect, words: &str, theme: &Theme) {
    let text = painter.layout_no_wrap(words.to_owned(), theme.name(), theme.tone(Tone::Strong));
    let size = text.size() + Vec2::new(12.0, 4.0);
    let at = pos2(
        corner.x.clamp(within.left() + 4.0, (within.right() - size.x - 4.0).max(within.left() + 4.0)),
        (corner.y - size.y)
            .clamp(within.top() + 4.0, (within.bottom() - size.y - 4.0).max(within.top() + 4.0)),
    );
    let back = Rect::from_min_size(at.round(), size);
    painter.rect(back, theme.corner(), theme.palette.pill, theme.hairline(), StrokeKind::Inside);
    painter.galley(back.min + Vec2::new(6.0, 2.0), text, Color32::PLACEHOLDER);
}

/// A colour with what it means, its lower left corner at a place.
pub(crate) fn swatch(painter: &Painter, corner: Pos2, colour: Color32, words: &str, theme: &Theme) {
    let size = 10.0 * theme.sizes.shaft;
    let square = Rect::from_min_size(corner - Vec2::new(0.0, size + 2.0), Vec2::splat(size));
    let frame = Stroke::new(theme.sizes.line, theme.tone(Tone::Weak));
    painter.rect(square, 2.0, colour, frame, StrokeKind::Outside);
    let at = pos2(square.right() + 7.0, square.center().y);
    painter.text(at, Align2::LEFT_CENTER, words, theme.small(), theme.tone(Tone::Strong));
}

/// A bar as long as a round number of millimetres, its lower right corner at a place.
pub fn scale_bar(painter: &Painter, corner: Pos2, points_per_mm: f32, theme: &Theme) {
    let most = 90.0 * theme.sizes.shaft / points_per_mm.max(1e-3);
    let power = 10.0_f32.powf(most.log10().floor());
    let length = [5.0, 2.0, 1.0].into_iter().map(|m| m * power).find(|mm| *mm <= most).unwrap_or(power);
    let colour = theme.tone(Tone::Weak);
    let stroke = Stroke::new(theme.sizes.shaft, colour);
    let right = corner.x.floor() + 0.5;
    let left = (right - length * points_per_mm).floor() + 0.5;
    let y = corner.y.floor() + 0.5;
    painter.line_segment([pos2(left, y), pos2(right, y)], stroke);
    for x in [left, right] {
        painter.line_segment([pos2(x, y - 3.0), pos2(x, y + 3.0)], stroke);
    }
    let words = format!("{} mm", (f64::from(length) * 1000.0).round() / 1000.0);
    let text = painter.layout_no_wrap(words, theme.small(), colour);
    let at = pos2(f32::midpoint(left, right), y) - Vec2::new(text.size().x / 2.0, text.size().y + 4.0);
    painter.galley(at.round(), text, Color32::PLACEHOLDER);
}
