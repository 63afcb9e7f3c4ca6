//! Curves along the edge: bevel to the axis, wedge angle, facet width, setback, of the current setting and of one it is
//! compared with.

mod charts;

use bevelbench_notebook::{
    answer::{
        bench::Unanswered,
        edge_curve::Over,
        swept::{Swept, swept},
    },
    quantity::Units,
    saved::Id,
};
use egui::{ComboBox, Ui, UiBuilder, WidgetInfo, vec2};

use crate::{
    model::{appearance::Tone, session::Session},
    pages::tip::{EDGE_POINTS, NoShape, TipState, no_shape_words, panel::swept_warnings, refusal},
    toolkit::{
        theme::{Surface, Theme},
        widgets::tab_bar,
    },
};

pub(crate) use charts::{Charts, line_names, marks, number};

/// What the page keeps from frame to frame.
#[derive(Debug, Default)]
pub struct CurvesState {
    over: Over,
    /// The setting it is compared with.
    against: Option<Id>,
    other: Option<Other>,
}

/// The other setting's shape, kept until the bench changes.
#[derive(Debug)]
struct Other {
    key: (u64, Id),
    name: String,
    shape: Result<Swept, NoShape>,
}

impl CurvesState {
    /// The setting that the current one is compared with.
    #[must_use]
    pub fn against(&self) -> Option<Id> {
        self.against
    }

    /// The shape of that setting and its name, if it has one.
    #[must_use]
    pub fn second(&self) -> Option<(&Swept, &str)> {
        let other = self.other.as_ref()?;
        other.shape.as_ref().ok().map(|shape| (shape, other.name.as_str()))
    }

    fn compute(&mut self, session: &Session) {
        let bench = session.bench();
        self.against = self.against.filter(|id| bench.setting(*id).is_some());
        let Some(id) = self.against else {
            self.other = None;
            return;
        };
        let key = (session.revision(), id);
        if self.other.as_ref().is_some_and(|other| other.key == key) {
            return;
        }
        let Some(entry) = bench.setting(id) else { return };
        let shape = bench.answer(entry).map_err(|why: Unanswered| NoShape::Unanswered(why)).and_then(
            |(job, view)| swept(&job, &view, entry.swing.as_ref(), EDGE_POINTS).map_err(NoShape::NotSwept),
        );
        self.other = Some(Other { key, name: named(session, id), shape });
    }
}

/// Tool and setting in one line.
fn named(session: &Session, id: Id) -> String {
    let bench = session.bench();
    let Some(entry) = bench.setting(id) else { return String::new() };
    match bench.tool(entry.tool) {
        Some(tool) => format!("{}: {}", tool.name, entry.name),
        None => entry.name.clone(),
    }
}

/// The page over the whole of what is left of the window.
pub fn curves_page(
    ui: &mut Ui,
    session: &Session,
    state: &mut CurvesState,
    tip: &mut TipState,
    units: Units,
    theme: &Theme,
) {
    let whole = ui.available_rect_before_wrap();
    ui.painter().rect_filled(whole, 0.0, theme.surface(Surface::Panel));
    state.compute(session);
    let marked = tip.marked;
    let Some(shape) = tip.shape(session) else { return };
    let inner = whole.shrink2(vec2(theme.sizes.gap.margin, theme.sizes.gap.normal));
    let mut pointed = marked;
    ui.scope_builder(UiBuilder::new().max_rect(inner).id_salt("curves"), |ui| {
        ui.spacing_mut().item_spacing.y = theme.sizes.gap.small;
        head(ui, session, state, theme);
        let swept = match shape {
            Ok(swept) => swept,
            Err(why) => {
                refusal(ui, whole, &no_shape_words(why, units), theme);
                return;
            }
        };
        swept_warnings(ui, swept, units, theme);
        let other = state.other.as_ref();
        legend(ui, session, other, units, theme);
        let second = other.and_then(|other| other.shape.as_ref().ok());
        pointed = Charts { swept, second, over: state.over, marked, units, theme }.show(ui);
    });
    tip.marked = pointed;
}

/// What the curves are drawn over.
pub(crate) fn choose_over(ui: &mut Ui, over: &mut Over, theme: &Theme) {
    let chosen = usize::from(*over == Over::Across);
    if let Some(index) = tab_bar(ui, &["Along the edge", "Across the tool"], chosen, theme) {
        *over = if index == 0 { Over::Along } else { Over::Across };
        ui.ctx().request_repaint();
    }
}

fn head(ui: &mut Ui, session: &Session, state: &mut CurvesState, theme: &Theme) {
    ui.horizontal(|ui| {
        choose_over(ui, &mut state.over, theme);
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            let current = session.current().map(|current| current.id);
            let text = state.against.map_or("nothing".to_owned(), |id| named(session, id));
            let mut against = state.against;
            let combo = ComboBox::from_id_salt("against")
                .width(236.0)
                .truncate()
                .selected_text(&text)
                .show_ui(ui, |ui| {
                    ui.selectable_value(&mut against, None, "nothing");
                    for entry in &session.bench().settings {
                        // The saved form of the current one is offered too while that is moved.
                        if Some(entry.id) != current || session.is_moved() {
                            let name = named(session, entry.id);
                            let name =
                                if Some(entry.id) == current { format!("{name}, as saved") } else { name };
                            ui.selectable_value(&mut against, Some(entry.id), name);
                        }
                    }
                });
            combo.response.widget_info(|| {
                WidgetInfo::labeled(egui::Role::ComboBox, true, format!("Compare with: {text}"))
            });
            ui.label(egui::RichText::new("Compare with").font(theme.body()).color(theme.tone(Tone::Weak)));
            if against != state.against {
                state.against = against;
                state.compute(session);
                ui.ctx().request_repaint();
            }
        });
    });
}

/// Which line is which.
fn legend(ui: &mut Ui, session: &Session, other: Option<&Other>, units: Units, theme: &Theme) {
    let Some(current) = session.current() else { return };
    let Some(other) = other else { return };
    let tool = session.bench().tool(current.tool).map_or("", |tool| tool.name.as_str());
    let first = format!("A  {tool}: {}", current.name);
    let second = match &other.shape {
        Ok(_) => format!("B  {}", other.name),
        Err(why) => format!("B  {}: {}", other.name, no_shape_words(why, units).reason),
    };
    line_names(ui, &[first, second], theme);
}
