//! A record of what the geometry answers, so that no answer changes unseen.
//!
//! This proves nothing about the world: the other checks do. It was written while all of them passed, and it holds
//! answers in places where a change would be too small for their tolerances or for their special cases. A line that
//! differs is either a mistake or a change on purpose; for the latter, `BEVELBENCH_RECORD=remake cargo test -p
//! bevelbench-geometry --test record`, then read the difference.
#![allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]
#![allow(clippy::too_many_lines, clippy::type_complexity, reason = "long lists of what is put down")]

mod kept;
mod rest;
mod shop;
mod side;
mod swung;
mod tips;

use std::{
    fmt::{Debug, Write},
    fs,
    path::PathBuf,
};

/// Relative to one and to the number.
const ACCURACY: f64 = 1e-8;

/// Lines of a record, each with a name.
#[derive(Default)]
struct Record {
    lines: String,
}

impl Record {
    /// Puts down what was answered under a name.
    fn say(&mut self, name: &str, answer: &impl Debug) {
        writeln!(self.lines, "{name}: {}", shortened(&format!("{answer:?}"))).unwrap();
    }

    /// Compares with the file of this name, or writes it.
    fn check(self, file: &str) {
        let path = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/record").join(file);
        if std::env::var("BEVELBENCH_RECORD").is_ok_and(|word| word == "remake") {
            fs::write(path, self.lines).unwrap();
            return;
        }
        let kept = fs::read_to_string(path).unwrap();
        assert_eq!(self.lines.lines().count(), kept.lines().count(), "{file}: other lines than recorded");
        for (now, then) in self.lines.lines().zip(kept.lines()) {
            assert!(alike(now, then), "{file} has changed\nnow:  {now}\nthen: {then}");
        }
    }
}

/// A text cut into numbers and what stands between them.
fn pieces(text: &str) -> impl Iterator<Item = &str> {
    let is_number = |c: char| c.is_ascii_digit() || ".-+e".contains(c);
    let mut rest = text;
    std::iter::from_fn(move || {
        let first = rest.chars().next()?;
        // A sign or a digit begins a number; letters of a name do not.
        let begins =
            first.is_ascii_digit() || (first == '-' && rest[1..].starts_with(|c: char| c.is_ascii_digit()));
        let end = if begins {
            rest.find(|c: char| !is_number(c)).unwrap_or(rest.len())
        } else {
            let mut before = first;
            rest.char_indices()
                .skip(1)
                .find(|(_, c)| {
                    let here = c.is_ascii_digit() || *c == '-';
                    let in_a_name = before.is_alphanumeric() || before == '_';
                    before = *c;
                    here && !in_a_name
                })
                .map_or(rest.len(), |(at, _)| at)
        };
        let (piece, after) = rest.split_at(end);
        rest = after;
        Some(piece)
    })
}

/// What is printed of an answer, in little room: nine digits, no noise about zero, no names of fields.
fn shortened(text: &str) -> String {
    let mut short = String::with_capacity(text.len());
    for piece in pieces(text) {
        match piece.parse::<f64>() {
            Ok(value) if piece.contains('.') => {
                let value = if value.abs() < 1e-10 { 0.0 } else { value };
                let rounded: f64 = format!("{value:.8e}").parse().unwrap_or(value);
                write!(short, "{rounded}").unwrap();
            }
            _ => short.push_str(piece),
        }
    }
    let mut bare = String::with_capacity(short.len());
    for word in short.split(' ') {
        let is_field = word.ends_with(':') && word.starts_with(|c: char| c.is_ascii_lowercase());
        if !is_field && !word.is_empty() {
            bare.push_str(word);
            bare.push(' ');
        }
    }
    bare.trim_end().to_owned()
}

fn alike(now: &str, then: &str) -> bool {
    let mut one = pieces(now);
    let mut other = pieces(then);
    loop {
        match (one.next(), other.next()) {
            (None, None) => return true,
            (Some(a), Some(b)) if a == b => {}
            (Some(a), Some(b)) => match (a.parse::<f64>(), b.parse::<f64>()) {
                (Ok(a), Ok(b)) if (a - b).abs() <= ACCURACY * (1.0 + b.abs()) => {}
                _ => return false,
            },
            _ => return false,
        }
    }
}

#[test]
fn a_record_tells_a_change_from_noise() {
    let reported = |text: &str| shortened(text);
    let one = reported("V { x_1: 1.0, y: -2.5, z: Some(3), name: \"none_3\" }");
    assert_eq!(one, "V { 1, -2.5, Some(3), \"none_3\" }");
    assert!(alike(&reported("V { x: 1.000000001, y: -2.5 }"), &reported("V { x: 1.0, y: -2.5 }")));
    assert!(!alike(&reported("V { x: 1.000001, y: -2.5 }"), &reported("V { x: 1.0, y: -2.5 }")));
    assert!(!alike(&reported("V { x: 1.0 }"), &reported("W { x: 1.0 }")));
    assert!(!alike(&reported("[1.0, 2.0]"), &reported("[1.0]")));
    assert!(!alike(&reported("Some(1.0)"), &reported("None")));
}
