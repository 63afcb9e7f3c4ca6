//! The log: what was measured and done over time, and what a setting was when it was last set true. All of it is
//! optional in a bench file: a bench without a log opens and works.
//!
//! Dates are text, `2026-03-14`: they sort as they stand, and an odd one is shown rather than refused.

pub mod csv;
pub mod wear;

use bevelbench_geometry::{math::Angle, parts::GapLimits};
use jiff::civil::Date;

use crate::saved::{
    bench::Bench,
    log::{BenchKeep, ToolKeep, Trued},
    setting::SettingEntry,
};

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
    use crate::saved::log::{LimitsSaved, MeasuredBy, Sharpening};

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
    fn invalid_limits_and_tolerances_fall_back_to_the_defaults() {
        let odd = LimitsSaved { place: "here".to_owned(), rest_gap_mm: f64::NAN, tongue_gap_mm: 5.0 };
        let keep = BenchKeep { tolerance_deg: Some(-1.0), limits: Some(odd) };
        assert_eq!(keep.tolerance(), USUAL_TOLERANCE);
        assert_eq!(keep.limits(), ("United States", GapLimits::UNITED_STATES));
    }
}
