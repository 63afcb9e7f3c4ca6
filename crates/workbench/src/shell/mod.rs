//! TODO

pub mod app;
pub mod clash_dialog;
pub mod dialogs;
pub mod first_frame;
pub mod help;
pub mod orders;
pub mod unsaved_dialog;
pub mod verdict;
pub mod window;
