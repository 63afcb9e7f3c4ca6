//! The geometry of a guided grind.

pub mod angle;
pub mod dimension;

pub use angle::Angle;
pub use dimension::{Bound, Quantity, Unfit};
