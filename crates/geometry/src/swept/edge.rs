//! The cutting edge: where the ground surface meets the upper face.
//!
//! Along the line `(·, f(w), w)`, walking from the handle towards the nose, the first crossing that counts.
//! At an edge point, with unit normals out of the steel `n_f` (into the flute) and `n_g` (towards the
//! wheel), the wedge angle is `180° − angle(n_f, n_g)` and the bevel to the axis `asin |n_g · t|`.

use glam::{DVec2, DVec3};

use crate::{
    math::angle::Angle,
    swept::{ground::GroundSurface, hit::GroundBy, steel::Steel},
};

/// How far behind the edge the cheek's thickness is measured, along the axis, in millimetres.
pub const CHEEK_BEHIND_MM: f64 = 5.0;
/// Least setback difference across a place of no width that counts as a broken edge, in millimetres.
const LEAST_BREAK_MM: f64 = 0.01;

/// The angle of the steel between two faces, from their unit normals out of the steel: `180°` less the
/// angle between the normals. Lengths other than one do no harm.
#[must_use]
pub fn wedge_angle(flute_normal: DVec3, ground_normal: DVec3) -> Angle {
    let turn = flute_normal.cross(ground_normal).length().atan2(flute_normal.dot(ground_normal));
    Angle::HALF - Angle::from_radians(turn)
}

/// One point of the cutting edge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EdgePoint {
    /// Across the tool, in millimetres.
    pub w_mm: f64,
    /// Height above the centreline, in millimetres.
    pub h_mm: f64,
    /// Setback behind the nose station, in millimetres.
    pub s_mm: f64,
    /// Angle between the ground face and the tool's axis.
    pub bevel_to_axis: Angle,
    /// Angle of the steel between flute and ground face.
    pub wedge: Angle,
    /// Chord from edge to heel in the plane of the wheel that ground the point, in millimetres, to 1e-8 mm on
    /// bars and rectangles, to 1e-4 mm on oval and rolled sections. Nothing where the wheel's side did it.
    pub facet_width_mm: f64,
    /// The heel at the far end of that chord, `(s, h, w)`.
    pub heel: DVec3,
    /// Steel square to the upper face in the section [`CHEEK_BEHIND_MM`] behind the point, to the outside
    /// or the ground face, in millimetres.
    pub cheek_thickness_mm: f64,
    /// Roll angle at which the point is ground.
    pub roll: Angle,
    /// What ground it.
    pub face: GroundBy,
}

impl EdgePoint {
    /// Position `(s, h, w)`.
    #[must_use]
    pub fn position(&self) -> DVec3 {
        DVec3::new(self.s_mm, self.h_mm, self.w_mm)
    }

    /// The point at parameter `t` of the upper face (−1 and 1: the wing tops); `None` where the wheel never
    /// comes.
    #[must_use]
    pub fn at(surface: &GroundSurface, steel: &Steel, t: f64) -> Option<Self> {
        Self::with_slope(surface, steel, t).map(|(point, _)| point)
    }

    /// The point, and the slope of the setback against the way along the upper face towards `+w`.
    #[inline]
    fn with_slope(surface: &GroundSurface, steel: &Steel, t: f64) -> Option<(Self, f64)> {
        let wall = steel.wall_at(t);
        let hit = surface.start_of_steel(wall.x, wall.y)?;
        let here = DVec3::new(hit.s_mm, wall.y, wall.x);
        let flute = steel.wall_normal_at(wall.x);
        let flute_normal = DVec3::new(0.0, flute.y, flute.x);
        let (ground_normal, chord, heel) = facet(surface, steel, here, flute_normal, hit.face);
        // The edge runs along both faces.
        let run = flute_normal.cross(ground_normal);
        let level = (run.y * run.y + run.z * run.z).sqrt();
        let slope = if level > 0.0 { run.x / level.copysign(run.z) } else { 0.0 };
        let point = Self {
            w_mm: wall.x,
            h_mm: wall.y,
            s_mm: hit.s_mm,
            bevel_to_axis: Angle::from_radians(ground_normal.x.abs().min(1.0).asin()),
            wedge: wedge_angle(flute_normal, ground_normal),
            facet_width_mm: chord,
            heel,
            cheek_thickness_mm: cheek_thickness_mm(surface, steel, wall, flute, hit.s_mm + CHEEK_BEHIND_MM),
            roll: surface.roll_at(here, hit.face),
            face: hit.face,
        };
        Some((point, slope))
    }

    fn mirrored(&self) -> Self {
        Self {
            w_mm: -self.w_mm,
            heel: DVec3::new(self.heel.x, self.heel.y, -self.heel.z),
            roll: -self.roll,
            face: self.face.mirrored(),
            ..*self
        }
    }
}

/// Ground normal, chord to the heel and the heel. The arc is followed in steps that provably stay inside
/// the steel (the squared distance from the bar's axis bends no faster than `1 + R_bar/R` allows), turned
/// with the half-angle tangent so that no sine is needed.
#[inline]
fn facet(
    surface: &GroundSurface,
    steel: &Steel,
    edge: DVec3,
    flute_normal: DVec3,
    face: GroundBy,
) -> (DVec3, f64, DVec3) {
    if matches!(face, GroundBy::WheelSide { .. }) {
        return (surface.normal_at(edge, face), 0.0, edge);
    }
    let rim = surface.rim_at(edge, face);
    let normal = match surface.roll_line() {
        Some(_) if face != GroundBy::OffMiddle => -rim.radial,
        _ => surface.normal_at(edge, face),
    };
    let tangent = if rim.tangent.dot(flute_normal) > 0.0 { -rim.tangent } else { rim.tangent };
    let section = |v: DVec3| DVec2::new(v.z, v.y);
    let (start, radial_across, tangent_across) = (section(edge), section(rim.radial), section(tangent));
    let radius = rim.radius_mm.unwrap_or(0.0);
    let bend = rim.radius_mm.map_or(0.0, f64::recip);
    // Height along the arc is a sine wave of this fraction of the radius.
    let bend_up = bend * (rim.radial.y * rim.radial.y + tangent.y * tangent.y).sqrt();
    // Turned so far: cosine and sine, or the way along a straight rim.
    let (mut cos, mut sin, mut way) = (1.0_f64, 0.0_f64, 0.0_f64);
    let mut limit = f64::INFINITY;
    for _ in 0..64 {
        let (here, along) = if bend > 0.0 {
            (
                start + radius * ((cos - 1.0) * radial_across + sin * tangent_across),
                cos * tangent_across - sin * radial_across,
            )
        } else {
            (start + way * tangent_across, tangent_across)
        };
        let step = steel.room(here, along, bend, bend_up, limit);
        if !step.is_finite() {
            return (normal, 0.0, edge);
        }
        limit = step;
        way += step;
        let q = 0.5 * step * bend;
        let scale = 1.0 / (1.0 + q * q);
        let (cos_step, sin_step) = ((1.0 - q * q) * scale, 2.0 * q * scale);
        (cos, sin) = (cos * cos_step - sin * sin_step, sin * cos_step + cos * sin_step);
        // The step after this one would be its square.
        if step < 1e-5 {
            break;
        }
    }
    let chord = if bend > 0.0 { radius * ((cos - 1.0) * rim.radial + sin * tangent) } else { way * tangent };
    (normal, chord.length(), edge + chord)
}

/// Steel square to the upper face at `wall`, in the section at `station`, to the outside or the ground
/// face.
fn cheek_thickness_mm(
    surface: &GroundSurface,
    steel: &Steel,
    wall: DVec2,
    normal: DVec2,
    station: f64,
) -> f64 {
    let inward = -normal;
    let through = steel.way_out(wall, inward);
    surface
        .first_gone(station, wall, inward, through)
        .within(through)
        .unwrap_or_else(|| thickness_by_search(surface, wall, inward, station, through))
}

fn thickness_by_search(
    surface: &GroundSurface,
    wall: DVec2,
    inward: DVec2,
    station: f64,
    through: f64,
) -> f64 {
    // Positive where steel has not begun at this station.
    let gone = |t: f64| {
        let p = wall + t * inward;
        surface.start_of_steel(p.x, p.y).map_or(f64::NEG_INFINITY, |hit| hit.s_mm - station)
    };
    let (mut low, mut high) = (0.0, through);
    let (mut at_low, mut at_high) = (-CHEEK_BEHIND_MM, gone(through));
    if at_high <= 0.0 {
        return through;
    }
    // Illinois' false position: bracketed, and quick on a smooth wall.
    for _ in 0..60 {
        let mid = if at_low.is_finite() {
            (low * at_high - high * at_low) / (at_high - at_low)
        } else {
            f64::midpoint(low, high)
        };
        let at_mid = gone(mid);
        if at_mid.abs() < 1e-7 || high - low < 1e-7 {
            return mid;
        }
        if at_mid < 0.0 {
            (low, at_low) = (mid, at_mid);
            at_high *= 0.5;
        } else {
            (high, at_high) = (mid, at_mid);
            at_low *= 0.5;
        }
    }
    low
}

/// A place where the edge jumps.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Break {
    /// Where, across the tool, in millimetres.
    pub w_mm: f64,
    /// Height there, in millimetres.
    pub h_mm: f64,
    /// Setback on the `−w` side, in millimetres; `None` where the wheel does not come.
    pub before_mm: Option<f64>,
    /// Setback on the `+w` side, in millimetres; `None` where the wheel does not come.
    pub after_mm: Option<f64>,
}

/// Whether the setbacks of two neighbours differ by more than the slopes of the edge there explain.
#[inline]
fn looks_broken(before: Option<&(EdgePoint, f64)>, after: Option<&(EdgePoint, f64)>) -> bool {
    match (before, after) {
        (Some((before, slope_before)), Some((after, slope_after))) => {
            let (w, h) = (after.w_mm - before.w_mm, after.h_mm - before.h_mm);
            let rise = after.s_mm - before.s_mm;
            let expected = 0.5 * (slope_before + slope_after) * (w * w + h * h).sqrt();
            (rise - expected).abs() > 2.0 * LEAST_BREAK_MM + 0.1 * rise.abs()
        }
        (None, None) => false,
        _ => true,
    }
}

/// A traced edge, from the `−w` wing to the `+w` wing.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Edge {
    points: Vec<EdgePoint>,
    breaks: Vec<Break>,
    unreached: usize,
}

impl Edge {
    /// The edge in `count` points (at least three), wing tops included.
    #[must_use]
    pub fn trace(surface: &GroundSurface, steel: &Steel, count: usize) -> Self {
        let mut edge = Self::default();
        edge.trace_again(surface, steel, count);
        edge
    }

    /// The same into buffers that are kept: nothing is allocated once they have grown.
    pub fn trace_again(&mut self, surface: &GroundSurface, steel: &Steel, count: usize) {
        let count = count.clamp(3, 1_000_000);
        let parameter = |i: usize| 2.0 * i as f64 / (count - 1) as f64 - 1.0;
        self.points.clear();
        self.breaks.clear();
        self.unreached = 0;
        self.points.reserve(count);
        let traced = if surface.is_symmetric() { count.div_ceil(2) } else { count };
        let mut before: Option<(f64, Option<(EdgePoint, f64)>)> = None;
        for i in 0..traced {
            let t = parameter(i);
            let here = EdgePoint::with_slope(surface, steel, t);
            if let Some((t_before, point_before)) = before
                && looks_broken(point_before.as_ref(), here.as_ref())
            {
                let setback = |found: Option<(EdgePoint, f64)>| found.map(|(point, _)| point.s_mm);
                self.note_break(surface, steel, (t_before, setback(point_before)), (t, setback(here)));
            }
            before = Some((t, here));
            match here {
                Some((point, _)) => self.points.push(point),
                None => self.unreached += 1,
            }
        }
        if traced < count {
            self.mirror(count % 2 == 1);
            self.unreached = count - self.points.len();
        }
    }

    fn mirror(&mut self, has_middle: bool) {
        let skip = usize::from(has_middle && self.points.last().is_some_and(|p| p.w_mm.abs() < 1e-9));
        for i in (0..self.points.len() - skip.min(self.points.len())).rev() {
            let point = self.points[i].mirrored();
            self.points.push(point);
        }
        for i in (0..self.breaks.len()).rev() {
            let Break { w_mm, h_mm, before_mm, after_mm } = self.breaks[i];
            self.breaks.push(Break { w_mm: -w_mm, h_mm, before_mm: after_mm, after_mm: before_mm });
        }
    }

    /// Halves the gap between two neighbours while their difference stays: what is left is a jump.
    fn note_break(
        &mut self,
        surface: &GroundSurface,
        steel: &Steel,
        before: (f64, Option<f64>),
        after: (f64, Option<f64>),
    ) {
        let differ = |one: Option<f64>, other: Option<f64>| match (one, other) {
            (Some(one), Some(other)) => (one - other).abs(),
            (None, None) => 0.0,
            _ => f64::INFINITY,
        };
        let (mut low, mut high) = (before, after);
        for _ in 0..40 {
            let t = f64::midpoint(low.0, high.0);
            let wall = steel.wall_at(t);
            let s = surface.start_of_steel(wall.x, wall.y).map(|hit| hit.s_mm);
            let (left, right) = (differ(low.1, s), differ(s, high.1));
            if left.max(right) <= LEAST_BREAK_MM {
                return;
            }
            if left > right {
                high = (t, s);
            } else {
                low = (t, s);
            }
        }
        if differ(low.1, high.1) > LEAST_BREAK_MM {
            let wall = steel.wall_at(high.0);
            self.breaks.push(Break { w_mm: wall.x, h_mm: wall.y, before_mm: low.1, after_mm: high.1 });
        }
    }

    /// The points, from `−w` to `+w`; places the wheel never reaches are left out.
    #[must_use]
    pub fn points(&self) -> &[EdgePoint] {
        &self.points
    }

    /// Where the edge jumps. Looked for between neighbours that differ by more than the slopes there explain: a step of some
    /// tenths of a millimetre beside a stretch that is itself as steep can be missed; more points find more.
    #[must_use]
    pub fn breaks(&self) -> &[Break] {
        &self.breaks
    }

    /// How many of the asked points the wheel never reaches.
    #[must_use]
    pub fn unreached(&self) -> usize {
        self.unreached
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]
mod tests;
