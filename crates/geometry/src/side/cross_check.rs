//! Whether the measured dimensions of a rig can belong together: a length that follows from several of them is measured
//! too, and the difference is weighed against what each may be off.
//!
//! Three lengths lend themselves to it: rim to cup at a reading of the arm's scale, rim to the table's front edge at a
//! tilt, and front face to strut end at a strut angle. Each is the length of a vector that is linear in the distances,
//! so its slope by one of them is the vector's direction on that one's axis. Derived here; the weighing is that of
//! JCGM 100:2008 5.1.2 with rectangular half-widths.

use glam::DVec2;

use crate::{
    math::{angle::Angle, quantity::Quantity},
    parts::support::{Arm, Holder, Table},
    side::uncertainty::{COVERAGE, combine, rectangular},
};

/// A dimension that moves a checked length by less than this fraction of its own change explains nothing, in millimetres a
/// millimetre or a degree.
const LEAST_SLOPE: f64 = 0.15;

/// A length that follows from several dimensions.
#[derive(Debug, Clone, PartialEq)]
pub struct CrossCheck {
    /// What it should measure, in millimetres.
    pub expected_mm: f64,
    /// By how much it changes with each dimension: millimetres a millimetre, or a degree.
    pub slopes: Vec<(Quantity, f64)>,
}

/// What a measured length says of the dimensions.
#[derive(Debug, Clone, PartialEq)]
pub struct CrossVerdict {
    /// Measured less expected, in millimetres.
    pub difference_mm: f64,
    /// The difference that the doubts explain, in millimetres (`k = 2`).
    pub explained_mm: f64,
    /// Which dimension would explain the difference alone, and by how much it would have to change, in millimetres or
    /// degrees; the one that is least out of the ordinary first.
    pub alone: Vec<(Quantity, f64)>,
}

impl CrossVerdict {
    /// Whether the dimensions can belong together.
    #[must_use]
    pub fn belongs_together(&self) -> bool {
        self.difference_mm.abs() <= self.explained_mm
    }
}

impl CrossCheck {
    /// Weighs what was measured; `half_width` is how far a dimension may be off, in millimetres or degrees, and
    /// `measured_half_width_mm` how far the checking length may be.
    #[must_use]
    pub fn compare(
        &self,
        measured_mm: f64,
        measured_half_width_mm: f64,
        half_width: impl Fn(Quantity) -> f64,
    ) -> CrossVerdict {
        let difference_mm = measured_mm - self.expected_mm;
        let own = (1.0, rectangular(measured_half_width_mm));
        let others = self.slopes.iter().map(|(quantity, slope)| (*slope, rectangular(half_width(*quantity))));
        let explained_mm = COVERAGE * combine(others.chain([own]));
        let mut alone: Vec<(Quantity, f64)> = self
            .slopes
            .iter()
            .filter(|(_, slope)| slope.abs() >= LEAST_SLOPE)
            .map(|(quantity, slope)| (*quantity, difference_mm / slope))
            .collect();
        let oddness = |(quantity, by): &(Quantity, f64)| by.abs() / half_width(*quantity).max(1e-9);
        alone.sort_by(|a, b| oddness(a).total_cmp(&oddness(b)));
        CrossVerdict { difference_mm, explained_mm, alone }
    }
}

/// The way a vector points; nothing for none.
fn way(vector: DVec2) -> DVec2 {
    vector.normalize_or_zero()
}

/// A slope by radians as one by degrees.
fn a_degree(slope: f64) -> f64 {
    slope * Angle::from_degrees(1.0).radians()
}

/// The shortest way from the rim to the pivot in the cup (the gauge length), with the cup at `reach_mm`.
#[must_use]
pub fn rim_to_cup(arm: &Arm, reach_mm: f64, wheel_radius_mm: f64) -> CrossCheck {
    let pivot = arm.pivot_in_bench(reach_mm);
    let out = way(pivot);
    let turned = arm.along().perp() * reach_mm;
    CrossCheck {
        expected_mm: pivot.length() - wheel_radius_mm,
        slopes: vec![
            (Quantity::ArmZeroX, out.x),
            (Quantity::ArmZeroZ, out.y),
            (Quantity::ArmTilt, a_degree(turned.dot(out))),
            (Quantity::WheelDiameter, -0.5),
        ],
    }
}

/// The shortest way from the rim to the table's front edge at a tilt.
#[must_use]
pub fn rim_to_table(table: &Table, tilt: Angle, wheel_radius_mm: f64) -> CrossCheck {
    let spec = table.spec();
    let [front, _] = table.surface_in_bench(tilt);
    let out = way(front);
    let along = tilt.direction();
    CrossCheck {
        expected_mm: front.length() - wheel_radius_mm,
        slopes: vec![
            (Quantity::HingeX, out.x),
            (Quantity::HingeZ, out.y),
            (Quantity::SurfaceOffset, along.perp().dot(out)),
            (Quantity::TableFront, -along.dot(out)),
            (Quantity::TableTilt, a_degree((front - spec.hinge_in_bench).perp().dot(out))),
            (Quantity::WheelDiameter, -0.5),
        ],
    }
}

/// The straight way from the middle of the holder's front face, on the tool's centreline, to the end of the strut, at a
/// strut angle.
#[must_use]
pub fn face_to_strut_end(holder: &Holder, strut_angle: Angle) -> CrossCheck {
    let end = holder.pivot_in_tool(0.0, strut_angle);
    let out = way(end);
    let strut = end - holder.hinge_in_tool(0.0);
    CrossCheck {
        expected_mm: end.length(),
        slopes: vec![
            (Quantity::HingeSetback, out.x),
            (Quantity::HingeDrop, -out.y),
            (Quantity::StrutLength, way(strut).dot(out)),
            // The strut opens downwards: to a greater angle it turns the other way round.
            (Quantity::StrutAngle, -a_degree(strut.perp().dot(out))),
        ],
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]
mod tests {
    use super::*;
    use crate::parts::support::{AngleTravel, HolderSpec, TableSpec, Travel};
    use approx::assert_relative_eq;
    use glam::dvec2;

    fn degrees(value: f64) -> Angle {
        Angle::from_degrees(value)
    }

    fn check_slopes(at: &dyn Fn(&[f64]) -> CrossCheck, values: &[f64]) {
        let found = at(values);
        assert_eq!(found.slopes.len(), values.len());
        for (place, (quantity, slope)) in found.slopes.iter().enumerate() {
            let moved = |by: f64| {
                let mut moved = values.to_vec();
                moved[place] += by;
                at(&moved).expected_mm
            };
            let h = 1e-4;
            assert_relative_eq!((moved(h) - moved(-h)) / (2.0 * h), *slope, epsilon = 1e-7);
            assert!(slope.is_finite(), "{quantity:?}");
        }
    }

    // Independent of the exact slopes: central differences of the lengths.
    #[test]
    fn slopes_are_those_of_small_changes() {
        check_slopes(
            &|v| {
                let travel = Travel { least_mm: 0.0, most_mm: 400.0 };
                let arm = Arm::new(dvec2(v[0], v[1]), degrees(v[2]), travel).unwrap();
                rim_to_cup(&arm, 180.0, v[3] / 2.0)
            },
            &[25.0, -95.0, 3.0, 200.0],
        );
        check_slopes(
            &|v| {
                let tilt = AngleTravel { least: degrees(-40.0), most: degrees(70.0) };
                let spec = TableSpec {
                    hinge_in_bench: dvec2(v[0], v[1]),
                    surface_offset_mm: v[2],
                    front_mm: v[3],
                    rear_mm: 60.0,
                    tilt,
                };
                rim_to_table(&Table::new(spec).unwrap(), degrees(v[4]), v[5] / 2.0)
            },
            &[115.0, 12.0, 9.0, 6.0, 25.0, 200.0],
        );
        check_slopes(
            &|v| {
                let spec = HolderSpec {
                    hinge_setback_mm: v[0],
                    hinge_drop_mm: v[1],
                    strut_length_mm: v[2],
                    strut_angle: AngleTravel { least: degrees(10.0), most: degrees(100.0) },
                    body_length_mm: 40.0,
                    body_height_mm: 30.0,
                };
                face_to_strut_end(&Holder::new(spec).unwrap(), degrees(v[3]))
            },
            &[15.0, 6.0, 70.0, 45.0],
        );
    }

    // By hand: a cup 60 in front of and 80 below the spindle is 100 off, 25 from a rim of radius 75.
    #[test]
    fn a_cup_at_60_and_80_is_25_from_a_rim_of_75() {
        let travel = Travel { least_mm: 0.0, most_mm: 400.0 };
        let arm = Arm::new(dvec2(20.0, -80.0), Angle::ZERO, travel).unwrap();
        let check = rim_to_cup(&arm, 40.0, 75.0);
        assert_relative_eq!(check.expected_mm, 25.0, epsilon = 1e-12);
        let half = |_| 1.0;
        assert!(check.compare(25.4, 0.5, half).belongs_together());
        let off = check.compare(31.0, 0.5, half);
        assert!(!off.belongs_together());
        // 6 mm more: the zero lower by 7.5, further out by 10, or the wheel smaller by 12.
        let by = |quantity| off.alone.iter().find(|(known, _)| *known == quantity).unwrap().1;
        assert_relative_eq!(by(Quantity::ArmZeroZ), -7.5, epsilon = 1e-9);
        assert_relative_eq!(by(Quantity::ArmZeroX), 10.0, epsilon = 1e-9);
        assert_relative_eq!(by(Quantity::WheelDiameter), -12.0, epsilon = 1e-9);
        assert_eq!(off.alone[0].0, Quantity::ArmZeroZ);
    }

    #[test]
    fn a_change_that_explains_alone_brings_the_length_to_what_was_measured() {
        let travel = Travel { least_mm: 0.0, most_mm: 400.0 };
        let arm = |x: f64| Arm::new(dvec2(x, -95.0), Angle::ZERO, travel).unwrap();
        let check = rim_to_cup(&arm(20.0), 180.0, 100.0);
        let verdict = check.compare(check.expected_mm + 0.5, 0.5, |_| 1.0);
        let by = verdict.alone.iter().find(|(known, _)| *known == Quantity::ArmZeroX).unwrap().1;
        let moved = rim_to_cup(&arm(20.0 + by), 180.0, 100.0).expected_mm;
        assert_relative_eq!(moved, check.expected_mm + 0.5, epsilon = 0.002);
    }

    #[test]
    fn zero_at_zero_stays_finite() {
        let travel = Travel { least_mm: 0.0, most_mm: 400.0 };
        let arm = Arm::new(DVec2::ZERO, Angle::ZERO, travel).unwrap();
        let check = rim_to_cup(&arm, 0.0, 75.0);
        let verdict = check.compare(10.0, 0.5, |_| 0.0);
        assert!(verdict.difference_mm.is_finite() && verdict.alone.iter().all(|(_, by)| by.is_finite()));
    }

    #[test]
    fn the_dimension_that_would_be_least_out_of_the_ordinary_is_named_first() {
        // Derived here: a difference of 2 mm; 2 mm of A against 1 mm of doubt, 4 mm of B against 4 mm, 1 mm of C
        // against 0.25 mm.
        let check = CrossCheck {
            expected_mm: 100.0,
            slopes: vec![
                (Quantity::ArmZeroX, 1.0),
                (Quantity::ArmZeroZ, -0.5),
                (Quantity::HingeX, 2.0),
                (Quantity::HingeZ, 0.01),
            ],
        };
        let half_width = |quantity| match quantity {
            Quantity::ArmZeroX => 1.0,
            Quantity::ArmZeroZ => 4.0,
            _ => 0.25,
        };
        let verdict = check.compare(102.0, 0.5, half_width);
        assert_eq!(
            verdict.alone,
            [(Quantity::ArmZeroZ, -4.0), (Quantity::ArmZeroX, 2.0), (Quantity::HingeX, 1.0)]
        );
        // Rectangular half-widths, each by its slope, twice the root of their squares.
        let variance = (1.0 + 4.0 + 0.25 + 0.01_f64.powi(2) * 0.0625 + 0.25) / 3.0;
        assert_relative_eq!(verdict.explained_mm, 2.0 * f64::sqrt(variance), max_relative = 1e-12);
        assert!(verdict.belongs_together() && !check.compare(95.0, 0.5, half_width).belongs_together());
    }
}
