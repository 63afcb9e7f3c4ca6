//! Targets at the wing of a rolled gouge, and how far a setting misses them.

use crate::{
    math::angle::Angle,
    parts::wheel::Face,
    side::{nose::HandRoll, setting::Setting},
    swept::{
        edge::EdgePoint,
        ground::{GrindingFace, GroundSurface, Rolled},
        nose::{pivot_or_level, rolled},
        roll::{RollLine, Swing},
        steel::Steel,
    },
};

/// How a gouge is rolled, for targets at its wing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rolling {
    /// The steel.
    pub steel: Steel,
    /// Width of the wheel, in millimetres.
    pub wheel_width_mm: f64,
    /// Limits of the swing.
    pub swing: Swing,
    /// Height of the roll centre, in millimetres.
    pub roll_centre_mm: f64,
    /// Turn of the tool in its holder.
    pub turn: Angle,
}

/// What the wing is to be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum WingTarget {
    /// The wing sweep, in millimetres: mean of both wings.
    Sweep {
        /// The sweep.
        mm: f64,
    },
    /// The bevel to the axis at the wing top: mean of both wings.
    BevelAtTop {
        /// The bevel.
        bevel: Angle,
    },
    /// The same surface as another setting of the same bevel on the same wheel: the pivot on its roll line.
    SameLine {
        /// That setting's roll line.
        line: RollLine,
    },
}

impl Rolling {
    /// How the tool is rolled in a setting that grinds a bevel at the edge.
    pub(crate) fn rolled(&self, setting: &Setting, bevel: Angle) -> Option<Rolled> {
        let width_mm = self.wheel_width_mm;
        let abrasive = match setting.face {
            Face::Round { radius_mm } => GrindingFace::Wheel { radius_mm, width_mm },
            Face::Flat { .. } => GrindingFace::Flat { width_mm },
        };
        rolled(
            setting,
            &HandRoll { centre_mm: self.roll_centre_mm, half_swing: self.swing.half(), turn: self.turn },
            bevel,
            abrasive,
        )
    }
}

impl WingTarget {
    /// By how much the wing is off where this setting grinds a bevel at the edge, in millimetres, or degrees for a
    /// bevel at the top; `None` where the wheel does not grind it.
    pub(crate) fn off(&self, setting: &Setting, rolling: &Rolling, bevel: Angle) -> Option<f64> {
        if let WingTarget::SameLine { line } = *self {
            return Some(line.distance_mm(pivot_or_level(setting, rolling.roll_centre_mm)));
        }
        let surface = GroundSurface::rolled(&rolling.rolled(setting, bevel)?).ok()?;
        let both = rolling.turn != Angle::ZERO;
        match *self {
            WingTarget::Sweep { mm } => {
                let sweep = |t: f64| {
                    let top = rolling.steel.wall_at(t);
                    surface.start_of_steel(top.x, top.y).map(|hit| hit.s_mm)
                };
                let plus = sweep(1.0)?;
                Some(if both { f64::midpoint(plus, sweep(-1.0)?) } else { plus } - mm)
            }
            WingTarget::BevelAtTop { bevel: wanted } => {
                let at = |t: f64| EdgePoint::at(&surface, &rolling.steel, t).map(|point| point.bevel_to_axis);
                let plus = at(1.0)?;
                let mean = if both { (plus + at(-1.0)?) / 2.0 } else { plus };
                Some((mean - wanted).degrees())
            }
            WingTarget::SameLine { .. } => None,
        }
    }
}
