//! Ids: one walk over every id that a bench holds, wherever it stands, and numbers that are given once.
//!
//! Deleting, handing on, taking over, duplicating, counting who uses a part and looking for twins all go through the
//! walk, so that a new place for an id is entered here alone.

use std::collections::BTreeSet;

use crate::saved::{
    bench::Bench,
    id::{Id, LastId},
    lesson::LessonStep,
    setting::{SettingEntry, SupportSaved},
    target::{TargetSaved, WingSaved},
    trial::TrialSaved,
};

/// A kind of part that has an id.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum PartKind {
    /// A rig.
    Rig,
    /// A wheel of a rig.
    Wheel,
    /// A holder of a rig.
    Holder,
    /// A tool.
    Tool,
    /// A setting.
    Setting,
}

/// What an id stands there for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum IdUse {
    /// It is the part's own.
    Own,
    /// It is that of the setting of which this is a copy: in hand, beside, in a lesson, in a trial grind.
    Copy,
    /// It names a part without which the setting has no answer.
    Need,
    /// It names another setting; the link can be let go.
    Link,
}

/// Where a setting stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Place {
    /// Among the bench's settings.
    Saved,
    /// In hand.
    Current,
    /// Beside the current one.
    Beside,
    /// In a lesson, by its place among the lessons.
    Lesson(usize),
    /// In a trial grind, by its place among them.
    Trial(usize),
}

impl Place {
    const fn use_of_own_id(self) -> IdUse {
        match self {
            Self::Saved => IdUse::Own,
            Self::Current | Self::Beside | Self::Lesson(_) | Self::Trial(_) => IdUse::Copy,
        }
    }
}

/// The walks, once for looking and once for changing: what they meet, and in which order, is written down once.
macro_rules! walks {
    ($entries:ident, $of_step:ident, $of_entry:ident, $of_bench:ident, $iter:ident, $as_ref:ident $(, $mutable:tt)?) => {
        impl LessonStep {
            fn $of_step(&$($mutable)? self) -> impl Iterator<Item = &$($mutable)? SettingEntry> {
                std::iter::once(&$($mutable)? self.setting).chain(self.beside.$as_ref())
            }
        }

        impl Bench {
            /// Every setting of the bench, wherever it stands.
            pub fn $entries(&$($mutable)? self) -> impl Iterator<Item = (Place, &$($mutable)? SettingEntry)> {
                let saved = self.settings.$iter().map(|entry| (Place::Saved, entry));
                let current = self.current.$iter().map(|entry| (Place::Current, entry));
                let beside = self.beside.$iter().map(|entry| (Place::Beside, entry));
                let lessons = self.lessons.$iter().enumerate().flat_map(|(place, lesson)| {
                    let steps = lesson.steps.$iter().flat_map(LessonStep::$of_step);
                    steps.map(move |entry| (Place::Lesson(place), entry))
                });
                let trials = self.trials.$iter().enumerate().map(|(place, trial)| {
                    let TrialSaved { setting, .. } = trial;
                    (Place::Trial(place), setting)
                });
                saved.chain(current).chain(beside).chain(lessons).chain(trials)
            }

            fn $of_bench(&$($mutable)? self, visit: &mut impl FnMut(PartKind, IdUse, &$($mutable)? Id) -> bool) {
                for rig in self.rigs.$iter() {
                    visit(PartKind::Rig, IdUse::Own, &$($mutable)? rig.id);
                    for wheel in rig.wheels.$iter() {
                        visit(PartKind::Wheel, IdUse::Own, &$($mutable)? wheel.id);
                    }
                    for holder in rig.holders.$iter() {
                        visit(PartKind::Holder, IdUse::Own, &$($mutable)? holder.id);
                    }
                }
                for tool in self.tools.$iter() {
                    visit(PartKind::Tool, IdUse::Own, &$($mutable)? tool.id);
                }
                for (place, entry) in self.$entries() {
                    entry.$of_entry(place.use_of_own_id(), visit);
                }
            }
        }

        impl SettingEntry {
            fn $of_entry(
                &$($mutable)? self,
                own: IdUse,
                visit: &mut impl FnMut(PartKind, IdUse, &$($mutable)? Id) -> bool,
            ) {
                visit(PartKind::Setting, own, &$($mutable)? self.id);
                visit(PartKind::Tool, IdUse::Need, &$($mutable)? self.tool);
                visit(PartKind::Rig, IdUse::Need, &$($mutable)? self.rig);
                visit(PartKind::Wheel, IdUse::Need, &$($mutable)? self.wheel);
                if let SupportSaved::Holder { holder, .. } = &$($mutable)? self.support {
                    visit(PartKind::Holder, IdUse::Need, holder);
                }
                if let Some(TargetSaved { wing, .. }) = &$($mutable)? self.target
                    && let Some(WingSaved::SameAs { setting }) = wing
                    && !visit(PartKind::Setting, IdUse::Link, setting)
                {
                    $(let wing: &$mutable Option<WingSaved> = wing; *wing = None;)?
                }
                if let Some(polished) = &$($mutable)? self.keep.polishes
                    && !visit(PartKind::Setting, IdUse::Link, polished)
                {
                    $(let polishes: &$mutable Option<Id> = &$mutable self.keep.polishes; *polishes = None;)?
                }
            }
        }
    };
}

walks!(entries, step_entries, walk_entry, walk_bench, iter, as_ref);
walks!(entries_mut, step_entries_mut, walk_entry_mut, walk_bench_mut, iter_mut, as_mut, mut);

impl SettingEntry {
    /// Visits every id of a setting.
    pub fn each_id(&self, mut visit: impl FnMut(PartKind, IdUse, Id)) {
        self.walk_entry(IdUse::Own, &mut |part, used, id: &Id| {
            visit(part, used, *id);
            true
        });
    }

    /// Visits every id of a setting to change it; a link of which `visit` says no is let go.
    pub fn each_id_mut(&mut self, mut visit: impl FnMut(PartKind, IdUse, &mut Id) -> bool) {
        self.walk_entry_mut(IdUse::Own, &mut visit);
    }

    /// Whether it needs a part of this id.
    #[must_use]
    pub fn needs(&self, part: PartKind, id: Id) -> bool {
        let mut needs = false;
        self.each_id(|met, used, its| needs |= (met, used, its) == (part, IdUse::Need, id));
        needs
    }
}

impl Bench {
    /// Visits every id of the bench.
    pub fn each_id(&self, mut visit: impl FnMut(PartKind, IdUse, Id)) {
        self.walk_bench(&mut |part, used, id: &Id| {
            visit(part, used, *id);
            true
        });
    }

    /// Visits every id of the bench to change it; a link of which `visit` says no is let go.
    pub fn each_id_mut(&mut self, mut visit: impl FnMut(PartKind, IdUse, &mut Id) -> bool) {
        self.walk_bench_mut(&mut visit);
    }

    /// Lets go of every link to a setting that is not among the bench's settings.
    pub fn drop_loose_links(&mut self) {
        let settings: BTreeSet<Id> = self.settings.iter().map(|entry| entry.id).collect();
        self.each_id_mut(|_, used, id| used != IdUse::Link || settings.contains(id));
    }

    /// Makes sure that no id that stands anywhere on the bench is given again.
    pub fn note_ids(&mut self) {
        let mut last = self.last_id;
        self.each_id(|_, _, id| last = last.or_later(LastId(id.0)));
        self.last_id = last;
    }

    /// An id that no part of this bench has, or ever had as far as the bench knows.
    pub fn give_id(&mut self) -> Id {
        self.give_ids(1).next().unwrap_or_default()
    }

    /// So many of them. They are to be on the bench before it is asked for more.
    pub fn give_ids(&mut self, count: usize) -> std::vec::IntoIter<Id> {
        self.note_ids();
        let last = self.last_id.0;
        let ids: Vec<Id> = if let Some(end) = last.checked_add(count as u64) {
            self.last_id = LastId(end);
            (last..end).map(|before| Id(before + 1)).collect()
        } else {
            // The counter has come to its end, which only a number put in by hand can do: the least numbers that nothing
            // on the bench has or names.
            let mut taken = BTreeSet::new();
            self.each_id(|_, _, id| taken.extend([id]));
            (1..).map(Id).filter(|id| !taken.contains(id)).take(count).collect()
        };
        ids.into_iter()
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]
mod tests {
    use super::*;
    use crate::saved::{
        BevelMeant, Lesson,
        file::{read_bench, write_bench},
        library::demo_bench,
    };

    /// The demo with a setting in every place that holds one, all its links set.
    fn full() -> Bench {
        let mut bench = demo_bench().unwrap();
        let (first, other) = (bench.settings[0].clone(), bench.settings[1].id);
        let mut linked = first;
        let wing = Some(WingSaved::SameAs { setting: other });
        linked.target = Some(TargetSaved { bevel_deg: 40.0, meant: BevelMeant::AtEdge, wing });
        linked.keep.polishes = Some(other);
        bench.settings[0] = linked.clone();
        (bench.current, bench.beside) = (Some(linked.clone()), Some(linked.clone()));
        let mut step = LessonStep::of(&bench).unwrap();
        step.beside = Some(linked.clone());
        bench.lessons = vec![Lesson { title: "One".to_owned(), steps: vec![step] }];
        bench.trials = vec![TrialSaved::of(linked)];
        bench
    }

    /// Numbers in round brackets of the written bench: every id there is, by another way. No other number is written so.
    fn ids_in_text(bench: &Bench) -> Vec<u64> {
        let text = write_bench(&Bench { last_id: LastId(0), ..bench.clone() }).unwrap();
        let after = |part: &str| part.split(')').next().unwrap().parse::<u64>().ok();
        let mut ids: Vec<u64> = text.split('(').filter_map(after).collect();
        ids.sort_unstable();
        ids
    }

    #[test]
    fn the_walk_meets_every_id_that_is_written() {
        let mut bench = full();
        let mut met = Vec::new();
        bench.each_id(|_, _, id| met.push(id.0));
        let mut changed = Vec::new();
        bench.each_id_mut(|_, _, id| {
            changed.push(id.0);
            true
        });
        assert_eq!(met, changed);
        met.sort_unstable();
        assert_eq!(met, ids_in_text(&bench));
    }

    #[test]
    fn links_that_are_let_go_stand_nowhere_any_more() {
        let mut bench = full();
        let other = bench.settings[1].id;
        bench.settings.remove(1);
        bench.drop_loose_links();
        assert!(!ids_in_text(&bench).contains(&other.0));
        let mut links = 0;
        bench.each_id(|_, used, id| links += usize::from(used == IdUse::Link && bench.setting(id).is_none()));
        assert_eq!(links, 0);
    }

    #[test]
    fn the_number_of_a_deleted_setting_is_not_given_again() {
        let mut bench = demo_bench().unwrap();
        let mut copy = bench.settings[0].clone();
        copy.id = bench.give_id();
        bench.settings.push(copy.clone());
        bench.settings.pop();
        let mut again = read_bench(&write_bench(&bench).unwrap()).unwrap();
        assert_ne!(bench.give_id(), copy.id);
        assert_ne!(again.give_id(), copy.id, "nor after the bench was kept and opened");
    }

    #[test]
    fn numbers_that_only_a_lesson_or_a_trial_names_are_not_given() {
        let bench = full();
        for part in [PartKind::Tool, PartKind::Rig, PartKind::Wheel, PartKind::Holder, PartKind::Setting] {
            let mut bench = bench.clone();
            let mut high = 5000;
            for (_, entry) in bench.entries_mut().filter(|(place, _)| *place != Place::Saved) {
                entry.each_id_mut(|met, _, id| {
                    high += 1;
                    if met == part {
                        *id = Id(high);
                    }
                    true
                });
            }
            // As a file from before the counter was kept.
            let text = write_bench(&Bench { last_id: LastId(0), ..bench }).unwrap();
            assert!(!text.contains("last_id"));
            let mut read = read_bench(&text).unwrap();
            let most = ids_in_text(&read).pop().unwrap();
            assert!(most > 5000, "{part:?}");
            assert_eq!(read.give_id(), Id(most + 1), "{part:?}");
        }
    }

    #[test]
    fn the_largest_numbers_are_written_and_read_back() {
        for largest in [u64::from(u32::MAX), u64::MAX - 1, u64::MAX] {
            let mut bench = demo_bench().unwrap();
            bench.settings[0].id = Id(largest);
            for _ in 0..3 {
                let mut copy = bench.settings[1].clone();
                copy.id = bench.give_id();
                bench.settings.push(copy);
            }
            let again = read_bench(&write_bench(&bench).unwrap()).unwrap();
            assert_eq!(again.settings, bench.settings, "{largest}");
        }
    }
}
