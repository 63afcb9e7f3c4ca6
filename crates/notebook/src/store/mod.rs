//! The store: text files written so that a crash, a full disk or a second window never costs what was there.
//!
//! Uses no other wing. A file is replaced whole: the new one is written beside it, flushed to the disk, renamed over it,
//! and the folder flushed. The version before it stays as `NAME.before`. A line with a checksum stands at the end; a
//! file edited by hand may lack it or fail it, which is reported and not refused.

mod beside;
mod changed;
mod claim;
mod disk;
mod leftovers;
mod name;
mod place;
mod saver;
mod seal;
mod stamp;
mod store_error;
mod text;
pub mod undo_steps;

pub use beside::{beside, copy_beside, free_beside, set_aside, version_before};
pub use changed::{Changed, changed_since};
pub use claim::Claim;
pub use disk::write_bytes;
pub use leftovers::sweep_leftovers;
pub use name::file_stem_from_name;
pub use place::{HOME_VARIABLE, Place};
pub use saver::{SaveMode, SaveReport, Saver};
pub use seal::{Seal, seal, unseal};
pub use stamp::Stamp;
pub use store_error::{LARGEST_BYTES, StoreError};
pub use text::{Loaded, read_text, write_text};

#[cfg(test)]
mod tests;
