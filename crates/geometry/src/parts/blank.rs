//! The steel a tool is made of: a round bar with a flute, or flat stock with its kind of edge.
//!
//! Tool frame: `s` along the tool's axis from the nose of the edge towards the handle, `h` from the
//! centreline towards the open side of the flute (or the upper face), `w` across; millimetres.

use crate::{
    math::{
        angle::Angle,
        dimension::{Bound, DimensionError, angle, length, place, within},
        quantity::Quantity,
    },
    parts::flute::{Flute, FluteShape},
};

/// A round bar with a flute.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bar {
    diameter_mm: f64,
    top_mm: f64,
    flute: Flute,
}

impl Bar {
    /// A full round bar of `diameter_mm` with a flute of `shape` whose floor lies `floor_mm` above the
    /// centreline (usually negative).
    ///
    /// # Errors
    /// [`DimensionError`] as [`Flute::new`].
    pub fn new(diameter_mm: f64, shape: FluteShape, floor_mm: f64) -> Result<Self, DimensionError> {
        Self::cut_off(diameter_mm, shape, floor_mm, diameter_mm / 2.0)
    }

    /// A bar whose section ends at `top_mm` above the centreline: a roughing gouge is half a ring, a forged
    /// gouge a shallow one.
    ///
    /// # Errors
    /// [`DimensionError`] as [`Flute::new`].
    pub fn cut_off(
        diameter_mm: f64,
        shape: FluteShape,
        floor_mm: f64,
        top_mm: f64,
    ) -> Result<Self, DimensionError> {
        let flute = Flute::new(shape, floor_mm, diameter_mm, top_mm)?;
        Ok(Self { diameter_mm, top_mm: top_mm.min(diameter_mm / 2.0), flute })
    }

    /// Diameter in millimetres.
    #[must_use]
    pub fn diameter_mm(&self) -> f64 {
        self.diameter_mm
    }

    /// Radius in millimetres.
    #[must_use]
    pub fn radius_mm(&self) -> f64 {
        self.diameter_mm / 2.0
    }

    /// Height above the centreline at which the section ends, in millimetres.
    #[must_use]
    pub fn top_mm(&self) -> f64 {
        self.top_mm
    }

    /// The flute.
    #[must_use]
    pub fn flute(&self) -> &Flute {
        &self.flute
    }
}

/// The outline of flat stock, seen from its end.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Section {
    /// Square corners.
    #[default]
    Rectangular,
    /// The long narrow sides rolled round.
    Rolled,
    /// An oval.
    Oval,
}

/// Which faces of flat stock are ground, and how the second relates to the first.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub enum Bevels {
    /// One face only: the edge lies at the other face.
    One,
    /// Both faces alike: the edge lies in the mid-plane.
    #[default]
    Alike,
    /// Both faces, the other one at an angle of its own; the edge lies where the turner puts it.
    Unlike {
        /// Bevel angle at the edge of the other face, to the tool's axis.
        other: Angle,
        /// Height of the edge above the mid-plane, in millimetres.
        edge_height_mm: f64,
    },
}

/// The edge seen from above.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub enum Plan {
    /// Straight across.
    #[default]
    Straight,
    /// A round nose.
    Round {
        /// Its radius in the plane of the blade, in millimetres.
        radius_mm: f64,
    },
}

/// What kind of edge flat stock carries.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum FlatKind {
    /// A skew chisel: an oblique edge, straight or curved in the plane of the blade.
    Skew {
        /// Angle between the edge and the long side; 90° is a square-ended chisel.
        obliquity: Angle,
        /// Radius of a curved edge in millimetres, if it is curved.
        edge_radius_mm: Option<f64>,
        /// The ground faces.
        bevels: Bevels,
    },
    /// A parting tool: a narrow square edge.
    Parting {
        /// The ground faces.
        bevels: Bevels,
    },
    /// A beading tool: a square edge ground on both broad faces.
    Beading {
        /// The ground faces.
        bevels: Bevels,
    },
    /// A scraper: one bevel under the upper face.
    Scraper {
        /// Its edge in plan.
        plan: Plan,
    },
    /// A negative-rake scraper: a bevel below and a shorter one above.
    NegativeRake {
        /// Its edge in plan.
        plan: Plan,
        /// Angle of the upper bevel to the upper face.
        upper: Angle,
        /// How far the edge lies below the upper face, in millimetres.
        drop_mm: f64,
    },
}

/// Flat stock with its edge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FlatStock {
    width_mm: f64,
    thickness_mm: f64,
    section: Section,
    kind: FlatKind,
}

impl FlatStock {
    /// Flat stock of a width and a thickness with its kind of edge.
    ///
    /// # Errors
    /// [`DimensionError`] when a dimension is out of range or the edge would lie outside the blade.
    pub fn new(
        width_mm: f64,
        thickness_mm: f64,
        section: Section,
        kind: FlatKind,
    ) -> Result<Self, DimensionError> {
        length(Quantity::BladeWidth, width_mm)?;
        length(Quantity::BladeThickness, thickness_mm)?;
        let half = thickness_mm / 2.0;
        let check_bevels = |bevels: Bevels| -> Result<(), DimensionError> {
            if let Bevels::Unlike { other, edge_height_mm } = bevels {
                angle(Quantity::OtherBevel, other, 0.1, 179.9)?;
                place(Quantity::EdgeHeight, edge_height_mm)?;
                let value = edge_height_mm;
                if value <= -half {
                    return Err(DimensionError {
                        quantity: Quantity::EdgeHeight,
                        value,
                        bound: Bound::MoreThan(-half),
                    });
                }
                if value > half {
                    return Err(DimensionError {
                        quantity: Quantity::EdgeHeight,
                        value,
                        bound: Bound::AtMost(half),
                    });
                }
            }
            Ok(())
        };
        let check_plan = |plan: Plan| match plan {
            Plan::Straight => Ok(()),
            Plan::Round { radius_mm } => length(Quantity::EdgeRadius, radius_mm).map(|_| ()),
        };
        match kind {
            FlatKind::Skew { obliquity, edge_radius_mm, bevels } => {
                angle(Quantity::EdgeObliquity, obliquity, 10.0, 90.0)?;
                if let Some(radius) = edge_radius_mm {
                    length(Quantity::EdgeRadius, radius)?;
                }
                check_bevels(bevels)?;
            }
            FlatKind::Parting { bevels } | FlatKind::Beading { bevels } => check_bevels(bevels)?,
            FlatKind::Scraper { plan } => check_plan(plan)?,
            FlatKind::NegativeRake { plan, upper, drop_mm } => {
                check_plan(plan)?;
                angle(Quantity::OtherBevel, upper, 0.0, 89.0)?;
                within(Quantity::EdgeDrop, drop_mm, 0.0, thickness_mm * 0.999)?;
            }
        }
        Ok(Self { width_mm, thickness_mm, section, kind })
    }

    /// Width in millimetres.
    #[must_use]
    pub fn width_mm(&self) -> f64 {
        self.width_mm
    }

    /// Thickness in millimetres.
    #[must_use]
    pub fn thickness_mm(&self) -> f64 {
        self.thickness_mm
    }

    /// The outline seen from the end.
    #[must_use]
    pub fn section(&self) -> Section {
        self.section
    }

    /// The kind of edge.
    #[must_use]
    pub fn kind(&self) -> FlatKind {
        self.kind
    }

    /// The ground faces of a kind that has a choice; scrapers have one bevel under the edge.
    #[must_use]
    pub fn bevels(&self) -> Bevels {
        match self.kind {
            FlatKind::Skew { bevels, .. } | FlatKind::Parting { bevels } | FlatKind::Beading { bevels } => {
                bevels
            }
            FlatKind::Scraper { .. } => Bevels::One,
            FlatKind::NegativeRake { upper, drop_mm, .. } => {
                Bevels::Unlike { other: upper, edge_height_mm: self.thickness_mm / 2.0 - drop_mm }
            }
        }
    }
}

/// The steel of a tool.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Blank {
    /// A gouge.
    Bar(Bar),
    /// Skews, parting and beading tools, scrapers.
    Flat(FlatStock),
}

impl Blank {
    /// Height of the nose's edge above the centreline (or mid-plane), `h_E` in millimetres.
    #[must_use]
    pub fn edge_height_mm(&self) -> f64 {
        match self {
            Self::Bar(bar) => bar.flute().floor_mm(),
            Self::Flat(flat) => match flat.bevels() {
                Bevels::One => flat.thickness_mm / 2.0,
                Bevels::Alike => 0.0,
                Bevels::Unlike { edge_height_mm, .. } => edge_height_mm,
            },
        }
    }

    /// Steel between the edge and the underside, square to the axis, in millimetres; always positive.
    #[must_use]
    pub fn thickness_under_edge_mm(&self) -> f64 {
        match self {
            Self::Bar(bar) => bar.flute().floor_mm() + bar.radius_mm(),
            Self::Flat(flat) => self.edge_height_mm() + flat.thickness_mm / 2.0,
        }
    }

    /// Angle between the edge and the long side: 90° unless the tool is a skew.
    #[must_use]
    pub fn obliquity(&self) -> Angle {
        match self {
            Self::Flat(FlatStock { kind: FlatKind::Skew { obliquity, .. }, .. }) => *obliquity,
            _ => Angle::QUARTER,
        }
    }

    /// The included angle at the edge for a bevel `at_edge` on the face being ground: the sum of both
    /// bevels where two faces are ground, nothing where only one is.
    #[must_use]
    pub fn included(&self, at_edge: Angle) -> Option<Angle> {
        match self {
            Self::Bar(_) => None,
            Self::Flat(flat) => match flat.bevels() {
                Bevels::One => None,
                Bevels::Alike => Some(at_edge * 2.0),
                Bevels::Unlike { other, .. } => Some(at_edge + other),
            },
        }
    }

    /// The bevel at the edge of the face being ground that makes an included angle: the way back of
    /// [`Blank::included`]. Zero or less where the other face alone has as much.
    #[must_use]
    pub fn bevel_of_included(&self, included: Angle) -> Option<Angle> {
        match self {
            Self::Bar(_) => None,
            Self::Flat(flat) => match flat.bevels() {
                Bevels::One => None,
                Bevels::Alike => Some(included / 2.0),
                Bevels::Unlike { other, .. } => Some(included - other),
            },
        }
    }

    /// Height of the whole section above its centreline or mid-plane, and depth below it, in millimetres.
    #[must_use]
    pub fn height_span_mm(&self) -> (f64, f64) {
        match self {
            Self::Bar(bar) => (-bar.radius_mm(), bar.top_mm()),
            Self::Flat(flat) => (-flat.thickness_mm / 2.0, flat.thickness_mm / 2.0),
        }
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    fn flat(kind: FlatKind) -> Blank {
        Blank::Flat(FlatStock::new(25.0, 8.0, Section::Rectangular, kind).unwrap())
    }

    #[test]
    fn edges_lie_where_their_kind_puts_them() {
        let skew = flat(FlatKind::Skew {
            obliquity: Angle::from_degrees(70.0),
            edge_radius_mm: None,
            bevels: Bevels::Alike,
        });
        assert_eq!((skew.edge_height_mm(), skew.thickness_under_edge_mm()), (0.0, 4.0));
        let scraper = flat(FlatKind::Scraper { plan: Plan::Straight });
        assert_eq!((scraper.edge_height_mm(), scraper.thickness_under_edge_mm()), (4.0, 8.0));
        let negative = flat(FlatKind::NegativeRake {
            plan: Plan::Straight,
            upper: Angle::from_degrees(25.0),
            drop_mm: 1.0,
        });
        assert_eq!((negative.edge_height_mm(), negative.thickness_under_edge_mm()), (3.0, 7.0));
    }

    #[test]
    fn included_angle_counts_every_ground_face() {
        let bevel = Angle::from_degrees(15.0);
        let parting = flat(FlatKind::Parting { bevels: Bevels::Alike });
        assert_relative_eq!(parting.included(bevel).unwrap().degrees(), 30.0, epsilon = 1e-12);
        let unlike = flat(FlatKind::Beading {
            bevels: Bevels::Unlike { other: Angle::from_degrees(25.0), edge_height_mm: 1.0 },
        });
        assert_relative_eq!(unlike.included(bevel).unwrap().degrees(), 40.0, epsilon = 1e-12);
        assert!(flat(FlatKind::Scraper { plan: Plan::Straight }).included(bevel).is_none());
    }

    #[test]
    fn edge_outside_the_blade_is_refused() {
        let kind = FlatKind::Parting {
            bevels: Bevels::Unlike { other: Angle::from_degrees(20.0), edge_height_mm: -4.0 },
        };
        let refused = FlatStock::new(25.0, 8.0, Section::Rectangular, kind).unwrap_err();
        assert_eq!((refused.quantity, refused.value), (Quantity::EdgeHeight, -4.0));
    }
}
