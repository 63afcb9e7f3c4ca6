//! The bevel against the wheel's diameter: left where it is, set by gauge stick, found again.

use bevelbench_notebook::{
    answer::wear::{Wear, WearPoint, WearStrategy},
    quantity::{LengthUnit, Units},
};
use egui::{Align2, Sense, Stroke, Ui, Vec2b, WidgetInfo, pos2, vec2};
use egui_plot::{AxisHints, GridMark, Line, LineStyle, Plot, PlotUi, Points, VLine};

use crate::{
    model::appearance::Tone,
    pages::curves::{marks, number},
    toolkit::theme::Theme,
};

/// Points of a curve.
const POINTS: usize = 81;

/// The curves, in pieces without gaps.
#[derive(Debug, Default)]
pub(super) struct Curves {
    strategies: Vec<(WearStrategy, Vec<Vec<WearPoint>>)>,
}

impl Curves {
    pub(super) fn of(wear: &Wear) -> Self {
        let strategies =
            WearStrategy::ALL.into_iter().filter(|strategy| wear.has(*strategy)).map(|strategy| {
                let points = wear.curve(strategy, POINTS);
                let pieces = points.split(Option::is_none).filter(|piece| piece.len() > 1);
                (strategy, pieces.map(|piece| piece.iter().flatten().copied().collect()).collect())
            });
        Self { strategies: strategies.collect() }
    }

    fn is_empty(&self) -> bool {
        self.strategies.iter().all(|(_, pieces)| pieces.is_empty())
    }

    /// What the axis shows at least: the ways that are kept, and of the one left alone as much as ten degrees.
    fn span(&self, now: f64) -> (f64, f64) {
        let all = self.strategies.iter().flat_map(|(_, pieces)| pieces.iter().flatten());
        let (least, most) = all
            .map(|point| point.bevel.degrees())
            .filter(|bevel| (bevel - now).abs() < 15.0)
            .fold((now - 1.0, now + 1.0), |(a, b), bevel| (a.min(bevel), b.max(bevel)));
        (least, most)
    }
}

fn stroke(strategy: WearStrategy, theme: &Theme) -> (Stroke, LineStyle) {
    let wide = 2.0 * theme.sizes.shaft;
    match strategy {
        WearStrategy::Place => (Stroke::new(wide, theme.palette.negative), LineStyle::Solid),
        WearStrategy::GaugeStick => {
            (Stroke::new(wide, theme.palette.accent), LineStyle::Dashed { length: 9.0 })
        }
        WearStrategy::FoundAgain => {
            (Stroke::new(wide, theme.palette.positive), LineStyle::Dotted { spacing: 6.0 })
        }
    }
}

/// Draws them; the wheel wears from left to right.
pub(super) fn plot(ui: &mut Ui, wear: &Wear, curves: &Curves, units: Units, theme: &Theme) {
    if curves.is_empty() {
        return;
    }
    legend(ui, curves, theme);
    let scale = match units.length {
        LengthUnit::Millimetre => 1.0,
        LengthUnit::Inch | LengthUnit::InchFraction => 1.0 / 25.4,
    };
    let unit = if units.length == LengthUnit::Millimetre { "mm" } else { "in" };
    let weak = theme.tone(Tone::Weak);
    let axis = |hints: AxisHints<'static>, after: &'static str| {
        hints
            .formatter(move |mark: GridMark, _| format!("{}{after}", number(mark)))
            .tick_label_color(weak)
            .tick_label_font(theme.small())
    };
    let (least_mm, most_mm) = wear.range_mm();
    let now = wear.view().bevel().degrees();
    let (least, most) = curves.span(now);
    let shown = Plot::new("wear")
        .height(190.0)
        .width(ui.available_width())
        .invert_x(true)
        .custom_x_axes(vec![axis(AxisHints::new_x(), "").label_spacing(egui::Rangef::new(30.0, 34.0))])
        .custom_y_axes(vec![
            axis(AxisHints::new_y(), "°").min_thickness(38.0).label_spacing(egui::Rangef::new(14.0, 16.0)),
        ])
        .x_grid_spacer(|input| marks(&input, 7.0))
        .y_grid_spacer(|input| marks(&input, 3.2))
        .grid_spacing(egui::Rangef::new(4.0, 8.0))
        .grid_color(theme.palette.hairline)
        .include_y(least)
        .include_y(most)
        .include_x(least_mm * scale)
        .include_x(most_mm * scale)
        .auto_bounds(false)
        .default_x_bounds(least_mm * scale, most_mm * scale)
        .default_y_bounds(least - 0.06 * (most - least), most + 0.12 * (most - least))
        .allow_zoom(false)
        .allow_drag(false)
        .allow_scroll(false)
        .allow_boxed_zoom(false)
        .allow_axis_zoom_drag(false)
        .show_grid(Vec2b::TRUE)
        .show_x(false)
        .show_y(false)
        .cursor_color(theme.palette.frame)
        .label_formatter(|_| None)
        .show(ui, |plot_ui| {
            lines(plot_ui, curves, scale, theme);
            let today = wear.diameter_mm() * scale;
            plot_ui.vline(
                VLine::new("today", today).stroke(Stroke::new(1.0, theme.palette.neutral)).allow_hover(false),
            );
            plot_ui.points(
                Points::new("today", vec![[today, now]])
                    .radius(4.5)
                    .color(theme.tone(Tone::Strong))
                    .allow_hover(false),
            );
            plot_ui.response().hovered().then(|| plot_ui.pointer_coordinate()).flatten()
        });
    let frame = shown.response.rect;
    shown.response.widget_info(|| {
        WidgetInfo::labeled(egui::Role::Image, true, "Bevel at the edge against wheel diameter")
    });
    let words = format!("wheel diameter, {unit}: new at the left, least usable at the right");
    let at = frame.right_bottom() - vec2(6.0, 24.0);
    let text = ui.painter().layout_no_wrap(words, theme.small(), weak);
    let place = Align2::RIGHT_BOTTOM.anchor_size(at, text.size());
    ui.painter().rect_filled(place.expand2(vec2(4.0, 1.0)), 3.0, theme.palette.pill);
    ui.painter().galley(place.min.round(), text, weak);
    let diameter_mm = shown.inner.map_or(wear.diameter_mm(), |at| (at.x / scale).clamp(least_mm, most_mm));
    reading(ui, wear, diameter_mm, shown.inner.is_some(), units, theme);
}

fn lines(plot_ui: &mut PlotUi<'_>, curves: &Curves, scale: f64, theme: &Theme) {
    for (strategy, pieces) in &curves.strategies {
        let (stroke, style) = stroke(*strategy, theme);
        for piece in pieces {
            let points: Vec<[f64; 2]> =
                piece.iter().map(|point| [point.diameter_mm * scale, point.bevel.degrees()]).collect();
            plot_ui.line(
                Line::new(strategy.name(), points)
                    .stroke(stroke)
                    .style(style)
                    .allow_band(false)
                    .allow_hover(false),
            );
        }
    }
}

/// Which line is which.
fn legend(ui: &mut Ui, curves: &Curves, theme: &Theme) {
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = theme.sizes.gap.wide;
        for (strategy, _) in &curves.strategies {
            let (stroke, style) = stroke(*strategy, theme);
            let words = ui.painter().layout_no_wrap(
                strategy.name().to_owned(),
                theme.body(),
                theme.tone(Tone::Strong),
            );
            let size = vec2(words.size().x + 42.0, theme.sizes.text.body * 1.6);
            let (rect, response) = ui.allocate_exact_size(size, Sense::hover());
            response.widget_info(|| WidgetInfo::labeled(egui::Role::Label, true, strategy.name()));
            let line = [pos2(rect.left(), rect.center().y), pos2(rect.left() + 32.0, rect.center().y)];
            match style {
                LineStyle::Solid => {
                    ui.painter().line_segment(line, stroke);
                }
                LineStyle::Dashed { length } => {
                    ui.painter().extend(egui::Shape::dashed_line(&line, stroke, length, 5.0));
                }
                LineStyle::Dotted { spacing } => {
                    ui.painter().extend(egui::Shape::dotted_line(&line, stroke.color, spacing, 1.6));
                }
            }
            let at = pos2(rect.left() + 38.0, rect.center().y - words.size().y / 2.0);
            ui.painter().galley(at.round(), words, egui::Color32::PLACEHOLDER);
        }
    });
}

/// What the three ways come to at a diameter.
fn reading(ui: &mut Ui, wear: &Wear, diameter_mm: f64, pointed: bool, units: Units, theme: &Theme) {
    let at = |strategy: WearStrategy| wear.at(diameter_mm, strategy).ok();
    let mut parts = Vec::new();
    for strategy in WearStrategy::ALL.into_iter().filter(|strategy| wear.has(*strategy)) {
        let Some(point) = at(strategy) else {
            parts.push(format!("{}: no answer", strategy.name()));
            continue;
        };
        let bevel = units.angle(point.bevel.degrees());
        parts.push(match (strategy, point.gauge_length_mm) {
            (WearStrategy::FoundAgain, Some(_)) => {
                format!("{}: {bevel} at reach {}", strategy.name(), units.length(point.set))
            }
            (WearStrategy::FoundAgain, None) => {
                format!("{}: {bevel} at tilt {}", strategy.name(), units.angle(point.set))
            }
            _ => format!("{}: {bevel}", strategy.name()),
        });
    }
    let when = if pointed { "At" } else { "Today, at" };
    let words = format!("{when} {}: {}.", units.length(diameter_mm), parts.join("; "));
    ui.label(egui::RichText::new(words).font(theme.body()).color(theme.tone(Tone::Strong)));
}
