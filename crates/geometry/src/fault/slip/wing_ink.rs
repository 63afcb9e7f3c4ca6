//! Ink along one wing: how far a gouge sits turned in its holder.
//!
//! **Assumed**: the gouge was ground straight, at the setting as it stands, and is now clamped turned. Rolled over
//! the wheel, one wing then rubs at its heel and the other at its edge; how wide, half-way out from the middle of the
//! tool to the wing top, tells the turn.

use crate::{
    math::angle::Angle,
    swept::{
        ground::{GroundError, GroundSurface, Rolled},
        ink::{Settling, SweptInk},
        steel::Steel,
        tip::Tip,
    },
};

/// Farthest a gouge is taken to be turned.
const FARTHEST: Angle = Angle::from_degrees(20.0);
/// Where along the upper face a wing is looked at: half the width of an ordinary flute.
const HALF_WAY_OUT: f64 = 1.0 / 3.0;

/// Ink seen along one wing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WingInkSeen {
    /// Whether it is the `+w` wing.
    pub plus: bool,
    /// Whether the ink was rubbed at the heel there; otherwise at the edge.
    pub at_heel: bool,
    /// How wide it was rubbed half-way out along that wing, in millimetres.
    pub rubbed_mm: f64,
    /// Thickness of the film, in millimetres.
    pub film_mm: f64,
}

/// What ink along one wing says.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum WingInkVerdict {
    /// A gouge turned as far as was asked about is inked all over there.
    CannotTell {
        /// What can be reported.
        resolves: Angle,
    },
    /// The gouge sits turned in its holder.
    Turned {
        /// By so much, positive when the `+w` wing is raised.
        by: Angle,
    },
    /// No turn rubs that wing like that.
    NotATurn,
}

/// A reading of ink along one wing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WingInk {
    /// What it says.
    pub verdict: WingInkVerdict,
    /// Width of the facet half-way out along the wing, in millimetres.
    pub facet_mm: f64,
}

impl WingInk {
    /// Reads ink along one wing of a gouge rolled as `meant`; `wanted` is how far turned the ink must show.
    ///
    /// # Errors
    /// As [`GroundSurface::rolled`].
    pub fn read(
        meant: &Rolled,
        steel: &Steel,
        seen: &WingInkSeen,
        wanted: Angle,
    ) -> Result<Self, GroundError> {
        let surface = GroundSurface::rolled(&Rolled { turn: Angle::ZERO, ..*meant })?;
        let present = Tip::new(surface, *steel);
        let settling = Settling::AboutPivot { pivot_in_tool: meant.line.pivot_in_tool() };
        let side = if seen.plus { HALF_WAY_OUT } else { -HALF_WAY_OUT };
        let mut ink = SweptInk::default();
        let mut facing = |turn: Angle| {
            let today = GroundSurface::rolled(&Rolled { turn, ..*meant }).ok()?;
            ink.lay(&present, &today, settling);
            ink.facing(&present, side, seen.film_mm.max(0.0))
        };
        let Some(straight) = facing(Angle::ZERO) else {
            return Ok(Self { verdict: WingInkVerdict::NotATurn, facet_mm: 0.0 });
        };
        let facet_mm = straight.facet_mm;
        let stated = |verdict| Ok(Self { verdict, facet_mm });
        // Which way the gouge must be turned for this end of this wing to touch: asked of the map itself.
        let probe = Angle::from_degrees(2.0);
        let touches = |found: Option<crate::swept::ink::Facing>| {
            found.is_some_and(|f| (f.heel_gap_mm < f.edge_gap_mm) == seen.at_heel)
        };
        let sign = match (touches(facing(probe)), touches(facing(-probe))) {
            (true, false) => 1.0,
            (false, true) => -1.0,
            _ => return stated(WingInkVerdict::NotATurn),
        };
        let mut rubbed = |turn: Angle| facing(turn * sign).map_or(0.0, |found| found.inked_mm);
        let mut halved = |holds: &mut dyn FnMut(f64) -> bool| {
            let (mut low, mut high) = (Angle::ZERO, FARTHEST);
            for _ in 0..28 {
                let middle = (low + high) / 2.0;
                if holds(rubbed(middle)) { low = middle } else { high = middle }
            }
            (low + high) / 2.0
        };
        let resolves = halved(&mut |rubbed| rubbed >= facet_mm * (1.0 - 1e-6));
        if resolves > wanted {
            return stated(WingInkVerdict::CannotTell { resolves });
        }
        if seen.rubbed_mm.is_nan() || seen.rubbed_mm < 0.0 || seen.rubbed_mm >= facet_mm {
            return stated(WingInkVerdict::NotATurn);
        }
        let by = halved(&mut |rubbed| rubbed > seen.rubbed_mm);
        if by.degrees() > FARTHEST.degrees() - 0.01 {
            return stated(WingInkVerdict::NotATurn);
        }
        stated(WingInkVerdict::Turned { by: by * sign })
    }
}
