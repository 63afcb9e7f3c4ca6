//! Programs that save as fast as they can and are killed at any moment: what is found on disk afterwards.
//!
//! A few rounds run with the other tests; a thousand, and one killed at each of its calls to the system, with
//! `cargo test -p bevelbench-notebook --release --test kill -- --ignored --nocapture`.
#![allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]
#![cfg(unix)]

use std::{
    env, fs,
    io::{BufRead, BufReader, Write},
    path::{Path, PathBuf},
    process::{Child, Command, Stdio},
    thread,
    time::{Duration, SystemTime},
};

use bevelbench_notebook::{
    saved::{
        file::{read_bench, write_bench},
        library::demo_bench,
    },
    store::{
        self, Claim, Saver, Seal, StoreError,
        undo_steps::{Patch, UndoStep, UndoSteps},
    },
};

/// The demo bench with a number in its title, as text.
fn version(number: u64) -> String {
    let mut bench = demo_bench().unwrap();
    bench.title = number.to_string();
    write_bench(&bench).unwrap()
}

fn number_of(text: &str) -> u64 {
    read_bench(text).unwrap().title.parse().unwrap()
}

fn steps_path(path: &Path) -> PathBuf {
    store::beside(path, ".steps")
}

/// Says on standard output that a version is saved, at once.
fn report(number: u64) {
    println_now(&format!("saved {number}"));
}

fn println_now(line: &str) {
    let mut out = std::io::stdout().lock();
    // The name of the test may stand in front of the first line.
    writeln!(out, "\n{line}").unwrap();
    out.flush().unwrap();
}

/// Run again by the tests below, which kill it.
#[test]
fn a_program_that_saves_until_it_is_killed() {
    let Some(path) = env::var_os("SAVE_TO").map(PathBuf::from) else { return };
    let first = store::read_text(&path).map_or(0, |loaded| number_of(&loaded.text));
    let template = version(0).replacen("\"0\"", "\"NUMBER\"", 1);
    let text = |number: u64| template.replacen("NUMBER", &number.to_string(), 1);
    println_now("ready");
    if env::var_os("WITH_STEPS").is_none() {
        for number in first + 1.. {
            store::write_text(&path, &text(number)).unwrap();
            report(number);
        }
    }
    // As the window does it: on a thread, with the step that leads back.
    let saver = Saver::new(None);
    saver.watch(&path, store::read_text(&path).ok().map(|loaded| loaded.stamp));
    for number in first + 1.. {
        let (present, before) = (text(number), text(number - 1));
        let step = UndoStep { label: format!("to {number}"), patch: Patch::new(&present, &before) };
        let steps = UndoSteps { present: present.clone(), past: vec![step], future: Vec::new() };
        saver.submit_both(number, path.clone(), present, (steps_path(&path), steps.write().unwrap()));
        thread::sleep(Duration::from_micros(number % 7 * 100));
        while let Some(done) = saver.poll() {
            done.result.unwrap();
            report(done.generation);
        }
    }
}

fn again(test: &str, path: &Path) -> Command {
    let mut command = Command::new(env::current_exe().unwrap());
    command.args(["--exact", test, "--nocapture"]).env("SAVE_TO", path).stdout(Stdio::piped());
    command
}

type Lines = std::io::Lines<BufReader<std::process::ChildStdout>>;

/// What a program says, from where it begins to save.
fn from_ready(child: &mut Child) -> Lines {
    let mut lines = BufReader::new(child.stdout.take().unwrap()).lines();
    let ready = lines.by_ref().map_while(Result::ok).any(|line| line.ends_with("ready"));
    assert!(ready, "it began to save");
    lines
}

/// The last version that was told to be saved before the end.
fn last_reported(lines: Lines) -> Option<u64> {
    lines.map_while(Result::ok).filter_map(|line| line.strip_prefix("saved ")?.parse().ok()).last()
}

/// What became of so many rounds: versions told to be saved, and half-written files that were left and swept.
fn kill_again_and_again(rounds: u32) -> (u64, u32) {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("loop.bench.ron");
    let (mut reported_in_all, mut left_in_all, mut known) = (0, 0, 0);
    let mut chance = 4_u32;
    for round in 0..rounds {
        chance = chance.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        let mut command = again("a_program_that_saves_until_it_is_killed", &path);
        let with_steps = round % 2 == 1;
        if with_steps {
            command.env("WITH_STEPS", "1");
        }
        let mut child = command.spawn().unwrap();
        let lines = from_ready(&mut child);
        thread::sleep(Duration::from_micros(u64::from(chance >> 15)));
        child.kill().unwrap();
        let reported = last_reported(lines);
        child.wait().unwrap();
        reported_in_all += reported.map_or(0, |reported| reported - known);
        let found = match store::read_text(&path) {
            Ok(loaded) => {
                assert_eq!(loaded.seal, Seal::Whole, "round {round}");
                let number = number_of(&loaded.text);
                assert_eq!(loaded.text, version(number).trim_end(), "round {round}");
                number
            }
            Err(StoreError::Read { .. }) if reported.is_none() && known == 0 => 0,
            Err(error) => panic!("round {round}: {error}"),
        };
        let oldest = reported.unwrap_or(known).max(known);
        assert!(found >= oldest, "round {round}: {found} on disk, {oldest} was told to be saved");
        if with_steps && let Some(reported) = reported {
            let kept = store::read_text(&steps_path(&path)).ok();
            // The first save may have been the last: its steps come after it.
            if let Some(kept) = kept.filter(|_| reported > known + 1) {
                let before = store::read_text(&store::version_before(&path)).unwrap();
                assert_eq!(kept.seal, Seal::Whole, "round {round}");
                let steps = UndoSteps::read(&kept.text).unwrap();
                let stood = steps.on(&version(found), Some(&before.text)).unwrap();
                assert_ne!(stood.past, [], "round {round}: undo still has a step");
            }
        }
        known = found;
        left_in_all += sweep(dir.path());
    }
    (reported_in_all, left_in_all)
}

/// Sweeps a folder as opening the window does a minute later. How many half-written files there were.
fn sweep(folder: &Path) -> u32 {
    let hidden = || {
        let entries = fs::read_dir(folder).unwrap().map(Result::unwrap);
        entries.filter(|entry| entry.file_name().to_string_lossy().starts_with('.')).collect::<Vec<_>>()
    };
    let left = hidden();
    for entry in &left {
        let file = fs::File::options().write(true).open(entry.path()).unwrap();
        file.set_modified(SystemTime::now() - Duration::from_hours(1)).unwrap();
    }
    store::sweep_leftovers(folder);
    // A name by chance that reads like a word stays: it might be a person's own.
    for kept in hidden() {
        let name = kept.file_name().to_string_lossy().into_owned();
        let end = name.rsplit('.').next().unwrap_or_default();
        let plain = |c: char| c.is_ascii_lowercase() || c.is_ascii_uppercase() || c.is_ascii_digit();
        assert!(end.len() == 6 && end.chars().all(plain), "{name}");
        let mixed =
            end[1..].chars().any(|c| c.is_ascii_lowercase()) && end[1..].chars().any(char::is_numeric);
        assert!(!mixed, "{name} was left");
        fs::remove_file(kept.path()).unwrap();
    }
    left.len() as u32
}

#[test]
fn a_killed_program_leaves_a_whole_bench_no_older_than_reported() {
    kill_again_and_again(6);
}

#[test]
#[ignore = "a minute or two: a thousand programs are killed"]
fn a_thousand_programs_are_killed_and_no_bench_is_lost() {
    let rounds = env::var("ROUNDS").ok().and_then(|rounds| rounds.parse().ok()).unwrap_or(1000);
    let (reported, left) = kill_again_and_again(rounds);
    eprintln!(
        "{rounds} programs killed; {reported} versions told to be saved; {left} half-written files swept"
    );
    assert!(reported > u64::from(rounds / 2), "the programs had time to save");
}

/// Run again by the test below, twice at a time: counts up in the bench, whenever it has the claim.
#[test]
fn a_program_that_counts_up_in_a_bench() {
    let Some(path) = env::var_os("COUNT_IN").map(PathBuf::from) else { return };
    println_now("ready");
    let (mut done, mut refused) = (0, 0);
    while done < 40 {
        match Claim::take(&path) {
            Ok(_claim) => {
                let number = number_of(&store::read_text(&path).unwrap().text);
                store::write_text(&path, &version(number + 1)).unwrap();
                done += 1;
            }
            Err(StoreError::Claimed { .. }) => {
                refused += 1;
                thread::sleep(Duration::from_micros(200));
            }
            Err(error) => panic!("{error}"),
        }
    }
    report(refused);
}

#[test]
fn of_two_programs_that_save_one_bench_neither_loses_what_the_other_saved() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("shared.bench.ron");
    store::write_text(&path, &version(0)).unwrap();
    let start = || {
        let mut command = again("a_program_that_counts_up_in_a_bench", &path);
        command.env_remove("SAVE_TO").env("COUNT_IN", &path).spawn().unwrap()
    };
    let mut both = [start(), start()];
    let lines = both.each_mut().map(from_ready);
    let refused: u64 = lines.into_iter().map(|lines| last_reported(lines).unwrap()).sum();
    for child in &mut both {
        assert!(child.wait().unwrap().success());
    }
    assert_eq!(number_of(&store::read_text(&path).unwrap().text), 80);
    assert!(refused > 0, "they met");
}

/// Calls are counted kind by kind and thread by thread. So many of a kind come first in the thread that saves, so that it
/// counts farther than the one that started it.
const CALLS_BEFORE: usize = 60;

/// Run again by the test below, under strace.
#[test]
fn a_program_that_saves_once() {
    let Some(path) = env::var_os("SAVE_ONCE").map(PathBuf::from) else { return };
    let text = version(2);
    for _ in 0..CALLS_BEFORE {
        fs::metadata(".").unwrap();
        fs::File::create("/dev/null").unwrap().write_all(b".").unwrap();
    }
    store::write_text(&path, &text).unwrap();
    report(2);
}

#[test]
#[ignore = "needs strace: one program is killed at each of its calls to the system"]
fn killed_at_any_call_to_the_system_a_save_leaves_the_old_bench_or_the_new_one() {
    let strace = Command::new("strace").arg("--version").stdout(Stdio::null()).status();
    assert!(strace.is_ok(), "strace is not to be had: {strace:?}");
    // Whatever can change a file, and what lies between; the last two kinds are made by the thread that saves alone.
    let kinds = ["openat", "write", "close", "/stat", "fsync", "/^rename"];
    let (mut killed, mut old, mut new) = (0, 0, 0);
    for (kind, at) in kinds.into_iter().flat_map(|kind| {
        let first = if ["fsync", "/^rename"].contains(&kind) { 1 } else { CALLS_BEFORE };
        (first..first + 30).map(move |at| (kind, at))
    }) {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("loop.bench.ron");
        for number in 0..2 {
            store::write_text(&path, &version(number)).unwrap();
        }
        let outcome = Command::new("strace")
            .args(["-f", "-qq", "-o", "/dev/null", "-e", &format!("trace={kind}")])
            .args(["-e", &format!("inject={kind}:signal=KILL:when={at}")])
            .arg(env::current_exe().unwrap())
            .args(["--exact", "a_program_that_saves_once", "--nocapture", "--test-threads=1"])
            .env("SAVE_ONCE", &path)
            .output()
            .unwrap();
        let reported = String::from_utf8_lossy(&outcome.stdout).contains("saved 2");
        let found = store::read_text(&path).unwrap();
        let before = store::read_text(&store::version_before(&path)).unwrap();
        assert_eq!((found.seal, before.seal), (Seal::Whole, Seal::Whole), "{kind} {at}");
        let (found, before) = (number_of(&found.text), number_of(&before.text));
        // First the version before is made the present one, then that the new one.
        assert!(
            [(1, 0), (1, 1), (2, 1)].contains(&(found, before)),
            "{kind} {at}: {found}, {before} before it"
        );
        assert!(found == 2 || !reported, "{kind} {at}: told to be saved, but it is not");
        sweep(dir.path());
        if outcome.status.success() {
            continue;
        }
        killed += 1;
        if found == 2 { new += 1 } else { old += 1 }
    }
    eprintln!("killed at {killed} calls: {old} times the old bench, {new} times the new one");
    assert!(old > 10 && new > 1, "{old} old, {new} new");
}
