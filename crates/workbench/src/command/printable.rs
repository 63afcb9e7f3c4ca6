//! Text that a terminal shows and never obeys: control characters, and those that turn the direction of writing, are
//! written as `\u001b`. Inside the strings of JSON that is the same character, so that a script reads what was there.

use std::{
    borrow::Cow,
    io::{self, Write},
};

/// Whether a terminal would obey it, or show what follows in another order.
fn is_obeyed(c: char) -> bool {
    match c {
        '\n' | '\t' => false,
        '\u{200e}' | '\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2066}'..='\u{2069}' => true,
        _ => c.is_control(),
    }
}

/// A text with what a terminal would obey written out.
pub(super) fn escaped(text: &str) -> Cow<'_, str> {
    if !text.contains(is_obeyed) {
        return Cow::Borrowed(text);
    }
    let one = |c: char| if is_obeyed(c) { format!("\\u{:04x}", u32::from(c)) } else { c.to_string() };
    Cow::Owned(text.chars().map(one).collect())
}

/// A stream of text that nothing raw passes through.
pub(super) struct Printable<'w> {
    to: &'w mut dyn Write,
    /// The beginning of a character whose end has not come yet.
    begun: Vec<u8>,
}

impl<'w> Printable<'w> {
    pub(super) const fn new(to: &'w mut dyn Write) -> Self {
        Self { to, begun: Vec::new() }
    }
}

impl Write for Printable<'_> {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.begun.extend_from_slice(bytes);
        let whole = match std::str::from_utf8(&self.begun) {
            Ok(_) => self.begun.len(),
            Err(error) if error.error_len().is_none() => error.valid_up_to(),
            Err(error) => return Err(io::Error::new(io::ErrorKind::InvalidData, error)),
        };
        let rest = self.begun.split_off(whole);
        let text = std::mem::replace(&mut self.begun, rest);
        self.to.write_all(escaped(&String::from_utf8_lossy(&text)).as_bytes())?;
        Ok(bytes.len())
    }

    fn flush(&mut self) -> io::Result<()> {
        self.to.flush()
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]
mod tests {
    use super::*;

    #[test]
    fn what_a_terminal_obeys_is_written_out_and_the_rest_passes() {
        assert_eq!(escaped("45° – ⌀ 6 mm\n\tNaïve"), "45° – ⌀ 6 mm\n\tNaïve");
        assert_eq!(
            escaped("a\u{1b}[2Jb\r\u{7f}\u{9b}c\u{202e}"),
            "a\\u001b[2Jb\\u000d\\u007f\\u009bc\\u202e"
        );
    }

    #[test]
    fn a_character_that_comes_in_pieces_is_put_together() {
        let mut out = Vec::new();
        let mut printable = Printable::new(&mut out);
        for byte in "⌀\u{9b}é\u{2066}".as_bytes() {
            printable.write_all(&[*byte]).unwrap();
        }
        assert_eq!(String::from_utf8(out).unwrap(), "⌀\\u009bé\\u2066");
    }

    #[test]
    fn json_means_the_same_afterwards() {
        let value = serde_json::json!({ "name": "a\u{7f}\u{9b}\u{202e}b\u{1b}" });
        let mut out = Vec::new();
        serde_json::to_writer(&mut Printable::new(&mut out), &value).unwrap();
        assert!(out.iter().all(|byte| (b' '..0x7f).contains(byte)));
        assert_eq!(serde_json::from_slice::<serde_json::Value>(&out).unwrap(), value);
    }
}
