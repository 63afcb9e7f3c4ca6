//! How digits fare as a limit is approached: the table that `tests/reference/conditioning.md` keeps, and the promise that
//! errors grow with the question's own condition and no faster. Derived here, as the other tables.
//!
//! `BEVELBENCH_REMAKE=1 cargo test -p bevelbench-geometry --test fifty_digits limits` writes the page anew.

use std::{env, fmt::Write as _, fs, path::Path};

use bevelbench_geometry::{
    parts::Face,
    side::{Facet, Seat, SideView, Slopes, Target},
    swept::{EdgePoint, GroundSurface},
};

use crate::{
    bench::{angle, free, setting},
    rows::{Case, cases, worked_through},
    swing::{rolled, steel},
};

const TABLE: &str = include_str!("../../../../tests/reference/fifty/limits.csv");
const MEETING: &str = include_str!("../../../../tests/reference/fifty/meeting.csv");
const PAGE: &str = "../../tests/reference/conditioning.md";
/// Last bits that a tolerance of the tables counts.
const ROUNDINGS: f64 = 32.0;

fn of_view(case: &Case, view: &SideView) -> Vec<(&'static str, f64)> {
    let Slopes {
        reach,
        projection,
        strut_angle,
        wheel_diameter,
        wheel_diameter_at_gauge,
        tool_length,
        table_tilt,
    } = view.slopes;
    let (gauge, rest) = match view.seat {
        Seat::Pivot { gauge_length_mm, .. } => (gauge_length_mm, 0.0),
        Seat::Plane { rest_gap_mm, .. } => (0.0, rest_gap_mm),
    };
    [
        ("bevel_deg", view.bevel().degrees()),
        ("across_deg", view.facet.across.degrees()),
        ("heel_deg", view.facet.at_heel.degrees()),
        ("facet_mm", view.facet.width_mm),
        ("hollow_mm", view.facet.hollow_mm),
        ("heel_s_mm", view.facet.heel_from_edge.x),
        ("contact_x_mm", view.contact_in_bench.x),
        ("contact_z_mm", view.contact_in_bench.y),
        ("handle_deg", view.handle_angle.degrees()),
        ("gauge_mm", gauge),
        ("rest_gap_mm", rest),
        ("reach_slope", reach.unwrap_or(0.0)),
        ("projection_slope", projection.unwrap_or(0.0)),
        ("strut_angle_slope", strut_angle.unwrap_or(0.0)),
        ("diameter_slope", wheel_diameter.unwrap_or(0.0)),
        ("diameter_at_gauge_slope", wheel_diameter_at_gauge.unwrap_or(0.0)),
        ("tool_length_slope", tool_length.unwrap_or(0.0)),
        ("tilt_slope", table_tilt.unwrap_or(0.0)),
    ]
    .into_iter()
    .filter(|(name, _)| case.expects(name))
    .collect()
}

fn all() -> Vec<Case> {
    cases(TABLE).into_iter().chain(cases(MEETING)).collect()
}

/// What the program says of a case.
fn stated(case: &Case) -> Vec<(&'static str, f64)> {
    if case.gives("by") {
        let asked = Target::AtEdge(angle(case, "target_deg"));
        let found = setting(case).find(asked, free(case.word("by"))).unwrap();
        let mut values: Vec<f64> = found.all().map(|answer| answer.value).collect();
        values.sort_by(f64::total_cmp);
        // Nearer to one another than a last bit of the bevel distinguishes they may be reported as one.
        let separated = case.expected("answer_2") - case.expected("answer_1") > case.tolerance("answer_1");
        assert!(values.len() == 2 || values.len() == 1 && !separated, "{}: {values:?}", case.name);
        return vec![("answer_1", values[0]), ("answer_2", values[values.len() - 1])];
    }
    if case.gives("t") {
        let surface = GroundSurface::rolled(&rolled(case)).unwrap();
        let point = EdgePoint::at(&surface, &steel(case), case.number("t")).unwrap();
        return vec![
            ("s_mm", point.s_mm),
            ("wedge_deg", point.wedge.degrees()),
            ("to_axis_deg", point.bevel_to_axis.degrees()),
            ("roll_deg", point.roll.degrees()),
        ];
    }
    if case.gives("support") {
        return of_view(case, &setting(case).evaluate_off_travel().unwrap());
    }
    let face = Face::Round { radius_mm: case.number("radius_mm") };
    let facet = Facet::ground(face, angle(case, "bevel_deg"), case.number("under_mm")).unwrap();
    vec![
        ("heel_deg", facet.at_heel.degrees()),
        ("facet_mm", facet.width_mm),
        ("heel_s_mm", facet.heel_from_edge.x),
    ]
}

/// The page: one line a case, the quantity that fares worst against its condition.
fn page(cases: &[Case]) -> String {
    let mut page = String::from(
        "# How digits fare near the limits\n\n\
        Measured against `fifty/limits.csv` and `fifty/meeting.csv` (40 digits). *Distance* is that from the limit, in millimetres (of two answers that meet: half their own). *Off* is the \
        error of the family's first quantity, in its own unit; *last bit* is what one last bit (2^-53) of the inputs is worth \
        there: no program that is handed doubles can promise less. *Worst* is the greatest error of all quantities of the case, in \
        such last bits, and whose it is; the test allows 32. `BEVELBENCH_REMAKE=1 cargo test -p bevelbench-geometry --test \
        fifty_digits limits` writes this page anew.\n",
    );
    let mut families: Vec<&str> = Vec::new();
    for case in cases {
        if !families.contains(&case.word("family")) {
            families.push(case.word("family"));
        }
    }
    for family in families {
        let of_it = || cases.iter().filter(|case| case.word("family") == family);
        let first = stated(of_it().next().unwrap())[0].0;
        let _ = write!(
            page,
            "\n## {family}\n\n| distance | {first} off | its last bit | worst, in last bits |\n|---|---|---|---|\n"
        );
        for case in of_it() {
            line(case, &mut page);
        }
    }
    page
}

fn line(case: &Case, page: &mut String) {
    let stated = stated(case);
    let (first, value) = stated[0];
    let off = (value - case.expected(first)).abs();
    let bits =
        |name: &str, value: f64| (value - case.expected(name)).abs() / (case.tolerance(name) / ROUNDINGS);
    let worst =
        stated.iter().map(|(name, value)| (bits(name, *value), *name)).max_by(|a, b| a.0.total_cmp(&b.0));
    let (most, whose) = worst.unwrap();
    let decade = 0.0 - case.number("decade");
    let _ = writeln!(
        page,
        "| 1e{decade} | {off:.1e} | {:.1e} | {most:.1} ({whose}) |",
        case.tolerance(first) / ROUNDINGS
    );
}

#[test]
fn near_the_limits_errors_grow_with_the_condition_and_no_faster() {
    let cases = all();
    if env::var_os("BEVELBENCH_REMAKE").is_some() {
        fs::write(Path::new(env!("CARGO_MANIFEST_DIR")).join(PAGE), page(&cases)).unwrap();
    }
    for case in &cases {
        for (name, value) in stated(case) {
            case.near(name, value);
        }
    }
    worked_through(&cases, 90);
}

#[test]
fn page_of_conditions_has_every_family_and_distance() {
    let kept = fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join(PAGE)).unwrap();
    let cases = all();
    let lines = kept.lines().filter(|line| line.starts_with("| 1e")).count();
    assert_eq!(lines, cases.len(), "conditioning.md wants to be made anew");
    for case in &cases {
        assert!(kept.contains(&format!("## {}\n", case.word("family"))), "{}", case.word("family"));
    }
}
