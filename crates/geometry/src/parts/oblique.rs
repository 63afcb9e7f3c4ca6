//! Oblique edges: angles along the tool and square to the edge are not the same.
//!
//! The obliquity σ is the angle between the edge and the long side; 90° is a straight edge.

use crate::math::angle::Angle;

/// How an oblique edge is presented to the wheel.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Presentation {
    /// The edge is held parallel to the spindle: the handle is yawed out of the side plane, and bevels are
    /// those square to the edge.
    #[default]
    EdgeParallelToSpindle,
    /// The tool's axis stays in the side plane: bevels are those along the tool.
    AxisInSidePlane,
}

/// The bevel along the tool of a face whose bevel square to the edge is given:
/// `tan(along) = tan(square)·sin σ`, in the same quarter.
///
/// # Source
/// True and apparent angle, *Machinery's Handbook*, 31st ed., p. 121 (with the complement of σ).
///
/// # Example
/// ```
/// use bevelbench_geometry::{math::Angle, parts::along_tool};
/// let along = along_tool(Angle::from_degrees(15.0), Angle::from_degrees(70.0));
/// assert!((along.degrees() - 14.13).abs() < 0.01);
/// ```
#[must_use]
pub fn along_tool(square_to_edge: Angle, obliquity: Angle) -> Angle {
    let (sin, cos) = square_to_edge.sin_cos();
    Angle::from_radians((sin * obliquity.sin()).atan2(cos))
}

/// The bevel square to the edge of a face whose bevel along the tool is given: the inverse of [`along_tool`].
#[must_use]
pub fn square_to_edge(along_tool: Angle, obliquity: Angle) -> Angle {
    let (sin, cos) = along_tool.sin_cos();
    Angle::from_radians(sin.atan2(cos * obliquity.sin()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn straight_edge_has_one_bevel() {
        for degrees in [1.0, 45.0, 90.0, 135.0] {
            let bevel = Angle::from_degrees(degrees);
            assert_relative_eq!(along_tool(bevel, Angle::QUARTER).degrees(), degrees, epsilon = 1e-12);
            assert_relative_eq!(square_to_edge(bevel, Angle::QUARTER).degrees(), degrees, epsilon = 1e-12);
        }
    }

    #[test]
    fn along_and_square_are_inverse_and_along_is_the_keener() {
        for degrees in [5.0, 30.0, 60.0, 89.0] {
            let (square, sigma) = (Angle::from_degrees(degrees), Angle::from_degrees(65.0));
            let along = along_tool(square, sigma);
            assert!(along < square);
            assert_relative_eq!(square_to_edge(along, sigma).degrees(), degrees, epsilon = 1e-12);
        }
    }
}
