//! What stands to the right of the tip: its numbers.

use bevelbench_notebook::{
    answer::swept::Swept,
    quantity::Units,
    words::{
        self,
        tip::{Line, lines},
    },
};
use egui::{Sense, Ui, Vec2, WidgetInfo};

use crate::{
    model::appearance::Tone,
    toolkit::{
        theme::{Surface, Theme, Weight},
        widgets::{caution_line, section},
    },
};

/// What must be read before anything else about the shape.
pub(crate) fn swept_warnings(ui: &mut Ui, swept: &Swept, units: Units, theme: &Theme) {
    for (i, warning) in words::swept_warnings(swept, &|mm| units.length(mm)).iter().enumerate() {
        let tone = if i == 0 && swept.nose_gone().is_some() { Tone::Bad } else { Tone::Caution };
        caution_line(ui, warning, tone, theme);
    }
}

/// The list.
pub fn summary_list(ui: &mut Ui, swept: &Swept, units: Units, theme: &Theme) {
    section(ui, "The edge", "", theme);
    swept_warnings(ui, swept, units, theme);
    ui.spacing_mut().item_spacing.y = 0.0;
    for Line { name, figure, how } in lines(swept, units) {
        let height = theme.sizes.text.body * 1.75;
        let (rect, response) =
            ui.allocate_exact_size(Vec2::new(ui.available_width(), height), Sense::click());
        let words = format!("{name}: {figure}");
        response.widget_info(|| WidgetInfo::labeled(egui::Role::Button, true, &words));
        if response.hovered() || response.has_focus() {
            let around = rect.expand2(Vec2::new(6.0, 0.0));
            ui.painter().rect_filled(around, theme.corner(), theme.surface(Surface::Hover));
        }
        let baseline = rect.center();
        let painter = ui.painter();
        painter.text(
            rect.left_center(),
            egui::Align2::LEFT_CENTER,
            name,
            theme.body(),
            theme.tone(Tone::Weak),
        );
        let font = theme.font(Weight::SemiBold, theme.sizes.text.strong);
        painter.text(
            egui::pos2(rect.right(), baseline.y),
            egui::Align2::RIGHT_CENTER,
            figure,
            font,
            theme.tone(Tone::Strong),
        );
        if response.clicked() {
            ui.ctx().copy_text(words);
        }
        response.on_hover_text(format!("{how}\nPress to copy."));
    }
}
