//! A quantity's value in a sentence, and what is said of a dimension that cannot be.

use bevelbench_geometry::math::{Bound, DimensionError, Quantity};

use crate::{
    quantity::length_text::LengthText,
    words::sentence::{Words, capital, metres_a_second, number},
};

/// What kind of number a quantity is.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Measure {
    Length,
    Degrees,
    MetresASecond,
    TurnsAMinute,
    Plain,
}

pub(super) const fn measure_of(quantity: Quantity) -> Measure {
    use Quantity as Q;
    match quantity {
        Q::FaceSlope
        | Q::ArmTilt
        | Q::StrutAngle
        | Q::StrutAngleLeast
        | Q::StrutAngleMost
        | Q::TableTilt
        | Q::TableTiltLeast
        | Q::TableTiltMost
        | Q::EdgeObliquity
        | Q::OtherBevel
        | Q::Bevel
        | Q::BevelAcross
        | Q::Swing
        | Q::TurnInHolder
        | Q::GuardOpenFrom
        | Q::GuardOpenTo => Measure::Degrees,
        Q::MarkedSpeed => Measure::MetresASecond,
        Q::SpindleSpeed => Measure::TurnsAMinute,
        Q::FluteFactor | Q::FluteExponent | Q::FluteSlope => Measure::Plain,
        _ => Measure::Length,
    }
}

/// A value of a quantity with its unit.
pub(super) fn value_text(quantity: Quantity, value: f64, length: LengthText<'_>) -> String {
    if !value.is_finite() {
        return "no number".to_owned();
    }
    match measure_of(quantity) {
        Measure::Length => length(value),
        Measure::Degrees => format!("{}°", number(value, 1)),
        Measure::MetresASecond => metres_a_second(value),
        Measure::TurnsAMinute => format!("{} turns a minute", number(value, 0)),
        Measure::Plain => number(value, 3),
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
        Bound::AtLeast(x) if measure_of(quantity) == Measure::Length && x > 0.0 && x < 1e-3 => {
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
