//! Carrying a setting over to another wheel, rig, holder or projection: the same bevel, the same grind where the
//! roll-line theorem allows it, and what could not be kept.
//!
//! Two wheels of one size can grind one surface: the strut angle is that of [`bevelbench_geometry::swept::equal`], or the
//! nearest within the travel. Wheels of different sizes cannot; then the wing is swept as far back as it was, where
//! strut and arm allow it, and the edges are compared point for point. Which of the two bevels is kept, the one at the
//! edge or the one across the facet, is asked for: on a wheel of another size they cannot both be.

use bevelbench_geometry::{
    math::{Angle, Quantity},
    side::{Job, LEAST_REST_GAP_MM, Seat, SideView, Support, Target},
    swept::{EdgeDifference, GrindingFace, RollLine, Rolled, Strut, StrutTravel, equal::equal_grind},
};

use crate::{
    answer::{
        bench::{Missing, Unanswered},
        finding::{BevelQuery, WingWanted, rolling_of},
        swept::{Swept, swept},
        target::NoIncluded,
    },
    saved::{
        bench::Bench,
        id::Id,
        rig::Rig,
        setting::{SettingEntry, SupportSaved},
        target::{BevelMeant, TargetSaved, WingSaved},
    },
};

/// Where a setting is carried to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct To {
    /// The rig.
    pub rig: Id,
    /// The wheel; without one, the rig's first of the same abrasive, else its first.
    pub wheel: Option<Id>,
    /// The holder; without one, whichever comes nearest.
    pub holder: Option<Id>,
    /// The projection in millimetres; without one, as it was.
    pub projection_mm: Option<f64>,
    /// Which angle is kept.
    pub keep: BevelMeant,
}

impl To {
    /// To a rig, the bevel at the edge kept.
    #[must_use]
    pub const fn rig(rig: Id) -> Self {
        Self { rig, wheel: None, holder: None, projection_mm: None, keep: BevelMeant::AtEdge }
    }
}

/// A setting, put together, answered and swept.
#[derive(Debug, Clone, PartialEq)]
pub struct Side {
    /// The setting.
    pub entry: SettingEntry,
    /// The job.
    pub job: Job,
    /// Its answer.
    pub view: SideView,
    /// The edge it leaves, where one is swept.
    pub swept: Option<Swept>,
}

/// Points along the edge at which two grinds are compared.
const COMPARED: usize = 61;

impl Side {
    fn of(bench: &Bench, entry: &SettingEntry) -> Result<Self, Unanswered> {
        let (job, view) = bench.answer(entry)?;
        let swept = swept(&job, &view, entry.swing.as_ref(), COMPARED).ok();
        Ok(Self { entry: entry.clone(), job, view, swept })
    }

    /// The wing sweep in millimetres, of a gouge.
    #[must_use]
    pub fn wing_sweep_mm(&self) -> Option<f64> {
        let swept = self.swept.as_ref().filter(|swept| swept.is_gouge())?;
        Some(swept.summary().wing_sweep_mm())
    }
}

/// Something that could not be kept, with how much it is off.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum NotKept {
    /// The bevel at the edge; positive is blunter.
    AtEdge {
        /// By so much.
        by: Angle,
    },
    /// The bevel across the facet; positive is blunter.
    AcrossFacet {
        /// By so much.
        by: Angle,
    },
    /// The depth of the hollow; positive is deeper.
    Hollow {
        /// By so much, in millimetres.
        by_mm: f64,
    },
    /// The wing sweep; positive is further back.
    WingSweep {
        /// By so much, in millimetres.
        by_mm: f64,
    },
    /// The shape of the edge: its setback, at most, along the whole of it.
    EdgeShape {
        /// By so much, in millimetres.
        by_mm: f64,
    },
    /// The wedge along the edge, at most.
    Wedge {
        /// By so much.
        by: Angle,
    },
    /// Its further steps: what they move is set anew for the new place.
    FurtherSteps {
        /// How many there were.
        count: usize,
    },
}

/// Angles that differ by less read alike on any protractor.
const SAME: Angle = Angle::from_degrees(0.05);
/// Lengths that differ by less read alike on any rule, in millimetres.
const SAME_MM: f64 = 0.05;
/// Hollows that differ by less are alike, in millimetres.
const SAME_HOLLOW_MM: f64 = 0.005;

/// A setting that was carried over.
#[derive(Debug, Clone, PartialEq)]
pub struct Carried {
    /// The setting as it was.
    pub old: Side,
    /// The new one; it keeps the id of the old one until it is added to a bench.
    pub new: Side,
    /// Whether it grinds the very same surface.
    pub same_surface: bool,
    /// What could not be kept.
    pub not_kept: Vec<NotKept>,
}

/// What carries a tool.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Held {
    /// Handle end in the cup.
    InCup,
    /// In a holder.
    InHolder,
    /// On the table.
    OnTable,
}

impl Held {
    const fn by(support: &Support) -> Self {
        match support {
            Support::Handle { .. } => Self::InCup,
            Support::Holder { .. } => Self::InHolder,
            Support::Table { .. } => Self::OnTable,
        }
    }
}

/// Why a setting was not carried over.
#[derive(Debug, Clone, PartialEq)]
pub enum NotCarried {
    /// It has no answer where it is.
    Here(Unanswered),
    /// It has none where it is to go.
    There(Unanswered),
    /// Every answer lies off the travel of the arm or the table.
    OffTravel {
        /// The nearest value: reach in millimetres, or tilt in degrees.
        nearest: f64,
        /// What carries the tool.
        held: Held,
    },
    /// The table would stand so close to the wheel that it rubs or is drawn in.
    TableTooClose {
        /// The gap, in millimetres.
        gap_mm: f64,
    },
    /// It is to go where it is.
    SamePlace,
}

/// Carries a setting over. Nothing is added to the bench.
///
/// # Errors
/// [`NotCarried`].
pub fn carry(bench: &Bench, entry: &SettingEntry, to: To) -> Result<Carried, NotCarried> {
    let old = Side::of(bench, entry).map_err(NotCarried::Here)?;
    let rig = bench.rig(to.rig).ok_or(NotCarried::There(Missing::Rig(to.rig).into()))?;
    let wheel = wheel_for(bench, entry, rig, to.wheel)
        .ok_or(NotCarried::There(Missing::Wheel(to.wheel.unwrap_or_default()).into()))?;
    let mut drafts = drafts(entry, rig, wheel, to)?;
    drafts.retain(|draft| (draft.rig, draft.wheel, draft.support) != (entry.rig, entry.wheel, entry.support));
    if drafts.is_empty() {
        return Err(NotCarried::SamePlace);
    }
    let mut best: Option<Carried> = None;
    let mut why = None;
    for draft in drafts {
        match carry_draft(bench, &old, draft, to.keep) {
            Ok(carried) => {
                if best.as_ref().is_none_or(|best| carried.off() < best.off()) {
                    best = Some(carried);
                }
            }
            Err(reason) => why = why.or(Some(reason)),
        }
    }
    best.ok_or_else(|| why.unwrap_or(NotCarried::SamePlace))
}

/// Carries many over, each with what came of it.
#[must_use]
pub fn carry_all<'a>(
    bench: &Bench,
    entries: impl IntoIterator<Item = &'a SettingEntry>,
    to: To,
) -> Vec<(&'a SettingEntry, Result<Carried, NotCarried>)> {
    entries.into_iter().map(|entry| (entry, carry(bench, entry, to))).collect()
}

/// Adds settings that were carried over to the bench, each behind the last of its tool, under names that are free; with
/// `link` each is to polish the facet of the one it came from. Returns their ids.
pub fn add_carried(bench: &mut Bench, carried: &[&Carried], link: bool) -> Vec<Id> {
    let mut added = Vec::with_capacity(carried.len());
    for one in carried {
        let mut entry = one.new.entry.clone();
        entry.id = bench.give_id();
        entry.keep.polishes = link.then_some(one.old.entry.id);
        let taken: Vec<&str> = bench.settings.iter().map(|setting| setting.name.as_str()).collect();
        entry.name = free_name(&name_there(bench, &entry), &taken);
        added.push(entry.id);
        let last = bench.settings.iter().rposition(|setting| setting.tool == entry.tool);
        let entry = entry.set_true(bench);
        bench.settings.insert(last.map_or(bench.settings.len(), |index| index + 1), entry);
    }
    added
}

/// What a setting is called once it is carried over: its name and the place it went to.
fn name_there(bench: &Bench, entry: &SettingEntry) -> String {
    let rig = bench.rig(entry.rig);
    let wheel = rig.and_then(|rig| rig.wheel(entry.wheel)).map_or("", |wheel| wheel.name.as_str());
    format!("{}, {}", entry.name, wheel.to_lowercase())
}

/// The name itself, or with a number behind it.
fn free_name(name: &str, taken: &[&str]) -> String {
    let mut free = name.to_owned();
    let mut number = 2;
    while taken.contains(&free.as_str()) {
        free = format!("{name} {number}");
        number += 1;
    }
    free
}

fn wheel_for(bench: &Bench, entry: &SettingEntry, rig: &Rig, query: Option<Id>) -> Option<Id> {
    if let Some(query) = query {
        return rig.wheel(query).map(|wheel| wheel.id);
    }
    let own = bench.rig(entry.rig).and_then(|rig| rig.wheel(entry.wheel)).map(|wheel| wheel.abrasive);
    let alike = rig.wheels.iter().find(|wheel| Some(wheel.abrasive) == own);
    alike.or(rig.wheels.first()).map(|wheel| wheel.id)
}

/// The setting with rig, wheel, holder and projection replaced, one for each holder that may do.
fn drafts(entry: &SettingEntry, rig: &Rig, wheel: Id, to: To) -> Result<Vec<SettingEntry>, NotCarried> {
    let draft = |support: SupportSaved| {
        let mut draft = entry.clone();
        (draft.rig, draft.wheel, draft.support) = (rig.id, wheel, support);
        draft.keep.trued = None;
        draft.further_steps = Vec::new();
        draft
    };
    let SupportSaved::Holder { holder: own, reach_mm, projection_mm, strut_angle_deg } = entry.support else {
        return Ok(vec![draft(entry.support)]);
    };
    let holders: Vec<Id> = match to.holder {
        Some(query) => vec![query],
        // On its own rig it keeps its own holder.
        None if rig.holder(own).is_some() => vec![own],
        None => rig.holders.iter().map(|holder| holder.id).collect(),
    };
    if holders.is_empty() {
        return Err(NotCarried::There(Missing::Holder(own).into()));
    }
    let projection_mm = to.projection_mm.unwrap_or(projection_mm);
    let with = |holder| SupportSaved::Holder { holder, reach_mm, projection_mm, strut_angle_deg };
    Ok(holders.into_iter().map(|holder| draft(with(holder))).collect())
}

fn carry_draft(
    bench: &Bench,
    old: &Side,
    mut draft: SettingEntry,
    keep: BevelMeant,
) -> Result<Carried, NotCarried> {
    let no_included = |why: NoIncluded| NotCarried::Here(why.into());
    let kept = keep.ground(&old.job, &old.view).map_err(no_included)?;
    let target = keep.target(kept, &old.job).map_err(no_included)?;
    let mut job = bench.job_of(&draft).map_err(NotCarried::There)?;
    if let Some(angle) = strut_for_same_grind(bench, old, &draft, &job, target) {
        if let SupportSaved::Holder { strut_angle_deg, .. } = &mut draft.support {
            *strut_angle_deg = angle.degrees();
        }
        job = bench.job_of(&draft).map_err(NotCarried::There)?;
    } else if let (SupportSaved::Holder { strut_angle_deg, .. }, Support::Holder { holder, .. }) =
        (&mut draft.support, job.setting.support)
    {
        let travel = holder.spec().strut_angle;
        *strut_angle_deg = Angle::from_degrees(*strut_angle_deg).clamped(travel.least, travel.most).degrees();
        job = bench.job_of(&draft).map_err(NotCarried::There)?;
    }
    let free = job.setting.follows_wheel();
    let held = Held::by(&job.setting.support);
    let present = job.setting.value_of(free).unwrap_or(0.0);
    let answers = job.setting.find(target, free).map_err(|why| NotCarried::There(why.into()))?;
    let Some(answer) = answers.nearest(present) else {
        let nearest =
            answers.all().min_by(|a, b| (a.value - present).abs().total_cmp(&(b.value - present).abs()));
        return Err(match nearest {
            Some(answer) => NotCarried::OffTravel { nearest: answer.value, held },
            None => match job.setting.evaluate_off_travel() {
                Err(why) => NotCarried::There(why.into()),
                Ok(_) => NotCarried::OffTravel { nearest: present, held },
            },
        });
    };
    draft.put(free, answer.value);
    // The grind of another setting is that of its own wheel.
    let wing = draft.target.and_then(|target| target.wing).filter(|w| !matches!(w, WingSaved::SameAs { .. }));
    draft.target = Some(TargetSaved { wing, bevel_deg: kept.degrees(), meant: keep });
    let new = Side::of(bench, &draft).map_err(NotCarried::There)?;
    if let Seat::Plane { rest_gap_mm: gap_mm, .. } = new.view.seat
        && gap_mm < LEAST_REST_GAP_MM
    {
        return Err(NotCarried::TableTooClose { gap_mm });
    }
    new.job.evaluate_to_offer().map_err(|why| NotCarried::There(why.into()))?;
    Ok(Carried::between(old.clone(), new))
}

/// The strut angle that makes the grind the same, or as near as the travel allows; `None` for a tool that is not rolled
/// in a holder.
fn strut_for_same_grind(
    bench: &Bench,
    old: &Side,
    draft: &SettingEntry,
    job: &Job,
    target: Target,
) -> Option<Angle> {
    let Support::Holder { arm, holder, projection_mm, .. } = job.setting.support else { return None };
    let rolling = rolling_of(&old.job, &old.entry)?;
    let (_, old_pivot) = old.job.setting.pivot()?;
    let (old_radius, new_radius) = (old.job.setting.face.radius_mm()?, job.setting.face.radius_mm()?);
    if (old_radius - new_radius).abs() < 1e-6 {
        let spec = holder.spec();
        let travel = arm.travel();
        let ends = [travel.least_mm, travel.most_mm].map(|reach| arm.pivot_in_bench(reach).length());
        let foot =
            arm.reach_nearest_mm(bevelbench_geometry::DVec2::ZERO).clamp(travel.least_mm, travel.most_mm);
        let rolled = Rolled {
            line: RollLine::through(old_pivot, rolling.roll_centre_mm).ok()?,
            bevel: old.view.bevel(),
            edge_height_mm: old.job.setting.edge.height_mm,
            abrasive: GrindingFace::Wheel { radius_mm: old_radius, width_mm: job.wheel.width_mm() },
            swing: rolling.swing,
            turn: rolling.turn,
        };
        let strut = Strut {
            hinge_setback_mm: spec.hinge_setback_mm,
            hinge_drop_mm: spec.hinge_drop_mm,
            length_mm: spec.strut_length_mm,
        };
        let within = StrutTravel {
            least_angle: spec.strut_angle.least,
            greatest_angle: spec.strut_angle.most,
            least_distance_mm: arm.pivot_in_bench(foot).length(),
            greatest_distance_mm: ends[0].max(ends[1]),
        };
        return equal_grind(&rolled, &rolling.steel, &strut, projection_mm, &within)
            .ok()
            .map(|found| found.strut_angle);
    }
    // On a wheel of another size no surface is the same: the wing goes as far back.
    let wing = WingWanted::Sweep { mm: old.wing_sweep_mm()? };
    let query = BevelQuery::of(bench, draft, target, Some(wing)).ok()?;
    let free = [Quantity::Reach, Quantity::StrutAngle];
    let found = query.find(&free, false).ok()?.solutions;
    let solution = found.answers.iter().find(|one| query.check_solution(one).is_ok());
    let solution = solution.or(found.answers.first()).or(found.near.first())?;
    solution.setting.value_of(Quantity::StrutAngle).map(Angle::from_degrees)
}

impl Carried {
    fn between(old: Side, new: Side) -> Self {
        let mut not_kept = Vec::new();
        let at_edge = new.view.bevel() - old.view.bevel();
        if at_edge.abs() > SAME {
            not_kept.push(NotKept::AtEdge { by: at_edge });
        }
        let across = new.view.facet.across - old.view.facet.across;
        if across.abs() > SAME {
            not_kept.push(NotKept::AcrossFacet { by: across });
        }
        let hollow_mm = new.view.facet.hollow_mm - old.view.facet.hollow_mm;
        if hollow_mm.abs() > SAME_HOLLOW_MM {
            not_kept.push(NotKept::Hollow { by_mm: hollow_mm });
        }
        if let (Some(before), Some(after)) = (old.wing_sweep_mm(), new.wing_sweep_mm())
            && (after - before).abs() > SAME_MM
        {
            not_kept.push(NotKept::WingSweep { by_mm: after - before });
        }
        let difference = match (&old.swept, &new.swept) {
            (Some(a), Some(b)) => EdgeDifference::of_points(a.points(), b.points()),
            _ => None,
        };
        if let Some(difference) = difference {
            if difference.setback_mm > SAME_MM {
                not_kept.push(NotKept::EdgeShape { by_mm: difference.setback_mm });
            }
            if difference.wedge > SAME {
                not_kept.push(NotKept::Wedge { by: difference.wedge });
            }
        }
        if !old.entry.further_steps.is_empty() {
            not_kept.push(NotKept::FurtherSteps { count: old.entry.further_steps.len() });
        }
        let alike = |a: Option<f64>, b: Option<f64>| a.zip(b).is_some_and(|(a, b)| (a - b).abs() < 1e-6);
        let same_wheel = alike(old.job.setting.face.radius_mm(), new.job.setting.face.radius_mm());
        let same_surface = same_wheel
            && at_edge.abs().degrees() < 1e-6
            && difference.is_some_and(|d| d.setback_mm < 1e-4 && d.wedge.degrees() < 1e-3);
        Self { old, new, same_surface, not_kept }
    }

    /// How far the new grind is from the old one, for choosing between holders: degrees and millimetres count alike.
    fn off(&self) -> f64 {
        self.not_kept
            .iter()
            .map(|lost| match *lost {
                NotKept::AtEdge { by } | NotKept::AcrossFacet { by } | NotKept::Wedge { by } => {
                    by.degrees().abs()
                }
                NotKept::Hollow { by_mm } | NotKept::WingSweep { by_mm } | NotKept::EdgeShape { by_mm } => {
                    by_mm.abs()
                }
                // Alike for every holder.
                NotKept::FurtherSteps { .. } => 0.0,
            })
            .sum()
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]
mod tests {
    use super::*;
    use crate::saved::library::demo_bench;

    fn rig_named(bench: &Bench, name: &str) -> Id {
        bench.rigs.iter().find(|rig| rig.name == name).unwrap().id
    }

    #[test]
    fn asked_bevel_is_kept_on_every_rig_whatever_the_tool() {
        let bench = demo_bench().unwrap();
        let mut carried_over = 0;
        for rig in &bench.rigs {
            for wheel in &rig.wheels {
                for keep in [BevelMeant::AtEdge, BevelMeant::AcrossFacet] {
                    let to = To { wheel: Some(wheel.id), keep, ..To::rig(rig.id) };
                    for (entry, result) in carry_all(&bench, &bench.settings, to) {
                        let Ok(carried) = result else { continue };
                        carried_over += 1;
                        let (old, new) = (&carried.old.view.facet, &carried.new.view.facet);
                        let off = match keep {
                            BevelMeant::AtEdge | BevelMeant::Included => new.at_edge - old.at_edge,
                            BevelMeant::AcrossFacet => new.across - old.across,
                        };
                        assert!(off.degrees().abs() < 1e-8, "{}: {off:?}", entry.name);
                        // What the new entry says is what it was told to grind.
                        let (_, view) = bench.answer(&carried.new.entry).unwrap();
                        assert_eq!(view.bevel(), carried.new.view.bevel());
                    }
                }
            }
        }
        assert!(carried_over > 100, "{carried_over}");
    }

    #[test]
    fn same_wheel_and_another_projection_grind_the_same_surface() {
        let bench = demo_bench().unwrap();
        let entry = bench.setting_named("Swept, keeping wheel").unwrap();
        let to = To { wheel: Some(entry.wheel), projection_mm: Some(78.0), ..To::rig(entry.rig) };
        let carried = carry(&bench, entry, to).unwrap();
        assert!(carried.same_surface, "{:?}", carried.not_kept);
        assert_eq!(carried.not_kept, []);
        // Independently: the pivot lies on the line through the old pivot and the roll centre.
        let pivot = |side: &Side| side.job.setting.pivot().unwrap().1;
        let centre = bevelbench_geometry::DVec2::new(0.0, entry.swing.unwrap().roll_centre_mm);
        let (a, b) = (pivot(&carried.old) - centre, pivot(&carried.new) - centre);
        assert!(a.perp_dot(b).abs() / a.length() < 1e-6);
    }

    #[test]
    fn wheel_of_another_size_keeps_the_wing_and_says_what_the_edge_lost() {
        let bench = demo_bench().unwrap();
        let entry = bench.setting_named("Swept, keeping wheel").unwrap();
        let carried = carry(&bench, entry, To::rig(rig_named(&bench, "Travelling rig"))).unwrap();
        assert!(!carried.same_surface);
        let sweep = |side: &Side| side.wing_sweep_mm().unwrap();
        assert!((sweep(&carried.old) - sweep(&carried.new)).abs() < 1e-3);
        // 200 mm against 144 mm: the hollow is deeper, and it says so.
        let deeper =
            carried.not_kept.iter().any(|lost| matches!(lost, NotKept::Hollow { by_mm } if *by_mm > 0.0));
        assert!(deeper, "{:?}", carried.not_kept);
    }

    #[test]
    fn both_bevels_are_not_kept_on_a_wheel_of_another_size() {
        let bench = demo_bench().unwrap();
        let entry = bench.setting_named("Both faces").unwrap();
        let to = To::rig(rig_named(&bench, "Travelling rig"));
        let at_edge = carry(&bench, entry, to).unwrap();
        let across = carry(&bench, entry, To { keep: BevelMeant::AcrossFacet, ..to }).unwrap();
        let lost = |carried: &Carried, edge: bool| {
            carried.not_kept.iter().any(|lost| match lost {
                NotKept::AtEdge { .. } => edge,
                NotKept::AcrossFacet { .. } => !edge,
                _ => false,
            })
        };
        assert!(lost(&at_edge, false) && !lost(&at_edge, true), "{:?}", at_edge.not_kept);
        assert!(lost(&across, true) && !lost(&across, false), "{:?}", across.not_kept);
    }

    #[test]
    fn added_settings_stand_behind_their_tool_under_free_names_and_can_be_linked() {
        let mut bench = demo_bench().unwrap();
        let before = bench.settings.len();
        let to = To::rig(rig_named(&bench, "Travelling rig"));
        let entry = bench.setting_named("Long grind, 85 mm").unwrap().clone();
        let carried = carry(&bench, &entry, to).unwrap();
        let first = add_carried(&mut bench, &[&carried], true);
        let second = add_carried(&mut bench, &[&carried], false);
        assert_eq!(bench.settings.len(), before + 2);
        let of = |id| bench.setting(id).unwrap();
        assert_eq!(of(first[0]).keep.polishes, Some(entry.id));
        assert_eq!(of(second[0]).keep.polishes, None);
        assert_ne!(of(first[0]).name, of(second[0]).name);
        assert!(of(first[0]).keep.trued.is_some());
        // The text reader refuses twin ids: there are none.
        let text = crate::saved::file::write_bench(&bench).unwrap();
        assert_eq!(crate::saved::file::read_bench(&text).unwrap(), bench);
    }

    #[test]
    fn rig_without_arm_or_holder_is_listed_with_its_reason() {
        let mut bench = demo_bench().unwrap();
        let rig = rig_named(&bench, "Travelling rig");
        let there = bench.rigs.iter_mut().find(|saved| saved.id == rig).unwrap();
        there.holders.clear();
        let entry = bench.setting_named("Long grind, 85 mm").unwrap();
        let missing = carry(&bench, entry, To::rig(rig));
        assert!(
            matches!(missing, Err(NotCarried::There(Unanswered::Missing(Missing::Holder(_))))),
            "{missing:?}"
        );
        let to = To { wheel: Some(entry.wheel), ..To::rig(entry.rig) };
        assert_eq!(carry(&bench, entry, to).unwrap_err(), NotCarried::SamePlace);
        for odd in [f64::NAN, f64::INFINITY, -1.0, 0.0, 1e9] {
            assert!(carry(&bench, entry, To { projection_mm: Some(odd), ..to }).is_err(), "{odd}");
        }
    }
}
