//! What the parts that read tools are made of: rows for measurements with their ±, a column of rows beside a picture,
//! and the picture, kept until what it shows has changed.

use std::collections::HashMap;

use bevelbench_geometry::{
    math::Kind,
    parts::PresentFacet,
    side::{Job, SideView},
    swept::{Rolled, Steel},
};
use bevelbench_notebook::{
    answer::{matching::Measured, swept::rolled_gouge},
    drawing::{
        Bounds, Drawing,
        side_view::{SideLook, loupe_centre_and_radius, loupe_view},
        sketch::mark::Mark,
    },
    quantity::{Units, to_type::length_text},
};
use egui::{
    Align, Align2, Color32, Id, Rect, Role, ScrollArea, Sense, Ui, UiBuilder, WidgetInfo, epaint::MarginF32,
    pos2, vec2,
};

use crate::{
    model::{appearance::Tone, session::Session},
    pages::edit::entry::{Row, combo, error_line},
    toolkit::{
        canvas::{Canvas, Extras, Paper},
        theme::{Theme, Weight},
        view::View,
        widgets::{Typed, letters, number_field},
    },
};

/// What stands in a field that holds no measurement.
const NOT_MEASURED: &str = "—";

/// How fine a number is shown and read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Grain {
    /// A length at the bench: tenths of a millimetre.
    Length,
    /// A gap or a hollow: hundredths.
    Gap,
    /// A film of ink: thousandths.
    Film,
    /// Degrees.
    Angle,
}

impl Grain {
    /// A value with its unit.
    pub(super) fn show(self, value: f64, units: Units) -> String {
        match self {
            Self::Length => length_text(value, units),
            Self::Gap => units.fine(value),
            Self::Film => units.film(value),
            Self::Angle => units.angle(value),
        }
    }

    fn read(self, text: &str, units: Units) -> Result<f64, String> {
        units.read(if self == Self::Angle { Kind::Angle } else { Kind::Length }, text)
    }
}

/// A measurement as a row shows it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Reading {
    /// Its name, also what screen readers say.
    pub(super) name: &'static str,
    /// How it is measured at the bench.
    pub(super) how: &'static str,
    /// How fine it is.
    pub(super) grain: Grain,
    /// A step of the arrow keys.
    pub(super) step: f64,
    /// What lights up on the drawing.
    pub(super) mark: Option<Mark>,
}

/// What the rows of a part keep from frame to frame.
#[derive(Debug, Default)]
pub(super) struct Rows {
    refused: HashMap<&'static str, String>,
    /// What the row under the hand measures.
    pub(super) pointed: Option<Mark>,
    focused: Option<Mark>,
    hovered: Option<Mark>,
}

impl Rows {
    /// Begins a frame.
    pub(super) fn begin(&mut self) {
        (self.focused, self.hovered) = (None, None);
    }

    /// Ends a frame.
    pub(super) fn end(&mut self, ui: &Ui) {
        let pointed = self.hovered.or(self.focused);
        if pointed != self.pointed {
            self.pointed = pointed;
            ui.ctx().request_repaint();
        }
    }

    /// A value that is always there.
    pub(super) fn value(&mut self, ui: &mut Ui, what: Reading, value: &mut f64, units: Units, theme: &Theme) {
        let row = Row::new(ui, theme);
        let mut present = Some(*value);
        self.field(ui, &row, row.field, (what, what.name), &mut present, units, theme);
        if let Some(present) = present {
            *value = present;
        }
        self.finish(ui, &row, what, theme);
    }

    /// A measurement that may be missing, and its ±.
    pub(super) fn measured(
        &mut self,
        ui: &mut Ui,
        what: Reading,
        uncertainty_label: &'static str,
        (value, uncertainty): (&mut Option<f64>, &mut f64),
        units: Units,
        theme: &Theme,
    ) {
        let row = Row::new(ui, theme);
        let uncertainty_width = theme.sizes.text.strong * 5.5;
        let sign = theme.sizes.text.strong * 1.2;
        let uncertainty_rect =
            Rect::from_min_max(pos2(row.rect.right() - uncertainty_width, row.rect.top()), row.rect.max);
        let value_rect = Rect::from_min_size(
            pos2(uncertainty_rect.left() - sign - theme.sizes.text.strong * 5.8, row.rect.top()),
            vec2(theme.sizes.text.strong * 5.8, row.rect.height()),
        );
        self.field(ui, &row, value_rect, (what, what.name), value, units, theme);
        let at = pos2(f32::midpoint(value_rect.right(), uncertainty_rect.left()), row.rect.center().y);
        ui.painter().text(at, Align2::CENTER_CENTER, "±", theme.body(), theme.tone(Tone::Weak));
        let mut present = Some(*uncertainty);
        self.field(ui, &row, uncertainty_rect, (what, uncertainty_label), &mut present, units, theme);
        if let Some(present) = present {
            *uncertainty = present.abs();
        }
        let narrow = Row { rect: row.rect, field: value_rect };
        self.finish(ui, &narrow, what, theme);
    }

    #[allow(clippy::too_many_arguments, reason = "all that a field is made of")]
    fn field(
        &mut self,
        ui: &mut Ui,
        row: &Row,
        rect: Rect,
        (what, label): (Reading, &'static str),
        value: &mut Option<f64>,
        units: Units,
        theme: &Theme,
    ) {
        let id = Id::unique(("measured", what.name, label));
        let shown = value.map_or_else(|| NOT_MEASURED.to_owned(), |value| what.grain.show(value, units));
        let read = |text: &str| match text.trim() {
            "" | NOT_MEASURED | "-" => Ok(f64::NAN),
            text => what.grain.read(text, units),
        };
        let (response, typed) = number_field(ui, rect, id, label, &shown, &read, theme);
        match typed {
            Typed::Nothing => {}
            Typed::Value(typed) => {
                self.refused.remove(what.name);
                *value = typed.is_finite().then_some(typed);
                ui.ctx().request_repaint();
            }
            Typed::Increments(up, stride) => {
                if let Some(value) = value {
                    *value += f64::from(up) * what.step * stride.factor();
                    ui.ctx().request_repaint();
                }
            }
            Typed::Refused(why) => {
                self.refused.insert(what.name, why);
                ui.ctx().request_repaint();
            }
        }
        if response.has_focus() {
            self.focused = what.mark;
        }
        if ui.rect_contains_pointer(row.rect) {
            self.hovered = what.mark;
        }
    }

    fn finish(&self, ui: &mut Ui, row: &Row, what: Reading, theme: &Theme) {
        let id = Id::unique(("measured name", what.name));
        let problem = self.refused.get(what.name);
        row.name(ui, what.name, what.how, id, problem.is_some(), theme);
        if let Some(words) = problem {
            error_line(ui, id, words, theme);
        }
    }
}

/// A row with a list to choose from; the index of what was chosen.
pub(super) fn choice<'w>(
    ui: &mut Ui,
    name: &'static str,
    how: &str,
    shown: &str,
    all: impl Iterator<Item = &'w str>,
    theme: &Theme,
) -> Option<usize> {
    let row = Row::new(ui, theme);
    let id = Id::unique(("choice", name));
    row.name(ui, name, how, id, false, theme);
    combo(ui, row.wide_field(ui, name, theme), id, name, shown, all, theme)
}

/// A reading with its ± as the notebook takes it.
pub(super) fn with_uncertainty(value: Option<f64>, uncertainty: f64) -> Option<Measured> {
    value.map(|value| Measured { value, uncertainty })
}

/// A column of rows at the left, and the room for a picture at its right.
pub(super) fn beside_a_picture(ui: &mut Ui, salt: &str, theme: &Theme, rows: impl FnOnce(&mut Ui)) -> Rect {
    let whole = ui.available_rect_before_wrap();
    let column = (whole.width() * 0.47).clamp(280.0, 372.0 * theme.sizes.shaft.max(1.0));
    let left = Rect::from_min_max(whole.min, pos2(whole.left() + column, whole.bottom()));
    let right = Rect::from_min_max(pos2(left.right(), whole.top()), whole.max);
    let gap = theme.sizes.gap;
    let inner = left.shrink2(vec2(gap.margin, gap.normal));
    ui.scope_builder(UiBuilder::new().max_rect(inner).id_salt(salt), |ui| {
        ui.set_clip_rect(left.intersect(ui.clip_rect()));
        ScrollArea::vertical().auto_shrink([false, false]).show(ui, |ui| {
            ui.spacing_mut().item_spacing.y = gap.small;
            // Room for the bar, so that it does not lie over the fields.
            ui.set_max_width(ui.available_width() - 6.0);
            rows(ui);
            ui.add_space(gap.wide);
        });
    });
    ui.painter().vline(right.left(), right.y_range(), theme.hairline());
    right
}

/// A picture that is kept until what it shows has changed.
#[derive(Debug, Default)]
pub(super) struct Picture {
    made: Option<(String, Option<(Drawing, Bounds)>)>,
    canvas: Canvas,
    serial: u64,
}

impl Picture {
    /// Paints into a rectangle, making the drawing again if its key has changed; `accessible_text` is what it is called, and its
    /// caption.
    pub(super) fn show(
        &mut self,
        ui: &Ui,
        rect: Rect,
        key: String,
        accessible_text: &str,
        theme: &Theme,
        make: impl FnOnce() -> Option<(Drawing, Bounds)>,
    ) {
        if self.made.as_ref().is_none_or(|(kept, _)| *kept != key) {
            let made = make().filter(|(_, room)| {
                let (wide, high) = (room.width(), room.height());
                wide > 1e-6 && high > 1e-6 && wide < 1e6 && high < 1e6
            });
            self.made = Some((key, made));
            self.serial += 1;
        }
        let caption = theme.sizes.text.small * 1.9;
        let picture = Rect::from_min_max(rect.min, pos2(rect.right(), rect.bottom() - caption));
        let response = ui.interact(rect, Id::unique(("picture", accessible_text)), Sense::hover());
        response.widget_info(|| WidgetInfo::labeled(Role::Image, true, accessible_text));
        let Some((_, Some((drawing, room)))) = &self.made else { return };
        let view = View::fit(*room, picture, MarginF32::same(theme.sizes.gap.normal));
        let extras = Extras { paper: Paper::Clear, hovered: None, under_texts: &[] };
        self.canvas.paint(ui.painter(), drawing, self.serial, &view, theme, extras);
        let text = letters::one_line(
            ui.painter(),
            accessible_text,
            theme.small(),
            theme.tone(Tone::Weak),
            rect.width(),
        );
        let baseline = rect.bottom() - theme.sizes.text.small * 0.75;
        letters::set(ui.painter(), pos2(rect.center().x, baseline), Align::Center, text);
    }
}

/// How the current gouge is rolled, if it is one that is rolled and the setting has an answer.
pub(super) fn current_gouge(session: &Session) -> Option<(Rolled, Steel)> {
    let outcome = session.outcome()?;
    let (job, view) = outcome.job.as_ref().zip(outcome.result.as_ref().ok())?;
    rolled_gouge(job, view, session.current()?.swing.as_ref()).ok()?
}

/// A facet laid on the wheel as the setting stands, as the loupe shows it; without one the tool's own.
pub(super) fn facet_on_the_wheel(
    job: &Job,
    view: &SideView,
    facet: Option<PresentFacet>,
    film_mm: f64,
    units: Units,
) -> Option<(Drawing, Bounds)> {
    let mut job = *job;
    if let Some(facet) = facet {
        job.tool = job.tool.with_profile(facet.into());
    }
    let (length, fine) = (|mm: f64| units.length(mm), |mm: f64| units.fine(mm));
    let look = SideLook::new(&length, &fine);
    let (centre, radius) = loupe_centre_and_radius(&job, view, &look);
    let room = Bounds::around([-1.0, 1.0].map(|side| centre.map(|c| c + side * radius)))?;
    Some((loupe_view(&job, view, &look, film_mm), room))
}

/// The one figure that matters.
pub(super) fn figure(ui: &mut Ui, words: &str, theme: &Theme) {
    let font = theme.font(Weight::SemiBold, theme.sizes.text.title);
    let galley = ui.painter().layout(words.to_owned(), font, theme.tone(Tone::Strong), ui.available_width());
    let (rect, response) = ui.allocate_exact_size(
        vec2(ui.available_width(), galley.size().y + theme.sizes.gap.small),
        Sense::hover(),
    );
    response.widget_info(|| WidgetInfo::labeled(Role::Label, true, words));
    ui.painter().galley(rect.min, galley, Color32::PLACEHOLDER);
}

/// Small words that may run over several lines.
pub(super) fn note(ui: &mut Ui, words: &str, theme: &Theme) {
    let galley =
        ui.painter().layout(words.to_owned(), theme.small(), theme.tone(Tone::Weak), ui.available_width());
    let (rect, response) =
        ui.allocate_exact_size(vec2(ui.available_width(), galley.size().y), Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Label, true, words));
    ui.painter().galley(rect.min, galley, Color32::PLACEHOLDER);
}
