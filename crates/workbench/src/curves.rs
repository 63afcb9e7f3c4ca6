//! Curves along the edge: bevel to the axis, wedge angle, facet width, setback, of the setting in hand and of one it is
//! compared with.

use bevelbench_notebook::{
    bench::Unanswered,
    edge_curve::{EdgeCurve, Over, multiples, pieces, round_step},
    quantity::LengthUnit,
    saved::Id,
    swept::{Swept, swept},
    words::{capital, validity_words},
};
use egui::{Align2, ComboBox, Rect, Sense, Stroke, Ui, UiBuilder, Vec2b, WidgetInfo, pos2, vec2};
use egui_plot::{AxisHints, GridInput, GridMark, Line, LineStyle, Plot, PlotUi, Points, VLine};

use crate::{
    session::Session,
    theme::{Surface, Theme, Tone, Weight},
    tip::{EDGE_POINTS, NoShape, TipState, no_shape_words, refusal},
    units::Units,
    widgets::tab_bar,
};

/// What the page keeps from frame to frame.
#[derive(Debug, Default)]
pub struct CurvesState {
    over: Over,
    /// The setting it is compared with.
    against: Option<Id>,
    other: Option<Other>,
}

/// The other setting's shape, kept until the bench changes.
#[derive(Debug)]
struct Other {
    key: (u64, Id),
    name: String,
    shape: Result<Swept, NoShape>,
}

impl CurvesState {
    /// The setting that the one in hand is compared with.
    #[must_use]
    pub fn against(&self) -> Option<Id> {
        self.against
    }

    /// The shape of that setting and its name, if it has one.
    #[must_use]
    pub fn second(&self) -> Option<(&Swept, &str)> {
        let other = self.other.as_ref()?;
        other.shape.as_ref().ok().map(|shape| (shape, other.name.as_str()))
    }

    fn work_out(&mut self, session: &Session) {
        let bench = session.bench();
        self.against = self.against.filter(|id| bench.setting(*id).is_some());
        let Some(id) = self.against else {
            self.other = None;
            return;
        };
        let key = (session.revision(), id);
        if self.other.as_ref().is_some_and(|other| other.key == key) {
            return;
        }
        let Some(entry) = bench.setting(id) else { return };
        let shape = bench.answer(entry).map_err(|why: Unanswered| NoShape::Unanswered(why)).and_then(
            |(job, view)| swept(&job, &view, entry.swing.as_ref(), EDGE_POINTS).map_err(NoShape::NotSwept),
        );
        self.other = Some(Other { key, name: named(session, id), shape });
    }
}

/// Tool and setting in one line.
fn named(session: &Session, id: Id) -> String {
    let bench = session.bench();
    let Some(entry) = bench.setting(id) else { return String::new() };
    match bench.tool(entry.tool) {
        Some(tool) => format!("{}: {}", tool.name, entry.name),
        None => entry.name.clone(),
    }
}

/// The page over the whole of what is left of the window.
pub fn curves_page(
    ui: &mut Ui,
    session: &Session,
    state: &mut CurvesState,
    tip: &mut TipState,
    units: Units,
    theme: &Theme,
) {
    let whole = ui.available_rect_before_wrap();
    ui.painter().rect_filled(whole, 0.0, theme.surface(Surface::Panel));
    state.work_out(session);
    let mut marked = tip.marked;
    let Some(shape) = tip.shape(session) else { return };
    let inner = whole.shrink2(vec2(theme.sizes.gap.margin, theme.sizes.gap.normal));
    ui.scope_builder(UiBuilder::new().max_rect(inner).id_salt("curves"), |ui| {
        ui.spacing_mut().item_spacing.y = theme.sizes.gap.small;
        head(ui, session, state, theme);
        let swept = match shape {
            Ok(swept) => swept,
            Err(why) => {
                refusal(ui, whole, &no_shape_words(why, units), theme);
                return;
            }
        };
        let other = state.other.as_ref();
        let second = other.and_then(|other| other.shape.as_ref().ok());
        legend(ui, session, other, units, theme);
        marked = marked.filter(|&i| i < swept.points().len());
        readings(ui, swept, second, state.over, marked, units, theme);
        let note_height = theme.sizes.text.small * 2.7;
        let height =
            ((ui.available_height() - note_height - 26.0) / 4.0 - ui.spacing().item_spacing.y).max(60.0);
        let chart = Chart { swept, second, over: state.over, marked, units, theme };
        let mut hovered = None;
        for (i, curve) in EdgeCurve::ALL.into_iter().enumerate() {
            let last = i + 1 == EdgeCurve::ALL.len();
            hovered = hovered.or(chart.plot(ui, curve, if last { height + 26.0 } else { height }, last));
        }
        if hovered.is_some() && hovered != marked {
            marked = hovered;
            ui.ctx().request_repaint();
        }
        note(ui, validity_words(swept), theme);
    });
    tip.marked = marked;
}

fn head(ui: &mut Ui, session: &Session, state: &mut CurvesState, theme: &Theme) {
    ui.horizontal(|ui| {
        let chosen = usize::from(state.over == Over::Across);
        if let Some(index) = tab_bar(ui, &["Along the edge", "Across the tool"], chosen, theme) {
            state.over = if index == 0 { Over::Along } else { Over::Across };
            ui.ctx().request_repaint();
        }
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            let hand = session.in_hand().map(|hand| hand.id);
            let text = state.against.map_or("nothing".to_owned(), |id| named(session, id));
            let mut against = state.against;
            let combo = ComboBox::from_id_salt("against")
                .width(236.0)
                .truncate()
                .selected_text(&text)
                .show_ui(ui, |ui| {
                    ui.selectable_value(&mut against, None, "nothing");
                    for entry in &session.bench().settings {
                        // The saved form of the one in hand is offered too while that is moved.
                        if Some(entry.id) != hand || session.is_moved() {
                            let name = named(session, entry.id);
                            let name =
                                if Some(entry.id) == hand { format!("{name}, as saved") } else { name };
                            ui.selectable_value(&mut against, Some(entry.id), name);
                        }
                    }
                });
            combo.response.widget_info(|| {
                WidgetInfo::labeled(egui::Role::ComboBox, true, format!("Compare with: {text}"))
            });
            ui.label(egui::RichText::new("Compare with").font(theme.body()).color(theme.tone(Tone::Weak)));
            if against != state.against {
                state.against = against;
                state.work_out(session);
                ui.ctx().request_repaint();
            }
        });
    });
}

/// Which line is which.
fn legend(ui: &mut Ui, session: &Session, other: Option<&Other>, units: Units, theme: &Theme) {
    let Some(hand) = session.in_hand() else { return };
    let Some(other) = other else { return };
    let tool = session.bench().tool(hand.tool).map_or("", |tool| tool.name.as_str());
    let first = format!("A  {tool}: {}", hand.name);
    let second = match &other.shape {
        Ok(_) => format!("B  {}", other.name),
        Err(why) => format!("B  {}: {}", other.name, no_shape_words(why, units).reason),
    };
    ui.horizontal(|ui| {
        for (words, dashed) in [(first, false), (second, true)] {
            let stroke = stroke(dashed, theme);
            let galley = ui.painter().layout_no_wrap(words.clone(), theme.name(), theme.tone(Tone::Strong));
            let size = vec2(galley.size().x + 42.0, theme.sizes.text.body * 1.6);
            let (rect, response) = ui.allocate_exact_size(size, Sense::hover());
            response.widget_info(|| WidgetInfo::labeled(egui::Role::Label, true, &words));
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
        line(ui, "Point at a curve to read it; the point is marked on the Tip page too.", Tone::Weak);
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

/// One of the four plots.
struct Chart<'a> {
    swept: &'a Swept,
    second: Option<&'a Swept>,
    over: Over,
    marked: Option<usize>,
    units: Units,
    theme: &'a Theme,
}

impl Chart<'_> {
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
        let frame = shown.response.rect;
        shown.response.widget_info(|| WidgetInfo::labeled(egui::Role::Image, true, curve.name()));
        self.caption(ui, frame, curve, last);
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

    /// The plot's name and its unit, in its upper left corner.
    fn caption(&self, ui: &Ui, frame: Rect, curve: EdgeCurve, last: bool) {
        let theme = self.theme;
        let painter = ui.painter().with_clip_rect(frame);
        let unit = if curve.is_angle() { "degrees" } else { self.unit_name() };
        let font = theme.font(Weight::SemiBold, theme.sizes.text.body);
        let name = painter.layout_no_wrap(curve.name().to_owned(), font, theme.tone(Tone::Strong));
        let unit = painter.layout_no_wrap(unit.to_owned(), theme.small(), theme.tone(Tone::Weak));
        let at = frame.left_top() + vec2(46.0, 4.0);
        let size = vec2(name.size().x + unit.size().x + 18.0, name.size().y + 2.0);
        painter.rect_filled(Rect::from_min_size(at, size), 3.0, theme.palette.pill);
        let unit_at = at + vec2(name.size().x + 11.0, name.size().y - unit.size().y);
        painter.galley((at + vec2(5.0, 1.0)).round(), name, egui::Color32::PLACEHOLDER);
        painter.galley(unit_at.round(), unit, egui::Color32::PLACEHOLDER);
        if last {
            let words = match self.over {
                Over::Along => {
                    format!("{} along the edge from the nose, as seen from the handle", self.unit_name())
                }
                Over::Across => format!("{} across the tool, as seen from the handle", self.unit_name()),
            };
            let words = painter.layout_no_wrap(words, theme.small(), theme.tone(Tone::Weak));
            let at = frame.right_bottom() - vec2(4.0, 22.0) - words.size();
            let paper = Rect::from_min_size(at, words.size()).expand2(vec2(4.0, 1.0));
            painter.rect_filled(paper, 3.0, theme.palette.pill);
            painter.galley(at.round(), words, egui::Color32::PLACEHOLDER);
        }
    }
}

/// Marks at round numbers, at least so many of the plot's own least steps apart.
fn marks(input: &GridInput, apart: f64) -> Vec<GridMark> {
    let step = round_step(input.base_step_size * apart * 2.0);
    multiples(step, input.bounds.0, input.bounds.1)
        .into_iter()
        .map(|value| GridMark { value, step_size: step })
        .collect()
}

/// A mark's number with as many decimals as its step needs, and a real minus sign.
fn number(mark: GridMark) -> String {
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
