//! The making of prints on a thread of their own: the latest wish counts, older ones are called off.

use std::{
    path::PathBuf,
    sync::{
        Arc,
        atomic::{AtomicBool, AtomicU32, Ordering},
        mpsc::{Receiver, channel},
    },
    thread,
};

use bevelbench_notebook::{
    drawing::png::{Pixels, pixels},
    paper::{
        page_svg::page_svg,
        printing::{NotPrinted, Print, print},
        request::PrintRequest,
    },
    saved::Bench,
};

use bevelbench_notebook::paper::files;

/// What is wished for.
#[derive(Debug, Clone)]
pub(super) enum WorkerRequest {
    /// The pages.
    Pages(Arc<Bench>, PrintRequest),
    /// A page as a picture, at so many pixels a millimetre.
    Picture {
        /// The print.
        print: Arc<Print>,
        /// Which page.
        page: usize,
        /// Pixels a millimetre.
        pixels_per_mm: f64,
    },
    /// The print in a file.
    Save {
        /// The print.
        print: Arc<Print>,
        /// Where to.
        path: PathBuf,
    },
}

/// What came of a wish.
#[derive(Debug)]
pub(super) enum WorkerReply {
    /// The pages, or why there are none.
    Pages(Result<Arc<Print>, NotPrinted>),
    /// The picture of a page, or why there is none.
    Picture(Result<Pixels, String>),
    /// The files that were written, or why not.
    Saved(Result<Vec<PathBuf>, String>),
}

/// A wish being worked on.
#[derive(Debug)]
pub(super) struct PrintWorker {
    cancelled: Arc<AtomicBool>,
    permille: Arc<AtomicU32>,
    reply: Receiver<WorkerReply>,
}

impl PrintWorker {
    /// Begins a wish on a thread named `print`; `wake` is called when it is done or a step further.
    ///
    /// # Errors
    /// The words that say that no thread could be had.
    pub(super) fn begin(
        work_request: WorkerRequest,
        wake: impl Fn() + Send + 'static,
    ) -> Result<Self, String> {
        let cancelled = Arc::new(AtomicBool::new(false));
        let permille = Arc::new(AtomicU32::new(0));
        let (tell, reply) = channel();
        let (off, far) = (cancelled.clone(), permille.clone());
        thread::Builder::new()
            .name("print".to_owned())
            .spawn(move || {
                let mut progress = |fraction_done: f64| {
                    let now = (fraction_done.clamp(0.0, 1.0) * 1000.0) as u32;
                    if far.swap(now, Ordering::Relaxed) / 20 != now / 20 {
                        wake();
                    }
                    !off.load(Ordering::Relaxed)
                };
                let reply = grant(work_request, &mut progress);
                // Nobody may be waiting any more.
                let _unheard = tell.send(reply);
                wake();
            })
            .map_err(|error| format!("The pages could not be made: {error}."))?;
        Ok(Self { cancelled, permille, reply })
    }

    /// How far it is, from 0 to 1.
    pub(super) fn fraction_done(&self) -> f32 {
        self.permille.load(Ordering::Relaxed) as f32 / 1000.0
    }

    /// What came of it, once.
    pub(super) fn take(&self) -> Option<WorkerReply> {
        self.reply.try_recv().ok()
    }

    /// Calls it off.
    pub(super) fn cancel(&self) {
        self.cancelled.store(true, Ordering::Relaxed);
    }
}

impl Drop for PrintWorker {
    fn drop(&mut self) {
        self.cancel();
    }
}

fn grant(work_request: WorkerRequest, progress: &mut dyn FnMut(f64) -> bool) -> WorkerReply {
    match work_request {
        WorkerRequest::Pages(bench, request) => {
            WorkerReply::Pages(print(&bench, &request, progress).map(Arc::new))
        }
        WorkerRequest::Picture { print, page, pixels_per_mm } => {
            let picture = print.pages.get(page).map_or_else(
                || Err("There is no such page.".to_owned()),
                |sheet| pixels(&page_svg(sheet, ""), pixels_per_mm).map_err(|error| error.to_string()),
            );
            WorkerReply::Picture(picture)
        }
        WorkerRequest::Save { print, path } => {
            WorkerReply::Saved(files::write(&print, &path, files::DPI, progress))
        }
    }
}
