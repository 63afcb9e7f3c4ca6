//! Single lines of text set on a baseline, so that texts of different sizes line up.

use std::sync::Arc;

use egui::{Align, Color32, FontId, Galley, Painter, Pos2, Rect, pos2, text::LayoutJob};

/// Height of capitals of the window's letters, as a fraction of their size.
const CAPITALS: f32 = 0.727;

/// How far below its top the baseline of a single line lies.
fn ascent(galley: &Galley) -> f32 {
    galley.rows.first().map_or(0.0, |row| row.pos.y + row.glyphs.first().map_or(0.0, |glyph| glyph.pos.y))
}

/// The baseline that puts capitals of a font in the middle of a height.
pub(crate) fn centred_baseline(middle_y: f32, font: &FontId) -> f32 {
    (middle_y + font.size * CAPITALS / 2.0).round()
}

/// Lays out one line, cut off with an ellipsis where it would be wider than `width`.
pub(crate) fn one_line(
    painter: &Painter,
    text: &str,
    font: FontId,
    colour: Color32,
    width: f32,
) -> Arc<Galley> {
    let mut job = LayoutJob::simple_singleline(text.to_owned(), font, colour);
    job.wrap.max_width = width.max(1.0);
    job.wrap.max_rows = 1;
    job.wrap.break_anywhere = true;
    painter.layout_job(job)
}

/// Paints one line with its beginning, middle or end at `at.x` and its baseline at `at.y`; returns where it stands.
pub(crate) fn set(painter: &Painter, at: Pos2, align: Align, galley: Arc<Galley>) -> Rect {
    let width = galley.size().x;
    let left = match align {
        Align::Min => at.x,
        Align::Center => at.x - width / 2.0,
        Align::Max => at.x - width,
    };
    let corner = pos2(left.round(), (at.y - ascent(&galley)).round());
    let rect = Rect::from_min_size(corner, galley.size());
    painter.galley(corner, galley, Color32::PLACEHOLDER);
    rect
}
