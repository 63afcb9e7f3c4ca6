//! Whether every number of something that is saved is one, whatever its fields are called.

use std::fmt;

use serde::ser::{self, Serialize};

/// Whether all floating-point numbers in a value are finite.
pub(crate) fn all_finite<T: Serialize + ?Sized>(value: &T) -> bool {
    value.serialize(Walk).is_ok()
}

/// Goes through a value as a serialiser does, and writes nothing.
#[derive(Debug, Clone, Copy)]
struct Walk;

#[derive(Debug)]
struct NotFinite;

impl fmt::Display for NotFinite {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a value that is no number")
    }
}

impl std::error::Error for NotFinite {}

impl ser::Error for NotFinite {
    fn custom<T: fmt::Display>(_: T) -> Self {
        Self
    }
}

type Walked = Result<(), NotFinite>;

macro_rules! without_numbers_in_it {
    ($($name:ident: $kind:ty),* $(,)?) => {
        $(fn $name(self, _: $kind) -> Walked { Ok(()) })*
    };
}

macro_rules! compound {
    ($kind:ident, $name:ident $(, $key:ident)?) => {
        impl ser::$kind for Walk {
            type Ok = ();
            type Error = NotFinite;

            fn $name<T: Serialize + ?Sized>(&mut self, $($key: &'static str,)? value: &T) -> Walked {
                $(let _ = $key;)?
                value.serialize(Walk)
            }

            fn end(self) -> Walked {
                Ok(())
            }
        }
    };
}

compound!(SerializeSeq, serialize_element);
compound!(SerializeTuple, serialize_element);
compound!(SerializeTupleStruct, serialize_field);
compound!(SerializeTupleVariant, serialize_field);
compound!(SerializeStruct, serialize_field, key);
compound!(SerializeStructVariant, serialize_field, key);

impl ser::SerializeMap for Walk {
    type Ok = ();
    type Error = NotFinite;

    fn serialize_key<T: Serialize + ?Sized>(&mut self, key: &T) -> Walked {
        key.serialize(Walk)
    }

    fn serialize_value<T: Serialize + ?Sized>(&mut self, value: &T) -> Walked {
        value.serialize(Walk)
    }

    fn end(self) -> Walked {
        Ok(())
    }
}

impl ser::Serializer for Walk {
    type Ok = ();
    type Error = NotFinite;
    type SerializeSeq = Self;
    type SerializeTuple = Self;
    type SerializeTupleStruct = Self;
    type SerializeTupleVariant = Self;
    type SerializeMap = Self;
    type SerializeStruct = Self;
    type SerializeStructVariant = Self;

    without_numbers_in_it! {
        serialize_bool: bool, serialize_i8: i8, serialize_i16: i16, serialize_i32: i32, serialize_i64: i64,
        serialize_u8: u8, serialize_u16: u16, serialize_u32: u32, serialize_u64: u64, serialize_char: char,
        serialize_str: &str, serialize_bytes: &[u8], serialize_unit_struct: &'static str,
    }

    fn serialize_f32(self, value: f32) -> Walked {
        if value.is_finite() { Ok(()) } else { Err(NotFinite) }
    }

    fn serialize_f64(self, value: f64) -> Walked {
        if value.is_finite() { Ok(()) } else { Err(NotFinite) }
    }

    fn serialize_none(self) -> Walked {
        Ok(())
    }

    fn serialize_unit(self) -> Walked {
        Ok(())
    }

    fn serialize_unit_variant(self, _: &'static str, _: u32, _: &'static str) -> Walked {
        Ok(())
    }

    fn serialize_some<T: Serialize + ?Sized>(self, value: &T) -> Walked {
        value.serialize(self)
    }

    fn serialize_newtype_struct<T: Serialize + ?Sized>(self, _: &'static str, value: &T) -> Walked {
        value.serialize(self)
    }

    fn serialize_newtype_variant<T: Serialize + ?Sized>(
        self,
        _: &'static str,
        _: u32,
        _: &'static str,
        value: &T,
    ) -> Walked {
        value.serialize(self)
    }

    fn serialize_seq(self, _: Option<usize>) -> Result<Self, NotFinite> {
        Ok(self)
    }

    fn serialize_tuple(self, _: usize) -> Result<Self, NotFinite> {
        Ok(self)
    }

    fn serialize_tuple_struct(self, _: &'static str, _: usize) -> Result<Self, NotFinite> {
        Ok(self)
    }

    fn serialize_tuple_variant(
        self,
        _: &'static str,
        _: u32,
        _: &'static str,
        _: usize,
    ) -> Result<Self, NotFinite> {
        Ok(self)
    }

    fn serialize_map(self, _: Option<usize>) -> Result<Self, NotFinite> {
        Ok(self)
    }

    fn serialize_struct(self, _: &'static str, _: usize) -> Result<Self, NotFinite> {
        Ok(self)
    }

    fn serialize_struct_variant(
        self,
        _: &'static str,
        _: u32,
        _: &'static str,
        _: usize,
    ) -> Result<Self, NotFinite> {
        Ok(self)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[derive(serde::Serialize)]
    enum Word {
        NaN,
        Inf { infeed_mm: Option<f64> },
        Both(f64, [f32; 1]),
    }

    #[test]
    fn numbers_are_looked_at_and_names_are_not() {
        for (good, bad) in [(0.0, f64::NAN), (-1e300, f64::INFINITY), (3.0, f64::NEG_INFINITY)] {
            for (number, fine) in [(good, true), (bad, false)] {
                let inside = Word::Inf { infeed_mm: Some(number) };
                assert_eq!(all_finite(&[Word::NaN, inside]), fine);
                assert_eq!(all_finite(&Word::Both(number, [1.0])), fine);
                assert_eq!(all_finite(&std::collections::BTreeMap::from([("inf", (1_u8, number))])), fine);
            }
        }
        assert!(!all_finite(&Word::Both(1.0, [f32::INFINITY])));
        assert!(all_finite(&Word::Inf { infeed_mm: None }));
    }
}
