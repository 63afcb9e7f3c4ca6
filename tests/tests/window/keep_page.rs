//! The page that keeps settings true, driven by its labels: wear and its log, carrying over, safety, the log.

use bevelbench::{
    model::{
        keeper::Keeper,
        prefs::{Page, Prefs},
        session::Session,
    },
    shell::app::App,
};
use bevelbench_notebook::{
    answer::wear::drift,
    saved::{Bench, KeptBy, WheelSaved, library::demo_bench},
};
use bevelbench_tests::keyboard::type_keys;
use egui::{Key, Modifiers, accesskit::Role, vec2};
use egui_kittest::{Harness, kittest::Queryable as _};

type Window = Harness<'static, App>;

fn window_of(bench: Bench, part: &str) -> Window {
    let prefs = Prefs { tour_seen: true, page: Page::Keep, ..Prefs::default() };
    // Tall, so that nothing has to be scrolled to.
    let mut harness = Harness::builder()
        .with_size(vec2(1280.0, 2400.0))
        .build_ui_state(|ui, app: &mut App| app.show(ui), App::new(Keeper::nowhere(bench), prefs));
    harness.run();
    harness.get_by_label(part).click();
    harness.run();
    harness
}

/// The window with a setting of the demo current.
fn window(setting: &str, part: &str) -> Window {
    let mut bench = demo_bench().unwrap();
    bench.current = Some(bench.setting_named(setting).unwrap().clone());
    window_of(bench, part)
}

fn session(harness: &Window) -> &Session {
    harness.state().session()
}

fn press(harness: &mut Window, label: &str) {
    harness.get_by_role_and_label(Role::Button, label).click();
    harness.run();
}

fn type_into(harness: &mut Window, label: &str, text: &str) {
    harness.get_by_role_and_label(Role::TextInput, label).focus();
    harness.run();
    harness.key_press_modifiers(Modifiers::COMMAND, Key::A);
    harness.run();
    type_keys(harness, text);
    harness.run();
    harness.key_press(Key::Enter);
    harness.run();
}

fn choose(harness: &mut Window, list: &str, item: &str) {
    harness.get_by_role_and_label(Role::ComboBox, list).click();
    harness.run();
    harness.get_by_role_and_label(Role::Button, item).click();
    harness.run();
}

fn undo(harness: &mut Window) {
    harness.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    harness.run();
}

fn says(harness: &Window, words: &str) -> bool {
    harness.query_all_by_label_contains(words).next().is_some()
}

fn shaping_wheel(harness: &Window) -> &WheelSaved {
    &session(harness).bench().rigs[0].wheels[0]
}

#[test]
fn a_tape_round_the_rim_logs_the_diameter_and_undo_takes_it_back() {
    let mut harness = window("Long grind, shaping wheel", "Wear");
    assert!(harness.query_by_label("Bevel at the edge against wheel diameter").is_some());
    for way in ["left where it is", "set by gauge stick", "found again"] {
        assert!(harness.query_by_label(way).is_some(), "{way}");
    }
    let before = session(&harness).bench().clone();
    choose(&mut harness, "Measured with: rule across", "tape round the rim");
    type_into(&mut harness, "Round the rim", "486.95 mm");
    assert!(says(&harness, "That is 155.0 mm across."));
    type_into(&mut harness, "Date", "2026-12-01");
    press(&mut harness, "Log the diameter");
    let wheel = shaping_wheel(&harness);
    assert!((wheel.diameter_mm - 486.95 / std::f64::consts::PI).abs() < 1e-9);
    let last = wheel.keep.diameters.last().unwrap();
    assert_eq!(last.date, "2026-12-01");
    assert!(says(&harness, "Logged: 155.0 mm."));
    undo(&mut harness);
    assert_eq!(session(&harness).bench(), &before);
}

#[test]
fn impossible_diameters_and_dates_are_refused_in_words_and_are_no_undo_step() {
    let mut harness = window("Long grind, shaping wheel", "Wear");
    let before = session(&harness).bench().clone();
    press(&mut harness, "Log the diameter");
    assert!(says(&harness, "Put in what was measured."));
    type_into(&mut harness, "Diameter measured", "300 mm");
    press(&mut harness, "Log the diameter");
    assert!(says(&harness, "it cannot be larger now"));
    type_into(&mut harness, "Diameter measured", "150 mm");
    type_into(&mut harness, "Date", "last Tuesday");
    press(&mut harness, "Log the diameter");
    assert!(says(&harness, "Write the date as year, month, day"));
    assert_eq!(session(&harness).bench(), &before);
    assert_eq!(session(&harness).history().undoable(), None);
}

#[test]
fn a_setting_brought_back_by_a_stick_follows_the_wheel() {
    let mut harness = window("Long grind, shaping wheel", "Wear");
    choose(&mut harness, "Brought back by: the arm’s scale", "a gauge stick");
    let hand = session(&harness).current().unwrap().clone();
    assert_eq!(hand.keep.by, KeptBy::GaugeStick);
    assert!(!session(&harness).is_moved(), "how it is kept is saved at once");
    let gauge = |harness: &Window| {
        let session = session(harness);
        session.bench().answer(session.current().unwrap()).unwrap().1.gauge_length_mm().unwrap()
    };
    let before = gauge(&harness);
    type_into(&mut harness, "Diameter measured", "150 mm");
    press(&mut harness, "Log the diameter");
    // The other one kept by gauge stick is “Swept, shaping wheel”.
    assert!(says(&harness, "2 settings that are kept by gauge stick followed."));
    assert!((gauge(&harness) - before).abs() < 1e-9);
}

#[test]
fn drift_beyond_the_tolerance_is_marked_on_the_rack_until_the_bevel_is_found_again() {
    let mut harness = window("Inside bowl, shaping wheel", "Wear");
    let marked = |harness: &Window| says(harness, "Inside bowl, shaping wheel, 63°, drifted +3.2°");
    assert!(marked(&harness));
    assert!(says(&harness, "by the wheel’s wear"));
    type_into(&mut harness, "Tolerance", "4");
    assert!(!marked(&harness), "a turner who tolerates more is told less");
    undo(&mut harness);
    assert!(marked(&harness));
    press(&mut harness, "Find its bevel again");
    assert!(!marked(&harness));
    let hand = session(&harness).current().unwrap().clone();
    let (_, view) = session(&harness).bench().answer(&hand).unwrap();
    assert!((view.bevel().degrees() - 60.0).abs() < 1e-9);
    assert!(!session(&harness).is_moved());
    undo(&mut harness);
    assert!(marked(&harness));
    press(&mut harness, "It is right as it is");
    assert!(!marked(&harness));
    let session = session(&harness);
    assert!(drift(session.bench(), session.current().unwrap()).unwrap().by().abs().degrees() < 1e-9);
}

#[test]
fn a_keeping_wheel_shows_that_it_hardly_wears_instead_of_a_curve() {
    let harness = window("Long grind, 85 mm", "Wear");
    assert!(says(&harness, "A superabrasive wheel hardly wears"));
    assert!(harness.query_by_label("Bevel at the edge against wheel diameter").is_none());
}

#[test]
fn lost_length_is_logged_and_reported_beside_the_wheel_s_wear() {
    let mut harness = window("Inside bowl, shaping wheel", "Wear");
    assert!(says(&harness, "so the tool’s own length counts"));
    type_into(&mut harness, "Length measured", "518 mm");
    type_into(&mut harness, "Date", "2026-12-01");
    press(&mut harness, "Log the length");
    let session = session(&harness);
    let tool = session.bench().tool(session.current().unwrap().tool).unwrap();
    assert!((tool.overall_length_mm - 518.0).abs() < 1e-9);
    assert!(says(&harness, "by the tool’s lost length"));
}

#[test]
fn an_entry_is_struck_out_and_comes_back() {
    let mut harness = window("Long grind, shaping wheel", "Wear");
    let count = shaping_wheel(&harness).keep.diameters.len();
    press(&mut harness, "Strike out: 2025-09-06");
    let left = &shaping_wheel(&harness).keep.diameters;
    assert_eq!(left.len(), count - 1);
    assert!(left.iter().all(|entry| entry.date != "2025-09-06"));
    undo(&mut harness);
    assert_eq!(shaping_wheel(&harness).keep.diameters.len(), count);
}

#[test]
fn a_carried_setting_stands_on_the_rack_with_the_same_bevel() {
    let mut harness = window("Swept, keeping wheel", "Carry over");
    let count = session(&harness).bench().settings.len();
    assert!(says(&harness, "Bevel at the edge, 50.0°, 50.0°"));
    assert!(says(&harness, "Not kept:"));
    press(&mut harness, "Add it to the rack");
    let bench = session(&harness).bench();
    assert_eq!(bench.settings.len(), count + 1);
    let new = bench.settings.iter().max_by_key(|entry| entry.id).unwrap();
    assert_eq!(bench.rig(new.rig).unwrap().name, "Travelling rig");
    let (_, view) = bench.answer(new).unwrap();
    assert!((view.bevel().degrees() - 50.0).abs() < 0.01);
    assert_eq!(new.keep.polishes, None);
    undo(&mut harness);
    assert_eq!(session(&harness).bench().settings.len(), count);
}

#[test]
fn the_whole_bench_goes_over_in_one_step_and_what_cannot_is_listed() {
    let mut harness = window("Swept, keeping wheel", "Carry over");
    let count = session(&harness).bench().settings.len();
    harness.get_by_label("Every setting").click();
    harness.run();
    assert!(says(&harness, "Cannot go there") && says(&harness, "“Inside bowl”:"));
    let add = harness.get_by_label_contains("Add these");
    add.click();
    harness.run();
    assert!(session(&harness).bench().settings.len() > count + 10);
    undo(&mut harness);
    assert_eq!(session(&harness).bench().settings.len(), count);
}

#[test]
fn the_same_wheel_at_another_projection_is_the_very_same_surface() {
    let mut harness = window("Swept, keeping wheel", "Carry over");
    assert!(!says(&harness, "The very same surface."));
    choose(&mut harness, "Rig there: Travelling rig", "Workshop grinder");
    choose(&mut harness, "Wheel there: a wheel of its kind", "Keeping wheel");
    assert!(says(&harness, "It is there already."));
    type_into(&mut harness, "Projection there", "78 mm");
    assert!(says(&harness, "The very same surface."));
}

#[test]
fn two_settings_of_a_tool_are_linked_and_how_they_meet_is_reported() {
    let mut harness = window("Short grind, 60 mm", "Carry over");
    choose(&mut harness, "Polishes: nothing", "Long grind, shaping wheel");
    let saved = |harness: &Window| {
        session(harness).bench().setting_named("Short grind, 60 mm").unwrap().keep.polishes
    };
    assert!(saved(&harness).is_some());
    // 50° laid on a facet of 40°.
    assert!(says(&harness, "It touches the edge only"));
    undo(&mut harness);
    assert_eq!(saved(&harness), None);
}

#[test]
fn safety_says_what_comes_first_and_holds_numbers_against_limits() {
    let mut harness = window("Long grind, shaping wheel", "Safety");
    assert!(says(&harness, "Local codes, the maker’s markings and trained practice come first."));
    assert!(says(&harness, "12.0 m/s (2,361 ft/min)"));
    type_into(&mut harness, "Gap at the tongue", "5.5 mm");
    assert!(says(&harness, "Gap at the tongue: 5.50 mm; at most 6.35 mm: within. [United States"));
    choose(&mut harness, "Place of the limits: United States", "Germany");
    assert!(says(&harness, "Gap at the tongue: 5.50 mm; at most 5.00 mm: beyond. [Germany: BGR 147"));
    type_into(&mut harness, "tongue at most", "7 mm");
    assert!(says(&harness, "at most 7.00 mm: within. [own, after Germany"));
    for source in ["29 CFR 1910.215(d)(1)", "common practice", "Colvin & Juthe", "M. P. Groover"] {
        assert!(says(&harness, source), "{source}");
    }
    // High-speed steel in hand: nothing about carbon steel's colours.
    assert!(says(&harness, "It is not quenched") && !says(&harness, "It draws where it turns colour"));
}

#[test]
fn a_spindle_without_a_plate_turns_with_the_mains() {
    let mut harness = window("Long grind, shaping wheel", "Safety");
    choose(&mut harness, "Poles: 4 poles", "2 poles");
    type_into(&mut harness, "Mains frequency", "60 Hz");
    assert!(says(&harness, "3600 a minute without load"));
    press(&mut harness, "Use it");
    let grinder = &session(&harness).bench().rigs[0].grinder;
    assert!((grinder.spindle_speed_rpm - 3600.0).abs() < 1e-9);
    assert_eq!(grinder.mains.unwrap().poles, 2);
    undo(&mut harness);
    assert!((session(&harness).bench().rigs[0].grinder.spindle_speed_rpm - 1450.0).abs() < 1e-9);
}

#[test]
fn a_sharpening_is_logged_due_again_and_written_as_a_table() {
    let mut harness = window("Long grind, 85 mm", "Log");
    type_into(&mut harness, "Date", "2026-07-01");
    type_into(&mut harness, "Note", "a \"touch\", no more");
    press(&mut harness, "Log a sharpening");
    let tool = &session(&harness).bench().tools[0];
    let last = tool.keep.sharpenings.last().unwrap();
    assert_eq!((last.date.as_str(), last.setting.as_str()), ("2026-07-01", "Long grind, 85 mm"));
    assert!(says(&harness, "Spindle gouge, 10 mm, 2026-07-01, 4, in 14 days"));
    type_into(&mut harness, "Interval in days", "3");
    assert!(says(&harness, "2026-07-01, 4, in 3 days"));
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("log.csv");
    type_into(&mut harness, "Where to", path.to_str().unwrap());
    press(&mut harness, "Write the CSV");
    let text = std::fs::read_to_string(&path).unwrap();
    assert!(text.starts_with("date,what,tool,setting,rig,wheel"), "{text}");
    let line = "2026-07-01,sharpened,\"Spindle gouge, 10 mm\",\"Long grind, 85 mm\",,Keeping wheel,,,\"a \"\"touch\"\", no more\"";
    assert!(text.lines().any(|written| written == line), "{text}");
    press(&mut harness, "Strike out: 2026-07-01");
    assert!(
        session(&harness).bench().tools[0].keep.sharpenings.iter().all(|entry| entry.date != "2026-07-01")
    );
}

#[test]
fn saving_a_setting_notes_what_it_grinds_on_today_s_wheel() {
    let mut bench = demo_bench().unwrap();
    let mut hand = bench.setting_named("Long grind, shaping wheel").unwrap().clone();
    hand.keep.trued = None;
    bench.settings.iter_mut().filter(|entry| entry.id == hand.id).for_each(|entry| *entry = hand.clone());
    bench.current = Some(hand);
    let mut harness = window_of(bench, "Wear");
    assert!(says(&harness, "It is not known what this setting ground"));
    let slider = harness.get_by_role_and_label(Role::TextInput, "Arm reach");
    slider.focus();
    harness.run();
    type_into(&mut harness, "Arm reach", "170 mm");
    press(&mut harness, "Save");
    let session = session(&harness);
    let trued = session.bench().setting(session.current().unwrap().id).unwrap().keep.trued.unwrap();
    assert!((trued.wheel_diameter_mm - 158.0).abs() < 1e-9);
    assert!(!session.is_moved());
    assert!(says(&harness, "as when it was last set true"));
}
