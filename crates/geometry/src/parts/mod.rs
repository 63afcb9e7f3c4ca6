//! What stands on the bench and what is held against it: wheels, supports, tools, each with checked dimensions.
//!
//! * The machine: [`wheel`], [`support`] (arm, holder, table), [`safety`] (numbers of published rules).
//! * The tool: [`blank`], [`flute`], [`tool`], its edge ([`edge_section`], [`oblique`]) and its facets as they are
//!   ([`present_facet`], [`profile`]).
//!
//! Uses `math`.

pub mod blank;
pub mod edge_section;
pub mod flute;
pub mod oblique;
pub mod present_facet;
pub mod profile;
pub mod safety;
pub mod support;
pub mod tool;
pub mod wheel;

pub use blank::{Bar, Bevels, Blank, FlatKind, FlatStock, Plan, Section};
pub use edge_section::EdgeSection;
pub use flute::{Flute, FluteShape};
pub use oblique::{Presentation, along_tool, square_to_edge};
pub use present_facet::{Hollow, PresentFacet};
pub use profile::Profile;
pub use safety::{
    EXPOSURE_TOP, GapLimits, GuardOpening, TooOpen, WIDEST_REST_GAP_MM, least_flange_mm, most_turns_rpm,
};
pub use support::{AngleTravel, Arm, Holder, HolderSpec, Table, TableSpec, Travel};
pub use tool::Tool;
pub use wheel::{Abrasive, Face, Grinder, Wheel, WheelSpec, rim_speed_m_s, synchronous_speed_rpm};
