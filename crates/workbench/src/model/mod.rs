//! TODO

pub mod appearance;
pub mod gesture;
pub mod history;
pub mod import;
pub mod keeper;
pub mod oblique;
pub(crate) mod parts;
pub mod prefs;
pub mod session;
