//! The geometry of a guided grind.

pub mod angle;
pub mod blank;
pub mod dimension;
pub mod edge;
pub mod edge_summary;
pub mod flute;
pub mod ground;
mod push;
pub mod roll;
pub mod roots;
pub mod silhouette;
pub mod steel;
mod sweep;
pub mod tip;
pub mod tip_mesh;

pub use angle::Angle;
pub use blank::{Bar, Bevels, Blank, FlatKind, FlatStock, Plan, Section};
pub use dimension::{Bound, Quantity, Unfit};
pub use flute::{Flute, FluteShape};
