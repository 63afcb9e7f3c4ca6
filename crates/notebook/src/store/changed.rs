//! Whether a file is still as it was.

use std::{fs, io, path::Path};

use crate::store::{disk::read_bytes, seal::checksum, stamp::Stamp};

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
