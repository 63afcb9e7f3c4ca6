//! Printed things: pages in millimetres, the sheets that are laid out on them, and their files.
//!
//! May use: every other wing. A sheet is a list of items; PDF, SVG and the picture of a page are written
//! from the same list. What is asked for stands in `request`, the way from there to files in `printing`.

pub mod bench_sheet;
pub mod card;
pub mod chart;
pub mod files;
pub mod gauge;
pub mod handout;
pub mod lesson_sheet;
pub(crate) mod on_page;
pub mod page;
pub mod page_svg;
pub mod pdf;
pub mod picture;
pub mod printing;
pub mod request;
pub mod sheet;
pub mod wear_table;
