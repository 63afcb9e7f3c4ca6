//! A further step of a setting: what it moves, and how wide it leaves the facet before it.

use std::fmt;

use bevelbench_geometry::math::Quantity;
use serde::{
    Deserialize, Deserializer, Serialize, Serializer,
    de::{DeserializeSeed, EnumAccess, Error, MapAccess, VariantAccess, Visitor},
    ser::SerializeStructVariant,
};

use crate::saved::names::{Name, file_name, further_key};

/// A further step of a setting.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FurtherStepSaved {
    /// What is moved, and to where; everything else stays as the step before left it.
    pub moved: MovedSaved,
    /// How wide the facet before it is left, in millimetres.
    pub left_width_mm: f64,
}

/// What a further step moves, and to where; in a file `Reach(reach_mm: 120.0)`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MovedSaved {
    quantity: Quantity,
    value: f64,
}

impl MovedSaved {
    /// Something moved to a value, in millimetres or degrees; `None` for what no step moves.
    #[must_use]
    pub fn to(quantity: Quantity, value: f64) -> Option<Self> {
        further_key(quantity).map(|_| Self { quantity, value })
    }

    /// What is moved.
    #[must_use]
    pub const fn quantity(self) -> Quantity {
        self.quantity
    }

    /// To where, in millimetres or degrees.
    #[must_use]
    pub const fn value(self) -> f64 {
        self.value
    }

    /// The place of that value.
    pub const fn value_mut(&mut self) -> &mut f64 {
        &mut self.value
    }

    /// The same thing moved elsewhere.
    #[must_use]
    pub const fn moved_to(self, value: f64) -> Self {
        Self { value, ..self }
    }
}

impl Serialize for MovedSaved {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let (Some(name), Some(key)) = (file_name(self.quantity), further_key(self.quantity)) else {
            return Err(serde::ser::Error::custom(format!("no further step moves the {}", self.quantity)));
        };
        let mut variant = serializer.serialize_struct_variant("Moved", self.quantity as u32, name, 1)?;
        variant.serialize_field(key, &self.value)?;
        variant.end()
    }
}

impl<'de> Deserialize<'de> for MovedSaved {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_enum("Moved", &[], Variant)
    }
}

/// Reads a variant with its value.
struct Variant;

impl<'de> Visitor<'de> for Variant {
    type Value = MovedSaved;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("what a further step moves")
    }

    fn visit_enum<A: EnumAccess<'de>>(self, access: A) -> Result<MovedSaved, A::Error> {
        let (Name(quantity), variant) = access.variant()?;
        let key = further_key(quantity)
            .ok_or_else(|| A::Error::custom(format!("no further step moves the {quantity}")))?;
        let value = variant.struct_variant(&[], Value { key })?;
        Ok(MovedSaved { quantity, value })
    }
}

/// Reads the one field of a variant.
struct Value {
    key: &'static str,
}

impl<'de> Visitor<'de> for Value {
    type Value = f64;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.key)
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<f64, A::Error> {
        let mut value = None;
        while map.next_key_seed(Field { key: self.key })?.is_some() {
            if value.is_some() {
                return Err(A::Error::duplicate_field(self.key));
            }
            value = Some(map.next_value()?);
        }
        value.ok_or_else(|| A::Error::missing_field(self.key))
    }
}

/// Reads the name of that field.
struct Field {
    key: &'static str,
}

impl<'de> DeserializeSeed<'de> for Field {
    type Value = ();

    fn deserialize<D: Deserializer<'de>>(self, deserializer: D) -> Result<(), D::Error> {
        deserializer.deserialize_identifier(self)
    }
}

impl Visitor<'_> for Field {
    type Value = ();

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.key)
    }

    fn visit_str<E: Error>(self, name: &str) -> Result<(), E> {
        if name == self.key {
            Ok(())
        } else {
            Err(E::custom(format!("there is {name} where {} is meant", self.key)))
        }
    }
}
