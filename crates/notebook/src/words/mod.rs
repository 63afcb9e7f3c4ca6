//! Sentences for turners: refusals, cautions, answers and patterns, each with its numbers and its remedy.
//!
//! May use: `quantity`, `saved`, `answer`. Lengths are written by the caller's own formatter, so that who works in
//! inches reads inches. Where a caution rests on a published rule the rule is named, and local codes stand before it;
//! nothing here claims that a set-up complies with anything.

pub(crate) mod caution;
mod clearance;
mod cost;
mod cross_check;
mod fault;
mod finding;
mod ink;
mod keep;
mod matching;
mod nose;
mod refusal;
pub mod safety;
pub(crate) mod sentence;
mod steps;
mod swept;
pub mod tip;
mod trial;
pub(crate) mod unanswered;
mod uncertainty;
pub(crate) mod value;

pub use caution::line::cautions_in_a_line;
pub use caution::{caution_words, permanent_cautions};
pub use clearance::{body_name, clearance_words, obstacle_name, rest_gap_words, swing_at_words};
pub use cost::{area_text, life_words, minutes_text, option_words, regrind_words, volume_text};
pub use cross_check::cross_verdict_words;
pub use fault::{
    behind_words, centre_words, dip_words, flat_words, heat_words, peak_words, slip_words, turned_words,
    two_facets_words, wing_ink_words,
};
pub use finding::{move_words, near_words, not_findable_words, remedy_words, short_words};
pub use ink::{ink_reading_words, ink_way, ink_why, ink_words};
pub use keep::sharing::{left_out_words, off_words, shared_words, wings_change_words};
pub use keep::{
    drift_words, left_words, not_carried_words, not_found_again_words, not_kept_words, not_logged_words,
    not_worn_words, polish_words, signed_degrees,
};
pub use matching::{at_odds_words, bevel_method_name, matched_words, unmatched_words, wheel_fit_words};
pub use nose::{nose_gone_words, not_ground_words, swept_warnings};
pub use refusal::refusal_words;
pub use sentence::{Words, capital, lower_first};
pub use steps::further::{bevel_name, further_steps_words, inside_words, moved_words, relief_refusal_words};
pub use steps::{GrinderStep, HABIT, at_the_grinder_steps};
pub use swept::differences::{Compared, difference_words};
pub use swept::{gap_words, not_swept_words, validity_words};
pub use trial::fit_refusal_words;
pub use unanswered::{meant_words, unanswered_words};
pub use uncertainty::{half_width_words, needs_words};
pub use value::{dimension_error_words, value_text};

#[cfg(test)]
mod tests;
