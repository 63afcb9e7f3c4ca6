//! From a setting to the surfaces it grinds, before anything is traced.

use bevelbench_geometry::{
    DVec2, DVec3,
    facet::FurtherFacet,
    math::{Angle, DimensionError},
    parts::{Bevels, Blank, Face, FlatKind, FlatStock, Plan, Presentation, along_tool},
    side::{Job, SideView},
    swept::{GrindingFace, GroundSurface, Pushed, RollLine, Rolled, Steel, Swing, Tip, TurnedOnTable},
};

use crate::{
    answer::swept::movement::{Movement, NotSwept},
    saved::setting::SwingSaved,
};

/// What is to be ground, how and by what.
#[derive(Clone, Copy)]
pub(crate) struct Grind<'a> {
    /// The job; a further step's is seen from where its facet begins.
    pub(crate) job: &'a Job,
    /// Bevel where the facet begins.
    pub(crate) bevel: Angle,
    /// What grinds.
    pub(crate) abrasive: GrindingFace,
    /// How the tool is rolled.
    pub(crate) swing: Option<&'a SwingSaved>,
    /// Where the facet begins, from the tool's edge.
    pub(crate) begins_from_edge: DVec2,
}

impl<'a> Grind<'a> {
    /// What a setting grinds from the edge.
    pub(crate) fn of(job: &'a Job, view: &SideView, swing: Option<&'a SwingSaved>) -> Self {
        let width_mm = job.wheel.width_mm();
        let abrasive = match job.wheel.face() {
            Face::Round { radius_mm } => GrindingFace::Wheel { radius_mm, width_mm },
            Face::Flat { .. } => GrindingFace::Flat { width_mm },
        };
        Self { job, bevel: view.bevel(), abrasive, swing, begins_from_edge: DVec2::ZERO }
    }

    /// How a bar is rolled, and whether it lies on a table instead of hanging on a pivot.
    ///
    /// # Errors
    /// [`NotSwept`].
    pub(crate) fn rolled(&self, swing: &SwingSaved) -> Result<(Rolled, bool), NotSwept> {
        // A round bar rolls on a table about its own axis, wherever a pivot would put the roll centre.
        let (pivot, roll_centre_mm, on_table) = match self.job.setting.pivot() {
            Some((_, in_tool)) => (in_tool, swing.roll_centre_mm, false),
            None => (DVec2::new(1000.0, 0.0), 0.0, true),
        };
        // The line goes through the roll centre on the nose's station; seen from further back it stands elsewhere.
        let back = self.begins_from_edge.x;
        let centre = roll_centre_mm + (pivot.y - roll_centre_mm) * (back / (pivot.x + back));
        let rolled = Rolled {
            line: RollLine::through(pivot, centre)?,
            bevel: self.bevel,
            edge_height_mm: self.job.setting.edge.height_mm,
            abrasive: self.abrasive,
            swing: half_swing(swing.half_swing_deg)?,
            turn: Angle::from_degrees(swing.turn_deg),
        };
        Ok((rolled, on_table))
    }

    /// What a further step grinds; `seen` is its job seen from where the facet begins.
    pub(crate) fn of_step(seen: &'a Job, facet: &FurtherFacet, swing: Option<&'a SwingSaved>) -> Self {
        Self { begins_from_edge: facet.begins_from_edge, ..Self::of(seen, &facet.view, swing) }
    }
}

/// A plan of the grind before anything is traced: cheap, and all that a mesh or a volume needs.
pub(crate) struct Plans {
    pub(crate) movement: Movement,
    pub(crate) tip: Tip,
    pub(crate) other: Option<Tip>,
    pub(crate) abrasive: GrindingFace,
    pub(crate) rolled_blank: bool,
}

impl Plans {
    /// Of a grind.
    ///
    /// # Errors
    /// [`NotSwept`].
    pub(crate) fn of(grind: &Grind<'_>) -> Result<Self, NotSwept> {
        let Grind { job, abrasive, swing, .. } = *grind;
        let blank = job.tool.blank();
        match blank {
            Blank::Bar(bar) => {
                let steel = Steel::of_bar(bar);
                let (surface, movement) = match swing {
                    Some(swing) => {
                        let (rolled, on_table) = grind.rolled(swing)?;
                        let turn = rolled.turn;
                        (GroundSurface::rolled(&rolled)?, Movement::Rolled { turn, on_table })
                    }
                    None => Self::pushed(job, grind.bevel, job.setting.edge.height_mm, abrasive)?,
                };
                Ok(Self {
                    movement,
                    tip: Tip::new(surface, steel),
                    other: None,
                    abrasive,
                    rolled_blank: true,
                })
            }
            Blank::Flat(stock) => Self::flat(grind, stock),
        }
    }

    fn pushed(
        job: &Job,
        bevel: Angle,
        edge_height_mm: f64,
        abrasive: GrindingFace,
    ) -> Result<(GroundSurface, Movement), NotSwept> {
        let (obliquity, presentation) = (job.setting.obliquity, job.setting.presentation);
        let surface =
            GroundSurface::pushed(&Pushed { bevel, edge_height_mm, abrasive, obliquity, presentation })?;
        let (sin, cos) = obliquity.sin_cos();
        let along = DVec3::new(cos, 0.0, sin);
        let spindle = match presentation {
            Presentation::EdgeParallelToSpindle => along,
            Presentation::AxisInSidePlane => DVec3::Z,
        };
        Ok((surface, Movement::Pushed { along, spindle }))
    }

    fn flat(grind: &Grind<'_>, stock: &FlatStock) -> Result<Self, NotSwept> {
        let Grind { job, bevel, abrasive, swing, begins_from_edge } = *grind;
        let nose = match stock.kind() {
            FlatKind::Skew { obliquity, edge_radius_mm: Some(radius_mm), .. } => {
                if obliquity < Angle::QUARTER {
                    return Err(NotSwept::CurvedObliqueEdge { radius_mm });
                }
                Some(radius_mm)
            }
            FlatKind::Scraper { plan: Plan::Round { radius_mm } }
            | FlatKind::NegativeRake { plan: Plan::Round { radius_mm }, .. } => Some(radius_mm),
            _ => None,
        };
        if let (Some(radius_mm), Some(_)) = (nose, job.setting.pivot()) {
            return Err(NotSwept::RoundNoseOffTable { radius_mm });
        }
        let limits = match swing {
            Some(swing) => half_swing(swing.half_swing_deg)?,
            None => Swing::ASSUMED,
        };
        let ground = |bevel: Angle, edge_height_mm: f64, abrasive: GrindingFace| match nose {
            Some(plan_radius_mm) => {
                let plan_radius_mm = plan_radius_mm - begins_from_edge.x;
                let turned = TurnedOnTable { plan_radius_mm, bevel, edge_height_mm, abrasive, swing: limits };
                Ok((GroundSurface::turned_on_table(&turned)?, Movement::Turned))
            }
            None => Self::pushed(job, bevel, edge_height_mm, abrasive),
        };
        let height = job.setting.edge.height_mm;
        let (surface, movement) = ground(bevel, height, abrasive)?;
        let steel = Steel::of_flat(stock);
        let other = match (stock.kind(), stock.bevels()) {
            (_, Bevels::One) => None,
            // The short upper bevel of a negative-rake scraper: taken as flat.
            (FlatKind::NegativeRake { upper, .. }, _) if upper.degrees() < 0.01 => None,
            (FlatKind::NegativeRake { .. }, Bevels::Unlike { other, .. }) => {
                let width_mm = job.wheel.width_mm();
                Some((other, GrindingFace::Flat { width_mm }))
            }
            (_, Bevels::Unlike { other, .. }) => {
                // The other bevel is kept square to the edge; a push wants it as the edge is presented.
                let presented = match job.setting.presentation {
                    Presentation::EdgeParallelToSpindle => other,
                    Presentation::AxisInSidePlane => along_tool(other, job.setting.obliquity),
                };
                Some((presented, abrasive))
            }
            (_, Bevels::Alike) => Some((bevel, abrasive)),
        };
        let other = match other {
            Some((bevel, abrasive)) => {
                let (surface, _) = ground(bevel, -height, abrasive)?;
                Some(Tip::new(surface, Steel::of_flat(&turned_over(stock, -height)?)))
            }
            None => None,
        };
        Ok(Self { movement, tip: Tip::new(surface, steel), other, abrasive, rolled_blank: false })
    }
}

fn half_swing(half_deg: f64) -> Result<Swing, NotSwept> {
    Swing::to_either_side(Angle::from_degrees(half_deg)).ok_or(NotSwept::SwingOutOfRange { half_deg })
}

/// The same bar of steel upside down, its edge at a height: only the steel between the edge and the broad face is
/// taken from it.
fn turned_over(stock: &FlatStock, edge_height_mm: f64) -> Result<FlatStock, DimensionError> {
    let bevels = Bevels::Unlike { other: Angle::QUARTER, edge_height_mm };
    FlatStock::new(stock.width_mm(), stock.thickness_mm(), stock.section(), FlatKind::Parting { bevels })
}
