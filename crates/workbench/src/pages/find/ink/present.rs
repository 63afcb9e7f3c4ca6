//! The facets that the current tool carries now: measured, or as one of its settings ground them.

use bevelbench_geometry::parts::{PresentFacet, profile::MOST_FACETS};
use bevelbench_notebook::{
    quantity::Units,
    saved::{FacetSaved, Id, ToolEntry},
    words::dimension_error_words,
};
use egui::Ui;

use crate::{
    model::{appearance::Tone, session::Session},
    pages::{
        edit::entry::tick_box,
        find::{
            bench_side::{Grain, Reading, Rows, choice, note},
            matching::take_as_facet,
        },
    },
    toolkit::{
        theme::Theme,
        widgets::{Emphasis, button, caution_line, section},
    },
};

/// What this keeps from frame to frame.
#[derive(Debug, Default)]
pub(super) struct PresentState {
    rows: Rows,
    ground_by: Option<Id>,
}

const NAMES: [[&str; 4]; MOST_FACETS] = [
    ["Facet 1: bevel", "Facet 1: width", "Facet 1: hollow ground", "Facet 1: hollow radius"],
    ["Facet 2: bevel", "Facet 2: width", "Facet 2: hollow ground", "Facet 2: hollow radius"],
    ["Facet 3: bevel", "Facet 3: width", "Facet 3: hollow ground", "Facet 3: hollow radius"],
    ["Facet 4: bevel", "Facet 4: width", "Facet 4: hollow ground", "Facet 4: hollow radius"],
];

fn facets_of(tool: &ToolEntry) -> Vec<FacetSaved> {
    tool.present_facet.into_iter().chain(tool.further_facets.iter().copied()).take(MOST_FACETS).collect()
}

fn put_facets(session: &mut Session, tool: Id, label: &str, facets: &[FacetSaved]) {
    session.edit(label, |bench| {
        if let Some(entry) = bench.tools.iter_mut().find(|entry| entry.id == tool) {
            entry.present_facet = facets.first().copied();
            entry.further_facets = facets.get(1..).unwrap_or_default().to_vec();
        }
    });
}

/// The section of the part.
pub(super) fn present_facets(
    ui: &mut Ui,
    session: &mut Session,
    state: &mut PresentState,
    units: Units,
    theme: &Theme,
) {
    section(ui, "The facets the tool carries now", "", theme);
    note(
        ui,
        "Forwards: with these known, the loupe on the Side page shows where ink will go, and the Tip page all over the bevel.",
        theme,
    );
    let Some(tool) = session.current().and_then(|current| session.bench().tool(current.tool)).cloned() else {
        return;
    };
    from_a_setting(ui, session, state, &tool, theme);
    state.rows.begin();
    let before = facets_of(&tool);
    let mut facets = before.clone();
    for (facet, names) in facets.iter_mut().zip(NAMES) {
        facet_rows(ui, &mut state.rows, facet, names, units, theme);
    }
    state.rows.end(ui);
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = theme.sizes.gap.small;
        if facets.len() < MOST_FACETS {
            let words = if facets.is_empty() { "Add a facet" } else { "Add one behind it" };
            if button(ui, words, Emphasis::Plain, theme).clicked() {
                facets.push(next_facet(session, &facets));
            }
        }
        if !facets.is_empty() && button(ui, "Remove the last", Emphasis::Quiet, theme).clicked() {
            facets.pop();
        }
    });
    for facet in &facets {
        if let Err(dimension_error) = facet.build() {
            let words = dimension_error_words(&dimension_error, &|mm| units.length(mm));
            caution_line(ui, &words.together(), Tone::Caution, theme);
        }
    }
    if facets != before {
        put_facets(session, tool.id, "Facets as they are", &facets);
        ui.ctx().request_repaint();
    }
}

/// A facet to begin with: as this setting grinds it at the edge, a keener one behind another.
fn next_facet(session: &Session, facets: &[FacetSaved]) -> FacetSaved {
    let view = session.outcome().and_then(|outcome| outcome.result.as_ref().ok());
    let radius = session.outcome().and_then(|o| o.job.as_ref()).and_then(|job| job.setting.face.radius_mm());
    match facets.last() {
        None => FacetSaved {
            hollow_radius_mm: radius,
            bevel_deg: view.map_or(40.0, |view| view.bevel().degrees()),
            width_mm: view.map_or(6.0, |view| view.facet.width_mm),
        },
        Some(last) => FacetSaved { bevel_deg: (last.bevel_deg - 5.0).max(5.0), width_mm: 2.0, ..*last },
    }
}

/// The facet that a setting of this tool ground.
fn from_a_setting(
    ui: &mut Ui,
    session: &mut Session,
    state: &mut PresentState,
    tool: &ToolEntry,
    theme: &Theme,
) {
    let all: Vec<(Id, String)> =
        session.bench().settings_of(tool.id).map(|entry| (entry.id, entry.name.clone())).collect();
    let Some(first) = all.first().map(|(id, _)| *id) else { return };
    let chosen = state.ground_by.filter(|id| all.iter().any(|(each, _)| each == id)).unwrap_or(first);
    let shown = all.iter().find(|(id, _)| *id == chosen).map_or("", |(_, name)| name.as_str());
    let how = "The setting that ground the tool last, as it is saved.";
    if let Some(index) =
        choice(ui, "Ground last by", how, shown, all.iter().map(|(_, name)| name.as_str()), theme)
    {
        state.ground_by = Some(all[index].0);
    }
    if button(ui, "Take the facet from it", Emphasis::Plain, theme).clicked() {
        let facet = session.bench().setting(chosen).and_then(|entry| {
            let (job, view) = session.bench().answer(entry).ok()?;
            PresentFacet::new(job.setting.face.hollow(), view.bevel(), view.facet.width_mm).ok()
        });
        if let Some(facet) = facet {
            take_as_facet(session, facet);
        }
        ui.ctx().request_repaint();
    }
}

fn facet_rows(
    ui: &mut Ui,
    rows: &mut Rows,
    facet: &mut FacetSaved,
    [bevel, width, ground, radius]: [&'static str; 4],
    units: Units,
    theme: &Theme,
) {
    let reading = |name, grain, step, how| Reading { name, how, grain, step, mark: None };
    let how = "Bevel where this facet begins, nearest to the edge.";
    rows.value(ui, reading(bevel, Grain::Angle, 0.5, how), &mut facet.bevel_deg, units, theme);
    let how = "From where it begins to where it ends, along the facet.";
    rows.value(ui, reading(width, Grain::Length, 0.1, how), &mut facet.width_mm, units, theme);
    let mut hollow = facet.hollow_radius_mm.is_some();
    if tick_box(ui, &mut hollow, ground, "").changed() {
        facet.hollow_radius_mm = hollow.then_some(75.0);
    }
    if let Some(mm) = facet.hollow_radius_mm.as_mut() {
        let how = "Half the diameter of the wheel that ground it.";
        rows.value(ui, reading(radius, Grain::Length, 1.0, how), mm, units, theme);
    }
}
