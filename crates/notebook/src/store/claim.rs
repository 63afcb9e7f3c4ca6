//! Telling other windows that a file is open here.

use std::{
    fs::{self, File, OpenOptions},
    path::{Path, PathBuf},
};

use crate::store::{
    name::{resolved, with_suffix},
    store_error::StoreError,
};

/// Says that a file is open here, to other windows, for as long as it lives.
#[derive(Debug)]
pub struct Claim {
    target: PathBuf,
    _lock: Option<File>,
}

impl Claim {
    /// Claims a file.
    ///
    /// # Errors
    /// [`StoreError::Claimed`] when another window has it. A folder that cannot hold a lock is no reason to refuse:
    /// the save itself will say what is wrong.
    pub fn take(path: &Path) -> Result<Self, StoreError> {
        let target = resolved(path);
        if let Some(folder) = target.parent().filter(|folder| !folder.as_os_str().is_empty()) {
            fs::create_dir_all(folder).ok();
        }
        let lock =
            OpenOptions::new().write(true).create(true).truncate(false).open(with_suffix(&target, ".lock"));
        let Ok(lock) = lock else { return Ok(Self { target, _lock: None }) };
        match lock.try_lock() {
            Ok(()) => Ok(Self { target, _lock: Some(lock) }),
            Err(fs::TryLockError::WouldBlock) => Err(StoreError::Claimed { path: path.to_owned() }),
            Err(fs::TryLockError::Error(_)) => Ok(Self { target, _lock: None }),
        }
    }

    /// Whether this is the claim on a file, so that it need not, and cannot, be claimed a second time here.
    #[must_use]
    pub fn covers(&self, path: &Path) -> bool {
        // By the folder, which is there also where the file is not yet.
        let full = |path: &Path| {
            let path = std::path::absolute(path).unwrap_or_else(|_| path.to_owned());
            let folder = path.parent().and_then(|folder| fs::canonicalize(folder).ok());
            folder.zip(path.file_name()).map_or_else(|| path.clone(), |(folder, name)| folder.join(name))
        };
        full(&resolved(path)) == full(&self.target)
    }
}
