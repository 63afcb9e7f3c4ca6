//! Steps by key: plain, coarse with Shift, fine with Ctrl or Alt.

use egui::{EventFilter, Key, Modifiers, Response, Ui, accesskit::Action};

/// How long a step is meant.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Stride {
    /// With Ctrl or Alt: a tenth.
    Fine,
    /// The ordinary step.
    #[default]
    Plain,
    /// With Shift: ten steps.
    Coarse,
}

impl Stride {
    /// The stride that the modifier keys ask for.
    #[must_use]
    pub fn of(modifiers: Modifiers) -> Self {
        if modifiers.shift {
            Self::Coarse
        } else if modifiers.ctrl || modifiers.command || modifiers.alt {
            Self::Fine
        } else {
            Self::Plain
        }
    }

    /// The factor on an ordinary step.
    #[must_use]
    pub fn factor(self) -> f64 {
        match self {
            Self::Fine => 0.1,
            Self::Plain => 1.0,
            Self::Coarse => 10.0,
        }
    }
}

/// Steps to the right and up that arrow keys and screen readers asked of a focused widget in this frame, with their
/// stride; `None` if there were none. Keeps the arrows from moving the focus away (up and down only if asked for).
#[must_use]
pub fn arrow_steps(ui: &Ui, response: &Response, both_ways: bool) -> Option<(i32, i32, Stride)> {
    let count = |presses: usize| i32::try_from(presses).unwrap_or(i32::MAX);
    let (mut right, mut up) = (0, 0);
    if response.has_focus() {
        ui.memory_mut(|m| {
            m.set_focus_lock_filter(
                response.id,
                EventFilter { horizontal_arrows: true, vertical_arrows: both_ways, ..EventFilter::default() },
            );
        });
        let presses = |key: Key| count(ui.input(|i| i.num_presses(key)));
        right += presses(Key::ArrowRight) - presses(Key::ArrowLeft);
        if both_ways {
            up += presses(Key::ArrowUp) - presses(Key::ArrowDown);
        }
    }
    let asked = |action: Action| count(ui.input(|i| i.num_accesskit_action_requests(response.id, action)));
    right += asked(Action::Increment) - asked(Action::Decrement);
    let stride = Stride::of(ui.input(|i| i.modifiers));
    (right != 0 || up != 0).then_some((right, up, stride))
}
