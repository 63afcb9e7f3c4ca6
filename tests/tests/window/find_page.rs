//! The Find page driven by its labels: pins, answers, the curve of answers, what to do where there is none.

use bevelbench::{
    model::{
        keeper::Keeper,
        prefs::{Page, Prefs},
        session::Session,
    },
    shell::app::App,
};
use bevelbench_geometry::math::Quantity;
use bevelbench_notebook::saved::{Bench, BevelMeant, SupportSaved, WingSaved, library::demo_bench};
use bevelbench_tests::keyboard::type_keys;
use egui::{Key, Modifiers, accesskit::Role, vec2};
use egui_kittest::{
    Harness,
    kittest::{NodeT as _, Queryable as _},
};

const GOUGE: &str = "Long grind, 85 mm";

fn window_on(bench: Bench) -> Harness<'static, App> {
    window_of_height(bench, 800.0)
}

fn window_of_height(bench: Bench, height: f32) -> Harness<'static, App> {
    let prefs = Prefs { tour_seen: true, page: Page::Find, ..Prefs::default() };
    let mut harness = Harness::builder()
        .with_size(vec2(1280.0, height))
        .build_ui_state(|ui, app: &mut App| app.show(ui), App::new(Keeper::nowhere(bench), prefs));
    harness.run();
    harness
}

fn window() -> Harness<'static, App> {
    let mut bench = demo_bench().unwrap();
    bench.current = bench.setting_named(GOUGE).cloned();
    window_on(bench)
}

fn session<'a>(harness: &'a Harness<'_, App>) -> &'a Session {
    harness.state().session()
}

fn bevel(session: &Session) -> f64 {
    session.outcome().unwrap().result.as_ref().unwrap().bevel().degrees()
}

fn value(session: &Session, free: Quantity) -> f64 {
    session.outcome().unwrap().job.unwrap().setting.value_of(free).unwrap()
}

fn press(harness: &mut Harness<'_, App>, label: &str) {
    harness.get_by_label(label).click();
    harness.run();
}

fn press_all(harness: &mut Harness<'_, App>, labels: &[&str]) {
    for label in labels {
        press(harness, label);
    }
}

fn type_into(harness: &mut Harness<'_, App>, label: &str, text: &str) {
    harness.get_by_role_and_label(Role::TextInput, label).focus();
    harness.run();
    type_keys(harness, text);
    harness.run();
    harness.key_press(Key::Enter);
    harness.run();
}

fn undo(harness: &mut Harness<'_, App>) {
    harness.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    harness.run();
}

fn pin(harness: &mut Harness<'_, App>, name: &str) {
    harness.get_by_role_and_label(Role::CheckBox, &format!("Pin the {name}")).click();
    harness.run();
}

#[test]
fn pulled_pins_are_kept_with_the_setting_and_undone() {
    let mut harness = window();
    let projection = Quantity::Projection;
    assert!(!session(&harness).current().unwrap().is_free(projection));
    pin(&mut harness, "projection");
    assert!(session(&harness).current().unwrap().is_free(projection));
    assert!(session(&harness).is_moved(), "a pin belongs to the setting");
    undo(&mut harness);
    assert!(!session(&harness).current().unwrap().is_free(projection));
    // What finding never moves has a pin that cannot be pulled.
    pin(&mut harness, "turn in the holder");
    assert!(session(&harness).history().undoable().is_none());
}

#[test]
fn answer_is_tried_first_and_set_as_one_step() {
    let mut harness = window();
    let before = value(session(&harness), Quantity::Reach);
    type_into(&mut harness, "Bevel asked for", "45");
    assert!((value(session(&harness), Quantity::Reach) - before).abs() < 1e-12, "asking moves nothing");
    press(&mut harness, "Set it so");
    assert!((bevel(session(&harness)) - 45.0).abs() < 1e-9);
    let hand = session(&harness).current().unwrap();
    assert!((hand.target.unwrap().bevel_deg - 45.0).abs() < 1e-12);
    undo(&mut harness);
    assert!((value(session(&harness), Quantity::Reach) - before).abs() < 1e-12);
}

#[test]
fn bevel_and_wing_are_met_by_two_quantities_and_undone_as_one() {
    let mut harness = window();
    // Free the strut as well, then ask for a wing of ten millimetres.
    pin(&mut harness, "strut angle");
    press_all(&mut harness, &["Wing: as it comes", "swept back by"]);
    type_into(&mut harness, "Wing sweep asked for", "6 mm");
    type_into(&mut harness, "Bevel asked for", "42");
    let before = value(session(&harness), Quantity::StrutAngle);
    press(&mut harness, "Set it so");
    let hand = session(&harness).current().unwrap();
    let (job, view) = session(&harness).bench().answer(hand).unwrap();
    let shape = bevelbench_notebook::answer::swept::swept(&job, &view, hand.swing.as_ref(), 201).unwrap();
    assert!((view.bevel().degrees() - 42.0).abs() < 1e-9);
    assert!((shape.summary().wing_sweep_mm() - 6.0).abs() < 1e-6, "{}", shape.summary().wing_sweep_mm());
    assert!((value(session(&harness), Quantity::StrutAngle) - before).abs() > 0.5);
    undo(&mut harness);
    assert!((value(session(&harness), Quantity::StrutAngle) - before).abs() < 1e-12);
}

#[test]
fn dot_goes_along_the_curve_by_keys_and_is_set_as_one_step() {
    let mut harness = window();
    pin(&mut harness, "projection");
    type_into(&mut harness, "Bevel asked for", "45");
    let reach = value(session(&harness), Quantity::Reach);
    let dot =
        |harness: &Harness<'_, App>| harness.get_by_label("Along the curve of answers").value().unwrap();
    let first = dot(&harness);
    harness.get_by_label("Along the curve of answers").focus();
    harness.run();
    harness.key_press_modifiers(Modifiers::SHIFT, Key::ArrowRight);
    harness.run();
    let second = dot(&harness);
    assert_ne!(first, second);
    assert!((value(session(&harness), Quantity::Reach) - reach).abs() < 1e-12, "looking moves nothing");
    press(&mut harness, "Set it so");
    assert!((bevel(session(&harness)) - 45.0).abs() < 1e-9);
    let projection = value(session(&harness), Quantity::Projection);
    let from: f64 = first.split("projection ").nth(1).unwrap().trim_end_matches(" mm").parse().unwrap();
    assert!((projection - from - 10.0).abs() < 0.1, "ten steps from {from}: {projection}");
    undo(&mut harness);
    assert!((value(session(&harness), Quantity::Projection) - 85.0).abs() < 1e-12);
    assert!((value(session(&harness), Quantity::Reach) - reach).abs() < 1e-12);
}

#[test]
fn dot_goes_along_the_curve_by_the_pointer_and_escape_puts_it_back() {
    let mut harness = window();
    pin(&mut harness, "projection");
    let dot =
        |harness: &Harness<'_, App>| harness.get_by_label("Along the curve of answers").value().unwrap();
    let first = dot(&harness);
    let from = harness.get_by_label("Along the curve of answers").rect().center();
    harness.drag_at(from);
    harness.run();
    harness.hover_at(from + vec2(30.0, -20.0));
    harness.run();
    assert_ne!(dot(&harness), first);
    harness.key_press(Key::Escape);
    harness.run();
    harness.drop_at(from + vec2(30.0, -20.0));
    harness.run();
    assert_eq!(dot(&harness), first);
    harness.drag_at(from);
    harness.run();
    harness.hover_at(from + vec2(30.0, -20.0));
    harness.run();
    harness.drop_at(from + vec2(30.0, -20.0));
    harness.run();
    assert_ne!(dot(&harness), first);
}

/// The demo with an arm that ends `short_mm` before the reach of the current setting.
fn short_arm(short_mm: f64) -> Bench {
    let mut bench = demo_bench().unwrap();
    let entry = bench.setting_named(GOUGE).unwrap().clone();
    let SupportSaved::Holder { reach_mm, .. } = entry.support else { panic!() };
    for wheel in bench.rigs.iter_mut().flat_map(|rig| &mut rig.wheels).filter(|w| w.id == entry.wheel) {
        wheel.arm.as_mut().unwrap().reach_most_mm = reach_mm - short_mm;
    }
    let mut hand = entry;
    hand.put(Quantity::Reach, reach_mm - short_mm - 20.0);
    bench.current = Some(hand);
    bench
}

#[test]
fn a_short_arm_is_reported_and_its_remedy_applied() {
    let mut harness = window_on(short_arm(6.0));
    type_into(&mut harness, "Bevel asked for", "40");
    assert!(harness.query_by_label("Set it so").is_none());
    let reported: Vec<String> = harness
        .query_all_by_label_contains("The arm is ")
        .map(|node| node.accesskit_node().value().unwrap_or_default())
        .collect();
    assert!(
        reported.iter().any(|words| words.contains(" short: ") && words.contains("is the limit")),
        "{reported:?}"
    );
    // The remedy: a shorter projection with the arm at its end.
    let label = harness
        .query_all_by_label_contains("Set the projection to ")
        .find_map(|node| node.accesskit_node().label())
        .unwrap();
    press(&mut harness, &label);
    assert!((bevel(session(&harness)) - 40.0).abs() < 1e-9);
    assert!(value(session(&harness), Quantity::Projection) < 84.9);
    undo(&mut harness);
    assert!((value(session(&harness), Quantity::Projection) - 85.0).abs() < 1e-12);
    // Or another pin is pulled: now there is a curve of answers.
    press(&mut harness, "Free the projection");
    assert!(harness.query_by_label("Along the curve of answers").is_some());
}

#[test]
fn too_much_freedom_is_corrected_by_pins() {
    let mut harness = window();
    pin(&mut harness, "projection");
    pin(&mut harness, "strut angle");
    assert!(harness.query_all_by_label_contains("3 things are free").next().is_some());
    let buttons: Vec<_> = harness.query_all_by_role_and_label(Role::Button, "Pin the projection").collect();
    buttons[0].click();
    harness.run();
    assert!(harness.query_by_label("Along the curve of answers").is_some());
}

#[test]
fn same_grind_as_another_setting_is_offered() {
    let mut harness = window();
    press_all(&mut harness, &["Wing: as it comes", "the same grind as"]);
    let target = session(&harness).current().unwrap().target.unwrap();
    assert!(matches!(target.wing, Some(WingSaved::SameAs { .. })), "{target:?}");
    // Nobody said what is free: for a wing the strut is too.
    assert!(session(&harness).current().unwrap().is_free(Quantity::StrutAngle));
}

#[test]
fn several_answers_can_be_looked_at_in_turn() {
    let mut harness = window();
    pin(&mut harness, "strut angle");
    press(&mut harness, "Only at notches and stop blocks");
    let count = harness.query_all_by_label_contains("Answer ").count();
    assert!(count > 2, "{count}");
    let second = harness
        .query_all_by_label_contains("Answer 2: ")
        .find_map(|node| node.accesskit_node().label())
        .unwrap();
    press(&mut harness, &second);
    press(&mut harness, "Set it so");
    let rests: Vec<f64> = session(&harness)
        .bench()
        .rigs
        .iter()
        .flat_map(|rig| &rig.holders)
        .flat_map(|holder| holder.rests_deg.clone())
        .collect();
    let angle = value(session(&harness), Quantity::StrutAngle);
    assert!(rests.iter().any(|rest| (rest - angle).abs() < 1e-9) && (angle - 45.0).abs() > 1.0, "{angle}");
    assert!((bevel(session(&harness)) - 40.0).abs() < 1e-9);
}

#[test]
fn included_angle_is_asked_for_where_both_faces_are_ground() {
    let skew = "Student: skew on the table";
    let mut bench = demo_bench().unwrap();
    bench.current = bench.setting_named(skew).cloned();
    let mut harness = window_on(bench);
    harness.get_by_role_and_label(Role::ComboBox, "Bevel meant: at the edge").click();
    harness.run();
    harness.get_by_role_and_label(Role::Button, "included").click();
    harness.run();
    // Turned into the angle between both faces, from the 20° along the tool of an edge at 68° to its side and the
    // other face's 18°: atan(tan 20° / sin 68°) + 18° (Machinery's Handbook, true and apparent angle).
    let both = 18.0 + (20.0_f64.to_radians().tan() / 68.0_f64.to_radians().sin()).atan().to_degrees();
    let target = session(&harness).current().unwrap().target.unwrap();
    assert_eq!(target.meant, BevelMeant::Included);
    assert!((target.bevel_deg - both).abs() < 1e-5, "{target:?}, not {both}");
    type_into(&mut harness, "Bevel asked for", "40");
    press(&mut harness, "Set it so");
    let outcome = session(&harness).outcome().unwrap();
    let (job, view) = (outcome.job.as_ref().unwrap(), outcome.result.as_ref().unwrap());
    let ground = BevelMeant::Included.ground(job, view).unwrap().degrees();
    assert!((ground - 40.0).abs() < 1e-9, "{ground}");
    assert!((session(&harness).current().unwrap().target.unwrap().bevel_deg - 40.0).abs() < 1e-12);
    // A gouge has no such choice.
    let mut harness = window();
    harness.get_by_role_and_label(Role::ComboBox, "Bevel meant: at the edge").click();
    harness.run();
    assert!(harness.query_by_role_and_label(Role::Button, "across the facet").is_some());
    assert!(harness.query_by_role_and_label(Role::Button, "included").is_none());
}

#[test]
fn quick_row_sends_more_than_one_free_quantity_to_the_page() {
    let mut harness = window();
    pin(&mut harness, "projection");
    harness.key_press_modifiers(Modifiers::COMMAND, Key::Num1);
    harness.run();
    type_into(&mut harness, "Bevel wanted", "45");
    assert_eq!(harness.state().prefs().page, Page::Find);
    assert!(harness.query_by_label("Along the curve of answers").is_some());
}

#[test]
fn better_rule_makes_the_bevel_surer_and_undo_takes_it_back() {
    // High enough for everything at the right to be in sight.
    let mut harness = window_of_height(demo_bench().unwrap(), 1900.0);
    let sure = |harness: &Harness<'_, App>| {
        let hand = session(harness).current().unwrap();
        let bench = session(harness).bench();
        let (job, view) = bench.answer(hand).unwrap();
        let uncertainties = bevelbench_notebook::answer::readings::uncertainties(bench, hand);
        bevelbench_notebook::answer::readings::uncertainty(&uncertainties, &job, &view).expanded().degrees()
    };
    let before = sure(&harness);
    press(&mut harness, "How each is read…");
    type_into(&mut harness, "± of the arm reach", "0.1");
    assert!(sure(&harness) < before);
    let kept = session(&harness).current().unwrap().readings.clone();
    assert_eq!(kept.len(), 1);
    // The wheel's is kept with the wheel.
    press_all(&mut harness, &["Wheel diameter is read with: long rule", "calipers"]);
    let wheels = session(&harness).bench().rigs.iter().flat_map(|rig| &rig.wheels);
    assert_eq!(wheels.filter(|wheel| !wheel.readings.is_empty()).count(), 1);
    let better = sure(&harness);
    undo(&mut harness);
    assert!(sure(&harness) > better);
    undo(&mut harness);
    assert!((sure(&harness) - before).abs() < 1e-12);
    type_into(&mut harness, "± of the arm reach", "-1");
    assert!(harness.query_all_by_label_contains("not below nought").next().is_some());
}

#[test]
fn one_reach_serves_the_ticked_and_makes_new_settings_as_one_step() {
    let mut harness = window();
    press(&mut harness, "One reach");
    let before = session(&harness).bench().clone();
    // One of them stays out.
    press(&mut harness, "Fine point, 85 mm · Detail gouge, 10 mm");
    type_into(&mut harness, "Tolerance of the bevel", "1");
    assert!(harness.query_all_by_label_contains("Arm reach ").next().is_some());
    press(&mut harness, "Make new settings");
    let bench = session(&harness).bench();
    let new: Vec<_> =
        bench.settings.iter().filter(|entry| entry.name.ends_with(", one reach")).cloned().collect();
    assert!(new.len() > 2 && new.iter().all(|entry| !entry.name.starts_with("Fine point")));
    let reach = |entry: &bevelbench_notebook::saved::SettingEntry| match entry.support {
        SupportSaved::Holder { reach_mm, .. } => reach_mm,
        _ => panic!(),
    };
    for entry in &new {
        assert!((reach(entry) - reach(&new[0])).abs() < 1e-9);
        let of = before.settings.iter().find(|old| entry.name.starts_with(&old.name)).unwrap();
        let bevel = |bench: &Bench, entry| bench.answer(entry).unwrap().1.bevel().degrees();
        let wanted = of.target.map_or_else(|| bevel(&before, of), |target| target.bevel_deg);
        let got = bench.answer(entry).unwrap().1;
        let off = [got.facet.at_edge, got.facet.across].map(|angle| (angle.degrees() - wanted).abs());
        assert!(off[0].min(off[1]) < 1.0 + 1e-6, "{}: {off:?}", entry.name);
    }
    undo(&mut harness);
    assert_eq!(session(&harness).bench().settings, before.settings);
    // The settings themselves, the current one with them.
    press(&mut harness, "Set these so");
    let hand = session(&harness).current().unwrap();
    assert_eq!(session(&harness).bench().setting(hand.id), Some(hand));
    assert!((reach(hand) - reach(&new[0])).abs() < 1e-9);
    undo(&mut harness);
    assert_eq!(session(&harness).bench().settings, before.settings);
}

#[test]
fn tolerance_that_is_none_is_reported_and_who_is_left_out_is_named() {
    let mut harness = window();
    press(&mut harness, "One reach");
    type_into(&mut harness, "Tolerance of the bevel", "90");
    assert!(harness.query_all_by_label_contains("between 0° and 45°").next().is_some());
    // At stop blocks and rests alone, to a tenth of a degree, hardly anybody is served.
    press(&mut harness, "Only at notches and stop blocks");
    type_into(&mut harness, "Tolerance of the bevel", "0.1");
    assert!(harness.query_all_by_label_contains("On its nearest stop block, ").next().is_some());
}
