//! A reason with its remedy, and how numbers stand in a sentence.

use bevelbench_geometry::math::Angle;

/// Why something is so, and what to do about it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Words {
    /// The reason: a full sentence with its numbers.
    pub reason: String,
    /// The remedy: a full sentence that says what to move or put in.
    pub remedy: String,
}

impl Words {
    /// A reason and its remedy.
    #[must_use]
    pub fn new(reason: impl Into<String>, remedy: impl Into<String>) -> Self {
        Self { reason: reason.into(), remedy: remedy.into() }
    }

    /// Both sentences in one line.
    #[must_use]
    pub fn together(&self) -> String {
        format!("{} {}", self.reason, self.remedy)
    }
}

/// A number with at most this many decimals, no idle zeros, and a real minus sign.
pub(super) fn number(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    let text = if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.') } else { &text };
    if text == "-0" { "0".to_owned() } else { text.replace('-', "−") }
}

/// An angle to a tenth of a degree.
pub(super) fn degrees(angle: Angle) -> String {
    format!("{}°", number(angle.degrees(), 1))
}

/// A speed to a tenth of a metre a second.
pub(super) fn metres_a_second(speed: f64) -> String {
    format!("{} m/s", number(speed, 1))
}

/// The same words, the first letter large.
#[must_use]
pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// The same words, the first letter small.
#[must_use]
pub fn lower_first(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_lowercase().chain(letters).collect())
}
