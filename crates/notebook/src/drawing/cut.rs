//! A drawing moved, and a drawing cut off at a box.

use crate::drawing::shape::{Bounds, Drawing, Geometry, Point, Shape};

/// Pieces of a full circle that is cut.
const PIECES: u32 = 180;

impl Drawing {
    /// The same drawing moved by so many millimetres.
    #[must_use]
    pub fn shifted(mut self, by: Point) -> Self {
        let moved = |p: Point| [p[0] + by[0], p[1] + by[1]];
        for shape in &mut self.shapes {
            match &mut shape.geometry {
                Geometry::Line(points) | Geometry::Outline(points) => {
                    for point in points {
                        *point = moved(*point);
                    }
                }
                Geometry::Circle { centre, .. } | Geometry::Arc { centre, .. } => *centre = moved(*centre),
                Geometry::Mark { at, .. } | Geometry::Text { at, .. } => *at = moved(*at),
            }
        }
        self
    }

    /// What lies in a box: lines end at its sides, bodies are cut along them, texts and marks stay where their anchor is
    /// inside.
    #[must_use]
    pub fn cut_off_at(&self, window: Bounds) -> Self {
        let mut shapes = Vec::with_capacity(self.shapes.len());
        for shape in &self.shapes {
            let put = |geometry: Geometry| Shape { geometry, ..shape.clone() };
            match &shape.geometry {
                Geometry::Mark { at, .. } | Geometry::Text { at, .. } => {
                    if holds(window, *at) {
                        shapes.push(shape.clone());
                    }
                }
                geometry if geometry.bounds().is_some_and(|all| inside(all, window)) => {
                    shapes.push(shape.clone());
                }
                Geometry::Line(points) => {
                    shapes.extend(pieces(points, window).into_iter().map(|piece| put(Geometry::Line(piece))));
                }
                Geometry::Outline(points) => {
                    shapes.extend(body(points, window).map(|body| put(Geometry::Outline(body))));
                }
                Geometry::Circle { centre, radius } => {
                    let round = arc(*centre, *radius, 0.0, std::f64::consts::TAU);
                    shapes.extend(body(&round[..round.len() - 1], window).map(|b| put(Geometry::Outline(b))));
                }
                Geometry::Arc { centre, radius, start, sweep } => {
                    let chain = arc(*centre, *radius, start.radians(), sweep.radians());
                    shapes.extend(pieces(&chain, window).into_iter().map(|piece| put(Geometry::Line(piece))));
                }
            }
        }
        Self { shapes, titles: self.titles.clone() }
    }
}

fn holds(window: Bounds, p: Point) -> bool {
    (0..2).all(|axis| (window.min[axis]..=window.max[axis]).contains(&p[axis]))
}

fn inside(all: Bounds, window: Bounds) -> bool {
    holds(window, all.min) && holds(window, all.max)
}

fn arc(centre: Point, radius: f64, start: f64, sweep: f64) -> Vec<Point> {
    (0..=PIECES)
        .map(|i| {
            let at = start + sweep * f64::from(i) / f64::from(PIECES);
            [centre[0] + radius * at.cos(), centre[1] + radius * at.sin()]
        })
        .collect()
}

fn between(a: Point, b: Point, fraction: f64) -> Point {
    [a[0] + (b[0] - a[0]) * fraction, a[1] + (b[1] - a[1]) * fraction]
}

/// The pieces of a chain that lie in a box.
fn pieces(chain: &[Point], window: Bounds) -> Vec<Vec<Point>> {
    let mut all: Vec<Vec<Point>> = Vec::new();
    // Whether the piece before ended at the corner that this one begins with.
    let mut runs_on = false;
    for pair in chain.windows(2) {
        let (a, b) = (pair[0], pair[1]);
        // From which fraction of the way to which the piece lies between both pairs of sides.
        let (mut from, mut to) = (0.0_f64, 1.0_f64);
        for axis in 0..2 {
            let run = b[axis] - a[axis];
            let [low, high] = [window.min[axis] - a[axis], window.max[axis] - a[axis]];
            if run.abs() < 1e-12 {
                if low > 0.0 || high < 0.0 {
                    (from, to) = (1.0, 0.0);
                }
            } else {
                let (one, other) = (low / run, high / run);
                from = from.max(one.min(other));
                to = to.min(one.max(other));
            }
        }
        if from >= to {
            runs_on = false;
            continue;
        }
        let (start, end) = (between(a, b, from), between(a, b, to));
        match all.last_mut().filter(|_| runs_on) {
            Some(piece) => piece.push(if to >= 1.0 { b } else { end }),
            None => all.push(vec![if from <= 0.0 { a } else { start }, if to >= 1.0 { b } else { end }]),
        }
        runs_on = to >= 1.0;
    }
    all
}

/// The part of a closed outline that lies in a box, cut side by side (Sutherland and Hodgman).
fn body(outline: &[Point], window: Bounds) -> Option<Vec<Point>> {
    let mut left: Vec<Point> = outline.to_vec();
    for axis in 0..2 {
        for (limit, sign) in [(window.min[axis], 1.0), (window.max[axis], -1.0)] {
            let depth = |p: Point| (p[axis] - limit) * sign;
            let mut kept = Vec::with_capacity(left.len() + 4);
            for (i, &b) in left.iter().enumerate() {
                let a = left[(i + left.len() - 1) % left.len()];
                let (before, here) = (depth(a), depth(b));
                if (before < 0.0) != (here < 0.0) {
                    let mut crossing = between(a, b, before / (before - here));
                    crossing[axis] = limit;
                    kept.push(crossing);
                }
                if here >= 0.0 {
                    kept.push(b);
                }
            }
            left = kept;
        }
    }
    (left.len() > 2).then_some(left)
}

#[cfg(test)]
#[allow(clippy::float_cmp, reason = "moves by whole millimetres are exact")]
mod tests {
    use super::*;
    use crate::drawing::shape::Role;

    const BOX: Bounds = Bounds { min: [0.0, 0.0], max: [10.0, 10.0] };

    fn one(geometry: Geometry) -> Drawing {
        let mut drawing = Drawing::new();
        drawing.add(Role::Tool, None, geometry);
        drawing
    }

    fn area(points: &[Point]) -> f64 {
        let next = points.iter().cycle().skip(1);
        points.iter().zip(next).map(|(a, b)| 0.5 * (a[0] * b[1] - a[1] * b[0])).sum::<f64>().abs()
    }

    #[test]
    fn a_line_that_leaves_and_comes_back_is_two_lines() {
        let chain = vec![[5.0, 5.0], [15.0, 5.0], [15.0, 8.0], [5.0, 8.0]];
        let cut = one(Geometry::Line(chain)).cut_off_at(BOX);
        let lines: Vec<_> = cut.shapes.iter().map(|shape| &shape.geometry).collect();
        let expected = [vec![[5.0, 5.0], [10.0, 5.0]], vec![[10.0, 8.0], [5.0, 8.0]]].map(Geometry::Line);
        assert_eq!(lines, expected.iter().collect::<Vec<_>>());
    }

    #[test]
    fn a_body_keeps_the_area_inside() {
        let square = vec![[-5.0, -5.0], [5.0, -5.0], [5.0, 5.0], [-5.0, 5.0]];
        for (geometry, expected) in [
            (Geometry::Outline(square), 25.0),
            (Geometry::Circle { centre: [0.0, 0.0], radius: 8.0 }, 16.0 * std::f64::consts::PI),
        ] {
            let cut = one(geometry).cut_off_at(BOX);
            let Geometry::Outline(left) = &cut.shapes[0].geometry else { panic!("a body") };
            assert!((area(left) - expected).abs() < 0.02, "{}", area(left));
        }
    }

    #[test]
    fn clipping_leaves_inner_shapes_unchanged_and_drops_outer_ones() {
        let within = one(Geometry::Circle { centre: [5.0, 5.0], radius: 2.0 });
        assert_eq!(within.cut_off_at(BOX), within);
        let beside = one(Geometry::Line(vec![[11.0, 0.0], [12.0, 9.0]]));
        assert!(beside.cut_off_at(BOX).shapes.is_empty());
        assert_eq!(within.clone().shifted([3.0, -1.0]).shifted([-3.0, 1.0]), within);
    }
}
