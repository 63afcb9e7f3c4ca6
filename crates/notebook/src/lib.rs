//! What the workbench keeps and prints.

pub mod bench;
pub mod drawing;
pub mod edge_curve;
pub mod file;
pub mod library;
pub mod outline;
pub mod png;
pub mod quantity;
pub mod saved;
pub mod side_view;
pub mod store;
pub mod svg;
pub mod swept;
pub mod tip_view;
pub mod words;
