//! What comes near to what while a tool is swung: solids, their gaps, the rest gap.
//!
//! * [`solid`]: boxes, cylinders and their distances; [`clearance`]: over the whole swing; [`rest_gap`] at the table.
//!
//! Uses `math`, `parts`, `side` and `swept`.

pub mod clearance;
pub mod rest_gap;
pub mod solid;

pub use clearance::{Body, Clearance, Guard, Moved, Obstacle, Surroundings, SwingAt};
pub use rest_gap::RestGap;
pub use solid::{Gap, Solid};
