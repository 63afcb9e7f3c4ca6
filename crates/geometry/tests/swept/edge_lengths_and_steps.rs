//! Edges and surfaces that jump: what counts as length, and what a line meets at a step.

use approx::assert_relative_eq;
use bevelbench_geometry::{
    DVec2, DVec3,
    math::Angle,
    parts::{Bar, FluteShape},
    swept::{Edge, EdgeSummary, GrindingFace, GroundSurface, RollLine, Rolled, Steel, Swing},
};

fn steel() -> Steel {
    Steel::of_bar(&Bar::new(16.0, FluteShape::Power { factor: 0.25, exponent: 2.0 }, -4.0).unwrap())
}

/// A narrow wheel and a short swing: the wheel's side leaves steps, and places it never comes to.
fn narrow(centre_mm: f64, turn: f64, half: f64, width_mm: f64) -> GroundSurface {
    GroundSurface::rolled(&Rolled {
        line: RollLine::through(DVec2::new(139.5, -49.5), centre_mm).unwrap(),
        bevel: Angle::from_degrees(45.0),
        edge_height_mm: -4.0,
        abrasive: GrindingFace::Wheel { radius_mm: 75.0, width_mm },
        swing: Swing::to_either_side(Angle::from_degrees(half)).unwrap(),
        turn: Angle::from_degrees(turn),
    })
    .unwrap()
}

/// By hand, pair by pair: a step of more than a millimetre between neighbours is a jump, two of them in this edge.
#[test]
fn length_of_an_edge_leaves_its_jumps_out() {
    let surface = narrow(-3.9, 0.0, 24.0, 4.0);
    let edge = Edge::trace(&surface, &steel(), 801);
    let place: Vec<DVec3> = edge.points().iter().map(|p| DVec3::new(p.s_mm, p.h_mm, p.w_mm)).collect();
    let (jumps, steady): (Vec<_>, Vec<_>) =
        place.windows(2).partition(|two| (two[0].x - two[1].x).abs() > 1.0);
    assert_eq!((place.len(), jumps.len(), edge.breaks().len()), (801, 2, 2));
    let length: f64 = steady.iter().map(|two| two[0].distance(two[1])).sum();
    let reported = EdgeSummary::of(&edge, &surface, &steel()).unwrap();
    assert_relative_eq!(reported.edge_length_mm, length, max_relative = 1e-12);
}

/// By halving along the line: the wheel's side leaves a step square to it, so that no distance along the axis is ever
/// small there.
#[test]
fn line_meets_the_step_that_a_wheels_side_leaves() {
    let surface = narrow(-3.9, 0.0, 24.0, 4.0);
    let edge = Edge::trace(&surface, &steel(), 801);
    for (side, step) in [-1.0, 1.0].into_iter().zip(edge.breaks()) {
        let (before, after) = (step.before_mm.unwrap(), step.after_mm.unwrap());
        assert!((before - after).abs() > 2.0);
        let station = f64::midpoint(before, after);
        let gone = |out: f64| surface.start_of_steel(side * out, step.h_mm).unwrap().s_mm > station;
        let (mut low, mut high) = (step.w_mm.abs() - 0.2, step.w_mm.abs() + 0.2);
        assert!(gone(low) && !gone(high));
        for _ in 0..50 {
            let middle = f64::midpoint(low, high);
            if gone(middle) { low = middle } else { high = middle }
        }
        // From in front of the steel and from inside it; the step faces the middle of the tool.
        for off in [0.05, 0.01, -0.01, -0.05] {
            let from = DVec3::new(station, step.h_mm, side * (low - off));
            let way = surface.way_to(from, DVec3::new(0.0, 0.0, -side)).unwrap();
            assert!((way + off).abs() < 1e-5, "{way} {off}");
        }
    }
}
