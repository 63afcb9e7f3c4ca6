//! The steel, the length and the time that a grind takes, and the gentlest way to it.

mod gentle;
mod upkeep;

use bevelbench_geometry::{
    facet::Regrind,
    math::Kind,
    side::{Job, SideView},
};
use bevelbench_notebook::{
    answer::{
        removal::{
            GroundTip, SHOWN_ACCURACY, TipBefore,
            gentlest::{GrindOption, grind_option},
        },
        swept::{NotSwept, wing_in_tool},
    },
    drawing::{
        Bounds, Drawing,
        side_view::{SideLook, regrind_view},
    },
    quantity::Units,
    saved::{Id, SettingEntry},
    words::{area_text, minutes_text, not_swept_words, regrind_words, unanswered_words, volume_text},
};
use egui::{ComboBox, Id as WidgetId, Rect, Sense, Ui, WidgetInfo, pos2};

use crate::{
    model::{appearance::Tone, session::Session},
    pages::keep::caption,
    toolkit::{
        canvas::{Canvas, Extras, Paper, part_at},
        theme::{Surface, Theme},
        view::View,
        widgets::{ReadOut, caution_line, divider, read_out_row, typed_field},
    },
};

/// The edge bevel that is offered at first, in millimetres.
const FIRST_EDGE_BEVEL_MM: f64 = 1.0;

/// How much of the new facet is ground.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Ground {
    /// From edge to heel.
    Whole,
    /// Only a bevel along the edge, so wide in millimetres.
    EdgeBevel(f64),
}

/// What the part keeps from frame to frame.
#[derive(Debug)]
pub(super) struct CostState {
    canvas: Canvas,
    /// Where the tool comes from: another setting of it, or the facet as it is.
    from: Option<Id>,
    ground: Ground,
    cached: Option<CostCache>,
    gentle: gentle::GentleState,
    upkeep: upkeep::UpkeepState,
    message: Option<(u64, Tone, String)>,
}

impl Default for CostState {
    fn default() -> Self {
        Self {
            canvas: Canvas::new(),
            from: None,
            ground: Ground::Whole,
            cached: None,
            gentle: gentle::GentleState::default(),
            upkeep: upkeep::UpkeepState::default(),
            message: None,
        }
    }
}

/// What follows from the current setting and where its tool comes from.
#[derive(Debug)]
struct CostCache {
    key: (u64, Units, Option<Id>, Ground),
    answer: Result<Cost, String>,
}

/// What a grind costs.
#[derive(Debug)]
struct Cost {
    job: Job,
    view: SideView,
    before: TipBefore,
    regrind: Regrind,
    /// Length lost as it is ground, in millimetres along the tool.
    lost_mm: f64,
    /// Steel in the side plane.
    area_mm2: f64,
    /// Steel over the whole tip; `None` while something is being moved.
    volume_mm3: Option<f64>,
    /// The whole facet, edge to heel and wing to wing, as a way.
    set: Option<GrindOption>,
    drawing: Drawing,
    seen: Bounds,
}

/// The part of the page.
pub(super) fn cost_part(
    ui: &mut Ui,
    session: &mut Session,
    state: &mut CostState,
    units: Units,
    theme: &Theme,
) {
    session.compute();
    let answered = session.outcome().is_some_and(|outcome| outcome.result.is_ok());
    if !answered {
        super::words_alone(ui, &super::no_answer_words(session, units), theme);
        return;
    }
    make(session, state, units);
    let rect = ui.available_rect_before_wrap();
    let high = (rect.height() * 0.4).max(140.0).min(rect.height());
    let above = Rect::from_min_max(rect.min, pos2(rect.right(), rect.top() + high));
    let below = Rect::from_min_max(pos2(rect.left(), above.bottom() + 1.0), rect.max);
    picture(ui, above, state, theme);
    ui.painter().hline(above.x_range(), above.bottom().floor() + 0.5, theme.hairline());
    super::under(ui, below, "cost", theme, |ui| body(ui, session, state, units, theme));
}

fn make(session: &Session, state: &mut CostState, units: Units) {
    let key = (session.revision(), units, state.from, state.ground);
    let moving = session.history().is_open();
    let fresh = state.cached.as_ref().is_some_and(|cached| {
        cached.key == key
            && (moving
                || cached.answer.as_ref().is_ok_and(|cost| cost.volume_mm3.is_some())
                || cached.answer.is_err())
    });
    if !fresh {
        state.cached =
            Some(CostCache { key, answer: cost(session, state.from, state.ground, moving, units) });
    }
}

/// Works the cost out; while something is moved, only what the side plane tells.
fn cost(
    session: &Session,
    from: Option<Id>,
    ground: Ground,
    moving: bool,
    units: Units,
) -> Result<Cost, String> {
    let length = |mm: f64| units.length(mm);
    let nothing = || super::no_answer_words(session, units);
    let current = session.current().ok_or_else(nothing)?;
    let (job, view) =
        session.outcome().and_then(|o| o.job.zip(o.result.as_ref().ok().copied())).ok_or_else(nothing)?;
    let not_swept = |why: NotSwept| not_swept_words(&why, &length).together();
    let swing = current.swing.as_ref();
    let before = match from.and_then(|id| session.bench().setting(id)) {
        Some(entry) => {
            let answered = session.bench().answer(entry);
            let (job, view) = answered.map_err(|why| unanswered_words(&why, &length).together())?;
            TipBefore::ground_by(&job, &view, entry).map_err(not_swept)?
        }
        None => TipBefore::as_it_is(&job, &view, swing)
            .ok_or_else(|| UNKNOWN_FACET.to_owned())?
            .map_err(not_swept)?,
    };
    let relief = current.relief_if_any(&job, &view);
    let relief = relief.as_ref();
    let regrind = before.regrind(&job, &view, relief);
    let fraction = job.setting.foreshortening();
    let lost_square_mm = match ground {
        Ground::Whole => regrind.length_lost_mm(),
        Ground::EdgeBevel(width) => {
            regrind.length_lost_for_width_mm(width).unwrap_or_else(|| regrind.length_lost_mm())
        }
    };
    let area_mm2 = regrind.removed_mm2(lost_square_mm);
    let lost_mm = lost_square_mm / fraction;
    let volume_mm3 = if moving {
        None
    } else {
        let to = GroundTip::of(&job, &view, swing, relief).map_err(not_swept)?;
        Some(before.tip().removed_by(&to, lost_mm, SHOWN_ACCURACY).mm3)
    };
    let set =
        if moving { None } else { grind_option(&job, &view, swing, &before, None, SHOWN_ACCURACY).ok() };
    let wing = wing_in_tool(&job, &view, swing);
    let fine = |mm: f64| units.fine(mm);
    let look = SideLook { wing: &wing, ..SideLook::new(&length, &fine) };
    let (drawing, seen) = regrind_view(&job, &regrind, lost_square_mm, &look);
    Ok(Cost { job, view, before, regrind, lost_mm, area_mm2, volume_mm3, set, drawing, seen })
}

const UNKNOWN_FACET: &str = "The facet as it is is not known: put its bevel, width and hollow in on the Tool page, or choose above which setting ground it.";

fn picture(ui: &Ui, rect: Rect, state: &mut CostState, theme: &Theme) {
    let response = ui.interact(rect, WidgetId::unique("cost picture"), Sense::hover());
    response.widget_info(|| {
        WidgetInfo::labeled(egui::Role::Canvas, true, "The steel to be taken, from the side")
    });
    let Some(CostCache { key, answer: Ok(cost) }) = &state.cached else {
        ui.painter().rect_filled(rect, 0.0, theme.surface(Surface::Canvas));
        return;
    };
    let view = View::fit(cost.seen, rect, 14.0);
    let hovered = response.hover_pos().and_then(|at| part_at(&cost.drawing, &view, at, theme.sizes.hit));
    let extras = Extras { paper: Paper::Grid, hovered, under_texts: &[] };
    // Other choices on the page make another drawing of the same revision.
    let variant = match key.3 {
        Ground::Whole => 0,
        Ground::EdgeBevel(width) => 1 + (width * 1000.0) as u64,
    };
    let revision = key.0.wrapping_mul(1 << 24) ^ variant ^ (key.2.map_or(0, |id| id.0.wrapping_add(1)) << 16);
    state.canvas.paint(ui.painter(), &cost.drawing, revision, &view, theme, extras);
    if let Some(title) = hovered.and_then(|part| cost.drawing.title_of(part)) {
        response.on_hover_text_at_pointer(title);
    }
}

fn body(ui: &mut Ui, session: &mut Session, state: &mut CostState, units: Units, theme: &Theme) {
    let Some(current) = session.current().cloned() else { return };
    choices(ui, session, state, &current, units, theme);
    let Some(cached) = &state.cached else { return };
    match &cached.answer {
        Err(why) => {
            caution_line(ui, why, Tone::Caution, theme);
        }
        Ok(cost) => {
            figures(ui, session, &current, cost, units, theme);
            caution_line(ui, &regrind_words(&cost.regrind, &|mm| units.length(mm)), Tone::Weak, theme);
            if state.from.is_none() && current.swing.is_some() {
                caption(
                    ui,
                    "The wings are taken to have been ground as the setting in hand would, at the bevel the facet has now.",
                    theme,
                );
            }
            divider(ui, theme);
            upkeep::rate(ui, session, &mut state.upkeep, &current, cost.volume_mm3, theme);
            divider(ui, theme);
            upkeep::life(ui, session, &mut state.upkeep, &current, cost.lost_mm, units, theme);
            if let Some(set) = cost.set {
                divider(ui, theme);
                let from = (cost.job, cost.view, cost.before.clone());
                gentle::gentle(
                    ui,
                    session,
                    &mut state.gentle,
                    (&from.0, &from.1, &from.2),
                    &set,
                    units,
                    theme,
                );
            }
        }
    }
    if let Some((_, tone, words)) = state.message.as_ref().filter(|(at, ..)| *at == session.revision()) {
        caution_line(ui, words, *tone, theme);
    }
}

/// Where the tool comes from, and how much of the facet is ground.
fn choices(
    ui: &mut Ui,
    session: &Session,
    state: &mut CostState,
    current: &SettingEntry,
    units: Units,
    theme: &Theme,
) {
    let bench = session.bench();
    // Another tool's setting is no beginning.
    state.from = state.from.filter(|id| bench.setting(*id).is_some_and(|entry| entry.tool == current.tool));
    ui.horizontal_wrapped(|ui| {
        caption(ui, "From", theme);
        let as_it_is = "the facet as it is";
        let text = state.from.and_then(|id| bench.setting(id)).map_or(as_it_is, |entry| entry.name.as_str());
        let combo =
            ComboBox::from_id_salt("from").width(180.0).truncate().selected_text(text).show_ui(ui, |ui| {
                ui.selectable_value(&mut state.from, None, as_it_is);
                for entry in bench.settings_of(current.tool) {
                    ui.selectable_value(&mut state.from, Some(entry.id), entry.name.as_str());
                }
            });
        combo
            .response
            .widget_info(|| WidgetInfo::labeled(egui::Role::ComboBox, true, format!("From: {text}")));
        caption(ui, "grind", theme);
        let whole = state.ground == Ground::Whole;
        if ui.radio(whole, "the whole facet").clicked() {
            state.ground = Ground::Whole;
        }
        if ui.radio(!whole, "an edge bevel of").clicked() && whole {
            state.ground = Ground::EdgeBevel(FIRST_EDGE_BEVEL_MM);
        }
        let width = match state.ground {
            Ground::EdgeBevel(width) => width,
            Ground::Whole => FIRST_EDGE_BEVEL_MM,
        };
        let read = |text: &str| units.read(Kind::Length, text);
        ui.add_enabled_ui(!whole, |ui| {
            match typed_field(ui, "Width of the edge bevel", &units.length(width), 80.0, &read, theme) {
                Some(Ok(mm)) if mm > 0.0 => state.ground = Ground::EdgeBevel(mm),
                Some(Ok(_)) => {
                    state.message = Some((
                        session.revision(),
                        Tone::Bad,
                        "An edge bevel is wider than nothing.".to_owned(),
                    ));
                }
                Some(Err(why)) => state.message = Some((session.revision(), Tone::Bad, why)),
                None => {}
            }
        });
    });
}

/// Steel, length, minutes, passes.
fn figures(ui: &mut Ui, session: &Session, current: &SettingEntry, cost: &Cost, units: Units, theme: &Theme) {
    let dash = || "–".to_owned();
    let timed = session
        .bench()
        .rig(current.rig)
        .and_then(|rig| rig.wheel(current.wheel))
        .and_then(|wheel| wheel.keep.timed_grind)
        .and_then(|timed| timed.build());
    let volume = cost.volume_mm3;
    let area = area_text(cost.area_mm2);
    let tip = volume.map_or_else(dash, volume_text);
    let lost = if cost.lost_mm < 5e-4 { "none".to_owned() } else { units.fine(cost.lost_mm) };
    let minutes =
        timed.zip(volume).map_or_else(dash, |(timed, volume)| minutes_text(timed.minutes_for(volume)));
    let passes = timed
        .zip(volume)
        .and_then(|(timed, volume)| timed.passes_for(volume))
        .map_or_else(dash, |passes| format!("{}", passes.ceil()));
    let one = |caption, number, tooltip| ReadOut {
        caption,
        number,
        unit: "",
        tooltip,
        tone: Tone::Strong,
        leading: false,
    };
    let all = [
        one("Steel removed, side", area.as_str(), "In the side plane through the middle of the tool"),
        one("Steel removed, tip", tip.as_str(), "Over the whole tip, wing to wing"),
        one("Length lost", lost.as_str(), "How far the edge goes back along the tool"),
        one(
            "Time",
            minutes.as_str(),
            "By one grind that was timed on this wheel; nothing is assumed without one",
        ),
        one("Passes", passes.as_str(), "By the passes of the timed grind, if they were counted"),
    ];
    read_out_row(ui, &all, theme);
}
