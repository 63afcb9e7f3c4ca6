//! Settings by the names that are typed. A name that several settings have means none of them until the tool is named too.

use bevelbench_notebook::saved::{Bench, SettingEntry};

use crate::command::Stopped;

/// The setting of a name, or of a tool's name and its own (`TOOL / NAME`).
///
/// # Errors
/// What the bench has instead; the ways to name them where several have the name.
pub(in crate::command) fn setting_named<'a>(
    bench: &'a Bench,
    name: &str,
) -> Result<&'a SettingEntry, Stopped> {
    let all = || bench.settings.iter();
    let mut found: Vec<&SettingEntry> = all().filter(|entry| entry.name == name).collect();
    if found.is_empty() {
        found = all().filter(|entry| with_tool(bench, entry) == name).collect();
    }
    match found[..] {
        [] => Err(Stopped::NoSuch {
            what: "setting",
            name: name.to_owned(),
            at_hand: all().map(|entry| entry.name.clone()).collect(),
        }),
        [entry] => Ok(entry),
        _ => Err(Stopped::Several {
            name: name.to_owned(),
            at_hand: found.iter().map(|entry| with_tool(bench, entry)).collect(),
        }),
    }
}

fn with_tool(bench: &Bench, entry: &SettingEntry) -> String {
    let tool = bench.tool(entry.tool).map_or("", |tool| tool.name.as_str());
    format!("{tool} / {}", entry.name)
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]
mod tests {
    use super::*;
    use bevelbench_notebook::saved::library::demo_bench;

    #[test]
    fn a_name_that_two_settings_have_is_refused_and_the_tool_tells_them_apart() {
        let mut bench = demo_bench().unwrap();
        let other = bench.settings.iter().position(|entry| entry.tool != bench.settings[0].tool).unwrap();
        bench.settings[other].name = bench.settings[0].name.clone();
        let (name, id) = (bench.settings[0].name.clone(), bench.settings[other].id);
        let words = setting_named(&bench, &name).unwrap_err().to_string();
        let tool = bench.tool(bench.settings[other].tool).unwrap().name.clone();
        let long = format!("{tool} / {name}");
        assert!(words.contains("2 settings are called") && words.contains(&long), "{words}");
        assert_eq!(setting_named(&bench, &long).unwrap().id, id);
        // Of one tool: only another name helps, and that is said.
        bench.settings[other].tool = bench.settings[0].tool;
        let words = setting_named(&bench, &name).unwrap_err().to_string();
        assert!(words.contains("give one of them another name"), "{words}");
    }

    #[test]
    fn a_name_that_nothing_has_is_answered_with_those_that_are_there() {
        let words = setting_named(&demo_bench().unwrap(), "Nothing").unwrap_err().to_string();
        assert!(
            words.contains("There is no setting called “Nothing”") && words.contains("Long grind, 85 mm")
        );
    }
}
