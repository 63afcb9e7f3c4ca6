//! What a slider tick costs with the page of the tip open: edge, scene, picture. Run with
//! `cargo bench -p bevelbench --bench tip`. Bound for all of it together: 8 ms.
#![allow(clippy::unwrap_used, reason = "a bench may stop at a surprise")]

use bevelbench::{
    model::{
        keeper::Keeper,
        prefs::{Page, Prefs},
    },
    pages::tip::{
        EDGE_POINTS, Preset,
        camera::Camera,
        motion::Pose,
        portrait::{Look, Map, Portrait, map_range},
        scene::Scene,
    },
    shell::app::App,
    toolkit::theme::Theme,
};
use bevelbench_geometry::side::{Job, SideView};
use bevelbench_notebook::{
    answer::swept::{Swept, swept},
    saved::{SettingEntry, library::demo_bench},
};
use divan::{Bencher, black_box};
use egui::{Event, Modifiers, PointerButton, Pos2, RawInput, Rect, pos2, vec2};

fn main() {
    divan::main();
}

const SETTINGS: [&str; 3] = ["Long grind, 85 mm", "Swept, keeping wheel", "Both faces"];

fn setting(name: &str) -> (Job, SideView, SettingEntry) {
    let bench = demo_bench().unwrap();
    let entry = bench.setting_named(name).unwrap().clone();
    let (job, view) = bench.answer(&entry).unwrap();
    (job, view, entry)
}

fn shape(name: &str) -> Swept {
    let (job, view, entry) = setting(name);
    swept(&job, &view, entry.swing.as_ref(), EDGE_POINTS).unwrap()
}

/// The picture of a window of 1280 × 800 points.
fn look(scene: &Scene, fine: bool) -> Look {
    let size = vec2(534.0, 530.0);
    let (least, most) = map_range(scene.wedges.0, scene.wedges.1);
    Look {
        scene: 1,
        camera: Camera::fit(Preset::ThreeQuarter, scene.corners.iter().map(|c| c.place), size, 46.0),
        pose: Pose::STILL,
        size,
        pixels_per_point: 1.0,
        map: Some(Map::Wedge(least, most)),
        solid: Theme::default().solid,
        wheel: false,
        fine,
    }
}

#[divan::bench(args = SETTINGS)]
fn edge_and_summary(bencher: Bencher, name: &str) {
    let (job, view, entry) = setting(name);
    bencher.bench_local(|| swept(black_box(&job), &view, entry.swing.as_ref(), EDGE_POINTS));
}

#[divan::bench(args = SETTINGS)]
fn mesh_and_scene(bencher: Bencher, name: &str) {
    let shape = shape(name);
    let mut scene = Scene::default();
    let length = shape.length_to_show_mm();
    bencher.bench_local(|| scene.fill(black_box(&shape), length));
}

#[divan::bench(args = SETTINGS)]
fn picture_while_moving(bencher: Bencher, name: &str) {
    picture(bencher, name, false);
}

#[divan::bench(args = SETTINGS)]
fn picture_at_rest(bencher: Bencher, name: &str) {
    picture(bencher, name, true);
}

fn picture(bencher: Bencher, name: &str, fine: bool) {
    let shape = shape(name);
    let mut scene = Scene::default();
    scene.fill(&shape, shape.length_to_show_mm());
    let look = look(&scene, fine);
    let mut portrait = Portrait::default();
    bencher.bench_local(|| {
        portrait.draw(black_box(&scene), None, &look);
        portrait.raster().picture()
    });
}

/// All of it, as in a frame in which a slider moved.
#[divan::bench(args = SETTINGS)]
fn slider_tick(bencher: Bencher, name: &str) {
    let (job, view, entry) = setting(name);
    let mut scene = Scene::default();
    let shape = shape(name);
    scene.fill(&shape, shape.length_to_show_mm());
    let look = look(&scene, false);
    let mut portrait = Portrait::default();
    bencher.bench_local(|| {
        let shape = swept(black_box(&job), &view, entry.swing.as_ref(), EDGE_POINTS).unwrap();
        scene.fill(&shape, shape.length_to_show_mm());
        portrait.draw(&scene, None, &look);
        portrait.raster().picture()
    });
}

/// A page and what of the pair is compared on it.
const PAGES: [(&str, Page); 6] = [
    ("side", Page::Side),
    ("tip", Page::Tip),
    ("curves", Page::Curves),
    ("pair", Page::Pair),
    ("pair, tips", Page::Pair),
    ("pair, edge curves", Page::Pair),
];

/// A whole frame of the window, from the pointer's movement to triangles, while a slider is dragged with the page open.
#[divan::bench(args = PAGES.map(|(name, _)| name))]
fn window_frame(bencher: Bencher, name: &str) {
    let mut bench = demo_bench().unwrap();
    bench.current = Some(bench.setting_named("Swept, keeping wheel").unwrap().clone());
    bench.beside = Some(bench.setting_named("Swept, shaping wheel").unwrap().clone());
    let page = PAGES.iter().find(|(each, _)| *each == name).unwrap().1;
    let prefs = Prefs { tour_seen: true, page, ..Prefs::default() };
    let mut app = App::new(Keeper::nowhere(bench), prefs);
    let ctx = egui::Context::default();
    let screen = Rect::from_min_size(Pos2::ZERO, vec2(1280.0, 800.0));
    let mut frame = |events: Vec<Event>| {
        let input = RawInput { screen_rect: Some(screen), events, ..RawInput::default() };
        let mut output = ctx.run_ui(input, |ui| app.show(ui));
        output.textures_delta.set.clear();
        let triangles = ctx.tessellate(output.shapes, output.pixels_per_point);
        (triangles.len(), app.session().revision())
    };
    for _ in 0..3 {
        frame(Vec::new());
    }
    // Where the tabs over the pair stand.
    let tab = match name {
        "pair, tips" => Some(pos2(370.0, 65.0)),
        "pair, edge curves" => Some(pos2(460.0, 65.0)),
        _ => None,
    };
    // The knob of the projection.
    let at = |step: f32| pos2(1100.0 + step, 269.0);
    let press = |pressed: bool, pos: Pos2| Event::PointerButton {
        pos,
        button: PointerButton::Primary,
        pressed,
        modifiers: Modifiers::NONE,
    };
    if let Some(tab) = tab {
        let (before, _) = frame(Vec::new());
        frame(vec![Event::PointerMoved(tab)]);
        frame(vec![press(true, tab)]);
        frame(vec![press(false, tab)]);
        let (after, _) = frame(Vec::new());
        assert!(before != after, "the tab was not where it was looked for");
    }
    frame(vec![Event::PointerMoved(at(0.0))]);
    let (_, before) = frame(vec![press(true, at(0.0))]);
    let mut step = 0.0_f32;
    bencher.bench_local(|| {
        step = (step + 1.0) % 40.0;
        frame(vec![Event::PointerMoved(at(step))])
    });
    let (_, after) = frame(vec![press(false, at(0.0))]);
    assert!(after > before + 10, "the slider was not where it was looked for");
}
