//! The rows of a form: a dimension with its field, a choice, a tick, a name, a list. Each row takes what a person types,
//! tries the part with it, and either hands the changed part on as one undo step or says why it cannot be.

use std::{cell::RefCell, collections::HashMap, hash::Hash};

use bevelbench_geometry::math::{DimensionError, Quantity};
use bevelbench_notebook::words::{Words, dimension_error_words, lower_first};
use egui::{Id, Key, Response, Sense, Ui, Vec2};

use super::{
    entry::{Row, combo, error_line, text_field, tick_box, written_field},
    measure::{Dimension, read_list, show, written},
    rig_dimensions::DimensionField,
};
use crate::toolkit::{
    theme::Theme,
    widgets::{Typed, number_field, stepped},
};
use bevelbench_notebook::drawing::sketch::mark::Mark;
use bevelbench_notebook::quantity::Units;

/// What was typed and refused: it stays to be seen until it is corrected.
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
pub(super) struct FormState {
    refused: HashMap<Id, Refused>,
    /// What the focused or hovered field measures.
    pub(super) pointed: Option<Mark>,
    focused: Option<Mark>,
    /// What the walk round a part is at.
    pub(super) guided: Option<Mark>,
    hovered: Option<Mark>,
    /// The bench's revision after this page's own last change.
    pub(super) own_revision: u64,
}

impl FormState {
    /// Begins a frame's forms.
    pub(super) fn begin(&mut self) {
        self.focused = None;
        self.guided = None;
        self.hovered = None;
    }

    /// Ends a frame's forms; says whether what is pointed at has changed.
    pub(super) fn end(&mut self) -> bool {
        let pointed = self.hovered.or(self.focused).or(self.guided);
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
    check: fn(&P) -> Result<(), DimensionError>,
    /// What is wrong with the part as it is in the bench.
    dimension_error: Option<DimensionError>,
    forms: &'a mut FormState,
    setup: Setup<'a>,
    changed: Option<(String, P)>,
}

impl<'a, P: Clone + PartialEq> Form<'a, P> {
    /// A form over a part; `key` tells it from others, `check` tries it.
    pub(super) fn new(
        part: &'a P,
        key: impl Hash + std::fmt::Debug,
        check: fn(&P) -> Result<(), DimensionError>,
        forms: &'a mut FormState,
        setup: Setup<'a>,
    ) -> Self {
        let key = Id::unique(("edit", format!("{key:?}")));
        Self { part, key, check, dimension_error: check(part).err(), forms, setup, changed: None }
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
    fn refusal(&self, candidate: &P, quantity: Option<Quantity>) -> Option<DimensionError> {
        let dimension_error = (self.check)(candidate).err()?;
        // A part that was unfit before may be corrected number by number.
        let another_remedy = self.dimension_error.is_some() && Some(dimension_error.quantity) != quantity;
        (!another_remedy).then_some(dimension_error)
    }

    fn words(&self, dimension_error: &DimensionError) -> String {
        let units = self.setup.units;
        let length = move |mm: f64| units.length(mm);
        let Words { reason, remedy } = dimension_error_words(dimension_error, &length);
        format!("{reason} {remedy}")
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
        let refused = self.forms.refused.get(&id).cloned();
        let own_fault = self
            .dimension_error
            .filter(|dimension_error| Some(dimension_error.quantity) == dimension.quantity);
        let problem = match (&refused, own_fault) {
            (Some(refused), _) => Some(refused.words.clone()),
            (None, Some(dimension_error)) => Some(self.words(&dimension_error)),
            (None, None) => None,
        };
        let shown =
            refused.and_then(|refused| refused.text).unwrap_or_else(|| show(dimension.measure, value, units));

        let row = Row::new(ui, theme);
        let typed_text = RefCell::new(String::new());
        let read = |text: &str| {
            text.trim().clone_into(&mut typed_text.borrow_mut());
            units.read(dimension.measure, text)
        };
        let (response, typed) = number_field(ui, row.field, id, dimension.name, &shown, &read, theme);
        row.name(ui, dimension.name, dimension.how, id, problem.is_some(), theme);
        self.point(ui, &row, &response, dimension.mark);
        // Esc gives up what was refused.
        if response.lost_focus() && ui.input(|i| i.key_pressed(Key::Escape)) {
            self.forms.refused.remove(&id);
        }
        let wanted = match typed {
            Typed::Nothing => None,
            Typed::Value(wanted) => Some((wanted, Some(typed_text.into_inner()))),
            Typed::Increments(up, stride) => {
                let by = dimension.step * stride.factor();
                stepped(value, up, by, (f64::NEG_INFINITY, f64::INFINITY))
                    .changed
                    .map(|wanted| (wanted, None))
            }
            Typed::Refused(words) => {
                let text = Some(typed_text.into_inner());
                self.forms.refused.insert(id, Refused { text, value: None, words, revision });
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
                Some(dimension_error) => {
                    let words = self.words(&dimension_error);
                    let value = text.is_some().then_some(wanted);
                    self.forms.refused.insert(id, Refused { text, value, words, revision });
                }
                None if wanted.is_finite() => {
                    self.forms.refused.remove(&id);
                    self.changed = Some((dimension.name.to_owned(), candidate));
                }
                None => {}
            }
            ui.ctx().request_repaint();
        }
        if let Some(words) = problem {
            error_line(ui, id, &words, theme);
        }
    }

    /// Several dimensions, one under the other.
    pub(super) fn dimension_fields(&mut self, ui: &mut Ui, all: &[DimensionField<P>]) {
        for dimension_fields in all {
            self.number(ui, dimension_fields.dimension, dimension_fields.lens);
        }
    }

    /// One dimension; gives back its value.
    pub(super) fn ask(&mut self, ui: &mut Ui, dimension_fields: &DimensionField<P>) -> Option<f64> {
        self.number(ui, dimension_fields.dimension, dimension_fields.lens);
        (dimension_fields.lens)(&mut self.part.clone()).map(|value| *value)
    }

    /// A refused value is tried again when this page has changed something else; any other change of the bench drops it.
    fn keep_up(&mut self, id: Id, dimension: &Dimension, lens: &impl Fn(&mut P) -> Option<&mut f64>) {
        let revision = self.setup.revision;
        let Some(refused) = self.forms.refused.get(&id) else { return };
        if refused.revision == revision {
            return;
        }
        let (value, text) = (refused.value, refused.text.clone());
        let Some(wanted) = value.filter(|_| self.forms.own_revision == revision) else {
            self.forms.refused.remove(&id);
            return;
        };
        let mut candidate = self.part.clone();
        if let Some(place) = lens(&mut candidate) {
            *place = wanted;
        }
        match self.refusal(&candidate, dimension.quantity) {
            None => {
                self.forms.refused.remove(&id);
                self.changed = Some((dimension.name.to_owned(), candidate));
            }
            Some(dimension_error) => {
                let words = self.words(&dimension_error);
                self.forms.refused.insert(id, Refused { text, value, words, revision });
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
                format!("Add {}", lower_first(dimension.name))
            } else {
                format!("Leave out {}", lower_first(dimension.name))
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
            self.take(format!("{name}: {}", lower_first(words)), |part| change(part, chosen));
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
        let row = Row::new(ui, theme);
        row.name(ui, "Notes", "Whatever is worth knowing; nothing is reckoned from it.", id, false, theme);
        let mut rect = row.wide_field(ui, "Notes", theme);
        let more = theme.sizes.row * 0.8;
        ui.allocate_exact_size(Vec2::new(1.0, more - theme.sizes.gap.small), Sense::hover());
        rect.max.y += more;
        if let Some(text) = written_field(ui, rect, id, "Notes", &present, true, theme)
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
        let refused = self.forms.refused.get(&id).filter(|refused| refused.revision == revision).cloned();
        if refused.is_none() {
            self.forms.refused.remove(&id);
        }
        let shown = refused
            .as_ref()
            .and_then(|refused| refused.text.clone())
            .unwrap_or_else(|| written(&present, dimension.measure, units));
        let row = Row::new(ui, theme);
        row.name(ui, dimension.name, dimension.how, id, refused.is_some(), theme);
        let rect = row.wide_field(ui, dimension.name, theme);
        if let Some(text) = text_field(ui, rect, id, dimension.name, &shown, theme) {
            match read_list(&text, &present, dimension.measure, units) {
                Ok(values) => {
                    self.forms.refused.remove(&id);
                    self.take(dimension.name, |part| *lens(part) = values);
                }
                Err(words) => {
                    self.forms.refused.insert(id, Refused { text: Some(text), value: None, words, revision });
                }
            }
            ui.ctx().request_repaint();
        }
        if ui.memory(|m| m.has_focus(id)) {
            self.forms.focused = Some(dimension.mark);
        }
        if ui.rect_contains_pointer(row.rect) {
            self.forms.hovered = Some(dimension.mark);
        }
        if let Some(refused) = refused {
            error_line(ui, id, &refused.words, theme);
        }
    }

    fn point(&mut self, ui: &Ui, row: &Row, response: &Response, mark: Mark) {
        if response.has_focus() {
            self.forms.focused = Some(mark);
        }
        if ui.rect_contains_pointer(row.rect) {
            self.forms.hovered = Some(mark);
        }
    }
}
