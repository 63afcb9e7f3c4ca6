//! What a setting is asked to grind and what may be moved for it, as they are saved.

use serde::{Deserialize, Serialize};

use crate::saved::id::Id;

/// Which angle a target means.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, Default)]
pub enum BevelMeant {
    /// At the edge.
    #[default]
    AtEdge,
    /// Across the facet.
    AcrossFacet,
    /// Both bevels together, square to the edge, of a tool ground on both faces.
    Included,
}

/// The bevel a setting is meant to grind, and what is wanted at the wing.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TargetSaved {
    /// The bevel.
    pub bevel_deg: f64,
    /// Where it is meant.
    #[serde(default)]
    pub meant: BevelMeant,
    /// What is wanted at the wing of a rolled gouge.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub wing: Option<WingSaved>,
}

/// What is wanted at the wing of a rolled gouge.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum WingSaved {
    /// A wing sweep.
    Sweep {
        /// The sweep, in millimetres.
        sweep_mm: f64,
    },
    /// A bevel at the wing top.
    BevelAtTop {
        /// The bevel to the axis.
        bevel_deg: f64,
    },
    /// The grind of another setting; the bevel is that one's too.
    SameAs {
        /// That setting.
        setting: Id,
    },
}
