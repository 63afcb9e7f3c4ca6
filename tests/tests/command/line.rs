//! The command line as people meet it: what the README prints works, help, completions and the manual follow one
//! definition, nothing that a file holds is obeyed by a terminal.

use std::{ffi::OsString, path::Path};

use bevelbench::command::Command;
use bevelbench_notebook::saved::{
    Bench,
    file::{read_bench, write_bench},
};

const ROOT: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/..");
const DEMO: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../demo/workshop.bench.ron");

/// Runs a command line: exit code, output, errors.
fn run(words: &[impl AsRef<str>]) -> (u8, String, String) {
    let command = Command::parse(words.iter().map(|word| OsString::from(word.as_ref())));
    let Ok(Command::Run(subcommand)) = command else { panic!("{command:?}") };
    let (mut out, mut stderr) = (Vec::new(), Vec::new());
    let code = subcommand.run(&mut out, &mut stderr);
    (code, String::from_utf8(out).unwrap(), String::from_utf8(stderr).unwrap())
}

fn usage(words: &[&str]) -> String {
    Command::parse(words.iter().map(OsString::from)).unwrap_err().message
}

/// Words as a shell splits them, double quotes taken off.
fn shell_words(line: &str) -> Vec<String> {
    let mut words = vec![String::new()];
    let mut quoted = false;
    for c in line.trim().chars() {
        match c {
            '"' => quoted = !quoted,
            ' ' if !quoted => words.push(String::new()),
            c => words.last_mut().unwrap().push(c),
        }
    }
    words.retain(|word| !word.is_empty());
    words
}

#[test]
fn every_command_that_the_readme_prints_works() {
    let readme = std::fs::read_to_string(Path::new(ROOT).join("README.md")).unwrap();
    let folder = tempfile::tempdir().unwrap();
    let here = |name: &str| folder.path().join(name).to_str().unwrap().to_owned();
    std::fs::create_dir(folder.path().join("demo")).unwrap();
    std::fs::copy(DEMO, here("demo/workshop.bench.ron")).unwrap();
    let mut ran = Vec::new();
    for line in readme.lines().filter_map(|line| line.strip_prefix("    bevelbench ")) {
        let (line, remark) = line.split_once(" # ").unwrap_or((line, ""));
        let mut words = shell_words(line);
        for index in 0..words.len() {
            if words[index].starts_with("demo/") || index > 0 && words[index - 1] == "-o" {
                words[index] = here(&words[index]);
            }
        }
        let (code, out, stderr) = run(&words);
        let promised = u8::from(remark.contains("exit code 1"));
        assert_eq!((code, stderr.as_str()), (promised, ""), "{line}: {out}");
        let written = words.iter().position(|word| word == "-o").map(|at| &words[at + 1]);
        assert!(!out.is_empty() || written.is_some(), "{line} says nothing");
        if let Some(written) = written {
            assert!(std::fs::metadata(written).unwrap().len() > 500, "{line}");
        }
        ran.push(words[0].clone());
    }
    // And it prints them all.
    let (_, help, _) = run(&["--help"]);
    let listed = help.split("Commands:").nth(1).unwrap().split("\n\n").next().unwrap();
    for line in listed.lines().filter(|line| line.starts_with("  ") && !line.starts_with("   ")) {
        let word = line.split_whitespace().next().unwrap();
        assert!(word == "help" || ran.iter().any(|ran| ran == word), "{word} is not in the README");
    }
    assert!(ran.len() >= 22, "{ran:?}");
}

#[test]
fn completions_and_manual_name_every_word_and_flag() {
    for shell in ["bash", "zsh", "fish", "elvish", "powershell"] {
        let (code, text, _) = run(&["completions", shell]);
        assert!(code == 0, "{shell}");
        for word in ["one-reach", "wear-tables", "strut-angle", "bars-mm"] {
            assert!(text.contains(word), "{word} in {shell}");
        }
    }
    let (code, page, _) = run(&["man"]);
    assert!(code == 0 && page.contains(".TH bevelbench") && page.contains("one\\-reach"), "{page}");
    let (code, page, _) = run(&["man", "find"]);
    assert!(code == 0 && page.contains("wing\\-sweep") && page.contains("protractor"), "{page}");
    let (code, _, stderr) = run(&["man", "fnd"]);
    assert!(code == 2 && stderr.contains("find"), "{stderr}");
}

#[test]
fn quantities_are_those_of_the_notebook_and_no_more() {
    // 1/2 in is 12.7 mm; 45°30′ is 45.5°.
    for (words, value) in [
        (["find", "a", "--setting", "x", "--bevel", "45°30′", "--wing-sweep", "1/2 in"], "45.5"),
        (["find", "a", "--setting", "x", "--bevel", "45,5", "--wing-sweep", "12.7mm"], "45.5"),
    ] {
        let parsed = format!("{:?}", Command::parse(words.iter().map(OsString::from)).unwrap());
        assert!(parsed.contains(value) && parsed.contains("12.7"), "{parsed}");
    }
    for text in ["45deg+-1deg", "45+-1", "45±1", "45deg +−1deg", "45deg+/-1deg"] {
        let told = usage(&["find", "a", "--setting", "x", "--bevel", text]);
        assert!(told.contains("how far the value may be off"), "{told}");
    }
    // Where a reading may carry its ± it still does.
    let (code, out, _) =
        run(&["match", DEMO, "--facet", "6mm+-0.1mm", "--protractor", "45deg±0.2deg", "--hollow", "0.06mm"]);
    assert!(code == 0 && out.contains("45° ±"), "{out}");
}

#[test]
fn two_orders_that_exclude_each_other_are_refused() {
    for words in [
        &["find", "a", "--setting", "x", "--bevel", "45", "--wing-sweep", "1", "--wing-bevel", "30"][..],
        &["carry", "a", "--to", "x", "--all", "--setting", "y"],
        &["cards", "a", "-o", "b.pdf", "--setting", "x", "--rig", "y"],
        &["ink", "a", "--setting", "x", "--seen", "heel"],
    ] {
        assert!(Command::parse(words.iter().map(OsString::from)).is_err(), "{words:?}");
    }
}

#[test]
fn an_empty_bench_and_one_trial_are_told_in_words() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("bare.bench.ron");
    std::fs::write(&file, write_bench(&Bench { title: "Bare".into(), ..Bench::default() }).unwrap()).unwrap();
    let (code, out, _) = run(&["evaluate", file.to_str().unwrap()]);
    assert_eq!((code, out.as_str()), (0, "This bench has no settings.\n"));
    let (_, out, _) = run(&["fit", DEMO, "--trial", "Long grind, 85 mm=40.5deg", "--fit", "arm-zero-x"]);
    assert!(out.starts_with("1 trial, each"), "{out}");
}

#[test]
fn wear_to_a_diameter_tells_the_same_in_words_and_as_a_table() {
    // On a superabrasive wheel, which hardly wears, and on one that does.
    for name in ["Swept, keeping wheel", "Both faces, shaping wheel"] {
        let words = ["wear", DEMO, "--setting", name, "--to", "150mm"];
        let (_, text, _) = run(&words);
        let (_, csv, _) = run(&[&words[..], &["--format", "csv"]].concat());
        let row: Vec<&str> = csv.lines().nth(2).unwrap().split(',').collect();
        let told = text.lines().find(|line| line.contains("150.0 mm")).unwrap_or_else(|| panic!("{text}"));
        let left: f64 = row[1].parse().unwrap();
        assert!(told.contains(&format!("{left:.2}°")), "{told} for {left}");
    }
}

#[test]
fn standing_advice_is_said_once_and_what_is_particular_stands_with_its_setting() {
    for words in [&["check", DEMO][..], &["evaluate", DEMO], &["carry", DEMO, "--to", "Travelling rig"]] {
        let (_, text, _) = run(words);
        for once in ["Eyes and lungs", "before anything said here", "hangs on a pivot"] {
            assert_eq!(text.matches(once).count(), 1, "{once} in {words:?}");
        }
    }
    // Every warning of every setting is still there, before its other lines.
    let (_, text, _) = run(&["check", DEMO]);
    let (_, json, _) = run(&["check", DEMO, "--format", "json"]);
    let report: serde_json::Value = serde_json::from_str(&json).unwrap();
    let mut unread = 0;
    for setting in report["settings"].as_array().unwrap() {
        let name = setting["setting"].as_str().unwrap();
        let part = text.split("\n\n").find(|part| part.starts_with(name)).unwrap();
        let mut place = 0;
        for caution in setting["cautions"].as_array().unwrap() {
            let (code, words) = (caution["code"].as_str().unwrap(), caution["text"].as_str().unwrap());
            if ["eyes_and_lungs", "no_rest", "local_rules"].contains(&code) {
                assert!(text.contains(words));
                continue;
            }
            let at = part.find(words).unwrap_or_else(|| panic!("{name}: {words}"));
            assert!(at > place, "{name}: {words}");
            place = at;
            unread += usize::from(code == "marking_unread");
        }
    }
    assert!(unread > 0);
}

#[test]
fn nothing_that_a_bench_holds_is_obeyed_by_a_terminal() {
    let folder = tempfile::tempdir().unwrap();
    let mut bench = read_bench(&std::fs::read_to_string(DEMO).unwrap()).unwrap();
    let wild = "Wild\u{1b}]0;title\u{7}\u{1b}[2J\u{9b}31m\u{202e}name";
    bench.settings[0].name = wild.to_owned();
    let rig = bench.settings[0].rig;
    bench.rigs.iter_mut().find(|one| one.id == rig).unwrap().name = wild.to_owned();
    let file = folder.path().join("wild.bench.ron");
    let text = write_bench(&bench).unwrap();
    std::fs::write(&file, &text).unwrap();
    let file = file.to_str().unwrap();
    let raw = |text: &str| {
        text.contains(|c: char| c.is_control() && c != '\n' || ('\u{202a}'..='\u{202e}').contains(&c))
    };
    for words in [
        &["evaluate", file][..],
        &["check", file],
        &["one-reach", file],
        &["evaluate", file, "--setting", "No\u{1b}[31m one"],
        &["carry", file, "--to", "Nowhere"],
        &["evaluate", "no\u{1b}[31m file.ron"],
    ] {
        let (_, out, stderr) = run(words);
        assert!(!raw(&out) && !raw(&stderr), "{words:?}: {out:?} {stderr:?}");
        assert!(out.contains("\\u001b") || stderr.contains("\\u001b"), "{words:?}");
    }
    assert!(!raw(&usage(&["evaluate", file, "--format", "\u{1b}[31m"])));
    // A script still reads the name that is there.
    let (_, out, _) = run(&["evaluate", file, "--format", "json"]);
    let records: serde_json::Value = serde_json::from_str(&out).unwrap();
    assert_eq!(records[0]["setting"], read_bench(&text).unwrap().settings[0].name.as_str());
}
