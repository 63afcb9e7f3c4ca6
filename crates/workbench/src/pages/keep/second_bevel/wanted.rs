//! Asking for a relief or an inside curve: what the second bevel moves follows.

use bevelbench_geometry::{
    facet::{FurtherFacet, Inside, ReliefWanted},
    math::{Angle, Kind},
};
use bevelbench_notebook::{
    quantity::Units,
    saved::table::OnBench,
    words::{bevel_name, relief_refusal_words},
};
use egui::Ui;

use crate::{
    model::{appearance::Tone, session::Session},
    pages::keep::{
        caption,
        second_bevel::{SecondBevelState, change_step},
    },
    toolkit::{
        theme::Theme,
        widgets::{section, typed_field},
    },
};

/// Ask for a relief or an inside curve: what the last step moves follows. And the curve for which the lift is reported.
pub(super) fn wanted(
    ui: &mut Ui,
    session: &mut Session,
    state: &mut SecondBevelState,
    units: Units,
    theme: &Theme,
) {
    let mut asked = None;
    section(ui, "Find it for", "", theme);
    let Some(cached) = &state.cached else { return };
    let shown_relief = cached.relief.relief(1).map_or_else(String::new, |angle| units.angle(angle.degrees()));
    let shown_curve = match cached.relief.inside() {
        Inside::Tightest { radius_mm, .. } => units.length(radius_mm),
        _ => String::new(),
    };
    ui.horizontal_wrapped(|ui| {
        caption(ui, "a relief angle of", theme);
        let read_angle = |text: &str| units.read(Kind::Angle, text);
        match typed_field(ui, "Relief angle wanted", &shown_relief, 74.0, &read_angle, theme) {
            Some(Ok(degrees)) => {
                asked = Some(Ok(ReliefWanted::Relief(Angle::from_degrees(degrees))));
            }
            Some(Err(why)) => asked = Some(Err(why)),
            None => {}
        }
        caption(ui, "or an inside curve of radius", theme);
        let read_length = |text: &str| units.read(Kind::Length, text);
        match typed_field(ui, "Inside curve wanted", &shown_curve, 90.0, &read_length, theme) {
            Some(Ok(mm)) => asked = Some(Ok(ReliefWanted::Inside(mm))),
            Some(Err(why)) => asked = Some(Err(why)),
            None => {}
        }
        caption(ui, "· lift told for a curve of", theme);
        match typed_field(ui, "Curve for the lift", &units.length(state.curve_mm), 90.0, &read_length, theme)
        {
            Some(Ok(mm)) if mm > 0.0 => state.curve_mm = mm,
            Some(Ok(_)) => asked = Some(Err("A curve has a radius greater than nothing.".to_owned())),
            Some(Err(why)) => asked = Some(Err(why)),
            None => {}
        }
    });
    match asked {
        Some(Ok(wanted)) => find(session, state, wanted, units),
        Some(Err(why)) => state.message = Some((session.revision(), Tone::Bad, why)),
        None => {}
    }
}

/// Moves what the second bevel moves so that it meets what is wanted.
fn find(session: &mut Session, state: &mut SecondBevelState, wanted: ReliefWanted, units: Units) {
    let Some(cached) = &state.cached else { return };
    let Some(step) = session.current().and_then(|current| current.further_steps.first()).copied() else {
        return;
    };
    let free = step.moved.quantity();
    let length = |mm: f64| units.length(mm);
    let first = FurtherFacet::first(&cached.job.setting, &cached.view);
    let found = first.second_settings(&cached.job, step.left_width_mm, free, wanted);
    let dial = free;
    let message = match found {
        Err(why) => (Tone::Bad, relief_refusal_words(&why, &length).together()),
        Ok(found) => {
            let all: Vec<_> = found.collect();
            match all.iter().find(|one| one.off_travel.is_none()) {
                Some(one) => {
                    let value = one.value;
                    let label = format!("Find a {}", bevel_name(1).to_lowercase());
                    change_step(session, label, 0, |step| step.moved = step.moved.moved_to(value));
                    let shown = units.show(dial.kind(), value);
                    (Tone::Good, format!("{} set to {shown}.", dial.label()))
                }
                None => match all.first() {
                    Some(one) => {
                        let shown = units.show(dial.kind(), one.value);
                        (
                            Tone::Bad,
                            format!(
                                "It would need the {} at {shown}, beyond its travel.",
                                dial.label().to_lowercase()
                            ),
                        )
                    }
                    None => (
                        Tone::Bad,
                        format!(
                            "The {} alone does not reach that. Leave the first facet narrower or wider.",
                            dial.label().to_lowercase()
                        ),
                    ),
                },
            }
        }
    };
    state.message = Some((session.revision(), message.0, message.1));
}
