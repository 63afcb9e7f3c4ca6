//! Regrinds whose greatest loss lies between edge and heel, and several facets in a chain. Expected values are looked up
//! densely on the circles themselves, worked out from coordinates here.

use bevelbench_geometry::{
    DVec2,
    facet::{FacetCurve, Place, Regrind},
    math::Angle,
    parts::{Face, Hollow, PresentFacet, Profile},
    side::Facet,
};

const UNDER: f64 = 4.0;

fn deg(degrees: f64) -> Angle {
    Angle::from_degrees(degrees)
}

fn round(radius_mm: f64) -> Face {
    Face::Round { radius_mm }
}

fn ground(radius: f64, bevel: f64) -> FacetCurve {
    FacetCurve::of_ground(&Facet::ground(round(radius), deg(bevel), UNDER).unwrap(), round(radius))
}

/// How far behind its start an arc has come at a depth below it: `√(R² − (R cos β − t)²)` less its value at the start.
fn setback(radius: f64, bevel: f64, depth: f64) -> f64 {
    let (sin, cos) = bevel.to_radians().sin_cos();
    (radius * radius - (radius * cos - depth).powi(2)).sqrt() - radius * sin
}

fn chain(facets: &[(f64, f64, f64)]) -> Profile {
    let facets: Vec<PresentFacet> = facets
        .iter()
        .map(|&(radius_mm, bevel, width)| {
            PresentFacet::new(Hollow::Arc { radius_mm }, deg(bevel), width).unwrap()
        })
        .collect();
    Profile::new(&facets).unwrap()
}

/// Setback of a chain at a depth, facet by facet, straight on behind its heel.
fn chain_setback(facets: &[(f64, f64, f64)], depth: f64) -> f64 {
    let mut start = DVec2::ZERO;
    let mut across = 0.0_f64;
    for &(radius, bevel, width) in facets {
        across = bevel.to_radians() + (width / (2.0 * radius)).asin();
        let end = start + width * DVec2::new(across.cos(), across.sin());
        if depth <= end.y {
            return start.x + setback(radius, bevel, depth - start.y);
        }
        start = end;
    }
    start.x + (depth - start.y) / across.tan()
}

/// Arcs that leave the edge alike and bend differently are furthest apart where their slopes agree again.
#[test]
fn two_ground_facets_may_be_furthest_apart_between_edge_and_heel() {
    for (old, new) in
        [((100.0, 45.0), (50.0, 43.0)), ((50.0, 43.0), (100.0, 45.0)), ((40.0, 57.2), (120.0, 60.0))]
    {
        let cost = Regrind::between(ground(old.0, old.1), ground(new.0, new.1), UNDER);
        // cos β₀ − t/R₀ = cos β₁ − t/R₁.
        let cos = |bevel: f64| bevel.to_radians().cos();
        let depth = (cos(old.1) - cos(new.1)) / (1.0 / old.0 - 1.0 / new.0);
        let depth = depth.abs();
        assert!(depth > 0.5 && depth < UNDER - 0.5, "{depth}");
        let gap = setback(old.0, old.1, depth) - setback(new.0, new.1, depth);
        let at_heel = setback(old.0, old.1, UNDER) - setback(new.0, new.1, UNDER);
        assert!(gap.abs() > at_heel.abs());
        let (begins, ends) = cost.begins_and_ends();
        if gap > 0.0 {
            assert!((cost.length_lost_mm() - gap).abs() < 1e-12, "{} {gap}", cost.length_lost_mm());
            assert_eq!(ends, Place::Between);
        } else {
            assert_eq!(begins, Place::Between);
        }
    }
}

#[test]
fn length_lost_to_a_chain_is_the_greatest_lead_of_its_points() {
    let mut between = 0;
    for facets in [
        vec![(100.0, 50.0, 1.0), (150.0, 43.5, 5.0)],
        vec![(60.0, 38.0, 1.0), (30.0, 46.0, 1.5), (200.0, 40.0, 3.5)],
        vec![(40.0, 48.0, 0.5), (40.0, 44.0, 0.7), (125.0, 41.0, 4.0)],
        vec![(150.0, 55.0, 0.8), (30.0, 40.0, 5.0)],
        vec![(60.0, 50.0, 1.0), (30.0, 38.0, 4.5)],
        vec![(60.0, 36.0, 1.0), (25.0, 37.0, 0.8), (30.0, 38.0, 4.5)],
        vec![(60.0, 36.0, 1.0), (40.0, 50.0, 4.5)],
    ] {
        for (radius, bevel) in [
            (30.0, 48.0),
            (50.0, 44.0),
            (75.0, 42.0),
            (200.0, 46.0),
            (150.0, 40.0),
            (120.0, 42.0),
            (400.0, 44.0),
        ] {
            let cost =
                Regrind::between(FacetCurve::of_profile(&chain(&facets)), ground(radius, bevel), UNDER);
            let lead = |depth: f64| chain_setback(&facets, depth) - setback(radius, bevel, depth);
            let (mut most, mut place, mut taken) = (0.0, 0.0, 0.0);
            for i in 0..=10_000 {
                let depth = UNDER * f64::from(i) / 10_000.0;
                let here = lead(depth);
                if here > most {
                    (most, place) = (here, depth);
                }
                // By trapeziums, with the edge where it was.
                let weight = if i == 0 || i == 10_000 { 0.5 } else { 1.0 };
                taken += weight * (-here).max(0.0) * UNDER / 10_000.0;
            }
            let stated = format!("{facets:?} {radius} {bevel}");
            assert!(
                (cost.length_lost_mm() - most).abs() < 8e-5,
                "{stated}: {} {most}",
                cost.length_lost_mm()
            );
            assert!(
                (cost.removed_mm2(0.0) - taken).abs() < 1e-5,
                "{stated}: {} {taken}",
                cost.removed_mm2(0.0)
            );
            between += u32::from(place > 0.01 && place < UNDER - 0.01);
        }
    }
    assert!(between > 4, "{between}");
}

#[test]
fn a_bevel_without_width_is_refused() {
    let cost = Regrind::between(ground(75.0, 45.0), ground(75.0, 55.0), UNDER);
    assert_eq!(cost.length_lost_for_width_mm(0.0), None);
    assert_eq!(cost.length_lost_for_width_mm(-1.0), None);
    // As wide as the facet that reaches the underside is the widest.
    let whole = Facet::ground(round(75.0), deg(55.0), UNDER).unwrap().width_mm;
    assert!((cost.length_lost_for_width_mm(whole).unwrap() - cost.length_lost_mm()).abs() < 1e-9);
    assert_eq!(cost.length_lost_for_width_mm(whole * 1.001), None);
}
