//! The workbench as a library, so that tests can drive it without a window.

#![forbid(unsafe_code)]

pub mod command;
pub mod model;
pub mod pages;
pub mod shell;
pub mod toolkit;
