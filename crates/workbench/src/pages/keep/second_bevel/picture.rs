//! The facets drawn large, with the junctions as handles.

use bevelbench_geometry::{
    facet::Relief,
    side::{Job, SideView},
};
use bevelbench_notebook::{
    answer::swept::wing_in_tool,
    drawing::{
        Bounds, Drawing,
        side_view::{SideLook, steps_view, steps_view_bounds},
    },
    quantity::Units,
    saved::SwingSaved,
};
use egui::{Id as WidgetId, Rect, Sense, Ui, WidgetInfo};

use crate::{
    model::session::Session,
    pages::keep::second_bevel::{SecondBevelState, set_width, settable_width},
    toolkit::{
        canvas::{
            Extras, Paper,
            handle::{HandleEvent, handle},
            part_at,
        },
        theme::Theme,
        view::View,
    },
};

/// A step of the arrow keys, in millimetres.
const STEP_MM: f64 = 0.1;

/// The drawing, and what of it is to be seen.
#[derive(Debug)]
pub(super) struct Picture {
    drawing: Drawing,
    seen: Bounds,
}

impl Picture {
    pub(super) fn of(
        job: &Job,
        view: &SideView,
        swing: Option<&SwingSaved>,
        relief: &Relief,
        units: Units,
    ) -> Self {
        let wing = wing_in_tool(job, view, swing);
        let length = |mm: f64| units.length(mm);
        let fine = |mm: f64| units.fine(mm);
        let look = SideLook { relief: Some(relief), wing: &wing, ..SideLook::new(&length, &fine) };
        Self { drawing: steps_view(job, view, relief, &look), seen: steps_view_bounds(view, relief) }
    }
}

/// What the far corner of a facet is called.
const fn junction_name(index: usize) -> &'static str {
    match index {
        0 => "End of the first facet",
        1 => "End of the second facet",
        2 => "End of the third facet",
        _ => "End of the next facet",
    }
}

/// The picture with its handles.
pub(super) fn picture(
    ui: &mut Ui,
    rect: Rect,
    session: &mut Session,
    state: &mut SecondBevelState,
    units: Units,
    theme: &Theme,
) {
    let Some(cached) = &state.cached else { return };
    let view = View::fit(cached.drawing.seen, rect, 16.0);
    let response = ui.interact(rect, WidgetId::unique("second bevel picture"), Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(egui::Role::Canvas, true, "The facets from the side"));
    let hovered =
        response.hover_pos().and_then(|at| part_at(&cached.drawing.drawing, &view, at, theme.sizes.hit));
    let extras = Extras { paper: Paper::Grid, hovered, under_texts: &[] };
    state.canvas.paint(ui.painter(), &cached.drawing.drawing, cached.key.0, &view, theme, extras);
    if let Some(title) = hovered.and_then(|part| cached.drawing.drawing.title_of(part)) {
        response.on_hover_text_at_pointer(title);
    }
    let facets = cached.relief.facets();
    let before: Vec<_> =
        facets.iter().take(facets.len().saturating_sub(1)).map(|f| (*f, f.alone().width_mm)).collect();
    for (index, (facet, most)) in before.into_iter().enumerate() {
        let at = view.screen_from_bench(facet.ends_from_edge.into());
        let name = junction_name(index);
        let event =
            handle(ui, WidgetId::unique(("junction", index)), at, name, &units.length(facet.width_mm), theme);
        match event {
            HandleEvent::None | HandleEvent::Hovered => {}
            HandleEvent::Begun => {
                state.drag = Some(index);
                session.begin(format!("Drag {}", name.to_lowercase()));
            }
            HandleEvent::Dragged { to } | HandleEvent::Ended { to } => {
                if state.drag == Some(index) {
                    let to = bevelbench_geometry::DVec2::from(view.bench_from_screen(to));
                    let chord = (facet.ends_from_edge - facet.begins_from_edge).normalize_or_zero();
                    let width = (to - facet.begins_from_edge).dot(chord).clamp(STEP_MM, most - STEP_MM);
                    // A pointer held still asks for nothing new.
                    let now = session.current().and_then(|current| current.further_steps.get(index));
                    if now.is_some_and(|step| (step.left_width_mm - settable_width(width)).abs() > 1e-9) {
                        session.change(|bench| set_width(bench, index, width));
                        ui.ctx().request_repaint();
                    }
                    if matches!(event, HandleEvent::Ended { .. }) {
                        session.end();
                        state.drag = None;
                        ui.ctx().request_repaint();
                    }
                }
            }
            HandleEvent::Cancelled => {
                session.cancel();
                state.drag = None;
                ui.ctx().request_repaint();
            }
            HandleEvent::Nudged { right, up, stride } => {
                let by = f64::from(right + up) * STEP_MM * stride.factor();
                let width = (facet.width_mm + by).clamp(STEP_MM, most - STEP_MM);
                session.edit(format!("Step {}", name.to_lowercase()), |bench| set_width(bench, index, width));
                ui.ctx().request_repaint();
            }
        }
    }
}
