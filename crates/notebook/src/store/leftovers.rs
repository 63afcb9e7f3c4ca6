//! What killed saves left in a folder.

use std::{
    fs,
    path::Path,
    time::{Duration, SystemTime},
};

use crate::store::name::is_leftover;

/// Removes what killed saves left in a folder: half-written benches that were never renamed.
pub fn sweep_leftovers(folder: &Path) {
    let old = |changed: SystemTime| changed.elapsed().is_ok_and(|age| age > Duration::from_mins(1));
    sweep(folder, |name, changed| is_leftover(name) && old(changed));
}

pub(super) fn sweep(folder: &Path, is_doomed: impl Fn(&str, SystemTime) -> bool) {
    let Ok(entries) = fs::read_dir(folder) else { return };
    for entry in entries.flatten() {
        let changed = entry.metadata().and_then(|known| known.modified());
        if changed.is_ok_and(|changed| is_doomed(&entry.file_name().to_string_lossy(), changed)) {
            fs::remove_file(entry.path()).ok();
        }
    }
}
