//! The number by which one part of a bench names another.

use serde::{Deserialize, Serialize};

/// Names a part of a bench for as long as it lives; never used again after it is deleted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize, Default)]
pub struct Id(pub u64);

/// The largest id that was ever given on a bench. No part of what a bench holds: two benches that hold the same are the
/// same, whatever was made and deleted on them.
#[derive(Debug, Clone, Copy, Serialize, Deserialize, Default)]
#[serde(transparent)]
pub struct LastId(pub(super) u64);

impl PartialEq for LastId {
    fn eq(&self, _: &Self) -> bool {
        true
    }
}

impl LastId {
    /// Serde's rule for what need not be written.
    #[allow(clippy::trivially_copy_pass_by_ref, reason = "serde hands fields over by reference")]
    pub(super) const fn is_none(&self) -> bool {
        self.0 == 0
    }

    /// The larger of two.
    #[must_use]
    pub fn or_later(self, other: Self) -> Self {
        Self(self.0.max(other.0))
    }

    /// Whether this one has given more than another.
    #[must_use]
    pub const fn is_beyond(self, other: Self) -> bool {
        self.0 > other.0
    }
}
