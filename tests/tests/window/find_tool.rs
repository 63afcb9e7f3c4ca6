//! Match and Ink on the Find page, driven by their labels.

use bevelbench::{
    model::{
        keeper::Keeper,
        prefs::{Page, Prefs},
        session::Session,
    },
    shell::app::App,
};
use bevelbench_geometry::{
    math::{Angle, Quantity},
    parts::{Hollow, PresentFacet, Profile},
};
use bevelbench_notebook::saved::library::demo_bench;
use bevelbench_tests::keyboard::type_keys;
use egui::{Key, Modifiers, accesskit::Role, vec2};
use egui_kittest::{Harness, kittest::Queryable as _};

fn window(part: &str) -> Harness<'static, App> {
    let prefs = Prefs { tour_seen: true, page: Page::Find, ..Prefs::default() };
    let keeper = Keeper::nowhere(demo_bench().unwrap());
    let mut harness = Harness::builder()
        .with_size(vec2(1600.0, 1400.0))
        .build_ui_state(|ui, app: &mut App| app.show(ui), App::new(keeper, prefs));
    harness.run();
    harness.get_by_role_and_label(Role::Tab, part).click();
    harness.run();
    harness
}

fn type_into(harness: &mut Harness<'_, App>, label: &str, text: &str) {
    harness.get_by_role_and_label(Role::TextInput, label).focus();
    harness.run();
    type_keys(harness, text);
    harness.run();
    harness.key_press(Key::Enter);
    harness.run();
}

fn choose(harness: &mut Harness<'_, App>, list: &str, item: &str) {
    harness.get_by_role_and_label(Role::ComboBox, list).click();
    harness.run();
    harness.get_by_role_and_label(Role::Button, item).click();
    harness.run();
}

fn press(harness: &mut Harness<'_, App>, label: &str) {
    harness.get_by_role_and_label(Role::Button, label).click();
    harness.run();
}

fn says(harness: &Harness<'_, App>, words: &str) -> bool {
    harness.query_all_by_label_contains(words).next().is_some()
}

fn bevel(session: &Session) -> f64 {
    session.outcome().unwrap().result.as_ref().unwrap().bevel().degrees()
}

fn reach(session: &Session) -> f64 {
    session.outcome().unwrap().job.unwrap().setting.value_of(Quantity::Reach).unwrap()
}

fn undo(harness: &mut Harness<'_, App>) {
    harness.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    harness.run();
}

#[test]
fn a_measured_facet_becomes_the_target_and_the_tools_facet() {
    let mut harness = window("Match");
    assert!(says(&harness, "The width of the facet is missing."));
    type_into(&mut harness, "Facet, edge to heel", "6 mm");
    assert!(says(&harness, "Nothing measured so far tells the bevel."));
    type_into(&mut harness, "Protractor", "50");
    // Derived here: half the arc of 6 mm on a wheel of 100 mm radius is asin(0.03) = 1.72°.
    assert!(says(&harness, "48.3° ±"));
    press(&mut harness, "Make it the target");
    let target = harness.state().session().current().unwrap().target.unwrap();
    assert!((target.bevel_deg - (50.0 - 0.03_f64.asin().to_degrees())).abs() < 1e-9, "{target:?}");
    undo(&mut harness);
    assert!((harness.state().session().current().unwrap().target.unwrap().bevel_deg - 40.0).abs() < 1e-9);
    press(&mut harness, "Take it as the facet");
    let session = harness.state().session();
    let tool = session.bench().tool(session.current().unwrap().tool).unwrap();
    let facet = tool.present_facet.unwrap();
    assert!((facet.bevel_deg - (50.0 - 0.03_f64.asin().to_degrees())).abs() < 1e-9, "{facet:?}");
    assert_eq!((facet.width_mm, facet.hollow_radius_mm), (6.0, Some(100.0)));
    undo(&mut harness);
    assert!(harness.state().session().history().undoable().is_none(), "one step each");
}

#[test]
fn contradicting_measures_are_reported_and_the_hollow_finds_its_wheel() {
    let mut harness = window("Match");
    type_into(&mut harness, "Facet, edge to heel", "12 mm");
    type_into(&mut harness, "Steel under the edge", "8 mm");
    type_into(&mut harness, "Protractor", "60");
    assert!(says(&harness, "They contradict each other"));
    // 12 mm on a wheel of 200 mm is 0.18 mm hollow: R − √(R² − 6²), by hand.
    type_into(&mut harness, "Hollow depth", "0.18 mm");
    type_into(&mut harness, "± of the hollow", "0.005 mm");
    assert!(says(&harness, "Ground on a wheel of 200"));
    assert!(says(&harness, "On this bench that fits"));
    // What cannot be is refused in words.
    type_into(&mut harness, "Steel under the edge", "20 mm");
    assert!(says(&harness, "By the steel under the edge"));
}

#[test]
fn a_sample_of_this_bench_gives_its_bevel() {
    let mut harness = window("Match");
    let bench = demo_bench().unwrap();
    let entry = bench.setting_named("Inside bowl").unwrap();
    let tool = bench.tool(entry.tool).unwrap();
    choose(&mut harness, "Sample", &format!("{}: Inside bowl", tool.name));
    let (_, view) = bench.answer(entry).unwrap();
    press(&mut harness, "Same bevel as the sample");
    let target = harness.state().session().current().unwrap().target.unwrap();
    assert!((target.bevel_deg - view.bevel().degrees()).abs() < 1e-9);
}

#[test]
fn a_measured_wing_moves_the_roll_centre_to_it() {
    let mut harness = window("Match");
    type_into(&mut harness, "Wing setback", "6 mm");
    press(&mut harness, "Roll about that centre");
    let session = harness.state().session();
    let outcome = session.outcome().unwrap();
    let (job, view) = (outcome.job.unwrap(), outcome.result.as_ref().unwrap());
    let swing = session.current().unwrap().swing;
    let shape = bevelbench_notebook::answer::swept::swept(&job, view, swing.as_ref(), 201).unwrap();
    assert!((shape.summary().wing_sweep_mm() - 6.0).abs() < 1e-6);
}

#[test]
fn ink_at_the_heel_moves_the_pivot_out_until_the_facet_matches() {
    let mut harness = window("Ink");
    let before = (reach(harness.state().session()), bevel(harness.state().session()));
    type_into(&mut harness, "About so wide", "0.3 mm");
    assert!(says(&harness, "keener than the facet"));
    assert!(says(&harness, "Move the pivot out by"));
    press(&mut harness, "Move it so");
    let session = harness.state().session();
    assert!(reach(session) > before.0 && bevel(session) > before.1);
    // Derived here: the facet that the new setting grinds, laid on the old one, is inked so wide at its heel.
    let old = demo_bench().unwrap();
    let (job, view) = old.answer(old.setting_named("Long grind, 85 mm").unwrap()).unwrap();
    let radius_mm = job.setting.face.radius_mm().unwrap();
    let width = job.tool.present().unwrap().width_mm();
    let facet =
        PresentFacet::new(Hollow::Arc { radius_mm }, Angle::from_degrees(bevel(session)), width).unwrap();
    let ink = job.setting.ink(&Profile::from(facet), 0.005).unwrap();
    assert!((ink.inked_mm() - 0.3).abs() < 1e-4, "{} {:?}", ink.inked_mm(), view.bevel());
    undo(&mut harness);
    assert!((reach(harness.state().session()) - before.0).abs() < 1e-12);
}

#[test]
fn ink_may_be_answered_by_the_projection_and_says_when_it_cannot_tell() {
    let mut harness = window("Ink");
    type_into(&mut harness, "About so wide", "0.3 mm");
    choose(&mut harness, "Move the", "Projection");
    assert!(says(&harness, "back into its holder") || says(&harness, "further out of its holder"));
    // Ink at one end tells whatever the film; only a facet inked all over may be too narrow to.
    type_into(&mut harness, "Film of ink", "0.2 mm");
    choose(&mut harness, "Rubbed off", "all over");
    assert!(says(&harness, "The ink cannot tell"));
    assert!(harness.query_by_role_and_label(Role::Button, "Move it so").is_none());
}

#[test]
fn ink_along_one_wing_says_how_far_the_gouge_is_turned() {
    let mut harness = window("Ink");
    choose(&mut harness, "Rubbed off", "along one wing");
    type_into(&mut harness, "About so wide", "0.5 mm");
    assert!(says(&harness, "The gouge sits turned in its holder by about"));
    assert!(says(&harness, "its left wing is too high"));
    choose(&mut harness, "There", "at its edge");
    assert!(says(&harness, "its right wing is too high"));
}

#[test]
fn several_facets_are_entered_and_settle_together() {
    let mut harness = window("Ink");
    press(&mut harness, "Add one behind it");
    type_into(&mut harness, "Facet 1: width", "2 mm");
    type_into(&mut harness, "Facet 2: bevel", "30");
    type_into(&mut harness, "Facet 2: width", "5 mm");
    let session = harness.state().session();
    let tool = session.bench().tool(session.current().unwrap().tool).unwrap();
    assert_eq!(tool.further_facets.len(), 1);
    let ink = session.outcome().unwrap().ink.unwrap().unwrap();
    assert_eq!(ink.profile().facets().count(), 2);
    assert!((ink.profile().width_mm() - 7.0).abs() < 1e-9);
    press(&mut harness, "Remove the last");
    press(&mut harness, "Take the facet from it");
    let session = harness.state().session();
    let tool = session.bench().tool(session.current().unwrap().tool).unwrap();
    assert!(tool.further_facets.is_empty());
    assert!((tool.present_facet.unwrap().bevel_deg - 40.0).abs() < 0.2);
}

#[test]
fn wings_that_differ_tell_how_far_the_gouge_was_turned() {
    let mut harness = window("Faults");
    type_into(&mut harness, "Wings differ by", "0.3 mm");
    // Derived here: turned by what is said, the current setting leaves wings that differ by what was measured.
    let bench = demo_bench().unwrap();
    let entry = bench.setting_named("Long grind, 85 mm").unwrap();
    let (job, view) = bench.answer(entry).unwrap();
    let differ = |turn_deg: f64| {
        let swing = bevelbench_notebook::saved::SwingSaved { turn_deg, ..entry.swing.unwrap() };
        let shape = bevelbench_notebook::answer::swept::swept(&job, &view, Some(&swing), 201).unwrap();
        shape.summary().wing_difference_mm()
    };
    let turn = (-300..300).map(|i| f64::from(i) / 20.0).find(|turn| differ(*turn) <= 0.3).unwrap();
    let words = format!("turned in its holder by {:.1}°", turn.abs());
    assert!(says(&harness, &words), "{words}");
    choose(&mut harness, "Longer wing", "the right, seen from the handle");
    assert!(says(&harness, "turned in its holder by"));
}

#[test]
fn every_fault_has_its_size_its_remedy_and_what_is_not_modelled() {
    let mut harness = window("Faults");
    for (fault, size, remedy, not_modelled) in [
        (
            "One wing is longer",
            "sat turned in its holder by",
            "Turn it back",
            "Not modelled: rolling further",
        ),
        (
            "The nose is pointed",
            "Rolled about a centre",
            "Roll the gouge about its own bar",
            "Not modelled: less time",
        ),
        ("The nose is flat", "Held at the nose until", "Grind both wings", "Not modelled: a flat"),
        ("A dip or a peak along a wing", "Held still", "Keep rolling", "Not modelled: a ridge"),
        (
            "There are two facets",
            "The projection had slipped by",
            "Put back what had moved",
            "Assumed: the setting in hand",
        ),
        (
            "Only the edge is touched",
            "The tool stands",
            "Put back what had moved",
            "Assumed: the setting in hand",
        ),
        (
            "The steel has turned blue",
            "High-speed steel keeps its hardness",
            "Grind with less pressure",
            "Not modelled: heat",
        ),
    ] {
        harness.get_by_role_and_label(Role::ListItem, fault).click();
        harness.run();
        for words in [size, remedy, not_modelled] {
            assert!(says(&harness, words), "{fault}: {words}");
        }
    }
    harness.get_by_role_and_label(Role::ListItem, "A dip or a peak along a wing").click();
    harness.run();
    choose(&mut harness, "There is", "a peak: steel stands out");
    assert!(says(&harness, "Rolled past"));
    type_into(&mut harness, "Off the fair edge by", "50 mm");
    assert!(says(&harness, "does not explain that"));
}

#[test]
fn faults_of_gouges_are_not_offered_for_a_skew() {
    let mut harness = window("Faults");
    harness.get_by_role_and_label(Role::ListItem, "Both faces, 40° incl.").click();
    harness.run();
    assert!(says(&harness, "This is a fault of gouges"));
    // Two facets and touched edges apply to every tool.
    harness.get_by_role_and_label(Role::ListItem, "Only the edge is touched").click();
    harness.run();
    assert!(says(&harness, "blunter on the wheel"));
}
