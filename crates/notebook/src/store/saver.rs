//! Saving without waiting: a thread of its own that writes the last text handed in for each file.
//!
//! A file that is watched is never written over what another program put there: the text then goes to a free name
//! beside it until somebody has decided.

use std::{
    mem,
    panic::{AssertUnwindSafe, catch_unwind},
    path::{Path, PathBuf},
    sync::{Arc, Condvar, Mutex, MutexGuard, PoisonError},
    thread,
    time::{Duration, Instant},
};

use super::{Changed, Stamp, changed_since, seal};
use crate::store::{beside::free_beside, disk::write_bytes, store_error::StoreError, text::write_text};

/// How long the end of a saver waits for a disk that does not answer.
const PATIENCE_AT_THE_END: Duration = Duration::from_secs(10);

/// What became of a save.
#[derive(Debug)]
pub struct SaveReport {
    /// The generation that was handed in.
    pub generation: u64,
    /// The file.
    pub path: PathBuf,
    /// What is on disk now, or why it is not.
    pub result: Result<Stamp, StoreError>,
    /// A watched file was not there any more, removed or renamed by others, and was written anew.
    pub was_gone: bool,
}

/// How a file is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SaveMode {
    /// The version before it stays beside it.
    WithBefore,
    /// Nothing is kept of what was there.
    Alone,
}

#[derive(Debug)]
struct Job {
    generation: u64,
    path: PathBuf,
    text: String,
    manner: SaveMode,
    /// Written right after it, if it was written: of the two files on disk, the second is then never ahead, and never
    /// more than one save behind.
    along: Option<(PathBuf, String)>,
}

/// What is known of a watched file.
#[derive(Debug, Clone)]
struct Watched {
    path: PathBuf,
    /// Each of them is ours: what was read or written last, and what a save that failed late may have left. None: no
    /// file was there.
    known: Vec<Stamp>,
    /// Where this bench is kept since another program changed the file.
    beside: Option<PathBuf>,
}

#[derive(Debug, Default)]
struct SaverState {
    /// At most one for a file, in the order in which the files were first handed in.
    waiting: Vec<Job>,
    watched: Vec<Watched>,
    busy: bool,
    closed: bool,
    reports: Vec<SaveReport>,
}

type Write = dyn Fn(&Path, &str, SaveMode) -> Result<Stamp, StoreError> + Send + Sync;

/// Saves on a thread of its own, named `bench saver`; of several texts waiting for one file, only the last is written.
pub struct Saver {
    state: Arc<(Mutex<SaverState>, Condvar)>,
    write: Arc<Write>,
    thread: Option<thread::JoinHandle<()>>,
}

impl std::fmt::Debug for Saver {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Saver").field("desk", &self.state).finish_non_exhaustive()
    }
}

impl Saver {
    /// A saver. `wake` is called when a report is ready.
    #[must_use]
    pub fn new(wake: Option<Box<dyn Fn() + Send>>) -> Self {
        Self::over(write, wake)
    }

    /// A saver that writes by other means, so that tests can slow it down or make it fail.
    fn over(
        write: impl Fn(&Path, &str, SaveMode) -> Result<Stamp, StoreError> + Send + Sync + 'static,
        wake: Option<Box<dyn Fn() + Send>>,
    ) -> Self {
        let state = Arc::new((Mutex::new(SaverState::default()), Condvar::new()));
        let write: Arc<Write> = Arc::new(write);
        let (shared, writes) = (state.clone(), write.clone());
        let thread = thread::Builder::new()
            .name("bench saver".to_owned())
            .spawn(move || work(&shared, &*writes, wake.as_deref()))
            .ok();
        Self { state, write, thread }
    }

    fn lock(&self) -> MutexGuard<'_, SaverState> {
        lock(&self.state)
    }

    /// Watches a file from now on: as long as it is what the stamp says (none: not there), it is written; if it is gone
    /// it is written anew and that is reported; if another program changed it, the text goes beside it and that is the error.
    pub fn watch(&self, path: &Path, known: Option<Stamp>) {
        let mut state = self.lock();
        state.watched.retain(|watched| watched.path != path);
        let known = known.into_iter().collect();
        state.watched.push(Watched { path: path.to_owned(), known, beside: None });
    }

    /// Writes a file without looking at what is there.
    pub fn unwatch(&self, path: &Path) {
        self.lock().watched.retain(|watched| watched.path != path);
    }

    /// Whether a watched file looks changed by another program. While a save is on its way it may look so without being:
    /// the next save of it tells for sure.
    #[must_use]
    pub fn looks_changed(&self, path: &Path) -> bool {
        let watched = self.lock().watched.iter().find(|watched| watched.path == path).cloned();
        watched.is_some_and(|watched| watched.beside.is_none() && found(&watched) == Changed::Yes)
    }

    /// Hands a text in; the version before it is kept.
    pub fn submit(&self, generation: u64, path: PathBuf, text: String) {
        self.hand_in(Job { generation, path, text, manner: SaveMode::WithBefore, along: None });
    }

    /// Hands a text in together with that of a file which belongs to it and is written right after it.
    pub fn submit_both(&self, generation: u64, path: PathBuf, text: String, along: (PathBuf, String)) {
        let along = Some(along);
        self.hand_in(Job { generation, path, text, manner: SaveMode::WithBefore, along });
    }

    /// Hands a text in of whose file no version before is kept.
    pub fn submit_alone(&self, generation: u64, path: PathBuf, text: String) {
        self.hand_in(Job { generation, path, text, manner: SaveMode::Alone, along: None });
    }

    fn hand_in(&self, job: Job) {
        if self.thread.is_none() {
            // No thread to be had: at once, then.
            let report = execute(&self.state, &*self.write, job);
            self.lock().reports.push(report);
            return;
        }
        let mut state = self.lock();
        match state.waiting.iter_mut().find(|waiting| waiting.path == job.path) {
            Some(older) => *older = job,
            None => state.waiting.push(job),
        }
        drop(state);
        self.state.1.notify_all();
    }

    /// The next report, if there is one.
    #[must_use]
    pub fn poll(&self) -> Option<SaveReport> {
        let mut state = self.lock();
        if state.reports.is_empty() { None } else { Some(state.reports.remove(0)) }
    }

    /// Waits until nothing is waiting any more; says whether that was so in time.
    #[must_use]
    pub fn flush(&self, patience: Duration) -> bool {
        // The end of time is no moment: a century is as good.
        let end = Instant::now() + patience.min(Duration::from_secs(1 << 32));
        let mut state = self.lock();
        while state.busy || !state.waiting.is_empty() {
            let left = end.saturating_duration_since(Instant::now());
            if left.is_zero() {
                return false;
            }
            state = self.state.1.wait_timeout(state, left).unwrap_or_else(PoisonError::into_inner).0;
        }
        true
    }
}

impl Drop for Saver {
    /// Waits for what was handed in, but not for ever.
    fn drop(&mut self) {
        self.lock().closed = true;
        self.state.1.notify_all();
        if self.flush(PATIENCE_AT_THE_END)
            && let Some(thread) = self.thread.take()
        {
            thread.join().ok();
        }
    }
}

fn lock(shared: &(Mutex<SaverState>, Condvar)) -> MutexGuard<'_, SaverState> {
    shared.0.lock().unwrap_or_else(PoisonError::into_inner)
}

fn write(path: &Path, text: &str, manner: SaveMode) -> Result<Stamp, StoreError> {
    match manner {
        SaveMode::WithBefore => write_text(path, text),
        SaveMode::Alone => {
            let sealed = seal(text);
            write_bytes(path, sealed.as_bytes())?;
            Ok(Stamp::of_text(text))
        }
    }
}

/// Whether a watched file is still one of ours.
fn found(watched: &Watched) -> Changed {
    if watched.known.is_empty() {
        // Nothing was there when it was looked at last.
        return if watched.path.symlink_metadata().is_ok_and(|known| !known.is_symlink())
            || watched.path.exists()
        {
            Changed::Yes
        } else {
            Changed::No
        };
    }
    let mut states = watched.known.iter().map(|stamp| changed_since(&watched.path, stamp));
    let first = states.next().unwrap_or(Changed::No);
    if first == Changed::Yes && states.any(|state| state == Changed::No) { Changed::No } else { first }
}

/// Writes a text where it belongs.
fn execute(shared: &(Mutex<SaverState>, Condvar), write: &Write, job: Job) -> SaveReport {
    let Job { generation, path, text, manner, along } = job;
    let write_along = |result: &Result<Stamp, StoreError>| {
        if let (Ok(_), Some((path, text))) = (result, &along) {
            // The file itself is on disk: losing this costs nothing that was asked for.
            write(path, text, SaveMode::Alone).ok();
        }
    };
    let watched = lock(shared).watched.iter().find(|watched| watched.path == path).cloned();
    let Some(mut watched) = watched else {
        let result = write(&path, &text, manner);
        write_along(&result);
        return SaveReport { generation, path, result, was_gone: false };
    };
    let ours = Stamp::of_text(&text);
    // What stands there may be this very text, put there by a program that carries files about.
    let found = if watched.beside.is_some() { Changed::Yes } else { found(&watched) };
    let same = || changed_since(&path, &ours) == Changed::No;
    if found == Changed::Yes && (watched.beside.is_some() || !same()) {
        let beside = watched.beside.take().unwrap_or_else(|| free_beside(&path, "yours"));
        let kept = write(&beside, &text, SaveMode::Alone).is_ok().then_some(beside);
        watched.beside.clone_from(&kept);
        know(shared, watched);
        let result = Err(StoreError::ChangedByOthers { path: path.clone(), kept });
        return SaveReport { generation, path, result, was_gone: false };
    }
    let result = write(&path, &text, manner);
    match &result {
        Ok(stamp) => watched.known = vec![*stamp],
        // It may have failed after the file was put in its place.
        Err(_) => watched.known.push(ours),
    }
    know(shared, watched);
    write_along(&result);
    SaveReport { generation, path, result, was_gone: found == Changed::Gone }
}

/// Notes what is known of a watched file, unless it is no longer watched.
fn know(shared: &(Mutex<SaverState>, Condvar), now: Watched) {
    if let Some(then) = lock(shared).watched.iter_mut().find(|then| then.path == now.path) {
        let _ = mem::replace(then, now);
    }
}

fn work(shared: &(Mutex<SaverState>, Condvar), write: &Write, wake: Option<&(dyn Fn() + Send)>) {
    loop {
        let mut state = lock(shared);
        let job = loop {
            if !state.waiting.is_empty() {
                break state.waiting.remove(0);
            }
            if state.closed {
                return;
            }
            state = shared.1.wait(state).unwrap_or_else(PoisonError::into_inner);
        };
        state.busy = true;
        drop(state);
        let report = execute(shared, write, job);
        let mut state = lock(shared);
        state.busy = false;
        state.reports.push(report);
        drop(state);
        shared.1.notify_all();
        if let Some(wake) = wake {
            // A window that fails must not take the saving of its bench with it.
            catch_unwind(AssertUnwindSafe(wake)).ok();
        }
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]

    use std::sync::mpsc;

    use super::*;

    #[test]
    fn of_the_texts_that_came_during_a_save_only_the_last_is_written() {
        let (begun, has_begun) = mpsc::channel();
        let (go_on, may_go_on) = mpsc::channel::<()>();
        let may_go_on = Mutex::new(may_go_on);
        let write = move |_: &Path, text: &str, _: SaveMode| {
            begun.send(text.to_owned()).ok();
            may_go_on.lock().unwrap().recv().ok();
            Ok(Stamp::of_text(text))
        };
        let saver = Saver::over(write, None);
        let submit = |generation, text: &str| saver.submit(generation, "bench".into(), text.to_owned());
        submit(1, "one");
        assert_eq!(has_begun.recv().unwrap(), "one");
        submit(2, "two");
        submit(3, "three");
        // While the disk does not answer, waiting for it ends in time, and nothing is called saved.
        assert!(!saver.flush(Duration::from_millis(20)));
        assert!(saver.poll().is_none());
        go_on.send(()).unwrap();
        assert_eq!(has_begun.recv().unwrap(), "three");
        go_on.send(()).unwrap();
        assert!(saver.flush(Duration::from_secs(20)));
        let reported: Vec<u64> =
            std::iter::from_fn(|| saver.poll()).map(|report| report.generation).collect();
        assert_eq!(reported, [1, 3]);
    }

    #[test]
    fn a_window_that_fails_when_woken_does_not_stop_the_saving() {
        let write = |_: &Path, text: &str, _: SaveMode| Ok(Stamp::of_text(text));
        let saver = Saver::over(write, Some(Box::new(|| panic!("the window is gone"))));
        for generation in 1..=2 {
            saver.submit(generation, "bench".into(), "text".to_owned());
            assert!(saver.flush(Duration::from_secs(20)));
            assert_eq!(saver.poll().unwrap().generation, generation);
        }
    }
}
