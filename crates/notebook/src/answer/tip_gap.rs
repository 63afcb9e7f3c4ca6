//! How far the ground faces of two tips stand apart, their noses laid on each other: a value for every corner of a
//! mesh, the largest of them, and where it is.

use bevelbench_geometry::{
    DVec3,
    swept::{Tip, TipMesh},
};

use crate::answer::swept::Swept;

/// Every so many columns and rows are measured, the rest lie between.
const STRIDE: usize = 2;
/// Gaps below this read as none, in millimetres.
pub const SAME_MM: f64 = 0.005;

/// The gap over the ground faces of one tip. Filled again and again without allocating.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct TipGap {
    faces: [Vec<f32>; 2],
    largest: Option<LargestGap>,
}

/// Where two ground faces stand furthest apart.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LargestGap {
    /// Square to the face, in millimetres; positive where the other one stands proud.
    pub gap_mm: f64,
    /// `(s, h, w)`, in millimetres.
    pub place_in_tool: DVec3,
    /// Along the edge from the nose, in millimetres, positive to the right seen from the handle.
    pub along_mm: f64,
    /// Behind the edge, in millimetres.
    pub behind_mm: f64,
}

impl TipGap {
    /// Measures how far `other` stands off `of`, on the ground faces of `meshes`, which are those of `of`.
    pub fn fill(&mut self, of: &Swept, other: &Swept, meshes: &[TipMesh; 2]) {
        self.largest = None;
        let halves = [
            (of.tip(), Some(other.tip()), &meshes[0]),
            (of.other_half().unwrap_or(of.tip()), other.other_half(), &meshes[1]),
        ];
        for (index, (tip, against, mesh)) in halves.into_iter().enumerate() {
            let turned_over = index == 1;
            let mut face = std::mem::take(&mut self.faces[index]);
            face.clear();
            let largest = against.and_then(|against| measure(&mut face, of, tip, against, mesh, turned_over));
            let more = |a: &LargestGap, b: &LargestGap| b.gap_mm.abs() > a.gap_mm.abs();
            if self.largest.as_ref().zip(largest.as_ref()).is_none_or(|(a, b)| more(a, b)) {
                self.largest = largest.or(self.largest);
            }
            if face.is_empty() {
                face.resize(mesh.ground().0.len(), f32::NAN);
            }
            self.faces[index] = face;
        }
    }

    /// The gap at every ground corner of the two meshes, in their order, in millimetres; NaN where there is none.
    #[must_use]
    pub fn faces(&self) -> &[Vec<f32>; 2] {
        &self.faces
    }

    /// The largest gap; `None` where no place is ground in both.
    #[must_use]
    pub fn largest(&self) -> Option<LargestGap> {
        self.largest
    }

    /// Seen from the other tip: what stood proud is ground deeper.
    pub fn turn_round(&mut self) {
        for gap in self.faces.iter_mut().flatten() {
            *gap = -*gap;
        }
        if let Some(largest) = &mut self.largest {
            largest.gap_mm = -largest.gap_mm;
        }
    }
}

/// Fills a face; the largest gap on it.
fn measure(
    face: &mut Vec<f32>,
    of: &Swept,
    tip: &Tip,
    against: &Tip,
    mesh: &TipMesh,
    turned_over: bool,
) -> Option<LargestGap> {
    let (vertices, rows) = mesh.ground();
    if rows == 0 {
        return None;
    }
    let columns = vertices.len() / rows;
    // Noses on each other: their heights above the bar's middle may differ.
    let lift = against.steel().wall_height_at(0.0) - tip.steel().wall_height_at(0.0);
    let lift = DVec3::new(0.0, lift, 0.0);
    let surface = against.surface();
    let is_measured = |index: usize, count: usize| index.is_multiple_of(STRIDE) || index + 1 == count;
    let mut largest: Option<(f64, usize)> = None;
    face.resize(vertices.len(), f32::NAN);
    // One wing is the other's mirror image where both grinds are.
    let mirrored = tip.surface().is_symmetric() && surface.is_symmetric();
    let looked_at = if mirrored { columns.div_ceil(2) } else { columns };
    for i in (0..looked_at).filter(|i| is_measured(*i, columns)) {
        for j in (0..rows).filter(|j| is_measured(*j, rows)) {
            let at = i * rows + j;
            let vertex = &vertices[at];
            let (point, normal) = (vertex.position.as_dvec3(), vertex.normal.as_dvec3());
            let Some(gap) = surface.way_to(point + lift, normal) else { continue };
            face[at] = gap as f32;
            if largest.is_none_or(|(most, _)| gap.abs() > most.abs()) {
                largest = Some((gap, at));
            }
        }
    }
    for i in looked_at..columns {
        face.copy_within((columns - 1 - i) * rows..(columns - i) * rows, i * rows);
    }
    // Between rows first, then between columns.
    let between = |face: &mut [f32], at: usize, before: usize, after: usize| {
        face[at] = match (face[before], face[after]) {
            (a, b) if a.is_nan() => b,
            (a, b) if b.is_nan() => a,
            (a, b) => f32::midpoint(a, b),
        };
    };
    for i in (0..columns).filter(|i| is_measured(*i, columns)) {
        for j in (0..rows).filter(|j| !is_measured(*j, rows)) {
            let at = i * rows + j;
            between(face, at, at - 1, at + 1);
        }
    }
    for i in (0..columns).filter(|i| !is_measured(*i, columns)) {
        for at in i * rows..(i + 1) * rows {
            between(face, at, at - rows, at + rows);
        }
    }
    largest.map(|(gap_mm, at)| {
        let place = vertices[at].position.as_dvec3();
        let edge = vertices[at - at % rows].position.as_dvec3();
        let arc = of.nearest_to_w(edge.z).and_then(|i| of.arc_mm().get(i)).map_or(0.0, |arc| 0.0 - arc);
        let place_in_tool = if turned_over { DVec3::new(place.x, -place.y, place.z) } else { place };
        LargestGap { gap_mm, place_in_tool, along_mm: arc, behind_mm: place.distance(edge) }
    })
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]
mod tests {
    use super::*;
    use crate::{
        answer::swept::swept,
        saved::{library::demo_bench, setting::SupportSaved},
    };

    fn shape(name: &str, longer_by_mm: f64) -> Swept {
        let bench = demo_bench().unwrap();
        let mut entry = bench.setting_named(name).unwrap().clone();
        if let SupportSaved::Holder { projection_mm, .. } = &mut entry.support {
            *projection_mm += longer_by_mm;
        }
        let (job, view) = bench.answer(&entry).unwrap();
        swept(&job, &view, entry.swing.as_ref(), 201).unwrap()
    }

    fn gap(of: &Swept, other: &Swept) -> TipGap {
        let mut meshes = [TipMesh::default(), TipMesh::default()];
        of.fill_meshes(&mut meshes, of.length_to_show_mm(), f64::INFINITY);
        let mut gap = TipGap::default();
        gap.fill(of, other, &meshes);
        assert_eq!(gap.faces()[0].len(), meshes[0].ground().0.len());
        gap
    }

    #[test]
    fn the_gap_of_a_tip_to_itself_is_zero() {
        for name in ["Long grind, 85 mm", "Both faces", "Parting, both faces", "Round nose, burr"] {
            let one = shape(name, 0.0);
            let gap = gap(&one, &one);
            assert!(gap.largest().unwrap().gap_mm.abs() < 1e-4, "{name}: {:?}", gap.largest());
            assert!(gap.faces()[0].iter().all(|g| g.abs() < 1e-4), "{name}");
        }
    }

    // Common practice: a longer projection with all else left alone grinds keener, so the heel is ground deeper.
    #[test]
    fn a_longer_projection_is_ground_deeper_behind_the_nose_and_the_gap_grows_towards_the_heel() {
        let (one, other) = (shape("Long grind, 85 mm", 0.0), shape("Long grind, 85 mm", 4.0));
        let gap = gap(&one, &other);
        let face = &gap.faces()[0];
        let mut meshes = [TipMesh::default(), TipMesh::default()];
        one.fill_meshes(&mut meshes, one.length_to_show_mm(), f64::INFINITY);
        let (ground, column) = meshes[0].ground();
        // The middle of the edge, of the facet there and its heel.
        let middle = ground.len() / column / 2 * column;
        let (half, heel) = (middle + column / 2, middle + column - 1);
        assert!(face[middle].abs() < 1e-4, "both noses are at one place");
        assert!(face[heel] < face[half] && face[half] < -0.01);
        let most = gap.largest().unwrap();
        assert!(most.gap_mm.abs() >= f64::from(face[heel].abs()) && most.behind_mm > 1.0);
    }

    // Derived here: for faces this near, the gap of B seen from A is that of A seen from B with its sign turned.
    #[test]
    fn seen_from_the_other_side_the_sign_turns() {
        let (one, other) = (shape("Long grind, 85 mm", 0.0), shape("Long grind, 85 mm", 1.0));
        let there = gap(&one, &other);
        let mut back = gap(&other, &one);
        back.turn_round();
        let (a, b) = (there.largest().unwrap().gap_mm, back.largest().unwrap().gap_mm);
        assert!(a.signum() == b.signum() && (a - b).abs() < 0.1 * a.abs(), "{a} {b}");
    }

    #[test]
    fn a_tool_ground_on_both_faces_has_a_gap_on_each_and_against_one_face_on_one_only() {
        let (two, one) = (shape("Both faces", 0.0), shape("Round nose, burr", 0.0));
        let both = gap(&two, &two);
        assert!(both.faces().iter().all(|face| face.iter().any(|g| !g.is_nan())));
        let mixed = gap(&two, &one);
        assert!(mixed.faces()[1].iter().all(|g| g.is_nan()));
    }
}
