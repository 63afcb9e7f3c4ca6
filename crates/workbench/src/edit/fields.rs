//! The rows of a form: a dimension with its field, a choice, a tick, a name, a list. Each row takes what a person types,
//! tries the part with it, and either hands the changed part on as one undo step or says why it cannot be.

use std::{cell::RefCell, collections::HashMap, hash::Hash};

use bevelbench_geometry::{Quantity, Unfit};
use bevelbench_notebook::{
    quantity,
    words::{Words, unfit_words},
};
use egui::{
    Align, Color32, ComboBox, CornerRadius, Frame, Id, Key, Margin, Rect, Response, Role, Sense, Stroke,
    TextEdit, Ui, UiBuilder, Vec2, WidgetInfo, pos2,
};

use crate::{
    dial::Kind,
    theme::{Surface, Theme, Tone},
    units::Units,
    widgets::{Typed, glyphs, letters, number_field, stepped},
};

/// What a field's number is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Measure {
    /// Millimetres.
    Length,
    /// Degrees.
    Angle,
    /// Metres a second.
    Speed,
    /// Turns a minute.
    Turns,
    /// A number without a unit.
    Plain,
    /// A whole number without a unit.
    Whole,
}

/// What the drawing lights up.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(super) enum Mark {
    /// A dimension by its quantity.
    Of(Quantity),
    /// Where the section of a bar is cut off.
    BarTop,
    /// The stops of a rig.
    Stops,
    /// The rests of a holder.
    Rests,
    /// The abrasive's grit.
    Grit,
}

/// A dimension as a form shows it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Dimension {
    /// Its name, also what screen readers say.
    pub(super) name: &'static str,
    /// How it is measured at the bench.
    pub(super) how: &'static str,
    /// What its number is.
    pub(super) measure: Measure,
    /// The quantity whose refusals belong to it.
    pub(super) quantity: Option<Quantity>,
    /// What lights up on the drawing.
    pub(super) mark: Mark,
    /// A step of the arrow keys, in the unit of the number.
    pub(super) step: f64,
}

impl Dimension {
    /// A length.
    pub(super) const fn length(name: &'static str, quantity: Quantity, step: f64, how: &'static str) -> Self {
        Self { name, how, measure: Measure::Length, quantity: Some(quantity), mark: Mark::Of(quantity), step }
    }

    /// An angle.
    pub(super) const fn angle(name: &'static str, quantity: Quantity, step: f64, how: &'static str) -> Self {
        Self { name, how, measure: Measure::Angle, quantity: Some(quantity), mark: Mark::Of(quantity), step }
    }

    /// The same dimension as another sort of number.
    pub(super) const fn measured(self, measure: Measure) -> Self {
        Self { measure, ..self }
    }

    /// The same dimension with another mark on the drawing.
    pub(super) const fn marked(self, mark: Mark) -> Self {
        Self { mark, ..self }
    }
}

impl Measure {
    /// A value with its unit.
    fn show(self, value: f64, units: Units) -> String {
        match self {
            Self::Length => units.length(value),
            Self::Angle => units.angle(value),
            Self::Speed => format!("{} m/s", quantity::format_number(value, 1)),
            Self::Turns => format!("{} /min", quantity::format_number(value, 0)),
            Self::Plain => plain(value),
            Self::Whole => quantity::format_number(value, 0),
        }
    }

    /// What was typed, as a value.
    fn read(self, text: &str, units: Units) -> Result<f64, String> {
        let said = |error: quantity::QuantityError| error.to_string();
        match self {
            Self::Length => units.read(Kind::Length, text),
            Self::Angle => units.read(Kind::Angle, text),
            Self::Speed => quantity::parse_speed(text).map_err(said),
            Self::Turns => {
                let number = ["/min", "rpm", "turns a minute"]
                    .iter()
                    .find_map(|unit| text.trim().strip_suffix(unit))
                    .unwrap_or(text);
                quantity::parse_number(number).map_err(said)
            }
            Self::Plain | Self::Whole => quantity::parse_number(text).map_err(said),
        }
    }
}

/// A plain number with as many decimals as it needs, at most four significant ones behind the point.
fn plain(value: f64) -> String {
    let decimals = if value != 0.0 && value.abs() < 0.1 { 5 } else { 3 };
    let text = quantity::format_number(value, decimals);
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text }
}

/// What was typed and refused: it stays to be seen until it is mended.
#[derive(Debug, Clone)]
struct Refused {
    /// As it was typed; nothing for a step of the keys.
    text: Option<String>,
    /// Its value, where it is a number.
    value: Option<f64>,
    /// Why it was refused.
    words: String,
    /// The bench's revision at the time.
    revision: u64,
}

/// What the forms of a page share.
#[derive(Debug, Default)]
pub(super) struct Desk {
    refused: HashMap<Id, Refused>,
    /// What the focused or hovered field measures.
    pub(super) pointed: Option<Mark>,
    focused: Option<Mark>,
    hovered: Option<Mark>,
    /// The bench's revision after this page's own last change.
    pub(super) own_revision: u64,
}

impl Desk {
    /// Begins a frame's forms.
    pub(super) fn begin(&mut self) {
        self.focused = None;
        self.hovered = None;
    }

    /// Ends a frame's forms; says whether what is pointed at has changed.
    pub(super) fn end(&mut self) -> bool {
        let pointed = self.hovered.or(self.focused);
        let changed = pointed != self.pointed;
        self.pointed = pointed;
        changed
    }

    /// The refusals of every field are forgotten.
    pub(super) fn forget(&mut self) {
        self.refused.clear();
    }
}

/// What every row of a form needs.
#[derive(Clone, Copy)]
pub(super) struct Setup<'a> {
    /// The bench's revision.
    pub(super) revision: u64,
    /// How numbers are shown and read.
    pub(super) units: Units,
    /// The look.
    pub(super) theme: &'a Theme,
}

/// A form over one part of the bench.
pub(super) struct Form<'a, P> {
    part: &'a P,
    /// Tells this part from others of its kind.
    key: Id,
    check: fn(&P) -> Result<(), Unfit>,
    /// What is wrong with the part as it is in the bench.
    unfit: Option<Unfit>,
    desk: &'a mut Desk,
    setup: Setup<'a>,
    changed: Option<(String, P)>,
}

impl<'a, P: Clone + PartialEq> Form<'a, P> {
    /// A form over a part; `key` tells it from others, `check` tries it.
    pub(super) fn new(
        part: &'a P,
        key: impl Hash + std::fmt::Debug,
        check: fn(&P) -> Result<(), Unfit>,
        desk: &'a mut Desk,
        setup: Setup<'a>,
    ) -> Self {
        let key = Id::unique(("edit", format!("{key:?}")));
        Self { part, key, check, unfit: check(part).err(), desk, setup, changed: None }
    }

    /// The part as it is in the bench.
    pub(super) fn part(&self) -> &P {
        self.part
    }

    /// What was changed in this frame: the undo step's name and the part as it is to be.
    pub(super) fn done(self) -> Option<(String, P)> {
        self.changed.filter(|(_, part)| part != self.part)
    }

    /// Takes a change that is known to be sound, or whose refusal is shown by the caller.
    pub(super) fn take(&mut self, label: impl Into<String>, change: impl FnOnce(&mut P)) {
        let mut part = self.part.clone();
        change(&mut part);
        self.changed = Some((label.into(), part));
    }

    /// Why a part cannot be, if the change made it so.
    fn refusal(&self, candidate: &P, quantity: Option<Quantity>) -> Option<Unfit> {
        let unfit = (self.check)(candidate).err()?;
        // A part that was unfit before may be mended number by number.
        let mends_another = self.unfit.is_some() && Some(unfit.quantity) != quantity;
        (!mends_another).then_some(unfit)
    }

    fn words(&self, unfit: &Unfit) -> String {
        let units = self.setup.units;
        let length = move |mm: f64| units.length(mm);
        let Words { reason, mend } = unfit_words(unfit, &length);
        format!("{reason} {mend}")
    }

    /// A dimension that the part has only in some of its kinds.
    pub(super) fn number(
        &mut self,
        ui: &mut Ui,
        dimension: &Dimension,
        lens: impl Fn(&mut P) -> Option<&mut f64>,
    ) {
        let Some(value) = lens(&mut self.part.clone()).map(|value| *value) else { return };
        let id = self.key.with(dimension.name);
        self.keep_up(id, dimension, &lens);
        let Setup { units, theme, revision } = self.setup;
        let refused = self.desk.refused.get(&id).cloned();
        let own_fault = self.unfit.filter(|unfit| Some(unfit.quantity) == dimension.quantity);
        let trouble = match (&refused, own_fault) {
            (Some(refused), _) => Some(refused.words.clone()),
            (None, Some(unfit)) => Some(self.words(&unfit)),
            (None, None) => None,
        };
        let shown =
            refused.and_then(|refused| refused.text).unwrap_or_else(|| dimension.measure.show(value, units));

        let row = Row::new(ui, theme);
        let typed_text = RefCell::new(String::new());
        let read = |text: &str| {
            text.trim().clone_into(&mut typed_text.borrow_mut());
            dimension.measure.read(text, units)
        };
        let (response, typed) = number_field(ui, row.field, id, dimension.name, &shown, &read, theme);
        row.name(ui, dimension.name, dimension.how, id, trouble.is_some(), theme);
        self.point(ui, &row, &response, dimension.mark);
        // Esc gives up what was refused.
        if response.lost_focus() && ui.input(|i| i.key_pressed(Key::Escape)) {
            self.desk.refused.remove(&id);
        }
        let wanted = match typed {
            Typed::Nothing => None,
            Typed::Value(wanted) => Some((wanted, Some(typed_text.into_inner()))),
            Typed::Steps(up, stride) => {
                let by = dimension.step * stride.factor();
                stepped(value, up, by, (f64::NEG_INFINITY, f64::INFINITY))
                    .changed
                    .map(|wanted| (wanted, None))
            }
            Typed::Refused(words) => {
                let text = Some(typed_text.into_inner());
                self.desk.refused.insert(id, Refused { text, value: None, words, revision });
                None
            }
        };
        if let Some((wanted, text)) = wanted {
            let mut candidate = self.part.clone();
            if let Some(place) = lens(&mut candidate) {
                *place = wanted;
            }
            let refusal =
                if wanted.is_finite() { self.refusal(&candidate, dimension.quantity) } else { None };
            match refusal {
                Some(unfit) => {
                    let words = self.words(&unfit);
                    let value = text.is_some().then_some(wanted);
                    self.desk.refused.insert(id, Refused { text, value, words, revision });
                }
                None if wanted.is_finite() => {
                    self.desk.refused.remove(&id);
                    self.changed = Some((dimension.name.to_owned(), candidate));
                }
                None => {}
            }
            ui.ctx().request_repaint();
        }
        if let Some(words) = trouble {
            error_line(ui, id, &words, theme);
        }
    }

    /// A refused value is tried again when this page has changed something else; any other change of the bench drops it.
    fn keep_up(&mut self, id: Id, dimension: &Dimension, lens: &impl Fn(&mut P) -> Option<&mut f64>) {
        let revision = self.setup.revision;
        let Some(refused) = self.desk.refused.get(&id) else { return };
        if refused.revision == revision {
            return;
        }
        let (value, text) = (refused.value, refused.text.clone());
        let Some(wanted) = value.filter(|_| self.desk.own_revision == revision) else {
            self.desk.refused.remove(&id);
            return;
        };
        let mut candidate = self.part.clone();
        if let Some(place) = lens(&mut candidate) {
            *place = wanted;
        }
        match self.refusal(&candidate, dimension.quantity) {
            None => {
                self.desk.refused.remove(&id);
                self.changed = Some((dimension.name.to_owned(), candidate));
            }
            Some(unfit) => {
                let words = self.words(&unfit);
                self.desk.refused.insert(id, Refused { text, value, words, revision });
            }
        }
    }

    /// A dimension that may be unknown or absent: a tick, and the field while it is ticked.
    pub(super) fn optional(
        &mut self,
        ui: &mut Ui,
        tick: &str,
        dimension: &Dimension,
        at_first: impl Fn(&P) -> f64,
        lens: impl Fn(&mut P) -> Option<&mut Option<f64>>,
    ) {
        let Some(value) = lens(&mut self.part.clone()).map(|value| *value) else { return };
        let mut has = value.is_some();
        if tick_box(ui, &mut has, tick, dimension.how).changed() {
            let first = has.then(|| at_first(self.part));
            let words = if has {
                format!("Add {}", lower(dimension.name))
            } else {
                format!("Leave out {}", lower(dimension.name))
            };
            self.take(words, |part| {
                if let Some(place) = lens(part) {
                    *place = first;
                }
            });
        }
        if value.is_some() {
            self.number(ui, dimension, |part| lens(part).and_then(Option::as_mut));
        }
    }

    /// A choice of one out of several.
    pub(super) fn choice<T: PartialEq + Copy>(
        &mut self,
        ui: &mut Ui,
        name: &'static str,
        how: &'static str,
        present: T,
        all: &[(T, &'static str)],
        change: impl FnOnce(&mut P, T),
    ) {
        let theme = self.setup.theme;
        let row = Row::new(ui, theme);
        let id = self.key.with(name);
        row.name(ui, name, how, id, false, theme);
        let words = all.iter().find(|(each, _)| *each == present).map_or("", |(_, words)| words);
        if let Some(index) = combo(
            ui,
            row.wide_field(ui, name, theme),
            id,
            name,
            words,
            all.iter().map(|(_, words)| *words),
            theme,
        ) && let Some((chosen, words)) = all.get(index)
            && *chosen != present
        {
            let chosen = *chosen;
            self.take(format!("{name}: {}", lower(words)), |part| change(part, chosen));
            ui.ctx().request_repaint();
        }
    }

    /// A name or another line of text.
    pub(super) fn line(
        &mut self,
        ui: &mut Ui,
        name: &'static str,
        how: &'static str,
        label: &str,
        lens: impl Fn(&mut P) -> &mut String,
    ) {
        let present = lens(&mut self.part.clone()).clone();
        let id = self.key.with(name);
        let theme = self.setup.theme;
        let row = Row::new(ui, theme);
        row.name(ui, name, how, id, false, theme);
        let rect = row.wide_field(ui, name, theme);
        if let Some(text) = text_field(ui, rect, id, name, &present, theme) {
            let text = text.trim().to_owned();
            if !text.is_empty() && text != present {
                self.take(format!("{label} “{text}”"), |part| *lens(part) = text);
                ui.ctx().request_repaint();
            }
        }
    }

    /// Notes over several lines.
    pub(super) fn notes(&mut self, ui: &mut Ui, lens: impl Fn(&mut P) -> &mut String) {
        let present = lens(&mut self.part.clone()).clone();
        let id = self.key.with("Notes");
        let theme = self.setup.theme;
        let size = Vec2::new(ui.available_width(), 2.0 * theme.sizes.row + theme.sizes.gap.small);
        let (rect, _) = ui.allocate_exact_size(size, Sense::hover());
        if let Some(text) = notes_field(ui, rect, id, "Notes", &present, theme)
            && text.trim() != present
        {
            let text = text.trim().to_owned();
            self.take("Notes", |part| *lens(part) = text);
            ui.ctx().request_repaint();
        }
    }

    /// A list of numbers typed as “60, 85”.
    pub(super) fn list(
        &mut self,
        ui: &mut Ui,
        dimension: &Dimension,
        lens: impl Fn(&mut P) -> &mut Vec<f64>,
    ) {
        let present = lens(&mut self.part.clone()).clone();
        let id = self.key.with(dimension.name);
        let Setup { units, theme, revision } = self.setup;
        let refused = self.desk.refused.get(&id).filter(|refused| refused.revision == revision).cloned();
        if refused.is_none() {
            self.desk.refused.remove(&id);
        }
        let shown = refused
            .as_ref()
            .and_then(|refused| refused.text.clone())
            .unwrap_or_else(|| written(&present, dimension.measure, units));
        let row = Row::new(ui, theme);
        row.name(ui, dimension.name, dimension.how, id, refused.is_some(), theme);
        let rect = row.wide_field(ui, dimension.name, theme);
        if let Some(text) = text_field(ui, rect, id, dimension.name, &shown, theme) {
            match read_list(&text, dimension.measure, units) {
                Ok(values) => {
                    self.desk.refused.remove(&id);
                    self.take(dimension.name, |part| *lens(part) = values);
                }
                Err(words) => {
                    self.desk.refused.insert(id, Refused { text: Some(text), value: None, words, revision });
                }
            }
            ui.ctx().request_repaint();
        }
        if ui.memory(|m| m.has_focus(id)) {
            self.desk.focused = Some(dimension.mark);
        }
        if ui.rect_contains_pointer(row.rect) {
            self.desk.hovered = Some(dimension.mark);
        }
        if let Some(refused) = refused {
            error_line(ui, id, &refused.words, theme);
        }
    }

    fn point(&mut self, ui: &Ui, row: &Row, response: &Response, mark: Mark) {
        if response.has_focus() {
            self.desk.focused = Some(mark);
        }
        if ui.rect_contains_pointer(row.rect) {
            self.desk.hovered = Some(mark);
        }
    }
}

/// The first letter small, unless the word is all capitals.
pub(super) fn lower(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_lowercase().chain(letters).collect())
}

/// Numbers as a list is typed: the unit stands once, behind the last.
fn written(values: &[f64], measure: Measure, units: Units) -> String {
    let texts: Vec<String> = values.iter().map(|&value| measure.show(value, units)).collect();
    texts.join(", ")
}

/// The numbers of a list, smallest first; whatever stands between commas or semicolons is one.
fn read_list(text: &str, measure: Measure, units: Units) -> Result<Vec<f64>, String> {
    let mut values = Vec::new();
    for item in text.split([',', ';', '\n']).map(str::trim).filter(|item| !item.is_empty()) {
        let value = measure.read(item, units)?;
        let (least, most) = if measure == Measure::Angle { (-30.0, 180.0) } else { (0.0, 1000.0) };
        if !(least..=most).contains(&value) {
            let (value, least, most) =
                (measure.show(value, units), measure.show(least, units), measure.show(most, units));
            return Err(format!(
                "{value} is not between {least} and {most}. Write the numbers with commas between them: 60, 85."
            ));
        }
        values.push(value);
    }
    values.sort_by(f64::total_cmp);
    values.dedup();
    Ok(values)
}

/// The places of a row's name and field.
struct Row {
    rect: Rect,
    field: Rect,
}

impl Row {
    fn new(ui: &mut Ui, theme: &Theme) -> Self {
        let sizes = theme.sizes;
        let width = ui.available_width();
        let (rect, _) = ui.allocate_exact_size(Vec2::new(width, sizes.row), Sense::hover());
        let field_width = (sizes.text.strong * 8.2).min(width * 0.45);
        let field = Rect::from_min_max(pos2(rect.right() - field_width, rect.top()), rect.max);
        Self { rect, field }
    }

    /// The room that a name leaves.
    fn wide_field(&self, ui: &Ui, name: &str, theme: &Theme) -> Rect {
        let text =
            letters::one_line(ui.painter(), name, theme.body(), theme.tone(Tone::Strong), f32::INFINITY);
        // All short names share one column, so that their fields line up.
        let left = (text.size().x + theme.sizes.gap.wide).max(theme.sizes.text.strong * 7.0);
        Rect::from_min_max(
            pos2((self.rect.left() + left).min(self.field.left()), self.rect.top()),
            self.rect.max,
        )
    }

    fn name(&self, ui: &Ui, name: &str, how: &str, id: Id, bad: bool, theme: &Theme) {
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
fn error_line(ui: &mut Ui, id: Id, words: &str, theme: &Theme) {
    let indent = 18.0;
    let width = ui.available_width();
    let galley = ui.painter().layout(words.to_owned(), theme.small(), theme.tone(Tone::Bad), width - indent);
    let size = Vec2::new(width, galley.size().y + theme.sizes.gap.small);
    let (rect, _) = ui.allocate_exact_size(size, Sense::hover());
    let spoken = ui.interact(rect, id.with("trouble"), Sense::hover());
    spoken.widget_info(|| WidgetInfo::labeled(Role::Alert, true, words));
    glyphs::caution(ui.painter(), rect.min + Vec2::new(6.0, 7.0), 11.0, theme.tone(Tone::Bad));
    ui.painter().galley(rect.min + Vec2::new(indent, 0.0), galley, Color32::PLACEHOLDER);
}

/// A box to tick.
pub(super) fn tick_box(ui: &mut Ui, ticked: &mut bool, words: &str, how: &str) -> Response {
    let response = ui.checkbox(ticked, words);
    if response.changed() {
        ui.ctx().request_repaint();
    }
    if how.is_empty() { response } else { response.on_hover_text(how) }
}

/// A box that opens a list of words; the index of the one that was chosen.
pub(super) fn combo<'w>(
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

/// What is being typed, kept while the field has the focus.
#[derive(Debug, Clone, Default)]
struct Draft {
    text: String,
    at_first: String,
}

/// A field for a line of text; what was typed when it is left, unless given up with Esc or left as it was.
pub(super) fn text_field(
    ui: &mut Ui,
    rect: Rect,
    id: Id,
    name: &str,
    shown: &str,
    theme: &Theme,
) -> Option<String> {
    written_field(ui, rect, id, name, shown, false, theme)
}

/// A field for several lines of text.
fn notes_field(ui: &mut Ui, rect: Rect, id: Id, name: &str, shown: &str, theme: &Theme) -> Option<String> {
    written_field(ui, rect, id, name, shown, true, theme)
}

fn written_field(
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
        let at_first = draft.map_or_else(|| shown.to_owned(), |draft| draft.at_first);
        return (!given_up && text != at_first).then_some(text);
    }
    if response.has_focus() {
        let at_first = draft.map_or_else(|| shown.to_owned(), |draft| draft.at_first);
        ui.data_mut(|d| d.insert_temp(id, Draft { text, at_first }));
    } else if draft.is_some() {
        ui.data_mut(|d| d.remove_temp::<Draft>(id));
    }
    None
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "tests may fail loudly")]
mod tests {
    use super::*;

    #[test]
    fn a_list_is_read_sorted_and_without_doubles() {
        let read = |text: &str| read_list(text, Measure::Length, Units::default());
        assert_eq!(read("85, 60; 85").unwrap(), [60.0, 85.0]);
        assert_eq!(read("  ").unwrap(), [0.0; 0]);
        assert_eq!(read("6 cm, 85 mm").unwrap(), [60.0, 85.0]);
        assert!(read("60, long").is_err());
        assert!(read("60, -5").unwrap_err().contains("not between"));
    }

    #[test]
    fn what_a_list_shows_can_be_read_again() {
        let values = vec![15.0, 37.5, 90.0];
        let text = written(&values, Measure::Angle, Units::default());
        assert_eq!(read_list(&text, Measure::Angle, Units::default()).unwrap(), values);
    }

    #[test]
    fn plain_numbers_carry_no_idle_zeros() {
        assert_eq!(plain(2.0), "2");
        assert_eq!(plain(0.0123), "0.0123");
        assert_eq!(plain(1.25), "1.25");
    }
}
