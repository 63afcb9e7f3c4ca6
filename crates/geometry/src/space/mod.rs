//! TODO

pub mod clearance;
pub mod rest_gap;
pub mod solid;

pub use clearance::{Body, Clearance, Guard, Moved, Obstacle, Surroundings, SwingAt};
pub use rest_gap::RestGap;
pub use solid::{Gap, Solid};
