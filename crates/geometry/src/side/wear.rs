//! Wear: the same setting on a wheel that has become smaller, or with a tool that has become shorter.
//!
//! What a setting grinds after wear depends on what was kept. With the cup left where it is on its arm the pivot
//! keeps its place in the bench frame; set anew by a gauge stick it keeps its distance from the rim, `G = D − R`, so
//! that `dD = dR`; found again it keeps the bevel and gives up both. A table left alone keeps its tilt, and has no
//! gauge length. All three are evaluated, not extrapolated: the exact slopes of [`crate::side::setting::Slopes`] are their limits
//! for little wear.

use std::{error::Error, fmt};

use crate::{
    math::quantity::Quantity,
    parts::{support::Arm, wheel::Face},
    side::{
        inverse::Target,
        refusal::Refusal,
        setting::{Setting, SideView, Support},
    },
};

/// What stays the same while a wheel wears.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum HeldInput {
    /// The cup's place on the arm, or the table's tilt: nothing is touched.
    Place,
    /// The gauge length: the cup is set anew with the same stick.
    GaugeLength,
    /// The bevel: the reach, or the tilt, is found again.
    Bevel(Target),
}

/// Why a worn wheel gives no answer.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum NotWorn {
    /// A flat abrasive has no diameter to lose.
    NoWheel,
    /// A table has no gauge length.
    NoGauge,
    /// No place of the arm lies at that gauge length, or none grinds that bevel.
    NoPlace,
    /// The setting is refused.
    Refused(Refusal),
}

impl fmt::Display for NotWorn {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoWheel => f.write_str("a flat abrasive has no diameter to lose"),
            Self::NoGauge => f.write_str("a table has no gauge length"),
            Self::NoPlace => f.write_str("no place within the travel does it"),
            Self::Refused(refusal) => refusal.fmt(f),
        }
    }
}

impl Error for NotWorn {}

impl From<Refusal> for NotWorn {
    fn from(refusal: Refusal) -> Self {
        Self::Refused(refusal)
    }
}

impl Setting {
    /// This setting and what follows from it on the same wheel at another diameter, in millimetres. The reference
    /// for a gauge length that is kept is the diameter this setting has now.
    ///
    /// # Errors
    /// [`NotWorn`]; travel counts.
    ///
    /// # Example
    /// See the worked values in `tests/bench/wear.rs`: with a radius of 75 mm and a bevel of 45°, 5 mm off the radius make
    /// it 49.44° at a fixed pivot and 43.41° at a fixed gauge length.
    pub fn on_worn_wheel(&self, diameter_mm: f64, kept: HeldInput) -> Result<(Self, SideView), NotWorn> {
        let Face::Round { radius_mm } = self.face else { return Err(NotWorn::NoWheel) };
        let worn = self.with(Quantity::WheelDiameter, diameter_mm).ok_or(NotWorn::NoWheel)?;
        match kept {
            HeldInput::Place => Ok((worn, worn.evaluate()?)),
            HeldInput::GaugeLength => {
                let (Support::Handle { arm, reach_mm, .. } | Support::Holder { arm, reach_mm, .. }) =
                    self.support
                else {
                    return Err(NotWorn::NoGauge);
                };
                let reach_mm = reach_by_gauge_mm(&arm, reach_mm, radius_mm, diameter_mm / 2.0)
                    .ok_or(NotWorn::NoPlace)?;
                let moved = worn.with(Quantity::Reach, reach_mm).ok_or(NotWorn::NoGauge)?;
                Ok((moved, moved.evaluate()?))
            }
            HeldInput::Bevel(target) => {
                let free = self.follows_wheel();
                let present = worn.value_of(free).unwrap_or(0.0);
                let answers = worn.find(target, free)?;
                let answer = answers.nearest(present).ok_or(NotWorn::NoPlace)?;
                Ok((answer.setting, answer.view))
            }
        }
    }

    /// This setting and what follows from it with a tool that has lost length, in millimetres. Only a handle's end
    /// in the cup makes the tool's own length part of the setting; elsewhere nothing changes.
    ///
    /// # Errors
    /// [`Refusal`]; travel counts.
    pub fn with_tool_shorter(&self, lost_mm: f64) -> Result<(Self, SideView), Refusal> {
        let shorter = self
            .value_of(Quantity::ToolLength)
            .and_then(|length_mm| self.with(Quantity::ToolLength, length_mm - lost_mm))
            .unwrap_or(*self);
        Ok((shorter, shorter.evaluate()?))
    }
}

/// The reach, in millimetres, at which the pivot is as far from a worn rim as it was from the old one: where the same
/// gauge stick sets the cup. Of two such places the one nearer to the old; `None` where the arm's line passes too far
/// off.
#[must_use]
pub fn reach_by_gauge_mm(arm: &Arm, reach_mm: f64, radius_mm: f64, worn_radius_mm: f64) -> Option<f64> {
    let from_centre = arm.pivot_in_bench(reach_mm).length() - radius_mm + worn_radius_mm;
    arm.reaches_at_distance(from_centre).min_by(|a, b| (a - reach_mm).abs().total_cmp(&(b - reach_mm).abs()))
}

/// A wheel's diameter from a tape laid round its rim, both in millimetres.
#[must_use]
pub fn diameter_from_round_mm(circumference_mm: f64) -> f64 {
    circumference_mm / std::f64::consts::PI
}
