//! What is to be decided when another program changed the file of the bench that is open here.

use std::path::{Path, PathBuf};

use bevelbench_notebook::{saved::Bench, store};

use super::{Keeper, opening::read_whole};
use crate::model::history::History;

/// Another program changed the file. Nothing was written over it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Changed {
    /// Where the bench on screen is kept meanwhile, if that succeeded.
    pub kept: Option<PathBuf>,
}

impl Changed {
    /// What happened, in words.
    #[must_use]
    pub fn words(&self, path: &Path) -> String {
        let (path, kept) = (path.to_owned(), self.kept.clone());
        store::StoreError::ChangedByOthers { path, kept }.to_string()
    }
}

impl Keeper {
    /// Whether another program changed the file and nobody has decided yet.
    #[must_use]
    pub fn changed(&self) -> Option<&Changed> {
        self.changed.as_ref()
    }

    /// The bench on screen stays. The other program's version is copied to a free name beside it first; the name is returned.
    ///
    /// # Errors
    /// The words that name the file, the reason and the remedy; nothing was decided then.
    pub fn keep_mine(&mut self, bench: &Bench, history: &History, revision: u64) -> Result<PathBuf, String> {
        self.settle();
        let theirs = store::copy_beside(&self.path, "theirs").map_err(|error| error.to_string())?;
        let path = self.path.clone();
        self.write_now(&path, bench, history, revision)?;
        self.moved_to(&path);
        self.is_as_opened(revision);
        Ok(theirs)
    }

    /// The other program's version is to be shown; the file that holds the one on screen stays where it is.
    ///
    /// # Errors
    /// The words that name the file, the reason and the remedy; nothing was decided then.
    pub fn read_theirs(&mut self) -> Result<Bench, String> {
        self.settle();
        let read = read_whole(&self.path)?;
        self.saver.watch(&self.path, Some(read.stamp));
        self.changed = None;
        self.problem = None;
        Ok(read.bench)
    }
}
