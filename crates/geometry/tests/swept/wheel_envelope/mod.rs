//! The numeric envelope against the analytic surface, against brute force, and for wheels (3) does not
//! know.

mod rims_by_bisection;

use bevelbench_geometry::{
    math::Angle,
    parts::{Bar, FluteShape},
    swept::{
        envelope::{Envelope, EnvelopeError, NO_POSE, RimShape},
        ground::{GrindingFace, GroundSurface, Rolled},
        roll::{RollLine, Swing},
        steel::Steel,
        tip::Tip,
    },
};
use glam::DVec2;
use proptest::prelude::*;

fn degrees(x: f64) -> Angle {
    Angle::from_degrees(x)
}

fn setting(centre: f64, half: f64, turn: f64, width_mm: f64) -> Rolled {
    Rolled {
        line: RollLine::through(DVec2::new(139.5, -49.5), centre).unwrap(),
        bevel: degrees(45.0),
        edge_height_mm: -4.0,
        abrasive: GrindingFace::Wheel { radius_mm: 75.0, width_mm },
        swing: Swing::to_either_side(degrees(half)).unwrap(),
        turn: degrees(turn),
    }
}

fn rays(setting: &Rolled, columns: u32, rows: u32) -> Vec<DVec2> {
    let steel =
        Steel::of_bar(&Bar::new(16.0, FluteShape::Power { factor: 0.25, exponent: 2.0 }, -4.0).unwrap());
    let tip = Tip::new(GroundSurface::rolled(setting).unwrap(), steel);
    let mut rays = Vec::new();
    for i in 0..columns {
        for j in 0..rows {
            let t = 2.0 * (f64::from(i) + 0.5) / f64::from(columns) - 1.0;
            rays.push(tip.at(t, (f64::from(j) + 0.5) / f64::from(rows)).0);
        }
    }
    rays
}

fn filled(envelope: &Envelope, rays: &[DVec2], scan: bool) -> (Vec<f64>, Vec<u16>) {
    let (mut starts, mut best) = (vec![0.0; rays.len()], vec![0; rays.len()]);
    if scan {
        envelope.fill_by_scan(rays, &mut starts, &mut best);
    } else {
        envelope.fill(rays, &mut starts, &mut best);
    }
    (starts, best)
}

/// Independent method: an ideal wheel's poses agree with (3), limited swing included, to better than 1 µm.
#[test]
fn ideal_wheel_agrees_with_the_analytic_surface() {
    for (centre, half, turn, width) in
        [(0.0, 90.0, 0.0, 40.0), (2.0, 120.0, 5.0, 40.0), (-3.0, 60.0, -3.0, 25.0), (1.0, 45.0, 0.0, 6.0)]
    {
        let setting = setting(centre, half, turn, width);
        let surface = GroundSurface::rolled(&setting).unwrap();
        let rays = rays(&setting, 60, 30);
        let (starts, _) = filled(&Envelope::of_swing(&setting, 1201).unwrap(), &rays, false);
        for (ray, start) in rays.iter().zip(starts) {
            let hit = surface.start_of_steel(ray.x, ray.y);
            let s = hit.map_or(f64::NEG_INFINITY, |hit| hit.s_mm);
            assert!(
                (s - start).abs() < 1e-3 || s.total_cmp(&start).is_eq(),
                "{ray} {hit:?} {start} {centre} {half}"
            );
        }
    }
}

/// Every ray, every pose: climbing from the neighbour's best pose loses nothing.
#[test]
fn climbing_is_brute_force_ray_by_ray() {
    for (centre, half, turn, width) in [
        (0.0, 90.0, 0.0, 40.0),
        (0.0, 150.0, 0.0, 40.0),
        (2.0, 120.0, 5.0, 40.0),
        (-3.9, 90.0, -3.0, 25.0),
        (6.0, 45.0, 0.0, 4.0),
    ] {
        let setting = setting(centre, half, turn, width);
        let rays = rays(&setting, 128, 64);
        let envelope = Envelope::of_swing(&setting, 181).unwrap();
        let (climbed, _) = filled(&envelope, &rays, false);
        let (scanned, best) = filled(&envelope, &rays, true);
        for i in 0..rays.len() {
            assert!(
                climbed[i].total_cmp(&scanned[i]).is_eq(),
                "{} {} {} {}",
                rays[i],
                climbed[i],
                scanned[i],
                best[i]
            );
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, failure_persistence: None, ..ProptestConfig::default() })]

    /// A limited swing against 1,201 poses at random points, random settings.
    #[test]
    fn limited_swing_agrees_with_its_poses(
        centre in -3.5_f64..5.0,
        (pivot_s, pivot_h) in (80.0_f64..200.0, -80.0_f64..0.0),
        bevel in 30.0_f64..80.0,
        half in 30.0_f64..120.0,
        turn in -10.0_f64..10.0,
        width in 36.0_f64..60.0,
        points in proptest::collection::vec((-1.0_f64..1.0, 0.0_f64..1.0), 60),
    ) {
        let setting = Rolled {
            line: RollLine::through(DVec2::new(pivot_s, pivot_h), centre).unwrap(),
            bevel: degrees(bevel),
            ..setting(centre, half, turn, width)
        };
        let Ok(surface) = GroundSurface::rolled(&setting) else { return Ok(()) };
        let steel = Steel::of_bar(&Bar::new(16.0, FluteShape::Power { factor: 0.25, exponent: 2.0 }, -4.0).unwrap());
        let tip = Tip::new(surface, steel);
        let rays: Vec<DVec2> = points.iter().map(|&(t, v)| tip.at(t, v).0).collect();
        let (starts, _) = filled(&Envelope::of_swing(&setting, 1201).unwrap(), &rays, true);
        for (ray, start) in rays.iter().zip(starts) {
            let s = surface.start_of_steel(ray.x, ray.y).map_or(f64::NEG_INFINITY, |hit| hit.s_mm);
            // Poses 0.2° apart fall short of the sweep by no more than this, and never beyond it.
            prop_assert!(s - start < 2e-3 && start - s < 1e-9 || s.total_cmp(&start).is_eq(), "{} {} {}", ray, s, start);
        }
    }
}

/// Derived here: a crown of very large radius, and corners of none to speak of, are a flat rim.
#[test]
fn slight_crowns_and_corners_tend_to_the_flat_rim() {
    let setting = setting(0.0, 90.0, 0.0, 40.0);
    let rays = rays(&setting, 24, 12);
    let angles = || (0..=180).map(|i| degrees(f64::from(i) - 90.0));
    let flat = filled(&Envelope::new(&setting, RimShape::Flat, 0.0, angles()).unwrap(), &rays, true).0;
    let mut last = f64::INFINITY;
    for crown in [100.0, 1000.0, 10_000.0, 1e7] {
        let shape = RimShape::Crowned { radius_mm: crown };
        let crowned = filled(&Envelope::new(&setting, shape, 0.0, angles()).unwrap(), &rays, true).0;
        let off = flat.iter().zip(&crowned).map(|(a, b)| a - b).fold(0.0, f64::max);
        assert!(flat.iter().zip(&crowned).all(|(a, b)| b <= &(a + 1e-9)), "a crown never cuts more");
        assert!(off < last);
        last = off;
    }
    assert!(last < 1e-4, "{last}");
    let shape = RimShape::RoundedCorners { radius_mm: 1e-3 };
    let rounded = filled(&Envelope::new(&setting, shape, 0.0, angles()).unwrap(), &rays, true).0;
    for (a, b) in flat.iter().zip(&rounded) {
        assert!((a - b).abs() < 2e-3, "{a} {b}");
    }
}

/// Derived here: at mid-swing on the middle of the bar a crown has its full height, and off the middle it
/// lacks `ρ − √(ρ² − z²)`.
#[test]
fn contact_off_the_middle_of_a_crown_cuts_less() {
    let setting = setting(0.0, 90.0, 0.0, 40.0);
    let one_pose = |shape, offset: f64| {
        let envelope = Envelope::new(&setting, shape, offset, [Angle::ZERO]).unwrap();
        filled(&envelope, &[DVec2::new(0.0, -4.0)], true).0[0]
    };
    let crown = RimShape::Crowned { radius_mm: 200.0 };
    assert!(one_pose(crown, 0.0).abs() < 1e-9);
    let lacks = 200.0 - (200.0_f64.powi(2) - 100.0).sqrt();
    let radius = 75.0 - lacks;
    let centre = DVec2::new(0.0, -4.0) - 75.0 * DVec2::new(degrees(45.0).sin(), degrees(45.0).cos());
    let expected = centre.x + (radius.powi(2) - (-4.0 - centre.y).powi(2)).sqrt();
    assert!((one_pose(crown, 10.0) - expected).abs() < 1e-9, "{} {expected}", one_pose(crown, 10.0));
    assert!(one_pose(RimShape::Flat, 10.0).abs() < 1e-9);
    assert!(one_pose(RimShape::Flat, 20.1).is_infinite(), "beyond the wheel's side nothing is cut");
}

#[test]
fn wheels_that_cannot_be_are_refused() {
    let setting = setting(0.0, 90.0, 0.0, 40.0);
    let with = |shape| Envelope::new(&setting, shape, 0.0, [Angle::ZERO]).unwrap_err();
    assert_eq!(with(RimShape::Crowned { radius_mm: 10.0 }), EnvelopeError::Rim);
    assert_eq!(with(RimShape::RoundedCorners { radius_mm: 21.0 }), EnvelopeError::Rim);
    assert_eq!(Envelope::new(&setting, RimShape::Flat, 0.0, []).unwrap_err(), EnvelopeError::Poses);
    assert_eq!(
        Envelope::new(&setting, RimShape::Flat, f64::NAN, [Angle::ZERO]).unwrap_err(),
        EnvelopeError::Offset
    );
    let far = filled(&Envelope::of_swing(&setting, 5).unwrap(), &[DVec2::new(0.0, 500.0)], false);
    assert_eq!((far.0[0], far.1[0]), (f64::NEG_INFINITY, NO_POSE));
}
