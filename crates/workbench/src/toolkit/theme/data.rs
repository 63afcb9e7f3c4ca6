//! The theme file: its form and its reading.

use std::collections::BTreeMap;

use bevelbench_notebook::drawing::Role;
use serde::Deserialize;

use super::{Sizes, colour::Hex};

/// The theme file that is built in.
pub(super) const BUILT_IN: &str = include_str!("../../../../../assets/theme.ron");

/// The whole file.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct File {
    pub(super) sizes: Sizes,
    pub(super) big: Sizes,
    pub(super) light: Inks,
    pub(super) dark: Inks,
}

/// Light or dark.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Inks {
    pub(super) panel: Hex,
    pub(super) canvas: Hex,
    pub(super) field: Hex,
    pub(super) selected: Hex,
    pub(super) hover: Hex,
    pub(super) raised: Hex,
    pub(super) strong: Hex,
    pub(super) weak: Hex,
    pub(super) link: Hex,
    pub(super) good: Hex,
    pub(super) caution: Hex,
    pub(super) bad: Hex,
    pub(super) on_accent: Hex,
    pub(super) hairline: Hex,
    pub(super) frame: Hex,
    pub(super) grid: Hex,
    pub(super) rail: Hex,
    pub(super) accent: Hex,
    pub(super) accent_soft: Hex,
    pub(super) positive: Hex,
    pub(super) negative: Hex,
    pub(super) neutral: Hex,
    pub(super) focus: Hex,
    pub(super) shadow: Hex,
    pub(super) scrim: Hex,
    pub(super) pill: Hex,
    pub(super) disabled: f32,
    pub(super) roles: BTreeMap<RoleName, RoleInk>,
    pub(super) tip: TipInks,
    pub(super) attempt: Hex,
    pub(super) second: Hex,
}

/// The inks of the tip in three dimensions.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct TipInks {
    pub(super) flute: MetalInk,
    pub(super) outside: MetalInk,
    pub(super) ground: MetalInk,
    pub(super) sawn: MetalInk,
    pub(super) wheel: MetalInk,
    pub(super) edge: Hex,
    pub(super) casing: Hex,
    pub(super) mark: Hex,
    pub(super) ramp: [Hex; 7],
    pub(super) gap: [Hex; 7],
}

/// A shaded body as written.
#[derive(Debug, Clone, Copy, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct MetalInk {
    pub(super) shade: Hex,
    pub(super) base: Hex,
    pub(super) light: Hex,
}

/// The ink of a role as written.
#[derive(Debug, Clone, Copy, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct RoleInk {
    #[serde(default)]
    pub(super) fill: Option<Hex>,
    #[serde(default)]
    pub(super) shade: Option<Hex>,
    pub(super) stroke: Hex,
    pub(super) width: f32,
    #[serde(default)]
    pub(super) dash: Option<(f32, f32)>,
    #[serde(default)]
    pub(super) hatch: Option<Hex>,
    #[serde(default)]
    pub(super) grain: Option<Hex>,
}

/// A role by its name in the code (`Wheel`), so that the file and the code cannot drift apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct RoleName(pub(super) Role);

impl<'de> Deserialize<'de> for RoleName {
    fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Name;
        impl serde::de::Visitor<'_> for Name {
            type Value = RoleName;
            fn expecting(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.write_str("the name of a role")
            }
            fn visit_str<E: serde::de::Error>(self, text: &str) -> Result<RoleName, E> {
                let found = Role::ALL.into_iter().find(|role| format!("{role:?}") == text);
                found.map(RoleName).ok_or_else(|| E::custom(format!("no role is called {text:?}")))
            }
        }
        deserializer.deserialize_identifier(Name)
    }
}

/// Reads a theme file.
///
/// # Errors
/// The reader's own sentence, with line and column, when the text is not a theme.
pub(super) fn read(text: &str) -> Result<File, String> {
    ron::Options::default()
        .with_default_extension(ron::extensions::Extensions::IMPLICIT_SOME)
        .from_str(text)
        .map_err(|e| e.to_string())
}
