//! What a turner measures once of a wheel and a tool: a timed grind, what is left.

use serde::{Deserialize, Serialize};

/// One grind that was timed on a wheel.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TimedGrindSaved {
    /// Steel taken, in cubic millimetres.
    pub removed_mm3: f64,
    /// Minutes it took.
    pub minutes: f64,
    /// Passes it took, if they were counted.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub passes: Option<f64>,
}

/// What is left of a tool and how fast it goes.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, Default)]
#[serde(deny_unknown_fields)]
pub struct LifeSaved {
    /// Flute or blade that can still be ground away, in millimetres.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub usable_mm: Option<f64>,
    /// What a regrind usually takes off the tool's length, in millimetres.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lost_each_mm: Option<f64>,
    /// Regrinds a year.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub regrinds_a_year: Option<f64>,
}

impl LifeSaved {
    /// Whether nothing was entered.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }
}
