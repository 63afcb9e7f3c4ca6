//! The lines that side views are drawn with, kept within what can be drawn.

use bevelbench_geometry::{
    DVec2,
    math::Angle,
    parts::Face,
    side::{Job, SideView},
};

use crate::drawing::shape::{Align, Drawing, Geometry, Point, TextSize, segment};

pub(super) fn point(p: DVec2) -> Point {
    [p.x, p.y]
}

pub(super) fn outline(points: impl IntoIterator<Item = DVec2>) -> Geometry {
    Geometry::Outline(points.into_iter().map(point).collect())
}

pub(super) fn line(from: DVec2, to: DVec2) -> Geometry {
    segment(point(from), point(to))
}

/// A bar of a thickness around a line.
pub(super) fn bar(from: DVec2, to: DVec2, half: f64) -> Geometry {
    let aside = (to - from).normalize_or_zero().perp() * half;
    outline([from + aside, to + aside, to - aside, from - aside])
}

/// A link between two pins, with round ends.
pub(super) fn link(from: DVec2, to: DVec2, from_radius: f64, to_radius: f64) -> Geometry {
    let along = Angle::of(to - from);
    let cap = |centre: DVec2, radius: f64, start: Angle| {
        (0..=12).map(move |i| centre + radius * (start + Angle::HALF * (f64::from(i) / 12.0)).direction())
    };
    let quarter = Angle::QUARTER;
    outline(cap(from, from_radius, along + quarter).chain(cap(to, to_radius, along - quarter)))
}

/// Farther off than this nothing is drawn: beyond any bench, and safe in single precision.
const FARTHEST_MM: f64 = 1e6;

/// Without the shapes that have no place: numbers that are none in a setting must not reach a painter.
pub(super) fn drawable(mut d: Drawing) -> Drawing {
    let near = |x: f64| x.abs() <= FARTHEST_MM;
    let placed = |p: &Point| near(p[0]) && near(p[1]);
    d.shapes.retain(|shape| match &shape.geometry {
        Geometry::Line(points) | Geometry::Outline(points) => points.iter().all(placed),
        Geometry::Circle { centre, radius } => placed(centre) && near(*radius),
        Geometry::Arc { centre, radius, start, sweep } => {
            placed(centre) && near(*radius) && start.is_finite() && sweep.is_finite()
        }
        Geometry::Mark { at, direction, .. } => placed(at) && direction.is_finite(),
        Geometry::Text { at, along, lift, .. } => placed(at) && along.is_finite() && lift.is_finite(),
    });
    d
}

/// No plate is drawn longer than this to either side, wherever an attempt would touch it.
const LONGEST_PLATE_MM: f64 = 2_000.0;

/// The plate of a flat abrasive: as long as it is said to be, and so far that the contact lies on it.
pub(super) fn platen(job: &Job, view: Option<&SideView>) -> [DVec2; 4] {
    let Face::Flat { normal } = job.setting.face else { return [DVec2::ZERO; 4] };
    let n = normal.direction();
    let along = n.perp();
    let half = (job.wheel.diameter_mm() / 2.0).clamp(20.0, 600.0);
    let contact =
        view.map_or(0.0, |view| view.contact_in_bench.dot(along)).clamp(-LONGEST_PLATE_MM, LONGEST_PLATE_MM);
    let (low, high) = ((contact - 30.0).min(-half), (contact + 30.0).max(half));
    [along * high, along * low, along * low - n * 14.0, along * high - n * 14.0]
}

pub(super) fn small_text(at: DVec2, text: String, lift: f64) -> Geometry {
    let (align, along, size) = (Align::Middle, Angle::ZERO, TextSize::Small);
    Geometry::Text { at: point(at), text, align, along, size, lift }
}
