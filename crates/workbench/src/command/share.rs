//! `share`: one part of a bench as a small bench file.

use std::path::PathBuf;

use bevelbench_notebook::{
    saved::{
        Bench,
        file::write_bench,
        share::{Shared, shared},
    },
    store,
};
use lexopt::{Arg, Parser, ValueExt};

use super::{ANSWERED, Command, Stopped, Subcommand, Usage, open_bench, setting_named};

/// What is handed on, as it was asked for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ShareArgs {
    /// The bench file.
    pub file: PathBuf,
    /// `setting`, `tool`, `rig` or `lesson`.
    pub kind: &'static str,
    /// Its name.
    pub name: String,
    /// Where to.
    pub out: PathBuf,
}

pub(super) fn parse(parser: &mut Parser) -> Result<Command, Usage> {
    let (mut file, mut part, mut out) = (None, None, None);
    while let Some(argument) = parser.next()? {
        let kind = match argument {
            Arg::Long("setting") => "setting",
            Arg::Long("tool") => "tool",
            Arg::Long("rig") => "rig",
            Arg::Long("lesson") => "lesson",
            Arg::Short('o') | Arg::Long("output") => {
                out = Some(PathBuf::from(parser.value()?));
                continue;
            }
            Arg::Short('h') | Arg::Long("help") => return Ok(Command::Run(Subcommand::Help)),
            Arg::Value(value) if file.is_none() => {
                file = Some(PathBuf::from(value));
                continue;
            }
            other => return Err(other.unexpected().into()),
        };
        let name = parser.value()?.string()?;
        if part.replace((kind, name)).is_some() {
            return Err(Usage::new("One part at a time: a setting, a tool, a rig or a lesson."));
        }
    }
    let missing = |what: &str| {
        Usage::new(format!("{what} Write: bevelbench share FILE --setting NAME -o OUT.bench.ron."))
    };
    let (kind, name) = part.ok_or_else(|| missing("Which part?"))?;
    Ok(Command::Run(Subcommand::Share(ShareArgs {
        file: file.ok_or_else(|| missing("Which bench file?"))?,
        kind,
        name,
        out: out.ok_or_else(|| missing("Where should it go?"))?,
    })))
}

/// The part of a name.
fn named(bench: &Bench, kind: &str, name: &str) -> Result<Shared, Stopped> {
    let found = match kind {
        "tool" => bench.tools.iter().find(|tool| tool.name == name).map(|tool| Shared::Tool(tool.id)),
        "rig" => bench.rigs.iter().find(|rig| rig.name == name).map(|rig| Shared::Rig(rig.id)),
        "lesson" => bench.lessons.iter().position(|lesson| lesson.title == name).map(Shared::Lesson),
        _ => return setting_named(bench, name).map(|entry| Shared::Setting(entry.id)),
    };
    found.ok_or_else(|| Stopped::File(format!("There is no {kind} called “{name}” on this bench.")))
}

/// Writes it, unless there is a file of that name already.
pub(super) fn run(args: &ShareArgs) -> Result<u8, Stopped> {
    let ShareArgs { file, kind, name, out } = args;
    let bench = open_bench(file)?;
    let what = named(&bench, kind, name)?;
    let small = shared(&bench, what).ok_or_else(|| {
        Stopped::File(format!("Part of what “{name}” needs is not on this bench, so it cannot go anywhere."))
    })?;
    if out.exists() {
        let place = out.display();
        return Err(Stopped::File(format!(
            "{place} is there already and stays as it is. Choose another name."
        )));
    }
    let text = write_bench(&small).map_err(Stopped::File)?;
    store::write_text(out, &text).map_err(|error| Stopped::File(error.to_string()))?;
    Ok(ANSWERED)
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]
mod tests {
    use super::*;

    #[test]
    fn one_part_is_asked_for_and_named() {
        let parsed = |words: &[&str]| Command::parse(words.iter().map(std::ffi::OsString::from));
        let asked = parsed(&["share", "a.ron", "--tool", "Skew", "-o", "b.bench.ron"]).unwrap();
        assert_eq!(
            asked,
            Command::Run(Subcommand::Share(ShareArgs {
                file: "a.ron".into(),
                kind: "tool",
                name: "Skew".to_owned(),
                out: "b.bench.ron".into()
            }))
        );
        for (words, named) in [
            (&["share", "a.ron", "-o", "b"][..], "Which part"),
            (&["share", "--tool", "x", "-o", "b"], "Which bench file"),
            (&["share", "a.ron", "--tool", "x"], "Where"),
            (&["share", "a.ron", "--tool", "x", "--rig", "y", "-o", "b"], "One part"),
        ] {
            let usage = parsed(words).unwrap_err();
            assert!(usage.message.contains(named), "{words:?}: {usage}");
        }
    }
}
