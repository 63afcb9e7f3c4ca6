//! What comes close to what over the whole swing.

mod guard;

use bevelbench_geometry::{
    side::Job,
    space::{Body, Clearance, Guard, RestGap, Surroundings, SwingAt},
};
use bevelbench_notebook::{
    answer::{surroundings::surroundings, swept::wing_in_tool},
    drawing::{
        Bounds, Drawing, Standing,
        clearance_view::{SeenFrom, front_bounds, gap_view, solids_view},
        side_view::{SideLook, focus, side_view},
    },
    quantity::Units,
    words::{body_name, clearance_words, obstacle_name, rest_gap_words, swing_at_words},
};
use egui::{Id as WidgetId, Rect, RichText, Sense, Ui, WidgetInfo, pos2};

use crate::{
    model::{appearance::Tone, session::Session},
    toolkit::{
        canvas::{Canvas, Extras, Paper},
        theme::Theme,
        view::View,
        widgets::{RackRow, caution_line, divider, rack_row, section},
    },
};

/// A gap below this is worth a word, in millimetres (an assumption of this program: a hand holds no closer).
const CLOSE_MM: f64 = 5.0;

/// What the part keeps from frame to frame.
#[derive(Debug, Default)]
pub(super) struct ClearancesState {
    canvases: [Canvas; 2],
    /// Which pair is shown; the nearest one without.
    chosen: Option<(Body, bevelbench_geometry::space::Obstacle)>,
    cached: Option<ClearanceCache>,
    guard: guard::GuardState,
}

/// What is near to what, kept until the session changes.
#[derive(Debug)]
struct ClearanceCache {
    key: (u64, Units),
    job: Job,
    all: Surroundings,
    gaps: Vec<Clearance>,
    guard: Option<Guard>,
    guard_unfit: Option<String>,
    bench: Drawing,
    seen: Option<Bounds>,
    /// The drawings of the pair that is shown, by its place in the list.
    shown: Option<(usize, [Drawing; 2], Option<Bounds>)>,
}

/// The part of the page.
pub(super) fn clearances_part(
    ui: &mut Ui,
    session: &mut Session,
    state: &mut ClearancesState,
    units: Units,
    theme: &Theme,
) {
    session.compute();
    if !make(session, state, units) {
        super::words_alone(ui, &super::no_answer_words(session, units), theme);
        return;
    }
    let rect = ui.available_rect_before_wrap();
    let high = (rect.height() * 0.48).max(150.0).min(rect.height());
    let above = Rect::from_min_max(rect.min, pos2(rect.right(), rect.top() + high));
    let below = Rect::from_min_max(pos2(rect.left(), above.bottom() + 1.0), rect.max);
    pictures(ui, above, state, units, theme);
    ui.painter().hline(above.x_range(), above.bottom().floor() + 0.5, theme.hairline());
    super::under(ui, below, "clearances", theme, |ui| body(ui, session, state, units, theme));
}

/// Works everything out anew if the session changed and nothing is being moved; whether there is something to show.
fn make(session: &Session, state: &mut ClearancesState, units: Units) -> bool {
    let key = (session.revision(), units);
    if state.cached.as_ref().is_some_and(|cached| cached.key == key || session.history().is_open()) {
        return session.outcome().is_some_and(|outcome| outcome.result.is_ok());
    }
    state.cached = None;
    let Some(current) = session.current() else { return false };
    let Some((job, view)) = session.outcome().and_then(|o| o.job.zip(o.result.as_ref().ok().copied())) else {
        return false;
    };
    let length = |mm: f64| units.length(mm);
    let saved = session
        .bench()
        .rig(current.rig)
        .and_then(|rig| rig.wheel(current.wheel))
        .and_then(|wheel| wheel.keep.guard);
    let built = saved.map_or(Ok(None), |saved| saved.hood());
    let (guard, guard_unfit) = match built {
        Ok(guard) => (guard, None),
        Err(dimension_error) => (
            None,
            Some(bevelbench_notebook::words::dimension_error_words(&dimension_error, &length).together()),
        ),
    };
    let all = surroundings(&job, &view, current.swing.as_ref(), guard.as_ref());
    let gaps = all.clearances();
    let wing = wing_in_tool(&job, &view, current.swing.as_ref());
    let relief = current.relief_if_any(&job, &view);
    let fine = |mm: f64| units.fine(mm);
    let look =
        SideLook { wing: &wing, relief: relief.as_ref(), dimensions: false, ..SideLook::new(&length, &fine) };
    let bench = side_view(&job, &view, &look);
    let seen = focus(&job, Some(&view));
    state.cached = Some(ClearanceCache { key, job, all, gaps, guard, guard_unfit, bench, seen, shown: None });
    true
}

/// The place in the list of the pair that is shown.
fn shown_index(state: &ClearancesState) -> usize {
    let gaps = state.cached.as_ref().map(|cached| cached.gaps.as_slice()).unwrap_or_default();
    let of = |gap: &Clearance| Some((gap.body, gap.obstacle)) == state.chosen;
    gaps.iter().position(of).unwrap_or(0)
}

fn pictures(ui: &Ui, rect: Rect, state: &mut ClearancesState, units: Units, theme: &Theme) {
    let index = shown_index(state);
    let Some(cached) = &mut state.cached else { return };
    let Some(gap) = cached.gaps.get(index).copied() else { return };
    if cached.shown.as_ref().is_none_or(|(of, ..)| *of != index) {
        let text = if gap.gap_mm > 0.0 { units.length(gap.gap_mm) } else { "they meet".to_owned() };
        let mut side = cached.bench.clone();
        let rolled = !matches!(gap.at, SwingAt::Still);
        if rolled {
            let solids = solids_view(&cached.all, gap.at, SeenFrom::Side, cached.guard.as_ref());
            side.overlay(solids.standing(Standing::Second));
        } else if let Some(guard) = &cached.guard {
            side.overlay(
                solids_view(&cached.all, SwingAt::Still, SeenFrom::Side, Some(guard))
                    .standing(Standing::Ghost),
            );
        }
        side.overlay(gap_view(&gap, SeenFrom::Side, text.clone()));
        let mut front = solids_view(&cached.all, gap.at, SeenFrom::Front, cached.guard.as_ref());
        front.overlay(gap_view(&gap, SeenFrom::Front, text));
        cached.shown = Some((index, [side, front], front_bounds(&cached.all, gap.at)));
    }
    let Some((_, drawings, front_seen)) = &cached.shown else { return };
    let split = rect.left() + (rect.width() * 0.64).floor();
    let areas = [
        Rect::from_min_max(rect.min, pos2(split, rect.bottom())),
        Rect::from_min_max(pos2(split, rect.top()), rect.max),
    ];
    let names = ["The bench from the side", "The wheel and the tool from the operator’s place"];
    let mut near = cached.seen;
    for end in [gap.on_body_in_bench, gap.on_obstacle_in_bench] {
        let point = Bounds { min: [end.x, end.z], max: [end.x, end.z] };
        near = near.map(|seen| seen.union(point));
    }
    let revision = cached.key.0.wrapping_mul(64) + index as u64;
    for (i, seen) in [near, *front_seen].into_iter().enumerate() {
        let area = areas[i];
        let response = ui.interact(area, WidgetId::unique(names[i]), Sense::hover());
        response.widget_info(|| WidgetInfo::labeled(egui::Role::Canvas, true, names[i]));
        let Some(seen) = seen else { continue };
        let view = View::fit(
            seen,
            area,
            egui::epaint::MarginF32 { left: 18.0, right: 18.0, top: 30.0, bottom: 18.0 },
        );
        let extras = Extras { paper: Paper::Grid, hovered: None, under_texts: &[] };
        state.canvases[i].paint(ui.painter(), &drawings[i], revision, &view, theme, extras);
    }
    ui.painter().vline(split.floor() + 0.5, rect.y_range(), theme.hairline());
    let words = theme.tone(Tone::Weak);
    for (area, caption) in areas.into_iter().zip(["from the side", "from the operator’s place"]) {
        let at = area.left_top() + egui::vec2(10.0, 8.0);
        ui.painter().text(at, egui::Align2::LEFT_TOP, caption, theme.small(), words);
    }
}

fn body(ui: &mut Ui, session: &mut Session, state: &mut ClearancesState, units: Units, theme: &Theme) {
    let index = shown_index(state);
    let Some(cached) = &state.cached else { return };
    let length = |mm: f64| units.length(mm);
    if let Some(nearest) = cached.gaps.first() {
        let tone = if nearest.gap_mm <= 0.0 {
            Tone::Bad
        } else if nearest.gap_mm < CLOSE_MM {
            Tone::Caution
        } else {
            Tone::Good
        };
        caution_line(ui, &format!("Nearest: {}", clearance_words(nearest, &length)), tone, theme);
    }
    let mut chosen = None;
    for (i, gap) in cached.gaps.iter().enumerate() {
        let name = format!("{} to {}", body_name(gap.body), obstacle_name(gap.obstacle));
        let far = if gap.gap_mm > 0.0 { length(gap.gap_mm) } else { "meet".to_owned() };
        let value = format!("{far} · {}", swing_at_words(gap.at, &length));
        let caution = if gap.gap_mm < CLOSE_MM { "close" } else { "" };
        let row = RackRow { name: &name, value: &value, outline: None, chosen: i == index, caution };
        if rack_row(ui, row, theme).clicked() {
            chosen = Some((gap.body, gap.obstacle));
        }
    }
    let remark = |ui: &mut Ui, words: &str| {
        ui.label(RichText::new(words).font(theme.small()).color(theme.tone(Tone::Weak)));
    };
    remark(
        ui,
        "The blade touches the wheel at its facet, as it should. The strut counts as a line, the holder as wide as it is high, the handle as 30 mm thick, the arm as a bar under the cup that begins at its least reach.",
    );
    divider(ui, theme);
    section(ui, "Table", "", theme);
    let widest = cached.job.rest_gap_most_mm;
    match RestGap::of(&cached.job, widest) {
        None => remark(
            ui,
            "The tool hangs on a pivot: there is no gap to set. Keep fingers off the front of the wheel.",
        ),
        Some(gap) => {
            let bad = gap.now_mm <= 0.0 || gap.now_mm > widest;
            let mut tone = if bad { Tone::Caution } else { Tone::Good };
            for words in rest_gap_words(&gap, widest, &length) {
                caution_line(ui, &words, tone, theme);
                tone = Tone::Weak;
            }
            let limits = session.bench().keep.limits().0;
            remark(
                ui,
                &format!("At most {} ({limits}; see Safety). Local rules come first.", length(widest)),
            );
        }
    }
    divider(ui, theme);
    let dimension_error = cached.guard_unfit.clone();
    guard::guard(ui, session, &mut state.guard, dimension_error.as_deref(), units, theme);
    if let Some(chosen) = chosen {
        state.chosen = Some(chosen);
    }
}
