//! The command against second accounts of its numbers.
#![allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

mod evaluate;
mod files;
mod find;
mod keep;
mod line;
mod swept_edge;
