//! Taking parts over from another bench: everything gets ids of its own here, nothing is overwritten.

use std::collections::HashMap;

use bevelbench_notebook::saved::{Bench, Id, Rig, SupportSaved};

use crate::{
    edit::parts::{add_rig, add_tool},
    session::Session,
};

/// Adds another bench's rigs, tools and settings to this one as one undo step, and says in words how many. A
/// part of the same name gets a number behind its name.
pub fn import(session: &mut Session, other: &Bench) -> String {
    let words = format!(
        "{} rigs, {} tools and {} settings",
        other.rigs.len(),
        other.tools.len(),
        other.settings.len()
    );
    session.edit(format!("Import {words}"), |bench| {
        let mut ids: HashMap<Id, Id> = HashMap::new();
        for rig in &other.rigs {
            add_rig_with(bench, rig, &mut ids);
        }
        for tool in &other.tools {
            let id = add_tool(bench, tool.clone(), None);
            ids.insert(tool.id, id);
        }
        let new_id = |ids: &HashMap<Id, Id>, old: Id| ids.get(&old).copied().unwrap_or(old);
        for setting in &other.settings {
            let mut setting = setting.clone();
            setting.id = bench.next_id();
            setting.tool = new_id(&ids, setting.tool);
            setting.rig = new_id(&ids, setting.rig);
            setting.wheel = new_id(&ids, setting.wheel);
            if let SupportSaved::Holder { holder, .. } = &mut setting.support {
                *holder = new_id(&ids, *holder);
            }
            bench.settings.push(setting);
        }
        if bench.in_hand.is_none() {
            bench.in_hand = bench.settings.first().cloned();
        }
    });
    words
}

/// Adds a copy of a rig, and notes which id each of its parts had and has now.
fn add_rig_with(bench: &mut Bench, rig: &Rig, ids: &mut HashMap<Id, Id>) {
    let id = add_rig(bench, rig.clone(), None);
    ids.insert(rig.id, id);
    let Some(copy) = bench.rig(id) else { return };
    ids.extend(rig.wheels.iter().zip(&copy.wheels).map(|(old, new)| (old.id, new.id)));
    ids.extend(rig.holders.iter().zip(&copy.holders).map(|(old, new)| (old.id, new.id)));
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]
mod tests {
    use super::*;
    use bevelbench_notebook::library::demo_bench;

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
        let text = bevelbench_notebook::file::write_bench(bench).unwrap();
        assert_eq!(&bevelbench_notebook::file::read_bench(&text).unwrap(), bench);
        session.undo();
        assert_eq!(session.bench().settings.len(), demo.settings.len());
    }
}
