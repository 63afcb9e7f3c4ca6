//! The ink test read backwards: which way to move, how far and why; and the facets the tool carries now.

mod present;

use bevelbench_geometry::{
    facet::{InkReading, InkRemedy, InkSeen, InkVerdict, Pattern, ink::FILM_ASSUMED_MM},
    fault::{FaultyGrind, RollingFault, WingInk, WingInkSeen, WingInkVerdict},
    math::{Angle, Quantity},
    parts::{Hollow, PresentFacet},
    side::{Job, Refusal},
    swept::{Rolled, Steel},
};
use bevelbench_notebook::{
    answer::bench::Unanswered,
    drawing::{Bounds, fault_view::edge_from_above, sketch::mark::Mark},
    quantity::Units,
    saved::table::{self, OnBench},
    words::{ink_reading_words, ink_why, unanswered_words, wing_ink_words},
};
use egui::{Rect, Ui};

use crate::{
    model::{appearance::Tone, session::Session},
    pages::find::bench_side::{
        Grain, Picture, Reading, Rows, beside_a_picture, choice, current_gouge, facet_on_the_wheel, note,
    },
    toolkit::{
        theme::{Surface, Theme},
        widgets::{Emphasis, button, caution_line, section, status_line},
    },
};

/// Where the ink went.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum InkPlace {
    /// Between edge and heel.
    Facet(Pattern),
    /// Along one wing.
    OneWing,
}

const PLACES: [(InkPlace, &str); 6] = [
    (InkPlace::Facet(Pattern::Heel), "at the heel"),
    (InkPlace::Facet(Pattern::Edge), "at the edge"),
    (InkPlace::Facet(Pattern::BothEnds), "at both ends"),
    (InkPlace::Facet(Pattern::Middle), "in the middle"),
    (InkPlace::Facet(Pattern::Whole), "all over"),
    (InkPlace::OneWing, "along one wing"),
];

/// What the part keeps from frame to frame.
#[derive(Debug)]
pub(super) struct InkState {
    rows: Rows,
    place: InkPlace,
    left_wing: bool,
    wing_at_heel: bool,
    rubbed_mm: f64,
    facet_mm: Option<f64>,
    film_mm: f64,
    tell_deg: f64,
    moves: Option<Quantity>,
    picture: Picture,
    present: present::PresentState,
    /// What ink along one wing said, and what it was asked of: it is worked out by many maps.
    wing: Option<(String, Option<WingInk>)>,
    message: Option<(u64, Tone, String)>,
}

impl Default for InkState {
    fn default() -> Self {
        Self {
            rows: Rows::default(),
            place: InkPlace::Facet(Pattern::Heel),
            left_wing: true,
            wing_at_heel: true,
            rubbed_mm: 1.5,
            facet_mm: None,
            film_mm: FILM_ASSUMED_MM,
            tell_deg: 0.5,
            moves: None,
            picture: Picture::default(),
            present: present::PresentState::default(),
            wing: None,
            message: None,
        }
    }
}

const RUBBED: Reading = Reading {
    name: "About so wide",
    how: "Width of what the wheel rubbed bare, from edge towards heel; both ends together where there are two.",
    grain: Grain::Length,
    step: 0.1,
    mark: Some(Mark::Hollow),
};
const FACET: Reading = Reading {
    name: "Facet, edge to heel",
    how: "Along the facet. Without a measurement it is as wide as the tool’s facet is known to be, or as this setting grinds it.",
    grain: Grain::Length,
    step: 0.1,
    mark: Some(Mark::Of(Quantity::FacetWidth)),
};
const FILM: Reading = Reading {
    name: "Film of ink",
    how: "Thickness of the ink on the steel. Ink goes where the gap is below it.",
    grain: Grain::Film,
    step: 0.001,
    mark: None,
};
const TELL: Reading = Reading {
    name: "It must tell",
    how: "How far off the ink must show: half a degree is what a turner holds.",
    grain: Grain::Angle,
    step: 0.1,
    mark: None,
};

/// The part of the page.
pub(super) fn ink_part(
    ui: &mut Ui,
    session: &mut Session,
    state: &mut InkState,
    units: Units,
    theme: &Theme,
) {
    session.compute();
    state.rows.begin();
    let right = beside_a_picture(ui, "ink", theme, |ui| {
        seen_rows(ui, session, state, units, theme);
        section(ui, "What the ink says", "", theme);
        match state.place {
            InkPlace::OneWing => wing(ui, session, state, units, theme),
            InkPlace::Facet(pattern) => facet(ui, session, state, pattern, units, theme),
        }
        present::present_facets(ui, session, &mut state.present, units, theme);
    });
    state.rows.end(ui);
    picture(ui, right, session, state, units, theme);
}

fn job_of(session: &Session) -> Option<Job> {
    let outcome = session.outcome()?;
    outcome.result.as_ref().ok().and(outcome.job)
}

/// The width that is used where none is measured.
fn assumed_width(session: &Session) -> Option<f64> {
    let outcome = session.outcome()?;
    let known = outcome.job.as_ref()?.tool.present().map(PresentFacet::width_mm);
    known.or(outcome.result.as_ref().ok().map(|view| view.facet.width_mm))
}

/// The hollow of the tool's facet, where it is known.
fn known_hollow(session: &Session) -> Option<Hollow> {
    session.outcome()?.job.as_ref()?.tool.present().map(PresentFacet::hollow)
}

fn seen_rows(ui: &mut Ui, session: &Session, state: &mut InkState, units: Units, theme: &Theme) {
    section(ui, "Where the ink went", "", theme);
    note(
        ui,
        "Ink the facet, lay the tool on the still wheel as it is set, turn the wheel once by hand and look where the ink is gone.",
        theme,
    );
    let shown = PLACES.iter().find(|(place, _)| *place == state.place).map_or("", |(_, words)| words);
    let how = "Where the wheel rubbed the facet bare.";
    if let Some(index) = choice(ui, "Rubbed off", how, shown, PLACES.iter().map(|(_, words)| *words), theme) {
        state.place = PLACES[index].0;
        ui.ctx().request_repaint();
    }
    if state.place == InkPlace::OneWing {
        let wings = ["the left, seen from the handle", "the right, seen from the handle"];
        let shown = wings[usize::from(!state.left_wing)];
        if let Some(index) = choice(ui, "Wing", "", shown, wings.into_iter(), theme) {
            state.left_wing = index == 0;
        }
        let ends = ["at its heel", "at its edge"];
        let shown = ends[usize::from(!state.wing_at_heel)];
        if let Some(index) = choice(ui, "There", "", shown, ends.into_iter(), theme) {
            state.wing_at_heel = index == 0;
        }
    }
    let InkState { rows, .. } = state;
    if state.place != InkPlace::Facet(Pattern::Whole) {
        rows.value(ui, RUBBED, &mut state.rubbed_mm, units, theme);
    }
    if state.place != InkPlace::OneWing {
        let assumed = assumed_width(session).unwrap_or(6.0);
        let mut width = state.facet_mm.unwrap_or(assumed);
        let before = width;
        rows.value(ui, FACET, &mut width, units, theme);
        if (width - before).abs() > 1e-9 {
            state.facet_mm = Some(width);
        }
    }
    rows.value(ui, FILM, &mut state.film_mm, units, theme);
    if (state.film_mm - FILM_ASSUMED_MM).abs() < 1e-9 {
        note(ui, "The film’s thickness is an assumption: a felt pen’s ink. Put in what yours is.", theme);
    }
    // Ink at one end tells as it is.
    if matches!(state.place, InkPlace::OneWing | InkPlace::Facet(Pattern::Whole)) {
        rows.value(ui, TELL, &mut state.tell_deg, units, theme);
    }
}

/// What may be moved for the current setting.
fn movable(session: &Session) -> Vec<Quantity> {
    table::further().filter(|free| free.get(session.bench()).is_some()).collect()
}

fn seen(session: &Session, state: &InkState, pattern: Pattern) -> InkSeen {
    InkSeen {
        pattern,
        rubbed_mm: state.rubbed_mm,
        facet_mm: state.facet_mm.or(assumed_width(session)).unwrap_or(6.0),
        hollow: known_hollow(session),
        film_mm: state.film_mm,
    }
}

fn read(
    session: &Session,
    state: &InkState,
    pattern: Pattern,
) -> Option<(Quantity, Result<InkReading, Refusal>)> {
    let job = job_of(session)?;
    let choices = movable(session);
    let free = state.moves.filter(|free| choices.contains(free)).or(choices.first().copied())?;
    let wanted = Angle::from_degrees(state.tell_deg);
    Some((free, job.setting.read_ink(&seen(session, state, pattern), wanted, free)))
}

fn facet(
    ui: &mut Ui,
    session: &mut Session,
    state: &mut InkState,
    pattern: Pattern,
    units: Units,
    theme: &Theme,
) {
    let choices = movable(session);
    let length = |mm: f64| units.length(mm);
    let Some((free, reading)) = read(session, state, pattern) else {
        caution_line(ui, "The setting in hand has no answer to test.", Tone::Caution, theme);
        return;
    };
    if matches!(pattern, Pattern::Heel | Pattern::Edge) && choices.len() > 1 {
        let name = |free: Quantity| free.label();
        if let Some(index) = choice(
            ui,
            "Move the",
            "What is moved to match the facet.",
            name(free),
            choices.iter().map(|free| name(*free)),
            theme,
        ) {
            state.moves = Some(choices[index]);
            ui.ctx().request_repaint();
        }
    }
    let reading = match reading {
        Ok(reading) => reading,
        Err(refusal) => {
            let words = unanswered_words(&Unanswered::Refused(refusal), &length);
            caution_line(ui, &words.reason, Tone::Caution, theme);
            caution_line(ui, &words.remedy, Tone::Strong, theme);
            return;
        }
    };
    let words = ink_reading_words(pattern, &reading, free, &length);
    let tone = match reading.verdict {
        InkVerdict::Matches { .. } => Tone::Good,
        InkVerdict::CannotTell { .. } | InkVerdict::NotThisFacet => Tone::Caution,
        _ => Tone::Strong,
    };
    caution_line(ui, &words.reason, tone, theme);
    caution_line(ui, &words.remedy, Tone::Strong, theme);
    if !matches!(reading.verdict, InkVerdict::CannotTell { .. } | InkVerdict::NotThisFacet) {
        note(ui, ink_why(pattern), theme);
    }
    let to_move = reading.remedy.as_ref().and_then(InkRemedy::to_move);
    if let Some(to_move) = to_move.filter(|to_move| to_move.off_travel.is_none()) {
        let dial = free;
        let value = to_move.value;
        if button(ui, "Move it so", Emphasis::Main, theme).on_hover_text("One undo step.").clicked() {
            session.edit("Move to match the ink", |bench| {
                free.set(bench, value);
            });
            let words = format!("{} is {} now.", dial.label(), units.show(dial.kind(), value));
            state.message = Some((session.revision(), Tone::Good, words));
            ui.ctx().request_repaint();
        }
    }
    if let Some((revision, tone, words)) = &state.message
        && *revision == session.revision()
    {
        status_line(ui, words, *tone, theme);
    }
}

fn wing(ui: &mut Ui, session: &mut Session, state: &mut InkState, units: Units, theme: &Theme) {
    let length = |mm: f64| units.length(mm);
    let Some((rolled, steel)) = current_gouge(session) else {
        caution_line(ui, "Only a gouge that is rolled has wings: take one in hand.", Tone::Caution, theme);
        return;
    };
    let seen = WingInkSeen {
        plus: state.left_wing,
        at_heel: state.wing_at_heel,
        rubbed_mm: state.rubbed_mm,
        film_mm: state.film_mm,
    };
    let key = format!("{} {seen:?} {}", session.revision(), state.tell_deg);
    if state.wing.as_ref().is_none_or(|(kept, _)| *kept != key) {
        let wanted = Angle::from_degrees(state.tell_deg);
        state.wing = Some((key, WingInk::read(&rolled, &steel, &seen, wanted).ok()));
    }
    let Some((_, Some(reading))) = &state.wing else {
        caution_line(ui, "This setting grinds no wing that could be compared.", Tone::Caution, theme);
        return;
    };
    let words = wing_ink_words(reading, &length);
    let reported = matches!(reading.verdict, WingInkVerdict::Turned { .. });
    caution_line(ui, &words.reason, if reported { Tone::Strong } else { Tone::Caution }, theme);
    caution_line(ui, &words.remedy, Tone::Strong, theme);
    note(
        ui,
        "Assumed: the gouge was ground straight, at this setting, and is clamped turned now. The width is that half-way out along the wing.",
        theme,
    );
    if let WingInkVerdict::Turned { by } = reading.verdict {
        let differ = differ_when_ground(&rolled, &steel, by);
        if let Some(mm) = differ {
            let words =
                format!("Ground like this the wings would come to differ by {}.", units.length(mm.abs()));
            caution_line(ui, &words, Tone::Strong, theme);
        }
        let press = button(ui, "Put the turn into the setting", Emphasis::Plain, theme)
            .on_hover_text("One undo step. The Tip page then shows what grinding like this leaves.");
        if press.clicked() {
            let turn_deg = rolled.turn.degrees() + by.degrees();
            session.edit("Turn as the ink says", |bench| {
                if let Some(swing) = bench.current.as_mut().and_then(|current| current.swing.as_mut()) {
                    swing.turn_deg = turn_deg;
                }
            });
            ui.ctx().request_repaint();
        }
    }
}

/// How much the wings would differ if the gouge were ground turned.
fn differ_when_ground(rolled: &Rolled, steel: &Steel, by: Angle) -> Option<f64> {
    let faulty = FaultyGrind::new(rolled, RollingFault::TurnedInHolder { by }).ok()?;
    let edge = faulty.edge(steel, 3);
    Some(edge.last()?.x - edge.first()?.x)
}

/// The enlarged edge with the facet that the ink speaks of laid on the wheel, or the wings from above.
fn picture(ui: &mut Ui, rect: Rect, session: &Session, state: &mut InkState, units: Units, theme: &Theme) {
    ui.painter().rect_filled(rect, 0.0, theme.surface(Surface::Canvas));
    let inner = rect.shrink(theme.sizes.gap.margin);
    match state.place {
        InkPlace::Facet(pattern) => {
            let reading = read(session, state, pattern).and_then(|(_, reading)| reading.ok());
            let key = format!("{} {reading:?} {:?} {units:?}", session.revision(), state.film_mm);
            let width = seen(session, state, pattern).facet_mm;
            let film_mm = state.film_mm;
            state.picture.show(ui, inner, key, "The edge on the wheel, many times enlarged", theme, || {
                enlarged(session, reading.as_ref()?, width, film_mm, units)
            });
        }
        InkPlace::OneWing => {
            let by = match &state.wing {
                Some((_, Some(WingInk { verdict: WingInkVerdict::Turned { by }, .. }))) => *by,
                _ => Angle::ZERO,
            };
            let key = format!("{} {by:?}", session.revision());
            state.picture.show(ui, inner, key, "Ground as it is clamped, from above", theme, || {
                let (rolled, steel) = current_gouge(session)?;
                let edge = |by: Angle| {
                    let rolling_fault = RollingFault::TurnedInHolder { by };
                    FaultyGrind::new(&rolled, rolling_fault).ok().map(|faulty| faulty.edge(&steel, 161))
                };
                let (drawing, room) = edge_from_above(&edge(Angle::ZERO)?, &edge(by)?, None);
                Some((drawing, room?))
            });
        }
    }
}

/// The loupe's view of the tool as the ink says it is.
fn enlarged(
    session: &Session,
    reading: &InkReading,
    width_mm: f64,
    film_mm: f64,
    units: Units,
) -> Option<(bevelbench_notebook::drawing::Drawing, Bounds)> {
    let outcome = session.outcome()?;
    let (job, view) = (outcome.job.as_ref()?, outcome.result.as_ref().ok()?);
    let hollow = match reading.verdict {
        InkVerdict::WheelLarger { hollow_radius_mm } => Hollow::Arc { radius_mm: hollow_radius_mm },
        InkVerdict::WheelSmaller { hollow_radius_mm: Some(radius_mm) } => Hollow::Arc { radius_mm },
        InkVerdict::WheelSmaller { hollow_radius_mm: None } => Hollow::Flat,
        _ => known_hollow(session).unwrap_or(job.setting.face.hollow()),
    };
    let facet = reading.facet_bevel.and_then(|bevel| PresentFacet::new(hollow, bevel, width_mm).ok());
    facet_on_the_wheel(job, view, facet, film_mm, units)
}
