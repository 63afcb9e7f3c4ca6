//! The command against a second account of every number: this file works the triangle, the hollow, the gaps
//! and the slopes out again with plain arithmetic of its own, from the plain numbers of the bench file and from
//! the inputs that the command reports. Nothing of the geometry crate is used.

use std::{f64::consts::PI, ffi::OsString, path::Path};

use bevelbench::command::{Command, Usage};
use bevelbench_notebook::saved::{
    AbrasiveSaved, Bench, BlankSaved, EdgeSaved, PresentationSaved, SettingEntry, SupportSaved,
};
use serde_json::Value;

use crate::{DEMO, demo, kept, near, number, pair, run};

fn records(words: &[&str]) -> (u8, Vec<Value>) {
    let (code, out, stderr) = run(words);
    assert_eq!(stderr, "");
    let Value::Array(records) = serde_json::from_str(&out).unwrap() else { panic!("{out}") };
    (code, records)
}

/// The inputs of a setting in the side plane, as plain numbers: what the slopes are taken by.
#[derive(Clone, Copy)]
struct Plain {
    radius: f64,
    edge_height: f64,
    under: f64,
    /// The fraction of the tool's length that lies in the side plane.
    fraction: f64,
    support: SupportSaved,
    /// Arm: zero x, zero z, tilt in degrees. Table: hinge x, hinge z, surface offset.
    place: [f64; 3],
    /// Holder: setback, drop, strut. Handle: tool length.
    tool: [f64; 3],
}

impl Plain {
    fn of(bench: &Bench, entry: &SettingEntry) -> Self {
        let rig = bench.rigs.iter().find(|rig| rig.id == entry.rig).unwrap();
        let wheel = rig.wheels.iter().find(|wheel| wheel.id == entry.wheel).unwrap();
        let tool = bench.tools.iter().find(|tool| tool.id == entry.tool).unwrap();
        assert_ne!(wheel.abrasive, AbrasiveSaved::Flat, "the demo has round wheels only");
        let arm = || wheel.arm.as_ref().map(|arm| [arm.zero_x_mm, arm.zero_z_mm, arm.tilt_deg]).unwrap();
        let (place, lengths) = match entry.support {
            SupportSaved::Handle { .. } => (arm(), [tool.overall_length_mm, 0.0, 0.0]),
            SupportSaved::Holder { holder, .. } => {
                let holder = rig.holders.iter().find(|h| h.id == holder).unwrap();
                (arm(), [holder.hinge_setback_mm, holder.hinge_drop_mm, holder.strut_length_mm])
            }
            SupportSaved::Table { .. } => {
                let table = wheel.table.as_ref().unwrap();
                ([table.hinge_x_mm, table.hinge_z_mm, table.surface_offset_mm], [0.0; 3])
            }
        };
        let (edge_height, under, obliquity) = match &tool.blank {
            BlankSaved::Bar(bar) => (bar.flute_floor_mm, bar.flute_floor_mm + bar.diameter_mm / 2.0, 90.0),
            BlankSaved::Flat(flat) => {
                use bevelbench_notebook::saved::BevelsSaved as B;
                let half = flat.thickness_mm / 2.0;
                let height = |bevels: B| match bevels {
                    B::One => half,
                    B::Alike => 0.0,
                    B::Unlike { edge_height_mm, .. } => edge_height_mm,
                };
                let (height, obliquity) = match flat.edge {
                    EdgeSaved::Skew { obliquity_deg, bevels, .. } => (height(bevels), obliquity_deg),
                    EdgeSaved::Parting { bevels } | EdgeSaved::Beading { bevels } => (height(bevels), 90.0),
                    EdgeSaved::Scraper { .. } => (half, 90.0),
                    EdgeSaved::NegativeRake { drop_mm, .. } => (half - drop_mm, 90.0),
                };
                (height, height + half, obliquity)
            }
        };
        let fraction = match entry.presentation {
            PresentationSaved::EdgeParallelToSpindle => obliquity.to_radians().sin(),
            PresentationSaved::AxisInSidePlane => 1.0,
        };
        let radius = wheel.diameter_mm / 2.0;
        Self { radius, edge_height, under, fraction, support: entry.support, place, tool: lengths }
    }

    /// The pivot in the bench frame and in the tool frame.
    fn pivot(&self) -> Option<([f64; 2], [f64; 2])> {
        let [x, z, tilt] = self.place;
        let on_arm = |reach: f64| {
            let tilt = tilt.to_radians();
            [x + reach * tilt.cos(), z + reach * tilt.sin()]
        };
        match self.support {
            SupportSaved::Handle { reach_mm } => {
                Some((on_arm(reach_mm), [self.tool[0] * self.fraction, 0.0]))
            }
            SupportSaved::Holder { reach_mm, projection_mm, strut_angle_deg, .. } => {
                let [setback, drop, strut] = self.tool;
                let angle = strut_angle_deg.to_radians();
                let s = projection_mm + setback + strut * angle.cos();
                Some((on_arm(reach_mm), [s * self.fraction, -drop - strut * angle.sin()]))
            }
            SupportSaved::Table { .. } => None,
        }
    }

    /// Bevel at the edge in radians: the law of cosines, with the sides as they come; or the table's cosine.
    fn bevel(&self) -> f64 {
        if let Some((bench, tool)) = self.pivot() {
            let d = bench[0].hypot(bench[1]);
            let down = self.edge_height - tool[1];
            let l = tool[0].hypot(down);
            let at_edge = ((l * l + self.radius * self.radius - d * d) / (2.0 * l * self.radius)).acos();
            at_edge - PI / 2.0 + (down / tool[0]).atan()
        } else {
            ((self.plane() + self.under) / self.radius).acos()
        }
    }

    fn plane(&self) -> f64 {
        let SupportSaved::Table { tilt_deg } = self.support else { panic!("only a table has a plane") };
        let [x, z, offset] = self.place;
        let tilt = tilt_deg.to_radians();
        z * tilt.cos() - x * tilt.sin() + offset
    }

    /// The same with one input moved by a little (millimetres or degrees).
    fn moved(mut self, input: &str, by: f64) -> Self {
        match (&mut self.support, input) {
            (_, "wheel_diameter") => self.radius += by / 2.0,
            (SupportSaved::Handle { reach_mm } | SupportSaved::Holder { reach_mm, .. }, "reach") => {
                *reach_mm += by;
            }
            (SupportSaved::Handle { .. }, "tool_length") => self.tool[0] += by,
            (SupportSaved::Holder { projection_mm, .. }, "projection") => *projection_mm += by,
            (SupportSaved::Holder { strut_angle_deg, .. }, "strut_angle") => *strut_angle_deg += by,
            (SupportSaved::Table { tilt_deg }, "table_tilt") => *tilt_deg += by,
            other => panic!("no such input: {other:?}"),
        }
        self
    }
}

/// Where the arc of the wheel under the edge comes back to the underside: the heel's setback, found by
/// halving.
fn heel_setback(radius: f64, bevel: f64, under: f64) -> f64 {
    let centre = [-radius * bevel.sin(), -radius * bevel.cos()];
    let outside = |s: f64| (s - centre[0]).hypot(-under - centre[1]) > radius;
    let (mut low, mut high) = (centre[0], centre[0] + radius + under);
    for _ in 0..200 {
        let middle = f64::midpoint(low, high);
        if outside(middle) { high = middle } else { low = middle }
    }
    low
}

/// Every number of every demo setting (derived here; the formulas are those any handbook has).
#[test]
fn evaluate_agrees_with_a_second_account_of_every_demo_setting() {
    let bench = demo();
    let (code, records) = records(&["evaluate", DEMO, "--format", "json"]);
    assert_eq!((code, records.len()), (0, bench.settings.len()));
    assert!(records.len() >= 16);
    for (entry, record) in bench.settings.iter().zip(&records) {
        let what = |name: &str| format!("{name} of {}", entry.name);
        assert_eq!(record["setting"].as_str(), Some(entry.name.as_str()));
        assert!(record.get("error").is_none(), "{record:#}");
        let plain = Plain::of(&bench, entry);
        let bevel = plain.bevel();
        near(number(record, "wheel_diameter_mm"), 2.0 * plain.radius, 1e-9, &what("wheel"));
        near(number(record, "thickness_under_edge_mm"), plain.under, 1e-9, &what("under"));
        near(pair(record, "edge_in_tool_mm")[1], plain.edge_height, 1e-9, &what("edge"));
        near(number(record, "bevel_at_edge_deg"), bevel.to_degrees(), 1e-7, &what("bevel"));

        let setback = heel_setback(plain.radius, bevel, plain.under);
        let chord = setback.hypot(plain.under);
        let across = plain.under.atan2(setback);
        near(number(record, "facet_width_mm"), chord, 1e-7, &what("facet width"));
        near(number(record, "bevel_across_facet_deg"), across.to_degrees(), 1e-6, &what("across"));
        near(number(record, "bevel_at_heel_deg"), (2.0 * across - bevel).to_degrees(), 1e-6, &what("heel"));
        let hollow = plain.radius - (plain.radius.powi(2) - chord * chord / 4.0).sqrt();
        near(number(record, "hollow_depth_mm"), hollow, 1e-7, &what("hollow"));

        // The contact lies on the rim, and the tool's axis through it meets what carries it.
        let contact = pair(record, "contact_in_bench_mm");
        near(contact[0].hypot(contact[1]), plain.radius, 1e-7, &what("rim"));
        let down = number(record, "handle_angle_deg").to_radians();
        let up = contact[1].atan2(contact[0]);
        near(down, PI / 2.0 - up - bevel, 1e-9, &what("handle"));
        if let Some((in_bench, in_tool)) = plain.pivot() {
            for i in 0..2 {
                near(pair(record, "pivot_in_bench_mm")[i], in_bench[i], 1e-9, &what("pivot"));
                near(pair(record, "pivot_in_tool_mm")[i], in_tool[i], 1e-9, &what("pivot"));
            }
            near(
                number(record, "gauge_length_mm"),
                in_bench[0].hypot(in_bench[1]) - plain.radius,
                1e-9,
                &what("gauge"),
            );
            // From the contact along the axis and square to it, the pivot comes out where the arm has it.
            let (s, h) = (in_tool[0], in_tool[1] - plain.edge_height);
            near(contact[0] + s * down.cos() + h * down.sin(), in_bench[0], 1e-6, &what("pivot x"));
            near(contact[1] - s * down.sin() + h * down.cos(), in_bench[1], 1e-6, &what("pivot z"));
            assert!(record.get("table_plane_from_centre_mm").is_none());
        } else {
            near(number(record, "table_plane_from_centre_mm"), plain.plane(), 1e-9, &what("plane"));
            near(number(record, "edge_above_table_mm"), plain.under, 1e-9, &what("above"));
            for absent in ["pivot_in_bench_mm", "pivot_in_tool_mm", "gauge_length_mm"] {
                assert!(record.get(absent).is_none(), "{absent} of {}", entry.name);
            }
        }
    }
}

/// Slopes by central differences of this file's own bevel (derived here).
#[test]
fn slopes_are_those_of_a_second_account() {
    let bench = demo();
    let (_, records) = records(&["evaluate", DEMO, "--format", "json"]);
    for (entry, record) in bench.settings.iter().zip(&records) {
        let plain = Plain::of(&bench, entry);
        let slopes = record["slopes"].as_object().unwrap();
        let mut names: Vec<&str> = slopes.keys().map(String::as_str).collect();
        names.sort_unstable();
        let expected: &[&str] = match entry.support {
            SupportSaved::Handle { .. } => &["reach", "tool_length", "wheel_diameter"],
            SupportSaved::Holder { .. } => &["projection", "reach", "strut_angle", "wheel_diameter"],
            SupportSaved::Table { .. } => &["table_tilt", "wheel_diameter"],
        };
        assert_eq!(names, expected, "{}", entry.name);
        for (name, slope) in slopes {
            let step = 1e-3;
            let rise = plain.moved(name, step).bevel() - plain.moved(name, -step).bevel();
            near(
                slope.as_f64().unwrap(),
                rise.to_degrees() / (2.0 * step),
                1e-5,
                &format!("{name} of {}", entry.name),
            );
        }
    }
}

/// Gaps of the present facet on a table, worked out by sliding its points towards the rim (derived here).
#[test]
fn gaps_on_the_table_are_those_of_a_second_account() {
    let bench = demo();
    let (_, records) = records(&["evaluate", DEMO, "--format", "json"]);
    let mut seen = 0;
    for (entry, record) in bench.settings.iter().zip(&records) {
        let tool = bench.tools.iter().find(|tool| tool.id == entry.tool).unwrap();
        let Some(facet) = tool.present_facet else {
            assert!(record["edge_gap_mm"].is_null() && record["heel_gap_mm"].is_null(), "{}", entry.name);
            assert!(record.as_object().unwrap().contains_key("edge_gap_mm"));
            continue;
        };
        if !matches!(entry.support, SupportSaved::Table { .. }) {
            continue;
        }
        let plain = Plain::of(&bench, entry);
        // Points along the facet, above the table and back from the edge.
        let hollow = facet.hollow_radius_mm.unwrap();
        let half = (facet.width_mm / 2.0 / hollow).asin();
        let points: Vec<[f64; 2]> = (0..=2000)
            .map(|i| {
                let turn = half * f64::from(i) / 2000.0;
                let (chord, slope) = (2.0 * hollow * turn.sin(), facet.bevel_deg.to_radians() + turn);
                [chord * slope.cos(), plain.under - chord * slope.sin()]
            })
            .collect();
        // Pushed towards the rim until the first point touches: x = √(R² − height²) at that point.
        let rim = |p: &[f64; 2]| (plain.radius.powi(2) - (plain.plane() + p[1]).powi(2)).sqrt();
        let edge_x = points.iter().map(|p| rim(p) - p[0]).fold(f64::MIN, f64::max);
        let gap = |p: &[f64; 2]| (edge_x + p[0]).hypot(plain.plane() + p[1]) - plain.radius;
        near(number(record, "edge_gap_mm"), gap(&points[0]), 1e-5, &format!("edge gap of {}", entry.name));
        near(number(record, "heel_gap_mm"), gap(&points[2000]), 1e-5, &format!("heel gap of {}", entry.name));
        seen += 1;
    }
    assert!(seen >= 3);
}

/// Oblique edges: `tan(along) = tan(square)·sin σ` (K21), and two bevels add up square to the edge.
#[test]
fn oblique_edges_tell_both_bevels() {
    let (_, records) = records(&["evaluate", DEMO, "--format", "json"]);
    let named = |name: &str| records.iter().find(|r| r["setting"] == name).unwrap();
    let both = named("Both faces");
    let (along, square) = (number(both, "bevel_along_tool_deg"), number(both, "bevel_square_to_edge_deg"));
    near(square, number(both, "bevel_at_edge_deg"), 1e-12, "square to the edge");
    near(
        along.to_radians().tan(),
        square.to_radians().tan() * 70_f64.to_radians().sin(),
        1e-12,
        "along the tool",
    );
    near(number(both, "included_deg"), 2.0 * square, 1e-9, "included");

    let student = named("Student: skew on the table");
    let (along, square) =
        (number(student, "bevel_along_tool_deg"), number(student, "bevel_square_to_edge_deg"));
    near(along, number(student, "bevel_at_edge_deg"), 1e-12, "along the tool");
    near(along.to_radians().tan(), square.to_radians().tan() * 68_f64.to_radians().sin(), 1e-12, "square");
    near(number(student, "included_deg"), square + 18.0, 1e-9, "unequal bevels");

    let gouge = named("Long grind, 85 mm");
    for absent in ["bevel_along_tool_deg", "bevel_square_to_edge_deg", "included_deg"] {
        assert!(gouge.get(absent).is_none(), "{absent}");
    }
}

#[test]
fn every_answer_carries_its_cautions_in_code_and_words() {
    let (_, records) = records(&["evaluate", DEMO, "--format", "json"]);
    for record in &records {
        let cautions = record["cautions"].as_array().unwrap();
        let codes: Vec<_> = cautions.iter().map(|c| c["code"].as_str().unwrap()).collect();
        assert!(codes.contains(&"eyes_and_lungs") && codes.contains(&"local_rules"), "{codes:?}");
        let student = record["rig"] == "A student's grinder";
        assert_eq!(codes.contains(&"marking_unread"), student, "{record:#}");
        assert!(cautions.iter().all(|c| c["text"].as_str().unwrap().len() > 20));
    }
}

#[test]
fn setting_without_an_answer_has_its_error_and_the_others_their_answers() {
    let folder = tempfile::tempdir().unwrap();
    let mut bench = demo();
    for entry in &mut bench.settings {
        if let (SupportSaved::Holder { reach_mm, .. }, "Short grind, 60 mm") =
            (&mut entry.support, entry.name.as_str())
        {
            *reach_mm = 900.0;
        }
    }
    let file = kept(folder.path(), &bench);
    let (code, records) = records(&["evaluate", &file, "--format", "json"]);
    assert_eq!(code, 1);
    let (failed, good): (Vec<&Value>, Vec<&Value>) = records.iter().partition(|r| r.get("error").is_some());
    assert_eq!((failed.len(), good.len()), (1, records.len() - 1));
    let record = failed[0];
    assert_eq!(record["setting"], "Short grind, 60 mm");
    assert_eq!(record["error"]["kind"], "reach_off_arm");
    assert_eq!(record["error"]["numbers"]["reach_mm"], 900.0);
    assert_eq!(record["error"]["numbers"]["most_mm"], 620.0);
    assert!(record["error"]["message"].as_str().unwrap().contains("900.0 mm"));
    assert!(record.get("bevel_at_edge_deg").is_none() && record.get("cautions").is_none());

    let (code, out, stderr) = run(&["evaluate", &file]);
    assert_eq!((code, stderr.as_str()), (1, ""));
    assert!(out.contains("No answer: The arm reach is 900.0 mm"), "{out}");
    // The others alone: nothing is wrong with them.
    assert_eq!(run(&["evaluate", &file, "--setting", "Both faces"]).0, 0);
}

#[test]
fn one_setting_is_answered_by_name() {
    let (code, records) = records(&["evaluate", DEMO, "--setting", "Inside bowl", "--format=json"]);
    assert_eq!((code, records.len()), (0, 1));
    assert_eq!(
        (records[0]["support"].as_str(), records[0]["tool"].as_str()),
        (Some("handle"), Some("Bowl gouge, 16 mm"))
    );
    let (code, out, _) = run(&["evaluate", DEMO, "--setting", "Inside bowl"]);
    assert!(code == 0 && out.starts_with("Inside bowl\n") && out.contains("bevel at the edge"), "{out}");
}

#[test]
fn an_unknown_setting_is_reported_with_the_known_ones() {
    let (code, out, stderr) = run(&["evaluate", DEMO, "--setting", "Nobody's grind", "--format", "json"]);
    assert_eq!((code, out.as_str()), (2, ""));
    assert!(stderr.contains("Nobody's grind") && stderr.contains("Long grind, 85 mm"), "{stderr}");
}

#[test]
fn file_that_cannot_be_read_ends_with_two_and_its_reason() {
    let folder = tempfile::tempdir().unwrap();
    let write = |name: &str, bytes: &[u8]| {
        let path = folder.path().join(name);
        std::fs::write(&path, bytes).unwrap();
        path.to_str().unwrap().to_owned()
    };
    let absent = folder.path().join("absent.ron").to_str().unwrap().to_owned();
    let cases = [
        (absent.clone(), "absent.ron"),
        (folder.path().to_str().unwrap().to_owned(), "not a file"),
        (write("cut.ron", b"V1((title: \"x\", rigs: ["), "Line 1"),
        (write("newer.ron", b"V9((title: \"x\"))"), "newer"),
        (write("not_text.ron", &[0xff, 0xfe, 0x00]), "not_text.ron"),
        (write("empty.ron", b""), "Line 1"),
        (write("no_number.ron", b"V1((title: \"x\", rigs: [(id: (1), name: \"r\", grinder: (spindle_speed_rpm: NaN, spindle_height_mm: 1, bench_front_mm: 1))]))"), "NaN"),
    ];
    for (file, said) in cases {
        let (code, out, stderr) = run(&["evaluate", &file, "--format", "json"]);
        assert_eq!((code, out.as_str()), (2, ""), "{file}: {stderr}");
        assert!(stderr.contains(said), "{file}: {stderr}");
    }
}

#[test]
fn bench_without_settings_is_answered_with_an_empty_list() {
    let folder = tempfile::tempdir().unwrap();
    let file = kept(folder.path(), &Bench { title: "Bare".into(), ..Bench::default() });
    assert_eq!(records(&["evaluate", &file, "--format", "json"]), (0, Vec::new()));
}

#[test]
fn command_lines_that_mean_nothing_are_refused() {
    for words in [&["evaluate"][..], &["--frobnicate"], &["evaluate", DEMO, "--format", "yaml"]] {
        let refused: Result<Command, Usage> = Command::parse(words.iter().map(OsString::from));
        assert!(refused.is_err(), "{words:?}");
    }
}

/// The names of the files in a folder.
fn files_in(folder: &Path) -> Vec<OsString> {
    std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().file_name()).collect()
}

#[test]
fn picture_shows_the_setting_and_its_own_bevel() {
    let folder = tempfile::tempdir().unwrap();
    let bench = demo();
    for name in ["Long grind, 85 mm", "Inside bowl", "Both faces"] {
        let out = folder.path().join("picture.svg");
        let (code, said, stderr) =
            run(&["picture", DEMO, "--setting", name, "--force", "-o", out.to_str().unwrap()]);
        assert_eq!((code, said.as_str(), stderr.as_str()), (0, "", ""));
        let text = std::fs::read_to_string(&out).unwrap();
        assert!(text.contains("<svg") && text.trim_end().ends_with("</svg>"), "{name}");
        let entry = bench.settings.iter().find(|entry| entry.name == name).unwrap();
        let bevel = format!("{:.1}°", Plain::of(&bench, entry).bevel().to_degrees());
        assert!(text.contains(&bevel) && text.contains(name), "{name}: {bevel}");
    }
    // Nothing is left beside it: it was replaced whole.
    assert_eq!(files_in(folder.path()), ["picture.svg"]);
}

#[test]
fn picture_is_a_png_where_the_name_says_so() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("picture.png");
    let words =
        ["picture", DEMO, "--view", "side", "--setting", "Long grind, 85 mm", "-o", out.to_str().unwrap()];
    assert_eq!(run(&words).0, 0);
    let image = image::open(&out).unwrap().to_rgb8();
    assert!(image.width() >= 600 && image.height() >= 400, "{:?}", image.dimensions());
    let paper = image.get_pixel(0, 0);
    let inked = image.pixels().filter(|pixel| *pixel != paper).count();
    assert!(inked * 50 > image.pixels().len(), "{inked} pixels are not paper");
}

#[test]
fn picture_of_no_answer_is_not_written() {
    let folder = tempfile::tempdir().unwrap();
    let mut bench = demo();
    if let SupportSaved::Holder { reach_mm, .. } = &mut bench.settings[0].support {
        *reach_mm = 900.0;
    }
    let file = kept(folder.path(), &bench);
    let out = folder.path().join("picture.svg");
    let (code, _, stderr) =
        run(&["picture", &file, "--setting", "Long grind, 85 mm", "-o", out.to_str().unwrap()]);
    assert!(code == 1 && stderr.contains("900.0 mm"), "{code}: {stderr}");
    assert!(!out.exists());
    let (code, _, stderr) = run(&["picture", &file, "--setting", "Nobody's", "-o", out.to_str().unwrap()]);
    assert!(code == 2 && stderr.contains("Nobody's") && !out.exists(), "{code}: {stderr}");
}

#[test]
fn picture_that_cannot_be_written_ends_with_two() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("plain");
    std::fs::write(&file, "x").unwrap();
    let out = file.join("picture.svg");
    let (code, _, stderr) = run(&["picture", DEMO, "--setting", "Both faces", "-o", out.to_str().unwrap()]);
    assert!(code == 2 && stderr.contains("picture.svg"), "{code}: {stderr}");
}
