//! What the window asks in between: a name, a path, a word of explanation.

use std::path::{Path, PathBuf};

use bevelbench_notebook::saved::Id;
use egui::{Align, Context, Key, Layout, RichText, TextEdit, Ui};

use crate::{
    model::appearance::Tone,
    shell::{clash_dialog::ClashAsked, help::Help, unsaved_dialog::UnsavedAsked, verdict::Verdict},
    toolkit::{
        theme::Theme,
        widgets::{Emphasis, button, caution_line, dialog, section},
    },
};

/// What a path is asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Purpose {
    /// Open a bench.
    Open,
    /// Save the bench elsewhere.
    SaveBenchAs,
    /// Take parts over.
    Import,
    /// Write a copy.
    Export,
    /// Save the drawing.
    Picture,
}

/// A question for a path.
#[derive(Debug, Clone)]
pub struct PathAsked {
    /// What for.
    pub purpose: Purpose,
    typed: String,
    folder: PathBuf,
    refused: Option<String>,
    /// Bench files beside the present one, to choose from without typing.
    beside: Vec<PathBuf>,
}

/// A dialog.
#[derive(Debug, Clone)]
#[allow(clippy::large_enum_variant, reason = "there is one dialog at a time")]
pub enum Dialog {
    /// A message to be read.
    Notice(String),
    /// The first-start tour, at a step.
    Tour(usize),
    /// Help and keys.
    Help(Help),
    /// A name for a new setting.
    SaveSettingAs(String),
    /// A new name for a setting.
    RenameSetting(Id, String),
    /// A new name for a tool.
    RenameTool(Id, String),
    /// A new name for the bench.
    RenameBench(String),
    /// A path.
    Path(PathAsked),
    /// What is meant where names clash.
    Clashes(ClashAsked),
    /// What is to become of a bench that is not on disk.
    Unsaved(UnsavedAsked),
}

impl PathAsked {
    fn new(purpose: Purpose, folder: &Path, typed: String) -> Self {
        let mut beside: Vec<PathBuf> = std::fs::read_dir(folder)
            .map(|entries| {
                entries
                    .filter_map(|entry| entry.ok().map(|entry| entry.path()))
                    .filter(|path| path.to_string_lossy().ends_with(".bench.ron"))
                    .take(12)
                    .collect()
            })
            .unwrap_or_default();
        beside.sort();
        Self { purpose, typed, folder: folder.to_owned(), refused: None, beside }
    }

    /// The path that was typed; a bare name lies in the bench's own folder.
    ///
    /// # Errors
    /// The words that ask for one.
    pub fn chosen(&self) -> Result<PathBuf, String> {
        let typed = self.typed.trim();
        if typed.is_empty() {
            return Err("A file name is needed: type one.".to_owned());
        }
        let mut path = PathBuf::from(typed);
        if let Some(rest) = typed.strip_prefix("~/")
            && let Some(home) = std::env::var_os("HOME")
        {
            path = PathBuf::from(home).join(rest);
        }
        if path.is_relative() {
            path = self.folder.join(path);
        }
        if path.extension().is_none() {
            let extension = if self.purpose == Purpose::Picture { "svg" } else { "bench.ron" };
            path.set_extension(extension);
        }
        Ok(path)
    }
}

impl Dialog {
    /// Asks for a bench to open.
    #[must_use]
    pub fn open(folder: &Path) -> Self {
        Self::Path(PathAsked::new(Purpose::Open, folder, String::new()))
    }

    /// Asks where else to keep the bench.
    #[must_use]
    pub fn save_bench_as(path: &Path) -> Self {
        let folder = path.parent().unwrap_or(path);
        Self::Path(PathAsked::new(Purpose::SaveBenchAs, folder, path.display().to_string()))
    }

    /// Asks what to take parts over from.
    #[must_use]
    pub fn import(folder: &Path) -> Self {
        Self::Path(PathAsked::new(Purpose::Import, folder, String::new()))
    }

    /// Asks where to write a copy of the bench.
    #[must_use]
    pub fn export(folder: &Path, title: &str) -> Self {
        let stem = bevelbench_notebook::store::file_stem_from_name(title);
        let path = folder.join(format!("{stem}.bench.ron"));
        Self::Path(PathAsked::new(Purpose::Export, folder, path.display().to_string()))
    }

    /// Asks where to save a picture of a setting.
    #[must_use]
    pub fn picture(folder: &Path, name: &str) -> Self {
        let stem = bevelbench_notebook::store::file_stem_from_name(name);
        let path = folder.join(format!("{stem}.svg"));
        Self::Path(PathAsked::new(Purpose::Picture, folder, path.display().to_string()))
    }

    /// Puts a reason under what was typed.
    pub fn refuse(&mut self, why: String) {
        match self {
            Self::Path(request) => request.refused = Some(why),
            Self::Unsaved(request) => request.refused = Some(why),
            other => *other = Self::Notice(why),
        }
    }

    /// Shows it.
    pub fn show(&mut self, ctx: &Context, theme: &Theme) -> Verdict {
        let id = egui::Id::unique("dialog");
        match self {
            Self::Notice(words) => {
                let words = words.clone();
                let ((), closed) = dialog(ctx, id, "A word first", 460.0, theme, |ui| {
                    for line in words.lines() {
                        ui.label(RichText::new(line).font(theme.body()).color(theme.tone(Tone::Strong)));
                    }
                });
                let (ok, closed) = if closed { (false, true) } else { confirm_with(ctx) };
                if ok || closed { Verdict::Closed } else { Verdict::Open }
            }
            Self::Tour(step) => tour(ctx, id, step, theme),
            Self::Help(help) => help.show(ctx, id, theme),
            Self::SaveSettingAs(name) => {
                ask_name(ctx, id, "Save as a new setting", "Name", name, "Save", theme)
            }
            Self::RenameSetting(_, name) => {
                ask_name(ctx, id, "Rename the setting", "Name", name, "Rename", theme)
            }
            Self::RenameTool(_, name) => ask_name(ctx, id, "Rename the tool", "Name", name, "Rename", theme),
            Self::RenameBench(name) => ask_name(ctx, id, "Rename the bench", "Name", name, "Rename", theme),
            Self::Path(request) => ask_path(ctx, id, request, theme),
            Self::Clashes(request) => request.show(ctx, id, theme),
            Self::Unsaved(request) => request.show(ctx, id, theme),
        }
    }
}

/// Enter confirms a dialog that only tells.
fn confirm_with(ctx: &Context) -> (bool, bool) {
    ctx.input(|i| (i.key_pressed(Key::Enter), i.key_pressed(Key::Escape)))
}

/// The buttons at a dialog's foot: the one that does it at the right.
fn foot(ui: &mut Ui, does: &str, theme: &Theme) -> Verdict {
    ui.add_space(theme.sizes.gap.margin);
    ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
        if button(ui, does, Emphasis::Main, theme).clicked() {
            Verdict::Confirmed
        } else if button(ui, "Cancel", Emphasis::Plain, theme).clicked() {
            Verdict::Closed
        } else {
            Verdict::Open
        }
    })
    .inner
}

/// A text field that takes the focus when its dialog opens.
fn text_field(ui: &mut Ui, label: &str, text: &mut String, theme: &Theme) -> bool {
    let id = egui::Id::unique(("dialog text", label));
    let response = ui.add(
        TextEdit::singleline(text)
            .id(id)
            .font(theme.name())
            .desired_width(f32::INFINITY)
            .margin(egui::Margin::symmetric(10, 8))
            .char_limit(400),
    );
    let response = response.accessible_name(label);
    let first = ui.data_mut(|data| data.get_temp::<bool>(id.with("asked")).is_none());
    if first {
        ui.data_mut(|data| data.insert_temp(id.with("asked"), true));
        response.request_focus();
    }
    response.lost_focus() && ui.input(|i| i.key_pressed(Key::Enter))
}

fn forget_focus(ctx: &Context, label: &str) {
    let id = egui::Id::unique(("dialog text", label));
    ctx.data_mut(|data| data.remove_temp::<bool>(id.with("asked")));
}

fn ask_name(
    ctx: &Context,
    id: egui::Id,
    title: &str,
    label: &str,
    name: &mut String,
    does: &str,
    theme: &Theme,
) -> Verdict {
    let (verdict, closed) = dialog(ctx, id, title, 420.0, theme, |ui| {
        let entered = text_field(ui, label, name, theme);
        let pressed = foot(ui, does, theme);
        if entered { Verdict::Confirmed } else { pressed }
    });
    let verdict = if closed && verdict == Verdict::Open { Verdict::Closed } else { verdict };
    if verdict != Verdict::Open {
        forget_focus(ctx, label);
    }
    verdict
}

fn ask_path(ctx: &Context, id: egui::Id, request: &mut PathAsked, theme: &Theme) -> Verdict {
    let (title, does, words) = match request.purpose {
        Purpose::Open => (
            "Open a bench",
            "Open",
            "The file of a bench, ending in .bench.ron. What is open now is saved first.",
        ),
        Purpose::SaveBenchAs => (
            "Save the bench as",
            "Save",
            "From then on this bench is kept there; the file it was kept in stays as it is.",
        ),
        Purpose::Import => (
            "Import from a bench file",
            "Import",
            "Its rigs, tools and settings are added to this bench. Nothing here is overwritten; one undo takes all of it out again.",
        ),
        Purpose::Export => (
            "Export a copy",
            "Export",
            "The whole bench is written to that file; you go on working in the present one.",
        ),
        Purpose::Picture => {
            ("Save what is shown as a picture", "Save", "The ending says which kind: .svg or .png.")
        }
    };
    let (verdict, closed) = dialog(ctx, id, title, 560.0, theme, |ui| {
        ui.label(RichText::new(words).font(theme.body()).color(theme.tone(Tone::Weak)));
        ui.add_space(theme.sizes.gap.normal);
        let entered = text_field(ui, "File", &mut request.typed, theme);
        if matches!(request.purpose, Purpose::Open | Purpose::Import) && !request.beside.is_empty() {
            ui.add_space(theme.sizes.gap.normal);
            section(ui, "In the bench’s folder", "", theme);
            for path in &request.beside {
                let name =
                    path.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
                if ui.selectable_label(false, name).clicked() {
                    request.typed = path.display().to_string();
                }
            }
        }
        if let Some(why) = &request.refused {
            ui.add_space(theme.sizes.gap.normal);
            caution_line(ui, why, Tone::Bad, theme);
        }
        let pressed = foot(ui, does, theme);
        if entered { Verdict::Confirmed } else { pressed }
    });
    let verdict = if closed && verdict == Verdict::Open { Verdict::Closed } else { verdict };
    if verdict != Verdict::Open {
        forget_focus(ctx, "File");
    }
    verdict
}

const TOUR: [(&str, &str); 3] = [
    (
        "Pick up a tool",
        "The rack on the left holds tools with their saved settings. Click one: the bench in the middle shows it to scale. This is a demo bench; change what you like, undo takes everything back.",
    ),
    (
        "Turn what you would turn",
        "Drag the round handles on the drawing, or the sliders on the right: the pivot along the arm, the tool through the holder, the strut, the table, the rim. The bevel follows at once. Or type the bevel you want: the arm moves to it.",
    ),
    (
        "Read, save, take it to the grinder",
        "The numbers stand along the bottom, the loupe shows where the facet meets the wheel. Save keeps the setting with its tool. “At the grinder” (G) shows it as big numbers to be ticked off. Local codes, the maker’s markings and trained practice come first.",
    ),
];

fn tour(ctx: &Context, id: egui::Id, step: &mut usize, theme: &Theme) -> Verdict {
    let (title, words) = TOUR[(*step).min(TOUR.len() - 1)];
    let (pressed, closed) = dialog(ctx, id, title, 460.0, theme, |ui| {
        ui.label(RichText::new(words).font(theme.body()).color(theme.tone(Tone::Strong)));
        ui.add_space(theme.sizes.gap.margin);
        ui.horizontal(|ui| {
            ui.label(
                RichText::new(format!("{} of {}", *step + 1, TOUR.len()))
                    .font(theme.small())
                    .color(theme.tone(Tone::Weak)),
            );
            ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                let last = *step + 1 >= TOUR.len();
                let next = button(ui, if last { "Start" } else { "Next" }, Emphasis::Main, theme).clicked();
                let skip = !last && button(ui, "Skip", Emphasis::Quiet, theme).clicked();
                (next, skip)
            })
            .inner
        })
        .inner
    });
    let (next, skip) = pressed;
    let entered = ctx.input(|i| i.key_pressed(Key::Enter));
    if skip || closed {
        return Verdict::Closed;
    }
    if next || entered {
        *step += 1;
        ctx.request_repaint();
        if *step >= TOUR.len() {
            return Verdict::Closed;
        }
    }
    Verdict::Open
}
