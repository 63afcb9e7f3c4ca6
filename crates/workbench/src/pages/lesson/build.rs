//! Where lessons are built: a step is what is current (and beside it) when it is added.

use bevelbench_notebook::{
    drawing::Part,
    quantity::Units,
    saved::{
        Bench,
        lesson::{Lesson, LessonStep, LessonView},
    },
};
use egui::{ComboBox, Rect, TextEdit, Ui, UiBuilder, WidgetInfo, pos2, vec2};

use crate::{
    model::{appearance::Tone, session::Session},
    pages::lesson::step::LessonPicture,
    toolkit::{
        theme::{Surface, Theme},
        widgets::{Emphasis, button, in_the_middle},
    },
};

/// What the page keeps from frame to frame.
#[derive(Debug, Default)]
pub struct LessonState {
    lesson: usize,
    step: usize,
    picture: LessonPicture,
    typing: bool,
}

/// What the page asks of the window.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LessonRequest {
    /// Show a lesson from a step on.
    Show(usize, usize),
}

impl LessonState {
    /// The lesson that is chosen, counted from zero.
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

    /// Closes what is being typed, when the page is left.
    pub fn leave(&mut self, session: &mut Session) {
        if std::mem::take(&mut self.typing) {
            session.end();
        }
    }
}

/// The page.
pub fn lesson_page(
    ui: &mut Ui,
    session: &mut Session,
    state: &mut LessonState,
    units: Units,
    theme: &Theme,
) -> Option<LessonRequest> {
    let rect = ui.available_rect_before_wrap();
    ui.painter().rect_filled(rect, 0.0, theme.surface(Surface::Canvas));
    let gap = theme.sizes.gap;
    let lessons = session.bench().lessons.len();
    state.lesson = state.lesson.min(lessons.saturating_sub(1));
    let steps = session.bench().lessons.get(state.lesson).map_or(0, |lesson| lesson.steps.len());
    state.step = state.step.min(steps.saturating_sub(1));

    let bar_height = 2.0 * theme.sizes.row + 3.0 * gap.normal;
    let bar = Rect::from_min_size(rect.min, vec2(rect.width(), bar_height));
    let editor_height = if steps > 0 { 3.0 * theme.sizes.row + 4.0 * gap.normal } else { 0.0 };
    let editor = Rect::from_min_max(pos2(rect.left(), rect.bottom() - editor_height), rect.max);
    for part in [bar, editor] {
        ui.painter().rect_filled(part, 0.0, theme.surface(Surface::Panel));
    }
    ui.painter().hline(bar.x_range(), bar.bottom().floor() + 0.5, theme.hairline());
    let inner = bar.shrink2(vec2(gap.wide, gap.normal));
    let request =
        ui.scope_builder(UiBuilder::new().max_rect(inner), |ui| head(ui, session, state, theme)).inner;

    let picture = Rect::from_min_max(pos2(rect.left(), bar.bottom() + 1.0), pos2(rect.right(), editor.top()));
    let lesson = session.bench().lessons.get(state.lesson);
    match lesson {
        Some(lesson) if state.step < lesson.steps.len() => {
            let key = (session.revision(), state.lesson, state.step, units);
            state.picture.paint(ui, picture, session.bench(), lesson, key, theme);
        }
        _ => {
            let words = if lesson.is_some() {
                "This lesson has no steps yet. Set the bench as the first step should show it (on Pair too, if two settings are to be compared), come back here and press “Add step”."
            } else {
                "No lessons yet. A lesson is a few steps, each a setting with a sentence under it, shown over the whole window. Press “New lesson”."
            };
            in_the_middle(ui, picture, words, theme);
        }
    }
    if steps > 0 && editor_height > 0.0 {
        ui.painter().hline(editor.x_range(), editor.top().floor() + 0.5, theme.hairline());
        let inner = editor.shrink2(vec2(gap.wide, gap.normal));
        ui.scope_builder(UiBuilder::new().max_rect(inner), |ui| edit_step(ui, session, state, theme));
    }
    request
}

fn head(ui: &mut Ui, session: &mut Session, state: &mut LessonState, theme: &Theme) -> Option<LessonRequest> {
    let gap = theme.sizes.gap;
    let mut request = None;
    ui.spacing_mut().item_spacing = vec2(gap.small + 2.0, gap.normal);
    let steps = session.bench().lessons.get(state.lesson).map_or(0, |lesson| lesson.steps.len());
    ui.horizontal(|ui| {
        choose_lesson(ui, session, state, theme);
        ui.add_enabled_ui(steps > 0, |ui| {
            if button(ui, "Show", Emphasis::Main, theme)
                .on_hover_text("Shows the lesson over the whole window; arrow keys or Page Up and Page Down lead through it")
                .clicked()
            {
                request = Some(LessonRequest::Show(state.lesson, 0));
            }
        });
        if button(ui, "New lesson", Emphasis::Plain, theme).clicked() {
            let taken = session.bench().lessons.iter().map(|lesson| lesson.title.as_str());
            let title = crate::model::parts::free_name("New lesson", taken);
            session.edit("New lesson", |bench| {
                bench.lessons.push(Lesson { title, steps: Vec::new() });
            });
            state.lesson = session.bench().lessons.len() - 1;
            state.step = 0;
        }
        let any = !session.bench().lessons.is_empty();
        ui.add_enabled_ui(any, |ui| {
            if button(ui, "Delete lesson", Emphasis::Plain, theme).clicked() {
                let index = state.lesson;
                session.edit("Delete a lesson", |bench| {
                    if index < bench.lessons.len() {
                        bench.lessons.remove(index);
                    }
                });
                state.step = 0;
            }
            title_field(ui, session, state, theme);
        });
    });
    ui.horizontal(|ui| {
        caption(ui, "Steps", theme);
        let names: Vec<String> = (1..=steps).map(|number| number.to_string()).collect();
        let names: Vec<&str> = names.iter().map(String::as_str).collect();
        if let Some(pressed) = crate::toolkit::widgets::tab_bar(ui, &names, state.step, theme) {
            state.leave(session);
            state.step = pressed;
            ui.ctx().request_repaint();
        }
        let ready = session.current().is_some() && !session.bench().lessons.is_empty();
        ui.add_enabled_ui(ready, |ui| {
            if button(ui, "Add step", Emphasis::Plain, theme)
                .on_hover_text("Adds what is in hand now, with what lies beside it on Pair, after the step that is shown")
                .clicked()
                && let Some(step) = LessonStep::of(session.bench())
            {
                let (lesson, at) = (state.lesson, if steps == 0 { 0 } else { state.step + 1 });
                session.edit("Add a step", |bench| {
                    if let Some(lesson) = bench.lessons.get_mut(lesson) {
                        lesson.steps.insert(at.min(lesson.steps.len()), step);
                    }
                });
                state.step = at;
            }
        });
    });
    request
}

fn choose_lesson(ui: &mut Ui, session: &mut Session, state: &mut LessonState, theme: &Theme) {
    let title = session
        .bench()
        .lessons
        .get(state.lesson)
        .map_or("no lesson".to_owned(), |lesson| lesson.title.clone());
    let mut chosen = None;
    let response = ComboBox::from_id_salt("lesson")
        .width(230.0)
        .truncate()
        .selected_text(egui::RichText::new(&title).font(theme.name()).color(theme.tone(Tone::Strong)))
        .show_ui(ui, |ui| {
            for (index, lesson) in session.bench().lessons.iter().enumerate() {
                if ui.selectable_label(index == state.lesson, &lesson.title).clicked() {
                    chosen = Some(index);
                }
            }
        })
        .response;
    response.widget_info(|| WidgetInfo::labeled(egui::Role::ComboBox, true, format!("Lesson: {title}")));
    if let Some(index) = chosen {
        state.leave(session);
        state.lesson = index;
        state.step = 0;
    }
}

/// A field whose typing is one undo step from the first letter until the focus is lost.
#[allow(clippy::too_many_arguments, reason = "a field with its label, its text and where it goes")]
fn typed(
    ui: &mut Ui,
    session: &mut Session,
    state: &mut LessonState,
    label: &str,
    mut text: String,
    rows: usize,
    theme: &Theme,
    apply: impl FnOnce(&mut Bench, String),
) {
    // The first word of its name is enough beside the field.
    caption(ui, label.split(' ').next().unwrap_or(label), theme);
    let field = if rows > 1 { TextEdit::multiline(&mut text) } else { TextEdit::singleline(&mut text) };
    let response = ui
        .add(
            field
                .id(ui.scope_id().with(("lesson text", label)))
                .font(theme.name())
                .desired_rows(rows)
                .desired_width(ui.available_width())
                .char_limit(600),
        )
        .accessible_name(label);
    if response.changed() {
        if !state.typing {
            session.begin(format!("Write {}", label.to_lowercase()));
            state.typing = true;
        }
        session.change(|bench| apply(bench, text));
    }
    if response.lost_focus() {
        state.leave(session);
    }
}

fn title_field(ui: &mut Ui, session: &mut Session, state: &mut LessonState, theme: &Theme) {
    let Some(title) = session.bench().lessons.get(state.lesson).map(|lesson| lesson.title.clone()) else {
        return;
    };
    let index = state.lesson;
    typed(ui, session, state, "Title of the lesson", title, 1, theme, |bench, text| {
        if let Some(lesson) = bench.lessons.get_mut(index) {
            lesson.title = text;
        }
    });
}

fn step_mut(bench: &mut Bench, lesson: usize, step: usize) -> Option<&mut LessonStep> {
    bench.lessons.get_mut(lesson)?.steps.get_mut(step)
}

fn edit_step(ui: &mut Ui, session: &mut Session, state: &mut LessonState, theme: &Theme) {
    let (lesson, step) = (state.lesson, state.step);
    let Some(shown) = session.bench().lessons.get(lesson).and_then(|all| all.steps.get(step)).cloned() else {
        return;
    };
    let count = session.bench().lessons.get(lesson).map_or(0, |all| all.steps.len());
    ui.spacing_mut().item_spacing = vec2(theme.sizes.gap.small + 2.0, theme.sizes.gap.normal);
    ui.horizontal_top(|ui| {
        typed(ui, session, state, "Caption", shown.caption.clone(), 3, theme, |bench, text| {
            if let Some(step) = step_mut(bench, lesson, step) {
                step.caption = text;
            }
        });
    });
    ui.horizontal(|ui| {
        let views: Vec<&str> = LessonView::ALL.iter().map(|view| view.words()).collect();
        if let Some(index) = choice(ui, "View", shown.view.words(), &views, 170.0, theme) {
            session.edit("Look at a step otherwise", |bench| {
                if let Some(step) = step_mut(bench, lesson, step) {
                    step.view = LessonView::ALL[index];
                }
            });
        }
        let mut parts = vec!["nothing"];
        parts.extend(Part::ALL.iter().map(|part| part.words()));
        let now = shown.highlight.map_or("nothing", Part::words);
        if let Some(index) = choice(ui, "Highlight", now, &parts, 150.0, theme) {
            session.edit("Highlight a part", |bench| {
                if let Some(step) = step_mut(bench, lesson, step) {
                    step.highlight = index.checked_sub(1).and_then(|index| Part::ALL.get(index).copied());
                }
            });
        }
        let mut moved = None;
        ui.add_enabled_ui(step > 0, |ui| {
            if button(ui, "Earlier", Emphasis::Plain, theme).clicked() {
                moved = Some(step - 1);
            }
        });
        ui.add_enabled_ui(step + 1 < count, |ui| {
            if button(ui, "Later", Emphasis::Plain, theme).clicked() {
                moved = Some(step + 1);
            }
        });
        if let Some(to) = moved {
            session.edit("Move a step", |bench| {
                if let Some(lesson) = bench.lessons.get_mut(lesson)
                    && to.max(step) < lesson.steps.len()
                {
                    lesson.steps.swap(step, to);
                }
            });
            state.step = to;
        }
        if button(ui, "Delete step", Emphasis::Plain, theme).clicked() {
            session.edit("Delete a step", |bench| {
                if let Some(lesson) = bench.lessons.get_mut(lesson)
                    && step < lesson.steps.len()
                {
                    lesson.steps.remove(step);
                }
            });
        }
    });
}

/// What a field is, beside it.
fn caption(ui: &mut Ui, words: &str, theme: &Theme) {
    ui.label(egui::RichText::new(words).font(theme.body()).color(theme.tone(Tone::Weak)));
}

/// A box that opens a list of words; the index of the one that was chosen.
fn choice(ui: &mut Ui, name: &str, now: &str, all: &[&str], width: f32, theme: &Theme) -> Option<usize> {
    caption(ui, name, theme);
    let mut chosen = None;
    let response = ComboBox::from_id_salt(("step", name))
        .width(width)
        .height(theme.sizes.row * 12.0)
        .truncate()
        .selected_text(egui::RichText::new(now).font(theme.name()).color(theme.tone(Tone::Strong)))
        .show_ui(ui, |ui| {
            for (index, words) in all.iter().enumerate() {
                if ui.selectable_label(*words == now, *words).clicked() {
                    chosen = Some(index);
                }
            }
        })
        .response;
    response.widget_info(|| WidgetInfo::labeled(egui::Role::ComboBox, true, format!("{name}: {now}")));
    chosen
}
