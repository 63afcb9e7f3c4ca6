//! Every key of the table of orders, pressed as a keyboard presses it; and letters that are typed, which are no orders.

use bevelbench::{
    model::{
        keeper::Keeper,
        prefs::{Page, Prefs},
    },
    shell::{
        app::App,
        orders::{Order, TABLE},
    },
};
use bevelbench_notebook::saved::library::demo_bench;
use bevelbench_tests::keyboard::type_keys;
use egui::{Event, Key, KeyboardShortcut, Modifiers, OutputCommand, accesskit::Role, vec2};
use egui_kittest::{Harness, kittest::NodeT as _, kittest::Queryable as _};

type Window = Harness<'static, App>;

fn window_on(page: Page) -> Window {
    let prefs = Prefs { tour_seen: true, page, ..Prefs::default() };
    let mut harness = Harness::builder().with_size(vec2(1280.0, 800.0)).build_ui_state(
        |ui, app: &mut App| app.show(ui),
        App::new(Keeper::nowhere(demo_bench().unwrap()), prefs),
    );
    harness.run();
    harness
}

/// Presses a key, one event a frame; whether a picture was copied in the frame of the key.
fn press(harness: &mut Window, key: KeyboardShortcut) -> bool {
    let KeyboardShortcut { modifiers, logical_key: key } = key;
    let event = |pressed| Event::Key { key, physical_key: Some(key), pressed, repeat: false, modifiers };
    harness.event(Event::ModifiersChanged(modifiers));
    harness.event(event(true));
    harness.step();
    let commands = &harness.output().platform_output.commands;
    let copied = commands.iter().any(|command| matches!(command, OutputCommand::CopyImage(_)));
    harness.event(event(false));
    harness.event(Event::ModifiersChanged(Modifiers::NONE));
    harness.run();
    harness.run();
    copied
}

fn key_of(order: Order) -> KeyboardShortcut {
    TABLE.iter().find(|entry| entry.order == order).unwrap().key.unwrap()
}

/// Everything that a screen reader finds, and where it lies.
fn seen(harness: &Window) -> Vec<String> {
    harness
        .root()
        .children_recursive()
        .map(|node| {
            let node = node.accesskit_node();
            let at = node.bounding_box().map(|b| [b.x0, b.y0, b.x1, b.y1].map(f64::round));
            format!("{:?} {:?} {:?} {at:?}", node.role(), node.label(), node.value())
        })
        .collect()
}

/// Moves the arm a step, so that there is something to undo and to save.
fn move_the_arm(harness: &mut Window) {
    harness.get_by_role_and_label(Role::Slider, "Arm reach").focus();
    harness.run();
    harness.key_press(Key::ArrowRight);
    harness.run();
    assert!(harness.state().session().is_moved());
}

#[test]
fn every_key_of_the_table_does_its_order_and_no_other() {
    for entry in TABLE {
        let Some(key) = entry.key else { continue };
        let start = if entry.order == Order::Page(Page::Side) { Page::Tool } else { Page::Side };
        let mut harness = window_on(start);
        move_the_arm_where_there_is_one(&mut harness, start);
        if entry.order == Order::Redo {
            press(&mut harness, key_of(Order::Undo));
        }
        if entry.order == Order::Fit {
            press(&mut harness, key_of(Order::ZoomIn));
        }
        let (before, prefs) = (seen(&harness), harness.state().prefs().clone());
        let moved = harness.state().session().is_moved();
        let copied = press(&mut harness, key);
        let (now, name) = (harness.state().prefs().clone(), entry.name);
        assert_eq!(copied, entry.order == Order::CopyPicture, "{name}");
        if entry.order != Order::CopyPicture {
            assert!(seen(&harness) != before, "{name}: nothing changed");
        }
        let page = if let Order::Page(page) = entry.order { page } else { prefs.page };
        assert_eq!(now.page, page, "{name}");
        assert_eq!(now.dark != prefs.dark, entry.order == Order::Dark, "{name}");
        assert_eq!(now.unit != prefs.unit, entry.order == Order::Unit, "{name}");
        let wanted = match entry.order {
            Order::Undo | Order::Save => false,
            Order::Redo => true,
            _ => moved,
        };
        assert_eq!(harness.state().session().is_moved(), wanted, "{name}");
    }
}

fn move_the_arm_where_there_is_one(harness: &mut Window, page: Page) {
    if page == Page::Side {
        move_the_arm(harness);
    }
}

#[test]
fn enlarging_and_reducing_are_opposites_and_fit_shows_the_whole() {
    let apart = |harness: &Window| {
        let at = |label: &str| harness.get_by_label(label).rect().center();
        at("Pivot along the arm").distance(at("Projection of the tool"))
    };
    let mut harness = window_on(Page::Side);
    let first = apart(&harness);
    press(&mut harness, key_of(Order::ZoomIn));
    let closer = apart(&harness);
    assert!(closer > 1.05 * first, "{closer} {first}");
    press(&mut harness, key_of(Order::ZoomOut));
    assert!((apart(&harness) / first - 1.0).abs() < 0.02);
    press(&mut harness, key_of(Order::ZoomOut));
    assert!(apart(&harness) < 0.95 * first);
    press(&mut harness, key_of(Order::Fit));
    assert!((apart(&harness) / first - 1.0).abs() < 0.02);
}

/// The letters of every bare key of the table, and digits, typed one after the other.
#[test]
fn letters_typed_into_a_field_are_no_orders() {
    let mut fields = 0;
    for page in Page::ALL {
        let names: Vec<String> = window_on(page)
            .get_all_by_role(Role::TextInput)
            .filter_map(|node| node.accesskit_node().label())
            .collect();
        // The fields of a page are of one kind.
        if let Some(name) = names.get(names.len() / 2) {
            let mut harness = window_on(page);
            harness.get_by_role_and_label(Role::TextInput, name).focus();
            harness.run();
            let (prefs, bench) = (harness.state().prefs().clone(), harness.state().session().bench().clone());
            harness.key_press_modifiers(Modifiers::COMMAND, Key::A);
            harness.run();
            type_keys(&harness, "fgbc F1-+");
            harness.run();
            assert_eq!(*harness.state().prefs(), prefs, "{page:?}: {name}");
            let field = harness.get_by_role_and_label(Role::TextInput, name);
            let value = field.accesskit_node().value().unwrap_or_default();
            assert!(field.is_focused() && value.contains("fgbc"), "{page:?}: {name} has {value}");
            // What is typed and given up changes nothing; a search and a name may follow the letters at once.
            harness.key_press(Key::Escape);
            harness.run();
            let now = harness.state().session().bench();
            assert_eq!(now.settings, bench.settings, "{page:?}: {name}");
            fields += 1;
        }
    }
    assert!(fields >= 6, "{fields}");
}
