//! What is found on opening: the bench, the steps of undo beside it, and what is to be said about them.

use std::path::Path;

use bevelbench_notebook::{
    saved::{
        Bench,
        file::{FileFault, read_bench},
        library::demo_bench,
    },
    store::{self, Claim, Place, StoreError, undo_steps::UndoSteps},
};

use super::{Keeper, Read, steps_path};
use crate::model::history::History;

/// What was opened.
#[derive(Debug, Default)]
pub struct Opened {
    /// The bench.
    pub bench: Bench,
    /// The steps that can be undone and done again.
    pub history: History,
    /// What is to be said about it.
    pub reported: Option<String>,
}

impl From<Read> for Opened {
    fn from(read: Read) -> Self {
        let history = read.steps.map(History::of).unwrap_or_default();
        Self { bench: read.bench, history, reported: read.reported }
    }
}

pub(super) fn read_whole(path: &Path) -> Result<Read, String> {
    let loaded = store::read_text(path).map_err(|error| error.to_string())?;
    Read::of(path, &loaded).map_err(|fault| format!("{} cannot be opened. {fault}", path.display()))
}

/// The steps kept beside a bench, if they are whole and belong to this text of it.
pub(super) fn steps_for(path: &Path, text: &str) -> Option<UndoSteps> {
    let loaded = store::read_text(&steps_path(path)).ok().filter(|read| read.seal == store::Seal::Whole)?;
    let before = store::read_text(&store::version_before(path)).ok();
    UndoSteps::read(&loaded.text)?.on(text, before.as_ref().map(|before| before.text.as_str()))
}

/// Steps that are damaged or of another bench give way, under a name of their own, before new ones are written.
fn set_aside_foreign_steps(path: &Path) {
    let steps = steps_path(path);
    if steps.is_file() {
        std::fs::rename(&steps, store::beside(path, ".steps.unused")).ok();
    }
}

impl Keeper {
    /// Opens the user's own bench; at the first start the demo bench, which is then the user's own. `wake` is called
    /// when a save is done.
    #[must_use]
    pub fn own(wake: Option<Box<dyn Fn() + Send>>) -> Self {
        Self::own_in(&Place::locate(), wake)
    }

    /// The same with the folder given.
    #[must_use]
    pub fn own_in(place: &Place, wake: Option<Box<dyn Fn() + Send>>) -> Self {
        let path = place.bench_path();
        store::sweep_leftovers(&place.folder);
        let mut keeper = Self::bare(path.clone(), wake);
        keeper.prefs_path = Some(place.prefs_path());
        let exists = path.symlink_metadata().is_ok();
        let mut reported = place.why.clone();
        // Claimed first: what another window has open is not to be put aside.
        keeper.claim(&mut reported);
        let mut opened = if exists {
            keeper.open_or_rescue()
        } else {
            keeper.first_start = true;
            keeper.saver.watch(&path, None);
            Opened { bench: demo_bench().unwrap_or_default(), ..Opened::default() }
        };
        opened.reported = both(reported, opened.reported);
        keeper.opened = Some(opened);
        keeper
    }

    /// Opens a named file. One that cannot be read is left as it is, and nothing is written to it.
    ///
    /// # Errors
    /// The words that name the file, the reason and the remedy.
    pub fn file(path: &Path, wake: Option<Box<dyn Fn() + Send>>) -> Result<Self, String> {
        let read = read_whole(path)?;
        let mut keeper = Self::bare(path.to_owned(), wake);
        keeper.prefs_path = Some(Place::locate().prefs_path());
        let mut reported = None;
        keeper.claim(&mut reported);
        keeper.take_up(&read);
        let mut opened = Opened::from(read);
        opened.reported = both(reported, opened.reported);
        keeper.opened = Some(opened);
        Ok(keeper)
    }

    /// Keeps nothing: for tests of the window alone.
    #[must_use]
    pub fn nowhere(bench: Bench) -> Self {
        let mut keeper = Self::bare(std::path::PathBuf::from("nowhere.bench.ron"), None);
        keeper.nowhere = true;
        keeper.held_back = Some("This bench is not kept anywhere.".to_owned());
        keeper.opened = Some(Opened { bench, ..Opened::default() });
        keeper
    }

    /// From now on the file is watched, as it was read.
    fn take_up(&self, read: &Read) {
        self.saver.watch(&self.path, Some(read.stamp));
        if read.steps.is_none() && self.held_back.is_none() {
            set_aside_foreign_steps(&self.path);
        }
    }

    /// The user's own bench, or, if it is damaged, the one before it; the damaged file is set aside and said so.
    fn open_or_rescue(&mut self) -> Opened {
        let demo = |reported: String| Opened {
            bench: demo_bench().unwrap_or_default(),
            reported: Some(reported),
            ..Opened::default()
        };
        let fault = match store::read_text(&self.path) {
            Ok(loaded) => match Read::of(&self.path, &loaded) {
                Ok(read) => {
                    self.take_up(&read);
                    return read.into();
                }
                Err(fault)
                    if matches!(fault, FileFault::Newer { .. })
                        || (matches!(fault, FileFault::UnknownName { .. })
                            && loaded.seal == store::Seal::Whole) =>
                {
                    let why = "The bench was written by a newer program and is left as it is.";
                    self.held_back = Some(why.to_owned());
                    return demo(format!("{}: {fault}", self.path.display()));
                }
                Err(fault) => fault.to_string(),
            },
            // Damage: to be put aside like text that makes no sense.
            Err(error @ StoreError::NotText { .. }) => error.to_string(),
            Err(error) => {
                let words = format!("{error}\nNothing is written to it until it can be read.");
                self.held_back = Some(words.clone());
                return demo(words);
            }
        };
        if self.held_back.is_some() {
            // It belongs to the window that has it open.
            return demo(format!("The bench file is damaged. {fault}\nIt is left as it is."));
        }
        let before = store::version_before(&self.path);
        let before = store::read_text(&before).ok().and_then(|loaded| {
            let bench = read_bench(&loaded.text).ok()?;
            let doubt = loaded.seal.doubt(&before).map_or_else(String::new, |words| format!("\n{words}"));
            Some((bench, steps_for(&self.path, &loaded.text), doubt))
        });
        let where_to = match store::set_aside(&self.path) {
            Ok(path) => format!("It was put aside as {}.", path.display()),
            Err(error) => {
                self.held_back = Some(error.to_string());
                format!("It could not be put aside: {error}")
            }
        };
        // What is opened instead is not on disk under this name.
        self.first_start = true;
        self.saver.watch(&self.path, None);
        if before.as_ref().is_none_or(|(_, steps, _)| steps.is_none()) {
            set_aside_foreign_steps(&self.path);
        }
        let (mut opened, instead) = match before {
            Some((bench, steps, doubt)) => {
                let history = steps.map(History::of).unwrap_or_default();
                let more = history.redoable().map_or("", |_| " Redo brings back what was changed after it.");
                let words = format!("The version before it was opened instead.{more}{doubt}");
                (Opened { bench, history, reported: None }, words)
            }
            None => (
                Opened { bench: demo_bench().unwrap_or_default(), ..Opened::default() },
                "There is no version before it: the demo bench was opened instead.".to_owned(),
            ),
        };
        opened.reported = Some(format!("The bench file was damaged. {fault}\n{where_to}\n{instead}"));
        opened
    }

    /// Marks the file as open here; a second window is reported and writes nothing.
    fn claim(&mut self, reported: &mut Option<String>) {
        match Claim::take(&self.path) {
            Ok(claim) => self.claim = Some(claim),
            Err(error) => {
                let words = format!("{error}\nNothing you change in this window is saved.");
                self.held_back = Some("Open in another window: not saved here.".to_owned());
                *reported = both(reported.take(), Some(words));
            }
        }
    }

    /// What was opened, and what is to be said about it. Once.
    pub fn take_opened(&mut self) -> Opened {
        self.opened.take().unwrap_or_default()
    }

    /// Opens another file in place of this one.
    ///
    /// # Errors
    /// The words that name the file, the reason and the remedy; the present bench stays open.
    pub fn open(&mut self, path: &Path) -> Result<Opened, String> {
        let read = read_whole(path)?;
        let claim = self.claim_on(path)?;
        self.claim = claim.or(self.claim.take());
        self.moved_to(path);
        self.take_up(&read);
        Ok(read.into())
    }

    /// A claim on a file, or none if it is the one that is held already.
    pub(super) fn claim_on(&self, path: &Path) -> Result<Option<Claim>, String> {
        if self.claim.as_ref().is_some_and(|claim| claim.covers(path)) {
            return Ok(None);
        }
        Claim::take(path).map(Some).map_err(|error| error.to_string())
    }
}

fn both(one: Option<String>, other: Option<String>) -> Option<String> {
    match (one, other) {
        (Some(one), Some(other)) => Some(format!("{one}\n{other}")),
        (one, other) => one.or(other),
    }
}
