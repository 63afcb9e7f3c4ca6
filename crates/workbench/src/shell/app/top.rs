//! The bar along the top: the bench, the pages, the switches.

use egui::{RichText, Ui};

use super::App;
use crate::{
    model::{appearance::Tone, prefs::Page},
    shell::{
        dialogs::Dialog,
        orders::{self, Order},
    },
    toolkit::{
        theme::Weight,
        widgets::{Emphasis, button, tab_bar, tab_width},
    },
};

/// From this width on there is room for the words beside the title.
const WIDE: f32 = 1200.0;

/// Room for the switches at the right end, and for the menu of the pages that find none.
const SWITCHES: f32 = 345.0;
const MORE: f32 = 90.0;

impl App {
    pub(super) fn top(&mut self, ui: &mut Ui) {
        let theme = self.theme.clone();
        let wide = ui.available_width() >= WIDE;
        ui.horizontal_centered(|ui| {
            ui.spacing_mut().item_spacing.x = theme.sizes.gap.normal;
            let title = self.session.bench().title.clone();
            let title = if title.is_empty() { "Untitled bench".to_owned() } else { title };
            let font = theme.font(Weight::SemiBold, theme.sizes.text.strong);
            ui.menu_button(RichText::new(title).font(font).color(theme.tone(Tone::Strong)), |ui| {
                for order in [
                    Order::Open,
                    Order::SaveBenchAs,
                    Order::Import,
                    Order::Export,
                    Order::Picture,
                    Order::CopyPicture,
                ] {
                    self.menu_item(ui, order);
                }
                ui.separator();
                if ui.button("Rename this bench…").clicked() {
                    self.dialog = Some(Dialog::RenameBench(self.session.bench().title.clone()));
                    ui.close();
                }
                ui.separator();
                for order in [Order::Undo, Order::Redo] {
                    self.menu_item(ui, order);
                }
            });
            // A narrow window keeps the room for the pages; the title tells the rest.
            let (tone, words) = self.keeper.state(self.session.revision());
            // What went wrong is told on a narrow window too, and never pushes the pages aside: it is read whole by pointing.
            if wide || tone != Tone::Weak {
                let words = RichText::new(words).font(theme.small()).color(theme.tone(tone));
                let problem = self.keeper.problem().filter(|_| tone == Tone::Bad);
                let label = ui.scope(|ui| {
                    ui.set_max_width(theme.sizes.text.small * 15.0);
                    // What can be corrected is pressed.
                    match problem {
                        Some(_) => ui.add(egui::Button::new(words).frame(false).truncate()),
                        None => ui.add(egui::Label::new(words).truncate()),
                    }
                });
                let label = label.inner.on_hover_text(self.keeper.where_kept());
                if let Some(problem) = problem.filter(|_| label.clicked()) {
                    self.ask_unsaved(&problem, false);
                }
            }
            self.tabs(ui);
            ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                ui.spacing_mut().item_spacing.x = theme.sizes.gap.small;
                let ctx = ui.ctx().clone();
                let mut order = None;
                if button(ui, "Help", Emphasis::Quiet, &theme).on_hover_text("Help and keys (F1)").clicked() {
                    order = Some(Order::Help);
                }
                let look = if self.prefs.dark { "Light" } else { "Dark" };
                if button(ui, look, Emphasis::Quiet, &theme)
                    .on_hover_text("Change the window’s look (Ctrl+D)")
                    .clicked()
                {
                    order = Some(Order::Dark);
                }
                let unit = unit_name(self.prefs.unit);
                if button(ui, unit, Emphasis::Quiet, &theme)
                    .on_hover_text("Change the unit of lengths (Ctrl+U)")
                    .clicked()
                {
                    order = Some(Order::Unit);
                }
                if button(ui, "Big type", Emphasis::Quiet, &theme)
                    .on_hover_text("Drawing and numbers for the back row (B)")
                    .clicked()
                {
                    order = Some(Order::BigType);
                }
                if button(ui, "At the grinder", Emphasis::Main, &theme)
                    .on_hover_text("The setting in hand as big numbers to be set in order (G)")
                    .clicked()
                {
                    order = Some(Order::AtGrinder);
                }
                if let Some(order) = order {
                    self.execute(&ctx, order);
                }
            });
        });
    }

    /// The pages; those that find no room are in a menu behind the others.
    fn tabs(&mut self, ui: &mut Ui) {
        let theme = self.theme.clone();
        let gap = theme.sizes.gap.small;
        let widths = Page::ALL.map(|page| tab_width(ui, page.name(), &theme) + gap);
        let room = ui.available_width() - SWITCHES;
        let mut shown = Page::ALL.len();
        if widths.iter().sum::<f32>() > room {
            let mut left = room - MORE;
            shown = widths
                .iter()
                .take_while(|width| {
                    left -= **width;
                    left >= 0.0
                })
                .count();
        }
        let names: Vec<&str> = Page::ALL[..shown].iter().map(|page| page.name()).collect();
        let chosen = Page::ALL.iter().position(|page| *page == self.prefs.page).unwrap_or(0);
        if let Some(index) = tab_bar(ui, &names, chosen, &theme) {
            self.prefs.page = Page::ALL[index];
        }
        if shown == Page::ALL.len() {
            return;
        }
        let name = if chosen < shown { "More" } else { self.prefs.page.name() };
        let tone = if chosen < shown { Tone::Strong } else { Tone::Link };
        let words = RichText::new(name).font(theme.strong()).color(theme.tone(tone));
        ui.menu_button(words, |ui| {
            for page in &Page::ALL[shown..] {
                self.menu_item(ui, Order::Page(*page));
            }
        });
    }

    fn menu_item(&mut self, ui: &mut Ui, order: Order) {
        let Some(entry) = orders::entry(order) else { return };
        let (words, enabled) = match order {
            Order::Undo => match self.session.history().undoable() {
                Some(label) => (format!("Undo: {label}"), true),
                None => ("Undo".to_owned(), false),
            },
            Order::Redo => match self.session.history().redoable() {
                Some(label) => (format!("Redo: {label}"), true),
                None => ("Redo".to_owned(), false),
            },
            _ => (entry.name.to_owned(), true),
        };
        let mut shown = egui::Button::new(words);
        if let Some(key) = entry.key {
            shown = shown.shortcut_text(ui.ctx().format_shortcut(&key));
        }
        if ui.add_enabled(enabled, shown).clicked() {
            let ctx = ui.ctx().clone();
            self.execute(&ctx, order);
            ui.close();
        }
    }
}

fn unit_name(unit: bevelbench_notebook::quantity::LengthUnit) -> &'static str {
    use bevelbench_notebook::quantity::LengthUnit as U;
    match unit {
        U::Millimetre => "mm",
        U::Inch => "inch",
        U::InchFraction => "inch /64",
    }
}
