//! Which part of a drawing the pointer touches.

use bevelbench_notebook::drawing::{Drawing, Geometry, Part, Shape};
use egui::{Pos2, Rect};

use super::{outline::chain, tessellate::is_body};
use crate::toolkit::view::View;

/// The part nearest to the pointer, within `reach` points of the screen; `None` where only paper is.
///
/// Lines and marks are touched by nearness. Bodies are touched anywhere inside, but a line within half the reach wins
/// over the body it lies on, and among bodies the one drawn last, because it lies on top.
#[must_use]
pub fn part_at(drawing: &Drawing, view: &View, pointer: Pos2, reach: f32) -> Option<Part> {
    let mut best: Option<(f32, Part)> = None;
    for shape in &drawing.shapes {
        let Some(part) = shape.part else { continue };
        let Some(distance) = distance(shape, view, pointer, reach) else { continue };
        if distance <= reach && best.is_none_or(|(least, _)| distance <= least) {
            best = Some((distance, part));
        }
    }
    best.map(|(_, part)| part)
}

/// The distance in points at which a shape counts as touched.
fn distance(shape: &Shape, view: &View, pointer: Pos2, reach: f32) -> Option<f32> {
    match &shape.geometry {
        Geometry::Mark { at, .. } | Geometry::Text { at, .. } => {
            let at = view.screen_from_bench(*at);
            at.is_finite().then(|| (at - pointer).length())
        }
        _ => {
            let chain = chain(&shape.geometry, view)?;
            let body = chain.closed && is_body(shape.role);
            if !Rect::from_points(&chain.points).expand(reach).contains(pointer) {
                return None;
            }
            let count = chain.points.len();
            let segments = if chain.closed { count } else { count - 1 };
            let ends = |i: usize| (chain.points[i], chain.points[(i + 1) % count]);
            if body && inside((0..count).map(ends), pointer) {
                return Some(reach * 0.5);
            }
            (0..segments).map(|i| to_segment(ends(i), pointer)).min_by(f32::total_cmp)
        }
    }
}

/// Distance from a point to a segment.
fn to_segment((from, to): (Pos2, Pos2), point: Pos2) -> f32 {
    let d = to - from;
    let fraction = ((point - from).dot(d) / d.length_sq().max(1e-9)).clamp(0.0, 1.0);
    (from + d * fraction - point).length()
}

/// Whether a point lies inside a closed chain, by the even-odd rule.
fn inside(edges: impl Iterator<Item = (Pos2, Pos2)>, point: Pos2) -> bool {
    edges.fold(false, |inside, (a, b)| {
        let crosses =
            (a.y > point.y) != (b.y > point.y) && point.x < (b.x - a.x) * (point.y - a.y) / (b.y - a.y) + a.x;
        inside != crosses
    })
}

#[cfg(test)]
mod tests {
    use bevelbench_notebook::drawing::{Role, segment};
    use egui::Vec2;

    use super::*;

    fn bench() -> (Drawing, View) {
        let mut drawing = Drawing::new();
        drawing.add(Role::Wheel, Part::Rim, Geometry::Circle { centre: [0.0, 0.0], radius: 75.0 });
        let bar = vec![[60.0, 0.0], [160.0, 0.0], [160.0, 10.0], [60.0, 10.0]];
        drawing.add(Role::Tool, Part::Tool, Geometry::Outline(bar));
        drawing.add(Role::Gauge, Part::Gauge, segment([0.0, 40.0], [200.0, 40.0]));
        (drawing, View::new(Rect::from_min_size(Pos2::ZERO, Vec2::new(800.0, 600.0)), [0.0, 0.0], 2.0))
    }

    fn touched(at: [f64; 2]) -> Option<Part> {
        let (drawing, view) = bench();
        part_at(&drawing, &view, view.screen_from_bench(at), 8.0)
    }

    #[test]
    fn the_part_under_the_pointer_is_named() {
        assert_eq!(touched([-30.0, -30.0]), Some(Part::Rim));
        assert_eq!(touched([120.0, 5.0]), Some(Part::Tool));
        assert_eq!(touched([180.0, 40.0]), Some(Part::Gauge));
        assert_eq!(touched([180.0, -60.0]), None);
    }

    #[test]
    fn the_topmost_part_is_picked_and_a_line_before_a_body() {
        assert_eq!(touched([65.0, 5.0]), Some(Part::Tool), "tool over wheel");
        assert_eq!(touched([20.0, 39.0]), Some(Part::Gauge), "line over wheel");
        assert_eq!(touched([20.0, 30.0]), Some(Part::Rim), "far from the line");
    }

    #[test]
    fn nearness_is_counted_on_the_screen() {
        let (drawing, view) = bench();
        let pointer = view.screen_from_bench([180.0, 40.0]) + Vec2::new(0.0, 7.0);
        assert_eq!(part_at(&drawing, &view, pointer, 8.0), Some(Part::Gauge));
        assert_eq!(part_at(&drawing, &view, pointer, 6.0), None);
    }
}
