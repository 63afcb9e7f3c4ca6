//! TODO

pub mod contact;
pub mod cost;
pub mod ink;
pub mod ink_reading;
pub mod matching;
pub mod relief;
pub mod relief_find;

pub use contact::{Hollow, NoContact, Pattern, PresentFacet, Touch};
pub use cost::{FacetCurve, Place, Regrind, TimedGrind, ToolLife};
pub use ink::{InkMap, Inked};
pub use ink_reading::{InkMend, InkReading, InkSeen, InkVerdict};
pub use matching::{AcrossBy, HollowBy, MatchedGrind, MatchedSurety, MeasuredFacet, MeasuringDoubts};
pub use relief::{Inside, Relief, ReliefRefusal, StepFacet};
pub use relief_find::{ReliefWanted, SecondSetting};
