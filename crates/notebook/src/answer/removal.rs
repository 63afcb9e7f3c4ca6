//! Steel removed over the whole tip: from the facets as they are, or from another setting's grind, to what is asked for,
//! and by every further step of a setting.

pub mod gentlest;

use bevelbench_geometry::{
    DVec2,
    facet::{FacetCurve, FurtherFacet, Regrind, Relief},
    math::Angle,
    parts::{Bevels, Blank, Hollow, PresentFacet},
    side::{Job, SideView},
    swept::{GrindingFace, GroundSurface, Tip, Volume},
};

use crate::{
    answer::swept::{Grind, Plans, movement::NotSwept},
    saved::setting::{SettingEntry, SwingSaved},
};

/// Relative accuracy of the volumes that are shown.
pub const SHOWN_ACCURACY: f64 = 1e-3;
/// Places on either half of an edge at which it is looked at.
const EDGE_PLACES: u32 = 48;

/// A ground tip, before anything is taken from it: one grind from the edge, and those behind it.
#[derive(Debug, Clone, PartialEq)]
pub struct GroundTip {
    below: Tip,
    behind: Vec<(GroundSurface, f64)>,
    /// The half above the edge, upside down.
    above: Option<Tip>,
    behind_above: Vec<(GroundSurface, f64)>,
}

/// A grind's surface with how far towards the handle it is moved, in millimetres.
type Shifted = (GroundSurface, f64);

fn shifted(first: &Tip, behind: &[Shifted], by_mm: f64) -> Vec<Shifted> {
    let own = (*first.surface(), 0.0);
    std::iter::once(&own).chain(behind).map(|(surface, shift)| (*surface, shift + by_mm)).collect()
}

impl GroundTip {
    /// What a setting grinds, with its further steps where they can be ground.
    ///
    /// # Errors
    /// [`NotSwept`].
    pub fn of(
        job: &Job,
        view: &SideView,
        swing: Option<&SwingSaved>,
        relief: Option<&Relief>,
    ) -> Result<Self, NotSwept> {
        let mut tip = Self::planned(&Grind::of(job, view, swing))?;
        for facet in relief.map(Relief::facets).unwrap_or_default().iter().skip(1) {
            tip.push(job, step_surface(job, facet, swing)?);
        }
        Ok(tip)
    }

    /// The tip as it is: every facet taken to have been ground as the setting would, but by the wheel that left its hollow
    /// and at its own bevel. `None` where no facet is known.
    ///
    /// # Errors
    /// [`NotSwept`].
    #[must_use]
    pub fn as_it_is(
        job: &Job,
        view: &SideView,
        swing: Option<&SwingSaved>,
    ) -> Option<Result<Self, NotSwept>> {
        let profile = job.tool.profile()?;
        let grind = |job: &Job, facet: &PresentFacet, start: DVec2| {
            let width_mm = job.wheel.width_mm();
            let abrasive = match facet.hollow() {
                Hollow::Arc { radius_mm } => GrindingFace::Wheel { radius_mm, width_mm },
                Hollow::Flat => GrindingFace::Flat { width_mm },
            };
            let seen = Job { setting: job.setting.seen_from(start), ..*job };
            let own = Grind::of(&seen, view, swing);
            Plans::of(&Grind { bevel: facet.at_edge(), abrasive, begins_from_edge: start, ..own })
        };
        let mut tip: Option<Self> = None;
        // A facet blunter than the one before it was not cut through that one: it is left to the side plane.
        let mut ends_at = Angle::HALF;
        for (facet, start) in profile.facets() {
            let keener = facet.at_edge() < ends_at;
            ends_at = facet.across() + facet.half_turn();
            if !keener {
                continue;
            }
            let plans = match grind(job, facet, start) {
                Ok(plans) => plans,
                Err(why) => return Some(Err(why)),
            };
            match &mut tip {
                None => tip = Some(Self::planned_from(&plans)),
                Some(tip) => {
                    let shift = start.x / job.setting.foreshortening();
                    tip.push(job, (*plans.tip.surface(), shift));
                }
            }
        }
        tip.map(Ok)
    }

    fn planned(grind: &Grind<'_>) -> Result<Self, NotSwept> {
        Ok(Self::planned_from(&Plans::of(grind)?))
    }

    fn planned_from(plans: &Plans) -> Self {
        Self { below: plans.tip, behind: Vec::new(), above: plans.other, behind_above: Vec::new() }
    }

    /// A grind behind those there are: on the face below the edge, and on the other where both are alike.
    fn push(&mut self, job: &Job, grind: Shifted) {
        self.behind.push(grind);
        if alike(job) {
            self.behind_above.push(grind);
        }
    }

    /// Steel taken in going from this tip to `to` on the same blank, the edge of `to` standing `shift_mm` further towards
    /// the handle.
    #[must_use]
    pub fn removed_by(&self, to: &Self, shift_mm: f64, accuracy: f64) -> Volume {
        let made = shifted(&to.below, &to.behind, shift_mm);
        let below = self.below.removed_between(&self.behind, &made, accuracy);
        let (Some(from), Some(above)) = (&self.above, &to.above) else { return below };
        let made = shifted(above, &to.behind_above, shift_mm);
        sum(below, from.removed_between(&self.behind_above, &made, accuracy))
    }

    /// How far back the edge must go before `to` reaches all of it, in millimetres.
    #[must_use]
    pub fn edge_behind_mm(&self, to: &Self) -> f64 {
        let made = shifted(&to.below, &to.behind, 0.0);
        let below = self.below.edge_behind_mm(&self.behind, &made, EDGE_PLACES);
        let (Some(from), Some(above)) = (&self.above, &to.above) else { return below };
        let made = shifted(above, &to.behind_above, 0.0);
        below.max(from.edge_behind_mm(&self.behind_above, &made, EDGE_PLACES))
    }
}

/// Where a tool comes from: its tip, and its facets in the side plane.
#[derive(Debug, Clone, PartialEq)]
pub struct TipBefore {
    tip: GroundTip,
    curve: FacetCurve,
    bevel: Angle,
}

impl TipBefore {
    /// The facets as they are; its wings are taken to have been ground as the setting would. `None` where none is known.
    ///
    /// # Errors
    /// [`NotSwept`].
    #[must_use]
    pub fn as_it_is(
        job: &Job,
        view: &SideView,
        swing: Option<&SwingSaved>,
    ) -> Option<Result<Self, NotSwept>> {
        let profile = job.tool.profile()?;
        let tip = GroundTip::as_it_is(job, view, swing)?;
        let (curve, bevel) = (FacetCurve::of_profile(profile), profile.first().at_edge());
        Some(tip.map(|tip| Self { tip, curve, bevel }))
    }

    /// What another setting of the same tool grinds, with its further steps.
    ///
    /// # Errors
    /// [`NotSwept`].
    pub fn ground_by(job: &Job, view: &SideView, entry: &SettingEntry) -> Result<Self, NotSwept> {
        let relief = entry.relief_if_any(job, view);
        let tip = GroundTip::of(job, view, entry.swing.as_ref(), relief.as_ref())?;
        Ok(Self { tip, curve: curve_of(job, view, relief.as_ref()), bevel: view.bevel() })
    }

    /// The tip.
    #[must_use]
    pub fn tip(&self) -> &GroundTip {
        &self.tip
    }

    /// Its bevel at the edge.
    #[must_use]
    pub fn bevel(&self) -> Angle {
        self.bevel
    }

    /// The regrind in the side plane to the facet of a job, or to all its facets.
    #[must_use]
    pub fn regrind(&self, job: &Job, view: &SideView, relief: Option<&Relief>) -> Regrind {
        Regrind::between(self.curve, curve_of(job, view, relief), job.setting.edge.under_mm)
    }
}

fn curve_of(job: &Job, view: &SideView, relief: Option<&Relief>) -> FacetCurve {
    relief.map_or_else(|| FacetCurve::of_ground(&view.facet, job.setting.face), FacetCurve::of_relief)
}

fn sum(one: Volume, other: Volume) -> Volume {
    Volume {
        mm3: one.mm3 + other.mm3,
        error_mm3: one.error_mm3 + other.error_mm3,
        rays: one.rays + other.rays,
        reached: one.reached && other.reached,
    }
}

/// What each further step takes over the whole tip, in their order. A step grinds the face below the edge; of a tool
/// whose two faces are alike it grinds both.
///
/// # Errors
/// [`NotSwept`].
pub fn removed_by_steps(
    job: &Job,
    view: &SideView,
    swing: Option<&SwingSaved>,
    relief: &Relief,
    accuracy: f64,
) -> Result<Vec<Volume>, NotSwept> {
    let first = Plans::of(&Grind::of(job, view, swing))?.tip;
    let mut before: Vec<Shifted> = Vec::with_capacity(relief.facets().len());
    let mut taken = Vec::with_capacity(relief.facets().len());
    for facet in relief.facets().iter().skip(1) {
        let step = step_surface(job, facet, swing)?;
        let one = first.removed_between(&before, &[step], accuracy);
        taken.push(if alike(job) { sum(one, one) } else { one });
        before.push(step);
    }
    Ok(taken)
}

fn alike(job: &Job) -> bool {
    match job.tool.blank() {
        Blank::Flat(stock) => matches!(stock.bevels(), Bevels::Alike),
        Blank::Bar(_) => false,
    }
}

/// The surface a further step grinds, its own beginning at station zero, and where that lies along the tool.
fn step_surface(job: &Job, facet: &FurtherFacet, swing: Option<&SwingSaved>) -> Result<Shifted, NotSwept> {
    let seen = Job { setting: facet.setting.seen_from(facet.begins_from_edge), ..*job };
    let surface = *Plans::of(&Grind::of_step(&seen, facet, swing))?.tip.surface();
    Ok((surface, facet.begins_from_edge.x / job.setting.foreshortening()))
}
