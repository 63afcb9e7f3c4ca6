//! What to set at the bench, in the order in which it is set.

use bevelbench_geometry::{
    math::Quantity,
    side::{Job, Seat, SideView, Support},
};

use crate::{quantity::length_text::LengthText, words::sentence::degrees};

/// What comes before any number.
pub const HABIT: &str = "Power off, lock everything, ink the bevel, turn the wheel one turn by hand, read the ink, then switch on.";

/// One number to be set.
#[derive(Debug, Clone, PartialEq)]
pub struct GrinderStep {
    /// Which quantity it is.
    pub quantity: Quantity,
    /// Its plain value, in millimetres or degrees, to be compared with what is set already.
    pub value: f64,
    /// Its name: "Projection".
    pub name: &'static str,
    /// Its value as it is read: "85.0 mm".
    pub value_text: String,
    /// How it is set or measured.
    pub how: String,
}

/// Aids that are at hand: stop blocks and rests.
#[derive(Debug, Clone, Copy, Default)]
pub struct AtHand<'a> {
    /// Projections for which there is a stop block, in millimetres.
    pub stops_mm: &'a [f64],
    /// Strut angles at which the holder has a rest, in degrees.
    pub rests_deg: &'a [f64],
}

/// The numbers of a setting, at most four, in the order in which they are set after [`HABIT`].
#[must_use]
pub fn at_the_grinder_steps(
    job: &Job,
    view: &SideView,
    at_hand: AtHand<'_>,
    length: LengthText<'_>,
) -> Vec<GrinderStep> {
    let mut steps = Vec::with_capacity(4);
    match job.setting.support {
        Support::Holder { projection_mm, strut_angle, reach_mm, .. } => {
            let stop = at_hand.stops_mm.iter().any(|stop| (stop - projection_mm).abs() < 0.05);
            steps.push(GrinderStep {
                quantity: Quantity::Projection,
                value: projection_mm,
                name: "Projection",
                value_text: length(projection_mm),
                how: if stop {
                    "Push the edge against the stop block of this length, then lock the holder.".to_owned()
                } else {
                    "From the edge to the holder's front face; then lock the holder.".to_owned()
                },
            });
            let rest = at_hand.rests_deg.iter().any(|rest| (rest - strut_angle.degrees()).abs() < 0.05);
            steps.push(GrinderStep {
                quantity: Quantity::StrutAngle,
                value: strut_angle.degrees(),
                name: "Strut angle",
                value_text: degrees(strut_angle),
                how: if rest {
                    "Click the strut into this rest and lock it.".to_owned()
                } else {
                    "Between strut and blade; 90° is square off the blade. Lock it.".to_owned()
                },
            });
            steps.push(reach_step(reach_mm, length));
        }
        Support::Handle { reach_mm, .. } => steps.push(reach_step(reach_mm, length)),
        Support::Table { tilt, .. } => steps.push(GrinderStep {
            quantity: Quantity::TableTilt,
            value: tilt.degrees(),
            name: "Table tilt",
            value_text: degrees(tilt),
            how: "From level; the operator's side high counts as more. Lock it and turn the wheel by hand."
                .to_owned(),
        }),
    }
    if let Seat::Pivot { gauge_length_mm, .. } = view.seat {
        steps.push(GrinderStep {
            quantity: Quantity::GaugeLength,
            value: gauge_length_mm,
            name: "Gauge length",
            value_text: length(gauge_length_mm),
            how: "The stick between rim and cup: it checks the reach, also on a worn wheel.".to_owned(),
        });
    }
    steps
}

fn reach_step(reach_mm: f64, length: LengthText<'_>) -> GrinderStep {
    GrinderStep {
        quantity: Quantity::Reach,
        value: reach_mm,
        name: "Arm reach",
        value_text: length(reach_mm),
        how: "The cup on the arm's own scale; lock it.".to_owned(),
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]
mod tests {
    use super::*;
    use crate::saved::{bench::Bench, library::demo_bench};

    fn steps(bench: &Bench, name: &str, at_hand: AtHand<'_>) -> Vec<GrinderStep> {
        let (job, view) = bench.answer(bench.setting_named(name).unwrap()).unwrap();
        at_the_grinder_steps(&job, &view, at_hand, &|mm| format!("{mm:.1} mm"))
    }

    #[test]
    fn every_demo_setting_is_at_most_four_numbers() {
        let bench = demo_bench().unwrap();
        for entry in &bench.settings {
            let (job, view) = bench.answer(entry).unwrap();
            let steps = at_the_grinder_steps(&job, &view, AtHand::default(), &|mm| format!("{mm:.1} mm"));
            assert!((1..=4).contains(&steps.len()), "{}", entry.name);
            assert!(
                steps.iter().all(|step| step.value.is_finite() && !step.how.is_empty()),
                "{}",
                entry.name
            );
        }
    }

    #[test]
    fn holder_is_set_from_the_tool_outwards() {
        let bench = demo_bench().unwrap();
        let set = steps(&bench, "Long grind, 85 mm", AtHand::default());
        let named: Vec<_> = set.iter().map(|step| (step.name, step.value_text.as_str())).collect();
        let [("Projection", "85.0 mm"), ("Strut angle", "45°"), ("Arm reach", _), ("Gauge length", _)] =
            named[..]
        else {
            panic!("{named:?}");
        };
    }

    #[test]
    fn stop_block_and_rest_are_named_when_they_are_at_hand() {
        let bench = demo_bench().unwrap();
        let at_hand = AtHand { stops_mm: &[60.0, 85.0], rests_deg: &[45.0] };
        let with = steps(&bench, "Long grind, 85 mm", at_hand);
        assert!(with[0].how.contains("stop block") && with[1].how.contains("rest"), "{with:?}");
        let without = steps(&bench, "Long grind, 85 mm", AtHand { stops_mm: &[60.0], rests_deg: &[30.0] });
        assert!(
            !without[0].how.contains("stop block") && !without[1].how.contains("this rest"),
            "{without:?}"
        );
    }

    #[test]
    fn table_has_its_tilt_and_no_gauge_stick() {
        let set = steps(&demo_bench().unwrap(), "Both faces", AtHand::default());
        assert_eq!((set.len(), set[0].quantity), (1, Quantity::TableTilt));
        assert!(set[0].value_text.starts_with('−'), "{set:?}");
    }
}
