//! The program itself with its standard output closed, in the null device, in a file.
#![cfg(unix)]
#![allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

use std::process::{Command, Output, Stdio};

const DEMO: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../../demo/workshop.bench.ron");

/// Runs the program by a shell, with what stands behind it.
fn run(words: &str) -> Output {
    let line = format!("exec \"$0\" {words}");
    Command::new("sh").args(["-c", &line, env!("CARGO_BIN_EXE_bevelbench"), DEMO]).output().unwrap()
}

#[test]
fn a_closed_output_is_an_error_and_not_silence() {
    for words in
        ["--version >&-", "evaluate \"$1\" >&-", "check \"$1\" --format json >&-", "evaluate \"$1\" >&- <&-"]
    {
        let ended = run(words);
        let told = String::from_utf8_lossy(&ended.stderr);
        assert!(ended.status.code() == Some(2) && told.contains("could not be written"), "{words}: {told}");
    }
}

#[test]
fn an_output_that_is_thrown_away_on_purpose_is_none() {
    assert_eq!(run("evaluate \"$1\" >/dev/null").status.code(), Some(0));
    // As programs do that start others: the null device, opened for reading and writing.
    let null = std::fs::OpenOptions::new().read(true).write(true).open("/dev/null").unwrap();
    let ended = Command::new(env!("CARGO_BIN_EXE_bevelbench"))
        .args(["evaluate", DEMO])
        .stdout(Stdio::from(null))
        .status()
        .unwrap();
    assert_eq!(ended.code(), Some(0));
}

#[test]
fn a_full_disk_is_an_error() {
    if !std::path::Path::new("/dev/full").exists() {
        return;
    }
    assert_eq!(run("evaluate \"$1\" >/dev/full").status.code(), Some(2));
}
