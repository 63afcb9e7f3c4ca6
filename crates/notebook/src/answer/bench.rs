//! From the saved form to the geometry: a setting with its rig, wheel, holder and tool becomes a [`Job`].
//!
//! Nothing is repaired on the way. A part that is missing or a number that cannot be is reported with the name
//! of what carries it, so that the window can say where to correct it.

use bevelbench_geometry::{
    DVec2,
    math::{Angle, DimensionError},
    parts::{
        Abrasive, AngleTravel, Arm, Bar, Bevels, Blank, FlatKind, FlatStock, FluteShape, Grinder, Holder,
        HolderSpec, Hollow, Plan, PresentFacet, Presentation, Profile, Section, Table, TableSpec, Tool,
        Travel, Wheel, WheelSpec, profile::MOST_FACETS,
    },
    side::{HandRoll, Job, Refusal, Setting, SideView, Support},
};

use crate::{
    answer::target::NoIncluded,
    saved::{
        bench::Bench,
        id::Id,
        rig::{AbrasiveSaved, ArmSaved, GrinderSaved, HolderSaved, TableSaved, WheelSaved},
        setting::{PresentationSaved, SettingEntry, SupportSaved, SwingSaved},
        tool::{
            BarSaved, BevelsSaved, BlankSaved, EdgeSaved, FacetSaved, FlatSaved, FluteSaved, SectionSaved,
            ToolEntry,
        },
    },
};

/// Why a setting could not be put together or has no answer.
#[derive(Debug, Clone, PartialEq)]
pub enum Unanswered {
    /// A part the setting names is not on the bench.
    Missing(Missing),
    /// A part's dimension cannot be; the part is named.
    Part {
        /// The part's name.
        name: String,
        /// What is wrong with it.
        dimension_error: DimensionError,
    },
    /// The set-up has no answer.
    Refused(Refusal),
    /// No bevel of its tool makes the included angle that is asked for.
    NoIncluded(NoIncluded),
}

/// A part that a setting needs and the bench does not have.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Missing {
    /// The setting itself.
    Setting(Id),
    /// Its tool.
    Tool(Id),
    /// Its rig.
    Rig(Id),
    /// Its wheel.
    Wheel(Id),
    /// Its holder.
    Holder(Id),
    /// An arm in front of its wheel.
    Arm,
    /// A table in front of its wheel.
    Table,
}

impl From<Missing> for Unanswered {
    fn from(missing: Missing) -> Self {
        Self::Missing(missing)
    }
}

impl From<NoIncluded> for Unanswered {
    fn from(why: NoIncluded) -> Self {
        Self::NoIncluded(why)
    }
}

impl From<Refusal> for Unanswered {
    fn from(refusal: Refusal) -> Self {
        Self::Refused(refusal)
    }
}

/// Ties a dimension's error to the part that carries it.
fn of<T>(name: &str, built: Result<T, DimensionError>) -> Result<T, Unanswered> {
    built.map_err(|dimension_error| Unanswered::Part { name: name.to_owned(), dimension_error })
}

impl Bench {
    /// The job that a setting of this bench describes.
    ///
    /// # Errors
    /// [`Unanswered::Missing`] and [`Unanswered::Part`].
    pub fn job(&self, setting: Id) -> Result<Job, Unanswered> {
        let entry = self.setting(setting).ok_or(Missing::Setting(setting))?;
        self.job_of(entry)
    }

    /// The job that a setting describes, whether or not it is one of this bench's own.
    ///
    /// # Errors
    /// As [`Bench::job`].
    pub fn job_of(&self, entry: &SettingEntry) -> Result<Job, Unanswered> {
        let tool_entry = self.tool(entry.tool).ok_or(Missing::Tool(entry.tool))?;
        let rig = self.rig(entry.rig).ok_or(Missing::Rig(entry.rig))?;
        let wheel_saved = rig.wheel(entry.wheel).ok_or(Missing::Wheel(entry.wheel))?;
        let tool = of(&tool_entry.name, tool_entry.build())?;
        let wheel = of(&wheel_saved.name, wheel_saved.build())?;
        let grinder = of(&rig.name, rig.grinder.build())?;
        let arm = || -> Result<Arm, Unanswered> {
            let saved = wheel_saved.arm.as_ref().ok_or(Missing::Arm)?;
            of(&format!("{}: arm", wheel_saved.name), saved.build())
        };
        let support = match entry.support {
            SupportSaved::Handle { reach_mm } => {
                Support::Handle { arm: arm()?, reach_mm, tool_length_mm: tool.overall_length_mm() }
            }
            SupportSaved::Holder { holder, reach_mm, projection_mm, strut_angle_deg } => {
                let saved = rig.holder(holder).ok_or(Missing::Holder(holder))?;
                Support::Holder {
                    arm: arm()?,
                    holder: of(&saved.name, saved.build())?,
                    reach_mm,
                    projection_mm,
                    strut_angle: Angle::from_degrees(strut_angle_deg),
                }
            }
            SupportSaved::Table { tilt_deg } => {
                let saved = wheel_saved.table.as_ref().ok_or(Missing::Table)?;
                let table = of(&format!("{}: table", wheel_saved.name), saved.build())?;
                Support::Table { table, tilt: Angle::from_degrees(tilt_deg) }
            }
        };
        let setting = Setting {
            face: wheel.face(),
            edge: tool.edge_section(),
            obliquity: tool.blank().obliquity(),
            presentation: entry.presentation.into(),
            support,
        };
        Ok(Job {
            setting,
            wheel,
            grinder,
            tool,
            rest_gap_most_mm: self.keep.limits().1.rest_mm,
            roll: entry.swing.as_ref().map(HandRoll::from),
        })
    }

    /// The job and its answer.
    ///
    /// # Errors
    /// [`Unanswered`], whatever stands in the way.
    pub fn answer(&self, entry: &SettingEntry) -> Result<(Job, SideView), Unanswered> {
        let job = self.job_of(entry)?;
        let view = job.evaluate()?;
        Ok((job, view))
    }
}

impl GrinderSaved {
    /// The checked grinder.
    ///
    /// # Errors
    /// [`DimensionError`] for a number out of range.
    pub fn build(&self) -> Result<Grinder, DimensionError> {
        Grinder::new(self.spindle_speed_rpm, self.spindle_height_mm, self.bench_front_mm)
    }
}

impl WheelSaved {
    /// The checked wheel.
    ///
    /// # Errors
    /// [`DimensionError`] for a number out of range.
    pub fn build(&self) -> Result<Wheel, DimensionError> {
        Wheel::new(WheelSpec {
            diameter_mm: self.diameter_mm,
            diameter_new_mm: self.diameter_new_mm,
            diameter_least_mm: self.diameter_least_mm,
            width_mm: self.width_mm,
            abrasive: self.abrasive.into(),
            marked_speed_m_s: self.marked_speed_m_s,
            face_slope: Angle::from_degrees(self.face_slope_deg),
        })
    }
}

impl ArmSaved {
    /// The checked arm.
    ///
    /// # Errors
    /// [`DimensionError`] for a number out of range.
    pub fn build(&self) -> Result<Arm, DimensionError> {
        Arm::new(
            DVec2::new(self.zero_x_mm, self.zero_z_mm),
            Angle::from_degrees(self.tilt_deg),
            Travel { least_mm: self.reach_least_mm, most_mm: self.reach_most_mm },
        )
    }
}

impl TableSaved {
    /// The checked table.
    ///
    /// # Errors
    /// [`DimensionError`] for a number out of range.
    pub fn build(&self) -> Result<Table, DimensionError> {
        Table::new(TableSpec {
            hinge_in_bench: DVec2::new(self.hinge_x_mm, self.hinge_z_mm),
            surface_offset_mm: self.surface_offset_mm,
            front_mm: self.front_mm,
            rear_mm: self.rear_mm,
            tilt: AngleTravel {
                least: Angle::from_degrees(self.tilt_least_deg),
                most: Angle::from_degrees(self.tilt_most_deg),
            },
        })
    }
}

impl HolderSaved {
    /// The checked holder.
    ///
    /// # Errors
    /// [`DimensionError`] for a number out of range.
    pub fn build(&self) -> Result<Holder, DimensionError> {
        Holder::new(HolderSpec {
            hinge_setback_mm: self.hinge_setback_mm,
            hinge_drop_mm: self.hinge_drop_mm,
            strut_length_mm: self.strut_length_mm,
            strut_angle: AngleTravel {
                least: Angle::from_degrees(self.strut_angle_least_deg),
                most: Angle::from_degrees(self.strut_angle_most_deg),
            },
            body_length_mm: self.body_length_mm,
            body_height_mm: self.body_height_mm,
        })
    }
}

impl ToolEntry {
    /// The checked tool.
    ///
    /// # Errors
    /// [`DimensionError`] for a number out of range.
    pub fn build(&self) -> Result<Tool, DimensionError> {
        let present = self.present_facet.map(FacetSaved::build).transpose()?;
        let tool = Tool::new(self.blank.build()?, self.overall_length_mm, self.blade_length_mm, present)?;
        let Some(first) = present.filter(|_| !self.further_facets.is_empty()) else { return Ok(tool) };
        let mut facets = vec![first];
        // What lies behind the last that a profile can hold is never the first to touch.
        for further in self.further_facets.iter().take(MOST_FACETS - 1) {
            facets.push(further.build()?);
        }
        Ok(Profile::new(&facets).map_or(tool, |profile| tool.with_profile(profile)))
    }
}

impl BlankSaved {
    /// The checked blank.
    ///
    /// # Errors
    /// [`DimensionError`] for a number out of range.
    pub fn build(&self) -> Result<Blank, DimensionError> {
        match self {
            Self::Bar(bar) => bar.build().map(Blank::Bar),
            Self::Flat(flat) => flat.build().map(Blank::Flat),
        }
    }
}

impl BarSaved {
    /// The checked bar.
    ///
    /// # Errors
    /// [`DimensionError`] for a number out of range.
    pub fn build(&self) -> Result<Bar, DimensionError> {
        let top = self.top_mm.unwrap_or(self.diameter_mm / 2.0);
        Bar::cut_off(self.diameter_mm, self.flute.into(), self.flute_floor_mm, top)
    }
}

impl FlatSaved {
    /// The checked flat stock.
    ///
    /// # Errors
    /// [`DimensionError`] for a number out of range.
    pub fn build(&self) -> Result<FlatStock, DimensionError> {
        FlatStock::new(self.width_mm, self.thickness_mm, self.section.into(), self.edge.into())
    }
}

impl FacetSaved {
    /// The checked facet.
    ///
    /// # Errors
    /// [`DimensionError`] for a number out of range.
    pub fn build(self) -> Result<PresentFacet, DimensionError> {
        let hollow = self.hollow_radius_mm.map_or(Hollow::Flat, |radius_mm| Hollow::Arc { radius_mm });
        PresentFacet::new(hollow, Angle::from_degrees(self.bevel_deg), self.width_mm)
    }
}

impl From<&SwingSaved> for HandRoll {
    fn from(saved: &SwingSaved) -> Self {
        Self {
            centre_mm: saved.roll_centre_mm,
            half_swing: Angle::from_degrees(saved.half_swing_deg),
            turn: Angle::from_degrees(saved.turn_deg),
        }
    }
}

impl From<AbrasiveSaved> for Abrasive {
    fn from(saved: AbrasiveSaved) -> Self {
        match saved {
            AbrasiveSaved::Friable => Self::Friable,
            AbrasiveSaved::Superabrasive => Self::Superabrasive,
            AbrasiveSaved::Flat => Self::Flat,
        }
    }
}

impl From<PresentationSaved> for Presentation {
    fn from(saved: PresentationSaved) -> Self {
        match saved {
            PresentationSaved::EdgeParallelToSpindle => Self::EdgeParallelToSpindle,
            PresentationSaved::AxisInSidePlane => Self::AxisInSidePlane,
        }
    }
}

impl From<SectionSaved> for Section {
    fn from(saved: SectionSaved) -> Self {
        match saved {
            SectionSaved::Rectangular => Self::Rectangular,
            SectionSaved::Rolled => Self::Rolled,
            SectionSaved::Oval => Self::Oval,
        }
    }
}

impl From<FluteSaved> for FluteShape {
    fn from(saved: FluteSaved) -> Self {
        match saved {
            FluteSaved::Power { k, n } => Self::Power { factor: k, exponent: n },
            FluteSaved::Vee { slope, floor_radius_mm } => Self::Vee { slope, floor_radius_mm },
            FluteSaved::Circle { radius_mm } => Self::Circle { radius_mm },
        }
    }
}

impl From<BevelsSaved> for Bevels {
    fn from(saved: BevelsSaved) -> Self {
        match saved {
            BevelsSaved::One => Self::One,
            BevelsSaved::Alike => Self::Alike,
            BevelsSaved::Unlike { other_deg, edge_height_mm } => {
                Self::Unlike { other: Angle::from_degrees(other_deg), edge_height_mm }
            }
        }
    }
}

impl From<EdgeSaved> for FlatKind {
    fn from(saved: EdgeSaved) -> Self {
        let plan = |radius: Option<f64>| radius.map_or(Plan::Straight, |radius_mm| Plan::Round { radius_mm });
        match saved {
            EdgeSaved::Skew { obliquity_deg, edge_radius_mm, bevels } => Self::Skew {
                obliquity: Angle::from_degrees(obliquity_deg),
                edge_radius_mm,
                bevels: bevels.into(),
            },
            EdgeSaved::Parting { bevels } => Self::Parting { bevels: bevels.into() },
            EdgeSaved::Beading { bevels } => Self::Beading { bevels: bevels.into() },
            EdgeSaved::Scraper { nose_radius_mm } => Self::Scraper { plan: plan(nose_radius_mm) },
            EdgeSaved::NegativeRake { nose_radius_mm, upper_deg, drop_mm } => Self::NegativeRake {
                plan: plan(nose_radius_mm),
                upper: Angle::from_degrees(upper_deg),
                drop_mm,
            },
        }
    }
}
