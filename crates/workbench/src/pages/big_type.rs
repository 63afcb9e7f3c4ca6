//! Big type: the drawing and the chosen numbers only, to be read from the back row, with a spotlight at the pointer.

use bevelbench_notebook::{
    drawing::{
        Bounds,
        pair_view::laid_over,
        svg::{Sheet, svg},
    },
    paper::picture::full_name,
    quantity::Units,
};
use egui::{
    Align2, Color32, FontId, Key, Mesh, Rect, Role, Sense, Shape, Ui, UiBuilder, Vec2, WidgetInfo, pos2, vec2,
};

use crate::{
    model::{
        appearance::{Tone, TypeScale},
        session::Session,
    },
    pages::{
        pair::{EvaluatedSetting, EvaluationOptions, Figure, letter},
        picture::sheet_of_shown,
    },
    toolkit::{
        canvas::{Canvas, Extras, Paper},
        theme::{Surface, Theme, Weight, colour::faded},
        view::View,
        widgets::{Emphasis, button},
    },
};

/// The height of a digit as a fraction of the size of its font: Bevelbench Sans, measured from its outlines.
const DIGIT_FRACTION: f32 = 0.727;
/// The least height of a digit as a fraction of the height of the picture.
pub const DIGIT_OF_PICTURE: f32 = 1.0 / 15.0;

/// The page.
#[derive(Debug)]
pub struct BigType {
    canvas: Canvas,
    chosen: Vec<Figure>,
    spotlight: bool,
    /// Whether the setting beside is shown too.
    with_beside: bool,
    cached: Option<BigTypeCache>,
}

#[derive(Debug)]
struct BigTypeCache {
    key: (u64, Units),
    shown: Vec<EvaluatedSetting>,
    drawing: bevelbench_notebook::drawing::Drawing,
}

/// The size of the figures' font for a window of a height, in points.
#[must_use]
pub fn figure_size(height: f32) -> f32 {
    // Slightly more than the least, so that rounding to pixels cannot fall below it.
    (height * DIGIT_OF_PICTURE / DIGIT_FRACTION * 1.04).max(24.0)
}

impl BigType {
    /// The page; with the setting beside as well, or without.
    #[must_use]
    pub fn new(with_beside: bool) -> Self {
        Self {
            canvas: Canvas::new(),
            chosen: vec![Figure::Bevel, Figure::Across, Figure::Facet, Figure::Gauge],
            spotlight: false,
            with_beside,
            cached: None,
        }
    }
}

/// The page over the whole window; `true` when it is to be closed.
pub fn big_type_page(
    ui: &mut Ui,
    session: &Session,
    state: &mut BigType,
    units: Units,
    ordinary: &Theme,
) -> bool {
    let theme = Theme::new(ordinary.mode, TypeScale::Big);
    let rect = ui.max_rect();
    ui.painter().rect_filled(rect, 0.0, theme.surface(Surface::Panel));
    let Some(current) = session.current() else { return true };
    make(session, state, units);
    let Some(cached) = &state.cached else { return true };

    let count = cached.shown.len();
    let size = figure_size(rect.height());
    let font = theme.font(Weight::SemiBold, size);
    // As wide as the widest number that is usual.
    let widest = if count > 1 { "−188.8°" } else { "188.88 mm" };
    let column = wide(ui, widest, &font, &theme) + theme.sizes.gap.margin;
    let side = column * count as f32 + 2.0 * theme.sizes.gap.margin;
    let foot_height = theme.sizes.row + 2.0 * theme.sizes.gap.small;
    let foot = Rect::from_min_max(pos2(rect.left(), rect.bottom() - foot_height), rect.max);
    let cautions = session.outcome().map(|outcome| outcome.cautions.as_slice()).unwrap_or_default();
    let plain = Theme::new(ordinary.mode, TypeScale::Ordinary);
    let end = crate::pages::read_outs::cautions_over(ui, foot, cautions, &plain).top();
    let picture = Rect::from_min_max(rect.min, pos2((rect.right() - side).max(rect.left()), end));
    let numbers = Rect::from_min_max(pos2(picture.right(), rect.top()), pos2(rect.right(), end));

    let seen = cached.shown.iter().filter_map(|s| s.focus).reduce(Bounds::union);
    let margins = egui::epaint::MarginF32 { left: 30.0, right: 30.0, top: 96.0, bottom: 56.0 };
    let view =
        seen.map_or_else(|| View::new(picture, [0.0, 0.0], 1.0), |seen| View::fit(seen, picture, margins));
    let response = ui.interact(picture, ui.scope_id().with("big picture"), Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Canvas, true, "Side view in big type"));
    let extras = Extras { paper: Paper::Plain, hovered: None, under_texts: &[] };
    state.canvas.paint(ui.painter(), &cached.drawing, session.revision(), &view, &theme, extras);
    ui.painter().vline(numbers.left().floor() + 0.5, numbers.y_range(), theme.hairline());

    if let Some(why) = cached.shown.iter().find_map(|one| one.problem(units)) {
        let tone = theme.tone(Tone::Bad);
        let galley = ui.painter().layout(why, theme.name(), tone, (picture.width() - 40.0).max(100.0));
        let at = picture.left_bottom() + vec2(20.0, -galley.size().y - 14.0);
        ui.painter().galley(at, galley, tone);
    }
    let tool = session.bench().tool(current.tool).map_or("", |tool| tool.name.as_str());
    let names = [Some(format!("{tool}: {}", current.name)), session.beside().map(|b| b.name.clone())];
    for (index, name) in names.into_iter().take(count).enumerate() {
        let Some(name) = name else { continue };
        let at = picture.left_top() + vec2(18.0, 14.0 + 36.0 * index as f32);
        if count > 1 {
            crate::pages::pair::plate(ui, at, index == 1, &name, picture.width() - 60.0, &theme);
        } else {
            let font = theme.font(Weight::SemiBold, theme.sizes.text.title);
            ui.painter().text(at, Align2::LEFT_TOP, name, font, theme.tone(Tone::Strong));
        }
    }
    let shown: Vec<Figure> = Figure::ALL.into_iter().filter(|figure| state.chosen.contains(figure)).collect();
    figures(ui, numbers, &cached.shown, &shown, column, &font, units, &theme);
    let close = controls(ui, foot, state, session.beside().is_some(), &theme);
    if state.spotlight {
        spotlight(ui, picture, &theme);
    }
    close || ui.input(|i| i.key_pressed(Key::Escape))
}

impl BigType {
    /// What the page shows, as an SVG text: the drawing and the chosen figures.
    ///
    /// # Errors
    /// The words that say why there is nothing to draw.
    pub fn picture(&self, session: &Session, units: Units) -> Result<String, String> {
        let (Some(cached), Some(current)) = (&self.cached, session.current()) else {
            return Err("There is nothing to draw yet.".to_owned());
        };
        let name = |entry| full_name(session.bench(), entry);
        let title = match session.beside().filter(|_| cached.shown.len() > 1) {
            Some(beside) => format!("A: {}; B: {}", name(current), name(beside)),
            None => name(current),
        };
        let shown: Vec<&EvaluatedSetting> = cached.shown.iter().collect();
        let chosen: Vec<Figure> = Figure::ALL.into_iter().filter(|f| self.chosen.contains(f)).collect();
        let sheet = sheet_of_shown(title, &shown, &chosen, [], units);
        let window = cached.shown.iter().filter_map(|s| s.focus).reduce(Bounds::union).map(|b| b.grown(10.0));
        Ok(svg(&cached.drawing, &Sheet { window, ..sheet }))
    }
}

fn wide(ui: &Ui, words: &str, font: &FontId, theme: &Theme) -> f32 {
    ui.painter().layout_no_wrap(words.to_owned(), font.clone(), theme.tone(Tone::Strong)).size().x
}

fn make(session: &Session, state: &mut BigType, units: Units) {
    let key = (session.revision(), units);
    if state.cached.as_ref().is_some_and(|cached| cached.key == key) {
        return;
    }
    let bench = session.bench();
    let Some(current) = session.current() else { return };
    let with = EvaluationOptions { dimensions: true, ..EvaluationOptions::default() };
    let mut shown = vec![EvaluatedSetting::of(bench, current, units, with)];
    let mut drawing = shown.first().map(|one| one.drawing.clone()).unwrap_or_default();
    if let Some(beside) = session.beside().filter(|_| state.with_beside) {
        let second = EvaluatedSetting::of(bench, beside, units, EvaluationOptions::default());
        drawing = laid_over(&drawing, &second.drawing);
        shown.push(second);
    }
    state.cached = Some(BigTypeCache { key, shown, drawing });
}

#[allow(clippy::too_many_arguments, reason = "one call, each a different thing to show")]
fn figures(
    ui: &Ui,
    rect: Rect,
    shown: &[EvaluatedSetting],
    chosen: &[Figure],
    column: f32,
    font: &FontId,
    units: Units,
    theme: &Theme,
) {
    let left = rect.left() + theme.sizes.gap.margin;
    let caption = theme.font(Weight::Medium, theme.sizes.text.title);
    let mut top = rect.top() + theme.sizes.gap.wide;
    if shown.len() > 1 {
        let size = theme.sizes.text.title * 1.6;
        for index in 0..shown.len() {
            let x = left + column * index as f32 + size / 2.0;
            letter(ui, pos2(x, top + size / 2.0), size, index == 1, theme);
        }
        top += size + theme.sizes.gap.normal;
    }
    let row = ((rect.bottom() - top) / chosen.len().max(1) as f32).min(font.size * 1.2 + caption.size * 2.4);
    for (index, figure) in chosen.iter().enumerate() {
        let y = top + row * index as f32;
        if index > 0 {
            ui.painter().hline(left..=rect.right() - theme.sizes.gap.margin, y, theme.hairline());
        }
        let accessible_text: Vec<String> =
            shown.iter().map(|one| figure.words(one.figure(*figure), units.length)).collect();
        let named = if shown.len() > 1 && !accessible_text[0].ends_with('°') {
            format!("{}, {}", figure.name(), unit_of(&accessible_text[0]))
        } else {
            figure.name().to_owned()
        };
        let at = pos2(left, y + theme.sizes.gap.normal);
        ui.painter().text(at, Align2::LEFT_TOP, named, caption.clone(), theme.tone(Tone::Weak));
        for (place, words) in accessible_text.iter().enumerate() {
            let words = if shown.len() > 1 { bare(words) } else { words.as_str() };
            let at = pos2(left + column * place as f32, y + theme.sizes.gap.normal + caption.size * 1.15);
            ui.painter().text(at, Align2::LEFT_TOP, words, font.clone(), theme.tone(Tone::Strong));
        }
        let line = Rect::from_min_size(pos2(left, y), vec2(rect.width(), row));
        let response = ui.interact(line, ui.scope_id().with(("big figure", index)), Sense::hover());
        response.widget_info(|| {
            WidgetInfo::labeled(
                Role::Label,
                true,
                format!("{}: {}", figure.name(), accessible_text.join(", ")),
            )
        });
    }
}

/// A number without its unit, where the unit stands in the caption; a degree's ring stays.
fn bare(words: &str) -> &str {
    words.strip_suffix(" mm").or_else(|| words.strip_suffix('″')).unwrap_or(words)
}

fn unit_of(words: &str) -> &'static str {
    if words.ends_with('″') { "inch" } else { "mm" }
}

/// The foot: what is shown, the spotlight, the way out.
fn controls(ui: &mut Ui, rect: Rect, state: &mut BigType, has_beside: bool, theme: &Theme) -> bool {
    let mut close = false;
    let plain = Theme::new(theme.mode, TypeScale::Ordinary);
    ui.painter().hline(rect.x_range(), rect.top().floor() + 0.5, theme.hairline());
    let inner = rect.shrink2(vec2(theme.sizes.gap.margin, theme.sizes.gap.small));
    ui.scope_builder(UiBuilder::new().max_rect(inner), |ui| {
        ui.horizontal_centered(|ui| {
            ui.spacing_mut().item_spacing.x = plain.sizes.gap.small;
            for figure in Figure::ALL {
                let mut on = state.chosen.contains(&figure);
                let text = egui::RichText::new(figure.name()).font(plain.body());
                if ui.checkbox(&mut on, text).changed() {
                    if on {
                        // Four rows are what a window of 720 points holds at this size.
                        state.chosen.truncate(3);
                        state.chosen.push(figure);
                    } else {
                        state.chosen.retain(|one| *one != figure);
                    }
                }
            }
            if has_beside
                && ui
                    .checkbox(&mut state.with_beside, egui::RichText::new("A and B").font(plain.body()))
                    .changed()
            {
                state.cached = None;
            }
            ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                close = button(ui, "Close", Emphasis::Plain, &plain).on_hover_text("B or Esc").clicked();
                let text = egui::RichText::new("Spotlight (S)").font(plain.body());
                ui.checkbox(&mut state.spotlight, text);
            });
        });
    });
    if !ui.ctx().text_edit_focused() && ui.input(|i| i.key_pressed(Key::S)) {
        state.spotlight = !state.spotlight;
        ui.ctx().request_repaint();
    }
    close
}

/// Everything but a round place at the pointer is dimmed.
pub(crate) fn spotlight(ui: &Ui, rect: Rect, theme: &Theme) {
    let Some(at) = ui.input(|i| i.pointer.hover_pos()).filter(|at| rect.contains(*at)) else { return };
    let inner = rect.height() * 0.16;
    let soft = inner * 1.12;
    let far = rect.width() + rect.height();
    let dim = theme.palette.scrim;
    let mut mesh = Mesh::default();
    let corners = 72_u32;
    for i in 0..=corners {
        let out = Vec2::angled(std::f32::consts::TAU * i as f32 / corners as f32);
        mesh.colored_vertex(at + out * inner, faded(dim, 0.0));
        mesh.colored_vertex(at + out * soft, dim);
        mesh.colored_vertex(at + out * far, dim);
        if i > 0 {
            let (a, b) = (3 * (i - 1), 3 * i);
            for step in 0..2 {
                mesh.add_triangle(a + step, a + step + 1, b + step);
                mesh.add_triangle(b + step, a + step + 1, b + step + 1);
            }
        }
    }
    let painter = ui.painter().with_clip_rect(rect);
    painter.add(Shape::mesh(mesh));
    painter.circle_stroke(at, inner, egui::Stroke::new(2.0, ring(theme)));
}

fn ring(theme: &Theme) -> Color32 {
    theme.palette.accent
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]
mod tests {
    use super::*;
    use crate::model::appearance::Mode;

    // The issue's own rule: a digit is at least a fifteenth of the picture's height. Measured from the ink of the font.
    #[test]
    fn digits_are_a_fifteenth_of_the_picture_or_taller() {
        let ctx = egui::Context::default();
        let theme = Theme::new(Mode::Light, TypeScale::Big);
        theme.apply(&ctx);
        for height in [720.0_f32, 800.0, 1080.0] {
            let mut least = f32::INFINITY;
            for _ in 0..2 {
                let mut output = ctx.run_ui(egui::RawInput::default(), |ui| {
                    let font = theme.font(Weight::SemiBold, figure_size(height));
                    for digit in '0'..='9' {
                        let galley = ui.painter().layout_no_wrap(
                            digit.to_string(),
                            font.clone(),
                            theme.tone(Tone::Strong),
                        );
                        least = least.min(galley.mesh_bounds.height());
                    }
                });
                output.textures_delta.clear();
            }
            assert!(least >= height * DIGIT_OF_PICTURE, "{height}: {least}");
            // The ink's box is the glyph's, with at most a few pixels of air: the font's own fraction is the true measure.
            assert!(figure_size(height) * DIGIT_FRACTION >= height * DIGIT_OF_PICTURE);
        }
    }
}
