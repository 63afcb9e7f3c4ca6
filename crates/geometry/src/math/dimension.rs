//! Checked dimensions: what a quantity may be, and what was wrong with it.
//!
//! The parts of a bench are built from plain numbers by constructors that check each one once, here.
//! Afterwards the formulas may rely on finite, positive values.

use std::{error::Error, fmt};

use crate::math::{angle::Angle, quantity::Quantity};

/// Upper limit of every length, in millimetres: ten metres is beyond any bench, and keeps squares finite.
pub const LONGEST_MM: f64 = 10_000.0;
/// Least length that counts as one, in millimetres.
pub const SHORTEST_MM: f64 = 1e-6;

/// What a value was asked to be. Angles are in degrees, lengths in millimetres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Bound {
    /// A finite number.
    Finite,
    /// At least this.
    AtLeast(f64),
    /// At most this.
    AtMost(f64),
    /// Strictly more than this.
    MoreThan(f64),
    /// Strictly less than this.
    LessThan(f64),
}

/// A dimension that cannot be: which, how much, and what it was asked to be.
///
/// Values are in millimetres, degrees, metres a second or turns a minute, as the quantity is usually given.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DimensionError {
    /// The quantity.
    pub quantity: Quantity,
    /// The value that was refused.
    pub value: f64,
    /// What it was asked to be.
    pub bound: Bound,
}

impl fmt::Display for DimensionError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { quantity, value, bound } = self;
        write!(f, "{quantity} is {value} but must be ")?;
        match bound {
            Bound::Finite => f.write_str("a finite number"),
            Bound::AtLeast(x) => write!(f, "at least {x}"),
            Bound::AtMost(x) => write!(f, "at most {x}"),
            Bound::MoreThan(x) => write!(f, "more than {x}"),
            Bound::LessThan(x) => write!(f, "less than {x}"),
        }
    }
}

impl Error for DimensionError {}

/// A finite number.
pub(crate) fn finite(quantity: Quantity, value: f64) -> Result<f64, DimensionError> {
    if value.is_finite() { Ok(value) } else { Err(DimensionError { quantity, value, bound: Bound::Finite }) }
}

/// A number within two limits, both allowed.
pub(crate) fn within(quantity: Quantity, value: f64, least: f64, most: f64) -> Result<f64, DimensionError> {
    finite(quantity, value)?;
    if value < least {
        Err(DimensionError { quantity, value, bound: Bound::AtLeast(least) })
    } else if value > most {
        Err(DimensionError { quantity, value, bound: Bound::AtMost(most) })
    } else {
        Ok(value)
    }
}

/// A length above nothing and below [`LONGEST_MM`].
pub(crate) fn length(quantity: Quantity, value: f64) -> Result<f64, DimensionError> {
    within(quantity, value, SHORTEST_MM, LONGEST_MM)
}

/// A place on the bench: any sign, no further than [`LONGEST_MM`].
pub(crate) fn place(quantity: Quantity, value: f64) -> Result<f64, DimensionError> {
    within(quantity, value, -LONGEST_MM, LONGEST_MM)
}

/// A length that may be nothing.
pub(crate) fn length_or_none(quantity: Quantity, value: f64) -> Result<f64, DimensionError> {
    within(quantity, value, 0.0, LONGEST_MM)
}

/// An angle within two limits in degrees, both allowed.
pub(crate) fn angle(
    quantity: Quantity,
    value: Angle,
    least: f64,
    most: f64,
) -> Result<Angle, DimensionError> {
    // A tolerance for the rounding of degrees that are stored as radians.
    let degrees = value.degrees();
    within(quantity, degrees, least - 1e-9, most + 1e-9).map_err(|dimension_error| DimensionError {
        bound: match dimension_error.bound {
            Bound::AtLeast(_) => Bound::AtLeast(least),
            Bound::AtMost(_) => Bound::AtMost(most),
            other => other,
        },
        ..dimension_error
    })?;
    Ok(value)
}
