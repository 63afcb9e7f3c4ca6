//! The side view forward, with its slopes. Derived here: points turned about the pivot until the edge stands on the
//! abrasive.

use bevelbench_geometry::side::{Seat, Slopes};

use crate::{
    bench::setting,
    rows::{cases, worked_through},
};

const TABLE: &str = include_str!("../../../../tests/reference/fifty/side_view.csv");

#[test]
fn side_view_and_its_slopes_are_right_to_the_last_digits() {
    let cases = cases(TABLE);
    for case in &cases {
        let view = setting(case).evaluate_off_travel().unwrap_or_else(|e| panic!("{}: {e:?}", case.name));
        case.near("bevel_deg", view.bevel().degrees());
        case.near("across_deg", view.facet.across.degrees());
        case.near("heel_deg", view.facet.at_heel.degrees());
        case.near("facet_mm", view.facet.width_mm);
        case.near("heel_s_mm", view.facet.heel_from_edge.x);
        case.near("contact_x_mm", view.contact_in_bench.x);
        case.near("contact_z_mm", view.contact_height_mm());
        case.near("handle_deg", view.handle_angle.degrees());
        if case.expects("hollow_mm") {
            case.near("hollow_mm", view.facet.hollow_mm);
        } else {
            assert!(view.facet.hollow_mm.abs() < f64::MIN_POSITIVE, "{}", case.name);
        }
        match view.seat {
            Seat::Pivot { gauge_length_mm, .. } => case.near("gauge_mm", gauge_length_mm),
            Seat::Plane { rest_gap_mm, .. } => case.near("rest_gap_mm", rest_gap_mm),
        }
        let Slopes {
            reach,
            projection,
            strut_angle,
            wheel_diameter,
            wheel_diameter_at_gauge,
            tool_length,
            table_tilt,
        } = view.slopes;
        for (name, slope) in [
            ("reach_slope", reach),
            ("projection_slope", projection),
            ("strut_angle_slope", strut_angle),
            ("diameter_slope", wheel_diameter),
            ("diameter_at_gauge_slope", wheel_diameter_at_gauge),
            ("tool_length_slope", tool_length),
            ("tilt_slope", table_tilt),
        ] {
            assert_eq!(slope.is_some(), case.expects(name), "{} {name}", case.name);
            if let Some(slope) = slope {
                case.near(name, slope);
            }
        }
    }
    worked_through(&cases, 39);
}
