//! A setting as it is shown beside another: what follows from it, its drawing, and its figures.

use bevelbench_geometry::ink::FILM_ASSUMED_MM;
use bevelbench_notebook::{
    drawing::{Bounds, Drawing},
    figure::Figure,
    saved::{Bench, SettingEntry},
    side_view::{SideLook, attempt_view, focus, loupe_centre_and_radius, loupe_view, side_view},
    swept::{Swept, swept, wing_in_tool},
    words::{self, Compared},
};

use crate::{
    session::{Outcome, outcome_of},
    units::Units,
};

/// Points along the edge for the words about the wings.
const EDGE_POINTS: usize = 65;

/// A setting with what follows from it.
#[derive(Debug)]
pub struct Shown {
    /// What follows from it.
    pub outcome: Outcome,
    /// The swept shape, where there is one.
    pub swept: Option<Swept>,
    /// The bench from the side.
    pub drawing: Drawing,
    /// What is to be seen of it.
    pub focus: Option<Bounds>,
    /// The edge on the wheel, and what is to be seen of it.
    pub edge: Option<(Drawing, Bounds)>,
}

/// How much of a setting is worked out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Wanted {
    /// Dimensions on the drawing.
    pub dimensions: bool,
    /// The swept shape.
    pub swept: bool,
}

impl Shown {
    /// Works a setting out.
    #[must_use]
    pub fn of(bench: &Bench, entry: &SettingEntry, units: Units, wanted: Wanted) -> Self {
        let outcome = outcome_of(bench, entry);
        let length = |mm: f64| units.length(mm);
        let fine = |mm: f64| units.fine(mm);
        let answered = outcome.job.as_ref().zip(outcome.result.as_ref().ok());
        let wing =
            answered.map(|(job, view)| wing_in_tool(job, view, entry.swing.as_ref())).unwrap_or_default();
        let relief = answered.and_then(|(job, view)| entry.relief_if_any(job, view));
        let look = SideLook {
            relief: relief.as_ref(),
            roll_centre_mm: entry.swing.map(|swing| swing.roll_centre_mm),
            wing: &wing,
            dimensions: wanted.dimensions,
            ..SideLook::new(&length, &fine)
        };
        let (drawing, seen, edge, swept) = match (answered, &outcome.job) {
            (Some((job, view)), _) => {
                let (centre, radius) = loupe_centre_and_radius(job, view, &look);
                let around = Bounds {
                    min: [centre[0] - radius, centre[1] - radius],
                    max: [centre[0] + radius, centre[1] + radius],
                };
                let swept =
                    wanted.swept.then(|| swept(job, view, entry.swing.as_ref(), EDGE_POINTS).ok()).flatten();
                let edge = loupe_view(job, view, &look, FILM_ASSUMED_MM);
                (side_view(job, view, &look), focus(job, Some(view)), Some((edge, around)), swept)
            }
            (None, Some(job)) => (attempt_view(job, &look), focus(job, None), None, None),
            (None, None) => (Drawing::new(), None, None, None),
        };
        Self { outcome, swept, drawing, focus: seen, edge }
    }

    /// For the words about differences; `None` without an answer.
    #[must_use]
    pub fn compared(&self) -> Option<Compared<'_>> {
        let (job, view) = self.outcome.job.as_ref().zip(self.outcome.result.as_ref().ok())?;
        Some(Compared { job, view, swept: self.swept.as_ref() })
    }

    /// Why there is no answer, with the mend.
    #[must_use]
    pub fn trouble(&self, units: Units) -> Option<String> {
        let why = self.outcome.result.as_ref().err()?;
        Some(words::unanswered_words(why, &|mm| units.length(mm)).together())
    }

    /// Its value of a figure, in millimetres or degrees.
    #[must_use]
    pub fn figure(&self, figure: Figure) -> Option<f64> {
        figure.of(self.outcome.result.as_ref().ok()?)
    }
}
