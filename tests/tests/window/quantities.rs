//! The table of quantities held against the window: every quantity that a setting has stands there under its label.

use std::collections::BTreeSet;

use bevelbench::{model::keeper::Keeper, model::prefs::Prefs, shell::app::App};
use bevelbench_geometry::math::Quantity;
use bevelbench_notebook::saved::{
    Bench,
    library::demo_bench,
    table::{self, OnBench, TABLE},
};
use egui::{Key, accesskit::Role, vec2};
use egui_kittest::{Harness, kittest::Queryable as _};

#[test]
fn every_quantity_of_a_setting_is_a_slider_of_its_label_that_a_key_moves_by_its_step() {
    let demo = demo_bench().unwrap();
    let mut seen = BTreeSet::new();
    for entry in &demo.settings {
        let new: Vec<Quantity> =
            table::turned(&demo, entry).into_iter().filter(|quantity| seen.insert(*quantity)).collect();
        if new.is_empty() {
            continue;
        }
        let bench = Bench { current: Some(entry.clone()), ..demo.clone() };
        let prefs = Prefs { tour_seen: true, ..Prefs::default() };
        let mut harness = Harness::builder()
            .with_size(vec2(1280.0, 1000.0))
            .build_ui_state(|ui, app: &mut App| app.show(ui), App::new(Keeper::nowhere(bench), prefs));
        harness.run();
        for quantity in new {
            let value = |harness: &Harness<'_, App>| quantity.get(harness.state().session().bench()).unwrap();
            let before = value(&harness);
            let (least, most) = quantity.range(harness.state().session().bench()).unwrap();
            // Away from the nearer end.
            let up = before - least < most - before;
            harness.get_by_role_and_label(Role::Slider, quantity.label()).focus();
            harness.run();
            harness.key_press(if up { Key::ArrowRight } else { Key::ArrowLeft });
            harness.run();
            let moved = (value(&harness) - before).abs();
            assert!((moved - quantity.step()).abs() < 1e-9, "{quantity}: {moved}");
        }
    }
    assert_eq!(seen.len(), TABLE.iter().filter(|row| row.turned.is_some()).count());
}
