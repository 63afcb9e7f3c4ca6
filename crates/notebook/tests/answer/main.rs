//! From the saved form to answers: further steps, ink, removed steel, units.
#![allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]

mod further;
mod ink;
mod lesson_captions;
mod odd_supports;
mod removal;
mod units;
