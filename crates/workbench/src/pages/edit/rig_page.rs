//! The page of rigs: the list of grinders with their wheels and holders, and the form of the chosen one with its sketches.

use bevelbench_notebook::{
    drawing::{
        Drawing, Geometry, Part, Role,
        sketch::{holder as holder_sketch, mark::Mark, rig as rig_sketch},
    },
    quantity::Units,
    saved::{AbrasiveSaved, Bench, HolderSaved, Rig, WheelSaved},
};
use egui::Ui;

use crate::{
    model::{
        parts::{self, PartOf},
        session::Session,
    },
    pages::edit::{
        EditState, MenuRow, RigChoice, built_in, commit, delete, dialogs,
        fields::Setup,
        figure::Key,
        fit::{fit_figures, fit_form},
        guide::guide_form,
        list, menu, open_page, part_of, remark,
        rig_form::{grinder_form, holder_form, wheel_form},
        scrolled,
    },
    toolkit::{
        theme::Theme,
        widgets::{Emphasis, RackRow, button, rack_row, tab_bar},
    },
};

/// How the chosen part is looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) enum RigPart {
    /// Every dimension in one form.
    #[default]
    Dimensions,
    /// One dimension at a time.
    Measure,
    /// Hidden dimensions from trial grinds.
    Fit,
}

impl RigPart {
    const ALL: [(Self, &'static str); 3] =
        [(Self::Dimensions, "Dimensions"), (Self::Measure, "Measure"), (Self::Fit, "Fit")];
}

/// The page of rigs. Shows the wheel of the current setting until another part is chosen.
pub fn rig_page(ui: &mut Ui, session: &mut Session, state: &mut EditState, units: Units, theme: &Theme) {
    let places = open_page(ui, session.bench(), state, theme);
    parts_list(&mut part_of(ui, "rigs", places.list), session, state, theme);
    let choice = state.rig;
    let mut inner = part_of(ui, "rig form", places.form);
    let setup = Setup { revision: session.revision(), units, theme };
    match choice {
        None => remark(
            &mut inner,
            "There is no rig on this bench yet. Start one from the library with “New part…”.",
            theme,
        ),
        Some(choice) => {
            let names = RigPart::ALL.map(|(_, name)| name);
            let chosen = RigPart::ALL.iter().position(|(part, _)| *part == state.rig_part).unwrap_or(0);
            if let Some(index) = tab_bar(&mut inner, &names, chosen, theme) {
                state.rig_part = RigPart::ALL[index].0;
            }
            inner.add_space(theme.sizes.gap.small);
            scrolled(&mut inner, "rig form", theme, |ui| match (state.rig_part, choice) {
                (RigPart::Measure, _) => guide_form(ui, session, state, choice, setup),
                (RigPart::Fit, _) => fit_form(ui, session, state, choice, setup),
                (_, RigChoice::Rig(rig)) => grinder_form(ui, session, state, rig, setup),
                (_, RigChoice::Wheel(rig, wheel)) => wheel_form(ui, session, state, (rig, wheel), setup),
                (_, RigChoice::Holder(rig, holder)) => holder_form(ui, session, state, (rig, holder), setup),
            });
        }
    }
    if state.forms.end() {
        ui.ctx().request_repaint();
    }
    if let Some(choice) = choice.filter(|_| state.rig_part == RigPart::Fit) {
        let rect = places.figures.shrink(theme.sizes.gap.margin);
        fit_figures(ui, session, state, choice, rect, setup);
    } else if let Some(choice) = choice {
        let pointed = state.forms.pointed;
        let key = Key { revision: session.revision(), units, pointed, part: format!("{choice:?}") };
        let bench = session.bench();
        state.rig_figures.show(ui, places.figures.shrink(theme.sizes.gap.normal), key, theme, || {
            sketches(bench, choice, units, pointed)
        });
    }
    dialogs(ui, session, state, theme);
}

fn sketches(
    bench: &Bench,
    choice: RigChoice,
    units: Units,
    pointed: Option<Mark>,
) -> Vec<bevelbench_notebook::drawing::sketch::tool::Captioned> {
    let Some(rig) = bench.rig(choice.rig()) else { return Vec::new() };
    let side = |wheel: Option<&WheelSaved>| {
        let close = wheel.map(|wheel| ("At the wheel", rig_sketch::close_up(rig, wheel, units, pointed)));
        let whole = ("The rig from the side, to scale", rig_sketch::whole(rig, wheel, units, pointed));
        close.into_iter().chain([whole]).collect()
    };
    match choice {
        RigChoice::Rig(_) => side(rig.wheels.first()),
        RigChoice::Wheel(_, id) => side(rig.wheel(id)),
        RigChoice::Holder(_, id) => rig
            .holder(id)
            .map(|holder| {
                ("The holder on a tool, the edge to the left", holder_sketch::holder(holder, units, pointed))
            })
            .into_iter()
            .collect(),
    }
}

/// A small picture of a rig: its wheels.
fn picture(rig: &Rig) -> Drawing {
    let mut drawing = Drawing::new();
    let largest = rig.wheels.iter().map(|wheel| wheel.diameter_mm).fold(100.0, f64::max);
    for (index, wheel) in rig.wheels.iter().take(2).enumerate() {
        let middle = index as f64 * largest * 1.1;
        let radius = wheel.diameter_mm / 2.0;
        let geometry = if wheel.abrasive == AbrasiveSaved::Flat {
            bevelbench_notebook::drawing::sketch::lines::rectangle(middle - 15.0, -75.0, middle + 15.0, 75.0)
        } else {
            Geometry::Circle { centre: [middle, 0.0], radius }
        };
        drawing.add(Role::Tool, Part::Rim, geometry);
    }
    drawing
}

/// The list of rigs with their wheels and holders, and what can be done to them.
fn parts_list(ui: &mut Ui, session: &mut Session, state: &mut EditState, theme: &Theme) {
    let mut chosen = None;
    let reveal = std::mem::take(&mut state.reveal);
    list(ui, theme, 2.0, |ui| {
        let now = state.rig;
        let mut row = |ui: &mut Ui, name: &str, value: &str, outline: Option<&Drawing>, choice: RigChoice| {
            let row = RackRow { name, value, outline, chosen: now == Some(choice), caution: "" };
            let response = rack_row(ui, row, theme);
            if reveal && now == Some(choice) {
                response.scroll_to_me(None);
            }
            if response.clicked() {
                chosen = Some(choice);
            }
        };
        for rig in &session.bench().rigs {
            row(ui, &rig.name, "", Some(&picture(rig)), RigChoice::Rig(rig.id));
            for wheel in &rig.wheels {
                row(ui, &wheel.name, "wheel", None, RigChoice::Wheel(rig.id, wheel.id));
            }
            for holder in &rig.holders {
                row(ui, &holder.name, "holder", None, RigChoice::Holder(rig.id, holder.id));
            }
            ui.add_space(theme.sizes.gap.small);
        }
    });
    ui.spacing_mut().item_spacing = egui::vec2(theme.sizes.gap.small, theme.sizes.gap.small);
    let new = button(ui, "New part…", Emphasis::Plain, theme)
        .on_hover_text("Start a rig, a wheel or a holder from the library");
    if let Some(made) = new_menu(&new, session, state, theme) {
        chosen = Some(made);
    }
    ui.horizontal(|ui| {
        ui.add_enabled_ui(state.rig.is_some(), |ui| {
            ui.spacing_mut().item_spacing.x = theme.sizes.gap.tiny;
            let Some(choice) = state.rig else { return };
            if button(ui, "Duplicate", Emphasis::Quiet, theme)
                .on_hover_text("A second part like the chosen one")
                .clicked()
            {
                chosen = duplicate(session, state, choice).or(chosen);
            }
            if button(ui, "Delete", Emphasis::Quiet, theme)
                .on_hover_text("Take the chosen part off the bench")
                .clicked()
            {
                let part = match choice {
                    RigChoice::Rig(rig) => PartOf::Rig(rig),
                    RigChoice::Wheel(rig, wheel) => PartOf::Wheel(rig, wheel),
                    RigChoice::Holder(rig, holder) => PartOf::Holder(rig, holder),
                };
                delete(session, state, part);
                ui.ctx().request_repaint();
            }
        });
    });
    if let Some(choice) = chosen {
        state.rig = Some(choice);
        state.reveal = true;
        state.forms.forget();
        ui.ctx().request_repaint();
    }
}

fn duplicate(session: &mut Session, state: &mut EditState, choice: RigChoice) -> Option<RigChoice> {
    let rig = session.bench().rig(choice.rig())?.clone();
    let id = rig.id;
    let mut made = None;
    match choice {
        RigChoice::Rig(_) => {
            let label = format!("Duplicate “{}”", rig.name);
            commit(session, &mut state.forms, label, |bench| {
                made = Some(RigChoice::Rig(parts::add_rig(bench, rig, Some(id))));
            });
        }
        RigChoice::Wheel(_, wheel) => {
            let wheel = rig.wheel(wheel)?.clone();
            let label = format!("Duplicate “{}”", wheel.name);
            commit(session, &mut state.forms, label, |bench| {
                made = parts::add_wheel(bench, id, wheel).map(|wheel| RigChoice::Wheel(id, wheel));
            });
        }
        RigChoice::Holder(_, holder) => {
            let holder = rig.holder(holder)?.clone();
            let label = format!("Duplicate “{}”", holder.name);
            commit(session, &mut state.forms, label, |bench| {
                made = parts::add_holder(bench, id, holder).map(|holder| RigChoice::Holder(id, holder));
            });
        }
    }
    made
}

/// The menu of what the library offers, and what was made from it.
fn new_menu(
    new: &egui::Response,
    session: &mut Session,
    state: &mut EditState,
    theme: &Theme,
) -> Option<RigChoice> {
    let library = built_in();
    // Wheels and holders that are alike but for their ids are offered once.
    let mut wheels: Vec<&WheelSaved> = Vec::new();
    let mut holders: Vec<&HolderSaved> = Vec::new();
    for rig in &library.rigs {
        for wheel in &rig.wheels {
            if !wheels.iter().any(|other| other.name == wheel.name) {
                wheels.push(wheel);
            }
        }
        for holder in &rig.holders {
            if !holders.iter().any(|other| other.name == holder.name) {
                holders.push(holder);
            }
        }
    }
    let onto =
        state.rig.and_then(|choice| session.bench().rig(choice.rig())).map(|rig| (rig.id, rig.name.clone()));
    let headings =
        onto.as_ref().map(|(_, name)| (format!("Wheels for “{name}”"), format!("Holders for “{name}”")));
    let mut rows = vec![MenuRow::Heading("Rigs")];
    rows.extend(library.rigs.iter().map(|rig| MenuRow::Part(&rig.name)));
    let (first_wheel, mut first_holder) = (rows.len() + 1, usize::MAX);
    if let Some((for_wheels, for_holders)) = &headings {
        rows.push(MenuRow::Heading(for_wheels));
        rows.extend(wheels.iter().map(|wheel| MenuRow::Part(&wheel.name)));
        first_holder = rows.len() + 1;
        rows.push(MenuRow::Heading(for_holders));
        rows.extend(holders.iter().map(|holder| MenuRow::Part(&holder.name)));
    }
    let index = menu(new, theme, &rows)?;
    let mut made = None;
    if index >= first_holder {
        let (holder, (rig, _)) = (holders.get(index - first_holder)?, onto?);
        commit(session, &mut state.forms, format!("New holder “{}”", holder.name), |bench| {
            made = parts::add_holder(bench, rig, (*holder).clone()).map(|id| RigChoice::Holder(rig, id));
        });
    } else if index >= first_wheel {
        let (wheel, (rig, _)) = (wheels.get(index - first_wheel)?, onto?);
        commit(session, &mut state.forms, format!("New wheel “{}”", wheel.name), |bench| {
            made = parts::add_wheel(bench, rig, (*wheel).clone()).map(|id| RigChoice::Wheel(rig, id));
        });
    } else {
        let rig = library.rigs.get(index.checked_sub(1)?)?;
        commit(session, &mut state.forms, format!("New rig “{}”", rig.name), |bench| {
            made = Some(RigChoice::Rig(parts::add_rig(bench, rig.clone(), None)));
        });
    }
    made
}
