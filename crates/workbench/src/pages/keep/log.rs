//! When each tool was sharpened, what is due by the turner's own interval, and the log as a table for a spreadsheet.

use std::path::{Path, PathBuf};

use bevelbench_notebook::{
    answer::logbook::{Due, csv::log_csv, date_of},
    saved::{Bench, Id, SettingEntry, Sharpening, ToolEntry},
    store,
};
use egui::Ui;

use super::sheet::{Column, Line, caption, heading, note, row, sheet, table, today, words_field};
use crate::{
    model::{appearance::Tone, session::Session},
    toolkit::{
        theme::Theme,
        widgets::{Emphasis, button, caution_line, typed_field},
    },
};

/// What the part keeps from frame to frame.
#[derive(Debug)]
pub(super) struct LogState {
    date: String,
    note: String,
    path: Option<String>,
    message: Option<(u64, Tone, String)>,
}

impl Default for LogState {
    fn default() -> Self {
        Self { date: today(), note: String::new(), path: None, message: None }
    }
}

impl LogState {
    fn say(&mut self, session: &Session, tone: Tone, words: impl Into<String>) {
        self.message = Some((session.revision(), tone, words.into()));
    }
}

/// The part of the page.
pub(super) fn log_part(
    ui: &mut Ui,
    session: &mut Session,
    state: &mut LogState,
    folder: &Path,
    theme: &Theme,
) {
    sheet(ui, "log", theme, |ui| {
        let current = session.current().cloned();
        let tool = current.as_ref().and_then(|current| session.bench().tool(current.tool)).cloned();
        if let (Some(current), Some(tool)) = (&current, &tool) {
            entry(ui, session, state, current, tool, theme);
        } else {
            note(ui, "Take a setting from the rack to log a sharpening.", Tone::Weak, theme);
        }
        if let Some((revision, tone, words)) = &state.message
            && *revision == session.revision()
        {
            caution_line(ui, words, *tone, theme);
        }
        if let Some(tool) = &tool {
            entries(ui, session, state, tool, theme);
        }
        due(ui, session, &state.date, theme);
        export(ui, session, state, folder, theme);
    });
}

/// A sharpening with the current setting.
fn entry(
    ui: &mut Ui,
    session: &mut Session,
    state: &mut LogState,
    current: &SettingEntry,
    tool: &ToolEntry,
    theme: &Theme,
) {
    heading(ui, &tool.name, theme);
    let wheel = session.bench().rig(current.rig).and_then(|rig| rig.wheel(current.wheel));
    let wheel = wheel.map(|wheel| wheel.name.clone()).unwrap_or_default();
    note(ui, &format!("With “{}”, on the {}.", current.name, wheel.to_lowercase()), Tone::Weak, theme);
    row(ui, theme, |ui| {
        caption(ui, "On", theme);
        words_field(ui, "Date", &mut state.date, 108.0, "2026-01-31", theme);
        words_field(ui, "Note", &mut state.note, 250.0, "a note, if you like", theme);
        if button(ui, "Log a sharpening", Emphasis::Main, theme).clicked() {
            match date_of(&state.date) {
                None => state.say(session, Tone::Bad, "Write the date as year, month, day: 2026-01-31."),
                Some(date) => {
                    let entry = Sharpening {
                        date: date.to_string(),
                        setting: current.name.clone(),
                        wheel: wheel.clone(),
                        note: state.note.trim().to_owned(),
                    };
                    let id = tool.id;
                    session.edit(format!("Log a sharpening of “{}”", tool.name), |bench| {
                        change(bench, id, |tool| {
                            let all = &mut tool.keep.sharpenings;
                            let place = all.partition_point(|earlier| earlier.date <= entry.date);
                            all.insert(place, entry);
                        });
                    });
                    state.note.clear();
                    state.say(session, Tone::Good, format!("Logged: “{}”.", tool.name));
                }
            }
            ui.ctx().request_repaint();
        }
    });
    row(ui, theme, |ui| {
        caption(ui, "Sharpen it every so many days (none, if empty)", theme);
        let shown = tool.keep.interval_days.map_or_else(String::new, |days| days.to_string());
        let read = |text: &str| {
            let text = text.trim().trim_end_matches("days").trim();
            if text.is_empty() {
                Ok(0.0)
            } else {
                text.parse::<u16>().map(f64::from).map_err(|_| why_days(text))
            }
        };
        match typed_field(ui, "Interval in days", &shown, 64.0, &read, theme) {
            Some(Ok(days)) => {
                let days = (days >= 1.0).then_some(days as u32);
                let id = tool.id;
                session.edit("Change how often it is sharpened", |bench| {
                    change(bench, id, |tool| tool.keep.interval_days = days);
                });
                ui.ctx().request_repaint();
            }
            Some(Err(why)) => state.say(session, Tone::Bad, why),
            None => {}
        }
    });
}

fn why_days(text: &str) -> String {
    format!("“{text}” is no number of days.")
}

fn change(bench: &mut Bench, id: Id, change: impl FnOnce(&mut ToolEntry)) {
    if let Some(tool) = bench.tools.iter_mut().find(|tool| tool.id == id) {
        change(tool);
    }
}

/// The sharpenings of a tool, the latest first.
fn entries(ui: &mut Ui, session: &mut Session, state: &mut LogState, tool: &ToolEntry, theme: &Theme) {
    if tool.keep.sharpenings.is_empty() {
        note(ui, "It was never logged as sharpened.", Tone::Weak, theme);
        return;
    }
    let columns = [
        Column::words("Date", 0.8),
        Column::words("Setting", 1.5),
        Column::words("Wheel", 1.0),
        Column::words("Note", 2.0),
    ];
    let lines: Vec<Line> = tool
        .keep
        .sharpenings
        .iter()
        .rev()
        .map(|entry| {
            Line::plain(vec![
                entry.date.clone(),
                entry.setting.clone(),
                entry.wheel.clone(),
                entry.note.clone(),
            ])
        })
        .collect();
    if let Some(index) = table(ui, &columns, &lines, Some("Strike out"), theme) {
        let (id, place) = (tool.id, tool.keep.sharpenings.len() - 1 - index);
        session.edit("Strike out a sharpening", |bench| {
            change(bench, id, |tool| {
                if place < tool.keep.sharpenings.len() {
                    tool.keep.sharpenings.remove(place);
                }
            });
        });
        state.say(session, Tone::Weak, "Struck out; undo brings it back.");
        ui.ctx().request_repaint();
    }
}

/// Every tool with its last sharpening, the most overdue first.
fn due(ui: &mut Ui, session: &Session, today: &str, theme: &Theme) {
    heading(ui, "What is due", theme);
    let mut tools: Vec<(i64, &ToolEntry, Due)> = session
        .bench()
        .tools
        .iter()
        .filter(|tool| tool.keep.interval_days.is_some() || !tool.keep.sharpenings.is_empty())
        .map(|tool| {
            let due = tool.keep.due(today);
            let order = match due {
                Due::NeverSharpened => i64::MIN,
                Due::InDays(days) => days,
                Due::NoInterval => i64::MAX,
            };
            (order, tool, due)
        })
        .collect();
    tools.sort_by_key(|(order, ..)| *order);
    if tools.is_empty() {
        note(ui, "Nothing is logged and no interval is set.", Tone::Weak, theme);
        return;
    }
    let columns = [
        Column::words("Tool", 1.6),
        Column::words("Last", 0.9),
        Column::number("Times", 0.5),
        Column::words("", 0.1),
        Column::words("Due", 1.6),
    ];
    let lines: Vec<Line> = tools
        .into_iter()
        .map(|(_, tool, due)| {
            let last = tool.keep.sharpenings.last().map_or("never", |entry| entry.date.as_str());
            let (tone, words) = due_words(due);
            let cells = vec![
                tool.name.clone(),
                last.to_owned(),
                tool.keep.sharpenings.len().to_string(),
                String::new(),
                words,
            ];
            Line { cells, tone }
        })
        .collect();
    table(ui, &columns, &lines, None, theme);
}

fn due_words(due: Due) -> (Tone, String) {
    let days = |count: i64| if count == 1 { "1 day".to_owned() } else { format!("{count} days") };
    match due {
        Due::NoInterval => (Tone::Strong, "no interval".to_owned()),
        Due::NeverSharpened => (Tone::Caution, "now: never logged".to_owned()),
        Due::InDays(0) => (Tone::Caution, "today".to_owned()),
        Due::InDays(left) if left < 0 => (Tone::Caution, format!("overdue by {}", days(-left))),
        Due::InDays(left) => (Tone::Strong, format!("in {}", days(left))),
    }
}

/// The whole log as a file.
fn export(ui: &mut Ui, session: &Session, state: &mut LogState, folder: &Path, theme: &Theme) {
    heading(ui, "The log as a table", theme);
    note(ui, "Sharpenings, lengths and diameters of the whole bench, a line each.", Tone::Weak, theme);
    let mut path = state.path.clone().unwrap_or_else(|| folder.join("log.csv").display().to_string());
    row(ui, theme, |ui| {
        words_field(ui, "Where to", &mut path, 330.0, "log.csv", theme);
        if button(ui, "Write the CSV", Emphasis::Plain, theme).clicked() {
            let written = log_csv(session.bench()).and_then(|text| {
                let place = PathBuf::from(path.trim());
                if place.extension().is_none_or(|ending| !ending.eq_ignore_ascii_case("csv")) {
                    return Err(format!("“{}” should end in .csv.", place.display()));
                }
                store::write_bytes(&place, text.as_bytes()).map_err(|error| error.to_string())
            });
            match written {
                Ok(()) => state.say(session, Tone::Good, format!("Written: {}.", path.trim())),
                Err(why) => state.say(session, Tone::Bad, why),
            }
            ui.ctx().request_repaint();
        }
        if button(ui, "Copy as CSV", Emphasis::Plain, theme).clicked()
            && let Ok(text) = log_csv(session.bench())
        {
            ui.ctx().copy_text(text);
        }
    });
    state.path = Some(path);
}
