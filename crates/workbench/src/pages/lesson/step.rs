//! A step of a lesson as a picture with its figures and its caption.

use bevelbench_notebook::{
    answer::lesson::with_wheel,
    drawing::{
        Bounds, Drawing,
        pair_view::laid_over,
        svg::{Sheet, svg},
    },
    paper::picture::full_name,
    quantity::Units,
    saved::{
        Bench,
        lesson::{Lesson, LessonStep, LessonView},
    },
};
use egui::{Align2, Rect, Role, Sense, Ui, WidgetInfo, pos2, vec2};

use crate::{
    model::appearance::Tone,
    pages::{
        pair::{EvaluatedSetting, EvaluationOptions, Figure, plate},
        picture::sheet_of_shown,
    },
    toolkit::{
        canvas::{Canvas, Extras, Paper},
        theme::{Theme, Weight},
        view::View,
    },
};

/// The picture of a step, kept until another is shown or the bench changes.
#[derive(Debug, Default)]
pub(super) struct LessonPicture {
    canvas: Canvas,
    cached: Option<LessonStepCache>,
    /// Grows with every picture made: no two may look the same to the canvas.
    count: u64,
}

#[derive(Debug)]
struct LessonStepCache {
    key: Key,
    drawing: Drawing,
    seen: Option<Bounds>,
    shown: Vec<EvaluatedSetting>,
}

/// What a picture depends on: the bench's revision, lesson, step, units.
pub(super) type Key = (u64, usize, usize, Units);

impl LessonPicture {
    fn make(&mut self, bench: &Bench, step: &LessonStep, seen_in_all: Option<Bounds>, key: Key) {
        if self.cached.as_ref().is_some_and(|cached| cached.key == key) {
            return;
        }
        self.count += 1;
        let units = key.3;
        let alone = step.beside.is_none();
        let edge = alone && step.view == LessonView::Edge;
        let wanted = EvaluationOptions { dimensions: true, edge, ..EvaluationOptions::default() };
        let first = with_wheel(bench, &step.setting, step.wheel_diameter_mm);
        let mut shown = vec![EvaluatedSetting::of(&first, &step.setting, units, wanted)];
        if let Some(beside) = &step.beside {
            let second = with_wheel(bench, beside, step.beside_wheel_diameter_mm);
            shown.push(EvaluatedSetting::of(&second, beside, units, EvaluationOptions::default()));
        }
        let mut drawing = Drawing::new();
        let mut seen = None;
        for (index, one) in shown.iter().enumerate() {
            let (of_one, around) = match (step.view, &one.edge) {
                (LessonView::Edge, Some((edge, around))) if alone => (edge.clone(), Some(*around)),
                _ => (one.drawing.clone(), one.focus),
            };
            drawing = if index == 0 { of_one } else { laid_over(&drawing, &of_one) };
            seen = match (seen, around) {
                (Some(a), Some(b)) => Some(Bounds::union(a, b)),
                (a, b) => a.or(b),
            };
        }
        // From step to step only what really moves is seen to move.
        if step.view == LessonView::Side {
            seen = seen_in_all.or(seen);
        }
        self.cached = Some(LessonStepCache { key, drawing, seen, shown });
    }

    /// Paints a step: the picture, the figures over its upper right corner, the caption under it.
    pub(super) fn paint(
        &mut self,
        ui: &Ui,
        rect: Rect,
        bench: &Bench,
        lesson: &Lesson,
        key: Key,
        theme: &Theme,
    ) {
        let Some(step) = lesson.steps.get(key.2) else { return };
        let all = || {
            let benches = lesson.steps.iter().filter(|each| each.view == LessonView::Side);
            benches
                .filter_map(|each| {
                    let bench = with_wheel(bench, &each.setting, each.wheel_diameter_mm);
                    let (job, view) = bench.answer(&each.setting).ok()?;
                    bevelbench_notebook::drawing::side_view::focus(&job, Some(&view))
                })
                .reduce(Bounds::union)
        };
        if self.cached.as_ref().is_none_or(|cached| cached.key != key) {
            self.make(bench, step, all(), key);
        }
        let Some(cached) = &self.cached else { return };
        let gap = theme.sizes.gap;
        let caption_font = theme.font(Weight::Medium, theme.sizes.text.title);
        let caption = ui.painter().layout(
            if step.caption.is_empty() { "No caption yet.".to_owned() } else { step.caption.clone() },
            caption_font,
            theme.tone(Tone::Strong),
            (rect.width() - 2.0 * gap.section).max(100.0),
        );
        let band = (caption.size().y + 2.0 * gap.wide).min(rect.height() * 0.5);
        let picture = Rect::from_min_max(rect.min, pos2(rect.right(), rect.bottom() - band));
        let panel = figures_width(theme).min(picture.width() * 0.45);
        let margins = egui::epaint::MarginF32 {
            left: 26.0,
            right: 26.0 + panel,
            top: theme.sizes.text.title + 40.0,
            bottom: 30.0,
        };
        let view = cached
            .seen
            .map_or_else(|| View::new(picture, [0.0, 0.0], 1.0), |seen| View::fit(seen, picture, margins));
        let response = ui.interact(picture, ui.scope_id().with("step picture"), Sense::hover());
        let name = format!("Step {}: {}", key.2 + 1, step.view.words());
        response.widget_info(|| WidgetInfo::labeled(Role::Canvas, true, name.as_str()));
        let extras = Extras { paper: Paper::Plain, hovered: step.highlight, under_texts: &[] };
        self.canvas.paint(ui.painter(), &cached.drawing, self.count, &view, theme, extras);
        names(ui, picture, bench, step, theme);
        figures(ui, picture, panel, &cached.shown, key.3, theme);
        if let Some(why) = cached.shown.iter().find_map(|one| one.problem(key.3)) {
            let tone = theme.tone(Tone::Bad);
            let room = picture.width() - panel - 2.0 * gap.section;
            let galley = ui.painter().layout(why, theme.name(), tone, room.max(100.0));
            let at = picture.left_bottom() + vec2(gap.section, -galley.size().y - gap.wide);
            ui.painter().galley(at, galley, tone);
        }
        let below = Rect::from_min_max(pos2(rect.left(), picture.bottom()), rect.max);
        let painter = ui.painter().with_clip_rect(below);
        painter.rect_filled(below, 0.0, theme.surface(crate::toolkit::theme::Surface::Panel));
        painter.hline(below.x_range(), below.top().floor() + 0.5, theme.hairline());
        let response = ui.interact(below, ui.scope_id().with("caption"), Sense::hover());
        response.widget_info(|| WidgetInfo::labeled(Role::Label, true, step.caption.as_str()));
        painter.galley(below.min + vec2(gap.section, gap.wide), caption, theme.tone(Tone::Strong));
    }
}

impl LessonPicture {
    /// The step that is shown, as an SVG text: its picture, its caption, its figures.
    pub(super) fn picture(&self, bench: &Bench, lesson: &Lesson) -> Result<String, String> {
        let nothing = || "There is no step to draw yet.".to_owned();
        let cached = self.cached.as_ref().ok_or_else(nothing)?;
        let (.., index, units) = cached.key;
        let step = lesson.steps.get(index).ok_or_else(nothing)?;
        let title = format!("{}, step {} of {}", lesson.title, index + 1, lesson.steps.len());
        let shown: Vec<&EvaluatedSetting> = cached.shown.iter().collect();
        let who = match &step.beside {
            Some(beside) => {
                format!(
                    "A, solid: {}; B, dashed: {}",
                    full_name(bench, &step.setting),
                    full_name(bench, beside)
                )
            }
            None => full_name(bench, &step.setting),
        };
        let sheet = sheet_of_shown(title, &shown, &[Figure::Bevel, Figure::Facet], [who], units);
        let mut sheet = Sheet { window: cached.seen.map(|seen| seen.grown(6.0)), ..sheet };
        sheet.caption.insert(0, step.caption.clone());
        Ok(svg(&cached.drawing, &sheet))
    }
}

fn names(ui: &Ui, picture: Rect, bench: &Bench, step: &LessonStep, theme: &Theme) {
    let tool = bench.tool(step.setting.tool).map_or("", |tool| tool.name.as_str());
    let wheel = |diameter: Option<f64>| {
        diameter.map_or_else(String::new, |mm| format!(", wheel {} mm", (mm * 10.0).round() / 10.0))
    };
    let at = picture.min + vec2(16.0, 12.0);
    match &step.beside {
        None => {
            let font = theme.font(Weight::SemiBold, theme.sizes.text.strong);
            let words = format!("{tool}: {}", step.setting.name);
            let galley = ui.painter().layout_no_wrap(words, font, theme.tone(Tone::Strong));
            let pill = Rect::from_min_size(at, galley.size()).expand2(vec2(7.0, 4.0));
            ui.painter().rect_filled(pill, theme.corner(), theme.palette.pill);
            ui.painter().galley(at, galley, theme.tone(Tone::Strong));
        }
        Some(beside) => {
            let room = picture.width() / 2.0 - 60.0;
            let one = format!("{}{}", step.setting.name, wheel(step.wheel_diameter_mm));
            let other = format!("{}{}", beside.name, wheel(step.beside_wheel_diameter_mm));
            plate(ui, at, false, &one, room, theme);
            plate(ui, at + vec2(0.0, theme.sizes.text.strong * 2.1), true, &other, room, theme);
        }
    }
}

fn figures_width(theme: &Theme) -> f32 {
    theme.sizes.text.figure * 6.9
}

/// Bevel and facet of a step, large, in its upper right corner.
fn figures(ui: &Ui, picture: Rect, width: f32, shown: &[EvaluatedSetting], units: Units, theme: &Theme) {
    let left = picture.right() - width;
    let mut y = picture.top() + 14.0;
    let text = theme.sizes.text;
    let number = theme.font(Weight::SemiBold, text.figure * 1.25);
    for figure in [Figure::Bevel, Figure::Facet] {
        ui.painter().text(
            pos2(left, y),
            Align2::LEFT_TOP,
            figure.name(),
            theme.name(),
            theme.tone(Tone::Weak),
        );
        y += text.body * 1.4;
        for (index, one) in shown.iter().enumerate() {
            let words = figure.words(one.figure(figure), units.length);
            let mut x = left;
            if shown.len() > 1 {
                let size = text.strong * 1.5;
                let centre = pos2(left + size / 2.0, y + text.figure * 0.78);
                crate::pages::pair::letter(ui, centre, size, index == 1, theme);
                x += size + 8.0;
            }
            let tone = theme.tone(Tone::Strong);
            ui.painter().text(pos2(x, y), Align2::LEFT_TOP, words, number.clone(), tone);
            y += text.figure * 1.55;
        }
        y += theme.sizes.gap.normal;
    }
}
