//! A dialog in front of the window.

use egui::{Color32, Context, CornerRadius, Frame, Id, Margin, Modal, RichText, Shadow, Stroke, Ui};

use crate::{
    model::appearance::Tone,
    toolkit::theme::{Surface, Theme, Weight},
};

/// Shows a dialog with a title; `content` paints what is in it and its buttons. Returns what `content` returned and whether
/// the dialog was asked to close (Esc, or a press outside).
pub fn dialog<R>(
    ctx: &Context,
    id: Id,
    title: &str,
    width: f32,
    theme: &Theme,
    content: impl FnOnce(&mut Ui) -> R,
) -> (R, bool) {
    let sizes = theme.sizes;
    let frame = Frame {
        inner_margin: Margin::same((sizes.gap.margin * 1.4) as i8),
        outer_margin: Margin::ZERO,
        corner_radius: CornerRadius::same(sizes.radius.large as u8),
        fill: theme.surface(Surface::Raised),
        stroke: Stroke::new(sizes.line, theme.palette.hairline),
        shadow: Shadow { offset: [0, 10], blur: 36, spread: 0, color: theme.palette.shadow },
    };
    let shown = Modal::new(id).frame(frame).backdrop_color(scrim(theme)).show(ctx, |ui| {
        ui.set_width(width.min(ctx.content_rect().width() - 80.0));
        let font = theme.font(Weight::SemiBold, sizes.text.title);
        ui.label(RichText::new(title).font(font).color(theme.tone(Tone::Strong)));
        ui.add_space(sizes.gap.normal);
        content(ui)
    });
    let close = shown.should_close();
    (shown.inner, close)
}

fn scrim(theme: &Theme) -> Color32 {
    theme.palette.scrim
}
