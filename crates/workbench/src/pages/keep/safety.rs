//! Speeds, gaps and cautions, each with its source. For information: nothing here says that anything complies.

use bevelbench_geometry::math::{Angle, Kind};
use bevelbench_notebook::{
    answer::logbook::PUBLISHED_LIMITS,
    quantity::{Units, format_number},
    saved::{GuardSaved, LimitsSaved, MainsSaved, Rig, SettingEntry, WheelSaved},
    words::safety::{Check, FIRST, Verdict, mains_speed_rpm, plain_cautions, wheel_checks},
};
use egui::{RichText, Ui};

use crate::{
    model::{appearance::Tone, session::Session},
    pages::keep::{
        change_wheel,
        sheet::{Column, Line, caption, choice, heading, note, number, row, sheet, table},
    },
    toolkit::{
        theme::{Theme, Weight},
        widgets::{Emphasis, button, caution_line, typed_field},
    },
};

/// Limits that are nobody's published ones.
const OWN: &str = "other rules";

/// Where a measurement of a guard is kept.
type Place = fn(&mut GuardSaved) -> &mut Option<f64>;

/// What the part keeps from frame to frame.
#[derive(Debug)]
pub(super) struct SafetyState {
    mains: MainsSaved,
    message: Option<(u64, Tone, String)>,
}

impl Default for SafetyState {
    fn default() -> Self {
        Self { mains: MainsSaved { hz: 50.0, poles: 4 }, message: None }
    }
}

/// The part of the page.
pub(super) fn safety_part(
    ui: &mut Ui,
    session: &mut Session,
    state: &mut SafetyState,
    units: Units,
    theme: &Theme,
) {
    let current = session.current().cloned();
    let rig = current.as_ref().and_then(|current| session.bench().rig(current.rig)).cloned();
    let wheel =
        rig.as_ref().zip(current.as_ref()).and_then(|(rig, current)| rig.wheel(current.wheel)).cloned();
    sheet(ui, "safety", theme, |ui| {
        caution_line(ui, FIRST, Tone::Caution, theme);
        if let (Some(current), Some(rig), Some(wheel)) = (&current, &rig, &wheel) {
            heading(ui, &format!("{}: {}", rig.name, wheel.name.to_lowercase()), theme);
            checks(ui, session, rig, wheel, units, theme);
            if let Some((revision, tone, words)) = &state.message
                && *revision == session.revision()
            {
                caution_line(ui, words, *tone, theme);
            }
            spindle(ui, session, state, rig, theme);
            guard(ui, session, state, wheel, units, theme);
            limits(ui, session, state, units, theme);
            contacts(ui, session, current, wheel, units, theme);
        }
        let steel =
            current.as_ref().and_then(|current| session.bench().tool(current.tool)).map(|tool| tool.steel);
        plain(ui, &plain_cautions(steel.as_slice()), theme);
    });
}

/// Numbers against their limits.
fn checks(ui: &mut Ui, session: &Session, rig: &Rig, wheel: &WheelSaved, units: Units, theme: &Theme) {
    let bench = session.bench();
    let low = bench
        .settings
        .iter()
        .filter(|entry| entry.wheel == wheel.id)
        .filter_map(|entry| bench.answer(entry).ok())
        .any(|(_, view)| view.contact_height_mm() < 0.0);
    for Check { name, found, limit, verdict, source, .. } in
        wheel_checks(bench, rig, wheel, low, &|mm| units.fine(mm))
    {
        let tone = match verdict {
            Verdict::Within => Tone::Good,
            Verdict::Beyond => Tone::Bad,
            Verdict::Unknown => Tone::Weak,
        };
        let reported = match verdict {
            Verdict::Within => "within",
            Verdict::Beyond => "beyond",
            Verdict::Unknown => "not known",
        };
        caution_line(ui, &format!("{name}: {found}; {limit}: {reported}. [{source}]"), tone, theme);
    }
}

/// A plain number, read as a person writes it.
fn read_number(text: &str) -> Result<f64, String> {
    let plain = text.trim().replace(',', "");
    match plain.parse::<f64>() {
        Ok(value) if value.is_finite() && value > 0.0 => Ok(value),
        _ => Err(format!("“{text}” is no number above nothing.")),
    }
}

/// The spindle's speed, from the plate or from the mains.
fn spindle(ui: &mut Ui, session: &mut Session, state: &mut SafetyState, rig: &Rig, theme: &Theme) {
    heading(ui, "Spindle speed", theme);
    let set = |session: &mut Session, rpm: f64, mains: Option<MainsSaved>| {
        let id = rig.id;
        session.edit("Change the spindle speed", |bench| {
            if let Some(rig) = bench.rigs.iter_mut().find(|rig| rig.id == id) {
                rig.grinder.spindle_speed_rpm = rpm;
                rig.grinder.mains = mains;
            }
        });
    };
    row(ui, theme, |ui| {
        caption(ui, "From the plate, turns a minute", theme);
        let shown = format_number(rig.grinder.spindle_speed_rpm, 0);
        match typed_field(ui, "Spindle speed", &shown, 76.0, &read_number, theme) {
            Some(Ok(rpm)) => set(session, rpm, None),
            Some(Err(why)) => state.message = Some((session.revision(), Tone::Bad, why)),
            None => {}
        }
    });
    row(ui, theme, |ui| {
        caption(ui, "If the plate cannot be read: mains", theme);
        let shown = format!("{} Hz", format_number(state.mains.hz, 0));
        let read = |text: &str| read_number(text.trim_end_matches("Hz"));
        if let Some(Ok(hz)) = typed_field(ui, "Mains frequency", &shown, 64.0, &read, theme) {
            state.mains.hz = hz;
        }
        let poles = ["2 poles", "4 poles", "6 poles"];
        let now = poles[(state.mains.poles as usize / 2).clamp(1, 3) - 1];
        if let Some(index) = choice(ui, "Poles", 76.0, now, poles.into_iter(), theme) {
            state.mains.poles = 2 * (index as u32 + 1);
        }
        if let Some(rpm) = mains_speed_rpm(state.mains) {
            caption(ui, &format!("{} a minute without load", format_number(rpm, 0)), theme);
            if button(ui, "Use it", Emphasis::Plain, theme).clicked() {
                set(session, rpm, Some(state.mains));
                ui.ctx().request_repaint();
            }
        } else {
            caption(ui, "no motor runs so", theme);
        }
    });
    if rig.grinder.mains.is_some() {
        note(
            ui,
            "This speed was worked out from the mains: a loaded motor turns a little slower, so the rim is no faster than said. A belt or a gear in between changes it.",
            Tone::Weak,
            theme,
        );
    }
}

/// The guard and its gaps as measured.
fn guard(
    ui: &mut Ui,
    session: &mut Session,
    state: &mut SafetyState,
    wheel: &WheelSaved,
    units: Units,
    theme: &Theme,
) {
    heading(ui, "Gaps and guard as measured", theme);
    note(ui, "With the wheel at rest and the power off.", Tone::Weak, theme);
    let now = wheel.keep.guard.unwrap_or_default();
    let fields: [(&str, Kind, Place); 4] = [
        ("Gap at the rest", Kind::Length, |guard| &mut guard.rest_gap_mm),
        ("Gap at the tongue", Kind::Length, |guard| &mut guard.tongue_gap_mm),
        ("Guard opens from", Kind::Angle, |guard| &mut guard.opening_top_deg),
        ("Guard leaves open", Kind::Angle, |guard| &mut guard.exposure_deg),
    ];
    for pair in fields.chunks(2) {
        row(ui, theme, |ui| {
            for (name, kind, place) in pair {
                caption(ui, name, theme);
                let mut shown = now;
                match number(ui, name, *place(&mut shown), *kind, units, theme) {
                    Some(Ok(value)) if value.is_none_or(|value| value >= 0.0) => {
                        let label = format!("Measure: {}", name.to_lowercase());
                        change_wheel(session, label, |wheel| {
                            let mut guard = wheel.keep.guard.unwrap_or_default();
                            *place(&mut guard) = value;
                            wheel.keep.guard = (guard != GuardSaved::default()).then_some(guard);
                        });
                        ui.ctx().request_repaint();
                    }
                    Some(Ok(_)) => {
                        let words = "A gap or an opening is not less than nothing.".to_owned();
                        state.message = Some((session.revision(), Tone::Bad, words));
                    }
                    Some(Err(why)) => state.message = Some((session.revision(), Tone::Bad, why)),
                    None => {}
                }
            }
        });
    }
}

/// The limits that are kept to, with the place they come from.
fn limits(ui: &mut Ui, session: &mut Session, state: &mut SafetyState, units: Units, theme: &Theme) {
    heading(ui, "Limits of the gaps", theme);
    let (place, now) = session.bench().keep.limits();
    let place = place.to_owned();
    let keep_to = |session: &mut Session, place: String, rest_gap_mm: f64, tongue_gap_mm: f64| {
        let kept = LimitsSaved { place, rest_gap_mm, tongue_gap_mm };
        session.edit("Change the limits of the gaps", |bench| bench.keep.limits = Some(kept));
    };
    row(ui, theme, |ui| {
        caption(ui, "As in", theme);
        let known = PUBLISHED_LIMITS.iter().any(|(name, ..)| *name == place);
        let names = PUBLISHED_LIMITS.iter().map(|(name, ..)| *name).chain([OWN]);
        if let Some(index) = choice(ui, "Place of the limits", 150.0, &place, names, theme) {
            match PUBLISHED_LIMITS.get(index) {
                Some((name, _, limits)) => {
                    keep_to(session, (*name).to_owned(), limits.rest_mm, limits.tongue_mm);
                }
                None => keep_to(session, OWN.to_owned(), now.rest_mm, now.tongue_mm),
            }
            ui.ctx().request_repaint();
        }
        for (name, value, is_rest) in
            [("rest at most", now.rest_mm, true), ("tongue at most", now.tongue_mm, false)]
        {
            caption(ui, name, theme);
            let read = |text: &str| units.read(Kind::Length, text);
            match typed_field(ui, name, &units.fine(value), 76.0, &read, theme) {
                Some(Ok(mm)) if mm >= 0.0 => {
                    // A number of one's own is no longer the published one.
                    let own = if known { format!("own, after {place}") } else { place.clone() };
                    let (rest, tongue) = if is_rest { (mm, now.tongue_mm) } else { (now.rest_mm, mm) };
                    keep_to(session, own, rest, tongue);
                    ui.ctx().request_repaint();
                }
                Some(Err(why)) => state.message = Some((session.revision(), Tone::Bad, why)),
                Some(Ok(_)) | None => {}
            }
        }
    });
    let published: Vec<String> = PUBLISHED_LIMITS
        .iter()
        .map(|(name, rule, limits)| {
            format!("{name}: {} and {} [{rule}]", units.fine(limits.rest_mm), units.fine(limits.tongue_mm))
        })
        .collect();
    note(ui, &format!("Published, rest and tongue: {}.", published.join("; ")), Tone::Weak, theme);
}

/// Where each setting on this wheel meets it.
fn contacts(
    ui: &mut Ui,
    session: &Session,
    current: &SettingEntry,
    wheel: &WheelSaved,
    units: Units,
    theme: &Theme,
) {
    let bench = session.bench();
    let guard = wheel.keep.guard.unwrap_or_default();
    heading(ui, "Where the edge meets the wheel", theme);
    let columns = [
        Column::words("Setting", 1.6),
        Column::number("Above the spindle", 1.0),
        Column::number("Above the level", 0.9),
        Column::words("", 0.1),
        Column::words("Guard as measured", 1.3),
    ];
    let lines: Vec<Line> = bench
        .settings
        .iter()
        .filter(|entry| entry.rig == current.rig && entry.wheel == wheel.id)
        .filter_map(|entry| {
            let (_, view) = bench.answer(entry).ok()?;
            let up = Angle::of(view.contact_in_bench);
            let covered = guard.opening_top_deg.map(|top| up.degrees() > top);
            let words = match covered {
                None => "not measured",
                Some(true) => "covers it",
                Some(false) => "leaves it open",
            };
            let tone = if covered == Some(true) { Tone::Caution } else { Tone::Strong };
            let cells = vec![
                entry.name.clone(),
                units.length(view.contact_height_mm()),
                units.angle(up.degrees()),
                String::new(),
                words.to_owned(),
            ];
            Some(Line { cells, tone })
        })
        .collect();
    table(ui, &columns, &lines, None, theme);
    note(
        ui,
        "One published rule wants the grinding point level with the spindle unless a sign says otherwise [Mich. R 408.10114(1)]; a holder on a low arm commonly meets the wheel higher.",
        Tone::Weak,
        theme,
    );
}

/// The plain cautions with their sources.
fn plain(ui: &mut Ui, cautions: &[bevelbench_notebook::words::safety::PlainCaution], theme: &Theme) {
    heading(ui, "Cautions", theme);
    let mut topic = "";
    for caution in cautions {
        if caution.topic != topic {
            topic = caution.topic;
            let font = theme.font(Weight::SemiBold, theme.sizes.text.body);
            ui.label(RichText::new(topic).font(font).color(theme.tone(Tone::Strong)));
        }
        note(ui, &format!("{} [{}]", caution.text, caution.source), Tone::Strong, theme);
    }
}
