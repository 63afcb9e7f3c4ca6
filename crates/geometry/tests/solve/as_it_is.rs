//! Nothing free: how far a setting as it stands is off its bevel and its wing ("derived here": the wing that a setting
//! grinds does not know what was wanted of it).

use bevelbench_geometry::{
    math::{Angle, Quantity},
    side::{Setting, Target},
    solve::{DegreeOfFreedom, Question, Solution, WingTarget},
};

use super::{worked, worked_rolling};

fn degrees(value: f64) -> Angle {
    Angle::from_degrees(value)
}

fn setting() -> Setting {
    worked().with(Quantity::Reach, 117.0).unwrap()
}

fn question(bevel: Angle, sweep_mm: f64) -> Question {
    Question {
        setting: setting(),
        bevel: Target::AtEdge(bevel),
        wing: Some(WingTarget::Sweep { mm: sweep_mm }),
        rolling: Some(worked_rolling()),
    }
}

fn as_it_is(question: &Question) -> Solution {
    let found = question.solve(&[]).unwrap();
    *found.answers.first().or(found.near.first()).unwrap()
}

#[test]
fn the_wing_of_a_setting_is_that_of_the_bevel_it_grinds() {
    let grinds = setting().evaluate().unwrap().bevel();
    let right = as_it_is(&question(grinds, 3.0));
    for off in [-6.0, -0.5, 4.0] {
        let wrong = as_it_is(&question(grinds + degrees(off), 3.0));
        assert!((wrong.bevel_off + degrees(off)).degrees().abs() < 1e-9);
        assert!((wrong.wing_off - right.wing_off).abs() < 1e-9, "{} {}", wrong.wing_off, right.wing_off);
    }
}

#[test]
fn the_nearest_are_off_least_in_degrees_and_millimetres_together() {
    let strut = Quantity::StrutAngle;
    let projection = Quantity::Projection;
    let (rests, stops) = ([20.0, 35.0, 50.0, 65.0], [40.0, 50.0, 60.0]);
    let freedoms = [
        DegreeOfFreedom::within(strut, 0.0, 90.0).at_stops(&rests),
        DegreeOfFreedom::within(projection, 30.0, 80.0).at_stops(&stops),
    ];
    for (bevel, sweep) in [(45.0, 3.0), (40.0, 5.0), (60.0, 1.0), (35.0, 8.0)] {
        let found = question(degrees(bevel), sweep).solve(&freedoms).unwrap();
        assert!(found.answers.is_empty() && found.near.len() > 3);
        let off: Vec<f64> =
            found.near.iter().map(|one| one.bevel_off.degrees().abs() + one.wing_off.abs()).collect();
        assert!(off.is_sorted(), "{off:?}");
    }
}
