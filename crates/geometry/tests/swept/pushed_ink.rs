//! Ink on a bevel that is pushed straight across and settled about a pivot, against circles in the wheel's plane.

use approx::assert_relative_eq;
use bevelbench_geometry::{
    DVec2,
    math::Angle,
    parts::{Bevels, Blank, FlatKind, FlatStock, Presentation, Section},
    swept::{GrindingFace, GroundSurface, Pushed, Settling, Steel, SweptInk, Tip},
};

const PIVOT: DVec2 = DVec2::new(61.0, -38.0);

/// Derived here: in the plane of the wheel, where the tool's axis is foreshortened by the sine of the edge's obliquity (or
/// not, where the axis lies in that plane), the wheel's centre is turned about the pivot until no point of the facet's
/// own arc is inside the wheel; what is left between edge or heel and the wheel is the gap.
#[test]
fn gaps_of_a_pushed_bevel_are_those_of_two_circles_turned_about_the_pivot() {
    let mut open = 0;
    for (obliquity, presentation) in [
        (90.0, Presentation::AxisInSidePlane),
        (90.0, Presentation::EdgeParallelToSpindle),
        (62.0, Presentation::EdgeParallelToSpindle),
        (55.0, Presentation::AxisInSidePlane),
    ] {
        let obliquity = Angle::from_degrees(obliquity);
        let kind = FlatKind::Skew { obliquity, edge_radius_mm: None, bevels: Bevels::Alike };
        let stock = FlatStock::new(24.0, 7.0, Section::Rectangular, kind).unwrap();
        let edge_height_mm = Blank::Flat(stock).edge_height_mm();
        let surface = |bevel: f64, radius_mm: f64| {
            let abrasive = GrindingFace::Wheel { radius_mm, width_mm: 40.0 };
            let bevel = Angle::from_degrees(bevel);
            GroundSurface::pushed(&Pushed { bevel, edge_height_mm, abrasive, obliquity, presentation })
                .unwrap()
        };
        let centre = |bevel: f64, radius: f64| {
            let bevel = bevel.to_radians();
            DVec2::new(0.0, edge_height_mm) - radius * DVec2::new(bevel.sin(), bevel.cos())
        };
        let foreshortened = match presentation {
            Presentation::EdgeParallelToSpindle => obliquity.sin(),
            Presentation::AxisInSidePlane => 1.0,
        };
        let pivot = DVec2::new(PIVOT.x * foreshortened, PIVOT.y);
        let present = Tip::new(surface(31.0, 75.0), Steel::of_flat(&stock));
        let heel_mm = present.at(0.0, 1.0).0.y;
        let own = centre(31.0, 75.0);
        let arc: Vec<DVec2> = (0..=600)
            .map(|i| edge_height_mm + (heel_mm - edge_height_mm) * f64::from(i) / 600.0)
            .map(|h| DVec2::new(own.x + (75.0_f64.powi(2) - (h - own.y).powi(2)).sqrt(), h))
            .collect();
        for (bevel, radius) in [(27.0, 75.0), (36.0, 75.0), (31.0, 110.0), (28.0, 130.0), (37.0, 90.0)] {
            let turned = |by: f64| pivot + DVec2::from_angle(by).rotate(centre(bevel, radius) - pivot);
            let clear = |by: f64| arc.iter().all(|p| p.distance(turned(by)) >= radius);
            let (mut free, mut inside) = if clear(0.3) { (0.3, -0.3) } else { (-0.3, 0.3) };
            assert!(clear(free) && !clear(inside));
            for _ in 0..60 {
                let middle = f64::midpoint(free, inside);
                *(if clear(middle) { &mut free } else { &mut inside }) = middle;
            }
            let gap = |p: DVec2| p.distance(turned(free)) - radius;
            let ink = SweptInk::new(
                &present,
                &surface(bevel, radius),
                Settling::AboutPivot { pivot_in_tool: PIVOT },
            );
            for t in [-0.8, 0.0, 0.5] {
                let facing = ink.facing(&present, t, 0.01).unwrap();
                assert_relative_eq!(facing.edge_gap_mm, gap(arc[0]), epsilon = 1e-7);
                assert_relative_eq!(facing.heel_gap_mm, gap(arc[600]), epsilon = 1e-7);
                open += u32::from(facing.edge_gap_mm > 0.1) + u32::from(facing.heel_gap_mm > 0.1);
            }
        }
    }
    assert!(open > 30, "{open}");
}
