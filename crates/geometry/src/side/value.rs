//! The values of a setting by quantity: read, set, and how far each goes.

use crate::{
    math::{angle::Angle, quantity::Quantity},
    parts::wheel::Face,
    side::setting::{Setting, Slopes, Support},
};

/// What a setting may be set to: the quantities that [`Setting::with`] moves.
pub const SET: [Quantity; 6] = [
    Quantity::Reach,
    Quantity::Projection,
    Quantity::StrutAngle,
    Quantity::TableTilt,
    Quantity::ToolLength,
    Quantity::WheelDiameter,
];

impl Setting {
    /// The same setting with one quantity at another value (millimetres, or degrees for angles); `None` if the
    /// support has no such thing, or it is nothing that is set.
    #[must_use]
    pub fn with(&self, quantity: Quantity, value: f64) -> Option<Self> {
        let mut moved = *self;
        match (&mut moved.support, quantity) {
            (Support::Handle { reach_mm, .. } | Support::Holder { reach_mm, .. }, Quantity::Reach) => {
                *reach_mm = value;
            }
            (Support::Holder { projection_mm, .. }, Quantity::Projection) => *projection_mm = value,
            (Support::Holder { strut_angle, .. }, Quantity::StrutAngle) => {
                *strut_angle = Angle::from_degrees(value);
            }
            (Support::Handle { tool_length_mm, .. }, Quantity::ToolLength) => *tool_length_mm = value,
            (Support::Table { tilt, .. }, Quantity::TableTilt) => *tilt = Angle::from_degrees(value),
            (_, Quantity::WheelDiameter) => match &mut moved.face {
                Face::Round { radius_mm } => *radius_mm = value / 2.0,
                Face::Flat { .. } => return None,
            },
            _ => return None,
        }
        Some(moved)
    }

    /// The present value of a quantity that is set (millimetres, or degrees for angles), if the support has it.
    #[must_use]
    pub fn value_of(&self, quantity: Quantity) -> Option<f64> {
        match (self.support, quantity) {
            (Support::Handle { reach_mm, .. } | Support::Holder { reach_mm, .. }, Quantity::Reach) => {
                Some(reach_mm)
            }
            (Support::Holder { projection_mm, .. }, Quantity::Projection) => Some(projection_mm),
            (Support::Holder { strut_angle, .. }, Quantity::StrutAngle) => Some(strut_angle.degrees()),
            (Support::Handle { tool_length_mm, .. }, Quantity::ToolLength) => Some(tool_length_mm),
            (Support::Table { tilt, .. }, Quantity::TableTilt) => Some(tilt.degrees()),
            (_, Quantity::WheelDiameter) => self.face.radius_mm().map(|r| 2.0 * r),
            _ => None,
        }
    }

    /// The travel of a quantity, in millimetres or degrees; `None` for what has none of its own.
    #[must_use]
    pub fn travel_of(&self, quantity: Quantity) -> Option<(f64, f64)> {
        match (self.support, quantity) {
            (Support::Handle { arm, .. } | Support::Holder { arm, .. }, Quantity::Reach) => {
                Some((arm.travel().least_mm, arm.travel().most_mm))
            }
            (Support::Holder { holder, .. }, Quantity::StrutAngle) => {
                let travel = holder.spec().strut_angle;
                Some((travel.least.degrees(), travel.most.degrees()))
            }
            (Support::Table { table, .. }, Quantity::TableTilt) => {
                let travel = table.spec().tilt;
                Some((travel.least.degrees(), travel.most.degrees()))
            }
            _ => None,
        }
    }
}

impl Slopes {
    /// The slope by a quantity that is set, if the support has it; [`Setting::slope_by`] knows those of the rig too.
    #[must_use]
    pub const fn by(&self, quantity: Quantity) -> Option<f64> {
        match quantity {
            Quantity::Reach => self.reach,
            Quantity::Projection => self.projection,
            Quantity::StrutAngle => self.strut_angle,
            Quantity::ToolLength => self.tool_length,
            Quantity::TableTilt => self.table_tilt,
            Quantity::WheelDiameter => self.wheel_diameter,
            _ => None,
        }
    }
}
