//! The ink test backwards: from where the ink went, and about how wide, to what must move, which way and how far.
//!
//! Each pattern has one number behind it: how much blunter or keener the facet is than one that lies cleanly on the
//! setting's wheel (ink at one end), or how much tighter or wider its hollow is than the wheel (ink at both ends, or in
//! the middle). The inked width falls steadily with that number, so it is found by halving on the forward map itself;
//! what to move for the facet found is what the forward test says of it ([`crate::facet::ink_remedy`]). A film has a
//! thickness: gaps below it are all ink, and a facet too narrow for the wanted sureness cannot tell that it matches.

use crate::{
    facet::{contact::Pattern, ink_remedy::InkRemedy},
    math::{
        angle::Angle,
        dimension::{DimensionError, angle, length, length_or_none},
        quantity::Quantity,
    },
    parts::present_facet::{Hollow, PresentFacet},
    side::{
        refusal::Refusal,
        setting::{Setting, SideView},
    },
};

/// What was seen on the tool.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct InkSeen {
    /// Where the ink was rubbed, from edge to heel.
    pub pattern: Pattern,
    /// Width rubbed, both ends together where there are two, in millimetres; of no account for a whole facet.
    pub rubbed_mm: f64,
    /// Width of the facet, edge to heel, in millimetres.
    pub facet_mm: f64,
    /// Its hollow where that is known; without one ink at one end is taken to be on a facet of this wheel's own hollow.
    pub hollow: Option<Hollow>,
    /// Thickness of the film, in millimetres.
    pub film_mm: f64,
}

/// What the ink says.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum InkVerdict {
    /// The facet is so narrow, or the film so thick, that a facet as far off as was asked about is inked all over.
    CannotTell {
        /// What a facet of this width tells with this film.
        resolves: Angle,
        /// The width of facet that would tell, in millimetres, and infinite without a film thin enough.
        needs_mm: f64,
    },
    /// Facet and setting agree, to within what the film resolves.
    Matches {
        /// How far off they may be all the same.
        within: Angle,
    },
    /// The setting is keener than the facet: the heel touches.
    SettingKeener {
        /// By so much.
        by: Angle,
    },
    /// The setting is blunter than the facet: the edge touches.
    SettingBlunter {
        /// By so much.
        by: Angle,
    },
    /// The wheel is larger than the one that made the hollow.
    WheelLarger {
        /// Radius of the hollow, in millimetres.
        hollow_radius_mm: f64,
    },
    /// The wheel is smaller than the one that made the hollow.
    WheelSmaller {
        /// Radius of the hollow, in millimetres; flat without one.
        hollow_radius_mm: Option<f64>,
    },
    /// No facet of this width would be rubbed like that at this setting: check the width and the film.
    NotThisFacet,
}

/// What the ink says and what to move for it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct InkReading {
    /// What it says.
    pub verdict: InkVerdict,
    /// Bevel at the edge of the facet as it is, where the ink tells.
    pub facet_bevel: Option<Angle>,
    /// What to do about it, where the ink tells.
    pub remedy: Option<InkRemedy>,
}

/// Farthest a facet is taken to be off a setting.
const FARTHEST: Angle = Angle::from_degrees(40.0);

impl Setting {
    /// Reads an ink test. `wanted` is how far off the facet must show where it is inked all over; `free` is what may
    /// be moved.
    ///
    /// Assumed: ink at one end means a facet of this wheel's own hollow, unless another is known; ink at both ends or
    /// in the middle means a facet that lies along the wheel's chord.
    ///
    /// # Errors
    /// [`Refusal`] of the setting, and [`Refusal::DimensionError`] for a width or film out of range.
    pub fn read_ink(&self, seen: &InkSeen, wanted: Angle, free: Quantity) -> Result<InkReading, Refusal> {
        length(Quantity::FacetWidth, seen.facet_mm)?;
        length_or_none(Quantity::FacetWidth, seen.film_mm)?;
        length_or_none(Quantity::FacetWidth, seen.rubbed_mm)?;
        angle(Quantity::Bevel, wanted, 1e-6, 90.0)?;
        let view = self.evaluate()?;
        let own = self.lying_cleanly(&view, seen.facet_mm, self.face.hollow(), Angle::ZERO)?;
        if seen.rubbed_mm > seen.facet_mm {
            return Err(too_wide(seen).into());
        }
        let untold = |verdict| InkReading { verdict, facet_bevel: None, remedy: None };
        Ok(match seen.pattern {
            Pattern::Whole => {
                let resolves = self.resolution(&view, seen);
                if resolves > wanted {
                    let needs_mm = seen.film_mm / wanted.sin();
                    return Ok(untold(InkVerdict::CannotTell { resolves, needs_mm }));
                }
                InkReading {
                    verdict: InkVerdict::Matches { within: resolves },
                    facet_bevel: Some(own.at_edge()),
                    remedy: Some(InkRemedy::Clean),
                }
            }
            Pattern::Heel | Pattern::Edge => {
                let sign = if seen.pattern == Pattern::Heel { 1.0 } else { -1.0 };
                let Some((by, facet)) = self.facet_behind(&view, seen, sign) else {
                    return Ok(untold(InkVerdict::NotThisFacet));
                };
                let verdict = if sign > 0.0 {
                    InkVerdict::SettingKeener { by }
                } else {
                    InkVerdict::SettingBlunter { by }
                };
                let remedy = Some(self.remedy_of(&facet.into(), free));
                InkReading { verdict, facet_bevel: Some(facet.at_edge()), remedy }
            }
            Pattern::BothEnds | Pattern::Middle => {
                let Some(hollow) = self.hollow_behind(&view, seen) else {
                    return Ok(untold(InkVerdict::NotThisFacet));
                };
                let verdict = match (seen.pattern, hollow) {
                    (Pattern::BothEnds, Hollow::Arc { radius_mm: hollow_radius_mm }) => {
                        InkVerdict::WheelLarger { hollow_radius_mm }
                    }
                    (_, Hollow::Arc { radius_mm }) => {
                        InkVerdict::WheelSmaller { hollow_radius_mm: Some(radius_mm) }
                    }
                    (_, Hollow::Flat) => InkVerdict::WheelSmaller { hollow_radius_mm: None },
                };
                let facet = self.lying_cleanly(&view, seen.facet_mm, hollow, Angle::ZERO).ok();
                InkReading {
                    verdict,
                    facet_bevel: facet.map(|facet| facet.at_edge()),
                    remedy: Some(InkRemedy::AsGoodAsItGets),
                }
            }
        })
    }

    /// A facet of a hollow off by an angle (positive blunter) from the one whose two ends lie on the wheel as the
    /// setting stands.
    fn lying_cleanly(
        &self,
        view: &SideView,
        facet_mm: f64,
        hollow: Hollow,
        off: Angle,
    ) -> Result<PresentFacet, DimensionError> {
        let bevel = if hollow == self.face.hollow() {
            view.bevel()
        } else {
            let half = |radius: Option<f64>| {
                let sine = radius.map_or(0.0, |radius| facet_mm / (2.0 * radius));
                Angle::from_radians(sine.min(1.0).asin())
            };
            let of_hollow = if let Hollow::Arc { radius_mm } = hollow { Some(radius_mm) } else { None };
            view.bevel() + half(self.face.radius_mm()) - half(of_hollow)
        };
        PresentFacet::new(hollow, bevel + off, facet_mm)
    }

    /// As [`Setting::lying_cleanly`] for the hollow of a curvature.
    fn on_chord(
        &self,
        view: &SideView,
        seen: &InkSeen,
        curvature: f64,
    ) -> Result<PresentFacet, DimensionError> {
        self.lying_cleanly(view, seen.facet_mm, hollow_of(curvature), Angle::ZERO)
    }

    fn rubbed_of(&self, facet: Result<PresentFacet, DimensionError>, film_mm: f64) -> Option<f64> {
        Some(self.ink(&facet.ok()?.into(), film_mm).ok()?.inked_mm())
    }

    /// How far off a facet of this width may be and still be inked all over.
    fn resolution(&self, view: &SideView, seen: &InkSeen) -> Angle {
        let whole = |off: Angle| {
            [1.0, -1.0].iter().any(|sign| {
                let facet = self.lying_cleanly(view, seen.facet_mm, self.face.hollow(), off * *sign);
                self.rubbed_of(facet, seen.film_mm)
                    .is_some_and(|rubbed| rubbed >= seen.facet_mm * (1.0 - 1e-9))
            })
        };
        if whole(FARTHEST) {
            return FARTHEST;
        }
        let (mut low, mut high) = (Angle::ZERO, FARTHEST);
        for _ in 0..50 {
            let middle = (low + high) / 2.0;
            if whole(middle) { low = middle } else { high = middle }
        }
        low
    }

    /// The facet that is rubbed so wide at one end, and how far off it is.
    fn facet_behind(&self, view: &SideView, seen: &InkSeen, sign: f64) -> Option<(Angle, PresentFacet)> {
        let hollow = seen.hollow.unwrap_or(self.face.hollow());
        let facet =
            |off: f64| self.lying_cleanly(view, seen.facet_mm, hollow, Angle::from_radians(off * sign));
        let off =
            behind(0.0, FARTHEST.radians(), seen.rubbed_mm, |off| self.rubbed_of(facet(off), seen.film_mm))?;
        Some((Angle::from_radians(off), facet(off).ok()?))
    }

    /// The hollow of a facet that is rubbed at both ends, or in the middle: the known one where it can be, else the one
    /// that is rubbed so wide.
    fn hollow_behind(&self, view: &SideView, seen: &InkSeen) -> Option<Hollow> {
        let wheel = self.face.radius_mm().map_or(0.0, f64::recip);
        let tighter = |hollow: &Hollow| match hollow {
            Hollow::Arc { radius_mm } => radius_mm.recip() > wheel,
            Hollow::Flat => false,
        };
        let both_ends = seen.pattern == Pattern::BothEnds;
        if let Some(known) = seen.hollow.filter(|known| *known != self.face.hollow())
            && tighter(&known) == both_ends
        {
            return Some(known);
        }
        let most = if both_ends { 1.9 / seen.facet_mm } else { 0.0 };
        let facet = |curvature: f64| self.on_chord(view, seen, curvature);
        behind(wheel, most, seen.rubbed_mm, |curvature| self.rubbed_of(facet(curvature), seen.film_mm))
            .map(hollow_of)
    }
}

/// The hollow of a curvature, in 1/mm.
fn hollow_of(curvature: f64) -> Hollow {
    if curvature > 1e-7 { Hollow::Arc { radius_mm: curvature.recip() } } else { Hollow::Flat }
}

/// What lies behind a rubbed width that falls from `near` to `most`, as far as a bevel is left.
fn behind(near: f64, most: f64, rubbed_mm: f64, rubbed: impl Fn(f64) -> Option<f64>) -> Option<f64> {
    let (mut near, mut far) = (near, farthest(near, most, |place| rubbed(place).is_some())?);
    if rubbed(far)? > rubbed_mm {
        return None;
    }
    for _ in 0..60 {
        let middle = f64::midpoint(near, far);
        if rubbed(middle)? > rubbed_mm { near = middle } else { far = middle }
    }
    Some(f64::midpoint(near, far))
}

/// The farthest place from `near` towards `most` at which a bevel is left.
fn farthest(near: f64, most: f64, is_left: impl Fn(f64) -> bool) -> Option<f64> {
    if is_left(most) {
        return Some(most);
    }
    let halved = std::iter::successors(Some(most), |far| Some(f64::midpoint(near, *far))).take(40);
    let (mut beyond, mut far) = halved.clone().zip(halved.skip(1)).find(|(_, far)| is_left(*far))?;
    for _ in 0..40 {
        let middle = f64::midpoint(far, beyond);
        if is_left(middle) { far = middle } else { beyond = middle }
    }
    Some(far)
}

fn too_wide(seen: &InkSeen) -> DimensionError {
    DimensionError {
        quantity: Quantity::FacetWidth,
        value: seen.rubbed_mm,
        bound: crate::math::dimension::Bound::AtMost(seen.facet_mm),
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]
mod tests {
    use super::*;
    use crate::{
        parts::{
            edge_section::EdgeSection,
            oblique::Presentation,
            support::{AngleTravel, Arm, Table, TableSpec, Travel},
            wheel::Face,
        },
        side::setting::Support,
    };
    use approx::assert_relative_eq;
    use glam::dvec2;

    fn on_arm() -> Setting {
        let arm =
            Arm::new(dvec2(20.0, -140.0), Angle::ZERO, Travel { least_mm: 0.0, most_mm: 300.0 }).unwrap();
        Setting {
            face: Face::Round { radius_mm: 90.0 },
            edge: EdgeSection { height_mm: -2.0, under_mm: 5.0 },
            obliquity: Angle::QUARTER,
            presentation: Presentation::AxisInSidePlane,
            support: Support::Handle { arm, reach_mm: 220.0, tool_length_mm: 210.0 },
        }
    }

    fn on_table() -> Setting {
        let tilt = AngleTravel { least: Angle::from_degrees(-30.0), most: Angle::from_degrees(90.0) };
        let table = Table::new(TableSpec {
            hinge_in_bench: dvec2(130.0, -10.0),
            surface_offset_mm: 12.0,
            front_mm: 5.0,
            rear_mm: 60.0,
            tilt,
        })
        .unwrap();
        Setting { support: Support::Table { table, tilt: Angle::from_degrees(20.0) }, ..on_arm() }
    }

    #[test]
    fn what_the_forward_map_inks_is_read_back() {
        // The forward map was checked by brute force; this checks that the reading inverts it.
        for (setting, free) in [(on_arm(), Quantity::Reach), (on_table(), Quantity::TableTilt)] {
            let view = setting.evaluate().unwrap();
            for off in [-6.0, -1.5, 0.8, 3.0] {
                let off = Angle::from_degrees(off);
                let seen = InkSeen {
                    pattern: Pattern::Heel,
                    rubbed_mm: 0.0,
                    facet_mm: 7.0,
                    hollow: None,
                    film_mm: 0.005,
                };
                let facet = setting.lying_cleanly(&view, seen.facet_mm, setting.face.hollow(), off).unwrap();
                let map = setting.ink(&facet.into(), seen.film_mm).unwrap();
                let seen = InkSeen { pattern: map.pattern(), rubbed_mm: map.inked_mm(), ..seen };
                let reading = setting.read_ink(&seen, Angle::from_degrees(0.5), free).unwrap();
                match reading.verdict {
                    InkVerdict::SettingKeener { by } => {
                        assert_relative_eq!(by.degrees(), off.degrees(), epsilon = 1e-6);
                    }
                    InkVerdict::SettingBlunter { by } => {
                        assert_relative_eq!(-by.degrees(), off.degrees(), epsilon = 1e-6);
                    }
                    other => panic!("{other:?}"),
                }
                // Moved as told, the setting grinds the facet's own bevel, and the move goes the way the words say.
                let remedy = *reading.remedy.unwrap().to_move().unwrap();
                assert_relative_eq!(
                    setting
                        .with(free, remedy.value)
                        .unwrap()
                        .evaluate_off_travel()
                        .unwrap()
                        .bevel()
                        .degrees(),
                    facet.at_edge().degrees(),
                    epsilon = 1e-6
                );
                assert!((remedy.by > 0.0) == (off.degrees() > 0.0), "{remedy:?}");
            }
        }
    }

    #[test]
    fn hollow_of_another_wheel_is_read_back() {
        let setting = on_arm();
        let view = setting.evaluate().unwrap();
        let seen =
            InkSeen { pattern: Pattern::Middle, rubbed_mm: 0.0, facet_mm: 9.0, hollow: None, film_mm: 0.002 };
        for radius in [60.0, 70.0, 130.0, 200.0] {
            let facet = setting.on_chord(&view, &seen, 1.0 / radius).unwrap();
            let map = setting.ink(&facet.into(), seen.film_mm).unwrap();
            let expected = if radius < 90.0 { Pattern::BothEnds } else { Pattern::Middle };
            assert_eq!(map.pattern(), expected, "{radius}");
            let seen = InkSeen { pattern: map.pattern(), rubbed_mm: map.inked_mm(), ..seen };
            let reading = setting.read_ink(&seen, Angle::from_degrees(0.5), Quantity::Reach).unwrap();
            let read = match reading.verdict {
                InkVerdict::WheelLarger { hollow_radius_mm } => hollow_radius_mm,
                InkVerdict::WheelSmaller { hollow_radius_mm } => hollow_radius_mm.unwrap(),
                other => panic!("{other:?}"),
            };
            assert_relative_eq!(read, radius, max_relative = 1e-4);
        }
    }

    /// The hollow may be so tight that hardly any bevel is left at the edge.
    #[test]
    fn every_hollow_that_leaves_a_bevel_is_read_back() {
        let setting = on_arm();
        let view = setting.evaluate().unwrap();
        let seen = InkSeen {
            pattern: Pattern::BothEnds,
            rubbed_mm: 0.0,
            facet_mm: 9.0,
            hollow: None,
            film_mm: 0.002,
        };
        let (mut read, mut keenest) = (0, 180.0_f64);
        for radius in (5..60).map(f64::from) {
            let Ok(facet) = setting.on_chord(&view, &seen, 1.0 / radius) else { continue };
            keenest = keenest.min(facet.at_edge().degrees());
            let map = setting.ink(&facet.into(), seen.film_mm).unwrap();
            assert_eq!(map.pattern(), Pattern::BothEnds, "{radius}");
            let seen = InkSeen { rubbed_mm: map.inked_mm(), ..seen };
            let reading = setting.read_ink(&seen, Angle::from_degrees(0.5), Quantity::Reach).unwrap();
            let InkVerdict::WheelLarger { hollow_radius_mm } = reading.verdict else {
                panic!("{radius} {reading:?}")
            };
            assert_relative_eq!(hollow_radius_mm, radius, max_relative = 1e-4);
            read += 1;
        }
        assert!(read > 40 && keenest < 4.0, "{read} {keenest}");
    }

    #[test]
    fn narrow_facet_under_a_thick_film_cannot_tell() {
        let setting = on_arm();
        let seen =
            InkSeen { pattern: Pattern::Whole, rubbed_mm: 1.0, facet_mm: 1.0, hollow: None, film_mm: 0.02 };
        let half = Angle::from_degrees(0.5);
        let reading = setting.read_ink(&seen, half, Quantity::Reach).unwrap();
        let InkVerdict::CannotTell { resolves, needs_mm } = reading.verdict else { panic!("{reading:?}") };
        // Derived here: a film t over a facet c hides asin(t/c).
        assert_relative_eq!(resolves.degrees(), 0.02_f64.asin().to_degrees(), max_relative = 0.02);
        assert_relative_eq!(needs_mm, 0.02 / half.sin(), max_relative = 1e-12);
        let wide = InkSeen { facet_mm: needs_mm * 1.05, rubbed_mm: needs_mm, ..seen };
        let verdict = setting.read_ink(&wide, half, Quantity::Reach).unwrap().verdict;
        assert!(matches!(verdict, InkVerdict::Matches { .. }), "{verdict:?}");
    }

    #[test]
    fn ink_that_no_facet_explains_is_reported() {
        let setting = on_arm();
        // Even a flat facet lies closer to so large a wheel than so narrow a stripe in the middle would need.
        let seen = InkSeen {
            pattern: Pattern::Middle,
            rubbed_mm: 0.05,
            facet_mm: 7.0,
            hollow: None,
            film_mm: 0.005,
        };
        let reading = setting.read_ink(&seen, Angle::from_degrees(0.5), Quantity::Reach).unwrap();
        assert_eq!(reading.verdict, InkVerdict::NotThisFacet);
        let odd = InkSeen { rubbed_mm: 8.0, ..seen };
        assert!(setting.read_ink(&odd, Angle::from_degrees(0.5), Quantity::Reach).is_err());
        let odd = InkSeen { film_mm: f64::NAN, ..seen };
        assert!(setting.read_ink(&odd, Angle::from_degrees(0.5), Quantity::Reach).is_err());
    }
}
