//! Figures worked by hand or by another program, and the facts of the trade.

use approx::assert_relative_eq;
use bevelbench_geometry::{
    DVec2,
    math::{Angle, Quantity},
    parts::{Arm, EdgeSection, Face, Holder, HolderSpec, Presentation, Travel},
    side::{Seat, Setting, Support, Target},
};

use crate::random::angle_travel;

const R: f64 = 75.0;

/// Wheel radius 75, setback 15, drop 0, strut 70, edge 4 below the centreline: the worked rig of the model's
/// derivation, its figures computed apart from this program.
fn rig(projection_mm: f64, strut_deg: f64) -> Setting {
    let arm =
        Arm::new(DVec2::new(30.0, -110.0), Angle::ZERO, Travel { least_mm: 0.0, most_mm: 400.0 }).unwrap();
    let holder = Holder::new(HolderSpec {
        hinge_setback_mm: 15.0,
        hinge_drop_mm: 0.0,
        strut_length_mm: 70.0,
        strut_angle: angle_travel(0.0, 100.0),
        body_length_mm: 40.0,
        body_height_mm: 30.0,
    })
    .unwrap();
    Setting {
        face: Face::Round { radius_mm: R },
        edge: EdgeSection { height_mm: -4.0, under_mm: 4.0 },
        obliquity: Angle::QUARTER,
        presentation: Presentation::EdgeParallelToSpindle,
        support: Support::Holder {
            arm,
            holder,
            reach_mm: 150.0,
            projection_mm,
            strut_angle: Angle::from_degrees(strut_deg),
        },
    }
}

fn handle(length_mm: f64) -> Setting {
    let mut setting = rig(50.0, 45.0);
    let Support::Holder { arm, reach_mm, .. } = setting.support else { unreachable!() };
    setting.support = Support::Handle { arm, reach_mm, tool_length_mm: length_mm };
    setting
}

/// The setting with its arm moved until the bevel at the edge is so many degrees, the outer of two places.
fn set_to(setting: &Setting, bevel_deg: f64) -> Setting {
    let found = setting.find(Target::AtEdge(Angle::from_degrees(bevel_deg)), Quantity::Reach).unwrap();
    found.all().max_by(|a, b| a.value.total_cmp(&b.value)).unwrap().setting
}

fn bevel_deg(setting: &Setting) -> f64 {
    setting.evaluate_off_travel().unwrap().bevel().degrees()
}

fn distance_mm(setting: &Setting) -> f64 {
    match setting.evaluate_off_travel().unwrap().seat {
        Seat::Pivot { from_centre_mm, .. } => from_centre_mm,
        Seat::Plane { .. } => panic!("not on a pivot"),
    }
}

#[test]
fn worked_distances_of_the_rig_come_out() {
    assert_relative_eq!(distance_mm(&set_to(&rig(75.0, 45.0), 45.0)), 192.678, epsilon = 5e-4);
    assert_relative_eq!(distance_mm(&set_to(&rig(50.0, 45.0), 45.0)), 167.700, epsilon = 5e-4);
    assert_relative_eq!(distance_mm(&set_to(&rig(50.0, 37.6263), 45.0)), 174.062, epsilon = 5e-4);
}

#[test]
fn worked_bevel_of_the_tool_drawn_out_comes_out() {
    let short = set_to(&rig(50.0, 45.0), 45.0);
    let long = short.with(Quantity::Projection, 75.0).unwrap();
    assert_relative_eq!(bevel_deg(&long), 20.59, epsilon = 5e-3);
    // "About a degree a millimetre."
    assert_relative_eq!((45.0 - bevel_deg(&long)) / 25.0, 1.0, epsilon = 0.05);
}

/// Five millimetres off the radius, at a fixed pivot and at a fixed gauge length.
#[test]
fn worked_wear_of_the_wheel_comes_out() {
    let new = set_to(&rig(75.0, 45.0), 45.0);
    let worn = new.with(Quantity::WheelDiameter, 2.0 * (R - 5.0)).unwrap();
    assert_relative_eq!(bevel_deg(&worn), 49.44, epsilon = 5e-3);

    let Support::Holder { arm, .. } = new.support else { unreachable!() };
    let reach = arm.reaches_at_distance(distance_mm(&new) - 5.0).fold(f64::NEG_INFINITY, f64::max);
    let kept = worn.with(Quantity::Reach, reach).unwrap();
    let gauge = |s: &Setting| s.evaluate_off_travel().unwrap().gauge_length_mm().unwrap();
    assert_relative_eq!(gauge(&kept), gauge(&new), epsilon = 1e-9);
    assert_relative_eq!(bevel_deg(&kept), 43.41, epsilon = 5e-3);
}

/// A 400 mm tool with its handle in the cup and its edge on the axis, ground away by 5 mm: 45° into about
/// 51.5° on the same 75 mm radius, more than the wheel's wear does.
#[test]
fn worked_wear_of_the_tool_comes_out() {
    let mut long = handle(400.0);
    long.edge.height_mm = 0.0;
    let long = set_to(&long, 45.0);
    let short = long.with(Quantity::ToolLength, 395.0).unwrap();
    assert_relative_eq!(bevel_deg(&short), 51.5, epsilon = 0.1);
}

/// `common practice`: with everything else left alone the longer projection grinds a keener, longer bevel.
#[test]
fn longer_projection_keens_the_bevel_and_lengthens_the_facet() {
    let short = set_to(&rig(50.0, 45.0), 45.0);
    let mut last = short.evaluate_off_travel().unwrap().facet;
    for projection in [55.0, 60.0, 65.0, 70.0, 75.0] {
        let facet =
            short.with(Quantity::Projection, projection).unwrap().evaluate_off_travel().unwrap().facet;
        assert!(facet.at_edge < last.at_edge && facet.width_mm > last.width_mm);
        last = facet;
    }
}

/// `common practice`: 45° can be had at 50 mm and at 75 mm, with strut angles from about 15° to 90°.
#[test]
fn same_bevel_can_be_had_at_both_projections() {
    for projection in [50.0, 75.0] {
        for strut in [15.0, 30.0, 45.0, 60.0, 75.0, 90.0] {
            assert_relative_eq!(bevel_deg(&set_to(&rig(projection, strut), 45.0)), 45.0, epsilon = 1e-9);
        }
    }
}

/// `common practice`: the arm moved 25 mm towards the wheel takes the heel and not the edge, that is, the
/// setting is keener.
#[test]
fn arm_moved_towards_the_wheel_keens_the_bevel() {
    let setting = set_to(&rig(75.0, 45.0), 60.0);
    let reach = setting.value_of(Quantity::Reach).unwrap();
    let moved = setting.with(Quantity::Reach, reach - 25.0).unwrap();
    assert!(bevel_deg(&moved) < 60.0 - 10.0);
}

/// `common practice`: a protractor over a 5.5 mm facet of a 150 mm wheel reads two degrees too much. Derived
/// here: half the chord over the radius, 2.75 / 75, is the sine of 2.10°.
#[test]
fn protractor_hides_two_degrees() {
    let mut setting = set_to(&rig(75.0, 45.0), 45.0);
    setting.edge.under_mm = 5.5 * 47.1_f64.to_radians().sin();
    let facet = setting.evaluate_off_travel().unwrap().facet;
    assert_relative_eq!(facet.width_mm, 5.5, epsilon = 1e-3);
    assert_relative_eq!((facet.across - facet.at_edge).degrees(), 2.10, epsilon = 5e-3);
}
