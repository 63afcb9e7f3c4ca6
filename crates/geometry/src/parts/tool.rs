//! A tool: its steel, its lengths and the facet it carries today.

use crate::{
    math::{
        dimension::{Bound, DimensionError, length},
        quantity::Quantity,
    },
    parts::{blank::Blank, edge_section::EdgeSection, present_facet::PresentFacet, profile::Profile},
};

/// A tool with checked dimensions.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tool {
    blank: Blank,
    overall_length_mm: f64,
    blade_length_mm: f64,
    present: Option<Profile>,
}

impl Tool {
    /// A tool of a blank, its overall length from edge to handle end, the length of blade outside the handle,
    /// and the facet it carries today if that is known.
    ///
    /// # Errors
    /// [`DimensionError`] for a length out of range or a blade longer than the whole tool.
    pub fn new(
        blank: Blank,
        overall_length_mm: f64,
        blade_length_mm: f64,
        present: Option<PresentFacet>,
    ) -> Result<Self, DimensionError> {
        length(Quantity::ToolLength, overall_length_mm)?;
        length(Quantity::BladeLength, blade_length_mm)?;
        if blade_length_mm > overall_length_mm {
            return Err(DimensionError {
                quantity: Quantity::BladeLength,
                value: blade_length_mm,
                bound: Bound::AtMost(overall_length_mm),
            });
        }
        Ok(Self { blank, overall_length_mm, blade_length_mm, present: present.map(Profile::from) })
    }

    /// The same tool with several facets from the edge to the heel.
    #[must_use]
    pub fn with_profile(self, profile: Profile) -> Self {
        Self { present: Some(profile), ..self }
    }

    /// The steel.
    #[must_use]
    pub fn blank(&self) -> &Blank {
        &self.blank
    }

    /// Overall length from edge to handle end, in millimetres.
    #[must_use]
    pub fn overall_length_mm(&self) -> f64 {
        self.overall_length_mm
    }

    /// Length of blade outside the handle, in millimetres.
    #[must_use]
    pub fn blade_length_mm(&self) -> f64 {
        self.blade_length_mm
    }

    /// The facet at the edge as it is today, if known.
    #[must_use]
    pub fn present(&self) -> Option<&PresentFacet> {
        self.present.as_ref().map(Profile::first)
    }

    /// All facets as they are today from the edge to the heel, if known.
    #[must_use]
    pub fn profile(&self) -> Option<&Profile> {
        self.present.as_ref()
    }

    /// The edge as the side plane sees it.
    #[must_use]
    pub fn edge_section(&self) -> EdgeSection {
        EdgeSection { height_mm: self.blank.edge_height_mm(), under_mm: self.blank.thickness_under_edge_mm() }
    }
}
