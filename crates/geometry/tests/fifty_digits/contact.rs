//! Facets at rest on a wheel. Derived here: each end and the middle tried, the rest that leaves no overlap kept.

use crate::{
    bench::setting,
    facets::present,
    rows::{cases, worked_through},
};

const CONTACT: &str = include_str!("../../../../tests/reference/fifty/contact.csv");

#[test]
fn facet_at_rest_touches_where_it_must_to_the_last_digits() {
    let cases = cases(CONTACT);
    let mut seen = [0; 3];
    for case in &cases {
        let touch = setting(case).settle(&present(case)).unwrap();
        case.near("edge_gap_mm", touch.edge_gap_mm);
        case.near("heel_gap_mm", touch.heel_gap_mm);
        case.near("middle_gap_mm", touch.middle_gap_mm);
        case.near("wheel_s_mm", touch.wheel_from_edge.x);
        case.near("wheel_h_mm", touch.wheel_from_edge.y);
        let place = ["edge", "middle", "heel"].iter().position(|at| *at == case.word("rests")).unwrap();
        seen[place] += 1;
    }
    assert!(seen.iter().all(|n| *n > 5), "{seen:?}");
    worked_through(&cases, 65);
}
