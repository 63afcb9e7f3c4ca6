//! The Print page: the real pages, what is on them, and where they go.
//!
//! The picture is drawn from the very pages that are written to the file; pages, pictures and files are made on a thread
//! of their own, and a newer wish calls the older one off.

mod maker;
mod options;
mod preview;
mod viewer;

use std::{
    collections::BTreeSet,
    path::{Path, PathBuf},
    sync::Arc,
};

use bevelbench_notebook::{
    paper::{
        gauge::GaugeSelection,
        printing::{NotPrinted, Print},
        request::{PrintKind, PrintRequest},
        sheet::{BAR_MM, Correction},
    },
    saved::{Bench, Id},
    store::file_stem_from_name,
};
use egui::{Context, Frame, Margin, Panel, ScrollArea, TextureHandle, Ui};

use self::maker::{PrintWorker, WorkerReply, WorkerRequest};
use crate::{
    model::{appearance::Tone, prefs::Prefs, session::Session},
    toolkit::theme::{Surface, Theme},
};

/// What the Print page remembers while the window is open.
#[derive(Default)]
pub struct PrintState {
    what: PrintKind,
    gauges: GaugeSelection,
    /// The settings that are ticked; nothing until the page was seen.
    ticked: Option<BTreeSet<Id>>,
    date: String,
    /// The lesson that is printed; all of them without one.
    lesson: Option<usize>,
    page: usize,
    /// Where to; the program's own proposal while it is empty.
    path: String,
    /// What the bars measure, as typed.
    bars_mm: Option<[f64; 2]>,
    /// The pages, and what they were made of.
    cached: Option<(PrintedRequest, Result<Arc<Print>, NotPrinted>)>,
    making: Option<(PrintedRequest, PrintWorker)>,
    shown: Option<(PreviewKey, TextureHandle)>,
    drawing: Option<(PreviewKey, PrintWorker)>,
    saving: Option<PrintWorker>,
    then_open: bool,
    reported: Option<(Tone, String)>,
    prints: u64,
}

/// What pages were made of.
#[derive(Debug, Clone, PartialEq)]
struct PrintedRequest {
    revision: u64,
    request: PrintRequest,
}

/// What a picture shows.
#[derive(Debug, Clone, Copy, PartialEq)]
struct PreviewKey {
    print: u64,
    page: usize,
    pixels_per_mm: f64,
}

impl std::fmt::Debug for PrintState {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("PrintState")
            .field("what", &self.what)
            .field("page", &self.page)
            .finish_non_exhaustive()
    }
}

impl PrintState {
    fn request(&self, bench: &Bench, prefs: &Prefs) -> PrintRequest {
        let ticked = self.ticked.as_ref();
        let settings = bench
            .settings
            .iter()
            .map(|entry| entry.id)
            .filter(|id| ticked.is_some_and(|ticked| ticked.contains(id)))
            .collect();
        PrintRequest {
            what: self.what,
            paper: prefs.paper,
            correction: prefs.printer,
            settings,
            pair: bench.current.clone().zip(bench.beside.clone()).map(|(a, b)| Box::new([a, b])),
            lessons: match self.lesson {
                Some(place) => vec![place],
                None => (0..bench.lessons.len()).collect(),
            },
            gauges: self.gauges,
            unit: prefs.unit,
            date: self.date.clone(),
        }
    }

    /// The pages that are ready, if they are those that are asked for.
    fn ready(&self) -> Option<&Arc<Print>> {
        match &self.cached {
            Some((_, Ok(print))) if self.making.is_none() => Some(print),
            _ => None,
        }
    }

    /// Where the print goes: what was typed, a bare name in the bench's folder, or a name made from what it is.
    fn path(&self, folder: &Path) -> PathBuf {
        let typed = self.path.trim();
        let path = if typed.is_empty() { PathBuf::from(self.proposal()) } else { PathBuf::from(typed) };
        let path = match (typed.strip_prefix("~/"), std::env::var_os("HOME")) {
            (Some(rest), Some(home)) => PathBuf::from(home).join(rest),
            _ => path,
        };
        let mut path = if path.is_relative() { folder.join(path) } else { path };
        if path.extension().is_none() {
            path.set_extension("pdf");
        }
        path
    }

    fn proposal(&self) -> String {
        let name = match &self.cached {
            Some((_, Ok(print))) => print.title.as_str(),
            _ => self.what.name(),
        };
        format!("{}.pdf", file_stem_from_name(name))
    }

    /// Begins what is wished for and takes what is ready.
    fn work(&mut self, ctx: &Context, session: &Session, prefs: &Prefs) {
        self.receive(ctx);
        let wanted =
            PrintedRequest { revision: session.revision(), request: self.request(session.bench(), prefs) };
        let underway = self.making.as_ref().map(|(cached, _)| cached);
        let at_hand = self.cached.as_ref().map(|(cached, _)| cached);
        if underway != Some(&wanted) && (underway.is_some() || at_hand != Some(&wanted)) {
            let bench = Arc::new(as_it_stands(session.bench()));
            match PrintWorker::begin(WorkerRequest::Pages(bench, wanted.request.clone()), waker(ctx)) {
                Ok(work) => self.making = Some((wanted, work)),
                Err(why) => self.reported = Some((Tone::Bad, why)),
            }
        }
    }

    fn receive(&mut self, ctx: &Context) {
        if let Some((cached, work)) = self.making.take() {
            match work.take() {
                Some(WorkerReply::Pages(pages)) => {
                    self.prints += 1;
                    if let Ok(print) = &pages {
                        self.page = self.page.min(print.pages.len().saturating_sub(1));
                    }
                    self.cached = Some((cached, pages));
                }
                _ => self.making = Some((cached, work)),
            }
        }
        if let Some((shown, work)) = self.drawing.take() {
            match work.take() {
                Some(WorkerReply::Picture(Ok(pixels))) => {
                    let size = [pixels.width, pixels.height];
                    let image = egui::ColorImage::from_rgba_unmultiplied(size, &pixels.rgba);
                    let texture = ctx.load_texture("printed page", image, egui::TextureOptions::LINEAR);
                    self.shown = Some((shown, texture));
                }
                Some(WorkerReply::Picture(Err(why))) => self.reported = Some((Tone::Bad, why)),
                _ => self.drawing = Some((shown, work)),
            }
        }
        if let Some(work) = self.saving.take() {
            match work.take() {
                Some(WorkerReply::Saved(Ok(places))) => {
                    let first = places.first().cloned().unwrap_or_default();
                    let words = match places.len() {
                        1 => format!("Saved as {}.", first.display()),
                        count => format!("Saved as {count} files, {} and on.", first.display()),
                    };
                    self.reported = Some((Tone::Good, words));
                    if std::mem::take(&mut self.then_open)
                        && let Err(why) = viewer::open(&first)
                    {
                        self.reported = Some((Tone::Caution, why));
                    }
                }
                Some(WorkerReply::Saved(Err(why))) => {
                    self.then_open = false;
                    self.reported = Some((Tone::Bad, why));
                }
                _ => self.saving = Some(work),
            }
        }
    }

    /// Has the page drawn at a resolution, unless it is drawn already.
    fn draw(&mut self, ctx: &Context, pixels_per_mm: f64) {
        let Some(print) = self.ready().cloned() else { return };
        let wanted = PreviewKey { print: self.prints, page: self.page, pixels_per_mm };
        let at_hand = self.shown.as_ref().map(|(shown, _)| *shown);
        let underway = self.drawing.as_ref().map(|(shown, _)| *shown);
        if underway == Some(wanted) || (underway.is_none() && at_hand == Some(wanted)) {
            return;
        }
        match PrintWorker::begin(WorkerRequest::Picture { print, page: self.page, pixels_per_mm }, waker(ctx))
        {
            Ok(work) => self.drawing = Some((wanted, work)),
            Err(why) => self.reported = Some((Tone::Bad, why)),
        }
    }

    fn save(&mut self, ctx: &Context, folder: &Path, then_open: bool) {
        let Some(print) = self.ready().cloned() else { return };
        let path = self.path(folder);
        self.reported = None;
        match PrintWorker::begin(WorkerRequest::Save { print, path }, waker(ctx)) {
            Ok(work) => {
                self.saving = Some(work);
                self.then_open = then_open;
            }
            Err(why) => self.reported = Some((Tone::Bad, why)),
        }
    }

    /// Corrects the printer by what its bars measure.
    fn correct(&mut self, prefs: &mut Prefs) {
        let [across, up] = self.bars_mm.unwrap_or([BAR_MM; 2]);
        match prefs.printer.from_measured(across, up) {
            Ok(correction) => {
                prefs.printer = correction;
                self.bars_mm = None;
                let words = "Corrected. Print again and measure the bars once more.";
                self.reported = Some((Tone::Good, words.to_owned()));
            }
            Err(not_a_bar) => self.reported = Some((Tone::Bad, not_a_bar.to_string())),
        }
    }

    fn uncorrect(&mut self, prefs: &mut Prefs) {
        prefs.printer = Correction::default();
        self.bars_mm = None;
        self.reported = None;
    }
}

fn waker(ctx: &Context) -> impl Fn() + Send + 'static {
    let ctx = ctx.clone();
    move || ctx.request_repaint()
}

/// The bench with the current setting as it stands on screen, saved or not.
fn as_it_stands(bench: &Bench) -> Bench {
    let mut bench = bench.clone();
    if let Some(current) = bench.current.clone()
        && let Some(saved) = bench.settings.iter_mut().find(|saved| saved.id == current.id)
    {
        *saved = current;
    }
    bench
}

/// The Print page.
pub fn print_page(
    ui: &mut Ui,
    session: &Session,
    state: &mut PrintState,
    prefs: &mut Prefs,
    folder: &Path,
    theme: &Theme,
) {
    let ctx = ui.ctx().clone();
    if state.ticked.is_none() {
        state.ticked = Some(session.current().map(|current| current.id).into_iter().collect());
    }
    state.work(&ctx, session, prefs);
    let margin = theme.sizes.gap.margin as i8;
    let frame = Frame::new().fill(theme.surface(Surface::Panel)).inner_margin(Margin::same(margin));
    Panel::left("print options").exact_size(346.0).resizable(false).frame(frame).show(ui, |ui| {
        let quiet = Frame::new().fill(theme.surface(Surface::Panel));
        Panel::bottom("print outlet").resizable(false).frame(quiet).show(ui, |ui| {
            options::outlet(ui, session, state, folder, theme);
        });
        ScrollArea::vertical().auto_shrink([false, false]).show(ui, |ui| {
            // Clear of the bar that floats at the right.
            ui.set_max_width(ui.available_width() - theme.sizes.gap.wide);
            options::options(ui, session, state, prefs, theme);
        });
    });
    preview::preview(ui, state, theme);
    // What was chosen in this frame is begun before it ends.
    state.work(&ctx, session, prefs);
}
