//! What stands under the picture of the tip: the swing played again, the switches, and what all of it rests on.

use bevelbench_notebook::{
    answer::swept::{Movement, Swept},
    quantity::Units,
    words::validity_words,
};
use egui::{Id as WidgetId, Rect, Sense, Ui, UiBuilder, pos2, vec2};

use crate::{
    model::appearance::Tone,
    pages::tip::{TipState, motion},
    toolkit::{
        theme::{Surface, Theme},
        widgets::{Emphasis, Setting, button, setting_row},
    },
};

/// Under the picture: the swing played again, the map of colours, and what all of it rests on.
pub(super) fn foot_rows(ui: &mut Ui, rect: Rect, swept: &Swept, state: &mut TipState, theme: &Theme) {
    let gap = theme.sizes.gap;
    ui.painter().rect_filled(rect, 0.0, theme.surface(Surface::Panel));
    ui.painter().hline(rect.x_range(), rect.top(), theme.hairline());
    let inner = rect.shrink2(vec2(gap.margin, gap.normal));
    ui.scope_builder(UiBuilder::new().max_rect(inner).id_salt("tip foot"), |ui| {
        ui.horizontal(|ui| {
            ui.spacing_mut().item_spacing.x = gap.wide;
            let words = if state.playing.is_some() { "Pause" } else { "Play the swing" };
            let pressed = button(ui, words, Emphasis::Plain, theme)
                .on_hover_text("The tool moves over the wheel from wing to wing.");
            if pressed.clicked() {
                state.playing = match state.playing {
                    Some(_) => None,
                    None => Some(state.fraction.clamp(-1.0, 1.0).asin() / std::f64::consts::TAU)
                        .map(|p| p.rem_euclid(1.0)),
                };
                state.with_wheel = true;
                ui.ctx().request_repaint();
            }
            let switches = 196.0 * theme.sizes.shaft.max(1.0);
            let width = (ui.available_width() - switches).clamp(80.0, 260.0);
            ui.allocate_ui(vec2(width, 44.0), |ui| swing_row(ui, swept, state, theme));
            ui.vertical(|ui| {
                ui.spacing_mut().item_spacing.y = 0.0;
                ui.checkbox(&mut state.with_wheel, "Show the wheel");
                ui.add_enabled(!state.ink.on, egui::Checkbox::new(&mut state.coloured, "Colour by wedge angle"));
                let ink = ui.checkbox(&mut state.ink.on, "Ink on today’s wheel").on_hover_text(
                    "The tool as a setting of it ground it, laid on today’s wheel all over the swing: ink goes where the gap is below the film.",
                );
                if ink.changed() {
                    ui.ctx().request_repaint();
                }
                if !state.with_wheel {
                    state.playing = None;
                }
            });
        });
        let words = validity_words(swept);
        let note =
            ui.painter().layout(words.to_owned(), theme.small(), theme.tone(Tone::Weak), inner.width());
        let at = pos2(inner.left(), inner.bottom() - note.size().y).round();
        let spot = Rect::from_min_size(at, note.size());
        let response = ui.interact(spot, WidgetId::unique("tip note"), Sense::hover());
        response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Label, true, words));
        ui.painter().galley(at, note, egui::Color32::PLACEHOLDER);
    });
}

/// The slider of the swing.
fn swing_row(ui: &mut Ui, swept: &Swept, state: &mut TipState, theme: &Theme) {
    let half = motion::half_way(swept).max(0.1);
    let pushed = matches!(swept.movement(), Movement::Pushed { .. });
    let show = |value: f64| {
        if pushed { Units::default().length(value) } else { Units::default().angle(value) }
    };
    let read = |text: &str| {
        let kind = if pushed {
            bevelbench_geometry::math::Kind::Length
        } else {
            bevelbench_geometry::math::Kind::Angle
        };
        Units::default().read(kind, text)
    };
    let row = Setting {
        tooltip: "Where the tool stands in its swing: 0 is the middle, with the nose on the wheel.",
        show: &show,
        read: &read,
        note: None,
        ..Setting::new(if pushed { "Moved by" } else { "Rolled to" }, state.fraction * half, -half..=half)
    };
    let outcome = setting_row(ui, &row, theme);
    if let Some(value) = outcome.gesture.changed {
        state.fraction = (value / half).clamp(-1.0, 1.0);
        state.playing = None;
        state.with_wheel = true;
    }
}
