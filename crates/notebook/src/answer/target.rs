//! From the bevel that is meant, at the edge or across the facet, to the target as the geometry takes it.

use bevelbench_geometry::{
    math::Angle,
    side::{SideView, Target},
};

use crate::saved::target::{BevelMeant, TargetSaved};

impl BevelMeant {
    /// A bevel that is meant there.
    #[must_use]
    pub const fn target(self, bevel: Angle) -> Target {
        match self {
            Self::AtEdge => Target::AtEdge(bevel),
            Self::AcrossFacet => Target::AcrossFacet(bevel),
        }
    }

    /// The bevel that is ground there.
    #[must_use]
    pub fn target_of(self, view: &SideView) -> Target {
        self.target(match self {
            Self::AtEdge => view.facet.at_edge,
            Self::AcrossFacet => view.facet.across,
        })
    }
}

impl TargetSaved {
    /// The bevel as the geometry takes it.
    #[must_use]
    pub const fn bevel(&self) -> Target {
        self.meant.target(Angle::from_degrees(self.bevel_deg))
    }
}
