//! One part of a bench to hand on: a small bench of its own that holds a setting, a tool or a rig with what it needs and
//! nothing else.

use std::collections::BTreeSet;

use crate::saved::{
    bench::Bench,
    id::Id,
    ids::{IdUse, Place},
    rig::Rig,
    setting::{SettingEntry, SupportSaved},
};

/// What is handed on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Shared {
    /// A setting with its tool, and with its rig's grinder, wheel and holder.
    Setting(Id),
    /// A tool without settings.
    Tool(Id),
    /// A rig with all its wheels and holders.
    Rig(Id),
    /// A lesson, by its place among the bench's lessons, with the tools and rigs of its steps.
    Lesson(usize),
}

/// A bench that holds the part and what it needs; `None` if the part is not on the bench, or what it needs is not.
#[must_use]
pub fn shared(bench: &Bench, what: Shared) -> Option<Bench> {
    let mut alone = taken_out(bench, what)?;
    // A setting that another is to be like, or to polish, stays at home.
    alone.drop_loose_links();
    Some(alone)
}

fn taken_out(bench: &Bench, what: Shared) -> Option<Bench> {
    match what {
        Shared::Setting(id) => {
            let current = bench.current.as_ref().filter(|current| current.id == id);
            of_setting(bench, current.or_else(|| bench.setting(id))?)
        }
        Shared::Tool(id) => {
            let tool = bench.tool(id)?.clone();
            Some(Bench { title: tool.name.clone(), tools: vec![tool], ..Bench::default() })
        }
        Shared::Rig(id) => {
            let rig = bench.rig(id)?.clone();
            Some(Bench { title: rig.name.clone(), rigs: vec![rig], ..Bench::default() })
        }
        Shared::Lesson(place) => {
            let lesson = bench.lessons.get(place)?.clone();
            let mut needed = BTreeSet::new();
            for (_, entry) in bench.entries().filter(|(at, _)| *at == Place::Lesson(place)) {
                entry.each_id(|_, used, id| needed.extend((used == IdUse::Need).then_some(id)));
            }
            let rigs = bench.rigs.iter().filter(|rig| needed.contains(&rig.id)).cloned().collect();
            let tools = bench.tools.iter().filter(|tool| needed.contains(&tool.id)).cloned().collect();
            Some(Bench {
                title: lesson.title.clone(),
                rigs,
                tools,
                lessons: vec![lesson],
                ..Bench::default()
            })
        }
    }
}

fn of_setting(bench: &Bench, entry: &SettingEntry) -> Option<Bench> {
    let tool = bench.tool(entry.tool)?.clone();
    let rig = bench.rig(entry.rig)?;
    let wheel = rig.wheel(entry.wheel)?.clone();
    let holders = match entry.support {
        SupportSaved::Holder { holder, .. } => vec![rig.holder(holder)?.clone()],
        _ => Vec::new(),
    };
    let rig = Rig { wheels: vec![wheel], holders, ..rig.clone() };
    Some(Bench {
        title: format!("{}: {}", tool.name, entry.name),
        rigs: vec![rig],
        tools: vec![tool],
        settings: vec![entry.clone()],
        ..Bench::default()
    })
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]
mod tests {
    use super::*;
    use crate::saved::{
        file::{read_bench, write_bench},
        library::demo_bench,
    };

    #[test]
    fn a_shared_setting_answers_on_its_own_as_it_did_at_home() {
        let bench = demo_bench().unwrap();
        for entry in &bench.settings {
            let small = shared(&bench, Shared::Setting(entry.id)).unwrap();
            let again = read_bench(&write_bench(&small).unwrap()).unwrap();
            let bevel =
                |bench: &Bench| bench.answer(&bench.settings[0]).unwrap().1.bevel().degrees().to_bits();
            let home = bench.answer(entry).unwrap().1.bevel().degrees().to_bits();
            assert_eq!(bevel(&again), home, "{}", entry.name);
            assert_eq!((again.tools.len(), again.rigs.len(), again.rigs[0].wheels.len()), (1, 1, 1));
        }
    }

    #[test]
    fn a_shared_lesson_has_the_tools_and_rigs_of_its_steps_and_no_others() {
        let bench = demo_bench().unwrap();
        for place in 0..bench.lessons.len() {
            let small = shared(&bench, Shared::Lesson(place)).unwrap();
            let again = read_bench(&write_bench(&small).unwrap()).unwrap();
            assert_eq!(again.lessons, [bench.lessons[place].clone()]);
            assert!(again.tools.len() < bench.tools.len());
            for step in &again.lessons[0].steps {
                assert_eq!(
                    again.answer(&step.setting).map(|(job, _)| job.setting).ok(),
                    bench.answer(&step.setting).map(|(job, _)| job.setting).ok()
                );
            }
        }
    }

    #[test]
    fn a_shared_part_names_nothing_outside_its_file() {
        use crate::saved::{BevelMeant, TargetSaved, WingSaved};
        let mut bench = demo_bench().unwrap();
        let other = bench.settings[1].id;
        for (_, entry) in bench.entries_mut() {
            let wing = Some(WingSaved::SameAs { setting: other });
            entry.target = Some(TargetSaved { bevel_deg: 40.0, meant: BevelMeant::AtEdge, wing });
            entry.keep.polishes = Some(other);
        }
        for what in [Shared::Setting(bench.settings[0].id), Shared::Lesson(0)] {
            let small = shared(&bench, what).unwrap();
            let mut own = BTreeSet::new();
            small.each_id(|_, used, id| own.extend((used == IdUse::Own).then_some(id)));
            let mut loose = Vec::new();
            small.each_id(|part, used, id| {
                if matches!(used, IdUse::Need | IdUse::Link) && !own.contains(&id) {
                    loose.push((part, id));
                }
            });
            assert_eq!(loose, [], "{what:?}");
        }
    }

    #[test]
    fn a_missing_part_is_not_shared() {
        let bench = demo_bench().unwrap();
        for what in
            [Shared::Setting(Id(9999)), Shared::Tool(Id(9999)), Shared::Rig(Id(9999)), Shared::Lesson(9999)]
        {
            assert_eq!(shared(&bench, what), None);
        }
    }
}
