//! The named things of a picture that a lesson can point at.

use serde::{Deserialize, Serialize};

/// A named thing of the drawing that can be hovered, read out, dragged or typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
pub enum Part {
    /// The wheel's rim.
    Rim,
    /// The arm as a whole.
    Arm,
    /// The pivot in its cup: dragging moves it along the arm.
    Cup,
    /// The holder's body.
    Holder,
    /// The strut: dragging turns it about the hinge.
    Strut,
    /// The table: dragging tilts it about its hinge.
    Table,
    /// The tool: dragging slides it through the holder.
    Tool,
    /// The facet.
    Facet,
    /// The heel.
    Heel,
    /// The cutting edge.
    Edge,
    /// The gauge length.
    Gauge,
    /// The projection's dimension.
    Projection,
    /// The bevel's arc.
    Bevel,
    /// The roll line.
    RollLine,
    /// The bench.
    Bench,
    /// The handle.
    Handle,
}

impl Part {
    /// Every part, for a list to choose from.
    pub const ALL: [Self; 16] = [
        Self::Rim,
        Self::Arm,
        Self::Cup,
        Self::Holder,
        Self::Strut,
        Self::Table,
        Self::Tool,
        Self::Facet,
        Self::Heel,
        Self::Edge,
        Self::Gauge,
        Self::Projection,
        Self::Bevel,
        Self::RollLine,
        Self::Bench,
        Self::Handle,
    ];

    /// Its name.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Rim => "Rim of the wheel",
            Self::Arm => "Arm",
            Self::Cup => "Pivot in its cup",
            Self::Holder => "Holder",
            Self::Strut => "Strut",
            Self::Table => "Table",
            Self::Tool => "Tool",
            Self::Facet => "Facet",
            Self::Heel => "Heel",
            Self::Edge => "Edge",
            Self::Gauge => "Gauge length",
            Self::Projection => "Projection",
            Self::Bevel => "Bevel",
            Self::RollLine => "Roll line",
            Self::Bench => "Bench",
            Self::Handle => "Handle",
        }
    }
}
