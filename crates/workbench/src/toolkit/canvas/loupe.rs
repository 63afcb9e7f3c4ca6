//! The loupe: a round window that shows a spot of a drawing many times enlarged.

use std::sync::Arc;

use bevelbench_notebook::drawing::{Drawing, Part, Point};
use egui::{Color32, Mesh, Painter, Pos2, Rect, Shape, Stroke, Vec2};

use super::{
    tessellate::{DrawingTessellator, is_remark},
    text_layout,
};
use crate::{
    model::appearance::Tone,
    toolkit::{
        theme::{Surface, Theme},
        view::View,
    },
};

/// A loupe with its kept picture.
#[derive(Debug, Default)]
pub struct Loupe {
    kept: Option<(Key, Arc<Mesh>)>,
}

#[derive(Debug, Clone, PartialEq)]
struct Key {
    revision: u64,
    view: View,
    theme: (crate::model::appearance::Mode, crate::model::appearance::TypeScale),
    pixels_per_point: f32,
}

/// Where a loupe sits, what it looks at and what stands under it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LoupePlace<'a> {
    /// Its middle on the screen.
    pub centre: Pos2,
    /// Its radius in points.
    pub radius: f32,
    /// What lies in its middle, in bench millimetres.
    pub target_in_bench: Point,
    /// Points of the screen a millimetre, inside the loupe.
    pub scale: f64,
    /// The words under it.
    pub caption: &'a str,
}

impl LoupePlace<'_> {
    /// The view inside the loupe.
    #[must_use]
    pub fn view(&self) -> View {
        View::new(
            Rect::from_center_size(self.centre, Vec2::splat(2.0 * self.radius)),
            self.target_in_bench,
            self.scale,
        )
    }
}

impl Loupe {
    /// Paints the loupe: the enlarged drawing cut to a circle, rim, caption. `revision` must change whenever `drawing` does.
    pub fn paint(
        &mut self,
        painter: &Painter,
        drawing: &Drawing,
        revision: u64,
        place: LoupePlace<'_>,
        theme: &Theme,
    ) {
        if !place.radius.is_finite() || place.radius < 8.0 || !place.centre.is_finite() {
            return;
        }
        let size = theme.sizes.shaft;
        let inner = place.view();
        let (centre, radius) = (place.centre, place.radius);

        // A soft shadow lifts the glass off the paper.
        for (grown, fraction) in [(5.0, 0.18), (3.0, 0.28), (1.5, 0.4)] {
            let shadow = crate::toolkit::theme::colour::faded(theme.palette.shadow, fraction);
            painter.circle_filled(centre + Vec2::new(0.0, 2.0), radius + grown, shadow);
        }
        painter.circle_filled(centre, radius, theme.surface(Surface::Raised));
        let key = Key {
            revision,
            view: inner,
            theme: (theme.mode, theme.type_scale),
            pixels_per_point: painter.pixels_per_point(),
        };
        if self.kept.as_ref().is_none_or(|(kept, _)| *kept != key) {
            let mut tessellator = DrawingTessellator::new(theme, inner, key.pixels_per_point);
            tessellator.things(drawing);
            let mesh = cut_to_circle(&tessellator.finish(), centre, radius - 0.5);
            self.kept = Some((key, Arc::new(mesh)));
        }
        if let Some((_, mesh)) = &self.kept {
            painter.add(Shape::Mesh(mesh.clone()));
        }
        let inside = |at: Pos2| (at - centre).length() < radius - 26.0 * size;
        text_layout::paint(painter, drawing, &inner, theme, |shape, at| !is_remark(shape.role) && inside(at));
        painter.circle_stroke(centre, radius, Stroke::new(2.0 * size, theme.tone(Tone::Strong)));
        if !place.caption.is_empty() {
            let text =
                painter.layout_no_wrap(place.caption.to_owned(), theme.small(), theme.tone(Tone::Weak));
            let at =
                Pos2::new(centre.x - text.size().x / 2.0, centre.y + radius + theme.sizes.gap.normal).round();
            let paper = Rect::from_min_size(at, text.size()).expand2(Vec2::new(5.0, 1.0));
            painter.rect_filled(paper, theme.sizes.radius.small, theme.palette.pill);
            painter.galley(at, text, Color32::PLACEHOLDER);
        }
    }

    /// The ring around the spot the loupe looks at, and the line from there to its rim: to be painted under the texts of the
    /// drawing, whose view is `view`.
    #[must_use]
    pub fn leader(view: &View, place: LoupePlace<'_>, theme: &Theme) -> Vec<Shape> {
        let size = theme.sizes.shaft;
        let (centre, radius) = (place.centre, place.radius);
        let spot = view.screen_from_bench(place.target_in_bench);
        let seen = (radius * (view.scale / place.view().scale) as f32).max(5.0 * size);
        if !spot.is_finite() || !centre.is_finite() || (spot - centre).length() <= radius + seen {
            return Vec::new();
        }
        let stroke = Stroke::new(size, theme.tone(Tone::Weak));
        let way = (spot - centre).normalized();
        let line = [centre + way * radius, spot - way * seen];
        let mut shapes = Shape::dashed_line(&line, stroke, 4.0 * size, 3.5 * size);
        shapes.push(Shape::circle_stroke(spot, seen, stroke));
        shapes
    }

    /// The part of the drawing under the pointer, seen through the loupe; `None` outside it.
    #[must_use]
    pub fn part_at(drawing: &Drawing, place: LoupePlace<'_>, pointer: Pos2, reach: f32) -> Option<Part> {
        let within = (pointer - place.centre).length() < place.radius;
        within.then(|| super::part_at(drawing, &place.view(), pointer, reach)).flatten()
    }
}

/// Sides of the polygon that stands for the circle; its chord error at a radius of 120 is 0.04 points.
const SIDES: u16 = 128;

/// The part of a mesh inside a circle: triangles inside stay, those outside go, those across are cut.
///
/// # Source
/// Cutting after Sutherland and Hodgman 1974, one side of the polygon after the other.
fn cut_to_circle(mesh: &Mesh, centre: Pos2, radius: f32) -> Mesh {
    let apothem = radius * (std::f32::consts::PI / f32::from(SIDES)).cos();
    let sides: Vec<Vec2> =
        (0..SIDES).map(|i| Vec2::angled(f32::from(i) * std::f32::consts::TAU / f32::from(SIDES))).collect();
    let mut out = Mesh { texture_id: mesh.texture_id, ..Mesh::default() };
    let (mut corners, mut cut) = (Vec::new(), Vec::new());
    for triangle in mesh.triangles() {
        let vertices = triangle.map(|i| mesh.vertices[i as usize]);
        let far = vertices.map(|v| (v.pos - centre).length());
        corners.clear();
        corners.extend(vertices);
        if far.iter().any(|d| *d > apothem) {
            for side in &sides {
                // How far outside this side a corner is.
                let over = |p: Pos2| (p - centre).dot(*side) - apothem;
                if corners.iter().all(|v: &egui::epaint::Vertex| over(v.pos) <= 0.0) {
                    continue;
                }
                cut.clear();
                for (i, a) in corners.iter().enumerate() {
                    let b = corners[(i + 1) % corners.len()];
                    let (da, db) = (over(a.pos), over(b.pos));
                    if da <= 0.0 {
                        cut.push(*a);
                    }
                    if (da <= 0.0) != (db <= 0.0) {
                        let fraction = da / (da - db);
                        cut.push(egui::epaint::Vertex {
                            pos: a.pos + (b.pos - a.pos) * fraction,
                            uv: a.uv,
                            color: crate::toolkit::theme::colour::mix(a.color, b.color, fraction),
                        });
                    }
                }
                std::mem::swap(&mut corners, &mut cut);
                if corners.len() < 3 {
                    break;
                }
            }
        }
        if corners.len() < 3 {
            continue;
        }
        let first = out.vertices.len() as u32;
        out.vertices.extend_from_slice(&corners);
        for i in 1..corners.len() as u32 - 1 {
            out.add_triangle(first, first + i, first + i + 1);
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use egui::pos2;

    use super::*;

    fn area(mesh: &Mesh) -> f32 {
        mesh.triangles()
            .map(|t| {
                let [a, b, c] = t.map(|i| mesh.vertices[i as usize].pos);
                ((b - a).x * (c - a).y - (b - a).y * (c - a).x).abs() / 2.0
            })
            .sum()
    }

    #[test]
    fn a_sheet_cut_to_a_circle_has_the_area_of_the_circle() {
        let mut sheet = Mesh::default();
        sheet.add_colored_rect(Rect::from_min_max(pos2(-500.0, -500.0), pos2(500.0, 500.0)), Color32::WHITE);
        let cut = cut_to_circle(&sheet, pos2(20.0, 30.0), 100.0);
        let expected = std::f32::consts::PI * 1e4;
        assert!((area(&cut) / expected - 1.0).abs() < 2e-3, "{}", area(&cut));
        assert!(cut.vertices.iter().all(|v| (v.pos - pos2(20.0, 30.0)).length() < 100.05));
        assert!(cut.is_valid());
    }

    #[test]
    fn clipping_keeps_the_inside_and_drops_the_outside() {
        let mut small = Mesh::default();
        small.add_colored_rect(Rect::from_min_max(pos2(-10.0, -10.0), pos2(10.0, 10.0)), Color32::WHITE);
        assert!((area(&cut_to_circle(&small, pos2(0.0, 0.0), 100.0)) - 400.0).abs() < 0.01);
        assert!(cut_to_circle(&small, pos2(300.0, 0.0), 100.0).is_empty());
    }
}
