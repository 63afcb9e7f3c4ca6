//! The lesson sheet: a lesson's steps on paper, each with its picture, its figures and its caption.

use crate::{
    answer::{bench::Unanswered, lesson::with_wheel},
    drawing::{
        pair_view::laid_over,
        shape::{Align, Bounds, Drawing},
        text_shaping::wrapped,
    },
    paper::{
        on_page::{OnPage, PageContents, caution, cautions_mm, head, letter, reduction, scale_words},
        page::{Colour, Layout, Page, Pen, TextStyle},
        request::PrintRequest,
        sheet::Leaf,
    },
    quantity::figure::Figure,
    saved::{
        bench::Bench,
        lesson::{Lesson, LessonStep, LessonView},
    },
    words::permanent_cautions,
};

/// How tall a step is at least, in millimetres.
const STEP_MM: f64 = 52.0;

/// The pages of a lesson; and the steps that have no answer, counted from one, with the reason.
#[must_use]
pub fn lesson_sheets(
    bench: &Bench,
    lesson: &Lesson,
    request: &PrintRequest,
) -> (Vec<Page>, Vec<(usize, Unanswered)>) {
    let leaf = Leaf::new(request.paper, false, request.correction);
    let usable = leaf.usable();
    let s = (usable.width() / 190.0).clamp(0.55, 1.4);
    let mut without = Vec::new();
    let steps: Vec<(usize, &LessonStep, Option<Vec<OnPage>>)> = lesson
        .steps
        .iter()
        .enumerate()
        .map(|(index, step)| match shown(bench, step, request) {
            Ok(all) => (index + 1, step, Some(all)),
            Err(why) => {
                without.push((index + 1, why));
                (index + 1, step, None)
            }
        })
        .collect();
    let cautions: Vec<String> = permanent_cautions().map(str::to_owned).to_vec();
    let size = 2.3 * s;
    let foot_mm = cautions_mm(&cautions, usable.width(), size) + 3.0 * s;
    let floor = usable.min[1] + foot_mm;
    // From step to step only what really moves is seen to move: one window and one scale for all.
    let windows: Vec<Bounds> = steps
        .iter()
        .filter(|(_, step, _)| step.view == LessonView::Side)
        .filter_map(|(_, _, shown)| shown.as_ref())
        .flat_map(|shown| shown.iter().map(|one| one.side.1))
        .collect();
    let seen = windows.into_iter().reduce(Bounds::union);
    let room = usable.max[1] - 10.5 * s - floor;
    let rows = (room / (STEP_MM * s)).floor().max(1.0);
    let tall = (room / rows).min(room / (steps.len() as f64).clamp(1.0, rows)).min(1.5 * STEP_MM * s);
    let mut pages = Vec::new();
    for some in steps.chunks(rows as usize) {
        let mut out = Layout::new();
        let mut top = head(&mut out, usable, &lesson.title, 0.66, (bench, &request.date), s) - s;
        for (number, step, shown) in some {
            let band = Bounds { min: [usable.min[0], top - tall], max: [usable.max[0], top] };
            step_band(&mut out, band, *number, step, shown.as_deref(), seen, request, s);
            top -= tall;
            out.line([usable.min[0], top], [usable.max[0], top], Pen::new(Colour::PALE, 0.2));
        }
        let mut y = floor - 1.5 * s;
        for words in &cautions {
            y -= caution(&mut out, usable.min[0], y, usable.width(), words, size);
        }
        pages.push(leaf.page(out));
    }
    (pages, without)
}

fn shown(bench: &Bench, step: &LessonStep, request: &PrintRequest) -> Result<Vec<OnPage>, Unanswered> {
    let one = with_wheel(bench, &step.setting, step.wheel_diameter_mm);
    let edge = step.view == LessonView::Edge && step.beside.is_none();
    let wanted = PageContents { dimensions: true, shape: false, edge };
    let mut all = vec![OnPage::of(&one, &step.setting, request.unit, wanted)?];
    if let Some(beside) = &step.beside {
        let other = with_wheel(bench, beside, step.beside_wheel_diameter_mm);
        all.push(OnPage::of(&other, beside, request.unit, PageContents { dimensions: false, ..wanted })?);
    }
    Ok(all)
}

#[allow(clippy::too_many_arguments, reason = "one call, each a different thing to lay out")]
fn step_band(
    out: &mut Layout,
    band: Bounds,
    number: usize,
    step: &LessonStep,
    shown: Option<&[OnPage]>,
    seen: Option<Bounds>,
    request: &PrintRequest,
    s: f64,
) {
    let middle = band.min[0] + band.width() * 0.54;
    let left = middle + 5.0 * s;
    let wide = band.max[0] - left;
    let disc = [left + 2.6 * s, band.max[1] - 5.6 * s];
    out.circle(disc, 2.6 * s, Some(Colour::BLACK), None);
    let white = TextStyle::new(crate::drawing::text_shaping::Typeface::SemiBold, 3.6 * s, Colour::WHITE);
    out.words([disc[0], disc[1] - 1.28 * s], number.to_string(), white, Align::Middle);
    // The caption, as large as it goes.
    let mut kind = TextStyle::new(crate::drawing::text_shaping::Typeface::Medium, 4.0 * s, Colour::BLACK);
    let most = band.height() - 30.0 * s;
    while kind.size_mm > 2.6 * s
        && wrapped(&step.caption, kind.typeface, kind.size_mm, wide).len() as f64 * kind.line_mm() > most
    {
        kind.size_mm -= 0.1 * s;
    }
    let mut y = band.max[1] - 10.5 * s;
    y -= out.paragraph(left, y, wide, &step.caption, kind) + 2.0 * s;
    let Some(shown) = shown else {
        let words = "This step has no answer on this bench: see the bench’s own words for it.";
        out.paragraph(left, y, wide, words, TextStyle::new(kind.typeface, 2.8 * s, Colour::CARE));
        return;
    };
    let ends = [0.68, 1.0].map(|fraction| left + wide * fraction);
    if shown.len() > 1 {
        for (index, end) in ends.iter().enumerate() {
            letter(out, [end - 2.6 * s, y - 2.2 * s], index == 1, 3.2 * s);
        }
        y -= 5.2 * s;
    }
    for figure in [Figure::Bevel, Figure::Across, Figure::Facet] {
        let base = y - 3.6 * s;
        out.fitted([left, base], figure.name(), TextStyle::weak(2.8 * s), Align::Start, wide * 0.42);
        for (one, end) in shown.iter().zip(if shown.len() > 1 { &ends[..] } else { &ends[1..] }) {
            let words = figure.words(figure.of(&one.view), request.unit);
            out.words([*end, base], words, TextStyle::strong(3.6 * s), Align::End);
        }
        y -= 5.0 * s;
    }
    picture(out, Bounds { min: band.min, max: [middle, band.max[1]] }, step, shown, seen, s);
}

fn picture(
    out: &mut Layout,
    cell: Bounds,
    step: &LessonStep,
    shown: &[OnPage],
    seen: Option<Bounds>,
    s: f64,
) {
    let Some(first) = shown.first() else { return };
    let name = |one: &OnPage, wheel: Option<f64>, request: &str| {
        wheel.map_or_else(|| one.name.clone(), |_| format!("{}{request}", one.name))
    };
    let mut top = cell.max[1] - 1.5 * s;
    for (index, (one, wheel)) in
        shown.iter().zip([step.wheel_diameter_mm, step.beside_wheel_diameter_mm]).enumerate()
    {
        let mut left = cell.min[0];
        if shown.len() > 1 {
            letter(out, [left + 1.9 * s, top - 2.2 * s], index == 1, 2.4 * s);
            left += 5.0 * s;
        }
        let wheel_words =
            format!(", wheel {} mm", crate::quantity::format_number(wheel.unwrap_or_default(), 0));
        let words = name(one, wheel, &wheel_words);
        out.fitted([left, top - 3.2 * s], &words, TextStyle::weak(2.7 * s), Align::Start, cell.max[0] - left);
        top -= 4.4 * s;
    }
    // Room for two names in every step: one scale for all.
    let room =
        Bounds { min: [cell.min[0], cell.min[1] + 4.6 * s], max: [cell.max[0], cell.max[1] - 10.8 * s] };
    let enlarged = first.edge.as_ref();
    let (drawing, window, words): (Drawing, Bounds, &str) = match (enlarged, shown) {
        (Some((edge, around)), _) => (edge.clone(), *around, "The edge"),
        (_, [one, other]) => {
            let seen = seen.unwrap_or_else(|| one.side.1.union(other.side.1));
            (laid_over(&one.side.0, &other.side.0), seen, "Side view")
        }
        _ => (first.side.0.clone(), seen.unwrap_or(first.side.1), "Side view"),
    };
    let scale = if enlarged.is_some() {
        let fits = (room.width() / window.width()).min(room.height() / window.height());
        // Enlarged by a round number.
        let whole = fits.floor().max(1.0);
        let words = format!("{words}, {whole} : 1");
        out.words([cell.max[0], cell.min[1] + 1.5 * s], words, TextStyle::weak(2.2 * s), Align::End);
        whole
    } else {
        let reduced = reduction(&[window.grown(1.0)], room);
        let words = format!("{words}, {}", scale_words(reduced));
        out.words([cell.max[0], cell.min[1] + 1.5 * s], words, TextStyle::weak(2.2 * s), Align::End);
        1.0 / reduced
    };
    out.drawing(&drawing, window.grown(1.0), room, scale, 0.72 * s);
}
