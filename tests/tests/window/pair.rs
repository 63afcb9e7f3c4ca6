//! Two settings side by side, big type, lessons: driven by their labels, undo across them.

#![allow(
    clippy::unwrap_used,
    clippy::float_cmp,
    reason = "a test may stop at a surprise; undo brings back the very numbers"
)]

use bevelbench::{
    model::{
        keeper::Keeper,
        prefs::{Page, Prefs},
        session::Session,
    },
    shell::app::App,
};
use bevelbench_notebook::saved::{Bench, SettingEntry, SupportSaved, library::demo_bench};
use bevelbench_tests::keyboard::type_keys;
use egui::{Key, Modifiers, Vec2, accesskit::Role, vec2};
use egui_kittest::{Harness, kittest::Queryable as _};

fn window_of(bench: Bench, page: Page, size: Vec2) -> Harness<'static, App> {
    let prefs = Prefs { tour_seen: true, page, ..Prefs::default() };
    let mut harness = Harness::builder()
        .with_size(size)
        .build_ui_state(|ui, app: &mut App| app.show(ui), App::new(Keeper::nowhere(bench), prefs));
    harness.run();
    harness
}

fn named(name: &str) -> SettingEntry {
    demo_bench().unwrap().setting_named(name).unwrap().clone()
}

/// A is the long grind, B the short one.
fn pair() -> Harness<'static, App> {
    let mut bench = demo_bench().unwrap();
    bench.current = Some(named("Long grind, 85 mm"));
    bench.beside = Some(named("Short grind, 60 mm"));
    window_of(bench, Page::Pair, vec2(1280.0, 800.0))
}

fn reach(entry: &SettingEntry) -> f64 {
    match entry.support {
        SupportSaved::Handle { reach_mm } | SupportSaved::Holder { reach_mm, .. } => reach_mm,
        SupportSaved::Table { .. } => f64::NAN,
    }
}

fn reaches(session: &Session) -> [f64; 2] {
    [reach(session.current().unwrap()), reach(session.beside().unwrap())]
}

fn bevel(session: &Session, entry: &SettingEntry) -> f64 {
    session.bench().answer(entry).unwrap().1.bevel().degrees()
}

fn press(harness: &mut Harness<'_, App>, label: &str) {
    harness.get_by_role_and_label(Role::Button, label).click();
    harness.run();
}

fn undo(harness: &mut Harness<'_, App>) {
    harness.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    harness.run();
}

fn drag_pivot_out(harness: &mut Harness<'_, App>) {
    let from = harness.get_by_label("Pivot along the arm").rect().center();
    harness.drag_at(from);
    harness.run();
    for i in 1_u8..=5 {
        harness.hover_at(from + vec2(4.0 * f32::from(i), 0.0));
        harness.run();
    }
    harness.drop_at(from + vec2(20.0, 0.0));
    harness.run();
}

#[test]
fn a_drag_moves_a_only() {
    let mut harness = pair();
    let before = reaches(harness.state().session());
    drag_pivot_out(&mut harness);
    let after = reaches(harness.state().session());
    assert!(after[0] > before[0] + 5.0);
    assert!((after[1] - before[1]).abs() < 1e-12);
}

#[test]
fn a_link_moves_both_by_as_much_and_one_undo_takes_both_back() {
    let mut harness = pair();
    let before = reaches(harness.state().session());
    harness.get_by_label("Move in both: nothing").click();
    harness.run();
    press(&mut harness, "Arm reach");
    assert!(harness.query_by_label("Move in both: Arm reach").is_some());
    drag_pivot_out(&mut harness);
    let after = reaches(harness.state().session());
    assert!(after[0] > before[0] + 5.0);
    assert!((after[0] - before[0] - (after[1] - before[1])).abs() < 1e-9, "{before:?} {after:?}");
    undo(&mut harness);
    assert_eq!(reaches(harness.state().session()), before);
}

#[test]
fn the_link_holds_on_the_pair_page_only() {
    let mut harness = pair();
    harness.get_by_label("Move in both: nothing").click();
    harness.run();
    press(&mut harness, "Arm reach");
    harness.key_press_modifiers(Modifiers::COMMAND, Key::Num1);
    harness.run();
    let before = reaches(harness.state().session());
    drag_pivot_out(&mut harness);
    let after = reaches(harness.state().session());
    assert!(after[0] > before[0] + 5.0);
    assert!((after[1] - before[1]).abs() < 1e-12);
}

#[test]
fn b_is_made_equal_at_its_own_projection_and_undo_takes_it_back() {
    let mut harness = pair();
    let before = harness.state().session().beside().unwrap().clone();
    press(&mut harness, "Make B equal A");
    let session = harness.state().session();
    let (a, b) = (session.current().unwrap(), session.beside().unwrap());
    assert!((bevel(session, a) - bevel(session, b)).abs() < 1e-9);
    let projection = |entry: &SettingEntry| match entry.support {
        SupportSaved::Holder { projection_mm, .. } => projection_mm,
        _ => f64::NAN,
    };
    assert!((projection(b) - projection(&before)).abs() < 1e-12);
    undo(&mut harness);
    assert_eq!(harness.state().session().beside(), Some(&before));
}

#[test]
fn swapping_twice_restores_and_undo_reverts_a_swap() {
    let mut harness = pair();
    let names = |harness: &Harness<'_, App>| {
        let session = harness.state().session();
        [session.current().unwrap().name.clone(), session.beside().unwrap().name.clone()]
    };
    let before = names(&harness);
    press(&mut harness, "Swap");
    let swapped = names(&harness);
    assert_eq!([&swapped[1], &swapped[0]], [&before[0], &before[1]]);
    press(&mut harness, "Swap");
    assert_eq!(names(&harness), before);
    undo(&mut harness);
    assert_eq!(names(&harness), swapped);
    undo(&mut harness);
    assert_eq!(names(&harness), before);
}

#[test]
fn a_variant_made_on_the_spot_stays_while_a_moves_and_can_be_saved() {
    let mut harness = pair();
    let count = harness.state().session().bench().settings.len();
    press(&mut harness, "B from A");
    let held = harness.state().session().beside().unwrap().clone();
    let id = held.id;
    assert!(harness.state().session().bench().setting(id).is_none(), "an id of its own");
    drag_pivot_out(&mut harness);
    assert_eq!(harness.state().session().beside(), Some(&held));
    press(&mut harness, "Save B");
    let bench = harness.state().session().bench();
    assert_eq!(bench.settings.len(), count + 1);
    // Saving notes what it grinds on today's wheel.
    assert_eq!(bench.setting(id), Some(&held.set_true(bench)));
    undo(&mut harness);
    assert_eq!(harness.state().session().bench().settings.len(), count);
}

#[test]
fn the_table_and_the_sentences_show_the_differences() {
    let harness = pair();
    let session = harness.state().session();
    let [a, b] = [session.current().unwrap(), session.beside().unwrap()].map(|entry| {
        // As they are read.
        (bevel(session, entry) * 10.0).round() / 10.0
    });
    let row = format!("Bevel at the edge: A {a:.1}°, B {b:.1}°, B − A +{:.1}°", b - a);
    assert!(harness.query_by_label(&row).is_some(), "{row}");
    let words = bevelbench_notebook::quantity::format_number(b - a, 1);
    let words = words.trim_end_matches('0').trim_end_matches('.');
    assert!(harness.query_by_label(&format!("B is {words}° blunter at the nose.")).is_some());
}

#[test]
fn an_empty_pair_says_what_to_do() {
    let harness = window_of(demo_bench().unwrap(), Page::Pair, vec2(1280.0, 720.0));
    assert!(harness.query_by_label("Nothing beside A yet.").is_some());
    assert!(harness.query_by_label("Setting B: choose a setting…").is_some());
}

#[test]
fn what_if_shows_five_pictures_and_pressing_one_sets_it() {
    let mut harness = pair();
    harness.get_by_role_and_label(Role::Tab, "What if").click();
    harness.run();
    let before = reaches(harness.state().session());
    harness.get_by_label("Quantity to change: Projection").click();
    harness.run();
    press(&mut harness, "Arm reach");
    let wanted = before[0] + 4.0;
    let session = harness.state().session();
    let mut moved = session.current().unwrap().clone();
    if let SupportSaved::Holder { reach_mm, .. } = &mut moved.support {
        *reach_mm = (wanted * 10.0).round() / 10.0;
    }
    let words = format!("{wanted:.1} mm: {:.1}°", bevel(session, &moved));
    harness.get_by_label_contains(&words).click();
    harness.run();
    assert!((reaches(harness.state().session())[0] - wanted).abs() < 1e-9);
    undo(&mut harness);
    assert!((reaches(harness.state().session())[0] - before[0]).abs() < 1e-9);
}

#[test]
fn big_type_opens_and_closes_with_a_key_and_undo_works_in_it() {
    let mut harness = pair();
    let before = reaches(harness.state().session());
    drag_pivot_out(&mut harness);
    harness.key_press(Key::B);
    harness.run();
    assert!(harness.query_by_label("Side view in big type").is_some());
    assert!(harness.query_by_label("Search tools").is_none(), "drawing and numbers only");
    undo(&mut harness);
    assert_eq!(reaches(harness.state().session()), before);
    harness.key_press(Key::B);
    harness.run();
    assert!(harness.query_by_label("Side view in big type").is_none());
}

#[test]
fn a_lesson_goes_forward_and_back_by_arrows_and_by_a_remote() {
    let mut harness = window_of(demo_bench().unwrap(), Page::Lesson, vec2(1280.0, 720.0));
    press(&mut harness, "Show");
    let bench = demo_bench().unwrap();
    let captions: Vec<&str> = bench.lessons[0].steps.iter().map(|step| step.caption.as_str()).collect();
    let shown =
        |harness: &Harness<'_, App>| harness.state().playing().map(bevelbench::pages::lesson::Play::step);
    assert_eq!(shown(&harness), Some(0));
    for (key, step) in
        [(Key::ArrowRight, 1), (Key::PageDown, 2), (Key::PageUp, 1), (Key::ArrowLeft, 0), (Key::ArrowLeft, 0)]
    {
        harness.key_press(key);
        harness.run();
        assert_eq!(shown(&harness), Some(step), "{key:?}");
        assert!(harness.query_by_label(captions[step]).is_some());
    }
    for _ in 0..9 {
        harness.key_press(Key::PageDown);
        harness.run();
    }
    assert_eq!(shown(&harness), Some(captions.len() - 1), "the last step stays");
    harness.key_press(Key::Escape);
    harness.run();
    assert_eq!(shown(&harness), None);
}

#[test]
fn a_lesson_is_built_and_undone() {
    let mut harness = window_of(demo_bench().unwrap(), Page::Lesson, vec2(1280.0, 800.0));
    let count = |harness: &Harness<'_, App>| harness.state().session().bench().lessons.len();
    let steps = |harness: &Harness<'_, App>| {
        harness.state().session().bench().lessons.last().map_or(0, |lesson| lesson.steps.len())
    };
    assert_eq!(count(&harness), 3);
    press(&mut harness, "New lesson");
    assert_eq!((count(&harness), steps(&harness)), (4, 0));
    press(&mut harness, "Add step");
    assert_eq!(steps(&harness), 1);
    let field = |harness: &Harness<'_, App>| {
        harness.get_by_role_and_label(Role::MultilineTextInput, "Caption").focus();
    };
    field(&harness);
    harness.run();
    type_keys(&harness, "Look here.");
    harness.run();
    // Another page: what was typed is one step of undo.
    harness.key_press_modifiers(Modifiers::COMMAND, Key::Num1);
    harness.run();
    let caption =
        |harness: &Harness<'_, App>| harness.state().session().bench().lessons[3].steps[0].caption.clone();
    assert_eq!(caption(&harness), "Look here.");
    undo(&mut harness);
    assert_eq!(caption(&harness), "");
    undo(&mut harness);
    assert_eq!(steps(&harness), 0);
    undo(&mut harness);
    assert_eq!(count(&harness), 3);
}

// Every number a caption of the demo's lessons speaks of follows from the step's own setting (derived here).
#[test]
fn captions_of_the_demo_lessons_tell_the_bevel_that_is_shown() {
    let bench = demo_bench().unwrap();
    assert_eq!(bench.lessons.len(), 3);
    let mut reported = 0;
    for step in bench.lessons.iter().flat_map(|lesson| &lesson.steps) {
        let angles: Vec<f64> = step
            .caption
            .split_whitespace()
            .filter_map(|word| word.trim_end_matches(['.', ',']).strip_suffix('°')?.parse().ok())
            .collect();
        let on = |entry: &SettingEntry, diameter| {
            let bench = bevelbench_notebook::answer::lesson::with_wheel(&bench, entry, diameter);
            bench.answer(entry).unwrap().1.bevel().degrees()
        };
        let mut shown = vec![on(&step.setting, step.wheel_diameter_mm)];
        shown.extend(step.beside.iter().map(|entry| on(entry, step.beside_wheel_diameter_mm)));
        for angle in angles {
            reported += 1;
            assert!(shown.iter().any(|bevel| (bevel - angle).abs() <= 0.5), "{}: {shown:?}", step.caption);
        }
    }
    assert!(reported >= 5);
}

#[test]
fn nothing_at_rest_asks_for_a_repaint() {
    for page in [Page::Pair, Page::Lesson] {
        let mut bench = demo_bench().unwrap();
        bench.beside = Some(named("Short grind, 60 mm"));
        let mut harness = window_of(bench, page, vec2(1280.0, 720.0));
        harness.run();
        assert!(!harness.ctx.has_requested_repaint(), "{page:?}");
        if page == Page::Pair {
            harness.key_press(Key::B);
        } else {
            harness.get_by_role_and_label(Role::Button, "Show").click();
        }
        harness.run();
        assert!(!harness.ctx.has_requested_repaint(), "{page:?} over the whole window");
    }
}
