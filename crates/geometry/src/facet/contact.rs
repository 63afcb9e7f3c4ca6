//! The present facet settled on today's wheel: where it touches first, and the gaps that stay open.
//!
//! The facet as it is, an arc or a flat, is a set of points in the tool frame. Turned about the pivot (or slid
//! along the table) the tool settles at the first contact over all of them; then `gap = |X − C| − R ≥ 0`
//! everywhere. Ink goes where the gap is below the film's thickness.

use std::f64::consts::PI;

use glam::{DVec2, dvec2};

use crate::{
    math::angle::Angle,
    parts::{present_facet::PresentFacet, wheel::Face},
    side::setting::{Setting, Support},
};

/// Where the facet touches the wheel.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Pattern {
    /// Along its whole width, to within the film.
    Whole,
    /// At the edge only: the setting is blunter than the facet.
    Edge,
    /// At the heel only: the setting is keener than the facet.
    Heel,
    /// At both ends: the wheel is larger than the one that made the hollow.
    BothEnds,
    /// In the middle: the wheel is smaller than the one that made the hollow.
    Middle,
}

/// The present facet at rest on the wheel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Touch {
    /// Gap at the edge in millimetres.
    pub edge_gap_mm: f64,
    /// Gap at the heel in millimetres.
    pub heel_gap_mm: f64,
    /// Gap at the middle of the facet in millimetres.
    pub middle_gap_mm: f64,
    /// The wheel's centre in the tool frame, relative to the edge; for a flat face the foot of the edge on
    /// its plane.
    pub wheel_from_edge: DVec2,
    /// The plane's outward normal in the tool frame, for a flat face.
    pub flat_normal: Option<DVec2>,
}

impl Touch {
    /// The pattern that ink of a film thickness would show, in millimetres.
    #[must_use]
    pub fn pattern(&self, film_mm: f64) -> Pattern {
        let inked = |gap: f64| gap <= film_mm;
        match (inked(self.edge_gap_mm), inked(self.middle_gap_mm), inked(self.heel_gap_mm)) {
            (true, true, true) => Pattern::Whole,
            (true, false, true) => Pattern::BothEnds,
            (false, true, false) => Pattern::Middle,
            _ if self.edge_gap_mm <= self.heel_gap_mm => Pattern::Edge,
            _ => Pattern::Heel,
        }
    }

    /// Gap at a point given relative to the edge, in millimetres.
    #[must_use]
    pub fn gap_at_mm(&self, face: Face, point_from_edge: DVec2) -> f64 {
        match (face, self.flat_normal) {
            (Face::Round { radius_mm }, _) => (point_from_edge - self.wheel_from_edge).length() - radius_mm,
            (Face::Flat { .. }, Some(normal)) => (point_from_edge - self.wheel_from_edge).dot(normal),
            (Face::Flat { .. }, None) => 0.0,
        }
    }
}

/// A facet that never comes to rest on the wheel.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct NoContact;

impl std::fmt::Display for NoContact {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("the facet as it is never meets the wheel at this setting")
    }
}

impl std::error::Error for NoContact {}

impl Setting {
    /// Settles the facet as it is on this setting's wheel.
    ///
    /// The facet is taken as it lies in the side plane: square to the edge where that is held parallel to the
    /// spindle.
    ///
    /// # Errors
    /// [`NoContact`] when no point of the facet can meet the wheel, and for a setting whose inputs are no
    /// numbers.
    pub fn settle(&self, facet: &PresentFacet) -> Result<Touch, NoContact> {
        self.check_numbers().map_err(|_| NoContact)?;
        let touch = match (self.support, self.face) {
            (Support::Table { table, tilt }, Face::Round { radius_mm }) => {
                let height = -self.edge.under_mm - table.plane_from_centre_mm(tilt);
                settle_by_sliding(facet, radius_mm, height)
            }
            (Support::Table { tilt, .. }, Face::Flat { normal }) => {
                // The plane's normal in the tool frame does not depend on how far the tool is pushed.
                let seen = normal - tilt;
                Some(settle_plane(facet, dvec2(seen.cos(), seen.sin())))
            }
            (_, Face::Round { radius_mm }) => self.pivot().and_then(|(in_bench, in_tool)| {
                let pivot = in_tool - dvec2(0.0, self.edge.height_mm);
                settle_by_turning(facet, radius_mm, in_bench.length(), pivot)
            }),
            (_, Face::Flat { normal }) => self.pivot().and_then(|(in_bench, in_tool)| {
                let pivot = in_tool - dvec2(0.0, self.edge.height_mm);
                settle_plane_by_turning(facet, in_bench.dot(normal.direction()), pivot)
            }),
        };
        touch
            .map(|touch| touch.measured(self.face, facet))
            .filter(|t| t.edge_gap_mm.is_finite() && t.heel_gap_mm.is_finite())
            .ok_or(NoContact)
    }
}

impl Touch {
    fn at(wheel_from_edge: DVec2, flat_normal: Option<DVec2>) -> Self {
        Self { edge_gap_mm: 0.0, heel_gap_mm: 0.0, middle_gap_mm: 0.0, wheel_from_edge, flat_normal }
    }

    /// With the gaps read off; a gap below rounding is none.
    fn measured(mut self, face: Face, facet: &PresentFacet) -> Self {
        let gap = |fraction: f64| {
            let gap = self.gap_at_mm(face, facet.point_at(fraction));
            if gap.abs() < 1e-10 { 0.0 } else { gap.max(0.0) }
        };
        (self.edge_gap_mm, self.middle_gap_mm, self.heel_gap_mm) = (gap(0.0), gap(0.5), gap(1.0));
        self
    }
}

/// Turns the tool about its pivot until the wheel, its centre `distance` from the pivot, first touches.
fn settle_by_turning(facet: &PresentFacet, radius: f64, distance: f64, pivot: DVec2) -> Option<Touch> {
    // Seen from the pivot the wheel comes up from below: its centre's direction falls from large angles until
    // the first point stops it. Directions are counted from the one towards the edge.
    let towards_edge = Angle::of(-pivot);
    let turn_of = |centre: DVec2| (Angle::of(centre - pivot) - towards_edge).wrapped().radians();
    let mut best: Option<(f64, DVec2)> = None;
    let mut offer = |centre: DVec2| {
        let turn = turn_of(centre);
        if best.is_none_or(|(most, _)| turn > most) {
            best = Some((turn, centre));
        }
    };
    for point in [facet.point_at(0.0), facet.point_at(1.0)] {
        let arm = point - pivot;
        let length = arm.length();
        let cosine = (length * length + distance * distance - radius * radius) / (2.0 * length * distance);
        if cosine.abs() <= 1.0 {
            let turned = DVec2::from_angle(cosine.acos()).rotate(arm / length);
            offer(pivot + turned * distance);
        }
    }
    for centre in inner_centres(facet, radius, Locus::Around { pivot, distance }) {
        offer(centre);
    }
    best.map(|(_, centre)| Touch::at(centre, None))
}

/// Slides the tool along its table, the wheel's centre at a fixed height, until it first touches.
fn settle_by_sliding(facet: &PresentFacet, radius: f64, height: f64) -> Option<Touch> {
    let mut best: Option<DVec2> = None;
    let mut offer = |centre: DVec2| {
        if best.is_none_or(|least| centre.x < least.x) {
            best = Some(centre);
        }
    };
    for point in [facet.point_at(0.0), facet.point_at(1.0)] {
        let rise = point.y - height;
        let square = radius * radius - rise * rise;
        if square >= 0.0 {
            offer(dvec2(point.x - square.sqrt(), height));
        }
    }
    for centre in inner_centres(facet, radius, Locus::AtHeight { height }) {
        offer(centre);
    }
    best.map(|centre| Touch::at(centre, None))
}

/// Where the wheel's centre may be.
#[derive(Clone, Copy)]
enum Locus {
    Around { pivot: DVec2, distance: f64 },
    AtHeight { height: f64 },
}

/// Centres of a wheel that touches the inside of the facet between its ends: only a wheel smaller than the
/// hollow, or a flat facet, can be touched there.
fn inner_centres(facet: &PresentFacet, radius: f64, locus: Locus) -> impl Iterator<Item = DVec2> + use<> {
    let mut found = [None; 2];
    match facet.centre_from_edge() {
        Some((centre, hollow)) if hollow > radius => {
            let offset = hollow - radius;
            let candidates = match locus {
                Locus::Around { pivot, distance } => circles_meet(centre, offset, pivot, distance),
                Locus::AtHeight { height } => {
                    let rise = height - centre.y;
                    let square = offset * offset - rise * rise;
                    let half = (square >= 0.0).then(|| square.sqrt());
                    [half.map(|x| dvec2(centre.x + x, height)), half.map(|x| dvec2(centre.x - x, height))]
                }
            };
            for (place, candidate) in found.iter_mut().zip(candidates) {
                *place = candidate.filter(|c| {
                    // The tangent point must lie on the arc: its turn from the edge within 0 … 2κ.
                    let towards = Angle::of(*c - centre);
                    let turned = (Angle::QUARTER - facet.at_edge() - towards).wrapped().radians();
                    turned > 0.0 && turned < 2.0 * facet.half_turn().radians()
                });
            }
        }
        None => {
            let (sin, cos) = facet.at_edge().sin_cos();
            let (along, outward) = (dvec2(cos, -sin), dvec2(sin, cos));
            // A line below the facet, at the wheel's radius from it.
            let from = -radius * outward;
            let candidates = match locus {
                Locus::Around { pivot, distance } => {
                    let middle = (pivot - from).dot(along);
                    let aside = (pivot - from - along * middle).length();
                    let square = distance * distance - aside * aside;
                    let half = (square >= 0.0).then(|| square.sqrt());
                    [half.map(|x| middle - x), half.map(|x| middle + x)]
                }
                Locus::AtHeight { height } => [Some((from.y - height) / sin), None],
            };
            for (place, candidate) in found.iter_mut().zip(candidates) {
                *place = candidate.filter(|t| *t > 0.0 && *t < facet.width_mm()).map(|t| from + along * t);
            }
        }
        Some(_) => {}
    }
    found.into_iter().flatten()
}

/// The two points at given distances from two centres.
fn circles_meet(a: DVec2, a_radius: f64, b: DVec2, b_radius: f64) -> [Option<DVec2>; 2] {
    let between = b - a;
    let d_squared = between.length_squared();
    let along = (d_squared + a_radius * a_radius - b_radius * b_radius) / (2.0 * d_squared);
    let square = a_radius * a_radius / d_squared - along * along;
    if square.is_nan() || square < 0.0 {
        return [None; 2];
    }
    let aside = between.perp() * square.sqrt();
    [Some(a + between * along + aside), Some(a + between * along - aside)]
}

/// Slides the tool on to a plane of a fixed direction.
fn settle_plane(facet: &PresentFacet, normal: DVec2) -> Touch {
    // The least height over the plane's direction touches first; a hollow facet rests on its ends.
    let ends = [facet.point_at(0.0), facet.point_at(1.0)];
    let least = ends.iter().map(|p| p.dot(normal)).fold(f64::INFINITY, f64::min);
    Touch::at(normal * least, Some(normal))
}

/// Turns the tool about its pivot on to a plane at a distance from the pivot.
fn settle_plane_by_turning(facet: &PresentFacet, gauge: f64, pivot: DVec2) -> Option<Touch> {
    let towards_edge = Angle::of(-pivot);
    let mut best: Option<(f64, DVec2)> = None;
    for point in [facet.point_at(0.0), facet.point_at(1.0)] {
        // (pivot − point)·n = gauge
        let arm = pivot - point;
        let cosine = gauge / arm.length();
        if cosine.abs() <= 1.0 {
            let normal = DVec2::from_angle(cosine.acos()).rotate(arm.normalize());
            // The plane comes up from below like a very large wheel, whose centre lies against its normal.
            let turn = (Angle::of(-normal) - towards_edge).wrapped().radians();
            let turn = if turn < -PI / 2.0 { turn + 2.0 * PI } else { turn };
            if best.is_none_or(|(most, _)| turn > most) {
                best = Some((turn, normal));
            }
        }
    }
    best.map(|(_, normal)| Touch::at(normal * (pivot.dot(normal) - gauge), Some(normal)))
}
