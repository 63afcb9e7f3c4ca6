//! What lies beside a file: the version before it, damaged ones, copies.

use std::{
    fs,
    path::{Path, PathBuf},
};

use crate::store::{
    disk::{read_bytes, write_bytes},
    name::{resolved, with_suffix},
    store_error::StoreError,
};

/// Where the version before the present one of a file is kept.
#[must_use]
pub fn version_before(path: &Path) -> PathBuf {
    beside(path, ".before")
}

/// A file that belongs to another and lies beside it, also where a link leads there: `NAME` and an ending.
#[must_use]
pub fn beside(path: &Path, ending: &str) -> PathBuf {
    with_suffix(&resolved(path), ending)
}

/// Moves a damaged file to a free name beside it, `NAME.damaged-1` and so on.
///
/// # Errors
/// [`StoreError::Write`] when it cannot be moved.
pub fn set_aside(path: &Path) -> Result<PathBuf, StoreError> {
    // What a link leads to is damaged, not the link.
    let target = resolved(path);
    let free = first_free(|count| with_suffix(&target, &format!(".damaged-{count}")))
        .unwrap_or_else(|| with_suffix(&target, ".damaged"));
    fs::rename(&target, &free).map_err(|error| StoreError::Write { path: path.to_owned(), error })?;
    Ok(free)
}

/// A name that is free beside a bench file: `NAME-WHOSE-1.bench.ron` and so on, where people find it.
#[must_use]
pub fn free_beside(path: &Path, whose: &str) -> PathBuf {
    let target = resolved(path);
    let name = target.file_name().unwrap_or_default().to_string_lossy().into_owned();
    let stem = name.strip_suffix(".bench.ron").or(name.strip_suffix(".ron")).unwrap_or(&name);
    let numbered = |count: u32| target.with_file_name(format!("{stem}-{whose}-{count}.bench.ron"));
    first_free(numbered).unwrap_or_else(|| numbered(1000))
}

/// The first of a thousand numbered names that nothing has.
fn first_free(numbered: impl Fn(u32) -> PathBuf) -> Option<PathBuf> {
    (1..1000).map(numbered).find(|free| free.symlink_metadata().is_err())
}

/// Copies what another program put in place of a file to a free name beside it, byte for byte.
///
/// # Errors
/// [`StoreError`] when it cannot be read or the copy not be written; nothing is changed then.
pub fn copy_beside(path: &Path, whose: &str) -> Result<PathBuf, StoreError> {
    let (bytes, _) = read_bytes(path)?;
    let free = free_beside(path, whose);
    write_bytes(&free, &bytes)?;
    Ok(free)
}
