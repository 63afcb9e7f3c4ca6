//! The keyboard as a person uses it: each letter comes as a key that goes down, the text that it types, and the key that
//! comes up again, so that a letter that is an order of its own is not missed by a test.

use egui::{Event, Key, Modifiers};
use egui_kittest::Harness;

/// Types letters into whatever has the focus; each is a frame of its own.
pub fn type_keys<State>(harness: &Harness<'_, State>, text: &str) {
    for letter in text.chars() {
        let shift = if letter.is_uppercase() { Modifiers::SHIFT } else { Modifiers::NONE };
        let name = if letter == ' ' { "Space".to_owned() } else { letter.to_uppercase().collect() };
        // Letters that no key is named after come as text alone, as they do from a compose key.
        let key = Key::from_name(&name);
        let event = |pressed| {
            key.map(|key| Event::Key {
                key,
                physical_key: Some(key),
                pressed,
                repeat: false,
                modifiers: shift,
            })
        };
        if shift.any() {
            harness.event(Event::ModifiersChanged(shift));
        }
        let all = [event(true), Some(Event::Text(letter.to_string())), event(false)];
        for event in all.into_iter().flatten() {
            harness.event(event);
        }
        if shift.any() {
            harness.event(Event::ModifiersChanged(Modifiers::NONE));
        }
    }
}

/// Pastes a text that nobody would type.
pub fn paste<State>(harness: &Harness<'_, State>, text: impl Into<String>) {
    harness.event(Event::Paste(text.into()));
}
