//! The bench with the answer that is looked at, over the ghost of the setting as it stands.

use bevelbench_notebook::{
    answer::{finding::Offer, swept::wing_in_tool},
    drawing::{
        Bounds, Drawing, Standing,
        side_view::{SideLook, focus, side_view},
    },
    saved::SwingSaved,
};
use egui::{Rect, Ui, WidgetInfo};

use super::BevelSearch;
use crate::{
    model::session::Session,
    toolkit::{
        canvas::{Canvas, Extras, Paper},
        theme::{Surface, Theme},
        view::View,
    },
};

/// What the picture shows: the revision, whether at stops, which answer.
type Key = (u64, bool, u64);

/// What the picture keeps from frame to frame.
#[derive(Debug, Default)]
pub(super) struct Picture {
    canvas: Canvas,
    cached: Option<(Key, Drawing, Option<Bounds>)>,
    /// Which drawing the canvas has.
    revision: u64,
}

pub(super) fn picture(
    ui: &mut Ui,
    rect: Rect,
    session: &Session,
    cached: &BevelSearch,
    state: &mut Picture,
    theme: &Theme,
) {
    let key = (cached.key.0, cached.key.1, cached.shown);
    if state.cached.as_ref().is_none_or(|(known, ..)| *known != key) {
        let (drawing, seen) = drawn(session, cached);
        state.cached = Some((key, drawing, seen));
        state.revision += 1;
    }
    let response = ui.interact(rect, ui.scope_id().with("try"), egui::Sense::hover());
    response.widget_info(|| {
        WidgetInfo::labeled(
            egui::Role::Canvas,
            true,
            "The answer looked at, over the setting as it stands in grey",
        )
    });
    let Some((_, drawing, Some(seen))) = &state.cached else {
        ui.painter().rect_filled(rect, 0.0, theme.surface(Surface::Canvas));
        return;
    };
    let view = View::fit(*seen, rect, theme.sizes.gap.margin);
    let extras = Extras { paper: Paper::Grid, ..Extras::default() };
    state.canvas.paint(ui.painter(), drawing, state.revision, &view, theme, extras);
}

fn drawn(session: &Session, cached: &BevelSearch) -> (Drawing, Option<Bounds>) {
    let swing = session.current().and_then(|current| current.swing);
    let mut drawing = Drawing::new();
    let mut seen = None;
    let offer = cached.result.as_ref().ok().and_then(|result| result.shown().or(result.near.as_ref()));
    let outcome = session.outcome();
    if let Some((job, view)) = outcome.and_then(|o| o.job.as_ref().zip(o.result.as_ref().ok())) {
        let standing = if offer.is_some() { Standing::Ghost } else { Standing::Solid };
        drawing.overlay(of(job, view, swing).standing(standing));
        seen = focus(job, Some(view));
    }
    if let Some(Offer { job, solution, .. }) = offer {
        let swing = swing.map(|swing| SwingSaved {
            roll_centre_mm: solution.roll_centre_mm.unwrap_or(swing.roll_centre_mm),
            ..swing
        });
        drawing.overlay(of(job, &solution.view, swing));
        let there = focus(job, Some(&solution.view));
        seen = match (seen, there) {
            (Some(a), Some(b)) => Some(a.union(b)),
            (a, b) => a.or(b),
        };
    }
    (drawing, seen)
}

fn of(
    job: &bevelbench_geometry::side::Job,
    view: &bevelbench_geometry::side::SideView,
    swing: Option<SwingSaved>,
) -> Drawing {
    // Nothing is dimensioned: the numbers stand beside the picture.
    let none = |_: f64| String::new();
    let wing = wing_in_tool(job, view, swing.as_ref());
    let look = SideLook {
        roll_centre_mm: swing.map(|swing| swing.roll_centre_mm),
        wing: &wing,
        dimensions: false,
        ..SideLook::new(&none, &none)
    };
    side_view(job, view, &look)
}
