//! A sketch: a drawing made to show where dimensions are measured. The dimension that is pointed at gets its line, the
//! others stay away so that the shape can be read.

use bevelbench_geometry::math::Angle;

use crate::drawing::{
    Align, Bounds, Drawing, Geometry, Mark as Sign, Point, Role, TextSize, segment, sketch::mark::Mark,
};

/// A drawing that knows which dimension is pointed at.
#[derive(Debug, Clone)]
pub struct Sketch {
    /// What was drawn.
    pub drawing: Drawing,
    /// The room it needs, with its dimension lines, whether or not they are drawn: so the picture keeps still.
    pub room: Bounds,
    pointed: Option<Mark>,
    /// Distance between the shape and its dimension lines, in millimetres.
    step: f64,
}

impl Sketch {
    /// An empty sketch of a shape of this extent, its dimension lines `step_mm` apart.
    #[must_use]
    pub fn new(extent: Bounds, step_mm: f64, pointed: Option<Mark>) -> Self {
        Self { drawing: Drawing::new(), room: extent.grown(step_mm * 2.2), pointed, step: step_mm }
    }

    /// The dimension that is pointed at.
    #[must_use]
    pub fn pointed(&self) -> Option<Mark> {
        self.pointed
    }

    /// Whether a dimension is pointed at.
    #[must_use]
    pub fn shows(&self, mark: Mark) -> bool {
        self.pointed == Some(mark)
    }

    /// Distance between the shape and its dimension lines, in millimetres.
    #[must_use]
    pub fn step(&self) -> f64 {
        self.step
    }

    /// A body or a line.
    pub fn add(&mut self, role: Role, geometry: Geometry) {
        self.drawing.add(role, None, geometry);
    }

    /// A line that only helps the eye.
    pub fn guide(&mut self, from: Point, to: Point) {
        self.add(Role::Construction, segment(from, to));
    }

    /// A small word beside a part, to the right of its anchor.
    pub fn word(&mut self, role: Role, at: Point, text: &str) {
        self.text(role, at, text.to_owned(), Angle::ZERO, TextSize::Small, Align::Middle, 0.0);
    }

    #[allow(clippy::too_many_arguments, reason = "all that a text is made of")]
    fn text(
        &mut self,
        role: Role,
        at: Point,
        text: String,
        along: Angle,
        size: TextSize,
        align: Align,
        lift: f64,
    ) {
        self.add(role, Geometry::Text { at, text, align, along: upright(along), size, lift });
    }

    /// How a dimension is drawn: strong under the hand, plain where it is usual, otherwise not at all.
    fn emphasis(&self, mark: Mark, usual: bool) -> Option<(Role, TextSize)> {
        if self.shows(mark) {
            Some((Role::Gauge, TextSize::Strong))
        } else {
            usual.then_some((Role::Dimension, TextSize::Normal))
        }
    }

    /// The distance from one point to another, its line `off` steps to the left of the way between them (negative: to the
    /// right). `usual` ones are drawn thinly even when nothing points at them.
    pub fn distance(&mut self, mark: Mark, from: Point, to: Point, off: f64, text: String, usual: bool) {
        let Some((role, size)) = self.emphasis(mark, usual) else { return };
        let (dx, dy) = (to[0] - from[0], to[1] - from[1]);
        let length = dx.hypot(dy);
        let along = if length > 1e-9 { Angle::from_radians(dy.atan2(dx)) } else { Angle::QUARTER };
        let (sin, cos) = along.sin_cos();
        let by = off * self.step;
        let lift = |p: Point, by: f64| [p[0] - sin * by, p[1] + cos * by];
        let (a, b) = (lift(from, by), lift(to, by));
        if by.abs() > 1e-9 {
            let over = by + by.signum() * self.step * 0.25;
            let clearance = by.signum() * self.step * 0.15;
            self.add(Role::Construction, segment(lift(from, clearance), lift(from, over)));
            self.add(Role::Construction, segment(lift(to, clearance), lift(to, over)));
        }
        let narrow = length < self.step * 4.2;
        if narrow {
            // No room between: the arrows point inwards from outside.
            let out = self.step * 0.9;
            let beyond = |p: Point, by: f64| [p[0] + cos * by, p[1] + sin * by];
            self.add(role, segment(beyond(a, -out), beyond(b, out)));
            self.arrow(role, a, along);
            self.arrow(role, b, along + Angle::HALF);
            let level = along.cos().abs() > 0.7;
            let (at, along, align) = if level {
                (lift(beyond(b, length / -2.0), self.step * 0.75 * off.signum_or(1.0)), along, Align::Middle)
            } else {
                // Beside an upright dimension, on the side away from the shape.
                let side = if -sin * off.signum_or(1.0) >= 0.0 { Align::Start } else { Align::End };
                (lift(beyond(b, length / -2.0), self.step * 0.35 * off.signum_or(1.0)), Angle::ZERO, side)
            };
            self.text(role, at, text, along, size, align, 0.0);
        } else {
            self.add(role, segment(a, b));
            self.arrow(role, a, along + Angle::HALF);
            self.arrow(role, b, along);
            let middle = [f64::midpoint(a[0], b[0]), f64::midpoint(a[1], b[1])];
            self.text(role, middle, text, along, size, Align::Middle, 0.0);
        }
    }

    /// An angle about a point, from one direction by a sweep.
    #[allow(clippy::too_many_arguments, reason = "all that an angle is made of")]
    pub fn angle(
        &mut self,
        mark: Mark,
        centre: Point,
        radius: f64,
        start: Angle,
        sweep: Angle,
        text: String,
        usual: bool,
    ) {
        let Some((role, size)) = self.emphasis(mark, usual) else { return };
        let at =
            |angle: Angle, radius: f64| [centre[0] + radius * angle.cos(), centre[1] + radius * angle.sin()];
        for side in [start, start + sweep] {
            self.guide(centre, at(side, radius * 1.12));
        }
        self.add(role, Geometry::Arc { centre, radius, start, sweep });
        let turn = if sweep >= Angle::ZERO { Angle::QUARTER } else { -Angle::QUARTER };
        if sweep.degrees().abs() > 8.0 {
            self.arrow(role, at(start + sweep, radius), start + sweep + turn);
            self.arrow(role, at(start, radius), start - turn);
        }
        self.text(
            role,
            at(start + sweep * 0.5, radius + self.step * 1.4),
            text,
            Angle::ZERO,
            size,
            Align::Middle,
            0.0,
        );
    }

    /// A radius, from the centre to the arc.
    pub fn radius(&mut self, mark: Mark, centre: Point, radius: f64, towards: Angle, text: String) {
        if !self.shows(mark) {
            return;
        }
        let (sin, cos) = towards.sin_cos();
        let tip = [centre[0] + radius * cos, centre[1] + radius * sin];
        // A centre outside the picture would only draw a line across it.
        let low = self.room.min;
        let high = self.room.max;
        let inside = |p: Point| (0..2).all(|i| p[i] >= low[i] && p[i] <= high[i]);
        let back = |by: f64| [tip[0] - by * cos, tip[1] - by * sin];
        let tail = (0..60)
            .map(|step| radius * 0.93_f64.powi(step))
            .find(|&tail| inside(back(tail)))
            .unwrap_or(self.step * 1.5);
        let from = back(tail);
        self.add(Role::Gauge, segment(from, tip));
        self.arrow(Role::Gauge, tip, towards);
        if tail >= radius {
            self.add(Role::Gauge, Geometry::Mark { at: centre, direction: Angle::ZERO, mark: Sign::Dot });
        }
        let role = Role::Gauge;
        if tail > self.step * 4.0 {
            let at = [f64::midpoint(from[0], tip[0]), f64::midpoint(from[1], tip[1])];
            self.text(role, at, text, towards, TextSize::Strong, Align::Middle, 0.0);
        } else {
            // Too short to write along: beside its beginning.
            let (aside, align) = if cos > 0.0 { (-0.5, Align::End) } else { (0.5, Align::Start) };
            let at = [from[0] + self.step * aside, from[1]];
            self.text(role, at, text, Angle::ZERO, TextSize::Strong, align, 0.0);
        }
    }

    /// A remark about something that has no place of its own on the drawing, lit while it is pointed at.
    pub fn remark(&mut self, mark: Mark, at: Point, text: String) {
        if self.shows(mark) {
            self.text(Role::Gauge, at, text, Angle::ZERO, TextSize::Strong, Align::Middle, 0.0);
        }
    }

    /// A line that lights up with a dimension.
    pub fn glow(&mut self, mark: Mark, points: Vec<Point>) {
        if self.shows(mark) {
            self.add(Role::Gauge, Geometry::Line(points));
        }
    }

    fn arrow(&mut self, role: Role, at: Point, direction: Angle) {
        self.add(role, Geometry::Mark { at, direction, mark: Sign::Arrow });
    }
}

/// A direction turned so that a text along it can be read.
fn upright(along: Angle) -> Angle {
    let along = along.wrapped();
    if along.degrees() > 90.5 {
        along - Angle::HALF
    } else if along.degrees() < -89.5 {
        along + Angle::HALF
    } else {
        along
    }
}

/// The sign of a number that may be nothing.
trait SignOr {
    /// The sign, or another value for nothing.
    fn signum_or(self, other: f64) -> f64;
}

impl SignOr for f64 {
    fn signum_or(self, other: f64) -> f64 {
        if self == 0.0 { other } else { self.signum() }
    }
}

/// A rectangle as an outline.
#[must_use]
pub fn rectangle(x0: f64, y0: f64, x1: f64, y1: f64) -> Geometry {
    Geometry::Outline(vec![[x0, y0], [x1, y0], [x1, y1], [x0, y1]])
}

/// Points along an arc, both ends included.
#[must_use]
pub fn arc(centre: Point, radius: f64, from: Angle, sweep: Angle, count: u32) -> Vec<Point> {
    (0..=count)
        .map(|i| {
            let (sin, cos) = (from + sweep * (f64::from(i) / f64::from(count))).sin_cos();
            [centre[0] + radius * cos, centre[1] + radius * sin]
        })
        .collect()
}
