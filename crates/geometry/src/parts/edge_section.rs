//! The edge of a tool as the side plane sees it.

/// The edge as the side plane sees it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EdgeSection {
    /// Height `h_E` of the edge above the centreline, in millimetres.
    pub height_mm: f64,
    /// Steel between edge and underside, square to the axis, in millimetres; positive.
    pub under_mm: f64,
}
