//! Every view, walked through as a screen reader would: whatever can be pressed, typed into or focused has a name;
//! empty benches say what to do; nothing at rest asks for a frame.

use bevelbench::{
    model::{
        keeper::Keeper,
        prefs::{Page, Prefs},
    },
    shell::{app::App, help, orders},
};
use bevelbench_notebook::saved::{Bench, library::demo_bench};
use egui::{
    Key, Modifiers,
    accesskit::{Action, Role},
    vec2,
};
use egui_kittest::{
    Harness,
    kittest::{NodeT as _, Queryable as _},
};

fn window_on(bench: Bench, page: Page) -> Harness<'static, App> {
    let prefs = Prefs { tour_seen: true, page, ..Prefs::default() };
    let app = App::new(Keeper::nowhere(bench), prefs);
    let mut harness = Harness::builder()
        .with_size(vec2(1280.0, 800.0))
        .build_ui_state(|ui, app: &mut App| app.show(ui), app);
    harness.run();
    harness
}

fn pair_bench() -> Bench {
    let mut bench = demo_bench().unwrap();
    bench.current = bench.setting_named("Swept, keeping wheel").cloned();
    bench.beside = bench.setting_named("Long grind, 85 mm").cloned();
    bench
}

/// What can be acted on and has neither name nor text, with where it stands.
fn nameless(harness: &Harness<'_, App>) -> Vec<String> {
    let mut found = Vec::new();
    let mut looked_at = 0;
    for node in harness.root().children_recursive() {
        let node = node.accesskit_node();
        let data = node.data();
        let acts = data.supports_action(Action::Click) || data.supports_action(Action::Focus);
        // Panes that only scroll or hold others are passed over by a screen reader.
        let holds = matches!(
            node.role(),
            Role::Window
                | Role::GenericContainer
                | Role::ScrollView
                | Role::Pane
                | Role::Unknown
                | Role::Splitter
        );
        // A scroll bar is named by what it is.
        let bar = node.role() == Role::ScrollBar;
        if !acts || bar || (holds && data.label().is_none()) {
            continue;
        }
        looked_at += 1;
        let named = node.label().is_some_and(|label| !label.trim().is_empty());
        if !named {
            found.push(format!("{:?} at {:?}", node.role(), node.bounding_box()));
        }
    }
    assert!(looked_at > 0, "something can be acted on");
    found
}

#[test]
fn every_control_of_every_page_has_a_name() {
    for page in Page::ALL {
        let harness = window_on(pair_bench(), page);
        assert_eq!(nameless(&harness), Vec::<String>::new(), "{page:?}");
    }
}

#[test]
fn every_control_of_the_parts_of_pages_has_a_name() {
    for (page, tabs) in [
        (Page::Pair, &["Tips", "Edge curves", "What if"][..]),
        (Page::Find, &["One reach", "Match", "Ink", "Faults"]),
        (Page::Keep, &["Carry over", "Second bevel", "Cost", "Clearances", "Safety", "Log"]),
        (Page::Rig, &["Measure", "Fit"]),
    ] {
        for tab in tabs {
            let mut harness = window_on(pair_bench(), page);
            harness.get_by_role_and_label(Role::Tab, tab).click();
            harness.run();
            assert_eq!(nameless(&harness), Vec::<String>::new(), "{page:?}, {tab}");
        }
    }
}

#[test]
fn every_control_of_what_fills_the_window_has_a_name() {
    for key in [Key::B, Key::G, Key::F1] {
        let mut harness = window_on(pair_bench(), Page::Side);
        harness.key_press(key);
        harness.run();
        assert_eq!(nameless(&harness), Vec::<String>::new(), "{key:?}");
    }
    let mut harness = window_on(pair_bench(), Page::Lesson);
    harness.get_by_role_and_label(Role::Button, "Show").click();
    harness.run();
    assert_eq!(nameless(&harness), Vec::<String>::new(), "a lesson");
    for key in [Key::E, Key::O, Key::I] {
        let mut harness = window_on(pair_bench(), Page::Side);
        harness.key_press_modifiers(Modifiers::COMMAND, key);
        harness.run();
        assert_eq!(nameless(&harness), Vec::<String>::new(), "dialog of {key:?}");
    }
}

#[test]
fn nothing_at_rest_asks_for_a_frame_on_any_page() {
    for page in Page::ALL {
        let mut harness = window_on(pair_bench(), page);
        harness.run();
        harness.step();
        assert!(!harness.ctx.has_requested_repaint(), "{page:?}");
    }
}

#[test]
fn help_lists_every_order_under_its_key_and_opens_on_the_page_in_front() {
    let mut harness = window_on(pair_bench(), Page::Pair);
    harness.key_press(Key::F1);
    harness.run();
    assert!(harness.query_by_label_contains("noses laid on each other").is_some(), "the pair’s own page");
    for (tab, reported) in [
        ("All pages", "To be ticked off"),
        ("Glossary", "What a protractor on edge and heel reads"),
        ("Model", "a point pivot without play"),
        ("Sources", "Machinery’s Handbook"),
        ("Safety", "Local codes"),
    ] {
        harness.get_by_role_and_label(Role::Tab, tab).click();
        harness.run();
        let there = harness.query_all_by_label_contains(reported).next().is_some()
            || harness.query_all_by_label_contains(&reported.to_lowercase()).next().is_some();
        assert!(there, "{tab}: {reported}");
    }
    harness.get_by_role_and_label(Role::Tab, "Keys").click();
    harness.run();
    for entry in orders::TABLE {
        let words = format!("{}: {}", entry.name, entry.what);
        assert!(harness.query_by_label(&words).is_some(), "{words}");
        if let Some(key) = entry.key {
            let key = harness.ctx.format_shortcut(&key);
            assert!(harness.query_all_by_label(&key).next().is_some(), "{key}");
        }
    }
    for (key, _) in help::text::MORE_KEYS {
        assert!(harness.query_all_by_label(key).next().is_some(), "{key}");
    }
}

/// What a page says of an empty bench: a sentence that tells what to do, where its picture or its list would be.
#[test]
fn an_empty_bench_says_on_every_page_what_to_do() {
    for page in Page::ALL {
        let harness = window_on(Bench::default(), page);
        let reported = match page {
            Page::Side | Page::Tip | Page::Curves => "Choose a setting in the rack; on an empty bench press",
            Page::Pair => "Take a setting from the rack: it becomes A.",
            Page::Find | Page::Keep => "Choose a setting in the rack, or make one on the Tool page",
            Page::Lesson => "Press “New lesson”.",
            Page::Tool => "Start one from the library with “New tool…”",
            Page::Rig => "Start one from the library with “New part…”",
            Page::Print => "choose a setting or a gauge",
        };
        assert!(harness.query_all_by_label_contains(reported).next().is_some(), "{page:?}: {reported}");
    }
}
