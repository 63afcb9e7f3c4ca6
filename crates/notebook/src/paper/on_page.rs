//! A setting as it stands on a page: its answer, its drawings, its cautions.

use bevelbench_geometry::{
    facet::ink::FILM_ASSUMED_MM,
    side::{Caution, Job, SideView},
};

use crate::{
    answer::{
        bench::Unanswered,
        swept::{Swept, swept, wing_in_tool},
    },
    drawing::{
        shape::{Align, Bounds, Drawing},
        side_view::{focus, look::SideLook, loupe_centre_and_radius, loupe_view, side_view},
    },
    paper::page::{Colour, Layout, Pen, TextStyle},
    quantity::{fine_text, format_number, length_text, length_unit::LengthUnit},
    saved::{bench::Bench, setting::SettingEntry},
    words::{Compared, caution_words},
};

/// Points along the edge for the words about the wings.
const EDGE_POINTS: usize = 65;

/// Scales at which a side view is drawn: round ones, so that they can be named.
const SCALES: [f64; 14] = [1.0, 1.5, 2.0, 2.5, 3.0, 3.5, 4.0, 5.0, 6.0, 7.0, 8.0, 10.0, 15.0, 20.0];

/// What of a setting a page shows besides its side view.
#[derive(Debug, Clone, Copy)]
pub(crate) struct PageContents {
    /// Dimensions on the drawings; one that is laid over another goes without, so that those of the first can be read.
    pub(crate) dimensions: bool,
    /// The swept shape.
    pub(crate) shape: bool,
    /// The edge on the wheel, enlarged.
    pub(crate) edge: bool,
}

/// A setting with all that a page shows of it.
#[derive(Debug)]
pub(crate) struct OnPage {
    pub(crate) job: Job,
    pub(crate) view: SideView,
    pub(crate) swept: Option<Swept>,
    /// The bench from the side, and what is to be seen of it.
    pub(crate) side: (Drawing, Bounds),
    /// The edge on the wheel, and what is to be seen of it.
    pub(crate) edge: Option<(Drawing, Bounds)>,
    /// Tool and setting.
    pub(crate) name: String,
    /// Rig, wheel and holder.
    pub(crate) place: String,
}

impl OnPage {
    /// Works a setting out; lengths on its drawings are in `unit`.
    ///
    /// # Errors
    /// [`Unanswered`], whatever stands in the way of an answer.
    pub(crate) fn of(
        bench: &Bench,
        entry: &SettingEntry,
        unit: LengthUnit,
        wanted: PageContents,
    ) -> Result<Self, Unanswered> {
        let (job, view) = bench.answer(entry)?;
        let length = |mm: f64| length_text(mm, unit);
        let fine = |mm: f64| fine_text(mm, unit);
        let wing = wing_in_tool(&job, &view, entry.swing.as_ref());
        let relief = entry.relief_if_any(&job, &view);
        let look = SideLook {
            roll_centre_mm: entry.swing.map(|swing| swing.roll_centre_mm),
            wing: &wing,
            relief: relief.as_ref(),
            dimensions: wanted.dimensions,
            ..SideLook::new(&length, &fine)
        };
        let drawing = side_view(&job, &view, &look);
        let seen = focus(&job, Some(&view)).or_else(|| drawing.bounds());
        let (centre, radius) = loupe_centre_and_radius(&job, &view, &look);
        let around = Bounds {
            min: [centre[0] - radius, centre[1] - radius],
            max: [centre[0] + radius, centre[1] + radius],
        };
        let edge = wanted.edge.then(|| (loupe_view(&job, &view, &look, FILM_ASSUMED_MM), around));
        let shape =
            wanted.shape.then(|| swept(&job, &view, entry.swing.as_ref(), EDGE_POINTS).ok()).flatten();
        let tool = bench.tool(entry.tool).map_or("", |tool| tool.name.as_str());
        Ok(Self {
            side: (drawing, seen.unwrap_or(around)),
            swept: shape,
            edge,
            job,
            view,
            name: format!("{tool}: {}", entry.name),
            place: bench.place_words(entry),
        })
    }

    /// For the words about differences.
    pub(crate) fn compared(&self) -> Compared<'_> {
        Compared { job: &self.job, view: &self.view, swept: self.swept.as_ref() }
    }

    /// The cautions: what needs care first, what is said everywhere last.
    pub(crate) fn cautions(&self, unit: LengthUnit) -> Vec<String> {
        sorted_cautions(&self.job, &self.view, unit)
    }
}

/// The cautions of an answer in words: what needs care first, what is said everywhere last.
pub(crate) fn sorted_cautions(job: &Job, view: &SideView, unit: LengthUnit) -> Vec<String> {
    let mut reported: Vec<Caution> = job.cautions(view);
    reported.sort_by_key(|caution| match caution {
        Caution::LocalRules => 2,
        caution if caution.is_warning() => 0,
        _ => 1,
    });
    reported.iter().map(|caution| caution_words(caution, &|mm| length_text(mm, unit))).collect()
}

/// The reduction at which all of some windows go into a box: a round one where there is one.
pub(crate) fn reduction(windows: &[Bounds], into: Bounds) -> f64 {
    let needed = windows
        .iter()
        .map(|seen| (seen.width() / into.width().max(1.0)).max(seen.height() / into.height().max(1.0)))
        .fold(0.0, f64::max);
    SCALES.into_iter().find(|scale| *scale >= needed).unwrap_or(needed)
}

/// `1 : 2.5`.
pub(crate) fn scale_words(reduced: f64) -> String {
    format!("1 : {}", format_number(reduced, usize::from(reduced.fract() > 0.0)))
}

/// The title of a page, the bench and the date beside it, a rule below; gives back where the rule lies. The title may take
/// `title_fraction` of the width.
pub(crate) fn head(
    out: &mut Layout,
    usable: Bounds,
    title: &str,
    title_fraction: f64,
    (bench, date): (&Bench, &str),
    s: f64,
) -> f64 {
    let line = usable.max[1] - 5.5 * s;
    let wide = usable.width();
    out.fitted([usable.min[0], line], title, TextStyle::strong(6.0 * s), Align::Start, wide * title_fraction);
    let date = date.trim();
    let under = if date.is_empty() { bench.title.clone() } else { format!("{} · {date}", bench.title) };
    out.fitted(
        [usable.max[0], line],
        &under,
        TextStyle::weak(3.0 * s),
        Align::End,
        wide * (0.98 - title_fraction),
    );
    let y = line - 2.6 * s;
    out.line([usable.min[0], y], [usable.max[0], y], Pen::new(Colour::BLACK, 0.35));
    y
}

/// A letter in a disc: A filled, B bare and dashed, so that they are distinguished without colour.
pub(crate) fn letter(out: &mut Layout, at: [f64; 2], second: bool, size_mm: f64) {
    let (fill, pen, colour) = if second {
        (Colour::WHITE, Pen::dashed(Colour::BLACK, 0.3, &[0.9, 0.6]), Colour::BLACK)
    } else {
        (Colour::BLACK, Pen::new(Colour::BLACK, 0.3), Colour::WHITE)
    };
    out.circle(at, size_mm * 0.78, Some(fill), Some(pen));
    let kind = TextStyle::new(crate::drawing::text_shaping::Typeface::SemiBold, size_mm, colour);
    let word = if second { "B" } else { "A" };
    out.words([at[0], at[1] - size_mm * 0.355], word, kind, Align::Middle);
}

/// A caution with its sign, its top at `top`; gives back how tall it is.
pub(crate) fn caution(out: &mut Layout, left: f64, top: f64, wide: f64, words: &str, size: f64) -> f64 {
    let sign = TextStyle::new(crate::drawing::text_shaping::Typeface::SemiBold, size, Colour::CARE);
    out.words([left, top - size * 0.95], "⚠", sign, Align::Start);
    out.paragraph(left + 2.0 * size, top, wide - 2.4 * size, words, TextStyle::plain(size)) + 0.35 * size
}

/// How tall cautions are.
pub(crate) fn cautions_mm(cautions: &[String], wide: f64, size: f64) -> f64 {
    let kind = TextStyle::plain(size);
    let lines: usize = cautions
        .iter()
        .map(|words| {
            crate::drawing::text_shaping::wrapped(words, kind.typeface, size, wide - 2.4 * size).len()
        })
        .sum();
    lines as f64 * kind.line_mm() + 0.35 * size * cautions.len() as f64
}
