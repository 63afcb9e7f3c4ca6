//! The side view: one setting in the plane through the middle of the wheel, forward and backward.
//!
//! * [`setting`] gives the bevel, with its slopes (`linkage`); its values by quantity (`value`); [`inverse`] the setting for
//!   a bevel; [`facet`] what it leaves.
//! * [`job`]: the setting with its surroundings; [`nose`]: what a whole swing may do to it; [`refusal`]: every way to have no answer.
//! * [`uncertainty`], [`cross_check`] of a rig's dimensions, [`wear`] of wheel and tool.
//!
//! Uses `math` and `parts`.

pub mod cross_check;
pub mod facet;
pub mod inverse;
pub mod job;
pub(crate) mod linkage;
pub mod nose;
pub mod refusal;
pub mod setting;
pub mod uncertainty;
pub mod value;
pub mod wear;

pub use cross_check::{CrossCheck, CrossVerdict, face_to_strut_end, rim_to_cup, rim_to_table};
pub use facet::{Facet, NoHeel, hollow_under_chord_mm, radius_from_hollow_mm};
pub use inverse::{Answer, Answers, Target};
pub use job::{Caution, Job, LEAST_REST_GAP_MM};
pub use nose::{HandRoll, NoseGone, NoseRemedies, NotGround};
pub use refusal::Refusal;
pub use setting::{Seat, Setting, SideView, Slopes, Support};
pub use uncertainty::{CombinedUncertainty, Contribution, Need, Reading};
pub use value::SET;
pub use wear::{HeldInput, NotWorn, diameter_from_round_mm, reach_by_gauge_mm};
