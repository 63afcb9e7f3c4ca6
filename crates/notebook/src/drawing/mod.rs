//! Drawings in millimetres, and the files of one: what a thing looks like, never how it is inked.
//!
//! May use: `quantity`, `saved`, `answer`, `words`. A [`Drawing`] is a list of shapes with roles; window, SVG and
//! printed page consume the same one, so they cannot disagree.

pub mod clearance_view;
pub mod fault_view;
pub mod outline;
pub mod pair_view;
pub mod png;
pub mod side_view;
pub mod sketch;
pub mod svg;
pub mod text_shaping;
pub mod tip_view;

pub(crate) mod shape;

mod cut;

pub use crate::saved::part::Part;
pub use shape::{Align, Bounds, Drawing, Geometry, Mark, Point, Role, Shape, Standing, TextSize, segment};
