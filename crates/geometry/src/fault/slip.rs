//! Faults a turner meets at the grinder: the edge that a slip leaves, and the size of the slip behind what is
//! measured.
//!
//! A slip while a gouge is rolled ([`RollingFault`]) leaves an edge of its own ([`FaultyGrind`]); from one measured length
//! its size is found by halving on that very edge ([`FaultyGrind::turned_behind`] and the others). Two facets where
//! there should be one tell what was moved between two grinds ([`TwoFacets`]), and ink along one wing how far a
//! gouge sits turned in its holder ([`WingInk`]).
//!
//! Tool frame, millimetres. **Assumed** throughout: one slip at a time, everything else as set.

mod behind;
mod two_facets;
mod wing_ink;

use glam::DVec3;

pub use behind::{Behind, Dip, Peak};
pub use two_facets::{NewFacet, Slip, TwoFacets, TwoFacetsSeen, TwoFacetsUnlikely};
pub use wing_ink::{WingInk, WingInkSeen, WingInkVerdict};

use crate::{
    math::angle::Angle,
    swept::{
        ground::{GroundError, GroundSurface, Motion, Rolled},
        roll::RollLine,
        steel::Steel,
        sweep::{Profile, Sweep},
    },
};

/// What went wrong while a gouge was rolled.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum RollingFault {
    /// The gouge sat turned in its holder.
    TurnedInHolder {
        /// By so much, positive when the `+w` wing is raised.
        by: Angle,
    },
    /// It was held at one place of the swing until the wheel had come deeper there.
    Dwelt {
        /// Roll angle of the place.
        at: Angle,
        /// How much further the tool was turned about its pivot, into the wheel.
        nod: Angle,
    },
    /// It was rolled past a part of the swing that was never ground.
    Skipped {
        /// Roll angle in the middle of that part.
        at: Angle,
        /// Half its width.
        half: Angle,
    },
    /// It was rolled about another centre.
    AboutAnotherCentre {
        /// Height of that centre above the bar's centreline, in millimetres.
        height_mm: f64,
    },
}

/// A rolled grind with one fault.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FaultyGrind {
    surface: GroundSurface,
    rolling_fault: RollingFault,
}

impl FaultyGrind {
    /// What `meant` becomes with a fault.
    ///
    /// # Errors
    /// As [`GroundSurface::rolled`].
    pub fn new(meant: &Rolled, rolling_fault: RollingFault) -> Result<Self, GroundError> {
        let done = match rolling_fault {
            RollingFault::TurnedInHolder { by } => Rolled { turn: meant.turn + by, ..*meant },
            RollingFault::AboutAnotherCentre { height_mm } => {
                Rolled { line: RollLine::through(meant.line.pivot_in_tool(), height_mm)?, ..*meant }
            }
            RollingFault::Dwelt { .. } | RollingFault::Skipped { .. } => *meant,
        };
        Ok(Self { surface: GroundSurface::rolled(&done)?, rolling_fault })
    }

    /// Where steel begins on the ray through `(w, h)`, in millimetres behind the nose station.
    #[must_use]
    pub fn start_of_steel_mm(&self, w_mm: f64, h_mm: f64) -> Option<f64> {
        let meant = self.surface.start_of_steel(w_mm, h_mm).map(|hit| hit.s_mm);
        let Motion::Swept { sweep, line, .. } = self.surface.motion() else { return meant };
        let standing = |roll: Angle, nod: Angle| standing(sweep, line, (w_mm, h_mm), roll, nod);
        match self.rolling_fault {
            RollingFault::TurnedInHolder { .. } | RollingFault::AboutAnotherCentre { .. } => meant,
            RollingFault::Dwelt { at, nod } => further(meant, standing(at, nod)),
            RollingFault::Skipped { at, half } => {
                let hit = self.surface.start_of_steel(w_mm, h_mm)?;
                let roll = self.surface.roll_at(DVec3::new(hit.s_mm, h_mm, w_mm), hit.face);
                if (roll - at).abs() >= half {
                    return meant;
                }
                // Nothing stood there: only the wheel at either end of what was skipped came near.
                further(standing(at - half, Angle::ZERO), standing(at + half, Angle::ZERO))
            }
        }
    }

    /// The edge in `count` points `(s, h, w)`, from the `−w` wing to the `+w` wing; places that no wheel reached are
    /// left out.
    #[must_use]
    pub fn edge(&self, steel: &Steel, count: usize) -> Vec<DVec3> {
        let count = count.clamp(3, 100_000);
        (0..count)
            .filter_map(|i| {
                let wall = steel.wall_at(2.0 * i as f64 / (count - 1) as f64 - 1.0);
                let s = self.start_of_steel_mm(wall.x, wall.y)?;
                Some(DVec3::new(s, wall.y, wall.x))
            })
            .collect()
    }
}

fn further(one: Option<f64>, other: Option<f64>) -> Option<f64> {
    one.into_iter().chain(other).reduce(f64::max)
}

/// Where steel begins for the wheel that stands still at a roll angle within the swing, turned further about the
/// pivot by a nod.
fn standing(sweep: &Sweep, line: &RollLine, (w, h): (f64, f64), roll: Angle, nod: Angle) -> Option<f64> {
    if roll.abs().radians() > sweep.half + 1e-9 {
        return None;
    }
    let pivot = glam::DVec2::new(line.reach_mm(), 0.0);
    let turned = |v: glam::DVec2| glam::DVec2::from_angle(nod.radians()).rotate(v);
    let profile = match sweep.profile {
        Profile::Circle { centre, radius } => {
            Profile::Circle { centre: pivot + turned(centre - pivot), radius }
        }
        Profile::Line { normal, offset } => {
            let after = turned(normal);
            Profile::Line { normal: after, offset: offset - normal.dot(pivot) + after.dot(pivot) }
        }
    };
    sweep.standing(&sweep.frame.ray(w, h), roll.sin_cos(), profile).map(|(s_mm, _)| s_mm)
}
