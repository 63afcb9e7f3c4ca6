//! Two facets of which one is impossibly wide: what is refused, and for which number.

use bevelbench_geometry::{
    DVec2,
    fault::{NewFacet, TwoFacetsSeen, TwoFacetsUnlikely},
    math::{Angle, Quantity},
    parts::{Arm, EdgeSection, Face, Presentation, Travel},
    side::{Refusal, Setting, Support},
};

/// Derived here: any chord below its diameter fits a wheel. One of 100 mm across a few millimetres of steel makes half a
/// turn of 41.8° with a wheel of 75 mm, so that it is its bevel at the edge that is below zero; one of 150 mm fits none.
#[test]
fn chord_wider_than_the_wheel_is_distinguished_from_one_that_is_too_flat() {
    let travel = Travel { least_mm: 0.0, most_mm: 500.0 };
    let setting = Setting {
        face: Face::Round { radius_mm: 75.0 },
        edge: EdgeSection { height_mm: -4.0, under_mm: 4.0 },
        obliquity: Angle::QUARTER,
        presentation: Presentation::EdgeParallelToSpindle,
        support: Support::Handle {
            arm: Arm::new(DVec2::new(0.0, -110.0), Angle::ZERO, travel).unwrap(),
            reach_mm: 450.0,
            tool_length_mm: 400.0,
        },
    };
    let whole = setting.evaluate().unwrap().facet.width_mm;
    for newer in [NewFacet::AtHeel, NewFacet::AtEdge] {
        for (wide_mm, named) in [
            (80.0, Quantity::Bevel),
            (100.0, Quantity::Bevel),
            (149.0, Quantity::Bevel),
            (150.0, Quantity::FacetWidth),
            (200.0, Quantity::FacetWidth),
        ] {
            let narrow_mm = whole / 2.0;
            let seen = match newer {
                NewFacet::AtHeel => TwoFacetsSeen { edge_mm: narrow_mm, heel_mm: wide_mm, newer },
                NewFacet::AtEdge => TwoFacetsSeen { edge_mm: wide_mm, heel_mm: narrow_mm, newer },
            };
            let Err(TwoFacetsUnlikely::Refused(Refusal::DimensionError(dimension_error))) =
                setting.two_facets(&seen)
            else {
                panic!("{seen:?}")
            };
            assert_eq!(dimension_error.quantity, named, "{seen:?} {dimension_error:?}");
        }
    }
}
