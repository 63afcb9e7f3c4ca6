//! Two facets where there should be one: what was moved between the two grinds.
//!
//! The older facet is what the setting grinds. The newer one runs on from it: from a junction on the older facet to
//! the underside, where something made the setting keener, or from the junction to a new edge further back, where
//! something made it blunter. Both ends of the newer facet are known from the two widths, so the wheel that left it is
//! known in the tool frame; whatever was moved must have put the wheel there.
//!
//! Tool frame, points relative to the older edge, millimetres.

use glam::{DVec2, dvec2};

use crate::{
    math::{
        angle::Angle,
        dimension::{Bound, DimensionError, length},
        quantity::Quantity,
    },
    parts::{
        present_facet::{Hollow, PresentFacet},
        profile::Profile,
        wheel::Face,
    },
    side::{
        inverse::Target,
        refusal::Refusal,
        setting::{Setting, SideView, Support},
    },
};

/// Which of two facets is the newer one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum NewFacet {
    /// The one at the heel: the grind has become keener.
    AtHeel,
    /// The one at the edge: the grind has become blunter.
    AtEdge,
}

/// Two facets as measured.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TwoFacetsSeen {
    /// Width of the facet at the edge, in millimetres.
    pub edge_mm: f64,
    /// Width of the facet at the heel, in millimetres.
    pub heel_mm: f64,
    /// Which is the newer one.
    pub newer: NewFacet,
}

/// Why two facets of these widths are not what the setting and one slip leave.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum TwoFacetsUnlikely {
    /// The setting has no answer.
    Refused(Refusal),
    /// The older facet alone is narrower than what is said to be left of it.
    OlderTooNarrow {
        /// Its full width, in millimetres.
        whole_mm: f64,
    },
    /// The newer facet is too narrow to reach from the older one to where it must end.
    NewerTooNarrow {
        /// It needs more than this, in millimetres.
        least_mm: f64,
    },
    /// So wide a newer facet at the heel would be blunter than the older, at the edge keener: it would have left
    /// nothing of the other.
    WrongWay {
        /// Its bevel where it begins.
        newer: Angle,
        /// The older one's bevel there.
        older: Angle,
    },
}

impl From<Refusal> for TwoFacetsUnlikely {
    fn from(refusal: Refusal) -> Self {
        Self::Refused(refusal)
    }
}

impl From<DimensionError> for TwoFacetsUnlikely {
    fn from(dimension_error: DimensionError) -> Self {
        Self::Refused(dimension_error.into())
    }
}

/// One input that, moved so far, explains the newer facet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Slip {
    /// The input.
    pub free: Quantity,
    /// What it was for the newer facet, in millimetres or degrees.
    pub value: f64,
    /// By how much it had moved.
    pub by: f64,
}

/// Two facets, and what may be behind them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TwoFacets {
    /// The older facet as it is left, its bevel that at its own start.
    pub older: PresentFacet,
    /// The newer facet, its bevel that at its own start.
    pub newer: PresentFacet,
    /// Both from the edge as it is to the heel; `None` only if a chain of two were refused.
    pub profile: Option<Profile>,
    /// How far the edge has gone back by the newer facet, in millimetres.
    pub lost_mm: f64,
    /// What explains it, each by itself, smallest relative to what is usual first: what the support has of reach,
    /// projection, strut angle, table tilt, tool length, and the wheel's diameter.
    slips: [Option<Slip>; 6],
}

impl TwoFacets {
    /// What explains the newer facet, each by itself.
    pub fn slips(&self) -> impl Iterator<Item = &Slip> {
        self.slips.iter().flatten()
    }
}

/// What may have moved, and how far it is looked for.
const SUSPECTS: [(Quantity, f64); 6] = [
    (Quantity::Projection, 40.0),
    (Quantity::Reach, 80.0),
    (Quantity::StrutAngle, 40.0),
    (Quantity::TableTilt, 40.0),
    (Quantity::ToolLength, 60.0),
    (Quantity::WheelDiameter, 120.0),
];

impl Setting {
    /// What would have to have moved, each by itself, for this setting to grind a bevel at the edge; on the travel or
    /// not.
    pub fn slips_to(&self, bevel: Angle) -> impl Iterator<Item = Slip> {
        SUSPECTS.into_iter().filter_map(move |(free, farthest)| {
            let present = self.value_of(free)?;
            let answers = self.find(Target::AtEdge(bevel), free).ok()?;
            let moves = answers.all().map(|answer| answer.value - present).filter(|by| by.abs() <= farthest);
            let by = moves.min_by(|a, b| a.abs().total_cmp(&b.abs()))?;
            Some(Slip { free, value: present + by, by })
        })
    }

    /// What two facets tell, the older being what this setting grinds.
    ///
    /// # Errors
    /// [`TwoFacetsUnlikely`].
    pub fn two_facets(&self, seen: &TwoFacetsSeen) -> Result<TwoFacets, TwoFacetsUnlikely> {
        length(Quantity::FacetWidth, seen.edge_mm)?;
        length(Quantity::FacetWidth, seen.heel_mm)?;
        let view = self.evaluate_off_travel()?;
        let hollow = self.face.hollow();
        let whole = PresentFacet::new(hollow, view.bevel(), view.facet.width_mm)?;
        let (older_left, newer_mm) = match seen.newer {
            NewFacet::AtHeel => (seen.edge_mm, seen.heel_mm),
            NewFacet::AtEdge => (seen.heel_mm, seen.edge_mm),
        };
        if older_left >= whole.width_mm() {
            return Err(TwoFacetsUnlikely::OlderTooNarrow { whole_mm: whole.width_mm() });
        }
        let (start, end, older) = match seen.newer {
            NewFacet::AtHeel => {
                let older = PresentFacet::new(hollow, view.bevel(), older_left)?;
                let junction = older.heel_from_edge();
                (junction, dvec2(f64::NAN, whole.heel_from_edge().y), older)
            }
            NewFacet::AtEdge => {
                // What is left of the older one, counted from its heel.
                let turned = match hollow {
                    Hollow::Arc { radius_mm } => {
                        2.0 * (whole.half_turn().radians() - (older_left / (2.0 * radius_mm)).min(1.0).asin())
                    }
                    Hollow::Flat => 0.0,
                };
                let older =
                    PresentFacet::new(hollow, view.bevel() + Angle::from_radians(turned), older_left)?;
                let junction = whole.heel_from_edge() - older.heel_from_edge();
                (dvec2(f64::NAN, 0.0), junction, older)
            }
        };
        let drop = start.y - end.y;
        if drop >= newer_mm {
            return Err(TwoFacetsUnlikely::NewerTooNarrow { least_mm: drop });
        }
        let across = Angle::from_radians((drop / newer_mm).asin());
        let newer = facet_across(hollow, across, newer_mm)?;
        let (start, lost_mm) = match seen.newer {
            NewFacet::AtHeel => (start, 0.0),
            NewFacet::AtEdge => {
                let edge = end - newer.heel_from_edge();
                (edge, edge.x)
            }
        };
        let keener = match seen.newer {
            NewFacet::AtHeel => newer.at_edge() < older.at_edge() + older.half_turn() * 2.0,
            NewFacet::AtEdge => newer.at_edge() + newer.half_turn() * 2.0 < older.at_edge(),
        };
        if keener != (seen.newer == NewFacet::AtHeel) {
            return Err(TwoFacetsUnlikely::WrongWay { newer: newer.at_edge(), older: older.at_edge() });
        }
        let chain = match seen.newer {
            NewFacet::AtHeel => [older, newer],
            NewFacet::AtEdge => [newer, older],
        };
        let slips = SUSPECTS.map(|(free, farthest)| {
            let present = self.value_of(free)?;
            let miss = |by: f64| self.with(free, present + by)?.misses(&view, start, across, newer_mm);
            let by = nearest_root(farthest, miss)?;
            Some(Slip { free, value: present + by, by })
        });
        Ok(TwoFacets { older, newer, profile: Profile::new(&chain), lost_mm, slips })
    }

    /// By how much this setting's wheel misses a facet that begins at a place of the tool, in millimetres (or, on a
    /// table with a flat face, in radians): nothing where it grinds it. `view` is that of the setting whose tool it is.
    fn misses(&self, view: &SideView, start: DVec2, across: Angle, width_mm: f64) -> Option<f64> {
        let edge = dvec2(0.0, view.edge_height_mm);
        let facet = facet_across(self.face.hollow(), across, width_mm).ok()?;
        let (sin, cos) = facet.at_edge().sin_cos();
        let outward = dvec2(sin, cos);
        match (self.face, self.support) {
            (Face::Round { radius_mm }, Support::Table { table, tilt }) => {
                let centre = start - radius_mm * outward;
                Some(centre.y + self.edge.under_mm + table.plane_from_centre_mm(tilt))
            }
            (Face::Round { radius_mm }, _) => {
                let (in_bench, in_tool) = self.pivot()?;
                let centre = edge + start - radius_mm * outward;
                Some(centre.distance(in_tool) - in_bench.length())
            }
            (Face::Flat { .. }, Support::Table { .. }) => {
                let own = self.evaluate_off_travel().ok()?.bevel();
                Some((own - facet.at_edge()).radians())
            }
            (Face::Flat { normal }, _) => {
                let (in_bench, in_tool) = self.pivot()?;
                Some((in_tool - edge - start).dot(outward) - in_bench.dot(normal.direction()))
            }
        }
    }
}

/// A facet by its bevel across.
fn facet_across(hollow: Hollow, across: Angle, width_mm: f64) -> Result<PresentFacet, DimensionError> {
    let half = match hollow {
        Hollow::Arc { radius_mm } if width_mm < 2.0 * radius_mm => (width_mm / (2.0 * radius_mm)).asin(),
        Hollow::Arc { radius_mm } => {
            return Err(DimensionError {
                quantity: Quantity::FacetWidth,
                value: width_mm,
                bound: Bound::LessThan(2.0 * radius_mm),
            });
        }
        Hollow::Flat => 0.0,
    };
    PresentFacet::new(hollow, across - Angle::from_radians(half), width_mm)
}

/// The least move, either way, up to `farthest`, after which nothing is missed.
fn nearest_root(farthest: f64, miss: impl Fn(f64) -> Option<f64>) -> Option<f64> {
    const STEPS: u32 = 160;
    let first = miss(0.0)?;
    let mut ends = [(0.0, first); 2];
    for i in 1..=STEPS {
        for (side, sign) in [(0, 1.0), (1, -1.0)] {
            let by = sign * farthest * f64::from(i) / f64::from(STEPS);
            let Some(here) = miss(by) else { continue };
            let (before, at_before) = ends[side];
            if (at_before < 0.0) != (here < 0.0) {
                let (mut near, mut far) = (before, by);
                for _ in 0..60 {
                    let middle = f64::midpoint(near, far);
                    if (miss(middle)? < 0.0) == (at_before < 0.0) { near = middle } else { far = middle }
                }
                return Some(f64::midpoint(near, far));
            }
            ends[side] = (by, here);
        }
    }
    None
}
