//! Bench files on real disks: damage, full disks, what other programs do to them.
//!
//! `kill.rs` stands apart: a process being started holds the locks of files that other tests have open.
#![allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

mod faults;
mod others;
