//! The numbers that are read of a setting, and how they differ from those of another.

use bevelbench_geometry::side::{Seat, SideView};

use crate::quantity::{fine_text, format_angle, length_text, length_unit::LengthUnit};

/// A number that is read of a setting.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Figure {
    /// Bevel at the edge.
    Bevel,
    /// Bevel across the facet.
    Across,
    /// Width of the facet.
    Facet,
    /// Depth of its hollow.
    Hollow,
    /// Gauge length.
    Gauge,
    /// Bevel for a millimetre of reach, or a degree of tilt.
    Slope,
    /// The handle below the horizontal.
    Handle,
}

impl Figure {
    /// Every figure in the order of the read-outs.
    pub const ALL: [Self; 7] =
        [Self::Bevel, Self::Across, Self::Facet, Self::Hollow, Self::Gauge, Self::Slope, Self::Handle];

    /// Its name.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Bevel => "Bevel at the edge",
            Self::Across => "Across the facet",
            Self::Facet => "Facet",
            Self::Hollow => "Hollow",
            Self::Gauge => "Gauge length",
            Self::Slope => "Per step of arm or table",
            Self::Handle => "Handle",
        }
    }

    /// Its value for an answer, in millimetres or degrees.
    #[must_use]
    pub fn of(self, view: &SideView) -> Option<f64> {
        match self {
            Self::Bevel => Some(view.bevel().degrees()),
            Self::Across => Some(view.facet.across.degrees()),
            Self::Facet => Some(view.facet.width_mm),
            Self::Hollow => Some(view.facet.hollow_mm),
            Self::Gauge => view.gauge_length_mm(),
            Self::Slope => match view.seat {
                Seat::Pivot { .. } => view.slopes.reach.map(f64::to_degrees),
                Seat::Plane { .. } => view.slopes.table_tilt,
            },
            Self::Handle => Some(view.handle_angle.degrees()),
        }
    }

    /// Its value with its unit.
    #[must_use]
    pub fn words(self, value: Option<f64>, unit: LengthUnit) -> String {
        let Some(value) = value else { return "–".to_owned() };
        match self {
            Self::Bevel | Self::Across | Self::Handle => format_angle(value, 1),
            Self::Slope => format_angle(value, 2),
            Self::Facet | Self::Gauge => length_text(value, unit),
            Self::Hollow => fine_text(value, unit),
        }
    }

    /// The difference of B from A, with its sign.
    #[must_use]
    pub fn difference(self, a: Option<f64>, b: Option<f64>, unit: LengthUnit) -> String {
        let (Some(a), Some(b)) = (a, b) else { return "–".to_owned() };
        // Of the numbers as they are read, so that the columns add up before a class.
        let fineness = match self {
            Self::Hollow | Self::Slope => 100.0,
            _ => 10.0,
        };
        let read = |value: f64| (value * fineness).round() / fineness;
        let (a, b) = (read(a), read(b));
        let words = self.words(Some(b - a), unit);
        // What reads as nothing has no sign.
        let nothing = !words.chars().any(|c| ('1'..='9').contains(&c));
        if nothing || b < a { words } else { format!("+{words}") }
    }
}
