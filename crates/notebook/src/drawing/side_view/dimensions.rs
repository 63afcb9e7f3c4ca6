//! The dimensions of a side view: bevel, gauge length, projection, reach, tilt.

use bevelbench_geometry::{
    DVec2,
    math::{Angle, dimension::SHORTEST_MM},
    parts::{Arm, Face, Table},
    side::{Job, Seat, SideView, Support},
};

use crate::{
    drawing::{
        shape::{Align, Drawing, Geometry, Mark, Role, TextSize},
        side_view::{
            lines::{line, point},
            look::SideLook,
        },
    },
    saved::part::Part,
};

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
    bevel(d, job, view, look);
    gauge(d, job, view, look);
    let fraction = job.setting.foreshortening();
    let (_, high) = job.tool.blank().height_span_mm();
    let up = view.axis_in_bench().perp();
    match job.setting.support {
        Support::Holder { arm, holder, reach_mm, projection_mm, .. } => {
            let level = high.max(holder.spec().body_height_mm / 2.0) + 12.0;
            let face = view.bench_from_tool(DVec2::new(projection_mm * fraction, level));
            let nose = view.bench_from_tool(DVec2::new(0.0, level));
            let text = (look.length)(projection_mm);
            let (from, to) = (
                view.bench_from_tool(DVec2::new(0.0, high)),
                view.bench_from_tool(DVec2::new(
                    projection_mm * fraction,
                    holder.spec().body_height_mm / 2.0,
                )),
            );
            d.add(Role::Dimension, Part::Projection, line(from + up * 2.0, nose + up * 3.0));
            d.add(Role::Dimension, Part::Projection, line(to + up * 2.0, face + up * 3.0));
            measure(d, Part::Projection, nose, face, DVec2::ZERO, text.clone(), TextSize::Strong);
            d.title(Part::Projection, format!("Projection {text}"));
            reach_dimension(d, &arm, reach_mm, look);
        }
        Support::Handle { arm, reach_mm, .. } => reach_dimension(d, &arm, reach_mm, look),
        Support::Table { table, tilt } => tilt_dimension(d, job, &table, tilt),
    }
    if look.all_dimensions {
        set_once(d, job, view, look);
    }
    if fraction < 1.0 {
        let aside = job.wheel.spec().diameter_new_mm / 2.0 + 12.0;
        let above = if look.all_dimensions { aside + 26.0 } else { aside };
        let geometry = Geometry::Text {
            at: [-aside, above],
            text: "drawn square to the oblique edge".to_owned(),
            align: Align::Start,
            along: Angle::ZERO,
            size: TextSize::Normal,
            lift: 0.0,
        };
        d.add(Role::Dimension, None, geometry);
    }
}

/// What is measured once for a bench: the wheel, the spindle's height, and the strut's angle where there is one.
fn set_once(d: &mut Drawing, job: &Job, view: &SideView, look: &SideLook<'_>) {
    if let Face::Round { radius_mm } = job.setting.face {
        let above = DVec2::Y * (job.wheel.spec().diameter_new_mm / 2.0 + 18.0);
        let text = (look.length)(2.0 * radius_mm);
        let (from, to) = (-DVec2::X * radius_mm, DVec2::X * radius_mm);
        measure(d, Part::Rim, from, to, above, text, TextSize::Normal);
    }
    let bench = DVec2::new(0.0, -job.grinder.spindle_height_mm());
    let aside = -DVec2::X * (job.wheel.spec().diameter_new_mm / 2.0 + 30.0);
    let text = (look.length)(job.grinder.spindle_height_mm());
    measure(d, Part::Bench, bench, DVec2::ZERO, aside, text, TextSize::Normal);
    if let (Support::Holder { strut_angle, .. }, Some([hinge, pivot])) =
        (job.setting.support, job.strut_in_bench(view))
    {
        let start = Angle::of(view.axis_in_bench());
        let sweep = (Angle::of(pivot - hinge) - start).wrapped();
        let radius = ((pivot - hinge).length() * 0.5).clamp(12.0, 30.0);
        let arc = Geometry::Arc { centre: point(hinge), radius, start, sweep };
        d.add(Role::Dimension, Part::Strut, arc);
        let at = hinge + (start + sweep / 2.0).direction() * (radius + 11.0);
        let text = along_text(at, degrees(strut_angle), DVec2::X, TextSize::Normal, 0.0);
        d.add(Role::Dimension, Part::Strut, text);
    }
}

/// The bevel at the edge, as an angle.
fn bevel(d: &mut Drawing, job: &Job, view: &SideView, look: &SideLook<'_>) {
    let contact = view.contact_in_bench;
    let axis = view.axis_in_bench();
    // The bevel: from the face at the edge round to the tool's axis.
    let start = Angle::of(axis) - view.bevel();
    let radius = 34.0;
    let rest = match job.setting.face {
        Face::Round { radius_mm } => (radius_mm * 0.75).min(54.0),
        Face::Flat { .. } => 54.0,
    };
    d.add(Role::Construction, Part::Bevel, line(contact, contact + start.direction() * rest));
    d.add(Role::Construction, Part::Bevel, line(contact, contact + axis * rest));
    let sweep = view.bevel();
    d.add(Role::AngleArc, Part::Bevel, Geometry::Arc { centre: point(contact), radius, start, sweep });
    // In the arc's widest room; at the far end of the face's line where none is wide enough.
    let (turn, far) = match bevel_text_place(job, view, look) {
        Some(turn) => (turn, radius + 12.0),
        None if sweep.degrees() < 30.0 => (Angle::from_degrees(-15.0), radius + 12.0),
        None => (Angle::from_degrees(-6.0), rest + 9.0),
    };
    let at = contact + (start + turn).direction() * far;
    d.add(
        Role::AngleArc,
        Part::Bevel,
        along_text(at, degrees(view.bevel()), DVec2::X, TextSize::Strong, 0.0),
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

/// Where the bevel's text stands, counted from the face at the edge towards the tool: in the middle of the widest room
/// that steel, table and roll line leave; nowhere if none is wide enough.
fn bevel_text_place(job: &Job, view: &SideView, look: &SideLook<'_>) -> Option<Angle> {
    let (stands_at, room) = (46.0, Angle::from_degrees(22.0));
    let (below, roll) = match view.seat {
        Seat::Plane { .. } => (9.0, None),
        Seat::Pivot { in_bench, .. } => {
            let along = Angle::of(in_bench - view.contact_in_bench);
            let start = Angle::of(view.axis_in_bench()) - view.bevel();
            let shown =
                matches!(job.setting.support, Support::Holder { .. }) && look.roll_centre_mm.is_some();
            (1.0, shown.then(|| (along - start).wrapped()))
        }
    };
    let steel = ((job.setting.edge.under_mm + below) / stands_at).clamp(0.0, 1.0).asin();
    let most = view.bevel() - Angle::from_radians(steel);
    let roll = roll.filter(|roll| *roll > Angle::ZERO && *roll < most);
    let (from, to) = match roll {
        Some(roll) if roll * 2.0 < most => (roll, most),
        Some(roll) => (Angle::ZERO, roll),
        None => (Angle::ZERO, most),
    };
    (to - from >= room).then(|| (from + to) / 2.0)
}

/// The gauge length, pivot to rim.
fn gauge(d: &mut Drawing, job: &Job, view: &SideView, look: &SideLook<'_>) {
    let Seat::Pivot { in_bench, gauge_length_mm, .. } = view.seat else { return };
    let foot = match job.setting.face {
        Face::Round { radius_mm } => in_bench * (radius_mm / in_bench.length().max(SHORTEST_MM)),
        Face::Flat { normal } => {
            let foot = in_bench - normal.direction() * gauge_length_mm;
            // The face goes on as a line where the plate ends before the foot.
            let [high, low, ..] = crate::drawing::side_view::lines::platen(job, Some(view));
            let (along, end) =
                if (foot - low).dot(high - low) < 0.0 { (low - high, low) } else { (high - low, high) };
            if (foot - end).dot(along) > 0.0 {
                let beyond = foot + along.normalize_or_zero() * 8.0;
                d.add(Role::Construction, Part::Gauge, line(end, beyond));
            }
            foot
        }
    };
    d.add(Role::Gauge, Part::Gauge, line(in_bench, foot));
    d.add(
        Role::Gauge,
        Part::Gauge,
        Geometry::Mark { at: point(foot), direction: Angle::ZERO, mark: Mark::Dot },
    );
    // On its line where that is long enough, beside it, away from the tool, where it is not.
    let across = (in_bench - foot).perp().normalize_or_zero();
    let away = if across.dot(view.contact_in_bench - foot) > 0.0 { -across } else { across };
    let at =
        if gauge_length_mm > 42.0 { foot.lerp(in_bench, 0.46) } else { foot.midpoint(in_bench) + away * 9.0 };
    let text = (look.length)(gauge_length_mm);
    d.add(Role::Gauge, Part::Gauge, along_text(at, text, in_bench - foot, TextSize::Strong, 0.0));
    d.title(Part::Gauge, format!("Gauge length {}", (look.length)(gauge_length_mm)));
}

/// The table's tilt against level, shown behind the table where only the tool is in the way.
fn tilt_dimension(d: &mut Drawing, job: &Job, table: &Table, tilt: Angle) {
    if tilt.abs().degrees() <= 0.3 {
        return;
    }
    let hinge = table.surface_point_in_bench(tilt, 0.0);
    let radius = table.spec().rear_mm.max(20.0) + 14.0;
    d.add(Role::Construction, Part::Table, line(hinge, hinge + DVec2::X * (radius + 12.0)));
    d.add(Role::Construction, Part::Table, line(hinge, hinge + tilt.direction() * (radius + 6.0)));
    d.add(
        Role::Dimension,
        Part::Table,
        Geometry::Arc { centre: point(hinge), radius, start: Angle::ZERO, sweep: tilt },
    );
    let (low, high) = job.tool.blank().height_span_mm();
    // The room between level and table; on a table that falls away the tool lies in it.
    let steel = if tilt.radians() < 0.0 { high - low } else { 0.0 };
    let open = radius * tilt.abs().sin() - steel;
    let at = if open > 16.0 {
        let middle = if tilt.radians() < 0.0 { tilt * (open / (open + steel) / 2.0) } else { tilt / 2.0 };
        hinge + middle.direction() * (radius + 13.0)
    } else {
        let level = if tilt.radians() < 0.0 { 7.0 + (-open).max(0.0) } else { -7.0 };
        hinge + DVec2::new(radius + 4.0, level)
    };
    d.add(Role::Dimension, Part::Table, along_text(at, degrees(tilt), DVec2::X, TextSize::Normal, 0.0));
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
