//! TODO

pub mod bench;
pub mod carry;
pub mod edge_curve;
pub mod finding;
pub mod further;
pub mod gentlest;
pub mod log_csv;
pub mod logbook;
pub mod matching;
pub mod one_reach;
pub mod pins;
pub mod polish;
pub mod readings;
pub mod removal;
pub mod surroundings;
pub mod swept;
pub mod tip_gap;
pub mod trial;
pub mod upkeep;
pub mod wear;
pub mod wear_log;
