//! The window around the pages: opening it, panels, commands and their keys, dialogs, help, closing.
//!
//! May use: `model`, `toolkit`, `pages`.

pub mod app;
pub mod clash_dialog;
pub mod dialogs;
pub mod first_frame;
pub mod help;
pub mod orders;
pub mod unsaved_dialog;
pub mod verdict;
pub mod window;
