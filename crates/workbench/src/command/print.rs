//! `cards`, `chart`, `gauges`, `bench-sheet`, `log-sheet`: paper from a bench file.

use std::{
    io::Write,
    path::{Path, PathBuf},
};

use bevelbench_notebook::{
    paper::{
        gauge::GaugeSelection,
        printing::{FileKind, NotPrinted, print},
        request::{PrintKind, PrintRequest},
        sheet::{Correction, Paper},
    },
    quantity::LengthUnit,
    saved::{Bench, Id, SettingEntry},
};

use crate::command::{
    ANSWERED, BenchFile, Opened, Output, Stopped, UNANSWERED, quantities::OneOf, setting_named,
};
use bevelbench_notebook::paper::files;

/// What every print is asked: the bench, the paper and where to.
#[derive(Debug, Clone, PartialEq, clap::Args)]
pub struct Sheet {
    /// The bench file.
    #[command(flatten)]
    pub file: BenchFile,
    /// The paper: a4, letter, a3, tabloid, a5, a6 or index-card.
    #[arg(long, value_name = "NAME", value_parser = paper, default_value = "a4")]
    pub paper: Paper,
    /// How lengths are written.
    #[arg(long, value_parser = OneOf(&UNITS), default_value = "mm")]
    pub unit: LengthUnit,
    /// The date on it; without one there is room to write it.
    #[arg(
        long,
        value_name = "TEXT",
        default_value = "",
        hide_default_value = true,
        allow_hyphen_values = true
    )]
    pub date: String,
    /// What the printer makes of the bars of 100 mm, across and up: corrects it.
    #[arg(
        long,
        value_name = "ACROSS,UP",
        value_parser = bars,
        default_value = "100,100",
        allow_hyphen_values = true
    )]
    pub bars_mm: Bars,
    /// Dots an inch of PNG pictures.
    #[arg(long, value_name = "N", value_parser = dots_an_inch, default_value = "300", allow_hyphen_values = true)]
    pub dpi: f64,
    /// Where to: OUT.pdf, OUT.svg or OUT.png (pictures one a page).
    #[command(flatten)]
    pub output: Output,
}

/// What two bars measure in millimetres, across and up.
type Bars = [f64; 2];

/// What a print of settings is asked.
#[derive(Debug, Clone, PartialEq, clap::Args)]
pub struct Sheets {
    /// Paper and place.
    #[command(flatten)]
    pub sheet: Sheet,
    /// Which settings.
    #[command(flatten)]
    pub which: Which,
}

/// Settings by name, those of a rig, or all.
#[derive(Debug, Clone, PartialEq, Eq, clap::Args)]
pub struct Which {
    /// Only this setting; may be said again.
    #[arg(long = "setting", value_name = "NAME", allow_hyphen_values = true, conflicts_with_all = ["rig", "all"])]
    pub settings: Vec<String>,
    /// Only settings of this rig.
    #[arg(long, value_name = "NAME", allow_hyphen_values = true, conflicts_with = "all")]
    pub rig: Option<String>,
    /// All of them, as without --setting and --rig.
    #[arg(long)]
    pub all: bool,
}

/// What `gauges` is asked.
#[derive(Debug, Clone, PartialEq, clap::Args)]
pub struct Gauges {
    /// Paper, place and settings.
    #[command(flatten)]
    pub sheets: Sheets,
    /// Only these gauges.
    #[arg(long, value_name = "LIST", value_delimiter = ',', value_parser = OneOf(&GAUGES))]
    pub only: Vec<Gauge>,
}

/// What `handout` is asked.
#[derive(Debug, Clone, PartialEq, clap::Args)]
pub struct Handout {
    /// Paper and place.
    #[command(flatten)]
    pub sheet: Sheet,
    /// The first setting.
    #[arg(long = "setting", value_name = "A", required = true, allow_hyphen_values = true)]
    pub settings: Vec<String>,
    /// The setting that lies beside it.
    #[arg(long, value_name = "B", allow_hyphen_values = true)]
    pub with: String,
}

/// What `lesson-sheet` is asked.
#[derive(Debug, Clone, PartialEq, clap::Args)]
pub struct LessonSheet {
    /// Paper, place and settings.
    #[command(flatten)]
    pub sheets: Sheets,
    /// Only the lesson of this title; may be said again.
    #[arg(long = "lesson", value_name = "TITLE", allow_hyphen_values = true)]
    pub lessons: Vec<String>,
}

const UNITS: [(&str, LengthUnit); 3] =
    [("mm", LengthUnit::Millimetre), ("inch", LengthUnit::Inch), ("fraction", LengthUnit::InchFraction)];

/// A kind of gauge, as what marks it among those that are wanted.
type Gauge = fn(&mut GaugeSelection) -> &mut bool;

const GAUGES: [(&str, Gauge); 6] = [
    ("sticks", |wanted| &mut wanted.sticks),
    ("blocks", |wanted| &mut wanted.blocks),
    ("angles", |wanted| &mut wanted.angles),
    ("fan", |wanted| &mut wanted.fan),
    ("radii", |wanted| &mut wanted.radii),
    ("outlines", |wanted| &mut wanted.outlines),
];

/// A size of paper by its name, as people write it.
fn paper(name: &str) -> Result<Paper, String> {
    Paper::from_name(name)
        .ok_or_else(|| format!("The paper is a3, a4, a5, a6, letter, tabloid or index-card, not {name}."))
}

/// What two bars measure: `99.6,100.2`, in millimetres.
fn bars(text: &str) -> Result<Bars, String> {
    let wrong = || format!("The bars are two lengths in millimetres as in 99.6,100.2, not {text}.");
    let (across, up) = text.split_once(',').ok_or_else(wrong)?;
    let number = |part: &str| part.trim().parse::<f64>().map_err(|_| wrong());
    let bars = [number(across)?, number(up)?];
    Correction::default().from_measured(bars[0], bars[1]).map_err(|error| error.to_string())?;
    Ok(bars)
}

fn dots_an_inch(text: &str) -> Result<f64, String> {
    let dpi: f64 = text.trim().parse().map_err(|_| format!("“{text}” is not a number."))?;
    if !(20.0..=1200.0).contains(&dpi) {
        return Err(format!("The resolution is from 20 to 1200 dots an inch, not {dpi}."));
    }
    Ok(dpi)
}

impl Which {
    /// The settings that are asked for, in the bench's order, or in that of their names.
    fn chosen(&self, bench: &Bench) -> Result<Vec<Id>, Stopped> {
        if !self.settings.is_empty() {
            return self
                .settings
                .iter()
                .map(|name| setting_named(bench, name).map(|entry| entry.id))
                .collect();
        }
        let rig = match &self.rig {
            None => None,
            Some(name) => Some(bench.rigs.iter().find(|rig| rig.name == *name).ok_or_else(|| {
                let names: Vec<&str> = bench.rigs.iter().map(|rig| rig.name.as_str()).collect();
                Stopped::File(format!(
                    "There is no rig called “{name}”. The bench has: {}.",
                    names.join(", ")
                ))
            })?),
        };
        let on_it = |entry: &&SettingEntry| rig.is_none_or(|rig| entry.rig == rig.id);
        Ok(bench.settings.iter().filter(on_it).map(|entry| entry.id).collect())
    }
}

/// The lessons of the titles, or all.
fn lessons(bench: &Bench, titles: &[String]) -> Result<Vec<usize>, Stopped> {
    if titles.is_empty() {
        return Ok((0..bench.lessons.len()).collect());
    }
    let place = |title: &String| {
        bench.lessons.iter().position(|lesson| lesson.title == *title).ok_or_else(|| {
            let titles: Vec<&str> = bench.lessons.iter().map(|lesson| lesson.title.as_str()).collect();
            let titles = titles.join(", ");
            Stopped::File(format!("There is no lesson called “{title}”. The bench has: {titles}."))
        })
    };
    titles.iter().map(place).collect()
}

impl Sheet {
    fn contradiction(&self) -> Option<String> {
        files::kind_of(&self.output.path, self.dpi).err()
    }

    /// What the printers are asked, with all settings, lessons and gauges of the bench.
    fn asked(&self, bench: &Bench, what: PrintKind) -> Result<PrintRequest, Stopped> {
        let [across, up] = self.bars_mm;
        let correction = Correction::default()
            .from_measured(across, up)
            .map_err(|error| Stopped::Picture(error.to_string()))?;
        Ok(PrintRequest {
            what,
            paper: self.paper,
            correction,
            settings: bench.settings.iter().map(|entry| entry.id).collect(),
            pair: None,
            lessons: (0..bench.lessons.len()).collect(),
            gauges: GaugeSelection::ALL,
            unit: self.unit,
            date: self.date.clone(),
        })
    }

    /// Makes the pages and writes them; settings without an answer are named and left out.
    fn print(
        &self,
        bench: &Bench,
        asked: &PrintRequest,
        out: &mut dyn Write,
        stderr: &mut dyn Write,
    ) -> Result<u8, Stopped> {
        let made = match print(bench, asked, &mut |_| true) {
            Ok(made) => made,
            Err(NotPrinted::NoAnswer(words)) => {
                writeln!(stderr, "bevelbench: {words}").map_err(Stopped::Output)?;
                return Ok(UNANSWERED);
            }
            Err(error) => return Err(Stopped::Picture(error.to_string())),
        };
        let path = &self.output.path;
        let pages = made.pages.len();
        let kind = files::kind_of(path, self.dpi).map_err(Stopped::Picture)?;
        let count = if kind == FileKind::Pdf { 1 } else { pages };
        self.output.look(&self.file.path, &files::places(path, count))?;
        let places = files::write(&made, path, self.dpi, &mut |_| true).map_err(Stopped::Picture)?;
        for (name, why) in &made.left_out {
            writeln!(stderr, "bevelbench: {name} has no answer and is left out. {why}")
                .map_err(Stopped::Output)?;
        }
        let files = places.iter().map(|path: &PathBuf| Path::display(path).to_string()).collect::<Vec<_>>();
        let noun = if pages == 1 { "page" } else { "pages" };
        writeln!(out, "{pages} {noun}: {}", files.join(", ")).map_err(Stopped::Output)?;
        Ok(if made.left_out.is_empty() { ANSWERED } else { UNANSWERED })
    }
}

impl Sheets {
    pub(super) fn contradiction(&self) -> Option<String> {
        self.sheet.contradiction()
    }

    pub(super) fn run(
        &self,
        what: PrintKind,
        out: &mut dyn Write,
        stderr: &mut dyn Write,
    ) -> Result<u8, Stopped> {
        let Opened { bench, .. } = self.sheet.file.open(stderr)?;
        let asked = PrintRequest { settings: self.which.chosen(&bench)?, ..self.sheet.asked(&bench, what)? };
        self.sheet.print(&bench, &asked, out, stderr)
    }
}

impl Gauges {
    pub(super) fn contradiction(&self) -> Option<String> {
        self.sheets.contradiction()
    }

    fn wanted(&self) -> GaugeSelection {
        if self.only.is_empty() {
            return GaugeSelection::ALL;
        }
        let mut wanted = GaugeSelection::NONE;
        for gauge in &self.only {
            *gauge(&mut wanted) = true;
        }
        wanted
    }

    pub(super) fn run(&self, out: &mut dyn Write, stderr: &mut dyn Write) -> Result<u8, Stopped> {
        let sheet = &self.sheets.sheet;
        let Opened { bench, .. } = sheet.file.open(stderr)?;
        let settings = self.sheets.which.chosen(&bench)?;
        let asked =
            PrintRequest { settings, gauges: self.wanted(), ..sheet.asked(&bench, PrintKind::Gauges)? };
        sheet.print(&bench, &asked, out, stderr)
    }
}

impl Handout {
    pub(super) fn contradiction(&self) -> Option<String> {
        let two =
            "A handout shows two settings. Write: bevelbench handout FILE --setting A --with B -o OUT.pdf.";
        (self.settings.len() > 1).then(|| two.to_owned()).or_else(|| self.sheet.contradiction())
    }

    pub(super) fn run(&self, out: &mut dyn Write, stderr: &mut dyn Write) -> Result<u8, Stopped> {
        let Opened { bench, .. } = self.sheet.file.open(stderr)?;
        let mut asked = self.sheet.asked(&bench, PrintKind::Handout)?;
        if let Some(one) = self.settings.first() {
            let pair = [setting_named(&bench, one)?.clone(), setting_named(&bench, &self.with)?.clone()];
            asked.settings = vec![pair[0].id];
            asked.pair = Some(Box::new(pair));
        }
        self.sheet.print(&bench, &asked, out, stderr)
    }
}

impl LessonSheet {
    pub(super) fn contradiction(&self) -> Option<String> {
        self.sheets.contradiction()
    }

    pub(super) fn run(&self, out: &mut dyn Write, stderr: &mut dyn Write) -> Result<u8, Stopped> {
        let sheet = &self.sheets.sheet;
        let Opened { bench, .. } = sheet.file.open(stderr)?;
        let settings = self.sheets.which.chosen(&bench)?;
        let lessons = lessons(&bench, &self.lessons)?;
        let asked = PrintRequest { settings, lessons, ..sheet.asked(&bench, PrintKind::LessonSheet)? };
        sheet.print(&bench, &asked, out, stderr)
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]
mod tests {
    use super::*;
    use crate::command::{Command, Subcommand, Usage};

    fn parsed(words: &[&str]) -> Result<Subcommand, Usage> {
        match Command::parse(words.iter().map(std::ffi::OsString::from))? {
            Command::Run(subcommand) => Ok(subcommand),
            other @ Command::OpenWindow { .. } => panic!("{other:?}"),
        }
    }

    #[test]
    fn settings_paper_and_place_are_read() {
        let words =
            ["cards", "a.ron", "--setting", "One", "--setting=Two", "--paper", "Letter", "-o", "b.pdf"];
        let Subcommand::Cards(cards) = parsed(&words).unwrap() else { panic!() };
        assert_eq!(cards.which.settings, ["One", "Two"]);
        assert_eq!(cards.sheet.paper, Paper::Letter);
        assert!(parsed(&["cards", "a.ron", "--paper", "index card", "-o", "b.pdf"]).is_ok());
        let words = ["gauges", "a.ron", "--all", "--only", "sticks, fan", "--bars-mm", "99.5,100", "-ob.svg"];
        let Subcommand::Gauges(gauges) = parsed(&words).unwrap() else { panic!() };
        assert_eq!(gauges.wanted(), GaugeSelection { sticks: true, fan: true, ..GaugeSelection::NONE });
        assert_eq!(gauges.sheets.sheet.bars_mm.map(f64::to_bits), [99.5, 100.0].map(f64::to_bits));
    }

    #[test]
    fn impossible_inputs_are_named() {
        for (words, named) in [
            (&["cards", "-o", "b.pdf"][..], "<FILE>"),
            (&["cards", "a.ron"], "--output"),
            (&["cards", "a.ron", "-o", "b.doc"], "b.doc"),
            (&["cards", "a.ron", "-o", "b.pdf", "--paper", "a9"], "a9"),
            (&["cards", "a.ron", "-o", "b.pdf", "--only", "fan"], "--only"),
            (&["gauges", "a.ron", "-o", "b.pdf", "--only", "fins"], "fins"),
            (&["gauges", "a.ron", "-o", "b.pdf", "--bars-mm", "4"], "4"),
            (&["gauges", "a.ron", "-o", "b.pdf", "--bars-mm", "4,100"], "4.0 mm"),
            (&["chart", "a.ron", "-o", "b.pdf", "--rig", "x", "--all"], "--rig"),
            (&["chart", "a.ron", "-o", "b.pdf", "--rig", "x", "--setting", "y"], "--setting"),
            (&["chart", "a.ron", "-o", "b.png", "--dpi", "9000"], "9000"),
            (&["handout", "a.ron", "-o", "b.pdf", "--setting", "One"], "--with"),
            (
                &["handout", "a.ron", "-o", "b.pdf", "--setting", "A", "--setting", "B", "--with", "C"],
                "two settings",
            ),
            (&["cards", "a.ron", "-o", "b.pdf", "--lesson", "One"], "--lesson"),
        ] {
            let usage = parsed(words).unwrap_err();
            assert!(usage.message.contains(named), "{words:?}: {usage}");
        }
    }
}
