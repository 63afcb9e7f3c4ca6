//! How long a grind takes, by one that was timed, and how long the tool lasts.

use bevelbench_geometry::math::Kind;
use bevelbench_notebook::{
    answer::upkeep::regrinds_a_year,
    quantity::{Units, format_number, parse_number},
    saved::{LifeSaved, SettingEntry, TimedGrindSaved},
    words::{life_words, minutes_text, volume_text},
};
use egui::Ui;

use crate::{
    model::{appearance::Tone, session::Session},
    pages::keep::{caption, change_wheel},
    toolkit::{
        theme::Theme,
        widgets::{Emphasis, button, caution_line, section, typed_field},
    },
};

/// What is typed and not yet kept.
#[derive(Debug, Default)]
pub(super) struct UpkeepState {
    minutes: Option<f64>,
    passes: Option<f64>,
    refused: Option<String>,
}

/// A number that may be empty.
fn optional(text: &str, read: &dyn Fn(&str) -> Result<f64, String>) -> Result<Option<f64>, String> {
    if text.trim().is_empty() { Ok(None) } else { read(text).map(Some) }
}

/// A field whose number may be taken out again. Gives back the change.
fn field(
    ui: &mut Ui,
    label: &str,
    now: Option<f64>,
    show: &dyn Fn(f64) -> String,
    read: &dyn Fn(&str) -> Result<f64, String>,
    theme: &Theme,
) -> Option<Result<Option<f64>, String>> {
    let shown = now.map_or_else(String::new, show);
    // A field of the common kind reads a number; an empty text stands for none.
    let read = |text: &str| match optional(text, read)? {
        Some(value) if value > 0.0 => Ok(value),
        Some(_) => Err(format!("“{label}” is greater than nothing, or empty.")),
        None => Ok(f64::NAN),
    };
    typed_field(ui, label, &shown, 84.0, &read, theme)
        .map(|typed| typed.map(|value| (!value.is_nan()).then_some(value)))
}

fn plain(text: &str) -> Result<f64, String> {
    parse_number(text).map_err(|error| error.to_string())
}

/// The rate: one timed grind, kept with the wheel.
pub(super) fn rate(
    ui: &mut Ui,
    session: &mut Session,
    state: &mut UpkeepState,
    current: &SettingEntry,
    volume_mm3: Option<f64>,
    theme: &Theme,
) {
    section(ui, "How long it takes", "", theme);
    let wheel = session.bench().rig(current.rig).and_then(|rig| rig.wheel(current.wheel));
    let Some(wheel) = wheel.cloned() else { return };
    match wheel.keep.timed_grind {
        Some(timed) => {
            let passes = timed
                .passes
                .map_or_else(String::new, |passes| format!(", {} passes", format_number(passes, 0)));
            let words = format!(
                "Timed on “{}”: {} in {}{passes}.",
                wheel.name,
                volume_text(timed.removed_mm3),
                minutes_text(timed.minutes)
            );
            ui.horizontal(|ui| {
                caption(ui, &words, theme);
                if button(ui, "Forget it", Emphasis::Plain, theme).clicked() {
                    change_wheel(session, "Forget the timed grind", |wheel| wheel.keep.timed_grind = None);
                }
            });
        }
        None => caption(
            ui,
            "No rate is assumed. Grind what is shown once, with a clock, and put the minutes in (and the passes, if you count them).",
            theme,
        ),
    }
    ui.horizontal_wrapped(|ui| {
        caption(ui, "This grind took", theme);
        let number = |value: f64| format_number(value, 1);
        match field(ui, "Minutes it took", state.minutes, &number, &plain, theme) {
            Some(Ok(minutes)) => (state.minutes, state.refused) = (minutes, None),
            Some(Err(why)) => state.refused = Some(why),
            None => {}
        }
        caption(ui, "minutes, in", theme);
        match field(ui, "Passes it took", state.passes, &number, &plain, theme) {
            Some(Ok(passes)) => (state.passes, state.refused) = (passes, None),
            Some(Err(why)) => state.refused = Some(why),
            None => {}
        }
        caption(ui, "passes", theme);
        let grind = volume_mm3
            .filter(|volume| *volume > 0.0)
            .zip(state.minutes)
            .map(|(removed_mm3, minutes)| TimedGrindSaved { removed_mm3, minutes, passes: state.passes });
        ui.add_enabled_ui(grind.is_some_and(|grind| grind.build().is_some()), |ui| {
            if button(ui, "Keep this rate", Emphasis::Plain, theme).clicked() {
                change_wheel(session, "Time a grind", |wheel| wheel.keep.timed_grind = grind);
                *state = UpkeepState::default();
            }
        });
    });
    if let Some(why) = &state.refused {
        caution_line(ui, why, Tone::Bad, theme);
    }
}

/// Regrinds and years that are left.
pub(super) fn life(
    ui: &mut Ui,
    session: &mut Session,
    state: &mut UpkeepState,
    current: &SettingEntry,
    lost_mm: f64,
    units: Units,
    theme: &Theme,
) {
    section(ui, "How long the tool lasts", "", theme);
    let Some(keep) = session.bench().tool(current.tool).map(|tool| tool.keep.clone()) else { return };
    let life = keep.life;
    let logged = regrinds_a_year(&keep.sharpenings);
    let mut changed: Option<(&str, LifeSaved)> = None;
    let length = |mm: f64| units.length(mm);
    let fine = |mm: f64| units.fine(mm);
    let read = |text: &str| units.read(Kind::Length, text);
    let number = |value: f64| format_number(value, 0);
    ui.horizontal_wrapped(|ui| {
        let mut take = |typed: Option<Result<Option<f64>, String>>,
                        name: &'static str,
                        set: fn(&mut LifeSaved, Option<f64>)| match typed {
            Some(Ok(value)) => {
                let mut next = life;
                set(&mut next, value);
                changed = Some((name, next));
            }
            Some(Err(why)) => state.refused = Some(why),
            None => {}
        };
        caption(ui, "Usable", theme);
        let typed = field(ui, "Usable flute length", life.usable_mm, &length, &read, theme);
        take(typed, "Set the usable length", |life, value| life.usable_mm = value);
        caption(ui, "a regrind takes", theme);
        let typed = field(ui, "Length a regrind takes", life.lost_each_mm, &fine, &read, theme);
        take(typed, "Set what a regrind takes", |life, value| life.lost_each_mm = value);
        caption(ui, "regrinds a year", theme);
        let typed = field(ui, "Regrinds a year", life.regrinds_a_year, &number, &plain, theme);
        take(typed, "Set the regrinds a year", |life, value| life.regrinds_a_year = value);
    });
    if let Some((name, next)) = changed {
        let id = current.tool;
        state.refused = None;
        session.edit(name, |bench| {
            if let Some(tool) = bench.tools.iter_mut().find(|tool| tool.id == id) {
                tool.keep.life = next;
            }
        });
    }
    let lost = (lost_mm > 1e-3).then_some(lost_mm);
    let words = match life.build(lost, logged) {
        Some(life) => life_words(&life, &fine),
        None if life.usable_mm.is_none() => {
            "Put in how much of the flute (or the blade) can still be ground away.".to_owned()
        }
        None => "This grind takes nothing off the length. Put in what an ordinary regrind takes.".to_owned(),
    };
    caption(ui, &words, theme);
    if let (None, Some(logged)) = (life.regrinds_a_year, logged) {
        caption(
            ui,
            &format!("By the log, this tool is sharpened {} times a year.", format_number(logged, 0)),
            theme,
        );
    }
}
