//! The log: what was measured and done over time, and what a setting was when it was last set true. All of it is
//! optional in a bench file: a bench without a log opens and works.
//!
//! Dates are text, `2026-03-14`: they sort as they stand, and an odd one is shown rather than refused.

use bevelbench_geometry::{math::Angle, parts::GapLimits, side::diameter_from_round_mm};
use jiff::civil::Date;
use serde::{Deserialize, Serialize};

use crate::{
    answer::upkeep::{LifeSaved, TimedGrindSaved},
    saved::{Bench, Id, SettingEntry},
};

/// How a wheel's diameter was measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, Default)]
pub enum MeasuredBy {
    /// A rule across the wheel.
    #[default]
    Rule,
    /// A tape laid round the rim: its length over π.
    Tape,
}

impl MeasuredBy {
    /// Every way.
    pub const ALL: [Self; 2] = [Self::Rule, Self::Tape];

    /// Its name.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Rule => "rule across",
            Self::Tape => "tape round the rim",
        }
    }

    /// The diameter in millimetres from what was read, in millimetres.
    #[must_use]
    pub fn diameter_mm(self, read_mm: f64) -> f64 {
        match self {
            Self::Rule => read_mm,
            Self::Tape => diameter_from_round_mm(read_mm),
        }
    }
}

/// A wheel's diameter on a day.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, Default)]
#[serde(deny_unknown_fields)]
pub struct DiameterNote {
    /// The day.
    pub date: String,
    /// The diameter, in millimetres.
    pub diameter_mm: f64,
    /// How it was measured.
    #[serde(default, skip_serializing_if = "is_default")]
    pub by: MeasuredBy,
    /// Whether the wheel was dressed just before.
    #[serde(default, skip_serializing_if = "is_default")]
    pub dressed: bool,
}

/// What a guard leaves open and how close its parts stand, as measured.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, Default)]
#[serde(deny_unknown_fields)]
pub struct GuardSaved {
    /// Where the opening begins, above the horizontal through the spindle.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub opening_top_deg: Option<f64>,
    /// How much of the rim is open.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub exposure_deg: Option<f64>,
    /// Its inner radius from the spindle, in millimetres.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub radius_mm: Option<f64>,
    /// Its width along the spindle, in millimetres.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub width_mm: Option<f64>,
    /// From the tongue to the wheel, in millimetres.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tongue_gap_mm: Option<f64>,
    /// From the work rest to the wheel, in millimetres.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rest_gap_mm: Option<f64>,
}

/// What is kept of a wheel beside its dimensions.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, Default)]
#[serde(deny_unknown_fields)]
pub struct WheelKeep {
    /// Its diameters, oldest first.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub diameters: Vec<DiameterNote>,
    /// Its guard as measured.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub guard: Option<GuardSaved>,
    /// One timed grind on it: how fast steel comes off.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub timed_grind: Option<TimedGrindSaved>,
}

/// A motor's mains, where its plate cannot be read.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct MainsSaved {
    /// Frequency, in hertz.
    pub hz: f64,
    /// Poles of the motor.
    pub poles: u32,
}

/// A tool's length on a day.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, Default)]
#[serde(deny_unknown_fields)]
pub struct LengthNote {
    /// The day.
    pub date: String,
    /// From edge to handle end, in millimetres.
    pub length_mm: f64,
}

/// A sharpening. Setting and wheel are kept by name, so that the log stays true when they are renamed or deleted.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, Default)]
#[serde(deny_unknown_fields)]
pub struct Sharpening {
    /// The day.
    pub date: String,
    /// The setting's name.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub setting: String,
    /// The wheel's name.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub wheel: String,
    /// A note.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub note: String,
}

/// What is kept of a tool beside its dimensions.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, Default)]
#[serde(deny_unknown_fields)]
pub struct ToolKeep {
    /// Its lengths, oldest first.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub lengths: Vec<LengthNote>,
    /// Its sharpenings, oldest first.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub sharpenings: Vec<Sharpening>,
    /// The turner's own interval between sharpenings, in days.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub interval_days: Option<u32>,
    /// What is left of it and how fast it goes.
    #[serde(default, skip_serializing_if = "LifeSaved::is_empty")]
    pub life: LifeSaved,
}

/// How a setting is brought back.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, Default)]
pub enum KeptBy {
    /// By the arm's scale, or the table's tilt.
    #[default]
    Place,
    /// By a gauge stick between rim and cup: the cup follows the wheel as it wears.
    GaugeStick,
}

impl KeptBy {
    /// Every way.
    pub const ALL: [Self; 2] = [Self::Place, Self::GaugeStick];
}

/// What a setting ground when it was last set true, and on what.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Trued {
    /// Bevel at the edge.
    pub bevel_deg: f64,
    /// Diameter of its wheel then, in millimetres.
    pub wheel_diameter_mm: f64,
    /// Length of its tool then, in millimetres.
    pub tool_length_mm: f64,
}

/// What is kept of a setting beside what is set.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, Default)]
#[serde(deny_unknown_fields)]
pub struct SettingKeep {
    /// How it is brought back.
    #[serde(default, skip_serializing_if = "is_default")]
    pub by: KeptBy,
    /// What it was when it was last set true.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub trued: Option<Trued>,
    /// The setting, of the same tool, whose facet this one only polishes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub polishes: Option<Id>,
}

/// Limits of gaps as the turner keeps to them.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LimitsSaved {
    /// The place or code they come from.
    pub place: String,
    /// Greatest gap between rest and wheel, in millimetres.
    pub rest_gap_mm: f64,
    /// Greatest gap between tongue and wheel, in millimetres.
    pub tongue_gap_mm: f64,
}

/// What is kept of the whole bench.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, Default)]
#[serde(deny_unknown_fields)]
pub struct BenchKeep {
    /// How far a bevel may drift before it is said.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tolerance_deg: Option<f64>,
    /// The gap limits kept to.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub limits: Option<LimitsSaved>,
}

/// Serde's rule for what need not be written.
pub(crate) fn is_default<T: Default + PartialEq>(value: &T) -> bool {
    *value == T::default()
}

/// Drift within this is nothing to speak of, unless the turner says otherwise.
pub const USUAL_TOLERANCE: Angle = Angle::from_degrees(0.5);

/// Published limits of gaps, with the place and the rule.
pub const PUBLISHED_LIMITS: [(&str, &str, GapLimits); 2] = [
    ("United States", "29 CFR 1910.215(a)(4), (b)(9)", GapLimits::UNITED_STATES),
    ("Germany", "BGR 147 §5.4.3.4", GapLimits::GERMANY),
];

impl BenchKeep {
    /// How far a bevel may drift before it is said.
    #[must_use]
    pub fn tolerance(&self) -> Angle {
        let kept = self.tolerance_deg.filter(|degrees| degrees.is_finite() && *degrees > 0.0);
        kept.map_or(USUAL_TOLERANCE, Angle::from_degrees)
    }

    /// The gap limits kept to, with the place they come from.
    #[must_use]
    pub fn limits(&self) -> (&str, GapLimits) {
        let good = |mm: f64| mm.is_finite() && mm >= 0.0;
        match &self.limits {
            Some(kept) if good(kept.rest_gap_mm) && good(kept.tongue_gap_mm) => {
                (&kept.place, GapLimits { rest_mm: kept.rest_gap_mm, tongue_mm: kept.tongue_gap_mm })
            }
            _ => (PUBLISHED_LIMITS[0].0, PUBLISHED_LIMITS[0].2),
        }
    }
}

impl SettingEntry {
    /// The setting with a fresh stamp of what it grinds today; without an answer it keeps none.
    #[must_use]
    pub fn set_true(mut self, bench: &Bench) -> Self {
        self.keep.trued = bench.answer(&self).ok().map(|(job, view)| Trued {
            bevel_deg: view.bevel().degrees(),
            wheel_diameter_mm: job.wheel.diameter_mm(),
            tool_length_mm: job.tool.overall_length_mm(),
        });
        self
    }
}

/// A date of the log, if it is one.
#[must_use]
pub fn date_of(text: &str) -> Option<Date> {
    text.trim().parse().ok()
}

/// Days from one date of the log to another.
#[must_use]
pub fn days_between(from: &str, to: &str) -> Option<i64> {
    let span = date_of(from)?.until(date_of(to)?).ok()?;
    Some(i64::from(span.get_days()))
}

/// When a tool is to be sharpened next.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Due {
    /// The turner keeps no interval for it.
    NoInterval,
    /// It was never logged as sharpened.
    NeverSharpened,
    /// In so many days; negative when it is overdue.
    InDays(i64),
}

impl ToolKeep {
    /// When it is to be sharpened next, by the turner's own interval.
    #[must_use]
    pub fn due(&self, today: &str) -> Due {
        let Some(interval) = self.interval_days.filter(|days| *days > 0) else { return Due::NoInterval };
        let last = self.sharpenings.iter().filter(|entry| date_of(&entry.date).is_some());
        let last = last.max_by(|a, b| a.date.cmp(&b.date));
        let since = last.and_then(|entry| days_between(&entry.date, today));
        since.map_or(Due::NeverSharpened, |since| Due::InDays(i64::from(interval) - since))
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]
mod tests {
    use super::*;

    #[test]
    fn tape_round_the_rim_gives_the_diameter() {
        let around = 200.0 * std::f64::consts::PI;
        assert!((MeasuredBy::Tape.diameter_mm(around) - 200.0).abs() < 1e-12);
        assert!((MeasuredBy::Rule.diameter_mm(200.0) - 200.0).abs() < 1e-12);
    }

    #[test]
    fn days_are_counted_over_months_and_leap_years() {
        // By hand: 2028 is a leap year.
        assert_eq!(days_between("2026-01-31", "2026-03-01"), Some(29));
        assert_eq!(days_between("2028-02-28", "2028-03-01"), Some(2));
        assert_eq!(days_between("2026-03-01", "2026-01-31"), Some(-29));
        assert_eq!(days_between("some day", "2026-01-31"), None);
    }

    #[test]
    fn what_is_due_follows_from_the_last_sharpening_and_the_interval() {
        let on = |date: &str| Sharpening { date: date.to_owned(), ..Sharpening::default() };
        let mut keep =
            ToolKeep { sharpenings: vec![on("2026-03-02"), on("2026-02-20")], ..ToolKeep::default() };
        assert_eq!(keep.due("2026-03-05"), Due::NoInterval);
        keep.interval_days = Some(7);
        assert_eq!(keep.due("2026-03-05"), Due::InDays(4));
        assert_eq!(keep.due("2026-03-12"), Due::InDays(-3));
        keep.sharpenings = vec![on("last winter")];
        assert_eq!(keep.due("2026-03-12"), Due::NeverSharpened);
    }

    #[test]
    fn odd_limits_and_tolerances_fall_back_to_the_usual() {
        let odd = LimitsSaved { place: "here".to_owned(), rest_gap_mm: f64::NAN, tongue_gap_mm: 5.0 };
        let keep = BenchKeep { tolerance_deg: Some(-1.0), limits: Some(odd) };
        assert_eq!(keep.tolerance(), USUAL_TOLERANCE);
        assert_eq!(keep.limits(), ("United States", GapLimits::UNITED_STATES));
    }
}
