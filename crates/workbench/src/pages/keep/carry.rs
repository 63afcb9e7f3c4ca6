//! A setting, or all of them, on another rig, wheel, holder or projection; and which setting polishes which.

use bevelbench_geometry::{math::Kind, parts::Face, side::Caution};
use bevelbench_notebook::{
    answer::{
        carry::{Carried, NotCarried, Side, To, add_carried, carry, carry_all},
        polish::{polish, polish_of},
    },
    quantity::Units,
    saved::{BevelMeant, Id, SettingEntry, SupportSaved},
    words::{cautions_in_a_line, lower_first, meant_words, not_carried_words, not_kept_words, polish_words},
};
use egui::Ui;

use crate::{
    model::{appearance::Tone, session::Session},
    pages::{
        keep::{
            no_answer_words,
            sheet::{Column, Line, caption, choice, heading, note, number, row, sheet, table, tick},
            words_alone,
        },
        settings::meanings,
    },
    toolkit::{
        theme::Theme,
        widgets::{Emphasis, button, caution_line, tab_bar},
    },
};

/// Which wheel, unless one is named.
const ALIKE: &str = "a wheel of its kind";
/// Which holder, unless one is named.
const NEAREST: &str = "the holder that comes nearest";
/// What a setting polishes that is linked to none.
const NONE: &str = "nothing";

/// What the part keeps from frame to frame.
#[derive(Debug, Default)]
pub(super) struct CarryState {
    rig: Option<Id>,
    wheel: Option<Id>,
    holder: Option<Id>,
    projection_mm: Option<f64>,
    keep: BevelMeant,
    all: bool,
    link: bool,
    cached: Option<CarryCache>,
    message: Option<(u64, Tone, String)>,
}

/// What came of each, kept until something changes.
#[derive(Debug)]
struct CarryCache {
    key: (u64, To, bool),
    results: Vec<(String, Result<Carried, NotCarried>)>,
}

/// The part of the page.
pub(super) fn carry_part(
    ui: &mut Ui,
    session: &mut Session,
    state: &mut CarryState,
    units: Units,
    theme: &Theme,
) {
    let Some(current) = session.current().cloned() else {
        words_alone(ui, &no_answer_words(session, units), theme);
        return;
    };
    sheet(ui, "carry", theme, |ui| {
        let Some(to) = where_to(ui, session, state, &current, units, theme) else { return };
        let names = ["The setting in hand", "Every setting"];
        if let Some(index) = tab_bar(ui, &names, usize::from(state.all), theme) {
            state.all = index == 1;
            ui.ctx().request_repaint();
        }
        make(session, state, &current, to);
        if state.all {
            every_setting(ui, session, state, units, theme);
        } else {
            one_setting(ui, session, state, units, theme);
        }
        message(ui, session, state, theme);
        linked(ui, session, state, &current, units, theme);
    });
}

/// The place: rig, wheel, holder, projection, and the bevel that is kept.
fn where_to(
    ui: &mut Ui,
    session: &Session,
    state: &mut CarryState,
    current: &SettingEntry,
    units: Units,
    theme: &Theme,
) -> Option<To> {
    let bench = session.bench();
    // Unless another one is chosen, the first rig that is not its own.
    let other = bench.rigs.iter().find(|rig| rig.id != current.rig).or(bench.rigs.first());
    let chosen = state.rig.and_then(|id| bench.rig(id)).or(other);
    let Some(rig) = chosen else {
        note(ui, "There is no rig on the bench.", Tone::Weak, theme);
        return None;
    };
    row(ui, theme, |ui| {
        caption(ui, "To", theme);
        let rigs = bench.rigs.iter().map(|rig| rig.name.as_str());
        if let Some(index) = choice(ui, "Rig there", 150.0, &rig.name, rigs, theme) {
            (state.rig, state.wheel, state.holder) = (Some(bench.rigs[index].id), None, None);
        }
        let now = state.wheel.and_then(|id| rig.wheel(id)).map_or(ALIKE, |wheel| wheel.name.as_str());
        let wheels = std::iter::once(ALIKE).chain(rig.wheels.iter().map(|wheel| wheel.name.as_str()));
        if let Some(index) = choice(ui, "Wheel there", 140.0, now, wheels, theme) {
            state.wheel = index.checked_sub(1).map(|index| rig.wheels[index].id);
        }
        if matches!(current.support, SupportSaved::Holder { .. }) || state.all {
            let now =
                state.holder.and_then(|id| rig.holder(id)).map_or(NEAREST, |holder| holder.name.as_str());
            let holders =
                std::iter::once(NEAREST).chain(rig.holders.iter().map(|holder| holder.name.as_str()));
            if let Some(index) = choice(ui, "Holder there", 190.0, now, holders, theme) {
                state.holder = index.checked_sub(1).map(|index| rig.holders[index].id);
            }
        }
    });
    row(ui, theme, |ui| {
        caption(ui, "Keep the bevel", theme);
        let offered = meanings(session);
        if !offered.contains(&state.keep) {
            state.keep = BevelMeant::default();
        }
        let names = offered.iter().map(|meant| meant_words(*meant));
        if let Some(index) = choice(ui, "Bevel that is kept", 130.0, meant_words(state.keep), names, theme) {
            state.keep = offered[index];
        }
        caption(ui, "Projection there (as it was, if empty)", theme);
        match number(ui, "Projection there", state.projection_mm, Kind::Length, units, theme) {
            Some(Ok(value)) => state.projection_mm = value,
            Some(Err(why)) => state.message = Some((session.revision(), Tone::Bad, why)),
            None => {}
        }
    });
    Some(To {
        rig: rig.id,
        wheel: state.wheel,
        holder: state.holder,
        projection_mm: state.projection_mm,
        keep: state.keep,
    })
}

fn make(session: &Session, state: &mut CarryState, current: &SettingEntry, to: To) {
    let key = (session.revision(), to, state.all);
    if state.cached.as_ref().is_some_and(|cached| cached.key == key) {
        return;
    }
    // While something is dragged the whole set keeps still.
    if state.all && state.cached.is_some() && session.history().is_open() {
        return;
    }
    let bench = session.bench();
    let results = if state.all {
        let elsewhere = bench
            .settings
            .iter()
            .filter(|entry| entry.rig != to.rig || to.wheel.is_some_and(|wheel| entry.wheel != wheel));
        carry_all(bench, elsewhere, to)
            .into_iter()
            .map(|(entry, result)| (entry.name.clone(), result))
            .collect()
    } else {
        vec![(current.name.clone(), carry(bench, current, to))]
    };
    state.cached = Some(CarryCache { key, results });
}

/// Old and new numbers of the current setting.
fn one_setting(ui: &mut Ui, session: &mut Session, state: &mut CarryState, units: Units, theme: &Theme) {
    let Some((name, result)) = state.cached.as_ref().and_then(|cached| cached.results.first()) else {
        return;
    };
    let carried = match result {
        Ok(carried) => carried.clone(),
        Err(why) => {
            let words = not_carried_words(why, &|mm| units.length(mm)).together();
            caution_line(ui, &format!("“{name}” is not carried over. {words}"), Tone::Bad, theme);
            return;
        }
    };
    heading(ui, &format!("“{name}” there"), theme);
    let place = place_words(session, &carried.new.entry);
    note(ui, &place, Tone::Weak, theme);
    let columns = [Column::words("", 1.4), Column::number("Old", 1.0), Column::number("New", 1.0)];
    let lines: Vec<Line> =
        rows(&carried, units).into_iter().map(|(name, old, new)| Line::plain(vec![name, old, new])).collect();
    table(ui, &columns, &lines, None, theme);
    let (tone, words) = lost_words(&carried, units);
    caution_line(ui, &words, tone, theme);
    let reported = carried.new.job.cautions(&carried.new.view);
    for caution in reported.iter().filter(|caution| caution.is_warning()) {
        let words = bevelbench_notebook::words::caution_words(caution, &|mm| units.length(mm));
        caution_line(ui, &words, Tone::Caution, theme);
    }
    let tone = Tone::of_cautions(&reported);
    let words = cautions_in_a_line(&reported);
    note(ui, &words, tone, theme);
    if let Some(polish) = polish(&carried.old, &carried.new) {
        let face: Face = carried.old.job.setting.face;
        let (warns, words) = polish_words(&polish, face, &|mm| units.fine(mm));
        let words = format!("On the facet that the old setting cuts: {}", lower_first(&words));
        caution_line(ui, &words, if warns { Tone::Caution } else { Tone::Good }, theme);
    }
    row(ui, theme, |ui| {
        if button(ui, "Add it to the rack", Emphasis::Main, theme).clicked() {
            add(session, state, &[&carried]);
            ui.ctx().request_repaint();
        }
        tick(ui, &mut state.link, "it only polishes what the old one cuts", theme);
    });
}

/// Every setting, with what could not be kept, and those that cannot go there.
fn every_setting(ui: &mut Ui, session: &mut Session, state: &mut CarryState, units: Units, theme: &Theme) {
    let Some(cached) = &state.cached else { return };
    let carried: Vec<Carried> =
        cached.results.iter().filter_map(|(_, result)| result.as_ref().ok()).cloned().collect();
    let left: Vec<(&String, &NotCarried)> =
        cached.results.iter().filter_map(|(name, result)| Some((name, result.as_ref().err()?))).collect();
    heading(ui, &format!("{} of {} can go there", carried.len(), cached.results.len()), theme);
    let columns = [
        Column::words("Setting", 1.7),
        Column::number("Reach or tilt", 0.9),
        Column::number("Strut", 0.6),
        Column::words("Not kept", 2.4),
    ];
    let lines: Vec<Line> = carried
        .iter()
        .map(|one| {
            let (set, strut) = set_words(&one.new, units);
            let reported = one.new.job.cautions(&one.new.view);
            let warned = reported.iter().filter(|caution| caution.is_warning()).count();
            let (_, mut lost) = lost_words(one, units);
            if warned > 0 {
                lost = format!("{warned} caution{}; {lost}", if warned == 1 { "" } else { "s" });
            }
            let tone = if reported.iter().any(Caution::is_unsafe) { Tone::Caution } else { Tone::Strong };
            Line { cells: vec![one.old.entry.name.clone(), set, strut, lost], tone }
        })
        .collect();
    table(ui, &columns, &lines, None, theme);
    if let Some(one) = carried.first() {
        let reported = one.new.job.cautions(&one.new.view);
        let tone = Tone::of_cautions(&reported);
        let words = cautions_in_a_line(&reported);
        note(ui, &words, tone, theme);
    }
    if !left.is_empty() {
        heading(ui, "Cannot go there", theme);
        for (name, why) in left {
            let words = not_carried_words(why, &|mm| units.length(mm)).together();
            caution_line(ui, &format!("“{name}”: {words}"), Tone::Bad, theme);
        }
    }
    if !carried.is_empty() {
        row(ui, theme, |ui| {
            let words = format!("Add these {} to the rack", carried.len());
            if button(ui, &words, Emphasis::Main, theme).clicked() {
                let all: Vec<&Carried> = carried.iter().collect();
                state.link = false;
                add(session, state, &all);
                ui.ctx().request_repaint();
            }
        });
    }
}

/// Adds them as one undo step.
fn add(session: &mut Session, state: &mut CarryState, carried: &[&Carried]) {
    let link = std::mem::take(&mut state.link);
    let label = match carried {
        [one] => format!("Carry “{}” over", one.old.entry.name),
        many => format!("Carry {} settings over", many.len()),
    };
    let mut names = Vec::new();
    session.edit(label, |bench| {
        let added = add_carried(bench, carried, link);
        names.extend(added.iter().filter_map(|id| bench.setting(*id)).map(|entry| entry.name.clone()));
    });
    let words = match &names[..] {
        [one] => format!("“{one}” is on the rack."),
        many => format!("{} settings are on the rack.", many.len()),
    };
    state.message = Some((session.revision(), Tone::Good, words));
}

fn message(ui: &mut Ui, session: &Session, state: &CarryState, theme: &Theme) {
    if let Some((revision, tone, words)) = &state.message
        && *revision == session.revision()
    {
        caution_line(ui, words, *tone, theme);
    }
}

fn place_words(session: &Session, entry: &SettingEntry) -> String {
    let Some(rig) = session.bench().rig(entry.rig) else { return String::new() };
    let wheel = rig.wheel(entry.wheel).map_or("", |wheel| wheel.name.as_str());
    match entry.support {
        SupportSaved::Holder { holder, .. } => {
            let holder = rig.holder(holder).map_or("", |holder| holder.name.as_str());
            format!("{}, {wheel}, {holder}", rig.name)
        }
        _ => format!("{}, {wheel}", rig.name),
    }
}

fn lost_words(carried: &Carried, units: Units) -> (Tone, String) {
    if carried.same_surface {
        return (Tone::Good, "The very same surface.".to_owned());
    }
    if carried.not_kept.is_empty() {
        return (Tone::Good, "Nothing lost that could be measured.".to_owned());
    }
    let lost: Vec<String> = carried
        .not_kept
        .iter()
        .map(|lost| not_kept_words(lost, &|mm| units.length(mm), &|mm| units.fine(mm)))
        .collect();
    (Tone::Weak, format!("Not kept: {}.", lost.join(", ")))
}

/// What is set: reach or tilt, and the strut where there is one.
fn set_words(side: &Side, units: Units) -> (String, String) {
    match side.entry.support {
        SupportSaved::Handle { reach_mm } => (units.length(reach_mm), String::new()),
        SupportSaved::Holder { reach_mm, strut_angle_deg, .. } => {
            (units.length(reach_mm), units.angle(strut_angle_deg))
        }
        SupportSaved::Table { tilt_deg } => (units.angle(tilt_deg), String::new()),
    }
}

/// Name, old and new of everything that is set and follows.
fn rows(carried: &Carried, units: Units) -> Vec<(String, String, String)> {
    let mut rows = Vec::new();
    let mut add = |name: &str, of: &dyn Fn(&Side) -> Option<String>| {
        let (old, new) = (of(&carried.old), of(&carried.new));
        if old.is_some() || new.is_some() {
            let shown = |value: Option<String>| value.unwrap_or_else(|| "–".to_owned());
            rows.push((name.to_owned(), shown(old), shown(new)));
        }
    };
    let held = |side: &Side| match side.entry.support {
        SupportSaved::Holder { projection_mm, strut_angle_deg, .. } => Some((projection_mm, strut_angle_deg)),
        _ => None,
    };
    add("Wheel diameter", &|side| side.job.setting.face.radius_mm().map(|r| units.length(2.0 * r)));
    add("Projection", &|side| held(side).map(|(projection, _)| units.length(projection)));
    add("Strut angle", &|side| held(side).map(|(_, strut)| units.angle(strut)));
    let tilted = matches!(carried.new.entry.support, SupportSaved::Table { .. });
    add(if tilted { "Tilt" } else { "Reach" }, &|side| Some(set_words(side, units).0));
    add("Gauge length", &|side| side.view.gauge_length_mm().map(|mm| units.length(mm)));
    add("Bevel at the edge", &|side| Some(units.angle(side.view.bevel().degrees())));
    add("Bevel across the facet", &|side| Some(units.angle(side.view.facet.across.degrees())));
    add("Facet", &|side| Some(units.length(side.view.facet.width_mm)));
    add("Hollow", &|side| Some(units.fine(side.view.facet.hollow_mm)));
    add("Wing sweep", &|side| side.wing_sweep_mm().map(|mm| units.length(mm)));
    add("Contact above the spindle", &|side| Some(units.length(side.view.contact_height_mm())));
    rows
}

/// Which setting of the tool the current one polishes, and how it meets that facet.
fn linked(
    ui: &mut Ui,
    session: &mut Session,
    state: &mut CarryState,
    current: &SettingEntry,
    units: Units,
    theme: &Theme,
) {
    heading(ui, "Shaping wheel and keeping wheel", theme);
    note(
        ui,
        "A setting on the keeping wheel can be linked to the one on the shaping wheel that cuts the facet: then it is said how it will touch.",
        Tone::Weak,
        theme,
    );
    let others: Vec<(Id, String)> = session
        .bench()
        .settings_of(current.tool)
        .filter(|entry| entry.id != current.id)
        .map(|entry| (entry.id, entry.name.clone()))
        .collect();
    let now = others.iter().find(|(id, _)| Some(*id) == current.keep.polishes);
    row(ui, theme, |ui| {
        caption(ui, &format!("“{}” polishes what is cut by", current.name), theme);
        let shown = now.map_or(NONE, |(_, name)| name.as_str());
        let options = std::iter::once(NONE).chain(others.iter().map(|(_, name)| name.as_str()));
        if let Some(index) = choice(ui, "Polishes", 220.0, shown, options, theme) {
            let polishes = index.checked_sub(1).map(|index| others[index].0);
            let id = current.id;
            session.edit("Link two settings", |bench| {
                let all = bench.settings.iter_mut().chain(&mut bench.current);
                all.filter(|entry| entry.id == id).for_each(|entry| entry.keep.polishes = polishes);
            });
            state.message = None;
            ui.ctx().request_repaint();
        }
    });
    if now.is_none() {
        return;
    }
    match polish_of(session.bench(), current) {
        Some(polish) => {
            let shaping = current.keep.polishes.and_then(|id| session.bench().setting(id));
            let face =
                shaping.and_then(|entry| session.bench().job_of(entry).ok()).map(|job| job.setting.face);
            let face = face.unwrap_or(Face::Round { radius_mm: 1.0 });
            let (warns, words) = polish_words(&polish, face, &|mm| units.fine(mm));
            caution_line(ui, &words, if warns { Tone::Caution } else { Tone::Good }, theme);
        }
        None => {
            caution_line(ui, "One of the two has no answer, so they never meet.", Tone::Bad, theme);
        }
    }
}
