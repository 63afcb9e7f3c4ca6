//! Values as they are typed: lengths and angles by the notebook's own reader, words by a table.

use std::{ffi::OsStr, sync::LazyLock};

use bevelbench_geometry::math::Quantity;
use bevelbench_notebook::{
    quantity::{LengthUnit, parse_angle, parse_length},
    saved::table::{self, Row, TABLE},
};
use clap::{
    Arg, Command, Error,
    builder::{PossibleValue, PossibleValuesParser, TypedValueParser},
    error::ErrorKind,
};

/// A length in millimetres, unless another unit is written.
pub(super) fn millimetres_of(text: &str) -> Result<f64, String> {
    parse_length(text, LengthUnit::Millimetre).map_err(|error| error.to_string())
}

/// An angle in degrees, unless another unit is written.
pub(super) fn degrees_of(text: &str) -> Result<f64, String> {
    parse_angle(text).map_err(|error| error.to_string())
}

/// What finding may move, by its word.
pub(super) static FOUND_WORDS: LazyLock<Vec<(&'static str, Quantity)>> =
    LazyLock::new(|| words_of(|row| row.found.is_some()));
/// What trial grinds may fit, by its word.
pub(super) static FITTED_WORDS: LazyLock<Vec<(&'static str, Quantity)>> =
    LazyLock::new(|| words_of(|row| row.fitted));

fn words_of(is: fn(&Row) -> bool) -> Vec<(&'static str, Quantity)> {
    TABLE.iter().filter(|row| is(row)).map(|row| (row.word, row.quantity)).collect()
}

/// Its key in JSON, with the unit.
pub(super) fn key(quantity: Quantity) -> &'static str {
    table::row(quantity).map_or("", |row| row.key)
}

/// One of a table of words, with what it stands for.
#[derive(Debug, Clone, Copy)]
pub(super) struct OneOf<T: 'static>(pub(super) &'static [(&'static str, T)]);

impl<T> OneOf<T> {
    fn words(&self) -> impl Iterator<Item = &'static str> + use<T> {
        self.0.iter().map(|(word, _)| *word)
    }
}

impl<T: Clone + Send + Sync + 'static> TypedValueParser for OneOf<T> {
    type Value = T;

    fn parse_ref(&self, command: &Command, arg: Option<&Arg>, value: &OsStr) -> Result<T, Error> {
        let typed = value.to_str().map_or(value, |text| OsStr::new(text.trim()));
        let word = PossibleValuesParser::new(self.words()).parse_ref(command, arg, typed)?;
        let known = self.0.iter().find(|(known, _)| *known == word);
        known
            .map(|(_, meant)| meant.clone())
            .ok_or_else(|| Error::new(ErrorKind::InvalidValue).with_cmd(command))
    }

    fn possible_values(&self) -> Option<Box<dyn Iterator<Item = PossibleValue> + '_>> {
        Some(Box::new(self.words().map(PossibleValue::new)))
    }
}
