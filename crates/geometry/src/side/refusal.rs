//! Why a setting has no answer, with the numbers that say by how much.

use std::{error::Error, fmt};

use crate::{
    math::{angle::Angle, dimension::DimensionError},
    side::{facet::NoHeel, nose::NoseGone},
};

/// A setting that cannot be, and its numbers. The sentence and the remedy for a turner are written where they
/// are shown; [`fmt::Display`] gives a plain line for a log.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Refusal {
    /// A dimension that is no number or out of its range.
    DimensionError(DimensionError),
    /// Pivot and edge are one point: there is no direction between them.
    PivotAtEdge {
        /// Their distance in millimetres.
        from_edge_mm: f64,
    },
    /// The pivot lies inside the wheel.
    PivotInWheel {
        /// How deep, in millimetres.
        by_mm: f64,
    },
    /// The pivot is so near that the edge cannot come back to the rim.
    PivotTooNear {
        /// Its distance from the wheel's centre, in millimetres.
        distance_mm: f64,
        /// The distance it must exceed.
        least_mm: f64,
    },
    /// The pivot is so far that the edge cannot reach the rim.
    PivotTooFar {
        /// Its distance from the wheel's centre (from the plane of a flat face), in millimetres.
        distance_mm: f64,
        /// The distance it must stay under.
        most_mm: f64,
    },
    /// A contact exists, but no bevel between 0° and 180° does.
    BevelOutOfRange {
        /// The angle that came out.
        bevel: Angle,
    },
    /// The table's plane misses the wheel.
    TableOutOfReach {
        /// Signed distance of the plane from the wheel's centre, in millimetres.
        plane_from_centre_mm: f64,
        /// The least distance that meets the wheel.
        least_mm: f64,
        /// The greatest distance that meets the wheel.
        most_mm: f64,
    },
    /// The table's surface runs into the wheel.
    TableCatchesWheel {
        /// How deep, in millimetres.
        by_mm: f64,
    },
    /// The reach is off the arm.
    ReachOffArm {
        /// The reach in millimetres.
        reach_mm: f64,
        /// The least reach.
        least_mm: f64,
        /// The greatest reach.
        most_mm: f64,
    },
    /// The strut angle is outside its travel.
    StrutAngleOffTravel {
        /// The angle.
        angle: Angle,
        /// The least angle.
        least: Angle,
        /// The greatest angle.
        most: Angle,
    },
    /// The tilt is outside the table's travel.
    TiltOffTravel {
        /// The tilt.
        tilt: Angle,
        /// The least tilt.
        least: Angle,
        /// The greatest tilt.
        most: Angle,
    },
    /// The arc never reaches the underside.
    NoHeel(NoHeel),
    /// The holder's body would be inside the wheel.
    HolderInWheel {
        /// How deep, in millimetres.
        by_mm: f64,
    },
    /// The strut would pass through the wheel.
    StrutInWheel {
        /// How deep, in millimetres.
        by_mm: f64,
    },
    /// The tool's handle would pass through the bench.
    HandleThroughBench {
        /// How deep, in millimetres.
        by_mm: f64,
    },
    /// The projection is longer than the blade outside its handle.
    ProjectionBeyondBlade {
        /// The projection in millimetres.
        projection_mm: f64,
        /// The most the blade allows with the holder's body on it.
        most_mm: f64,
    },
    /// The wheel is below its least usable diameter.
    WheelWornOut {
        /// Its diameter in millimetres.
        diameter_mm: f64,
        /// The least usable diameter.
        least_mm: f64,
    },
    /// The rim runs faster than the wheel is marked for.
    WheelTooFast {
        /// Rim speed in metres a second.
        rim_speed_m_s: f64,
        /// The marked speed.
        marked_m_s: f64,
    },
    /// The rest of the swing cuts the nose off.
    NoseGone(NoseGone),
    /// A pivot was asked of a table.
    NotOnPivot,
}

impl From<DimensionError> for Refusal {
    fn from(dimension_error: DimensionError) -> Self {
        Self::DimensionError(dimension_error)
    }
}

impl Refusal {
    /// A short lower-case name for scripts: `pivot_too_near`.
    #[must_use]
    pub const fn kind(&self) -> &'static str {
        match self {
            Self::DimensionError(_) => "unfit_dimension",
            Self::PivotAtEdge { .. } => "pivot_at_edge",
            Self::PivotInWheel { .. } => "pivot_in_wheel",
            Self::PivotTooNear { .. } => "pivot_too_near",
            Self::PivotTooFar { .. } => "pivot_too_far",
            Self::BevelOutOfRange { .. } => "bevel_out_of_range",
            Self::TableOutOfReach { .. } => "table_out_of_reach",
            Self::TableCatchesWheel { .. } => "table_catches_wheel",
            Self::ReachOffArm { .. } => "reach_off_arm",
            Self::StrutAngleOffTravel { .. } => "strut_angle_off_travel",
            Self::TiltOffTravel { .. } => "tilt_off_travel",
            Self::NoHeel(_) => "no_heel",
            Self::HolderInWheel { .. } => "holder_in_wheel",
            Self::StrutInWheel { .. } => "strut_in_wheel",
            Self::HandleThroughBench { .. } => "handle_through_bench",
            Self::ProjectionBeyondBlade { .. } => "projection_beyond_blade",
            Self::WheelWornOut { .. } => "wheel_worn_out",
            Self::WheelTooFast { .. } => "wheel_too_fast",
            Self::NoseGone(_) => "nose_gone",
            Self::NotOnPivot => "not_on_pivot",
        }
    }

    /// The numbers, each with a name that carries its unit.
    #[must_use]
    pub fn numbers(&self) -> Vec<(&'static str, f64)> {
        match *self {
            Self::DimensionError(dimension_error) => vec![("value", dimension_error.value)],
            Self::PivotAtEdge { from_edge_mm } => vec![("from_edge_mm", from_edge_mm)],
            Self::PivotInWheel { by_mm }
            | Self::TableCatchesWheel { by_mm }
            | Self::HolderInWheel { by_mm }
            | Self::StrutInWheel { by_mm }
            | Self::HandleThroughBench { by_mm } => vec![("by_mm", by_mm)],
            Self::PivotTooNear { distance_mm, least_mm } => {
                vec![("distance_mm", distance_mm), ("least_mm", least_mm)]
            }
            Self::PivotTooFar { distance_mm, most_mm } => {
                vec![("distance_mm", distance_mm), ("most_mm", most_mm)]
            }
            Self::BevelOutOfRange { bevel } => vec![("bevel_deg", bevel.degrees())],
            Self::TableOutOfReach { plane_from_centre_mm, least_mm, most_mm } => vec![
                ("plane_from_centre_mm", plane_from_centre_mm),
                ("least_mm", least_mm),
                ("most_mm", most_mm),
            ],
            Self::ReachOffArm { reach_mm, least_mm, most_mm } => {
                vec![("reach_mm", reach_mm), ("least_mm", least_mm), ("most_mm", most_mm)]
            }
            Self::StrutAngleOffTravel { angle, least, most } => vec![
                ("strut_angle_deg", angle.degrees()),
                ("least_deg", least.degrees()),
                ("most_deg", most.degrees()),
            ],
            Self::TiltOffTravel { tilt, least, most } => vec![
                ("table_tilt_deg", tilt.degrees()),
                ("least_deg", least.degrees()),
                ("most_deg", most.degrees()),
            ],
            Self::NoHeel(NoHeel { under_mm, most_mm }) => {
                vec![("under_mm", under_mm), ("most_mm", most_mm)]
            }
            Self::ProjectionBeyondBlade { projection_mm, most_mm } => {
                vec![("projection_mm", projection_mm), ("most_mm", most_mm)]
            }
            Self::WheelWornOut { diameter_mm, least_mm } => {
                vec![("diameter_mm", diameter_mm), ("least_mm", least_mm)]
            }
            Self::WheelTooFast { rim_speed_m_s, marked_m_s } => {
                vec![("rim_speed_m_s", rim_speed_m_s), ("marked_m_s", marked_m_s)]
            }
            Self::NoseGone(gone) => gone.numbers(),
            Self::NotOnPivot => Vec::new(),
        }
    }
}

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Self::DimensionError(dimension_error) = self {
            return write!(f, "{dimension_error}");
        }
        f.write_str(self.kind())?;
        for (name, value) in self.numbers() {
            write!(f, " {name}={value}")?;
        }
        Ok(())
    }
}

impl Error for Refusal {}
