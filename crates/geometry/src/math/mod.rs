//! TODO

pub mod angle;
pub mod dimension;
pub(crate) mod eigen;
pub mod roots;
pub(crate) mod walk;

pub use angle::Angle;
pub use dimension::{Bound, Quantity, Unfit};
