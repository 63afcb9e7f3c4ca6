//! A setting without an answer: what was attempted, as far as it goes, and the limit that stops it.

use bevelbench_geometry::{math::Angle, side::Job};

use crate::{
    drawing::{
        shape::{Drawing, Geometry, Mark, Role, Standing},
        side_view::{
            edge_marks, facet_line, holder,
            limit::limit,
            lines::{drawable, point},
            look::SideLook,
            pivot_mark,
            pose::nearest_pose,
            support_behind, surroundings, tool,
        },
    },
    saved::part::Part,
};

/// What was attempted, as far as it goes, with the limit marked. The parts that stand whatever the answer is are drawn
/// solid, the attempt as one: off its travel as it would be, and where no triangle closes with the edge as near to the
/// rim as it comes.
#[must_use]
pub fn attempt_view(job: &Job, look: &SideLook<'_>) -> Drawing {
    let mut d = Drawing::new();
    let beyond = job.setting.evaluate_off_travel().ok();
    let pose = beyond.or_else(|| nearest_pose(job));
    surroundings(&mut d, job, pose.as_ref(), look);
    support_behind(&mut d, job, None, look);
    if let Some(pose) = &pose {
        let mut attempt = Drawing::new();
        tool(&mut attempt, job, pose, look);
        holder(&mut attempt, job, pose, look);
        if beyond.is_some() {
            facet_line(&mut attempt, pose, look);
            edge_marks(&mut attempt, pose, look);
        } else {
            let at = point(pose.contact_in_bench);
            let direction = Angle::ZERO;
            attempt.add(Role::Edge, Part::Edge, Geometry::Mark { at, direction, mark: Mark::Cross });
        }
        d.overlay(attempt.standing(Standing::Attempt));
    }
    pivot_mark(&mut d, job);
    if let Err(refusal) = job.evaluate() {
        limit(&mut d, job, &refusal, pose.as_ref(), look);
    }
    drawable(d)
}
