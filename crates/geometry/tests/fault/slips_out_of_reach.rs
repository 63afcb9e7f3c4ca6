//! How near a slip comes to what it cannot explain, the limits of what is asked, and the faulty edge place by place:
//! against edges traced by the crate's other route and against exact special cases.
#![allow(clippy::float_cmp, reason = "exact special cases")]

use approx::assert_relative_eq;
use bevelbench_geometry::{
    DVec2,
    fault::{Behind, Dip, FaultyGrind, RollingFault, WingInk, WingInkSeen, WingInkVerdict},
    math::Angle,
    parts::{Bar, FluteShape},
    swept::{Edge, EdgeSummary, GrindingFace, GroundSurface, RollLine, Rolled, Steel, Swing},
};

const EDGE_MM: f64 = -4.0;
const PIVOT: DVec2 = DVec2::new(139.5, -49.5);

fn degrees(x: f64) -> Angle {
    Angle::from_degrees(x)
}

fn steel() -> Steel {
    Steel::of_bar(&Bar::new(16.0, FluteShape::Power { factor: 0.25, exponent: 2.0 }, EDGE_MM).unwrap())
}

fn meant(centre_mm: f64) -> Rolled {
    Rolled {
        line: RollLine::through(PIVOT, centre_mm).unwrap(),
        bevel: degrees(45.0),
        edge_height_mm: EDGE_MM,
        abrasive: GrindingFace::Wheel { radius_mm: 75.0, width_mm: 40.0 },
        swing: Swing::to_either_side(degrees(120.0)).unwrap(),
        turn: Angle::ZERO,
    }
}

fn summary(grind: &Rolled, count: usize) -> EdgeSummary {
    let surface = GroundSurface::rolled(grind).unwrap();
    EdgeSummary::of(&Edge::trace(&surface, &steel(), count), &surface, &steel()).unwrap()
}

fn nearest<T: std::fmt::Debug>(found: &Behind<T>) -> f64 {
    let Behind::OutOfReach { nearest_mm } = *found else { panic!("{found:?}") };
    nearest_mm
}

#[test]
fn wings_that_differ_by_more_than_the_farthest_turn_leaves_are_out_of_reach() {
    // Thirty degrees is the farthest turn that is asked about; the wings of such an edge, traced.
    let farthest = summary(&Rolled { turn: degrees(30.0), ..meant(0.0) }, 5).wing_difference_mm();
    assert!(farthest < -0.7);
    for side in [1.0, -1.0] {
        let found = FaultyGrind::turned_behind(&meant(0.0), &steel(), side * 1.2 * farthest).unwrap();
        assert_relative_eq!(nearest(&found), side * farthest, epsilon = 1e-9);
        let found = FaultyGrind::turned_behind(&meant(0.0), &steel(), side * 0.99 * farthest).unwrap();
        assert!(found.found().unwrap().abs() < degrees(30.0));
    }
    // Set turned already: to one side the wings may differ by more than to the other.
    let grind = Rolled { turn: degrees(3.0), ..meant(0.0) };
    for by in [30.0, -30.0] {
        let farthest = summary(&Rolled { turn: degrees(3.0 + by), ..grind }, 5).wing_difference_mm();
        let found = FaultyGrind::turned_behind(&grind, &steel(), 1.2 * farthest).unwrap();
        assert_relative_eq!(nearest(&found), farthest, epsilon = 1e-9);
    }
}

#[test]
fn a_flat_of_zero_or_full_width_is_refused() {
    let whole = 2.0 * steel().half_width_mm();
    let ask = |flat_mm: f64| FaultyGrind::dwelt_behind_flat(&meant(0.0), &steel(), flat_mm).unwrap();
    for (flat_mm, nearest_mm) in [(0.0, 0.0), (-1.0, 0.0), (whole, whole), (whole + 3.0, whole)] {
        assert_eq!(nearest(&ask(flat_mm)), nearest_mm, "{flat_mm}");
    }
    // The wider the flat, the longer the dwell.
    let nods = [0.1, 3.0, 9.0, 11.0].map(|flat_mm| ask(flat_mm).found().unwrap());
    assert!(nods.windows(2).all(|two| two[0].0 < two[1].0 && two[0].1 < two[1].1), "{nods:?}");
}

/// From the radii of traced edges: below the middle the radius grows with the roll centre, and far above it falls again, so that 3 mm comes
/// twice, near −2 and near 5.4.
#[test]
fn of_two_roll_centres_the_one_nearer_to_the_setting_is_reported() {
    let radius = |centre: f64| summary(&meant(centre), 101).nose_radius_mm.unwrap();
    let root = |mut low: f64, mut high: f64| {
        let rising = radius(low) < 3.0;
        assert!(rising != (radius(high) < 3.0));
        for _ in 0..30 {
            let middle = f64::midpoint(low, high);
            if (radius(middle) < 3.0) == rising { low = middle } else { high = middle }
        }
        f64::midpoint(low, high)
    };
    let (lower, upper) = (root(-2.5, -1.5), root(4.0, 7.0));
    let half_way = f64::midpoint(lower, upper);
    for (own, expected) in
        [(0.0, lower), (half_way - 0.1, lower), (half_way + 0.1, upper), (5.0, upper), (-3.0, lower)]
    {
        let found = FaultyGrind::centre_behind_nose(&meant(own), &steel(), 3.0, 8.0).unwrap();
        assert_relative_eq!(found.found().unwrap(), expected, epsilon = 1e-6);
    }
}

#[test]
fn nose_that_no_roll_centre_leaves_is_reported_with_the_nearest() {
    let radius = |centre: f64| summary(&meant(centre), 101).nose_radius_mm.unwrap();
    let ask = |wanted: f64, highest: f64| {
        FaultyGrind::centre_behind_nose(&meant(0.0), &steel(), wanted, highest).unwrap()
    };
    // Sharpest with the centre in the flute's floor, roundest of a low range at its top.
    assert_relative_eq!(nearest(&ask(0.5, 8.0)), radius(EDGE_MM), max_relative = 1e-9);
    assert_relative_eq!(nearest(&ask(5.0, -2.5)), radius(-2.5), max_relative = 1e-9);
    let flat = nearest(&ask(5_000.0, 8.0));
    for centre in [-3.0, -1.0, -0.5, 0.5, 4.0, 8.0] {
        assert!((5_000.0 - flat).abs() <= (5_000.0 - radius(centre)).abs(), "{flat} {centre}");
    }
    // Heights that are none leave no nose.
    assert_eq!(ask(3.0, f64::NAN), Behind::NotGround);
}

/// The deepest dip that a dwell leaves is one still.
#[test]
fn dip_of_the_greatest_depth_is_found() {
    let ask = |depth_mm: f64| {
        FaultyGrind::dwelt_behind_dip(&meant(0.0), &steel(), Dip { at: 0.3, depth_mm }).unwrap()
    };
    let deepest = nearest(&ask(1_000.0));
    let Some(RollingFault::Dwelt { nod, .. }) = ask(deepest).found() else { panic!("{deepest}") };
    // Eight degrees is the deepest nod that is looked for.
    assert_relative_eq!(nod.degrees(), 8.0, epsilon = 1e-9);
    assert!(ask(deepest + 1e-6).found().is_none());
}

/// Places as documented for the upper face: `w = half width · sin(90° t)`, on the flute's wall.
#[test]
fn faulty_edge_runs_from_wing_to_wing_along_the_wall() {
    let dwelt = RollingFault::Dwelt { at: degrees(20.0), nod: degrees(0.4) };
    let turned = RollingFault::TurnedInHolder { by: degrees(5.0) };
    for (rolling_fault, turn) in [(dwelt, 0.0), (turned, 5.0)] {
        let faulty = FaultyGrind::new(&meant(0.0), rolling_fault).unwrap();
        let edge = faulty.edge(&steel(), 9);
        assert_eq!(edge.len(), 9);
        let surface = GroundSurface::rolled(&Rolled { turn: degrees(turn), ..meant(0.0) }).unwrap();
        let mut deeper = 0;
        for (place, i) in edge.iter().zip(-4..) {
            let w = steel().half_width_mm() * (f64::from(i) * 22.5).to_radians().sin();
            assert_relative_eq!(place.z, w, epsilon = 1e-9);
            assert_relative_eq!(place.y, EDGE_MM + 0.25 * w * w, epsilon = 1e-9);
            let fair = surface.start_of_steel(place.z, place.y).unwrap().s_mm;
            assert!(place.x >= fair - 1e-9);
            deeper += i32::from(place.x > fair + 1e-6);
        }
        // Only where the wheel stood too long.
        assert_eq!(deeper > 0 && deeper < 9, turn == 0.0, "{deeper}");
    }
}

fn read(grind: &Rolled, plus: bool, rubbed_mm: f64) -> WingInk {
    let seen = WingInkSeen { plus, at_heel: true, rubbed_mm, film_mm: 0.005 };
    WingInk::read(grind, &steel(), &seen, degrees(0.5)).unwrap()
}

/// Derived here: a mirrored wing tells the mirrored turn, and the setting is read as if the gouge sat straight.
#[test]
fn wings_are_read_alike_and_against_a_straight_gouge() {
    let reported = read(&meant(0.0), true, 1.0);
    let WingInkVerdict::Turned { by } = reported.verdict else { panic!("{reported:?}") };
    assert!(by.degrees() > 0.5);
    let other = read(&meant(0.0), false, 1.0);
    let WingInkVerdict::Turned { by: back } = other.verdict else { panic!("{other:?}") };
    assert_relative_eq!(back.degrees(), -by.degrees(), epsilon = 1e-6);
    assert_eq!(read(&Rolled { turn: degrees(7.0), ..meant(0.0) }, true, 1.0), reported);
}

/// What ink resolves exactly is enough.
#[test]
fn ink_that_shows_just_the_turn_that_is_wanted_is_read() {
    let seen = WingInkSeen { plus: true, at_heel: true, rubbed_mm: 1.0, film_mm: 0.005 };
    let ask = |wanted: Angle| WingInk::read(&meant(0.0), &steel(), &seen, wanted).unwrap().verdict;
    let WingInkVerdict::CannotTell { resolves } = ask(Angle::ZERO) else { panic!() };
    assert!(matches!(ask(resolves), WingInkVerdict::Turned { .. }));
}

/// Derived here: a gap grows no faster than the way along the facet, so that a film of five micrometres is rubbed over five
/// micrometres at the least, and no turn leaves one; and no facet is rubbed wider than it is.
#[test]
fn ink_narrower_or_wider_than_any_turn_leaves_is_none() {
    for rubbed_mm in [0.001, 50.0, -1.0] {
        assert_eq!(read(&meant(0.0), true, rubbed_mm).verdict, WingInkVerdict::NotATurn, "{rubbed_mm}");
    }
}
