//! Flat tools on the same surface: straight pushes and the round-nosed scraper.

use approx::assert_relative_eq;
use bevelbench_geometry::{
    math::Angle,
    parts::{Bevels, FlatKind, FlatStock, Plan, Presentation, Section},
    swept::{
        edge::Edge,
        edge_summary::EdgeSummary,
        ground::{GrindingFace, GroundSurface, Pushed, TurnedOnTable},
        roll::Swing,
        steel::Steel,
        tip::Tip,
        tip_mesh::TipMesh,
    },
};

const WHEEL: GrindingFace = GrindingFace::Wheel { radius_mm: 75.0, width_mm: 40.0 };

fn degrees(x: f64) -> Angle {
    Angle::from_degrees(x)
}

fn scraper(section: Section) -> Steel {
    let kind = FlatKind::Scraper { plan: Plan::Round { radius_mm: 15.0 } };
    Steel::of_flat(&FlatStock::new(25.0, 8.0, section, kind).unwrap())
}

/// Derived here: a scraper swung about the centre of its nose has a circle for an edge, the same bevel and
/// facet all round.
#[test]
fn round_nosed_scraper_is_alike_all_round() {
    let surface = GroundSurface::turned_on_table(&TurnedOnTable {
        plan_radius_mm: 15.0,
        bevel: degrees(70.0),
        edge_height_mm: 4.0,
        abrasive: WHEEL,
        swing: Swing::ASSUMED,
    })
    .unwrap();
    let steel = scraper(Section::Rectangular);
    let edge = Edge::trace(&surface, &steel, 101);
    assert_eq!((edge.points().len(), edge.unreached(), edge.breaks().len()), (101, 0, 0));
    for p in edge.points() {
        assert_relative_eq!((p.s_mm - 15.0).hypot(p.w_mm), 15.0, epsilon = 1e-9);
        assert_relative_eq!(p.wedge.degrees(), 70.0, epsilon = 1e-9);
        assert_relative_eq!(p.roll.radians().sin(), p.w_mm / 15.0, epsilon = 1e-9);
    }
    let summary = EdgeSummary::of(&edge, &surface, &steel).unwrap();
    assert_relative_eq!(summary.nose_radius_mm.unwrap(), 15.0, epsilon = 1e-8);
    assert_relative_eq!(summary.edge_length_mm, 15.0 * 2.0 * (12.5_f64 / 15.0).asin(), max_relative = 1e-4);
    // Side view of the facet at the nose.
    let centre_h = 4.0 - 75.0 * degrees(70.0).cos();
    let heel = (75.0_f64.powi(2) - (-4.0 - centre_h).powi(2)).sqrt() - 75.0 * degrees(70.0).sin();
    assert_relative_eq!(edge.points()[50].facet_width_mm, heel.hypot(8.0), epsilon = 1e-7);
}

/// geometry.md §2: edge parallel to the spindle, β is square to the edge; axis in the side plane, β is
/// along the tool.
#[test]
fn skew_keeps_its_bevel_where_its_presentation_says() {
    let kind = FlatKind::Skew { obliquity: degrees(70.0), edge_radius_mm: None, bevels: Bevels::Alike };
    let steel = Steel::of_flat(&FlatStock::new(25.0, 8.0, Section::Rectangular, kind).unwrap());
    let ground = |presentation| {
        GroundSurface::pushed(&Pushed {
            bevel: degrees(15.0),
            edge_height_mm: 0.0,
            abrasive: WHEEL,
            obliquity: degrees(70.0),
            presentation,
        })
        .unwrap()
    };
    let square = Edge::trace(&ground(Presentation::EdgeParallelToSpindle), &steel, 11);
    let along = Edge::trace(&ground(Presentation::AxisInSidePlane), &steel, 11);
    for (a, b) in square.points().iter().zip(along.points()) {
        assert_relative_eq!(a.wedge.degrees(), 15.0, epsilon = 1e-9);
        // The identity of §7: tan(along) = tan(square) sin(obliquity).
        assert_relative_eq!(degrees(15.0).tan(), b.wedge.tan() * degrees(70.0).sin(), epsilon = 1e-9);
        assert_relative_eq!(a.s_mm, b.s_mm, epsilon = 1e-9);
        assert_relative_eq!(a.w_mm.abs(), a.s_mm.abs() * degrees(70.0).tan(), epsilon = 1e-9);
    }
    let run = square.points()[10].position() - square.points()[0].position();
    assert_relative_eq!(run.length(), 25.0 / degrees(70.0).sin(), epsilon = 1e-9);
}

#[test]
fn flat_tools_have_meshes_and_volumes_too() {
    for section in [Section::Rectangular, Section::Rolled, Section::Oval] {
        let steel = scraper(section);
        let surface = GroundSurface::pushed(&Pushed {
            bevel: degrees(60.0),
            edge_height_mm: 4.0,
            abrasive: GrindingFace::Flat { width_mm: 40.0 },
            obliquity: Angle::QUARTER,
            presentation: Presentation::EdgeParallelToSpindle,
        })
        .unwrap();
        let tip = Tip::new(surface, steel);
        let volume = tip.removed_from_square_end(0.0, 1e-5);
        if section == Section::Rectangular {
            assert_relative_eq!(volume.mm3, 25.0 * 32.0 / degrees(60.0).tan(), max_relative = 1e-9);
        }
        assert!(volume.mm3 > 100.0);
        let mesh = TipMesh::of(&tip, 40.0, 0.005);
        assert!(mesh.triangles().len() >= 20_000 && mesh.reached(), "{section:?} {}", mesh.deviation_mm());
        assert!(mesh.vertices().iter().all(|v| v.position.is_finite() && v.normal.is_finite()));
    }
}
