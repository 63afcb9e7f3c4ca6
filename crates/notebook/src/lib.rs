//! What the workbench keeps and prints.

pub mod drawing;
pub mod bench;
pub mod file;
pub mod library;
pub mod quantity;
pub mod saved;
pub mod swept;
pub mod words;
pub mod store;
