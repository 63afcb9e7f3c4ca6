//! The handout: two settings side by side on one page, to one scale, with what differs between them in figures and in
//! words.

use crate::{
    drawing::{
        shape::{Align, Bounds},
        text_shaping::{Typeface, wrapped},
    },
    paper::{
        on_page::{OnPage, PageContents, caution, cautions_mm, head, letter, reduction, scale_words},
        page::{Colour, Layout, Page, Pen, TextStyle},
        request::PrintRequest,
        sheet::{Leaf, Paper},
    },
    quantity::{figure::Figure, fine_text, length_text},
    saved::{bench::Bench, setting::SettingEntry},
    words::difference_words,
};

/// Cautions of both settings, each once; those of one alone say whose they are.
fn cautions_of(a: &OnPage, b: &OnPage, request: &PrintRequest) -> Vec<String> {
    let [one, other] = [a, b].map(|each| each.cautions(request.unit));
    let mut all: Vec<String> = Vec::with_capacity(one.len() + other.len());
    for (mine, theirs, name) in [(&one, &other, "A"), (&other, &one, "B")] {
        for words in mine {
            if !theirs.contains(words) {
                all.push(format!("{name}: {words}"));
            } else if !all.contains(words) {
                all.push(words.clone());
            }
        }
    }
    all
}

/// The page of two settings, A and B.
///
/// # Errors
/// [`Unanswered`](crate::answer::bench::Unanswered), whatever stands in the way of an answer, with the setting that has none.
pub fn handout<'a>(
    bench: &Bench,
    pair: [&'a SettingEntry; 2],
    request: &PrintRequest,
) -> Result<Page, (&'a SettingEntry, crate::answer::bench::Unanswered)> {
    let wanted = PageContents { dimensions: true, shape: true, edge: false };
    let [a, b] = pair.map(|entry| OnPage::of(bench, entry, request.unit, wanted).map_err(|why| (entry, why)));
    let (a, b) = (a?, b?);
    let lying = !matches!(request.paper, Paper::A6 | Paper::A5);
    let leaf = Leaf::new(request.paper, lying, request.correction);
    let usable = leaf.usable();
    let s = (usable.width() / if lying { 277.0 } else { 150.0 }).clamp(0.55, 1.4);
    let mut out = Layout::new();
    let title = "Two settings side by side";
    let mut top = head(&mut out, usable, title, 0.6, (bench, &request.date), s) - 1.5 * s;
    let bottom = foot(&mut out, usable, &cautions_of(&a, &b, request), s);
    let words = difference_words(a.compared(), b.compared(), &|mm| length_text(mm, request.unit), &|mm| {
        fine_text(mm, request.unit)
    });
    let gap = 6.0 * s;
    let table_wide = if lying { usable.width() * 0.42 } else { usable.width() };
    let words_wide = if lying { usable.width() - table_wide - 3.0 * gap } else { usable.width() };
    let kind = TextStyle::plain(3.6 * s);
    let lines: f64 =
        words.iter().map(|line| wrapped(line, kind.typeface, kind.size_mm, words_wide).len() as f64).sum();
    let table_tall = TABLE_ROW * s * (Figure::ALL.len() as f64 + 1.0) + 2.0 * s;
    let words_tall = lines * kind.line_mm() + words.len() as f64 * 1.0 * s + 7.0 * s;
    let lower = if lying { table_tall.max(words_tall) } else { table_tall + words_tall };
    let names = 11.5 * s;
    let drawings = Bounds { min: [usable.min[0], bottom + lower + gap], max: [usable.max[0], top] };
    let half = (usable.width() - gap) / 2.0;
    let cells = [0.0, half + gap].map(|left| Bounds {
        min: [drawings.min[0] + left, drawings.min[1] + 4.0 * s],
        max: [drawings.min[0] + left + half, drawings.max[1] - names],
    });
    let windows = [a.side.1.grown(1.0), b.side.1.grown(1.0)];
    let reduced = reduction(&windows, cells[0]);
    for (index, ((cell, one), window)) in cells.into_iter().zip([&a, &b]).zip(windows).enumerate() {
        let at = [cell.min[0] + 3.2 * s, top - 4.2 * s];
        letter(&mut out, at, index == 1, 4.0 * s);
        let (left, room) = (cell.min[0] + 8.4 * s, half - 8.4 * s);
        out.fitted([left, top - 4.6 * s], &one.name, TextStyle::strong(4.6 * s), Align::Start, room);
        out.fitted([left, top - 8.8 * s], &one.place, TextStyle::weak(2.9 * s), Align::Start, room);
        out.drawing(&one.side.0, window, cell, 1.0 / reduced, 0.95 * s);
        let words = format!("Side view, {}", scale_words(reduced));
        out.words([cell.max[0], drawings.min[1]], words, TextStyle::weak(2.4 * s), Align::End);
    }
    top = drawings.min[1] - 2.0 * s;
    out.line([usable.min[0], top], [usable.max[0], top], Pen::new(Colour::PALE, 0.2));
    top -= 2.0 * s;
    table(&mut out, [usable.min[0], top], table_wide, [&a, &b], request, s);
    let (left, words_top) =
        if lying { (usable.min[0] + table_wide + 3.0 * gap, top) } else { (usable.min[0], top - table_tall) };
    let strong = TextStyle::new(Typeface::SemiBold, 4.0 * s, Colour::BLACK);
    out.words([left, words_top - 4.0 * s], "What differs", strong, Align::Start);
    let mut y = words_top - 7.0 * s;
    for line in &words {
        y -= out.paragraph(left, y, words_wide, line, kind) + 1.0 * s;
    }
    Ok(leaf.page(out))
}

/// From one line of the table to the next, in millimetres.
const TABLE_ROW: f64 = 6.2;

/// The cautions at the foot; gives back where they begin.
fn foot(out: &mut Layout, usable: Bounds, cautions: &[String], s: f64) -> f64 {
    // Two columns on wide paper.
    let columns = if usable.width() > 180.0 { 2 } else { 1 };
    let gap = 6.0 * s;
    let wide = (usable.width() - gap * (columns as f64 - 1.0)) / columns as f64;
    let size = 2.5 * s;
    let per = cautions.len().div_ceil(columns);
    let parts: Vec<&[String]> = cautions.chunks(per.max(1)).collect();
    let tall = parts.iter().map(|part| cautions_mm(part, wide, size)).fold(0.0, f64::max) + 2.0 * s;
    let top = usable.min[1] + tall;
    out.line([usable.min[0], top], [usable.max[0], top], Pen::new(Colour::PALE, 0.2));
    for (index, part) in parts.iter().enumerate() {
        let left = usable.min[0] + (wide + gap) * index as f64;
        let mut y = top - 1.2 * s;
        for words in *part {
            y -= caution(out, left, y, wide, words, size);
        }
    }
    top
}

fn table(out: &mut Layout, at: [f64; 2], wide: f64, pair: [&OnPage; 2], request: &PrintRequest, s: f64) {
    let row = TABLE_ROW * s;
    let ends = [0.58, 0.78, 1.0].map(|fraction| at[0] + wide * fraction);
    let head = at[1] - row / 2.0;
    for (index, end) in ends.iter().take(2).enumerate() {
        letter(out, [end - 3.0 * s, head], index == 1, 3.6 * s);
    }
    out.words([ends[2], head - 1.1 * s], "B − A", TextStyle::weak(3.0 * s), Align::End);
    for (index, figure) in Figure::ALL.into_iter().enumerate() {
        let y = at[1] - row * (index as f64 + 1.0);
        out.line([at[0], y], [at[0] + wide, y], Pen::new(Colour::PALE, 0.15));
        let base = y - row / 2.0 - 1.2 * s;
        out.words([at[0], base], figure.name(), TextStyle::plain(3.2 * s), Align::Start);
        let [a, b] = pair.map(|one| figure.of(&one.view));
        let cells = [
            figure.words(a, request.unit),
            figure.words(b, request.unit),
            figure.difference(a, b, request.unit),
        ];
        for (end, cell) in ends.iter().zip(cells) {
            out.words([*end, base], cell, TextStyle::strong(3.5 * s), Align::End);
        }
    }
}
