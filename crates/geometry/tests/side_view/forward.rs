//! Setting to bevel: brute force, central differences, cases that must collapse.

use std::f64::consts::PI;

use approx::assert_relative_eq;
use bevelbench_geometry::{
    DVec2,
    math::{Angle, Quantity},
    parts::{Arm, EdgeSection, Face, Holder, HolderSpec, Presentation, Travel, along_tool},
    side::{Refusal, Seat, Setting, SideView, Support},
};

use crate::{
    brute::{
        Pose, axis_in_space, bevel_between_points, outside, pivot_from_edge, pose, up_in_space, walk_facet,
    },
    random::{Random, angle_travel, answered, bench},
};

/// The margin by which a bench clears the limits at which answers end, where brute force loses its digits.
fn clear_of_limits(setting: &Setting) -> bool {
    let Some((pivot, from_edge)) = pivot_from_edge(setting) else {
        // A table nearly along a flat face meets it far off, or never.
        return match (setting.support, setting.face) {
            (Support::Table { tilt, .. }, Face::Flat { normal }) => (normal - tilt).cos() > 0.05,
            _ => true,
        };
    };
    let s = from_edge.x * setting.foreshortening();
    let (d, l) = (pivot.length(), s.hypot(from_edge.y));
    match setting.face {
        Face::Round { radius_mm: r } => {
            (l + r - d).abs() > 0.05 && (d - (l - r).abs()).abs() > 0.05 && (d - r).abs() > 1e-3
        }
        Face::Flat { normal } => {
            let gauge = pivot.dot(DVec2::new(normal.cos(), normal.sin()));
            (gauge - l).abs() > 0.05 && gauge.abs() > 1e-3
        }
    }
}

fn same_as_brute(setting: &Setting, view: &SideView, stands: &Pose) {
    let bevel = bevel_between_points(setting, stands);
    assert_relative_eq!(view.bevel().radians(), bevel, epsilon = 1e-9);
    assert_relative_eq!(view.contact_in_bench.x, stands.edge.x, epsilon = 1e-7);
    assert_relative_eq!(view.contact_in_bench.y, stands.edge.y, epsilon = 1e-7);
    let handle = (-stands.turn - view.handle_angle.radians()) / (2.0 * PI);
    assert_relative_eq!(handle, handle.round(), epsilon = 1e-9);
    // The frames: a point of the tool lands where the pose puts it, and comes back.
    let tool = DVec2::new(37.0, 5.0);
    let put = stands.bench_from_edge(tool.x, tool.y - setting.edge.height_mm);
    assert!((view.bench_from_tool(tool) - put).length() < 1e-6, "{setting:?}");
    assert!((view.tool_from_bench(put) - tool).length() < 1e-6, "{setting:?}");
}

/// Independent method: the tool turned about its pivot, or pushed along its table, until its edge stands on
/// the abrasive; the facet walked out to the heel.
#[test]
fn bevel_facet_and_contact_are_those_of_plain_coordinates() {
    let mut r = Random::new(1);
    let (mut checked, mut refused) = (0, 0);
    for _ in 0..12_000 {
        let setting = bench(&mut r);
        if !clear_of_limits(&setting) {
            continue;
        }
        let stands = pose(&setting);
        match setting.evaluate_off_travel() {
            Ok(view) => {
                let stands = stands.unwrap_or_else(|| panic!("nothing stands: {setting:?}"));
                same_as_brute(&setting, &view, &stands);
                if view.facet.width_mm > 1_000.0 {
                    continue;
                }
                let walked = walk_facet(&setting, &stands).unwrap_or_else(|| panic!("no heel: {setting:?}"));
                assert_relative_eq!(view.facet.width_mm, walked.width_mm, epsilon = 1e-6);
                assert_relative_eq!(view.facet.across.radians(), walked.across, epsilon = 1e-7);
                assert_relative_eq!(view.facet.at_heel.radians(), walked.at_heel, epsilon = 1e-7);
                assert_relative_eq!(view.facet.hollow_mm, walked.hollow_mm, epsilon = 1e-4);
                assert!((view.heel_in_bench() - walked.heel_in_bench).length() < 1e-6, "{setting:?}");
                checked += 1;
            }
            Err(
                Refusal::PivotTooFar { .. } | Refusal::PivotTooNear { .. } | Refusal::TableOutOfReach { .. },
            ) => {
                assert!(stands.is_none(), "{setting:?} refused, but {stands:?} stands");
                refused += 1;
            }
            Err(Refusal::BevelOutOfRange { .. }) => {
                let bevel = stands.map(|p| bevel_between_points(&setting, &p));
                assert!(bevel.is_none_or(|b| !(1e-9..PI - 1e-9).contains(&b)), "{bevel:?} {setting:?}");
                refused += 1;
            }
            Err(Refusal::NoHeel(_)) => {
                if let Some(stands) = stands {
                    assert!(walk_facet(&setting, &stands).is_none(), "{setting:?}");
                }
                refused += 1;
            }
            Err(Refusal::PivotInWheel { by_mm }) => {
                let (pivot, _) = pivot_from_edge(&setting).unwrap();
                assert_relative_eq!(outside(setting.face, pivot), -by_mm, epsilon = 1e-9);
                refused += 1;
            }
            Err(Refusal::TableCatchesWheel { .. }) => {
                assert!(surface_inside(&setting) || !reaches_from_the_front(&setting), "{setting:?}");
                refused += 1;
            }
            Err(other) => panic!("{other:?}: {setting:?}"),
        }
    }
    assert!(checked > 2_000 && refused > 500, "{checked} {refused}");
}

/// Whether any of 4,000 points of the table's surface is inside the abrasive.
fn surface_inside(setting: &Setting) -> bool {
    let Support::Table { table, tilt } = setting.support else { return false };
    let [front, rear] = table.surface_in_bench(tilt);
    (0..=4_000).any(|i| outside(setting.face, front.lerp(rear, f64::from(i) / 4_000.0)) <= 1e-6)
}

/// Whether the table has some surface on the operator's side of the wheel.
fn reaches_from_the_front(setting: &Setting) -> bool {
    let Support::Table { table, tilt } = setting.support else { return false };
    table.surface_in_bench(tilt)[1].dot(tilt.direction()) > 0.0
}

/// Independent method: central differences of the bevel, every input, all supports and faces.
#[test]
fn slopes_are_central_differences() {
    let mut r = Random::new(2);
    let mut seen = [0; 7];
    for _ in 0..4_000 {
        let setting = answered(&mut r);
        if !clear_of_limits(&setting) {
            continue;
        }
        let view = setting.evaluate_off_travel().unwrap();
        let frees = [
            Quantity::Reach,
            Quantity::Projection,
            Quantity::StrutAngle,
            Quantity::ToolLength,
            Quantity::TableTilt,
            Quantity::WheelDiameter,
        ];
        for (place, free) in frees.into_iter().enumerate() {
            let Some(slope) = view.slopes.by(free) else {
                let applies = setting.value_of(free).is_some();
                assert!(!applies, "{free:?} has a value and no slope: {setting:?}");
                continue;
            };
            let value = setting.value_of(free).unwrap();
            // Strut angle and tilt are moved in degrees, their slopes are per radian.
            let per = if matches!(free, Quantity::StrutAngle | Quantity::TableTilt) {
                1_f64.to_radians()
            } else {
                1.0
            };
            let step = 1e-4;
            let bevel = |value: f64| {
                setting.with(free, value)?.evaluate_off_travel().ok().map(|v| v.bevel().radians())
            };
            let (Some(less), Some(more)) = (bevel(value - step), bevel(value + step)) else { continue };
            let rise = (more - less) / (2.0 * step * per);
            assert!((rise - slope).abs() < 1e-5 + 1e-4 * slope.abs(), "{free:?} {rise} {slope}: {setting:?}");
            seen[place] += 1;
        }
        if let (Some(slope), Face::Round { radius_mm }) = (view.slopes.wheel_diameter_at_gauge, setting.face)
        {
            let step = 1e-4;
            let bevel = |more: f64| at_gauge(&setting, radius_mm, more);
            let (Some(less), Some(more)) = (bevel(-step), bevel(step)) else { continue };
            let rise = (more - less) / (4.0 * step);
            assert!((rise - slope).abs() < 1e-5 + 1e-4 * slope.abs(), "gauge {rise} {slope}: {setting:?}");
            seen[6] += 1;
        }
    }
    assert!(seen.iter().all(|n| *n > 300), "{seen:?}");
}

/// The bevel on a wheel `more` larger in radius, the arm moved so that the gauge length stays.
fn at_gauge(setting: &Setting, radius_mm: f64, more: f64) -> Option<f64> {
    let (pivot, _) = pivot_from_edge(setting)?;
    let distance = pivot.length() + more;
    let (Support::Handle { arm, .. } | Support::Holder { arm, .. }) = setting.support else { return None };
    let now = setting.value_of(Quantity::Reach)?;
    let reach =
        arm.reaches_at_distance(distance).min_by(|a, b| (a - now).abs().total_cmp(&(b - now).abs()))?;
    let moved =
        setting.with(Quantity::Reach, reach)?.with(Quantity::WheelDiameter, 2.0 * (radius_mm + more))?;
    moved.evaluate_off_travel().ok().map(|v| v.bevel().radians())
}

/// Independent method: three dimensions. For an edge parallel to the spindle the angle between the blade's
/// plane and the abrasive's tangent plane is the bevel, and the ground face cut along the tool has the
/// apparent angle.
#[test]
fn oblique_edge_has_its_bevel_square_to_itself() {
    let mut r = Random::new(3);
    for _ in 0..2_000 {
        let mut setting = answered(&mut r);
        setting.presentation = Presentation::EdgeParallelToSpindle;
        setting.obliquity = r.degrees(30.0, 89.0);
        let Ok(view) = setting.evaluate_off_travel() else { continue };
        let turn = -view.handle_angle.radians();
        let (axis, up) = (axis_in_space(&setting, turn), up_in_space(turn));
        let normal_in_bench = match setting.face {
            Face::Round { .. } => view.contact_in_bench.normalize(),
            Face::Flat { normal } => normal.direction(),
        };
        let normal = bevelbench_geometry::DVec3::new(normal_in_bench.x, 0.0, normal_in_bench.y);
        assert_relative_eq!(up.dot(normal), view.bevel().cos(), epsilon = 1e-9);
        // The plane through the axis, square to the blade, cuts the ground face in this direction.
        let across = axis.cross(up);
        let trace = across.cross(normal);
        let along = (-trace.dot(up)).atan2(trace.dot(axis));
        let stated = along_tool(view.bevel(), setting.obliquity).radians();
        let off = (along - stated) / PI;
        assert_relative_eq!(off, off.round(), epsilon = 1e-9);
    }
}

fn pivot_setting(face: Face, height_mm: f64, reach_mm: f64) -> Setting {
    let travel = Travel { least_mm: 0.0, most_mm: 9_000.0 };
    let arm = Arm::new(DVec2::ZERO, Angle::ZERO, travel).unwrap();
    Setting {
        face,
        edge: EdgeSection { height_mm, under_mm: 4.0 },
        obliquity: Angle::QUARTER,
        presentation: Presentation::EdgeParallelToSpindle,
        support: Support::Handle { arm, reach_mm, tool_length_mm: 400.0 },
    }
}

/// Collapse: with the edge on the axis and a right angle at the edge, Pythagoras gives the distance and the
/// bevel is nothing short of zero; half a millimetre more makes it small and positive.
#[test]
fn right_angle_at_the_edge_is_no_bevel() {
    let round = Face::Round { radius_mm: 75.0 };
    let pythagoras = 400_f64.hypot(75.0);
    assert!(pivot_setting(round, 0.0, pythagoras - 1e-9).evaluate().is_err());
    let bevel = pivot_setting(round, 0.0, pythagoras + 0.5).evaluate().unwrap().bevel();
    assert!(bevel.degrees() > 0.0 && bevel.degrees() < 0.5);
}

/// Collapse: a huge wheel whose rim stands where a platen stands grinds what the platen grinds.
#[test]
fn huge_wheel_is_a_platen() {
    let platen = pivot_setting(Face::Flat { normal: Angle::ZERO }, -3.0, 250.0);
    let flat = platen.evaluate().unwrap();
    let mut last = f64::INFINITY;
    for radius_mm in [500.0, 2_000.0, 8_000.0] {
        let mut round = pivot_setting(Face::Round { radius_mm }, -3.0, 250.0);
        let travel = Travel { least_mm: 0.0, most_mm: 9_000.0 };
        // The same gap between pivot and abrasive.
        let arm = Arm::new(DVec2::new(radius_mm, 0.0), Angle::ZERO, travel).unwrap();
        round.support = Support::Handle { arm, reach_mm: 250.0, tool_length_mm: 400.0 };
        let view = round.evaluate().unwrap();
        let off = (view.bevel() - flat.bevel()).degrees().abs();
        // The chord from the pivot's foot to the edge is 312 mm; the rim falls back by its sagitta.
        assert!(off < last && off < 360.0 * 312.0 / radius_mm, "{radius_mm}: {off}");
        last = off;
    }
    assert!(last < 3.0, "{last}");
}

/// Collapse: a strut of no length makes the holder a handle as long as projection and setback.
#[test]
fn holder_without_a_strut_is_a_handle() {
    let Support::Handle { arm, reach_mm, .. } =
        pivot_setting(Face::Round { radius_mm: 75.0 }, -3.0, 180.0).support
    else {
        unreachable!()
    };
    let holder = Holder::new(HolderSpec {
        hinge_setback_mm: 20.0,
        hinge_drop_mm: 0.0,
        strut_length_mm: 0.0,
        strut_angle: angle_travel(0.0, 90.0),
        body_length_mm: 30.0,
        body_height_mm: 20.0,
    })
    .unwrap();
    let mut held = pivot_setting(Face::Round { radius_mm: 75.0 }, -3.0, 180.0);
    held.support = Support::Holder {
        arm,
        holder,
        reach_mm,
        projection_mm: 100.0,
        strut_angle: Angle::from_degrees(40.0),
    };
    let mut handled = held;
    handled.support = Support::Handle { arm, reach_mm, tool_length_mm: 120.0 };
    let (held, handled) = (held.evaluate().unwrap(), handled.evaluate().unwrap());
    assert_eq!(held.bevel(), handled.bevel());
    assert_eq!(held.slopes.projection, handled.slopes.tool_length);
    assert_eq!(held.slopes.strut_angle, Some(0.0));
}

/// Collapse: a level table whose plane passes through the wheel's centre under an edge of no height would
/// grind square; the edge's height above it takes off its arc cosine.
#[test]
fn level_table_through_the_centre_grinds_nearly_square() {
    let mut setting = pivot_setting(Face::Round { radius_mm: 100.0 }, 0.0, 1.0);
    let table = bevelbench_geometry::parts::Table::new(bevelbench_geometry::parts::TableSpec {
        hinge_in_bench: DVec2::new(130.0, -20.0),
        surface_offset_mm: 20.0,
        front_mm: 28.0,
        rear_mm: 80.0,
        tilt: angle_travel(-30.0, 30.0),
    })
    .unwrap();
    setting.support = Support::Table { table, tilt: Angle::ZERO };
    let view = setting.evaluate().unwrap();
    assert_relative_eq!(view.bevel().degrees(), 0.04_f64.acos().to_degrees(), epsilon = 1e-12);
    let Seat::Plane { from_centre_mm, rest_gap_mm, .. } = view.seat else { panic!("{view:?}") };
    assert_relative_eq!(from_centre_mm, 0.0);
    assert_relative_eq!(rest_gap_mm, 2.0);
}

/// A table whose whole surface lies behind the wheel carries no tool that stands at its front.
#[test]
fn table_behind_the_wheel_is_refused() {
    let mut setting = pivot_setting(Face::Round { radius_mm: 100.0 }, 0.0, 1.0);
    let table = bevelbench_geometry::parts::Table::new(bevelbench_geometry::parts::TableSpec {
        hinge_in_bench: DVec2::new(-250.0, 0.0),
        surface_offset_mm: 20.0,
        front_mm: 20.0,
        rear_mm: 60.0,
        tilt: angle_travel(-30.0, 30.0),
    })
    .unwrap();
    setting.support = Support::Table { table, tilt: Angle::ZERO };
    assert!(matches!(setting.evaluate(), Err(Refusal::TableCatchesWheel { .. })));
}

/// A pivot in front of the edge and above it (`ε` near a half turn, from either side) is a place like any
/// other.
#[test]
fn bevel_does_not_depend_on_how_the_angle_to_the_pivot_is_counted() {
    for drop in [-9.0, -4.000_001, -3.999_999, 2.0] {
        let mut setting = pivot_setting(Face::Round { radius_mm: 60.0 }, 4.0, 0.0);
        let arm =
            Arm::new(DVec2::new(70.0, -8.0), Angle::ZERO, Travel { least_mm: 0.0, most_mm: 50.0 }).unwrap();
        let holder = Holder::new(HolderSpec {
            hinge_setback_mm: 0.0,
            hinge_drop_mm: drop,
            strut_length_mm: 120.0,
            strut_angle: angle_travel(0.0, 180.0),
            body_length_mm: 30.0,
            body_height_mm: 20.0,
        })
        .unwrap();
        setting.support =
            Support::Holder { arm, holder, reach_mm: 1.6, projection_mm: 40.0, strut_angle: Angle::HALF };
        let view = setting.evaluate_off_travel().unwrap_or_else(|e| panic!("{drop}: {e:?}"));
        let stands = pose(&setting).unwrap();
        assert_relative_eq!(view.bevel().radians(), bevel_between_points(&setting, &stands), epsilon = 1e-9);
    }
}
