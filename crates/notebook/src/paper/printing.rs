//! What is printed: from what is asked for to pages, and from pages to files.

use std::{error::Error, fmt};

use crate::{
    answer::{bench::Unanswered, wear::Wear},
    drawing::png::{PngError, png},
    paper::{
        bench_sheet::{bench_sheets, log_sheet},
        card::{Card, CardLook, CardSheets},
        chart::chart_pages,
        gauge::{GaugeSelection, PaperTooSmall, gauge_pages, gauges, longest_mm},
        handout::handout,
        lesson_sheet::lesson_sheets,
        page::Page,
        page_svg::page_svg,
        pdf::PdfFile,
        request::{PrintKind, PrintRequest},
        wear_table::wear_pages,
    },
    quantity::length_text,
    saved::{bench::Bench, lesson::Lesson, rig::Rig, setting::SettingEntry},
    words::unanswered::unanswered_words,
};

/// A print that is ready.
#[derive(Debug, Clone, PartialEq)]
pub struct Print {
    /// Its title.
    pub title: String,
    /// Its pages.
    pub pages: Vec<Page>,
    /// Settings that are not on it, and why, in words.
    pub left_out: Vec<(String, String)>,
}

/// Why nothing is printed.
#[derive(Debug, Clone, PartialEq)]
pub enum NotPrinted {
    /// Nothing was asked for.
    Nothing,
    /// A handout needs two settings.
    NoPair,
    /// No lesson was chosen, or the bench has none.
    NoLesson,
    /// No setting has an answer; the words tell of the first.
    NoAnswer(String),
    /// The paper is too small.
    Paper(PaperTooSmall),
    /// It was called off.
    CalledOff,
}

impl fmt::Display for NotPrinted {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Nothing => f.write_str("There is nothing to print yet: choose a setting or a gauge."),
            Self::NoPair => f.write_str(
                "A handout shows two settings: choose what lies beside the one in hand on the Pair page.",
            ),
            Self::NoLesson => f.write_str("There is no lesson to print yet: build one on the Lesson page."),
            Self::NoAnswer(words) => write!(f, "None of these settings has an answer. {words}"),
            Self::Paper(small) => small.fmt(f),
            Self::CalledOff => f.write_str("Called off; nothing was written."),
        }
    }
}

impl Error for NotPrinted {}

/// Tells how far a job is, as a fraction from 0 to 1; answering `false` calls it off.
pub type Progress<'a> = &'a mut dyn FnMut(f64) -> bool;

/// Makes the pages of what is asked for.
///
/// # Errors
/// [`NotPrinted`].
pub fn print(bench: &Bench, request: &PrintRequest, progress: Progress<'_>) -> Result<Print, NotPrinted> {
    let entries: Vec<&SettingEntry> = request.settings.iter().filter_map(|id| bench.setting(*id)).collect();
    let title = |what: &str| {
        if bench.title.is_empty() { what.to_owned() } else { format!("{what}: {}", bench.title) }
    };
    let length = |mm: f64| length_text(mm, request.unit);
    let words = |unanswered: &Unanswered| unanswered_words(unanswered, &length).together();
    let mut left_out = Vec::new();
    let (title, pages) = match request.what {
        PrintKind::Cards => {
            let look = CardLook { unit: request.unit, date: request.date.clone() };
            let mut cards = Vec::with_capacity(entries.len());
            for (done, entry) in entries.iter().enumerate() {
                if !progress(0.6 * done as f64 / entries.len() as f64) {
                    return Err(NotPrinted::CalledOff);
                }
                match Card::of(bench, entry, &look) {
                    Ok(card) => cards.push(card),
                    Err(unanswered) => left_out.push((entry.name.clone(), words(&unanswered))),
                }
            }
            let sheets = CardSheets::new(request.paper, request.correction);
            let mut pages = Vec::new();
            for (done, some) in cards.chunks(sheets.cards_a_sheet()).enumerate() {
                let fraction = done as f64 * sheets.cards_a_sheet() as f64 / cards.len() as f64;
                if !progress(0.6 + 0.3 * fraction) {
                    return Err(NotPrinted::CalledOff);
                }
                pages.extend(sheets.pages(some));
            }
            let title = match (&cards[..], entries.first()) {
                ([_], Some(entry)) => title(&format!("Setting card {}", entry.name)),
                _ => title("Setting cards"),
            };
            (title, pages)
        }
        PrintKind::Chart => {
            // A chart hangs by one grinder: each rig has its own.
            let mut pages = Vec::new();
            for rig in rigs_of(bench, &entries) {
                let on_it: Vec<&SettingEntry> =
                    entries.iter().copied().filter(|entry| entry.rig == rig.id).collect();
                let (some, without) = chart_pages(bench, &on_it, &rig.name, request);
                pages.extend(some);
                left_out.extend(without.iter().map(|(entry, why)| (entry.name.clone(), words(why))));
            }
            (title("Wall chart"), pages)
        }
        PrintKind::Gauges => {
            (title("Gauges"), true_size_pages(bench, &entries, request, &mut left_out, progress)?)
        }
        PrintKind::BenchSheet => {
            let mut rigs = rigs_of(bench, &entries);
            if rigs.is_empty() {
                rigs = bench.rigs.iter().collect();
            }
            let pages = bench_sheets(bench, &rigs, request);
            (title("Bench sheet"), pages)
        }
        PrintKind::Handout => {
            let pair = request.pair.as_deref().ok_or(NotPrinted::NoPair)?;
            let page = handout(bench, [&pair[0], &pair[1]], request)
                .map_err(|(entry, why)| NotPrinted::NoAnswer(format!("{}: {}", entry.name, words(&why))))?;
            (title("Handout"), vec![page])
        }
        PrintKind::LessonSheet => {
            let (one, pages) = lesson_pages(bench, request, &mut left_out, progress)?;
            (title(&one), pages)
        }
        PrintKind::WearTables => {
            let pages = entries.iter().flat_map(|entry| match Wear::of(bench, entry) {
                Ok(wear) => wear_pages(bench, entry, &wear, request),
                Err(unanswered) => {
                    left_out.push((entry.name.clone(), words(&unanswered)));
                    Vec::new()
                }
            });
            (title("Setting tables"), pages.collect())
        }
        PrintKind::LogSheet => {
            (title("Log sheet"), vec![log_sheet(bench, request.paper, request.correction)])
        }
    };
    match (pages.is_empty(), left_out.first()) {
        (true, Some((name, why))) => Err(NotPrinted::NoAnswer(format!("{name}: {why}"))),
        (true, None) => Err(NotPrinted::Nothing),
        (false, _) => Ok(Print { title, pages, left_out }),
    }
}

/// The pages of lessons, and what they are called; steps without an answer go to `left_out`.
fn lesson_pages(
    bench: &Bench,
    request: &PrintRequest,
    left_out: &mut Vec<(String, String)>,
    progress: Progress<'_>,
) -> Result<(String, Vec<Page>), NotPrinted> {
    let lessons: Vec<&Lesson> =
        request.lessons.iter().filter_map(|place| bench.lessons.get(*place)).collect();
    let mut pages = Vec::new();
    for (done, lesson) in lessons.iter().enumerate() {
        if !progress(done as f64 / lessons.len() as f64) {
            return Err(NotPrinted::CalledOff);
        }
        let (some, without) = lesson_sheets(bench, lesson, request);
        pages.extend(some);
        let why = |why: &Unanswered| unanswered_words(why, &|mm| length_text(mm, request.unit)).together();
        left_out.extend(without.iter().map(|(step, no)| (format!("{}, step {step}", lesson.title), why(no))));
    }
    if pages.is_empty() {
        return Err(NotPrinted::NoLesson);
    }
    let title = match lessons[..] {
        [lesson] => format!("Lesson {}", lesson.title),
        _ => "Lessons".to_owned(),
    };
    Ok((title, pages))
}

/// The pages of the gauges, and the settings that have none.
fn true_size_pages(
    bench: &Bench,
    entries: &[&SettingEntry],
    request: &PrintRequest,
    left_out: &mut Vec<(String, String)>,
    progress: Progress<'_>,
) -> Result<Vec<Page>, NotPrinted> {
    let length = |mm: f64| length_text(mm, request.unit);
    let words = |unanswered: &Unanswered| unanswered_words(unanswered, &length).together();
    let longest = longest_mm(request.paper, request.correction);
    if !progress(0.1) {
        return Err(NotPrinted::CalledOff);
    }
    let of_settings = GaugeSelection { fan: false, ..request.gauges };
    let mut all = match gauges(bench, entries, of_settings, request.unit, longest) {
        Ok(made) => made,
        Err(unanswered) if !request.gauges.fan => return Err(NotPrinted::NoAnswer(words(&unanswered))),
        Err(_) => Vec::new(),
    };
    for entry in entries {
        if let Err(unanswered) = bench.answer(entry) {
            left_out.push((entry.name.clone(), words(&unanswered)));
        }
    }
    if request.gauges.fan {
        let fan = GaugeSelection { fan: true, ..GaugeSelection::NONE };
        all.extend(gauges(bench, &[], fan, request.unit, longest).unwrap_or_default());
    }
    gauge_pages(&all, request.paper, request.correction).map_err(NotPrinted::Paper)
}

/// The rigs of some settings, in the bench's order.
fn rigs_of<'a>(bench: &'a Bench, entries: &[&SettingEntry]) -> Vec<&'a Rig> {
    bench.rigs.iter().filter(|rig| entries.iter().any(|entry| entry.rig == rig.id)).collect()
}

/// A kind of file.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum FileKind {
    /// One PDF with every page.
    Pdf,
    /// An SVG a page.
    Svg,
    /// A PNG a page.
    Png {
        /// Dots an inch.
        dpi: f64,
    },
}

/// Why files could not be made.
#[derive(Debug, Clone, PartialEq)]
pub enum NotMade {
    /// It was called off.
    CalledOff,
    /// A picture could not be drawn.
    Picture(PngError),
}

impl fmt::Display for NotMade {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::CalledOff => NotPrinted::CalledOff.fmt(f),
            Self::Picture(error) => error.fmt(f),
        }
    }
}

impl Error for NotMade {}

impl Print {
    /// The files of a print, whole and in memory: one for a PDF, one a page for pictures.
    ///
    /// # Errors
    /// [`NotMade`].
    pub fn files(&self, kind: FileKind, progress: Progress<'_>) -> Result<Vec<Vec<u8>>, NotMade> {
        let count = self.pages.len().max(1) as f64;
        let mut files = Vec::new();
        let mut file = PdfFile::new(&self.title);
        for (done, page) in self.pages.iter().enumerate() {
            if !progress(done as f64 / count) {
                return Err(NotMade::CalledOff);
            }
            match kind {
                FileKind::Pdf => file.add(page),
                FileKind::Svg => files.push(page_svg(page, &self.title).into_bytes()),
                FileKind::Png { dpi } => {
                    let svg = page_svg(page, &self.title);
                    files.push(
                        png(&svg, dpi / crate::quantity::length_unit::MM_PER_INCH)
                            .map_err(NotMade::Picture)?,
                    );
                }
            }
        }
        if kind == FileKind::Pdf {
            files.push(file.finish());
        }
        Ok(files)
    }
}
