//! Whole files, read and put in place of what was there; every step of it can fail in a test.

use std::{
    fs::{self, File},
    io::{self, Read, Write},
    path::Path,
    time::SystemTime,
};

use atomic_write_file::AtomicWriteFile;

use crate::store::{
    leftovers::sweep,
    name::{is_half_of, resolved, with_suffix},
    seal::{seal, unseal},
    stamp::{COARSEST_CLOCK, Stamp},
    store_error::{LARGEST_BYTES, StoreError},
};

/// What a file holds, and when it was last changed before it was read.
pub(super) fn read_bytes(path: &Path) -> Result<(Vec<u8>, Option<SystemTime>), StoreError> {
    let failed = |error| StoreError::Read { path: path.to_owned(), error };
    let known = fs::metadata(path).map_err(failed)?;
    if !known.is_file() {
        return Err(StoreError::NotAFile { path: path.to_owned() });
    }
    if known.len() > LARGEST_BYTES {
        return Err(StoreError::TooLarge { path: path.to_owned(), bytes: known.len() });
    }
    let file = File::open(path).map_err(failed)?;
    // Asked before reading: a change made meanwhile then has another time.
    let modified = file.metadata().and_then(|known| known.modified()).ok();
    let mut bytes = Vec::with_capacity(known.len() as usize + 1);
    // It may grow while it is read.
    file.take(LARGEST_BYTES + 1).read_to_end(&mut bytes).map_err(failed)?;
    if bytes.len() as u64 > LARGEST_BYTES {
        return Err(StoreError::TooLarge { path: path.to_owned(), bytes: bytes.len() as u64 });
    }
    Ok((bytes, modified))
}

/// The steps of replacing a file, so that tests can make each one fail.
pub(super) trait Disk {
    fn make_folder(&self, folder: &Path) -> io::Result<()> {
        fs::create_dir_all(folder)
    }

    /// An empty file beside the target, with the target's permissions.
    fn begin(&self, target: &Path) -> io::Result<AtomicWriteFile> {
        AtomicWriteFile::open(target)
    }

    fn write(&self, file: &mut AtomicWriteFile, bytes: &[u8]) -> io::Result<()> {
        file.write_all(bytes)
    }

    fn flush(&self, file: &AtomicWriteFile) -> io::Result<()> {
        file.sync_all()
    }

    /// Renames it over the target and flushes the folder.
    fn commit(&self, file: AtomicWriteFile) -> io::Result<()> {
        file.commit()
    }
}

/// The real disk.
pub(super) struct RealDisk;

impl Disk for RealDisk {}

pub(super) fn write_text_to(disk: &dyn Disk, path: &Path, text: &str) -> Result<Stamp, StoreError> {
    let sealed = seal(text);
    let bytes = sealed.len() as u64;
    if bytes > LARGEST_BYTES {
        return Err(StoreError::TooLargeToKeep { path: path.to_owned(), bytes });
    }
    replace(disk, path, sealed.as_bytes(), true)?;
    Ok(Stamp::new(sealed.as_bytes(), None))
}

/// Replaces a file of any kind, without a seal and without keeping the version before it.
///
/// # Errors
/// [`StoreError`]; the file is then whole, and as it was unless only making the change last failed.
pub fn write_bytes(path: &Path, bytes: &[u8]) -> Result<(), StoreError> {
    replace(&RealDisk, path, bytes, false)
}

fn replace(disk: &dyn Disk, path: &Path, bytes: &[u8], keep_before: bool) -> Result<(), StoreError> {
    // A link is followed: what it points to is replaced, not the link.
    let target = resolved(path);
    let failed = |error| StoreError::Write { path: path.to_owned(), error };
    match fs::metadata(&target) {
        Ok(known) if !known.is_file() => return Err(StoreError::NotAFile { path: path.to_owned() }),
        Ok(_) => {
            // A save is worth more than the version before it: where that cannot be kept the save goes on.
            if keep_before && let Some(old) = worth_keeping(&target) {
                put(disk, &with_suffix(&target, ".before"), &old).ok();
            }
        }
        // A ring of links, a folder that may not be looked into.
        Err(error) if error.kind() != io::ErrorKind::NotFound => return Err(failed(error)),
        Err(_) => {
            if let Some(folder) = target.parent().filter(|folder| !folder.as_os_str().is_empty()) {
                disk.make_folder(folder).map_err(failed)?;
            }
        }
    }
    put(disk, &target, bytes).map_err(failed)
}

fn put(disk: &dyn Disk, target: &Path, bytes: &[u8]) -> io::Result<()> {
    if target.is_dir() {
        return Err(io::ErrorKind::IsADirectory.into());
    }
    let begun = SystemTime::now();
    let outcome = disk.begin(target).and_then(|mut file| {
        disk.write(&mut file, bytes)?;
        // Flushed here too, so that a failure is one of writing and not of the rename.
        disk.flush(&file)?;
        disk.commit(file)
    });
    // A half-written file is left where setting its permissions, or the rename, fails.
    if outcome.is_err()
        && let (Some(folder), Some(name)) = (target.parent(), target.file_name())
    {
        let folder = if folder.as_os_str().is_empty() { Path::new(".") } else { folder };
        let since = begun.checked_sub(COARSEST_CLOCK).unwrap_or(begun);
        sweep(folder, |half, changed| is_half_of(half, &name.to_string_lossy()) && changed >= since);
    }
    outcome
}

/// What a file holds, unless another hand emptied it or overwrote it with nonsense: that does not push out the last
/// good version.
fn worth_keeping(path: &Path) -> Option<Vec<u8>> {
    let (bytes, _) = read_bytes(path).ok()?;
    let (body, _) = unseal(std::str::from_utf8(&bytes).ok()?);
    let good = !body.trim().is_empty() && !body.contains('\0');
    good.then_some(bytes)
}
