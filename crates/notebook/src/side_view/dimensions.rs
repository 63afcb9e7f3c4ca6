//! The dimensions of a side view: bevel, gauge length, projection, reach, tilt.

use bevelbench_geometry::{
    Angle, Arm, DVec2, Face, Job, Seat, SideView, Support, Table, dimension::SHORTEST_MM,
};

use super::{SideLook, line, point};
use crate::drawing::{Align, Drawing, Geometry, Mark, Part, Role, TextSize};

pub(super) fn degrees(angle: Angle) -> String {
    crate::quantity::format_angle(angle.degrees(), 1)
}

/// A text that reads along a direction.
fn along_text(at: DVec2, text: String, direction: DVec2, size: TextSize, lift: f64) -> Geometry {
    let mut along = Angle::of(direction).wrapped();
    if along > Angle::QUARTER {
        along -= Angle::HALF;
    } else if along <= -Angle::QUARTER {
        along += Angle::HALF;
    }
    Geometry::Text { at: point(at), text, align: Align::Middle, along, size, lift }
}

/// A dimension between two points, drawn `off` to one side of them.
fn measure(d: &mut Drawing, part: Part, from: DVec2, to: DVec2, off: DVec2, text: String, size: TextSize) {
    let gap = off.normalize_or_zero() * 2.0;
    let (a, b) = (from + off, to + off);
    d.add(Role::Dimension, part, line(from + gap, a + gap));
    d.add(Role::Dimension, part, line(to + gap, b + gap));
    d.add(Role::Dimension, part, line(a, b));
    let along = Angle::of(b - a);
    d.add(Role::Dimension, part, Geometry::Mark { at: point(b), direction: along, mark: Mark::Arrow });
    d.add(
        Role::Dimension,
        part,
        Geometry::Mark { at: point(a), direction: along + Angle::HALF, mark: Mark::Arrow },
    );
    d.add(Role::Dimension, part, along_text(a.midpoint(b), text, b - a, size, 0.0));
}

/// Every dimension of a side view.
pub(super) fn dimensions(d: &mut Drawing, job: &Job, view: &SideView, look: &SideLook<'_>) {
    bevel(d, job, view);
    gauge(d, job, view, look);
    let share = job.setting.foreshortening();
    let (_, high) = job.tool.blank().height_span_mm();
    let up = view.axis_in_bench().perp();
    match job.setting.support {
        Support::Holder { arm, holder, reach_mm, projection_mm, .. } => {
            let level = high.max(holder.spec().body_height_mm / 2.0) + 12.0;
            let face = view.bench_from_tool(DVec2::new(projection_mm * share, level));
            let nose = view.bench_from_tool(DVec2::new(0.0, level));
            let text = (look.length)(projection_mm);
            let (from, to) = (
                view.bench_from_tool(DVec2::new(0.0, high)),
                view.bench_from_tool(DVec2::new(projection_mm * share, holder.spec().body_height_mm / 2.0)),
            );
            d.add(Role::Dimension, Part::Projection, line(from + up * 2.0, nose + up * 3.0));
            d.add(Role::Dimension, Part::Projection, line(to + up * 2.0, face + up * 3.0));
            measure(d, Part::Projection, nose, face, DVec2::ZERO, text.clone(), TextSize::Strong);
            d.title(Part::Projection, format!("Projection {text}"));
            reach_dimension(d, &arm, reach_mm, look);
        }
        Support::Handle { arm, reach_mm, .. } => reach_dimension(d, &arm, reach_mm, look),
        Support::Table { table, tilt } => tilt_dimension(d, &table, tilt),
    }
    if share < 1.0 {
        let up = job.wheel.spec().diameter_new_mm / 2.0 + 12.0;
        let at = DVec2::new(-up, up);
        let geometry = Geometry::Text {
            at: point(at),
            text: "drawn square to the oblique edge".to_owned(),
            align: Align::Start,
            along: Angle::ZERO,
            size: TextSize::Normal,
            lift: 0.0,
        };
        d.add(Role::Dimension, None, geometry);
    }
}

/// The bevel at the edge, as an angle.
fn bevel(d: &mut Drawing, job: &Job, view: &SideView) {
    let contact = view.contact_in_bench;
    let axis = view.axis_in_bench();
    // The bevel: from the face at the edge round to the tool's axis.
    let along_axis = Angle::of(axis);
    let start = along_axis - view.bevel();
    let radius = 34.0;
    let rest = match job.setting.face {
        Face::Round { radius_mm } => (radius_mm * 0.75).min(54.0),
        Face::Flat { .. } => 54.0,
    };
    d.add(Role::Construction, Part::Bevel, line(contact, contact + start.direction() * rest));
    d.add(Role::Construction, Part::Bevel, line(contact, contact + axis * rest));
    d.add(
        Role::AngleArc,
        Part::Bevel,
        Geometry::Arc { centre: point(contact), radius, start, sweep: view.bevel() },
    );
    let middle = contact + (start + view.bevel() / 2.0).direction() * (radius + 11.0);
    d.add(
        Role::AngleArc,
        Part::Bevel,
        along_text(middle, degrees(view.bevel()), DVec2::X, TextSize::Strong, 0.0),
    );
    d.title(
        Part::Bevel,
        format!(
            "Bevel at the edge {}, across the facet {}",
            degrees(view.bevel()),
            degrees(view.facet.across)
        ),
    );
}

/// The gauge length, pivot to rim.
fn gauge(d: &mut Drawing, job: &Job, view: &SideView, look: &SideLook<'_>) {
    let Seat::Pivot { in_bench, gauge_length_mm, .. } = view.seat else { return };
    let foot = match job.setting.face {
        Face::Round { radius_mm } => in_bench * (radius_mm / in_bench.length().max(SHORTEST_MM)),
        Face::Flat { normal } => in_bench - normal.direction() * gauge_length_mm,
    };
    d.add(Role::Gauge, Part::Gauge, line(in_bench, foot));
    d.add(
        Role::Gauge,
        Part::Gauge,
        Geometry::Mark { at: point(foot), direction: Angle::ZERO, mark: Mark::Dot },
    );
    d.add(
        Role::Gauge,
        Part::Gauge,
        along_text(
            foot.lerp(in_bench, 0.46),
            (look.length)(gauge_length_mm),
            in_bench - foot,
            TextSize::Strong,
            0.0,
        ),
    );
    d.title(Part::Gauge, format!("Gauge length {}", (look.length)(gauge_length_mm)));
}

/// The table's tilt against level.
fn tilt_dimension(d: &mut Drawing, table: &Table, tilt: Angle) {
    let [_, rear] = table.surface_in_bench(tilt);
    let hinge = table.surface_point_in_bench(tilt, 0.0);
    if tilt.abs().degrees() > 0.3 {
        let radius = (rear - hinge).length() * 0.85;
        d.add(Role::Construction, Part::Table, line(hinge, hinge + DVec2::X * (radius + 12.0)));
        d.add(
            Role::Dimension,
            Part::Table,
            Geometry::Arc { centre: point(hinge), radius, start: Angle::ZERO, sweep: tilt },
        );
        let at = hinge + (tilt / 2.0).direction() * (radius + 16.0);
        d.add(Role::Dimension, Part::Table, along_text(at, degrees(tilt), DVec2::X, TextSize::Normal, 0.0));
    }
}

fn reach_dimension(d: &mut Drawing, arm: &Arm, reach_mm: f64, look: &SideLook<'_>) {
    if reach_mm.abs() < 12.0 {
        return;
    }
    let down = -arm.along().perp();
    let (zero, pivot) = (arm.pivot_in_bench(0.0), arm.pivot_in_bench(reach_mm));
    let text = (look.length)(reach_mm);
    measure(d, Part::Cup, zero + down * 14.0, pivot + down * 14.0, down * 14.0, text, TextSize::Normal);
}
