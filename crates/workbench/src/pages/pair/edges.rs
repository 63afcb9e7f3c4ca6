//! The curves along both edges: A solid, B dashed.

use bevelbench_notebook::{paper::picture::full_name, quantity::Units};
use egui::{Rect, Sense, Ui, UiBuilder, WidgetInfo, pos2, vec2};

use crate::{
    model::session::Session,
    pages::{
        curves::{Charts, choose_over, line_names},
        pair::PairState,
        tip::{no_shape_words, refusal},
    },
    toolkit::{
        theme::{Surface, Theme},
        widgets::in_the_middle,
    },
};

pub(super) fn edges(
    ui: &mut Ui,
    rect: Rect,
    session: &Session,
    state: &mut PairState,
    units: Units,
    theme: &Theme,
) {
    let Some(cached) = &state.cached else { return };
    let Some(current) = session.current() else { return };
    let gap = theme.sizes.gap;
    ui.painter().rect_filled(rect, 0.0, theme.surface(Surface::Panel));
    let (tone, words) = super::message_of(session, state, None);
    let reported =
        ui.painter().layout(words.clone(), theme.small(), theme.tone(tone), rect.width() - 2.0 * gap.margin);
    let foot = reported.size().y + 2.0 * gap.small;
    let at = pos2(rect.left() + gap.margin, rect.bottom() - foot + gap.small);
    let spot = ui.interact(
        Rect::from_min_size(at, reported.size()),
        ui.scope_id().with("pair cautions"),
        Sense::hover(),
    );
    spot.widget_info(|| WidgetInfo::labeled(egui::Role::Label, true, &words));
    ui.painter().galley(at, reported, theme.tone(tone));
    let above = Rect::from_min_max(rect.min, pos2(rect.right(), rect.bottom() - foot));
    let swept = match &cached.a.shape {
        Ok(swept) => swept,
        Err(why) => {
            refusal(ui, above, &no_shape_words(why, units), theme);
            return;
        }
    };
    let second = cached.b.as_ref().and_then(|b| b.shape.as_ref().ok());
    let inner = above.shrink2(vec2(gap.margin, gap.normal));
    let (mut over, marked) = state.edges;
    let mut pointed = marked;
    ui.scope_builder(UiBuilder::new().max_rect(inner).id_salt("pair edges"), |ui| {
        ui.spacing_mut().item_spacing.y = gap.small;
        ui.horizontal(|ui| choose_over(ui, &mut over, theme));
        let b = match (session.beside(), cached.b.as_ref().map(|b| &b.shape)) {
            (Some(entry), Some(Err(why))) => {
                format!("B  {}: {}", full_name(session.bench(), entry), no_shape_words(why, units).reason)
            }
            (Some(entry), _) => format!("B  {}", full_name(session.bench(), entry)),
            (None, _) => "B  Choose a setting above, or press “B from A”".to_owned(),
        };
        line_names(ui, &[format!("A  {}", full_name(session.bench(), current)), b], theme);
        pointed = Charts { swept, second, over, marked, units, theme }.show(ui);
    });
    if inner.height() < 160.0 {
        in_the_middle(ui, inner, "Make the window taller to see the curves.", theme);
    }
    state.edges = (over, pointed);
}
