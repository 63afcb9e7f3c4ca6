//! TODO

pub mod bench_sheet;
pub mod card;
pub mod chart;
pub mod gauge;
pub mod handout;
pub mod lesson_sheet;
pub(crate) mod on_page;
pub mod page;
pub mod page_svg;
pub mod pdf;
pub mod printing;
pub mod sheet;
pub mod wear_table;
