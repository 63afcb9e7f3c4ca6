//! Sealed text files.

use std::path::Path;

use crate::store::{
    disk::{RealDisk, read_bytes, write_text_to},
    seal::{Seal, unseal},
    stamp::Stamp,
    store_error::StoreError,
};

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

/// Replaces a text file, sealed; the version before it stays as `NAME.before`.
///
/// # Errors
/// [`StoreError`]; the file is then whole, and as it was unless only making the change last failed.
pub fn write_text(path: &Path, text: &str) -> Result<Stamp, StoreError> {
    write_text_to(&RealDisk, path, text)
}
