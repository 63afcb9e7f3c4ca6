//! `share`: one part of a bench as a small bench file.

use std::io::Write;

use bevelbench_notebook::{
    saved::{
        Bench,
        file::write_bench,
        share::{Shared, shared},
    },
    store,
};

use super::{ANSWERED, BenchFile, Opened, Output, Stopped, setting_named};

/// What `share` is asked.
#[derive(Debug, Clone, PartialEq, Eq, clap::Args)]
pub struct Share {
    /// The bench file.
    #[command(flatten)]
    pub file: BenchFile,
    /// Which part.
    #[command(flatten)]
    pub part: Part,
    /// Where to: OUT.bench.ron.
    #[command(flatten)]
    pub output: Output,
}

/// The part that is shared: one of these.
#[derive(Debug, Clone, PartialEq, Eq, clap::Args)]
#[group(required = true)]
pub struct Part {
    /// A setting with all that it needs.
    #[arg(long, value_name = "NAME", allow_hyphen_values = true)]
    pub setting: Vec<String>,
    /// A tool.
    #[arg(long, value_name = "NAME", allow_hyphen_values = true)]
    pub tool: Vec<String>,
    /// A rig.
    #[arg(long, value_name = "NAME", allow_hyphen_values = true)]
    pub rig: Vec<String>,
    /// A lesson with its settings.
    #[arg(long, value_name = "NAME", allow_hyphen_values = true)]
    pub lesson: Vec<String>,
}

impl Part {
    /// Kind and name of every part that was asked for.
    fn all(&self) -> Vec<(&'static str, &str)> {
        [("setting", &self.setting), ("tool", &self.tool), ("rig", &self.rig), ("lesson", &self.lesson)]
            .into_iter()
            .flat_map(|(kind, names)| names.iter().map(move |name| (kind, name.as_str())))
            .collect()
    }
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

impl Share {
    pub(super) fn contradiction(&self) -> Option<String> {
        (self.part.all().len() > 1)
            .then(|| "One part at a time: a setting, a tool, a rig or a lesson.".to_owned())
    }

    /// Writes the part.
    pub(super) fn run(&self, stderr: &mut dyn Write) -> Result<u8, Stopped> {
        let Opened { bench, .. } = self.file.open(stderr)?;
        let out = &self.output.path;
        for (kind, name) in self.part.all() {
            let what = named(&bench, kind, name)?;
            let small = shared(&bench, what).ok_or_else(|| {
                Stopped::File(format!(
                    "Part of what “{name}” needs is not on this bench, so it cannot go anywhere."
                ))
            })?;
            self.output.look(&self.file.path, std::slice::from_ref(out))?;
            let text = write_bench(&small).map_err(Stopped::File)?;
            store::write_text(out, &text).map_err(|error| Stopped::File(error.to_string()))?;
        }
        Ok(ANSWERED)
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]
mod tests {
    use crate::command::{Command, Subcommand};

    #[test]
    fn one_part_is_asked_for_and_named() {
        let parsed = |words: &[&str]| Command::parse(words.iter().map(std::ffi::OsString::from));
        let asked = parsed(&["share", "a.ron", "--tool", "Skew", "-o", "b.bench.ron"]).unwrap();
        let Command::Run(Subcommand::Share(share)) = asked else { panic!("{asked:?}") };
        assert_eq!(share.part.all(), [("tool", "Skew")]);
        for (words, named) in [
            (&["share", "a.ron", "-o", "b"][..], "--setting"),
            (&["share", "--tool", "x", "-o", "b"], "<FILE>"),
            (&["share", "a.ron", "--tool", "x"], "--output"),
            (&["share", "a.ron", "--tool", "x", "--rig", "y", "-o", "b"], "One part"),
            (&["share", "a.ron", "--tool", "x", "--tool", "y", "-o", "b"], "One part"),
        ] {
            let usage = parsed(words).unwrap_err();
            assert!(usage.message.contains(named), "{words:?}: {usage}");
        }
    }
}
