//! The swung gouge against independent methods: the quartic, the limits that must collapse, common
//! practice.

use approx::assert_relative_eq;
use bevelbench_geometry::{
    math::{Angle, roots::roots_within},
    parts::{Bar, FluteShape},
    swept::{
        edge::Edge,
        ground::{GrindingFace, GroundSurface, Rolled},
        hit::GroundBy,
        roll::{RollLine, Swing},
        steel::Steel,
    },
};
use glam::{DVec2, DVec3};
use proptest::prelude::*;

const WHEEL: GrindingFace = GrindingFace::Wheel { radius_mm: 75.0, width_mm: 40.0 };

fn degrees(x: f64) -> Angle {
    Angle::from_degrees(x)
}

fn rolled() -> Rolled {
    Rolled {
        line: RollLine::through(DVec2::new(139.5, -49.5), 0.0).unwrap(),
        bevel: degrees(45.0),
        edge_height_mm: -4.0,
        abrasive: WHEEL,
        swing: Swing::ASSUMED,
        turn: Angle::ZERO,
    }
}

fn parabola() -> Steel {
    Steel::of_bar(&Bar::new(16.0, FluteShape::Power { factor: 0.25, exponent: 2.0 }, -4.0).unwrap())
}

fn swing(half: f64) -> Swing {
    Swing::to_either_side(degrees(half)).unwrap()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 3000, max_global_rejects: 30_000, failure_persistence: None, ..ProptestConfig::default() })]

    /// Independent method: the quartic `(U² + r² + r_C² − R²)² = 4 r_C² r²`, all its roots isolated, those
    /// of the mirrored sheet and those outside the swing dropped, the greatest kept.
    #[test]
    fn first_crossing_is_the_greatest_root_of_the_quartic(
        centre in -4.0_f64..8.0,
        (pivot_s, pivot_h) in (60.0_f64..200.0, -90.0_f64..40.0),
        bevel in 15.0_f64..85.0,
        half in 20.0_f64..180.0,
        turn in prop_oneof![Just(0.0), -15.0_f64..15.0],
        radius in 20.0_f64..150.0,
        w in prop_oneof![1 => Just(0.0), 5 => -8.0_f64..8.0],
        h in -8.0_f64..8.0,
    ) {
        let setting = Rolled {
            line: RollLine::through(DVec2::new(pivot_s, pivot_h), centre).unwrap(),
            bevel: degrees(bevel),
            abrasive: GrindingFace::Wheel { radius_mm: radius, width_mm: 1e-5 },
            swing: swing(half),
            turn: degrees(turn),
            ..rolled()
        };
        let Ok(surface) = GroundSurface::rolled(&setting) else { return Ok(()) };
        let c = surface.wheel_centre_by_roll_line().unwrap();
        // The frame, written out anew from the page.
        let (sin, cos) = setting.turn.sin_cos();
        let (q, b) = (h * cos + w * sin - centre, w * cos - h * sin);
        let (d, n) = (setting.line.along_in_tool(), setting.line.square_in_tool());
        let (u0, u1, a0, a1) = (q * d.y - c.x, d.x, q * n.y, n.x);
        // U² + r² + k = P(s), r² = Q(s).
        let k = c.y * c.y - radius * radius;
        let p = [u0 * u0 + a0 * a0 + b * b + k, 2.0 * (u0 * u1 + a0 * a1), u1 * u1 + a1 * a1];
        let r2 = [a0 * a0 + b * b, 2.0 * a0 * a1, a1 * a1];
        let mut quartic = [0.0; 5];
        for i in 0..3 {
            for j in 0..3 {
                quartic[i + j] += p[i] * p[j];
            }
            quartic[i] -= 4.0 * c.y * c.y * r2[i];
        }
        let in_swing = |s: f64| b.atan2(a0 + a1 * s).abs() - setting.swing.half().radians();
        let mut expected: Option<f64> = None;
        let mut doubtful = false;
        for s in &roots_within(&quartic, -1000.0, 1000.0) {
            let r = (a0 + a1 * s).hypot(b);
            let gap = (u0 + u1 * s).powi(2) + (r - c.y).powi(2) - radius * radius;
            if gap.abs() < 1e-5 {
                doubtful |= in_swing(s).abs() < 1e-5;
                if in_swing(s) <= 0.0 {
                    expected = Some(s);
                }
            }
        }
        // Where the swing ends inside removed steel the wheel of the end pose decides, tested elsewhere.
        let limit = if a1 == 0.0 { f64::NAN } else { (b.abs() / setting.swing.half().tan() - a0) / a1 };
        let r = (a0 + a1 * limit).hypot(b);
        let limit_removed = half < 179.999 && (u0 + u1 * limit).powi(2) + (r - c.y).powi(2) < radius * radius + 1e-6;
        let hit = surface.start_of_steel(w, h);
        prop_assume!(!(doubtful || limit_removed && a1 < 0.0));
        prop_assume!(!matches!(hit, Some(hit) if hit.face != GroundBy::Sweep));
        prop_assert_eq!(hit.is_some(), expected.is_some(), "{:?} {:?}", hit, expected);
        if let (Some(hit), Some(expected)) = (hit, expected) {
            prop_assert!((hit.s_mm - expected).abs() < 1e-6, "{} {}", hit.s_mm, expected);
        }
    }

    #[test]
    fn random_numbers_cause_no_panic(x in proptest::array::uniform8(proptest::num::f64::ANY)) {
        let Ok(line) = RollLine::through(DVec2::new(x[0], x[1]), x[2]) else { return Ok(()) };
        let setting = Rolled { line, bevel: Angle::from_radians(x[3]), edge_height_mm: x[4], turn: Angle::from_radians(x[5]), ..rolled() };
        if let Ok(surface) = GroundSurface::rolled(&setting) {
            let _ = surface.start_of_steel(x[6], x[7]);
            let edge = Edge::trace(&surface, &parabola(), 11);
            for p in edge.points() {
                prop_assert!(p.s_mm.is_finite() && p.facet_width_mm.is_finite() && p.cheek_thickness_mm.is_finite());
            }
        }
    }
}

/// geometry.md §6: "at the nose both equal β when the floor is straight".
#[test]
fn bevel_and_wedge_at_the_nose_are_the_bevel_set() {
    for bevel in [25.0, 45.0, 60.0, 80.0] {
        let surface = GroundSurface::rolled(&Rolled { bevel: degrees(bevel), ..rolled() }).unwrap();
        let edge = Edge::trace(&surface, &parabola(), 201);
        let nose = edge.points()[100];
        assert_relative_eq!(nose.s_mm, 0.0, epsilon = 1e-12);
        assert_relative_eq!(nose.wedge.degrees(), bevel, epsilon = 1e-10);
        assert_relative_eq!(nose.bevel_to_axis.degrees(), bevel, epsilon = 1e-10);
        assert!(edge.breaks().is_empty(), "{:?}", edge.breaks());
        assert_eq!(edge.points().len(), 201);
    }
}

/// Derived here: the chord of the facet at the nose meets the underside; side-view circle and line.
#[test]
fn facet_at_the_nose_is_the_side_view_chord() {
    let surface = GroundSurface::rolled(&rolled()).unwrap();
    let nose = Edge::trace(&surface, &parabola(), 3).points()[1];
    let centre = DVec2::new(0.0, -4.0) - 75.0 * DVec2::new(degrees(45.0).sin(), degrees(45.0).cos());
    let heel = centre.x + (75.0_f64.powi(2) - (-8.0 - centre.y).powi(2)).sqrt();
    assert_relative_eq!(nose.heel.x, heel, epsilon = 1e-8);
    assert_relative_eq!(nose.heel.y, -8.0, epsilon = 1e-8);
    assert_relative_eq!(nose.facet_width_mm, heel.hypot(4.0), epsilon = 1e-8);
    assert_relative_eq!(nose.cheek_thickness_mm, 4.0, epsilon = 1e-9);
}

/// Limit: the roll line is the axis, the flute concentric: every edge point is alike (straight-across
/// grind).
#[test]
fn concentric_flute_rolled_about_its_axis_has_a_ring_edge() {
    let steel =
        Steel::of_bar(&Bar::cut_off(30.0, FluteShape::Circle { radius_mm: 12.0 }, -12.0, 0.0).unwrap());
    let surface = GroundSurface::rolled(&Rolled {
        line: RollLine::through(DVec2::new(400.0, 0.0), 0.0).unwrap(),
        edge_height_mm: -12.0,
        ..rolled()
    })
    .unwrap();
    let edge = Edge::trace(&surface, &steel, 101);
    assert_eq!(edge.points().len(), 101);
    let nose = edge.points()[50];
    for p in edge.points() {
        assert_relative_eq!(p.s_mm, 0.0, epsilon = 1e-9);
        assert_relative_eq!(p.wedge.degrees(), 45.0, epsilon = 1e-6);
        assert_relative_eq!(p.facet_width_mm, nose.facet_width_mm, epsilon = 1e-5);
    }
}

/// Limit R → ∞: a very large wheel tends to the flat face, a case of its own (a cone when swung).
#[test]
fn large_wheels_tend_to_the_flat_face() {
    let steel = parabola();
    let flat = GroundSurface::rolled(&Rolled { abrasive: GrindingFace::Flat { width_mm: 40.0 }, ..rolled() })
        .unwrap();
    let flat = Edge::trace(&flat, &steel, 41);
    let mut last = f64::INFINITY;
    for radius_mm in [100.0, 1000.0, 4900.0] {
        let round = GroundSurface::rolled(&Rolled {
            abrasive: GrindingFace::Wheel { radius_mm, width_mm: 40.0 },
            ..rolled()
        })
        .unwrap();
        let round = Edge::trace(&round, &steel, 41);
        let off = round
            .points()
            .iter()
            .zip(flat.points())
            .map(|(r, f)| (r.s_mm - f.s_mm).abs())
            .fold(0.0, f64::max);
        assert!(off < last / 4.0, "{radius_mm}: {off}");
        last = off;
    }
    assert!(last < 0.05, "{last}");
}

/// Derived here: a flat face swung about the tool's own axis is a cone, `s = (r − r_E)/tan β`.
#[test]
fn flat_face_swung_about_the_axis_is_a_cone() {
    let surface = GroundSurface::rolled(&Rolled {
        line: RollLine::through(DVec2::new(300.0, 0.0), 0.0).unwrap(),
        abrasive: GrindingFace::Flat { width_mm: 40.0 },
        swing: swing(180.0),
        bevel: degrees(30.0),
        ..rolled()
    })
    .unwrap();
    for (w, h) in [(0.0_f64, -4.0_f64), (3.0, -5.0), (-7.0, 1.0), (0.5, 6.0)] {
        let hit = surface.start_of_steel(w, h).unwrap();
        assert_relative_eq!(hit.s_mm, (w.hypot(h) - 4.0) / degrees(30.0).tan(), epsilon = 1e-10);
    }
}

/// Derived here: turning the tool the other way mirrors the edge, and no turn is the symmetric edge.
#[test]
fn turned_gouges_are_mirror_images() {
    let steel = parabola();
    let turned = |x: f64| {
        Edge::trace(&GroundSurface::rolled(&Rolled { turn: degrees(x), ..rolled() }).unwrap(), &steel, 61)
    };
    let (left, right, none) = (turned(-6.0), turned(6.0), turned(1e-9));
    let straight = turned(0.0);
    for i in 0..61 {
        let (l, r) = (left.points()[i], right.points()[60 - i]);
        assert_relative_eq!(l.s_mm, r.s_mm, epsilon = 1e-9);
        assert_relative_eq!(l.wedge.degrees(), r.wedge.degrees(), epsilon = 1e-7);
        assert_relative_eq!(none.points()[i].s_mm, straight.points()[i].s_mm, epsilon = 1e-6);
    }
    let differ = left.points()[0].s_mm - left.points()[60].s_mm;
    assert!(differ.abs() > 0.5, "wings differ: {differ}");
    assert_relative_eq!(left.points()[30].s_mm, 0.0, epsilon = 1e-9);
}

/// Derived here: every edge point lies on (3), and its normal is the gradient of (3).
#[test]
fn edge_lies_on_the_surface_and_normals_are_its_gradient() {
    let surface = GroundSurface::rolled(&Rolled { turn: degrees(3.0), ..rolled() }).unwrap();
    let edge = Edge::trace(&surface, &parabola(), 51);
    for p in edge.points().iter().filter(|p| p.face == GroundBy::Sweep) {
        let x = p.position();
        assert!(surface.implicit_value(x).abs() < 1e-9);
        assert!(surface.implicit_value(p.heel).abs() < 1e-7);
        let step = 1e-5;
        let gradient = DVec3::from_array([DVec3::X, DVec3::Y, DVec3::Z].map(|e| {
            (surface.implicit_value(x + step * e) - surface.implicit_value(x - step * e)) / (2.0 * step)
        }));
        let off = surface.normal_at(x, p.face) + gradient.normalize();
        assert!(off.length() < 1e-7, "{off}");
    }
}
