//! Help: what the page in front of you is for, keys, words, the model and its limits, sources, safety.

pub mod text;

use bevelbench_notebook::words::permanent_cautions;
use egui::{Context, Key, RichText, ScrollArea, Ui, vec2};

use crate::{
    model::{appearance::Tone, prefs::Page},
    shell::{orders, verdict::Verdict},
    toolkit::{
        theme::Theme,
        widgets::{caution_line, dialog, section, tab_bar},
    },
};

/// A part of the help.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Part {
    /// The page of the window it was opened on.
    Here,
    /// Every page.
    Pages,
    /// Keys.
    Keys,
    /// Words.
    Words,
    /// The model and its limits.
    Model,
    /// Sources.
    Sources,
    /// Safety.
    Safety,
}

impl Part {
    const ALL: [(Self, &'static str); 7] = [
        (Self::Here, "This page"),
        (Self::Pages, "All pages"),
        (Self::Keys, "Keys"),
        (Self::Words, "Glossary"),
        (Self::Model, "Model"),
        (Self::Sources, "Sources"),
        (Self::Safety, "Safety"),
    ];
}

/// The help, open at a part.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Help {
    part: Part,
    page: Page,
}

impl Help {
    /// The help for a page of the window.
    #[must_use]
    pub const fn on(page: Page) -> Self {
        Self { part: Part::Here, page }
    }

    /// Shows it.
    pub(crate) fn show(&mut self, ctx: &Context, id: egui::Id, theme: &Theme) -> Verdict {
        let ((), closed) = dialog(ctx, id, "Help", 640.0, theme, |ui| {
            let names = Part::ALL.map(|(_, name)| name);
            let now = Part::ALL.iter().position(|(part, _)| *part == self.part).unwrap_or(0);
            if let Some(pressed) = tab_bar(ui, &names, now, theme) {
                self.part = Part::ALL[pressed].0;
                ctx.request_repaint();
            }
            ui.add_space(theme.sizes.gap.normal);
            let room = (ctx.content_rect().height() - 220.0).max(160.0);
            ScrollArea::vertical()
                .id_salt(("help", now))
                .max_height(room)
                .min_scrolled_height(room)
                .auto_shrink([false, false])
                .show(ui, |ui| {
                    ui.spacing_mut().interact_size.y = theme.sizes.text.body * 1.3;
                    self.part(ui, theme);
                });
            ui.add_space(theme.sizes.gap.normal);
        });
        if closed || ctx.input(|i| i.key_pressed(Key::F1)) { Verdict::Closed } else { Verdict::Open }
    }

    fn part(self, ui: &mut Ui, theme: &Theme) {
        match self.part {
            Part::Here => {
                let here = text::PAGES.iter().find(|(name, _)| *name == self.page.name());
                if let Some(page) = here {
                    page_of_help(ui, page, theme);
                }
                section(ui, "Keys", "", theme);
                keys(ui, theme);
            }
            Part::Pages => {
                for page in &text::PAGES {
                    page_of_help(ui, page, theme);
                }
            }
            Part::Keys => keys(ui, theme),
            Part::Words => table(ui, text::WORDS, theme),
            Part::Model => lines(ui, &text::LIMITS, theme),
            Part::Sources => lines(ui, &text::SOURCES, theme),
            Part::Safety => {
                for line in permanent_cautions() {
                    caution_line(ui, line, Tone::Caution, theme);
                }
            }
        }
    }
}

fn page_of_help(ui: &mut Ui, (name, lines_of_it): &text::Page, theme: &Theme) {
    section(ui, name, "", theme);
    lines(ui, lines_of_it, theme);
    ui.add_space(theme.sizes.gap.normal);
}

fn lines(ui: &mut Ui, lines: &[&str], theme: &Theme) {
    ui.spacing_mut().item_spacing.y = theme.sizes.gap.normal;
    for line in lines {
        let words = RichText::new(*line).font(theme.body()).color(theme.tone(Tone::Strong));
        ui.add(egui::Label::new(words).wrap());
    }
}

fn keys(ui: &mut Ui, theme: &Theme) {
    let orders: Vec<(String, String)> = orders::TABLE
        .iter()
        .map(|entry| {
            let key = entry.key.map(|key| ui.ctx().format_shortcut(&key)).unwrap_or_default();
            (key, format!("{}: {}", entry.name, entry.what))
        })
        .collect();
    let more = text::MORE_KEYS.map(|(key, words)| (key.to_owned(), words.to_owned()));
    table(ui, orders.into_iter().chain(more), theme);
}

/// Names with what they mean. Rows are laid by hand: a grid finds its widths over several frames, and nothing here asks
/// for another.
fn table(ui: &mut Ui, rows: impl IntoIterator<Item = (impl Into<String>, impl Into<String>)>, theme: &Theme) {
    let size = vec2(176.0 * theme.sizes.shaft, theme.sizes.text.body * 1.4);
    ui.spacing_mut().item_spacing.y = theme.sizes.gap.small;
    for (name, words) in rows {
        ui.horizontal_top(|ui| {
            let (name, words): (String, String) = (name.into(), words.into());
            let place = egui::Layout::left_to_right(egui::Align::Min).with_main_wrap(true);
            ui.allocate_ui_with_layout(size, place, |ui| {
                ui.set_min_width(size.x);
                ui.label(RichText::new(name).font(theme.strong()).color(theme.tone(Tone::Strong)));
            });
            let words = RichText::new(words).font(theme.body()).color(theme.tone(Tone::Strong));
            ui.add(egui::Label::new(words).wrap());
        });
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_view_has_its_page_of_help() {
        for page in Page::ALL {
            let found = text::PAGES.iter().find(|(name, _)| *name == page.name());
            assert!(found.is_some_and(|(_, lines)| !lines.is_empty()), "{page:?}");
        }
        for name in ["At the grinder", "Big type"] {
            assert!(text::PAGES.iter().any(|(page, _)| *page == name), "{name}");
        }
    }

    #[test]
    fn wrapped_words_keep_their_order_and_occur_once() {
        assert!(text::WORDS.windows(2).all(|pair| pair[0].0.to_lowercase() < pair[1].0.to_lowercase()));
    }

    #[test]
    fn every_order_with_a_key_is_listed_with_what_it_does() {
        for entry in &orders::TABLE {
            assert!(!entry.name.is_empty() && !entry.what.is_empty(), "{:?}", entry.order);
        }
        // No two orders have one key.
        for (i, one) in orders::TABLE.iter().enumerate() {
            for other in &orders::TABLE[i + 1..] {
                assert!(one.key.is_none() || one.key != other.key, "{:?} {:?}", one.order, other.order);
            }
        }
    }
}
