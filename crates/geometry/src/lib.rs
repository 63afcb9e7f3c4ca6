//! The geometry of a guided grind.
