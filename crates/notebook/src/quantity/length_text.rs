//! How a sentence gets a length written in the units of who reads it.

/// Writes a length given in millimetres, with its unit.
pub type LengthText<'a> = &'a dyn Fn(f64) -> String;
