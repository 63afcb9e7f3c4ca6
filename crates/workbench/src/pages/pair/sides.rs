//! A and B from the side: two drawings to one scale, or one laid over the other, with the handles of A.

use bevelbench_notebook::{drawing::Bounds, paper::picture::full_name, quantity::Units};
use egui::{Id as WidgetId, Rect, Sense, Ui, UiBuilder, WidgetInfo, pos2, vec2};

use crate::{
    model::session::Session,
    pages::{
        pair::{PairState, plate::plate},
        side::handles,
    },
    toolkit::{
        canvas::{Extras, Paper, part_at},
        theme::Theme,
        view::View,
        widgets::in_the_middle,
    },
};

/// Where A and B stand.
pub(super) fn halves(rect: Rect, over: bool) -> [Rect; 2] {
    if over {
        return [rect, rect];
    }
    let half = (rect.width() / 2.0).floor();
    [
        Rect::from_min_size(rect.min, vec2(half, rect.height())),
        Rect::from_min_max(pos2(rect.left() + half, rect.top()), rect.max),
    ]
}

/// The names of A and B over their pictures.
pub(super) fn plates(ui: &Ui, rect: Rect, session: &Session, over: bool, theme: &Theme) {
    let half = halves(rect, false);
    let names = [session.current(), session.beside()];
    for (index, entry) in names.into_iter().enumerate() {
        let Some(entry) = entry else { continue };
        let at = pos2(half[index].left() + 14.0, rect.top() + 12.0);
        // Over one picture both stand in one line.
        let room = half[index].width() - if over { 40.0 } else { 60.0 };
        plate(ui, at, index == 1, &full_name(session.bench(), entry), room, theme);
    }
}

#[allow(clippy::too_many_lines, reason = "the two pictures share their view, their light and their handles")]
pub(super) fn pictures(
    ui: &mut Ui,
    rect: Rect,
    session: &mut Session,
    state: &mut PairState,
    units: Units,
    theme: &Theme,
) {
    let Some(cached) = &mut state.cached else { return };
    if state.over {
        cached.lay_over(units);
    }
    let cached = &*cached;
    let [left, right] = halves(rect, state.over);
    let (Some(current), beside) = (session.current(), session.beside()) else { return };
    let key = (rect.size(), state.over, current.id.0, beside.map_or(0, |entry| entry.id.0));
    let seen: Option<Bounds> = [Some(&cached.a), cached.b.as_ref()]
        .into_iter()
        .flatten()
        .filter_map(|shown| shown.focus)
        .reduce(Bounds::union);
    let margins = egui::epaint::MarginF32 { left: 18.0, right: 18.0, top: 40.0, bottom: 34.0 };
    let fitted =
        || seen.map_or_else(|| View::new(left, [0.0, 0.0], 1.0), |seen| View::fit(seen, left, margins));
    let held = state.view.filter(|_| state.fitted_to == Some(key) || session.history().is_open());
    if held.is_none() {
        state.fitted_to = Some(key);
    }
    let mut view = held.map_or_else(fitted, |view| view.in_rect(left));
    let mut hovered = None;
    for (index, area) in [left, right].into_iter().enumerate() {
        if index == 1 && (state.over || cached.b.is_none()) {
            break;
        }
        let name = match (state.over, index) {
            (true, _) => "A and B laid over each other",
            (_, 0) => "Side view of A",
            _ => "Side view of B",
        };
        let response = ui.interact(area, WidgetId::unique(("pair", index)), Sense::click_and_drag());
        response.widget_info(|| WidgetInfo::labeled(egui::Role::Canvas, true, name));
        if response.dragged() {
            view = view.pan(response.drag_delta());
        }
        if let Some(pointer) = response.hover_pos() {
            let scroll = ui.input(|i| i.smooth_scroll_delta().y);
            let factor = f64::from(scroll / 300.0).exp() * f64::from(ui.input(egui::InputState::zoom_delta));
            if (factor - 1.0).abs() > 1e-6 {
                view = view.in_rect(area).zoom_about(pointer, factor).in_rect(left);
            }
            hovered = Some((index, pointer));
        }
        if response.double_clicked() {
            view = fitted();
        }
    }
    state.view = Some(view);
    let drawing_of = |index: usize| match (&cached.over, index, &cached.b) {
        (Some(over), ..) if state.over => over,
        (_, 1, Some(b)) => &b.drawing,
        _ => &cached.a.drawing,
    };
    for (index, area) in [left, right].into_iter().enumerate() {
        if index == 1 && state.over {
            break;
        }
        if index == 1 && cached.b.is_none() {
            in_the_middle(
                ui,
                area,
                "Choose a setting as B above, or press “B from A” to hold A as it is now and then move A on.",
                theme,
            );
            break;
        }
        let view = view.in_rect(area);
        let drawing = drawing_of(index);
        let part = hovered
            .filter(|(of, _)| *of == index)
            .and_then(|(_, at)| part_at(drawing, &view, at, theme.sizes.hit * 0.6));
        // The same part is lit in both.
        let lit = part.or_else(|| {
            hovered.and_then(|(of, at)| {
                let other = drawing_of(of);
                let area = if of == 0 { left } else { right };
                part_at(other, &view.in_rect(area), at, theme.sizes.hit * 0.6)
            })
        });
        let extras = Extras { paper: Paper::Grid, hovered: lit, under_texts: &[] };
        // The drawing laid over is another one under the same revision.
        let revision = session.revision() * 2 + u64::from(state.over);
        state.canvases[index].paint(ui.painter(), drawing, revision, &view, theme, extras);
    }
    if !state.over {
        ui.painter().vline(right.left().floor() + 0.5, rect.y_range(), theme.hairline());
    }
    plates(ui, rect, session, state.over, theme);
    let inner = left.shrink(6.0);
    let mut clipped = ui.new_child(UiBuilder::new().max_rect(left));
    clipped.set_clip_rect(left);
    handles(&mut clipped, session, &mut state.side, &view, inner, units, theme);
}
