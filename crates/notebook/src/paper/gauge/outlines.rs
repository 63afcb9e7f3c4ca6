//! The outline of a ground tip at true size, from the side and from above.

use bevelbench_geometry::DVec2;

use crate::{
    answer::swept::Swept,
    drawing::shape::{Align, Bounds, Point},
    paper::{
        gauge::piece::Gauge,
        page::{Colour, Layout, Pen, TextStyle},
    },
    words::validity_words,
};

/// Points of an outline.
const POINTS: usize = 240;

/// Both outlines of a tip, the tip to the left in both.
pub(super) fn both(swept: &Swept, of: &str) -> Vec<Gauge> {
    let long = swept.length_to_show_mm();
    let side: Vec<DVec2> = swept.side_outline(long, POINTS);
    let plan: Vec<DVec2> =
        swept.plan_outline(long, POINTS).into_iter().map(|p| DVec2::new(p.x, -p.y)).collect();
    // The first sentence says what the shape rests on; the others speak of the window.
    let words = validity_words(swept).split_inclusive('.').next().unwrap_or_default();
    [("OutlineSide", "From the side", side), ("OutlinePlan", "From above", plan)]
        .into_iter()
        .filter_map(|(name, seen, points)| one(name, seen, &points, of, words))
        .collect()
}

fn one(name: &'static str, seen: &str, points: &[DVec2], of: &str, note: &str) -> Option<Gauge> {
    let bounds = Bounds::around(points.iter().map(|p| [p.x, p.y]))?;
    if !(bounds.width() > 0.5 && bounds.width() < 250.0 && bounds.height() < 120.0) {
        return None;
    }
    let wide = bounds.width().max(52.0);
    let kind = TextStyle::weak(1.9);
    let note_lines = crate::drawing::text_shaping::wrapped(note, kind.typeface, kind.size_mm, wide);
    let below = 8.6 + note_lines.len() as f64 * kind.line_mm();
    let outline: Vec<Point> =
        points.iter().map(|p| [p.x - bounds.min[0], p.y - bounds.min[1] + below]).collect();
    let mut tip = Layout::new();
    // Open at the sawn end: there the blade goes on.
    tip.items.push(crate::paper::page::Item::Path {
        points: outline,
        closed: false,
        fill: Some(Colour::BAND),
        pen: Some(Pen::new(Colour::CUT, 0.18)),
    });
    let mut layout = Layout::new();
    layout.named(name, tip);
    layout.fitted([0.0, below - 4.0], seen, TextStyle::strong(2.8), Align::Start, wide);
    layout.fitted([0.0, below - 7.4], of, TextStyle::plain(2.3), Align::Start, wide);
    layout.paragraph(0.0, below - 8.2, wide, note, kind);
    Some(Gauge { layout, size_mm: [wide, bounds.height() + below] })
}
