//! What the command does to files: it writes over none without being told to, over the one it reads never, and it looks at
//! the seal of every bench it reads.

use std::{ffi::OsString, fs, path::Path};

use bevelbench::{command::Command, model::keeper};
use bevelbench_notebook::{
    saved::file::read_bench,
    store::{Seal, read_text, seal},
};

const DEMO: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../demo/workshop.bench.ron");
const NAME: &str = "Long grind, 85 mm";

/// Runs a command line: exit code, output, errors.
fn run(words: &[&str]) -> (u8, String, String) {
    let command = Command::parse(words.iter().map(OsString::from));
    let Ok(Command::Run(subcommand)) = command else { panic!("{command:?}") };
    let (mut out, mut stderr) = (Vec::new(), Vec::new());
    let code = subcommand.run(&mut out, &mut stderr);
    (code, String::from_utf8(out).unwrap(), String::from_utf8(stderr).unwrap())
}

fn text(path: &Path) -> &str {
    path.to_str().unwrap()
}

/// The command lines that write, each to a file of a name, from a bench file.
fn writers<'a>(bench: &'a str, out: &'a str) -> Vec<Vec<&'a str>> {
    let prints = ["cards", "chart", "gauges", "bench-sheet", "wear-tables", "log-sheet", "lesson-sheet"]
        .map(|word| vec![word, bench]);
    let mut all: Vec<Vec<&str>> = prints.into();
    all.push(vec!["handout", bench, "--setting", NAME, "--with", "Short grind, 60 mm"]);
    all.push(vec!["picture", bench, "--setting", NAME]);
    all.push(vec!["share", bench, "--setting", NAME]);
    for words in &mut all {
        words.extend(["-o", out]);
    }
    all
}

#[test]
fn a_file_that_is_there_stays_unless_it_may_go() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("there.svg");
    for words in writers(DEMO, text(&out)).iter().filter(|words| !["cards", "gauges"].contains(&words[0])) {
        // Prints of several pages go to numbered files.
        let several = !["picture", "share", "handout"].contains(&words[0]);
        let words = &words
            .iter()
            .map(|word| if several && *word == text(&out) { "OUT" } else { *word })
            .collect::<Vec<_>>();
        let pdf = folder.path().join("there.pdf");
        let words: Vec<&str> =
            words.iter().map(|word| if *word == "OUT" { text(&pdf) } else { *word }).collect();
        let place = if several { &pdf } else { &out };
        fs::write(place, "mine").unwrap();
        let (code, _, stderr) = run(&words);
        assert!(
            code == 2 && stderr.contains("is there already") && stderr.contains("--force"),
            "{words:?}: {stderr}"
        );
        assert_eq!(fs::read(place).unwrap(), b"mine", "{words:?}");
        let forced = [&words[..], &["--force"]].concat();
        assert_eq!(run(&forced).0, 0, "{words:?}");
        assert!(fs::metadata(place).unwrap().len() > 500, "{words:?}");
        fs::remove_file(place).unwrap();
        assert_eq!(run(&words).0, 0, "{words:?}");
        fs::remove_file(place).unwrap();
    }
}

#[test]
fn pages_that_are_numbered_are_looked_for_before_any_is_written() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("page.svg");
    let words = ["chart", DEMO, "-o", text(&out)];
    assert_eq!(run(&words).0, 0);
    let mut pages: Vec<_> = fs::read_dir(folder.path()).unwrap().map(|entry| entry.unwrap().path()).collect();
    pages.sort();
    assert!(pages.len() >= 2, "{pages:?}");
    for page in &pages[..pages.len() - 1] {
        fs::remove_file(page).unwrap();
    }
    fs::write(pages.last().unwrap(), "mine").unwrap();
    let (code, _, stderr) = run(&words);
    assert!(code == 2 && stderr.contains(text(pages.last().unwrap())), "{stderr}");
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);
}

#[cfg(unix)]
#[test]
fn the_bench_that_is_read_is_never_written_over() {
    use std::os::unix::fs::symlink;
    let folder = tempfile::tempdir().unwrap();
    let inner = folder.path().join("inner");
    fs::create_dir(&inner).unwrap();
    // A bench may have any name; each way leads to the same file.
    let bench = inner.join("bench.svg");
    let whole = fs::read(DEMO).unwrap();
    let ways = |kind: &str| {
        [
            bench.clone(),
            folder.path().join(format!("link.{kind}")),
            folder.path().join(format!("hard.{kind}")),
            inner.join("../inner/bench.svg"),
            folder.path().join("door/bench.svg"),
        ]
    };
    fs::write(&bench, &whole).unwrap();
    symlink(&inner, folder.path().join("door")).unwrap();
    symlink(&bench, folder.path().join("link.svg")).unwrap();
    fs::hard_link(&bench, folder.path().join("hard.svg")).unwrap();
    for place in ways("svg") {
        for words in writers(text(&bench), text(&place)) {
            // Those of several pages write beside the name, which is another file.
            if !["picture", "share", "handout"].contains(&words[0]) {
                continue;
            }
            let (code, _, stderr) = run(&[&words[..], &["--force"]].concat());
            assert!(code == 2 && stderr.contains("never written over"), "{words:?}: {code} {stderr}");
            assert_eq!(fs::read(&bench).unwrap(), whole, "{words:?}");
        }
    }
    // A link that leads nowhere yet is there as well.
    let loose = folder.path().join("loose.svg");
    symlink(folder.path().join("nothing.svg"), &loose).unwrap();
    assert_eq!(run(&["picture", DEMO, "--setting", NAME, "-o", text(&loose)]).0, 2);
    assert!(!folder.path().join("nothing.svg").exists());
}

/// A bench file in which one number was changed behind the seal.
fn tampered(folder: &Path) -> std::path::PathBuf {
    let path = folder.join("tampered.bench.ron");
    let body = read_text(Path::new(DEMO)).unwrap().text;
    let sealed = seal(&body);
    let changed = sealed.replacen("diameter_mm: 158.0", "diameter_mm: 150.0", 1);
    assert_ne!(sealed, changed);
    fs::write(&path, changed).unwrap();
    path
}

#[test]
fn a_broken_seal_is_told_by_every_subcommand_and_refused_where_it_must_be_whole() {
    let folder = tempfile::tempdir().unwrap();
    let path = tampered(folder.path());
    let file = text(&path);
    let out = folder.path().join("out.pdf");
    let picture = folder.path().join("out.svg");
    let readers: [&[&str]; 17] = [
        &["evaluate", file],
        &["find", file, "--setting", NAME, "--bevel", "45deg"],
        &["one-reach", file],
        &["ink", file, "--setting", "Inside bowl"],
        &["match", file, "--facet", "6mm", "--protractor", "45deg", "--hollow", "0.06mm"],
        &["fit", file, "--trial", "Long grind, 85 mm=40.5deg", "--fit", "arm-zero-x"],
        &["wear", file, "--setting", NAME],
        &["carry", file, "--to", "Travelling rig"],
        &["check", file],
        &["picture", file, "--setting", NAME, "--force", "-o", text(&picture)],
        &["cards", file, "--force", "-o", text(&out)],
        &["gauges", file, "--force", "-o", text(&out)],
        &["handout", file, "--setting", NAME, "--with", "Short grind, 60 mm", "--force", "-o", text(&out)],
        &["lesson-sheet", file, "--force", "-o", text(&out)],
        &["share", file, "--setting", NAME, "--force", "-o", text(&picture)],
        &["log-sheet", file, "--force", "-o", text(&out)],
        &["bench-sheet", file, "--force", "-o", text(&out)],
    ];
    for words in readers {
        let (code, _, stderr) = run(words);
        let accept = format!("bevelbench accept {file}");
        assert!(code < 2 && stderr.contains("checksum") && stderr.contains(&accept), "{words:?}: {stderr}");
        let strict = [words, &["--strict"]].concat();
        let (code, out, stderr) = run(&strict);
        assert!(
            code == 2 && out.is_empty() && stderr.contains("checksum"),
            "{words:?}: {code} {out} {stderr}"
        );
    }
    for words in &readers[..9] {
        let (_, out, _) = run(&[words, &["--format", "json"][..]].concat());
        let value: serde_json::Value = serde_json::from_str(&out).unwrap();
        let records = value.as_array().map_or_else(|| vec![value.clone()], Clone::clone);
        assert!(records.iter().all(|record| record["seal"] == "broken") && !records.is_empty(), "{words:?}");
    }
    // A whole one, and one that never had a seal, are not spoken of.
    let sealed = folder.path().join("sealed.bench.ron");
    fs::write(&sealed, seal(&read_text(Path::new(DEMO)).unwrap().text)).unwrap();
    for file in [DEMO, text(&sealed)] {
        let (code, out, stderr) = run(&["evaluate", file, "--strict", "--format", "json"]);
        assert!(code == 0 && stderr.is_empty() && !out.contains("\"seal\""), "{file}: {stderr}");
    }
}

#[test]
fn a_file_edited_by_hand_is_accepted_in_one_step_and_as_it_was_stays_beside_it() {
    let folder = tempfile::tempdir().unwrap();
    let path = tampered(folder.path());
    let before = fs::read(&path).unwrap();
    let edited = read_text(&path).unwrap().text;
    let (code, out, _) = run(&["accept", text(&path)]);
    assert!(code == 0 && out.contains("accepted"), "{out}");
    let now = read_text(&path).unwrap();
    assert_eq!((now.text, now.seal), (edited, Seal::Whole));
    assert_eq!(fs::read(folder.path().join("tampered.bench.ron.before")).unwrap(), before);
    let (code, out, stderr) = run(&["accept", text(&path)]);
    assert!(code == 0 && out.contains("needs no accepting") && stderr.is_empty(), "{out}");
    assert_eq!(run(&["evaluate", text(&path), "--strict"]).2, "");
    // What is no bench is not accepted.
    fs::write(&path, "not a bench").unwrap();
    let (code, _, stderr) = run(&["accept", text(&path)]);
    assert!(code == 2 && stderr.contains("left as it is"), "{stderr}");
    assert_eq!(fs::read(&path).unwrap(), b"not a bench");
}

#[test]
fn damage_of_the_seal_s_own_line_is_told_apart() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("line.bench.ron");
    let whole = seal(&read_text(Path::new(DEMO)).unwrap().text).into_bytes();
    let mut bytes = whole.clone();
    let at = bytes.len() - 5;
    bytes[at] = if bytes[at] == b'0' { b'1' } else { b'0' };
    fs::write(&path, bytes).unwrap();
    let (code, out, stderr) = run(&["check", text(&path), "--format", "json"]);
    assert!(code == 1 && stderr.contains("the text above it is whole"), "{stderr}");
    assert_eq!(serde_json::from_str::<serde_json::Value>(&out).unwrap()["seal"], "line_damaged");
    assert_eq!(run(&["check", text(&path), "--strict"]).0, 2);
    assert_eq!(run(&["accept", text(&path)]).0, 0);
    assert_eq!(fs::read(&path).unwrap(), whole);
}

#[test]
fn what_is_imported_comes_with_what_its_seal_says() {
    let folder = tempfile::tempdir().unwrap();
    let path = tampered(folder.path());
    let (bench, doubt) = keeper::read_with_seal(&path).unwrap();
    assert!(!bench.settings.is_empty());
    let doubt = doubt.unwrap();
    // A version before it is named only where there is one.
    assert!(doubt.contains("changed outside") && !doubt.contains(".before"), "{doubt}");
    fs::write(folder.path().join("tampered.bench.ron.before"), "x").unwrap();
    assert!(keeper::read_with_seal(&path).unwrap().1.unwrap().contains(".before"));
    assert_eq!(keeper::read_with_seal(Path::new(DEMO)).unwrap().1, None);
    assert!(read_bench(&fs::read_to_string(DEMO).unwrap()).is_ok());
}
