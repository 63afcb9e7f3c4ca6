//! Holders, struts and rules at the very place where they begin to be in the way: distances worked out in the tool frame,
//! where the wheel's centre lies at `-R (sin β, cos β)` from the edge ("derived here").

use bevelbench_geometry::{
    DVec2,
    math::{Angle, Quantity},
    parts::{
        Abrasive, AngleTravel, Arm, Bar, Blank, FluteShape, Grinder, Holder, HolderSpec, Presentation, Tool,
        Travel, WIDEST_REST_GAP_MM, Wheel, WheelSpec,
    },
    side::{Caution, Job, Refusal, Setting, Support, Target},
};

const RADIUS: f64 = 75.0;

fn degrees(value: f64) -> Angle {
    Angle::from_degrees(value)
}

fn spec() -> HolderSpec {
    HolderSpec {
        hinge_setback_mm: 15.0,
        hinge_drop_mm: 5.0,
        strut_length_mm: 70.0,
        strut_angle: AngleTravel { least: degrees(0.0), most: degrees(180.0) },
        body_length_mm: 30.0,
        body_height_mm: 24.0,
    }
}

/// A gouge ground at a bevel, the reach set for it.
fn job(spec: HolderSpec, projection_mm: f64, strut: f64, bevel: f64, obliquity: Angle) -> Job {
    let wheel = Wheel::new(WheelSpec {
        diameter_mm: 2.0 * RADIUS,
        diameter_new_mm: 2.0 * RADIUS,
        diameter_least_mm: 60.0,
        width_mm: 40.0,
        abrasive: Abrasive::Friable,
        marked_speed_m_s: None,
        face_slope: degrees(20.0),
    })
    .unwrap();
    let bar = Bar::new(10.0, FluteShape::Power { factor: 0.25, exponent: 2.0 }, -1.0).unwrap();
    let tool = Tool::new(Blank::Bar(bar), 420.0, 180.0, None).unwrap();
    let travel = Travel { least_mm: -500.0, most_mm: 500.0 };
    let setting = Setting {
        face: wheel.face(),
        edge: tool.edge_section(),
        obliquity,
        presentation: Presentation::EdgeParallelToSpindle,
        support: Support::Holder {
            arm: Arm::new(DVec2::new(0.0, -60.0), Angle::ZERO, travel).unwrap(),
            holder: Holder::new(spec).unwrap(),
            reach_mm: 120.0,
            projection_mm,
            strut_angle: degrees(strut),
        },
    };
    let answers = setting.find(Target::AtEdge(degrees(bevel)), Quantity::Reach).unwrap();
    let setting = answers.settable().last().unwrap().setting;
    Job {
        setting,
        wheel,
        grinder: Grinder::new(1500.0, 900.0, 150.0).unwrap(),
        tool,
        rest_gap_most_mm: WIDEST_REST_GAP_MM,
        roll: None,
    }
}

fn centre(job: &Job, bevel: f64) -> DVec2 {
    let (sin, cos) = degrees(bevel).sin_cos();
    DVec2::new(0.0, job.setting.edge.height_mm) - RADIUS * DVec2::new(sin, cos)
}

#[test]
fn a_tall_body_is_caught_by_its_front_between_its_corners() {
    let tall = HolderSpec { body_height_mm: 120.0, ..spec() };
    let job = job(tall, 10.0, 45.0, 50.0, Angle::QUARTER);
    // The centre lies level with the front face, which is nearest there.
    let centre = centre(&job, 50.0);
    assert!(centre.y > -60.0 && centre.y < -40.0);
    let Err(Refusal::HolderInWheel { by_mm }) = job.evaluate() else { panic!("{:?}", job.evaluate()) };
    assert!((by_mm - (RADIUS - (10.0 - centre.x))).abs() < 1e-9, "{by_mm}");
}

#[test]
fn a_strut_that_runs_through_the_wheel_is_refused() {
    let long = HolderSpec { hinge_drop_mm: 60.0, strut_length_mm: 165.0, ..spec() };
    for (strut, through) in [(155.0, true), (148.0, false)] {
        let job = job(long, 60.0, strut, 50.0, Angle::QUARTER);
        // The centre's distance from the strut's line, whose ends lie outside and to both sides of it.
        let (sin, cos) = degrees(strut).sin_cos();
        let along = DVec2::new(cos, -sin);
        let from_hinge = centre(&job, 50.0) - DVec2::new(75.0, -60.0);
        assert!(from_hinge.dot(along) > 0.0 && from_hinge.dot(along) < 165.0);
        let depth = RADIUS - from_hinge.perp_dot(along).abs();
        assert_eq!(depth > 0.0, through);
        match job.evaluate() {
            Err(Refusal::StrutInWheel { by_mm }) => assert!(through && (by_mm - depth).abs() < 1e-9),
            other => assert!(!through && other.is_ok(), "{other:?}"),
        }
    }
}

#[test]
fn a_holder_held_askew_is_seen_foreshortened() {
    let job = job(spec(), 60.0, 45.0, 40.0, degrees(55.0));
    let view = job.evaluate().unwrap();
    let fraction = degrees(55.0).sin();
    let corners = job.holder_corners_in_bench(&view).unwrap().map(|corner| view.tool_from_bench(corner));
    for (corner, (s, h)) in
        corners.into_iter().zip([(60.0, -12.0), (90.0, -12.0), (90.0, 12.0), (60.0, 12.0)])
    {
        assert!(corner.distance(DVec2::new(s * fraction, h)) < 1e-9, "{corner}");
    }
}

#[test]
fn a_blade_may_be_drawn_out_as_far_as_the_body_still_grips_it_whole() {
    // A blade of 180 in a body of 30.
    assert!(job(spec(), 150.0, 45.0, 40.0, Angle::QUARTER).evaluate().is_ok());
    let beyond = job(spec(), 150.5, 45.0, 40.0, Angle::QUARTER).evaluate();
    let refused = Err(Refusal::ProjectionBeyondBlade { projection_mm: 150.5, most_mm: 150.0 });
    assert_eq!(beyond.map(|_| ()), refused);
}

#[test]
fn a_wheel_may_run_at_its_marked_speed() {
    let job = job(spec(), 60.0, 45.0, 40.0, Angle::QUARTER);
    let runs = job.rim_speed_m_s().unwrap();
    let marked = |speed: f64| {
        let spec = WheelSpec { marked_speed_m_s: Some(speed), ..*job.wheel.spec() };
        Job { wheel: Wheel::new(spec).unwrap(), ..job }.evaluate()
    };
    assert!(marked(runs).is_ok());
    assert!(matches!(marked(runs * 0.999), Err(Refusal::WheelTooFast { .. })));
}

/// Source: the widest gap itself is still allowed ("not more than", 29 CFR 1910.215(a)(4), from memory).
#[test]
fn a_rest_gap_of_the_widest_that_is_allowed_is_allowed() {
    for (gap_mm, open) in [(3.0, false), (3.0 + 1e-9, true), (1.0, false)] {
        let caution = Caution::RestGap { gap_mm, widest_mm: 3.0 };
        assert_eq!((caution.is_warning(), caution.is_unsafe()), (open, open), "{gap_mm}");
        assert_eq!(caution.code(), if open { "rest_gap_open" } else { "rest_gap" });
    }
}
