//! The dimension that a sketch lights up.

use bevelbench_geometry::math::Quantity;

/// What the drawing lights up.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Mark {
    /// A dimension by its quantity.
    Of(Quantity),
    /// Where the section of a bar is cut off.
    BarTop,
    /// The stops of a rig.
    Stops,
    /// The rests of a holder.
    Rests,
    /// The abrasive's grit.
    Grit,
    /// Daylight under a template.
    Daylight,
    /// The template itself.
    Template,
    /// Depth of a facet's hollow.
    Hollow,
    /// How far the wings are swept back.
    WingSetback,
    /// The way from the rim to the cup, at a reach in tenths of a millimetre.
    RimToCup(i32),
    /// The way from the rim to the table's front edge, at a tilt in tenths of a degree.
    RimToTable(i32),
    /// The way from a holder's front face to its strut's end, at a strut angle in tenths of a degree.
    FaceToStrut(i32),
}

/// A value in tenths, as marks carry it.
#[must_use]
pub fn tenths(value: f64) -> i32 {
    (value * 10.0).round().clamp(-1e6, 1e6) as i32
}
