//! The surface a wheel leaves on a tool, whichever way the tool was moved.
//!
//! Tool frame `(s, h, w)`, millimetres: `s` along the axis from the nose of the edge towards the handle,
//! `h` up towards the open side, `w` across. Steel is what lies on the handle's side of the surface.
//!
//! At the nose the wheel's outward normal is `N = (sin β, cos β)` in `(s, h)` and its centre `C = E − R·N`.

#![allow(clippy::neg_cmp_op_on_partial_ord, reason = "written so that a NaN takes the safe way")]

use std::{error::Error, fmt};

use glam::{DVec2, DVec3};

use crate::{
    math::{
        angle::Angle,
        dimension::{DimensionError, angle, length, place},
        quantity::Quantity,
    },
    parts::oblique::Presentation,
    swept::{
        hit::{FirstGone, GroundBy, Hit, Rim},
        push::{Push, PushProfile},
        roll::{RollFrame, RollLine, RollLineError, Swing},
        sweep::{Profile, Sweep},
    },
};

/// What does the grinding. A flat face is a case of its own, not a very large wheel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum GrindingFace {
    /// A wheel's rim.
    Wheel {
        /// Radius now, in millimetres.
        radius_mm: f64,
        /// Width of the rim along the spindle, in millimetres.
        width_mm: f64,
    },
    /// A platen, belt or flat stone.
    Flat {
        /// Width along the spindle's direction, in millimetres.
        width_mm: f64,
    },
}

/// Why there is no ground surface.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum GroundError {
    /// A dimension out of range.
    DimensionError(DimensionError),
    /// A roll line that is none.
    RollLine(RollLineError),
    /// The roll centre lies below the flute's floor: the swept surface would miss the nose.
    RollCentreBelowFloor {
        /// By so much, in millimetres.
        below_mm: f64,
    },
    /// Turned so far in its holder that the nose no longer reaches the wheel from this pivot.
    TurnOutOfReach {
        /// By so much, in millimetres.
        short_by_mm: f64,
    },
}

impl fmt::Display for GroundError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::DimensionError(dimension_error) => dimension_error.fmt(f),
            Self::RollLine(error) => error.fmt(f),
            Self::RollCentreBelowFloor { below_mm } => write!(f, "roll centre {below_mm} mm below the floor"),
            Self::TurnOutOfReach { short_by_mm } => write!(f, "turned nose {short_by_mm} mm out of reach"),
        }
    }
}

impl Error for GroundError {}

impl From<DimensionError> for GroundError {
    fn from(dimension_error: DimensionError) -> Self {
        Self::DimensionError(dimension_error)
    }
}

impl From<RollLineError> for GroundError {
    fn from(error: RollLineError) -> Self {
        Self::RollLine(error)
    }
}

/// A tool rolled about a roll line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rolled {
    /// The roll line.
    pub line: RollLine,
    /// Bevel at the edge, β, as set with the tool upright in its holder.
    pub bevel: Angle,
    /// Height of the nose's edge above the centreline, `h_E`, in millimetres.
    pub edge_height_mm: f64,
    /// What grinds.
    pub abrasive: GrindingFace,
    /// The limits of the swing.
    pub swing: Swing,
    /// Turn of the tool about its own axis in the holder, positive when the `+w` wing is raised. Pivot and
    /// pivot distance stay as set; the nose stays at station zero.
    pub turn: Angle,
}

/// A flat tool pushed straight across.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pushed {
    /// Bevel at the edge, square to the edge or along the tool as the presentation says.
    pub bevel: Angle,
    /// Height of the edge above the mid-plane, in millimetres.
    pub edge_height_mm: f64,
    /// What grinds.
    pub abrasive: GrindingFace,
    /// Angle between edge and long side, 90° for a square edge. The `+w` end trails.
    pub obliquity: Angle,
    /// How an oblique edge is offered.
    pub presentation: Presentation,
}

/// A round-nosed scraper swung flat on the table.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TurnedOnTable {
    /// Radius of the edge in plan, in millimetres.
    pub plan_radius_mm: f64,
    /// Bevel at the edge.
    pub bevel: Angle,
    /// Height of the edge above the mid-plane, in millimetres.
    pub edge_height_mm: f64,
    /// What grinds.
    pub abrasive: GrindingFace,
    /// The limits of the swing.
    pub swing: Swing,
}

/// The ground surface of one bevel.
///
/// # Example
/// ```
/// use bevelbench_geometry::{math::Angle, swept::{GrindingFace, GroundSurface, RollLine, Rolled, Swing}};
/// use glam::DVec2;
/// let surface = GroundSurface::rolled(&Rolled {
///     line: RollLine::through(DVec2::new(139.5, -49.5), 0.0)?,
///     bevel: Angle::from_degrees(45.0),
///     edge_height_mm: -4.0,
///     abrasive: GrindingFace::Wheel { radius_mm: 75.0, width_mm: 40.0 },
///     swing: Swing::ASSUMED,
///     turn: Angle::ZERO,
/// })?;
/// let nose = surface.start_of_steel(0.0, -4.0).ok_or("no steel")?;
/// assert!(nose.s_mm.abs() < 1e-12);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GroundSurface {
    motion: Motion,
}

/// How the wheel moved over the tool.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Motion {
    Swept { sweep: Sweep, line: RollLine, swing: Swing, turn: Angle },
    Pushed(Push),
}

fn checked(abrasive: GrindingFace) -> Result<(Option<f64>, f64), DimensionError> {
    match abrasive {
        GrindingFace::Wheel { radius_mm, width_mm } => {
            length(Quantity::WheelDiameter, 2.0 * radius_mm)?;
            Ok((Some(radius_mm), length(Quantity::WheelWidth, width_mm)?))
        }
        GrindingFace::Flat { width_mm } => Ok((None, length(Quantity::WheelWidth, width_mm)?)),
    }
}

impl GroundSurface {
    /// Of a tool rolled about a line, formula (3) within the swing.
    ///
    /// # Errors
    /// [`GroundError`].
    pub fn rolled(setting: &Rolled) -> Result<Self, GroundError> {
        let Rolled { line, bevel, edge_height_mm, abrasive, swing, turn } = *setting;
        angle(Quantity::Bevel, bevel, 0.01, 179.99)?;
        angle(Quantity::TurnInHolder, turn, -90.0, 90.0)?;
        place(Quantity::EdgeHeight, edge_height_mm)?;
        let (radius, width) = checked(abrasive)?;
        let nose = DVec2::new(0.0, edge_height_mm);
        let over = line.distance_mm(nose);
        if over < -1e-12 {
            return Err(GroundError::RollCentreBelowFloor { below_mm: -over });
        }
        let upright = RollFrame::new(&line, Angle::ZERO);
        let turned = RollFrame::new(&line, turn);
        let nose_upright = upright.point(DVec3::new(0.0, edge_height_mm, 0.0));
        let nose_turned = turned.point(DVec3::new(0.0, edge_height_mm, 0.0));
        let normal_in_tool = DVec2::new(bevel.sin(), bevel.cos());
        let (d, n) = (line.along_in_tool(), line.square_in_tool());
        let normal = DVec2::new(normal_in_tool.dot(d), normal_in_tool.dot(n));
        let pivot = DVec2::new(line.reach_mm(), 0.0);
        let before = nose_upright.truncate();
        let after = DVec2::new(nose_turned.x, nose_turned.y.hypot(nose_turned.z));
        let profile = if let Some(radius) = radius {
            let centre = before - radius * normal;
            let centre = if turn == Angle::ZERO {
                centre
            } else {
                kept_distance(pivot, before, centre, after, radius)?
            };
            Profile::Circle { centre, radius }
        } else {
            let normal = if turn == Angle::ZERO { normal } else { kept_face(pivot, before, normal, after)? };
            Profile::Line { normal, offset: normal.dot(after) }
        };
        let sweep = Sweep::new(turned, profile, swing.half(), width);
        Ok(Self { motion: Motion::Swept { sweep, line, swing, turn } })
    }

    /// Of a round-nosed scraper swung on its table: (3) with the line square to the table.
    ///
    /// # Errors
    /// [`GroundError`].
    pub fn turned_on_table(setting: &TurnedOnTable) -> Result<Self, GroundError> {
        let TurnedOnTable { plan_radius_mm, bevel, edge_height_mm, abrasive, swing } = *setting;
        length(Quantity::EdgeRadius, plan_radius_mm)?;
        let line = RollLine::upright(plan_radius_mm)?;
        Self::rolled(&Rolled { line, bevel, edge_height_mm, abrasive, swing, turn: Angle::ZERO })
    }

    /// Of a flat tool pushed straight across the wheel.
    ///
    /// # Errors
    /// [`GroundError`].
    pub fn pushed(setting: &Pushed) -> Result<Self, GroundError> {
        let Pushed { bevel, edge_height_mm, abrasive, obliquity, presentation } = *setting;
        angle(Quantity::Bevel, bevel, 0.01, 179.99)?;
        angle(Quantity::EdgeObliquity, obliquity, 1.0, 179.0)?;
        place(Quantity::EdgeHeight, edge_height_mm)?;
        let (radius, _) = checked(abrasive)?;
        let nose = DVec2::new(0.0, edge_height_mm);
        let normal = DVec2::new(bevel.sin(), bevel.cos());
        let profile = match radius {
            Some(radius) => PushProfile::Circle { centre: nose - radius * normal, radius },
            None => PushProfile::Line { normal, offset: normal.dot(nose) },
        };
        let (sin, cos) = obliquity.sin_cos();
        let push = match presentation {
            Presentation::EdgeParallelToSpindle => {
                Push { profile, per_s: sin, per_w: cos, level: DVec3::new(sin, 0.0, -cos) }
            }
            Presentation::AxisInSidePlane => Push { profile, per_s: 1.0, per_w: cos / sin, level: DVec3::X },
        };
        Ok(Self { motion: Motion::Pushed(push) })
    }

    /// Where steel begins on the ray through `(w, h)`: walking from the handle towards the nose, the first
    /// crossing that counts. `None` where the wheel never comes.
    #[must_use]
    #[inline]
    pub fn start_of_steel(&self, w_mm: f64, h_mm: f64) -> Option<Hit> {
        match &self.motion {
            Motion::Swept { sweep, .. } => sweep.start(w_mm, h_mm),
            Motion::Pushed(push) => push.start(w_mm, h_mm),
        }
    }

    /// The same with a guess of the station: it saves steps and changes nothing else.
    #[inline]
    pub(crate) fn start_of_steel_near(&self, w_mm: f64, h_mm: f64, s_mm: f64) -> Option<Hit> {
        match &self.motion {
            Motion::Swept { sweep, .. } => sweep.start_near(w_mm, h_mm, Some(s_mm)),
            Motion::Pushed(push) => push.start(w_mm, h_mm),
        }
    }

    /// Implicit value at `point_in_tool = (s, h, w)`: left side of (3) less `R²` in mm² for a wheel,
    /// distance in mm for a flat face; negative where the full, unlimited movement removes steel.
    #[must_use]
    pub fn implicit_value(&self, point_in_tool: DVec3) -> f64 {
        match &self.motion {
            Motion::Swept { sweep, .. } => sweep.value(point_in_tool),
            Motion::Pushed(push) => push.value(point_in_tool),
        }
    }

    /// Unit normal out of the steel, towards the wheel, at a point of the surface, `(s, h, w)`.
    #[must_use]
    #[inline]
    pub fn normal_at(&self, point_in_tool: DVec3, face: GroundBy) -> DVec3 {
        match &self.motion {
            Motion::Swept { sweep, .. } => sweep.normal(point_in_tool, face),
            Motion::Pushed(push) => push.normal(point_in_tool),
        }
    }

    /// Roll angle at which a point of the surface is ground; nothing for a straight push.
    #[must_use]
    #[inline]
    pub fn roll_at(&self, point_in_tool: DVec3, face: GroundBy) -> Angle {
        match &self.motion {
            Motion::Swept { sweep, .. } => sweep.roll(point_in_tool, face),
            Motion::Pushed(_) => Angle::ZERO,
        }
    }

    /// How the wheel moved over the tool.
    pub(crate) fn motion(&self) -> &Motion {
        &self.motion
    }

    /// The wheel's plane at a point of the surface.
    #[inline]
    pub(crate) fn rim_at(&self, point_in_tool: DVec3, face: GroundBy) -> Rim {
        match &self.motion {
            Motion::Swept { sweep, .. } => sweep.rim(point_in_tool, face),
            Motion::Pushed(push) => push.rim(point_in_tool),
        }
    }

    /// In the section at `station`, the first place ground away from `wall` along `inward`, nearer than `through`.
    pub(crate) fn first_gone(&self, station: f64, wall: DVec2, inward: DVec2, through: f64) -> FirstGone {
        match &self.motion {
            Motion::Swept { sweep, .. } => {
                FirstGone::before(through, sweep.first_gone(station, wall, inward, through))
            }
            Motion::Pushed(push) => push.first_gone(station, wall, inward, through),
        }
    }

    /// Alike on both sides of the tool's plane of symmetry.
    #[must_use]
    pub fn is_symmetric(&self) -> bool {
        match &self.motion {
            Motion::Swept { turn, .. } => *turn == Angle::ZERO,
            Motion::Pushed(push) => push.per_w.abs() < 1e-15,
        }
    }

    /// The roll line, where the tool is rolled or turned.
    #[must_use]
    pub fn roll_line(&self) -> Option<RollLine> {
        match &self.motion {
            Motion::Swept { line, .. } => Some(*line),
            Motion::Pushed(_) => None,
        }
    }

    /// The swing, where the tool is rolled or turned.
    #[must_use]
    pub fn swing(&self) -> Option<Swing> {
        match &self.motion {
            Motion::Swept { swing, .. } => Some(*swing),
            Motion::Pushed(_) => None,
        }
    }

    /// Wheel's centre `(u_C, r_C)` of (3), `u` counted from the roll centre towards the pivot, millimetres.
    /// `None` for a straight push or a flat face.
    #[must_use]
    pub fn wheel_centre_by_roll_line(&self) -> Option<DVec2> {
        match &self.motion {
            Motion::Swept { sweep: Sweep { profile: Profile::Circle { centre, .. }, .. }, .. } => {
                Some(*centre)
            }
            _ => None,
        }
    }
}

/// The wheel's centre when the nose moves from `before` to `after` and the distance pivot to centre stays.
fn kept_distance(
    pivot: DVec2,
    before: DVec2,
    centre: DVec2,
    after: DVec2,
    radius: f64,
) -> Result<DVec2, GroundError> {
    let distance = centre.distance(pivot);
    let leg = after - pivot;
    let length = leg.length();
    // Foot of the centre on the leg, then square to it, on the side where it was.
    let foot = (length * length + distance * distance - radius * radius) / (2.0 * length);
    let under = distance * distance - foot * foot;
    if !(under >= 0.0) {
        let short_by_mm = (length - distance - radius).max((distance - radius).abs() - length).max(0.0);
        return Err(GroundError::TurnOutOfReach { short_by_mm });
    }
    let side = (before - pivot).perp_dot(centre - pivot).signum();
    let unit = leg / length;
    Ok(pivot + foot * unit + side * under.sqrt() * unit.perp())
}

/// The flat face's normal when the nose moves and the face's distance from the pivot stays.
fn kept_face(pivot: DVec2, before: DVec2, normal: DVec2, after: DVec2) -> Result<DVec2, GroundError> {
    let distance = normal.dot(before - pivot);
    let leg = after - pivot;
    let length = leg.length();
    let cos = distance / length;
    if !(cos.abs() <= 1.0) {
        return Err(GroundError::TurnOutOfReach { short_by_mm: distance.abs() - length });
    }
    let side = (before - pivot).perp_dot(normal).signum();
    let unit = leg / length;
    Ok(cos * unit + side * (1.0 - cos * cos).sqrt() * unit.perp())
}
