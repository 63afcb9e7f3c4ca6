//! Saving without waiting: a thread of its own that writes the last text handed in for each file.

use std::{
    path::PathBuf,
    sync::{Arc, Condvar, Mutex, MutexGuard, PoisonError},
    thread,
    time::{Duration, Instant},
};

use super::{StoreError, write_text};

/// What became of a save.
#[derive(Debug)]
pub struct SaveReport {
    /// The generation that was handed in.
    pub generation: u64,
    /// The file.
    pub path: PathBuf,
    /// Whether it is on disk.
    pub result: Result<(), StoreError>,
}

#[derive(Debug, Default)]
struct Desk {
    /// At most one for a file, in the order in which the files were first handed in.
    waiting: Vec<(u64, PathBuf, String)>,
    busy: bool,
    closed: bool,
    reports: Vec<SaveReport>,
}

/// Saves on a thread of its own; of several texts waiting for one file, only the last is written.
#[derive(Debug)]
pub struct Saver {
    desk: Arc<(Mutex<Desk>, Condvar)>,
    thread: Option<thread::JoinHandle<()>>,
}

impl Saver {
    /// A saver. `wake` is called when a report is ready.
    #[must_use]
    pub fn new(wake: Option<Box<dyn Fn() + Send>>) -> Self {
        let desk = Arc::new((Mutex::new(Desk::default()), Condvar::new()));
        let shared = desk.clone();
        let thread = thread::Builder::new()
            .name("bench saver".to_owned())
            .spawn(move || work(&shared, wake.as_deref()))
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
    fn drop(&mut self) {
        self.lock().closed = true;
        self.desk.1.notify_all();
        if let Some(thread) = self.thread.take() {
            thread.join().ok();
        }
    }
}

fn work(shared: &(Mutex<Desk>, Condvar), wake: Option<&(dyn Fn() + Send)>) {
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
        let result = write_text(&path, &text);
        let mut desk = lock();
        desk.busy = false;
        desk.reports.push(SaveReport { generation, path, result });
        drop(desk);
        shared.1.notify_all();
        if let Some(wake) = wake {
            wake();
        }
    }
}
