//! The list that `cargo mutants --list --json` prints.

use anyhow::{Context, Result};
use serde::Deserialize;
use std::path::Path;

/// One change of one place.
#[derive(Clone, Debug, Deserialize)]
pub(crate) struct Mutant {
    pub(crate) file: String,
    pub(crate) genre: Genre,
    pub(crate) name: String,
    pub(crate) replacement: String,
    pub(crate) span: Span,
}

/// Kinds of changes, by their names in the list.
#[derive(Clone, Copy, Debug, Deserialize, PartialEq, Eq, Hash)]
pub(crate) enum Genre {
    FnValue,
    BinaryOperator,
    UnaryOperator,
    MatchArm,
    MatchArmGuard,
    StructField,
}

/// Lines and columns from one, in characters; the end is not included.
#[derive(Clone, Copy, Debug, Deserialize)]
pub(crate) struct Span {
    pub(crate) start: Place,
    pub(crate) end: Place,
}

#[derive(Clone, Copy, Debug, Deserialize)]
pub(crate) struct Place {
    pub(crate) line: usize,
    pub(crate) column: usize,
}

impl Mutant {
    /// Whether only an exact tie of two numbers tells the change from the original.
    pub(crate) fn is_tie(&self) -> bool {
        self.name.contains("replace < with <=") || self.name.contains("replace > with >=")
    }
}

pub(crate) fn read(path: &Path) -> Result<Vec<Mutant>> {
    let text = std::fs::read_to_string(path).with_context(|| format!("reading {}", path.display()))?;
    serde_json::from_str(&text).context("reading the list of mutants")
}

/// Where a line and column stand in a text, in bytes.
#[derive(Debug)]
pub(crate) struct Lines {
    starts: Vec<usize>,
}

impl Lines {
    pub(crate) fn of(text: &str) -> Self {
        let starts = std::iter::once(0).chain(text.match_indices('\n').map(|(at, _)| at + 1)).collect();
        Self { starts }
    }

    /// Of a line from one and a column from zero.
    pub(crate) fn byte(&self, text: &str, line: usize, column: usize) -> usize {
        let start = self.starts[line - 1];
        text[start..].char_indices().nth(column).map_or(text.len(), |(at, _)| start + at)
    }

    pub(crate) fn span(&self, text: &str, span: Span) -> (usize, usize) {
        (
            self.byte(text, span.start.line, span.start.column - 1),
            self.byte(text, span.end.line, span.end.column - 1),
        )
    }
}
