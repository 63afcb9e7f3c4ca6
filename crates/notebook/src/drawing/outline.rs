//! Outlines of tools in their own frame: the facet is really cut into them.
//!
//! Tool frame: `s` from the edge towards the handle, `h` from the centreline towards the open side; millimetres.

use bevelbench_geometry::{
    DVec2,
    facet::Relief,
    math::Angle,
    parts::{Bevels, Blank, FlatKind, Flute, Hollow, PresentFacet, Section, Tool},
    side::Facet,
};

use crate::{
    drawing::shape::{Drawing, Geometry, Point, Role},
    saved::part::Part,
};

/// Points along an arc or a curve: enough to look smooth at any zoom the window has.
const SMOOTH: usize = 48;

/// The facet from edge to heel, as points relative to the edge.
#[must_use]
pub fn facet_points(facet: &Facet) -> Vec<DVec2> {
    arc_points(facet.at_edge, (facet.across - facet.at_edge) * 2.0, facet.heel_from_edge)
}

/// All the facets of a tool ground in steps, from edge to heel, as points relative to the edge: what [`blade`] wants.
#[must_use]
pub fn relief_points(relief: &Relief) -> Vec<DVec2> {
    let mut points = vec![DVec2::ZERO];
    points.extend(relief.facets().iter().flat_map(|facet| facet.points(SMOOTH).skip(1)));
    points
}

/// A facet as it is, from edge to heel, as points relative to the edge.
#[must_use]
pub fn present_points(facet: &PresentFacet) -> Vec<DVec2> {
    match facet.hollow() {
        Hollow::Flat => vec![DVec2::ZERO, facet.heel_from_edge()],
        Hollow::Arc { .. } => (0..=SMOOTH).map(|i| facet.point_at(i as f64 / SMOOTH as f64)).collect(),
    }
}

/// An arc that leaves the origin at `start` below the axis, turns by `turn` and ends at `end`.
fn arc_points(start: Angle, turn: Angle, end: DVec2) -> Vec<DVec2> {
    if turn.radians().abs() < 1e-9 {
        return vec![DVec2::ZERO, end];
    }
    // The chord after a part of the turn: length R·2 sin(x/2) at the slope start + x/2.
    let radius = end.length() / (2.0 * (turn / 2.0).sin());
    (0..=SMOOTH)
        .map(|i| {
            let x = turn * (i as f64 / SMOOTH as f64);
            let (sin, cos) = (start + x / 2.0).sin_cos();
            2.0 * radius * (x / 2.0).sin() * DVec2::new(cos, -sin)
        })
        .collect()
}

/// The blade's side outline as far as `end_mm` behind the edge, with a facet cut into its underside (and into its
/// upper face where two are ground); `wing` is how the cutting edge of a gouge rises from nose to wing top, `(s, h)`,
/// straight across if empty. Points in the tool frame, edge first, counted over the facet.
#[must_use]
pub fn blade(blank: &Blank, facet: &[DVec2], wing: &[DVec2], end_mm: f64) -> Vec<DVec2> {
    let edge = DVec2::new(0.0, blank.edge_height_mm());
    let (low, high) = blank.height_span_mm();
    let mut points: Vec<DVec2> = facet.iter().map(|p| edge + *p).collect();
    let heel = points.last().map_or(0.0, |p| p.x);
    let end = end_mm.max(heel + 1.0);
    points.push(DVec2::new(end, low));
    points.push(DVec2::new(end, high));
    match blank {
        Blank::Bar(_) => {
            if wing.is_empty() {
                points.push(DVec2::new(0.0, high));
            } else {
                points.extend(wing.iter().rev());
            }
        }
        Blank::Flat(flat) => match flat.bevels() {
            Bevels::One => {}
            Bevels::Alike => {
                let mirrored = facet.iter().rev().map(|p| edge + DVec2::new(p.x, -p.y));
                points.extend(mirrored.filter(|p| p.x > 1e-9));
            }
            Bevels::Unlike { other, .. } => {
                let back = (high - edge.y) / other.tan();
                if back.is_finite() && back > 1e-9 {
                    points.push(DVec2::new(back.min(end), high));
                }
            }
        },
    }
    points
}

/// The wooden handle behind a blade, in the tool frame.
#[must_use]
pub fn handle(from_mm: f64, to_mm: f64, thickness_mm: f64) -> Vec<DVec2> {
    let length = to_mm - from_mm;
    if length < 5.0 {
        return Vec::new();
    }
    let r = (thickness_mm * 0.95).clamp(9.0, 15.0);
    // Ferrule, swell, waist, butt: half the outline, mirrored below the axis.
    let profile = [
        (0.0, 0.72),
        (0.05, 0.74),
        (0.06, 0.84),
        (0.20, 1.0),
        (0.38, 1.04),
        (0.58, 0.90),
        (0.76, 0.82),
        (0.90, 0.96),
        (0.965, 0.94),
        (0.992, 0.72),
        (1.0, 0.4),
    ];
    let smooth = smoothed(&profile);
    let upper = smooth.iter().map(|(x, y)| DVec2::new(from_mm + x * length, y * r));
    let lower = smooth.iter().rev().map(|(x, y)| DVec2::new(from_mm + x * length, -y * r));
    upper.chain(lower).collect()
}

/// A Catmull–Rom curve through points whose first coordinate rises.
fn smoothed(points: &[(f64, f64)]) -> Vec<(f64, f64)> {
    let at = |i: usize| points[i.min(points.len() - 1)];
    let mut smooth = vec![at(0)];
    for i in 0..points.len() - 1 {
        let (p0, p1, p2, p3) = (at(i.saturating_sub(1)), at(i), at(i + 1), at(i + 2));
        for step in 1..=6 {
            let t = f64::from(step) / 6.0;
            let curve = |a: f64, b: f64, c: f64, d: f64| {
                0.5 * (2.0 * b
                    + (c - a) * t
                    + (2.0 * a - 5.0 * b + 4.0 * c - d) * t * t
                    + (3.0 * b - a - 3.0 * c + d) * t * t * t)
            };
            smooth.push((curve(p0.0, p1.0, p2.0, p3.0), curve(p0.1, p1.1, p2.1, p3.1)));
        }
    }
    smooth
}

/// A small side outline of a tool's last `45` mm, with its present facet or one of the bevel given: for lists.
#[must_use]
pub fn tool_outline(tool: &Tool, bevel: Angle) -> Drawing {
    let mut drawing = Drawing::new();
    let under = tool.blank().thickness_under_edge_mm();
    let facet = if let Some(present) = tool.present() {
        // What lies behind the present heel is cut straight down to the underside.
        let mut points = present_points(present);
        if let Some(last) = points.last().copied()
            && last.y > -under
        {
            let (sin, cos) = present.across().sin_cos();
            points.push(DVec2::new(last.x + (under + last.y) * cos / sin, -under));
        }
        points
    } else {
        let (sin, cos) = bevel.sin_cos();
        vec![DVec2::ZERO, DVec2::new(under * cos / sin, -under)]
    };
    let (low, high) = tool.blank().height_span_mm();
    let length = ((high - low) * 2.6).clamp(26.0, 60.0);
    let wing = match tool.blank() {
        Blank::Bar(bar) => {
            let top = bar.flute().wing_top();
            vec![DVec2::new(0.0, tool.blank().edge_height_mm()), DVec2::new((high - low) * 0.45, top.y)]
        }
        Blank::Flat(_) => Vec::new(),
    };
    // The nose to the right, as the tool lies in the hand.
    let points = blade(tool.blank(), &facet, &wing, length).iter().map(|p| [-p.x, p.y]).collect();
    drawing.add(Role::Tool, Part::Tool, Geometry::Outline(points));
    drawing
}

/// The section of a blank seen from its end: `w` to the right, `h` up.
#[must_use]
pub fn blank_section(blank: &Blank) -> Drawing {
    let mut drawing = Drawing::new();
    let points: Vec<Point> = match blank {
        Blank::Bar(bar) => gouge_section(bar.flute(), bar.radius_mm(), bar.top_mm()),
        Blank::Flat(flat) => flat_section(flat.width_mm(), flat.thickness_mm(), flat.section()),
    };
    drawing.add(Role::ToolSection, Part::Tool, Geometry::Outline(points));
    if let Blank::Flat(flat) = blank
        && let FlatKind::Skew { .. } | FlatKind::Parting { .. } | FlatKind::Beading { .. } = flat.kind()
    {
        let h = blank.edge_height_mm();
        let half = flat.width_mm() / 2.0;
        drawing.add(Role::Edge, Part::Edge, Geometry::Line(vec![[-half, h], [half, h]]));
    }
    drawing
}

fn gouge_section(flute: &Flute, radius: f64, top: f64) -> Vec<Point> {
    let wing = flute.wing_top();
    let steps = 2 * SMOOTH;
    let wall = (0..=steps).map(|i| {
        let w = wing.x * (2.0 * i as f64 / steps as f64 - 1.0);
        [w, flute.height_at(w)]
    });
    // From the right wing top round the outside to the left one; a section that is cut off has a flat land.
    let corner = if top < radius { (radius * radius - top * top).max(0.0).sqrt() } else { wing.x };
    let start = f64::atan2(if top < radius { top } else { wing.y }, corner);
    let turn = -(2.0 * start + std::f64::consts::PI);
    let outside = (0..=steps).map(|i| {
        let at = start + turn * i as f64 / steps as f64;
        [radius * at.cos(), radius * at.sin()]
    });
    wall.chain(outside).collect()
}

fn flat_section(width: f64, thickness: f64, section: Section) -> Vec<Point> {
    let (w, t) = (width / 2.0, thickness / 2.0);
    let turn = |i: usize| std::f64::consts::TAU * i as f64 / (2 * SMOOTH) as f64;
    match section {
        Section::Rectangular => vec![[-w, -t], [w, -t], [w, t], [-w, t]],
        Section::Oval => (0..2 * SMOOTH).map(|i| [w * turn(i).cos(), t * turn(i).sin()]).collect(),
        Section::Rolled => {
            let r = t.min(w);
            (0..2 * SMOOTH)
                .map(|i| {
                    let (sin, cos) = turn(i).sin_cos();
                    [(w - r) * cos.signum() + r * cos, (t - r) * sin.signum() + r * sin]
                })
                .collect()
        }
    }
}
