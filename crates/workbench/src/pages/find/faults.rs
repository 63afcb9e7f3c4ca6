//! What is seen on a tool, and what to change: each fault with the geometry's own picture of its cause, and the size of
//! the mistake that explains what is measured.

mod worked;

use bevelbench_geometry::{
    DVec3,
    facet::ink::FILM_ASSUMED_MM,
    fault::{FaultyGrind, NewFacet, RollingFault, TwoFacets, TwoFacetsSeen},
    math::Angle,
};
use bevelbench_notebook::{
    drawing::fault_view::{edge_from_above, edge_unrolled, two_facets_view},
    quantity::Units,
};
use egui::{Rect, Ui, pos2};
use worked::{FaultAnswer, compute};

use crate::{
    model::session::Session,
    pages::find::{
        bench_side::{
            Grain, Picture, Reading, Rows, beside_a_picture, choice, current_gouge, facet_on_the_wheel, note,
        },
        no_current_setting,
    },
    toolkit::{
        theme::{Surface, Theme},
        widgets::{RackRow, caution_line, rack_row, section},
    },
};

/// What is seen.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
enum Fault {
    #[default]
    OneWingLong,
    NosePointed,
    NoseFlat,
    WingUneven,
    TwoFacets,
    EdgeOnly,
    Blued,
}

/// What is said of a fault whatever is measured.
struct FaultEntry {
    fault: Fault,
    name: &'static str,
    seen: &'static str,
    not_modelled: &'static str,
}

const FAULTS: [FaultEntry; 7] = [
    FaultEntry {
        fault: Fault::OneWingLong,
        name: "One wing is longer",
        seen: "One wing top lies further back than the other. The usual cause is a gouge that sits turned in its holder: then the roll line no longer lies in the flute’s middle.",
        not_modelled: "Not modelled: rolling further to one side, pressing harder there, or a wheel face dressed askew. They look alike; look at the flute in the holder first.",
    },
    FaultEntry {
        fault: Fault::NosePointed,
        name: "The nose is pointed",
        seen: "From above the nose comes to a point. Rolled about too low a centre, near the floor of the flute, both wings are cut further back than the nose.",
        not_modelled: "Not modelled: less time at the nose than beside it, which leaves the same look at any roll centre.",
    },
    FaultEntry {
        fault: Fault::NoseFlat,
        name: "The nose is flat",
        seen: "From above the nose is straight across. Held at the middle of the swing, the wheel stands there and cuts a flat of its own.",
        not_modelled: "Not modelled: a flat left by dressing an old nicked edge square before it was shaped.",
    },
    FaultEntry {
        fault: Fault::WingUneven,
        name: "A dip or a peak along a wing",
        seen: "The edge is not fair between nose and wing top. A dip is a place where the tool was held still; a peak is a part of the swing that was rolled past.",
        not_modelled: "Not modelled: a ridge or a groove in the wheel’s face, and a flute that is itself not fair.",
    },
    FaultEntry {
        fault: Fault::TwoFacets,
        name: "There are two facets",
        seen: "The bevel is broken in two. Something had moved between the two grinds; from the widths follows what, and how far.",
        not_modelled: "Assumed: the setting in hand ground the older facet, and one thing alone had moved.",
    },
    FaultEntry {
        fault: Fault::EdgeOnly,
        name: "Only the edge is touched",
        seen: "A narrow bright strip along the edge, the rest of the facet untouched: the tool stands blunter on the wheel than it was ground.",
        not_modelled: "Assumed: the setting in hand is the one that ground the facet, nothing was ground away yet, and the film is as thick as it says. Once the strip is a facet of its own, look under “There are two facets”.",
    },
    FaultEntry {
        fault: Fault::Blued,
        name: "The steel has turned blue",
        seen: "Blue or brown along the edge: it became too hot there. Thin cheeks and corners heat first.",
        not_modelled: "Not modelled: heat. How hot an edge becomes depends on pressure, wheel, speed and steel, none of which is measured here.",
    },
];

/// What the part keeps from frame to frame.
#[derive(Debug)]
pub(super) struct FaultsState {
    rows: Rows,
    fault: Fault,
    measured: Measured,
    worked: Option<(String, FaultAnswer)>,
    above: Picture,
    below: Picture,
}

/// What is measured of each fault.
#[derive(Debug, Clone, Copy)]
struct Measured {
    left_wing: bool,
    differ_mm: f64,
    radius_mm: f64,
    flat_mm: f64,
    is_peak: bool,
    from_nose_mm: f64,
    uneven_mm: f64,
    /// Widths of the facets at the edge and at the heel; as the current setting suggests until they are typed.
    two_mm: [Option<f64>; 2],
    newer_at_edge: bool,
    strip_mm: f64,
    film_mm: f64,
}

impl Default for FaultsState {
    fn default() -> Self {
        Self {
            rows: Rows::default(),
            fault: Fault::default(),
            // To begin with: what a tutor sees often.
            measured: Measured {
                left_wing: true,
                differ_mm: 1.0,
                radius_mm: 1.0,
                flat_mm: 2.0,
                is_peak: false,
                from_nose_mm: 3.0,
                uneven_mm: 0.4,
                two_mm: [None; 2],
                newer_at_edge: false,
                strip_mm: 0.5,
                film_mm: FILM_ASSUMED_MM,
            },
            worked: None,
            above: Picture::default(),
            below: Picture::default(),
        }
    }
}

/// The part of the page.
pub(super) fn faults_part(
    ui: &mut Ui,
    session: &mut Session,
    state: &mut FaultsState,
    units: Units,
    theme: &Theme,
) {
    session.compute();
    if session.current().is_none() {
        no_current_setting(ui, theme);
        return;
    }
    state.rows.begin();
    let right = beside_a_picture(ui, "faults", theme, |ui| {
        section(ui, "What you see", "", theme);
        ui.scope(|ui| {
            ui.spacing_mut().item_spacing.y = 1.0;
            for reported in &FAULTS {
                let chosen = reported.fault == state.fault;
                let row = RackRow { name: reported.name, value: "", outline: None, chosen, caution: "" };
                if rack_row(ui, row, theme).clicked() {
                    state.fault = reported.fault;
                    ui.ctx().request_repaint();
                }
            }
        });
        let Some(reported) = FAULTS.iter().find(|reported| reported.fault == state.fault) else { return };
        ui.add_space(theme.sizes.gap.small);
        note(ui, reported.seen, theme);
        measured_rows(ui, session, state, units, theme);
        let key = format!("{} {:?} {:?} {units:?}", session.revision(), state.fault, state.measured);
        if state.worked.as_ref().is_none_or(|(kept, _)| *kept != key) {
            state.worked = Some((key, compute(session, state.fault, &state.measured, units)));
        }
        section(ui, "What to change", "", theme);
        if let Some((_, worked)) = &state.worked {
            for (tone, words) in &worked.words {
                caution_line(ui, words, *tone, theme);
            }
        }
        note(ui, reported.not_modelled, theme);
    });
    state.rows.end(ui);
    pictures(ui, right, session, state, units, theme);
}

const fn length(name: &'static str, how: &'static str) -> Reading {
    Reading { name, how, grain: Grain::Length, step: 0.1, mark: None }
}

/// The whole facet as the current setting grinds it.
fn whole_facet_mm(session: &Session) -> f64 {
    let view = session.outcome().and_then(|outcome| outcome.result.as_ref().ok());
    view.map_or(6.0, |view| view.facet.width_mm)
}

fn tenth(mm: f64) -> f64 {
    (mm * 10.0).round() / 10.0
}

impl Measured {
    /// Widths of the facets at the edge and at the heel.
    fn two(&self, whole_mm: f64) -> [f64; 2] {
        let suggested = if self.newer_at_edge { [0.35, 0.8] } else { [0.4, 0.65] };
        [0, 1].map(|i| self.two_mm[i].unwrap_or(tenth(suggested[i] * whole_mm)))
    }
}

fn measured_rows(ui: &mut Ui, session: &Session, state: &mut FaultsState, units: Units, theme: &Theme) {
    let FaultsState { rows, measured, fault, .. } = state;
    let wings = ["the left, seen from the handle", "the right, seen from the handle"];
    let wing = |ui: &mut Ui, name: &'static str, left: &mut bool| {
        if let Some(index) = choice(ui, name, "", wings[usize::from(!*left)], wings.into_iter(), theme) {
            *left = index == 0;
            ui.ctx().request_repaint();
        }
    };
    let whole = whole_facet_mm(session);
    match fault {
        Fault::OneWingLong => {
            wing(ui, "Longer wing", &mut measured.left_wing);
            let what = length(
                "Wings differ by",
                "How much further back that wing top lies, along the tool, with a square held to the nose.",
            );
            rows.value(ui, what, &mut measured.differ_mm, units, theme);
        }
        Fault::NosePointed => {
            let what = length("Nose radius", "Seen from above, with a radius gauge or a template.");
            rows.value(ui, what, &mut measured.radius_mm, units, theme);
        }
        Fault::NoseFlat => {
            let what = length("Flat is wide", "Seen from above, across the tool.");
            rows.value(ui, what, &mut measured.flat_mm, units, theme);
        }
        Fault::WingUneven => {
            let kinds = ["a dip: steel is missing", "a peak: steel stands out"];
            let shown = kinds[usize::from(measured.is_peak)];
            if let Some(index) = choice(ui, "There is", "", shown, kinds.into_iter(), theme) {
                measured.is_peak = index == 1;
                ui.ctx().request_repaint();
            }
            wing(ui, "On the wing", &mut measured.left_wing);
            let what =
                length("From the nose", "Along the edge, from the very nose to the middle of the place.");
            rows.value(ui, what, &mut measured.from_nose_mm, units, theme);
            let what =
                length("Off the fair edge by", "Along the tool, with a straight-edge laid along the wing.");
            rows.value(ui, what, &mut measured.uneven_mm, units, theme);
        }
        Fault::TwoFacets => {
            let ends = ["the one at the heel", "the one at the edge"];
            let shown = ends[usize::from(measured.newer_at_edge)];
            let how = "The fresher of the two: brighter, with the marks of the last grind.";
            if let Some(index) = choice(ui, "Newer facet", how, shown, ends.into_iter(), theme) {
                measured.newer_at_edge = index == 1;
                ui.ctx().request_repaint();
            }
            let [edge, heel] = measured.two(whole);
            let names = [
                length("Facet at the edge", "From the edge to the corner between the facets."),
                length("Facet at the heel", "From the corner between the facets to the heel."),
            ];
            for ((what, now), kept) in names.into_iter().zip([edge, heel]).zip(&mut measured.two_mm) {
                let mut value = now;
                rows.value(ui, what, &mut value, units, theme);
                if (value - now).abs() > 1e-9 {
                    *kept = Some(value);
                }
            }
        }
        Fault::EdgeOnly => {
            let what = length("Strip at the edge", "How wide the ink is rubbed off along the edge.");
            rows.value(ui, what, &mut measured.strip_mm, units, theme);
            let what = Reading {
                name: "Film of ink",
                how: "Thickness of the ink on the steel. Ink goes where the gap is below it.",
                grain: Grain::Film,
                step: 0.001,
                mark: None,
            };
            rows.value(ui, what, &mut measured.film_mm, units, theme);
        }
        Fault::Blued => {}
    }
}

/// What a slip leaves, drawn from the current setting.
fn pictures(
    ui: &mut Ui,
    rect: Rect,
    session: &Session,
    state: &mut FaultsState,
    units: Units,
    theme: &Theme,
) {
    ui.painter().rect_filled(rect, 0.0, theme.surface(Surface::Canvas));
    let inner = rect.shrink(theme.sizes.gap.margin);
    let Some((key, worked)) = &state.worked else { return };
    let length = |mm: f64| units.fine(mm);
    match state.fault {
        Fault::TwoFacets => {
            let accessible_text = "The two facets, enlarged";
            state.above.show(ui, inner, key.clone(), accessible_text, theme, || {
                section_of(worked.two_facets.as_ref()?, units)
            });
            return;
        }
        Fault::EdgeOnly => {
            let accessible_text = "The facet on the wheel, many times enlarged";
            let film_mm = state.measured.film_mm;
            state.above.show(ui, inner, key.clone(), accessible_text, theme, || {
                let outcome = session.outcome()?;
                let (job, view) = (outcome.job.as_ref()?, outcome.result.as_ref().ok()?);
                facet_on_the_wheel(job, view, Some(worked.facet?), film_mm, units)
            });
            return;
        }
        _ => {}
    }
    let Some((rolled, steel)) = current_gouge(session) else { return };
    let meant_and_came = || -> Option<(Vec<DVec3>, Vec<DVec3>)> {
        let fair = RollingFault::TurnedInHolder { by: Angle::ZERO };
        let edge = |rolling_fault| {
            FaultyGrind::new(&rolled, rolling_fault).ok().map(|faulty| faulty.edge(&steel, EDGE_POINTS))
        };
        Some((edge(fair)?, edge(worked.rolling_fault.unwrap_or(fair))?))
    };
    if state.fault == Fault::Blued {
        state.above.show(ui, inner, key.clone(), "The tip from above", theme, || {
            let (meant, _) = meant_and_came()?;
            let (drawing, room) = edge_from_above(&meant, &meant, worked.at);
            Some((drawing, room?))
        });
        return;
    }
    let split = inner.top() + inner.height() * 0.66;
    let above = Rect::from_min_max(inner.min, pos2(inner.right(), split));
    let below = Rect::from_min_max(pos2(inner.left(), split + theme.sizes.gap.normal), inner.max);
    let accessible_text = "From above: dashed as it was meant";
    state.above.show(ui, above, key.clone(), accessible_text, theme, || {
        let (meant, came) = meant_and_came()?;
        let (drawing, room) = edge_from_above(&meant, &came, worked.at);
        Some((drawing, room?))
    });
    let accessible_text = "Along the edge: how far it lies off";
    state.below.show(ui, below, key.clone(), accessible_text, theme, || {
        let (meant, came) = meant_and_came()?;
        let (drawing, room) = edge_unrolled(&meant, &came, &length);
        Some((drawing, room?))
    });
}

/// Points of a pictured edge.
const EDGE_POINTS: usize = 241;

fn section_of(
    two: &TwoFacets,
    units: Units,
) -> Option<(bevelbench_notebook::drawing::Drawing, bevelbench_notebook::drawing::Bounds)> {
    let (drawing, room) = two_facets_view(two, &|mm| units.length(mm));
    Some((drawing, room?))
}

impl Measured {
    /// What the two facets are taken to be.
    fn facets_seen(&self, whole_mm: f64) -> TwoFacetsSeen {
        let [edge_mm, heel_mm] = self.two(whole_mm);
        let newer = if self.newer_at_edge { NewFacet::AtEdge } else { NewFacet::AtHeel };
        TwoFacetsSeen { edge_mm, heel_mm, newer }
    }
}
