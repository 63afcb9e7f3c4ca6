//! What a traced edge amounts to, for edges whose shape in plan is known.
#![allow(clippy::float_cmp, reason = "the very numbers of the edge")]

use approx::assert_relative_eq;
use bevelbench_geometry::{
    DVec2,
    math::Angle,
    parts::{Bar, FlatKind, FlatStock, FluteShape, Plan, Presentation, Section},
    swept::{
        Edge, EdgeSummary, GrindingFace, GroundSurface, Nose, Pushed, RollLine, Rolled, Steel, Swing,
        TurnedOnTable,
    },
};

fn degrees(x: f64) -> Angle {
    Angle::from_degrees(x)
}

fn blade(width_mm: f64) -> Steel {
    let kind = FlatKind::Scraper { plan: Plan::Straight };
    Steel::of_flat(&FlatStock::new(width_mm, 6.0, Section::Rectangular, kind).unwrap())
}

fn turned(radius_mm: f64, abrasive: GrindingFace) -> GroundSurface {
    GroundSurface::turned_on_table(&TurnedOnTable {
        plan_radius_mm: radius_mm,
        bevel: degrees(70.0),
        edge_height_mm: 3.0,
        abrasive,
        swing: Swing::to_either_side(degrees(90.0)).unwrap(),
    })
    .unwrap()
}

/// A scraper swung on its table has an arc for an edge: its radius is that of the swing, its length that of the arc.
#[test]
fn nose_of_a_swung_scraper_has_the_radius_of_its_swing() {
    for abrasive in
        [GrindingFace::Wheel { radius_mm: 75.0, width_mm: 20.0 }, GrindingFace::Flat { width_mm: 20.0 }]
    {
        for radius in [0.2, 0.4, 2.0, 11.0, 60.0, 900.0] {
            let width = (1.8_f64 * radius).min(25.0);
            let (surface, steel) = (turned(radius, abrasive), blade(width));
            let edge = Edge::trace(&surface, &steel, 801);
            let reported = EdgeSummary::of(&edge, &surface, &steel).unwrap();
            assert_relative_eq!(reported.nose_radius_mm.unwrap(), radius, max_relative = 1e-6);
            let half = (width / 2.0 / radius).asin();
            assert_relative_eq!(reported.edge_length_mm, 2.0 * radius * half, max_relative = 1e-5);
            assert_relative_eq!(reported.wing_sweep_mm(), radius * (1.0 - half.cos()), max_relative = 1e-9);
            assert_relative_eq!(reported.wing_difference_mm(), 0.0, epsilon = 1e-9);
            assert_relative_eq!(reported.foremost_mm, 0.0, epsilon = 1e-9);
            let nose = if radius < 0.3 { Nose::Pointed } else { Nose::Rounded };
            assert_eq!(reported.nose, nose, "{radius}");
            // The same wedge all along: the bevel, since the upper face is level.
            assert_relative_eq!(reported.least_wedge.degrees(), 70.0, epsilon = 1e-9);
            assert_relative_eq!(reported.greatest_wedge.degrees(), 70.0, epsilon = 1e-9);
        }
    }
}

#[test]
fn nose_of_a_straight_edge_has_no_radius() {
    for obliquity in [90.0, 65.0] {
        let surface = GroundSurface::pushed(&Pushed {
            bevel: degrees(40.0),
            edge_height_mm: 3.0,
            abrasive: GrindingFace::Wheel { radius_mm: 75.0, width_mm: 20.0 },
            obliquity: degrees(obliquity),
            presentation: Presentation::EdgeParallelToSpindle,
        })
        .unwrap();
        let steel = blade(25.0);
        let reported = EdgeSummary::of(&Edge::trace(&surface, &steel, 201), &surface, &steel).unwrap();
        assert_eq!(reported.nose_radius_mm, None);
        // 25 mm across, and longer the more it is skewed.
        assert_relative_eq!(reported.edge_length_mm, 25.0 / degrees(obliquity).sin(), max_relative = 1e-9);
        let slant = 25.0 / degrees(obliquity).tan();
        assert_relative_eq!(reported.wing_difference_mm(), slant, epsilon = 1e-9);
    }
}

fn rolled(turn: f64, half: f64, width_mm: f64) -> GroundSurface {
    GroundSurface::rolled(&Rolled {
        line: RollLine::through(DVec2::new(139.5, -49.5), 0.0).unwrap(),
        bevel: degrees(45.0),
        edge_height_mm: -4.0,
        abrasive: GrindingFace::Wheel { radius_mm: 75.0, width_mm },
        swing: Swing::to_either_side(degrees(half)).unwrap(),
        turn: degrees(turn),
    })
    .unwrap()
}

/// A flute with a sharp floor gives an edge with a corner: pointed, though a circle laid through the middle tenth of the
/// edge is not so small.
#[test]
fn flute_with_a_sharp_floor_has_a_pointed_nose() {
    let pushed = |bevel: f64| {
        GroundSurface::pushed(&Pushed {
            bevel: degrees(bevel),
            edge_height_mm: -4.0,
            abrasive: GrindingFace::Flat { width_mm: 40.0 },
            obliquity: Angle::QUARTER,
            presentation: Presentation::EdgeParallelToSpindle,
        })
        .unwrap()
    };
    for bevel in [100.0, 120.0, 140.0] {
        // Beyond a right angle the face leans over and the wings fall back.
        let surface = pushed(bevel);
        let of = |floor_radius_mm: f64| {
            let shape = FluteShape::Vee { slope: 0.9, floor_radius_mm };
            let steel = Steel::of_bar(&Bar::new(30.0, shape, -4.0).unwrap());
            EdgeSummary::of(&Edge::trace(&surface, &steel, 801), &surface, &steel).unwrap()
        };
        let sharp = of(0.0);
        assert_eq!(sharp.nose, Nose::Pointed, "{sharp:?}");
        assert!(sharp.nose_radius_mm.unwrap() > 0.3, "{sharp:?}");
        assert_eq!(of(9.0).nose, Nose::Rounded, "{:?}", of(9.0));
    }
}

/// A narrow wheel that is hardly swung meets a turned tool beside its middle only.
#[test]
fn edge_ground_on_one_side_only_is_reported() {
    let steel =
        Steel::of_bar(&Bar::new(16.0, FluteShape::Power { factor: 0.25, exponent: 2.0 }, -4.0).unwrap());
    for turn in [-40.0, 40.0] {
        let surface = rolled(turn, 0.2, 0.5);
        let edge = Edge::trace(&surface, &steel, 801);
        let points = edge.points();
        assert!(points.len() > 10 && points.len() + edge.unreached() == 801);
        assert!(points.iter().all(|point| point.w_mm * turn < 0.0), "{points:?}");
        let reported = EdgeSummary::of(&edge, &surface, &steel).unwrap();
        assert_eq!(reported.minus.sweep_mm, points[0].s_mm);
        assert_eq!(reported.plus.sweep_mm, points[points.len() - 1].s_mm);
        let foremost = points.iter().map(|point| point.s_mm).fold(f64::INFINITY, f64::min);
        assert_eq!((reported.foremost_mm, reported.nose), (foremost, Nose::Bulged));
    }
}
