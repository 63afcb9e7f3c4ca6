//! What became of a dialog in a frame.

/// What became of a dialog in this frame.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// It stays open.
    Open,
    /// It was closed.
    Closed,
    /// It was confirmed.
    Confirmed,
}
