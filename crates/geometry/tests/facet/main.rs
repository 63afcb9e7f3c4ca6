//! Facets: at rest, second bevels, what a regrind takes.
#![allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]

mod at_rest;
mod cost;
mod ink_at_both_ends;
mod ink_round_trips;
mod measured_facets;
mod regrind_turns;
mod relief;
mod second_bevels_at_limits;
mod steep_pivots;
mod whole_facets;
mod wide_facets;
