//! Roll centres fitted to a wing sweep and nearest grinds, against plain scans over height and strut angle.

use bevelbench_geometry::{
    math::Angle,
    swept::{
        edge::Edge,
        edge_summary::EdgeSummary,
        equal::{
            EdgeDifference, RollCentreFit, StrutTravel, bevel_at, equal_grind, fit_roll_centre,
            pivot_distance_mm,
        },
        ground::{GroundError, GroundSurface, Rolled},
    },
};

use super::{FLOOR, RADIUS, STRUT, degrees, gouge, rolled_about};

fn rolled(projection: f64, strut_angle: f64, bevel: f64, height: f64) -> Rolled {
    rolled_about(height, projection, strut_angle, degrees(bevel))
}

/// The wing sweep, where the whole edge is ground.
fn sweep(rolled: &Rolled) -> Option<f64> {
    let surface = GroundSurface::rolled(rolled).ok()?;
    let edge = Edge::trace(&surface, &gouge(), 3);
    if edge.unreached() > 0 {
        return None;
    }
    Some(EdgeSummary::of(&edge, &surface, &gouge())?.wing_sweep_mm())
}

const MOST: f64 = 11.0;

/// Sweeps over the heights from the floor up.
fn scanned(projection: f64, strut: f64, bevel: f64) -> Vec<(f64, Option<f64>)> {
    (0..=400)
        .map(|i| FLOOR + (MOST - FLOOR) * f64::from(i) / 400.0)
        .map(|height| (height, sweep(&rolled(projection, strut, bevel, height))))
        .collect()
}

fn fit(projection: f64, strut: f64, bevel: f64, sweep_mm: f64) -> RollCentreFit {
    fit_roll_centre(&rolled(projection, strut, bevel, 0.0), &gouge(), sweep_mm, MOST).unwrap()
}

#[test]
fn a_sweep_with_two_roll_centres_reports_both_and_an_ordinary_one_reports_one() {
    let (mut one, mut two, mut none) = (0, 0, 0);
    for (projection, strut, bevel) in
        [(60.0, 45.0, 100.0), (60.0, 45.0, 45.0), (40.0, 70.0, 60.0), (60.0, 45.0, 20.0)]
    {
        let scan = scanned(projection, strut, bevel);
        let sweeps: Vec<f64> = scan.iter().filter_map(|(_, sweep)| *sweep).collect();
        let least = sweeps.iter().copied().fold(f64::INFINITY, f64::min);
        let greatest = sweeps.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let ends_early = sweeps.len() < scan.len();
        // The fit looks at fewer heights.
        let slack = 0.15 * (greatest - least);
        for fraction in (-1..=12).map(|i| (f64::from(i) + 0.35) / 12.0).chain([0.994, 0.996]) {
            // Two heights nearer to one another than those that are looked at are not distinguished.
            if ends_early && fraction > 0.99 {
                continue;
            }
            let wanted = least + (greatest - least) * fraction;
            // Nor does it look for where the last height lies that grinds the whole edge.
            if ends_early && (least..least + slack).contains(&wanted) {
                continue;
            }
            let mut crossings = Vec::new();
            for pair in scan.windows(2) {
                let [(low, Some(a)), (high, Some(b))] = *pair else { continue };
                if (a < wanted) != (b < wanted) {
                    crossings.push(low + (high - low) * (wanted - a) / (b - a));
                }
            }
            match fit(projection, strut, bevel, wanted) {
                RollCentreFit::Found { height_mm, ambiguous } => {
                    let nearest = crossings.iter().copied().min_by(|a, b| a.abs().total_cmp(&b.abs()));
                    assert!((height_mm - nearest.unwrap()).abs() < 0.05, "{height_mm} {crossings:?}");
                    assert_eq!(ambiguous, crossings.len() > 1);
                    one += i32::from(crossings.len() == 1);
                    two += i32::from(crossings.len() == 2);
                }
                RollCentreFit::OutOfRange { least_mm, greatest_mm } => {
                    assert!(crossings.is_empty(), "{wanted} {crossings:?}");
                    assert!((least_mm - least).abs() < slack && (greatest_mm - greatest).abs() < slack);
                    none += 1;
                }
            }
        }
    }
    assert!(one > 20 && two > 0 && none > 6, "{one} {two} {none}");
}

#[test]
fn a_jump_of_the_sweep_over_the_wanted_one_is_no_roll_centre() {
    // Between two of the highest roll centres the edge at the wing leaps to another place of the wheel.
    let at = |height: f64| sweep(&rolled(30.0, 90.0, 45.0, height)).unwrap();
    let (mut low, mut high) = (9.0, MOST);
    assert!(at(low) > 20.0 && at(high) < 0.0);
    for _ in 0..60 {
        let middle = f64::midpoint(low, high);
        if at(middle) > 10.0 { low = middle } else { high = middle }
    }
    for fraction in [0.5, 0.3, 0.9] {
        let wanted = at(low) + (at(high) - at(low)) * fraction;
        let reported = fit(30.0, 90.0, 45.0, wanted);
        assert!(matches!(reported, RollCentreFit::OutOfRange { .. }), "{reported:?}");
    }
}

#[test]
fn the_present_roll_centre_does_not_count_and_no_number_is_refused() {
    // A present roll centre below the floor grinds nothing; the fit does not use it.
    let below = rolled(60.0, 45.0, 45.0, FLOOR - 3.0);
    assert!(GroundSurface::rolled(&below).is_err());
    let wanted = sweep(&rolled(60.0, 45.0, 45.0, 1.0)).unwrap();
    let found = fit_roll_centre(&below, &gouge(), wanted, 8.0).unwrap();
    let RollCentreFit::Found { height_mm, ambiguous: false } = found else { panic!("{found:?}") };
    assert!((height_mm - 1.0).abs() < 1e-8);
    let refused = |sweep, most| fit_roll_centre(&below, &gouge(), sweep, most).unwrap_err();
    assert!(
        matches!(refused(3.0, FLOOR - 1.5), GroundError::RollCentreBelowFloor { below_mm } if (below_mm - 1.5).abs() < 1e-12)
    );
    assert!(
        matches!(refused(3.0, FLOOR), GroundError::RollCentreBelowFloor { below_mm } if below_mm.abs() < 1e-12)
    );
    for (sweep, most) in [(f64::NAN, 8.0), (3.0, f64::NAN), (f64::INFINITY, 8.0), (3.0, f64::INFINITY)] {
        assert!(matches!(refused(sweep, most), GroundError::RollLine(_)), "{sweep} {most}");
    }
}

/// What a strut angle at a projection grinds, the pivot's distance kept within a limit.
fn within(projection: f64, strut: f64, bevel: f64, height: f64, most_mm: f64) -> Option<Rolled> {
    let pivot = STRUT.pivot_in_tool(projection, degrees(strut));
    let distance = pivot_distance_mm(pivot, FLOOR, RADIUS, degrees(bevel)).min(most_mm);
    let bevel = bevel_at(pivot, FLOOR, RADIUS, distance)?;
    Some(Rolled { bevel, ..rolled(projection, strut, bevel.degrees(), height) })
}

#[test]
fn the_nearest_grind_within_a_short_arm_is_the_least_of_a_scan() {
    for height in [0.0, 2.5] {
        let wanted = rolled(75.0, 45.0, 45.0, height);
        let reference = Edge::trace(&GroundSurface::rolled(&wanted).unwrap(), &gouge(), 61);
        let differs = |other: &Rolled| {
            let edge = Edge::trace(&GroundSurface::rolled(other).unwrap(), &gouge(), 61);
            EdgeDifference::between(&reference, &edge)
        };
        for (greatest_distance_mm, least, greatest) in
            [(171.0, 20.0, 80.0), (165.0, 11.0, 64.3), (168.0, 30.0, 70.0)]
        {
            let travel = StrutTravel {
                least_angle: degrees(least),
                greatest_angle: degrees(greatest),
                least_distance_mm: 90.0,
                greatest_distance_mm,
            };
            let found = equal_grind(&wanted, &gouge(), &STRUT, 50.0, &travel).unwrap();
            assert!(!found.same_surface);
            let scan = (0..=400)
                .map(|i| least + (greatest - least) * f64::from(i) / 400.0)
                .filter_map(|angle| {
                    let off = differs(&within(50.0, angle, 45.0, height, greatest_distance_mm)?)?.setback_mm;
                    Some((angle, off))
                })
                .min_by(|a, b| a.1.total_cmp(&b.1))
                .unwrap();
            assert!(found.difference.setback_mm < scan.1 + 1e-9, "{scan:?} {found:?}");
            assert!((found.strut_angle.degrees() - scan.0).abs() < 0.16, "{scan:?} {found:?}");
            // What it says is left is what its own setting leaves.
            let made = within(50.0, found.strut_angle.degrees(), 45.0, height, greatest_distance_mm).unwrap();
            assert!((made.bevel - found.bevel).degrees().abs() < 1e-9);
            let left = differs(&made).unwrap();
            assert!((left.setback_mm - found.difference.setback_mm).abs() < 1e-9);
            assert!((left.wedge - found.difference.wedge).degrees().abs() < 1e-7);
        }
    }
}

#[test]
fn an_edge_with_an_unground_point_has_no_difference() {
    let trace = |height: f64| {
        Edge::trace(&GroundSurface::rolled(&rolled(60.0, 45.0, 20.0, height)).unwrap(), &gouge(), 9)
    };
    let (whole, short) = (trace(-3.0), trace(8.0));
    assert!(whole.unreached() == 0 && short.unreached() > 0);
    assert!(
        EdgeDifference::between(&whole, &short).is_none()
            && EdgeDifference::between(&short, &whole).is_none()
    );
    let same = EdgeDifference::between(&whole, &whole).unwrap();
    assert_eq!((same.setback_mm, same.wedge), (0.0, Angle::ZERO));
}
