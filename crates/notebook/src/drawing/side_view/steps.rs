//! The tip of a tool ground in steps, in its own frame: the facets, what each step took, the wheels that cut them and the
//! tightest inside curve.
//!
//! `x` along the axis from the edge towards the handle, second axis towards the open side, the edge in the origin.

use bevelbench_geometry::{
    DVec2,
    facet::{FurtherFacet, Inside, Relief},
    math::Angle,
    parts::Face,
    side::{Job, SideView},
};

use crate::{
    drawing::{
        outline::blade,
        shape::{Bounds, Drawing, Geometry, Mark, Role, Standing},
        side_view::{
            lines::{drawable, line, outline, point, small_text},
            look::SideLook,
        },
    },
    saved::part::Part,
};

/// Points along an arc.
const SMOOTH: usize = 48;

/// The width of every facet but the last, dimensioned `off_mm` over the steel, and a dot at its far corner; `place` puts
/// a point given from the edge where the drawing has it.
pub(super) fn facet_widths(
    d: &mut Drawing,
    relief: &Relief,
    look: &SideLook<'_>,
    off_mm: f64,
    place: impl Fn(DVec2) -> DVec2,
) {
    let Some((_, before)) = relief.facets().split_last() else { return };
    for facet in before {
        let (from, to) = (place(facet.begins_from_edge), place(facet.ends_from_edge));
        let dot = Geometry::Mark { at: point(to), direction: Angle::ZERO, mark: Mark::Dot };
        d.add(Role::Heel, Part::Facet, dot);
        let along = (to - from).normalize_or_zero();
        // Into the steel: away from the stone.
        let off = along.perp() * off_mm;
        let (a, b) = (from + off, to + off);
        for (corner, end) in [(from, a), (to, b)] {
            d.add(Role::Dimension, Part::Facet, line(corner.lerp(end, 0.25), corner.lerp(end, 1.15)));
        }
        d.add(Role::Dimension, Part::Facet, line(a, b));
        let turned = Angle::of(along);
        for (at, direction) in [(b, turned), (a, turned + Angle::HALF)] {
            d.add(
                Role::Dimension,
                Part::Facet,
                Geometry::Mark { at: point(at), direction, mark: Mark::Arrow },
            );
        }
        let text = (look.length)(facet.width_mm);
        d.add(Role::Dimension, Part::Facet, small_text(a.midpoint(b) + off * 0.9, text, 0.0));
    }
}

/// The tip of a job ground in steps.
#[must_use]
pub fn steps_view(job: &Job, view: &SideView, relief: &Relief, look: &SideLook<'_>) -> Drawing {
    let mut d = Drawing::new();
    let heel = relief.facets().last().map_or(view.facet.heel_from_edge, |facet| facet.ends_from_edge);
    let size = heel.length();
    let edge = DVec2::new(0.0, view.edge_height_mm);
    let steel = blade(job.tool.blank(), &look.facets(view), look.wing, heel.x.max(0.0) + 2.0 * size);
    d.add(Role::Tool, Part::Tool, outline(steel.into_iter().map(|p| p - edge)));
    // What each step took.
    let mut taken = Drawing::new();
    for two in relief.facets().windows(2) {
        let (alone, left, next) = (two[0].alone(), &two[0], &two[1]);
        let gone = alone.points(SMOOTH).filter(|p| p.x > left.ends_from_edge.x);
        let back: Vec<DVec2> = next.points(SMOOTH).collect();
        let piece = std::iter::once(left.ends_from_edge).chain(gone).chain(back.into_iter().skip(1).rev());
        taken.add(Role::Tool, Part::Facet, outline(piece));
        let was = alone.ends_from_edge;
        taken.add(
            Role::Heel,
            Part::Heel,
            Geometry::Mark { at: point(was), direction: Angle::ZERO, mark: Mark::Ring },
        );
    }
    d.overlay(taken.standing(Standing::Ghost));
    for facet in relief.facets() {
        wheel_line(&mut d, facet, size);
        d.add(Role::Facet, Part::Facet, Geometry::Line(facet.points(SMOOTH).map(point).collect()));
    }
    inside_line(&mut d, relief, look, size);
    facet_widths(&mut d, relief, look, size * 0.16, |p| p);
    let mut label = |part: Part, role: Role, at: DVec2, text: &str| {
        d.add(role, part, Geometry::Mark { at: point(at), direction: Angle::ZERO, mark: Mark::Dot });
        d.add(role, part, small_text(at - DVec2::new(0.0, size * 0.13), text.to_owned(), 0.0));
    };
    label(Part::Edge, Role::Edge, DVec2::ZERO, "edge");
    label(Part::Heel, Role::Heel, heel, "heel");
    d.title(Part::Facet, look.facet_words(view));
    drawable(d)
}

/// What of a tip ground in steps should be seen.
#[must_use]
pub fn steps_view_bounds(view: &SideView, relief: &Relief) -> Bounds {
    let heel = relief.facets().last().map_or(view.facet.heel_from_edge, |facet| facet.ends_from_edge);
    let size = heel.length();
    Bounds {
        min: [heel.x.min(0.0) - 0.3 * size, heel.y - 0.35 * size],
        max: [heel.x.max(0.0) + 0.6 * size, 0.3 * size],
    }
}

/// The wheel's rim (or the flat face) that cut a facet, a little beyond both its ends.
fn wheel_line(d: &mut Drawing, facet: &FurtherFacet, size: f64) {
    let beyond = 0.35 * size;
    match facet.setting.face {
        Face::Round { radius_mm } => {
            let (sin, cos) = facet.at_begin.sin_cos();
            let middle = facet.begins_from_edge - radius_mm * DVec2::new(sin, cos);
            let more = Angle::from_radians((beyond / radius_mm).min(0.5));
            let (from, to) =
                (Angle::of(facet.ends_from_edge - middle), Angle::of(facet.begins_from_edge - middle));
            let arc = Geometry::Arc {
                centre: point(middle),
                radius: radius_mm,
                start: from - more,
                sweep: (to - from).wrapped() + more * 2.0,
            };
            d.add(Role::WheelNew, Part::Rim, arc);
        }
        Face::Flat { .. } => {
            let along = (facet.ends_from_edge - facet.begins_from_edge).normalize_or_zero() * beyond;
            d.add(
                Role::WheelNew,
                Part::Rim,
                line(facet.begins_from_edge - along, facet.ends_from_edge + along),
            );
        }
    }
}

/// The tightest inside curve, laid on edge, junction and the corner that rests, with its radius.
fn inside_line(d: &mut Drawing, relief: &Relief, look: &SideLook<'_>, size: f64) {
    let Inside::Tightest { radius_mm, corner_of } = relief.inside() else { return };
    let (Some(first), Some(rests)) = (relief.facets().first(), relief.facets().get(corner_of)) else {
        return;
    };
    let junction = first.ends_from_edge;
    let half = junction.length() / 2.0;
    let rise = ((radius_mm - half) * (radius_mm + half)).max(0.0).sqrt();
    let middle = junction / 2.0 + junction.normalize_or_zero().perp() * rise;
    let (from, to) = (Angle::of(-middle), Angle::of(rests.ends_from_edge - middle));
    let more = Angle::from_radians((0.4 * size / radius_mm).min(0.6));
    let arc = Geometry::Arc {
        centre: point(middle),
        radius: radius_mm,
        start: from - more,
        sweep: (to - from).wrapped() + more * 2.0,
    };
    d.add(Role::AngleArc, Part::Heel, arc);
    let at = middle + (to + more).direction() * (radius_mm + 0.12 * size);
    let text = format!("inside curve, {} radius", (look.length)(radius_mm));
    d.add(Role::AngleArc, Part::Heel, small_text(at, text, 0.0));
    d.title(
        Part::Heel,
        format!("The tightest inside curve the first facet can follow: {} radius", (look.length)(radius_mm)),
    );
}
