//! A handle: a dot on the drawing that can be dragged, moved with the arrow keys and announced by a screen reader.

use egui::{Id, Key, Pos2, Rect, Role, Sense, Stroke, Ui, Vec2, WidgetInfo};

use crate::toolkit::{
    theme::{Surface, Theme, colour::faded},
    widgets::stride::{Stride, arrow_steps},
};

/// What was done to a handle in this frame.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub enum HandleEvent {
    /// Nothing.
    #[default]
    None,
    /// The pointer rests on it.
    Hovered,
    /// A drag begins: remember what to go back to.
    Begun,
    /// The drag goes on.
    Dragged {
        /// Where the handle should be, on the screen: its place when the press began, plus the way of the pointer since.
        to: Pos2,
    },
    /// Arrow keys, or a screen reader's increment and decrement (counted as right).
    Nudged {
        /// Steps to the right, negative to the left.
        right: i32,
        /// Steps up, negative down.
        up: i32,
        /// How long a step is meant.
        stride: Stride,
    },
    /// The drag is over: one undo step.
    Ended {
        /// Where the handle should be.
        to: Pos2,
    },
    /// The drag was given up with Esc: put back what was when it began.
    Cancelled,
}

/// A handle at `at` on the screen. `label` is its name ("Pivot along the arm"), `value` what it stands at ("120.3 mm");
/// both are announced by screen readers, and shown as a tooltip.
pub fn handle(ui: &mut Ui, id: Id, at: Pos2, label: &str, value: &str, theme: &Theme) -> HandleEvent {
    if !at.is_finite() {
        return HandleEvent::None;
    }
    let size = theme.sizes;
    let rect = Rect::from_center_size(at, Vec2::splat(2.0 * size.hit));
    let response = ui.interact(rect, id, Sense::click_and_drag());
    let event = event_of(ui, id, at, &response);
    let described = || {
        let mut info = WidgetInfo::labeled(Role::Slider, true, label);
        info.current_text_value = Some(value.to_owned());
        info
    };
    response.widget_info(described);
    ui.ctx().accesskit_node_builder(id, |node| {
        node.add_action(egui::accesskit::Action::Increment);
        node.add_action(egui::accesskit::Action::Decrement);
    });
    let held = response.dragged();
    paint(ui, at, theme, held, response.hovered(), response.has_focus());
    let response = response.on_hover_and_drag_cursor(if held {
        egui::CursorIcon::Grabbing
    } else {
        egui::CursorIcon::Grab
    });
    if !held {
        response.on_hover_text(format!("{label}: {value}"));
    }
    event
}

/// Where the handle and the pointer were when the press began.
#[derive(Debug, Clone, Copy, Default)]
struct Press {
    handle: Pos2,
    pointer: Pos2,
}

fn event_of(ui: &Ui, id: Id, at: Pos2, response: &egui::Response) -> HandleEvent {
    let pointer = response.interact_pointer_pos();
    if response.drag_started() {
        let origin = ui.input(|i| i.pointer.press_origin()).or(pointer).unwrap_or(at);
        ui.data_mut(|d| d.insert_temp(id, Press { handle: at, pointer: origin }));
        response.request_focus();
        return HandleEvent::Begun;
    }
    let press: Option<Press> = ui.data(|d| d.get_temp(id));
    if let Some(press) = press {
        if ui.input(|i| i.key_pressed(Key::Escape)) {
            ui.data_mut(|d| d.remove_temp::<Press>(id));
            ui.ctx().stop_dragging();
            return HandleEvent::Cancelled;
        }
        let to = pointer
            .or_else(|| ui.input(|i| i.pointer.latest_pos()))
            .map_or(at, |p| press.handle + (p - press.pointer));
        if response.dragged() {
            return HandleEvent::Dragged { to };
        }
        // Let go, or taken away without a word (a dialog, a lost window).
        ui.data_mut(|d| d.remove_temp::<Press>(id));
        return HandleEvent::Ended { to };
    }
    if let Some((right, up, stride)) = arrow_steps(ui, response, true) {
        return HandleEvent::Nudged { right, up, stride };
    }
    if response.hovered() { HandleEvent::Hovered } else { HandleEvent::None }
}

fn paint(ui: &Ui, at: Pos2, theme: &Theme, held: bool, hovered: bool, focused: bool) {
    let painter = ui.painter();
    let (accent, radius) = (theme.palette.accent, theme.sizes.handle);
    let paper = theme.surface(Surface::Raised);
    if held || hovered {
        painter.circle_filled(at, radius + 6.0, faded(accent, if held { 0.28 } else { 0.18 }));
    }
    painter.circle(at, radius, paper, Stroke::new(2.2 * theme.sizes.shaft, accent));
    painter.circle_filled(at, radius * if held { 0.55 } else { 0.38 }, accent);
    if focused {
        painter.circle_stroke(at, radius + 4.5, theme.focus_ring());
    }
}
