//! What to set for a bevel and a wing: every answer the rig allows, what each costs, and the curve of answers where one
//! thing more is free than is needed.

mod answers;
mod curve;
mod picture;
mod wanted;

use bevelbench_geometry::{math::Quantity, solve::Solution};
use bevelbench_notebook::{
    answer::finding::{BevelQuery, Found, NotFindable, Offer},
    quantity::Units,
    saved::{Bench, BevelMeant, SettingEntry, TargetSaved, WingSaved, table::OnBench},
};
use egui::{Rect, ScrollArea, Ui, UiBuilder, pos2, vec2};

use crate::{
    model::session::Session,
    pages::settings::current_target,
    toolkit::theme::{Surface, Theme},
};

/// What the part keeps from frame to frame.
#[derive(Debug, Default)]
pub(super) struct BevelState {
    /// Whether strut and projection stand at rests and stop blocks only.
    at_stops: bool,
    cached: Option<BevelSearch>,
    /// Why what was typed was not understood.
    refused: Option<String>,
    picture: picture::Picture,
}

/// What was asked and found, kept until the bench changes.
#[derive(Debug)]
struct BevelSearch {
    key: (u64, bool),
    target: TargetSaved,
    result: Result<BevelResult, NotFindable>,
    /// Grows with whatever else is to be shown.
    shown: u64,
}

/// What was found.
#[derive(Debug)]
struct BevelResult {
    query: BevelQuery,
    free: Vec<Quantity>,
    at_stops: bool,
    found: Found,
    /// The answers, those that nothing stands in the way of first.
    offers: Vec<Offer>,
    chosen: usize,
    /// The member of the family that is looked at, and its branch.
    member: Option<(usize, Offer)>,
    /// The member from which a drag along the curve began.
    held: Option<(usize, Offer)>,
    /// The nearest miss, where nothing meets the target.
    near: Option<Offer>,
}

impl BevelResult {
    fn of(
        bench: &Bench,
        current: &SettingEntry,
        target: &TargetSaved,
        at_stops: bool,
    ) -> Result<Self, NotFindable> {
        let query = BevelQuery::for_target(bench, current, target)?;
        let free = query.free_of(current);
        let found = query.find(&free, at_stops)?;
        let offer = |solution: &Solution| query.offer(bench, current, &free, solution);
        let mut offers: Vec<Offer> = found.solutions.answers.iter().map(offer).collect();
        // Those in whose way something stands come last; else the cheaper ones stay first.
        offers.sort_by_key(|offer| offer.standing.is_err());
        let near = found.solutions.near.first().map(offer);
        let member = found.family.as_ref().and_then(|family| {
            let all = family.branches.iter().enumerate();
            let (branch, sample) = all
                .flat_map(|(i, branch)| branch.iter().map(move |member| (i, member)))
                .min_by(|a, b| a.1.cost.total_cmp(&b.1.cost))?;
            // What is walked may just as well stay as it is.
            let stays = query.present(family.walked).and_then(|value| {
                let freedoms = query.degrees_of_freedom(&free, at_stops).ok()?;
                query.question.member(&freedoms, value, sample)
            });
            Some((branch, offer(&stays.filter(|member| member.cost < sample.cost).unwrap_or(*sample))))
        });
        Ok(Self { free, at_stops, found, offers, chosen: 0, member, held: None, near, query })
    }

    /// What is shown and would be set.
    fn shown(&self) -> Option<&Offer> {
        self.member.as_ref().map(|(_, offer)| offer).or_else(|| self.offers.get(self.chosen))
    }
}

/// What is done about what was found.
#[derive(Debug)]
enum BevelAction {
    /// The target is another one.
    Ask(TargetSaved),
    /// Rests and stop blocks only, or anywhere.
    AtStops(bool),
    /// Another answer is looked at.
    Look(usize),
    /// Another member of the family is looked at.
    Along(usize, Box<Solution>),
    /// A drag along the curve begins.
    Hold,
    /// The drag is given up.
    PutBack,
    /// Set it so.
    Take(Box<Solution>, Vec<Quantity>),
    /// Pull or push a pin.
    Free(Quantity, bool),
}

/// The part of the page.
pub(super) fn bevel_part(
    ui: &mut Ui,
    session: &mut Session,
    state: &mut BevelState,
    units: Units,
    theme: &Theme,
) {
    let whole = ui.available_rect_before_wrap();
    let (Some(current), Some(target)) = (session.current(), current_target(session)) else {
        super::no_current_setting(ui, theme);
        return;
    };
    let key = (session.revision(), state.at_stops);
    if state.cached.as_ref().is_none_or(|cached| cached.key != key) {
        let result = BevelResult::of(session.bench(), current, &target, state.at_stops);
        state.cached = Some(BevelSearch { key, target, result, shown: 0 });
    }
    let BevelState { cached: Some(cached), refused, picture, .. } = state else { return };
    let gap = theme.sizes.gap;
    let left_width = (whole.width() * 0.47).clamp(300.0, 470.0).min(whole.width() - 160.0);
    let left = Rect::from_min_size(whole.min, vec2(left_width, whole.height()));
    let right = Rect::from_min_max(pos2(left.right(), whole.top()), whole.max);
    ui.painter().rect_filled(left, 0.0, theme.surface(Surface::Panel));
    let mut action = None;
    let inner = left.shrink2(vec2(gap.margin, gap.normal));
    ui.scope_builder(UiBuilder::new().max_rect(inner).id_salt("for a bevel"), |ui| {
        ui.set_clip_rect(left.intersect(ui.clip_rect()));
        ScrollArea::vertical().id_salt("answers").auto_shrink([false, false]).show(ui, |ui| {
            ui.set_max_width(inner.width() - gap.wide);
            ui.spacing_mut().item_spacing.y = gap.small;
            action = wanted::wanted(ui, session, cached, refused, units, theme);
            ui.add_space(gap.normal);
            action = answers::answers(ui, session, cached, units, theme).or(action.take());
        });
    });
    ui.painter().vline(left.right().floor() + 0.5, whole.y_range(), theme.hairline());
    let family = cached.result.as_ref().ok().and_then(|result| result.found.family.as_ref());
    let curve_height = if family.is_some() { (right.height() * 0.42).clamp(150.0, 300.0) } else { 0.0 };
    let split = right.bottom() - curve_height;
    picture::picture(
        ui,
        Rect::from_min_max(right.min, pos2(right.right(), split)),
        session,
        cached,
        picture,
        theme,
    );
    if family.is_some() {
        let below = Rect::from_min_max(pos2(right.left(), split), right.max);
        ui.painter().hline(right.x_range(), split.floor() + 0.5, theme.hairline());
        action = curve::curve(ui, below, cached, units, theme).or(action);
    }
    if let Some(action) = action {
        do_it(session, state, action, units);
        ui.ctx().request_repaint();
    }
}

fn do_it(session: &mut Session, state: &mut BevelState, action: BevelAction, units: Units) {
    let BevelState { cached: Some(cached), refused, .. } = state else { return };
    match action {
        BevelAction::Ask(target) => {
            *refused = None;
            let label = format!("Ask for {}", units.angle(target.bevel_deg));
            session.edit(label, |bench| {
                if let Some(current) = bench.current.as_mut() {
                    current.target = Some(target);
                }
            });
        }
        BevelAction::AtStops(at_stops) => state.at_stops = at_stops,
        BevelAction::Look(index) => {
            if let Ok(result) = &mut cached.result {
                result.chosen = index;
                cached.shown += 1;
            }
        }
        BevelAction::Along(branch, member) => {
            if let (Ok(result), Some(current)) = (&mut cached.result, session.current()) {
                let offer = result.query.offer(session.bench(), current, &result.free, &member);
                result.member = Some((branch, offer));
                cached.shown += 1;
            }
        }
        BevelAction::Hold | BevelAction::PutBack => {
            if let Ok(result) = &mut cached.result {
                if matches!(action, BevelAction::Hold) {
                    result.held.clone_from(&result.member);
                } else if let Some(held) = result.held.take() {
                    result.member = Some(held);
                    cached.shown += 1;
                }
            }
        }
        BevelAction::Take(solution, moved) => {
            let bevel_deg = solution.view.bevel().degrees();
            let mut target = cached.target;
            if let Some(WingSaved::SameAs { .. }) = target.wing {
                // The bevel is that of the other setting.
                (target.bevel_deg, target.meant) = (bevel_deg, BevelMeant::AtEdge);
            }
            session.edit(format!("Set for {}", units.angle(bevel_deg)), |bench| {
                for what in moved {
                    if let Some(value) = solution.value_of(what) {
                        what.set(bench, value);
                    }
                }
                if let Some(current) = bench.current.as_mut() {
                    current.target = Some(target);
                }
            });
        }
        BevelAction::Free(what, free) => {
            let verb = if free { "Free" } else { "Pin" };
            let name = what.words();
            session.edit(format!("{verb} the {name}"), |bench| {
                if let Some(current) = bench.current.as_mut() {
                    current.set_free(what, free);
                }
            });
        }
    }
}
