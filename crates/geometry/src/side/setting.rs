//! A setting in the side plane: what stands where, and the bevel that follows.
//!
//! Bench frame: origin at the wheel's centre, `x` towards the operator, `z` up (the second component of a
//! [`DVec2`]). Tool frame: `s` along the tool's axis from the edge towards the handle, `h` towards the open
//! side, the edge at `(0, h_E)`. At the contact the wheel's outward normal is `N`, the tool's axis
//! `t = T cos β + N sin β`: β is the **bevel at the edge**.
//!
//! With `D` the distance of the pivot from the wheel's centre, `L` its distance from the edge and
//! `ε = atan2(h_E − h_P, s_P)`, the law of cosines gives `D² = L² + R² + 2 L R sin(β − ε)`. On a table whose
//! plane lies `q` from the centre, with the edge `T_E` above it, `R cos β = q + T_E`.
//!
//! Assumed: rigid parts, a point pivot, a round wheel, contact at the wheel's middle.

use glam::{DVec2, dvec2};

use crate::{
    math::{
        angle::Angle,
        dimension::{angle, finite, length, place},
        quantity::Quantity,
    },
    parts::{
        edge_section::EdgeSection,
        oblique::Presentation,
        support::{Arm, Holder, Table},
        wheel::Face,
    },
    side::{facet::Facet, refusal::Refusal},
};

const HALF_TURN: f64 = std::f64::consts::PI;
/// The most oblique edge that is looked at, in degrees between edge and long side: below it the fraction of the
/// tool's length that lies square to the edge is too short to stand on.
const LEAST_OBLIQUITY_DEG: f64 = 1.0;

/// What carries the tool, with the values it is set to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Support {
    /// The handle's end stands in the cup.
    Handle {
        /// The arm.
        arm: Arm,
        /// Reach of the cup along it, in millimetres.
        reach_mm: f64,
        /// Overall length from edge to handle end, in millimetres.
        tool_length_mm: f64,
    },
    /// A holder grips the tool; its strut stands in the cup.
    Holder {
        /// The arm.
        arm: Arm,
        /// The holder.
        holder: Holder,
        /// Reach of the cup along the arm, in millimetres.
        reach_mm: f64,
        /// Projection: edge to the holder's front face, in millimetres.
        projection_mm: f64,
        /// Strut angle to the tool's axis.
        strut_angle: Angle,
    },
    /// The tool lies flat on a tilting table.
    Table {
        /// The table.
        table: Table,
        /// Its tilt; positive when the operator's side is high.
        tilt: Angle,
    },
}

impl Support {
    /// What of it is set anew when wheel or tool have changed: the cup's reach along its arm, or the table's tilt.
    #[must_use]
    pub const fn follows_wheel(&self) -> Quantity {
        match self {
            Self::Handle { .. } | Self::Holder { .. } => Quantity::Reach,
            Self::Table { .. } => Quantity::TableTilt,
        }
    }
}

/// One setting of one tool on one wheel, in the side plane.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Setting {
    /// The abrasive surface.
    pub face: Face,
    /// The edge.
    pub edge: EdgeSection,
    /// Angle between edge and long side, 1° to 90°; 90° for a straight edge.
    pub obliquity: Angle,
    /// How an oblique edge is presented.
    pub presentation: Presentation,
    /// What carries the tool.
    pub support: Support,
}

/// Where the tool rests, once the setting has an answer.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Seat {
    /// On a pivot.
    Pivot {
        /// The pivot in the bench frame.
        in_bench: DVec2,
        /// The pivot in the tool frame (in the plane square to the edge where the edge is presented parallel
        /// to the spindle).
        in_tool: DVec2,
        /// Distance `D` from the wheel's centre, in millimetres; from the plane of a flat face.
        from_centre_mm: f64,
        /// Distance `L` from the edge, in millimetres.
        from_edge_mm: f64,
        /// Gauge length: the shortest gap between rim and pivot, in millimetres.
        gauge_length_mm: f64,
    },
    /// On a table.
    Plane {
        /// Signed distance `q` of the table's plane from the wheel's centre, in millimetres.
        from_centre_mm: f64,
        /// Height `T_E` of the edge above the table, in millimetres.
        edge_above_mm: f64,
        /// Gap between the table's front edge and the rim, in millimetres.
        rest_gap_mm: f64,
    },
}

/// Exact slopes of the bevel at the edge by every input that applies: radians per millimetre for lengths,
/// radians per radian for angles.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Slopes {
    /// By arm reach.
    pub reach: Option<f64>,
    /// By projection.
    pub projection: Option<f64>,
    /// By strut angle.
    pub strut_angle: Option<f64>,
    /// By wheel diameter, arm and table left alone.
    pub wheel_diameter: Option<f64>,
    /// By wheel diameter, the gauge length kept.
    pub wheel_diameter_at_gauge: Option<f64>,
    /// By overall tool length.
    pub tool_length: Option<f64>,
    /// By table tilt.
    pub table_tilt: Option<f64>,
}

/// A setting's answer in the side plane.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SideView {
    /// The facet that this setting grinds, with the bevel at the edge, across and at the heel.
    pub facet: Facet,
    /// The contact point in the bench frame.
    pub contact_in_bench: DVec2,
    /// Angle of the handle below the horizontal.
    pub handle_angle: Angle,
    /// Where the tool rests.
    pub seat: Seat,
    /// Exact slopes of the bevel at the edge.
    pub slopes: Slopes,
    /// Height `h_E` of the edge, carried for [`SideView::bench_from_tool`].
    pub edge_height_mm: f64,
}

impl SideView {
    /// Bevel at the edge.
    #[must_use]
    pub fn bevel(&self) -> Angle {
        self.facet.at_edge
    }

    /// The tool's axis in the bench frame: a unit vector from the edge towards the handle.
    #[must_use]
    pub fn axis_in_bench(&self) -> DVec2 {
        (-self.handle_angle).direction()
    }

    /// A point of the tool frame in the bench frame.
    #[must_use]
    pub fn bench_from_tool(&self, point_in_tool: DVec2) -> DVec2 {
        let along = self.axis_in_bench();
        self.contact_in_bench
            + along * point_in_tool.x
            + along.perp() * (point_in_tool.y - self.edge_height_mm)
    }

    /// A point of the bench frame in the tool frame.
    #[must_use]
    pub fn tool_from_bench(&self, point_in_bench: DVec2) -> DVec2 {
        let along = self.axis_in_bench();
        let from_edge = point_in_bench - self.contact_in_bench;
        dvec2(from_edge.dot(along), from_edge.dot(along.perp()) + self.edge_height_mm)
    }

    /// Height of the contact above the spindle, in millimetres.
    #[must_use]
    pub fn contact_height_mm(&self) -> f64 {
        self.contact_in_bench.y
    }

    /// The heel in the bench frame.
    #[must_use]
    pub fn heel_in_bench(&self) -> DVec2 {
        let heel = self.facet.heel_from_edge;
        self.bench_from_tool(dvec2(heel.x, heel.y + self.edge_height_mm))
    }

    /// Gauge length in millimetres; a table has none.
    #[must_use]
    pub fn gauge_length_mm(&self) -> Option<f64> {
        match self.seat {
            Seat::Pivot { gauge_length_mm, .. } => Some(gauge_length_mm),
            Seat::Plane { .. } => None,
        }
    }
}

impl Setting {
    /// The fraction of the tool's own length that lies in the side plane: `sin σ` where an oblique edge is held
    /// parallel to the spindle, all of it otherwise.
    #[must_use]
    pub fn foreshortening(&self) -> f64 {
        match self.presentation {
            Presentation::EdgeParallelToSpindle if self.obliquity.radians() < HALF_TURN / 2.0 => {
                self.obliquity.sin()
            }
            _ => 1.0,
        }
    }

    /// What is set anew when wheel or tool have changed, and after an ink test, to have the bevel right: the cup's reach along its arm, or the
    /// table's tilt.
    #[must_use]
    pub const fn follows_wheel(&self) -> Quantity {
        self.support.follows_wheel()
    }

    /// The pivot in the bench frame and in the tool frame, whether or not the setting has an answer; `None`
    /// on a table, and where a number is none.
    #[must_use]
    pub fn pivot(&self) -> Option<(DVec2, DVec2)> {
        let (in_bench, mut in_tool) = match self.support {
            Support::Handle { arm, reach_mm, tool_length_mm } => {
                (arm.pivot_in_bench(reach_mm), dvec2(tool_length_mm, 0.0))
            }
            Support::Holder { arm, holder, reach_mm, projection_mm, strut_angle } => {
                (arm.pivot_in_bench(reach_mm), holder.pivot_in_tool(projection_mm, strut_angle))
            }
            Support::Table { .. } => return None,
        };
        in_tool.x *= self.foreshortening();
        (in_bench.is_finite() && in_tool.is_finite()).then_some((in_bench, in_tool))
    }

    /// The bevel and all that follows from it, every value within its travel.
    ///
    /// # Errors
    /// [`Refusal`]: a value that is no number, off its travel, or a set-up that no tool can reach.
    ///
    /// # Accuracy
    /// Rounding only: a few last bits of what the inputs themselves are worth, everywhere. That is about 1e-13
    /// relative away from the limits; towards them angles and places grow less sure as 1/cos(β − ε), slopes as its
    /// cube, and no faster: `tests/reference/conditioning.md` has it measured down to 1e-12 mm from each limit.
    pub fn evaluate(&self) -> Result<SideView, Refusal> {
        self.check_numbers()?;
        self.check_travel()?;
        self.solve()
    }

    /// As [`Setting::evaluate`], whatever the travel allows: for drawing what was attempted.
    ///
    /// # Errors
    /// As [`Setting::evaluate`], but for the travel.
    pub fn evaluate_off_travel(&self) -> Result<SideView, Refusal> {
        self.check_numbers()?;
        self.solve()
    }

    /// Refuses what is no number.
    pub(crate) fn check_numbers(&self) -> Result<(), Refusal> {
        place(Quantity::EdgeHeight, self.edge.height_mm)?;
        length(Quantity::BladeThickness, self.edge.under_mm)?;
        match self.face {
            Face::Round { radius_mm } => length(Quantity::WheelDiameter, radius_mm)?,
            Face::Flat { normal } => finite(Quantity::FaceSlope, normal.degrees())?,
        };
        angle(Quantity::EdgeObliquity, self.obliquity, LEAST_OBLIQUITY_DEG, 90.0)?;
        match self.support {
            Support::Handle { reach_mm, tool_length_mm, .. } => {
                place(Quantity::Reach, reach_mm)?;
                length(Quantity::ToolLength, tool_length_mm)?;
            }
            Support::Holder { reach_mm, projection_mm, strut_angle, .. } => {
                place(Quantity::Reach, reach_mm)?;
                length(Quantity::Projection, projection_mm)?;
                finite(Quantity::StrutAngle, strut_angle.degrees())?;
            }
            Support::Table { tilt, .. } => {
                finite(Quantity::TableTilt, tilt.degrees())?;
            }
        }
        Ok(())
    }

    /// Refuses values that the arm, the holder or the table cannot be set to.
    pub(crate) fn check_travel(&self) -> Result<(), Refusal> {
        match self.support {
            Support::Handle { arm, reach_mm, .. } | Support::Holder { arm, reach_mm, .. }
                if !arm.travel().holds(reach_mm) =>
            {
                let travel = arm.travel();
                Err(Refusal::ReachOffArm { reach_mm, least_mm: travel.least_mm, most_mm: travel.most_mm })
            }
            Support::Holder { holder, strut_angle, .. } if !holder.spec().strut_angle.holds(strut_angle) => {
                let travel = holder.spec().strut_angle;
                Err(Refusal::StrutAngleOffTravel {
                    angle: strut_angle,
                    least: travel.least,
                    most: travel.most,
                })
            }
            Support::Table { table, tilt } if !table.spec().tilt.holds(tilt) => {
                let travel = table.spec().tilt;
                Err(Refusal::TiltOffTravel { tilt, least: travel.least, most: travel.most })
            }
            _ => Ok(()),
        }
    }
}
