//! The log of a wheel's diameters and of a tool's lengths.

use bevelbench_geometry::math::Kind;
use bevelbench_notebook::{
    answer::{
        logbook::{
            date_of,
            wear::{log_diameter, log_length},
        },
        wear::Wear,
    },
    quantity::Units,
    saved::{AbrasiveSaved, Bench, DiameterNote, Id, LengthNote, MeasuredBy, SettingEntry, SupportSaved},
    words::{not_logged_words, signed_degrees},
};
use egui::Ui;

use crate::{
    model::{appearance::Tone, session::Session},
    pages::keep::{
        change_wheel,
        sheet::{Column, Line, caption, choice, heading, note, number, row, table, tick, today, words_field},
        wear::WearState,
    },
    toolkit::{
        theme::Theme,
        widgets::{Emphasis, button},
    },
};

/// What is being put in.
#[derive(Debug)]
pub(super) struct Form {
    read_mm: Option<f64>,
    by: MeasuredBy,
    dressed: bool,
    date: String,
    length_mm: Option<f64>,
}

impl Default for Form {
    fn default() -> Self {
        Self { read_mm: None, by: MeasuredBy::Rule, dressed: false, date: today(), length_mm: None }
    }
}

/// The log of the wheel in use.
pub(super) fn log_of_wheel(
    ui: &mut Ui,
    session: &mut Session,
    state: &mut WearState,
    current: &SettingEntry,
    units: Units,
    theme: &Theme,
) {
    let rig = session.bench().rig(current.rig);
    let Some(wheel) = rig.and_then(|rig| rig.wheel(current.wheel)).cloned() else { return };
    if wheel.abrasive == AbrasiveSaved::Flat {
        return;
    }
    heading(ui, &format!("Diameters of the {}", wheel.name.to_lowercase()), theme);
    row(ui, theme, |ui| {
        let names = MeasuredBy::ALL.map(MeasuredBy::words);
        let now = state.form.by.words();
        if let Some(index) = choice(ui, "Measured with", 140.0, now, names.into_iter(), theme) {
            state.form.by = MeasuredBy::ALL[index];
        }
        let label = match state.form.by {
            MeasuredBy::Rule => "Diameter measured",
            MeasuredBy::Tape => "Round the rim",
        };
        caption(ui, label, theme);
        match number(ui, label, state.form.read_mm, Kind::Length, units, theme) {
            Some(Ok(value)) => state.form.read_mm = value,
            Some(Err(why)) => state.say(session, Tone::Bad, why),
            None => {}
        }
        caption(ui, "on", theme);
        words_field(ui, "Date", &mut state.form.date, 108.0, "2026-01-31", theme);
        if wheel.abrasive == AbrasiveSaved::Friable {
            tick(ui, &mut state.form.dressed, "just dressed", theme);
        }
        if button(ui, "Log the diameter", Emphasis::Plain, theme).clicked() {
            log_wheel(session, state, current, units);
            ui.ctx().request_repaint();
        }
    });
    if let (MeasuredBy::Tape, Some(read)) = (state.form.by, state.form.read_mm) {
        let words = format!("That is {} across.", units.length(MeasuredBy::Tape.diameter_mm(read)));
        note(ui, &words, Tone::Weak, theme);
    }
    if wheel.keep.diameters.is_empty() {
        note(ui, "Nothing logged yet.", Tone::Weak, theme);
        return;
    }
    let columns = [
        Column::words("Date", 1.0),
        Column::number("Diameter", 0.8),
        Column::words("", 0.1),
        Column::words("How", 1.8),
    ];
    let lines: Vec<Line> = wheel
        .keep
        .diameters
        .iter()
        .rev()
        .map(|entry| {
            let how = if entry.dressed {
                format!("{}, dressed", entry.by.words())
            } else {
                entry.by.words().to_owned()
            };
            Line::plain(vec![entry.date.clone(), units.length(entry.diameter_mm), String::new(), how])
        })
        .collect();
    // What was set by an entry stays when that is struck out.
    if let Some(index) = table(ui, &columns, &lines, Some("Strike out"), theme) {
        let place = wheel.keep.diameters.len() - 1 - index;
        change_wheel(session, "Strike out a diameter", |wheel| {
            if place < wheel.keep.diameters.len() {
                wheel.keep.diameters.remove(place);
            }
        });
        state.say(session, Tone::Weak, "Struck out; undo brings it back.".to_owned());
        ui.ctx().request_repaint();
    }
}

fn log_wheel(session: &mut Session, state: &mut WearState, current: &SettingEntry, units: Units) {
    let Some(read_mm) = state.form.read_mm else {
        state.say(session, Tone::Bad, "Put in what was measured.".to_owned());
        return;
    };
    let Some(date) = sound_date(session, state) else { return };
    let note = DiameterNote {
        date,
        diameter_mm: state.form.by.diameter_mm(read_mm),
        by: state.form.by,
        dressed: state.form.dressed,
    };
    let diameter = units.length(note.diameter_mm);
    // Tried on a copy first, so that a refusal is no undo step.
    let mut tried: Bench = session.bench().clone();
    match log_diameter(&mut tried, current.rig, current.wheel, note) {
        Ok(followed) => {
            session.edit(format!("Log a diameter of {diameter}"), |bench| *bench = tried);
            state.form.read_mm = None;
            state.form.dressed = false;
            let words = match followed {
                0 => format!("Logged: {diameter}. Every setting on this wheel has moved with it."),
                1 => format!("Logged: {diameter}. One setting that is kept by gauge stick followed."),
                count => {
                    format!("Logged: {diameter}. {count} settings that are kept by gauge stick followed.")
                }
            };
            state.say(session, Tone::Good, words);
        }
        Err(why) => state.say(session, Tone::Bad, not_logged_words(&why, &|mm| units.length(mm))),
    }
}

fn sound_date(session: &Session, state: &mut WearState) -> Option<String> {
    let date = date_of(&state.form.date).map(|date| date.to_string());
    if date.is_none() {
        state.say(session, Tone::Bad, "Write the date as year, month, day: 2026-01-31.".to_owned());
    }
    date
}

/// The log of the tool's length, and what lost length does.
pub(super) fn log_of_tool(
    ui: &mut Ui,
    session: &mut Session,
    state: &mut WearState,
    current: &SettingEntry,
    units: Units,
    theme: &Theme,
) {
    let Some(tool) = session.bench().tool(current.tool).cloned() else { return };
    heading(ui, &format!("Length of the {}", tool.name.to_lowercase()), theme);
    let in_cup = matches!(current.support, SupportSaved::Handle { .. });
    if in_cup {
        let reported = state
            .cached
            .as_ref()
            .and_then(|cached| cached.wear.as_ref().ok())
            .map(|wear| shorter(wear, units));
        note(ui, &reported.unwrap_or_default(), Tone::Strong, theme);
    } else {
        note(
            ui,
            "A holder or a table takes the tool by its edge’s place: its length is no part of this setting.",
            Tone::Weak,
            theme,
        );
    }
    row(ui, theme, |ui| {
        caption(ui, "Edge to handle end", theme);
        match number(ui, "Length measured", state.form.length_mm, Kind::Length, units, theme) {
            Some(Ok(value)) => state.form.length_mm = value,
            Some(Err(why)) => state.say(session, Tone::Bad, why),
            None => {}
        }
        caption(ui, &format!("(now {})", units.length(tool.overall_length_mm)), theme);
        if button(ui, "Log the length", Emphasis::Plain, theme).clicked() {
            log_tool(session, state, current.tool, units);
            ui.ctx().request_repaint();
        }
    });
    let columns = [
        Column::words("Date", 1.0),
        Column::number("Length", 0.8),
        Column::words("", 0.1),
        Column::words("", 2.4),
    ];
    let lines: Vec<Line> = tool
        .keep
        .lengths
        .iter()
        .rev()
        .map(|entry| {
            let cells = vec![entry.date.clone(), units.length(entry.length_mm), String::new(), String::new()];
            Line::plain(cells)
        })
        .collect();
    if !lines.is_empty() {
        table(ui, &columns, &lines, None, theme);
    }
}

/// What lost length does beside what the wheel does.
fn shorter(wear: &Wear, units: Units) -> String {
    let now = wear.view().bevel();
    let by = |bevel: Option<bevelbench_geometry::math::Angle>| {
        bevel.map_or_else(|| "no answer".to_owned(), |bevel| signed_degrees((bevel - now).degrees()))
    };
    let parts: Vec<String> = [1.0, 2.0, 5.0]
        .into_iter()
        .map(|lost| format!("{} shorter {}", units.length(lost), by(wear.with_tool_shorter(lost))))
        .collect();
    let wheel =
        wear.at(wear.diameter_mm() - 2.0, bevelbench_notebook::answer::wear::WearStrategy::Place).ok();
    format!(
        "The handle’s end stands in the cup, so the tool’s own length counts: {}. For comparison, 2 mm less wheel diameter: {}.",
        parts.join(", "),
        by(wheel.map(|point| point.bevel))
    )
}

fn log_tool(session: &mut Session, state: &mut WearState, tool: Id, units: Units) {
    let Some(length_mm) = state.form.length_mm else {
        state.say(session, Tone::Bad, "Put in what was measured.".to_owned());
        return;
    };
    let Some(date) = sound_date(session, state) else { return };
    let mut tried: Bench = session.bench().clone();
    match log_length(&mut tried, tool, LengthNote { date, length_mm }) {
        Ok(()) => {
            let length = units.length(length_mm);
            session.edit(format!("Log a length of {length}"), |bench| *bench = tried);
            state.form.length_mm = None;
            state.say(session, Tone::Good, format!("Logged: {length}."));
        }
        Err(why) => state.say(session, Tone::Bad, not_logged_words(&why, &|mm| units.length(mm))),
    }
}
