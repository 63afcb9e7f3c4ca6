//! Fits of a rig's hidden dimensions and reaches shared by several settings, put back on the rig and measured there
//! ("derived here").

use bevelbench_geometry::{
    DVec2,
    math::{Angle, Quantity},
    parts::{AngleTravel, Arm, EdgeSection, Face, Holder, HolderSpec, Presentation, Travel},
    side::{Setting, Support, Target, uncertainty::rectangular},
    solve::{FittedRig, Sharer, Trial, fit_rig},
};

fn degrees(value: f64) -> Angle {
    Angle::from_degrees(value)
}

fn setting(face: Face, zero: DVec2, reach_mm: f64, projection_mm: f64, strut: f64) -> Setting {
    let travel = Travel { least_mm: -100.0, most_mm: 500.0 };
    Setting {
        face,
        edge: EdgeSection { height_mm: -3.0, under_mm: 5.0 },
        obliquity: Angle::QUARTER,
        presentation: Presentation::AxisInSidePlane,
        support: Support::Holder {
            arm: Arm::new(zero, degrees(3.0), travel).unwrap(),
            holder: Holder::new(HolderSpec {
                hinge_setback_mm: 15.0,
                hinge_drop_mm: 5.0,
                strut_length_mm: 70.0,
                strut_angle: AngleTravel { least: degrees(0.0), most: degrees(120.0) },
                body_length_mm: 30.0,
                body_height_mm: 20.0,
            })
            .unwrap(),
            reach_mm,
            projection_mm,
            strut_angle: degrees(strut),
        },
    }
}

const WHEEL: Face = Face::Round { radius_mm: 90.0 };
const ZERO: DVec2 = DVec2::new(10.0, -130.0);

#[test]
fn residuals_are_consistent_while_their_mean_square_is_under_four() {
    for (degrees_of_freedom, chi_squared, consistent) in [
        (5, 19.9, true),
        (5, 20.0, false),
        (5, 20.1, false),
        (1, 3.9, true),
        (1, 4.5, false),
        (0, 100.0, true),
    ] {
        let rig = FittedRig { dimensions: vec![], residuals: vec![], chi_squared, degrees_of_freedom };
        assert_eq!(rig.is_consistent(), consistent, "{degrees_of_freedom} {chi_squared}");
    }
}

/// Trials of a rig whose arm's zero is elsewhere than thought, each measured wrong by so much.
fn trials(half_width: Angle, wrong: impl Fn(usize) -> Angle) -> Vec<Trial> {
    let mut list = Vec::new();
    for (reach, projection, strut) in [
        (130.0, 60.0, 30.0),
        (150.0, 60.0, 50.0),
        (110.0, 45.0, 60.0),
        (160.0, 90.0, 40.0),
        (140.0, 70.0, 80.0),
    ] {
        let thought = setting(WHEEL, ZERO, reach, projection, strut);
        let real = setting(WHEEL, ZERO + DVec2::new(3.0, -2.0), reach, projection, strut);
        if thought.evaluate().is_err() {
            continue;
        }
        let Ok(view) = real.evaluate() else { continue };
        let measured = Target::AtEdge(view.bevel() + wrong(list.len()));
        list.push(Trial { setting: thought, measured, half_width, readings: Vec::new() });
    }
    assert!(list.len() >= 4, "{}", list.len());
    list
}

#[test]
fn a_residual_is_what_is_measured_more_than_the_fitted_rig_grinds() {
    for (half_width, off) in [(0.5, 0.1), (0.001, 0.3)] {
        let list = trials(degrees(half_width), |i| degrees(if i % 2 == 0 { off } else { -off }));
        let fit = fit_rig(&list, &[Quantity::ArmZeroX, Quantity::ArmZeroZ]).unwrap();
        let zero = DVec2::new(fit.dimensions[0].is_mm, fit.dimensions[1].is_mm);
        let mut squares = 0.0;
        for (trial, residual) in list.iter().zip(&fit.residuals) {
            let value = |free| trial.setting.value_of(free).unwrap();
            let fitted = setting(
                WHEEL,
                zero,
                value(Quantity::Reach),
                value(Quantity::Projection),
                value(Quantity::StrutAngle),
            );
            let Target::AtEdge(measured) = trial.measured else { panic!() };
            let more = measured - fitted.evaluate().unwrap().bevel();
            assert!((more - *residual).degrees().abs() < 1e-7, "{more:?} {residual:?}");
            squares += (more.radians() / rectangular(trial.half_width.radians())).powi(2);
        }
        assert!((fit.chi_squared - squares).abs() < 1e-6 * squares, "{} {squares}", fit.chi_squared);
        // Far more than the stated ± lets expect is a fit all the same, and said to be one that does not agree.
        assert_eq!(fit.is_consistent(), half_width > 0.1, "{}", fit.chi_squared);
    }
}

fn sharer(setting: Setting, least_mm: f64, most_mm: f64) -> Sharer<'static> {
    Sharer { setting, bevel: Target::AtEdge(degrees(40.0)), least_mm, most_mm, stops_mm: None }
}

#[test]
fn a_projection_that_is_fixed_is_served_and_a_range_the_wrong_way_round_is_not() {
    let one = setting(WHEEL, ZERO, 130.0, 60.0, 45.0);
    let reach = one.find(Target::AtEdge(degrees(40.0)), Quantity::Reach).unwrap();
    let reaches: Vec<f64> = reach.settable().map(|answer| answer.value).collect();
    let served = sharer(one, 60.0, 60.0).serving_reaches_mm(degrees(0.5));
    assert_eq!(served.len(), reaches.len());
    for reach in reaches {
        assert!(served.iter().any(|(least, most)| (*least..=*most).contains(&reach)));
    }
    assert!(sharer(one, 60.5, 60.0).serving_reaches_mm(degrees(0.5)).is_empty());
    // A strut that cannot be set to its angle serves at no reach.
    let at_strut = |angle: f64| {
        sharer(setting(WHEEL, ZERO, 130.0, 60.0, angle), 40.0, 90.0).serving_reaches_mm(degrees(0.5))
    };
    assert!(!at_strut(0.0).is_empty() && !at_strut(2.0).is_empty() && at_strut(-2.0).is_empty());
}

#[test]
fn on_a_flat_face_a_range_of_projections_is_served_by_one_stretch() {
    let face = Face::Flat { normal: degrees(15.0) };
    let (least, most, tolerance) = (45.0, 95.0, degrees(0.5));
    let one = setting(face, DVec2::new(10.0, -40.0), 130.0, 60.0, 45.0);
    let served = sharer(one, least, most).serving_reaches_mm(tolerance);
    let [(from, to)] = served[..] else { panic!("{served:?}") };
    // Its ends: the keenest bevel at the least projection, the bluntest at the greatest.
    let bevel = |reach: f64, projection: f64| {
        let there = one.with(Quantity::Reach, reach).unwrap().with(Quantity::Projection, projection).unwrap();
        there.evaluate().unwrap().bevel().degrees()
    };
    assert!((bevel(from, least) - 39.5).abs() < 1e-8 && (bevel(to, most) - 40.5).abs() < 1e-8);
    assert!(from < to);
}
