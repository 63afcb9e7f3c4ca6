//! The wall chart: the settings of a rig as a table that is read from two metres away.

use crate::{
    answer::bench::Unanswered,
    drawing::{
        shape::{Align, Bounds},
        text_shaping::Typeface,
    },
    paper::{
        card::bare,
        page::{Colour, Layout, Page, Pen, TextStyle},
        request::PrintRequest,
        sheet::Leaf,
    },
    quantity::{format_angle, length_text, length_unit::LengthUnit},
    saved::{bench::Bench, setting::SettingEntry, table, tool::Family},
    words::at_the_grinder_steps,
};

/// One line of the chart.
struct Row {
    family: Family,
    tool: String,
    name: String,
    wheel: String,
    bevel: String,
    /// Projection, strut angle, reach or tilt, gauge length.
    /// By column; a value that does not head its column says what it is.
    values: Vec<(&'static str, String)>,
}

/// The height of numbers, in millimetres: capitals a four-hundredth of two metres tall, which good eyes read with ease
/// (a letter that subtends five minutes of arc is read at 2 m when it is 2.9 mm tall; these are twice that).
const NUMBER_MM: f64 = 8.2;

/// The pages of a chart of settings, grouped by family, sorted by tool and name within it; and the settings that have no
/// answer.
#[must_use]
pub fn chart_pages<'a>(
    bench: &Bench,
    entries: &[&'a SettingEntry],
    title: &str,
    request: &PrintRequest,
) -> (Vec<Page>, Vec<(&'a SettingEntry, Unanswered)>) {
    let mut rows: Vec<Row> = Vec::new();
    let mut without = Vec::new();
    for entry in entries {
        match row_of(bench, entry, request.unit) {
            Ok(row) => rows.push(row),
            Err(unanswered) => without.push((*entry, unanswered)),
        }
    }
    rows.sort_by(|a, b| (a.family, &a.tool, &a.name).cmp(&(b.family, &b.tool, &b.name)));
    let leaf = Leaf::new(request.paper, true, request.correction);
    (lay(&rows, leaf, title, request.unit, &request.date), without)
}

fn row_of(bench: &Bench, entry: &SettingEntry, unit: LengthUnit) -> Result<Row, Unanswered> {
    let (job, view) = bench.answer(entry)?;
    let tool = bench.tool(entry.tool);
    let wheel = bench.rig(entry.rig).and_then(|rig| rig.wheel(entry.wheel));
    let short = |mm: f64| bare(&length_text(mm, unit));
    let mut values: Vec<(&'static str, String)> = Vec::new();
    for step in at_the_grinder_steps(&job, &view, &[], &short) {
        let Some(set) = table::row(step.quantity).and_then(|row| row.set) else { continue };
        let text = format!("{}{}", set.lead, step.value_text);
        match values.iter_mut().find(|(column, _)| *column == set.column) {
            Some((_, there)) => *there = format!("{there}, {text}"),
            None => values.push((set.column, text)),
        }
    }
    Ok(Row {
        family: tool.map_or(Family::SpindleGouge, |tool| tool.family),
        tool: tool.map_or_else(String::new, |tool| tool.name.clone()),
        name: entry.name.clone(),
        wheel: wheel.map_or_else(String::new, |wheel| wheel.name.clone()),
        bevel: format_angle(view.bevel().degrees(), 0),
        values,
    })
}

/// Where the bevel's column and those behind it end, as fractions of the width.
fn ends_of(columns: usize) -> Vec<f64> {
    if columns == 4 {
        return vec![0.52, 0.655, 0.755, 0.88, 1.0];
    }
    let step = 0.48 / columns.max(1) as f64;
    (0..=columns).map(|column| 0.52 + step * column as f64).collect()
}

fn lay(rows: &[Row], leaf: Leaf, title: &str, unit: LengthUnit, date: &str) -> Vec<Page> {
    let usable = leaf.usable();
    let width = usable.width();
    // Wider paper is read from further off.
    let s = (width / 277.0).clamp(0.62, 1.5);
    let number = TextStyle::strong(NUMBER_MM * s);
    let row_mm = 13.0 * s;
    let group_mm = 9.0 * s;
    let columns = table::columns();
    let ends: Vec<f64> =
        ends_of(columns.len()).into_iter().map(|fraction| usable.min[0] + width * fraction).collect();
    let heads: Vec<&str> = std::iter::once("bevel").chain(columns.iter().copied()).collect();
    let mut pages: Vec<Layout> = Vec::new();
    let mut page = Layout::new();
    let floor = usable.min[1] + 10.0 * s;
    let mut top = floor;
    let mut family = None;
    let mut open = false;
    let start = |page: &mut Layout| {
        let line = usable.max[1] - 9.0 * s;
        page.fitted([usable.min[0], line], title, TextStyle::strong(9.0 * s), Align::Start, width * 0.7);
        let unit = match unit {
            LengthUnit::Millimetre => "millimetres",
            LengthUnit::Inch | LengthUnit::InchFraction => "inches",
        };
        let date = if date.trim().is_empty() { String::new() } else { format!("{} · ", date.trim()) };
        let words = format!("{date}lengths in {unit}");
        page.words([usable.max[0], line], words, TextStyle::weak(4.0 * s), Align::End);
        let head = line - 8.5 * s;
        for (end, words) in ends.iter().zip(&heads) {
            page.words([*end, head], *words, TextStyle::weak(4.2 * s), Align::End);
        }
        page.line(
            [usable.min[0], head - 2.2 * s],
            [usable.max[0], head - 2.2 * s],
            Pen::new(Colour::BLACK, 0.5),
        );
        head - 2.2 * s
    };
    let finish = |page: &mut Layout| {
        let words = "Power off, lock everything, ink the bevel, turn the wheel by hand, read the ink, then switch on. Local codes, the maker’s markings and trained practice come first.";
        page.fitted(
            [usable.min[0], usable.min[1] + 1.5 * s],
            words,
            TextStyle::new(Typeface::Medium, 4.0 * s, Colour::CARE),
            Align::Start,
            width,
        );
    };
    for row in rows {
        let new_group = family != Some(row.family);
        let needed = row_mm + if new_group || !open { group_mm } else { 0.0 };
        if !open || top - needed < floor {
            if open {
                finish(&mut page);
                pages.push(std::mem::take(&mut page));
            }
            top = start(&mut page);
            family = None;
            open = true;
        }
        if family != Some(row.family) {
            family = Some(row.family);
            let band = Bounds {
                min: [usable.min[0], top - group_mm + 1.2 * s],
                max: [usable.max[0], top - 0.8 * s],
            };
            page.frame(band, Some(Colour::BAND), None);
            let kind = TextStyle::new(Typeface::SemiBold, 5.0 * s, Colour::BLACK);
            page.words([usable.min[0] + 2.0 * s, top - 6.1 * s], row.family.words(), kind, Align::Start);
            top -= group_mm;
        }
        let room = ends[0] - usable.min[0] - 22.0 * s;
        let name = TextStyle::new(Typeface::SemiBold, 6.2 * s, Colour::BLACK);
        page.fitted([usable.min[0], top - 6.2 * s], &row.name, name, Align::Start, room);
        let under = format!("{} · {}", row.tool, row.wheel);
        page.fitted([usable.min[0], top - 11.0 * s], &under, TextStyle::weak(3.9 * s), Align::Start, room);
        let base = top - 9.0 * s;
        page.words([ends[0], base], row.bevel.as_str(), number, Align::End);
        let mut left = ends[0];
        for (end, column) in ends[1..].iter().zip(&columns) {
            if let Some((_, value)) = row.values.iter().find(|(of, _)| of == column) {
                // What says its name goes over into the column before it, which is empty then.
                let named = value.starts_with(char::is_alphabetic);
                let room = if named { end - left + 20.0 * s } else { end - left - 1.5 };
                page.fitted([*end, base], value, number, Align::End, room);
            }
            left = *end;
        }
        top -= row_mm;
        page.line([usable.min[0], top], [usable.max[0], top], Pen::new(Colour::PALE, 0.2));
    }
    if open {
        finish(&mut page);
        pages.push(page);
    }
    pages.into_iter().map(|layout| leaf.page(layout)).collect()
}
