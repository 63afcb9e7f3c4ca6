//! Entries read: a small calculator that knows units.
//!
//! Recursive descent over the text itself: a sum of products of numbers, brackets and units. Nesting and length are
//! capped, every intermediate result is finite, and the whole entry must be used up.

use super::{
    cursor::{Cursor, is_minus, is_slash},
    refusal::{QuantityError, quoted, quoted_end},
    unit::{LengthUnit, QuantityKind, SpeedUnit, find_unit},
};

/// Longest entry read, in bytes: every number this program displays fits, also the largest.
const MOST_BYTES: usize = 512;
/// Most brackets inside one another.
const MOST_DEPTH: usize = 32;

/// The length, in millimetres, that `text` says; a number without a unit is in `default_unit`.
///
/// # Errors
/// A [`QuantityError`] that says what was wrong and where.
///
/// # Example
/// ```
/// use bevelbench_notebook::quantity::{LengthUnit, parse_length};
/// assert_eq!(parse_length("75", LengthUnit::Millimetre)?, 75.0);
/// assert_eq!(parse_length("1-1/2\"", LengthUnit::Millimetre)?, 38.1);
/// assert_eq!(parse_length("(85+60)/2", LengthUnit::Millimetre)?, 72.5);
/// assert!((parse_length("6 - 2 mm", LengthUnit::Inch)? - 150.4).abs() < 1e-9);
/// # Ok::<(), bevelbench_notebook::quantity::QuantityError>(())
/// ```
pub fn parse_length(text: &str, default_unit: LengthUnit) -> Result<f64, QuantityError> {
    Entry::read(text, QuantityKind::Length, default_unit.millimetres())
}

/// The angle, in degrees, that `text` says; a number without a unit is in degrees.
///
/// # Errors
/// A [`QuantityError`] that says what was wrong and where.
///
/// # Example
/// ```
/// use bevelbench_notebook::quantity::parse_angle;
/// assert_eq!(parse_angle("45°30′")?, 45.5);
/// assert_eq!(parse_angle("90 - 45d30m")?, 44.5);
/// # Ok::<(), bevelbench_notebook::quantity::QuantityError>(())
/// ```
pub fn parse_angle(text: &str) -> Result<f64, QuantityError> {
    Entry::read(text, QuantityKind::Angle, 1.0)
}

/// The speed, in metres per second, that `text` says; a number without a unit is in `default_unit`.
///
/// # Errors
/// A [`QuantityError`] that says what was wrong and where.
pub fn parse_speed(text: &str, default_unit: SpeedUnit) -> Result<f64, QuantityError> {
    Entry::read(text, QuantityKind::Speed, default_unit.metres_per_second())
}

/// The plain number that `text` says; units are refused.
///
/// # Errors
/// A [`QuantityError`] that says what was wrong and where.
pub fn parse_number(text: &str) -> Result<f64, QuantityError> {
    Entry::read(text, QuantityKind::Number, 1.0)
}

/// What a number stands for so far.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Sort {
    /// A number whose unit has not been written: it takes the default unit where one is needed.
    Bare,
    /// A quantity of the asked kind, in the kept unit.
    Measured,
    /// A plain number for good: a quotient of two quantities.
    Ratio,
}

#[derive(Debug, Clone, Copy)]
struct Value {
    number: f64,
    sort: Sort,
}

struct Entry<'a> {
    cursor: Cursor<'a>,
    asked: QuantityKind,
    default_factor: f64,
    depth: usize,
}

impl<'a> Entry<'a> {
    fn read(text: &'a str, asked: QuantityKind, default_factor: f64) -> Result<f64, QuantityError> {
        if text.len() > MOST_BYTES {
            return Err(QuantityError::TooLong { bytes: text.len(), most: MOST_BYTES });
        }
        if text.trim().is_empty() {
            return Err(QuantityError::Empty);
        }
        let mut entry = Self { cursor: Cursor::new(text), asked, default_factor, depth: 0 };
        entry.cursor.skip_spaces();
        if matches!(entry.cursor.peek(), Some('≈' | '~')) {
            entry.cursor.step();
        }
        let value = entry.sum()?;
        entry.cursor.skip_spaces();
        if entry.cursor.peek().is_some() {
            let at = entry.cursor.at();
            return Err(QuantityError::Unexpected { text: entry.cursor.offending(), at });
        }
        match value.sort {
            Sort::Measured => Ok(value.number),
            Sort::Bare => finite(value.number * default_factor, 0),
            Sort::Ratio => Err(QuantityError::WrongKind {
                text: quoted(text.trim()),
                at: 0,
                asked,
                found: QuantityKind::Number,
            }),
        }
    }

    fn sum(&mut self) -> Result<Value, QuantityError> {
        let mut total = self.product()?;
        loop {
            self.cursor.skip_spaces();
            let at = self.cursor.at();
            let subtract = match self.cursor.peek() {
                Some('+') => false,
                Some(sign) if is_minus(sign) => true,
                _ => return Ok(total),
            };
            self.cursor.step();
            let term = self.product()?;
            let (left, right, sort) = match (total.sort, term.sort) {
                (Sort::Measured, Sort::Bare) => {
                    (total.number, term.number * self.default_factor, Sort::Measured)
                }
                (Sort::Bare, Sort::Measured) => {
                    (total.number * self.default_factor, term.number, Sort::Measured)
                }
                (Sort::Measured, Sort::Ratio) | (Sort::Ratio, Sort::Measured) => {
                    return Err(self.does_not_combine(if subtract { '−' } else { '+' }, at));
                }
                (Sort::Ratio, _) | (_, Sort::Ratio) => (total.number, term.number, Sort::Ratio),
                (sort, _) => (total.number, term.number, sort),
            };
            total = Value { number: finite(if subtract { left - right } else { left + right }, at)?, sort };
        }
    }

    fn product(&mut self) -> Result<Value, QuantityError> {
        let mut total = self.factor()?;
        loop {
            self.cursor.skip_spaces();
            let at = self.cursor.at();
            let divide = match self.cursor.peek() {
                Some('*' | '×' | '·') => false,
                Some(sign) if is_slash(sign) || sign == '÷' => true,
                _ => return Ok(total),
            };
            self.cursor.step();
            // Behind a slash a number is never mixed: 3/8-1/2 is a difference of two fractions.
            let (negative, mut factor) = self.operand(!divide)?;
            if divide && total.sort == Sort::Bare && factor.sort == Sort::Bare {
                // A quotient of plain numbers: a unit behind it belongs to the whole quotient.
                total.number = quotient(total.number, signed(negative, factor).number, at)?;
                total = self.with_unit(total, false)?;
                continue;
            }
            factor = signed(negative, self.with_unit(factor, true)?);
            total = if divide {
                let sort = match (total.sort, factor.sort) {
                    (Sort::Measured, Sort::Measured) | (Sort::Bare, Sort::Ratio) => Sort::Ratio,
                    (_, Sort::Measured) => return Err(self.does_not_combine('÷', at)),
                    (sort, _) => sort,
                };
                Value { number: quotient(total.number, factor.number, at)?, sort }
            } else {
                let sort = match (total.sort, factor.sort) {
                    (Sort::Measured, Sort::Measured) => return Err(self.does_not_combine('×', at)),
                    (Sort::Measured, _) | (_, Sort::Measured) => Sort::Measured,
                    (Sort::Bare, Sort::Bare) => Sort::Bare,
                    _ => Sort::Ratio,
                };
                Value { number: finite(total.number * factor.number, at)?, sort }
            };
        }
    }

    fn factor(&mut self) -> Result<Value, QuantityError> {
        let (negative, value) = self.operand(true)?;
        // The sign comes last, so that the thirty minutes of −45°30′ are negative too.
        Ok(signed(negative, self.with_unit(value, true)?))
    }

    /// Signs and a number or a bracket, the unit not yet read.
    fn operand(&mut self, mixed: bool) -> Result<(bool, Value), QuantityError> {
        let mut negative = false;
        loop {
            self.cursor.skip_spaces();
            match self.cursor.peek() {
                Some(sign) if is_minus(sign) => negative = !negative,
                Some('+') => {}
                _ => break,
            }
            self.cursor.step();
        }
        if self.cursor.peek() != Some('(') {
            let numeral = self.cursor.take_number(mixed)?;
            return Ok((negative, Value { number: numeral.value, sort: Sort::Bare }));
        }
        let at = self.cursor.at();
        if self.depth == MOST_DEPTH {
            return Err(QuantityError::TooDeep { at, most: MOST_DEPTH });
        }
        self.cursor.step();
        self.depth += 1;
        let value = self.sum()?;
        self.depth -= 1;
        self.cursor.skip_spaces();
        let close_at = self.cursor.at();
        match self.cursor.peek() {
            Some(')') => self.cursor.step(),
            Some(_) => return Err(QuantityError::Unexpected { text: self.cursor.offending(), at: close_at }),
            None => {
                let text = quoted_end(self.cursor.since(0).trim());
                return Err(QuantityError::Unfinished { text, at: close_at });
            }
        }
        Ok((negative, value))
    }

    /// The value with the unit behind it, if there is one; with `compound`, also inches behind feet and the like.
    fn with_unit(&mut self, value: Value, compound: bool) -> Result<Value, QuantityError> {
        let before = self.cursor;
        self.cursor.skip_spaces();
        let at = self.cursor.at();
        let Some(word) = self.take_unit_word() else {
            self.cursor = before;
            return Ok(value);
        };
        let Some(unit) = find_unit(word, self.asked) else {
            return Err(QuantityError::UnknownUnit { text: quoted(word), at, asked: self.asked });
        };
        if unit.kind != self.asked {
            let (text, asked, found) = (quoted(word), self.asked, unit.kind);
            return Err(QuantityError::WrongKind { text, at, asked, found });
        }
        if value.sort != Sort::Bare {
            return Err(QuantityError::Unexpected { text: quoted(word), at });
        }
        let mut number = finite(value.number * unit.factor, at)?;
        let mut lesser = if compound { unit.lesser } else { None };
        while let Some(factor) = lesser {
            let Some((part, below)) = self.lesser_part(factor)? else { break };
            number = finite(number + part, at)?;
            lesser = below;
        }
        Ok(Value { number, sort: Sort::Measured })
    }

    /// The inches behind feet, the minutes behind degrees: a number whose unit is exactly the lesser one. Anything else
    /// is left unread.
    fn lesser_part(&mut self, factor: f64) -> Result<Option<(f64, Option<f64>)>, QuantityError> {
        let before = self.cursor;
        self.cursor.skip_spaces();
        if let Ok(numeral) = self.cursor.take_number(true) {
            let mut number = numeral.value;
            if numeral.whole && self.cursor.peek().is_some_and(is_slash) {
                let at = self.cursor.at();
                self.cursor.step();
                match self.cursor.take_number(false) {
                    Ok(divisor) => number = quotient(number, divisor.value, at)?,
                    Err(_) => number = f64::NAN,
                }
            }
            self.cursor.skip_spaces();
            let unit = self.take_unit_word().and_then(|word| find_unit(word, self.asked));
            if let Some(unit) = unit
                && number.is_finite()
                && unit.kind == self.asked
                && (unit.factor / factor - 1.0).abs() < 1e-9
            {
                return Ok(Some((number * unit.factor, unit.lesser)));
            }
        }
        self.cursor = before;
        Ok(None)
    }

    /// The longest unit that stands here: where `m/s` is a unit it is taken whole.
    fn take_unit_word(&mut self) -> Option<&'a str> {
        let from = self.cursor.at();
        let word = self.cursor.take_word()?;
        let short = self.cursor;
        if self.cursor.take_per() {
            let long = self.cursor.since(from);
            if find_unit(long, self.asked).is_some() {
                return Some(long);
            }
            self.cursor = short;
        }
        Some(word)
    }

    fn does_not_combine(&self, operator: char, at: usize) -> QuantityError {
        QuantityError::DoesNotCombine { operator, at, asked: self.asked }
    }
}

fn signed(negative: bool, value: Value) -> Value {
    Value { number: if negative { -value.number } else { value.number }, ..value }
}

fn finite(number: f64, at: usize) -> Result<f64, QuantityError> {
    if number.is_finite() { Ok(number) } else { Err(QuantityError::NotFinite { at }) }
}

/// `at` is the place of the division sign.
fn quotient(dividend: f64, divisor: f64, at: usize) -> Result<f64, QuantityError> {
    if divisor == 0.0 {
        return Err(QuantityError::DivisionByZero { at });
    }
    finite(dividend / divisor, at)
}

#[cfg(test)]
mod tests;
