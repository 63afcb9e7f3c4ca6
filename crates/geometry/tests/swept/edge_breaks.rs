//! Where an edge jumps, against a fine walk along the flute that knows nothing of slopes.

use bevelbench_geometry::{
    DVec2,
    math::Angle,
    parts::{Bar, FluteShape},
    swept::{Edge, GrindingFace, GroundSurface, RollLine, Rolled, Steel, Swing},
};

/// A jump: parameter of the wall, setbacks on both sides.
#[derive(Debug, Clone, Copy)]
struct Jump {
    t: f64,
    before: Option<f64>,
    after: Option<f64>,
}

impl Jump {
    fn height(&self) -> f64 {
        match (self.before, self.after) {
            (Some(before), Some(after)) => (after - before).abs(),
            (None, None) => 0.0,
            _ => f64::INFINITY,
        }
    }
}

/// Every place where the setback differs by more than a hundredth of a millimetre however near one looks.
fn jumps(surface: &GroundSurface, steel: &Steel) -> Vec<Jump> {
    let setback = |t: f64| {
        let wall = steel.wall_at(t);
        surface.start_of_steel(wall.x, wall.y).map(|hit| hit.s_mm)
    };
    let count = 8000;
    let mut found = Vec::new();
    let mut before = (-1.0, setback(-1.0));
    for i in 1..=count {
        let t = 2.0 * f64::from(i) / f64::from(count) - 1.0;
        let here = (t, setback(t));
        let mut parts = vec![(before, here)];
        before = here;
        // Both halves are followed as long as they differ.
        for _ in 0..36 {
            let halves = parts.into_iter().flat_map(|(low, high)| {
                let t = f64::midpoint(low.0, high.0);
                let middle = (t, setback(t));
                [(low, middle), (middle, high)]
            });
            parts = halves
                .filter(|(low, high)| Jump { t: low.0, before: low.1, after: high.1 }.height() > 0.003)
                .collect();
            if parts.is_empty() {
                break;
            }
        }
        found.extend(
            parts
                .into_iter()
                .map(|(low, high)| Jump { t: high.0, before: low.1, after: high.1 })
                .filter(|jump| jump.height() > 0.01),
        );
    }
    found
}

fn parabola() -> Steel {
    Steel::of_bar(&Bar::new(16.0, FluteShape::Power { factor: 0.25, exponent: 2.0 }, -4.0).unwrap())
}

/// Narrow wheels and short swings: the wheel's side leaves steps, and places it never comes to.
fn surfaces() -> Vec<(String, GroundSurface)> {
    let mut all = Vec::new();
    let shapes = [
        (-3.9, 0.0),
        (-3.9, 4.0),
        (-3.8, -8.0),
        (-3.6, 2.0),
        (-3.2, 0.0),
        (-2.5, 6.0),
        (0.0, 0.0),
        (1.0, -11.0),
    ];
    for (centre, turn) in shapes {
        for (half, width_mm) in [
            (4.0, 2.0),
            (6.0, 4.0),
            (8.0, 4.0),
            (11.0, 5.0),
            (14.0, 3.0),
            (18.0, 3.0),
            (24.0, 4.0),
            (45.0, 6.0),
        ] {
            let setting = Rolled {
                line: RollLine::through(DVec2::new(139.5, -49.5), centre).unwrap(),
                bevel: Angle::from_degrees(45.0),
                edge_height_mm: -4.0,
                abrasive: GrindingFace::Wheel { radius_mm: 75.0, width_mm },
                swing: Swing::to_either_side(Angle::from_degrees(half)).unwrap(),
                turn: Angle::from_degrees(turn),
            };
            if let Ok(surface) = GroundSurface::rolled(&setting) {
                all.push((format!("{centre} {turn} {half} {width_mm}"), surface));
            }
        }
    }
    all
}

#[test]
fn every_jump_of_the_edge_is_reported_with_both_setbacks() {
    let steel = parabola();
    let (mut steps, mut ends) = (0, 0);
    for (name, surface) in surfaces() {
        let expected = jumps(&surface, &steel);
        for count in [800, 1601] {
            let edge = Edge::trace(&surface, &steel, count);
            let reported = edge.breaks();
            // Where the wheel's side leaves a steep edge a small step may pass for its slope; half a millimetre does not.
            for jump in expected.iter().filter(|jump| jump.height() > 0.5) {
                let w = steel.wall_at(jump.t).x;
                assert!(
                    reported.iter().any(|one| (one.w_mm - w).abs() < 1e-6),
                    "{name}: {jump:?} of {reported:?}"
                );
            }
            for one in reported {
                let jump = expected.iter().find(|jump| (steel.wall_at(jump.t).x - one.w_mm).abs() < 1e-6);
                let jump = jump.unwrap_or_else(|| panic!("{name}: {one:?} of {expected:?}"));
                let same = |a: Option<f64>, b: Option<f64>| match (a, b) {
                    (Some(a), Some(b)) => (a - b).abs() < 1e-6,
                    (a, b) => a.is_none() && b.is_none(),
                };
                assert!(
                    same(one.before_mm, jump.before) && same(one.after_mm, jump.after),
                    "{one:?} {jump:?}"
                );
                assert!((one.h_mm - steel.wall_height_at(one.w_mm)).abs() < 1e-9);
                if jump.height().is_finite() {
                    steps += 1;
                } else {
                    ends += 1;
                }
            }
        }
    }
    assert!(steps > 20 && ends > 20, "{steps} {ends}");
}
