//! TODO

pub mod at_grinder;
pub mod big_type;
pub mod curves;
pub mod edit;
pub mod find;
pub mod keep;
pub mod lesson;
pub mod pair;
pub mod picture;
pub mod print;
pub mod rack;
pub mod read_outs;
pub mod settings;
pub mod side;
pub mod tip;
