//! What stands beside the picture of the tip: the map of wedge angles with its figures, and a scale.

use egui::{Align2, Color32, Mesh, Painter, Pos2, Rect, Stroke, StrokeKind, Vec2, pos2};

use crate::theme::{Theme, Tone};

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
        let share = i as f32 / steps as f32;
        let x = bar.left() + share * bar.width();
        let colour = theme.solid.ramp_at(share);
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
