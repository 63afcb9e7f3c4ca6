//! Second bevels at the limits of their widths, their curves and their travel: circles worked out by halving, and what
//! was found put back ("derived here").

use bevelbench_geometry::{
    DVec2,
    facet::{FurtherFacet, Inside, Relief, ReliefRefusal, ReliefWanted},
    math::{Angle, Quantity},
    parts::{
        Abrasive, AngleTravel, Arm, Bar, Blank, FluteShape, Grinder, Holder, HolderSpec, Presentation, Tool,
        Travel, WIDEST_REST_GAP_MM, Wheel, WheelSpec,
    },
    side::{Job, Setting, SideView, Support, Target},
};

fn deg(degrees: f64) -> Angle {
    Angle::from_degrees(degrees)
}

/// A gouge in a holder, set to a bevel, its edge so oblique.
fn gouge(bevel_deg: f64, obliquity_deg: f64) -> (Job, SideView) {
    let wheel = Wheel::new(WheelSpec {
        diameter_mm: 150.0,
        diameter_new_mm: 150.0,
        diameter_least_mm: 60.0,
        width_mm: 40.0,
        abrasive: Abrasive::Friable,
        marked_speed_m_s: None,
        face_slope: deg(20.0),
    })
    .unwrap();
    let bar = Bar::new(10.0, FluteShape::Power { factor: 0.25, exponent: 2.0 }, -1.0).unwrap();
    let tool = Tool::new(Blank::Bar(bar), 420.0, 180.0, None).unwrap();
    let holder = Holder::new(HolderSpec {
        hinge_setback_mm: 15.0,
        hinge_drop_mm: 5.0,
        strut_length_mm: 70.0,
        strut_angle: AngleTravel { least: deg(-30.0), most: deg(180.0) },
        body_length_mm: 30.0,
        body_height_mm: 24.0,
    })
    .unwrap();
    let travel = Travel { least_mm: -400.0, most_mm: 500.0 };
    let arm = Arm::new(DVec2::new(20.0, -95.0), Angle::ZERO, travel).unwrap();
    let strut_angle = deg(45.0);
    let setting = Setting {
        face: wheel.face(),
        edge: tool.edge_section(),
        obliquity: deg(obliquity_deg),
        presentation: Presentation::EdgeParallelToSpindle,
        support: Support::Holder { arm, holder, reach_mm: 120.0, projection_mm: 60.0, strut_angle },
    };
    let answers = setting.find(Target::AtEdge(deg(bevel_deg)), Quantity::Reach).unwrap();
    let setting = answers.nearest(120.0).unwrap().setting;
    let grinder = Grinder::new(1500.0, 250.0, 150.0).unwrap();
    let job = Job { setting, wheel, grinder, tool, rest_gap_most_mm: WIDEST_REST_GAP_MM, roll: None };
    (job, job.evaluate().unwrap())
}

#[test]
fn the_width_left_of_a_facet_is_between_zero_and_its_width() {
    let (job, view) = gouge(45.0, 90.0);
    let first = FurtherFacet::first(&job.setting, &view);
    let wanted = ReliefWanted::Relief(deg(8.0));
    for left_mm in [0.0, -1.0, first.width_mm, first.width_mm + 0.1, f64::NAN] {
        let Err(refused) = first.second_settings(&job, left_mm, Quantity::Reach, wanted) else {
            panic!("{left_mm}")
        };
        assert!(
            matches!(refused, ReliefRefusal::WidthOutOfRange { step: 1, most_mm, .. } if (most_mm - first.width_mm).abs() < 1e-12)
        );
        let reach = job.setting.value_of(Quantity::Reach).unwrap() - 10.0;
        let refused = Relief::of(&job, &view, [(Quantity::Reach, reach, left_mm)]).unwrap_err();
        assert!(matches!(refused, ReliefRefusal::WidthOutOfRange { step: 1, .. }), "{refused:?}");
    }
    assert!(first.second_settings(&job, 0.5 * first.width_mm, Quantity::Reach, wanted).is_ok());
}

#[test]
fn second_settings_of_an_oblique_edge_give_their_relief_and_come_nearest_first() {
    let mut several = 0;
    for obliquity in [90.0, 60.0, 40.0] {
        let (job, view) = gouge(50.0, obliquity);
        let first = FurtherFacet::first(&job.setting, &view);
        let left = 0.6 * first.width_mm;
        for free in [Quantity::Projection, Quantity::Reach, Quantity::StrutAngle] {
            let wanted = ReliefWanted::Relief(deg(7.0));
            let found: Vec<f64> =
                first.second_settings(&job, left, free, wanted).unwrap().map(|one| one.value).collect();
            assert!(!found.is_empty(), "{obliquity} {free:?}");
            for value in &found {
                let made = Relief::of(&job, &view, [(free, *value, left)]);
                // Some of them the holder stops short of; those that stand give what was wanted.
                if let Ok(made) = made {
                    assert!(
                        (made.relief(1).unwrap() - deg(7.0)).degrees().abs() < 1e-8,
                        "{obliquity} {free:?}"
                    );
                    // A facet without the step after it goes on to the underside from where it begins.
                    let alone = made.facets()[1].alone();
                    assert_eq!(alone.begins_from_edge, made.facets()[1].begins_from_edge);
                    assert!(alone.ends_from_edge.distance(made.facets()[1].ends_from_edge) < 1e-9);
                }
            }
            let present = job.setting.value_of(free).unwrap();
            let ways: Vec<f64> = found.iter().map(|value| (value - present).abs()).collect();
            assert!(ways.is_sorted(), "{obliquity} {free:?} {found:?} {present}");
            several += i32::from(found.len() > 1);
            if free == Quantity::Projection {
                assert!(Relief::of(&job, &view, [(free, found[0], left)]).is_ok());
            }
        }
    }
    assert!(several > 2, "{several}");
}

#[test]
fn a_primary_almost_as_wide_as_the_facet_is_found() {
    let (job, view) = gouge(45.0, 90.0);
    let reach = job.setting.value_of(Quantity::Reach).unwrap() - 12.0;
    let whole = view.facet.width_mm;
    for fraction in [0.02, 0.5, 1.0 - 1.0 / 96.0] {
        let made = Relief::of(&job, &view, [(Quantity::Reach, reach, fraction * whole)]).unwrap();
        let wanted = ReliefWanted::Across(made.facets()[1].across);
        let widths = Relief::primary_widths(&job, &view, Quantity::Reach, reach, wanted);
        assert!(
            widths.iter().any(|width| (width - fraction * whole).abs() < 1e-6),
            "{fraction} {widths:?} {whole}"
        );
    }
}

#[test]
fn a_curve_as_wide_as_the_facet_lifts_it_upright_and_no_other_number_lifts_it() {
    let (job, view) = gouge(45.0, 90.0);
    let single = Relief::of(&job, &view, []).unwrap();
    let chord = single.facets()[0].ends_from_edge.length();
    // A half circle over the facet as its diameter: the edge stands square to the wood.
    assert!((single.lift(chord / 2.0).unwrap() - Angle::QUARTER).degrees().abs() < 1e-6);
    assert!((single.lift(chord).unwrap() - deg(30.0)).degrees().abs() < 1e-9);
    for radius in [0.0, -50.0, f64::NAN, f64::INFINITY, chord * 0.499] {
        assert_eq!(single.lift(radius), None, "{radius}");
    }
    assert!(
        (Relief::lift_of_single_facet(&view, view.facet.width_mm).unwrap() - deg(30.0)).degrees().abs()
            < 1e-9
    );
}

/// The least circle through edge and junction that comes down to the underside, by halving: its middle on the upright
/// over the chord's middle, its lowest point level with the underside.
#[test]
fn the_tightest_curve_is_the_circle_that_touches_the_underside() {
    for (bevel, fraction) in [(45.0, 0.3), (60.0, 0.5), (70.0, 0.2)] {
        let (job, view) = gouge(bevel, 90.0);
        let first = FurtherFacet::first(&job.setting, &view);
        let left = fraction * first.width_mm;
        let reported = first.second_settings(&job, left, Quantity::Reach, ReliefWanted::Inside(0.01));
        let Err(ReliefRefusal::InsideOutOfRange { least_mm, .. }) = reported else { panic!() };
        let junction = first.cut_to(left).ends_from_edge;
        let floor = -job.setting.edge.under_mm;
        let radius = |rise: f64| (junction.length() / 2.0).hypot(rise);
        let middle = |rise: f64| junction / 2.0 + junction.perp().normalize() * rise;
        let above = |rise: f64| middle(rise).y - radius(rise) - floor;
        let (mut low, mut high) = (0.0, 1000.0);
        assert!(above(low) > 0.0 && above(high) < 0.0, "{} {}", above(low), above(high));
        for _ in 0..100 {
            let rise = f64::midpoint(low, high);
            if above(rise) > 0.0 { low = rise } else { high = rise }
        }
        assert!((radius(low) - least_mm).abs() < 1e-6 * least_mm, "{} {least_mm}", radius(low));
        // Just above it a second facet can be had, and its heel lies on the very circle.
        for more in [1.0001, 1.002, 1.05] {
            let wanted = ReliefWanted::Inside(more * least_mm);
            let found: Vec<f64> = first
                .second_settings(&job, left, Quantity::Reach, wanted)
                .unwrap()
                .map(|one| one.value)
                .collect();
            let made = Relief::of(&job, &view, [(Quantity::Reach, found[0], left)]).unwrap();
            let Inside::Tightest { radius_mm, .. } = made.inside() else { panic!("{:?}", made.inside()) };
            assert!((radius_mm / (more * least_mm) - 1.0).abs() < 1e-8, "{radius_mm} {more} {least_mm}");
        }
    }
}
