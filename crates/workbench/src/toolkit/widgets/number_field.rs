//! A field that shows a number with its unit and takes whatever a person types.

use egui::{
    Align2, CornerRadius, Frame, Id, Key, Margin, Rect, Stroke, TextEdit, Ui, UiBuilder, text::CCursorRange,
};

use super::stride::Stride;
use crate::{
    model::appearance::Tone,
    toolkit::theme::{Surface, Theme},
};

/// What was done to a number field in this frame.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) enum Typed {
    /// Nothing.
    #[default]
    Nothing,
    /// A value was typed and understood.
    Value(f64),
    /// Steps up (negative: down) by the arrow keys.
    Increments(i32, Stride),
    /// What was typed is not a number of this kind; the words say why.
    Refused(String),
}

/// What is being typed, kept while the field has the focus.
#[derive(Debug, Clone, Default)]
struct Draft {
    text: String,
    at_first: String,
}

/// A number field that stands alone: a value when one was typed and understood, the words that say why not otherwise.
pub fn typed_field(
    ui: &mut Ui,
    label: &str,
    shown: &str,
    width: f32,
    read: &dyn Fn(&str) -> Result<f64, String>,
    theme: &Theme,
) -> Option<Result<f64, String>> {
    let size = egui::vec2(width, theme.sizes.row);
    let (rect, _) = ui.allocate_exact_size(size, egui::Sense::hover());
    let id = ui.scope_id().with(("typed", label));
    let (_, typed) = number_field(ui, rect, id, label, shown, read, theme);
    match typed {
        Typed::Value(value) => Some(Ok(value)),
        Typed::Refused(why) => Some(Err(why)),
        Typed::Nothing | Typed::Increments(..) => None,
    }
}

/// A number field in a rectangle, named for screen readers. `shown` is the value as written, `read` understands a text.
pub(crate) fn number_field(
    ui: &mut Ui,
    rect: Rect,
    id: Id,
    label: &str,
    shown: &str,
    read: &dyn Fn(&str) -> Result<f64, String>,
    theme: &Theme,
) -> (egui::Response, Typed) {
    let focused = ui.memory(|m| m.has_focus(id));
    // The focus may be gone already, taken away from outside: what was typed is read all the same.
    let draft: Option<Draft> = ui.data(|d| d.get_temp(id));
    // An untouched draft follows the value: steps by key, a handle dragged meanwhile.
    let draft = draft.map(|d| {
        if d.text == d.at_first { Draft { text: shown.to_owned(), at_first: shown.to_owned() } } else { d }
    });
    let mut text = draft.as_ref().map_or_else(|| shown.to_owned(), |d| d.text.clone());
    let mut typed = Typed::Nothing;
    if focused {
        let (steps, stride) = ui.input_mut(take_steps);
        if steps != 0 {
            typed = Typed::Increments(steps, stride);
        }
    }
    backdrop(ui, rect, focused, theme);
    // Slightly higher: capitals and digits stand in the middle, not the whole line.
    let inside = rect.shrink2(egui::vec2(theme.sizes.gap.normal, 0.0)).translate(egui::vec2(0.0, -0.75));
    let mut inner = ui.new_child(UiBuilder::new().max_rect(inside));
    let font = theme.strong();
    let output = TextEdit::singleline(&mut text)
        .id(id)
        .font(font)
        .text_color(theme.tone(Tone::Strong))
        .frame(Frame::NONE)
        .margin(Margin::ZERO)
        .align(Align2::RIGHT_CENTER)
        .min_size(inside.size())
        .desired_width(inside.width())
        .char_limit(64)
        .show(&mut inner);
    let response = output.response.response.clone();
    let response = response.accessible_name(label);
    if response.gained_focus() {
        let mut state = output.state;
        state.cursor.set_char_range(Some(CCursorRange::select_all(&output.galley)));
        state.store(ui.ctx(), id);
        ui.data_mut(|d| d.insert_temp(id, Draft { text: text.clone(), at_first: shown.to_owned() }));
    } else if response.lost_focus() {
        let at_first = draft.map_or_else(|| shown.to_owned(), |d| d.at_first);
        ui.data_mut(|d| d.remove_temp::<Draft>(id));
        let given_up = ui.input(|i| i.key_pressed(Key::Escape));
        // An untouched text must not round the value to what is shown.
        if !given_up && text.trim() != at_first.trim() {
            typed = match read(&text) {
                Ok(value) => Typed::Value(value),
                Err(why) => Typed::Refused(why),
            };
        }
    } else if response.has_focus() {
        let at_first = draft.map_or_else(|| shown.to_owned(), |d| d.at_first);
        // A step throws away what was half typed.
        let stepped = matches!(typed, Typed::Increments(..));
        let draft = Draft { text: if stepped { at_first.clone() } else { text }, at_first };
        ui.data_mut(|d| d.insert_temp(id, draft));
    } else if draft.is_some() {
        ui.data_mut(|d| d.remove_temp::<Draft>(id));
    }
    (response, typed)
}

/// Takes arrow up and down out of the input, so that the text field does not move its cursor.
fn take_steps(input: &mut egui::InputState) -> (i32, Stride) {
    let stride = Stride::of(input.modifiers);
    let mut steps = 0;
    input.events.retain(|event| match event {
        egui::Event::Key { key: Key::ArrowUp, pressed: true, .. } => {
            steps += 1;
            false
        }
        egui::Event::Key { key: Key::ArrowDown, pressed: true, .. } => {
            steps -= 1;
            false
        }
        _ => true,
    });
    (steps, stride)
}

fn backdrop(ui: &Ui, rect: Rect, focused: bool, theme: &Theme) {
    let hovered = ui.rect_contains_pointer(rect);
    let corner = CornerRadius::same(theme.sizes.radius.small as u8);
    let (fill, stroke) = if focused {
        (theme.surface(Surface::Field), Stroke::new(1.5, theme.palette.focus))
    } else if hovered {
        (theme.surface(Surface::Hover), Stroke::new(theme.sizes.line, theme.palette.frame))
    } else {
        (theme.surface(Surface::Field), Stroke::new(theme.sizes.line, theme.palette.hairline))
    };
    ui.painter().rect(rect, corner, fill, stroke, egui::StrokeKind::Inside);
}
