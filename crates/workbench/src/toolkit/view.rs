//! Where on the screen a point of the bench lies. The only place that turns "up is positive" into "down is positive".

use bevelbench_notebook::drawing::{Bounds, Point};
use egui::{Pos2, Rect, Vec2, epaint::MarginF32, pos2};

/// Most points of the screen a millimetre may take.
const SCALE_MOST: f64 = 2000.0;
/// Fewest points of the screen a millimetre may take.
const SCALE_LEAST: f64 = 0.05;

/// A screen-from-bench transform: a scale and which bench point lies in the middle of a rectangle of the screen.
///
/// All methods are total: a transform made of numbers that are not finite is replaced by one that is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct View {
    /// Where on the screen the drawing shows, in points.
    pub rect: Rect,
    /// The bench point in the middle of `rect`, in millimetres.
    pub centre_in_bench: Point,
    /// Points of the screen a millimetre.
    pub scale: f64,
}

impl View {
    /// A view of a rectangle that shows a bench point in its middle at a scale in points a millimetre.
    #[must_use]
    pub fn new(rect: Rect, centre_in_bench: Point, scale: f64) -> Self {
        let centre = if centre_in_bench.iter().all(|c| c.is_finite()) { centre_in_bench } else { [0.0, 0.0] };
        Self { rect, centre_in_bench: centre, scale: within(scale) }
    }

    /// The view that shows a box as large as the rectangle less its margins allows, in the middle of what they leave.
    #[must_use]
    pub fn fit(bounds: Bounds, rect: Rect, margins: impl Into<MarginF32>) -> Self {
        let free = rect - margins.into();
        let (width, height) = (f64::from(free.width()).max(1.0), f64::from(free.height()).max(1.0));
        let needed = (bounds.width().max(1e-6) / width).max(bounds.height().max(1e-6) / height);
        let scale = within(1.0 / needed);
        let off = free.center() - rect.center();
        let centre = bounds.centre();
        let centre = [centre[0] - f64::from(off.x) / scale, centre[1] + f64::from(off.y) / scale];
        Self::new(rect, centre, scale)
    }

    /// The point of the screen where a bench point lies.
    #[must_use]
    pub fn screen_from_bench(&self, point_in_bench: Point) -> Pos2 {
        let middle = self.rect.center();
        pos2(
            (f64::from(middle.x) + (point_in_bench[0] - self.centre_in_bench[0]) * self.scale) as f32,
            (f64::from(middle.y) - (point_in_bench[1] - self.centre_in_bench[1]) * self.scale) as f32,
        )
    }

    /// The bench point at a point of the screen, in millimetres.
    #[must_use]
    pub fn bench_from_screen(&self, point_on_screen: Pos2) -> Point {
        let off = point_on_screen - self.rect.center();
        [
            self.centre_in_bench[0] + f64::from(off.x) / self.scale,
            self.centre_in_bench[1] - f64::from(off.y) / self.scale,
        ]
    }

    /// A length on the bench in points of the screen.
    #[must_use]
    pub fn points(&self, length_mm: f64) -> f32 {
        (length_mm * self.scale) as f32
    }

    /// The part of the bench that shows.
    #[must_use]
    pub fn visible(&self) -> Bounds {
        let [left, low] = self.bench_from_screen(self.rect.left_bottom());
        let [right, high] = self.bench_from_screen(self.rect.right_top());
        Bounds { min: [left, low], max: [right, high] }
    }

    /// Larger (factor above 1) or smaller, while the bench point under the pointer stays under it.
    #[must_use]
    pub fn zoom_about(&self, pointer_on_screen: Pos2, factor: f64) -> Self {
        let factor = if factor.is_finite() && factor > 0.0 { factor } else { 1.0 };
        let kept = self.bench_from_screen(pointer_on_screen);
        let scale = within(self.scale * factor);
        let off = pointer_on_screen - self.rect.center();
        Self::new(self.rect, [kept[0] - f64::from(off.x) / scale, kept[1] + f64::from(off.y) / scale], scale)
    }

    /// Moved so that the drawing follows a movement of the pointer, in points.
    #[must_use]
    pub fn pan(&self, delta: Vec2) -> Self {
        let [x, y] = self.centre_in_bench;
        let moved = [x - f64::from(delta.x) / self.scale, y + f64::from(delta.y) / self.scale];
        Self::new(self.rect, moved, self.scale)
    }

    /// The same bench point in the middle of another rectangle, at the same scale: for a window that changes its size.
    #[must_use]
    pub fn in_rect(&self, rect: Rect) -> Self {
        Self { rect, ..*self }
    }
}

fn within(scale: f64) -> f64 {
    if scale.is_finite() { scale.clamp(SCALE_LEAST, SCALE_MOST) } else { 1.0 }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn view() -> View {
        View::new(Rect::from_min_max(pos2(230.0, 44.0), pos2(994.0, 690.0)), [60.0, -20.0], 1.6)
    }

    fn close(a: Point, b: Point) -> bool {
        (a[0] - b[0]).abs() < 1e-3 && (a[1] - b[1]).abs() < 1e-3
    }

    #[test]
    fn undo_and_redo_return_to_the_same_bench() {
        for point in [[0.0, 0.0], [123.4, -56.7], [-300.0, 400.0]] {
            assert!(close(view().bench_from_screen(view().screen_from_bench(point)), point), "{point:?}");
        }
    }

    #[test]
    fn up_on_the_bench_is_up_on_the_screen() {
        let [low, high] = [[0.0, 0.0], [0.0, 10.0]].map(|p| view().screen_from_bench(p));
        assert!(high.y < low.y);
        assert!((low.y - high.y - 16.0).abs() < 1e-3);
    }

    #[test]
    fn zooming_keeps_the_point_under_the_pointer() {
        let pointer = pos2(700.0, 100.0);
        for factor in [0.5, 1.1, 3.0, 1e9, 1e-9] {
            let zoomed = view().zoom_about(pointer, factor);
            assert!(close(zoomed.bench_from_screen(pointer), view().bench_from_screen(pointer)), "{factor}");
        }
    }

    #[test]
    fn panning_moves_the_drawing_with_the_pointer() {
        let point = [10.0, 20.0];
        let moved = view().pan(Vec2::new(30.0, -12.0)).screen_from_bench(point);
        assert!((moved - view().screen_from_bench(point) - Vec2::new(30.0, -12.0)).length() < 1e-3);
    }

    #[test]
    fn fitting_shows_the_whole_box_inside_the_margins() {
        let bounds = Bounds { min: [-75.0, -120.0], max: [300.0, 75.0] };
        let margins = MarginF32 { left: 20.0, right: 200.0, top: 10.0, bottom: 40.0 };
        let fitted = View::fit(bounds, view().rect, margins);
        let free = view().rect - margins;
        let (a, b) = (fitted.screen_from_bench(bounds.min), fitted.screen_from_bench(bounds.max));
        let shown = Rect::from_two_pos(a, b);
        assert!(free.expand(0.01).contains_rect(shown));
        assert!((shown.center() - free.center()).length() < 0.01);
        assert!((shown.width() - free.width()).abs() < 0.01 || (shown.height() - free.height()).abs() < 0.01);
    }

    #[test]
    fn numbers_that_are_not_finite_leave_a_usable_view() {
        let odd = View::new(view().rect, [f64::NAN, 0.0], f64::INFINITY).zoom_about(pos2(0.0, 0.0), f64::NAN);
        assert!(odd.scale.is_finite() && odd.centre_in_bench[0].is_finite());
        let empty = Bounds { min: [5.0, 5.0], max: [5.0, 5.0] };
        assert!(View::fit(empty, Rect::NOTHING, MarginF32::same(100.0)).scale.is_finite());
    }
}
