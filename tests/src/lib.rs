//! Shared fixtures of the checks.

#![forbid(unsafe_code)]

pub mod cpu_renderer;
pub mod published;
