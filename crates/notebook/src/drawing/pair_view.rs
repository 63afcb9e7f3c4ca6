//! Settings on one drawing, in millimetres: two laid over each other in the bench frame, or several side by side to one
//! scale.

use bevelbench_geometry::math::Angle;

use crate::drawing::shape::{Align, Bounds, Drawing, Geometry, Role, Standing, TextSize, segment};

/// Between two drawings that stand side by side, in drawing millimetres.
const BETWEEN_MM: f64 = 12.0;

/// The width of a sheet less its margins, in millimetres of paper.
const SHEET_MM: f64 = 184.0;

/// One of several drawings in a row.
#[derive(Debug, Clone, Copy)]
pub struct InRow<'a> {
    /// Its drawing, in the bench frame.
    pub drawing: &'a Drawing,
    /// The part of it that is to be seen.
    pub seen: Bounds,
    /// What stands over it: its letter, tool and setting.
    pub name: &'a str,
}

/// A solid and B dashed over it, both in the bench frame. Names of parts are those of A.
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

/// Drawings side by side to one scale, each cut off at the same box, with its name over it. The frame is the bench's for
/// the first; the others stand to its right. Comes with the box around all of them; `None` for none.
#[must_use]
pub fn side_by_side(row: &[InRow<'_>]) -> Option<(Drawing, Bounds)> {
    let window = row.iter().map(|one| one.seen).reduce(Bounds::union)?.grown(4.0);
    let step = window.width() + BETWEEN_MM;
    let right = window.max[0] + step * (row.len() - 1) as f64;
    // Names have a size of their own on paper: the more drawings, the more of the bench's millimetres they take.
    let line = ((right - window.min[0]) / SHEET_MM).max(0.6);
    let mut all = Drawing::new();
    for (index, one) in row.iter().enumerate() {
        let shift = step * index as f64;
        let mut cut = one.drawing.cut_off_at(window).shifted([shift, 0.0]);
        cut.titles.clear();
        all.overlay(cut);
        let name = Geometry::Text {
            at: [window.min[0] + shift + 2.0, window.max[1] + 3.4 * line],
            text: one.name.to_owned(),
            align: Align::Start,
            along: Angle::ZERO,
            size: TextSize::Strong,
            lift: 0.0,
        };
        all.add(Role::Dimension, None, name);
        if index > 0 {
            let x = window.min[0] + shift - BETWEEN_MM / 2.0;
            all.add(Role::Construction, None, segment([x, window.min[1]], [x, window.max[1] + 6.0 * line]));
        }
    }
    Some((all, Bounds { min: window.min, max: [right, window.max[1] + 7.0 * line] }))
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]
mod tests {
    use super::*;
    use crate::{
        drawing::side_view::{focus, look::SideLook, side_view},
        saved::library::demo_bench,
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
        let (both, around) = side_by_side(&[
            InRow { drawing: &a, seen: seen_a, name: "one" },
            InRow { drawing: &b, seen: seen_b, name: "other" },
        ])
        .unwrap();
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
