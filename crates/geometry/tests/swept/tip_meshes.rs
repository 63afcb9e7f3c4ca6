//! Meshes of tips as solids: closed, facing outwards, their lands and sides standing as they do, for bars cut off above
//! and for blades.

use approx::assert_relative_eq;
use bevelbench_geometry::{
    DVec2, DVec3,
    math::Angle,
    parts::{Bar, Bevels, Blank, FlatKind, FlatStock, FluteShape, Plan, Presentation, Section},
    swept::{
        GrindingFace, GroundBy, GroundSurface, Pushed, Region, RollLine, Rolled, Steel, Swing, Tip, TipMesh,
    },
};

fn degrees(x: f64) -> Angle {
    Angle::from_degrees(x)
}

fn rolled(edge_height_mm: f64, turn: f64, half: f64, width_mm: f64) -> GroundSurface {
    GroundSurface::rolled(&Rolled {
        line: RollLine::through(DVec2::new(139.5, -49.5), edge_height_mm.max(0.0) + 1.0).unwrap(),
        bevel: degrees(45.0),
        edge_height_mm,
        abrasive: GrindingFace::Wheel { radius_mm: 75.0, width_mm },
        swing: Swing::to_either_side(degrees(half)).unwrap(),
        turn: degrees(turn),
    })
    .unwrap()
}

fn blade(section: Section, kind: FlatKind, obliquity: f64) -> Tip {
    let stock = FlatStock::new(24.0, 6.0, section, kind).unwrap();
    let surface = GroundSurface::pushed(&Pushed {
        bevel: degrees(30.0),
        edge_height_mm: Blank::Flat(stock).edge_height_mm(),
        abrasive: GrindingFace::Wheel { radius_mm: 75.0, width_mm: 40.0 },
        obliquity: degrees(obliquity),
        presentation: Presentation::EdgeParallelToSpindle,
    })
    .unwrap();
    Tip::new(surface, Steel::of_flat(&stock))
}

/// A shallow gouge whose section ends 1 mm above the bar's middle, wide of its flute: two lands 5 mm wide.
fn with_lands() -> Bar {
    Bar::cut_off(30.0, FluteShape::Power { factor: 0.03, exponent: 2.0 }, -2.0, 1.0).unwrap()
}

fn tips() -> Vec<(&'static str, Tip)> {
    let parabola = Bar::new(16.0, FluteShape::Power { factor: 0.25, exponent: 2.0 }, -4.0).unwrap();
    let skew = FlatKind::Skew { obliquity: degrees(68.0), edge_radius_mm: None, bevels: Bevels::Alike };
    let scraper = FlatKind::Scraper { plan: Plan::Straight };
    vec![
        ("parabola", Tip::new(rolled(-4.0, 0.0, 120.0, 40.0), Steel::of_bar(&parabola))),
        ("turned", Tip::new(rolled(-4.0, 6.0, 120.0, 40.0), Steel::of_bar(&parabola))),
        ("lands", Tip::new(rolled(-2.0, 0.0, 120.0, 40.0), Steel::of_bar(&with_lands()))),
        ("turned lands", Tip::new(rolled(-2.0, -5.0, 120.0, 40.0), Steel::of_bar(&with_lands()))),
        ("scraper", blade(Section::Rectangular, scraper, 90.0)),
        ("skew", blade(Section::Rectangular, skew, 68.0)),
        ("oval skew", blade(Section::Oval, skew, 68.0)),
        ("rolled scraper", blade(Section::Rolled, scraper, 90.0)),
    ]
}

#[test]
fn area_of_a_section_with_lands_is_a_cut_off_disc_less_the_flute() {
    let tip = Tip::new(rolled(-2.0, 0.0, 120.0, 40.0), Steel::of_bar(&with_lands()));
    let disc = 225.0 * (std::f64::consts::FRAC_PI_2 + (1.0_f64 / 15.0).asin()) + 224.0_f64.sqrt();
    // A parabola fills two thirds of the rectangle about it, here 20 mm by 3.
    assert_relative_eq!(tip.section_area_mm2(1e-9), disc - 40.0, max_relative = 1e-8);
}

/// The faces of a closed solid, each as long as it is large and square to it, add up to nothing, and what they enclose is
/// the steel.
#[test]
fn meshes_are_closed_and_face_outwards() {
    for (name, tip) in tips() {
        let mesh = TipMesh::of(&tip, 40.0, 0.02);
        let (mut faces, mut volume) = (DVec3::ZERO, 0.0);
        for triangle in mesh.triangles() {
            let corners = triangle.map(|i| mesh.vertices()[i as usize]);
            let [a, b, c] = corners.map(|v| v.position.as_dvec3());
            volume += a.dot(b.cross(c)) / 6.0;
            let face = (b - a).cross(c - a);
            faces += face / 2.0;
            let normal = corners.iter().map(|v| v.normal.as_dvec3()).sum::<DVec3>();
            assert!(face.dot(normal) >= -1e-5, "{name} {corners:?}");
            // Flat parts: the normal is the triangle's own.
            if corners[0].region == Region::End && face.length() > 1e-3 {
                let agrees = face.normalize().dot(corners[0].normal.as_dvec3());
                assert!(agrees > 0.999, "{name} {agrees} {corners:?}");
            }
        }
        assert!(faces.length() < 1e-2, "{name} {faces}");
        let far = -60.0;
        let whole = tip.section_area_mm2(1e-9) * (40.0 - far);
        let expected = whole - tip.removed_from_square_end(far, 1e-9).mm3;
        assert!((volume - expected).abs() < 2e-3 * expected, "{name} {volume} {expected}");
    }
}

/// Normals of the outside and the upper face, from formulas of their own.
#[test]
fn outsides_stand_as_their_sections_do() {
    for (name, tip) in tips() {
        let mesh = TipMesh::of(&tip, 40.0, 0.02);
        for v in mesh.vertices() {
            let (w, h) = (f64::from(v.position.z), f64::from(v.position.y));
            let expected = match (name, v.region) {
                ("oval skew", Region::Outside) => DVec2::new(w / 144.0, h / 9.0),
                ("rolled scraper", Region::Outside) => DVec2::new((w.abs() - 9.0).max(0.0) * w.signum(), h),
                ("scraper" | "skew", Region::Outside) => DVec2::NEG_Y,
                (_, Region::Outside) => DVec2::new(w, h),
                ("parabola" | "turned", Region::Upper) => DVec2::new(-0.5 * w, 1.0),
                ("lands" | "turned lands", Region::Upper) => DVec2::new(-0.06 * w, 1.0),
                (_, Region::Upper) => DVec2::Y,
                _ => continue,
            };
            // Where an oval and a rolled side stand upright the normal is found from places beside it.
            if w.abs() > 11.5 && v.region == Region::Outside && matches!(name, "oval skew" | "rolled scraper")
            {
                continue;
            }
            let expected = expected.normalize();
            let found = v.normal.as_dvec3();
            assert!(
                (DVec2::new(found.z, found.y) - expected).length() < 2e-3,
                "{name} {w} {h} {found} {expected}"
            );
            assert!(found.x.abs() < 1e-6);
        }
    }
}

/// The grid is doubled until it is fine enough, along and across.
#[test]
fn finer_meshes_have_their_grid_doubled_both_ways() {
    let (_, tip) = &tips()[0];
    let grids: Vec<(usize, usize, bool)> = [1.0, 1e-3, 1e-4, 1e-9]
        .into_iter()
        .map(|accuracy| {
            let mesh = TipMesh::of(tip, 40.0, accuracy);
            assert_eq!(mesh.reached(), mesh.deviation_mm() <= accuracy);
            let (ground, column) = mesh.ground();
            assert_eq!(ground.len() / column, mesh.edge().len());
            (mesh.edge().len() - 1, column - 1, mesh.reached())
        })
        .collect();
    assert!(grids[0].2 && !grids[3].2);
    for (columns, rows, _) in &grids {
        assert_eq!(columns * grids[0].1, rows * grids[0].0, "both alike: {grids:?}");
    }
    assert_eq!(grids[3].0, 4 * grids[0].0);
}

/// A step that the wheel's side left is in no mesh to within rounding, and the mesh says so.
#[test]
fn steps_are_not_meshed_and_that_is_reported() {
    let steel =
        Steel::of_bar(&Bar::new(16.0, FluteShape::Power { factor: 0.25, exponent: 2.0 }, -4.0).unwrap());
    let tip = Tip::new(rolled(-4.0, 0.0, 20.0, 4.0), steel);
    let mesh = TipMesh::of(&tip, 40.0, 0.02);
    let by_side = mesh.ground_by().filter(|by| matches!(by, Some(GroundBy::WheelSide { .. }))).count();
    assert!(by_side > 1000);
    assert!(!mesh.reached());
}
