//! A few small pictures kept beside the checks and compared with what is drawn today, with a tolerance. They are drawn on
//! the processor with the fonts that travel with the program, so that they are the same on every machine.
//!
//! After a wanted change of the look: `BEVELBENCH_GOLDEN=remake cargo test -p bevelbench-tests --test window golden`, then look
//! at what has changed in `tests/golden/` before it is kept.

use std::{env, fs, path::PathBuf};

use bevelbench::{
    model::{
        appearance::{Mode, TypeScale},
        session::Session,
    },
    pages::{
        pair::PairState,
        tip::{
            EDGE_POINTS, Preset,
            camera::Camera,
            motion::Pose,
            portrait::{Look, Map, Portrait, map_range},
            scene::Scene,
        },
    },
    toolkit::theme::Theme,
};
use bevelbench_notebook::paper::picture::{TipSheet, sheet_of, tip_sheet_of};
use bevelbench_notebook::quantity::Units;
use bevelbench_notebook::{
    answer::swept::swept,
    drawing::png,
    saved::{Bench, library::demo_bench},
};
use egui::{Color32, vec2};
use image::{Rgb, RgbImage};

/// Pixels a millimetre: small on purpose.
const PIXELS_PER_MM: f64 = 1.6;
/// How far a channel of a pixel may be off.
const OFF: u8 = 24;
/// The fraction of pixels that may be further off than that: the side of a line rounded the other way.
const FRACTION: f64 = 0.002;

fn bench() -> Bench {
    let mut bench = demo_bench().unwrap();
    bench.current = bench.setting_named("Long grind, 85 mm").cloned();
    bench.beside = bench.setting_named("Short grind, 60 mm").cloned();
    bench
}

/// Compares a picture with the one that is kept, or keeps it anew if that is asked for.
fn assert_golden(name: &str, drawn: &RgbImage) {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("golden").join(format!("{name}.png"));
    if env::var("BEVELBENCH_GOLDEN").is_ok_and(|word| word == "remake") {
        drawn.save(&path).unwrap();
        return;
    }
    let kept = image::load_from_memory(&fs::read(&path).unwrap()).unwrap().to_rgb8();
    assert_eq!(kept.dimensions(), drawn.dimensions(), "{name}: another size");
    let off = kept.pixels().zip(drawn.pixels()).filter(|(a, b)| differs(**a, **b)).count();
    let fraction = off as f64 / f64::from(kept.width() * kept.height());
    assert!(fraction <= FRACTION, "{name}: {off} pixels are off, {:.2} %", 100.0 * fraction);
}

fn differs(a: Rgb<u8>, b: Rgb<u8>) -> bool {
    a.0.iter().zip(b.0).any(|(a, b)| a.abs_diff(b) > OFF)
}

fn of_svg(svg: &str) -> RgbImage {
    let drawn = png::pixels(svg, PIXELS_PER_MM).unwrap();
    RgbImage::from_fn(drawn.width as u32, drawn.height as u32, |x, y| {
        let at = 4 * (y as usize * drawn.width + x as usize);
        Rgb([drawn.rgba[at], drawn.rgba[at + 1], drawn.rgba[at + 2]])
    })
}

#[test]
fn the_side_view_matches_its_golden_picture() {
    let bench = bench();
    let entry = bench.current.as_ref().unwrap();
    let (job, view) = bench.answer(entry).unwrap();
    assert_golden("side", &of_svg(&sheet_of(&bench, entry, &job, &view, Units::default())));
}

#[test]
fn the_pair_matches_its_golden_picture() {
    let session = Session::new(bench());
    let mut pair = PairState::default();
    assert_golden("pair", &of_svg(&pair.picture(&session, Units::default()).unwrap()));
}

#[test]
fn the_curves_match_their_golden_picture() {
    let bench = bench();
    let shape = |entry: &bevelbench_notebook::saved::SettingEntry| {
        let (job, view) = bench.answer(entry).unwrap();
        swept(&job, &view, entry.swing.as_ref(), EDGE_POINTS).unwrap()
    };
    let (a, b) = (bench.current.as_ref().unwrap(), bench.beside.as_ref().unwrap());
    let second = shape(b);
    let second = Some((&second, b.name.as_str()));
    let svg = tip_sheet_of(&bench, a, &shape(a), second, TipSheet::Curves, Units::default());
    assert_golden("curves", &of_svg(&svg));
}

/// The tip by the depth buffer, over the theme's paper.
fn tip(mode: Mode, gap: bool) -> RgbImage {
    let bench = bench();
    let shape = |name: &str| {
        let entry = bench.setting_named(name).unwrap();
        let (job, view) = bench.answer(entry).unwrap();
        swept(&job, &view, entry.swing.as_ref(), EDGE_POINTS).unwrap()
    };
    let (a, b) = (shape("Long grind, 85 mm"), shape("Short grind, 60 mm"));
    let mut scene = Scene::default();
    scene.fill(&a, a.length_to_show_mm());
    let (least, most) = map_range(scene.wedges.0, scene.wedges.1);
    let map = if gap {
        scene.map_gap(&a, &b, false);
        Map::Gap(2.0)
    } else {
        Map::Wedge(least, most)
    };
    let theme = Theme::new(mode, TypeScale::Ordinary);
    let size = vec2(220.0, 160.0);
    let look = Look {
        scene: 1,
        camera: Camera::fit(Preset::FromBelow, scene.corners.iter().map(|corner| corner.place), size, 10.0),
        pose: Pose::STILL,
        size,
        pixels_per_point: 1.0,
        map: Some(map),
        solid: theme.solid,
        wheel: false,
        fine: true,
    };
    let mut portrait = Portrait::default();
    portrait.draw(&scene, None, &look);
    let picture = portrait.raster().picture();
    let paper = theme.surface(bevelbench::toolkit::theme::Surface::Canvas);
    let over = |pixel: Color32| {
        let [r, g, b, a] = pixel.to_array();
        let behind = |c: u8, p: u8| c.saturating_add((u32::from(p) * u32::from(255 - a) / 255) as u8);
        Rgb([behind(r, paper.r()), behind(g, paper.g()), behind(b, paper.b())])
    };
    RgbImage::from_fn(picture.width() as u32, picture.height() as u32, |x, y| {
        over(picture.pixels[y as usize * picture.width() + x as usize])
    })
}

#[test]
fn the_tip_matches_its_golden_pictures_in_both_looks() {
    assert_golden("tip", &tip(Mode::Light, false));
    assert_golden("tip-gap-dark", &tip(Mode::Dark, true));
}

#[test]
fn a_comparison_notices_a_line_that_has_moved() {
    let one = tip(Mode::Light, false);
    let mut other = one.clone();
    // A line of sixty pixels, a fifth of a percent of the picture and a little more.
    for x in 60..140 {
        other.put_pixel(x, 80, Rgb([0, 0, 0]));
    }
    let off = one.pixels().zip(other.pixels()).filter(|(a, b)| differs(**a, **b)).count();
    assert!(off as f64 > FRACTION * f64::from(one.width() * one.height()), "{off}");
}
