//! What it costs to work backwards: from ink, facets, trial grinds and wanted edges to settings and slips. Run with
//! `cargo bench -p bevelbench-geometry --bench backward`.
#![allow(clippy::unwrap_used, reason = "a bench may stop at a surprise")]

use bevelbench_geometry::{
    DVec2,
    facet::{AcrossBy, HollowBy, InkSeen, MeasuredFacet, Pattern},
    fault::{FaultyGrind, NewFacet, RollingFault, TwoFacetsSeen},
    math::{Angle, Quantity},
    parts::{AngleTravel, Arm, Bar, EdgeSection, Face, FluteShape, Holder, HolderSpec, Presentation, Travel},
    side::{HeldInput, Setting, Support, Target},
    solve::{DegreeOfFreedom, Question, Rolling, Sharer, Trial, WingTarget, fit_rig, one_reach_for_many},
    swept::{
        GrindingFace, GroundSurface, RollLine, Rolled, Steel, Strut, StrutTravel, Swing, Tip,
        equal::equal_grind, silhouette::side_outline,
    },
};
use divan::{Bencher, black_box};

fn main() {
    divan::main();
}

fn degrees(x: f64) -> Angle {
    Angle::from_degrees(x)
}

fn setting() -> Setting {
    let arm =
        Arm::new(DVec2::new(0.0, -120.0), Angle::ZERO, Travel { least_mm: 0.0, most_mm: 300.0 }).unwrap();
    let holder = Holder::new(HolderSpec {
        hinge_setback_mm: 15.0,
        hinge_drop_mm: 0.0,
        strut_length_mm: 70.0,
        strut_angle: AngleTravel { least: Angle::ZERO, most: degrees(90.0) },
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
            strut_angle: degrees(45.0),
        },
    }
}

fn rolled(bevel: f64) -> Rolled {
    Rolled {
        line: RollLine::through(DVec2::new(139.5, -49.5), 0.0).unwrap(),
        bevel: degrees(bevel),
        edge_height_mm: -4.0,
        abrasive: GrindingFace::Wheel { radius_mm: 75.0, width_mm: 40.0 },
        swing: Swing::ASSUMED,
        turn: Angle::ZERO,
    }
}

fn gouge() -> Steel {
    Steel::of_bar(&Bar::new(16.0, FluteShape::Power { factor: 0.25, exponent: 2.0 }, -4.0).unwrap())
}

/// From ink at the heel to what must be moved. Bound: 100 µs.
#[divan::bench]
fn reading_of_ink(bencher: Bencher) {
    let setting = setting();
    let seen =
        InkSeen { pattern: Pattern::Heel, rubbed_mm: 2.0, facet_mm: 6.0, hollow: None, film_mm: 0.005 };
    setting.read_ink(&seen, degrees(1.0), Quantity::Reach).unwrap();
    bencher.bench_local(|| black_box(&setting).read_ink(black_box(&seen), degrees(1.0), Quantity::Reach));
}

/// From a measured facet to its bevel. Bound: 0.5 µs.
#[divan::bench]
fn matching_a_facet(bencher: Bencher) {
    let facet = MeasuredFacet {
        width_mm: 6.0,
        across: AcrossBy::Thickness { under_mm: 4.0 },
        hollow: HollowBy::Wheel { radius_mm: 75.0 },
    };
    facet.matched().unwrap();
    bencher.bench_local(|| black_box(&facet).matched());
}

/// From two facets to the slip behind them. Bound: 20 µs.
#[divan::bench]
fn slip_behind_two_facets(bencher: Bencher) {
    let setting = setting();
    let seen = TwoFacetsSeen { edge_mm: 2.0, heel_mm: 4.6, newer: NewFacet::AtHeel };
    setting.two_facets(&seen).unwrap();
    bencher.bench_local(|| black_box(&setting).two_facets(black_box(&seen)));
}

/// From wings that differ to the turn in the holder. Bound: 50 µs.
#[divan::bench]
fn turn_behind_unlike_wings(bencher: Bencher) {
    let (meant, steel) = (rolled(45.0), gouge());
    FaultyGrind::turned_behind(&meant, &steel, 1.0).unwrap();
    bencher.bench_local(|| FaultyGrind::turned_behind(black_box(&meant), black_box(&steel), 1.0));
}

/// The edge a slip leaves, 201 points. Bound: 100 µs.
#[divan::bench]
fn edge_a_slip_leaves(bencher: Bencher) {
    let slip = FaultyGrind::new(&rolled(45.0), RollingFault::TurnedInHolder { by: degrees(3.0) }).unwrap();
    let steel = gouge();
    bencher.bench_local(|| black_box(&slip).edge(black_box(&steel), 201));
}

/// Two dimensions of a rig from eight trial grinds. Bound: 1 ms.
#[divan::bench]
fn rig_fitted_to_trials(bencher: Bencher) {
    let trials: Vec<Trial> = (0..8)
        .map(|i| {
            let i = f64::from(i);
            let setting = setting().with(Quantity::StrutAngle, 20.0 + 7.0 * i).unwrap();
            let setting = setting.with(Quantity::Reach, 118.0 + 3.0 * i).unwrap();
            let bevel = setting.evaluate().unwrap().bevel();
            // Measured a little off, now to one side and now to the other.
            let measured = Target::AtEdge(bevel + degrees(0.3 + 0.1 * (i * 2.4).sin()));
            Trial { setting, measured, half_width: degrees(0.3), readings: Vec::new() }
        })
        .collect();
    let hidden = [Quantity::ArmZeroX, Quantity::ArmZeroZ];
    fit_rig(&trials, &hidden).unwrap();
    bencher.bench_local(|| fit_rig(black_box(&trials), &hidden));
}

/// One reach for six bevels. Bound: 1 ms.
#[divan::bench]
fn one_reach(bencher: Bencher) {
    let sharers: Vec<Sharer<'_>> = [35.0, 40.0, 45.0, 50.0, 55.0, 60.0]
        .map(|bevel| Sharer {
            setting: setting(),
            bevel: Target::AtEdge(degrees(bevel)),
            least_mm: 30.0,
            most_mm: 110.0,
            stops_mm: None,
        })
        .into();
    assert!(one_reach_for_many(&sharers, degrees(0.5), None).unwrap().is_some());
    bencher.bench_local(|| one_reach_for_many(black_box(&sharers), degrees(0.5), None));
}

/// The same edge from another projection, compared point by point. Bound: 500 µs.
#[divan::bench]
fn equal_grind_from_another_projection(bencher: Bencher) {
    let strut = Strut { hinge_setback_mm: 15.0, hinge_drop_mm: 0.0, length_mm: 70.0 };
    let travel = StrutTravel {
        least_angle: degrees(20.0),
        greatest_angle: degrees(80.0),
        least_distance_mm: 90.0,
        greatest_distance_mm: 400.0,
    };
    let line = RollLine::through(strut.pivot_in_tool(75.0, degrees(45.0)), 0.0).unwrap();
    let (meant, steel) = (Rolled { line, ..rolled(45.0) }, gouge());
    equal_grind(&meant, &steel, &strut, 50.0, &travel).unwrap();
    bencher.bench_local(|| equal_grind(black_box(&meant), &steel, &strut, 50.0, &travel));
}

/// A setting on its worn wheel, one line of a table of wear. Bound: 1 µs.
#[divan::bench]
fn worn_wheel(bencher: Bencher) {
    let setting = setting();
    setting.on_worn_wheel(140.0, HeldInput::GaugeLength).unwrap();
    bencher.bench_local(|| black_box(&setting).on_worn_wheel(black_box(140.0), HeldInput::GaugeLength));
}

/// A family of answers: three quantities free, bevel and wing wanted. Bound: 5 ms.
#[divan::bench]
fn family_of_answers(bencher: Bencher) {
    let question = Question {
        setting: setting(),
        bevel: Target::AcrossFacet(degrees(45.0)),
        wing: Some(WingTarget::Sweep { mm: 9.0 }),
        rolling: Some(Rolling {
            steel: gouge(),
            wheel_width_mm: 40.0,
            swing: Swing::ASSUMED,
            roll_centre_mm: 0.0,
            turn: Angle::ZERO,
        }),
    };
    let freedoms = [
        DegreeOfFreedom::on_travel(&question.setting, Quantity::Reach).unwrap(),
        DegreeOfFreedom::on_travel(&question.setting, Quantity::StrutAngle).unwrap(),
        DegreeOfFreedom::within(Quantity::Projection, 20.0, 130.0),
    ];
    let found = question.solve(&freedoms).unwrap();
    assert!(question.family(&freedoms, &found).is_some());
    bencher.bench_local(|| {
        let found = black_box(&question).solve(&freedoms).unwrap();
        question.family(&freedoms, &found)
    });
}

/// Steel a regrind takes over the whole tip, to 1e-4. Bound: 100 µs.
#[divan::bench]
fn steel_of_a_regrind_over_the_whole_tip(bencher: Bencher) {
    let tip = Tip::new(GroundSurface::rolled(&rolled(42.0)).unwrap(), gouge());
    let deeper = GroundSurface::rolled(&rolled(45.0)).unwrap();
    bencher.bench_local(|| black_box(&tip).removed_by(black_box(&deeper), 1.0, 1e-4));
}

/// A tip's outline from the side in 121 points. Bound: 100 µs.
#[divan::bench]
fn outline_from_the_side(bencher: Bencher) {
    let tip = Tip::new(GroundSurface::rolled(&rolled(45.0)).unwrap(), gouge());
    bencher.bench_local(|| side_outline(black_box(&tip), 40.0, 121));
}
