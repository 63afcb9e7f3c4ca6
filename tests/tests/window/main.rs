//! The window, driven by its labels as a person or a screen reader would, and what it shows.
#![allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]

mod colour_vision;
mod edit_pages;
mod find_page;
mod find_tool;
mod golden;
mod keep_grind;
mod keep_page;
mod keys;
mod labels;
mod main_job;
mod pair;
mod pair_tips;
mod parts;
mod pictures;
mod print_page;
mod quantities;
mod rig_parts;
mod scale;
mod tip_pages;
mod unsaved;
