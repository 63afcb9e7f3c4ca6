//! The line with a checksum at the end of a text.

use std::path::Path;

/// What the line with the checksum says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Seal {
    /// It agrees.
    Whole,
    /// It disagrees: the text was edited by hand, or damaged.
    Broken,
    /// The line itself is damaged in one place; the text above it is what was sealed.
    LineDamaged,
    /// There is none.
    Absent,
}

impl Seal {
    /// What is to be said of a file whose seal is not whole. Nothing is said of a file that has none.
    #[must_use]
    pub fn doubt(self, path: &Path) -> Option<String> {
        let shown = path.display();
        match self {
            Self::Whole | Self::Absent => None,
            Self::Broken => Some(format!(
                "The checksum at the end of {shown} does not agree with the text above it: it was changed outside of Bevelbench, by hand or by another program, or it is damaged. If you did not change it, compare its numbers with what you know."
            )),
            Self::LineDamaged => Some(format!(
                "The line with the checksum at the end of {shown} is damaged; the text above it is whole. Saving or accepting the file writes the line anew."
            )),
        }
    }
}

const SEAL: &str = "// check: ";

/// The line with the checksum of a text.
fn line(body: &str) -> String {
    format!("{SEAL}{:016x}", body_checksum(body))
}

/// Adds the line with the checksum.
#[must_use]
pub fn seal(text: &str) -> String {
    let body = text.trim_end();
    format!("{body}\n{}\n", line(body))
}

/// Takes the line with the checksum off and says whether it agrees.
#[must_use]
pub fn unseal(text: &str) -> (&str, Seal) {
    let whole = text.trim_end();
    let start = whole.rfind('\n').map_or(0, |at| at + 1);
    let (body, last) = (whole[..start].trim_end(), &whole[start..]);
    // A person's own remark that begins the same way has more than one word.
    let reported = last.strip_prefix(SEAL).filter(|reported| !reported.contains(char::is_whitespace));
    if reported.is_some_and(|reported| u64::from_str_radix(reported, 16) == Ok(body_checksum(body))) {
        return (body, Seal::Whole);
    }
    // A change of the text changes the checksum in more than one digit: its factor reaches digits in two places.
    let right = line(body);
    let without_end = right.strip_prefix(last).is_some_and(|end| end.len() == 1);
    if without_end || differs_in_one(last, &right) {
        return (body, Seal::LineDamaged);
    }
    match reported {
        Some(_) => (body, Seal::Broken),
        None => (text, Seal::Absent),
    }
}

/// Whether two texts are alike but for one character.
fn differs_in_one(one: &str, other: &str) -> bool {
    let mut pairs = one.chars().zip(other.chars()).filter(|(a, b)| a != b);
    one.chars().count() == other.chars().count() && pairs.next().is_some() && pairs.next().is_none()
}

/// Leaves out what reading changes: the byte-order mark and the two ways to end a line.
fn body_checksum(body: &str) -> u64 {
    checksum(body.trim_start_matches('\u{feff}').bytes().filter(|byte| *byte != b'\r'))
}

/// FNV-1a, 64 bits: notices damage, does not resist malice. Source: from memory.
pub(super) fn checksum(bytes: impl Iterator<Item = u8>) -> u64 {
    bytes.fold(0xcbf2_9ce4_8422_2325, |hash, byte| (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3))
}
