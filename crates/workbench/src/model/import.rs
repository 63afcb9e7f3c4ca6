//! Taking parts over from another bench: everything that comes in gets ids of its own here, and nothing is overwritten.
//! Where a part of the same name is here already the caller asks which of the two is meant.

use std::collections::{HashMap, HashSet};

use bevelbench_notebook::saved::{
    Bench, Id, Rig, SettingEntry,
    ids::{IdUse, PartKind, Place},
};

use crate::model::{
    parts::{add_rig, add_tool, free_name},
    session::Session,
};

/// A part that comes in while one of the same name is here.
#[derive(Debug, Clone, PartialEq)]
pub struct Clash {
    /// The part that comes in.
    pub theirs: Id,
    /// Whether it is a rig, a tool or a setting.
    pub kind: Kind,
    /// The name of both.
    pub name: String,
    /// Whether the two are the same but for their ids.
    pub same: bool,
    /// Whether the one here can stand in for the one that comes in.
    pub mine_will_do: bool,
    /// What is to be done.
    pub choice: Choice,
}

/// A kind of part.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Kind {
    /// A rig.
    Rig,
    /// A tool.
    Tool,
    /// A setting of a tool.
    Setting,
}

impl Kind {
    /// Its name.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Rig => "Rig",
            Self::Tool => "Tool",
            Self::Setting => "Setting",
        }
    }
}

/// What is done about a clash.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Choice {
    /// The one here stays and stands in for the other.
    UseMine,
    /// The other comes in beside it, with a number behind its name.
    KeepBoth,
}

/// The parts of another bench that clash with this one, each with what is proposed: what is the same needs no second
/// copy, everything else is kept.
#[must_use]
pub fn clashes(bench: &Bench, other: &Bench) -> Vec<Clash> {
    let mut found = Vec::new();
    let mut add = |theirs, kind, name: &str, same: bool, mine_will_do: bool| {
        let choice = if same && mine_will_do { Choice::UseMine } else { Choice::KeepBoth };
        found.push(Clash { theirs, kind, name: name.to_owned(), same, mine_will_do, choice });
    };
    for rig in &other.rigs {
        if let Some(mine) = bench.rigs.iter().find(|mine| mine.name == rig.name) {
            add(rig.id, Kind::Rig, &rig.name, same_rig(mine, rig), paired(mine, rig).is_some());
        }
    }
    for tool in &other.tools {
        if let Some(mine) = bench.tools.iter().find(|mine| mine.name == tool.name) {
            let mut named = tool.clone();
            named.id = mine.id;
            add(tool.id, Kind::Tool, &tool.name, named == *mine, true);
        }
    }
    for setting in &other.settings {
        let Some(tool) = other.tool(setting.tool) else { continue };
        let Some(mine) = bench.tools.iter().find(|mine| mine.name == tool.name) else { continue };
        if let Some(twin) = bench.settings_of(mine.id).find(|twin| twin.name == setting.name) {
            let of_both =
                |bench: &Bench, entry| bench.answer(entry).map(|(job, view)| (job.setting, view)).ok();
            let same = with_my_ids(setting, twin) == *twin
                && of_both(bench, twin).is_some_and(|mine| Some(mine) == of_both(other, setting));
            add(setting.id, Kind::Setting, &format!("{}: {}", tool.name, setting.name), same, true);
        }
    }
    found
}

/// A setting that names a part which the other bench has not.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Incomplete {
    /// The setting's name, with its lesson's where it stands in one.
    pub name: String,
    /// What is missing.
    pub missing: PartKind,
}

impl Incomplete {
    /// A sentence that says what becomes of it.
    #[must_use]
    pub fn words(&self) -> String {
        let (name, missing) = (&self.name, part_words(self.missing));
        match self.missing {
            PartKind::Tool => format!("{name} is of a tool that this file does not have: it is left out."),
            _ => format!(
                "{name} needs a {missing} that this file does not have: it comes in without one. Choose one of yours for it afterwards."
            ),
        }
    }
}

const fn part_words(part: PartKind) -> &'static str {
    match part {
        PartKind::Rig => "rig",
        PartKind::Wheel => "wheel",
        PartKind::Holder => "holder",
        PartKind::Tool => "tool",
        PartKind::Setting => "setting",
    }
}

/// The settings of another bench, those in its lessons among them, that name a part which it has not; each with the first
/// that is missing. Such an id may well be that of a part here, which was never meant.
#[must_use]
pub fn incomplete(other: &Bench) -> Vec<Incomplete> {
    let own = own_ids(other);
    let comes_in = |place: &Place| matches!(place, Place::Saved | Place::Lesson(_));
    let entries = other.entries().filter(|(place, _)| comes_in(place));
    entries
        .filter_map(|(place, entry)| {
            let missing = first_missing(entry, &own)?;
            let lesson = match place {
                Place::Lesson(place) => other.lessons.get(place),
                _ => None,
            };
            let name = lesson.map_or_else(
                || format!("“{}”", entry.name),
                |lesson| format!("“{}” in the lesson “{}”", entry.name, lesson.title),
            );
            Some(Incomplete { name, missing })
        })
        .collect()
}

fn own_ids(bench: &Bench) -> HashSet<(PartKind, Id)> {
    let mut own = HashSet::new();
    bench.each_id(|part, used, id| own.extend((used == IdUse::Own).then_some((part, id))));
    own
}

fn first_missing(entry: &SettingEntry, own: &HashSet<(PartKind, Id)>) -> Option<PartKind> {
    let mut missing = None;
    entry.each_id(|part, used, id| {
        if used == IdUse::Need && !own.contains(&(part, id)) {
            missing = missing.or(Some(part));
        }
    });
    missing
}

/// A setting that comes in with the ids of its twin here: what is left to differ is what was set, noted and meant.
fn with_my_ids(theirs: &SettingEntry, mine: &SettingEntry) -> SettingEntry {
    let mut ids = HashMap::new();
    mine.each_id(|part, used, id| ids.extend([((part, used), id)]));
    let mut named = theirs.clone();
    named.each_id_mut(|part, used, id| {
        // A link names another setting; a setting that is handed on alone has none.
        if used != IdUse::Link
            && let Some(mine) = ids.get(&(part, used))
        {
            *id = *mine;
        }
        true
    });
    named.keep.polishes = mine.keep.polishes;
    named
}

/// Which wheel and holder here stand in for those that come in: by their names; `None` if one has no counterpart.
fn paired(mine: &Rig, theirs: &Rig) -> Option<Vec<((PartKind, Id), Id)>> {
    let wheels = theirs.wheels.iter().map(|wheel| {
        let here = mine.wheels.iter().find(|other| other.name == wheel.name);
        here.map(|here| ((PartKind::Wheel, wheel.id), here.id))
    });
    let holders = theirs.holders.iter().map(|holder| {
        let here = mine.holders.iter().find(|other| other.name == holder.name);
        here.map(|here| ((PartKind::Holder, holder.id), here.id))
    });
    wheels.chain(holders).collect()
}

/// Whether what comes in is all there in mine, with the same numbers.
fn same_rig(mine: &Rig, theirs: &Rig) -> bool {
    let wheels = theirs.wheels.iter().all(|wheel| {
        mine.wheels.iter().any(|other| {
            let mut named = wheel.clone();
            named.id = other.id;
            named == *other
        })
    });
    let holders = theirs.holders.iter().all(|holder| {
        mine.holders.iter().any(|other| {
            let mut named = holder.clone();
            named.id = other.id;
            named == *other
        })
    });
    wheels && holders && mine.grinder == theirs.grinder
}

/// Adds another bench's rigs, tools and settings to this one as one undo step, and says in words how many. A
/// part of the same name gets a number behind its name.
pub fn import(session: &mut Session, other: &Bench) -> String {
    import_with(session, other, &[])
}

/// The same with a choice for each clash; a clash that is not named keeps both.
pub fn import_with(session: &mut Session, other: &Bench, choices: &[Clash]) -> String {
    let mine: HashSet<(Kind, Id)> = choices
        .iter()
        .filter(|clash| clash.choice == Choice::UseMine && clash.mine_will_do)
        .map(|clash| (clash.kind, clash.theirs))
        .collect();
    let stays = |kind: Kind, id: Id| mine.contains(&(kind, id));
    let count = |all: usize, kind: Kind| {
        all - choices.iter().filter(|c| c.kind == kind && stays(kind, c.theirs)).count()
    };
    let own = own_ids(other);
    let of_no_tool = |setting: &SettingEntry| !own.contains(&(PartKind::Tool, setting.tool));
    let left_out = other.settings.iter().filter(|setting| of_no_tool(setting)).count();
    let words = format!(
        "{} rigs, {} tools and {} settings",
        count(other.rigs.len(), Kind::Rig),
        count(other.tools.len(), Kind::Tool),
        count(other.settings.len() - left_out, Kind::Setting)
    );
    session.edit(format!("Import {words}"), |bench| {
        let had = bench.settings.len();
        let mut parts: HashMap<(PartKind, Id), Id> = HashMap::new();
        for rig in &other.rigs {
            let here = bench.rigs.iter().find(|here| here.name == rig.name);
            let pairs = here.and_then(|here| paired(here, rig).map(|pairs| (here.id, pairs)));
            match pairs.filter(|_| stays(Kind::Rig, rig.id)) {
                Some((id, pairs)) => {
                    parts.insert((PartKind::Rig, rig.id), id);
                    parts.extend(pairs);
                }
                None => add_rig_with(bench, rig, &mut parts),
            }
        }
        for tool in &other.tools {
            let here = bench.tools.iter().find(|here| here.name == tool.name).map(|here| here.id);
            let id = match here.filter(|_| stays(Kind::Tool, tool.id)) {
                Some(id) => id,
                None => add_tool(bench, tool.clone(), None),
            };
            parts.insert((PartKind::Tool, tool.id), id);
        }
        // At most so many settings come in, and so many parts that are missing are named.
        let mut most = 0;
        other.each_id(|_, _, _| most += 1);
        let mut fresh = bench.give_ids(most);
        let mut at_home = |entry: &mut SettingEntry| {
            entry.each_id_mut(|part, used, id| {
                match used {
                    IdUse::Own | IdUse::Copy => *id = fresh.next().unwrap_or_default(),
                    // What the file names and does not have is nothing of this bench, whatever its number.
                    IdUse::Need => {
                        let here = parts.entry((part, *id));
                        *id = *here.or_insert_with(|| fresh.next().unwrap_or_default());
                    }
                    IdUse::Link => {}
                }
                true
            });
        };
        let mut settings: HashMap<Id, Id> = HashMap::new();
        for setting in other.settings.iter().filter(|setting| !of_no_tool(setting)) {
            let mut came = setting.clone();
            at_home(&mut came);
            if stays(Kind::Setting, setting.id)
                && let Some(twin) = bench.settings_of(came.tool).find(|twin| twin.name == setting.name)
            {
                settings.insert(setting.id, twin.id);
                continue;
            }
            settings.insert(setting.id, came.id);
            came.name = free_name(&came.name, bench.settings_of(came.tool).map(|twin| twin.name.as_str()));
            bench.settings.push(came);
        }
        // A grind that is to be that of another setting is to be that of the one that came in; of one that did not, no
        // more. So is the facet that a setting polishes.
        let link = |_, used, id: &mut Id| {
            if used != IdUse::Link {
                return true;
            }
            let here = settings.get(id);
            here.inspect(|here| *id = **here).is_some()
        };
        bench.settings.iter_mut().skip(had).for_each(|came| came.each_id_mut(link));
        let had = bench.lessons.len();
        for lesson in &other.lessons {
            let mut lesson = lesson.clone();
            lesson.title = free_name(&lesson.title, bench.lessons.iter().map(|l| l.title.as_str()));
            bench.lessons.push(lesson);
        }
        for (place, entry) in bench.entries_mut() {
            // The steps keep settings of their own; their ids are those of no setting of the bench.
            if matches!(place, Place::Lesson(place) if place >= had) {
                at_home(entry);
                entry.each_id_mut(link);
            }
        }
        if bench.current.is_none() {
            bench.current = bench.settings.first().cloned();
        }
    });
    words
}

/// Adds a copy of a rig, and notes which id each of its parts had and has now.
fn add_rig_with(bench: &mut Bench, rig: &Rig, parts: &mut HashMap<(PartKind, Id), Id>) {
    let id = add_rig(bench, rig.clone(), None);
    parts.insert((PartKind::Rig, rig.id), id);
    let Some(copy) = bench.rig(id) else { return };
    parts.extend(rig.wheels.iter().zip(&copy.wheels).map(|(old, new)| ((PartKind::Wheel, old.id), new.id)));
    parts
        .extend(rig.holders.iter().zip(&copy.holders).map(|(old, new)| ((PartKind::Holder, old.id), new.id)));
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]
mod tests {
    use super::*;
    use bevelbench_geometry::math::Quantity;
    use bevelbench_notebook::saved::{SupportSaved, WingSaved};
    use bevelbench_notebook::saved::{
        library::demo_bench,
        share::{Shared, shared},
    };

    #[test]
    fn imported_settings_answer_as_they_did() {
        let demo = demo_bench().unwrap();
        let mut session = Session::new(demo.clone());
        import(&mut session, &demo);
        let bench = session.bench();
        assert_eq!(bench.settings.len(), 2 * demo.settings.len());
        for (old, new) in demo.settings.iter().zip(&bench.settings[demo.settings.len()..]) {
            let bevel = |entry| bench.answer(entry).map(|(_, view)| view.bevel().degrees());
            assert_eq!(bevel(old), bevel(new), "{}", old.name);
            assert_ne!((old.tool, old.rig, old.wheel), (new.tool, new.rig, new.wheel));
        }
        // The text reader refuses twin ids: there are none.
        let text = bevelbench_notebook::saved::file::write_bench(bench).unwrap();
        assert_eq!(&bevelbench_notebook::saved::file::read_bench(&text).unwrap(), bench);
        session.undo();
        assert_eq!(session.bench().settings.len(), demo.settings.len());
    }

    #[test]
    fn settings_that_name_parts_their_file_lacks_never_take_mine() {
        let demo = demo_bench().unwrap();
        // A file of settings alone, and of a lesson on them: each number it names is that of a part here.
        let mut other =
            Bench { settings: demo.settings.clone(), lessons: demo.lessons.clone(), ..Bench::default() };
        let mut session = Session::new(demo.clone());
        import(&mut session, &other);
        let bench = session.bench();
        assert_eq!(bench.settings, demo.settings, "without a tool there is no place for a setting");
        let came = bench
            .entries()
            .filter(|(place, _)| matches!(place, Place::Lesson(at) if *at >= demo.lessons.len()));
        let came: Vec<_> = came.map(|(_, entry)| entry.clone()).collect();
        assert!(!came.is_empty());
        for entry in &came {
            assert!(bench.job_of(entry).is_err(), "{}", entry.name);
        }
        // With the tools, but on no rig: on the rack, and nothing under them.
        other.tools = demo.tools.clone();
        let found = incomplete(&other);
        assert_eq!(found.iter().filter(|one| !one.name.contains("lesson")).count(), demo.settings.len());
        assert!(found.iter().all(|one| one.missing == PartKind::Rig), "{found:?}");
        let mut session = Session::new(demo.clone());
        import(&mut session, &other);
        let bench = session.bench();
        assert_eq!(bench.settings.len(), 2 * demo.settings.len());
        for entry in &bench.settings[demo.settings.len()..] {
            assert!(bench.tool(entry.tool).is_some() && bench.rig(entry.rig).is_none(), "{}", entry.name);
            assert!(bench.rigs.iter().all(|rig| rig.wheel(entry.wheel).is_none()), "{}", entry.name);
        }
        assert_eq!(incomplete(&demo), []);
    }

    #[test]
    fn an_id_is_not_given_again_after_undo() {
        let mut session = Session::new(demo_bench().unwrap());
        session.save_as("One");
        let first = session.current().unwrap().id;
        session.undo();
        session.save_as("Other");
        assert_ne!(session.current().unwrap().id, first);
        let mut given = Vec::new();
        session.begin("Given up");
        session.change(|bench| given.extend(bench.give_ids(5)));
        session.cancel();
        session.save_as("Third");
        assert!(!given.contains(&session.current().unwrap().id));
    }

    #[test]
    fn a_grind_that_is_to_be_that_of_another_setting_keeps_to_that_one() {
        use bevelbench_notebook::saved::{BevelMeant, TargetSaved};
        let demo = demo_bench().unwrap();
        let mut other = demo.clone();
        let twin = other.settings[1].id;
        let wing = Some(WingSaved::SameAs { setting: twin });
        other.settings[0].target = Some(TargetSaved { bevel_deg: 40.0, meant: BevelMeant::AtEdge, wing });
        let mut session = Session::new(demo.clone());
        import(&mut session, &other);
        let came = &session.bench().settings[demo.settings.len()..];
        assert_eq!(came[0].target.unwrap().wing, Some(WingSaved::SameAs { setting: came[1].id }));
        // Handed on alone, there is nothing to be the same as.
        let small = shared(&other, Shared::Setting(other.settings[0].id)).unwrap();
        let mut session = Session::new(demo);
        import(&mut session, &small);
        assert_eq!(session.bench().settings.last().unwrap().target.unwrap().wing, None);
    }

    #[test]
    fn a_lesson_comes_in_on_the_parts_that_are_here() {
        let demo = demo_bench().unwrap();
        let small = shared(&demo, Shared::Lesson(0)).unwrap();
        let mut session = Session::new(demo.clone());
        let found = clashes(&demo, &small);
        import_with(&mut session, &small, &found);
        let bench = session.bench();
        assert_eq!((bench.rigs.len(), bench.tools.len()), (demo.rigs.len(), demo.tools.len()));
        let (old, new) = (&demo.lessons[0], bench.lessons.last().unwrap());
        assert_eq!(bench.lessons.len(), demo.lessons.len() + 1);
        assert_ne!(new.title, old.title);
        for (old, new) in old.steps.iter().zip(&new.steps) {
            let setting = |bench: &Bench, entry| bench.answer(entry).map(|(job, _)| job.setting).ok();
            assert_eq!(setting(bench, &new.setting), setting(&demo, &old.setting));
        }
    }

    #[test]
    fn a_setting_that_is_here_already_is_asked_about_and_not_copied_twice() {
        let demo = demo_bench().unwrap();
        let small = shared(&demo, Shared::Setting(demo.settings[0].id)).unwrap();
        let found = clashes(&demo, &small);
        assert_eq!(
            found.iter().map(|clash| clash.kind).collect::<Vec<_>>(),
            [Kind::Rig, Kind::Tool, Kind::Setting]
        );
        assert!(found.iter().all(|clash| clash.same && clash.choice == Choice::UseMine), "{found:?}");
        let mut session = Session::new(demo.clone());
        import_with(&mut session, &small, &found);
        assert_eq!(session.bench().settings, demo.settings);
        assert_eq!(
            (session.bench().rigs.len(), session.bench().tools.len()),
            (demo.rigs.len(), demo.tools.len())
        );
    }

    #[test]
    fn a_second_bevel_or_a_note_of_their_own_is_not_the_same_as_mine() {
        let demo = demo_bench().unwrap();
        let small = shared(&demo, Shared::Setting(demo.settings[0].id)).unwrap();
        let mut noted = small.clone();
        noted.settings[0].notes.push_str(" Mine.");
        let mut stepped = small;
        let moved = bevelbench_notebook::saved::MovedSaved::to(Quantity::Reach, 150.0).unwrap();
        stepped.settings[0]
            .further_steps
            .push(bevelbench_notebook::saved::FurtherStepSaved { moved, left_width_mm: 2.0 });
        for theirs in [noted, stepped] {
            let found = clashes(&demo, &theirs);
            let setting = found.iter().find(|clash| clash.kind == Kind::Setting).unwrap();
            assert_eq!((setting.same, setting.choice), (false, Choice::KeepBoth));
        }
    }

    #[test]
    fn another_grind_of_the_same_name_comes_in_beside_mine_on_my_rig() {
        let demo = demo_bench().unwrap();
        let mut small = shared(&demo, Shared::Setting(demo.settings[0].id)).unwrap();
        let SupportSaved::Holder { reach_mm, .. } = &mut small.settings[0].support else {
            panic!("a holder")
        };
        *reach_mm += 2.0;
        let found = clashes(&demo, &small);
        let setting = found.iter().find(|clash| clash.kind == Kind::Setting).unwrap();
        assert_eq!((setting.same, setting.choice), (false, Choice::KeepBoth));
        let mut session = Session::new(demo.clone());
        import_with(&mut session, &small, &found);
        let bench = session.bench();
        let new = bench.settings.last().unwrap();
        assert_eq!(bench.settings.len(), demo.settings.len() + 1);
        assert_ne!(new.name, demo.settings[0].name);
        assert_eq!(
            (new.tool, new.rig, new.wheel),
            (demo.settings[0].tool, demo.settings[0].rig, demo.settings[0].wheel)
        );
        assert_eq!(&bench.settings[..demo.settings.len()], &demo.settings[..]);
    }
}
