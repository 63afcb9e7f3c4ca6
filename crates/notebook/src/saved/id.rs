//! The number by which one part of a bench names another.

use serde::{Deserialize, Serialize};

/// Names a part of a bench for as long as it lives; never used again after it is deleted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize, Default)]
pub struct Id(pub u64);
