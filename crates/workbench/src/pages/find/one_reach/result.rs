//! The reach that was found, a row for everyone it serves, and why the others are left out.

use bevelbench_geometry::side::{Caution, Target};
use bevelbench_notebook::{
    answer::one_reach::{Served, Shared},
    quantity::Units,
    saved::Bench,
    words::{caution_words, cautions_in_a_line, left_out_words, off_words, shared_words, wings_change_words},
};
use egui::{Align2, Sense, Ui, WidgetInfo, pos2, vec2};

use crate::{
    model::appearance::Tone,
    pages::find::one_reach::{ReachAction, chart, named},
    toolkit::{
        theme::{Theme, Weight},
        widgets::{Emphasis, button, caution_line, section},
    },
};

pub(super) fn result(
    ui: &mut Ui,
    bench: &Bench,
    shared: &Shared,
    units: Units,
    theme: &Theme,
) -> Option<ReachAction> {
    let length = |mm: f64| units.length(mm);
    let all = shared.served.len() + shared.left_out.len();
    section(ui, "Serves", &format!("{} of {all}", shared.served.len()), theme);
    let tone = if shared.left_out.is_empty() && all > 0 { Tone::Good } else { Tone::Strong };
    caution_line(ui, &shared_words(shared, &length), tone, theme);
    chart::chart(ui, bench, shared, units, theme);
    if !shared.served.is_empty() {
        head(ui, theme);
        for served in &shared.served {
            row(ui, bench, served, units, theme);
        }
    }
    let mut action = None;
    if !shared.served.is_empty() {
        ui.add_space(theme.sizes.gap.small);
        ui.horizontal_wrapped(|ui| {
            ui.spacing_mut().item_spacing.x = theme.sizes.gap.small;
            if button(ui, "Make new settings", Emphasis::Main, theme)
                .on_hover_text("New settings beside these, as one step that Undo takes back")
                .clicked()
            {
                action = Some(ReachAction::Copy);
            }
            if button(ui, "Set these so", Emphasis::Plain, theme)
                .on_hover_text("The settings themselves, as one step that Undo takes back")
                .clicked()
            {
                action = Some(ReachAction::Update);
            }
        });
    }
    if !shared.left_out.is_empty() {
        ui.add_space(theme.sizes.gap.normal);
        section(ui, "Left out", "", theme);
        for left in &shared.left_out {
            let name = bench.setting(left.setting).map(|entry| named(bench, entry)).unwrap_or_default();
            let words = format!("{name}. {}", left_out_words(&left.why, &length));
            caution_line(ui, &words, Tone::Caution, theme);
        }
    }
    cautions(ui, bench, shared, units, theme);
    action
}

/// Warnings of those served, each with its setting, and what is said of all.
fn cautions(ui: &mut Ui, bench: &Bench, shared: &Shared, units: Units, theme: &Theme) {
    if shared.served.is_empty() {
        return;
    }
    ui.add_space(theme.sizes.gap.normal);
    section(ui, "Cautions", "", theme);
    for served in &shared.served {
        let wings =
            served.wing_sweep_mm.and_then(|(was, is)| wings_change_words(was, is, &|mm| units.length(mm)));
        if let Some(wings) = wings {
            caution_line(ui, &format!("{}: {wings}.", named(bench, &served.entry)), Tone::Caution, theme);
        }
        for caution in served.cautions.iter().filter(|caution| Caution::is_warning(caution)) {
            let words = caution_words(caution, &|mm| units.length(mm));
            caution_line(ui, &format!("{}. {words}", named(bench, &served.entry)), Tone::Caution, theme);
        }
    }
    if let Some(served) = shared.served.first() {
        let words = cautions_in_a_line(&served.cautions);
        caution_line(ui, &words, Tone::Weak, theme);
    }
}

/// Right ends of the columns of numbers, as fractions of the width.
const COLUMNS: [f32; 3] = [0.66, 0.80, 1.0];

fn head(ui: &mut Ui, theme: &Theme) {
    let height = theme.sizes.text.small * 1.8;
    let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), height), Sense::hover());
    for (fraction, words) in COLUMNS.into_iter().zip(["projection", "bevel", "off"]) {
        let at = pos2(rect.left() + rect.width() * fraction, rect.center().y);
        ui.painter().text(at, Align2::RIGHT_CENTER, words, theme.small(), theme.tone(Tone::Weak));
    }
    ui.painter().hline(rect.x_range(), rect.bottom().floor() + 0.5, theme.hairline());
}

fn row(ui: &mut Ui, bench: &Bench, served: &Served, units: Units, theme: &Theme) {
    let meant = match served.wanted {
        Target::AtEdge(_) => "at the edge",
        Target::AcrossFacet(_) => "across the facet",
    };
    let name = named(bench, &served.entry);
    let cells =
        [units.length(served.projection_mm), units.angle(served.bevel.degrees()), off_words(served.off)];
    let height = theme.sizes.row;
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), height), Sense::hover());
    let accessible_text =
        format!("{name}: projection {}, bevel {} {meant}, {}", cells[0], cells[1], cells[2]);
    response.widget_info(|| WidgetInfo::labeled(egui::Role::Label, true, &accessible_text));
    let room = rect.width() * 0.46;
    let job = egui::text::LayoutJob {
        wrap: egui::text::TextWrapping::truncate_at_width(room),
        ..egui::text::LayoutJob::simple_singleline(name, theme.body(), theme.tone(Tone::Strong))
    };
    let galley = ui.painter().layout_job(job);
    let at = pos2(rect.left(), rect.center().y - galley.size().y / 2.0);
    ui.painter().galley(at.round(), galley, theme.tone(Tone::Strong));
    let heavy = theme.font(Weight::SemiBold, theme.sizes.text.body);
    for ((fraction, words), font) in COLUMNS.into_iter().zip(&cells).zip([&heavy, &heavy, &theme.body()]) {
        let at = pos2(rect.left() + rect.width() * fraction, rect.center().y);
        ui.painter().text(at, Align2::RIGHT_CENTER, words, font.clone(), theme.tone(Tone::Strong));
    }
    response.on_hover_text(accessible_text);
}
