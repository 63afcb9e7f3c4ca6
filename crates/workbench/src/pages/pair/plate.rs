//! Names of A and B over their pictures: a letter in a disc, ringed solid for A and dashed for B.

use egui::{Align2, Pos2, Rect, Stroke, Ui, Vec2, pos2, vec2};

use crate::{
    model::appearance::Tone,
    toolkit::theme::{Surface, Theme, Weight},
};

/// The letter of a setting in a disc, ringed solid for A and dashed for B, and its name.
pub(crate) fn plate(ui: &Ui, at: Pos2, second: bool, name: &str, room: f32, theme: &Theme) {
    let size = theme.sizes.text.strong * 1.6;
    let centre = at + Vec2::splat(size / 2.0);
    let painter = ui.painter();
    let galley = painter.layout_no_wrap(
        short(ui, name, room - size - 10.0, theme),
        theme.name(),
        theme.tone(Tone::Strong),
    );
    let back = Rect::from_min_size(at - vec2(4.0, 3.0), vec2(size + galley.size().x + 16.0, size + 6.0));
    painter.rect_filled(back, theme.corner(), theme.palette.pill);
    letter(ui, centre, size, second, theme);
    let text = pos2(at.x + size + 6.0, centre.y - galley.size().y / 2.0);
    painter.galley(text, galley, theme.tone(Tone::Strong));
}

fn short(ui: &Ui, name: &str, room: f32, theme: &Theme) -> String {
    let width = |text: &str| {
        ui.painter().layout_no_wrap(text.to_owned(), theme.name(), theme.tone(Tone::Strong)).size().x
    };
    if width(name) <= room {
        return name.to_owned();
    }
    let mut cut: String = name.to_owned();
    while cut.pop().is_some() {
        let text = format!("{}…", cut.trim_end());
        if width(&text) <= room {
            return text;
        }
    }
    String::new()
}

/// A or B in its disc.
pub(crate) fn letter(ui: &Ui, centre: Pos2, size: f32, second: bool, theme: &Theme) {
    let painter = ui.painter();
    let radius = size / 2.0 - 1.0;
    let font = theme.font(Weight::SemiBold, size * 0.58);
    if second {
        painter.circle_filled(centre, radius, theme.surface(Surface::Raised));
        let ring: Vec<Pos2> = (0..=48)
            .map(|i| centre + radius * Vec2::angled(std::f32::consts::TAU * i as f32 / 48.0))
            .collect();
        let stroke = Stroke::new(1.8 * theme.sizes.shaft, theme.palette.accent);
        painter.extend(egui::Shape::dashed_line(&ring, stroke, size * 0.17, size * 0.11));
        painter.text(centre, Align2::CENTER_CENTER, "B", font, theme.tone(Tone::Link));
    } else {
        painter.circle_filled(centre, radius, theme.palette.accent);
        painter.text(centre, Align2::CENTER_CENTER, "A", font, theme.palette.on_accent);
    }
}
