//! The answers under one another, each with what it costs; or why there is none, with mends to press.

use bevelbench_geometry::{
    math::Quantity,
    solve::{Remedy, Short},
};
use bevelbench_notebook::{
    answer::finding::{NotFindable, Offer},
    quantity::{Units, format_angle},
    saved::table,
    words::{self, capital, cautions_in_a_line, value_text},
};
use egui::{Color32, Frame, Margin, RichText, Sense, Stroke, StrokeKind, Ui, WidgetInfo};

use crate::{
    model::{appearance::Tone, session::Session},
    pages::find::{
        bevel::{BevelAction, BevelResult, BevelSearch},
        note,
    },
    toolkit::{
        theme::{Surface, Theme, Weight},
        widgets::{Emphasis, button, caution_line, section},
    },
};

/// Mends that are offered.
const MENDS: usize = 3;

pub(super) fn answers(
    ui: &mut Ui,
    session: &Session,
    cached: &BevelSearch,
    units: Units,
    theme: &Theme,
) -> Option<BevelAction> {
    let result = match &cached.result {
        Ok(result) => result,
        Err(why) => return not_asked(ui, session, why, units, theme),
    };
    if let Some((_, member)) = &result.member {
        section(ui, "Any of these does", "one is free to choose", theme);
        note(ui, "Drag the dot along the curve, or step it with the arrow keys; the drawing follows.", theme);
        return card(ui, None, member, true, result, units, theme);
    }
    if result.offers.is_empty() {
        return no_answer(ui, session, result, units, theme);
    }
    let count = result.offers.len();
    let trailing = if count == 1 { "the only one".to_owned() } else { format!("{count}, least move first") };
    section(ui, "Answers", &trailing, theme);
    let mut action = None;
    for (index, offer) in result.offers.iter().enumerate() {
        action = card(ui, Some(index), offer, index == result.chosen, result, units, theme).or(action);
    }
    action
}

/// What is set, in one line.
fn values(offer: &Offer, units: Units) -> String {
    let length = |mm: f64| units.length(mm);
    let values: Vec<String> = offer
        .moves
        .iter()
        .map(|one| format!("{} {}", one.what.words(), value_text(one.what, one.after, &length)))
        .collect();
    if values.is_empty() { "As it stands".to_owned() } else { capital(&values.join(", ")) }
}

/// How far each quantity moves.
fn moves(offer: &Offer, units: Units) -> String {
    let length = |mm: f64| units.length(mm);
    let moved: Vec<String> = offer
        .moves
        .iter()
        .filter_map(|one| Some(format!("{} {}", one.what.words(), words::move_words(one, &length)?)))
        .collect();
    if moved.is_empty() { "nothing moves".to_owned() } else { format!("moves: {}", moved.join(", ")) }
}

/// What the bevel does for a millimetre or a degree, and how sure it is.
fn sensitivity(offer: &Offer, units: Units) -> String {
    let slopes = offer.moves.iter().filter_map(|one| {
        let slope = one.slope_deg?;
        let unit = if one.what.is_angle() { "degree" } else { "mm" };
        Some(format!("{} a {unit} of {}", format_angle(slope, 2), one.what.words()))
    });
    let sure = format!("bevel sure to ±{}", units.angle(offer.plus_minus.degrees()));
    slopes.chain(std::iter::once(sure)).collect::<Vec<_>>().join(" · ")
}

/// An answer as a card; the chosen one can be set.
fn card(
    ui: &mut Ui,
    index: Option<usize>,
    offer: &Offer,
    chosen: bool,
    result: &BevelResult,
    units: Units,
    theme: &Theme,
) -> Option<BevelAction> {
    let mut action = None;
    let fill = if chosen { theme.surface(Surface::Selected) } else { Color32::TRANSPARENT };
    let stroke =
        if chosen { Stroke::new(1.5 * theme.sizes.line, theme.palette.accent) } else { theme.hairline() };
    let title = values(offer, units);
    let message = moves(offer, units);
    let padding = Margin::symmetric(theme.sizes.gap.normal as i8, theme.sizes.gap.small as i8 + 2);
    // The card is pressed as a whole; its button lies over it.
    let place = ui.next_auto_id();
    let under = index.map(|index| (index, ui.scope_id().with(("answer", index, place))));
    let pressed = under.and_then(|(index, id)| {
        let known: Option<egui::Rect> = ui.data(|d| d.get_temp(id));
        let response = ui.interact(known?, id, Sense::click());
        let label = format!("Answer {}: {title}; {message}", index + 1);
        response.widget_info(|| WidgetInfo::selected(egui::Role::RadioButton, true, chosen, &label));
        if response.has_focus() {
            ui.painter().rect_stroke(
                response.rect.expand(2.0),
                theme.corner(),
                theme.focus_ring(),
                StrokeKind::Inside,
            );
        }
        response.clicked().then_some(index)
    });
    if let Some(index) = pressed.filter(|_| !chosen) {
        action = Some(BevelAction::Look(index));
    }
    let shown =
        Frame::new().fill(fill).stroke(stroke).corner_radius(theme.corner()).inner_margin(padding).show(
            ui,
            |ui| {
                ui.set_width(ui.available_width());
                ui.spacing_mut().item_spacing.y = 2.0;
                let heavy = theme.font(Weight::SemiBold, theme.sizes.text.body);
                words_line(ui, &title, heavy, Tone::Strong, theme);
                words_line(ui, &message, theme.body(), Tone::Strong, theme);
                words_line(ui, &sensitivity(offer, units), theme.small(), Tone::Weak, theme);
                match &offer.standing {
                    Err(refusal) => {
                        let reported = words::refusal_words(refusal, &|mm| units.length(mm));
                        caution_line(ui, &format!("In the way: {}", reported.together()), Tone::Bad, theme);
                    }
                    Ok(cautions) => {
                        for caution in cautions.iter().filter(|caution| caution.is_warning()) {
                            let reported = words::caution_words(caution, &|mm| units.length(mm));
                            caution_line(ui, &reported, Tone::Caution, theme);
                        }
                        if chosen {
                            let tone = Tone::of_cautions(cautions);
                            let reported = cautions_in_a_line(cautions);
                            words_line(ui, &reported, theme.small(), tone, theme);
                        }
                    }
                }
                if chosen {
                    ui.add_space(theme.sizes.gap.small);
                    let still = offer.moves.iter().all(|one| one.by().abs() < 1e-9);
                    ui.add_enabled_ui(offer.standing.is_ok() && !still, |ui| {
                        let hint = "Move the setting in hand there, as one step that Undo takes back";
                        if button(ui, "Set it so", Emphasis::Main, theme).on_hover_text(hint).clicked() {
                            action = Some(BevelAction::Take(Box::new(offer.solution), result.free.clone()));
                        }
                    });
                }
            },
        );
    if let Some((_, id)) = under {
        let rect = shown.response.rect;
        if ui.data(|d| d.get_temp::<egui::Rect>(id)) != Some(rect) {
            ui.data_mut(|d| d.insert_temp(id, rect));
            ui.ctx().request_repaint();
        }
    }
    action
}

fn words_line(ui: &mut Ui, words: &str, font: egui::FontId, tone: Tone, theme: &Theme) {
    ui.add(
        egui::Label::new(RichText::new(words).font(font).color(theme.tone(tone))).wrap().selectable(false),
    );
}

/// Nothing meets the target: what stops it, the nearest miss, and mends to press.
fn no_answer(
    ui: &mut Ui,
    session: &Session,
    result: &BevelResult,
    units: Units,
    theme: &Theme,
) -> Option<BevelAction> {
    let length = |mm: f64| units.length(mm);
    let mut action = None;
    section(ui, "No answer", "", theme);
    let found = &result.found;
    if let Some(gone) = &found.nose_gone {
        let reported = words::nose_gone_words(gone, &length);
        caution_line(ui, &reported.reason, Tone::Bad, theme);
        caution_line(ui, &reported.remedy, Tone::Strong, theme);
    }
    for short in least_short(&found.solutions.short) {
        let reported = words::short_words(&short, &found.remedies, &length);
        caution_line(ui, &reported.reason, Tone::Bad, theme);
        caution_line(ui, &reported.remedy, Tone::Strong, theme);
    }
    for remedy in found.remedies.iter().take(MENDS) {
        let limit = value_text(remedy.short.what, remedy.short.limit, &length);
        let hint = format!("and leave the {} at {limit}; one step", remedy.short.what.words());
        if button(ui, &words::remedy_words(remedy, &length), Emphasis::Main, theme)
            .on_hover_text(hint)
            .clicked()
        {
            action = Some(taken(result, remedy));
        }
    }
    if let Some(near) = &result.near {
        let reported = words::near_words(&near.solution, &result.free, result.query.question.wing, &length);
        caution_line(ui, &format!("Nearest: {reported}"), Tone::Weak, theme);
        let moved = near.moves.iter().any(|one| one.by().abs() > 1e-9);
        if moved && near.standing.is_ok() && button(ui, "Set the nearest", Emphasis::Plain, theme).clicked() {
            action = Some(BevelAction::Take(Box::new(near.solution), result.free.clone()));
        }
    }
    more_free(ui, session, result, theme).or(action)
}

/// One of each quantity that stops the target, the least short of it.
fn least_short(all: &[Short]) -> Vec<Short> {
    let mut shown: Vec<Short> = Vec::new();
    for short in all {
        if !shown.iter().any(|known| known.what == short.what) {
            shown.push(*short);
        }
    }
    shown
}

fn taken(result: &BevelResult, remedy: &Remedy) -> BevelAction {
    let mut moved = result.free.clone();
    for what in [remedy.what, remedy.short.what] {
        if !moved.contains(&what) {
            moved.push(what);
        }
    }
    BevelAction::Take(Box::new(remedy.solution), moved)
}

/// Pins that could be pulled.
fn more_free(ui: &mut Ui, session: &Session, result: &BevelResult, theme: &Theme) -> Option<BevelAction> {
    let current = session.current()?;
    let wing = result.query.question.wing.is_some();
    let others: Vec<Quantity> = table::offered()
        .filter(|&what| wing || what != Quantity::RollCentre)
        .filter(|&what| !current.is_free(what) && result.query.degree_of_freedom(what).is_some())
        .collect();
    if others.is_empty() || result.free.len() > usize::from(wing) + 1 {
        return None;
    }
    note(ui, "Or let something else move as well:", theme);
    let mut action = None;
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = theme.sizes.gap.small;
        for what in others {
            let words = format!("Free the {}", what.words());
            if button(ui, &words, Emphasis::Plain, theme).clicked() {
                action = Some(BevelAction::Free(what, true));
            }
        }
    });
    action
}

/// The question could not be put.
fn not_asked(
    ui: &mut Ui,
    session: &Session,
    why: &NotFindable,
    units: Units,
    theme: &Theme,
) -> Option<BevelAction> {
    section(ui, "No answer", "", theme);
    let reported = words::not_findable_words(why, &|mm| units.length(mm));
    caution_line(ui, &reported.reason, Tone::Bad, theme);
    caution_line(ui, &reported.remedy, Tone::Strong, theme);
    if !matches!(why, NotFindable::TooManyFreedoms { .. }) {
        return None;
    }
    let mut action = None;
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = theme.sizes.gap.small;
        for dial in crate::pages::settings::free_dials(session) {
            let words = format!("Pin the {}", dial.words());
            if button(ui, &words, Emphasis::Plain, theme).clicked() {
                action = Some(BevelAction::Free(dial, false));
            }
        }
    });
    action
}
