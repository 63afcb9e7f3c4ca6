//! The keeper: where the bench is kept, whether what is on screen is on disk, and what was found on opening.
//!
//! Saving happens by itself whenever a gesture is over, on a thread of its own; closing waits for it.

use std::{
    path::{Path, PathBuf},
    time::Duration,
};

use bevelbench_notebook::{
    file::{FileFault, read_bench, write_bench},
    library::demo_bench,
    saved::Bench,
    store::{self, Claim, Place, Saver, StoreError},
};

use crate::{prefs::Prefs, theme::Tone};

/// How long closing waits for the disk.
const PATIENCE: Duration = Duration::from_secs(20);

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
    trouble: Option<String>,
    /// Why nothing is written, if nothing is.
    held_back: Option<String>,
    opened: Option<(Bench, Option<String>)>,
    /// The file does not exist yet: what was opened is to be written as it is.
    first_start: bool,
}

/// Reads a bench file.
///
/// # Errors
/// The words that name the file, the reason and the mend.
pub fn read(path: &Path) -> Result<Bench, String> {
    let loaded = store::read_text(path).map_err(|error| error.to_string())?;
    read_bench(&loaded.text).map_err(|fault| format!("{} cannot be opened. {fault}", path.display()))
}

impl Keeper {
    /// Opens the user's own bench; at the first start the demo bench, which is then the user's own. `wake` is called
    /// when a save is done.
    #[must_use]
    pub fn own(wake: Option<Box<dyn Fn() + Send>>) -> Self {
        let place = Place::locate();
        let path = place.bench_path();
        store::sweep_leftovers(&place.folder);
        let mut keeper = Self::bare(path.clone(), wake);
        keeper.prefs_path = Some(place.prefs_path());
        let exists = path.symlink_metadata().is_ok();
        let mut told = place.why.clone();
        let bench = if exists {
            keeper.open_or_rescue(&mut told)
        } else {
            keeper.first_start = true;
            demo_bench().unwrap_or_default()
        };
        keeper.claim(&mut told);
        keeper.opened = Some((bench, told));
        keeper
    }

    /// Opens a named file. One that cannot be read is left as it is, and nothing is written to it.
    ///
    /// # Errors
    /// The words that name the file, the reason and the mend.
    pub fn file(path: &Path, wake: Option<Box<dyn Fn() + Send>>) -> Result<Self, String> {
        let bench = read(path)?;
        let mut keeper = Self::bare(path.to_owned(), wake);
        keeper.prefs_path = Some(Place::locate().prefs_path());
        let mut told = None;
        keeper.claim(&mut told);
        keeper.opened = Some((bench, told));
        Ok(keeper)
    }

    /// Keeps nothing: for tests of the window alone.
    #[must_use]
    pub fn nowhere(bench: Bench) -> Self {
        let mut keeper = Self::bare(PathBuf::from("nowhere.bench.ron"), None);
        keeper.held_back = Some("This bench is not kept anywhere.".to_owned());
        keeper.opened = Some((bench, None));
        keeper
    }

    fn bare(path: PathBuf, wake: Option<Box<dyn Fn() + Send>>) -> Self {
        Self {
            path,
            prefs_path: None,
            saver: Saver::new(wake),
            claim: None,
            saved: 0,
            handed: 0,
            trouble: None,
            held_back: None,
            opened: None,
            first_start: false,
        }
    }

    /// The user's own bench, or, if it is damaged, the one before it; the damaged file is set aside and said so.
    fn open_or_rescue(&mut self, told: &mut Option<String>) -> Bench {
        let fault = match store::read_text(&self.path) {
            Ok(loaded) => match read_bench(&loaded.text) {
                Ok(bench) => return bench,
                Err(fault @ FileFault::Newer { .. }) => {
                    *told = Some(format!("{}: {fault}", self.path.display()));
                    let why = "The bench was written by a newer program and is left as it is.";
                    self.held_back = Some(why.to_owned());
                    return demo_bench().unwrap_or_default();
                }
                Err(fault) => fault.to_string(),
            },
            // Damage: to be put aside like text that makes no sense.
            Err(error @ StoreError::NotText { .. }) => error.to_string(),
            Err(error) => {
                let words = format!("{error}\nNothing is written to it until it can be read.");
                self.held_back = Some(words.clone());
                *told = Some(words);
                return demo_bench().unwrap_or_default();
            }
        };
        let before = store::version_before(&self.path);
        let where_to = match store::set_aside(&self.path) {
            Ok(path) => format!("It was put aside as {}.", path.display()),
            Err(error) => {
                self.held_back = Some(error.to_string());
                format!("It could not be put aside: {error}")
            }
        };
        // What is opened instead is not on disk under this name.
        self.first_start = true;
        let (bench, opened) = match read(&before) {
            Ok(bench) => (bench, "The version before it was opened instead."),
            Err(_) => (
                demo_bench().unwrap_or_default(),
                "There is no version before it: the demo bench was opened instead.",
            ),
        };
        *told = Some(format!("The bench file was damaged. {fault}\n{where_to}\n{opened}"));
        bench
    }

    /// Marks the file as open here; a second window is told and writes nothing.
    fn claim(&mut self, told: &mut Option<String>) {
        match Claim::take(&self.path) {
            Ok(claim) => self.claim = Some(claim),
            Err(error) => {
                let words = format!("{error}\nNothing you change in this window is saved.");
                self.held_back = Some("Open in another window: not saved here.".to_owned());
                let before = told.take().map_or(String::new(), |words| words + "\n");
                *told = Some(before + &words);
            }
        }
    }

    /// What was opened, and what is to be said about it. Once.
    pub fn take_opened(&mut self) -> (Bench, Option<String>) {
        self.opened.take().unwrap_or_default()
    }

    /// The revision on screen is the one that was read.
    pub fn is_as_opened(&mut self, revision: u64) {
        if std::mem::take(&mut self.first_start) {
            return;
        }
        self.saved = revision;
        self.handed = revision;
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

    /// Where the bench is kept, in words.
    #[must_use]
    pub fn where_kept(&self) -> String {
        match &self.held_back {
            Some(why) => why.clone(),
            None => format!("Kept in {}", self.path.display()),
        }
    }

    /// Hands a bench to the saver if this revision is not on its way yet.
    pub fn keep(&mut self, bench: &Bench, revision: u64) {
        if self.held_back.is_some() || revision == self.handed {
            return;
        }
        match write_bench(bench) {
            Ok(text) => {
                self.handed = revision;
                self.saver.submit(revision, self.path.clone(), text);
            }
            Err(why) => self.trouble = Some(why),
        }
    }

    /// Hears what became of the last save. Says whether anything changed that is worth a repaint.
    pub fn poll(&mut self) -> bool {
        let mut news = false;
        while let Some(report) = self.saver.poll() {
            if Some(&report.path) == self.prefs_path.as_ref() {
                continue;
            }
            news = true;
            match report.result {
                Ok(_) => {
                    self.saved = self.saved.max(report.generation);
                    self.trouble = None;
                }
                Err(error) => self.trouble = Some(error.to_string()),
            }
        }
        news
    }

    /// Whether a revision is on disk, in words.
    #[must_use]
    pub fn state(&self, revision: u64) -> (Tone, String) {
        if let Some(why) = &self.held_back {
            (Tone::Caution, why.lines().next().unwrap_or_default().to_owned())
        } else if let Some(why) = &self.trouble {
            (Tone::Bad, format!("not saved: {why}"))
        } else if self.saved == revision {
            (Tone::Weak, "all changes saved".to_owned())
        } else {
            (Tone::Weak, "saving…".to_owned())
        }
    }

    /// Waits until a revision is on disk.
    ///
    /// # Errors
    /// Why it is not.
    pub fn finish(&mut self, bench: &Bench, revision: u64) -> Result<(), String> {
        if self.held_back.is_some() {
            return Ok(());
        }
        self.keep(bench, revision);
        self.settle();
        match &self.trouble {
            None => Ok(()),
            Some(why) => Err(why.clone()),
        }
    }

    /// Waits until the saver is idle.
    pub fn settle(&mut self) {
        if !self.saver.flush(PATIENCE) {
            self.trouble = Some("the disk did not answer in time".to_owned());
        }
        self.poll();
    }

    /// Opens another file in place of this one.
    ///
    /// # Errors
    /// The words that name the file, the reason and the mend; the present bench stays open.
    pub fn open(&mut self, path: &Path) -> Result<Bench, String> {
        let bench = read(path)?;
        let claim = self.claim_on(path)?;
        self.claim = claim.or(self.claim.take());
        path.clone_into(&mut self.path);
        self.held_back = None;
        self.trouble = None;
        Ok(bench)
    }

    /// A claim on a file, or none if it is the one that is held already.
    fn claim_on(&self, path: &Path) -> Result<Option<Claim>, String> {
        if self.claim.as_ref().is_some_and(|claim| claim.covers(path)) {
            return Ok(None);
        }
        Claim::take(path).map(Some).map_err(|error| error.to_string())
    }

    /// Keeps the bench in another file from now on.
    ///
    /// # Errors
    /// The words that name the file, the reason and the mend; it then stays where it was.
    pub fn save_as(&mut self, path: &Path, bench: &Bench, revision: u64) -> Result<(), String> {
        let claim = self.claim_on(path)?;
        let text = write_bench(bench)?;
        self.settle();
        store::write_text(path, &text).map_err(|error| error.to_string())?;
        self.claim = claim.or(self.claim.take());
        path.clone_into(&mut self.path);
        self.held_back = None;
        self.trouble = None;
        self.is_as_opened(revision);
        Ok(())
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
