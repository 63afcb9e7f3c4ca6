//! What a slider tick costs with the page of the tip open: edge, scene, picture. Run with
//! `cargo bench -p bevelbench --bench tip`. Bound for all of it together: 8 ms.
#![allow(clippy::unwrap_used, reason = "a bench may stop at a surprise")]

use bevelbench::{
    theme::Theme,
    tip::{
        EDGE_POINTS, Preset,
        camera::Camera,
        motion::Pose,
        portrait::{Look, Portrait, map_range},
        scene::Scene,
    },
};
use bevelbench_geometry::{Job, SideView};
use bevelbench_notebook::{
    library::demo_bench,
    saved::SettingEntry,
    swept::{Swept, swept},
};
use divan::{Bencher, black_box};
use egui::vec2;

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
    Look {
        scene: 1,
        camera: Camera::fit(Preset::ThreeQuarter, scene.corners.iter().map(|c| c.place), size, 46.0),
        pose: Pose::STILL,
        size,
        pixels_per_point: 1.0,
        map: Some(map_range(scene.wedges.0, scene.wedges.1)),
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
