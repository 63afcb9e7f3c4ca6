//! The same grind from another projection, wheel or table: what "Make B equal A" does.

use bevelbench_geometry::{
    math::{Angle, Quantity},
    side::{Support, Target},
    swept::{RollLine, Strut},
};
use bevelbench_notebook::{
    quantity::Units,
    saved::{Bench, SettingEntry, SupportSaved},
    words,
};

use crate::model::session::outcome_of;

/// What came of it.
#[derive(Debug, Clone, PartialEq)]
pub enum Equalised {
    /// The same surface from wing to wing, by the roll-line theorem: the setting.
    SameGrind(Box<SettingEntry>),
    /// The same bevel at the edge; the wings, if there are any, come out differently.
    SameBevel(Box<SettingEntry>),
    /// Neither, with the reason in words.
    Nowhere(String),
}

/// B, moved so that it grinds what A grinds; its projection, tool, rig and wheel stay.
#[must_use]
pub fn equalise(bench: &Bench, a: &SettingEntry, b: &SettingEntry, units: Units) -> Equalised {
    let wanted = outcome_of(bench, a);
    let Ok(view) = &wanted.result else {
        return Equalised::Nowhere("A has no answer, so there is nothing for B to equal.".to_owned());
    };
    let bevel = view.bevel();
    if let Some(turned) = onto_roll_line(bench, a, b)
        && let Ok(entry) = with_bevel(bench, &turned, bevel, units)
    {
        return Equalised::SameGrind(Box::new(entry));
    }
    match with_bevel(bench, b, bevel, units) {
        // A tool that is not rolled has nothing but its bevel.
        Ok(entry) if a.swing.is_none() && same_ground(a, &entry) => Equalised::SameGrind(Box::new(entry)),
        Ok(entry) => Equalised::SameBevel(Box::new(entry)),
        Err(why) => Equalised::Nowhere(why),
    }
}

/// Whether tool, wheel and swing are the same, so that equal bevels are equal grinds.
fn same_ground(a: &SettingEntry, b: &SettingEntry) -> bool {
    (a.tool, a.rig, a.wheel) == (b.tool, b.rig, b.wheel)
        && a.presentation == b.presentation
        && a.swing == b.swing
}

/// B with its strut turned so that its pivot lies on A's roll line, if its travel allows that.
fn onto_roll_line(bench: &Bench, a: &SettingEntry, b: &SettingEntry) -> Option<SettingEntry> {
    let swing = a.swing.filter(|_| same_ground(a, b))?;
    let (of_a, of_b) = (bench.job_of(a).ok()?, bench.job_of(b).ok()?);
    let (_, pivot_in_tool) = of_a.setting.pivot()?;
    let line = RollLine::through(pivot_in_tool, swing.roll_centre_mm).ok()?;
    let Support::Holder { holder, projection_mm, .. } = of_b.setting.support else { return None };
    let spec = holder.spec();
    let strut = Strut {
        hinge_setback_mm: spec.hinge_setback_mm,
        hinge_drop_mm: spec.hinge_drop_mm,
        length_mm: spec.strut_length_mm,
    };
    let SupportSaved::Holder { holder: id, .. } = b.support else { return None };
    let travel = bench.rig(b.rig)?.holder(id)?;
    let same_side = |angle: Angle| {
        let pivot = strut.pivot_in_tool(projection_mm, angle);
        (pivot - line.centre_in_tool()).dot(line.along_in_tool()) > 0.0
    };
    let angle = strut.angles_onto(&line, projection_mm).ok()?.into_iter().find(|angle| {
        (travel.strut_angle_least_deg..=travel.strut_angle_most_deg).contains(&angle.degrees())
            && same_side(*angle)
    })?;
    let mut turned = b.clone();
    turned.put(Quantity::StrutAngle, angle.degrees());
    Some(turned)
}

/// The setting with arm or table moved so that it grinds a bevel.
fn with_bevel(
    bench: &Bench,
    entry: &SettingEntry,
    bevel: Angle,
    units: Units,
) -> Result<SettingEntry, String> {
    let length = |mm: f64| units.length(mm);
    let job = bench.job_of(entry).map_err(|why| words::unanswered_words(&why, &length).together())?;
    let free = entry.support.follows_wheel();
    let answers = job
        .setting
        .find(Target::AtEdge(bevel), free)
        .map_err(|refusal| words::refusal_words(&refusal, &length).together())?;
    let present = job.setting.value_of(free).unwrap_or(0.0);
    let answer = answers.nearest(present).ok_or_else(|| {
        format!(
            "B cannot grind {} as it stands: its arm or table does not go that far. Change B’s projection or strut.",
            units.angle(bevel.degrees())
        )
    })?;
    let mut moved = entry.clone();
    moved.put(free, answer.value);
    if let Err(why) = outcome_of(bench, &moved).result {
        return Err(words::unanswered_words(&why, &length).together());
    }
    Ok(moved)
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]
mod tests {
    use bevelbench_notebook::{answer::swept::swept, saved::library::demo_bench};

    use super::*;

    // The roll-line theorem (derived in the geometry's `equal`): same roll line and bevel, same surface. Checked here by
    // tracing both edges.
    #[test]
    fn an_equal_grind_has_the_same_wings_from_another_projection() {
        let bench = demo_bench().unwrap();
        let a = bench.setting_named("Long grind, 85 mm").unwrap().clone();
        let mut b = a.clone();
        b.put(Quantity::Projection, 80.0);
        let Equalised::SameGrind(b) = equalise(&bench, &a, &b, Units::default()) else {
            panic!("not equal: {:?}", equalise(&bench, &a, &b, Units::default()));
        };
        let edge = |entry: &SettingEntry| {
            let (job, view) = bench.answer(entry).unwrap();
            swept(&job, &view, entry.swing.as_ref(), 33).unwrap()
        };
        let (one, other) = (edge(&a), edge(&b));
        for (p, q) in one.points().iter().zip(other.points()) {
            assert!((p.s_mm - q.s_mm).abs() < 1e-6 && (p.wedge - q.wedge).degrees().abs() < 1e-6);
        }
        assert!(
            matches!(b.support, SupportSaved::Holder { projection_mm, .. } if (projection_mm - 80.0_f64).abs() < 1e-12)
        );
    }

    #[test]
    fn another_wheel_gets_the_same_bevel_only() {
        let bench = demo_bench().unwrap();
        let a = bench.setting_named("Long grind, 85 mm").unwrap();
        let b = bench.setting_named("Show: long grind, 85 mm").unwrap();
        let Equalised::SameBevel(moved) = equalise(&bench, a, b, Units::default()) else { panic!() };
        let bevel = |entry: &SettingEntry| bench.answer(entry).unwrap().1.bevel().degrees();
        assert!((bevel(a) - bevel(&moved)).abs() < 1e-9);
    }
}
