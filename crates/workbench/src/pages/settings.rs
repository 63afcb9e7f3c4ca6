//! What is turned: the bevel asked for, one row a quantity, what carries the tool, and the cautions.

mod ask;
mod stand;
mod uncertainty;

use bevelbench_geometry::{math::Quantity, parts::Face, side::Caution};
use bevelbench_notebook::{
    answer::bench::Unanswered,
    drawing::Part,
    quantity::Units,
    saved::{
        Bench,
        table::{self, Note, OnBench, Stop},
    },
    words,
};
use egui::{RichText, Ui};

use crate::{
    model::{appearance::Tone, session::Session},
    toolkit::{
        theme::Theme,
        widgets::{Pin, Setting, Tick, caution_line, divider, section, setting_row},
    },
};

pub(crate) use ask::{current_target, free_dials, meanings, meant_choice};

/// What the settings panel keeps from frame to frame.
#[derive(Debug, Default)]
pub struct SettingsState {
    ask: ask::AskState,
    uncertainty: uncertainty::UncertaintyState,
}

/// What the panel asks of the window.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Turned {
    /// The part of the drawing that the row under the pointer turns.
    pub lit: Option<Part>,
    /// The page with every answer is asked for.
    pub all_answers: bool,
}

/// The panel; `quick` asks for a bevel at its top, where the page does not.
pub fn settings_panel(
    ui: &mut Ui,
    session: &mut Session,
    state: &mut SettingsState,
    quick: bool,
    units: Units,
    theme: &Theme,
) -> Turned {
    if session.current().is_none() {
        ui.label(
            RichText::new("Nothing in hand. Choose a setting in the rack, or make one on the Tool page.")
                .font(theme.body()),
        );
        return Turned::default();
    }
    let all_answers = quick && ask::ask(ui, session, &mut state.ask, units, theme);
    if quick {
        ui.add_space(theme.sizes.gap.normal);
    }
    let lit = rows(ui, session, units, theme);
    divider(ui, theme);
    stand::stand(ui, session, theme);
    divider(ui, theme);
    uncertainty::uncertainty_rows(ui, session, &mut state.uncertainty, units, theme);
    divider(ui, theme);
    cautions(ui, session, units, theme);
    Turned { lit, all_answers }
}

/// One row a quantity.
fn rows(ui: &mut Ui, session: &mut Session, units: Units, theme: &Theme) -> Option<Part> {
    let mut lit = None;
    let current = session.current()?.clone();
    let blamed = blamed_dial(session);
    let problem = session
        .outcome()
        .and_then(|outcome| outcome.result.as_ref().err())
        .map(|why| words::unanswered_words(why, &|mm| units.length(mm)));
    for dial in table::turned(session.bench(), &current) {
        let Some(value) = dial.get(session.bench()) else { continue };
        let range = dial.range(session.bench()).unwrap_or((value - 50.0, value + 50.0));
        let stops = dial.stops(session.bench());
        let ticks: Vec<Tick<'_>> =
            stops.iter().map(|stop| Tick { value: stop.value, name: stop.kind.words() }).collect();
        let note = note_of(dial, value, &stops, units, session.bench());
        let error = problem.as_ref().filter(|_| blamed == Some(dial)).map(|words| words.reason.as_str());
        let show = |value: f64| units.show(dial.kind(), value);
        let read = |text: &str| units.read(dial.kind(), text);
        let pin = match (dial.is_found(), current.is_free(dial)) {
            (false, _) => Pin::Always,
            (true, true) => Pin::Free,
            (true, false) => Pin::Pinned,
        };
        let row = Setting {
            pin: Some(pin),
            tooltip: dial.how(),
            step: dial.step(),
            ticks: &ticks,
            show: &show,
            read: &read,
            note: Some(&note),
            error,
            ..Setting::new(dial.label(), value, range.0..=range.1)
        };
        let outcome = setting_row(ui, &row, theme);
        session.gesture(
            format!(
                "Set {} to {}",
                dial.label().to_lowercase(),
                show(outcome.gesture.changed.unwrap_or(value))
            ),
            &outcome.gesture,
            |bench, value| dial.set(bench, value),
        );
        if let Some(pinned) = outcome.pin {
            let verb = if pinned { "Pin" } else { "Free" };
            session.edit(format!("{verb} the {}", dial.label().to_lowercase()), |bench| {
                if let Some(current) = bench.current.as_mut() {
                    current.set_free(dial, !pinned);
                }
            });
            ui.ctx().request_repaint();
        }
        if outcome.hovered {
            lit = table::row(dial).map(|row| row.part);
        }
    }
    lit
}

/// The row whose value stands in the way.
fn blamed_dial(session: &Session) -> Option<Quantity> {
    use bevelbench_geometry::side::Refusal as R;
    let Err(Unanswered::Refused(refusal)) = &session.outcome()?.result else { return None };
    let on_holder = Quantity::Projection.get(session.bench()).is_some();
    Some(match refusal {
        R::ReachOffArm { .. } | R::PivotInWheel { .. } | R::PivotTooNear { .. } | R::PivotTooFar { .. } => {
            Quantity::Reach
        }
        R::StrutAngleOffTravel { .. } | R::StrutInWheel { .. } => Quantity::StrutAngle,
        R::TiltOffTravel { .. } | R::TableOutOfReach { .. } | R::TableCatchesWheel { .. } => {
            Quantity::TableTilt
        }
        R::ProjectionBeyondBlade { .. } | R::HolderInWheel { .. } => Quantity::Projection,
        R::WheelWornOut { .. } | R::WheelTooFast { .. } => Quantity::WheelDiameter,
        R::BevelOutOfRange { .. } | R::HandleThroughBench { .. } if on_holder => Quantity::Reach,
        _ => return None,
    })
}

fn note_of(dial: Quantity, value: f64, stops: &[Stop], units: Units, bench: &Bench) -> String {
    if let Some(stop) = stops.iter().find(|stop| stop.holds(value)) {
        return stop.kind.stands_on().to_owned();
    }
    let show = |value: f64| units.show(dial.kind(), value);
    match table::row(dial).and_then(|row| row.turned).map(|turned| turned.note) {
        Some(Note::Words(words)) => words.to_owned(),
        Some(Note::NamedStops) => {
            let named = stops.iter().map(|stop| format!("{} {}", stop.kind.words(), show(stop.value)));
            named.collect::<Vec<_>>().join(", ")
        }
        Some(Note::Stops(what)) if !stops.is_empty() => {
            let values: Vec<String> = stops.iter().map(|stop| show(stop.value)).collect();
            format!("{what} {}", values.join(", "))
        }
        _ => dial
            .range(bench)
            .map_or_else(String::new, |(least, most)| format!("{} to {}", show(least), show(most))),
    }
}

/// What the turner should be told.
fn cautions(ui: &mut Ui, session: &Session, units: Units, theme: &Theme) {
    section(ui, "Cautions", "", theme);
    let Some(outcome) = session.outcome() else { return };
    ui.spacing_mut().item_spacing.y = theme.sizes.gap.small;
    match &outcome.result {
        Ok(_) => {
            for caution in &outcome.cautions {
                let tone = if matches!(caution, Caution::NoseGone(_)) {
                    Tone::Bad
                } else if caution.is_warning() {
                    Tone::Caution
                } else {
                    Tone::Weak
                };
                caution_line(ui, &words::caution_words(caution, &|mm| units.length(mm)), tone, theme);
            }
        }
        Err(why) => {
            let words = words::unanswered_words(why, &|mm| units.length(mm));
            caution_line(ui, &words.reason, Tone::Bad, theme);
            caution_line(ui, &words.remedy, Tone::Strong, theme);
            for line in words::permanent_cautions() {
                caution_line(ui, line, Tone::Weak, theme);
            }
        }
    }
    if outcome.job.is_some_and(|job| matches!(job.setting.face, Face::Flat { .. })) {
        caution_line(
            ui,
            "A belt’s speed does not follow from the spindle’s alone: read it on the machine.",
            Tone::Weak,
            theme,
        );
    }
}
