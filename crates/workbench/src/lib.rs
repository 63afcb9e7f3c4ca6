//! The workbench as a library, so that tests can drive it without a window.

pub mod app;
pub mod at_grinder;
pub mod canvas;
pub mod command;
pub mod curves;
pub mod dial;
pub mod dialogs;
pub mod edit;
pub mod history;
pub mod import;
pub mod keeper;
pub mod oblique;
pub mod orders;
pub mod picture;
pub mod prefs;
pub mod rack;
pub mod read_outs;
pub mod session;
pub mod settings;
pub mod side;
pub mod theme;
pub mod tip;
pub mod units;
pub mod view;
pub mod widgets;
pub mod window;
