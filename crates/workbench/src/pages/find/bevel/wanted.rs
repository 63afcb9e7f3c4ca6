//! What is wanted: the bevel, where it is meant, and the wing of a rolled gouge.

use bevelbench_geometry::math::Kind;
use bevelbench_notebook::{
    answer::swept::swept,
    quantity::{Units, format_angle},
    saved::{
        Bench, BlankSaved, Id, SettingEntry, TargetSaved, WingSaved,
        table::{self, OnBench, settable},
    },
};
use egui::{ComboBox, RichText, Ui, WidgetInfo};

use crate::{
    model::{appearance::Tone, session::Session},
    pages::{
        find::{
            bevel::{BevelAction, BevelSearch},
            note,
        },
        settings::{free_dials, meant_choice},
    },
    toolkit::{
        theme::Theme,
        widgets::{caution_line, section, typed_field},
    },
};

/// Width of the names before the fields.
const NAMES: f32 = 46.0;
/// Width of the fields.
const FIELD: f32 = 78.0;
/// The bevel at the wing top that is asked for first.
const FIRST_WING_DEG: f64 = 55.0;

pub(super) fn wanted(
    ui: &mut Ui,
    session: &Session,
    cached: &BevelSearch,
    refused: &mut Option<String>,
    units: Units,
    theme: &Theme,
) -> Option<BevelAction> {
    let current = session.current()?;
    let mut target = cached.target;
    let mut action = None;
    section(ui, "Wanted", "", theme);
    line(ui, "Bevel", theme, |ui| {
        if let Some(WingSaved::SameAs { .. }) = target.wing {
            let bevel = cached.result.as_ref().ok().map(|result| result.query.question.bevel);
            let words = match bevel {
                Some(bevelbench_geometry::side::Target::AtEdge(bevel)) => {
                    format!("{} at the edge, as that setting", units.angle(bevel.degrees()))
                }
                _ => "as that setting".to_owned(),
            };
            ui.label(RichText::new(words).font(theme.body()).color(theme.tone(Tone::Strong)));
            return;
        }
        let read = |text: &str| units.read(Kind::Angle, text);
        let shown = format_angle(target.bevel_deg, 1);
        match typed_field(ui, "Bevel asked for", &shown, FIELD, &read, theme) {
            Some(Ok(bevel_deg)) => target.bevel_deg = bevel_deg,
            Some(Err(why)) => *refused = Some(why),
            None => {}
        }
        target = meant_choice(ui, session, target, 124.0);
    });
    let is_gouge =
        |bench: &Bench| bench.tool(current.tool).is_some_and(|tool| matches!(tool.blank, BlankSaved::Bar(_)));
    if current.swing.is_some() && is_gouge(session.bench()) {
        line(ui, "Wing", theme, |ui| wing(ui, session, current, &mut target, refused, units, theme));
    } else if is_gouge(session.bench()) {
        note(
            ui,
            "A wing can be asked for once the tool is rolled from wing to wing (at the right, “Stands on”).",
            theme,
        );
    }
    if !table::at_hand(session.bench(), current).is_empty() {
        let mut at_stops = cached.key.1;
        let response = ui.checkbox(&mut at_stops, "Only at notches and stop blocks");
        response.on_hover_text(
            "The strut only where it clicks into a rest, the projection only where there is a stop block.",
        );
        if at_stops != cached.key.1 {
            action = Some(BevelAction::AtStops(at_stops));
        }
    }
    let free: Vec<String> = free_dials(session).iter().map(|dial| dial.label().to_lowercase()).collect();
    let words = if free.is_empty() {
        "Everything is pinned: pull a pin at the right.".to_owned()
    } else {
        format!("What may move, by the pins at the right: {}.", free.join(", "))
    };
    note(ui, &words, theme);
    if let Some(why) = refused {
        caution_line(ui, why, Tone::Bad, theme);
    }
    if target != cached.target {
        action = Some(BevelAction::Ask(target));
    }
    action
}

fn line(ui: &mut Ui, name: &str, theme: &Theme, content: impl FnOnce(&mut Ui)) {
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = theme.sizes.gap.small;
        let (rect, _) = ui.allocate_exact_size(egui::vec2(NAMES, theme.sizes.row), egui::Sense::hover());
        ui.painter().text(
            rect.left_center(),
            egui::Align2::LEFT_CENTER,
            name,
            theme.body(),
            theme.tone(Tone::Weak),
        );
        content(ui);
    });
}

/// A kind of wing that can be asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Kinds {
    Nothing,
    Sweep,
    Top,
    Same,
}

impl Kinds {
    const ALL: [(Self, &'static str); 4] = [
        (Self::Nothing, "as it comes"),
        (Self::Sweep, "swept back by"),
        (Self::Top, "bevel at its top"),
        (Self::Same, "the same grind as"),
    ];

    fn of(wing: Option<WingSaved>) -> Self {
        match wing {
            None => Self::Nothing,
            Some(WingSaved::Sweep { .. }) => Self::Sweep,
            Some(WingSaved::BevelAtTop { .. }) => Self::Top,
            Some(WingSaved::SameAs { .. }) => Self::Same,
        }
    }
}

fn wing(
    ui: &mut Ui,
    session: &Session,
    current: &SettingEntry,
    target: &mut TargetSaved,
    refused: &mut Option<String>,
    units: Units,
    theme: &Theme,
) {
    let now = Kinds::of(target.wing);
    let mut kind = now;
    let words =
        |kind: Kinds| Kinds::ALL.iter().find(|(known, _)| *known == kind).map_or("", |(_, words)| words);
    let others = same_as_choices(session, current);
    let combo = ComboBox::from_id_salt("wing").width(132.0).selected_text(words(now)).show_ui(ui, |ui| {
        for (each, words) in Kinds::ALL {
            if each != Kinds::Same || !others.is_empty() {
                ui.selectable_value(&mut kind, each, words);
            }
        }
    });
    combo
        .response
        .widget_info(|| WidgetInfo::labeled(egui::Role::ComboBox, true, format!("Wing: {}", words(now))));
    if kind != now {
        target.wing = match kind {
            Kinds::Nothing => None,
            Kinds::Sweep => Some(WingSaved::Sweep { sweep_mm: present_sweep(session).unwrap_or(10.0) }),
            Kinds::Top => Some(WingSaved::BevelAtTop { bevel_deg: FIRST_WING_DEG }),
            Kinds::Same => others.first().map(|(id, _)| WingSaved::SameAs { setting: *id }),
        };
        return;
    }
    match &mut target.wing {
        None => {}
        Some(WingSaved::Sweep { sweep_mm }) => {
            let read = |text: &str| units.read(Kind::Length, text);
            match typed_field(ui, "Wing sweep asked for", &units.length(*sweep_mm), FIELD, &read, theme) {
                Some(Ok(value)) => *sweep_mm = value,
                Some(Err(why)) => *refused = Some(why),
                None => {}
            }
        }
        Some(WingSaved::BevelAtTop { bevel_deg }) => {
            let read = |text: &str| units.read(Kind::Angle, text);
            let shown = format_angle(*bevel_deg, 1);
            match typed_field(ui, "Bevel at the wing top asked for", &shown, FIELD, &read, theme) {
                Some(Ok(value)) => *bevel_deg = value,
                Some(Err(why)) => *refused = Some(why),
                None => {}
            }
        }
        Some(WingSaved::SameAs { setting }) => {
            let shown = others
                .iter()
                .find(|(id, _)| id == setting)
                .map_or("a setting that is gone", |(_, name)| name.as_str());
            let width = ui.available_width() - theme.sizes.gap.wide;
            let combo = ComboBox::from_id_salt("same as")
                .width(width)
                .truncate()
                .selected_text(shown)
                .show_ui(ui, |ui| {
                    for (id, name) in &others {
                        ui.selectable_value(setting, *id, name);
                    }
                });
            combo.response.widget_info(|| {
                WidgetInfo::labeled(egui::Role::ComboBox, true, format!("Same grind as: {shown}"))
            });
        }
    }
}

/// Rolled settings of other names, those of the same tool first.
fn same_as_choices(session: &Session, current: &SettingEntry) -> Vec<(Id, String)> {
    let bench = session.bench();
    let rolled = bench.settings.iter().filter(|entry| entry.swing.is_some() && entry.id != current.id);
    let mut rolled: Vec<&SettingEntry> = rolled.collect();
    rolled.sort_by_key(|entry| entry.tool != current.tool);
    rolled
        .into_iter()
        .map(|entry| {
            let tool = bench.tool(entry.tool).map_or("", |tool| tool.name.as_str());
            (entry.id, format!("{tool}: {}", entry.name))
        })
        .collect()
}

/// The wing sweep as it stands, in millimetres, to a tenth.
fn present_sweep(session: &Session) -> Option<f64> {
    let outcome = session.outcome()?;
    let (job, view) = outcome.job.as_ref().zip(outcome.result.as_ref().ok())?;
    let shape = swept(job, view, session.current()?.swing.as_ref(), 65).ok()?;
    Some(settable(shape.summary().wing_sweep_mm()))
}
