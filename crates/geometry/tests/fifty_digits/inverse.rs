//! From a bevel back to every answer. Derived here: each crossing of the reading of rebuilt points, closed in on.

use bevelbench_geometry::{
    math::{Angle, Quantity},
    side::Target,
};

use crate::{
    bench::{free, setting},
    rows::{cases, worked_through},
};

const TABLE: &str = include_str!("../../../../tests/reference/fifty/inverse.csv");

#[test]
fn every_answer_of_the_inverse_is_found_to_the_last_digits() {
    let cases = cases(TABLE);
    let mut more_than_one = 0;
    for case in &cases {
        let angle = Angle::from_degrees(case.number("target_deg"));
        let target = match case.word("target") {
            "bevel_deg" => Target::AtEdge(angle),
            _ => Target::AcrossFacet(angle),
        };
        let by = free(case.word("by"));
        // The table's wheel is a radius, the program's a diameter.
        let size = if by == Quantity::WheelDiameter { 2.0 } else { 1.0 };
        let within = case.number("least") * size..=case.number("most") * size;
        let found = setting(case).find(target, by).unwrap_or_else(|e| panic!("{}: {e:?}", case.name));
        let mut values: Vec<f64> =
            found.all().map(|answer| answer.value).filter(|value| within.contains(value)).collect();
        values.sort_by(f64::total_cmp);
        assert_eq!(values.len().to_string(), case.word("answers"), "{}: {values:?}", case.name);
        for (place, value) in values.iter().enumerate() {
            case.near(&format!("answer_{}", place + 1), value / size);
        }
        more_than_one += usize::from(values.len() > 1);
    }
    assert!(more_than_one > 15, "{more_than_one}");
    worked_through(&cases, 60);
}
