//! The outline of the tip seen from the side and from above, in millimetres, for drawings.
//!
//! Steel fills everything behind the height field, so its outline is the least station over the width (seen
//! from the side) or over the height (seen from above).

#![allow(clippy::neg_cmp_op_on_partial_ord, reason = "written so that a NaN takes the safe way")]

use glam::DVec2;

use crate::swept::tip::Tip;

/// Searched places across the line of sight.
const ACROSS: usize = 24;

/// Seen from the side: `(s, h)` from the sawn end along the top, round the tip and back along the
/// underside.
#[must_use]
pub fn side_outline(tip: &Tip, length_mm: f64, count: usize) -> Vec<DVec2> {
    outline(tip, length_mm, count, |place| place.y)
}

/// Seen from above: `(s, w)` from the sawn end along the `−w` side, round the nose and back along the `+w`
/// side.
#[must_use]
pub fn plan_outline(tip: &Tip, length_mm: f64, count: usize) -> Vec<DVec2> {
    let mut outline = outline(tip, length_mm, count, |place| place.x);
    outline.reverse();
    outline
}

/// The field's least station at each level of `across(w, h)`, level after level from the highest.
fn outline(tip: &Tip, length_mm: f64, count: usize, across: impl Fn(DVec2) -> f64) -> Vec<DVec2> {
    let count = count.clamp(8, 4000);
    let columns = 4 * count;
    let level_of = |t: f64, v: f64| {
        let (place, hit) = tip.at(t, v);
        (across(place), hit.map(|hit| hit.s_mm))
    };
    // Levels spanned by the section.
    let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
    for i in 0..=columns {
        let ruling = tip.steel().ruling(2.0 * i as f64 / columns as f64 - 1.0);
        for place in [ruling.wall, ruling.outline] {
            low = low.min(across(place));
            high = high.max(across(place));
        }
    }
    let span = high - low;
    if !(span > 0.0) {
        return Vec::new();
    }
    let mut least = vec![f64::INFINITY; count + 1];
    // Every curve of the patch at fixed v and every one at fixed t is followed; between its neighbours the
    // station is taken as straight. Only the second kind finds an outline that runs straight through the patch,
    // as that of a gouge's nose does.
    let field: Vec<(f64, Option<f64>)> = (0..=ACROSS)
        .flat_map(|j| (0..=columns).map(move |i| (i, j)))
        .map(|(i, j)| level_of(2.0 * i as f64 / columns as f64 - 1.0, j as f64 / ACROSS as f64))
        .collect();
    let at = |i: usize, j: usize| field[j * (columns + 1) + i];
    let mut follow = |from: (f64, Option<f64>), to: (f64, Option<f64>)| {
        let ((level_0, Some(s0)), (level_1, Some(s1))) = (from, to) else { return };
        let [x0, x1] = [level_0, level_1].map(|level| (level - low) / span * count as f64);
        let (first, last) = (x0.min(x1), x0.max(x1));
        let mut k = first.ceil().max(0.0) as usize;
        while k <= count && k as f64 <= last {
            let fraction = if last > first { (k as f64 - x0) / (x1 - x0) } else { 0.0 };
            least[k] = least[k].min(s0 + fraction * (s1 - s0));
            k += 1;
        }
    };
    for j in 0..=ACROSS {
        for i in 0..=columns {
            if i > 0 {
                follow(at(i - 1, j), at(i, j));
            }
            if j > 0 {
                follow(at(i, j - 1), at(i, j));
            }
        }
    }
    let mut outline = Vec::with_capacity(count + 3);
    outline.push(DVec2::new(length_mm, high));
    for k in (0..=count).rev() {
        if least[k].is_finite() && least[k] <= length_mm {
            outline.push(DVec2::new(least[k], low + span * k as f64 / count as f64));
        }
    }
    outline.push(DVec2::new(length_mm, low));
    outline
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
    use approx::assert_relative_eq;

    fn tip() -> Tip {
        let surface = GroundSurface::rolled(&Rolled {
            line: RollLine::through(DVec2::new(139.5, -49.5), 0.0).unwrap(),
            bevel: Angle::from_degrees(45.0),
            edge_height_mm: -4.0,
            abrasive: GrindingFace::Wheel { radius_mm: 75.0, width_mm: 40.0 },
            swing: Swing::ASSUMED,
            turn: Angle::ZERO,
        })
        .unwrap();
        let steel =
            Steel::of_bar(&Bar::new(16.0, FluteShape::Power { factor: 0.25, exponent: 2.0 }, -4.0).unwrap());
        Tip::new(surface, steel)
    }

    #[test]
    fn no_steel_sticks_out_of_the_outline() {
        let tip = tip();
        let side = side_outline(&tip, 40.0, 200);
        let plan = plan_outline(&tip, 40.0, 200);
        let least_at = |outline: &[DVec2], level: f64| {
            outline[1..outline.len() - 1]
                .iter()
                .min_by(|a, b| (a.y - level).abs().total_cmp(&(b.y - level).abs()))
                .unwrap()
                .x
        };
        for i in 0..40 {
            for j in 0..20 {
                let (place, hit) = tip.at(f64::from(i) / 19.5 - 1.0, f64::from(j) / 19.0);
                let s = hit.unwrap().s_mm;
                assert!(s > least_at(&side, place.y) - 0.3);
                assert!(s > least_at(&plan, place.x) - 0.3);
            }
        }
    }

    #[test]
    fn bevel_of_the_nose_is_smooth_from_the_side() {
        // The nose's own ruling is the outline there, and it is an arc of the wheel: no teeth.
        let tip = tip();
        let side = side_outline(&tip, 40.0, 200);
        let (floor, under) = (-4.0, -8.0);
        let bevel: Vec<DVec2> =
            side.into_iter().filter(|p| p.x < 10.0 && (under + 0.05..floor - 0.05).contains(&p.y)).collect();
        assert!(bevel.len() > 20);
        for p in bevel {
            let v = (floor - p.y) / (floor - under);
            let s = tip.at(0.0, v).1.unwrap().s_mm;
            assert_relative_eq!(p.x, s, epsilon = 2e-3);
        }
    }

    #[test]
    fn plan_is_symmetric_and_its_nose_is_the_foremost_of_the_edge() {
        let plan = plan_outline(&tip(), 40.0, 200);
        let nose = plan.iter().map(|p| p.x).fold(f64::INFINITY, f64::min);
        let edge = crate::swept::edge::Edge::trace(tip().surface(), tip().steel(), 801);
        let foremost = edge.points().iter().map(|p| p.s_mm).fold(f64::INFINITY, f64::min);
        assert!(foremost < -0.2, "this nose is a bulged one");
        assert_relative_eq!(nose, foremost, epsilon = 5e-3);
        for (a, b) in plan.iter().zip(plan.iter().rev()) {
            assert_relative_eq!(a.x, b.x, epsilon = 1e-9);
            assert_relative_eq!(a.y, -b.y, epsilon = 1e-9);
        }
        assert!(plan[0].y < 0.0);
    }
}
