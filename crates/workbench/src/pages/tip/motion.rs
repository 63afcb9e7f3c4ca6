//! The swing played again: where the wheel stands and how the tool is held at every moment of it.
//!
//! The wheel stays where it is, as on the bench, and the tool moves: rolled about its roll line, turned about the
//! centre of its nose, or pushed along its edge.

use bevelbench_geometry::{DVec2, DVec3, math::Angle, swept::GrindingFace};
use bevelbench_notebook::answer::swept::{Movement, Swept};

/// A rigid movement of the tool, `(s, h, w)` to `(s, h, w)`, in single precision for display.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pose {
    rows: [[f32; 3]; 3],
    shift: [f32; 3],
}

impl Pose {
    /// The tool as it is drawn: flute up.
    pub const STILL: Self =
        Self { rows: [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]], shift: [0.0; 3] };

    /// A place of the tool.
    #[must_use]
    #[inline]
    pub fn place(&self, p: [f32; 3]) -> [f32; 3] {
        let turned = self.direction(p);
        [turned[0] + self.shift[0], turned[1] + self.shift[1], turned[2] + self.shift[2]]
    }

    /// A direction of the tool.
    #[must_use]
    #[inline]
    pub fn direction(&self, p: [f32; 3]) -> [f32; 3] {
        self.rows.map(|row| row[0] * p[0] + row[1] * p[1] + row[2] * p[2])
    }

    fn new(turned: [DVec3; 3], shift: DVec3) -> Self {
        let columns = turned.map(single);
        Self {
            rows: std::array::from_fn(|i| [columns[0][i], columns[1][i], columns[2][i]]),
            shift: single(shift),
        }
    }
}

/// A vector in single precision.
#[must_use]
pub fn single(v: DVec3) -> [f32; 3] {
    [v.x as f32, v.y as f32, v.z as f32]
}

/// A wheel that stands still while the tool moves: its centre, its radius, its width and its axis.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WheelPlace {
    /// The middle of the wheel, `(s, h, w)` of the tool held upright.
    pub centre: DVec3,
    /// In millimetres.
    pub radius_mm: f64,
    /// In millimetres.
    pub width_mm: f64,
    /// Along the spindle, unit.
    pub axis: DVec3,
}

/// How far the tool moves to either side: degrees, or millimetres for a push.
#[must_use]
pub fn half_way(swept: &Swept) -> f64 {
    match swept.movement() {
        Movement::Rolled { .. } | Movement::Turned => {
            swept.tip().surface().swing().map_or(0.0, |swing| swing.half().degrees())
        }
        Movement::Pushed { .. } => swept
            .points()
            .last()
            .zip(swept.points().first())
            .map_or(0.0, |(a, b)| a.position().distance(b.position()) / 2.0),
    }
}

/// The tool's pose at a fraction of the swing, −1 to 1.
#[must_use]
pub fn pose(swept: &Swept, fraction: f64) -> Pose {
    let way = fraction.clamp(-1.0, 1.0) * half_way(swept);
    match swept.movement() {
        Movement::Pushed { along, .. } => Pose::new([DVec3::X, DVec3::Y, DVec3::Z], -along * way),
        Movement::Rolled { turn, .. } => rolled(swept, turn, Angle::from_degrees(way)),
        Movement::Turned => rolled(swept, Angle::ZERO, Angle::from_degrees(way)),
    }
}

/// The tool first turned in its holder, then rolled back by the roll angle that the wheel grinds.
fn rolled(swept: &Swept, turn: Angle, roll: Angle) -> Pose {
    let Some(line) = swept.tip().surface().roll_line() else { return Pose::STILL };
    let lift = |v: DVec2| DVec3::new(v.x, v.y, 0.0);
    let (along, square) = (lift(line.along_in_tool()), lift(line.square_in_tool()));
    let centre = lift(line.centre_in_tool());
    let (turn_sin, turn_cos) = turn.sin_cos();
    let in_holder =
        |p: DVec3| DVec3::new(p.x, p.y * turn_cos + p.z * turn_sin, p.z * turn_cos - p.y * turn_sin);
    let (sin, cos) = roll.sin_cos();
    let back = |v: DVec3| {
        let (u, a, b) = (v.dot(along), v.dot(square), v.z);
        u * along + (a * cos + b * sin) * square + (b * cos - a * sin) * DVec3::Z
    };
    let turned = [DVec3::X, DVec3::Y, DVec3::Z].map(|axis| back(in_holder(axis)));
    // The roll centre stays where it is.
    Pose::new(turned, centre - back(centre))
}

/// Where the wheel stands; `None` for a flat face.
#[must_use]
pub fn wheel(swept: &Swept) -> Option<WheelPlace> {
    let GrindingFace::Wheel { radius_mm, width_mm } = swept.abrasive() else { return None };
    let surface = swept.tip().surface();
    match swept.movement() {
        Movement::Rolled { .. } | Movement::Turned => {
            let line = surface.roll_line()?;
            let by_line = surface.wheel_centre_by_roll_line()?;
            let centre =
                line.centre_in_tool() + by_line.x * line.along_in_tool() + by_line.y * line.square_in_tool();
            Some(WheelPlace {
                centre: DVec3::new(centre.x, centre.y, 0.0),
                radius_mm,
                width_mm,
                axis: DVec3::Z,
            })
        }
        Movement::Pushed { spindle, .. } => {
            // In the wheel's plane at the middle of the edge, out of the steel.
            let point = swept.points().get(swept.nearest_to_w(0.0)?)?;
            let normal = surface.normal_at(point.position(), point.face);
            let normal = (normal - normal.dot(spindle) * spindle).normalize_or(DVec3::NEG_Y);
            Some(WheelPlace {
                centre: point.position() + radius_mm * normal,
                radius_mm,
                width_mm,
                axis: spindle,
            })
        }
    }
}

/// The edge point that the wheel touches at a fraction of the swing.
#[must_use]
pub fn touched(swept: &Swept, fraction: f64) -> Option<usize> {
    let way = fraction.clamp(-1.0, 1.0) * half_way(swept);
    let apart = |i: usize| match swept.movement() {
        Movement::Pushed { .. } => (swept.arc_mm()[i] - way).abs(),
        Movement::Rolled { .. } | Movement::Turned => (swept.points()[i].roll.degrees() - way).abs(),
    };
    let nearest = (0..swept.points().len()).min_by(|&a, &b| apart(a).total_cmp(&apart(b)))?;
    let tolerance = match swept.movement() {
        Movement::Pushed { .. } => f64::INFINITY,
        _ => 3.0,
    };
    (apart(nearest) <= tolerance).then_some(nearest)
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]
mod tests {
    use super::*;
    use bevelbench_notebook::{answer::swept::swept, saved::library::demo_bench};

    fn demo(name: &str, turn_deg: f64) -> Swept {
        let bench = demo_bench().unwrap();
        let mut entry = bench.setting_named(name).unwrap().clone();
        if let Some(swing) = entry.swing.as_mut() {
            swing.turn_deg = turn_deg;
        }
        let (job, view) = bench.answer(&entry).unwrap();
        swept(&job, &view, entry.swing.as_ref(), 201).unwrap()
    }

    #[test]
    fn every_ground_point_lies_on_the_rim_at_its_moment_of_the_swing() {
        // A tool turned in its holder, one in the cup, a round scraper: three kinds of line.
        for (name, turn) in [
            ("Long grind, 85 mm", 0.0),
            ("Long grind, 85 mm", 6.0),
            ("Straight across, 45°", 0.0),
            ("Round nose, burr", 0.0),
        ] {
            let shape = demo(name, turn);
            let wheel = wheel(&shape).unwrap();
            for point in shape.points().iter().step_by(10) {
                if point.face != bevelbench_geometry::swept::GroundBy::Sweep {
                    continue;
                }
                let fraction = point.roll.degrees() / half_way(&shape);
                let held = pose(&shape, fraction).place(single(point.position()));
                let held = DVec3::new(f64::from(held[0]), f64::from(held[1]), f64::from(held[2]));
                let off = held - wheel.centre;
                assert!(off.z.abs() < 1e-3, "{name}: in the wheel's middle, {}", off.z);
                assert!((off.length() - wheel.radius_mm).abs() < 1e-3, "{name}: on the rim");
            }
        }
    }

    #[test]
    fn a_pushed_edge_stays_on_the_rim_all_the_way() {
        let shape = demo("Both faces", 0.0);
        let wheel = wheel(&shape).unwrap();
        for point in shape.points().iter().step_by(25) {
            let from = point.position() - wheel.centre;
            let square = from - from.dot(wheel.axis) * wheel.axis;
            assert!((square.length() - wheel.radius_mm).abs() < 1e-6, "{}", square.length());
        }
        assert!(half_way(&shape) > 5.0);
    }

    #[test]
    fn the_touched_point_walks_from_wing_to_wing() {
        let shape = demo("Long grind, 85 mm", 0.0);
        let at = |fraction| touched(&shape, fraction).unwrap();
        assert!(at(-0.5) < at(0.0) && at(0.0) < at(0.5));
        assert_eq!(at(0.0), 100);
    }
}
