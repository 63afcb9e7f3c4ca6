//! What second bevels, regrinds and clearances cost. Run with `cargo bench -p bevelbench-geometry --bench keep`.
#![allow(clippy::unwrap_used, reason = "a bench may stop at a surprise")]

use bevelbench_geometry::{
    DVec2, DVec3,
    facet::{FurtherFacet, Regrind, Relief, ReliefWanted},
    math::{Angle, Quantity},
    parts::{
        Abrasive, AngleTravel, Arm, Bar, Blank, FluteShape, Grinder, Holder, HolderSpec, Hollow,
        PresentFacet, Presentation, Tool, Travel, Wheel, WheelSpec,
    },
    side::{Facet, Job, Setting, SideView, Support, Target},
    space::{Guard, Moved, Solid, Surroundings},
    swept::{RollLine, Swing},
};
use divan::{Bencher, black_box};

fn main() {
    divan::main();
}

fn degrees(x: f64) -> Angle {
    Angle::from_degrees(x)
}

fn job() -> (Job, SideView) {
    let wheel = Wheel::new(WheelSpec {
        diameter_mm: 200.0,
        diameter_new_mm: 200.0,
        diameter_least_mm: 198.0,
        width_mm: 40.0,
        abrasive: Abrasive::Superabrasive,
        marked_speed_m_s: None,
        face_slope: Angle::ZERO,
    })
    .unwrap();
    let bar = Bar::new(13.0, FluteShape::Power { factor: 0.25, exponent: 2.0 }, -3.0).unwrap();
    let tool = Tool::new(Blank::Bar(bar), 480.0, 190.0, None).unwrap();
    let arm =
        Arm::new(DVec2::new(20.0, -95.0), Angle::ZERO, Travel { least_mm: 40.0, most_mm: 400.0 }).unwrap();
    let holder = Holder::new(HolderSpec {
        hinge_setback_mm: 15.0,
        hinge_drop_mm: 5.0,
        strut_length_mm: 70.0,
        strut_angle: AngleTravel { least: degrees(0.0), most: degrees(120.0) },
        body_length_mm: 30.0,
        body_height_mm: 24.0,
    })
    .unwrap();
    let setting = Setting {
        face: wheel.face(),
        edge: tool.edge_section(),
        obliquity: Angle::QUARTER,
        presentation: Presentation::EdgeParallelToSpindle,
        support: Support::Holder {
            arm,
            holder,
            reach_mm: 150.0,
            projection_mm: 60.0,
            strut_angle: degrees(45.0),
        },
    };
    let setting =
        setting.find(Target::AtEdge(degrees(45.0)), Quantity::Reach).unwrap().nearest(150.0).unwrap().setting;
    let grinder = Grinder::new(1_500.0, 260.0, 200.0).unwrap();
    let job = Job { setting, wheel, grinder, tool, rest_gap_most_mm: 3.0, roll: None };
    let view = job.evaluate().unwrap();
    (job, view)
}

/// One step behind the first facet, without a vector. Bound: 500 ns.
#[divan::bench]
fn second_bevel(bencher: Bencher) {
    let (job, view) = job();
    let reach = job.setting.value_of(Quantity::Reach).unwrap();
    let moved = Job { setting: job.setting.with(Quantity::Reach, reach - 12.0).unwrap(), ..job };
    let first = FurtherFacet::first(&job.setting, &view);
    first.relieved(&moved, 1.5, 1).unwrap();
    bencher.bench_local(|| black_box(&first).relieved(black_box(&moved), 1.5, 1));
}

/// Which reach gives an inside curve. Bound: 700 ns.
#[divan::bench]
fn second_setting_for_an_inside_curve(bencher: Bencher) {
    let (job, view) = job();
    let first = FurtherFacet::first(&job.setting, &view);
    let wanted = ReliefWanted::Inside(25.0);
    assert!(first.second_settings(&job, 1.5, Quantity::Reach, wanted).unwrap().count() > 0);
    bencher.bench_local(|| {
        black_box(&first).second_settings(&job, 1.5, Quantity::Reach, wanted).map(|mut found| found.next())
    });
}

/// Every width at which a second setting gives a relief.
#[divan::bench]
fn widths_for_a_relief(bencher: Bencher) {
    let (job, view) = job();
    let reach = job.setting.value_of(Quantity::Reach).unwrap();
    let wanted = ReliefWanted::Relief(degrees(8.0));
    bencher.bench_local(|| {
        Relief::primary_widths(black_box(&job), &view, Quantity::Reach, reach - 12.0, wanted)
    });
}

/// Steel and length of a regrind in the side plane. Bound: 5 µs.
#[divan::bench]
fn regrind(bencher: Bencher) {
    let (job, view) = job();
    let face = job.setting.face;
    let under = job.setting.edge.under_mm;
    let old = PresentFacet::new(Hollow::Arc { radius_mm: 75.0 }, degrees(40.0), 5.0).unwrap();
    let new = Facet::ground(face, view.bevel(), under).unwrap();
    bencher.bench_local(|| {
        let regrind = Regrind::new(black_box(&old), &new, face, under);
        let lost = regrind.length_lost_mm();
        (lost, regrind.removed_mm2(lost))
    });
}

/// One distance between a holder and the wheel. Bound: 10 µs.
#[divan::bench]
fn gap_of_a_holder_and_the_wheel(bencher: Bencher) {
    let turn = glam::DQuat::from_euler(glam::EulerRot::XYZ, 0.3, -0.5, 0.2);
    let holder = Solid::Block {
        centre: DVec3::new(150.0, 12.0, 20.0),
        axes: [turn * DVec3::X, turn * DVec3::Y, turn * DVec3::Z],
        half_mm: DVec3::new(15.0, 12.0, 12.0),
    };
    let wheel = Solid::Disc { radius_mm: 100.0, half_width_mm: 20.0 };
    bencher.bench_local(|| black_box(&holder).gap(black_box(&wheel)));
}

/// Every least gap over the whole swing, with a guard. Bound: 20 ms.
#[divan::bench(args = [false, true])]
fn clearances_over_the_swing(bencher: Bencher, with_guard: bool) {
    let (job, view) = job();
    let line = RollLine::through(job.setting.pivot().unwrap().1, 0.0).unwrap();
    let swing = Swing::to_either_side(degrees(80.0)).unwrap();
    let guard = Guard::new(110.0, degrees(-30.0), degrees(65.0), 60.0).unwrap();
    let all = Surroundings::of(&job, &view, Moved::Rolled { line, swing }, with_guard.then_some(&guard));
    bencher.bench_local(|| black_box(&all).clearances());
}
