//! The command line: the same jobs as in the window, for scripts and for machines without a display.
//!
//! `bevelbench` opens the window; everything else is a [`Subcommand`], which writes to the streams it is given
//! and ends with an exit code: 0 when every setting has an answer, 1 when one has none, 2 when the command, the
//! file or the output stands in the way.

mod by_name;
mod carry;
mod check;
mod evaluate;
mod find;
mod fit;
mod ink;
mod matching;
mod one_reach;
mod picture;
mod print;
mod record;
mod share;
mod swept_record;
mod wear;

use std::{
    ffi::OsString,
    fmt,
    io::{self, Write},
    path::{Path, PathBuf},
};

use bevelbench_notebook::{
    saved::{Bench, file::read_bench},
    store::read_text,
};
use by_name::setting_named;
use lexopt::{Arg, Parser, ValueExt};

pub use carry::{CarryArgs, WhichSettings};
pub use check::CheckArgs;
pub use find::{Find, Wing};
pub use fit::Fit;
pub use ink::Ink;
pub use matching::Match;
pub use one_reach::OneReach;
pub use print::PrintArgs;
pub use record::{CautionRecord, ErrorRecord, Record};
pub use share::ShareArgs;
pub use swept_record::{EdgeRecord, RollLineRecord, SweptRecord};
pub use wear::{WearArgs, WearFormat};

/// Every setting has an answer.
pub const ANSWERED: u8 = 0;
/// At least one setting has no answer.
pub const UNANSWERED: u8 = 1;
/// The command, the file or the output stands in the way.
pub const STOPPED: u8 = 2;

/// What is asked for.
#[derive(Debug, Clone, PartialEq)]
pub enum Command {
    /// Open the window.
    OpenWindow {
        /// On this file; without one, on the user's own bench.
        file: Option<PathBuf>,
    },
    /// Something to be done without a window.
    Run(Subcommand),
}

/// Something to be done without a window.
#[derive(Debug, Clone, PartialEq)]
pub enum Subcommand {
    /// Answer the settings of a bench file.
    Evaluate {
        /// The bench file.
        file: PathBuf,
        /// Only settings of this name.
        setting: Option<String>,
        /// How to write the answers.
        format: Format,
    },
    /// Find what to set for a bevel and a wing.
    Find(Find),
    /// Leave the arm where it serves the most settings.
    OneReach(OneReach),
    /// Say where ink goes, or what it says.
    Ink(Ink),
    /// Say what a tool is ground to.
    Match(Match),
    /// Fit a rig's hidden dimensions to trial grinds.
    Fit(Fit),
    /// Draw a setting into a file.
    Picture {
        /// The bench file.
        file: PathBuf,
        /// The setting's name.
        setting: String,
        /// Where to, ending in `.svg` or `.png`.
        out: PathBuf,
        /// What to draw.
        view: PictureView,
    },
    /// Put something on paper.
    Print(PrintArgs),
    /// Hand one part on as a small bench file.
    Share(ShareArgs),
    /// Say what a setting grinds as its wheel wears.
    Wear(WearArgs),
    /// Say what settings become on another rig, wheel, holder or projection.
    Carry(CarryArgs),
    /// Say every caution of every setting, and what of a rig is beyond a limit.
    Check(CheckArgs),
    /// Say how the command is used.
    Help,
    /// Say which version this is.
    Version,
}

/// How answers are written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Format {
    /// For people.
    #[default]
    Text,
    /// For scripts.
    Json,
}

/// What a picture shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum PictureView {
    /// The side view, to scale.
    #[default]
    Side,
    /// The tip from the side, to scale.
    Tip,
    /// The tip from above, to scale.
    Plan,
    /// Curves along the edge.
    Curves,
}

impl PictureView {
    /// Every one, by the word that asks for it.
    const ALL: [(&'static str, Self); 4] =
        [("side", Self::Side), ("tip", Self::Tip), ("plan", Self::Plan), ("curves", Self::Curves)];
}

/// A command line that says nothing this program understands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Usage {
    /// What was wrong, as a sentence.
    pub message: String,
}

impl Usage {
    fn new(message: impl Into<String>) -> Self {
        Self { message: message.into() }
    }
}

impl fmt::Display for Usage {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}\nTry bevelbench --help.", self.message)
    }
}

impl std::error::Error for Usage {}

impl From<lexopt::Error> for Usage {
    fn from(error: lexopt::Error) -> Self {
        Self::new(format!("{error}."))
    }
}

/// How the command is used.
pub const HELP: &str = "\
Bevelbench: a workbench for keeping turning tools sharp.

  bevelbench                     open the window on your own bench
  bevelbench FILE                open the window on a bench file
  bevelbench evaluate FILE       answer every setting of a bench file
      --setting NAME             only settings of this name
      --format text|json         for people (the default) or for scripts
  bevelbench find FILE           what to set for a bevel, every answer
      --setting NAME             of which setting
      --bevel 45deg              the bevel at the edge
      --across-facet             it is meant as a protractor reads it, across the facet
      --wing-sweep 12mm          how far the wings are to be swept back, or
      --wing-bevel 30deg         the bevel to the axis at the wing top, or
      --same-as NAME             the same grind as that setting (its bevel too)
      --free reach,strut-angle   what may move: reach, projection, strut-angle, tilt, tool-length,
                                 wheel-diameter, roll-centre; the rest stays as it is
      --at-stops                 strut at its rests and projection at its stop blocks only
      --format text|json         as above
  bevelbench one-reach FILE      one reach of the arm for many settings, by projection alone
      --setting NAME             only these; may be said again; without it all that a holder holds
      --tolerance 0.5deg         how far a bevel may be off (0.5° without)
      --strut-angle              share one strut angle as well
      --at-stops                 strut angle at its rests and projection at its stop blocks only
      --format text|json         as above
  bevelbench ink FILE            where ink goes on the tool's present facet at a setting
      --setting NAME             which one
      --film 0.005mm             thickness of the film; assumed without
      --facet-bevel, --facet-width, --hollow-radius
                                 the facet as it is, where the tool's own is not known
      --seen heel --rubbed 2mm   the other way round: what to move when ink went there, so wide
                                 (edge, heel, both-ends, middle or whole)
      --tell 0.5deg              how far off the ink must tell (0.5° without)
      --format text|json         as above
  bevelbench match FILE          what a tool is ground to, and on which wheel of the bench
      --facet 6mm                width of the facet, edge to heel; a reading may carry its own ±: 6mm+-0.1mm
      --under 4mm                steel under the edge, square to the tool
      --protractor 45deg         what a protractor reads across the facet
      --template 45deg --daylight 0.3mm
                                 a template and the light under it, at the heel or with --open-at-edge
      --hollow 0.06mm            depth of the hollow, or
      --wheel-radius 75mm        the wheel that ground it
      --format text|json         as above
  bevelbench fit FILE            a rig's hidden dimensions from trial grinds
      --trial NAME=45.5deg       a setting and the bevel measured across what it ground; once for each
      --at-edge                  the bevels are those at the edge
      --plus-minus 0.5deg        how far a measured bevel may be off
      --fit LIST                 of arm-zero-x,arm-zero-z (both without it),hinge-setback,hinge-drop,
                                 strut-length
      --format text|json         as above
  bevelbench wear FILE           what a setting grinds as its wheel wears, and what to set instead
      --setting NAME             which one
      --to 150mm                 today and at that diameter only; without it down to the least usable
      --format text|json|csv     as above, or as a table
  bevelbench carry FILE          settings on another rig, wheel, holder or projection, new beside old
      --to RIG                   the rig it is carried to
      --wheel NAME, --holder NAME, --projection 60mm
                                 which of its wheels and holders; how far the tool stands out
      --setting NAME | --all     one setting, or all that are not there already (the default)
      --keep edge|across         the bevel that is kept: at the edge (the default) or across the facet
      --format text|json         as above
  bevelbench check FILE          every caution of every setting, drift, and what of a rig is beyond a limit
      --format text|json         as above; exit code 1 if a setting is unsafe or impossible
  bevelbench picture FILE        draw a setting to scale
      --setting NAME             which one
      -o, --output OUT           where to: OUT.svg or OUT.png
      --view side|tip|plan|curves
                                 the bench from the side (the default), the tip from the side or from
                                 above, or the angles along its edge
  bevelbench cards FILE          setting cards, several to a large sheet
  bevelbench chart FILE          a wall chart for each rig
  bevelbench gauges FILE         sticks, blocks, templates and outlines at true size
      --only LIST                of sticks,blocks,angles,fan,radii,outlines
  bevelbench bench-sheet FILE    the rigs' dimensions with where each is measured
  bevelbench wear-tables FILE    what to set as the wheel wears, a page a setting
  bevelbench log-sheet FILE      lines to write on
  bevelbench handout FILE --setting A --with B
                                 two settings side by side, what differs in words
  bevelbench lesson-sheet FILE [--lesson TITLE...]
                                 lessons on paper, step by step
      --setting NAME             only this setting; may be said again
      --rig NAME | --all         only settings of a rig, or all of them (the default)
      --paper NAME               a4 (the default), letter, a3, tabloid, a5, a6 or index-card
      --unit mm|inch|fraction    how lengths are written
      --date TEXT                the date on it; without one there is room to write it
      --bars-mm ACROSS,UP        what the printer makes of the bars of 100 mm: corrects it
      --dpi N                    dots an inch of PNG pictures (300)
      -o, --output OUT           where to: OUT.pdf, OUT.svg or OUT.png (pictures one a page)
  bevelbench share FILE          one part as a small bench file that another bench imports
      --setting NAME | --tool NAME | --rig NAME | --lesson NAME
      -o, --output OUT           where to: OUT.bench.ron; a file that is there already stays
  bevelbench --help              this page
  bevelbench --version           the version

Lengths are millimetres, angles degrees. The places are measured from the wheel's centre: x towards the
operator, z up.

Exit codes: 0 every setting has an answer; 1 one has none, and the reason is given; 2 the command line, the
file or the output stands in the way.
";

impl Command {
    /// Reads a command line, without the program's own name.
    ///
    /// # Errors
    /// [`Usage`], with what was wrong.
    pub fn parse(arguments: impl IntoIterator<Item = OsString>) -> Result<Self, Usage> {
        let mut parser = Parser::from_args(arguments);
        match parser.next()? {
            None => Ok(Self::OpenWindow { file: None }),
            Some(Arg::Short('h') | Arg::Long("help")) => Ok(Self::Run(Subcommand::Help)),
            Some(Arg::Short('V') | Arg::Long("version")) => Ok(Self::Run(Subcommand::Version)),
            Some(Arg::Value(word)) if word == "evaluate" => parse_evaluate(&mut parser),
            Some(Arg::Value(word)) if word == "find" => find::parse(&mut parser),
            Some(Arg::Value(word)) if word == "one-reach" => one_reach::parse(&mut parser),
            Some(Arg::Value(word)) if word == "ink" => ink::parse(&mut parser),
            Some(Arg::Value(word)) if word == "match" => matching::parse(&mut parser),
            Some(Arg::Value(word)) if word == "fit" => fit::parse(&mut parser),
            Some(Arg::Value(word)) if word == "picture" => parse_picture(&mut parser),
            Some(Arg::Value(word)) if word == "share" => share::parse(&mut parser),
            Some(Arg::Value(word)) if word == "wear" => wear::parse(&mut parser),
            Some(Arg::Value(word)) if word == "carry" => carry::parse(&mut parser),
            Some(Arg::Value(word)) if word == "check" => check::parse(&mut parser),
            Some(Arg::Value(word)) if word.to_str().and_then(print::asked_by).is_some() => {
                let what = word.to_str().and_then(print::asked_by).unwrap_or_default();
                print::parse(what, &mut parser)
            }
            Some(Arg::Value(file)) => match parser.next()? {
                None => Ok(Self::OpenWindow { file: Some(file.into()) }),
                Some(extra) => Err(extra.unexpected().into()),
            },
            Some(option) => Err(option.unexpected().into()),
        }
    }
}

fn parse_evaluate(parser: &mut Parser) -> Result<Command, Usage> {
    let (mut file, mut setting, mut format) = (None, None, Format::Text);
    while let Some(argument) = parser.next()? {
        match argument {
            Arg::Long("setting") => setting = Some(parser.value()?.string()?),
            Arg::Long("format") => {
                let word = parser.value()?.string()?;
                format = match word.as_str() {
                    "text" => Format::Text,
                    "json" => Format::Json,
                    _ => return Err(Usage::new(format!("The format is text or json, not {word}."))),
                };
            }
            Arg::Short('h') | Arg::Long("help") => return Ok(Command::Run(Subcommand::Help)),
            Arg::Value(value) if file.is_none() => file = Some(PathBuf::from(value)),
            other => return Err(other.unexpected().into()),
        }
    }
    let file = file.ok_or_else(|| Usage::new("Which bench file? Write: bevelbench evaluate FILE."))?;
    Ok(Command::Run(Subcommand::Evaluate { file, setting, format }))
}

fn parse_picture(parser: &mut Parser) -> Result<Command, Usage> {
    let (mut file, mut setting, mut out, mut view) = (None, None, None, PictureView::Side);
    while let Some(argument) = parser.next()? {
        match argument {
            Arg::Long("setting") => setting = Some(parser.value()?.string()?),
            Arg::Short('o') | Arg::Long("output") => {
                let path = PathBuf::from(parser.value()?);
                let ending = path.extension().unwrap_or_default().to_ascii_lowercase();
                if ending != "svg" && ending != "png" {
                    return Err(Usage::new(format!("{} should end in .svg or .png.", path.display())));
                }
                out = Some(path);
            }
            Arg::Long("view") => {
                let word = parser.value()?.string()?;
                let known = PictureView::ALL.into_iter().find(|(name, _)| *name == word);
                view = known.map(|(_, view)| view).ok_or_else(|| {
                    Usage::new(format!("The view is side, tip, plan or curves, not {word}."))
                })?;
            }
            Arg::Short('h') | Arg::Long("help") => return Ok(Command::Run(Subcommand::Help)),
            Arg::Value(value) if file.is_none() => file = Some(PathBuf::from(value)),
            other => return Err(other.unexpected().into()),
        }
    }
    let missing =
        |what: &str| Usage::new(format!("{what} Write: bevelbench picture FILE --setting NAME -o OUT.svg."));
    Ok(Command::Run(Subcommand::Picture {
        file: file.ok_or_else(|| missing("Which bench file?"))?,
        setting: setting.ok_or_else(|| missing("Which setting?"))?,
        out: out.ok_or_else(|| missing("Where should the picture go?"))?,
        view,
    }))
}

impl Subcommand {
    /// Does it: results to `out`, errors to `stderr`; returns the exit code.
    pub fn run(&self, out: &mut dyn Write, stderr: &mut dyn Write) -> u8 {
        let done = match self {
            Self::Help => out.write_all(HELP.as_bytes()).map(|()| ANSWERED).map_err(Stopped::Output),
            Self::Version => writeln!(out, "bevelbench {}", env!("CARGO_PKG_VERSION"))
                .map(|()| ANSWERED)
                .map_err(Stopped::Output),
            Self::Find(find) => find.run(out),
            Self::OneReach(one_reach) => one_reach.run(out),
            Self::Ink(ink) => ink.run(out),
            Self::Match(asked) => asked.run(out),
            Self::Fit(fit) => fit.run(out),
            Self::Picture { file, setting, out: path, view } => {
                picture::draw(file, setting, path, *view, stderr)
            }
            Self::Print(subcommand) => print::run(subcommand, out, stderr),
            Self::Share(subcommand) => share::run(subcommand),
            Self::Wear(subcommand) => subcommand.run(out),
            Self::Carry(subcommand) => subcommand.run(out),
            Self::Check(subcommand) => subcommand.run(out),
            Self::Evaluate { file, setting, format } => {
                evaluate::evaluate(file, setting.as_deref(), *format, out)
            }
        };
        let done = done.and_then(|code| out.flush().map(|()| code).map_err(Stopped::Output));
        match done {
            Ok(code) => code,
            // The reader has closed the pipe (`bevelbench … | head`): no error.
            Err(Stopped::Output(error)) if error.kind() == io::ErrorKind::BrokenPipe => STOPPED,
            Err(stopped) => {
                // If the complaint cannot be written either, the exit code still tells.
                let _unheard = writeln!(stderr, "bevelbench: {stopped}");
                STOPPED
            }
        }
    }
}

/// What stood in the way of an errand.
#[derive(Debug)]
enum Stopped {
    /// The file could not be read; the words name it.
    File(String),
    /// There is no setting, rig, wheel or holder of that name.
    NoSuch { what: &'static str, name: String, at_hand: Vec<String> },
    /// Several settings have the name; each with its tool.
    Several { name: String, at_hand: Vec<String> },
    /// The result could not be written.
    Output(io::Error),
    /// The picture could not be written; the words name it.
    Picture(String),
}

impl fmt::Display for Stopped {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::File(words) | Self::Picture(words) => f.write_str(words),
            Self::NoSuch { what, name, at_hand } if at_hand.is_empty() => {
                write!(f, "There is no {what} called “{name}”; the bench has none at all.")
            }
            Self::NoSuch { what, name, at_hand } => {
                write!(f, "There is no {what} called “{name}”. The bench has:")?;
                at_hand.iter().try_for_each(|name| write!(f, "\n  {name}"))
            }
            Self::Several { name, at_hand } => {
                let count = at_hand.len();
                write!(
                    f,
                    "{count} settings are called “{name}”. Say which, or give one of them another name:"
                )?;
                at_hand.iter().try_for_each(|name| write!(f, "\n  {name}"))
            }
            Self::Output(error) => write!(f, "The result could not be written: {error}."),
        }
    }
}

/// Reads a bench file.
fn open_bench(path: &Path) -> Result<Bench, Stopped> {
    let loaded = read_text(path).map_err(|error| Stopped::File(error.to_string()))?;
    read_bench(&loaded.text)
        .map_err(|fault| Stopped::File(format!("{} cannot be read. {fault}", path.display())))
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]
mod tests {
    use super::*;

    fn parse(words: &[&str]) -> Result<Command, Usage> {
        Command::parse(words.iter().map(OsString::from))
    }

    fn evaluated(file: &str, setting: Option<&str>, format: Format) -> Command {
        Command::Run(Subcommand::Evaluate { file: file.into(), setting: setting.map(str::to_owned), format })
    }

    #[test]
    fn without_a_job_the_window_opens() {
        assert_eq!(parse(&[]), Ok(Command::OpenWindow { file: None }));
        assert_eq!(parse(&["my.ron"]), Ok(Command::OpenWindow { file: Some("my.ron".into()) }));
        assert_eq!(parse(&["--", "--my.ron"]), Ok(Command::OpenWindow { file: Some("--my.ron".into()) }));
    }

    #[test]
    fn evaluate_takes_its_options_in_any_order() {
        assert_eq!(parse(&["evaluate", "a.ron"]), Ok(evaluated("a.ron", None, Format::Text)));
        let asked = evaluated("a.ron", Some("Long grind, 85 mm"), Format::Json);
        assert_eq!(
            parse(&["evaluate", "--format=json", "a.ron", "--setting", "Long grind, 85 mm"]),
            Ok(asked.clone())
        );
        assert_eq!(
            parse(&["evaluate", "a.ron", "--setting=Long grind, 85 mm", "--format", "json"]),
            Ok(asked)
        );
    }

    #[test]
    fn picture_wants_a_file_a_setting_and_a_place() {
        let asked = Command::Run(Subcommand::Picture {
            file: "a.ron".into(),
            setting: "Both faces".to_owned(),
            out: "b.SVG".into(),
            view: PictureView::Side,
        });
        assert_eq!(parse(&["picture", "a.ron", "--setting", "Both faces", "-o", "b.SVG"]), Ok(asked.clone()));
        assert_eq!(parse(&["picture", "--view=side", "-ob.SVG", "--setting=Both faces", "a.ron"]), Ok(asked));
    }

    #[test]
    fn wrong_words_are_named() {
        for (words, named) in [
            (&["--colour"][..], "--colour"),
            (&["a.ron", "b.ron"], "b.ron"),
            (&["evaluate"], "Which bench file"),
            (&["evaluate", "a.ron", "b.ron"], "b.ron"),
            (&["evaluate", "a.ron", "--format", "xml"], "xml"),
            (&["evaluate", "a.ron", "--setting"], "--setting"),
            (&["picture", "--setting", "x", "-o", "b.svg"], "Which bench file"),
            (&["picture", "a.ron", "-o", "b.svg"], "Which setting"),
            (&["picture", "a.ron", "--setting", "x"], "Where"),
            (&["picture", "a.ron", "--setting", "x", "-o", "b.jpg"], "b.jpg"),
            (&["picture", "a.ron", "--setting", "x", "-o", "b.svg", "--view", "top"], "top"),
        ] {
            let usage = parse(words).unwrap_err();
            assert!(usage.message.contains(named), "{words:?}: {usage}");
        }
    }

    #[test]
    fn help_names_every_job_and_every_exit_code() {
        assert_eq!(parse(&["-h"]), Ok(Command::Run(Subcommand::Help)));
        let (mut out, mut stderr) = (Vec::new(), Vec::new());
        assert_eq!(Subcommand::Help.run(&mut out, &mut stderr), 0);
        let text = String::from_utf8(out).unwrap();
        for word in [
            "evaluate",
            "find",
            "bevelbench ink",
            "bevelbench match",
            "bevelbench one-reach",
            "bevelbench fit",
            "bevelbench wear",
            "bevelbench carry",
            "bevelbench check",
            "picture",
            "--view",
            "-o",
            "--setting",
            "--format",
            "--help",
            "--version",
            "0 every",
            "1 one",
            "2 the",
        ] {
            assert!(text.contains(word), "{word}");
        }
        assert!(stderr.is_empty());
    }

    #[test]
    fn version_is_the_package_s_own() {
        let (mut out, mut stderr) = (Vec::new(), Vec::new());
        assert_eq!(Subcommand::Version.run(&mut out, &mut stderr), 0);
        assert_eq!(String::from_utf8(out).unwrap().trim(), concat!("bevelbench ", env!("CARGO_PKG_VERSION")));
    }
}
