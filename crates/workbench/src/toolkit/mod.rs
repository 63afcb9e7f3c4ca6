//! How anything looks and how it is touched: colours and sizes, drawings on a canvas, controls.
//!
//! May use: `model` (what a text means, what a hand does, what can be turned). Knows no page.

pub mod canvas;
pub mod theme;
pub mod view;
pub mod widgets;
