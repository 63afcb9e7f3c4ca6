//! Facets at their limits: widths that are all there is, hollows that are none, more facets than are looked at, curves
//! on which the junction hides.

use approx::assert_relative_eq;
use bevelbench_geometry::{
    DVec2,
    facet::{FacetCurve, Inside, Regrind, Relief, ReliefWanted},
    math::{Angle, Quantity},
    parts::{
        Abrasive, Arm, Bar, Blank, Face, Flute, FluteShape, Grinder, Hollow, PresentFacet, Presentation,
        Tool, Travel, WIDEST_REST_GAP_MM, Wheel, WheelSpec,
    },
    side::{Facet, Job, Setting, SideView, Support, Target, radius_from_hollow_mm},
};

fn degrees(x: f64) -> Angle {
    Angle::from_degrees(x)
}

/// An edge bevel may be as wide as the facet: what is lost then is lost at the heel.
#[test]
fn edge_bevel_as_wide_as_the_facet_is_the_facet() {
    for radius_mm in [40.0, 75.0, 125.0] {
        let face = Face::Round { radius_mm };
        for bevel in 20..80 {
            for under in [2.5, 4.0, 6.1] {
                let facet = Facet::ground(face, degrees(f64::from(bevel)), under).unwrap();
                let old =
                    PresentFacet::new(Hollow::Flat, degrees(f64::from(bevel) + 5.0), facet.width_mm).unwrap();
                let regrind = Regrind::new(&old, &facet, face, under);
                let lost = regrind.length_lost_for_width_mm(facet.width_mm);
                let at_heel = regrind.difference_mm(under).max(0.0);
                assert_relative_eq!(lost.unwrap(), at_heel, epsilon = 1e-9);
                assert_eq!(regrind.length_lost_for_width_mm(facet.width_mm + 1e-6), None);
            }
        }
    }
}

#[test]
fn a_zero_hollow_has_no_radius() {
    for (chord, hollow) in [
        (-8.0, 0.1),
        (8.0, -0.1),
        (-8.0, -0.1),
        (0.0, 0.1),
        (8.0, 0.0),
        (f64::NAN, 0.1),
        (8.0, f64::INFINITY),
    ] {
        assert_eq!(radius_from_hollow_mm(chord, hollow), None, "{chord} {hollow}");
    }
    // 8² / (8·0.1) + 0.05
    assert_relative_eq!(radius_from_hollow_mm(8.0, 0.1).unwrap(), 80.05, max_relative = 1e-12);
}

/// A round flute as deep as its own radius stands upright at the top, and opens there however the sum rounds.
#[test]
fn half_rings_open_in_every_size() {
    for tenths in 20..300 {
        for top in [0.0, 0.1, 0.3, 0.7, 1.1] {
            let radius = f64::from(tenths) / 10.0;
            let floor = top - radius;
            let flute = Flute::new(FluteShape::Circle { radius_mm: radius }, floor, 70.0, top).unwrap();
            assert_relative_eq!(flute.wing_top().x, radius, max_relative = 1e-6);
            assert_relative_eq!(flute.wing_top().y, top, epsilon = 1e-9);
        }
    }
}

#[test]
fn walls_follow_their_power() {
    for n in 2..8 {
        let exponent = f64::from(n);
        let shape = FluteShape::Power { factor: 0.01, exponent };
        let flute = Flute::new(shape, -3.0, 20.0, 10.0).unwrap();
        for w in [-4.0_f64, -1.5, 0.0, 0.3, 2.0, 3.7] {
            assert_relative_eq!(flute.height_at(w), -3.0 + 0.01 * w.abs().powi(n), max_relative = 1e-12);
            let slope = 0.01 * exponent * w.abs().powi(n - 1) * w.signum();
            assert_relative_eq!(flute.slope_at(w), slope, epsilon = 1e-12, max_relative = 1e-12);
        }
    }
}

/// A gouge with its handle in the cup of an arm, on a wheel of a diameter, set to a bevel.
fn gouge(diameter_mm: f64, bevel: f64) -> (Job, SideView) {
    let wheel = Wheel::new(WheelSpec {
        diameter_mm,
        diameter_new_mm: 250.0,
        diameter_least_mm: 50.0,
        width_mm: 40.0,
        abrasive: Abrasive::Friable,
        marked_speed_m_s: None,
        face_slope: Angle::ZERO,
    })
    .unwrap();
    let bar = Bar::new(16.0, FluteShape::Power { factor: 0.25, exponent: 2.0 }, -2.0).unwrap();
    let tool = Tool::new(Blank::Bar(bar), 420.0, 180.0, None).unwrap();
    let travel = Travel { least_mm: 0.0, most_mm: 700.0 };
    let arm = Arm::new(DVec2::new(0.0, -110.0), Angle::ZERO, travel).unwrap();
    let setting = Setting {
        face: wheel.face(),
        edge: tool.edge_section(),
        obliquity: Angle::QUARTER,
        presentation: Presentation::EdgeParallelToSpindle,
        support: Support::Handle { arm, reach_mm: 420.0, tool_length_mm: 420.0 },
    };
    let setting = setting
        .find(Target::AtEdge(degrees(bevel)), Quantity::Reach)
        .unwrap()
        .nearest(420.0)
        .unwrap()
        .setting;
    let grinder = Grinder::new(1500.0, 300.0, 150.0).unwrap();
    let job = Job { setting, wheel, grinder, tool, rest_gap_most_mm: WIDEST_REST_GAP_MM, roll: None };
    (job, job.evaluate().unwrap())
}

/// The curve of a relief holds so many facets and no more.
#[test]
fn facets_beyond_what_a_curve_holds_do_no_harm() {
    let (job, view) = gouge(150.0, 50.0);
    let reach = job.setting.value_of(Quantity::Reach).unwrap();
    let steps = (1..=7).map(|i| (Quantity::Reach, reach - 7.0 * f64::from(i), 0.5));
    let curve = |count: usize| {
        let relief = Relief::of(&job, &view, steps.clone().take(count)).unwrap();
        assert_eq!(relief.facets().len(), count + 1);
        FacetCurve::of_relief(&relief)
    };
    assert_ne!(curve(3), curve(2));
    assert_eq!(curve(7), curve(6));
}

/// Every width that is told for an inside curve gives that curve, also where on the way to it the junction sinks behind
/// the chord and no curve is the tightest; and a width that gives it is near one that is reported.
#[test]
fn widths_for_an_inside_curve_give_that_curve() {
    let (mut hidden, mut reported) = (0, 0);
    for (diameter, bevel) in [(60.0, 40.0), (100.0, 35.0), (150.0, 50.0)] {
        let (job, view) = gouge(diameter, bevel);
        let reach = job.setting.value_of(Quantity::Reach).unwrap();
        for by in [0.5, 1.0, 2.0, 4.0, 8.0, 16.0] {
            let of = |width: f64| Relief::of(&job, &view, [(Quantity::Reach, reach - by, width)]);
            let at = |i: u32| view.facet.width_mm * f64::from(i) / 400.0;
            hidden += (1..400)
                .filter(|i| of(at(*i)).is_ok_and(|relief| matches!(relief.inside(), Inside::Hidden { .. })))
                .count();
            for radius in [8.0, 12.0, 15.0, 20.0, 25.0, 30.0, 40.0, 60.0, 100.0, 200.0, 1000.0] {
                let tightest = |width: f64| match of(width).ok()?.inside() {
                    Inside::Tightest { radius_mm, .. } => Some(radius_mm),
                    _ => None,
                };
                let wanted = ReliefWanted::Inside(radius);
                let widths = Relief::primary_widths(&job, &view, Quantity::Reach, reach - by, wanted);
                for width in &widths {
                    reported += 1;
                    assert_relative_eq!(tightest(*width).unwrap(), radius, max_relative = 1e-6);
                }
                // Neighbours on both sides of the wanted curve.
                for i in 12..388 {
                    if let (Some(one), Some(other)) = (tightest(at(i)), tightest(at(i + 1)))
                        && (one - radius) * (other - radius) < 0.0
                    {
                        let near = |width: &f64| (at(i)..=at(i + 1)).contains(width);
                        assert!(widths.iter().any(near), "{radius} {i} {widths:?}");
                    }
                }
            }
        }
    }
    assert!(hidden > 100 && reported > 20, "{hidden} {reported}");
}
