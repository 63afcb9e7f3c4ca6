//! Ink over swings that go all the way round, and of a scraper swung upright on its table: exact special cases.

use approx::assert_relative_eq;
use bevelbench_geometry::{
    DVec2, DVec3,
    math::Angle,
    parts::{Bar, FlatKind, FlatStock, FluteShape, Plan, Section},
    swept::{
        GrindingFace, GroundSurface, RollLine, Rolled, Settling, Steel, SweptInk, Swing, Tip, TurnedOnTable,
    },
};

fn degrees(x: f64) -> Angle {
    Angle::from_degrees(x)
}

/// Derived here: a place of the middle above the roll line is at half a turn to either side, by the sign of its zero
/// across; a symmetric grind has the same gap there, whichever way round.
#[test]
fn half_a_turn_either_way_is_the_same_place() {
    let steel =
        Steel::of_bar(&Bar::new(16.0, FluteShape::Power { factor: 0.25, exponent: 2.0 }, -4.0).unwrap());
    let rolled = |bevel: f64| {
        GroundSurface::rolled(&Rolled {
            line: RollLine::through(DVec2::new(139.5, -49.5), 0.0).unwrap(),
            bevel: degrees(bevel),
            edge_height_mm: -4.0,
            abrasive: GrindingFace::Wheel { radius_mm: 75.0, width_mm: 40.0 },
            swing: Swing::to_either_side(degrees(180.0)).unwrap(),
            turn: Angle::ZERO,
        })
        .unwrap()
    };
    let pivot = Settling::AboutPivot { pivot_in_tool: DVec2::new(139.5, -49.5) };
    let ink = SweptInk::new(&Tip::new(rolled(45.0), steel), &rolled(48.0), pivot);
    for (s, h) in [(0.0, 4.0), (2.0, 3.0), (6.0, 5.0)] {
        let gap = |w: f64| ink.gap_at_mm(DVec3::new(s, h, w));
        let (plus, minus) = (gap(0.0), gap(-0.0));
        assert_eq!(plus.is_some(), minus.is_some());
        if let (Some(plus), Some(minus)) = (plus, minus) {
            assert_relative_eq!(plus, minus, epsilon = 1e-9);
        }
    }
}

/// Derived here: ground at a right angle the face stands upright, square to the table on which the scraper is pushed
/// against a flat stone, and rests on it all over; a keener one (its bevel smaller by δ) rests at its edge, its heel
/// `width · sin δ` off.
#[test]
fn scraper_pushed_along_its_table_rests_on_its_face() {
    let kind = FlatKind::Scraper { plan: Plan::Straight };
    let steel = Steel::of_flat(&FlatStock::new(25.0, 6.0, Section::Rectangular, kind).unwrap());
    let turned = |bevel: f64| {
        GroundSurface::turned_on_table(&TurnedOnTable {
            plan_radius_mm: 20.0,
            bevel: degrees(bevel),
            edge_height_mm: 3.0,
            abrasive: GrindingFace::Flat { width_mm: 20.0 },
            swing: Swing::to_either_side(degrees(90.0)).unwrap(),
        })
        .unwrap()
    };
    let upright = turned(90.0);
    let (square, keener) = (Tip::new(upright, steel), Tip::new(turned(86.0), steel));
    let ink = SweptInk::new(&square, &upright, Settling::AlongTable);
    for t in [-0.7, -0.2, 0.0, 0.4, 0.8] {
        let facing = ink.facing(&square, t, 1e-6).unwrap();
        assert_relative_eq!(facing.facet_mm, 6.0, max_relative = 1e-9);
        assert_relative_eq!(facing.inked_mm, 6.0, max_relative = 1e-9);
    }
    let ink = SweptInk::new(&keener, &upright, Settling::AlongTable);
    let facing = ink.facing(&keener, 0.0, 1e-6).unwrap();
    let width = 6.0 / degrees(86.0).sin();
    assert_relative_eq!(facing.facet_mm, width, max_relative = 1e-9);
    assert!(facing.edge_gap_mm < 1e-6, "{facing:?}");
    assert_relative_eq!(facing.heel_gap_mm, width * degrees(4.0).sin(), epsilon = 1e-6);
}
