//! Noses that the rest of the swing cuts off.

use bevelbench_geometry::{
    DVec2,
    math::{Angle, Quantity},
    parts::{
        Abrasive, AngleTravel, Arm, Bar, Blank, Face, FluteShape, Grinder, Holder, HolderSpec, Presentation,
        Tool, Travel, Wheel, WheelSpec,
    },
    side::{Caution, HandRoll, Job, Refusal, Setting, Support, Target},
    solve::{DegreeOfFreedom, Question, Rolling},
    swept::{Edge, EdgeSummary, GrindingFace, GroundBy, GroundSurface, Nose, RollLine, Rolled, Steel, Swing},
};

fn degrees(x: f64) -> Angle {
    Angle::from_degrees(x)
}

fn bar() -> Bar {
    Bar::new(13.0, FluteShape::Circle { radius_mm: 7.5 }, -1.5).unwrap()
}

/// A long strut on a wheel of 200 mm, a gouge of 13 mm, the reach found for a bevel at the edge.
fn job(projection_mm: f64, strut: f64, bevel: f64, half_swing: f64) -> Job {
    let tool = Tool::new(Blank::Bar(bar()), 420.0, 190.0, None).unwrap();
    let wheel = Wheel::new(WheelSpec {
        diameter_mm: 200.0,
        diameter_new_mm: 200.0,
        diameter_least_mm: 120.0,
        width_mm: 40.0,
        abrasive: Abrasive::Superabrasive,
        marked_speed_m_s: Some(50.0),
        face_slope: Angle::ZERO,
    })
    .unwrap();
    let holder = HolderSpec {
        hinge_setback_mm: 20.0,
        hinge_drop_mm: 6.0,
        strut_length_mm: 75.0,
        strut_angle: AngleTravel { least: degrees(15.0), most: degrees(90.0) },
        body_length_mm: 45.0,
        body_height_mm: 28.0,
    };
    let arm = Arm::new(DVec2::new(20.0, -95.0), Angle::ZERO, Travel { least_mm: 0.0, most_mm: 620.0 });
    let setting = Setting {
        face: Face::Round { radius_mm: 100.0 },
        edge: tool.edge_section(),
        obliquity: Angle::QUARTER,
        presentation: Presentation::EdgeParallelToSpindle,
        support: Support::Holder {
            arm: arm.unwrap(),
            holder: Holder::new(holder).unwrap(),
            reach_mm: 80.0,
            projection_mm,
            strut_angle: degrees(strut),
        },
    };
    let found = setting.find(Target::AtEdge(degrees(bevel)), Quantity::Reach).unwrap();
    let setting = setting.with(Quantity::Reach, found.nearest(80.0).unwrap().value).unwrap();
    Job {
        setting,
        wheel,
        grinder: Grinder::new(1450.0, 220.0, 240.0).unwrap(),
        tool,
        rest_gap_most_mm: 3.0,
        roll: Some(HandRoll { centre_mm: 0.0, half_swing: degrees(half_swing), turn: Angle::ZERO }),
    }
}

fn rolled(job: &Job) -> Rolled {
    let (_, pivot) = job.setting.pivot().unwrap();
    let roll = job.roll.unwrap();
    Rolled {
        line: RollLine::through(pivot, roll.centre_mm).unwrap(),
        bevel: job.setting.evaluate().unwrap().bevel(),
        edge_height_mm: job.setting.edge.height_mm,
        abrasive: GrindingFace::Wheel { radius_mm: 100.0, width_mm: 40.0 },
        swing: Swing::to_either_side(roll.half_swing).unwrap(),
        turn: roll.turn,
    }
}

/// The station of the edge at the middle by 721 wheels of 40 mm stood from one end of the swing to the other.
///
/// Derived here: a place is turned about the roll line, its distance from the wheel's axis and its mid-plane taken.
fn middle_by_posed_wheels(job: &Job) -> f64 {
    let grind = rolled(job);
    let (line, half) = (grind.line, grind.swing.half().radians());
    let along = line.along_in_tool();
    let normal = DVec2::new(grind.bevel.sin(), grind.bevel.cos());
    let nose = DVec2::new(0.0, grind.edge_height_mm);
    let centre = nose - 100.0 * normal;
    let taken = |s: f64| {
        let leg = DVec2::new(s, grind.edge_height_mm) - line.centre_in_tool();
        let (u, a) = (leg.dot(along), leg.perp_dot(along));
        (0..=720).any(|i| {
            let (sin, cos) = (half * (f64::from(i) / 360.0 - 1.0)).sin_cos();
            let place = line.centre_in_tool() + u * along - a * cos * along.perp();
            place.distance(centre) < 100.0 && (a * sin).abs() < 20.0
        })
    };
    // From the handle: the first twentieth that is taken.
    (0..1200).map(|i| 60.0 - 0.05 * f64::from(i)).find(|s| taken(*s)).unwrap_or(0.0)
}

#[test]
fn a_bevel_keener_than_the_roll_line_loses_its_nose() {
    let job = job(65.0, 90.0, 35.0, 90.0);
    let view = job.evaluate().unwrap();
    let gone = job.nose_gone(&view).unwrap();
    let posed = middle_by_posed_wheels(&job);
    assert!((gone.back_mm - posed).abs() < 0.06, "{} {posed}", gone.back_mm);
    // As measured on a model of posed cylinders: 25 mm back, with a wedge of 91°.
    assert!((gone.back_mm - 25.0).abs() < 0.6 && (gone.wedge.degrees() - 91.0).abs() < 1.0, "{gone:?}");
    assert!(matches!(job.cautions(&view)[0], Caution::NoseGone(_)));
    assert!(matches!(job.evaluate_to_offer(), Err(Refusal::NoseGone(_))));
    let surface = GroundSurface::rolled(&rolled(&job)).unwrap();
    let edge = Edge::trace(&surface, &Steel::of_bar(&bar()), 201);
    let summary = EdgeSummary::of(&edge, &surface, &Steel::of_bar(&bar())).unwrap();
    assert_eq!((summary.nose, summary.nose_radius_mm), (Nose::Gone, None));
}

/// Many plausible settings: what is said of the nose against posed wheels, both ways.
#[test]
fn a_nose_is_said_to_be_gone_where_posed_wheels_take_it() {
    let (mut lost, mut kept) = (0, 0);
    for projection in [40.0, 55.0, 70.0] {
        for strut in [60.0, 80.0, 90.0] {
            for bevel in [25.0, 30.0, 35.0, 45.0] {
                for half in [30.0, 75.0, 90.0] {
                    let job = job(projection, strut, bevel, half);
                    let Ok(view) = job.setting.evaluate() else { continue };
                    // A sliver in the middle stands where it stood.
                    let gone = job.nose_gone(&view).filter(|gone| gone.sliver_mm.is_none());
                    let back = gone.map_or(0.0, |gone| gone.back_mm);
                    let posed = middle_by_posed_wheels(&job);
                    assert!(
                        (back - posed).abs() < 0.3,
                        "{projection} {strut} {bevel} {half}: {back} {posed}"
                    );
                    *if back > 0.0 { &mut lost } else { &mut kept } += 1;
                }
            }
        }
    }
    assert!(lost > 8 && kept > 20, "{lost} {kept}");
}

#[test]
fn each_remedy_saves_the_nose_and_a_little_less_of_it_does_not() {
    let mut tried = [0; 4];
    for (projection, strut, bevel, half) in [
        (65.0, 90.0, 35.0, 90.0),
        (60.0, 90.0, 40.0, 80.0),
        (60.0, 75.0, 30.0, 80.0),
        (50.0, 75.0, 30.0, 80.0),
    ] {
        let lost = job(projection, strut, bevel, half);
        let Some(gone) = lost.nose_gone(&lost.setting.evaluate().unwrap()) else { continue };
        let remedies = gone.remedies;
        let stays = |job: &Job| job.nose_gone(&job.setting.evaluate().unwrap()).is_none();
        let roll = lost.roll.unwrap();
        if let Some(swing) = remedies.half_swing {
            tried[0] += 1;
            assert!(stays(&job(projection, strut, bevel, swing.degrees())));
            assert!(!stays(&job(projection, strut, bevel, swing.degrees() + 0.2)), "{gone:?}");
        }
        if let Some(blunter) = remedies.bevel {
            tried[1] += 1;
            assert!(stays(&job(projection, strut, blunter.degrees(), half)));
            assert!(!stays(&job(projection, strut, blunter.degrees() - 0.2, half)), "{gone:?}");
        }
        if let Some(angle) = remedies.strut_angle {
            tried[2] += 1;
            let towards = (strut - angle.degrees()).signum();
            assert!(stays(&job(projection, angle.degrees(), bevel, half)));
            assert!(!stays(&job(projection, angle.degrees() + 0.2 * towards, bevel, half)), "{gone:?}");
        }
        if let Some(centre_mm) = remedies.roll_centre_mm {
            tried[3] += 1;
            let with = |centre_mm| Job { roll: Some(HandRoll { centre_mm, ..roll }), ..lost };
            assert!(stays(&with(centre_mm)));
            assert!(!stays(&with(centre_mm - 0.2 * centre_mm.signum())), "{gone:?}");
        }
    }
    assert!(tried[0] > 1 && tried[1] > 1 && tried[2] > 1, "{tried:?}");
}

#[test]
fn a_setting_whose_nose_goes_is_no_answer_to_a_question() {
    for (bevel, survives) in [(35.0, false), (70.0, true)] {
        let job = job(65.0, 90.0, bevel, 90.0);
        let rolling = Rolling {
            steel: Steel::of_bar(&bar()),
            wheel_width_mm: 40.0,
            swing: Swing::ASSUMED,
            roll_centre_mm: 0.0,
            turn: Angle::ZERO,
        };
        let question = Question {
            setting: job.setting,
            bevel: Target::AtEdge(degrees(bevel)),
            wing: None,
            rolling: Some(rolling),
        };
        let freedom = DegreeOfFreedom::within(Quantity::Reach, 0.0, 620.0);
        let found = question.solve(&[freedom]).unwrap();
        assert_eq!((!found.answers.is_empty(), found.nose_gone.is_empty()), (survives, survives), "{bevel}");
    }
}

#[test]
fn a_narrow_wheel_and_a_short_swing_leave_wings_unground() {
    let narrow = |half: f64, width_mm: f64| {
        let mut job = job(60.0, 45.0, 45.0, half);
        job.wheel = Wheel::new(WheelSpec { width_mm, ..*job.wheel.spec() }).unwrap();
        job
    };
    let job = narrow(45.0, 3.0);
    let view = job.setting.evaluate().unwrap();
    let missed = job.not_ground(&view).unwrap();
    assert!((missed.minus_mm - missed.plus_mm).abs() < 1e-6 && missed.fraction > 0.1, "{missed:?}");
    assert!(job.cautions(&view).iter().any(|caution| matches!(caution, Caution::EdgeNotGround(_))));
    // Read place by place: what no rim leaves, nor a side's step in its stead.
    let surface = GroundSurface::rolled(&Rolled {
        abrasive: GrindingFace::Wheel { radius_mm: 100.0, width_mm: 3.0 },
        ..rolled(&job)
    })
    .unwrap();
    let steel = Steel::of_bar(&bar());
    let walls: Vec<DVec2> = (0..=40_000).map(|i| steel.wall_at(f64::from(i) / 40_000.0)).collect();
    let unground = walls
        .windows(2)
        .filter(|pair| {
            let hit = surface.start_of_steel(pair[1].x, pair[1].y);
            hit.is_none_or(|hit| matches!(hit.face, GroundBy::WheelSide { .. }))
        })
        .map(|pair| pair[0].distance(pair[1]))
        .sum::<f64>();
    assert!((missed.plus_mm - unground).abs() < 2e-3, "{missed:?} {unground}");
    assert!(narrow(90.0, 40.0).not_ground(&view).is_none());
}
