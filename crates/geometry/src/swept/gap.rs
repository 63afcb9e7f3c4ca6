//! How far one ground surface stands off another: along a line, to the first place where steel begins or ends.

use glam::DVec3;

use crate::swept::ground::GroundSurface;

/// Gaps that are no longer read as such, in millimetres.
const MOST_MM: f64 = 60.0;
/// How closely the surface is met, in millimetres.
const CLOSE_MM: f64 = 1e-6;
/// Most steps of one search.
const MOST_STEPS: usize = 48;

/// A place on the line: the way to it and how far it lies in front of the steel there, in millimetres.
type Tried = (f64, f64);

impl GroundSurface {
    /// The way from a point `(s, h, w)` along a direction to this surface, in millimetres; negative against the
    /// direction. With the normal of another surface at a point of that (out of the steel) it is the gap between the
    /// two, positive where this one stands proud of the other and negative where it is ground deeper.
    ///
    /// `None` where the wheel never comes, beyond 60 mm, and for numbers that are none.
    #[must_use]
    pub fn way_to(&self, point_in_tool: DVec3, direction: DVec3) -> Option<f64> {
        if !(point_in_tool.is_finite() && direction.is_finite()) {
            return None;
        }
        // Positive in front of the steel, negative inside it. The station found last is near the next.
        let mut near = point_in_tool.x;
        let mut ahead = |way: f64| -> Option<f64> {
            let place = point_in_tool + way * direction;
            near = self.start_of_steel_near(place.z, place.y, near)?.s_mm;
            Some(near - place.x)
        };
        // Between nearly parallel surfaces a step along the axis is so much longer than one square to them.
        let lean = direction.x.abs().max(0.02);
        let (mut inside, mut outside): (Option<Tried>, Option<Tried>) = (None, None);
        let mut way = 0.0;
        for step in 0..MOST_STEPS {
            let here = ahead(way)?;
            if here.abs() * lean < CLOSE_MM {
                return Some(way);
            }
            if here < 0.0 {
                inside = Some((way, here));
            } else {
                outside = Some((way, here));
            }
            way = match (inside, outside) {
                (Some(low), Some(high)) => {
                    // A step left by a wheel's side is met at a jump.
                    if (high.0 - low.0).abs() < CLOSE_MM {
                        return Some(f64::midpoint(low.0, high.0));
                    }
                    if step % 3 == 2 {
                        f64::midpoint(low.0, high.0)
                    } else {
                        (low.0 * high.1 - high.0 * low.1) / (high.1 - low.1)
                    }
                }
                _ => way - here * lean * if step == 0 { 1.0 } else { 1.3 },
            };
            // A NaN is not within it either.
            if !(-MOST_MM..=MOST_MM).contains(&way) {
                return None;
            }
        }
        None
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]
mod tests {
    use glam::DVec2;

    use super::*;
    use crate::{
        math::angle::Angle,
        parts::oblique::Presentation,
        swept::{
            ground::{GrindingFace, Pushed, Rolled},
            roll::{RollLine, Swing},
        },
    };

    fn rolled(bevel: f64, radius_mm: f64) -> GroundSurface {
        GroundSurface::rolled(&Rolled {
            line: RollLine::through(DVec2::new(139.5, -49.5), 0.0).unwrap(),
            bevel: Angle::from_degrees(bevel),
            edge_height_mm: -4.0,
            abrasive: GrindingFace::Wheel { radius_mm, width_mm: 40.0 },
            swing: Swing::ASSUMED,
            turn: Angle::ZERO,
        })
        .unwrap()
    }

    fn plane(bevel: f64) -> GroundSurface {
        GroundSurface::pushed(&Pushed {
            bevel: Angle::from_degrees(bevel),
            edge_height_mm: 2.0,
            abrasive: GrindingFace::Flat { width_mm: 40.0 },
            obliquity: Angle::QUARTER,
            presentation: Presentation::EdgeParallelToSpindle,
        })
        .unwrap()
    }

    fn points(surface: &GroundSurface) -> Vec<(DVec3, DVec3)> {
        let mut all = Vec::new();
        for (w, h) in [(0.0, -4.0), (0.0, -6.5), (2.0, -4.5), (-3.0, -3.0), (4.5, 1.0), (5.5, 3.0)] {
            let hit = surface.start_of_steel(w, h).unwrap();
            let point = DVec3::new(hit.s_mm, h, w);
            all.push((point, surface.normal_at(point, hit.face)));
        }
        all
    }

    #[test]
    fn the_gap_of_a_surface_to_itself_is_zero() {
        let surface = rolled(45.0, 75.0);
        for (point, normal) in points(&surface) {
            assert!(surface.way_to(point, normal).unwrap().abs() < 1e-6);
        }
    }

    // Derived here: two planes through one edge, their slopes apart by δ: at a way r down the first, the second lies
    // r·tan δ off it, square to the first.
    #[test]
    fn two_planes_through_one_edge_part_by_the_tangent_of_their_angle() {
        let (one, other) = (plane(45.0), plane(40.0));
        let normal = DVec3::new(-45.0_f64.to_radians().sin(), -45.0_f64.to_radians().cos(), 0.0);
        for down in [0.5_f64, 2.0, 5.0] {
            let reach = down / 45.0_f64.to_radians().sin();
            let point = DVec3::new(down / 45.0_f64.to_radians().tan(), 2.0 - down, 1.0);
            let gap = other.way_to(point, normal).unwrap();
            // The keener one is ground deeper.
            assert!((gap + reach * 5.0_f64.to_radians().tan()).abs() < 1e-6, "{gap}");
            let back = one.way_to(point + normal * 0.3, normal).unwrap();
            assert!((back + 0.3).abs() < 1e-6, "{back}");
        }
    }

    // Derived here: in the plane of symmetry a rolled grind leaves the wheel's own circle through the nose, so that the gap
    // is where a ray from one circle meets another.
    #[test]
    fn in_the_middle_the_gap_is_that_of_two_circles() {
        let circle = |bevel: f64, radius: f64| {
            let beta = bevel.to_radians();
            (DVec2::new(-radius * beta.sin(), -4.0 - radius * beta.cos()), radius)
        };
        for (to_bevel, to_radius) in [(38.0, 60.0), (52.0, 75.0), (45.5, 100.0)] {
            let (one, other) = (rolled(45.0, 75.0), rolled(to_bevel, to_radius));
            let ((centre, _), (to_centre, radius)) = (circle(45.0, 75.0), circle(to_bevel, to_radius));
            for h in [-4.0, -5.0, -6.5, -8.0] {
                let hit = one.start_of_steel(0.0, h).unwrap();
                let point = DVec2::new(hit.s_mm, h);
                let normal = (centre - point).normalize();
                // |point + t·normal − to_centre| = radius, the root next to the point.
                let from = point - to_centre;
                let along = from.dot(normal);
                let root = (along * along - from.length_squared() + radius * radius).sqrt();
                let expected = -along - root;
                let expected = if (-along + root).abs() < expected.abs() { -along + root } else { expected };
                let in_tool = DVec3::new(point.x, point.y, 0.0);
                let gap = other.way_to(in_tool, DVec3::new(normal.x, normal.y, 0.0)).unwrap();
                assert!((gap - expected).abs() < 1e-5, "{to_bevel} {h}: {gap} {expected}");
            }
        }
    }

    // The full sweep of a wheel's rim is where formula (3) is zero: its value at the place found must be.
    #[test]
    fn the_place_that_is_found_lies_on_the_other_surface() {
        let (one, other) = (rolled(45.0, 75.0), rolled(38.0, 60.0));
        let mut looked_at = 0;
        for (point, normal) in points(&one) {
            let gap = other.way_to(point, normal).unwrap();
            let place = point + gap * normal;
            let hit = other.start_of_steel(place.z, place.y).unwrap();
            assert!((hit.s_mm - place.x).abs() < 1e-4, "{gap}");
            if hit.face == crate::swept::hit::GroundBy::Sweep {
                looked_at += 1;
                // In square millimetres: twice the radius for each millimetre off.
                assert!(other.implicit_value(place).abs() < 2.0 * 60.0 * 1e-4, "{gap}");
            }
        }
        assert!(looked_at >= 4, "{looked_at}");
    }

    #[test]
    fn non_finite_points_have_no_gap() {
        let surface = rolled(45.0, 75.0);
        assert!(surface.way_to(DVec3::NAN, DVec3::X).is_none());
        assert!(surface.way_to(DVec3::ZERO, DVec3::splat(f64::INFINITY)).is_none());
        assert!(surface.way_to(DVec3::new(1e9, 0.0, 0.0), DVec3::NEG_X).is_none());
    }
}
