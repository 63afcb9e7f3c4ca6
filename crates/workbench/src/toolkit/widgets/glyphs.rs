//! Small pictures drawn with lines: they follow the theme at every size.

use egui::{Color32, Painter, Pos2, Shape, Stroke, Vec2, epaint::PathStroke, pos2};

/// A push pin, upright and filled when it holds, slanting and hollow when it does not.
pub(crate) fn pin(painter: &Painter, middle: Pos2, size: f32, colour: Color32, holds: bool) {
    let turn = if holds { 0.0 } else { 0.62_f32 };
    let spin = egui::emath::Rot2::from_angle(turn);
    let at = |x: f32, y: f32| middle + spin * (Vec2::new(x, y) * size);
    let stroke = Stroke::new((size * 0.12).max(1.2), colour);
    let head = [
        at(-0.26, -0.5),
        at(0.26, -0.5),
        at(0.18, -0.36),
        at(0.18, -0.06),
        at(0.36, 0.12),
        at(-0.36, 0.12),
        at(-0.18, -0.06),
        at(-0.18, -0.36),
    ];
    if holds {
        for part in [[0, 1, 2, 7], [7, 2, 3, 6], [6, 3, 4, 5]] {
            painter.add(Shape::convex_polygon(part.map(|i| head[i]).to_vec(), colour, PathStroke::NONE));
        }
    }
    painter.add(Shape::closed_line(head.to_vec(), stroke));
    painter.line_segment([at(0.0, 0.12), at(0.0, 0.55)], stroke);
}

/// A triangle with a bar and a dot: a caution.
pub(crate) fn caution(painter: &Painter, middle: Pos2, size: f32, colour: Color32) {
    let at = |x: f32, y: f32| middle + Vec2::new(x, y) * size;
    let stroke = Stroke::new((size * 0.11).max(1.2), colour);
    painter.add(Shape::closed_line(vec![at(0.0, -0.48), at(0.52, 0.42), at(-0.52, 0.42)], stroke));
    painter.line_segment([at(0.0, -0.16), at(0.0, 0.12)], stroke);
    painter.circle_filled(at(0.0, 0.27), (size * 0.07).max(0.8), colour);
}

/// A tick: all is well.
pub(crate) fn tick(painter: &Painter, middle: Pos2, size: f32, colour: Color32) {
    let at = |x: f32, y: f32| middle + Vec2::new(x, y) * size;
    let stroke = Stroke::new((size * 0.14).max(1.4), colour);
    painter.line(vec![at(-0.4, 0.02), at(-0.12, 0.3), at(0.42, -0.32)], stroke);
}

/// A circled bar and dot upside down: a plain remark.
pub(crate) fn remark(painter: &Painter, middle: Pos2, size: f32, colour: Color32) {
    let stroke = Stroke::new((size * 0.1).max(1.2), colour);
    painter.circle_stroke(middle, size * 0.48, stroke);
    painter
        .line_segment([middle + Vec2::new(0.0, -0.04) * size, middle + Vec2::new(0.0, 0.24) * size], stroke);
    painter.circle_filled(middle + Vec2::new(0.0, -0.22) * size, (size * 0.075).max(0.8), colour);
}

/// A magnifying glass.
pub(crate) fn magnifier(painter: &Painter, middle: Pos2, size: f32, colour: Color32) {
    let stroke = Stroke::new((size * 0.11).max(1.2), colour);
    let lens = pos2(middle.x - size * 0.1, middle.y - size * 0.1);
    painter.circle_stroke(lens, size * 0.32, stroke);
    painter.line_segment([lens + Vec2::splat(size * 0.24), middle + Vec2::splat(size * 0.45)], stroke);
}

/// A cross: clear or close.
pub(crate) fn cross(painter: &Painter, middle: Pos2, size: f32, colour: Color32) {
    let stroke = Stroke::new((size * 0.12).max(1.2), colour);
    for way in [Vec2::new(0.3, 0.3), Vec2::new(0.3, -0.3)] {
        painter.line_segment([middle - way * size, middle + way * size], stroke);
    }
}
