//! What is printed, on which paper, and where to.

use std::{collections::BTreeSet, path::Path};

use bevelbench_notebook::{
    paper::{
        request::PrintKind,
        sheet::{BAR_MM, Paper},
    },
    quantity::{format_number, parse_length},
    saved::{Id, SettingEntry, share::Shared},
};
use egui::{ComboBox, ProgressBar, RichText, TextEdit, Ui};

use super::PrintState;
use crate::{
    model::{appearance::Tone, prefs::Prefs, session::Session},
    toolkit::{
        theme::Theme,
        widgets::{Emphasis, button, caution_line, divider, section, typed_field},
    },
};
use bevelbench_notebook::paper::files;

pub(super) fn options(
    ui: &mut Ui,
    session: &Session,
    state: &mut PrintState,
    prefs: &mut Prefs,
    theme: &Theme,
) {
    ui.spacing_mut().item_spacing.y = theme.sizes.gap.small;
    section(ui, "What is printed", "", theme);
    egui::Grid::new("kinds").num_columns(2).spacing([theme.sizes.gap.wide, theme.sizes.gap.small]).show(
        ui,
        |ui| {
            for (place, what) in PrintKind::ALL.into_iter().enumerate() {
                if ui.radio(state.what == what, words(what.name(), theme)).clicked() && state.what != what {
                    choose(session, state, what);
                }
                if place % 2 == 1 {
                    ui.end_row();
                }
            }
        },
    );
    ui.add_space(theme.sizes.gap.normal);
    ui.horizontal(|ui| {
        let label = ui.label(words("Paper", theme));
        let combo = ComboBox::from_id_salt("paper").selected_text(prefs.paper.name());
        let shown = combo.show_ui(ui, |ui| {
            for paper in Paper::ALL {
                ui.selectable_value(&mut prefs.paper, paper, paper.name());
            }
        });
        shown.response.labelled_by(label.id);
        ui.add_space(theme.sizes.gap.normal);
        let label = ui.label(words("Date", theme));
        let field = TextEdit::singleline(&mut state.date)
            .hint_text("to be written")
            .desired_width(f32::INFINITY)
            .char_limit(40);
        ui.add(field).labelled_by(label.id);
    });
    match state.what {
        PrintKind::LogSheet => {}
        PrintKind::Handout => {
            divider(ui, theme);
            pair(ui, session, theme);
        }
        PrintKind::LessonSheet => {
            divider(ui, theme);
            lessons(ui, session, state, theme);
        }
        PrintKind::Cards
        | PrintKind::Chart
        | PrintKind::Gauges
        | PrintKind::BenchSheet
        | PrintKind::WearTables => {
            divider(ui, theme);
            settings(ui, session, state, theme);
        }
    }
    if state.what == PrintKind::Gauges {
        divider(ui, theme);
        gauges(ui, state, theme);
        divider(ui, theme);
        printer(ui, state, prefs, theme);
    }
}

/// Another kind is to be printed.
fn choose(session: &Session, state: &mut PrintState, what: PrintKind) {
    state.what = what;
    state.page = 0;
    // A chart hangs by a grinder: unless others were ticked it has all settings of that rig.
    let ticked = state.ticked.get_or_insert_default();
    if what == PrintKind::Chart
        && ticked.len() <= 1
        && let Some(rig) = session.current().map(|current| current.rig)
    {
        *ticked = of_rig(session, rig);
    }
    state.reported = None;
}

/// Where it goes: stays in sight while the rest is scrolled.
pub(super) fn outlet(ui: &mut Ui, session: &Session, state: &mut PrintState, folder: &Path, theme: &Theme) {
    ui.spacing_mut().item_spacing.y = theme.sizes.gap.small;
    out(ui, state, folder, theme);
    ui.add_space(theme.sizes.gap.small);
    hand_on(ui, session, state, folder, theme);
}

fn words(text: &str, theme: &Theme) -> RichText {
    RichText::new(text).font(theme.body()).color(theme.tone(Tone::Strong))
}

fn of_rig(session: &Session, rig: Id) -> BTreeSet<Id> {
    let settings = session.bench().settings.iter();
    settings.filter(|entry| entry.rig == rig).map(|entry| entry.id).collect()
}

/// Which settings: ticked one by one, by tool, or all at once.
fn settings(ui: &mut Ui, session: &Session, state: &mut PrintState, theme: &Theme) {
    let bench = session.bench();
    let ticked = state.ticked.get_or_insert_default();
    let all: BTreeSet<Id> = bench.settings.iter().map(|entry| entry.id).collect();
    ticked.retain(|id| all.contains(id));
    let count = format!("{} of {}", ticked.len(), all.len());
    section(ui, "Which settings", &count, theme);
    ui.horizontal(|ui| {
        if button(ui, "In hand", Emphasis::Plain, theme).clicked() {
            *ticked = session.current().map(|current| current.id).into_iter().collect();
        }
        if button(ui, "Its rig", Emphasis::Plain, theme).clicked()
            && let Some(rig) = session.current().map(|current| current.rig)
        {
            *ticked = of_rig(session, rig);
        }
        if button(ui, "All", Emphasis::Plain, theme).clicked() {
            ticked.clone_from(&all);
        }
        if button(ui, "None", Emphasis::Plain, theme).clicked() {
            ticked.clear();
        }
    });
    egui::ScrollArea::vertical()
        .id_salt("settings to print")
        .max_height(230.0)
        .auto_shrink([false, true])
        .show(ui, |ui| {
            for tool in &bench.tools {
                let mut of_tool = bench.settings_of(tool.id).peekable();
                if of_tool.peek().is_none() {
                    continue;
                }
                ui.add_space(theme.sizes.gap.small);
                ui.label(RichText::new(&tool.name).font(theme.strong()).color(theme.tone(Tone::Strong)));
                for entry in of_tool {
                    let mut on = ticked.contains(&entry.id);
                    if ui.checkbox(&mut on, words(&entry.name, theme)).changed() {
                        if on {
                            ticked.insert(entry.id);
                        } else {
                            ticked.remove(&entry.id);
                        }
                    }
                }
            }
        });
}

/// Which two settings stand on the handout.
fn pair(ui: &mut Ui, session: &Session, theme: &Theme) {
    section(ui, "Which two", "", theme);
    let bench = session.bench();
    let name = |entry: Option<&SettingEntry>| {
        entry.map_or_else(
            || "none yet".to_owned(),
            |entry| {
                let tool = bench.tool(entry.tool).map_or("", |tool| tool.name.as_str());
                format!("{tool}: {}", entry.name)
            },
        )
    };
    for (letter, entry) in [("A, in hand", bench.current.as_ref()), ("B, beside it", bench.beside.as_ref())] {
        ui.label(RichText::new(letter).font(theme.small()).color(theme.tone(Tone::Weak)));
        ui.add(egui::Label::new(words(&name(entry), theme)).wrap());
    }
    let note = "Both are chosen on the Pair page.";
    ui.label(RichText::new(note).font(theme.small()).color(theme.tone(Tone::Weak)));
}

/// Which lessons: one, or all.
fn lessons(ui: &mut Ui, session: &Session, state: &mut PrintState, theme: &Theme) {
    section(ui, "Which lesson", "", theme);
    let lessons = &session.bench().lessons;
    if lessons.is_empty() {
        ui.label(words("None yet: build one on the Lesson page.", theme));
        return;
    }
    state.lesson = state.lesson.filter(|place| *place < lessons.len());
    if ui.radio(state.lesson.is_none(), words("All of them", theme)).clicked() {
        state.lesson = None;
    }
    for (place, lesson) in lessons.iter().enumerate() {
        let title = if lesson.title.is_empty() { "Untitled lesson" } else { lesson.title.as_str() };
        if ui.radio(state.lesson == Some(place), words(title, theme)).clicked() {
            state.lesson = Some(place);
        }
    }
}

fn gauges(ui: &mut Ui, state: &mut PrintState, theme: &Theme) {
    section(ui, "Which gauges", "", theme);
    let wanted = &mut state.gauges;
    for (on, name) in [
        (&mut wanted.sticks, "Sticks, pivot to rim"),
        (&mut wanted.blocks, "Stop blocks for projections"),
        (&mut wanted.angles, "A template of each bevel"),
        (&mut wanted.fan, "Fan of angles, 15° to 90°"),
        (&mut wanted.radii, "Wheel and hollow templates"),
        (&mut wanted.outlines, "Outlines of the tips"),
    ] {
        ui.checkbox(on, words(name, theme));
    }
}

/// The printer's own error.
fn printer(ui: &mut Ui, state: &mut PrintState, prefs: &mut Prefs, theme: &Theme) {
    let factor = |value: f64| format_number(value, 4);
    let trailing = if prefs.printer.is_none() {
        String::new()
    } else {
        format!("× {}, × {}", factor(prefs.printer.across), factor(prefs.printer.up))
    };
    section(ui, "The printer", &trailing, theme);
    let note = "Print at 100 %. If the bars of 100 mm come out otherwise, type what they measure.";
    ui.label(RichText::new(note).font(theme.small()).color(theme.tone(Tone::Weak)));
    let mut bars = state.bars_mm.unwrap_or([BAR_MM; 2]);
    ui.horizontal(|ui| {
        for (index, name) in ["Bar across", "Bar up"].into_iter().enumerate() {
            ui.label(words(name, theme));
            let shown = format!("{} mm", format_number(bars[index], 2));
            let read = |text: &str| {
                parse_length(text, bevelbench_notebook::quantity::LengthUnit::Millimetre)
                    .map_err(|error| error.to_string())
            };
            match typed_field(ui, name, &shown, 76.0, &read, theme) {
                Some(Ok(value)) => {
                    bars[index] = value;
                    state.bars_mm = Some(bars);
                }
                Some(Err(why)) => state.reported = Some((Tone::Bad, why)),
                None => {}
            }
        }
    });
    ui.horizontal(|ui| {
        if ui
            .add_enabled_ui(state.bars_mm.is_some(), |ui| button(ui, "Correct", Emphasis::Plain, theme))
            .inner
            .clicked()
        {
            state.correct(prefs);
        }
        if !prefs.printer.is_none() && button(ui, "No correction", Emphasis::Plain, theme).clicked() {
            state.uncorrect(prefs);
        }
    });
}

/// Where it goes.
fn out(ui: &mut Ui, state: &mut PrintState, folder: &Path, theme: &Theme) {
    section(ui, "File", "", theme);
    let proposal = state.proposal();
    let field = TextEdit::singleline(&mut state.path)
        .hint_text(proposal)
        .desired_width(f32::INFINITY)
        .char_limit(400);
    ui.add(field).accessible_name("File to print to");
    let note = "Ending in .pdf, .svg or .png; a bare name lies in the bench’s folder.";
    let place = state.path(folder).display().to_string();
    ui.label(RichText::new(note).font(theme.small()).color(theme.tone(Tone::Weak))).on_hover_text(place);
    ui.add_space(theme.sizes.gap.small);
    if let Some(work) = &state.saving {
        let fraction = work.fraction_done();
        let off = ui
            .horizontal(|ui| {
                ui.add(ProgressBar::new(fraction).desired_width(200.0).show_percentage());
                button(ui, "Cancel", Emphasis::Plain, theme).clicked()
            })
            .inner;
        if off {
            work.cancel();
        }
    } else {
        let ready = state.ready().is_some();
        let ctx = ui.ctx().clone();
        let (save, open) = ui
            .add_enabled_ui(ready, |ui| {
                ui.horizontal(|ui| {
                    let save = button(ui, "Save print", Emphasis::Main, theme).clicked();
                    let open = button(ui, "Save and open", Emphasis::Plain, theme)
                        .on_hover_text("In the system’s own viewer; print from there at 100 %")
                        .clicked();
                    (save, open)
                })
                .inner
            })
            .inner;
        if save || open {
            state.save(&ctx, folder, open);
        }
    }
}

/// The current setting, its tool or its rig as a small bench file for another bench.
fn hand_on(ui: &mut Ui, session: &Session, state: &mut PrintState, folder: &Path, theme: &Theme) {
    let current = session.current();
    section(ui, "Hand on as a file", "", theme);
    let note = "What is in hand, for another bench to import.";
    ui.label(RichText::new(note).font(theme.small()).color(theme.tone(Tone::Weak)));
    let mut wanted = None;
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = theme.sizes.gap.small;
        // A lesson that is printed is what is handed on.
        let lesson = state.lesson.filter(|_| state.what == PrintKind::LessonSheet);
        let parts = [
            ("The setting", current.map(|current| Shared::Setting(current.id))),
            ("The tool", current.map(|current| Shared::Tool(current.tool))),
            ("The rig", current.map(|current| Shared::Rig(current.rig))),
            ("The lesson", lesson.map(Shared::Lesson)),
        ];
        for (name, what) in parts.into_iter().filter_map(|(name, what)| Some((name, what?))) {
            if button(ui, name, Emphasis::Plain, theme).clicked() {
                wanted = Some(what);
            }
        }
    });
    if let Some(what) = wanted {
        state.reported = Some(match files::hand_on(session.bench(), what, folder) {
            Ok(path) => (Tone::Good, format!("Saved as {}.", path.display())),
            Err(why) => (Tone::Bad, why),
        });
    }
    if let Some((tone, words)) = &state.reported {
        caution_line(ui, words, *tone, theme);
    }
}
