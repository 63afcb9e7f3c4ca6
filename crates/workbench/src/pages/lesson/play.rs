//! A lesson shown step by step over the whole window, by the keyboard or a presenter's remote.

use bevelbench_notebook::{quantity::Units, saved::Bench};
use egui::{Align, Key, Layout, Rect, Ui, UiBuilder, pos2, vec2};

use crate::{
    model::appearance::{Tone, TypeScale},
    pages::lesson::step::LessonPicture,
    toolkit::{
        theme::{Surface, Theme, Weight},
        widgets::{Emphasis, button},
    },
};

/// A lesson being shown.
#[derive(Debug)]
pub struct Play {
    lesson: usize,
    step: usize,
    picture: LessonPicture,
}

impl Play {
    /// Shows a lesson from a step on.
    #[must_use]
    pub fn new(lesson: usize, step: usize) -> Self {
        Self { lesson, step, picture: LessonPicture::default() }
    }

    /// The lesson that is shown, counted from zero.
    #[must_use]
    pub fn lesson(&self) -> usize {
        self.lesson
    }

    /// The step that is shown, as an SVG text.
    ///
    /// # Errors
    /// The words that say why there is nothing to draw.
    pub fn picture(&self, bench: &Bench) -> Result<String, String> {
        let lesson = bench.lessons.get(self.lesson).ok_or("There is no lesson to draw yet.")?;
        self.picture.picture(bench, lesson)
    }

    /// The step that is shown, counted from zero.
    #[must_use]
    pub fn step(&self) -> usize {
        self.step
    }
}

/// The page over the whole window; `true` when it is to be closed.
pub fn play_page(
    ui: &mut Ui,
    bench: &Bench,
    revision: u64,
    state: &mut Play,
    units: Units,
    ordinary: &Theme,
) -> bool {
    let Some(lesson) = bench.lessons.get(state.lesson).filter(|lesson| !lesson.steps.is_empty()) else {
        return true;
    };
    let last = lesson.steps.len() - 1;
    let typing = ui.ctx().text_edit_focused();
    let (forward, back, leave) = ui.input(|i| {
        let any = |keys: &[Key]| !typing && keys.iter().any(|key| i.key_pressed(*key));
        (
            any(&[Key::ArrowRight, Key::ArrowDown, Key::PageDown]),
            any(&[Key::ArrowLeft, Key::ArrowUp, Key::PageUp]),
            any(&[Key::Escape]),
        )
    });
    let theme = Theme::new(ordinary.mode, TypeScale::Big);
    let rect = ui.max_rect();
    ui.painter().rect_filled(rect, 0.0, theme.surface(Surface::Panel));
    let foot_height = theme.sizes.row + 2.0 * theme.sizes.gap.small;
    let foot = Rect::from_min_max(pos2(rect.left(), rect.bottom() - foot_height), rect.max);
    let inner = foot.shrink2(vec2(theme.sizes.gap.margin, theme.sizes.gap.small));
    let (mut go_forward, mut go_back, mut close) = (forward, back, leave);
    let plain = Theme::new(ordinary.mode, TypeScale::Ordinary);
    ui.scope_builder(UiBuilder::new().max_rect(inner), |ui| {
        ui.horizontal_centered(|ui| {
            let title = format!("{}   {} of {}", lesson.title, state.step.min(last) + 1, last + 1);
            ui.label(
                egui::RichText::new(title)
                    .font(theme.font(Weight::Medium, plain.sizes.text.title))
                    .color(theme.tone(Tone::Weak)),
            );
            ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                ui.spacing_mut().item_spacing.x = plain.sizes.gap.normal;
                close |= button(ui, "Close", Emphasis::Plain, &plain).on_hover_text("Esc").clicked();
                ui.add_enabled_ui(state.step < last, |ui| {
                    go_forward |= button(ui, "Forward", Emphasis::Main, &plain)
                        .on_hover_text("Right arrow or Page Down")
                        .clicked();
                });
                ui.add_enabled_ui(state.step > 0, |ui| {
                    go_back |= button(ui, "Back", Emphasis::Plain, &plain)
                        .on_hover_text("Left arrow or Page Up")
                        .clicked();
                });
            });
        });
    });
    let before = state.step;
    if go_forward {
        state.step += 1;
    }
    if go_back {
        state.step = state.step.saturating_sub(1);
    }
    state.step = state.step.min(last);
    if state.step != before {
        ui.ctx().request_repaint();
    }
    let end = crate::pages::read_outs::cautions_over(ui, foot, &[], &plain).top();
    let above = Rect::from_min_max(rect.min, pos2(rect.right(), end));
    let key = (revision, state.lesson, state.step, units);
    state.picture.paint(ui, above, bench, lesson, key, &theme);
    close
}
