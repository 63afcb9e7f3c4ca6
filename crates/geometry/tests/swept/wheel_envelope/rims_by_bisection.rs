//! Wheels with sharp, rounded and crowned rims against their own bodies, pose by pose. Derived here: a rim with rounded
//! corners is what lies within the corner's radius of a smaller cylinder, a crowned one what lies within the crown's
//! radius of its middle plane's circle; how far a place lies outside either is convex along a ray, so that the last place
//! inside is found by halving, with no formula for it.

use bevelbench_geometry::{
    DVec2,
    math::Angle,
    swept::{Envelope, GrindingFace, GroundSurface, RimShape, RollLine, Rolled, Swing, envelope::NO_POSE},
};

use super::{degrees, filled};

const RADIUS: f64 = 60.0;

fn setting(line: RollLine, bevel: f64, half: f64, width_mm: f64) -> Rolled {
    Rolled {
        line,
        bevel: degrees(bevel),
        edge_height_mm: -4.0,
        abrasive: GrindingFace::Wheel { radius_mm: RADIUS, width_mm },
        swing: Swing::to_either_side(degrees(half)).unwrap(),
        turn: Angle::ZERO,
    }
}

fn through(s: f64, h: f64, centre: f64) -> RollLine {
    RollLine::through(DVec2::new(s, h), centre).unwrap()
}

/// Down to the pivot, steeply, up to it, and square to a table.
fn lines() -> [RollLine; 4] {
    [
        through(139.5, -49.5, 0.0),
        through(20.0, -110.0, 2.0),
        through(110.0, 30.0, -1.0),
        RollLine::upright(14.0).unwrap(),
    ]
}

/// How far `(s, h, w)` lies outside the wheel standing at `roll`, up to a rising function; zero at its surface.
fn outside(setting: &Rolled, rim: RimShape, offset: f64, roll: Angle, (s, place): (f64, DVec2)) -> f64 {
    let GrindingFace::Wheel { radius_mm, width_mm } = setting.abrasive else { unreachable!() };
    let line = setting.line;
    let by_line = |p: DVec2| {
        let leg = p - line.centre_in_tool();
        DVec2::new(leg.dot(line.along_in_tool()), leg.dot(line.square_in_tool()))
    };
    let normal = DVec2::new(setting.bevel.sin(), setting.bevel.cos());
    let centre = by_line(DVec2::new(0.0, setting.edge_height_mm) - radius_mm * normal);
    let at = by_line(DVec2::new(s, place.y));
    let (sin, cos) = roll.sin_cos();
    let from_axis = (at.x - centre.x).hypot(at.y * cos + place.x * sin - centre.y);
    let off = (place.x * cos - at.y * sin - offset).abs();
    let half = width_mm / 2.0;
    match rim {
        RimShape::Flat => (from_axis - radius_mm).max(off - half),
        RimShape::RoundedCorners { radius_mm: corner } => {
            let core = DVec2::new(from_axis - (radius_mm - corner), off - (half - corner)).max(DVec2::ZERO);
            core.length() - corner
        }
        RimShape::Crowned { radius_mm: crown } => {
            let high = (from_axis + crown - radius_mm).max(0.0);
            (high.hypot(off) - crown).max(off - half)
        }
    }
}

/// How far outside the deepest place of a ray lies, and where the ray leaves the wheel if it is inside: by thirds and halves.
fn last_inside(outside: impl Fn(f64) -> f64) -> (f64, f64) {
    let (mut low, mut high) = (-400.0, 400.0);
    for _ in 0..90 {
        let (a, b) = (low + (high - low) / 3.0, high - (high - low) / 3.0);
        if outside(a) <= outside(b) { high = b } else { low = a }
    }
    let deepest = f64::midpoint(low, high);
    let (mut low, mut high) = (deepest, 500.0);
    for _ in 0..60 {
        let middle = f64::midpoint(low, high);
        if outside(middle) <= 0.0 { low = middle } else { high = middle }
    }
    (outside(deepest), low)
}

fn rims(width: f64) -> [RimShape; 6] {
    [
        RimShape::Flat,
        RimShape::RoundedCorners { radius_mm: 0.5 },
        RimShape::RoundedCorners { radius_mm: width / 2.0 },
        RimShape::Crowned { radius_mm: width / 2.0 },
        RimShape::Crowned { radius_mm: 40.0 },
        RimShape::Crowned { radius_mm: 300.0 },
    ]
}

fn spread(i: u32, step: f64, low: f64, high: f64) -> f64 {
    low + (high - low) * (f64::from(i) * step).fract()
}

#[test]
fn one_pose_takes_what_lies_inside_its_wheel() {
    let (mut met, mut missed, mut by_side) = (0, 0, 0);
    for (i, line) in (0..).zip(lines()) {
        for width in [4.0, 12.0, 40.0] {
            for (j, rim) in (0..).zip(rims(width)) {
                for k in 0..30_u32 {
                    let at = 1000 * i + 100 * j + k;
                    let roll = degrees([0.0, 35.0, -70.0, 90.0, -150.0][at as usize % 5]);
                    let offset = [0.0, 1.5, -3.0][at as usize % 3];
                    let setting = setting(line, spread(at, 0.618_034, 25.0, 120.0), 180.0, width);
                    let place =
                        DVec2::new(spread(at, 0.732_051, -40.0, 40.0), spread(at, 0.236_068, -40.0, 30.0));
                    let there = |s: f64| outside(&setting, rim, offset, roll, (s, place));
                    let (nearest, s) = last_inside(there);
                    // Too close a call, or along the axis for ever.
                    if nearest.abs() < 1e-4 || (nearest < 0.0 && s > 399.0) {
                        continue;
                    }
                    let envelope = Envelope::new(&setting, rim, offset, [roll]).unwrap();
                    for scan in [false, true] {
                        let (starts, best) = filled(&envelope, &[place], scan);
                        let stated = format!("{line:?} {width} {rim:?} {roll:?} {offset} {place}");
                        if nearest < 0.0 {
                            assert!((starts[0] - s).abs() < 1e-4, "{stated}: {} {s}", starts[0]);
                            assert_eq!(best[0], 0);
                            met += 1;
                            by_side += usize::from(there(s + 1e-3) < 0.9e-3);
                        } else {
                            assert_eq!((starts[0], best[0]), (f64::NEG_INFINITY, NO_POSE), "{stated}");
                            missed += 1;
                        }
                    }
                }
            }
        }
    }
    assert!(met > 500 && missed > 500 && by_side > 50, "{met} {missed} {by_side}");
}

/// Every ray, every pose: climbing from the neighbour's best pose loses nothing, whatever the rim, wherever it is left and
/// however far the contact lies off its middle.
#[test]
fn climbing_loses_nothing_on_any_rim() {
    let [shallow, _, _, upright] = lines();
    let high = through(160.0, -20.0, 6.0);
    for (line, half, width, offset) in [
        (shallow, 90.0, 40.0, 0.0),
        (shallow, 60.0, 4.0, 0.0),
        (shallow, 20.0, 3.0, 1.0),
        (shallow, 45.0, 6.0, -1.0),
        (shallow, 60.0, 1.0, 1.0),
        (high, 30.0, 3.0, 0.0),
        (high, 90.0, 12.0, 1.0),
        (upright, 30.0, 6.0, 1.0),
    ] {
        for rim in rims(width) {
            let setting = setting(line, 45.0, half, width);
            assert!(GroundSurface::rolled(&setting).is_ok());
            let angles = (0..=60).map(|i| degrees(half * (f64::from(i) / 30.0 - 1.0)));
            let envelope = Envelope::new(&setting, rim, offset, angles).unwrap();
            let rays: Vec<DVec2> = (0..40)
                .flat_map(|i| {
                    let turn = degrees(4.0 * (f64::from(i) - 19.5));
                    (0..8).map(move |j| (4.0 + 0.5 * f64::from(j)) * DVec2::new(turn.sin(), -turn.cos()))
                })
                .collect();
            let (climbed, scanned) = (filled(&envelope, &rays, false).0, filled(&envelope, &rays, true).0);
            for i in 0..rays.len() {
                assert!(
                    climbed[i].total_cmp(&scanned[i]).is_eq(),
                    "{line:?} {half} {width} {offset} {rim:?} {}: {} {}",
                    rays[i],
                    climbed[i],
                    scanned[i]
                );
            }
        }
    }
}
