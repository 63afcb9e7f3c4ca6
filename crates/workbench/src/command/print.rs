//! `cards`, `chart`, `gauges`, `bench-sheet`, `log-sheet`: paper from a bench file.

use std::{
    io::Write,
    path::{Path, PathBuf},
};

use bevelbench_notebook::{
    paper::{
        gauge::GaugeSelection,
        printing::print,
        request::{PrintKind, PrintRequest},
        sheet::{Correction, Paper},
    },
    quantity::LengthUnit,
    saved::{Bench, Id, SettingEntry},
};
use lexopt::{Arg, Parser, ValueExt};

use super::{ANSWERED, Command, Stopped, Subcommand, UNANSWERED, Usage, open_bench, setting_named};
use bevelbench_notebook::paper::files;

/// What is to be printed, as it was asked for.
#[derive(Debug, Clone, PartialEq)]
pub struct PrintArgs {
    /// The kind.
    pub what: PrintKind,
    /// The bench file.
    pub file: PathBuf,
    /// Only settings of these names.
    pub settings: Vec<String>,
    /// Only settings of this rig.
    pub rig: Option<String>,
    /// The setting that lies beside the first on a handout.
    pub with: Option<String>,
    /// Only lessons of these titles.
    pub lessons: Vec<String>,
    /// The paper.
    pub paper: Paper,
    /// What the bars of 100 mm measure, across and up, in millimetres.
    pub bars_mm: [f64; 2],
    /// The gauges that are wanted.
    pub gauges: GaugeSelection,
    /// The unit of lengths.
    pub unit: LengthUnit,
    /// The date as it is written.
    pub date: String,
    /// Dots an inch of PNG pictures.
    pub dpi: f64,
    /// Where to.
    pub out: PathBuf,
}

/// The words that ask for a kind.
const WORDS: [(&str, PrintKind); 8] = [
    ("cards", PrintKind::Cards),
    ("chart", PrintKind::Chart),
    ("gauges", PrintKind::Gauges),
    ("bench-sheet", PrintKind::BenchSheet),
    ("wear-tables", PrintKind::WearTables),
    ("log-sheet", PrintKind::LogSheet),
    ("handout", PrintKind::Handout),
    ("lesson-sheet", PrintKind::LessonSheet),
];

/// The kind that a word asks for.
pub(super) fn asked_by(word: &str) -> Option<PrintKind> {
    WORDS.into_iter().find(|(name, _)| *name == word).map(|(_, what)| what)
}

pub(super) fn parse(what: PrintKind, parser: &mut Parser) -> Result<Command, Usage> {
    let word = WORDS.into_iter().find(|(_, kind)| *kind == what).map_or("cards", |(word, _)| word);
    let missing = |what: &str| Usage::new(format!("{what} Write: bevelbench {word} FILE -o OUT.pdf."));
    let (mut file, mut out, mut all, mut rig) = (None, None, false, None);
    let mut args = PrintArgs {
        what,
        file: PathBuf::new(),
        settings: Vec::new(),
        rig: None,
        with: None,
        lessons: Vec::new(),
        paper: Paper::default(),
        bars_mm: [bevelbench_notebook::paper::sheet::BAR_MM; 2],
        gauges: GaugeSelection::ALL,
        unit: LengthUnit::Millimetre,
        date: String::new(),
        dpi: files::DPI,
        out: PathBuf::new(),
    };
    while let Some(argument) = parser.next()? {
        match argument {
            Arg::Long("setting") => args.settings.push(parser.value()?.string()?),
            Arg::Long("rig") => rig = Some(parser.value()?.string()?),
            Arg::Long("all") => all = true,
            Arg::Long("with") if what == PrintKind::Handout => args.with = Some(parser.value()?.string()?),
            Arg::Long("lesson") if what == PrintKind::LessonSheet => {
                args.lessons.push(parser.value()?.string()?);
            }
            Arg::Long("paper") => {
                let name = parser.value()?.string()?;
                args.paper = Paper::from_name(&name).ok_or_else(|| {
                    Usage::new(format!(
                        "The paper is a3, a4, a5, a6, letter, tabloid or index-card, not {name}."
                    ))
                })?;
            }
            Arg::Long("unit") => {
                let name = parser.value()?.string()?;
                args.unit = match name.as_str() {
                    "mm" => LengthUnit::Millimetre,
                    "inch" => LengthUnit::Inch,
                    "fraction" => LengthUnit::InchFraction,
                    _ => return Err(Usage::new(format!("The unit is mm, inch or fraction, not {name}."))),
                };
            }
            Arg::Long("date") => args.date = parser.value()?.string()?,
            Arg::Long("bars-mm") => args.bars_mm = bars(&parser.value()?.string()?)?,
            Arg::Long("only") if what == PrintKind::Gauges => args.gauges = only(&parser.value()?.string()?)?,
            Arg::Long("dpi") => {
                let dpi: f64 = parser.value()?.parse()?;
                if !(20.0..=1200.0).contains(&dpi) {
                    return Err(Usage::new(format!(
                        "The resolution is from 20 to 1200 dots an inch, not {dpi}."
                    )));
                }
                args.dpi = dpi;
            }
            Arg::Short('o') | Arg::Long("output") => {
                let path = PathBuf::from(parser.value()?);
                files::kind_of(&path, args.dpi).map_err(Usage::new)?;
                out = Some(path);
            }
            Arg::Short('h') | Arg::Long("help") => return Ok(Command::Run(Subcommand::Help)),
            Arg::Value(value) if file.is_none() => file = Some(PathBuf::from(value)),
            other => return Err(other.unexpected().into()),
        }
    }
    args.file = file.ok_or_else(|| missing("Which bench file?"))?;
    args.out = out.ok_or_else(|| missing("Where should it go?"))?;
    let ways = u8::from(all) + u8::from(rig.is_some()) + u8::from(!args.settings.is_empty());
    if ways > 1 {
        return Err(Usage::new("Name settings, or a rig, or ask for all of them: one of the three."));
    }
    if what == PrintKind::Handout && (args.settings.len() != 1 || args.with.is_none()) {
        return Err(Usage::new(
            "A handout shows two settings. Write: bevelbench handout FILE --setting A --with B -o OUT.pdf.",
        ));
    }
    args.rig = rig;
    Ok(Command::Run(Subcommand::Print(args)))
}

/// What two bars measure: `99.6,100.2`, in millimetres.
fn bars(text: &str) -> Result<[f64; 2], Usage> {
    let wrong =
        || Usage::new(format!("The bars are two lengths in millimetres as in 99.6,100.2, not {text}."));
    let (across, up) = text.split_once(',').ok_or_else(wrong)?;
    let number = |part: &str| part.trim().parse::<f64>().map_err(|_| wrong());
    let bars = [number(across)?, number(up)?];
    Correction::default().from_measured(bars[0], bars[1]).map_err(|error| Usage::new(error.to_string()))?;
    Ok(bars)
}

/// A list of gauges: `sticks,angles`.
fn only(text: &str) -> Result<GaugeSelection, Usage> {
    let mut wanted = GaugeSelection::NONE;
    for word in text.split(',').map(str::trim) {
        match word {
            "sticks" => wanted.sticks = true,
            "blocks" => wanted.blocks = true,
            "angles" => wanted.angles = true,
            "fan" => wanted.fan = true,
            "radii" => wanted.radii = true,
            "outlines" => wanted.outlines = true,
            _ => {
                return Err(Usage::new(format!(
                    "The gauges are sticks, blocks, angles, fan, radii and outlines, not {word}."
                )));
            }
        }
    }
    Ok(wanted)
}

/// The settings that are asked for, in the bench's order, or in that of their names.
fn chosen(bench: &Bench, args: &PrintArgs) -> Result<Vec<Id>, Stopped> {
    if !args.settings.is_empty() {
        return args.settings.iter().map(|name| setting_named(bench, name).map(|entry| entry.id)).collect();
    }
    let rig = match &args.rig {
        None => None,
        Some(name) => Some(bench.rigs.iter().find(|rig| rig.name == *name).ok_or_else(|| {
            let names: Vec<&str> = bench.rigs.iter().map(|rig| rig.name.as_str()).collect();
            Stopped::File(format!("There is no rig called “{name}”. The bench has: {}.", names.join(", ")))
        })?),
    };
    let on_it = |entry: &&SettingEntry| rig.is_none_or(|rig| entry.rig == rig.id);
    Ok(bench.settings.iter().filter(on_it).map(|entry| entry.id).collect())
}

/// The two settings of a handout.
fn pair(bench: &Bench, args: &PrintArgs) -> Result<Option<Box<[SettingEntry; 2]>>, Stopped> {
    let (Some(one), Some(other)) = (args.settings.first(), &args.with) else { return Ok(None) };
    Ok(Some(Box::new([setting_named(bench, one)?.clone(), setting_named(bench, other)?.clone()])))
}

/// The lessons that are asked for: those of the titles, or all.
fn lessons(bench: &Bench, args: &PrintArgs) -> Result<Vec<usize>, Stopped> {
    if args.lessons.is_empty() {
        return Ok((0..bench.lessons.len()).collect());
    }
    let place = |title: &String| {
        bench.lessons.iter().position(|lesson| lesson.title == *title).ok_or_else(|| {
            let titles: Vec<&str> = bench.lessons.iter().map(|lesson| lesson.title.as_str()).collect();
            let titles = titles.join(", ");
            Stopped::File(format!("There is no lesson called “{title}”. The bench has: {titles}."))
        })
    };
    args.lessons.iter().map(place).collect()
}

/// Makes the pages and writes them; settings without an answer are named and left out.
pub(super) fn run(args: &PrintArgs, out: &mut dyn Write, stderr: &mut dyn Write) -> Result<u8, Stopped> {
    let bench = open_bench(&args.file)?;
    let [across, up] = args.bars_mm;
    let correction = Correction::default()
        .from_measured(across, up)
        .map_err(|error| Stopped::Picture(error.to_string()))?;
    let request = PrintRequest {
        what: args.what,
        paper: args.paper,
        correction,
        settings: chosen(&bench, args)?,
        pair: pair(&bench, args)?,
        lessons: lessons(&bench, args)?,
        gauges: args.gauges,
        unit: args.unit,
        date: args.date.clone(),
    };
    let made = match print(&bench, &request, &mut |_| true) {
        Ok(made) => made,
        Err(bevelbench_notebook::paper::printing::NotPrinted::NoAnswer(words)) => {
            writeln!(stderr, "bevelbench: {words}").map_err(Stopped::Output)?;
            return Ok(UNANSWERED);
        }
        Err(error) => return Err(Stopped::Picture(error.to_string())),
    };
    let places = files::write(&made, &args.out, args.dpi, &mut |_| true).map_err(Stopped::Picture)?;
    for (name, why) in &made.left_out {
        writeln!(stderr, "bevelbench: {name} has no answer and is left out. {why}")
            .map_err(Stopped::Output)?;
    }
    let pages = made.pages.len();
    let files = places.iter().map(|path: &PathBuf| Path::display(path).to_string()).collect::<Vec<_>>();
    let noun = if pages == 1 { "page" } else { "pages" };
    writeln!(out, "{pages} {noun}: {}", files.join(", ")).map_err(Stopped::Output)?;
    Ok(if made.left_out.is_empty() { ANSWERED } else { UNANSWERED })
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]
mod tests {
    use super::*;

    fn parsed(words: &[&str]) -> Result<PrintArgs, Usage> {
        match Command::parse(words.iter().map(std::ffi::OsString::from))? {
            Command::Run(Subcommand::Print(args)) => Ok(args),
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn settings_paper_and_place_are_read() {
        let words =
            ["cards", "a.ron", "--setting", "One", "--setting=Two", "--paper", "Letter", "-o", "b.pdf"];
        let args = parsed(&words).unwrap();
        assert_eq!(args.settings, ["One", "Two"]);
        assert_eq!((args.what, args.paper), (PrintKind::Cards, Paper::Letter));
        let gauges =
            parsed(&["gauges", "a.ron", "--all", "--only", "sticks,fan", "--bars-mm", "99.5,100", "-ob.svg"]);
        let gauges = gauges.unwrap();
        assert_eq!(gauges.gauges, GaugeSelection { sticks: true, fan: true, ..GaugeSelection::NONE });
        assert_eq!(gauges.bars_mm.map(f64::to_bits), [99.5, 100.0].map(f64::to_bits));
    }

    #[test]
    fn impossible_inputs_are_named() {
        for (words, named) in [
            (&["cards", "-o", "b.pdf"][..], "Which bench file"),
            (&["cards", "a.ron"], "Where"),
            (&["cards", "a.ron", "-o", "b.doc"], "b.doc"),
            (&["cards", "a.ron", "-o", "b.pdf", "--paper", "a9"], "a9"),
            (&["cards", "a.ron", "-o", "b.pdf", "--only", "fan"], "--only"),
            (&["gauges", "a.ron", "-o", "b.pdf", "--only", "fins"], "fins"),
            (&["gauges", "a.ron", "-o", "b.pdf", "--bars-mm", "4"], "4"),
            (&["gauges", "a.ron", "-o", "b.pdf", "--bars-mm", "4,100"], "4.0 mm"),
            (&["chart", "a.ron", "-o", "b.pdf", "--rig", "x", "--all"], "one of the three"),
            (&["chart", "a.ron", "-o", "b.png", "--dpi", "9000"], "9000"),
            (&["handout", "a.ron", "-o", "b.pdf", "--setting", "One"], "--with B"),
            (&["cards", "a.ron", "-o", "b.pdf", "--lesson", "One"], "--lesson"),
        ] {
            let usage = parsed(words).unwrap_err();
            assert!(usage.message.contains(named), "{words:?}: {usage}");
        }
    }
}
