//! The line with a checksum at the end of a text.

/// What the line with the checksum says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Seal {
    /// It agrees.
    Whole,
    /// It disagrees: edited by hand, or damaged.
    Broken,
    /// There is none.
    Absent,
}

const SEAL: &str = "// check: ";

/// Adds the line with the checksum.
#[must_use]
pub fn seal(text: &str) -> String {
    let body = text.trim_end();
    format!("{body}\n{SEAL}{:016x}\n", body_checksum(body))
}

/// Takes the line with the checksum off and says whether it agrees.
#[must_use]
pub fn unseal(text: &str) -> (&str, Seal) {
    let whole = text.trim_end();
    let last_line = whole.rfind('\n').map_or(0, |at| at + 1);
    // A person's own remark that begins the same way has more than one word.
    let reported =
        whole[last_line..].strip_prefix(SEAL).filter(|reported| !reported.contains(char::is_whitespace));
    let Some(reported) = reported else { return (text, Seal::Absent) };
    let body = whole[..last_line].trim_end();
    let agrees = u64::from_str_radix(reported, 16) == Ok(body_checksum(body));
    (body, if agrees { Seal::Whole } else { Seal::Broken })
}

/// Leaves out what reading changes: the byte-order mark and the two ways to end a line.
fn body_checksum(body: &str) -> u64 {
    checksum(body.trim_start_matches('\u{feff}').bytes().filter(|byte| *byte != b'\r'))
}

/// FNV-1a, 64 bits: notices damage, does not resist malice. Source: from memory.
pub(super) fn checksum(bytes: impl Iterator<Item = u8>) -> u64 {
    bytes.fold(0xcbf2_9ce4_8422_2325, |hash, byte| (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3))
}
