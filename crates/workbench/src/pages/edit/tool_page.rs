//! The page of tools: the list, the form with the sketches beside it, and the settings of the chosen tool.

use bevelbench_geometry::math::Angle;
use bevelbench_notebook::{
    drawing::{Drawing, side_view::tool_outline, sketch::tool as tool_sketch},
    quantity::Units,
    saved::{Id, ToolEntry},
    words::lower_first,
};
use egui::Ui;

use crate::{
    model::{
        parts::{self, PartOf},
        session::Session,
    },
    pages::edit::{
        Ask, EditState, MenuRow, built_in, commit, delete, dialogs,
        fields::{Form, Setup},
        figure::Key,
        list, menu,
        new_setting::NewSetting,
        open_page, part_of, remark, scrolled, tool_form,
    },
    toolkit::{
        theme::Theme,
        widgets::{Emphasis, RackRow, button, rack_row, section},
    },
};

/// The page of tools. Shows the tool of the current setting until another is chosen.
pub fn tool_page(ui: &mut Ui, session: &mut Session, state: &mut EditState, units: Units, theme: &Theme) {
    let places = open_page(ui, session.bench(), state, theme);
    tools(&mut part_of(ui, "tools", places.list), session, state, theme);
    let shown = state.tool.and_then(|id| session.bench().tool(id)).cloned();
    let mut inner = part_of(ui, "tool form", places.form);
    if let Some(tool) = &shown {
        let setup = Setup { revision: session.revision(), units, theme };
        scrolled(&mut inner, "tool form", theme, |ui| {
            let mut form = Form::new(tool, ("tool", tool.id.0), tool_form::check, &mut state.forms, setup);
            tool_form::fields(ui, &mut form, theme);
            if let Some((label, changed)) = form.done() {
                let label = format!("“{}”: {}", tool.name, lower_first(&label));
                commit(session, &mut state.forms, label, |bench| {
                    if let Some(place) = parts::tool_mut(bench, tool.id) {
                        *place = changed;
                    }
                });
            }
            settings_of(ui, session, state, tool.id, theme);
        });
    } else {
        let words = "There is no tool on this bench yet. Start one from the library with “New tool…”.";
        remark(&mut inner, words, theme);
    }
    if state.forms.end() {
        ui.ctx().request_repaint();
    }
    if let Some(tool) = &shown {
        let key = Key {
            revision: session.revision(),
            units,
            pointed: state.forms.pointed,
            part: format!("{:?}", tool.id),
        };
        let now = session.bench().tool(tool.id).unwrap_or(tool);
        let pointed = state.forms.pointed;
        state.tool_figures.show(ui, places.figures.shrink(theme.sizes.gap.normal), key, theme, || {
            now.build()
                .map_or_else(|_| Vec::new(), |built| tool_sketch::sketches(now, &built, units, pointed))
        });
    }
    dialogs(ui, session, state, theme);
}

/// The list of tools with what can be done to them.
fn tools(ui: &mut Ui, session: &mut Session, state: &mut EditState, theme: &Theme) {
    let mut chosen = None;
    let revision = session.revision();
    if state.outlines.as_ref().is_none_or(|(made, _)| *made != revision) {
        state.outlines = Some((revision, session.bench().tools.iter().map(outline).collect()));
    }
    let outlines = state.outlines.as_ref().map(|(_, outlines)| outlines.as_slice()).unwrap_or_default();
    let reveal = std::mem::take(&mut state.reveal);
    list(ui, theme, 2.0, |ui| {
        for (tool, outline) in session.bench().tools.iter().zip(outlines) {
            let is_chosen = state.tool == Some(tool.id);
            let row = RackRow {
                name: &tool.name,
                value: "",
                outline: Some(outline),
                chosen: is_chosen,
                caution: "",
            };
            let response = rack_row(ui, row, theme).on_hover_text(tool.family.words());
            if is_chosen && reveal {
                response.scroll_to_me(None);
            }
            if response.clicked() {
                chosen = Some(tool.id);
            }
        }
    });
    ui.spacing_mut().item_spacing = egui::vec2(theme.sizes.gap.small, theme.sizes.gap.small);
    let new = button(ui, "New tool…", Emphasis::Plain, theme).on_hover_text("Start a tool from the library");
    let library = &built_in().tools;
    let rows: Vec<MenuRow<'_>> = library.iter().map(|tool| MenuRow::Part(&tool.name)).collect();
    if let Some(tool) = menu(&new, theme, &rows).and_then(|index| library.get(index)) {
        let mut made = None;
        let label = format!("New tool “{}”", tool.name);
        commit(session, &mut state.forms, label, |bench| {
            made = Some(parts::add_tool(bench, tool.clone(), None));
        });
        chosen = made;
    }
    ui.horizontal(|ui| {
        ui.add_enabled_ui(state.tool.is_some(), |ui| {
            ui.spacing_mut().item_spacing.x = theme.sizes.gap.tiny;
            let Some(id) = state.tool else { return };
            if button(ui, "Duplicate", Emphasis::Quiet, theme)
                .on_hover_text("A second tool like this one")
                .clicked()
            {
                let Some(tool) = session.bench().tool(id).cloned() else { return };
                let mut made = None;
                let label = format!("Duplicate “{}”", tool.name);
                commit(session, &mut state.forms, label, |bench| {
                    made = Some(parts::add_tool(bench, tool, Some(id)));
                });
                chosen = made;
            }
            if button(ui, "Delete", Emphasis::Quiet, theme)
                .on_hover_text("Take this tool off the bench")
                .clicked()
            {
                delete(session, state, PartOf::Tool(id));
                ui.ctx().request_repaint();
            }
        });
    });
    if let Some(id) = chosen {
        state.choose_tool(id);
        ui.ctx().request_repaint();
    }
}

/// The tool's outline for the list; nothing for one that cannot be.
fn outline(tool: &ToolEntry) -> Drawing {
    let bevel = tool.present_facet.map_or(45.0, |facet| facet.bevel_deg);
    tool.build().map_or_else(|_| Drawing::new(), |tool| tool_outline(&tool, Angle::from_degrees(bevel)))
}

/// The settings of the tool, each to be made current, and a button for a new one.
fn settings_of(ui: &mut Ui, session: &mut Session, state: &mut EditState, tool: Id, theme: &Theme) {
    ui.add_space(theme.sizes.gap.wide);
    section(ui, "Settings of this tool", "", theme);
    let current = session.current().map(|current| current.id);
    let mut chosen = None;
    let mut any = false;
    for setting in session.bench().settings_of(tool) {
        any = true;
        let place = session.bench().rig(setting.rig).and_then(|rig| rig.wheel(setting.wheel));
        let wheel = place.map_or("no wheel", |wheel| wheel.name.as_str());
        let row = RackRow {
            name: &setting.name,
            value: wheel,
            outline: None,
            chosen: current == Some(setting.id),
            caution: "",
        };
        if rack_row(ui, row, theme).on_hover_text("Take this setting in hand").clicked() {
            chosen = Some(setting.id);
        }
    }
    if !any {
        remark(ui, "None yet.", theme);
    }
    if let Some(id) = chosen {
        session.choose(id);
        ui.ctx().request_repaint();
    }
    ui.add_space(theme.sizes.gap.small);
    let how = "Choose a rig, a wheel and what carries the tool; the setting is then found at 45°";
    if button(ui, "New setting…", Emphasis::Plain, theme).on_hover_text(how).clicked() {
        state.ask = NewSetting::for_tool(session.bench(), tool).map(Ask::Setting);
        ui.ctx().request_repaint();
    }
    if session.bench().rigs.iter().all(|rig| rig.wheels.is_empty()) {
        remark(ui, "A setting needs a rig with a wheel: make one on the Rig page.", theme);
    }
}
