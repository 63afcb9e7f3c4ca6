//! Turns the shapes of a drawing into one mesh of triangles, the way a plate is engraved: bodies with a soft light from
//! above, hatching and grain, then lines. Texts are not part of the mesh (see `text_layout`).

use bevelbench_notebook::drawing::{Drawing, Geometry, Mark, Part, Point, Role, Shape};
use egui::{
    Color32, Mesh, Pos2, Rect, Stroke, Vec2,
    epaint::{CircleShape, PathShape, PathStroke, TessellationOptions, Tessellator},
};

use super::outline::{Chain, chain, dashes, hatching};
use crate::toolkit::{
    theme::{
        Ink, Theme,
        colour::{faded, mix},
    },
    view::View,
};

/// Makes a mesh out of shapes.
pub(super) struct DrawingTessellator<'a> {
    theme: &'a Theme,
    view: View,
    visible: Rect,
    tessellator: Tessellator,
    earcut: earcut::Earcut<f32>,
    mesh: Mesh,
}

impl<'a> DrawingTessellator<'a> {
    /// An engraver for a view; shapes outside its rectangle are left out where that is cheap to tell.
    pub(super) fn new(theme: &'a Theme, view: View, pixels_per_point: f32) -> Self {
        // Discs drawn ahead live in the font texture, which may be made anew while the mesh is kept.
        let options = TessellationOptions {
            prerasterized_discs: false,
            coarse_tessellation_culling: false,
            ..TessellationOptions::default()
        };
        Self {
            theme,
            view,
            visible: view.rect.expand(40.0),
            tessellator: Tessellator::new(pixels_per_point, options, [1, 1], Vec::new()),
            earcut: earcut::Earcut::new(),
            mesh: Mesh::default(),
        }
    }

    /// The mesh.
    pub(super) fn finish(self) -> Mesh {
        self.mesh
    }

    /// Millimetre paper under the drawing: lines as far apart as keeps the paper quiet.
    pub(super) fn grid(&mut self) {
        let step = grid_step_mm(self.view.scale);
        let bounds = self.view.visible();
        let stroke = Stroke::new(self.theme.sizes.line, self.theme.palette.grid);
        let rect = self.view.rect;
        let range = |from: f64, to: f64| (from / step).ceil() as i64..=(to / step).floor() as i64;
        for i in range(bounds.min[0], bounds.max[0]).take(400) {
            let x = crisp(self.view.screen_from_bench([i as f64 * step, 0.0]).x);
            self.tessellator.tessellate_line_segment(
                [Pos2::new(x, rect.top()), Pos2::new(x, rect.bottom())],
                stroke,
                &mut self.mesh,
            );
        }
        for i in range(bounds.min[1], bounds.max[1]).take(400) {
            let y = crisp(self.view.screen_from_bench([0.0, i as f64 * step]).y);
            self.tessellator.tessellate_line_segment(
                [Pos2::new(rect.left(), y), Pos2::new(rect.right(), y)],
                stroke,
                &mut self.mesh,
            );
        }
    }

    /// All shapes of a drawing but its texts.
    pub(super) fn drawing(&mut self, drawing: &Drawing) {
        for shape in &drawing.shapes {
            self.shape(shape);
        }
    }

    /// The shapes of a drawing that are things, without dimensions, arcs and help lines: for a close look.
    pub(super) fn things(&mut self, drawing: &Drawing) {
        for shape in drawing.shapes.iter().filter(|s| !is_remark(s.role)) {
            self.shape(shape);
        }
    }

    fn shape(&mut self, shape: &Shape) {
        let ink = self.theme.ink(shape.role, shape.standing);
        if let Geometry::Mark { at, direction, mark } = &shape.geometry {
            self.mark(*at, direction.radians(), *mark, ink);
            return;
        }
        let Some(chain) = chain(&shape.geometry, &self.view) else { return };
        if !Rect::from_points(&chain.points).expand(ink.width).intersects(self.visible) {
            return;
        }
        if chain.closed && is_body(shape.role) {
            self.body(&shape.geometry, &chain, ink);
        }
        self.line(&chain, ink.width, ink.stroke, ink.dash);
    }

    fn body(&mut self, geometry: &Geometry, chain: &Chain, ink: Ink) {
        let Some(fill) = ink.fill else { return };
        self.fill(chain, fill, ink.shade.unwrap_or(fill), matches!(geometry, Geometry::Circle { .. }));
        if let (Some(grain), Geometry::Circle { centre, radius }) = (ink.grain, geometry) {
            self.grain(*centre, *radius, grain);
        }
        if let Some(hatch) = ink.hatch {
            let stroke = Stroke::new(0.9 * self.theme.sizes.shaft, hatch);
            let (tessellator, mesh) = (&mut self.tessellator, &mut self.mesh);
            hatching(chain, 5.5 * self.theme.sizes.shaft, self.visible, |piece| {
                tessellator.tessellate_line_segment(piece, stroke, mesh);
            });
        }
    }

    /// Fills an outline, from `light` on the upper side to `shade` on the lower: across a bar for long shapes, from the
    /// upper left for round ones.
    fn fill(&mut self, chain: &Chain, light: Color32, shade: Color32, round: bool) {
        let mut triangles: Vec<u32> = Vec::new();
        if round {
            triangles.extend((1..chain.points.len() as u32 - 1).flat_map(|i| [0, i, i + 1]));
        } else {
            self.earcut.earcut(chain.points.iter().map(|p| [p.x, p.y]), &[], &mut triangles);
        }
        let down = if round { Vec2::new(0.5, 0.86) } else { across(chain) };
        let heights = chain.points.iter().map(|p| p.to_vec2().dot(down));
        let (least, most) =
            heights.fold((f32::INFINITY, f32::NEG_INFINITY), |(a, b), h| (a.min(h), b.max(h)));
        let span = (most - least).max(1e-3);
        let first = self.mesh.vertices.len() as u32;
        for point in &chain.points {
            let fraction = (point.to_vec2().dot(down) - least) / span;
            self.mesh.colored_vertex(*point, mix(light, shade, fraction));
        }
        self.mesh.indices.extend(triangles.into_iter().map(|i| first + i));
    }

    /// Abrasive grains: a stipple that thins out from the rim to the middle, the same at every zoom and every time.
    fn grain(&mut self, centre: Point, radius: f64, colour: Color32) {
        let wanted = 4.5 * f64::from(self.theme.sizes.shaft);
        // Doubling steps keep most grains in place while the view is zoomed.
        let pitch = 2.0_f64.powf((wanted / self.view.scale).log2().ceil());
        let shown = self.view.visible();
        let cells = |from: f64, to: f64| (from / pitch).floor() as i64..=(to / pitch).ceil() as i64;
        let columns = cells((centre[0] - radius).max(shown.min[0]), (centre[0] + radius).min(shown.max[0]));
        let rows = cells((centre[1] - radius).max(shown.min[1]), (centre[1] + radius).min(shown.max[1]));
        for column in columns.take(600) {
            for row in rows.clone().take(600) {
                let [u, v, w] = scattered(column, row);
                let at = [(column as f64 + u) * pitch, (row as f64 + v) * pitch];
                let out = (at[0] - centre[0]).hypot(at[1] - centre[1]) / radius;
                let likely = 0.08 + 0.42 * ((out - 0.3) / 0.7).clamp(0.0, 1.0).powi(2);
                if w > likely || out > 1.0 - 2.5 / (radius * self.view.scale) {
                    continue;
                }
                let size = (0.55 + 0.55 * u as f32) * self.theme.sizes.shaft;
                self.dot(self.view.screen_from_bench(at), size, colour);
            }
        }
    }

    fn dot(&mut self, at: Pos2, size: f32, colour: Color32) {
        // A hexagon with a soft rim: antialiased, and cheaper than a circle.
        let middle = self.mesh.vertices.len() as u32;
        self.mesh.colored_vertex(at, colour);
        for i in 0..6_u8 {
            let around = Vec2::angled(f32::from(i) * std::f32::consts::TAU / 6.0);
            self.mesh.colored_vertex(at + around * (size + 0.5), faded(colour, 0.0));
        }
        for i in 0..6 {
            self.mesh.add_triangle(middle, middle + 1 + i, middle + 1 + (i + 1) % 6);
        }
    }

    fn line(&mut self, chain: &Chain, width: f32, colour: Color32, dash: Option<(f32, f32)>) {
        let stroke = PathStroke::new(width, colour);
        let (tessellator, mesh) = (&mut self.tessellator, &mut self.mesh);
        if let Some((on, off)) = dash {
            dashes(chain, on, off, self.visible, |points| {
                let path =
                    PathShape { points, closed: false, fill: Color32::TRANSPARENT, stroke: stroke.clone() };
                tessellator.tessellate_path(&path, mesh);
            });
            return;
        }
        let path = PathShape {
            points: chain.points.clone(),
            closed: chain.closed,
            fill: Color32::TRANSPARENT,
            stroke,
        };
        tessellator.tessellate_path(&path, mesh);
    }

    fn mark(&mut self, at: Point, direction: f64, mark: Mark, ink: Ink) {
        let at = self.view.screen_from_bench(at);
        if !at.is_finite() || !direction.is_finite() || !self.visible.contains(at) {
            return;
        }
        let size = self.theme.sizes.shaft;
        let stroke = Stroke::new(ink.width.max(1.2 * size), ink.stroke);
        // The screen's second axis points down.
        let ahead = Vec2::angled(-direction as f32);
        match mark {
            Mark::Arrow => {
                let (back, side) = (at - ahead * 8.5 * size, ahead.rot90() * 2.9 * size);
                let path = PathShape::convex_polygon(
                    vec![at, back + side, back - side],
                    ink.stroke,
                    PathStroke::NONE,
                );
                self.tessellator.tessellate_path(&path, &mut self.mesh);
            }
            Mark::Dot => {
                let disc = CircleShape::filled(at, 3.2 * size, ink.stroke);
                self.tessellator.tessellate_circle(disc, &mut self.mesh);
            }
            Mark::Ring => {
                let paper =
                    ink.fill.unwrap_or_else(|| self.theme.surface(crate::toolkit::theme::Surface::Canvas));
                let ring = CircleShape { center: at, radius: 4.6 * size, fill: paper, stroke };
                self.tessellator.tessellate_circle(ring, &mut self.mesh);
            }
            Mark::Cross => {
                let arm = 4.5 * size;
                for way in [Vec2::new(arm, arm), Vec2::new(arm, -arm)] {
                    self.tessellator.tessellate_line_segment([at - way, at + way], stroke, &mut self.mesh);
                }
            }
        }
    }

    /// A glow along the lines of a part, laid over the drawing while the part is hovered.
    pub(super) fn glow(&mut self, drawing: &Drawing, part: Part) {
        let accent = self.theme.palette.accent;
        for shape in drawing.shapes.iter().filter(|s| s.part == Some(part)) {
            let ink = self.theme.ink(shape.role, shape.standing);
            let Some(chain) = chain(&shape.geometry, &self.view) else { continue };
            self.line(&chain, ink.width + 6.0 * self.theme.sizes.shaft, faded(accent, 0.22), None);
            self.line(&chain, ink.width, accent, ink.dash);
        }
    }
}

/// A coordinate moved to the middle of a pixel, so that a hairline is one pixel wide.
fn crisp(coordinate: f32) -> f32 {
    coordinate.floor() + 0.5
}

/// The direction across the longest edge of a chain, pointing down on the screen.
fn across(chain: &Chain) -> Vec2 {
    let count = chain.points.len();
    let longest = (0..count)
        .map(|i| chain.points[(i + 1) % count] - chain.points[i])
        .max_by(|a, b| a.length_sq().total_cmp(&b.length_sq()))
        .unwrap_or(Vec2::X);
    let normal = longest.rot90().normalized();
    // Nearly upright shapes are lit from the left.
    if normal.y < -1e-3 || (normal.y.abs() <= 1e-3 && normal.x < 0.0) { -normal } else { normal }
}

/// Three numbers in 0..1 that look random and depend on the cell alone.
fn scattered(column: i64, row: i64) -> [f64; 3] {
    // The mixing steps of "splitmix64" (Steele, Lea and Flood 2014).
    let mut state = (column as u64).wrapping_mul(0x9e37_79b9_7f4a_7c15) ^ (row as u64).rotate_left(32);
    std::array::from_fn(|_| {
        state = state.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = state;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
    })
}

/// Millimetres between grid lines: 1, 2 or 5 times a power of ten, at least 60 points of the screen.
pub(super) fn grid_step_mm(scale: f64) -> f64 {
    let least = 60.0 / scale;
    let power = 10.0_f64.powf(least.log10().floor());
    [1.0, 2.0, 5.0, 10.0]
        .map(|m| m * power)
        .into_iter()
        .find(|step| *step >= least - 1e-9)
        .unwrap_or(10.0 * power)
}

/// Whether a role only tells about the things it is drawn with.
pub(super) fn is_remark(role: Role) -> bool {
    matches!(role, Role::Dimension | Role::Gauge | Role::AngleArc | Role::Construction | Role::Rotation)
}

/// Whether closed shapes of a role are bodies: filled, and touched anywhere inside.
pub(super) fn is_body(role: Role) -> bool {
    matches!(
        role,
        Role::Wheel
            | Role::Spindle
            | Role::Bench
            | Role::Arm
            | Role::Cup
            | Role::Pivot
            | Role::Holder
            | Role::Strut
            | Role::Table
            | Role::TablePost
            | Role::Tool
            | Role::ToolSection
            | Role::Handle
            | Role::Gap
    )
}

#[cfg(test)]
mod tests {
    use bevelbench_notebook::drawing::segment;

    use super::*;
    use crate::model::appearance::{Mode, TypeScale};

    fn mesh_of(drawing: &Drawing, view: View) -> Mesh {
        let theme = Theme::new(Mode::Light, TypeScale::Ordinary);
        let mut tessellator = DrawingTessellator::new(&theme, view, 1.0);
        tessellator.grid();
        tessellator.drawing(drawing);
        tessellator.finish()
    }

    fn view(scale: f64) -> View {
        View::new(Rect::from_min_size(Pos2::ZERO, Vec2::new(760.0, 640.0)), [0.0, 0.0], scale)
    }

    fn covered(mesh: &Mesh) -> f32 {
        mesh.triangles()
            .map(|t| {
                let [a, b, c] = t.map(|i| mesh.vertices[i as usize].pos);
                ((b - a).x * (c - a).y - (b - a).y * (c - a).x).abs() / 2.0
            })
            .sum()
    }

    #[test]
    fn a_concave_body_is_filled_without_its_mouth() {
        let c = vec![
            [0.0, 0.0],
            [90.0, 0.0],
            [90.0, 30.0],
            [30.0, 30.0],
            [30.0, 60.0],
            [90.0, 60.0],
            [90.0, 90.0],
            [0.0, 90.0],
        ];
        let theme = Theme::default();
        let mut tessellator = DrawingTessellator::new(&theme, view(1.0), 1.0);
        let outline = chain(&Geometry::Outline(c), &view(1.0)).unwrap_or_default();
        tessellator.fill(&outline, theme.palette.accent, theme.palette.accent, false);
        // 90 × 90 less the mouth of 60 × 30.
        assert!((covered(&tessellator.finish()) - 6300.0).abs() < 1.0);
    }

    #[test]
    fn every_mesh_is_valid_whatever_the_numbers() {
        for scale in [0.05, 1.0, 2000.0] {
            for size in [0.0, 1e-12, 75.0, 1e12, f64::NAN, f64::INFINITY] {
                let mut drawing = Drawing::new();
                drawing.add(Role::Wheel, Part::Rim, Geometry::Circle { centre: [size, 0.0], radius: size });
                drawing.add(Role::Construction, None, segment([-size, 0.0], [size, size]));
                drawing.add(
                    Role::ToolSection,
                    Part::Tool,
                    Geometry::Outline(vec![[0.0, 0.0], [size, 0.0], [0.0, size]]),
                );
                let mesh = mesh_of(&drawing, view(scale));
                assert!(mesh.is_valid());
                assert!(mesh.vertices.iter().all(|v| v.pos.is_finite()), "{scale} {size}");
                assert!(mesh.vertices.len() < 400_000, "{scale} {size}: {}", mesh.vertices.len());
            }
        }
    }

    #[test]
    fn the_grid_keeps_its_distance_at_every_zoom() {
        for i in 0..200 {
            let scale = 0.05 * 1.05_f64.powi(i);
            let apart = grid_step_mm(scale) * scale;
            assert!((59.9..=151.0).contains(&apart), "{scale}: {apart}");
        }
    }
}
