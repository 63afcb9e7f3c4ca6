//! The tip as triangles: ground face, upper face, outside and the sawn end, with crisp edge and heel lines.
//!
//! Tool frame `(s, h, w)`, millimetres, single precision: a display's business. Vertices are not shared
//! between regions, so that normals stay crisp at the edge and the heel.

use glam::{DVec2, DVec3, Vec3};

use crate::swept::{edge::wedge_angle, hit::GroundBy, tip::Tip};

/// What a vertex belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Region {
    /// Left by the wheel.
    Ground,
    /// The flute or upper face.
    Upper,
    /// The bar's outside, or a blade's lower face and sides.
    Outside,
    /// The sawn end towards the handle, and lands beside a cut-off top.
    End,
}

/// A vertex.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Vertex {
    /// Position `(s, h, w)`, in millimetres.
    pub position: Vec3,
    /// Unit normal out of the steel.
    pub normal: Vec3,
    /// What it belongs to.
    pub region: Region,
    /// Wedge angle at the edge point of its column, in degrees: a colour map's parameter.
    pub wedge_degrees: f32,
}

/// A mesh that is kept and refilled.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct TipMesh {
    vertices: Vec<Vertex>,
    triangles: Vec<[u32; 3]>,
    edge: Vec<DVec3>,
    heel: Vec<DVec3>,
    field: Vec<(DVec3, Option<GroundBy>)>,
    deviation_mm: f64,
    reached: bool,
    /// Columns, rows and lands that the triangles belong to.
    pattern: Option<(usize, usize, [bool; 2])>,
}

/// Coarsest grid along and across the ground face.
const COLUMNS: usize = 180;
const ROWS: usize = 28;
/// Rows along the flute and the outside.
const STRIPS: usize = 14;
/// How many times the grid may be doubled.
const DOUBLINGS: usize = 2;

impl TipMesh {
    /// Of `tip`, sawn off `length_mm` behind the nose station, to within `accuracy_mm` of the ground face.
    #[must_use]
    pub fn of(tip: &Tip, length_mm: f64, accuracy_mm: f64) -> Self {
        let mut mesh = Self::default();
        mesh.fill(tip, length_mm, accuracy_mm);
        mesh
    }

    /// The same into buffers that are kept: nothing is allocated once they have grown. At least 20,000
    /// triangles; the grid is doubled (at most twice) until the middles of its cells lie within the
    /// accuracy.
    pub fn fill(&mut self, tip: &Tip, length_mm: f64, accuracy_mm: f64) {
        let length = if length_mm.is_finite() { length_mm.clamp(1.0, 1000.0) } else { 40.0 };
        for doubling in 0..=DOUBLINGS {
            let (columns, rows) = (COLUMNS << doubling, ROWS << doubling);
            self.sample(tip, columns, rows, length);
            self.deviation_mm = self.deviation(tip, columns, rows);
            self.reached = self.deviation_mm <= accuracy_mm;
            if self.reached || doubling == DOUBLINGS {
                self.build(tip, columns, rows, length);
                return;
            }
        }
    }

    /// Vertices.
    #[must_use]
    pub fn vertices(&self) -> &[Vertex] {
        &self.vertices
    }

    /// The vertices of the ground face, column by column from the `−w` wing to the `+w` wing, each from the edge to the
    /// heel, and how many make a column.
    #[must_use]
    pub fn ground(&self) -> (&[Vertex], usize) {
        let columns = self.edge.len();
        let count = self.field.len().min(self.vertices.len());
        let a_column = count.checked_div(columns).unwrap_or(0);
        (&self.vertices[..columns * a_column], a_column)
    }

    /// What left each of the [`TipMesh::ground`] vertices; `None` where the wheel never comes.
    #[must_use]
    pub fn ground_by(&self) -> impl ExactSizeIterator<Item = Option<GroundBy>> + '_ {
        self.field.iter().map(|(_, face)| *face)
    }

    /// Triangles, counter-clockwise seen from outside in the right-handed frame `(s, h, w)`.
    #[must_use]
    pub fn triangles(&self) -> &[[u32; 3]] {
        &self.triangles
    }

    /// The edge, from the `−w` wing to the `+w` wing.
    #[must_use]
    pub fn edge(&self) -> &[DVec3] {
        &self.edge
    }

    /// The heel, from the `−w` wing to the `+w` wing.
    #[must_use]
    pub fn heel(&self) -> &[DVec3] {
        &self.heel
    }

    /// Greatest distance found between the ground face and the middles of the mesh's cells, in millimetres.
    #[must_use]
    pub fn deviation_mm(&self) -> f64 {
        self.deviation_mm
    }

    /// Whether that is within the asked accuracy. A step left by the wheel's side or a broken edge never
    /// is.
    #[must_use]
    pub fn reached(&self) -> bool {
        self.reached
    }

    /// The field on the grid; where the wheel never comes steel is taken to begin at the foremost ground
    /// station. One wing is the other's mirror image where the grind is.
    fn sample(&mut self, tip: &Tip, columns: usize, rows: usize, length: f64) {
        let (steel, surface) = (tip.steel(), tip.surface());
        let stride = rows + 1;
        self.field.clear();
        self.field.reserve((columns + 1) * stride);
        let mut foremost = f64::INFINITY;
        let last = if surface.is_symmetric() { columns / 2 } else { columns };
        for i in 0..=last {
            let ruling = steel.ruling(2.0 * i as f64 / columns as f64 - 1.0);
            for j in 0..=rows {
                let place = ruling.at(j as f64 / rows as f64);
                let hit = match self.guess(i, j, stride) {
                    Some(near) => surface.start_of_steel_near(place.x, place.y, near),
                    None => surface.start_of_steel(place.x, place.y),
                };
                match hit {
                    Some(hit) => {
                        foremost = foremost.min(hit.s_mm);
                        self.field.push((DVec3::new(hit.s_mm.min(length), place.y, place.x), Some(hit.face)));
                    }
                    None => self.field.push((DVec3::new(f64::NAN, place.y, place.x), None)),
                }
            }
        }
        let end = if foremost.is_finite() { foremost.min(length) } else { 0.0 };
        for (place, _) in self.field.iter_mut().filter(|(_, face)| face.is_none()) {
            place.x = end;
        }
        for i in last + 1..=columns {
            for j in 0..=rows {
                let (place, face) = self.field[(columns - i) * stride + j];
                let mirrored = face.map(GroundBy::mirrored);
                self.field.push((DVec3::new(place.x, place.y, -place.z), mirrored));
            }
        }
    }

    /// Where the field goes on from three neighbours that are known.
    #[inline]
    fn guess(&self, i: usize, j: usize, stride: usize) -> Option<f64> {
        if i == 0 || j == 0 {
            return None;
        }
        let here = i * stride + j;
        let guess =
            self.field[here - 1].0.x + self.field[here - stride].0.x - self.field[here - stride - 1].0.x;
        guess.is_finite().then_some(guess)
    }

    /// Distance between surface and mesh at the middles of every third cell.
    fn deviation(&self, tip: &Tip, columns: usize, rows: usize) -> f64 {
        let (steel, surface) = (tip.steel(), tip.surface());
        let at = |i: usize, j: usize| self.field[i * (rows + 1) + j];
        let mut most = 0.0_f64;
        let looked_at = if surface.is_symmetric() { columns / 2 } else { columns };
        for i in (0..looked_at).step_by(3) {
            let ruling = steel.ruling(2.0 * (i as f64 + 0.5) / columns as f64 - 1.0);
            for j in (0..rows).step_by(3) {
                let corners = [at(i, j), at(i + 1, j), at(i, j + 1), at(i + 1, j + 1)];
                if corners.iter().any(|(_, face)| face.is_none()) {
                    continue;
                }
                let place = ruling.at((j as f64 + 0.5) / rows as f64);
                let near = 0.5 * (corners[0].0.x + corners[3].0.x);
                let Some(hit) = surface.start_of_steel_near(place.x, place.y, near) else { continue };
                let here = DVec3::new(hit.s_mm, place.y, place.x);
                let normal = surface.normal_at(here, hit.face);
                // A cell is two triangles: its middle lies on the diagonal between the first and last
                // corner, in a mirrored wing on the other one.
                for (one, other) in [(0, 3), (1, 2)] {
                    let middle = 0.5 * (corners[one].0 + corners[other].0);
                    most = most.max((here - middle).dot(normal).abs());
                }
            }
        }
        most
    }

    fn build(&mut self, tip: &Tip, columns: usize, rows: usize, length: f64) {
        let (steel, surface) = (tip.steel(), tip.surface());
        let stride = rows + 1;
        // Lands stand beside a cut-off top, and at the sides of a blade.
        let lands = [0, columns].map(|i| {
            let (near, far) = (self.field[i * stride].0, self.field[i * stride + rows].0);
            Some(DVec2::new(far.z - near.z, far.y - near.y)).filter(|run| run.length() >= 1e-6)
        });
        // Which vertices make a triangle is known from the grid alone.
        let pattern = Some((columns, rows, lands.map(|land| land.is_some())));
        let keep = self.pattern == pattern;
        self.pattern = pattern;
        if !keep {
            self.triangles.clear();
        }
        self.vertices.clear();
        self.edge.clear();
        self.heel.clear();
        self.edge.extend((0..=columns).map(|i| self.field[i * stride].0));
        self.heel.extend((0..=columns).map(|i| self.field[i * stride + rows].0));

        let last = if surface.is_symmetric() { columns / 2 } else { columns };
        for i in 0..=last {
            let mut wedge_degrees = 0.0;
            for j in 0..=rows {
                let (position, face) = self.field[i * stride + j];
                let normal = face.map_or(DVec3::NEG_X, |face| surface.normal_at(position, face));
                if j == 0 {
                    let wall = steel.wall_normal_at(position.z);
                    wedge_degrees = wedge_angle(DVec3::new(0.0, wall.y, wall.x), normal).degrees() as f32;
                }
                self.vertices.push(vertex(position, normal, Region::Ground, wedge_degrees));
            }
        }
        for i in last + 1..=columns {
            for j in 0..=rows {
                let twin = self.vertices[(columns - i) * stride + j];
                let mirror = Vec3::new(1.0, 1.0, -1.0);
                let (position, normal) = (twin.position * mirror, twin.normal * mirror);
                self.vertices.push(Vertex { position, normal, ..twin });
            }
        }
        self.grid(keep, 0, columns, rows, false);

        // Upper face and outside run straight to the sawn end.
        for (row, region) in [(0, Region::Upper), (rows, Region::Outside)] {
            let first = self.vertices.len();
            for i in 0..=columns {
                let start = self.field[i * stride + row].0;
                let wedge_degrees = self.vertices[i * stride].wedge_degrees;
                let normal = if region == Region::Upper {
                    let wall = steel.wall_normal_at(start.z);
                    DVec3::new(0.0, wall.y, wall.x)
                } else {
                    let out = steel.outline_normal_at(DVec2::new(start.z, start.y));
                    DVec3::new(0.0, out.y, out.x)
                };
                for j in 0..=STRIPS {
                    // Short near the edge, where there is something to see.
                    let fraction = (j as f64 / STRIPS as f64).powi(2);
                    let position = DVec3::new(start.x + fraction * (length - start.x), start.y, start.z);
                    self.vertices.push(vertex(position, normal, region, wedge_degrees));
                }
            }
            self.grid(keep, first, columns, STRIPS, region == Region::Upper);
        }

        // The sawn end: a grid of the same patch, coarser across.
        let first = self.vertices.len();
        for i in 0..=columns {
            for j in [0, rows] {
                let place = self.field[i * stride + j].0;
                self.vertices.push(vertex(DVec3::new(length, place.y, place.z), DVec3::X, Region::End, 0.0));
            }
        }
        self.grid(keep, first, columns, 1, true);

        let places = [(0, DVec3::NEG_Z, false), (columns, DVec3::Z, true)];
        for ((i, outward, flip), land) in places.into_iter().zip(lands) {
            let Some(run) = land else { continue };
            // Level lands face up, upright sides face out.
            let normal = if run.x.abs() > run.y.abs() { DVec3::Y } else { outward };
            let first = self.vertices.len();
            for j in 0..=rows {
                let start = self.field[i * stride + j].0;
                for s in [start.x, length] {
                    self.vertices.push(vertex(DVec3::new(s, start.y, start.z), normal, Region::End, 0.0));
                }
            }
            self.grid(keep, first, rows, 1, flip);
        }
    }

    /// Two triangles a cell over vertices laid column by column; nothing where the triangles are kept.
    fn grid(&mut self, keep: bool, first: usize, columns: usize, rows: usize, flip: bool) {
        if keep {
            return;
        }
        let stride = rows + 1;
        for i in 0..columns {
            for j in 0..rows {
                let corner = |a: usize, b: usize| (first + (i + a) * stride + j + b) as u32;
                let [a, b, c, d] = [corner(0, 0), corner(1, 0), corner(0, 1), corner(1, 1)];
                if flip {
                    self.triangles.push([a, b, d]);
                    self.triangles.push([a, d, c]);
                } else {
                    self.triangles.push([a, d, b]);
                    self.triangles.push([a, c, d]);
                }
            }
        }
    }
}

fn vertex(position: DVec3, normal: DVec3, region: Region, wedge_degrees: f32) -> Vertex {
    Vertex { position: position.as_vec3(), normal: normal.as_vec3(), region, wedge_degrees }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]
mod tests {
    use super::*;
    use crate::{
        math::angle::Angle,
        parts::{blank::Bar, flute::FluteShape},
        swept::{
            ground::{GrindingFace, GroundSurface, Rolled},
            roll::{RollLine, Swing},
            steel::Steel,
        },
    };

    fn tips() -> Vec<Tip> {
        let rolled = |centre: f64, floor: f64, turn: f64| {
            GroundSurface::rolled(&Rolled {
                line: RollLine::through(DVec2::new(139.5, -49.5), centre).unwrap(),
                bevel: Angle::from_degrees(45.0),
                edge_height_mm: floor,
                abrasive: GrindingFace::Wheel { radius_mm: 75.0, width_mm: 40.0 },
                swing: Swing::ASSUMED,
                turn: Angle::from_degrees(turn),
            })
            .unwrap()
        };
        let parabola =
            Steel::of_bar(&Bar::new(16.0, FluteShape::Power { factor: 0.25, exponent: 2.0 }, -4.0).unwrap());
        let ring =
            Steel::of_bar(&Bar::cut_off(30.0, FluteShape::Circle { radius_mm: 12.0 }, -12.0, 0.0).unwrap());
        vec![
            Tip::new(rolled(0.0, -4.0, 0.0), parabola),
            Tip::new(rolled(1.0, -4.0, 4.0), parabola),
            Tip::new(rolled(0.0, -12.0, 0.0), ring),
        ]
    }

    #[test]
    fn mesh_is_closed_and_faces_outwards() {
        for tip in tips() {
            let mesh = TipMesh::of(&tip, 40.0, 0.005);
            assert!(mesh.triangles().len() >= 20_000);
            // Enclosed volume by the divergence theorem: section × length − what the wheel took in front of
            // nothing.
            let volume: f64 = mesh
                .triangles()
                .iter()
                .map(|t| {
                    let [a, b, c] = t.map(|i| mesh.vertices()[i as usize].position.as_dvec3());
                    a.dot(b.cross(c)) / 6.0
                })
                .sum();
            let far = -100.0;
            let expected =
                tip.section_area_mm2(1e-10) * (40.0 - far) - tip.removed_from_square_end(far, 1e-10).mm3;
            assert!((volume - expected).abs() < 1e-3 * expected, "{volume} {expected}");
            let mut agree = 0;
            for t in mesh.triangles() {
                let [a, b, c] = t.map(|i| mesh.vertices()[i as usize]);
                let face = (b.position - a.position).cross(c.position - a.position);
                agree += usize::from(face.dot(a.normal + b.normal + c.normal) >= -1e-6);
            }
            assert_eq!(agree, mesh.triangles().len());
        }
    }

    #[test]
    fn mesh_keeps_its_stated_deviation() {
        for tip in tips() {
            let mesh = TipMesh::of(&tip, 40.0, 0.005);
            assert!(mesh.reached(), "{}", mesh.deviation_mm());
            // Middles of the ground triangles, none of which the mesh itself looked at.
            for t in mesh.triangles().iter().step_by(7) {
                let corners = t.map(|i| mesh.vertices()[i as usize]);
                if corners.iter().any(|v| v.region != Region::Ground) {
                    continue;
                }
                let middle = corners.iter().map(|v| v.position.as_dvec3()).sum::<DVec3>() / 3.0;
                let hit = tip.surface().start_of_steel(middle.z, middle.y).unwrap();
                let here = DVec3::new(hit.s_mm, middle.y, middle.z);
                let off = (middle - here).dot(tip.surface().normal_at(here, hit.face)).abs();
                assert!(off < 0.005, "{off}");
            }
        }
    }
}
