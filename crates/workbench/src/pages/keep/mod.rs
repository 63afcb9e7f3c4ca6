//! Keep it true: wear and change of wheels, second bevels, what a grind costs, what is close to what, safety, the log.

mod carry;
mod clearances;
mod cost;
mod log;
mod safety;
mod second_bevel;
mod sheet;
mod wear;

use std::path::Path;

use self::sheet::caption;
use bevelbench_notebook::{quantity::Units, saved::WheelSaved};
use egui::{Frame, Margin, Rect, RichText, ScrollArea, Ui, UiBuilder};

use crate::{
    model::{appearance::Tone, session::Session},
    toolkit::{
        theme::{Surface, Theme},
        widgets::tab_bar,
    },
};

/// A part of the page.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum KeepPart {
    /// What a worn wheel and a shorter tool do to a setting.
    #[default]
    Wear,
    /// A setting, or all of them, on another rig.
    Carry,
    /// A second facet behind the first.
    SecondBevel,
    /// The steel, the length and the time that a grind takes.
    Cost,
    /// What comes close to what over the whole swing.
    Clearances,
    /// Speeds, gaps and cautions, each with its source.
    Safety,
    /// When a tool was sharpened, and what is due.
    Log,
}

impl KeepPart {
    const ALL: [(Self, &'static str); 7] = [
        (Self::Wear, "Wear"),
        (Self::Carry, "Carry over"),
        (Self::SecondBevel, "Second bevel"),
        (Self::Cost, "Cost"),
        (Self::Clearances, "Clearances"),
        (Self::Safety, "Safety"),
        (Self::Log, "Log"),
    ];
}

/// What the page keeps from frame to frame.
#[derive(Debug, Default)]
pub struct KeepState {
    /// The part that is shown.
    pub part: KeepPart,
    wear: wear::WearState,
    carry: carry::CarryState,
    second_bevel: second_bevel::SecondBevelState,
    cost: cost::CostState,
    clearances: clearances::ClearancesState,
    safety: safety::SafetyState,
    log: log::LogState,
}

/// The page that keeps settings true. The log is written into `folder` unless another place is typed.
pub fn keep_page(
    ui: &mut Ui,
    session: &mut Session,
    state: &mut KeepState,
    folder: &Path,
    units: Units,
    theme: &Theme,
) {
    let gap = theme.sizes.gap;
    egui::Frame::new()
        .fill(theme.surface(Surface::Panel))
        .inner_margin(Margin::symmetric(gap.margin as i8, gap.normal as i8))
        .show(ui, |ui| {
            let names = KeepPart::ALL.map(|(_, name)| name);
            let chosen = KeepPart::ALL.iter().position(|(part, _)| *part == state.part).unwrap_or(0);
            if let Some(index) = tab_bar(ui, &names, chosen, theme) {
                state.part = KeepPart::ALL[index].0;
            }
        });
    ui.painter().hline(ui.max_rect().x_range(), ui.cursor().top(), theme.hairline());
    match state.part {
        KeepPart::Wear => wear::wear_part(ui, session, &mut state.wear, units, theme),
        KeepPart::Carry => carry::carry_part(ui, session, &mut state.carry, units, theme),
        KeepPart::SecondBevel => {
            second_bevel::second_bevel_part(ui, session, &mut state.second_bevel, units, theme);
        }
        KeepPart::Cost => cost::cost_part(ui, session, &mut state.cost, units, theme),
        KeepPart::Clearances => clearances::clearances_part(ui, session, &mut state.clearances, units, theme),
        KeepPart::Safety => safety::safety_part(ui, session, &mut state.safety, units, theme),
        KeepPart::Log => log::log_part(ui, session, &mut state.log, folder, theme),
    }
}

/// What stands under a part's picture, scrolled where it finds no room.
fn under(ui: &mut Ui, below: Rect, id: &str, theme: &Theme, body: impl FnOnce(&mut Ui)) {
    ui.scope_builder(UiBuilder::new().max_rect(below), |ui| {
        ui.painter().rect_filled(below, 0.0, theme.surface(Surface::Panel));
        ScrollArea::vertical().id_salt(id).auto_shrink([false, false]).show(ui, |ui| {
            let gap = theme.sizes.gap;
            Frame::new().inner_margin(Margin::symmetric(gap.margin as i8, gap.wide as i8)).show(ui, |ui| {
                ui.spacing_mut().item_spacing.y = gap.small;
                body(ui);
            });
        });
    });
}

/// Changes the wheel of the current setting as one undo step.
fn change_wheel(session: &mut Session, label: impl Into<String>, change: impl FnOnce(&mut WheelSaved)) {
    let Some((rig, wheel)) = session.current().map(|current| (current.rig, current.wheel)) else { return };
    session.edit(label, |bench| {
        let rig = bench.rigs.iter_mut().find(|each| each.id == rig);
        if let Some(wheel) = rig.and_then(|rig| rig.wheels.iter_mut().find(|each| each.id == wheel)) {
            change(wheel);
        }
    });
}

/// Words in the middle of a part that has nothing else to show.
fn words_alone(ui: &mut Ui, words: &str, theme: &Theme) {
    let margin = theme.sizes.gap.margin;
    let rect = ui.available_rect_before_wrap().shrink(margin);
    ui.scope_builder(UiBuilder::new().max_rect(rect), |ui| {
        ui.label(RichText::new(words).font(theme.body()).color(theme.tone(Tone::Strong)));
    });
}

/// Why there is nothing to show: no setting in hand, or one without an answer.
fn no_answer_words(session: &Session, units: Units) -> String {
    match session.outcome().map(|outcome| &outcome.result) {
        Some(Err(why)) => {
            bevelbench_notebook::words::unanswered_words(why, &|mm| units.length(mm)).together()
        }
        _ => "Take a setting from the rack first.".to_owned(),
    }
}
