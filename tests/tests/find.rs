//! `bevelbench find` against `bevelbench evaluate`: what is found is put into the bench, and the bench then grinds
//! what was asked for.
#![allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]

use std::{ffi::OsString, path::Path};

use bevelbench::command::Command;
use bevelbench_notebook::{
    file::{read_bench, write_bench},
    saved::{Bench, SupportSaved},
};
use serde_json::Value;

const DEMO: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../demo/workshop.bench.ron");
const GOUGE: &str = "Long grind, 85 mm";

fn run(words: &[&str]) -> (u8, String) {
    let Ok(Command::Run(errand)) = Command::parse(words.iter().map(OsString::from)) else {
        panic!("{words:?}")
    };
    let (mut out, mut complaints) = (Vec::new(), Vec::new());
    let code = errand.run(&mut out, &mut complaints);
    assert_eq!(String::from_utf8(complaints).unwrap(), "");
    (code, String::from_utf8(out).unwrap())
}

fn found(words: &[&str]) -> (u8, Value) {
    let (code, out) = run(&[&["find", DEMO, "--format", "json"], words].concat());
    (code, serde_json::from_str(&out).unwrap())
}

fn demo() -> Bench {
    read_bench(&std::fs::read_to_string(DEMO).unwrap()).unwrap()
}

fn evaluated(folder: &Path, bench: &Bench, name: &str) -> Value {
    let path = folder.join("bench.ron");
    std::fs::write(&path, write_bench(bench).unwrap()).unwrap();
    let (_, out) = run(&["evaluate", path.to_str().unwrap(), "--setting", name, "--format", "json"]);
    let records: Value = serde_json::from_str(&out).unwrap();
    records[0].clone()
}

fn number(record: &Value, name: &str) -> f64 {
    record[name].as_f64().unwrap_or_else(|| panic!("{name} of {record:#}"))
}

#[test]
fn found_bevel_and_wing_are_what_the_bench_then_grinds() {
    let (code, record) = found(&[
        "--setting",
        GOUGE,
        "--bevel",
        "45deg",
        "--across-facet",
        "--wing-sweep",
        "12mm",
        "--free",
        "reach,strut-angle",
    ]);
    assert_eq!(code, 0, "{record:#}");
    let answers = record["answers"].as_array().unwrap();
    assert!(!answers.is_empty());
    let folder = tempfile::tempdir().unwrap();
    for answer in answers {
        let mut bench = demo();
        let entry = bench.settings.iter_mut().find(|entry| entry.name == GOUGE).unwrap();
        let SupportSaved::Holder { reach_mm, strut_angle_deg, .. } = &mut entry.support else { panic!() };
        *reach_mm = number(answer, "reach_mm");
        *strut_angle_deg = number(answer, "strut_angle_deg");
        let ground = evaluated(folder.path(), &bench, GOUGE);
        assert!((number(&ground, "bevel_across_facet_deg") - 45.0).abs() < 1e-9);
        assert!((number(&ground, "wing_sweep_mm") - 12.0).abs() < 1e-6, "{ground:#}");
    }
}

#[test]
fn what_cannot_be_met_says_what_is_short_and_ends_with_one() {
    let (code, record) = found(&["--setting", GOUGE, "--bevel", "45deg", "--wing-sweep", "60mm"]);
    assert_eq!(code, 1);
    assert!(record["answers"].as_array().unwrap().is_empty());
    assert!(number(&record["near"][0], "wing_off") < -1.0, "{record:#}");
    let (_, text) = run(&["find", DEMO, "--setting", GOUGE, "--bevel=45", "--wing-sweep=60mm"]);
    assert!(
        text.contains("Nothing within travel and stops meets it.") && text.contains("too little"),
        "{text}"
    );
}

#[test]
fn settings_at_rests_alone_are_at_rests() {
    let (code, record) =
        found(&["--setting", GOUGE, "--bevel", "40", "--free", "reach,strut-angle", "--at-stops"]);
    assert_eq!(code, 0);
    let answers = record["answers"].as_array().unwrap();
    assert!(answers.len() > 1);
    let rests: Vec<f64> =
        demo().rigs.iter().flat_map(|rig| &rig.holders).flat_map(|h| h.rests_deg.clone()).collect();
    for answer in answers {
        let angle = number(answer, "strut_angle_deg");
        assert!(rests.iter().any(|rest| (rest - angle).abs() < 1e-9), "{angle}");
    }
    let costs: Vec<f64> = answers.iter().map(|answer| number(answer, "cost")).collect();
    assert!(costs.windows(2).all(|pair| pair[0] <= pair[1]));
}

#[test]
fn wrong_words_are_named() {
    let usage = |words: &[&str]| Command::parse(words.iter().map(OsString::from)).unwrap_err().message;
    assert!(usage(&["find", "a.ron", "--setting", "x"]).contains("Which bevel"));
    assert!(usage(&["find", "a.ron", "--setting", "x", "--bevel", "forty"]).contains("--bevel forty"));
    assert!(
        usage(&["find", "a.ron", "--setting", "x", "--bevel", "40", "--free", "reach,luck"]).contains("luck")
    );
}
