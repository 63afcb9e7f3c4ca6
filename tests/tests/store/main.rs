//! Benches on disk: the window's keeper, and files of earlier versions.
//!
//! `crash.rs` stands apart: a process being started holds the locks of files that other tests have open.
#![allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

mod keeper;
mod older_benches;
