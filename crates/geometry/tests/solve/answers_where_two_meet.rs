//! Values found for a bevel near the place where two answers meet in one: none is lost, and each gives its bevel back as
//! well as its last bits can. Settings are planted just before the limit ("derived here").

use bevelbench_geometry::{
    DVec2,
    math::{Angle, Quantity},
    parts::{Arm, EdgeSection, Face, Presentation, Travel},
    side::{Setting, Support, Target},
};

fn travel() -> Travel {
    Travel { least_mm: -900.0, most_mm: 900.0 }
}

const RADIUS: f64 = 75.0;
const LENGTH: f64 = 200.0;

/// A handle whose pivot lies `short_mm` less than `L + R` from the wheel's centre, on a level arm whose scale begins
/// `reach_mm` before it.
fn nearly_stretched(drop_mm: f64, short_mm: f64, reach_mm: f64) -> Setting {
    let height_mm: f64 = -3.0;
    let distance = LENGTH.hypot(height_mm) + RADIUS - short_mm;
    let x = ((distance - drop_mm) * (distance + drop_mm)).sqrt();
    Setting {
        face: Face::Round { radius_mm: RADIUS },
        edge: EdgeSection { height_mm, under_mm: 4.0 },
        obliquity: Angle::QUARTER,
        presentation: Presentation::AxisInSidePlane,
        support: Support::Handle {
            arm: Arm::new(DVec2::new(x - reach_mm, -drop_mm), Angle::ZERO, travel()).unwrap(),
            reach_mm,
            tool_length_mm: LENGTH,
        },
    }
}

#[test]
fn an_answer_within_rounding_of_the_limit_is_found() {
    let mut tried = 0;
    for (short_mm, reach_mm) in
        [(1e-6, 1e-3), (1e-8, 1e-3), (1e-10, 1e-3), (1e-8, 250.0), (1e-11, 250.0), (3e-12, 250.0)]
    {
        for i in 0..60 {
            let setting = nearly_stretched(20.0 + 2.9 * f64::from(i), short_mm, reach_mm);
            let Ok(view) = setting.evaluate() else { continue };
            for free in [Quantity::Reach, Quantity::ToolLength, Quantity::WheelDiameter] {
                let present = setting.value_of(free).unwrap();
                let answers = setting.find(Target::AtEdge(view.bevel()), free).unwrap();
                let found = answers.all().any(|answer| (answer.value - present).abs() < 1e-9);
                assert!(found, "{short_mm} {i} {reach_mm} {free:?}");
                for answer in answers.all() {
                    assert_eq!(answer.setting.value_of(free), Some(answer.value));
                }
                tried += 1;
            }
        }
    }
    assert!(tried > 900, "{tried}");
}

/// The closed form misses the bevel by a last bit of the squares it is made of; the answer is put right along the slope.
#[test]
fn a_tool_length_gives_its_bevel_back_to_its_own_last_bit() {
    let mut tried = 0;
    for short_mm in [1e-5, 1e-6, 1e-7, 1e-8] {
        for i in 0..300 {
            let setting = nearly_stretched(20.0 + 0.59 * f64::from(i), short_mm, 250.0);
            let Ok(view) = setting.evaluate() else { continue };
            let answers = setting.find(Target::AtEdge(view.bevel()), Quantity::ToolLength).unwrap();
            for answer in answers.all() {
                let off = (answer.view.bevel() - view.bevel()).radians().abs();
                let last_bit = LENGTH * f64::EPSILON / 2.0;
                assert!(off < 0.1 * last_bit * answer.view.slopes.tool_length.unwrap().abs(), "{off}");
                tried += 1;
            }
        }
    }
    assert!(tried > 1000, "{tried}");
}
