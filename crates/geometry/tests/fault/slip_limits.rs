//! Where a slip, an equal grind or a turn in the holder comes to its limits, and flat faces behind two facets.

use approx::assert_relative_eq;
use bevelbench_geometry::{
    DVec2, DVec3,
    fault::{
        Behind, Dip, FaultyGrind, NewFacet, Peak, RollingFault, TwoFacetsSeen, TwoFacetsUnlikely, WingInk,
        WingInkSeen, WingInkVerdict,
    },
    math::{Angle, Quantity},
    parts::{AngleTravel, Arm, Bar, EdgeSection, Face, FluteShape, Holder, HolderSpec, Presentation, Travel},
    side::{Refusal, Setting, Support},
    swept::{
        Edge, EdgeDifference, EdgeSummary, EqualGrindError, GrindingFace, GroundError, GroundSurface,
        RollLine, Rolled, Steel, Strut, StrutTravel, Swing,
        equal::{RollCentreFit, equal_grind, fit_roll_centre},
    },
};

const EDGE_MM: f64 = -4.0;
const UNDER_MM: f64 = 4.0;

fn degrees(x: f64) -> Angle {
    Angle::from_degrees(x)
}

fn steel() -> Steel {
    Steel::of_bar(&Bar::new(16.0, FluteShape::Power { factor: 0.25, exponent: 2.0 }, EDGE_MM).unwrap())
}

fn rolled(pivot: DVec2, centre: f64, bevel: f64, radius_mm: f64, turn: f64) -> Rolled {
    Rolled {
        line: RollLine::through(pivot, centre).unwrap(),
        bevel: degrees(bevel),
        edge_height_mm: EDGE_MM,
        abrasive: GrindingFace::Wheel { radius_mm, width_mm: 40.0 },
        swing: Swing::to_either_side(degrees(120.0)).unwrap(),
        turn: degrees(turn),
    }
}

fn meant() -> Rolled {
    rolled(DVec2::new(139.5, -49.5), 0.0, 45.0, 75.0, 0.0)
}

fn with_holder(face: Face) -> Setting {
    let travel = Travel { least_mm: 0.0, most_mm: 400.0 };
    let holder = Holder::new(HolderSpec {
        hinge_setback_mm: 15.0,
        hinge_drop_mm: 6.0,
        strut_length_mm: 70.0,
        strut_angle: AngleTravel { least: degrees(0.0), most: degrees(90.0) },
        body_length_mm: 60.0,
        body_height_mm: 30.0,
    })
    .unwrap();
    Setting {
        face,
        edge: EdgeSection { height_mm: EDGE_MM, under_mm: UNDER_MM },
        obliquity: Angle::QUARTER,
        presentation: Presentation::AxisInSidePlane,
        support: Support::Holder {
            arm: Arm::new(DVec2::new(20.0, -120.0), Angle::ZERO, travel).unwrap(),
            holder,
            reach_mm: 125.0,
            projection_mm: 75.0,
            strut_angle: degrees(45.0),
        },
    }
}

/// The way of a facet from its edge to its heel, and the way off it towards the tool.
fn ways(bevel: Angle) -> (DVec2, DVec2) {
    (DVec2::new(bevel.cos(), -bevel.sin()), DVec2::new(bevel.sin(), bevel.cos()))
}

/// Derived here: a flat face stays as far from the pivot as the setting puts it, whichever way the tool is turned; the
/// newer plane, turned a little further than at first touch, meets the older one at a junction, and both widths follow.
#[test]
fn two_facets_of_a_flat_face_tell_what_had_slipped() {
    let older = with_holder(Face::Flat { normal: degrees(35.0) });
    let first = older.evaluate_off_travel().unwrap().bevel();
    let mut reported = [0, 0];
    for (free, by) in [
        (Quantity::Projection, 1.8),
        (Quantity::Projection, -2.5),
        (Quantity::Reach, 3.0),
        (Quantity::Reach, -2.0),
        (Quantity::StrutAngle, 2.0),
        (Quantity::StrutAngle, -1.5),
    ] {
        let newer = older.with(free, older.value_of(free).unwrap() + by).unwrap();
        let touch = newer.evaluate_off_travel().unwrap().bevel();
        let pivot = newer.pivot().unwrap().1 - DVec2::new(0.0, EDGE_MM);
        for step in -20..=20 {
            let bevel = touch + degrees(0.01 * f64::from(step));
            let (along, off) = (ways(first).0, ways(bevel).1);
            let offset = pivot.dot(off) - pivot.dot(ways(touch).1);
            // The junction, so far down the older facet.
            let down = offset / off.dot(along);
            let whole = UNDER_MM / first.sin();
            if !(down > 0.2 && down < whole - 0.2) {
                continue;
            }
            let rest = UNDER_MM - down * first.sin();
            let seen = if bevel < first {
                TwoFacetsSeen { edge_mm: down, heel_mm: rest / bevel.sin(), newer: NewFacet::AtHeel }
            } else {
                let edge_mm = down * first.sin() / bevel.sin();
                TwoFacetsSeen { edge_mm, heel_mm: whole - down, newer: NewFacet::AtEdge }
            };
            let found = older.two_facets(&seen).unwrap();
            let slip = found.slips().find(|slip| slip.free == free).unwrap();
            assert_relative_eq!(slip.by, by, epsilon = 1e-6);
            reported[usize::from(seen.newer == NewFacet::AtEdge)] += 1;
        }
    }
    assert!(reported[0] > 2 && reported[1] > 2, "{reported:?}");
}

#[test]
fn a_facet_wider_than_its_wheel_is_refused_with_the_width_and_the_limit() {
    let seen = TwoFacetsSeen { edge_mm: 1.0, heel_mm: 160.0, newer: NewFacet::AtHeel };
    let refused = with_holder(Face::Round { radius_mm: 75.0 }).two_facets(&seen).unwrap_err();
    let TwoFacetsUnlikely::Refused(Refusal::DimensionError(dimension_error)) = refused else {
        panic!("{refused:?}")
    };
    assert_relative_eq!(dimension_error.value, 160.0);
    assert!(format!("{dimension_error:?}").contains("LessThan(150.0)"), "{dimension_error:?}");
}

#[test]
fn a_dip_deeper_than_a_dwell_goes_is_out_of_reach_and_tells_how_deep_it_goes() {
    let ask =
        |depth_mm| FaultyGrind::dwelt_behind_dip(&meant(), &steel(), Dip { at: 0.3, depth_mm }).unwrap();
    let Behind::OutOfReach { nearest_mm } = ask(90.0) else { panic!("{:?}", ask(90.0)) };
    let Behind::Found(RollingFault::Dwelt { nod, .. }) = ask(nearest_mm - 1e-6) else {
        panic!("{nearest_mm}")
    };
    assert_relative_eq!(nod.degrees(), 8.0, epsilon = 1e-3);
    assert!(ask(nearest_mm + 1e-6).found().is_none());
}

#[test]
fn a_peak_higher_than_a_skip_leaves_is_out_of_reach_and_tells_how_high_it_goes() {
    let ask = |height_mm| {
        FaultyGrind::skipped_behind_peak(&meant(), &steel(), Peak { at: 0.3, height_mm }).unwrap()
    };
    let Behind::OutOfReach { nearest_mm } = ask(90.0) else { panic!("{:?}", ask(90.0)) };
    let Behind::Found(RollingFault::Skipped { half, .. }) = ask(nearest_mm - 1e-6) else {
        panic!("{nearest_mm}")
    };
    assert_relative_eq!(half.degrees(), 60.0, epsilon = 1e-2);
    assert!(ask(nearest_mm + 1e-6).found().is_none());
    for none in [-1.0, f64::NAN] {
        assert_eq!(ask(none), Behind::OutOfReach { nearest_mm: 0.0 });
    }
}

#[test]
fn a_non_finite_nose_radius_has_no_roll_centre() {
    for radius in [f64::NAN, f64::INFINITY, -3.0] {
        let behind = FaultyGrind::centre_behind_nose(&meant(), &steel(), radius, 8.0).unwrap();
        assert_eq!(behind, Behind::NotGround, "{radius}");
    }
}

#[test]
fn a_wing_that_is_not_rubbed_at_all_is_no_turn() {
    for (plus, at_heel) in [(true, true), (true, false), (false, true), (false, false)] {
        let seen = |rubbed_mm| WingInkSeen { plus, at_heel, rubbed_mm, film_mm: 0.005 };
        let read = |seen| WingInk::read(&meant(), &steel(), &seen, degrees(1.0)).unwrap().verdict;
        assert_eq!(read(seen(0.0)), WingInkVerdict::NotATurn);
        assert!(matches!(read(seen(2.0)), WingInkVerdict::Turned { .. }));
    }
}

#[test]
fn edges_of_different_counts_or_with_a_place_never_ground_have_no_difference() {
    let surface = GroundSurface::rolled(&meant()).unwrap();
    let [few, many] = [5, 9].map(|count| Edge::trace(&surface, &steel(), count));
    assert_eq!(EdgeDifference::between(&few, &many), None);
    assert_eq!(EdgeDifference::of_points(&[], &[]), None);
    assert!(EdgeDifference::between(&few, &few).is_some());
    // A narrow wheel hardly swung leaves the wings as they were.
    let narrow = GrindingFace::Wheel { radius_mm: 75.0, width_mm: 3.0 };
    let swing = Swing::to_either_side(degrees(5.0)).unwrap();
    let surface = GroundSurface::rolled(&Rolled { abrasive: narrow, swing, ..meant() }).unwrap();
    let edge = Edge::trace(&surface, &steel(), 9);
    assert!(edge.unreached() > 0);
    assert_eq!(EdgeDifference::between(&edge, &edge), None);
}

#[test]
fn a_travel_of_one_angle_and_one_distance_is_a_travel() {
    let strut = Strut { hinge_setback_mm: 15.0, hinge_drop_mm: 0.0, length_mm: 70.0 };
    let ask = |least: f64, greatest: f64, least_distance_mm, greatest_distance_mm| {
        let travel = StrutTravel {
            least_angle: degrees(least),
            greatest_angle: degrees(greatest),
            least_distance_mm,
            greatest_distance_mm,
        };
        equal_grind(&meant(), &steel(), &strut, 60.0, &travel)
    };
    let found = ask(50.0, 50.0, 180.0, 180.0).unwrap();
    assert_relative_eq!(found.strut_angle.degrees(), 50.0, epsilon = 1e-9);
    assert_relative_eq!(found.pivot_distance_mm, 180.0);
    assert_eq!(ask(50.0, 49.9, 180.0, 180.0), Err(EqualGrindError::NoTravel));
    assert_eq!(ask(50.0, 60.0, 180.0, 179.9), Err(EqualGrindError::NoTravel));
}

/// Derived here: turned about the tool's own axis the nose comes nearer to the pivot or goes away from it; where nose,
/// wheel's centre and pivot lie on one line it lacks just that much.
#[test]
fn a_turn_out_of_reach_tells_what_is_lacking() {
    for (pivot, radius) in [
        (DVec2::new(139.5, 30.0), 75.0),
        (DVec2::new(60.0, 22.0), 75.0),
        (DVec2::new(-60.0, -30.0), 40.0),
        (DVec2::new(-45.0, -50.0), 20.0),
    ] {
        let nose = |turn: f64| {
            DVec3::new(0.0, EDGE_MM * turn.to_radians().cos(), -EDGE_MM * turn.to_radians().sin())
        };
        let way = |turn: f64| pivot.extend(0.0).distance(nose(turn));
        let leg = pivot - DVec2::new(0.0, EDGE_MM);
        // The wheel's centre on the line, on the far side of the nose or between it and the pivot.
        let bevel = (leg.x.signum() * leg.x).atan2(leg.x.signum() * leg.y).to_degrees();
        for turn in [4.0, -20.0, 60.0] {
            let refused = GroundSurface::rolled(&rolled(pivot, 0.0, bevel, radius, turn)).unwrap_err();
            let GroundError::TurnOutOfReach { short_by_mm } = refused else { panic!("{refused:?}") };
            assert_relative_eq!(short_by_mm, (way(turn) - way(0.0)).abs(), epsilon = 1e-9);
        }
    }
}

#[test]
fn a_minute_turn_in_the_holder_moves_the_wheel_minutely() {
    for pivot in [(139.5, -49.5), (60.0, -80.0), (120.0, 25.0), (30.0, 40.0), (-60.0, -70.0)] {
        for bevel in 2..16 {
            for (radius, centre) in [(20.0, 0.0), (75.0, 1.5), (120.0, -2.0)] {
                let pivot = DVec2::new(pivot.0, pivot.1);
                let at = |turn| {
                    let grind = rolled(pivot, centre, 10.0 * f64::from(bevel), radius, turn);
                    GroundSurface::rolled(&grind).map(|surface| surface.wheel_centre_by_roll_line().unwrap())
                };
                let (Ok(straight), Ok(turned)) = (at(0.0), at(0.01)) else { continue };
                assert!(straight.distance(turned) < 0.05, "{pivot} {bevel} {radius}: {straight} {turned}");
            }
        }
    }
}

/// Derived here: the wing sweep over the height of the roll centre, read at many heights, passes the measured one twice.
#[test]
fn of_two_roll_centres_the_one_nearer_to_the_centreline_is_reported() {
    for (bevel, radius, wanted) in [(100.0, 75.0, 3.85), (80.0, 20.0, 5.5), (100.0, 20.0, 3.6)] {
        let at = |centre: f64| {
            let surface =
                GroundSurface::rolled(&rolled(DVec2::new(139.5, -49.5), centre, bevel, radius, 0.0)).unwrap();
            let edge = Edge::trace(&surface, &steel(), 201);
            EdgeSummary::of(&edge, &surface, &steel()).unwrap().wing_sweep_mm()
        };
        let heights: Vec<f64> = (0..=900).map(|i| EDGE_MM + 0.01 * f64::from(i)).collect();
        let passed: Vec<f64> = heights
            .windows(2)
            .filter(|pair| (at(pair[0]) < wanted) != (at(pair[1]) < wanted))
            .map(|pair| f64::midpoint(pair[0], pair[1]))
            .collect();
        assert!(passed.len() > 1, "{bevel}: {passed:?}");
        let nearest = passed.iter().copied().min_by(|a, b| a.abs().total_cmp(&b.abs())).unwrap();
        let setting = rolled(DVec2::new(139.5, -49.5), 0.0, bevel, radius, 0.0);
        let fit = fit_roll_centre(&setting, &steel(), wanted, 5.0).unwrap();
        let RollCentreFit::Found { height_mm, ambiguous } = fit else { panic!("{fit:?}") };
        assert!(ambiguous && (height_mm - nearest).abs() < 0.01, "{bevel}: {height_mm} of {passed:?}");
    }
}

#[test]
fn non_finite_measurements_are_refused() {
    for rubbed_mm in [f64::NAN, -1.0, f64::INFINITY] {
        let seen = WingInkSeen { plus: true, at_heel: true, rubbed_mm, film_mm: 0.005 };
        let read = WingInk::read(&meant(), &steel(), &seen, degrees(1.0)).unwrap();
        assert_eq!(read.verdict, WingInkVerdict::NotATurn, "{rubbed_mm}");
    }
    for depth_mm in [f64::NAN, -1.0, f64::INFINITY] {
        let behind = FaultyGrind::dwelt_behind_dip(&meant(), &steel(), Dip { at: 0.3, depth_mm }).unwrap();
        assert_eq!(behind, Behind::OutOfReach { nearest_mm: 0.0 }, "{depth_mm}");
    }
}
