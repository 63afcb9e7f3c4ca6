//! What `evaluate --format json` says about the edge a setting leaves. The names are a contract, as in
//! [`super::record`]; a key that does not apply is left out.

use std::collections::BTreeMap;

use bevelbench_geometry::{
    parts::FluteShape,
    side::{Job, SideView},
};
use bevelbench_notebook::{
    answer::swept::{Movement, Swept, swept},
    saved::SettingEntry,
    words::{not_swept_words, validity_words},
};
use serde::Serialize;

use crate::command::record::millimetres;

/// Points of the edge that are reported.
pub(in crate::command) const POINTS: usize = 201;

/// The edge and what it follows from; places are in the tool frame.
#[allow(clippy::struct_field_names, reason = "the names are the contract, and each carries its unit")]
#[derive(Debug, Clone, PartialEq, Serialize, Default)]
pub struct SweptRecord {
    /// Diameter of a gouge's bar.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub bar_diameter_mm: Option<f64>,
    /// Height at which a bar that is not full ends above its centreline.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub bar_top_mm: Option<f64>,
    /// The flute's floor above the centreline.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub flute_floor_mm: Option<f64>,
    /// Factor of a power-law flute.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub flute_k: Option<f64>,
    /// Exponent of a power-law flute.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub flute_n: Option<f64>,
    /// Wall slope of a V flute.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub flute_slope: Option<f64>,
    /// Floor radius of a V flute.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub flute_floor_radius_mm: Option<f64>,
    /// Radius of a circular flute.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub flute_radius_mm: Option<f64>,
    /// The line a tool is rolled or turned about.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub roll_line: Option<RollLineRecord>,
    /// Swing to either side.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub swing_deg: Option<f64>,
    /// Turn of the tool in its holder.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub turn_in_holder_deg: Option<f64>,
    /// `rolled`, `turned` or `pushed`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub movement: Option<&'static str>,
    /// Setback of the wings' ends, the mean of both.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub wing_sweep_mm: Option<f64>,
    /// How much further the `+w` wing is swept back than the other.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub wing_difference_mm: Option<f64>,
    /// Radius of the nose in plan; a straight one has none.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub nose_radius_mm: Option<f64>,
    /// How the rest of the swing cuts the nose off, and the nearest values that keep it; the names carry the units.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub nose_gone: Option<BTreeMap<&'static str, f64>>,
    /// Part of the edge that the wheel's rim never reaches, from 0 to 1.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub not_ground_fraction: Option<f64>,
    /// Length of it along the upper face on the `−w` side and on the `+w` side.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub not_ground_mm: Option<[f64; 2]>,
    /// `pointed`, `rounded`, `bulged` or `ground away`; for a straight edge `straight`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub nose: Option<&'static str>,
    /// Length of the edge.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub edge_length_mm: Option<f64>,
    /// Least wedge angle along the edge.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub least_wedge_deg: Option<f64>,
    /// Greatest wedge angle along the edge.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub greatest_wedge_deg: Option<f64>,
    /// Steel of the thinner cheek, half-way up the wing, 5 mm behind the edge.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cheek_thickness_mm: Option<f64>,
    /// The edge from the `−w` wing to the `+w` wing.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub edge: Vec<EdgeRecord>,
    /// What the edge rests on, or why there is none.
    pub edge_note: String,
}

/// A roll line.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct RollLineRecord {
    /// Where it passes the nose station, `[s, h]`; for a line square to the table its foot in the mid-plane.
    pub centre_in_tool_mm: [f64; 2],
    /// Its slope against the tool's axis, positive where the pivot lies below the roll centre.
    pub angle_deg: f64,
}

/// A point of the edge.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct EdgeRecord {
    /// Across the tool.
    pub w_mm: f64,
    /// Above the centreline.
    pub h_mm: f64,
    /// Behind the nose station.
    pub s_mm: f64,
    /// Angle between ground face and axis.
    pub bevel_to_axis_deg: f64,
    /// Angle of the steel between both faces.
    pub wedge_deg: f64,
    /// Chord from edge to heel.
    pub facet_width_mm: f64,
    /// Roll angle at which it is ground.
    pub roll_deg: f64,
}

impl SweptRecord {
    pub(in crate::command) fn of(job: &Job, view: &SideView, entry: &SettingEntry) -> Self {
        let mut record = Self::inputs(job);
        match swept(job, view, entry.swing.as_ref(), POINTS) {
            Ok(shape) => record.add(&shape),
            Err(why) => record.edge_note = not_swept_words(&why, &millimetres).together(),
        }
        record
    }

    /// The flute.
    fn inputs(job: &Job) -> Self {
        let mut record = Self::default();
        if let bevelbench_geometry::parts::Blank::Bar(bar) = job.tool.blank() {
            record.bar_diameter_mm = Some(bar.diameter_mm());
            record.bar_top_mm = Some(bar.top_mm()).filter(|top| *top < bar.radius_mm());
            record.flute_floor_mm = Some(bar.flute().floor_mm());
            match bar.flute().shape() {
                FluteShape::Power { factor, exponent } => {
                    (record.flute_k, record.flute_n) = (Some(factor), Some(exponent));
                }
                FluteShape::Vee { slope, floor_radius_mm } => {
                    record.flute_slope = Some(slope);
                    record.flute_floor_radius_mm = Some(floor_radius_mm);
                }
                FluteShape::Circle { radius_mm } => record.flute_radius_mm = Some(radius_mm),
            }
        }
        record
    }

    fn add(&mut self, shape: &Swept) {
        let surface = shape.tip().surface();
        self.roll_line = surface.roll_line().map(|line| RollLineRecord {
            centre_in_tool_mm: [line.centre_in_tool().x, line.centre_in_tool().y],
            angle_deg: line.angle().degrees(),
        });
        self.swing_deg = surface.swing().map(|swing| swing.half().degrees());
        self.movement = Some(match shape.movement() {
            Movement::Rolled { turn, .. } => {
                self.turn_in_holder_deg = Some(turn.degrees());
                "rolled"
            }
            Movement::Turned => "turned",
            Movement::Pushed { .. } => "pushed",
        });
        let summary = shape.summary();
        self.nose = Some(shape.nose_word());
        self.nose_radius_mm = summary.nose_radius_mm;
        self.nose_gone = shape.nose_gone().map(|gone| gone.numbers().into_iter().collect());
        self.not_ground_fraction = shape.not_ground().map(|missed| missed.fraction);
        self.not_ground_mm = shape.not_ground().map(|missed| [missed.minus_mm, missed.plus_mm]);
        self.edge_length_mm = Some(summary.edge_length_mm);
        self.least_wedge_deg = Some(summary.least_wedge.degrees());
        self.greatest_wedge_deg = Some(summary.greatest_wedge.degrees());
        if shape.is_gouge() {
            self.wing_sweep_mm = Some(summary.wing_sweep_mm());
            self.wing_difference_mm = Some(summary.wing_difference_mm());
            self.cheek_thickness_mm = Some(summary.minus.cheek_mm.min(summary.plus.cheek_mm));
        }
        self.edge = shape
            .points()
            .iter()
            .map(|point| EdgeRecord {
                w_mm: point.w_mm,
                h_mm: point.h_mm,
                s_mm: point.s_mm,
                bevel_to_axis_deg: point.bevel_to_axis.degrees(),
                wedge_deg: point.wedge.degrees(),
                facet_width_mm: point.facet_width_mm,
                roll_deg: point.roll.degrees(),
            })
            .collect();
        validity_words(shape).clone_into(&mut self.edge_note);
    }
}
