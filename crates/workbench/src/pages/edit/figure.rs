//! Painting the sketches beside a form, and keeping them until something changes.

use bevelbench_notebook::{
    drawing::sketch::{mark::Mark, tool::Captioned},
    quantity::Units,
};
use egui::{Align, Id, Rect, Role, Sense, Ui, WidgetInfo, epaint::MarginF32, pos2};

use crate::{
    model::appearance::Tone,
    toolkit::{
        canvas::{Canvas, Extras, Paper},
        theme::{Surface, Theme},
        view::View,
        widgets::letters,
    },
};

/// What kept sketches depend on.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Key {
    /// The bench's revision.
    pub(super) revision: u64,
    /// How numbers are written.
    pub(super) units: Units,
    /// The dimension that is pointed at.
    pub(super) pointed: Option<Mark>,
    /// Which part is shown.
    pub(super) part: String,
}

/// The sketches of a page with their kept pictures.
#[derive(Debug, Default)]
pub(super) struct Figures {
    made: Option<(Key, Vec<Captioned>)>,
    canvases: Vec<Canvas>,
    serial: u64,
}

impl Figures {
    /// Paints the sketches into a rectangle, making them again if anything has changed.
    pub(super) fn show(
        &mut self,
        ui: &Ui,
        rect: Rect,
        key: Key,
        theme: &Theme,
        make: impl FnOnce() -> Vec<Captioned>,
    ) {
        if self.made.as_ref().is_none_or(|(kept, _)| *kept != key) {
            let mut sketches = make();
            // A number that is none, or beyond any bench, is named at its field; there is nothing to draw of it.
            sketches.retain(|(_, sketch)| {
                let (wide, high) = (sketch.room.width(), sketch.room.height());
                wide > 1e-3 && high > 1e-3 && wide < 1e6 && high < 1e6
            });
            self.made = Some((key, sketches));
            self.serial += 1;
        }
        let Some((_, sketches)) = &self.made else { return };
        self.canvases.resize_with(sketches.len(), Canvas::new);
        let hint_height = theme.sizes.text.small * 2.0;
        let hint = "Point at a number to see where it is measured.";
        let text = letters::one_line(ui.painter(), hint, theme.small(), theme.tone(Tone::Weak), rect.width());
        letters::set(
            ui.painter(),
            pos2(rect.center().x, rect.top() + hint_height * 0.7),
            Align::Center,
            text,
        );
        let rect = Rect::from_min_max(pos2(rect.left(), rect.top() + hint_height), rect.max);
        let upright = rect.height() > rect.width() * 0.75;
        let weights: Vec<f32> = sketches
            .iter()
            .map(|(_, sketch)| if upright { weight(sketch.room.width(), sketch.room.height()) } else { 1.0 })
            .collect();
        let total: f32 = weights.iter().sum::<f32>().max(0.1);
        let mut done = 0.0;
        for (((caption, sketch), canvas), weight) in sketches.iter().zip(&mut self.canvases).zip(weights) {
            let (from, to) = (done / total, (done + weight) / total);
            done += weight;
            let place = if upright {
                Rect::from_x_y_ranges(rect.x_range(), along(rect.y_range(), from, to))
            } else {
                Rect::from_x_y_ranges(along(rect.x_range(), from, to), rect.y_range())
            };
            let caption_height = theme.sizes.text.small * 1.9;
            let picture = Rect::from_min_max(place.min, pos2(place.right(), place.bottom() - caption_height));
            let view = View::fit(sketch.room, picture, MarginF32::same(theme.sizes.gap.small));
            let extras = Extras { paper: Paper::Clear, hovered: None, under_texts: &[] };
            canvas.paint(ui.painter(), &sketch.drawing, self.serial, &view, theme, extras);
            let text = letters::one_line(
                ui.painter(),
                caption,
                theme.small(),
                theme.tone(Tone::Weak),
                place.width(),
            );
            let baseline = place.bottom() - theme.sizes.text.small * 0.75;
            letters::set(ui.painter(), pos2(place.center().x, baseline), Align::Center, text);
            let response = ui.interact(place, Id::unique(("sketch", *caption)), Sense::hover());
            response.widget_info(|| WidgetInfo::labeled(Role::Image, true, *caption));
        }
    }
}

/// The paper under the sketches.
pub(super) fn paper(ui: &Ui, rect: Rect, theme: &Theme) {
    ui.painter().rect_filled(rect, 0.0, theme.surface(Surface::Canvas));
}

/// How much of the height a sketch is given: long ones need less.
fn weight(width: f64, height: f64) -> f32 {
    let shape = (height / width.max(1e-6)) as f32;
    if shape.is_finite() { shape.clamp(0.35, 1.0) } else { 0.6 }
}

fn along(range: egui::Rangef, from: f32, to: f32) -> egui::Rangef {
    egui::Rangef::new(range.min + range.span() * from, range.min + range.span() * to)
}
