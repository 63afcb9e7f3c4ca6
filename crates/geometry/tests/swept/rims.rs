//! Wheels with a real rim, pose by pose, against a search along each ray that knows only which points lie inside the
//! wheel.

use bevelbench_geometry::{
    DVec2, DVec3,
    math::Angle,
    swept::{Envelope, GrindingFace, RimShape, RollLine, Rolled, Swing, envelope::NO_POSE},
};
use glam::DQuat;

const RADIUS: f64 = 60.0;
const WIDTH: f64 = 30.0;

/// How far a point lies outside the wheel, given its distance from the axle and from the middle of the rim: negative
/// inside, growing along every straight line out of it.
fn outside(rim: RimShape, from_axle: f64, from_middle: f64) -> f64 {
    let (z, half) = (from_middle.abs(), WIDTH / 2.0);
    let side = z - half;
    match rim {
        RimShape::Flat => side.max(from_axle - RADIUS),
        // Everything within the corner's radius of a smaller, sharp-edged wheel.
        RimShape::RoundedCorners { radius_mm } => {
            let (over, beside) = (from_axle - (RADIUS - radius_mm), z - (half - radius_mm));
            if over > 0.0 && beside > 0.0 {
                over.hypot(beside) - radius_mm
            } else {
                over.max(beside) - radius_mm
            }
        }
        // An arc about a point of the middle plane, turned about the axle.
        RimShape::Crowned { radius_mm } => {
            let sunk = from_axle + radius_mm - RADIUS;
            let crown = if sunk > 0.0 { sunk.hypot(z) - radius_mm } else { side };
            side.max(crown)
        }
    }
}

/// A wheel as it stands in the tool's own frame: its centre, its axle's direction.
struct Stand {
    centre: DVec3,
    axle: DVec3,
}

/// The wheel's stand when the tool has been rolled by `roll`, turned in its holder by `turn`: the upright wheel touches
/// the nose and is turned about the roll line.
fn stand(setting: &Rolled, roll: Angle, offset: f64) -> Stand {
    let normal = DVec3::new(setting.bevel.sin(), setting.bevel.cos(), 0.0);
    let nose = DVec3::new(0.0, setting.edge_height_mm, 0.0);
    let (centre, along) = (setting.line.centre_in_tool(), setting.line.along_in_tool());
    let (centre, along) = (DVec3::new(centre.x, centre.y, 0.0), DVec3::new(along.x, along.y, 0.0));
    // The sense in which the underside goes towards `+w`.
    let square = setting.line.square_in_tool();
    let square = DVec3::new(square.x, square.y, 0.0);
    let sense = along.cross(square).dot(DVec3::Z).signum();
    let turn = DQuat::from_axis_angle(along, sense * roll.radians());
    Stand {
        centre: centre + turn * (nose - RADIUS * normal + offset * DVec3::Z - centre),
        axle: turn * DVec3::Z,
    }
}

/// The farthest station of the ray inside the wheel, by golden section and halving.
fn farthest(rim: RimShape, stand: &Stand, place: DVec2) -> Option<f64> {
    let off = |s: f64| {
        let leg = DVec3::new(s, place.y, place.x) - stand.centre;
        let z = leg.dot(stand.axle);
        outside(rim, (leg - z * stand.axle).length(), z)
    };
    let (mut low, mut high) = (-300.0, 300.0);
    for _ in 0..90 {
        let third = (high - low) * 0.381_966_011_250_105;
        if off(low + third) < off(high - third) { high -= third } else { low += third }
    }
    let (mut inside, mut out) = (f64::midpoint(low, high), 300.0);
    if off(inside) > 0.0 {
        return None;
    }
    for _ in 0..60 {
        let middle = f64::midpoint(inside, out);
        if off(middle) <= 0.0 { inside = middle } else { out = middle }
    }
    Some(inside)
}

fn rims() -> [RimShape; 6] {
    [
        RimShape::Flat,
        RimShape::RoundedCorners { radius_mm: 2.0 },
        RimShape::RoundedCorners { radius_mm: 9.0 },
        RimShape::RoundedCorners { radius_mm: 15.0 },
        RimShape::Crowned { radius_mm: 16.0 },
        RimShape::Crowned { radius_mm: 120.0 },
    ]
}

fn settings() -> Vec<Rolled> {
    let rolled = |line: RollLine, edge_height_mm: f64, bevel: f64| Rolled {
        line,
        bevel: Angle::from_degrees(bevel),
        edge_height_mm,
        abrasive: GrindingFace::Wheel { radius_mm: RADIUS, width_mm: WIDTH },
        swing: Swing::to_either_side(Angle::from_degrees(90.0)).unwrap(),
        turn: Angle::ZERO,
    };
    vec![
        rolled(RollLine::through(DVec2::new(139.5, -49.5), 0.0).unwrap(), -4.0, 45.0),
        rolled(RollLine::through(DVec2::new(80.0, -70.0), 3.0).unwrap(), -5.0, 62.0),
        rolled(RollLine::through(DVec2::new(150.0, 20.0), -1.0).unwrap(), -3.0, 30.0),
        // A scraper on its table: rolled by a right angle its axis is the wheel's.
        rolled(RollLine::upright(12.0).unwrap(), 3.0, 75.0),
    ]
}

fn rays() -> Vec<DVec2> {
    (0..70)
        .map(|i| DVec2::new(9.0 * (f64::from(i) * 0.61).sin(), 8.0 * (f64::from(i) * 0.37).cos()))
        .chain([DVec2::ZERO, DVec2::new(30.0, -20.0), DVec2::new(-44.0, 2.0), DVec2::new(0.0, -90.0)])
        .collect()
}

#[test]
fn rims_cut_what_lies_inside_them() {
    let rays = rays();
    let (mut met, mut missed) = (0, 0);
    for setting in settings() {
        for rim in rims() {
            for (offset, roll) in
                [(0.0, 0.0), (0.0, 31.0), (7.0, -52.0), (-12.0, 90.0), (3.0, -90.0), (14.0, 9.0)]
            {
                let roll = Angle::from_degrees(roll);
                let envelope = Envelope::new(&setting, rim, offset, [roll]).unwrap();
                let (mut starts, mut best) = (vec![0.0; rays.len()], vec![0; rays.len()]);
                envelope.fill_by_scan(&rays, &mut starts, &mut best);
                let (mut climbed, mut climbed_best) = (starts.clone(), best.clone());
                envelope.fill(&rays, &mut climbed, &mut climbed_best);
                assert_eq!((&starts, &best), (&climbed, &climbed_best));
                let stand = stand(&setting, roll, offset);
                for ((place, start), best) in rays.iter().zip(starts).zip(best) {
                    let name = format!("{place} {rim:?} {offset} {} {setting:?}", roll.degrees());
                    if let Some(s) = farthest(rim, &stand, *place) {
                        met += 1;
                        assert!((s - start).abs() < 1e-5, "{s} {start} {name}");
                        assert_eq!(best, 0, "{name}");
                    } else {
                        missed += 1;
                        assert_eq!((start, best), (f64::NEG_INFINITY, NO_POSE), "{name}");
                    }
                }
            }
        }
    }
    assert!(met > 2000 && missed > 2000, "{met} {missed}");
}

/// Rays to both sides by turns: the best pose is now at one end of the swing and now at the other. Neighbours in such a
/// list are far apart, which asks more than is promised; it holds for lines that pass well inside the bar.
#[test]
fn climbing_goes_from_one_end_of_the_swing_to_the_other() {
    for half in [25.0, 60.0, 110.0, 150.0] {
        for setting in settings().into_iter().take(2) {
            for rim in rims() {
                let poses = (-90..=90).map(|i| Angle::from_degrees(half * f64::from(i) / 90.0));
                let envelope = Envelope::new(&setting, rim, 0.0, poses).unwrap();
                let rays: Vec<DVec2> = (0..60)
                    .map(|i| {
                        let side = if i % 2 == 0 { 1.0 } else { -1.0 };
                        DVec2::new(side * (0.5 + 0.1 * f64::from(i)), 7.0 - 0.19 * f64::from(i))
                    })
                    .collect();
                let (mut scanned, mut best) = (vec![0.0; rays.len()], vec![0; rays.len()]);
                envelope.fill_by_scan(&rays, &mut scanned, &mut best);
                let mut climbed = vec![0.0; rays.len()];
                envelope.fill(&rays, &mut climbed, &mut best);
                for ((ray, one), other) in rays.iter().zip(&scanned).zip(&climbed) {
                    assert!(
                        (one - other).abs() < 1e-9 || one.total_cmp(other).is_eq(),
                        "{half} {ray} {one} {other} {rim:?} {:?}",
                        setting.line
                    );
                }
            }
        }
    }
}
