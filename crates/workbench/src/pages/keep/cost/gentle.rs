//! The gentlest way there: what may move, what is found, and setting it so.

use bevelbench_geometry::{
    math::Quantity,
    side::{Job, SideView},
};
use bevelbench_notebook::{
    answer::removal::{
        TipBefore,
        gentlest::{BEVEL_MAY_MOVE_DEG, GrindOption, MayMove, gentlest},
    },
    quantity::Units,
    saved::{SupportSaved, table},
    words::option_words,
};
use egui::Ui;

use crate::{
    model::{appearance::Tone, session::Session},
    pages::keep::caption,
    toolkit::{
        theme::Theme,
        widgets::{Emphasis, button, caution_line, section},
    },
};

/// What may be moved, and what was found.
#[derive(Debug)]
pub(super) struct GentleState {
    may: MayMove,
    found: Option<(u64, Option<GrindOption>)>,
}

impl Default for GentleState {
    fn default() -> Self {
        Self { may: MayMove { projection: true, strut_angle: true, bevel: false }, found: None }
    }
}

/// The part below the figures.
pub(super) fn gentle(
    ui: &mut Ui,
    session: &mut Session,
    state: &mut GentleState,
    (job, view, before): (&Job, &SideView, &TipBefore),
    set: &GrindOption,
    units: Units,
    theme: &Theme,
) {
    section(ui, "Gentlest way there", "", theme);
    let Some(current) = session.current().cloned() else { return };
    let in_holder = matches!(current.support, SupportSaved::Holder { .. });
    let arm = if job.setting.pivot().is_some() { "the arm" } else { "the table" };
    let was = state.may;
    ui.horizontal_wrapped(|ui| {
        caption(ui, &format!("Besides {arm}, what may move:"), theme);
        if in_holder {
            ui.checkbox(&mut state.may.projection, "projection");
            ui.checkbox(&mut state.may.strut_angle, "strut angle");
        }
        ui.checkbox(&mut state.may.bevel, format!("the bevel, by {BEVEL_MAY_MOVE_DEG}°"));
        let look = button(ui, "Look for it", Emphasis::Plain, theme).on_hover_text(
            "Looks for the mix of moves that loses the least length, and the least steel where that is alike",
        );
        if look.clicked() {
            let rests = rests_of(session, &current.support);
            let option = gentlest(job, view, current.swing.as_ref(), before, state.may, &rests);
            state.found = Some((session.revision(), option));
        }
    });
    if was != state.may {
        state.found = None;
    }
    let Some((revision, option)) = state.found else { return };
    if revision != session.revision() {
        return;
    }
    let Some(option) = option else {
        caution_line(ui, "No other setting grinds this bevel.", Tone::Caution, theme);
        return;
    };
    caution_line(ui, &option_words(&option, set, &|mm| units.length(mm)), Tone::Good, theme);
    let moves: Vec<(Quantity, f64)> = table::in_setting_order()
        .filter_map(|free| {
            let (to, from) = (option.setting.value_of(free)?, set.setting.value_of(free)?);
            ((to - from).abs() > 1e-6).then_some((free, to))
        })
        .collect();
    if !moves.is_empty() && button(ui, "Set it so", Emphasis::Plain, theme).clicked() {
        session.edit("Set the gentlest way", |bench| {
            if let Some(current) = bench.current.as_mut() {
                for (free, value) in moves {
                    current.put(free, value);
                }
            }
        });
    }
}

/// The rests of the strut, where it clicks into some.
fn rests_of(session: &Session, support: &SupportSaved) -> Vec<f64> {
    let SupportSaved::Holder { holder, .. } = *support else { return Vec::new() };
    let current = session.current();
    let rig = current.and_then(|current| session.bench().rig(current.rig));
    rig.and_then(|rig| rig.holder(holder)).map(|holder| holder.rests_deg.clone()).unwrap_or_default()
}
