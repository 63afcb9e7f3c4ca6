//! What a file was like when it was last read or written here, to notice what others do to it.

use std::time::{Duration, SystemTime};

use crate::store::seal::{checksum, seal};

/// The coarsest clock of a file system in use: FAT counts in steps of two seconds.
pub(super) const COARSEST_CLOCK: Duration = Duration::from_secs(2);

/// A file's size, checksum and, where it can be relied on, time of change.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stamp {
    pub(super) bytes: u64,
    pub(super) checksum: u64,
    /// None while a second change could still get the same time as the first.
    pub(super) modified: Option<SystemTime>,
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
