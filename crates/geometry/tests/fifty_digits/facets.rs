//! Facets cut anew, and with a second bevel. Derived here: points of arcs, walked and closed in on;
//! areas by quadrature.

use bevelbench_geometry::{
    facet::{FurtherFacet, Inside, Regrind, Relief},
    math::Angle,
    parts::{
        Abrasive, Bar, Blank, Face, FluteShape, Grinder, Hollow, PresentFacet, Tool, WIDEST_REST_GAP_MM,
        Wheel, WheelSpec,
    },
    side::{Facet, Job},
};

use crate::{
    bench::{angle, free, setting},
    rows::{Case, cases, worked_through},
};

const REGRIND: &str = include_str!("../../../../tests/reference/fifty/regrind.csv");
const RELIEF: &str = include_str!("../../../../tests/reference/fifty/relief.csv");

pub(crate) fn present(case: &Case) -> PresentFacet {
    let hollow = if case.gives("facet_radius_mm") {
        Hollow::Arc { radius_mm: case.number("facet_radius_mm") }
    } else {
        Hollow::Flat
    };
    PresentFacet::new(hollow, angle(case, "facet_bevel_deg"), case.number("facet_mm")).unwrap()
}

#[test]
fn regrind_takes_what_quadrature_finds() {
    let cases = cases(REGRIND);
    for case in &cases {
        let under_mm = case.number("under_mm");
        let face = Face::Round { radius_mm: case.number("radius_mm") };
        let facet = Facet::ground(face, angle(case, "bevel_deg"), under_mm).unwrap();
        let regrind = Regrind::new(&present(case), &facet, face, under_mm);
        let lost = regrind.length_lost_mm();
        case.near("lost_mm", lost);
        case.near("whole_mm2", regrind.removed_mm2(lost));
        case.near("none_lost_mm2", regrind.removed_mm2(0.0));
        case.near("some_lost_mm2", regrind.removed_mm2(0.25));
    }
    worked_through(&cases, 30);
}

/// A job around a setting, with nothing in its way.
fn job(case: &Case) -> Job {
    let setting = setting(case);
    let diameter_mm = 2.0 * case.number("radius_mm");
    let wheel = Wheel::new(WheelSpec {
        diameter_mm,
        diameter_new_mm: diameter_mm,
        diameter_least_mm: 0.0,
        width_mm: 40.0,
        abrasive: Abrasive::Friable,
        marked_speed_m_s: None,
        face_slope: Angle::ZERO,
    });
    let bar = Bar::new(16.0, FluteShape::Power { factor: 0.25, exponent: 2.0 }, -4.0).unwrap();
    Job {
        setting,
        wheel: wheel.unwrap(),
        grinder: Grinder::new(1500.0, 600.0, 150.0).unwrap(),
        tool: Tool::new(Blank::Bar(bar), 400.0, 200.0, None).unwrap(),
        rest_gap_most_mm: WIDEST_REST_GAP_MM,
        roll: None,
    }
}

#[test]
fn second_bevel_begins_and_ends_where_rebuilt_points_say() {
    let cases = cases(RELIEF);
    let mut curves = 0;
    for case in &cases {
        let job = job(case);
        let view = job.setting.evaluate().unwrap();
        let first = FurtherFacet::first(&job.setting, &view);
        let moved = job.setting.with(free(case.word("moves")), case.number("moved_to")).unwrap();
        let moved = Job { setting: moved, ..job };
        let [left, second] = first.relieved(&moved, case.number("left_mm"), 1).unwrap();
        case.near("junction_s_mm", left.ends_from_edge.x);
        case.near("junction_h_mm", left.ends_from_edge.y);
        case.near("at_end_deg", left.at_end.degrees());
        case.near("second_at_begin_deg", second.at_begin.degrees());
        case.near("second_across_deg", second.across.degrees());
        case.near("second_mm", second.width_mm);
        case.near("second_heel_s_mm", second.ends_from_edge.x);
        case.near("removed_mm2", second.removed_mm2);
        let step = (free(case.word("moves")), case.number("moved_to"), case.number("left_mm"));
        match Relief::of(&job, &view, [step]).unwrap().inside() {
            Inside::Tightest { radius_mm, corner_of: 1 } => {
                case.near("inside_mm", radius_mm);
                curves += 1;
            }
            Inside::Hidden { corner_of: 1 } => assert!(!case.expects("inside_mm"), "{}", case.name),
            other => panic!("{}: {other:?}", case.name),
        }
    }
    assert!(curves > 1, "{curves}");
    worked_through(&cases, 8);
}
