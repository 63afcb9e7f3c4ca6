//! A setting as it is shown beside another: what follows from it, its drawing, and its figures.

use bevelbench_geometry::Seat;
use bevelbench_notebook::{
    drawing::{Bounds, Drawing},
    saved::{Bench, SettingEntry},
    side_view::{SideLook, attempt_view, focus, loupe_centre_and_radius, loupe_view, side_view},
    swept::{Swept, swept, wing_in_tool},
    words::{self, Compared},
};

use crate::{
    session::{Outcome, outcome_of},
    side::FILM_MM,
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
                let edge = loupe_view(job, view, &look, FILM_MM);
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
        let view = self.outcome.result.as_ref().ok()?;
        match figure {
            Figure::Bevel => Some(view.bevel().degrees()),
            Figure::Across => Some(view.facet.across.degrees()),
            Figure::Facet => Some(view.facet.width_mm),
            Figure::Hollow => Some(view.facet.hollow_mm),
            Figure::Gauge => view.gauge_length_mm(),
            Figure::Slope => match view.seat {
                Seat::Pivot { .. } => view.slopes.reach.map(f64::to_degrees),
                Seat::Plane { .. } => view.slopes.table_tilt,
            },
            Figure::Handle => Some(view.handle_angle.degrees()),
        }
    }
}

/// A number that is read of a setting.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Figure {
    /// Bevel at the edge.
    Bevel,
    /// Bevel across the facet.
    Across,
    /// Width of the facet.
    Facet,
    /// Depth of its hollow.
    Hollow,
    /// Gauge length.
    Gauge,
    /// Bevel for a millimetre of reach, or a degree of tilt.
    Slope,
    /// The handle below the horizontal.
    Handle,
}

impl Figure {
    /// Every figure in the order of the read-outs.
    pub const ALL: [Self; 7] =
        [Self::Bevel, Self::Across, Self::Facet, Self::Hollow, Self::Gauge, Self::Slope, Self::Handle];

    /// Its name.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Bevel => "Bevel at the edge",
            Self::Across => "Across the facet",
            Self::Facet => "Facet",
            Self::Hollow => "Hollow",
            Self::Gauge => "Gauge length",
            Self::Slope => "Per step of arm or table",
            Self::Handle => "Handle",
        }
    }

    /// Its value with its unit.
    #[must_use]
    pub fn words(self, value: Option<f64>, units: Units) -> String {
        let Some(value) = value else { return "–".to_owned() };
        match self {
            Self::Bevel | Self::Across | Self::Handle => units.angle(value),
            Self::Slope => bevelbench_notebook::quantity::format_angle(value, 2),
            Self::Facet | Self::Gauge => units.length(value),
            Self::Hollow => units.fine(value),
        }
    }

    /// The difference of B from A, with its sign.
    #[must_use]
    pub fn difference(self, a: Option<f64>, b: Option<f64>, units: Units) -> String {
        let (Some(a), Some(b)) = (a, b) else { return "–".to_owned() };
        // Of the numbers as they are read, so that the columns add up before a class.
        let fineness = match self {
            Self::Hollow | Self::Slope => 100.0,
            _ => 10.0,
        };
        let read = |value: f64| (value * fineness).round() / fineness;
        let (a, b) = (read(a), read(b));
        let words = self.words(Some(b - a), units);
        // What reads as nothing has no sign.
        let nothing = !words.chars().any(|c| ('1'..='9').contains(&c));
        if nothing || b < a { words } else { format!("+{words}") }
    }
}
