//! The facet a wheel leaves: from the edge to the heel, hollow by the wheel's radius.
//!
//! Tool frame: `s` along the axis from the edge towards the handle, `h` across it, the edge at `(0, h_E)`;
//! results that are points are given relative to the edge. The underside lies `under` below the edge, square
//! to the axis.

use std::{error::Error, fmt};

use glam::{DVec2, dvec2};

use crate::{
    math::{angle::Angle, dimension::LONGEST_MM},
    parts::wheel::Face,
};

/// A ground facet in the side plane.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Facet {
    /// Bevel at the edge, between the tool's axis and the face at the edge.
    pub at_edge: Angle,
    /// Bevel across the facet: what a protractor laid on edge and heel reads.
    pub across: Angle,
    /// Bevel at the heel.
    pub at_heel: Angle,
    /// Width: the chord from edge to heel, in millimetres.
    pub width_mm: f64,
    /// Depth of the hollow under that chord, in millimetres.
    pub hollow_mm: f64,
    /// The heel in the tool frame, relative to the edge.
    pub heel_from_edge: DVec2,
}

/// The wheel's arc never reaches the underside: the blank is thicker than the wheel can grind across.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NoHeel {
    /// Steel under the edge, in millimetres.
    pub under_mm: f64,
    /// The most the wheel could grind across at this bevel, in millimetres.
    pub most_mm: f64,
}

impl fmt::Display for NoHeel {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "{} mm of steel under the edge, but the wheel reaches only {} mm",
            self.under_mm, self.most_mm
        )
    }
}

impl Error for NoHeel {}

impl Facet {
    /// The facet that `face` grinds at a bevel `at_edge` through `under_mm` of steel.
    ///
    /// With the half-angle `κ = asin(c / 2R)` of the chord `c`: across the facet `β + κ`, at the heel
    /// `β + 2κ`, hollow `R(1 − cos κ)`. A flat face leaves a flat facet: all three bevels are one.
    ///
    /// # Errors
    /// [`NoHeel`] when the arc turns back before it reaches the underside, and for numbers that make no facet:
    /// a bevel outside 0° to 180°, a thickness or a radius that is none.
    ///
    /// # Source
    /// Chord and height of a circular segment: any handbook, e.g. *Machinery's Handbook*, 31st ed., p. 79.
    ///
    /// # Example
    /// ```
    /// use bevelbench_geometry::{math::Angle, parts::Face, side::Facet};
    /// let facet = Facet::ground(Face::Round { radius_mm: 75.0 }, Angle::from_degrees(45.0), 4.0)?;
    /// // A protractor across the facet reads two degrees more than the edge has.
    /// assert!((facet.across - facet.at_edge).degrees() > 2.0);
    /// # Ok::<(), bevelbench_geometry::side::NoHeel>(())
    /// ```
    #[inline]
    pub fn ground(face: Face, at_edge: Angle, under_mm: f64) -> Result<Self, NoHeel> {
        let sound = at_edge > Angle::ZERO
            && at_edge < Angle::HALF
            && under_mm > 0.0
            && under_mm <= LONGEST_MM
            && face.radius_mm().is_none_or(is_radius);
        if !sound {
            return Err(NoHeel { under_mm, most_mm: 0.0 });
        }
        Self::ground_with(face, at_edge, at_edge.sin_cos(), under_mm)
    }

    /// As [`Facet::ground`], for a caller that has the sine and cosine of the bevel already.
    #[inline]
    pub(crate) fn ground_with(
        face: Face,
        at_edge: Angle,
        (sin, cos): (f64, f64),
        under_mm: f64,
    ) -> Result<Self, NoHeel> {
        match face {
            Face::Flat { .. } => {
                // A facet longer than any bench is none.
                let most_mm = LONGEST_MM * sin.max(0.0);
                if under_mm > most_mm {
                    return Err(NoHeel { under_mm, most_mm });
                }
                let heel_from_edge = dvec2(under_mm * cos / sin, -under_mm);
                Ok(Self {
                    at_edge,
                    across: at_edge,
                    at_heel: at_edge,
                    width_mm: under_mm / sin,
                    hollow_mm: 0.0,
                    heel_from_edge,
                })
            }
            Face::Round { radius_mm } => {
                let r = radius_mm;
                // The heel is where the circle comes back to h = −under; its setback is
                // √(R² sin²β + 2R·under·cos β − under²) − R sin β, written without the cancellation.
                let gain = under_mm * (2.0 * r * cos - under_mm);
                let square = r * r * sin * sin + gain;
                if square <= 0.0 || under_mm >= r * (1.0 + cos) {
                    return Err(NoHeel { under_mm, most_mm: r * (1.0 + cos) });
                }
                let setback = gain / (square.sqrt() + r * sin);
                let width_squared = setback * setback + under_mm * under_mm;
                let width_mm = width_squared.sqrt();
                let half_turn = (width_mm / (2.0 * r)).min(1.0).asin();
                let rise = (r * r - width_squared / 4.0).max(0.0).sqrt();
                let kappa = Angle::from_radians(half_turn);
                Ok(Self {
                    at_edge,
                    across: at_edge + kappa,
                    at_heel: at_edge + kappa + kappa,
                    width_mm,
                    hollow_mm: width_squared / (4.0 * (r + rise)),
                    heel_from_edge: dvec2(setback, -under_mm),
                })
            }
        }
    }

    /// The bevel at the edge of the facet that reads `across` on a protractor: the inverse of
    /// [`Facet::across`], in closed form.
    ///
    /// # Errors
    /// [`NoHeel`] when the chord at that angle is longer than the wheel is wide, when no positive bevel is
    /// left at the edge, and for numbers that are none.
    pub fn edge_bevel_for_across(face: Face, across: Angle, under_mm: f64) -> Result<Angle, NoHeel> {
        if !(across.is_finite() && under_mm > 0.0 && under_mm <= LONGEST_MM) {
            return Err(NoHeel { under_mm, most_mm: 0.0 });
        }
        let Face::Round { radius_mm } = face else { return Ok(across) };
        if !is_radius(radius_mm) {
            return Err(NoHeel { under_mm, most_mm: 0.0 });
        }
        let sin = across.sin();
        let half = under_mm / (2.0 * radius_mm * sin);
        let refused = NoHeel { under_mm, most_mm: 2.0 * radius_mm * sin * sin };
        if !(sin > 0.0 && half < 1.0) {
            return Err(refused);
        }
        let at_edge = across - Angle::from_radians(half.asin());
        if at_edge.radians() > 0.0 { Ok(at_edge) } else { Err(refused) }
    }
}

/// Whether a number may be a radius here: up to one whose square is finite, so that ever larger wheels may be
/// compared with a flat face.
fn is_radius(radius_mm: f64) -> bool {
    radius_mm > 0.0 && radius_mm < 1e100
}

/// The height of a circular segment, `R(1 − cos κ)` with `sin κ = c / 2R`: the hollow under a chord.
/// `None` for a chord longer than the circle is wide, or for numbers that are none.
///
/// # Source
/// *Machinery's Handbook*, 31st ed., p. 79; used by the checks against its tables.
#[must_use]
pub fn hollow_under_chord_mm(radius_mm: f64, chord_mm: f64) -> Option<f64> {
    let half = chord_mm / 2.0;
    (radius_mm > 0.0 && radius_mm.is_finite() && half >= 0.0 && half <= radius_mm).then(|| {
        // h = R − √(R² − (c/2)²), without the cancellation and without squares that overflow.
        let sine = half / radius_mm;
        half * sine / (1.0 + ((1.0 - sine) * (1.0 + sine)).sqrt())
    })
}

/// The radius of the wheel that left a hollow of a depth under a chord, `R = c²/8h + h/2`; `None` unless both
/// are positive and finite.
#[must_use]
pub fn radius_from_hollow_mm(chord_mm: f64, hollow_mm: f64) -> Option<f64> {
    let radius = chord_mm * chord_mm / (8.0 * hollow_mm) + hollow_mm / 2.0;
    (chord_mm > 0.0 && hollow_mm > 0.0 && radius.is_finite()).then_some(radius)
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    const WHEEL: Face = Face::Round { radius_mm: 75.0 };
    const FLAT: Face = Face::Flat { normal: Angle::ZERO };

    #[test]
    fn heel_lies_on_the_wheel_and_on_the_underside() {
        for degrees in [5.0, 25.0, 45.0, 80.0, 100.0, 150.0] {
            let bevel = Angle::from_degrees(degrees);
            let facet = Facet::ground(WHEEL, bevel, 3.0).unwrap();
            // Centre of the wheel from the edge: −R·(sin β, cos β).
            let centre = -75.0 * dvec2(bevel.sin(), bevel.cos());
            assert_relative_eq!((facet.heel_from_edge - centre).length(), 75.0, max_relative = 1e-12);
            assert_relative_eq!(facet.heel_from_edge.y, -3.0);
            // Protractor: the chord's own slope.
            let chord = facet.heel_from_edge;
            assert_relative_eq!((-chord.y).atan2(chord.x), facet.across.radians(), epsilon = 1e-12);
            assert_relative_eq!(
                facet.hollow_mm,
                hollow_under_chord_mm(75.0, facet.width_mm).unwrap(),
                max_relative = 1e-12
            );
        }
    }

    #[test]
    fn numbers_that_make_no_facet_are_refused() {
        let sound = Angle::from_degrees(45.0);
        for bad in [f64::NAN, f64::INFINITY, -1.0, 0.0, 1e200] {
            assert!(Facet::ground(WHEEL, sound, bad).is_err(), "{bad}");
            assert!(Facet::ground(Face::Round { radius_mm: bad }, sound, 4.0).is_err(), "{bad}");
            assert!(Facet::edge_bevel_for_across(WHEEL, sound, bad).is_err(), "{bad}");
            for face in [WHEEL, FLAT] {
                assert!(Facet::ground(face, Angle::from_radians(bad), 4.0).is_err(), "{bad}");
            }
        }
        assert!(Facet::edge_bevel_for_across(FLAT, Angle::from_radians(f64::NAN), 4.0).is_err());
    }

    #[test]
    fn five_and_a_half_millimetres_on_a_150_wheel_hide_two_degrees() {
        let facet = Facet::ground(WHEEL, Angle::from_degrees(45.0), 4.034).unwrap();
        assert_relative_eq!(facet.width_mm, 5.5, epsilon = 0.01);
        assert_relative_eq!((facet.across - facet.at_edge).degrees(), 2.1, epsilon = 0.01);
    }

    #[test]
    fn flat_face_is_what_an_ever_larger_wheel_tends_to() {
        let bevel = Angle::from_degrees(35.0);
        let flat = Facet::ground(FLAT, bevel, 5.0).unwrap();
        assert_eq!((flat.at_edge, flat.hollow_mm), (flat.at_heel, 0.0));
        let mut last = f64::INFINITY;
        for radius_mm in [1e2, 1e4, 1e6, 1e8] {
            let round = Facet::ground(Face::Round { radius_mm }, bevel, 5.0).unwrap();
            let off = (round.width_mm - flat.width_mm).abs();
            assert!(off < last);
            last = off;
        }
        assert!(last < 1e-6);
    }

    #[test]
    fn across_and_edge_are_inverse() {
        for degrees in [20.0, 45.0, 70.0, 95.0] {
            let facet = Facet::ground(WHEEL, Angle::from_degrees(degrees), 4.0).unwrap();
            let back = Facet::edge_bevel_for_across(WHEEL, facet.across, 4.0).unwrap();
            assert_relative_eq!(back.degrees(), degrees, epsilon = 1e-10);
        }
    }

    #[test]
    fn blank_too_thick_for_the_wheel_has_no_heel() {
        let refused = Facet::ground(WHEEL, Angle::from_degrees(120.0), 40.0).unwrap_err();
        assert_relative_eq!(refused.most_mm, 37.5, epsilon = 1e-12);
    }

    #[test]
    fn hollow_and_chord_give_the_radius_back() {
        let hollow = hollow_under_chord_mm(75.0, 6.0).unwrap();
        assert_relative_eq!(radius_from_hollow_mm(6.0, hollow).unwrap(), 75.0, max_relative = 1e-12);
        assert!(radius_from_hollow_mm(6.0, 0.0).is_none());
        assert!(hollow_under_chord_mm(75.0, 151.0).is_none());
    }
}
