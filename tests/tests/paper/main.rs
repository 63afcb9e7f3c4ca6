//! What is printed, read back from its files and measured.
#![allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

mod measured;
mod pages;
