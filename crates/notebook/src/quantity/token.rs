//! The parts a text is made of: numbers, fractions, units, signs.

use super::misread::{QuantityError, quoted};

/// What a part is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Part {
    /// Digits, with a decimal mark or without.
    Number {
        /// The value.
        value: f64,
        /// Whether it has no decimal mark, so that it may be part of a fraction.
        whole: bool,
    },
    /// A fraction in one character.
    Vulgar(f64),
    /// Letters: a unit, or none.
    Word,
    /// An inch mark, or seconds.
    DoubleMark,
    /// A foot mark, or minutes.
    SingleMark,
    /// A ring: degrees.
    Ring,
    /// Plus.
    Plus,
    /// Minus; a hyphen may also join a whole number and a fraction.
    Minus {
        /// Whether it is a hyphen and not a real minus.
        hyphen: bool,
    },
    /// Times.
    Times,
    /// Divided by.
    Over,
    /// An opening bracket.
    Open,
    /// A closing bracket.
    Close,
}

/// A part with the piece of text it was read from.
#[derive(Debug, Clone, Copy)]
pub(super) struct Token<'t> {
    pub(super) part: Part,
    pub(super) text: &'t str,
    /// Where it begins, in bytes from the start of the whole text.
    pub(super) start: usize,
}

impl Token<'_> {
    /// Whether `next` follows with no space between.
    pub(super) fn touches(&self, next: &Self) -> bool {
        self.start + self.text.len() == next.start
    }
}

/// The parts of a text, in order.
pub(super) fn tokens(text: &str) -> Result<Vec<Token<'_>>, QuantityError> {
    let mut tokens = Vec::new();
    let mut at = 0;
    while let Some(first) = text[at..].chars().next() {
        if first.is_whitespace() {
            at += first.len_utf8();
            continue;
        }
        let rest = &text[at..];
        let (part, length) = part(first, rest)?;
        tokens.push(Token { part, text: &rest[..length], start: at });
        at += length;
    }
    Ok(tokens)
}

/// The part at the beginning of `rest`, with its length in bytes (never nothing).
fn part(first: char, rest: &str) -> Result<(Part, usize), QuantityError> {
    let part = match first {
        '0'..='9' | '.' | ',' => return number(rest),
        '"' | '″' | '”' | '“' | 'ʺ' => Part::DoubleMark,
        '\'' | '′' | '’' | '‘' | 'ʹ' => {
            let second = rest[first.len_utf8()..].chars().next();
            if second == Some(first) {
                return Ok((Part::DoubleMark, 2 * first.len_utf8()));
            }
            Part::SingleMark
        }
        '°' | 'º' | '˚' => Part::Ring,
        '±' => return Err(QuantityError::PlusMinus { text: quoted(rest) }),
        // With nothing between them the two are one sign; `45 + -1` is a sum.
        '+' if rest[1..].starts_with(['-', '\u{2010}', '\u{2011}', '\u{2212}', '\u{2013}']) => {
            return Err(QuantityError::PlusMinus { text: quoted(rest) });
        }
        '+' if rest[1..].starts_with("/-") => return Err(QuantityError::PlusMinus { text: quoted(rest) }),
        '+' => Part::Plus,
        '-' | '\u{2010}' | '\u{2011}' => Part::Minus { hyphen: true },
        '\u{2212}' | '\u{2013}' => Part::Minus { hyphen: false },
        '*' | '×' | '·' | '⋅' => Part::Times,
        '/' | '÷' | '\u{2044}' | '\u{2215}' => Part::Over,
        '(' | '[' => Part::Open,
        ')' | ']' => Part::Close,
        _ => match vulgar(first) {
            Some(value) => Part::Vulgar(value),
            None if first.is_alphabetic() => return Ok(word(rest)),
            None => return Err(QuantityError::NotANumber { text: quoted(rest) }),
        },
    };
    Ok((part, first.len_utf8()))
}

/// The value of a fraction in one character.
const fn vulgar(c: char) -> Option<f64> {
    Some(match c {
        '½' => 0.5,
        '¼' => 0.25,
        '¾' => 0.75,
        '⅛' => 0.125,
        '⅜' => 0.375,
        '⅝' => 0.625,
        '⅞' => 0.875,
        '⅓' => 1.0 / 3.0,
        '⅔' => 2.0 / 3.0,
        _ => return None,
    })
}

/// Digits with at most one decimal mark.
fn number(rest: &str) -> Result<(Part, usize), QuantityError> {
    let length = rest.bytes().take_while(|byte| matches!(byte, b'0'..=b'9' | b'.' | b',')).count();
    let text = &rest[..length];
    let value: f64 =
        text.replace(',', ".").parse().map_err(|_| QuantityError::NotANumber { text: quoted(text) })?;
    if !value.is_finite() {
        return Err(QuantityError::NotFinite);
    }
    Ok((Part::Number { value, whole: text.bytes().all(|byte| byte.is_ascii_digit()) }, length))
}

/// Letters, with the full stop of an abbreviation; a lone `x` is the sign it looks like.
fn word(rest: &str) -> (Part, usize) {
    let end = |c: char| !c.is_alphabetic() || matches!(c, 'º' | 'ʹ' | 'ʺ');
    let letters = rest.find(end).unwrap_or(rest.len());
    if matches!(&rest[..letters], "x" | "X") {
        return (Part::Times, letters);
    }
    let mut after = rest[letters..].chars();
    let stop = after.next() == Some('.') && !after.next().is_some_and(|c| c.is_ascii_digit());
    (Part::Word, letters + usize::from(stop))
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]
mod tests {
    use super::*;

    fn texts(text: &str) -> Vec<&str> {
        tokens(text).unwrap().iter().map(|token| token.text).collect()
    }

    #[test]
    fn parts_need_no_space_between_them() {
        assert_eq!(texts("45d30m"), ["45", "d", "30", "m"]);
        assert_eq!(texts("45°30′"), ["45", "°", "30", "′"]);
        assert_eq!(texts("1½in.+2"), ["1", "½", "in.", "+", "2"]);
        assert_eq!(texts("2x3''"), ["2", "x", "3", "''"]);
    }

    #[test]
    fn a_number_has_one_decimal_mark() {
        assert_eq!(tokens("1,500.5").unwrap_err(), QuantityError::NotANumber { text: "1,500.5".into() });
        assert_eq!(tokens("1.2.3").unwrap_err(), QuantityError::NotANumber { text: "1.2.3".into() });
        assert_eq!(tokens(".").unwrap_err(), QuantityError::NotANumber { text: ".".into() });
    }

    #[test]
    fn an_overflowing_literal_is_refused() {
        assert_eq!(tokens(&"9".repeat(310)).unwrap_err(), QuantityError::NotFinite);
    }
}
