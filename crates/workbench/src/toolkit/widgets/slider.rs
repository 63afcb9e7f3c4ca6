//! A slider: rail, ticks for stops and rests, knob. Drags are counted from where the press began, Esc puts back.

use std::ops::RangeInclusive;

use egui::{Id, Key, Pos2, Rect, Response, Role, Sense, Stroke, Ui, WidgetInfo, accesskit, pos2};

use crate::{
    model::gesture::Gesture,
    toolkit::{
        theme::{Surface, Theme, colour::faded},
        widgets::stride::arrow_steps,
    },
};

/// A place on a slider worth stopping at: a projection stop, a rest, the size when new.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tick<'a> {
    /// Where.
    pub value: f64,
    /// Its name, for the tooltip.
    pub name: &'a str,
}

/// The parameters of a slider.
#[derive(Debug, Clone)]
pub(crate) struct Slider<'a> {
    pub(crate) id: Id,
    pub(crate) label: &'a str,
    pub(crate) accessible_text: &'a str,
    pub(crate) value: f64,
    pub(crate) range: RangeInclusive<f64>,
    pub(crate) step: f64,
    pub(crate) ticks: &'a [Tick<'a>],
}

/// What a drag began with.
#[derive(Debug, Clone, Copy, Default)]
struct Press {
    value: f64,
    off: f32,
}

/// A slider in a rectangle.
pub(crate) fn slider(ui: &Ui, rect: Rect, spec: &Slider<'_>, theme: &Theme) -> (Response, Gesture) {
    let (least, most) = limits(&spec.range);
    let response = ui.interact(rect, spec.id, Sense::drag());
    let knob = theme.sizes.knob;
    let rail = egui::Rangef::new(rect.left() + knob, rect.right() - knob);
    let shown = if spec.value.is_finite() { spec.value.clamp(least, most) } else { least };
    let x_of =
        |value: f64| rail.min + rail.span() * (((value - least) / (most - least)) as f32).clamp(0.0, 1.0);
    let gesture = drag(ui, spec, &response, rail, x_of(shown)).or(keys(ui, spec, &response));

    response.widget_info(|| {
        let mut info = WidgetInfo::slider(ui.is_enabled(), shown, spec.label);
        info.current_text_value = Some(spec.accessible_text.to_owned());
        info.role = Role::Slider;
        info
    });
    ui.ctx().accesskit_node_builder(spec.id, |node| {
        node.set_min_numeric_value(least);
        node.set_max_numeric_value(most);
        node.set_numeric_value_step(spec.step);
        for action in
            [accesskit::Action::SetValue, accesskit::Action::Increment, accesskit::Action::Decrement]
        {
            node.add_action(action);
        }
    });
    paint(ui, rect, spec, theme, &response, &x_of, x_of(gesture.changed.unwrap_or(shown)));
    (response, gesture)
}

/// A range that is finite and not empty, whatever was given.
fn limits(range: &RangeInclusive<f64>) -> (f64, f64) {
    let (a, b) = (*range.start(), *range.end());
    if a.is_finite() && b.is_finite() && a < b { (a, b) } else { (0.0, 1.0) }
}

fn drag(ui: &Ui, spec: &Slider<'_>, response: &Response, rail: egui::Rangef, knob_x: f32) -> Gesture {
    let pointer = response.interact_pointer_pos();
    let mut begun = false;
    if response.drag_started() {
        let origin = ui.input(|i| i.pointer.press_origin()).or(pointer).map_or(knob_x, |p| p.x);
        // A press on the knob takes it where it was gripped; a press on the rail brings it there.
        let off = if (origin - knob_x).abs() <= 10.0 { knob_x - origin } else { 0.0 };
        ui.data_mut(|d| d.insert_temp(spec.id, Press { value: spec.value, off }));
        response.request_focus();
        begun = true;
    }
    let Some(press) = ui.data(|d| d.get_temp::<Press>(spec.id)) else { return Gesture::default() };
    if ui.input(|i| i.key_pressed(Key::Escape)) {
        ui.data_mut(|d| d.remove_temp::<Press>(spec.id));
        ui.ctx().stop_dragging();
        return Gesture { cancelled: true, changed: Some(press.value), ..Gesture::default() };
    }
    let mut gesture = Gesture { begun, ..Gesture::default() };
    if let Some(pointer) = pointer {
        let modifiers = ui.input(|i| i.modifiers);
        let free = modifiers.alt || modifiers.ctrl || modifiers.command;
        let value = value_at(spec, rail, pointer.x + press.off, free);
        // A press on the knob that does not move must not round the value.
        let moved = ui.input(|i| i.pointer.press_origin()).is_none_or(|o| (o.x - pointer.x).abs() > 0.5);
        if (moved || press.off == 0.0) && value.to_bits() != spec.value.to_bits() {
            gesture.changed = Some(value);
        }
    }
    if !response.dragged() && !begun {
        ui.data_mut(|d| d.remove_temp::<Press>(spec.id));
        gesture.ended = true;
    }
    gesture
}

/// The value under a place on the rail: round to what a point of the screen can distinguish, drawn to ticks within a few
/// points unless `free`.
fn value_at(spec: &Slider<'_>, rail: egui::Rangef, x: f32, free: bool) -> f64 {
    let (least, most) = limits(&spec.range);
    let per_point = (most - least) / f64::from(rail.span().max(1.0));
    let raw = least + f64::from(x - rail.min) * per_point;
    if !free && let Some(tick) = spec.ticks.iter().find(|t| ((t.value - raw) / per_point).abs() < 4.0) {
        return tick.value.clamp(least, most);
    }
    let grain = if per_point > spec.step * 0.3 { spec.step } else { spec.step * 0.1 };
    let round = if free { raw } else { rounded(raw, grain) };
    round.clamp(least, most)
}

fn keys(ui: &Ui, spec: &Slider<'_>, response: &Response) -> Gesture {
    let (least, most) = limits(&spec.range);
    let set = ui.input(|i| {
        i.accesskit_action_requests(spec.id, accesskit::Action::SetValue)
            .filter_map(|request| match request.data {
                Some(accesskit::ActionData::NumericValue(value)) if value.is_finite() => Some(value),
                _ => None,
            })
            .last()
    });
    if let Some(value) = set {
        return Gesture::at_once(value.clamp(least, most));
    }
    match arrow_steps(ui, response, false) {
        Some((right, _, stride)) => stepped(spec.value, right, spec.step * stride.factor(), (least, most)),
        None => Gesture::default(),
    }
}

/// The nearest multiple of a grain. Grains below 1 are divided by, not multiplied with: 0.1 has no exact double but 10 has,
/// so 911 tenths come out as the 91.1 that a person would type.
fn rounded(value: f64, grain: f64) -> f64 {
    if !(grain > 0.0 && grain.is_finite()) {
        return value;
    }
    let inverse = 1.0 / grain;
    if inverse >= 1.0 && (inverse - inverse.round()).abs() < 1e-6 * inverse {
        (value * inverse.round()).round() / inverse.round()
    } else {
        (value / grain).round() * grain
    }
}

/// A value moved by whole steps, staying within limits; nothing if it is there already.
pub(crate) fn stepped(value: f64, steps: i32, step: f64, (least, most): (f64, f64)) -> Gesture {
    // Rounded to a thousandth of a step, so that ten steps of 0.1 make 1 and not 0.9999999.
    let raw = value + f64::from(steps) * step;
    let next = rounded(raw, step * 1e-3).clamp(least, most);
    if next.is_finite() && next.to_bits() != value.to_bits() {
        Gesture::at_once(next)
    } else {
        Gesture::default()
    }
}

#[allow(clippy::too_many_arguments, reason = "all that a picture of a slider depends on")]
fn paint(
    ui: &Ui,
    rect: Rect,
    spec: &Slider<'_>,
    theme: &Theme,
    response: &Response,
    x_of: &impl Fn(f64) -> f32,
    knob_x: f32,
) {
    let painter = ui.painter();
    let y = rect.center().y.round();
    let thick = theme.sizes.rail;
    let bar = |from: f32, to: f32| Rect::from_min_max(pos2(from, y - thick / 2.0), pos2(to, y + thick / 2.0));
    painter.rect_filled(bar(rect.left(), rect.right()), thick / 2.0, theme.palette.rail);
    painter.rect_filled(bar(rect.left(), knob_x), thick / 2.0, theme.palette.accent);
    for tick in spec.ticks {
        let x = x_of(tick.value).round() + 0.5;
        let stroke = Stroke::new(1.2 * theme.sizes.line, theme.tone(crate::model::appearance::Tone::Weak));
        painter.line_segment([pos2(x, y + thick / 2.0 + 2.5), pos2(x, y + thick / 2.0 + 6.5)], stroke);
    }
    let (at, radius) = (Pos2::new(knob_x, y), theme.sizes.knob);
    if response.hovered() || response.dragged() {
        painter.circle_filled(at, radius + 4.0, faded(theme.palette.accent, 0.16));
    }
    painter.circle(at, radius, theme.surface(Surface::Raised), Stroke::new(2.0, theme.palette.accent));
    if response.dragged() {
        painter.circle_filled(at, radius * 0.45, theme.palette.accent);
    }
    if response.has_focus() {
        painter.circle_stroke(at, radius + 3.5, theme.focus_ring());
    }
}

#[cfg(test)]
#[allow(clippy::float_cmp, reason = "values that must be exactly the tick's or the step's")]
mod tests {
    use super::*;

    fn spec<'a>(ticks: &'a [Tick<'a>]) -> Slider<'a> {
        Slider {
            id: Id::unique("s"),
            label: "",
            accessible_text: "",
            value: 50.0,
            range: 0.0..=100.0,
            step: 1.0,
            ticks,
        }
    }

    #[test]
    fn ticks_draw_the_knob_unless_a_key_frees_it() {
        let ticks = [Tick { value: 85.0, name: "stop" }];
        let rail = egui::Rangef::new(0.0, 200.0);
        assert_eq!(value_at(&spec(&ticks), rail, 172.5, false), 85.0);
        assert_eq!(value_at(&spec(&ticks), rail, 172.5, true), 86.25);
        assert_eq!(value_at(&spec(&[]), rail, 172.5, false), 86.0);
    }

    #[test]
    fn the_knob_stays_on_its_rail() {
        let rail = egui::Rangef::new(0.0, 200.0);
        assert_eq!(value_at(&spec(&[]), rail, -50.0, false), 0.0);
        assert_eq!(value_at(&spec(&[]), rail, 1e9, true), 100.0);
        let mut odd = spec(&[]);
        odd.range = f64::NAN..=f64::INFINITY;
        assert!(value_at(&odd, rail, 30.0, false).is_finite());
    }

    #[test]
    fn ten_small_steps_make_a_whole_one() {
        let mut value = 0.0;
        for _ in 0..10 {
            value = stepped(value, 1, 0.1, (0.0, 10.0)).changed.unwrap_or(f64::NAN);
        }
        assert_eq!(value, 1.0);
        assert_eq!(
            stepped(10.0, 1, 0.1, (0.0, 10.0)),
            Gesture::default(),
            "no gesture at the end of the rail"
        );
    }
}
