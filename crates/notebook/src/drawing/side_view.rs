//! The side view as a drawing: bench, grinder, wheel, support, tool and the dimensions that matter, to scale in bench
//! millimetres.

mod attempt;
mod dimensions;
mod limit;
mod lines;
pub(crate) mod look;
mod loupe;
mod pose;
mod regrind;
mod steps;

pub use crate::drawing::outline::{blank_section, tool_outline};
pub use attempt::attempt_view;
pub use look::SideLook;
pub use loupe::{loupe_centre_and_radius, loupe_view};
pub use regrind::regrind_view;
pub use steps::{steps_view, steps_view_bounds};

use bevelbench_geometry::{
    DVec2,
    math::Angle,
    parts::{Blank, Face},
    side::{Job, Seat, SideView, Support},
};

use crate::{
    drawing::{
        outline::{blade, handle},
        shape::{Bounds, Drawing, Geometry, Mark, Point, Role},
        side_view::{
            dimensions::{degrees, dimensions},
            lines::{bar, drawable, line, link, outline, platen, point},
        },
    },
    saved::part::Part,
};

/// The side view of a job that has an answer.
#[must_use]
pub fn side_view(job: &Job, view: &SideView, look: &SideLook<'_>) -> Drawing {
    let mut d = Drawing::new();
    surroundings(&mut d, job, Some(view), look);
    support_behind(&mut d, job, Some(view), look);
    tool(&mut d, job, view, look);
    holder(&mut d, job, view, look);
    pivot_mark(&mut d, job);
    facet_line(&mut d, view, look);
    edge_marks(&mut d, view, look);
    if look.dimensions {
        dimensions(&mut d, job, view, look);
    }
    drawable(d)
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
        Face::Flat { .. } => points.extend(platen(job, view).iter().map(|p| point(*p))),
    }
    if let Some((pivot, _)) = job.setting.pivot() {
        points.extend([[pivot.x + 42.0, pivot.y - 34.0], point(pivot)]);
        if let Face::Flat { normal } = job.setting.face {
            points.push(point(pivot - normal.direction() * job.setting.face.distance_mm(pivot)));
        }
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
fn surroundings(d: &mut Drawing, job: &Job, view: Option<&SideView>, look: &SideLook<'_>) {
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
    table_post(d, job);
    match job.setting.face {
        Face::Round { radius_mm } => wheel(d, job, radius_mm, look),
        Face::Flat { .. } => {
            d.add(Role::Wheel, Part::Rim, outline(platen(job, view)));
            d.title(Part::Rim, "Flat abrasive face".to_owned());
        }
    }
}

/// The post of a table, behind everything it would otherwise hide.
fn table_post(d: &mut Drawing, job: &Job) {
    let Support::Table { table, .. } = job.setting.support else { return };
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
    let fraction = job.setting.foreshortening();
    let to_bench = |p: DVec2| view.bench_from_tool(p);
    let overall = match job.setting.support {
        Support::Handle { tool_length_mm, .. } => tool_length_mm,
        _ => job.tool.overall_length_mm(),
    };
    let blade_end = job.tool.blade_length_mm().min(overall) * fraction;
    let (low, high) = job.tool.blank().height_span_mm();
    let grip = handle(blade_end - 2.0, overall * fraction, high - low);
    if !grip.is_empty() {
        d.add(Role::Handle, Part::Handle, outline(grip.into_iter().map(to_bench)));
        let ferrule = [(-2.0, 1.0), (12.0, 1.0), (12.0, -1.0), (-2.0, -1.0)].map(|(s, side)| {
            let r = ((high - low) * 0.95).clamp(9.0, 15.0) * 0.74;
            to_bench(DVec2::new(blade_end + s, side * r))
        });
        d.add(Role::Holder, Part::Handle, outline(ferrule));
    }
    let facet = look.facets(view);
    let points = blade(job.tool.blank(), &facet, look.wing, blade_end);
    d.add(Role::Tool, Part::Tool, outline(points.into_iter().map(to_bench)));
    if let Blank::Bar(bar) = job.tool.blank() {
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

/// The ground facet, from edge to heel.
fn facet_line(d: &mut Drawing, view: &SideView, look: &SideLook<'_>) {
    let edge = DVec2::new(0.0, view.edge_height_mm);
    let points = look.facets(view).iter().map(|p| point(view.bench_from_tool(edge + *p))).collect();
    d.add(Role::Facet, Part::Facet, Geometry::Line(points));
    d.title(Part::Facet, look.facet_words(view));
}

/// Edge and heel, as points so small that they never hide the facet between them.
fn edge_marks(d: &mut Drawing, view: &SideView, look: &SideLook<'_>) {
    let radius = (view.facet.width_mm * 0.1).min(0.6);
    let (edge, heel) = (view.contact_in_bench, look.heel_in_bench(view));
    d.add(Role::Edge, Part::Edge, Geometry::Circle { centre: point(edge), radius });
    d.add(Role::Heel, Part::Heel, Geometry::Circle { centre: point(heel), radius });
    d.title(Part::Edge, format!("Edge, bevel there {}", degrees(view.facet.at_edge)));
    d.title(Part::Heel, format!("Heel, bevel there {}", degrees(look.heel_bevel(view))));
}
