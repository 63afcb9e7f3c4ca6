//! Anything may come in: nothing panics, and no number that comes out is not a number or infinite.

use bevelbench_geometry::{
    DVec2,
    facet::Touch,
    math::{Angle, Quantity},
    parts::{
        Abrasive, Arm, Bar, Bevels, Blank, EdgeSection, Face, FlatKind, FlatStock, FluteShape, Grinder,
        Holder, HolderSpec, Hollow, Plan, PresentFacet, Presentation, Section, Table, TableSpec, Tool,
        Travel, WIDEST_REST_GAP_MM, Wheel, WheelSpec,
    },
    side::{Answers, Facet, Job, Refusal, Seat, Setting, SideView, Support, Target},
};

use crate::random::{Random, angle_travel, bench};

const FREES: [Quantity; 6] = [
    Quantity::Reach,
    Quantity::Projection,
    Quantity::StrutAngle,
    Quantity::ToolLength,
    Quantity::TableTilt,
    Quantity::WheelDiameter,
];

/// Numbers that break things.
const NASTY: [f64; 28] = [
    f64::NAN,
    f64::INFINITY,
    f64::NEG_INFINITY,
    f64::MAX,
    f64::MIN,
    1e308,
    -1e308,
    1e200,
    1e154,
    f64::MIN_POSITIVE,
    5e-324,
    -5e-324,
    1e-300,
    0.0,
    -0.0,
    1e-6,
    1e-6 - 1e-17,
    f64::EPSILON,
    10_000.0,
    -10_000.0,
    10_000.000_000_1,
    90.0,
    -90.0,
    180.0,
    -180.0,
    360.0,
    75.0,
    1e17,
];

/// A nasty number one time in `odds`, else one of the range.
fn poisoned(r: &mut Random, odds: usize, least: f64, most: f64) -> f64 {
    if r.below(odds) == 0 { NASTY[r.below(NASTY.len())] } else { r.between(least, most) }
}

/// As [`poisoned`], in degrees, and now and then in radians.
fn turned(r: &mut Random, odds: usize, least: f64, most: f64) -> Angle {
    let value = poisoned(r, odds, least, most);
    if r.below(16) == 0 { Angle::from_radians(value) } else { Angle::from_degrees(value) }
}

fn wild_support(r: &mut Random, odds: usize) -> Support {
    let travel = Travel { least_mm: poisoned(r, odds, -50.0, 0.0), most_mm: poisoned(r, odds, 100.0, 400.0) };
    let zero = DVec2::new(poisoned(r, odds, 0.0, 80.0), poisoned(r, odds, -200.0, 20.0));
    // Refused parts are replaced, so that wild values meet sound parts too.
    let arm = Arm::new(zero, turned(r, odds, -20.0, 40.0), travel).ok();
    let sound = bench(r).support;
    match sound {
        Support::Handle { arm: spare, .. } => Support::Handle {
            arm: arm.unwrap_or(spare),
            reach_mm: poisoned(r, odds, 0.0, 500.0),
            tool_length_mm: poisoned(r, odds, 100.0, 600.0),
        },
        Support::Holder { arm: spare, holder, .. } => {
            let spec = HolderSpec {
                hinge_setback_mm: poisoned(r, odds, 0.0, 30.0),
                hinge_drop_mm: poisoned(r, odds, -10.0, 20.0),
                strut_length_mm: poisoned(r, odds, 0.0, 130.0),
                strut_angle: angle_travel(poisoned(r, odds, -30.0, 20.0), poisoned(r, odds, 90.0, 180.0)),
                body_length_mm: poisoned(r, odds, 5.0, 50.0),
                body_height_mm: poisoned(r, odds, 5.0, 50.0),
            };
            Support::Holder {
                arm: arm.unwrap_or(spare),
                holder: Holder::new(spec).unwrap_or(holder),
                reach_mm: poisoned(r, odds, 0.0, 300.0),
                projection_mm: poisoned(r, odds, 20.0, 100.0),
                strut_angle: turned(r, odds, 15.0, 90.0),
            }
        }
        Support::Table { table, .. } => {
            let spec = TableSpec {
                hinge_in_bench: DVec2::new(poisoned(r, odds, 60.0, 200.0), poisoned(r, odds, -60.0, 60.0)),
                surface_offset_mm: poisoned(r, odds, 0.0, 30.0),
                front_mm: poisoned(r, odds, 0.0, 60.0),
                rear_mm: poisoned(r, odds, 20.0, 100.0),
                tilt: angle_travel(poisoned(r, odds, -45.0, 0.0), poisoned(r, odds, 0.0, 70.0)),
            };
            Support::Table { table: Table::new(spec).unwrap_or(table), tilt: turned(r, odds, -45.0, 70.0) }
        }
    }
}

fn wild_setting(r: &mut Random, odds: usize) -> Setting {
    let face = if r.below(4) == 0 {
        Face::Flat { normal: turned(r, odds, -40.0, 95.0) }
    } else {
        Face::Round { radius_mm: poisoned(r, odds, 30.0, 150.0) }
    };
    Setting {
        face,
        edge: EdgeSection { height_mm: poisoned(r, odds, -9.0, 9.0), under_mm: poisoned(r, odds, 0.5, 14.0) },
        obliquity: if r.below(2) == 0 { Angle::QUARTER } else { turned(r, odds, 0.0, 95.0) },
        presentation: if r.below(3) == 0 {
            Presentation::AxisInSidePlane
        } else {
            Presentation::EdgeParallelToSpindle
        },
        support: wild_support(r, odds),
    }
}

fn wild_blank(r: &mut Random, odds: usize) -> Option<Blank> {
    let bevels = match r.below(3) {
        0 => Bevels::One,
        1 => Bevels::Alike,
        _ => {
            Bevels::Unlike { other: turned(r, odds, 5.0, 60.0), edge_height_mm: poisoned(r, odds, -3.0, 3.0) }
        }
    };
    let plan = if r.below(2) == 0 {
        Plan::Straight
    } else {
        Plan::Round { radius_mm: poisoned(r, odds, 5.0, 50.0) }
    };
    let kind = match r.below(9) {
        0 => FlatKind::Skew {
            obliquity: turned(r, odds, 10.0, 90.0),
            edge_radius_mm: (r.below(2) == 0).then(|| poisoned(r, odds, 20.0, 200.0)),
            bevels,
        },
        1 => FlatKind::Parting { bevels },
        2 => FlatKind::Beading { bevels },
        3 => FlatKind::Scraper { plan },
        4 => FlatKind::NegativeRake {
            plan,
            upper: turned(r, odds, 0.0, 60.0),
            drop_mm: poisoned(r, odds, 0.0, 3.0),
        },
        _ => {
            let shape = match r.below(3) {
                0 => FluteShape::Power {
                    factor: poisoned(r, odds, 0.05, 0.5),
                    exponent: poisoned(r, odds, 2.0, 8.0),
                },
                1 => FluteShape::Vee {
                    slope: poisoned(r, odds, 0.3, 3.0),
                    floor_radius_mm: poisoned(r, odds, 0.0, 3.0),
                },
                _ => FluteShape::Circle { radius_mm: poisoned(r, odds, 3.0, 12.0) },
            };
            let diameter = poisoned(r, odds, 6.0, 25.0);
            let floor = poisoned(r, odds, -4.0, 0.0);
            return Bar::cut_off(diameter, shape, floor, poisoned(r, odds, 1.0, 13.0)).ok().map(Blank::Bar);
        }
    };
    let width = poisoned(r, odds, 5.0, 40.0);
    let thickness = poisoned(r, odds, 3.0, 10.0);
    FlatStock::new(width, thickness, Section::Rectangular, kind).ok().map(Blank::Flat)
}

fn wild_facet(r: &mut Random, odds: usize) -> Option<PresentFacet> {
    let hollow = if r.below(3) == 0 {
        Hollow::Flat
    } else {
        Hollow::Arc { radius_mm: poisoned(r, odds, 30.0, 150.0) }
    };
    PresentFacet::new(hollow, turned(r, odds, 10.0, 90.0), poisoned(r, odds, 0.5, 20.0)).ok()
}

fn facet_is_finite(facet: &Facet) -> bool {
    facet.at_edge.is_finite()
        && facet.across.is_finite()
        && facet.at_heel.is_finite()
        && facet.width_mm.is_finite()
        && facet.hollow_mm.is_finite()
        && facet.heel_from_edge.is_finite()
}

fn view_is_finite(view: &SideView) -> bool {
    let seat = match view.seat {
        Seat::Pivot { in_bench, in_tool, from_centre_mm, from_edge_mm, gauge_length_mm } => {
            in_bench.is_finite()
                && in_tool.is_finite()
                && (from_centre_mm + from_edge_mm + gauge_length_mm).is_finite()
        }
        Seat::Plane { from_centre_mm, edge_above_mm, rest_gap_mm } => {
            (from_centre_mm + edge_above_mm + rest_gap_mm).is_finite()
        }
    };
    let slopes = [
        view.slopes.reach,
        view.slopes.projection,
        view.slopes.strut_angle,
        view.slopes.wheel_diameter,
        view.slopes.wheel_diameter_at_gauge,
        view.slopes.tool_length,
        view.slopes.table_tilt,
    ];
    seat && facet_is_finite(&view.facet)
        && view.bevel() > Angle::ZERO
        && view.bevel() < Angle::HALF
        && view.contact_in_bench.is_finite()
        && view.handle_angle.is_finite()
        && view.edge_height_mm.is_finite()
        && view.heel_in_bench().is_finite()
        && slopes.into_iter().flatten().all(f64::is_finite)
}

/// A refusal over bad input may carry the bad value; any other carries numbers.
fn refusal_is_finite(refusal: &Refusal) -> bool {
    matches!(refusal, Refusal::DimensionError(_))
        || refusal.numbers().iter().all(|(_, value)| value.is_finite())
}

fn touch_is_finite(touch: &Touch) -> bool {
    [touch.edge_gap_mm, touch.middle_gap_mm, touch.heel_gap_mm]
        .iter()
        .all(|gap| gap.is_finite() && *gap >= 0.0)
        && touch.wheel_from_edge.is_finite()
        && touch.flat_normal.is_none_or(DVec2::is_finite)
}

fn answers_are_finite(answers: &Answers) -> bool {
    answers.all().all(|answer| {
        answer.value.is_finite()
            && view_is_finite(&answer.view)
            && answer.off_travel.as_ref().is_none_or(refusal_is_finite)
    })
}

fn check(result: &Result<SideView, Refusal>, setting: &Setting) -> bool {
    match result {
        Ok(view) => {
            assert!(view_is_finite(view), "{view:?}: {setting:?}");
            true
        }
        Err(refusal) => {
            assert!(refusal_is_finite(refusal), "{refusal:?}: {setting:?}");
            false
        }
    }
}

/// A million settings with anything in any place, forward.
#[test]
fn random_settings_evaluate_to_finite_numbers_or_a_refusal() {
    let mut r = Random::new(41);
    let (mut answers, mut settled) = (0, 0);
    for i in 0..1_000_000 {
        // From hardly poisoned to thoroughly.
        let odds = [120, 40, 12, 3][i % 4];
        let setting = wild_setting(&mut r, odds);
        answers += usize::from(check(&setting.evaluate_off_travel(), &setting));
        check(&setting.evaluate(), &setting);
        if i % 4 < 2
            && let Some(facet) = wild_facet(&mut r, odds)
        {
            if let Ok(touch) = setting.settle(&facet) {
                assert!(touch_is_finite(&touch), "{touch:?} {facet:?}: {setting:?}");
                settled += 1;
            }
            if let Some(to_move) = setting.clean_move(&facet, Quantity::Reach) {
                assert!(to_move.by.is_finite(), "{facet:?}: {setting:?}");
            }
        }
        assert!(setting.pivot().is_none_or(|(bench, tool)| bench.is_finite() && tool.is_finite()));
    }
    assert!(answers > 150_000 && settled > 50_000, "{answers} {settled}");
}

/// The same backwards: every free input, both meanings of a target, good and bad.
#[test]
fn random_targets_invert_to_finite_numbers_or_a_refusal() {
    let mut r = Random::new(42);
    let (mut asked, mut answered) = (0, 0);
    for i in 0..150_000 {
        let odds = [120, 40, 12, 3][i % 4];
        let setting = wild_setting(&mut r, odds);
        let angle = turned(&mut r, 8, 1.0, 170.0);
        for free in FREES {
            for target in [Target::AtEdge(angle), Target::AcrossFacet(angle)] {
                asked += 1;
                match setting.find(target, free) {
                    Ok(found) => {
                        assert!(answers_are_finite(&found), "{found:?} {free:?} {target:?}: {setting:?}");
                        assert!(found.nearest(f64::NAN).is_none_or(|answer| answer.value.is_finite()));
                        answered += found.all().count();
                    }
                    // A target that is no number comes back as it is.
                    Err(Refusal::BevelOutOfRange { .. }) => {}
                    Err(refusal) => {
                        assert!(refusal_is_finite(&refusal), "{refusal:?} {target:?}: {setting:?}");
                    }
                }
            }
        }
    }
    assert!(asked >= 1_000_000 && answered > 100_000, "{asked} {answered}");
}

/// Whole jobs, with wheels, grinders, blanks and tools of anything.
#[test]
fn random_benches_make_a_job_or_a_refusal() {
    let mut r = Random::new(43);
    let (mut made, mut stands) = (0, 0);
    for i in 0..200_000 {
        let odds = [120, 40, 12, 3][i % 4];
        let spec = WheelSpec {
            diameter_mm: poisoned(&mut r, odds, 80.0, 200.0),
            diameter_new_mm: poisoned(&mut r, odds, 200.0, 250.0),
            diameter_least_mm: poisoned(&mut r, odds, 0.0, 90.0),
            width_mm: poisoned(&mut r, odds, 15.0, 60.0),
            abrasive: [Abrasive::Friable, Abrasive::Superabrasive, Abrasive::Flat][r.below(3)],
            marked_speed_m_s: (r.below(2) == 0).then(|| poisoned(&mut r, odds, 20.0, 60.0)),
            face_slope: turned(&mut r, odds, -40.0, 95.0),
        };
        let grinder = Grinder::new(
            poisoned(&mut r, odds, 1_000.0, 3_600.0),
            poisoned(&mut r, odds, 100.0, 300.0),
            poisoned(&mut r, odds, 0.0, 300.0),
        );
        let present = wild_facet(&mut r, odds);
        let tool = wild_blank(&mut r, odds).and_then(|blank| {
            assert!(blank.edge_height_mm().is_finite() && blank.thickness_under_edge_mm() > 0.0, "{blank:?}");
            let length = poisoned(&mut r, odds, 250.0, 600.0);
            Tool::new(blank, length, poisoned(&mut r, odds, 100.0, 250.0), present).ok()
        });
        let (Ok(wheel), Ok(grinder), Some(tool)) = (Wheel::new(spec), grinder, tool) else { continue };
        assert!((0.0..=1.0).contains(&wheel.fraction_left()));
        let mut setting = wild_setting(&mut r, odds);
        if r.below(4) > 0 {
            (setting.face, setting.edge) = (wheel.face(), tool.edge_section());
        }
        let job = Job { setting, wheel, grinder, tool, rest_gap_most_mm: WIDEST_REST_GAP_MM, roll: None };
        made += 1;
        let result = job.evaluate();
        check(&result, &setting);
        if let Ok(view) = result {
            stands += 1;
            let reported = job.cautions(&view);
            assert!(!reported.is_empty() && !format!("{reported:?}").contains("NaN"), "{reported:?} {job:?}");
            assert!(job.tool_axis_in_bench(&view).iter().all(|point| point.is_finite()));
            assert!(job.strut_in_bench(&view).iter().flatten().all(|point| point.is_finite()));
            assert!(job.holder_corners_in_bench(&view).iter().flatten().all(|point| point.is_finite()));
        }
    }
    assert!(made > 50_000 && stands > 2_000, "{made} {stands}");
}

/// The formulas that take plain numbers.
#[test]
fn plain_formulas_refuse_what_is_no_number() {
    let mut r = Random::new(44);
    for _ in 0..300_000 {
        let face = if r.below(3) == 0 {
            Face::Flat { normal: turned(&mut r, 4, 0.0, 90.0) }
        } else {
            Face::Round { radius_mm: poisoned(&mut r, 4, 30.0, 150.0) }
        };
        let (angle, under) = (turned(&mut r, 4, 1.0, 179.0), poisoned(&mut r, 4, 0.5, 14.0));
        if let Ok(facet) = Facet::ground(face, angle, under) {
            assert!(facet_is_finite(&facet), "{face:?} {angle:?} {under}: {facet:?}");
        }
        if let Ok(bevel) = Facet::edge_bevel_for_across(face, angle, under) {
            assert!(bevel.is_finite(), "{face:?} {angle:?} {under}");
        }
        let (radius, chord) = (poisoned(&mut r, 3, 30.0, 150.0), poisoned(&mut r, 3, 0.0, 20.0));
        assert!(bevelbench_geometry::side::hollow_under_chord_mm(radius, chord).is_none_or(f64::is_finite));
        assert!(bevelbench_geometry::side::radius_from_hollow_mm(radius, chord).is_none_or(f64::is_finite));
    }
}
