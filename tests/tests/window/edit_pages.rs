//! The pages where tools and rigs are made and edited, driven by their labels.

#![allow(
    clippy::unwrap_used,
    clippy::float_cmp,
    reason = "a test may stop at a surprise and compares what was typed"
)]

use bevelbench::{
    model::{prefs::Page, session::Session},
    pages::edit::{EditState, rig_page, tool_page},
    toolkit::theme::Theme,
};
use bevelbench_notebook::quantity::Units;
use bevelbench_notebook::saved::{
    Bench, BlankSaved, Family, Id, LessonStep, SupportSaved, ToolEntry,
    library::{demo_bench, library},
};
use bevelbench_tests::keyboard::type_keys;
use egui::{Key, accesskit::Role, vec2};
use egui_kittest::{
    Harness,
    kittest::{NodeT as _, Queryable as _},
};

/// One of the pages with the session it edits.
struct Pages {
    session: Session,
    state: EditState,
    page: Page,
}

type Window = Harness<'static, Pages>;

fn window_on(bench: Bench, page: Page) -> Window {
    let pages = Pages { session: Session::new(bench), state: EditState::default(), page };
    let mut harness = Harness::builder()
        .with_size(vec2(1048.0, 1500.0))
        .with_context_setup(|ctx| Theme::default().apply(ctx))
        .build_ui_state(
            |ui, pages: &mut Pages| {
                let theme = Theme::default();
                let (session, state) = (&mut pages.session, &mut pages.state);
                session.compute();
                match pages.page {
                    Page::Rig => rig_page(ui, session, state, Units::default(), &theme),
                    _ => tool_page(ui, session, state, Units::default(), &theme),
                }
            },
            pages,
        );
    harness.run();
    harness
}

fn window(page: Page) -> Window {
    window_on(demo_bench().unwrap(), page)
}

/// Types into the field of a label and presses Enter.
fn type_into(harness: &mut Window, label: &str, text: &str) {
    harness.get_by_role_and_label(Role::TextInput, label).focus();
    harness.run();
    // A text field of words has its cursor at the end: all of it is to be replaced.
    harness.key_press_modifiers(egui::Modifiers::COMMAND, Key::A);
    harness.run();
    type_keys(harness, text);
    harness.run();
    harness.key_press(Key::Enter);
    harness.run();
    harness.run();
}

fn shown(harness: &Window, label: &str) -> String {
    harness.get_by_role_and_label(Role::TextInput, label).accesskit_node().value().unwrap_or_default()
}

fn press(harness: &mut Window, label: &str) {
    harness.get_by_label(label).click();
    harness.run();
    harness.run();
}

fn bench(harness: &Window) -> &Bench {
    harness.state().session.bench()
}

fn undo(harness: &mut Window) -> String {
    let undone = harness.state_mut().session.undo().unwrap();
    harness.run();
    undone
}

/// The tool of the current setting.
fn tool(harness: &Window) -> ToolEntry {
    let hand = harness.state().session.current().unwrap();
    bench(harness).tool(hand.tool).unwrap().clone()
}

fn bar_diameter(harness: &Window) -> f64 {
    let BlankSaved::Bar(bar) = tool(harness).blank else { panic!("a gouge is in hand") };
    bar.diameter_mm
}

fn alerts(harness: &Window) -> Vec<String> {
    harness.get_all_by_role(Role::Alert).filter_map(|node| node.accesskit_node().label()).collect()
}

#[test]
fn a_typed_bar_diameter_is_one_undo_step() {
    let mut harness = window(Page::Tool);
    let before = bar_diameter(&harness);
    type_into(&mut harness, "Bar diameter", "1/2 in");
    assert_eq!(bar_diameter(&harness), 12.7);
    let undone = undo(&mut harness);
    assert!(undone.contains("bar diameter") && undone.contains(&tool(&harness).name), "{undone}");
    assert_eq!(bar_diameter(&harness), before);
}

#[test]
fn a_flute_that_leaves_the_bar_is_refused_in_words_and_stays_as_typed() {
    let mut harness = window(Page::Tool);
    let before = tool(&harness);
    type_into(&mut harness, "Flute floor above centre", "-20");
    assert_eq!(tool(&harness), before, "the bench keeps the old value");
    let alerts = alerts(&harness);
    assert_eq!(alerts.len(), 1, "{alerts:?}");
    let half = bar_diameter(&harness) / 2.0;
    for part in ["Flute floor", "−20.0 mm", &format!("more than −{half:.1} mm"), "Make the flute floor"] {
        assert!(alerts[0].contains(part), "{alerts:?} does not say {part}");
    }
    assert_eq!(shown(&harness, "Flute floor above centre"), "-20");
    // Esc in the field gives it up.
    harness.get_by_role_and_label(Role::TextInput, "Flute floor above centre").focus();
    harness.run();
    harness.key_press(Key::Escape);
    harness.run();
    harness.run();
    assert_eq!(harness.query_all_by_role(Role::Alert).count(), 0);
    assert!(harness.state().session.history().undoable().is_none());
}

#[test]
fn a_refused_value_is_taken_once_another_makes_room_for_it() {
    let mut harness = window(Page::Rig);
    let hand = harness.state().session.current().unwrap().clone();
    let wheel = |harness: &Window| bench(harness).rig(hand.rig).unwrap().wheel(hand.wheel).unwrap().clone();
    type_into(&mut harness, "Diameter now", "230");
    assert_eq!(wheel(&harness).diameter_mm, 200.0);
    assert!(alerts(&harness)[0].contains("230.0 mm"));
    type_into(&mut harness, "Diameter when new", "250");
    assert_eq!((wheel(&harness).diameter_mm, wheel(&harness).diameter_new_mm), (230.0, 250.0));
    assert_eq!(harness.query_all_by_role(Role::Alert).count(), 0);
    undo(&mut harness);
    undo(&mut harness);
    assert_eq!((wheel(&harness).diameter_mm, wheel(&harness).diameter_new_mm), (200.0, 200.0));
    assert_eq!(
        harness.state().session.history().redoable().unwrap(),
        format!("“{}”: diameter when new", wheel(&harness).name)
    );
}

#[test]
fn arrow_keys_step_a_dimension() {
    let mut harness = window(Page::Tool);
    let before = tool(&harness).overall_length_mm;
    harness.get_by_role_and_label(Role::TextInput, "Overall length").focus();
    harness.run();
    harness.key_press(Key::ArrowUp);
    harness.run();
    assert_eq!(tool(&harness).overall_length_mm, before + 1.0);
    undo(&mut harness);
    assert_eq!(tool(&harness).overall_length_mm, before);
}

#[test]
fn unreadable_input_is_reported() {
    let mut harness = window(Page::Tool);
    type_into(&mut harness, "Blade length", "as long as my arm");
    assert_eq!(alerts(&harness).len(), 1);
    assert_eq!(shown(&harness, "Blade length"), "as long as my arm");
}

#[test]
fn a_tool_comes_from_the_library_with_an_id_of_its_own() {
    let mut harness = window(Page::Tool);
    let before = bench(&harness).clone();
    let name =
        library().unwrap().tools.iter().find(|tool| tool.family == Family::BeadingTool).unwrap().name.clone();
    let there = before.tools.iter().any(|tool| tool.name == name);
    press(&mut harness, "New tool…");
    // The list may already have a tool of this name: the menu is painted last.
    harness.get_all_by_label(&name).last().unwrap().click();
    harness.run();
    harness.run();
    let made = bench(&harness).tools.last().unwrap().clone();
    assert_eq!(bench(&harness).tools.len(), before.tools.len() + 1);
    assert_eq!(made.family, Family::BeadingTool);
    assert_eq!(made.name == name, !there);
    assert_eq!(made.id, before.clone().give_id());
    assert_eq!(shown(&harness, "Name"), made.name, "the new tool is chosen");
    undo(&mut harness);
    assert_eq!(*bench(&harness), before);
}

#[test]
fn a_name_is_changed_in_place() {
    let mut harness = window(Page::Tool);
    let (id, before) = (tool(&harness).id, tool(&harness).name);
    type_into(&mut harness, "Name", "The good gouge");
    assert_eq!(bench(&harness).tool(id).unwrap().name, "The good gouge");
    assert_eq!(undo(&mut harness), format!("“{before}”: rename to “The good gouge”"));
    assert_eq!(bench(&harness).tool(id).unwrap().name, before);
}

#[test]
fn a_duplicate_shares_no_id_and_deleting_it_asks_nothing() {
    let mut harness = window(Page::Tool);
    let before = bench(&harness).clone();
    press(&mut harness, "Duplicate");
    assert_eq!(bench(&harness).tools.len(), before.tools.len() + 1);
    press(&mut harness, "Delete");
    assert_eq!(*bench(&harness), before, "a tool without settings goes at once");
}

#[test]
fn a_wheel_that_settings_use_is_deleted_only_after_asking() {
    let mut harness = window(Page::Rig);
    let before = bench(&harness).clone();
    let hand = harness.state().session.current().unwrap().clone();
    let users = before.settings.iter().filter(|s| s.rig == hand.rig && s.wheel == hand.wheel).count();
    assert!(users > 1);
    let lessons = before.lessons.iter().filter(|lesson| {
        let beside =
            |step: &LessonStep| step.beside.as_ref().is_some_and(|beside| beside.wheel == hand.wheel);
        lesson.steps.iter().any(|step| step.setting.wheel == hand.wheel || beside(step))
    });
    let lessons = lessons.count();
    assert!(lessons > 1);
    press(&mut harness, "Delete");
    assert_eq!(*bench(&harness), before, "not before the answer");
    let question = format!(
        "{users} settings use it. They stay on the bench and say that the wheel is missing until you choose another. \
         {lessons} lessons use it and from then on say that it is missing. Undo (Ctrl+Z) brings everything back."
    );
    assert!(harness.query_by_label(&question).is_some());
    press(&mut harness, "Keep it");
    assert_eq!(*bench(&harness), before);
    press(&mut harness, "Delete");
    press(&mut harness, "Delete the wheel");
    assert!(bench(&harness).rig(hand.rig).unwrap().wheel(hand.wheel).is_none());
    assert_eq!(bench(&harness).settings, before.settings, "the settings stay");
    harness.state_mut().session.compute();
    let outcome = harness.state().session.outcome().unwrap().clone();
    assert!(outcome.result.is_err(), "and say that the wheel is missing");
    undo(&mut harness);
    assert_eq!(*bench(&harness), before);
}

#[test]
fn an_arm_in_use_is_taken_away_only_after_asking_and_put_back_with_a_tick() {
    let mut harness = window(Page::Rig);
    let hand = harness.state().session.current().unwrap().clone();
    let arm = |harness: &Window| bench(harness).rig(hand.rig).unwrap().wheel(hand.wheel).unwrap().arm.clone();
    press(&mut harness, "A sliding arm in front of it");
    assert!(arm(&harness).is_some());
    press(&mut harness, "Delete the arm");
    assert!(arm(&harness).is_none());
    press(&mut harness, "A sliding arm in front of it");
    arm(&harness).unwrap().build().unwrap();
}

#[test]
fn projection_stops_are_typed_as_a_list() {
    let mut harness = window(Page::Rig);
    let rig = harness.state().session.current().unwrap().rig;
    let name = bench(&harness).rig(rig).unwrap().name.clone();
    press(&mut harness, &name);
    let stops = |harness: &Window| bench(harness).rig(rig).unwrap().projection_stops_mm.clone();
    let before = stops(&harness);
    type_into(&mut harness, "Projection stops", "85, 60, 4 in");
    assert_eq!(stops(&harness), [60.0, 85.0, 101.6]);
    type_into(&mut harness, "Projection stops", "60, far");
    assert_eq!(stops(&harness), [60.0, 85.0, 101.6]);
    assert_eq!(alerts(&harness).len(), 1);
    undo(&mut harness);
    assert_eq!(stops(&harness), before);
    assert_eq!(harness.query_all_by_role(Role::Alert).count(), 0, "undo drops what was refused");
}

#[test]
fn a_family_is_chosen_from_a_list_and_the_steel_follows() {
    let mut harness = window(Page::Tool);
    let before = tool(&harness);
    harness.get_by_role_and_label(Role::ComboBox, "Family").click();
    harness.run();
    harness.get_by_label("Skew chisel").click();
    harness.run();
    harness.run();
    let now = tool(&harness);
    assert_eq!(now.family, Family::Skew);
    assert!(matches!(now.blank, BlankSaved::Flat(_)));
    assert_eq!((now.overall_length_mm, now.name.clone()), (before.overall_length_mm, before.name.clone()));
    assert!(harness.query_by_role_and_label(Role::TextInput, "Edge to long side").is_some());
    undo(&mut harness);
    assert_eq!(tool(&harness), before);
}

#[test]
fn a_new_setting_is_found_at_45_degrees() {
    let mut harness = window(Page::Tool);
    let before = bench(&harness).clone();
    press(&mut harness, "New setting…");
    type_into(&mut harness, "Setting name", "First try");
    press(&mut harness, "Make it");
    let entry = harness.state().session.current().unwrap().clone();
    assert_eq!(bench(&harness).settings.len(), before.settings.len() + 1);
    assert_eq!(entry.tool, before.current.as_ref().unwrap_or(&before.settings[0]).tool);
    assert!(matches!(entry.support, SupportSaved::Holder { .. }), "a gouge begins in a holder");
    let (_, view) = bench(&harness).answer(&entry).unwrap();
    // A reach is set to a tenth of a millimetre, which is worth up to a tenth of a degree.
    assert!((view.bevel().degrees() - 45.0).abs() < 0.12, "{}", view.bevel().degrees());
    assert_eq!(entry.name, "First try");
    assert_eq!(undo(&mut harness), "New setting “First try”");
    assert_eq!(bench(&harness).settings, before.settings);
}

#[test]
fn an_odd_number_in_the_file_is_named_where_it_stands_and_can_be_corrected() {
    let mut odd = demo_bench().unwrap();
    let id = odd.settings[0].tool;
    for tool in &mut odd.tools {
        tool.blade_length_mm = if tool.id == id { -3.0 } else { tool.blade_length_mm };
    }
    let mut harness = window_on(odd, Page::Tool);
    assert_eq!(alerts(&harness).len(), 1);
    assert!(alerts(&harness)[0].contains("Blade length is −3.0 mm"), "{:?}", alerts(&harness));
    // Another number can be put right meanwhile.
    type_into(&mut harness, "Overall length", "400");
    assert_eq!(bench(&harness).tool(id).unwrap().overall_length_mm, 400.0);
    type_into(&mut harness, "Blade length", "150");
    assert_eq!(bench(&harness).tool(id).unwrap().blade_length_mm, 150.0);
    assert_eq!(harness.query_all_by_role(Role::Alert).count(), 0);
}

#[test]
fn an_empty_bench_begins_with_the_library() {
    for page in [Page::Tool, Page::Rig] {
        let mut harness = window_on(Bench::default(), page);
        if page == Page::Tool {
            press(&mut harness, "New tool…");
            let first = library().unwrap().tools[0].name.clone();
            press(&mut harness, &first);
            assert_eq!(bench(&harness).tools[0].id, Id(1));
        } else {
            press(&mut harness, "New part…");
            let first = library().unwrap().rigs[0].name.clone();
            press(&mut harness, &first);
            let rig = &bench(&harness).rigs[0];
            assert_eq!((rig.id, rig.wheels[0].id), (Id(1), Id(2)));
        }
    }
}

#[test]
fn pages_at_rest_ask_for_no_picture() {
    for page in [Page::Tool, Page::Rig] {
        let mut harness = window(page);
        // `run` stops as soon as no repaint is asked for; one more step must not ask either.
        let steps = harness.try_run().unwrap();
        assert!(steps <= 2, "{page:?} took {steps}");
    }
}

#[test]
fn no_number_in_a_file_stops_the_pages() {
    for odd in [0.0, -7.0, 1e-9, 9_999.0, 1e300, f64::NAN, f64::INFINITY] {
        let mut bench = demo_bench().unwrap();
        for rig in &mut bench.rigs {
            rig.grinder.spindle_height_mm = odd;
            rig.grinder.bench_front_mm = odd;
            rig.projection_stops_mm = vec![odd];
            for wheel in &mut rig.wheels {
                wheel.diameter_mm = odd;
                wheel.width_mm = odd;
                if let Some(arm) = &mut wheel.arm {
                    (arm.tilt_deg, arm.reach_most_mm, arm.zero_x_mm) = (odd, odd, odd);
                }
                if let Some(table) = &mut wheel.table {
                    (table.hinge_x_mm, table.rear_mm, table.tilt_most_deg) = (odd, odd, odd);
                }
            }
            for holder in &mut rig.holders {
                (holder.strut_length_mm, holder.body_height_mm, holder.strut_angle_most_deg) =
                    (odd, odd, odd);
            }
        }
        for tool in &mut bench.tools {
            (tool.overall_length_mm, tool.blade_length_mm) = (odd, odd);
        }
        for page in [Page::Tool, Page::Rig] {
            let mut harness = window_on(bench.clone(), page);
            if page == Page::Tool {
                press(&mut harness, "New setting…");
                press(&mut harness, "Make it");
            } else {
                // Wherever the pointer goes, some dimension of the wheel is drawn; then of the holder.
                for part in 0..2 {
                    for y in 0..60_u8 {
                        harness.hover_at(egui::pos2(450.0, f32::from(y) * 15.0));
                        harness.run();
                    }
                    if part == 0 {
                        let holder = bench.rigs[0].holders[0].name.clone();
                        press(&mut harness, &format!("{holder}, holder"));
                    }
                }
            }
        }
    }
}
