//! Undo and redo: named snapshots, one for each gesture.
//!
//! A bench is small, so a snapshot is a whole bench. A drag opens a step when it begins and closes it when it
//! ends, however many frames lie between; giving it up with Esc puts the snapshot back.

use bevelbench_notebook::saved::Bench;

/// How many steps are kept.
const KEPT: usize = 500;

/// One step: what it is called and the bench before it.
#[derive(Debug, Clone)]
struct Step {
    label: String,
    before: Bench,
}

/// The steps that can be undone and done again.
#[derive(Debug, Clone, Default)]
pub struct History {
    past: Vec<Step>,
    future: Vec<Step>,
    open: Option<Step>,
}

impl History {
    /// Opens a step; what is still open is closed first.
    pub fn begin(&mut self, label: impl Into<String>, bench: &Bench) {
        self.end(bench);
        self.open = Some(Step { label: label.into(), before: bench.clone() });
    }

    /// Closes the open step. A step that changed nothing leaves no trace. Says what was done, if anything.
    pub fn end(&mut self, bench: &Bench) -> Option<&str> {
        let step = self.open.take()?;
        if step.before == *bench {
            return None;
        }
        self.future.clear();
        self.past.push(step);
        if self.past.len() > KEPT {
            self.past.remove(0);
        }
        self.past.last().map(|step| step.label.as_str())
    }

    /// Whether a step is open.
    #[must_use]
    pub fn is_open(&self) -> bool {
        self.open.is_some()
    }

    /// Gives the open step up: the bench as it was when it began.
    pub fn cancel(&mut self) -> Option<Bench> {
        self.open.take().map(|step| step.before)
    }

    /// Undoes the last step: swaps the bench and says what was undone.
    pub fn undo(&mut self, bench: &mut Bench) -> Option<String> {
        self.end(bench);
        let step = self.past.pop()?;
        let after = std::mem::replace(bench, step.before);
        self.future.push(Step { label: step.label.clone(), before: after });
        Some(step.label)
    }

    /// Does the last undone step again.
    pub fn redo(&mut self, bench: &mut Bench) -> Option<String> {
        self.end(bench);
        let step = self.future.pop()?;
        let before = std::mem::replace(bench, step.before);
        self.past.push(Step { label: step.label.clone(), before });
        Some(step.label)
    }

    /// What undo would undo.
    #[must_use]
    pub fn undoable(&self) -> Option<&str> {
        self.open.as_ref().or(self.past.last()).map(|step| step.label.as_str())
    }

    /// What redo would do again.
    #[must_use]
    pub fn redoable(&self) -> Option<&str> {
        self.future.last().map(|step| step.label.as_str())
    }
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
}
