//! The geometry of a guided grind: what a setting of a bench grinder's wheel, arm, holder or table means for
//! the tool's edge, and which setting a wanted edge asks for. Numbers only: nothing here reads a file, knows a
//! clock or draws.
//!
//! # Conventions
//!
//! Lengths are millimetres in `f64`; names say so (`reach_mm`). Angles are [`Angle`](math::Angle)s in every signature, and
//! the only bare degrees are the values of an angular input in [`Quantity`](math::Quantity) and [`Answer`](side::Answer). Names say the space
//! (`pivot_in_bench`, `heel_from_edge`). Dimensions are checked once, by the constructors that take them
//! ([`DimensionError`](math::Unfit) says which one is wrong and what it must be); a setting that cannot be is a [`Refusal`](side::Refusal) with its
//! numbers, and what stands but wants a word is a [`Caution`](side::Caution). Nothing panics, and no number that comes out is
//! NaN or infinite.
//!
//! # Frames
//!
//! ```text
//!      in bench, from the side                      in tool
//!
//!         z ^                                       h ^    open side of the flute, upper face
//!           |                                         |  ___________________________
//!       .-''|''-.      E  edge                        | /
//!     .'    |    '.   /   on the rim                E o/. . . . . . . . . . . . . . . --> s
//!    /      |      \ o---..___                         \                        handle
//!   |       |       |         ''---..__ s               \__________________________
//!   |       O-------+----------------------> x         heel   underside
//!    \             /
//!     '.         .'     P o  pivot, in the cup                     o P = (s_P, h_P)
//!       '-.___.-'  -------+-------  arm
//!                         reach ->
//! ```
//!
//! * **Bench**: origin at the wheel's centre `O`, `x` level towards the operator, `y` along the spindle, `z` up;
//!   in the side plane `(x, z)` is a [`DVec2`]. The top of the wheel runs towards the operator.
//! * **Tool**: `s` along the tool's axis from the edge towards the handle, `h` from the bar's centreline (or the
//!   blade's mid-plane) towards the open side, `w` across; the edge is at `(0, h_E)`.
//! * At the edge, with `N` the wheel's outward normal and `T` the rim's tangent down towards the handle, the
//!   tool's axis is `T cos β + N sin β`: β is the **bevel at the edge**, 0° < β < 180°.
//!
//! A flat abrasive is a plane through the bench frame's origin, a case of its own.
//!
//! # Where things are
//!
//! Arrows go one way; each wing says which others it uses:
//!
//! ```text
//!     math <- parts <- side <- facet
//!                         \ <- swept <- solve, space, fault
//! ```
//!
//! * [`math`]: angles, checked numbers, roots. [`parts`]: wheels, supports, tools, their edges and present facets.
//! * [`side`]: from a setting to its bevel and back; what stops a whole job; wear of wheel and tool.
//! * [`facet`]: the facet settled on today's wheel, its ink, its regrind, its second bevel.
//! * [`swept`]: the tip of a tool swung from wing to wing or pushed along its edge.
//! * [`solve`]: what to set for a bevel and a wing; one reach for many; a rig fitted to trial grinds.
//! * [`space`]: what comes near to what over a swing. [`fault`]: slips at the grinder, and their size.
//!
//! # Example
//!
//! ```
//! use bevelbench_geometry::{
//!     DVec2,
//!     math::{Angle, Quantity},
//!     parts::{Arm, EdgeSection, Face, Presentation, Travel},
//!     side::{Setting, Support, Target},
//! };
//!
//! // A tool of 400 mm, its handle's end in the cup of a level arm below a wheel of 150 mm.
//! let travel = Travel { least_mm: 0.0, most_mm: 500.0 };
//! let arm = Arm::new(DVec2::new(0.0, -110.0), Angle::ZERO, travel)?;
//! let setting = Setting {
//!     face: Face::Round { radius_mm: 75.0 },
//!     edge: EdgeSection { height_mm: -4.0, under_mm: 4.0 },
//!     obliquity: Angle::QUARTER,
//!     presentation: Presentation::EdgeParallelToSpindle,
//!     support: Support::Handle { arm, reach_mm: 420.0, tool_length_mm: 400.0 },
//! };
//! let view = setting.evaluate()?;
//! // sin(β − ε) = (420² + 110² − 400² − 4² − 75²) / (2·400.02·75), ε = −0.57°: by hand, 21.82°.
//! assert!((view.bevel().degrees() - 21.82).abs() < 0.005);
//!
//! // Where must the cup be for 45° across the facet?
//! let answers = setting.find(Target::AcrossFacet(Angle::from_degrees(45.0)), Quantity::Reach)?;
//! let nearest = answers.nearest(420.0).expect("the arm is long enough");
//! assert!((nearest.view.facet.across.degrees() - 45.0).abs() < 1e-9);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! # Accuracy
//!
//! Closed forms and roots are held against values of forty digits, worked out by other ways
//! (`tests/reference/fifty`): errors stay within a few last bits of what the inputs are worth, also next to the
//! limits. Searches say what they stop at where they stand ([`Solid::gap`](space::Solid::gap), [`EdgePoint::facet_width_mm`](swept::EdgePoint::facet_width_mm),
//! [`Tip::removed_by`](swept::Tip::removed_by)).
//!
//! # What is not modelled
//!
//! Parts are rigid and without play, the pivot is a point, the wheel is round and runs true, and the contact is
//! kept at the middle of its face. No force, heat, wear during the grind or burr. A hand does not roll exactly
//! about one line: the roll centre is an input for that reason. Thickness of handles and clamps is looked at
//! only where [`job`](side::job) says so.

#![forbid(unsafe_code)]

pub use glam::{DVec2, DVec3};

pub mod facet;
pub mod fault;
pub mod math;
pub mod parts;
pub mod side;
pub mod solve;
pub mod space;
pub mod swept;
