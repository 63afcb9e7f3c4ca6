//! Second bevels and heel reliefs: a further step moves arm, projection, strut or table and grinds the heel away
//! until the facet before it is as narrow as is wanted.
//!
//! Tool frame, millimetres, points relative to the edge (`s` towards the handle, `h` up). A step leaves the facet
//! before it `b` wide: the new facet begins at the **junction** `J`, at chord `b` on that facet. There `J` plays
//! the part of an edge: with tool, holder and table seen from `J` ([`Setting::seen_from`]) every formula of the side
//! view holds unchanged, and so do its inverses.
//!
//! On the inside of a curve of radius `ρ` edge and junction rest on the wood. The **tightest inside curve** is the
//! circle through edge, junction and the next corner; the edge is lifted by `asin(b / 2ρ)` down to it.

use std::{error::Error, fmt};

use glam::DVec2;

use crate::{
    math::{angle::Angle, quantity::Quantity},
    parts::wheel::Face,
    side::{
        facet::Facet,
        job::Job,
        refusal::Refusal,
        setting::{Setting, SideView, Support},
    },
};

/// A step must be keener than this at the junction, in radians: beyond rounding.
const KEENER: f64 = 1e-9;

/// One facet of a tool ground in steps.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FurtherFacet {
    /// The setting that ground it, as it stands on the rig.
    pub setting: Setting,
    /// Its answer, seen from the facet's own beginning, which stands for the edge.
    pub view: SideView,
    /// Where it begins: the edge, or the junction with the facet before it.
    pub begins_from_edge: DVec2,
    /// Where it ends: the junction with the next one, or the heel.
    pub ends_from_edge: DVec2,
    /// Bevel at its beginning.
    pub at_begin: Angle,
    /// Bevel across it: what a protractor reads.
    pub across: Angle,
    /// Bevel at its end.
    pub at_end: Angle,
    /// Width: the chord, in millimetres.
    pub width_mm: f64,
    /// Depth of the hollow under that chord, in millimetres.
    pub hollow_mm: f64,
    /// Steel that this step took, in the side plane, in square millimetres; zero for the first facet, which is
    /// where counting begins.
    pub removed_mm2: f64,
}

/// A step that grinds nothing sensible, and its numbers. Steps count from 1; the first facet is no step.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ReliefRefusal {
    /// The width to be left is none, or not less than what the facet has.
    WidthOutOfRange {
        /// Which step.
        step: usize,
        /// The width asked for, in millimetres.
        width_mm: f64,
        /// It must be less than this.
        most_mm: f64,
    },
    /// The step is no keener than the facet is at the junction: it would leave the heel alone.
    NotKeener {
        /// Which step.
        step: usize,
        /// By how much it is blunter.
        by: Angle,
    },
    /// The step moves what its support has not.
    NothingToMove {
        /// Which step.
        step: usize,
        /// What it would move.
        free: Quantity,
    },
    /// The inside curve asked for is tighter than any second facet allows.
    InsideOutOfRange {
        /// Which step.
        step: usize,
        /// The radius asked for, in millimetres.
        radius_mm: f64,
        /// It must be greater than this.
        least_mm: f64,
    },
    /// The step's setting has no answer.
    Refused {
        /// Which step.
        step: usize,
        /// Why.
        refusal: Refusal,
    },
}

impl ReliefRefusal {
    /// Which step, counted from 1.
    #[must_use]
    pub const fn step(&self) -> usize {
        match self {
            Self::WidthOutOfRange { step, .. }
            | Self::NotKeener { step, .. }
            | Self::NothingToMove { step, .. }
            | Self::InsideOutOfRange { step, .. }
            | Self::Refused { step, .. } => *step,
        }
    }
}

impl fmt::Display for ReliefRefusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::WidthOutOfRange { step, width_mm, most_mm } => {
                write!(f, "step {step}: {width_mm} mm to be left of {most_mm} mm")
            }
            Self::NotKeener { step, by } => {
                write!(f, "step {step}: blunter by {}° at the junction", by.degrees())
            }
            Self::NothingToMove { step, free } => write!(f, "step {step}: nothing to move by {free:?}"),
            Self::InsideOutOfRange { step, radius_mm, least_mm } => {
                write!(f, "step {step}: inside curve of {radius_mm} mm, at least {least_mm} mm")
            }
            Self::Refused { step, refusal } => write!(f, "step {step}: {refusal}"),
        }
    }
}

impl Error for ReliefRefusal {}

/// How tight an inside curve can be followed with the first facet rubbing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Inside {
    /// A single facet: edge and heel rest on any inside curve, and what grows is the lift.
    NoLimit,
    /// Down to this radius.
    Tightest {
        /// In millimetres.
        radius_mm: f64,
        /// The facet, counted from 0, whose far corner touches there.
        corner_of: usize,
    },
    /// The junction does not stand proud of the chord from the edge to a later corner: that corner rests on the
    /// wood on every curve, and the first facet never rubs along its width.
    Hidden {
        /// The facet whose far corner rests instead.
        corner_of: usize,
    },
}

/// A tool's facets, edge to heel.
#[derive(Debug, Clone, PartialEq)]
pub struct Relief {
    facets: Vec<FurtherFacet>,
}

impl Setting {
    /// The same setting with another point of the tool standing for the edge, given relative to it in the side
    /// plane: what the rig looks like from there. Projection and tool length are counted from that point, and so
    /// is the steel under it.
    #[must_use]
    pub fn seen_from(&self, point_from_edge: DVec2) -> Self {
        let mut seen = *self;
        seen.edge.height_mm += point_from_edge.y;
        seen.edge.under_mm += point_from_edge.y;
        let along = point_from_edge.x / self.foreshortening();
        match &mut seen.support {
            Support::Handle { tool_length_mm, .. } => *tool_length_mm -= along,
            Support::Holder { projection_mm, .. } => *projection_mm -= along,
            Support::Table { .. } => {}
        }
        seen
    }
}

impl FurtherFacet {
    /// The facet that a job's setting grinds, edge to heel, with no step after it.
    #[must_use]
    pub fn first(setting: &Setting, view: &SideView) -> Self {
        let Facet { at_edge, across, at_heel, width_mm, hollow_mm, heel_from_edge } = view.facet;
        Self {
            setting: *setting,
            view: *view,
            begins_from_edge: DVec2::ZERO,
            ends_from_edge: heel_from_edge,
            at_begin: at_edge,
            across,
            at_end: at_heel,
            width_mm,
            hollow_mm,
            removed_mm2: 0.0,
        }
    }

    /// The facet as it would be without the step after it, down to the underside.
    #[must_use]
    pub fn alone(&self) -> Self {
        Self {
            begins_from_edge: self.begins_from_edge,
            ends_from_edge: self.begins_from_edge + self.view.facet.heel_from_edge,
            ..Self::first(&self.setting, &self.view)
        }
    }

    /// The facet as far as a chord from its beginning.
    #[must_use]
    pub fn cut_to(&self, width_mm: f64) -> Self {
        let turn = match self.setting.face {
            Face::Round { radius_mm } => {
                Angle::from_radians((width_mm / (2.0 * radius_mm)).clamp(-1.0, 1.0).asin())
            }
            Face::Flat { .. } => Angle::ZERO,
        };
        let (sin, cos) = (self.at_begin + turn).sin_cos();
        let hollow_mm = match self.setting.face {
            Face::Round { radius_mm } => {
                crate::side::facet::hollow_under_chord_mm(radius_mm, width_mm).unwrap_or(self.hollow_mm)
            }
            Face::Flat { .. } => 0.0,
        };
        Self {
            ends_from_edge: self.begins_from_edge + width_mm * DVec2::new(cos, -sin),
            across: self.at_begin + turn,
            at_end: self.at_begin + turn + turn,
            width_mm,
            hollow_mm,
            ..*self
        }
    }

    /// The facet ground next: `self` is left `left_mm` wide, and `job` (its setting as it then stands on the rig)
    /// cuts the rest. Gives back what is left of `self`, and the new facet, which ends on the underside.
    ///
    /// # Errors
    /// [`ReliefRefusal`], counted as `step`.
    pub fn relieved(&self, job: &Job, left_mm: f64, step: usize) -> Result<[Self; 2], ReliefRefusal> {
        if !(left_mm > 0.0 && left_mm < self.width_mm) {
            return Err(ReliefRefusal::WidthOutOfRange { step, width_mm: left_mm, most_mm: self.width_mm });
        }
        let left = self.cut_to(left_mm);
        let seen = Job { setting: job.setting.seen_from(left.ends_from_edge), ..*job };
        // The travel is that of what stands on the rig; the numbers seen from the junction are only for sums.
        let refused = |refusal| ReliefRefusal::Refused { step, refusal };
        let view = seen.evaluate().map_err(refused)?;
        let by = view.facet.at_edge - left.at_end;
        if by.radians().is_nan() || by.radians() >= -KEENER {
            return Err(ReliefRefusal::NotKeener { step, by });
        }
        let next = Self {
            setting: job.setting,
            begins_from_edge: left.ends_from_edge,
            ends_from_edge: left.ends_from_edge + view.facet.heel_from_edge,
            ..Self::first(&job.setting, &view)
        };
        let removed_mm2 = area_between(&self.alone(), &left, &next);
        Ok([left, Self { removed_mm2, ..next }])
    }

    /// Area between the facet's arc and its chord, in square millimetres.
    fn segment_mm2(&self) -> f64 {
        match self.setting.face {
            Face::Round { radius_mm } => segment_mm2(radius_mm, self.width_mm),
            Face::Flat { .. } => 0.0,
        }
    }

    /// The facet with its hollow, as points relative to the edge: `count` pieces, or one for a flat one.
    pub fn points(&self, count: usize) -> impl Iterator<Item = DVec2> + use<> {
        let (begin, width, round) = (*self, self.width_mm, self.setting.face.radius_mm());
        let count = if round.is_some() { count.max(1) } else { 1 };
        (0..=count).map(move |i| {
            let fraction = i as f64 / count as f64;
            match round {
                Some(radius) => {
                    let turn = (width / (2.0 * radius)).clamp(-1.0, 1.0).asin() * fraction;
                    let (sin, cos) = (begin.at_begin + Angle::from_radians(turn)).sin_cos();
                    begin.begins_from_edge + 2.0 * radius * turn.sin() * DVec2::new(cos, -sin)
                }
                None => begin.begins_from_edge.lerp(begin.ends_from_edge, fraction),
            }
        })
    }
}

/// Area of a circular segment over a chord, in square millimetres: `R² (κ − sin κ cos κ)`.
pub(crate) fn segment_mm2(radius_mm: f64, chord_mm: f64) -> f64 {
    let sine = (chord_mm / (2.0 * radius_mm)).clamp(-1.0, 1.0);
    let kappa = sine.asin();
    let square = radius_mm * radius_mm;
    if kappa.abs() < 0.02 {
        // κ − sin 2κ / 2 cancels; its series is 2κ³/3 − 2κ⁵/15 + 4κ⁷/315.
        let k2 = kappa * kappa;
        return square * kappa * k2 * (2.0 / 3.0 - k2 * (2.0 / 15.0 - k2 * 4.0 / 315.0));
    }
    square * (kappa - sine * ((1.0 - sine) * (1.0 + sine)).sqrt())
}

/// What lies between the end of a facet as it was and the facet that replaced it, in square millimetres.
fn area_between(whole: &FurtherFacet, left: &FurtherFacet, next: &FurtherFacet) -> f64 {
    let junction = next.begins_from_edge;
    let triangle = (whole.ends_from_edge - junction).perp_dot(next.ends_from_edge - junction).abs() / 2.0;
    // The tail of the old arc over its own chord.
    let tail = match whole.setting.face {
        Face::Round { radius_mm } => {
            segment_mm2(radius_mm, whole.ends_from_edge.distance(left.ends_from_edge))
        }
        Face::Flat { .. } => 0.0,
    };
    triangle - tail + next.segment_mm2()
}

impl Relief {
    /// The facets of a job ground in steps. Each step is what is moved to which value (millimetres, or degrees for
    /// angles), everything else left as the step before it had it, and how wide the facet before it is left.
    ///
    /// # Errors
    /// [`ReliefRefusal`]. The job's own setting must have its answer, `view`.
    pub fn of(
        job: &Job,
        view: &SideView,
        steps: impl IntoIterator<Item = (Quantity, f64, f64)>,
    ) -> Result<Self, ReliefRefusal> {
        let steps = steps.into_iter();
        let mut facets = Vec::with_capacity(1 + steps.size_hint().0);
        let mut last = FurtherFacet::first(&job.setting, view);
        let mut moved = *job;
        for (index, (free, value, left_mm)) in steps.enumerate() {
            let step = index + 1;
            let set = if free == Quantity::WheelDiameter { None } else { moved.setting.with(free, value) };
            moved.setting = set.ok_or(ReliefRefusal::NothingToMove { step, free })?;
            let [left, next] = last.relieved(&moved, left_mm, step)?;
            facets.push(left);
            last = next;
        }
        facets.push(last);
        Ok(Self { facets })
    }

    /// The facets, edge to heel; at least one.
    #[must_use]
    pub fn facets(&self) -> &[FurtherFacet] {
        &self.facets
    }

    /// By how much facet `index` reads keener on a protractor than the one before it; `None` for the first.
    #[must_use]
    pub fn relief(&self, index: usize) -> Option<Angle> {
        let before = self.facets.get(index.checked_sub(1)?)?;
        Some(before.across - self.facets.get(index)?.across)
    }

    /// By how much the tangent turns at the junction before facet `index`: the relief as a light held along the
    /// steel shows it at the corner itself.
    #[must_use]
    pub fn turn_at_junction(&self, index: usize) -> Option<Angle> {
        let before = self.facets.get(index.checked_sub(1)?)?;
        Some(before.at_end - self.facets.get(index)?.at_begin)
    }

    /// Steel that all steps took after the first facet, in the side plane, in square millimetres.
    #[must_use]
    pub fn removed_mm2(&self) -> f64 {
        self.facets.iter().map(|facet| facet.removed_mm2).sum()
    }

    /// The tightest inside curve that can be followed with the first facet rubbing and everything behind it clear.
    #[must_use]
    pub fn inside(&self) -> Inside {
        let Some((first, later)) = self.facets.split_first() else { return Inside::NoLimit };
        let mut limit = Inside::NoLimit;
        let mut tightest = 0.0;
        for (index, facet) in later.iter().enumerate() {
            let corner_of = index + 1;
            match circle_through(first.ends_from_edge, facet.ends_from_edge) {
                Some(radius_mm) if radius_mm > tightest => {
                    tightest = radius_mm;
                    limit = Inside::Tightest { radius_mm, corner_of };
                }
                Some(_) => {}
                None => return Inside::Hidden { corner_of },
            }
        }
        limit
    }

    /// By how much the edge is lifted off an inside curve of a radius: the angle at the edge between the first
    /// facet's chord and the wood. `asin(b / 2ρ)` as long as that facet rubs; below the limit a later corner rests
    /// and lifts it further. `None` where the curve is too tight for the corner that rests.
    #[must_use]
    pub fn lift(&self, inside_radius_mm: f64) -> Option<Angle> {
        let first = self.facets.first()?;
        if !(inside_radius_mm > 0.0 && inside_radius_mm.is_finite()) {
            return None;
        }
        let mut most = None;
        for facet in &self.facets {
            let corner = facet.ends_from_edge;
            let half = corner.length() / (2.0 * inside_radius_mm);
            if half.is_nan() || half > 1.0 {
                return None;
            }
            let lift =
                Angle::from_radians(half.asin()) - (first.across - Angle::of(corner * DVec2::new(1.0, -1.0)));
            if most.is_none_or(|most| lift > most) {
                most = Some(lift);
            }
        }
        most
    }

    /// The lift a single facet of the same bevel would have on that curve, edge and heel on the wood: `asin(c / 2ρ)`.
    #[must_use]
    pub fn lift_of_single_facet(view: &SideView, inside_radius_mm: f64) -> Option<Angle> {
        let half = view.facet.width_mm / (2.0 * inside_radius_mm);
        (inside_radius_mm > 0.0 && half <= 1.0).then(|| Angle::from_radians(half.asin()))
    }
}

/// Radius of the circle through the origin and two corners behind it, the nearer first, where the nearer stands proud
/// of the chord to the farther, away from the steel.
fn circle_through(near: DVec2, far: DVec2) -> Option<f64> {
    // Steel lies above: proud is below the chord.
    let twice_area = near.perp_dot(far);
    let radius = near.length() * far.length() * near.distance(far) / (2.0 * twice_area);
    (twice_area > 0.0 && radius.is_finite()).then_some(radius)
}
