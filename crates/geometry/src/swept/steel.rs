//! The steel under one ground face, seen along the tool's axis: an upper face, an outside, and a smooth
//! patch between them.
//!
//! Section frame `(w, h)`, millimetres. The patch has the coordinates `t` from −1 to 1 along the upper face
//! and `v` from 0 at the upper face to 1 at the outside. For a deep flute it is polar about the point level
//! with the wing tops: every ray from there meets the (convex) wall once and the outline once, so the patch
//! never folds. For a shallow one its rulings run from the wall to the outline, evenly in the outline's
//! angle.

use glam::DVec2;

use crate::parts::{
    blank::{Bar, Blank, FlatStock, Section},
    flute::{Flute, FluteShape},
};

/// Depth of a flute over its half width above which the polar patch is used.
const DEEP: f64 = 0.35;

/// A section of steel: what is below the upper face and inside the outside.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Steel {
    upper: Upper,
    outside: Outside,
}

#[derive(Debug, Clone, Copy, PartialEq)]
enum Upper {
    Flute(Flute),
    Level { height: f64, half_width: f64 },
}

#[derive(Debug, Clone, Copy, PartialEq)]
enum Outside {
    Bar { radius: f64, top: f64 },
    Slab { half_width: f64, half_thickness: f64, section: Section },
}

/// A place of the patch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Ruling {
    /// On the upper face.
    pub(crate) wall: DVec2,
    /// On the outside.
    pub(crate) outline: DVec2,
    /// Area element: `scale·(near + v·(far − near))`.
    scale: f64,
    near: f64,
    far: f64,
}

impl Ruling {
    pub(crate) fn at(&self, v: f64) -> DVec2 {
        self.wall + v * (self.outline - self.wall)
    }

    /// `dA/(dt dv)`, mm².
    pub(crate) fn area(&self, v: f64) -> f64 {
        self.scale * (self.near + v * (self.far - self.near))
    }
}

impl Steel {
    /// Of a gouge.
    #[must_use]
    pub fn of_bar(bar: &Bar) -> Self {
        Self {
            upper: Upper::Flute(*bar.flute()),
            outside: Outside::Bar { radius: bar.radius_mm(), top: bar.top_mm() },
        }
    }

    /// Of flat stock: the part below its edge. The other ground face of a skew or parting tool has the
    /// mirror image.
    #[must_use]
    pub fn of_flat(stock: &FlatStock) -> Self {
        Self {
            upper: Upper::Level {
                height: Blank::Flat(*stock).edge_height_mm(),
                half_width: stock.width_mm() / 2.0,
            },
            outside: Outside::Slab {
                half_width: stock.width_mm() / 2.0,
                half_thickness: stock.thickness_mm() / 2.0,
                section: stock.section(),
            },
        }
    }

    /// Half the width of the upper face, in millimetres: where the wing tops or the blade's sides are.
    #[must_use]
    pub fn half_width_mm(&self) -> f64 {
        match self.upper {
            Upper::Flute(flute) => flute.wing_top().x,
            Upper::Level { half_width, .. } => half_width,
        }
    }

    /// The flute, if it is a gouge.
    #[must_use]
    pub fn flute(&self) -> Option<&Flute> {
        match &self.upper {
            Upper::Flute(flute) => Some(flute),
            Upper::Level { .. } => None,
        }
    }

    /// The point of the upper face at `t` from −1 to 1: on a blade evenly across, in a circular flute evenly in its
    /// angle, in any other `w = half width · sin(90° t)`, so that steep walls get enough points.
    #[must_use]
    pub fn wall_at(&self, t: f64) -> DVec2 {
        self.wall_and_derivative(t).0
    }

    /// Unit normal of the upper face at `w`, out of the steel, `(w, h)`.
    #[must_use]
    pub fn wall_normal_at(&self, w_mm: f64) -> DVec2 {
        match &self.upper {
            Upper::Flute(flute) => flute.normal_at(w_mm),
            Upper::Level { .. } => DVec2::Y,
        }
    }

    /// Height of the upper face at `w`, in millimetres.
    #[must_use]
    pub fn wall_height_at(&self, w_mm: f64) -> f64 {
        match &self.upper {
            Upper::Flute(flute) => flute.height_at(w_mm),
            Upper::Level { height, .. } => *height,
        }
    }

    #[inline]
    fn wall_and_derivative(&self, t: f64) -> (DVec2, DVec2) {
        match &self.upper {
            Upper::Flute(flute) => {
                let top = flute.wing_top();
                if let FluteShape::Circle { radius_mm } = flute.shape() {
                    let open = (top.x / radius_mm).min(1.0).asin();
                    let (sin, cos) = (t * open).sin_cos();
                    let rise = radius_mm * sin * sin / (1.0 + cos);
                    return (
                        DVec2::new(radius_mm * sin, flute.floor_mm() + rise),
                        DVec2::new(cos, sin) * radius_mm * open,
                    );
                }
                let (sin, cos) = (t * std::f64::consts::FRAC_PI_2).sin_cos();
                let w = top.x * sin;
                let along = top.x * cos * std::f64::consts::FRAC_PI_2;
                (DVec2::new(w, flute.height_at(w)), DVec2::new(along, flute.slope_at(w) * along))
            }
            Upper::Level { height, half_width } => {
                (DVec2::new(half_width * t, *height), DVec2::new(*half_width, 0.0))
            }
        }
    }

    /// Unit normal of the outside at a place of it, out of the steel, `(w, h)`.
    pub(crate) fn outline_normal_at(&self, place: DVec2) -> DVec2 {
        match self.outside {
            Outside::Bar { .. } => place.normalize_or(DVec2::NEG_Y),
            Outside::Slab { half_width, half_thickness, section } => {
                let step = 1e-4 * half_width;
                let half = |w: f64| Self::slab_half(half_width, half_thickness, section, w);
                let (left, right) = ((place.x - step).max(-half_width), (place.x + step).min(half_width));
                let slope = (half(right) - half(left)) / (right - left);
                DVec2::new(-slope, -1.0).normalize_or(DVec2::NEG_Y)
            }
        }
    }

    /// Half the thickness of a slab at `w`.
    fn slab_half(half_width: f64, half_thickness: f64, section: Section, w: f64) -> f64 {
        let w = w.abs().min(half_width);
        match section {
            Section::Rectangular => half_thickness,
            Section::Rolled => {
                let round = half_thickness.min(half_width);
                let in_round = (w - (half_width - round)).max(0.0);
                half_thickness * ((1.0 - (in_round / round).powi(2)).max(0.0)).sqrt()
            }
            Section::Oval => half_thickness * ((1.0 - (w / half_width).powi(2)).max(0.0)).sqrt(),
        }
    }

    /// The ruling of the patch at `t`.
    #[inline]
    pub(crate) fn ruling(&self, t: f64) -> Ruling {
        let (wall, wall_t) = self.wall_and_derivative(t);
        match (&self.upper, self.outside) {
            (Upper::Flute(flute), Outside::Bar { radius, top }) => {
                let wing = flute.wing_top();
                if wing.y - flute.floor_mm() > DEEP * wing.x {
                    let pole = DVec2::new(0.0, wing.y);
                    let leg = wall - pole;
                    let near = leg.length();
                    let unit = leg / near;
                    let lean = pole.dot(unit);
                    let far = ((radius * radius - pole.length_squared() + lean * lean).max(0.0).sqrt()
                        - lean)
                        .max(near);
                    let turn = leg.perp_dot(wall_t) / (near * near);
                    Ruling { wall, outline: pole + far * unit, scale: (far - near) * turn, near, far }
                } else {
                    // A cut-off top leaves a land between the wall and the outline's end.
                    let end = if wing.length() > radius * (1.0 - 1e-9) {
                        wing.x.atan2(-wing.y)
                    } else {
                        (radius * radius - top * top).max(0.0).sqrt().atan2(-top)
                    };
                    let (sin, cos) = (t * end).sin_cos();
                    let outline = radius * DVec2::new(sin, -cos);
                    let outline_t = radius * end * DVec2::new(cos, sin);
                    let across = outline - wall;
                    Ruling {
                        wall,
                        outline,
                        scale: 1.0,
                        near: across.perp_dot(wall_t),
                        far: across.perp_dot(outline_t),
                    }
                }
            }
            (Upper::Flute(_), Outside::Slab { .. }) => {
                Ruling { wall, outline: wall, scale: 0.0, near: 0.0, far: 0.0 }
            }
            (Upper::Level { .. }, outside) => {
                let bottom = match outside {
                    Outside::Slab { half_width, half_thickness, section } => {
                        -Self::slab_half(half_width, half_thickness, section, wall.x)
                    }
                    Outside::Bar { radius, .. } => -(radius * radius - wall.x * wall.x).max(0.0).sqrt(),
                };
                let upper = wall.y.min(-bottom);
                let wall = DVec2::new(wall.x, upper.max(bottom));
                let thick = wall.y - bottom;
                Ruling { wall, outline: DVec2::new(wall.x, bottom), scale: wall_t.x, near: thick, far: thick }
            }
        }
    }

    /// A distance that can be walked from `point` (inside or on the outside) in direction `along` without
    /// leaving the steel's outside, when the path bends no more than `bend` (per mm) on the way; the exact
    /// way out for a straight path out of a bar. `along` is the projection of a unit vector into the
    /// section, `bend_up` bounds the bend in height alone; no more than `limit` is walked, and the smaller
    /// it is the sharper the bound.
    #[inline]
    pub(crate) fn room(&self, point: DVec2, along: DVec2, bend: f64, bend_up: f64, limit: f64) -> f64 {
        match self.outside {
            Outside::Bar { radius, top } => {
                let round = to_ellipse(point, along, DVec2::splat(radius), DVec2::splat(bend), limit);
                if top < radius { round.min(to_plane(point.y - top, along.y, bend_up)) } else { round }
            }
            Outside::Slab { half_width, half_thickness, section } => {
                let sides = to_plane(point.x - half_width, along.x, bend).min(to_plane(
                    -half_width - point.x,
                    -along.x,
                    bend,
                ));
                let below = |floor: f64| sides.min(to_plane(floor - point.y, -along.y, bend_up));
                let round = match section {
                    Section::Rectangular => return below(-half_thickness),
                    Section::Rolled => half_thickness.min(half_width),
                    Section::Oval => half_width,
                };
                // Convex parts that together are the steel's side of the outline: what is above the middle,
                // the flat between the rounds, the round of either side. The way out of one that holds the
                // point is no longer than the way out of all.
                let flat = half_width - round;
                let above = if point.y >= 0.0 { below(0.0) } else { 0.0 };
                let between = if point.x.abs() <= flat && point.y >= -half_thickness {
                    to_plane(point.x - flat, along.x, bend)
                        .min(to_plane(-flat - point.x, -along.x, bend))
                        .min(below(-half_thickness))
                } else {
                    0.0
                };
                let rounds = [1.0, -1.0].map(|side| {
                    let from_middle = point - DVec2::new(side * flat, 0.0);
                    let axes = DVec2::new(round, half_thickness);
                    if (from_middle / axes).length_squared() > 1.0 + 1e-9 {
                        return 0.0;
                    }
                    to_ellipse(from_middle, along, axes, DVec2::new(bend, bend_up), limit)
                });
                above.max(between).max(rounds[0]).max(rounds[1])
            }
        }
    }

    /// Straight way from `point` in unit direction `along` to the outside, in millimetres.
    pub(crate) fn way_out(&self, point: DVec2, along: DVec2) -> f64 {
        let (mut here, mut walked) = (point, 0.0);
        for _ in 0..64 {
            let room = self.room(here, along, 0.0, 0.0, f64::INFINITY);
            if !room.is_finite() || room <= 1e-9 {
                break;
            }
            walked += room;
            here = point + walked * along;
        }
        walked
    }
}

/// A way that stays on this side of a plane `-gap` ahead: `gap + speed t + bend t²/2 = 0`, `gap ≤ 0`.
fn to_plane(gap: f64, speed: f64, bend: f64) -> f64 {
    let gap = gap.min(0.0);
    if bend > 0.0 {
        let root = (speed * speed - 2.0 * bend * gap).sqrt();
        if speed > 0.0 { -2.0 * gap / (speed + root) } else { (root - speed) / bend }
    } else if speed > 0.0 {
        -gap / speed
    } else {
        f64::INFINITY
    }
}

/// A way that stays inside an ellipse about the origin, with such half axes, of a path that bends so much along either
/// of them. From outside it is as from the outline. No more than `limit` is asked for.
#[inline]
fn to_ellipse(point: DVec2, along: DVec2, axes: DVec2, bend: DVec2, limit: f64) -> f64 {
    // As a unit circle, in which the path is no longer walked at unit speed.
    let (point, along, bend) = (point / axes, along / axes, (bend / axes).length());
    let gap = (point.length_squared() - 1.0).min(0.0);
    let speed = point.dot(along);
    // Half the second derivative of the squared distance from the middle. A unit vector that turns on the way shows at
    // most so much of itself.
    let half = if bend > 0.0 {
        let fastest = (along.length() + limit * bend).min(axes.min_element().recip());
        fastest * fastest + bend
    } else {
        along.length_squared()
    };
    let root = (speed * speed - half * gap).sqrt();
    if speed > 0.0 { -gap / (speed + root) } else { (root - speed) / half }.min(limit)
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]
mod tests;
