//! One reach for many tools: where to leave the arm, so that as many settings as possible are served by their
//! projection alone.
//!
//! For a setting of a given bevel the pivot's distance grows steadily with the projection (`dD²/ds = 2s + 2R sin β`)
//! and, on the upper contact, with the bevel (`dD²/dβ = 2 R L cos γ`). What serves a setting is therefore a closed
//! stretch of distances, from the least projection at the keenest bevel allowed to the greatest at the bluntest, and
//! through the arm's line one or two closed stretches of the reach; with stop blocks one stretch for each. The best
//! reach lies in the deepest overlap of all settings' stretches, whose ends are all known: nothing is scanned for it.
//! Only a shared strut angle is tried step by step.

use crate::{
    math::{angle::Angle, quantity::Quantity},
    parts::wheel::Face,
    side::{
        inverse::Target,
        refusal::Refusal,
        setting::{Setting, Support},
    },
};

/// One of the settings that are to share the arm's reach.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sharer<'a> {
    /// The setting; its reach and projection are to be found, and its strut angle where that is shared.
    pub setting: Setting,
    /// The bevel it is to grind.
    pub bevel: Target,
    /// Least projection, in millimetres.
    pub least_mm: f64,
    /// Greatest projection, in millimetres.
    pub most_mm: f64,
    /// The only projections, where there are stop blocks.
    pub stops_mm: Option<&'a [f64]>,
}

/// A setting that the shared reach serves.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Served {
    /// Which of the sharers, counted from zero.
    pub index: usize,
    /// Its projection, in millimetres.
    pub projection_mm: f64,
    /// Its bevel at the edge less the one asked for.
    pub bevel_off: Angle,
}

/// A reach that serves as many as can be.
#[derive(Debug, Clone, PartialEq)]
pub struct SharedReach {
    /// The reach, in millimetres: the middle of what serves these settings.
    pub reach_mm: f64,
    /// From where, in millimetres.
    pub least_mm: f64,
    /// To where, in millimetres.
    pub most_mm: f64,
    /// The strut angle, where it was shared.
    pub strut_angle: Option<Angle>,
    /// Whom it serves.
    pub served: Vec<Served>,
}

/// A stretch of reach that serves a sharer at a range of projections.
#[derive(Debug, Clone, Copy)]
struct Stretch {
    index: usize,
    least: f64,
    most: f64,
}

/// Stretches shorter than this are one reach, in millimetres.
const TOLERANCE_MM: f64 = 1e-9;

/// The reach that serves the most of `sharers`, each to within `tolerance` of its bevel, by projection alone; with
/// `struts`, at the best of these strut angles, shared by all. Of several the widest stretch is taken. `None` when it
/// serves nobody.
///
/// # Errors
/// [`Refusal`] for a tolerance, a target or a setting that is none.
pub fn one_reach_for_many(
    sharers: &[Sharer<'_>],
    tolerance: Angle,
    struts: Option<&[Angle]>,
) -> Result<Option<SharedReach>, Refusal> {
    crate::math::dimension::angle(crate::math::quantity::Quantity::Bevel, tolerance, 0.0, 90.0)?;
    for sharer in sharers {
        sharer.setting.check_numbers()?;
        sharer.setting.bevel_meant(sharer.bevel)?;
    }
    let mut best: Option<SharedReach> = None;
    let mut consider = |found: SharedReach| {
        let better = |known: &SharedReach| {
            (found.served.len(), found.most_mm - found.least_mm)
                > (known.served.len(), known.most_mm - known.least_mm)
        };
        if best.as_ref().is_none_or(better) {
            best = Some(found);
        }
    };
    let Some(struts) = struts else {
        let found = at_strut(sharers, tolerance, None);
        found.into_iter().for_each(&mut consider);
        return Ok(best);
    };
    for &strut in struts {
        if let Some(found) = at_strut(sharers, tolerance, Some(strut)) {
            consider(found);
        }
    }
    Ok(best)
}

fn at_strut(sharers: &[Sharer<'_>], tolerance: Angle, strut: Option<Angle>) -> Option<SharedReach> {
    let mut stretches: Vec<Stretch> = Vec::new();
    let set: Vec<Option<Sharer<'_>>> = sharers
        .iter()
        .map(|sharer| {
            let setting = match strut {
                Some(angle) => sharer.setting.with(Quantity::StrutAngle, angle.degrees())?,
                None => sharer.setting,
            };
            Some(Sharer { setting, ..*sharer })
        })
        .collect();
    for (index, sharer) in set.iter().enumerate() {
        if let Some(sharer) = sharer {
            sharer.stretches(index, tolerance, &mut stretches);
        }
    }
    // The depth changes at ends only: it is greatest from some beginning to some end.
    let count = |reach: f64| {
        (0..sharers.len())
            .filter(|&index| {
                let holds = |s: &Stretch| {
                    s.index == index && s.least <= reach + TOLERANCE_MM && reach <= s.most + TOLERANCE_MM
                };
                stretches.iter().any(holds)
            })
            .count()
    };
    let mut deepest: Option<(usize, f64, f64)> = None;
    for start in stretches.iter().map(|s| s.least) {
        // As far as everybody who is served at the start stays served.
        let here = |s: &&Stretch| s.least <= start + TOLERANCE_MM && start <= s.most + TOLERANCE_MM;
        let end = (0..sharers.len())
            .filter_map(|index| {
                stretches
                    .iter()
                    .filter(|s| s.index == index)
                    .filter(here)
                    .map(|s| s.most)
                    .max_by(f64::total_cmp)
            })
            .fold(f64::INFINITY, f64::min);
        let depth = count(start);
        if deepest.is_none_or(|(most, least, far)| (depth, end - start) > (most, far - least)) {
            deepest = Some((depth, start, end.max(start)));
        }
    }
    let (_, least_mm, most_mm) = deepest?;
    let reach_mm = f64::midpoint(least_mm, most_mm);
    let serve =
        |(index, sharer): (usize, &Option<Sharer<'_>>)| sharer.as_ref()?.served(index, reach_mm, tolerance);
    let served: Vec<Served> = set.iter().enumerate().filter_map(serve).collect();
    (!served.is_empty()).then_some(SharedReach { reach_mm, least_mm, most_mm, strut_angle: strut, served })
}

impl Sharer<'_> {
    /// The stretches of the arm's reach that serve it to within a tolerance, each from and to, in millimetres.
    #[must_use]
    pub fn serving_reaches_mm(&self, tolerance: Angle) -> Vec<(f64, f64)> {
        let mut found = Vec::new();
        self.stretches(0, tolerance, &mut found);
        found.into_iter().map(|stretch| (stretch.least, stretch.most)).collect()
    }

    fn meant(&self) -> Option<Angle> {
        self.setting.bevel_meant(self.bevel).ok()
    }

    /// The stretches of reach that serve it.
    fn stretches(&self, index: usize, tolerance: Angle, found: &mut Vec<Stretch>) {
        let Support::Holder { arm, .. } = self.setting.support else { return };
        if !self.setting.strut_within_travel() || self.least_mm > self.most_mm {
            return;
        }
        let Some(bevel) = self.meant() else { return };
        let travel = arm.travel();
        let mut between = |from: f64, to: f64| {
            // The keenest at the least projection is nearest to the wheel.
            let reaches = |projection: f64, bevel: Angle| -> Option<Vec<f64>> {
                let setting = self.setting.with(Quantity::Projection, projection)?;
                let distance = setting.distance_for(bevel)?;
                let mut reaches: Vec<f64> = match setting.face {
                    Face::Round { .. } => arm.reaches_at_distance(distance).collect(),
                    Face::Flat { normal } => {
                        let n = normal.direction();
                        vec![(distance - arm.zero_in_bench().dot(n)) / arm.along().dot(n)]
                    }
                };
                reaches.sort_by(f64::total_cmp);
                Some(reaches)
            };
            let (Some(near), Some(far)) = (reaches(from, bevel - tolerance), reaches(to, bevel + tolerance))
            else {
                return;
            };
            let mut add = |a: f64, b: f64| {
                let (least, most) = (a.min(b).max(travel.least_mm), a.max(b).min(travel.most_mm));
                if least <= most + TOLERANCE_MM {
                    found.push(Stretch { index, least, most: most.max(least) });
                }
            };
            match (near.as_slice(), far.as_slice()) {
                ([a], [b]) => add(*a, *b),
                // On the near and on the far side of the point of the arm that is nearest to the wheel.
                ([a_near, a_far], [b_near, b_far]) => {
                    add(*b_near, *a_near);
                    add(*a_far, *b_far);
                }
                // The arm never comes so near: one stretch through its nearest point.
                ([] | [_], [b_near, b_far]) => add(*b_near, *b_far),
                _ => {}
            }
        };
        match self.stops_mm {
            None => between(self.least_mm, self.most_mm),
            Some(stops) => {
                for &stop in stops.iter().filter(|stop| (self.least_mm..=self.most_mm).contains(*stop)) {
                    between(stop, stop);
                }
            }
        }
    }

    /// How it is set at a reach, if the reach serves it.
    fn served(&self, index: usize, reach_mm: f64, tolerance: Angle) -> Option<Served> {
        let bevel = self.meant()?;
        let setting = self.setting.with(Quantity::Reach, reach_mm)?;
        let mut best: Option<Served> = None;
        let mut offer = |projection_mm: f64| {
            let Some(moved) = setting.with(Quantity::Projection, projection_mm) else { return };
            let Ok(view) = moved.evaluate() else { return };
            let off = view.bevel() - bevel;
            if off.abs().radians() <= tolerance.radians() + 1e-9
                && best.is_none_or(|b| off.abs() < b.bevel_off.abs())
            {
                best = Some(Served { index, projection_mm, bevel_off: off });
            }
        };
        if let Some(stops) = self.stops_mm {
            for &stop in stops.iter().filter(|stop| (self.least_mm..=self.most_mm).contains(*stop)) {
                offer(stop);
            }
        } else {
            // The projection of the very bevel, or the nearest within its range.
            if let Ok(answers) = setting.find(Target::AtEdge(bevel), Quantity::Projection) {
                for answer in answers.all() {
                    offer(answer.value.max(self.least_mm).min(self.most_mm));
                }
            }
            offer(self.least_mm);
            offer(self.most_mm);
        }
        best
    }
}

impl Setting {
    /// Whether the strut's angle is within its travel, whatever the reach.
    fn strut_within_travel(&self) -> bool {
        match self.support {
            Support::Holder { holder, strut_angle, .. } => holder.spec().strut_angle.holds(strut_angle),
            Support::Handle { .. } | Support::Table { .. } => true,
        }
    }

    /// Distance of the pivot from the wheel's centre (from a flat face) for a bevel at the edge.
    fn distance_for(&self, bevel: Angle) -> Option<f64> {
        let (_, in_tool) = self.pivot()?;
        let (sin, cos) = bevel.sin_cos();
        let v = self.edge.height_mm - in_tool.y;
        let k = in_tool.x * sin - v * cos;
        match self.face {
            Face::Round { radius_mm: r } => {
                let square = in_tool.x * in_tool.x + v * v + r * r + 2.0 * r * k;
                (square >= 0.0).then(|| square.sqrt())
            }
            Face::Flat { .. } => Some(k),
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
    use glam::dvec2;

    fn sharer(bevel: f64, height: f64, stops: Option<&[f64]>) -> Sharer<'_> {
        let travel = Travel { least_mm: 0.0, most_mm: 250.0 };
        let wide = AngleTravel { least: Angle::from_degrees(0.0), most: Angle::from_degrees(90.0) };
        let setting = Setting {
            face: Face::Round { radius_mm: 90.0 },
            edge: EdgeSection { height_mm: height, under_mm: 4.0 },
            obliquity: Angle::QUARTER,
            presentation: Presentation::AxisInSidePlane,
            support: Support::Holder {
                arm: Arm::new(dvec2(10.0, -130.0), Angle::from_degrees(3.0), travel).unwrap(),
                holder: Holder::new(HolderSpec {
                    hinge_setback_mm: 15.0,
                    hinge_drop_mm: 5.0,
                    strut_length_mm: 70.0,
                    strut_angle: wide,
                    body_length_mm: 30.0,
                    body_height_mm: 20.0,
                })
                .unwrap(),
                reach_mm: 120.0,
                projection_mm: 60.0,
                strut_angle: Angle::from_degrees(50.0),
            },
        };
        Sharer {
            setting,
            bevel: Target::AtEdge(Angle::from_degrees(bevel)),
            least_mm: 30.0,
            most_mm: 100.0,
            stops_mm: stops,
        }
    }

    /// How many are served at a reach, by trying projections a tenth of a millimetre apart.
    fn by_trying(sharers: &[Sharer<'_>], reach: f64, tolerance: f64) -> usize {
        let ground = |sharer: &&Sharer<'_>| {
            let Target::AtEdge(bevel) = sharer.bevel else { panic!() };
            let setting = sharer.setting.with(Quantity::Reach, reach).unwrap();
            (0..=700).map(|i| 30.0 + f64::from(i) / 10.0).any(|projection| {
                sharer.stops_mm.is_none_or(|stops| stops.iter().any(|stop| (stop - projection).abs() < 1e-9))
                    && setting
                        .with(Quantity::Projection, projection)
                        .unwrap()
                        .evaluate()
                        .is_ok_and(|view| (view.bevel() - bevel).degrees().abs() <= tolerance)
            })
        };
        sharers.iter().filter(ground).count()
    }

    #[test]
    fn no_reach_serves_more_than_the_one_found() {
        // Independent method: every reach of the arm half a millimetre apart, every projection a tenth.
        let stops = [40.0, 55.0, 70.0, 90.0];
        let sets = [
            vec![
                sharer(25.0, -3.0, None),
                sharer(45.0, -3.0, None),
                sharer(60.0, 0.0, None),
                sharer(80.0, 2.0, None),
            ],
            vec![
                sharer(30.0, -3.0, Some(&stops)),
                sharer(40.0, 0.0, Some(&stops)),
                sharer(52.0, -2.0, Some(&stops)),
                sharer(65.0, -3.0, Some(&stops)),
            ],
        ];
        for sharers in sets {
            let tolerance = 1.0;
            let found = one_reach_for_many(&sharers, Angle::from_degrees(tolerance), None).unwrap().unwrap();
            assert_eq!(
                by_trying(&sharers, found.reach_mm, tolerance + 1e-6),
                found.served.len(),
                "{found:?}"
            );
            let most = (0..=500).map(|i| by_trying(&sharers, f64::from(i) / 2.0, tolerance)).max().unwrap();
            assert!(most <= found.served.len() && found.served.len() > 1, "{most} {found:?}");
            for served in &found.served {
                let sharer = &sharers[served.index];
                let set = sharer.setting.with(Quantity::Reach, found.reach_mm).unwrap();
                let view = set.with(Quantity::Projection, served.projection_mm).unwrap().evaluate().unwrap();
                let Target::AtEdge(bevel) = sharer.bevel else { panic!() };
                assert!((view.bevel() - bevel).degrees().abs() <= tolerance + 1e-6);
            }
        }
    }

    #[test]
    fn shared_strut_angle_serves_no_fewer_than_any_of_them() {
        let stops = [40.0, 60.0, 80.0];
        let sharers = [
            sharer(28.0, -3.0, Some(&stops)),
            sharer(45.0, 0.0, Some(&stops)),
            sharer(58.0, -2.0, Some(&stops)),
        ];
        let struts: Vec<Angle> = (0..=30).map(|i| Angle::from_degrees(f64::from(i) * 3.0)).collect();
        let half = Angle::from_degrees(0.5);
        let best = one_reach_for_many(&sharers, half, Some(&struts)).unwrap().unwrap();
        for strut in &struts {
            let alone = one_reach_for_many(&sharers, half, Some(&[*strut])).unwrap();
            assert!(alone.is_none_or(|alone| alone.served.len() <= best.served.len()));
        }
        assert!(best.strut_angle.is_some());
    }

    #[test]
    fn empty_lists_and_invalid_tolerances() {
        let half = Angle::from_degrees(0.5);
        assert_eq!(one_reach_for_many(&[], half, None), Ok(None));
        assert!(one_reach_for_many(&[], Angle::from_degrees(f64::NAN), None).is_err());
        let far = Sharer { least_mm: 900.0, most_mm: 950.0, ..sharer(45.0, 0.0, None) };
        assert_eq!(one_reach_for_many(&[far], half, None), Ok(None));
    }

    #[test]
    fn of_several_stops_that_serve_the_nearest_to_the_bevel_is_reported() {
        // Independent method: every stop tried. Within a wide tolerance several serve, in both orders.
        let rising: Vec<f64> = (0..15).map(|i| 40.0 + 1.5 * f64::from(i)).collect();
        let falling: Vec<f64> = rising.iter().rev().copied().collect();
        for stops in [&rising, &falling] {
            let mut several = 0;
            for bevel in [38.0, 45.0, 52.0, 60.0] {
                let one = sharer(bevel, -3.0, Some(stops));
                let wide = Angle::from_degrees(4.0);
                for reach in (0..60).map(|i| 60.0 + 2.0 * f64::from(i)) {
                    let setting = one.setting.with(Quantity::Reach, reach).unwrap();
                    let off = |stop: f64| {
                        let view = setting.with(Quantity::Projection, stop).unwrap().evaluate().ok()?;
                        Some((view.bevel() - Angle::from_degrees(bevel)).degrees().abs())
                    };
                    let offs: Vec<f64> =
                        stops.iter().filter_map(|stop| off(*stop)).filter(|off| *off <= 4.0).collect();
                    let least = offs.iter().copied().fold(f64::INFINITY, f64::min);
                    let served = one.served(7, reach, wide);
                    assert_eq!(served.is_some(), !offs.is_empty());
                    if let Some(served) = served {
                        assert_eq!(served.index, 7);
                        assert!(
                            (served.bevel_off.degrees().abs() - least).abs() < 1e-9,
                            "{served:?} {least}"
                        );
                        assert!((off(served.projection_mm).unwrap() - least).abs() < 1e-9);
                        several += usize::from(offs.len() > 1);
                    }
                }
            }
            assert!(several > 20, "{several}");
        }
    }

    #[test]
    fn settings_without_an_answer_are_not_counted() {
        // Two struts off their travel would outvote the third; neither is served anywhere.
        let off = |bevel: f64| {
            let one = sharer(bevel, -3.0, None);
            let setting = one.setting.with(Quantity::StrutAngle, 100.0).unwrap();
            Sharer { setting, least_mm: 58.0, most_mm: 60.0, ..one }
        };
        let alone = Sharer { least_mm: 58.0, most_mm: 60.0, ..sharer(80.0, -3.0, None) };
        let sharers = [off(40.0), off(40.0), alone];
        let half = Angle::from_degrees(0.5);
        let found = one_reach_for_many(&sharers, half, None).unwrap().unwrap();
        assert_eq!(found.served.iter().map(|served| served.index).collect::<Vec<_>>(), [2]);
        assert_eq!(one_reach_for_many(&sharers[..2], half, None), Ok(None));
        assert!(sharers[0].serving_reaches_mm(half).is_empty());
        // Every reach told serves, and a little beyond none does.
        for (least, most) in alone.serving_reaches_mm(half) {
            for fraction in [0.0, 0.3, 1.0] {
                assert!(alone.served(0, least + fraction * (most - least), half).is_some());
            }
            assert!(
                alone.served(0, least - 0.05, half).is_none() && alone.served(0, most + 0.05, half).is_none()
            );
        }
    }
}
