//! What the side view costs: one evaluation, one inverse, a sweep. Run with
//! `cargo bench -p bevelbench-geometry --bench side_view`.
#![allow(clippy::unwrap_used, reason = "a bench may stop at a surprise")]

use bevelbench_geometry::{
    DVec2,
    math::{Angle, Quantity},
    parts::{
        AngleTravel, Arm, EdgeSection, Face, Holder, HolderSpec, Hollow, PresentFacet, Presentation, Table,
        TableSpec, Travel,
    },
    side::{Setting, Support, Target},
};
use divan::{Bencher, black_box};

fn main() {
    divan::main();
}

fn degrees(x: f64) -> Angle {
    Angle::from_degrees(x)
}

fn arm() -> Arm {
    Arm::new(DVec2::new(30.0, -110.0), degrees(0.0), Travel { least_mm: 0.0, most_mm: 500.0 }).unwrap()
}

fn on(support: Support) -> Setting {
    Setting {
        face: Face::Round { radius_mm: 75.0 },
        edge: EdgeSection { height_mm: -4.0, under_mm: 4.0 },
        obliquity: Angle::QUARTER,
        presentation: Presentation::EdgeParallelToSpindle,
        support,
    }
}

fn holder() -> Setting {
    let holder = Holder::new(HolderSpec {
        hinge_setback_mm: 15.0,
        hinge_drop_mm: 0.0,
        strut_length_mm: 70.0,
        strut_angle: AngleTravel { least: degrees(15.0), most: degrees(90.0) },
        body_length_mm: 40.0,
        body_height_mm: 30.0,
    })
    .unwrap();
    on(Support::Holder {
        arm: arm(),
        holder,
        reach_mm: 120.0,
        projection_mm: 75.0,
        strut_angle: degrees(45.0),
    })
}

fn setting(name: &str) -> Setting {
    match name {
        "handle" => on(Support::Handle { arm: arm(), reach_mm: 400.0, tool_length_mm: 400.0 }),
        "table" => {
            let table = Table::new(TableSpec {
                hinge_in_bench: DVec2::new(105.0, -30.0),
                surface_offset_mm: 12.0,
                front_mm: 25.0,
                rear_mm: 60.0,
                tilt: AngleTravel { least: degrees(-30.0), most: degrees(60.0) },
            })
            .unwrap();
            on(Support::Table { table, tilt: degrees(10.0) })
        }
        "platen" => {
            let nearer = holder().with(Quantity::Reach, 70.0).unwrap();
            Setting { face: Face::Flat { normal: degrees(0.0) }, ..nearer }
        }
        "skew" => Setting { obliquity: degrees(70.0), ..holder() },
        _ => holder(),
    }
}

/// One whole side view: bevel, facet, contact, seat, slopes. Bound: 200 ns.
#[divan::bench(args = ["holder", "handle", "table", "platen"])]
fn evaluation(bencher: Bencher, name: &str) {
    let setting = setting(name);
    setting.evaluate().unwrap();
    bencher.bench_local(|| black_box(&setting).evaluate());
}

/// One inverse, every answer with its whole side view. Bound: 300 ns.
#[divan::bench(args = ["holder reach", "holder projection", "holder strut", "handle reach", "table tilt", "skew strut"])]
fn inverse(bencher: Bencher, name: &str) {
    let (support, input) = name.split_once(' ').unwrap();
    let setting = setting(support);
    let free = match input {
        "projection" => Quantity::Projection,
        "strut" => Quantity::StrutAngle,
        "tilt" => Quantity::TableTilt,
        _ => Quantity::Reach,
    };
    let target = Target::AcrossFacet(degrees(if input == "tilt" { 75.0 } else { 45.0 }));
    assert!(setting.find(target, free).unwrap().all().count() > 0, "{name}");
    let present = setting.value_of(free).unwrap();
    bencher.bench_local(|| {
        let found = black_box(&setting).find(black_box(target), free).ok()?;
        found.nearest(present).map(|answer| answer.value)
    });
}

/// The present facet settled on the wheel.
#[divan::bench(args = ["holder", "table"])]
fn settling(bencher: Bencher, name: &str) {
    let setting = setting(name);
    let facet = PresentFacet::new(Hollow::Arc { radius_mm: 90.0 }, degrees(44.0), 5.5).unwrap();
    setting.settle(&facet).unwrap();
    bencher.bench_local(|| black_box(&setting).settle(black_box(&facet)));
}

/// A curve of 1,000 points: bevel against projection. Bound: 200 µs.
#[divan::bench]
fn sweep_of_1000_points(bencher: Bencher) {
    let setting = holder();
    bencher.bench_local(|| {
        (0..1000)
            .filter_map(|i| {
                black_box(&setting).with(Quantity::Projection, 60.0 + 0.03 * f64::from(i))?.evaluate().ok()
            })
            .map(|view| view.bevel().degrees())
            .sum::<f64>()
    });
}
