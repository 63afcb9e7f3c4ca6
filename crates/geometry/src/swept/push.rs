//! A straight push across the wheel: the wheel's circle moved along the edge instead of turned.
//!
//! With `x` from the edge towards the handle in the plane of the wheel, the surface is
//! `(x − x_C)² + (h − h_C)² = R²` at every place along the edge.

use glam::{DVec2, DVec3};

use crate::swept::hit::{FirstGone, GroundBy, Hit, Rim};

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

    /// In the section at `station`, from `wall` (in steel) along the unit direction `inward`: the first place that is
    /// ground away nearer than `through`. A way past the far side of the wheel is left to a search.
    pub(crate) fn first_gone(&self, station: f64, wall: DVec2, inward: DVec2, through: f64) -> FirstGone {
        // In the plane of the wheel, along the way.
        let start = DVec2::new(station * self.per_s - wall.x * self.per_w, wall.y);
        let run = DVec2::new(-inward.x * self.per_w, inward.y);
        match self.profile {
            PushProfile::Circle { centre, radius } => {
                let leg = start - centre;
                if leg.x < 0.0 || leg.x + through * run.x < 0.0 {
                    return FirstGone::Unknown;
                }
                // All of the way lies on the handle's side of the wheel's centre: gone is what lies inside the wheel.
                let (square, cross) = (run.length_squared(), leg.dot(run));
                let under = cross * cross - square * (leg.length_squared() - radius * radius);
                if under < 0.0 || square < 1e-24 {
                    return FirstGone::Nowhere;
                }
                let (near, far) = ((-cross - under.sqrt()) / square, (under.sqrt() - cross) / square);
                if far < 0.0 { FirstGone::Nowhere } else { FirstGone::before(through, near.max(0.0)) }
            }
            PushProfile::Line { normal, offset } => {
                if normal.x <= 1e-12 {
                    return FirstGone::Nowhere;
                }
                let (ahead, rise) = (normal.dot(start) - offset, normal.dot(run));
                if rise < 0.0 {
                    FirstGone::before(through, (-ahead / rise).max(0.0))
                } else {
                    FirstGone::Nowhere
                }
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

#[cfg(test)]
mod tests {
    use super::*;

    /// The fractional part of a multiple: numbers spread evenly, the same each time.
    fn spread(i: u32, step: f64, low: f64, high: f64) -> f64 {
        low + (high - low) * (f64::from(i) * step).fract()
    }

    /// Derived here: at a station a place is gone if steel begins behind it on its own ray. Many places are asked along
    /// the way; round and flat stones, square edges and oblique ones, walls leaning either way.
    #[test]
    fn the_first_place_gone_in_a_section_is_the_first_where_steel_begins_behind_it() {
        let (mut short, mut whole, mut left_to_a_search) = (0, 0, 0);
        for i in 0..6000 {
            let oblique = if i % 4 == 0 { 0.0 } else { spread(i, 0.618_034, -1.0, 1.0) };
            let bevel = spread(i, 0.414_214, 0.3, 2.9);
            let normal = DVec2::new(bevel.sin(), bevel.cos());
            let nose = DVec2::new(0.0, 2.0);
            let radius = spread(i, 0.732_051, 3.0, 60.0);
            let push = Push {
                profile: if i % 3 == 0 {
                    PushProfile::Line { normal, offset: normal.dot(nose) }
                } else {
                    PushProfile::Circle { centre: nose - radius * normal, radius }
                },
                per_s: if i % 2 == 0 { 1.0 } else { spread(i, 0.236_068, 0.4, 1.0) },
                per_w: oblique,
                level: DVec3::X,
            };
            let wall = DVec2::new(spread(i, 0.162_278, -9.0, 9.0), spread(i, 0.872_983, 0.0, 2.0));
            let start = push.start(wall.x, wall.y).map_or(0.0, |hit| hit.s_mm);
            let station = start + spread(i, 0.316_625, 0.1, 6.0);
            let inward = match i % 5 {
                0 => DVec2::X,
                1 => DVec2::NEG_Y,
                _ => DVec2::from_angle(spread(i, 0.123_106, -3.2, 0.1)),
            };
            let through = spread(i, 0.549_834, 0.5, 12.0);
            let told = push.first_gone(station, wall, inward, through);
            let Some(first) = told.within(through) else {
                left_to_a_search += 1;
                assert_eq!(told, FirstGone::Unknown);
                continue;
            };
            let stated = format!("{push:?} {station} {wall} {inward} {through}: {told:?}");
            assert_eq!(told == FirstGone::Nowhere, first >= through, "{stated}");
            let standing = |t: f64| {
                let p = wall + t * inward;
                push.start(p.x, p.y).is_none_or(|hit| hit.s_mm <= station)
            };
            assert!((0.0..=through).contains(&first), "{stated}");
            for k in 0..=300 {
                let t = through * f64::from(k) / 300.0;
                assert!(t > first - 1e-6 || standing(t), "{stated}: gone at {t}");
            }
            if first < through {
                short += 1;
                assert!(!standing(first + 1e-7), "{stated}: not gone");
            } else {
                whole += 1;
            }
        }
        assert!(short > 1000 && whole > 1000 && left_to_a_search > 10, "{short} {whole} {left_to_a_search}");
    }
}
