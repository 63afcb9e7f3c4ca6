//! One reach for many settings: where to leave the arm so that as many as possible are served by their projection alone,
//! what each of them then grinds, and why the others are left out.

use bevelbench_geometry::{
    math::{Angle, Quantity},
    side::{Caution, Job, Refusal, Setting, SideView, Target},
    solve::{SharedReach, Sharer, one_reach_for_many},
};

use crate::{
    answer::{
        bench::Unanswered,
        finding::{BevelQuery, NotFindable},
        swept::{Swept, swept},
    },
    saved::{
        bench::Bench,
        id::Id,
        setting::{SettingEntry, SupportSaved},
        target::{BevelMeant, TargetSaved},
    },
};

/// How a reach is shared.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Terms {
    /// How far a bevel may be off.
    pub tolerance: Angle,
    /// Whether one strut angle is shared as well.
    pub strut_angle: bool,
    /// Whether the strut stands at its rests and the tools at stop blocks only, where there are any.
    pub at_stops: bool,
}

impl Default for Terms {
    fn default() -> Self {
        Self { tolerance: Angle::from_degrees(0.5), strut_angle: false, at_stops: false }
    }
}

/// A setting that the shared reach serves.
#[derive(Debug, Clone, PartialEq)]
pub struct Served {
    /// The setting as it then stands; its id and its name are those it had.
    pub entry: SettingEntry,
    /// The bevel that was asked for.
    pub wanted: Target,
    /// What is ground, where that was meant.
    pub bevel: Angle,
    /// Its projection, in millimetres.
    pub projection_mm: f64,
    /// The bevel at the edge less the one asked for.
    pub off: Angle,
    /// How far back the wings go, as it stood and as it then stands, in millimetres; of a swept gouge.
    pub wing_sweep_mm: Option<(f64, f64)>,
    /// The cautions.
    pub cautions: Vec<Caution>,
}

/// Why a setting is left out.
#[derive(Debug, Clone, PartialEq)]
pub enum WhyLeftOut {
    /// It is not held by a holder: a handle in the cup and a table have no projection.
    NoProjection,
    /// It has no answer as it stands, and no bevel was asked of it.
    Unanswered(Unanswered),
    /// It would have to stand out further, or less, than it can.
    OffRange {
        /// The projection that would do, in millimetres.
        wanted_mm: f64,
        /// The least, in millimetres.
        least_mm: f64,
        /// The greatest, in millimetres.
        most_mm: f64,
    },
    /// No projection grinds the bevel at this reach.
    NoAnswer,
    /// The nearest stop block misses the bevel by more than is allowed.
    StopOff {
        /// The stop block, in millimetres.
        stop_mm: f64,
        /// The bevel at the edge less the one asked for.
        off: Angle,
    },
    /// Wheel, holder, tool or bench is in the way.
    InTheWay(Refusal),
}

/// A setting that the shared reach does not serve.
#[derive(Debug, Clone, PartialEq)]
pub struct LeftOut {
    /// Which.
    pub setting: Id,
    /// Why.
    pub why: WhyLeftOut,
}

/// What came of sharing the arm in front of one wheel.
#[derive(Debug, Clone, PartialEq)]
pub struct Shared {
    /// The rig.
    pub rig: Id,
    /// Its wheel.
    pub wheel: Id,
    /// The reach, in millimetres; `None` when it serves nobody.
    pub reach_mm: Option<f64>,
    /// From where to where it may stand all the same, in millimetres.
    pub range_mm: (f64, f64),
    /// The strut angle, where it is shared.
    pub strut_angle: Option<Angle>,
    /// Whom it serves, in the order asked.
    pub served: Vec<Served>,
    /// Whom it does not.
    pub left_out: Vec<LeftOut>,
    /// For each setting that could be looked at, the stretches of the reach that serve it at that strut angle, in
    /// millimetres.
    pub stretches_mm: Vec<(Id, Vec<(f64, f64)>)>,
}

/// The settings whose tool is held by a holder, by rig and wheel: each group has one arm.
#[must_use]
pub fn groups(bench: &Bench) -> Vec<(Id, Id, Vec<Id>)> {
    let mut groups: Vec<(Id, Id, Vec<Id>)> = Vec::new();
    let held = bench.settings.iter().filter(|entry| matches!(entry.support, SupportSaved::Holder { .. }));
    for entry in held {
        match groups.iter_mut().find(|(rig, wheel, _)| (*rig, *wheel) == (entry.rig, entry.wheel)) {
            Some((.., settings)) => settings.push(entry.id),
            None => groups.push((entry.rig, entry.wheel, vec![entry.id])),
        }
    }
    groups
}

/// A setting that can share.
struct Candidate {
    entry: SettingEntry,
    query: BevelQuery,
    range_mm: (f64, f64),
    strut_deg: (f64, f64),
}

/// Shares the arm in front of a wheel among settings of it.
///
/// # Errors
/// [`Refusal`] for a tolerance that is none.
pub fn shared_reach(
    bench: &Bench,
    rig: Id,
    wheel: Id,
    settings: &[Id],
    terms: Terms,
) -> Result<Shared, Refusal> {
    let mut left_out = Vec::new();
    let mut candidates = Vec::new();
    let here = settings
        .iter()
        .filter_map(|id| bench.setting(*id))
        .filter(|entry| (entry.rig, entry.wheel) == (rig, wheel));
    for entry in here {
        match candidate(bench, entry) {
            Ok(candidate) => candidates.push(candidate),
            Err(why) => left_out.push(LeftOut { setting: entry.id, why }),
        }
    }
    let sharers: Vec<Sharer<'_>> = candidates
        .iter()
        .map(|candidate| Sharer {
            setting: candidate.query.question.setting,
            bevel: candidate.query.question.bevel,
            least_mm: candidate.range_mm.0,
            most_mm: candidate.range_mm.1,
            stops_mm: (terms.at_stops && !candidate.query.stops_of(Quantity::Projection).is_empty())
                .then_some(candidate.query.stops_of(Quantity::Projection)),
        })
        .collect();
    let struts = terms.strut_angle.then(|| struts(&candidates, terms.at_stops));
    let shared = one_reach_for_many(&sharers, terms.tolerance, struts.as_deref())?;
    let mut result = Shared {
        rig,
        wheel,
        reach_mm: None,
        range_mm: (0.0, 0.0),
        strut_angle: None,
        served: Vec::new(),
        left_out,
        stretches_mm: Vec::new(),
    };
    let strut = shared.as_ref().and_then(|shared| shared.strut_angle);
    for (candidate, sharer) in candidates.iter().zip(&sharers) {
        let turned = strut.and_then(|angle| sharer.setting.with(Quantity::StrutAngle, angle.degrees()));
        let sharer = Sharer { setting: turned.unwrap_or(sharer.setting), ..*sharer };
        result.stretches_mm.push((candidate.entry.id, sharer.serving_reaches_mm(terms.tolerance)));
    }
    let Some(shared) = shared else {
        let nobody = candidates
            .iter()
            .map(|candidate| LeftOut { setting: candidate.entry.id, why: WhyLeftOut::NoAnswer });
        result.left_out.extend(nobody);
        return Ok(result);
    };
    result.reach_mm = Some(shared.reach_mm);
    result.range_mm = (shared.least_mm, shared.most_mm);
    result.strut_angle = shared.strut_angle;
    for (index, candidate) in candidates.iter().enumerate() {
        let found = shared.served.iter().find(|served| served.index == index);
        let outcome = match found {
            Some(served) => candidate.served(bench, &shared, served.projection_mm, served.bevel_off),
            None => Err(candidate.why(&shared, sharers[index].stops_mm)),
        };
        match outcome {
            Ok(served) => result.served.push(served),
            Err(why) => result.left_out.push(LeftOut { setting: candidate.entry.id, why }),
        }
    }
    Ok(result)
}

fn candidate(bench: &Bench, entry: &SettingEntry) -> Result<Candidate, WhyLeftOut> {
    if !matches!(entry.support, SupportSaved::Holder { .. }) {
        return Err(WhyLeftOut::NoProjection);
    }
    // Nobody having asked for a bevel, the one it grinds is kept.
    let target = if let Some(target) = entry.target {
        target
    } else {
        let (_, view) = bench.answer(entry).map_err(WhyLeftOut::Unanswered)?;
        TargetSaved { bevel_deg: view.bevel().degrees(), meant: BevelMeant::AtEdge, wing: None }
    };
    // A wing is not looked at: the projection alone cannot give it.
    let query = BevelQuery::for_target(bench, entry, &target)
        .or_else(|_| BevelQuery::for_target(bench, entry, &TargetSaved { wing: None, ..target }))
        .map_err(|why| match why {
            NotFindable::Unanswered(why) => WhyLeftOut::Unanswered(why),
            _ => WhyLeftOut::NoProjection,
        })?;
    let projection = query.degree_of_freedom(Quantity::Projection).ok_or(WhyLeftOut::NoProjection)?;
    let strut = query.degree_of_freedom(Quantity::StrutAngle).ok_or(WhyLeftOut::NoProjection)?;
    Ok(Candidate {
        entry: entry.clone(),
        range_mm: (projection.least, projection.most),
        strut_deg: (strut.least, strut.most),
        query,
    })
}

/// Strut angles that are tried: rests, and half degrees over what all of the holders allow.
fn struts(candidates: &[Candidate], at_stops: bool) -> Vec<Angle> {
    let mut degrees: Vec<f64> =
        candidates.iter().flat_map(|one| one.query.stops_of(Quantity::StrutAngle).to_vec()).collect();
    if !at_stops || degrees.is_empty() {
        let least = candidates.iter().map(|one| one.strut_deg.0).fold(0.0, f64::max);
        let most = candidates.iter().map(|one| one.strut_deg.1).fold(180.0, f64::min);
        degrees.extend((0..=360).map(|half| f64::from(half) / 2.0).filter(|d| (least..=most).contains(d)));
    }
    degrees.sort_by(f64::total_cmp);
    degrees.dedup();
    degrees.into_iter().map(Angle::from_degrees).collect()
}

/// Points along an edge of which only the ends count here.
const WING_POINTS: usize = 21;

/// How far back the wings go, in millimetres; of a swept gouge.
fn wing_sweep_mm(job: &Job, view: &SideView, entry: &SettingEntry) -> Option<f64> {
    let swept = swept(job, view, entry.swing.as_ref(), WING_POINTS).ok().filter(Swept::is_gouge)?;
    Some(swept.summary().wing_sweep_mm())
}

impl Candidate {
    /// The setting at the shared reach.
    fn at(&self, shared: &SharedReach) -> Option<Setting> {
        let setting = self.query.question.setting.with(Quantity::Reach, shared.reach_mm)?;
        match shared.strut_angle {
            Some(angle) => setting.with(Quantity::StrutAngle, angle.degrees()),
            None => Some(setting),
        }
    }

    fn served(
        &self,
        bench: &Bench,
        shared: &SharedReach,
        projection_mm: f64,
        off: Angle,
    ) -> Result<Served, WhyLeftOut> {
        let was =
            bench.answer(&self.entry).ok().and_then(|(job, view)| wing_sweep_mm(&job, &view, &self.entry));
        let setting = self
            .at(shared)
            .and_then(|setting| setting.with(Quantity::Projection, projection_mm))
            .ok_or(WhyLeftOut::NoAnswer)?;
        let job = self.query.check(&setting).map_err(WhyLeftOut::InTheWay)?;
        let view = setting.evaluate().map_err(WhyLeftOut::InTheWay)?;
        let mut entry = self.entry.clone();
        entry.put(Quantity::Reach, shared.reach_mm);
        entry.put(Quantity::Projection, projection_mm);
        if let Some(angle) = shared.strut_angle {
            entry.put(Quantity::StrutAngle, angle.degrees());
        }
        let wanted = self.query.question.bevel;
        Ok(Served {
            entry,
            wanted,
            bevel: match wanted {
                Target::AtEdge(_) => view.facet.at_edge,
                Target::AcrossFacet(_) => view.facet.across,
            },
            projection_mm,
            off,
            wing_sweep_mm: was.zip(wing_sweep_mm(&job, &view, &self.entry)),
            cautions: job.cautions(&view),
        })
    }

    fn why(&self, shared: &SharedReach, stops_mm: Option<&[f64]>) -> WhyLeftOut {
        let Some(setting) = self.at(shared) else { return WhyLeftOut::NoAnswer };
        let bevel = self.query.question.bevel;
        if let (Some(stops), Ok(meant)) = (stops_mm, setting.bevel_meant(bevel)) {
            let nearest = stops
                .iter()
                .filter(|stop| (self.range_mm.0..=self.range_mm.1).contains(*stop))
                .filter_map(|&stop| {
                    let view = setting.with(Quantity::Projection, stop)?.evaluate().ok()?;
                    Some((stop, view.bevel() - meant))
                })
                .min_by(|a, b| a.1.abs().radians().total_cmp(&b.1.abs().radians()));
            return match nearest {
                Some((stop_mm, off)) => WhyLeftOut::StopOff { stop_mm, off },
                None => WhyLeftOut::NoAnswer,
            };
        }
        let (least_mm, most_mm) = self.range_mm;
        let short = |value: f64| (least_mm - value).max(value - most_mm);
        let found = setting.find(bevel, Quantity::Projection).ok();
        let values = found.iter().flat_map(|answers| answers.all().map(|answer| answer.value));
        match values.min_by(|a, b| short(*a).total_cmp(&short(*b))) {
            Some(wanted_mm) => WhyLeftOut::OffRange { wanted_mm, least_mm, most_mm },
            None => WhyLeftOut::NoAnswer,
        }
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]
mod tests {
    use super::*;
    use crate::saved::library::demo_bench;

    #[test]
    fn everyone_served_grinds_the_bevel_within_the_tolerance_at_one_reach() {
        let bench = demo_bench().unwrap();
        let mut shared_by_several = 0;
        for (rig, wheel, settings) in groups(&bench) {
            for strut_angle in [false, true] {
                for at_stops in [false, true] {
                    let terms = Terms { strut_angle, at_stops, ..Terms::default() };
                    let shared = shared_reach(&bench, rig, wheel, &settings, terms).unwrap();
                    assert_eq!(shared.served.len() + shared.left_out.len(), settings.len());
                    for served in &shared.served {
                        // The picture and the answer agree.
                        let reach = shared.reach_mm.unwrap();
                        let (_, stretches) =
                            shared.stretches_mm.iter().find(|(id, _)| *id == served.entry.id).unwrap();
                        assert!(stretches.iter().any(|(a, b)| (a - 1e-6..=b + 1e-6).contains(&reach)));
                        let (job, view) = bench.answer(&served.entry).unwrap();
                        let got = match served.wanted {
                            Target::AtEdge(bevel) => view.facet.at_edge - bevel,
                            Target::AcrossFacet(bevel) => view.facet.across - bevel,
                        };
                        assert!(got.degrees().abs() < 0.5 + 1e-6, "{}: {got:?}", served.entry.name);
                        assert_eq!(job.setting.value_of(Quantity::Reach), shared.reach_mm);
                        let projection = job.setting.value_of(Quantity::Projection).unwrap();
                        assert!((projection - served.projection_mm).abs() < 1e-12);
                        if let Some(angle) = shared.strut_angle {
                            let own = job.setting.value_of(Quantity::StrutAngle).unwrap();
                            assert!((own - angle.degrees()).abs() < 1e-9);
                        }
                    }
                    shared_by_several += usize::from(shared.served.len() > 1);
                }
            }
        }
        assert!(shared_by_several > 4, "{shared_by_several}");
    }

    #[test]
    fn a_wider_tolerance_never_serves_fewer() {
        let bench = demo_bench().unwrap();
        for (rig, wheel, settings) in groups(&bench) {
            let served = |degrees: f64| {
                let terms =
                    Terms { tolerance: Angle::from_degrees(degrees), at_stops: true, ..Terms::default() };
                shared_reach(&bench, rig, wheel, &settings, terms).unwrap().served.len()
            };
            let counts: Vec<usize> = [0.1, 0.5, 2.0, 8.0].map(served).to_vec();
            assert!(counts.windows(2).all(|pair| pair[0] <= pair[1]), "{counts:?}");
        }
    }

    #[test]
    fn omitted_settings_are_listed_with_the_reason() {
        let mut bench = demo_bench().unwrap();
        let (rig, wheel, mut settings) = groups(&bench).into_iter().next().unwrap();
        // One on the table, and one whose bevel no projection gives where the others are served.
        let table = bench.settings.iter().find(|entry| matches!(entry.support, SupportSaved::Table { .. }));
        let mut on_table = table.unwrap().clone();
        (on_table.id, on_table.rig, on_table.wheel) = (Id(9000), rig, wheel);
        bench.settings.push(on_table);
        let mut blunt = bench.setting(settings[0]).unwrap().clone();
        blunt.id = Id(9001);
        blunt.target = Some(TargetSaved { bevel_deg: 150.0, meant: BevelMeant::AtEdge, wing: None });
        bench.settings.push(blunt);
        settings.extend([Id(9000), Id(9001)]);
        let shared = shared_reach(&bench, rig, wheel, &settings, Terms::default()).unwrap();
        let why = |id: u64| shared.left_out.iter().find(|left| left.setting == Id(id)).map(|left| &left.why);
        assert_eq!(why(9000), Some(&WhyLeftOut::NoProjection));
        assert!(
            matches!(why(9001), Some(WhyLeftOut::OffRange { .. } | WhyLeftOut::NoAnswer)),
            "{:?}",
            why(9001)
        );
        let none = Terms { tolerance: Angle::from_degrees(f64::NAN), ..Terms::default() };
        assert!(shared_reach(&bench, rig, wheel, &settings, none).is_err());
    }
}
