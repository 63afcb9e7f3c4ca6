//! Over the pair: how it is looked at, what B is, and what can be done with both.

use bevelbench_geometry::math::Quantity;
use bevelbench_notebook::{
    paper::picture::full_name,
    quantity::Units,
    saved::table::{self, OnBench},
};
use egui::{Align, ComboBox, Layout, Ui, WidgetInfo, vec2};

use crate::{
    model::{appearance::Tone, session::Session},
    pages::pair::{Compare, Equalised, PairRequest, PairState, equalise},
    toolkit::{
        theme::Theme,
        widgets::{Emphasis, button},
    },
};

pub(super) fn toolbar(
    ui: &mut Ui,
    session: &mut Session,
    state: &mut PairState,
    units: Units,
    theme: &Theme,
) -> Option<PairRequest> {
    let gap = theme.sizes.gap;
    let mut request = None;
    ui.spacing_mut().item_spacing = vec2(gap.small + 2.0, gap.normal);
    ui.horizontal(|ui| {
        let names: Vec<&str> = Compare::ALL.iter().map(|(_, name)| *name).collect();
        let now = Compare::ALL.iter().position(|(one, _)| *one == state.compare).unwrap_or(0);
        if let Some(pressed) = crate::toolkit::widgets::tab_bar(ui, &names, now, theme) {
            state.compare = Compare::ALL[pressed].0;
            ui.ctx().request_repaint();
        }
        if matches!(state.compare, Compare::Sides | Compare::Tips) {
            let words = egui::RichText::new("Laid over").font(theme.body());
            ui.checkbox(&mut state.over, words).on_hover_text("One picture: A solid, B dashed over it");
        }
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            if session.beside().is_some() && state.compare != Compare::WhatIf {
                link_box(ui, session, &mut state.link, theme);
            }
        });
    });
    ui.horizontal(|ui| {
        let word = |ui: &mut Ui, text: &str| {
            ui.label(egui::RichText::new(text).font(theme.strong()).color(theme.tone(Tone::Strong)))
        };
        word(ui, "B");
        choose_beside(ui, session, theme);
        let press = |ui: &mut Ui, words: &str, tip: &str| {
            button(ui, words, Emphasis::Plain, theme).on_hover_text(tip).clicked()
        };
        if press(ui, "B from A", "Makes B a copy of A as it stands now, to be held while A moves on") {
            variant(session);
        }
        ui.add_enabled_ui(session.beside().is_some(), |ui| {
            if press(ui, "Swap", "A becomes B and B becomes A") {
                session.edit("Swap A and B", |bench| std::mem::swap(&mut bench.current, &mut bench.beside));
            }
            if press(
                ui,
                "Make B equal A",
                "Moves B’s arm and strut (or table) so that it grinds what A grinds, at B’s own projection",
            ) {
                let reported = make_equal(session, units);
                state.message = Some((session.revision(), reported.0, reported.1));
            }
            if press(ui, "Save B", "Saves B to its tool under its own name")
                && let Some(name) = session.save_beside()
            {
                state.message = Some((session.revision(), Tone::Good, format!("B is saved as “{name}”.")));
            }
        });
        if press(ui, "Save A", "Saves the setting in hand to its tool (Ctrl+S)") {
            request = Some(PairRequest::SaveA);
        }
    });
    request
}

/// What A and B may be tied by.
fn linkable(session: &Session) -> Vec<Quantity> {
    let (Some(a), Some(b)) = (session.current(), session.beside()) else { return Vec::new() };
    let of_b = table::turned(session.bench(), b);
    table::turned(session.bench(), a)
        .into_iter()
        .filter(|dial| of_b.contains(dial))
        .filter(|dial| !(*dial == Quantity::WheelDiameter && (a.rig, a.wheel) == (b.rig, b.wheel)))
        .filter(|dial| !(*dial == Quantity::ToolLength && a.tool == b.tool))
        .collect()
}

fn link_box(ui: &mut Ui, session: &Session, link: &mut Option<Quantity>, theme: &Theme) {
    let can = linkable(session);
    *link = link.filter(|dial| can.contains(dial));
    let now = *link;
    let text = now.map_or("nothing", Quantity::label);
    let mut chosen = None;
    let response = ComboBox::from_id_salt("link")
        .width(150.0)
        .selected_text(egui::RichText::new(text).font(theme.name()).color(theme.tone(Tone::Strong)))
        .show_ui(ui, |ui| {
            if ui.selectable_label(now.is_none(), "nothing").clicked() {
                chosen = Some(None);
            }
            for dial in can {
                if ui.selectable_label(now == Some(dial), dial.label()).clicked() {
                    chosen = Some(Some(dial));
                }
            }
        })
        .response;
    response.widget_info(|| WidgetInfo::labeled(egui::Role::ComboBox, true, format!("Move in both: {text}")));
    response.on_hover_text("What is moved in A moves by as much in B");
    ui.label(egui::RichText::new("Move in both").font(theme.body()).color(theme.tone(Tone::Weak)));
    if let Some(chosen) = chosen {
        *link = chosen;
    }
}

fn choose_beside(ui: &mut Ui, session: &mut Session, theme: &Theme) {
    let shown = session.beside().map_or("choose a setting…".to_owned(), |entry| entry.name.clone());
    let mut chosen = None;
    let response = ComboBox::from_id_salt("beside")
        .width(176.0)
        .height(theme.sizes.row * 14.0)
        .truncate()
        .selected_text(egui::RichText::new(&shown).font(theme.name()).color(theme.tone(Tone::Strong)))
        .show_ui(ui, |ui| {
            for entry in &session.bench().settings {
                let now = session.beside().is_some_and(|beside| beside.id == entry.id);
                if ui.selectable_label(now, full_name(session.bench(), entry)).clicked() {
                    chosen = Some(entry.clone());
                }
            }
        })
        .response;
    response.widget_info(|| WidgetInfo::labeled(egui::Role::ComboBox, true, format!("Setting B: {shown}")));
    if let Some(entry) = chosen {
        session.edit(format!("Lay “{}” beside", entry.name), |bench| bench.beside = Some(entry));
    }
}

/// A copy of A as B, under a name of its own.
fn variant(session: &mut Session) {
    let Some(mut copy) = session.current().cloned() else { return };
    let bench = session.bench();
    let taken = bench.settings.iter().map(|setting| setting.name.as_str());
    copy.name = crate::model::parts::free_name(&copy.name, taken);
    session.edit("Make B a copy of A", |bench| {
        copy.id = bench.give_id();
        bench.beside = Some(copy);
    });
}

/// Makes B equal A and says what came of it.
fn make_equal(session: &mut Session, units: Units) -> (Tone, String) {
    let (Some(a), Some(b)) = (session.current().cloned(), session.beside().cloned()) else {
        return (Tone::Weak, "Choose B first.".to_owned());
    };
    match equalise(session.bench(), &a, &b, units) {
        Equalised::SameGrind(entry) => {
            session.edit("Make B equal A", |bench| bench.beside = Some(*entry));
            (Tone::Good, "B now grinds the same surface as A.".to_owned())
        }
        Equalised::SameBevel(entry) => {
            session.edit("Make B equal A", |bench| bench.beside = Some(*entry));
            let more = if a.swing.is_some() { " Its wings come out differently: see below." } else { "" };
            (Tone::Caution, format!("B now grinds the same bevel as A.{more}"))
        }
        Equalised::Nowhere(why) => (Tone::Bad, why),
    }
}
