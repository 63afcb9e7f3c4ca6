//! Both bevels of an oblique edge, for read-outs and the command.

use bevelbench_geometry::{
    math::Angle,
    parts::{Presentation, along_tool, square_to_edge},
    side::{Job, SideView},
};

/// The bevel along the tool and the one square to the edge; `None` for a straight edge, which has only one.
#[must_use]
pub fn both_bevels(job: &Job, view: &SideView) -> Option<(Angle, Angle)> {
    let obliquity = job.setting.obliquity;
    if obliquity >= Angle::QUARTER {
        return None;
    }
    let bevel = view.bevel();
    Some(match job.setting.presentation {
        Presentation::EdgeParallelToSpindle => (along_tool(bevel, obliquity), bevel),
        Presentation::AxisInSidePlane => (bevel, square_to_edge(bevel, obliquity)),
    })
}
