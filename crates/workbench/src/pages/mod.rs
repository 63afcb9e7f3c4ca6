//! What fills the window: one file or folder a page, or a panel that pages share.
//!
//! May use: `model`, `toolkit`. A page draws and reports what was done; it never opens a dialog of the window's.

pub mod at_grinder;
pub mod big_type;
pub mod curves;
pub mod edit;
pub mod find;
pub mod keep;
pub mod lesson;
pub mod pair;
pub mod picture;
pub mod print;
pub mod rack;
pub mod read_outs;
pub mod settings;
pub mod side;
pub mod tip;
