//! A place in the text of an entry, and the small things that can be read from there.

use super::refusal::{QuantityError, quoted, quoted_end};

/// A number as it was written: its value, and whether it has neither mark nor fraction.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Numeral {
    pub(super) value: f64,
    pub(super) whole: bool,
}

/// A place in a text. Always on a character boundary.
#[derive(Debug, Clone, Copy)]
pub(super) struct Cursor<'a> {
    text: &'a str,
    at: usize,
}

impl<'a> Cursor<'a> {
    pub(super) fn new(text: &'a str) -> Self {
        Self { text, at: 0 }
    }

    pub(super) fn at(&self) -> usize {
        self.at
    }

    pub(super) fn rest(&self) -> &'a str {
        self.text.get(self.at..).unwrap_or("")
    }

    pub(super) fn peek(&self) -> Option<char> {
        self.rest().chars().next()
    }

    pub(super) fn step(&mut self) {
        if let Some(character) = self.peek() {
            self.at += character.len_utf8();
        }
    }

    /// Passes over spaces of every width; true if there were any.
    pub(super) fn skip_spaces(&mut self) -> bool {
        let from = self.at;
        self.take_while(char::is_whitespace);
        self.at > from
    }

    fn take_while(&mut self, fits: impl Fn(char) -> bool) -> &'a str {
        let rest = self.rest();
        let taken = rest.find(|character| !fits(character)).map_or(rest, |end| &rest[..end]);
        self.at += taken.len();
        taken
    }

    fn take_if(&mut self, fits: impl Fn(char) -> bool) -> bool {
        let fitting = self.peek().is_some_and(fits);
        if fitting {
            self.step();
        }
        fitting
    }

    /// A run of letters, or one sign that is used as a unit (two apostrophes are one inch sign).
    pub(super) fn take_word(&mut self) -> Option<&'a str> {
        let from = self.at;
        if self.take_while(char::is_alphabetic).is_empty() {
            // The ordinal sign counts as a letter, so it never gets here.
            if self.take_if(|sign| sign == '\'') {
                self.take_if(|sign| sign == '\'');
            } else if !self.take_if(|sign| matches!(sign, '"' | '″' | '”' | '“' | '′' | '’' | '°'))
            {
                return None;
            }
        }
        self.text.get(from..self.at)
    }

    /// `/` and a run of letters, if both are there: the second half of `m/s`.
    pub(super) fn take_per(&mut self) -> bool {
        let before = *self;
        if self.take_if(|sign| sign == '/') && !self.take_while(char::is_alphabetic).is_empty() {
            true
        } else {
            *self = before;
            false
        }
    }

    /// The text from an earlier place up to here.
    pub(super) fn since(&self, from: usize) -> &'a str {
        self.text.get(from..self.at).unwrap_or("")
    }

    /// A number: digits with at most one decimal mark, a vulgar fraction, or, where `mixed` allows, a mixed number.
    ///
    /// # Errors
    /// [`QuantityError::Unfinished`] at the end of the text, [`QuantityError::NotANumber`] for anything else,
    /// [`QuantityError::DivisionByZero`] and [`QuantityError::NotFinite`] for numbers that have no value.
    pub(super) fn take_number(&mut self, mixed: bool) -> Result<Numeral, QuantityError> {
        let from = self.at;
        if let Some(value) = self.take_vulgar() {
            return Ok(Numeral { value, whole: false });
        }
        let digits = self.take_while(|sign| sign.is_ascii_digit() || matches!(sign, '.' | ','));
        if digits.is_empty() {
            return Err(self.no_number());
        }
        let marks = digits.bytes().filter(|byte| !byte.is_ascii_digit()).count();
        let not_a_number = || QuantityError::NotANumber { text: quoted(digits), at: from };
        if marks > 1 || marks == digits.len() {
            return Err(not_a_number());
        }
        let value: f64 = digits.replace(',', ".").parse().map_err(|_| not_a_number())?;
        if !value.is_finite() {
            return Err(QuantityError::NotFinite { at: from });
        }
        if marks > 0 || !mixed {
            return Ok(Numeral { value, whole: marks == 0 });
        }
        Ok(match self.take_fraction_of_mixed()? {
            Some(fraction) => Numeral { value: value + fraction, whole: false },
            None => Numeral { value, whole: true },
        })
    }

    /// The fraction that makes the whole number just read a mixed one.
    fn take_fraction_of_mixed(&mut self) -> Result<Option<f64>, QuantityError> {
        let before = *self;
        let spaced = self.skip_spaces();
        if let Some(fraction) = self.take_vulgar() {
            return Ok(Some(fraction));
        }
        // With a hyphen only where the inch sign follows directly: everywhere else a hyphen subtracts.
        let hyphened = !spaced && self.take_if(|sign| matches!(sign, '-' | '\u{2010}' | '\u{2011}'));
        if (spaced || hyphened)
            && let Some(fraction) = self.take_proper_fraction()?
            && (spaced || self.stands_at_inch_sign())
        {
            return Ok(Some(fraction));
        }
        *self = before;
        Ok(None)
    }

    fn stands_at_inch_sign(&self) -> bool {
        self.peek().is_some_and(|sign| matches!(sign, '"' | '″' | '”')) || self.rest().starts_with("''")
    }

    /// Digits, a slash and digits, if they are a fraction below one.
    fn take_proper_fraction(&mut self) -> Result<Option<f64>, QuantityError> {
        let numerator = self.take_while(|sign| sign.is_ascii_digit());
        if numerator.is_empty() || !self.take_if(is_slash) {
            return Ok(None);
        }
        let divisor_at = self.at;
        let denominator = self.take_while(|sign| sign.is_ascii_digit());
        let (Ok(numerator), Ok(denominator)) = (numerator.parse::<f64>(), denominator.parse::<f64>()) else {
            return Ok(None);
        };
        if denominator == 0.0 {
            return Err(QuantityError::DivisionByZero { at: divisor_at });
        }
        Ok((numerator < denominator && denominator.is_finite()).then_some(numerator / denominator))
    }

    fn take_vulgar(&mut self) -> Option<f64> {
        let (numerator, denominator) = match self.peek()? {
            '½' => (1.0, 2.0),
            '⅓' => (1.0, 3.0),
            '⅔' => (2.0, 3.0),
            '¼' => (1.0, 4.0),
            '¾' => (3.0, 4.0),
            '⅕' => (1.0, 5.0),
            '⅖' => (2.0, 5.0),
            '⅗' => (3.0, 5.0),
            '⅘' => (4.0, 5.0),
            '⅙' => (1.0, 6.0),
            '⅚' => (5.0, 6.0),
            '⅛' => (1.0, 8.0),
            '⅜' => (3.0, 8.0),
            '⅝' => (5.0, 8.0),
            '⅞' => (7.0, 8.0),
            '⅒' => (1.0, 10.0),
            _ => return None,
        };
        self.step();
        Some(numerator / denominator)
    }

    /// The error for a place where a number should begin.
    fn no_number(mut self) -> QuantityError {
        let at = self.at;
        if self.peek().is_none() {
            return QuantityError::Unfinished { text: quoted_end(self.text.trim()), at };
        }
        QuantityError::NotANumber { text: self.offending(), at }
    }

    /// What stands here, as a message names it: a word, a number or one sign.
    pub(super) fn offending(&mut self) -> String {
        let from = self.at;
        if self.take_while(char::is_alphanumeric).is_empty() {
            self.step();
        }
        quoted(self.since(from))
    }
}

/// A division sign that is also a fraction bar.
pub(super) fn is_slash(sign: char) -> bool {
    matches!(sign, '/' | '\u{2044}' | '\u{2215}')
}

/// A minus sign or one of the dashes typed for it.
pub(super) fn is_minus(sign: char) -> bool {
    matches!(sign, '-' | '\u{2212}' | '\u{2010}' | '\u{2011}' | '\u{2012}' | '\u{2013}')
}
