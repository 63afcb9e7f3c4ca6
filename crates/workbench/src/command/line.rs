//! The command line as it is typed: words into a [`Command`], or what is wrong with them.

use std::{ffi::OsString, fmt, path::PathBuf};

use clap::{
    CommandFactory as _, FromArgMatches as _, Parser, Subcommand as _,
    error::{ContextKind, ErrorKind},
};

use super::{Command, Subcommand, printable::escaped};

/// Bevelbench: a workbench for keeping turning tools sharp.
///
/// Without a subcommand the window opens: on your own bench, or on FILE.
#[derive(Debug, Parser)]
#[command(
    name = "bevelbench",
    version,
    args_conflicts_with_subcommands = true,
    args_override_self = true,
    after_help = AFTER_HELP
)]
pub(super) struct Line {
    /// The bench file that the window opens; without one, your own bench
    file: Option<PathBuf>,
    #[command(subcommand)]
    subcommand: Option<Subcommand>,
}

const AFTER_HELP: &str = "\
Lengths are millimetres, angles degrees, unless a unit is written: 75mm, 3in, 1 1/2in, 45deg. Places are
measured from the wheel's centre: x towards the operator, z up.

Exit codes: 0 every setting has an answer; 1 one has none, and the reason is given; 2 the command line,
the file or the output stands in the way.";

/// A command line that says nothing this program understands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Usage {
    /// What was wrong, and what may have been meant.
    pub message: String,
}

impl fmt::Display for Usage {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.message)
    }
}

impl std::error::Error for Usage {}

impl From<clap::Error> for Usage {
    fn from(error: clap::Error) -> Self {
        Self { message: escaped(error.render().to_string().trim_end()).into_owned() }
    }
}

/// The program's whole command line, for help, completions and the manual.
pub(super) fn definition() -> clap::Command {
    Line::command()
}

impl Command {
    /// Reads a command line, without the program's own name.
    ///
    /// # Errors
    /// [`Usage`], with what was wrong.
    pub fn parse(arguments: impl IntoIterator<Item = OsString>) -> Result<Self, Usage> {
        let words: Vec<OsString> = std::iter::once("bevelbench".into()).chain(arguments).collect();
        let read = definition().try_get_matches_from(&words).and_then(|found| Line::from_arg_matches(&found));
        match read {
            Ok(Line { subcommand: Some(subcommand), .. }) => match subcommand.contradiction() {
                None => Ok(Self::Run(subcommand)),
                Some(words) => Err(definition().error(ErrorKind::ArgumentConflict, words).into()),
            },
            Ok(Line { file, .. }) => match file.as_ref().and_then(|_| misspelt(&words)) {
                Some(error) => Err(error.into()),
                None => Ok(Self::OpenWindow { file }),
            },
            Err(error) if matches!(error.kind(), ErrorKind::DisplayHelp | ErrorKind::DisplayVersion) => {
                Ok(Self::Run(Subcommand::Say(error.render().to_string())))
            }
            Err(error) => Err(misspelt(&words).unwrap_or(error).into()),
        }
    }
}

/// What is to be said where the first word is no file and resembles a subcommand.
fn misspelt(words: &[OsString]) -> Option<clap::Error> {
    let first = words.get(1).map(std::path::Path::new)?;
    if first.extension().is_some() || first.exists() {
        return None;
    }
    let words_only = Subcommand::augment_subcommands(clap::Command::new("bevelbench"));
    let error = words_only.try_get_matches_from(&words[..2]).err()?;
    let meant = error.kind() == ErrorKind::InvalidSubcommand
        && error.context().any(|(kind, _)| kind == ContextKind::SuggestedSubcommand);
    meant.then_some(error)
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]
mod tests {
    use super::*;

    fn parse(words: &[&str]) -> Result<Command, Usage> {
        Command::parse(words.iter().map(OsString::from))
    }

    #[test]
    fn the_definition_is_sound() {
        definition().debug_assert();
    }

    #[test]
    fn without_a_job_the_window_opens() {
        assert_eq!(parse(&[]), Ok(Command::OpenWindow { file: None }));
        assert_eq!(parse(&["my.ron"]), Ok(Command::OpenWindow { file: Some("my.ron".into()) }));
        assert_eq!(parse(&["--", "--my.ron"]), Ok(Command::OpenWindow { file: Some("--my.ron".into()) }));
    }

    #[test]
    fn options_come_in_any_order_and_the_last_of_two_holds() {
        let plain =
            parse(&["evaluate", "a.ron", "--setting", "Long grind, 85 mm", "--format", "json"]).unwrap();
        for words in [
            &["evaluate", "--format=json", "a.ron", "--setting", "Long grind, 85 mm"][..],
            &["evaluate", "a.ron", "--setting=Long grind, 85 mm", "--format", "text", "--format", "json"],
        ] {
            assert_eq!(parse(words).as_ref(), Ok(&plain));
        }
        let picture = parse(&["picture", "a.ron", "--setting", "Both faces", "-o", "b.SVG"]);
        assert_eq!(parse(&["picture", "--view=side", "-ob.SVG", "--setting=Both faces", "a.ron"]), picture);
        assert!(picture.is_ok());
        // A name may begin with a hyphen.
        assert!(parse(&["evaluate", "a.ron", "--setting", "-1 mm"]).is_ok());
    }

    #[test]
    fn wrong_words_are_named() {
        for (words, named) in [
            (&["--colour"][..], "--colour"),
            (&["a.ron", "b.ron"], "b.ron"),
            (&["evaluate"], "<FILE>"),
            (&["evaluate", "a.ron", "b.ron"], "b.ron"),
            (&["evaluate", "a.ron", "--format", "xml"], "xml"),
            (&["evaluate", "a.ron", "--setting"], "--setting"),
            (&["picture", "--setting", "x", "-o", "b.svg"], "<FILE>"),
            (&["picture", "a.ron", "-o", "b.svg"], "--setting"),
            (&["picture", "a.ron", "--setting", "x"], "--output"),
            (&["picture", "a.ron", "--setting", "x", "-o", "b.jpg"], "b.jpg"),
            (&["picture", "a.ron", "--setting", "x", "-o", "b.svg", "--view", "top"], "top"),
        ] {
            let usage = parse(words).unwrap_err();
            assert!(usage.message.contains(named), "{words:?}: {usage}");
        }
    }

    #[test]
    fn a_misspelt_word_is_answered_with_the_one_meant() {
        for words in [&["evalute"][..], &["evalute", "a.ron"], &["evalute", "a.ron", "--format", "json"]] {
            let usage = parse(words).unwrap_err();
            assert!(usage.message.contains("'evaluate'"), "{usage}");
        }
        let usage = parse(&["evaluate", "a.ron", "--formt", "json"]).unwrap_err();
        assert!(usage.message.contains("'--format'"), "{usage}");
        // A file of such a name is a file.
        assert!(parse(&["check.ron"]).is_ok());
    }

    #[test]
    fn nothing_that_was_typed_reaches_the_terminal_raw() {
        let usage = parse(&["evaluate", "a.ron", "--format", "\u{1b}[31mred"]).unwrap_err();
        assert!(!usage.message.contains('\u{1b}') && usage.message.contains("\\u001b[31mred"), "{usage}");
    }

    #[test]
    fn help_names_every_job_and_every_exit_code() {
        for asked in [&["-h"][..], &["--help"]] {
            let Ok(Command::Run(Subcommand::Say(text))) = parse(asked) else { panic!("{asked:?}") };
            for word in [
                "evaluate",
                "find",
                "ink",
                "match",
                "one-reach",
                "fit",
                "wear",
                "carry",
                "check",
                "picture",
                "cards",
                "chart",
                "gauges",
                "bench-sheet",
                "wear-tables",
                "log-sheet",
                "handout",
                "lesson-sheet",
                "share",
                "accept",
                "completions",
                "man",
                "--help",
                "--version",
                "0 every",
                "1 one",
                "2 the",
            ] {
                assert!(text.contains(word), "{word}");
            }
        }
        let Ok(Command::Run(Subcommand::Say(text))) = parse(&["picture", "--help"]) else { panic!() };
        for word in ["--setting", "--view", "-o, --output", "tip:", "plan:", "curves:"] {
            assert!(text.contains(word), "{word}: {text}");
        }
    }

    #[test]
    fn version_is_the_package_s_own() {
        let version = concat!("bevelbench ", env!("CARGO_PKG_VERSION"), "\n").to_owned();
        assert_eq!(parse(&["--version"]), Ok(Command::Run(Subcommand::Say(version))));
    }
}
