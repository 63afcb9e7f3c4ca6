//! Facets at rest on wheels whose cup stands at odd places: straight under the edge, in front of it, above it, and very
//! near. Wherever it stands the wheel cuts in nowhere and touches somewhere, point by point ("derived here").

use bevelbench_geometry::{
    DVec2,
    facet::Touch,
    math::{Angle, Quantity},
    parts::{
        AngleTravel, Arm, EdgeSection, Face, Holder, HolderSpec, Hollow, PresentFacet, Presentation, Profile,
        Travel,
    },
    side::{Setting, Support, Target},
};

fn degrees(value: f64) -> Angle {
    Angle::from_degrees(value)
}

/// A tool whose strut leads from `(30 mm, 0)` behind the edge to the cup, on a face met at a bevel.
fn setting(face: Face, height_mm: f64, strut_mm: f64, strut_angle: f64, bevel: f64) -> Option<Setting> {
    let holder = Holder::new(HolderSpec {
        hinge_setback_mm: 10.0,
        hinge_drop_mm: 0.0,
        strut_length_mm: strut_mm,
        strut_angle: AngleTravel { least: degrees(-30.0), most: degrees(180.0) },
        body_length_mm: 30.0,
        body_height_mm: 20.0,
    })
    .unwrap();
    let travel = Travel { least_mm: -2000.0, most_mm: 2000.0 };
    let setting = Setting {
        face,
        edge: EdgeSection { height_mm, under_mm: 4.0 },
        obliquity: Angle::QUARTER,
        presentation: Presentation::AxisInSidePlane,
        support: Support::Holder {
            arm: Arm::new(DVec2::ZERO, degrees(-20.0), travel).unwrap(),
            holder,
            reach_mm: 100.0,
            projection_mm: 20.0,
            strut_angle: degrees(strut_angle),
        },
    };
    let answers = setting.find(Target::AtEdge(degrees(bevel)), Quantity::Reach).ok()?;
    answers.all().map(|answer| answer.setting).last()
}

fn settings(height_mm: f64) -> Vec<(Setting, f64)> {
    let mut all = Vec::new();
    let faces = [
        Face::Round { radius_mm: 30.0 },
        Face::Round { radius_mm: 90.0 },
        Face::Flat { normal: degrees(10.0) },
    ];
    for face in faces {
        for strut_mm in [18.0, 60.0, 150.0] {
            for strut_angle in (-30..=175).step_by(15) {
                for bevel in [10.0, 25.0, 50.0, 90.0, 130.0] {
                    all.extend(
                        setting(face, height_mm, strut_mm, f64::from(strut_angle), bevel)
                            .map(|one| (one, bevel)),
                    );
                }
            }
        }
    }
    all
}

/// The least gap along a facet.
fn least_gap(setting: &Setting, facet: &PresentFacet, touch: &Touch) -> f64 {
    (0..=300)
        .map(|i| touch.gap_at_mm(setting.face, facet.point_at(f64::from(i) / 300.0)))
        .fold(f64::INFINITY, f64::min)
}

#[test]
fn wherever_the_cup_stands_the_wheel_touches_and_cuts_in_nowhere() {
    let mut seen = 0;
    for (setting, bevel) in settings(-2.0) {
        for hollow in [Hollow::Flat, Hollow::Arc { radius_mm: 25.0 }, Hollow::Arc { radius_mm: 140.0 }] {
            for off in [-8.0, -1.0, 0.5, 6.0] {
                for width in [3.0, 20.0] {
                    let Ok(facet) = PresentFacet::new(hollow, degrees(bevel + off), width) else { continue };
                    // A facet that reaches beyond the cup has no side from which the wheel comes up.
                    let (_, pivot) = setting.pivot().unwrap();
                    if pivot.distance(DVec2::new(0.0, setting.edge.height_mm)) < width {
                        continue;
                    }
                    let Ok(touch) = setting.settle(&facet) else { continue };
                    let least = least_gap(&setting, &facet, &touch);
                    assert!(
                        least > -1e-9 && least < 2e-3,
                        "{least} {hollow:?} {off} {width} {bevel} {:?} {pivot}",
                        setting.face
                    );
                    seen += 1;
                }
            }
        }
    }
    assert!(seen > 5000, "{seen}");
}

#[test]
fn wherever_the_cup_stands_of_two_facets_the_one_that_is_met_first_stops_the_tool() {
    let mut on = [0; 2];
    for (setting, bevel) in settings(-2.0).into_iter().chain(settings(9.0)).chain(settings(-14.0)) {
        let hollow = setting.face.hollow();
        for (off, turn, widths) in [
            (-3.0, 5.0, (2.0, 3.0)),
            (-3.0, 1.0, (4.0, 3.0)),
            (2.0, 4.0, (1.0, 4.0)),
            (2.0, -7.0, (3.0, 3.0)),
            (0.0, -5.0, (3.0, 6.0)),
        ] {
            let Ok(first) = PresentFacet::new(hollow, degrees(bevel + off), widths.0) else { continue };
            let second = first.at_edge() + first.half_turn() * 2.0 + degrees(turn);
            let Ok(second) = PresentFacet::new(hollow, second, widths.1) else { continue };
            let (_, pivot) = setting.pivot().unwrap();
            if pivot.distance(DVec2::new(0.0, setting.edge.height_mm)) < widths.0 + widths.1 {
                continue;
            }
            let profile = Profile::new(&[first, second]).unwrap();
            let Ok(map) = setting.ink(&profile, 0.01) else { continue };
            let least = (0..=200)
                .map(|i| {
                    let point = profile.point_at(profile.width_mm() * f64::from(i) / 200.0);
                    map.touch().gap_at_mm(setting.face, point)
                })
                .fold(f64::INFINITY, f64::min);
            assert!(
                least > -1e-7 && least < 1e-2,
                "{least} {off} {turn} {widths:?} {bevel} {:?} {pivot}",
                setting.face
            );
            on[map.rests_on()] += 1;
        }
    }
    assert!(on.iter().all(|count| *count > 50), "{on:?}");
}
