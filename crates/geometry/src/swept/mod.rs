//! The surface a swung or pushed grind leaves, and what is read of it.
//!
//! * The surface: [`roll`] line and swing, [`ground`], where a ray is [`hit`]; `sweep`, `push` and `torus` are its kinds.
//! * The [`nose`] over a whole swing, and what no pose reaches.
//! * The tip: [`edge`] and its summary, [`steel`], [`tip`], its mesh and silhouette, [`ink`] over the whole bevel.
//! * Two surfaces: [`gap`] between them, [`equal`] grinds.
//!
//! Uses `math`, `parts` and `side`.

pub mod edge;
pub mod edge_summary;
#[cfg(feature = "numeric-envelope")]
pub mod envelope;
pub mod equal;
pub mod gap;
pub mod ground;
pub mod hit;
pub mod ink;
pub mod nose;
pub(crate) mod push;
pub mod roll;
pub mod silhouette;
pub mod steel;
pub(crate) mod sweep;
pub mod tip;
pub mod tip_mesh;
pub(crate) mod torus;

pub use edge::{Edge, EdgePoint, wedge_angle};
pub use edge_summary::{EdgeSummary, Nose, Wing};
#[cfg(feature = "numeric-envelope")]
pub use envelope::{Envelope, EnvelopeError, RimShape};
pub use equal::{EdgeDifference, EqualGrind, EqualGrindError, RollCentreFit, Strut, StrutTravel};
pub use ground::{GrindingFace, GroundError, GroundSurface, Pushed, Rolled, TurnedOnTable};
pub use hit::{GroundBy, Hit};
pub use ink::{Facing, Settling, SweptInk};
pub use nose::{NOSE_STAYS_MM, NoseLost};
pub use roll::{RollLine, RollLineError, Swing};
pub use steel::Steel;
pub use tip::{Tip, Volume};
pub use tip_mesh::{Region, TipMesh, Vertex};
