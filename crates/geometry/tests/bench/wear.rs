//! Wear of wheel and tool against the worked values of the model page, an independent re-evaluation, and what
//! every turner knows.

use bevelbench_geometry::{
    DVec2,
    math::{Angle, Quantity},
    parts::{
        Arm, EdgeSection, Face, Holder, HolderSpec, Presentation, Table, TableSpec, Travel,
        support::AngleTravel,
    },
    side::{
        HeldInput, NotWorn, Refusal, Setting, Support, Target, diameter_from_round_mm, reach_by_gauge_mm,
    },
};
use proptest::prelude::*;

fn degrees(value: f64) -> Angle {
    Angle::from_degrees(value)
}

fn arm(zero: DVec2, tilt: f64) -> Arm {
    Arm::new(zero, degrees(tilt), Travel { least_mm: -50.0, most_mm: 900.0 }).unwrap()
}

/// The worked setting of the model page, section 6: `a` 15, `c` 0, `ℓ` 70, `h_E` −4, 75 mm out at 45°.
fn worked(radius_mm: f64, reach_mm: f64) -> Setting {
    let travel = AngleTravel { least: degrees(0.0), most: degrees(120.0) };
    let holder = Holder::new(HolderSpec {
        hinge_setback_mm: 15.0,
        hinge_drop_mm: 0.0,
        strut_length_mm: 70.0,
        strut_angle: travel,
        body_length_mm: 40.0,
        body_height_mm: 24.0,
    })
    .unwrap();
    Setting {
        face: Face::Round { radius_mm },
        edge: EdgeSection { height_mm: -4.0, under_mm: 2.0 },
        obliquity: Angle::QUARTER,
        presentation: Presentation::EdgeParallelToSpindle,
        support: Support::Holder {
            arm: arm(DVec2::new(0.0, -100.0), 0.0),
            holder,
            reach_mm,
            projection_mm: 75.0,
            strut_angle: degrees(45.0),
        },
    }
}

/// A handle in the cup: a tool of 400 mm.
fn handle(radius_mm: f64, length_mm: f64, reach_mm: f64) -> Setting {
    let support =
        Support::Handle { arm: arm(DVec2::new(0.0, -110.0), 0.0), reach_mm, tool_length_mm: length_mm };
    Setting { support, ..worked(radius_mm, 0.0) }
}

/// A tool on a table.
fn table(radius_mm: f64, tilt: f64) -> Setting {
    let table = Table::new(TableSpec {
        hinge_in_bench: DVec2::new(radius_mm + 4.0, 20.0),
        surface_offset_mm: 0.0,
        front_mm: 2.0,
        rear_mm: 70.0,
        tilt: AngleTravel { least: degrees(-70.0), most: degrees(60.0) },
    })
    .unwrap();
    Setting { support: Support::Table { table, tilt: degrees(tilt) }, ..worked(radius_mm, 0.0) }
}

/// The setting moved along its arm until it grinds a bevel.
fn at(setting: Setting, bevel: f64) -> Setting {
    let answers = setting.find(Target::AtEdge(degrees(bevel)), Quantity::Reach).unwrap();
    let best = answers.settable().max_by(|a, b| a.value.total_cmp(&b.value)).unwrap();
    best.setting
}

fn bevel_on(setting: &Setting, diameter_mm: f64, kept: HeldInput) -> f64 {
    setting.on_worn_wheel(diameter_mm, kept).unwrap().1.bevel().degrees()
}

/// Section 2: 5 mm off the radius turns 45° into 49.44° at a fixed pivot, into 43.41° at a fixed gauge length.
#[test]
fn five_millimetres_off_the_radius_do_what_the_model_page_says() {
    let setting = at(worked(75.0, 150.0), 45.0);
    assert!((setting.evaluate().unwrap().bevel().degrees() - 45.0).abs() < 1e-9);
    assert!((bevel_on(&setting, 140.0, HeldInput::Place) - 49.44).abs() < 0.005);
    assert!((bevel_on(&setting, 140.0, HeldInput::GaugeLength) - 43.41).abs() < 0.005);
    let found = HeldInput::Bevel(Target::AtEdge(degrees(45.0)));
    assert!((bevel_on(&setting, 140.0, found) - 45.0).abs() < 1e-9);
}

/// Section 2: a 400 mm tool 5 mm shorter turns 45° into about 51.5° at a fixed arm, more than the wheel's wear does.
#[test]
fn lost_length_of_a_tool_in_the_cup_does_what_the_model_page_says() {
    // The page counts with an edge on the axis: sin β = (D² − L² − R²) / 2LR gives 51.55°.
    let on_the_axis = EdgeSection { height_mm: 0.0, under_mm: 6.0 };
    let setting = at(Setting { edge: on_the_axis, ..handle(75.0, 400.0, 400.0) }, 45.0);
    let shorter = setting.with_tool_shorter(5.0).unwrap().1.bevel().degrees();
    assert!((shorter - 51.5).abs() < 0.1, "{shorter}");
    assert!(shorter - 45.0 > bevel_on(&setting, 140.0, HeldInput::Place) - 45.0);
}

/// A holder grips the tool at its projection: its own length is no part of the setting.
#[test]
fn lost_length_changes_nothing_in_a_holder() {
    let setting = at(worked(75.0, 150.0), 45.0);
    assert_eq!(setting.with_tool_shorter(5.0).unwrap().0, setting);
}

/// Common practice: a shrinking wheel raises the bevel at a fixed arm, and a gauge stick drifts less. The stick's drift
/// is counted for holders, whose pivot lies near; a handle in the cup is far off, and there too it drifts less.
#[test]
fn shrinking_wheel_blunts_at_a_fixed_arm_and_a_gauge_stick_drifts_less() {
    for setting in
        [at(worked(75.0, 150.0), 45.0), at(worked(100.0, 150.0), 35.0), at(handle(75.0, 400.0, 400.0), 45.0)]
    {
        let before = setting.evaluate().unwrap().bevel().degrees();
        let radius = setting.face.radius_mm().unwrap();
        let mut last = before;
        for lost in [1.0, 2.0, 4.0, 8.0] {
            let fixed = bevel_on(&setting, 2.0 * (radius - lost), HeldInput::Place);
            let stick = bevel_on(&setting, 2.0 * (radius - lost), HeldInput::GaugeLength);
            assert!(fixed > last, "{fixed} after {lost}");
            assert!((stick - before).abs() < (fixed - before).abs(), "{stick} and {fixed} after {lost}");
            last = fixed;
        }
    }
}

/// The bevel by the law of cosines from the corners of the triangle, with none of the program's own functions.
fn by_hand(zero: DVec2, reach: f64, pivot_in_tool: DVec2, edge: f64, radius: f64) -> f64 {
    let d = (zero.x + reach).hypot(zero.y);
    let (dx, dy) = (pivot_in_tool.x, edge - pivot_in_tool.y);
    let l = dx.hypot(dy);
    let corner = ((l * l + radius * radius - d * d) / (2.0 * l * radius)).acos();
    corner.to_degrees() - 90.0 + dy.atan2(dx).to_degrees()
}

proptest! {
    /// Both drift curves against the triangle worked out again.
    #[test]
    fn drift_curves_are_those_of_the_triangle(
        radius in 60.0..125.0_f64, bevel in 25.0..65.0_f64, lost in 0.0..0.2_f64, out in 40.0..90.0_f64,
    ) {
        let mut setting = worked(radius, 150.0);
        if let Support::Holder { projection_mm, .. } = &mut setting.support { *projection_mm = out; }
        let target = Target::AtEdge(degrees(bevel));
        let answers = setting.find(target, Quantity::Reach).unwrap();
        let Some(answer) = answers.settable().max_by(|a, b| a.value.total_cmp(&b.value)) else { return Ok(()) };
        let (setting, reach) = (answer.setting, answer.value);
        let zero = DVec2::new(0.0, -100.0);
        let pivot = DVec2::new(out + 15.0 + 70.0 * 0.5_f64.sqrt(), -70.0 * 0.5_f64.sqrt());
        let worn = radius * (1.0 - lost);
        if let Ok((_, view)) = setting.on_worn_wheel(2.0 * worn, HeldInput::Place) {
            let expected = by_hand(zero, reach, pivot, -4.0, worn);
            prop_assert!((view.bevel().degrees() - expected).abs() < 1e-8);
        }
        if let Ok((moved, view)) = setting.on_worn_wheel(2.0 * worn, HeldInput::GaugeLength) {
            let gauge = reach.hypot(100.0) - radius;
            let there = ((gauge + worn).powi(2) - 100.0_f64.powi(2)).sqrt();
            prop_assert!((moved.value_of(Quantity::Reach).unwrap() - there).abs() < 1e-7);
            prop_assert!((view.gauge_length_mm().unwrap() - gauge).abs() < 1e-8);
            let expected = by_hand(zero, there, pivot, -4.0, worn);
            prop_assert!((view.bevel().degrees() - expected).abs() < 1e-8);
        }
        if let Ok((_, view)) = setting.on_worn_wheel(2.0 * worn, HeldInput::Bevel(target)) {
            prop_assert!((view.bevel().degrees() - bevel).abs() < 1e-8);
        }
    }
}

/// Derived here: little wear follows the exact slopes.
#[test]
fn little_wear_follows_the_slopes() {
    for setting in [at(worked(75.0, 150.0), 45.0), at(handle(75.0, 400.0, 400.0), 45.0)] {
        let slopes = setting.evaluate().unwrap().slopes;
        let by = |kept| (bevel_on(&setting, 150.0 - 2e-4, kept) - bevel_on(&setting, 150.0, kept)) / 2e-4;
        let (place, gauge) = (slopes.wheel_diameter.unwrap(), slopes.wheel_diameter_at_gauge.unwrap());
        assert!((by(HeldInput::Place) + place.to_degrees()).abs() < 1e-4);
        assert!((by(HeldInput::GaugeLength) + gauge.to_degrees()).abs() < 1e-4);
    }
}

/// A table keeps its tilt or its bevel, and has no gauge length: `R cos β = q + T_E`.
#[test]
fn table_has_no_gauge_stick_but_can_be_found_again() {
    let setting = table(100.0, -20.0);
    let before = setting.evaluate().unwrap().bevel();
    let after = setting.on_worn_wheel(190.0, HeldInput::Place).unwrap().1.bevel();
    assert!((95.0 * after.cos() - 100.0 * before.cos()).abs() < 1e-9);
    assert_eq!(setting.on_worn_wheel(190.0, HeldInput::GaugeLength), Err(NotWorn::NoGauge));
    let (_, again) = setting.on_worn_wheel(190.0, HeldInput::Bevel(Target::AtEdge(before))).unwrap();
    assert!((again.bevel() - before).degrees().abs() < 1e-9);
}

#[test]
fn flat_abrasive_has_no_diameter_to_lose() {
    let setting = Setting { face: Face::Flat { normal: degrees(20.0) }, ..worked(75.0, 150.0) };
    assert_eq!(setting.on_worn_wheel(140.0, HeldInput::Place), Err(NotWorn::NoWheel));
}

#[test]
fn invalid_numbers_are_refused() {
    let setting = at(worked(75.0, 150.0), 45.0);
    for odd in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, -10.0, 0.0, 1e300] {
        for kept in
            [HeldInput::Place, HeldInput::GaugeLength, HeldInput::Bevel(Target::AtEdge(degrees(45.0)))]
        {
            assert!(setting.on_worn_wheel(odd, kept).is_err(), "{odd} {kept:?}");
        }
    }
    for odd in [f64::NAN, f64::INFINITY, 400.0, 500.0] {
        let shorter = at(handle(75.0, 400.0, 400.0), 45.0).with_tool_shorter(odd);
        assert!(matches!(shorter, Err(Refusal::DimensionError(_))), "{odd} {shorter:?}");
    }
    let arm = arm(DVec2::new(0.0, -110.0), 0.0);
    assert!(reach_by_gauge_mm(&arm, f64::NAN, 75.0, 70.0).is_none_or(f64::is_nan));
    assert_eq!(reach_by_gauge_mm(&arm, 0.0, 75.0, 10.0), None);
}

/// Derived here: a tape round a wheel of 150 mm reads 471.24 mm.
#[test]
fn tape_round_the_rim_reads_pi_diameters() {
    assert!((diameter_from_round_mm(471.2389) - 150.0).abs() < 1e-4);
}
