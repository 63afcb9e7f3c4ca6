//! From the shaping wheel to the keeping wheel: two settings of one tool, the second of which only polishes the facet
//! that the first cuts, and where that facet will touch.

use bevelbench_geometry::{
    facet::{Touch, contact::Pattern, ink::FILM_ASSUMED_MM},
    math::Angle,
    parts::PresentFacet,
};

use crate::{
    answer::carry::Side,
    saved::{bench::Bench, setting::SettingEntry},
};

/// How a keeping setting meets the facet of the shaping setting it is to polish.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Polish {
    /// Where the facet touches within an assumed film of ink.
    pub pattern: Pattern,
    /// The gaps.
    pub touch: Touch,
    /// Bevel at the edge of the polishing setting less that of the facet.
    pub at_edge: Angle,
    /// The same across the facet.
    pub across: Angle,
}

/// Lays the facet that one setting cuts on the wheel of another; `None` if either has no answer or they never meet.
#[must_use]
pub fn polish(shaping: &Side, keeping: &Side) -> Option<Polish> {
    let hollow = shaping.job.setting.face.hollow();
    let facet = PresentFacet::new(hollow, shaping.view.bevel(), shaping.view.facet.width_mm).ok()?;
    let touch = keeping.job.setting.settle(&facet).ok()?;
    Some(Polish {
        pattern: touch.pattern(FILM_ASSUMED_MM),
        touch,
        at_edge: keeping.view.bevel() - shaping.view.bevel(),
        across: keeping.view.facet.across - shaping.view.facet.across,
    })
}

/// How a setting polishes the one it is linked to; `None` without a link or an answer.
#[must_use]
pub fn polish_of(bench: &Bench, keeping: &SettingEntry) -> Option<Polish> {
    let shaping = bench.setting(keeping.keep.polishes?).filter(|shaping| shaping.tool == keeping.tool)?;
    let plain = |entry: &SettingEntry| {
        let (job, view) = bench.answer(entry).ok()?;
        Some(Side { entry: entry.clone(), job, view, swept: None })
    };
    polish(&plain(shaping)?, &plain(keeping)?)
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]
mod tests {
    use super::*;
    use crate::{
        answer::carry::{To, carry},
        saved::{library::demo_bench, target::BevelMeant},
    };

    /// Section 4 of the model page: at equal bevel across the facet a larger wheel touches both ends, a smaller one the
    /// middle; at equal bevel at the edge a larger one touches the heel first, a smaller one the edge.
    #[test]
    fn keeping_wheel_of_another_size_touches_where_the_model_page_says() {
        // A wide facet, 158 mm against 200 mm.
        let bench = demo_bench().unwrap();
        let entry = bench.setting_named("Both faces, shaping wheel").unwrap().clone();
        let wheels = [bench.rigs[0].wheels[0].id, bench.rigs[0].wheels[1].id];
        let pattern = |keep, swapped: bool| {
            let to = To { wheel: Some(wheels[1]), keep, ..To::rig(entry.rig) };
            let carried = carry(&bench, &entry, to).unwrap();
            let (shaping, keeping) =
                if swapped { (&carried.new, &carried.old) } else { (&carried.old, &carried.new) };
            polish(shaping, keeping).unwrap().pattern
        };
        assert_eq!(pattern(BevelMeant::AcrossFacet, false), Pattern::BothEnds);
        assert_eq!(pattern(BevelMeant::AcrossFacet, true), Pattern::Middle);
        assert_eq!(pattern(BevelMeant::AtEdge, false), Pattern::Heel);
        assert_eq!(pattern(BevelMeant::AtEdge, true), Pattern::Edge);
    }
}
