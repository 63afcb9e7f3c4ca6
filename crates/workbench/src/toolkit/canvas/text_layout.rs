//! Texts on a drawing: always upright enough to read, on a pill of paper so that no line runs through them, and moved
//! aside when two would fall on each other.

use bevelbench_notebook::drawing::{Align, Drawing, Geometry, TextSize};
use egui::{
    Color32, Painter, Pos2, Rect, Shape, Vec2,
    epaint::{PathStroke, TextShape},
};

use crate::toolkit::{theme::Theme, view::View};

/// A text with its place.
struct Placed {
    centre: Pos2,
    half: Vec2,
    along: Vec2,
}

impl Placed {
    fn corners(&self, grown: f32) -> [Pos2; 4] {
        let (u, v) =
            (self.along * (self.half.x + grown * 1.6), self.along.rot90() * (self.half.y + grown * 0.6));
        [self.centre - u - v, self.centre + u - v, self.centre + u + v, self.centre - u + v]
    }

    /// Whether two boxes overlap, by the theorem of the separating axis.
    fn overlaps(&self, other: &Self) -> bool {
        let axes = [self.along, self.along.rot90(), other.along, other.along.rot90()];
        axes.iter().all(|axis| {
            let reach =
                |b: &Self| b.half.x * b.along.dot(*axis).abs() + b.half.y * b.along.rot90().dot(*axis).abs();
            (self.centre - other.centre).dot(*axis).abs() < reach(self) + reach(other) + 1.0
        })
    }
}

/// Paints the texts of a drawing for which `shown` says yes; the strong ones choose their places first.
pub(super) fn paint(
    painter: &Painter,
    drawing: &Drawing,
    view: &View,
    theme: &Theme,
    shown: impl Fn(&bevelbench_notebook::drawing::Shape, Pos2) -> bool,
) {
    let mut taken: Vec<Placed> = Vec::new();
    for size in [TextSize::Strong, TextSize::Normal, TextSize::Small] {
        for shape in &drawing.shapes {
            let Geometry::Text { at, text, align, along, size: own, lift } = &shape.geometry else {
                continue;
            };
            if *own != size || text.is_empty() {
                continue;
            }
            let anchor = view.screen_from_bench(*at);
            if !anchor.is_finite() || !along.is_finite() || !lift.is_finite() || !shown(shape, anchor) {
                continue;
            }
            let colour = theme.ink_of_text(shape.role, shape.standing);
            let galley = painter.layout_no_wrap(text.clone(), theme.drawing_font(size), colour);
            let along = Vec2::angled(-along.radians() as f32);
            let up = along.rot90();
            let half = galley.size() / 2.0;
            let shift = match align {
                Align::Start => half.x,
                Align::Middle => 0.0,
                Align::End => -half.x,
            };
            let centre = anchor + along * shift + up * (*lift as f32 * galley.size().y);
            let place = find_place(Placed { centre, half, along }, up, &taken);
            paper(painter, &place, theme);
            let corner = place.centre - place.along * half.x + up * half.y;
            let angle = place.along.angle();
            // Level texts sit on whole pixels, or they blur.
            let corner = if angle.abs() < 1e-4 { corner.round() } else { corner };
            painter.add(TextShape::new(corner, galley, colour).with_angle(angle));
            taken.push(place);
        }
    }
}

/// The wanted place, or the nearest step across the text where nothing else is; the wanted one when all are taken.
fn find_place(wanted: Placed, up: Vec2, taken: &[Placed]) -> Placed {
    let step = wanted.half.y * 2.1;
    for tries in [0.0, 1.0, -1.0, 2.0, -2.0, 3.0, -3.0] {
        let place = Placed { centre: wanted.centre + up * (step * tries), ..wanted };
        if !taken.iter().any(|t| t.overlaps(&place)) {
            return place;
        }
    }
    wanted
}

fn paper(painter: &Painter, place: &Placed, theme: &Theme) {
    let pill = theme.palette.pill;
    if place.along.y.abs() < 1e-4 {
        let rect = Rect::from_center_size(place.centre, place.half * 2.0).expand2(Vec2::new(4.0, 0.5));
        painter.rect_filled(rect, theme.sizes.radius.small, pill);
    } else {
        let corners = place.corners(2.0).to_vec();
        painter.add(Shape::convex_polygon(corners, pill, PathStroke::new(0.0, Color32::TRANSPARENT)));
    }
}

#[cfg(test)]
mod tests {
    use egui::pos2;

    use super::*;

    fn level(x: f32, y: f32) -> Placed {
        Placed { centre: pos2(x, y), half: Vec2::new(30.0, 8.0), along: Vec2::X }
    }

    #[test]
    fn texts_that_would_collide_step_aside() {
        let taken = [level(0.0, 0.0)];
        let moved = find_place(level(10.0, 3.0), -Vec2::Y, &taken);
        assert!(!taken[0].overlaps(&moved));
        let free = find_place(level(0.0, 40.0), -Vec2::Y, &taken);
        assert_eq!(free.centre, pos2(0.0, 40.0), "a free text stays where it was wanted");
    }

    #[test]
    fn slanting_boxes_are_distinguished_by_their_own_axes() {
        let slanting = Placed { along: Vec2::angled(0.7), ..level(45.0, 45.0) };
        assert!(!slanting.overlaps(&level(0.0, 0.0)));
        assert!(Placed { along: Vec2::angled(0.7), ..level(20.0, 10.0) }.overlaps(&level(0.0, 0.0)));
    }
}
