//! Where blade and handle lie among the solids of a job, and gaps next to nothing: from lengths and circles.

use approx::assert_relative_eq;
use bevelbench_geometry::{
    DVec2, DVec3,
    math::{Angle, Quantity},
    parts::{
        Abrasive, Arm, Bevels, Blank, FlatKind, FlatStock, Grinder, Presentation, Section, Tool, Travel,
        Wheel, WheelSpec,
    },
    side::{Job, Setting, Support, Target},
    space::{Body, Moved, Solid, Surroundings},
};

fn deg(degrees: f64) -> Angle {
    Angle::from_degrees(degrees)
}

/// A skew of an obliquity, its handle's end in the cup, its edge parallel to the spindle.
fn skew(obliquity: f64, overall_mm: f64, blade_mm: f64) -> (Job, Surroundings) {
    let wheel = Wheel::new(WheelSpec {
        diameter_mm: 150.0,
        diameter_new_mm: 150.0,
        diameter_least_mm: 100.0,
        width_mm: 25.0,
        abrasive: Abrasive::Friable,
        marked_speed_m_s: None,
        face_slope: Angle::ZERO,
    })
    .unwrap();
    let kind = FlatKind::Skew { obliquity: deg(obliquity), edge_radius_mm: None, bevels: Bevels::Alike };
    let stock = FlatStock::new(25.0, 6.0, Section::Rectangular, kind).unwrap();
    let tool = Tool::new(Blank::Flat(stock), overall_mm, blade_mm, None).unwrap();
    let arm =
        Arm::new(DVec2::new(20.0, -95.0), Angle::ZERO, Travel { least_mm: 0.0, most_mm: 700.0 }).unwrap();
    let setting = Setting {
        face: wheel.face(),
        edge: tool.edge_section(),
        obliquity: deg(obliquity),
        presentation: Presentation::EdgeParallelToSpindle,
        support: Support::Handle { arm, reach_mm: 420.0, tool_length_mm: overall_mm },
    };
    let setting =
        setting.find(Target::AtEdge(deg(30.0)), Quantity::Reach).unwrap().nearest(420.0).unwrap().setting;
    let grinder = Grinder::new(1500.0, 900.0, 200.0).unwrap();
    let job = Job { setting, wheel, grinder, tool, rest_gap_most_mm: 3.0, roll: None };
    let view = setting.evaluate().unwrap();
    let all = Surroundings::of(&job, &view, Moved::Pushed { half_mm: 10.0 }, None);
    (job, all)
}

fn body(all: &Surroundings, which: Body) -> Option<Solid> {
    all.moving_at(0.0).find(|(body, _)| *body == which).map(|(_, solid)| solid)
}

/// Derived here: seen from the side an oblique tool is foreshortened, so that its facet reaches `1/sin` as far along it.
#[test]
fn blade_begins_behind_the_heel_as_far_as_the_skew_stretches_it() {
    for obliquity in [90.0, 60.0, 35.0] {
        let (job, all) = skew(obliquity, 400.0, 180.0);
        let heel = job.setting.evaluate().unwrap().facet.heel_from_edge.x / deg(obliquity).sin();
        assert!(heel > 1.0);
        let Some(Solid::Block { half_mm, .. }) = body(&all, Body::Blade) else { panic!() };
        assert_relative_eq!(half_mm.x, (180.0 - heel) / 2.0, epsilon = 1e-9);
    }
}

/// Derived here: a handle of a millimetre or less is none; the round ends of a short one meet in its middle.
#[test]
fn handle_lies_between_the_blades_end_and_its_own() {
    for blade in [400.0, 399.5, 399.0] {
        assert!(body(&skew(90.0, 400.0, blade).1, Body::Handle).is_none(), "{blade}");
    }
    for (blade, round) in [(398.9, 0.55), (380.0, 10.0), (374.0, 13.0), (366.0, 15.0), (180.0, 15.0)] {
        let (job, all) = skew(90.0, 400.0, blade);
        let Some(Solid::Rod { ends, radius_mm }) = body(&all, Body::Handle) else { panic!("{blade}") };
        let view = job.setting.evaluate().unwrap();
        assert_relative_eq!(radius_mm, 15.0);
        let along = view.axis_in_bench();
        let along = DVec3::new(along.x, 0.0, along.y);
        // The edge of this blade lies in its mid-plane, where the handle's axis is.
        let edge = DVec3::new(view.contact_in_bench.x, 0.0, view.contact_in_bench.y);
        for (end, s) in ends.into_iter().zip([blade + round, 400.0 - round]) {
            assert!((end - edge - along * s).length() < 1e-9, "{blade}: {end} {s}");
        }
    }
}

/// Derived here: a line along the spindle beside a wheel, so far off its rim. The walk must not rest before the last
/// hundred-thousandth of a millimetre.
#[test]
fn a_gap_within_rounding_is_reported_unchanged() {
    let wheel = Solid::Disc { radius_mm: 75.0, half_width_mm: 12.5 };
    for i in 0..40 {
        let angle = 0.1 + 0.15 * f64::from(i);
        let out = DVec3::new(angle.cos(), 0.0, angle.sin());
        for gap_mm in [1e-5, 3e-5] {
            let middle = out * (75.0 + gap_mm);
            let rod = Solid::Rod { ends: [middle - DVec3::Y * 4.0, middle + DVec3::Y * 5.0], radius_mm: 0.0 };
            for reported in [wheel.gap(&rod).mm, rod.gap(&wheel).mm] {
                assert!((reported - gap_mm).abs() < 1e-8, "{angle}: {reported} {gap_mm}");
            }
        }
    }
}
