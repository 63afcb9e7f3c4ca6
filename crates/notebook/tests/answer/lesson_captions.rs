//! What the demo's lessons say in numbers and trends is what the geometry gives.

use bevelbench_notebook::{
    answer::lesson::with_wheel,
    saved::{Bench, SettingEntry, SupportSaved, lesson::LessonStep, library::demo_bench},
};

/// The step of a lesson whose caption holds these words, with its bench as the step has it.
fn step(words: &str) -> LessonStep {
    let bench = demo_bench().unwrap();
    let steps: Vec<LessonStep> = bench
        .lessons
        .iter()
        .flat_map(|lesson| lesson.steps.clone())
        .filter(|step| step.caption.contains(words))
        .collect();
    assert_eq!(steps.len(), 1, "{words}");
    steps[0].clone()
}

/// Bevel at the edge in degrees and wheel to cup in millimetres of a setting on a wheel of a diameter.
fn ground(entry: &SettingEntry, diameter_mm: Option<f64>) -> (f64, f64) {
    let bench: Bench = with_wheel(&demo_bench().unwrap(), entry, diameter_mm);
    let (_, view) = bench.answer(entry).unwrap();
    (view.bevel().degrees(), view.gauge_length_mm().unwrap())
}

fn reach_mm(entry: &SettingEntry) -> f64 {
    let SupportSaved::Holder { reach_mm, .. } = entry.support else { panic!("{}", entry.name) };
    reach_mm
}

#[test]
fn captions_of_the_projection_tell_the_bevels_that_are_ground() {
    let first = step("Here it is 85 mm, and the grind comes out at 40°");
    assert!((ground(&first.setting, first.wheel_diameter_mm).0 - 40.0).abs() < 0.05);
    let jump = step("The bevel jumps from 40.0° to 48.5°");
    let beside = jump.beside.as_ref().unwrap();
    assert!((ground(&jump.setting, jump.wheel_diameter_mm).0 - 40.0).abs() < 0.05);
    assert!((ground(beside, jump.beside_wheel_diameter_mm).0 - 48.5).abs() < 0.05);
    let back = step("Moving the arm 11 mm in brings the 40° back");
    let moved = back.beside.as_ref().unwrap_or(&back.setting);
    let was = jump.setting.clone();
    assert!((reach_mm(&was) - reach_mm(moved) - 11.0).abs() < 0.5);
    assert!((ground(moved, back.beside_wheel_diameter_mm).0 - 40.0).abs() < 0.1);
}

#[test]
fn captions_of_a_worn_wheel_tell_what_mark_and_stick_really_grind() {
    let new = step("A shaping wheel when it is new: 200 mm across, and this setting grinds 40°");
    let (bevel, stick_mm) = ground(&new.setting, new.wheel_diameter_mm);
    assert!((bevel - 40.0).abs() < 0.05);
    let worn = step("lost 30 mm, and the same numbers now grind 50°");
    let left_alone = worn.beside.as_ref().unwrap();
    let by_mark = ground(left_alone, worn.beside_wheel_diameter_mm).0;
    assert!((by_mark - 50.0).abs() < 0.5, "{by_mark}");
    let found = step("The arm has to move 11 mm in to grind 40° again");
    let again = found.beside.as_ref().unwrap();
    assert!((reach_mm(&found.setting) - reach_mm(again) - 11.0).abs() < 0.5);
    let (bevel_again, gauge_again_mm) = ground(again, found.beside_wheel_diameter_mm);
    assert!((bevel_again - 40.0).abs() < 0.1);
    let gauge = step("123 mm then, 128 mm now");
    assert!((stick_mm - 123.0).abs() < 0.5 && (gauge_again_mm - 128.0).abs() < 0.5);
    // A setting by the old stick: the reach at which the gap is what it was.
    let mut by_stick = again.clone();
    let (mut low, mut high) = (reach_mm(again) - 40.0, reach_mm(again) + 40.0);
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        let SupportSaved::Holder { reach_mm, .. } = &mut by_stick.support else { panic!() };
        *reach_mm = middle;
        if ground(&by_stick, gauge.beside_wheel_diameter_mm.or(gauge.wheel_diameter_mm)).1 < stick_mm {
            low = middle;
        } else {
            high = middle;
        }
    }
    let stick_bevel = ground(&by_stick, gauge.beside_wheel_diameter_mm.or(gauge.wheel_diameter_mm)).0;
    assert!(
        (stick_bevel - 40.0).abs() < (by_mark - 40.0).abs(),
        "the stick is nearer than the mark: {stick_bevel} against {by_mark}"
    );
    assert!((40.0 - stick_bevel - 4.0).abs() < 0.5, "{stick_bevel}");
    assert!(gauge.caption.contains("four degrees too keen"), "{}", gauge.caption);
}
