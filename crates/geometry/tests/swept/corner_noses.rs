//! The look of a nose from the curvature of its edge at the very middle: V flutes ground flat and skewed, whose edge is
//! known in closed form.
//!
//! Derived here: a flat face at the bevel β past a right angle, the edge skewed by 45°, leaves `s = w + k(h − e)` with
//! `k = −cot β · √2` over the wall `h(w)`; a V of slope m and floor radius ρ has `h'' = 1/ρ` at its floor, so the edge
//! has the radius `2^1.5 ρ/k` there, and a level one, not skewed, `ρ/k`.

use approx::assert_relative_eq;
use bevelbench_geometry::{
    math::Angle,
    parts::{Bar, FlatKind, FlatStock, FluteShape, Plan, Presentation, Section},
    swept::{Edge, EdgeSummary, GrindingFace, GroundSurface, Nose, Pushed, Steel, Swing, TurnedOnTable},
};

const FLOOR_MM: f64 = -4.0;

fn degrees(x: f64) -> Angle {
    Angle::from_degrees(x)
}

fn vee(diameter_mm: f64, slope: f64, floor_radius_mm: f64, floor_mm: f64) -> Steel {
    Steel::of_bar(&Bar::new(diameter_mm, FluteShape::Vee { slope, floor_radius_mm }, floor_mm).unwrap())
}

/// A flat face whose edge falls back `k` for each millimetre of height above `edge_mm`.
fn falling(k: f64, obliquity: f64, edge_mm: f64) -> GroundSurface {
    let skew = degrees(obliquity);
    let bevel = Angle::HALF - Angle::from_radians((1.0 / (k * skew.sin())).atan());
    let surface = GroundSurface::pushed(&Pushed {
        bevel,
        edge_height_mm: edge_mm,
        abrasive: GrindingFace::Flat { width_mm: 40.0 },
        obliquity: skew,
        presentation: Presentation::EdgeParallelToSpindle,
    })
    .unwrap();
    for (w, h) in [(0.0, edge_mm), (0.3, edge_mm + 1.0), (-0.2, edge_mm + 0.5)] {
        let expected = w / skew.tan() + k * (h - edge_mm);
        assert_relative_eq!(surface.start_of_steel(w, h).unwrap().s_mm, expected, epsilon = 1e-9);
    }
    surface
}

fn look(surface: &GroundSurface, steel: &Steel) -> (Nose, f64) {
    let reported = EdgeSummary::of(&Edge::trace(surface, steel, 801), surface, steel).unwrap();
    (reported.nose, reported.nose_radius_mm.unwrap_or(f64::INFINITY))
}

#[test]
fn corner_is_distinguished_from_a_round_floor_whatever_the_skew() {
    // The steel may begin behind the nose station all along, by so much.
    for behind_mm in [0.0, 2.5] {
        for obliquity in [45.0_f64, 135.0, 90.0] {
            let level = (obliquity - 90.0).abs() < 1.0;
            let stretch: f64 = if level { 1.0 } else { 2.0_f64.powf(1.5) };
            for (radius, nose) in [(0.27, Nose::Pointed), (0.36, Nose::Rounded), (0.6, Nose::Rounded)] {
                let k = 4.0;
                let steel = vee(16.0, 0.9, radius * k / stretch, FLOOR_MM);
                // Raised so far that a skewed edge's leading wing stays behind the station too.
                let ahead = if level { 0.0 } else { leading(&steel, k) };
                let surface = falling(k, obliquity, FLOOR_MM - (ahead + behind_mm) / k);
                let (reported, fitted) = look(&surface, &steel);
                assert!(fitted > 0.3, "the circle through the middle tenth alone would not tell: {fitted}");
                assert_eq!(reported, nose, "{behind_mm} {obliquity} {radius}");
            }
        }
    }
}

/// How far the leading wing of an edge skewed by 45° comes ahead of its middle, by its wall in closed form.
fn leading(steel: &Steel, k: f64) -> f64 {
    (0..=1000)
        .map(|i| steel.half_width_mm() * f64::from(i) / 1000.0)
        .map(|w| w - k * (steel.wall_height_at(w) - FLOOR_MM))
        .fold(0.0, f64::max)
}

/// Derived here: a kink of m to either side looks like the radius `step/2m` over a step, here a fiftieth of the half
/// width; 0.3 mm of radius parts pointed from round.
#[test]
fn slight_corner_of_a_thin_bar_is_looked_at_from_nearer_by() {
    let steel = vee(1.2, 0.5, 0.0, -0.2);
    assert!(steel.half_width_mm() < 0.7);
    let limit = steel.half_width_mm() / 50.0 / 0.6;
    for (kink, nose) in [(1.1 * limit, Nose::Pointed), (0.9 * limit, Nose::Rounded)] {
        let (reported, fitted) = look(&falling(kink / 0.5, 90.0, -0.2), &steel);
        assert!(fitted > 0.3, "{fitted}");
        assert_eq!(reported, nose, "{kink}");
    }
}

/// Derived here: a U as narrow as a fifth of a millimetre, level in its very middle, is sharp all the same: no circle of
/// 0.3 mm goes into it.
#[test]
fn narrow_u_is_pointed_though_its_middle_is_level() {
    let shape = FluteShape::Power { factor: 1e6, exponent: 6.0 };
    let steel = Steel::of_bar(&Bar::new(1.0, shape, -0.4).unwrap());
    assert!(steel.half_width_mm() < 0.11);
    let (reported, fitted) = look(&falling(2.0, 90.0, -0.4), &steel);
    assert!(fitted < 0.3, "{fitted}");
    assert_eq!(reported, Nose::Pointed);
}

/// Three points are the fewest of an edge, and one circle goes through them: that of the swing.
#[test]
fn three_points_of_a_swung_scraper_give_its_radius() {
    let radius = 20.0;
    let surface = GroundSurface::turned_on_table(&TurnedOnTable {
        plan_radius_mm: radius,
        bevel: degrees(70.0),
        edge_height_mm: 3.0,
        abrasive: GrindingFace::Wheel { radius_mm: 75.0, width_mm: 20.0 },
        swing: Swing::to_either_side(degrees(90.0)).unwrap(),
    })
    .unwrap();
    let kind = FlatKind::Scraper { plan: Plan::Straight };
    let steel = Steel::of_flat(&FlatStock::new(25.0, 6.0, Section::Rectangular, kind).unwrap());
    let edge = Edge::trace(&surface, &steel, 3);
    assert_eq!(edge.points().len(), 3);
    let reported = EdgeSummary::of(&edge, &surface, &steel).unwrap();
    assert_relative_eq!(reported.nose_radius_mm.unwrap(), radius, max_relative = 1e-9);
}
