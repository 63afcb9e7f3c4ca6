//! The sketches of a tool: its section, its edge in plan, its tip from the side, and the whole of it.

use bevelbench_geometry::{
    math::{Angle, Quantity as Q},
    parts::{Blank, Tool},
};

use crate::{
    drawing::{
        Bounds, Geometry, Point, Role, segment,
        sketch::{
            lines::{Sketch, arc},
            mark::Mark,
            section as section_sketch,
        },
    },
    quantity::{Units, to_type::length_text},
    saved::{BevelsSaved, BlankSaved, EdgeSaved, FlatSaved, ToolEntry, bevels::bevels_of},
};

/// A bevel to draw a tip with whose own is not known.
const ASSUMED_BEVEL_DEG: f64 = 40.0;

/// A sketch with its caption.
pub type Captioned = (&'static str, Sketch);

/// The sketches of a tool that can be built, largest first in importance.
#[must_use]
pub fn sketches(entry: &ToolEntry, tool: &Tool, units: Units, pointed: Option<Mark>) -> Vec<Captioned> {
    let mut all = Vec::with_capacity(4);
    match (&entry.blank, tool.blank()) {
        (BlankSaved::Bar(saved), Blank::Bar(bar)) => {
            all.push(("Section, seen from the end", section_sketch::bar_section(saved, bar, units, pointed)));
        }
        (BlankSaved::Flat(flat), _) => {
            all.push(("Section, seen from the end", section_sketch::flat_section(flat, units, pointed)));
            all.push(("Edge in plan", plan(flat, units, pointed)));
        }
        (BlankSaved::Bar(_), Blank::Flat(_)) => {}
    }
    all.push(("Tip from the side", tip(entry, tool, units, pointed)));
    all.push(("The whole tool", whole(entry, tool, units, pointed)));
    all
}

fn around(left: f64, low: f64, right: f64, high: f64) -> Bounds {
    Bounds { min: [left, low], max: [right, high] }
}

/// The edge seen from above: along the tool to the right.
fn plan(flat: &FlatSaved, units: Units, pointed: Option<Mark>) -> Sketch {
    let half = flat.width_mm / 2.0;
    let step = half * 0.28;
    let (edge, slant, radius): (Vec<Point>, Option<Angle>, Option<f64>) = match flat.edge {
        EdgeSaved::Skew { obliquity_deg, edge_radius_mm, .. } => {
            let slant = Angle::from_degrees(obliquity_deg);
            let back = flat.width_mm * slant.cos() / slant.sin().max(0.05);
            let (long, short) = ([0.0, half], [back, -half]);
            (
                edge_radius_mm.map_or_else(|| vec![long, short], |r| bowed(long, short, r)),
                Some(slant),
                edge_radius_mm,
            )
        }
        EdgeSaved::Scraper { nose_radius_mm: Some(radius) }
        | EdgeSaved::NegativeRake { nose_radius_mm: Some(radius), .. } => {
            let reach = radius.min(half);
            let half_turn = Angle::from_radians((reach / radius).clamp(-1.0, 1.0).asin());
            let mut edge = arc([radius, 0.0], radius, Angle::HALF - half_turn, half_turn * 2.0, 48);
            if radius < half {
                // A nose narrower than the blade runs out square to the sides.
                edge.insert(0, [radius, half]);
                edge.push([radius, -half]);
            }
            (edge, None, Some(radius))
        }
        EdgeSaved::Parting { .. }
        | EdgeSaved::Beading { .. }
        | EdgeSaved::Scraper { .. }
        | EdgeSaved::NegativeRake { .. } => (vec![[0.0, half], [0.0, -half]], None, None),
    };
    let back = edge.iter().map(|p| p[0]).fold(0.0, f64::max) + flat.width_mm * 0.9;
    let front = edge.iter().map(|p| p[0]).fold(0.0, f64::min);
    let mut s = Sketch::new(around(front, -half, back, half), step, pointed);
    let mut outline = vec![[back, half]];
    outline.extend(edge.iter().copied());
    outline.push([back, -half]);
    s.add(Role::Tool, Geometry::Outline(outline));
    s.add(Role::Edge, Geometry::Line(edge.clone()));
    s.guide([front - step, 0.0], [back + step, 0.0]);
    s.distance(
        Mark::Of(Q::BladeWidth),
        [back, -half],
        [back, half],
        -1.0,
        length_text(flat.width_mm, units),
        false,
    );
    if let Some(slant) = slant {
        // Between the edge and the long side, at the long point.
        s.angle(
            Mark::Of(Q::EdgeObliquity),
            [0.0, half],
            half,
            Angle::ZERO,
            -slant,
            units.angle(slant.degrees()),
            true,
        );
    }
    if let Some(radius) = radius {
        let middle = edge.get(edge.len() / 2).copied().unwrap_or([0.0, 0.0]);
        let towards = match (edge.first(), edge.last(), slant) {
            // Square to the chord of a curved skew.
            (Some(a), Some(b), Some(_)) => {
                Angle::from_radians((b[1] - a[1]).atan2(b[0] - a[0])) - Angle::QUARTER
            }
            _ => Angle::HALF,
        };
        let (sin, cos) = towards.sin_cos();
        let centre = [middle[0] - radius * cos, middle[1] - radius * sin];
        s.radius(Mark::Of(Q::EdgeRadius), centre, radius, towards, length_text(radius, units));
    }
    s
}

/// A chain of points from one to another, bowed out to the front by an arc; straight if the radius is too small for it.
fn bowed(from: Point, to: Point, radius: f64) -> Vec<Point> {
    let (dx, dy) = (to[0] - from[0], to[1] - from[1]);
    let chord = dx.hypot(dy);
    if radius.is_nan() || radius <= chord / 2.0 {
        return vec![from, to];
    }
    let rise = (radius * radius - chord * chord / 4.0).sqrt();
    // The centre lies behind the edge, to the left of the way from the long point down.
    let (nx, ny) = (-dy / chord, dx / chord);
    let centre = [f64::midpoint(from[0], to[0]) + nx * rise, f64::midpoint(from[1], to[1]) + ny * rise];
    let angle = |p: Point| Angle::from_radians((p[1] - centre[1]).atan2(p[0] - centre[0]));
    let (start, end) = (angle(from), angle(to));
    arc(centre, radius, start, (end - start).wrapped(), 48)
}

/// The tip from the side: the edge at the left, the handle to the right, with the facet it carries today.
fn tip(entry: &ToolEntry, tool: &Tool, units: Units, pointed: Option<Mark>) -> Sketch {
    let (low, high) = tool.blank().height_span_mm();
    let edge_height = tool.blank().edge_height_mm();
    let present = entry.present_facet;
    let bevel = Angle::from_degrees(present.map_or(ASSUMED_BEVEL_DEG, |facet| facet.bevel_deg));
    let under = edge_height - low;
    let back_of = |height: f64, angle: Angle| height * angle.cos() / angle.sin().max(0.02);
    let heel = back_of(under, bevel);
    let tall = high - low;
    let length = (heel * 1.3).max(tall * 1.7);
    let step = tall * 0.3;
    let mut s = Sketch::new(around(0.0, low, length, high), step, pointed);

    let mut outline: Vec<Point> = vec![[0.0, edge_height]];
    match &entry.blank {
        BlankSaved::Bar(_) => outline.extend([
            [(high - edge_height) * 0.55, edge_height + (high - edge_height) * 0.75],
            [(high - edge_height) * 1.1, high],
        ]),
        BlankSaved::Flat(flat) => match (flat.edge, bevels_of(flat.edge)) {
            (EdgeSaved::NegativeRake { upper_deg, drop_mm, .. }, _) => {
                outline.push([back_of(drop_mm, Angle::from_degrees(upper_deg.max(1.0))), high]);
            }
            (_, Some(BevelsSaved::Alike)) => outline.push([back_of(high - edge_height, bevel), high]),
            (_, Some(BevelsSaved::Unlike { other_deg, .. })) => {
                outline.push([back_of(high - edge_height, Angle::from_degrees(other_deg)), high]);
            }
            _ => {}
        },
    }
    outline.extend([[length, high], [length, low], [heel, low]]);
    outline.dedup_by(|a, b| (a[0] - b[0]).hypot(a[1] - b[1]) < 1e-6);
    s.add(Role::Tool, Geometry::Outline(outline));
    if matches!(entry.blank, BlankSaved::Bar(_)) {
        s.add(Role::ToolHidden, segment([0.0, edge_height], [length, edge_height]));
    }
    s.guide([-step, 0.0], [length + step * 0.8, 0.0]);
    let facet = match present.and_then(|facet| facet.hollow_radius_mm) {
        Some(radius) => hollow([0.0, edge_height], [heel, low], radius),
        None => vec![[0.0, edge_height], [heel, low]],
    };
    s.add(
        if present.is_some() { Role::FacetPresent } else { Role::ToolHidden },
        Geometry::Line(facet.clone()),
    );
    tip_dimensions(&mut s, entry, units, (edge_height, low, high), (heel, facet));
    s
}

fn tip_dimensions(
    s: &mut Sketch,
    entry: &ToolEntry,
    units: Units,
    (edge_height, low, high): (f64, f64, f64),
    (heel, facet): (f64, Vec<Point>),
) {
    let tall = high - low;
    let back = (heel * 1.3).max(tall * 1.7);
    let edge = [0.0, edge_height];
    if let Some(present) = entry.present_facet {
        let bevel = Angle::from_degrees(present.bevel_deg);
        s.angle(
            Mark::Of(Q::Bevel),
            edge,
            tall * 0.75,
            Angle::ZERO,
            -bevel,
            units.angle(present.bevel_deg),
            true,
        );
        s.distance(
            Mark::Of(Q::FacetWidth),
            edge,
            [heel, low],
            -1.0,
            length_text(present.width_mm, units),
            false,
        );
        if let Some(radius) = present.hollow_radius_mm {
            let towards = Angle::QUARTER - bevel;
            let middle = facet.get(facet.len() / 2).copied().unwrap_or(edge);
            let (sin, cos) = towards.sin_cos();
            s.radius(
                Mark::Of(Q::FacetRadius),
                [middle[0] - radius * cos, middle[1] - radius * sin],
                radius,
                towards,
                length_text(radius, units),
            );
        }
    } else {
        s.word(Role::ToolHidden, [back / 2.0, low - s.step() * 1.2], "facet not known");
    }
    let BlankSaved::Flat(flat) = &entry.blank else { return };
    match flat.edge {
        EdgeSaved::NegativeRake { upper_deg, drop_mm, .. } => {
            s.angle(
                Mark::Of(Q::OtherBevel),
                edge,
                tall * 0.75,
                Angle::ZERO,
                Angle::from_degrees(upper_deg),
                units.angle(upper_deg),
                false,
            );
            s.distance(Mark::Of(Q::EdgeDrop), edge, [0.0, high], 1.0, length_text(drop_mm, units), false);
        }
        _ => {
            if let Some(BevelsSaved::Unlike { other_deg, edge_height_mm }) = bevels_of(flat.edge) {
                s.angle(
                    Mark::Of(Q::OtherBevel),
                    edge,
                    tall * 0.75,
                    Angle::ZERO,
                    Angle::from_degrees(other_deg),
                    units.angle(other_deg),
                    false,
                );
                s.distance(
                    Mark::Of(Q::EdgeHeight),
                    [0.0, 0.0],
                    [0.0, edge_height_mm],
                    1.0,
                    length_text(edge_height_mm, units),
                    false,
                );
            }
        }
    }
    s.distance(
        Mark::Of(Q::BladeThickness),
        [back, low],
        [back, high],
        -0.3,
        length_text(flat.thickness_mm, units),
        false,
    );
}

/// A facet hollowed by an arc; straight if the radius is too small for it.
fn hollow(edge: Point, heel: Point, radius: f64) -> Vec<Point> {
    let (dx, dy) = (heel[0] - edge[0], heel[1] - edge[1]);
    let chord = dx.hypot(dy);
    if radius.is_nan() || radius <= chord / 2.0 {
        return vec![edge, heel];
    }
    let rise = (radius * radius - chord * chord / 4.0).sqrt();
    // The wheel's centre lies below and in front of the facet, outside the steel.
    let (nx, ny) = (dy / chord, -dx / chord);
    let centre = [f64::midpoint(edge[0], heel[0]) + nx * rise, f64::midpoint(edge[1], heel[1]) + ny * rise];
    let angle = |p: Point| Angle::from_radians((p[1] - centre[1]).atan2(p[0] - centre[0]));
    let (start, end) = (angle(edge), angle(heel));
    arc(centre, radius, start, (end - start).wrapped(), 32)
}

/// The whole tool with its handle.
fn whole(entry: &ToolEntry, tool: &Tool, units: Units, pointed: Option<Mark>) -> Sketch {
    let (blade, overall) = (entry.blade_length_mm, entry.overall_length_mm);
    let (low, high) = tool.blank().height_span_mm();
    let tall = (high - low).max(6.0);
    let step = overall * 0.045;
    let thick = tall.max(overall * 0.03) * 0.95;
    let mut s = Sketch::new(around(0.0, -thick, overall, thick), step, pointed);
    let handle = overall - blade;
    if handle > 1.0 {
        // A turned handle: ferrule, swell, waist, swell, rounded end.
        let shape = [
            (0.0, 0.55),
            (0.04, 0.62),
            (0.06, 0.8),
            (0.3, 1.0),
            (0.6, 0.78),
            (0.85, 0.95),
            (0.97, 0.75),
            (1.0, 0.4),
        ];
        let at = |(along, wide): (f64, f64), side: f64| [blade + along * handle, side * wide * thick];
        let mut outline: Vec<Point> = shape.iter().map(|&p| at(p, 1.0)).collect();
        outline.extend(shape.iter().rev().map(|&p| at(p, -1.0)));
        s.add(Role::Handle, Geometry::Outline(outline));
    }
    let half = thick * 0.5;
    s.add(
        Role::Tool,
        Geometry::Outline(vec![
            [0.0, half * 0.3],
            [half, half],
            [blade, half],
            [blade, -half],
            [half * 1.6, -half],
        ]),
    );
    s.distance(
        Mark::Of(Q::ToolLength),
        [0.0, thick],
        [overall, thick],
        0.8,
        length_text(overall, units),
        true,
    );
    s.distance(
        Mark::Of(Q::BladeLength),
        [0.0, -thick],
        [blade, -thick],
        -0.8,
        length_text(blade, units),
        true,
    );
    s
}
