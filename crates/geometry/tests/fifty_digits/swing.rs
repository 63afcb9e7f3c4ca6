//! Edge points of a rolled gouge. Derived here: a circle turned about the roll line by rotation matrices in space.

use bevelbench_geometry::{
    DVec2,
    parts::{Bar, FluteShape},
    swept::{EdgePoint, GrindingFace, GroundBy, GroundSurface, RollLine, Rolled, Steel, Swing},
};

use crate::{
    bench::angle,
    rows::{Case, cases, worked_through},
};

const TABLE: &str = include_str!("../../../../tests/reference/fifty/swing.csv");

pub(crate) fn rolled(case: &Case) -> Rolled {
    rolled_about(case, case.number("roll_centre_mm"))
}

/// As the case has it, about another roll centre.
pub(crate) fn rolled_about(case: &Case, roll_centre_mm: f64) -> Rolled {
    let n = |name: &str| case.number(name);
    let pivot = DVec2::new(n("pivot_s_mm"), n("pivot_h_mm"));
    Rolled {
        line: RollLine::through(pivot, roll_centre_mm).unwrap(),
        bevel: angle(case, "bevel_deg"),
        edge_height_mm: n("floor_mm"),
        abrasive: GrindingFace::Wheel { radius_mm: n("radius_mm"), width_mm: n("wheel_width_mm") },
        swing: Swing::to_either_side(angle(case, "swing_deg")).unwrap(),
        turn: angle(case, "turn_deg"),
    }
}

pub(crate) fn steel(case: &Case) -> Steel {
    let n = |name: &str| case.number(name);
    let shape = match case.word("flute") {
        "power" => FluteShape::Power { factor: n("factor"), exponent: n("exponent") },
        "vee" => FluteShape::Vee { slope: n("slope"), floor_radius_mm: n("floor_radius_mm") },
        _ => FluteShape::Circle { radius_mm: n("flute_radius_mm") },
    };
    Steel::of_bar(&Bar::new(n("bar_mm"), shape, n("floor_mm")).unwrap())
}

#[test]
fn swung_edge_points_are_right_to_the_last_digits() {
    let cases = cases(TABLE);
    let mut ends = 0;
    for case in &cases {
        let surface = GroundSurface::rolled(&rolled(case)).unwrap();
        let point = EdgePoint::at(&surface, &steel(case), case.number("t")).unwrap();
        assert_eq!(point.face == GroundBy::Sweep, case.word("face") == "sweep", "{}: {point:?}", case.name);
        ends += usize::from(point.face != GroundBy::Sweep);
        case.near("w_mm", point.w_mm);
        case.near("s_mm", point.s_mm);
        case.near("to_axis_deg", point.bevel_to_axis.degrees());
        case.near("wedge_deg", point.wedge.degrees());
        if case.expects("roll_deg") {
            case.near("roll_deg", point.roll.degrees());
        }
        if case.expects("facet_mm") {
            case.near("facet_mm", point.facet_width_mm);
            case.near("heel_s_mm", point.heel.x);
            case.near("heel_h_mm", point.heel.y);
            case.near("heel_w_mm", point.heel.z);
        }
    }
    assert!(ends > 2, "{ends}");
    worked_through(&cases, 70);
}
