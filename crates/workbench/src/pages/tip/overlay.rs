//! What is laid over the picture of the tip: the lines of edge, heel and roll line where they are not hidden, and the
//! card beside a marked point.

use bevelbench_geometry::swept::EdgePoint;
use bevelbench_notebook::{
    answer::swept::Swept,
    drawing::{Role, Standing},
    quantity::Units,
};
use egui::{Pos2, Rect, Shape, Stroke, Ui, pos2, vec2};

use crate::{
    model::appearance::Tone,
    pages::tip::{camera::Camera, motion::Pose, portrait::Portrait, scene::Scene},
    toolkit::theme::{Surface, Theme, colour::faded},
};

/// How near the pointer must come to the edge, in points.
const REACH: f32 = 14.0;

/// A soft light behind the tip.
pub(crate) fn backdrop(ui: &Ui, rect: Rect, theme: &Theme) {
    let paper = theme.surface(Surface::Canvas);
    let deep = crate::toolkit::theme::colour::mix(paper, theme.palette.hairline, 0.55);
    let mut mesh = egui::Mesh::default();
    let corners = [rect.left_top(), rect.right_top(), rect.left_bottom(), rect.right_bottom()];
    for (corner, colour) in corners.into_iter().zip([paper, paper, deep, deep]) {
        mesh.colored_vertex(corner, colour);
    }
    mesh.add_triangle(0, 1, 2);
    mesh.add_triangle(1, 3, 2);
    // Behind the picture.
    ui.painter().add(mesh);
}

/// Draws lines over the picture where the picture does not hide them.
pub(crate) struct Lines<'a> {
    pub(crate) portrait: &'a Portrait,
    pub(crate) camera: &'a Camera,
    pub(crate) pose: &'a Pose,
    pub(crate) rect: Rect,
    pub(crate) theme: &'a Theme,
}

impl Lines<'_> {
    pub(crate) fn on_screen(&self, place: [f32; 3]) -> Pos2 {
        self.camera.on_screen(self.pose.place(place), self.rect)
    }

    pub(crate) fn sees(&self, place: [f32; 3]) -> bool {
        self.sees_within(place, 0.0)
    }

    fn sees_within(&self, place: [f32; 3], more_slack: f32) -> bool {
        let [x, y, depth] = self.camera.project(self.pose.place(place), self.rect.size());
        let scale = self.pixels_per_point();
        let slack = 0.08 + more_slack + 2.5 / self.camera.scale();
        self.portrait.raster().sees(x * scale, y * scale, depth, slack)
    }

    fn pixels_per_point(&self) -> f32 {
        self.portrait.pixels_per_point()
    }

    /// The pieces of a chain that are seen.
    pub(crate) fn seen(&self, chain: &[[f32; 3]], runs_on: impl Fn(usize) -> bool) -> Vec<Vec<Pos2>> {
        self.pieces(chain, |place| self.sees(*place), runs_on)
    }

    fn pieces(
        &self,
        chain: &[[f32; 3]],
        sees: impl Fn(&[f32; 3]) -> bool,
        runs_on: impl Fn(usize) -> bool,
    ) -> Vec<Vec<Pos2>> {
        let mut pieces = Vec::new();
        let mut piece: Vec<Pos2> = Vec::new();
        for (i, place) in chain.iter().enumerate() {
            let seen = sees(place);
            if seen {
                piece.push(self.on_screen(*place));
            }
            if (!seen || !runs_on(i)) && !piece.is_empty() {
                pieces.push(std::mem::take(&mut piece));
            }
        }
        pieces.push(piece);
        pieces.retain(|piece| piece.len() > 1);
        pieces
    }

    pub(crate) fn edge(&self, painter: &egui::Painter, scene: &Scene) {
        let width = self.theme.sizes.shaft;
        let pieces = self.seen(&scene.edge, |i| scene.edge_runs_on[i]);
        for (wide, colour) in [(4.2, self.theme.solid.casing), (2.2, self.theme.solid.edge)] {
            for piece in &pieces {
                painter.add(Shape::line(piece.clone(), Stroke::new(wide * width, colour)));
            }
        }
    }

    /// Edge and heels of a second tip laid over this one, in pieces with their widths; what lies in the steel by no more
    /// than `slack_mm` is seen too.
    pub(crate) fn second(&self, second: &Scene, slack_mm: f32) -> Vec<(Vec<Vec<Pos2>>, f32)> {
        let sees = |place: &[f32; 3]| self.sees_within(*place, slack_mm);
        let heels = second.heels.iter().map(|heel| (self.pieces(heel, sees, |_| true), 1.4));
        heels.chain([(self.pieces(&second.edge, sees, |i| second.edge_runs_on[i]), 2.2)]).collect()
    }

    /// The same, dashed.
    pub(crate) fn dashed(&self, painter: &egui::Painter, second: &Scene, slack_mm: f32) {
        let size = self.theme.sizes.shaft;
        for (pieces, wide) in self.second(second, slack_mm) {
            for piece in pieces {
                let casing = Stroke::new((wide + 2.4) * size, self.theme.solid.edge);
                painter.add(Shape::line(piece.clone(), casing));
                let ink = Stroke::new(wide * size, self.theme.solid.mark);
                painter.extend(Shape::dashed_line(&piece, ink, 8.0 * size, 5.0 * size));
            }
        }
    }

    pub(crate) fn thin(&self, painter: &egui::Painter, chain: &[[f32; 3]], width: f32, opacity: f32) {
        let stroke = Stroke::new(width * self.theme.sizes.shaft, faded(self.theme.solid.casing, opacity));
        for piece in self.seen(chain, |_| true) {
            painter.add(Shape::line(piece, stroke));
        }
    }

    /// The roll line, from ahead of the nose to the pivot.
    pub(crate) fn roll_line(&self, painter: &egui::Painter, swept: &Swept) {
        let Some(line) = swept.tip().surface().roll_line() else { return };
        let ink = self.theme.ink(Role::RollLine, Standing::Solid);
        // The line stands still while the tool rolls.
        let still = Lines { pose: &Pose::STILL, ..*self };
        let (from, to) = (-0.5 * swept.length_to_show_mm(), 1.6 * swept.length_to_show_mm());
        let chain: Vec<[f32; 3]> = (0..=160_u8)
            .map(|i| {
                let mm = from + (to - from) * f64::from(i) / 160.0;
                let p = line.centre_in_tool() + line.along_in_tool() * mm;
                [p.x as f32, p.y as f32, 0.0]
            })
            .collect();
        let (on, off) = ink.dash.unwrap_or((8.0, 4.0));
        let ends = chain.first().zip(chain.last());
        if let Some((first, last)) = ends {
            let whole = [still.on_screen(*first), still.on_screen(*last)];
            let faint = Stroke::new(ink.width, faded(ink.stroke, 0.35));
            painter.extend(Shape::dashed_line(&whole, faint, on, off));
        }
        for piece in still.seen(&chain, |_| true) {
            painter.extend(Shape::dashed_line(&piece, Stroke::new(ink.width * 1.2, ink.stroke), on, off));
        }
    }

    pub(crate) fn mark(&self, painter: &egui::Painter, place: [f32; 3], colour: egui::Color32) {
        let size = self.theme.sizes.shaft;
        let at = self.on_screen(place);
        painter.circle(at, 5.0 * size, colour, Stroke::new(1.6 * size, self.theme.solid.edge));
        painter.circle_stroke(at, 6.2 * size, Stroke::new(size, self.theme.solid.casing));
    }

    /// The edge point under the pointer, of those that are seen.
    pub(crate) fn nearest(&self, scene: &Scene, pointer: Pos2) -> Option<usize> {
        let away = |i: usize| (self.on_screen(scene.edge[i]) - pointer).length_sq();
        (0..scene.edge.len())
            .filter(|&i| away(i) <= REACH * REACH && self.sees(scene.edge[i]))
            .min_by(|&a, &b| away(a).total_cmp(&away(b)))
    }
}

/// A point of the edge in words, line by line.
#[must_use]
pub fn point_words(point: &EdgePoint, arc_mm: f64, units: Units) -> Vec<(&'static str, String)> {
    vec![
        ("from the nose", units.length(arc_mm.abs())),
        ("setback", units.length(point.s_mm)),
        ("bevel to axis", units.angle(point.bevel_to_axis.degrees())),
        ("wedge", units.angle(point.wedge.degrees())),
        ("facet", units.length(point.facet_width_mm)),
    ]
}

/// A small card beside a marked point.
pub(crate) fn reading(
    painter: &egui::Painter,
    at: Pos2,
    within: Rect,
    lines: &[(&str, String)],
    theme: &Theme,
) {
    let gap = theme.sizes.gap.normal;
    let colour = |tone| theme.tone(tone);
    let rows: Vec<_> = lines
        .iter()
        .map(|(name, figure)| {
            (
                painter.layout_no_wrap((*name).to_owned(), theme.small(), colour(Tone::Weak)),
                painter.layout_no_wrap(figure.clone(), theme.name(), colour(Tone::Strong)),
            )
        })
        .collect();
    let names = rows.iter().map(|row| row.0.size().x).fold(0.0, f32::max);
    let figures = rows.iter().map(|row| row.1.size().x).fold(0.0, f32::max);
    let line = theme.sizes.text.body * 1.4;
    let size = vec2(names + figures + 3.0 * gap, line * rows.len() as f32 + gap);
    let beside = if at.x + 20.0 + size.x < within.right() { at.x + 16.0 } else { at.x - 16.0 - size.x };
    let top = (at.y - size.y / 2.0)
        .clamp(within.top() + 44.0, (within.bottom() - size.y - 8.0).max(within.top() + 44.0));
    let card = Rect::from_min_size(pos2(beside, top).round(), size);
    painter.rect(card, theme.corner(), theme.palette.pill, theme.hairline(), egui::StrokeKind::Inside);
    for (i, (name, figure)) in rows.into_iter().enumerate() {
        let middle = card.top() + gap / 2.0 + line * (i as f32 + 0.5);
        let name_at = pos2(card.left() + gap, middle - name.size().y / 2.0);
        let figure_at = pos2(card.right() - gap - figure.size().x, middle - figure.size().y / 2.0);
        painter.galley(name_at.round(), name, egui::Color32::PLACEHOLDER);
        painter.galley(figure_at.round(), figure, egui::Color32::PLACEHOLDER);
    }
}
