//! The rack: tools with their saved settings, to be made current, searched, renamed, duplicated and deleted.

use std::collections::BTreeMap;

use bevelbench_geometry::math::Angle;
use bevelbench_notebook::{
    answer::{target::included, wear::drift},
    drawing::{Drawing, side_view::tool_outline},
    quantity::Units,
    saved::{Bench, Id, SettingEntry, SupportSaved, ToolEntry, ids::PartKind},
    words::{drift_words, signed_degrees},
};
use egui::{Popup, RichText, ScrollArea, Ui};

use crate::{
    model::{
        appearance::Tone,
        parts::{add_tool, free_name},
        session::{Session, outcome_of},
    },
    toolkit::{
        theme::Theme,
        widgets::{Emphasis, RackRow, button, rack_row, search_field},
    },
};

/// What the rack keeps from frame to frame.
#[derive(Debug, Default)]
pub struct RackState {
    search: String,
    cached: Option<RackCache>,
}

/// What is shown, kept until the bench changes.
#[derive(Debug)]
struct RackCache {
    revision: u64,
    rows: Vec<Row>,
}

#[derive(Debug)]
struct Row {
    what: RackItem,
    name: String,
    value: String,
    tooltip: String,
    outline: Option<Drawing>,
    /// How far it has drifted, if that is more than the turner's tolerance.
    caution: String,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum RackItem {
    Tool(Id),
    Setting(Id),
}

/// What the rack asks the window to do.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RackRequest {
    /// Open a dialog that renames this setting.
    RenameSetting(Id),
    /// Open a dialog that renames this tool.
    RenameTool(Id),
    /// Show the tool's page.
    EditTool(Id),
    /// Open the dialog that saves the current setting under a new name.
    SaveAs,
    /// Go to the page where tools are made.
    NewTool,
}

/// The rack.
pub fn rack_panel(
    ui: &mut Ui,
    session: &mut Session,
    state: &mut RackState,
    units: Units,
    theme: &Theme,
) -> Option<RackRequest> {
    search_field(ui, &mut state.search, "Search tools", theme);
    ui.add_space(theme.sizes.gap.small);
    make(session, state, units);
    let mut request = None;
    let moved = session.is_moved();
    let foot = 2.0 * theme.sizes.row + 3.0 * theme.sizes.gap.small;
    let room = ui.available_height() - foot - theme.sizes.gap.normal;
    let current = session.current().map(|current| current.id);
    let mut chosen = None;
    let mut done: Option<(RackItem, Action)> = None;
    ScrollArea::vertical().max_height(room.max(60.0)).auto_shrink([false, false]).show(ui, |ui| {
        ui.spacing_mut().item_spacing.y = 1.0;
        let wanted = state.search.trim().to_lowercase();
        let rows = state.cached.as_ref().map(|cached| cached.rows.as_slice()).unwrap_or_default();
        let shown = matching(rows, &wanted);
        if shown.is_empty() {
            let words = if rows.is_empty() {
                "No tools yet. Add one from the library on the Tool page."
            } else {
                "No tool or setting has these letters in its name."
            };
            ui.label(RichText::new(words).font(theme.body()).color(theme.tone(Tone::Weak)));
        }
        for row in shown {
            let setting = matches!(row.what, RackItem::Setting(_));
            let is_chosen = row.what == RackItem::Setting(current.unwrap_or_default()) && current.is_some();
            let name = if is_chosen && moved { format!("{} *", row.name) } else { row.name.clone() };
            let shape = RackRow {
                name: &name,
                value: &row.value,
                outline: row.outline.as_ref(),
                chosen: is_chosen,
                caution: &row.caution,
            };
            let response = rack_row(ui, shape, theme);
            if response.clicked() {
                chosen = Some(row.what);
            }
            Popup::context_menu(&response).show(|ui| {
                for (words, action) in menu_of(setting) {
                    if ui.button(words).clicked() {
                        done = Some((row.what, action));
                        ui.close();
                    }
                }
            });
            if response.has_focus() {
                let (rename, delete) =
                    ui.input(|i| (i.key_pressed(egui::Key::F2), i.key_pressed(egui::Key::Delete)));
                if rename {
                    done = Some((row.what, Action::Rename));
                } else if delete {
                    done = Some((row.what, Action::Delete));
                }
            }
            if !row.tooltip.is_empty() {
                response.on_hover_text(&row.tooltip);
            }
        }
    });
    match chosen {
        Some(RackItem::Setting(id)) => session.choose(id),
        Some(RackItem::Tool(id)) => {
            let first = session.bench().settings_of(id).next().map(|setting| setting.id);
            match first {
                Some(first) => session.choose(first),
                None => request = Some(RackRequest::EditTool(id)),
            }
        }
        None => {}
    }
    if let Some((what, action)) = done {
        request = act(session, what, action).or(request);
    }
    if chosen.is_some() || done.is_some() {
        ui.ctx().request_repaint();
    }
    ui.add_space(theme.sizes.gap.small);
    foot_buttons(ui, session, theme).or(request)
}

/// Saving stands under the list, where the hand is.
fn foot_buttons(ui: &mut Ui, session: &mut Session, theme: &Theme) -> Option<RackRequest> {
    let mut request = None;
    let moved = session.is_moved();
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = theme.sizes.gap.small;
        ui.add_enabled_ui(moved, |ui| {
            let save = button(ui, "Save", if moved { Emphasis::Main } else { Emphasis::Plain }, theme);
            if save.on_hover_text("Save what is set to this setting of the tool (Ctrl+S)").clicked() {
                session.save();
                ui.ctx().request_repaint();
            }
        });
        ui.add_enabled_ui(session.current().is_some(), |ui| {
            let save_as = button(ui, "Save as…", Emphasis::Plain, theme);
            if save_as.on_hover_text("Save what is set as a new setting of the tool (Ctrl+Shift+S)").clicked()
            {
                request = Some(RackRequest::SaveAs);
            }
        });
    });
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = theme.sizes.gap.small;
        ui.add_enabled_ui(moved, |ui| {
            let back = button(ui, "Put back", Emphasis::Quiet, theme);
            if back.on_hover_text("Go back to the setting as it is saved").clicked() {
                session.discard_changes();
                ui.ctx().request_repaint();
            }
        });
        if button(ui, "New tool…", Emphasis::Quiet, theme).clicked() {
            request = Some(RackRequest::NewTool);
        }
    });
    request
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Action {
    Edit,
    Rename,
    Duplicate,
    Delete,
}

fn menu_of(setting: bool) -> Vec<(&'static str, Action)> {
    let mut menu = vec![
        ("Rename… (F2)", Action::Rename),
        ("Duplicate", Action::Duplicate),
        (if setting { "Delete (Del)" } else { "Delete on its page…" }, Action::Delete),
    ];
    if !setting {
        menu.insert(0, ("Edit this tool", Action::Edit));
    }
    menu
}

fn act(session: &mut Session, what: RackItem, action: Action) -> Option<RackRequest> {
    match (what, action) {
        (RackItem::Setting(id), Action::Rename) => Some(RackRequest::RenameSetting(id)),
        (RackItem::Tool(id), Action::Rename) => Some(RackRequest::RenameTool(id)),
        // A tool is deleted on its page, which asks before its settings go with it.
        (RackItem::Tool(id), Action::Edit | Action::Delete) => Some(RackRequest::EditTool(id)),
        (RackItem::Setting(_), Action::Edit) => None,
        (RackItem::Setting(id), Action::Duplicate) => {
            duplicate_setting(session, id);
            None
        }
        (RackItem::Setting(id), Action::Delete) => {
            session.delete_setting(id);
            None
        }
        (RackItem::Tool(id), Action::Duplicate) => {
            duplicate_tool(session, id);
            None
        }
    }
}

fn duplicate_setting(session: &mut Session, id: Id) {
    let Some(mut copy) = session.bench().setting(id).cloned() else { return };
    let name = free_name(&copy.name, session.bench().settings.iter().map(|s| s.name.as_str()));
    session.edit(format!("Duplicate “{}”", copy.name), |bench| {
        copy.id = bench.give_id();
        copy.name = name;
        let place = bench.settings.iter().position(|s| s.id == id).map_or(bench.settings.len(), |i| i + 1);
        bench.settings.insert(place, copy.clone());
        bench.current = Some(copy);
    });
}

/// Duplicates a tool with all its settings.
fn duplicate_tool(session: &mut Session, id: Id) {
    let Some(tool) = session.bench().tool(id).cloned() else { return };
    session.edit(format!("Duplicate “{}”", tool.name), |bench| {
        let copy = add_tool(bench, tool, Some(id));
        let settings: Vec<SettingEntry> = bench.settings_of(id).cloned().collect();
        let fresh: BTreeMap<Id, Id> =
            settings.iter().map(|setting| setting.id).zip(bench.give_ids(settings.len())).collect();
        for mut setting in settings {
            setting.tool = copy;
            // Settings of the copy that named each other do so still; one of another tool is named as before.
            setting.each_id_mut(|part, _, id| {
                if part == PartKind::Setting
                    && let Some(new) = fresh.get(id)
                {
                    *id = *new;
                }
                true
            });
            bench.settings.push(setting);
        }
    });
}

/// The rows that match: a tool shows all its settings, a setting shows its tool.
fn matching<'a>(rows: &'a [Row], wanted: &str) -> Vec<&'a Row> {
    let hit = |row: &Row| row.name.to_lowercase().contains(wanted);
    let mut shown = Vec::new();
    let mut index = 0;
    while index < rows.len() {
        let next = (index + 1..rows.len())
            .find(|&i| matches!(rows[i].what, RackItem::Tool(_)))
            .unwrap_or(rows.len());
        let (tool, settings) = (&rows[index], &rows[index + 1..next]);
        if hit(tool) {
            shown.push(tool);
            shown.extend(settings);
        } else if settings.iter().any(hit) {
            shown.push(tool);
            shown.extend(settings.iter().filter(|row| hit(row)));
        }
        index = next;
    }
    shown
}

fn make(session: &Session, state: &mut RackState, units: Units) {
    // While a gesture is open the rack keeps still: only the current row could change, and its number is shown
    // large below.
    let fresh = state.cached.as_ref().is_some_and(|cached| cached.revision == session.revision());
    if fresh || (state.cached.is_some() && session.history().is_open()) {
        return;
    }
    let bench = session.bench();
    let mut rows = Vec::with_capacity(bench.tools.len() + bench.settings.len());
    for tool in &bench.tools {
        rows.push(tool_row(tool));
        rows.extend(bench.settings_of(tool.id).map(|setting| setting_row(bench, setting, units)));
    }
    state.cached = Some(RackCache { revision: session.revision(), rows });
}

fn tool_row(tool: &ToolEntry) -> Row {
    let built = tool.build().ok();
    let bevel = tool.present_facet.map_or(45.0, |facet| facet.bevel_deg);
    Row {
        what: RackItem::Tool(tool.id),
        name: tool.name.clone(),
        value: String::new(),
        tooltip: format!("{}. {}", tool.family.words(), tool.notes).trim().to_owned(),
        outline: Some(
            built.map_or_else(Drawing::new, |tool| tool_outline(&tool, Angle::from_degrees(bevel))),
        ),
        caution: String::new(),
    }
}

fn setting_row(bench: &Bench, setting: &SettingEntry, units: Units) -> Row {
    let outcome = outcome_of(bench, setting);
    let value = match (&outcome.job, &outcome.result) {
        (Some(job), Ok(view)) => match included(job, view.bevel()) {
            Some(included) => format!("{:.0}° incl.", included.degrees()),
            None => format!("{:.0}°", view.bevel().degrees()),
        },
        _ => "none".to_owned(),
    };
    let rig = bench.rig(setting.rig);
    let wheel = rig.and_then(|rig| rig.wheel(setting.wheel)).map_or("no wheel", |wheel| wheel.name.as_str());
    let held = match setting.support {
        SupportSaved::Handle { reach_mm } => format!("handle in the cup, reach {}", units.length(reach_mm)),
        SupportSaved::Holder { projection_mm, .. } => {
            format!("holder, projection {}", units.length(projection_mm))
        }
        SupportSaved::Table { tilt_deg } => format!("table, tilt {}", units.angle(tilt_deg)),
    };
    let drifted = drift(bench, setting).filter(|drift| drift.passes(bench.keep.tolerance()));
    let reported = drifted.as_ref().map(drift_words).unwrap_or_default();
    let tooltip = format!(
        "{}, {wheel}\n{held}\n{}\n{reported}",
        rig.map_or("no rig", |rig| rig.name.as_str()),
        setting.notes
    );
    Row {
        what: RackItem::Setting(setting.id),
        name: setting.name.clone(),
        value,
        tooltip: tooltip.trim().to_owned(),
        outline: None,
        caution: drifted
            .map(|drift| format!("drifted {}", signed_degrees(drift.by().degrees())))
            .unwrap_or_default(),
    }
}
