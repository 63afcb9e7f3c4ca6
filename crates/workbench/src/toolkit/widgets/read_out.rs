//! What one reads: big numbers, cautions, headings, bars, the status line.

use egui::{Align, Color32, Rect, Response, Role, Sense, Ui, Vec2, WidgetInfo, accesskit::Live, pos2};

use super::{glyphs, letters};
use crate::{
    model::appearance::Tone,
    toolkit::theme::{Surface, Theme, Weight},
};

/// A number worth reading from afar.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ReadOut<'a> {
    /// What it is.
    pub caption: &'a str,
    /// The number, or a word.
    pub number: &'a str,
    /// Its unit, or empty. A degree sign belongs to the number.
    pub unit: &'a str,
    /// What the quantity is and how it is measured at the bench.
    pub tooltip: &'a str,
    /// Its colour.
    pub tone: Tone,
    /// Whether it is one of the most important.
    pub leading: bool,
}

impl ReadOut<'_> {
    /// As text: what a click copies.
    #[must_use]
    pub fn as_text(&self) -> String {
        let space = if self.unit.is_empty() { "" } else { " " };
        format!("{}: {}{space}{}", self.caption, self.number, self.unit)
    }
}

/// A read-out of a given width; a click copies it as text.
pub fn read_out(ui: &mut Ui, what: ReadOut<'_>, width: f32, theme: &Theme) -> Response {
    let sizes = theme.sizes;
    let figure = figure_size(&what, theme);
    let number_font = theme.font(Weight::SemiBold, figure);
    let height = sizes.text.small * 1.5 + sizes.text.figure * 1.35;
    let (rect, response) = ui.allocate_exact_size(Vec2::new(width, height), Sense::click());
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, what.as_text()));
    let painter = ui.painter();
    if response.hovered() || response.has_focus() {
        let around = rect.expand2(Vec2::new(6.0, 2.0));
        painter.rect_filled(around, theme.corner(), theme.surface(Surface::Hover));
        if response.has_focus() {
            painter.rect_stroke(around, theme.corner(), theme.focus_ring(), egui::StrokeKind::Inside);
        }
    }
    let caption = letters::one_line(painter, what.caption, theme.small(), theme.tone(Tone::Weak), width);
    letters::set(painter, pos2(rect.left(), rect.top() + sizes.text.small * 1.15), Align::Min, caption);
    let baseline = rect.bottom() - sizes.text.figure * 0.32;
    let number = letters::one_line(painter, what.number, number_font, theme.tone(what.tone), width);
    let written = letters::set(painter, pos2(rect.left(), baseline), Align::Min, number);
    if !what.unit.is_empty() {
        let font = theme.font(Weight::Medium, sizes.text.figure_unit);
        let unit = letters::one_line(painter, what.unit, font, theme.tone(Tone::Weak), width);
        letters::set(painter, pos2(written.right() + figure * 0.2, baseline), Align::Min, unit);
    }
    if response.clicked() {
        ui.ctx().copy_text(what.as_text());
    }
    if what.tooltip.is_empty() {
        response.on_hover_text("Press to copy.")
    } else {
        response.on_hover_text(format!("{}\nPress to copy.", what.tooltip))
    }
}

/// A row of read-outs over the full width, each as wide as it needs and the rest shared out. Where not all find room the
/// last ones stay away whole, so give the important ones first. Returns how many are shown.
pub fn read_out_row(ui: &mut Ui, all: &[ReadOut<'_>], theme: &Theme) -> usize {
    let gap = theme.sizes.gap.section;
    let widths: Vec<f32> = all.iter().map(|what| natural_width(ui, what, theme)).collect();
    let room = ui.available_width();
    let mut needed = 0.0;
    let shown = widths
        .iter()
        .take_while(|width| {
            needed += **width + gap;
            needed - gap <= room
        })
        .count();
    let used: f32 = widths.iter().take(shown).sum::<f32>() + gap * shown.saturating_sub(1) as f32;
    // Shared out so far that the row stays one group.
    let spare = ((room - used) / shown.max(1) as f32).clamp(0.0, 40.0);
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = gap;
        for (what, width) in all.iter().zip(widths).take(shown) {
            read_out(ui, *what, (width + spare).floor(), theme);
        }
    });
    shown
}

fn natural_width(ui: &Ui, what: &ReadOut<'_>, theme: &Theme) -> f32 {
    let sizes = theme.sizes;
    let figure = figure_size(what, theme);
    let width = |text: &str, font: egui::FontId| {
        letters::one_line(ui.painter(), text, font, theme.tone(Tone::Strong), f32::INFINITY).size().x
    };
    let number = width(what.number, theme.font(Weight::SemiBold, figure));
    let unit = if what.unit.is_empty() {
        0.0
    } else {
        width(what.unit, theme.font(Weight::Medium, sizes.text.figure_unit)) + figure * 0.2
    };
    // A little more, or rounding cuts the last letter off.
    (number + unit).max(width(what.caption, theme.small())).ceil() + 1.0
}

fn figure_size(what: &ReadOut<'_>, theme: &Theme) -> f32 {
    if what.leading { theme.sizes.text.figure } else { theme.sizes.text.figure * 0.86 }
}

/// A wrapped line of words with a sign in front: a triangle for cautions and refusals, a tick for good news.
pub fn caution_line(ui: &mut Ui, words: &str, tone: Tone, theme: &Theme) -> Response {
    let sizes = theme.sizes;
    let sign = sizes.text.body;
    let indent = sign + sizes.gap.normal;
    let width = ui.available_width();
    let text = match tone {
        Tone::Weak | Tone::Caution => Tone::Strong,
        other => other,
    };
    let galley = ui.painter().layout(words.to_owned(), theme.body(), theme.tone(text), width - indent);
    let size = Vec2::new(width, galley.size().y.max(sign));
    let (rect, response) = ui.allocate_exact_size(size, Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Label, true, words));
    let at = pos2(rect.left() + sign / 2.0, rect.top() + sizes.text.body * 0.62);
    let colour = theme.tone(tone);
    match tone {
        Tone::Good => glyphs::tick(ui.painter(), at, sign, colour),
        Tone::Caution | Tone::Bad => glyphs::caution(ui.painter(), at, sign, colour),
        _ => glyphs::remark(ui.painter(), at, sign, colour),
    }
    ui.painter().galley(rect.min + Vec2::new(indent, 0.0), galley, Color32::PLACEHOLDER);
    response
}

/// A heading of a section, with something to read at its right end ("± 0.6°").
pub fn section(ui: &mut Ui, heading: &str, trailing: &str, theme: &Theme) -> Response {
    let height = theme.sizes.text.strong * 1.7;
    let (rect, response) = ui.allocate_exact_size(Vec2::new(ui.available_width(), height), Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Heading, true, heading));
    let font = theme.name();
    let baseline = letters::centred_baseline(rect.center().y, &font);
    let text = letters::one_line(ui.painter(), heading, font, theme.tone(Tone::Weak), rect.width());
    letters::set(ui.painter(), pos2(rect.left(), baseline), Align::Min, text);
    if !trailing.is_empty() {
        let text =
            letters::one_line(ui.painter(), trailing, theme.strong(), theme.tone(Tone::Strong), rect.width());
        letters::set(ui.painter(), pos2(rect.right(), baseline), Align::Max, text);
    }
    response
}

/// A line across the panel from edge to edge, with air around it.
pub fn divider(ui: &mut Ui, theme: &Theme) {
    let gap = theme.sizes.gap.wide;
    let (rect, _) = ui.allocate_exact_size(Vec2::new(ui.available_width(), 2.0 * gap), Sense::hover());
    let y = rect.center().y.floor() + 0.5;
    let margin = theme.sizes.gap.margin;
    ui.painter().hline(rect.left() - margin..=rect.right() + margin, y, theme.hairline());
}

/// One bar of a comparison: a fraction (0 to 1) of the longest, its name, and its figure in words.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ProportionBar<'a> {
    /// What it is.
    pub name: &'a str,
    /// Its length as a fraction of the longest.
    pub fraction: f32,
    /// Its figure ("0.4°").
    pub figure: &'a str,
}

/// Bars under one another, the longest darkest: what an uncertainty comes from.
pub fn proportion_bars(ui: &mut Ui, bars: &[ProportionBar<'_>], theme: &Theme) {
    let sizes = theme.sizes;
    let colours = [theme.palette.accent, theme.palette.accent_soft, theme.palette.neutral];
    for (i, bar) in bars.iter().enumerate() {
        let height = sizes.text.small * 1.65;
        let (rect, response) =
            ui.allocate_exact_size(Vec2::new(ui.available_width(), height), Sense::hover());
        response
            .widget_info(|| WidgetInfo::labeled(Role::Label, true, format!("{} {}", bar.name, bar.figure)));
        let longest = rect.width() * 0.46;
        let fraction = if bar.fraction.is_finite() { bar.fraction.clamp(0.0, 1.0) } else { 0.0 };
        let thick = (sizes.text.small * 0.68).round();
        let body = Rect::from_min_size(
            pos2(rect.left(), (rect.center().y - thick / 2.0).round()),
            Vec2::new((longest * fraction).max(2.0), thick),
        );
        ui.painter().rect_filled(body, 2.0, colours[i.min(colours.len() - 1)]);
        let baseline = letters::centred_baseline(rect.center().y, &theme.small());
        let name = letters::one_line(
            ui.painter(),
            bar.name,
            theme.small(),
            theme.tone(Tone::Weak),
            rect.width() * 0.36,
        );
        letters::set(ui.painter(), pos2(rect.left() + longest + sizes.gap.wide, baseline), Align::Min, name);
        let figure =
            letters::one_line(ui.painter(), bar.figure, theme.small(), theme.tone(Tone::Weak), rect.width());
        letters::set(ui.painter(), pos2(rect.right(), baseline), Align::Max, figure);
    }
}

/// A line that says what just happened; screen readers speak it when it changes.
pub fn status_line(ui: &mut Ui, words: &str, tone: Tone, theme: &Theme) -> Response {
    let font = theme.name();
    let height = theme.sizes.text.body * 1.6;
    let (rect, response) = ui.allocate_exact_size(Vec2::new(ui.available_width(), height), Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Status, true, words));
    ui.ctx().accesskit_node_builder(response.id, |node| node.set_live(Live::Polite));
    if words.is_empty() {
        return response;
    }
    let sign = theme.sizes.text.body;
    let colour = theme.tone(tone);
    let at = pos2(rect.left() + sign / 2.0, rect.center().y);
    match tone {
        Tone::Good => glyphs::tick(ui.painter(), at, sign, colour),
        Tone::Caution | Tone::Bad => glyphs::caution(ui.painter(), at, sign, colour),
        _ => glyphs::remark(ui.painter(), at, sign, colour),
    }
    let left = rect.left() + sign + theme.sizes.gap.normal;
    let baseline = letters::centred_baseline(rect.center().y, &font);
    let text = letters::one_line(ui.painter(), words, font, colour, rect.right() - left);
    let cut = text.elided;
    letters::set(ui.painter(), pos2(left, baseline), Align::Min, text);
    if cut { response.on_hover_text(words) } else { response }
}
