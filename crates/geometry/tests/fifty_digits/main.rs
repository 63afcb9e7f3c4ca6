//! The program's own functions against values worked out to fifty digits and more by other ways, from coordinates:
//! `tests/reference/fifty/`, whose scripts and tables are described in `tests/reference/README.md`.
//!
//! Every row of every table is compared, each within its own stated tolerance; a row that no test asks for fails.

#![allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]

mod bench;
mod contact;
mod equal;
mod facets;
mod inverse;
mod limits;
mod rows;
mod side_view;
mod solids;
mod swing;
mod volume;
