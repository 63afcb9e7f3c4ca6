//! The whole window, driven by its labels: the main job from a setting to a saved preset and back.

use bevelbench::{
    model::{keeper::Keeper, prefs::Prefs, session::Session},
    shell::app::App,
};
use bevelbench_geometry::math::Quantity;
use bevelbench_notebook::saved::{Bench, library::demo_bench};
use bevelbench_tests::keyboard::type_keys;
use egui::{Key, Modifiers, accesskit::Role, vec2};
use egui_kittest::{Harness, kittest::Queryable as _};

fn window_on(keeper: Keeper) -> Harness<'static, App> {
    let prefs = Prefs { tour_seen: true, ..Prefs::default() };
    let mut harness = Harness::builder()
        .with_size(vec2(1280.0, 800.0))
        .build_ui_state(|ui, app: &mut App| app.show(ui), App::new(keeper, prefs));
    harness.run();
    harness
}

fn window() -> Harness<'static, App> {
    window_on(Keeper::nowhere(demo_bench().unwrap()))
}

fn bevel(session: &Session) -> f64 {
    session.outcome().unwrap().result.as_ref().unwrap().bevel().degrees()
}

fn reach(session: &Session) -> f64 {
    let outcome = session.outcome().unwrap();
    outcome.job.unwrap().setting.value_of(Quantity::Reach).unwrap()
}

/// Types into the field of a label and presses Enter.
fn type_into(harness: &mut Harness<'_, App>, label: &str, text: &str) {
    harness.get_by_role_and_label(Role::TextInput, label).focus();
    harness.run();
    type_keys(harness, text);
    harness.run();
    harness.key_press(Key::Enter);
    harness.run();
}

#[test]
fn typing_a_bevel_moves_the_arm_to_it() {
    let mut harness = window();
    let before = reach(harness.state().session());
    type_into(&mut harness, "Bevel wanted", "45");
    assert!((bevel(harness.state().session()) - 45.0).abs() < 1e-9);
    assert!((reach(harness.state().session()) - before).abs() > 1.0);
    assert!(harness.query_by_label("Bevel at the edge: 45.0°").is_some());
    // One undo takes the search back, target and all.
    harness.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    harness.run();
    assert!((reach(harness.state().session()) - before).abs() < 1e-9);
    assert!(!harness.state().session().is_moved());
}

#[test]
fn stepping_the_projection_changes_the_bevel_and_undo_brings_it_back() {
    let mut harness = window();
    let before = bevel(harness.state().session());
    harness.get_by_role_and_label(Role::Slider, "Projection").focus();
    harness.run();
    harness.key_press_modifiers(Modifiers::SHIFT, Key::ArrowLeft);
    harness.run();
    // Common practice: a shorter projection, all else left alone, grinds blunter.
    assert!(bevel(harness.state().session()) > before + 1.0);
    harness.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    harness.run();
    assert!((bevel(harness.state().session()) - before).abs() < 1e-12);
}

#[test]
fn dragging_the_pivot_along_the_arm_is_one_undo_step() {
    let mut harness = window();
    let before = reach(harness.state().session());
    let from = harness.get_by_label("Pivot along the arm").rect().center();
    harness.drag_at(from);
    harness.run();
    for i in 1_u8..=6 {
        harness.hover_at(from + vec2(4.0 * f32::from(i), 0.0));
        harness.run();
    }
    harness.drop_at(from + vec2(24.0, 0.0));
    harness.run();
    assert!(reach(harness.state().session()) > before + 5.0);
    harness.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    harness.run();
    assert!((reach(harness.state().session()) - before).abs() < 1e-12);
}

#[test]
fn escape_gives_a_drag_up() {
    let mut harness = window();
    let before = reach(harness.state().session());
    let from = harness.get_by_label("Pivot along the arm").rect().center();
    harness.drag_at(from);
    harness.run();
    harness.hover_at(from + vec2(30.0, 0.0));
    harness.run();
    assert!(reach(harness.state().session()) > before);
    harness.key_press(Key::Escape);
    harness.run();
    harness.drop_at(from + vec2(30.0, 0.0));
    harness.run();
    assert!((reach(harness.state().session()) - before).abs() < 1e-12);
    assert!(harness.state().session().history().undoable().is_none());
}

#[test]
fn impossible_reach_is_refused_in_words_and_taken_back() {
    let mut harness = window();
    type_into(&mut harness, "Arm reach", "5000 mm");
    let session = harness.state().session();
    assert!(session.outcome().unwrap().result.is_err());
    assert!(session.last_good().is_some(), "the last good answer stays");
    assert!(harness.query_all_by_label_contains("5000.0 mm").next().is_some());
    harness.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    harness.run();
    assert!(harness.state().session().outcome().unwrap().result.is_ok());
}

#[test]
fn a_text_that_is_no_number_is_refused_and_the_value_kept() {
    let mut harness = window();
    let before = reach(harness.state().session());
    type_into(&mut harness, "Arm reach", "twelve");
    assert!((reach(harness.state().session()) - before).abs() < 1e-12);
    assert!(harness.query_all_by_label_contains("twelve").next().is_some());
}

#[test]
fn saved_setting_is_there_after_closing_and_opening_again() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("mine.bench.ron");
    let text = bevelbench_notebook::saved::file::write_bench(&demo_bench().unwrap()).unwrap();
    bevelbench_notebook::store::write_text(&path, &text).unwrap();
    {
        let mut harness = window_on(Keeper::file(&path, None).unwrap());
        type_into(&mut harness, "Bevel wanted", "45");
        harness.key_press_modifiers(Modifiers::COMMAND | Modifiers::SHIFT, Key::S);
        harness.run();
        type_keys(&harness, " at 45");
        harness.run();
        harness.get_by_label("Save as a new setting");
        harness.key_press(Key::Enter);
        harness.run();
        let app = harness.state_mut();
        eframe_exit(app);
    }
    let harness = window_on(Keeper::file(&path, None).unwrap());
    let session = harness.state().session();
    let hand = session.current().unwrap();
    assert!(hand.name.contains("at 45"), "{}", hand.name);
    assert_eq!(session.bench().setting(hand.id), Some(hand));
    assert!((bevel(session) - 45.0).abs() < 1e-9);
}

/// What the native window does when it closes.
fn eframe_exit(app: &mut App) {
    eframe::App::on_exit(app, None);
}

#[test]
fn moved_and_unsaved_setting_survives_closing_too() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("mine.bench.ron");
    let text = bevelbench_notebook::saved::file::write_bench(&demo_bench().unwrap()).unwrap();
    bevelbench_notebook::store::write_text(&path, &text).unwrap();
    let mut harness = window_on(Keeper::file(&path, None).unwrap());
    type_into(&mut harness, "Projection", "77");
    eframe_exit(harness.state_mut());
    drop(harness);
    let harness = window_on(Keeper::file(&path, None).unwrap());
    assert!(harness.state().session().is_moved());
    let job = harness.state().session().outcome().unwrap().job.unwrap();
    assert!((job.setting.value_of(Quantity::Projection).unwrap() - 77.0).abs() < 1e-9);
}

#[test]
fn the_grinder_list_opens_with_one_key_and_ticks_off() {
    let mut harness = window();
    harness.key_press(Key::G);
    harness.run();
    assert!(harness.query_all_by_label_contains("Power off").next().is_some());
    for key in [Key::Num1, Key::Num2, Key::Num3, Key::Num4] {
        harness.key_press(key);
        harness.run();
    }
    harness.get_by_label("Done").click();
    harness.run();
    assert!(harness.query_by_label("Search tools").is_some(), "back at the bench");
}

#[test]
fn every_setting_of_the_demo_can_be_made_current() {
    let mut harness = window();
    let bench: Bench = harness.state().session().bench().clone();
    assert!(bench.settings.len() >= 16);
    for setting in &bench.settings {
        assert!(bench.answer(setting).is_ok(), "{}", setting.name);
    }
    harness.get_by_label("Search tools").focus();
    harness.run();
    type_keys(&harness, "skew");
    harness.run();
    let rows = harness.query_all_by_role(Role::ListItem).count();
    assert!(rows > 0 && rows < bench.settings.len());
}

#[test]
fn units_change_what_is_shown_and_not_what_is_set() {
    let mut harness = window();
    let before = harness.state().session().bench().clone();
    for _ in 0..3 {
        harness.key_press_modifiers(Modifiers::COMMAND, Key::U);
        harness.run();
        assert_eq!(harness.state().session().bench(), &before);
    }
}

#[test]
fn window_at_rest_asks_for_no_repaint() {
    // `run` panics when frames go on asking for more; one more step must not ask either.
    let mut harness = window();
    harness.run();
    let output = harness.output();
    let delay = output.viewport_output.values().map(|viewport| viewport.repaint_delay).min().unwrap();
    assert!(delay > std::time::Duration::from_hours(1), "{delay:?}");
}
