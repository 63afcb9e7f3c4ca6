//! What is to be drawn of a swept tool: triangles with their tones, and the lines of edge and heel.

use bevelbench_geometry::{
    DVec3,
    swept::{Region, SweptInk, TipMesh, Vertex},
};
use bevelbench_notebook::answer::{swept::Swept, tip_gap::TipGap};

use super::motion::{WheelPlace, single};

/// What a corner is made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FaceKind {
    /// Left by the wheel.
    Ground,
    /// The flute or upper face.
    Flute,
    /// The bar's outside, or a blade's faces and sides.
    Outside,
    /// The sawn end.
    Sawn,
}

/// A corner in the tool frame `(s, h, w)`, millimetres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Corner3 {
    /// Where.
    pub place: [f32; 3],
    /// Unit normal out of the steel.
    pub normal: [f32; 3],
    /// What it is made of.
    pub face_kind: FaceKind,
    /// What a map of colours shows of it: the wedge angle of the edge nearest to it, in degrees, or the gap to another
    /// ground face, in millimetres; NaN where there is none.
    pub mapped: f32,
    /// How much of the light reaches it, 0 to 1: less in the depth of a flute.
    pub open: f32,
}

/// A scene that is kept and refilled.
#[derive(Debug, Clone, Default)]
pub struct Scene {
    meshes: [TipMesh; 2],
    /// Corners.
    pub corners: Vec<Corner3>,
    /// Triangles, counter-clockwise seen from outside.
    pub triangles: Vec<[u32; 3]>,
    /// The edge, point for point as in [`Swept::points`].
    pub edge: Vec<[f32; 3]>,
    /// Whether the edge runs on from a point to the next.
    pub edge_runs_on: Vec<bool>,
    /// The heels, one line a ground face.
    pub heels: Vec<Vec<[f32; 3]>>,
    /// Where other faces meet, and the outline of the sawn end.
    pub creases: Vec<Vec<[f32; 3]>>,
    /// Least and greatest wedge angle, in degrees.
    pub wedges: (f32, f32),
    /// The gap to another ground face, where it was asked for.
    pub gap: TipGap,
    /// Lines down the ground face where the other one is ground deeper: a sign that needs no colour.
    pub hatch: Vec<Vec<[f32; 3]>>,
}

/// Every so many columns of the ground face carry a line of the hatch.
const HATCH: usize = 5;

impl Scene {
    /// Fills the scene with a tool sawn off `length_mm` behind its nose.
    pub fn fill(&mut self, swept: &Swept, length_mm: f64) {
        // The coarsest grid is finer than a pixel of most pictures, and a step of the wheel's side never gets smooth.
        swept.fill_meshes(&mut self.meshes, length_mm, f64::INFINITY);
        self.corners.clear();
        self.triangles.clear();
        self.edge.clear();
        self.edge_runs_on.clear();
        self.heels.clear();
        self.creases.clear();
        let two = swept.other_half().is_some();
        let meshes = std::mem::take(&mut self.meshes);
        self.add(&meshes[0], swept, two, false);
        self.add_creases(&meshes[0], length_mm as f32, two, false);
        if two {
            self.add(&meshes[1], swept, true, true);
            self.add_creases(&meshes[1], length_mm as f32, true, true);
        }
        self.meshes = meshes;
        self.edge.extend(swept.points().iter().map(|point| single(point.position())));
        let count = self.edge.len();
        self.edge_runs_on.extend((0..count).map(|i| i + 1 < count && !swept.is_broken_between(i, i + 1)));
        let summary = swept.summary();
        self.wedges = (summary.least_wedge.degrees() as f32, summary.greatest_wedge.degrees() as f32);
        self.hatch.clear();
    }

    /// Maps the gap to today's wheel instead of the wedge angle. The face of a half that is turned over is not on the
    /// wheel.
    pub fn map_ink(&mut self, ink: &SweptInk) {
        let below = self.meshes[0].vertices().len();
        for (i, corner) in
            self.corners.iter_mut().enumerate().filter(|(_, c)| c.face_kind == FaceKind::Ground)
        {
            let [s, h, w] = corner.place.map(f64::from);
            let gap = if i < below { ink.gap_at_mm(DVec3::new(s, h, w)) } else { None };
            corner.mapped = gap.map_or(f32::NAN, |gap| gap as f32);
        }
    }

    /// Maps the gap to another tip instead of the wedge angle; `of` is what the scene was filled with. With
    /// `turned_round` the sign is that of the other one: B seen from A, also on B.
    pub fn map_gap(&mut self, of: &Swept, other: &Swept, turned_round: bool) {
        self.gap.fill(of, other, &self.meshes);
        if turned_round {
            self.gap.turn_round();
        }
        self.hatch.clear();
        let mut first = 0;
        for (mesh, face) in self.meshes.iter().zip(self.gap.faces()) {
            for (corner, gap) in self.corners[first..].iter_mut().zip(face) {
                corner.mapped = *gap;
            }
            let (_, rows) = mesh.ground();
            let columns = face.chunks_exact(rows.max(1)).enumerate().skip(HATCH / 2).step_by(HATCH);
            for (column, gaps) in columns {
                let mut line: Vec<[f32; 3]> = Vec::new();
                for (row, gap) in gaps.iter().enumerate() {
                    if f64::from(*gap) < -bevelbench_notebook::answer::tip_gap::SAME_MM {
                        line.push(self.corners[first + column * rows + row].place);
                    } else if line.len() > 1 {
                        self.hatch.push(std::mem::take(&mut line));
                    } else {
                        line.clear();
                    }
                }
                if line.len() > 1 {
                    self.hatch.push(line);
                }
            }
            first += mesh.vertices().len();
        }
    }

    fn add(&mut self, mesh: &TipMesh, swept: &Swept, two_faces: bool, turned_over: bool) {
        let first = self.corners.len() as u32;
        let depth =
            swept.tip().steel().flute().map(|flute| (flute.floor_mm() as f32, flute.wing_top().y as f32));
        let over = |v: [f32; 3]| if turned_over { [v[0], -v[1], v[2]] } else { v };
        self.corners.extend(mesh.vertices().iter().map(|vertex| {
            let place = [vertex.position.x, vertex.position.y, vertex.position.z];
            let normal = [vertex.normal.x, vertex.normal.y, vertex.normal.z];
            let face_kind = face_kind_of(vertex);
            let wedge = if two_faces { wedge_at(swept, place[2]) } else { vertex.wedge_degrees };
            let open = match (face_kind, depth) {
                (FaceKind::Flute, Some((floor, top))) => {
                    let up = ((place[1] - floor) / (top - floor).max(0.1)).clamp(0.0, 1.0);
                    0.72 + 0.28 * up.sqrt()
                }
                _ => 1.0,
            };
            Corner3 { place: over(place), normal: over(normal), face_kind, mapped: wedge, open }
        }));
        self.triangles.extend(mesh.triangles().iter().filter_map(|&[a, b, c]| {
            // Between the two halves of a tool that is ground on both faces there is no face.
            let inner = two_faces && mesh.vertices()[a as usize].region == Region::Upper;
            let [a, b, c] = [a, b, c].map(|i| i + first);
            (!inner).then_some(if turned_over { [a, c, b] } else { [a, b, c] })
        }));
        let heel = |p: &DVec3| over(single(*p));
        self.heels.push(mesh.heel().iter().map(heel).collect());
    }
}

impl Scene {
    fn add_creases(&mut self, mesh: &TipMesh, length: f32, two_faces: bool, turned_over: bool) {
        let over = |p: [f32; 3]| if turned_over { [p[0], -p[1], p[2]] } else { p };
        let back = |p: [f32; 3]| [length, p[1], p[2]];
        let at = |p: &DVec3| over(single(*p));
        let (edge, heel) = (mesh.edge(), mesh.heel());
        let (Some(first), Some(last)) = (edge.first().zip(heel.first()), edge.last().zip(heel.last())) else {
            return;
        };
        self.creases.push(heel.iter().map(|p| back(at(p))).collect());
        if !two_faces {
            self.creases.push(edge.iter().map(|p| back(at(p))).collect());
        }
        for (edge_end, heel_end) in [first, last] {
            let (edge_end, heel_end) = (at(edge_end), at(heel_end));
            self.creases.push(along(heel_end, back(heel_end)));
            let apart = (0..3).any(|k| (edge_end[k] - heel_end[k]).abs() > 0.02);
            if apart {
                self.creases.push(along(edge_end, heel_end));
                self.creases.push(along(back(edge_end), back(heel_end)));
                if !two_faces {
                    self.creases.push(along(edge_end, back(edge_end)));
                }
            }
        }
    }
}

/// A straight line in short steps, so that it can be hidden in part.
fn along(from: [f32; 3], to: [f32; 3]) -> Vec<[f32; 3]> {
    (0..=24_u8)
        .map(|i| {
            let fraction = f32::from(i) / 24.0;
            std::array::from_fn(|k| from[k] + (to[k] - from[k]) * fraction)
        })
        .collect()
}

fn face_kind_of(vertex: &Vertex) -> FaceKind {
    match vertex.region {
        Region::Ground => FaceKind::Ground,
        Region::Upper => FaceKind::Flute,
        Region::End if vertex.normal.x > 0.5 => FaceKind::Sawn,
        // The sides of a blade and the lands of a cut-off bar come with the sawn end.
        Region::Outside | Region::End => FaceKind::Outside,
    }
}

/// The wedge angle of both faces at a place across the tool, in degrees.
fn wedge_at(swept: &Swept, w: f32) -> f32 {
    let points = swept.points();
    let w = f64::from(w);
    let after = points.partition_point(|point| point.w_mm < w);
    let (Some(before), Some(here)) =
        (points.get(after.saturating_sub(1)), points.get(after.min(points.len() - 1)))
    else {
        return 0.0;
    };
    let gap = here.w_mm - before.w_mm;
    let fraction = if gap > 0.0 { ((w - before.w_mm) / gap).clamp(0.0, 1.0) } else { 0.0 };
    (before.wedge.degrees() + (here.wedge.degrees() - before.wedge.degrees()) * fraction) as f32
}

/// A piece of a wheel's rim about the place it grinds: corners and normals, and triangles.
#[derive(Debug, Clone, Default)]
pub struct RimPiece {
    /// Corners and their normals.
    pub corners: Vec<([f32; 3], [f32; 3])>,
    /// Triangles, counter-clockwise seen from outside.
    pub triangles: Vec<[u32; 3]>,
}

/// Pieces round the rim.
const PIECES: usize = 48;

impl RimPiece {
    /// The part of a wheel within `half_length_mm` of `near` along its rim, `depth_mm` deep.
    #[must_use]
    pub fn of(wheel: &WheelPlace, near: DVec3, half_length_mm: f64, depth_mm: f64) -> Self {
        let radial = near - wheel.centre;
        let radial = (radial - radial.dot(wheel.axis) * wheel.axis).normalize_or(DVec3::Y);
        let tangent = wheel.axis.cross(radial);
        let half_turn = (half_length_mm / wheel.radius_mm).min(std::f64::consts::PI);
        let inner = (wheel.radius_mm - depth_mm).max(wheel.radius_mm * 0.2);
        let mut piece = Self::default();
        let half_axis = wheel.axis * (wheel.width_mm / 2.0);
        // Strips: the rim from −axis to +axis, then each side from its rim inwards.
        for strip in 0..3 {
            let first = piece.corners.len() as u32;
            for i in 0..=PIECES {
                let turn = half_turn * (2.0 * i as f64 / PIECES as f64 - 1.0);
                let out = radial * turn.cos() + tangent * turn.sin();
                let (rim, hub) = (wheel.centre + out * wheel.radius_mm, wheel.centre + out * inner);
                let (one, other, normal) = match strip {
                    0 => (rim - half_axis, rim + half_axis, out),
                    1 => (rim + half_axis, hub + half_axis, wheel.axis),
                    _ => (hub - half_axis, rim - half_axis, -wheel.axis),
                };
                for place in [one, other] {
                    piece.corners.push((single(place), single(normal)));
                }
            }
            for i in 0..PIECES as u32 {
                let [a, b] = [first + 2 * i, first + 2 * i + 1];
                let [c, d] = [a + 2, b + 2];
                piece.triangles.extend([[a, c, b], [b, c, d]]);
            }
        }
        piece
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]
mod tests {
    use super::*;
    use bevelbench_notebook::{answer::swept::swept, saved::library::demo_bench};

    fn scene(name: &str) -> (Scene, Swept) {
        let bench = demo_bench().unwrap();
        let entry = bench.setting_named(name).unwrap();
        let (job, view) = bench.answer(entry).unwrap();
        let shape = swept(&job, &view, entry.swing.as_ref(), 201).unwrap();
        let mut scene = Scene::default();
        scene.fill(&shape, shape.length_to_show_mm());
        (scene, shape)
    }

    fn volume(corners: impl Fn(u32) -> [f32; 3], triangles: &[[u32; 3]]) -> f64 {
        let wide = |i: u32| corners(i).map(f64::from);
        triangles
            .iter()
            .map(|t| {
                let [a, b, c] = t.map(wide);
                let cross = [b[1] * c[2] - b[2] * c[1], b[2] * c[0] - b[0] * c[2], b[0] * c[1] - b[1] * c[0]];
                (a[0] * cross[0] + a[1] * cross[1] + a[2] * cross[2]) / 6.0
            })
            .sum()
    }

    #[test]
    fn both_halves_of_a_blade_close_into_one_body() {
        let (scene, shape) = scene("Parting, both faces");
        let body = volume(|i| scene.corners[i as usize].place, &scene.triangles);
        // Twice the half below the edge, less nothing: bevels are alike.
        let length = shape.length_to_show_mm();
        let area = 2.0 * shape.tip().section_area_mm2(1e-9);
        let gone = 2.0 * shape.tip().removed_from_square_end(0.0, 1e-9).mm3;
        assert!((body - (area * length - gone)).abs() < 2e-3 * body, "{body} {}", area * length - gone);
        assert_eq!(scene.heels.len(), 2);
    }

    #[test]
    fn corners_face_outwards_after_turning_over() {
        for name in ["Parting, both faces", "Long grind, 85 mm", "Negative rake, lower bevel"] {
            let (scene, _) = scene(name);
            for t in &scene.triangles {
                let [a, b, c] = t.map(|i| scene.corners[i as usize]);
                let [u, v]: [[f32; 3]; 2] = [
                    std::array::from_fn(|k| b.place[k] - a.place[k]),
                    std::array::from_fn(|k| c.place[k] - a.place[k]),
                ];
                let face = [u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]];
                let normal: [f32; 3] = std::array::from_fn(|k| a.normal[k] + b.normal[k] + c.normal[k]);
                let agree = face[0] * normal[0] + face[1] * normal[1] + face[2] * normal[2];
                assert!(agree > -1e-4, "{name}: {agree}");
            }
        }
    }

    #[test]
    fn a_piece_of_rim_faces_outwards() {
        let wheel = WheelPlace {
            centre: DVec3::new(-40.0, -60.0, 0.0),
            radius_mm: 75.0,
            width_mm: 40.0,
            axis: DVec3::Z,
        };
        let piece = RimPiece::of(&wheel, DVec3::ZERO, 30.0, 12.0);
        for t in &piece.triangles {
            let [a, b, c] = t.map(|i| piece.corners[i as usize]);
            let [u, v]: [[f32; 3]; 2] =
                [std::array::from_fn(|k| b.0[k] - a.0[k]), std::array::from_fn(|k| c.0[k] - a.0[k])];
            let face = [u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]];
            assert!(face[0] * a.1[0] + face[1] * a.1[1] + face[2] * a.1[2] > 0.0);
        }
    }
}
