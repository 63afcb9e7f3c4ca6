//! What a setting stands on: the rig, the wheel, what carries the tool, how an oblique edge is held, whether it is rolled.

use bevelbench_geometry::math::Quantity;
use bevelbench_notebook::saved::{
    Bench, BlankSaved, EdgeSaved, PresentationSaved, SettingEntry, SupportSaved, SwingSaved, table::OnBench,
};
use egui::{ComboBox, Ui};

use crate::{
    model::{appearance::Tone, session::Session},
    toolkit::{theme::Theme, widgets::section},
};

/// The rig, the wheel, what carries the tool, how an oblique edge is held.
pub(super) fn stand(ui: &mut Ui, session: &mut Session, theme: &Theme) {
    let Some(current) = session.current().cloned() else { return };
    section(ui, "Stands on", "", theme);
    let bench = session.bench();
    let rig = bench.rig(current.rig);
    let mut chosen = current.clone();
    let name_width = ui.available_width();
    let rig_name = rig.map_or("no rig", |rig| rig.name.as_str());
    let wheel_name =
        rig.and_then(|rig| rig.wheel(current.wheel)).map_or("no wheel", |wheel| wheel.name.as_str());
    let combo = |ui: &mut Ui, id: &str, label: &str, text: &str, content: &mut dyn FnMut(&mut Ui)| {
        ui.horizontal(|ui| {
            let (rect, _) = ui.allocate_exact_size(egui::vec2(64.0, theme.sizes.row), egui::Sense::hover());
            ui.painter().text(
                rect.left_center(),
                egui::Align2::LEFT_CENTER,
                label,
                theme.body(),
                theme.tone(Tone::Weak),
            );
            let shown = ComboBox::from_id_salt(id)
                .width(name_width - 64.0 - 2.0 * theme.sizes.gap.normal)
                .selected_text(text)
                .truncate()
                .show_ui(ui, |ui| content(ui));
            shown.response.widget_info(|| {
                egui::WidgetInfo::labeled(egui::Role::ComboBox, true, format!("{label}: {text}"))
            });
        });
    };
    combo(ui, "rig", "Rig", rig_name, &mut |ui| {
        for each in &bench.rigs {
            if ui.selectable_label(each.id == current.rig, &each.name).clicked()
                && let Some(wheel) = each.wheels.first()
            {
                chosen.rig = each.id;
                chosen.wheel = wheel.id;
            }
        }
    });
    combo(ui, "wheel", "Wheel", wheel_name, &mut |ui| {
        for each in rig.map(|rig| rig.wheels.as_slice()).unwrap_or_default() {
            if ui.selectable_label(each.id == current.wheel, &each.name).clicked() {
                chosen.wheel = each.id;
            }
        }
    });
    let carrier = match current.support {
        SupportSaved::Handle { .. } => "handle in the cup".to_owned(),
        SupportSaved::Holder { holder, .. } => {
            rig.and_then(|rig| rig.holder(holder)).map_or("a holder".to_owned(), |holder| holder.name.clone())
        }
        SupportSaved::Table { .. } => "table".to_owned(),
    };
    combo(ui, "support", "Held by", &carrier, &mut |ui| {
        let reach = Quantity::Reach.get(bench).unwrap_or(150.0);
        let handle = matches!(current.support, SupportSaved::Handle { .. });
        if ui.selectable_label(handle, "handle in the cup").clicked() && !handle {
            chosen.support = SupportSaved::Handle { reach_mm: reach };
        }
        for each in rig.map(|rig| rig.holders.as_slice()).unwrap_or_default() {
            let now = matches!(current.support, SupportSaved::Holder { holder, .. } if holder == each.id);
            if ui.selectable_label(now, &each.name).clicked() && !now {
                let middle = f64::midpoint(each.strut_angle_least_deg, each.strut_angle_most_deg);
                chosen.support = SupportSaved::Holder {
                    holder: each.id,
                    reach_mm: reach,
                    projection_mm: Quantity::Projection.get(bench).unwrap_or(60.0),
                    strut_angle_deg: Quantity::StrutAngle.get(bench).unwrap_or(middle),
                };
            }
        }
        let table = matches!(current.support, SupportSaved::Table { .. });
        if ui.selectable_label(table, "table").clicked() && !table {
            chosen.support = SupportSaved::Table { tilt_deg: 0.0 };
        }
    });
    oblique(ui, bench, &mut chosen, &combo);
    swung(ui, bench, &mut chosen, theme);
    if chosen != current {
        let label = if chosen.rig == current.rig && chosen.wheel == current.wheel {
            "Change what holds the tool"
        } else {
            "Change rig or wheel"
        };
        session.edit(label, |bench| bench.current = Some(chosen));
        ui.ctx().request_repaint();
    }
}

/// A labelled combo box: where, its id, its label, what it shows, its choices.
type Combo<'a> = dyn Fn(&mut Ui, &str, &str, &str, &mut dyn FnMut(&mut Ui)) + 'a;

fn oblique(ui: &mut Ui, bench: &Bench, chosen: &mut SettingEntry, combo: &Combo<'_>) {
    let oblique = bench.tool(chosen.tool).is_some_and(|tool| match &tool.blank {
        BlankSaved::Flat(flat) => {
            matches!(flat.edge, EdgeSaved::Skew { obliquity_deg, .. } if obliquity_deg < 90.0)
        }
        BlankSaved::Bar(_) => false,
    });
    if !oblique {
        return;
    }
    let words = |presentation: PresentationSaved| match presentation {
        PresentationSaved::EdgeParallelToSpindle => "edge parallel to the spindle",
        PresentationSaved::AxisInSidePlane => "tool’s axis square to the spindle",
    };
    let now = chosen.presentation;
    combo(ui, "presented", "Held with", words(now), &mut |ui| {
        for each in [PresentationSaved::EdgeParallelToSpindle, PresentationSaved::AxisInSidePlane] {
            if ui.selectable_label(each == now, words(each)).clicked() {
                chosen.presentation = each;
            }
        }
    });
}

/// Whether a gouge is rolled from wing to wing.
fn swung(ui: &mut Ui, bench: &Bench, chosen: &mut SettingEntry, theme: &Theme) {
    let is_gouge = bench.tool(chosen.tool).is_some_and(|tool| matches!(tool.blank, BlankSaved::Bar(_)));
    if !is_gouge {
        return;
    }
    let mut rolled = chosen.swing.is_some();
    ui.add_space(theme.sizes.gap.small);
    let response = ui.checkbox(&mut rolled, "Rolled from wing to wing");
    response.on_hover_text("Shows the roll line and the swept wings. A hand does not roll about one line exactly, so the wings are a prediction.");
    if rolled != chosen.swing.is_some() {
        chosen.swing = rolled.then(SwingSaved::default);
    }
}
