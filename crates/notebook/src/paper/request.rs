//! What is to be printed, of which settings, on which paper.

use crate::{
    paper::{
        gauge::GaugeSelection,
        sheet::{Correction, Paper},
    },
    quantity::length_unit::LengthUnit,
    saved::{id::Id, setting::SettingEntry},
};

/// A kind of print.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum PrintKind {
    /// Setting cards.
    #[default]
    Cards,
    /// The wall chart.
    Chart,
    /// True-size gauges.
    Gauges,
    /// The rigs' dimensions.
    BenchSheet,
    /// What to set as the wheel wears, a page a setting.
    WearTables,
    /// Lines to write on.
    LogSheet,
    /// Two settings side by side.
    Handout,
    /// Lessons, step by step.
    LessonSheet,
}

impl PrintKind {
    /// Every kind.
    pub const ALL: [Self; 8] = [
        Self::Cards,
        Self::Chart,
        Self::Gauges,
        Self::Handout,
        Self::LessonSheet,
        Self::BenchSheet,
        Self::WearTables,
        Self::LogSheet,
    ];

    /// Its name.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Cards => "Setting cards",
            Self::Chart => "Wall chart",
            Self::Gauges => "True-size gauges",
            Self::BenchSheet => "Bench sheet",
            Self::WearTables => "Setting tables",
            Self::LogSheet => "Log sheet",
            Self::Handout => "Handout of a pair",
            Self::LessonSheet => "Lesson sheet",
        }
    }
}

/// What is asked for.
#[derive(Debug, Clone, PartialEq)]
pub struct PrintRequest {
    /// The kind.
    pub what: PrintKind,
    /// The paper.
    pub paper: Paper,
    /// The printer's correction.
    pub correction: Correction,
    /// The settings, in the order in which they are printed.
    pub settings: Vec<Id>,
    /// The two settings of a handout, A and B.
    pub pair: Option<Box<[SettingEntry; 2]>>,
    /// The lessons, by their places on the bench.
    pub lessons: Vec<usize>,
    /// The gauges that are wanted.
    pub gauges: GaugeSelection,
    /// The unit of lengths.
    pub unit: LengthUnit,
    /// The date as it is written; empty leaves room to write one.
    pub date: String,
}
