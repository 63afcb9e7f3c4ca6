//! Quantities as bench files name them. The names are kept for as long as files are: they are not those of the code.

use std::fmt;

use bevelbench_geometry::math::Quantity;
use serde::{
    Deserialize, Deserializer, Serialize, Serializer,
    de::{EnumAccess, Error, VariantAccess, Visitor},
};

/// Every quantity that a bench file names, in the order of [`Quantity`].
const NAMES: [(Quantity, &str); 18] = [
    (Quantity::Reach, "Reach"),
    (Quantity::Projection, "Projection"),
    (Quantity::StrutAngle, "StrutAngle"),
    (Quantity::TableTilt, "TableTilt"),
    (Quantity::ToolLength, "ToolLength"),
    (Quantity::WheelDiameter, "WheelDiameter"),
    (Quantity::RollCentre, "RollCentre"),
    (Quantity::ArmZeroX, "ArmZeroX"),
    (Quantity::ArmZeroZ, "ArmZeroZ"),
    (Quantity::ArmTilt, "ArmTilt"),
    (Quantity::HingeSetback, "HingeSetback"),
    (Quantity::HingeDrop, "HingeDrop"),
    (Quantity::StrutLength, "StrutLength"),
    (Quantity::HingeX, "TableHingeX"),
    (Quantity::HingeZ, "TableHingeZ"),
    (Quantity::SurfaceOffset, "SurfaceOffset"),
    (Quantity::EdgeHeight, "EdgeHeight"),
    (Quantity::UnderEdge, "UnderEdge"),
];

/// A quantity by its name: `Reach`.
struct Named(Quantity);

impl Serialize for Named {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let (place, name) = NAMES
            .iter()
            .enumerate()
            .find_map(|(place, (known, name))| (*known == self.0).then_some((place, *name)))
            .ok_or_else(|| {
                serde::ser::Error::custom(format!("a bench file has no name for the {}", self.0))
            })?;
        serializer.serialize_unit_variant("Quantity", place as u32, name)
    }
}

impl<'de> Deserialize<'de> for Named {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_enum("Quantity", &[], Variant)
    }
}

/// Reads a variant without a value.
struct Variant;

impl<'de> Visitor<'de> for Variant {
    type Value = Named;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("the name of a quantity")
    }

    fn visit_enum<A: EnumAccess<'de>>(self, access: A) -> Result<Named, A::Error> {
        let (Name(quantity), variant) = access.variant()?;
        variant.unit_variant()?;
        Ok(Named(quantity))
    }
}

/// The name of a variant.
struct Name(Quantity);

impl<'de> Deserialize<'de> for Name {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_identifier(Identifier)
    }
}

/// Reads the name of a variant.
struct Identifier;

impl Visitor<'_> for Identifier {
    type Value = Name;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("the name of a quantity")
    }

    fn visit_str<E: Error>(self, name: &str) -> Result<Name, E> {
        let known = NAMES.iter().find(|(_, known)| *known == name);
        known.map(|(quantity, _)| Name(*quantity)).ok_or_else(|| {
            let names: Vec<&str> = NAMES.iter().map(|(_, name)| *name).collect();
            E::custom(format!("there is no quantity {name}, but {}", names.join(", ")))
        })
    }
}

/// One quantity, for `#[serde(with = …)]`.
pub(super) mod one {
    use super::{Deserialize, Deserializer, Named, Quantity, Serialize, Serializer};

    #[allow(clippy::trivially_copy_pass_by_ref, reason = "serde hands fields over by reference")]
    pub(crate) fn serialize<S: Serializer>(one: &Quantity, serializer: S) -> Result<S::Ok, S::Error> {
        Named(*one).serialize(serializer)
    }

    pub(crate) fn deserialize<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Quantity, D::Error> {
        Named::deserialize(deserializer).map(|named| named.0)
    }
}

/// A list that may be missing, for `#[serde(with = …)]`.
pub(super) mod list {
    use super::{Deserialize, Deserializer, Named, Quantity, Serialize, Serializer};

    #[allow(clippy::ref_option, reason = "serde hands fields over by reference")]
    pub(crate) fn serialize<S: Serializer>(
        list: &Option<Vec<Quantity>>,
        serializer: S,
    ) -> Result<S::Ok, S::Error> {
        let named: Option<Vec<Named>> = list.as_ref().map(|list| list.iter().copied().map(Named).collect());
        named.serialize(serializer)
    }

    pub(crate) fn deserialize<'de, D: Deserializer<'de>>(
        deserializer: D,
    ) -> Result<Option<Vec<Quantity>>, D::Error> {
        let named = Option::<Vec<Named>>::deserialize(deserializer)?;
        Ok(named.map(|list| list.into_iter().map(|named| named.0).collect()))
    }
}
