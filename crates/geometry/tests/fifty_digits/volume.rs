//! What a rolled gouge loses from a square end. Derived here: quadrature to 30 digits.

use bevelbench_geometry::swept::{GroundSurface, Tip};

use crate::{
    rows::{cases, worked_through},
    swing::{rolled, steel},
};

const TABLE: &str = include_str!("../../../../tests/reference/fifty/volume.csv");

#[test]
fn removed_volume_is_that_of_a_fine_quadrature() {
    let cases = cases(TABLE);
    for case in &cases {
        let tip = Tip::new(GroundSurface::rolled(&rolled(case)).unwrap(), steel(case));
        let volume = tip.removed_from_square_end(case.number("end_mm"), 1e-12);
        case.near("removed_mm3", volume.mm3);
        // At the accuracy that the window asks for.
        let quick = tip.removed_from_square_end(case.number("end_mm"), 1e-6);
        let expected = case.expected("removed_mm3");
        assert!((quick.mm3 - expected).abs() < 1e-6 * expected, "{}: {quick:?}", case.name);
    }
    worked_through(&cases, 2);
}
