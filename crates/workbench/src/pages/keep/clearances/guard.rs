//! The guard around the wheel, as it was measured: the same one that the Safety part holds against its limits.

use bevelbench_geometry::math::Kind;
use bevelbench_notebook::{quantity::Units, saved::GuardSaved};
use egui::Ui;

use crate::{
    model::{appearance::Tone, session::Session},
    pages::keep::{caption, change_wheel},
    toolkit::{
        theme::Theme,
        widgets::{Emphasis, button, caution_line, section, typed_field},
    },
};

/// How far outside a new wheel a guard is taken to be at first, in millimetres; and how much wider.
const FIRST_ROOM_MM: f64 = 10.0;
/// Where a guard is taken to be open at first, in degrees: from the rule’s highest place down, and how much of the rim.
const FIRST_OPENING_DEG: (f64, f64) = (65.0, 90.0);

/// What was typed and refused.
#[derive(Debug, Default)]
pub(super) struct GuardState {
    refused: Option<String>,
}

/// A field of the guard: its name, what it is, and its place in the saved form.
type Field = (&'static str, Kind, fn(&mut GuardSaved) -> &mut Option<f64>);

const FIELDS: [Field; 4] = [
    ("Guard’s inner radius", Kind::Length, |guard| &mut guard.radius_mm),
    ("Guard’s width", Kind::Length, |guard| &mut guard.width_mm),
    ("Opening begins at", Kind::Angle, |guard| &mut guard.opening_top_deg),
    ("Opening spans", Kind::Angle, |guard| &mut guard.exposure_deg),
];

/// The section of the guard.
pub(super) fn guard(
    ui: &mut Ui,
    session: &mut Session,
    state: &mut GuardState,
    dimension_error: Option<&str>,
    units: Units,
    theme: &Theme,
) {
    section(ui, "Guard", "", theme);
    let Some(wheel) =
        session.current().and_then(|current| session.bench().rig(current.rig)?.wheel(current.wheel)).cloned()
    else {
        return;
    };
    let saved = wheel.keep.guard.unwrap_or_default();
    if saved.radius_mm.is_none() {
        ui.horizontal(|ui| {
            caption(ui, "Its place is not measured: nothing is said about it.", theme);
            if button(ui, "Measure the guard", Emphasis::Plain, theme).clicked() {
                let (top, spans) = FIRST_OPENING_DEG;
                let guard = GuardSaved {
                    radius_mm: Some(wheel.diameter_new_mm / 2.0 + FIRST_ROOM_MM),
                    width_mm: saved.width_mm.or(Some(wheel.width_mm + 2.0 * FIRST_ROOM_MM)),
                    opening_top_deg: saved.opening_top_deg.or(Some(top)),
                    exposure_deg: saved.exposure_deg.or(Some(spans)),
                    ..saved
                };
                change_wheel(session, "Measure the guard", |wheel| wheel.keep.guard = Some(guard));
            }
        });
        return;
    }
    let mut changed = None;
    ui.horizontal_wrapped(|ui| {
        for (name, kind, of) in FIELDS {
            caption(ui, name, theme);
            let mut next = saved;
            let shown = of(&mut next).map_or_else(String::new, |value| units.show(kind, value));
            let read = |text: &str| units.read(kind, text);
            match typed_field(ui, name, &shown, 84.0, &read, theme) {
                Some(Ok(value)) => {
                    *of(&mut next) = Some(value);
                    changed = Some((name, next));
                }
                Some(Err(why)) => state.refused = Some(why),
                None => {}
            }
        }
        if button(ui, "Take it away", Emphasis::Plain, theme).clicked() {
            let guard = GuardSaved { radius_mm: None, width_mm: None, ..saved };
            change_wheel(session, "Take the guard’s place away", |wheel| wheel.keep.guard = Some(guard));
        }
    });
    caption(
        ui,
        "Inner radius from the spindle. The opening begins so many degrees above the horizontal in front of you and spans so many down from there.",
        theme,
    );
    if let Some((name, next)) = changed {
        state.refused = None;
        change_wheel(session, format!("Set {}", name.to_lowercase()), |wheel| wheel.keep.guard = Some(next));
    }
    if let Some(why) = state.refused.as_deref().or(dimension_error) {
        caution_line(ui, why, Tone::Bad, theme);
    }
}
