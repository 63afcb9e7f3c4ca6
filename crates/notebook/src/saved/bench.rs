//! The bench as a whole: everything one workshop keeps.

use serde::{Deserialize, Serialize};

use crate::saved::{
    id::{Id, LastId},
    lesson::Lesson,
    log::BenchKeep,
    omit::is_default,
    rig::Rig,
    setting::{SettingEntry, SupportSaved},
    tool::ToolEntry,
    trial::TrialSaved,
};

/// A bench file of any version.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub enum BenchFile {
    /// The first version.
    V1(Bench),
}

/// Everything one workshop keeps.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, Default)]
#[serde(deny_unknown_fields)]
pub struct Bench {
    /// What the bench is called.
    pub title: String,
    /// Notes.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub notes: String,
    /// Grinders with their wheels and supports.
    #[serde(default)]
    pub rigs: Vec<Rig>,
    /// Tools.
    #[serde(default)]
    pub tools: Vec<ToolEntry>,
    /// Settings: each of a tool on a rig and a wheel of it.
    #[serde(default)]
    pub settings: Vec<SettingEntry>,
    /// The largest id that was ever given here, so that none is given twice, also when its part is gone. Files from
    /// before it was kept have none: reading one takes the largest that stands anywhere in it.
    #[serde(default, skip_serializing_if = "LastId::is_none")]
    pub last_id: LastId,
    /// The current setting: a working copy of the one whose id it has, with whatever was moved since and not
    /// yet saved to the tool.
    #[serde(rename = "in_hand", default, skip_serializing_if = "Option::is_none")]
    pub current: Option<SettingEntry>,
    /// The setting that is laid beside the current one: a working copy too, or a variant that is not saved at all.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub beside: Option<SettingEntry>,
    /// Lessons.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub lessons: Vec<Lesson>,
    /// What the turner keeps to.
    #[serde(default, skip_serializing_if = "is_default")]
    pub keep: BenchKeep,
    /// Trial grinds, for fitting rigs.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub trials: Vec<TrialSaved>,
}

impl Bench {
    /// The rig of an id.
    #[must_use]
    pub fn rig(&self, id: Id) -> Option<&Rig> {
        self.rigs.iter().find(|rig| rig.id == id)
    }

    /// The tool of an id.
    #[must_use]
    pub fn tool(&self, id: Id) -> Option<&ToolEntry> {
        self.tools.iter().find(|tool| tool.id == id)
    }

    /// The setting of an id.
    #[must_use]
    pub fn setting(&self, id: Id) -> Option<&SettingEntry> {
        self.settings.iter().find(|setting| setting.id == id)
    }

    /// The first setting of a name.
    #[must_use]
    pub fn setting_named(&self, name: &str) -> Option<&SettingEntry> {
        self.settings.iter().find(|setting| setting.name == name)
    }

    /// The settings of a tool, in their order on the rack.
    pub fn settings_of(&self, tool: Id) -> impl Iterator<Item = &SettingEntry> {
        self.settings.iter().filter(move |setting| setting.tool == tool)
    }

    /// Where a setting stands: rig, wheel and holder by name.
    #[must_use]
    pub fn place_words(&self, entry: &SettingEntry) -> String {
        let rig = self.rig(entry.rig);
        let wheel = rig.and_then(|rig| rig.wheel(entry.wheel));
        let holder = match entry.support {
            SupportSaved::Holder { holder, .. } => rig.and_then(|rig| rig.holder(holder)),
            _ => None,
        };
        let parts = [
            rig.map(|rig| rig.name.as_str()),
            wheel.map(|wheel| wheel.name.as_str()),
            holder.map(|holder| holder.name.as_str()),
        ];
        parts.into_iter().flatten().collect::<Vec<_>>().join(" · ")
    }
}
