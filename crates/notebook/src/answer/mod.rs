//! From the saved form to answers: a setting with its parts becomes a job of the geometry, and what follows from it.
//!
//! May use: `quantity`, `saved`. Says why there is no answer as data with numbers; sentences are written in `words`.

pub mod bench;
pub mod carry;
pub mod edge_curve;
pub mod finding;
pub mod further;
pub mod lesson;
pub mod logbook;
pub mod matching;
pub mod one_reach;
pub mod pins;
pub mod polish;
pub mod readings;
pub mod removal;
pub mod surroundings;
pub mod swept;
pub mod target;
pub mod tip_gap;
pub mod trial;
pub mod upkeep;
pub mod wear;
