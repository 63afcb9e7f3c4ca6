//! Facts every turner who sharpens on a guide knows, each `common practice`: they are asked of the model on a
//! range of ordinary rigs, not on one lucky set of numbers.

use bevelbench_geometry::{
    DVec2,
    facet::Pattern,
    math::{Angle, Quantity},
    parts::{
        AngleTravel, Arm, EdgeSection, Face, Holder, HolderSpec, Hollow, PresentFacet, Presentation, Travel,
    },
    side::{Refusal, Setting, SideView, Support, Target},
};

/// The projections of the trade's two common stops.
const SHORT_MM: f64 = 50.0;
const LONG_MM: f64 = 75.0;

fn degrees(value: f64) -> Angle {
    Angle::from_degrees(value)
}

/// A gouge in a holder: wheel diameter, arm height and strut angle vary from bench to bench.
fn gouge(wheel_diameter: f64, arm_z: f64, strut_deg: f64, projection_mm: f64) -> Setting {
    let travel = Travel { least_mm: 0.0, most_mm: 500.0 };
    let holder = Holder::new(HolderSpec {
        hinge_setback_mm: 18.0,
        hinge_drop_mm: 5.0,
        strut_length_mm: 65.0,
        strut_angle: AngleTravel { least: degrees(15.0), most: degrees(90.0) },
        body_length_mm: 40.0,
        body_height_mm: 25.0,
    });
    Setting {
        face: Face::Round { radius_mm: wheel_diameter / 2.0 },
        edge: EdgeSection { height_mm: -2.0, under_mm: 4.0 },
        obliquity: Angle::QUARTER,
        presentation: Presentation::AxisInSidePlane,
        support: Support::Holder {
            arm: Arm::new(DVec2::new(20.0, arm_z), Angle::ZERO, travel).unwrap(),
            holder: holder.unwrap(),
            reach_mm: 150.0,
            projection_mm,
            strut_angle: degrees(strut_deg),
        },
    }
}

/// Ordinary benches: wheel diameter, arm height, strut angle.
fn benches() -> impl Iterator<Item = (f64, f64, f64)> {
    [150.0, 180.0, 200.0].into_iter().flat_map(|wheel| {
        [-80.0, -110.0, -140.0]
            .into_iter()
            .flat_map(move |arm| [30.0, 45.0, 60.0].map(|strut| (wheel, arm, strut)))
    })
}

/// The setting moved along its arm to a bevel at the edge.
fn set_to(setting: &Setting, bevel_deg: f64) -> (Setting, SideView) {
    let answers = setting.find(Target::AtEdge(degrees(bevel_deg)), Quantity::Reach).unwrap();
    let answer = answers.settable().next().unwrap_or_else(|| panic!("{setting:?}"));
    (answer.setting, answer.view)
}

/// Common practice: with everything else left alone, drawing the tool out from 50 to 75 mm grinds a keener
/// and a longer bevel.
#[test]
fn longer_projection_keens_and_lengthens_the_bevel() {
    for (wheel, arm, strut) in benches() {
        let (short, before) = set_to(&gouge(wheel, arm, strut, SHORT_MM), 55.0);
        let after = short.with(Quantity::Projection, LONG_MM).unwrap().evaluate().unwrap();
        assert!(after.bevel() < before.bevel(), "{wheel} {arm} {strut}");
        assert!(after.facet.width_mm > before.facet.width_mm, "{wheel} {arm} {strut}");
    }
}

/// Common practice: the same 45° can be had at both projections; only the arm is moved, and it is moved out for
/// the longer one.
#[test]
fn same_bevel_can_be_had_at_both_projections() {
    for (wheel, arm, strut) in benches() {
        let (short, at_short) = set_to(&gouge(wheel, arm, strut, SHORT_MM), 45.0);
        let (long, at_long) = set_to(&gouge(wheel, arm, strut, LONG_MM), 45.0);
        assert!((at_short.bevel() - at_long.bevel()).abs().degrees() < 1e-9);
        assert!((at_short.facet.width_mm - at_long.facet.width_mm).abs() < 1e-9);
        let reach = |setting: &Setting| setting.value_of(Quantity::Reach).unwrap();
        assert!(reach(&long) > reach(&short) + 5.0, "{wheel} {arm} {strut}");
    }
}

/// Common practice: ground at 45°, then the arm moved 25 mm towards the wheel, the next touch takes the heel
/// and leaves the edge alone.
#[test]
fn arm_moved_towards_the_wheel_takes_the_heel_and_not_the_edge() {
    for (wheel, arm, strut) in benches() {
        let (first, view) = set_to(&gouge(wheel, arm, strut, LONG_MM), 45.0);
        let hollow = Hollow::Arc { radius_mm: wheel / 2.0 };
        let facet = PresentFacet::new(hollow, view.bevel(), view.facet.width_mm).unwrap();
        assert_eq!(first.settle(&facet).unwrap().pattern(0.01), Pattern::Whole);
        let reach = first.value_of(Quantity::Reach).unwrap();
        let moved = first.with(Quantity::Reach, reach - 25.0).unwrap();
        let touch = moved.settle(&facet).unwrap();
        assert_eq!(touch.pattern(0.01), Pattern::Heel, "{wheel} {arm} {strut}");
        assert!(touch.heel_gap_mm < 1e-9 && touch.edge_gap_mm > 0.5, "{wheel} {arm} {strut}: {touch:?}");
        // The cure the program names is the move that was made.
        let back = moved.clean_move(&facet, Quantity::Reach).unwrap().by;
        assert!((back - 25.0).abs() < 1e-6, "{back}");
    }
}

/// Common practice: half a degree is what a turner holds. On ordinary benches a reach set to a quarter of a
/// millimetre holds it and one set to a millimetre does not, and ink shows a whole degree of error plainly.
#[test]
fn half_a_degree_is_within_what_a_bench_can_hold() {
    for (wheel, arm, strut) in benches() {
        let (setting, view) = set_to(&gouge(wheel, arm, strut, LONG_MM), 45.0);
        let per_mm = Angle::from_radians(view.slopes.reach.unwrap()).degrees();
        assert!((0.5..2.0).contains(&per_mm), "{wheel} {arm} {strut}: {per_mm}° a millimetre");
        let hollow = Hollow::Arc { radius_mm: wheel / 2.0 };
        let off = PresentFacet::new(hollow, view.bevel() + degrees(1.0), view.facet.width_mm).unwrap();
        let touch = setting.settle(&off).unwrap();
        assert_eq!(touch.pattern(0.02), Pattern::Heel, "{wheel} {arm} {strut}");
    }
}

/// Common practice: strut angles from about 15° to 90° are in use, and each can be set to 45°.
#[test]
fn strut_angles_from_fifteen_to_ninety_degrees_all_reach_a_bevel() {
    for strut in (15..=90).step_by(5) {
        let (_, view) = set_to(&gouge(180.0, -110.0, f64::from(strut), LONG_MM), 45.0);
        assert!((view.bevel().degrees() - 45.0).abs() < 1e-9, "{strut}");
    }
    for beyond in [10.0, 95.0] {
        let refused = gouge(180.0, -110.0, beyond, LONG_MM).evaluate();
        assert!(matches!(refused, Err(Refusal::StrutAngleOffTravel { .. })), "{beyond}: {refused:?}");
    }
}
