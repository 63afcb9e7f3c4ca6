//! The pages of the tip and of the curves, driven by their labels.

use bevelbench::{
    model::{
        keeper::Keeper,
        prefs::{Page, Prefs},
    },
    pages::tip::Preset,
    shell::app::App,
};
use bevelbench_notebook::saved::{Bench, BlankSaved, FluteSaved, library::demo_bench};
use bevelbench_tests::{cpu_renderer::CpuRenderer, keyboard::type_keys};
use egui::{Key, Modifiers, Rect, accesskit::Role, pos2, vec2};
use egui_kittest::{Harness, kittest::Queryable as _};

/// The demo bench with a setting of a name as the current one.
fn bench_with(name: &str) -> Bench {
    let mut bench = demo_bench().unwrap();
    bench.current = Some(bench.setting_named(name).unwrap().clone());
    bench
}

fn window(name: &str, page: Page) -> Harness<'static, App> {
    painted(name, page, false, CpuRenderer::default())
}

fn painted(name: &str, page: Page, dark: bool, renderer: CpuRenderer) -> Harness<'static, App> {
    let prefs = Prefs { tour_seen: true, page, dark, ..Prefs::default() };
    let keeper = Keeper::nowhere(bench_with(name));
    let mut harness = Harness::builder()
        .with_size(vec2(1280.0, 800.0))
        .renderer(renderer)
        .build_ui_state(|ui, app: &mut App| app.show(ui), App::new(keeper, prefs));
    harness.run();
    harness
}

#[test]
fn every_named_direction_is_a_tab_that_turns_the_tip() {
    let mut harness = window("Long grind, 85 mm", Page::Tip);
    assert_eq!(harness.state().tip().looks_from(), Some(Preset::ThreeQuarter));
    for preset in Preset::ALL.into_iter().rev() {
        let tabs: Vec<_> = harness.get_all_by_role_and_label(Role::Tab, preset.name()).collect();
        // “Side” is a page as well: the direction is the lower one.
        let place =
            tabs.iter().map(egui_kittest::Node::rect).max_by(|a, b| a.top().total_cmp(&b.top())).unwrap();
        drop(tabs);
        harness.hover_at(place.center());
        harness.run();
        harness.drag_at(place.center());
        harness.drop_at(place.center());
        harness.run();
        assert_eq!(harness.state().tip().looks_from(), Some(preset));
    }
}

#[test]
fn a_drag_turns_the_tip_and_the_arrow_keys_do_too() {
    let mut harness = window("Long grind, 85 mm", Page::Tip);
    let canvas = harness.get_by_role_and_label(Role::Canvas, "The tip, rounded nose").rect();
    harness.drag_at(canvas.center());
    harness.run();
    harness.hover_at(canvas.center() + vec2(60.0, 20.0));
    harness.run();
    harness.drop_at(canvas.center() + vec2(60.0, 20.0));
    harness.run();
    assert_eq!(harness.state().tip().looks_from(), None);
    let drawn = harness.state().tip().pictures_drawn();
    harness.get_by_role_and_label(Role::Canvas, "The tip, rounded nose").focus();
    harness.run();
    harness.key_press(Key::ArrowLeft);
    harness.run();
    assert!(harness.state().tip().pictures_drawn() > drawn);
}

#[test]
fn the_picture_is_drawn_again_only_when_what_it_shows_has_changed() {
    let mut harness = window("Long grind, 85 mm", Page::Tip);
    let drawn = harness.state().tip().pictures_drawn();
    for x in 0..5_u8 {
        harness.hover_at(pos2(900.0, 300.0 + f32::from(x)));
        harness.run();
    }
    assert_eq!(harness.state().tip().pictures_drawn(), drawn);
    harness.get_by_role_and_label(Role::Slider, "Projection").focus();
    harness.run();
    harness.key_press(Key::ArrowRight);
    harness.run();
    assert!(harness.state().tip().pictures_drawn() > drawn);
}

#[test]
fn the_swing_plays_until_it_is_paused_and_only_then_asks_for_frames() {
    let mut harness = window("Long grind, 85 mm", Page::Tip);
    harness.get_by_label("Play the swing").click();
    harness.step();
    harness.step();
    assert!(harness.state().tip().is_playing());
    let drawn = harness.state().tip().pictures_drawn();
    for _ in 0..5 {
        harness.step();
    }
    assert!(harness.state().tip().pictures_drawn() >= drawn + 4, "each frame is another moment of the swing");
    harness.get_by_label("Pause").click();
    harness.step();
    // `run` ends only when nothing asks for another frame.
    harness.run();
    assert!(!harness.state().tip().is_playing());
}

#[test]
fn the_numbers_of_the_edge_stand_beside_it_and_can_be_spoken() {
    let harness = window("Swept, keeping wheel", Page::Tip);
    for label in ["Nose: rounded", "Wing sweep: 11.9 mm", "Edge length: 30.9 mm", "Least wedge: 42.0°"] {
        assert!(harness.query_by_label(label).is_some(), "{label}");
    }
    let note = harness.query_by_label_contains("a hand does not roll exactly about one line").is_some();
    assert!(note, "what a swept wing rests on is said beside it");
}

#[test]
fn a_row_of_the_flute_edits_the_tool_as_one_undo_step() {
    let mut harness = window("Swept, keeping wheel", Page::Tip);
    let slope = |harness: &Harness<'_, App>| {
        let session = harness.state().session();
        let tool = session.bench().tool(session.current().unwrap().tool).unwrap();
        match &tool.blank {
            BlankSaved::Bar(bar) => match bar.flute {
                FluteSaved::Vee { slope, .. } => slope,
                _ => f64::NAN,
            },
            BlankSaved::Flat(_) => f64::NAN,
        }
    };
    let before = slope(&harness);
    harness.get_by_role_and_label(Role::Slider, "Wall slope").focus();
    harness.run();
    harness.key_press(Key::ArrowRight);
    harness.run();
    assert!(slope(&harness) > before);
    harness.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    harness.run();
    assert!((slope(&harness) - before).abs() < 1e-12);
}

#[test]
fn a_tool_without_a_shape_says_why_and_what_to_do() {
    let harness = window("Curved edge, both faces", Page::Tip);
    let reported = |part: &str| harness.query_all_by_label_contains(part).count() > 0;
    assert!(reported("oblique and curved") && reported("Take the radius off on the Tool page"));
}

#[test]
fn another_setting_is_chosen_to_compare_with_and_stands_beside_the_first() {
    let mut harness = window("Long grind, 85 mm", Page::Curves);
    assert!(harness.query_by_label("Wedge angle").is_some());
    harness.get_by_label("Compare with: nothing").click();
    harness.run();
    harness.get_by_label("Spindle gouge, 10 mm: Short grind, 60 mm").click();
    harness.run();
    let short = demo_bench().unwrap().setting_named("Short grind, 60 mm").unwrap().id;
    assert_eq!(harness.state().curves().against(), Some(short));
    assert!(harness.query_by_label("A  Spindle gouge, 10 mm: Long grind, 85 mm").is_some());
    assert!(harness.query_by_label("B  Spindle gouge, 10 mm: Short grind, 60 mm").is_some());
}

#[test]
fn a_point_read_on_the_curves_is_marked_on_the_tip() {
    let mut harness = window("Long grind, 85 mm", Page::Curves);
    assert_eq!(harness.state().tip().marked, None);
    let plot = harness.get_by_label("Wedge angle").rect();
    harness.hover_at(plot.center() + vec2(plot.width() * 0.2, 0.0));
    harness.run();
    let marked = harness.state().tip().marked.unwrap();
    // Right of the middle lies the right wing, which the edge begins with.
    assert!((20..95).contains(&marked), "{marked}");
    harness.get_by_role_and_label(Role::Tab, "Tip").click();
    harness.run();
    assert_eq!(harness.state().tip().marked, Some(marked), "and it stays marked there");
}

/// Pixels of the picture area that are strongly blue or yellow: only the map of wedge angles is.
fn coloured(renderer: &CpuRenderer, harness: &Harness<'_, App>) -> usize {
    let picture = renderer.picture(&harness.ctx, harness.output()).unwrap();
    let canvas = harness.get_by_role_and_label(Role::Canvas, "The tip, rounded nose").rect();
    // Above the legend, below the tabs.
    let area = Rect::from_min_max(canvas.min + vec2(4.0, 44.0), canvas.max - vec2(4.0, 70.0));
    picture
        .enumerate_pixels()
        .filter(|(x, y, p)| area.contains(pos2(*x as f32, *y as f32)) && p.0[0].abs_diff(p.0[2]) > 60)
        .count()
}

#[test]
fn the_window_shows_the_ground_face_in_the_colours_of_its_map() {
    let renderer = CpuRenderer::default();
    let mut harness = painted("Swept, keeping wheel", Page::Tip, false, renderer.clone());
    let with_map = coloured(&renderer, &harness);
    assert!(with_map > 8_000, "{with_map}");
    harness.get_by_label("Colour by wedge angle").click();
    harness.run();
    let plain = coloured(&renderer, &harness);
    assert!(plain < with_map / 50, "{plain} of {with_map}");
}

#[test]
fn ink_over_the_bevel_follows_the_current_setting() {
    let mut harness = window("Long grind, 85 mm", Page::Tip);
    assert!(harness.query_by_label("Nose: all over").is_none());
    harness.get_by_role_and_label(Role::CheckBox, "Ink on today’s wheel").click();
    harness.run();
    // Laid on the very setting that ground it, the whole face touches.
    for place in ["Left wing", "Nose", "Right wing"] {
        assert!(harness.query_by_label(&format!("{place}: all over")).is_some(), "{place}");
    }
    // Common practice: clamped turned, one wing rubs at its heel and the other at its edge.
    harness.get_by_role_and_label(Role::TextInput, "Turn in the holder").focus();
    harness.run();
    type_keys(&harness, "2");
    harness.run();
    harness.key_press(Key::Enter);
    harness.run();
    assert!(harness.query_by_label("Left wing: heel").is_some());
    assert!(harness.query_by_label("Right wing: edge").is_some());
    // Switched off, the tool is shown as today's setting leaves it again.
    harness.get_by_role_and_label(Role::CheckBox, "Ink on today’s wheel").click();
    harness.run();
    assert!(harness.query_by_label("Left wing: heel").is_none());
}
