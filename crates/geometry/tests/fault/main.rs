//! Slips behind faults: their sizes and limits.
#![allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]

mod slip_limits;
mod slips;
mod slips_out_of_reach;
