//! What to move so that a facet lies cleanly on the wheel: one definition, for the ink test forwards and backwards.
//!
//! A facet lies cleanly where its edge and its heel stand alike: the whole of it touches where the wheel has the hollow's
//! own radius, both ends where the wheel is larger, the middle where it is smaller. That place is found in closed form.
//! Edge and heel on the rim are a grind of the bevel `across − asin(c/2R)`; a wheel smaller than the hollow touches the
//! middle of the facet, which then plays the part of an edge of the bevel `across`.
//!
//! Tool frame, points relative to the edge, millimetres.

use crate::{
    facet::{
        contact::Pattern,
        ink::{FILM_ASSUMED_MM, InkMap},
    },
    math::{angle::Angle, quantity::Quantity},
    parts::{
        present_facet::{Hollow, PresentFacet},
        profile::Profile,
        wheel::Face,
    },
    side::{inverse::Target, refusal::Refusal, setting::Setting},
};

/// A move shorter than this cannot be set by hand, in millimetres (`common practice`: a rule is read to a few tenths).
pub const LEAST_MOVE_MM: f64 = 0.1;
/// A turn smaller than this cannot be set by hand, in degrees (`common practice`).
pub const LEAST_TURN_DEG: f64 = 0.1;
/// How unlike the gaps at edge and heel may be where they count as alike, in millimetres.
const ALIKE_MM: f64 = 1e-6;

/// What to do about how a facet lies on the wheel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum InkRemedy {
    /// The whole facet touches: nothing.
    Clean,
    /// Nothing: it touches both ends, or between them, on a wheel of another radius than the hollow's, or what is left
    /// to move is less than a hand can set.
    AsGoodAsItGets,
    /// Something is to be moved.
    Move(InkMove),
    /// The facet lies cleanly at no value of what may be moved.
    NoPlace,
    /// Where the facet at the edge would lie cleanly, another one behind it stands out and touches first.
    StandsOut,
}

impl InkRemedy {
    /// The move, if there is one.
    #[must_use]
    pub const fn to_move(&self) -> Option<&InkMove> {
        if let Self::Move(to_move) = self { Some(to_move) } else { None }
    }
}

/// A move after which a facet lies cleanly.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct InkMove {
    /// The value after it, in millimetres or degrees.
    pub value: f64,
    /// By how much, in millimetres or degrees; positive is more reach (pivot out), or the operator's side of a
    /// table up.
    pub by: f64,
    /// Why the rig cannot be set to it, if its travel stops short.
    pub off_travel: Option<Refusal>,
}

impl InkMove {
    /// Whether a hand can set it.
    #[must_use]
    pub fn is_settable_by_hand(&self, free: Quantity) -> bool {
        self.by.abs() >= if free.is_angle() { LEAST_TURN_DEG } else { LEAST_MOVE_MM }
    }
}

impl Setting {
    /// The nearest move of an input after which a facet lies cleanly; `None` where there is none.
    #[must_use]
    pub fn clean_move(&self, facet: &PresentFacet, free: Quantity) -> Option<InkMove> {
        let present = self.value_of(free)?;
        let nearest = |a: &InkMove, b: &InkMove| a.by.abs().total_cmp(&b.by.abs());
        let moves = self.clean_values(facet, free).into_iter().flatten().filter_map(|value| {
            let setting = self.with(free, value)?;
            setting.evaluate_off_travel().ok()?;
            let touch = setting.settle(facet).ok()?;
            let off_travel = setting.check_travel().err();
            ((touch.edge_gap_mm - touch.heel_gap_mm).abs() <= ALIKE_MM).then_some(InkMove {
                value,
                by: value - present,
                off_travel,
            })
        });
        moves.min_by(nearest)
    }

    /// The values at which edge and heel stand alike, the mirror images among them.
    fn clean_values(&self, facet: &PresentFacet, free: Quantity) -> [Option<f64>; 4] {
        let mut values = [None; 4];
        if free == Quantity::WheelDiameter {
            return values;
        }
        let touches_between = match (facet.hollow(), self.face) {
            (Hollow::Arc { radius_mm: hollow }, Face::Round { radius_mm }) => radius_mm < hollow,
            (Hollow::Flat, Face::Round { .. }) => true,
            (_, Face::Flat { .. }) => false,
        };
        let (edge, bevel) = if touches_between {
            (facet.point_at(0.5), facet.across())
        } else {
            let half = self.face.radius_mm().map_or(0.0, |radius| (facet.width_mm() / (2.0 * radius)).asin());
            (glam::DVec2::ZERO, facet.across() - Angle::from_radians(half))
        };
        let Ok(moved) = self.with_edge_at(edge) else { return values };
        let Ok(answers) = moved.find(Target::AtEdge(bevel), free) else { return values };
        let (was, is) = (self.value_of(free), moved.value_of(free));
        let back = was.zip(is).map_or(0.0, |(was, is)| was - is);
        for (place, answer) in values.iter_mut().zip(answers.all()) {
            *place = Some(answer.value + back);
        }
        values
    }

    /// What to do about how a profile lies on this setting's wheel, by moving one input: `map` is this setting's own.
    ///
    /// What is to lie cleanly is the facet at the edge.
    #[must_use]
    pub fn ink_remedy(&self, map: &InkMap, free: Quantity) -> InkRemedy {
        match map.pattern_at_edge() {
            Pattern::Whole => InkRemedy::Clean,
            Pattern::BothEnds | Pattern::Middle => InkRemedy::AsGoodAsItGets,
            Pattern::Edge | Pattern::Heel => self.remedy_of(map.profile(), free),
        }
    }

    /// The move after which a profile that touches at one end lies cleanly.
    pub(crate) fn remedy_of(&self, profile: &Profile, free: Quantity) -> InkRemedy {
        let Some(to_move) = self.clean_move(profile.first(), free) else { return InkRemedy::NoPlace };
        let there =
            self.with(free, to_move.value).and_then(|setting| setting.ink(profile, FILM_ASSUMED_MM).ok());
        match there.map(|map| map.pattern_at_edge()) {
            Some(Pattern::Edge | Pattern::Heel) => InkRemedy::StandsOut,
            Some(_) if to_move.is_settable_by_hand(free) => InkRemedy::Move(to_move),
            Some(_) => InkRemedy::AsGoodAsItGets,
            None => InkRemedy::NoPlace,
        }
    }
}
