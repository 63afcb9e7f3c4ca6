//! The window's parts, driven as a person or a screen reader would, by their labels.

#![allow(clippy::unwrap_used, clippy::float_cmp, reason = "tests may fail loudly and compare exact steps")]

use bevelbench::{
    model::appearance::{Mode, Tone, TypeScale},
    toolkit::{
        canvas::{
            Canvas, Extras,
            handle::{HandleEvent, handle},
        },
        theme::Theme,
        view::View,
        widgets::{
            Pin, ReadOut, Setting, SettingOutcome, Tick, read_out, search_field, setting_row, status_line,
            tab_bar,
        },
    },
};
use bevelbench_notebook::drawing::{Drawing, Geometry, Part, Role};
use bevelbench_tests::{cpu_renderer::CpuRenderer, keyboard::type_keys};
use egui::{Id, Key, Modifiers, Pos2, Rect, accesskit::Role as Spoken, pos2, vec2};
use egui_kittest::{Harness, kittest::Queryable as _};

/// A settings panel with one row, and all that happened to it.
struct Panel {
    value: f64,
    pinned: bool,
    happened: Vec<SettingOutcome>,
}

impl Panel {
    fn count(&self, what: impl Fn(&SettingOutcome) -> bool) -> usize {
        self.happened.iter().filter(|o| what(o)).count()
    }
}

fn panel() -> Harness<'static, Panel> {
    let state = Panel { value: 100.0, pinned: false, happened: Vec::new() };
    Harness::builder()
        .with_size(vec2(300.0, 120.0))
        .with_context_setup(|ctx| Theme::default().apply(ctx))
        .build_ui_state(
            |ui, panel: &mut Panel| {
                let ticks = [Tick { value: 120.0, name: "stop" }];
                let setting = Setting {
                    show: &|v| format!("{v:.1} mm"),
                    read: &|text| {
                        let number = text.trim().trim_end_matches("mm").trim();
                        number.parse().map_err(|_| format!("“{number}” is not a length"))
                    },
                    ticks: &ticks,
                    pin: Some(if panel.pinned { Pin::Pinned } else { Pin::Free }),
                    ..Setting::new("Arm reach", panel.value, 0.0..=200.0)
                };
                let outcome = setting_row(ui, &setting, &Theme::default());
                if let Some(value) = outcome.gesture.changed {
                    panel.value = value;
                }
                if let Some(pin) = outcome.pin {
                    panel.pinned = pin;
                }
                panel.happened.push(outcome);
            },
            state,
        )
}

fn slider_rect(harness: &Harness<'_, Panel>) -> Rect {
    harness.get_by_role_and_label(Spoken::Slider, "Arm reach").rect()
}

/// Moves the pointer to a place along the slider, 0 to 1.
fn along(rect: Rect, fraction: f32) -> Pos2 {
    pos2(rect.left() + rect.width() * fraction, rect.center().y)
}

#[test]
fn one_drag_is_one_gesture() {
    let mut harness = panel();
    harness.run();
    let rect = slider_rect(&harness);
    harness.drag_at(along(rect, 0.5));
    harness.run();
    for fraction in [0.55, 0.65, 0.8] {
        harness.hover_at(along(rect, fraction));
        harness.run();
    }
    harness.drop_at(along(rect, 0.8));
    harness.run();
    let panel = harness.state();
    assert!((panel.value - 160.0).abs() < 5.0, "{}", panel.value);
    assert_eq!(panel.count(|o| o.gesture.begun), 1);
    assert_eq!(panel.count(|o| o.gesture.ended), 1);
    assert!(panel.count(|o| o.gesture.changed.is_some()) >= 3);
}

#[test]
fn escape_gives_a_drag_up_and_puts_the_value_back() {
    let mut harness = panel();
    harness.run();
    let rect = slider_rect(&harness);
    harness.drag_at(along(rect, 0.5));
    harness.run();
    harness.hover_at(along(rect, 0.9));
    harness.run();
    assert!(harness.state().value > 150.0);
    harness.key_press(Key::Escape);
    harness.run();
    assert_eq!(harness.state().value, 100.0);
    // The button is still down: moving on must not drag again.
    harness.hover_at(along(rect, 0.2));
    harness.run();
    harness.drop_at(along(rect, 0.2));
    harness.run();
    let panel = harness.state();
    assert_eq!(panel.value, 100.0);
    assert_eq!(panel.count(|o| o.gesture.cancelled), 1);
    assert_eq!(panel.count(|o| o.gesture.ended), 0);
}

#[test]
fn arrow_keys_step_the_slider_coarse_with_shift_and_fine_with_control() {
    let mut harness = panel();
    harness.run();
    harness.get_by_role_and_label(Spoken::Slider, "Arm reach").focus();
    harness.run();
    harness.key_press(Key::ArrowRight);
    harness.run();
    assert_eq!(harness.state().value, 101.0);
    harness.key_press_modifiers(Modifiers::SHIFT, Key::ArrowLeft);
    harness.run();
    assert_eq!(harness.state().value, 91.0);
    harness.key_press_modifiers(Modifiers::CTRL, Key::ArrowRight);
    harness.run();
    assert_eq!(harness.state().value, 91.1);
    assert_eq!(harness.state().count(|o| o.gesture.begun && o.gesture.ended), 3, "a step is a whole gesture");
}

#[test]
fn what_is_typed_is_read_on_enter() {
    let mut harness = panel();
    harness.run();
    let field = harness.get_by_role_and_label(Spoken::TextInput, "Arm reach");
    field.focus();
    harness.run();
    // The whole text is selected, so typing replaces it.
    type_keys(&harness, "123.4 mm");
    harness.run();
    assert_eq!(harness.state().value, 100.0, "not before Enter");
    harness.key_press(Key::Enter);
    harness.run();
    assert_eq!(harness.state().value, 123.4);
    assert_eq!(harness.state().count(|o| o.gesture.begun && o.gesture.ended), 1);
}

#[test]
fn non_finite_input_is_refused_and_changes_nothing() {
    let mut harness = panel();
    harness.run();
    harness.get_by_role_and_label(Spoken::TextInput, "Arm reach").focus();
    harness.run();
    type_keys(&harness, "a bit");
    harness.run();
    harness.key_press(Key::Enter);
    harness.run();
    assert_eq!(harness.state().value, 100.0);
    assert_eq!(harness.state().count(|o| o.gesture.begun), 0);
    assert!(
        harness.query_by_label("“a bit” is not a length").is_some(),
        "the reason stands there and is spoken"
    );
    // A good value takes the reason away.
    harness.get_by_role_and_label(Spoken::Slider, "Arm reach").focus();
    harness.run();
    harness.key_press(Key::ArrowRight);
    harness.run();
    assert!(harness.query_by_label("“a bit” is not a length").is_none());
}

#[test]
fn leaving_a_field_untouched_does_not_round_its_value() {
    let mut harness = panel();
    harness.state_mut().value = 100.0312;
    harness.run();
    harness.get_by_role_and_label(Spoken::TextInput, "Arm reach").focus();
    harness.run();
    harness.key_press(Key::Enter);
    harness.run();
    assert_eq!(harness.state().value, 100.0312);
}

#[test]
fn up_and_down_step_the_number_field() {
    let mut harness = panel();
    harness.run();
    harness.get_by_role_and_label(Spoken::TextInput, "Arm reach").focus();
    harness.run();
    harness.key_press(Key::ArrowUp);
    harness.run();
    harness.key_press(Key::ArrowUp);
    harness.run();
    assert_eq!(harness.state().value, 102.0);
    let shown = harness.get_by_role_and_label(Spoken::TextInput, "Arm reach").value();
    assert_eq!(shown.as_deref(), Some("102.0 mm"), "the field follows");
}

#[test]
fn the_pin_is_a_labelled_switch() {
    let mut harness = panel();
    harness.run();
    harness.get_by_role_and_label(Spoken::CheckBox, "Pin the arm reach").click();
    harness.run();
    assert!(harness.state().pinned);
    harness.get_by_role_and_label(Spoken::CheckBox, "Pin the arm reach").click();
    harness.run();
    assert!(!harness.state().pinned);
}

/// A handle that stays where it is dragged, and all that happened to it.
fn with_handle() -> Harness<'static, (Pos2, Vec<HandleEvent>)> {
    Harness::builder()
        .with_size(vec2(400.0, 300.0))
        .with_context_setup(|ctx| Theme::default().apply(ctx))
        .build_ui_state(
            |ui, (at, events): &mut (Pos2, Vec<HandleEvent>)| {
                let event =
                    handle(ui, Id::unique("cup"), *at, "Pivot along the arm", "120.3 mm", &Theme::default());
                if let HandleEvent::Dragged { to } | HandleEvent::Ended { to } = event {
                    *at = to;
                }
                if !matches!(event, HandleEvent::None | HandleEvent::Hovered) {
                    events.push(event);
                }
            },
            (pos2(100.0, 100.0), Vec::new()),
        )
}

#[test]
fn a_handle_keeps_its_distance_from_the_pointer() {
    let mut harness = with_handle();
    harness.run();
    // Gripped 5 points beside its middle.
    harness.drag_at(pos2(105.0, 100.0));
    harness.run();
    harness.hover_at(pos2(205.0, 150.0));
    harness.run();
    harness.drop_at(pos2(205.0, 150.0));
    harness.run();
    let (at, events) = harness.state();
    assert_eq!(*at, pos2(200.0, 150.0));
    assert_eq!(events.first(), Some(&HandleEvent::Begun));
    assert!(matches!(events.last(), Some(HandleEvent::Ended { .. })));
}

#[test]
fn escape_cancels_the_drag_of_a_handle_once() {
    let mut harness = with_handle();
    harness.run();
    harness.drag_at(pos2(100.0, 100.0));
    harness.run();
    harness.hover_at(pos2(180.0, 100.0));
    harness.run();
    harness.key_press(Key::Escape);
    harness.run();
    harness.hover_at(pos2(250.0, 100.0));
    harness.run();
    harness.drop_at(pos2(250.0, 100.0));
    harness.run();
    let (_, events) = harness.state();
    assert_eq!(events.last(), Some(&HandleEvent::Cancelled));
    assert_eq!(events.iter().filter(|e| **e == HandleEvent::Cancelled).count(), 1);
}

#[test]
fn a_focused_handle_moves_by_arrow_keys_and_speaks_its_value() {
    let mut harness = with_handle();
    harness.run();
    let node = harness.get_by_label("Pivot along the arm");
    assert_eq!(node.value().as_deref(), Some("120.3 mm"));
    node.focus();
    harness.run();
    harness.key_press(Key::ArrowRight);
    harness.run();
    harness.key_press(Key::ArrowDown);
    harness.run();
    let (_, events) = harness.state();
    let steps: Vec<(i32, i32)> = events
        .iter()
        .filter_map(
            |e| if let HandleEvent::Nudged { right, up, .. } = e { Some((*right, *up)) } else { None },
        )
        .collect();
    assert_eq!(steps, [(1, 0), (0, -1)]);
}

#[test]
fn tabs_status_and_search_are_found_by_their_labels() {
    let mut harness = Harness::builder()
        .with_size(vec2(500.0, 200.0))
        .with_context_setup(|ctx| Theme::default().apply(ctx))
        .build_ui_state(
            |ui, (tab, search): &mut (usize, String)| {
                let theme = Theme::default();
                if let Some(pressed) = tab_bar(ui, &["Side", "Tip", "Curves"], *tab, &theme) {
                    *tab = pressed;
                }
                search_field(ui, search, "Search tools", &theme);
                status_line(ui, "Saved", Tone::Good, &theme);
                let what = ReadOut {
                    caption: "Facet",
                    number: "6.2",
                    unit: "mm",
                    tooltip: "",
                    tone: Tone::Strong,
                    leading: true,
                };
                read_out(ui, what, 100.0, &theme);
            },
            (0, String::new()),
        );
    harness.run();
    harness.get_by_role_and_label(Spoken::Tab, "Curves").click();
    harness.run();
    assert_eq!(harness.state().0, 2);
    harness.get_by_label("Search tools").focus();
    harness.run();
    type_keys(&harness, "skew");
    harness.run();
    assert_eq!(harness.state().1, "skew");
    harness.get_by_label("Clear the search").click();
    harness.run();
    assert_eq!(harness.state().1, "");
    assert!(harness.query_by_label("Saved").is_some());
    harness.get_by_label("Facet: 6.2 mm").click();
    harness.step();
    let copied = harness
        .output()
        .platform_output
        .commands
        .iter()
        .any(|command| matches!(command, egui::OutputCommand::CopyText(text) if text == "Facet: 6.2 mm"));
    assert!(copied);
}

/// The picture of a wheel in a small window.
fn wheel_picture(mode: Mode) -> image::RgbaImage {
    let renderer = CpuRenderer::default();
    let mut harness = Harness::builder()
        .with_size(vec2(320.0, 240.0))
        .renderer(renderer.clone())
        .with_context_setup(move |ctx| Theme::new(mode, TypeScale::Ordinary).apply(ctx))
        .build_ui(move |ui| {
            let theme = Theme::new(mode, TypeScale::Ordinary);
            let mut drawing = Drawing::new();
            drawing.add(Role::Wheel, Part::Rim, Geometry::Circle { centre: [0.0, 0.0], radius: 75.0 });
            let view = View::new(ui.ctx().content_rect(), [0.0, 0.0], 1.0);
            Canvas::new().paint(ui.painter(), &drawing, 0, &view, &theme, Extras::default());
        });
    harness.run();
    renderer.picture(&harness.ctx, harness.output()).unwrap()
}

#[test]
fn a_wheel_is_drawn_where_the_view_puts_it() {
    let theme = Theme::default();
    let picture = wheel_picture(Mode::Light);
    assert_eq!((picture.width(), picture.height()), (320, 240));
    let near = |x: u32, y: u32, colour: egui::Color32, within: i32| {
        let pixel = picture.get_pixel(x, y).0;
        (0..3).all(|i| (i32::from(pixel[i]) - i32::from(colour.to_array()[i])).abs() <= within)
    };
    let ink = theme.ink(Role::Wheel, bevelbench_notebook::drawing::Standing::Solid);
    assert!(
        near(160, 195, ink.stroke, 60) || near(160, 194, ink.stroke, 60),
        "the rim, 75 points below the middle"
    );
    assert!(near(175, 215, theme.surface(bevelbench::toolkit::theme::Surface::Canvas), 12), "paper outside");
    assert!(!near(175, 140, theme.surface(bevelbench::toolkit::theme::Surface::Canvas), 4), "stone inside");
}

#[test]
fn pictures_are_the_same_on_every_run_and_differ_by_theme() {
    assert!(wheel_picture(Mode::Light).as_raw() == wheel_picture(Mode::Light).as_raw());
    assert!(wheel_picture(Mode::Light).as_raw() != wheel_picture(Mode::Dark).as_raw());
}
