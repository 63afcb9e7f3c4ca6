//! Saving without waiting: a thread of its own that writes the last text handed in for each file.

use std::{
    panic::{AssertUnwindSafe, catch_unwind},
    path::{Path, PathBuf},
    sync::{Arc, Condvar, Mutex, MutexGuard, PoisonError},
    thread,
    time::{Duration, Instant},
};

use super::{Stamp, StoreError, write_text};

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
}

#[derive(Debug, Default)]
struct Desk {
    /// At most one for a file, in the order in which the files were first handed in.
    waiting: Vec<(u64, PathBuf, String)>,
    busy: bool,
    closed: bool,
    reports: Vec<SaveReport>,
}

/// Saves on a thread of its own, named `bench saver`; of several texts waiting for one file, only the last is written.
#[derive(Debug)]
pub struct Saver {
    desk: Arc<(Mutex<Desk>, Condvar)>,
    thread: Option<thread::JoinHandle<()>>,
}

impl Saver {
    /// A saver. `wake` is called when a report is ready.
    #[must_use]
    pub fn new(wake: Option<Box<dyn Fn() + Send>>) -> Self {
        Self::over(write_text, wake)
    }

    /// A saver that writes by other means, so that tests can slow it down.
    fn over(
        write: impl Fn(&Path, &str) -> Result<Stamp, StoreError> + Send + 'static,
        wake: Option<Box<dyn Fn() + Send>>,
    ) -> Self {
        let desk = Arc::new((Mutex::new(Desk::default()), Condvar::new()));
        let shared = desk.clone();
        let thread = thread::Builder::new()
            .name("bench saver".to_owned())
            .spawn(move || work(&shared, &write, wake.as_deref()))
            .ok();
        Self { desk, thread }
    }

    fn lock(&self) -> MutexGuard<'_, Desk> {
        self.desk.0.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Hands a text in.
    pub fn submit(&self, generation: u64, path: PathBuf, text: String) {
        if self.thread.is_none() {
            // No thread to be had: at once, then.
            let result = write_text(&path, &text);
            self.lock().reports.push(SaveReport { generation, path, result });
            return;
        }
        let mut desk = self.lock();
        match desk.waiting.iter_mut().find(|(_, waiting, _)| *waiting == path) {
            Some(older) => *older = (generation, path, text),
            None => desk.waiting.push((generation, path, text)),
        }
        drop(desk);
        self.desk.1.notify_all();
    }

    /// The next report, if there is one.
    #[must_use]
    pub fn poll(&self) -> Option<SaveReport> {
        let mut desk = self.lock();
        if desk.reports.is_empty() { None } else { Some(desk.reports.remove(0)) }
    }

    /// Waits until nothing is waiting any more; says whether that was so in time.
    #[must_use]
    pub fn flush(&self, patience: Duration) -> bool {
        // The end of time is no moment: a century is as good.
        let end = Instant::now() + patience.min(Duration::from_secs(1 << 32));
        let mut desk = self.lock();
        while desk.busy || !desk.waiting.is_empty() {
            let left = end.saturating_duration_since(Instant::now());
            if left.is_zero() {
                return false;
            }
            desk = self.desk.1.wait_timeout(desk, left).unwrap_or_else(PoisonError::into_inner).0;
        }
        true
    }
}

impl Drop for Saver {
    /// Waits for what was handed in, but not for ever.
    fn drop(&mut self) {
        self.lock().closed = true;
        self.desk.1.notify_all();
        if self.flush(PATIENCE_AT_THE_END)
            && let Some(thread) = self.thread.take()
        {
            thread.join().ok();
        }
    }
}

fn work(
    shared: &(Mutex<Desk>, Condvar),
    write: &dyn Fn(&Path, &str) -> Result<Stamp, StoreError>,
    wake: Option<&(dyn Fn() + Send)>,
) {
    let lock = || shared.0.lock().unwrap_or_else(PoisonError::into_inner);
    loop {
        let mut desk = lock();
        let (generation, path, text) = loop {
            if !desk.waiting.is_empty() {
                break desk.waiting.remove(0);
            }
            if desk.closed {
                return;
            }
            desk = shared.1.wait(desk).unwrap_or_else(PoisonError::into_inner);
        };
        desk.busy = true;
        drop(desk);
        let result = write(&path, &text);
        let mut desk = lock();
        desk.busy = false;
        desk.reports.push(SaveReport { generation, path, result });
        drop(desk);
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
        let write = move |_: &Path, text: &str| {
            begun.send(text.to_owned()).ok();
            may_go_on.recv().ok();
            Ok(Stamp::new(text.as_bytes(), None))
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
        let told: Vec<u64> = std::iter::from_fn(|| saver.poll()).map(|report| report.generation).collect();
        assert_eq!(told, [1, 3]);
    }

    #[test]
    fn a_window_that_fails_when_woken_does_not_stop_the_saving() {
        let write = |_: &Path, text: &str| Ok(Stamp::new(text.as_bytes(), None));
        let saver = Saver::over(write, Some(Box::new(|| panic!("the window is gone"))));
        for generation in 1..=2 {
            saver.submit(generation, "bench".into(), "text".to_owned());
            assert!(saver.flush(Duration::from_secs(20)));
            assert_eq!(saver.poll().unwrap().generation, generation);
        }
    }
}
