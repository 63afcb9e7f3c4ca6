//! At the grinder: the chosen setting as big rows, to be set and ticked off in order, read from where the switch is.

use bevelbench_geometry::{
    math::Quantity,
    side::{Job, SideView},
};
use bevelbench_notebook::{
    quantity::Units,
    saved::{Bench, SettingEntry, table},
    words::{GrinderStep, HABIT, at_the_grinder_steps, caution_words, further_steps_words},
};
use egui::{Align, Frame, Key, Layout, Margin, Rect, Role, Sense, Ui, Vec2, WidgetInfo, pos2};

use crate::{
    model::{appearance::Tone, session::Session},
    toolkit::{
        theme::{Surface, Theme, Weight},
        widgets::{Emphasis, button, caution_line},
    },
};

/// Which rows are ticked.
#[derive(Debug, Clone, Default)]
pub struct AtGrinder {
    ticked: Vec<bool>,
    /// What was last set at this grinder: numbers equal to these are greyed.
    left_at: Vec<(Quantity, f64)>,
    revision: u64,
}

impl AtGrinder {
    /// Opens the page; `left_at` is what stands on the rig from the last setting that was ticked off.
    #[must_use]
    pub fn new(left_at: Vec<(Quantity, f64)>) -> Self {
        Self { ticked: Vec::new(), left_at, revision: 0 }
    }
}

/// What the page says when it is closed: the numbers that now stand on the rig, if all were ticked.
pub type LeftAt = Vec<(Quantity, f64)>;

/// The page over the whole window. Returns `Some` when it is to be closed.
pub fn at_grinder_page(
    ui: &mut Ui,
    session: &Session,
    state: &mut AtGrinder,
    units: Units,
    theme: &Theme,
) -> Option<Option<LeftAt>> {
    let leave = ui.input(|i| i.key_pressed(Key::Escape));
    let mut close = leave.then_some(None);
    let rect = ui.max_rect();
    ui.painter().rect_filled(rect, 0.0, theme.surface(Surface::Panel));
    let Some(current) = session.current() else { return Some(None) };
    let bench = session.bench();
    let rig = bench.rig(current.rig);
    let tool = bench.tool(current.tool).map_or("", |tool| tool.name.as_str());
    let wheel = rig.and_then(|rig| rig.wheel(current.wheel)).map_or("", |wheel| wheel.name.as_str());
    let outcome = session.outcome();
    let answered =
        outcome.and_then(|o| o.job.as_ref().zip(o.result.as_ref().ok()).map(|(job, view)| (o, job, view)));
    // Type that reads from two metres: as large as the window allows.
    let more_rows = current.further_steps.len() as f32;
    let unit = (rect.height() / (20.0 + 2.65 * more_rows)).min(rect.width() / 30.0).clamp(18.0, 64.0);
    Frame::new().inner_margin(Margin::same((unit * 0.9).min(60.0) as i8)).show(ui, |ui| {
        ui.spacing_mut().item_spacing.y = unit * 0.3;
        if heading(ui, &format!("{tool}: {}", current.name), unit, theme) {
            close = Some(None);
        }
        ui.label(
            egui::RichText::new(format!("{} · {wheel}", rig.map_or("", |rig| rig.name.as_str())))
                .font(theme.font(Weight::Regular, unit * 0.55))
                .color(theme.tone(Tone::Weak)),
        );
        ui.label(
            egui::RichText::new(HABIT)
                .font(theme.font(Weight::Medium, unit * 0.56))
                .color(theme.tone(Tone::Caution)),
        );
        let Some((outcome, job, view)) = answered else {
            let words = outcome.and_then(|o| o.result.as_ref().err()).map(|why| {
                bevelbench_notebook::words::unanswered_words(why, &|mm| units.length(mm)).together()
            });
            ui.label(
                egui::RichText::new(words.unwrap_or_default())
                    .font(theme.font(Weight::Medium, unit * 0.7))
                    .color(theme.tone(Tone::Bad)),
            );
            return;
        };
        let (steps, own) = numbers_to_set(bench, current, job, view, units);
        if state.revision != session.revision() || state.ticked.len() != steps.len() {
            state.ticked = vec![false; steps.len()];
            state.revision = session.revision();
        }
        tick_by_key(ui, state);
        for (index, step) in steps.iter().enumerate() {
            // A further step is never set already: the one before it stands there first.
            let already = index < own
                && state
                    .left_at
                    .iter()
                    .any(|(q, value)| *q == step.quantity && (value - step.value).abs() < 0.05);
            if big_row(ui, index, step, state.ticked[index], already, unit, theme) {
                state.ticked[index] = !state.ticked[index];
            }
        }
        let all = state.ticked.iter().all(|done| *done);
        ui.horizontal(|ui| {
            ui.label(
                egui::RichText::new(format!(
                    "Bevel at the edge {}, across the facet {}",
                    units.angle(view.bevel().degrees()),
                    units.angle(view.facet.across.degrees())
                ))
                .font(theme.font(Weight::Medium, unit * 0.6))
                .color(theme.tone(Tone::Strong)),
            );
            if all {
                ui.label(
                    egui::RichText::new("All set.")
                        .font(theme.font(Weight::SemiBold, unit * 0.6))
                        .color(theme.tone(Tone::Good)),
                );
                if button(ui, "Done", Emphasis::Main, theme).clicked() {
                    close = Some(Some(left_standing(&steps, own)));
                }
            }
        });
        let mut large = theme.clone();
        large.sizes.text.body = unit * 0.42;
        for caution in &outcome.cautions {
            let tone = if caution.is_warning() { Tone::Caution } else { Tone::Weak };
            caution_line(ui, &caution_words(caution, &|mm| units.length(mm)), tone, &large);
        }
    });
    close
}

/// Every number of the setting and of its further steps, in the order in which they are set; and how many are the
/// setting's own.
fn numbers_to_set(
    bench: &Bench,
    current: &SettingEntry,
    job: &Job,
    view: &SideView,
    units: Units,
) -> (Vec<GrinderStep>, usize) {
    let length = |mm: f64| units.length(mm);
    let mut steps = at_the_grinder_steps(job, view, &table::at_hand(bench, current), &length);
    let own = steps.len();
    if let Some(relief) = current.relief_if_any(job, view) {
        steps.extend(further_steps_words(&current.further_steps, &relief, &length));
    }
    (steps, own)
}

/// What stands on the rig when all is done: of every quantity what was set last. Once a further step has moved
/// anything, the gauge length of the first is no more.
fn left_standing(steps: &[GrinderStep], own: usize) -> LeftAt {
    let mut left: LeftAt = Vec::with_capacity(steps.len());
    for (index, step) in steps.iter().enumerate() {
        left.retain(|(quantity, _)| {
            *quantity != step.quantity && (index < own || *quantity != Quantity::GaugeLength)
        });
        left.push((step.quantity, step.value));
    }
    left
}

/// The tool and the setting, and the way back. Returns whether that was pressed.
fn heading(ui: &mut Ui, words: &str, unit: f32, theme: &Theme) -> bool {
    ui.horizontal(|ui| {
        let room = Vec2::new(ui.available_width() - 140.0, unit * 1.5);
        ui.allocate_ui_with_layout(room, Layout::left_to_right(Align::Center), |ui| {
            let font = theme.font(Weight::SemiBold, unit * 0.95);
            ui.label(egui::RichText::new(words).font(font).color(theme.tone(Tone::Strong)));
        });
        let back = |ui: &mut Ui| button(ui, "Back (Esc)", Emphasis::Plain, theme).clicked();
        ui.with_layout(Layout::right_to_left(Align::Center), back).inner
    })
    .inner
}

/// 1 to 4 tick a row, the space bar and a presenter's remote the next one.
fn tick_by_key(ui: &Ui, state: &mut AtGrinder) {
    let typed =
        ui.input(|i| [Key::Num1, Key::Num2, Key::Num3, Key::Num4].iter().position(|key| i.key_pressed(*key)));
    let next = ui.input(|i| i.key_pressed(Key::Space) || i.key_pressed(Key::PageDown));
    let to_tick = typed.or_else(|| next.then(|| state.ticked.iter().position(|done| !done)).flatten());
    if let Some(done) = to_tick.and_then(|index| state.ticked.get_mut(index)) {
        *done = !*done;
    }
}

/// One number to be set. Returns whether it was pressed.
fn big_row(
    ui: &mut Ui,
    index: usize,
    step: &GrinderStep,
    ticked: bool,
    already: bool,
    unit: f32,
    theme: &Theme,
) -> bool {
    let (rect, response) =
        ui.allocate_exact_size(Vec2::new(ui.available_width(), unit * 2.35), Sense::click());
    let accessible_text = format!("{}: {} {}", index + 1, step.name, step.value_text);
    response.widget_info(|| WidgetInfo::selected(Role::CheckBox, true, ticked, accessible_text.clone()));
    let painter = ui.painter();
    let surface = if response.hovered() { Surface::Hover } else { Surface::Raised };
    painter.rect(
        rect,
        theme.sizes.radius.large,
        theme.surface(surface),
        theme.hairline(),
        egui::StrokeKind::Inside,
    );
    if response.has_focus() {
        painter.rect_stroke(rect, theme.sizes.radius.large, theme.focus_ring(), egui::StrokeKind::Inside);
    }
    let faint = ticked || already;
    let tone = if faint { Tone::Weak } else { Tone::Strong };
    let box_side = unit * 0.95;
    let tick_box =
        Rect::from_center_size(pos2(rect.left() + unit * 1.1, rect.center().y), Vec2::splat(box_side));
    painter.rect_stroke(
        tick_box,
        theme.sizes.radius.small,
        egui::Stroke::new(2.0, theme.tone(tone)),
        egui::StrokeKind::Inside,
    );
    if ticked {
        painter.text(
            tick_box.center(),
            egui::Align2::CENTER_CENTER,
            "✓",
            theme.font(Weight::SemiBold, unit * 0.85),
            theme.tone(Tone::Good),
        );
    }
    let left = tick_box.right() + unit * 0.6;
    let value = painter.layout_no_wrap(
        step.value_text.clone(),
        theme.font(Weight::SemiBold, unit * 1.35),
        theme.tone(tone),
    );
    let value_left = rect.right() - unit * 0.7 - value.size().x;
    painter.galley(pos2(value_left, rect.center().y - value.size().y / 2.0), value, theme.tone(tone));
    painter.text(
        pos2(left, rect.top() + unit * 0.82),
        egui::Align2::LEFT_CENTER,
        format!("{}  {}", index + 1, step.name),
        theme.font(Weight::SemiBold, unit * 0.85),
        theme.tone(tone),
    );
    let how = if already { "already so" } else { step.how.as_str() };
    let note = painter.layout(
        how.to_owned(),
        theme.font(Weight::Regular, unit * 0.44),
        theme.tone(Tone::Weak),
        (value_left - left - unit * 0.4).max(50.0),
    );
    painter.galley(pos2(left, rect.top() + unit * 1.38), note, theme.tone(Tone::Weak));
    response.clicked()
}
