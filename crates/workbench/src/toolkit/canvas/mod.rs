//! The canvas: paints a [`Drawing`] in the theme's inks, and says what the pointer touches.
//!
//! A drawing becomes one mesh, kept until the drawing, the view or the look changes, so moving the mouse over a still
//! picture costs next to nothing. Texts are laid out by egui each time, which keeps its own store of them.

pub mod handle;
mod loupe;
mod outline;
mod tessellate;
mod text_layout;
mod touch;

use std::sync::Arc;

use bevelbench_notebook::drawing::{Drawing, Part};
use egui::{Color32, Mesh, Painter, Shape, Stroke, Vec2, pos2};

pub use loupe::{Loupe, LoupePlace};
pub use touch::part_at;

use crate::{
    model::appearance::{Mode, Tone, TypeScale},
    toolkit::{
        theme::{Surface, Theme},
        view::View,
    },
};

/// A canvas with its kept picture.
#[derive(Debug, Default)]
pub struct Canvas {
    kept: Option<(Key, Arc<Mesh>)>,
    glow: Option<(Key, Part, Arc<Mesh>)>,
}

/// What the kept picture depends on.
#[derive(Debug, Clone, PartialEq)]
struct Key {
    revision: u64,
    view: View,
    mode: Mode,
    type_scale: TypeScale,
    pixels_per_point: f32,
    grid: bool,
}

/// What lies under a drawing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Paper {
    /// Nothing: whatever was painted before shows through.
    Clear,
    /// The canvas colour.
    Plain,
    /// The canvas colour, a grid in round millimetres and a scale bar.
    #[default]
    Grid,
}

/// What a canvas shows besides its drawing.
#[derive(Debug, Clone, Copy, Default)]
pub struct Extras<'a> {
    /// What lies under the drawing.
    pub paper: Paper,
    /// The part that glows because the pointer is on it.
    pub hovered: Option<Part>,
    /// Shapes over the drawing but under its texts: the leader line of a loupe.
    pub under_texts: &'a [Shape],
}

impl Canvas {
    /// An empty canvas.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// Paints a drawing into `view.rect`.
    ///
    /// `revision` must change whenever `drawing` does.
    pub fn paint(
        &mut self,
        painter: &Painter,
        drawing: &Drawing,
        revision: u64,
        view: &View,
        theme: &Theme,
        extras: Extras<'_>,
    ) {
        let Extras { paper, hovered, under_texts } = extras;
        let painter = painter.with_clip_rect(view.rect.intersect(painter.clip_rect()));
        if paper != Paper::Clear {
            painter.rect_filled(view.rect, 0.0, theme.surface(Surface::Canvas));
        }
        let key = Key {
            revision,
            view: *view,
            mode: theme.mode,
            type_scale: theme.type_scale,
            pixels_per_point: painter.pixels_per_point(),
            grid: paper == Paper::Grid,
        };
        painter.add(Shape::Mesh(self.mesh(&key, drawing, theme)));
        match hovered {
            Some(part) => {
                painter.add(Shape::Mesh(self.glow(key, part, drawing, theme)));
            }
            None => self.glow = None,
        }
        painter.extend(under_texts.iter().cloned());
        let shown = view.rect.expand(60.0);
        text_layout::paint(&painter, drawing, view, theme, |_, at| shown.contains(at));
        if paper == Paper::Grid {
            scale_bar(&painter, view, theme);
        }
    }

    fn mesh(&mut self, key: &Key, drawing: &Drawing, theme: &Theme) -> Arc<Mesh> {
        if let Some((kept, mesh)) = &self.kept
            && kept == key
        {
            return mesh.clone();
        }
        let mut tessellator = tessellate::DrawingTessellator::new(theme, key.view, key.pixels_per_point);
        if key.grid {
            tessellator.grid();
        }
        tessellator.drawing(drawing);
        let mesh = Arc::new(tessellator.finish());
        self.kept = Some((key.clone(), mesh.clone()));
        mesh
    }

    fn glow(&mut self, key: Key, part: Part, drawing: &Drawing, theme: &Theme) -> Arc<Mesh> {
        if let Some((kept, of, mesh)) = &self.glow
            && *kept == key
            && *of == part
        {
            return mesh.clone();
        }
        let mut tessellator = tessellate::DrawingTessellator::new(theme, key.view, key.pixels_per_point);
        tessellator.glow(drawing, part);
        let mesh = Arc::new(tessellator.finish());
        self.glow = Some((key, part, mesh.clone()));
        mesh
    }
}

/// A bar as long as one step of the grid, in the lower right corner, with its length.
fn scale_bar(painter: &Painter, view: &View, theme: &Theme) {
    let step = tessellate::grid_step_mm(view.scale);
    let colour = theme.tone(Tone::Weak);
    let size = theme.sizes.shaft;
    let gap = theme.sizes.gap.margin;
    let right = (view.rect.right() - gap).floor() + 0.5;
    let left = (right - view.points(step)).floor() + 0.5;
    let y = (view.rect.bottom() - gap).floor() + 0.5;
    let stroke = Stroke::new(size, colour);
    painter.line_segment([pos2(left, y), pos2(right, y)], stroke);
    for x in [left, right] {
        painter.line_segment([pos2(x, y - 3.0 * size), pos2(x, y + 3.0 * size)], stroke);
    }
    let words = format!("{} mm", (step * 1000.0).round() / 1000.0);
    let text = painter.layout_no_wrap(words, theme.small(), colour);
    let at = pos2(f32::midpoint(left, right), y) - Vec2::new(text.size().x / 2.0, text.size().y + 4.0 * size);
    painter.galley(at.round(), text, Color32::PLACEHOLDER);
}

/// A small picture of a drawing, fitted into a rectangle: for lists. Not kept, so for a handful of shapes.
pub fn thumbnail(painter: &Painter, drawing: &Drawing, rect: egui::Rect, theme: &Theme) {
    let Some(bounds) = drawing.bounds() else { return };
    if !painter.clip_rect().intersects(rect) {
        return;
    }
    let view = View::fit(bounds, rect, 1.5);
    let mut thin = theme.clone();
    thin.sizes.shaft *= 0.75;
    let mut tessellator = tessellate::DrawingTessellator::new(&thin, view, painter.pixels_per_point());
    tessellator.drawing(drawing);
    painter.add(Shape::mesh(tessellator.finish()));
}
