//! What the rows of a form are made of: the places of name and field, fields for text, lists to choose from, ticks, and
//! the line that says why a value cannot be.

use egui::{
    Align, Color32, ComboBox, CornerRadius, Frame, Id, Key, Margin, Rect, Response, Role, Sense, Stroke,
    TextEdit, Ui, UiBuilder, Vec2, WidgetInfo, pos2,
};

use crate::{
    model::appearance::Tone,
    toolkit::{
        theme::{Surface, Theme},
        widgets::{glyphs, letters},
    },
};

/// The places of a row's name and field.
pub(crate) struct Row {
    pub(crate) rect: Rect,
    pub(crate) field: Rect,
}

impl Row {
    pub(crate) fn new(ui: &mut Ui, theme: &Theme) -> Self {
        let sizes = theme.sizes;
        let width = ui.available_width();
        let (rect, _) = ui.allocate_exact_size(Vec2::new(width, sizes.row), Sense::hover());
        let field_width = (sizes.text.strong * 8.2).min(width * 0.45);
        let field = Rect::from_min_max(pos2(rect.right() - field_width, rect.top()), rect.max);
        Self { rect, field }
    }

    /// The room that a name leaves.
    pub(crate) fn wide_field(&self, ui: &Ui, name: &str, theme: &Theme) -> Rect {
        let text =
            letters::one_line(ui.painter(), name, theme.body(), theme.tone(Tone::Strong), f32::INFINITY);
        // All short names share one column, so that their fields line up.
        let left = (text.size().x + theme.sizes.gap.wide).max(theme.sizes.text.strong * 7.0);
        Rect::from_min_max(
            pos2((self.rect.left() + left).min(self.field.left()), self.rect.top()),
            self.rect.max,
        )
    }

    pub(crate) fn name(&self, ui: &Ui, name: &str, how: &str, id: Id, bad: bool, theme: &Theme) {
        let font = theme.body();
        let tone = if bad { Tone::Bad } else { Tone::Strong };
        let baseline = letters::centred_baseline(self.rect.center().y, &font);
        let width = self.field.left() - self.rect.left() - theme.sizes.gap.small;
        let text = letters::one_line(ui.painter(), name, font, theme.tone(tone), width);
        let rect = letters::set(ui.painter(), pos2(self.rect.left(), baseline), Align::Min, text);
        let over = Rect::from_min_max(
            pos2(rect.left(), self.rect.top()),
            pos2(rect.right() + 4.0, self.rect.bottom()),
        );
        let response = ui.interact(over, id.with("name"), Sense::hover());
        if !how.is_empty() {
            response.on_hover_text(how);
        }
    }
}

/// Why the value above cannot be.
pub(crate) fn error_line(ui: &mut Ui, id: Id, words: &str, theme: &Theme) {
    let indent = 18.0;
    let width = ui.available_width();
    let galley = ui.painter().layout(words.to_owned(), theme.small(), theme.tone(Tone::Bad), width - indent);
    let size = Vec2::new(width, galley.size().y + theme.sizes.gap.small);
    let (rect, _) = ui.allocate_exact_size(size, Sense::hover());
    let accessible_text = ui.interact(rect, id.with("trouble"), Sense::hover());
    accessible_text.widget_info(|| WidgetInfo::labeled(Role::Alert, true, words));
    glyphs::caution(ui.painter(), rect.min + Vec2::new(6.0, 7.0), 11.0, theme.tone(Tone::Bad));
    ui.painter().galley(rect.min + Vec2::new(indent, 0.0), galley, Color32::PLACEHOLDER);
}

/// A box to tick.
pub(crate) fn tick_box(ui: &mut Ui, ticked: &mut bool, words: &str, how: &str) -> Response {
    let response = ui.checkbox(ticked, words);
    if response.changed() {
        ui.ctx().request_repaint();
    }
    if how.is_empty() { response } else { response.on_hover_text(how) }
}

/// A box that opens a list of words; the index of the one that was chosen.
pub(crate) fn combo<'w>(
    ui: &mut Ui,
    rect: Rect,
    id: Id,
    name: &str,
    shown: &str,
    all: impl Iterator<Item = &'w str>,
    theme: &Theme,
) -> Option<usize> {
    let mut inner = ui.new_child(UiBuilder::new().scope_id(id).max_rect(rect));
    inner.set_clip_rect(rect.expand(3.0).intersect(ui.clip_rect()));
    inner.spacing_mut().interact_size.y = rect.height();
    let text = egui::RichText::new(shown).font(theme.name()).color(theme.tone(Tone::Strong));
    let mut chosen = None;
    let response = ComboBox::from_id_salt(id.with("combo"))
        .width(rect.width())
        .height(theme.sizes.row * 14.0)
        .truncate()
        .selected_text(text)
        .show_ui(&mut inner, |ui| {
            for (index, words) in all.enumerate() {
                if ui.selectable_label(words == shown, words).clicked() {
                    chosen = Some(index);
                }
            }
        })
        .response;
    response.accessible_name(name);
    chosen
}

/// How long a long text waits before what is typed of it so far is handed over, in seconds.
const LONGEST_WAIT_S: f64 = 1.0;

/// What is being typed, kept while the field has the focus.
#[derive(Debug, Clone, Default)]
struct Draft {
    text: String,
    at_first: String,
    /// What was handed over last while it was still being typed.
    reported: Option<String>,
    /// Since when something typed is not handed over.
    since_s: Option<f64>,
}

fn typed_on() -> Id {
    Id::unique("typed on")
}

/// Whether the field that has the focus has handed over part of a text that is still being typed: what follows belongs to
/// the same step of undo.
pub(crate) fn is_typed_on(ctx: &egui::Context) -> bool {
    let field = ctx.data(|data| data.get_temp::<Id>(typed_on()));
    let on = field.is_some() && ctx.memory(egui::Memory::focused) == field;
    if !on && field.is_some() {
        ctx.data_mut(|data| data.remove::<Id>(typed_on()));
    }
    on
}

/// A field for a line of text; what was typed when it is left, unless given up with Esc or left as it was. Of many lines
/// also what was typed so far, every second.
pub(crate) fn text_field(
    ui: &mut Ui,
    rect: Rect,
    id: Id,
    name: &str,
    shown: &str,
    theme: &Theme,
) -> Option<String> {
    written_field(ui, rect, id, name, shown, false, theme)
}

pub(crate) fn written_field(
    ui: &mut Ui,
    rect: Rect,
    id: Id,
    name: &str,
    shown: &str,
    many_lines: bool,
    theme: &Theme,
) -> Option<String> {
    let focused = ui.memory(|m| m.has_focus(id));
    let draft: Option<Draft> = ui.data(|d| d.get_temp(id));
    let mut text = draft.as_ref().map_or_else(|| shown.to_owned(), |draft| draft.text.clone());
    let stroke = if focused { Stroke::new(1.5, theme.palette.focus) } else { theme.hairline() };
    let corner = CornerRadius::same(theme.sizes.radius.small as u8);
    let fill = theme.surface(if ui.rect_contains_pointer(rect) && !focused {
        Surface::Hover
    } else {
        Surface::Field
    });
    ui.painter().rect(rect, corner, fill, stroke, egui::StrokeKind::Inside);
    let inside =
        rect.shrink2(Vec2::new(theme.sizes.gap.normal, if many_lines { theme.sizes.gap.small } else { 0.0 }));
    let mut inner = ui.new_child(UiBuilder::new().max_rect(inside));
    inner.set_clip_rect(rect.intersect(ui.clip_rect()));
    let hint = egui::RichText::new(name).color(theme.tone(Tone::Weak)).font(theme.body());
    let edit = if many_lines {
        TextEdit::multiline(&mut text).desired_rows(2)
    } else {
        TextEdit::singleline(&mut text).align(egui::Align2::LEFT_CENTER).min_size(inside.size())
    };
    let edit = edit
        .id(id)
        .hint_text(hint)
        .font(theme.body())
        .text_color(theme.tone(Tone::Strong))
        .frame(Frame::NONE)
        .margin(Margin::ZERO)
        .desired_width(inside.width())
        .char_limit(if many_lines { 2000 } else { 120 });
    let response = if many_lines {
        egui::ScrollArea::vertical().id_salt(id.with("scroll")).show(&mut inner, |ui| edit.show(ui)).inner
    } else {
        edit.show(&mut inner)
    }
    .response
    .response
    .clone();
    let response = response.accessible_name(name);
    if response.lost_focus() {
        ui.data_mut(|d| d.remove_temp::<Draft>(id));
        let given_up = ui.input(|i| i.key_pressed(Key::Escape));
        let draft = draft.unwrap_or_else(|| Draft { at_first: shown.to_owned(), ..Draft::default() });
        let wanted = if given_up { &draft.at_first } else { &text };
        let there = draft.reported.as_ref().unwrap_or(&draft.at_first);
        return (wanted != there).then(|| wanted.clone());
    }
    if response.has_focus() {
        let mut draft = draft.unwrap_or_else(|| Draft { at_first: shown.to_owned(), ..Draft::default() });
        draft.text = text;
        let handed_over = if many_lines { hand_over_in_time(ui, id, &mut draft) } else { None };
        ui.data_mut(|d| d.insert_temp(id, draft));
        return handed_over;
    }
    if draft.is_some() {
        ui.data_mut(|d| d.remove_temp::<Draft>(id));
    }
    None
}

/// A long text is handed over every second while it is typed, so that no more of it can be lost.
fn hand_over_in_time(ui: &Ui, id: Id, draft: &mut Draft) -> Option<String> {
    if draft.text == *draft.reported.as_ref().unwrap_or(&draft.at_first) {
        draft.since_s = None;
        return None;
    }
    let now_s = ui.input(|input| input.time);
    let left_s = *draft.since_s.get_or_insert(now_s) + LONGEST_WAIT_S - now_s;
    if left_s > 0.0 {
        ui.ctx().request_repaint_after_secs(left_s as f32);
        return None;
    }
    draft.since_s = None;
    draft.reported = Some(draft.text.clone());
    ui.data_mut(|data| data.insert_temp(typed_on(), id));
    draft.reported.clone()
}
