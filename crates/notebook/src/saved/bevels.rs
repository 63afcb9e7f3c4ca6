//! The ground faces of an edge.

use crate::saved::{BevelsSaved, EdgeSaved};

/// The ground faces of an edge, where it has a choice.
#[must_use]
pub const fn bevels_of(edge: EdgeSaved) -> Option<BevelsSaved> {
    match edge {
        EdgeSaved::Skew { bevels, .. } | EdgeSaved::Parting { bevels } | EdgeSaved::Beading { bevels } => {
            Some(bevels)
        }
        EdgeSaved::Scraper { .. } | EdgeSaved::NegativeRake { .. } => None,
    }
}
