//! What stands where there is nothing to show yet: a sentence that says what to do.

use egui::{Rect, Role, Sense, Ui, WidgetInfo};

use crate::{model::appearance::Tone, toolkit::theme::Theme};

/// A sentence in the middle of an empty place.
pub(crate) fn in_the_middle(ui: &Ui, rect: Rect, words: &str, theme: &Theme) {
    let tone = theme.tone(Tone::Weak);
    let room = (rect.width() * 0.8).clamp(80.0, 460.0 * theme.sizes.shaft);
    let galley = ui.painter().layout(words.to_owned(), theme.body(), tone, room);
    let place = Rect::from_center_size(rect.center(), galley.size());
    let response = ui.interact(place, ui.scope_id().with(("empty", words)), Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Label, true, words));
    ui.painter().galley(place.min.round(), galley, tone);
}
