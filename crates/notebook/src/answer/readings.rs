//! How far each reading at the bench may be off: what the turner said, or assumptions with a name.
//!
//! A ± here is a half-width: the true value lies within it, anywhere as likely. The usual numbers are this program's
//! assumptions about rules, protractors and stops in a workshop (`common practice`), not a standard. What is set is
//! kept with the setting, the wheel's diameter and what stands in front of it with the wheel, a holder's dimensions with
//! the holder, a tool's with the tool. The rig's and the tool's own dimensions are not counted unless somebody says so:
//! they are off the same way every time, and a trial grind finds them out.

use bevelbench_geometry::{
    math::Quantity,
    side::{
        Job, SideView,
        uncertainty::{CombinedUncertainty, Reading},
    },
};

use crate::saved::{
    bench::Bench,
    reading::{ReadWith, ReadingSaved},
    setting::SettingEntry,
    table::{self, Place, Stand},
};

impl ReadWith {
    /// What a length is read with.
    pub const OF_LENGTHS: [Self; 5] =
        [Self::Calipers, Self::Rule, Self::LongRule, Self::StopBlock, Self::NotCounted];
    /// What an angle is read with.
    pub const OF_ANGLES: [Self; 4] = [Self::Protractor, Self::AngleGauge, Self::Rest, Self::NotCounted];

    /// The usual half-width, in millimetres or degrees.
    #[must_use]
    pub const fn half_width(self) -> f64 {
        match self {
            Self::Calipers => 0.1,
            Self::Rule | Self::Protractor => 0.5,
            Self::LongRule => 1.0,
            Self::StopBlock | Self::Rest | Self::AngleGauge => 0.2,
            Self::NotCounted => 0.0,
        }
    }

    /// Its name.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Calipers => "calipers",
            Self::Rule => "rule",
            Self::LongRule => "long rule",
            Self::StopBlock => "stop block",
            Self::Protractor => "protractor",
            Self::AngleGauge => "angle gauge",
            Self::Rest => "notch",
            Self::NotCounted => "not counted",
        }
    }
}

/// A reading of a setting: what it is read with and how far it may be off.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BudgetLine {
    /// What is read.
    pub input: Quantity,
    /// With what.
    pub with: ReadWith,
    /// Half-width of the ±, in millimetres, or degrees for angles.
    pub half_width: f64,
    /// Whether nobody has said so and it is assumed.
    pub assumed: bool,
}

/// The readings that a setting of a bench rests on, those that are set first.
#[must_use]
pub fn uncertainties(bench: &Bench, entry: &SettingEntry) -> Vec<BudgetLine> {
    let stand = Stand::of(bench, entry);
    let usually = |input| {
        let read = table::row(input).and_then(|row| row.read);
        read.map_or(ReadWith::NotCounted, |read| read(&stand))
    };
    table::readings(bench, entry)
        .into_iter()
        .map(|input| {
            let stated = kept(&stand, input).iter().find(|known| known.input == input);
            let with = stated.map_or_else(|| usually(input), |known| known.with);
            let half_width = stated.and_then(|known| known.plus_minus).unwrap_or_else(|| with.half_width());
            BudgetLine { input, with, half_width, assumed: stated.is_none() }
        })
        .collect()
}

/// How sure the bevel of a setting is.
#[must_use]
pub fn uncertainty(uncertainties: &[BudgetLine], job: &Job, view: &SideView) -> CombinedUncertainty {
    job.setting.uncertainty(view, &readings_of(uncertainties))
}

/// How far each reading of a setting may be off, as a trial grind carries it.
#[must_use]
pub fn readings(bench: &Bench, entry: &SettingEntry) -> Vec<Reading> {
    readings_of(&uncertainties(bench, entry))
}

fn readings_of(uncertainties: &[BudgetLine]) -> Vec<Reading> {
    uncertainties.iter().map(|line| Reading { input: line.input, half_width: line.half_width }).collect()
}

/// Says how a reading of the current setting is made, where that is kept; `None` goes back to what is usual.
pub fn say(bench: &mut Bench, input: Quantity, stated: Option<ReadingSaved>) {
    let Some(mut entry) = bench.current.take() else { return };
    let kept = match place_of(input) {
        Some(Place::Setting(_)) => Some(&mut entry.readings),
        Some(Place::Tool(_)) => {
            bench.tools.iter_mut().find(|tool| tool.id == entry.tool).map(|tool| &mut tool.readings)
        }
        Some(Place::Wheel(_)) => {
            let rig = bench.rigs.iter_mut().find(|rig| rig.id == entry.rig);
            rig.and_then(|rig| rig.wheels.iter_mut().find(|wheel| wheel.id == entry.wheel))
                .map(|wheel| &mut wheel.readings)
        }
        Some(Place::Holder(_)) => {
            let rig = bench.rigs.iter_mut().find(|rig| rig.id == entry.rig);
            table::holder_id(&entry)
                .and_then(|id| rig?.holders.iter_mut().find(|holder| holder.id == id))
                .map(|holder| &mut holder.readings)
        }
        Some(Place::Worked) | None => None,
    };
    if let Some(kept) = kept {
        kept.retain(|known| known.input != input);
        kept.extend(stated.map(|stated| ReadingSaved { input, ..stated }));
        kept.sort_by_key(|known| known.input);
    }
    bench.current = Some(entry);
}

fn place_of(input: Quantity) -> Option<Place> {
    table::row(input).map(|row| row.place)
}

fn kept<'a>(stand: &Stand<'a>, input: Quantity) -> &'a [ReadingSaved] {
    let kept = match place_of(input) {
        Some(Place::Setting(_)) => Some(&stand.entry.readings),
        Some(Place::Tool(_)) => stand.tool.map(|tool| &tool.readings),
        Some(Place::Wheel(_)) => stand.wheel.map(|wheel| &wheel.readings),
        Some(Place::Holder(_)) => stand.holder.map(|holder| &holder.readings),
        Some(Place::Worked) | None => None,
    };
    kept.map_or(&[], Vec::as_slice)
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]
mod tests {
    use super::*;
    use crate::saved::setting::SupportSaved;
    use crate::saved::{
        file::{read_bench, write_bench},
        library::demo_bench,
    };

    fn sure_deg(bench: &Bench, entry: &SettingEntry, job: &Job, view: &SideView) -> f64 {
        uncertainty(&uncertainties(bench, entry), job, view).expanded().degrees()
    }

    #[test]
    fn stop_block_and_rest_are_surer_than_rule_and_protractor() {
        let bench = demo_bench().unwrap();
        let entry = bench.setting_named("Long grind, 85 mm").unwrap();
        let (job, view) = bench.answer(entry).unwrap();
        let mut coarse = entry.clone();
        let SupportSaved::Holder { projection_mm, strut_angle_deg, .. } = &mut coarse.support else {
            panic!()
        };
        // Named a little off stop and rest; the same answer is used, so only the half-widths differ.
        *projection_mm += 0.3;
        *strut_angle_deg += 0.3;
        let sure = sure_deg(&bench, entry, &job, &view);
        assert!(sure < sure_deg(&bench, &coarse, &job, &view));
        assert!((0.1..2.0).contains(&sure), "{sure}");
    }

    #[test]
    fn a_stated_reading_is_stored_with_its_part_and_enters_the_budget() {
        let mut bench = demo_bench().unwrap();
        let entry = bench.setting_named("Long grind, 85 mm").unwrap().clone();
        bench.current = Some(entry.clone());
        let (job, view) = bench.answer(&entry).unwrap();
        let usual = sure_deg(&bench, &entry, &job, &view);
        let mut before = usual;
        // Every input that the bevel rests on, each read a little worse than it was: the ± grows every time.
        let all = uncertainties(&bench, &entry);
        assert_eq!(all.len(), 11);
        for uncertainty in all {
            let stated = ReadingSaved {
                input: Quantity::Reach,
                with: uncertainty.with,
                plus_minus: Some(uncertainty.half_width + 0.5),
            };
            say(&mut bench, uncertainty.input, Some(stated));
            let current = bench.current.clone().unwrap();
            let now = sure_deg(&bench, &current, &job, &view);
            assert!(now > before, "{:?}: {before} {now}", uncertainty.input);
            before = now;
        }
        let current = bench.current.clone().unwrap();
        assert!(uncertainties(&bench, &current).iter().all(|uncertainty| !uncertainty.assumed));
        let again = read_bench(&write_bench(&bench).unwrap()).unwrap();
        assert_eq!(again, bench);
        for input in bevelbench_geometry::side::uncertainty::READINGS {
            say(&mut bench, input, None);
        }
        let current = bench.current.clone().unwrap();
        assert!((sure_deg(&bench, &current, &job, &view) - usual).abs() < 1e-12);
    }
}
