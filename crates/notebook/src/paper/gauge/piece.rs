//! One gauge to cut out.

use crate::paper::page::Layout;

/// A gauge to cut out, its lower left corner at the origin.
#[derive(Debug, Clone, PartialEq)]
pub struct Gauge {
    /// What is drawn.
    pub layout: Layout,
    /// The room it takes across and up, in millimetres.
    pub size_mm: [f64; 2],
}
