//! Drawings against the geometry that they are made from.
#![allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]

mod plates;
mod sample;
mod side;
