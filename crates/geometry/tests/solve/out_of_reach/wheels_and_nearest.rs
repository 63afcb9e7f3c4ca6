//! Wheels for a bevel across the facet against a plain scan, and what is nearest where nothing meets the bevel: the foot
//! of the wheel's centre on the arm, or an end of the range ("derived here").

use bevelbench_geometry::{
    DVec2,
    math::{Angle, Quantity},
    parts::{AngleTravel, Holder, HolderSpec, Table, TableSpec},
    side::{Refusal, Setting, Support, Target},
    solve::{DegreeOfFreedom, Question, SolveError},
};

use super::{arm, degrees, setting};

const DIAMETER: Quantity = Quantity::WheelDiameter;
const REACH: Quantity = Quantity::Reach;

/// A cup that passes under the wheel, its centre over a reach of 143.
fn under_the_wheel(reach_mm: f64) -> Setting {
    setting(Support::Handle { arm: arm(-143.0, -215.0), reach_mm, tool_length_mm: 180.0 })
}

fn in_holder(strut_length_mm: f64, strut: f64, reach_mm: f64) -> Setting {
    let holder = Holder::new(HolderSpec {
        hinge_setback_mm: 15.0,
        hinge_drop_mm: 0.0,
        strut_length_mm,
        strut_angle: AngleTravel { least: degrees(0.0), most: degrees(120.0) },
        body_length_mm: 30.0,
        body_height_mm: 24.0,
    })
    .unwrap();
    setting(Support::Holder {
        arm: arm(0.0, -120.0),
        holder,
        reach_mm,
        projection_mm: 60.0,
        strut_angle: degrees(strut),
    })
}

fn on_table() -> Setting {
    let table = Table::new(TableSpec {
        hinge_in_bench: DVec2::new(140.0, 30.0),
        surface_offset_mm: 9.0,
        front_mm: 5.0,
        rear_mm: 63.0,
        tilt: AngleTravel { least: degrees(-25.0), most: degrees(65.0) },
    })
    .unwrap();
    setting(Support::Table { table, tilt: degrees(3.0) })
}

fn across(setting: &Setting, diameter: f64) -> Option<f64> {
    let view = setting.with(Quantity::WheelDiameter, diameter)?.evaluate_off_travel().ok()?;
    Some(view.facet.across.radians())
}

/// Wheels on which the bevel across is a wanted one, by a scan between 0.2 and 2.2 of the present one.
fn scanned(setting: &Setting, wanted: f64) -> Vec<f64> {
    let now = setting.value_of(Quantity::WheelDiameter).unwrap();
    let (least, steps) = (0.2 * now, 400);
    let at = |i: u32| least + 2.0 * now * f64::from(i) / f64::from(steps);
    let mut found = Vec::new();
    for i in 0..steps {
        let (Some(a), Some(b)) = (across(setting, at(i)), across(setting, at(i + 1))) else { continue };
        if (a < wanted) != (b < wanted) {
            found.push(at(i) + (at(i + 1) - at(i)) * (wanted - a) / (b - a));
        }
    }
    found
}

#[test]
fn every_wheel_that_reads_the_bevel_across_is_found() {
    let (mut single, mut double) = (0, 0);
    // A long strut leads steeply down to a cup that is nearer to the wheel's centre than to the edge: towards a smaller
    // wheel and towards a larger one the bevel grows keener.
    let settings = [30.0, 60.0, 90.0, 115.0]
        .map(|strut| in_holder(70.0, strut, 120.0))
        .into_iter()
        .chain([60.0, 66.0, 72.0].map(|reach| in_holder(150.0, 100.0, reach)))
        .chain([on_table()])
        .chain([150.0, 200.0, 240.0].map(under_the_wheel));
    for setting in settings {
        let now = setting.value_of(Quantity::WheelDiameter).unwrap();
        for fraction in [0.23, 0.5, 0.8, 1.0, 1.3, 1.6, 2.0, 2.17] {
            let Some(wanted) = across(&setting, fraction * now) else { continue };
            let target = Target::AcrossFacet(Angle::from_radians(wanted));
            let question = Question { setting, bevel: target, wing: None, rolling: None };
            let found = question.solve(&[DegreeOfFreedom::within(DIAMETER, 0.2 * now, 2.2 * now)]).unwrap();
            let mut reported: Vec<f64> =
                found.answers.iter().map(|one| one.value_of(DIAMETER).unwrap()).collect();
            reported.sort_by(f64::total_cmp);
            let by_scan = scanned(&setting, wanted);
            assert_eq!(reported.len(), by_scan.len(), "{fraction} {reported:?} {by_scan:?}");
            for (reported, scanned) in reported.iter().zip(&by_scan) {
                assert!((reported - scanned).abs() < 0.5, "{reported} {scanned}");
                assert!((across(&setting, *reported).unwrap() - wanted).abs() < 1e-9);
            }
            assert!(
                reported.iter().any(|one| (one - fraction * now).abs() < 1e-6),
                "{fraction} {reported:?}"
            );
            single += i32::from(reported.len() == 1);
            double += i32::from(reported.len() == 2);
        }
    }
    assert!(single > 5 && double > 1, "{single} {double}");
}

/// Derived here: on a wheel of 75 mm a facet under 4 mm of steel has `sin² ≥ 4/150` across, 9.4°. What only another wheel
/// gives is refused where the wheel stays.
#[test]
fn a_bevel_across_that_the_wheel_cannot_give_is_refused_unless_the_wheel_is_free() {
    let setting = in_holder(70.0, 60.0, 120.0);
    let question = Question { setting, bevel: Target::AcrossFacet(degrees(5.0)), wing: None, rolling: None };
    let refused = question.solve(&[DegreeOfFreedom::within(REACH, 40.0, 300.0)]).unwrap_err();
    assert!(matches!(refused, SolveError::Refused(Refusal::NoHeel(_))), "{refused:?}");
    question.solve(&[DegreeOfFreedom::within(DIAMETER, 30.0, 330.0)]).unwrap();
}

#[test]
fn a_bevel_across_of_zero_or_half_a_turn_is_of_no_wheel() {
    for wanted in [-10.0, 0.0, 180.0, 200.0] {
        for setting in [in_holder(70.0, 60.0, 120.0), on_table()] {
            let found = setting.find(Target::AcrossFacet(degrees(wanted)), Quantity::WheelDiameter);
            assert_eq!(found.map(|_| ()), Err(Refusal::BevelOutOfRange { bevel: degrees(wanted) }));
        }
    }
}

#[test]
fn where_nothing_meets_the_bevel_the_nearest_is_the_foot_or_the_end_next_to_it() {
    // The pivot is nearest to the wheel, and the bevel keenest, under the wheel's centre.
    let keenest = under_the_wheel(143.0).evaluate().unwrap().bevel();
    let question = Question {
        setting: under_the_wheel(170.0),
        bevel: Target::AtEdge(keenest - degrees(3.0)),
        wing: None,
        rolling: None,
    };
    let nearest = |least: f64, most: f64| {
        let found = question.solve(&[DegreeOfFreedom::within(REACH, least, most)]).unwrap();
        assert!(found.answers.is_empty());
        assert_eq!(found.near.len(), 1);
        (found.near[0].value_of(REACH).unwrap(), found.near[0].bevel_off.degrees())
    };
    for (least, most) in [(100.0, 203.3), (40.0, 171.0), (141.0, 160.0), (90.0, 144.2)] {
        let (value, off) = nearest(least, most);
        assert!((value - 143.0).abs() < 1e-3 && (off - 3.0).abs() < 1e-9, "{value} {off}");
    }
    // An end is told to the last bit.
    for i in 0..40 {
        let end = 130.0 + 0.1 * f64::from(i) / 3.0;
        assert_eq!(nearest(60.0 + 1.0 / 7.0, end).0.to_bits(), end.to_bits());
        let end = 151.0 + 0.1 * f64::from(i) / 3.0;
        assert_eq!(nearest(end, 199.0 + 1.0 / 7.0).0.to_bits(), end.to_bits());
    }
}
