//! The pair: the current setting (A) and another (B), side by side to one scale or laid over each other, with what
//! differs between them in figures and in words.
//!
//! B is kept in the bench, so that undo covers it. What is dragged or turned moves A; a link takes B along.

mod bar;
mod edges;
mod equalise;
mod paper;
mod plate;
pub(crate) mod shown;
mod sides;
mod table;
mod tips;
mod what_if;

use bevelbench_geometry::math::Quantity;
use bevelbench_notebook::{
    answer::edge_curve::Over,
    drawing::{Drawing, pair_view::laid_over},
    quantity::Units,
    words::{difference_words, gap_words},
};
use egui::{Rect, Ui, UiBuilder, Vec2, pos2, vec2};

use crate::{
    model::{appearance::Tone, session::Session},
    pages::side::SideState,
    toolkit::{
        canvas::Canvas,
        theme::{Surface, Theme},
        view::View,
    },
};

pub use bevelbench_notebook::quantity::figure::Figure;
pub use equalise::{Equalised, equalise};
pub(crate) use plate::{letter, plate};
pub use shown::{EvaluatedSetting, EvaluationOptions};
pub use what_if::WhatIf;

/// What of both is compared.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Compare {
    /// The bench from the side.
    #[default]
    Sides,
    /// The tips and the gap between their ground faces.
    Tips,
    /// The curves along both edges.
    Edges,
    /// One quantity of A swept.
    WhatIf,
}

impl Compare {
    const ALL: [(Self, &'static str); 4] = [
        (Self::Sides, "Side views"),
        (Self::Tips, "Tips"),
        (Self::Edges, "Edge curves"),
        (Self::WhatIf, "What if"),
    ];
}

/// What the page keeps from frame to frame.
#[derive(Debug, Default)]
pub struct PairState {
    /// What of both is compared.
    pub compare: Compare,
    /// B over A in one picture, instead of beside it.
    pub over: bool,
    canvases: [Canvas; 2],
    /// Drags of the handles of A.
    side: SideState,
    view: Option<View>,
    fitted_to: Option<(Vec2, bool, u64, u64)>,
    cached: Option<ComparisonCache>,
    tips: tips::Tips,
    edges: (Over, Option<usize>),
    what_if: WhatIf,
    /// The quantity that is moved in both.
    link: Option<Quantity>,
    /// What was last done here, and the revision it speaks of.
    message: Option<(u64, Tone, String)>,
}

/// What is shown, kept until the session changes.
#[derive(Debug)]
struct ComparisonCache {
    key: (u64, Units),
    /// A number for each picture of A, and of B, that was ever made: what is kept of an old one is not shown for a new one.
    serials: [u64; 2],
    a: EvaluatedSetting,
    b: Option<EvaluatedSetting>,
    /// Both in one drawing, once that is asked for.
    over: Option<Drawing>,
    differences: Vec<String>,
}

/// What the page asks of the window.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PairRequest {
    /// Save A, as the order does.
    SaveA,
}

impl PairState {
    /// Shows all of both.
    pub fn fit(&mut self) {
        self.view = None;
        self.tips.fit();
    }

    /// Enlarges or reduces about the middle.
    pub fn zoom(&mut self, factor: f64) {
        if self.compare == Compare::Tips {
            self.tips.zoom(factor);
        } else {
            self.view = self.view.map(|view| view.zoom_about(view.rect.center(), factor));
        }
    }

    /// How many pictures of tips were drawn so far, for tests.
    #[must_use]
    pub fn pictures_drawn(&self) -> u64 {
        self.tips.pictures_drawn()
    }
}

/// The page.
pub fn pair_page(
    ui: &mut Ui,
    session: &mut Session,
    state: &mut PairState,
    message: Option<&(Tone, String)>,
    units: Units,
    theme: &Theme,
) -> Option<PairRequest> {
    let rect = ui.available_rect_before_wrap();
    ui.painter().rect_filled(rect, 0.0, theme.surface(Surface::Canvas));
    let gap = theme.sizes.gap;
    let bar_height = 2.0 * theme.sizes.row + 3.0 * gap.normal;
    let bar = Rect::from_min_size(rect.min, vec2(rect.width(), bar_height));
    ui.painter().rect_filled(bar, 0.0, theme.surface(Surface::Panel));
    ui.painter().hline(bar.x_range(), bar.bottom().floor() + 0.5, theme.hairline());
    let inner = bar.shrink2(vec2(gap.wide, gap.normal));
    let request = ui
        .scope_builder(UiBuilder::new().max_rect(inner), |ui| bar::toolbar(ui, session, state, units, theme))
        .inner;
    session.set_link(state.link.filter(|_| session.beside().is_some()));
    if session.current().is_none() {
        crate::toolkit::widgets::in_the_middle(
            ui,
            rect,
            "Take a setting from the rack: it becomes A.",
            theme,
        );
        return request;
    }
    make(session, state, units);
    let below = Rect::from_min_max(pos2(rect.left(), bar.bottom()), rect.max);
    match state.compare {
        Compare::WhatIf => {
            what_if::strip(ui, below, session, &mut state.what_if, units, theme);
            return request;
        }
        Compare::Edges => {
            edges::edges(ui, below, session, state, units, theme);
            return request;
        }
        Compare::Sides | Compare::Tips => {}
    }
    let foot = table::height(theme).min(below.height() * 0.55);
    let picture =
        Rect::from_min_max(below.min, pos2(below.right(), (below.bottom() - foot).max(below.top() + 60.0)));
    if state.compare == Compare::Tips {
        tips::tips(ui, picture, session, state, units, theme);
    } else {
        sides::pictures(ui, picture, session, state, units, theme);
    }
    let foot = Rect::from_min_max(pos2(below.left(), picture.bottom()), below.max);
    let message = message_of(session, state, message);
    let gap = state.gap_words(units);
    if let Some(cached) = &state.cached {
        let reported: Vec<&str> =
            gap.iter().map(String::as_str).chain(cached.differences.iter().map(String::as_str)).collect();
        let message = (message.0, message.1.as_str());
        table::table(ui, foot, &cached.a, cached.b.as_ref(), &reported, Some(message), units, theme);
    }
    request
}

/// What was last done; while there is nothing to say, the cautions stand there.
fn message_of(session: &Session, state: &PairState, message: Option<&(Tone, String)>) -> (Tone, String) {
    let here = state.message.as_ref().filter(|(revision, ..)| *revision == session.revision());
    let here = here.map(|(_, tone, words)| (*tone, words.clone()));
    here.or_else(|| message.cloned()).unwrap_or_else(|| {
        let reported = session.outcome().map(|outcome| outcome.cautions.as_slice()).unwrap_or_default();
        (Tone::of_cautions(reported), bevelbench_notebook::words::cautions_in_a_line(reported))
    })
}

fn make(session: &Session, state: &mut PairState, units: Units) {
    let key = (session.revision(), units);
    if state.cached.as_ref().is_some_and(|cached| cached.key == key) {
        return;
    }
    let bench = session.bench();
    let Some(current) = session.current() else { return };
    let wanted = EvaluationOptions { dimensions: true, edge: false, fine_shape: true };
    let kept = state.cached.take().filter(|cached| cached.key.1 == units);
    let (mut serials, kept_a, kept_b) = match kept {
        Some(cached) => (cached.serials, Some(cached.a), cached.b),
        None => (state.tips.next_serials(), None, None),
    };
    // While A is dragged B stands still, and is not worked out again.
    let mut again = |index: usize, kept: Option<EvaluatedSetting>, entry| match kept {
        Some(kept) if kept.still_shows(bench, entry) => kept,
        _ => {
            serials[index] += 1;
            EvaluatedSetting::of(bench, entry, units, wanted)
        }
    };
    let a = again(0, kept_a, current);
    let b = session.beside().map(|entry| again(1, kept_b, entry));
    let length = |mm: f64| units.length(mm);
    let fine = |mm: f64| units.fine(mm);
    let differences = match (a.compared(), b.as_ref().and_then(EvaluatedSetting::compared)) {
        (Some(one), Some(other)) => difference_words(one, other, &length, &fine),
        _ => Vec::new(),
    };
    state.cached = Some(ComparisonCache { key, serials, a, b, over: None, differences });
}

impl PairState {
    /// The largest gap in words, where the tips are shown.
    fn gap_words(&self, units: Units) -> Option<String> {
        let gap = self.tips.gap().filter(|_| self.compare == Compare::Tips)?;
        let words = gap_words(gap, &|mm| units.length(mm), &|mm| units.fine(mm));
        let cached = self.cached.as_ref()?;
        let blank = |shown: &EvaluatedSetting| shown.outcome.job.map(|job| *job.tool.blank());
        let alike = blank(&cached.a) == cached.b.as_ref().and_then(blank);
        Some(if alike {
            words
        } else {
            format!("{words} The tools differ: their noses are laid on each other.")
        })
    }
}

impl ComparisonCache {
    /// Both in one drawing: the dimensions of B would lie on those of A.
    fn lay_over(&mut self, units: Units) {
        if let (None, Some(b)) = (&self.over, &self.b) {
            self.over = Some(laid_over(&self.a.drawing, &b.drawn(units, false)));
        }
    }
}
