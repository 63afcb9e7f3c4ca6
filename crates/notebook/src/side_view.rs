//! The side view as a drawing: bench, grinder, wheel, support, tool and the dimensions that matter, to scale in bench
//! millimetres.

use bevelbench_geometry::{
    Angle, DVec2, Face, Job, Refusal, Seat, SideView, Support, dimension::SHORTEST_MM,
};

use crate::{
    drawing::{Align, Bounds, Drawing, Geometry, Mark, Part, Point, Role, Standing, TextSize, segment},
    outline::{blade, facet_points, handle, present_points},
};

pub use crate::outline::{blank_section, tool_outline};

/// How a side view is written on.
#[derive(Clone, Copy)]
pub struct SideLook<'a> {
    /// Writes a length with its unit.
    pub length: &'a dyn Fn(f64) -> String,
    /// Writes a small length, a hollow or a gap, with its unit.
    pub fine: &'a dyn Fn(f64) -> String,
    /// The roll centre above the bar's centreline, for a tool that is rolled.
    pub roll_centre_mm: Option<f64>,
    /// How the cutting edge of a gouge rises from nose to wing top, `(s, h)` in the tool frame; straight across if
    /// empty.
    pub wing: &'a [DVec2],
    /// Whether dimensions are drawn.
    pub dimensions: bool,
}

impl std::fmt::Debug for SideLook<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("SideLook").field("roll_centre_mm", &self.roll_centre_mm).finish_non_exhaustive()
    }
}

impl<'a> SideLook<'a> {
    /// The usual look with these ways to write lengths.
    #[must_use]
    pub fn new(length: &'a dyn Fn(f64) -> String, fine: &'a dyn Fn(f64) -> String) -> Self {
        Self { length, fine, roll_centre_mm: None, wing: &[], dimensions: true }
    }
}

fn point(p: DVec2) -> Point {
    [p.x, p.y]
}

fn outline(points: impl IntoIterator<Item = DVec2>) -> Geometry {
    Geometry::Outline(points.into_iter().map(point).collect())
}

fn line(from: DVec2, to: DVec2) -> Geometry {
    segment(point(from), point(to))
}

/// A bar of a thickness around a line.
fn bar(from: DVec2, to: DVec2, half: f64) -> Geometry {
    let aside = (to - from).normalize_or_zero().perp() * half;
    outline([from + aside, to + aside, to - aside, from - aside])
}

/// A link between two pins, with round ends.
fn link(from: DVec2, to: DVec2, from_radius: f64, to_radius: f64) -> Geometry {
    let along = Angle::of(to - from);
    let cap = |centre: DVec2, radius: f64, start: Angle| {
        (0..=12).map(move |i| centre + radius * (start + Angle::HALF * (f64::from(i) / 12.0)).direction())
    };
    let quarter = Angle::QUARTER;
    outline(cap(from, from_radius, along + quarter).chain(cap(to, to_radius, along - quarter)))
}

/// The side view of a job that has an answer.
#[must_use]
pub fn side_view(job: &Job, view: &SideView, look: &SideLook<'_>) -> Drawing {
    let mut d = Drawing::new();
    surroundings(&mut d, job, look);
    support_behind(&mut d, job, Some(view), look);
    tool(&mut d, job, view, look);
    holder(&mut d, job, view, look);
    pivot_mark(&mut d, job);
    facet_and_edge(&mut d, job, view, look);
    if look.dimensions {
        dimensions(&mut d, job, view, look);
    }
    d
}

/// The part of a side view that should be seen when all of it does not fit: the wheel, what carries the tool, and the
/// tool as far as its holder.
#[must_use]
pub fn focus(job: &Job, view: Option<&SideView>) -> Option<Bounds> {
    let mut points: Vec<Point> = Vec::new();
    match job.setting.face {
        Face::Round { .. } => {
            let r = job.wheel.spec().diameter_new_mm / 2.0 + 6.0;
            points.extend([[-r, -r], [r, r]]);
        }
        Face::Flat { .. } => points.extend(platen(job).iter().map(|p| point(*p))),
    }
    if let Some((pivot, _)) = job.setting.pivot() {
        points.extend([[pivot.x + 42.0, pivot.y - 34.0], point(pivot)]);
    }
    if let Support::Table { table, tilt } = job.setting.support {
        points.extend(table.surface_in_bench(tilt).map(point));
        points.push([table.spec().hinge_in_bench.x + 90.0, table.spec().hinge_in_bench.y - 60.0]);
    }
    if let Some(view) = view {
        points.extend(job.holder_corners_in_bench(view).into_iter().flatten().map(point));
        let beyond = match job.setting.support {
            Support::Holder { holder, projection_mm, .. } => {
                projection_mm + holder.spec().body_length_mm + 30.0
            }
            Support::Handle { tool_length_mm, .. } => tool_length_mm,
            Support::Table { .. } => 150.0,
        };
        points.push(point(view.bench_from_tool(DVec2::new(beyond * job.setting.foreshortening(), 0.0))));
    }
    Bounds::around(points)
}

/// Bench, grinder and wheel.
fn surroundings(d: &mut Drawing, job: &Job, look: &SideLook<'_>) {
    let top = -job.grinder.spindle_height_mm();
    let front = job.grinder.bench_front_mm();
    let new_radius = job.wheel.spec().diameter_new_mm / 2.0;
    let back = -(new_radius + 95.0);
    let bench = [
        DVec2::new(back, top),
        DVec2::new(front, top),
        DVec2::new(front, top - 18.0),
        DVec2::new(back, top - 18.0),
    ];
    d.add(Role::Bench, Part::Bench, outline(bench));
    d.title(Part::Bench, format!("Bench top, {} below the spindle", (look.length)(-top)));
    // The grinder's foot stands behind the wheel.
    let foot = [
        DVec2::new(-46.0, top),
        DVec2::new(46.0, top),
        DVec2::new(38.0, top + 10.0),
        DVec2::new(24.0, top + 16.0),
        DVec2::new(22.0, 0.0),
        DVec2::new(-22.0, 0.0),
        DVec2::new(-24.0, top + 16.0),
        DVec2::new(-38.0, top + 10.0),
    ];
    d.add(Role::TablePost, None, outline(foot));
    match job.setting.face {
        Face::Round { radius_mm } => wheel(d, job, radius_mm, look),
        Face::Flat { .. } => {
            d.add(Role::Wheel, Part::Rim, outline(platen(job)));
            d.title(Part::Rim, "Flat abrasive face".to_owned());
        }
    }
}

fn wheel(d: &mut Drawing, job: &Job, radius: f64, look: &SideLook<'_>) {
    let centre = [0.0, 0.0];
    let spec = job.wheel.spec();
    let new_radius = spec.diameter_new_mm / 2.0;
    d.add(Role::Wheel, Part::Rim, Geometry::Circle { centre, radius });
    if new_radius - radius > 0.2 {
        d.add(Role::WheelNew, Part::Rim, Geometry::Circle { centre, radius: new_radius });
    }
    let least = spec.diameter_least_mm / 2.0;
    if least > 12.0 && radius - least > 1.5 {
        d.add(Role::WheelLeast, None, Geometry::Circle { centre, radius: least });
    }
    let flange = (radius * 0.2).clamp(8.0, 24.0);
    d.add(Role::Spindle, None, Geometry::Circle { centre, radius: flange });
    d.add(Role::Spindle, None, Geometry::Circle { centre, radius: flange * 0.42 });
    // The top runs towards the operator: clockwise with the operator at the right.
    let arrow = radius * 0.62;
    let (start, sweep) = (Angle::from_degrees(152.0), Angle::from_degrees(-50.0));
    d.add(Role::Rotation, None, Geometry::Arc { centre, radius: arrow, start, sweep });
    let tip = (start + sweep).direction() * arrow;
    let direction = start + sweep - Angle::QUARTER;
    d.add(Role::Rotation, None, Geometry::Mark { at: point(tip), direction, mark: Mark::Arrow });
    let reach = new_radius + 9.0;
    for along in [DVec2::X, DVec2::Y] {
        d.add(Role::Construction, None, line(along * -reach, along * reach));
    }
    let worn = new_radius - radius;
    let words = if worn > 0.05 {
        format!("Wheel {} across, new {}", (look.length)(2.0 * radius), (look.length)(2.0 * new_radius))
    } else {
        format!("Wheel {} across, as new", (look.length)(2.0 * radius))
    };
    d.title(Part::Rim, words);
}

/// The plate of a flat abrasive.
fn platen(job: &Job) -> [DVec2; 4] {
    let Face::Flat { normal } = job.setting.face else { return [DVec2::ZERO; 4] };
    let n = normal.direction();
    let half = n.perp() * (job.wheel.diameter_mm() / 2.0).clamp(20.0, 600.0);
    [half, -half, -half - n * 14.0, half - n * 14.0]
}

/// The arm and the cup, or the table.
fn support_behind(d: &mut Drawing, job: &Job, view: Option<&SideView>, look: &SideLook<'_>) {
    match job.setting.support {
        Support::Handle { arm, reach_mm, .. } | Support::Holder { arm, reach_mm, .. } => {
            let along = arm.along();
            let down = -along.perp();
            let travel = arm.travel();
            // An arm that goes on beyond the page ends in a break.
            let shown = travel.most_mm.min((reach_mm + 70.0).max(travel.least_mm + 40.0));
            let from = arm.pivot_in_bench(travel.least_mm.min(0.0) - 8.0) + down * 9.0;
            let to = arm.pivot_in_bench(shown + if shown < travel.most_mm { 0.0 } else { 10.0 }) + down * 9.0;
            d.add(Role::Arm, Part::Arm, bar(from, to, 5.0));
            let zero = arm.pivot_in_bench(0.0);
            d.add(Role::Dimension, Part::Arm, line(zero + down * 4.0, zero + down * 14.0));
            if shown < travel.most_mm {
                let wave = |k: f64| {
                    to + along * (2.5 * (k * std::f64::consts::PI).sin())
                        + down * (9.0 * (k - 0.5) * 2.0 / 1.6)
                };
                let points = (0..=20).map(|i| point(wave(f64::from(i) / 20.0))).collect();
                d.add(Role::Dimension, Part::Arm, Geometry::Line(points));
            }
            cup(d, arm.pivot_in_bench(reach_mm), along);
            d.title(
                Part::Arm,
                format!("Arm, reach {} to {}", (look.length)(travel.least_mm), (look.length)(travel.most_mm)),
            );
            d.title(Part::Cup, format!("Arm reach {}", (look.length)(reach_mm)));
        }
        Support::Table { table, tilt } => {
            let [front, rear] = table.surface_in_bench(tilt);
            let down = -tilt.direction().perp();
            let hinge = table.spec().hinge_in_bench;
            let bench_top = -job.grinder.spindle_height_mm();
            let post_top = (hinge.y - 4.0).max(bench_top + 2.0);
            let post = [
                DVec2::new(hinge.x - 7.0, bench_top),
                DVec2::new(hinge.x + 7.0, bench_top),
                DVec2::new(hinge.x + 6.0, post_top),
                DVec2::new(hinge.x - 6.0, post_top),
            ];
            d.add(Role::TablePost, None, outline(post));
            let thick = 6.0;
            // The front is chamfered below, as a table that comes close to a wheel is.
            let along = tilt.direction();
            d.add(
                Role::Table,
                Part::Table,
                outline([front, rear, rear + down * thick, front + along * thick * 0.9 + down * thick]),
            );
            d.add(Role::Spindle, None, Geometry::Circle { centre: point(hinge), radius: 4.5 });
            let gap = view.map_or(String::new(), |view| match view.seat {
                Seat::Plane { rest_gap_mm, .. } => {
                    format!(", gap to the wheel {}", (look.length)(rest_gap_mm))
                }
                Seat::Pivot { .. } => String::new(),
            });
            d.title(Part::Table, format!("Table tilt {}{gap}", degrees(tilt)));
        }
    }
}

fn cup(d: &mut Drawing, pivot: DVec2, along: DVec2) {
    let up = along.perp();
    let rim = |x: f64, y: f64| pivot + along * x + up * y;
    let body = [
        rim(-9.0, 1.5),
        rim(-5.5, 1.5),
        rim(-4.0, -2.5),
        rim(0.0, -4.0),
        rim(4.0, -2.5),
        rim(5.5, 1.5),
        rim(9.0, 1.5),
        rim(9.0, -7.0),
        rim(-9.0, -7.0),
    ];
    d.add(Role::Cup, Part::Cup, outline(body));
}

fn pivot_mark(d: &mut Drawing, job: &Job) {
    if let Some((pivot, _)) = job.setting.pivot() {
        d.add(
            Role::Pivot,
            Part::Cup,
            Geometry::Mark { at: point(pivot), direction: Angle::ZERO, mark: Mark::Dot },
        );
    }
}

/// Blade and handle.
fn tool(d: &mut Drawing, job: &Job, view: &SideView, look: &SideLook<'_>) {
    let share = job.setting.foreshortening();
    let to_bench = |p: DVec2| view.bench_from_tool(p);
    let overall = match job.setting.support {
        Support::Handle { tool_length_mm, .. } => tool_length_mm,
        _ => job.tool.overall_length_mm(),
    };
    let blade_end = job.tool.blade_length_mm().min(overall) * share;
    let (low, high) = job.tool.blank().height_span_mm();
    let grip = handle(blade_end - 2.0, overall * share, high - low);
    if !grip.is_empty() {
        d.add(Role::Handle, Part::Handle, outline(grip.into_iter().map(to_bench)));
        let ferrule = [(-2.0, 1.0), (12.0, 1.0), (12.0, -1.0), (-2.0, -1.0)].map(|(s, side)| {
            let r = ((high - low) * 0.95).clamp(9.0, 15.0) * 0.74;
            to_bench(DVec2::new(blade_end + s, side * r))
        });
        d.add(Role::Holder, Part::Handle, outline(ferrule));
    }
    let facet = facet_points(&view.facet);
    let points = blade(job.tool.blank(), &facet, look.wing, blade_end);
    d.add(Role::Tool, Part::Tool, outline(points.into_iter().map(to_bench)));
    if let bevelbench_geometry::Blank::Bar(bar) = job.tool.blank() {
        let floor = bar.flute().floor_mm();
        let end = blade_end * 0.72;
        let hidden = [DVec2::new(0.0, floor), DVec2::new(end * 0.9, floor), DVec2::new(end, high)];
        d.add(Role::ToolHidden, Part::Tool, Geometry::Line(hidden.map(|p| point(to_bench(p))).to_vec()));
    }
    let name = match job.setting.support {
        Support::Holder { projection_mm, .. } => format!("Tool, drawn out {}", (look.length)(projection_mm)),
        Support::Handle { tool_length_mm, .. } => format!("Tool, {} long", (look.length)(tool_length_mm)),
        Support::Table { .. } => "Tool, flat on the table".to_owned(),
    };
    d.title(Part::Tool, name);
    d.title(Part::Handle, format!("Handle, {} below the horizontal", degrees(view.handle_angle)));
}

/// The holder's body and its strut.
fn holder(d: &mut Drawing, job: &Job, view: &SideView, look: &SideLook<'_>) {
    let Support::Holder { projection_mm, strut_angle, .. } = job.setting.support else { return };
    let (Some(corners), Some([hinge, pivot])) = (job.holder_corners_in_bench(view), job.strut_in_bench(view))
    else {
        return;
    };
    d.add(Role::Strut, Part::Strut, link(hinge, pivot, 3.4, 2.4));
    d.add(Role::Holder, Part::Holder, outline(corners));
    // The clamp screw, from above.
    let [_, _, rear_top, front_top] = corners;
    let along = (rear_top - front_top).normalize_or_zero();
    let up = along.perp();
    let middle = front_top.midpoint(rear_top);
    d.add(Role::Holder, Part::Holder, bar(middle, middle + up * 7.0, 2.0));
    d.add(
        Role::Holder,
        Part::Holder,
        bar(middle + up * 7.0 - along * 5.0, middle + up * 7.0 + along * 5.0, 1.8),
    );
    d.add(Role::Spindle, Part::Strut, Geometry::Circle { centre: point(hinge), radius: 3.4 });
    d.title(Part::Holder, format!("Holder, {} behind the edge", (look.length)(projection_mm)));
    d.title(Part::Strut, format!("Strut angle {}", degrees(strut_angle)));
    if let Some(centre) = look.roll_centre_mm {
        let end = view.bench_from_tool(DVec2::new(0.0, centre));
        let beyond = end + (end - pivot).normalize_or_zero() * 26.0;
        d.add(Role::RollLine, Part::RollLine, line(pivot, beyond));
        d.title(
            Part::RollLine,
            format!("Roll line, {} above the bar’s centreline at the nose", (look.length)(centre)),
        );
    }
}

fn facet_and_edge(d: &mut Drawing, job: &Job, view: &SideView, look: &SideLook<'_>) {
    let edge = DVec2::new(0.0, view.edge_height_mm);
    let points = facet_points(&view.facet).iter().map(|p| point(view.bench_from_tool(edge + *p))).collect();
    d.add(Role::Facet, Part::Facet, Geometry::Line(points));
    d.title(
        Part::Facet,
        format!("Facet {}, hollow {}", (look.length)(view.facet.width_mm), (look.fine)(view.facet.hollow_mm)),
    );
    let _ = job;
}

fn degrees(angle: Angle) -> String {
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

fn dimensions(d: &mut Drawing, job: &Job, view: &SideView, look: &SideLook<'_>) {
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

    if let Seat::Pivot { in_bench, gauge_length_mm, .. } = view.seat {
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
    let share = job.setting.foreshortening();
    let (_, high) = job.tool.blank().height_span_mm();
    let up = axis.perp();
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
        Support::Table { table, tilt } => {
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
                d.add(
                    Role::Dimension,
                    Part::Table,
                    along_text(at, degrees(tilt), DVec2::X, TextSize::Normal, 0.0),
                );
            }
        }
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

fn reach_dimension(d: &mut Drawing, arm: &bevelbench_geometry::Arm, reach_mm: f64, look: &SideLook<'_>) {
    if reach_mm.abs() < 12.0 {
        return;
    }
    let down = -arm.along().perp();
    let (zero, pivot) = (arm.pivot_in_bench(0.0), arm.pivot_in_bench(reach_mm));
    let text = (look.length)(reach_mm);
    measure(d, Part::Cup, zero + down * 14.0, pivot + down * 14.0, down * 14.0, text, TextSize::Normal);
}

/// What was attempted, as far as it goes, with the limit marked. The parts that stand whatever the answer is are drawn
/// solid, the attempt as one.
#[must_use]
pub fn attempt_view(job: &Job, look: &SideLook<'_>) -> Drawing {
    let mut d = Drawing::new();
    surroundings(&mut d, job, look);
    support_behind(&mut d, job, None, look);
    pivot_mark(&mut d, job);
    let quiet = SideLook { dimensions: false, ..*look };
    let mut attempt = Drawing::new();
    match job.setting.evaluate_off_travel() {
        Ok(view) => {
            tool(&mut attempt, job, &view, &quiet);
            holder(&mut attempt, job, &view, &quiet);
            facet_and_edge(&mut attempt, job, &view, &quiet);
        }
        Err(_) => {
            // No triangle: the edge as near to the rim as the tool can bring it.
            if let Some((pivot, in_tool)) = job.setting.pivot() {
                let length = (in_tool - DVec2::new(0.0, job.setting.edge.height_mm)).length();
                let towards = -pivot.normalize_or_zero();
                let nearest = pivot + towards * length;
                attempt.add(Role::Tool, Part::Tool, bar(pivot, nearest, 2.0));
                attempt.add(
                    Role::Edge,
                    Part::Edge,
                    Geometry::Mark { at: point(nearest), direction: Angle::ZERO, mark: Mark::Cross },
                );
            }
        }
    }
    d.overlay(attempt.standing(Standing::Attempt));
    if let Err(refusal) = job.evaluate() {
        limit(&mut d, job, &refusal, look);
    }
    d
}

/// Marks what stops the attempt.
fn limit(d: &mut Drawing, job: &Job, refusal: &Refusal, look: &SideLook<'_>) {
    let note = |d: &mut Drawing, at: DVec2, text: String| {
        let geometry = Geometry::Text {
            at: point(at),
            text,
            align: Align::Start,
            along: Angle::ZERO,
            size: TextSize::Normal,
            lift: 0.8,
        };
        d.add(Role::Limit, None, geometry);
    };
    match (*refusal, job.setting.support) {
        (
            Refusal::ReachOffArm { reach_mm, least_mm, most_mm },
            Support::Handle { arm, .. } | Support::Holder { arm, .. },
        ) => {
            let end = if reach_mm > most_mm { most_mm } else { least_mm };
            let at = arm.pivot_in_bench(end);
            let aside = arm.along().perp() * 26.0;
            d.add(Role::Limit, None, line(at - aside, at + aside));
            note(d, at + aside, format!("the arm ends at {}", (look.length)(end)));
        }
        (
            Refusal::PivotTooFar { most_mm, .. } | Refusal::PivotTooNear { least_mm: most_mm, .. },
            Support::Handle { .. } | Support::Holder { .. },
        ) => {
            if let (Some((pivot, _)), Face::Round { .. }) = (job.setting.pivot(), job.setting.face) {
                let start = Angle::of(pivot) - Angle::from_degrees(22.0);
                let sweep = Angle::from_degrees(44.0);
                d.add(Role::Limit, None, Geometry::Arc { centre: [0.0, 0.0], radius: most_mm, start, sweep });
                let at = (start + sweep).direction() * most_mm;
                note(d, at, format!("{} from the wheel’s centre", (look.length)(most_mm)));
            }
        }
        (Refusal::PivotInWheel { .. }, _) => {
            if let Some((pivot, _)) = job.setting.pivot() {
                d.add(
                    Role::Limit,
                    None,
                    Geometry::Mark { at: point(pivot), direction: Angle::ZERO, mark: Mark::Cross },
                );
                note(d, pivot + DVec2::new(6.0, 6.0), "the pivot is inside the wheel".to_owned());
            }
        }
        (Refusal::WheelWornOut { least_mm, .. }, _) => {
            let radius = least_mm / 2.0;
            d.add(Role::Limit, None, Geometry::Circle { centre: [0.0, 0.0], radius });
            note(d, DVec2::new(0.0, radius + 4.0), format!("least {}", (look.length)(least_mm)));
        }
        (Refusal::TiltOffTravel { tilt, least, most }, Support::Table { table, .. }) => {
            let end = if tilt > most { most } else { least };
            let [front, rear] = table.surface_in_bench(end);
            d.add(Role::Limit, None, line(front, rear));
            note(d, rear, format!("the table stops at {}", degrees(end)));
        }
        (
            Refusal::TableOutOfReach { .. } | Refusal::TableCatchesWheel { .. },
            Support::Table { table, tilt },
        ) => {
            let [front, rear] = table.surface_in_bench(tilt);
            d.add(Role::Limit, None, line(front, rear));
            let words = if matches!(refusal, Refusal::TableCatchesWheel { .. }) {
                "the table would catch the wheel"
            } else {
                "the table’s plane misses the wheel"
            };
            note(d, rear, words.to_owned());
        }
        (Refusal::HandleThroughBench { .. }, _) => {
            let top = -job.grinder.spindle_height_mm();
            let front = job.grinder.bench_front_mm();
            d.add(Role::Limit, None, line(DVec2::new(front - 120.0, top), DVec2::new(front, top)));
            note(d, DVec2::new(front - 110.0, top + 2.0), "the handle would go through the bench".to_owned());
        }
        _ => {}
    }
}

/// The surroundings of the contact, to be looked at many times enlarged: the wheel's rim, the tip, the facet that this
/// setting grinds, and the facet as it is, settled on the wheel, with its gaps. Ink goes where the gap is below
/// `film_mm`.
#[must_use]
pub fn loupe_view(job: &Job, view: &SideView, look: &SideLook<'_>, film_mm: f64) -> Drawing {
    let mut d = Drawing::new();
    let contact = view.contact_in_bench;
    let (_, seen) = loupe_centre_and_radius(job, view);
    match job.setting.face {
        Face::Round { radius_mm } => {
            // A piece of the wheel large enough to fill the glass, finely drawn.
            let middle = Angle::of(contact);
            let half = Angle::from_radians((3.0 * seen / radius_mm).min(1.2));
            let rim = |share: f64| (middle - half + half * (2.0 * share)).direction();
            let mut body: Vec<DVec2> = (0..=160).map(|i| rim(f64::from(i) / 160.0) * radius_mm).collect();
            let deep = (radius_mm - 4.0 * seen).max(radius_mm * 0.2);
            body.extend([rim(1.0) * deep, rim(0.0) * deep]);
            d.add(Role::Wheel, Part::Rim, outline(body));
        }
        Face::Flat { .. } => d.add(Role::Wheel, Part::Rim, outline(platen(job))),
    }
    let edge = DVec2::new(0.0, view.edge_height_mm);
    let facet = facet_points(&view.facet);
    let end = (6.0 * seen).min(job.tool.blade_length_mm());
    let points = blade(job.tool.blank(), &facet, look.wing, end);
    d.add(Role::Tool, Part::Tool, outline(points.into_iter().map(|p| view.bench_from_tool(p))));
    let ground: Vec<Point> = facet.iter().map(|p| point(view.bench_from_tool(edge + *p))).collect();
    d.add(Role::Facet, Part::Facet, Geometry::Line(ground));
    d.title(
        Part::Facet,
        format!("Facet {}, hollow {}", (look.length)(view.facet.width_mm), (look.fine)(view.facet.hollow_mm)),
    );

    let inward = -contact.normalize_or_zero();
    if let Some(Ok(touch)) = job.tool.present().map(|present| job.setting.settle(present)) {
        present_facet(&mut d, job, view, &touch, film_mm);
        if touch.edge_gap_mm > film_mm {
            d.title(Part::Edge, format!("Edge: gap {} as the tool is now", (look.fine)(touch.edge_gap_mm)));
        }
        if touch.heel_gap_mm > film_mm {
            d.title(Part::Heel, format!("Heel: gap {} as the tool is now", (look.fine)(touch.heel_gap_mm)));
        }
    }
    let heel = view.heel_in_bench();
    let label = |d: &mut Drawing, part: Part, role: Role, at: DVec2, text: &str| {
        d.add(role, part, Geometry::Mark { at: point(at), direction: Angle::ZERO, mark: Mark::Dot });
        let text_at = at + inward * (seen * 0.24);
        d.add(
            role,
            part,
            Geometry::Text {
                at: point(text_at),
                text: text.to_owned(),
                align: Align::Middle,
                along: Angle::ZERO,
                size: TextSize::Small,
                lift: 0.0,
            },
        );
    };
    label(&mut d, Part::Edge, Role::Edge, contact, "edge");
    label(&mut d, Part::Heel, Role::Heel, heel, "heel");
    d
}

/// The facet as it is, laid on the wheel as it settles, in the frame of the wheel.
fn present_facet(
    d: &mut Drawing,
    job: &Job,
    view: &SideView,
    touch: &bevelbench_geometry::Touch,
    film_mm: f64,
) {
    let Some(present) = job.tool.present() else { return };
    // The settled tool stands turned against the ideal one; seen from the wheel's centre the contact is where the edge
    // is, so the tool frame of the settled tool is placed by its wheel.
    let Some((settled_edge, along)) = settled_frame(job, view, touch) else { return };
    let to_bench = |p: DVec2| settled_edge + along * p.x + along.perp() * p.y;
    let points: Vec<DVec2> = present_points(present).into_iter().collect();
    d.add(
        Role::FacetPresent,
        Part::Facet,
        Geometry::Line(points.iter().map(|p| point(to_bench(*p))).collect()),
    );
    let mut run: Vec<Point> = Vec::new();
    for i in 0..=64 {
        let p = present.point_at(f64::from(i) / 64.0);
        if touch.gap_at_mm(job.setting.face, p) <= film_mm {
            run.push(point(to_bench(p)));
        } else if run.len() > 1 {
            d.add(Role::Ink, Part::Facet, Geometry::Line(std::mem::take(&mut run)));
        } else {
            run.clear();
        }
    }
    if run.len() > 1 {
        d.add(Role::Ink, Part::Facet, Geometry::Line(run));
    }
}

/// Where the edge of the settled tool lies in the bench frame, and its axis.
fn settled_frame(job: &Job, view: &SideView, touch: &bevelbench_geometry::Touch) -> Option<(DVec2, DVec2)> {
    match (view.seat, job.setting.face) {
        (Seat::Pivot { in_bench, in_tool, .. }, Face::Round { .. }) => {
            // Two points are known in both frames: the pivot and the wheel's centre.
            let pivot = in_tool - DVec2::new(0.0, view.edge_height_mm);
            let in_tool_way = touch.wheel_from_edge - pivot;
            let in_bench_way = -in_bench;
            let turn = Angle::of(in_bench_way) - Angle::of(in_tool_way);
            let along = turn.direction();
            Some((in_bench - along * pivot.x - along.perp() * pivot.y, along))
        }
        (Seat::Plane { .. }, Face::Round { .. }) => {
            let along = view.axis_in_bench();
            let c = touch.wheel_from_edge;
            Some((-(along * c.x + along.perp() * c.y), along))
        }
        (_, Face::Flat { .. }) => Some((view.contact_in_bench, view.axis_in_bench())),
    }
}

/// What the loupe should frame: the middle of the facet, and a radius in millimetres around it.
#[must_use]
pub fn loupe_centre_and_radius(job: &Job, view: &SideView) -> (Point, f64) {
    let middle = view.contact_in_bench.midpoint(view.heel_in_bench());
    let present = job.tool.present().map_or(0.0, bevelbench_geometry::PresentFacet::width_mm);
    let width = view.facet.width_mm.max(present.min(3.0 * view.facet.width_mm));
    (point(middle), (width * 0.95).clamp(0.8, 60.0))
}
