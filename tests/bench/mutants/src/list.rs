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

/// Places that no test can run and no user of the window or the command sees, with the reason.
const LEFT_OUT: [(&str, &str); 5] = [
    ("crates/workbench/src/main.rs", "the program's own beginning: a crate of its own, without the switch"),
    ("crates/workbench/src/shell/window.rs", "opens a real display"),
    ("crates/workbench/src/shell/first_frame.rs", "times the first frame, on request"),
    ("fmt::Debug for", "what only a developer reads"),
    ("impl std::error::Error for", "names no fault to anybody"),
];

/// The mutants of a list. Of a sample so many are drawn without putting back, in the order in which they were drawn.
pub(crate) fn read(path: &Path, sample: Option<usize>, seed: u64) -> Result<Vec<Mutant>> {
    let text = std::fs::read_to_string(path).with_context(|| format!("reading {}", path.display()))?;
    let mut all: Vec<Mutant> = serde_json::from_str(&text).context("reading the list of mutants")?;
    let Some(sample) = sample else { return Ok(all) };
    let listed = all.len();
    all.retain(|mutant| {
        !LEFT_OUT.iter().any(|(place, _)| mutant.file.contains(place) || mutant.name.contains(place))
    });
    println!("{listed} mutants listed, {} of them where a user could tell; seed {seed}", all.len());
    let mut state = seed;
    for at in 0..all.len().min(sample) {
        let left = (all.len() - at) as u64;
        all.swap(at, at + (random(&mut state) % left) as usize);
    }
    all.truncate(sample);
    Ok(all)
}

/// Splitmix64.
fn random(state: &mut u64) -> u64 {
    *state = state.wrapping_add(0x9e37_79b9_7f4a_7c15);
    let z = (*state ^ (*state >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    let z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    z ^ (z >> 31)
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
