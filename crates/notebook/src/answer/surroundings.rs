//! From a setting to what comes near to what while its tool is moved over the wheel.

use bevelbench_geometry::{
    parts::Blank,
    side::{Job, SideView},
    space::{Guard, Moved, Surroundings},
};

use crate::{
    answer::swept::{Grind, Plans},
    saved::setting::SwingSaved,
};

/// How a setting's tool is moved over the wheel: rolled or turned where it has a line to turn about, pushed along the
/// spindle by half its width to either side otherwise.
#[must_use]
pub fn moved(job: &Job, view: &SideView, swing: Option<&SwingSaved>) -> Moved {
    let surface = Plans::of(&Grind::of(job, view, swing)).ok().map(|plans| *plans.tip.surface());
    if let Some(surface) = surface
        && let (Some(line), Some(swing)) = (surface.roll_line(), surface.swing())
    {
        return Moved::Rolled { line, swing };
    }
    let half_mm = match job.tool.blank() {
        Blank::Bar(bar) => bar.radius_mm(),
        Blank::Flat(flat) => flat.width_mm() / 2.0,
    };
    Moved::Pushed { half_mm }
}

/// Everything of a job that has an answer, with its guard if that was measured.
#[must_use]
pub fn surroundings(
    job: &Job,
    view: &SideView,
    swing: Option<&SwingSaved>,
    guard: Option<&Guard>,
) -> Surroundings {
    Surroundings::of(job, view, moved(job, view, swing), guard)
}
