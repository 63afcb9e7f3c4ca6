//! A tool: its blank, its edge and the facets that it carries.

use serde::{Deserialize, Serialize};

use crate::saved::{id::Id, log::ToolKeep, omit::is_default, reading::ReadingSaved};

/// The family a tool belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, PartialOrd, Ord)]
pub enum Family {
    /// Roughing gouge.
    RoughingGouge,
    /// Spindle gouge.
    SpindleGouge,
    /// Bowl gouge.
    BowlGouge,
    /// Detail gouge.
    DetailGouge,
    /// Skew chisel.
    Skew,
    /// Parting tool.
    PartingTool,
    /// Beading tool.
    BeadingTool,
    /// Scraper.
    Scraper,
    /// Negative-rake scraper.
    NegativeRakeScraper,
}

impl Family {
    /// Every family.
    pub const ALL: [Self; 9] = [
        Self::RoughingGouge,
        Self::SpindleGouge,
        Self::BowlGouge,
        Self::DetailGouge,
        Self::Skew,
        Self::PartingTool,
        Self::BeadingTool,
        Self::Scraper,
        Self::NegativeRakeScraper,
    ];

    /// Its name.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::RoughingGouge => "Roughing gouge",
            Self::SpindleGouge => "Spindle gouge",
            Self::BowlGouge => "Bowl gouge",
            Self::DetailGouge => "Detail gouge",
            Self::Skew => "Skew chisel",
            Self::PartingTool => "Parting tool",
            Self::BeadingTool => "Beading tool",
            Self::Scraper => "Scraper",
            Self::NegativeRakeScraper => "Negative-rake scraper",
        }
    }
}

/// What the steel is, as far as it changes what the program says.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, Default)]
pub enum Steel {
    /// High-speed steel.
    #[default]
    HighSpeed,
    /// Powder-metallurgy high-speed steel.
    PowderHighSpeed,
    /// Carbon steel.
    Carbon,
    /// Not known.
    Unknown,
}

/// A tool.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ToolEntry {
    /// Its id.
    pub id: Id,
    /// Its name.
    pub name: String,
    /// Its family.
    pub family: Family,
    /// Its steel.
    #[serde(default)]
    pub steel: Steel,
    /// Notes.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub notes: String,
    /// The blank.
    pub blank: BlankSaved,
    /// From edge to handle end, in millimetres.
    pub overall_length_mm: f64,
    /// Blade outside the handle, in millimetres.
    pub blade_length_mm: f64,
    /// The facet it carries today, if it is known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub present_facet: Option<FacetSaved>,
    /// How it was measured, where that was said.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub readings: Vec<ReadingSaved>,
    /// Further facets behind that one, towards the heel, where it carries several.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub further_facets: Vec<FacetSaved>,
    /// Its log.
    #[serde(default, skip_serializing_if = "is_default")]
    pub keep: ToolKeep,
}

/// A blank's numbers.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub enum BlankSaved {
    /// A round bar with a flute.
    Bar(BarSaved),
    /// Flat stock.
    Flat(FlatSaved),
}

/// A gouge's bar.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BarSaved {
    /// Diameter, in millimetres.
    pub diameter_mm: f64,
    /// Height above the centreline at which the section ends, if it is not the full bar.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub top_mm: Option<f64>,
    /// The flute's floor above the centreline, in millimetres; usually negative.
    pub flute_floor_mm: f64,
    /// The flute's wall.
    pub flute: FluteSaved,
}

/// A flute's wall.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum FluteSaved {
    /// `floor + k·|w|ⁿ`.
    Power {
        /// `k`.
        k: f64,
        /// `n`.
        n: f64,
    },
    /// A V with a rounded floor.
    Vee {
        /// Wall slope, rise over run.
        slope: f64,
        /// Floor radius, in millimetres.
        floor_radius_mm: f64,
    },
    /// A circle.
    Circle {
        /// Radius, in millimetres.
        radius_mm: f64,
    },
}

/// Flat stock.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FlatSaved {
    /// Width, in millimetres.
    pub width_mm: f64,
    /// Thickness, in millimetres.
    pub thickness_mm: f64,
    /// The outline seen from the end.
    #[serde(default)]
    pub section: SectionSaved,
    /// The edge.
    pub edge: EdgeSaved,
}

/// The outline of flat stock seen from its end.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, Default)]
pub enum SectionSaved {
    /// Square corners.
    #[default]
    Rectangular,
    /// Rolled narrow sides.
    Rolled,
    /// Oval.
    Oval,
}

/// Which faces are ground.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, Default)]
#[serde(deny_unknown_fields)]
pub enum BevelsSaved {
    /// One face.
    One,
    /// Both alike.
    #[default]
    Alike,
    /// Both, each its own.
    Unlike {
        /// Bevel of the other face, square to the edge.
        other_deg: f64,
        /// The edge above the mid-plane, in millimetres.
        edge_height_mm: f64,
    },
}

/// The edge of flat stock.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum EdgeSaved {
    /// A skew.
    Skew {
        /// Angle between edge and long side.
        obliquity_deg: f64,
        /// Radius of a curved edge in plan, in millimetres.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        edge_radius_mm: Option<f64>,
        /// The ground faces.
        bevels: BevelsSaved,
    },
    /// A parting tool.
    Parting {
        /// The ground faces.
        bevels: BevelsSaved,
    },
    /// A beading tool.
    Beading {
        /// The ground faces.
        bevels: BevelsSaved,
    },
    /// A scraper.
    Scraper {
        /// Radius of a round nose, in millimetres; straight across without one.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        nose_radius_mm: Option<f64>,
    },
    /// A negative-rake scraper.
    NegativeRake {
        /// Radius of a round nose, in millimetres; straight across without one.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        nose_radius_mm: Option<f64>,
        /// Angle of the upper bevel to the upper face.
        upper_deg: f64,
        /// The edge below the upper face, in millimetres.
        drop_mm: f64,
    },
}

/// A facet as it is.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FacetSaved {
    /// Radius of its hollow, in millimetres; flat without one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hollow_radius_mm: Option<f64>,
    /// Bevel at the edge.
    pub bevel_deg: f64,
    /// Width from edge to heel, in millimetres.
    pub width_mm: f64,
}
