//! Published triangles, segments, speeds and angles through the program's own functions. Every number is read
//! from its row in `reference/published_checks.csv`, which names the source and the tolerance; the row's id
//! stands beside each check. Rows that no function of the program answers to are left alone.

use bevelbench_geometry::parts::{EXPOSURE_TOP, WIDEST_REST_GAP_MM};
use bevelbench_geometry::{
    DVec2,
    math::{Angle, Quantity},
    parts::{
        Abrasive, AngleTravel, Arm, Bevels, Blank, EdgeSection, Face, FlatKind, FlatStock, GapLimits,
        Grinder, GuardOpening, Holder, HolderSpec, Hollow, PresentFacet, Presentation, Section, Table,
        TableSpec, Tool, Travel, Wheel, WheelSpec, along_tool, least_flange_mm, most_turns_rpm,
        rim_speed_m_s,
        safety::{MOST_EXPOSURE, MOST_EXPOSURE_BELOW},
        square_to_edge, synchronous_speed_rpm,
    },
    side::{
        Facet, Job, Refusal, Setting, SideView, Support, Target, hollow_under_chord_mm, radius_from_hollow_mm,
    },
};
use bevelbench_notebook::words::safety::plain_cautions;
use bevelbench_tests::published::{Row, near, row};

const INCH_MM: f64 = 25.4;
const FOOT_M: f64 = 0.3048;
const MINUTE: f64 = 1.0 / 60.0;

fn degrees(value: f64) -> Angle {
    Angle::from_degrees(value)
}

/// How far below the edge the pivot is seen in the tool: it lets triangles with an acute angle at the edge be
/// bevels all the same, for the angle at the edge is `90° + β − ε`.
const EPSILON: f64 = 80.0;

/// The triangle centre–edge–pivot with the sides centre–edge, edge–pivot and centre–pivot, as a setting: the
/// arm's zero is at the centre, so that the reach is the distance of the pivot.
fn triangle(wheel_radius: f64, edge_to_pivot: f64, centre_to_pivot: f64) -> Setting {
    let travel = Travel { least_mm: 0.0, most_mm: 9000.0 };
    let (sin, cos) = degrees(EPSILON).sin_cos();
    let holder = Holder::new(HolderSpec {
        hinge_setback_mm: 0.0,
        hinge_drop_mm: edge_to_pivot * sin,
        strut_length_mm: 0.0,
        strut_angle: AngleTravel { least: Angle::ZERO, most: Angle::QUARTER },
        body_length_mm: 1.0,
        body_height_mm: 1.0,
    });
    Setting {
        face: Face::Round { radius_mm: wheel_radius },
        edge: EdgeSection { height_mm: 0.0, under_mm: 1e-3 * wheel_radius },
        obliquity: Angle::QUARTER,
        presentation: Presentation::AxisInSidePlane,
        support: Support::Holder {
            arm: Arm::new(DVec2::ZERO, Angle::ZERO, travel).unwrap(),
            holder: holder.unwrap(),
            reach_mm: centre_to_pivot,
            projection_mm: edge_to_pivot * cos,
            strut_angle: Angle::ZERO,
        },
    }
}

/// The triangle's angles at the edge, at the wheel's centre and at the pivot, in degrees: the first from the
/// bevel, the others from the contact's place.
fn angles(view: &SideView, centre_to_pivot: f64) -> [f64; 3] {
    let contact = view.contact_in_bench;
    let at_centre = Angle::of(contact).degrees();
    let at_pivot = 180.0 - Angle::of(contact - DVec2::new(centre_to_pivot, 0.0)).degrees();
    [90.0 + view.bevel().degrees() - EPSILON, at_centre, at_pivot]
}

/// The centre–pivot side for an angle at the edge, through the inverse.
fn side_across(wheel_radius: f64, edge_to_pivot: f64, angle_at_edge: f64) -> f64 {
    let bevel = degrees(angle_at_edge - 90.0 + EPSILON);
    let setting = triangle(wheel_radius, edge_to_pivot, 1.0);
    let answers = setting.find(Target::AtEdge(bevel), Quantity::Reach).unwrap();
    let found: Vec<f64> = answers.settable().map(|answer| answer.value).collect();
    assert_eq!(found.len(), 1, "{found:?}");
    found[0]
}

/// T04, T07, T08, T11, T13: three sides to three angles.
#[test]
fn three_sides_give_the_published_angles() {
    // Sides in rising order as wheel, tool and distance, with the angles opposite to them where published.
    let check =
        |id: &str, [a, b, c]: [f64; 3], [opposite_a, opposite_b, opposite_c]: [Option<f64>; 3], tolerance| {
            let view = triangle(a, b, c).evaluate().unwrap();
            let [at_edge, at_centre, at_pivot] = angles(&view, c);
            for (got, expected) in [(at_pivot, opposite_a), (at_centre, opposite_b), (at_edge, opposite_c)] {
                if let Some(expected) = expected {
                    near(got, expected, tolerance, id);
                }
            }
        };
    for (id, tolerance_unit) in [("T04", MINUTE), ("T08", 1.0), ("T11", 1.0)] {
        let Row { inputs, expected, tolerance } = row(id);
        let [a, b, c] = inputs[..] else { panic!("{id}: {inputs:?}") };
        let [opposite_a, opposite_b, opposite_c] = expected[..] else { panic!("{id}: {expected:?}") };
        check(id, [a, b, c], [opposite_a, opposite_b, opposite_c].map(Some), tolerance[0] * tolerance_unit);
    }
    let Row { inputs, expected, tolerance } = row("T07");
    let [a, b, c] = inputs[..] else { panic!("{inputs:?}") };
    check("T07", [c, a, b], [None, Some(expected[0]), None], tolerance[0]);
    let Row { inputs, expected, tolerance } = row("T13");
    let [a, b, c] = inputs[..] else { panic!("{inputs:?}") };
    check("T13", [a, b, c], [Some(expected[0]), None, None], tolerance[0]);
}

/// T10, T12: two sides and the angle between them to the third side.
#[test]
fn two_sides_and_their_angle_give_the_published_third() {
    let Row { inputs, expected, tolerance } = row("T10");
    let [at_edge, a, b] = inputs[..] else { panic!("{inputs:?}") };
    let c = side_across(a, b, at_edge);
    near(c, expected[0], tolerance[0], "T10 c");
    let [_, opposite_b, opposite_a] = angles(&triangle(a, b, c).evaluate().unwrap(), c);
    near(opposite_a, expected[1], tolerance[0], "T10 A");
    near(opposite_b, expected[2], tolerance[0], "T10 B");

    let Row { inputs, expected, tolerance } = row("T12");
    let [a, b, at_edge] = inputs[..] else { panic!("{inputs:?}") };
    near(side_across(a.min(b), a.max(b), at_edge), expected[0], tolerance[0], "T12");
    near(side_across(a.max(b), a.min(b), at_edge), expected[0], tolerance[0], "T12 the other way round");
}

/// T05: with the published third side all three angles come out. (The known angle cannot stand at the edge: a
/// pivot as near as that would be inside the wheel.)
#[test]
fn published_side_and_angle_triangle_closes() {
    let Row { inputs, expected, tolerance } = row("T05");
    let [a, c, at_b] = inputs[..] else { panic!("{inputs:?}") };
    let [b, at_a, at_c] = expected[..] else { panic!("{expected:?}") };
    let [at_edge, at_centre, at_pivot] = angles(&triangle(b, a, c).evaluate().unwrap(), c);
    near(at_pivot, at_b, tolerance[1], "T05 B");
    near(at_centre, at_a, tolerance[1], "T05 A");
    near(at_edge, at_c, tolerance[1], "T05 C");
    assert!(matches!(triangle(a, c, b).evaluate(), Err(Refusal::PivotInWheel { .. })));
}

/// T01, T03: the law of sines, through the sides it gives.
#[test]
fn law_of_sines_triangles_close() {
    let Row { inputs, expected, tolerance } = row("T01");
    let [a, at_a, at_b] = inputs[..] else { panic!("{inputs:?}") };
    let [at_c, b, c] = expected[..] else { panic!("{expected:?}") };
    // Both sides that go in carry the row's tolerance.
    near(side_across(c, b, at_a), a, 2.0 * tolerance[0], "T01 a from b, c and A");
    let [_, opposite_b, opposite_c] = angles(&triangle(c, b, a).evaluate().unwrap(), a);
    // A unit in the third decimal of a side of 4.5 is worth 0.02°.
    near(opposite_b, at_b, 0.04, "T01 B");
    near(opposite_c, at_c, 0.04, "T01 C");

    let Row { inputs, expected, tolerance } = row("T03");
    let [a, b, at_a] = inputs[..] else { panic!("{inputs:?}") };
    let [at_b, at_c, c] = expected[..] else { panic!("{expected:?}") };
    let third = side_across(b, a, at_c);
    near(third, c, tolerance[1], "T03 c");
    let [_, opposite_a, opposite_b] = angles(&triangle(b, a, third).evaluate().unwrap(), third);
    near(opposite_a, at_a, tolerance[0] * MINUTE, "T03 A");
    near(opposite_b, at_b, tolerance[0] * MINUTE, "T03 B");
}

/// T17, T18: right triangles, the right angle at the edge.
#[test]
fn right_triangles_have_their_published_hypotenuse() {
    let Row { inputs, expected, tolerance } = row("T17");
    let [c, at_b] = inputs[..] else { panic!("{inputs:?}") };
    let [a, b] = expected[..] else { panic!("{expected:?}") };
    near(side_across(b, a, 90.0), c, tolerance[0], "T17 c");
    let [_, _, opposite_wheel] = angles(&triangle(b, a, c).evaluate().unwrap(), c);
    near(opposite_wheel, at_b, 0.001, "T17 B");

    let Row { inputs, expected, tolerance } = row("T18");
    let [a, at_a] = inputs[..] else { panic!("{inputs:?}") };
    let [c, b] = expected[..] else { panic!("{expected:?}") };
    near(side_across(b, a, 90.0), c, tolerance[0], "T18 c");
    let [_, opposite_a, _] = angles(&triangle(b, a, c).evaluate().unwrap(), c);
    near(opposite_a, at_a, 0.002, "T18 A");
}

/// The chord whose hollow is given, by halving: the program goes from the chord to the hollow.
fn chord_over(radius: f64, hollow: f64) -> f64 {
    let (mut low, mut high) = (0.0, 2.0 * radius);
    for _ in 0..200 {
        let middle = f64::midpoint(low, high);
        if hollow_under_chord_mm(radius, middle).unwrap() < hollow { low = middle } else { high = middle }
    }
    low
}

/// Half the turn of an arc under a chord, through a facet of that hollow.
fn half_turn(radius: f64, chord: f64) -> f64 {
    let facet = PresentFacet::new(Hollow::Arc { radius_mm: radius }, degrees(45.0), chord).unwrap();
    facet.half_turn().degrees()
}

/// C01, C02, C03, C05, C07: chord, height, radius and arc of a segment.
#[test]
fn hollows_are_published_segments() {
    for id in ["C01", "C03"] {
        let Row { inputs, expected, tolerance } = row(id);
        near(chord_over(inputs[0], inputs[1]), expected[0], tolerance[0], id);
    }
    // 8 1/3, exactly.
    let Row { inputs, expected, .. } = row("C02");
    let [whole, over, under] = expected[..] else { panic!("{expected:?}") };
    near(radius_from_hollow_mm(inputs[0], inputs[1]).unwrap(), whole + over / under, 1e-12, "C02");

    let Row { inputs, expected, tolerance } = row("C05");
    let chord = chord_over(inputs[0], inputs[1]);
    let arc = 2.0 * inputs[0] * half_turn(inputs[0], chord).to_radians();
    near(arc, expected[0], tolerance[0], "C05");

    let Row { inputs, expected, .. } = row("C07");
    let [arc, turn] = inputs[..] else { panic!("{inputs:?}") };
    let [radius, chord, height, _area] = expected[..] else { panic!("{expected:?}") };
    near(2.0 * half_turn(radius, chord), turn, 1e-5, "C07 angle");
    near(2.0 * radius * half_turn(radius, chord).to_radians(), arc, 1e-7, "C07 arc");
    near(hollow_under_chord_mm(radius, chord).unwrap(), height, 1e-8, "C07 height");
}

/// C18: the edge thickness of a lens is its middle less the sagittas of both faces.
#[test]
fn lens_faces_have_the_published_sagittas() {
    let Row { inputs, expected, tolerance } = row("C18");
    // The names c1 and c2 carry digits of their own.
    let [_, c1, _, c2, y, thickness] = inputs[..] else { panic!("{inputs:?}") };
    let sagitta =
        |curvature: f64| curvature.signum() * hollow_under_chord_mm(1.0 / curvature.abs(), 2.0 * y).unwrap();
    near(thickness - sagitta(c1) + sagitta(c2), expected[0], tolerance[0], "C18");
}

/// C19, C21, C22, C23, C25, C26: a chord of 100 seen under a central angle; the published radius is held
/// between the angles of its own rounding.
#[test]
fn railroad_curves_turn_by_their_published_angle() {
    for id in ["C19", "C21", "C22", "C23", "C25", "C26"] {
        let Row { inputs, expected, tolerance } = row(id);
        let [chord, turn] = inputs[..] else { panic!("{id}: {inputs:?}") };
        let (wide, tight) = (expected[0] + tolerance[0], expected[0] - tolerance[0]);
        let range = 2.0 * half_turn(wide, chord)..=2.0 * half_turn(tight, chord);
        assert!(range.contains(&turn), "{id}: {turn} in {range:?}");
    }
}

/// U04: `R = r²/2s + s/2`, with r half the chord.
#[test]
fn radius_from_a_spherometer_s_sagitta() {
    for (r, s) in [(20.0, 0.5), (3.0, 0.04), (50.0, 25.0)] {
        near(radius_from_hollow_mm(2.0 * r, s).unwrap(), r * r / (2.0 * s) + s / 2.0, 1e-9, "U04");
    }
}

/// V01, V03, V06: turns a minute, rim speed, synchronous speeds.
#[test]
fn speeds_are_the_published_ones() {
    let Row { inputs, expected, tolerance } = row("V01");
    let [feet_a_minute, inches] = inputs[..] else { panic!("{inputs:?}") };
    let at = |rpm: f64| rim_speed_m_s(inches * INCH_MM, rpm) * 60.0 / FOOT_M;
    assert!(
        at(expected[0] - tolerance[0]) <= feet_a_minute && feet_a_minute <= at(expected[0] + tolerance[0]),
        "V01"
    );

    let Row { inputs, expected, tolerance } = row("V03");
    let [rpm, inches] = inputs[..] else { panic!("{inputs:?}") };
    near(rim_speed_m_s(inches * INCH_MM, rpm) * 60.0 / FOOT_M, expected[0], tolerance[0], "V03");

    let Row { inputs, expected, .. } = row("V06");
    let [hz_50, a, b, c, hz_60, d, e, f] = inputs[..] else { panic!("{inputs:?}") };
    let cases = [(hz_50, a), (hz_50, b), (hz_50, c), (hz_60, d), (hz_60, e), (hz_60, f)];
    for ((hz, poles), expected) in cases.into_iter().zip(expected) {
        near(synchronous_speed_rpm(hz, poles as u32), expected, 1e-9, "V06");
    }
}

/// S01, S05: the limits that cautions are held against.
#[test]
fn limits_of_the_cautions_are_the_published_ones() {
    // 1/8 in (3.175 mm): the third number is the limit in millimetres.
    near(WIDEST_REST_GAP_MM, row("S01").expected[2], 1e-12, "S01");
    near(EXPOSURE_TOP.degrees(), row("S05").expected[0], 1e-12, "S05");
}

/// S03, S15: gaps of rest and tongue; S06: what a guard may leave open below the spindle.
#[test]
fn gaps_and_exposure_are_the_published_ones() {
    // 1/4 in (6.35 mm): the third number is the limit in millimetres.
    near(GapLimits::UNITED_STATES.tongue_mm, row("S03").expected[2], 1e-12, "S03");
    near(GapLimits::UNITED_STATES.rest_mm, row("S01").expected[2], 1e-12, "S01");
    let [guard, rest] = row("S15").expected[..] else { panic!("S15") };
    near(GapLimits::GERMANY.tongue_mm, guard, 1e-12, "S15");
    near(GapLimits::GERMANY.rest_mm, rest, 1e-12, "S15");
    near(MOST_EXPOSURE.degrees(), row("S04").expected[0], 1e-12, "S04");
    near(MOST_EXPOSURE_BELOW.degrees(), row("S06").expected[0], 1e-12, "S06");
}

/// S07: 90° of exposure from 65° up end 25° below the horizontal, and are just within both rules.
#[test]
fn guard_opened_to_the_rule_ends_where_published() {
    let opening = GuardOpening { top: EXPOSURE_TOP, exposure: MOST_EXPOSURE };
    near(-opening.bottom().degrees(), row("S07").expected[0], 1e-12, "S07");
    assert_eq!(opening.too_open(false).count(), 0);
    assert!(opening.shows(degrees(-24.9)) && !opening.shows(degrees(-25.1)) && !opening.shows(degrees(65.1)));
    let wider = GuardOpening { top: degrees(66.0), exposure: degrees(95.0) };
    assert_eq!(wider.too_open(false).count(), 2);
    assert_eq!(wider.too_open(true).count(), 1);
}

/// S12: the least flange; S19, V01: a worn wheel may turn faster only while its rim does not.
#[test]
fn flanges_and_turns_of_a_worn_wheel_are_the_published_ones() {
    let Row { inputs, expected, tolerance } = row("S12");
    near(least_flange_mm(inputs[0] * INCH_MM) / INCH_MM, expected[0], tolerance[0], "S12");
    for (new, worn) in [(200.0, 158.0), (150.0, 110.0)] {
        let (at_new, at_worn) = (most_turns_rpm(35.0, new), most_turns_rpm(35.0, worn));
        assert!(at_worn > at_new, "S19");
        near(rim_speed_m_s(worn, at_worn), rim_speed_m_s(new, at_new), 1e-9, "S19");
    }
    let Row { inputs, expected, tolerance } = row("V01");
    let speed = inputs[0] * FOOT_M / 60.0;
    near(most_turns_rpm(speed, inputs[1] * INCH_MM), expected[0], tolerance[0], "V01");
}

/// H01, H06: the temperatures at which steels draw, as the cautions tell them.
#[test]
fn temper_colours_of_the_cautions_are_the_published_ones() {
    let reported = plain_cautions(&[]);
    let of = |topic: &str| reported.iter().find(|c| c.topic.ends_with(topic)).unwrap().text.clone();
    let colours = row("H01").expected;
    // Faint yellow, reddish purple, blue.
    for fahrenheit in [colours[0], colours[3], colours[5]] {
        assert!(of("carbon steel").contains(&format!("{fahrenheit} °F")), "{fahrenheit}");
    }
    let [low, high, ..] = row("H05").expected[..] else { panic!("H05") };
    for fahrenheit in [low, high] {
        assert!(of("high-speed steel").contains(&format!("{fahrenheit} °F")), "{fahrenheit}");
    }
}

/// S11, S19: a wheel is run no faster than it is marked for.
#[test]
fn wheel_is_run_at_its_marked_speed_and_no_faster() {
    let job = |marked: f64| {
        let spec = WheelSpec {
            diameter_mm: 150.0,
            diameter_new_mm: 150.0,
            diameter_least_mm: 110.0,
            width_mm: 25.0,
            abrasive: Abrasive::Friable,
            marked_speed_m_s: Some(marked),
            face_slope: Angle::ZERO,
        };
        let wheel = Wheel::new(spec).unwrap();
        let stock =
            FlatStock::new(20.0, 6.0, Section::Rectangular, FlatKind::Parting { bevels: Bevels::Alike })
                .unwrap();
        Job {
            setting: table_setting(16.0, -30.0),
            wheel,
            grinder: Grinder::new(2850.0, 300.0, 50.0).unwrap(),
            tool: Tool::new(Blank::Flat(stock), 300.0, 150.0, None).unwrap(),
            rest_gap_most_mm: WIDEST_REST_GAP_MM,
            roll: None,
        }
    };
    let rim = rim_speed_m_s(150.0, 2850.0);
    assert!(job(rim).evaluate().is_ok());
    assert!(matches!(job(rim * 0.999).evaluate(), Err(Refusal::WheelTooFast { .. })));
}

/// A tool on a table in front of a 150 mm wheel, the table's hinge at a height.
fn table_setting(hinge_z_mm: f64, tilt_deg: f64) -> Setting {
    let table = Table::new(TableSpec {
        hinge_in_bench: DVec2::new(78.0, hinge_z_mm),
        surface_offset_mm: 0.0,
        front_mm: 3.0,
        rear_mm: 60.0,
        tilt: AngleTravel { least: degrees(-60.0), most: degrees(40.0) },
    });
    Setting {
        face: Face::Round { radius_mm: 75.0 },
        edge: EdgeSection { height_mm: 0.0, under_mm: 3.0 },
        obliquity: Angle::QUARTER,
        presentation: Presentation::AxisInSidePlane,
        support: Support::Table { table: table.unwrap(), tilt: degrees(tilt_deg) },
    }
}

/// W13: the tool held at a fixed angle, the edge moved up the stone, makes a more acute facet; moved down, a
/// more obtuse one.
#[test]
fn edge_moved_up_the_stone_at_a_fixed_angle_grinds_keener() {
    let views = [12.0, 16.0, 20.0].map(|hinge| table_setting(hinge, -30.0).evaluate().unwrap());
    for pair in views.windows(2) {
        assert!((pair[0].handle_angle - pair[1].handle_angle).abs().degrees() < 1e-12);
        assert!(pair[1].contact_height_mm() > pair[0].contact_height_mm());
        assert!(pair[1].bevel() < pair[0].bevel());
    }
}

/// K21: `tan C = tan A · cos B` and its inverse, B counted from square across; K19 is one case of it.
#[test]
fn true_and_apparent_angles_are_the_published_ones() {
    for a in [5.0, 20.0, 45.0, 70.0] {
        for b in [0.0, 15.0, 30.0, 60.0] {
            let apparent = along_tool(degrees(a), degrees(90.0 - b));
            near(apparent.tan(), degrees(a).tan() * degrees(b).cos(), 1e-12, "K21");
            near(
                square_to_edge(degrees(a), degrees(90.0 - b)).tan(),
                degrees(a).tan() / degrees(b).cos(),
                1e-11,
                "K21",
            );
        }
    }
    let Row { inputs, expected, tolerance } = row("K19");
    near(
        square_to_edge(degrees(inputs[0]), degrees(90.0 - expected[0])).degrees(),
        expected[1],
        tolerance[1] * MINUTE,
        "K19 C",
    );
}

/// W03, W04: bevels twice as long as the blade is thick (W02), ground flat.
#[test]
fn bevels_twice_the_thickness_have_the_angles_derived_from_it() {
    let flat = Face::Flat { normal: Angle::ZERO };
    let thickness = 6.0;
    let single = row("W03").expected[0];
    near(Facet::ground(flat, degrees(single), thickness).unwrap().width_mm, 2.0 * thickness, 1e-9, "W03");

    let included = row("W04").expected[0];
    let kind = FlatKind::Skew { obliquity: degrees(90.0), edge_radius_mm: None, bevels: Bevels::Alike };
    let skew = Blank::Flat(FlatStock::new(25.0, thickness, Section::Rectangular, kind).unwrap());
    let bevel = degrees(included / 2.0);
    let facet = Facet::ground(flat, bevel, skew.thickness_under_edge_mm()).unwrap();
    // Half a unit of the last digit of the angle.
    near(facet.width_mm, 2.0 * thickness, 0.003, "W04");
    near(skew.included(bevel).unwrap().degrees(), included, 1e-9, "W04");
}
