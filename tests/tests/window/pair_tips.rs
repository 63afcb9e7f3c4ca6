//! The pair as tips and as curves: one camera for both, the gap between the ground faces told and coloured.

use bevelbench::{
    model::{
        keeper::Keeper,
        prefs::{Page, Prefs},
    },
    shell::app::App,
};
use bevelbench_geometry::swept::TipMesh;
use bevelbench_notebook::{
    answer::{
        swept::{Swept, swept},
        tip_gap::TipGap,
    },
    saved::{Bench, SettingEntry, library::demo_bench},
};
use bevelbench_tests::cpu_renderer::CpuRenderer;
use egui::{Key, Rect, accesskit::Role, pos2, vec2};
use egui_kittest::{Harness, kittest::Queryable as _};

fn named(bench: &Bench, name: &str) -> SettingEntry {
    bench.setting_named(name).unwrap().clone()
}

fn pair_of(one: &str, other: &str, renderer: CpuRenderer) -> Harness<'static, App> {
    let mut bench = demo_bench().unwrap();
    bench.current = Some(named(&bench, one));
    bench.beside = Some(named(&bench, other));
    let prefs = Prefs { tour_seen: true, page: Page::Pair, ..Prefs::default() };
    let app = App::new(Keeper::nowhere(bench), prefs);
    let mut harness = Harness::builder()
        .with_size(vec2(1280.0, 800.0))
        .renderer(renderer)
        .build_ui_state(|ui, app: &mut App| app.show(ui), app);
    harness.run();
    harness
}

fn tab(harness: &mut Harness<'_, App>, name: &str) {
    harness.get_by_role_and_label(Role::Tab, name).click();
    harness.run();
}

fn tips() -> Harness<'static, App> {
    let mut harness = pair_of("Long grind, 85 mm", "Short grind, 60 mm", CpuRenderer::default());
    tab(&mut harness, "Tips");
    harness
}

fn shape(name: &str) -> Swept {
    let bench = demo_bench().unwrap();
    let entry = named(&bench, name);
    let (job, view) = bench.answer(&entry).unwrap();
    swept(&job, &view, entry.swing.as_ref(), 201).unwrap()
}

#[test]
fn both_tips_turn_under_one_camera() {
    let mut harness = tips();
    let areas =
        ["The tip of A", "The tip of B"].map(|name| harness.get_by_role_and_label(Role::Canvas, name).rect());
    assert!((areas[0].width() - areas[1].width()).abs() < 1.5);
    for area in areas {
        let before = harness.state().pair().pictures_drawn();
        harness.drag_at(area.center());
        harness.run();
        harness.hover_at(area.center() + vec2(40.0, 10.0));
        harness.run();
        harness.drop_at(area.center() + vec2(40.0, 10.0));
        harness.run();
        let drawn = harness.state().pair().pictures_drawn() - before;
        assert!(drawn >= 2 && drawn.is_multiple_of(2), "a turn of one turns both: {drawn} pictures");
    }
}

// The largest gap is looked for here with a mesh and a search of its own: every ground corner of A is moved along its
// normal in steps until it passes B's surface.
#[test]
fn the_largest_gap_is_reported_with_its_place_and_its_sense() {
    let harness = tips();
    let (one, other) = (shape("Long grind, 85 mm"), shape("Short grind, 60 mm"));
    let mesh = TipMesh::of(one.tip(), one.length_to_show_mm(), f64::INFINITY);
    let mut most = 0.0_f64;
    for vertex in mesh.ground().0.iter().step_by(3) {
        let (point, normal) = (vertex.position.as_dvec3(), vertex.normal.as_dvec3());
        let outside = |way: f64| {
            let place = point + way * normal;
            let hit = other.tip().surface().start_of_steel(place.z, place.y)?;
            Some(hit.s_mm > place.x)
        };
        let Some(first) = outside(0.0) else { continue };
        let step = if first { -0.002 } else { 0.002 };
        let passed = (1..2000).find(|i| outside(f64::from(*i) * step) == Some(!first));
        if let Some(i) = passed.filter(|i| f64::from(*i) * 0.002 > most.abs()) {
            most = f64::from(i) * step;
        }
    }
    let said = harness.query_all_by_label_contains("Largest gap").count();
    assert_eq!(said, 1);
    let mut meshes = [mesh, TipMesh::default()];
    one.fill_meshes(&mut meshes, one.length_to_show_mm(), f64::INFINITY);
    let mut gap = TipGap::default();
    gap.fill(&one, &other, &meshes);
    let largest = gap.largest().unwrap().gap_mm;
    assert!((largest - most).abs() < 0.02, "{largest} {most}");
    let words = format!("Largest gap {:.2} mm", largest.abs());
    assert!(harness.query_by_label_contains(&words).is_some(), "{words}");
    // A blunter grind leaves more steel under the edge (common practice).
    assert!(harness.query_by_label_contains("B stands proud of A there").is_some());
}

#[test]
fn a_copy_of_a_is_the_same_everywhere() {
    let mut harness = tips();
    harness.get_by_role_and_label(Role::Button, "B from A").click();
    harness.run();
    assert!(harness.query_by_label_contains("Both ground faces are the same").is_some());
}

#[test]
fn different_tools_are_noted_as_aligned_at_their_noses() {
    let mut harness = pair_of("Swept, keeping wheel", "Straight across, 45°", CpuRenderer::default());
    tab(&mut harness, "Tips");
    assert!(harness.query_by_label_contains("The tools differ").is_some());
}

#[test]
fn laid_over_both_tips_are_one_picture() {
    let mut harness = tips();
    harness.get_by_role_and_label(Role::CheckBox, "Laid over").click();
    harness.run();
    assert!(
        harness.query_by_role_and_label(Role::Canvas, "The tips of A and B laid over each other").is_some()
    );
    assert!(harness.query_by_role_and_label(Role::Canvas, "The tip of B").is_none());
    harness.get_by_role_and_label(Role::Slider, "Projection").focus();
    harness.run();
    let drawn = harness.state().pair().pictures_drawn();
    harness.key_press(Key::ArrowRight);
    harness.run();
    assert!(harness.state().pair().pictures_drawn() > drawn, "the map follows the slider");
}

/// Pixels of an area that are strongly blue, and strongly orange.
fn hues(renderer: &CpuRenderer, harness: &Harness<'_, App>, area: Rect) -> [usize; 2] {
    let picture = renderer.picture(&harness.ctx, harness.output()).unwrap();
    let mut hues = [0; 2];
    for (x, y, p) in picture.enumerate_pixels() {
        if area.contains(pos2(x as f32, y as f32)) {
            hues[0] += usize::from(p.0[2] > p.0[0].saturating_add(45));
            hues[1] += usize::from(p.0[0] > p.0[2].saturating_add(45));
        }
    }
    hues
}

#[test]
fn swapped_the_map_changes_its_colours() {
    let renderer = CpuRenderer::default();
    let mut harness = pair_of("Long grind, 85 mm", "Short grind, 60 mm", renderer.clone());
    tab(&mut harness, "Tips");
    let area = harness.get_by_role_and_label(Role::Canvas, "The tip of B").rect();
    // Below the names, above the scale.
    let area = Rect::from_min_max(area.min + vec2(4.0, 80.0), area.max - vec2(4.0, 60.0));
    let [blue, orange] = hues(&renderer, &harness, area);
    assert!(orange > 2_000 && blue < orange / 20, "{blue} {orange}");
    harness.get_by_role_and_label(Role::Button, "Swap").click();
    harness.run();
    let [blue, orange] = hues(&renderer, &harness, area);
    assert!(blue > 2_000 && orange < blue / 5, "{blue} {orange}");
}

#[test]
fn both_edges_are_drawn_with_their_names_and_read_at_one_place() {
    let mut harness = pair_of("Long grind, 85 mm", "Short grind, 60 mm", CpuRenderer::default());
    tab(&mut harness, "Edge curves");
    for name in ["A  Spindle gouge, 10 mm: Long grind, 85 mm", "B  Spindle gouge, 10 mm: Short grind, 60 mm"]
    {
        assert!(harness.query_by_label(name).is_some(), "{name}");
    }
    let plot = harness.get_by_label("Wedge angle").rect();
    harness.hover_at(plot.center() + vec2(plot.width() * 0.2, 0.0));
    harness.run();
    let read = harness.query_all_by_label_contains(" to the right:  bevel ").count();
    assert_eq!(read, 2, "one line for A and one for B");
}

#[test]
fn nothing_of_the_pair_asks_for_a_repaint_at_rest() {
    let mut harness = tips();
    for name in ["Tips", "Edge curves", "What if", "Side views"] {
        tab(&mut harness, name);
        harness.run();
        assert!(!harness.ctx.has_requested_repaint(), "{name}");
    }
}
