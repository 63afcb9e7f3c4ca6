//! The dialog of a new setting: a rig, a wheel of it, and what carries the tool.

use bevelbench_notebook::saved::{Bench, Id};
use egui::{Align, Id as WidgetId, Layout, Rect, RichText, Ui, pos2};

use super::{
    entry::{combo, text_field},
    new_setting::NewSetting,
    remark,
};
use crate::{
    model::appearance::Tone,
    toolkit::{
        theme::Theme,
        widgets::{Emphasis, button, dialog},
    },
};

/// The dialog of a new setting: whether to make it, once that is decided.
pub(super) fn ask_setting(ui: &Ui, bench: &Bench, wanted: &mut NewSetting, theme: &Theme) -> Option<bool> {
    let id = WidgetId::unique("new setting");
    let (answer, close) = dialog(ui.ctx(), id, "New setting", 440.0, theme, |ui| {
        ui.spacing_mut().item_spacing.y = theme.sizes.gap.normal;
        let name = wanted.name.clone();
        if let Some(typed) = labelled(ui, "Setting name", theme, |ui, rect| {
            text_field(ui, rect, id.with("name"), "Setting name", &name, theme)
        }) {
            wanted.name = typed;
        }
        let rigs: Vec<(Id, &str)> = bench
            .rigs
            .iter()
            .filter(|rig| !rig.wheels.is_empty())
            .map(|rig| (rig.id, rig.name.as_str()))
            .collect();
        if let Some(rig) = pick(ui, id, "Rig", wanted.rig, &rigs, theme) {
            wanted.rig = rig;
        }
        wanted.settle(bench);
        let wheels: Vec<(Id, &str)> = bench
            .rig(wanted.rig)
            .map(|rig| rig.wheels.iter().map(|wheel| (wheel.id, wheel.name.as_str())).collect())
            .unwrap_or_default();
        if let Some(wheel) = pick(ui, id, "Wheel", wanted.wheel, &wheels, theme) {
            wanted.wheel = wheel;
        }
        wanted.settle(bench);
        let carried = wanted.choices(bench);
        let names: Vec<_> = carried.iter().map(|(carried, name)| (*carried, name.as_str())).collect();
        if names.is_empty() {
            let words = "There is neither an arm nor a table in front of this wheel. Add one on the Rig page, or choose another wheel.";
            ui.label(RichText::new(words).font(theme.body()).color(theme.tone(Tone::Caution)));
        } else if let Some(carried) = pick(ui, id, "Carried by", wanted.carried, &names, theme) {
            wanted.carried = carried;
        }
        remark(
            ui,
            "Projection and strut begin at a stop and a rest of the rig; the arm or the table is then moved to where it grinds 45°.",
            theme,
        );
        ui.add_space(theme.sizes.gap.normal);
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            let mut make = false;
            ui.add_enabled_ui(!names.is_empty(), |ui| {
                make = button(ui, "Make it", Emphasis::Main, theme).clicked();
            });
            let leave = button(ui, "Cancel", Emphasis::Plain, theme).clicked();
            if make { Some(true) } else { leave.then_some(false) }
        })
        .inner
    });
    answer.or(close.then_some(false))
}

/// A name with a field to its right.
fn labelled<R>(ui: &mut Ui, name: &str, theme: &Theme, field: impl FnOnce(&mut Ui, Rect) -> R) -> R {
    let size = egui::vec2(ui.available_width(), theme.sizes.row);
    let (rect, _) = ui.allocate_exact_size(size, egui::Sense::hover());
    let left = theme.sizes.text.body * 8.0;
    let text = egui::Label::new(RichText::new(name).font(theme.body()));
    let label = Rect::from_min_max(rect.min, pos2(rect.left() + left, rect.bottom()));
    let mut inner =
        ui.new_child(egui::UiBuilder::new().max_rect(label).layout(Layout::left_to_right(Align::Center)));
    inner.add(text);
    field(ui, Rect::from_min_max(pos2(rect.left() + left, rect.top()), rect.max))
}

fn pick<T: PartialEq + Copy>(
    ui: &mut Ui,
    id: WidgetId,
    name: &str,
    present: T,
    all: &[(T, &str)],
    theme: &Theme,
) -> Option<T> {
    let shown = all.iter().find(|(each, _)| *each == present).map_or("", |(_, words)| words);
    let index = labelled(ui, name, theme, |ui, rect| {
        combo(ui, rect, id.with(name), name, shown, all.iter().map(|(_, words)| *words), theme)
    });
    index.and_then(|index| all.get(index)).map(|(each, _)| *each)
}
