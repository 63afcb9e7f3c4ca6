//! Why a file could not be read or written, in words.

use std::{fmt, io, path::PathBuf};

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
                remedy(error)
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
fn remedy(error: &io::Error) -> &'static str {
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
