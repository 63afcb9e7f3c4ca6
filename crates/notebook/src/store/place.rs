//! Where the user's own files are.

use std::{env, path::PathBuf};

/// Names the folder to keep everything in, for portable use and tests.
pub const HOME_VARIABLE: &str = "BEVELBENCH_HOME";

/// Where the user's own files are.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Place {
    /// The folder.
    pub folder: PathBuf,
    /// What is to be said about it, if it is not the usual one.
    pub why: Option<String>,
}

impl Place {
    /// The folder named by `BEVELBENCH_HOME` if that is set; the platform's data folder for this program; the present
    /// folder, with the reason, where there is neither. Always a full path, so that it stays the same folder.
    #[must_use]
    pub fn locate() -> Self {
        if let Some(named) = env::var_os(HOME_VARIABLE).filter(|named| !named.is_empty()) {
            let named = PathBuf::from(named);
            return Self { folder: std::path::absolute(&named).unwrap_or(named), why: None };
        }
        let usual =
            directories::ProjectDirs::from("", "", "bevelbench").map(|usual| usual.data_dir().to_owned());
        if let Some(folder) = usual.filter(|folder| folder.is_absolute()) {
            return Self { folder, why: None };
        }
        let folder = env::current_dir().unwrap_or_else(|_| PathBuf::from("."));
        let why = format!("There is no home folder, so the bench is kept in {}.", folder.display());
        Self { folder, why: Some(why) }
    }

    /// The user's own bench.
    #[must_use]
    pub fn bench_path(&self) -> PathBuf {
        self.folder.join("bench.ron")
    }

    /// What the window remembers of itself.
    #[must_use]
    pub fn prefs_path(&self) -> PathBuf {
        self.folder.join("window.ron")
    }
}
