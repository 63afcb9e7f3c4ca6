//! The store: text files written so that a crash, a full disk or a second window never costs what was there.
//!
//! A file is replaced whole: the new one is written beside it, flushed to the disk, renamed over it, and the
//! folder flushed. The version before it stays as `NAME.before`. A line with a checksum stands at the end; a
//! file edited by hand may lack it or fail it, which is told and not refused.

pub mod undo_steps;

mod claim;
mod name;
mod place;
mod saver;
mod seal;
mod stamp;

use std::{
    fmt,
    fs::{self, File},
    io::{self, Read, Write},
    path::{Path, PathBuf},
    time::{Duration, SystemTime},
};

use atomic_write_file::AtomicWriteFile;
use name::{is_half_of, is_leftover, resolved, with_suffix};
use stamp::COARSEST_CLOCK;

pub use claim::Claim;
pub use name::file_stem_from_name;
pub use place::{HOME_VARIABLE, Place};
pub use saver::{SaveMode, SaveReport, Saver};
pub use seal::{Seal, seal, unseal};
pub use stamp::{Changed, Stamp, changed_since};

/// Largest file that is read, and written: a bench of ten thousand settings is far below it.
pub const LARGEST_BYTES: u64 = 8 << 20;

/// Why a file could not be read or written.
#[derive(Debug)]
pub enum StoreError {
    /// Reading failed.
    Read {
        /// The file.
        path: PathBuf,
        /// The system's reason.
        error: io::Error,
    },
    /// Writing failed. The file is whole: as it was, or, where only making the change last failed, as it was to be.
    Write {
        /// The file.
        path: PathBuf,
        /// The system's reason.
        error: io::Error,
    },
    /// The path names a folder, a pipe or a device.
    NotAFile {
        /// The path.
        path: PathBuf,
    },
    /// The file is larger than [`LARGEST_BYTES`].
    TooLarge {
        /// The file.
        path: PathBuf,
        /// Its size.
        bytes: u64,
    },
    /// The text is larger than [`LARGEST_BYTES`] and could not be read again; what was there before is still there.
    TooLargeToKeep {
        /// The file.
        path: PathBuf,
        /// Size of the text.
        bytes: u64,
    },
    /// The file is not text.
    NotText {
        /// The file.
        path: PathBuf,
        /// Where the first odd byte stands.
        at_byte: usize,
    },
    /// Another program wrote something else to the file since it was read or written here; it is left as it is.
    ChangedByOthers {
        /// The file.
        path: PathBuf,
        /// Where the text went that was to be written there, if that succeeded.
        kept: Option<PathBuf>,
    },
    /// Another window has the file open.
    Claimed {
        /// The file.
        path: PathBuf,
    },
}

impl fmt::Display for StoreError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Read { path, error } => {
                write!(
                    f,
                    "{} cannot be read ({}). Check that it is there and may be read.",
                    path.display(),
                    reason(error)
                )
            }
            Self::Write { path, error } => write!(
                f,
                "{} cannot be written ({}). Nothing there is damaged; {}.",
                path.display(),
                reason(error),
                mend(error)
            ),
            Self::NotAFile { path } => {
                write!(f, "{} is not a file. Choose a file, or another name.", path.display())
            }
            Self::TooLarge { path, bytes } => write!(
                f,
                "{} has {} MB, more than the {} MB a bench can have. It is probably something else.",
                path.display(),
                megabytes(*bytes),
                megabytes(LARGEST_BYTES)
            ),
            Self::TooLargeToKeep { path, bytes } => write!(
                f,
                "{} is not written: it would have {} MB, more than the {} MB that can be opened again. What was there is untouched; move some tools or settings to a second bench.",
                path.display(),
                megabytes(*bytes),
                megabytes(LARGEST_BYTES)
            ),
            Self::NotText { path, at_byte } => write!(
                f,
                "{} is not text (odd byte at {at_byte}). It is damaged or something else; the version before it is beside it, with .before at the end.",
                path.display()
            ),
            Self::ChangedByOthers { path, kept } => {
                write!(f, "Another program changed {} while it was open here. ", path.display())?;
                match kept {
                    Some(kept) => write!(
                        f,
                        "It is left as it is; the bench in this window is kept in {} until you choose which of them stays.",
                        kept.display()
                    ),
                    None => f.write_str(
                        "It is left as it is; the bench in this window could not be put beside it: save it somewhere else.",
                    ),
                }
            }
            Self::Claimed { path } => {
                write!(
                    f,
                    "{} is open in another window. Close that one and try again, or choose another name.",
                    path.display()
                )
            }
        }
    }
}

impl std::error::Error for StoreError {}

/// Rounded up, so that what is too large never reads like what is allowed.
fn megabytes(bytes: u64) -> u64 {
    bytes.div_ceil(1 << 20)
}

/// The system's reason without its number.
fn reason(error: &io::Error) -> String {
    let words = error.to_string();
    words.split(" (os error").next().unwrap_or_default().to_lowercase()
}

/// What helps where writing failed.
fn mend(error: &io::Error) -> &'static str {
    use io::ErrorKind as Kind;
    match error.kind() {
        Kind::PermissionDenied | Kind::ReadOnlyFilesystem => {
            "this folder may only be read: save the bench somewhere else, in a folder of your own"
        }
        Kind::NotADirectory | Kind::IsADirectory => {
            "a file stands where a folder should, or the other way round: save the bench somewhere else"
        }
        _ => "free some space or save the bench somewhere else",
    }
}

/// A text that was read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Loaded {
    /// The text without byte-order mark and seal, its line ends plain.
    pub text: String,
    /// What the file was like, for [`changed_since`].
    pub stamp: Stamp,
    /// What the seal said.
    pub seal: Seal,
}

/// Reads a text file.
///
/// # Errors
/// [`StoreError`]; a pipe or a device is refused without waiting for it.
pub fn read_text(path: &Path) -> Result<Loaded, StoreError> {
    let (bytes, modified) = read_bytes(path)?;
    let stamp = Stamp::new(&bytes, modified);
    let text = String::from_utf8(bytes).map_err(|error| StoreError::NotText {
        path: path.to_owned(),
        at_byte: error.utf8_error().valid_up_to(),
    })?;
    let text = text.strip_prefix('\u{feff}').unwrap_or(&text).replace("\r\n", "\n");
    let (body, seal) = unseal(&text);
    Ok(Loaded { text: body.to_owned(), stamp, seal })
}

/// What a file holds, and when it was last changed before it was read.
fn read_bytes(path: &Path) -> Result<(Vec<u8>, Option<SystemTime>), StoreError> {
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
trait Disk {
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
struct RealDisk;

impl Disk for RealDisk {}

/// Replaces a text file, sealed; the version before it stays as `NAME.before`.
///
/// # Errors
/// [`StoreError`]; the file is then whole, and as it was unless only making the change last failed.
pub fn write_text(path: &Path, text: &str) -> Result<Stamp, StoreError> {
    write_text_to(&RealDisk, path, text)
}

fn write_text_to(disk: &dyn Disk, path: &Path, text: &str) -> Result<Stamp, StoreError> {
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

/// Removes what killed saves left in a folder: half-written benches that were never renamed.
pub fn sweep_leftovers(folder: &Path) {
    let old = |changed: SystemTime| changed.elapsed().is_ok_and(|age| age > Duration::from_mins(1));
    sweep(folder, |name, changed| is_leftover(name) && old(changed));
}

fn sweep(folder: &Path, is_doomed: impl Fn(&str, SystemTime) -> bool) {
    let Ok(entries) = fs::read_dir(folder) else { return };
    for entry in entries.flatten() {
        let changed = entry.metadata().and_then(|known| known.modified());
        if changed.is_ok_and(|changed| is_doomed(&entry.file_name().to_string_lossy(), changed)) {
            fs::remove_file(entry.path()).ok();
        }
    }
}

#[cfg(test)]
mod tests;
