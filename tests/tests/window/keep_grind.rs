//! Second bevels, costs and clearances in the window, driven by their labels.

use bevelbench::{
    model::{
        keeper::Keeper,
        prefs::{Page, Prefs},
    },
    shell::app::App,
};
use bevelbench_geometry::{facet::Inside, math::Quantity};
use bevelbench_notebook::saved::{
    Bench, FacetSaved, FurtherStepSaved, MovedSaved, SettingEntry, SupportSaved, library::demo_bench,
};
use bevelbench_tests::keyboard::type_keys;
use egui::{Key, Modifiers, Role, vec2};
use egui_kittest::{
    Harness,
    kittest::{NodeT as _, Queryable as _},
};

type Window = Harness<'static, App>;

fn window_of(bench: Bench, part: &str) -> Window {
    let prefs = Prefs { tour_seen: true, page: Page::Keep, ..Prefs::default() };
    let mut harness = Harness::builder()
        .with_size(vec2(1280.0, 1700.0))
        .build_ui_state(|ui, app: &mut App| app.show(ui), App::new(Keeper::nowhere(bench), prefs));
    harness.run();
    harness.get_by_role_and_label(Role::Tab, part).click();
    harness.run();
    harness
}

fn bench_with(name: &str) -> Bench {
    let mut bench = demo_bench().unwrap();
    bench.current = Some(bench.setting_named(name).unwrap().clone());
    bench
}

fn press(harness: &mut Window, label: &str) {
    harness.get_by_role_and_label(Role::Button, label).click();
    harness.run();
}

fn hand(harness: &Window) -> SettingEntry {
    harness.state().session().current().unwrap().clone()
}

/// Types into a field and leaves it.
fn put(harness: &mut Window, label: &str, text: &str) {
    let field = harness.get_by_role_and_label(Role::TextInput, label);
    field.focus();
    harness.run();
    harness.key_press_modifiers(Modifiers::COMMAND, Key::A);
    harness.run();
    type_keys(harness, text);
    harness.run();
    harness.key_press(Key::Enter);
    harness.run();
}

fn says(harness: &Window, words: &str) -> bool {
    harness.query_all_by_label_contains(words).next().is_some()
}

fn undo_label(harness: &Window) -> Option<String> {
    harness.state().session().history().undoable().map(str::to_owned)
}

#[test]
fn a_second_bevel_is_added_dragged_found_removed_and_undone() {
    let mut harness = window_of(bench_with("Long grind, 85 mm"), "Second bevel");
    assert!(hand(&harness).further_steps.is_empty());
    press(&mut harness, "Add a second bevel");
    let steps = hand(&harness).further_steps;
    let [FurtherStepSaved { moved, left_width_mm }] = steps[..] else { panic!("{steps:?}") };
    let SupportSaved::Holder { reach_mm: first, .. } = hand(&harness).support else { panic!() };
    assert_eq!(moved.quantity(), Quantity::Reach);
    assert!((first - moved.value() - 12.0).abs() < 0.11, "{first} {moved:?}");
    assert!(says(&harness, "The facet at the edge can rub down to an inside curve of"));
    // The junction is a handle: dragged away from the edge the facet is left wider, as one undo step.
    let handle = harness.get_by_role_and_label(Role::Slider, "End of the first facet");
    let from = handle.rect().center();
    harness.drag_at(from);
    harness.run();
    harness.hover_at(from + vec2(20.0, 18.0));
    harness.run();
    harness.drop_at(from + vec2(30.0, 26.0));
    harness.run();
    let wider = hand(&harness).further_steps[0].left_width_mm;
    assert!(wider > left_width_mm + 0.3, "{wider} {left_width_mm}");
    harness.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    harness.run();
    let back = hand(&harness).further_steps[0].left_width_mm;
    assert!((back - left_width_mm).abs() < 1e-9);
    // The width can be typed; an inside curve can be asked for, and the arm follows.
    put(&mut harness, "Inside curve wanted", "25 mm");
    let bench = harness.state().session().bench().clone();
    let (_, _, relief) = bench.facets(&hand(&harness)).unwrap();
    let Inside::Tightest { radius_mm, .. } = relief.inside() else { panic!() };
    assert!((radius_mm - 25.0).abs() < 1e-6, "{radius_mm}");
    put(&mut harness, "Relief angle wanted", "9°");
    let bench = harness.state().session().bench().clone();
    let (_, _, relief) = bench.facets(&hand(&harness)).unwrap();
    assert!((relief.relief(1).unwrap().degrees() - 9.0).abs() < 1e-9);
    // A curve that no second bevel reaches is refused with its limit, and nothing moves.
    let before = hand(&harness);
    put(&mut harness, "Inside curve wanted", "0.5 mm");
    assert_eq!(hand(&harness), before);
    assert!(says(&harness, "no second bevel lets the tool into an inside curve of 0.5 mm"));
    press(&mut harness, "Add a third bevel");
    assert_eq!(hand(&harness).further_steps.len(), 2);
    harness.get_all_by_role_and_label(Role::Button, "Remove").next().unwrap().click();
    harness.run();
    assert!(hand(&harness).further_steps.is_empty());
}

#[test]
fn a_second_bevel_is_saved_with_its_setting_as_one_step() {
    let mut harness = window_of(bench_with("Long grind, 85 mm"), "Second bevel");
    press(&mut harness, "Add a second bevel");
    let moved = hand(&harness);
    assert!(harness.state().session().bench().setting(moved.id).unwrap().further_steps.is_empty());
    harness.key_press_modifiers(Modifiers::COMMAND, Key::S);
    harness.run();
    let saved = harness.state().session().bench().setting(moved.id).unwrap().clone();
    assert_eq!((saved.further_steps, saved.support), (moved.further_steps.clone(), moved.support));
    assert!(undo_label(&harness).unwrap().starts_with("Save"));
    harness.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    harness.run();
    assert!(harness.state().session().bench().setting(moved.id).unwrap().further_steps.is_empty());
    assert_eq!(hand(&harness).further_steps, moved.further_steps);
}

#[test]
fn at_the_grinder_the_second_bevel_is_set_last() {
    let mut bench = bench_with("Long grind, 85 mm");
    let entry = bench.current.as_mut().unwrap();
    let SupportSaved::Holder { reach_mm, .. } = entry.support else { panic!() };
    entry.further_steps = vec![FurtherStepSaved {
        moved: MovedSaved::to(Quantity::Reach, reach_mm - 12.0).unwrap(),
        left_width_mm: 2.0,
    }];
    let mut harness = window_of(bench, "Second bevel");
    press(&mut harness, "At the grinder");
    let rows: Vec<String> =
        harness.query_all_by_role(Role::CheckBox).filter_map(|node| node.accesskit_node().label()).collect();
    assert_eq!(rows.len(), 5, "{rows:?}");
    assert!(rows[4].starts_with("5: Second bevel: arm reach 169.8 mm"), "{rows:?}");
}

/// A tool whose facet is blunter than what is asked for, so that something is to be ground.
fn blunt() -> Bench {
    let mut bench = bench_with("Long grind, 85 mm");
    let id = bench.current.as_ref().unwrap().tool;
    let tool = bench.tools.iter_mut().find(|tool| tool.id == id).unwrap();
    tool.present_facet = Some(FacetSaved { hollow_radius_mm: Some(100.0), bevel_deg: 46.0, width_mm: 5.4 });
    bench
}

#[test]
fn a_grind_costs_steel_and_takes_time_only_by_a_timed_one() {
    let mut harness = window_of(blunt(), "Cost");
    assert!(says(
        &harness,
        "Keener: the cut begins at the heel and comes to the edge last. No length is lost."
    ));
    assert!(says(&harness, "No rate is assumed."));
    assert!(says(&harness, "Time: –") || harness.query_by_label_contains("Time –").is_some());
    put(&mut harness, "Minutes it took", "3");
    put(&mut harness, "Passes it took", "12");
    press(&mut harness, "Keep this rate");
    let hand = hand(&harness);
    let bench = harness.state().session().bench();
    let timed = bench.rig(hand.rig).unwrap().wheel(hand.wheel).unwrap().keep.timed_grind.unwrap();
    assert!(timed.removed_mm3 > 1.0, "{timed:?}");
    assert_eq!((timed.minutes, timed.passes), (3.0, Some(12.0)));
    // The very grind that was timed takes what it took.
    assert!(says(&harness, "3 min"));
    put(&mut harness, "Usable flute length", "40 mm");
    put(&mut harness, "Length a regrind takes", "0.2 mm");
    put(&mut harness, "Regrinds a year", "50");
    assert!(says(&harness, "200 regrinds are left at 0.20 mm each: about 4 years."));
    press(&mut harness, "Forget it");
    assert!(says(&harness, "No rate is assumed."));
}

#[test]
fn a_blunter_facet_costs_length_and_an_edge_bevel_less() {
    let mut bench = blunt();
    let id = bench.current.as_ref().unwrap().tool;
    let tool = bench.tools.iter_mut().find(|tool| tool.id == id).unwrap();
    tool.present_facet = Some(FacetSaved { hollow_radius_mm: Some(100.0), bevel_deg: 34.0, width_mm: 7.0 });
    let mut harness = window_of(bench, "Cost");
    let lost = |harness: &Window| -> f64 {
        let node = harness.query_all_by_label_contains("Length lost").next().unwrap();
        let text = node.accesskit_node().label().unwrap();
        text.split_whitespace().find_map(|word| word.trim_end_matches(',').parse().ok()).unwrap_or(f64::NAN)
    };
    let whole = lost(&harness);
    assert!(whole > 0.5, "{whole}");
    harness.get_by_label("an edge bevel of").click();
    harness.run();
    let narrow = lost(&harness);
    assert!(narrow > 0.0 && narrow < whole / 2.0, "{narrow} {whole}");
    put(&mut harness, "Width of the edge bevel", "0.5 mm");
    assert!(lost(&harness) < narrow);
}

#[test]
fn the_gentlest_way_is_looked_for_and_set_as_one_step() {
    // From the long grind to its bevel at a shorter projection: the strut puts the pivot back on its line.
    let mut bench = bench_with("Long grind, 85 mm");
    let entry = bench.current.as_mut().unwrap();
    let SupportSaved::Holder { projection_mm, .. } = &mut entry.support else { panic!() };
    *projection_mm = 80.0;
    let name = entry.name.clone();
    let mut harness = window_of(bench, "Cost");
    harness.get_by_role_and_label(Role::ComboBox, "From: the facet as it is").click();
    harness.run();
    harness.get_by_role_and_label(Role::Button, &name).click();
    harness.run();
    let before = hand(&harness);
    press(&mut harness, "Look for it");
    assert!(says(&harness, "against"));
    press(&mut harness, "Set it so");
    let after = hand(&harness);
    assert_ne!(before.support, after.support);
    assert_eq!(undo_label(&harness).as_deref(), Some("Set the gentlest way"));
    harness.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    harness.run();
    assert_eq!(hand(&harness), before);
}

#[test]
fn clearances_are_listed_nearest_first_and_a_guard_is_measured() {
    let mut harness = window_of(bench_with("Swept, shaping wheel"), "Clearances");
    assert!(says(&harness, "Nearest: Handle to bench"));
    for pair in ["Holder to wheel", "Strut to wheel", "Handle to wheel", "Blade to bench", "Arm to wheel"] {
        assert!(says(&harness, pair), "{pair}");
    }
    assert!(!says(&harness, "Blade to wheel"));
    assert!(says(&harness, "Its place is not measured: nothing is said about it."));
    press(&mut harness, "Measure the guard");
    assert!(says(&harness, "Blade to guard"));
    put(&mut harness, "Opening begins at", "20°");
    let hand = hand(&harness);
    let bench = harness.state().session().bench();
    let guard = bench.rig(hand.rig).unwrap().wheel(hand.wheel).unwrap().keep.guard.unwrap();
    assert_eq!(guard.opening_top_deg, Some(20.0));
    // A hood down to there stands in the tool's way.
    assert!(says(&harness, "meet"));
    put(&mut harness, "Opening spans", "-60°");
    assert!(says(&harness, "Guard open to"));
    press(&mut harness, "Take it away");
    assert!(says(&harness, "not measured"));
}

#[test]
fn a_table_tells_its_gap_both_ways() {
    let harness = window_of(bench_with("Student: skew on the table"), "Clearances");
    assert!(says(&harness, "The table’s front edge is"));
    assert!(says(&harness, "when the wheel is worn to its least diameter"));
    assert!(says(&harness, "Local rules come first."));
}

#[test]
fn without_an_answer_each_part_says_why() {
    let mut bench = bench_with("Long grind, 85 mm");
    let SupportSaved::Holder { reach_mm, .. } = &mut bench.current.as_mut().unwrap().support else {
        panic!()
    };
    *reach_mm = 600.0;
    for part in ["Second bevel", "Cost", "Clearances"] {
        let harness = window_of(bench.clone(), part);
        assert!(harness.state().session().outcome().unwrap().result.is_err());
        assert!(says(&harness, "Move the pivot in by more than"), "{part}");
    }
}
