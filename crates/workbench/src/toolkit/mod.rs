//! TODO

pub mod canvas;
pub mod theme;
pub mod view;
pub mod widgets;
