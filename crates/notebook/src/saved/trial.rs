//! A trial grind: a setting as it was set, with the bevel that was measured on what it ground.

use serde::{Deserialize, Serialize};

use crate::saved::{setting::SettingEntry, target::BevelMeant};

/// A trial grind.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TrialSaved {
    /// The setting as it was set, whatever becomes of it on the rack.
    pub setting: SettingEntry,
    /// The bevel that was measured; not counted until it is known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bevel_deg: Option<f64>,
    /// What was measured.
    pub meant: BevelMeant,
    /// How far the measurement may be off: a half-width.
    pub plus_minus_deg: f64,
}

/// How far a protractor laid on a facet may be off, in degrees: an assumption (`common practice`).
pub const PROTRACTOR_DEG: f64 = 0.5;

impl TrialSaved {
    /// A trial of a setting, not yet measured.
    #[must_use]
    pub fn of(setting: SettingEntry) -> Self {
        Self { setting, bevel_deg: None, meant: BevelMeant::AcrossFacet, plus_minus_deg: PROTRACTOR_DEG }
    }
}
