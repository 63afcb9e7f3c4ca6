//! A quantity's value in a sentence, and what is said of a dimension that cannot be.

use bevelbench_geometry::math::{Bound, DimensionError, Kind, Quantity};

use crate::{
    quantity::length_text::LengthText,
    words::sentence::{Words, capital, metres_a_second, number},
};

/// A value of a quantity with its unit.
#[must_use]
pub fn value_text(quantity: Quantity, value: f64, length: LengthText<'_>) -> String {
    if !value.is_finite() {
        return "no number".to_owned();
    }
    match quantity.kind() {
        Kind::Length => length(value),
        Kind::Angle => format!("{}°", number(value, 1)),
        Kind::Speed => metres_a_second(value),
        Kind::Turns => format!("{} turns a minute", number(value, 0)),
        Kind::Plain => number(value, 3),
        Kind::Whole => number(value, 0),
    }
}

/// A dimension that cannot be.
#[must_use]
pub fn dimension_error_words(dimension_error: &DimensionError, length: LengthText<'_>) -> Words {
    let DimensionError { quantity, value, bound } = *dimension_error;
    let name = quantity.words();
    let is = value_text(quantity, value, length);
    let limit = |x: f64| value_text(quantity, x, length);
    let (must, remedy) = match bound {
        Bound::Finite => ("a number".to_owned(), format!("Put in the {name} as it was measured.")),
        // A length's least value is just above zero: say what is meant.
        Bound::AtLeast(x) if quantity.kind() == Kind::Length && x > 0.0 && x < 1e-3 => {
            ("more than nothing".to_owned(), format!("Put in the {name} as it was measured."))
        }
        Bound::AtLeast(x) => {
            (format!("at least {}", limit(x)), format!("Make the {name} {} or more.", limit(x)))
        }
        Bound::AtMost(x) => {
            (format!("at most {}", limit(x)), format!("Make the {name} {} or less.", limit(x)))
        }
        Bound::MoreThan(x) => {
            (format!("more than {}", limit(x)), format!("Make the {name} more than {}.", limit(x)))
        }
        Bound::LessThan(x) => {
            (format!("less than {}", limit(x)), format!("Make the {name} less than {}.", limit(x)))
        }
    };
    Words::new(format!("{} is {is}, but it must be {must}.", capital(name)), remedy)
}
