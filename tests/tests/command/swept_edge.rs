//! What `evaluate` says about an edge against a second account: the torus of the roll line, its gradient and the law of
//! the flute worked out again from the reported inputs with plain arithmetic. Nothing of the geometry crate is used.

use serde_json::Value;

use crate::{DEMO, near, number, pair, run};

fn records() -> Vec<Value> {
    let (_, out, _) = run(&["evaluate", DEMO, "--format", "json"]);
    serde_json::from_str(&out).unwrap()
}

/// The flute's height at `w`, from the reported inputs.
fn flute(record: &Value, w: f64) -> f64 {
    let floor = number(record, "flute_floor_mm");
    if let Some(k) = record["flute_k"].as_f64() {
        return floor + k * w.abs().powf(number(record, "flute_n"));
    }
    if let Some(m) = record["flute_slope"].as_f64() {
        let foot = m * number(record, "flute_floor_radius_mm");
        return floor + m * ((w * w + foot * foot).sqrt() - foot);
    }
    let radius = number(record, "flute_radius_mm");
    floor + radius - (radius * radius - w * w).max(0.0).sqrt()
}

/// The torus of a rolled setting, from the reported inputs.
struct Torus {
    centre: [f64; 2],
    along: [f64; 2],
    square: [f64; 2],
    wheel: [f64; 2],
    radius: f64,
}

impl Torus {
    fn of(record: &Value) -> Self {
        let (pivot, edge) = (pair(record, "pivot_in_tool_mm"), pair(record, "edge_in_tool_mm"));
        let centre = pair(&record["roll_line"], "centre_in_tool_mm");
        let radius = number(record, "wheel_diameter_mm") / 2.0;
        let bevel = number(record, "bevel_at_edge_deg").to_radians();
        let arm = [pivot[0] - centre[0], pivot[1] - centre[1]];
        let long = arm[0].hypot(arm[1]);
        let along = [arm[0] / long, arm[1] / long];
        // Square to the line, on the wheel's side, which is below.
        let square = [along[1], -along[0]];
        let wheel = [edge[0] - radius * bevel.sin() - centre[0], edge[1] - radius * bevel.cos() - centre[1]];
        let dot = |a: [f64; 2], b: [f64; 2]| a[0] * b[0] + a[1] * b[1];
        Self { centre, along, square, wheel: [dot(wheel, along), dot(wheel, square)], radius }
    }

    /// Along the line, square to it in the plane, across.
    fn place(&self, [s, h, w]: [f64; 3]) -> [f64; 3] {
        let (s, h) = (s - self.centre[0], h - self.centre[1]);
        [s * self.along[0] + h * self.along[1], s * self.square[0] + h * self.square[1], w]
    }

    /// Left side of formula (3), less the radius squared.
    fn value(&self, p: [f64; 3]) -> f64 {
        let [u, a, b] = self.place(p);
        (u - self.wheel[0]).powi(2) + (a.hypot(b) - self.wheel[1]).powi(2) - self.radius * self.radius
    }

    /// Towards the wheel: down the value, by central differences.
    fn towards_wheel(&self, p: [f64; 3]) -> [f64; 3] {
        let slope = |k: usize| {
            let (mut less, mut more) = (p, p);
            less[k] -= 1e-5;
            more[k] += 1e-5;
            self.value(less) - self.value(more)
        };
        unit([slope(0), slope(1), slope(2)])
    }
}

fn unit(v: [f64; 3]) -> [f64; 3] {
    let long = (v[0] * v[0] + v[1] * v[1] + v[2] * v[2]).sqrt();
    v.map(|x| x / long)
}

#[test]
fn every_rolled_edge_lies_on_its_flute_and_on_its_torus() {
    let mut checked = 0;
    for record in records().iter().filter(|record| record["movement"] == "rolled") {
        let name = record["setting"].as_str().unwrap();
        let torus = Torus::of(record);
        let swing = number(record, "swing_deg");
        let edge = record["edge"].as_array().unwrap();
        assert!(edge.len() > 150, "{name}");
        for point in edge {
            let [w, h, s] = ["w_mm", "h_mm", "s_mm"].map(|key| number(point, key));
            near(h, flute(record, w), 1e-9, name);
            let [_, a, b] = torus.place([s, h, w]);
            let roll = number(point, "roll_deg");
            if roll.abs() > swing - 0.01 {
                // Beyond the swing the wheel of the end pose cuts, not the torus.
                continue;
            }
            near(roll, b.atan2(a).to_degrees(), 1e-7, name);
            near(torus.value([s, h, w]) / torus.radius, 0.0, 1e-7, name);
            let ground = torus.towards_wheel([s, h, w]);
            near(number(point, "bevel_to_axis_deg"), ground[0].abs().asin().to_degrees(), 1e-4, name);
            let step = 1e-5;
            // The wall of a circle ends upright at its widest: no slope to be taken there.
            let slope = (flute(record, w + step) - flute(record, w - step)) / (2.0 * step);
            if slope.abs() > 50.0 {
                continue;
            }
            let wall = unit([0.0, 1.0, -slope]);
            let cosine = wall[1] * ground[1] + wall[2] * ground[2];
            near(number(point, "wedge_deg"), 180.0 - cosine.acos().to_degrees(), 1e-3, name);
            checked += 1;
        }
    }
    assert!(checked > 1000, "{checked}");
}

#[test]
fn facets_end_where_their_arc_leaves_the_bar() {
    let mut checked = 0;
    for record in
        records().iter().filter(|record| record["movement"] == "rolled" && record["bar_top_mm"].is_null())
    {
        let name = record["setting"].as_str().unwrap();
        let torus = Torus::of(record);
        let bar = number(record, "bar_diameter_mm") / 2.0;
        let swing = number(record, "swing_deg");
        for point in record["edge"].as_array().unwrap().iter().step_by(20) {
            let [w, h, s] = ["w_mm", "h_mm", "s_mm"].map(|key| number(point, key));
            let roll = number(point, "roll_deg").to_radians();
            if roll.to_degrees().abs() > swing - 0.01 {
                continue;
            }
            // In the wheel's plane at this roll angle: along the line, and square to it.
            let [u, a, b] = torus.place([s, h, w]);
            let start = (a.hypot(b) - torus.wheel[1]).atan2(u - torus.wheel[0]);
            let outside = |turn: f64| {
                let (sin, cos) = (start + turn).sin_cos();
                let (u, r) = (torus.wheel[0] + torus.radius * cos, torus.wheel[1] + torus.radius * sin);
                let (a, w) = (r * roll.cos(), r * roll.sin());
                let h = torus.centre[1] + u * torus.along[1] + a * torus.square[1];
                h.hypot(w) - bar
            };
            let chord = number(point, "facet_width_mm");
            let turn = 2.0 * (chord / (2.0 * torus.radius)).asin();
            // One of the two ways along the rim leaves the bar just there and not before.
            let ends = |sign: f64| {
                outside(sign * turn).abs() < 1e-4
                    && (1..40).all(|i| outside(sign * turn * f64::from(i) / 40.0) < 1e-6)
            };
            assert!(ends(1.0) || ends(-1.0), "{name}: {w} {chord}");
            checked += 1;
        }
    }
    assert!(checked > 40, "{checked}");
}

#[test]
fn summaries_are_those_of_the_listed_edge() {
    for record in records().iter().filter(|record| record["edge"].is_array()) {
        let name = record["setting"].as_str().unwrap();
        let edge = record["edge"].as_array().unwrap();
        let places: Vec<[f64; 3]> =
            edge.iter().map(|p| ["s_mm", "h_mm", "w_mm"].map(|key| number(p, key))).collect();
        let length: f64 = places
            .windows(2)
            .map(|pair| (0..3).map(|k| (pair[0][k] - pair[1][k]).powi(2)).sum::<f64>().sqrt())
            .sum();
        // A jump of the edge is no edge.
        assert!(number(record, "edge_length_mm") <= length + 1e-9, "{name}");
        if record["movement"] == "rolled" {
            let sweep = f64::midpoint(places[0][0], places[places.len() - 1][0]);
            near(number(record, "wing_sweep_mm"), sweep, 1e-9, name);
            let [pivot, centre] =
                [pair(record, "pivot_in_tool_mm"), pair(&record["roll_line"], "centre_in_tool_mm")];
            let angle = (centre[1] - pivot[1]).atan2(pivot[0] - centre[0]).to_degrees();
            near(number(&record["roll_line"], "angle_deg"), angle, 1e-9, name);
        }
        let wedges: Vec<f64> = edge.iter().map(|p| number(p, "wedge_deg")).collect();
        near(
            number(record, "least_wedge_deg"),
            wedges.iter().copied().fold(f64::INFINITY, f64::min),
            1e-9,
            name,
        );
        near(number(record, "greatest_wedge_deg"), wedges.iter().copied().fold(0.0, f64::max), 1e-9, name);
        if let Some(included) = record["included_deg"].as_f64() {
            near(wedges[wedges.len() / 2], included, 1e-6, name);
        }
    }
}

#[test]
fn an_edge_that_is_not_modelled_says_so_and_keeps_its_other_answers() {
    let records = records();
    let record = records.iter().find(|r| r["setting"] == "Curved edge, both faces").unwrap();
    assert!(record["edge"].is_null() && record["error"].is_null());
    assert!(record["bevel_at_edge_deg"].is_number());
    assert!(record["edge_note"].as_str().unwrap().contains("oblique and curved"));
}

#[test]
fn each_view_of_the_tip_is_drawn_into_a_file() {
    let folder = tempfile::tempdir().unwrap();
    for (view, says) in
        [("tip", "wing sweep 11.9 mm"), ("plan", "nose radius 7.3 mm"), ("curves", "Wedge angle")]
    {
        let path = folder.path().join(format!("{view}.svg"));
        let words = ["picture", DEMO, "--setting", "Swept, keeping wheel", "--view", view, "-o"];
        let (code, _, stderr) = run(&[&words[..], &[path.to_str().unwrap()]].concat());
        assert_eq!(code, 0, "{stderr}");
        let text = std::fs::read_to_string(&path).unwrap();
        assert!(text.contains(says), "{view}");
        assert!(text.contains("a hand does not roll exactly"), "what it rests on stands on the sheet");
    }
    let path = folder.path().join("none.svg");
    let words = ["picture", DEMO, "--setting", "Curved edge, both faces", "--view", "tip", "-o"];
    let (code, _, stderr) = run(&[&words[..], &[path.to_str().unwrap()]].concat());
    assert!(code == 1 && stderr.contains("oblique and curved") && !path.exists(), "{code} {stderr}");
}
