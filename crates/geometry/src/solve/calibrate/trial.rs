//! A trial grind: what was set and read for it, the bevel it gave, and how each reading moves that bevel.

use crate::{
    math::{angle::Angle, quantity::Quantity},
    parts::wheel::Face,
    side::{
        inverse::Target,
        setting::{Setting, SideView, Support},
        uncertainty::{Reading, rectangular},
    },
};

/// A trial grind: a setting as it was set on the rig as it was thought to be, and the bevel that was measured.
#[derive(Debug, Clone, PartialEq)]
pub struct Trial {
    /// The setting.
    pub setting: Setting,
    /// The bevel that was measured.
    pub measured: Target,
    /// How far the measurement may be off: a half-width, rectangular.
    pub half_width: Angle,
    /// How far each reading that the setting rests on may be off. Those of the dimensions that are fitted are passed
    /// over, and so are half-widths that are none.
    pub readings: Vec<Reading>,
}

impl Trial {
    /// Standard uncertainty of the measured bevel, in radians.
    pub(super) fn standard(&self) -> f64 {
        rectangular(self.half_width.radians())
    }

    /// Standard uncertainty of a reading, in millimetres or radians.
    pub(super) fn standard_of(reading: &Reading) -> f64 {
        let plain = if reading.input.is_angle() {
            Angle::from_degrees(reading.half_width).radians()
        } else {
            reading.half_width
        };
        rectangular(plain)
    }

    /// The bevel as it was measured.
    pub(super) fn measured(&self) -> f64 {
        match self.measured {
            Target::AtEdge(angle) | Target::AcrossFacet(angle) => angle.radians(),
        }
    }

    /// What the protractor would read of a view.
    pub(super) fn predicted(&self, view: &SideView) -> f64 {
        match self.measured {
            Target::AtEdge(_) => view.facet.at_edge.radians(),
            Target::AcrossFacet(_) => view.facet.across.radians(),
        }
    }

    /// Slope of that by a reading, per millimetre or radian; nothing for one that it does not rest on.
    pub(super) fn slope(&self, setting: &Setting, view: &SideView, input: Quantity) -> f64 {
        let by_edge = setting.slope_by(input, view).unwrap_or(0.0);
        match (self.measured, setting.face) {
            (Target::AcrossFacet(_), Face::Round { radius_mm }) => {
                // A − asin(h) = β with h = u/(2R sin A)
                let (sin, cos) = view.facet.across.sin_cos();
                let h = setting.edge.under_mm / (2.0 * radius_mm * sin);
                let root = (1.0 - h * h).max(1e-12).sqrt();
                let direct = match input {
                    Quantity::WheelDiameter => -h / (2.0 * radius_mm * root),
                    Quantity::UnderEdge => 1.0 / (2.0 * radius_mm * sin * root),
                    _ => 0.0,
                };
                (by_edge + direct) / (1.0 + h * cos / (sin * root))
            }
            _ => by_edge,
        }
    }
}

/// How the error of a reading in one trial goes with that in another.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Occasion {
    /// Read once for all trials of this value: one error in all of them.
    Once(f64),
    /// Set for each trial. At the same value it may have been left as it was.
    EachTrial(f64),
}

/// When a reading of a setting was made.
pub(super) fn occasion(setting: &Setting, input: Quantity) -> Occasion {
    let free = |free| setting.value_of(free).unwrap_or(0.0);
    match input {
        Quantity::Reach => Occasion::EachTrial(free(Quantity::Reach)),
        Quantity::Projection => Occasion::EachTrial(free(Quantity::Projection)),
        Quantity::StrutAngle => Occasion::EachTrial(free(Quantity::StrutAngle)),
        Quantity::TableTilt => Occasion::EachTrial(free(Quantity::TableTilt)),
        Quantity::ToolLength => Occasion::Once(free(Quantity::ToolLength)),
        Quantity::WheelDiameter => Occasion::Once(free(Quantity::WheelDiameter)),
        Quantity::EdgeHeight => Occasion::Once(setting.edge.height_mm),
        Quantity::UnderEdge => Occasion::Once(setting.edge.under_mm),
        Quantity::HingeSetback | Quantity::HingeDrop | Quantity::StrutLength => {
            Occasion::Once(match setting.support {
                Support::Holder { holder, .. } => {
                    let spec = holder.spec();
                    match input {
                        Quantity::HingeSetback => spec.hinge_setback_mm,
                        Quantity::HingeDrop => spec.hinge_drop_mm,
                        _ => spec.strut_length_mm,
                    }
                }
                _ => 0.0,
            })
        }
        // All trials are of one rig.
        _ => Occasion::Once(0.0),
    }
}

/// Whether two values of a reading are the same one.
pub(super) fn is_same(one: f64, other: f64) -> bool {
    (one - other).abs() < 1e-6
}
