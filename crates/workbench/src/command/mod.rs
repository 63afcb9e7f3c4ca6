//! The command line: the same jobs as in the window, for scripts and for machines without a display.
//!
//! `bevelbench` opens the window; everything else is a [`Subcommand`], one struct each beside what it does, which writes
//! to the streams it is given and ends with an exit code: 0 when every setting has an answer, 1 when one has none, 2 when
//! the command, the file or the output stands in the way. Help, completions and the manual come from the structs.

mod accept;
mod bench_file;
mod carry;
mod check;
mod evaluate;
mod find;
mod fit;
mod ink;
mod line;
mod manual;
mod matching;
mod one_reach;
mod output;
mod picture;
mod print;
mod printable;
mod quantities;
mod record;
mod share;
mod stopped;
mod wear;

use std::{
    io::{self, Write},
    path::PathBuf,
};

use bench_file::by_name::setting_named;
use bench_file::{BenchFile, Opened, write_record, write_records};
use output::Output;
use printable::Printable;
use stopped::Stopped;

pub use accept::Accept;
pub use carry::Carry;
pub use check::Check;
pub use evaluate::Evaluate;
pub use find::Find;
pub use fit::Fit;
pub use ink::Ink;
pub use line::Usage;
pub use manual::{Completions, Man};
pub use matching::Match;
pub use one_reach::OneReach;
pub use picture::Picture;
pub use print::{Gauges, Handout, LessonSheet, Sheets};
pub use record::swept::{EdgeRecord, RollLineRecord, SweptRecord};
pub use record::{CautionRecord, ErrorRecord, Record};
pub use share::Share;
pub use wear::Wear;

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
#[derive(Debug, Clone, PartialEq, clap::Subcommand)]
pub enum Subcommand {
    /// Answer every setting of a bench file.
    Evaluate(Evaluate),
    /// Find what to set for a bevel and a wing: every answer.
    Find(Find),
    /// Find one reach of the arm for many settings, by projection alone.
    OneReach(OneReach),
    /// Tell where ink goes on a tool's present facet, or what it says where it was rubbed.
    Ink(Ink),
    /// Tell what a tool is ground to, and on which wheel of the bench.
    Match(Match),
    /// Fit a rig's hidden dimensions to trial grinds.
    Fit(Fit),
    /// Tell what a setting grinds as its wheel wears, and what to set instead.
    Wear(Wear),
    /// Take settings to another rig, wheel, holder or projection, new beside old.
    Carry(Carry),
    /// Tell every caution of every setting, drift, and what of a rig is beyond a limit.
    ///
    /// The exit code is 1 where a setting is unsafe or impossible, or a rig is beyond a limit.
    Check(Check),
    /// Draw a setting to scale.
    Picture(Picture),
    /// Print setting cards, several to a large sheet.
    Cards(Sheets),
    /// Print a wall chart for each rig.
    Chart(Sheets),
    /// Print sticks, blocks, templates and outlines at true size.
    Gauges(Gauges),
    /// Print the rigs' dimensions with where each is measured.
    BenchSheet(Sheets),
    /// Print what to set as the wheel wears, a page a setting.
    WearTables(Sheets),
    /// Print lines to write on.
    LogSheet(Sheets),
    /// Print two settings side by side, what differs in words.
    Handout(Handout),
    /// Print lessons, step by step.
    LessonSheet(LessonSheet),
    /// Write one part as a small bench file that another bench imports.
    Share(Share),
    /// Accept a bench file that was edited by hand: its checksum is made anew.
    ///
    /// It must read as a bench; nothing of its text changes but the line with the checksum at its end, and the file as it
    /// was stays beside it with .before at the end of its name.
    Accept(Accept),
    /// Print what a shell needs to complete the words of this command.
    Completions(Completions),
    /// Print the manual page, of the whole command or of one subcommand.
    Man(Man),
    /// A text to be said: help, or the version.
    #[command(skip)]
    Say(String),
}

/// How answers are written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, clap::ValueEnum)]
pub enum Format {
    /// For people.
    #[default]
    Text,
    /// For scripts.
    Json,
}

impl Subcommand {
    /// What in the command line contradicts itself, beyond what its definition can tell.
    fn contradiction(&self) -> Option<String> {
        match self {
            Self::Picture(picture) => picture.contradiction(),
            Self::Cards(sheets)
            | Self::Chart(sheets)
            | Self::BenchSheet(sheets)
            | Self::WearTables(sheets)
            | Self::LogSheet(sheets) => sheets.contradiction(),
            Self::Gauges(gauges) => gauges.contradiction(),
            Self::Handout(handout) => handout.contradiction(),
            Self::LessonSheet(lessons) => lessons.contradiction(),
            Self::Share(share) => share.contradiction(),
            _ => None,
        }
    }

    /// Does it: results to `out`, errors to `stderr`; the exit code comes back. Nothing that a terminal would
    /// obey reaches either.
    pub fn run(&self, out: &mut dyn Write, stderr: &mut dyn Write) -> u8 {
        let (out, stderr) = (&mut Printable::new(out), &mut Printable::new(stderr));
        let done = self.answer(out, stderr);
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

    fn answer(&self, out: &mut dyn Write, stderr: &mut dyn Write) -> Result<u8, Stopped> {
        use bevelbench_notebook::paper::request::PrintKind;
        match self {
            Self::Evaluate(evaluate) => evaluate.run(out, stderr),
            Self::Find(find) => find.run(out, stderr),
            Self::OneReach(one_reach) => one_reach.run(out, stderr),
            Self::Ink(ink) => ink.run(out, stderr),
            Self::Match(asked) => asked.run(out, stderr),
            Self::Fit(fit) => fit.run(out, stderr),
            Self::Wear(wear) => wear.run(out, stderr),
            Self::Carry(carry) => carry.run(out, stderr),
            Self::Check(check) => check.run(out, stderr),
            Self::Picture(picture) => picture.run(stderr),
            Self::Cards(sheets) => sheets.run(PrintKind::Cards, out, stderr),
            Self::Chart(sheets) => sheets.run(PrintKind::Chart, out, stderr),
            Self::BenchSheet(sheets) => sheets.run(PrintKind::BenchSheet, out, stderr),
            Self::WearTables(sheets) => sheets.run(PrintKind::WearTables, out, stderr),
            Self::LogSheet(sheets) => sheets.run(PrintKind::LogSheet, out, stderr),
            Self::Gauges(gauges) => gauges.run(out, stderr),
            Self::Handout(handout) => handout.run(out, stderr),
            Self::LessonSheet(lessons) => lessons.run(out, stderr),
            Self::Share(share) => share.run(stderr),
            Self::Accept(accept) => accept.run(out),
            Self::Completions(completions) => completions.run(out),
            Self::Man(man) => man.run(out),
            Self::Say(text) => out.write_all(text.as_bytes()).map(|()| ANSWERED).map_err(Stopped::Output),
        }
    }
}
