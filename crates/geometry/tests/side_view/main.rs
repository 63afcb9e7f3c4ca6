//! The side view checked three ways: cases that must collapse, brute force, worked figures.
//!
//! The brute force knows only coordinates: it turns the tool about its pivot, or pushes it along its table,
//! until a point stands on the abrasive, and measures angles between points. No formula of the crate is used.

#![allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]

mod brute;
mod collisions;
mod contact;
mod forward;
mod inverse;
mod random;
mod robust;
mod worked;
