//! What a file was like when it was last read or written here, to notice what others do to it.

use std::{
    fs, io,
    path::Path,
    time::{Duration, SystemTime},
};

use super::{
    read_bytes,
    seal::{checksum, seal},
};

/// The coarsest clock of a file system in use: FAT counts in steps of two seconds.
pub(super) const COARSEST_CLOCK: Duration = Duration::from_secs(2);

/// A file's size, checksum and, where it can be relied on, time of change.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stamp {
    bytes: u64,
    checksum: u64,
    /// None while a second change could still get the same time as the first.
    modified: Option<SystemTime>,
}

impl Stamp {
    /// Of a file that was written with a text.
    #[must_use]
    pub fn of_text(text: &str) -> Self {
        Self::new(seal(text).as_bytes(), None)
    }

    pub(super) fn new(bytes: &[u8], modified: Option<SystemTime>) -> Self {
        let settled = |time: &SystemTime| time.elapsed().is_ok_and(|age| age > COARSEST_CLOCK);
        Self {
            bytes: bytes.len() as u64,
            checksum: checksum(bytes.iter().copied()),
            modified: modified.filter(settled),
        }
    }
}

/// Whether a file is still what it was.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Changed {
    /// It holds what it held.
    No,
    /// It holds something else, or can no longer be read; reading it says why.
    Yes,
    /// It is not there any more.
    Gone,
}

/// Whether a file is still what it was when the stamp was taken. Looks at size and time first; where these leave a doubt,
/// at every byte, so a file that was only touched or saved again as it was counts as unchanged.
#[must_use]
pub fn changed_since(path: &Path, stamp: &Stamp) -> Changed {
    let known = match fs::metadata(path) {
        Ok(known) => known,
        Err(error) => {
            let gone = matches!(error.kind(), io::ErrorKind::NotFound | io::ErrorKind::NotADirectory);
            return if gone { Changed::Gone } else { Changed::Yes };
        }
    };
    if !known.is_file() || known.len() != stamp.bytes {
        return Changed::Yes;
    }
    if stamp.modified.is_some() && known.modified().ok() == stamp.modified {
        return Changed::No;
    }
    match read_bytes(path) {
        Ok((bytes, _)) if checksum(bytes.iter().copied()) == stamp.checksum => Changed::No,
        _ => Changed::Yes,
    }
}
