//! What the window remembers of itself: units, look, the page last looked at. Losing it costs nothing.

use bevelbench_notebook::{
    paper::sheet::{Correction, Paper},
    quantity::LengthUnit,
};
use serde::{Deserialize, Serialize};

use crate::model::appearance::Mode;

/// A page of the window.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, Serialize, Deserialize)]
pub enum Page {
    /// The side view.
    #[default]
    Side,
    /// The tip in three dimensions.
    Tip,
    /// Curves along the edge.
    Curves,
    /// Two settings side by side.
    Pair,
    /// What to set, what a tool is ground to.
    Find,
    /// Wear, other benches, second bevels, cost, safety, the log.
    Keep,
    /// Lessons.
    Lesson,
    /// The tool in hand: its steel and its dimensions.
    Tool,
    /// The rig in hand: grinder, wheels, arms, tables, holders.
    Rig,
    /// Cards, charts and gauges on paper.
    Print,
}

impl Page {
    /// Every page in the order of the tabs.
    pub const ALL: [Self; 10] = [
        Self::Side,
        Self::Tip,
        Self::Curves,
        Self::Pair,
        Self::Find,
        Self::Keep,
        Self::Lesson,
        Self::Tool,
        Self::Rig,
        Self::Print,
    ];

    /// Its name.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Side => "Side",
            Self::Tip => "Tip",
            Self::Curves => "Curves",
            Self::Pair => "Pair",
            Self::Find => "Find",
            Self::Keep => "Keep",
            Self::Lesson => "Lesson",
            Self::Tool => "Tool",
            Self::Rig => "Rig",
            Self::Print => "Print",
        }
    }
}

/// What the window remembers.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Prefs {
    /// Dark instead of light.
    pub dark: bool,
    /// The unit of lengths.
    pub unit: LengthUnit,
    /// The page last looked at.
    pub page: Page,
    /// Window size in points, if it was ever measured.
    pub window: Option<[f32; 2]>,
    /// Whether the first-start tour was seen.
    pub tour_seen: bool,
    /// The paper that is printed on.
    pub paper: Paper,
    /// By how much the printer is corrected.
    pub printer: Correction,
}

impl Default for Prefs {
    fn default() -> Self {
        Self {
            dark: false,
            unit: LengthUnit::Millimetre,
            page: Page::Side,
            window: None,
            tour_seen: false,
            paper: Paper::default(),
            printer: Correction::default(),
        }
    }
}

impl Prefs {
    /// From the text they were saved as; whatever cannot be read is forgotten.
    #[must_use]
    pub fn read(text: &str) -> Self {
        let mut prefs: Self = ron::from_str(text).unwrap_or_default();
        prefs.printer = prefs.printer.kept();
        prefs.window = prefs.window.filter(|size| size.iter().all(|side| (200.0..20_000.0).contains(side)));
        prefs
    }

    /// As text.
    #[must_use]
    pub fn write(&self) -> String {
        ron::ser::to_string_pretty(self, ron::ser::PrettyConfig::new()).unwrap_or_default()
    }

    /// Light or dark.
    #[must_use]
    pub const fn mode(&self) -> Mode {
        if self.dark { Mode::Dark } else { Mode::Light }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn prefs_survive_the_round_trip_and_odd_ones_are_forgotten() {
        let prefs = Prefs {
            dark: true,
            unit: LengthUnit::InchFraction,
            page: Page::Tip,
            window: Some([1400.0, 900.0]),
            tour_seen: true,
            paper: Paper::Letter,
            printer: Correction { across: 1.01, up: 0.995 },
        };
        assert_eq!(Prefs::read(&prefs.write()), prefs);
        assert_eq!(Prefs::read("(dark: 3"), Prefs::default());
        assert_eq!(Prefs::read("(window: Some((NaN, 3.0)))").window, None);
    }
}
