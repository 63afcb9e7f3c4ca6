//! Asks what is to become of a bench that is not on disk: the save failed, or another program changed the file.

use egui::{Context, RichText, Ui};

use crate::{
    model::appearance::Tone,
    shell::verdict::Verdict,
    toolkit::{
        theme::Theme,
        widgets::{Emphasis, button, caution_line, dialog},
    },
};

/// What can be done about it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Remedy {
    /// The bench on screen stays, the other program's version is put beside it.
    KeepMine,
    /// The other program's version is opened.
    OpenTheirs,
    /// The bench on screen is kept in another file.
    SaveElsewhere,
    /// The save is tried again.
    TryAgain,
    /// The window closes, the changes are lost.
    CloseAnyway,
}

impl Remedy {
    /// On the button.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::KeepMine => "Keep mine",
            Self::OpenTheirs => "Open theirs",
            Self::SaveElsewhere => "Save elsewhere…",
            Self::TryAgain => "Try again",
            Self::CloseAnyway => "Close without saving",
        }
    }

    /// Beside it.
    #[must_use]
    pub const fn what(self) -> &'static str {
        match self {
            Self::KeepMine => "What is on screen is saved; their version is copied beside it first.",
            Self::OpenTheirs => "Their version is shown; one undo brings back what is on screen now.",
            Self::SaveElsewhere => "What is on screen is kept in another file from now on.",
            Self::TryAgain => "For when the cause is mended.",
            Self::CloseAnyway => "What was changed since the last save is lost.",
        }
    }
}

/// The question.
#[derive(Debug, Clone)]
pub struct UnsavedAsked {
    title: &'static str,
    words: String,
    remedies: Vec<Remedy>,
    /// Whether the window is to close when it is settled.
    pub closing: bool,
    /// What was chosen.
    pub chosen: Option<Remedy>,
    /// Why that did not work.
    pub refused: Option<String>,
}

impl UnsavedAsked {
    /// Another program changed the file.
    #[must_use]
    pub fn changed(words: String, closing: bool) -> Self {
        let remedies = vec![Remedy::KeepMine, Remedy::OpenTheirs, Remedy::SaveElsewhere];
        Self { title: "Changed by another program", words, remedies, closing, chosen: None, refused: None }
    }

    /// The save failed, or nothing is written at all.
    #[must_use]
    pub fn failed(words: String, can_try: bool, closing: bool) -> Self {
        let mut remedies = vec![Remedy::SaveElsewhere];
        remedies.extend(can_try.then_some(Remedy::TryAgain));
        remedies.extend(closing.then_some(Remedy::CloseAnyway));
        Self { title: "Not saved", words, remedies, closing, chosen: None, refused: None }
    }

    pub(crate) fn show(&mut self, ctx: &Context, id: egui::Id, theme: &Theme) -> Verdict {
        let (chosen, closed) = dialog(ctx, id, self.title, 620.0, theme, |ui| {
            for line in self.words.lines() {
                ui.label(RichText::new(line).font(theme.body()).color(theme.tone(Tone::Strong)));
            }
            ui.add_space(theme.sizes.gap.wide);
            let mut chosen = None;
            for (index, remedy) in self.remedies.iter().enumerate() {
                let loud = if index == 0 { Emphasis::Main } else { Emphasis::Plain };
                if row(ui, remedy.name(), remedy.what(), loud, theme) {
                    chosen = Some(Some(*remedy));
                }
            }
            let (name, what) = if self.closing {
                ("Go on working", "The window stays open.")
            } else {
                ("Later", "Press the red words in the top bar to choose then.")
            };
            if row(ui, name, what, Emphasis::Quiet, theme) {
                chosen = Some(None);
            }
            if let Some(why) = &self.refused {
                ui.add_space(theme.sizes.gap.normal);
                caution_line(ui, why, Tone::Bad, theme);
            }
            chosen
        });
        match chosen {
            Some(Some(remedy)) => {
                self.chosen = Some(remedy);
                Verdict::Confirmed
            }
            Some(None) => Verdict::Closed,
            None if closed => Verdict::Closed,
            None => Verdict::Open,
        }
    }
}

/// A button and what it does.
fn row(ui: &mut Ui, name: &str, what: &str, loud: Emphasis, theme: &Theme) -> bool {
    let column = theme.sizes.text.strong * 12.0;
    let pressed = ui
        .horizontal(|ui| {
            let left = ui.cursor().left();
            let pressed = button(ui, name, loud, theme).clicked();
            ui.add_space((left + column - ui.cursor().left()).max(theme.sizes.gap.normal));
            let words = RichText::new(what).font(theme.body()).color(theme.tone(Tone::Weak));
            ui.add(egui::Label::new(words).wrap());
            pressed
        })
        .inner;
    ui.add_space(theme.sizes.gap.small);
    pressed
}
