//! The ink test forwards: where ink of a film thickness goes when a facet, or several, rests on today's wheel.
//!
//! A profile is a chain of facets from the edge to the heel, arcs or flats. Each is settled by itself, as if its
//! own start were the edge; the one that stops the tool first is the one the tool rests on. Where the gap to the
//! wheel is below the film's thickness there is ink; the ends of the inked stretches follow in closed form from
//! the wheel's circle grown by the film.
//!
//! Tool frame, points relative to the edge, millimetres. Places along the profile are chord lengths from the
//! edge.

use glam::{DVec2, dvec2};

use crate::{
    facet::contact::{NoContact, Pattern, Touch},
    math::angle::Angle,
    parts::{
        present_facet::{Hollow, PresentFacet},
        profile::{MOST_FACETS, Profile},
        support::{Table, TableSpec},
        wheel::Face,
    },
    side::setting::{Setting, Support},
};

/// Film of a felt pen's ink, in millimetres: an assumption of this program, to be shown as one.
pub const FILM_ASSUMED_MM: f64 = 0.005;
/// Rounding allowed to a gap that is nothing, in millimetres.
const TOLERANCE_MM: f64 = 1e-9;

/// An inked stretch, in chord lengths from the edge, in millimetres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Inked {
    /// Nearer to the edge.
    pub from_mm: f64,
    /// Nearer to the heel.
    pub to_mm: f64,
}

impl Inked {
    /// Its width in millimetres.
    #[must_use]
    pub fn width_mm(&self) -> f64 {
        self.to_mm - self.from_mm
    }
}

/// The most stretches: a gap passes the film at most twice on a facet.
const MOST_STRETCHES: usize = 2 * MOST_FACETS + 1;

/// A profile at rest on the wheel, and where the ink goes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct InkMap {
    profile: Profile,
    face: Face,
    touch: Touch,
    rests_on: usize,
    stretches: [Option<Inked>; MOST_STRETCHES],
}

impl InkMap {
    /// The inked stretches, from the edge on.
    pub fn stretches(&self) -> impl Iterator<Item = &Inked> {
        self.stretches.iter().flatten()
    }

    /// Width of all ink together, in millimetres.
    #[must_use]
    pub fn inked_mm(&self) -> f64 {
        self.stretches().map(Inked::width_mm).sum()
    }

    /// The profile.
    #[must_use]
    pub fn profile(&self) -> &Profile {
        &self.profile
    }

    /// How the tool rests: the wheel in the tool frame, relative to the edge. Its gaps are those of the facet that
    /// stops the tool; [`InkMap::gap_at_mm`] knows those of all.
    #[must_use]
    pub fn touch(&self) -> &Touch {
        &self.touch
    }

    /// Gap at the edge, in millimetres.
    #[must_use]
    pub fn edge_gap_mm(&self) -> f64 {
        self.gap_at_mm(0.0)
    }

    /// Gap at the heel, in millimetres.
    #[must_use]
    pub fn heel_gap_mm(&self) -> f64 {
        self.gap_at_mm(self.profile.width_mm())
    }

    /// Which facet, counted from the edge from zero, stops the tool.
    #[must_use]
    pub fn rests_on(&self) -> usize {
        self.rests_on
    }

    /// Gap between profile and wheel at a chord length from the edge, in millimetres.
    #[must_use]
    pub fn gap_at_mm(&self, along_mm: f64) -> f64 {
        let gap = self.touch.gap_at_mm(self.face, self.profile.point_at(along_mm));
        if gap < TOLERANCE_MM { 0.0 } else { gap }
    }

    /// The wheel's centre relative to the edge (a flat face: a point of it).
    #[must_use]
    pub fn wheel_from_edge(&self) -> DVec2 {
        self.touch.wheel_from_edge
    }

    /// What the ink looks like from edge to heel.
    #[must_use]
    pub fn pattern(&self) -> Pattern {
        self.pattern_within(self.profile.width_mm()).unwrap_or(Pattern::Middle)
    }

    /// What the ink looks like on the facet at the edge. Where only what lies behind it touches, that is its heel's side.
    #[must_use]
    pub fn pattern_at_edge(&self) -> Pattern {
        self.pattern_within(self.profile.first().width_mm()).unwrap_or(Pattern::Heel)
    }

    /// Width of the ink on the facet at the edge, in millimetres.
    #[must_use]
    pub fn inked_at_edge_mm(&self) -> f64 {
        self.within(self.profile.first().width_mm()).map(|stretch| stretch.width_mm()).sum()
    }

    /// The inked stretches nearer to the edge than a width.
    fn within(&self, width_mm: f64) -> impl Iterator<Item = Inked> {
        let cut =
            move |stretch: &Inked| Inked { from_mm: stretch.from_mm, to_mm: stretch.to_mm.min(width_mm) };
        self.stretches().map(cut).filter(|stretch| stretch.to_mm > stretch.from_mm)
    }

    /// What the ink looks like from the edge to a width behind it; `None` where there is none.
    fn pattern_within(&self, width_mm: f64) -> Option<Pattern> {
        let near = 1e-6 * width_mm;
        let at_edge = self.within(width_mm).next()?.from_mm <= near;
        let at_heel = self.within(width_mm).last()?.to_mm >= width_mm - near;
        let inked_mm: f64 = self.within(width_mm).map(|stretch| stretch.width_mm()).sum();
        Some(match (at_edge, at_heel) {
            (true, true) if inked_mm >= width_mm - 2.0 * near => Pattern::Whole,
            (true, true) => Pattern::BothEnds,
            (true, false) => Pattern::Edge,
            (false, true) => Pattern::Heel,
            (false, false) => Pattern::Middle,
        })
    }

    /// Adds a stretch, joined to the one before where they meet.
    fn add(&mut self, from_mm: f64, to_mm: f64) {
        if let Some(last) = self.stretches.iter_mut().rev().find_map(Option::as_mut)
            && from_mm - last.to_mm <= TOLERANCE_MM
        {
            last.to_mm = to_mm;
        } else if let Some(place) = self.stretches.iter_mut().find(|place| place.is_none()) {
            *place = Some(Inked { from_mm, to_mm });
        }
    }
}

impl Setting {
    /// Where ink goes when `profile` rests on this setting's wheel: wherever the gap is no more than `film_mm`.
    ///
    /// # Errors
    /// [`NoContact`] when no facet can meet the wheel, or the film is no number from zero up.
    pub fn ink(&self, profile: &Profile, film_mm: f64) -> Result<InkMap, NoContact> {
        if !(film_mm.is_finite() && film_mm >= 0.0) {
            return Err(NoContact);
        }
        let mut first: Option<(f64, usize, Touch)> = None;
        for (i, (facet, start)) in profile.facets().enumerate() {
            let Ok(touch) = self.with_edge_at(start).and_then(|moved| moved.settle(facet)) else { continue };
            let touch = Touch { wheel_from_edge: touch.wheel_from_edge + start, ..touch };
            let lead = self.lead(&touch);
            if lead.is_finite() && first.is_none_or(|(most, ..)| lead > most) {
                first = Some((lead, i, touch));
            }
        }
        let (_, rests_on, touch) = first.ok_or(NoContact)?;
        let mut map =
            InkMap { profile: *profile, face: self.face, touch, rests_on, stretches: [None; MOST_STRETCHES] };
        let mut before = 0.0;
        for (facet, start) in profile.facets() {
            let mut cuts = [0.0, 1.0, 1.0, 1.0];
            for (place, fraction) in
                cuts[1..3].iter_mut().zip(self.fractions_at_gap(facet, start, &touch, film_mm + TOLERANCE_MM))
            {
                *place = fraction.filter(|fraction| *fraction > 0.0 && *fraction < 1.0).unwrap_or(1.0);
            }
            cuts.sort_by(f64::total_cmp);
            for pair in cuts.windows(2) {
                let middle = start + facet.point_at(f64::midpoint(pair[0], pair[1]));
                if pair[1] > pair[0] && touch.gap_at_mm(self.face, middle) <= film_mm + TOLERANCE_MM {
                    map.add(before + pair[0] * facet.width_mm(), before + pair[1] * facet.width_mm());
                }
            }
            before += facet.width_mm();
        }
        Ok(map)
    }

    /// The same set-up for a tool whose edge is at a point of the present one's profile.
    pub(crate) fn with_edge_at(&self, start: DVec2) -> Result<Self, NoContact> {
        let mut moved = *self;
        moved.edge.height_mm += start.y;
        let along = start.x / self.foreshortening();
        match &mut moved.support {
            Support::Handle { tool_length_mm, .. } => *tool_length_mm -= along,
            Support::Holder { projection_mm, .. } => *projection_mm -= along,
            // That point lies lower over the table: as if the table were raised under it.
            Support::Table { table, .. } => {
                let spec = TableSpec {
                    surface_offset_mm: table.spec().surface_offset_mm + start.y,
                    ..*table.spec()
                };
                *table = Table::new(spec).map_err(|_| NoContact)?;
            }
        }
        Ok(moved)
    }

    /// How early a touch comes: of several the one with the greatest lead stops the tool.
    fn lead(&self, touch: &Touch) -> f64 {
        match (self.pivot(), touch.flat_normal) {
            (None, None) => -touch.wheel_from_edge.x,
            (None, Some(normal)) => -touch.wheel_from_edge.dot(normal),
            (Some((_, in_tool)), normal) => {
                // The wheel comes up from below about the pivot; its centre's direction falls.
                let pivot = in_tool - dvec2(0.0, self.edge.height_mm);
                let towards = normal.map_or(touch.wheel_from_edge - pivot, |normal| -normal);
                let turn = (Angle::of(towards) - Angle::of(-pivot)).wrapped().radians();
                if normal.is_some() && turn < -std::f64::consts::FRAC_PI_2 {
                    turn + std::f64::consts::TAU
                } else {
                    turn
                }
            }
        }
    }

    /// The fractions of a facet at which the gap is a given one.
    fn fractions_at_gap(
        &self,
        facet: &PresentFacet,
        start: DVec2,
        touch: &Touch,
        gap: f64,
    ) -> [Option<f64>; 2] {
        let centre = touch.wheel_from_edge - start;
        match (facet.hollow(), self.face, touch.flat_normal) {
            (Hollow::Arc { radius_mm: h }, face, normal) => {
                // The point's direction about the hollow's centre is 90° − β − 2κ·fraction.
                let (sin, cos) = facet.at_edge().sin_cos();
                let from_hollow = centre + h * dvec2(sin, cos);
                let (towards, cosine) = match (face, normal) {
                    (Face::Round { radius_mm }, _) => {
                        let (d, reach) = (from_hollow.length(), radius_mm + gap);
                        (Angle::of(from_hollow), (h * h + d * d - reach * reach) / (2.0 * h * d))
                    }
                    (Face::Flat { .. }, Some(normal)) => {
                        (Angle::of(normal), (gap + from_hollow.dot(normal)) / h)
                    }
                    (Face::Flat { .. }, None) => return [None; 2],
                };
                if cosine.is_nan() || cosine.abs() > 1.0 {
                    return [None; 2];
                }
                let open = Angle::from_radians(cosine.acos());
                let turn = facet.half_turn().radians() * 2.0;
                [towards + open, towards - open]
                    .map(|way| Some((Angle::QUARTER - facet.at_edge() - way).wrapped().radians() / turn))
            }
            (Hollow::Flat, face, normal) => {
                let heel = facet.heel_from_edge();
                match (face, normal) {
                    (Face::Round { radius_mm }, _) => {
                        // |fraction·heel − centre| = R + gap
                        let square = heel.length_squared();
                        let half = heel.dot(centre) / square;
                        let reach = radius_mm + gap;
                        let inside = half * half - (centre.length_squared() - reach * reach) / square;
                        if inside < 0.0 {
                            [None; 2]
                        } else {
                            [Some(half - inside.sqrt()), Some(half + inside.sqrt())]
                        }
                    }
                    (Face::Flat { .. }, Some(normal)) => {
                        let fraction = (gap + centre.dot(normal)) / heel.dot(normal);
                        [fraction.is_finite().then_some(fraction), None]
                    }
                    (Face::Flat { .. }, None) => [None; 2],
                }
            }
        }
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]
mod tests {
    use super::*;
    use crate::parts::{
        edge_section::EdgeSection,
        oblique::Presentation,
        support::{AngleTravel, Arm, Holder, HolderSpec, Travel},
    };
    use proptest::prelude::*;

    fn wide() -> AngleTravel {
        AngleTravel { least: Angle::from_degrees(-30.0), most: Angle::from_degrees(90.0) }
    }

    fn setting(kind: u8, flat: bool, reach: f64, tilt: f64) -> Setting {
        let travel = Travel { least_mm: -500.0, most_mm: 900.0 };
        let zero = if flat { dvec2(0.0, 10.0) } else { dvec2(20.0, -140.0) };
        let arm = Arm::new(zero, Angle::ZERO, travel).unwrap();
        let reach_mm = if flat { reach / 3.0 } else { reach };
        let support = match kind {
            0 => Support::Handle {
                arm,
                reach_mm: reach_mm + 90.0 * f64::from(u8::from(!flat)),
                tool_length_mm: 210.0,
            },
            1 => Support::Holder {
                arm,
                holder: Holder::new(HolderSpec {
                    hinge_setback_mm: 15.0,
                    hinge_drop_mm: 6.0,
                    strut_length_mm: 70.0,
                    strut_angle: wide(),
                    body_length_mm: 30.0,
                    body_height_mm: 20.0,
                })
                .unwrap(),
                reach_mm,
                projection_mm: 60.0,
                strut_angle: Angle::from_degrees(50.0),
            },
            _ => Support::Table {
                table: Table::new(TableSpec {
                    hinge_in_bench: dvec2(130.0, -10.0),
                    surface_offset_mm: 12.0,
                    front_mm: 5.0,
                    rear_mm: 60.0,
                    tilt: wide(),
                })
                .unwrap(),
                tilt: Angle::from_degrees(tilt),
            },
        };
        Setting {
            face: if flat { Face::Flat { normal: Angle::ZERO } } else { Face::Round { radius_mm: 90.0 } },
            edge: EdgeSection { height_mm: -2.0, under_mm: 5.0 },
            obliquity: Angle::QUARTER,
            presentation: Presentation::AxisInSidePlane,
            support,
        }
    }

    fn facet(hollow: Option<f64>, degrees: f64, width: f64) -> PresentFacet {
        let hollow = hollow.map_or(Hollow::Flat, |radius_mm| Hollow::Arc { radius_mm });
        PresentFacet::new(hollow, Angle::from_degrees(degrees), width).unwrap()
    }

    /// Settles by brute force: sampled points, the tool turned (or slid) in a bracketed search until the least
    /// distance of any of them from the wheel is nothing. Returns the gaps of the samples.
    fn by_brute_force(setting: &Setting, samples: &[DVec2]) -> Option<Vec<f64>> {
        // A pose carries points relative to the edge into the bench; `along` grows towards the wheel.
        let gaps = |along: f64| -> Vec<f64> {
            samples
                .iter()
                .map(|&point| {
                    let in_bench = if let Some((pivot, in_tool)) = setting.pivot() {
                        // The tool hangs on its pivot at a slope; lowered by `along` radians.
                        let from_pivot = point + dvec2(0.0, setting.edge.height_mm) - in_tool;
                        pivot + DVec2::from_angle(along).rotate(from_pivot)
                    } else {
                        let Support::Table { table, tilt } = setting.support else { return f64::NAN };
                        let up = tilt.direction().perp();
                        let on = up * (table.plane_from_centre_mm(tilt) + setting.edge.under_mm);
                        on - tilt.direction() * (along - 300.0) + tilt.direction().rotate(point)
                    };
                    setting.face.distance_mm(in_bench)
                })
                .collect()
        };
        let least = |along: f64| gaps(along).into_iter().fold(f64::INFINITY, f64::min);
        // Coming from well clear of the wheel, the first pose in which something touches.
        let (mut clear, step) = if setting.pivot().is_some() { (-2.0, 0.002) } else { (0.0, 0.5) };
        if least(clear) <= 0.0 {
            return None;
        }
        let mut tries = 0;
        while least(clear + step) > 0.0 {
            clear += step;
            tries += 1;
            if tries > 2000 {
                return None;
            }
        }
        let (mut low, mut high) = (clear, clear + step);
        for _ in 0..70 {
            let middle = f64::midpoint(low, high);
            if least(middle) > 0.0 { low = middle } else { high = middle }
        }
        Some(gaps(low))
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

        /// Independent method: sampled profiles settled by a bracketed search.
        #[test]
        fn ink_goes_where_brute_force_finds_small_gaps(
            kind in 0_u8..3,
            flat in prop::bool::weighted(0.25),
            reach in 110.0_f64..180.0,
            tilt in 5.0_f64..40.0,
            bevels in prop::collection::vec((-6.0_f64..6.0, 2.0_f64..7.0, prop::option::of(60.0_f64..140.0)), 1..4),
            film in 0.002_f64..0.08,
        ) {
            let setting = setting(kind, flat, reach, tilt);
            let Ok(view) = setting.evaluate() else { return Ok(()) };
            let mut facets = Vec::new();
            for (off, width, hollow) in bevels {
                let degrees = view.bevel().degrees() + off;
                if !(5.0..120.0).contains(&degrees) {
                    return Ok(());
                }
                facets.push(facet(hollow, degrees, width));
            }
            let profile = Profile::new(&facets).unwrap();
            let map = setting.ink(&profile, film).unwrap();
            // Even samples, and the corners between facets.
            let mut along: Vec<f64> = (0..=400).map(|i| profile.width_mm() * f64::from(i) / 400.0).collect();
            let mut corner = 0.0;
            for (facet, _) in profile.facets() {
                corner += facet.width_mm();
                along.push(corner);
            }
            let samples: Vec<DVec2> = along.iter().map(|&place| profile.point_at(place)).collect();
            let Some(gaps) = by_brute_force(&setting, &samples) else { return Ok(()) };
            for (&place, gap) in along.iter().zip(&gaps) {
                prop_assert!((map.gap_at_mm(place) - gap).abs() < 1e-4, "{place}: {} {gap}", map.gap_at_mm(place));
                // Away from the film's own thickness, where sampling may go either way.
                if (gap - film).abs() > 1e-4 {
                    let inked = map.stretches().any(|s| s.from_mm <= place + 1e-9 && place <= s.to_mm + 1e-9);
                    prop_assert_eq!(inked, *gap < film, "{}: gap {}, film {}, {:?}", place, gap, film, map);
                }
            }
        }
    }

    #[test]
    fn facet_of_this_very_setting_is_inked_from_edge_to_heel() {
        for kind in 0..3 {
            let setting = setting(kind, false, 140.0, 20.0);
            let view = setting.evaluate().unwrap();
            let own = facet(Some(90.0), view.bevel().degrees(), view.facet.width_mm);
            let map = setting.ink(&own.into(), FILM_ASSUMED_MM).unwrap();
            assert_eq!(map.pattern(), Pattern::Whole);
            let thin = setting.ink(&own.into(), 0.0).unwrap();
            assert_eq!(thin.pattern(), Pattern::Whole, "{thin:?}");
        }
    }

    #[test]
    fn keener_setting_inks_the_heel_and_a_blunter_one_the_edge() {
        for kind in 0..3 {
            let setting = setting(kind, false, 140.0, 20.0);
            let view = setting.evaluate().unwrap();
            let pattern = |off: f64| {
                let facet = facet(Some(90.0), view.bevel().degrees() + off, view.facet.width_mm);
                setting.ink(&facet.into(), FILM_ASSUMED_MM).unwrap().pattern()
            };
            assert_eq!((pattern(2.0), pattern(-2.0)), (Pattern::Heel, Pattern::Edge));
        }
    }

    #[test]
    fn relieved_heel_keeps_the_ink_at_the_junction_when_the_setting_lies_between() {
        // Front facet five degrees blunter than the setting, back facet five degrees keener: their corner stands
        // out towards the wheel.
        let setting = setting(1, false, 140.0, 20.0);
        let bevel = setting.evaluate().unwrap().bevel().degrees();
        let chain = Profile::new(&[facet(None, bevel + 5.0, 4.0), facet(None, bevel - 5.0, 3.0)]).unwrap();
        let map = setting.ink(&chain, 0.01).unwrap();
        assert_eq!((map.pattern(), map.stretches().count()), (Pattern::Middle, 1));
        let stretch = *map.stretches().next().unwrap();
        assert!(stretch.from_mm < 4.0 && stretch.to_mm > 4.0 && stretch.width_mm() < 0.5, "{map:?}");
        assert!(map.gap_at_mm(4.0) < 1e-9 && map.gap_at_mm(0.0) > 0.2, "{map:?}");
    }

    #[test]
    fn invalid_films_and_chains_are_refused() {
        let setting = setting(1, false, 140.0, 20.0);
        let own = Profile::from(facet(None, 45.0, 4.0));
        for film in [f64::NAN, f64::INFINITY, -0.1] {
            assert!(setting.ink(&own, film).is_err());
        }
        assert!(Profile::new(&[]).is_none());
        assert!(Profile::new(&[facet(None, 45.0, 4.0); 5]).is_none());
    }
}
