//! Solids of a job: how near they come to each other.
#![allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]

mod blade_and_handle;
mod clearance;
