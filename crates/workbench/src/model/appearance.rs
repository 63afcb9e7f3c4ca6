//! How the window looks and what a text means, without a colour.

use bevelbench_geometry::side::Caution;

/// Light or dark.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Mode {
    /// Dark ink on light paper.
    #[default]
    Light,
    /// Light ink on dark paper.
    Dark,
}

/// How large the letters are.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum TypeScale {
    /// For a desk.
    #[default]
    Ordinary,
    /// For a projector, readable from the back of a room.
    Big,
}

/// What a text means. Its colour reads on every [`Surface`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Tone {
    /// What matters.
    Strong,
    /// Captions and notes.
    Weak,
    /// What can be pressed.
    Link,
    /// Good news.
    Good,
    /// A caution.
    Caution,
    /// A refusal or an impossible set-up.
    Bad,
}

impl Tone {
    /// Every tone.
    pub const ALL: [Self; 6] = [Self::Strong, Self::Weak, Self::Link, Self::Good, Self::Caution, Self::Bad];

    /// That of a line of cautions.
    #[must_use]
    pub fn of_cautions(cautions: &[Caution]) -> Self {
        if cautions.iter().any(Caution::is_warning) { Self::Caution } else { Self::Weak }
    }
}
