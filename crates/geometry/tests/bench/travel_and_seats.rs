//! What arm, strut and table allow, at their very limits, and where the seat of a tool lies: right triangles of whole
//! numbers and points in a row, worked out from coordinates ("derived here").

use bevelbench_geometry::{
    DVec2,
    math::{Angle, Bound, Quantity},
    parts::{
        AngleTravel, Arm, EdgeSection, Face, Holder, HolderSpec, Presentation, Table, TableSpec, Travel,
    },
    side::{Refusal, Seat, Setting, Support},
};

fn degrees(value: f64) -> Angle {
    Angle::from_degrees(value)
}

fn arm(x: f64, y: f64) -> Arm {
    Arm::new(DVec2::new(x, y), Angle::ZERO, Travel { least_mm: -900.0, most_mm: 900.0 }).unwrap()
}

fn on_handle(face: Face, pivot: DVec2, tool_length_mm: f64) -> Setting {
    Setting {
        face,
        edge: EdgeSection { height_mm: 0.0, under_mm: 5.0 },
        obliquity: Angle::QUARTER,
        presentation: Presentation::AxisInSidePlane,
        support: Support::Handle { arm: arm(pivot.x, pivot.y), reach_mm: 0.0, tool_length_mm },
    }
}

fn holder(setback: f64, strut: f64) -> Holder {
    Holder::new(HolderSpec {
        hinge_setback_mm: setback,
        hinge_drop_mm: 0.0,
        strut_length_mm: strut,
        strut_angle: AngleTravel { least: degrees(-30.0), most: degrees(180.0) },
        body_length_mm: 30.0,
        body_height_mm: 20.0,
    })
    .unwrap()
}

fn in_holder(pivot: DVec2, holder: Holder, projection_mm: f64) -> Setting {
    let mut setting = on_handle(Face::Round { radius_mm: 300.0 }, pivot, 400.0);
    setting.support = Support::Holder {
        arm: arm(pivot.x, pivot.y),
        holder,
        reach_mm: 0.0,
        projection_mm,
        strut_angle: Angle::ZERO,
    };
    setting
}

fn spec(hinge: DVec2, offset: f64, front_mm: f64, rear_mm: f64) -> TableSpec {
    TableSpec {
        hinge_in_bench: hinge,
        surface_offset_mm: offset,
        front_mm,
        rear_mm,
        tilt: AngleTravel { least: degrees(-90.0), most: degrees(90.0) },
    }
}

fn on_table(face: Face, spec: TableSpec, tilt: Angle, under_mm: f64) -> Setting {
    let mut setting = on_handle(face, DVec2::new(500.0, 0.0), 400.0);
    setting.edge.under_mm = under_mm;
    setting.support = Support::Table { table: Table::new(spec).unwrap(), tilt };
    setting
}

#[test]
fn both_ends_of_a_travel_belong_to_it() {
    let travel = Travel { least_mm: -20.0, most_mm: 340.0 };
    for (value, held) in
        [(-20.0, true), (340.0, true), (100.0, true), (-20.0 - 1e-5, false), (340.0 + 1e-5, false)]
    {
        assert_eq!(travel.holds(value), held, "{value}");
    }
    // The tolerance is relative to the length, and vanishes where the travel is a single zero.
    let long = Travel { least_mm: 0.0, most_mm: 4000.0 };
    assert!(long.holds(4000.0 + 1e-6) && long.holds(-1e-6) && !long.holds(4000.0 + 1e-4));
    let none = Travel { least_mm: 0.0, most_mm: 0.0 };
    assert!(none.holds(5e-10) && none.holds(-5e-10) && !none.holds(1e-7));
    let turn = AngleTravel { least: degrees(10.0), most: degrees(80.0) };
    assert!(turn.holds(degrees(10.0)) && turn.holds(degrees(80.0)) && !turn.holds(degrees(80.001)));
}

#[test]
fn a_travel_of_one_value_is_a_travel() {
    let fixed = Travel { least_mm: 120.0, most_mm: 120.0 };
    assert!(Arm::new(DVec2::ZERO, Angle::ZERO, fixed).is_ok());
    let less = Travel { least_mm: 120.0, most_mm: 119.5 };
    let refused = Arm::new(DVec2::ZERO, Angle::ZERO, less).unwrap_err();
    assert_eq!((refused.quantity, refused.value), (Quantity::ReachMost, 119.5));
    assert_eq!(refused.bound, Bound::AtLeast(120.0));
}

#[test]
fn an_arm_and_a_table_that_just_touch_a_circle_meet_it_once() {
    // A level arm 120 under the wheel's centre, and a table hinged 30 above it.
    let touching: Vec<f64> = arm(35.0, -120.0).reaches_at_distance(120.0).collect();
    assert_eq!(touching, [-35.0]);
    let table = Table::new(spec(DVec2::new(0.0, 30.0), 0.0, 10.0, 60.0)).unwrap();
    let tilts: Vec<f64> = table.tilts_at_distance(30.0).map(Angle::degrees).collect();
    assert_eq!(tilts, [0.0]);
    // A 3-4-5 triangle: at 150 the arm is met 90 to both sides of the foot.
    let two: Vec<f64> = arm(35.0, -120.0).reaches_at_distance(150.0).collect();
    assert_eq!(two, [-125.0, 55.0]);
}

#[test]
fn a_bevel_of_zero_or_180_degrees_is_refused() {
    // L = 400, R = 300, D = 500 is a right triangle at the edge: the axis lies along the tangent.
    let wheel = Face::Round { radius_mm: 300.0 };
    let pivot = DVec2::new(500.0, 0.0);
    let zero = on_handle(wheel, pivot, 400.0).evaluate();
    assert!(matches!(zero, Err(Refusal::BevelOutOfRange { bevel }) if bevel == Angle::ZERO), "{zero:?}");
    // The pivot as far in front of the edge as it lay behind it.
    let half = in_holder(pivot, holder(-460.0, 0.0), 60.0).evaluate();
    let half_turn = |bevel: Angle| (bevel.degrees().abs() - 180.0).abs() < 1e-9;
    assert!(matches!(half, Err(Refusal::BevelOutOfRange { bevel }) if half_turn(bevel)), "{half:?}");
    // A flat face level with the table's underside of the tool: parallel to it.
    let flat = on_table(
        Face::Flat { normal: degrees(-45.0) },
        spec(DVec2::new(90.0, 90.0), 0.0, 10.0, 60.0),
        degrees(45.0),
        5.0,
    )
    .evaluate();
    assert!(matches!(flat, Err(Refusal::BevelOutOfRange { bevel }) if half_turn(bevel)), "{flat:?}");
}

#[test]
fn refusals_of_a_pivot_give_its_own_distances() {
    let wheel = Face::Round { radius_mm: 100.0 };
    let refused = |setting: Setting| setting.evaluate().unwrap_err();
    let Refusal::PivotInWheel { by_mm } = refused(on_handle(wheel, DVec2::new(60.0, -32.0), 90.0)) else {
        panic!()
    };
    assert!((by_mm - 32.0).abs() < 1e-12, "{by_mm}");
    let Refusal::PivotInWheel { by_mm } =
        refused(on_handle(Face::Flat { normal: Angle::ZERO }, DVec2::new(-7.0, 40.0), 90.0))
    else {
        panic!()
    };
    assert!((by_mm - 7.0).abs() < 1e-12, "{by_mm}");
    let Refusal::PivotTooNear { distance_mm, least_mm } =
        refused(on_handle(wheel, DVec2::new(0.0, -130.0), 250.0))
    else {
        panic!()
    };
    assert_eq!((distance_mm, least_mm), (130.0, 150.0));
    let Refusal::PivotTooFar { distance_mm, most_mm } =
        refused(on_handle(wheel, DVec2::new(0.0, -360.0), 250.0))
    else {
        panic!()
    };
    assert_eq!((distance_mm, most_mm), (360.0, 350.0));
    // A hinge set forward by the whole projection, and no strut: the pivot is the edge.
    let refused = refused(in_holder(DVec2::new(310.0, 0.0), holder(-60.0, 0.0), 60.0));
    assert!(matches!(refused, Refusal::PivotAtEdge { from_edge_mm } if from_edge_mm < 1e-12), "{refused:?}");
}

#[test]
fn a_non_finite_pivot_is_refused() {
    let setting = on_handle(Face::Round { radius_mm: 100.0 }, DVec2::new(200.0, 0.0), 90.0);
    assert!(setting.pivot().is_some());
    let Support::Handle { arm, .. } = setting.support else { panic!() };
    for (reach_mm, tool_length_mm) in [(f64::NAN, 90.0), (3.0, f64::NAN), (f64::INFINITY, 90.0)] {
        let spoilt = Setting { support: Support::Handle { arm, reach_mm, tool_length_mm }, ..setting };
        assert!(spoilt.pivot().is_none(), "{reach_mm} {tool_length_mm}");
    }
}

#[test]
fn a_table_out_of_reach_reports_the_reachable_heights() {
    // The edge 6 above the surface must lie between the wheel's lowest and highest point.
    let far = spec(DVec2::new(150.0, -120.0), 0.0, 10.0, 60.0);
    let refused = on_table(Face::Round { radius_mm: 100.0 }, far, Angle::ZERO, 6.0).evaluate().unwrap_err();
    let Refusal::TableOutOfReach { plane_from_centre_mm, least_mm, most_mm } = refused else { panic!() };
    assert_eq!((plane_from_centre_mm, least_mm, most_mm), (-120.0, -106.0, 94.0));
}

#[test]
fn the_rest_gap_is_the_distance_of_the_nearest_point_of_the_surface() {
    let wheel = Face::Round { radius_mm: 100.0 };
    let gap = |spec: TableSpec, under_mm: f64| match on_table(wheel, spec, Angle::ZERO, under_mm).evaluate() {
        Ok(view) => match view.seat {
            Seat::Plane { rest_gap_mm, .. } => Ok(rest_gap_mm),
            Seat::Pivot { .. } => panic!(),
        },
        Err(refusal) => Err(refusal),
    };
    let near = |reported: Result<f64, Refusal>, is: f64| assert!((reported.unwrap() - is).abs() < 1e-9);
    // In front: the front edge at (130, -40); 3-4-5 with (96, 72) and (30, 40).
    near(gap(spec(DVec2::new(140.0, -72.0), 0.0, 44.0, 60.0), 5.0), 120.0 - 100.0);
    // A surface of no length is its one point.
    near(gap(spec(DVec2::new(90.0, -72.0), 0.0, -6.0, 6.0), 5.0), 120.0 - 100.0);
    // All of it behind the wheel's middle but 5 below its lowest point: it catches nothing, but the tool's underside
    // meets no wheel.
    let under = gap(spec(DVec2::new(-40.0, -105.0), 0.0, 30.0, 40.0), 10.0);
    assert!(matches!(under, Err(Refusal::NoHeel(_))), "{under:?}");
    // Level with the centre and wholly behind it: the front edge lies 60 + 80 behind the rim of that height.
    let Err(Refusal::TableCatchesWheel { by_mm }) = gap(spec(DVec2::new(-50.0, -60.0), 0.0, 10.0, 30.0), 5.0)
    else {
        panic!()
    };
    assert!((by_mm - 140.0).abs() < 1e-9, "{by_mm}");
}

#[test]
fn points_go_from_the_bench_into_the_tool_and_back() {
    let view = on_handle(Face::Round { radius_mm: 100.0 }, DVec2::new(210.0, -190.0), 230.0);
    let view = Setting { edge: EdgeSection { height_mm: -4.0, under_mm: 5.0 }, ..view }.evaluate().unwrap();
    // The edge stands at its height over the axis, the cup at the handle's end.
    let edge = view.tool_from_bench(view.contact_in_bench);
    assert!(edge.distance(DVec2::new(0.0, -4.0)) < 1e-12);
    let end = view.tool_from_bench(DVec2::new(210.0, -190.0));
    assert!(end.distance(DVec2::new(230.0, 0.0)) < 1e-9, "{end}");
    for point in [DVec2::new(31.0, 7.0), DVec2::new(-12.0, 90.0)] {
        assert!(view.tool_from_bench(view.bench_from_tool(point)).distance(point) < 1e-9);
    }
}
