//! What a turner measures once to know what a grind costs and what is in the way: a timed grind, what is left of a tool, a
//! guard's hood.

use bevelbench_geometry::{
    facet::{TimedGrind, ToolLife},
    math::{Angle, Unfit},
    space::Guard,
};
use serde::{Deserialize, Serialize};

use crate::answer::logbook::{GuardSaved, Sharpening, date_of, days_between};

/// One grind that was timed on a wheel.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TimedGrindSaved {
    /// Steel taken, in cubic millimetres.
    pub removed_mm3: f64,
    /// Minutes it took.
    pub minutes: f64,
    /// Passes it took, if they were counted.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub passes: Option<f64>,
}

impl TimedGrindSaved {
    /// The checked rate; `None` unless every number is positive.
    #[must_use]
    pub fn build(&self) -> Option<TimedGrind> {
        TimedGrind::new(self.removed_mm3, self.minutes, self.passes)
    }
}

/// What is left of a tool and how fast it goes.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, Default)]
#[serde(deny_unknown_fields)]
pub struct LifeSaved {
    /// Flute or blade that can still be ground away, in millimetres.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub usable_mm: Option<f64>,
    /// What a regrind usually takes off the tool's length, in millimetres.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lost_each_mm: Option<f64>,
    /// Regrinds a year.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub regrinds_a_year: Option<f64>,
}

impl LifeSaved {
    /// Whether nothing was entered.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }

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
    /// [`Unfit`] for a number out of range.
    pub fn hood(&self) -> Result<Option<Guard>, Unfit> {
        let (Some(radius_mm), Some(width_mm), Some(top_deg), Some(exposure_deg)) =
            (self.radius_mm, self.width_mm, self.opening_top_deg, self.exposure_deg)
        else {
            return Ok(None);
        };
        let top = Angle::from_degrees(top_deg);
        Guard::new(radius_mm, top - Angle::from_degrees(exposure_deg), top, width_mm).map(Some)
    }
}
