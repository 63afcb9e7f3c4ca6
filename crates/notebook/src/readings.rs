//! How far each reading at the bench may be off: assumptions with a name, until the turner's own are known.
//!
//! A ± here is a half-width: the true value lies within it, anywhere as likely. The numbers are this program's
//! assumptions about rules, protractors and stops in a workshop (`common practice`), not a standard.

use bevelbench_geometry::uncertainty::{Input, Reading};

use crate::saved::{Rig, SettingEntry, SupportSaved};

/// What a length or an angle is read with.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum ReadWith {
    /// A rule, or a scale on the arm: ±0.5 mm.
    Rule,
    /// A rule across a whole wheel, or along a whole tool: ±1 mm.
    LongRule,
    /// A stop block: ±0.2 mm.
    StopBlock,
    /// A protractor or an angle gauge: ±0.5°.
    Protractor,
    /// A rest that the strut clicks into: ±0.2°.
    Rest,
}

impl ReadWith {
    /// The half-width, in millimetres or degrees.
    #[must_use]
    pub const fn half_width(self) -> f64 {
        match self {
            Self::Rule | Self::Protractor => 0.5,
            Self::LongRule => 1.0,
            Self::StopBlock | Self::Rest => 0.2,
        }
    }

    /// Its name.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Rule => "rule",
            Self::LongRule => "long rule",
            Self::StopBlock => "stop block",
            Self::Protractor => "protractor",
            Self::Rest => "rest",
        }
    }
}

/// The readings that a setting is made with, each with what it is assumed to be read with. The rig's own dimensions
/// are not among them: they are off the same way every time, and a trial grind finds them out.
#[must_use]
pub fn assumed(entry: &SettingEntry, rig: Option<&Rig>) -> Vec<(ReadWith, Reading)> {
    let near = |values: &[f64], value: f64| values.iter().any(|each| (each - value).abs() < 0.05);
    let mut readings = Vec::with_capacity(4);
    let mut add = |input: Input, with: ReadWith| {
        readings.push((with, Reading { input, half_width: with.half_width() }));
    };
    match entry.support {
        SupportSaved::Handle { .. } => {
            add(Input::Reach, ReadWith::Rule);
            add(Input::ToolLength, ReadWith::LongRule);
        }
        SupportSaved::Holder { holder, projection_mm, strut_angle_deg, .. } => {
            let stops = rig.map(|rig| rig.projection_stops_mm.as_slice()).unwrap_or_default();
            let rests =
                rig.and_then(|rig| rig.holder(holder)).map(|h| h.rests_deg.as_slice()).unwrap_or_default();
            add(Input::Reach, ReadWith::Rule);
            let stop = near(stops, projection_mm);
            add(Input::Projection, if stop { ReadWith::StopBlock } else { ReadWith::Rule });
            let rest = near(rests, strut_angle_deg);
            add(Input::StrutAngle, if rest { ReadWith::Rest } else { ReadWith::Protractor });
        }
        SupportSaved::Table { .. } => add(Input::TableTilt, ReadWith::Protractor),
    }
    add(Input::WheelDiameter, ReadWith::LongRule);
    readings
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]
mod tests {
    use super::*;
    use crate::library::demo_bench;

    #[test]
    fn stop_block_and_rest_are_surer_than_rule_and_protractor() {
        let bench = demo_bench().unwrap();
        let entry = bench.setting_named("Long grind, 85 mm").unwrap();
        let rig = bench.rig(entry.rig);
        let (job, view) = bench.answer(entry).unwrap();
        let surety = |entry: &SettingEntry| {
            let readings: Vec<Reading> =
                assumed(entry, rig).into_iter().map(|(_, reading)| reading).collect();
            job.setting.surety(&view, &readings).expanded().degrees()
        };
        let mut loose = entry.clone();
        let SupportSaved::Holder { projection_mm, strut_angle_deg, .. } = &mut loose.support else {
            panic!()
        };
        // Named a little off stop and rest; the same answer is used, so only the half-widths differ.
        *projection_mm += 0.3;
        *strut_angle_deg += 0.3;
        assert!(surety(entry) < surety(&loose));
        assert!((0.1..2.0).contains(&surety(entry)), "{}", surety(entry));
    }
}
