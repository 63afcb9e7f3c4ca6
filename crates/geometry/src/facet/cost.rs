//! What a regrind costs in the side plane: steel removed, length lost, and where the cut begins and ends.
//!
//! A facet is looked at as its **setback** `s(t)`: how far behind the edge steel begins at depth `t` below it. On an
//! arc of radius `R` that leaves the edge at `β` the slope at depth `t` is `cos θ = cos β − t/R` and `ds/dt = cot θ`.
//! Cutting the edge back by `Δs` takes the steel between `s_old(t)` and `s_new(t) + Δs`. The new facet is whole as soon
//! as `Δs ≥ max (s_old − s_new)`: nothing where it is keener, which begins at the heel; up to the old heel where it is
//! blunter, which begins at the edge. The greatest and least difference lie at the ends, at the old heel, or where both
//! slopes agree, which is linear in `t`: nothing is searched for.

use crate::{
    facet::relief::{Relief, segment_mm2},
    math::angle::Angle,
    parts::{
        present_facet::{Hollow, PresentFacet},
        profile::{MOST_FACETS, Profile},
        wheel::Face,
    },
    side::facet::Facet,
};

/// Pieces of a curve: the facets of a profile, and steel going on straight behind them.
const MOST_PIECES: usize = MOST_FACETS + 1;
/// Depths at which a difference may turn: ends of pieces of both curves, and one place between each two of them.
const MOST_KNOTS: usize = 4 * MOST_PIECES + 2;

/// Where the new facet first meets the old one, and where it meets it last.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Place {
    /// At the edge.
    Edge,
    /// In the hollow between edge and heel.
    Between,
    /// At the heel, or behind it.
    Heel,
}

/// An arc or a straight of a facet, from a depth on.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Piece {
    from_depth: f64,
    from_setback: f64,
    begins_at: Angle,
    /// Curvature of its hollow, `1/R`; nothing for a flat one.
    per_radius: f64,
}

impl Piece {
    /// The cosine of the slope so far below its beginning.
    fn cos_at(&self, below: f64) -> f64 {
        (self.begins_at.cos() - below * self.per_radius).clamp(-1.0, 1.0)
    }

    /// Setback so far below its beginning: `t (2 cos β − t/R) / (sin θ + sin β)`, without cancellation and with the flat
    /// one as its limit.
    fn setback(&self, below: f64) -> f64 {
        let (sin, cos) = self.begins_at.sin_cos();
        let there = self.cos_at(below);
        let sin_there = ((1.0 - there) * (1.0 + there)).max(0.0).sqrt();
        self.from_setback + below * (2.0 * cos - below * self.per_radius) / (sin_there + sin)
    }

    /// Area between the plane through the edge and the piece, so far below its beginning.
    fn area(&self, below: f64) -> f64 {
        let setback = self.setback(below) - self.from_setback;
        let chord = setback.hypot(below);
        let segment = if self.per_radius > 0.0 { segment_mm2(1.0 / self.per_radius, chord) } else { 0.0 };
        // The rectangle before it, the triangle under the chord, and the segment between chord and arc.
        below * (self.from_setback + setback / 2.0) + segment
    }
}

/// The facets of a tool over the depth below its edge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FacetCurve {
    pieces: [Piece; MOST_PIECES],
    count: usize,
}

impl FacetCurve {
    fn starting(begins_at: Angle, per_radius: f64) -> Self {
        let first = Piece { from_depth: 0.0, from_setback: 0.0, begins_at, per_radius };
        Self { pieces: [first; MOST_PIECES], count: 1 }
    }

    fn push(&mut self, from: glam::DVec2, begins_at: Angle, per_radius: f64) {
        let from_depth = -from.y;
        let last = self.pieces[self.count - 1].from_depth;
        if self.count < MOST_PIECES && from_depth > last {
            self.pieces[self.count] = Piece { from_depth, from_setback: from.x, begins_at, per_radius };
            self.count += 1;
        }
    }

    /// Of facets as they are. Behind a heel that lies above the underside steel is taken to go on straight at the angle
    /// across the last facet.
    #[must_use]
    pub fn of_profile(profile: &Profile) -> Self {
        let curvature = |facet: &PresentFacet| match facet.hollow() {
            Hollow::Arc { radius_mm } => 1.0 / radius_mm,
            Hollow::Flat => 0.0,
        };
        let mut curve = Self::starting(profile.first().at_edge(), curvature(profile.first()));
        let mut end = (profile.first().heel_from_edge(), profile.first().across());
        for (facet, start) in profile.facets().skip(1) {
            curve.push(start, facet.at_edge(), curvature(facet));
            end = (start + facet.heel_from_edge(), facet.across());
        }
        curve.push(end.0, end.1, 0.0);
        curve
    }

    /// Of one ground facet.
    #[must_use]
    pub fn of_ground(facet: &Facet, face: Face) -> Self {
        Self::starting(facet.at_edge, per_radius(face))
    }

    /// Of facets ground in steps; those beyond the fifth are not looked at.
    #[must_use]
    pub fn of_relief(relief: &Relief) -> Self {
        let first = &relief.facets()[0];
        let mut curve = Self::starting(first.at_begin, per_radius(first.setting.face));
        for facet in relief.facets().iter().skip(1) {
            curve.push(facet.begins_from_edge, facet.at_begin, per_radius(facet.setting.face));
        }
        curve
    }

    fn pieces(&self) -> &[Piece] {
        &self.pieces[..self.count]
    }

    fn at(&self, depth: f64) -> &Piece {
        self.pieces().iter().rev().find(|piece| piece.from_depth <= depth).unwrap_or(&self.pieces[0])
    }

    fn setback(&self, depth: f64) -> f64 {
        let piece = self.at(depth);
        piece.setback(depth - piece.from_depth)
    }

    /// Area between the plane through the edge, square to the axis, and the facets, down to a depth.
    fn area(&self, depth: f64) -> f64 {
        let ends = self.pieces().iter().skip(1).map(|piece| piece.from_depth).chain([f64::INFINITY]);
        self.pieces()
            .iter()
            .zip(ends)
            .filter(|(piece, _)| piece.from_depth < depth)
            .map(|(piece, end)| piece.area(depth.min(end) - piece.from_depth))
            .sum()
    }
}

fn per_radius(face: Face) -> f64 {
    face.radius_mm().map_or(0.0, f64::recip)
}

/// A facet as it is, or several, and what is asked for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Regrind {
    old: FacetCurve,
    new: FacetCurve,
    under_mm: f64,
    /// Depths between which the difference of setbacks is monotone, rising; the first is zero, the last the underside.
    knots: [f64; MOST_KNOTS],
    count: usize,
}

/// Halvings that narrow a crossing down to rounding.
const HALVINGS: u32 = 64;

impl Regrind {
    /// From one facet as it is to the one a face grinds, through `under_mm` of steel.
    #[must_use]
    pub fn new(old: &PresentFacet, new: &Facet, face: Face, under_mm: f64) -> Self {
        let old = FacetCurve::of_profile(&Profile::from(*old));
        Self::between(old, FacetCurve::of_ground(new, face), under_mm)
    }

    /// From some facets to others, through `under_mm` of steel.
    #[must_use]
    pub fn between(old: FacetCurve, new: FacetCurve, under_mm: f64) -> Self {
        let mut regrind = Self { old, new, under_mm, knots: [0.0; MOST_KNOTS], count: 0 };
        let mut ends = [under_mm; 2 * MOST_PIECES];
        let starts = old.pieces().iter().chain(new.pieces()).map(|piece| piece.from_depth);
        for (place, start) in ends.iter_mut().zip(starts) {
            *place = start.min(under_mm);
        }
        ends.sort_by(f64::total_cmp);
        let mut from = 0.0;
        for end in ends {
            // On a stretch where both curves are one piece both slopes agree at one depth at most:
            // cos β₀ − (t − t₀)/R₀ = cos β₁ − (t − t₁)/R₁.
            let (a, b) = (old.at(from), new.at(from));
            let offset = |piece: &Piece| piece.begins_at.cos() + piece.from_depth * piece.per_radius;
            let agree = (offset(a) - offset(b)) / (a.per_radius - b.per_radius);
            regrind.push(from);
            if agree > from && agree < end {
                regrind.push(agree);
            }
            from = from.max(end);
        }
        regrind.push(under_mm);
        regrind
    }

    fn push(&mut self, depth: f64) {
        if self.count < MOST_KNOTS && (self.count == 0 || depth > self.knots[self.count - 1]) {
            self.knots[self.count] = depth;
            self.count += 1;
        }
    }

    fn knots(&self) -> &[f64] {
        &self.knots[..self.count]
    }

    /// By how much the old facet stands behind the new one at a depth, both edges in one place, in millimetres.
    #[must_use]
    pub fn difference_mm(&self, depth_mm: f64) -> f64 {
        self.old.setback(depth_mm) - self.new.setback(depth_mm)
    }

    fn extreme(&self, sign: f64) -> (f64, f64) {
        let mut best = (0.0, self.difference_mm(0.0));
        for depth in self.knots() {
            let here = self.difference_mm(*depth);
            if sign * here > sign * best.1 {
                best = (*depth, here);
            }
        }
        best
    }

    fn place(&self, depth: f64) -> Place {
        // A heel that lies above the underside is a heel all the same.
        let heel = self.old.pieces().last().map_or(self.under_mm, |last| last.from_depth);
        let heel = if heel > 0.0 { heel.min(self.under_mm) } else { self.under_mm };
        if depth <= 1e-9 {
            Place::Edge
        } else if depth >= heel - 1e-9 {
            Place::Heel
        } else {
            Place::Between
        }
    }

    /// Length lost when the new facet is cut whole, edge to heel, in millimetres along the axis (square to the edge where
    /// that is held parallel to the spindle).
    #[must_use]
    pub fn length_lost_mm(&self) -> f64 {
        self.extreme(1.0).1.max(0.0)
    }

    /// Where the wheel first touches the old facet, and where it touches it last.
    #[must_use]
    pub fn begins_and_ends(&self) -> (Place, Place) {
        (self.place(self.extreme(-1.0).0), self.place(self.extreme(1.0).0))
    }

    /// Length lost when the new facet is left as an edge bevel of a width, in millimetres; `None` for a width that reaches
    /// below the underside.
    #[must_use]
    pub fn length_lost_for_width_mm(&self, width_mm: f64) -> Option<f64> {
        let depth = self.depth_of_width(width_mm)?;
        Some(self.difference_mm(depth).max(0.0))
    }

    /// Depth of the end of the new facet, so wide.
    fn depth_of_width(&self, width_mm: f64) -> Option<f64> {
        let first = &self.new.pieces[0];
        let turn = (width_mm * first.per_radius / 2.0).asin();
        let depth = width_mm * (first.begins_at.radians() + turn).sin();
        (depth > 0.0 && depth <= self.under_mm * (1.0 + 1e-12)).then(|| depth.min(self.under_mm))
    }

    /// Steel taken in the side plane when the edge goes back by `length_lost_mm`, in square millimetres.
    #[must_use]
    pub fn removed_mm2(&self, length_lost_mm: f64) -> f64 {
        if !length_lost_mm.is_finite() {
            return 0.0;
        }
        let over = |depth: f64| length_lost_mm - self.difference_mm(depth);
        let mut sum = 0.0;
        for pair in self.knots().windows(2) {
            let [from, to] = [pair[0], pair[1]];
            if to <= from {
                continue;
            }
            let (a, b) = (over(from), over(to));
            let (from, to) = match (a > 0.0, b > 0.0) {
                (false, false) => continue,
                (true, true) => (from, to),
                (true, false) => (from, crossing(&over, from, to)),
                (false, true) => (crossing(&over, from, to), to),
            };
            let area = |curve: &FacetCurve| curve.area(to) - curve.area(from);
            sum += length_lost_mm * (to - from) + area(&self.new) - area(&self.old);
        }
        sum.max(0.0)
    }

    /// The outline of what is taken when the edge goes back by `length_lost_mm`: points `(s, h)` from the old edge, along
    /// the new facet and back along the old one, `count` depths each; empty where nothing is.
    pub fn removed_outline(
        &self,
        length_lost_mm: f64,
        count: usize,
    ) -> impl Iterator<Item = [glam::DVec2; 2]> + use<> {
        let this = *self;
        let count = count.max(1);
        (0..=count).map(move |i| {
            let depth = this.under_mm * i as f64 / count as f64;
            let old = this.old.setback(depth);
            let new = (this.new.setback(depth) + length_lost_mm).max(old);
            [glam::DVec2::new(old, -depth), glam::DVec2::new(new, -depth)]
        })
    }
}

/// Where a difference that is monotone between two depths is zero.
fn crossing(over: &impl Fn(f64) -> f64, mut from: f64, mut to: f64) -> f64 {
    let first = over(from) > 0.0;
    for _ in 0..HALVINGS {
        let middle = f64::midpoint(from, to);
        if (over(middle) > 0.0) == first {
            from = middle;
        } else {
            to = middle;
        }
    }
    f64::midpoint(from, to)
}

/// One grind that was timed: how fast this turner takes steel off with this wheel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TimedGrind {
    removed_mm3: f64,
    minutes: f64,
    passes: Option<f64>,
}

impl TimedGrind {
    /// So much steel, in cubic millimetres, in so many minutes, and in so many passes where they were counted; `None`
    /// unless each is positive and finite.
    #[must_use]
    pub fn new(removed_mm3: f64, minutes: f64, passes: Option<f64>) -> Option<Self> {
        let counts = |x: f64| x > 0.0 && x.is_finite();
        (counts(removed_mm3) && counts(minutes) && passes.is_none_or(counts)).then_some(Self {
            removed_mm3,
            minutes,
            passes,
        })
    }

    /// Minutes for an amount of steel, in proportion.
    #[must_use]
    pub fn minutes_for(&self, removed_mm3: f64) -> f64 {
        self.minutes * (removed_mm3 / self.removed_mm3)
    }

    /// Passes for an amount of steel, where they were counted.
    #[must_use]
    pub fn passes_for(&self, removed_mm3: f64) -> Option<f64> {
        Some(self.passes? * (removed_mm3 / self.removed_mm3))
    }
}

/// How long a tool lasts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ToolLife {
    /// Flute or blade that can still be ground away, in millimetres.
    pub usable_mm: f64,
    /// What a regrind takes off its length, in millimetres.
    pub lost_each_mm: f64,
    /// Regrinds a year.
    pub regrinds_a_year: Option<f64>,
}

impl ToolLife {
    /// Whole regrinds that are left; `None` where a regrind takes nothing off, or for numbers that are none.
    #[must_use]
    pub fn regrinds_left(&self) -> Option<f64> {
        // Slightly over, so that 10 mm at 0.1 mm are a hundred.
        let left = (self.usable_mm / self.lost_each_mm * (1.0 + 1e-12)).floor();
        (self.usable_mm >= 0.0 && self.lost_each_mm > 0.0 && left.is_finite()).then_some(left)
    }

    /// Years until they are used up, where it is known how many a year takes.
    #[must_use]
    pub fn years_left(&self) -> Option<f64> {
        let a_year = self.regrinds_a_year.filter(|a_year| *a_year > 0.0)?;
        Some(self.regrinds_left()? / a_year).filter(|years| years.is_finite())
    }
}
