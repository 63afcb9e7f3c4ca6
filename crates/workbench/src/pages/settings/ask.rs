//! A bevel typed: the one thing that is not pinned moves to it. With more free, or a wing wanted, the Find page has the
//! answers.

use bevelbench_geometry::math::{Angle, Kind, Quantity};
use bevelbench_notebook::{
    answer::target::included,
    quantity::{Units, format_angle},
    saved::{
        BevelMeant, TargetSaved,
        table::{self, OnBench, settable},
    },
    words,
};
use egui::{ComboBox, RichText, Ui};

use crate::{
    model::{
        appearance::Tone,
        session::{Found, Session},
    },
    toolkit::{
        theme::Theme,
        widgets::{Emphasis, button, caution_line, section, typed_field},
    },
};

/// What the row keeps from frame to frame.
#[derive(Debug, Default)]
pub(super) struct AskState {
    /// What came of the last search, in words, and the revision it speaks of.
    answer: Option<(u64, Tone, String)>,
    /// Why the last typed target was not understood.
    refused: Option<String>,
}

/// The bevel a setting is asked for: its target, or what it grinds as it stands.
#[must_use]
pub(crate) fn current_target(session: &Session) -> Option<TargetSaved> {
    let present = || {
        let view = session.outcome()?.result.as_ref().ok()?;
        Some(settable(view.bevel().degrees()))
    };
    session.current()?.target.or_else(|| {
        Some(TargetSaved { bevel_deg: present().unwrap_or(45.0), meant: BevelMeant::AtEdge, wing: None })
    })
}

/// The dials of the current setting that are not pinned.
#[must_use]
pub(crate) fn free_dials(session: &Session) -> Vec<Quantity> {
    let Some(current) = session.current() else { return Vec::new() };
    let mut dials = table::turned(session.bench(), current);
    dials.retain(|dial| dial.is_found() && current.is_free(*dial));
    dials
}

/// Where a bevel of the current setting may be meant: the included angle only for a tool ground on both faces.
#[must_use]
pub(crate) fn meanings(session: &Session) -> Vec<BevelMeant> {
    let job = session.outcome().and_then(|outcome| outcome.job.as_ref());
    let mut all = vec![BevelMeant::AtEdge, BevelMeant::AcrossFacet];
    all.extend(job.and_then(|job| included(job, Angle::QUARTER)).map(|_| BevelMeant::Included));
    all
}

/// The choice of where the bevel of a target is meant; the target with the chosen one.
pub(crate) fn meant_choice(ui: &mut Ui, session: &Session, target: TargetSaved, width: f32) -> TargetSaved {
    let (words, now) = (words::meant_words, target.meant);
    let mut meant = now;
    let combo = ComboBox::from_id_salt("meant").width(width).selected_text(words(meant)).show_ui(ui, |ui| {
        for each in meanings(session) {
            ui.selectable_value(&mut meant, each, words(each));
        }
    });
    combo.response.widget_info(|| {
        egui::WidgetInfo::labeled(egui::Role::ComboBox, true, format!("Bevel meant: {}", words(now)))
    });
    combo.response.on_hover_text(
        "At the edge is the angle that cuts. Across the facet is what a protractor laid on edge and heel reads: more, because the facet is hollow. Included, for a tool ground on both faces, is both bevels together.",
    );
    let outcome = session.outcome();
    match outcome.and_then(|outcome| Some((outcome, outcome.job.as_ref()?))) {
        Some((outcome, job)) if meant != now => target.meant_as(meant, job, outcome.result.as_ref().ok()),
        _ => TargetSaved { meant, ..target },
    }
}

/// Type a bevel; what is free moves to it. Whether the Find page is asked for.
pub(super) fn ask(
    ui: &mut Ui,
    session: &mut Session,
    state: &mut AskState,
    units: Units,
    theme: &Theme,
) -> bool {
    let Some(target) = current_target(session) else { return false };
    let free = free_dials(session);
    // What a search of one number can do; the rest is for the page.
    let moves = match free.as_slice() {
        [one] if target.wing.is_none() && *one != Quantity::RollCentre => {
            table::offered().find(|offered| offered == one)
        }
        _ => None,
    };
    let mut asked: Option<TargetSaved> = None;
    let mut open_page = false;
    section(ui, "Find a bevel", "", theme);
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = theme.sizes.gap.small;
        let shown = format_angle(target.bevel_deg, 1);
        let read = |text: &str| units.read(Kind::Angle, text);
        match typed_field(ui, "Bevel wanted", &shown, 70.0, &read, theme) {
            Some(Ok(bevel_deg)) => asked = Some(TargetSaved { bevel_deg, ..target }),
            Some(Err(why)) => state.refused = Some(why),
            None => {}
        }
        let chosen = meant_choice(ui, session, target, 118.0);
        if chosen.meant != target.meant {
            asked = Some(chosen);
        }
    });
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = theme.sizes.gap.small;
        if moves.is_some()
            && button(ui, "Find", Emphasis::Main, theme)
                .on_hover_text("Move what is not pinned to this bevel")
                .clicked()
        {
            asked = Some(target);
        }
        let emphasis = if moves.is_some() { Emphasis::Plain } else { Emphasis::Main };
        open_page = button(ui, "All answers…", emphasis, theme)
            .on_hover_text(
                "Every answer the rig allows, what each costs, and a wing if you want one: the Find page",
            )
            .clicked();
    });
    let names: Vec<String> = free.iter().map(|dial| dial.label().to_lowercase()).collect();
    let words = match names.as_slice() {
        [] => "Everything is pinned: pull a pin below.".to_owned(),
        names => format!("Not pinned: {}.", names.join(", ")),
    };
    ui.label(RichText::new(words).font(theme.small()).color(theme.tone(Tone::Weak)));
    if let Some(target) = asked {
        state.refused = None;
        if let Some(moves) = moves {
            state.answer = Some(search(session, target, moves, units));
        } else {
            session.edit(format!("Ask for {}", units.angle(target.bevel_deg)), |bench| {
                if let Some(current) = bench.current.as_mut() {
                    current.target = Some(target);
                }
            });
            open_page = true;
        }
        ui.ctx().request_repaint();
    }
    if let Some(why) = &state.refused {
        caution_line(ui, why, Tone::Bad, theme);
    } else if let Some((revision, tone, words)) = &state.answer
        && *revision == session.revision()
    {
        caution_line(ui, words, *tone, theme);
    }
    open_page
}

/// Searches, and says what came of it.
fn search(session: &mut Session, target: TargetSaved, moves: Quantity, units: Units) -> (u64, Tone, String) {
    let dial = moves;
    session.begin(format!("Find {}", units.angle(target.bevel_deg)));
    session.change_hand(|current| current.target = Some(target));
    // The search is part of this step: `find` closes it.
    let job = session.current().map(|current| session.bench().job_of(current));
    let found = match job.map(|job| Ok(target.bevel(&job?)?)) {
        Some(Ok(bevel)) => session.find(bevel, moves),
        Some(Err(why)) => Found::Nowhere(Some(why)),
        None => Found::Nowhere(None),
    };
    session.end();
    let name = dial.label().to_lowercase();
    let (tone, words) = match found {
        Found::Moved(_, value) => (Tone::Good, format!("Found: {name} {}.", units.show(dial.kind(), value))),
        Found::OffTravel(answer) => {
            let reason = answer
                .off_travel
                .map(|refusal| words::refusal_words(&refusal, &|mm| units.length(mm)).reason);
            (
                Tone::Caution,
                format!(
                    "That would take {name} {}. {} Pull another pin, or choose another bevel.",
                    units.show(dial.kind(), answer.value),
                    reason.unwrap_or_default()
                ),
            )
        }
        Found::Nowhere(why) => {
            let why = why.map(|why| words::unanswered_words(&why, &|mm| units.length(mm)).reason);
            (
                Tone::Caution,
                format!(
                    "No {name} gives {}. {}",
                    units.angle(target.bevel_deg),
                    why.unwrap_or_else(|| "Pull another pin first.".to_owned())
                ),
            )
        }
    };
    (session.revision(), tone, words)
}
