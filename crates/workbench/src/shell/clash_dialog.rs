//! Asks what is meant where a part that comes in has the name of one that is here.

use bevelbench_notebook::saved::Bench;
use egui::{Align, Context, Layout, RichText, ScrollArea};

use crate::{
    model::{
        appearance::Tone,
        import::{Choice, Clash, Incomplete},
    },
    shell::verdict::Verdict,
    toolkit::{
        theme::Theme,
        widgets::{Emphasis, button, caution_line, dialog},
    },
};

/// A question about clashes.
#[derive(Debug, Clone)]
pub struct ClashAsked {
    /// What comes in.
    pub other: Bench,
    /// The clashes with what is to be done about each.
    pub clashes: Vec<Clash>,
    /// What names parts that do not come in with it.
    pub incomplete: Vec<Incomplete>,
    /// Where it comes from, in words.
    pub from: String,
    /// What is to be said of the file before anything comes in from it.
    pub doubt: Option<String>,
}

impl ClashAsked {
    pub(crate) fn show(&mut self, ctx: &Context, id: egui::Id, theme: &Theme) -> Verdict {
        let title = if self.clashes.is_empty() {
            "Some of these lack a part"
        } else {
            "Some of these are here already"
        };
        let (pressed, closed) = dialog(ctx, id, title, 620.0, theme, |ui| {
            let words = if self.clashes.is_empty() {
                "Nothing here is overwritten."
            } else {
                "Nothing here is overwritten. Choose for each whether yours stands in for it, or both are kept."
            };
            ui.label(RichText::new(words).font(theme.body()).color(theme.tone(Tone::Weak)));
            if let Some(doubt) = &self.doubt {
                ui.label(RichText::new(doubt).font(theme.body()).color(theme.tone(Tone::Caution)));
            }
            ui.add_space(theme.sizes.gap.normal);
            let room = (ctx.content_rect().height() - 300.0).max(120.0);
            ScrollArea::vertical().max_height(room).auto_shrink([false, true]).show(ui, |ui| {
                for one in &self.incomplete {
                    caution_line(ui, &one.words(), Tone::Caution, theme);
                    ui.add_space(theme.sizes.gap.small);
                }
                for clash in &mut self.clashes {
                    let state = if clash.same { "the same as yours" } else { "differs from yours" };
                    let name = format!("{} “{}”: {state}", clash.kind.words(), clash.name);
                    ui.label(RichText::new(name).font(theme.name()).color(theme.tone(Tone::Strong)));
                    ui.horizontal(|ui| {
                        ui.add_enabled_ui(clash.mine_will_do, |ui| {
                            ui.radio_value(&mut clash.choice, Choice::UseMine, "Use mine")
                                .on_disabled_hover_text("A wheel or holder that it needs is not on yours.");
                        });
                        ui.radio_value(&mut clash.choice, Choice::KeepBoth, "Keep both");
                    });
                    ui.add_space(theme.sizes.gap.small);
                }
            });
            ui.add_space(theme.sizes.gap.margin);
            ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                if button(ui, "Import", Emphasis::Main, theme).clicked() {
                    Verdict::Confirmed
                } else if button(ui, "Cancel", Emphasis::Plain, theme).clicked() {
                    Verdict::Closed
                } else {
                    Verdict::Open
                }
            })
            .inner
        });
        if closed && pressed == Verdict::Open { Verdict::Closed } else { pressed }
    }
}
