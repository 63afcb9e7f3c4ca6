//! What a tool is ground to, from what can be measured.

mod other_ways;
mod sketch;

use bevelbench_geometry::{
    math::Quantity,
    parts::{Hollow, PresentFacet},
};
use bevelbench_notebook::{
    answer::{
        matching::{Matched, Measured, Measures, Unmatched, WheelFit, wheels_by_fit},
        swept::swept,
    },
    drawing::{sketch::mark::Mark, tip_view::tip_plan_view},
    quantity::Units,
    saved::{Bench, BevelMeant, FacetSaved, Id, TargetSaved, WingSaved},
    words::{at_odds_words, matched_words, unmatched_words, wheel_fit_words},
};
use egui::{Rect, Ui, pos2};

use crate::{
    model::{appearance::Tone, session::Session},
    pages::find::bench_side::{
        Grain, Picture, Reading, Rows, beside_a_picture, choice, current_gouge, figure, note,
        with_uncertainty,
    },
    toolkit::{
        theme::{Surface, Theme},
        widgets::{Emphasis, button, caution_line, section, status_line},
    },
};

/// Which wheel ground the facet, where its hollow is not measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum GroundOn {
    /// That of the current setting: an assumption.
    InHand,
    /// One of the bench's wheels.
    Wheel(Id),
    /// Nobody knows.
    Unknown,
}

/// What the part keeps from frame to frame.
#[derive(Debug)]
pub(super) struct MatchingState {
    rows: Rows,
    facet: Option<f64>,
    under: Option<f64>,
    protractor: Option<f64>,
    template: Option<f64>,
    daylight: Option<f64>,
    open_at_edge: bool,
    hollow: Option<f64>,
    setback: Option<f64>,
    uncertainties: Uncertainties,
    ground_on: GroundOn,
    sample: Option<Id>,
    side: Picture,
    plan: Picture,
    message: Option<(u64, Tone, String)>,
}

/// The ± of each reading.
#[derive(Debug, Clone, Copy)]
struct Uncertainties {
    facet: f64,
    under: f64,
    protractor: f64,
    template: f64,
    daylight: f64,
    hollow: f64,
    setback: f64,
}

impl Default for MatchingState {
    fn default() -> Self {
        Self {
            rows: Rows::default(),
            facet: None,
            under: None,
            protractor: None,
            template: None,
            daylight: None,
            open_at_edge: false,
            hollow: None,
            setback: None,
            // Assumed of calipers, a protractor, a template and feeler gauges: common practice, to be put right.
            uncertainties: Uncertainties {
                facet: 0.2,
                under: 0.1,
                protractor: 0.5,
                template: 0.2,
                daylight: 0.05,
                hollow: 0.02,
                setback: 0.5,
            },
            ground_on: GroundOn::InHand,
            sample: None,
            side: Picture::default(),
            plan: Picture::default(),
            message: None,
        }
    }
}

const FACET: Reading = Reading {
    name: "Facet, edge to heel",
    how: "Along the facet, with calipers or a rule.",
    grain: Grain::Length,
    step: 0.1,
    mark: Some(Mark::Of(Quantity::FacetWidth)),
};
const UNDER: Reading = Reading {
    name: "Steel under the edge",
    how: "From the edge square down to the underside: the blade’s thickness, or that of a gouge under the floor of its flute.",
    grain: Grain::Length,
    step: 0.1,
    mark: Some(Mark::Of(Quantity::BladeThickness)),
};
const PROTRACTOR: Reading = Reading {
    name: "Protractor",
    how: "Laid on edge and heel, against the tool’s axis: it reads across the hollow.",
    grain: Grain::Angle,
    step: 0.5,
    mark: Some(Mark::Of(Quantity::BevelAcross)),
};
const TEMPLATE: Reading = Reading {
    name: "Angle template",
    how: "The angle marked on a template that is held to the tool.",
    grain: Grain::Angle,
    step: 1.0,
    mark: Some(Mark::Template),
};
const DAYLIGHT: Reading = Reading {
    name: "Daylight under it",
    how: "The gap between template and facet where it is open, with feeler gauges or by eye.",
    grain: Grain::Gap,
    step: 0.05,
    mark: Some(Mark::Daylight),
};
const HOLLOW: Reading = Reading {
    name: "Hollow depth",
    how: "How deep the facet is hollow under a straight-edge from edge to heel: it tells the wheel.",
    grain: Grain::Gap,
    step: 0.01,
    mark: Some(Mark::Hollow),
};
const SETBACK: Reading = Reading {
    name: "Wing setback",
    how: "How far the wing tops lie behind the nose, along the tool.",
    grain: Grain::Length,
    step: 0.5,
    mark: Some(Mark::WingSetback),
};

impl MatchingState {
    /// The measurements; `wheel_radius_mm` is that of the wheel that is said to have ground the tool.
    fn measures(&self, wheel_radius_mm: Option<f64>) -> Measures {
        let uncertainties = &self.uncertainties;
        let sign = if self.open_at_edge { -1.0 } else { 1.0 };
        Measures {
            width: with_uncertainty(self.facet, uncertainties.facet),
            under: with_uncertainty(self.under, uncertainties.under),
            protractor: with_uncertainty(self.protractor, uncertainties.protractor),
            template: with_uncertainty(self.template, uncertainties.template),
            daylight: with_uncertainty(self.daylight.map(|mm| sign * mm), uncertainties.daylight),
            hollow: with_uncertainty(self.hollow, uncertainties.hollow),
            // A wheel's diameter is read to a millimetre or two.
            wheel_radius: wheel_radius_mm.map(|value| Measured { value, uncertainty: 1.0 }),
        }
    }

    fn nothing_measured(&self) -> bool {
        [self.facet, self.under, self.protractor, self.template, self.daylight, self.hollow]
            .iter()
            .all(Option::is_none)
    }
}

/// The part of the page.
pub(super) fn matching_part(
    ui: &mut Ui,
    session: &mut Session,
    state: &mut MatchingState,
    units: Units,
    theme: &Theme,
) {
    session.compute();
    state.rows.begin();
    let radius = wheel_radius(session, state.ground_on);
    let measures = state.measures(radius);
    let matched = measures.matched();
    let right = beside_a_picture(ui, "match", theme, |ui| {
        rows(ui, session, state, units, theme);
        section(ui, "What it is ground to", "", theme);
        result(ui, session, state, &matched, units, theme);
        if is_swung(session) {
            other_ways::wing(ui, session, state, units, theme);
        }
        other_ways::sample(ui, session, state, units, theme);
    });
    state.rows.end(ui);
    pictures(ui, right, session, state, matched.as_ref().ok(), units, theme);
}

fn is_swung(session: &Session) -> bool {
    current_gouge(session).is_some()
}

fn wheel_radius(session: &Session, ground_on: GroundOn) -> Option<f64> {
    match ground_on {
        GroundOn::InHand => session.outcome()?.job.as_ref()?.setting.face.radius_mm(),
        GroundOn::Wheel(id) => wheels(session.bench()).find(|fit| fit.0 == id).map(|fit| fit.1 / 2.0),
        GroundOn::Unknown => None,
    }
}

/// Id and diameter of every round wheel.
fn wheels(bench: &Bench) -> impl Iterator<Item = (Id, f64, String)> {
    bench.rigs.iter().flat_map(|rig| {
        rig.wheels
            .iter()
            .filter(|wheel| wheel.abrasive != bevelbench_notebook::saved::AbrasiveSaved::Flat)
            .map(move |wheel| (wheel.id, wheel.diameter_mm, format!("{}, {}", wheel.name, rig.name)))
    })
}

fn rows(ui: &mut Ui, session: &Session, state: &mut MatchingState, units: Units, theme: &Theme) {
    section(ui, "Measured on the tool", "", theme);
    note(ui, "Put in what you can measure and leave the rest. A ± is how far the reading may be off.", theme);
    let MatchingState { rows, uncertainties, .. } = state;
    rows.measured(ui, FACET, "± of the facet", (&mut state.facet, &mut uncertainties.facet), units, theme);
    rows.measured(ui, UNDER, "± of the steel", (&mut state.under, &mut uncertainties.under), units, theme);
    rows.measured(
        ui,
        PROTRACTOR,
        "± of the protractor",
        (&mut state.protractor, &mut uncertainties.protractor),
        units,
        theme,
    );
    rows.measured(
        ui,
        TEMPLATE,
        "± of the template",
        (&mut state.template, &mut uncertainties.template),
        units,
        theme,
    );
    if state.template.is_some() || state.daylight.is_some() {
        rows.measured(
            ui,
            DAYLIGHT,
            "± of the daylight",
            (&mut state.daylight, &mut uncertainties.daylight),
            units,
            theme,
        );
        let ends = ["at the heel: the tool is keener", "at the edge: the tool is blunter"];
        let shown = ends[usize::from(state.open_at_edge)];
        if let Some(index) = choice(ui, "Open", "Where light shows.", shown, ends.into_iter(), theme) {
            state.open_at_edge = index == 1;
        }
    }
    rows.measured(
        ui,
        HOLLOW,
        "± of the hollow",
        (&mut state.hollow, &mut uncertainties.hollow),
        units,
        theme,
    );
    if state.hollow.is_none() {
        let mut all = vec![(GroundOn::InHand, "the wheel in hand (assumed)".to_owned())];
        all.extend(wheels(session.bench()).map(|(id, _, name)| (GroundOn::Wheel(id), name)));
        all.push((GroundOn::Unknown, "not known".to_owned()));
        let shown =
            all.iter().find(|(each, _)| *each == state.ground_on).map_or("", |(_, name)| name.as_str());
        let how = "Without the hollow’s depth the wheel is taken as known: half its arc is the difference between the bevel across and the bevel at the edge.";
        if let Some(index) =
            choice(ui, "Ground on", how, shown, all.iter().map(|(_, name)| name.as_str()), theme)
        {
            state.ground_on = all[index].0;
        }
    }
}

fn result(
    ui: &mut Ui,
    session: &mut Session,
    state: &mut MatchingState,
    matched: &Result<Matched, Unmatched>,
    units: Units,
    theme: &Theme,
) {
    let length = |mm: f64| units.length(mm);
    let matched = match matched {
        Ok(matched) => matched,
        Err(why) => {
            let words = unmatched_words(why, &length);
            if state.nothing_measured() {
                note(ui, &format!("{} {}", words.reason, words.remedy), theme);
            } else {
                caution_line(ui, &words.reason, Tone::Caution, theme);
                caution_line(ui, &words.remedy, Tone::Strong, theme);
            }
            return;
        }
    };
    let most_certain = &matched.most_certain;
    let at_edge = most_certain.grind.facet.at_edge();
    let big = format!(
        "{} ±{} at the edge",
        units.angle(at_edge.degrees()),
        units.angle(most_certain.uncertainty.at_edge.degrees())
    );
    figure(ui, &big, theme);
    for method in std::iter::once(most_certain).chain(&matched.others) {
        caution_line(ui, &matched_words(method), Tone::Strong, theme);
    }
    if let Some((agree, words)) = at_odds_words(matched) {
        caution_line(ui, &words, if agree { Tone::Good } else { Tone::Caution }, theme);
    }
    if matched.hollow_measured {
        let (radius, uncertainty) = (most_certain.grind.radius_mm, most_certain.uncertainty.radius_mm);
        let fits: Vec<WheelFit<'_>> = radius
            .map(|radius| wheels_by_fit(session.bench(), radius, uncertainty.unwrap_or(0.0)))
            .unwrap_or_default();
        let words = wheel_fit_words(&fits, radius, uncertainty, &length);
        caution_line(ui, &words.reason, Tone::Strong, theme);
        caution_line(ui, &words.remedy, Tone::Strong, theme);
    } else {
        note(ui, "The wheel was taken as known, not measured: the hollow’s depth would tell it.", theme);
    }
    let facet = most_certain.grind.facet;
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = theme.sizes.gap.small;
        let target = button(ui, "Make it the target", Emphasis::Main, theme)
            .on_hover_text("The setting in hand is to grind this bevel: Find says what to set for it.");
        if target.clicked() {
            let bevel_deg = at_edge.degrees();
            let measured =
                state.setback.filter(|_| is_swung(session)).map(|sweep_mm| WingSaved::Sweep { sweep_mm });
            session.edit("Match a grind", |bench| {
                if let Some(current) = bench.current.as_mut() {
                    let wing = measured.or(current.target.and_then(|target| target.wing));
                    current.target = Some(TargetSaved { bevel_deg, meant: BevelMeant::AtEdge, wing });
                }
            });
            let words = format!("Target: {} at the edge.", units.angle(bevel_deg));
            state.message = Some((session.revision(), Tone::Good, words));
            ui.ctx().request_repaint();
        }
        let present = button(ui, "Take it as the facet", Emphasis::Plain, theme)
            .on_hover_text("The tool in hand carries this facet now: the loupe lays it on the wheel.");
        if present.clicked() {
            take_as_facet(session, facet);
            let words = "The tool carries this facet now.".to_owned();
            state.message = Some((session.revision(), Tone::Good, words));
            ui.ctx().request_repaint();
        }
    });
    reported(ui, session, state, theme);
}

fn reported(ui: &mut Ui, session: &Session, state: &MatchingState, theme: &Theme) {
    if let Some((revision, tone, words)) = &state.message
        && *revision == session.revision()
    {
        status_line(ui, words, *tone, theme);
    }
}

/// The facet as it will be kept.
fn saved_facet(facet: PresentFacet) -> FacetSaved {
    FacetSaved {
        hollow_radius_mm: match facet.hollow() {
            Hollow::Arc { radius_mm } => Some(radius_mm),
            Hollow::Flat => None,
        },
        bevel_deg: facet.at_edge().degrees(),
        width_mm: facet.width_mm(),
    }
}

/// The tool in hand carries this facet and no other, as one undo step.
pub(super) fn take_as_facet(session: &mut Session, facet: PresentFacet) {
    let Some(tool) = session.current().map(|current| current.tool) else { return };
    session.edit("Facet as it is", |bench| {
        if let Some(entry) = bench.tools.iter_mut().find(|entry| entry.id == tool) {
            entry.present_facet = Some(saved_facet(facet));
            entry.further_facets.clear();
        }
    });
}

fn pictures(
    ui: &mut Ui,
    rect: Rect,
    session: &Session,
    state: &mut MatchingState,
    matched: Option<&Matched>,
    units: Units,
    theme: &Theme,
) {
    ui.painter().rect_filled(rect, 0.0, theme.surface(Surface::Canvas));
    let inner = rect.shrink(theme.sizes.gap.margin);
    let swung = is_swung(session);
    let fraction = if swung { 0.58 } else { 1.0 };
    let side = Rect::from_min_max(inner.min, pos2(inner.right(), inner.top() + inner.height() * fraction));
    let shown = sketch::SketchValues {
        facet: matched.map(|matched| matched.most_certain.grind.facet),
        width_mm: state.facet,
        under_mm: state.under,
        protractor_deg: state.protractor,
        template_deg: state.template,
        daylight_mm: state.daylight,
        open_at_edge: state.open_at_edge,
        hollow_mm: state.hollow,
        pointed: state.rows.pointed,
        units,
    };
    let key = format!("{shown:?}");
    state.side.show(ui, side, key, "Where each is measured, from the side", theme, || {
        Some(sketch::from_the_side(&shown))
    });
    if !swung {
        return;
    }
    let plan = Rect::from_min_max(pos2(inner.left(), side.bottom() + theme.sizes.gap.normal), inner.max);
    let key = format!("{} {units:?}", session.revision());
    state.plan.show(ui, plan, key, "Wing setback, from above (the setting in hand)", theme, || {
        let outcome = session.outcome()?;
        let (job, view) = outcome.job.as_ref().zip(outcome.result.as_ref().ok())?;
        let shape = swept(job, view, session.current()?.swing.as_ref(), 101).ok()?;
        let drawing = tip_plan_view(&shape, &|mm| units.length(mm));
        let room = drawing.bounds()?;
        let mut room = room.grown(0.2 * room.width());
        // Words stand before the nose.
        room.min[0] -= 0.25 * room.width();
        Some((drawing, room))
    });
}
