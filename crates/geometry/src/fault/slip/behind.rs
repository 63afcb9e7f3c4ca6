//! The size of a slip from one measured length.

use super::{FaultyGrind, RollingFault, standing};
use crate::{
    math::angle::Angle,
    swept::{
        edge::Edge,
        edge_summary::EdgeSummary,
        ground::{GroundError, GroundSurface, Motion, Rolled},
        roll::RollLine,
        steel::Steel,
    },
};

/// Farthest a gouge is taken to be turned in its holder.
const FARTHEST_TURN: Angle = Angle::from_degrees(30.0);
/// Deepest nod that is looked for.
const DEEPEST_NOD: Angle = Angle::from_degrees(8.0);
/// Widest half of a skipped part of the swing.
const WIDEST_SKIP: Angle = Angle::from_degrees(60.0);
/// Points of an edge whose nose is measured.
const EDGE_POINTS: usize = 101;

/// What is behind a measurement, or how far it is out of reach.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Behind<T> {
    /// A slip of this size explains what was measured.
    Found(T),
    /// No slip of this kind does; the most (or least) of it leaves this length, in millimetres.
    OutOfReach {
        /// The nearest that this kind of slip comes to what was measured.
        nearest_mm: f64,
    },
    /// The wheel does not grind the place at all.
    NotGround,
}

/// A dip in the edge: how much further steel begins behind the fair edge, at a place of the wing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Dip {
    /// The place along the upper face, −1 and 1 being the wing tops.
    pub at: f64,
    /// Its depth along the tool's axis, in millimetres.
    pub depth_mm: f64,
}

/// A peak in the edge: how much steel stands ahead of the fair edge, at a place of the wing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Peak {
    /// The place along the upper face, −1 and 1 being the wing tops.
    pub at: f64,
    /// Its height along the tool's axis, in millimetres.
    pub height_mm: f64,
}

impl FaultyGrind {
    /// How far the gouge sat turned in its holder when the `+w` wing is swept back so many millimetres further than
    /// the other (negative: less); of several the least.
    ///
    /// # Errors
    /// As [`GroundSurface::rolled`].
    pub fn turned_behind(
        meant: &Rolled,
        steel: &Steel,
        differ_mm: f64,
    ) -> Result<Behind<Angle>, GroundError> {
        GroundSurface::rolled(meant)?;
        let difference = |by: Angle| {
            let faulty = Self::new(meant, RollingFault::TurnedInHolder { by }).ok()?;
            let at = |t: f64| {
                let top = steel.wall_at(t);
                faulty.start_of_steel_mm(top.x, top.y)
            };
            Some(at(1.0)? - at(-1.0)?)
        };
        if !differ_mm.is_finite() {
            return Ok(Behind::NotGround);
        }
        Ok(least_root(FARTHEST_TURN.radians(), differ_mm, |by| difference(Angle::from_radians(by)))
            .map(Angle::from_radians))
    }

    /// How long the nose was held on the wheel when it is flat over a width in millimetres: the nod beyond the fair
    /// grind, and how much the nose lost by it, in millimetres.
    ///
    /// # Errors
    /// As [`GroundSurface::rolled`].
    pub fn dwelt_behind_flat(
        meant: &Rolled,
        steel: &Steel,
        flat_mm: f64,
    ) -> Result<Behind<(Angle, f64)>, GroundError> {
        let surface = GroundSurface::rolled(meant)?;
        let half_width = steel.half_width_mm();
        if !(flat_mm > 0.0 && flat_mm < 2.0 * half_width) {
            return Ok(Behind::OutOfReach { nearest_mm: flat_mm.clamp(0.0, 2.0 * half_width) });
        }
        // Where the flat ends the standing wheel and the fair edge leave the same steel.
        let w = flat_mm / 2.0;
        Ok(deepened(&surface, (w, steel.wall_height_at(w)), 0.0, Angle::ZERO).and_then(|nod| {
            let lost = surface_standing(&surface, (0.0, steel.wall_height_at(0.0)), Angle::ZERO, nod);
            lost.map_or(Behind::NotGround, |lost| Behind::Found((nod, lost)))
        }))
    }

    /// How long the gouge was held at the place of a dip.
    ///
    /// # Errors
    /// As [`GroundSurface::rolled`].
    pub fn dwelt_behind_dip(
        meant: &Rolled,
        steel: &Steel,
        dip: Dip,
    ) -> Result<Behind<RollingFault>, GroundError> {
        let surface = GroundSurface::rolled(meant)?;
        let Some((wall, roll)) = place(&surface, steel, dip.at) else { return Ok(Behind::NotGround) };
        if !(dip.depth_mm >= 0.0 && dip.depth_mm.is_finite()) {
            return Ok(Behind::OutOfReach { nearest_mm: 0.0 });
        }
        Ok(deepened(&surface, wall, dip.depth_mm, roll).map(|nod| RollingFault::Dwelt { at: roll, nod }))
    }

    /// How much of the swing was rolled past at the place of a peak.
    ///
    /// # Errors
    /// As [`GroundSurface::rolled`].
    pub fn skipped_behind_peak(
        meant: &Rolled,
        steel: &Steel,
        peak: Peak,
    ) -> Result<Behind<RollingFault>, GroundError> {
        let surface = GroundSurface::rolled(meant)?;
        let Some((wall, roll)) = place(&surface, steel, peak.at) else { return Ok(Behind::NotGround) };
        let Some(fair) = surface.start_of_steel(wall.0, wall.1).map(|hit| hit.s_mm) else {
            return Ok(Behind::NotGround);
        };
        let height = |half: f64| {
            let faulty = Self {
                surface,
                rolling_fault: RollingFault::Skipped { at: roll, half: Angle::from_radians(half) },
            };
            faulty.start_of_steel_mm(wall.0, wall.1).map_or(f64::INFINITY, |s| fair - s)
        };
        let most = WIDEST_SKIP.radians();
        if !(peak.height_mm >= 0.0 && peak.height_mm <= height(most)) {
            let nearest_mm = if peak.height_mm > 0.0 { height(most) } else { 0.0 };
            return Ok(Behind::OutOfReach { nearest_mm });
        }
        let half = halved(0.0, most, |half| height(half) < peak.height_mm);
        Ok(Behind::Found(RollingFault::Skipped { at: roll, half: Angle::from_radians(half) }))
    }

    /// The roll centre that leaves a nose of a radius in plan, between the flute's floor and a height in millimetres
    /// above the bar's centreline; of several the one nearest to the setting's own.
    ///
    /// # Errors
    /// As [`GroundSurface::rolled`].
    pub fn centre_behind_nose(
        meant: &Rolled,
        steel: &Steel,
        radius_mm: f64,
        highest_mm: f64,
    ) -> Result<Behind<f64>, GroundError> {
        GroundSurface::rolled(meant)?;
        if !(radius_mm.is_finite() && radius_mm >= 0.0) {
            return Ok(Behind::NotGround);
        }
        let pivot = meant.line.pivot_in_tool();
        let mut edge = Edge::default();
        let mut radius = |height_mm: f64| {
            let line = RollLine::through(pivot, height_mm).ok()?;
            let surface = GroundSurface::rolled(&Rolled { line, ..*meant }).ok()?;
            edge.trace_again(&surface, steel, EDGE_POINTS);
            EdgeSummary::of(&edge, &surface, steel)?.nose_radius_mm
        };
        let lowest = meant.edge_height_mm;
        let own = meant.line.centre_in_tool().y;
        let mut best: Option<f64> = None;
        let mut nearest = f64::INFINITY;
        let mut before: Option<(f64, f64)> = None;
        for i in 0..=60 {
            let height = lowest + (highest_mm - lowest) * f64::from(i) / 60.0;
            let Some(here) = radius(height) else {
                before = None;
                continue;
            };
            if (here - radius_mm).abs() < (nearest - radius_mm).abs() {
                nearest = here;
            }
            if let Some((low, at_low)) = before
                && (at_low < radius_mm) != (here < radius_mm)
            {
                let rising = at_low < radius_mm;
                let root = halved(low, height, |h| radius(h).is_some_and(|r| (r < radius_mm) == rising));
                if best.is_none_or(|best| (root - own).abs() < (best - own).abs()) {
                    best = Some(root);
                }
            }
            before = Some((height, here));
        }
        Ok(match best {
            Some(height_mm) => Behind::Found(height_mm),
            None if nearest.is_finite() => Behind::OutOfReach { nearest_mm: nearest },
            None => Behind::NotGround,
        })
    }
}

impl<T> Behind<T> {
    /// The size in another form.
    #[must_use]
    pub fn map<U>(self, f: impl FnOnce(T) -> U) -> Behind<U> {
        self.and_then(|size| Behind::Found(f(size)))
    }

    fn and_then<U>(self, f: impl FnOnce(T) -> Behind<U>) -> Behind<U> {
        match self {
            Self::Found(size) => f(size),
            Self::OutOfReach { nearest_mm } => Behind::OutOfReach { nearest_mm },
            Self::NotGround => Behind::NotGround,
        }
    }

    /// The size, where there is one.
    #[must_use]
    pub fn found(self) -> Option<T> {
        match self {
            Self::Found(size) => Some(size),
            _ => None,
        }
    }
}

/// A place of the upper face and the roll angle at which it is ground.
fn place(surface: &GroundSurface, steel: &Steel, t: f64) -> Option<((f64, f64), Angle)> {
    let t = if t.is_finite() { t.clamp(-1.0, 1.0) } else { return None };
    let wall = steel.wall_at(t);
    let hit = surface.start_of_steel(wall.x, wall.y)?;
    let roll = surface.roll_at(glam::DVec3::new(hit.s_mm, wall.y, wall.x), hit.face);
    Some(((wall.x, wall.y), roll))
}

fn surface_standing(surface: &GroundSurface, wall: (f64, f64), roll: Angle, nod: Angle) -> Option<f64> {
    let Motion::Swept { sweep, line, .. } = surface.motion() else { return None };
    standing(sweep, line, wall, roll, nod)
}

/// The nod at which a wheel standing at `roll` has come `depth_mm` beyond the fair edge at a place.
fn deepened(surface: &GroundSurface, wall: (f64, f64), depth_mm: f64, roll: Angle) -> Behind<Angle> {
    let Some(fair) = surface.start_of_steel(wall.0, wall.1).map(|hit| hit.s_mm) else {
        return Behind::NotGround;
    };
    let depth = |nod: f64| {
        surface_standing(surface, wall, roll, Angle::from_radians(nod))
            .map_or(f64::NEG_INFINITY, |s| s - fair)
    };
    let most = DEEPEST_NOD.radians();
    if depth(most) < depth_mm {
        return Behind::OutOfReach { nearest_mm: depth(most).max(0.0) };
    }
    Behind::Found(Angle::from_radians(halved(0.0, most, |nod| depth(nod) < depth_mm)))
}

/// The boundary between where something holds (at `low`) and where it does not.
fn halved(mut low: f64, mut high: f64, mut holds: impl FnMut(f64) -> bool) -> f64 {
    for _ in 0..60 {
        let middle = f64::midpoint(low, high);
        if holds(middle) {
            low = middle;
        } else {
            high = middle;
        }
    }
    f64::midpoint(low, high)
}

/// The least size to either side of nothing, up to `most`, at which `measure` is what was measured.
fn least_root(most: f64, wanted: f64, measure: impl Fn(f64) -> Option<f64>) -> Behind<f64> {
    const STEPS: u32 = 120;
    let Some(at_first) = measure(0.0) else { return Behind::NotGround };
    let mut nearest = at_first;
    let mut ends = [(0.0, at_first); 2];
    for i in 1..=STEPS {
        for (side, sign) in [(0, 1.0), (1, -1.0)] {
            let size = sign * most * f64::from(i) / f64::from(STEPS);
            let Some(here) = measure(size) else { continue };
            let (before, at_before) = ends[side];
            if (at_before < wanted) != (here < wanted) {
                let rising = at_before < wanted;
                let root = halved(before, size, |x| measure(x).is_some_and(|m| (m < wanted) == rising));
                return Behind::Found(root);
            }
            if (here - wanted).abs() < (nearest - wanted).abs() {
                nearest = here;
            }
            ends[side] = (size, here);
        }
    }
    Behind::OutOfReach { nearest_mm: nearest }
}
