//! The tip as a picture: the scene seen through the camera, in the theme's colours, kept as a texture until something
//! it shows has changed.

use egui::{Color32, Context, TextureHandle, TextureOptions, Vec2};

use super::{
    camera::{Camera, dot},
    light::{Coat, brightness, rgb},
    motion::Pose,
    raster::{Corner, Raster},
    scene::{FaceKind, RimPiece, Scene},
};
use crate::toolkit::theme::{Solid, colour::mix};

/// All that the picture depends on.
#[derive(Debug, Clone, PartialEq)]
pub struct Look {
    /// Changes whenever the scene does.
    pub scene: u64,
    /// Where one looks from.
    pub camera: Camera,
    /// How the tool is held.
    pub pose: Pose,
    /// Size in points.
    pub size: Vec2,
    /// Pixels a point.
    pub pixels_per_point: f32,
    /// The map of colours over the ground face; `None` for plain steel.
    pub map: Option<Map>,
    /// The colours.
    pub solid: Solid,
    /// Whether the wheel is drawn.
    pub wheel: bool,
    /// Four samples a pixel; one while something moves.
    pub fine: bool,
}

/// What the colours of the ground face tell.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Map {
    /// The wedge angle, from the least to the greatest, in degrees.
    Wedge(f32, f32),
    /// The gap to another ground face, to so many millimetres either way.
    Gap(f32),
    /// The gap to today's wheel: the film's thickness in millimetres, below which there is ink, and the ink's colour.
    Ink(f32, Color32),
}

impl Map {
    /// Where a value lies on the map, 0 to 1.
    fn fraction(self, value: f32) -> f32 {
        match self {
            Self::Wedge(least, most) => (value - least) / (most - least),
            Self::Gap(most) => f32::midpoint(value / most, 1.0),
            // The film's edge lies in the middle of the map.
            Self::Ink(film_mm, _) => 0.5 * value / film_mm,
        }
    }

    /// The colour at a fraction from 0 to 1.
    #[must_use]
    pub fn colour(self, fraction: f32, solid: &Solid) -> egui::Color32 {
        match self {
            Self::Wedge(..) => solid.ramp_at(fraction),
            Self::Gap(_) => solid.gap_at(2.0 * fraction - 1.0),
            Self::Ink(_, ink) => mix(solid.ground.base, ink, inked(fraction)),
        }
    }

    /// What a body is coated with at a fraction from 0 to 1.
    fn coat(self, fraction: f32, solid: &Solid) -> Coat {
        match self {
            Self::Wedge(..) | Self::Gap(_) => Coat::tinted(rgb(self.colour(fraction, solid))),
            // Where there is no ink, it is steel.
            Self::Ink(_, ink) => Coat::from(solid.ground).towards(&Coat::tinted(rgb(ink)), inked(fraction)),
        }
    }
}

/// How much of the ink's colour there is: all well below the film, none well above, the step spread over the cells
/// beside it.
fn inked(fraction: f32) -> f32 {
    ((0.5 - fraction) / 0.35 + 0.5).clamp(0.0, 1.0)
}

/// How clear the wheel is.
const TRANSLUCENCY: f32 = 0.62;
/// Steps of the colour map.
const STEPS: usize = 96;

/// The kept picture.
#[derive(Default)]
pub struct Portrait {
    raster: Raster,
    corners: Vec<Corner>,
    rim: Vec<Corner>,
    look: Option<Look>,
    texture: Option<TextureHandle>,
    drawn: u64,
}

impl std::fmt::Debug for Portrait {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Portrait").field("look", &self.look).finish_non_exhaustive()
    }
}

impl Portrait {
    /// The texture of the scene as it looks; drawn anew only where the look has changed.
    pub fn texture(
        &mut self,
        ctx: &Context,
        scene: &Scene,
        rim: Option<&RimPiece>,
        look: Look,
    ) -> egui::TextureId {
        let kept = self.texture.as_ref().map(TextureHandle::id);
        // A fine picture is good enough for a quick one of the same look.
        let same = self
            .look
            .as_ref()
            .is_some_and(|kept| *kept == look || (kept.fine && Look { fine: true, ..look.clone() } == *kept));
        if let (true, Some(id)) = (same, kept) {
            return id;
        }
        self.draw(scene, rim, &look);
        let picture = self.raster.picture();
        self.look = Some(look);
        match &mut self.texture {
            Some(texture) => {
                texture.set(picture, TextureOptions::NEAREST);
                texture.id()
            }
            None => self.texture.insert(ctx.load_texture("tip", picture, TextureOptions::NEAREST)).id(),
        }
    }

    /// Draws a look and keeps it, without a texture: for a sheet of paper.
    pub fn draw_as(&mut self, scene: &Scene, rim: Option<&RimPiece>, look: Look) {
        self.draw(scene, rim, &look);
        self.look = Some(look);
    }

    /// The picture drawn last and its size in points.
    #[must_use]
    pub fn kept(&self) -> Option<(egui::TextureId, Vec2)> {
        self.texture.as_ref().map(TextureHandle::id).zip(self.look.as_ref().map(|look| look.size))
    }

    /// How many pictures were drawn so far.
    #[must_use]
    pub fn drawn(&self) -> u64 {
        self.drawn
    }

    /// Pixels a point of the picture drawn last.
    #[must_use]
    pub fn pixels_per_point(&self) -> f32 {
        self.look.as_ref().map_or(1.0, |look| look.pixels_per_point)
    }

    /// The depth of what was drawn last, to ask what is hidden.
    #[must_use]
    pub fn raster(&self) -> &Raster {
        &self.raster
    }

    /// Draws a look into the kept buffers.
    pub fn draw(&mut self, scene: &Scene, rim: Option<&RimPiece>, look: &Look) {
        self.drawn += 1;
        let pixels = |points: f32| (points * look.pixels_per_point).round().max(1.0) as usize;
        self.raster.begin(pixels(look.size.x), pixels(look.size.y), look.fine);
        let axes = look.camera.axes();
        let coats = Coats::new(&look.solid, look.map);
        let project = |place: [f32; 3]| {
            let [x, y, depth] = look.camera.project(place, look.size);
            (x * look.pixels_per_point, y * look.pixels_per_point, depth)
        };
        self.corners.clear();
        self.corners.extend(scene.corners.iter().map(|corner| {
            let (x, y, depth) = project(look.pose.place(corner.place));
            let normal = look.pose.direction(corner.normal);
            let seen = axes.map(|axis| dot(axis, normal));
            let rgb = coats.of(corner.face_kind, corner.mapped).at(brightness(seen) * corner.open);
            Corner { x, y, depth, rgb }
        }));
        for triangle in &scene.triangles {
            self.raster.solid(triangle.map(|i| self.corners[i as usize]));
        }
        let Some(rim) = rim.filter(|_| look.wheel) else { return };
        let coat = Coat::from(look.solid.wheel);
        self.rim.clear();
        self.rim.extend(rim.corners.iter().map(|(place, normal)| {
            let (x, y, depth) = project(*place);
            let seen = axes.map(|axis| dot(axis, *normal));
            // Stone has no glint.
            Corner { x, y, depth, rgb: coat.at(0.25 + 0.5 * brightness(seen)) }
        }));
        for triangle in &rim.triangles {
            self.raster.translucent_triangle(triangle.map(|i| self.rim[i as usize]), TRANSLUCENCY);
        }
    }
}

/// The coats of a look.
struct Coats {
    plain: [Coat; 4],
    map: Option<Map>,
    steps: Vec<Coat>,
}

impl Coats {
    fn new(solid: &Solid, map: Option<Map>) -> Self {
        let plain = [solid.ground, solid.flute, solid.outside, solid.sawn].map(Coat::from);
        let step = |map: Map, i: usize| map.coat(i as f32 / (STEPS - 1) as f32, solid);
        let steps = map.map(|map| (0..STEPS).map(|i| step(map, i)).collect()).unwrap_or_default();
        Self { plain, map, steps }
    }

    #[inline]
    fn of(&self, face_kind: FaceKind, mapped: f32) -> &Coat {
        match (face_kind, self.map) {
            (FaceKind::Ground, Some(map)) if !mapped.is_nan() => {
                let fraction = map.fraction(mapped).clamp(0.0, 1.0);
                let step = (fraction * (STEPS - 1) as f32 + 0.5) as usize;
                self.steps.get(step).unwrap_or(&self.plain[0])
            }
            (FaceKind::Ground, _) => &self.plain[0],
            (FaceKind::Flute, _) => &self.plain[1],
            (FaceKind::Outside, _) => &self.plain[2],
            (FaceKind::Sawn, _) => &self.plain[3],
        }
    }
}

/// The range of the colour map for wedge angles from `least` to `most` degrees: whole fives around them.
#[must_use]
pub fn map_range(least: f32, most: f32) -> (f32, f32) {
    if !(least.is_finite() && most.is_finite()) {
        return (0.0, 90.0);
    }
    let from = (least / 5.0 + 1e-3).floor() * 5.0;
    let to = (most / 5.0 - 1e-3).ceil() * 5.0;
    (from, to.max(from + 5.0))
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]
mod tests {
    use super::*;
    use crate::{pages::tip::camera::Preset, toolkit::theme::Theme};
    use bevelbench_notebook::{answer::swept::swept, saved::library::demo_bench};

    fn scene(name: &str) -> Scene {
        let bench = demo_bench().unwrap();
        let entry = bench.setting_named(name).unwrap();
        let (job, view) = bench.answer(entry).unwrap();
        let shape = swept(&job, &view, entry.swing.as_ref(), 201).unwrap();
        let mut scene = Scene::default();
        scene.fill(&shape, shape.length_to_show_mm());
        scene
    }

    fn look(scene: &Scene, preset: Preset, map: Option<Map>) -> Look {
        let size = Vec2::new(200.0, 160.0);
        Look {
            scene: 1,
            camera: Camera::fit(preset, scene.corners.iter().map(|c| c.place), size, 8.0),
            pose: Pose::STILL,
            size,
            pixels_per_point: 1.0,
            map,
            solid: Theme::default().solid,
            wheel: false,
            fine: false,
        }
    }

    #[test]
    fn from_above_a_gouge_covers_its_plan() {
        let bench = demo_bench().unwrap();
        let entry = bench.setting_named("Long grind, 85 mm").unwrap();
        let (job, view) = bench.answer(entry).unwrap();
        let shape = swept(&job, &view, entry.swing.as_ref(), 201).unwrap();
        let length = shape.length_to_show_mm();
        let mut scene = Scene::default();
        scene.fill(&shape, length);
        let look = look(&scene, Preset::Plan, None);
        let mut portrait = Portrait::default();
        portrait.draw(&scene, None, &look);
        let covered: usize = portrait.raster().picture().pixels.iter().filter(|p| p.a() > 0).count();
        let outline = shape.plan_outline(length, 400);
        let area: f64 = outline
            .iter()
            .zip(outline.iter().cycle().skip(1))
            .map(|(a, b)| 0.5 * (a.x * b.y - a.y * b.x))
            .sum::<f64>()
            .abs();
        let expected = area * f64::from(look.camera.scale()).powi(2);
        assert!((covered as f64 - expected).abs() < 0.01 * expected, "{covered} {expected}");
    }

    #[test]
    fn the_ground_face_is_hidden_from_above_and_seen_from_below() {
        let scene = scene("Long grind, 85 mm");
        let coloured = |preset: Preset| {
            let mut portrait = Portrait::default();
            let (least, most) = map_range(scene.wedges.0, scene.wedges.1);
            portrait.draw(&scene, None, &look(&scene, preset, Some(Map::Wedge(least, most))));
            // Only the map has colour; steel is nearly grey.
            let strong = |p: &&egui::Color32| p.a() > 0 && p.r().abs_diff(p.b()) > 70;
            portrait.raster().picture().pixels.iter().filter(strong).count()
        };
        assert!(coloured(Preset::FromBelow) > 20 * coloured(Preset::Plan).max(1));
    }

    #[test]
    fn the_same_look_is_drawn_once_and_a_fine_one_serves_for_a_quick_one() {
        let ctx = Context::default();
        let scene = scene("Long grind, 85 mm");
        let mut portrait = Portrait::default();
        let fine = Look { fine: true, ..look(&scene, Preset::Side, None) };
        let quick = Look { fine: false, ..fine.clone() };
        for look in [quick.clone(), quick.clone(), fine.clone(), quick, fine] {
            portrait.texture(&ctx, &scene, None, look);
        }
        assert_eq!(portrait.drawn(), 2);
    }

    #[test]
    fn map_ranges_are_whole_fives_around_what_there_is() {
        assert_eq!(map_range(38.2, 61.9), (35.0, 65.0));
        assert_eq!(map_range(45.0, 45.0), (45.0, 50.0));
        assert_eq!(map_range(f32::NAN, 3.0), (0.0, 90.0));
    }
}
