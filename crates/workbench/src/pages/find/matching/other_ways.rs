//! What else tells a grind: the wing, and a second tool of the bench held against this one.

use bevelbench_geometry::swept::{RollCentreFit, equal::fit_roll_centre};
use bevelbench_notebook::{
    answer::swept::{Swept, swept},
    quantity::Units,
    saved::{BevelMeant, Id, TargetSaved},
};
use egui::Ui;

use crate::{
    model::{appearance::Tone, session::Session},
    pages::find::{
        bench_side::{choice, current_gouge, note},
        matching::{MatchingState, SETBACK, reported},
    },
    toolkit::{
        theme::Theme,
        widgets::{Emphasis, button, caution_line, section},
    },
};

/// The wing: what roll centre leaves it at this setting.
pub(super) fn wing(
    ui: &mut Ui,
    session: &mut Session,
    state: &mut MatchingState,
    units: Units,
    theme: &Theme,
) {
    section(ui, "The wing", "", theme);
    let MatchingState { rows, uncertainties, .. } = state;
    rows.measured(
        ui,
        SETBACK,
        "± of the setback",
        (&mut state.setback, &mut uncertainties.setback),
        units,
        theme,
    );
    let Some((mm, (rolled, steel))) = state.setback.zip(current_gouge(session)) else {
        note(
            ui,
            "How far its wing tops lie behind the nose tells about which centre a gouge was rolled.",
            theme,
        );
        return;
    };
    let highest = rolled.edge_height_mm + 3.0 * steel.half_width_mm();
    match fit_roll_centre(&rolled, &steel, mm, highest) {
        Ok(RollCentreFit::Found { height_mm, .. }) => {
            let words = format!(
                "Rolled about a centre {} {} the bar’s centreline, this setting leaves that wing.",
                units.length(height_mm.abs()),
                if height_mm < 0.0 { "below" } else { "above" }
            );
            caution_line(ui, &words, Tone::Strong, theme);
            if button(ui, "Roll about that centre", Emphasis::Plain, theme).clicked() {
                session.edit("Match a wing", |bench| {
                    if let Some(swing) = bench.current.as_mut().and_then(|current| current.swing.as_mut()) {
                        swing.roll_centre_mm = height_mm;
                    }
                });
                let words = "The wing of this setting is the one that was measured.".to_owned();
                state.message = Some((session.revision(), Tone::Good, words));
                ui.ctx().request_repaint();
            }
            note(
                ui,
                "“For a bevel” finds what strut angle or projection leaves that wing with the roll centre as it is.",
                theme,
            );
        }
        Ok(RollCentreFit::OutOfRange { least_mm, greatest_mm }) => {
            let words = format!(
                "No roll centre leaves that wing at this setting: between {} and {} is what it can do. Another strut angle or projection can do more.",
                units.length(least_mm),
                units.length(greatest_mm)
            );
            caution_line(ui, &words, Tone::Caution, theme);
        }
        Err(_) => {
            caution_line(ui, "This setting grinds no wing that could be compared.", Tone::Caution, theme);
        }
    }
}

/// A second tool of the bench, held against this one.
pub(super) fn sample(
    ui: &mut Ui,
    session: &mut Session,
    state: &mut MatchingState,
    units: Units,
    theme: &Theme,
) {
    section(ui, "Held against another tool", "", theme);
    let current = session.current().map(|current| current.id);
    let bench = session.bench();
    let mut all: Vec<(Option<Id>, String)> = vec![(None, "none".to_owned())];
    all.extend(bench.settings.iter().filter(|entry| Some(entry.id) != current).map(|entry| {
        let tool = bench.tool(entry.tool).map_or("", |tool| tool.name.as_str());
        (Some(entry.id), format!("{tool}: {}", entry.name))
    }));
    let shown = all.iter().find(|(each, _)| *each == state.sample).map_or("none", |(_, name)| name.as_str());
    let how = "A tool whose grind is right, with the setting that ground it: this one is to be like it.";
    if let Some(index) = choice(ui, "Sample", how, shown, all.iter().map(|(_, name)| name.as_str()), theme) {
        state.sample = all[index].0;
    }
    let Some(entry) = state.sample.and_then(|id| session.bench().setting(id)).cloned() else { return };
    let Ok((job, view)) = session.bench().answer(&entry) else {
        caution_line(ui, "The sample’s own setting has no answer.", Tone::Caution, theme);
        return;
    };
    let wings = swept(&job, &view, entry.swing.as_ref(), 65)
        .ok()
        .filter(Swept::is_gouge)
        .map(|shape| format!(", and its wings lie {} behind", units.length(shape.summary().wing_sweep_mm())));
    let words = format!(
        "The sample has {} at the edge, {} across a facet of {}{}.",
        units.angle(view.bevel().degrees()),
        units.angle(view.facet.across.degrees()),
        units.length(view.facet.width_mm),
        wings.unwrap_or_default()
    );
    caution_line(ui, &words, Tone::Strong, theme);
    if button(ui, "Same bevel as the sample", Emphasis::Plain, theme).clicked() {
        let bevel_deg = view.bevel().degrees();
        session.edit("Match a sample", |bench| {
            if let Some(current) = bench.current.as_mut() {
                let wing = current.target.and_then(|target| target.wing);
                current.target = Some(TargetSaved { bevel_deg, meant: BevelMeant::AtEdge, wing });
            }
        });
        let words = format!("Target: {} at the edge, as the sample.", units.angle(bevel_deg));
        state.message = Some((session.revision(), Tone::Good, words));
        ui.ctx().request_repaint();
    }
    reported(ui, session, state, theme);
}
