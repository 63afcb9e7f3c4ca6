//! Gaps of solids whose closest points are known beforehand. Derived here: each pair is built on either side of two
//! parallel planes, touching them at two points that face each other.

use bevelbench_geometry::{DVec3, space::Solid};

use crate::rows::{Case, cases, worked_through};

const TABLE: &str = include_str!("../../../../tests/reference/fifty/solids.csv");

fn place(case: &Case, name: &str) -> DVec3 {
    DVec3::from_array(["x", "y", "z"].map(|axis| case.number(&format!("{name}_{axis}"))))
}

fn solid(case: &Case, which: &str) -> Solid {
    let n = |name: &str| case.number(name);
    match case.word(which) {
        "disc" => Solid::Disc { radius_mm: n("radius_mm"), half_width_mm: n("half_width_mm") },
        "rod" => Solid::Rod {
            ends: [0, 1].map(|i| place(case, &format!("{which}_end{i}"))),
            radius_mm: n(&format!("{which}_radius_mm")),
        },
        "block" => Solid::Block {
            centre: place(case, &format!("{which}_centre")),
            axes: [0, 1, 2].map(|i| place(case, &format!("{which}_axis{i}"))),
            half_mm: DVec3::from_array([0, 1, 2].map(|i| n(&format!("{which}_half_{i}")))),
        },
        other => panic!("{other}"),
    }
}

#[test]
fn gaps_of_pairs_with_known_closest_points_come_out() {
    let cases = cases(TABLE);
    for case in &cases {
        let (first, second) = (solid(case, "first"), solid(case, "second"));
        let gap = first.gap(&second);
        case.near("gap_mm", gap.mm);
        // The two points told are as far apart as is said, and either way round is the same.
        assert!((gap.on_first.distance(gap.on_second) - gap.mm).abs() < 1e-9, "{}: {gap:?}", case.name);
        case.near("gap_mm", second.gap(&first).mm);
    }
    worked_through(&cases, 60);
}
