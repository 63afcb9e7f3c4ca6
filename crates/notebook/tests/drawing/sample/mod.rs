//! Jobs in round numbers, made without a bench file: what the drawings are looked at and checked with.

#![allow(clippy::unwrap_used, reason = "the numbers are written here; a mistake in them should stop at once")]
#![allow(dead_code, reason = "each crate that takes this file in uses its own part of it")]

use bevelbench_geometry::{
    DVec2,
    math::{Angle, Quantity},
    parts::{
        Abrasive, AngleTravel, Arm, Bar, Bevels, Blank, Face, FlatKind, FlatStock, FluteShape, Grinder,
        Holder, HolderSpec, Hollow, Plan, PresentFacet, Presentation, Section, Table, TableSpec, Tool,
        Travel, WIDEST_REST_GAP_MM, Wheel, WheelSpec,
    },
    side::{Job, Setting, Support, Target},
};

fn deg(degrees: f64) -> Angle {
    Angle::from_degrees(degrees)
}

/// A friable wheel of 150 mm when new, today of a diameter.
pub(crate) fn wheel(diameter_mm: f64) -> Wheel {
    Wheel::new(WheelSpec {
        diameter_mm,
        diameter_new_mm: 150.0,
        diameter_least_mm: 100.0,
        width_mm: 40.0,
        abrasive: Abrasive::Friable,
        marked_speed_m_s: Some(35.0),
        face_slope: Angle::ZERO,
    })
    .unwrap()
}

/// A flat face whose normal rises by some degrees from the horizontal.
pub(crate) fn platen(face_slope_deg: f64) -> Wheel {
    Wheel::new(WheelSpec {
        diameter_mm: 150.0,
        diameter_new_mm: 150.0,
        diameter_least_mm: 100.0,
        width_mm: 50.0,
        abrasive: Abrasive::Flat,
        marked_speed_m_s: None,
        face_slope: deg(face_slope_deg),
    })
    .unwrap()
}

pub(crate) fn grinder() -> Grinder {
    Grinder::new(2850.0, 220.0, 150.0).unwrap()
}

pub(crate) fn arm() -> Arm {
    Arm::new(DVec2::new(20.0, -95.0), Angle::ZERO, Travel { least_mm: 0.0, most_mm: 300.0 }).unwrap()
}

pub(crate) fn holder() -> Holder {
    Holder::new(HolderSpec {
        hinge_setback_mm: 15.0,
        hinge_drop_mm: 5.0,
        strut_length_mm: 70.0,
        strut_angle: AngleTravel { least: deg(0.0), most: deg(120.0) },
        body_length_mm: 30.0,
        body_height_mm: 24.0,
    })
    .unwrap()
}

pub(crate) fn table() -> Table {
    Table::new(TableSpec {
        hinge_in_bench: DVec2::new(112.0, -14.0),
        surface_offset_mm: 12.0,
        front_mm: 35.0,
        rear_mm: 55.0,
        tilt: AngleTravel { least: deg(-45.0), most: deg(60.0) },
    })
    .unwrap()
}

pub(crate) fn gouge(present: Option<PresentFacet>) -> Tool {
    let bar = Bar::new(10.0, FluteShape::Power { factor: 0.25, exponent: 2.0 }, -2.0).unwrap();
    Tool::new(Blank::Bar(bar), 420.0, 180.0, present).unwrap()
}

pub(crate) fn flat(width_mm: f64, thickness_mm: f64, kind: FlatKind, present: Option<PresentFacet>) -> Tool {
    let stock = FlatStock::new(width_mm, thickness_mm, Section::Rectangular, kind).unwrap();
    Tool::new(Blank::Flat(stock), 400.0, 190.0, present).unwrap()
}

pub(crate) fn skew(bevels: Bevels) -> Tool {
    flat(25.0, 6.0, FlatKind::Skew { obliquity: deg(70.0), edge_radius_mm: None, bevels }, None)
}

pub(crate) fn scraper() -> Tool {
    flat(25.0, 8.0, FlatKind::Scraper { plan: Plan::Round { radius_mm: 20.0 } }, None)
}

pub(crate) fn negative_rake() -> Tool {
    let kind = FlatKind::NegativeRake { plan: Plan::Straight, upper: deg(25.0), drop_mm: 1.5 };
    flat(32.0, 8.0, kind, None)
}

/// A job of its parts.
#[allow(clippy::large_types_passed_by_value, reason = "a sample is made once, where it is used")]
pub(crate) fn job(wheel: Wheel, tool: Tool, presentation: Presentation, support: Support) -> Job {
    let setting = Setting {
        face: wheel.face(),
        edge: tool.edge_section(),
        obliquity: tool.blank().obliquity(),
        presentation,
        support,
    };
    Job { setting, wheel, grinder: grinder(), tool, rest_gap_most_mm: WIDEST_REST_GAP_MM, roll: None }
}

pub(crate) fn in_holder(reach_mm: f64, projection_mm: f64, strut_deg: f64) -> Support {
    Support::Holder { arm: arm(), holder: holder(), reach_mm, projection_mm, strut_angle: deg(strut_deg) }
}

pub(crate) fn in_cup(reach_mm: f64, tool: &Tool) -> Support {
    Support::Handle { arm: arm(), reach_mm, tool_length_mm: tool.overall_length_mm() }
}

/// In the cup of an arm as long as a whole tool.
pub(crate) fn in_long_cup(reach_mm: f64, tool: &Tool) -> Support {
    let arm =
        Arm::new(DVec2::new(20.0, -95.0), Angle::ZERO, Travel { least_mm: 0.0, most_mm: 700.0 }).unwrap();
    Support::Handle { arm, reach_mm, tool_length_mm: tool.overall_length_mm() }
}

pub(crate) fn on_table(tilt_deg: f64) -> Support {
    Support::Table { table: table(), tilt: deg(tilt_deg) }
}

/// The same job with the cup where its bevel at the edge is as asked.
pub(crate) fn at_bevel(mut job: Job, bevel_deg: f64) -> Job {
    let answers = job.setting.find(Target::AtEdge(deg(bevel_deg)), Quantity::Reach).unwrap();
    let value = answers.all().map(|answer| answer.value).fold(f64::NEG_INFINITY, f64::max);
    match &mut job.setting.support {
        Support::Handle { reach_mm, .. } | Support::Holder { reach_mm, .. } => *reach_mm = value,
        Support::Table { .. } => {}
    }
    job
}

/// A facet left by a wheel of a radius.
pub(crate) fn present(radius_mm: f64, bevel_deg: f64, width_mm: f64) -> PresentFacet {
    PresentFacet::new(Hollow::Arc { radius_mm }, deg(bevel_deg), width_mm).unwrap()
}

/// Jobs with an answer, each with a name: three supports, round and flat faces, every shape of nose.
pub(crate) fn answered() -> Vec<(&'static str, Job)> {
    let round = wheel(150.0);
    let square = Presentation::EdgeParallelToSpindle;
    let (plain, scraper, alike) = (gouge(None), scraper(), skew(Bevels::Alike));
    let parting = flat(4.0, 20.0, FlatKind::Parting { bevels: Bevels::Alike }, None);
    vec![
        (
            "present_heel_first",
            at_bevel(
                job(round, gouge(Some(present(75.0, 45.0, 4.1))), square, in_holder(118.0, 60.0, 60.0)),
                41.0,
            ),
        ),
        (
            "present_both_ends",
            at_bevel(
                job(round, gouge(Some(present(50.0, 43.5, 4.3))), square, in_holder(118.0, 60.0, 60.0)),
                45.0,
            ),
        ),
        (
            "present_flat",
            at_bevel(
                job(
                    round,
                    gouge(Some(PresentFacet::new(Hollow::Flat, deg(46.0), 4.2).unwrap())),
                    square,
                    in_holder(118.0, 60.0, 60.0),
                ),
                45.0,
            ),
        ),
        (
            "flat_present",
            job(
                platen(0.0),
                flat(25.0, 8.0, FlatKind::Scraper { plan: Plan::Straight }, Some(present(75.0, 65.0, 8.6))),
                square,
                {
                    let spec = TableSpec { hinge_in_bench: DVec2::new(50.0, -40.0), ..*table().spec() };
                    Support::Table { table: Table::new(spec).unwrap(), tilt: deg(-15.0) }
                },
            ),
        ),
        ("holder_60", job(round, plain, square, in_holder(118.0, 60.0, 60.0))),
        (
            "holder_85",
            job(wheel(140.0), gouge(Some(present(75.0, 42.0, 4.4))), square, in_holder(140.0, 85.0, 60.0)),
        ),
        ("holder_keen", job(round, plain, square, in_holder(118.0, 85.0, 60.0))),
        ("cup", at_bevel(job(round, plain, square, in_long_cup(415.0, &plain)), 45.0)),
        ("table_scraper", job(round, scraper, square, on_table(8.0))),
        ("table_negative_rake", job(round, negative_rake(), square, on_table(30.0))),
        ("table_skew", job(round, alike, square, on_table(-32.0))),
        ("cup_keen", job(round, plain, square, in_long_cup(415.0, &plain))),
        ("cup_skew", at_bevel(job(round, alike, square, in_long_cup(360.0, &alike)), 15.0)),
        ("cup_parting", at_bevel(job(round, parting, square, in_long_cup(355.0, &parting)), 20.0)),
        ("flat_cup", job(platen(50.0), scraper, square, in_long_cup(250.0, &scraper))),
        (
            "flat_table",
            job(platen(0.0), scraper, square, {
                let spec = TableSpec { hinge_in_bench: DVec2::new(50.0, -40.0), ..*table().spec() };
                Support::Table { table: Table::new(spec).unwrap(), tilt: deg(-15.0) }
            }),
        ),
    ]
}

/// Jobs without one, each stopped by something else.
pub(crate) fn refused() -> Vec<(&'static str, Job)> {
    let round = wheel(150.0);
    let square = Presentation::EdgeParallelToSpindle;
    let plain = gouge(None);
    let fast = Wheel::new(WheelSpec { marked_speed_m_s: Some(20.0), ..*round.spec() }).unwrap();
    vec![
        ("reach_off_arm", job(round, plain, square, in_holder(330.0, 230.0, 60.0))),
        ("pivot_too_far", job(round, plain, square, in_holder(220.0, 60.0, 60.0))),
        ("pivot_too_near", job(round, plain, square, in_holder(20.0, 150.0, 60.0))),
        ("strut_off_travel", job(round, plain, square, in_holder(60.0, 60.0, 135.0))),
        ("tilt_off_travel", job(round, scraper(), square, on_table(65.0))),
        (
            "table_catches",
            job(round, scraper(), square, {
                let spec = TableSpec { front_mm: 60.0, ..*table().spec() };
                Support::Table { table: Table::new(spec).unwrap(), tilt: deg(5.0) }
            }),
        ),
        (
            "table_out_of_reach",
            job(round, scraper(), square, {
                let spec = TableSpec { hinge_in_bench: DVec2::new(112.0, 90.0), ..*table().spec() };
                Support::Table { table: Table::new(spec).unwrap(), tilt: deg(0.0) }
            }),
        ),
        ("wheel_worn_out", job(wheel(96.0), plain, square, in_holder(118.0, 60.0, 60.0))),
        ("wheel_too_fast", job(fast, plain, square, in_holder(118.0, 60.0, 60.0))),
        ("holder_in_wheel", at_bevel(job(round, plain, square, in_holder(75.0, 8.0, 60.0)), 35.0)),
        ("beyond_blade", job(round, plain, square, in_holder(220.0, 170.0, 60.0))),
        (
            "pivot_in_wheel",
            job(round, plain, square, {
                let arm =
                    Arm::new(DVec2::new(20.0, -60.0), Angle::ZERO, Travel { least_mm: 0.0, most_mm: 300.0 })
                        .unwrap();
                Support::Holder {
                    arm,
                    holder: holder(),
                    reach_mm: 10.0,
                    projection_mm: 60.0,
                    strut_angle: deg(60.0),
                }
            }),
        ),
        ("bevel_out_of_range", job(round, skew(Bevels::Alike), square, in_long_cup(330.0, &plain))),
        (
            "no_heel",
            job(round, flat(20.0, 40.0, FlatKind::Scraper { plan: Plan::Straight }, None), square, {
                let spec = TableSpec { hinge_in_bench: DVec2::new(112.0, -89.5), ..*table().spec() };
                Support::Table { table: Table::new(spec).unwrap(), tilt: deg(0.0) }
            }),
        ),
        ("flat_too_far", job(platen(0.0), plain, square, in_long_cup(450.0, &plain))),
        ("cup_too_near", job(round, plain, square, in_cup(60.0, &plain))),
    ]
}

/// Whether a face is round, and its radius.
pub(crate) fn radius_of(job: &Job) -> Option<f64> {
    match job.setting.face {
        Face::Round { radius_mm } => Some(radius_mm),
        Face::Flat { .. } => None,
    }
}

/// One tool of each shape.
pub(crate) fn tools() -> Vec<(&'static str, Tool)> {
    let bar = |diameter_mm: f64, shape: FluteShape, floor_mm: f64, top_mm: f64| {
        Tool::new(Blank::Bar(Bar::cut_off(diameter_mm, shape, floor_mm, top_mm).unwrap()), 420.0, 180.0, None)
            .unwrap()
    };
    let unlike = Bevels::Unlike { other: deg(30.0), edge_height_mm: 1.0 };
    vec![
        ("gouge", gouge(None)),
        ("gouge_present", gouge(Some(present(75.0, 40.0, 4.0)))),
        ("roughing", bar(32.0, FluteShape::Circle { radius_mm: 12.0 }, -12.0, 0.0)),
        ("detail", bar(10.0, FluteShape::Vee { slope: 1.2, floor_radius_mm: 1.0 }, -1.0, 5.0)),
        ("skew", skew(Bevels::Alike)),
        ("skew_unlike", skew(unlike)),
        ("parting", flat(4.0, 20.0, FlatKind::Parting { bevels: Bevels::Alike }, None)),
        ("beading", flat(10.0, 10.0, FlatKind::Beading { bevels: Bevels::One }, None)),
        ("scraper", scraper()),
        ("negative_rake", negative_rake()),
        ("oval", {
            let kind = FlatKind::Skew { obliquity: deg(70.0), edge_radius_mm: None, bevels: Bevels::Alike };
            let stock = FlatStock::new(25.0, 7.0, Section::Oval, kind).unwrap();
            Tool::new(Blank::Flat(stock), 400.0, 190.0, None).unwrap()
        }),
        ("rolled", {
            let kind = FlatKind::Skew { obliquity: deg(70.0), edge_radius_mm: None, bevels: Bevels::Alike };
            let stock = FlatStock::new(25.0, 7.0, Section::Rolled, kind).unwrap();
            Tool::new(Blank::Flat(stock), 400.0, 190.0, None).unwrap()
        }),
    ]
}
