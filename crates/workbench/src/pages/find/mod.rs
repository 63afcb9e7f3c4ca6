//! Find it, match it: what to set for a bevel, what a tool is ground to, what the ink and the eye say.

mod bench_side;
mod bevel;
mod faults;
mod ink;
mod matching;
mod one_reach;

use bevelbench_notebook::quantity::Units;
use egui::{Margin, Ui};

use crate::{
    model::{appearance::Tone, session::Session},
    toolkit::{
        theme::{Surface, Theme},
        widgets::tab_bar,
    },
};

/// A part of the page.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum FindPart {
    /// What to set for a bevel and a wing: every answer the rig allows.
    #[default]
    Bevel,
    /// One reach of the arm that serves many tools.
    OneReach,
    /// What a tool is ground to, from what can be measured.
    Matching,
    /// The ink test read backwards: which way to move, and how far.
    Ink,
    /// What is seen on a tool, and what to change.
    Faults,
}

impl FindPart {
    const ALL: [(Self, &'static str); 5] = [
        (Self::Bevel, "For a bevel"),
        (Self::OneReach, "One reach"),
        (Self::Matching, "Match"),
        (Self::Ink, "Ink"),
        (Self::Faults, "Faults"),
    ];
}

/// What the page keeps from frame to frame.
#[derive(Debug, Default)]
pub struct FindState {
    /// The part that is shown.
    pub part: FindPart,
    bevel: bevel::BevelState,
    one_reach: one_reach::OneReachState,
    matching: matching::MatchingState,
    ink: ink::InkState,
    faults: faults::FaultsState,
}

/// The page that finds settings and reads tools.
pub fn find_page(ui: &mut Ui, session: &mut Session, state: &mut FindState, units: Units, theme: &Theme) {
    let gap = theme.sizes.gap;
    egui::Frame::new()
        .fill(theme.surface(Surface::Panel))
        .inner_margin(Margin::symmetric(gap.margin as i8, gap.normal as i8))
        .show(ui, |ui| {
            let names = FindPart::ALL.map(|(_, name)| name);
            let chosen = FindPart::ALL.iter().position(|(part, _)| *part == state.part).unwrap_or(0);
            if let Some(index) = tab_bar(ui, &names, chosen, theme) {
                state.part = FindPart::ALL[index].0;
            }
        });
    ui.painter().hline(ui.max_rect().x_range(), ui.cursor().top(), theme.hairline());
    match state.part {
        FindPart::Bevel => bevel::bevel_part(ui, session, &mut state.bevel, units, theme),
        FindPart::OneReach => one_reach::one_reach_part(ui, session, &mut state.one_reach, units, theme),
        FindPart::Matching => matching::matching_part(ui, session, &mut state.matching, units, theme),
        FindPart::Ink => ink::ink_part(ui, session, &mut state.ink, units, theme),
        FindPart::Faults => faults::faults_part(ui, session, &mut state.faults, units, theme),
    }
}

/// What stands where a setting should be current and none is.
fn no_current_setting(ui: &mut Ui, theme: &Theme) {
    let words = "Nothing in hand. Choose a setting in the rack, or make one on the Tool page.";
    ui.add_space(theme.sizes.gap.section);
    ui.vertical_centered(|ui| {
        ui.label(egui::RichText::new(words).font(theme.body()).color(theme.tone(Tone::Weak)));
    });
}

/// Small weak words.
fn note(ui: &mut Ui, words: &str, theme: &Theme) {
    ui.label(egui::RichText::new(words).font(theme.small()).color(theme.tone(Tone::Weak)));
}
