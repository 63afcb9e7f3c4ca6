//! The saved form: what a bench file holds, as plain data whose names carry their units, and its text.
//!
//! May use: `quantity` (units of length are saved). Knows nothing of answers, words or drawings: numbers are checked
//! where they are used, so that a bench with one odd number still opens.
//! A bench file is RON, `V1((title: …, rigs: […], tools: […], settings: […]))`; comments are tolerated, unknown
//! fields are refused, so that an older program never drops what a newer one wrote.

pub mod file;
pub mod ids;
pub mod lesson;
pub mod library;
pub mod share;
pub mod table;

pub(crate) mod bench;
pub mod bevels;
mod finite;
pub(crate) mod id;
pub(crate) mod log;
mod names;
mod omit;
pub(crate) mod part;
pub(crate) mod reading;
pub(crate) mod rig;
pub(crate) mod setting;
pub(crate) mod step;
pub(crate) mod target;
pub(crate) mod tool;
pub(crate) mod trial;
pub(crate) mod upkeep;

pub use bench::{Bench, BenchFile};
pub use id::{Id, LastId};
pub use lesson::{Lesson, LessonStep, LessonView};
pub use log::{
    BenchKeep, DiameterNote, GuardSaved, KeptBy, LengthNote, LimitsSaved, MainsSaved, MeasuredBy,
    SettingKeep, Sharpening, ToolKeep, Trued, WheelKeep,
};
pub use part::Part;
pub use reading::{ReadWith, ReadingSaved};
pub use rig::{AbrasiveSaved, ArmSaved, GrinderSaved, HolderSaved, Rig, TableSaved, WheelSaved};
pub use setting::{PresentationSaved, SettingEntry, SupportSaved, SwingSaved};
pub use step::{FurtherStepSaved, MovedSaved};
pub use target::{BevelMeant, TargetSaved, WingSaved};
pub use tool::{
    BarSaved, BevelsSaved, BlankSaved, EdgeSaved, FacetSaved, Family, FlatSaved, FluteSaved, SectionSaved,
    Steel, ToolEntry,
};
pub use trial::PROTRACTOR_DEG;
pub use trial::TrialSaved;
pub use upkeep::{LifeSaved, TimedGrindSaved};
