//! The ground facet: settled on today's wheel, read from its ink, ground anew, relieved behind.
//!
//! * [`contact`]: a facet as it is, laid on the wheel; [`ink`] forward, [`ink_reading`] backward, [`ink_remedy`] what to move.
//! * [`matching`]: what a tool is ground to; [`cost`] of a regrind; [`relief`] and [`relief_find`]: second bevels.
//!
//! Uses `math`, `parts` and `side`.

pub mod contact;
pub mod cost;
pub mod ink;
pub mod ink_reading;
pub mod ink_remedy;
pub mod matching;
pub mod relief;
pub mod relief_find;

pub use contact::{NoContact, Pattern, Touch};
pub use cost::{FacetCurve, Place, Regrind, TimedGrind, ToolLife};
pub use ink::{InkMap, Inked};
pub use ink_reading::{InkReading, InkSeen, InkVerdict};
pub use ink_remedy::{InkMove, InkRemedy};
pub use matching::{
    AcrossBy, HollowBy, MatchedGrind, MatchedUncertainty, MeasuredFacet, MeasurementUncertainties,
};
pub use relief::{FurtherFacet, Inside, Relief, ReliefRefusal};
pub use relief_find::{ReliefWanted, SecondSetting};
