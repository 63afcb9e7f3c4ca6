//! What the workbench keeps and prints.

pub mod drawing;
