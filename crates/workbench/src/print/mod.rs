//! The Print page: the real pages, what is on them, and where they go.

pub mod files;
