//! Both sides of every limit of a job: what is refused, what is only told, and by how much, against points and formulas of
//! the test's own.

use std::f64::consts::PI;

use bevelbench_geometry::{
    DVec2,
    math::Angle,
    parts::{
        Abrasive, AngleTravel, Arm, Bar, Blank, FlatKind, FlatStock, FluteShape, Grinder, Holder, HolderSpec,
        Presentation, Section, Table, TableSpec, Tool, Travel, Wheel, WheelSpec,
    },
    side::{Caution, Job, Refusal, Seat, Setting, SideView, Support},
    space::{Body, Moved, Solid, Surroundings},
};

fn degrees(value: f64) -> Angle {
    Angle::from_degrees(value)
}

fn wheel(diameter_mm: f64, abrasive: Abrasive, marked_speed_m_s: Option<f64>) -> Wheel {
    Wheel::new(WheelSpec {
        diameter_mm,
        diameter_new_mm: 205.0,
        diameter_least_mm: 120.0,
        width_mm: 38.0,
        abrasive,
        marked_speed_m_s,
        face_slope: degrees(62.0),
    })
    .unwrap()
}

fn arm(x: f64, y: f64) -> Arm {
    Arm::new(DVec2::new(x, y), degrees(2.0), Travel { least_mm: 0.0, most_mm: 700.0 }).unwrap()
}

fn holder(setback: f64, strut: f64) -> Holder {
    Holder::new(HolderSpec {
        hinge_setback_mm: setback,
        hinge_drop_mm: 6.0,
        strut_length_mm: strut,
        strut_angle: AngleTravel { least: degrees(-10.0), most: degrees(170.0) },
        body_length_mm: 31.0,
        body_height_mm: 23.0,
    })
    .unwrap()
}

fn table(x: f64, y: f64) -> Table {
    Table::new(TableSpec {
        hinge_in_bench: DVec2::new(x, y),
        surface_offset_mm: 9.0,
        front_mm: 17.0,
        rear_mm: 63.0,
        tilt: AngleTravel { least: degrees(-60.0), most: degrees(85.0) },
    })
    .unwrap()
}

fn job(wheel: Wheel, support: Support) -> Job {
    let bar = Bar::new(13.0, FluteShape::Circle { radius_mm: 6.0 }, -3.0).unwrap();
    let tool = Tool::new(Blank::Bar(bar), 460.0, 180.0, None).unwrap();
    let setting = Setting {
        face: wheel.face(),
        edge: tool.edge_section(),
        obliquity: Angle::QUARTER,
        presentation: Presentation::AxisInSidePlane,
        support,
    };
    Job {
        setting,
        wheel,
        grinder: Grinder::new(1_440.0, 255.0, 190.0).unwrap(),
        tool,
        rest_gap_most_mm: 3.0,
        roll: None,
    }
}

fn in_holder(reach_mm: f64, projection_mm: f64, strut: f64) -> Job {
    let strut_angle = degrees(strut);
    let support = Support::Holder {
        arm: arm(18.0, -97.0),
        holder: holder(14.0, 72.0),
        reach_mm,
        projection_mm,
        strut_angle,
    };
    job(wheel(203.0, Abrasive::Superabrasive, Some(30.0)), support)
}

fn in_cup(y: f64, reach_mm: f64, tool_length_mm: f64) -> Job {
    job(
        wheel(203.0, Abrasive::Superabrasive, Some(30.0)),
        Support::Handle { arm: arm(0.0, y), reach_mm, tool_length_mm },
    )
}

#[test]
fn a_bar_is_no_higher_than_its_own_radius() {
    let flute = FluteShape::Power { factor: 0.1, exponent: 2.0 };
    let bar = |top_mm: f64| Bar::cut_off(30.0, flute, -4.0, top_mm).unwrap();
    assert!((bar(40.0).top_mm() - 15.0).abs() < 1e-12);
    assert!((bar(2.0).top_mm() - 2.0).abs() < 1e-12);
}

#[test]
fn a_wheel_is_refused_below_its_least_size_and_above_its_marked_speed() {
    let on = |wheel: Wheel, rpm: f64| {
        let mut job = in_holder(150.0, 61.0, 43.0);
        (job.wheel, job.setting.face) = (wheel, wheel.face());
        job.grinder = Grinder::new(rpm, 255.0, 190.0).unwrap();
        job.evaluate()
    };
    let least = |diameter: f64| on(wheel(diameter, Abrasive::Friable, None), 1_440.0);
    assert!(!matches!(least(120.0), Err(Refusal::WheelWornOut { .. })));
    let worn = Refusal::WheelWornOut { diameter_mm: 119.5, least_mm: 120.0 };
    assert_eq!(least(119.5), Err(worn));
    // v = π d n: 30 m/s on 150 mm is 3819.7 turns a minute.
    let fastest = 30.0 * 60.0 / (PI * 0.150);
    for (turns, too_fast) in [(fastest * 0.9999, false), (fastest * 1.0001, true)] {
        let found = on(wheel(150.0, Abrasive::Friable, Some(30.0)), turns);
        assert_eq!(matches!(found, Err(Refusal::WheelTooFast { .. })), too_fast, "{found:?}");
        if let Err(Refusal::WheelTooFast { rim_speed_m_s, marked_m_s }) = found {
            assert!((rim_speed_m_s - 30.003).abs() < 1e-6 && (marked_m_s - 30.0).abs() < 1e-12);
        }
        // Without a marking nobody can say.
        let unread = on(wheel(150.0, Abrasive::Friable, None), turns);
        assert!(!matches!(unread, Err(Refusal::WheelTooFast { .. })));
    }
    // A flat abrasive has no rim.
    let flat = on(wheel(110.0, Abrasive::Flat, Some(1.0)), 9_000.0);
    assert!(!matches!(flat, Err(Refusal::WheelWornOut { .. } | Refusal::WheelTooFast { .. })));
}

/// How deep the nearest of many points of a line lies in the wheel; negative outside.
fn deepest(from: DVec2, to: DVec2, radius: f64) -> f64 {
    (0..=2000)
        .map(|i| radius - from.lerp(to, f64::from(i) / 2000.0).length())
        .fold(f64::NEG_INFINITY, f64::max)
}

#[test]
fn what_runs_into_the_wheel_or_the_bench_is_refused_by_as_much_as_it_does() {
    let mut seen = [0; 5];
    for reach in (0..24).map(|i| 20.0 + 9.0 * f64::from(i)) {
        for projection in [8.0, 20.0, 35.0, 61.0, 90.0, 148.5, 149.5] {
            for strut in [5.0, 43.0, 90.0, 140.0] {
                let job = in_holder(reach, projection, strut);
                let Ok(view) = job.setting.evaluate() else { continue };
                let at = |s: f64, h: f64| view.bench_from_tool(DVec2::new(s, h));
                // 31 by 23 behind the projection, about the tool's axis.
                let corners = [
                    at(projection, -11.5),
                    at(projection + 31.0, -11.5),
                    at(projection + 31.0, 11.5),
                    at(projection, 11.5),
                ];
                let body = (0..4)
                    .map(|i| deepest(corners[i], corners[(i + 1) % 4], 101.5))
                    .fold(f64::NEG_INFINITY, f64::max);
                let hinge = at(projection + 14.0, -6.0);
                let along = degrees(2.0).direction();
                let pivot = DVec2::new(18.0, -97.0) + along * reach;
                let strut = deepest(hinge, pivot, 101.5);
                // What hangs over the bench, 255 mm below the spindle and 190 mm in front of it.
                let under = (0..=4000)
                    .map(|i| at(460.0 * f64::from(i) / 4000.0, 0.0))
                    .filter(|p| p.x <= 190.0)
                    .map(|p| -255.0 - p.y)
                    .fold(f64::NEG_INFINITY, f64::max);
                let tolerance = 0.05;
                match job.evaluate() {
                    Err(Refusal::ProjectionBeyondBlade { projection_mm, most_mm }) => {
                        assert!(projection > 149.0);
                        assert!(
                            (projection_mm - projection).abs() < 1e-12 && (most_mm - 149.0).abs() < 1e-12
                        );
                        seen[0] += 1;
                    }
                    Err(Refusal::HolderInWheel { by_mm }) => {
                        assert!((by_mm - body).abs() < tolerance && projection < 149.0, "{by_mm} {body}");
                        seen[1] += 1;
                    }
                    Err(Refusal::StrutInWheel { by_mm }) => {
                        assert!((by_mm - strut).abs() < tolerance && body < tolerance, "{by_mm} {strut}");
                        seen[2] += 1;
                    }
                    Err(Refusal::HandleThroughBench { by_mm }) => {
                        assert!(
                            (by_mm - under).abs() < 0.2 && body < tolerance && strut < tolerance,
                            "{by_mm} {under}"
                        );
                        seen[3] += 1;
                    }
                    other => {
                        assert_eq!(other, Ok(view));
                        assert!(projection < 149.0 && body < tolerance && strut < tolerance && under < 0.2);
                        seen[4] += 1;
                    }
                }
            }
        }
    }
    assert!(seen[0] > 3 && seen[1] > 3 && seen[4] > 30, "{seen:?}");
    // A long tool in a low cup: its end under the bench, or in front of it.
    let mut bench = [0; 2];
    for y in (0..40).map(|i| -100.0 - 10.0 * f64::from(i)) {
        for reach in (0..24).map(|i| 60.0 + 15.0 * f64::from(i)) {
            let job = in_cup(y, reach, 380.0);
            let Ok(view) = job.setting.evaluate() else { continue };
            // The handle ends in the cup.
            let under = (0..=4000)
                .map(|i| view.bench_from_tool(DVec2::new(380.0 * f64::from(i) / 4000.0, 0.0)))
                .filter(|p| p.x <= 190.0)
                .map(|p| -255.0 - p.y)
                .fold(f64::NEG_INFINITY, f64::max);
            match job.evaluate() {
                Err(Refusal::HandleThroughBench { by_mm }) => {
                    assert!((by_mm - under).abs() < 0.2, "{by_mm} {under}");
                    bench[0] += 1;
                }
                found => {
                    assert!(found == Ok(view) && under < 0.2, "{found:?} {under}");
                    bench[1] += 1;
                }
            }
        }
    }
    assert!(bench[0] > 3 && bench[1] > 30, "{bench:?}");
}

/// The cautions that these rules ask for, by hand.
fn expected(job: &Job, view: &SideView) -> Vec<&'static str> {
    let mut reported = vec!["eyes_and_lungs", "local_rules"];
    let spec = job.wheel.spec();
    if spec.abrasive != Abrasive::Flat {
        reported.push(if spec.marked_speed_m_s.is_some() { "rim_speed" } else { "marking_unread" });
        let (x, y) = (view.contact_in_bench.x, view.contact_in_bench.y);
        let height = y.atan2(x).to_degrees();
        // A tenth of the radius below the spindle; 65° above the horizontal.
        if y < -0.1 * spec.diameter_mm / 2.0 {
            reported.push("contact_low");
        } else if x < 0.0 {
            reported.push("contact_behind_top");
        } else if height > 65.0 {
            reported.push("contact_under_guard");
        }
    }
    match view.seat {
        Seat::Plane { rest_gap_mm, .. } => {
            reported.push(match rest_gap_mm {
                gap if gap > 3.0 => "rest_gap_open",
                gap if gap < 0.2 => "rest_gap_closed",
                _ => "rest_gap",
            });
        }
        Seat::Pivot { .. } => reported.push("no_rest"),
    }
    if view.handle_angle.degrees() > 60.0 {
        reported.push("handle_steep");
    }
    // A tenth of the 85 mm that a new wheel offered.
    if spec.abrasive == Abrasive::Friable && spec.diameter_mm < 128.5 {
        reported.push("wheel_nearly_worn");
    }
    reported.sort_unstable();
    reported
}

#[test]
fn each_caution_is_reported_on_its_side_of_its_limit_and_not_on_the_other() {
    let unsafe_codes =
        ["marking_unread", "rest_gap_open", "rest_gap_closed", "contact_behind_top", "contact_under_guard"];
    let warning_codes = ["contact_low", "handle_steep", "wheel_nearly_worn"];
    let mut jobs = Vec::new();
    for (i, diameter) in [203.0, 150.0, 129.0, 128.0, 121.0].into_iter().enumerate() {
        for abrasive in [Abrasive::Superabrasive, Abrasive::Friable, Abrasive::Flat] {
            let marked = (i % 2 == 0).then_some(30.0);
            let wheel = wheel(diameter, abrasive, marked);
            for y in [-20.0, -60.0, -97.0, -150.0, -300.0, -340.0, 60.0, 120.0, 200.0] {
                for reach_mm in (0..40).map(|i| 60.0 + 10.0 * f64::from(i)) {
                    jobs.push(job(
                        wheel,
                        Support::Handle { arm: arm(0.0, y), reach_mm, tool_length_mm: 300.0 },
                    ));
                }
            }
            for hinge in
                [(121.0, -22.0), (95.0, 30.0), (80.0, -60.0), (112.0, 10.0), (40.0, 115.0), (15.0, 120.0)]
            {
                for tilt in (0..56).map(|i| degrees(-55.0 + 2.5 * f64::from(i))) {
                    jobs.push(job(wheel, Support::Table { table: table(hinge.0, hinge.1), tilt }));
                }
            }
        }
    }
    let mut seen: Vec<&str> = Vec::new();
    let mut clear: Vec<&str> = Vec::new();
    for job in jobs {
        let Ok(view) = job.setting.evaluate() else { continue };
        let reported = job.cautions(&view);
        let mut codes: Vec<&str> = reported.iter().map(Caution::code).collect();
        codes.sort_unstable();
        assert_eq!(codes, expected(&job, &view), "{job:?}");
        // Warnings first.
        assert!(reported.windows(2).all(|pair| pair[0].is_warning() || !pair[1].is_warning()));
        for caution in &reported {
            let code = caution.code();
            assert_eq!(caution.is_unsafe(), unsafe_codes.contains(&code), "{code}");
            assert_eq!(
                caution.is_warning(),
                unsafe_codes.contains(&code) || warning_codes.contains(&code),
                "{code}"
            );
            match *caution {
                Caution::ContactLow { below_mm } => {
                    assert!((below_mm + view.contact_in_bench.y).abs() < 1e-12);
                }
                Caution::ContactBehindTop { behind } => {
                    let (x, y) = (view.contact_in_bench.x, view.contact_in_bench.y);
                    assert!((behind.radians() - (-x).atan2(y)).abs() < 1e-12);
                }
                Caution::ContactUnderGuard { above_horizontal, open_to } => {
                    assert!(above_horizontal > open_to && (open_to.degrees() - 65.0).abs() < 1e-12);
                }
                Caution::WheelNearlyWorn { left_mm } => {
                    assert!((left_mm - (job.wheel.diameter_mm() - 120.0)).abs() < 1e-12);
                }
                _ => {}
            }
            seen.push(code);
        }
        for code in unsafe_codes.iter().chain(&warning_codes) {
            if !codes.contains(code) {
                clear.push(code);
            }
        }
    }
    for code in unsafe_codes.iter().chain(&warning_codes) {
        assert!(seen.contains(code) && clear.contains(code), "{code}");
    }
}

#[test]
fn a_table_that_catches_the_wheel_is_refused_by_how_deep_it_lies() {
    let (mut caught, mut free) = (0, 0);
    for hinge in [(121.0, -22.0), (112.0, 10.0), (105.0, 30.0), (90.0, -50.0)] {
        for tilt in (0..56).map(|i| degrees(-55.0 + 2.5 * f64::from(i))) {
            let table = table(hinge.0, hinge.1);
            let job = job(wheel(203.0, Abrasive::Superabrasive, None), Support::Table { table, tilt });
            // Turned about its hinge: 9 mm above, 17 mm before, 63 mm behind.
            let (sin, cos) = tilt.sin_cos();
            let at = |s: f64| DVec2::new(hinge.0 + s * cos - 9.0 * sin, hinge.1 + s * sin + 9.0 * cos);
            let [front, rear] = [at(-17.0), at(63.0)];
            let gap = -deepest(front, rear, 101.5);
            match job.setting.evaluate() {
                Err(Refusal::TableCatchesWheel { by_mm }) => {
                    assert!(by_mm > 0.0);
                    // A surface that lies behind the wheel is measured along itself.
                    if rear.dot(tilt.direction()) > 0.0 {
                        assert!(gap < 0.05 && (by_mm + gap).abs() < 0.05, "{by_mm} {gap}");
                        caught += 1;
                    }
                }
                Ok(view) => {
                    let Seat::Plane { rest_gap_mm, .. } = view.seat else { panic!() };
                    assert!(gap > -0.05 && (rest_gap_mm - gap).abs() < 0.05, "{rest_gap_mm} {gap}");
                    free += 1;
                }
                Err(_) => {}
            }
        }
    }
    assert!(caught > 5 && free > 20, "{caught} {free}");
}

#[test]
fn a_yawed_blade_keeps_its_shape_and_its_edge_lies_along_the_spindle() {
    for obliquity in [55.0, 70.0, 85.0] {
        let kind = FlatKind::Skew {
            obliquity: degrees(obliquity),
            edge_radius_mm: None,
            bevels: bevelbench_geometry::parts::Bevels::Alike,
        };
        let stock = FlatStock::new(24.0, 6.0, Section::Rectangular, kind).unwrap();
        let tool = Tool::new(Blank::Flat(stock), 430.0, 170.0, None).unwrap();
        let mut job = job(
            wheel(203.0, Abrasive::Superabrasive, None),
            Support::Table { table: table(121.0, -22.0), tilt: degrees(15.0) },
        );
        (job.tool, job.setting.edge) = (tool, tool.edge_section());
        (job.setting.obliquity, job.setting.presentation) =
            (degrees(obliquity), Presentation::EdgeParallelToSpindle);
        let view = job.setting.evaluate().unwrap();
        let around = Surroundings::of(&job, &view, Moved::Pushed { half_mm: 12.0 }, None);
        let mut blades = 0;
        for (body, solid) in around.moving_at(0.0) {
            if let (Body::Blade, Solid::Block { axes: [along, up, across], .. }) = (body, solid) {
                for (a, b) in [(along, up), (up, across), (across, along)] {
                    assert!((a.length() - 1.0).abs() < 1e-12 && a.dot(b).abs() < 1e-12, "{a} {b}");
                }
                // The edge stands at its obliquity to the blade's length, and along the spindle.
                assert!((along.y.abs() - degrees(obliquity).cos()).abs() < 1e-12);
                assert!(up.y.abs() < 1e-12);
                blades += 1;
            }
            if let (Body::Handle, Solid::Rod { ends, .. }) = (body, solid) {
                let way = (ends[1] - ends[0]).normalize();
                assert!((way.y.abs() - degrees(obliquity).cos()).abs() < 1e-12);
            }
        }
        assert_eq!(blades, 1);
    }
}

#[test]
fn a_handle_in_the_cup_ends_where_its_length_ends() {
    for length in [250.0, 300.0, 380.0] {
        let reach = (0..60)
            .map(|i| 60.0 + 8.0 * f64::from(i))
            .find(|reach| in_cup(-97.0, *reach, length).evaluate().is_ok());
        let job = in_cup(-97.0, reach.unwrap(), length);
        let view = job.evaluate().unwrap();
        let around = Surroundings::of(&job, &view, Moved::Pushed { half_mm: 12.0 }, None);
        let rod = around.moving_at(0.0).find_map(|(body, solid)| match (body, solid) {
            (Body::Handle, Solid::Rod { ends, radius_mm }) => Some((ends, radius_mm)),
            _ => None,
        });
        let ([from, to], radius) = rod.unwrap();
        let at = |s: f64| view.bench_from_tool(DVec2::new(s, 0.0));
        let end = DVec2::new(to.x, to.z) + (at(1.0) - at(0.0)) * radius;
        assert!((end - at(length)).length() < 1e-9, "{end} {}", at(length));
        let begin = DVec2::new(from.x, from.z) - (at(1.0) - at(0.0)) * radius;
        assert!((begin - at(180.0)).length() < 1e-9);
    }
}

#[test]
fn a_strut_keeps_its_length_however_the_tool_is_yawed() {
    for (obliquity, projection) in [(90.0, 61.0), (75.0, 61.0), (60.0, 80.0)] {
        let mut job = in_holder(150.0, projection, 43.0);
        job.setting.obliquity = degrees(obliquity);
        job.setting.presentation = Presentation::EdgeParallelToSpindle;
        let view = job.setting.evaluate().unwrap();
        let around = Surroundings::of(&job, &view, Moved::Pushed { half_mm: 12.0 }, None);
        let bodies: Vec<(Body, Solid)> = around.moving_at(0.0).collect();
        let strut = bodies.iter().find_map(|(body, solid)| match (body, solid) {
            (Body::Strut, Solid::Rod { ends, .. }) => Some(*ends),
            _ => None,
        });
        let [hinge, pivot] = strut.unwrap();
        assert!(((pivot - hinge).length() - 72.0).abs() < 1e-9, "{obliquity}: {}", (pivot - hinge).length());
        // Hinge and body are 14 mm of holder apart along the tool.
        let block = bodies.iter().find_map(|(body, solid)| match (body, solid) {
            (Body::Holder, Solid::Block { centre, axes, half_mm }) => Some((*centre, *axes, *half_mm)),
            _ => None,
        });
        let (centre, [along, up, across], half) = block.unwrap();
        assert!((half - bevelbench_geometry::DVec3::new(15.5, 11.5, 11.5)).length() < 1e-12);
        let way = hinge - centre;
        assert!((way.dot(along) - (14.0 - 15.5)).abs() < 1e-9 && (way.dot(up) + 6.0).abs() < 1e-9);
        assert!(way.dot(across).abs() < 1e-9);
        // The job's own drawing of the strut lies under it in the side plane.
        let [drawn_hinge, drawn_pivot] = job.strut_in_bench(&view).unwrap();
        assert!((DVec2::new(hinge.x, hinge.z) - drawn_hinge).length() < 1e-9);
        assert!((DVec2::new(pivot.x, pivot.z) - drawn_pivot).length() < 1e-9);
    }
}
