//! Equal grinds: the same surface from another projection, by the roll-line theorem.
//!
//! Formula (3) depends on the pivot only through the roll line and on the pivot distance only through the
//! bevel. With the same wheel, roll centre, edge, flute and swing, two settings grind the same surface if
//! and only if their pivots lie on one line through the roll centre and their bevels agree.
//!
//! Tool frame `(s, h)`, millimetres. A holder's pivot is `P = (p + a + ℓ cos α, −c − ℓ sin α)`.

#![allow(clippy::neg_cmp_op_on_partial_ord, reason = "written so that a NaN takes the safe way")]

use std::{error::Error, fmt};

use glam::DVec2;

use crate::{
    math::angle::Angle,
    swept::{
        edge::{Edge, EdgePoint},
        edge_summary::EdgeSummary,
        ground::{GroundError, GroundSurface, Rolled},
        roll::{RollLine, RollLineError},
        steel::Steel,
    },
};

/// A holder's strut in the tool frame.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Strut {
    /// Hinge setback `a` behind the holder's front face, in millimetres.
    pub hinge_setback_mm: f64,
    /// Hinge drop `c` below the tool's axis, in millimetres.
    pub hinge_drop_mm: f64,
    /// Strut length `ℓ`, in millimetres.
    pub length_mm: f64,
}

impl Strut {
    /// The pivot for a projection and a strut angle (to the tool's axis, 90° square off it), `(s, h)`.
    #[must_use]
    pub fn pivot_in_tool(&self, projection_mm: f64, strut_angle: Angle) -> DVec2 {
        let (sin, cos) = strut_angle.sin_cos();
        DVec2::new(
            projection_mm + self.hinge_setback_mm + self.length_mm * cos,
            -self.hinge_drop_mm - self.length_mm * sin,
        )
    }

    /// The strut angles that put the pivot of `projection_mm` on `line`: with the line's unit normal `(n_s,
    /// n_h)`, `ℓ cos(α + atan2(n_h, n_s)) = n_h (c + h_A) − n_s (p + a)`. None, one or two, in (−180°,
    /// 180°].
    ///
    /// # Errors
    /// The distance in millimetres by which the strut is too short to reach the line.
    pub fn angles_onto(&self, line: &RollLine, projection_mm: f64) -> Result<[Angle; 2], f64> {
        let normal = line.square_in_tool();
        let hinge = DVec2::new(projection_mm + self.hinge_setback_mm, -self.hinge_drop_mm);
        let needed = -normal.dot(hinge - line.centre_in_tool());
        let short = needed.abs() - self.length_mm;
        // A strut that just reaches may be short by a rounding error.
        if !(short <= 1e-9) {
            return Err(short);
        }
        let open = Angle::from_radians((needed / self.length_mm).clamp(-1.0, 1.0).acos());
        let lean = Angle::of(normal);
        Ok([(open - lean).wrapped(), (-open - lean).wrapped()])
    }
}

/// Pivot distance `D` from the wheel's centre for a bevel at the edge, formula (1): `D² = L² + R² + 2LR
/// sin(β − ε)`. Millimetres.
#[must_use]
pub fn pivot_distance_mm(
    pivot_in_tool: DVec2,
    edge_height_mm: f64,
    wheel_radius_mm: f64,
    bevel: Angle,
) -> f64 {
    let nose = DVec2::new(0.0, edge_height_mm);
    let centre = nose - wheel_radius_mm * DVec2::new(bevel.sin(), bevel.cos());
    pivot_in_tool.distance(centre)
}

/// Bevel at the edge from a pivot distance, formula (1) solved. `None` where no triangle exists, `|L − R| <
/// D < L + R`.
#[must_use]
pub fn bevel_at(
    pivot_in_tool: DVec2,
    edge_height_mm: f64,
    wheel_radius_mm: f64,
    distance_mm: f64,
) -> Option<Angle> {
    let leg = DVec2::new(pivot_in_tool.x, edge_height_mm - pivot_in_tool.y);
    let (length, radius) = (leg.length(), wheel_radius_mm);
    let sin = (distance_mm * distance_mm - length * length - radius * radius) / (2.0 * length * radius);
    (sin.abs() < 1.0).then(|| Angle::of(leg) + Angle::from_radians(sin.asin()))
}

/// What a strut and its cup allow.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StrutTravel {
    /// Least strut angle.
    pub least_angle: Angle,
    /// Greatest strut angle.
    pub greatest_angle: Angle,
    /// Least pivot distance from the wheel's centre, in millimetres.
    pub least_distance_mm: f64,
    /// Greatest pivot distance, in millimetres.
    pub greatest_distance_mm: f64,
}

/// By how much two edges differ, point for point.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EdgeDifference {
    /// Greatest difference of setback, in millimetres.
    pub setback_mm: f64,
    /// Greatest difference of wedge angle.
    pub wedge: Angle,
    /// Greatest difference of bevel to the axis.
    pub bevel_to_axis: Angle,
}

impl EdgeDifference {
    /// Between two edges traced in the same number of points. `None` when some point was not ground.
    #[must_use]
    pub fn between(one: &Edge, other: &Edge) -> Option<Self> {
        if one.unreached() + other.unreached() > 0 {
            return None;
        }
        Self::of_points(one.points(), other.points())
    }

    /// Between two edges given point for point. `None` when they have not the same number of points.
    #[must_use]
    pub fn of_points(one: &[EdgePoint], other: &[EdgePoint]) -> Option<Self> {
        if one.len() != other.len() || one.is_empty() {
            return None;
        }
        let mut most = Self { setback_mm: 0.0, wedge: Angle::ZERO, bevel_to_axis: Angle::ZERO };
        for (a, b) in one.iter().zip(other) {
            most.setback_mm = most.setback_mm.max((a.s_mm - b.s_mm).abs());
            most.wedge = max(most.wedge, (a.wedge - b.wedge).abs());
            most.bevel_to_axis = max(most.bevel_to_axis, (a.bevel_to_axis - b.bevel_to_axis).abs());
        }
        Some(most)
    }
}

fn max(one: Angle, other: Angle) -> Angle {
    if other > one { other } else { one }
}

/// A setting at the other projection.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EqualGrind {
    /// Strut angle.
    pub strut_angle: Angle,
    /// Pivot distance from the wheel's centre, in millimetres.
    pub pivot_distance_mm: f64,
    /// Bevel at the edge it grinds.
    pub bevel: Angle,
    /// Whether it is the same surface, or only the nearest within the travel.
    pub same_surface: bool,
    /// What is left along the edge.
    pub difference: EdgeDifference,
}

/// Why there is no setting to offer.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum EqualGrindError {
    /// The setting given cannot be ground.
    Ground(GroundError),
    /// No wheel of a known radius: the theorem is for wheels.
    NoWheel,
    /// The travel is empty or a limit is not finite.
    NoTravel,
    /// Nothing within the travel grinds the whole edge.
    NothingGrinds,
}

impl fmt::Display for EqualGrindError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Ground(error) => error.fmt(f),
            Self::NoWheel => f.write_str("no wheel"),
            Self::NoTravel => f.write_str("no travel"),
            Self::NothingGrinds => f.write_str("nothing within the travel grinds the whole edge"),
        }
    }
}

impl Error for EqualGrindError {}

/// Points along the edge at which grinds are compared.
const COMPARED: usize = 61;
/// Strut angles tried across the travel before the search is narrowed.
const TRIED: u32 = 36;

/// The setting of `strut` at `projection_mm` that grinds the same surface as `setting`, or the nearest one
/// (by the greatest difference of setback along the edge) that `travel` allows.
///
/// The strut angle is that of the roll-line theorem in closed form; of two the one whose pivot lies on the
/// same side of the roll centre, else the one within the travel.
///
/// # Errors
/// [`EqualGrindError`].
pub fn equal_grind(
    setting: &Rolled,
    steel: &Steel,
    strut: &Strut,
    projection_mm: f64,
    travel: &StrutTravel,
) -> Result<EqualGrind, EqualGrindError> {
    let crate::swept::ground::GrindingFace::Wheel { radius_mm, .. } = setting.abrasive else {
        return Err(EqualGrindError::NoWheel);
    };
    let limits = [
        travel.least_distance_mm,
        travel.greatest_distance_mm,
        travel.least_angle.radians(),
        travel.greatest_angle.radians(),
        projection_mm,
    ];
    if limits.iter().any(|x| !x.is_finite())
        || travel.least_distance_mm > travel.greatest_distance_mm
        || travel.least_angle > travel.greatest_angle
    {
        return Err(EqualGrindError::NoTravel);
    }
    let wanted = GroundSurface::rolled(setting).map_err(EqualGrindError::Ground)?;
    let wanted = Edge::trace(&wanted, steel, COMPARED);
    let mut buffer = Edge::default();
    let mut grind = |angle: Angle| -> Option<EqualGrind> {
        let pivot = strut.pivot_in_tool(projection_mm, angle);
        let ideal = pivot_distance_mm(pivot, setting.edge_height_mm, radius_mm, setting.bevel);
        let distance = ideal.clamp(travel.least_distance_mm, travel.greatest_distance_mm);
        let bevel = if distance.total_cmp(&ideal).is_eq() {
            setting.bevel
        } else {
            bevel_at(pivot, setting.edge_height_mm, radius_mm, distance)?
        };
        let line = RollLine::through(pivot, setting.line.centre_in_tool().y).ok()?;
        let surface = GroundSurface::rolled(&Rolled { line, bevel, ..*setting }).ok()?;
        buffer.trace_again(&surface, steel, COMPARED);
        Some(EqualGrind {
            strut_angle: angle,
            pivot_distance_mm: distance,
            bevel,
            same_surface: line.is_same_as(&setting.line, 1e-6) && distance.total_cmp(&ideal).is_eq(),
            difference: EdgeDifference::between(&wanted, &buffer)?,
        })
    };
    let within = |angle: Angle| angle >= travel.least_angle && angle <= travel.greatest_angle;
    if let Ok(angles) = strut.angles_onto(&setting.line, projection_mm) {
        for angle in angles {
            let pivot = strut.pivot_in_tool(projection_mm, angle);
            let same_side = (pivot - setting.line.centre_in_tool()).dot(setting.line.along_in_tool()) > 0.0;
            if within(angle)
                && same_side
                && let Some(found) = grind(angle)
                && found.same_surface
            {
                return Ok(found);
            }
        }
    }
    nearest(travel, &mut grind).ok_or(EqualGrindError::NothingGrinds)
}

/// The least difference over the travel: tried evenly, then narrowed by thirds about the best.
fn nearest(travel: &StrutTravel, grind: &mut impl FnMut(Angle) -> Option<EqualGrind>) -> Option<EqualGrind> {
    let span = travel.greatest_angle - travel.least_angle;
    let step = span / f64::from(TRIED);
    let mut best: Option<EqualGrind> = None;
    let mut consider = |angle: Angle, best: &mut Option<EqualGrind>| -> f64 {
        let Some(found) = grind(angle) else { return f64::INFINITY };
        let off = found.difference.setback_mm;
        if best.is_none_or(|best| off < best.difference.setback_mm) {
            *best = Some(found);
        }
        off
    };
    for i in 0..=TRIED {
        consider(travel.least_angle + step * f64::from(i), &mut best);
    }
    let around = best?.strut_angle;
    let (mut low, mut high) = (
        (around - step).clamped(travel.least_angle, travel.greatest_angle),
        (around + step).clamped(travel.least_angle, travel.greatest_angle),
    );
    for _ in 0..40 {
        let third = (high - low) / 3.0;
        let (one, other) = (low + third, high - third);
        if consider(one, &mut best) < consider(other, &mut best) {
            high = other;
        } else {
            low = one;
        }
    }
    best
}

/// What a fit of the roll centre came to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum RollCentreFit {
    /// A roll centre that gives the measured wing sweep.
    Found {
        /// Its height above the centreline, in millimetres.
        height_mm: f64,
        /// Whether another height within the range gives the same sweep; this is the one nearest the
        /// centreline.
        ambiguous: bool,
    },
    /// No roll centre within the range gives it.
    OutOfRange {
        /// Least wing sweep within the range, in millimetres.
        least_mm: f64,
        /// Greatest wing sweep within the range, in millimetres.
        greatest_mm: f64,
    },
}

/// Heights tried before a bracket is narrowed.
const HEIGHTS: u32 = 80;

/// The height of the roll centre, from the flute's floor to `greatest_height_mm`, that gives a measured
/// wing sweep with everything else as in `setting` (its own roll centre is not used).
///
/// # Errors
/// The [`GroundError`] of the setting, or of the greatest height.
pub fn fit_roll_centre(
    setting: &Rolled,
    steel: &Steel,
    wing_sweep_mm: f64,
    greatest_height_mm: f64,
) -> Result<RollCentreFit, GroundError> {
    let pivot = setting.line.pivot_in_tool();
    let floor = setting.edge_height_mm;
    if !wing_sweep_mm.is_finite() || !greatest_height_mm.is_finite() {
        return Err(GroundError::RollLine(RollLineError::NotFinite));
    }
    if greatest_height_mm <= floor {
        return Err(GroundError::RollCentreBelowFloor { below_mm: floor - greatest_height_mm });
    }
    let sweep_at = |height: f64| -> Option<f64> {
        let line = RollLine::through(pivot, height).ok()?;
        let surface = GroundSurface::rolled(&Rolled { line, ..*setting }).ok()?;
        let edge = Edge::trace(&surface, steel, 3);
        if edge.unreached() > 0 {
            return None;
        }
        EdgeSummary::of(&edge, &surface, steel).map(|summary| summary.wing_sweep_mm() - wing_sweep_mm)
    };
    GroundSurface::rolled(&Rolled { line: RollLine::through(pivot, greatest_height_mm)?, ..*setting })?;
    let (mut least, mut greatest) = (f64::INFINITY, f64::NEG_INFINITY);
    let mut found: Option<f64> = None;
    let mut count = 0;
    let mut before: Option<(f64, f64)> = None;
    for i in 0..=HEIGHTS {
        let height = floor + (greatest_height_mm - floor) * f64::from(i) / f64::from(HEIGHTS);
        let Some(off) = sweep_at(height) else {
            before = None;
            continue;
        };
        least = least.min(off);
        greatest = greatest.max(off);
        if let Some((low, at_low)) = before
            && (at_low < 0.0) != (off < 0.0)
            && let Some(root) = narrow(low, at_low, height, off, &sweep_at)
        {
            count += 1;
            if found.is_none_or(|found| root.abs() < found.abs()) {
                found = Some(root);
            }
        }
        before = Some((height, off));
    }
    Ok(match found {
        Some(height_mm) => RollCentreFit::Found { height_mm, ambiguous: count > 1 },
        None => RollCentreFit::OutOfRange {
            least_mm: least + wing_sweep_mm,
            greatest_mm: greatest + wing_sweep_mm,
        },
    })
}

/// Bisection down to a jump or a root; a jump is no answer.
fn narrow(
    mut low: f64,
    mut at_low: f64,
    mut high: f64,
    mut at_high: f64,
    f: &impl Fn(f64) -> Option<f64>,
) -> Option<f64> {
    for _ in 0..60 {
        let mid = f64::midpoint(low, high);
        let at_mid = f(mid)?;
        if (at_mid < 0.0) == (at_low < 0.0) {
            (low, at_low) = (mid, at_mid);
        } else {
            (high, at_high) = (mid, at_mid);
        }
        if high - low < 1e-12 {
            break;
        }
    }
    ((at_high - at_low).abs() < 1e-3).then(|| f64::midpoint(low, high))
}
