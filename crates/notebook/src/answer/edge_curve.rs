//! The quantities that run along an edge, and the round numbers that their axes carry.

use bevelbench_geometry::swept::EdgePoint;

use crate::answer::swept::Swept;

/// A quantity that has a value at every point of the edge.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum EdgeCurve {
    /// Angle between ground face and axis.
    BevelToAxis,
    /// Angle of the steel at the edge.
    Wedge,
    /// Chord from edge to heel.
    FacetWidth,
    /// Setback behind the nose station.
    Setback,
}

impl EdgeCurve {
    /// Every one, in the order of the page.
    pub const ALL: [Self; 4] = [Self::BevelToAxis, Self::Wedge, Self::FacetWidth, Self::Setback];

    /// Its name.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::BevelToAxis => "Bevel to the axis",
            Self::Wedge => "Wedge angle",
            Self::FacetWidth => "Facet width",
            Self::Setback => "Setback",
        }
    }

    /// Whether it is an angle in degrees; else it is a length in millimetres.
    #[must_use]
    pub const fn is_angle(self) -> bool {
        matches!(self, Self::BevelToAxis | Self::Wedge)
    }

    /// Its value at a point, in degrees or millimetres.
    #[must_use]
    pub fn at(self, point: &EdgePoint) -> f64 {
        match self {
            Self::BevelToAxis => point.bevel_to_axis.degrees(),
            Self::Wedge => point.wedge.degrees(),
            Self::FacetWidth => point.facet_width_mm,
            Self::Setback => point.s_mm,
        }
    }

    /// The least span that its axis shows, so that a curve that hardly varies looks like one.
    #[must_use]
    pub const fn least_span(self) -> f64 {
        if self.is_angle() { 5.0 } else { 2.0 }
    }
}

/// What a curve is drawn over.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Over {
    /// Distance along the edge from the nose.
    #[default]
    Along,
    /// Place across the tool.
    Across,
}

impl Over {
    /// Its value at a point of the edge, in millimetres. It grows towards `−w`, the right wing seen from the handle
    /// with the flute up, so that left and right of a chart are those of the turner.
    #[must_use]
    pub fn at(self, swept: &Swept, index: usize) -> Option<f64> {
        match self {
            Self::Along => swept.arc_mm().get(index).map(|arc| 0.0 - arc),
            Self::Across => swept.points().get(index).map(|point| 0.0 - point.w_mm),
        }
    }

    /// The point of the edge nearest a value.
    #[must_use]
    pub fn nearest(self, swept: &Swept, value_mm: f64) -> Option<usize> {
        let gap = |i: usize| self.at(swept, i).map_or(f64::INFINITY, |at| (at - value_mm).abs());
        (0..swept.points().len()).min_by(|&a, &b| gap(a).total_cmp(&gap(b)))
    }
}

/// The curve in pieces that do not jump: places over values.
#[must_use]
pub fn pieces(swept: &Swept, curve: EdgeCurve, over: Over) -> Vec<Vec<[f64; 2]>> {
    let mut pieces = vec![Vec::with_capacity(swept.points().len())];
    for (i, point) in swept.points().iter().enumerate() {
        if i > 0 && swept.is_broken_between(i - 1, i) {
            pieces.push(Vec::new());
        }
        if let (Some(piece), Some(x)) = (pieces.last_mut(), over.at(swept, i)) {
            piece.push([x, curve.at(point)]);
        }
    }
    pieces
}

/// 1, 2 or 5 times a power of ten, the least that is not below `least`. Nothing below a millionth.
#[must_use]
pub fn round_increment(least: f64) -> f64 {
    let least = if least.is_finite() { least.max(1e-6) } else { 1.0 };
    let power = 10.0_f64.powf(least.log10().floor());
    let found = [1.0, 2.0, 5.0].into_iter().map(|m| m * power).find(|step| *step >= least * (1.0 - 1e-9));
    found.unwrap_or(10.0 * power)
}

/// The multiples of a step from `from` to `to`; a thousand at most.
#[must_use]
pub fn multiples(step: f64, from: f64, to: f64) -> Vec<f64> {
    let (first, last) = ((from / step - 1e-9).ceil(), (to / step + 1e-9).floor());
    if !(first.is_finite() && last.is_finite() && last >= first) {
        return Vec::new();
    }
    let count = (last - first).min(1000.0) as u32;
    (0..=count).map(|i| (first + f64::from(i)) * step).collect()
}

#[cfg(test)]
#[allow(
    clippy::unwrap_used,
    clippy::float_cmp,
    reason = "a test may stop at a surprise and compare exact steps"
)]
mod tests {
    use super::*;
    use crate::{answer::swept::swept, saved::library::demo_bench};

    #[test]
    fn round_increments_are_one_two_or_five() {
        assert_eq!(round_increment(0.3), 0.5);
        assert_eq!(round_increment(1.0), 1.0);
        assert_eq!(round_increment(21.0), 50.0);
        assert_eq!(round_increment(51.0), 100.0);
        assert_eq!(round_increment(f64::NAN), 1.0);
        assert!(round_increment(-3.0) > 0.0);
    }

    #[test]
    fn multiples_stay_within_their_limits() {
        assert_eq!(multiples(5.0, 38.0, 52.0), [40.0, 45.0, 50.0]);
        assert_eq!(multiples(2.0, -4.0, 4.0), [-4.0, -2.0, 0.0, 2.0, 4.0]);
        assert!(multiples(1.0, 3.0, 2.0).is_empty());
        assert!(multiples(1.0, f64::NAN, 2.0).is_empty());
        assert!(multiples(1e-6, 0.0, 1e9).len() <= 1001);
    }

    #[test]
    fn curves_give_back_the_edge_they_were_made_of() {
        let bench = demo_bench().unwrap();
        let entry = bench.setting_named("Long grind, 85 mm").unwrap();
        let (job, view) = bench.answer(entry).unwrap();
        let shape = swept(&job, &view, entry.swing.as_ref(), 101).unwrap();
        for curve in EdgeCurve::ALL {
            for over in [Over::Along, Over::Across] {
                let pieces = pieces(&shape, curve, over);
                assert_eq!(pieces.iter().map(Vec::len).sum::<usize>(), 101);
                for (i, [x, y]) in pieces.concat().into_iter().enumerate() {
                    assert_eq!(Some(x), over.at(&shape, i));
                    assert_eq!(y, curve.at(&shape.points()[i]));
                    assert_eq!(over.nearest(&shape, x), Some(i));
                }
            }
        }
    }
}
