//! A regrind in the tool's own frame: the facet as it is, the one asked for, and the steel between them.
//!
//! `x` along the axis from the edge as it is towards the handle, second axis towards the open side.

use bevelbench_geometry::{DVec2, facet::Regrind, math::Angle, side::Job};

use crate::{
    drawing::{
        outline::blade,
        shape::{Bounds, Drawing, Geometry, Mark, Point, Role, Standing},
        side_view::{
            lines::{drawable, line, outline, point, small_text},
            look::SideLook,
        },
    },
    saved::part::Part,
};

/// Depths at which both facets are taken.
const DEPTHS: usize = 160;
/// Steel thinner than this is not drawn, in millimetres.
const NOTHING_MM: f64 = 1e-4;

/// The regrind of a job with the edge going back by `length_lost_mm`, and what of it should be seen.
#[must_use]
pub fn regrind_view(
    job: &Job,
    regrind: &Regrind,
    length_lost_mm: f64,
    look: &SideLook<'_>,
) -> (Drawing, Bounds) {
    let mut d = Drawing::new();
    let rungs: Vec<[DVec2; 2]> = regrind.removed_outline(length_lost_mm, DEPTHS).collect();
    let after: Vec<DVec2> = rungs.iter().map(|rung| rung[1]).collect();
    let heel = after.last().copied().unwrap_or_default();
    let size = heel.length().max(0.5);
    let edge = DVec2::new(0.0, job.tool.blank().edge_height_mm());
    // The wings go back with the nose.
    let wing: Vec<DVec2> = look.wing.iter().map(|p| *p + DVec2::new(length_lost_mm.max(0.0), 0.0)).collect();
    let steel = blade(job.tool.blank(), &after, &wing, heel.x.max(0.0) + 2.0 * size);
    d.add(Role::Tool, Part::Tool, outline(steel.into_iter().map(|p| p - edge)));
    let mut taken = Drawing::new();
    for run in runs(&rungs) {
        let piece = run.iter().map(|rung| rung[0]).chain(run.iter().rev().map(|rung| rung[1]));
        taken.add(Role::Tool, Part::Facet, outline(piece));
        let new: Vec<Point> = run.iter().map(|rung| point(rung[1])).collect();
        d.add(Role::Facet, Part::Facet, Geometry::Line(new));
    }
    d.overlay(taken.standing(Standing::Ghost));
    let old: Vec<Point> = rungs.iter().map(|rung| point(rung[0])).collect();
    d.add(Role::FacetPresent, Part::Facet, Geometry::Line(old));
    d.title(Part::Facet, "Steel between the facet as it is and the one asked for".to_owned());
    if length_lost_mm > 0.02 {
        lost_dimension(&mut d, length_lost_mm, size, look);
    }
    let mut label = |part: Part, role: Role, at: DVec2, text: &str| {
        d.add(role, part, Geometry::Mark { at: point(at), direction: Angle::ZERO, mark: Mark::Dot });
        d.add(role, part, small_text(at - DVec2::new(0.0, size * 0.12), text.to_owned(), 0.0));
    };
    label(Part::Edge, Role::Edge, DVec2::new(length_lost_mm.max(0.0), 0.0), "edge");
    label(Part::Heel, Role::Heel, heel, "heel");
    let bounds = Bounds {
        min: [heel.x.min(0.0) - 0.4 * size, heel.y - 0.3 * size],
        max: [heel.x.max(0.0) + 0.7 * size, 0.32 * size],
    };
    (drawable(d), bounds)
}

/// Stretches of depth over which something is taken.
fn runs(rungs: &[[DVec2; 2]]) -> Vec<&[[DVec2; 2]]> {
    let thick = |rung: &[DVec2; 2]| rung[1].x - rung[0].x > NOTHING_MM;
    let mut found = Vec::new();
    let mut from = None;
    for (index, rung) in rungs.iter().enumerate() {
        match (from, thick(rung)) {
            // One rung before, where it begins from nothing.
            (None, true) => from = Some(index.saturating_sub(1)),
            (Some(start), false) => {
                found.push(&rungs[start..=index]);
                from = None;
            }
            _ => {}
        }
    }
    if let Some(start) = from {
        found.push(&rungs[start..]);
    }
    found
}

/// The length lost, dimensioned above the edge.
fn lost_dimension(d: &mut Drawing, length_lost_mm: f64, size: f64, look: &SideLook<'_>) {
    let level = 0.16 * size;
    let (from, to) = (DVec2::new(0.0, level), DVec2::new(length_lost_mm, level));
    for end in [from, to] {
        let foot = DVec2::new(end.x, 0.2 * level);
        d.add(Role::Dimension, Part::Edge, line(foot, end + DVec2::Y * (0.2 * level)));
    }
    // Arrows point inwards where there is no room between.
    let outside = 0.12 * size;
    d.add(Role::Dimension, Part::Edge, line(from - DVec2::X * outside, from));
    d.add(Role::Dimension, Part::Edge, line(to, to + DVec2::X * outside));
    for (at, direction) in [(from, Angle::ZERO), (to, Angle::HALF)] {
        d.add(Role::Dimension, Part::Edge, Geometry::Mark { at: point(at), direction, mark: Mark::Arrow });
    }
    let text = format!("{} lost", (look.length)(length_lost_mm));
    d.add(Role::Dimension, Part::Edge, small_text(DVec2::new(-outside * 1.2 - 0.2 * size, level), text, 0.0));
}
