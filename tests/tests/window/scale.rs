//! Scale bars and drags in millimetres: what a bar says, what the pointer moves and what the bench then has are held
//! against each other.

use bevelbench::{
    model::{keeper::Keeper, prefs::Prefs},
    shell::{
        app::App,
        orders::{Order, entry},
    },
};
use bevelbench_geometry::math::Quantity;
use bevelbench_notebook::saved::library::demo_bench;
use egui::{Shape, Vec2, epaint::ClippedShape, vec2};
use egui_kittest::{Harness, kittest::Queryable as _};

type Window = Harness<'static, App>;

fn window() -> Window {
    let prefs = Prefs { tour_seen: true, ..Prefs::default() };
    let mut harness = Harness::builder().with_size(vec2(1280.0, 800.0)).build_ui_state(
        |ui, app: &mut App| app.show(ui),
        App::new(Keeper::nowhere(demo_bench().unwrap()), prefs),
    );
    harness.run();
    harness
}

fn each(shape: &Shape, found: &mut dyn FnMut(&Shape)) {
    match shape {
        Shape::Vec(all) => all.iter().for_each(|one| each(one, found)),
        one => found(one),
    }
}

/// Scale bars of a picture: a text in millimetres with a level line centred under it; points for a millimetre.
fn bars(shapes: &[ClippedShape]) -> Vec<f64> {
    let (mut texts, mut lines) = (Vec::new(), Vec::new());
    for clipped in shapes {
        each(&clipped.shape, &mut |shape| match shape {
            Shape::Text(text) => {
                if let Some(mm) = text.galley.text().strip_suffix(" mm").and_then(|n| n.parse::<f64>().ok()) {
                    texts.push((mm, text.visual_bounding_rect()));
                }
            }
            Shape::LineSegment { points: [a, b], .. } if (a.y - b.y).abs() < 1e-3 => lines.push((*a, *b)),
            _ => {}
        });
    }
    let under = |(mm, words): &(f64, egui::Rect)| {
        lines.iter().find_map(|(a, b)| {
            let middle = f32::midpoint(a.x, b.x) - words.center().x;
            let below = a.y - words.bottom();
            (middle.abs() < 2.0 && (0.0..14.0).contains(&below)).then(|| f64::from((b.x - a.x).abs()) / mm)
        })
    };
    texts.iter().filter_map(under).collect()
}

fn reach(harness: &Window) -> f64 {
    let outcome = harness.state().session().outcome().unwrap();
    outcome.job.unwrap().setting.value_of(Quantity::Reach).unwrap()
}

fn drag(harness: &mut Window, label: &str, by: Vec2) {
    let from = harness.get_by_label(label).rect().center();
    harness.drag_at(from);
    harness.run();
    for part in [0.4, 0.8, 1.0] {
        harness.hover_at(from + part * by);
        harness.run();
    }
    harness.drop_at(from + by);
    harness.run();
}

#[test]
fn the_scale_bar_measures_what_a_drag_moves_at_every_zoom() {
    let mut harness = window();
    for zoom in [None, Some(Order::ZoomIn), Some(Order::ZoomOut), Some(Order::ZoomOut)] {
        if let Some(key) = zoom.and_then(|order| entry(order)?.key) {
            harness.key_press_modifiers(key.modifiers, key.logical_key);
            harness.run();
        }
        let bars = bars(&harness.output().shapes);
        let [points_per_mm] = bars[..] else { panic!("{bars:?} are not one bar") };
        let (before, place) = (reach(&harness), harness.get_by_label("Pivot along the arm").rect().center());
        drag(&mut harness, "Pivot along the arm", vec2(-40.0, 0.0));
        // The arm of the demo is level: the handle goes with the pointer, and the reach by as much.
        let went = f64::from(harness.get_by_label("Pivot along the arm").rect().center().x - place.x);
        assert!((went + 40.0).abs() < 1.0, "{went} points of -40");
        let moved = reach(&harness) - before;
        // A bar begins and ends on whole points.
        assert!(
            (moved * points_per_mm + 40.0).abs() < 1.2,
            "{moved} mm at {points_per_mm} points a millimetre"
        );
        drag(&mut harness, "Pivot along the arm", vec2(40.0, 0.0));
        assert!((reach(&harness) - before).abs() < 0.05, "{} {before}", reach(&harness));
    }
}
