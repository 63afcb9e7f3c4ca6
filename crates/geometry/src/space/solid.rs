//! Solids of the bench in three dimensions and the distance between two of them.
//!
//! Bench frame `(x, y, z)`: `x` towards the operator, `y` along the spindle, `z` up, millimetres. Every solid is convex
//! and known by its **support**, the point furthest in a direction; a distance is found by Gilbert, Johnson and Keerthi's
//! walk over the difference of two solids.
//!
//! # Source
//! E. G. Gilbert, D. W. Johnson, S. S. Keerthi, *A fast procedure for computing the distance between complex objects in
//! three-dimensional space*, IEEE J. Robotics and Automation 4 (1988), 193–203.

use glam::DVec3;

/// Steps of the walk after which its bound is good enough whatever happens.
const MOST_STEPS: usize = 128;
/// The walk ends when what can still be gained is this fraction of the distance's square.
const GAIN: f64 = 1e-11;
/// Solids nearer than this meet, in millimetres.
const MEETS_MM: f64 = 1e-9;

/// A convex solid.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Solid {
    /// A rod with round ends: a segment with a radius around it.
    Rod {
        /// Its ends, in millimetres.
        ends: [DVec3; 2],
        /// Its radius, in millimetres; zero for a line.
        radius_mm: f64,
    },
    /// A box of any direction.
    Block {
        /// Its middle.
        centre: DVec3,
        /// Unit vectors along its edges.
        axes: [DVec3; 3],
        /// Half its edges, in millimetres.
        half_mm: DVec3,
    },
    /// A wheel: a flat cylinder around the spindle.
    Disc {
        /// Its radius, in millimetres.
        radius_mm: f64,
        /// Half its width, in millimetres.
        half_width_mm: f64,
    },
}

/// The least gap between two solids.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gap {
    /// In millimetres; zero or less where they meet.
    pub mm: f64,
    /// The nearest point of the first.
    pub on_first: DVec3,
    /// The nearest point of the second.
    pub on_second: DVec3,
}

impl Solid {
    /// The point furthest in a direction, of the solid without its rounding.
    fn support(&self, direction: DVec3) -> DVec3 {
        match self {
            Self::Rod { ends: [a, b], .. } => {
                if a.dot(direction) >= b.dot(direction) {
                    *a
                } else {
                    *b
                }
            }
            Self::Block { centre, axes, half_mm } => {
                let side = |axis: DVec3, half: f64| axis * half.copysign(axis.dot(direction));
                *centre + side(axes[0], half_mm.x) + side(axes[1], half_mm.y) + side(axes[2], half_mm.z)
            }
            Self::Disc { radius_mm, half_width_mm } => {
                let out = direction.x.hypot(direction.z);
                let rim = if out > 0.0 { radius_mm / out } else { 0.0 };
                DVec3::new(direction.x * rim, half_width_mm.copysign(direction.y), direction.z * rim)
            }
        }
    }

    /// The rounding around it, in millimetres.
    fn rounding_mm(&self) -> f64 {
        match self {
            Self::Rod { radius_mm, .. } => *radius_mm,
            Self::Block { .. } | Self::Disc { .. } => 0.0,
        }
    }

    /// The same solid after a rigid movement.
    #[must_use]
    pub fn moved(&self, turn: glam::DQuat, about: DVec3, shift: DVec3) -> Self {
        let place = |p: DVec3| about + turn * (p - about) + shift;
        match *self {
            Self::Rod { ends, radius_mm } => Self::Rod { ends: ends.map(place), radius_mm },
            Self::Block { centre, axes, half_mm } => {
                Self::Block { centre: place(centre), axes: axes.map(|axis| turn * axis), half_mm }
            }
            disc @ Self::Disc { .. } => disc,
        }
    }

    /// The greatest distance of any of its points from a line, in millimetres: how fast it can come nearer when it turns
    /// about that line.
    #[must_use]
    pub fn farthest_from_line_mm(&self, about: DVec3, along: DVec3) -> f64 {
        let off = |p: DVec3| (p - about).reject_from_normalized(along).length();
        match self {
            Self::Rod { ends, radius_mm } => off(ends[0]).max(off(ends[1])) + radius_mm,
            Self::Block { centre, half_mm, .. } => off(*centre) + half_mm.length(),
            Self::Disc { radius_mm, half_width_mm } => off(DVec3::ZERO) + radius_mm.hypot(*half_width_mm),
        }
    }

    /// The least gap between two solids.
    ///
    /// # Accuracy
    /// 2e-8 mm at the sizes of a bench, and most often 1e-11 of the distance: near the closest point of a wheel's rim the
    /// walk's corners crowd together until rounding ends it.
    #[must_use]
    pub fn gap(&self, other: &Self) -> Gap {
        let mut simplex = Simplex::default();
        let start = self.support(DVec3::X) - other.support(-DVec3::X);
        let mut towards = if start.length_squared() > 0.0 { start } else { DVec3::X };
        let mut best =
            Nearest { point: DVec3::splat(f64::MAX), on_first: DVec3::ZERO, on_second: DVec3::ZERO };
        for _ in 0..MOST_STEPS {
            let (a, b) = (self.support(-towards), other.support(towards));
            let corner = Corner { difference: a - b, on_first: a, on_second: b };
            let square = best.point.length_squared();
            if simplex.count > 0 && square - best.point.dot(corner.difference) <= GAIN * square {
                break;
            }
            if !simplex.add(corner) {
                break;
            }
            let next = simplex.nearest();
            // No nearer than rounding: the walk has arrived.
            if simplex.count > 1 && next.point.length_squared() >= square {
                break;
            }
            best = next;
            towards = best.point;
            if towards.length_squared() < MEETS_MM * MEETS_MM {
                break;
            }
        }
        let rounding = [self.rounding_mm(), other.rounding_mm()];
        let length = best.point.length();
        if length.is_nan() || length < MEETS_MM {
            return Gap {
                mm: -rounding[0] - rounding[1],
                on_first: best.on_first,
                on_second: best.on_second,
            };
        }
        let way = best.point / length;
        Gap {
            mm: length - rounding[0] - rounding[1],
            on_first: best.on_first - way * rounding[0],
            on_second: best.on_second + way * rounding[1],
        }
    }
}

/// A corner of the difference of two solids, and the points it came from.
#[derive(Debug, Clone, Copy, Default)]
struct Corner {
    difference: DVec3,
    on_first: DVec3,
    on_second: DVec3,
}

/// At most four corners.
#[derive(Debug, Clone, Copy, Default)]
struct Simplex {
    corners: [Corner; 4],
    count: usize,
}

#[derive(Debug, Clone, Copy)]
struct Nearest {
    point: DVec3,
    on_first: DVec3,
    on_second: DVec3,
}

/// Every way to choose some of four corners, as bits.
const SUBSETS: u8 = 16;
/// A weight this little below zero is rounding.
const WEIGHT_TOLERANCE: f64 = 1e-12;

impl Simplex {
    /// Takes a corner in, unless it is there already.
    fn add(&mut self, corner: Corner) -> bool {
        let known = self.corners[..self.count].iter().any(|old| old.difference == corner.difference);
        if known || self.count == self.corners.len() || !corner.difference.is_finite() {
            return false;
        }
        self.corners[self.count] = corner;
        self.count += 1;
        true
    }

    /// The point of the simplex nearest to zero; keeps only the corners it hangs on.
    fn nearest(&mut self) -> Nearest {
        let mut best: Option<(f64, u8, [f64; 4])> = None;
        for subset in 1..SUBSETS.min(1 << self.count) {
            let Some(weights) = self.weights(subset) else { continue };
            let point = self.blend(&weights, |corner| corner.difference);
            let square = point.length_squared();
            if best.is_none_or(|(least, ..)| square < least) {
                best = Some((square, subset, weights));
            }
        }
        let (_, subset, weights) = best.unwrap_or((0.0, 1, [1.0, 0.0, 0.0, 0.0]));
        let nearest = Nearest {
            point: self.blend(&weights, |corner| corner.difference),
            on_first: self.blend(&weights, |corner| corner.on_first),
            on_second: self.blend(&weights, |corner| corner.on_second),
        };
        let mut kept = 0;
        for i in 0..self.count {
            if subset & (1 << i) != 0 {
                self.corners[kept] = self.corners[i];
                kept += 1;
            }
        }
        self.count = kept;
        nearest
    }

    fn blend(&self, weights: &[f64; 4], of: impl Fn(&Corner) -> DVec3) -> DVec3 {
        self.corners.iter().zip(weights).map(|(corner, weight)| of(corner) * *weight).sum()
    }

    /// Weights of the point of a flat through some corners that is nearest to zero; `None` where it lies outside them.
    fn weights(&self, subset: u8) -> Option<[f64; 4]> {
        let mut chosen = [0_usize; 4];
        let mut count = 0;
        for i in 0..self.count {
            if subset & (1 << i) != 0 {
                chosen[count] = i;
                count += 1;
            }
        }
        let at = |i: usize| self.corners[chosen[i]].difference;
        let first = at(0);
        let mut fractions = [1.0, 0.0, 0.0, 0.0];
        match count {
            1 => {}
            2 => {
                let along = at(1) - first;
                fractions[1] = -first.dot(along) / along.length_squared();
            }
            3 => {
                let (u, v) = (at(1) - first, at(2) - first);
                let normal = u.cross(v);
                let square = normal.length_squared();
                fractions[1] = -first.cross(v).dot(normal) / square;
                fractions[2] = -u.cross(first).dot(normal) / square;
            }
            _ => {
                let (u, v, w) = (at(1) - first, at(2) - first, at(3) - first);
                let volume = u.dot(v.cross(w));
                fractions[1] = -first.dot(v.cross(w)) / volume;
                fractions[2] = -u.dot(first.cross(w)) / volume;
                fractions[3] = -u.dot(v.cross(first)) / volume;
            }
        }
        fractions[0] = 1.0 - fractions[1] - fractions[2] - fractions[3];
        let mut weights = [0.0; 4];
        for (i, fraction) in fractions.iter().take(count).enumerate() {
            if fraction.is_nan() || *fraction < -WEIGHT_TOLERANCE {
                return None;
            }
            weights[chosen[i]] = fraction.max(0.0);
        }
        Some(weights)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Whole numbers from one to another, the same on every run.
    struct Random(u64);

    impl Random {
        fn whole(&mut self, least: i32, most: i32) -> f64 {
            self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            let span = u64::from((most - least).unsigned_abs()) + 1;
            f64::from(least) + ((self.0 >> 33) % span) as f64
        }

        fn point(&mut self, most: i32) -> DVec3 {
            DVec3::new(self.whole(-most, most), self.whole(-most, most), self.whole(-most, most))
        }
    }

    fn block(centre: DVec3, half_mm: DVec3) -> Solid {
        Solid::Block { centre, axes: [DVec3::X, DVec3::Y, DVec3::Z], half_mm }
    }

    /// A line along one axis as a block without thickness, and as a rod.
    fn line(random: &mut Random) -> (Solid, DVec3, DVec3, f64) {
        let (centre, half) = (random.point(20), random.whole(1, 12));
        let axis = [DVec3::X, DVec3::Y, DVec3::Z][random.whole(0, 2) as usize];
        let radius_mm = random.whole(0, 2);
        let ends = [centre - axis * half, centre + axis * half];
        (Solid::Rod { ends, radius_mm }, centre, axis * half, radius_mm)
    }

    /// The gap of two boxes that lie along the axes: the root of the squares of the gaps along each.
    fn by_hand(a: DVec3, a_half: DVec3, b: DVec3, b_half: DVec3) -> f64 {
        ((a - b).abs() - a_half - b_half).max(DVec3::ZERO).length()
    }

    #[test]
    fn boxes_and_rods_with_parallel_faces_and_edges_are_as_far_apart_as_their_sides_say() {
        // Derived here. Whole numbers, so that corners, edges and faces lie exactly opposite each other.
        let mut random = Random(5);
        let (mut apart, mut met) = (0, 0);
        for i in 0..2_000 {
            let half =
                |random: &mut Random| DVec3::new(random.whole(1, 9), random.whole(1, 9), random.whole(1, 9));
            let (a, a_half) = (random.point(20), half(&mut random));
            let (one, mut round) = (block(a, a_half), 0.0);
            let (other, b, b_half) = if i % 2 == 0 {
                let (b, b_half) = (random.point(20), half(&mut random));
                (block(b, b_half), b, b_half)
            } else {
                let (rod, b, b_half, radius) = line(&mut random);
                round = radius;
                (rod, b, b_half.abs())
            };
            let expected = by_hand(a, a_half, b, b_half);
            for (gap, back) in [(one.gap(&other), false), (other.gap(&one), true)] {
                if expected > 0.0 {
                    assert!(
                        (gap.mm - (expected - round)).abs() < 1e-8,
                        "{one:?} {other:?} {gap:?} {expected}"
                    );
                    // The two points lie on the two solids, so far apart.
                    let (first, second) =
                        if back { (gap.on_second, gap.on_first) } else { (gap.on_first, gap.on_second) };
                    assert!(((first - second).length() - (expected - round).abs()).abs() < 1e-7);
                    assert!(by_hand(a, a_half, first, DVec3::ZERO) < 1e-7);
                    assert!(by_hand(b, b_half, second, DVec3::splat(1e-7)) < round + 1e-7);
                    apart += 1;
                } else {
                    assert!(gap.mm <= 1e-8, "{one:?} {other:?} {gap:?}");
                    met += 1;
                }
            }
        }
        assert!(apart > 2_000 && met > 100, "{apart} {met}");
    }

    #[test]
    fn rods_that_lie_in_one_line_or_side_by_side_are_as_far_apart_as_their_ends_say() {
        let mut random = Random(9);
        for _ in 0..1_500 {
            let (one, a, a_half, a_radius) = line(&mut random);
            let (other, b, b_half, b_radius) = line(&mut random);
            let expected = by_hand(a, a_half.abs(), b, b_half.abs());
            let gap = one.gap(&other);
            if expected > 0.0 {
                assert!(
                    (gap.mm - (expected - a_radius - b_radius)).abs() < 1e-8,
                    "{one:?} {other:?} {gap:?}"
                );
            } else {
                assert!(gap.mm <= 1e-8);
            }
        }
    }
}
