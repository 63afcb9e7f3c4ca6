//! What a tool carries from its edge to its heel: one facet, or several in a chain.
//!
//! Tool frame, points relative to the edge, millimetres. Places along a profile are chord lengths from the edge.

use glam::DVec2;

use crate::parts::present_facet::PresentFacet;

/// The most facets a profile has.
pub const MOST_FACETS: usize = 4;
/// Facets in a chain from the edge to the heel; the bevel "at the edge" of each is that at its own start.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Profile {
    facets: [PresentFacet; MOST_FACETS],
    starts: [DVec2; MOST_FACETS],
    count: usize,
}

impl Profile {
    /// A chain of one to [`MOST_FACETS`] facets; `None` for none or more.
    #[must_use]
    pub fn new(facets: &[PresentFacet]) -> Option<Self> {
        let first = *facets.first()?;
        if facets.len() > MOST_FACETS {
            return None;
        }
        let mut chain =
            Self { facets: [first; MOST_FACETS], starts: [DVec2::ZERO; MOST_FACETS], count: facets.len() };
        let mut start = DVec2::ZERO;
        for (i, facet) in facets.iter().enumerate() {
            (chain.facets[i], chain.starts[i]) = (*facet, start);
            start += facet.heel_from_edge();
        }
        Some(chain)
    }

    /// The facets, each with its start relative to the edge.
    pub fn facets(&self) -> impl Iterator<Item = (&PresentFacet, DVec2)> {
        self.facets.iter().zip(self.starts).take(self.count)
    }

    /// The facet at the edge.
    #[must_use]
    pub fn first(&self) -> &PresentFacet {
        &self.facets[0]
    }

    /// Width of all facets together, in millimetres.
    #[must_use]
    pub fn width_mm(&self) -> f64 {
        self.facets().map(|(facet, _)| facet.width_mm()).sum()
    }

    /// The point at a chord length from the edge, relative to the edge; the heel beyond it.
    #[must_use]
    pub fn point_at(&self, along_mm: f64) -> DVec2 {
        let mut left = along_mm.max(0.0);
        let mut heel = DVec2::ZERO;
        for (facet, start) in self.facets() {
            if left <= facet.width_mm() {
                return start + facet.point_at(left / facet.width_mm());
            }
            left -= facet.width_mm();
            heel = start + facet.heel_from_edge();
        }
        heel
    }
}

impl From<PresentFacet> for Profile {
    fn from(facet: PresentFacet) -> Self {
        Self { facets: [facet; MOST_FACETS], starts: [DVec2::ZERO; MOST_FACETS], count: 1 }
    }
}
