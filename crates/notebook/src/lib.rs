//! What the workbench keeps and prints.

pub mod drawing;
pub mod bench;
pub mod file;
pub mod saved;
pub mod words;
