//! What a worn wheel and a shorter tool do to a setting: the bevel against the wheel's diameter, the setting table,
//! and the log of diameters and lengths.

mod curve;
mod logged;

use bevelbench_geometry::math::Kind;
use bevelbench_notebook::{
    answer::{
        bench::Unanswered,
        wear::{Drift, Wear, WearPoint, WearRow, drift, found_again},
    },
    paper::wear_table::{STEP_MM, wear_csv},
    quantity::Units,
    saved::{Bench, KeptBy, SettingEntry},
    words::{
        drift_words, left_words, not_found_again_words, not_worn_words, signed_degrees, unanswered_words,
    },
};
use egui::Ui;

use crate::{
    model::{appearance::Tone, session::Session},
    pages::keep::{
        no_answer_words,
        sheet::{Column, Line, caption, choice, heading, note, row, sheet, table},
        words_alone,
    },
    toolkit::{
        theme::Theme,
        widgets::{Emphasis, button, caution_line, typed_field},
    },
};

/// What the part keeps from frame to frame.
#[derive(Debug, Default)]
pub(super) struct WearState {
    cached: Option<WearCache>,
    form: logged::Form,
    /// What was last done here, and the revision it speaks of.
    message: Option<(u64, Tone, String)>,
}

/// What is shown, kept until the session changes.
#[derive(Debug)]
struct WearCache {
    revision: u64,
    wear: Result<Wear, Unanswered>,
    curves: curve::Curves,
    rows: Vec<WearRow>,
    drift: Option<Drift>,
}

/// The part of the page.
pub(super) fn wear_part(
    ui: &mut Ui,
    session: &mut Session,
    state: &mut WearState,
    units: Units,
    theme: &Theme,
) {
    let Some(current) = session.current().cloned() else {
        words_alone(ui, &no_answer_words(session, units), theme);
        return;
    };
    make(session, state, &current);
    sheet(ui, "wear", theme, |ui| {
        head(ui, session, state, &current, units, theme);
        if let Some(cached) = &state.cached {
            match &cached.wear {
                Err(why) => {
                    let words = unanswered_words(why, &|mm| units.length(mm)).together();
                    caution_line(ui, &words, Tone::Bad, theme);
                }
                Ok(wear) => body(ui, wear, cached, units, theme),
            }
        }
        logged::log_of_wheel(ui, session, state, &current, units, theme);
        logged::log_of_tool(ui, session, state, &current, units, theme);
    });
}

fn make(session: &Session, state: &mut WearState, current: &SettingEntry) {
    let revision = session.revision();
    if state.cached.as_ref().is_some_and(|cached| cached.revision == revision) {
        return;
    }
    let bench = session.bench();
    let wear = Wear::of(bench, current);
    let (curves, rows) = match &wear {
        Ok(wear) if wear.hardly_wears().is_none() => (curve::Curves::of(wear), wear.table(STEP_MM)),
        _ => (curve::Curves::default(), Vec::new()),
    };
    state.cached = Some(WearCache { revision, wear, curves, rows, drift: drift(bench, current) });
}

/// How it is kept, the tolerance, how far it has drifted, and what can be done about it.
fn head(
    ui: &mut Ui,
    session: &mut Session,
    state: &mut WearState,
    current: &SettingEntry,
    units: Units,
    theme: &Theme,
) {
    let on_pivot = !matches!(current.support, bevelbench_notebook::saved::SupportSaved::Table { .. });
    row(ui, theme, |ui| {
        caption(ui, "Brought back by", theme);
        let names = kept_names(on_pivot);
        let now = names[usize::from(current.keep.by == KeptBy::GaugeStick && on_pivot)];
        let options = if on_pivot { &names[..] } else { &names[..1] };
        if let Some(index) = choice(ui, "Brought back by", 150.0, now, options.iter().copied(), theme) {
            let by = KeptBy::ALL[index];
            keep_by(session, current, by);
        }
        caption(ui, "Say when the bevel drifts by", theme);
        let tolerance = session.bench().keep.tolerance().degrees();
        let read = |text: &str| units.read(Kind::Angle, text);
        match typed_field(ui, "Tolerance", &units.angle(tolerance), 64.0, &read, theme) {
            Some(Ok(degrees)) if degrees > 0.0 && degrees < 90.0 => {
                session.edit("Change the tolerance", |bench| bench.keep.tolerance_deg = Some(degrees));
            }
            Some(Ok(_)) => state.say(session, Tone::Bad, "A tolerance is more than nothing.".to_owned()),
            Some(Err(why)) => state.say(session, Tone::Bad, why),
            None => {}
        }
    });
    let bench = session.bench();
    let drifted = state.cached.as_ref().and_then(|cached| cached.drift);
    match drifted {
        Some(drift) => {
            let tone = if drift.passes(bench.keep.tolerance()) { Tone::Caution } else { Tone::Good };
            caution_line(ui, &drift_words(&drift), tone, theme);
        }
        None => note(
            ui,
            "It is not known what this setting ground when it was last set true. Saving it, or the button here, notes it.",
            Tone::Weak,
            theme,
        ),
    }
    row(ui, theme, |ui| {
        let again = button(ui, "Find its bevel again", Emphasis::Plain, theme);
        if again.on_hover_text("Move the reach, or the tilt, until the bevel is back, and save it").clicked()
        {
            match found_again(session.bench(), current) {
                Ok(found) => {
                    let name = found.name.clone();
                    let moved = found.further_steps != current.further_steps;
                    let along = if moved { " Its further steps moved along by as much." } else { "" };
                    put(session, format!("Find the bevel of “{name}” again"), &found);
                    state.say(
                        session,
                        Tone::Good,
                        format!("“{name}” grinds its bevel again and is saved.{along}"),
                    );
                }
                Err(why) => {
                    let words = not_found_again_words(&why, &|mm| units.length(mm));
                    state.say(session, Tone::Bad, words);
                }
            }
            ui.ctx().request_repaint();
        }
        let right = button(ui, "It is right as it is", Emphasis::Plain, theme);
        if right.on_hover_text("Drift is counted from what it grinds now").clicked() {
            let found = current.clone().set_true(session.bench());
            put(session, format!("Set “{}” true", found.name), &found);
            state.say(session, Tone::Good, "Drift is counted from here.".to_owned());
            ui.ctx().request_repaint();
        }
    });
    if let Some((revision, tone, words)) = &state.message
        && *revision == session.revision()
    {
        caution_line(ui, words, *tone, theme);
    }
}

const fn kept_names(on_pivot: bool) -> [&'static str; 2] {
    [if on_pivot { "the arm’s scale" } else { "the table’s tilt" }, "a gauge stick"]
}

/// How a setting is kept is changed where it is saved and current at once: it says nothing about what is set.
fn keep_by(session: &mut Session, current: &SettingEntry, by: KeptBy) {
    let id = current.id;
    session.edit("Change how it is brought back", |bench| {
        each_of(bench, id, |entry| entry.keep.by = by);
    });
}

/// A setting as it is now, in hand and saved.
fn put(session: &mut Session, label: String, found: &SettingEntry) {
    session.edit(label, |bench| {
        each_of(bench, found.id, |entry| entry.clone_from(found));
    });
}

fn each_of(bench: &mut Bench, id: bevelbench_notebook::saved::Id, change: impl Fn(&mut SettingEntry)) {
    let all = bench.settings.iter_mut().chain(&mut bench.current);
    all.filter(|entry| entry.id == id).for_each(change);
}

impl WearState {
    fn say(&mut self, session: &Session, tone: Tone, words: String) {
        self.message = Some((session.revision(), tone, words));
    }
}

fn body(ui: &mut Ui, wear: &Wear, cached: &WearCache, units: Units, theme: &Theme) {
    if let Some(why) = wear.hardly_wears() {
        heading(ui, "Wear of the wheel", theme);
        note(ui, why.words(), Tone::Strong, theme);
        return;
    }
    heading(ui, "The bevel as the wheel wears", theme);
    curve::plot(ui, wear, &cached.curves, units, theme);
    note(ui, &left_words(&wear.left(), &|mm| units.length(mm)), Tone::Strong, theme);
    heading(ui, "What to set at each diameter", theme);
    let on_arm = wear.view().gauge_length_mm().is_some();
    let columns = [
        Column::number("Wheel", 0.9),
        Column::number("Left where it is", 1.3),
        Column::number("By gauge stick", 1.3),
        Column::number(if on_arm { "Reach to set" } else { "Tilt to set" }, 1.3),
        Column::number("Gauge length", 1.2),
    ];
    let lines: Vec<Line> = cached.rows.iter().map(|row| line(wear, row, units)).collect();
    table(ui, &columns, &lines, None, theme);
    row(ui, theme, |ui| {
        let copy = button(ui, "Copy as CSV", Emphasis::Plain, theme);
        if copy.on_hover_text("The table, to be put into a spreadsheet").clicked()
            && let Ok(text) = wear_csv(&cached.rows)
        {
            ui.ctx().copy_text(text);
        }
        caption(ui, "On paper: the Print page, “Setting tables”.", theme);
    });
}

fn line(wear: &Wear, row: &WearRow, units: Units) -> Line {
    let now = wear.view().bevel();
    let bevel = |point: &Result<WearPoint, _>| match point {
        Ok(point) => {
            let by = (point.bevel - now).degrees();
            if by.abs() < 0.05 {
                units.angle(point.bevel.degrees())
            } else {
                format!("{}  ({})", units.angle(point.bevel.degrees()), signed_degrees(by))
            }
        }
        Err(_) => "–".to_owned(),
    };
    let set = match &row.found_again {
        Ok(point) if point.gauge_length_mm.is_some() => units.length(point.set),
        Ok(point) => units.angle(point.set),
        Err(why) => not_worn_words(why, &|mm| units.length(mm)),
    };
    let gauge = row.found_again.ok().and_then(|point| point.gauge_length_mm);
    Line::plain(vec![
        units.length(row.diameter_mm),
        bevel(&row.place),
        bevel(&row.gauge_stick),
        set,
        gauge.map_or_else(|| "–".to_owned(), |mm| units.length(mm)),
    ])
}
