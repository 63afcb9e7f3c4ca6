//! A setting without an answer: what was attempted, as far as it goes, and the limit that stops it.

use bevelbench_geometry::{Angle, DVec2, Face, Job, Refusal, Support};

use super::{
    SideLook, bar, dimensions::degrees, facet_and_edge, holder, line, pivot_mark, point, support_behind,
    surroundings, tool,
};
use crate::drawing::{Align, Drawing, Geometry, Mark, Part, Role, Standing, TextSize};

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
            facet_and_edge(&mut attempt, &view, &quiet);
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
