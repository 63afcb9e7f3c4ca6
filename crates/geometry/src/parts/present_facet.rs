//! A tool's facet as it is today: an arc or a flat, with its bevel and its width.
//!
//! Tool frame relative to the edge, millimetres.

use glam::{DVec2, dvec2};

use crate::math::{
    angle::Angle,
    dimension::{Bound, DimensionError, angle, length},
    quantity::Quantity,
};

/// The hollow of a facet as it is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Hollow {
    /// An arc, left by a wheel of this radius in millimetres.
    Arc {
        /// The radius.
        radius_mm: f64,
    },
    /// Flat.
    Flat,
}

/// What a tool's facet looks like today, as against what today's setting would grind.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PresentFacet {
    hollow: Hollow,
    at_edge: Angle,
    width_mm: f64,
}

impl PresentFacet {
    /// A facet with its hollow, its bevel at the edge and its width (the chord from edge to heel).
    ///
    /// # Errors
    /// [`DimensionError`] for a number out of range, or a chord longer than its circle is wide.
    pub fn new(hollow: Hollow, at_edge: Angle, width_mm: f64) -> Result<Self, DimensionError> {
        angle(Quantity::Bevel, at_edge, 0.1, 179.9)?;
        length(Quantity::FacetWidth, width_mm)?;
        if let Hollow::Arc { radius_mm } = hollow {
            length(Quantity::FacetRadius, radius_mm)?;
            if width_mm > 1.999 * radius_mm {
                return Err(DimensionError {
                    quantity: Quantity::FacetWidth,
                    value: width_mm,
                    bound: Bound::AtMost(1.999 * radius_mm),
                });
            }
        }
        Ok(Self { hollow, at_edge, width_mm })
    }

    /// The hollow.
    #[must_use]
    pub fn hollow(&self) -> Hollow {
        self.hollow
    }

    /// Bevel at the edge.
    #[must_use]
    pub fn at_edge(&self) -> Angle {
        self.at_edge
    }

    /// Width, the chord, in millimetres.
    #[must_use]
    pub fn width_mm(&self) -> f64 {
        self.width_mm
    }

    /// Half the turn of the arc, `κ`; nothing for a flat.
    #[must_use]
    pub fn half_turn(&self) -> Angle {
        match self.hollow {
            Hollow::Arc { radius_mm } => {
                Angle::from_radians((self.width_mm / (2.0 * radius_mm)).min(1.0).asin())
            }
            Hollow::Flat => Angle::ZERO,
        }
    }

    /// Bevel across the facet.
    #[must_use]
    pub fn across(&self) -> Angle {
        self.at_edge + self.half_turn()
    }

    /// The heel, relative to the edge, in the tool frame.
    #[must_use]
    pub fn heel_from_edge(&self) -> DVec2 {
        let (sin, cos) = self.across().sin_cos();
        self.width_mm * dvec2(cos, -sin)
    }

    /// The point at a fraction of the facet, 0 at the edge and 1 at the heel, relative to the edge.
    #[must_use]
    pub fn point_at(&self, fraction: f64) -> DVec2 {
        match self.hollow {
            Hollow::Flat => self.heel_from_edge() * fraction,
            Hollow::Arc { radius_mm } => {
                // Chord from the edge after turning 2κ·fraction: length 2R sin(κ·fraction) at slope β + κ·fraction.
                let turned = self.half_turn() * fraction;
                let (sin, cos) = (self.at_edge + turned).sin_cos();
                2.0 * radius_mm * turned.sin() * dvec2(cos, -sin)
            }
        }
    }

    /// Centre of the arc relative to the edge, if it is one.
    pub(crate) fn centre_from_edge(&self) -> Option<(DVec2, f64)> {
        match self.hollow {
            Hollow::Arc { radius_mm } => {
                let (sin, cos) = self.at_edge.sin_cos();
                Some((-radius_mm * dvec2(sin, cos), radius_mm))
            }
            Hollow::Flat => None,
        }
    }
}
