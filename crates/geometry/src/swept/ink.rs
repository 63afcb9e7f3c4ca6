//! The ink test over a whole swept bevel: the ground face as it is, settled on today's wheel place by place of
//! the swing, and the gap that stays open everywhere.
//!
//! At each roll angle the tool is turned about its pivot (or slid along its table) until the wheel, in the
//! plane through the roll line, first touches the section of the face as it is; then `gap = |X − C| − R ≥ 0`
//! over that section. Ink goes where the gap is below the film's thickness. Beyond the swing, and near its ends, the wheel
//! of each pose within 25° of the end is tried, with its real width.
//!
//! **Assumed**: the contact is kept at the middle of the wheel, as everywhere in this crate. Where the face as it
//! is leans across the plane by a slope `m`, the cylinder beside the plane would touch earlier by about `r m²/2`,
//! `r` being the distance from the roll line: micrometres for grinds that a film can distinguish.
//!
//! Sections are compared in a plane of their own: along the roll line (or the tool) and away from it on the
//! wheel's side, millimetres.

use std::f64::consts::PI;

use glam::{DVec2, DVec3};

use crate::swept::{
    ground::{GroundSurface, Motion},
    push::{Push, PushProfile},
    sweep::{Profile, Sweep},
    tip::Tip,
};

/// Places along the edge at which the face as it is is sampled.
const COLUMNS: usize = 161;
/// Places from the edge to the heel.
const ROWS: usize = 13;
/// Sections of the swing.
const SECTIONS: usize = 257;
/// How far from an end of the swing sections are tried for a place beyond it: farther than a tool is found turned in its
/// holder.
const NEAR_THE_END: f64 = 25.0 * PI / 180.0;
/// How many of them at most.
const TRIED: usize = 72;

/// How a tool comes to rest on the wheel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Settling {
    /// Turned about its pivot, `(s, h)` in millimetres. A rolled tool has the pivot of its roll line, whatever
    /// is given here.
    AboutPivot {
        /// The pivot.
        pivot_in_tool: DVec2,
    },
    /// Slid along its table.
    AlongTable,
}

/// The wheel in the plane of a section, and the one movement that is left to the tool.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Facer {
    profile: Profile,
    approach: Approach,
}

#[derive(Debug, Clone, Copy, PartialEq)]
enum Approach {
    /// About a pivot: its place, what keeps its length (the way to the wheel's centre, or to the flat face) and
    /// the direction it had when the setting was made.
    About { pivot: DVec2, length: f64, direction: f64 },
    /// Along a direction, from the nose towards the handle.
    Along { way: DVec2 },
}

fn wrapped(angle: f64) -> f64 {
    let turned = angle.rem_euclid(2.0 * PI);
    if turned > PI { turned - 2.0 * PI } else { turned }
}

impl Facer {
    fn about(profile: Profile, pivot: DVec2) -> Self {
        let (length, direction) = match profile {
            Profile::Circle { centre, .. } => {
                let arm = centre - pivot;
                (arm.length(), arm.y.atan2(arm.x))
            }
            Profile::Line { normal, offset } => (offset - normal.dot(pivot), normal.y.atan2(normal.x)),
        };
        Self { profile, approach: Approach::About { pivot, length, direction } }
    }

    /// How far the wheel may come, counted from where the setting has it, before it touches a point: an angle
    /// about the pivot or a length. The least over all points is where the tool rests; nothing where the wheel
    /// never reaches the point.
    #[inline]
    fn way_to(&self, point: DVec2) -> Option<f64> {
        match (self.profile, self.approach) {
            (Profile::Circle { radius, .. }, Approach::About { pivot, length, direction }) => {
                let arm = point - pivot;
                let square = arm.length_squared();
                let cos = (square + length * length - radius * radius) / (2.0 * square.sqrt() * length);
                (cos.abs() <= 1.0).then(|| wrapped(arm.y.atan2(arm.x) - cos.acos() - direction))
            }
            (Profile::Line { .. }, Approach::About { pivot, length, direction }) => {
                let arm = point - pivot;
                let cos = length / arm.length();
                (cos.abs() <= 1.0).then(|| wrapped(arm.y.atan2(arm.x) + cos.acos() - direction))
            }
            (Profile::Circle { centre, radius }, Approach::Along { way }) => {
                let leg = point - centre;
                let along = leg.dot(way);
                let under = radius * radius - (leg.length_squared() - along * along);
                (under >= 0.0).then(|| along - under.sqrt())
            }
            (Profile::Line { normal, offset }, Approach::Along { way }) => {
                let lean = normal.dot(way);
                (lean > 1e-9).then(|| (normal.dot(point) - offset) / lean)
            }
        }
    }

    /// The wheel that has come so far.
    #[inline]
    fn come(&self, come: f64) -> Come {
        match (self.profile, self.approach) {
            (Profile::Circle { .. }, Approach::About { pivot, length, direction }) => {
                Come { at: pivot + length * DVec2::from_angle(direction + come), offset: 0.0 }
            }
            (Profile::Line { .. }, Approach::About { pivot, length, direction }) => {
                let at = DVec2::from_angle(direction + come);
                Come { at, offset: length + at.dot(pivot) }
            }
            (Profile::Circle { centre, .. }, Approach::Along { way }) => {
                Come { at: centre + come * way, offset: 0.0 }
            }
            (Profile::Line { normal, offset }, Approach::Along { way }) => {
                Come { at: normal, offset: offset + come * normal.dot(way) }
            }
        }
    }

    /// What tells how near a point is to the wheel that has come: a squared distance from its centre, or the
    /// distance from a flat face.
    #[inline]
    fn nearness(&self, point: DVec2, come: Come) -> f64 {
        match self.profile {
            Profile::Circle { .. } => point.distance_squared(come.at),
            Profile::Line { .. } => point.dot(come.at) - come.offset,
        }
    }

    /// A nearness as a gap in millimetres; negative inside the wheel.
    #[inline]
    fn gap_mm(&self, nearness: f64) -> f64 {
        match self.profile {
            Profile::Circle { radius, .. } => nearness.sqrt() - radius,
            Profile::Line { .. } => nearness,
        }
    }
}

/// A wheel that has come to the face: its centre, or the normal and offset of a flat face.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Come {
    at: DVec2,
    offset: f64,
}

impl Come {
    /// So little apart that the way between two is as good as straight.
    #[inline]
    fn lerp(self, other: Self, fraction: f64) -> Self {
        Self {
            at: self.at.lerp(other.at, fraction),
            offset: self.offset + (other.offset - self.offset) * fraction,
        }
    }
}

/// A section of the swing: the way off the roll line in it, how far the wheel comes, and the wheel there.
#[derive(Debug, Clone, Copy)]
struct Section {
    towards: DVec2,
    limit: f64,
    come: Option<Come>,
}

/// Where a place of the face is met.
#[derive(Debug, Clone, Copy)]
struct Met {
    /// Along the roll line.
    along: f64,
    /// Off the roll line towards the wheel and beside, in the pose of the middle.
    across: DVec2,
    /// Roll angle that brings the place into the plane of the wheel.
    roll: f64,
}

/// How today's movement is cut into sections.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Sections {
    Rolled(Sweep),
    Pushed(Push),
}

impl Sections {
    #[inline]
    fn meet(&self, place: DVec3) -> Met {
        match self {
            Self::Rolled(sweep) => {
                let p = sweep.frame.point(place);
                Met { along: p.x, across: DVec2::new(p.y, p.z), roll: p.z.atan2(p.y) }
            }
            Self::Pushed(push) => {
                let along = place.x * push.per_s - place.z * push.per_w;
                Met { along, across: DVec2::new(-place.y, 0.0), roll: 0.0 }
            }
        }
    }

    /// Half the width of the wheel.
    fn half_width(&self) -> f64 {
        match self {
            Self::Rolled(sweep) => sweep.half_width,
            Self::Pushed(_) => f64::INFINITY,
        }
    }
}

/// How the face lies against the wheel along one line from the edge to the heel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Facing {
    /// Length of that line, in millimetres.
    pub facet_mm: f64,
    /// How much of it is inked, in millimetres.
    pub inked_mm: f64,
    /// Gap at the edge, in millimetres.
    pub edge_gap_mm: f64,
    /// Gap at the heel, in millimetres.
    pub heel_gap_mm: f64,
}

/// The face as it is at rest on today's wheel, all over the swing. Kept and laid again: nothing is allocated once
/// it has been.
#[derive(Debug, Clone, Default)]
pub struct SweptInk {
    laid: Option<(Sections, Facer)>,
    half: f64,
    sections: Vec<Section>,
    before: Vec<Option<(f64, f64)>>,
}

impl SweptInk {
    /// The face of `present`, as some grind left it, at rest on the wheel that `today` leaves its surface with.
    #[must_use]
    pub fn new(present: &Tip, today: &GroundSurface, settling: Settling) -> Self {
        let mut ink = Self::default();
        ink.lay(present, today, settling);
        ink
    }

    /// The same into buffers that are kept.
    pub fn lay(&mut self, present: &Tip, today: &GroundSurface, settling: Settling) {
        let (cut, facer) = cut(today, settling);
        self.half = match &cut {
            Sections::Rolled(sweep) => sweep.half,
            Sections::Pushed(_) => 0.0,
        };
        self.laid = Some((cut, facer));
        let count = if self.half > 1e-9 { SECTIONS } else { 1 };
        let half = self.half;
        let roll =
            |i: usize| if count == 1 { 0.0 } else { half * (2.0 * i as f64 / (count - 1) as f64 - 1.0) };
        self.sections.clear();
        self.sections.extend((0..count).map(|i| Section {
            towards: DVec2::from_angle(roll(i)),
            limit: f64::INFINITY,
            come: None,
        }));
        self.before.clear();
        self.before.resize(ROWS, None);
        for column in 0..COLUMNS {
            let t = 2.0 * column as f64 / (COLUMNS - 1) as f64 - 1.0;
            for row in 0..ROWS {
                let met = present_at(present, t, row as f64 / (ROWS - 1) as f64).map(|p| cut.meet(p));
                let here = met.and_then(|met| Some((met.roll, facer.way_to(self.in_its_own_plane(met)?)?)));
                if let Some(here) = here {
                    self.stop(&facer, self.before[row].unwrap_or(here), here);
                }
                self.before[row] = here;
                let Some(met) = met else { continue };
                for i in self.near_the_end(met) {
                    let Some(point) = self.under(&cut, met, i) else { continue };
                    let section = &self.sections[i];
                    let inside =
                        section.come.is_none_or(|come| facer.gap_mm(facer.nearness(point, come)) < 0.0);
                    if inside && let Some(way) = facer.way_to(point) {
                        self.limit(&facer, i, way);
                    }
                }
            }
        }
    }

    /// Two neighbours along the edge, each with its roll angle and how far the wheel may come there: it comes no
    /// farther in the sections between them.
    #[inline]
    fn stop(&mut self, facer: &Facer, one: (f64, f64), other: (f64, f64)) {
        let last = self.sections.len() - 1;
        if last == 0 {
            self.limit(facer, 0, other.1);
            return;
        }
        let (low, high) = if one.0 <= other.0 { (one, other) } else { (other, one) };
        let per_section = 2.0 * self.half / last as f64;
        let place = |roll: f64| (roll + self.half) / per_section;
        let from = (place(low.0) - 1e-9).ceil().max(0.0) as usize;
        let to = (place(high.0) + 1e-9).floor().clamp(0.0, last as f64) as usize;
        let span = high.0 - low.0;
        for i in from..=to {
            let roll = i as f64 * per_section - self.half;
            let fraction = if span > 1e-12 { ((roll - low.0) / span).clamp(0.0, 1.0) } else { 1.0 };
            self.limit(facer, i, low.1 + (high.1 - low.1) * fraction);
        }
    }

    /// The wheel comes no farther than this in a section.
    #[inline]
    fn limit(&mut self, facer: &Facer, i: usize, limit: f64) {
        let section = &mut self.sections[i];
        if limit < section.limit {
            section.limit = limit;
            section.come = Some(facer.come(limit));
        }
    }

    /// A place in the plane of the wheel that its own roll angle brings it to, if the swing goes so far.
    #[inline]
    fn in_its_own_plane(&self, met: Met) -> Option<DVec2> {
        let off = if self.half > 0.0 { met.across.length() } else { met.across.x };
        (met.roll.abs() <= self.half + 1e-12).then(|| DVec2::new(met.along, off))
    }

    /// The sections near the end of the swing that a place is to be tried in: there the face as it is was left by a
    /// standing wheel, which touches all across and not only in its middle.
    #[inline]
    fn near_the_end(&self, met: Met) -> impl Iterator<Item = usize> + use<> {
        let last = self.sections.len() - 1;
        let per_section = 2.0 * self.half / last.max(1) as f64;
        let is_near = self.half > 0.0 && met.roll.abs() > self.half - NEAR_THE_END;
        let tried = if is_near { (NEAR_THE_END / per_section).min(last as f64) as usize + 1 } else { 0 };
        let from_the_end = (0..tried).step_by(tried.div_ceil(TRIED).max(1));
        from_the_end.map(move |k| if met.roll > 0.0 { last - k } else { k })
    }

    /// A place in the plane of a section, if the wheel standing there is wide enough.
    #[inline]
    fn under(&self, cut: &Sections, met: Met, i: usize) -> Option<DVec2> {
        let towards = self.sections[i].towards;
        let beside = towards.perp_dot(met.across);
        (beside.abs() <= cut.half_width()).then(|| DVec2::new(met.along, met.across.dot(towards)))
    }

    /// The wheel in the plane of a roll angle within the swing.
    #[inline]
    fn come_at(&self, roll: f64) -> Option<Come> {
        let last = self.sections.len() - 1;
        if last == 0 {
            return self.sections[0].come;
        }
        let place = ((roll + self.half) / (2.0 * self.half) * last as f64).clamp(0.0, last as f64);
        let low = (place as usize).min(last - 1);
        let fraction = place - low as f64;
        match (self.sections[low].come, self.sections[low + 1].come) {
            (Some(one), Some(other)) => Some(one.lerp(other, fraction)),
            // A section that nothing meets does not spoil the one beside it.
            (one, other) => one.or(other),
        }
    }

    /// Gap between a place of the face as it is, `(s, h, w)`, and the wheel where it comes nearest, in
    /// millimetres; `None` where no pose of the swing comes.
    #[must_use]
    #[inline]
    pub fn gap_at_mm(&self, place_in_tool: DVec3) -> Option<f64> {
        let (cut, facer) = self.laid.as_ref()?;
        let met = cut.meet(place_in_tool);
        let mut nearest = f64::INFINITY;
        if let Some(point) = self.in_its_own_plane(met)
            && let Some(come) = self.come_at(met.roll)
        {
            nearest = facer.nearness(point, come);
        }
        for i in self.near_the_end(met) {
            if let Some(point) = self.under(cut, met, i)
                && let Some(come) = self.sections[i].come
            {
                nearest = nearest.min(facer.nearness(point, come));
            }
        }
        let gap = facer.gap_mm(nearest);
        gap.is_finite().then_some(gap.max(0.0))
    }

    /// How the face lies at a place of the edge, −1 and 1 being the wing tops: along one line from there to the
    /// heel, for a film of a thickness in millimetres. `None` where the face or the wheel is missing.
    #[must_use]
    pub fn facing(&self, present: &Tip, t: f64, film_mm: f64) -> Option<Facing> {
        const STEPS: u32 = 64;
        let at = |i: u32| {
            let place = present_at(present, t, f64::from(i) / f64::from(STEPS))?;
            Some((place, self.gap_at_mm(place)?))
        };
        let first = at(0)?;
        let (mut facet_mm, mut inked_mm, mut before) = (0.0, 0.0, first);
        for i in 1..=STEPS {
            let here = at(i)?;
            let length = here.0.distance(before.0);
            facet_mm += length;
            let (near, far) = (before.1 - film_mm, here.1 - film_mm);
            inked_mm += length
                * match (near <= 0.0, far <= 0.0) {
                    (true, true) => 1.0,
                    (false, false) => 0.0,
                    (true, false) => near / (near - far),
                    (false, true) => far / (far - near),
                };
            before = here;
        }
        Some(Facing { facet_mm, inked_mm, edge_gap_mm: first.1, heel_gap_mm: before.1 })
    }
}

/// Today's movement in sections, and the wheel in their plane.
fn cut(today: &GroundSurface, settling: Settling) -> (Sections, Facer) {
    match today.motion() {
        Motion::Swept { sweep, line, .. } => {
            let facer = match settling {
                Settling::AboutPivot { .. } => Facer::about(sweep.profile, DVec2::new(line.reach_mm(), 0.0)),
                // A round nose turns about the table's normal and is pushed towards it; a bar slides along its
                // own axis.
                Settling::AlongTable => {
                    let upright = line.along_in_tool().x.abs() < 1e-9;
                    let way = if upright { DVec2::NEG_Y } else { DVec2::X };
                    Facer { profile: sweep.profile, approach: Approach::Along { way } }
                }
            };
            (Sections::Rolled(*sweep), facer)
        }
        Motion::Pushed(push) => {
            let down = |v: DVec2| DVec2::new(v.x, -v.y);
            let profile = match push.profile {
                PushProfile::Circle { centre, radius } => Profile::Circle { centre: down(centre), radius },
                PushProfile::Line { normal, offset } => Profile::Line { normal: down(normal), offset },
            };
            let facer = match settling {
                Settling::AboutPivot { pivot_in_tool } => {
                    Facer::about(profile, DVec2::new(pivot_in_tool.x * push.per_s, -pivot_in_tool.y))
                }
                Settling::AlongTable => Facer { profile, approach: Approach::Along { way: DVec2::X } },
            };
            (Sections::Pushed(*push), facer)
        }
    }
}

/// The place of the face as it is at `t` along the edge and `v` from there to the heel.
#[inline]
fn present_at(present: &Tip, t: f64, v: f64) -> Option<DVec3> {
    let (place, hit) = present.at(t, v);
    hit.map(|hit| DVec3::new(hit.s_mm, place.y, place.x))
}
