//! What is turned: the bevel asked for, one row a quantity, what carries the tool, and the cautions.

mod ask;
mod stand;
mod uncertainty;

use bevelbench_geometry::{parts::Face, side::Caution};
use bevelbench_notebook::{answer::bench::Unanswered, drawing::Part, quantity::Units, saved::Bench, words};
use egui::{RichText, Ui};

use crate::{
    model::{appearance::Tone, dial::Dial, session::Session},
    toolkit::{
        theme::Theme,
        widgets::{Pin, Setting, Tick, caution_line, divider, section, setting_row},
    },
};

pub(crate) use ask::{current_target, free_dials, meant_choice};

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
    for dial in Dial::of(&current, session.bench()) {
        let Some(value) = dial.get(session.bench()) else { continue };
        let range = dial.range(session.bench()).unwrap_or((value - 50.0, value + 50.0));
        let stops = dial.stops(session.bench());
        let ticks: Vec<Tick<'_>> =
            stops.iter().map(|stop| Tick { value: stop.value, name: stop.kind.name() }).collect();
        let note = note_of(dial, value, &stops, units, session.bench());
        let error = problem.as_ref().filter(|_| blamed == Some(dial)).map(|words| words.reason.as_str());
        let show = |value: f64| units.show(dial.kind(), value);
        let read = |text: &str| units.read(dial.kind(), text);
        let pin = match dial.movable() {
            None => Pin::Always,
            Some(what) if current.is_free(what) => Pin::Free,
            Some(_) => Pin::Pinned,
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
            ..Setting::new(dial.name(), value, range.0..=range.1)
        };
        let outcome = setting_row(ui, &row, theme);
        session.gesture(
            format!(
                "Set {} to {}",
                dial.name().to_lowercase(),
                show(outcome.gesture.changed.unwrap_or(value))
            ),
            &outcome.gesture,
            |bench, value| dial.set(bench, value),
        );
        if let (Some(pinned), Some(what)) = (outcome.pin, dial.movable()) {
            let verb = if pinned { "Pin" } else { "Free" };
            session.edit(format!("{verb} the {}", dial.name().to_lowercase()), |bench| {
                if let Some(current) = bench.current.as_mut() {
                    current.set_free(what, !pinned);
                }
            });
            ui.ctx().request_repaint();
        }
        if outcome.hovered {
            lit = Some(dial.part());
        }
    }
    lit
}

/// The row whose value stands in the way.
fn blamed_dial(session: &Session) -> Option<Dial> {
    use bevelbench_geometry::side::Refusal as R;
    let Err(Unanswered::Refused(refusal)) = &session.outcome()?.result else { return None };
    let on_holder = Dial::Projection.get(session.bench()).is_some();
    Some(match refusal {
        R::ReachOffArm { .. } | R::PivotInWheel { .. } | R::PivotTooNear { .. } | R::PivotTooFar { .. } => {
            Dial::Reach
        }
        R::StrutAngleOffTravel { .. } | R::StrutInWheel { .. } => Dial::StrutAngle,
        R::TiltOffTravel { .. } | R::TableOutOfReach { .. } | R::TableCatchesWheel { .. } => Dial::TableTilt,
        R::ProjectionBeyondBlade { .. } | R::HolderInWheel { .. } => Dial::Projection,
        R::WheelWornOut { .. } | R::WheelTooFast { .. } => Dial::WheelDiameter,
        R::BevelOutOfRange { .. } | R::HandleThroughBench { .. } if on_holder => Dial::Reach,
        _ => return None,
    })
}

fn note_of(
    dial: Dial,
    value: f64,
    stops: &[crate::model::dial::Stop],
    units: Units,
    bench: &Bench,
) -> String {
    if let Some(stop) = stops.iter().find(|stop| (stop.value - value).abs() < 0.05) {
        return stop.kind.standing_on_it().to_owned();
    }
    match dial {
        Dial::WheelDiameter => stops
            .iter()
            .map(|stop| format!("{} {}", stop.kind.name(), units.length(stop.value)))
            .collect::<Vec<_>>()
            .join(", "),
        Dial::Projection | Dial::StrutAngle if !stops.is_empty() => {
            let values: Vec<String> = stops.iter().map(|stop| units.show(dial.kind(), stop.value)).collect();
            let what = if dial == Dial::Projection { "stops" } else { "rests" };
            format!("{what} {}", values.join(", "))
        }
        Dial::RollCentre => "above the bar’s centreline; an assumption".to_owned(),
        Dial::HalfSwing => "an assumption until it is measured".to_owned(),
        _ => dial.range(bench).map_or_else(String::new, |(least, most)| {
            format!("{} to {}", units.show(dial.kind(), least), units.show(dial.kind(), most))
        }),
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
