//! The commands that keep settings true: `wear`, `carry`, `check`, against the command that evaluates a bench whose
//! numbers were changed to match.

use std::ffi::OsString;

use bevelbench::command::Command;
use bevelbench_notebook::saved::{Id, SettingEntry, SupportSaved};
use serde_json::Value;

use crate::{DEMO, demo, kept, near, run};

fn json(words: &[&str]) -> (u8, Value) {
    let (code, out, stderr) = run(words);
    assert_eq!(stderr, "", "{words:?}");
    (code, serde_json::from_str(&out).unwrap())
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or_else(|| panic!("{value:#}"))
}

fn set_reach(entry: &mut SettingEntry, reach: f64) {
    match &mut entry.support {
        SupportSaved::Handle { reach_mm } | SupportSaved::Holder { reach_mm, .. } => *reach_mm = reach,
        SupportSaved::Table { tilt_deg } => *tilt_deg = reach,
    }
}

/// What `evaluate` says of a setting once its wheel has another diameter and its reach, or its tilt, is another.
fn evaluated(name: &str, diameter: f64, set: f64) -> Value {
    let mut bench = demo();
    let wheel = bench.setting_named(name).unwrap().wheel;
    for saved in bench.rigs.iter_mut().flat_map(|rig| &mut rig.wheels) {
        if saved.id == wheel {
            saved.diameter_mm = diameter;
        }
    }
    for entry in &mut bench.settings {
        if entry.name == name {
            set_reach(entry, set);
        }
    }
    let folder = tempfile::tempdir().unwrap();
    let file = kept(folder.path(), &bench);
    json(&["evaluate", &file, "--setting", name, "--format", "json"]).1[0].clone()
}

#[test]
fn every_line_of_wear_is_what_evaluate_says_of_a_bench_with_that_wheel() {
    for name in ["Long grind, shaping wheel", "Both faces, shaping wheel", "Inside bowl, shaping wheel"] {
        let (code, wear) = json(&["wear", DEMO, "--setting", name, "--format", "json"]);
        assert_eq!(code, 0, "{name}");
        let rows = wear["rows"].as_array().unwrap();
        assert_eq!(rows.len(), 7, "{name}");
        near(number(&wear["diameter_left_mm"]), 28.0, 1e-9, name);
        let mut compared = 0;
        for row in rows {
            let diameter = number(&row["wheel_diameter_mm"]);
            for way in ["left_where_it_is", "set_by_gauge_stick", "found_again"] {
                let point = &row[way];
                let set =
                    if name.starts_with("Both") { &point["table_tilt_deg"] } else { &point["reach_mm"] };
                let Some(set) = set.as_f64() else {
                    assert!(point["no_answer"].is_string(), "{point:#}");
                    continue;
                };
                let same = evaluated(name, diameter, set);
                // A job that is refused for its surroundings still has its bevel in the table.
                if same["error"].is_object() {
                    continue;
                }
                compared += 1;
                for what in ["bevel_at_edge_deg", "bevel_across_facet_deg"] {
                    near(
                        number(&point[what]),
                        number(&same[what]),
                        1e-9,
                        &format!("{name}, {way} at {diameter}"),
                    );
                }
                if way == "set_by_gauge_stick" {
                    let first = number(&rows[0][way]["gauge_length_mm"]);
                    near(number(&same["gauge_length_mm"]), first, 1e-9, "gauge length");
                }
            }
        }
        assert!(compared >= 8, "{name}: {compared}");
    }
}

/// Common practice: a shrinking wheel raises the bevel at a fixed arm, and a gauge stick drifts less.
#[test]
fn wear_of_the_shaping_wheel_changes_the_bevel_in_the_known_direction() {
    let bench = demo();
    let shaping = bench.setting_named("Long grind, shaping wheel").unwrap().wheel;
    let on_it = bench
        .settings
        .iter()
        .filter(|entry| entry.wheel == shaping && !matches!(entry.support, SupportSaved::Table { .. }));
    let mut seen = 0;
    for entry in on_it {
        let words = ["wear", DEMO, "--setting", &entry.name, "--to", "155mm", "--format", "json"];
        let (_, wear) = json(&words);
        let bevel = |row: usize, way: &str| number(&wear["rows"][row][way]["bevel_at_edge_deg"]);
        let before = bevel(0, "left_where_it_is");
        let (place, stick) = (bevel(1, "left_where_it_is"), bevel(1, "set_by_gauge_stick"));
        assert!(place > before, "{}", entry.name);
        assert!((stick - before).abs() < (place - before).abs(), "{}", entry.name);
        seen += 1;
    }
    assert!(seen >= 4, "{seen}");
}

#[test]
fn wear_of_a_keeping_wheel_is_reported_as_negligible() {
    let (code, wear) = json(&["wear", DEMO, "--setting", "Long grind, 85 mm", "--format", "json"]);
    assert_eq!(code, 0);
    assert!(wear["hardly_wears"].as_str().unwrap().contains("hardly wears"));
    let (_, text, _) = run(&["wear", DEMO, "--setting", "Long grind, 85 mm"]);
    assert!(text.contains("hardly wears") && !text.contains("left where it is"), "{text}");
}

#[test]
fn wear_tells_what_lost_length_does_only_where_the_handle_stands_in_the_cup() {
    let shorter = |name: &str| {
        let (_, wear) = json(&["wear", DEMO, "--setting", name, "--format", "json"]);
        wear["tool_shorter"].as_array().cloned().unwrap_or_default()
    };
    assert!(shorter("Long grind, shaping wheel").is_empty());
    let lost = shorter("Inside bowl, shaping wheel");
    let mut bench = demo();
    let tool = bench.setting_named("Inside bowl, shaping wheel").unwrap().tool;
    for saved in bench.tools.iter_mut().filter(|saved| saved.id == tool) {
        saved.overall_length_mm -= 2.0;
    }
    let folder = tempfile::tempdir().unwrap();
    let file = kept(folder.path(), &bench);
    let same = json(&["evaluate", &file, "--setting", "Inside bowl, shaping wheel", "--format", "json"]).1;
    let two = lost.iter().find(|line| (number(&line["lost_mm"]) - 2.0).abs() < 1e-9).unwrap();
    near(number(&two["bevel_at_edge_deg"]), number(&same[0]["bevel_at_edge_deg"]), 1e-9, "2 mm");
}

#[test]
fn wear_as_csv_has_a_heading_and_a_line_a_diameter() {
    let (code, out, _) = run(&["wear", DEMO, "--setting", "Long grind, shaping wheel", "--format", "csv"]);
    let lines: Vec<&str> = out.lines().collect();
    assert_eq!((code, lines.len()), (0, 8));
    assert!(lines[0].starts_with("wheel_diameter_mm,left_where_it_is_bevel_deg"));
    assert!(lines[1].starts_with("158.0000,40.0"), "{}", lines[1]);
}

#[test]
fn carried_settings_grind_the_same_bevel_on_the_rig_they_went_to() {
    let bench = demo();
    let words = ["carry", DEMO, "--to", "Travelling rig", "--all", "--format", "json"];
    let (code, records) = json(&words);
    // The arm there is shorter: what stands in the cup is listed with its reason.
    assert_eq!(code, 1);
    let records = records.as_array().unwrap();
    let there = bench.rigs.iter().find(|rig| rig.name == "Travelling rig").unwrap();
    let elsewhere = bench.settings.iter().filter(|entry| entry.rig != there.id).count();
    assert_eq!(records.len(), elsewhere);
    let mut carried = 0;
    for record in records {
        let name = record["setting"].as_str().unwrap();
        if let Some(error) = record.get("error") {
            assert!(error["message"].as_str().unwrap().len() > 20, "{error:#}");
            continue;
        }
        carried += 1;
        // The new numbers put on a bench of their own give the bevel back.
        let mut moved = bench.clone();
        for entry in moved.settings.iter_mut().filter(|entry| entry.name == name) {
            entry.rig = there.id;
            entry.wheel = there.wheels[0].id;
            let new = &record["new"];
            match &mut entry.support {
                SupportSaved::Handle { reach_mm } => *reach_mm = number(&new["reach_mm"]),
                SupportSaved::Holder { holder, reach_mm, projection_mm, strut_angle_deg } => {
                    let named = record["holder"].as_str().unwrap();
                    *holder = there.holders.iter().find(|holder| holder.name == named).unwrap().id;
                    *reach_mm = number(&new["reach_mm"]);
                    *projection_mm = number(&new["projection_mm"]);
                    *strut_angle_deg = number(&new["strut_angle_deg"]);
                }
                SupportSaved::Table { tilt_deg } => *tilt_deg = number(&new["table_tilt_deg"]),
            }
        }
        let folder = tempfile::tempdir().unwrap();
        let file = kept(folder.path(), &moved);
        let same = &json(&["evaluate", &file, "--setting", name, "--format", "json"]).1[0];
        near(number(&same["bevel_at_edge_deg"]), number(&record["old"]["bevel_at_edge_deg"]), 1e-8, name);
        near(number(&same["bevel_at_edge_deg"]), number(&record["new"]["bevel_at_edge_deg"]), 1e-9, name);
    }
    assert!(carried >= 12, "{carried}");
}

#[test]
fn another_projection_on_the_same_wheel_is_the_same_surface() {
    let words = [
        "carry",
        DEMO,
        "--to",
        "Workshop grinder",
        "--wheel",
        "Keeping wheel",
        "--setting",
        "Swept, keeping wheel",
        "--projection",
        "78mm",
        "--format",
        "json",
    ];
    let (code, records) = json(&words);
    assert_eq!(code, 0);
    assert_eq!(records[0]["same_surface"], Value::Bool(true), "{:#}", records[0]);
    assert_eq!(records[0]["not_kept"].as_array().unwrap().len(), 0);
    near(
        number(&records[0]["old"]["wing_sweep_mm"]),
        number(&records[0]["new"]["wing_sweep_mm"]),
        1e-6,
        "wing",
    );
}

#[test]
fn the_bevel_that_is_kept_can_be_the_one_across_the_facet() {
    let kept = |which: &str| {
        let words = [
            "carry",
            DEMO,
            "--to",
            "Travelling rig",
            "--setting",
            "Both faces",
            "--keep",
            which,
            "--format",
            "json",
        ];
        let record = json(&words).1[0].clone();
        let off = |what: &str| number(&record["new"][what]) - number(&record["old"][what]);
        (off("bevel_at_edge_deg"), off("bevel_across_facet_deg"))
    };
    let (edge, across) = kept("edge");
    assert!(edge.abs() < 1e-9 && across.abs() > 0.1, "{edge} {across}");
    let (edge, across) = kept("across");
    assert!(edge.abs() > 0.1 && across.abs() < 1e-9, "{edge} {across}");
}

#[test]
fn the_included_angle_can_be_kept_of_a_tool_ground_on_both_faces() {
    let words = |setting: &'static str| {
        let to = ["carry", DEMO, "--to", "Travelling rig", "--setting", setting];
        [&to[..], &["--keep", "included", "--format", "json"]].concat()
    };
    let (_, records) = json(&words("Both faces"));
    let record = &records[0];
    assert_eq!(record["kept"], "included");
    let side = |side: &str, what: &str| number(&record[side][what]);
    near(side("new", "included_deg"), side("old", "included_deg"), 1e-9, "kept");
    let (code, records) = json(&words("Long grind, 85 mm"));
    assert_eq!((code, &records[0]["error"]["kind"]), (1, &Value::from("one_face")));
}

#[test]
fn unknown_places_are_named_with_what_there_is() {
    for (words, named, listed) in [
        (&["carry", DEMO, "--to", "Moon"][..], "Moon", "Travelling rig"),
        (&["carry", DEMO, "--to", "Travelling rig", "--wheel", "Cheese"], "Cheese", "Show wheel"),
        (&["carry", DEMO, "--to", "Travelling rig", "--holder", "Hand"], "Hand", "Travelling holder"),
        (&["wear", DEMO, "--setting", "Nobody's"], "Nobody's", "Long grind"),
    ] {
        let (code, out, stderr) = run(words);
        assert_eq!((code, out.as_str()), (2, ""));
        assert!(stderr.contains(named) && stderr.contains(listed), "{stderr}");
    }
    for words in [
        &["carry", DEMO][..],
        &["carry", DEMO, "--to", "x", "--keep", "heel"],
        &["carry", DEMO, "--to", "x", "--all", "--setting", "y"],
        &["wear", DEMO],
        &["wear", DEMO, "--setting", "x", "--format", "xml"],
        &["check"],
    ] {
        assert!(Command::parse(words.iter().map(OsString::from)).is_err(), "{words:?}");
    }
}

#[test]
fn check_ends_with_one_where_a_marking_was_not_read_and_with_none_once_it_is() {
    let (code, report) = json(&["check", DEMO, "--format", "json"]);
    assert_eq!(code, 1);
    let settings = report["settings"].as_array().unwrap();
    let is_unsafe: Vec<&str> = settings
        .iter()
        .filter(|setting| setting["unsafe"] == Value::Bool(true))
        .map(|setting| setting["setting"].as_str().unwrap())
        .collect();
    assert!(
        !is_unsafe.is_empty() && is_unsafe.iter().all(|name| name.starts_with("Student")),
        "{is_unsafe:?}"
    );
    let drifted: Vec<&Value> =
        settings.iter().filter(|setting| setting["drifted"] == Value::Bool(true)).collect();
    assert_eq!(drifted.len(), 1);
    assert_eq!(drifted[0]["setting"], "Inside bowl, shaping wheel");
    assert!(settings.iter().all(|setting| !setting["cautions"].as_array().unwrap().is_empty()));
    assert!(report["first"].as_str().unwrap().contains("Local codes"));
    let mut bench = demo();
    for wheel in bench.rigs.iter_mut().flat_map(|rig| &mut rig.wheels) {
        wheel.marked_speed_m_s = Some(35.0);
    }
    let folder = tempfile::tempdir().unwrap();
    let file = kept(folder.path(), &bench);
    assert_eq!(run(&["check", &file]).0, 0);
    // A gap beyond its limit, a setting that cannot be, each alone.
    let mut open = bench.clone();
    open.rigs[0].wheels[0].keep.guard.as_mut().unwrap().tongue_gap_mm = Some(7.0);
    let file = kept(folder.path(), &open);
    let (code, text, _) = run(&["check", &file]);
    assert!(code == 1 && text.contains("beyond"), "{text}");
    let mut impossible = bench;
    set_reach(&mut impossible.settings[0], 5000.0);
    impossible.settings[1].tool = Id(9999);
    let file = kept(folder.path(), &impossible);
    let (code, text, _) = run(&["check", &file]);
    assert_eq!((code, text.matches("(impossible)").count()), (1, 2));
}

#[test]
fn a_table_that_would_touch_the_wheel_is_refused_and_a_setting_on_one_is_unsafe() {
    let folder = tempfile::tempdir().unwrap();
    // The demo with the travelling rig's table reaching so far towards the wheel.
    let with_front = |front_mm: f64| {
        let mut bench = demo();
        let rig = bench.rigs.iter_mut().find(|rig| rig.name == "Travelling rig").unwrap();
        rig.wheels[0].table.as_mut().unwrap().front_mm = front_mm;
        kept(folder.path(), &bench)
    };
    let carried = |front_mm: f64| {
        let file = with_front(front_mm);
        let words = ["carry", &file, "--to", "Travelling rig", "--setting", "Both faces", "--format", "json"];
        let (code, records) = json(&words);
        (code, records[0]["error"]["kind"].as_str().unwrap_or_default().to_owned(), records[0].clone())
    };
    // Where the table begins to be in the wheel, by halving.
    let is_clear = |front_mm: f64| ["", "table_too_close"].contains(&carried(front_mm).1.as_str());
    let (mut clear, mut caught) = (4.0, 8.0);
    assert!(is_clear(clear) && !is_clear(caught));
    for _ in 0..40 {
        let middle = f64::midpoint(clear, caught);
        if is_clear(middle) { clear = middle } else { caught = middle }
    }
    let (code, kind, record) = carried(caught - 0.01);
    assert_eq!((code, kind.as_str()), (1, "table_too_close"), "{record:#}");
    assert!(record["error"]["message"].as_str().unwrap().contains("0.2 mm is the least"), "{record:#}");
    assert!(record["new"].is_null());
    let (code, kind, record) = carried(caught - 1.0);
    assert_eq!((code, kind.as_str()), (0, ""), "{record:#}");
    // The same place reached by hand: `check` calls it unsafe.
    let tilt = number(&record["new"]["table_tilt_deg"]);
    let mut bench = demo();
    let rig = bench.rigs.iter_mut().find(|rig| rig.name == "Travelling rig").unwrap();
    rig.wheels[0].table.as_mut().unwrap().front_mm = caught - 0.01;
    rig.wheels[0].marked_speed_m_s = Some(35.0);
    let (rig, wheel) = (rig.id, rig.wheels[0].id);
    let entry = bench.settings.iter_mut().find(|entry| entry.name == "Both faces").unwrap();
    (entry.rig, entry.wheel, entry.support) = (rig, wheel, SupportSaved::Table { tilt_deg: tilt });
    let file = kept(folder.path(), &bench);
    let (_, report) = json(&["check", &file, "--format", "json"]);
    let setting =
        report["settings"].as_array().unwrap().iter().find(|one| one["setting"] == "Both faces").unwrap();
    assert!(
        setting["unsafe"] == Value::Bool(true) && setting["cautions"][0]["code"] == "rest_gap_closed",
        "{setting:#}"
    );
}
