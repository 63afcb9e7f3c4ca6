//! What is turned: the bevel asked for, one row a quantity, what carries the tool, and the cautions.

use bevelbench_geometry::{
    Angle, Face, Free, Target,
    uncertainty::{Input, Reading},
};
use bevelbench_notebook::{
    bench::Unanswered,
    drawing::Part,
    readings,
    saved::{
        Bench, BevelMeant, BlankSaved, EdgeSaved, PresentationSaved, SettingEntry, SupportSaved, SwingSaved,
        TargetSaved,
    },
    words,
};
use egui::{ComboBox, RichText, Ui};

use crate::{
    dial::{Dial, Kind},
    session::{Found, Session},
    theme::{Theme, Tone},
    units::Units,
    widgets::{
        Loudness, Setting, Share, Tick, button, caution_line, divider, section, setting_row, share_bars,
        typed_field,
    },
};

/// What the settings panel keeps from frame to frame.
#[derive(Debug, Default)]
pub struct SettingsState {
    /// Which input the search for a bevel moves; the support's own one if none was chosen.
    moves: Option<Free>,
    /// What came of the last search, in words, and the revision it speaks of.
    answer: Option<(u64, Tone, String)>,
    /// Why the last typed target was not understood.
    refused: Option<String>,
}

/// The panel. Returns the part of the drawing that the row under the pointer turns.
pub fn settings_panel(
    ui: &mut Ui,
    session: &mut Session,
    state: &mut SettingsState,
    units: Units,
    theme: &Theme,
) -> Option<Part> {
    if session.in_hand().is_none() {
        ui.label(
            RichText::new("Nothing in hand. Choose a setting in the rack, or make one on the Tool page.")
                .font(theme.body()),
        );
        return None;
    }
    find_row(ui, session, state, units, theme);
    ui.add_space(theme.sizes.gap.normal);
    let lit = rows(ui, session, units, theme);
    divider(ui, theme);
    stand(ui, session, theme);
    divider(ui, theme);
    sure_to(ui, session, units, theme);
    divider(ui, theme);
    cautions(ui, session, units, theme);
    lit
}

/// How sure the bevel is, what that comes from, and which reading to improve to hold half a degree.
fn sure_to(ui: &mut Ui, session: &Session, units: Units, theme: &Theme) {
    let Some(outcome) = session.outcome() else { return };
    let (Some(hand), Some(job), Ok(view)) = (session.in_hand(), &outcome.job, &outcome.result) else {
        section(ui, "Sure to", "–", theme);
        return;
    };
    let assumed = readings::assumed(hand, session.bench().rig(hand.rig));
    let plain: Vec<Reading> = assumed.iter().map(|(_, reading)| *reading).collect();
    let surety = job.setting.surety(view, &plain);
    section(ui, "Sure to", &format!("± {}", units.angle(surety.expanded().degrees())), theme);
    let most = surety.largest().map_or(1.0, |share| share.standard.radians()).max(1e-12);
    let figures: Vec<(&str, f32, String)> = surety
        .shares()
        .map(|share| {
            let off = (share.standard * 2.0).degrees();
            (share.reading.input.words(), (share.standard.radians() / most) as f32, units.angle(off))
        })
        .collect();
    let bars: Vec<Share<'_>> =
        figures.iter().map(|(name, share, figure)| Share { name, share: *share, figure }).collect();
    share_bars(ui, &bars, theme);
    ui.add_space(theme.sizes.gap.small);
    let write = |input: Input, value: f64| {
        if input.is_angle() { units.angle(value) } else { units.fine(value) }
    };
    let needs: Vec<String> = surety
        .needs(HALF_A_DEGREE)
        .map(|need| format!("the {} to ±{}", need.input.words(), write(need.input, need.wanted)))
        .collect();
    let words = if needs.is_empty() {
        "Half a degree is held with these readings.".to_owned()
    } else {
        format!("To hold half a degree, set {}.", needs.join(" and "))
    };
    caution_line(ui, &words, Tone::Strong, theme);
    let with: Vec<String> = assumed
        .iter()
        .map(|(with, reading)| {
            format!(
                "{} by {} ±{}",
                reading.input.words(),
                with.words(),
                write(reading.input, reading.half_width)
            )
        })
        .collect();
    let note = format!("Assumed: {}. The rig’s own dimensions are not counted.", with.join(", "));
    ui.label(RichText::new(note).font(theme.small()).color(theme.tone(Tone::Weak)));
}

/// What a turner holds: `common practice`.
const HALF_A_DEGREE: Angle = Angle::from_degrees(0.5);

/// Type a bevel; the arm or the table moves to it.
fn find_row(ui: &mut Ui, session: &mut Session, state: &mut SettingsState, units: Units, theme: &Theme) {
    let Some(hand) = session.in_hand().cloned() else { return };
    let target = hand.target.unwrap_or_else(|| TargetSaved {
        bevel_deg: present_bevel(session).unwrap_or(45.0),
        meant: BevelMeant::AtEdge,
    });
    let moves = state.moves.filter(|free| Dial::from_free(*free).get(session.bench()).is_some());
    let moves = moves.unwrap_or(match hand.support {
        SupportSaved::Table { .. } => Free::TableTilt,
        _ => Free::Reach,
    });
    let mut asked: Option<TargetSaved> = None;
    section(ui, "Find a bevel", "", theme);
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = theme.sizes.gap.small;
        let shown = bevelbench_notebook::quantity::format_angle(target.bevel_deg, 1);
        let read = |text: &str| units.read(Kind::Angle, text);
        match typed_field(ui, "Bevel wanted", &shown, 70.0, &read, theme) {
            Some(Ok(bevel_deg)) => asked = Some(TargetSaved { bevel_deg, ..target }),
            Some(Err(why)) => state.refused = Some(why),
            None => {}
        }
        let mut meant = target.meant;
        let words = |meant: BevelMeant| match meant {
            BevelMeant::AtEdge => "at the edge",
            BevelMeant::AcrossFacet => "across the facet",
        };
        let combo = ComboBox::from_id_salt("meant").width(118.0).selected_text(words(meant)).show_ui(ui, |ui| {
            for each in [BevelMeant::AtEdge, BevelMeant::AcrossFacet] {
                ui.selectable_value(&mut meant, each, words(each));
            }
        });
        combo.response.on_hover_text(
            "At the edge is the angle that cuts. Across the facet is what a protractor laid on edge and heel reads: more, because the facet is hollow.",
        );
        if meant != target.meant {
            asked = Some(TargetSaved { meant, ..target });
        }
    });
    let choices: Vec<Free> = [Free::Reach, Free::Projection, Free::StrutAngle, Free::TableTilt]
        .into_iter()
        .filter(|free| Dial::from_free(*free).get(session.bench()).is_some())
        .collect();
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = theme.sizes.gap.small;
        let mut chosen = moves;
        ui.add_enabled_ui(choices.len() > 1, |ui| {
            let name = |free: Free| format!("by the {}", Dial::from_free(free).name().to_lowercase());
            let combo =
                ComboBox::from_id_salt("moves").width(150.0).selected_text(name(chosen)).show_ui(ui, |ui| {
                    for each in choices {
                        ui.selectable_value(&mut chosen, each, name(each));
                    }
                });
            combo.response.on_hover_text("What moves to meet the bevel. Everything else stays where it is.");
        });
        if chosen != moves {
            state.moves = Some(chosen);
        }
        if button(ui, "Find", Loudness::Main, theme).clicked() {
            asked = Some(target);
        }
    });
    if let Some(target) = asked {
        state.refused = None;
        state.answer = Some(search(session, target, moves, units));
        ui.ctx().request_repaint();
    }
    if let Some(why) = &state.refused {
        caution_line(ui, why, Tone::Bad, theme);
    } else if let Some((revision, tone, words)) = &state.answer
        && *revision == session.revision()
    {
        caution_line(ui, words, *tone, theme);
    }
}

/// Searches, and says what came of it.
fn search(session: &mut Session, target: TargetSaved, moves: Free, units: Units) -> (u64, Tone, String) {
    let bevel = Angle::from_degrees(target.bevel_deg);
    let wanted = match target.meant {
        BevelMeant::AtEdge => Target::AtEdge(bevel),
        BevelMeant::AcrossFacet => Target::AcrossFacet(bevel),
    };
    let dial = Dial::from_free(moves);
    session.begin(format!("Find {}", units.angle(target.bevel_deg)));
    session.change_hand(|hand| hand.target = Some(target));
    // The search is part of this step: `find` closes it.
    let found = session.find(wanted, moves);
    session.end();
    let name = dial.name().to_lowercase();
    let (tone, words) = match found {
        Found::Moved(_, value) => (Tone::Good, format!("Found: {name} {}.", units.show(dial.kind(), value))),
        Found::OffTravel(answer) => {
            let reason = answer
                .off_travel
                .map(|refusal| words::refusal_words(&refusal, &|mm| units.length(mm)).reason);
            (
                Tone::Caution,
                format!(
                    "That would take {name} {}. {} Move something else, or choose another bevel.",
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
                    why.unwrap_or_else(|| "Move something else first.".to_owned())
                ),
            )
        }
    };
    (session.revision(), tone, words)
}

fn present_bevel(session: &Session) -> Option<f64> {
    session.outcome()?.result.as_ref().ok().map(|view| Dial::settable(view.bevel().degrees()))
}

/// One row a quantity.
fn rows(ui: &mut Ui, session: &mut Session, units: Units, theme: &Theme) -> Option<Part> {
    let mut lit = None;
    let hand = session.in_hand()?.clone();
    let blamed = blamed_dial(session);
    let trouble = session
        .outcome()
        .and_then(|outcome| outcome.result.as_ref().err())
        .map(|why| words::unanswered_words(why, &|mm| units.length(mm)));
    for dial in Dial::of(&hand, session.bench()) {
        let Some(value) = dial.get(session.bench()) else { continue };
        let range = dial.range(session.bench()).unwrap_or((value - 50.0, value + 50.0));
        let stops = dial.stops(session.bench());
        let ticks: Vec<Tick<'_>> =
            stops.iter().map(|stop| Tick { value: stop.value, name: stop.name }).collect();
        let note = note_of(dial, value, &stops, units, session.bench());
        let error = trouble.as_ref().filter(|_| blamed == Some(dial)).map(|words| words.reason.as_str());
        let show = |value: f64| units.show(dial.kind(), value);
        let read = |text: &str| units.read(dial.kind(), text);
        let row = Setting {
            tooltip: dial.how(),
            step: dial.step(),
            ticks: &ticks,
            show: &show,
            read: &read,
            note: Some(&note),
            error,
            ..Setting::new(dial.name(), value, range.0..=range.1)
        };
        let outcome = setting_row(ui, &row, theme);
        session.gesture(
            format!(
                "Set {} to {}",
                dial.name().to_lowercase(),
                show(outcome.gesture.changed.unwrap_or(value))
            ),
            &outcome.gesture,
            |bench, value| dial.set(bench, value),
        );
        if outcome.hovered {
            lit = Some(dial.part());
        }
    }
    lit
}

/// The row whose value stands in the way.
fn blamed_dial(session: &Session) -> Option<Dial> {
    use bevelbench_geometry::Refusal as R;
    let Err(Unanswered::Refused(refusal)) = &session.outcome()?.result else { return None };
    let on_holder = Dial::Projection.get(session.bench()).is_some();
    Some(match refusal {
        R::ReachOffArm { .. } | R::PivotInWheel { .. } | R::PivotTooNear { .. } | R::PivotTooFar { .. } => {
            Dial::Reach
        }
        R::StrutAngleOffTravel { .. } | R::StrutInWheel { .. } => Dial::StrutAngle,
        R::TiltOffTravel { .. } | R::TableOutOfReach { .. } | R::TableCatchesWheel { .. } => Dial::TableTilt,
        R::ProjectionBeyondBlade { .. } | R::HolderInWheel { .. } => Dial::Projection,
        R::WheelWornOut { .. } | R::WheelTooFast { .. } => Dial::WheelDiameter,
        R::BevelOutOfRange { .. } | R::HandleThroughBench { .. } if on_holder => Dial::Reach,
        _ => return None,
    })
}

fn note_of(dial: Dial, value: f64, stops: &[crate::dial::Stop], units: Units, bench: &Bench) -> String {
    if let Some(stop) = stops.iter().find(|stop| (stop.value - value).abs() < 0.05) {
        return match stop.name {
            "new" => "as new".to_owned(),
            "least" => "at its least".to_owned(),
            "straight up" => "the flute straight up".to_owned(),
            "bar’s centreline" => "on the bar’s centreline".to_owned(),
            name => format!("on its {name}"),
        };
    }
    match dial {
        Dial::WheelDiameter => stops
            .iter()
            .map(|stop| format!("{} {}", stop.name, units.length(stop.value)))
            .collect::<Vec<_>>()
            .join(", "),
        Dial::Projection | Dial::StrutAngle if !stops.is_empty() => {
            let values: Vec<String> = stops.iter().map(|stop| units.show(dial.kind(), stop.value)).collect();
            let what = if dial == Dial::Projection { "stops" } else { "rests" };
            format!("{what} {}", values.join(", "))
        }
        Dial::RollCentre => "above the bar’s centreline; an assumption".to_owned(),
        Dial::HalfSwing => "an assumption until it is measured".to_owned(),
        _ => dial.range(bench).map_or_else(String::new, |(least, most)| {
            format!("{} to {}", units.show(dial.kind(), least), units.show(dial.kind(), most))
        }),
    }
}

/// The rig, the wheel, what carries the tool, how an oblique edge is held.
fn stand(ui: &mut Ui, session: &mut Session, theme: &Theme) {
    let Some(hand) = session.in_hand().cloned() else { return };
    section(ui, "Stands on", "", theme);
    let bench = session.bench();
    let rig = bench.rig(hand.rig);
    let mut chosen = hand.clone();
    let name_width = ui.available_width();
    let rig_name = rig.map_or("no rig", |rig| rig.name.as_str());
    let wheel_name =
        rig.and_then(|rig| rig.wheel(hand.wheel)).map_or("no wheel", |wheel| wheel.name.as_str());
    let combo = |ui: &mut Ui, id: &str, label: &str, text: &str, content: &mut dyn FnMut(&mut Ui)| {
        ui.horizontal(|ui| {
            let (rect, _) = ui.allocate_exact_size(egui::vec2(64.0, theme.sizes.row), egui::Sense::hover());
            ui.painter().text(
                rect.left_center(),
                egui::Align2::LEFT_CENTER,
                label,
                theme.body(),
                theme.tone(Tone::Weak),
            );
            let shown = ComboBox::from_id_salt(id)
                .width(name_width - 64.0 - 2.0 * theme.sizes.gap.normal)
                .selected_text(text)
                .truncate()
                .show_ui(ui, |ui| content(ui));
            shown.response.widget_info(|| {
                egui::WidgetInfo::labeled(egui::Role::ComboBox, true, format!("{label}: {text}"))
            });
        });
    };
    combo(ui, "rig", "Rig", rig_name, &mut |ui| {
        for each in &bench.rigs {
            if ui.selectable_label(each.id == hand.rig, &each.name).clicked()
                && let Some(wheel) = each.wheels.first()
            {
                chosen.rig = each.id;
                chosen.wheel = wheel.id;
            }
        }
    });
    combo(ui, "wheel", "Wheel", wheel_name, &mut |ui| {
        for each in rig.map(|rig| rig.wheels.as_slice()).unwrap_or_default() {
            if ui.selectable_label(each.id == hand.wheel, &each.name).clicked() {
                chosen.wheel = each.id;
            }
        }
    });
    let carrier = match hand.support {
        SupportSaved::Handle { .. } => "handle in the cup".to_owned(),
        SupportSaved::Holder { holder, .. } => {
            rig.and_then(|rig| rig.holder(holder)).map_or("a holder".to_owned(), |holder| holder.name.clone())
        }
        SupportSaved::Table { .. } => "table".to_owned(),
    };
    combo(ui, "support", "Held by", &carrier, &mut |ui| {
        let reach = Dial::Reach.get(bench).unwrap_or(150.0);
        let handle = matches!(hand.support, SupportSaved::Handle { .. });
        if ui.selectable_label(handle, "handle in the cup").clicked() && !handle {
            chosen.support = SupportSaved::Handle { reach_mm: reach };
        }
        for each in rig.map(|rig| rig.holders.as_slice()).unwrap_or_default() {
            let now = matches!(hand.support, SupportSaved::Holder { holder, .. } if holder == each.id);
            if ui.selectable_label(now, &each.name).clicked() && !now {
                let middle = f64::midpoint(each.strut_angle_least_deg, each.strut_angle_most_deg);
                chosen.support = SupportSaved::Holder {
                    holder: each.id,
                    reach_mm: reach,
                    projection_mm: Dial::Projection.get(bench).unwrap_or(60.0),
                    strut_angle_deg: Dial::StrutAngle.get(bench).unwrap_or(middle),
                };
            }
        }
        let table = matches!(hand.support, SupportSaved::Table { .. });
        if ui.selectable_label(table, "table").clicked() && !table {
            chosen.support = SupportSaved::Table { tilt_deg: 0.0 };
        }
    });
    oblique(ui, bench, &mut chosen, &combo);
    swung(ui, bench, &mut chosen, theme);
    if chosen != hand {
        let label = if chosen.rig == hand.rig && chosen.wheel == hand.wheel {
            "Change what holds the tool"
        } else {
            "Change rig or wheel"
        };
        session.edit(label, |bench| bench.in_hand = Some(chosen));
        ui.ctx().request_repaint();
    }
}

/// A labelled combo box: where, its id, its label, what it shows, its choices.
type Combo<'a> = dyn Fn(&mut Ui, &str, &str, &str, &mut dyn FnMut(&mut Ui)) + 'a;

fn oblique(ui: &mut Ui, bench: &Bench, chosen: &mut SettingEntry, combo: &Combo<'_>) {
    let oblique = bench.tool(chosen.tool).is_some_and(|tool| match &tool.blank {
        BlankSaved::Flat(flat) => {
            matches!(flat.edge, EdgeSaved::Skew { obliquity_deg, .. } if obliquity_deg < 90.0)
        }
        BlankSaved::Bar(_) => false,
    });
    if !oblique {
        return;
    }
    let words = |presentation: PresentationSaved| match presentation {
        PresentationSaved::EdgeParallelToSpindle => "edge parallel to the spindle",
        PresentationSaved::AxisInSidePlane => "tool’s axis square to the spindle",
    };
    let now = chosen.presentation;
    combo(ui, "presented", "Held with", words(now), &mut |ui| {
        for each in [PresentationSaved::EdgeParallelToSpindle, PresentationSaved::AxisInSidePlane] {
            if ui.selectable_label(each == now, words(each)).clicked() {
                chosen.presentation = each;
            }
        }
    });
}

/// Whether a gouge is rolled from wing to wing.
fn swung(ui: &mut Ui, bench: &Bench, chosen: &mut SettingEntry, theme: &Theme) {
    let is_gouge = bench.tool(chosen.tool).is_some_and(|tool| matches!(tool.blank, BlankSaved::Bar(_)));
    if !is_gouge {
        return;
    }
    let mut rolled = chosen.swing.is_some();
    ui.add_space(theme.sizes.gap.small);
    let response = ui.checkbox(&mut rolled, "Rolled from wing to wing");
    response.on_hover_text("Shows the roll line and the swept wings. A hand does not roll about one line exactly, so the wings are a prediction.");
    if rolled != chosen.swing.is_some() {
        chosen.swing = rolled.then(SwingSaved::default);
    }
}

/// What the turner should be told.
fn cautions(ui: &mut Ui, session: &Session, units: Units, theme: &Theme) {
    section(ui, "Cautions", "", theme);
    let Some(outcome) = session.outcome() else { return };
    ui.spacing_mut().item_spacing.y = theme.sizes.gap.small;
    match &outcome.result {
        Ok(_) => {
            for caution in &outcome.cautions {
                let tone = if caution.is_warning() { Tone::Caution } else { Tone::Weak };
                caution_line(ui, &words::caution_words(caution, &|mm| units.length(mm)), tone, theme);
            }
        }
        Err(why) => {
            let words = words::unanswered_words(why, &|mm| units.length(mm));
            caution_line(ui, &words.reason, Tone::Bad, theme);
            caution_line(ui, &words.mend, Tone::Strong, theme);
            for line in words::standing_cautions() {
                caution_line(ui, line, Tone::Weak, theme);
            }
        }
    }
    if outcome.job.is_some_and(|job| matches!(job.setting.face, Face::Flat { .. })) {
        caution_line(
            ui,
            "A belt’s speed does not follow from the spindle’s alone: read it on the machine.",
            Tone::Weak,
            theme,
        );
    }
}
