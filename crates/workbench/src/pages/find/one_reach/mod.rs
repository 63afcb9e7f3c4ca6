//! One reach of the arm that serves many tools: which of them, how near, and who is left out and why.

mod chart;
mod result;

use std::collections::BTreeSet;

use bevelbench_geometry::{
    math::{Angle, Kind},
    side::Refusal,
};
use bevelbench_notebook::{
    answer::one_reach::{Shared, Terms, groups, shared_reach},
    quantity::{Units, format_angle},
    saved::{Bench, Id, SettingEntry},
    words::refusal_words,
};
use egui::{ComboBox, Rect, ScrollArea, Ui, UiBuilder, WidgetInfo, pos2, vec2};

use crate::{
    model::{appearance::Tone, parts::free_name, session::Session},
    toolkit::{
        theme::{Surface, Theme},
        widgets::{caution_line, section, typed_field},
    },
};

/// What the part keeps from frame to frame.
#[derive(Debug, Default)]
pub(super) struct OneReachState {
    /// The wheel whose arm is shared, with its rig.
    arm: Option<(Id, Id)>,
    terms: Terms,
    /// Settings that are not to share.
    left: BTreeSet<Id>,
    cached: Option<ReachSearch>,
    /// Why what was typed was not understood.
    refused: Option<String>,
}

/// What was worked out, kept until something changes.
#[derive(Debug)]
struct ReachSearch {
    key: (u64, (Id, Id), Terms, BTreeSet<Id>),
    result: Result<Shared, Refusal>,
}

/// What is done with the result.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum ReachAction {
    /// The settings themselves are set so.
    Update,
    /// New settings are made beside them.
    Copy,
}

/// The part of the page.
pub(super) fn one_reach_part(
    ui: &mut Ui,
    session: &mut Session,
    state: &mut OneReachState,
    units: Units,
    theme: &Theme,
) {
    let whole = ui.available_rect_before_wrap();
    let gap = theme.sizes.gap;
    let left_width = (whole.width() * 0.40).clamp(260.0, 400.0).min(whole.width() - 160.0);
    let left = Rect::from_min_size(whole.min, vec2(left_width, whole.height()));
    let right = Rect::from_min_max(pos2(left.right(), whole.top()), whole.max);
    ui.painter().rect_filled(whole, 0.0, theme.surface(Surface::Panel));
    ui.painter().vline(left.right().floor() + 0.5, whole.y_range(), theme.hairline());
    let arms = groups(session.bench());
    let current = session.current().map(|current| (current.rig, current.wheel));
    let known = |arm: &(Id, Id)| arms.iter().any(|(rig, wheel, _)| (*rig, *wheel) == *arm);
    let first = arms.first().map(|(rig, wheel, _)| (*rig, *wheel));
    let Some(arm) = state.arm.filter(known).or(current.filter(known)).or(first) else {
        let words = "No setting of this bench holds its tool in a holder, so no projection could make up for an arm that stays.";
        let inner = whole.shrink(gap.section);
        ui.scope_builder(UiBuilder::new().max_rect(inner), |ui| {
            caution_line(ui, words, Tone::Weak, theme);
        });
        return;
    };
    let all: Vec<Id> = arms
        .iter()
        .find(|(rig, wheel, _)| (*rig, *wheel) == arm)
        .map(|(.., settings)| settings.clone())
        .unwrap_or_default();
    let inner = left.shrink2(vec2(gap.margin, gap.normal));
    ui.scope_builder(UiBuilder::new().max_rect(inner).id_salt("sharers"), |ui| {
        ui.set_clip_rect(left.intersect(ui.clip_rect()));
        ScrollArea::vertical().id_salt("sharers").auto_shrink([false, false]).show(ui, |ui| {
            ui.set_max_width(inner.width() - gap.wide);
            ui.spacing_mut().item_spacing.y = gap.small;
            terms(ui, session.bench(), state, arm, &arms, units, theme);
            ui.add_space(gap.normal);
            tick_list(ui, session.bench(), state, &all, theme);
        });
    });
    let key = (session.revision(), arm, state.terms, state.left.clone());
    if state.cached.as_ref().is_none_or(|cached| cached.key != key) {
        let ticked: Vec<Id> = all.iter().copied().filter(|id| !state.left.contains(id)).collect();
        let result = shared_reach(session.bench(), arm.0, arm.1, &ticked, state.terms);
        state.cached = Some(ReachSearch { key, result });
    }
    let Some(cached) = &state.cached else { return };
    let inner = right.shrink2(vec2(gap.margin, gap.normal));
    let mut action = None;
    ui.scope_builder(UiBuilder::new().max_rect(inner).id_salt("shared"), |ui| {
        ui.set_clip_rect(right.intersect(ui.clip_rect()));
        ScrollArea::vertical().id_salt("shared").auto_shrink([false, false]).show(ui, |ui| {
            ui.set_max_width(inner.width() - gap.wide);
            ui.spacing_mut().item_spacing.y = gap.small;
            match &cached.result {
                Ok(shared) => action = result::result(ui, session.bench(), shared, units, theme),
                Err(refusal) => {
                    let words = refusal_words(refusal, &|mm| units.length(mm)).together();
                    caution_line(ui, &words, Tone::Bad, theme);
                }
            }
        });
    });
    if let (Some(action), Ok(shared)) = (action, &cached.result) {
        execute(session, shared, action);
        ui.ctx().request_repaint();
    }
}

/// The arm, the tolerance, what is shared.
fn terms(
    ui: &mut Ui,
    bench: &Bench,
    state: &mut OneReachState,
    arm: (Id, Id),
    arms: &[(Id, Id, Vec<Id>)],
    units: Units,
    theme: &Theme,
) {
    section(ui, "One reach for many", "", theme);
    super::note(
        ui,
        "Leave the arm alone and change tools by their projection: the reach that serves the most of them.",
        theme,
    );
    let name = |(rig, wheel): (Id, Id)| {
        let rig = bench.rig(rig);
        let wheel = rig.and_then(|rig| rig.wheel(wheel)).map_or("no wheel", |wheel| wheel.name.as_str());
        format!("{}: {wheel}", rig.map_or("no rig", |rig| rig.name.as_str()))
    };
    let shown = name(arm);
    let width = ui.available_width() - theme.sizes.gap.wide;
    let combo =
        ComboBox::from_id_salt("arm").width(width).truncate().selected_text(&shown).show_ui(ui, |ui| {
            for &(rig, wheel, _) in arms {
                if ui.selectable_label((rig, wheel) == arm, name((rig, wheel))).clicked() {
                    state.arm = Some((rig, wheel));
                }
            }
        });
    combo.response.widget_info(|| {
        WidgetInfo::labeled(egui::Role::ComboBox, true, format!("The arm in front of: {shown}"))
    });
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = theme.sizes.gap.small;
        ui.label(
            egui::RichText::new("Bevels may be off by").font(theme.body()).color(theme.tone(Tone::Weak)),
        );
        let read = |text: &str| {
            let value = units.read(Kind::Angle, text)?;
            let in_range = (0.0..=45.0).contains(&value);
            if in_range { Ok(value) } else { Err("A tolerance lies between 0° and 45°.".to_owned()) }
        };
        let written = format_angle(state.terms.tolerance.degrees(), 1);
        match typed_field(ui, "Tolerance of the bevel", &written, 66.0, &read, theme) {
            Some(Ok(degrees)) => {
                state.refused = None;
                state.terms.tolerance = Angle::from_degrees(degrees);
                ui.ctx().request_repaint();
            }
            Some(Err(why)) => state.refused = Some(why),
            None => {}
        }
    });
    if let Some(why) = &state.refused {
        caution_line(ui, why, Tone::Bad, theme);
    }
    ui.checkbox(&mut state.terms.strut_angle, "One strut angle as well")
        .on_hover_text("The strut stays too: the strut angle that serves the most is looked for.");
    ui.checkbox(&mut state.terms.at_stops, "Only at notches and stop blocks").on_hover_text(
        "The strut only where it clicks into a rest, each tool only where there is a stop block for it.",
    );
}

fn tick_list(ui: &mut Ui, bench: &Bench, state: &mut OneReachState, all: &[Id], theme: &Theme) {
    let ticked = all.iter().filter(|id| !state.left.contains(id)).count();
    section(ui, "Who shares it", &format!("{ticked} of {}", all.len()), theme);
    for &id in all {
        let Some(entry) = bench.setting(id) else { continue };
        let mut fractions = !state.left.contains(&id);
        if ui.checkbox(&mut fractions, named(bench, entry)).changed() {
            if fractions {
                state.left.remove(&id);
            } else {
                state.left.insert(id);
            }
            ui.ctx().request_repaint();
        }
    }
}

/// Setting and tool in one line; the setting's own name first, so that what tells them apart is never cut off.
fn named(bench: &Bench, entry: &SettingEntry) -> String {
    bench
        .tool(entry.tool)
        .map_or_else(|| entry.name.clone(), |tool| format!("{} · {}", entry.name, tool.name))
}

/// Sets the settings so, or makes new ones, as one undo step.
fn execute(session: &mut Session, shared: &Shared, action: ReachAction) {
    let count = shared.served.len();
    let many = if count == 1 { "setting" } else { "settings" };
    let label = match action {
        ReachAction::Update => format!("One reach for {count} {many}"),
        ReachAction::Copy => format!("Make {count} {many} with one reach"),
    };
    session.edit(label, |bench| {
        for served in &shared.served {
            let moved = &served.entry;
            let Some(place) = bench.settings.iter().position(|entry| entry.id == moved.id) else { continue };
            match action {
                ReachAction::Update => {
                    // What lies in hand as it was saved follows; what was moved since is left alone.
                    if bench.current.as_ref() == bench.settings.get(place) {
                        bench.current = Some(moved.clone());
                    }
                    bench.settings[place] = moved.clone();
                }
                ReachAction::Copy => {
                    let mut copy = moved.clone();
                    copy.id = bench.give_id();
                    let taken = bench.settings_of(copy.tool).map(|entry| entry.name.as_str());
                    copy.name = free_name(&format!("{}, one reach", copy.name), taken);
                    bench.settings.insert(place + 1, copy);
                }
            }
        }
    });
}
