//! Outlines of a short piece of a tip: what lies behind the cut is not drawn, and nothing else changes.

use bevelbench_geometry::{
    DVec2,
    math::Angle,
    parts::{Bar, FluteShape},
    swept::{
        GrindingFace, GroundSurface, RollLine, Rolled, Steel, Swing, Tip,
        silhouette::{plan_outline, side_outline},
    },
};

/// A gouge with long wings: its outline reaches far back on both sides.
fn tip() -> Tip {
    let surface = GroundSurface::rolled(&Rolled {
        line: RollLine::through(DVec2::new(139.5, -49.5), 0.0).unwrap(),
        bevel: Angle::from_degrees(45.0),
        edge_height_mm: -4.0,
        abrasive: GrindingFace::Wheel { radius_mm: 75.0, width_mm: 40.0 },
        swing: Swing::ASSUMED,
        turn: Angle::ZERO,
    })
    .unwrap();
    let bar = Bar::new(16.0, FluteShape::Power { factor: 0.25, exponent: 2.0 }, -4.0).unwrap();
    Tip::new(surface, Steel::of_bar(&bar))
}

/// Derived here: the same outline cut off square at the length, between the same two corners.
#[test]
fn an_outline_ends_where_the_piece_does() {
    let tip = tip();
    for outline in [side_outline, plan_outline] {
        let whole = outline(&tip, 60.0, 120);
        let (first, last) = (whole[0], whole[whole.len() - 1]);
        let levels = &whole[1..whole.len() - 1];
        let foremost = levels.iter().map(|p| p.x).fold(f64::INFINITY, f64::min);
        let rearmost = levels.iter().map(|p| p.x).fold(f64::NEG_INFINITY, f64::max);
        for fraction in [0.2, 0.5, 0.8] {
            let length = foremost + fraction * (rearmost - foremost);
            let piece = outline(&tip, length, 120);
            assert!(piece.len() > 4 && piece.len() < whole.len(), "{length}");
            assert!(piece.iter().all(|p| p.x <= length));
            let mut expected: Vec<DVec2> = levels.iter().copied().filter(|p| p.x <= length).collect();
            expected.insert(0, DVec2::new(length, first.y));
            expected.push(DVec2::new(length, last.y));
            assert_eq!(piece, expected);
        }
    }
}
