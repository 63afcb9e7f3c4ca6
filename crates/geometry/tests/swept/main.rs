//! Swept grinds: edges, tips, volumes, ink.
#![allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]

mod corner_noses;
mod edge_breaks;
mod edge_lengths_and_steps;
mod edges_left_behind;
mod equal_grinds;
mod flat_faces_turned;
mod flat_tools;
mod heels;
mod ink_of_whole_swings;
mod kernel_reference;
mod noses;
mod noses_gone;
mod outlines;
mod posed_wheels;
mod pushed_ink;
mod rims;
mod swept_ink;
mod swung_gouge;
mod tip_meshes;
mod volumes;
mod wheel_envelope;
