//! What `evaluate --format json` says about one setting. The names are a contract: other people's scripts
//! rely on them. A key that does not apply is left out; a gap that is unknown is `null`.

pub(super) mod swept;

use std::collections::BTreeMap;

use bevelbench_geometry::{
    DVec2,
    facet::ink::FILM_ASSUMED_MM,
    math::Angle,
    parts::Face,
    side::{Job, SET, Seat, SideView, Support, uncertainty::COVERAGE},
};
use bevelbench_notebook::{
    answer::{
        bench::{Missing, Unanswered},
        readings::{uncertainties, uncertainty},
        target::{NoIncluded, both_bevels, included},
    },
    quantity::{LengthUnit, format_length},
    saved::{
        Bench, BevelMeant, SettingEntry, SupportSaved,
        table::{self},
    },
    words::{Words, caution_words, unanswered_words},
};
use serde::Serialize;

use crate::command::record::swept::SweptRecord;

/// One setting with its resolved inputs, and its answers or what stands in their way.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Record {
    /// The setting's name.
    pub setting: String,
    /// The tool's name.
    pub tool: Option<String>,
    /// The rig's name.
    pub rig: Option<String>,
    /// `handle`, `holder` or `table`.
    pub support: &'static str,
    /// The resolved inputs, where the setting could be put together.
    #[serde(flatten)]
    pub inputs: Option<Inputs>,
    /// The answers.
    #[serde(flatten)]
    pub answers: Option<Answers>,
    /// The edge it leaves.
    #[serde(flatten)]
    pub swept: Option<SweptRecord>,
    /// Why there is no answer.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub error: Option<ErrorRecord>,
}

/// The resolved inputs; places are `[x, z]` in the bench frame or `[s, h]` in the tool frame.
#[allow(clippy::struct_field_names, reason = "the names are the contract, and each carries its unit")]
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Inputs {
    /// Diameter of the wheel today; a flat abrasive has none.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub wheel_diameter_mm: Option<f64>,
    /// Width of the wheel.
    pub wheel_width_mm: f64,
    /// The pivot in the bench frame.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub pivot_in_bench_mm: Option<[f64; 2]>,
    /// The pivot in the tool frame; for an oblique edge held parallel to the spindle, in the plane square to
    /// the edge.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub pivot_in_tool_mm: Option<[f64; 2]>,
    /// The edge in the tool frame.
    pub edge_in_tool_mm: [f64; 2],
    /// Steel under the edge, square to the axis.
    pub thickness_under_edge_mm: f64,
    /// Signed distance of the table's plane from the wheel's centre.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub table_plane_from_centre_mm: Option<f64>,
    /// Height of the edge above the table.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub edge_above_table_mm: Option<f64>,
}

/// The answers.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Answers {
    /// Bevel at the edge.
    pub bevel_at_edge_deg: f64,
    /// Bevel across the facet: what a protractor reads.
    pub bevel_across_facet_deg: f64,
    /// Bevel at the heel.
    pub bevel_at_heel_deg: f64,
    /// How sure the bevel is: the ± (k = 2).
    pub bevel_plus_minus_deg: f64,
    /// What that comes from, the largest first.
    pub plus_minus_from: Vec<BudgetLineRecord>,
    /// Width of the facet: its chord.
    pub facet_width_mm: f64,
    /// Depth of the hollow under the chord.
    pub hollow_depth_mm: f64,
    /// Gap at the edge of the present facet; unknown where the facet is.
    pub edge_gap_mm: Option<f64>,
    /// Gap at the heel of the present facet; unknown where the facet is.
    pub heel_gap_mm: Option<f64>,
    /// Shortest gap between rim and pivot.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub gauge_length_mm: Option<f64>,
    /// The contact in the bench frame.
    pub contact_in_bench_mm: [f64; 2],
    /// The handle below the horizontal.
    pub handle_angle_deg: f64,
    /// Slopes of the bevel at the edge by input: degrees per millimetre, or per degree.
    pub slopes: BTreeMap<&'static str, f64>,
    /// Bevel along the tool, of an oblique edge.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub bevel_along_tool_deg: Option<f64>,
    /// Bevel square to the edge, of an oblique edge.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub bevel_square_to_edge_deg: Option<f64>,
    /// Angle between two ground faces, square to the edge.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub included_deg: Option<f64>,
    /// Its cautions.
    pub cautions: Vec<CautionRecord>,
}

/// A reading and what it does to the bevel.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct BudgetLineRecord {
    /// What is read.
    pub what: &'static str,
    /// With what.
    pub read_with: &'static str,
    /// How far it may be off: a half-width.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub half_width_mm: Option<f64>,
    /// How far an angle may be off.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub half_width_deg: Option<f64>,
    /// Whether that is assumed, nobody having said.
    pub assumed: bool,
    /// What it alone does to the bevel (k = 2).
    pub bevel_plus_minus_deg: f64,
}

/// A caution.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct CautionRecord {
    /// Its short name.
    pub code: &'static str,
    /// Its words.
    pub text: String,
    /// Whether it asks for something to be changed, rather than reminding.
    #[serde(skip)]
    pub is_warning: bool,
}

/// Why a setting has no answer.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ErrorRecord {
    /// Its short name.
    pub kind: &'static str,
    /// Reason and remedy in words.
    pub message: String,
    /// Its numbers; the names carry the units.
    pub numbers: BTreeMap<&'static str, f64>,
}

/// A length as the command writes it.
pub(super) fn millimetres(value: f64) -> String {
    format_length(value, LengthUnit::Millimetre, 1)
}

fn pair(point: DVec2) -> [f64; 2] {
    [point.x, point.y]
}

/// Every caution of an answer.
pub(super) fn cautions_of(job: &Job, view: &SideView) -> Vec<CautionRecord> {
    let reported = job.cautions(view);
    reported
        .iter()
        .map(|caution| CautionRecord {
            code: caution.code(),
            text: caution_words(caution, &millimetres),
            is_warning: caution.is_warning(),
        })
        .collect()
}

/// Cautions that are the same for every setting, or every one on a pivot: said once an output, after what is particular.
const STANDING: [(&str, &str); 3] = [
    ("no_rest", "For every setting on a pivot:"),
    ("eyes_and_lungs", "For every setting:"),
    ("local_rules", "For every setting:"),
];

/// The lines of what is particular to a setting: warnings first, marked as such.
pub(super) fn particular_lines(cautions: &[CautionRecord]) -> impl Iterator<Item = String> {
    let is_standing = |code| STANDING.iter().any(|(known, _)| *known == code);
    cautions.iter().filter(move |caution| !is_standing(caution.code)).map(|caution| {
        let mark = if caution.is_warning { '!' } else { 'i' };
        format!("  {mark} {}", caution.text)
    })
}

/// The lines of what holds for every setting among the cautions of an output, each once; nothing without a caution.
pub(super) fn standing_lines<'c>(cautions: impl Iterator<Item = &'c CautionRecord>) -> Vec<String> {
    let mut said: [Option<&str>; STANDING.len()] = [None; STANDING.len()];
    for caution in cautions {
        if let Some(place) = STANDING.iter().position(|(code, _)| *code == caution.code) {
            said[place] = Some(&caution.text);
        }
    }
    let mut lines: Vec<String> = Vec::new();
    for ((_, heading), text) in STANDING.iter().zip(said) {
        let Some(text) = text else { continue };
        if !lines.iter().any(|line| line == heading) {
            lines.push((*heading).to_owned());
        }
        lines.push(format!("  ! {text}"));
    }
    lines
}

impl Record {
    /// Of a setting of a bench.
    #[must_use]
    pub fn of(bench: &Bench, entry: &SettingEntry) -> Self {
        let job = bench.job_of(entry);
        let inputs = job.as_ref().ok().map(Inputs::of);
        let answer = job.and_then(|job| {
            let view = job.evaluate()?;
            Ok((Answers::of(bench, entry, &job, &view), SweptRecord::of(&job, &view, entry)))
        });
        let (answers, swept, error) = match answer {
            Ok((answers, swept)) => (Some(answers), Some(swept), None),
            Err(unanswered) => (None, None, Some(ErrorRecord::of(&unanswered))),
        };
        Self {
            setting: entry.name.clone(),
            tool: bench.tool(entry.tool).map(|tool| tool.name.clone()),
            rig: bench.rig(entry.rig).map(|rig| rig.name.clone()),
            support: match entry.support {
                SupportSaved::Handle { .. } => "handle",
                SupportSaved::Holder { .. } => "holder",
                SupportSaved::Table { .. } => "table",
            },
            inputs,
            answers,
            swept,
            error,
        }
    }
}

impl Inputs {
    fn of(job: &Job) -> Self {
        let setting = &job.setting;
        let pivot = setting.pivot();
        let (plane, above) = match setting.support {
            Support::Table { table, tilt } => {
                (Some(table.plane_from_centre_mm(tilt)), Some(setting.edge.under_mm))
            }
            Support::Handle { .. } | Support::Holder { .. } => (None, None),
        };
        Self {
            wheel_diameter_mm: match setting.face {
                Face::Round { radius_mm } => Some(2.0 * radius_mm),
                Face::Flat { .. } => None,
            },
            wheel_width_mm: job.wheel.width_mm(),
            pivot_in_bench_mm: pivot.map(|(in_bench, _)| pair(in_bench)),
            pivot_in_tool_mm: pivot.map(|(_, in_tool)| pair(in_tool)),
            edge_in_tool_mm: [0.0, setting.edge.height_mm],
            thickness_under_edge_mm: setting.edge.under_mm,
            table_plane_from_centre_mm: plane,
            edge_above_table_mm: above,
        }
    }
}

impl Answers {
    fn of(bench: &Bench, entry: &SettingEntry, job: &Job, view: &SideView) -> Self {
        let uncertainties = uncertainties(bench, entry);
        let uncertainty = uncertainty(&uncertainties, job, view);
        let ink = job.tool.profile().and_then(|facets| job.setting.ink(facets, FILM_ASSUMED_MM).ok());
        let both = both_bevels(job, view.bevel());
        Self {
            bevel_at_edge_deg: view.facet.at_edge.degrees(),
            bevel_across_facet_deg: view.facet.across.degrees(),
            bevel_at_heel_deg: view.facet.at_heel.degrees(),
            bevel_plus_minus_deg: uncertainty.expanded().degrees(),
            plus_minus_from: uncertainty
                .contributions()
                .filter(|share| share.part > 0.0)
                .filter_map(|share| {
                    let uncertainty =
                        uncertainties.iter().find(|uncertainty| uncertainty.input == share.reading.input)?;
                    let angle = uncertainty.input.is_angle();
                    Some(BudgetLineRecord {
                        what: uncertainty.input.words(),
                        read_with: uncertainty.with.words(),
                        half_width_mm: (!angle).then_some(uncertainty.half_width),
                        half_width_deg: angle.then_some(uncertainty.half_width),
                        assumed: uncertainty.assumed,
                        bevel_plus_minus_deg: share.standard.degrees() * COVERAGE,
                    })
                })
                .collect(),
            facet_width_mm: view.facet.width_mm,
            hollow_depth_mm: view.facet.hollow_mm,
            edge_gap_mm: ink.map(|ink| ink.edge_gap_mm()),
            heel_gap_mm: ink.map(|ink| ink.heel_gap_mm()),
            gauge_length_mm: match view.seat {
                Seat::Pivot { gauge_length_mm, .. } => Some(gauge_length_mm),
                Seat::Plane { .. } => None,
            },
            contact_in_bench_mm: pair(view.contact_in_bench),
            handle_angle_deg: view.handle_angle.degrees(),
            slopes: SET
                .into_iter()
                .filter_map(|quantity| {
                    // A slope by an angle is a plain ratio; one by a length turns from radians to degrees.
                    let slope = job.setting.slope_by(quantity, view)?;
                    let degrees =
                        if quantity.is_angle() { slope } else { Angle::from_radians(slope).degrees() };
                    let (name, _unit) = table::row(quantity)?.key.rsplit_once('_')?;
                    Some((name, degrees))
                })
                .collect(),
            bevel_along_tool_deg: both.map(|(along, _)| along.degrees()),
            bevel_square_to_edge_deg: both.map(|(_, square)| square.degrees()),
            included_deg: included(job, view.bevel()).map(Angle::degrees),
            cautions: cautions_of(job, view),
        }
    }
}

impl ErrorRecord {
    /// With words of its own and no numbers.
    pub(super) fn plain(kind: &'static str, words: &Words) -> Self {
        Self { kind, message: words.together(), numbers: BTreeMap::new() }
    }

    pub(super) fn of(unanswered: &Unanswered) -> Self {
        let (kind, numbers) = match unanswered {
            Unanswered::Missing(missing) => (missing_kind(*missing), BTreeMap::new()),
            Unanswered::Part { dimension_error, .. } => {
                ("unfit_dimension", BTreeMap::from([("value", dimension_error.value)]))
            }
            Unanswered::Refused(refusal) => (refusal.kind(), refusal.numbers().into_iter().collect()),
            Unanswered::NoIncluded(NoIncluded::OneFace) => ("one_face", BTreeMap::new()),
            Unanswered::NoIncluded(NoIncluded::OtherFaceTakesAll { included, other }) => (
                "other_face_takes_all",
                BTreeMap::from([("included_deg", included.degrees()), ("other_deg", other.degrees())]),
            ),
        };
        Self { kind, message: unanswered_words(unanswered, &millimetres).together(), numbers }
    }
}

/// Which angle is meant, by its name in the JSON.
pub(super) const fn meant_key(meant: BevelMeant) -> &'static str {
    match meant {
        BevelMeant::AtEdge => "at_edge",
        BevelMeant::AcrossFacet => "across_facet",
        BevelMeant::Included => "included",
    }
}

const fn missing_kind(missing: Missing) -> &'static str {
    match missing {
        Missing::Setting(_) => "missing_setting",
        Missing::Tool(_) => "missing_tool",
        Missing::Rig(_) => "missing_rig",
        Missing::Wheel(_) => "missing_wheel",
        Missing::Holder(_) => "missing_holder",
        Missing::Arm => "missing_arm",
        Missing::Table => "missing_table",
    }
}
