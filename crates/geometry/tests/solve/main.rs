//! Settings found for a bevel and a wing: the target comes back, and a much finer search finds nothing more.
#![allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]

mod answers_where_two_meet;
mod as_it_is;
mod family;
mod fits_and_shared_reaches;
mod out_of_reach;
mod planted;

use approx::assert_relative_eq;
use bevelbench_geometry::{
    DVec2,
    math::{Angle, Quantity},
    parts::{
        AngleTravel, Arm, Bar, EdgeSection, Face, FluteShape, Holder, HolderSpec, Presentation, Table,
        TableSpec, Travel,
    },
    side::{Setting, Support, Target},
    solve::{DegreeOfFreedom, Question, Rolling, Solution, SolveError, WingTarget},
    swept::{RollLine, Steel, Swing},
};

/// Numbers from zero to one, the same on every run.
struct Random(u64);

impl Random {
    fn next(&mut self) -> f64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 >> 11) as f64 / 2.0_f64.powi(53)
    }

    fn between(&mut self, least: f64, most: f64) -> f64 {
        least + (most - least) * self.next()
    }

    fn angle(&mut self, least: f64, most: f64) -> Angle {
        Angle::from_degrees(self.between(least, most))
    }
}

fn travel() -> AngleTravel {
    AngleTravel { least: Angle::from_degrees(0.0), most: Angle::from_degrees(90.0) }
}

fn bench(random: &mut Random, kind: usize) -> Setting {
    let arm = Arm::new(
        DVec2::new(random.between(0.0, 60.0), random.between(-180.0, -60.0)),
        random.angle(-15.0, 30.0),
        Travel { least_mm: 0.0, most_mm: random.between(200.0, 400.0) },
    )
    .unwrap();
    let support = match kind {
        0 => Support::Handle {
            arm,
            reach_mm: random.between(50.0, 350.0),
            tool_length_mm: random.between(150.0, 450.0),
        },
        1 => Support::Holder {
            arm,
            holder: Holder::new(HolderSpec {
                hinge_setback_mm: random.between(0.0, 40.0),
                hinge_drop_mm: random.between(0.0, 20.0),
                strut_length_mm: random.between(40.0, 110.0),
                strut_angle: travel(),
                body_length_mm: 40.0,
                body_height_mm: 25.0,
            })
            .unwrap(),
            reach_mm: random.between(50.0, 250.0),
            projection_mm: random.between(30.0, 100.0),
            strut_angle: random.angle(10.0, 80.0),
        },
        _ => Support::Table {
            table: Table::new(TableSpec {
                hinge_in_bench: DVec2::new(random.between(100.0, 150.0), random.between(-40.0, 30.0)),
                surface_offset_mm: random.between(0.0, 20.0),
                front_mm: 2.0,
                rear_mm: 60.0,
                tilt: AngleTravel { least: Angle::from_degrees(-40.0), most: Angle::from_degrees(70.0) },
            })
            .unwrap(),
            tilt: random.angle(-20.0, 50.0),
        },
    };
    Setting {
        face: if random.next() < 0.1 && kind == 2 {
            Face::Flat { normal: random.angle(-10.0, 30.0) }
        } else {
            Face::Round { radius_mm: random.between(60.0, 125.0) }
        },
        edge: EdgeSection { height_mm: random.between(-4.0, 3.0), under_mm: random.between(2.0, 8.0) },
        obliquity: random.angle(60.0, 90.0),
        presentation: Presentation::AxisInSidePlane,
        support,
    }
}

#[test]
fn evaluating_what_was_found_gives_the_target_back() {
    let mut random = Random(0x1234_5678_9ABC_DEF1);
    let (mut asked, mut answered, mut meant_across) = (0_u32, 0_u32, 0_u32);
    while asked < 100_000 {
        let setting = bench(&mut random, asked as usize % 3);
        asked += 1;
        let bevel = random.angle(20.0, 80.0);
        let across = random.next() < 0.5;
        let target = if across { Target::AcrossFacet(bevel) } else { Target::AtEdge(bevel) };
        let question = Question { setting, bevel: target, wing: None, rolling: None };
        let free = match setting.support {
            Support::Table { .. } => Quantity::TableTilt,
            Support::Handle { .. } => Quantity::Reach,
            Support::Holder { .. } => {
                [Quantity::Reach, Quantity::Projection, Quantity::StrutAngle][asked as usize / 3 % 3]
            }
        };
        let freedom = DegreeOfFreedom::on_travel(&setting, free)
            .unwrap_or_else(|| DegreeOfFreedom::within(free, 10.0, 200.0));
        let Ok(found) = question.solve(&[freedom]) else { continue };
        for solution in &found.answers {
            let view = solution.setting.evaluate().unwrap();
            let got = if across { view.facet.across } else { view.facet.at_edge };
            assert!((got - bevel).degrees().abs() < 1e-9, "{} {solution:?}", (got - bevel).degrees());
            answered += 1;
            meant_across += u32::from(across);
        }
    }
    assert!(answered > 30_000 && meant_across > 10_000, "{answered} {meant_across}");
}

/// A gouge on a holder with a wing to be had: what its own setting grinds is the target, so that there is an answer.
fn planted(random: &mut Random) -> Option<(Question, Setting, f64)> {
    let setting = bench(random, 1);
    let setting = Setting {
        edge: EdgeSection { height_mm: -4.0, under_mm: 4.0 },
        obliquity: Angle::QUARTER,
        ..setting
    };
    let shapes = [
        FluteShape::Power { factor: 0.25, exponent: 2.0 },
        FluteShape::Power { factor: 0.02, exponent: 3.7 },
        FluteShape::Vee { slope: 1.6, floor_radius_mm: 1.5 },
    ];
    let shape = shapes[(random.next() * 3.0) as usize % 3];
    let rolling = Rolling {
        steel: Steel::of_bar(&Bar::new(16.0, shape, -4.0).unwrap()),
        wheel_width_mm: 40.0,
        swing: Swing::to_either_side(random.angle(80.0, 120.0))?,
        roll_centre_mm: random.between(-2.0, 3.0),
        turn: if random.next() < 0.3 { random.angle(-4.0, 4.0) } else { Angle::ZERO },
    };
    let bevel = setting.evaluate().ok()?.bevel();
    if !(25.0..80.0).contains(&bevel.degrees()) {
        return None;
    }
    let mut question = Question {
        setting,
        bevel: Target::AtEdge(bevel),
        wing: Some(WingTarget::Sweep { mm: 0.0 }),
        rolling: Some(rolling),
    };
    let sweep = question.solve(&[]).ok()?.near.first()?.wing_off;
    question.wing = Some(WingTarget::Sweep { mm: sweep });
    Some((question, setting, sweep))
}

fn value(solution: &Solution, what: Quantity) -> f64 {
    solution.value_of(what).unwrap()
}

const REACH: Quantity = Quantity::Reach;
const PROJECTION: Quantity = Quantity::Projection;
const STRUT: Quantity = Quantity::StrutAngle;

fn freedoms(setting: &Setting) -> [DegreeOfFreedom<'static>; 4] {
    [
        DegreeOfFreedom::on_travel(setting, Quantity::Reach).unwrap(),
        DegreeOfFreedom::on_travel(setting, Quantity::StrutAngle).unwrap(),
        DegreeOfFreedom::within(PROJECTION, 20.0, 130.0),
        DegreeOfFreedom::within(Quantity::RollCentre, -4.0, 8.0),
    ]
}

#[test]
fn walk_a_hundred_times_finer_finds_nothing_more() {
    let mut random = Random(0xA5A5_5A5A_0F0F_F0F1);
    let (mut benches, mut roots) = (0, 0);
    while benches < 150 {
        let Some((question, setting, sweep)) = planted(&mut random) else { continue };
        benches += 1;
        let freedoms = freedoms(&setting);
        // Another sweep than the planted one half of the time: none, one or several answers.
        let mm = if benches % 2 == 0 { sweep } else { sweep * random.between(0.3, 2.0) };
        let question = Question { wing: Some(WingTarget::Sweep { mm }), ..question };
        // Roll centre and reach, strut and reach, projection and reach; strut and projection.
        for (x, y) in [(3, 0), (1, 0), (2, 0), (1, 2)] {
            let found = question.solve(&[freedoms[x], freedoms[y]]).unwrap();
            let count = 4000;
            let mut last: [Option<(f64, f64)>; 2] = [None; 2];
            for i in 0..=count {
                let at = freedoms[x].least
                    + (freedoms[x].most - freedoms[x].least) * f64::from(i) / f64::from(count);
                let mut pinned = question;
                match freedoms[x].what {
                    Quantity::RollCentre => pinned.rolling.as_mut().unwrap().roll_centre_mm = at,
                    free => pinned.setting = pinned.setting.with(free, at).unwrap(),
                }
                let free = freedoms[y].what;
                let mut now: [Option<(f64, f64)>; 2] = [None; 2];
                if let Ok(answers) = pinned.setting.find(pinned.bevel, free) {
                    let mut settable: Vec<_> = answers
                        .settable()
                        .filter(|a| a.value >= freedoms[y].least && a.value <= freedoms[y].most)
                        .collect();
                    settable.sort_by(|a, b| b.value.total_cmp(&a.value));
                    for (place, answer) in now.iter_mut().zip(settable) {
                        let there = Question { setting: answer.setting, ..pinned };
                        let off = there.solve(&[]).unwrap();
                        let off = off.answers.first().or(off.near.first()).map(|s| s.wing_off);
                        *place = off.map(|off| (answer.value, off));
                    }
                }
                for (was, is) in last.iter().zip(now) {
                    let (Some((value_was, was)), Some((value_is, is))) = (was, is) else { continue };
                    // A change of sign that is no jump, on one branch.
                    if (*was < 0.0) != (is < 0.0)
                        && (was - is).abs() < 0.5
                        && (value_was - value_is).abs() < 5.0
                    {
                        roots += 1;
                        let step = (freedoms[x].most - freedoms[x].least) / f64::from(count);
                        let near = found.answers.iter().any(|solution| {
                            let there = value(solution, freedoms[x].what);
                            there > at - 1.01 * step && there < at + 0.01 * step
                        });
                        assert!(near, "{x}{y} {at} {was} {is}: {:#?}", found.answers);
                    }
                }
                last = now;
            }
        }
    }
    assert!(roots > 150, "{roots}");
}

fn worked() -> Setting {
    // geometry.md §6: R 75, a 15, c 0, ℓ 70, h_E −4, h_A 0.
    let arm =
        Arm::new(DVec2::new(0.0, -120.0), Angle::ZERO, Travel { least_mm: 0.0, most_mm: 300.0 }).unwrap();
    let holder = Holder::new(HolderSpec {
        hinge_setback_mm: 15.0,
        hinge_drop_mm: 0.0,
        strut_length_mm: 70.0,
        strut_angle: travel(),
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
            projection_mm: 50.0,
            strut_angle: Angle::from_degrees(45.0),
        },
    }
}

fn worked_rolling() -> Rolling {
    Rolling {
        steel: Steel::of_bar(
            &Bar::new(16.0, FluteShape::Power { factor: 0.25, exponent: 2.0 }, -4.0).unwrap(),
        ),
        wheel_width_mm: 40.0,
        swing: Swing::ASSUMED,
        roll_centre_mm: 0.0,
        turn: Angle::ZERO,
    }
}

#[test]
fn same_grind_at_another_projection_is_the_worked_one() {
    // Derived: roll-line theorem, geometry.md §6: at 50 mm α = 37.6263°, D = 174.062.
    let strut = 70.0 * std::f64::consts::FRAC_1_SQRT_2;
    let line = RollLine::through(DVec2::new(75.0 + 15.0 + strut, -strut), 0.0).unwrap();
    let setting = worked();
    let question = Question {
        setting,
        bevel: Target::AtEdge(Angle::from_degrees(45.0)),
        wing: Some(WingTarget::SameLine { line }),
        rolling: Some(worked_rolling()),
    };
    let [reach, angle, ..] = freedoms(&setting);
    let found = question.solve(&[reach, angle]).unwrap();
    assert_eq!(found.answers.len(), 1, "{found:#?}");
    let answer = found.answers[0];
    assert_relative_eq!(value(&answer, STRUT), 37.6263, epsilon = 1e-4);
    let pivot = answer.setting.pivot().unwrap().0;
    assert_relative_eq!(pivot.length(), 174.062, epsilon = 1e-3);
    assert_relative_eq!(
        answer.cost,
        (value(&answer, STRUT) - 45.0).abs() + (value(&answer, REACH) - 120.0).abs(),
        epsilon = 1e-9
    );
}

#[test]
fn rests_and_stops_are_tried_one_by_one() {
    let setting = worked();
    let [reach, angle, projection, _] = freedoms(&setting);
    let bevel = Target::AcrossFacet(Angle::from_degrees(45.0));
    let question = Question { setting, bevel, wing: None, rolling: None };
    let (rests, stops) = ([20.0, 35.0, 50.0, 95.0], [40.0, 60.0]);
    let found = question.solve(&[reach, angle.at_stops(&rests), projection.at_stops(&stops)]).unwrap();
    // 95° is off the strut's travel.
    assert_eq!(found.answers.len(), 6, "{found:#?}");
    for solution in &found.answers {
        assert!(rests.iter().any(|rest| (value(solution, STRUT) - rest).abs() < 1e-9));
        assert!(stops.contains(&value(solution, PROJECTION)));
        assert_relative_eq!(solution.view.facet.across.degrees(), 45.0, epsilon = 1e-9);
    }
    // With stops alone nothing is free: the nearest comes first.
    let found = question.solve(&[angle.at_stops(&rests), projection.at_stops(&stops)]).unwrap();
    assert!(found.answers.is_empty() && !found.near.is_empty());
    assert!(found.near.windows(2).all(|pair| pair[0].bevel_off.abs() <= pair[1].bevel_off.abs()));
}

#[test]
fn an_arm_that_is_too_short_is_reported() {
    let setting = worked();
    let short =
        Arm::new(DVec2::new(0.0, -120.0), Angle::ZERO, Travel { least_mm: 0.0, most_mm: 100.0 }).unwrap();
    let Support::Holder { holder, projection_mm, strut_angle, .. } = setting.support else { unreachable!() };
    let setting = Setting {
        support: Support::Holder { arm: short, holder, reach_mm: 90.0, projection_mm, strut_angle },
        ..setting
    };
    let question =
        Question { setting, bevel: Target::AtEdge(Angle::from_degrees(45.0)), wing: None, rolling: None };
    let reach = DegreeOfFreedom::on_travel(&setting, Quantity::Reach).unwrap();
    let found = question.solve(&[reach]).unwrap();
    assert!(found.answers.is_empty());
    // D = 167.700 for 45° (geometry.md §6), so the reach is √(167.7² − 120²) = 117.15, 17.15 too far.
    assert_relative_eq!(found.short[0].wanted, 117.15, epsilon = 0.01);
    assert_relative_eq!(found.short[0].by(), 17.15, epsilon = 0.01);
    // The nearest is the arm's end.
    assert_relative_eq!(value(&found.near[0], REACH), 100.0, epsilon = 1e-9);
    assert!(found.near[0].bevel_off.degrees() < 0.0);
    // A shorter projection would do, the arm left at its end.
    let [_, strut, projection, _] = freedoms(&setting);
    let remedies = question.remedies(&[reach], &found, &[projection, strut]);
    let shorter = remedies.iter().find(|remedy| remedy.what == PROJECTION).unwrap();
    assert!(shorter.value < 50.0 && shorter.value > 20.0, "{shorter:?}");
    assert_relative_eq!(shorter.solution.setting.evaluate().unwrap().bevel().degrees(), 45.0, epsilon = 1e-9);
    assert_relative_eq!(value(&shorter.solution, REACH), 100.0);
}

#[test]
fn wing_out_of_reach_is_met_as_nearly_as_can_be() {
    let setting = worked();
    let [reach, angle, ..] = freedoms(&setting);
    let question = Question {
        setting,
        bevel: Target::AtEdge(Angle::from_degrees(45.0)),
        wing: Some(WingTarget::Sweep { mm: 60.0 }),
        rolling: Some(worked_rolling()),
    };
    let found = question.solve(&[reach, angle]).unwrap();
    assert!(found.answers.is_empty() && !found.near.is_empty());
    assert!(found.near[0].wing_off < -1.0 && found.near[0].bevel_off.degrees().abs() < 1e-9);
}

#[test]
fn questions_without_a_target_are_refused() {
    let setting = worked();
    let [reach, ..] = freedoms(&setting);
    let bevel = Target::AtEdge(Angle::from_degrees(45.0));
    let plain = Question { setting, bevel, wing: None, rolling: None };
    let wing = Question { wing: Some(WingTarget::Sweep { mm: 1.0 }), ..plain };
    assert_eq!(wing.solve(&[reach]), Err(SolveError::NotRolled));
    assert_eq!(plain.solve(&[reach, reach]), Err(SolveError::NotARange(REACH)));
    let none = DegreeOfFreedom { least: f64::NAN, ..reach };
    assert_eq!(plain.solve(&[none]), Err(SolveError::NotARange(REACH)));
    let tilt = DegreeOfFreedom::within(Quantity::TableTilt, 0.0, 10.0);
    assert_eq!(plain.solve(&[tilt]), Err(SolveError::NotARange(Quantity::TableTilt)));
    let odd = Question { bevel: Target::AtEdge(Angle::from_degrees(f64::NAN)), ..plain };
    assert!(odd.solve(&[reach]).is_err());
}
