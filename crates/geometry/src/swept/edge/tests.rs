//! The cheek in closed form, breaks and slopes of the edge, and an edge that has no middle.

use super::*;
use crate::{
    parts::{
        blank::{Bar, FlatKind, FlatStock, Plan, Section},
        flute::FluteShape,
        oblique::Presentation,
    },
    swept::{
        ground::{GrindingFace, Pushed, Rolled},
        roll::{RollLine, Swing},
    },
};

/// The cheek's closed form against a search that only asks where steel begins.
#[test]
fn cheeks_in_closed_form_are_those_of_the_search() {
    let bar = Bar::new(16.0, FluteShape::Power { factor: 0.25, exponent: 2.0 }, -4.0).unwrap();
    let gouge = Steel::of_bar(&bar);
    let wheel = GrindingFace::Wheel { radius_mm: 75.0, width_mm: 40.0 };
    let rolled = [(0.0, 90.0, 0.0), (1.0, 140.0, 5.0), (-2.0, 60.0, -4.0), (3.0, 180.0, 0.0)].map(
        |(centre, half, turn)| {
            GroundSurface::rolled(&Rolled {
                line: RollLine::through(DVec2::new(139.5, -49.5), centre).unwrap(),
                bevel: Angle::from_degrees(45.0),
                edge_height_mm: -4.0,
                abrasive: wheel,
                swing: Swing::to_either_side(Angle::from_degrees(half)).unwrap(),
                turn: Angle::from_degrees(turn),
            })
            .unwrap()
        },
    );
    let flat = GrindingFace::Flat { width_mm: 40.0 };
    let pushed = [(wheel, 90.0, 25.0), (wheel, 70.0, 15.0), (flat, 90.0, 25.0), (flat, 65.0, 20.0)].map(
        |(abrasive, obliquity, bevel)| {
            GroundSurface::pushed(&Pushed {
                bevel: Angle::from_degrees(bevel),
                edge_height_mm: 0.0,
                abrasive,
                obliquity: Angle::from_degrees(obliquity),
                presentation: Presentation::EdgeParallelToSpindle,
            })
            .unwrap()
        },
    );
    let blade = |section: Section| {
        let kind = FlatKind::Scraper { plan: Plan::Straight };
        Steel::of_flat(&FlatStock::new(25.0, 7.0, section, kind).unwrap())
    };
    let cases = rolled
        .iter()
        .map(|surface| (surface, gouge))
        .chain(pushed.iter().map(|surface| (surface, gouge)))
        .chain(pushed.iter().map(|surface| (surface, blade(Section::Rectangular))))
        .chain(pushed.iter().map(|surface| (surface, blade(Section::Oval))));
    let mut within_the_steel = 0;
    for (surface, steel) in cases {
        for p in Edge::trace(surface, &steel, 81).points() {
            let wall = DVec2::new(p.w_mm, p.h_mm);
            let inward = -steel.wall_normal_at(p.w_mm);
            let through = steel.way_out(wall, inward);
            let found = thickness_by_search(surface, wall, inward, p.s_mm + CHEEK_BEHIND_MM, through);
            assert!((found - p.cheek_thickness_mm).abs() < 1e-5, "{found} {p:?}");
            within_the_steel += usize::from(found < through);
        }
    }
    assert!(within_the_steel > 300, "{within_the_steel}");
}

fn traced(w_mm: f64, h_mm: f64, s_mm: f64, slope: f64) -> (EdgePoint, f64) {
    let point = EdgePoint {
        w_mm,
        h_mm,
        s_mm,
        bevel_to_axis: Angle::ZERO,
        wedge: Angle::ZERO,
        facet_width_mm: 0.0,
        heel: DVec3::ZERO,
        cheek_thickness_mm: 0.0,
        roll: Angle::ZERO,
        face: GroundBy::Sweep,
    };
    (point, slope)
}

// Derived here: five millimetres of wall (3, 4) at the mean slope 0.4 climb two; two hundredths and a tenth of what
// they do climb are allowed besides, so that the limits are (2 − 0.02)/1.1 and (2 + 0.02)/0.9.
#[test]
fn what_the_slopes_explain_and_a_tenth_is_no_break() {
    let (least, most) = (1.98 / 1.1, 2.02 / 0.9);
    for (rise, broken) in [
        (2.0, false),
        (least + 1e-6, false),
        (most - 1e-6, false),
        (least - 1e-6, true),
        (most + 1e-6, true),
        (-2.0, true),
        (0.0, true),
    ] {
        // Uphill from one wing and, mirrored, downhill to the other.
        let (before, after) = (traced(1.0, 2.0, 7.0, 0.2), traced(4.0, 6.0, 7.0 + rise, 0.6));
        assert_eq!(looks_broken(Some(&before), Some(&after)), broken, "{rise}");
        let (before, after) = (traced(-4.0, 6.0, 7.0 + rise, -0.6), traced(-1.0, 2.0, 7.0, -0.2));
        assert_eq!(looks_broken(Some(&before), Some(&after)), broken, "{rise}");
    }
    // The limit itself, exactly: a level edge whose slopes say two hundredths.
    let (before, after) = (traced(0.0, 0.0, 0.0, 0.02), traced(1.0, 0.0, 0.0, 0.02));
    assert!(!looks_broken(Some(&before), Some(&after)));
    assert!(looks_broken(Some(&before), None) && looks_broken(None, Some(&after)));
    assert!(!looks_broken(None, None));
}

/// Against the difference of two places of the wall close by, over the way between them.
#[test]
fn slope_of_the_edge_is_that_of_its_neighbours() {
    let gouge =
        Steel::of_bar(&Bar::new(16.0, FluteShape::Power { factor: 0.25, exponent: 2.0 }, -4.0).unwrap());
    let rolled = GroundSurface::rolled(&Rolled {
        line: RollLine::through(DVec2::new(139.5, -49.5), 0.0).unwrap(),
        bevel: Angle::from_degrees(45.0),
        edge_height_mm: -4.0,
        abrasive: GrindingFace::Wheel { radius_mm: 75.0, width_mm: 40.0 },
        swing: Swing::to_either_side(Angle::from_degrees(120.0)).unwrap(),
        turn: Angle::from_degrees(5.0),
    })
    .unwrap();
    let skewed = GroundSurface::pushed(&Pushed {
        bevel: Angle::from_degrees(35.0),
        edge_height_mm: -4.0,
        abrasive: GrindingFace::Wheel { radius_mm: 75.0, width_mm: 40.0 },
        obliquity: Angle::from_degrees(65.0),
        presentation: Presentation::EdgeParallelToSpindle,
    })
    .unwrap();
    for surface in [rolled, skewed] {
        for t in [-0.85, -0.5, -0.2, 0.1, 0.35, 0.6, 0.8] {
            let (_, slope) = EdgePoint::with_slope(&surface, &gouge, t).unwrap();
            let place = |t: f64| {
                let wall = gouge.wall_at(t);
                (wall, surface.start_of_steel(wall.x, wall.y).unwrap().s_mm)
            };
            let ((one, s_one), (other, s_other)) = (place(t - 1e-4), place(t + 1e-4));
            let expected = (s_other - s_one) / one.distance(other);
            assert!((slope - expected).abs() < 1e-5, "{t}: {slope} {expected}");
        }
    }
}

/// A small wheel far below a shallow flute with a high roll centre comes to both wings and not to the middle between:
/// both halves of such an edge have the same points, and both its breaks are reported.
#[test]
fn edge_without_a_middle_is_mirrored_whole() {
    let shape = FluteShape::Power { factor: 0.05, exponent: 2.0 };
    let steel = Steel::of_bar(&Bar::new(30.0, shape, 0.0).unwrap());
    let surface = GroundSurface::rolled(&Rolled {
        line: RollLine::through(DVec2::new(139.5, -49.5), 8.0).unwrap(),
        bevel: Angle::from_degrees(45.0),
        edge_height_mm: -4.0,
        abrasive: GrindingFace::Wheel { radius_mm: 5.0, width_mm: 40.0 },
        swing: Swing::to_either_side(Angle::from_degrees(120.0)).unwrap(),
        turn: Angle::ZERO,
    })
    .unwrap();
    for count in [200, 201] {
        let edge = Edge::trace(&surface, &steel, count);
        let places = (0..count).map(|i| steel.wall_at(2.0 * i as f64 / (count - 1) as f64 - 1.0));
        let reached: Vec<f64> =
            places.filter(|p| surface.start_of_steel(p.x, p.y).is_some()).map(|p| p.x).collect();
        assert!(reached.len() > 20 && reached.iter().all(|w| w.abs() > 0.5), "{reached:?}");
        assert_eq!(edge.points().len(), reached.len());
        assert_eq!(edge.unreached(), count - reached.len());
        for (point, w) in edge.points().iter().zip(&reached) {
            assert!((point.w_mm - w).abs() < 1e-12);
        }
        let [left, right] = edge.breaks() else { panic!("{:?}", edge.breaks()) };
        assert!((left.w_mm + right.w_mm).abs() < 1e-12 && left.w_mm < 0.0);
        assert!(left.before_mm.is_some() && left.after_mm.is_none());
        assert!(right.after_mm == left.before_mm && right.before_mm.is_none());
    }
}
