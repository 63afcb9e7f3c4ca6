//! The command against second accounts of its numbers.
#![allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

mod evaluate;
mod files;
mod find;
mod keep;
mod line;
mod nose_gone;
mod swept_edge;

use std::{ffi::OsString, path::Path};

use bevelbench::command::Command;
use bevelbench_notebook::saved::{
    Bench,
    file::{read_bench, write_bench},
};
use serde_json::Value;

const DEMO: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../demo/workshop.bench.ron");

/// Runs a command line: exit code, output, complaints.
fn run(words: &[&str]) -> (u8, String, String) {
    let command = Command::parse(words.iter().map(OsString::from));
    let Ok(Command::Run(subcommand)) = command else { panic!("{words:?}: {command:?}") };
    let (mut out, mut stderr) = (Vec::new(), Vec::new());
    let code = subcommand.run(&mut out, &mut stderr);
    (code, String::from_utf8(out).unwrap(), String::from_utf8(stderr).unwrap())
}

fn demo() -> Bench {
    read_bench(&std::fs::read_to_string(DEMO).unwrap()).unwrap()
}

/// A bench in a file of its own.
fn kept(folder: &Path, bench: &Bench) -> String {
    let path = folder.join("bench.ron");
    std::fs::write(&path, write_bench(bench).unwrap()).unwrap();
    path.to_str().unwrap().to_owned()
}

fn number(record: &Value, name: &str) -> f64 {
    record[name].as_f64().unwrap_or_else(|| panic!("{name} of {record:#}"))
}

fn pair(record: &Value, name: &str) -> [f64; 2] {
    [0, 1].map(|i| record[name][i].as_f64().unwrap_or_else(|| panic!("{name} of {record:#}")))
}

#[track_caller]
fn near(got: f64, expected: f64, tolerance: f64, what: &str) {
    assert!((got - expected).abs() <= tolerance, "{what}: {got} for {expected}");
}
