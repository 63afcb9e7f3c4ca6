//! How a side view is written on: lengths as its reader writes them, facets, dimensions or none.

use bevelbench_geometry::{DVec2, facet::Relief, math::Angle, side::SideView};

use crate::drawing::outline::{facet_points, relief_points};

/// How a side view is written on.
#[derive(Clone, Copy)]
pub struct SideLook<'a> {
    /// Writes a length with its unit.
    pub length: &'a dyn Fn(f64) -> String,
    /// Writes a small length, a hollow or a gap, with its unit.
    pub fine: &'a dyn Fn(f64) -> String,
    /// The roll centre above the bar's centreline, for a tool that is rolled.
    pub roll_centre_mm: Option<f64>,
    /// How the cutting edge of a gouge rises from nose to wing top, `(s, h)` in the tool frame; straight across if
    /// empty.
    pub wing: &'a [DVec2],
    /// The facets of a tool that is ground in steps; a single one without.
    pub relief: Option<&'a Relief>,
    /// Whether dimensions are drawn.
    pub dimensions: bool,
    /// Whether what is set once for a bench is dimensioned too: wheel, spindle height, strut.
    pub all_dimensions: bool,
}

impl std::fmt::Debug for SideLook<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("SideLook").field("roll_centre_mm", &self.roll_centre_mm).finish_non_exhaustive()
    }
}

impl<'a> SideLook<'a> {
    /// The usual look with these ways to write lengths.
    #[must_use]
    pub fn new(length: &'a dyn Fn(f64) -> String, fine: &'a dyn Fn(f64) -> String) -> Self {
        Self {
            length,
            fine,
            roll_centre_mm: None,
            wing: &[],
            relief: None,
            dimensions: true,
            all_dimensions: false,
        }
    }
}

impl SideLook<'_> {
    /// Every facet from edge to heel, as points relative to the edge.
    pub(super) fn facets(&self, view: &SideView) -> Vec<DVec2> {
        self.relief.map_or_else(|| facet_points(&view.facet), relief_points)
    }

    /// The last heel, relative to the edge.
    pub(super) fn heel_from_edge(&self, view: &SideView) -> DVec2 {
        let last = self.relief.and_then(|relief| relief.facets().last());
        last.map_or(view.facet.heel_from_edge, |facet| facet.ends_from_edge)
    }

    /// The last heel in the bench frame.
    pub(super) fn heel_in_bench(&self, view: &SideView) -> DVec2 {
        view.bench_from_tool(self.heel_from_edge(view) + DVec2::new(0.0, view.edge_height_mm))
    }

    /// The bevel at the last heel.
    pub(super) fn heel_bevel(&self, view: &SideView) -> Angle {
        let last = self.relief.and_then(|relief| relief.facets().last());
        last.map_or(view.facet.at_heel, |facet| facet.at_end)
    }

    /// Widths and hollows of the facets in words.
    pub(super) fn facet_words(&self, view: &SideView) -> String {
        match self.relief.map(Relief::facets) {
            Some(facets) if facets.len() > 1 => {
                let widths: Vec<String> = facets.iter().map(|facet| (self.length)(facet.width_mm)).collect();
                format!("Facets from the edge: {}", widths.join(", "))
            }
            _ => format!(
                "Facet {}, hollow {}",
                (self.length)(view.facet.width_mm),
                (self.fine)(view.facet.hollow_mm)
            ),
        }
    }
}
