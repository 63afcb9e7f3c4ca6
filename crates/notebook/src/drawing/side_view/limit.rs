//! The limit that stops a setting, marked where it lies, with a few words.

use bevelbench_geometry::{
    DVec2,
    math::Angle,
    parts::{Arm, Face, Table},
    side::{Job, Refusal, SideView, Support},
};

use crate::drawing::{
    shape::{Align, Drawing, Geometry, Mark, Role, TextSize},
    side_view::{
        dimensions::degrees,
        lines::{line, point},
        look::SideLook,
    },
};

/// Half the length of a stroke across an arm, a blade or a table.
const STROKE_MM: f64 = 16.0;

/// Marks what stops an attempt. `pose` is the attempted tool, where one can be drawn.
pub(super) fn limit(
    d: &mut Drawing,
    job: &Job,
    refusal: &Refusal,
    pose: Option<&SideView>,
    look: &SideLook<'_>,
) {
    let length = look.length;
    match (*refusal, job.setting.support) {
        (
            Refusal::ReachOffArm { reach_mm, least_mm, most_mm },
            Support::Handle { arm, .. } | Support::Holder { arm, .. },
        ) => {
            let end = if reach_mm > most_mm { most_mm } else { least_mm };
            across_arm(d, &arm, end, format!("the arm ends at {}", length(end)));
        }
        (
            Refusal::PivotTooFar { most_mm: limit_mm, .. } | Refusal::PivotTooNear { least_mm: limit_mm, .. },
            Support::Handle { arm, reach_mm, .. } | Support::Holder { arm, reach_mm, .. },
        ) => {
            let too_far = matches!(refusal, Refusal::PivotTooFar { .. });
            pivot_distance(d, job, &arm, reach_mm, limit_mm, too_far, look);
        }
        (Refusal::PivotInWheel { by_mm }, _) => {
            if let Some((pivot, _)) = job.setting.pivot() {
                cross(d, pivot);
                let text = format!("the pivot is {} inside the wheel", length(by_mm));
                note(d, pivot - DVec2::Y * 24.0, text, Align::Middle);
            }
        }
        (Refusal::PivotAtEdge { .. }, _) => {
            if let Some((pivot, _)) = job.setting.pivot() {
                cross(d, pivot);
                note(d, pivot - DVec2::Y * 24.0, "pivot and edge are one point".to_owned(), Align::Middle);
            }
        }
        (Refusal::WheelWornOut { least_mm, .. }, _) => {
            d.add(Role::Limit, None, Geometry::Circle { centre: [0.0, 0.0], radius: least_mm / 2.0 });
            let new = job.wheel.spec().diameter_new_mm / 2.0;
            let text = format!("not below {} across", length(least_mm));
            note(d, DVec2::new(0.0, new.max(least_mm / 2.0) + 14.0), text, Align::Middle);
        }
        (Refusal::WheelTooFast { rim_speed_m_s, marked_m_s }, _) => {
            let radius = job.wheel.diameter_mm() / 2.0;
            d.add(Role::Limit, None, Geometry::Circle { centre: [0.0, 0.0], radius });
            let text = format!("rim at {rim_speed_m_s:.1} m/s, marked for {marked_m_s:.1} m/s");
            note(d, DVec2::new(0.0, job.wheel.spec().diameter_new_mm / 2.0 + 14.0), text, Align::Middle);
        }
        (Refusal::TiltOffTravel { tilt, least, most }, Support::Table { table, .. }) => {
            let end = if tilt > most { most } else { least };
            let [front, rear] = table.surface_in_bench(end);
            d.add(Role::Limit, None, line(front, rear));
            note_under_table(d, &table, format!("the table stops at {}", degrees(end)));
        }
        (
            Refusal::TableOutOfReach { .. } | Refusal::TableCatchesWheel { .. },
            Support::Table { table, tilt },
        ) => {
            let [front, rear] = table.surface_in_bench(tilt);
            d.add(Role::Limit, None, line(front, rear));
            let text = match refusal {
                Refusal::TableCatchesWheel { by_mm } => {
                    format!("the table would run {} into the wheel", length(*by_mm))
                }
                _ => "the table’s plane misses the wheel".to_owned(),
            };
            note_under_table(d, &table, text);
        }
        _ => limit_at_tool(d, job, refusal, pose, look),
    }
}

/// The limits that are seen on the attempted tool.
fn limit_at_tool(
    d: &mut Drawing,
    job: &Job,
    refusal: &Refusal,
    pose: Option<&SideView>,
    look: &SideLook<'_>,
) {
    let Some(pose) = pose else { return };
    let length = look.length;
    let fraction = job.setting.foreshortening();
    match (*refusal, job.setting.support) {
        (
            Refusal::StrutAngleOffTravel { angle, least, most },
            Support::Holder { holder, projection_mm, .. },
        ) => {
            let end = if angle > most { most } else { least };
            let mut hinge = holder.hinge_in_tool(projection_mm);
            hinge.x *= fraction;
            let strut = holder.spec().strut_length_mm;
            let at = |angle: Angle, r: f64| {
                pose.bench_from_tool(hinge + DVec2::new(angle.cos() * fraction, -angle.sin()) * r)
            };
            d.add(Role::Limit, None, line(at(end, 0.0), at(end, strut + 10.0)));
            let swung = (0..=24).map(|i| point(at(end + (angle - end) * (f64::from(i) / 24.0), strut)));
            d.add(Role::Limit, None, Geometry::Line(swung.collect()));
            let below = at(end, strut).y.min(at(angle, strut).y) - 30.0;
            let beside = DVec2::new(at(end, strut).x, below);
            note(d, beside, format!("the strut stops at {}", degrees(end)), Align::Middle);
        }
        (Refusal::HolderInWheel { by_mm }, _) => {
            let corners = job.holder_corners_in_bench(pose).unwrap_or_default();
            let nearest = corners.into_iter().min_by(|a, b| a.length().total_cmp(&b.length()));
            rim_near(d, job, nearest.unwrap_or(pose.contact_in_bench));
            let text = format!("the holder would be {} inside the wheel", length(by_mm));
            note_over_wheel(d, job, text);
        }
        (Refusal::StrutInWheel { by_mm }, _) => {
            if let Some([hinge, pivot]) = job.strut_in_bench(pose) {
                let along = pivot - hinge;
                let fraction = (-hinge.dot(along) / along.length_squared().max(1e-9)).clamp(0.0, 1.0);
                rim_near(d, job, hinge + along * fraction);
            }
            note_over_wheel(d, job, format!("the strut would pass {} inside the wheel", length(by_mm)));
        }
        (Refusal::HandleThroughBench { by_mm }, _) => {
            let top = -job.grinder.spindle_height_mm();
            let front = job.grinder.bench_front_mm();
            d.add(Role::Limit, None, line(DVec2::new(front - 120.0, top), DVec2::new(front, top)));
            let text = format!("the handle would go {} into the bench", length(by_mm));
            note(d, DVec2::new(front - 60.0, top - 27.0), text, Align::Middle);
        }
        (Refusal::ProjectionBeyondBlade { .. }, _) => {
            let end = job.tool.blade_length_mm() * fraction;
            let at = |h: f64| pose.bench_from_tool(DVec2::new(end, h));
            d.add(Role::Limit, None, line(at(-STROKE_MM), at(STROKE_MM)));
            note(d, at(STROKE_MM + 7.0), "the blade ends here".to_owned(), Align::Middle);
        }
        (Refusal::BevelOutOfRange { bevel }, _) => {
            let tangent = (Angle::of(pose.axis_in_bench()) - bevel).direction();
            let contact = pose.contact_in_bench;
            d.add(Role::Limit, None, line(contact - tangent * 30.0, contact + tangent * 60.0));
            note_over_wheel(d, job, format!("the bevel would be {}", degrees(bevel)));
        }
        (Refusal::NoHeel(no_heel), _) => {
            rim_near(d, job, pose.contact_in_bench);
            let text = format!("the wheel cannot grind through {} of steel here", length(no_heel.under_mm));
            note_over_wheel(d, job, text);
        }
        _ => {}
    }
}

/// Words beside a limit.
fn note(d: &mut Drawing, at: DVec2, text: String, align: Align) {
    let geometry =
        Geometry::Text { at: point(at), text, align, along: Angle::ZERO, size: TextSize::Normal, lift: 0.0 };
    d.add(Role::Limit, None, geometry);
}

/// Words over the abrasive, where nothing else is written.
fn note_over_wheel(d: &mut Drawing, job: &Job, text: String) {
    let top = match job.setting.face {
        Face::Round { .. } => job.wheel.spec().diameter_new_mm / 2.0,
        Face::Flat { .. } => crate::drawing::side_view::lines::platen(job, None)
            .iter()
            .map(|p| p.y)
            .fold(f64::NEG_INFINITY, f64::max),
    };
    note(d, DVec2::new(0.0, top + 14.0), text, Align::Middle);
}

/// Words under a table, beside its post.
fn note_under_table(d: &mut Drawing, table: &Table, text: String) {
    note(d, table.spec().hinge_in_bench + DVec2::new(12.0, -26.0), text, Align::Start);
}

fn cross(d: &mut Drawing, at: DVec2) {
    d.add(Role::Limit, None, Geometry::Mark { at: point(at), direction: Angle::ZERO, mark: Mark::Cross });
}

/// A stroke across the arm at a reach, with words below it.
fn across_arm(d: &mut Drawing, arm: &Arm, reach_mm: f64, text: String) {
    let at = arm.pivot_in_bench(reach_mm);
    let down = -arm.along().perp();
    d.add(Role::Limit, None, line(at - down * STROKE_MM, at + down * (STROKE_MM + 8.0)));
    note(d, at + down * (STROKE_MM + 16.0), text, Align::Middle);
}

/// The nearest or farthest distance the pivot may have, and the reach at which the arm has it.
fn pivot_distance(
    d: &mut Drawing,
    job: &Job,
    arm: &Arm,
    reach_mm: f64,
    limit_mm: f64,
    too_far: bool,
    look: &SideLook<'_>,
) {
    let Some((pivot, _)) = job.setting.pivot() else { return };
    let (crossing, from) = match job.setting.face {
        Face::Round { .. } => {
            let (start, sweep) = (Angle::of(pivot) - Angle::from_degrees(20.0), Angle::from_degrees(40.0));
            d.add(Role::Limit, None, Geometry::Arc { centre: [0.0, 0.0], radius: limit_mm, start, sweep });
            (
                arm.reaches_at_distance(limit_mm)
                    .min_by(|a, b| (a - reach_mm).abs().total_cmp(&(b - reach_mm).abs())),
                pivot,
            )
        }
        Face::Flat { normal } => {
            let n = normal.direction();
            let foot = pivot + n * (limit_mm - pivot.dot(n));
            d.add(Role::Limit, None, line(foot - n.perp() * 45.0, foot + n.perp() * 45.0));
            let slope = arm.along().dot(n);
            ((slope.abs() > 1e-6).then(|| reach_mm + (limit_mm - pivot.dot(n)) / slope), foot)
        }
    };
    let bound = if too_far { "at most" } else { "at least" };
    if let Some(reach) = crossing.filter(|reach| arm.travel().holds(*reach)) {
        across_arm(d, arm, reach, format!("reach {bound} {}", (look.length)(reach)));
    } else {
        let from_what = if matches!(job.setting.face, Face::Flat { .. }) {
            "the flat face"
        } else {
            "the wheel’s centre"
        };
        let text = format!("the pivot needs {bound} {} from {from_what}", (look.length)(limit_mm));
        note(d, from - DVec2::Y * 34.0, text, Align::Middle);
    }
}

/// The piece of the abrasive near a point.
fn rim_near(d: &mut Drawing, job: &Job, near: DVec2) {
    match job.setting.face {
        Face::Round { radius_mm } => {
            let half = Angle::from_degrees(16.0);
            let start = Angle::of(near) - half;
            d.add(
                Role::Limit,
                None,
                Geometry::Arc { centre: [0.0, 0.0], radius: radius_mm, start, sweep: half * 2.0 },
            );
        }
        Face::Flat { normal } => {
            let n = normal.direction();
            let foot = near - n * near.dot(n);
            d.add(Role::Limit, None, line(foot - n.perp() * 20.0, foot + n.perp() * 20.0));
        }
    }
}
