//! Two settings on one drawing, in millimetres: laid over each other in the bench frame, or side by side to one scale.

use crate::drawing::{Align, Bounds, Drawing, Geometry, Role, Standing, TextSize};

/// Between the two halves of a pair that stands side by side, in drawing millimetres.
const BETWEEN_MM: f64 = 12.0;

/// One of a pair: its drawing, what is to be seen of it, and what it is called.
#[derive(Debug, Clone, Copy)]
pub struct OfPair<'a> {
    /// Its drawing, in the bench frame.
    pub drawing: &'a Drawing,
    /// The part of it that is shown.
    pub seen: Bounds,
    /// Tool and setting.
    pub name: &'a str,
}

/// A solid and B dashed over it, both in the bench frame. What a part is called is told of A.
#[must_use]
pub fn laid_over(a: &Drawing, b: &Drawing) -> Drawing {
    let mut both = b.clone().standing(Standing::Second);
    both.titles.clear();
    let mut all = a.clone();
    let titles = std::mem::take(&mut all.titles);
    all.overlay(both);
    all.titles = titles;
    all
}

/// A and B side by side to one scale, each cut off at the same box, with its letter and its name over it. The frame is
/// the bench's for A; B stands to its right. Comes with the box around both.
#[must_use]
pub fn side_by_side(a: OfPair<'_>, b: OfPair<'_>) -> (Drawing, Bounds) {
    let window = a.seen.union(b.seen).grown(4.0);
    let step = window.width() + BETWEEN_MM;
    let mut all = Drawing::new();
    for (letter, one, shift) in [("A", a, 0.0), ("B", b, step)] {
        let mut half = one.drawing.cut_off_at(window).shifted([shift, 0.0]);
        half.titles.clear();
        all.overlay(half);
        let at = [window.min[0] + shift + 2.0, window.max[1] + 5.0];
        let words = if one.name.is_empty() { letter.to_owned() } else { format!("{letter}   {}", one.name) };
        let name = Geometry::Text {
            at,
            text: words,
            align: Align::Start,
            along: bevelbench_geometry::Angle::ZERO,
            size: TextSize::Strong,
            lift: 0.0,
        };
        all.add(Role::Dimension, None, name);
    }
    let x = window.max[0] + BETWEEN_MM / 2.0;
    all.add(Role::Construction, None, Geometry::Line(vec![[x, window.min[1]], [x, window.max[1] + 8.0]]));
    let around = Bounds { min: window.min, max: [window.max[0] + step, window.max[1] + 10.0] };
    (all, around)
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]
mod tests {
    use super::*;
    use crate::{
        library::demo_bench,
        side_view::{SideLook, focus, side_view},
    };

    fn mm(value: f64) -> String {
        format!("{value:.1} mm")
    }

    fn drawn(name: &str) -> (Drawing, Bounds) {
        let bench = demo_bench().unwrap();
        let entry = bench.setting_named(name).unwrap();
        let (job, view) = bench.answer(entry).unwrap();
        (side_view(&job, &view, &SideLook::new(&mm, &mm)), focus(&job, Some(&view)).unwrap())
    }

    #[test]
    fn side_by_side_nothing_of_a_reaches_into_b() {
        let ((a, seen_a), (b, seen_b)) = (drawn("Long grind, 85 mm"), drawn("Short grind, 60 mm"));
        let (both, around) = side_by_side(
            OfPair { drawing: &a, seen: seen_a, name: "one" },
            OfPair { drawing: &b, seen: seen_b, name: "other" },
        );
        let all = both.bounds().unwrap();
        assert!(all.min[0] >= around.min[0] - 1e-6 && all.max[0] <= around.max[0] + 1e-6);
        assert!(all.min[1] >= around.min[1] - 1e-6 && all.max[1] <= around.max[1] + 1e-6);
        // Every shape lies in one half or is the line between them.
        let middle = around.centre()[0];
        for shape in &both.shapes {
            let Some(bounds) = shape.geometry.bounds() else { continue };
            let aside = bounds.max[0] < middle + 1e-6 || bounds.min[0] > middle - 1e-6;
            assert!(aside, "{shape:?}");
        }
    }

    #[test]
    fn laid_over_all_of_b_is_dashed_and_named_parts_are_those_of_a() {
        let ((a, _), (b, _)) = (drawn("Long grind, 85 mm"), drawn("Short grind, 60 mm"));
        let both = laid_over(&a, &b);
        let second = both.shapes.iter().filter(|shape| shape.standing == Standing::Second).count();
        assert_eq!((second, both.shapes.len()), (b.shapes.len(), a.shapes.len() + b.shapes.len()));
        assert_eq!(both.titles, a.titles);
    }
}
