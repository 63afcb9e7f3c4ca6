//! Facets measured at the bench, at the limits of what a facet can be: circles and right angles of whole numbers
//! ("derived here").

use bevelbench_geometry::{
    facet::{AcrossBy, HollowBy, MeasuredFacet},
    math::Angle,
};

fn measured(width_mm: f64, hollow_mm: f64) -> MeasuredFacet {
    MeasuredFacet {
        width_mm,
        across: AcrossBy::Protractor { reads: Angle::from_degrees(95.0) },
        hollow: HollowBy::Depth { hollow_mm },
    }
}

#[test]
fn no_hollow_is_deeper_than_half_its_width() {
    for (width_mm, hollow_mm, can_be) in
        [(6.0, 2.9, true), (6.0, 3.5, false), (2.5, 1.0, true), (2.5, 1.3, false), (40.0, 19.0, true)]
    {
        let found = measured(width_mm, hollow_mm).matched();
        assert_eq!(found.is_ok(), can_be, "{width_mm} {hollow_mm} {found:?}");
        if let Ok(found) = found {
            // The circle through both ends and the deepest point.
            let radius = found.radius_mm.unwrap();
            let rest = radius - hollow_mm;
            assert!((rest * rest + width_mm * width_mm / 4.0 - radius * radius).abs() < 1e-9);
        }
    }
}

#[test]
fn a_facet_as_wide_as_the_steel_is_thick_stands_square() {
    let across = AcrossBy::Thickness { under_mm: 5.0 };
    let hollow = HollowBy::Depth { hollow_mm: 0.0 };
    let square = MeasuredFacet { width_mm: 5.0, across, hollow }.matched().unwrap();
    assert_eq!(square.facet.across(), Angle::QUARTER);
    assert!(MeasuredFacet { width_mm: 4.9999, across, hollow }.matched().is_err());
}
