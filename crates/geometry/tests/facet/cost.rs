//! What a regrind costs, checked by polygons clipped by another program, by dense sampling, and by cases that must
//! collapse.

use bevelbench_geometry::{
    DVec2,
    facet::{FacetCurve, Place, Regrind, TimedGrind, ToolLife},
    math::Angle,
    parts::{Face, Hollow, PresentFacet, Profile},
    side::Facet,
};
use i_overlay::{
    core::{fill_rule::FillRule, overlay_rule::OverlayRule},
    float::single::SingleFloatOverlay,
};

const UNDER: f64 = 4.0;

fn deg(degrees: f64) -> Angle {
    Angle::from_degrees(degrees)
}

fn round(radius_mm: f64) -> Face {
    Face::Round { radius_mm }
}

const FLAT: Face = Face::Flat { normal: Angle::ZERO };

fn present(hollow: Hollow, bevel: f64, width: f64) -> PresentFacet {
    PresentFacet::new(hollow, deg(bevel), width).unwrap()
}

/// A facet as it is that reaches the underside.
fn whole(face: Face, bevel: f64) -> PresentFacet {
    let facet = Facet::ground(face, deg(bevel), UNDER).unwrap();
    let hollow = face.radius_mm().map_or(Hollow::Flat, |radius_mm| Hollow::Arc { radius_mm });
    present(hollow, bevel, facet.width_mm)
}

/// Pairs of an old facet and a new one of every kind.
fn pairs() -> Vec<(&'static str, PresentFacet, Face, f64)> {
    vec![
        ("keener", whole(round(75.0), 45.0), round(75.0), 38.0),
        ("blunter", whole(round(75.0), 45.0), round(75.0), 52.0),
        ("larger wheel", whole(round(60.0), 45.0), round(100.0), 45.0),
        ("smaller wheel", whole(round(100.0), 45.0), round(60.0), 45.0),
        ("larger wheel, same across", whole(round(40.0), 43.0), round(125.0), 45.2),
        ("smaller wheel, same across", whole(round(125.0), 45.0), round(40.0), 43.0),
        ("from flat", whole(FLAT, 45.0), round(75.0), 44.0),
        ("to flat", whole(round(75.0), 45.0), FLAT, 46.5),
        ("narrow facet, keener", present(Hollow::Flat, 50.0, 2.0), round(75.0), 44.0),
        ("narrow facet, blunter", present(Hollow::Arc { radius_mm: 40.0 }, 40.0, 2.0), round(75.0), 43.0),
        ("very blunt", whole(round(75.0), 80.0), round(75.0), 95.0),
    ]
}

fn regrind(old: &PresentFacet, face: Face, bevel: f64) -> Regrind {
    Regrind::new(old, &Facet::ground(face, deg(bevel), UNDER).unwrap(), face, UNDER)
}

/// The old facet by depth, from its own points: a dense chain, straight on behind its heel.
fn old_chain(old: &PresentFacet) -> Vec<DVec2> {
    let mut chain: Vec<DVec2> = (0..=4000).map(|i| old.point_at(f64::from(i) / 4000.0)).collect();
    let heel = old.heel_from_edge();
    if -heel.y < UNDER {
        let (sin, cos) = old.across().sin_cos();
        chain.push(heel + (UNDER + heel.y) * DVec2::new(cos / sin, -1.0));
    }
    chain
}

/// The wheel (or the half-plane) that grinds a bevel with its edge `lost` behind the old one.
fn cutter(face: Face, bevel: f64, lost: f64) -> Vec<[f64; 2]> {
    let (sin, cos) = deg(bevel).sin_cos();
    match face {
        Face::Round { radius_mm } => (0..60_000)
            .map(|i| {
                let turn = std::f64::consts::TAU * f64::from(i) / 60_000.0;
                [lost + radius_mm * (turn.cos() - sin), radius_mm * (turn.sin() - cos)]
            })
            .collect(),
        Face::Flat { .. } => {
            let (along, down) = (DVec2::new(cos, -sin) * 200.0, DVec2::new(-sin, -cos) * 200.0);
            let edge = DVec2::new(lost, 0.0);
            [edge - along, edge + along, edge + along + down, edge - along + down]
                .map(|p| [p.x, p.y])
                .to_vec()
        }
    }
}

/// Polygon clipping by `i_overlay`: old steel less the new wheel, at no, some and full loss of length.
#[test]
fn removed_steel_is_what_polygon_clipping_removes() {
    for (name, old, face, bevel) in pairs() {
        let cost = regrind(&old, face, bevel);
        let full = cost.length_lost_mm();
        for lost in [0.0, 0.3 * full, full, full + 0.4] {
            // The steel between old facet, underside and a plane far behind, below the edge's height.
            let mut steel: Vec<[f64; 2]> = old_chain(&old).iter().map(|p| [p.x, p.y]).collect();
            steel.extend([[40.0, -UNDER], [40.0, 0.0]]);
            let taken = steel.overlay_as::<i64>(
                &cutter(face, bevel, lost),
                OverlayRule::Intersect,
                FillRule::NonZero,
            );
            let area: f64 =
                taken.iter().flat_map(|shape| shape.iter()).map(|ring| ring_area(ring)).sum::<f64>().abs();
            let reported = cost.removed_mm2(lost);
            assert!((area - reported).abs() < 3e-6 + 2e-5 * reported, "{name} {lost}: {area} {reported}");
        }
    }
}

/// By dense sampling of both curves.
#[test]
fn length_lost_is_the_greatest_setback_of_the_old_facet_over_the_new() {
    for (name, old, face, bevel) in pairs() {
        let cost = regrind(&old, face, bevel);
        let chain = old_chain(&old);
        // How far the new edge must go back for each old point to lie in front of the new facet.
        let (sin, cos) = deg(bevel).sin_cos();
        let needed = |p: DVec2| match face {
            Face::Round { radius_mm } => {
                let rise = p.y + radius_mm * cos;
                p.x + radius_mm * sin - (radius_mm * radius_mm - rise * rise).sqrt()
            }
            Face::Flat { .. } => p.x + p.y * cos / sin,
        };
        let most = chain.iter().map(|p| needed(*p)).fold(0.0, f64::max);
        assert!((cost.length_lost_mm() - most).abs() < 2e-6, "{name}: {} {most}", cost.length_lost_mm());
    }
}

/// Polygon clipping again: tools that carry several facets, and one asked for in front of them.
#[test]
fn several_facets_are_one_chain() {
    let chains = [
        vec![
            present(Hollow::Arc { radius_mm: 75.0 }, 45.0, 1.5),
            present(Hollow::Arc { radius_mm: 75.0 }, 30.0, 3.0),
        ],
        vec![
            present(Hollow::Flat, 50.0, 1.0),
            present(Hollow::Arc { radius_mm: 100.0 }, 38.0, 2.0),
            present(Hollow::Flat, 25.0, 2.0),
        ],
        vec![present(Hollow::Flat, 35.0, 1.0), present(Hollow::Flat, 55.0, 6.0)],
    ];
    for facets in chains {
        let profile = Profile::new(&facets).unwrap();
        for (face, bevel) in [(round(75.0), 42.0), (round(100.0), 36.0), (FLAT, 52.0)] {
            let new = Facet::ground(face, deg(bevel), UNDER).unwrap();
            let cost =
                Regrind::between(FacetCurve::of_profile(&profile), FacetCurve::of_ground(&new, face), UNDER);
            let mut chain: Vec<DVec2> = Vec::new();
            for (facet, start) in profile.facets() {
                chain.extend((0..=2000).map(|i| start + facet.point_at(f64::from(i) / 2000.0)));
            }
            let (last, start) = profile.facets().last().unwrap();
            let heel = start + last.heel_from_edge();
            let (sin, cos) = last.across().sin_cos();
            if -heel.y < UNDER {
                chain.push(heel + (UNDER + heel.y) * DVec2::new(cos / sin, -1.0));
            }
            // What reaches below the underside is no steel.
            let floor = [[-90.0, -UNDER], [90.0, -UNDER], [90.0, 0.0], [-90.0, 0.0]].to_vec();
            let mut steel: Vec<[f64; 2]> = chain.iter().map(|p| [p.x, p.y]).collect();
            let low = chain.last().unwrap().y;
            steel.extend([[40.0, low], [40.0, 0.0]]);
            let full = cost.length_lost_mm();
            for lost in [0.0, 0.5 * full, full] {
                let within = steel.overlay_as::<i64>(&floor, OverlayRule::Intersect, FillRule::NonZero);
                let taken = within.overlay_as::<i64>(
                    &cutter(face, bevel, lost),
                    OverlayRule::Intersect,
                    FillRule::NonZero,
                );
                let area: f64 = taken.iter().flat_map(|shape| shape.iter()).map(|ring| ring_area(ring)).sum();
                let reported = cost.removed_mm2(lost);
                assert!(
                    (area.abs() - reported).abs() < 3e-6 + 2e-5 * reported,
                    "{facets:?} {bevel} {lost}: {area} {reported}"
                );
            }
        }
    }
}

fn ring_area(ring: &[[f64; 2]]) -> f64 {
    let next = ring.iter().cycle().skip(1);
    ring.iter().zip(next).map(|(a, b)| a[0] * b[1] - a[1] * b[0]).sum::<f64>() / 2.0
}

/// Section 5 of the model: keener begins at the heel and loses no length; blunter begins at the edge.
#[test]
fn keener_begins_at_the_heel_and_loses_no_length() {
    let keener = regrind(&whole(round(75.0), 45.0), round(75.0), 38.0);
    assert!(keener.length_lost_mm() <= 0.0);
    assert_eq!(keener.begins_and_ends(), (Place::Heel, Place::Edge));
    assert!(keener.removed_mm2(0.0) > 1.0);
    let blunter = regrind(&whole(round(75.0), 45.0), round(75.0), 52.0);
    assert_eq!(blunter.begins_and_ends(), (Place::Edge, Place::Heel));
    assert!(blunter.length_lost_mm() > 0.5 && blunter.removed_mm2(0.0) <= 0.0);
    // Section 4: a larger wheel at equal bevel at the edge touches the heel first, a smaller one the edge.
    let larger = regrind(&whole(round(60.0), 45.0), round(100.0), 45.0);
    assert_eq!(larger.begins_and_ends().0, Place::Heel);
    let smaller = regrind(&whole(round(100.0), 45.0), round(60.0), 45.0);
    assert_eq!(smaller.begins_and_ends().0, Place::Edge);
}

#[test]
fn the_same_facet_again_costs_nothing_and_a_millimetre_costs_a_slice() {
    for face in [round(75.0), FLAT] {
        let cost = regrind(&whole(face, 45.0), face, 45.0);
        assert!(cost.length_lost_mm() < 1e-12 && cost.removed_mm2(0.0) < 1e-12);
        assert!((cost.removed_mm2(1.0) - UNDER).abs() < 1e-9);
    }
}

/// Derived here: between two flats the steel is a triangle.
#[test]
fn between_flats_the_steel_is_a_triangle() {
    let (old, new) = (50.0_f64, 40.0_f64);
    let cost = regrind(&whole(FLAT, old), FLAT, new);
    let cot = |degrees: f64| 1.0 / degrees.to_radians().tan();
    assert!((cost.removed_mm2(0.0) - UNDER * UNDER / 2.0 * (cot(new) - cot(old))).abs() < 1e-9);
    let back = regrind(&whole(FLAT, new), FLAT, old);
    assert!((back.length_lost_mm() - UNDER * (cot(new) - cot(old))).abs() < 1e-9);
}

#[test]
fn a_narrow_edge_bevel_ends_on_the_old_facet() {
    let old = whole(round(75.0), 45.0);
    let cost = regrind(&old, round(75.0), 55.0);
    let mut last = 0.0;
    for width in [0.1, 0.5, 1.0, 2.0, 4.0] {
        let lost = cost.length_lost_for_width_mm(width).unwrap();
        assert!(lost > last && lost < cost.length_lost_mm());
        last = lost;
        // By coordinates: the point on the new arc at that chord lies on the old wheel.
        let turn = (width / 150.0).asin();
        let (sin, cos) = (deg(55.0).radians() + turn).sin_cos();
        let end = DVec2::new(lost, 0.0) + width * DVec2::new(cos, -sin);
        let (sin, cos) = deg(45.0).sin_cos();
        assert!((end.distance(-75.0 * DVec2::new(sin, cos)) - 75.0).abs() < 1e-9);
    }
    assert_eq!(cost.length_lost_for_width_mm(40.0), None);
    assert_eq!(cost.length_lost_for_width_mm(f64::NAN), None);
    assert!(cost.removed_mm2(f64::NAN) <= 0.0);
}

#[test]
fn outline_of_what_is_taken_encloses_it() {
    for (name, old, face, bevel) in pairs() {
        let cost = regrind(&old, face, bevel);
        let lost = cost.length_lost_mm();
        let rungs: Vec<[DVec2; 2]> = cost.removed_outline(lost, 4000).collect();
        let area: f64 = rungs
            .windows(2)
            .map(|two| {
                let width = |rung: [DVec2; 2]| rung[1].x - rung[0].x;
                f64::midpoint(width(two[0]), width(two[1])) * (two[0][0].y - two[1][0].y)
            })
            .sum();
        assert!((area - cost.removed_mm2(lost)).abs() < 1e-5, "{name}: {area}");
    }
}

#[test]
fn grinding_time_scales_from_one_timed_grind() {
    let timed = TimedGrind::new(20.0, 3.0, Some(12.0)).unwrap();
    assert_eq!((timed.minutes_for(60.0), timed.passes_for(60.0)), (9.0, Some(36.0)));
    assert_eq!(TimedGrind::new(20.0, 3.0, None).unwrap().passes_for(60.0), None);
    for bad in [0.0, -1.0, f64::NAN, f64::INFINITY] {
        assert!(TimedGrind::new(bad, 3.0, None).is_none());
        assert!(TimedGrind::new(20.0, bad, None).is_none());
        assert!(TimedGrind::new(20.0, 3.0, Some(bad)).is_none());
    }
}

#[test]
fn a_tool_lasts_as_many_regrinds_as_fit_into_its_flute() {
    let life = ToolLife { usable_mm: 10.0, lost_each_mm: 0.1, regrinds_a_year: Some(25.0) };
    assert_eq!((life.regrinds_left(), life.years_left()), (Some(100.0), Some(4.0)));
    let nothing = ToolLife { lost_each_mm: 0.0, ..life };
    assert_eq!((nothing.regrinds_left(), nothing.years_left()), (None, None));
    for bad in [f64::NAN, f64::INFINITY, -1.0] {
        assert_eq!(ToolLife { usable_mm: bad, ..life }.regrinds_left(), None);
        assert_eq!(ToolLife { lost_each_mm: f64::NAN, ..life }.regrinds_left(), None);
        let years = ToolLife { regrinds_a_year: Some(bad), ..life }.years_left();
        assert!(years.is_none_or(f64::is_finite));
    }
    assert_eq!(ToolLife { regrinds_a_year: None, ..life }.years_left(), None);
}
