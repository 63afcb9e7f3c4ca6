//! The numeric envelope of a wheel's poses, independent of formula (3): what the tests and benchmarks hold the surface
//! against (feature `numeric-envelope`; no product code calls it).
//!
//! The wheel is a body of its real width: a cylinder, one with rounded corners, or one dressed to a crown.
//! The tool is rolled through a list of poses; seen from the tool the wheel stands at each roll angle ψ in
//! turn. A ray along the tool's axis meets each pose's wheel in closed form (for a cylinder) or by a convex
//! Newton iteration, and the steel left begins at the greatest of those stations.
//!
//! **Climbing.** From pose to pose the station `s(ψ)` on a ray has the slope `2 (r_C − p) o / g_s`, with
//! `p` the point's distance from the roll line in the wheel's plane, `o` its distance from that plane, and
//! `g_s > 0` where the ray leaves the wheel. Steel lies nearer to the roll line than the wheel's centre (`p
//! < r_C`), so the sign of `o` says which way is up, and there is one best pose for each crossing of the
//! ray with the swept surface. Each ray therefore starts at its neighbour's best pose and climbs; where it
//! ends at an end of the swing the other end is tried as well. On a crown or a rounded corner that is met off
//! its middle the rim's own slope has its say, so that both neighbours are asked before a pose counts as the
//! best. Rays with two crossings near the roll line, and rays that leave a narrow wheel by its side where the
//! line is steep or leads up, are the exception; [`Envelope::fill_by_scan`] tries every pose, and the tests compare the two
//! ray by ray.

#![allow(clippy::neg_cmp_op_on_partial_ord, reason = "written so that a NaN takes the safe way")]

use std::{error::Error, fmt};

use glam::DVec2;

use crate::{
    math::angle::Angle,
    swept::{
        ground::{GrindingFace, GroundError, GroundSurface, Rolled},
        roll::{Ray, RollFrame},
    },
};

/// The shape of a wheel's rim across its width.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub enum RimShape {
    /// Straight across, with sharp corners.
    #[default]
    Flat,
    /// Straight across, corners rounded.
    RoundedCorners {
        /// Corner radius, in millimetres.
        radius_mm: f64,
    },
    /// Dressed to a crown, highest at mid-width.
    Crowned {
        /// Radius of the crown across the rim, in millimetres.
        radius_mm: f64,
    },
}

/// Why there is no envelope.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum EnvelopeError {
    /// The setting cannot be ground.
    Ground(GroundError),
    /// Only a wheel has an envelope of this kind.
    NoWheel,
    /// No pose, too many (65,534 at most), or one that is not finite.
    Poses,
    /// The corner or crown radius does not fit the wheel's width, or is not finite.
    Rim,
    /// The offset of the contact is not finite.
    Offset,
}

impl fmt::Display for EnvelopeError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Ground(error) => error.fmt(f),
            Self::NoWheel => f.write_str("no wheel"),
            Self::Poses => f.write_str("no usable list of poses"),
            Self::Rim => f.write_str("rim shape that does not fit the wheel"),
            Self::Offset => f.write_str("offset of the contact that is not finite"),
        }
    }
}

impl Error for EnvelopeError {}

/// The pose index of a ray that no wheel meets.
pub const NO_POSE: u16 = u16::MAX;

/// One pose of the wheel, with what does not depend on the ray.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Pose {
    sin: f64,
    cos: f64,
    /// Share of the tool's axis along the wheel's radius.
    lean: f64,
    /// `d² + lean²` and its reciprocal.
    square: f64,
    per_square: f64,
    /// Change of the distance from the wheel's plane along the ray.
    off_along: f64,
}

/// The poses of one wheel.
#[derive(Debug, Clone, PartialEq)]
pub struct Envelope {
    frame: RollFrame,
    along: DVec2,
    centre: DVec2,
    radius: f64,
    half_width: f64,
    offset: f64,
    rim: RimShape,
    poses: Vec<Pose>,
}

impl Envelope {
    /// Of `setting` through the roll angles `poses`, rising. `contact_offset_mm` is how far the contact
    /// lies off the wheel's middle: the wheel's mid-plane stands so far on the `+w` side of the plane the
    /// tool is held in.
    ///
    /// # Errors
    /// [`EnvelopeError`].
    pub fn new(
        setting: &Rolled,
        rim: RimShape,
        contact_offset_mm: f64,
        poses: impl IntoIterator<Item = Angle>,
    ) -> Result<Self, EnvelopeError> {
        let GrindingFace::Wheel { radius_mm, width_mm } = setting.abrasive else {
            return Err(EnvelopeError::NoWheel);
        };
        let surface = GroundSurface::rolled(setting).map_err(EnvelopeError::Ground)?;
        let centre = surface.wheel_centre_by_roll_line().ok_or(EnvelopeError::NoWheel)?;
        let half_width = width_mm / 2.0;
        let fits = match rim {
            RimShape::Flat => true,
            RimShape::RoundedCorners { radius_mm: corner } => {
                corner > 0.0 && corner <= half_width.min(radius_mm)
            }
            RimShape::Crowned { radius_mm: crown } => crown >= half_width && crown.is_finite(),
        };
        if !fits {
            return Err(EnvelopeError::Rim);
        }
        if !contact_offset_mm.is_finite() {
            return Err(EnvelopeError::Offset);
        }
        let frame = RollFrame::new(&setting.line, setting.turn);
        let along = frame.along;
        let mut list = Vec::new();
        let mut last = f64::NAN;
        for angle in poses {
            let rising = list.is_empty() || angle.radians() > last;
            if !angle.is_finite() || !rising || list.len() >= usize::from(NO_POSE) {
                return Err(EnvelopeError::Poses);
            }
            last = angle.radians();
            let (sin, cos) = angle.sin_cos();
            let lean = along.y * cos;
            let square = along.x * along.x + lean * lean;
            list.push(Pose {
                sin,
                cos,
                lean,
                square,
                per_square: 1.0 / square.max(1e-300),
                off_along: -along.y * sin,
            });
        }
        if list.is_empty() {
            return Err(EnvelopeError::Poses);
        }
        Ok(Self {
            frame,
            along,
            centre,
            radius: radius_mm,
            half_width,
            offset: contact_offset_mm,
            rim,
            poses: list,
        })
    }

    /// As [`Envelope::new`], in `count` even steps through the setting's own swing, contact at the middle
    /// of a flat rim.
    ///
    /// # Errors
    /// [`EnvelopeError`].
    pub fn of_swing(setting: &Rolled, count: u16) -> Result<Self, EnvelopeError> {
        let half = setting.swing.half();
        let steps = f64::from(count.max(2) - 1);
        let angles = (0..count).map(|i| half * (2.0 * f64::from(i) / steps - 1.0));
        Self::new(setting, RimShape::Flat, 0.0, angles)
    }

    /// Number of poses.
    #[must_use]
    pub fn poses(&self) -> usize {
        self.poses.len()
    }

    /// Where steel begins on each ray `(w, h)`, and the pose that left it, climbing from ray to ray:
    /// neighbours in the list should be neighbours in the section. `−∞` and [`NO_POSE`] where no wheel
    /// comes. As many rays are done as all three slices hold; nothing is allocated.
    pub fn fill(&self, rays: &[DVec2], starts_mm: &mut [f64], best: &mut [u16]) {
        match self.rim {
            RimShape::Flat => self.climb(rays, starts_mm, best, |ray, pose| self.flat_rim(ray, pose)),
            _ => self.climb(rays, starts_mm, best, |ray, pose| self.shaped_rim(ray, pose)),
        }
    }

    /// The same by trying every pose on every ray: the check of [`Envelope::fill`].
    pub fn fill_by_scan(&self, rays: &[DVec2], starts_mm: &mut [f64], best: &mut [u16]) {
        for ((place, start), best) in rays.iter().zip(starts_mm).zip(best) {
            let ray = self.ray(*place);
            (*start, *best) = match self.rim {
                RimShape::Flat => self.scan(|pose| self.flat_rim(&ray, pose).0),
                _ => self.scan(|pose| self.shaped_rim(&ray, pose).0),
            };
        }
    }

    #[inline]
    fn ray(&self, place: DVec2) -> Ray {
        let ray = self.frame.ray(place.x, place.y);
        Ray { start: ray.start - self.centre, b: ray.b }
    }

    #[cold]
    fn scan(&self, station: impl Fn(&Pose) -> f64) -> (f64, u16) {
        let mut found = (f64::NEG_INFINITY, NO_POSE);
        for (i, pose) in self.poses.iter().enumerate() {
            let s = station(pose);
            if s > found.0 {
                found = (s, i as u16);
            }
        }
        found
    }

    #[inline]
    fn climb(
        &self,
        rays: &[DVec2],
        starts_mm: &mut [f64],
        best: &mut [u16],
        station: impl Fn(&Ray, &Pose) -> (f64, f64),
    ) {
        let last = self.poses.len() - 1;
        let mut here = usize::MAX;
        for ((place, start), best) in rays.iter().zip(starts_mm).zip(best) {
            let ray = self.ray(*place);
            if here > last {
                here = usize::from(self.scan(|pose| station(&ray, pose).0).1);
                if here > last {
                    (*start, *best) = (f64::NEG_INFINITY, NO_POSE);
                    continue;
                }
            }
            let (mut s, off) = station(&ray, &self.poses[here]);
            if s == f64::NEG_INFINITY {
                let (found, pose) = self.scan(|pose| station(&ray, pose).0);
                (*start, *best) = (found, pose);
                here = if pose == NO_POSE { usize::MAX } else { usize::from(pose) };
                continue;
            }
            // `off` points to the better neighbour, where the ray leaves a rim that is highest at its middle; elsewhere the
            // other one may be the better. The climb ends where the next is no better.
            let up = off > 0.0;
            for up in [up, !up] {
                let from = here;
                while if up { here < last } else { here > 0 } {
                    let next = if up { here + 1 } else { here - 1 };
                    let (s_next, _) = station(&ray, &self.poses[next]);
                    if s_next <= s {
                        break;
                    }
                    (s, here) = (s_next, next);
                }
                if here != from {
                    break;
                }
            }
            if here == 0 || here == last {
                let other = last - here;
                let (s_other, _) = station(&ray, &self.poses[other]);
                if s_other > s {
                    (s, here) = (s_other, other);
                }
            }
            (*start, *best) = (s, here as u16);
        }
    }

    /// Greatest station of the ray inside a cylinder, and the distance from the wheel's plane there.
    #[inline]
    fn flat_rim(&self, ray: &Ray, pose: &Pose) -> (f64, f64) {
        let Self { along, centre, radius, half_width, offset, .. } = self;
        let a = ray.start.y + centre.y;
        let p = a * pose.cos + ray.b * pose.sin - centre.y;
        let cross = ray.start.x * along.x + p * pose.lean;
        let rest = ray.start.x * ray.start.x + p * p - radius * radius;
        let under = cross * cross - pose.square * rest;
        let off_start = ray.b * pose.cos - a * pose.sin;
        if under >= 0.0 && pose.square > 1e-12 {
            let root = under.sqrt();
            let high = (root - cross) * pose.per_square;
            let off = off_start + pose.off_along * high;
            if (off - offset).abs() <= *half_width {
                return (high, off);
            }
            let low = -(root + cross) * pose.per_square;
            return self.clipped(low, high, off_start, pose.off_along);
        }
        if pose.square <= 1e-12 && rest <= 0.0 {
            return self.clipped(-1e5, 1e5, off_start, pose.off_along);
        }
        (f64::NEG_INFINITY, off_start)
    }

    /// The wheel's sides.
    #[cold]
    fn clipped(&self, low: f64, high: f64, off_start: f64, off_along: f64) -> (f64, f64) {
        let Some((side_low, side_high)) = self.slab(off_start, off_along) else {
            return (f64::NEG_INFINITY, off_start);
        };
        let high = high.min(side_high);
        if low.max(side_low) <= high {
            (high, off_start + off_along * high)
        } else {
            (f64::NEG_INFINITY, off_start)
        }
    }

    fn slab(&self, off_start: f64, off_along: f64) -> Option<(f64, f64)> {
        let off_start = off_start - self.offset;
        if off_along.abs() < 1e-12 {
            return (off_start.abs() <= self.half_width).then_some((-1e5, 1e5));
        }
        let one = (-self.half_width - off_start) / off_along;
        let other = (self.half_width - off_start) / off_along;
        Some((one.min(other), one.max(other)))
    }

    /// Radius of the rim and its slope at a distance `z` from mid-width.
    fn rim_radius(&self, z: f64) -> (f64, f64) {
        match self.rim {
            RimShape::Flat => (self.radius, 0.0),
            RimShape::RoundedCorners { radius_mm } => {
                let into = (z.abs() - (self.half_width - radius_mm)).clamp(0.0, radius_mm * (1.0 - 1e-12));
                let root = (radius_mm * radius_mm - into * into).sqrt();
                (self.radius - radius_mm + root, -into / root * z.signum())
            }
            RimShape::Crowned { radius_mm } => {
                let z = z.clamp(-radius_mm * (1.0 - 1e-12), radius_mm * (1.0 - 1e-12));
                let root = (radius_mm * radius_mm - z * z).sqrt();
                (self.radius - radius_mm + root, -z / root)
            }
        }
    }

    /// As [`Self::flat_rim`] for a rim that is rounded or crowned. Distance from the wheel's axis less the
    /// rim's radius there is convex along the ray, since the body is convex; Newton's step from beyond the
    /// plain cylinder never passes the root.
    fn shaped_rim(&self, ray: &Ray, pose: &Pose) -> (f64, f64) {
        let (outer, off) = self.flat_rim(ray, pose);
        if outer == f64::NEG_INFINITY {
            return (outer, off);
        }
        let a = ray.start.y + self.centre.y;
        let p_start = a * pose.cos + ray.b * pose.sin - self.centre.y;
        let off_start = ray.b * pose.cos - a * pose.sin;
        let mut s = outer;
        for _ in 0..200 {
            let (u, p) = (ray.start.x + self.along.x * s, p_start + pose.lean * s);
            let distance = u.hypot(p).max(1e-12);
            let off = off_start + pose.off_along * s;
            // Out through the wheel's side: the ray passes the rim by.
            if (off - self.offset).abs() > self.half_width * (1.0 + 1e-9) {
                return (f64::NEG_INFINITY, off);
            }
            let (rim, slope) = self.rim_radius(off - self.offset);
            let gap = distance - rim;
            let rise = (u * self.along.x + p * pose.lean) / distance - slope * pose.off_along;
            if gap <= 1e-12 {
                return (s, off);
            }
            if !(rise > 0.0) {
                return (f64::NEG_INFINITY, off);
            }
            let step = gap / rise;
            s -= step;
            if step < 1e-12 {
                return (s, off_start + pose.off_along * s);
            }
        }
        (s, off_start + pose.off_along * s)
    }
}
