//! The reader of sums: recursive descent over the parts of a text, evaluating as it goes.
//!
//! ```text
//! sum     = product { (+|−) product }
//! product = factor [unit] { (×|÷) factor [unit] }
//! factor  = { +|− } ( "(" sum ")" | numeral [unit numeral finer-unit …] )
//! numeral = number | vulgar | whole vulgar | whole whole "/" whole | whole "-" fraction (before an inch mark)
//! ```

use super::misread::{ExpectedKind, QuantityError, quoted};
use super::token::{Part, Token, tokens};
use super::unit::{Size, Unit, unit};
use crate::quantity::bounds::{DEEPEST_NESTING, LONGEST_TEXT};

/// What a value counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Counts {
    /// Nothing said: a factor, or a quantity in the unit in use.
    Bare,
    /// A quantity, in millimetres or degrees.
    Measured,
    /// One quantity over another: a factor and nothing else.
    Ratio,
}

/// A value on the way to the outcome.
#[derive(Debug, Clone, Copy)]
struct Value {
    amount: f64,
    counts: Counts,
}

/// Reads a text as a quantity; a bare outcome is taken in units of `bare_size`.
pub(super) fn read(text: &str, wanted: ExpectedKind, bare_size: Size) -> Result<f64, QuantityError> {
    if text.chars().nth(LONGEST_TEXT).is_some() {
        return Err(QuantityError::TooLong);
    }
    let text = text.trim();
    let text = text.strip_prefix(['≈', '~']).unwrap_or(text);
    let tokens = tokens(text)?;
    if tokens.is_empty() {
        return Err(QuantityError::Empty { wanted });
    }
    let mut reader = Reader { text, tokens: &tokens, at: 0, depth: 0, wanted, bare_size };
    let value = reader.sum()?;
    match reader.peek() {
        None => {}
        Some(token) => return Err(out_of_place(token)),
    }
    let amount = match value.counts {
        Counts::Measured => value.amount,
        Counts::Bare => finite(bare_size.times(value.amount))?,
        Counts::Ratio => return Err(QuantityError::WrongOutcome { wanted }),
    };
    // Adding zero takes the sign off a zero.
    Ok(amount + 0.0)
}

const fn finite(amount: f64) -> Result<f64, QuantityError> {
    if amount.is_finite() { Ok(amount) } else { Err(QuantityError::NotFinite) }
}

/// Why reading stopped before this token.
fn out_of_place(token: &Token<'_>) -> QuantityError {
    let text = quoted(token.text);
    match token.part {
        Part::Number { .. } | Part::Vulgar(_) | Part::Open => QuantityError::SideBySide { text },
        _ => QuantityError::Stray { text },
    }
}

struct Reader<'t> {
    text: &'t str,
    tokens: &'t [Token<'t>],
    at: usize,
    depth: usize,
    wanted: ExpectedKind,
    bare_size: Size,
}

impl<'t> Reader<'t> {
    fn peek(&self) -> Option<&'t Token<'t>> {
        self.tokens.get(self.at)
    }

    fn peek_part(&self, ahead: usize) -> Option<Part> {
        self.tokens.get(self.at + ahead).map(|token| token.part)
    }

    fn unfinished(&self) -> QuantityError {
        // The end of the text tells best where it stops.
        let skip = self.text.chars().count().saturating_sub(16);
        QuantityError::Unfinished { text: quoted(&self.text.chars().skip(skip).collect::<String>()) }
    }

    fn sum(&mut self) -> Result<Value, QuantityError> {
        let mut sum = self.product()?;
        loop {
            let sign = match self.peek_part(0) {
                Some(Part::Plus) => 1.0,
                Some(Part::Minus { .. }) => -1.0,
                _ => return Ok(sum),
            };
            self.at += 1;
            let next = self.product()?;
            sum = self.added(sum, Value { amount: sign * next.amount, ..next })?;
        }
    }

    fn product(&mut self) -> Result<Value, QuantityError> {
        let first = self.factor()?;
        let mut product = self.with_unit(first)?;
        loop {
            let over = match self.peek_part(0) {
                Some(Part::Times) => false,
                Some(Part::Over) => true,
                _ => return Ok(product),
            };
            self.at += 1;
            let factor = self.factor()?;
            // A unit goes with the whole of a product that is bare so far: 3/8 in is three eighths of an inch.
            product = if product.counts == Counts::Bare {
                let whole = self.multiplied(product, factor, over)?;
                self.with_unit(whole)?
            } else {
                let measured = self.with_unit(factor)?;
                self.multiplied(product, measured, over)?
            };
        }
    }

    fn factor(&mut self) -> Result<Value, QuantityError> {
        let mut sign = 1.0;
        loop {
            match self.peek_part(0) {
                Some(Part::Plus) => {}
                Some(Part::Minus { .. }) => sign = -sign,
                _ => break,
            }
            self.at += 1;
        }
        let value = self.unsigned()?;
        Ok(Value { amount: sign * value.amount, ..value })
    }

    fn unsigned(&mut self) -> Result<Value, QuantityError> {
        let Some(token) = self.peek() else { return Err(self.unfinished()) };
        match token.part {
            Part::Open => self.bracket(),
            Part::Number { .. } | Part::Vulgar(_) => {
                let amount = self.numeral()?;
                match self.compound(amount)? {
                    Some(amount) => Ok(Value { amount: finite(amount)?, counts: Counts::Measured }),
                    None => Ok(Value { amount, counts: Counts::Bare }),
                }
            }
            Part::Word => Err(QuantityError::NotANumber { text: quoted(token.text) }),
            _ => Err(QuantityError::Stray { text: quoted(token.text) }),
        }
    }

    fn bracket(&mut self) -> Result<Value, QuantityError> {
        if self.depth == DEEPEST_NESTING {
            return Err(QuantityError::TooDeep);
        }
        self.depth += 1;
        self.at += 1;
        let value = self.sum()?;
        match self.peek() {
            Some(token) if token.part == Part::Close => self.at += 1,
            Some(token) => return Err(out_of_place(token)),
            None => return Err(self.unfinished()),
        }
        self.depth -= 1;
        Ok(value)
    }

    /// A number, a fraction character or a mixed number; the caller has seen that one begins here.
    fn numeral(&mut self) -> Result<f64, QuantityError> {
        let (value, whole) = match self.peek_part(0) {
            Some(Part::Number { value, whole }) => (value, whole),
            Some(Part::Vulgar(value)) => (value, false),
            _ => return Err(self.unfinished()),
        };
        // Under a slash nothing is mixed: 3/8-1/8 is a difference of two fractions.
        let before = self.at.checked_sub(1).and_then(|at| self.tokens.get(at));
        let alone = !whole || before.is_some_and(|token| token.part == Part::Over);
        let joined = if alone { None } else { self.hyphened(value) };
        self.at += 1;
        if alone {
            return Ok(value);
        }
        if let Some((fraction, length)) = joined {
            self.at += length;
            return Ok(value + fraction);
        }
        match self.fraction(0) {
            Some((_, 0.0, _)) => Err(QuantityError::DivisionByZero),
            Some((over, under, length)) if over < under => {
                self.at += length;
                finite(value + over / under)
            }
            // 85 60/2 lacks a sign rather than being a mixed number; the second number is refused in its turn.
            _ => Ok(value),
        }
    }

    /// A fraction of whole numbers, or in one character, that begins so many tokens ahead: what is over and
    /// under the line, and how many tokens it takes.
    fn fraction(&self, ahead: usize) -> Option<(f64, f64, usize)> {
        let whole = |ahead| match self.peek_part(ahead) {
            Some(Part::Number { value, whole: true }) => Some(value),
            _ => None,
        };
        if let Some(Part::Vulgar(value)) = self.peek_part(ahead) {
            return Some((value, 1.0, 1));
        }
        let over = whole(ahead)?;
        if self.peek_part(ahead + 1) != Some(Part::Over) {
            return None;
        }
        Some((over, whole(ahead + 2)?, 3))
    }

    /// The fraction of `1-1/2"` behind the current whole number, with the tokens that it and its hyphen take:
    /// only where nothing but a mixed number of inches can be meant.
    fn hyphened(&self, value: f64) -> Option<(f64, usize)> {
        if self.wanted != ExpectedKind::Length || value < 1.0 {
            return None;
        }
        if self.peek_part(1) != Some(Part::Minus { hyphen: true }) {
            return None;
        }
        let (over, under, length) = self.fraction(2)?;
        let written = self.tokens.get(self.at..=self.at + length + 2)?;
        let mark = written.last()?;
        let tight = written.windows(2).all(|pair| pair[0].touches(&pair[1]));
        (tight && mark.part == Part::DoubleMark && over < under).then_some((over / under, length + 1))
    }

    /// `45°30′`, `1 ft 6 in` and `1'-6"`: the sum, if the current number is the first of such a row.
    fn compound(&mut self, first: f64) -> Result<Option<f64>, QuantityError> {
        let Some(mut coarse) = self.unit_here()? else { return Ok(None) };
        let mut total = coarse.size.times(first);
        let mut found = false;
        loop {
            let skip = 1 + usize::from(self.joins_feet());
            if !matches!(self.peek_part(skip), Some(Part::Number { .. } | Part::Vulgar(_))) {
                break;
            }
            let back = self.at;
            self.at += skip;
            let amount = self.numeral()?;
            match self.unit_here()? {
                Some(fine) if coarse.leads(fine) => {
                    total += fine.size.times(amount);
                    coarse = fine;
                    found = true;
                }
                _ => {
                    self.at = back;
                    break;
                }
            }
        }
        if found {
            // The last unit of the row is still in front.
            self.at += 1;
        }
        Ok(found.then_some(total))
    }

    /// Whether the foot mark in front and the hyphen behind it join feet to inches, as in `1'-6"`.
    fn joins_feet(&self) -> bool {
        let Some([mark, hyphen, next]) = self.tokens.get(self.at..self.at + 3) else { return false };
        self.wanted == ExpectedKind::Length
            && mark.part == Part::SingleMark
            && hyphen.part == Part::Minus { hyphen: true }
            && mark.touches(hyphen)
            && hyphen.touches(next)
    }

    /// The unit in front, left where it is.
    fn unit_here(&self) -> Result<Option<Unit>, QuantityError> {
        self.peek().and_then(|token| unit(token, self.wanted)).transpose()
    }

    /// A bare value with the unit that follows it, if one does.
    fn with_unit(&mut self, value: Value) -> Result<Value, QuantityError> {
        if value.counts != Counts::Bare {
            return Ok(value);
        }
        let Some(unit) = self.unit_here()? else { return Ok(value) };
        self.at += 1;
        Ok(Value { amount: finite(unit.size.times(value.amount))?, counts: Counts::Measured })
    }

    fn added(&self, a: Value, b: Value) -> Result<Value, QuantityError> {
        use Counts::{Bare, Measured, Ratio};
        let (a_amount, b_amount, counts) = match (a.counts, b.counts) {
            (Bare, Bare) => (a.amount, b.amount, Bare),
            (Measured, Measured) => (a.amount, b.amount, Measured),
            (Bare, Measured) => (self.bare_size.times(a.amount), b.amount, Measured),
            (Measured, Bare) => (a.amount, self.bare_size.times(b.amount), Measured),
            (Ratio, Ratio | Bare) | (Bare, Ratio) => (a.amount, b.amount, Ratio),
            (Measured, Ratio) | (Ratio, Measured) => return Err(self.wrong_outcome()),
        };
        Ok(Value { amount: finite(a_amount + b_amount)?, counts })
    }

    fn multiplied(&self, a: Value, b: Value, over: bool) -> Result<Value, QuantityError> {
        use Counts::{Bare, Measured, Ratio};
        let counts = match (a.counts, b.counts, over) {
            (Bare, Bare | Ratio, _) | (Ratio, Bare, _) => Bare,
            (Ratio, Ratio, _) | (Measured, Measured, true) => Ratio,
            (Measured, Bare | Ratio, _) | (Bare | Ratio, Measured, false) => Measured,
            (Bare | Ratio, Measured, true) | (Measured, Measured, false) => return Err(self.wrong_outcome()),
        };
        if over && b.amount == 0.0 {
            return Err(QuantityError::DivisionByZero);
        }
        let amount = if over { a.amount / b.amount } else { a.amount * b.amount };
        Ok(Value { amount: finite(amount)?, counts })
    }

    const fn wrong_outcome(&self) -> QuantityError {
        QuantityError::WrongOutcome { wanted: self.wanted }
    }
}
