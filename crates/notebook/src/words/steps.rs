//! What to set at the bench, in the order in which it is set.

pub(super) mod further;

use bevelbench_geometry::{
    math::Quantity,
    side::{Job, SideView},
};

use crate::{
    quantity::length_text::LengthText,
    saved::table::{self, Stop},
    words::value::value_text,
};

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
    pub name: String,
    /// Its value as it is read: "85.0 mm".
    pub value_text: String,
    /// How it is set or measured.
    pub how: String,
}

/// The numbers of a setting, in the order in which they are set after [`HABIT`]; `at_hand` are the stop blocks and rests.
#[must_use]
pub fn at_the_grinder_steps(
    job: &Job,
    view: &SideView,
    at_hand: &[(Quantity, Stop)],
    length: LengthText<'_>,
) -> Vec<GrinderStep> {
    table::set_steps(job, view)
        .into_iter()
        .map(|(row, step, value)| {
            let quantity = row.quantity;
            let at_stop = at_hand.iter().any(|(of, stop)| *of == quantity && stop.holds(value));
            GrinderStep {
                quantity,
                value,
                name: row.label.to_owned(),
                value_text: value_text(quantity, value, length),
                how: if at_stop { step.how_at_stop } else { step.how }.to_owned(),
            }
        })
        .collect()
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]
mod tests {
    use super::*;
    use crate::saved::table::StopKind;
    use crate::saved::{bench::Bench, library::demo_bench};

    fn steps(bench: &Bench, name: &str, at_hand: &[(Quantity, Stop)]) -> Vec<GrinderStep> {
        let (job, view) = bench.answer(bench.setting_named(name).unwrap()).unwrap();
        at_the_grinder_steps(&job, &view, at_hand, &|mm| format!("{mm:.1} mm"))
    }

    #[test]
    fn every_demo_setting_is_at_most_four_numbers() {
        let bench = demo_bench().unwrap();
        for entry in &bench.settings {
            let (job, view) = bench.answer(entry).unwrap();
            let steps = at_the_grinder_steps(&job, &view, &[], &|mm| format!("{mm:.1} mm"));
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
        let set = steps(&bench, "Long grind, 85 mm", &[]);
        let named: Vec<_> = set.iter().map(|step| (step.name.as_str(), step.value_text.as_str())).collect();
        let [("Projection", "85.0 mm"), ("Strut angle", "45°"), ("Arm reach", _), ("Gauge length", _)] =
            named[..]
        else {
            panic!("{named:?}");
        };
    }

    #[test]
    fn stop_block_and_rest_are_named_when_they_are_at_hand() {
        let bench = demo_bench().unwrap();
        let block = |value| (Quantity::Projection, Stop { value, kind: StopKind::Block });
        let rest = |value| (Quantity::StrutAngle, Stop { value, kind: StopKind::Rest });
        let at_hand = &[block(60.0), block(85.0), rest(45.0)];
        let with = steps(&bench, "Long grind, 85 mm", at_hand);
        assert!(with[0].how.contains("stop block") && with[1].how.contains("rest"), "{with:?}");
        let without = steps(&bench, "Long grind, 85 mm", &[block(60.0), rest(30.0)]);
        assert!(
            !without[0].how.contains("stop block") && !without[1].how.contains("this rest"),
            "{without:?}"
        );
    }

    #[test]
    fn table_has_its_tilt_and_no_gauge_stick() {
        let set = steps(&demo_bench().unwrap(), "Both faces", &[]);
        assert_eq!((set.len(), set[0].quantity), (1, Quantity::TableTilt));
        assert!(set[0].value_text.starts_with('−'), "{set:?}");
    }
}
