//! TODO

pub mod slip;

pub use slip::{
    Amiss, Behind, Dip, FaultyGrind, NewFacet, Peak, Slip, TwoFacets, TwoFacetsSeen, TwoFacetsUnlikely,
    WingInk, WingInkSeen, WingInkVerdict,
};
