//! One quantity that can be turned: name, number with unit, slider with its stops, pin, and what stands in its way.

use std::ops::RangeInclusive;

use egui::{Align, Color32, Rect, Role, Sense, Ui, Vec2, WidgetInfo, pos2};

use crate::{
    model::{appearance::Tone, gesture::Gesture},
    toolkit::{
        theme::{Surface, Theme},
        widgets::{
            glyphs, letters,
            number_field::{Typed, number_field},
            slider::{Slider, Tick, slider, stepped},
        },
    },
};

/// Whether finding a setting may move a quantity.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Pin {
    /// It may.
    Free,
    /// It stays, until the pin is pulled.
    Pinned,
    /// It stays: finding has no way to move it.
    Always,
}

/// What a setting row shows and how it understands what is typed.
pub struct Setting<'a> {
    /// Its name, also its identity within the panel.
    pub name: &'a str,
    /// What the quantity is and how it is measured at the bench.
    pub tooltip: &'a str,
    /// Where it stands, in its own unit.
    pub value: f64,
    /// What the slider reaches. Typing may go beyond: the answer then says why it cannot be.
    pub range: RangeInclusive<f64>,
    /// An ordinary step of the keys; Shift makes ten of it, Ctrl or Alt a tenth.
    pub step: f64,
    /// Stops, rests, the size when new.
    pub ticks: &'a [Tick<'a>],
    /// Writes a value with its unit.
    pub show: &'a dyn Fn(f64) -> String,
    /// Reads what was typed, or says in words why not.
    pub read: &'a dyn Fn(&str) -> Result<f64, String>,
    /// Its pin; `None` for rows without one.
    pub pin: Option<Pin>,
    /// A note under the slider ("stop at 85"); `None` leaves no room for one.
    pub note: Option<&'a str>,
    /// Why the present value cannot be.
    pub error: Option<&'a str>,
}

impl std::fmt::Debug for Setting<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Setting")
            .field("name", &self.name)
            .field("value", &self.value)
            .finish_non_exhaustive()
    }
}

impl<'a> Setting<'a> {
    /// A row with a name, a value and a range; the rest is empty and the number plain.
    #[must_use]
    pub fn new(name: &'a str, value: f64, range: RangeInclusive<f64>) -> Self {
        Self {
            name,
            tooltip: "",
            value,
            range,
            step: 1.0,
            ticks: &[],
            show: &|value| format!("{value:.1}"),
            read: &|text| text.trim().parse().map_err(|_| format!("“{text}” is not a number")),
            pin: None,
            note: Some(""),
            error: None,
        }
    }
}

/// What was done to a setting row in this frame.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct SettingOutcome {
    /// The value's gesture.
    pub gesture: Gesture,
    /// The pin was pressed: what it should be now.
    pub pin: Option<bool>,
    /// The pointer is over the row: show on the drawing which part it turns.
    pub hovered: bool,
}

/// A setting row over the full width.
pub fn setting_row(ui: &mut Ui, setting: &Setting<'_>, theme: &Theme) -> SettingOutcome {
    let id = ui.scope_id().with(("setting", setting.name));
    let sizes = theme.sizes;
    let refused: Option<String> = ui.data(|d| d.get_temp(id));
    let problem = setting.error.map(str::to_owned).or(refused);
    let head = sizes.row.min(sizes.text.strong * 1.85);
    let rail_height = 2.0 * sizes.knob + 4.0;
    let note_height = if setting.note.is_some() { sizes.text.small * 1.35 } else { 0.0 };
    let width = ui.available_width();
    let problem = problem.map(|words| {
        let colour = theme.tone(Tone::Bad);
        ui.painter().layout(words, theme.small(), colour, width - 18.0)
    });
    let problem_height = problem.as_ref().map_or(0.0, |galley| galley.size().y + 2.0 * sizes.gap.tiny);
    let height = head + sizes.gap.tiny + rail_height + note_height.max(problem_height);
    let (rect, _) = ui.allocate_exact_size(Vec2::new(width, height), Sense::hover());

    let pin_width = if setting.pin.is_some() { sizes.row * 0.9 } else { 0.0 };
    let right = rect.right() - pin_width;
    let field_width = (sizes.text.strong * 7.4).min(width * 0.42);
    let line = Rect::from_min_max(rect.min, pos2(right, rect.top() + head));
    let field_rect = Rect::from_min_max(pos2(right - field_width, line.top()), line.max);
    let rail_rect = Rect::from_min_size(
        pos2(rect.left(), line.bottom() + sizes.gap.tiny),
        Vec2::new(right - rect.left(), rail_height),
    );

    let mut outcome = SettingOutcome { hovered: ui.rect_contains_pointer(rect), ..SettingOutcome::default() };
    // Name.
    let name_font = theme.name();
    let baseline = letters::centred_baseline(line.center().y, &name_font);
    let name = letters::one_line(
        ui.painter(),
        setting.name,
        name_font,
        theme.tone(Tone::Strong),
        field_rect.left() - rect.left() - sizes.gap.small,
    );
    let name_rect = letters::set(ui.painter(), pos2(rect.left(), baseline), Align::Min, name);
    let name_response = ui.interact(name_rect.expand(2.0), id.with("name"), Sense::hover());
    if !setting.tooltip.is_empty() {
        name_response.on_hover_text(setting.tooltip);
    }

    // Number.
    let shown = (setting.show)(setting.value);
    let (field, typed) =
        number_field(ui, field_rect, id.with("field"), setting.name, &shown, setting.read, theme);
    if field.gained_focus() {
        ui.data_mut(|d| d.remove_temp::<String>(id));
    }
    let typed = match typed {
        Typed::Value(value) if value.is_finite() => Gesture::at_once(value),
        Typed::Nothing | Typed::Value(_) => Gesture::default(),
        Typed::Increments(up, stride) => {
            let reach = (*setting.range.start(), *setting.range.end());
            let reach = if reach.0 < reach.1 { reach } else { (f64::NEG_INFINITY, f64::INFINITY) };
            stepped(setting.value, up, setting.step * stride.factor(), reach)
        }
        Typed::Refused(why) => {
            ui.data_mut(|d| d.insert_temp(id, why));
            Gesture::default()
        }
    };

    // Slider.
    let spec = Slider {
        id: id.with("slider"),
        label: setting.name,
        accessible_text: &shown,
        value: setting.value,
        range: setting.range.clone(),
        step: setting.step,
        ticks: setting.ticks,
    };
    let (slid, slide) = slider(ui, rail_rect, &spec, theme);
    if let Some(names) = tick_names(setting) {
        slid.on_hover_text(names);
    }
    outcome.gesture = typed.or(slide);
    if outcome.gesture.changed.is_some() {
        ui.data_mut(|d| d.remove_temp::<String>(id));
        // What this row shows was laid out before the change.
        ui.ctx().request_repaint();
    }

    if let Some(state) = setting.pin {
        let middle = pos2(rect.right() - sizes.text.strong * 0.55, line.center().y);
        let pin_rect = Rect::from_center_size(middle, Vec2::splat(sizes.row * 0.85));
        if pin(ui, pin_rect, id.with("pin"), setting.name, state, theme) {
            outcome.pin = Some(state == Pin::Free);
        }
    }
    below(ui, id, rail_rect, setting.note, problem, theme);
    outcome
}

/// What stands under the slider: the trouble if there is any, else the note.
fn below(
    ui: &Ui,
    id: egui::Id,
    rail: Rect,
    note: Option<&str>,
    problem: Option<std::sync::Arc<egui::Galley>>,
    theme: &Theme,
) {
    let sizes = theme.sizes;
    if let Some(galley) = problem {
        let corner = rail.left_bottom() + Vec2::new(18.0, sizes.gap.tiny);
        let accessible_text =
            ui.interact(Rect::from_min_size(corner, galley.size()), id.with("trouble"), Sense::hover());
        accessible_text.widget_info(|| WidgetInfo::labeled(Role::Alert, true, galley.text()));
        let sign = rail.left_bottom() + Vec2::new(6.0, sizes.gap.tiny + 7.0);
        glyphs::caution(ui.painter(), sign, 11.0, theme.tone(Tone::Bad));
        ui.painter().galley(corner, galley, Color32::PLACEHOLDER);
    } else if let Some(note) = note.filter(|n| !n.is_empty()) {
        let text = letters::one_line(ui.painter(), note, theme.small(), theme.tone(Tone::Weak), rail.width());
        letters::set(ui.painter(), pos2(rail.left(), rail.bottom() + sizes.text.small), Align::Min, text);
    }
}

fn tick_names(setting: &Setting<'_>) -> Option<String> {
    if setting.ticks.is_empty() {
        return None;
    }
    let names: Vec<String> =
        setting.ticks.iter().map(|tick| format!("{} {}", tick.name, (setting.show)(tick.value))).collect();
    Some(names.join("\n"))
}

/// A pin that can be pressed; says whether it was.
fn pin(ui: &Ui, rect: Rect, id: egui::Id, name: &str, state: Pin, theme: &Theme) -> bool {
    let can_be_pulled = state != Pin::Always;
    let pinned = state != Pin::Free;
    let response = ui.interact(rect, id, if can_be_pulled { Sense::click() } else { Sense::hover() });
    let label = format!("Pin the {}", name.to_lowercase());
    response.widget_info(|| WidgetInfo::selected(Role::CheckBox, can_be_pulled, pinned, label.clone()));
    let painter = ui.painter();
    if can_be_pulled && (response.hovered() || response.has_focus()) {
        let corner = theme.sizes.radius.small;
        painter.rect_filled(rect.shrink(1.0), corner, theme.surface(Surface::Hover));
        if response.has_focus() {
            painter.rect_stroke(rect.shrink(1.0), corner, theme.focus_ring(), egui::StrokeKind::Inside);
        }
    }
    let colour = match state {
        Pin::Free => theme.palette.accent,
        Pin::Pinned => theme.tone(Tone::Strong),
        Pin::Always => theme.palette.neutral,
    };
    glyphs::pin(painter, rect.center(), theme.sizes.text.strong, colour, pinned);
    let pressed = can_be_pulled && response.clicked();
    response.on_hover_text(match state {
        Pin::Pinned => "Pinned: finding a setting leaves this as it is. Press to let it move.",
        Pin::Free => "Free: finding a setting may move this. Press to pin it.",
        Pin::Always => "Pinned for good: finding a setting never moves this.",
    });
    pressed
}
