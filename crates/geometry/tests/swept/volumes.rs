//! Volumes by quadrature: what is said of their error, of the rays cast and of what was reached.
#![allow(clippy::float_cmp, reason = "the same sum twice")]

use approx::assert_relative_eq;
use bevelbench_geometry::{
    DVec2,
    math::Angle,
    parts::{Bar, FluteShape, Presentation},
    swept::{GrindingFace, GroundSurface, Pushed, RollLine, Rolled, Steel, Swing, Tip, Volume},
};

fn degrees(x: f64) -> Angle {
    Angle::from_degrees(x)
}

fn rolled(bevel: f64, turn: Angle) -> Rolled {
    Rolled {
        line: RollLine::through(DVec2::new(139.5, -49.5), 0.0).unwrap(),
        bevel: degrees(bevel),
        edge_height_mm: -4.0,
        abrasive: GrindingFace::Wheel { radius_mm: 75.0, width_mm: 40.0 },
        swing: Swing::to_either_side(degrees(110.0)).unwrap(),
        turn,
    }
}

fn tip(setting: &Rolled) -> Tip {
    let bar = Bar::new(16.0, FluteShape::Power { factor: 0.25, exponent: 2.0 }, -4.0).unwrap();
    Tip::new(GroundSurface::rolled(setting).unwrap(), Steel::of_bar(&bar))
}

/// Volumes that are smooth over the section, and others with a kink at the square end.
fn volumes(accuracy: f64) -> Vec<Volume> {
    [(45.0, Angle::ZERO), (60.0, Angle::ZERO), (52.0, degrees(5.0))]
        .into_iter()
        .flat_map(|(bevel, turn)| {
            let one = tip(&rolled(bevel, turn));
            let keener = GroundSurface::rolled(&rolled(bevel - 5.0, turn)).unwrap();
            [
                one.removed_from_square_end(-50.0, accuracy),
                one.removed_from_square_end(0.0, accuracy),
                one.removed_from_square_end(2.5, accuracy),
                one.removed_by(&keener, 0.0, accuracy),
                one.removed_by(&keener, 1.0, accuracy),
            ]
        })
        .collect()
}

#[test]
fn asked_accuracy_is_met_and_costs_rays() {
    let good = volumes(1e-7);
    let mut rays = 0;
    for accuracy in [1e-2, 1e-3, 1e-4] {
        let these = volumes(accuracy);
        for (volume, good) in these.iter().zip(&good) {
            assert!(volume.reached, "{accuracy} {volume:?}");
            assert!(volume.error_mm3 <= accuracy * volume.mm3 * 1.000_001, "{accuracy} {volume:?}");
            let off = (volume.mm3 - good.mm3).abs();
            assert!(off <= accuracy * good.mm3, "{accuracy} {off} {volume:?}");
            // A pair of quadratures takes 6·4 + 8·5 rays.
            assert_eq!(volume.rays % 64, 0);
        }
        let cast: usize = these.iter().map(|volume| volume.rays).sum();
        assert!(cast > rays, "{accuracy} {cast}");
        rays = cast;
    }
}

#[test]
fn smooth_tips_take_one_pair_of_quadratures_and_kinks_many() {
    for accuracy in [3e-2, 1e-2] {
        let smooth = tip(&rolled(60.0, Angle::ZERO)).removed_from_square_end(-50.0, accuracy);
        assert_eq!(smooth.rays, 64, "{smooth:?}");
        let turned = tip(&rolled(60.0, degrees(3.0))).removed_from_square_end(-50.0, accuracy);
        assert_eq!(turned.rays, 128, "both halves: {turned:?}");
        let kinked = tip(&rolled(60.0, Angle::ZERO)).removed_from_square_end(2.5, accuracy);
        assert!(kinked.rays > 64, "{kinked:?}");
    }
}

/// A plane's volume is a smooth function's: both quadratures have it, and their difference is next to nothing.
#[test]
fn planes_are_met_by_both_quadratures() {
    let surface = GroundSurface::pushed(&Pushed {
        bevel: degrees(50.0),
        edge_height_mm: -4.0,
        abrasive: GrindingFace::Flat { width_mm: 40.0 },
        obliquity: Angle::QUARTER,
        presentation: Presentation::EdgeParallelToSpindle,
    })
    .unwrap();
    for shape in [FluteShape::Circle { radius_mm: 9.0 }, FluteShape::Power { factor: 0.05, exponent: 2.0 }] {
        let steel = Steel::of_bar(&Bar::new(16.0, shape, -4.0).unwrap());
        let volume = Tip::new(surface, steel).removed_from_square_end(-30.0, 1e-3);
        assert_eq!(volume.rays, 64);
        assert!(volume.error_mm3 < 1e-4 * volume.mm3, "{volume:?}");
    }
}

/// A turn of no size at all is no turn, though both halves are then taken.
#[test]
fn both_halves_of_a_symmetric_tip_are_twice_the_one() {
    let tolerance = Angle::from_radians(1e-14);
    for end in [-50.0, 0.0, 2.5] {
        let one = tip(&rolled(45.0, Angle::ZERO)).removed_from_square_end(end, 1e-5);
        let both = tip(&rolled(45.0, tolerance)).removed_from_square_end(end, 1e-5);
        assert_relative_eq!(one.mm3, both.mm3, max_relative = 1e-9);
        assert_relative_eq!(one.error_mm3, both.error_mm3, max_relative = 1e-3);
        assert_eq!(2 * one.rays, both.rays);
    }
}

#[test]
fn an_invalid_accuracy_becomes_a_millionth() {
    let tip = tip(&rolled(45.0, Angle::ZERO));
    let expected = tip.removed_from_square_end(0.0, 1e-6);
    for accuracy in [f64::NAN, f64::INFINITY, -1e-6] {
        assert_eq!(tip.removed_from_square_end(0.0, accuracy), expected);
    }
}
