//! The workbench as a library, so that tests can drive it without a window.

pub mod canvas;
pub mod command;
pub mod dial;
pub mod history;
pub mod oblique;
pub mod prefs;
pub mod session;
pub mod theme;
pub mod units;
pub mod view;
pub mod widgets;
pub mod window;
