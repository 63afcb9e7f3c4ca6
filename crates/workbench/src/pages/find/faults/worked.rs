//! What was measured, worked out: the slip behind it, its words, and what is to be pictured.

use bevelbench_geometry::{
    DVec3,
    facet::{InkSeen, InkVerdict, Pattern},
    fault::{Behind, Dip, FaultyGrind, Peak, RollingFault, Slip, TwoFacets},
    math::Angle,
    parts::PresentFacet,
    swept::{Edge, EdgePoint, GroundError, GroundSurface, Rolled, Steel},
};
use bevelbench_notebook::{
    answer::swept::NotSwept,
    quantity::{Units, format_angle},
    words::{
        Words, behind_words, centre_words, dip_words, flat_words, heat_words, ink_reading_words,
        not_swept_words, peak_words, refusal_words, slip_words, turned_words, two_facets_words,
    },
};

use crate::{
    model::{appearance::Tone, session::Session},
    pages::find::{
        bench_side::current_gouge,
        faults::{Fault, Measured, whole_facet_mm},
    },
};

/// Points along the edge on which places are looked up.
const EDGE_POINTS: usize = 401;

/// What is reported and pictured of a fault.
#[derive(Debug, Default)]
pub(super) struct FaultAnswer {
    /// The words, in order.
    pub(super) words: Vec<(Tone, String)>,
    /// The slip whose edge is pictured.
    pub(super) rolling_fault: Option<RollingFault>,
    /// The place of the edge that is marked.
    pub(super) at: Option<DVec3>,
    /// The facet that is laid on the wheel.
    pub(super) facet: Option<PresentFacet>,
    /// The two facets that are pictured.
    pub(super) two_facets: Option<TwoFacets>,
}

impl FaultAnswer {
    fn say(&mut self, tone: Tone, words: &Words) {
        self.words.push((tone, words.reason.clone()));
        self.words.push((Tone::Strong, words.remedy.clone()));
    }
}

/// The slip behind what was measured.
pub(super) fn compute(session: &Session, fault: Fault, measured: &Measured, units: Units) -> FaultAnswer {
    let mut worked = FaultAnswer::default();
    match fault {
        Fault::TwoFacets => two_facets(&mut worked, session, measured, units),
        Fault::EdgeOnly => edge_only(&mut worked, session, measured, units),
        Fault::Blued => blued(&mut worked, session, units),
        _ => {
            if let Some((rolled, steel)) = current_gouge(session) {
                if let Err(error) = rolled_fault(&mut worked, &rolled, &steel, fault, measured, units) {
                    let words = not_swept_words(&NotSwept::Ground(error), &|mm| units.length(mm));
                    worked.say(Tone::Caution, &words);
                }
            } else {
                let words = "This is a fault of gouges that are rolled from wing to wing: take one in hand that has an answer.";
                worked.words.push((Tone::Caution, words.to_owned()));
            }
        }
    }
    worked
}

fn rolled_fault(
    worked: &mut FaultAnswer,
    rolled: &Rolled,
    steel: &Steel,
    fault: Fault,
    measured: &Measured,
    units: Units,
) -> Result<(), GroundError> {
    let length = |mm: f64| units.length(mm);
    match fault {
        Fault::OneWingLong => {
            let differ_mm = if measured.left_wing { measured.differ_mm } else { -measured.differ_mm };
            let found = FaultyGrind::turned_behind(rolled, steel, differ_mm)?;
            reported(worked, found, "Turning the gouge in its holder", units, |worked, by| {
                worked.rolling_fault = Some(RollingFault::TurnedInHolder { by });
                worked.say(Tone::Strong, &turned_words(by));
            });
        }
        Fault::NosePointed => {
            let highest = rolled.edge_height_mm + 3.0 * steel.half_width_mm();
            let found = FaultyGrind::centre_behind_nose(rolled, steel, measured.radius_mm, highest)?;
            let own = rolled.line.centre_in_tool().y;
            reported(worked, found, "Another roll centre", units, |worked, height_mm| {
                worked.rolling_fault = Some(RollingFault::AboutAnotherCentre { height_mm });
                worked.say(Tone::Strong, &centre_words(height_mm, own, &length));
            });
        }
        Fault::NoseFlat => {
            let found = FaultyGrind::dwelt_behind_flat(rolled, steel, measured.flat_mm)?;
            reported(worked, found, "Holding the nose on the wheel", units, |worked, (nod, lost_mm)| {
                worked.rolling_fault = Some(RollingFault::Dwelt { at: Angle::ZERO, nod });
                worked.say(Tone::Strong, &flat_words(lost_mm, &|mm| units.fine(mm)));
            });
        }
        Fault::WingUneven => {
            let surface = GroundSurface::rolled(rolled)?;
            let Some((at, place)) = place_along(&surface, steel, measured) else {
                let words = "The edge is not so long: measure from the nose, along the edge.";
                worked.words.push((Tone::Caution, words.to_owned()));
                return Ok(());
            };
            worked.at = Some(place);
            let found = if measured.is_peak {
                let peak = Peak { at, height_mm: measured.uneven_mm };
                FaultyGrind::skipped_behind_peak(rolled, steel, peak)?
            } else {
                let dip = Dip { at, depth_mm: measured.uneven_mm };
                FaultyGrind::dwelt_behind_dip(rolled, steel, dip)?
            };
            let slip =
                if measured.is_peak { "Rolling past that place" } else { "Holding still at that place" };
            reported(worked, found, slip, units, |worked, rolling_fault| {
                worked.rolling_fault = Some(rolling_fault);
                match rolling_fault {
                    RollingFault::Skipped { at, half } => worked.say(Tone::Strong, &peak_words(at, half)),
                    RollingFault::Dwelt { at, .. } => {
                        worked.say(Tone::Strong, &dip_words(at, measured.uneven_mm, &length));
                    }
                    _ => {}
                }
            });
        }
        Fault::TwoFacets | Fault::EdgeOnly | Fault::Blued => {}
    }
    Ok(())
}

/// What was found, or why nothing was.
fn reported<T>(
    worked: &mut FaultAnswer,
    found: Behind<T>,
    slip: &str,
    units: Units,
    tell: impl FnOnce(&mut FaultAnswer, T),
) {
    if let Some(words) = behind_words(&found, slip, &|mm| units.length(mm)) {
        worked.say(Tone::Caution, &words);
    }
    if let Some(size) = found.found() {
        tell(worked, size);
    }
}

/// The place of the fair edge so far from the nose on a wing, as a parameter of the upper face and as a point.
fn place_along(surface: &GroundSurface, steel: &Steel, measured: &Measured) -> Option<(f64, DVec3)> {
    let sign = if measured.left_wing { 1.0 } else { -1.0 };
    let point = |i: usize| {
        let t = i as f64 / (EDGE_POINTS - 1) as f64;
        EdgePoint::at(surface, steel, sign * t).map(|point| (sign * t, point.position()))
    };
    let mut walked = 0.0;
    let mut before = point(0)?;
    if measured.from_nose_mm.is_nan() || measured.from_nose_mm < 0.0 {
        return None;
    }
    for i in 1..EDGE_POINTS {
        let Some(here) = point(i) else { continue };
        walked += here.1.distance(before.1);
        if walked >= measured.from_nose_mm {
            return Some(here);
        }
        before = here;
    }
    None
}

fn two_facets(worked: &mut FaultAnswer, session: &Session, measured: &Measured, units: Units) {
    let length = |mm: f64| units.length(mm);
    let Some(job) = session.outcome().and_then(|outcome| outcome.job.as_ref()) else {
        worked.words.push((Tone::Caution, "The setting in hand cannot be put together.".to_owned()));
        return;
    };
    match job.setting.two_facets(&measured.facets_seen(whole_facet_mm(session))) {
        Err(why) => worked.say(Tone::Caution, &two_facets_words(&why, &length)),
        Ok(found) => {
            let newer = found.newer.across().degrees() - found.older.across().degrees();
            worked.words.push((
                Tone::Strong,
                format!(
                    "The newer facet is {} {} than the older one. One of these explains it:",
                    units.angle(newer.abs()),
                    if newer < 0.0 { "keener" } else { "blunter" }
                ),
            ));
            slips(worked, found.slips().copied(), units);
            let remedy = if found.lost_mm > 0.005 {
                format!(
                    "Put back what had moved and grind on until the strip at the edge is gone: the edge has gone back by {} so far.",
                    units.fine(found.lost_mm)
                )
            } else {
                "Put back what had moved, or go on with the newer setting until it has reached the edge: nothing is lost yet."
                    .to_owned()
            };
            worked.words.push((Tone::Strong, remedy));
            worked.two_facets = Some(found);
        }
    }
}

/// Each slip that explains what was seen.
fn slips(worked: &mut FaultAnswer, slips: impl Iterator<Item = Slip>, units: Units) {
    let before = worked.words.len();
    worked.words.extend(slips.map(|slip| (Tone::Strong, slip_words(&slip, &|mm| units.length(mm)))));
    if worked.words.len() == before {
        let words =
            "Nothing that this setting could have moved, within reason: was it another tool’s setting?";
        worked.words.push((Tone::Caution, words.to_owned()));
    }
}

fn edge_only(worked: &mut FaultAnswer, session: &Session, measured: &Measured, units: Units) {
    let length = |mm: f64| units.length(mm);
    let answered =
        session.outcome().and_then(|outcome| outcome.job.as_ref().zip(outcome.result.as_ref().ok()));
    let Some((job, view)) = answered else {
        worked.words.push((Tone::Caution, "The setting in hand has no answer.".to_owned()));
        return;
    };
    let seen = InkSeen {
        pattern: Pattern::Edge,
        rubbed_mm: measured.strip_mm,
        facet_mm: view.facet.width_mm,
        hollow: None,
        film_mm: measured.film_mm,
    };
    // Nothing is moved here: only how far off the setting stands is asked.
    let free = job.setting.follows_wheel();
    let reading = match job.setting.read_ink(&seen, Angle::from_degrees(0.5), free) {
        Ok(reading) => reading,
        Err(refusal) => return worked.say(Tone::Caution, &refusal_words(&refusal, &length)),
    };
    let InkVerdict::SettingBlunter { by } = reading.verdict else {
        return worked.say(Tone::Caution, &ink_reading_words(Pattern::Edge, &reading, free, &length));
    };
    let hollow = job.setting.face.hollow();
    worked.facet =
        reading.facet_bevel.and_then(|bevel| PresentFacet::new(hollow, bevel, view.facet.width_mm).ok());
    worked.words.push((
        Tone::Strong,
        format!(
            "The tool stands {} blunter on the wheel than it was ground. One of these explains it:",
            format_angle(by.degrees(), 2)
        ),
    ));
    slips(worked, job.setting.slips_to(view.bevel() + by), units);
    worked.words.push((
        Tone::Strong,
        "Put back what had moved before you grind: going on would make a second bevel at the edge."
            .to_owned(),
    ));
}

fn blued(worked: &mut FaultAnswer, session: &Session, units: Units) {
    let Some(current) = session.current() else { return };
    let steel = session.bench().tool(current.tool).map(|tool| tool.steel).unwrap_or_default();
    worked.say(Tone::Caution, &heat_words(steel));
    let Some((rolled, section)) = current_gouge(session) else { return };
    let Ok(surface) = GroundSurface::rolled(&rolled) else { return };
    // Where the steel behind the edge is thinnest; at the wing tops themselves a full round bar has none to measure.
    let edge = Edge::trace(&surface, &section, EDGE_POINTS);
    let within = |point: &&EdgePoint| point.w_mm.abs() < 0.8 * section.half_width_mm();
    let thinnest = edge
        .points()
        .iter()
        .filter(within)
        .min_by(|a, b| a.cheek_thickness_mm.total_cmp(&b.cheek_thickness_mm));
    if let Some(point) = thinnest {
        worked.at = Some(point.position());
        worked.words.push((
            Tone::Strong,
            format!(
                "This grind is thinnest where the ring is: {} of steel, five millimetres behind the edge. It heats first.",
                units.length(point.cheek_thickness_mm)
            ),
        ));
    }
}
