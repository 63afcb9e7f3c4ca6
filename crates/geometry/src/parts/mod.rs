//! TODO

pub mod blank;
pub mod flute;
pub mod oblique;
pub mod profile;
pub mod safety;
pub mod support;
pub mod tool;
pub mod wheel;

pub use blank::{Bar, Bevels, Blank, FlatKind, FlatStock, Plan, Section};
pub use flute::{Flute, FluteShape};
pub use oblique::{Presentation, along_tool, square_to_edge};
pub use profile::Profile;
pub use safety::{GapLimits, GuardOpening, TooOpen, least_flange_mm, most_turns_rpm};
pub use support::{AngleTravel, Arm, Holder, HolderSpec, Table, TableSpec, Travel};
pub use tool::Tool;
pub use wheel::{Abrasive, Face, Grinder, Wheel, WheelSpec, rim_speed_m_s, synchronous_speed_rpm};
