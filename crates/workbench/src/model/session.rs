//! The session: the bench being worked on, the current setting, its answer, the history, and what is not saved yet.
//!
//! Nothing here knows the toolkit. Everything that changes the bench goes through a gesture, so that each is one
//! undo step; the answer is worked out again only when the bench has changed.

use bevelbench_geometry::{
    facet::{InkMap, NoContact, ink::FILM_ASSUMED_MM},
    math::Quantity,
    side::{Answer, Caution, Job, SideView, Target},
};
use bevelbench_notebook::{
    answer::bench::Unanswered,
    saved::{Bench, Id, SettingEntry, table::OnBench},
};

use crate::model::{gesture::Gesture, history::History};

/// What follows from the current setting.
#[derive(Debug, Clone)]
pub struct Outcome {
    /// The job, if it could be put together.
    pub job: Option<Job>,
    /// Its answer, or why there is none.
    pub result: Result<SideView, Unanswered>,
    /// The facets as they are, settled on the wheel, and where ink would go; `None` while they are not known.
    pub ink: Option<Result<InkMap, NoContact>>,
    /// What the turner should be told.
    pub cautions: Vec<Caution>,
}

/// Where to find the bevel that was asked for, or why it is not to be had.
#[derive(Debug, Clone)]
pub enum Found {
    /// Moved there: the input and its new value in millimetres or degrees.
    Moved(Quantity, f64),
    /// The nearest answer lies off the travel.
    OffTravel(Box<Answer>),
    /// No answer at all, with the reason where there is one.
    Nowhere(Option<Unanswered>),
}

/// The bench being worked on.
#[derive(Debug)]
pub struct Session {
    bench: Bench,
    history: History,
    revision: u64,
    computed: Option<u64>,
    outcome: Option<Outcome>,
    last_good: Option<(Job, SideView)>,
    /// The quantity that moves the setting beside along with the current one.
    link: Option<Quantity>,
    /// A text is being typed of which part has been taken over.
    typed_on: bool,
}

impl Session {
    /// A session on a bench; takes the first setting as the current one if none is.
    #[must_use]
    pub fn new(bench: Bench) -> Self {
        let mut session = Self {
            bench,
            history: History::default(),
            revision: 1,
            computed: None,
            outcome: None,
            last_good: None,
            link: None,
            typed_on: false,
        };
        session.bench.note_ids();
        if session.bench.current.is_none() {
            session.bench.current = session.bench.settings.first().cloned();
        }
        session.compute();
        session
    }

    /// The same with the steps that were kept beside the bench.
    #[must_use]
    pub fn with_history(bench: Bench, history: History) -> Self {
        Self { history, ..Self::new(bench) }
    }

    /// The bench.
    #[must_use]
    pub fn bench(&self) -> &Bench {
        &self.bench
    }

    /// A number that grows with every change of the bench.
    #[must_use]
    pub fn revision(&self) -> u64 {
        self.revision
    }

    /// The history.
    #[must_use]
    pub fn history(&self) -> &History {
        &self.history
    }

    /// The current setting.
    #[must_use]
    pub fn current(&self) -> Option<&SettingEntry> {
        self.bench.current.as_ref()
    }

    /// Whether the current setting differs from what is saved to its tool.
    #[must_use]
    pub fn is_moved(&self) -> bool {
        self.bench.current.as_ref().is_some_and(|current| self.bench.setting(current.id) != Some(current))
    }

    /// What follows from the current setting; `None` where no setting is current.
    #[must_use]
    pub fn outcome(&self) -> Option<&Outcome> {
        self.outcome.as_ref()
    }

    /// The job and answer that last had one, for the ghost and for dragging out of trouble.
    #[must_use]
    pub fn last_good(&self) -> Option<&(Job, SideView)> {
        self.last_good.as_ref()
    }

    /// Works the answer out again if the bench has changed since.
    pub fn compute(&mut self) {
        if self.computed == Some(self.revision) {
            return;
        }
        self.computed = Some(self.revision);
        self.outcome = self.bench.current.as_ref().map(|entry| outcome_of(&self.bench, entry));
        if let Some(Outcome { job: Some(job), result: Ok(view), .. }) = &self.outcome {
            self.last_good = Some((*job, *view));
        }
    }

    /// Changes the bench as one undo step, or within the step that is open.
    pub fn edit(&mut self, label: impl Into<String>, change: impl FnOnce(&mut Bench)) {
        if self.history.is_open() {
            self.change(change);
            return;
        }
        let label = label.into();
        if self.typed_on && self.history.goes_on(&label) {
            self.change(change);
            self.history.went_on(&self.bench);
            return;
        }
        self.history.begin(label, &self.bench);
        self.change(change);
        self.history.end(&self.bench);
    }

    /// Feeds a widget's gesture: opens a step, applies each value, closes or gives up the step.
    pub fn gesture(
        &mut self,
        label: impl Into<String>,
        gesture: &Gesture,
        apply: impl FnOnce(&mut Bench, f64),
    ) {
        if gesture.begun {
            self.begin(label);
        }
        if gesture.cancelled {
            self.cancel();
            return;
        }
        if let Some(value) = gesture.changed.filter(|value| value.is_finite()) {
            self.change(|bench| apply(bench, value));
        }
        if gesture.ended {
            self.end();
        }
    }

    /// Says whether a text is still being typed of which part has been taken over: what follows under the same name is
    /// the same step.
    pub fn set_typed_on(&mut self, typed_on: bool) {
        self.typed_on = typed_on;
    }

    /// Opens an undo step.
    pub fn begin(&mut self, label: impl Into<String>) {
        self.history.begin(label, &self.bench);
    }

    /// Changes the bench within the open step.
    pub fn change(&mut self, change: impl FnOnce(&mut Bench)) {
        let linked = self.link.and_then(|dial| self.bench.current.as_ref().zip(dial.get(&self.bench)));
        let before = linked.map(|(current, value)| (current.id, value));
        self.keeping_ids(|session| change(&mut session.bench));
        if let (Some(dial), Some((id, before))) = (self.link, before)
            && self.bench.current.as_ref().is_some_and(|current| current.id == id)
            && let Some(after) = dial.get(&self.bench)
        {
            step_beside(&mut self.bench, dial, after - before);
        }
        self.touched();
    }

    /// The setting beside the current one.
    #[must_use]
    pub fn beside(&self) -> Option<&SettingEntry> {
        self.bench.beside.as_ref()
    }

    /// The quantity that moves the setting beside along with the current one.
    #[must_use]
    pub fn link(&self) -> Option<Quantity> {
        self.link
    }

    /// Ties a quantity of the setting beside to that of the current one, or none.
    pub fn set_link(&mut self, link: Option<Quantity>) {
        self.link = link;
    }

    /// Saves the setting beside, under its own name.
    pub fn save_beside(&mut self) -> Option<String> {
        let beside = self.bench.beside.clone()?.set_true(&self.bench);
        let name = beside.name.clone();
        self.edit(format!("Save “{name}”"), |bench| {
            bench.beside = Some(beside.clone());
            if let Some(saved) = bench.settings.iter_mut().find(|setting| setting.id == beside.id) {
                *saved = beside;
            } else {
                let last = bench.settings.iter().rposition(|setting| setting.tool == beside.tool);
                bench.settings.insert(last.map_or(bench.settings.len(), |index| index + 1), beside);
            }
        });
        Some(name)
    }

    /// Closes the open undo step.
    pub fn end(&mut self) {
        self.history.end(&self.bench);
    }

    /// Gives the open step up.
    pub fn cancel(&mut self) {
        if let Some(before) = self.history.cancel() {
            self.keeping_ids(|session| session.bench = before);
            self.touched();
        }
    }

    /// Undoes the last step and says what it was.
    pub fn undo(&mut self) -> Option<String> {
        let undone = self.keeping_ids(|session| session.history.undo(&mut session.bench));
        self.touched();
        undone
    }

    /// Does the last undone step again and says what it was.
    pub fn redo(&mut self) -> Option<String> {
        let redone = self.keeping_ids(|session| session.history.redo(&mut session.bench));
        self.touched();
        redone
    }

    /// Takes a saved setting as the current one. If the current one was moved and not saved, that is an undo step of its own.
    pub fn choose(&mut self, id: Id) {
        let Some(entry) = self.bench.setting(id).cloned() else { return };
        if self.is_moved() {
            self.edit(format!("Take “{}” in hand", entry.name), |bench| bench.current = Some(entry));
        } else {
            self.bench.current = Some(entry);
            self.touched();
        }
    }

    /// Changes the current setting within the open step.
    pub fn change_hand(&mut self, change: impl FnOnce(&mut SettingEntry)) {
        if let Some(current) = self.bench.current.as_mut() {
            change(current);
            self.touched();
        }
    }

    /// Saves the current setting to its tool, under its own name.
    pub fn save(&mut self) -> Option<String> {
        let current = self.bench.current.clone()?.set_true(&self.bench);
        let name = current.name.clone();
        self.edit(format!("Save “{name}”"), |bench| {
            bench.current = Some(current.clone());
            match bench.settings.iter_mut().find(|setting| setting.id == current.id) {
                Some(saved) => *saved = current,
                None => bench.settings.push(current),
            }
        });
        Some(name)
    }

    /// Saves the current setting as a new one of its tool and takes that as the current one.
    pub fn save_as(&mut self, name: &str) {
        let Some(current) = self.bench.current.clone() else { return };
        let mut current = current.set_true(&self.bench);
        name.clone_into(&mut current.name);
        let after = self.bench.settings.iter().rposition(|setting| setting.tool == current.tool);
        self.edit(format!("Save as “{name}”"), |bench| {
            current.id = bench.give_id();
            let place = after.map_or(bench.settings.len(), |index| index + 1);
            bench.settings.insert(place, current.clone());
            bench.current = Some(current);
        });
    }

    /// Puts the current setting back to what is saved.
    pub fn discard_changes(&mut self) {
        let Some(saved) =
            self.bench.current.as_ref().and_then(|current| self.bench.setting(current.id)).cloned()
        else {
            return;
        };
        self.edit(format!("Put “{}” back", saved.name), |bench| bench.current = Some(saved));
    }

    /// Deletes a setting; the next one of its tool becomes current if it was the current one.
    pub fn delete_setting(&mut self, id: Id) {
        let Some(entry) = self.bench.setting(id).cloned() else { return };
        self.edit(format!("Delete “{}”", entry.name), |bench| {
            bench.settings.retain(|setting| setting.id != id);
            bench.drop_loose_links();
            if bench.current.as_ref().is_some_and(|current| current.id == id) {
                let next = bench.settings.iter().find(|setting| setting.tool == entry.tool);
                bench.current = next.or(bench.settings.first()).cloned();
            }
        });
    }

    /// Moves one input so that the current setting grinds a bevel, as one undo step.
    pub fn find(&mut self, target: Target, free: Quantity) -> Found {
        let Some(current) = &self.bench.current else { return Found::Nowhere(None) };
        let job = match self.bench.job_of(current) {
            Ok(job) => job,
            Err(unanswered) => return Found::Nowhere(Some(unanswered)),
        };
        let present = job.setting.value_of(free).unwrap_or(0.0);
        let answers = match job.setting.find(target, free) {
            Ok(answers) => answers,
            Err(refusal) => return Found::Nowhere(Some(refusal.into())),
        };
        if let Some(answer) = answers.nearest(present) {
            let value = answer.value;
            self.edit("Find a bevel", |bench| {
                free.set(bench, value);
            });
            return Found::Moved(free, value);
        }
        let nearest =
            answers.all().min_by(|a, b| (a.value - present).abs().total_cmp(&(b.value - present).abs()));
        nearest.map_or(Found::Nowhere(None), |answer| Found::OffTravel(Box::new(*answer)))
    }

    /// Puts another bench in the place of this one, or changes it, and never gives an id again that was given here.
    fn keeping_ids<T>(&mut self, change: impl FnOnce(&mut Self) -> T) -> T {
        let last = self.bench.last_id;
        let made = change(self);
        self.bench.last_id = self.bench.last_id.or_later(last);
        made
    }

    fn touched(&mut self) {
        self.revision += 1;
    }
}

/// Moves a quantity of the setting beside by as much as that of the current one was moved. What belongs to the bench,
/// a wheel or a tool that both use, has moved already.
fn step_beside(bench: &mut Bench, dial: Quantity, by: f64) {
    if by == 0.0 || !by.is_finite() {
        return;
    }
    if let (Some(current), Some(beside)) = (&bench.current, &bench.beside) {
        let shared = match dial {
            Quantity::WheelDiameter => (current.rig, current.wheel) == (beside.rig, beside.wheel),
            Quantity::ToolLength => current.tool == beside.tool,
            _ => false,
        };
        if shared {
            return;
        }
    }
    std::mem::swap(&mut bench.current, &mut bench.beside);
    if let Some(value) = dial.get(bench) {
        dial.set(bench, value + by);
    }
    std::mem::swap(&mut bench.current, &mut bench.beside);
}

/// What follows from a setting of a bench.
#[must_use]
pub fn outcome_of(bench: &Bench, entry: &SettingEntry) -> Outcome {
    match bench.job_of(entry) {
        Err(unanswered) => Outcome { job: None, result: Err(unanswered), ink: None, cautions: Vec::new() },
        Ok(job) => match job.evaluate() {
            Err(refusal) => {
                Outcome { job: Some(job), result: Err(refusal.into()), ink: None, cautions: Vec::new() }
            }
            Ok(view) => Outcome {
                job: Some(job),
                result: Ok(view),
                ink: job.tool.profile().map(|profile| job.setting.ink(profile, FILM_ASSUMED_MM)),
                cautions: job.cautions(&view),
            },
        },
    }
}
