//! The tip in three dimensions on paper: what the window shows of it, its lines as lines, its shaded faces as pixels.
//!
//! The frame is that of the view, millimetres to the right and up; one tip stands beside the other.

use bevelbench_geometry::math::Angle;
use bevelbench_notebook::{
    answer::edge_curve::round_increment,
    drawing::{
        Align, Bounds, Drawing, Geometry, Point, Role, Standing, TextSize,
        png::{Pixels, packed},
        segment,
        svg::Underlay,
    },
    quantity::Units,
};
use egui::{Color32, Pos2, Rect, Vec2};

use crate::{
    model::appearance::{Mode, TypeScale},
    pages::tip::{
        TipCache, TipState,
        camera::Camera,
        legend::gap_figure,
        motion::{self, Pose},
        overlay::Lines,
        portrait::{Look, Map, Portrait},
        scene::{RimPiece, Scene},
    },
    toolkit::theme::{Solid, Theme},
};

/// A tip as it is seen.
#[derive(Clone, Copy)]
pub(crate) struct TipPicture<'a> {
    pub(crate) scene: &'a Scene,
    pub(crate) camera: Camera,
    /// How it is held, and the wheel beside it, if that is shown.
    pub(crate) pose: Pose,
    pub(crate) rim: Option<&'a RimPiece>,
    /// Size of the view in points.
    pub(crate) size: Vec2,
    pub(crate) map: Option<Map>,
    /// A second tip laid over it, dashed.
    pub(crate) second: Option<&'a Scene>,
    /// What stands over it.
    pub(crate) name: &'a str,
}

/// Tips on paper.
#[derive(Debug)]
pub(crate) struct OnPaper {
    pub(crate) drawing: Drawing,
    pub(crate) underlays: Vec<Underlay>,
    pub(crate) window: Bounds,
}

/// The width of a sheet less its margins, in millimetres of paper.
const SHEET_MM: f64 = 184.0;
/// Pixels a millimetre of paper.
const FINENESS: f64 = 9.0;

/// Draws tips side by side to one scale, their map under the first; `None` where nothing is seen.
///
/// # Errors
/// The words of what could not be packed.
pub(crate) fn on_paper(row: &[TipPicture<'_>], units: Units) -> Result<Option<OnPaper>, String> {
    let Some(first) = row.first() else { return Ok(None) };
    let crops: Vec<Rect> = row.iter().map(crop).collect();
    let scale = f64::from(first.camera.scale());
    // One box for all, so that the noses stand level.
    let Some(crop) = crops.into_iter().reduce(Rect::union).filter(Rect::is_positive) else {
        return Ok(None);
    };
    let wide = f64::from(crop.width()) / scale;
    let high = f64::from(crop.height()) / scale;
    let between = 0.05 * wide;
    let total = wide * row.len() as f64 + between * (row.len() - 1) as f64;
    // Drawing millimetres for a millimetre of paper.
    let paper = total / SHEET_MM;
    let theme = Theme::new(Mode::Light, TypeScale::Ordinary);
    let pixels_per_point = (FINENESS * f64::from(crop.width()).recip() * wide / paper) as f32;
    let mut all = OnPaper {
        drawing: Drawing::new(),
        underlays: Vec::new(),
        window: Bounds { min: [0.0, -20.0 * paper], max: [total, high + 8.0 * paper] },
    };
    for (index, seen) in row.iter().enumerate() {
        let left = (wide + between) * index as f64;
        let at = Bounds { min: [left, 0.0], max: [left + wide, high] };
        all.one(seen, crop, at, pixels_per_point, &theme)?;
        let name = text([left + paper, high + 4.0 * paper], seen.name, Align::Start, TextSize::Strong);
        all.drawing.add(Role::Dimension, None, name);
    }
    if let Some(map) = first.map {
        all.legend(map, paper, &theme.solid, units)?;
    }
    all.scale(total, paper);
    Ok(Some(all))
}

/// What of a view is filled, with a little air, no more than the view itself.
fn crop(seen: &TipPicture<'_>) -> Rect {
    let view = Rect::from_min_size(Pos2::ZERO, seen.size);
    let place = |p: [f32; 3]| {
        let [x, y, _] = seen.camera.project(p, seen.size);
        Pos2::new(x, y)
    };
    let held = seen.scene.corners.iter().map(|corner| place(seen.pose.place(corner.place)));
    let second = seen.second.into_iter().flat_map(|scene| scene.edge.iter().map(|p| place(*p)));
    let rim = seen.rim.into_iter().flat_map(|rim| rim.corners.iter().map(|(p, _)| place(*p)));
    let all = held.chain(second).chain(rim).fold(Rect::NOTHING, |all, at| all.union(Rect::from_pos(at)));
    all.expand(14.0).intersect(view)
}

fn text(at: Point, words: &str, align: Align, size: TextSize) -> Geometry {
    Geometry::Text { at, text: words.to_owned(), align, along: Angle::ZERO, size, lift: 0.0 }
}

impl OnPaper {
    /// One tip into its box.
    fn one(
        &mut self,
        seen: &TipPicture<'_>,
        crop: Rect,
        at: Bounds,
        pixels_per_point: f32,
        theme: &Theme,
    ) -> Result<(), String> {
        let mut camera = seen.camera;
        camera.pan(seen.size / 2.0 - crop.size() / 2.0 - crop.min.to_vec2());
        let look = Look {
            scene: 0,
            camera,
            pose: seen.pose,
            size: crop.size(),
            pixels_per_point,
            map: seen.map,
            solid: theme.solid,
            wheel: seen.rim.is_some(),
            fine: true,
        };
        let mut portrait = Portrait::default();
        portrait.draw_as(seen.scene, seen.rim, look);
        let picture = portrait.raster().picture();
        let rgba = picture.pixels.iter().flat_map(Color32::to_array).collect();
        let pixels = Pixels { width: picture.width(), height: picture.height(), rgba };
        self.underlays.push(Underlay { at, png: packed(pixels).map_err(|error| error.to_string())? });

        let rect = Rect::from_min_size(Pos2::ZERO, crop.size());
        let lines = Lines { portrait: &portrait, camera: &camera, pose: &seen.pose, rect, theme };
        let scale = f64::from(camera.scale());
        let on_sheet = |p: &Pos2| [at.min[0] + f64::from(p.x) / scale, at.max[1] - f64::from(p.y) / scale];
        let mut add = |pieces: Vec<Vec<Pos2>>, role: Role, standing: Standing| {
            let mut drawn = Drawing::new();
            for piece in pieces {
                drawn.add(role, None, Geometry::Line(piece.iter().map(on_sheet).collect()));
            }
            self.drawing.overlay(drawn.standing(standing));
        };
        let scene = seen.scene;
        for crease in scene.creases.iter().chain(&scene.heels) {
            add(lines.seen(crease, |_| true), Role::Dimension, Standing::Solid);
        }
        if matches!(seen.map, Some(Map::Gap(_))) {
            for line in &scene.hatch {
                add(lines.seen(line, |_| true), Role::Dimension, Standing::Solid);
            }
        }
        add(lines.seen(&scene.edge, |i| scene.edge_runs_on[i]), Role::Edge, Standing::Solid);
        if let (Some(second), Some(Map::Gap(most))) = (seen.second, seen.map) {
            for (pieces, _) in lines.second(second, most) {
                add(pieces, Role::Limit, Standing::Second);
            }
        }
        Ok(())
    }

    /// The map of colours with its figures, under the first tip.
    fn legend(&mut self, map: Map, paper: f64, solid: &Solid, units: Units) -> Result<(), String> {
        let bar = Bounds { min: [2.0 * paper, -13.0 * paper], max: [62.0 * paper, -10.0 * paper] };
        let steps = 240_u32;
        let fraction = |i: u32| i as f32 / (steps - 1) as f32;
        let rgba = (0..steps).flat_map(|i| map.colour(fraction(i), solid).to_array()).collect();
        let pixels = Pixels { width: steps as usize, height: 1, rgba };
        self.underlays.push(Underlay { at: bar, png: packed(pixels).map_err(|error| error.to_string())? });
        let d = &mut self.drawing;
        let (low, high) = (bar.min[1], bar.max[1]);
        let frame = vec![bar.min, [bar.max[0], low], bar.max, [bar.min[0], high], bar.min];
        d.add(Role::Dimension, None, Geometry::Line(frame));
        let x = |fraction: f64| bar.min[0] + fraction * bar.width();
        let over = |words: &str, fraction: f64, lines: f64, align: Align| {
            text([x(fraction), high + lines * paper], words, align, TextSize::Small)
        };
        match map {
            Map::Wedge(least, most) => {
                d.add(Role::Dimension, None, over("Wedge angle at the edge", 0.0, 2.4, Align::Start));
                let (least, most) = (f64::from(least), f64::from(most));
                let step = round_increment((most - least) / 5.0).max(5.0);
                for value in bevelbench_notebook::answer::edge_curve::multiples(step, least, most) {
                    self.tick(x((value - least) / (most - least)), low, paper, &format!("{value:.0}°"));
                }
            }
            Map::Ink(film_mm, _) => {
                let title = format!("Gap to the wheel; ink below {}", super::ink::film_words(units));
                d.add(Role::Dimension, None, over(&title, 0.0, 2.4, Align::Start));
                for films in [0.0, 1.0, 2.0] {
                    let figure = units.film(films * f64::from(film_mm));
                    self.tick(x(films / 2.0), low, paper, &figure);
                }
            }
            Map::Gap(most) => {
                let unit = units.length_name();
                let title = format!("Gap between the ground faces, {unit}; hatched where B is ground deeper");
                d.add(Role::Dimension, None, over(&title, 0.0, 6.0, Align::Start));
                d.add(Role::Dimension, None, over("− B ground deeper", 0.0, 2.4, Align::Start));
                d.add(Role::Dimension, None, over("B stands proud +", 1.0, 2.4, Align::End));
                for i in 1..12 {
                    let at = x(0.5 * f64::from(i) / 12.0);
                    d.add(Role::Dimension, None, segment([at, low], [at, high]));
                }
                for fraction in [-1.0, -0.5, 0.0, 0.5, 1.0] {
                    let figure = gap_figure(fraction * f64::from(most), units);
                    self.tick(x(f64::midpoint(fraction, 1.0)), low, paper, &figure);
                }
            }
        }
        Ok(())
    }

    fn tick(&mut self, x: f64, low: f64, paper: f64, figure: &str) {
        let d = &mut self.drawing;
        d.add(Role::Dimension, None, segment([x, low], [x, low - 1.0 * paper]));
        d.add(Role::Dimension, None, text([x, low - 3.2 * paper], figure, Align::Middle, TextSize::Small));
    }

    /// A bar of a round length at the lower right corner.
    fn scale(&mut self, right: f64, paper: f64) {
        let length = round_increment(15.0 * paper);
        let (x, y) = (right - 2.0 * paper, -13.0 * paper);
        let d = &mut self.drawing;
        d.add(Role::Dimension, None, segment([x - length, y], [x, y]));
        for end in [x - length, x] {
            d.add(Role::Dimension, None, segment([end, y - paper], [end, y + paper]));
        }
        let words = format!("{} mm", (length * 1000.0).round() / 1000.0);
        let at = [x - length / 2.0, y + 3.0 * paper];
        d.add(Role::Dimension, None, text(at, &words, Align::Middle, TextSize::Small));
    }
}

impl TipState {
    /// What the page shows of the tip; `None` before anything was shown.
    ///
    /// # Errors
    /// The words of what could not be packed.
    pub(crate) fn on_paper(&self, name: &str, units: Units) -> Result<Option<OnPaper>, String> {
        let Some(TipCache { shape: Ok(swept), .. }) = &self.cached else { return Ok(None) };
        let (Some(camera), Some((_, size))) = (self.camera, self.portrait.kept()) else { return Ok(None) };
        let scene = &self.pictured.scene;
        let seen = TipPicture {
            scene,
            camera,
            pose: if self.with_wheel { motion::pose(swept, self.fraction) } else { Pose::STILL },
            rim: self.pictured.rim.as_ref().filter(|_| self.with_wheel),
            size,
            map: self.pictured.map,
            second: None,
            name,
        };
        on_paper(&[seen], units)
    }
}
