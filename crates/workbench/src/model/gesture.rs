//! What a control reports of the hand: where a change begins, goes on and ends.

/// What was done to an input in this frame. One gesture, from `begun` to `ended` or `cancelled`, is one undo step; keys and
/// typing are gestures of a single frame.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Gesture {
    /// A gesture began: remember what to go back to.
    pub begun: bool,
    /// The new value.
    pub changed: Option<f64>,
    /// The gesture is over: one undo step.
    pub ended: bool,
    /// The gesture was given up: put back what was when it began (`changed` carries the old value too).
    pub cancelled: bool,
}

impl Gesture {
    /// A gesture that begins and ends with one new value.
    #[must_use]
    pub fn at_once(value: f64) -> Self {
        Self { begun: true, changed: Some(value), ended: true, cancelled: false }
    }

    /// This gesture, or the other if nothing happened in this.
    #[must_use]
    pub fn or(self, other: Self) -> Self {
        if self == Self::default() { other } else { self }
    }
}
