//! What a turner measures once to know what a grind costs and what is in the way: a timed grind, what is left of a tool, a
//! guard's hood.

use bevelbench_geometry::{
    facet::{TimedGrind, ToolLife},
    math::{Angle, DimensionError},
    space::Guard,
};

use crate::{
    answer::logbook::{date_of, days_between},
    saved::{
        log::{GuardSaved, Sharpening},
        upkeep::{LifeSaved, TimedGrindSaved},
    },
};

impl TimedGrindSaved {
    /// The checked rate; `None` unless every number is positive.
    #[must_use]
    pub fn build(&self) -> Option<TimedGrind> {
        TimedGrind::new(self.removed_mm3, self.minutes, self.passes)
    }
}

impl LifeSaved {
    /// How long the tool lasts, where enough was entered. `lost_mm` is what the grind at hand takes off its length, used
    /// where no usual loss was entered, and so is what the log says of regrinds a year.
    #[must_use]
    pub fn build(&self, lost_mm: Option<f64>, logged_a_year: Option<f64>) -> Option<ToolLife> {
        Some(ToolLife {
            usable_mm: self.usable_mm?,
            lost_each_mm: self.lost_each_mm.or(lost_mm)?,
            regrinds_a_year: self.regrinds_a_year.or(logged_a_year),
        })
    }
}

/// Days of log from which a year is judged; less says little.
const LEAST_DAYS: i64 = 30;

/// Regrinds a year as a log has them: from the first sharpening to the last, where they lie a month or more apart. Days
/// that cannot be read do not count.
#[must_use]
pub fn regrinds_a_year(sharpenings: &[Sharpening]) -> Option<f64> {
    let dated: Vec<&str> =
        sharpenings.iter().map(|one| one.date.as_str()).filter(|date| date_of(date).is_some()).collect();
    let first = *dated.iter().min_by_key(|date| date_of(date))?;
    let last = *dated.iter().max_by_key(|date| date_of(date))?;
    let days = days_between(first, last).filter(|days| *days >= LEAST_DAYS)?;
    Some((dated.len() - 1) as f64 * 365.25 / days as f64)
}

impl GuardSaved {
    /// The hood, where enough of it was measured to have a place: radius, width, and where it is open.
    ///
    /// # Errors
    /// [`DimensionError`] for a number out of range.
    pub fn hood(&self) -> Result<Option<Guard>, DimensionError> {
        let (Some(radius_mm), Some(width_mm), Some(top_deg), Some(exposure_deg)) =
            (self.radius_mm, self.width_mm, self.opening_top_deg, self.exposure_deg)
        else {
            return Ok(None);
        };
        let top = Angle::from_degrees(top_deg);
        Guard::new(radius_mm, top - Angle::from_degrees(exposure_deg), top, width_mm).map(Some)
    }
}
