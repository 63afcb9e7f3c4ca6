//! The Print page, driven by its labels: what is ticked is on the pages, and the file that is saved is whole.

use std::{
    path::Path,
    time::{Duration, Instant},
};

use bevelbench::{
    model::{
        keeper::Keeper,
        prefs::{Page, Prefs},
    },
    shell::app::App,
};
use bevelbench_notebook::{
    paper::sheet::Paper,
    saved::{Bench, library::demo_bench},
};
use bevelbench_tests::keyboard::paste;
use egui::{Key, accesskit::Role, vec2};
use egui_kittest::{
    Harness,
    kittest::{NodeT as _, Queryable as _},
};

fn print_page(paper: Paper) -> Harness<'static, App> {
    print_page_of(demo_bench().unwrap(), paper)
}

fn print_page_of(bench: Bench, paper: Paper) -> Harness<'static, App> {
    let prefs = Prefs { tour_seen: true, page: Page::Print, paper, ..Prefs::default() };
    let keeper = Keeper::nowhere(bench);
    let mut harness = Harness::builder()
        .with_size(vec2(1440.0, 900.0))
        .build_ui_state(|ui, app: &mut App| app.show(ui), App::new(keeper, prefs));
    harness.run();
    harness
}

/// Frames until the window shows a label, or a time that no page needs has passed.
fn wait_for(harness: &mut Harness<'_, App>, shown: impl Fn(&Harness<'_, App>) -> bool) {
    let start = Instant::now();
    while !shown(harness) {
        assert!(start.elapsed() < Duration::from_mins(1), "the window never showed it");
        std::thread::sleep(Duration::from_millis(20));
        harness.step();
    }
}

fn press(harness: &mut Harness<'_, App>, label: &str) {
    harness.get_by_role_and_label(Role::Button, label).click();
    harness.step();
}

fn pages(path: &Path) -> usize {
    lopdf::Document::load(path).unwrap().get_pages().len()
}

#[test]
fn the_current_setting_is_shown_and_all_of_them_fill_more_pages() {
    let mut harness = print_page(Paper::A4);
    wait_for(&mut harness, |h| h.query_by_label("Page 1 of 1 as it is printed").is_some());
    press(&mut harness, "All");
    // 25 settings of the demo, four to a sheet of A4.
    let sheets = demo_bench().unwrap().settings.len().div_ceil(4);
    let words = format!("Page 1 of {sheets} as it is printed");
    wait_for(&mut harness, |h| h.query_by_label(&words).is_some());
    press(&mut harness, "None");
    wait_for(&mut harness, |h| h.query_by_label_contains("There is nothing to print yet").is_some());
}

#[test]
fn what_is_saved_is_what_was_shown() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("cards.pdf");
    let mut harness = print_page(Paper::A6);
    wait_for(&mut harness, |h| h.query_by_label("Page 1 of 1 as it is printed").is_some());
    harness.get_by_role_and_label(Role::TextInput, "File to print to").focus();
    harness.step();
    paste(&harness, path.display().to_string());
    harness.step();
    harness.key_press(Key::Tab);
    harness.step();
    press(&mut harness, "Save print");
    wait_for(&mut harness, |h| h.query_by_label_contains("Saved as").is_some());
    assert_eq!(pages(&path), 1);
    let left: Vec<_> =
        std::fs::read_dir(folder.path()).unwrap().map(|entry| entry.unwrap().file_name()).collect();
    assert_eq!(left, ["cards.pdf"]);
}

fn choose(harness: &mut Harness<'_, App>, label: &str) {
    harness.get_by_role_and_label(Role::RadioButton, label).click();
    harness.step();
}

#[test]
fn a_handout_waits_for_a_second_setting_and_shows_both() {
    let mut bench = demo_bench().unwrap();
    bench.current = bench.setting_named("Long grind, 85 mm").cloned();
    let mut harness = print_page_of(bench.clone(), Paper::A4);
    choose(&mut harness, "Handout of a pair");
    wait_for(&mut harness, |h| h.query_by_label_contains("on the Pair page").is_some());
    bench.beside = bench.setting_named("Short grind, 60 mm").cloned();
    let mut harness = print_page_of(bench, Paper::A4);
    choose(&mut harness, "Handout of a pair");
    wait_for(&mut harness, |h| h.query_by_label("Page 1 of 1 as it is printed").is_some());
    assert!(harness.query_by_label_contains("Short grind, 60 mm").is_some());
}

#[test]
fn all_lessons_or_one_are_printed() {
    let mut harness = print_page(Paper::A4);
    choose(&mut harness, "Lesson sheet");
    let lessons = demo_bench().unwrap().lessons;
    let all = format!("Page 1 of {} as it is printed", lessons.len());
    wait_for(&mut harness, |h| h.query_by_label(&all).is_some());
    assert!(harness.query_by_role_and_label(Role::Button, "The lesson").is_none());
    choose(&mut harness, &lessons[1].title);
    wait_for(&mut harness, |h| h.query_by_label("Page 1 of 1 as it is printed").is_some());
    assert!(harness.query_by_role_and_label(Role::Button, "The lesson").is_some());
}

#[test]
fn paper_too_small_for_gauges_is_reported_and_saving_is_disabled() {
    let mut harness = print_page(Paper::A6);
    harness.get_by_role_and_label(Role::RadioButton, "True-size gauges").click();
    harness.step();
    wait_for(&mut harness, |h| h.query_by_label_contains("Choose A5 or larger").is_some());
    let save = harness.get_by_role_and_label(Role::Button, "Save print");
    assert!(save.accesskit_node().is_disabled());
}
