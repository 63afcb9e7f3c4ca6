//! How far one grind's edge stands behind another's, and what is taken between them, on a blade whose faces are planes.
//! Derived here: a plane pushed along the tool with obliquity α begins at `s = −(h − h_E) cot β + w cot α`, so that edges
//! and differences are linear in `w`, and over a section alike on both sides a term in `w` takes nothing on the whole.

use bevelbench_geometry::{
    math::Angle,
    parts::{Bar, FlatKind, FlatStock, FluteShape, Plan, Presentation, Section},
    swept::{GrindingFace, GroundSurface, Pushed, Steel, Tip, TipMesh},
};

fn plane(obliquity: f64) -> GroundSurface {
    GroundSurface::pushed(&Pushed {
        bevel: Angle::from_degrees(40.0),
        edge_height_mm: 3.0,
        abrasive: GrindingFace::Flat { width_mm: 40.0 },
        obliquity: Angle::from_degrees(obliquity),
        presentation: Presentation::AxisInSidePlane,
    })
    .unwrap()
}

/// A blade 24 mm wide and 6 mm thick, ground straight across.
fn blade() -> Tip {
    let kind = FlatKind::Scraper { plan: Plan::Straight };
    let stock = FlatStock::new(24.0, 6.0, Section::Rectangular, kind).unwrap();
    Tip::new(plane(90.0), Steel::of_flat(&stock))
}

fn cot(degrees: f64) -> f64 {
    degrees.to_radians().tan().recip()
}

#[test]
fn an_oblique_edge_leaves_the_square_one_behind_at_its_leading_corner() {
    let tip = blade();
    for count in [1, 2, 5, 40] {
        // 12 mm from the middle either corner leads by 12 cot α; half a millimetre deeper that is less.
        for obliquity in [70.0, 110.0] {
            for shift in [0.0, 0.5, -0.3] {
                let behind = tip.edge_behind_mm(&[], &[(plane(obliquity), shift)], count);
                let expected = 12.0 * cot(70.0) - shift;
                assert!((behind - expected).abs() < 1e-9, "{count} {obliquity} {shift}: {behind} {expected}");
            }
        }
        assert!(tip.edge_behind_mm(&[], &[(plane(90.0), 0.7)], count) <= 0.0, "nothing stands behind");
        // Two that meet in the middle: there the square edge stands behind them most.
        let both = [(plane(70.0), -0.4), (plane(110.0), -0.4)];
        assert!((tip.edge_behind_mm(&[], &both, count) - 0.4).abs() < 1e-9);
        // What went back already counts as the edge.
        let behind = tip.edge_behind_mm(&[(plane(90.0), 1.5)], &both, count);
        assert!((behind - 1.9).abs() < 1e-9);
    }
    // The places lie evenly: what stands behind most between two of them is not seen.
    let three = [(plane(70.0), 0.0), (plane(120.0), -4.0)];
    let at = |w: f64| -(w * cot(70.0)).max(-4.0 - w * cot(60.0));
    for count in [3_i32, 4, 7] {
        let expected =
            (-count..=count).map(|i| at(12.0 * f64::from(i) / f64::from(count))).fold(0.0, f64::max);
        let behind = tip.edge_behind_mm(&[], &three, count as u32);
        assert!(expected > 1.0 && (behind - expected).abs() < 1e-9, "{count}: {behind} {expected}");
    }
    // The middle alone.
    assert!((tip.edge_behind_mm(&[], &[(plane(70.0), -0.2)], 0) - 0.2).abs() < 1e-12);
}

#[test]
fn an_oblique_cut_behind_a_square_one_takes_its_middle_depth_everywhere() {
    let tip = blade();
    // Deep enough that the leading corner is taken too: 12 cot 70° = 4.37.
    for obliquity in [70.0, 110.0] {
        let taken = tip.removed_between(&[], &[(plane(obliquity), 6.0)], 1e-10);
        assert!((taken.mm3 - 6.0 * 144.0).abs() < 1e-7, "{taken:?}");
        let taken = tip.removed_between(&[(plane(obliquity), 6.0)], &[(plane(90.0), 20.0)], 1e-10);
        assert!((taken.mm3 - 14.0 * 144.0).abs() < 1e-7, "{taken:?}");
    }
}

/// A mesh that is filled again is the mesh of its last tip, with as many triangles as that has.
#[test]
fn a_mesh_that_is_filled_again_keeps_nothing_of_the_tip_before() {
    let blade = blade();
    let bar = Bar::new(16.0, FluteShape::Power { factor: 0.25, exponent: 2.0 }, -4.0);
    let gouge = Tip::new(
        GroundSurface::pushed(&Pushed {
            bevel: Angle::from_degrees(45.0),
            edge_height_mm: -4.0,
            abrasive: GrindingFace::Wheel { radius_mm: 75.0, width_mm: 40.0 },
            obliquity: Angle::QUARTER,
            presentation: Presentation::AxisInSidePlane,
        })
        .unwrap(),
        Steel::of_bar(&bar.unwrap()),
    );
    let mut mesh = TipMesh::default();
    for tip in [&blade, &blade, &gouge, &gouge, &blade] {
        mesh.fill(tip, 40.0, 1.0);
        let fresh = TipMesh::of(tip, 40.0, 1.0);
        assert_eq!(mesh.triangles(), fresh.triangles());
        assert_eq!(mesh.vertices(), fresh.vertices());
    }
}
