//! Ink over a swept bevel against the side view, and against the wheel's whole cylinder settled pose by pose.

use approx::assert_relative_eq;
use bevelbench_geometry::{
    DVec2, DVec3,
    math::Angle,
    parts::{Bar, FluteShape},
    swept::{
        GrindingFace, GroundSurface, RollLine, Rolled, Settling, Steel, SweptInk, Swing, Tip,
        equal::{bevel_at, pivot_distance_mm},
    },
};
use glam::DQuat;

const EDGE_MM: f64 = -4.0;
const CENTRE_MM: f64 = 0.0;

fn degrees(x: f64) -> Angle {
    Angle::from_degrees(x)
}

fn steel() -> Steel {
    Steel::of_bar(&Bar::new(16.0, FluteShape::Power { factor: 0.25, exponent: 2.0 }, EDGE_MM).unwrap())
}

/// A pivot by projection, holder of the worked example (hinge 15 behind, strut 70 at 45°).
fn pivot(projection_mm: f64) -> DVec2 {
    let leg = 70.0 * degrees(45.0).cos();
    DVec2::new(projection_mm + 15.0 + leg, -leg)
}

/// Drawn out so far and ground on a wheel, the cup at a distance from the wheel's centre.
fn rolled(projection_mm: f64, distance_mm: f64, radius_mm: f64, half: f64, turn: f64) -> Rolled {
    let pivot = pivot(projection_mm);
    let bevel = bevel_at(pivot, EDGE_MM, radius_mm, distance_mm).unwrap();
    Rolled {
        line: RollLine::through(pivot, CENTRE_MM).unwrap(),
        bevel,
        edge_height_mm: EDGE_MM,
        abrasive: GrindingFace::Wheel { radius_mm, width_mm: 40.0 },
        swing: Swing::to_either_side(degrees(half)).unwrap(),
        turn: degrees(turn),
    }
}

fn distance(projection_mm: f64, radius_mm: f64, bevel: f64) -> f64 {
    pivot_distance_mm(pivot(projection_mm), EDGE_MM, radius_mm, degrees(bevel))
}

fn tip(grind: &Rolled) -> Tip {
    Tip::new(GroundSurface::rolled(grind).unwrap(), steel())
}

fn about(grind: &Rolled) -> Settling {
    Settling::AboutPivot { pivot_in_tool: grind.line.pivot_in_tool() }
}

fn laid(present: &Rolled, today: &Rolled) -> SweptInk {
    SweptInk::new(&tip(present), &GroundSurface::rolled(today).unwrap(), about(today))
}

#[test]
fn a_grind_laid_on_its_own_setting_is_inked_all_over() {
    let grind = rolled(75.0, distance(75.0, 75.0, 45.0), 75.0, 120.0, 0.0);
    let ink = laid(&grind, &grind);
    for i in -9..=9 {
        let facing = ink.facing(&tip(&grind), f64::from(i) / 9.0, 1e-6).unwrap();
        assert_relative_eq!(facing.inked_mm, facing.facet_mm, max_relative = 1e-9);
    }
}

/// At the nose the section is the side plane: there the gaps are those of a facet settled in the side view.
#[test]
fn at_the_nose_the_gaps_are_those_of_the_side_view() {
    let d = distance(75.0, 75.0, 45.0);
    let present = rolled(75.0, d, 75.0, 100.0, 0.0);
    for (projection, radius) in [(73.0, 75.0), (79.0, 75.0), (75.0, 62.0), (75.0, 100.0)] {
        let today = rolled(projection, d, radius, 100.0, 0.0);
        let ink = laid(&present, &today);
        // Derived here: turn the wheel's centre about the pivot until no point of the facet's arc is inside.
        let centre = -75.0 * DVec2::new(present.bevel.sin(), present.bevel.cos());
        let (from, to) = {
            let out = tip(&present).at(0.0, 1.0);
            let heel = DVec2::new(out.1.unwrap().s_mm, out.0.y - EDGE_MM);
            (DVec2::ZERO, heel)
        };
        let (first, last) = ((from - centre).to_angle(), (to - centre).to_angle());
        let arc: Vec<DVec2> = (0..=4000)
            .map(|i| {
                let fraction = f64::from(i) / 4000.0;
                centre + 75.0 * DVec2::from_angle(first + (last - first) * fraction)
            })
            .collect();
        let p = pivot(projection) - DVec2::new(0.0, EDGE_MM);
        let gap = |x: DVec2, nod: f64| {
            let c = -radius * DVec2::new(today.bevel.sin(), today.bevel.cos()) - p;
            x.distance(p + DVec2::from_angle(nod).rotate(c)) - radius
        };
        let clear = |nod: f64| arc.iter().all(|x| gap(*x, nod) >= 0.0);
        let (mut into, mut away) = (-0.2, 0.2);
        for _ in 0..60 {
            let middle = f64::midpoint(into, away);
            if clear(middle) { away = middle } else { into = middle }
        }
        let facing = ink.facing(&tip(&present), 0.0, 0.005).unwrap();
        assert_relative_eq!(facing.edge_gap_mm, gap(from, away), epsilon = 1e-5);
        assert_relative_eq!(facing.heel_gap_mm, gap(to, away), epsilon = 1e-5);
        assert!(facing.edge_gap_mm.max(facing.heel_gap_mm) > 0.01 || radius > 75.0, "{facing:?}");
    }
}

/// The whole cylinder, its real width, settled at each of many roll angles by halving; a place's gap is the least it
/// has in any of them. Turned by quaternions in space, not by the crate's own frames.
fn brute_force(today: &Rolled, places: &[DVec3], cloud: &[DVec3]) -> Vec<f64> {
    let GrindingFace::Wheel { radius_mm, width_mm } = today.abrasive else { panic!() };
    let line = today.line;
    let lift = |v: DVec2| DVec3::new(v.x, v.y, 0.0);
    let (anchor, along) = (lift(line.centre_in_tool()), lift(line.along_in_tool()));
    let pivot = lift(line.pivot_in_tool());
    let centre = {
        let n = DVec2::new(today.bevel.sin(), today.bevel.cos());
        lift(DVec2::new(0.0, EDGE_MM) - radius_mm * n)
    };
    let turned_in_holder = DQuat::from_axis_angle(DVec3::X, -today.turn.radians());
    let hold = |p: DVec3| turned_in_holder * p;
    let half = today.swing.half().radians();
    let mut least = vec![f64::INFINITY; places.len()];
    let poses = 241;
    for i in 0..poses {
        let roll = half * (2.0 * f64::from(i) / f64::from(poses - 1) - 1.0);
        // The roll angle grows towards +w: turning the tool back by it brings that side under the axis.
        let back = DQuat::from_axis_angle(along, roll);
        let rolled = |p: DVec3| anchor + back * (hold(p) - anchor);
        let gap = |p: DVec3, nod: f64| {
            let c = pivot + DQuat::from_axis_angle(DVec3::Z, nod) * (centre - pivot);
            if p.z.abs() > width_mm / 2.0 {
                f64::INFINITY
            } else {
                p.truncate().distance(c.truncate()) - radius_mm
            }
        };
        let here: Vec<DVec3> = cloud.iter().map(|p| rolled(*p)).collect();
        let (mut into, mut away) = (-0.05, 0.1);
        for _ in 0..40 {
            let middle = f64::midpoint(into, away);
            if here.iter().all(|p| gap(*p, middle) >= 0.0) { away = middle } else { into = middle }
        }
        for (least, place) in least.iter_mut().zip(places) {
            *least = least.min(gap(rolled(*place), away));
        }
    }
    least
}

fn grid(tip: &Tip, columns: u32, rows: u32, within: f64) -> Vec<DVec3> {
    let mut places = Vec::new();
    for i in 0..=columns {
        for j in 0..=rows {
            let t = within * (2.0 * f64::from(i) / f64::from(columns) - 1.0);
            let (place, hit) = tip.at(t, f64::from(j) / f64::from(rows));
            places.push(DVec3::new(hit.unwrap().s_mm, place.y, place.x));
        }
    }
    places
}

#[test]
fn gaps_agree_with_a_cylinder_settled_pose_by_pose() {
    let d = distance(75.0, 75.0, 45.0);
    let present = rolled(75.0, d, 75.0, 110.0, 0.0);
    // What differs today: drawn out further, or less; a smaller wheel; turned in its holder.
    for today in [
        rolled(76.0, d, 75.0, 110.0, 0.0),
        rolled(74.5, d, 75.0, 110.0, 0.0),
        rolled(75.0, d, 68.0, 110.0, 0.0),
        rolled(75.0, d, 75.0, 110.0, 1.0),
    ] {
        let ink = laid(&present, &today);
        let tip = tip(&present);
        let places = grid(&tip, 16, 4, 0.8);
        let cloud = grid(&tip, 240, 24, 1.0);
        let brute = brute_force(&today, &places, &cloud);
        let mut worst = 0.0_f64;
        let mut widest = 0.0_f64;
        for (place, brute) in places.iter().zip(&brute) {
            let gap = ink.gap_at_mm(*place).unwrap();
            worst = worst.max((gap - brute).abs());
            widest = widest.max(*brute);
        }
        // The cylinder also touches beside its middle, and the poses are so far apart.
        assert!(worst < 0.003, "{worst} of {widest}");
        assert!(widest > 10.0 * worst, "{worst} of {widest}");
    }
}

/// A short swing, the gouge turned in its holder by a part of it: what the wheel left standing at one end is met by the
/// poses next to that end, all across.
#[test]
fn gaps_near_the_end_of_a_short_swing_agree_with_a_cylinder_settled_pose_by_pose() {
    let d = distance(75.0, 75.0, 45.0);
    for (half, turn) in [(20.0, -4.0), (20.0, 4.0), (10.0, -3.0), (5.0, 4.0), (2.0, 15.0)] {
        let present = rolled(75.0, d, 75.0, half, 0.0);
        let today = rolled(75.0, d, 75.0, half, turn);
        let (ink, tip) = (laid(&present, &today), tip(&present));
        let places = grid(&tip, 10, 2, 0.015 * half.min(20.0));
        let brute = brute_force(&today, &places, &grid(&tip, 160, 12, 1.0));
        for (place, brute) in places.iter().zip(&brute) {
            let gap = ink.gap_at_mm(*place).unwrap();
            // Poses so far apart, and a cylinder that touches beside its middle.
            assert!((gap - brute).abs() < 0.005, "{half} {turn} {place}: {gap} {brute}");
        }
    }
}
