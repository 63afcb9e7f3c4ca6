//! Nothing free: how far a setting as it stands is off its bevel and its wing ("derived here": the wing that a setting
//! grinds does not know what was wanted of it).
#![allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]

use bevelbench_geometry::{
    Angle, AngleTravel, Arm, Bar, DVec2, EdgeSection, Face, FluteShape, Free, Holder, HolderSpec, Loose,
    Movable, Presentation, Question, Rolling, Setting, Solution, Steel, Support, Swing, Target, Travel,
    WingTarget,
};

fn degrees(value: f64) -> Angle {
    Angle::from_degrees(value)
}

fn setting() -> Setting {
    let travel = Travel { least_mm: 0.0, most_mm: 300.0 };
    let holder = Holder::new(HolderSpec {
        hinge_setback_mm: 15.0,
        hinge_drop_mm: 0.0,
        strut_length_mm: 70.0,
        strut_angle: AngleTravel { least: degrees(0.0), most: degrees(90.0) },
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
            arm: Arm::new(DVec2::new(0.0, -120.0), Angle::ZERO, travel).unwrap(),
            holder,
            reach_mm: 117.0,
            projection_mm: 50.0,
            strut_angle: degrees(45.0),
        },
    }
}

fn question(bevel: Angle, sweep_mm: f64) -> Question {
    let bar = Bar::new(16.0, FluteShape::Power { factor: 0.25, exponent: 2.0 }, -4.0).unwrap();
    Question {
        setting: setting(),
        bevel: Target::AtEdge(bevel),
        wing: Some(WingTarget::Sweep { mm: sweep_mm }),
        rolling: Some(Rolling {
            steel: Steel::of_bar(&bar),
            wheel_width_mm: 40.0,
            swing: Swing::ASSUMED,
            roll_centre_mm: 0.0,
            turn: Angle::ZERO,
        }),
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
    let strut = Movable::Input(Free::StrutAngle);
    let projection = Movable::Input(Free::Projection);
    let (rests, stops) = ([20.0, 35.0, 50.0, 65.0], [40.0, 50.0, 60.0]);
    let loose = [
        Loose::within(strut, 0.0, 90.0).at_stops(&rests),
        Loose::within(projection, 30.0, 80.0).at_stops(&stops),
    ];
    for (bevel, sweep) in [(45.0, 3.0), (40.0, 5.0), (60.0, 1.0), (35.0, 8.0)] {
        let found = question(degrees(bevel), sweep).solve(&loose).unwrap();
        assert!(found.answers.is_empty() && found.near.len() > 3);
        let off: Vec<f64> =
            found.near.iter().map(|one| one.bevel_off.degrees().abs() + one.wing_off.abs()).collect();
        assert!(off.is_sorted(), "{off:?}");
    }
}
