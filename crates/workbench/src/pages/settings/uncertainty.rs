//! How sure the bevel is, what that comes from, which reading to improve, and how each is read.

use bevelbench_geometry::math::{Angle, Kind, Quantity};
use bevelbench_notebook::{
    answer::readings::{self, BudgetLine},
    quantity::Units,
    saved::{ReadWith, ReadingSaved},
    words,
};
use egui::{ComboBox, RichText, Ui, WidgetInfo};

use crate::{
    model::{appearance::Tone, session::Session},
    toolkit::{
        theme::Theme,
        widgets::{Emphasis, ProportionBar, button, caution_line, proportion_bars, section, typed_field},
    },
};

/// What a turner holds: `common practice`.
const HALF_A_DEGREE: Angle = Angle::from_degrees(0.5);

/// What the section keeps from frame to frame.
#[derive(Debug, Default)]
pub(super) struct UncertaintyState {
    /// What was worked out, for a revision.
    made: Option<(u64, Vec<BudgetLine>)>,
    /// Whether the readings are listed.
    open: bool,
    /// Why what was typed was not understood.
    refused: Option<String>,
}

/// The section.
pub(super) fn uncertainty_rows(
    ui: &mut Ui,
    session: &mut Session,
    state: &mut UncertaintyState,
    units: Units,
    theme: &Theme,
) {
    let Some(outcome) = session.outcome() else { return };
    let (Some(current), Some(job), Ok(view)) = (session.current(), &outcome.job, &outcome.result) else {
        section(ui, "Sure to", "–", theme);
        return;
    };
    let revision = session.revision();
    if state.made.as_ref().is_none_or(|(of, _)| *of != revision) {
        state.made = Some((revision, readings::uncertainties(session.bench(), current)));
    }
    let Some((_, uncertainties)) = &state.made else { return };
    let uncertainty = readings::uncertainty(uncertainties, job, view);
    section(ui, "Sure to", &format!("± {}", units.angle(uncertainty.expanded().degrees())), theme);
    let most = uncertainty.largest().map_or(1.0, |contribution| contribution.standard.radians()).max(1e-12);
    let figures: Vec<(&str, f32, String)> = uncertainty
        .contributions()
        .filter(|contribution| contribution.reading.half_width > 0.0)
        .map(|contribution| {
            let off = (contribution.standard * 2.0).degrees();
            (
                contribution.reading.input.words(),
                (contribution.standard.radians() / most) as f32,
                units.angle(off),
            )
        })
        .collect();
    let bars: Vec<ProportionBar<'_>> = figures
        .iter()
        .map(|(name, fraction, figure)| ProportionBar { name, fraction: *fraction, figure })
        .collect();
    proportion_bars(ui, &bars, theme);
    ui.add_space(theme.sizes.gap.small);
    caution_line(
        ui,
        &words::needs_words(&uncertainty, HALF_A_DEGREE, &|mm| needed(mm, units)),
        Tone::Strong,
        theme,
    );
    let words = if state.open { "Close the readings" } else { "How each is read…" };
    if button(ui, words, Emphasis::Plain, theme)
        .on_hover_text(
            "With what each measurement is made, and how far it may be off: yours instead of what is assumed",
        )
        .clicked()
    {
        state.open = !state.open;
        ui.ctx().request_repaint();
    }
    if !state.open {
        return;
    }
    let mut message = None;
    for uncertainty in uncertainties {
        message = reading_row(ui, uncertainty, &mut state.refused, units, theme).or(message);
    }
    if let Some(why) = &state.refused {
        caution_line(ui, why, Tone::Bad, theme);
    }
    let note = "A ± is how far a reading may be off at most. What is not counted is off the same way every time: a trial grind finds it out. Grey is assumed until you say otherwise.";
    ui.label(RichText::new(note).font(theme.small()).color(theme.tone(Tone::Weak)));
    if let Some((input, reading)) = message {
        session
            .edit(format!("Read the {} to ±", input.words()), |bench| readings::say(bench, input, reading));
        ui.ctx().request_repaint();
    }
}

/// How well something must be read: down to the tenth of a millimetre below it, as a rule is read, where that is not zero.
fn needed(mm: f64, units: Units) -> String {
    let tenth = (mm * 10.0).floor() / 10.0;
    if tenth > 0.0 { units.length(tenth) } else { units.fine(mm) }
}

/// A reading: its name, with what it is read, its ±. What was said of it.
fn reading_row(
    ui: &mut Ui,
    uncertainty: &BudgetLine,
    refused: &mut Option<String>,
    units: Units,
    theme: &Theme,
) -> Option<(Quantity, Option<ReadingSaved>)> {
    let input = uncertainty.input;
    let saved = |with: ReadWith, plus_minus: Option<f64>| {
        Some((input, Some(ReadingSaved { input, with, plus_minus })))
    };
    let mut message = None;
    let tone = if uncertainty.assumed { Tone::Weak } else { Tone::Strong };
    let name = RichText::new(words::capital(input.words())).font(theme.small()).color(theme.tone(tone));
    ui.push_id(("reading", input), |ui| {
        ui.label(name);
        ui.horizontal(|ui| {
            ui.spacing_mut().item_spacing.x = theme.sizes.gap.small;
            let field = 84.0;
            let shown = uncertainty.with.words();
            let mut with = uncertainty.with;
            let choices: &[ReadWith] =
                if input.is_angle() { &ReadWith::OF_ANGLES } else { &ReadWith::OF_LENGTHS };
            let width = ui.available_width() - field - 3.0 * theme.sizes.gap.normal;
            let combo = ComboBox::from_id_salt("with").width(width).selected_text(shown).show_ui(ui, |ui| {
                for each in choices {
                    ui.selectable_value(&mut with, *each, each.words());
                }
            });
            combo.response.widget_info(|| {
                let label = format!("{} is read with: {shown}", words::capital(input.words()));
                WidgetInfo::labeled(egui::Role::ComboBox, true, label)
            });
            if with != uncertainty.with {
                message = saved(with, None);
            }
            let kind = if input.is_angle() { Kind::Angle } else { Kind::Length };
            let value = match uncertainty.with {
                ReadWith::NotCounted => "–".to_owned(),
                _ if input.is_angle() => format!("±{}", units.angle(uncertainty.half_width)),
                _ => format!("±{}", units.fine(uncertainty.half_width)),
            };
            let read = |text: &str| {
                let value = units.read(kind, text.trim_start_matches(['±', ' ']))?;
                if value >= 0.0 { Ok(value) } else { Err("A ± is not below nought.".to_owned()) }
            };
            let label = format!("± of the {}", input.words());
            match typed_field(ui, &label, &value, field, &read, theme) {
                Some(Ok(plus_minus)) => {
                    *refused = None;
                    // Counted from now on.
                    let with = match uncertainty.with {
                        ReadWith::NotCounted if input.is_angle() => ReadWith::Protractor,
                        ReadWith::NotCounted => ReadWith::Rule,
                        with => with,
                    };
                    message = saved(with, Some(plus_minus));
                }
                Some(Err(why)) => *refused = Some(why),
                None => {}
            }
        });
    });
    message
}
