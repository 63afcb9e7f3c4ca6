//! A tool turned in its holder and rolled against a flat face. Derived here: the face keeps its distance from the pivot,
//! the turned nose lies in it, and it stands on the side of the nose where it stood; the rest is the triangle of pivot,
//! nose and the foot on the face.

use bevelbench_geometry::{
    DVec2, DVec3,
    math::Angle,
    parts::Presentation,
    swept::{
        GrindingFace, GroundBy, GroundError, GroundSurface, Pushed, RollLine, Rolled, Swing, TurnedOnTable,
    },
};

fn degrees(x: f64) -> Angle {
    Angle::from_degrees(x)
}

const FLAT: GrindingFace = GrindingFace::Flat { width_mm: 40.0 };

fn setting(pivot: DVec2, bevel: f64, turn: f64, abrasive: GrindingFace) -> Rolled {
    Rolled {
        line: RollLine::through(pivot, 1.0).unwrap(),
        bevel: degrees(bevel),
        edge_height_mm: -6.0,
        abrasive,
        swing: Swing::to_either_side(degrees(120.0)).unwrap(),
        turn: degrees(turn),
    }
}

const PIVOTS: [DVec2; 3] = [DVec2::new(139.5, -49.5), DVec2::new(110.0, 30.0), DVec2::new(40.0, -90.0)];

#[test]
fn the_face_keeps_its_distance_from_the_pivot_and_meets_the_turned_nose() {
    for pivot in PIVOTS {
        for (bevel, turn) in [(45.0, 12.0), (45.0, -30.0), (80.0, 20.0), (25.0, 40.0), (130.0, 15.0)] {
            let Ok(surface) = GroundSurface::rolled(&setting(pivot, bevel, turn, FLAT)) else {
                panic!("{pivot} {bevel} {turn}");
            };
            let nose = DVec3::new(0.0, -6.0, 0.0);
            assert!(surface.implicit_value(nose).abs() < 1e-9, "{pivot} {bevel} {turn}");
            // The pivot stays in the holder: seen from the turned tool it goes round the tool's axis.
            let (sin, cos) = degrees(turn).sin_cos();
            let seen = DVec3::new(pivot.x, pivot.y * cos, pivot.y * sin);
            let normal = DVec2::new(degrees(bevel).sin(), degrees(bevel).cos());
            let kept = normal.dot(pivot - DVec2::new(0.0, -6.0));
            assert!((surface.implicit_value(seen) - kept).abs() < 1e-9, "{pivot} {bevel} {turn}");
            let out = surface.normal_at(nose, GroundBy::Sweep);
            assert!((out.length() - 1.0).abs() < 1e-12);
            // The triangle of pivot, nose and foot: angle at the nose by its sine, on the side where it was.
            let upright = GroundSurface::rolled(&setting(pivot, bevel, 0.0, FLAT)).unwrap();
            let side = |surface: &GroundSurface, pivot: DVec3| {
                let out = surface.normal_at(nose, GroundBy::Sweep);
                (pivot - nose).cross(out).z.signum()
            };
            let before = side(&upright, DVec3::new(pivot.x, pivot.y, 0.0));
            assert!((before - side(&surface, seen)).abs() < 1e-12, "{pivot} {bevel} {turn}");
        }
    }
}

/// Derived here: the pivot straight behind the face (its normal runs through the pivot) is as far from it as from the
/// nose; a turn that brings a nose nearer to such a pivot, `L² = s² + h² + h_E² − 2 h h_E cos τ`, is short by the
/// difference.
#[test]
fn a_nose_turned_nearer_than_the_face_is_out_of_reach_by_the_difference() {
    let pivot = DVec2::new(60.0, 25.0);
    let leg = pivot - DVec2::new(0.0, -6.0);
    let straight = leg.x.atan2(leg.y).to_degrees();
    let length =
        |turn: f64| (pivot.length_squared() + 36.0 + 2.0 * pivot.y * 6.0 * turn.to_radians().cos()).sqrt();
    let error = GroundSurface::rolled(&setting(pivot, straight, 30.0, FLAT)).unwrap_err();
    let GroundError::TurnOutOfReach { short_by_mm } = error else { panic!("{error}") };
    assert!(short_by_mm > 0.1);
    assert!((short_by_mm - (leg.length() - length(30.0))).abs() < 1e-9, "{short_by_mm}");
    // A face that leans away from the pivot far enough is reached, whichever way it leans.
    let lean = (length(30.0) / leg.length()).acos().to_degrees();
    for sign in [-1.0, 1.0] {
        let at = |fraction: f64| {
            GroundSurface::rolled(&setting(pivot, straight + sign * fraction * lean, 30.0, FLAT))
        };
        assert!(at(1.001).is_ok() && at(0.999).is_err(), "{sign} {lean}");
    }
}

#[test]
fn a_surface_tells_how_its_tool_was_moved() {
    let setting = setting(PIVOTS[0], 45.0, 0.0, FLAT);
    let rolled = GroundSurface::rolled(&setting).unwrap();
    assert_eq!((rolled.roll_line(), rolled.swing()), (Some(setting.line), Some(setting.swing)));
    assert!(rolled.is_symmetric());
    let swung = GroundSurface::turned_on_table(&TurnedOnTable {
        plan_radius_mm: 14.0,
        bevel: degrees(70.0),
        edge_height_mm: 3.0,
        abrasive: FLAT,
        swing: setting.swing,
    })
    .unwrap();
    assert_eq!(swung.roll_line(), Some(RollLine::upright(14.0).unwrap()));
    let pushed = GroundSurface::pushed(&Pushed {
        bevel: degrees(45.0),
        edge_height_mm: 3.0,
        abrasive: FLAT,
        obliquity: degrees(70.0),
        presentation: Presentation::AxisInSidePlane,
    })
    .unwrap();
    assert_eq!((pushed.roll_line(), pushed.swing(), pushed.is_symmetric()), (None, None, false));
}
