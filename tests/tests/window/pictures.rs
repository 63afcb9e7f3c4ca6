//! Pictures of what the window shows: saved as SVG and PNG, copied, each with title, figures, units and cautions.

use std::{fs, path::Path};

use bevelbench::{
    model::{
        keeper::Keeper,
        prefs::{Page, Prefs},
    },
    shell::app::App,
};
use bevelbench_notebook::saved::{Bench, library::demo_bench};
use bevelbench_tests::keyboard::paste;
use egui::{
    Event, Key, Modifiers, OutputCommand, Pos2, RawInput, Rect,
    accesskit::{Role, Toggled},
    vec2,
};
use egui_kittest::{
    Harness,
    kittest::{NodeT as _, Queryable as _},
};

fn pair_bench() -> Bench {
    let mut bench = demo_bench().unwrap();
    bench.current = bench.setting_named("Long grind, 85 mm").cloned();
    bench.beside = bench.setting_named("Short grind, 60 mm").cloned();
    bench
}

fn window(page: Page) -> Harness<'static, App> {
    let prefs = Prefs { tour_seen: true, page, ..Prefs::default() };
    let app = App::new(Keeper::nowhere(pair_bench()), prefs);
    let mut harness = Harness::builder()
        .with_size(vec2(1280.0, 800.0))
        .build_ui_state(|ui, app: &mut App| app.show(ui), app);
    harness.run();
    harness
}

fn press_tab(harness: &mut Harness<'_, App>, name: &str) {
    harness.get_by_role_and_label(Role::Tab, name).click();
    harness.run();
}

/// Saves what is shown by the order and its dialog, and reads it back.
fn saved(harness: &mut Harness<'_, App>, path: &Path) -> Vec<u8> {
    harness.key_press_modifiers(Modifiers::COMMAND, Key::E);
    harness.run();
    harness.get_by_role_and_label(Role::TextInput, "File").focus();
    harness.run();
    harness.key_press_modifiers(Modifiers::COMMAND, Key::A);
    harness.run();
    paste(harness, path.display().to_string());
    harness.run();
    harness.key_press(Key::Enter);
    harness.run();
    fs::read(path).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
}

fn saved_svg(harness: &mut Harness<'_, App>, path: &Path) -> String {
    String::from_utf8(saved(harness, path)).unwrap()
}

/// Title, a figure with its unit, and the line of cautions.
fn assert_whole(svg: &str, title: &str, figure: &str) {
    assert!(svg.starts_with("<svg "), "{title}");
    assert!(svg.contains(&format!("<title>{title}</title>")), "{title}: {}", &svg[..600.min(svg.len())]);
    assert!(svg.contains(figure), "{title}: {figure}");
    // In full where a setting's own cautions stand, else in one line.
    assert!(svg.contains("Cover eyes and lungs") || svg.contains("Eyes and lungs: "), "{title}");
}

const BOTH: &str = "A: Spindle gouge, 10 mm: Long grind, 85 mm; B: Spindle gouge, 10 mm: Short grind, 60 mm";

#[test]
fn every_view_of_the_pair_is_saved_as_it_is_shown() {
    let folder = tempfile::tempdir().unwrap();
    let mut harness = window(Page::Pair);
    let bevels = "Bevel at the edge: A 40.0°, B 50.0°, B − A +10.0°";
    let mut lengths = Vec::new();
    for (tab, over) in
        [("Side views", false), ("Side views", true), ("Tips", true), ("Tips", false), ("Edge curves", false)]
    {
        press_tab(&mut harness, tab);
        if let Some(switch) = harness.query_by_role_and_label(Role::CheckBox, "Laid over") {
            let is_over = switch.accesskit_node().toggled() == Some(Toggled::True);
            if is_over != over {
                switch.click();
                harness.run();
            }
        }
        let svg = saved_svg(&mut harness, &folder.path().join("pair.svg"));
        assert_whole(&svg, BOTH, bevels);
        assert!(svg.contains("B is 10° blunter at the nose."), "{tab}: the differences in words");
        assert_eq!(svg.contains("<image "), tab == "Tips", "{tab}: shaded faces are pixels");
        assert_eq!(svg.contains("A prediction:"), tab != "Side views", "{tab}: what swept shapes rest on");
        assert_eq!(svg.contains("Largest gap 1.06 mm"), tab == "Tips", "{tab}");
        lengths.push(svg.len());
    }
    lengths.sort_unstable();
    lengths.dedup();
    assert_eq!(lengths.len(), 5, "five different pictures");
}

#[test]
fn the_strip_of_what_if_is_saved_with_its_bevels() {
    let folder = tempfile::tempdir().unwrap();
    let mut harness = window(Page::Pair);
    press_tab(&mut harness, "What if");
    let svg = saved_svg(&mut harness, &folder.path().join("what.svg"));
    assert_whole(
        &svg,
        "Spindle gouge, 10 mm: Long grind, 85 mm: what if the projection changes",
        "85.0 mm: 40.0°",
    );
    assert!(svg.contains("75.0 mm: "), "the other values as well");
}

#[test]
fn big_type_is_saved_with_the_chosen_figures() {
    let folder = tempfile::tempdir().unwrap();
    let mut harness = window(Page::Side);
    harness.key_press(Key::B);
    harness.run();
    let svg = saved_svg(&mut harness, &folder.path().join("big.svg"));
    assert_whole(&svg, "Spindle gouge, 10 mm: Long grind, 85 mm", "Bevel at the edge 40.0°");
    assert!(!svg.contains("Hollow "), "only what is chosen");
    assert!(harness.query_by_label("Side view in big type").is_some(), "and it is still shown");
    // Esc closes a dialog over it first, then the page.
    harness.key_press_modifiers(Modifiers::COMMAND, Key::E);
    harness.run();
    harness.key_press(Key::Escape);
    harness.run();
    assert!(harness.query_by_role_and_label(Role::TextInput, "File").is_none());
    assert!(harness.query_by_label("Side view in big type").is_some());
    harness.key_press(Key::Escape);
    harness.run();
    assert!(harness.query_by_label("Side view in big type").is_none());
}

#[test]
fn a_step_of_a_lesson_is_saved_with_its_caption_built_or_shown() {
    let folder = tempfile::tempdir().unwrap();
    let bench = demo_bench().unwrap();
    let lesson = &bench.lessons[0];
    let first_words: String = lesson.steps[1].caption.chars().take(24).collect();
    let title = |step: usize| format!("{}, step {step} of {}", lesson.title, lesson.steps.len());
    let mut harness = window(Page::Lesson);
    let svg = saved_svg(&mut harness, &folder.path().join("step.svg"));
    assert_whole(&svg, &title(1), "Bevel at the edge");
    harness.get_by_role_and_label(Role::Button, "Show").click();
    harness.run();
    harness.key_press(Key::PageDown);
    harness.run();
    let svg = saved_svg(&mut harness, &folder.path().join("shown.svg"));
    assert_whole(&svg, &title(2), &first_words);
}

#[test]
fn the_tip_is_saved_as_it_is_turned_and_square_on_with_its_dimensions() {
    let folder = tempfile::tempdir().unwrap();
    let mut harness = window(Page::Tip);
    let svg = saved_svg(&mut harness, &folder.path().join("tip.svg"));
    assert_whole(&svg, "Spindle gouge, 10 mm: Long grind, 85 mm, the tip", "Wing sweep ");
    assert!(svg.contains("<image ") && svg.contains("Wedge angle at the edge"));
    harness.get_all_by_role_and_label(Role::Tab, "Plan").next().unwrap().click();
    harness.run();
    let svg = saved_svg(&mut harness, &folder.path().join("plan.svg"));
    assert_whole(&svg, "Spindle gouge, 10 mm: Long grind, 85 mm, the tip from above", "wing sweep ");
    assert!(!svg.contains("<image "));
}

#[test]
fn curves_and_the_bench_are_saved_with_their_cautions() {
    let folder = tempfile::tempdir().unwrap();
    for (page, title) in [
        (Page::Curves, "Spindle gouge, 10 mm: Long grind, 85 mm, along the edge"),
        (Page::Side, "Spindle gouge, 10 mm: Long grind, 85 mm"),
    ] {
        let mut harness = window(page);
        let svg = saved_svg(&mut harness, &folder.path().join("one.svg"));
        assert_whole(&svg, title, "°");
    }
}

#[test]
fn a_png_is_a_picture_of_the_same_sheet() {
    let folder = tempfile::tempdir().unwrap();
    let mut harness = window(Page::Pair);
    press_tab(&mut harness, "Tips");
    let png = saved(&mut harness, &folder.path().join("tips.png"));
    let picture = image::load_from_memory(&png).unwrap().to_rgba8();
    assert!(picture.width() > 1200 && picture.height() > 600);
    // The map of gaps is there in colour: the pictures under the lines were drawn too.
    let orange = picture.pixels().filter(|p| p.0[0] > p.0[2].saturating_add(60)).count();
    assert!(orange > 20_000, "{orange}");
}

#[test]
fn a_copied_picture_goes_to_other_programs_as_pixels() {
    let prefs = Prefs { tour_seen: true, page: Page::Pair, ..Prefs::default() };
    let mut app = App::new(Keeper::nowhere(pair_bench()), prefs);
    let ctx = egui::Context::default();
    // What a frame with some events hands over.
    let mut frame = |events: Vec<Event>| {
        let screen_rect = Some(Rect::from_min_size(Pos2::ZERO, vec2(1280.0, 800.0)));
        let input = RawInput { screen_rect, events, ..RawInput::default() };
        let mut output = ctx.run_ui(input, |ui| app.show(ui));
        output.textures_delta.clear();
        output.platform_output.commands.into_iter().find_map(|command| match command {
            OutputCommand::CopyImage(image) => Some(image.size),
            _ => None,
        })
    };
    for _ in 0..3 {
        assert_eq!(frame(Vec::new()), None);
    }
    let key = Event::Key {
        key: Key::C,
        physical_key: None,
        pressed: true,
        repeat: false,
        modifiers: Modifiers::NONE,
    };
    let [width, height] = frame(vec![key]).unwrap();
    assert!(width > 1000 && height > 500, "{width} {height}");
}
