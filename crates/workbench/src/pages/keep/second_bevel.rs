//! A second facet behind the first: what is moved for it, how wide the first is left, and what that does.

mod picture;
mod wanted;

use bevelbench_geometry::{
    facet::{FurtherFacet, Inside, Relief},
    math::{Kind, Quantity},
    side::{Job, SideView},
};
use bevelbench_notebook::{
    answer::removal::{SHOWN_ACCURACY, removed_by_steps},
    quantity::{Units, format_angle},
    saved::{
        FurtherStepSaved, MovedSaved,
        table::{self, OnBench, settable},
    },
    words::{area_text, bevel_name, inside_words, moved_words, relief_refusal_words, volume_text},
};
use egui::{Align, ComboBox, Layout, Rect, RichText, Ui, WidgetInfo, pos2};

use crate::{
    model::{appearance::Tone, session::Session},
    toolkit::{
        canvas::Canvas,
        theme::Theme,
        widgets::{
            Emphasis, ReadOut, Setting, Tick, button, caution_line, divider, read_out_row, setting_row,
        },
    },
};

/// How far the arm is moved in for a first second bevel, in millimetres; the table and the strut by as many degrees.
const FIRST_MOVE: f64 = 12.0;
/// The share of the facet that is left at first.
const FIRST_FRACTION: f64 = 0.35;
/// The inside curve for which the lift is reported at first, in millimetres: an ordinary bowl.
const FIRST_CURVE_MM: f64 = 100.0;
/// No facet is left narrower than this by dragging, in millimetres.
const LEAST_WIDTH_MM: f64 = 0.1;

/// What the part keeps from frame to frame.
#[derive(Debug)]
pub(super) struct SecondBevelState {
    canvas: Canvas,
    cached: Option<ReliefCache>,
    /// The inside curve for which the lift is reported, in millimetres.
    curve_mm: f64,
    /// What was last asked for and not found, and the revision it speaks of.
    message: Option<(u64, Tone, String)>,
    /// Which junction is being dragged.
    drag: Option<usize>,
}

impl Default for SecondBevelState {
    fn default() -> Self {
        Self { canvas: Canvas::new(), cached: None, curve_mm: FIRST_CURVE_MM, message: None, drag: None }
    }
}

/// What follows from the current setting and its steps, kept until either changes.
#[derive(Debug)]
struct ReliefCache {
    key: (u64, Units),
    job: Job,
    view: SideView,
    /// The facets, as far as the steps can be ground.
    relief: Relief,
    /// How many of the steps can be ground.
    ground: usize,
    refused: Option<String>,
    drawing: picture::Picture,
    /// Steel each step takes over the whole tip, in cubic millimetres; worked out when nothing is being moved.
    volumes: Option<Vec<f64>>,
}

/// The part of the page.
pub(super) fn second_bevel_part(
    ui: &mut Ui,
    session: &mut Session,
    state: &mut SecondBevelState,
    units: Units,
    theme: &Theme,
) {
    session.compute();
    if !make(session, state, units) {
        super::words_alone(ui, &super::no_answer_words(session, units), theme);
        return;
    }
    let rect = ui.available_rect_before_wrap();
    let high = (rect.height() * 0.44).max(150.0).min(rect.height());
    let picture = Rect::from_min_max(rect.min, pos2(rect.right(), rect.top() + high));
    picture::picture(ui, picture, session, state, units, theme);
    ui.painter().hline(picture.x_range(), picture.bottom().floor() + 0.5, theme.hairline());
    let below = Rect::from_min_max(pos2(rect.left(), picture.bottom() + 1.0), rect.max);
    super::under(ui, below, "second bevel", theme, |ui| body(ui, session, state, units, theme));
}

/// Works everything out anew if the session changed; whether the setting has an answer.
fn make(session: &Session, state: &mut SecondBevelState, units: Units) -> bool {
    let key = (session.revision(), units);
    let moving = session.history().is_open();
    let stale =
        state.cached.as_ref().is_none_or(|cached| cached.key != key || (cached.volumes.is_none() && !moving));
    if !stale {
        return true;
    }
    state.cached = None;
    let Some(current) = session.current() else { return false };
    let Some((job, view)) = session.outcome().and_then(|o| o.job.zip(o.result.as_ref().ok().copied())) else {
        return false;
    };
    // As far as the steps go: one that is refused is reported, and those before it stay to be seen.
    let mut ground = current.further_steps.len();
    let mut refused = None;
    let relief = loop {
        let mut shorter = current.clone();
        shorter.further_steps.truncate(ground);
        match shorter.relief(&job, &view) {
            Ok(relief) => break relief,
            Err(why) => {
                refused = Some(relief_refusal_words(&why, &|mm| units.length(mm)).together());
                // A step is counted from 1; without any there is nothing to refuse.
                ground = why.step().saturating_sub(1).min(ground.saturating_sub(1));
            }
        }
    };
    let volumes = (!moving).then(|| {
        removed_by_steps(&job, &view, current.swing.as_ref(), &relief, SHOWN_ACCURACY)
            .map(|volumes| volumes.iter().map(|volume| volume.mm3).collect())
            .unwrap_or_default()
    });
    let drawing = picture::Picture::of(&job, &view, current.swing.as_ref(), &relief, units);
    state.cached = Some(ReliefCache { key, job, view, relief, ground, refused, drawing, volumes });
    true
}

fn body(ui: &mut Ui, session: &mut Session, state: &mut SecondBevelState, units: Units, theme: &Theme) {
    let Some(cached) = &state.cached else { return };
    let Some(current) = session.current().cloned() else { return };
    if current.further_steps.is_empty() {
        let words = "A second bevel takes the heel’s corner off: move the arm in (or draw the tool out, or lower the table) and grind until the facet at the edge is as narrow as you want it. The edge and its bevel stay as they are.";
        ui.label(RichText::new(words).font(theme.body()).color(theme.tone(Tone::Strong)));
    } else {
        figures(ui, cached, state.curve_mm, theme, units);
        caution_line(ui, &inside_words(cached.relief.inside(), &|mm| units.length(mm)), Tone::Weak, theme);
    }
    if let Some(why) = &cached.refused {
        caution_line(ui, why, Tone::Bad, theme);
    }
    ui.add_space(theme.sizes.gap.small);
    let (ground, facets) = (cached.ground, cached.relief.facets().to_vec());
    for index in 0..current.further_steps.len() {
        divider(ui, theme);
        step_rows(ui, session, index, (index < ground).then(|| &facets[..]), units, theme);
    }
    if !current.further_steps.is_empty() {
        divider(ui, theme);
        wanted::wanted(ui, session, state, units, theme);
    }
    ui.add_space(theme.sizes.gap.normal);
    ui.horizontal(|ui| {
        let name = bevel_name(current.further_steps.len() + 1).to_lowercase();
        if button(ui, &format!("Add a {name}"), Emphasis::Main, theme).clicked() {
            add(session, state, units);
        }
    });
    if let Some((_, tone, words)) = state.message.as_ref().filter(|(at, ..)| *at == session.revision()) {
        caution_line(ui, words, *tone, theme);
    }
}

/// Relief, inside curve, lift and steel, side by side.
fn figures(ui: &mut Ui, cached: &ReliefCache, curve_mm: f64, theme: &Theme, units: Units) {
    let relief = &cached.relief;
    let dash = || "–".to_owned();
    let angle = relief.relief(1).map_or_else(dash, |angle| units.angle(angle.degrees()));
    let inside = match relief.inside() {
        Inside::NoLimit => dash(),
        Inside::Tightest { radius_mm, .. } => units.length(radius_mm),
        Inside::Hidden { .. } => "none".to_owned(),
    };
    let lift = relief.lift(curve_mm).map_or_else(dash, |lift| format_angle(lift.degrees(), 2));
    let alone = Relief::lift_of_single_facet(&cached.view, curve_mm)
        .map_or_else(dash, |lift| format_angle(lift.degrees(), 2));
    let area = area_text(relief.removed_mm2());
    let volume = match &cached.volumes {
        Some(volumes) if !volumes.is_empty() => volume_text(volumes.iter().sum()),
        _ => dash(),
    };
    let lift_tip = format!(
        "The angle between the first facet and the wood inside a curve of {}; a single facet would lift the edge by {alone}",
        units.length(curve_mm)
    );
    let one = |caption, number, tooltip| ReadOut {
        caption,
        number,
        unit: "",
        tooltip,
        tone: Tone::Strong,
        leading: false,
    };
    let all = [
        one(
            "Relief angle",
            angle.as_str(),
            "By how much the second facet reads keener on a protractor than the first",
        ),
        one("Tightest inside curve", inside.as_str(), "Radius of the circle through edge, junction and heel"),
        one("Lift of the edge", lift.as_str(), lift_tip.as_str()),
        one(
            "Steel removed, side",
            area.as_str(),
            "What the further steps take, in the side plane through the middle of the tool",
        ),
        one("Steel removed, tip", volume.as_str(), "What the further steps take over the whole tip"),
    ];
    read_out_row(ui, &all, theme);
}

/// What a further step may move on this support.
fn movable(session: &Session) -> Vec<Quantity> {
    table::further().filter(|free| free.get(session.bench()).is_some()).collect()
}

/// Where something stands when a step begins: as the last step before it that moved it left it.
fn stands_at(session: &Session, index: usize, free: Quantity) -> Option<f64> {
    let current = session.current()?;
    let before = current.further_steps.get(..index)?.iter().rev().find(|step| step.moved.quantity() == free);
    before.map(|step| step.moved.value()).or_else(|| free.get(session.bench()))
}

fn change_step(
    session: &mut Session,
    label: String,
    index: usize,
    change: impl FnOnce(&mut FurtherStepSaved),
) {
    session.edit(label, |bench| {
        if let Some(step) = bench.current.as_mut().and_then(|current| current.further_steps.get_mut(index)) {
            change(step);
        }
    });
}

/// The rows of one step: what is moved, to where, and the width that is left.
fn step_rows(
    ui: &mut Ui,
    session: &mut Session,
    index: usize,
    facets: Option<&[FurtherFacet]>,
    units: Units,
    theme: &Theme,
) {
    let Some(step) = session.current().and_then(|current| current.further_steps.get(index)).copied() else {
        return;
    };
    let name = bevel_name(index + 1);
    let free = step.moved.quantity();
    let from = stands_at(session, index, free).unwrap_or(step.moved.value());
    ui.push_id(("step", index), |ui| {
        let mut removed = false;
        ui.horizontal(|ui| {
            ui.label(RichText::new(name).font(theme.strong()).color(theme.tone(Tone::Strong)));
            ui.label(RichText::new("by the").font(theme.body()).color(theme.tone(Tone::Weak)));
            let mut chosen = free;
            let text = free.label().to_lowercase();
            let combo = ComboBox::from_id_salt("moved").width(110.0).selected_text(&text).show_ui(ui, |ui| {
                for each in movable(session) {
                    ui.selectable_value(&mut chosen, each, each.label().to_lowercase());
                }
            });
            combo.response.widget_info(|| {
                WidgetInfo::labeled(egui::Role::ComboBox, true, format!("{name} by: {text}"))
            });
            if chosen != free
                && let Some(moved) = first_move(session, index, chosen)
            {
                change_step(
                    session,
                    format!("Grind the {} by the {}", name.to_lowercase(), chosen.label().to_lowercase()),
                    index,
                    |step| {
                        step.moved = moved;
                    },
                );
            }
            let words = moved_words(free, from, step.moved.value(), &|mm| units.length(mm));
            ui.label(RichText::new(words).font(theme.body()).color(theme.tone(Tone::Weak)));
            ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                removed = button(ui, "Remove", Emphasis::Plain, theme)
                    .on_hover_text(format!("Takes the {} and what follows it away", name.to_lowercase()))
                    .clicked();
            });
        });
        if removed {
            session.edit(format!("Remove the {}", name.to_lowercase()), |bench| {
                if let Some(current) = bench.current.as_mut() {
                    current.further_steps.truncate(index);
                }
            });
            return;
        }
        ui.columns(2, |columns| {
            moved_row(&mut columns[0], session, index, &step, units, theme);
            width_row(&mut columns[1], session, index, &step, facets, units, theme);
        });
    });
}

fn moved_row(
    ui: &mut Ui,
    session: &mut Session,
    index: usize,
    step: &FurtherStepSaved,
    units: Units,
    theme: &Theme,
) {
    let dial = step.moved.quantity();
    let (least, most) = dial.range(session.bench()).unwrap_or((0.0, 500.0));
    let row_name = format!("{}: {}", bevel_name(index + 1), dial.label().to_lowercase());
    let stops = dial.stops(session.bench());
    let mut ticks: Vec<Tick<'_>> =
        stops.iter().map(|stop| Tick { value: stop.value, name: stop.kind.words() }).collect();
    if let Some(from) = stands_at(session, index, step.moved.quantity()) {
        ticks.push(Tick { value: from, name: "the bevel before it" });
    }
    let show = |value: f64| units.show(dial.kind(), value);
    let read = |text: &str| units.read(dial.kind(), text);
    let row = Setting {
        tooltip: dial.how(),
        step: dial.step(),
        ticks: &ticks,
        show: &show,
        read: &read,
        note: None,
        ..Setting::new(&row_name, step.moved.value(), least..=most)
    };
    let gesture = setting_row(ui, &row, theme).gesture;
    session.gesture(format!("Set {}", row_name.to_lowercase()), &gesture, |bench, value| {
        let value = settable(value);
        if let Some(step) = bench.current.as_mut().and_then(|current| current.further_steps.get_mut(index)) {
            step.moved = step.moved.moved_to(value);
        }
    });
}

fn width_row(
    ui: &mut Ui,
    session: &mut Session,
    index: usize,
    step: &FurtherStepSaved,
    facets: Option<&[FurtherFacet]>,
    units: Units,
    theme: &Theme,
) {
    let row_name = width_name(index);
    let most = facets
        .and_then(|facets| facets.get(index))
        .map_or(step.left_width_mm * 2.0, |facet| facet.view.facet.width_mm);
    let show = |value: f64| units.length(value);
    let read = |text: &str| units.read(Kind::Length, text);
    let row = Setting {
        tooltip: "The chord from where the facet begins to the junction: what is left of it when the next bevel is ground. Measure it with a rule across the facet.",
        step: 0.1,
        show: &show,
        read: &read,
        note: None,
        ..Setting::new(row_name, step.left_width_mm, LEAST_WIDTH_MM..=most.max(2.0 * LEAST_WIDTH_MM))
    };
    let gesture = setting_row(ui, &row, theme).gesture;
    session.gesture(format!("Set {}", row_name.to_lowercase()), &gesture, |bench, value| {
        set_width(bench, index, value);
    });
}

/// What the width left by a step is called.
const fn width_name(index: usize) -> &'static str {
    match index {
        0 => "Width of the first facet",
        1 => "Width of the second facet",
        2 => "Width of the third facet",
        _ => "Width of the next facet",
    }
}

fn set_width(bench: &mut bevelbench_notebook::saved::Bench, index: usize, width_mm: f64) {
    if let Some(step) = bench.current.as_mut().and_then(|current| current.further_steps.get_mut(index)) {
        step.left_width_mm = settable_width(width_mm);
    }
}

/// A width as it would be left: to a tenth, and some.
fn settable_width(width_mm: f64) -> f64 {
    settable(width_mm).max(LEAST_WIDTH_MM)
}

/// A first place for what a step moves: towards keener, within its travel.
fn first_move(session: &Session, index: usize, free: Quantity) -> Option<MovedSaved> {
    let now = stands_at(session, index, free)?;
    let (least, most) = free.range(session.bench())?;
    let way = if free == Quantity::Projection { FIRST_MOVE } else { -FIRST_MOVE };
    MovedSaved::to(free, settable((now + way).clamp(least, most)))
}

/// Adds a step that can be ground: what is moved first is the arm, or the table.
fn add(session: &mut Session, state: &mut SecondBevelState, units: Units) {
    let Some(cached) = &state.cached else { return };
    let Some(current) = session.current().cloned() else { return };
    let index = current.further_steps.len();
    let Some(last) = cached.relief.facets().last() else { return };
    let left_width_mm = settable_width(last.width_mm * FIRST_FRACTION);
    let mut why = None;
    for free in movable(session) {
        let Some(full) = first_move(session, index, free) else { continue };
        let from = stands_at(session, index, free).unwrap_or(full.value());
        // A smaller move where the whole of it has no answer.
        for fraction in [1.0, 0.6, 0.35, 0.2] {
            let moved = full.moved_to(settable(from + (full.value() - from) * fraction));
            let mut tried = current.clone();
            tried.further_steps.push(FurtherStepSaved { moved, left_width_mm });
            match tried.relief(&cached.job, &cached.view) {
                Ok(_) => {
                    let name = bevel_name(index + 1).to_lowercase();
                    session.edit(format!("Add a {name}"), |bench| bench.current = Some(tried));
                    return;
                }
                Err(refused) => why = why.or(Some(refused)),
            }
        }
    }
    let words = why.map_or_else(
        || "There is nothing to move on this support.".to_owned(),
        |why| relief_refusal_words(&why, &|mm| units.length(mm)).together(),
    );
    state.message = Some((session.revision(), Tone::Bad, words));
}
