//! What the workbench keeps and prints.

pub mod answer;
pub mod drawing;
pub mod paper;
pub mod quantity;
pub mod saved;
pub mod store;
pub mod words;
