//! How sure a bevel is: what each doubtful reading does to it, the largest cause, and what to measure better.
//!
//! An entered ± is a half-width `a`, taken as rectangular: standard uncertainty `a/√3`. The standard
//! uncertainties are combined to first order through exact slopes, `u² = Σ (cᵢ uᵢ)²`; what is shown is `k·u`
//! with `k = 2`, about 95 in a hundred.
//!
//! # Source
//! JCGM 100:2008 (GUM) 4.3.7 (rectangular), 5.1.2 (first-order combination), 6.2 (coverage factor).

use crate::{
    math::{angle::Angle, quantity::Quantity},
    parts::wheel::Face,
    side::setting::{Seat, Setting, SideView, Support},
};

/// The coverage factor of every ± that is shown.
pub const COVERAGE: f64 = 2.0;

/// Standard uncertainty of a value known to lie within `half_width` of its estimate, every place in between
/// as likely: `a/√3`.
///
/// # Source
/// JCGM 100:2008 4.3.7.
#[must_use]
pub fn rectangular(half_width: f64) -> f64 {
    half_width / 3.0_f64.sqrt()
}

/// Combined standard uncertainty of a result from the slope of the result by each input and the input's
/// standard uncertainty: the root of the sum of squares, inputs being independent.
///
/// # Source
/// JCGM 100:2008 5.1.2, equation 10.
///
/// # Example
/// ```
/// use bevelbench_geometry::side::uncertainty::combine;
/// assert_eq!(combine([(1.0, 3.0), (-2.0, 2.0)]), 5.0);
/// ```
#[must_use]
pub fn combine(components: impl IntoIterator<Item = (f64, f64)>) -> f64 {
    components.into_iter().map(|(slope, standard)| (slope * standard).powi(2)).sum::<f64>().sqrt()
}

/// What the bevel at the edge may rest on: the quantities whose slopes [`Setting::slope_by`] knows.
pub const READINGS: [Quantity; 17] = [
    Quantity::Reach,
    Quantity::Projection,
    Quantity::StrutAngle,
    Quantity::TableTilt,
    Quantity::ToolLength,
    Quantity::WheelDiameter,
    Quantity::ArmZeroX,
    Quantity::ArmZeroZ,
    Quantity::ArmTilt,
    Quantity::HingeSetback,
    Quantity::HingeDrop,
    Quantity::StrutLength,
    Quantity::HingeX,
    Quantity::HingeZ,
    Quantity::SurfaceOffset,
    Quantity::EdgeHeight,
    Quantity::UnderEdge,
];

/// A reading and how far it may be off.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading {
    /// Which.
    pub input: Quantity,
    /// Half-width of the ±, in millimetres, or degrees for angles.
    pub half_width: f64,
}

/// What one reading does to the bevel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Contribution {
    /// The reading.
    pub reading: Reading,
    /// Exact slope of the bevel at the edge by it: degrees per millimetre, or per degree.
    pub slope_deg: f64,
    /// Standard uncertainty it gives the bevel.
    pub standard: Angle,
    /// Its part of the whole variance, 0 to 1.
    pub part: f64,
}

/// How sure a bevel is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CombinedUncertainty {
    /// Bevel at the edge.
    pub bevel: Angle,
    /// Combined standard uncertainty.
    pub standard: Angle,
    contributions: [Option<Contribution>; READINGS.len()],
}

/// A reading that should be known better, and how well.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Need {
    /// The reading.
    pub input: Quantity,
    /// Its half-width today, in millimetres or degrees.
    pub now: f64,
    /// The half-width that would do, in millimetres or degrees.
    pub wanted: f64,
}

/// Below this fraction of today's half-width a single better reading is not asked for; several are improved.
const FINEST_ALONE: f64 = 0.2;

impl CombinedUncertainty {
    /// The ± that is shown: [`COVERAGE`] standard uncertainties.
    #[must_use]
    pub fn expanded(&self) -> Angle {
        self.standard * COVERAGE
    }

    /// What it comes from, largest first.
    pub fn contributions(&self) -> impl Iterator<Item = &Contribution> {
        self.contributions.iter().flatten()
    }

    /// The largest cause, if anything is in doubt at all.
    #[must_use]
    pub fn largest(&self) -> Option<&Contribution> {
        self.contributions().next().filter(|contribution| contribution.part > 0.0)
    }

    /// Which readings to improve, and how far, to be sure of the bevel to ± `wanted` (with [`COVERAGE`]); none
    /// when it is held already or when `wanted` is not above nothing.
    ///
    /// The largest cause alone, as long as it need not be known five times better than today; otherwise all
    /// readings that do more than a common level, down to that level.
    pub fn needs(&self, wanted: Angle) -> impl Iterator<Item = Need> {
        let allowed = (wanted.radians() / COVERAGE).powi(2);
        let variance = |contribution: &Contribution| contribution.standard.radians().powi(2);
        let whole: f64 = self.contributions().map(variance).sum();
        let mut level = f64::INFINITY;
        let mut only_first = false;
        if wanted.radians() > 0.0
            && whole > allowed
            && let Some(first) = self.largest()
        {
            let left = allowed - (whole - variance(first));
            if left >= FINEST_ALONE * FINEST_ALONE * variance(first) {
                level = left;
                only_first = true;
            } else {
                // Contributions fall; the level that the first n are brought to is what the rest leave them.
                let mut rest = whole;
                for (count, contribution) in self.contributions().enumerate() {
                    rest -= variance(contribution);
                    let next = self.contributions().nth(count + 1).map_or(0.0, variance);
                    level = (allowed - rest).max(0.0) / (count as f64 + 1.0);
                    if level >= next && allowed >= rest {
                        break;
                    }
                }
            }
        }
        self.contributions().enumerate().filter_map(move |(i, contribution)| {
            let over = contribution.standard.radians().powi(2) > level && !(only_first && i > 0);
            over.then(|| Need {
                input: contribution.reading.input,
                now: contribution.reading.half_width,
                wanted: contribution.reading.half_width * (level.sqrt() / contribution.standard.radians()),
            })
        })
    }
}

impl Setting {
    /// Exact slope of the bevel at the edge by a reading: radians per millimetre, or per radian. `view` is this
    /// setting's own answer. `None` for a reading that the bevel does not rest on.
    #[must_use]
    pub fn slope_by(&self, input: Quantity, view: &SideView) -> Option<f64> {
        if let Some(slope) = view.slopes.by(input) {
            return Some(slope);
        }
        match view.seat {
            Seat::Pivot { in_bench, in_tool, from_centre_mm: d, from_edge_mm: l, gauge_length_mm } => {
                let (s, v) = (in_tool.x, self.edge.height_mm - in_tool.y);
                let cos_gamma = (view.bevel().radians() - v.atan2(s)).cos();
                // Slopes by the pivot's place on the bench, and by s and v = h_E − h_P in the tool.
                let (by_place, by_l) = match self.face {
                    Face::Round { radius_mm: r } => {
                        let scale = 1.0 / (l * r * cos_gamma);
                        (in_bench * scale, -(d * d + l * l - r * r) * scale / (2.0 * l))
                    }
                    Face::Flat { normal } => {
                        (normal.direction() / (l * cos_gamma), -gauge_length_mm / (l * l * cos_gamma))
                    }
                };
                let by_s = (by_l * s - v / l) / l;
                let by_v = (by_l * v + s / l) / l;
                let (arm, reach_mm) = match self.support {
                    Support::Handle { arm, reach_mm, .. } | Support::Holder { arm, reach_mm, .. } => {
                        (arm, reach_mm)
                    }
                    Support::Table { .. } => return None,
                };
                match (input, self.support) {
                    (Quantity::ArmZeroX, _) => Some(by_place.x),
                    (Quantity::ArmZeroZ, _) => Some(by_place.y),
                    (Quantity::ArmTilt, _) => Some(by_place.dot(arm.along().perp()) * reach_mm),
                    // Both move v = h_E − h_P one to one.
                    (Quantity::EdgeHeight, _) | (Quantity::HingeDrop, Support::Holder { .. }) => Some(by_v),
                    (Quantity::HingeSetback, Support::Holder { .. }) => Some(by_s * self.foreshortening()),
                    (Quantity::StrutLength, Support::Holder { strut_angle, .. }) => {
                        let (sin, cos) = strut_angle.sin_cos();
                        Some(by_s * cos * self.foreshortening() + by_v * sin)
                    }
                    _ => None,
                }
            }
            Seat::Plane { .. } => {
                let (Face::Round { radius_mm }, Support::Table { tilt, .. }) = (self.face, self.support)
                else {
                    return None;
                };
                // R cos β = q + T_E
                let by_plane = -1.0 / (radius_mm * view.bevel().sin());
                let (sin, cos) = tilt.sin_cos();
                match input {
                    Quantity::HingeX => Some(-sin * by_plane),
                    Quantity::HingeZ => Some(cos * by_plane),
                    Quantity::SurfaceOffset | Quantity::UnderEdge => Some(by_plane),
                    _ => None,
                }
            }
        }
    }

    /// How sure this setting's bevel is, its readings being off by no more than their half-widths. Readings that
    /// the bevel does not rest on, and half-widths that are none, are passed over; of two of the same input the
    /// first counts.
    #[must_use]
    pub fn uncertainty(&self, view: &SideView, readings: &[Reading]) -> CombinedUncertainty {
        let mut contributions: [Option<Contribution>; READINGS.len()] = [None; READINGS.len()];
        for (place, input) in contributions.iter_mut().zip(READINGS) {
            let reading = readings.iter().find(|reading| reading.input == input);
            let Some(&reading) = reading.filter(|r| r.half_width.is_finite() && r.half_width >= 0.0) else {
                continue;
            };
            let Some(slope) = self.slope_by(input, view).filter(|slope| slope.is_finite()) else { continue };
            let plain = if input.is_angle() {
                Angle::from_degrees(reading.half_width).radians()
            } else {
                reading.half_width
            };
            let standard = Angle::from_radians((slope * rectangular(plain)).abs());
            let slope_deg = if input.is_angle() { slope } else { slope.to_degrees() };
            *place = Some(Contribution { reading, slope_deg, standard, part: 0.0 });
        }
        let standard = combine(
            contributions.iter().flatten().map(|contribution| (1.0, contribution.standard.radians())),
        );
        for contribution in contributions.iter_mut().flatten() {
            contribution.part =
                if standard > 0.0 { (contribution.standard.radians() / standard).powi(2) } else { 0.0 };
        }
        // None of them last.
        contributions.sort_by(|a, b| {
            let size = |contribution: &Option<Contribution>| {
                contribution.map_or(-1.0, |contribution| contribution.standard.radians())
            };
            size(b).total_cmp(&size(a))
        });
        CombinedUncertainty { bevel: view.bevel(), standard: Angle::from_radians(standard), contributions }
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]
mod tests {
    use super::*;
    use crate::parts::{
        edge_section::EdgeSection,
        oblique::Presentation,
        support::{AngleTravel, Arm, Holder, HolderSpec, Table, TableSpec, Travel},
    };
    use approx::assert_relative_eq;
    use glam::dvec2;

    /// Places that a test may move, by input: everything the exact slopes know.
    #[derive(Clone, Copy)]
    struct Plain {
        values: [f64; READINGS.len()],
        kind: u8,
        flat: bool,
        askew: bool,
    }

    impl Plain {
        fn new(kind: u8, flat: bool, askew: bool) -> Self {
            let mut plain = Self { values: [0.0; READINGS.len()], kind, flat, askew };
            for (input, value) in [
                (Quantity::Reach, 130.0),
                (Quantity::Projection, 60.0),
                (Quantity::StrutAngle, 50.0),
                (Quantity::TableTilt, 25.0),
                (Quantity::ToolLength, 210.0),
                (Quantity::WheelDiameter, 180.0),
                (Quantity::ArmZeroX, 20.0),
                (Quantity::ArmZeroZ, if flat { 20.0 } else { -140.0 }),
                (Quantity::ArmTilt, 4.0),
                (Quantity::HingeSetback, 15.0),
                (Quantity::HingeDrop, 6.0),
                (Quantity::StrutLength, 70.0),
                (Quantity::HingeX, 130.0),
                (Quantity::HingeZ, -10.0),
                (Quantity::SurfaceOffset, 12.0),
                (Quantity::EdgeHeight, -2.0),
                (Quantity::UnderEdge, 5.0),
            ] {
                *plain.at(input) = value;
            }
            if kind == 0 {
                *plain.at(Quantity::Reach) = 230.0;
            }
            if flat {
                // An upright platen: the pivot stands in front of it by the reach.
                *plain.at(Quantity::Reach) = 60.0;
            }
            plain
        }

        fn at(&mut self, input: Quantity) -> &mut f64 {
            &mut self.values[READINGS.iter().position(|known| *known == input).unwrap()]
        }

        fn setting(&self) -> Setting {
            let get =
                |input: Quantity| self.values[READINGS.iter().position(|known| *known == input).unwrap()];
            let travel = Travel { least_mm: -500.0, most_mm: 900.0 };
            let wide = AngleTravel { least: Angle::from_degrees(-30.0), most: Angle::from_degrees(90.0) };
            let arm = Arm::new(
                dvec2(get(Quantity::ArmZeroX), get(Quantity::ArmZeroZ)),
                Angle::from_degrees(get(Quantity::ArmTilt)),
                travel,
            )
            .unwrap();
            let support = match self.kind {
                0 => Support::Handle {
                    arm,
                    reach_mm: get(Quantity::Reach),
                    tool_length_mm: get(Quantity::ToolLength),
                },
                1 => Support::Holder {
                    arm,
                    holder: Holder::new(HolderSpec {
                        hinge_setback_mm: get(Quantity::HingeSetback),
                        hinge_drop_mm: get(Quantity::HingeDrop),
                        strut_length_mm: get(Quantity::StrutLength),
                        strut_angle: wide,
                        body_length_mm: 30.0,
                        body_height_mm: 20.0,
                    })
                    .unwrap(),
                    reach_mm: get(Quantity::Reach),
                    projection_mm: get(Quantity::Projection),
                    strut_angle: Angle::from_degrees(get(Quantity::StrutAngle)),
                },
                _ => Support::Table {
                    table: Table::new(TableSpec {
                        hinge_in_bench: dvec2(get(Quantity::HingeX), get(Quantity::HingeZ)),
                        surface_offset_mm: get(Quantity::SurfaceOffset),
                        front_mm: 5.0,
                        rear_mm: 60.0,
                        tilt: wide,
                    })
                    .unwrap(),
                    tilt: Angle::from_degrees(get(Quantity::TableTilt)),
                },
            };
            Setting {
                face: if self.flat {
                    Face::Flat { normal: Angle::ZERO }
                } else {
                    Face::Round { radius_mm: get(Quantity::WheelDiameter) / 2.0 }
                },
                edge: EdgeSection {
                    height_mm: get(Quantity::EdgeHeight),
                    under_mm: get(Quantity::UnderEdge),
                },
                obliquity: Angle::from_degrees(if self.askew { 70.0 } else { 90.0 }),
                presentation: Presentation::EdgeParallelToSpindle,
                support,
            }
        }
    }

    fn cases() -> Vec<Plain> {
        let mut cases = Vec::new();
        for kind in 0..3 {
            for flat in [false, true] {
                for askew in [false, true] {
                    cases.push(Plain::new(kind, flat, askew));
                }
            }
        }
        cases
    }

    #[test]
    fn every_slope_is_the_derivative() {
        // Derived here: central differences, whose error at these steps is some 1e-9.
        let (mut answered, mut compared) = (0, 0);
        for case in cases() {
            let setting = case.setting();
            let Ok(view) = setting.evaluate() else { continue };
            answered += 1;
            for input in READINGS {
                let step = 1e-3;
                let moved = |by: f64| {
                    let mut moved = case;
                    *moved.at(input) += by;
                    moved.setting().evaluate().unwrap().bevel()
                };
                let mut difference = (moved(step) - moved(-step)).radians() / (2.0 * step);
                if input.is_angle() {
                    difference = difference.to_degrees();
                }
                let slope = setting.slope_by(input, &view).unwrap_or(0.0);
                assert_relative_eq!(slope, difference, epsilon = 2e-8, max_relative = 1e-6);
                compared += usize::from(slope != 0.0);
            }
        }
        assert!(answered >= 8 && compared >= 50, "{answered} {compared}");
    }

    #[test]
    fn gum_h1_combines_to_its_published_uncertainty() {
        // U01: JCGM 100:2008 H.1.4; U03: the component l_s·a·u(δθ).
        let components = [25.0, 16.599, 6.7, 5.8, 3.9, 2.88679];
        assert_relative_eq!(combine(components.map(|nm| (1.0, nm))), 31.66, epsilon = 0.02);
        assert_relative_eq!(combine([(5.000_062_3e7 * 11.5e-6, rectangular(0.05))]), 16.599, epsilon = 5e-4);
        // U02: l = l_s + d = 50 000 623 + 215 nm, published as 50 000 838(32) nm.
        assert_relative_eq!(combine([(1.0, combine(components.map(|nm| (1.0, nm))))]).round(), 32.0);
        assert_relative_eq!(50_000_623.0 + 215.0, 50_000_838.0);
    }

    fn readings(setting: &Setting) -> Vec<Reading> {
        let size = |input: Quantity| if input.is_angle() { 0.4 } else { 0.3 };
        let rests = |input: &Quantity| setting.slope_by(*input, &setting.evaluate().unwrap()).is_some();
        READINGS.into_iter().filter(rests).map(|input| Reading { input, half_width: size(input) }).collect()
    }

    #[test]
    fn first_order_agrees_with_monte_carlo() {
        // Independent method: the inputs thrown 200 000 times within their half-widths.
        let mut seed = 0x9E37_79B9_7F4A_7C15_u64;
        let mut random = move || {
            seed ^= seed << 13;
            seed ^= seed >> 7;
            seed ^= seed << 17;
            (seed >> 11) as f64 / 2.0_f64.powi(53)
        };
        for case in [Plain::new(0, false, false), Plain::new(1, false, false), Plain::new(2, false, false)] {
            let setting = case.setting();
            let view = setting.evaluate().unwrap();
            let readings = readings(&setting);
            let uncertainty = setting.uncertainty(&view, &readings);
            let (mut sum, mut squares) = (0.0, 0.0);
            let throws = 200_000;
            for _ in 0..throws {
                let mut thrown = case;
                for reading in &readings {
                    *thrown.at(reading.input) += reading.half_width * (2.0 * random() - 1.0);
                }
                let off = (thrown.setting().evaluate().unwrap().bevel() - view.bevel()).radians();
                sum += off;
                squares += off * off;
            }
            let mean = sum / f64::from(throws);
            let spread = (squares / f64::from(throws) - mean * mean).sqrt();
            assert_relative_eq!(spread, uncertainty.standard.radians(), max_relative = 0.01);
            assert!(uncertainty.expanded().degrees() > 0.1, "{uncertainty:?}");
        }
    }

    #[test]
    fn contributions_sum_to_the_whole_variance_and_the_largest_comes_first() {
        let setting = Plain::new(1, false, false).setting();
        let view = setting.evaluate().unwrap();
        let uncertainty = setting.uncertainty(&view, &readings(&setting));
        assert_relative_eq!(
            uncertainty.contributions().map(|contribution| contribution.part).sum::<f64>(),
            1.0,
            epsilon = 1e-12
        );
        let parts: Vec<f64> = uncertainty.contributions().map(|contribution| contribution.part).collect();
        assert!(parts.windows(2).all(|pair| pair[0] >= pair[1]) && parts.len() == 11, "{parts:?}");
        assert_eq!(uncertainty.largest().map(|contribution| contribution.part), parts.first().copied());
    }

    #[test]
    fn the_required_readings_hold_the_wanted_uncertainty() {
        for case in [Plain::new(0, false, false), Plain::new(1, false, false), Plain::new(2, false, false)] {
            let setting = case.setting();
            let view = setting.evaluate().unwrap();
            let mut readings = readings(&setting);
            let before = setting.uncertainty(&view, &readings);
            for contribution in [0.95, 0.7, 0.3, 0.05] {
                let wanted = before.expanded() * contribution;
                let needs: Vec<Need> = before.needs(wanted).collect();
                assert!(!needs.is_empty());
                let mut better = readings.clone();
                for need in needs {
                    assert!(need.wanted < need.now && need.wanted > 0.0, "{need:?}");
                    better.iter_mut().find(|r| r.input == need.input).unwrap().half_width = need.wanted;
                }
                let after = setting.uncertainty(&view, &better);
                assert_relative_eq!(after.expanded().radians(), wanted.radians(), max_relative = 1e-9);
            }
            assert_eq!(before.needs(before.expanded() * 1.01).count(), 0);
            assert_eq!(before.needs(Angle::ZERO).count(), 0);
            readings.clear();
            assert_eq!(setting.uncertainty(&view, &readings).largest(), None);
        }
    }

    #[test]
    fn half_widths_that_are_not_finite_are_passed_over() {
        let setting = Plain::new(1, false, false).setting();
        let view = setting.evaluate().unwrap();
        let odd =
            [f64::NAN, f64::INFINITY, -1.0].map(|half_width| Reading { input: Quantity::Reach, half_width });
        for reading in odd {
            assert_eq!(setting.uncertainty(&view, &[reading]).standard, Angle::ZERO);
        }
    }
}
