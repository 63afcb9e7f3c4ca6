//! What a tool is ground to, from what can be measured at a bench: facet width and blank thickness, a protractor
//! or a template across the facet, the depth of the hollow.
//!
//! The chord of the facet leaves the edge at the bevel across, `sin(across) = under/width`; the edge is keener by
//! half the arc, `κ = asin(width/2R)`.

use crate::{
    math::{
        angle::Angle,
        dimension::{Bound, DimensionError, angle, length, length_or_none},
        quantity::Quantity,
    },
    parts::present_facet::{Hollow, PresentFacet},
    side::{
        facet::radius_from_hollow_mm,
        uncertainty::{COVERAGE, combine, rectangular},
    },
};

/// How the bevel across the facet was found.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum AcrossBy {
    /// From the steel under the edge, square to the axis, in millimetres. The sine knows no blunt bevels: below
    /// 90° is meant.
    Thickness {
        /// Steel under the edge, in millimetres.
        under_mm: f64,
    },
    /// A protractor on edge and heel.
    Protractor {
        /// What it reads.
        reads: Angle,
    },
    /// An angle template held to the tool, with daylight at one end of the facet.
    Template {
        /// The template's angle.
        template: Angle,
        /// Daylight, in millimetres: positive at the heel (the facet is keener than the template), negative at
        /// the edge.
        daylight_mm: f64,
    },
}

/// How the hollow is known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum HollowBy {
    /// From the wheel that ground it, its radius in millimetres.
    Wheel {
        /// Radius.
        radius_mm: f64,
    },
    /// From its depth under a straight-edge across the facet, in millimetres; nothing is flat.
    Depth {
        /// Depth.
        hollow_mm: f64,
    },
}

/// A facet as measured.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MeasuredFacet {
    /// Width, edge to heel, in millimetres.
    pub width_mm: f64,
    /// Its bevel across.
    pub across: AcrossBy,
    /// Its hollow.
    pub hollow: HollowBy,
}

/// How far each measurement may be off: half-widths, rectangular.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MeasurementUncertainties {
    /// Of the facet's width, in millimetres.
    pub width_mm: f64,
    /// Of the steel under the edge, in millimetres.
    pub under_mm: f64,
    /// Of a protractor or template.
    pub angle: Angle,
    /// Of daylight, in millimetres.
    pub daylight_mm: f64,
    /// Of the hollow's depth, in millimetres.
    pub hollow_mm: f64,
    /// Of the wheel's radius, in millimetres.
    pub radius_mm: f64,
}

/// How sure a matched grind is: each ± with [`COVERAGE`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MatchedUncertainty {
    /// Of the bevel at the edge.
    pub at_edge: Angle,
    /// Of the bevel across the facet.
    pub across: Angle,
    /// Of the radius of the wheel that ground it, in millimetres; infinite where so shallow a hollow may as well be
    /// flat, `None` for a flat facet.
    pub radius_mm: Option<f64>,
}

/// What a tool is ground to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MatchedGrind {
    /// The facet, with its bevels.
    pub facet: PresentFacet,
    /// Radius of the wheel that ground it, in millimetres; `None` for a flat one.
    pub radius_mm: Option<f64>,
}

impl MeasuredFacet {
    /// The facet behind the measurements.
    ///
    /// # Errors
    /// [`DimensionError`] for a number out of range; a facet narrower than the steel under its edge, or daylight wider
    /// than the facet; a hollow deeper than half the width.
    pub fn matched(&self) -> Result<MatchedGrind, DimensionError> {
        length(Quantity::FacetWidth, self.width_mm)?;
        let at_most_width = |quantity, value: f64| {
            if value > self.width_mm {
                Err(DimensionError { quantity, value, bound: Bound::AtMost(self.width_mm) })
            } else {
                Ok(value / self.width_mm)
            }
        };
        let across = match self.across {
            AcrossBy::Thickness { under_mm } => {
                length(Quantity::BladeThickness, under_mm)?;
                Angle::from_radians(at_most_width(Quantity::BladeThickness, under_mm)?.asin())
            }
            AcrossBy::Protractor { reads } => angle(Quantity::BevelAcross, reads, 0.1, 179.9)?,
            AcrossBy::Template { template, daylight_mm } => {
                angle(Quantity::BevelAcross, template, 0.1, 179.9)?;
                length_or_none(Quantity::FacetWidth, daylight_mm.abs())?;
                let open = at_most_width(Quantity::FacetWidth, daylight_mm.abs())?.asin();
                template - Angle::from_radians(open * daylight_mm.signum())
            }
        };
        let radius_mm = match self.hollow {
            HollowBy::Wheel { radius_mm } => Some(length(Quantity::FacetRadius, radius_mm)?),
            HollowBy::Depth { hollow_mm } => {
                length_or_none(Quantity::FacetWidth, hollow_mm)?;
                at_most_width(Quantity::FacetWidth, 2.0 * hollow_mm)?;
                radius_from_hollow_mm(self.width_mm, hollow_mm).filter(|radius| *radius < 5000.0)
            }
        };
        let (hollow, half) = match radius_mm {
            Some(radius_mm) => {
                (Hollow::Arc { radius_mm }, (self.width_mm / (2.0 * radius_mm)).min(1.0).asin())
            }
            None => (Hollow::Flat, 0.0),
        };
        let facet = PresentFacet::new(hollow, across - Angle::from_radians(half), self.width_mm)?;
        Ok(MatchedGrind { facet, radius_mm })
    }

    /// The measurements with one of them, counted in the order of the doubts' own uses, at an end of its ±.
    fn moved(&self, uncertainties: &MeasurementUncertainties, which: usize, sign: f64) -> Self {
        let mut moved = *self;
        match which {
            0 => moved.width_mm += sign * uncertainties.width_mm,
            1 => match &mut moved.across {
                AcrossBy::Thickness { under_mm } => *under_mm += sign * uncertainties.under_mm,
                AcrossBy::Protractor { reads } => *reads += uncertainties.angle * sign,
                AcrossBy::Template { template, .. } => *template += uncertainties.angle * sign,
            },
            2 => {
                if let AcrossBy::Template { daylight_mm, .. } = &mut moved.across {
                    *daylight_mm += sign * uncertainties.daylight_mm;
                }
            }
            _ => match &mut moved.hollow {
                HollowBy::Wheel { radius_mm } => *radius_mm += sign * uncertainties.radius_mm,
                HollowBy::Depth { hollow_mm } => {
                    *hollow_mm = (*hollow_mm + sign * uncertainties.hollow_mm).max(0.0);
                }
            },
        }
        moved
    }

    /// The ± of what [`MeasuredFacet::matched`] gives. Slopes are central differences over the half-widths
    /// themselves, which is what the arcsines near 90° need.
    ///
    /// # Errors
    /// As [`MeasuredFacet::matched`].
    pub fn uncertainty(
        &self,
        uncertainties: &MeasurementUncertainties,
    ) -> Result<MatchedUncertainty, DimensionError> {
        let here = self.matched()?;
        let ends = [0, 1, 2, 3]
            .map(|which| [1.0, -1.0].map(|sign| self.moved(uncertainties, which, sign).matched().ok()));
        let expanded = |of: &dyn Fn(&MatchedGrind) -> f64| {
            let half_widths = ends.map(|[more, less]| match (more, less) {
                (Some(more), Some(less)) => (of(&more) - of(&less)).abs() / 2.0,
                // At a limit one side is left: its whole way is the safer half-width.
                (Some(one), None) | (None, Some(one)) => (of(&one) - of(&here)).abs(),
                (None, None) => 0.0,
            });
            COVERAGE * combine(half_widths.map(|half| (1.0, rectangular(half))))
        };
        let radius = |grind: &MatchedGrind| grind.radius_mm.unwrap_or(f64::INFINITY);
        Ok(MatchedUncertainty {
            at_edge: Angle::from_radians(expanded(&|grind| grind.facet.at_edge().radians())),
            across: Angle::from_radians(expanded(&|grind| grind.facet.across().radians())),
            radius_mm: here.radius_mm.map(|_| {
                let off = expanded(&radius);
                if off.is_finite() { off } else { f64::INFINITY }
            }),
        })
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]
mod tests {
    use super::*;
    use crate::{parts::wheel::Face, side::facet::Facet};
    use approx::assert_relative_eq;

    fn ground(degrees: f64) -> Facet {
        Facet::ground(Face::Round { radius_mm: 75.0 }, Angle::from_degrees(degrees), 4.0).unwrap()
    }

    #[test]
    fn every_way_of_measuring_finds_the_facet_that_was_ground() {
        for degrees in [20.0, 35.0, 45.0, 60.0, 80.0] {
            let facet = ground(degrees);
            let template = facet.across + Angle::from_degrees(1.3);
            let daylight_mm = facet.width_mm * Angle::from_degrees(1.3).sin();
            let acrosses = [
                AcrossBy::Thickness { under_mm: 4.0 },
                AcrossBy::Protractor { reads: facet.across },
                AcrossBy::Template { template, daylight_mm },
                AcrossBy::Template {
                    template: facet.across - Angle::from_degrees(1.3),
                    daylight_mm: -daylight_mm,
                },
            ];
            for across in acrosses {
                for hollow in
                    [HollowBy::Wheel { radius_mm: 75.0 }, HollowBy::Depth { hollow_mm: facet.hollow_mm }]
                {
                    let found = MeasuredFacet { width_mm: facet.width_mm, across, hollow }.matched().unwrap();
                    assert_relative_eq!(found.facet.at_edge().degrees(), degrees, epsilon = 1e-9);
                    assert_relative_eq!(found.radius_mm.unwrap(), 75.0, max_relative = 1e-9);
                }
            }
        }
    }

    #[test]
    fn flat_facet_has_one_bevel() {
        let across = AcrossBy::Protractor { reads: Angle::from_degrees(40.0) };
        let flat = MeasuredFacet { width_mm: 6.0, across, hollow: HollowBy::Depth { hollow_mm: 0.0 } };
        let found = flat.matched().unwrap();
        assert_eq!((found.facet.at_edge(), found.radius_mm), (found.facet.across(), None));
    }

    #[test]
    fn sureness_agrees_with_monte_carlo() {
        // Independent method: the measurements thrown within their half-widths.
        let uncertainties = MeasurementUncertainties {
            width_mm: 0.1,
            under_mm: 0.1,
            angle: Angle::from_degrees(0.5),
            daylight_mm: 0.02,
            hollow_mm: 0.02,
            radius_mm: 1.0,
        };
        let mut seed = 1_u64;
        let mut random = move || {
            seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            (seed >> 11) as f64 / 2.0_f64.powi(53) * 2.0 - 1.0
        };
        let width_mm = ground(40.0).width_mm;
        for across in
            [AcrossBy::Thickness { under_mm: 4.0 }, AcrossBy::Protractor { reads: ground(40.0).across }]
        {
            let facet = MeasuredFacet { width_mm, across, hollow: HollowBy::Wheel { radius_mm: 75.0 } };
            let (mut sum, mut squares, throws) = (0.0, 0.0, 100_000);
            for _ in 0..throws {
                let mut thrown = facet;
                thrown.width_mm += uncertainties.width_mm * random();
                match &mut thrown.across {
                    AcrossBy::Thickness { under_mm } => *under_mm += uncertainties.width_mm * random(),
                    AcrossBy::Protractor { reads } => *reads += uncertainties.angle * random(),
                    AcrossBy::Template { .. } => {}
                }
                thrown.hollow = HollowBy::Wheel { radius_mm: 75.0 + uncertainties.radius_mm * random() };
                let off = (thrown.matched().unwrap().facet.at_edge()
                    - facet.matched().unwrap().facet.at_edge())
                .radians();
                sum += off;
                squares += off * off;
            }
            let mean = sum / f64::from(throws);
            let spread = (squares / f64::from(throws) - mean * mean).sqrt();
            assert_relative_eq!(
                facet.uncertainty(&uncertainties).unwrap().at_edge.radians(),
                2.0 * spread,
                max_relative = 0.02
            );
        }
    }

    #[test]
    fn measurements_that_cannot_be_are_refused() {
        let across = AcrossBy::Protractor { reads: Angle::from_degrees(40.0) };
        let good = MeasuredFacet { width_mm: 6.0, across, hollow: HollowBy::Wheel { radius_mm: 75.0 } };
        for width_mm in [f64::NAN, 0.0, -1.0, f64::INFINITY, 200.0] {
            assert!(MeasuredFacet { width_mm, ..good }.matched().is_err(), "{width_mm}");
        }
        assert!(MeasuredFacet { across: AcrossBy::Thickness { under_mm: 7.0 }, ..good }.matched().is_err());
        assert!(MeasuredFacet { hollow: HollowBy::Depth { hollow_mm: 4.0 }, ..good }.matched().is_err());
        let template = AcrossBy::Template { template: Angle::from_degrees(40.0), daylight_mm: f64::NAN };
        assert!(MeasuredFacet { across: template, ..good }.matched().is_err());
    }
}
