//! A setting as it is shown beside another: what follows from it, its drawing, and its figures.

use bevelbench_geometry::{
    DVec2,
    facet::{Relief, ink::FILM_ASSUMED_MM},
    side::{Job, SideView},
};
use bevelbench_notebook::{
    answer::swept::{NotSwept, Swept, swept},
    drawing::{
        Bounds, Drawing,
        side_view::{SideLook, attempt_view, focus, loupe_centre_and_radius, loupe_view, side_view},
    },
    quantity::{Units, figure::Figure},
    saved::{Bench, FurtherStepSaved, SettingEntry, SwingSaved},
    words::{self, Compared},
};

use crate::{
    model::session::{Outcome, outcome_of},
    pages::tip::{EDGE_POINTS, NoShape},
};

/// A setting with what follows from it.
#[derive(Debug)]
pub struct EvaluatedSetting {
    /// What follows from it.
    pub outcome: Outcome,
    /// The shape it leaves on the tool, or why none.
    pub shape: Result<Swept, NoShape>,
    /// The bench from the side.
    pub drawing: Drawing,
    /// What is to be seen of it.
    pub focus: Option<Bounds>,
    /// The edge on the wheel, and what is to be seen of it.
    pub edge: Option<(Drawing, Bounds)>,
    swing: Option<SwingSaved>,
    further: Vec<FurtherStepSaved>,
    relief: Option<Relief>,
    wing: Vec<DVec2>,
}

/// How much of a setting is worked out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct EvaluationOptions {
    /// Dimensions on the drawing.
    pub dimensions: bool,
    /// The edge on the wheel.
    pub edge: bool,
    /// The shape in as many points as the pages of tip and curves show.
    pub fine_shape: bool,
}

/// Points of a shape that only lends the side view its wing.
const FEW_POINTS: usize = 65;

impl EvaluatedSetting {
    /// Works a setting out.
    #[must_use]
    pub fn of(bench: &Bench, entry: &SettingEntry, units: Units, wanted: EvaluationOptions) -> Self {
        let outcome = outcome_of(bench, entry);
        let points = if wanted.fine_shape { EDGE_POINTS } else { FEW_POINTS };
        let shape = match (&outcome.job, &outcome.result) {
            (Some(job), Ok(view)) => {
                swept(job, view, entry.swing.as_ref(), points).map_err(NoShape::NotSwept)
            }
            (_, Err(why)) => Err(NoShape::Unanswered(why.clone())),
            (None, Ok(_)) => Err(NoShape::NotSwept(NotSwept::NothingGround)),
        };
        let mut shown = Self {
            wing: shape.as_ref().map(Swept::wing_in_tool).unwrap_or_default(),
            shape,
            drawing: Drawing::new(),
            focus: outcome.job.as_ref().and_then(|job| focus(job, outcome.result.as_ref().ok())),
            edge: None,
            swing: entry.swing,
            further: entry.further_steps.clone(),
            relief: match (&outcome.job, &outcome.result) {
                (Some(job), Ok(view)) => entry.relief_if_any(job, view),
                _ => None,
            },
            outcome,
        };
        shown.drawing = shown.drawn(units, wanted.dimensions);
        if wanted.edge
            && let Some((job, view)) = shown.answer()
        {
            shown.edge = Some(shown.with_look(units, true, |look| {
                let (centre, radius) = loupe_centre_and_radius(job, view, look);
                let around = Bounds {
                    min: [centre[0] - radius, centre[1] - radius],
                    max: [centre[0] + radius, centre[1] + radius],
                };
                (loupe_view(job, view, look, FILM_ASSUMED_MM), around)
            }));
        }
        shown
    }

    /// Whether a setting still shows the same: nothing that its picture depends on has moved.
    #[must_use]
    pub fn still_shows(&self, bench: &Bench, entry: &SettingEntry) -> bool {
        let answered = self.outcome.job.is_some() && self.outcome.result.is_ok();
        let kept = self.swing == entry.swing && self.further == entry.further_steps;
        answered && kept && bench.job_of(entry).ok() == self.outcome.job
    }

    /// The bench from the side, with its dimensions or without.
    #[must_use]
    pub fn drawn(&self, units: Units, dimensions: bool) -> Drawing {
        self.with_look(units, dimensions, |look| match (self.answer(), &self.outcome.job) {
            (Some((job, view)), _) => side_view(job, view, look),
            (None, Some(job)) => attempt_view(job, look),
            (None, None) => Drawing::new(),
        })
    }

    fn with_look<T>(&self, units: Units, dimensions: bool, draw: impl FnOnce(&SideLook<'_>) -> T) -> T {
        let length = |mm: f64| units.length(mm);
        let fine = |mm: f64| units.fine(mm);
        draw(&SideLook {
            relief: self.relief.as_ref(),
            roll_centre_mm: self.swing.map(|swing| swing.roll_centre_mm),
            wing: &self.wing,
            dimensions,
            ..SideLook::new(&length, &fine)
        })
    }

    fn answer(&self) -> Option<(&Job, &SideView)> {
        self.outcome.job.as_ref().zip(self.outcome.result.as_ref().ok())
    }

    /// For the words about differences; `None` without an answer.
    #[must_use]
    pub fn compared(&self) -> Option<Compared<'_>> {
        let (job, view) = self.answer()?;
        Some(Compared { job, view, swept: self.shape.as_ref().ok() })
    }

    /// Why there is no answer, with the remedy.
    #[must_use]
    pub fn problem(&self, units: Units) -> Option<String> {
        let why = self.outcome.result.as_ref().err()?;
        Some(words::unanswered_words(why, &|mm| units.length(mm)).together())
    }

    /// Its value of a figure, in millimetres or degrees.
    #[must_use]
    pub fn figure(&self, figure: Figure) -> Option<f64> {
        figure.of(self.outcome.result.as_ref().ok()?)
    }
}
