//! The roll-line theorem and common practice.

mod roll_centre_fits;

use approx::assert_relative_eq;
use bevelbench_geometry::{
    math::Angle,
    parts::{Bar, FluteShape},
    swept::{
        edge::Edge,
        edge_summary::EdgeSummary,
        equal::{
            RollCentreFit, Strut, StrutTravel, bevel_at, equal_grind, fit_roll_centre, pivot_distance_mm,
        },
        ground::{GrindingFace, GroundSurface, Rolled},
        roll::{RollLine, Swing},
        steel::Steel,
    },
};

const STRUT: Strut = Strut { hinge_setback_mm: 15.0, hinge_drop_mm: 0.0, length_mm: 70.0 };
const RADIUS: f64 = 75.0;
const FLOOR: f64 = -4.0;

fn degrees(x: f64) -> Angle {
    Angle::from_degrees(x)
}

fn travel(least: f64, greatest: f64) -> StrutTravel {
    StrutTravel {
        least_angle: degrees(least),
        greatest_angle: degrees(greatest),
        least_distance_mm: 90.0,
        greatest_distance_mm: 400.0,
    }
}

fn setting(projection: f64, strut_angle: f64, bevel: Angle) -> Rolled {
    rolled_about(0.0, projection, strut_angle, bevel)
}

/// The roll centre so high.
fn rolled_about(height: f64, projection: f64, strut_angle: f64, bevel: Angle) -> Rolled {
    Rolled {
        line: RollLine::through(STRUT.pivot_in_tool(projection, degrees(strut_angle)), height).unwrap(),
        bevel,
        edge_height_mm: FLOOR,
        abrasive: GrindingFace::Wheel { radius_mm: RADIUS, width_mm: 40.0 },
        swing: Swing::ASSUMED,
        turn: Angle::ZERO,
    }
}

fn gouge() -> Steel {
    Steel::of_bar(&Bar::new(16.0, FluteShape::Power { factor: 0.25, exponent: 2.0 }, FLOOR).unwrap())
}

fn summary(setting: &Rolled) -> EdgeSummary {
    let surface = GroundSurface::rolled(setting).unwrap();
    EdgeSummary::of(&Edge::trace(&surface, &gouge(), 201), &surface, &gouge()).unwrap()
}

/// geometry.md §6, worked independently of the program.
#[test]
fn worked_distances_come_out() {
    let distance = |projection: f64, angle: f64| {
        pivot_distance_mm(STRUT.pivot_in_tool(projection, degrees(angle)), FLOOR, RADIUS, degrees(45.0))
    };
    assert_relative_eq!(distance(75.0, 45.0), 192.678, epsilon = 5e-4);
    assert_relative_eq!(distance(50.0, 45.0), 167.700, epsilon = 5e-4);
    let drawn_out =
        bevel_at(STRUT.pivot_in_tool(75.0, degrees(45.0)), FLOOR, RADIUS, distance(50.0, 45.0)).unwrap();
    assert_relative_eq!(drawn_out.degrees(), 20.59, epsilon = 5e-3);
}

/// geometry.md §6: the same surface at 50 mm needs α = 37.6263° and D = 174.062. `common practice`: a 50 mm
/// projection can be made to give the 75 mm grind by the strut angle alone (plus reach).
#[test]
fn shorter_projection_grinds_the_same_surface_from_another_strut_angle() {
    let found = equal_grind(&setting(75.0, 45.0, degrees(45.0)), &gouge(), &STRUT, 50.0, &travel(20.0, 80.0))
        .unwrap();
    assert!(found.same_surface);
    assert_relative_eq!(found.strut_angle.degrees(), 37.6263, epsilon = 5e-5);
    assert_relative_eq!(found.pivot_distance_mm, 174.062, epsilon = 5e-4);
    assert!(found.difference.setback_mm < 1e-9 && found.difference.wedge.degrees() < 1e-8, "{found:?}");
}

#[test]
fn short_travel_gives_the_nearest_grind_and_says_so() {
    let wanted = setting(75.0, 45.0, degrees(45.0));
    let found = equal_grind(&wanted, &gouge(), &STRUT, 50.0, &travel(42.0, 80.0)).unwrap();
    assert!(!found.same_surface);
    assert!(found.difference.setback_mm > 0.01);
    // Nothing else within the travel is nearer.
    let reference = Edge::trace(&GroundSurface::rolled(&wanted).unwrap(), &gouge(), 61);
    for tenths in 420..=800 {
        let other = setting(50.0, f64::from(tenths) / 10.0, degrees(45.0));
        let edge = Edge::trace(&GroundSurface::rolled(&other).unwrap(), &gouge(), 61);
        let off = edge
            .points()
            .iter()
            .zip(reference.points())
            .map(|(a, b)| (a.s_mm - b.s_mm).abs())
            .fold(0.0, f64::max);
        assert!(off >= found.difference.setback_mm - 1e-6, "{tenths}: {off} {found:?}");
    }
    // A distance the arm cannot give changes the bevel, which is reported.
    let near = StrutTravel { greatest_distance_mm: 170.0, ..travel(20.0, 80.0) };
    let found = equal_grind(&wanted, &gouge(), &STRUT, 50.0, &near).unwrap();
    assert!(!found.same_surface && found.pivot_distance_mm <= 170.0);
}

/// Derived here: bevel and pivot distance are inverse to one another.
#[test]
fn bevel_and_distance_are_inverse() {
    for bevel in [15.0, 30.0, 45.0, 75.0, 100.0] {
        let pivot = STRUT.pivot_in_tool(60.0, degrees(50.0));
        let distance = pivot_distance_mm(pivot, FLOOR, RADIUS, degrees(bevel));
        assert_relative_eq!(
            bevel_at(pivot, FLOOR, RADIUS, distance).unwrap().degrees(),
            bevel,
            epsilon = 1e-10
        );
    }
    assert!(bevel_at(STRUT.pivot_in_tool(60.0, degrees(50.0)), FLOOR, RADIUS, 10.0).is_none());
}

/// `common practice`: with reach and strut angle left alone a longer projection gives a longer grind,
/// keener, with thinner cheeks.
#[test]
fn longer_projection_lengthens_the_grind_and_thins_the_cheeks() {
    let distance = pivot_distance_mm(STRUT.pivot_in_tool(50.0, degrees(45.0)), FLOOR, RADIUS, degrees(45.0));
    let mut before: Option<EdgeSummary> = None;
    for projection in [50.0, 53.0, 56.0, 60.0] {
        let bevel =
            bevel_at(STRUT.pivot_in_tool(projection, degrees(45.0)), FLOOR, RADIUS, distance).unwrap();
        let now = summary(&setting(projection, 45.0, bevel));
        if let Some(before) = before {
            assert!(now.wing_sweep_mm() > before.wing_sweep_mm());
            assert!(now.edge_length_mm > before.edge_length_mm);
            assert!(
                now.plus.cheek_mm < before.plus.cheek_mm,
                "{} {}",
                now.plus.cheek_mm,
                before.plus.cheek_mm
            );
            assert!(now.least_wedge < before.least_wedge);
        }
        before = Some(now);
    }
}

/// `common practice`: a steeper strut angle sweeps the wings further back.
#[test]
fn steeper_strut_angle_sweeps_the_wings_further_back() {
    let sweeps: Vec<f64> = [30.0, 40.0, 50.0, 60.0, 70.0]
        .map(|a| summary(&setting(60.0, a, degrees(45.0))).wing_sweep_mm())
        .into();
    assert!(sweeps.is_sorted(), "{sweeps:?}");
    assert!(sweeps[4] > sweeps[0] + 2.0);
}

/// geometry.md §6: a roll centre at the floor gives a pointed nose, far above it a bulged one, and below it
/// none.
#[test]
fn roll_centre_shapes_the_nose() {
    use bevelbench_geometry::swept::{edge_summary::Nose, ground::GroundError};
    let at = |height: f64| Rolled {
        line: RollLine::through(STRUT.pivot_in_tool(60.0, degrees(45.0)), height).unwrap(),
        ..setting(60.0, 45.0, degrees(45.0))
    };
    assert_eq!(summary(&at(FLOOR)).nose, Nose::Pointed);
    assert_eq!(summary(&at(FLOOR + 1.5)).nose, Nose::Rounded);
    assert_eq!(summary(&at(6.0)).nose, Nose::Bulged);
    assert!(matches!(
        GroundSurface::rolled(&at(FLOOR - 0.5)),
        Err(GroundError::RollCentreBelowFloor { below_mm }) if (below_mm - 0.5).abs() < 0.05
    ));
}

#[test]
fn roll_centre_is_found_again_from_its_wing_sweep() {
    for height in [-3.0, -1.0, 0.0, 2.0, 4.0] {
        let made = Rolled {
            line: RollLine::through(STRUT.pivot_in_tool(60.0, degrees(45.0)), height).unwrap(),
            ..setting(60.0, 45.0, degrees(45.0))
        };
        let sweep = summary(&made).wing_sweep_mm();
        let fit = fit_roll_centre(&setting(60.0, 45.0, degrees(45.0)), &gouge(), sweep, 8.0).unwrap();
        let RollCentreFit::Found { height_mm, ambiguous } = fit else { panic!("{fit:?}") };
        assert!(ambiguous || (height_mm - height).abs() < 1e-6, "{height_mm} for {height}");
    }
    let fit = fit_roll_centre(&setting(60.0, 45.0, degrees(45.0)), &gouge(), 400.0, 8.0).unwrap();
    assert!(matches!(fit, RollCentreFit::OutOfRange { .. }));
}
