//! Pictures of the window with no graphics card and no driver: the triangles that egui would send to one are filled here,
//! on the processor, the same to the last bit on every run.
//!
//! Textures are sampled at their nearest pixel, which is what egui's font texture wants; paint callbacks are refused, since
//! the window has none.
//!
//! ```no_run
//! # use bevelbench_tests::cpu_renderer::CpuRenderer;
//! let painter = CpuRenderer::default();
//! let mut harness = egui_kittest::Harness::builder().renderer(painter.clone()).build_ui(|ui| { ui.label("edge"); });
//! harness.run();
//! let picture = painter.picture(&harness.ctx, harness.output());
//! ```

use std::{cell::RefCell, collections::HashMap, rc::Rc};

use egui::{
    Color32, Context, FullOutput, TextureId, TexturesDelta,
    epaint::{ImageData, Mesh, Primitive, Vertex},
};
use egui_kittest::TestRenderer;
use image::RgbaImage;

/// A texture: its size and its pixels, row after row.
#[derive(Debug, Default)]
struct Texture {
    size: [usize; 2],
    pixels: Vec<Color32>,
}

/// Why there is no picture.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NoPicture {
    /// A shape wants to be painted by a callback.
    Callback,
    /// A shape uses a texture that was never sent: the renderer was not given to the harness from the start.
    UnknownTexture,
    /// The window has no area.
    Empty,
}

/// A renderer to hand to a harness. Clones share their textures, so keep one to ask for pictures.
#[derive(Debug, Clone, Default)]
pub struct CpuRenderer {
    textures: Rc<RefCell<HashMap<TextureId, Texture>>>,
}

impl TestRenderer for CpuRenderer {
    fn handle_delta(&mut self, delta: &mut TexturesDelta) {
        let mut textures = self.textures.borrow_mut();
        for (id, patches) in delta.set.drain() {
            for patch in patches {
                let ImageData::Color(image) = &patch.image;
                let [width, height] = image.size;
                let texture = textures.entry(id).or_default();
                match patch.pos {
                    None => *texture = Texture { size: [width, height], pixels: image.pixels.clone() },
                    Some([x, y]) => {
                        for row in 0..height {
                            let start = (y + row) * texture.size[0] + x;
                            let from = &image.pixels[row * width..(row + 1) * width];
                            if let Some(to) = texture.pixels.get_mut(start..start + width) {
                                to.copy_from_slice(from);
                            }
                        }
                    }
                }
            }
        }
        for id in delta.free.drain() {
            textures.remove(&id);
        }
    }
}

impl CpuRenderer {
    /// The picture of what a frame put out.
    ///
    /// # Errors
    /// [`NoPicture`] when it holds what this renderer cannot paint.
    pub fn picture(&self, ctx: &Context, output: &FullOutput) -> Result<RgbaImage, NoPicture> {
        let scale = ctx.pixels_per_point();
        let size = ctx.content_rect().size() * scale;
        let mut sheet = Sheet::new(size.x.round() as usize, size.y.round() as usize);
        let textures = self.textures.borrow();
        for piece in ctx.tessellate(output.shapes.clone(), scale) {
            let Primitive::Mesh(mesh) = &piece.primitive else { return Err(NoPicture::Callback) };
            let texture = textures.get(&mesh.texture_id).ok_or(NoPicture::UnknownTexture)?;
            let clip =
                [piece.clip_rect.min.x, piece.clip_rect.min.y, piece.clip_rect.max.x, piece.clip_rect.max.y];
            sheet.fill(mesh, texture, scale, clip.map(|c| (c * scale).round() as i64));
        }
        let pixels = sheet.pixels.into_iter().flatten().collect();
        RgbaImage::from_raw(sheet.width as u32, sheet.height as u32, pixels)
            .filter(|picture| picture.width() > 0 && picture.height() > 0)
            .ok_or(NoPicture::Empty)
    }
}

/// The sheet being painted: premultiplied red, green, blue, alpha.
struct Sheet {
    width: usize,
    height: usize,
    pixels: Vec<[u8; 4]>,
}

impl Sheet {
    fn new(width: usize, height: usize) -> Self {
        Self { width, height, pixels: vec![[0; 4]; width * height] }
    }

    /// Fills the triangles of a mesh inside a clip (left, top, right, bottom, in pixels).
    fn fill(&mut self, mesh: &Mesh, texture: &Texture, scale: f32, clip: [i64; 4]) {
        let clip = [
            clip[0].max(0),
            clip[1].max(0),
            clip[2].min(i64::try_from(self.width).unwrap_or(i64::MAX)),
            clip[3].min(i64::try_from(self.height).unwrap_or(i64::MAX)),
        ];
        for corners in mesh.triangles() {
            self.triangle(corners.map(|i| &mesh.vertices[i as usize]), texture, scale, clip);
        }
    }

    /// Fills one triangle by the top-left rule, in fixed point with 8 binary places, so that neighbours neither overlap nor
    /// leave a seam.
    fn triangle(&mut self, mut corners: [&Vertex; 3], texture: &Texture, scale: f32, clip: [i64; 4]) {
        let fixed = |coordinate: f32| (coordinate * scale * 256.0).round() as i64;
        let mut at = corners.map(|v| [fixed(v.pos.x), fixed(v.pos.y)]);
        let mut area =
            (at[1][0] - at[0][0]) * (at[2][1] - at[0][1]) - (at[1][1] - at[0][1]) * (at[2][0] - at[0][0]);
        if area == 0 {
            return;
        }
        if area < 0 {
            corners.swap(1, 2);
            at.swap(1, 2);
            area = -area;
        }
        let least = |axis: usize| at.iter().map(|p| p[axis]).fold(i64::MAX, i64::min);
        let most = |axis: usize| at.iter().map(|p| p[axis]).fold(i64::MIN, i64::max);
        let columns = ((least(0) - 128) >> 8).max(clip[0])..(((most(0) + 128) >> 8) + 1).min(clip[2]);
        let rows = ((least(1) - 128) >> 8).max(clip[1])..(((most(1) + 128) >> 8) + 1).min(clip[3]);
        // Edge i lies opposite corner i.
        let edges = [(at[1], at[2]), (at[2], at[0]), (at[0], at[1])];
        let step_x = edges.map(|(a, b)| a[1] - b[1]);
        let step_y = edges.map(|(a, b)| b[0] - a[0]);
        let bias = edges.map(|(a, b)| if (a[1] == b[1] && b[0] > a[0]) || b[1] < a[1] { 0 } else { -1 });
        let brush = Brush::new(corners, texture);
        for y in rows {
            let (px, py) = (columns.start * 256 + 128, y * 256 + 128);
            let mut inside: [i64; 3] =
                std::array::from_fn(|i| step_x[i] * (px - edges[i].0[0]) + step_y[i] * (py - edges[i].0[1]));
            for x in columns.clone() {
                if (0..3).all(|i| inside[i] + bias[i] >= 0) {
                    let colour = brush.at(inside.map(|w| w as f32 / area as f32));
                    self.blend(y as usize * self.width + x as usize, colour);
                }
                for i in 0..3 {
                    inside[i] += step_x[i] * 256;
                }
            }
        }
    }

    fn blend(&mut self, index: usize, colour: [f32; 4]) {
        let behind = 1.0 - colour[3] / 255.0;
        for (channel, ink) in self.pixels[index].iter_mut().zip(colour) {
            *channel = (ink + f32::from(*channel) * behind + 0.5).min(255.0) as u8;
        }
    }
}

/// The colour of a triangle at any of its points.
struct Brush<'a> {
    colours: [[f32; 4]; 3],
    corners: [&'a Vertex; 3],
    texture: &'a Texture,
    /// The texture's colour if all corners ask for the same of its pixels.
    plain: Option<[f32; 4]>,
}

impl<'a> Brush<'a> {
    fn new(corners: [&'a Vertex; 3], texture: &'a Texture) -> Self {
        let colours = corners.map(|v| v.color.to_array().map(f32::from));
        let same = corners[0].uv == corners[1].uv && corners[1].uv == corners[2].uv;
        let plain = same.then(|| sample(texture, corners[0].uv.x, corners[0].uv.y));
        Self { colours, corners, texture, plain }
    }

    /// The colour where the corners weigh so much.
    fn at(&self, weights: [f32; 3]) -> [f32; 4] {
        let mixed = |of: [f32; 3]| weights[0] * of[0] + weights[1] * of[1] + weights[2] * of[2];
        let tint = self.plain.unwrap_or_else(|| {
            sample(self.texture, mixed(self.corners.map(|v| v.uv.x)), mixed(self.corners.map(|v| v.uv.y)))
        });
        std::array::from_fn(|k| mixed(self.colours.map(|c| c[k])) * tint[k])
    }
}

/// The nearest pixel of a texture, each channel 0 to 1.
fn sample(texture: &Texture, u: f32, v: f32) -> [f32; 4] {
    let [width, height] = texture.size;
    let x = ((u * width as f32) as usize).min(width.saturating_sub(1));
    let y = ((v * height as f32) as usize).min(height.saturating_sub(1));
    texture.pixels.get(y * width + x).map_or([0.0; 4], |pixel| pixel.to_array().map(|c| f32::from(c) / 255.0))
}
