//! Shared fixtures of the checks.

#![forbid(unsafe_code)]

pub mod cpu_renderer;
pub mod keyboard;
pub mod published;
