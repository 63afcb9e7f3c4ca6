//! Lessons: short ordered lists of steps that are built and replayed inside the program and kept in the bench file.
//!
//! A step carries its own copy of its setting, so that a lesson shows tomorrow what it showed when it was made, whatever
//! becomes of the setting on the rack. Wheels and tools stay those of the bench.

use serde::{Deserialize, Serialize};

use crate::saved::{part::Part, setting::SettingEntry};

/// A lesson.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, Default)]
#[serde(deny_unknown_fields)]
pub struct Lesson {
    /// What it is about.
    pub title: String,
    /// Its steps in order.
    #[serde(default)]
    pub steps: Vec<LessonStep>,
}

/// How a step is looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, Default)]
pub enum LessonView {
    /// The bench from the side; the second setting, if there is one, laid over the first and dashed.
    #[default]
    Side,
    /// The edge on the wheel, many times enlarged, with the ink.
    Edge,
}

impl LessonView {
    /// Every way to look.
    pub const ALL: [Self; 2] = [Self::Side, Self::Edge];

    /// Its name.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Side => "The bench from the side",
            Self::Edge => "The edge, enlarged",
        }
    }
}

/// A step of a lesson.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LessonStep {
    /// What is said.
    pub caption: String,
    /// How it is looked at.
    #[serde(default)]
    pub view: LessonView,
    /// What is highlighted.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub highlight: Option<Part>,
    /// The setting.
    pub setting: SettingEntry,
    /// The wheel's diameter in this step, in millimetres; today's without one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub wheel_diameter_mm: Option<f64>,
    /// A setting to compare it with.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub beside: Option<SettingEntry>,
    /// The wheel's diameter for the setting it is compared with, in millimetres; today's without one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub beside_wheel_diameter_mm: Option<f64>,
}
