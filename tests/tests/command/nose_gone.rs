//! A nose that the swing cuts off, through the command line: said first, with amounts and remedies, and never offered.

use std::ffi::OsString;

use bevelbench::command::Command;
use serde_json::Value;

/// Twelve settings of a gouge of 13 mm on a long strut, swung 80° to either side.
const BENCH: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/reference/benches/nose_gone.bench.ron");

fn run(words: &[&str]) -> (u8, String) {
    let Ok(Command::Run(subcommand)) = Command::parse(words.iter().map(OsString::from)) else {
        panic!("{words:?}")
    };
    let (mut out, mut stderr) = (Vec::new(), Vec::new());
    let code = subcommand.run(&mut out, &mut stderr);
    (code, String::from_utf8(out).unwrap())
}

/// Rolled 90° to either side instead.
fn swung_by_a_quarter_turn() -> String {
    let path = std::env::temp_dir().join(format!("nose-gone-{}.bench.ron", std::process::id()));
    let text =
        std::fs::read_to_string(BENCH).unwrap().replace("half_swing_deg: 80.0", "half_swing_deg: 90.0");
    std::fs::write(&path, text).unwrap();
    path.to_str().unwrap().to_owned()
}

#[test]
fn a_nose_that_goes_is_said_before_any_number() {
    let path = swung_by_a_quarter_turn();
    let (_, json) = run(&["evaluate", &path, "--format", "json"]);
    let records: Value = serde_json::from_str(&json).unwrap();
    let mut gone = 0;
    for record in records.as_array().unwrap() {
        let lost = record["nose"] == "ground away";
        assert_eq!(lost, record["cautions"][0]["code"] == "nose_gone", "{}", record["setting"]);
        assert_eq!(lost, !record["nose_gone"].is_null());
        if lost {
            gone += 1;
            assert!(record["nose_radius_mm"].is_null());
            assert!(record["nose_gone"]["nose_back_mm"].as_f64().unwrap() > 1.0);
        }
    }
    assert!(gone >= 3 && gone < records.as_array().unwrap().len(), "{gone}");
    let (_, text) = run(&["evaluate", &path]);
    let block = text.split("\n\n").find(|block| block.starts_with("p60 a90 b30")).unwrap();
    let lines: Vec<&str> = block.lines().collect();
    assert!(lines[2].contains("! The nose is") && lines[2].contains("ground away"), "{block}");
    assert!(lines[2].contains("roll no more than"), "{block}");
}

#[test]
fn what_loses_its_nose_is_not_found_and_does_not_pass() {
    let path = swung_by_a_quarter_turn();
    let words = ["find", &path, "--setting", "p60 a90 b30", "--bevel", "30deg", "--format", "json"];
    let (code, json) = run(&words);
    let found: Value = serde_json::from_str(&json).unwrap();
    assert!(code != 0 && found["answers"].as_array().unwrap().is_empty(), "{json}");
    assert_eq!(found["nose_gone"]["kind"], "nose_gone");
    let (code, _) = run(&["check", &path]);
    assert_ne!(code, 0);
}
