//! What the window asks in between: a name, a path, a word of explanation.

use std::path::{Path, PathBuf};

use bevelbench_notebook::{saved::Id, words};
use egui::{Align, Context, Key, Layout, RichText, ScrollArea, TextEdit, Ui};

use crate::{
    clash_dialog::ClashAsked,
    orders,
    theme::{Theme, Tone},
    widgets::{Loudness, button, caution_line, dialog, section},
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
    Told(String),
    /// The first-start tour, at a step.
    Tour(usize),
    /// Help and keys.
    Help,
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
}

/// What became of a dialog in this frame.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// It stays open.
    Open,
    /// It was closed.
    Closed,
    /// It was confirmed.
    Confirmed,
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
            Self::Path(asked) => asked.refused = Some(why),
            other => *other = Self::Told(why),
        }
    }

    /// Shows it.
    pub fn show(&mut self, ctx: &Context, theme: &Theme) -> Verdict {
        let id = egui::Id::unique("dialog");
        match self {
            Self::Told(words) => {
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
            Self::Help => help(ctx, id, theme),
            Self::SaveSettingAs(name) => {
                ask_name(ctx, id, "Save as a new setting", "Name", name, "Save", theme)
            }
            Self::RenameSetting(_, name) => {
                ask_name(ctx, id, "Rename the setting", "Name", name, "Rename", theme)
            }
            Self::RenameTool(_, name) => ask_name(ctx, id, "Rename the tool", "Name", name, "Rename", theme),
            Self::RenameBench(name) => ask_name(ctx, id, "Rename the bench", "Name", name, "Rename", theme),
            Self::Path(asked) => ask_path(ctx, id, asked, theme),
            Self::Clashes(asked) => asked.show(ctx, id, theme),
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
        if button(ui, does, Loudness::Main, theme).clicked() {
            Verdict::Confirmed
        } else if button(ui, "Cancel", Loudness::Plain, theme).clicked() {
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

fn ask_path(ctx: &Context, id: egui::Id, asked: &mut PathAsked, theme: &Theme) -> Verdict {
    let (title, does, words) = match asked.purpose {
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
        let entered = text_field(ui, "File", &mut asked.typed, theme);
        if matches!(asked.purpose, Purpose::Open | Purpose::Import) && !asked.beside.is_empty() {
            ui.add_space(theme.sizes.gap.normal);
            section(ui, "In the bench’s folder", "", theme);
            for path in &asked.beside {
                let name =
                    path.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
                if ui.selectable_label(false, name).clicked() {
                    asked.typed = path.display().to_string();
                }
            }
        }
        if let Some(why) = &asked.refused {
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
                let next = button(ui, if last { "Start" } else { "Next" }, Loudness::Main, theme).clicked();
                let skip = !last && button(ui, "Skip", Loudness::Quiet, theme).clicked();
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

const WORDS: [(&str, &str); 26] = [
    ("Bevel at the edge", "Angle between the tool’s axis and the ground face, right at the edge."),
    (
        "Bevel across the facet",
        "What a protractor on edge and heel reads: larger, because the facet is hollow.",
    ),
    ("Heel", "The end of the facet away from the edge."),
    (
        "Pin",
        "Beside a row at the right. What is pinned stays as it is; what is free may be moved to find a bevel.",
    ),
    ("Wing sweep", "How far the top of a gouge’s wing stands back behind its nose."),
    (
        "Sure to ±",
        "How far the bevel may be off, because nothing is read better than a rule or a protractor reads.",
    ),
    ("Projection", "From the nose of the edge to the holder’s front face."),
    ("Strut", "The holder’s leg, from its hinge to the cup."),
    ("Cup, pivot", "The seat on the arm about which the tool turns."),
    ("Gauge length", "Shortest gap between rim and pivot: what a stick measures."),
    ("Roll line, roll centre", "The line a gouge is rolled about, and where it passes the nose."),
    ("Shaping wheel", "A friable wheel that cuts fast, wears and is dressed."),
    ("Keeping wheel", "A superabrasive (CBN) wheel that keeps an edge and its own size."),
    ("Loupe", "The round picture: the edge, many times enlarged."),
    ("Rack", "The tools with their saved settings."),
    ("Arm, reach", "The bar the cup slides along, and how far out the cup stands on it."),
    ("Burr", "The wire edge that grinding leaves; on a scraper it does the cutting."),
    ("Facet", "The ground face between edge and heel."),
    ("Flute", "The groove of a gouge."),
    ("Hollow", "How deep the facet is hollow, because a round wheel ground it."),
    ("Ink test", "Ink the facet, turn the wheel by hand, power off: where the ink goes, the wheel touches."),
    (
        "Nose, wing, cheek",
        "The middle of a gouge’s edge; its side; and the steel between flute and outside there.",
    ),
    ("Film", "The layer of ink on the steel: the wheel rubs it where the gap is thinner than it."),
    ("Daylight", "The gap that shows light under a template held to the tool."),
    (
        "Turned in the holder",
        "A gouge whose flute does not lie level in its holder: its wings come out unlike.",
    ),
    (
        "A and B",
        "Two settings to compare: A is in hand and drawn solid, B lies beside it and is drawn dashed.",
    ),
];

/// What each page is for and how it is worked.
const PAGES: [(&str, &str); 11] = [
    (
        "Side",
        "The bench to scale. Drag the round handles; turn the mouse wheel to look closer, drag the paper to move it, F shows all. The round glass enlarges the edge.",
    ),
    (
        "Tip",
        "The ground tip in three dimensions, predicted. Drag to turn it. “Ink on today’s wheel” lays the tool, as one of its settings ground it, on the wheel and shows where ink goes.",
    ),
    ("Curves", "What changes along the edge from wing to wing."),
    (
        "Pair",
        "A is what is in hand: turn and drag it as ever. Choose B, or press “B from A” to hold A as it is. “Move in both” ties one quantity of B to A. “What if” shows one quantity changed step by step.",
    ),
    (
        "Find",
        "What to set for a bevel and a wing: whatever is not pinned at the right may move, every answer is listed, the least move first; look at one on the drawing, then “Set it so”. Where one thing more is free, drag the dot along the curve. “One reach” leaves the arm where it serves the most tools. “Match” tells what a tool is ground to from what you can measure, “Ink” what to move for where the ink went, “Faults” how large the slip was behind what you see.",
    ),
    (
        "Keep",
        "What wear does to a setting, the same grind on another rig, second bevels, cost, clearances, safety, the log.",
    ),
    (
        "Lesson",
        "Press “Show”; arrow keys or Page Up and Page Down lead through the steps. “Add step” keeps what is in hand now, and B with it, as the next step.",
    ),
    (
        "Big type",
        "Drawing and numbers for the back row. Choose the numbers along the foot; S puts a spotlight at the pointer.",
    ),
    ("Tool", "The tool’s steel, its dimensions and the facet it carries today."),
    (
        "Rig",
        "Grinder, wheels, arms, tables and holders. “Measure” asks for one dimension at a time and checks that they belong together; “Fit” finds what cannot be measured from trial grinds.",
    ),
    ("Print", "Cards, charts and gauges, true to size."),
];

fn help(ctx: &Context, id: egui::Id, theme: &Theme) -> Verdict {
    let ((), closed) = dialog(ctx, id, "Help", 640.0, theme, |ui| {
        let room = (ctx.content_rect().height() - 160.0).max(200.0);
        ScrollArea::vertical().max_height(room).auto_shrink([false, true]).show(ui, |ui| {
            ui.spacing_mut().interact_size.y = theme.sizes.text.body * 1.3;
            section(ui, "Keys", "", theme);
            egui::Grid::new("keys").num_columns(2).spacing([24.0, 4.0]).show(ui, |ui| {
                for entry in &orders::TABLE {
                    let key = entry.key.map(|key| ctx.format_shortcut(&key)).unwrap_or_default();
                    ui.label(RichText::new(key).font(theme.strong()).color(theme.tone(Tone::Strong)));
                    ui.label(RichText::new(format!("{}: {}", entry.name, entry.what)).font(theme.body()).color(theme.tone(Tone::Strong)));
                    ui.end_row();
                }
                for (key, words) in [
                    ("Arrows", "step what has the focus; Shift ten steps, Ctrl a tenth"),
                    ("Ctrl or Alt while dragging", "stops and rests no longer hold"),
                    ("Esc", "give the drag up, close the dialog"),
                    ("F2, Del", "rename or delete the row of the rack that has the focus"),
                ] {
                    ui.label(RichText::new(key).font(theme.strong()).color(theme.tone(Tone::Strong)));
                    ui.label(RichText::new(words).font(theme.body()).color(theme.tone(Tone::Strong)));
                    ui.end_row();
                }
            });
            section(ui, "Pages", "", theme);
            egui::Grid::new("pages").num_columns(2).spacing([24.0, 4.0]).show(ui, |ui| {
                for (page, words) in PAGES {
                    ui.label(RichText::new(page).font(theme.strong()).color(theme.tone(Tone::Strong)));
                    ui.add(egui::Label::new(RichText::new(words).font(theme.body()).color(theme.tone(Tone::Strong))).wrap());
                    ui.end_row();
                }
            });
            section(ui, "Words", "", theme);
            egui::Grid::new("words").num_columns(2).spacing([24.0, 4.0]).show(ui, |ui| {
                for (word, meaning) in WORDS {
                    ui.label(RichText::new(word).font(theme.strong()).color(theme.tone(Tone::Strong)));
                    ui.add(egui::Label::new(RichText::new(meaning).font(theme.body()).color(theme.tone(Tone::Strong))).wrap());
                    ui.end_row();
                }
            });
            section(ui, "What the model assumes", "", theme);
            for line in [
                "Rigid parts, a point pivot, a round wheel, contact at the middle of the wheel.",
                "A gouge is rolled about one fixed line; a hand does not do so exactly. Swept wings are predictions.",
                "Not modelled: flex, the wheel’s dressing, vibration, heat, the burr.",
            ] {
                caution_line(ui, line, Tone::Weak, theme);
            }
            section(ui, "Safety", "", theme);
            for line in words::standing_cautions() {
                caution_line(ui, line, Tone::Caution, theme);
            }
        });
        ui.add_space(theme.sizes.gap.normal);
    });
    if closed || ctx.input(|i| i.key_pressed(Key::F1)) { Verdict::Closed } else { Verdict::Open }
}
