//! The side view: the bench to scale, handles to drag, a loupe at the edge.
//!
//! A drag turns the pointer into bench millimetres, asks for the value of a dial and sets that; the picture is
//! derived, never edited.

use bevelbench_geometry::{
    DVec2,
    facet::ink::FILM_ASSUMED_MM,
    math::{Angle, Kind, Quantity},
    side::{Job, SideView, Support},
};
use bevelbench_notebook::{
    answer::swept::wing_in_tool,
    drawing::{
        Bounds, Drawing, Part, Standing,
        side_view::{SideLook, attempt_view, focus, loupe_centre_and_radius, loupe_view, side_view},
    },
    quantity::Units,
    saved::{
        Id,
        table::{OnBench, settable},
    },
};
use egui::{Id as WidgetId, Key, Pos2, Rect, Sense, Ui, Vec2, epaint::MarginF32};

use crate::{
    model::session::Session,
    toolkit::{
        canvas::{
            Canvas, Extras, Loupe, LoupePlace, Paper,
            handle::{HandleEvent, handle},
            part_at,
        },
        theme::Theme,
        view::View,
    },
};

/// Within so many points of the screen a dragged value falls on to a stop.
const SNAP_POINTS: f32 = 7.0;
/// Within so many degrees a dragged angle falls on to a rest.
const SNAP_DEGREES: f64 = 1.2;

/// What the side view keeps from frame to frame.
#[derive(Debug, Default)]
pub struct SideState {
    canvas: Canvas,
    loupe: Loupe,
    view: Option<View>,
    /// What the view was fitted to: setting, rig, wheel, size of the window.
    fitted_to: Option<(Id, Id, Id, Vec2)>,
    /// Whether the view was moved by hand since.
    by_hand: bool,
    cached: Option<SideViewCache>,
    drag: Option<Drag>,
    /// The part to be lit from elsewhere: the row under the pointer.
    pub lit: Option<Part>,
}

/// The drawings, kept until the session changes.
#[derive(Debug)]
struct SideViewCache {
    key: (u64, Units),
    drawing: Drawing,
    /// What is shown when the view is fitted.
    focus: Option<Bounds>,
    loupe: Option<(Drawing, [f64; 2], f64)>,
}

/// What a drag began with.
#[derive(Debug, Clone, Copy)]
struct Drag {
    dial: Quantity,
    value: f64,
    job: Job,
    side: SideView,
    from_in_bench: [f64; 2],
}

impl SideState {
    /// Shows the whole bench.
    pub fn fit(&mut self) {
        self.view = None;
    }

    /// Enlarges or reduces about the middle.
    pub fn zoom(&mut self, factor: f64) {
        if let Some(view) = self.view {
            self.view = Some(view.zoom_about(view.rect.center(), factor));
        }
    }
}

/// The side view over the whole of what is left of the window.
pub fn side_page(ui: &mut Ui, session: &mut Session, state: &mut SideState, units: Units, theme: &Theme) {
    let rect = ui.available_rect_before_wrap();
    make(session, state, units);
    let Some(cached) = &state.cached else { return };
    let Some(current) = session.current() else { return };

    // The loupe has the upper right corner; the bench stands lower, so that the tool passes under it.
    let loupe_radius = (rect.width().min(rect.height()) * 0.18).clamp(70.0, 210.0);
    let loupe_room = if cached.loupe.is_some() { loupe_radius * 1.2 } else { 0.0 };
    let margins = MarginF32 { left: 24.0, right: 30.0, top: 22.0 + loupe_room, bottom: 46.0 };
    // Another setting, rig or wheel is fitted anew, and so is a window of another size; a quantity that moves leaves the
    // view alone, so that only what really moves is seen to move.
    let stands_on = (current.id, current.rig, current.wheel, rect.size());
    let asked_anew = state.fitted_to.is_none_or(|known| {
        (known.0, known.1, known.2) != (stands_on.0, stands_on.1, stands_on.2)
            || (known.3 != stands_on.3 && !state.by_hand)
    });
    let fitted = || {
        cached.focus.map_or_else(|| View::new(rect, [0.0, 0.0], 1.0), |focus| View::fit(focus, rect, margins))
    };
    let held = state.view.filter(|_| !asked_anew || session.history().is_open());
    if held.is_none() {
        state.by_hand = false;
        state.fitted_to = Some(stands_on);
    }
    let mut view = held.map_or_else(fitted, |view| view.in_rect(rect));
    let response = ui.interact(rect, WidgetId::unique("side view"), Sense::click_and_drag());
    response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Canvas, true, "Side view of the bench"));
    let before = view;
    if response.dragged() {
        view = view.pan(response.drag_delta());
    }
    if let Some(pointer) = response.hover_pos() {
        let scroll = ui.input(|i| i.smooth_scroll_delta().y);
        let pinch = ui.input(egui::InputState::zoom_delta);
        let factor = f64::from(scroll / 300.0).exp() * f64::from(pinch);
        if (factor - 1.0).abs() > 1e-6 {
            view = view.zoom_about(pointer, factor);
        }
    }
    state.by_hand |= view != before;
    if response.double_clicked() {
        view = fitted();
        state.by_hand = false;
    }
    state.view = Some(view);

    let loupe_spot = cached.loupe.as_ref().map(|(_, centre, radius)| (*centre, *radius));
    let words;
    let place = match loupe_spot {
        Some((centre, radius_mm)) => {
            let radius = loupe_radius;
            let scale = f64::from(radius) / radius_mm.max(1e-3);
            words = format!("the edge, {:.0} times as large as beside it", scale / view.scale);
            // In the corner that the tool leaves free.
            let centre_on_screen = rect.right_top() + Vec2::new(-radius - 22.0, radius + 20.0);
            Some(LoupePlace {
                centre: centre_on_screen,
                radius,
                target_in_bench: centre,
                scale,
                caption: &words,
            })
        }
        None => None,
    };
    let in_loupe = |at: Pos2| place.is_some_and(|p| (at - p.centre).length() <= p.radius);
    let pointer = response.hover_pos();
    let hovered = match (pointer, place, &cached.loupe) {
        (Some(at), Some(place), Some((drawing, ..))) if in_loupe(at) => {
            Loupe::part_at(drawing, place, at, theme.sizes.hit)
        }
        (Some(at), ..) => part_at(&cached.drawing, &view, at, theme.sizes.hit * 0.6),
        (None, ..) => None,
    };
    let leader = place.map(|place| Loupe::leader(&view, place, theme)).unwrap_or_default();
    let extras = Extras { paper: Paper::Grid, hovered: hovered.or(state.lit), under_texts: &leader };
    let revision = session.revision();
    state.canvas.paint(ui.painter(), &cached.drawing, revision, &view, theme, extras);
    if let (Some(place), Some((drawing, ..))) = (place, &cached.loupe) {
        state.loupe.paint(ui.painter(), drawing, revision, place, theme);
    }
    if let Some(part) = hovered
        && let Some(title) = cached
            .drawing
            .title_of(part)
            .or_else(|| cached.loupe.as_ref().and_then(|(drawing, ..)| drawing.title_of(part)))
    {
        response.on_hover_text_at_pointer(title);
    }
    let inner = rect.shrink(6.0);
    handles(ui, session, state, &view, inner, units, theme);
}

/// Makes the drawings anew if the session or the units changed.
fn make(session: &Session, state: &mut SideState, units: Units) {
    let key = (session.revision(), units);
    if state.cached.as_ref().is_some_and(|cached| cached.key == key) {
        return;
    }
    let length = |mm: f64| units.length(mm);
    let fine = |mm: f64| units.fine(mm);
    let swing = session.current().and_then(|current| current.swing);
    let answered = session.outcome().and_then(|o| o.job.as_ref().zip(o.result.as_ref().ok()));
    let wing = answered.map(|(job, view)| wing_in_tool(job, view, swing.as_ref())).unwrap_or_default();
    let relief =
        answered.zip(session.current()).and_then(|((job, view), current)| current.relief_if_any(job, view));
    let look = SideLook {
        relief: relief.as_ref(),
        roll_centre_mm: swing.map(|swing| swing.roll_centre_mm),
        wing: &wing,
        ..SideLook::new(&length, &fine)
    };
    let cached = match session.outcome() {
        Some(outcome) => match (&outcome.job, &outcome.result) {
            (Some(job), Ok(view)) => {
                let (centre, radius) = loupe_centre_and_radius(job, view, &look);
                let loupe = Some((loupe_view(job, view, &look, FILM_ASSUMED_MM), centre, radius));
                SideViewCache {
                    key,
                    drawing: side_view(job, view, &look),
                    focus: focus(job, Some(view)),
                    loupe,
                }
            }
            (job, Err(_)) | (job @ None, Ok(_)) => {
                // The last good answer stays as a ghost under what was attempted.
                let mut drawing = session
                    .last_good()
                    .map(|(job, view)| side_view(job, view, &look).standing(Standing::Ghost))
                    .unwrap_or_default();
                if let Some(job) = job {
                    drawing.overlay(attempt_view(job, &look));
                }
                let focus = job.as_ref().and_then(|job| focus(job, None)).or(drawing.bounds());
                SideViewCache { key, drawing, focus, loupe: None }
            }
        },
        None => SideViewCache { key, drawing: Drawing::new(), focus: None, loupe: None },
    };
    state.cached = Some(cached);
}

/// The handles that the support has.
pub(crate) fn handles(
    ui: &mut Ui,
    session: &mut Session,
    state: &mut SideState,
    view: &View,
    rect: Rect,
    units: Units,
    theme: &Theme,
) {
    let Some(job) = session.outcome().and_then(|outcome| outcome.job) else { return };
    let good = session
        .outcome()
        .and_then(|outcome| outcome.result.as_ref().ok().copied())
        .or_else(|| job.setting.evaluate_off_travel().ok());
    let anchor = state.drag.map(|drag| (drag.job, drag.side)).or(session.last_good().copied());
    let entries = places(&job, good.as_ref());
    for (dial, at_in_bench, label) in entries {
        let at = view.screen_from_bench(at_in_bench);
        if !rect.contains(at) {
            continue;
        }
        let Some(value) = dial.get(session.bench()) else { continue };
        let accessible_text = units.show(dial.kind(), value);
        let event =
            handle(ui, WidgetId::unique(("handle", dial.label())), at, label, &accessible_text, theme);
        match event {
            HandleEvent::None | HandleEvent::Hovered => {}
            HandleEvent::Begun => {
                if let Some((_, side)) = good.map(|side| (job, side)).or(anchor) {
                    state.drag = Some(Drag { dial, value, job, side, from_in_bench: at_in_bench });
                    session.begin(format!("Drag {}", dial.label().to_lowercase()));
                }
            }
            HandleEvent::Dragged { to } | HandleEvent::Ended { to } => {
                if let Some(drag) = state.drag {
                    let free_hand = ui.input(|i| i.modifiers.alt || i.modifiers.command);
                    if let Some(value) = dragged_to(&drag, view.bench_from_screen(to)) {
                        let value = fall_on_stop(session, drag.dial, value, view, free_hand);
                        // A pointer held still asks for nothing new.
                        if drag.dial.get(session.bench()) != Some(value) {
                            session.change(|bench| drag.dial.set(bench, value));
                            ui.ctx().request_repaint();
                        }
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
                let steps = f64::from(right + up) * dial.step() * stride.factor();
                let (least, most) = dial.range(session.bench()).unwrap_or((f64::MIN, f64::MAX));
                let moved = settable(value + steps).clamp(least, most);
                session.edit(format!("Step {}", dial.label().to_lowercase()), |bench| dial.set(bench, moved));
                ui.ctx().request_repaint();
            }
        }
    }
    if state.drag.is_some() && ui.input(|i| i.key_pressed(Key::Escape)) {
        state.drag = None;
    }
}

/// Where each handle sits, in bench millimetres.
fn places(job: &Job, good: Option<&SideView>) -> Vec<(Quantity, [f64; 2], &'static str)> {
    let mut places = Vec::with_capacity(4);
    let point = |p: DVec2| [p.x, p.y];
    match job.setting.support {
        Support::Handle { arm, reach_mm, .. } => {
            places.push((Quantity::Reach, point(arm.pivot_in_bench(reach_mm)), "Pivot along the arm"));
        }
        Support::Holder { arm, holder, reach_mm, projection_mm, .. } => {
            places.push((Quantity::Reach, point(arm.pivot_in_bench(reach_mm)), "Pivot along the arm"));
            if let Some(side) = good {
                let fraction = job.setting.foreshortening();
                let above = holder.spec().body_height_mm / 2.0;
                let face = side.bench_from_tool(DVec2::new(projection_mm * fraction, above));
                places.push((Quantity::Projection, point(face), "Projection of the tool"));
                if let Some([hinge, pivot]) = job.strut_in_bench(side) {
                    places.push((Quantity::StrutAngle, point(hinge.lerp(pivot, 0.5)), "Angle of the strut"));
                }
            }
        }
        Support::Table { table, tilt } => {
            let [_, rear] = table.surface_in_bench(tilt);
            places.push((Quantity::TableTilt, point(rear), "Tilt of the table"));
        }
    }
    if let Some(radius) = job.setting.face.radius_mm() {
        let at = Angle::from_degrees(140.0).direction() * radius;
        places.push((Quantity::WheelDiameter, point(at), "Rim of the wheel"));
    }
    places
}

/// The value of a dial that a pointer asks for.
fn dragged_to(drag: &Drag, to_in_bench: [f64; 2]) -> Option<f64> {
    let to = DVec2::from(to_in_bench);
    let from = DVec2::from(drag.from_in_bench);
    let in_tool = |p: DVec2| drag.side.tool_from_bench(p);
    match (drag.dial, drag.job.setting.support) {
        (Quantity::Reach, Support::Handle { arm, .. } | Support::Holder { arm, .. }) => {
            Some(arm.reach_nearest_mm(to))
        }
        (Quantity::Projection, Support::Holder { .. }) => {
            let fraction = drag.job.setting.foreshortening().max(1e-3);
            Some(drag.value + (in_tool(to).x - in_tool(from).x) / fraction)
        }
        (Quantity::StrutAngle, Support::Holder { holder, projection_mm, .. }) => {
            let mut hinge = holder.hinge_in_tool(projection_mm);
            hinge.x *= drag.job.setting.foreshortening();
            // Strut angles count downwards from the tool's axis.
            let angle = |p: DVec2| -Angle::of(in_tool(p) - hinge);
            Some(drag.value + (angle(to) - angle(from)).wrapped().degrees())
        }
        (Quantity::TableTilt, Support::Table { table, .. }) => {
            let hinge = table.spec().hinge_in_bench;
            Some(drag.value + (Angle::of(to - hinge) - Angle::of(from - hinge)).wrapped().degrees())
        }
        (Quantity::WheelDiameter, _) => Some(2.0 * to.length()),
        _ => None,
    }
}

/// Within the dial's range, to a tenth, and on a stop if one is near and the hand is not freed by a key.
fn fall_on_stop(session: &Session, dial: Quantity, value: f64, view: &View, free_hand: bool) -> f64 {
    let bench = session.bench();
    let near = match dial.kind() {
        Kind::Length => f64::from(SNAP_POINTS) / view.scale,
        _ => SNAP_DEGREES,
    };
    let stop = dial
        .stops(bench)
        .into_iter()
        .map(|stop| stop.value)
        .filter(|stop| !free_hand && (stop - value).abs() <= near)
        .min_by(|a, b| (a - value).abs().total_cmp(&(b - value).abs()));
    let value = stop.unwrap_or_else(|| settable(value));
    match dial.range(bench) {
        Some((least, most)) => value.clamp(least, most),
        None => value,
    }
}
