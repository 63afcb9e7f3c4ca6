//! Slips at the grinder: the edge each one leaves, and its size from what is measured.
//!
//! * [`slip`]: a tool turned in its holder, a dwell, a wheel with a crown; two facets where one should be; ink on one wing.
//!
//! Uses every wing but `solve` and `space`.

pub mod slip;

pub use slip::{
    Behind, Dip, FaultyGrind, NewFacet, Peak, RollingFault, Slip, TwoFacets, TwoFacetsSeen,
    TwoFacetsUnlikely, WingInk, WingInkSeen, WingInkVerdict,
};
