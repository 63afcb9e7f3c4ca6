//! The Fit part of the rig page: trial grinds, the hidden dimensions they settle, what is left over, what to try next.

use std::collections::BTreeSet;

use bevelbench_geometry::{
    math::{Kind, Quantity},
    solve::{FITTED, FittedRig},
};
use bevelbench_notebook::{
    answer::trial::{Counted, Next, NoFit, apply_fit, best_next, fit_wheel},
    quantity::{Units, format_angle},
    saved::{BevelMeant, Id, TrialSaved},
    words::{Words, capital, fit_refusal_words, unanswered_words},
};
use egui::{Rect, RichText, Ui, vec2};
use egui_plot::{AxisHints, GridMark, HLine, Line, Plot, Points};

use crate::{
    model::{appearance::Tone, session::Session},
    pages::edit::{EditState, RigChoice, commit, fields::Setup, part_of, remark},
    toolkit::{
        theme::Theme,
        widgets::{Emphasis, button, caution_line, section, typed_field},
    },
};

/// What the part remembers.
#[derive(Debug)]
pub(super) struct FitState {
    hidden: BTreeSet<Quantity>,
    cached: Option<(u64, Id, BTreeSet<Quantity>, FitCache)>,
    problem: Option<String>,
}

impl Default for FitState {
    fn default() -> Self {
        let hidden = [Quantity::ArmZeroX, Quantity::ArmZeroZ].into_iter().collect();
        Self { hidden, cached: None, problem: None }
    }
}

/// What came of the trials, worked out once for each state of the bench.
#[derive(Debug)]
struct FitCache {
    fit: Result<(Counted, FittedRig), NoFit>,
    next: Option<Next>,
}

/// The wheel whose arm is fitted: the chosen one, the current one, or the rig's first.
fn wheel_of(session: &Session, choice: RigChoice) -> Option<Id> {
    let rig = session.bench().rig(choice.rig())?;
    if let RigChoice::Wheel(_, id) = choice {
        return Some(id);
    }
    let current = session.current().filter(|current| current.rig == rig.id).map(|current| current.wheel);
    current.or_else(|| rig.wheels.first().map(|wheel| wheel.id))
}

fn compute(session: &Session, state: &mut FitState, wheel: Id) {
    let key = (session.revision(), wheel);
    if state.cached.as_ref().is_some_and(|cached| (cached.0, cached.1) == key && cached.2 == state.hidden) {
        return;
    }
    let hidden: Vec<Quantity> = state.hidden.iter().copied().collect();
    let fit = fit_wheel(session.bench(), wheel, &hidden);
    let next = fit.as_ref().ok().and_then(|(counted, fit)| best_next(&counted.trials, &hidden, fit));
    state.cached = Some((key.0, key.1, state.hidden.clone(), FitCache { fit, next }));
}

/// The form: trials, what is fitted, what came of it.
pub(super) fn fit_form(
    ui: &mut Ui,
    session: &mut Session,
    state: &mut EditState,
    choice: RigChoice,
    setup: Setup<'_>,
) {
    let Some(wheel) = wheel_of(session, choice) else {
        remark(ui, "This rig has no wheel yet.", setup.theme);
        return;
    };
    let theme = setup.theme;
    let name = session.bench().rig(choice.rig()).and_then(|rig| rig.wheel(wheel)).map(|w| w.name.clone());
    section(ui, "Trial grinds", &name.unwrap_or_default(), theme);
    let how = "Grind a little with a setting, measure the bevel, add it here. The further apart the trials, the more they tell.";
    remark(ui, how, theme);
    trials(ui, session, state, wheel, setup);
    ui.add_space(theme.sizes.gap.wide);
    section(ui, "What is fitted", "", theme);
    for hidden in FITTED {
        let mut on = state.fit.hidden.contains(&hidden);
        let words = RichText::new(capital(hidden.words())).font(theme.body());
        if ui.checkbox(&mut on, words.color(theme.tone(Tone::Strong))).changed() {
            if on {
                state.fit.hidden.insert(hidden);
            } else {
                state.fit.hidden.remove(&hidden);
            }
        }
    }
    ui.add_space(theme.sizes.gap.wide);
    caution_line(
        ui,
        "Eyes and lungs covered, guards closed, the tool settled before the wheel turns. Local codes, the maker’s markings and trained practice come first.",
        Tone::Caution,
        theme,
    );
}

/// The trials of the wheel, and the button that adds one.
fn trials(ui: &mut Ui, session: &mut Session, state: &mut EditState, wheel: Id, setup: Setup<'_>) {
    let theme = setup.theme;
    let mine: Vec<(usize, TrialSaved)> = session
        .bench()
        .trials
        .iter()
        .enumerate()
        .filter(|(_, trial)| trial.setting.wheel == wheel)
        .map(|(place, trial)| (place, trial.clone()))
        .collect();
    let others = session.bench().trials.len() - mine.len();
    for (number, (place, trial)) in mine.iter().enumerate() {
        trial_row(ui, session, state, (number + 1, *place), trial, setup);
    }
    ui.add_space(theme.sizes.gap.small);
    let current = session.current().filter(|current| current.wheel == wheel).cloned();
    ui.horizontal(|ui| {
        ui.add_enabled_ui(current.is_some(), |ui| {
            let words = "Add the setting in hand";
            if button(ui, words, Emphasis::Plain, theme)
                .on_hover_text("As it is set now; then type what was measured on what it ground.")
                .clicked()
                && let Some(current) = current
            {
                let label = format!("Add a trial of “{}”", current.name);
                commit(session, &mut state.forms, label, |bench| bench.trials.push(TrialSaved::of(current)));
                ui.ctx().request_repaint();
            }
        });
    });
    if session.current().is_none_or(|current| current.wheel != wheel) {
        remark(ui, "Take a setting of this wheel in hand to add a trial of it.", theme);
    }
    if others > 0 {
        let words = if others == 1 { "trial belongs" } else { "trials belong" };
        remark(ui, &format!("{others} more {words} to other wheels."), theme);
    }
    if let Some(why) = &state.fit.problem {
        caution_line(ui, why, Tone::Bad, theme);
    }
}

/// What a trial was set to, in short.
fn set_words(trial: &TrialSaved, units: Units) -> String {
    use bevelbench_notebook::saved::SupportSaved as S;
    match trial.setting.support {
        S::Handle { reach_mm } => format!("reach {}", units.length(reach_mm)),
        S::Holder { projection_mm, strut_angle_deg, reach_mm, .. } => format!(
            "reach {}, out {}, strut {}",
            units.length(reach_mm),
            units.length(projection_mm),
            units.angle(strut_angle_deg)
        ),
        S::Table { tilt_deg } => format!("tilt {}", units.angle(tilt_deg)),
    }
}

/// What becomes of a trial.
type Change = Box<dyn Fn(&mut TrialSaved)>;

fn trial_row(
    ui: &mut Ui,
    session: &mut Session,
    state: &mut EditState,
    (number, place): (usize, usize),
    trial: &TrialSaved,
    setup: Setup<'_>,
) {
    let Setup { units, theme, .. } = setup;
    ui.add_space(theme.sizes.gap.small);
    ui.horizontal(|ui| {
        let name = RichText::new(format!("{number}  {}", trial.setting.name)).font(theme.name());
        let size = vec2(ui.available_width() - 84.0, theme.sizes.row);
        ui.allocate_ui_with_layout(size, egui::Layout::left_to_right(egui::Align::Center), |ui| {
            ui.set_min_width(size.x);
            ui.add(egui::Label::new(name.color(theme.tone(Tone::Strong))).truncate());
        });
        let out = button(ui, "Take out", Emphasis::Quiet, theme);
        out.widget_info(|| {
            egui::WidgetInfo::labeled(egui::Role::Button, true, format!("Take out trial {number}"))
        });
        if out.clicked() {
            commit(session, &mut state.forms, format!("Take out trial {number}"), |bench| {
                if place < bench.trials.len() {
                    bench.trials.remove(place);
                }
            });
        }
    });
    remark(ui, &set_words(trial, units), theme);
    let read = |text: &str| units.read(Kind::Angle, text);
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = theme.sizes.gap.small;
        let mut change: Option<(String, Change)> = None;
        let shown = trial.bevel_deg.map_or(String::new(), |value| units.angle(value));
        let bevel = typed_field(ui, &format!("Bevel measured, trial {number}"), &shown, 74.0, &read, theme);
        ui.label(RichText::new("±").font(theme.body()).color(theme.tone(Tone::Weak)));
        let shown = format_angle(trial.plus_minus_deg, 2);
        let uncertainty = typed_field(ui, &format!("How sure, trial {number}"), &shown, 74.0, &read, theme);
        for (message, what) in [(bevel, 0), (uncertainty, 1)] {
            match message {
                Some(Ok(value)) if what == 0 && !(0.0..180.0).contains(&value) => {
                    let words = "A bevel lies between 0° and 180°.";
                    state.fit.problem = Some(format!("{} is no bevel. {words}", units.angle(value)));
                }
                Some(Ok(value)) if what == 0 => {
                    let label = format!("Trial {number} measured");
                    change = Some((label, Box::new(move |trial| trial.bevel_deg = Some(value))));
                }
                Some(Ok(value)) => {
                    let label = format!("How sure trial {number} is");
                    change = Some((label, Box::new(move |trial| trial.plus_minus_deg = value.abs())));
                }
                Some(Err(why)) => state.fit.problem = Some(why),
                None => {}
            }
        }
        let at_edge = trial.meant == BevelMeant::AtEdge;
        let words = if at_edge { "at the edge" } else { "across the facet" };
        let toggle = button(ui, words, Emphasis::Plain, theme).on_hover_text(
            "What was measured: press to change. A protractor on edge and heel reads across the facet.",
        );
        if toggle.clicked() {
            let meant = if at_edge { BevelMeant::AcrossFacet } else { BevelMeant::AtEdge };
            let label = format!("What trial {number} measured");
            change = Some((label, Box::new(move |trial| trial.meant = meant)));
        }
        if let Some((label, change)) = change {
            state.fit.problem = None;
            commit(session, &mut state.forms, label, |bench| {
                if let Some(trial) = bench.trials.get_mut(place) {
                    change(trial);
                }
            });
            ui.ctx().request_repaint();
        }
    });
}

/// What came of the trials, over the plot of what is left over.
pub(super) fn fit_figures(
    ui: &mut Ui,
    session: &mut Session,
    state: &mut EditState,
    choice: RigChoice,
    rect: Rect,
    setup: Setup<'_>,
) {
    let Some(wheel) = wheel_of(session, choice) else { return };
    compute(session, &mut state.fit, wheel);
    let mut inner = part_of(ui, "fitted", rect);
    outcome(&mut inner, session, state, wheel, setup);
    let top = inner.cursor().top() + setup.theme.sizes.gap.wide;
    let below = Rect::from_min_max(egui::pos2(rect.left(), top), rect.max);
    residual_plot(ui, state, below, setup.theme);
}

fn outcome(ui: &mut Ui, session: &mut Session, state: &mut EditState, wheel: Id, setup: Setup<'_>) {
    let Setup { units, theme, .. } = setup;
    let Some((_, _, _, cached)) = &state.fit.cached else { return };
    let length = |mm: f64| units.length(mm);
    match &cached.fit {
        Err(why) => {
            section(ui, "Not fitted", "", theme);
            let words = match why {
                NoFit::Trial(_, why) => unanswered_words(why, &length),
                NoFit::SeveralHolders => Words::new(
                    "These trials were ground in several holders.",
                    "Leave the holder’s dimensions out, or take the trials of the others out.",
                ),
                NoFit::Refused(why) => fit_refusal_words(why, &length),
            };
            caution_line(ui, &words.together(), Tone::Weak, theme);
        }
        Ok((_, fit)) => {
            section(ui, "Fitted", "was → is", theme);
            for one in &fit.dimensions {
                let line = format!(
                    "{} → {} ± {}",
                    units.length(one.was_mm),
                    units.length(one.is_mm),
                    units.length(one.expanded_mm())
                );
                section(ui, &capital(one.hidden.words()), &line, theme);
            }
            let (tone, words) = if fit.degrees_of_freedom == 0 {
                (
                    Tone::Caution,
                    "As many trials as dimensions: nothing is left over to judge the fit by. Grind one more.",
                )
            } else if fit.is_consistent() {
                (Tone::Good, "What is left over is no more than the stated ± explains.")
            } else {
                (
                    Tone::Caution,
                    "What is left over is more than the stated ± explains: look at the trial that stands out, or at a dimension that is not fitted.",
                )
            };
            caution_line(ui, words, tone, theme);
            if let Some(next) = cached.next {
                caution_line(ui, &next_words(next, units), Tone::Weak, theme);
            }
            ui.add_space(theme.sizes.gap.small);
            if button(ui, "Put into the rig", Emphasis::Main, theme)
                .on_hover_text("One step: undo takes all of it back. Every setting of this wheel follows.")
                .clicked()
            {
                let fit = fit.clone();
                let label = format!("Fit the rig to {} trials", fit.residuals.len());
                commit(session, &mut state.forms, label, |bench| apply_fit(bench, wheel, &fit));
                ui.ctx().request_repaint();
            }
        }
    }
}

fn next_words(next: Next, units: Units) -> String {
    let to = format!("the {} at {}", next.free, units.show(next.free.kind(), next.value));
    format!(
        "To be surer, grind the last trial again with {to}: the {} would be known to about ±{}.",
        next.least_sure.words(),
        units.length(next.then_mm)
    )
}

/// What is left over of each trial, as a plot with its ±.
fn residual_plot(ui: &mut Ui, state: &EditState, rect: Rect, theme: &Theme) {
    let mut inner = part_of(ui, "residuals", rect);
    let ui = &mut inner;
    section(ui, "What is left over: measured less fitted", "", theme);
    let cached = state.fit.cached.as_ref().map(|(_, _, _, cached)| cached);
    let Some(Ok((counted, fit))) = cached.map(|cached| cached.fit.as_ref()) else {
        remark(ui, "Once the trials settle the dimensions, what each has left over is drawn here.", theme);
        return;
    };
    let count = fit.residuals.len();
    let most = counted
        .trials
        .iter()
        .zip(&fit.residuals)
        .map(|(trial, left)| left.degrees().abs() + trial.half_width.degrees())
        .fold(0.1, f64::max);
    let weak = theme.tone(Tone::Weak);
    let axis = |axis: AxisHints<'static>| axis.tick_label_color(weak).tick_label_font(theme.small());
    let whole = |mark: GridMark, _: &std::ops::RangeInclusive<f64>| {
        let near = mark.value.round();
        if (mark.value - near).abs() < 1e-6 && near >= 1.0 { format!("{near:.0}") } else { String::new() }
    };
    let x_axis = axis(AxisHints::new_x().formatter(whole)).label("trial");
    let y_axis = axis(AxisHints::new_y().formatter(|mark: GridMark, _| format_angle(mark.value, 2)))
        .min_thickness(46.0);
    let shown = Plot::new("residuals")
        .width(ui.available_width())
        .height((ui.available_height() - theme.sizes.row).clamp(120.0, 360.0))
        .custom_x_axes(vec![x_axis])
        .custom_y_axes(vec![y_axis])
        .include_x(0.5)
        .include_x(count as f64 + 0.5)
        .include_y(-1.1 * most)
        .include_y(1.1 * most)
        .grid_color(theme.palette.hairline)
        .allow_zoom(false)
        .allow_drag(false)
        .allow_scroll(false)
        .allow_boxed_zoom(false)
        .show_x(false)
        .show_y(false)
        .label_formatter(|_| None)
        .show(ui, |plot| {
            plot.hline(HLine::new("nothing left over", 0.0).color(theme.palette.frame).allow_hover(false));
            for (number, (trial, left)) in counted.trials.iter().zip(&fit.residuals).enumerate() {
                let (x, y, half) = (number as f64 + 1.0, left.degrees(), trial.half_width.degrees());
                for bar in [
                    vec![[x, y - half], [x, y + half]],
                    vec![[x - 0.08, y + half], [x + 0.08, y + half]],
                    vec![[x - 0.08, y - half], [x + 0.08, y - half]],
                ] {
                    plot.line(Line::new("±", bar).color(weak).allow_hover(false));
                }
                plot.points(
                    Points::new("left over", vec![[x, y]])
                        .radius(5.0)
                        .color(theme.tone(Tone::Link))
                        .allow_hover(false),
                );
            }
        });
    let accessible_text: Vec<String> = fit
        .residuals
        .iter()
        .enumerate()
        .map(|(number, left)| format!("trial {} {}", number + 1, format_angle(left.degrees(), 2)))
        .collect();
    let words = format!("Left over: {}", accessible_text.join(", "));
    shown.response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Image, true, words.as_str()));
    ui.allocate_space(vec2(1.0, theme.sizes.gap.small));
    remark(ui, "Bars: how far each measurement may be off.", theme);
}
