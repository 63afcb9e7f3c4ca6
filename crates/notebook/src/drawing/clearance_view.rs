//! What comes near to what, drawn: from the side and from the operator's place, with the tool as far rolled as it is where
//! the gap is least, and the gap marked.

use bevelbench_geometry::{
    DVec2, DVec3,
    math::Angle,
    space::{Body, Clearance, Guard, Obstacle, Solid, Surroundings, SwingAt},
};

use crate::{
    drawing::shape::{Align, Bounds, Drawing, Geometry, Mark, Role, TextSize},
    saved::part::Part,
};

/// From where a bench is looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SeenFrom {
    /// Along the spindle: `x` to the right, `z` up.
    Side,
    /// From the operator's place: along the spindle to the right, `z` up.
    Front,
}

impl SeenFrom {
    fn of(self, point: DVec3) -> DVec2 {
        match self {
            Self::Side => DVec2::new(point.x, point.z),
            // The operator looks against x: with z up, −y lies to the right.
            Self::Front => DVec2::new(-point.y, point.z),
        }
    }
}

/// Points around a rod's round ends.
const ROUND: u32 = 24;

/// The solids as the tool is moved so far, as outlines; what stands still is drawn with them. The bench is left to the
/// side view.
#[must_use]
pub fn solids_view(all: &Surroundings, at: SwingAt, from: SeenFrom, guard: Option<&Guard>) -> Drawing {
    let mut d = Drawing::new();
    if from == SeenFrom::Front {
        for (what, pieces) in all.obstacles() {
            if *what != Obstacle::Wheel {
                continue;
            }
            for piece in pieces {
                add_solid(&mut d, Role::Wheel, Some(Part::Rim), piece, from);
            }
        }
        for (body, solid) in all.still() {
            add_solid(&mut d, role_of(*body), None, solid, from);
        }
    } else if let Some(guard) = guard {
        let [open_from, open_to] = guard.open();
        let sweep = Angle::HALF * 2.0 - (open_to - open_from);
        let arc = Geometry::Arc { centre: [0.0, 0.0], radius: guard.radius_mm(), start: open_to, sweep };
        d.add(Role::TablePost, None, arc);
    }
    for (body, solid) in all.moving_at(place_of(at)) {
        add_solid(&mut d, role_of(body), None, &solid, from);
    }
    d
}

/// A gap drawn: the two nearest points, the line between them and its length.
#[must_use]
pub fn gap_view(clearance: &Clearance, from: SeenFrom, text: String) -> Drawing {
    let mut d = Drawing::new();
    let (a, b) = (from.of(clearance.on_body_in_bench), from.of(clearance.on_obstacle_in_bench));
    let point = |p: DVec2| [p.x, p.y];
    d.add(Role::Limit, None, Geometry::Line(vec![point(a), point(b)]));
    for end in [a, b] {
        d.add(Role::Limit, None, Geometry::Mark { at: point(end), direction: Angle::ZERO, mark: Mark::Dot });
    }
    let at = a.midpoint(b) + DVec2::new(0.0, 14.0);
    d.add(
        Role::Limit,
        None,
        Geometry::Text {
            at: point(at),
            text,
            align: Align::Middle,
            along: Angle::ZERO,
            size: TextSize::Normal,
            lift: 0.0,
        },
    );
    d
}

/// What of a view from the front should be seen: the wheel and the tool as far as it swings.
#[must_use]
pub fn front_bounds(all: &Surroundings, at: SwingAt) -> Option<Bounds> {
    let wheel = all.obstacles().iter().filter(|(what, _)| *what == Obstacle::Wheel);
    let pieces = wheel.flat_map(|(_, pieces)| pieces.iter().copied());
    let moving = all.moving_at(place_of(at)).map(|(_, solid)| solid);
    let points = pieces.chain(moving).flat_map(|solid| hull(&solid, SeenFrom::Front));
    Bounds::around(points.map(|p| [p.x, p.y]))
}

fn place_of(at: SwingAt) -> f64 {
    match at {
        SwingAt::Rolled(roll) => roll.radians(),
        SwingAt::Pushed(mm) => mm,
        SwingAt::Still => 0.0,
    }
}

const fn role_of(body: Body) -> Role {
    match body {
        Body::Holder => Role::Holder,
        Body::Strut => Role::Strut,
        Body::Blade => Role::Tool,
        Body::Handle => Role::Handle,
        Body::Arm => Role::Arm,
        Body::Table => Role::Table,
    }
}

fn add_solid(d: &mut Drawing, role: Role, part: Option<Part>, solid: &Solid, from: SeenFrom) {
    let points: Vec<[f64; 2]> = hull(solid, from).into_iter().map(|p| [p.x, p.y]).collect();
    if points.len() > 2 {
        d.add(role, part, Geometry::Outline(points));
    }
}

/// The outline of a solid seen from somewhere.
fn hull(solid: &Solid, from: SeenFrom) -> Vec<DVec2> {
    let points: Vec<DVec2> = match *solid {
        Solid::Rod { ends, radius_mm } => {
            // A line is drawn as thick as a strut is.
            let radius = radius_mm.max(2.0);
            ends.into_iter()
                .flat_map(|end| {
                    let middle = from.of(end);
                    (0..ROUND).map(move |i| {
                        middle + (Angle::HALF * (2.0 * f64::from(i) / f64::from(ROUND))).direction() * radius
                    })
                })
                .collect()
        }
        Solid::Block { centre, axes, half_mm } => (0..8)
            .map(|i| {
                let side = |bit: u32| if i & bit == 0 { -1.0 } else { 1.0 };
                from.of(centre
                    + axes[0] * (half_mm.x * side(1))
                    + axes[1] * (half_mm.y * side(2))
                    + axes[2] * (half_mm.z * side(4)))
            })
            .collect(),
        Solid::Disc { radius_mm, half_width_mm } => match from {
            SeenFrom::Side => {
                (0..96).map(|i| (Angle::HALF * (2.0 * f64::from(i) / 96.0)).direction() * radius_mm).collect()
            }
            SeenFrom::Front => [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)]
                .map(|(y, z)| DVec2::new(half_width_mm * y, radius_mm * z))
                .to_vec(),
        },
    };
    convex_hull(points)
}

/// The convex hull of points, counted against the clock.
///
/// # Source
/// A. M. Andrew, *Another efficient algorithm for convex hulls in two dimensions*, Inf. Process. Lett. 9 (1979), 216–219.
fn convex_hull(mut points: Vec<DVec2>) -> Vec<DVec2> {
    points.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
    let half = |points: &mut dyn Iterator<Item = DVec2>| {
        let mut chain: Vec<DVec2> = Vec::new();
        for point in points {
            while let [.., a, b] = chain[..]
                && (b - a).perp_dot(point - b) <= 0.0
            {
                chain.pop();
            }
            chain.push(point);
        }
        chain.pop();
        chain
    };
    let mut hull = half(&mut points.iter().copied());
    hull.extend(half(&mut points.iter().rev().copied()));
    hull
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hull_of_a_square_with_points_inside_is_the_square() {
        let corners = [(0.0, 0.0), (2.0, 0.0), (2.0, 2.0), (0.0, 2.0)].map(|(x, y)| DVec2::new(x, y));
        let mut points = corners.to_vec();
        points.extend([DVec2::new(1.0, 1.0), DVec2::new(1.0, 0.0), DVec2::new(0.5, 1.7)]);
        let hull = convex_hull(points);
        assert_eq!(hull.len(), 4);
        assert!(corners.iter().all(|corner| hull.contains(corner)));
    }
}
