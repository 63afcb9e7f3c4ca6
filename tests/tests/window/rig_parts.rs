//! The rig page's guided measuring and its fit to trial grinds, driven by their labels.

use bevelbench::{
    model::session::Session,
    pages::edit::{EditState, rig_page},
    toolkit::theme::Theme,
};
use bevelbench_notebook::quantity::Units;
use bevelbench_notebook::saved::{ArmSaved, Bench, SupportSaved, TrialSaved, library::demo_bench};
use bevelbench_tests::keyboard::type_keys;
use egui::{Key, accesskit::Role, vec2};
use egui_kittest::{
    Harness,
    kittest::{NodeT as _, Queryable as _},
};

type Window = Harness<'static, (Session, EditState)>;

fn window(bench: Bench) -> Window {
    let mut harness = Harness::builder()
        .with_size(vec2(1280.0, 1400.0))
        .with_context_setup(|ctx| Theme::default().apply(ctx))
        .build_ui_state(
            |ui, (session, state): &mut (Session, EditState)| {
                session.compute();
                rig_page(ui, session, state, Units::default(), &Theme::default());
            },
            (Session::new(bench), EditState::default()),
        );
    harness.run();
    harness
}

fn press(harness: &mut Window, role: Role, label: &str) {
    harness.get_by_role_and_label(role, label).click();
    harness.run();
    harness.run();
}

fn type_into(harness: &mut Window, label: &str, text: &str) {
    harness.get_by_role_and_label(Role::TextInput, label).focus();
    harness.run();
    type_keys(harness, text);
    harness.run();
    harness.key_press(Key::Enter);
    harness.run();
    harness.run();
}

fn current(name: &str) -> Bench {
    let mut bench = demo_bench().unwrap();
    bench.current = bench.setting_named(name).cloned();
    bench
}

fn arm(bench: &Bench) -> ArmSaved {
    let hand = bench.current.as_ref().unwrap();
    bench.rig(hand.rig).unwrap().wheel(hand.wheel).unwrap().arm.clone().unwrap()
}

fn bench(harness: &Window) -> &Bench {
    harness.state().0.bench()
}

#[test]
fn every_dimension_of_a_wheel_is_asked_for_in_turn_and_two_lengths_check_them() {
    let mut harness = window(current("Long grind, 85 mm"));
    press(&mut harness, Role::Tab, "Measure");
    // Three diameters and a width, five dimensions of the arm, seven of the table, two checks.
    for (turn, field) in [(0, "Diameter now"), (4, "Zero in front"), (9, "Hinge in front")] {
        let label = format!("{} of 18", turn + 1);
        while harness.query_by_label(&label).is_none()
            && !harness.get_by_role_and_label(Role::Button, "Next").accesskit_node().is_disabled()
            && harness.query_by_role_and_label(Role::TextInput, field).is_none()
        {
            press(&mut harness, Role::Button, "Next");
        }
        assert!(harness.query_by_role_and_label(Role::TextInput, field).is_some(), "{field}");
        assert!(harness.query_by_label_contains("Usually ").is_some());
    }
    for _ in 9..16 {
        press(&mut harness, Role::Button, "Next");
    }
    assert!(harness.query_by_label_contains("Check: rim to cup").is_some());
    // The gauge length of the current setting is what a stick measures there.
    let (_, view) = bench(&harness).answer(bench(&harness).current.as_ref().unwrap()).unwrap();
    let gauge = view.gauge_length_mm().unwrap();
    type_into(&mut harness, "Measured length", &format!("{gauge:.1} mm"));
    assert!(harness.query_by_label_contains("They belong together.").is_some());
    type_into(&mut harness, "Measured length", &format!("{:.1} mm", gauge + 9.0));
    assert!(harness.query_by_label_contains("9.0 mm more than").is_some());
    assert!(harness.query_by_label_contains("arm zero in front of the spindle +").is_some());
    press(&mut harness, Role::Button, "Next");
    assert!(harness.query_by_label_contains("Check: rim to table").is_some());
}

#[test]
fn a_dimension_out_of_the_ordinary_is_doubted_but_kept_and_undone() {
    let mut harness = window(current("Long grind, 85 mm"));
    press(&mut harness, Role::Tab, "Measure");
    for _ in 0..5 {
        press(&mut harness, Role::Button, "Next");
    }
    let before = arm(bench(&harness)).zero_z_mm;
    type_into(&mut harness, "Zero above spindle", "-320 mm");
    assert!(harness.query_by_label_contains("Out of the ordinary").is_some());
    assert!((arm(bench(&harness)).zero_z_mm + 320.0).abs() < 1e-9);
    harness.state_mut().0.undo().unwrap();
    harness.run();
    assert!((arm(bench(&harness)).zero_z_mm - before).abs() < 1e-9);
}

/// A trial of the current setting at a reach, as a rig grinds it whose arm stands `off` from where the bench says.
fn trial(bench: &Bench, off: [f64; 2], reach: f64) -> TrialSaved {
    let mut truth = bench.clone();
    let mut setting = bench.current.clone().unwrap();
    let wheel = truth.rigs.iter_mut().flat_map(|rig| &mut rig.wheels).find(|w| w.id == setting.wheel);
    let arm = wheel.unwrap().arm.as_mut().unwrap();
    arm.zero_x_mm += off[0];
    arm.zero_z_mm += off[1];
    let SupportSaved::Holder { reach_mm, .. } = &mut setting.support else { panic!("a holder") };
    *reach_mm = reach;
    let across = truth.answer(&setting).unwrap().1.facet.across.degrees();
    TrialSaved { bevel_deg: Some((across * 10.0).round() / 10.0), ..TrialSaved::of(setting) }
}

#[test]
fn trials_are_added_measured_fitted_put_into_the_rig_and_taken_back_by_one_undo() {
    let mut start = current("Long grind, 85 mm");
    start.trials = [160.0, 172.0, 195.0, 210.0].map(|reach| trial(&start, [4.0, -3.0], reach)).to_vec();
    let before = arm(&start);
    let mut harness = window(start);
    press(&mut harness, Role::Tab, "Fit");
    press(&mut harness, Role::Button, "Add the setting in hand");
    assert_eq!(bench(&harness).trials.len(), 5);
    assert_eq!(bench(&harness).trials[4].bevel_deg, None);
    let last = trial(bench(&harness), [4.0, -3.0], 181.8).bevel_deg.unwrap();
    type_into(&mut harness, "Bevel measured, trial 5", &format!("{last}"));
    assert_eq!(bench(&harness).trials[4].bevel_deg, Some(last));
    assert!(harness.query_by_label_contains("Left over: trial 1").is_some());
    press(&mut harness, Role::Button, "Put into the rig");
    let after = arm(bench(&harness));
    // Bevels read to a tenth of a degree know the arm to about a millimetre.
    assert!((after.zero_x_mm - before.zero_x_mm - 4.0).abs() < 1.0, "{after:?}");
    assert!((after.zero_z_mm - before.zero_z_mm + 3.0).abs() < 1.5, "{after:?}");
    let undone = harness.state_mut().0.undo().unwrap();
    harness.run();
    assert_eq!(undone, "Fit the rig to 5 trials");
    assert_eq!(arm(bench(&harness)), before);
}

#[test]
fn too_few_trials_and_trials_that_cannot_tell_say_so_and_nothing_can_be_put_in() {
    let mut start = current("Long grind, 85 mm");
    start.trials = vec![trial(&start, [0.0, 0.0], 181.8)];
    let mut harness = window(start.clone());
    press(&mut harness, Role::Tab, "Fit");
    assert!(harness.query_by_label_contains("1 trial cannot settle 2 dimensions").is_some());
    assert!(harness.query_by_role_and_label(Role::Button, "Put into the rig").is_none());
    start.trials = vec![trial(&start, [0.0, 0.0], 181.8), trial(&start, [0.0, 0.0], 181.9)];
    let mut harness = window(start);
    press(&mut harness, Role::Tab, "Fit");
    assert!(harness.query_by_label_contains("cannot tell apart").is_some());
    press(&mut harness, Role::Button, "Take out trial 2");
    assert_eq!(bench(&harness).trials.len(), 1);
}
