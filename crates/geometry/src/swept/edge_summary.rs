//! What a traced edge amounts to, in the numbers a turner compares grinds by.

use glam::DVec2;

use crate::{
    math::angle::Angle,
    swept::{
        edge::{Edge, EdgePoint},
        ground::GroundSurface,
        steel::Steel,
    },
};

/// Nose radius in plan below which a nose counts as pointed, in millimetres.
pub const POINTED_BELOW_MM: f64 = 0.3;
/// Setback below which an edge counts as bulged, in millimetres.
const BULGED_BELOW_MM: f64 = -1e-6;
/// Largest radius that still counts as a round nose, in millimetres; beyond it the nose is straight across.
const STRAIGHT_ABOVE_MM: f64 = 1e4;

/// The look of the nose in plan.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Nose {
    /// Sharp: radius under [`POINTED_BELOW_MM`].
    Pointed,
    /// Round, or straight across.
    Rounded,
    /// The edge stands out in front of the nose station somewhere.
    Bulged,
    /// Cut off by other poses of the swing: the edge at the middle lies behind its station.
    Gone,
}

/// One wing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wing {
    /// Setback at the wing's end of the edge, in millimetres.
    pub sweep_mm: f64,
    /// Cheek thickness half-way up the wing (see [`EdgePoint::cheek_thickness_mm`]), in millimetres: at the
    /// wing top itself a full round bar has no steel to measure.
    pub cheek_mm: f64,
}

/// A summary of an edge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EdgeSummary {
    /// The wing on the `−w` side.
    pub minus: Wing,
    /// The wing on the `+w` side.
    pub plus: Wing,
    /// Radius of the least-squares circle through the middle tenth of the edge in plan, in millimetres.
    /// `None` where that part is straight, and where the nose is gone.
    pub nose_radius_mm: Option<f64>,
    /// The look of the nose.
    pub nose: Nose,
    /// Length of the edge, jumps left out, in millimetres.
    pub edge_length_mm: f64,
    /// Least wedge angle along the edge.
    pub least_wedge: Angle,
    /// Greatest wedge angle along the edge.
    pub greatest_wedge: Angle,
    /// Foremost station of the edge, in millimetres.
    pub foremost_mm: f64,
}

impl EdgeSummary {
    /// Of `edge`, traced on `surface` and `steel`. `None` when fewer than three points were ground.
    #[must_use]
    pub fn of(edge: &Edge, surface: &GroundSurface, steel: &Steel) -> Option<Self> {
        let points = edge.points();
        let (first, last) = (points.first()?, points.last()?);
        if points.len() < 3 {
            return None;
        }
        let mut edge_length_mm = 0.0;
        for pair in points.windows(2) {
            let broken = edge.breaks().iter().any(|b| pair[0].w_mm < b.w_mm && b.w_mm <= pair[1].w_mm);
            if !broken {
                edge_length_mm += arc(&pair[0], &pair[1]);
            }
        }
        let fold = |f: fn(f64, f64) -> f64, start: f64, value: fn(&EdgePoint) -> f64| {
            points.iter().map(value).fold(start, f)
        };
        let wing = |end: &EdgePoint, side: f64| Wing {
            sweep_mm: end.s_mm,
            cheek_mm: half_way_up(steel, end.h_mm, side)
                .and_then(|t| EdgePoint::at(surface, steel, t))
                .map_or(end.cheek_thickness_mm, |p| p.cheek_thickness_mm),
        };
        let foremost_mm = fold(f64::min, f64::INFINITY, |p| p.s_mm);
        let gone = surface.nose_lost(steel).is_some();
        let nose_radius_mm = if gone { None } else { nose_radius(points, edge_length_mm) };
        let nose = if gone {
            Nose::Gone
        } else if foremost_mm < BULGED_BELOW_MM {
            Nose::Bulged
        } else if nose_radius_mm.is_some_and(|r| r < POINTED_BELOW_MM)
            || sharp_radius(surface, steel).is_some_and(|r| r < POINTED_BELOW_MM)
        {
            Nose::Pointed
        } else {
            Nose::Rounded
        };
        Some(Self {
            minus: wing(first, -1.0),
            plus: wing(last, 1.0),
            nose_radius_mm,
            nose,
            edge_length_mm,
            least_wedge: Angle::from_radians(fold(f64::min, f64::INFINITY, |p| p.wedge.radians())),
            greatest_wedge: Angle::from_radians(fold(f64::max, f64::NEG_INFINITY, |p| p.wedge.radians())),
            foremost_mm,
        })
    }

    /// The wing sweep: the mean of both wings, in millimetres.
    #[must_use]
    pub fn wing_sweep_mm(&self) -> f64 {
        f64::midpoint(self.minus.sweep_mm, self.plus.sweep_mm)
    }

    /// How much further the `+w` wing is swept back than the other, in millimetres.
    #[must_use]
    pub fn wing_difference_mm(&self) -> f64 {
        self.plus.sweep_mm - self.minus.sweep_mm
    }
}

fn arc(one: &EdgePoint, other: &EdgePoint) -> f64 {
    one.position().distance(other.position())
}

/// Parameter of the wall half-way between floor and `top` in height, on the side of the sign.
fn half_way_up(steel: &Steel, top: f64, side: f64) -> Option<f64> {
    let floor = steel.flute()?.floor_mm();
    let height = f64::midpoint(floor, top);
    let (mut low, mut high) = (0.0, 1.0);
    for _ in 0..40 {
        let mid = f64::midpoint(low, high);
        if steel.wall_at(mid).y < height { low = mid } else { high = mid }
    }
    Some(side * f64::midpoint(low, high))
}

/// Radius of curvature in plan at the very nose, from places 0.02 mm to either side: a corner gives a value
/// of that order.
fn sharp_radius(surface: &GroundSurface, steel: &Steel) -> Option<f64> {
    let step = 0.02_f64.min(steel.half_width_mm() / 50.0);
    let s = |w: f64| surface.start_of_steel(w, steel.wall_height_at(w)).map(|hit| hit.s_mm);
    let (left, middle, right) = (s(-step)?, s(0.0)?, s(step)?);
    let bend = ((left + right - 2.0 * middle) / (step * step)).abs();
    let slope = (right - left) / (2.0 * step);
    (bend > 0.0).then(|| (1.0 + slope * slope).powf(1.5) / bend)
}

/// Least-squares circle (Gauss–Newton on the distances, from the algebraic fit) through the middle tenth.
fn nose_radius(points: &[EdgePoint], length: f64) -> Option<f64> {
    // The middle is the point nearest the plane of symmetry, not half the length: a turned gouge is
    // lopsided.
    let middle = points.iter().enumerate().min_by(|a, b| a.1.w_mm.abs().total_cmp(&b.1.w_mm.abs()))?.0;
    let half = length / 20.0;
    let (mut from, mut to) = (middle, middle);
    let mut walked = 0.0;
    while from > 0 && walked < half {
        walked += arc(&points[from - 1], &points[from]);
        from -= 1;
    }
    walked = 0.0;
    while to + 1 < points.len() && walked < half {
        walked += arc(&points[to], &points[to + 1]);
        to += 1;
    }
    let plan = &points[from..=to];
    if plan.len() < 3 {
        return None;
    }
    let at = |p: &EdgePoint| DVec2::new(p.w_mm, p.s_mm);
    let count = plan.len() as f64;
    let mean = plan.iter().map(at).fold(DVec2::ZERO, |sum, p| sum + p) / count;
    let (mut xx, mut xy, mut yy, mut xz, mut yz, mut zz) = (0.0, 0.0, 0.0, 0.0, 0.0, 0.0);
    for p in plan {
        let q = at(p) - mean;
        let z = q.length_squared();
        xx += q.x * q.x;
        xy += q.x * q.y;
        yy += q.y * q.y;
        xz += q.x * z;
        yz += q.y * z;
        zz += z;
    }
    let det = xx * yy - xy * xy;
    if det <= 1e-14 * zz * zz {
        return None;
    }
    let mut centre = 0.5 * DVec2::new(xz * yy - yz * xy, yz * xx - xz * xy) / det;
    let mut radius = (centre.length_squared() + zz / count).sqrt();
    for _ in 0..20 {
        // Normal equations of Σ (|q − c| − ρ)².
        let mut sums = [0.0_f64; 6];
        let (mut mean_u, mut mean_d) = (DVec2::ZERO, 0.0);
        for p in plan {
            let leg = at(p) - mean - centre;
            let d = leg.length();
            if d < 1e-12 {
                return Some(0.0);
            }
            mean_u += leg / d;
            mean_d += d;
        }
        mean_u /= count;
        mean_d /= count;
        for p in plan {
            let leg = at(p) - mean - centre;
            let d = leg.length();
            let u = leg / d - mean_u;
            let rest = d - mean_d;
            sums[0] += u.x * u.x;
            sums[1] += u.x * u.y;
            sums[2] += u.y * u.y;
            sums[3] += u.x * rest;
            sums[4] += u.y * rest;
        }
        let det = sums[0] * sums[2] - sums[1] * sums[1];
        if det.abs() < 1e-300 {
            break;
        }
        let step =
            DVec2::new(sums[3] * sums[2] - sums[4] * sums[1], sums[4] * sums[0] - sums[3] * sums[1]) / det;
        if !step.is_finite() || step.length() > radius {
            break;
        }
        centre += step;
        let before = radius;
        radius = plan.iter().map(|p| (at(p) - mean - centre).length()).sum::<f64>() / count;
        if (radius - before).abs() < 1e-10 * radius {
            break;
        }
    }
    (radius < STRAIGHT_ABOVE_MM).then_some(radius)
}
