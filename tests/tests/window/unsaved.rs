//! The window where a bench is not on disk: what is asked, and that closing never loses what was changed.

use bevelbench_geometry::math::Quantity;
use std::{
    fs,
    path::{Path, PathBuf},
    sync::{Arc, atomic::AtomicBool},
    time::Duration,
};

use bevelbench::{
    model::{
        keeper::{Keeper, read},
        prefs::Prefs,
    },
    shell::app::App,
};
use bevelbench_notebook::{
    saved::{Bench, file::write_bench, library::demo_bench, table::OnBench},
    store::{self, Place},
};
use bevelbench_tests::keyboard::type_keys;
use egui::{Key, Modifiers, ViewportCommand, ViewportEvent, ViewportId, accesskit::Role, vec2};
use egui_kittest::{Harness, kittest::Queryable as _};

fn window_on(keeper: Keeper) -> Harness<'static, App> {
    let prefs = Prefs { tour_seen: true, ..Prefs::default() };
    let mut harness = Harness::builder()
        .with_size(vec2(1280.0, 800.0))
        .build_ui_state(|ui, app: &mut App| app.show(ui), App::new(keeper, prefs));
    harness.run();
    harness
}

/// A window on the user's own bench in a folder of its own, saved once.
fn window() -> (tempfile::TempDir, PathBuf, Harness<'static, App>) {
    let dir = tempfile::tempdir().unwrap();
    let place = Place { folder: dir.path().to_owned(), why: None };
    let mut harness = window_on(Keeper::own_in(&place, None));
    settle(&mut harness);
    let path = place.bench_path();
    assert!(path.exists());
    (dir, path, harness)
}

/// Frames until the saver has told what became of its work.
fn settle(harness: &mut Harness<'_, App>) {
    for _ in 0..3 {
        std::thread::sleep(Duration::from_millis(60));
        harness.step();
    }
    harness.run_steps(2);
}

/// One step of a slider by the keyboard.
fn change(harness: &mut Harness<'_, App>) -> f64 {
    harness.get_by_role_and_label(Role::Slider, "Projection").focus();
    harness.step();
    harness.key_press(Key::ArrowLeft);
    harness.run_steps(2);
    settle(harness);
    projection(harness.state().session().bench())
}

fn projection(bench: &Bench) -> f64 {
    let dial = Quantity::Projection;
    dial.get(bench).unwrap()
}

fn reach(bench: &Bench) -> f64 {
    Quantity::Reach.get(bench).unwrap()
}

fn on_disk(path: &Path) -> f64 {
    projection(&read(path).unwrap())
}

fn press(harness: &mut Harness<'_, App>, name: &str) {
    harness.get_by_role_and_label(Role::Button, name).click();
    harness.run_steps(3);
}

/// What the window tells the system in one frame in which it is asked to close, and in those after it.
fn ask_to_close(harness: &mut Harness<'_, App>) -> Vec<ViewportCommand> {
    let root = harness.input_mut().viewports.entry(ViewportId::ROOT).or_default();
    root.events.push(ViewportEvent::Close);
    commands_of_frames(harness, 6)
}

fn commands_of_frames(harness: &mut Harness<'_, App>, frames: u32) -> Vec<ViewportCommand> {
    let mut commands = Vec::new();
    for _ in 0..frames {
        harness.step();
        harness.input_mut().viewports.entry(ViewportId::ROOT).or_default().events.clear();
        let output = harness.output().viewport_output.get(&ViewportId::ROOT);
        commands.extend(output.into_iter().flat_map(|output| output.commands.clone()));
    }
    commands
}

fn is_there(harness: &Harness<'_, App>, words: &str) -> bool {
    harness.query_all_by_label_contains(words).next().is_some()
}

/// Puts a file where the folder was, so that nothing can be saved; returns what corrects it.
fn break_the_folder(folder: &Path) -> impl FnOnce() + use<> {
    let (folder, away) = (folder.to_owned(), folder.with_extension("away"));
    fs::rename(&folder, &away).unwrap();
    fs::write(&folder, "a file").unwrap();
    move || {
        fs::remove_file(&folder).unwrap();
        fs::rename(&away, &folder).unwrap();
    }
}

#[test]
fn another_programs_change_is_asked_about_once_and_mine_can_stay() {
    let (dir, path, mut harness) = window();
    let mut theirs = demo_bench().unwrap();
    theirs.title = "Theirs".to_owned();
    store::write_text(&path, &write_bench(&theirs).unwrap()).unwrap();
    let mine = change(&mut harness);
    assert!(is_there(&harness, "Changed by another program"));
    assert_eq!(read(&path).unwrap().title, "Theirs", "nothing was written over");
    // Put off, it can be taken up again from the top bar.
    press(&mut harness, "Later");
    settle(&mut harness);
    assert!(!is_there(&harness, "Changed by another program"));
    press(&mut harness, "not saved: changed by another program");
    press(&mut harness, "Keep mine");
    settle(&mut harness);
    assert!((on_disk(&path) - mine).abs() < 1e-9);
    assert_eq!(read(&dir.path().join("bench-theirs-1.bench.ron")).unwrap().title, "Theirs");
    assert!(is_there(&harness, "bench-theirs-1.bench.ron"), "the name is told");
    assert!(!is_there(&harness, "not saved"));
    assert!(ask_to_close(&mut harness).contains(&ViewportCommand::Close));
}

#[test]
fn theirs_can_be_opened_and_one_undo_brings_mine_back() {
    let (_dir, path, mut harness) = window();
    let mut theirs = demo_bench().unwrap();
    theirs.title = "Theirs".to_owned();
    store::write_text(&path, &write_bench(&theirs).unwrap()).unwrap();
    let mine = change(&mut harness);
    press(&mut harness, "Open theirs");
    settle(&mut harness);
    assert_eq!(harness.state().session().bench().title, "Theirs");
    assert!(!is_there(&harness, "not saved"));
    harness.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    settle(&mut harness);
    assert!((projection(harness.state().session().bench()) - mine).abs() < 1e-9);
    assert!((on_disk(&path) - mine).abs() < 1e-9, "and it is saved");
}

#[test]
fn theirs_that_is_no_bench_is_refused_in_the_same_dialog() {
    let (_dir, path, mut harness) = window();
    fs::write(&path, "no bench").unwrap();
    change(&mut harness);
    press(&mut harness, "Open theirs");
    assert!(is_there(&harness, "cannot be opened") && is_there(&harness, "Keep mine"));
    press(&mut harness, "Save elsewhere…");
    assert!(is_there(&harness, "Save the bench as"));
}

#[test]
fn a_removed_bench_is_written_anew_with_a_notice() {
    let (_dir, path, mut harness) = window();
    fs::remove_file(&path).unwrap();
    let mine = change(&mut harness);
    assert!(is_there(&harness, "was gone") && is_there(&harness, "written anew"));
    assert!((on_disk(&path) - mine).abs() < 1e-9);
}

#[test]
fn closing_with_a_save_that_fails_asks_and_goes_on_when_it_is_corrected() {
    let (dir, path, mut harness) = window();
    let remedy = break_the_folder(dir.path());
    let mine = change(&mut harness);
    let reported = ask_to_close(&mut harness);
    assert!(
        reported.contains(&ViewportCommand::CancelClose) && !reported.contains(&ViewportCommand::Close),
        "{reported:?}"
    );
    assert!(is_there(&harness, "Not saved") && is_there(&harness, "somewhere else"));
    harness.get_by_role_and_label(Role::Button, "Try again").click();
    assert!(!commands_of_frames(&mut harness, 4).contains(&ViewportCommand::Close), "still broken");
    remedy();
    harness.get_by_role_and_label(Role::Button, "Try again").click();
    assert!(commands_of_frames(&mut harness, 4).contains(&ViewportCommand::Close));
    assert!((on_disk(&path) - mine).abs() < 1e-9);
}

#[test]
fn closing_without_saving_is_possible_but_only_when_it_is_asked_for() {
    let (dir, _path, mut harness) = window();
    let remedy = break_the_folder(dir.path());
    change(&mut harness);
    ask_to_close(&mut harness);
    press(&mut harness, "Go on working");
    assert!(!is_there(&harness, "Not saved"));
    ask_to_close(&mut harness);
    harness.get_by_role_and_label(Role::Button, "Close without saving").click();
    assert!(commands_of_frames(&mut harness, 4).contains(&ViewportCommand::Close));
    drop(harness);
    remedy();
}

#[test]
fn a_failed_save_is_made_good_by_itself_while_the_window_rests() {
    let (dir, path, mut harness) = window();
    let remedy = break_the_folder(dir.path());
    let mine = change(&mut harness);
    assert!(is_there(&harness, "not saved"));
    // At rest it asks for the next try, in seconds, and for nothing else.
    harness.step();
    let delay = harness.output().viewport_output[&ViewportId::ROOT].repaint_delay;
    assert!(delay > Duration::from_secs(1) && delay < Duration::from_secs(30), "{delay:?}");
    remedy();
    // A quarter of a second a frame.
    for _ in 0..30 {
        harness.step();
    }
    settle(&mut harness);
    assert!(is_there(&harness, "all changes saved"));
    assert!((on_disk(&path) - mine).abs() < 1e-9);
    harness.step();
    let delay = harness.output().viewport_output[&ViewportId::ROOT].repaint_delay;
    assert_eq!(delay, Duration::MAX, "nothing is asked for at rest");
}

#[test]
fn unfinished_typing_is_applied_when_the_window_is_closed() {
    let (_dir, path, mut harness) = window();
    harness.get_by_role_and_label(Role::TextInput, "Projection").focus();
    harness.run_steps(2);
    type_keys(&harness, "61");
    harness.run_steps(2);
    assert!(ask_to_close(&mut harness).contains(&ViewportCommand::Close));
    assert!((on_disk(&path) - 61.0).abs() < 1e-9);
}

#[test]
fn everything_is_saved_when_the_system_ends_the_program() {
    let (_dir, path, mut harness) = window();
    let reported = Arc::new(AtomicBool::new(false));
    harness.state_mut().close_on_signal(reported.clone());
    harness.get_by_role_and_label(Role::TextInput, "Projection").focus();
    harness.run_steps(2);
    type_keys(&harness, "62");
    harness.run_steps(2);
    assert!(!commands_of_frames(&mut harness, 2).contains(&ViewportCommand::Close));
    reported.store(true, std::sync::atomic::Ordering::SeqCst);
    assert!(commands_of_frames(&mut harness, 6).contains(&ViewportCommand::Close));
    assert!((on_disk(&path) - 62.0).abs() < 1e-9);
}

#[test]
fn a_panic_in_a_frame_writes_what_was_changed_in_the_middle_of_a_drag() {
    let (dir, path, harness) = window();
    drop(harness);
    let place = Place { folder: dir.path().to_owned(), why: None };
    let app = App::new(Keeper::own_in(&place, None), Prefs { tour_seen: true, ..Prefs::default() });
    let mut harness = Harness::builder().with_size(vec2(1280.0, 800.0)).build_ui_state(
        |ui, app: &mut App| {
            app.show(ui);
            assert!(!ui.input(|input| input.key_pressed(Key::F12)), "an accident");
        },
        app,
    );
    harness.run();
    let from = harness.get_by_label("Pivot along the arm").rect().center();
    harness.drag_at(from);
    harness.run_steps(2);
    for along in [10.0, 30.0] {
        harness.hover_at(from + vec2(along, 0.0));
        harness.step();
    }
    assert!(harness.state().session().history().is_open(), "in the middle of a drag");
    let moved = reach(harness.state().session().bench());
    assert!((moved - reach(&read(&path).unwrap())).abs() > 1.0, "not on disk yet");
    let accident = std::panic::catch_unwind(std::panic::AssertUnwindSafe(move || {
        harness.key_press(Key::F12);
        harness.step();
    }));
    assert!(accident.is_err());
    assert!((reach(&read(&path).unwrap()) - moved).abs() < 1e-9);
}

#[test]
fn a_slider_that_is_held_is_on_disk_within_two_seconds() {
    let (_dir, path, mut harness) = window();
    let from = harness.get_by_label("Pivot along the arm").rect().center();
    harness.drag_at(from);
    harness.run_steps(2);
    for along in [10.0, 30.0] {
        harness.hover_at(from + vec2(along, 0.0));
        harness.step();
    }
    let held = reach(harness.state().session().bench());
    assert!((reach(&read(&path).unwrap()) - held).abs() > 1.0, "not yet");
    // A quarter of a second a frame; the hand rests, and the window asks for the frame in which it saves.
    let delay = harness.output().viewport_output[&ViewportId::ROOT].repaint_delay;
    assert!(delay <= Duration::from_secs(1), "{delay:?}");
    for _ in 0..6 {
        harness.step();
    }
    settle(&mut harness);
    assert!(harness.state().session().history().is_open());
    assert!((reach(&read(&path).unwrap()) - held).abs() < 1e-9);
}

#[test]
fn a_window_whose_changes_are_kept_nowhere_asks_before_it_closes() {
    let (dir, _path, _first) = window();
    let place = Place { folder: dir.path().to_owned(), why: None };
    let mut second = window_on(Keeper::own_in(&place, None));
    assert!(is_there(&second, "another window"));
    second.key_press(Key::Enter);
    second.run();
    change(&mut second);
    let reported = ask_to_close(&mut second);
    assert!(!reported.contains(&ViewportCommand::Close), "{reported:?}");
    press(&mut second, "Save elsewhere…");
    assert!(is_there(&second, "Save the bench as"));
}

#[test]
fn a_long_text_that_is_half_typed_is_on_disk_within_two_seconds_and_is_one_step() {
    let (_dir, path, mut harness) = window();
    harness.get_by_role_and_label(Role::Button, "New tool…").click();
    harness.run_steps(3);
    let notes = |bench: &Bench| bench.tools.iter().map(|tool| tool.notes.clone()).collect::<String>();
    let at_first = notes(harness.state().session().bench());
    let field = |harness: &Harness<'_, App>| {
        harness.get_all_by_role(Role::MultilineTextInput).next().unwrap().rect().center()
    };
    let at = field(&harness);
    harness.drag_at(at);
    harness.drop_at(at);
    harness.run_steps(2);
    for words in ["Ground thin. ", "Chatters on beech. "] {
        harness.event(egui::Event::Text(words.to_owned()));
        // A quarter of a second a frame.
        for _ in 0..7 {
            harness.step();
        }
        settle(&mut harness);
        assert!(notes(&read(&path).unwrap()).contains(words.trim()), "{words}");
    }
    harness.event(egui::Event::Text("And mor".to_owned()));
    harness.step();
    // Left by a press elsewhere: all of it was one step.
    let away = egui::pos2(640.0, 790.0);
    harness.drag_at(away);
    harness.drop_at(away);
    harness.run_steps(3);
    settle(&mut harness);
    assert!(notes(&read(&path).unwrap()).contains("And mor"));
    harness.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    harness.run_steps(3);
    settle(&mut harness);
    assert_eq!(notes(harness.state().session().bench()), at_first);
    assert_eq!(harness.state().session().history().undoable(), None);
}
