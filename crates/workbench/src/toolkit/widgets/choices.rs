//! What one chooses from: tabs, buttons, rows of the rack, the search field.

use bevelbench_notebook::drawing::Drawing;
use egui::{
    Align, CornerRadius, Frame, Margin, Rect, Response, Role, Sense, Stroke, StrokeKind, TextEdit, Ui,
    UiBuilder, Vec2, WidgetInfo, pos2,
};

use super::{glyphs, letters};
use crate::{
    model::appearance::Tone,
    toolkit::{
        canvas::thumbnail,
        theme::{Surface, Theme, Weight},
    },
};

/// A bar of tabs; returns the index of the one that was pressed.
pub fn tab_bar(ui: &mut Ui, tabs: &[&str], chosen: usize, theme: &Theme) -> Option<usize> {
    let sizes = theme.sizes;
    let heavy = theme.font(Weight::SemiBold, sizes.text.strong);
    let light = theme.font(Weight::Regular, sizes.text.strong);
    let mut pressed = None;
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = sizes.gap.small;
        for (i, tab) in tabs.iter().enumerate() {
            let is_chosen = i == chosen;
            // As wide as the heavy letters, so that nothing moves when another is chosen.
            let size = Vec2::new(tab_width(ui, tab, theme), sizes.row);
            let (rect, response) = ui.allocate_exact_size(size, Sense::click());
            response.widget_info(|| WidgetInfo::selected(Role::Tab, true, is_chosen, *tab));
            ui.ctx().accesskit_node_builder(response.id, |node| node.set_selected(is_chosen));
            let (font, tone) = if is_chosen { (&heavy, Tone::Link) } else { (&light, Tone::Strong) };
            backdrop(ui, rect, &response, is_chosen, theme);
            let text = letters::one_line(ui.painter(), tab, font.clone(), theme.tone(tone), f32::INFINITY);
            let baseline = letters::centred_baseline(rect.center().y, font);
            letters::set(ui.painter(), pos2(rect.center().x, baseline), Align::Center, text);
            if response.clicked() {
                pressed = Some(i);
            }
        }
    });
    pressed
}

/// How wide a tab is, in points.
#[must_use]
pub fn tab_width(ui: &Ui, tab: &str, theme: &Theme) -> f32 {
    let sizes = theme.sizes;
    let heavy = theme.font(Weight::SemiBold, sizes.text.strong);
    let letters = letters::one_line(ui.painter(), tab, heavy, theme.tone(Tone::Strong), f32::INFINITY);
    letters.size().x + 2.0 * sizes.gap.normal
}

/// The ground of something that can be pressed.
fn backdrop(ui: &Ui, rect: Rect, response: &Response, chosen: bool, theme: &Theme) {
    let corner = theme.corner();
    if chosen {
        ui.painter().rect_filled(rect, corner, theme.surface(Surface::Selected));
    } else if response.hovered() || response.has_focus() {
        ui.painter().rect_filled(rect, corner, theme.surface(Surface::Hover));
    }
    if response.has_focus() {
        ui.painter().rect_stroke(rect, corner, theme.focus_ring(), StrokeKind::Inside);
    }
}

/// How loud a button is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Emphasis {
    /// Words only: switches in the top bar.
    Quiet,
    /// With a frame.
    Plain,
    /// The one thing to do next.
    Main,
}

/// A button.
pub fn button(ui: &mut Ui, words: &str, emphasis: Emphasis, theme: &Theme) -> Response {
    let sizes = theme.sizes;
    let (font, colour) = match emphasis {
        Emphasis::Quiet => (theme.body(), theme.tone(Tone::Weak)),
        Emphasis::Plain => (theme.name(), theme.tone(Tone::Strong)),
        Emphasis::Main => (theme.font(Weight::SemiBold, sizes.text.body), theme.palette.on_accent),
    };
    let colour = if ui.is_enabled() { colour } else { theme.palette.neutral };
    let text = letters::one_line(ui.painter(), words, font.clone(), colour, f32::INFINITY);
    let padding = if emphasis == Emphasis::Quiet { sizes.gap.normal } else { sizes.gap.margin };
    let (rect, response) =
        ui.allocate_exact_size(Vec2::new(text.size().x + 2.0 * padding, sizes.row), Sense::click());
    response.widget_info(|| WidgetInfo::labeled(Role::Button, ui.is_enabled(), words));
    let painter = ui.painter();
    let corner = theme.corner();
    match emphasis {
        Emphasis::Quiet => backdrop(ui, rect, &response, false, theme),
        Emphasis::Plain | Emphasis::Main => {
            let (fill, frame) = if emphasis == Emphasis::Main && ui.is_enabled() {
                let pressed = if response.hovered() { 0.12 } else { 0.0 };
                let fill = crate::toolkit::theme::colour::mix(
                    theme.palette.accent,
                    theme.tone(Tone::Strong),
                    pressed,
                );
                (fill, fill)
            } else if response.hovered() {
                (theme.surface(Surface::Hover), theme.palette.frame)
            } else {
                (theme.surface(Surface::Field), theme.palette.hairline)
            };
            painter.rect(rect, corner, fill, Stroke::new(sizes.line, frame), StrokeKind::Inside);
            if response.has_focus() {
                painter.rect_stroke(rect.expand(2.0), corner, theme.focus_ring(), StrokeKind::Inside);
            }
        }
    }
    let baseline = letters::centred_baseline(rect.center().y, &font);
    letters::set(painter, pos2(rect.center().x, baseline), Align::Center, text);
    response
}

/// A row of the rack.
#[derive(Debug, Clone, Copy)]
pub struct RackRow<'a> {
    /// Its name.
    pub name: &'a str,
    /// What stands at its right end ("40°"), or empty.
    pub value: &'a str,
    /// The tool's outline, drawn by the geometry; rows without one are settings and are set in.
    pub outline: Option<&'a Drawing>,
    /// Whether it is the chosen one.
    pub chosen: bool,
    /// A caution that stands before the value as a sign, in a few words for who cannot see it; empty for none.
    pub caution: &'a str,
}

/// A row of the rack over the full width. Hang a menu on it with [`Response::context_menu`].
pub fn rack_row(ui: &mut Ui, row: RackRow<'_>, theme: &Theme) -> Response {
    let sizes = theme.sizes;
    let is_tool = row.outline.is_some();
    let (rect, response) =
        ui.allocate_exact_size(Vec2::new(ui.available_width(), sizes.row + 1.0), Sense::click());
    response.widget_info(|| {
        let words = [row.name, row.value, row.caution]
            .into_iter()
            .filter(|words| !words.is_empty())
            .collect::<Vec<_>>();
        let words = words.join(", ");
        WidgetInfo::selected(Role::ListItem, true, row.chosen, words)
    });
    backdrop(ui, rect, &response, row.chosen, theme);
    let padding = sizes.gap.normal + 2.0;
    let left = rect.left() + padding + if is_tool { 0.0 } else { sizes.gap.normal + 2.0 };
    let mut right = rect.right() - padding;
    let (font, tone) = match (is_tool, row.chosen) {
        (true, _) => (theme.strong(), Tone::Strong),
        (false, true) => (theme.name(), Tone::Strong),
        (false, false) => (theme.body(), Tone::Weak),
    };
    let baseline = letters::centred_baseline(rect.center().y, &font);
    if row.chosen {
        // Not by colour alone: a bar at the row's beginning.
        let bar = Rect::from_min_max(
            rect.left_top() + Vec2::new(0.0, 5.0),
            rect.left_bottom() + Vec2::new(3.0, -5.0),
        );
        ui.painter().rect_filled(bar, 1.5, theme.palette.accent);
    }
    if let Some(outline) = row.outline {
        let picture = Rect::from_min_max(
            pos2(right - sizes.row * 1.35, rect.top() + 4.0),
            pos2(right, rect.bottom() - 4.0),
        );
        thumbnail(ui.painter(), outline, picture, theme);
        right = picture.left() - sizes.gap.small;
    } else if !row.value.is_empty() {
        let value = letters::one_line(ui.painter(), row.value, theme.name(), theme.tone(tone), rect.width());
        right = letters::set(ui.painter(), pos2(right, baseline), Align::Max, value).left() - sizes.gap.small;
        if !row.caution.is_empty() {
            let sign = sizes.text.body;
            let at = pos2(right - sign / 2.0, rect.center().y);
            glyphs::caution(ui.painter(), at, sign, theme.tone(Tone::Caution));
            right -= sign + sizes.gap.small;
        }
    }
    let name = letters::one_line(ui.painter(), row.name, font, theme.tone(tone), right - left);
    let cut = name.elided;
    letters::set(ui.painter(), pos2(left, baseline), Align::Min, name);
    if cut { response.on_hover_text(row.name) } else { response }
}

/// A field to search in, named `label`; a cross empties it, as does Esc.
pub fn search_field(ui: &mut Ui, text: &mut String, label: &str, theme: &Theme) -> Response {
    let sizes = theme.sizes;
    let (rect, _) = ui.allocate_exact_size(Vec2::new(ui.available_width(), sizes.row + 4.0), Sense::hover());
    let id = ui.scope_id().with(("search", label));
    let focused = ui.memory(|m| m.has_focus(id));
    let frame = if focused { Stroke::new(1.5, theme.palette.focus) } else { theme.hairline() };
    ui.painter().rect(rect, theme.corner(), theme.surface(Surface::Field), frame, StrokeKind::Inside);
    let sign = sizes.text.strong;
    let side = rect.height();
    glyphs::magnifier(
        ui.painter(),
        pos2(rect.left() + side / 2.0, rect.center().y),
        sign,
        theme.tone(Tone::Weak),
    );
    let inner = Rect::from_min_max(rect.min + Vec2::new(side - 2.0, 0.0), rect.max - Vec2::new(side, 0.0));
    let mut inside = ui.new_child(UiBuilder::new().max_rect(inner));
    let hint = egui::RichText::new(label).color(theme.tone(Tone::Weak)).font(theme.body());
    let output = TextEdit::singleline(text)
        .id(id)
        .hint_text(hint)
        .font(theme.body())
        .frame(Frame::NONE)
        .margin(Margin::ZERO)
        .align(egui::Align2::LEFT_CENTER)
        .min_size(inner.size())
        .desired_width(inner.width())
        .char_limit(120)
        .show(&mut inside);
    let response = output.response.response.clone().accessible_name(label);
    if response.lost_focus() && ui.input(|i| i.key_pressed(egui::Key::Escape)) {
        text.clear();
    }
    if !text.is_empty() {
        let cross_rect =
            Rect::from_center_size(pos2(rect.right() - side / 2.0, rect.center().y), Vec2::splat(side - 8.0));
        let clear = ui.interact(cross_rect, id.with("clear"), Sense::click());
        clear.widget_info(|| WidgetInfo::labeled(Role::Button, true, "Clear the search"));
        if clear.hovered() || clear.has_focus() {
            ui.painter().rect_filled(
                cross_rect,
                CornerRadius::same(sizes.radius.small as u8),
                theme.surface(Surface::Hover),
            );
        }
        glyphs::cross(ui.painter(), cross_rect.center(), sign, theme.tone(Tone::Weak));
        if clear.clicked() {
            text.clear();
        }
    }
    response
}
