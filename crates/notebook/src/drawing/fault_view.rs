//! A fault as a picture: the edge that was meant and the edge that a slip leaves, from above and unrolled, and two
//! facets where there should be one.
//!
//! Frames in millimetres: from above `(s, −w)`, so that the tip points to the left and the left wing, seen from the
//! handle, lies below; the section of two facets `(s, h)` from the edge.

use bevelbench_geometry::{DVec2, DVec3, fault::TwoFacets, math::Angle, parts::Profile};

use crate::drawing::{
    outline::present_points,
    shape::{Align, Bounds, Drawing, Geometry, Mark, Point, Role, TextSize, segment},
};

fn small(at: Point, text: impl Into<String>, align: Align) -> Geometry {
    let (along, size) = (Angle::ZERO, TextSize::Small);
    Geometry::Text { at, text: text.into(), align, along, size, lift: 0.0 }
}

fn from_above(edge: &[DVec3]) -> Vec<Point> {
    edge.iter().map(|p| [p.x, -p.z]).collect()
}

/// The edge that was meant, dashed, and the one that came of it, from above, with the steel behind it; a place of the
/// edge may be marked.
#[must_use]
pub fn edge_from_above(meant: &[DVec3], came: &[DVec3], at: Option<DVec3>) -> (Drawing, Option<Bounds>) {
    let mut d = Drawing::new();
    let (meant, came) = (from_above(meant), from_above(came));
    let Some(extent) = Bounds::around(meant.iter().chain(&came).copied()) else { return (d, None) };
    let back = extent.max[0] + 0.25 * extent.height();
    if let (Some(first), Some(last)) = (came.first(), came.last()) {
        let mut outline = came.clone();
        outline.extend([[back, last[1]], [back, first[1]]]);
        d.add(Role::Tool, None, Geometry::Outline(outline));
    }
    d.add(Role::Construction, None, segment([extent.min[0] - 0.1 * extent.height(), 0.0], [back, 0.0]));
    d.add(Role::ToolHidden, None, Geometry::Line(meant));
    d.add(Role::Edge, None, Geometry::Line(came));
    let word = |d: &mut Drawing, y: f64, text: &str| {
        d.add(Role::Dimension, None, small([back, y], text, Align::End));
    };
    word(&mut d, extent.max[1] + 0.07 * extent.height(), "right wing");
    word(&mut d, extent.min[1] - 0.07 * extent.height(), "left wing");
    if let Some(at) = at {
        let at = [at.x, -at.z];
        d.add(Role::Limit, None, Geometry::Mark { at, direction: Angle::ZERO, mark: Mark::Ring });
    }
    let room = Bounds {
        min: [extent.min[0] - 0.12 * extent.height(), extent.min[1] - 0.14 * extent.height()],
        max: [back, extent.max[1] + 0.14 * extent.height()],
    };
    (d, Some(room))
}

/// How far the edge that came of it lies behind the one that was meant, along the edge from wing to wing, drawn so high
/// that it is seen; `length` writes the greatest.
#[must_use]
pub fn edge_unrolled(
    meant: &[DVec3],
    came: &[DVec3],
    length: &dyn Fn(f64) -> String,
) -> (Drawing, Option<Bounds>) {
    let mut d = Drawing::new();
    if meant.len() != came.len() || meant.len() < 3 {
        return (d, None);
    }
    let mut walked = 0.0;
    let mut points: Vec<(f64, f64)> = Vec::with_capacity(meant.len());
    for (i, (one, other)) in meant.iter().zip(came).enumerate() {
        if i > 0 {
            walked += meant[i - 1].distance(*one);
        }
        points.push((walked, other.x - one.x));
    }
    let most = points.iter().map(|p| p.1.abs()).fold(0.0, f64::max);
    if !(walked > 0.0 && walked.is_finite() && most.is_finite()) {
        return (d, None);
    }
    let high = 0.16 * walked;
    let up = if most > 1e-9 { high / most } else { 0.0 };
    // The right wing at the left, as one looks on to the edge from the handle... the left wing is `+w`, drawn last.
    let line: Vec<Point> = points.iter().rev().map(|(at, by)| [walked - at, by * up]).collect();
    d.add(Role::Construction, None, segment([0.0, 0.0], [walked, 0.0]));
    d.add(Role::Edge, None, Geometry::Line(line));
    if let Some((at, by)) = points.iter().copied().max_by(|a, b| a.1.abs().total_cmp(&b.1.abs()))
        && most > 1e-9
    {
        let place = [walked - at, by * up];
        d.add(Role::Gap, None, segment([place[0], 0.0], place));
        let text = if by > 0.0 {
            format!("{} further back", length(by))
        } else {
            format!("{} further out", length(-by))
        };
        let beside = if place[0] > 0.6 * walked { Align::End } else { Align::Start };
        let aside = if beside == Align::End { -0.02 } else { 0.02 } * walked;
        d.add(
            Role::Gap,
            None,
            small([place[0] + aside, place[1] + 0.03 * walked * by.signum()], text, beside),
        );
    }
    let below = -high - 0.13 * walked;
    d.add(Role::Dimension, None, small([0.0, below], "left wing", Align::Start));
    d.add(Role::Dimension, None, small([walked, below], "right wing", Align::End));
    d.add(Role::Dimension, None, small([0.5 * walked, below], "nose", Align::Middle));
    let room =
        Bounds { min: [-0.02 * walked, below - 0.04 * walked], max: [1.02 * walked, high + 0.08 * walked] };
    (d, Some(room))
}

/// Two facets on the tip, many times enlarged, with their widths and bevels.
#[must_use]
pub fn two_facets_view(found: &TwoFacets, length: &dyn Fn(f64) -> String) -> (Drawing, Option<Bounds>) {
    let mut d = Drawing::new();
    let Some(profile) = found.profile else { return (d, None) };
    let chain = chain_of(&profile);
    let Some(extent) = Bounds::around(chain.iter().map(|p| [p.x, p.y])) else { return (d, None) };
    let size = extent.width().max(extent.height());
    let back = extent.max[0] + 0.5 * size;
    let mut outline: Vec<Point> = chain.iter().map(|p| [p.x, p.y]).collect();
    outline.extend([[back, extent.min[1]], [back, 0.0]]);
    d.add(Role::Tool, None, Geometry::Outline(outline));
    let newer_first = found.newer == *profile.first();
    for (i, (facet, start)) in profile.facets().enumerate() {
        let points = present_points(facet).into_iter().map(|p| [start.x + p.x, start.y + p.y]).collect();
        let newer = (i == 0) == newer_first;
        d.add(if newer { Role::Facet } else { Role::FacetPresent }, None, Geometry::Line(points));
        let middle = start + facet.point_at(0.5);
        let (sin, cos) = facet.across().sin_cos();
        let out = middle - 0.07 * size * DVec2::new(sin, cos);
        let name = if newer { "newer" } else { "older" };
        let text = format!("{name}: {}, {:.1}° across", length(facet.width_mm()), facet.across().degrees());
        d.add(
            if newer { Role::Facet } else { Role::FacetPresent },
            None,
            small([out.x, out.y], text, Align::End),
        );
        if i == 1 {
            let ring = Geometry::Mark { at: [start.x, start.y], direction: Angle::ZERO, mark: Mark::Ring };
            d.add(Role::Heel, None, ring);
        }
    }
    d.add(Role::Edge, None, Geometry::Mark { at: [0.0, 0.0], direction: Angle::ZERO, mark: Mark::Dot });
    d.add(Role::Edge, None, small([-0.03 * size, 0.05 * size], "edge", Align::End));
    let room =
        Bounds { min: [extent.min[0] - 1.0 * size, extent.min[1] - 0.12 * size], max: [back, 0.15 * size] };
    (d, Some(room))
}

fn chain_of(profile: &Profile) -> Vec<DVec2> {
    profile
        .facets()
        .flat_map(|(facet, start)| present_points(facet).into_iter().map(move |p| start + p))
        .collect()
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]
mod tests {
    use super::*;
    use crate::{answer::swept::rolled_gouge, saved::library::demo_bench};
    use bevelbench_geometry::fault::{FaultyGrind, NewFacet, RollingFault, TwoFacetsSeen};

    fn mm(value: f64) -> String {
        format!("{value:.1} mm")
    }

    fn lines(d: &Drawing, role: Role) -> Vec<Vec<Point>> {
        d.shapes
            .iter()
            .filter(|shape| shape.role == role)
            .filter_map(|shape| match &shape.geometry {
                Geometry::Line(points) => Some(points.clone()),
                _ => None,
            })
            .collect()
    }

    #[test]
    fn turned_gouge_has_its_longer_wing_drawn_longer() {
        let bench = demo_bench().unwrap();
        let entry = bench.setting_named("Long grind, 85 mm").unwrap();
        let (job, view) = bench.answer(entry).unwrap();
        let (rolled, steel) = rolled_gouge(&job, &view, entry.swing.as_ref()).unwrap().unwrap();
        let edge = |by: f64| {
            let rolling_fault = RollingFault::TurnedInHolder { by: Angle::from_degrees(by) };
            FaultyGrind::new(&rolled, rolling_fault).unwrap().edge(&steel, 101)
        };
        let (meant, came) = (edge(0.0), edge(5.0));
        let (d, room) = edge_from_above(&meant, &came, None);
        assert!(room.unwrap().width() > 1.0);
        let drawn = &lines(&d, Role::Edge)[0];
        // The +w wing, seen from the handle the left one, is drawn below.
        let (first, last) = (drawn[0], drawn[drawn.len() - 1]);
        assert!(first[1] > 0.0 && last[1] < 0.0);
        assert!((first[0] - last[0]).abs() > 0.3, "the wings differ");
        let (unrolled, room) = edge_unrolled(&meant, &came, &mm);
        assert!(room.is_some() && !lines(&unrolled, Role::Edge).is_empty());
    }

    #[test]
    fn two_facets_are_drawn_with_the_corner_between_them() {
        let bench = demo_bench().unwrap();
        let entry = bench.setting_named("Long grind, 85 mm").unwrap();
        let (job, view) = bench.answer(entry).unwrap();
        let whole = view.facet.width_mm;
        let seen = TwoFacetsSeen { edge_mm: 0.3 * whole, heel_mm: 0.8 * whole, newer: NewFacet::AtHeel };
        let found = job.setting.two_facets(&seen).unwrap();
        let (d, room) = two_facets_view(&found, &mm);
        assert!(room.is_some());
        assert_eq!(lines(&d, Role::Facet).len() + lines(&d, Role::FacetPresent).len(), 2);
    }
}
