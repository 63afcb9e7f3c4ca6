//! What a tool is ground to, from whatever was measured at the bench: each way of measuring its bevel by itself, the
//! surest of them, whether they agree, and which of the bench's wheels may have ground it.

use bevelbench_geometry::{
    facet::{AcrossBy, HollowBy, MatchedGrind, MatchedUncertainty, MeasuredFacet, MeasurementUncertainties},
    math::{Angle, DimensionError},
};

use crate::saved::{bench::Bench, id::Id};

/// A reading with its ±, a half-width.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Measured {
    /// The reading, in millimetres or degrees.
    pub value: f64,
    /// How far it may be off.
    pub uncertainty: f64,
}

/// All that can be measured of a facet; what was not measured is `None`.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Measures {
    /// Width of the facet from edge to heel, in millimetres.
    pub width: Option<Measured>,
    /// Steel under the edge, square to the tool's axis, in millimetres.
    pub under: Option<Measured>,
    /// What a protractor reads across the facet, in degrees.
    pub protractor: Option<Measured>,
    /// The angle of a template held to the tool, in degrees.
    pub template: Option<Measured>,
    /// Daylight under the template, in millimetres: positive at the heel, negative at the edge.
    pub daylight: Option<Measured>,
    /// Depth of the hollow under a straight-edge across the facet, in millimetres.
    pub hollow: Option<Measured>,
    /// Radius of the wheel that ground it, in millimetres, if that is known or assumed.
    pub wheel_radius: Option<Measured>,
}

/// A way to measure the bevel across the facet.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum BevelMethod {
    /// From the steel under the edge.
    Thickness,
    /// With a protractor.
    Protractor,
    /// With a template and the daylight under it.
    Template,
}

/// What one way of measuring comes to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MethodResult {
    /// The way.
    pub method: BevelMethod,
    /// What the tool is ground to by it.
    pub grind: MatchedGrind,
    /// How sure that is.
    pub uncertainty: MatchedUncertainty,
}

/// What all the measurements come to.
#[derive(Debug, Clone, PartialEq)]
pub struct Matched {
    /// The way with the surest bevel at the edge.
    pub most_certain: MethodResult,
    /// The others that were measured.
    pub others: Vec<MethodResult>,
    /// Whether the hollow was measured; otherwise its wheel was taken as known.
    pub hollow_measured: bool,
}

/// Why nothing can be said.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Unmatched {
    /// The facet's width is missing.
    NoWidth,
    /// Nothing that tells the bevel was measured.
    NoBevel,
    /// Daylight was measured, but under what template?
    NoTemplate,
    /// Neither the hollow nor the wheel is known.
    NoHollow,
    /// A measurement that cannot be, by the way that used it.
    DimensionError {
        /// The way.
        method: BevelMethod,
        /// What is wrong.
        dimension_error: DimensionError,
    },
}

impl Measures {
    /// What the tool is ground to.
    ///
    /// # Errors
    /// [`Unmatched`].
    pub fn matched(&self) -> Result<Matched, Unmatched> {
        let width = self.width.ok_or(Unmatched::NoWidth)?;
        let hollow = match (self.hollow, self.wheel_radius) {
            (Some(hollow), _) => HollowBy::Depth { hollow_mm: hollow.value },
            (None, Some(radius)) => HollowBy::Wheel { radius_mm: radius.value },
            (None, None) => return Err(Unmatched::NoHollow),
        };
        if self.daylight.is_some() && self.template.is_none() {
            return Err(Unmatched::NoTemplate);
        }
        let uncertainty =
            |measured: Option<Measured>| measured.map_or(0.0, |measured| measured.uncertainty.abs());
        let template = self.template.map(|template| AcrossBy::Template {
            template: Angle::from_degrees(template.value),
            // A template without daylight fits.
            daylight_mm: self.daylight.map_or(0.0, |daylight| daylight.value),
        });
        let protractor =
            self.protractor.map(|reads| AcrossBy::Protractor { reads: Angle::from_degrees(reads.value) });
        let thickness = self.under.map(|under| AcrossBy::Thickness { under_mm: under.value });
        let mut methods = Vec::with_capacity(3);
        for (method, across, angle_uncertainty) in [
            (BevelMethod::Thickness, thickness, 0.0),
            (BevelMethod::Protractor, protractor, uncertainty(self.protractor)),
            (BevelMethod::Template, template, uncertainty(self.template)),
        ] {
            let Some(across) = across else { continue };
            let dimension_error = |dimension_error| Unmatched::DimensionError { method, dimension_error };
            let uncertainties = MeasurementUncertainties {
                width_mm: uncertainty(self.width),
                under_mm: uncertainty(self.under),
                angle: Angle::from_degrees(angle_uncertainty),
                daylight_mm: uncertainty(self.daylight),
                hollow_mm: uncertainty(self.hollow),
                radius_mm: uncertainty(self.wheel_radius),
            };
            let facet = MeasuredFacet { width_mm: width.value, across, hollow };
            let grind = facet.matched().map_err(dimension_error)?;
            methods.push(MethodResult {
                method,
                grind,
                uncertainty: facet.uncertainty(&uncertainties).map_err(dimension_error)?,
            });
        }
        let uncertainty = |method: &MethodResult| method.uncertainty.at_edge.radians();
        methods.sort_by(|a: &MethodResult, b| uncertainty(a).total_cmp(&uncertainty(b)));
        let mut methods = methods.into_iter();
        let most_certain = methods.next().ok_or(Unmatched::NoBevel)?;
        Ok(Matched { most_certain, others: methods.collect(), hollow_measured: self.hollow.is_some() })
    }
}

impl Matched {
    /// The way that disagrees most with the surest one, if their ± do not cover the difference; and the difference.
    #[must_use]
    pub fn at_odds(&self) -> Option<(&MethodResult, Angle)> {
        let most_certain = &self.most_certain;
        self.others
            .iter()
            .map(|method| (method, method.grind.facet.across() - most_certain.grind.facet.across()))
            .filter(|(method, apart)| {
                apart.abs() > method.uncertainty.across + most_certain.uncertainty.across
            })
            .max_by(|a, b| a.1.abs().radians().total_cmp(&b.1.abs().radians()))
    }
}

/// A wheel of the bench held against the one that ground a facet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WheelFit<'a> {
    /// The rig's name.
    pub rig: &'a str,
    /// The wheel's id.
    pub wheel: Id,
    /// The wheel's name.
    pub name: &'a str,
    /// Its diameter now, in millimetres.
    pub diameter_mm: f64,
    /// How much larger it is than the hollow's wheel, in millimetres of diameter.
    pub larger_by_mm: f64,
    /// Whether the ± covers that.
    pub fits: bool,
}

/// The wheels of a bench, nearest to a hollow's radius first; `uncertainty_mm` is the radius's ±.
#[must_use]
pub fn wheels_by_fit(bench: &Bench, radius_mm: f64, uncertainty_mm: f64) -> Vec<WheelFit<'_>> {
    let mut fits: Vec<WheelFit<'_>> = bench
        .rigs
        .iter()
        .flat_map(|rig| rig.wheels.iter().map(move |wheel| (rig, wheel)))
        .filter(|(_, wheel)| wheel.abrasive != crate::saved::rig::AbrasiveSaved::Flat)
        .map(|(rig, wheel)| {
            let larger_by_mm = wheel.diameter_mm - 2.0 * radius_mm;
            WheelFit {
                rig: &rig.name,
                wheel: wheel.id,
                name: &wheel.name,
                diameter_mm: wheel.diameter_mm,
                larger_by_mm,
                fits: larger_by_mm.abs() <= 2.0 * uncertainty_mm,
            }
        })
        .collect();
    fits.sort_by(|a, b| a.larger_by_mm.abs().total_cmp(&b.larger_by_mm.abs()));
    fits
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]
mod tests {
    use super::*;
    use crate::saved::library::demo_bench;

    fn read(value: f64, uncertainty: f64) -> Measured {
        Measured { value, uncertainty }
    }

    /// The facet of a demo setting as it would be measured.
    fn measured(name: &str) -> (Measures, bevelbench_geometry::side::Facet, f64) {
        let bench = demo_bench().unwrap();
        let (job, view) = bench.answer(bench.setting_named(name).unwrap()).unwrap();
        let radius = job.setting.face.radius_mm().unwrap();
        let measures = Measures {
            width: Some(read(view.facet.width_mm, 0.2)),
            under: Some(read(job.setting.edge.under_mm, 0.1)),
            protractor: Some(read(view.facet.across.degrees(), 0.5)),
            hollow: Some(read(view.facet.hollow_mm, 0.01)),
            ..Measures::default()
        };
        (measures, view.facet, radius)
    }

    #[test]
    fn a_ground_facet_is_matched_and_its_wheel_is_found_on_the_bench() {
        let (measures, facet, radius) = measured("Long grind, 85 mm");
        let matched = measures.matched().unwrap();
        let most_certain = matched.most_certain;
        assert!((most_certain.grind.facet.across() - facet.across).abs().degrees() < 1e-9);
        assert!((most_certain.grind.radius_mm.unwrap() - radius).abs() < 1e-6);
        assert_eq!(most_certain.method, BevelMethod::Protractor);
        assert!(matched.at_odds().is_none());
        let bench = demo_bench().unwrap();
        let fits = wheels_by_fit(&bench, radius, 1.0);
        assert!(fits[0].fits && fits[0].larger_by_mm.abs() < 1e-9);
        assert!(fits.iter().any(|fit| !fit.fits));
    }

    #[test]
    fn results_that_differ_beyond_their_uncertainties_contradict() {
        let (mut measures, facet, _) = measured("Long grind, 85 mm");
        measures.protractor = Some(read(facet.across.degrees() + 9.0, 0.5));
        let matched = measures.matched().unwrap();
        let (other, apart) = matched.at_odds().unwrap();
        assert_eq!(other.method, BevelMethod::Thickness);
        assert!((apart.abs().degrees() - 9.0).abs() < 1e-6);
    }

    #[test]
    fn missing_parts_are_named() {
        let (measures, ..) = measured("Long grind, 85 mm");
        let none = Measures::default();
        assert_eq!(none.matched(), Err(Unmatched::NoWidth));
        let no_hollow = Measures { hollow: None, ..measures };
        assert_eq!(no_hollow.matched(), Err(Unmatched::NoHollow));
        let no_bevel = Measures { under: None, protractor: None, ..measures };
        assert_eq!(no_bevel.matched(), Err(Unmatched::NoBevel));
        let no_template = Measures { daylight: Some(read(0.3, 0.05)), ..measures };
        assert_eq!(no_template.matched(), Err(Unmatched::NoTemplate));
        let narrow = Measures { width: Some(read(1.0, 0.1)), ..measures };
        assert!(matches!(
            narrow.matched(),
            Err(Unmatched::DimensionError { method: BevelMethod::Thickness, .. })
        ));
    }
}
