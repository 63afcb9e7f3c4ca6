//! The page as it will be printed, in the middle of the window.

use egui::{Align, Color32, CornerRadius, Layout, Rect, RichText, Role, Sense, Ui, Vec2, WidgetInfo, pos2};

use super::PrintState;
use crate::{
    model::appearance::Tone,
    toolkit::{
        theme::{Surface, Theme, colour::faded},
        widgets::{Emphasis, button, caution_line},
    },
};

/// Pictures are made at sizes this far apart, so that a window that is dragged wider is not drawn at every step.
const PIXEL_STEPS: f64 = 24.0;

pub(super) fn preview(ui: &mut Ui, state: &mut PrintState, theme: &Theme) {
    let sizes = theme.sizes;
    let area = ui.available_rect_before_wrap();
    ui.painter().rect_filled(area, 0.0, theme.surface(Surface::Canvas));
    let foot = sizes.row + 2.0 * sizes.gap.wide;
    let (room, bar) = area.split_top_bottom_at_y(area.bottom() - foot);
    let room = room.shrink(sizes.gap.margin * 1.5);
    let refused = match &state.cached {
        Some((_, Err(why))) if state.making.is_none() => Some(why.to_string()),
        _ => None,
    };
    if let Some(why) = refused {
        let mut inner = ui.new_child(egui::UiBuilder::new().max_rect(
            room.shrink2(Vec2::new((room.width() * 0.2).max(0.0), (room.height() * 0.4).max(0.0))),
        ));
        caution_line(&mut inner, &why, Tone::Caution, theme);
        ui.allocate_rect(area, Sense::hover());
        return;
    }
    let page = state.cached.as_ref().and_then(|(_, pages)| pages.as_ref().ok()).and_then(|print| {
        let page = print.pages.get(state.page)?;
        Some((page.size_mm, print.pages.len(), print.left_out.clone()))
    });
    let Some((size_mm, count, left_out)) = page else {
        ui.allocate_rect(area, Sense::hover());
        if state.making.is_some() {
            ui.put(room, egui::Spinner::new());
        }
        return;
    };
    let aspect = (size_mm[0] / size_mm[1]) as f32;
    let wide = room.width().min(room.height() * aspect);
    let sheet = Rect::from_center_size(room.center(), Vec2::new(wide, wide / aspect));
    let pixels = f64::from(sheet.width() * ui.ctx().pixels_per_point());
    let pixels_per_mm = ((pixels / PIXEL_STEPS).ceil() * PIXEL_STEPS / size_mm[0]).clamp(0.2, 40.0);
    state.draw(ui.ctx(), pixels_per_mm);
    let painter = ui.painter();
    for grown in [5.0, 3.0, 1.5] {
        let shade = faded(theme.tone(Tone::Strong), 0.06);
        painter.rect_filled(sheet.translate(Vec2::new(0.0, 1.5)).expand(grown), CornerRadius::same(3), shade);
    }
    if let Some((_, texture)) = &state.shown {
        let uv = Rect::from_min_max(pos2(0.0, 0.0), pos2(1.0, 1.0));
        painter.image(texture.id(), sheet, uv, Color32::WHITE);
    } else {
        painter.rect_filled(sheet, 0.0, Color32::WHITE);
    }
    let words = format!("Page {} of {count} as it is printed", state.page + 1);
    let response = ui.interact(sheet, ui.scope_id().with("printed page"), Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, &words));

    let mut inner = ui.new_child(
        egui::UiBuilder::new()
            .max_rect(bar.shrink2(Vec2::new(sizes.gap.margin, sizes.gap.wide)))
            .layout(Layout::left_to_right(Align::Center)),
    );
    let ui = &mut inner;
    let enabled = |ui: &mut Ui, on: bool, words: &str| {
        ui.add_enabled_ui(on, |ui| button(ui, words, Emphasis::Plain, theme)).inner.clicked()
    };
    if enabled(ui, state.page > 0, "Page before") {
        state.page -= 1;
    }
    let number = format!("{} of {count}", state.page + 1);
    ui.label(RichText::new(number).font(theme.strong()).color(theme.tone(Tone::Strong)));
    if enabled(ui, state.page + 1 < count, "Next page") {
        state.page += 1;
    }
    ui.add_space(sizes.gap.margin);
    let mm =
        |value: f64| bevelbench_notebook::quantity::format_number(value, usize::from(value.fract() > 0.01));
    let size = format!("{} × {} mm", mm(size_mm[0]), mm(size_mm[1]));
    ui.label(RichText::new(size).font(theme.small()).color(theme.tone(Tone::Weak)));
    if let Some((name, why)) = left_out.first() {
        let more =
            if left_out.len() > 1 { format!(" (and {} more)", left_out.len() - 1) } else { String::new() };
        let words = format!("Left out, because it has no answer: {name}{more}.");
        ui.label(RichText::new(words).font(theme.small()).color(theme.tone(Tone::Caution)))
            .on_hover_text(why);
    }
}
