//! The keeper: where the bench is kept, whether what is on screen is on disk, and what was found on opening.
//!
//! Saving happens by itself whenever a gesture is over, and every second within a long one, on a thread of its own; what
//! fails is tried again; closing waits for it. The steps of undo are kept in a file beside the bench. Nothing is written
//! over what another program put there.

mod opening;
mod others;

use std::{
    path::{Path, PathBuf},
    time::Duration,
};

use bevelbench_notebook::{
    saved::{
        Bench,
        file::{read_bench, write_bench},
    },
    store::{self, Claim, Place, Saver, Stamp, StoreError, undo_steps::UndoSteps},
};

use crate::model::{appearance::Tone, history::History, prefs::Prefs};

pub use opening::Opened;
pub use others::Changed;

/// How long closing waits for the disk.
const PATIENCE: Duration = Duration::from_secs(20);
/// The longest that a change waits in the middle of a gesture, in seconds.
const LONGEST_WAIT_S: f64 = 1.0;
/// A save that failed is tried again after so many seconds, then after twice as many, up to the longest.
const FIRST_RETRY_S: f64 = 3.0;
const LONGEST_RETRY_S: f64 = 30.0;

/// In place of a revision: none was handed in, so that the present one is, once more.
const NONE: u64 = u64::MAX;

/// Why what is on screen is not on disk.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum FileProblem {
    /// The save failed; it is tried again by itself.
    Failed(String),
    /// Another program changed the file: to be decided.
    Changed(Changed),
    /// Nothing is written at all, and why.
    HeldBack(String),
}

/// Keeps a bench in its file.
#[derive(Debug)]
pub struct Keeper {
    path: PathBuf,
    prefs_path: Option<PathBuf>,
    saver: Saver,
    claim: Option<Claim>,
    /// The revision that is on disk, and the one that was handed to the saver last.
    saved: u64,
    handed: u64,
    /// Since when a change waits in the middle of a gesture, in seconds of the window's clock.
    waiting_since: Option<f64>,
    /// When a failed save is tried again, and how long the next wait is.
    retry_at: Option<f64>,
    retry_s: f64,
    problem: Option<String>,
    changed: Option<Changed>,
    /// What is to be reported once, in words.
    notice: Option<String>,
    /// Why nothing is written, if nothing is.
    held_back: Option<String>,
    opened: Option<Opened>,
    /// The file does not exist yet: what was opened is to be written as it is.
    first_start: bool,
    /// There is no file at all.
    nowhere: bool,
}

/// Reads a bench file.
///
/// # Errors
/// The words that name the file, the reason and the remedy.
pub fn read(path: &Path) -> Result<Bench, String> {
    read_with_seal(path).map(|(bench, _)| bench)
}

/// Reads a bench file; what is to be said of its seal comes with it.
///
/// # Errors
/// The words that name the file, the reason and the remedy.
pub fn read_with_seal(path: &Path) -> Result<(Bench, Option<String>), String> {
    opening::read_whole(path).map(|read| (read.bench, read.reported))
}

/// Where the steps of a bench are kept.
#[must_use]
pub fn steps_path(path: &Path) -> PathBuf {
    store::beside(path, ".steps")
}

impl Keeper {
    fn bare(path: PathBuf, wake: Option<Box<dyn Fn() + Send>>) -> Self {
        Self {
            path,
            prefs_path: None,
            saver: Saver::new(wake),
            claim: None,
            saved: 0,
            handed: 0,
            waiting_since: None,
            retry_at: None,
            retry_s: FIRST_RETRY_S,
            problem: None,
            changed: None,
            notice: None,
            held_back: None,
            opened: None,
            first_start: false,
            nowhere: false,
        }
    }

    /// The revision on screen is the one that was read.
    pub fn is_as_opened(&mut self, revision: u64) {
        if std::mem::take(&mut self.first_start) {
            return;
        }
        self.saved = revision;
        self.handed = revision;
    }

    /// The same after something else took the place of what was on screen: the steps that lead back are kept too.
    pub fn is_as_read(&mut self, bench: &Bench, history: &History, revision: u64) {
        self.is_as_opened(revision);
        self.keep_steps(bench, history, revision);
    }

    fn keep_steps(&self, bench: &Bench, history: &History, revision: u64) {
        if let Ok(steps) = write_bench(bench).and_then(|text| history.kept(&text).write()) {
            self.saver.submit_alone(revision, steps_path(&self.path), steps);
        }
    }

    /// The file.
    #[must_use]
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Its folder.
    #[must_use]
    pub fn folder(&self) -> &Path {
        self.path.parent().unwrap_or(&self.path)
    }

    /// Where the bench is kept, in words; what went wrong is told whole.
    #[must_use]
    pub fn where_kept(&self) -> String {
        match self.problem() {
            Some(FileProblem::HeldBack(why) | FileProblem::Failed(why)) => why,
            Some(FileProblem::Changed(changed)) => changed.words(&self.path),
            None => format!("Kept in {}", self.path.display()),
        }
    }

    /// Hands a bench to the saver if this revision is not on its way yet.
    pub fn keep(&mut self, bench: &Bench, history: &History, revision: u64) {
        if self.held_back.is_some() || revision == self.handed {
            return;
        }
        self.waiting_since = None;
        match write_bench(bench) {
            Ok(text) => {
                self.handed = revision;
                let path = self.path.clone();
                match history.kept(&text).write() {
                    Ok(steps) => {
                        let along = (steps_path(&path), steps);
                        self.saver.submit_both(revision, path, text, along);
                    }
                    Err(_) => self.saver.submit(revision, path, text),
                }
            }
            Err(why) => self.problem = Some(why),
        }
    }

    /// The same by the window's clock, once a frame: at once after a gesture, every second within one, and again where a
    /// save failed. Says after how many seconds it wants to be asked again, if it does.
    pub fn save_when_due(
        &mut self,
        bench: &Bench,
        history: &History,
        revision: u64,
        now_s: f64,
    ) -> Option<f64> {
        if self.held_back.is_some() {
            return None;
        }
        if revision == self.handed {
            self.waiting_since = None;
            let at = self.retry_at?;
            if now_s < at {
                return Some(at - now_s);
            }
            self.retry_at = None;
            // The same revision once more.
            self.handed = NONE;
            self.keep(bench, history, revision);
            return None;
        }
        let since = *self.waiting_since.get_or_insert(now_s);
        let left = since + LONGEST_WAIT_S - now_s;
        if history.is_open() && left > 0.0 && left <= LONGEST_WAIT_S {
            return Some(left);
        }
        self.keep(bench, history, revision);
        None
    }

    /// Looks whether another program changed the file meanwhile: asked when the window gets the focus back. If it did, what
    /// is on screen is handed in once more, so that it is put beside and asked about as after any save.
    pub fn recheck_file(&mut self, bench: &Bench, history: &History, revision: u64) {
        if self.held_back.is_none() && self.changed.is_none() && self.saver.looks_changed(&self.path) {
            self.handed = NONE;
            self.keep(bench, history, revision);
        }
    }

    /// Hears what became of the last save, by the window's clock. Says whether anything changed that is worth a repaint.
    pub fn poll(&mut self, now_s: f64) -> bool {
        let mut notice = false;
        while let Some(report) = self.saver.poll() {
            // What the window remembers, and the steps: losing a save of these costs nothing.
            if report.path != self.path {
                continue;
            }
            notice = true;
            if report.was_gone {
                self.notice = Some(format!(
                    "{} was gone, removed or renamed by another program. It was written anew, with what is on screen.",
                    self.path.display()
                ));
            }
            match report.result {
                Ok(_) => {
                    self.saved = self.saved.max(report.generation);
                    self.problem = None;
                    self.retry_at = None;
                    self.retry_s = FIRST_RETRY_S;
                }
                Err(StoreError::ChangedByOthers { kept, .. }) => {
                    let first = self.changed.is_none();
                    self.changed = Some(Changed { kept });
                    self.problem = None;
                    self.retry_at = None;
                    if first {
                        self.notice = None;
                    }
                }
                Err(error) => {
                    self.problem = Some(error.to_string());
                    self.retry_at = Some(now_s + self.retry_s);
                    self.retry_s = (self.retry_s * 2.0).min(LONGEST_RETRY_S);
                }
            }
        }
        notice
    }

    /// The message about the last saves, once.
    pub fn take_notice(&mut self) -> Option<String> {
        self.notice.take()
    }

    /// Why what is on screen is not on disk, or not in its place.
    #[must_use]
    pub fn problem(&self) -> Option<FileProblem> {
        let held = self.held_back.clone().map(FileProblem::HeldBack);
        let changed = || self.changed.clone().map(FileProblem::Changed);
        held.or_else(changed).or_else(|| self.problem.clone().map(FileProblem::Failed))
    }

    /// Whether closing now would lose the revision on screen, or leave open which of two versions stays.
    #[must_use]
    pub fn would_lose(&self, revision: u64) -> Option<FileProblem> {
        self.problem().filter(|problem| {
            matches!(problem, FileProblem::Changed(_)) || (self.saved != revision && !self.nowhere)
        })
    }

    /// Whether a revision is on disk, in words.
    #[must_use]
    pub fn state(&self, revision: u64) -> (Tone, String) {
        match self.problem() {
            Some(FileProblem::HeldBack(why)) => {
                (Tone::Caution, why.lines().next().unwrap_or_default().to_owned())
            }
            Some(FileProblem::Changed(_)) => (Tone::Bad, "not saved: changed by another program".to_owned()),
            Some(FileProblem::Failed(why)) => (Tone::Bad, format!("not saved: {why}")),
            None if self.saved == revision => (Tone::Weak, "all changes saved".to_owned()),
            None => (Tone::Weak, "saving…".to_owned()),
        }
    }

    /// Waits until a revision is on disk; what failed is tried once more.
    ///
    /// # Errors
    /// Why it is not.
    pub fn finish(&mut self, bench: &Bench, history: &History, revision: u64) -> Result<(), String> {
        if self.held_back.is_some() {
            return Ok(());
        }
        self.settle();
        if self.problem.is_some() {
            self.handed = NONE;
        }
        self.keep(bench, history, revision);
        self.settle();
        match self.problem() {
            None => Ok(()),
            Some(FileProblem::Changed(changed)) => Err(changed.words(&self.path)),
            Some(FileProblem::Failed(why) | FileProblem::HeldBack(why)) => Err(why),
        }
    }

    /// Waits until the saver is idle.
    pub fn settle(&mut self) {
        let in_time = self.saver.flush(PATIENCE);
        self.poll(0.0);
        if !in_time {
            self.problem = Some("the disk did not answer in time".to_owned());
        }
    }

    /// Keeps the bench in another file from now on.
    ///
    /// # Errors
    /// The words that name the file, the reason and the remedy; it then stays where it was.
    pub fn save_as(
        &mut self,
        path: &Path,
        bench: &Bench,
        history: &History,
        revision: u64,
    ) -> Result<(), String> {
        let claim = self.claim_on(path)?;
        self.settle();
        self.write_now(path, bench, history, revision)?;
        self.claim = claim.or(self.claim.take());
        self.moved_to(path);
        self.is_as_opened(revision);
        Ok(())
    }

    /// Writes bench and steps while the caller waits; whatever is there is written over, as was asked for.
    fn write_now(
        &mut self,
        path: &Path,
        bench: &Bench,
        history: &History,
        revision: u64,
    ) -> Result<(), String> {
        let text = write_bench(bench)?;
        let stamp = store::write_text(path, &text).map_err(|error| error.to_string())?;
        self.saver.watch(path, Some(stamp));
        if let Ok(steps) = history.kept(&text).write() {
            self.saver.submit_alone(revision, steps_path(path), steps);
        }
        Ok(())
    }

    /// The bench has its place there from now on, and no problem is reported.
    fn moved_to(&mut self, path: &Path) {
        if self.path != path {
            self.saver.unwatch(&self.path);
        }
        path.clone_into(&mut self.path);
        self.held_back = None;
        self.problem = None;
        self.retry_at = None;
        self.retry_s = FIRST_RETRY_S;
        self.first_start = false;
        if let Some(Changed { kept: Some(kept) }) = self.changed.take() {
            // What it held is in its place now.
            std::fs::remove_file(kept).ok();
        }
    }

    /// Keeps what the window remembers of itself; losing that costs nothing, so trouble is not told.
    pub fn keep_prefs(&self, prefs: &Prefs) {
        if let Some(path) = &self.prefs_path {
            self.saver.submit(0, path.clone(), prefs.write());
        }
    }
}

/// What the window remembered of itself.
#[must_use]
pub fn prefs() -> Prefs {
    store::read_text(&Place::locate().prefs_path())
        .map(|loaded| Prefs::read(&loaded.text))
        .unwrap_or_default()
}

/// A bench file as it was read.
#[derive(Debug)]
struct Read {
    bench: Bench,
    stamp: Stamp,
    steps: Option<UndoSteps>,
    /// What is to be said about it.
    reported: Option<String>,
}

impl Read {
    fn of(path: &Path, loaded: &store::Loaded) -> Result<Self, bevelbench_notebook::saved::file::FileFault> {
        let bench = read_bench(&loaded.text)?;
        let reported = loaded.seal.doubt(path).map(|words| {
            let before = store::version_before(path);
            let kept = if before.is_file() {
                format!("; the version before it is kept in {}", before.display())
            } else {
                String::new()
            };
            format!("{words} It reads well and was opened as it is{kept}.")
        });
        Ok(Self { bench, stamp: loaded.stamp, steps: opening::steps_for(path, &loaded.text), reported })
    }
}
