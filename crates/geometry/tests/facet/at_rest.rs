//! A facet at rest on the wheel: it cuts in nowhere, it touches somewhere, and its support holds it, point by point; and ink
//! where it goes, and what it says.

use bevelbench_geometry::{
    DVec2,
    facet::{InkRemedy, InkSeen, InkVerdict, Pattern, Touch},
    math::{Angle, Quantity},
    parts::{
        AngleTravel, Arm, EdgeSection, Face, Holder, HolderSpec, Hollow, PresentFacet, Presentation, Profile,
        Table, TableSpec, Travel,
    },
    side::{Setting, Support, Target},
};

fn degrees(value: f64) -> Angle {
    Angle::from_degrees(value)
}

fn settings() -> Vec<Setting> {
    let arm = |x: f64, y: f64| {
        Arm::new(DVec2::new(x, y), degrees(3.0), Travel { least_mm: 0.0, most_mm: 700.0 }).unwrap()
    };
    let holder = Holder::new(HolderSpec {
        hinge_setback_mm: 14.0,
        hinge_drop_mm: 6.0,
        strut_length_mm: 72.0,
        strut_angle: AngleTravel { least: degrees(-5.0), most: degrees(115.0) },
        body_length_mm: 31.0,
        body_height_mm: 23.0,
    })
    .unwrap();
    let table = Table::new(TableSpec {
        hinge_in_bench: DVec2::new(121.0, -22.0),
        surface_offset_mm: 9.0,
        front_mm: 10.0,
        rear_mm: 63.0,
        tilt: AngleTravel { least: degrees(-25.0), most: degrees(65.0) },
    })
    .unwrap();
    let supports = [
        Support::Handle { arm: arm(11.0, -121.0), reach_mm: 437.0, tool_length_mm: 431.0 },
        Support::Handle { arm: arm(0.0, -60.0), reach_mm: 260.0, tool_length_mm: 250.0 },
        Support::Holder {
            arm: arm(18.0, -97.0),
            holder,
            reach_mm: 150.0,
            projection_mm: 61.0,
            strut_angle: degrees(43.0),
        },
        Support::Holder {
            arm: arm(18.0, -97.0),
            holder,
            reach_mm: 171.0,
            projection_mm: 77.0,
            strut_angle: degrees(21.0),
        },
        Support::Table { table, tilt: degrees(7.0) },
        Support::Table { table, tilt: degrees(25.0) },
    ];
    let faces = [
        Face::Round { radius_mm: 101.5 },
        Face::Round { radius_mm: 60.0 },
        Face::Flat { normal: degrees(20.0) },
        Face::Flat { normal: degrees(48.0) },
    ];
    let mut settings = Vec::new();
    for support in supports {
        for face in faces {
            for height_mm in [-4.5, 0.0, 3.0] {
                for (obliquity, presentation) in [
                    (Angle::QUARTER, Presentation::AxisInSidePlane),
                    (degrees(70.0), Presentation::EdgeParallelToSpindle),
                ] {
                    let edge = EdgeSection { height_mm, under_mm: 6.0 };
                    settings.push(Setting { face, edge, obliquity, presentation, support });
                }
            }
        }
    }
    settings
}

const HOLLOWS: [Hollow; 5] = [
    Hollow::Flat,
    Hollow::Arc { radius_mm: 45.0 },
    Hollow::Arc { radius_mm: 60.0 },
    Hollow::Arc { radius_mm: 101.5 },
    Hollow::Arc { radius_mm: 160.0 },
];

/// How far a touch is from what the support allows, in millimetres.
fn off_support(setting: &Setting, touch: &Touch) -> f64 {
    let centre = touch.wheel_from_edge;
    match (setting.pivot(), touch.flat_normal, setting.face) {
        (Some((in_bench, in_tool)), normal, face) => {
            let pivot = in_tool - DVec2::new(0.0, setting.edge.height_mm);
            match (normal, face) {
                (Some(normal), Face::Flat { normal: in_the_bench }) => {
                    (pivot - centre).dot(normal) - in_bench.dot(in_the_bench.direction())
                }
                _ => (pivot - centre).length() - in_bench.length(),
            }
        }
        (None, None, _) => {
            let Support::Table { table, tilt } = setting.support else { panic!() };
            centre.y + setting.edge.under_mm + table.plane_from_centre_mm(tilt)
        }
        (None, Some(normal), Face::Flat { normal: in_the_bench }) => {
            let Support::Table { tilt, .. } = setting.support else { panic!() };
            (normal - (in_the_bench - tilt).direction()).length()
        }
        _ => panic!(),
    }
}

#[test]
fn a_facet_at_rest_touches_somewhere_and_cuts_in_nowhere() {
    let mut patterns = [0; 5];
    for setting in settings() {
        let Ok(view) = setting.evaluate_off_travel() else { continue };
        for hollow in HOLLOWS {
            for off in [-11.0, -3.0, -0.6, 0.0, 0.3, 2.0, 9.0] {
                for width in [2.5, 6.0, 14.0] {
                    let Ok(facet) = PresentFacet::new(hollow, view.bevel() + degrees(off), width) else {
                        continue;
                    };
                    let touch = setting.settle(&facet).unwrap();
                    let gaps: Vec<f64> = (0..=400)
                        .map(|i| touch.gap_at_mm(setting.face, facet.point_at(f64::from(i) / 400.0)))
                        .collect();
                    let least = gaps.iter().copied().fold(f64::INFINITY, f64::min);
                    let what = format!("{setting:?} {facet:?} {touch:?}");
                    assert!(least > -1e-9 && least < 1e-3, "{least} {what}");
                    assert!(off_support(&setting, &touch).abs() < 1e-8, "{what}");
                    for (reported, gap) in [
                        (touch.edge_gap_mm, gaps[0]),
                        (touch.middle_gap_mm, gaps[200]),
                        (touch.heel_gap_mm, gaps[400]),
                    ] {
                        assert!((reported - gap).abs() < 1e-9 && reported >= 0.0);
                    }
                    patterns[touch.pattern(0.01) as usize] += 1;
                }
            }
        }
    }
    assert!(patterns.iter().all(|count| *count > 20), "{patterns:?}");
}

#[test]
fn several_facets_rest_on_the_one_that_lets_none_cut_in() {
    let (mut on_first, mut on_second) = (0, 0);
    for setting in settings() {
        let Ok(view) = setting.evaluate_off_travel() else { continue };
        let hollow = setting.face.hollow();
        for first_off in (-12..=12).map(|i| 0.35 * f64::from(i)) {
            for (turn, widths) in [(1.5, (3.0, 4.0)), (6.0, (1.0, 6.0)), (-2.0, (4.0, 2.0))] {
                let one = PresentFacet::new(hollow, view.bevel() + degrees(first_off), widths.0);
                let Ok(one) = one else { continue };
                let heel = one.at_edge() + one.half_turn() * 2.0;
                let Ok(two) = PresentFacet::new(hollow, heel + degrees(turn), widths.1) else { continue };
                let profile = Profile::new(&[one, two]).unwrap();
                let film = 0.01;
                let map = setting.ink(&profile, film).unwrap();
                let steps = 700;
                let gaps: Vec<f64> = (0..=steps)
                    .map(|i| map.gap_at_mm(profile.width_mm() * f64::from(i) / f64::from(steps)))
                    .collect();
                let least = gaps.iter().copied().fold(f64::INFINITY, f64::min);
                let raw = (0..=steps)
                    .map(|i| {
                        let at = profile.point_at(profile.width_mm() * f64::from(i) / f64::from(steps));
                        map.touch().gap_at_mm(setting.face, at)
                    })
                    .fold(f64::INFINITY, f64::min);
                let what = format!("{setting:?} {profile:?} {raw}");
                assert!(least < 1e-3 && raw > -1e-7 && raw < 1e-3, "{what}");
                // Ink wherever the gap is less than the film.
                let inked = gaps.iter().filter(|gap| **gap <= film).count() as f64 / f64::from(steps + 1)
                    * profile.width_mm();
                assert!((map.inked_mm() - inked).abs() < 0.05, "{inked} {} {what}", map.inked_mm());
                on_first += i32::from(map.rests_on() == 0);
                on_second += i32::from(map.rests_on() == 1);
            }
        }
    }
    assert!(on_first > 50 && on_second > 50, "{on_first} {on_second}");
}

#[test]
fn ink_that_a_known_facet_would_leave_tells_that_facet() {
    // Planted and read again: a facet of this wheel's hollow, off by an angle.
    let (mut read, mut mended) = (0, 0);
    for setting in settings().into_iter().step_by(2) {
        let Ok(view) = setting.evaluate() else { continue };
        let hollow = setting.face.hollow();
        let free = if setting.pivot().is_some() { Quantity::Reach } else { Quantity::TableTilt };
        for off in [-8.0, -3.0, -1.5, 1.5, 3.0, 8.0] {
            let Ok(facet) = PresentFacet::new(hollow, view.bevel() + degrees(off), 6.0) else { continue };
            let map = setting.ink(&facet.into(), 0.01).unwrap();
            let seen = InkSeen {
                pattern: map.pattern(),
                rubbed_mm: map.inked_mm(),
                facet_mm: 6.0,
                hollow: None,
                film_mm: 0.01,
            };
            let reading = setting.read_ink(&seen, degrees(1.0), free).unwrap();
            match reading.verdict {
                InkVerdict::SettingKeener { by } => {
                    assert!(off > 0.0 && seen.pattern == Pattern::Heel);
                    assert!((by.degrees() - off).abs() < 1e-4, "{by:?} {off}");
                }
                InkVerdict::SettingBlunter { by } => {
                    assert!(off < 0.0 && seen.pattern == Pattern::Edge);
                    assert!((by.degrees() + off).abs() < 1e-4, "{by:?} {off}");
                }
                other => panic!("{other:?} {seen:?} {off}"),
            }
            assert!((reading.facet_bevel.unwrap() - facet.at_edge()).degrees().abs() < 1e-4);
            read += 1;
            let present = setting.value_of(free).unwrap();
            if let Some(remedy) = reading.remedy.as_ref().and_then(InkRemedy::to_move) {
                assert!((remedy.by - (remedy.value - present)).abs() < 1e-9);
                // It grinds the facet's own bevel, and no other answer is nearer.
                let there = setting.with(free, remedy.value).unwrap().evaluate_off_travel().unwrap();
                assert!((there.bevel() - facet.at_edge()).degrees().abs() < 1e-3);
                let all = setting.find(Target::AtEdge(facet.at_edge()), free).unwrap();
                let least = all.all().map(|a| (a.value - present).abs()).fold(f64::INFINITY, f64::min);
                assert!((remedy.by.abs() - least).abs() < 1e-2, "{remedy:?} {least}");
                mended += 1;
            }
        }
    }
    assert!(read > 100 && mended > 80, "{read} {mended}");
}

#[test]
fn of_two_remedies_the_smaller_move_is_chosen() {
    // A cup that passes under the wheel meets each bevel before and behind the wheel's middle, at a reach of 143.
    for reach_mm in [100.0, 125.0, 160.0, 190.0] {
        let travel = Travel { least_mm: 0.0, most_mm: 400.0 };
        let arm = Arm::new(DVec2::new(-143.0, -215.0), Angle::ZERO, travel).unwrap();
        let setting = Setting {
            face: Face::Round { radius_mm: 75.0 },
            edge: EdgeSection { height_mm: -3.0, under_mm: 4.0 },
            obliquity: Angle::QUARTER,
            presentation: Presentation::AxisInSidePlane,
            support: Support::Handle { arm, reach_mm, tool_length_mm: 180.0 },
        };
        let view = setting.evaluate().unwrap();
        let facet = PresentFacet::new(setting.face.hollow(), view.bevel() + degrees(2.5), 6.0).unwrap();
        let map = setting.ink(&facet.into(), 0.01).unwrap();
        let seen = InkSeen {
            pattern: map.pattern(),
            rubbed_mm: map.inked_mm(),
            facet_mm: 6.0,
            hollow: None,
            film_mm: 0.01,
        };
        let remedy = setting.read_ink(&seen, degrees(1.0), Quantity::Reach).unwrap().remedy.unwrap();
        let remedy = *remedy.to_move().unwrap();
        assert!((remedy.value - 143.0).signum() == (reach_mm - 143.0).signum(), "{remedy:?}");
        assert!((remedy.value - 143.0).abs() > (reach_mm - 143.0).abs());
    }
}

#[test]
fn ink_at_the_edge_tells_of_every_keener_facet_that_can_be() {
    // Down to facets so keen that hardly a bevel is left, on settings of many bevels.
    let mut read = 0;
    for reach_mm in (150..400).step_by(10) {
        let arm = Arm::new(DVec2::new(20.0, -110.0), Angle::ZERO, Travel { least_mm: 0.0, most_mm: 500.0 });
        let setting = Setting {
            face: Face::Round { radius_mm: 75.0 },
            edge: EdgeSection { height_mm: -4.0, under_mm: 4.0 },
            obliquity: Angle::QUARTER,
            presentation: Presentation::EdgeParallelToSpindle,
            support: Support::Handle {
                arm: arm.unwrap(),
                reach_mm: f64::from(reach_mm),
                tool_length_mm: 300.0,
            },
        };
        let Ok(view) = setting.evaluate() else { continue };
        for off in 1..20 {
            let off = -1.7 * f64::from(off);
            let Ok(facet) = PresentFacet::new(setting.face.hollow(), view.bevel() + degrees(off), 5.0) else {
                continue;
            };
            let map = setting.ink(&facet.into(), 0.01).unwrap();
            if map.pattern() != Pattern::Edge {
                continue;
            }
            let seen = InkSeen {
                pattern: Pattern::Edge,
                rubbed_mm: map.inked_mm(),
                facet_mm: 5.0,
                hollow: None,
                film_mm: 0.01,
            };
            let reading = setting.read_ink(&seen, degrees(1.0), Quantity::Reach).unwrap();
            let reported = reading.facet_bevel.map(Angle::degrees);
            let is = facet.at_edge().degrees();
            assert!(
                reported.is_some_and(|reported| (reported - is).abs() < 1e-3),
                "{is} told as {reported:?}, {reading:?}"
            );
            read += 1;
        }
    }
    assert!(read > 60, "{read}");
}
