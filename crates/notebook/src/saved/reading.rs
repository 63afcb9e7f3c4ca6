//! How what is measured is read, as it is saved.

use bevelbench_geometry::math::Quantity;
use serde::{Deserialize, Serialize};

/// What a length or an angle is read with.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum ReadWith {
    /// Calipers.
    Calipers,
    /// A rule, or a scale on the arm.
    Rule,
    /// A rule across a whole wheel, or along a whole tool.
    LongRule,
    /// A stop block.
    StopBlock,
    /// A protractor.
    Protractor,
    /// An angle gauge that shows tenths of a degree.
    AngleGauge,
    /// A rest, a notch that the strut clicks into.
    Rest,
    /// Nothing: it is not counted.
    NotCounted,
}

/// How a quantity is read, and how far that may be off.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ReadingSaved {
    /// What is read.
    #[serde(with = "crate::saved::names::one")]
    pub input: Quantity,
    /// With what.
    pub with: ReadWith,
    /// Half-width of the ±, in millimetres, or degrees for angles; what is usual for `with` without it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub plus_minus: Option<f64>,
}
