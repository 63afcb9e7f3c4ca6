//! Angles, checked numbers and the numerical methods that everything else stands on.
//!
//! * [`angle`]: the only place where degrees meet radians; [`dimension`]: quantities, bounds, checked numbers.
//! * [`roots`] of polynomials, `walk`s to a root along a function, `eigen` values of small matrices.
//!
//! Uses no other wing.

pub mod angle;
pub mod dimension;
pub(crate) mod eigen;
pub mod quantity;
pub mod roots;
pub(crate) mod walk;

pub use angle::Angle;
pub use dimension::{Bound, DimensionError};
pub use quantity::{Kind, Quantity};
