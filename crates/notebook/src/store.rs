//! The store: text files written so that a crash, a full disk or a second window never costs what was there.
//!
//! A file is replaced whole: the new one is written beside it, flushed to the disk, renamed over it, and the
//! folder flushed. The version before it stays as `NAME.before`. A line with a checksum stands at the end; a
//! file edited by hand may lack it or fail it, which is told and not refused.

mod saver;
mod seal;

use std::{
    env, fmt,
    fs::{self, File, OpenOptions},
    io::{self, Read, Write},
    path::{Path, PathBuf},
    time::Duration,
};

pub use saver::{SaveReport, Saver};
pub use seal::{Seal, seal, unseal};

/// Largest file that is read: a bench of ten thousand settings is far below it.
pub const LARGEST_BYTES: u64 = 8 << 20;
/// Names the folder to keep everything in, for portable use and tests.
pub const HOME_VARIABLE: &str = "BEVELBENCH_HOME";

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
    /// Writing failed; what was there before is still there.
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
    /// The file is not text.
    NotText {
        /// The file.
        path: PathBuf,
        /// Where the first odd byte stands.
        at_byte: usize,
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
                "{} cannot be written ({}). What was there is untouched; free some space or save the bench somewhere else.",
                path.display(),
                reason(error)
            ),
            Self::NotAFile { path } => {
                write!(f, "{} is not a file. Choose a file, or another name.", path.display())
            }
            Self::TooLarge { path, bytes } => write!(
                f,
                "{} has {} MB, more than the {} MB a bench can have. It is probably something else.",
                path.display(),
                bytes >> 20,
                LARGEST_BYTES >> 20
            ),
            Self::NotText { path, at_byte } => write!(
                f,
                "{} is not text (odd byte at {at_byte}). It is damaged or something else; the version before it is beside it, with .before at the end.",
                path.display()
            ),
            Self::Claimed { path } => {
                write!(f, "{} is open in another window.", path.display())
            }
        }
    }
}

impl std::error::Error for StoreError {}

/// The system's reason without its number.
fn reason(error: &io::Error) -> String {
    let words = error.to_string();
    words.split(" (os error").next().unwrap_or_default().to_lowercase()
}

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

/// A text that was read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Loaded {
    /// The text without byte-order mark and seal, its line ends plain.
    pub text: String,
    /// What the seal said.
    pub seal: Seal,
}

/// Reads a text file.
///
/// # Errors
/// [`StoreError`]; a pipe or a device is refused without waiting for it.
pub fn read_text(path: &Path) -> Result<Loaded, StoreError> {
    let failed = |error| StoreError::Read { path: path.to_owned(), error };
    let known = fs::metadata(path).map_err(failed)?;
    if !known.is_file() {
        return Err(StoreError::NotAFile { path: path.to_owned() });
    }
    if known.len() > LARGEST_BYTES {
        return Err(StoreError::TooLarge { path: path.to_owned(), bytes: known.len() });
    }
    let mut bytes = Vec::with_capacity(known.len() as usize + 1);
    // It may grow while it is read.
    File::open(path).and_then(|file| file.take(LARGEST_BYTES + 1).read_to_end(&mut bytes)).map_err(failed)?;
    if bytes.len() as u64 > LARGEST_BYTES {
        return Err(StoreError::TooLarge { path: path.to_owned(), bytes: bytes.len() as u64 });
    }
    let text = String::from_utf8(bytes).map_err(|error| StoreError::NotText {
        path: path.to_owned(),
        at_byte: error.utf8_error().valid_up_to(),
    })?;
    let text = text.strip_prefix('\u{feff}').unwrap_or(&text).replace("\r\n", "\n");
    let (body, seal) = unseal(&text);
    Ok(Loaded { text: body.to_owned(), seal })
}

/// The steps of replacing a file, so that tests can make each one fail.
trait Disk {
    fn make_folder(&self, folder: &Path) -> io::Result<()>;
    fn keep_before(&self, from: &Path, to: &Path) -> io::Result<()>;
    fn replace(&self, path: &Path, bytes: &[u8]) -> io::Result<()>;
}

/// The real disk.
struct RealDisk;

impl Disk for RealDisk {
    fn make_folder(&self, folder: &Path) -> io::Result<()> {
        fs::create_dir_all(folder)
    }

    fn keep_before(&self, from: &Path, to: &Path) -> io::Result<()> {
        self.replace(to, &fs::read(from)?)
    }

    fn replace(&self, path: &Path, bytes: &[u8]) -> io::Result<()> {
        if path.is_dir() {
            return Err(io::ErrorKind::IsADirectory.into());
        }
        let mut file = atomic_write_file::AtomicWriteFile::open(path)?;
        file.write_all(bytes)?;
        // Flushed here and not left to `commit`, which no longer removes the half-written file when flushing fails.
        file.sync_all()?;
        // Renames it and flushes the folder.
        file.commit()
    }
}

/// Replaces a text file, sealed; the version before it stays as `NAME.before`.
///
/// # Errors
/// [`StoreError`]; the file is then as it was.
pub fn write_text(path: &Path, text: &str) -> Result<(), StoreError> {
    replace(&RealDisk, path, seal(text).as_bytes(), true)
}

/// Replaces a file of any kind, without a seal and without keeping the version before it.
///
/// # Errors
/// [`StoreError`]; the file is then as it was.
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
            // A save is worth more than the version before it: where that cannot be kept the save goes on. What
            // another hand emptied or overwrote with nonsense does not push out the last good version.
            if keep_before && is_worth_keeping(&target) {
                disk.keep_before(&target, &with_suffix(&target, ".before")).ok();
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
    disk.replace(&target, bytes).map_err(failed)
}

fn is_worth_keeping(path: &Path) -> bool {
    read_text(path).is_ok_and(|old| !old.text.trim().is_empty() && !old.text.contains('\0'))
}

/// The file a path leads to, through links, also where the last link points to nothing yet.
fn resolved(path: &Path) -> PathBuf {
    let mut target = path.to_owned();
    for _ in 0..16 {
        match fs::read_link(&target) {
            Ok(next) if next.is_absolute() => target = next,
            Ok(next) => target = target.parent().map_or(next.clone(), |folder| folder.join(&next)),
            Err(_) => break,
        }
    }
    target
}

/// Where the version before the present one of a file is kept.
#[must_use]
pub fn version_before(path: &Path) -> PathBuf {
    with_suffix(&resolved(path), ".before")
}

fn with_suffix(path: &Path, suffix: &str) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(suffix);
    PathBuf::from(name)
}

/// Moves a damaged file to a free name beside it, `NAME.damaged-1` and so on.
///
/// # Errors
/// [`StoreError::Write`] when it cannot be moved.
pub fn set_aside(path: &Path) -> Result<PathBuf, StoreError> {
    // What a link leads to is damaged, not the link.
    let target = resolved(path);
    let free = (1..1000)
        .map(|count| with_suffix(&target, &format!(".damaged-{count}")))
        .find(|aside| aside.symlink_metadata().is_err())
        .unwrap_or_else(|| with_suffix(&target, ".damaged"));
    fs::rename(&target, &free).map_err(|error| StoreError::Write { path: path.to_owned(), error })?;
    Ok(free)
}

/// Removes what killed saves left in a folder: half-written files that were never renamed.
pub fn sweep_leftovers(folder: &Path) {
    let Ok(entries) = fs::read_dir(folder) else { return };
    for entry in entries.flatten() {
        let name = entry.file_name().to_string_lossy().into_owned();
        let ours = is_leftover(&name);
        let old = entry
            .metadata()
            .and_then(|known| known.modified())
            .is_ok_and(|then| then.elapsed().is_ok_and(|age| age > Duration::from_mins(1)));
        if ours && old {
            fs::remove_file(entry.path()).ok();
        }
    }
}

/// Whether a name is one that atomic-write-file gives: a dot, the target's name, a dot, six letters and digits by chance.
/// An editor's swap file (`.bench.ron.swp`) or a person's own `.bench.ron.backup` is not.
fn is_leftover(name: &str) -> bool {
    let end = ["bench.ron", "window.ron"]
        .iter()
        .find_map(|target| name.strip_prefix('.').and_then(|rest| rest.strip_prefix(target)))
        .map(|rest| rest.strip_prefix(".before").unwrap_or(rest))
        .and_then(|rest| rest.strip_prefix('.'));
    end.is_some_and(|end| {
        end.len() == 6
            && end.bytes().all(|byte| byte.is_ascii_alphanumeric())
            && !end.bytes().all(|byte| byte.is_ascii_lowercase())
            && !end.bytes().all(|byte| byte.is_ascii_digit())
    })
}

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

/// Longest stem, in bytes: with everything that is put behind it (`.bench.ron.before` and six characters) it stays
/// below the 255 bytes that file systems allow.
const LONGEST_STEM_BYTES: usize = 160;

/// A file name that any system takes, made from a name a person gave; it cannot leave its folder.
#[must_use]
pub fn file_stem_from_name(name: &str) -> String {
    let plain: String = name
        .chars()
        .map(|c| if c.is_alphanumeric() || " -_".contains(c) { c } else { '-' })
        .take(80)
        .collect();
    let plain = plain[..plain.floor_char_boundary(LONGEST_STEM_BYTES)].trim_matches([' ', '-']).to_owned();
    let lower = plain.to_lowercase();
    let port = ["com", "lpt"].iter().find_map(|port| lower.strip_prefix(port));
    let device = ["con", "prn", "aux", "nul"].contains(&lower.as_str())
        || port.is_some_and(|number| number.chars().count() == 1 && number.chars().all(char::is_numeric));
    if plain.is_empty() || device {
        format!("setting-{plain}").trim_end_matches('-').to_owned()
    } else {
        plain
    }
}

#[cfg(test)]
mod tests;
