//! The independent method: coordinates and bisection.

use std::f64::consts::{PI, TAU};

use bevelbench_geometry::{
    DVec2, DVec3,
    parts::{Face, Presentation},
    side::{Setting, Support},
};

/// A tool standing in the bench: where its edge is, how its axis points in the side plane (square to the
/// edge for an edge held parallel to the spindle).
#[derive(Debug, Clone, Copy)]
pub(crate) struct Pose {
    pub(crate) edge: DVec2,
    /// Direction of the tool's axis, from the edge towards the handle, counted from `x` towards `z`.
    pub(crate) turn: f64,
}

impl Pose {
    /// A point given relative to the edge, along the axis and square to it.
    pub(crate) fn bench_from_edge(&self, along: f64, up: f64) -> DVec2 {
        let (sin, cos) = self.turn.sin_cos();
        self.edge + DVec2::new(along * cos - up * sin, along * sin + up * cos)
    }
}

/// Signed distance from the abrasive.
pub(crate) fn outside(face: Face, point: DVec2) -> f64 {
    match face {
        Face::Round { radius_mm } => point.x.hypot(point.y) - radius_mm,
        Face::Flat { normal } => {
            let slope = normal.radians();
            point.x * slope.cos() + point.y * slope.sin()
        }
    }
}

/// The pivot relative to the edge, in the tool's own three dimensions: along the axis, up, nothing across.
pub(crate) fn pivot_from_edge(setting: &Setting) -> Option<(DVec2, DVec2)> {
    let (arm, reach, s, h) = match setting.support {
        Support::Handle { arm, reach_mm, tool_length_mm } => (arm, reach_mm, tool_length_mm, 0.0),
        Support::Holder { arm, holder, reach_mm, projection_mm, strut_angle } => {
            let spec = holder.spec();
            let swing = strut_angle.radians();
            (
                arm,
                reach_mm,
                projection_mm + spec.hinge_setback_mm + spec.strut_length_mm * swing.cos(),
                -spec.hinge_drop_mm - spec.strut_length_mm * swing.sin(),
            )
        }
        Support::Table { .. } => return None,
    };
    let slope = arm.tilt().radians();
    let in_bench = arm.zero_in_bench() + DVec2::new(reach * slope.cos(), reach * slope.sin());
    Some((in_bench, DVec2::new(s, h - setting.edge.height_mm)))
}

/// The tool's axis in three dimensions when it is turned by `turn` in the side plane: `x`, spindle, `z`.
pub(crate) fn axis_in_space(setting: &Setting, turn: f64) -> DVec3 {
    let square = DVec3::new(turn.cos(), 0.0, turn.sin());
    match setting.presentation {
        Presentation::EdgeParallelToSpindle => {
            // The edge is the spindle's direction; the axis leaves it by the obliquity, in the blade's plane.
            let sigma = setting.obliquity.radians();
            square * sigma.sin() + DVec3::Y * sigma.cos()
        }
        Presentation::AxisInSidePlane => square,
    }
}

/// The blade's upward direction when turned by `turn`.
pub(crate) fn up_in_space(turn: f64) -> DVec3 {
    DVec3::new(-turn.sin(), 0.0, turn.cos())
}

/// Where the edge is when the tool hangs on its pivot, turned by `turn`.
fn edge_on_pivot(setting: &Setting, in_bench: DVec2, from_edge: DVec2, turn: f64) -> DVec2 {
    let out = axis_in_space(setting, turn) * from_edge.x + up_in_space(turn) * from_edge.y;
    in_bench - DVec2::new(out.x, out.z)
}

/// Every pose in which the edge stands on the abrasive, found by turning the tool once round its pivot.
pub(crate) fn poses_on_pivot(setting: &Setting) -> Vec<Pose> {
    let Some((in_bench, from_edge)) = pivot_from_edge(setting) else { return Vec::new() };
    let at = |turn: f64| outside(setting.face, edge_on_pivot(setting, in_bench, from_edge, turn));
    let steps = 720;
    let mut found = Vec::new();
    for i in 0..steps {
        let (mut low, mut high) = (TAU * f64::from(i) / 720.0, TAU * f64::from(i + 1) / 720.0);
        let (a, b) = (at(low), at(high));
        if (a <= 0.0) == (b <= 0.0) {
            continue;
        }
        for _ in 0..60 {
            let mid = f64::midpoint(low, high);
            if (at(mid) <= 0.0) == (a <= 0.0) {
                low = mid;
            } else {
                high = mid;
            }
        }
        let turn = f64::midpoint(low, high);
        found.push(Pose { edge: edge_on_pivot(setting, in_bench, from_edge, turn), turn });
    }
    found
}

/// The pose meant among those on the pivot: the edge on the upper side, seen along the line from the wheel's
/// centre to the pivot (for a flat face: uphill of the pivot's foot).
pub(crate) fn pose_on_pivot(setting: &Setting) -> Option<Pose> {
    let (in_bench, _) = pivot_from_edge(setting)?;
    let towards = match setting.face {
        Face::Round { .. } => in_bench,
        Face::Flat { normal } => DVec2::new(normal.cos(), normal.sin()),
    };
    poses_on_pivot(setting)
        .into_iter()
        .filter(|pose| towards.perp_dot(pose.edge - in_bench) > 0.0)
        .max_by(|a, b| towards.perp_dot(a.edge).total_cmp(&towards.perp_dot(b.edge)))
}

/// The pose on a table: the tool is pushed in along the surface until its edge meets the abrasive.
pub(crate) fn pose_on_table(setting: &Setting) -> Option<Pose> {
    let Support::Table { table, tilt } = setting.support else { return None };
    let turn = tilt.radians();
    let along = DVec2::new(turn.cos(), turn.sin());
    let up = DVec2::new(-turn.sin(), turn.cos());
    let start = table.spec().hinge_in_bench + up * (table.spec().surface_offset_mm + setting.edge.under_mm);
    let at = |pushed: f64| outside(setting.face, start - along * pushed);
    let (mut out, mut step) = (-3000.0, 1.0);
    if at(out) <= 0.0 {
        return None;
    }
    while at(out + step) > 0.0 {
        out += step;
        if out > 4000.0 {
            return None;
        }
    }
    for _ in 0..60 {
        step /= 2.0;
        if at(out + step) > 0.0 {
            out += step;
        }
    }
    Some(Pose { edge: start - along * out, turn })
}

pub(crate) fn pose(setting: &Setting) -> Option<Pose> {
    pose_on_pivot(setting).or_else(|| pose_on_table(setting))
}

/// Two points of the abrasive near an edge: below it and above it along the rim, `apart` to either side.
fn rim_points(face: Face, edge: DVec2, apart: f64) -> [DVec2; 2] {
    match face {
        Face::Round { radius_mm } => {
            let at = edge.y.atan2(edge.x);
            [-1.0, 1.0].map(|side| {
                let phi = at + side * apart / radius_mm;
                DVec2::new(radius_mm * phi.cos(), radius_mm * phi.sin())
            })
        }
        Face::Flat { normal } => {
            let uphill = DVec2::new(-normal.sin(), normal.cos());
            [edge - uphill * apart, edge + uphill * apart]
        }
    }
}

/// The bevel between two points of the rim and the tool's axis, in radians within (−π, π].
pub(crate) fn bevel_between_points(setting: &Setting, pose: &Pose) -> f64 {
    let [below, above] = rim_points(setting.face, pose.edge, 0.01);
    let tangent = below - above;
    let axis = DVec2::new(pose.turn.cos(), pose.turn.sin());
    tangent.perp_dot(axis).atan2(tangent.dot(axis))
}

/// A facet walked out along the abrasive.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Walked {
    pub(crate) width_mm: f64,
    pub(crate) across: f64,
    pub(crate) at_heel: f64,
    pub(crate) hollow_mm: f64,
    pub(crate) heel_in_bench: DVec2,
}

/// Walks along the abrasive from the edge, down the handle's side, to the underside of the blade.
pub(crate) fn walk_facet(setting: &Setting, pose: &Pose) -> Option<Walked> {
    let (sin, cos) = pose.turn.sin_cos();
    let depth = |point: DVec2| {
        let out = point - pose.edge;
        -(out.y * cos - out.x * sin)
    };
    let walk = |length: f64| match setting.face {
        Face::Round { radius_mm } => {
            let phi = pose.edge.y.atan2(pose.edge.x) - length / radius_mm;
            DVec2::new(radius_mm * phi.cos(), radius_mm * phi.sin())
        }
        Face::Flat { normal } => pose.edge - DVec2::new(-normal.sin(), normal.cos()) * length,
    };
    let most = setting.face.radius_mm().map_or(2_000.0, |r| PI * r);
    let steps = 4_000;
    let step = most / f64::from(steps);
    let first = (1..=steps).find(|i| depth(walk(f64::from(*i) * step)) >= setting.edge.under_mm)?;
    let (mut low, mut high) = (f64::from(first - 1) * step, f64::from(first) * step);
    for _ in 0..60 {
        let mid = f64::midpoint(low, high);
        if depth(walk(mid)) >= setting.edge.under_mm {
            high = mid;
        } else {
            low = mid;
        }
    }
    let heel = walk(high);
    let chord = heel - pose.edge;
    let axis = DVec2::new(cos, sin);
    let hollow_mm = (0..=1000)
        .map(|i| (chord.perp_dot(walk(high * f64::from(i) / 1000.0) - pose.edge) / chord.length()).abs())
        .fold(0.0, f64::max);
    let at_heel = Pose { edge: heel, turn: pose.turn };
    Some(Walked {
        width_mm: chord.length(),
        across: chord.perp_dot(axis).atan2(chord.dot(axis)),
        at_heel: bevel_between_points(setting, &at_heel),
        hollow_mm,
        heel_in_bench: heel,
    })
}
