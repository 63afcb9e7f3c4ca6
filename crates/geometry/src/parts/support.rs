//! What holds the tool against the wheel: the sliding arm with its cup, the pivoting holder, the tilting table.
//!
//! Arm and table are placed in the bench frame (origin at the wheel's centre, `x` towards the operator, `z`
//! up); the holder is described in the tool frame (`s` from the edge towards the handle, `h` towards the open
//! side). Millimetres.

use glam::{DVec2, dvec2};

use crate::math::{
    angle::Angle,
    dimension::{Bound, DimensionError, angle, length, length_or_none, place},
    quantity::Quantity,
};

/// Relative rounding where two answers meet in one.
const TOUCHING: f64 = 1e-13;

/// A closed range of a setting, least to most, in millimetres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Travel {
    /// The least value.
    pub least_mm: f64,
    /// The greatest value.
    pub most_mm: f64,
}

impl Travel {
    /// Whether a value lies within the range, allowing for rounding.
    #[must_use]
    pub fn holds(self, value_mm: f64) -> bool {
        let tolerance = 1e-9 * (1.0 + self.most_mm.abs().max(self.least_mm.abs()));
        value_mm >= self.least_mm - tolerance && value_mm <= self.most_mm + tolerance
    }
}

/// A closed range of an angle, least to most.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AngleTravel {
    /// The least angle.
    pub least: Angle,
    /// The greatest angle.
    pub most: Angle,
}

impl AngleTravel {
    /// Whether an angle lies within the range, allowing for rounding.
    #[must_use]
    pub fn holds(self, value: Angle) -> bool {
        let tolerance = 1e-9;
        value.radians() >= self.least.radians() - tolerance
            && value.radians() <= self.most.radians() + tolerance
    }
}

/// The sliding arm: a straight line in the side plane along which the cup is moved and locked.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Arm {
    zero_in_bench: DVec2,
    tilt: Angle,
    along: DVec2,
    travel: Travel,
}

impl Arm {
    /// An arm whose scale has its zero at a bench point, rising away from the wheel by `tilt`, with a travel
    /// of the reach.
    ///
    /// # Errors
    /// [`DimensionError`] for a number out of range or a travel the wrong way round.
    pub fn new(zero_in_bench: DVec2, tilt: Angle, travel: Travel) -> Result<Self, DimensionError> {
        place(Quantity::ArmZeroX, zero_in_bench.x)?;
        place(Quantity::ArmZeroZ, zero_in_bench.y)?;
        angle(Quantity::ArmTilt, tilt, -80.0, 80.0)?;
        place(Quantity::ReachLeast, travel.least_mm)?;
        place(Quantity::ReachMost, travel.most_mm)?;
        in_order(Quantity::ReachMost, travel.least_mm, travel.most_mm)?;
        Ok(Self { zero_in_bench, tilt, along: tilt.direction(), travel })
    }

    /// The bench point of the scale's zero.
    #[must_use]
    pub fn zero_in_bench(&self) -> DVec2 {
        self.zero_in_bench
    }

    /// How far the arm rises away from the wheel.
    #[must_use]
    pub fn tilt(&self) -> Angle {
        self.tilt
    }

    /// The unit vector of increasing reach, in the bench frame.
    #[must_use]
    pub fn along(&self) -> DVec2 {
        self.along
    }

    /// The travel of the reach.
    #[must_use]
    pub fn travel(&self) -> Travel {
        self.travel
    }

    /// The pivot at a reach, in the bench frame.
    #[must_use]
    pub fn pivot_in_bench(&self, reach_mm: f64) -> DVec2 {
        self.zero_in_bench + self.along * reach_mm
    }

    /// The reach of the point of the arm's line nearest to a bench point: what a dragged cup asks for.
    #[must_use]
    pub fn reach_nearest_mm(&self, point_in_bench: DVec2) -> f64 {
        (point_in_bench - self.zero_in_bench).dot(self.along)
    }

    /// The reaches at which the pivot is at a distance from the bench frame's origin: none, one or two,
    /// smaller first, whether or not the travel allows them.
    pub fn reaches_at_distance(&self, distance_mm: f64) -> impl Iterator<Item = f64> + use<> {
        let back = -self.zero_in_bench.dot(self.along);
        let aside = self.zero_in_bench.perp_dot(self.along);
        let square = (distance_mm - aside) * (distance_mm + aside);
        // Where circle and line touch, rounding must not lose the answer.
        let tolerance = TOUCHING * distance_mm * distance_mm;
        let root = (distance_mm >= 0.0 && square >= -tolerance).then(|| square.max(0.0).sqrt());
        let both = root.map(|r| [Some(back - r), (r > 0.0).then_some(back + r)]);
        both.into_iter().flatten().flatten()
    }
}

/// The plain numbers of a pivoting holder.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HolderSpec {
    /// From the holder's front face back to the hinge of the strut, in millimetres.
    pub hinge_setback_mm: f64,
    /// How far the hinge lies below the tool's centreline, in millimetres.
    pub hinge_drop_mm: f64,
    /// Length of the strut from hinge to pivot, in millimetres.
    pub strut_length_mm: f64,
    /// Travel of the strut's angle to the tool's axis; 90° is square off the tool.
    pub strut_angle: AngleTravel,
    /// Length of the body along the tool, in millimetres.
    pub body_length_mm: f64,
    /// Height of the body square to the tool, in millimetres.
    pub body_height_mm: f64,
}

/// A pivoting holder: it grips the tool, its strut ends in the cup.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Holder {
    spec: HolderSpec,
}

impl Holder {
    /// A holder from its measured numbers.
    ///
    /// # Errors
    /// [`DimensionError`] for a number out of range or a travel the wrong way round.
    pub fn new(spec: HolderSpec) -> Result<Self, DimensionError> {
        place(Quantity::HingeSetback, spec.hinge_setback_mm)?;
        place(Quantity::HingeDrop, spec.hinge_drop_mm)?;
        length_or_none(Quantity::StrutLength, spec.strut_length_mm)?;
        length(Quantity::HolderLength, spec.body_length_mm)?;
        length(Quantity::HolderHeight, spec.body_height_mm)?;
        angle(Quantity::StrutAngleLeast, spec.strut_angle.least, -30.0, 180.0)?;
        angle(Quantity::StrutAngleMost, spec.strut_angle.most, -30.0, 180.0)?;
        in_order(
            Quantity::StrutAngleMost,
            spec.strut_angle.least.degrees(),
            spec.strut_angle.most.degrees(),
        )?;
        Ok(Self { spec })
    }

    /// The numbers it was made from.
    #[must_use]
    pub fn spec(&self) -> &HolderSpec {
        &self.spec
    }

    /// The hinge in the tool frame at a projection.
    #[must_use]
    pub fn hinge_in_tool(&self, projection_mm: f64) -> DVec2 {
        dvec2(projection_mm + self.spec.hinge_setback_mm, -self.spec.hinge_drop_mm)
    }

    /// The pivot in the tool frame at a projection and a strut angle,
    /// `(p + a + ℓ cos α, −c − ℓ sin α)`.
    #[must_use]
    pub fn pivot_in_tool(&self, projection_mm: f64, strut_angle: Angle) -> DVec2 {
        let (sin, cos) = strut_angle.sin_cos();
        self.hinge_in_tool(projection_mm) + self.spec.strut_length_mm * dvec2(cos, -sin)
    }
}

/// The plain numbers of a tilting table.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TableSpec {
    /// The hinge in the bench frame, in millimetres.
    pub hinge_in_bench: DVec2,
    /// Height of the table's surface above the hinge, square to the surface, in millimetres.
    pub surface_offset_mm: f64,
    /// How far the surface reaches from the hinge towards the wheel, in millimetres.
    pub front_mm: f64,
    /// How far the surface reaches from the hinge towards the operator, in millimetres.
    pub rear_mm: f64,
    /// Travel of the tilt; positive when the operator's side is high.
    pub tilt: AngleTravel,
}

/// A tilting table in front of the wheel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Table {
    spec: TableSpec,
}

impl Table {
    /// A table from its measured numbers.
    ///
    /// # Errors
    /// [`DimensionError`] for a number out of range or a travel the wrong way round.
    pub fn new(spec: TableSpec) -> Result<Self, DimensionError> {
        place(Quantity::HingeX, spec.hinge_in_bench.x)?;
        place(Quantity::HingeZ, spec.hinge_in_bench.y)?;
        place(Quantity::SurfaceOffset, spec.surface_offset_mm)?;
        place(Quantity::TableFront, spec.front_mm)?;
        place(Quantity::TableRear, spec.rear_mm)?;
        in_order(Quantity::TableRear, -spec.front_mm, spec.rear_mm)?;
        angle(Quantity::TableTiltLeast, spec.tilt.least, -90.0, 90.0)?;
        angle(Quantity::TableTiltMost, spec.tilt.most, -90.0, 90.0)?;
        in_order(Quantity::TableTiltMost, spec.tilt.least.degrees(), spec.tilt.most.degrees())?;
        Ok(Self { spec })
    }

    /// The numbers it was made from.
    #[must_use]
    pub fn spec(&self) -> &TableSpec {
        &self.spec
    }

    /// Signed distance of the table's plane from the wheel's centre, `q = −H_x sin τ + H_z cos τ + e`.
    #[must_use]
    pub fn plane_from_centre_mm(&self, tilt: Angle) -> f64 {
        let (sin, cos) = tilt.sin_cos();
        let hinge = self.spec.hinge_in_bench;
        hinge.y * cos - hinge.x * sin + self.spec.surface_offset_mm
    }

    /// A point of the surface in the bench frame, `along_mm` from above the hinge towards the operator.
    #[must_use]
    pub fn surface_point_in_bench(&self, tilt: Angle, along_mm: f64) -> DVec2 {
        let along = tilt.direction();
        self.spec.hinge_in_bench + along * along_mm + along.perp() * self.spec.surface_offset_mm
    }

    /// The two ends of the surface in the bench frame: the front edge near the wheel, then the rear edge.
    #[must_use]
    pub fn surface_in_bench(&self, tilt: Angle) -> [DVec2; 2] {
        [
            self.surface_point_in_bench(tilt, -self.spec.front_mm),
            self.surface_point_in_bench(tilt, self.spec.rear_mm),
        ]
    }

    /// The tilts within a full turn at which the plane is `q` from the wheel's centre: none or two (a double
    /// one is given once), whether or not the travel allows them.
    pub fn tilts_at_distance(&self, plane_from_centre_mm: f64) -> impl Iterator<Item = Angle> + use<> {
        let hinge = self.spec.hinge_in_bench;
        // ρ cos(τ + δ) with ρ = |H|, δ = atan2(H_x, H_z)
        let rho = hinge.length();
        let delta = hinge.x.atan2(hinge.y);
        let cosine = (plane_from_centre_mm - self.spec.surface_offset_mm) / rho;
        let half = (cosine.abs() <= 1.0 + TOUCHING).then(|| cosine.clamp(-1.0, 1.0).acos());
        let both = half.map(|half| [Some(half - delta), (half > 0.0).then_some(-half - delta)]);
        both.into_iter().flatten().flatten().map(|tilt| Angle::from_radians(tilt).wrapped())
    }
}

/// Refuses a range whose ends are the wrong way round.
fn in_order(quantity: Quantity, least: f64, most: f64) -> Result<(), DimensionError> {
    if most < least {
        return Err(DimensionError { quantity, value: most, bound: Bound::AtLeast(least) });
    }
    Ok(())
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    fn arm(tilt_deg: f64) -> Arm {
        let travel = Travel { least_mm: -50.0, most_mm: 300.0 };
        Arm::new(dvec2(30.0, -120.0), Angle::from_degrees(tilt_deg), travel).unwrap()
    }

    #[test]
    fn reaches_at_a_distance_lie_at_that_distance() {
        for tilt in [-10.0, 0.0, 25.0] {
            let arm = arm(tilt);
            let reaches: Vec<f64> = arm.reaches_at_distance(200.0).collect();
            assert_eq!(reaches.len(), 2);
            for reach in reaches {
                assert_relative_eq!(arm.pivot_in_bench(reach).length(), 200.0, max_relative = 1e-12);
            }
        }
        assert_eq!(arm(0.0).reaches_at_distance(119.0).count(), 0);
    }

    #[test]
    fn dragging_to_a_point_of_the_arm_gives_its_reach() {
        let arm = arm(12.0);
        assert_relative_eq!(arm.reach_nearest_mm(arm.pivot_in_bench(143.0)), 143.0, max_relative = 1e-12);
    }

    #[test]
    fn plane_distance_is_the_distance_of_every_surface_point() {
        let table = Table::new(TableSpec {
            hinge_in_bench: dvec2(110.0, -20.0),
            surface_offset_mm: 12.0,
            front_mm: 25.0,
            rear_mm: 60.0,
            tilt: AngleTravel { least: Angle::from_degrees(-40.0), most: Angle::from_degrees(60.0) },
        })
        .unwrap();
        for degrees in [-30.0, 0.0, 20.0, 55.0] {
            let tilt = Angle::from_degrees(degrees);
            let up = tilt.direction().perp();
            for end in table.surface_in_bench(tilt) {
                assert_relative_eq!(end.dot(up), table.plane_from_centre_mm(tilt), epsilon = 1e-10);
            }
            let back: Vec<Angle> = table.tilts_at_distance(table.plane_from_centre_mm(tilt)).collect();
            assert!(back.iter().any(|t| (t.degrees() - degrees).abs() < 1e-9), "{degrees}: {back:?}");
        }
    }

    #[test]
    fn ranges_the_wrong_way_round_are_refused() {
        let travel = Travel { least_mm: 100.0, most_mm: 50.0 };
        let refused = Arm::new(DVec2::ZERO, Angle::ZERO, travel).unwrap_err();
        assert_eq!((refused.quantity, refused.bound), (Quantity::ReachMost, Bound::AtLeast(100.0)));
    }

    #[test]
    fn both_tilts_at_a_distance_put_the_plane_there() {
        for (hinge, offset) in
            [(dvec2(121.0, -22.0), 9.0), (dvec2(90.0, 45.0), -6.0), (dvec2(130.0, 0.0), 0.0)]
        {
            let table = Table::new(TableSpec {
                hinge_in_bench: hinge,
                surface_offset_mm: offset,
                front_mm: 17.0,
                rear_mm: 63.0,
                tilt: AngleTravel { least: Angle::from_degrees(-90.0), most: Angle::from_degrees(90.0) },
            })
            .unwrap();
            for distance in [-80.0, -20.0, 0.5, 33.0, 85.0] {
                let tilts: Vec<Angle> = table.tilts_at_distance(distance).collect();
                assert_eq!(tilts.len(), 2, "{hinge} {distance}");
                assert!((tilts[0] - tilts[1]).abs().degrees() > 1e-3);
                for tilt in tilts {
                    assert_relative_eq!(table.plane_from_centre_mm(tilt), distance, epsilon = 1e-10);
                }
            }
            // As far as the hinge itself: one tilt; farther: none.
            let farthest = hinge.length() + offset;
            assert_eq!(table.tilts_at_distance(farthest + 1e-6).count(), 0);
            assert_eq!(table.tilts_at_distance(farthest - 1e-6).count(), 2);
        }
    }

    #[test]
    fn a_distance_that_just_touches_the_arm_is_met_there() {
        // Derived here: the foot of the wheel's centre on the arm, at tilts and places that round differently.
        for i in 0..200_u32 {
            let tilt = Angle::from_degrees(-40.0 + 0.41 * f64::from(i));
            let zero = dvec2(17.3 + 0.37 * f64::from(i), -90.0 - 1.7 * f64::from(i));
            let travel = Travel { least_mm: -900.0, most_mm: 900.0 };
            let arm = Arm::new(zero, tilt, travel).unwrap();
            let foot = arm.reach_nearest_mm(dvec2(0.0, 0.0));
            let distance = arm.pivot_in_bench(foot).length();
            let met: Vec<f64> = arm.reaches_at_distance(distance).collect();
            assert!(!met.is_empty(), "{i}");
            assert!(
                met.iter().all(|reach| (reach - foot).abs() < 1e-3 * (1.0 + distance / 100.0)),
                "{met:?} {foot}"
            );
            assert_eq!(arm.reaches_at_distance(distance - 1e-6).count(), 0);
            assert_eq!(arm.reaches_at_distance(distance + 1e-6).count(), 2);
            assert_eq!(arm.reaches_at_distance(-distance).count(), 0);
        }
    }
}
