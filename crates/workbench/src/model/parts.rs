//! Making, copying and deleting parts of a bench. Copies get ids of their own; what a deleted part leaves behind is
//! counted before, so that one can be asked.

use std::collections::BTreeSet;

use bevelbench_notebook::saved::{
    ArmSaved, Bench, HolderSaved, Id, Rig, SettingEntry, SupportSaved, TableSaved, ToolEntry, ToolKeep,
    WheelSaved,
    ids::{PartKind, Place},
};

/// A part that can be deleted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum PartOf {
    /// A tool, with its settings.
    Tool(Id),
    /// A rig with everything on it.
    Rig(Id),
    /// A wheel of a rig.
    Wheel(Id, Id),
    /// A holder of a rig.
    Holder(Id, Id),
    /// The arm in front of a wheel.
    Arm(Id, Id),
    /// The table in front of a wheel.
    Table(Id, Id),
}

/// What uses a part.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Users {
    /// Settings, the current one and the one beside it among them.
    pub(crate) settings: usize,
    /// Lessons.
    pub(crate) lessons: usize,
    /// Trial grinds.
    pub(crate) trials: usize,
}

impl Users {
    /// Nothing uses it.
    pub(crate) const fn none(self) -> bool {
        self.settings == 0 && self.lessons == 0 && self.trials == 0
    }
}

impl PartOf {
    /// What it is called on this bench.
    pub(crate) fn name(self, bench: &Bench) -> String {
        let wheel =
            |rig, wheel| bench.rig(rig).and_then(|rig| rig.wheel(wheel)).map(|wheel| wheel.name.clone());
        let name = match self {
            Self::Tool(id) => bench.tool(id).map(|tool| tool.name.clone()),
            Self::Rig(id) => bench.rig(id).map(|rig| rig.name.clone()),
            Self::Wheel(rig, id) => wheel(rig, id),
            Self::Holder(rig, id) => {
                bench.rig(rig).and_then(|rig| rig.holder(id)).map(|holder| holder.name.clone())
            }
            Self::Arm(rig, id) => wheel(rig, id).map(|name| format!("{name}: arm")),
            Self::Table(rig, id) => wheel(rig, id).map(|name| format!("{name}: table")),
        };
        name.unwrap_or_default()
    }

    /// What it is.
    pub(crate) const fn kind(self) -> &'static str {
        match self {
            Self::Tool(_) => "tool",
            Self::Rig(_) => "rig",
            Self::Wheel(..) => "wheel",
            Self::Holder(..) => "holder",
            Self::Arm(..) => "arm",
            Self::Table(..) => "table",
        }
    }

    fn is_used_by(self, setting: &SettingEntry) -> bool {
        let pivots = !matches!(setting.support, SupportSaved::Table { .. });
        match self {
            Self::Tool(id) => setting.needs(PartKind::Tool, id),
            Self::Rig(id) => setting.needs(PartKind::Rig, id),
            Self::Wheel(_, id) => setting.needs(PartKind::Wheel, id),
            Self::Holder(_, id) => setting.needs(PartKind::Holder, id),
            Self::Arm(_, wheel) => setting.needs(PartKind::Wheel, wheel) && pivots,
            Self::Table(_, wheel) => setting.needs(PartKind::Wheel, wheel) && !pivots,
        }
    }

    /// What on the bench uses it.
    pub(crate) fn users(self, bench: &Bench) -> Users {
        let (mut settings, mut lessons) = (BTreeSet::new(), BTreeSet::new());
        let mut trials = 0;
        for (place, entry) in bench.entries().filter(|(_, entry)| self.is_used_by(entry)) {
            match place {
                // The current one is a copy of one that is saved, or a setting of its own.
                Place::Saved | Place::Current | Place::Beside => settings.extend([entry.id]),
                Place::Lesson(lesson) => lessons.extend([lesson]),
                Place::Trial(_) => trials += 1,
            }
        }
        Users { settings: settings.len(), lessons: lessons.len(), trials }
    }

    /// Takes it off the bench. Settings that used it stay and say what is missing, except those of a deleted tool, which
    /// go with it: a setting is shown under its tool.
    pub(crate) fn delete(self, bench: &mut Bench) {
        match self {
            Self::Tool(id) => {
                bench.tools.retain(|tool| tool.id != id);
                bench.settings.retain(|setting| setting.tool != id);
                if bench.current.as_ref().is_some_and(|current| current.tool == id) {
                    bench.current = bench.settings.first().cloned();
                }
                bench.beside.take_if(|beside| beside.tool == id);
                bench.drop_loose_links();
            }
            Self::Rig(id) => bench.rigs.retain(|rig| rig.id != id),
            Self::Wheel(rig, id) => {
                if let Some(rig) = rig_mut(bench, rig) {
                    rig.wheels.retain(|wheel| wheel.id != id);
                }
            }
            Self::Holder(rig, id) => {
                if let Some(rig) = rig_mut(bench, rig) {
                    rig.holders.retain(|holder| holder.id != id);
                }
            }
            Self::Arm(rig, id) => {
                if let Some(wheel) = wheel_mut(bench, rig, id) {
                    wheel.arm = None;
                }
            }
            Self::Table(rig, id) => {
                if let Some(wheel) = wheel_mut(bench, rig, id) {
                    wheel.table = None;
                }
            }
        }
    }
}

/// A rig of a bench, to be changed.
pub(crate) fn rig_mut(bench: &mut Bench, id: Id) -> Option<&mut Rig> {
    bench.rigs.iter_mut().find(|rig| rig.id == id)
}

/// A wheel of a rig, to be changed.
pub(crate) fn wheel_mut(bench: &mut Bench, rig: Id, id: Id) -> Option<&mut WheelSaved> {
    rig_mut(bench, rig).and_then(|rig| rig.wheels.iter_mut().find(|wheel| wheel.id == id))
}

/// A holder of a rig, to be changed.
pub(crate) fn holder_mut(bench: &mut Bench, rig: Id, id: Id) -> Option<&mut HolderSaved> {
    rig_mut(bench, rig).and_then(|rig| rig.holders.iter_mut().find(|holder| holder.id == id))
}

/// A tool of a bench, to be changed.
pub(crate) fn tool_mut(bench: &mut Bench, id: Id) -> Option<&mut ToolEntry> {
    bench.tools.iter_mut().find(|tool| tool.id == id)
}

/// The wanted name, or with the first number behind it that no other has: “Long grind”, “Long grind 2”, …
pub(crate) fn free_name<'a>(wanted: &str, taken: impl Iterator<Item = &'a str>) -> String {
    let taken: BTreeSet<&str> = taken.collect();
    if !taken.contains(wanted) {
        return wanted.to_owned();
    }
    // One more try than there are names: one of them is free.
    (2..taken.len() + 3)
        .map(|count| format!("{wanted} {count}"))
        .find(|name| !taken.contains(name.as_str()))
        .unwrap_or_else(|| wanted.to_owned())
}

/// Puts a copy of a tool on the bench, behind `after` or at the end, and returns its id.
pub(crate) fn add_tool(bench: &mut Bench, mut tool: ToolEntry, after: Option<Id>) -> Id {
    tool.id = bench.give_id();
    if after.is_some() {
        // A copy is another piece of steel: it has no past.
        tool.keep = ToolKeep { interval_days: tool.keep.interval_days, ..ToolKeep::default() };
    }
    tool.name = free_name(&tool.name, bench.tools.iter().map(|tool| tool.name.as_str()));
    let id = tool.id;
    let place = after.and_then(|after| bench.tools.iter().position(|tool| tool.id == after));
    bench.tools.insert(place.map_or(bench.tools.len(), |place| place + 1), tool);
    id
}

/// Puts a copy of a rig on the bench, its wheels and holders with ids of their own, and returns its id.
pub(crate) fn add_rig(bench: &mut Bench, mut rig: Rig, after: Option<Id>) -> Id {
    let mut fresh = bench.give_ids(1 + rig.wheels.len() + rig.holders.len());
    let mut fresh = || fresh.next().unwrap_or_default();
    rig.id = fresh();
    for wheel in &mut rig.wheels {
        wheel.id = fresh();
        if after.is_some() {
            wheel.keep.diameters = Vec::new();
        }
    }
    for holder in &mut rig.holders {
        holder.id = fresh();
    }
    rig.name = free_name(&rig.name, bench.rigs.iter().map(|rig| rig.name.as_str()));
    let id = rig.id;
    let place = after.and_then(|after| bench.rigs.iter().position(|rig| rig.id == after));
    bench.rigs.insert(place.map_or(bench.rigs.len(), |place| place + 1), rig);
    id
}

/// Puts a copy of a wheel, with what stands in front of it, on a rig and returns its id.
pub(crate) fn add_wheel(bench: &mut Bench, rig: Id, mut wheel: WheelSaved) -> Option<Id> {
    wheel.id = bench.give_id();
    let rig = rig_mut(bench, rig)?;
    wheel.name = free_name(&wheel.name, rig.wheels.iter().map(|wheel| wheel.name.as_str()));
    let id = wheel.id;
    rig.wheels.push(wheel);
    Some(id)
}

/// Puts a copy of a holder with a rig and returns its id.
pub(crate) fn add_holder(bench: &mut Bench, rig: Id, mut holder: HolderSaved) -> Option<Id> {
    holder.id = bench.give_id();
    let rig = rig_mut(bench, rig)?;
    holder.name = free_name(&holder.name, rig.holders.iter().map(|holder| holder.name.as_str()));
    let id = holder.id;
    rig.holders.push(holder);
    Some(id)
}

/// An ordinary arm for a wheel: level, a little behind and below the rim.
pub(crate) fn ordinary_arm(wheel: &WheelSaved) -> ArmSaved {
    ArmSaved {
        zero_x_mm: 20.0,
        zero_z_mm: -(wheel.diameter_new_mm / 2.0).round(),
        tilt_deg: 0.0,
        reach_least_mm: 0.0,
        reach_most_mm: 600.0,
    }
}

/// An ordinary table for a wheel: its hinge 3 mm off the rim, a little above the spindle.
pub(crate) fn ordinary_table(wheel: &WheelSaved) -> TableSaved {
    let radius = wheel.diameter_mm / 2.0;
    TableSaved {
        hinge_x_mm: (radius + 3.0).round(),
        hinge_z_mm: (radius * 0.22).round(),
        surface_offset_mm: 0.0,
        front_mm: 4.0,
        rear_mm: 70.0,
        tilt_least_deg: -60.0,
        tilt_most_deg: 30.0,
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "tests may fail loudly")]
mod tests {
    use super::*;
    use bevelbench_notebook::saved::{
        TrialSaved,
        ids::IdUse,
        library::{demo_bench, library},
    };

    /// Every part's own id on a bench.
    fn ids(bench: &Bench) -> Vec<Id> {
        let mut all: Vec<Id> = Vec::new();
        bench.each_id(|_, used, id| all.extend((used == IdUse::Own).then_some(id)));
        all
    }

    #[test]
    fn copies_from_the_library_never_share_an_id() {
        let (mut bench, library) = (demo_bench().unwrap(), library().unwrap());
        for rig in &library.rigs {
            let id = add_rig(&mut bench, rig.clone(), None);
            for wheel in &rig.wheels {
                add_wheel(&mut bench, id, wheel.clone()).unwrap();
            }
            for holder in &rig.holders {
                add_holder(&mut bench, id, holder.clone()).unwrap();
            }
        }
        for tool in &library.tools {
            add_tool(&mut bench, tool.clone(), None);
            add_tool(&mut bench, tool.clone(), None);
        }
        let all = ids(&bench);
        assert_eq!(all.iter().collect::<BTreeSet<_>>().len(), all.len());
        let names: BTreeSet<_> = bench.tools.iter().map(|tool| &tool.name).collect();
        assert_eq!(names.len(), bench.tools.len(), "names are told apart too");
    }

    #[test]
    fn lessons_and_trials_that_use_a_part_are_counted() {
        let mut bench = demo_bench().unwrap();
        bench.trials = vec![TrialSaved::of(bench.settings[0].clone()); 2];
        let tool = bench.settings[0].tool;
        let before = PartOf::Tool(tool).users(&bench);
        assert_eq!(before.trials, 2);
        bench.settings.clear();
        (bench.current, bench.beside) = (None, None);
        let of_lessons = bench.lessons.iter().filter(|lesson| {
            lesson
                .steps
                .iter()
                .any(|step| step.setting.tool == tool || step.beside.as_ref().is_some_and(|b| b.tool == tool))
        });
        let lessons = of_lessons.count();
        assert_eq!(PartOf::Tool(tool).users(&bench), Users { settings: 0, lessons, trials: 2 });
    }

    #[test]
    fn a_lesson_on_a_deleted_tool_never_shows_a_newer_one() {
        let mut bench = demo_bench().unwrap();
        let tool = bench.tools[0].clone();
        let copy = add_tool(&mut bench, tool.clone(), Some(tool.id));
        bench.lessons[0].steps[0].setting.tool = copy;
        PartOf::Tool(copy).delete(&mut bench);
        let newer = add_tool(&mut bench, tool, None);
        assert_ne!(newer, copy);
        assert!(bench.tool(bench.lessons[0].steps[0].setting.tool).is_none());
    }

    #[test]
    fn a_deleted_tool_leaves_no_link_to_its_settings_and_nothing_beside() {
        let mut bench = demo_bench().unwrap();
        let gone = bench.settings[0].clone();
        let kept = bench.settings.iter_mut().find(|entry| entry.tool != gone.tool).unwrap();
        kept.keep.polishes = Some(gone.id);
        let kept = kept.id;
        bench.beside = Some(gone.clone());
        PartOf::Tool(gone.tool).delete(&mut bench);
        assert_eq!(bench.setting(kept).unwrap().keep.polishes, None);
        assert_eq!(bench.beside, None);
    }

    #[test]
    fn a_deleted_wheel_leaves_its_settings_on_the_bench() {
        let mut bench = demo_bench().unwrap();
        let first = bench.settings[0].clone();
        let part = PartOf::Wheel(first.rig, first.wheel);
        let before = bench.settings.len();
        assert!(part.users(&bench).settings > 0);
        part.delete(&mut bench);
        assert_eq!(bench.settings.len(), before);
        assert!(bench.rig(first.rig).unwrap().wheel(first.wheel).is_none());
    }

    #[test]
    fn an_arm_is_used_by_what_stands_in_its_cup_and_a_table_by_what_lies_on_it() {
        let bench = demo_bench().unwrap();
        for rig in &bench.rigs {
            for wheel in &rig.wheels {
                let wheel_users = PartOf::Wheel(rig.id, wheel.id).users(&bench).settings;
                let arm = PartOf::Arm(rig.id, wheel.id).users(&bench).settings;
                let table = PartOf::Table(rig.id, wheel.id).users(&bench).settings;
                assert_eq!(arm + table, wheel_users, "{}", wheel.name);
            }
        }
    }

    #[test]
    fn ordinary_arms_and_tables_fit_the_wheel() {
        for rig in library().unwrap().rigs {
            for wheel in rig.wheels {
                ordinary_arm(&wheel).build().unwrap();
                ordinary_table(&wheel).build().unwrap();
            }
        }
    }
}
