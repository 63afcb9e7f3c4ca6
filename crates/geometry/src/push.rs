//! A straight push across the wheel: the wheel's circle moved along the edge instead of turned.
//!
//! With `x` from the edge towards the handle in the plane of the wheel, the surface is
//! `(x − x_C)² + (h − h_C)² = R²` at every place along the edge.

use glam::{DVec2, DVec3};

use crate::ground::{GroundBy, Hit, Rim};

/// The profile of what is pushed across.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum PushProfile {
    Circle { centre: DVec2, radius: f64 },
    Line { normal: DVec2, offset: f64 },
}

/// A pushed profile. `x = s·per_s − w·per_w`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Push {
    pub(crate) profile: PushProfile,
    pub(crate) per_s: f64,
    pub(crate) per_w: f64,
    /// Direction of the wheel's plane in the tool, level with the axis.
    pub(crate) level: DVec3,
}

impl Push {
    pub(crate) fn start(&self, w: f64, h: f64) -> Option<Hit> {
        let x = match self.profile {
            PushProfile::Circle { centre, radius } => {
                let under = radius * radius - (h - centre.y).powi(2);
                if under < 0.0 {
                    return None;
                }
                centre.x + under.sqrt()
            }
            PushProfile::Line { normal, offset } => {
                // Level with the face nothing is cut; a face turned towards the handle removes everything.
                if normal.x <= 1e-12 {
                    return None;
                }
                (offset - normal.y * h) / normal.x
            }
        };
        Some(Hit { s_mm: (x + w * self.per_w) / self.per_s, face: GroundBy::Sweep })
    }

    /// In the section at `station`, from `wall` (in steel) along the unit direction `inward`: the way to the first place
    /// that is ground away, if that is nearer than `through`. `None` where the way runs past the far side of the wheel,
    /// which is left to a search.
    pub(crate) fn first_gone(&self, station: f64, wall: DVec2, inward: DVec2, through: f64) -> Option<f64> {
        // In the plane of the wheel, along the way.
        let start = DVec2::new(station * self.per_s - wall.x * self.per_w, wall.y);
        let run = DVec2::new(-inward.x * self.per_w, inward.y);
        match self.profile {
            PushProfile::Circle { centre, radius } => {
                let leg = start - centre;
                if leg.x < 0.0 || leg.x + through * run.x < 0.0 {
                    return None;
                }
                // All of the way lies on the handle's side of the wheel's centre: gone is what lies inside the wheel.
                let (square, cross) = (run.length_squared(), leg.dot(run));
                let under = cross * cross - square * (leg.length_squared() - radius * radius);
                if under < 0.0 || square < 1e-24 {
                    return Some(through);
                }
                let (near, far) = ((-cross - under.sqrt()) / square, (under.sqrt() - cross) / square);
                Some(if far < 0.0 || near > through { through } else { near.max(0.0) })
            }
            PushProfile::Line { normal, offset } => {
                if normal.x <= 1e-12 {
                    return Some(through);
                }
                let (ahead, rise) = (normal.dot(start) - offset, normal.dot(run));
                Some(if rise < 0.0 { (-ahead / rise).clamp(0.0, through) } else { through })
            }
        }
    }

    fn outward(&self, point: DVec3) -> DVec2 {
        match self.profile {
            PushProfile::Circle { centre, radius } => {
                (DVec2::new(point.x * self.per_s - point.z * self.per_w, point.y) - centre) / radius
            }
            PushProfile::Line { normal, .. } => normal,
        }
    }

    pub(crate) fn value(&self, point: DVec3) -> f64 {
        let x = DVec2::new(point.x * self.per_s - point.z * self.per_w, point.y);
        match self.profile {
            PushProfile::Circle { centre, radius } => x.distance_squared(centre) - radius * radius,
            PushProfile::Line { normal, offset } => normal.dot(x) - offset,
        }
    }

    pub(crate) fn normal(&self, point: DVec3) -> DVec3 {
        let n = self.outward(point);
        -DVec3::new(n.x * self.per_s, n.y, -n.x * self.per_w).normalize_or_zero()
    }

    pub(crate) fn rim(&self, point: DVec3) -> Rim {
        let n = self.outward(point);
        let lift = |v: DVec2| v.x * self.level + DVec3::new(0.0, v.y, 0.0);
        Rim {
            radial: lift(n),
            tangent: lift(n.perp()),
            radius_mm: match self.profile {
                PushProfile::Circle { radius, .. } => Some(radius),
                PushProfile::Line { .. } => None,
            },
        }
    }
}
