//! The four charts under one another, with the values at the marked point over them.

use bevelbench_notebook::{
    answer::{
        edge_curve::{EdgeCurve, Over, multiples, pieces, round_increment},
        swept::Swept,
    },
    quantity::{LengthUnit, Units},
    words::{capital, validity_words},
};
use egui::{Align2, Sense, Stroke, Ui, Vec2b, WidgetInfo, pos2, vec2};
use egui_plot::{AxisHints, GridInput, GridMark, Line, LineStyle, Plot, PlotUi, Points, VLine};

use crate::{
    model::appearance::Tone,
    toolkit::theme::{Theme, Weight},
};

/// Which line is which: the first solid, the second dashed.
pub(crate) fn line_names(ui: &mut Ui, names: &[String; 2], theme: &Theme) {
    ui.horizontal(|ui| {
        for (words, dashed) in names.iter().zip([false, true]) {
            let stroke = stroke(dashed, theme);
            let galley = ui.painter().layout_no_wrap(words.clone(), theme.name(), theme.tone(Tone::Strong));
            let size = vec2(galley.size().x + 42.0, theme.sizes.text.body * 1.6);
            let (rect, response) = ui.allocate_exact_size(size, Sense::hover());
            response.widget_info(|| WidgetInfo::labeled(egui::Role::Label, true, words));
            let line = [pos2(rect.left(), rect.center().y), pos2(rect.left() + 28.0, rect.center().y)];
            if dashed {
                ui.painter().extend(egui::Shape::dashed_line(&line, stroke, 7.0, 4.0));
            } else {
                ui.painter().line_segment(line, stroke);
            }
            let at = pos2(rect.left() + 36.0, rect.center().y - galley.size().y / 2.0);
            ui.painter().galley(at.round(), galley, egui::Color32::PLACEHOLDER);
        }
    });
}

fn stroke(second: bool, theme: &Theme) -> Stroke {
    let colour = if second { theme.palette.negative } else { theme.palette.accent };
    Stroke::new(2.0 * theme.sizes.shaft, colour)
}

/// The values at the marked point.
fn readings(
    ui: &mut Ui,
    swept: &Swept,
    second: Option<&Swept>,
    over: Over,
    marked: Option<usize>,
    units: Units,
    theme: &Theme,
) {
    let line = |ui: &mut Ui, words: &str, tone: Tone| {
        let height = theme.sizes.text.body * 1.55;
        let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), height), Sense::hover());
        response.widget_info(|| WidgetInfo::labeled(egui::Role::Label, true, words));
        ui.painter().text(rect.left_center(), Align2::LEFT_CENTER, words, theme.body(), theme.tone(tone));
    };
    let place = marked.and_then(|i| over.at(swept, i));
    let (Some(i), Some(place)) = (marked, place) else {
        line(ui, "Point at a curve to read it.", Tone::Weak);
        if second.is_some() {
            line(ui, "", Tone::Weak);
        }
        return;
    };
    let towards = if place.abs() < 0.05 {
        "at the nose".to_owned()
    } else {
        let side = if place > 0.0 { "right" } else { "left" };
        format!("{} to the {side}", units.length(place.abs()))
    };
    let first = values(swept, i, units);
    match second {
        None => line(ui, &format!("{}:  {first}", capital(&towards)), Tone::Strong),
        Some(other) => {
            line(ui, &format!("A, {towards}:  {first}"), Tone::Strong);
            if let Some(there) = over.nearest(other, place) {
                // Beyond its end the other edge has no value there.
                let at = over.at(other, there).unwrap_or(place);
                let words = if (at - place).abs() > 0.3 {
                    format!("B, {towards}:  its edge ends before")
                } else {
                    format!("B, {towards}:  {}", values(other, there, units))
                };
                line(ui, &words, Tone::Strong);
            }
        }
    }
}

fn values(swept: &Swept, index: usize, units: Units) -> String {
    let Some(point) = swept.points().get(index) else { return String::new() };
    let show = |curve: EdgeCurve| {
        let value = curve.at(point);
        if curve.is_angle() { units.angle(value) } else { units.length(value) }
    };
    format!(
        "bevel {}, wedge {}, facet {}, setback {}",
        show(EdgeCurve::BevelToAxis),
        show(EdgeCurve::Wedge),
        show(EdgeCurve::FacetWidth),
        show(EdgeCurve::Setback)
    )
}

fn note(ui: &mut Ui, words: &str, theme: &Theme) {
    let width = ui.available_width();
    let galley = ui.painter().layout(words.to_owned(), theme.small(), theme.tone(Tone::Weak), width);
    let (rect, response) = ui.allocate_exact_size(vec2(width, galley.size().y), Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(egui::Role::Label, true, words));
    ui.painter().galley(rect.min.round(), galley, egui::Color32::PLACEHOLDER);
}

/// The curves of an edge, and of a second one dashed over them.
pub(crate) struct Charts<'a> {
    pub(crate) swept: &'a Swept,
    pub(crate) second: Option<&'a Swept>,
    pub(crate) over: Over,
    /// The point of the first edge that is read.
    pub(crate) marked: Option<usize>,
    pub(crate) units: Units,
    pub(crate) theme: &'a Theme,
}

impl Charts<'_> {
    /// Shows the values and the charts over what is left of a place; the point that is marked from then on.
    pub(crate) fn show(mut self, ui: &mut Ui) -> Option<usize> {
        let theme = self.theme;
        self.marked = self.marked.filter(|&i| i < self.swept.points().len());
        readings(ui, self.swept, self.second, self.over, self.marked, self.units, theme);
        // The axis in words, and two lines of the note.
        let note_height = theme.sizes.text.small * 4.2 + ui.spacing().item_spacing.y;
        let height =
            ((ui.available_height() - note_height - 26.0) / 4.0 - ui.spacing().item_spacing.y).max(60.0);
        // Each has its name over it.
        let height = (height - theme.sizes.text.body * 1.25 - ui.spacing().item_spacing.y).max(40.0);
        let mut hovered = None;
        for (i, curve) in EdgeCurve::ALL.into_iter().enumerate() {
            let last = i + 1 == EdgeCurve::ALL.len();
            self.caption(ui, curve);
            hovered = hovered.or(self.plot(ui, curve, if last { height + 26.0 } else { height }, last));
        }
        self.axis_words(ui);
        note(ui, validity_words(self.swept), theme);
        if hovered.is_some() && hovered != self.marked {
            ui.ctx().request_repaint();
            return hovered;
        }
        self.marked
    }

    /// How many of the unit shown a millimetre is.
    fn scale(&self, is_angle: bool) -> f64 {
        match (is_angle, self.units.length) {
            (true, _) | (false, LengthUnit::Millimetre) => 1.0,
            (false, LengthUnit::Inch | LengthUnit::InchFraction) => 1.0 / 25.4,
        }
    }

    fn unit_name(&self) -> &'static str {
        if self.units.length == LengthUnit::Millimetre { "mm" } else { "in" }
    }

    /// Draws it; returns the point of the edge under the pointer.
    fn plot(&self, ui: &mut Ui, curve: EdgeCurve, height: f32, last: bool) -> Option<usize> {
        let theme = self.theme;
        let (scale_x, scale_y) = (self.scale(false), self.scale(curve.is_angle()));
        let weak = theme.tone(Tone::Weak);
        let angle = curve.is_angle();
        let y_axis = AxisHints::new_y()
            .formatter(move |mark: GridMark, _| {
                let text = number(mark);
                if angle { format!("{text}°") } else { text }
            })
            .min_thickness(38.0)
            .label_spacing(egui::Rangef::new(14.0, 16.0))
            .tick_label_color(weak)
            .tick_label_font(theme.small());
        let x_axis = AxisHints::new_x()
            .formatter(|mark: GridMark, _| number(mark))
            .label_spacing(egui::Rangef::new(30.0, 34.0))
            .tick_label_color(weak)
            .tick_label_font(theme.small());
        let (least, most) = self.span(curve);
        let plot = Plot::new(("curve", curve))
            .height(height)
            .width(ui.available_width())
            .show_axes(Vec2b::new(last, true))
            .custom_x_axes(vec![x_axis])
            .custom_y_axes(vec![y_axis])
            .x_grid_spacer(|input| marks(&input, 7.0))
            .y_grid_spacer(|input| marks(&input, 3.2))
            .grid_spacing(egui::Rangef::new(4.0, 8.0))
            .grid_color(theme.palette.hairline)
            .show_background(true)
            .include_y(least * scale_y)
            .include_y(most * scale_y)
            .auto_bounds(true)
            .set_margin_fraction(vec2(0.02, 0.10))
            .link_axis(egui::Id::unique("curves"), [true, false])
            .link_cursor(egui::Id::unique("curves"), [true, false])
            .allow_zoom([true, false])
            .allow_drag([true, false])
            .allow_scroll(false)
            .allow_boxed_zoom(false)
            .allow_axis_zoom_drag(false)
            .show_x(false)
            .show_y(false)
            .show_crosshair(true)
            .cursor_color(theme.palette.frame)
            .label_formatter(|_| None);
        let shown = plot.show(ui, |plot_ui| {
            if let Some(second) = self.second {
                self.lines(plot_ui, second, curve, true);
            }
            self.lines(plot_ui, self.swept, curve, false);
            self.mark(plot_ui, curve);
            plot_ui.response().hovered().then(|| plot_ui.pointer_coordinate()).flatten()
        });
        shown.response.widget_info(|| WidgetInfo::labeled(egui::Role::Image, true, curve.name()));
        shown.inner.and_then(|at| self.over.nearest(self.swept, at.x / scale_x))
    }

    /// What the axis shows at least: the values, and never so little that rounding looks like a trend.
    fn span(&self, curve: EdgeCurve) -> (f64, f64) {
        let all = self.swept.points().iter().chain(self.second.into_iter().flat_map(Swept::points));
        let (least, most) = all
            .map(|point| curve.at(point))
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), v| (a.min(v), b.max(v)));
        if !(least.is_finite() && most.is_finite()) {
            return (0.0, curve.least_span());
        }
        let spare = (curve.least_span() - (most - least)).max(0.0) / 2.0;
        (least - spare, most + spare)
    }

    fn lines(&self, plot_ui: &mut PlotUi<'_>, swept: &Swept, curve: EdgeCurve, dashed: bool) {
        let (scale_x, scale_y) = (self.scale(false), self.scale(curve.is_angle()));
        for piece in pieces(swept, curve, self.over) {
            let points: Vec<[f64; 2]> = piece.into_iter().map(|[x, y]| [x * scale_x, y * scale_y]).collect();
            let style = if dashed { LineStyle::Dashed { length: 8.0 } } else { LineStyle::Solid };
            let name = if dashed { "B" } else { "A" };
            plot_ui.line(
                Line::new(name, points)
                    .stroke(stroke(dashed, self.theme))
                    .style(style)
                    .allow_band(false)
                    .allow_hover(false),
            );
        }
    }

    fn mark(&self, plot_ui: &mut PlotUi<'_>, curve: EdgeCurve) {
        let Some(place) = self.marked.and_then(|i| self.over.at(self.swept, i)) else { return };
        let (scale_x, scale_y) = (self.scale(false), self.scale(curve.is_angle()));
        plot_ui.vline(
            VLine::new("marked", place * scale_x)
                .stroke(Stroke::new(1.0, self.theme.palette.neutral))
                .allow_hover(false),
        );
        for (swept, dashed) in std::iter::once((self.swept, false)).chain(self.second.map(|s| (s, true))) {
            let Some(i) = self.over.nearest(swept, place) else { continue };
            let (Some(x), Some(point)) = (self.over.at(swept, i), swept.points().get(i)) else { continue };
            if (x - place).abs() > 0.3 {
                continue;
            }
            plot_ui.points(
                Points::new("marked", vec![[x * scale_x, curve.at(point) * scale_y]])
                    .radius(4.5)
                    .color(stroke(dashed, self.theme).color)
                    .allow_hover(false),
            );
        }
    }

    /// The plot's name and its unit, over it.
    fn caption(&self, ui: &mut Ui, curve: EdgeCurve) {
        let theme = self.theme;
        let unit = if curve.is_angle() { "degrees" } else { self.unit_name() };
        let font = theme.font(Weight::SemiBold, theme.sizes.text.body);
        let name = ui.painter().layout_no_wrap(curve.name().to_owned(), font, theme.tone(Tone::Strong));
        let unit = ui.painter().layout_no_wrap(unit.to_owned(), theme.small(), theme.tone(Tone::Weak));
        let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), name.size().y), Sense::hover());
        let at = pos2(rect.left() + 38.0, rect.top());
        let unit_at = at + vec2(name.size().x + 6.0, name.size().y - unit.size().y - 1.0);
        ui.painter().galley(at.round(), name, egui::Color32::PLACEHOLDER);
        ui.painter().galley(unit_at.round(), unit, egui::Color32::PLACEHOLDER);
    }

    /// What the charts are drawn over, under the last of them.
    fn axis_words(&self, ui: &mut Ui) {
        let unit = self.unit_name();
        let words = match self.over {
            Over::Along => format!("{unit} along the edge from the nose, as seen from the handle"),
            Over::Across => format!("{unit} across the tool, as seen from the handle"),
        };
        let words = ui.painter().layout_no_wrap(words, self.theme.small(), self.theme.tone(Tone::Weak));
        let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), words.size().y), Sense::hover());
        let at = pos2(rect.right() - words.size().x, rect.top());
        ui.painter().galley(at.round(), words, egui::Color32::PLACEHOLDER);
    }
}

/// Marks at round numbers, at least so many of the plot's own least steps apart.
pub(crate) fn marks(input: &GridInput, apart: f64) -> Vec<GridMark> {
    let step = round_increment(input.base_step_size * apart * 2.0);
    multiples(step, input.bounds.0, input.bounds.1)
        .into_iter()
        .map(|value| GridMark { value, step_size: step })
        .collect()
}

/// A mark's number with as many decimals as its step needs, and a real minus sign.
pub(crate) fn number(mark: GridMark) -> String {
    let decimals = (-mark.step_size.log10().floor()).clamp(0.0, 6.0) as usize;
    let value = if mark.value.abs() < mark.step_size * 1e-6 { 0.0 } else { mark.value };
    format!("{value:.decimals$}").replace('-', "−")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn marks_carry_round_numbers_with_the_decimals_they_need() {
        let input = GridInput { bounds: (38.7, 61.2), base_step_size: 0.7 };
        let marks = marks(&input, 3.2);
        assert_eq!(marks.iter().map(|m| number(*m)).collect::<Vec<_>>(), ["40", "45", "50", "55", "60"]);
        assert_eq!(number(GridMark { value: -0.5, step_size: 0.5 }), "−0.5");
        assert_eq!(number(GridMark { value: -1e-12, step_size: 0.5 }), "0.0");
    }
}
