//! Undo and redo: named snapshots, one for each gesture.
//!
//! A bench is small, so a snapshot is a whole bench. A drag opens a step when it begins and closes it when it
//! ends, however many frames lie between; giving it up with Esc puts the snapshot back. Steps that were kept beside the
//! bench lie below as differences of texts and become benches when undo comes to them.

use std::cell::OnceCell;

use bevelbench_notebook::{
    saved::{
        Bench,
        file::{read_bench, write_bench},
    },
    store::undo_steps::{self, Patch, UndoSteps},
};

/// How many steps are kept.
const KEPT: usize = 500;

/// One step: what it is called and the bench before it.
#[derive(Debug, Clone)]
struct Step {
    label: String,
    before: Bench,
    /// How its bench differs from that of the step above it; known only while there is one.
    patch: OnceCell<Patch>,
}

/// Steps in one direction, the next one last: those that were read from a file, and above them those made since.
#[derive(Debug, Clone, Default)]
struct Stack {
    /// The bench that the uppermost of the read steps is reported against.
    base: String,
    read: Vec<undo_steps::UndoStep>,
    made: Vec<Step>,
}

impl Stack {
    fn of(read: Vec<undo_steps::UndoStep>, base: &str) -> Self {
        Self { base: base.to_owned(), read, made: Vec::new() }
    }

    fn push(&mut self, step: Step) {
        self.made.push(step);
        if self.read.len() + self.made.len() > KEPT {
            if self.read.is_empty() { drop(self.made.remove(0)) } else { drop(self.read.remove(0)) }
        }
    }

    fn pop(&mut self) -> Option<Step> {
        let step = self.made.pop().or_else(|| self.take_read())?;
        self.touch();
        Some(step)
    }

    /// The uppermost of the read steps as a bench. Where it cannot be read neither can those below.
    fn take_read(&mut self) -> Option<Step> {
        let step = self.read.pop()?;
        let text = step.patch.apply(&self.base);
        let Some((text, Ok(before))) = text.map(|text| (text.clone(), read_bench(&text))) else {
            self.read.clear();
            return None;
        };
        self.base = text;
        Some(Step { label: step.label, before, patch: OnceCell::new() })
    }

    /// What lies above the uppermost step changes.
    fn touch(&mut self) {
        if let Some(top) = self.made.last_mut() {
            top.patch.take();
        }
    }

    fn clear(&mut self) {
        *self = Self::default();
    }

    fn top(&self) -> Option<&str> {
        self.made.last().map(|step| step.label.as_str()).or(self.read.last().map(|step| step.label.as_str()))
    }

    /// All of them as differences, with one that is still open on top, told against the present bench.
    fn kept(&self, open: Option<&Step>, present: &str) -> Vec<undo_steps::UndoStep> {
        let made: Vec<&Step> = self.made.iter().chain(open).collect();
        let mut kept = self.read.clone();
        // From the present downwards: each is reported against the one above it.
        let mut above: Option<&Step> = None;
        let mut reported = Vec::with_capacity(made.len());
        for step in made.iter().rev() {
            let patch = match above {
                None => Patch::new(present, &text_of(&step.before)),
                Some(above) => {
                    let reported = || Patch::new(&text_of(&above.before), &text_of(&step.before));
                    step.patch.get_or_init(reported).clone()
                }
            };
            reported.push(undo_steps::UndoStep { label: step.label.clone(), patch });
            above = Some(step);
        }
        if let Some(top) = kept.last_mut() {
            let lowest = above.map_or_else(|| present.to_owned(), |above| text_of(&above.before));
            if lowest != self.base
                && let Some(text) = top.patch.apply(&self.base)
            {
                top.patch = Patch::new(&lowest, &text);
            }
        }
        kept.extend(reported.into_iter().rev());
        kept
    }
}

fn text_of(bench: &Bench) -> String {
    write_bench(bench).unwrap_or_default()
}

/// The steps that can be undone and done again.
#[derive(Debug, Clone, Default)]
pub struct History {
    past: Stack,
    future: Stack,
    open: Option<Step>,
}

impl History {
    /// The steps that were kept beside a bench.
    #[must_use]
    pub fn of(kept: UndoSteps) -> Self {
        Self {
            past: Stack::of(kept.past, &kept.present),
            future: Stack::of(kept.future, &kept.present),
            open: None,
        }
    }

    /// All steps, to be kept beside the bench whose text this is; one that is still open is among them.
    #[must_use]
    pub fn kept(&self, present: &str) -> UndoSteps {
        UndoSteps {
            present: present.to_owned(),
            past: self.past.kept(self.open.as_ref(), present),
            future: self.future.kept(None, present),
        }
    }

    /// Opens a step; what is still open is closed first.
    pub fn begin(&mut self, label: impl Into<String>, bench: &Bench) {
        self.end(bench);
        self.past.touch();
        self.open = Some(Step { label: label.into(), before: bench.clone(), patch: OnceCell::new() });
    }

    /// Closes the open step. A step that changed nothing leaves no trace. Says what was done, if anything.
    pub fn end(&mut self, bench: &Bench) -> Option<&str> {
        let step = self.open.take()?;
        if step.before == *bench {
            self.past.touch();
            return None;
        }
        self.future.clear();
        self.past.push(step);
        self.past.top()
    }

    /// Whether the last step has this name and could go on: nothing was begun or undone since.
    #[must_use]
    pub fn goes_on(&self, label: &str) -> bool {
        let last = self.past.made.last();
        self.open.is_none() && self.future.top().is_none() && last.is_some_and(|step| step.label == label)
    }

    /// The last step went on to this bench; one that leads back to where it began leaves no trace.
    pub fn went_on(&mut self, bench: &Bench) {
        self.past.made.pop_if(|step| step.before == *bench);
        self.past.touch();
    }

    /// Whether a step is open.
    #[must_use]
    pub fn is_open(&self) -> bool {
        self.open.is_some()
    }

    /// Gives the open step up: the bench as it was when it began.
    pub fn cancel(&mut self) -> Option<Bench> {
        self.past.touch();
        self.open.take().map(|step| step.before)
    }

    /// Undoes the last step: swaps the bench and says what was undone.
    pub fn undo(&mut self, bench: &mut Bench) -> Option<String> {
        self.end(bench);
        swap(&mut self.past, &mut self.future, bench)
    }

    /// Does the last undone step again.
    pub fn redo(&mut self, bench: &mut Bench) -> Option<String> {
        self.end(bench);
        swap(&mut self.future, &mut self.past, bench)
    }

    /// What undo would undo.
    #[must_use]
    pub fn undoable(&self) -> Option<&str> {
        self.open.as_ref().map(|step| step.label.as_str()).or_else(|| self.past.top())
    }

    /// What redo would do again.
    #[must_use]
    pub fn redoable(&self) -> Option<&str> {
        self.future.top()
    }
}

/// Takes the bench of the next step, and lays the present one on the other side.
fn swap(from: &mut Stack, to: &mut Stack, bench: &mut Bench) -> Option<String> {
    let step = from.pop()?;
    let present = std::mem::replace(bench, step.before);
    to.touch();
    to.push(Step { label: step.label.clone(), before: present, patch: OnceCell::new() });
    Some(step.label)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn titled(title: &str) -> Bench {
        Bench { title: title.to_owned(), ..Bench::default() }
    }

    #[test]
    fn one_gesture_is_one_step_whatever_lies_between() {
        let (mut history, mut bench) = (History::default(), titled("a"));
        history.begin("drag", &bench);
        for title in ["b", "c", "d"] {
            bench.title = title.to_owned();
        }
        history.end(&bench);
        assert_eq!(history.undo(&mut bench).as_deref(), Some("drag"));
        assert_eq!(bench.title, "a");
        assert_eq!(history.redo(&mut bench).as_deref(), Some("drag"));
        assert_eq!(bench.title, "d");
    }

    #[test]
    fn gesture_without_a_change_leaves_no_trace() {
        let (mut history, bench) = (History::default(), titled("a"));
        history.begin("drag", &bench);
        assert_eq!(history.end(&bench), None);
        assert_eq!(history.undoable(), None);
    }

    #[test]
    fn new_step_forgets_what_was_undone() {
        let (mut history, mut bench) = (History::default(), titled("a"));
        for title in ["b", "c"] {
            history.begin(title, &bench);
            bench.title = title.to_owned();
        }
        history.undo(&mut bench);
        assert_eq!(history.redoable(), Some("c"));
        history.begin("e", &bench);
        bench.title = "e".to_owned();
        history.end(&bench);
        assert_eq!((history.redoable(), history.undoable()), (None, Some("e")));
    }

    #[test]
    fn undo_in_the_middle_of_a_gesture_undoes_that_gesture() {
        let (mut history, mut bench) = (History::default(), titled("a"));
        history.begin("drag", &bench);
        bench.title = "b".to_owned();
        assert_eq!(history.undo(&mut bench).as_deref(), Some("drag"));
        assert_eq!(bench.title, "a");
    }

    /// Undoes everything, then does everything again: the titles that are met.
    fn walk(mut history: History, mut bench: Bench) -> (Vec<String>, Vec<String>) {
        let mut titles = (vec![bench.title.clone()], Vec::new());
        while history.undo(&mut bench).is_some() {
            titles.0.push(bench.title.clone());
        }
        while history.redo(&mut bench).is_some() {
            titles.1.push(bench.title.clone());
        }
        titles
    }

    #[test]
    fn steps_kept_beside_the_bench_lead_the_same_way_as_before() {
        let (mut history, mut bench) = (History::default(), titled("0"));
        let mut chance = 11_u32;
        for round in 1..400 {
            chance = chance.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            match chance >> 28 {
                0..=2 => drop(history.undo(&mut bench)),
                3..=4 => drop(history.redo(&mut bench)),
                5 => {
                    history.begin("given up", &bench);
                    bench.title.push_str(" unwanted");
                    bench = history.cancel().unwrap_or_default();
                }
                // Making another setting current is no step.
                6 => bench.notes = round.to_string(),
                7 => {
                    history.begin("nothing", &bench);
                    history.end(&bench);
                }
                _ => {
                    history.begin(format!("step {round}"), &bench);
                    bench.title = round.to_string();
                    history.end(&bench);
                }
            }
            // Kept, and in every third round taken up again from what was kept.
            let text = text_of(&bench);
            let written = history.kept(&text).write().unwrap_or_default();
            let read = History::of(UndoSteps::read(&written).unwrap_or_default());
            let expected = walk(history.clone(), bench.clone());
            assert_eq!(walk(read.clone(), bench.clone()), expected, "round {round}");
            assert_eq!((read.undoable(), read.redoable()), (history.undoable(), history.redoable()));
            if round % 3 == 0 {
                history = read;
            }
        }
        assert!(walk(history, bench).0.len() > 10, "many steps were met");
    }

    #[test]
    fn a_gesture_that_never_ended_is_a_step_that_can_be_undone() {
        let (mut history, mut bench) = (History::default(), titled("a"));
        history.begin("drag", &bench);
        bench.title = "b".to_owned();
        let kept = history.kept(&text_of(&bench));
        let mut again = History::of(kept);
        assert_eq!(again.undo(&mut bench).as_deref(), Some("drag"));
        assert_eq!(bench.title, "a");
    }

    #[test]
    fn steps_that_cannot_be_read_end_the_row_without_a_panic() {
        let mut bench = titled("a");
        let odd = |label: &str| undo_steps::UndoStep {
            label: label.to_owned(),
            patch: Patch::new(&text_of(&titled("a")), "no bench at all"),
        };
        let kept = UndoSteps { present: text_of(&bench), past: vec![odd("x"), odd("y")], future: Vec::new() };
        let mut history = History::of(kept);
        assert_eq!(history.undo(&mut bench), None);
        assert_eq!((bench.title.as_str(), history.undoable()), ("a", None));
    }
}
