//! Applies the theme to egui, for the widgets that are its own: menus, tooltips, text fields, scroll bars.

use egui::{
    Color32, CornerRadius, Margin, Shadow, Stroke, TextStyle, Vec2,
    style::{HandleShape, ScrollStyle, WidgetVisuals},
};

use crate::{
    model::appearance::{Mode, Tone},
    toolkit::theme::{Surface, Theme, fonts},
};

pub(super) fn apply(theme: &Theme, ctx: &egui::Context) {
    ctx.set_fonts(fonts::definitions());
    let which = match theme.mode {
        Mode::Light => egui::Theme::Light,
        Mode::Dark => egui::Theme::Dark,
    };
    ctx.set_theme(which);
    let mut style = (*ctx.style_of(which)).clone();
    texts(theme, &mut style);
    spacing(theme, &mut style);
    visuals(theme, &mut style.visuals);
    style.interaction.selectable_labels = false;
    style.interaction.tooltip_delay = 0.35;
    // Colour fades of pressed widgets would each cost a dozen frames.
    style.animation_time = 0.0;
    ctx.set_style_of(which, style);
}

fn texts(theme: &Theme, style: &mut egui::Style) {
    style.text_styles = [
        (TextStyle::Small, theme.small()),
        (TextStyle::Body, theme.body()),
        (TextStyle::Button, theme.name()),
        (TextStyle::Heading, theme.font(super::Weight::SemiBold, theme.sizes.text.title)),
        (TextStyle::Monospace, theme.body()),
    ]
    .into();
}

fn spacing(theme: &Theme, style: &mut egui::Style) {
    let gap = theme.sizes.gap;
    let space = &mut style.spacing;
    space.item_spacing = Vec2::new(gap.normal, gap.small);
    space.button_padding = Vec2::new(gap.wide, gap.small + 1.0);
    space.menu_margin = Margin::same(gap.small as i8 + 2);
    space.window_margin = Margin::same(gap.margin as i8);
    space.interact_size = Vec2::new(theme.sizes.row, theme.sizes.row);
    space.tooltip_width = 320.0;
    space.scroll = ScrollStyle { bar_width: 8.0, ..ScrollStyle::floating() };
}

fn visuals(theme: &Theme, visuals: &mut egui::Visuals) {
    let palette = &theme.palette;
    visuals.dark_mode = theme.mode == Mode::Dark;
    visuals.override_text_color = None;
    visuals.weak_text_color = Some(theme.tone(Tone::Weak));
    visuals.hyperlink_color = theme.tone(Tone::Link);
    visuals.warn_fg_color = theme.tone(Tone::Caution);
    visuals.error_fg_color = theme.tone(Tone::Bad);
    visuals.panel_fill = theme.surface(Surface::Panel);
    visuals.window_fill = theme.surface(Surface::Raised);
    visuals.window_stroke = Stroke::new(theme.sizes.line, palette.hairline);
    visuals.window_corner_radius = CornerRadius::same(theme.sizes.radius.large as u8);
    visuals.menu_corner_radius = CornerRadius::same(theme.sizes.radius.normal as u8);
    visuals.extreme_bg_color = theme.surface(Surface::Field);
    visuals.text_edit_bg_color = Some(theme.surface(Surface::Field));
    visuals.faint_bg_color = theme.surface(Surface::Hover);
    visuals.code_bg_color = theme.surface(Surface::Field);
    visuals.selection.bg_fill = super::colour::mix(theme.surface(Surface::Selected), palette.accent, 0.25);
    visuals.selection.stroke = Stroke::new(theme.sizes.line, theme.tone(Tone::Strong));
    visuals.text_cursor.stroke = Stroke::new(1.5, palette.accent);
    // A blinking cursor asks for a new picture twice a second for as long as a field is being typed in.
    visuals.text_cursor.blink = false;
    let shadow = Shadow { offset: [0, 4], blur: 16, spread: 0, color: palette.shadow };
    visuals.popup_shadow = shadow;
    visuals.window_shadow = Shadow { offset: [0, 8], blur: 28, ..shadow };
    visuals.slider_trailing_fill = true;
    visuals.handle_shape = HandleShape::Circle;
    visuals.disabled_alpha = theme.disabled;
    visuals.striped = false;
    let look = |fill: Color32, frame: Color32, text: Color32| WidgetVisuals {
        bg_fill: fill,
        weak_bg_fill: fill,
        bg_stroke: Stroke::new(theme.sizes.line, frame),
        corner_radius: theme.corner(),
        fg_stroke: Stroke::new(theme.sizes.line, text),
        expansion: 0.0,
    };
    let strong = theme.tone(Tone::Strong);
    let widgets = &mut visuals.widgets;
    widgets.noninteractive = look(theme.surface(Surface::Panel), palette.hairline, strong);
    // An empty box to be ticked is nothing but its frame.
    widgets.inactive = look(theme.surface(Surface::Field), palette.frame, strong);
    widgets.hovered = look(theme.surface(Surface::Hover), palette.neutral, strong);
    widgets.active = look(theme.surface(Surface::Selected), palette.accent, strong);
    widgets.open = look(theme.surface(Surface::Selected), palette.frame, strong);
}
