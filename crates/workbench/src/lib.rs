//! The workbench as a library, so that tests can drive it without a window.

pub mod canvas;
pub mod theme;
pub mod view;
pub mod widgets;
pub mod window;
