//! Guided measuring: one dimension at a time, with where the rule goes, what is usual, and at the end a length measured
//! across several of them that tells whether they can belong together.

use std::collections::HashMap;

use bevelbench_geometry::{
    math::{Angle, Kind, Quantity},
    side::{CrossCheck, face_to_strut_end, rim_to_cup, rim_to_table},
};
use bevelbench_notebook::{
    saved::{AbrasiveSaved, Bench, ReadWith, SupportSaved},
    words::cross_verdict_words,
};
use egui::{RichText, Ui};

use super::{
    EditState, RigChoice, fields::Setup, measure::show, remark, rig_dimensions::Group, rig_form::one_field,
};
use crate::{
    model::{appearance::Tone, session::Session},
    toolkit::{
        theme::Weight,
        widgets::{Emphasis, button, caution_line, section, typed_field},
    },
};
use bevelbench_notebook::drawing::sketch::mark::{Mark, tenths};

/// A length that is measured across several dimensions.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(super) enum Check {
    /// Rim to cup.
    RimToCup,
    /// Rim to the table's front edge.
    RimToTable,
    /// The holder's front face to the strut's end.
    FaceToStrut,
}

/// One stop of the walk round a part.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Stop {
    /// A dimension is asked for.
    Ask(Group, usize),
    /// A length is checked.
    Check(Check),
}

/// What was typed at a check: at which reading, and what it measured.
#[derive(Debug, Clone, Copy, Default)]
struct Checked {
    at: Option<f64>,
    measured_mm: Option<f64>,
}

/// What the walk remembers.
#[derive(Debug, Default)]
pub(super) struct GuideState {
    part: Option<RigChoice>,
    stop: usize,
    checked: HashMap<(RigChoice, Check), Checked>,
    problem: Option<String>,
}

/// Every stop of a part.
fn stops(bench: &Bench, choice: RigChoice) -> Vec<Stop> {
    let mut all = Vec::new();
    let mut ask = |group: Group| all.extend((0..group.len()).map(|index| Stop::Ask(group, index)));
    let rig = bench.rig(choice.rig());
    match choice {
        RigChoice::Rig(_) => ask(Group::Grinder),
        RigChoice::Wheel(_, id) => {
            let Some(wheel) = rig.and_then(|rig| rig.wheel(id)) else { return all };
            let flat = wheel.abrasive == AbrasiveSaved::Flat;
            ask(if flat { Group::Flat } else { Group::Round });
            ask(Group::Face);
            if wheel.arm.is_some() {
                ask(Group::Arm);
            }
            if wheel.table.is_some() {
                ask(Group::Table);
            }
            if wheel.arm.is_some() && !flat {
                all.push(Stop::Check(Check::RimToCup));
            }
            if wheel.table.is_some() && !flat {
                all.push(Stop::Check(Check::RimToTable));
            }
        }
        RigChoice::Holder(..) => {
            ask(Group::Holder);
            all.push(Stop::Check(Check::FaceToStrut));
        }
    }
    all
}

/// The form of guided measuring.
pub(super) fn guide_form(
    ui: &mut Ui,
    session: &mut Session,
    state: &mut EditState,
    choice: RigChoice,
    setup: Setup<'_>,
) {
    let theme = setup.theme;
    if state.guide.part != Some(choice) {
        state.guide.part = Some(choice);
        state.guide.stop = 0;
        state.guide.problem = None;
    }
    let all = stops(session.bench(), choice);
    state.guide.stop = state.guide.stop.min(all.len().saturating_sub(1));
    let Some(stop) = all.get(state.guide.stop).copied() else { return };
    let counted = format!("{} of {}", state.guide.stop + 1, all.len());
    section(ui, "Measure it", &counted, theme);
    ui.add_space(theme.sizes.gap.small);
    match stop {
        Stop::Ask(group, index) => ask(ui, session, state, choice, (group, index), setup),
        Stop::Check(check) => checking(ui, session, state, choice, check, setup),
    }
    ui.add_space(theme.sizes.gap.wide);
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = theme.sizes.gap.normal;
        ui.add_enabled_ui(state.guide.stop > 0, |ui| {
            if button(ui, "Back", Emphasis::Plain, theme).clicked() {
                state.guide.stop -= 1;
                state.guide.problem = None;
                ui.ctx().request_repaint();
            }
        });
        let last = state.guide.stop + 1 >= all.len();
        let words = if last { "From the start" } else { "Next" };
        if button(ui, words, if last { Emphasis::Plain } else { Emphasis::Main }, theme).clicked() {
            state.guide.stop = if last { 0 } else { state.guide.stop + 1 };
            state.guide.problem = None;
            ui.ctx().request_repaint();
        }
    });
    ui.add_space(theme.sizes.gap.wide);
    for words in [
        "Power off and plug out: nothing is measured at a wheel that can turn.",
        "Local codes, the maker’s markings and trained practice come first.",
    ] {
        caution_line(ui, words, Tone::Caution, theme);
    }
}

fn title(ui: &mut Ui, words: &str, setup: Setup<'_>) {
    let theme = setup.theme;
    let font = theme.font(Weight::SemiBold, theme.sizes.text.title);
    ui.label(RichText::new(words).font(font).color(theme.tone(Tone::Strong)));
}

fn words(ui: &mut Ui, text: &str, setup: Setup<'_>) {
    let theme = setup.theme;
    let text = RichText::new(text).font(theme.body()).color(theme.tone(Tone::Strong));
    ui.add(egui::Label::new(text).wrap());
}

fn ask(
    ui: &mut Ui,
    session: &mut Session,
    state: &mut EditState,
    choice: RigChoice,
    (group, index): (Group, usize),
    setup: Setup<'_>,
) {
    let Some((dimension, usual)) = group.dimension(index) else { return };
    title(ui, dimension.name, setup);
    words(ui, dimension.how, setup);
    ui.add_space(setup.theme.sizes.gap.small);
    state.forms.guided = Some(dimension.mark);
    let part = match choice {
        RigChoice::Rig(_) => None,
        RigChoice::Wheel(_, id) | RigChoice::Holder(_, id) => Some(id),
    };
    let value = one_field(ui, session, state, (choice.rig(), part), (group, index), setup);
    let show = |value: f64| show(dimension.measure, value, setup.units);
    let range = format!("{} to {}", show(usual.0), show(usual.1));
    match value {
        Some(value) if value < usual.0 || value > usual.1 => {
            let odd = format!("Out of the ordinary: it is usually {range}. Measure once more.");
            caution_line(ui, &odd, Tone::Caution, setup.theme);
        }
        _ => remark(ui, &format!("Usually {range}."), setup.theme),
    }
}

/// What a check is made of: its title, how it is measured, what its reading is, where the reading stands at first, and
/// the length that follows from a reading.
struct CheckOf {
    title: &'static str,
    how: &'static str,
    reading: (&'static str, Kind),
    at_first: f64,
    mark: fn(i32) -> Mark,
    length: Box<dyn Fn(f64) -> Option<CrossCheck>>,
}

fn check_of(bench: &Bench, choice: RigChoice, check: Check) -> Option<CheckOf> {
    let rig = bench.rig(choice.rig())?;
    let current = bench.current.as_ref();
    match (check, choice) {
        (Check::RimToCup, RigChoice::Wheel(_, id)) => {
            let wheel = rig.wheel(id)?;
            let arm = wheel.arm.as_ref()?;
            let radius = wheel.diameter_mm / 2.0;
            let here =
                current.filter(|current| current.wheel == id).and_then(|current| match current.support {
                    SupportSaved::Handle { reach_mm } | SupportSaved::Holder { reach_mm, .. } => {
                        Some(reach_mm)
                    }
                    SupportSaved::Table { .. } => None,
                });
            let middle = f64::midpoint(arm.reach_least_mm, arm.reach_most_mm).round();
            let arm = arm.build();
            Some(CheckOf {
                title: "Check: rim to cup",
                how: "Lock the cup at a reading of the arm’s scale, and measure the shortest way from the rim to the middle of the cup, with a stick.",
                reading: ("Reading on the arm", Kind::Length),
                at_first: here.unwrap_or(middle),
                mark: Mark::RimToCup,
                length: Box::new(move |at| Some(rim_to_cup(arm.as_ref().ok()?, at, radius))),
            })
        }
        (Check::RimToTable, RigChoice::Wheel(_, id)) => {
            let wheel = rig.wheel(id)?;
            let table = wheel.table.as_ref()?;
            let radius = wheel.diameter_mm / 2.0;
            let level = 0.0_f64.max(table.tilt_least_deg).min(table.tilt_most_deg);
            let table = table.build();
            Some(CheckOf {
                title: "Check: rim to table",
                how: "Set the table to a tilt, and measure the shortest way from the rim to its front edge, on the side the tool lies on.",
                reading: ("Tilt of the table", Kind::Angle),
                at_first: level,
                mark: Mark::RimToTable,
                length: Box::new(move |at| {
                    Some(rim_to_table(table.as_ref().ok()?, Angle::from_degrees(at), radius))
                }),
            })
        }
        (Check::FaceToStrut, RigChoice::Holder(_, id)) => {
            let holder = rig.holder(id)?;
            let middle = f64::midpoint(holder.strut_angle_least_deg, holder.strut_angle_most_deg).round();
            let at_first = holder.rests_deg.first().copied().unwrap_or(middle);
            let holder = holder.build();
            Some(CheckOf {
                title: "Check: face to strut’s end",
                how: "Set the strut to an angle, and measure straight from the middle of the front face, where the tool’s centreline leaves it, to the end that stands in the cup.",
                reading: ("Strut angle set", Kind::Angle),
                at_first,
                mark: Mark::FaceToStrut,
                length: Box::new(move |at| {
                    Some(face_to_strut_end(holder.as_ref().ok()?, Angle::from_degrees(at)))
                }),
            })
        }
        _ => None,
    }
}

fn checking(
    ui: &mut Ui,
    session: &Session,
    state: &mut EditState,
    choice: RigChoice,
    check: Check,
    setup: Setup<'_>,
) {
    let Setup { units, theme, .. } = setup;
    let Some(of) = check_of(session.bench(), choice, check) else { return };
    title(ui, of.title, setup);
    words(ui, of.how, setup);
    ui.add_space(theme.sizes.gap.small);
    let mut checked = state.guide.checked.get(&(choice, check)).copied().unwrap_or_default();
    let at = checked.at.unwrap_or(of.at_first);
    state.forms.guided = Some((of.mark)(tenths(at)));
    let shown = checked.measured_mm.map_or(String::new(), |mm| show(Kind::Length, mm, units));
    let rows = [
        (of.reading.0, show(of.reading.1, at, units), of.reading.1),
        ("Measured length", shown, Kind::Length),
    ];
    for (place, (name, shown, measure)) in rows.into_iter().enumerate() {
        ui.horizontal(|ui| {
            let width = 110.0;
            let label = RichText::new(name).font(theme.name()).color(theme.tone(Tone::Strong));
            ui.add_sized(
                [ui.available_width() - width - theme.sizes.gap.normal, theme.sizes.row],
                egui::Label::new(label).halign(egui::Align::Min),
            );
            match typed_field(ui, name, &shown, width, &|text| units.read(measure, text), theme) {
                Some(Ok(value)) => {
                    if place == 0 {
                        checked.at = Some(value);
                    } else {
                        checked.measured_mm = Some(value);
                    }
                    state.guide.problem = None;
                    ui.ctx().request_repaint();
                }
                Some(Err(why)) => state.guide.problem = Some(why),
                None => {}
            }
        });
    }
    state.guide.checked.insert((choice, check), checked);
    if let Some(why) = &state.guide.problem {
        caution_line(ui, why, Tone::Bad, theme);
    }
    let Some(expected) = (of.length)(at) else {
        caution_line(ui, "The dimensions themselves cannot be: mend them first.", Tone::Bad, theme);
        return;
    };
    let Some(measured_mm) = checked.measured_mm else {
        let words = "Type what it measures: the program says whether it fits what was measured before.";
        remark(ui, words, theme);
        return;
    };
    let rule = ReadWith::Rule.half_width();
    let half_width = |quantity: Quantity| {
        let with = if quantity.is_angle() { ReadWith::Protractor } else { ReadWith::LongRule };
        with.half_width()
    };
    let verdict = expected.compare(measured_mm, rule, half_width);
    let message = cross_verdict_words(&expected, &verdict, &|mm| units.length(mm));
    let tone = if verdict.belongs_together() { Tone::Good } else { Tone::Caution };
    ui.add_space(theme.sizes.gap.small);
    caution_line(ui, &message.together(), tone, theme);
    let assumed = "Assumed: lengths to ±1 mm, this one to ±0.5 mm, angles to ±0.5°.";
    remark(ui, assumed, theme);
}
