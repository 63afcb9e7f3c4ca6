//! What the parts of this page are put together from: a sheet that scrolls, tables, choices, fields with their names.

use bevelbench_geometry::math::Kind;
use bevelbench_notebook::quantity::Units;
use egui::{Align, ComboBox, Margin, RichText, ScrollArea, Sense, TextEdit, Ui, WidgetInfo, pos2, vec2};

use crate::{
    model::appearance::Tone,
    toolkit::{
        theme::{Surface, Theme, Weight},
        widgets::{letters, typed_field},
    },
};

/// A sheet that scrolls.
pub(super) fn sheet(ui: &mut Ui, name: &str, theme: &Theme, content: impl FnOnce(&mut Ui)) {
    let gap = theme.sizes.gap;
    ScrollArea::vertical().id_salt(name).auto_shrink([false, false]).show(ui, |ui| {
        let margin = Margin::symmetric(gap.margin as i8 + 4, gap.wide as i8);
        egui::Frame::new().inner_margin(margin).show(ui, |ui| {
            ui.spacing_mut().item_spacing = vec2(gap.small, gap.small);
            ui.set_width(ui.available_width());
            content(ui);
        });
    });
}

/// Words that wrap.
pub(super) fn note(ui: &mut Ui, words: &str, tone: Tone, theme: &Theme) {
    ui.label(RichText::new(words).font(theme.body()).color(theme.tone(tone)));
}

/// A caption before a field.
pub(super) fn caption(ui: &mut Ui, words: &str, theme: &Theme) {
    ui.label(RichText::new(words).font(theme.body()).color(theme.tone(Tone::Weak)));
}

/// One of several, named for screen readers; the one that was chosen in this frame comes back.
pub(super) fn choice<'a>(
    ui: &mut Ui,
    label: &str,
    width: f32,
    shown: &str,
    options: impl Iterator<Item = &'a str>,
    theme: &Theme,
) -> Option<usize> {
    let mut chosen = None;
    let text = RichText::new(shown).font(theme.body()).color(theme.tone(Tone::Strong));
    let combo = ComboBox::from_id_salt(("keep", label)).width(width).truncate().selected_text(text).show_ui(
        ui,
        |ui| {
            for (index, option) in options.enumerate() {
                if ui.selectable_label(option == shown, option).clicked() {
                    chosen = Some(index);
                }
            }
        },
    );
    combo
        .response
        .widget_info(|| WidgetInfo::labeled(egui::Role::ComboBox, true, format!("{label}: {shown}")));
    chosen
}

/// A box to tick.
pub(super) fn tick(ui: &mut Ui, value: &mut bool, words: &str, theme: &Theme) -> bool {
    let text = RichText::new(words).font(theme.body()).color(theme.tone(Tone::Strong));
    ui.checkbox(value, text).changed()
}

/// A field of plain text, named for screen readers.
pub(super) fn words_field(
    ui: &mut Ui,
    label: &str,
    text: &mut String,
    width: f32,
    hint: &str,
    theme: &Theme,
) {
    let field = TextEdit::singleline(text)
        .font(theme.body())
        .hint_text(RichText::new(hint).font(theme.body()).color(theme.tone(Tone::Weak)))
        .desired_width(width)
        .char_limit(200);
    ui.add(field).accessible_name(label);
}

/// A number of a kind that may be unknown: what was typed, or why it was not understood. Nothing typed makes it unknown.
pub(super) fn number(
    ui: &mut Ui,
    label: &str,
    value: Option<f64>,
    kind: Kind,
    units: Units,
    theme: &Theme,
) -> Option<Result<Option<f64>, String>> {
    let shown = value.map_or_else(String::new, |value| units.show(kind, value));
    let read = |text: &str| {
        if text.trim().is_empty() { Ok(f64::NAN) } else { units.read(kind, text) }
    };
    let typed = typed_field(ui, label, &shown, 84.0, &read, theme)?;
    Some(typed.map(|value| (!value.is_nan()).then_some(value)))
}

/// A column of a table.
#[derive(Debug, Clone, Copy)]
pub(super) struct Column {
    /// What stands over it.
    pub(super) head: &'static str,
    /// Its fraction of the width.
    pub(super) fraction: f32,
    /// Numbers stand at the right.
    pub(super) right: bool,
}

impl Column {
    pub(super) const fn words(head: &'static str, fraction: f32) -> Self {
        Self { head, fraction, right: false }
    }

    pub(super) const fn number(head: &'static str, fraction: f32) -> Self {
        Self { head, fraction, right: true }
    }
}

/// A line of a table.
#[derive(Debug, Clone)]
pub(super) struct Line {
    /// Its cells.
    pub(super) cells: Vec<String>,
    /// How it is meant.
    pub(super) tone: Tone,
}

impl Line {
    pub(super) fn plain(cells: Vec<String>) -> Self {
        Self { cells, tone: Tone::Strong }
    }
}

/// A table: heads, then lines; each line is read out as a whole. With an `action` each line has a button at its right
/// end; the index of the line whose button was pressed comes back.
pub(super) fn table(
    ui: &mut Ui,
    columns: &[Column],
    lines: &[Line],
    action: Option<&str>,
    theme: &Theme,
) -> Option<usize> {
    let gap = theme.sizes.gap;
    let whole = ui.available_width();
    let width = if action.is_some() { whole - 84.0 } else { whole };
    let all: f32 = columns.iter().map(|column| column.fraction).sum();
    let mut x = ui.cursor().left();
    let ends: Vec<(f32, f32)> = columns
        .iter()
        .map(|column| {
            let from = x;
            x += width * column.fraction / all.max(1e-3);
            (from, x - gap.normal)
        })
        .collect();
    let row = theme.sizes.text.body * 1.75;
    let paint = |ui: &Ui, top: f32, cells: &[String], font: &egui::FontId, tone: Tone| -> bool {
        let mut cut = false;
        for ((column, (from, to)), cell) in columns.iter().zip(&ends).zip(cells) {
            let text = letters::one_line(ui.painter(), cell, font.clone(), theme.tone(tone), to - from);
            cut |= text.elided;
            let x = if column.right { to - text.size().x } else { *from };
            let at = pos2(x, top + (row - text.size().y) / 2.0);
            ui.painter().galley(at.round(), text, theme.tone(tone));
        }
        cut
    };
    let (head, _) = ui.allocate_exact_size(vec2(whole, row), Sense::hover());
    let heads: Vec<String> = columns.iter().map(|column| column.head.to_owned()).collect();
    paint(ui, head.top(), &heads, &theme.small(), Tone::Weak);
    ui.painter().hline(head.x_range(), head.bottom(), theme.hairline());
    let mut pressed = None;
    for (index, line) in lines.iter().enumerate() {
        let (rect, response) = ui.allocate_exact_size(vec2(whole, row), Sense::hover());
        let reported: Vec<&str> =
            line.cells.iter().map(String::as_str).filter(|cell| !cell.is_empty()).collect();
        response.widget_info(|| WidgetInfo::labeled(egui::Role::ListItem, true, reported.join(", ")));
        let cut = paint(ui, rect.top(), &line.cells, &theme.body(), line.tone);
        ui.painter().hline(rect.x_range(), rect.bottom(), theme.hairline());
        if let Some(action) = action {
            let place = egui::Rect::from_min_max(pos2(rect.right() - 78.0, rect.top()), rect.max);
            let name = format!("{action}: {}", reported.first().copied().unwrap_or_default());
            if line_button(ui, place, (action, index), action, &name, theme) {
                pressed = Some(index);
            }
        }
        // What does not fit in its column is reported in full.
        if cut {
            response.on_hover_text(line.cells.join("\n"));
        }
    }
    pressed
}

/// Words at the end of a line that can be pressed.
fn line_button(
    ui: &mut Ui,
    place: egui::Rect,
    salt: (&str, usize),
    words: &str,
    name: &str,
    theme: &Theme,
) -> bool {
    let id = ui.scope_id().with(salt);
    let response = ui.interact(place, id, Sense::click());
    response.widget_info(|| WidgetInfo::labeled(egui::Role::Button, true, name));
    let text = letters::one_line(ui.painter(), words, theme.small(), theme.tone(Tone::Link), place.width());
    let at = pos2(place.right() - text.size().x, place.center().y - text.size().y / 2.0);
    if response.hovered() || response.has_focus() {
        let under = egui::Rect::from_min_size(at, text.size()).expand2(vec2(4.0, 2.0));
        ui.painter().rect_filled(under, theme.corner(), theme.surface(Surface::Hover));
    }
    ui.painter().galley(at.round(), text, theme.tone(Tone::Link));
    response.clicked()
}

/// A heading with air above it.
pub(super) fn heading(ui: &mut Ui, words: &str, theme: &Theme) {
    ui.add_space(theme.sizes.gap.normal);
    let font = theme.font(Weight::SemiBold, theme.sizes.text.strong);
    let text = RichText::new(words).font(font).color(theme.tone(Tone::Strong));
    let response = ui.label(text);
    response.widget_info(|| WidgetInfo::labeled(egui::Role::Heading, true, words));
}

/// A row of things side by side, their middles on one line.
pub(super) fn row(ui: &mut Ui, theme: &Theme, content: impl FnOnce(&mut Ui)) {
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = theme.sizes.gap.normal;
        ui.set_min_height(theme.sizes.row);
        ui.with_layout(egui::Layout::left_to_right(Align::Center).with_main_wrap(true), content);
    });
}

/// Today's date as the log writes it.
pub(super) fn today() -> String {
    jiff::Zoned::now().date().to_string()
}
