//! Questions that nothing answers, or only just: the nearest that is reported, what stops short and what would correct it, against
//! scans of every value.

mod wheels_and_nearest;

use bevelbench_geometry::{
    DVec2,
    math::{Angle, Quantity},
    parts::{AngleTravel, Arm, Bar, EdgeSection, Face, FluteShape, Holder, HolderSpec, Presentation, Travel},
    side::{Setting, Support, Target},
    solve::{DegreeOfFreedom, Question, Rolling, SolveError, WingTarget},
    swept::{EdgePoint, GrindingFace, GroundSurface, RollLine, Rolled, Steel, Swing},
};

fn degrees(value: f64) -> Angle {
    Angle::from_degrees(value)
}

fn setting(support: Support) -> Setting {
    Setting {
        face: Face::Round { radius_mm: 75.0 },
        edge: EdgeSection { height_mm: -3.0, under_mm: 4.0 },
        obliquity: Angle::QUARTER,
        presentation: Presentation::AxisInSidePlane,
        support,
    }
}

fn arm(x: f64, y: f64) -> Arm {
    Arm::new(DVec2::new(x, y), Angle::ZERO, Travel { least_mm: 0.0, most_mm: 400.0 }).unwrap()
}

/// A cup that passes 215 mm under the wheel's middle, which it meets at a reach of 143.7.
fn under_the_wheel() -> Setting {
    setting(Support::Handle { arm: arm(-143.7, -215.0), reach_mm: 170.0, tool_length_mm: 180.0 })
}

/// A strut that swings far to both sides.
fn in_holder(strut: f64) -> Setting {
    in_deep_holder(strut, 5.0, -120.0)
}

/// With its hinge so far below the tool, the cups so high.
fn in_deep_holder(strut: f64, drop: f64, arm_y: f64) -> Setting {
    let holder = Holder::new(HolderSpec {
        hinge_setback_mm: 15.0,
        hinge_drop_mm: drop,
        strut_length_mm: 60.0,
        strut_angle: AngleTravel { least: degrees(-30.0), most: degrees(150.0) },
        body_length_mm: 30.0,
        body_height_mm: 20.0,
    })
    .unwrap();
    let strut_angle = degrees(strut);
    setting(Support::Holder {
        arm: arm(5.0, arm_y),
        holder,
        reach_mm: 130.0,
        projection_mm: 55.0,
        strut_angle,
    })
}

fn rolling(roll_centre_mm: f64, turn: f64) -> Rolling {
    Rolling {
        steel: Steel::of_bar(
            &Bar::new(16.0, FluteShape::Power { factor: 0.25, exponent: 2.0 }, -3.0).unwrap(),
        ),
        wheel_width_mm: 40.0,
        swing: Swing::ASSUMED,
        roll_centre_mm,
        turn: degrees(turn),
    }
}

/// The bevel with one input at a value, in degrees.
fn bevel_at(setting: &Setting, free: Quantity, value: f64) -> Option<f64> {
    Some(setting.with(free, value)?.evaluate().ok()?.bevel().degrees())
}

#[test]
fn the_nearest_bevel_is_where_the_cup_comes_nearest_to_the_wheel() {
    // Derived here: a cup on a level arm grinds the keenest bevel where it is nearest to the spindle, right under it.
    let setting = under_the_wheel();
    let foot = bevel_at(&setting, Quantity::Reach, 143.7).unwrap();
    let reach = DegreeOfFreedom::on_travel(&setting, Quantity::Reach).unwrap();
    for below in [0.05, 0.5, 3.0] {
        let bevel = Target::AtEdge(degrees(foot - below));
        let question = Question { setting, bevel, wing: None, rolling: None };
        let found = question.solve(&[reach]).unwrap();
        assert!(found.answers.is_empty() && found.near.len() == 1 && found.short.is_empty());
        let near = &found.near[0];
        assert!((near.bevel_off.degrees() - below).abs() < 1e-8, "{:?}", near.bevel_off);
        assert!((near.setting.value_of(Quantity::Reach).unwrap() - 143.7).abs() < 1e-2);
        assert!((near.cost - 26.3).abs() < 1e-2, "{}", near.cost);
    }
    let question =
        Question { setting, bevel: Target::AtEdge(degrees(foot + 0.05)), wing: None, rolling: None };
    let found = question.solve(&[reach]).unwrap();
    assert!(found.answers.len() == 2 && found.near.is_empty() && found.short.is_empty());
}

#[test]
fn within_a_range_that_is_too_narrow_nothing_comes_nearer_than_what_is_reported() {
    // Independent method: ten thousand values of the range.
    let (mut ends, mut inside) = (0, 0);
    for setting in [under_the_wheel(), in_holder(50.0), in_holder(-10.0)] {
        let bevel = setting.evaluate().unwrap().bevel().degrees();
        let frees = [
            Quantity::Reach,
            Quantity::Projection,
            Quantity::ToolLength,
            Quantity::StrutAngle,
            Quantity::WheelDiameter,
        ];
        for free in frees {
            let Some(present) = setting.value_of(free) else { continue };
            for (from, to) in [(-20.0, -3.0), (2.0, 17.0), (-31.0, 5.0), (11.0, 63.0)] {
                let one = DegreeOfFreedom::within(free, present + from, present + to);
                for off in [-14.0, -2.0, 0.0, 1.0, 9.0] {
                    let wanted = bevel + off;
                    let question = Question {
                        setting,
                        bevel: Target::AtEdge(degrees(wanted)),
                        wing: None,
                        rolling: None,
                    };
                    let Ok(found) = question.solve(&[one]) else { continue };
                    let misses = |value: f64| bevel_at(&setting, free, value).map(|b| (b - wanted).abs());
                    let least = (0..=10_000)
                        .filter_map(|i| misses(one.least + (one.most - one.least) * f64::from(i) / 1e4))
                        .fold(f64::INFINITY, f64::min);
                    if !found.answers.is_empty() {
                        assert!(least < 0.05 && found.near.is_empty());
                        continue;
                    }
                    if !least.is_finite() {
                        assert!(found.near.is_empty());
                        continue;
                    }
                    assert!(least > 1e-7, "{free:?} {from} {to} {off} {least}");
                    let near = &found.near[0];
                    let value = near.setting.value_of(free).unwrap();
                    assert!(value >= one.least - 1e-9 && value <= one.most + 1e-9);
                    let reported = near.bevel_off.degrees();
                    assert!(reported.abs() <= least + 1e-9, "{free:?} {from} {to} {off}: {reported} {least}");
                    let real = bevel_at(&setting, free, value).unwrap();
                    assert!((real - wanted - reported).abs() < 1e-9);
                    let at_end = (value - one.least).abs() < 1e-9 || (value - one.most).abs() < 1e-9;
                    (ends, inside) = (ends + i32::from(at_end), inside + i32::from(!at_end));
                    // What is short would meet the bevel, and stops at the nearer end.
                    for short in &found.short {
                        let miss = (setting
                            .with(free, short.wanted)
                            .unwrap()
                            .evaluate_off_travel()
                            .unwrap()
                            .bevel()
                            - degrees(wanted))
                        .degrees();
                        assert!(miss.abs() < 1e-8, "{short:?}");
                        let by = (one.least - short.wanted).max(short.wanted - one.most);
                        assert!(by > 0.0 && (short.by() - by).abs() < 1e-9, "{short:?}");
                    }
                    assert!(found.short.windows(2).all(|pair| pair[0].by() <= pair[1].by()));
                }
            }
        }
    }
    assert!(ends > 100, "{ends} {inside}");
}

#[test]
fn a_family_is_walked_from_one_end_of_its_range_to_the_other() {
    let setting = in_holder(50.0);
    let bevel = Target::AtEdge(setting.evaluate().unwrap().bevel());
    let question = Question { setting, bevel, wing: None, rolling: None };
    let free = [
        DegreeOfFreedom::within(Quantity::Reach, 0.0, 400.0),
        DegreeOfFreedom::within(Quantity::Projection, 45.0, 65.0),
    ];
    let found = question.solve(&free).unwrap();
    let mut at: Vec<f64> =
        found.family.iter().map(|one| one.setting.value_of(Quantity::Projection).unwrap()).collect();
    at.dedup();
    // Derived here: sixty steps of a third of a millimetre, both ends among them.
    assert_eq!(at.len(), 61);
    for (i, value) in (0..).zip(at) {
        assert!((value - 45.0 - f64::from(i) / 3.0).abs() < 1e-9, "{value}");
    }
}

#[test]
fn a_family_with_a_wing_keeps_to_the_range_of_what_is_walked() {
    let setting = in_holder(60.0);
    let bevel = Target::AtEdge(setting.evaluate().unwrap().bevel());
    let mm = sweep_of(setting, rolling(2.0, 0.0)).unwrap();
    let wing = Some(WingTarget::Sweep { mm });
    let question = Question { setting, bevel, wing, rolling: Some(rolling(2.0, 0.0)) };
    let free = [
        DegreeOfFreedom::within(Quantity::Reach, 0.0, 400.0),
        DegreeOfFreedom::within(Quantity::Projection, 20.0, 120.0),
        DegreeOfFreedom::within(Quantity::RollCentre, 1.0, 4.0),
    ];
    let found = question.solve(&free).unwrap();
    assert_eq!(question.walked(&free), Some(Quantity::RollCentre));
    let centres: Vec<f64> = found.family.iter().map(|one| one.roll_centre_mm.unwrap()).collect();
    assert!(centres.iter().all(|centre| (1.0..=4.0).contains(centre)), "{centres:?}");
    // Derived here: sixty steps of a twentieth of a millimetre; the setting as it stands is on the twentieth.
    assert!(centres.iter().all(|centre| ((centre - 1.0) / 0.05).round() * 0.05 + 1.0 - centre < 1e-9));
    let mut steps = centres.clone();
    steps.dedup();
    assert!(steps.len() > 15, "{steps:?}");
    assert!(found.family.iter().any(|one| {
        (one.roll_centre_mm.unwrap() - 2.0).abs() < 1e-9
            && (one.setting.value_of(Quantity::Projection).unwrap() - 55.0).abs() < 1e-5
    }));
}

/// The sweep that a setting grinds, as the wing target sees it.
fn sweep_of(setting: Setting, rolling: Rolling) -> Option<f64> {
    let bevel = Target::AtEdge(setting.evaluate().ok()?.bevel());
    let question =
        Question { setting, bevel, wing: Some(WingTarget::Sweep { mm: 0.0 }), rolling: Some(rolling) };
    let found = question.solve(&[]).unwrap();
    Some(found.near.first()?.wing_off)
}

#[test]
fn both_struts_that_grind_a_bevel_are_looked_at_for_the_wing() {
    // Two strut angles grind one bevel; a wing planted on each of them is found there.
    let setting = in_deep_holder(40.0, 50.0, -150.0).with(Quantity::Reach, 132.0).unwrap();
    let bevel = Target::AtEdge(setting.evaluate().unwrap().bevel());
    let struts: Vec<f64> =
        setting.find(bevel, Quantity::StrutAngle).unwrap().settable().map(|answer| answer.value).collect();
    assert_eq!(struts.len(), 2, "{struts:?}");
    let mut planted = 0;
    for strut in struts {
        let there = setting.with(Quantity::StrutAngle, strut).unwrap();
        for centre in [1.3, 4.2, 7.7] {
            let Some(mm) = sweep_of(there, rolling(centre, 0.0)) else { continue };
            let question = Question {
                setting,
                bevel,
                wing: Some(WingTarget::Sweep { mm }),
                rolling: Some(rolling(0.0, 0.0)),
            };
            let angle = DegreeOfFreedom::on_travel(&setting, Quantity::StrutAngle).unwrap();
            for most in [9.0, 10.1] {
                let height = DegreeOfFreedom::within(Quantity::RollCentre, 0.0, most);
                for free in [[angle, height], [height, angle]] {
                    let found = question.solve(&free).unwrap();
                    assert!(
                        found.answers.iter().any(|one| {
                            (one.setting.value_of(Quantity::StrutAngle).unwrap() - strut).abs() < 1e-4
                                && (one.roll_centre_mm.unwrap() - centre).abs() < 1e-4
                        }),
                        "{strut} {centre}"
                    );
                    planted += 1;
                }
            }
        }
    }
    assert!(planted >= 12, "{planted}");
}

#[test]
fn no_roll_centre_comes_nearer_to_a_wing_out_of_reach_than_the_one_reported() {
    let setting = in_holder(60.0);
    let bevel = Target::AtEdge(setting.evaluate().unwrap().bevel());
    let sweep = |centre: f64| sweep_of(setting, rolling(centre, 0.0));
    // Independent method: forty-one values, as many as are listed for.
    for (least, most) in [(2.0, 5.0), (4.0, 4.5), (-3.0, -1.0)] {
        let at = |i: u32| least + (most - least) * f64::from(i) / 40.0;
        let sweeps: Vec<f64> = (0..=40).filter_map(|i| sweep(at(i))).collect();
        let (low, high) = sweeps.iter().fold((f64::MAX, f64::MIN), |(l, h), s| (l.min(*s), h.max(*s)));
        for (mm, edge) in [(low - 0.5, low), (high + 0.7, high)] {
            let question = Question {
                setting,
                bevel,
                wing: Some(WingTarget::Sweep { mm }),
                rolling: Some(rolling(0.0, 0.0)),
            };
            let found =
                question.solve(&[DegreeOfFreedom::within(Quantity::RollCentre, least, most)]).unwrap();
            assert!(found.answers.is_empty());
            let near = &found.near[0];
            let centre = near.roll_centre_mm.unwrap();
            assert!((least..=most).contains(&centre), "{centre}");
            assert!((near.wing_off - (edge - mm)).abs() < 1e-9, "{} {}", near.wing_off, edge - mm);
            assert!(near.bevel_off.degrees().abs() < 1e-9);
            assert!((near.cost - 10.0 * centre.abs()).abs() < 1e-9);
        }
    }
}

#[test]
fn a_tool_turned_in_its_holder_is_measured_at_both_wings() {
    let setting = in_holder(60.0);
    let view = setting.evaluate().unwrap();
    let (_, pivot) = setting.pivot().unwrap();
    let wanted = degrees(62.0);
    let off_of = |wing: WingTarget, turn: f64| {
        let bevel = Target::AtEdge(view.bevel());
        let question = Question { setting, bevel, wing: Some(wing), rolling: Some(rolling(2.0, turn)) };
        question.solve(&[]).unwrap().near[0].wing_off
    };
    for turn in [0.0, 4.0, -4.0, 9.0] {
        let rolled = rolling(2.0, turn);
        let surface = GroundSurface::rolled(&Rolled {
            line: RollLine::through(pivot, 2.0).unwrap(),
            bevel: view.bevel(),
            edge_height_mm: -3.0,
            abrasive: GrindingFace::Wheel { radius_mm: 75.0, width_mm: 40.0 },
            swing: rolled.swing,
            turn: rolled.turn,
        })
        .unwrap();
        let bevels =
            [1.0, -1.0].map(|t| EdgePoint::at(&surface, &rolled.steel, t).unwrap().bevel_to_axis.degrees());
        let mean = f64::midpoint(bevels[0], bevels[1]);
        let reported = off_of(WingTarget::BevelAtTop { bevel: wanted }, turn);
        assert!((reported - (mean - 62.0)).abs() < 1e-9, "{reported} {mean}");
        let sweeps = [1.0, -1.0].map(|t| {
            let top = rolled.steel.wall_at(t);
            surface.start_of_steel(top.x, top.y).unwrap().s_mm
        });
        let reported = off_of(WingTarget::Sweep { mm: 5.0 }, turn);
        assert!((reported - (f64::midpoint(sweeps[0], sweeps[1]) - 5.0)).abs() < 1e-9);
        assert_eq!((bevels[0] - bevels[1]).abs() > 0.1, turn != 0.0);
        // Turned as far the other way the wings change places: the mean stays.
        let other = off_of(WingTarget::BevelAtTop { bevel: wanted }, -turn);
        assert!((other - (mean - 62.0)).abs() < 1e-6);
    }
}

#[test]
fn a_proposed_remedy_works_and_is_the_smallest_of_its_kind() {
    let setting = in_holder(50.0);
    let bevel = setting.evaluate().unwrap().bevel().degrees();
    let mut mended = 0;
    for off in [-9.0, -4.0, 5.0, 12.0] {
        let wanted = degrees(bevel + off);
        let question = Question { setting, bevel: Target::AtEdge(wanted), wing: None, rolling: None };
        let reach = DegreeOfFreedom::within(Quantity::Reach, 128.0, 133.0);
        let found = question.solve(&[reach]).unwrap();
        assert!(found.answers.is_empty() && !found.short.is_empty());
        let others = [
            DegreeOfFreedom::within(Quantity::Projection, 20.0, 120.0),
            DegreeOfFreedom::within(Quantity::StrutAngle, -30.0, 150.0),
            DegreeOfFreedom::within(Quantity::WheelDiameter, 100.0, 210.0),
            DegreeOfFreedom::within(Quantity::Reach, 0.0, 400.0),
        ];
        let remedies = question.remedies(&[reach], &found, &others);
        assert!(remedies.windows(2).all(|pair| pair[0].solution.cost <= pair[1].solution.cost));
        for remedy in &remedies {
            let free = remedy.what;
            assert!(
                free != Quantity::Reach && remedies.iter().filter(|one| one.what == remedy.what).count() == 1
            );
            let set =
                setting.with(Quantity::Reach, remedy.short.limit).unwrap().with(free, remedy.value).unwrap();
            assert!((set.evaluate().unwrap().bevel() - wanted).degrees().abs() < 1e-8);
            // Nothing of its kind that meets the bevel moves less, whichever end the reach is left at.
            let present = setting.value_of(free).unwrap();
            let other = others.iter().find(|one| one.what == remedy.what).unwrap();
            for end in found.short.iter().map(|short| short.limit) {
                let pinned = setting.with(Quantity::Reach, end).unwrap();
                let Ok(answers) = pinned.find(Target::AtEdge(wanted), free) else { continue };
                for answer in answers.settable().filter(|a| (other.least..=other.most).contains(&a.value)) {
                    assert!((answer.value - present).abs() >= (remedy.value - present).abs() - 1e-9);
                }
            }
            mended += 1;
        }
        // Where something was found there is nothing to correct.
        let wide = DegreeOfFreedom::within(Quantity::Reach, 0.0, 400.0);
        let met = question.solve(&[wide]).unwrap();
        assert!(met.answers.is_empty() || question.remedies(&[wide], &met, &others[..3]).is_empty());
    }
    assert!(mended > 6, "{mended}");
}

#[test]
fn invalid_questions_report_the_fault() {
    let setting = in_holder(50.0);
    let bevel = Target::AtEdge(setting.evaluate().unwrap().bevel());
    let plain = Question { setting, bevel, wing: None, rolling: None };
    let reach = DegreeOfFreedom::within(Quantity::Reach, 0.0, 400.0);
    let projection = DegreeOfFreedom::within(Quantity::Projection, 20.0, 120.0);
    let strut = DegreeOfFreedom::within(Quantity::StrutAngle, 0.0, 90.0);
    let tilt = DegreeOfFreedom::within(Quantity::TableTilt, 0.0, 40.0);
    let centre = DegreeOfFreedom::within(Quantity::RollCentre, 0.0, 4.0);
    let not_a_range = |one: DegreeOfFreedom<'_>| Err(SolveError::NotARange(one.what));
    for odd in [
        DegreeOfFreedom { least: f64::NAN, ..reach },
        DegreeOfFreedom { most: f64::INFINITY, ..reach },
        DegreeOfFreedom { least: f64::NEG_INFINITY, ..reach },
        DegreeOfFreedom { least: 10.0, most: 9.0, ..reach },
        DegreeOfFreedom { weight: f64::NAN, ..reach },
        DegreeOfFreedom { weight: f64::INFINITY, ..reach },
        tilt,
        centre,
    ] {
        assert_eq!(plain.solve(&[odd]), not_a_range(odd), "{odd:?}");
        assert_eq!(plain.solve(&[projection, odd]), not_a_range(odd), "{odd:?}");
    }
    assert_eq!(plain.solve(&[reach, reach]), not_a_range(reach));
    assert_eq!(plain.solve(&[reach, projection, reach]), not_a_range(reach));
    assert!(plain.solve(&[DegreeOfFreedom { least: 130.0, most: 130.0, ..reach }]).is_ok());
    assert_eq!(
        plain.solve(&[reach, projection, strut]),
        Err(SolveError::TooManyFreedoms { free: 3, targets: 1 })
    );
    let stops = [40.0, 55.0];
    assert!(plain.solve(&[reach, projection.at_stops(&stops), strut]).is_ok());
    let winged = Question { wing: Some(WingTarget::Sweep { mm: 8.0 }), ..plain };
    assert_eq!(winged.solve(&[reach]), Err(SolveError::NotRolled));
    let rolled = Question { rolling: Some(rolling(2.0, 0.0)), ..winged };
    assert!(rolled.solve(&[centre]).is_ok());
    for off in [-3.0, 0.0, 180.0, 200.0, f64::NAN] {
        let odd = Question { bevel: Target::AtEdge(degrees(off)), ..plain };
        assert!(matches!(odd.solve(&[reach]), Err(SolveError::Refused(_))), "{off}");
    }
}

#[test]
fn every_stop_in_the_range_is_tried_and_the_eight_nearest_are_reported() {
    // Independent method: each stop evaluated by itself.
    let setting = in_holder(50.0);
    let wanted = setting.evaluate().unwrap().bevel().degrees() + 4.0;
    let question = Question { setting, bevel: Target::AtEdge(degrees(wanted)), wing: None, rolling: None };
    let stops: Vec<f64> = (0..20).map(|i| 40.0 + f64::from((i * 7) % 20) * 2.5).collect();
    for (least, most) in [(40.0, 90.0), (45.0, 80.0), (52.5, 57.5), (61.0, 62.0)] {
        let one = DegreeOfFreedom::within(Quantity::Projection, least, most).at_stops(&stops);
        let found = question.solve(&[one]).unwrap();
        let mut offs: Vec<f64> = stops
            .iter()
            .filter(|stop| (least..=most).contains(*stop))
            .filter_map(|stop| bevel_at(&setting, Quantity::Projection, *stop))
            .map(|bevel| (bevel - wanted).abs())
            .collect();
        offs.sort_by(f64::total_cmp);
        offs.truncate(8);
        let reported: Vec<f64> = found.near.iter().map(|near| near.bevel_off.degrees().abs()).collect();
        assert_eq!(reported.len(), offs.len());
        assert!(reported.iter().zip(&offs).all(|(a, b)| (a - b).abs() < 1e-9), "{reported:?} {offs:?}");
        for near in &found.near {
            let moved = (near.setting.value_of(Quantity::Projection).unwrap() - 55.0).abs();
            assert!((near.cost - moved).abs() < 1e-9);
        }
    }
    // With the reach free as well every stop has an answer or two: the cheapest first.
    let reach = DegreeOfFreedom::within(Quantity::Reach, 0.0, 400.0);
    let one = DegreeOfFreedom { weight: 3.0, ..DegreeOfFreedom::within(Quantity::Projection, 45.0, 80.0) }
        .at_stops(&stops);
    for free in [[reach, one], [one, reach]] {
        let found = question.solve(&free).unwrap();
        assert!(found.answers.len() >= 8 && found.near.is_empty() && found.short.is_empty());
        assert!(found.answers.windows(2).all(|pair| pair[0].cost <= pair[1].cost));
        for answer in &found.answers {
            let projection = answer.setting.value_of(Quantity::Projection).unwrap();
            assert!(stops.contains(&projection) && (45.0..=80.0).contains(&projection));
            let moved = (answer.setting.value_of(Quantity::Reach).unwrap() - 130.0).abs();
            assert!((answer.cost - moved - 3.0 * (projection - 55.0).abs()).abs() < 1e-9);
            assert!((answer.setting.evaluate().unwrap().bevel().degrees() - wanted).abs() < 1e-8);
        }
    }
}
