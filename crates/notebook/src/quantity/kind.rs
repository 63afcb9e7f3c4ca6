//! What kind of number is turned, typed or shown.

/// What a dial's number is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// Millimetres.
    Length,
    /// Degrees.
    Angle,
}
