//! What the window knows without a toolkit: the bench in hand and its answer, history, what can be turned, files kept,
//! preferences, parts made and taken over.
//!
//! Uses no other wing, and no type of the toolkit: all of it can be driven by a test without a window.

pub mod appearance;
pub mod gesture;
pub mod history;
pub mod import;
pub mod keeper;
pub(crate) mod parts;
pub mod prefs;
pub mod session;
