//! The figures of A and B in two columns with their differences, and the differences in words.

use bevelbench_notebook::quantity::Units;
use egui::{Align, Rect, Role, Sense, Ui, UiBuilder, WidgetInfo, pos2, vec2};

use crate::{
    model::appearance::Tone,
    pages::pair::{Figure, letter, shown::EvaluatedSetting},
    toolkit::{
        theme::{Surface, Theme},
        widgets::letters,
    },
};

/// How high the table stands.
pub(super) fn height(theme: &Theme) -> f32 {
    row_height(theme) * (Figure::ALL.len() as f32 + 1.0) + 2.0 * theme.sizes.gap.wide
}

fn row_height(theme: &Theme) -> f32 {
    (theme.sizes.text.strong * 1.62).round()
}

#[allow(clippy::too_many_arguments, reason = "one call, each a different thing to show")]
pub(super) fn table(
    ui: &mut Ui,
    rect: Rect,
    a: &EvaluatedSetting,
    b: Option<&EvaluatedSetting>,
    differences: &[&str],
    message: Option<(Tone, &str)>,
    units: Units,
    theme: &Theme,
) {
    let gap = theme.sizes.gap;
    ui.painter().rect_filled(rect, 0.0, theme.surface(Surface::Panel));
    ui.painter().hline(rect.x_range(), rect.top().floor() + 0.5, theme.hairline());
    let row = row_height(theme);
    let left = rect.left() + gap.margin;
    // Columns end at these places.
    let unit = theme.sizes.text.body;
    let ends = [left + 19.0 * unit, left + 25.0 * unit, left + 31.5 * unit];
    let top = rect.top() + gap.wide;
    let head = top + row / 2.0;
    for (index, end) in ends.iter().take(2).enumerate() {
        let size = theme.sizes.text.strong * 1.45;
        letter(ui, pos2(end - size / 2.0, head), size, index == 1, theme);
    }
    let word = |ui: &Ui, x: f32, y: f32, align: Align, text: &str, strong: bool| {
        let (font, tone) = if strong { (theme.strong(), Tone::Strong) } else { (theme.body(), Tone::Weak) };
        let baseline = letters::centred_baseline(y, &font);
        let text = letters::one_line(ui.painter(), text, font, theme.tone(tone), f32::INFINITY);
        letters::set(ui.painter(), pos2(x, baseline), align, text);
    };
    word(ui, ends[2], head, Align::Max, "B − A", false);
    for (index, figure) in Figure::ALL.into_iter().enumerate() {
        let y = top + row * (index as f32 + 1.5);
        let line = Rect::from_min_max(pos2(left, y - row / 2.0), pos2(ends[2], y + row / 2.0));
        let (one, other) = (a.figure(figure), b.and_then(|b| b.figure(figure)));
        let shown = [
            figure.words(one, units.length),
            figure.words(other, units.length),
            figure.difference(one, other, units.length),
        ];
        let response = ui.interact(line, ui.scope_id().with(("pair figure", index)), Sense::hover());
        response.widget_info(|| {
            let accessible_text =
                format!("{}: A {}, B {}, B − A {}", figure.name(), shown[0], shown[1], shown[2]);
            WidgetInfo::labeled(Role::Label, true, accessible_text)
        });
        ui.painter().hline(left..=ends[2], (y - row / 2.0).floor() + 0.5, theme.hairline());
        word(ui, left, y, Align::Min, figure.name(), false);
        for (end, text) in ends.iter().zip(&shown) {
            word(ui, *end, y, Align::Max, text, true);
        }
    }
    let words = Rect::from_min_max(
        pos2(ends[2] + 2.0 * gap.section, rect.top() + gap.wide),
        rect.max - vec2(gap.margin, gap.small),
    );
    ui.scope_builder(UiBuilder::new().max_rect(words), |ui| {
        egui::ScrollArea::vertical().id_salt("differences").show(ui, |ui| {
            ui.spacing_mut().item_spacing.y = gap.small;
            let mut line = |text: &str, tone: Tone, strong: bool| {
                let font = if strong { theme.strong() } else { theme.body() };
                ui.add(egui::Label::new(egui::RichText::new(text).font(font).color(theme.tone(tone))).wrap());
            };
            if let Some((tone, words)) = message {
                line(words, tone, false);
            }
            for (name, shown) in [("A", Some(a)), ("B", b)] {
                if let Some(problem) = shown.and_then(|shown| shown.problem(units)) {
                    line(&format!("{name}: {problem}"), Tone::Bad, false);
                }
            }
            if b.is_none() {
                line("Nothing beside A yet.", Tone::Weak, false);
            }
            for (index, words) in differences.iter().enumerate() {
                line(words, Tone::Strong, index == 0);
            }
        });
    });
}
