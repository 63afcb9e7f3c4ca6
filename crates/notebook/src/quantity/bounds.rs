//! How long a typed number may be, and how deep its brackets.

/// The greatest length of a text that is read, in characters: more than the longest number has.
pub const LONGEST_TEXT: usize = 400;

/// How deep brackets may stand in brackets.
pub const DEEPEST_NESTING: usize = 16;
