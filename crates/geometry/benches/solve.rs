//! What an answer list costs. Run with `cargo bench -p bevelbench-geometry --bench solve`.
#![allow(clippy::unwrap_used, reason = "a bench may stop at a surprise")]

use bevelbench_geometry::{
    DVec2,
    math::{Angle, Quantity},
    parts::{
        AngleTravel, Arm, Bar, EdgeSection, Face, FluteShape, Holder, HolderSpec, Hollow, PresentFacet,
        Presentation, Travel,
    },
    side::{Reading, Setting, Support, Target, uncertainty::READINGS},
    solve::{DegreeOfFreedom, Question, Rolling, WingTarget},
    swept::{Steel, Swing},
};
use divan::{Bencher, black_box};

fn main() {
    divan::main();
}

fn setting() -> Setting {
    let arm =
        Arm::new(DVec2::new(0.0, -120.0), Angle::ZERO, Travel { least_mm: 0.0, most_mm: 300.0 }).unwrap();
    let holder = Holder::new(HolderSpec {
        hinge_setback_mm: 15.0,
        hinge_drop_mm: 0.0,
        strut_length_mm: 70.0,
        strut_angle: AngleTravel { least: Angle::ZERO, most: Angle::from_degrees(90.0) },
        body_length_mm: 30.0,
        body_height_mm: 20.0,
    })
    .unwrap();
    Setting {
        face: Face::Round { radius_mm: 75.0 },
        edge: EdgeSection { height_mm: -4.0, under_mm: 4.0 },
        obliquity: Angle::QUARTER,
        presentation: Presentation::AxisInSidePlane,
        support: Support::Holder {
            arm,
            holder,
            reach_mm: 120.0,
            projection_mm: 60.0,
            strut_angle: Angle::from_degrees(45.0),
        },
    }
}

fn question() -> Question {
    let bar = Bar::new(16.0, FluteShape::Power { factor: 0.25, exponent: 2.0 }, -4.0).unwrap();
    Question {
        setting: setting(),
        bevel: Target::AcrossFacet(Angle::from_degrees(45.0)),
        wing: Some(WingTarget::Sweep { mm: 9.0 }),
        rolling: Some(Rolling {
            steel: Steel::of_bar(&bar),
            wheel_width_mm: 40.0,
            swing: Swing::ASSUMED,
            roll_centre_mm: 0.0,
            turn: Angle::ZERO,
        }),
    }
}

/// Every answer for two free quantities and two targets. Bound: 100 µs.
#[divan::bench(args = ["reach, strut", "reach, projection", "projection, strut", "reach, roll centre"])]
fn two_free_two_targets(bencher: Bencher, free: &str) {
    let question = question();
    let all = [
        ("reach", DegreeOfFreedom::on_travel(&question.setting, Quantity::Reach).unwrap()),
        ("strut", DegreeOfFreedom::on_travel(&question.setting, Quantity::StrutAngle).unwrap()),
        ("projection", DegreeOfFreedom::within(Quantity::Projection, 20.0, 130.0)),
        ("roll centre", DegreeOfFreedom::within(Quantity::RollCentre, -4.0, 8.0)),
    ];
    let freedoms: Vec<DegreeOfFreedom<'_>> =
        all.iter().filter(|(name, _)| free.contains(name)).map(|(_, one)| *one).collect();
    assert_eq!(freedoms.len(), 2);
    bencher.bench_local(|| black_box(&question).solve(black_box(&freedoms)).unwrap());
}

/// Bevel alone, one quantity free.
#[divan::bench]
fn one_free_one_target(bencher: Bencher) {
    let question = Question { wing: None, ..question() };
    let freedoms = [DegreeOfFreedom::on_travel(&question.setting, Quantity::Reach).unwrap()];
    bencher.bench_local(|| black_box(&question).solve(black_box(&freedoms)).unwrap());
}

/// Where ink goes on a facet.
#[divan::bench]
fn ink_on_a_facet(bencher: Bencher) {
    let setting = setting();
    let facet =
        PresentFacet::new(Hollow::Arc { radius_mm: 80.0 }, Angle::from_degrees(44.0), 6.0).unwrap().into();
    bencher.bench_local(|| black_box(&setting).ink(black_box(&facet), 0.005).unwrap());
}

/// The ± of a bevel from eleven readings.
#[divan::bench]
fn how_sure(bencher: Bencher) {
    let setting = setting();
    let view = setting.evaluate().unwrap();
    let readings = READINGS.map(|input| Reading { input, half_width: 0.3 });
    bencher.bench_local(|| black_box(&setting).uncertainty(&view, black_box(&readings)));
}
