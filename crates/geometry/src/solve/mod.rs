//! What to set for a wanted bevel, a wanted wing, many tools at once, or a rig whose dimensions are hidden.
//!
//! * [`question`]: several quantities free, one or two targets, every answer; [`family`]: where one quantity too many is free.
//! * [`one_reach`]: one reach for many settings; [`calibrate`]: a rig fitted to trial grinds.
//!
//! Uses `math`, `parts`, `side` and `swept`.

pub mod calibrate;
pub mod family;
pub mod freedom;
pub mod one_reach;
pub mod question;
pub mod remedy;
pub mod solution;
pub mod wing_target;

pub use calibrate::{FITTED, FitRefusal, FittedDimension, FittedRig, Trial, fit_rig};
pub use family::Family;
pub use freedom::{DegreeOfFreedom, Short};
pub use one_reach::{Served, SharedReach, Sharer, one_reach_for_many};
pub use question::Question;
pub use remedy::Remedy;
pub use solution::{Solution, Solutions, SolveError};
pub use wing_target::{Rolling, WingTarget};
