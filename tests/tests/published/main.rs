//! Published values and facts of the trade, asked of the program.
#![allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

mod further_rows;
mod rows;
mod trade;
mod users;
