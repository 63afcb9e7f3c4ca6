//! The tool as near to the wheel as it comes, for a setting without an answer: so that the attempt can be drawn.

use bevelbench_geometry::{
    DVec2,
    math::{Angle, dimension::SHORTEST_MM},
    parts::Face,
    side::{Facet, Job, Seat, SideView, Slopes, Support},
};

/// Bevels between which a facet is drawn into an attempted tool.
const DRAWN: [Angle; 2] = [Angle::from_degrees(12.0), Angle::from_degrees(150.0)];

/// The pose in which the edge comes nearest to the abrasive with everything set as asked; `None` for numbers that are
/// none, or a table that stands along a flat face. Nothing is solved here that the geometry refuses: its facet is
/// whatever can be drawn, and its slopes are empty.
pub(super) fn nearest_pose(job: &Job) -> Option<SideView> {
    let edge_height = job.setting.edge.height_mm;
    let (edge, axis, seat) = match job.setting.support {
        Support::Handle { .. } | Support::Holder { .. } => {
            let (in_bench, in_tool) = job.setting.pivot()?;
            let from_edge = in_tool - DVec2::new(0.0, edge_height);
            let length = from_edge.length();
            let edge = nearest_edge(job.setting.face, in_bench, length)?;
            let axis = Angle::of(in_bench - edge) - Angle::of(from_edge);
            let (from_centre_mm, gauge_length_mm) = match job.setting.face {
                Face::Round { radius_mm } => (in_bench.length(), in_bench.length() - radius_mm),
                face @ Face::Flat { .. } => (face.distance_mm(in_bench), face.distance_mm(in_bench)),
            };
            let seat =
                Seat::Pivot { in_bench, in_tool, from_centre_mm, from_edge_mm: length, gauge_length_mm };
            (edge, axis, seat)
        }
        Support::Table { table, tilt } => {
            let plane = table.plane_from_centre_mm(tilt);
            let above = job.setting.edge.under_mm;
            let (along, up) = (tilt.direction(), tilt.direction().perp());
            let edge = match job.setting.face {
                Face::Round { radius_mm } => {
                    let rise = ((plane + above) / radius_mm).clamp(-1.0, 1.0);
                    up * (plane + above) + along * (radius_mm * (1.0 - rise * rise).sqrt())
                }
                Face::Flat { normal } => {
                    let face = normal.direction().perp();
                    let fraction = face.dot(up);
                    if fraction.abs() < 1e-6 {
                        return None;
                    }
                    face * ((plane + above) / fraction)
                }
            };
            (edge, tilt, Seat::Plane { from_centre_mm: plane, edge_above_mm: above, rest_gap_mm: 0.0 })
        }
    };
    if !(edge.is_finite() && axis.is_finite()) {
        return None;
    }
    let normal = match job.setting.face {
        Face::Round { .. } => Angle::of(edge),
        Face::Flat { normal } => normal,
    };
    let bevel = (axis - normal + Angle::QUARTER).wrapped();
    let drawn = bevel.clamped(DRAWN[0], DRAWN[1]);
    let under = job.setting.edge.under_mm;
    let facet = Facet::ground(job.setting.face, drawn, under)
        .or_else(|_| Facet::ground(Face::Flat { normal: Angle::ZERO }, drawn, under))
        .ok()?;
    Some(SideView {
        facet: Facet { at_edge: bevel, ..facet },
        contact_in_bench: edge,
        handle_angle: -axis,
        seat,
        slopes: Slopes::default(),
        edge_height_mm: edge_height,
    })
}

/// Where the edge, a length from the pivot, comes to rest on the abrasive, or nearest to it: on the line from the pivot
/// square to the abrasive.
fn nearest_edge(face: Face, pivot: DVec2, length: f64) -> Option<DVec2> {
    match face {
        Face::Round { radius_mm } => {
            let distance = pivot.length();
            if !(distance > SHORTEST_MM && length.is_finite()) {
                return None;
            }
            let outward = pivot / distance;
            let cosine = (distance * distance + radius_mm * radius_mm - length * length)
                / (2.0 * distance * radius_mm);
            Some(if cosine.abs() <= 1.0 {
                // The upper one of the two contacts.
                radius_mm * (outward * cosine + outward.perp() * (1.0 - cosine * cosine).sqrt())
            } else if radius_mm > distance + length {
                pivot + outward * length
            } else {
                pivot - outward * length
            })
        }
        Face::Flat { normal } => {
            let outward = normal.direction();
            let off = pivot.dot(outward);
            let square = length * length - off * off;
            Some(if square >= 0.0 {
                pivot - outward * off + outward.perp() * square.sqrt()
            } else {
                pivot - outward * (length * off.signum())
            })
        }
    }
}
