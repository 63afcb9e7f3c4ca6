//! Sketches of rigs, holders and tools: where each dimension is measured, in millimetres.
//!
//! May use what drawings may. The dimension that is pointed at gets its line; the others stay away.

pub mod holder;
pub mod lines;
pub mod mark;
pub mod rig;
pub mod section;
pub mod tool;
