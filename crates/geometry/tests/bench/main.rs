//! Whole benches: laws that hold for all, limits, published rows, wear.
#![allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]

mod holders_in_the_way;
mod limits;
mod metamorphic;
mod polynomial_roots;
mod published_rows;
mod travel_and_seats;
mod vee_floors;
mod wear;
