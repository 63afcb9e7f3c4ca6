//! TODO

pub mod dial;
pub mod history;
pub mod import;
pub mod keeper;
pub mod oblique;
pub mod prefs;
pub mod session;
pub mod units;
