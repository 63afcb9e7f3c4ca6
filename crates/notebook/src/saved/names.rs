//! Quantities as bench files name them. The names are kept for as long as files are: they are not those of the code.

use std::fmt;

use bevelbench_geometry::math::Quantity;
use serde::{
    Deserialize, Deserializer, Serialize, Serializer,
    de::{EnumAccess, Error, VariantAccess, Visitor},
};

/// Each quantity, what a bench file calls it, and what it calls its value where a further step moves it, if one may.
const NAMES: [(Quantity, &str, Option<&str>); 21] = [
    (Quantity::Reach, "Reach", Some("reach_mm")),
    (Quantity::Projection, "Projection", Some("projection_mm")),
    (Quantity::StrutAngle, "StrutAngle", Some("strut_angle_deg")),
    (Quantity::TableTilt, "TableTilt", Some("tilt_deg")),
    (Quantity::ToolLength, "ToolLength", None),
    (Quantity::WheelDiameter, "WheelDiameter", None),
    (Quantity::RollCentre, "RollCentre", None),
    (Quantity::Swing, "Swing", None),
    (Quantity::TurnInHolder, "TurnInHolder", None),
    (Quantity::ArmZeroX, "ArmZeroX", None),
    (Quantity::ArmZeroZ, "ArmZeroZ", None),
    (Quantity::ArmTilt, "ArmTilt", None),
    (Quantity::HingeSetback, "HingeSetback", None),
    (Quantity::HingeDrop, "HingeDrop", None),
    (Quantity::StrutLength, "StrutLength", None),
    (Quantity::HingeX, "TableHingeX", None),
    (Quantity::HingeZ, "TableHingeZ", None),
    (Quantity::SurfaceOffset, "SurfaceOffset", None),
    (Quantity::EdgeHeight, "EdgeHeight", None),
    (Quantity::UnderEdge, "UnderEdge", None),
    (Quantity::GaugeLength, "GaugeLength", None),
];

/// What a bench file calls a quantity.
pub(super) fn file_name(quantity: Quantity) -> Option<&'static str> {
    NAMES.iter().find(|(known, ..)| *known == quantity).map(|(_, name, _)| *name)
}

/// What a bench file calls the value of a quantity that a further step moves.
pub(super) fn further_key(quantity: Quantity) -> Option<&'static str> {
    NAMES.iter().find(|(known, ..)| *known == quantity).and_then(|(.., key)| *key)
}

/// A quantity by its name: `Reach`.
struct Named(Quantity);

impl Serialize for Named {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let (place, (_, name, _)) =
            NAMES.iter().enumerate().find(|(_, (known, ..))| *known == self.0).ok_or_else(|| {
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
pub(super) struct Name(pub(super) Quantity);

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
        let known = NAMES.iter().find(|(_, known, _)| *known == name);
        known.map(|(quantity, ..)| Name(*quantity)).ok_or_else(|| {
            let names: Vec<&str> = NAMES.iter().map(|(_, name, _)| *name).collect();
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
