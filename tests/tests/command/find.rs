//! `bevelbench find` against `bevelbench evaluate`: what is found is put into the bench, and the bench then grinds
//! what was asked for.

use std::{ffi::OsString, path::Path};

use bevelbench::command::Command;
use bevelbench_geometry::math::Quantity;
use bevelbench_notebook::saved::{
    Bench, ReadWith, ReadingSaved, SupportSaved,
    table::{self, TABLE},
};
use serde_json::Value;

use crate::{DEMO, demo, kept, number};

const GOUGE: &str = "Long grind, 85 mm";

/// Runs a command line that has nothing to complain of.
fn run(words: &[&str]) -> (u8, String) {
    let (code, out, stderr) = crate::run(words);
    assert_eq!(stderr, "", "{words:?}");
    (code, out)
}

fn found(words: &[&str]) -> (u8, Value) {
    let (code, out) = run(&[&["find", DEMO, "--format", "json"], words].concat());
    (code, serde_json::from_str(&out).unwrap())
}

fn evaluated(folder: &Path, bench: &Bench, name: &str) -> Value {
    let (_, out) = run(&["evaluate", &kept(folder, bench), "--setting", name, "--format", "json"]);
    let records: Value = serde_json::from_str(&out).unwrap();
    records[0].clone()
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
fn an_unmet_target_names_the_limit_and_exits_with_one() {
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
    assert!(usage(&["find", "a.ron", "--setting", "x"]).contains("--bevel <ANGLE>"));
    assert!(usage(&["one-reach"]).contains("<FILE>"));
    assert!(usage(&["one-reach", "a.ron", "--tolerance", "50"]).contains("between 0° and 45°"));
    assert!(
        usage(&["find", "a.ron", "--setting", "x", "--bevel", "forty"])
            .contains("'forty' for '--bevel <ANGLE>'")
    );
    assert!(
        usage(&["find", "a.ron", "--setting", "x", "--bevel", "40", "--free", "reach,luck"]).contains("luck")
    );
}

#[test]
fn one_reach_with_one_strut_tells_what_becomes_of_the_wings() {
    let (_, out) = run(&["one-reach", DEMO, "--strut-angle", "--format", "json"]);
    let arms: Value = serde_json::from_str(&out).unwrap();
    let (_, text) = run(&["one-reach", DEMO, "--strut-angle"]);
    let folder = tempfile::tempdir().unwrap();
    let mut told = 0;
    for arm in arms.as_array().unwrap() {
        for one in arm["served"].as_array().unwrap() {
            let name = one["setting"].as_str().unwrap();
            let Some(was) = one["wing_sweep_was_mm"].as_f64() else { continue };
            let mut bench = demo();
            let wing = |bench: &Bench| number(&evaluated(folder.path(), bench, name), "wing_sweep_mm");
            assert!((was - wing(&bench)).abs() < 0.05, "{name}: {was}");
            let entry = bench.settings.iter_mut().find(|entry| entry.name == name).unwrap();
            let SupportSaved::Holder { reach_mm, projection_mm, strut_angle_deg, .. } = &mut entry.support
            else {
                panic!("{name}")
            };
            *reach_mm = number(arm, "reach_mm");
            *projection_mm = number(one, "projection_mm");
            *strut_angle_deg = number(arm, "strut_angle_deg");
            let is = wing(&bench);
            assert!((number(one, "wing_sweep_mm") - is).abs() < 0.05, "{name}: {is}");
            let line = text.lines().find(|line| line.trim_start().starts_with(&format!("{name}:"))).unwrap();
            assert_eq!(line.contains("wings"), (is - was).abs() >= 0.5, "{line}: {was} to {is}");
            told += usize::from(line.contains("wings"));
        }
    }
    assert!(told >= 3, "{text}");
}

#[test]
fn one_reach_serves_what_the_bench_then_grinds() {
    let words = ["one-reach", DEMO, "--tolerance", "0.5deg", "--strut-angle", "--format", "json"];
    let (_, out) = run(&words);
    let arms: Value = serde_json::from_str(&out).unwrap();
    let folder = tempfile::tempdir().unwrap();
    let mut served_in_all = 0;
    for arm in arms.as_array().unwrap() {
        let mut bench = demo();
        let served = arm["served"].as_array().unwrap();
        for one in served {
            let name = one["setting"].as_str().unwrap();
            let entry = bench
                .settings
                .iter_mut()
                .find(|entry| entry.name == name && matches!(entry.support, SupportSaved::Holder { .. }));
            let SupportSaved::Holder { reach_mm, projection_mm, strut_angle_deg, .. } =
                &mut entry.unwrap().support
            else {
                panic!()
            };
            *reach_mm = number(arm, "reach_mm");
            *strut_angle_deg = number(arm, "strut_angle_deg");
            *projection_mm = number(one, "projection_mm");
        }
        for one in served {
            let ground = evaluated(folder.path(), &bench, one["setting"].as_str().unwrap());
            let key = if one["meant"] == "at_edge" { "bevel_at_edge_deg" } else { "bevel_across_facet_deg" };
            assert!((number(&ground, key) - number(one, "bevel_deg")).abs() < 1e-6, "{one:#}");
            assert!(number(one, "bevel_off_deg").abs() <= 0.5 + 1e-9);
            served_in_all += 1;
        }
    }
    assert!(served_in_all > 4, "{served_in_all}");
    // Stop blocks alone to a hundredth of a degree: somebody is left out, is named, and the exit code says so.
    let (code, text) = run(&[
        "one-reach",
        DEMO,
        "--at-stops",
        "--tolerance=0.01",
        "--setting",
        GOUGE,
        "--setting",
        "Short grind, 60 mm",
    ]);
    assert_eq!(code, 1, "{text}");
    assert!(text.contains("Left out:") && text.contains("stop block"), "{text}");
}

#[test]
fn how_sure_a_bevel_is_stands_beside_it() {
    // Common practice: half a millimetre on the arm's scale is the largest cause here; what it does is slope times ±.
    let folder = tempfile::tempdir().unwrap();
    let ground = evaluated(folder.path(), &demo(), GOUGE);
    let sure = number(&ground, "bevel_plus_minus_deg");
    let from = ground["plus_minus_from"].as_array().unwrap();
    let squares: f64 = from.iter().map(|one| number(one, "bevel_plus_minus_deg").powi(2)).sum();
    assert!((squares.sqrt() - sure).abs() < 1e-9 && sure > 0.1, "{ground:#}");
    let reach = from.iter().find(|one| one["what"] == "arm reach").unwrap();
    let expected =
        ground["slopes"]["reach"].as_f64().unwrap() * number(reach, "half_width_mm") / 3.0_f64.sqrt() * 2.0;
    assert!((number(reach, "bevel_plus_minus_deg") - expected).abs() < 1e-9);
    let (_, text) = run(&["evaluate", DEMO, "--setting", GOUGE]);
    assert!(text.contains("bevel sure to") && text.contains("mostly by the"), "{text}");
    let (_, record) = found(&["--setting", GOUGE, "--bevel", "45"]);
    assert!(number(&record["answers"][0], "bevel_plus_minus_deg") > 0.1);
}

#[test]
fn ink_at_the_heel_is_read_back_into_the_facet_it_went_on() {
    // Forwards on a facet two degrees blunter than the setting grinds; backwards from what was seen.
    let folder = tempfile::tempdir().unwrap();
    let ground = evaluated(folder.path(), &demo(), GOUGE);
    let bevel = number(&ground, "bevel_at_edge_deg") + 2.0;
    let radius = number(&ground, "wheel_diameter_mm") / 2.0;
    let (bevel, radius) = (format!("--facet-bevel={bevel}"), format!("--hollow-radius={radius}"));
    let facet = [bevel.as_str(), "--facet-width=7", radius.as_str(), "--film=0.005"];
    let (code, out) = run(&[&["ink", DEMO, "--setting", GOUGE, "--format=json"], &facet[..]].concat());
    let forwards: Value = serde_json::from_str(&out).unwrap();
    assert_eq!((code, forwards["pattern"].as_str()), (0, Some("heel")), "{forwards:#}");
    let [from, to] = [0, 1].map(|i| forwards["inked_mm"][0][i].as_f64().unwrap());
    let rubbed = format!("--rubbed={}", to - from);
    let words = [
        "ink",
        DEMO,
        "--setting",
        GOUGE,
        "--format=json",
        "--facet-width=7",
        "--film=0.005",
        "--seen=heel",
        &rubbed,
    ];
    let (code, out) = run(&words);
    let backwards: Value = serde_json::from_str(&out).unwrap();
    assert_eq!((code, backwards["verdict"].as_str()), (0, Some("setting_keener")), "{backwards:#}");
    assert!((number(&backwards, "off_deg") - 2.0).abs() < 1e-5, "{backwards:#}");
    assert!((number(&backwards, "move_by") - number(&forwards, "move_by")).abs() < 1e-4, "{backwards:#}");
    // A narrow facet under a thick film cannot tell, and the command says so with its exit code.
    let (code, out) =
        run(&["ink", DEMO, "--setting", GOUGE, "--facet-width=1", "--film=0.02", "--seen=whole"]);
    assert!(code == 1 && out.contains("cannot tell"), "{out}");
}

#[test]
fn rig_that_was_measured_wrong_is_put_right_by_its_trials() {
    // The true rig has its arm's zero 4 mm further out and 3 mm lower than the bench file says.
    let folder = tempfile::tempdir().unwrap();
    let (said, mut real) = (demo(), demo());
    let entry = said.settings.iter().find(|entry| entry.name == GOUGE).unwrap().clone();
    let wheel = |bench: &mut Bench| {
        bench
            .rigs
            .iter_mut()
            .flat_map(|rig| &mut rig.wheels)
            .find(|wheel| wheel.id == entry.wheel)
            .unwrap()
            .arm
            .clone()
            .unwrap()
    };
    let was = wheel(&mut real);
    for arm in real
        .rigs
        .iter_mut()
        .flat_map(|rig| &mut rig.wheels)
        .filter(|w| w.id == entry.wheel)
        .filter_map(|w| w.arm.as_mut())
    {
        arm.zero_x_mm += 4.0;
        arm.zero_z_mm -= 3.0;
    }
    let (mut trial_bench, mut words) = (said.clone(), Vec::new());
    for (i, (reach_by, projection)) in
        [(-10.0, 60.0), (-5.0, 75.0), (0.0, 85.0), (5.0, 95.0), (12.0, 70.0)].into_iter().enumerate()
    {
        let mut trial = entry.clone();
        trial.id = bevelbench_notebook::saved::Id(9000 + i as u64);
        trial.name = format!("Trial {i}");
        let SupportSaved::Holder { reach_mm, projection_mm, .. } = &mut trial.support else { panic!() };
        *reach_mm += reach_by;
        *projection_mm = projection;
        // Set with calipers, the strut in its notch: by a rule trials at one strut angle would not tell enough.
        trial.readings = [Quantity::Reach, Quantity::Projection, Quantity::StrutAngle]
            .map(|input| ReadingSaved { input, with: ReadWith::Calipers, plus_minus: Some(0.1) })
            .to_vec();
        real.settings.push(trial.clone());
        trial_bench.settings.push(trial.clone());
        let ground = evaluated(folder.path(), &real, &trial.name);
        words.push(format!("--trial={}={}deg", trial.name, number(&ground, "bevel_across_facet_deg")));
    }
    let path = kept(folder.path(), &trial_bench);
    let mut all = vec!["fit", &path, "--format=json"];
    all.extend(words.iter().map(String::as_str));
    let (code, out) = run(&all);
    let fit: Value = serde_json::from_str(&out).unwrap();
    assert_eq!(code, 0, "{fit:#}");
    assert!((number(&fit["dimensions"][0], "is_mm") - was.zero_x_mm - 4.0).abs() < 1e-3, "{fit:#}");
    assert!((number(&fit["dimensions"][1], "is_mm") - was.zero_z_mm + 3.0).abs() < 1e-3, "{fit:#}");
    // Two trials alike cannot tell the holder's dimensions apart.
    all.truncate(6);
    all.push("--fit=hinge-setback,hinge-drop,strut-length");
    let (code, out) = run(&all);
    assert!(code == 1 && out.contains("cannot_tell_apart"), "{out}");
}

#[test]
fn a_measured_facet_is_matched_with_its_wheel_on_the_command_line() {
    // The facet as the setting grinds it, measured: the command must give the setting's own bevel back.
    let folder = tempfile::tempdir().unwrap();
    let ground = evaluated(folder.path(), &demo(), GOUGE);
    let (width, across, hollow) = (
        number(&ground, "facet_width_mm"),
        number(&ground, "bevel_across_facet_deg"),
        number(&ground, "hollow_depth_mm"),
    );
    let words = [
        format!("--facet={width}mm"),
        format!("--protractor={across}deg+-0.5deg"),
        format!("--hollow={hollow}mm+-0.001mm"),
    ];
    let [facet, protractor, hollow] = words.each_ref().map(String::as_str);
    let (code, out) = run(&["match", DEMO, facet, protractor, hollow, "--format=json"]);
    let record: Value = serde_json::from_str(&out).unwrap();
    assert_eq!(code, 0, "{record:#}");
    let bevel = record["ways"][0]["bevel_at_edge_deg"].as_f64().unwrap();
    assert!((bevel - number(&ground, "bevel_at_edge_deg")).abs() < 1e-6, "{record:#}");
    let radius = number(&ground, "wheel_diameter_mm") / 2.0;
    assert!((number(&record, "hollow_radius_mm") - radius).abs() < 1e-3, "{record:#}");
    assert!(record["wheels"][0]["fits"].as_bool().unwrap(), "{record:#}");
    // What is missing is said, with the exit code of no answer.
    let (code, out) = run(&["match", DEMO, "--protractor=45deg", "--wheel-radius=75mm"]);
    assert!(code == 1 && out.contains("The width of the facet is missing."), "{out}");
    let (code, out) =
        run(&["match", DEMO, "--facet=6mm", "--under=4mm", "--protractor=60deg", "--wheel-radius=75mm"]);
    assert!(code == 0 && out.contains("They contradict each other"), "{out}");
}

#[test]
fn forty_included_is_twenty_two_beside_eighteen_on_the_other_face_of_a_skew() {
    let name = "Student: skew on the table";
    let (code, record) = found(&["--setting", name, "--bevel", "40", "--included"]);
    assert_eq!((code, &record["meant"]), (0, &Value::from("included")), "{record:#}");
    let answer = &record["answers"][0];
    assert!((number(answer, "included_deg") - 40.0).abs() < 1e-9, "{answer:#}");
    let folder = tempfile::tempdir().unwrap();
    let mut bench = demo();
    let entry = bench.settings.iter_mut().find(|entry| entry.name == name).unwrap();
    entry.support = SupportSaved::Table { tilt_deg: number(answer, "table_tilt_deg") };
    let ground = evaluated(folder.path(), &bench, name);
    assert!((number(&ground, "included_deg") - 40.0).abs() < 1e-9);
    assert!((number(&ground, "bevel_square_to_edge_deg") - 22.0).abs() < 1e-9, "{ground:#}");
    // The bevel along the tool is the keener one: atan(tan 22° · sin 68°).
    let along = (22.0_f64.to_radians().tan() * 68.0_f64.to_radians().sin()).atan().to_degrees();
    assert!((number(&ground, "bevel_at_edge_deg") - along).abs() < 1e-9);
    // A gouge is ground on one face: said, with what to ask for instead.
    let (code, record) = found(&["--setting", GOUGE, "--bevel", "40", "--included"]);
    assert_eq!((code, &record["error"]["kind"]), (1, &Value::from("one_face")));
    let message = record["error"]["message"].as_str().unwrap();
    assert!(message.contains("one face only") && message.contains("at the edge"), "{message}");
}

#[test]
fn every_quantity_that_may_be_free_has_its_word_and_its_key() {
    let demo = demo();
    let rows = || TABLE.iter().filter(|row| row.found.is_some());
    let mut asked = 0;
    for row in rows() {
        let entry =
            demo.settings.iter().find(|entry| table::turned(&demo, entry).contains(&row.quantity)).unwrap();
        let (_, record) = found(&["--setting", &entry.name, "--bevel", "40deg", "--free", row.word]);
        assert_eq!(record["free"], serde_json::json!([row.key]), "{record:#}");
        let listed =
            ["answers", "near", "family"].iter().filter_map(|list| record[list].as_array()).flatten();
        for one in listed {
            assert!(one[row.key].is_number(), "{record:#}");
            asked += 1;
        }
    }
    assert!(asked >= 7, "{asked}");
    // A word that is none is answered with those that there are.
    let words = ["find", DEMO, "--setting", "x", "--bevel", "40deg", "--free", "nonsense"];
    let refused = format!("{:?}", Command::parse(words.iter().map(OsString::from)).unwrap_err());
    assert!(rows().all(|row| refused.contains(row.word)), "{refused}");
}
