//! Shared fixtures of the checks.

pub mod cpu_renderer;
pub mod published;
